"""What uses oxygen in this pond, and how fast at this temperature?

Four users work day and night: everything afloat (algae and the small life on them), the mud,
the fish, and weeds. A fifth comes in loads: feed that fish waste, leaves, a dead bloom. Each is
given as a range, because two ponds that look alike differ by a factor of three.

Inside the package oxygen is mg/L (= g/m3), areal rates g/m2/d, chlorophyll mg/m3 (= ug/L).
"""


import numpy as np

from ..limits import not_negative
from ..units import Range, quantities
from .oxygen import MUD_20C, THETA_MUD, THETA_PLANKTON

__all__ = ["PLANKTON_SCATTER", "MUD_KINDS", "WEED_USE", "FEED_DEMAND", "FEED_WASTED", "LOAD_RATE",
           "BLOOM_DEMAND", "plankton_respiration", "mud_respiration", "feed_load"]

# Spread of waters round the regression of plankton_respiration: brings pea-green water (150 mg/m3) from 1.0
# to the 5.0 mg/L a day that topped a global set of lakes (Solomon and others 2013; abstract seen).
PLANKTON_SCATTER = Range(0.5, 1.0, 2.5)

# Mud, g/m2 a day at 20 C. Sand and clay: 0.1 to 1 (Bowie and others 1985, from memory). Rich: from fed fish
# ponds (Meijer and Avnimelech 1999, seen) to the top for aged organic mud (Bowie, from memory).
MUD_KINDS = {"sand or clay": Range(0.1, 0.3, 1.0), "ordinary": MUD_20C,
             "black and deep": Range(0.83, 1.3, 2.0)}

# Weeds, g/m2 of bed a day at 20 C; dark use was "a high proportion" of what a pondweed bed made, 7.5 g/m2 a
# day at best (Danish stream, abstract seen): taken here as 20, 45 and 80 %, a judgment.
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


@quantities(chlorophyll="mg/m^3", temperature="degC", gives="mg/L/day")
def plankton_respiration(chlorophyll, temperature):
    """Oxygen used by all that floats, in each liter of green water a day.

    Parameters
    ----------
    chlorophyll : float or array
        mg/m3 (= ug/L), 0 to about 300; see ``photosynthesis.WATER_COLORS``.
    temperature : float or array
        Water, C.

    Returns
    -------
    Range
        mg/L a day; the spread is :data:`PLANKTON_SCATTER`.

    Notes
    -----
    log10 R = -0.81 + 0.56 log10 chl, R in mmol of oxygen per m3 an hour, taken at 20 C; 1.047 per C.

    References
    ----------
    M. L. Pace and Y. T. Prairie, 2005, Respiration in lakes, ch. 7 in Respiration in Aquatic Ecosystems
    (second-hand).
    """
    not_negative("plankton_respiration", chlorophyll=chlorophyll)
    middle = (10**-0.81 * np.asarray(chlorophyll, float) ** 0.56 * 24 * 31.998e-3
              * THETA_PLANKTON ** (np.asarray(temperature, float) - 20))
    return Range(*(share * middle for share in PLANKTON_SCATTER))


@quantities(temperature="degC", gives="g/m^2/day")
def mud_respiration(temperature, kind="ordinary"):
    """Oxygen used by the mud under each square meter a day: a Range for a key of :data:`MUD_KINDS`.

    Notes
    -----
    Grows 6.5 % per C (1.04 to 1.13 have been printed; from memory). Mud that is stirred up uses
    far more for an hour or two; that is not in here.
    """
    if kind not in MUD_KINDS:
        raise ValueError(f"mud_respiration: there is no mud {kind!r}. Choose one of: {', '.join(MUD_KINDS)}.")
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
