"""What uses oxygen in this pond, and how fast at this temperature?

Four users work day and night: everything afloat (algae and the small life on them), the mud,
the fish, and weeds. A fifth comes in loads: feed that fish waste, leaves, a dead bloom. Each is
given as a range, because two ponds that look alike differ by a factor of three.

What floats lives on what the algae make (and on what weeds leave over), so over like days it uses about
that much, less what sinks and feeds the mud. Below the lit layer it makes nothing and adds no use: a
deeper pond uses the same under each square meter.

Inside the package oxygen is mg/L (= g/m3), areal rates g/m2/d, chlorophyll mg/m3 (= ug/L).
"""


import numpy as np

from ..limits import not_negative
from ..refusals import Refused
from ..units import Range, quantities
from . import photosynthesis
from .oxygen import MUD_20C, THETA_MUD, THETA_PLANKTON

__all__ = ["FED", "SUNK", "PLANKTON_SCATTER", "MUD_KINDS", "WEED_USE", "FEED_DEMAND", "FEED_WASTED", "LOAD_RATE",
           "BLOOM_DEMAND", "plankton_use", "weeds_left", "bed_share", "plankton_respiration",
           "mud_respiration", "feed_load"]

# Use of water and mud for each unit that algae leave over on a clear day. Our choice: over all skies 26 small
# shallow waters used 9.1 for 8.4 made, 1.08 (Rabaey and others 2024; abstract seen), and clear days make the most.
FED = 1.05
# The most of that which sinks and is used in the mud. Our choice; in a bloom the mud was about a tenth of all use
# (Baxa and others 2021; abstract seen), which what sinks must not pass by much.
SUNK = 0.2

# A bloom on its way up, in balance, on its way down: factor on what is fed. Our choice; production less use of 26
# small shallow waters lay on both sides of nothing (Rabaey and others 2024; abstract seen).
PLANKTON_SCATTER = Range(0.8, 1.0, 1.3)

# Mud, g/m2 a day at 20 C. Sand and clay: 0.1 to 1 (Bowie and others 1985, from memory). Rich: from fed fish
# ponds (Meijer and Avnimelech 1999, seen) to the top for aged organic mud (Bowie, from memory).
MUD_KINDS = {"sand or clay": Range(0.1, 0.3, 1.0), "ordinary": MUD_20C,
             "black and deep": Range(0.83, 1.3, 2.0)}

# Weeds, g/m2 of bed a day at 20 C; dark use was "a high proportion" of what a pondweed bed made, 7.5 g/m2 a
# day at best (Danish stream, abstract seen): taken here as 20, 45 and 80 %, a judgment. What they leave over feeds the
# small life of the pond, as what algae leave over does.
WEED_USE = Range(1.5, 3.4, 6.0)

# Feed, kg of oxygen for each kg (C. E. Boyd, Oxygen demand of aquaculture feed; seen), and the share of it that
# the fish do not breathe themselves: 5 to 10 % is uneaten (seen), the rest judgment.
FEED_DEMAND = 1.25
FEED_WASTED = Range(0.15, 0.30, 0.50)

# Share of a soft load used a day at 20 C; 0.23 is the usual one in bottles (from memory, not verified).
LOAD_RATE = Range(0.1, 0.23, 0.5)

# Algae: mg of oxygen for each mg dry (Boyd 1973, Trans. Am. Fish. Soc. 102; abstract seen), mg dry for each mg of
# chlorophyll (from memory, not verified), and the product.
ALGAE_DEMAND = 1.29
DRY_PER_CHLOROPHYLL = Range(50, 100, 200)
BLOOM_DEMAND = Range(*(ALGAE_DEMAND * dry for dry in DRY_PER_CHLOROPHYLL))


def plankton_use(made, mud):
    """What algae and small life use, from what the plants leave over on a clear day and what the mud asks for.

    All in one unit, such as mg/L a day. The mud is fed by what sinks, up to a share :data:`SUNK`; the rest stays
    afloat.
    """
    return FED * made - _sunk(made, mud)


def _sunk(made, mud):
    """What of it the mud is fed by."""
    return np.minimum(mud, SUNK * FED * made)


def bed_share(made, mud, on_bed):
    """Share of what a film of algae could make on the bed in a clear day that it makes, 0 to 1; units as above.

    No more than the mud uses beyond what sinks to it, so that clear water nearly balances too: our choice.
    """
    lack = (mud - _sunk(made, mud)) / FED
    return np.minimum(1.0, lack / np.maximum(on_bed, 1e-12))


def weeds_left(sky, warmth, production, use):
    """What weeds make on a clear day beyond their own use, g/m2 of bed; it feeds the small life of the pond.

    `sky` as ``photosynthesis.clear_day`` gives it, `warmth` in C above 20, `production` in g/m2 an hour at full
    speed and `use` in g/m2 a day, both at 20 C.
    """
    light, hours = sky
    made = production * photosynthesis.GROWTH ** warmth * photosynthesis.weed_light_use(light).sum(0) * hours
    return np.maximum(made - use * THETA_PLANKTON ** warmth, 0.0)


@quantities(chlorophyll="mg/m^3", temperature="degC", secchi_depth="m", depth="m", mud_20c="g/m^2/day",
            latitude="degree", gives="mg/L/day")
def plankton_respiration(chlorophyll, temperature, secchi_depth=None, depth=1.0, mud_20c=MUD_20C.usual, latitude=39.0,
                         day=200, weed_cover=0.0):
    """Oxygen used by all that floats, in each liter of green water a day, as a mean over the depth.

    Parameters
    ----------
    chlorophyll : float or array
        mg/m3 (= ug/L), 0 to about 300; see ``photosynthesis.WATER_COLORS``.
    temperature : float or array
        Water, C.
    secchi_depth : float or array, optional
        m; default from chlorophyll.
    depth : float or array, optional
        m of mixed water, with upright sides. The use under each m2 stays the same below the lit layer.
    mud_20c : float or array, optional
        g/m2 a day; see :func:`plankton_use`.
    latitude, day : float, optional
        For the sun of the season.
    weed_cover : float, optional
        Share of the surface over weed beds, 0 to 1; see :func:`weeds_left`.

    Returns
    -------
    Range
        mg/L a day: algae that work little, as usual, hard; times :data:`PLANKTON_SCATTER`.

    Notes
    -----
    :func:`plankton_use` of what algae make in a clear day less what is used on the spot. It grows 6.6 % per C as
    production does, Q10 1.9; dark bottles of ponds gave 1.5 to 2.0 (Boyd 1973; abstract seen).

    References
    ----------
    C. E. Boyd, R. P. Romaire and E. Johnston, 1978, Predicting early morning dissolved oxygen concentrations in
    channel catfish ponds, Trans. Am. Fish. Soc. 107:484-492 (from memory, not verified): at 28 C and Secchi depths
    of 30, 50 and 80 cm 0.39, 0.29 and 0.17 mg/L an hour. This lies within 30 %.
    """
    not_negative("plankton_respiration", chlorophyll=chlorophyll)
    green, t = np.asarray(chlorophyll, float), np.asarray(temperature, float)
    secchi = photosynthesis.secchi_of(green, secchi_depth)
    slab = (np.array([0.0]), np.array([depth]), np.array([1.0]))
    sky = photosynthesis.clear_day(latitude, day)
    hours = np.reshape(photosynthesis.clear_day_hours(sky, photosynthesis.LIGHT_SATURATION.usual, secchi, slab),
                       np.shape(secchi))
    kept = hours * (1 - photosynthesis.PROMPT_USE.usual)
    mud = mud_20c * THETA_MUD ** (t - 20) / depth
    weeds = (weed_cover / depth * np.reshape(weeds_left(sky, t - 20, *ends), np.shape(t))
             for ends in zip(photosynthesis.WEED_PRODUCTION, WEED_USE, strict=True))
    return Range(*(scatter * plankton_use(kept * photosynthesis.full_speed(green, t, assimilation) + more, mud)
                   for scatter, assimilation, more in zip(PLANKTON_SCATTER, photosynthesis.ASSIMILATION, weeds,
                                                          strict=True)))


@quantities(temperature="degC", gives="g/m^2/day")
def mud_respiration(temperature, kind="ordinary"):
    """Oxygen used by the mud under each square meter a day: a Range for a key of :data:`MUD_KINDS`.

    Notes
    -----
    Grows 6.5 % per C (1.04 to 1.13 have been printed; from memory). Mud that is stirred up uses
    far more for an hour or two; that is not in here.
    """
    if kind not in MUD_KINDS:
        raise Refused(f"there is no mud {kind!r}. Choose one of: {', '.join(MUD_KINDS)}.", by="mud_respiration")
    return Range(*(rate * THETA_MUD ** (np.asarray(temperature, float) - 20) for rate in MUD_KINDS[kind]))


@quantities(feed_per_day="kg/day", gives="kg/day")
def feed_load(feed_per_day):
    """Oxygen that wasted feed and droppings will ask for, each day of feeding; fish count apart.

    Parameters
    ----------
    feed_per_day : float or array
        kg a day.

    Returns
    -------
    Range
        kg of oxygen a day.

    References
    ----------
    C. E. Boyd, Oxygen demand of aquaculture feed, Global Seafood Alliance (seen): 1.25 kg for each kg.
    """
    not_negative("feed_load", feed_per_day=feed_per_day)
    return Range(*(FEED_DEMAND * share * np.asarray(feed_per_day, float) for share in FEED_WASTED))
