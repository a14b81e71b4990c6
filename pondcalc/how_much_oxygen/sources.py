"""What brings oxygen into this pond and what uses it: wind, plants, fish, mud?

Wind stirs the top film of the water; the faster it is renewed, the faster oxygen passes. The speed of that passage, a
few decimeters a day, has been fitted many times on lakes, tanks and the sea, and the fits disagree by a factor of ten
on a calm night: some say nothing passes without wind, others half a meter a day. So the answer is a band.

Green water makes oxygen near the top, where the light is. The greener the water, the faster light fades, so a thick
bloom makes much in a thin layer and nothing below; past some greenness more algae make no more oxygen, only more
night-time use. The color of the water, or the depth where a white disk is lost (Secchi depth), and the sun give the
oxygen made.

Four users work day and night: everything afloat (algae and the small life on them), the mud, the fish, and weeds. A
fifth comes in loads: feed that fish waste, leaves, a dead bloom. Each is a range, because two ponds that look alike
differ by a factor of three. What floats lives on what the algae make (and on what weeds leave over), so over like days
it uses about that much, less what sinks and feeds the mud. Below the lit layer it makes nothing and adds no use: a
deeper pond uses the same under each square meter.

Inside the package speeds are m/s, oxygen mg/L (= g/m3), chlorophyll mg/m3 (= ug/L), light W/m2 of all sunlight,
production of algae g of oxygen for each g of chlorophyll an hour, of weeds g/m2/h, areal rates of use g/m2/d.

What this leaves out. Of the surface: rain on it, water cooling and sinking at night (which keeps some exchange going
without wind), oily films (which slow it), and the shelter of trees and banks. Of the plants: harm by very strong light,
lack of nutrients within a day, scum that floats, and the bubbles that leave when the water is far over saturation.
"""

import warnings
from typing import Any, NamedTuple

import numpy as np

from .. import air, water
from ..refusals import Caution, Refused
from ..units import DAY, Range, not_negative, positive, quantities, share
from .oxygen import MUD_20C, THETA_MUD, THETA_PLANKTON

CENTIMETER_PER_HOUR = 0.01 / 3600


class ExchangeFormula(NamedTuple):
    """One published fit: the speed it gives, at which Schmidt number, and where it comes from."""

    speed: Any          # function of wind (m/s at 10 m) and area (m2), giving m/s
    schmidt: Any        # Schmidt number the speed is meant for; None for oxygen at 20 C; 0 if built in
    source: str
    status: str


# The band of a farm pond. Left out: the open-sea fit (Wanninkhof 1992), and the two straight lines of Crusius 2003,
# which repeat its power law.
FORMULAS = {
    "Banks 1977": ExchangeFormula(
        lambda u, area: (0.728 * np.sqrt(u) - 0.317 * u + 0.0372 * u * u) / DAY, None,
        "R. B. Banks and F. F. Herrera, 1977, Effect of wind and rain on surface reaeration, J. "
        "Environ. Eng. Div. ASCE 103:489-504", "second-hand"),
    "Wanninkhof 1991": ExchangeFormula(
        lambda u, area: 0.0986 * u**1.64 / DAY, None,
        "R. Wanninkhof, J. R. Ledwell and J. Crusius, 1991, Gas transfer velocities on lakes", "second-hand"),
    "Cole 1998": ExchangeFormula(
        lambda u, area: (2.07 + 0.215 * u**1.7) * CENTIMETER_PER_HOUR, 600.0,
        "J. J. Cole and N. F. Caraco, 1998, Limnol. Oceanogr. 43:647-656 (a small wind-sheltered lake)",
        "second-hand"),
    "Crusius 2003 power": ExchangeFormula(
        lambda u, area: (0.168 + 0.228 * u**2.2) * CENTIMETER_PER_HOUR, 600.0,
        "J. Crusius and R. Wanninkhof, 2003, Limnol. Oceanogr. 48:1010-1017 (a small lake, low wind)",
        "second-hand"),
    "Vachon 2013": ExchangeFormula(
        lambda u, area: np.maximum(0.0, 2.51 + 1.48 * u + 0.39 * u * np.log10(area / 1e6)) * CENTIMETER_PER_HOUR, 600.0,
        "D. Vachon and Y. T. Prairie, 2013, Can. J. Fish. Aquat. Sci. 70:1757-1764 (lakes by size)",
        "second-hand"),
    "Ro 2006": ExchangeFormula(
        lambda u, area: 0.24 * 170.6 / DAY * u**1.81, 0.0,
        "K. S. Ro and P. G. Hunt, 2006, Trans. ASABE 49:1615-1622 (stationary water)", "second-hand"),
}


@quantities(temperature="degC", gives="")
def schmidt_number(temperature):
    """Schmidt number of oxygen that the exchange formulas were fitted with, a pure number.

    temperature (float or array): Fresh water, 0 to 30 C; past 30 C it follows ``water.schmidt_number_oxygen`` in
        proportion, because the cubic must not be stretched.
    References: R. Wanninkhof, 1992, Relationship between wind speed and gas exchange over the ocean, J. Geophys. Res.
        97:7373-7382, Table A1 (second-hand).
    """
    t = np.minimum(np.asarray(temperature, float), 30.0)
    cubic = 1800.6 + t * (-120.10 + t * (3.7818 - t * 0.047608))
    hot = np.asarray(temperature, float) > 30
    if np.any(hot):
        beyond = np.where(hot, temperature, 30.0)
        cubic = cubic * water.schmidt_number_oxygen(beyond) / water.schmidt_number_oxygen(30.0)
    return cubic


@quantities(wind_speed="m/s", temperature="degC", area="m^2", gives="m/s")
def exchange_speed(wind_speed, temperature, formula, area=4046.86):
    """Speed at which oxygen passes the surface, by one published fit.

    wind_speed (float or array): m/s at 10 m, 0 to about 10.
    temperature (float or array): Water, C, 0 to 40.
    formula: A key of :data:`FORMULAS`.
    area: m2 of water; only "Vachon 2013" asks for it. Default one acre.
    Returns: float or array: m/s. One m/d is 1.16e-5 m/s.
    Raises ValueError: For negative wind, an unknown formula, or no area.

    Fits at Schmidt number 600 are brought to oxygen by (Sc/600)^-0.5; a smooth surface would
    call for -0.67, which is 8 % at 20 C (both from memory, not verified). "Banks 1977" and
    "Wanninkhof 1991" are for oxygen at 20 C and follow the same rule.
    "Ro 2006" carries the diffusivity and the density of air itself.
    """
    if formula not in FORMULAS:
        raise Refused(f"there is no formula {formula!r}. Choose one of: {', '.join(FORMULAS)}.", by="exchange_speed")
    if np.any(np.asarray(area) <= 0):
        raise Refused("the area must be more than 0.", by="exchange_speed")
    u = np.asarray(wind_speed, float)
    not_negative("exchange_speed", wind_speed=u)
    if np.any(u > 20):
        warnings.warn(Caution(f"{float(np.max(u)):.3g} m/s is past 20 m/s; the fits for small waters end near 10 m/s "
                              "(Vachon and Prairie 2013, Crusius and Wanninkhof 2003).", by="exchange_speed"),
                      stacklevel=2)
    fit = FORMULAS[formula]
    speed = fit.speed(u, area)
    if fit.schmidt == 0:
        spread = water.oxygen_diffusivity(temperature) / water.kinematic_viscosity(temperature)
        weight = air.density(np.asarray(temperature, float)) / water.density(temperature)
        return speed * np.sqrt(spread * weight)
    fitted_at = schmidt_number(20.0) if fit.schmidt is None else fit.schmidt
    return speed * np.sqrt(fitted_at / schmidt_number(temperature))


@quantities(wind_speed="m/s", temperature="degC", area="m^2", gives="m/s")
def exchange_band(wind_speed, temperature, area=4046.86):
    """Lowest, middle and highest of the published exchange speeds in :data:`FORMULAS`.

    wind_speed, temperature, area: As for :func:`exchange_speed`.
    Returns: Range: m/s. Without wind the low end is 0: three of the fits give nothing, the others up to 0.6 m/d.
    References: Field anchor: Cole and others, 2010, Limnol. Oceanogr. Methods 8:285-293 (abstract seen): lakes of 0.3
        to 45 ha under less than 3 m/s of mean wind showed 0.35 to 0.74 m/d at Schmidt number 600.
    """
    speeds = np.array(np.broadcast_arrays(*(exchange_speed(wind_speed, temperature, name, area) for name in FORMULAS)))
    return Range(speeds.min(0), np.median(speeds, axis=0), speeds.max(0))


OXYGEN_PER_CARBON = 32.0 / 12.011 * 1.2     # g/g; 1.2 molecules of oxygen for one of carbon (from memory)

# Chlorophyll, mg/m3. Ends at 7.5 and 26 are the trophic classes printed beside Carlson's index (city lake
# report, seen); "slightly green" 13 and "pea green" 150 as in ``oxygen.PLANKTON_20C``; the rest is judgment,
# no source.
WATER_COLORS = {"clear": Range(0.5, 2.0, 7.5), "slightly green": Range(7.5, 13.0, 26.0),
                "green": Range(26.0, 55.0, 100.0), "pea green": Range(100.0, 150.0, 300.0)}

# Carbon fixed in full light at 20 C, g for each g of chlorophyll an hour: below 3 nutrients are short, 3 to 5 on the
# edge, 5 to 10 rich water (Curl and Small 1965; abstract seen). Here as oxygen, from poor to rich. The usual one is
# set so that the use it feeds meets what bottles showed in catfish ponds; see ``sources.plankton_respiration``.
ASSIMILATION = Range(*(carbon * OXYGEN_PER_CARBON for carbon in (2.2, 4.5, 7.5)))

# Share of the oxygen made that algae and bacteria use at once, in the light, beyond their steady use. In a
# culture pond 60 % of all that was made was used by day, and the rest about met the night (Szyper and Ebeling
# 1993; abstract seen); with a steady use by day as great as the night's, 20 % or more is left for this.
PROMPT_USE = Range(0.2, 0.35, 0.5)

# All sunlight at which algae come near full speed, W/m2: 100, 200, 350 umol/m2/s of visible light, 2.06 umol
# for each J of sunlight (both from memory, not verified).
LIGHT_SATURATION = Range(50.0, 100.0, 170.0)

# Weeds, full light, g of oxygen per m2 of weed bed an hour. The usual one gives a thick pondweed bed its
# greatest gross production in a long summer day, 7.5 g/m2 (Potamogeton in a Danish stream; abstract seen).
WEED_PRODUCTION = Range(0.25, 0.55, 1.0)
WEED_SATURATION = 150.0             # W/m2; the bed did not reach full speed in full sun (same abstract)
# Film of algae on a bed in full light, g of oxygen for each m2 an hour at 20 C. Our choice, so that the clear one of
# two shallow lakes makes what was seen on its bed half a meter down, 77 % of 141 g of carbon a year (Liboriussen and
# Jeppesen 2003; abstract seen), nearly all of it in seven warm months (judgment).
BED_PRODUCTION = 0.10
GROWTH = 1.066                      # production per C, R. W. Eppley 1972 (from memory, not verified)
MORNING_STEPS = 24
LATITUDE, DAY_OF_YEAR = 39.0, 200   # degrees north and 19 July, where nobody says otherwise


def chlorophyll_by_color(color):
    """Chlorophyll for the color of the water: a Range, mg/m3.

    color: A key of :data:`WATER_COLORS`. Brown or muddy water says nothing of algae: use a Secchi depth and "clear"
        or "slightly green".
    """
    if color not in WATER_COLORS:
        raise ValueError(f"The color {color!r} is not one this set knows. Choose one of: {', '.join(WATER_COLORS)}.")
    return WATER_COLORS[color]


@quantities(chlorophyll="mg/m^3", gives="m")
def secchi_from_chlorophyll(chlorophyll):
    """Secchi depth of water that only algae cloud.

    chlorophyll (float or array): mg/m3, above 0.
    Returns: float or array: m; mud or tea color makes the true one less.
    References: R. E. Carlson, 1977, A trophic state index for lakes, Limnol. Oceanogr. 22:361-369: the two indices
        9.81 ln chl + 30.6 and 60 - 14.41 ln SD (second-hand) set equal.
    """
    positive("secchi_from_chlorophyll", chlorophyll=chlorophyll)
    return np.exp((60 - 30.6 - 9.81 * np.log(chlorophyll)) / 14.41)


def secchi_of(chlorophyll, secchi_depth=None):
    """Secchi depth (m) as measured, or as chlorophyll (mg/m3, 0 counts as 0.1) gives it."""
    if secchi_depth is not None:
        return np.asarray(secchi_depth, float)
    return secchi_from_chlorophyll(np.maximum(chlorophyll, 0.1))


@quantities(secchi_depth="m", gives="mg/m^3")
def chlorophyll_from_secchi(secchi_depth):
    """Chlorophyll if algae alone cloud the water; the inverse of :func:`secchi_from_chlorophyll`."""
    positive("chlorophyll_from_secchi", secchi_depth=secchi_depth)
    return np.exp((60 - 30.6 - 14.41 * np.log(secchi_depth)) / 9.81)


@quantities(latitude="degree", elevation="m", gives="W/m^2")
def light_below_surface(latitude, day, hour, clear_share=1.0, elevation=0.0):
    """Sunlight just under the surface.

    day, hour (float or array): Day of the year and solar hour (noon when the sun is highest).
    clear_share (float or array): Share of clear-sky light that comes through: 1 clear, 0.35 overcast, 0.1 to 0.2 a
        dark day.
    Returns: float or array: W/m2; 0 at night.

    The clear sky of :func:`pondcalc.air.clear_sun`, less 6 % for reflection.
    References: B. Haurwitz, 1945, J. Meteorol. 2:154-166, as coded in pvlib. Sun's height and elevation: R. G. Allen
        and others, 1998, FAO Irrigation and Drainage Paper 56, equations 24 and 37.
    """
    share("light_below_surface", clear_share=clear_share)
    clear = air.clear_sun(latitude, day, hour, elevation)
    return np.where(clear < 1e-3, 0.0, clear) * np.asarray(clear_share, float) * (1 - air.REFLECTED)


def light_use(light, saturation, secchi_depth, top, bottom):
    """Mean share of full speed at which algae work between two depths.

    light, saturation (float or array): W/m2 just under the surface, and the light at which algae come near full
        speed.
    secchi_depth (float or array): m; light fades as exp(-1.7 z/Secchi depth).
    top, bottom (float or array): m, top less than bottom.
    Returns: float or array: 0 to 1.

    Speed at one depth is x/sqrt(1 + x^2), x light over saturation; its mean over depth is
    [asinh x(top) - asinh x(bottom)]/[K (bottom - top)].
    References: E. L. Smith, 1936, Photosynthesis in relation to light and carbon dioxide, Proc. Natl. Acad. Sci.
        22:504 (form second-hand; the depth mean follows by calculus).
    """
    fade = air.light_fade(np.asarray(secchi_depth, float))
    x = np.asarray(light, float) / saturation
    thickness = np.subtract(bottom, top)
    if np.any(thickness <= 0):
        raise Refused("the bottom must lie deeper than the top.", by="light_use")
    return ((np.arcsinh(x * np.exp(-fade * top)) - np.arcsinh(x * np.exp(-fade * bottom)))
            / (fade * thickness))


def clear_day(latitude, day, elevation=0.0):
    """Light of a clear day at even times (W/m2, one a row; none in the dark), and the hours each stands for."""
    hour = (np.arange(MORNING_STEPS) + 0.5) * 12 / MORNING_STEPS            # the afternoon mirrors the morning
    light = light_below_surface(latitude, day, hour, 1.0, elevation)
    return light[light > 0][:, None], 24 / MORNING_STEPS


def clear_day_hours(sky, saturation, secchi_depth, slabs):
    """Hours a day at full speed that a clear sky gives algae, as a mean over all the water.

    sky (tuple): :func:`clear_day`.
    saturation, secchi_depth (float or array): W/m2 and m; see :func:`light_use`.
    slabs (tuple of arrays): Tops and bottoms of slabs of water (m), and their shares of the volume.
    Returns: float or array: h; 0 where the sun stays down.
    """
    light, hours = sky
    return hours * sum(share * light_use(light, saturation, secchi_depth, top, bottom).sum(0)
                       for top, bottom, share in zip(*slabs, strict=True))


def full_speed(chlorophyll, temperature, assimilation=ASSIMILATION.usual):
    """Oxygen (mg/L an hour) that algae make in full light; chlorophyll mg/m3, water C."""
    return 1e-3 * chlorophyll * assimilation * GROWTH ** (temperature - 20)


def bed_light_use(light, saturation, secchi_depth, depth):
    """Share of full speed, 0 to 1, of algae on a bed at a depth (m), as :func:`light_use` in a thin layer there."""
    x = light / saturation * np.exp(-air.light_fade(secchi_depth) * depth)
    return x / np.sqrt(1 + x * x)


def weed_light_use(light):
    """Share of full speed of weeds that hold their leaves near the surface, 0 to 1; light in W/m2."""
    x = np.asarray(light, float) / WEED_SATURATION
    return x / np.sqrt(1 + x * x)


@quantities(chlorophyll="mg/m^3", temperature="degC", secchi_depth="m", depth="m", gives="g/m^2/hour")
def production(chlorophyll, temperature, light, secchi_depth, depth, assimilation=ASSIMILATION.usual):
    """Oxygen that algae make under each square meter of a water column, before any is used.

    chlorophyll (float or array): mg/m3, spread evenly.
    temperature (float or array): Water, C, 5 to 35.
    light (float or array): W/m2 of sunlight just under the surface.
    secchi_depth, depth (float or array): m.
    assimilation: g of oxygen for each g of chlorophyll an hour in full light at 20 C; see :data:`ASSIMILATION`.
    Returns: float or array: g/m2/h.
    Warns UserWarning: Outside 5 to 35 C, where 6.6 % a degree misleads.
    """
    t = np.asarray(temperature, float)
    if np.any((t < 5) | (t > 35)):
        warnings.warn(Caution("outside 5 to 35 C, where the growth of 6.6 % a degree (Eppley 1972, from memory) "
                              "misleads.", by="production"), stacklevel=2)
    if np.any(np.asarray(chlorophyll) < 0):
        raise Refused("chlorophyll must be 0 or more.", by="production")
    working = light_use(light, LIGHT_SATURATION.usual, secchi_depth, 0.0, depth)
    return full_speed(chlorophyll, t, assimilation) * working * depth


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

    `sky` as ``sources.clear_day`` gives it, `warmth` in C above 20, `production` in g/m2 an hour at full
    speed and `use` in g/m2 a day, both at 20 C.
    """
    light, hours = sky
    made = production * GROWTH ** warmth * weed_light_use(light).sum(0) * hours
    return np.maximum(made - use * THETA_PLANKTON ** warmth, 0.0)


@quantities(chlorophyll="mg/m^3", temperature="degC", secchi_depth="m", depth="m", mud_20c="g/m^2/day",
            latitude="degree", gives="mg/L/day")
def plankton_respiration(chlorophyll, temperature, secchi_depth=None, depth=1.0, mud_20c=MUD_20C.usual,
                         latitude=LATITUDE, day=DAY_OF_YEAR, weed_cover=0.0):
    """Oxygen used by all that floats, in each liter of green water a day, as a mean over the depth.

    chlorophyll (float or array): mg/m3 (= ug/L), 0 to about 300; see ``sources.WATER_COLORS``.
    temperature (float or array): Water, C.
    secchi_depth (float or array): m; default from chlorophyll.
    depth (float or array): m of mixed water, with upright sides. The use under each m2 stays the same below the lit
        layer.
    mud_20c (float or array): g/m2 a day; see :func:`plankton_use`.
    latitude, day: For the sun of the season.
    weed_cover: Share of the surface over weed beds, 0 to 1; see :func:`weeds_left`.
    Returns: Range: mg/L a day: algae that work little, as usual, hard; times :data:`PLANKTON_SCATTER`.

    :func:`plankton_use` of what algae make in a clear day less what is used on the spot. It grows 6.6 % per C as
    production does, Q10 1.9; dark bottles of ponds gave 1.5 to 2.0 (Boyd 1973; abstract seen).
    References: C. E. Boyd, R. P. Romaire and E. Johnston, 1978, Predicting early morning dissolved oxygen
        concentrations in channel catfish ponds, Trans. Am. Fish. Soc. 107:484-492 (from memory, not verified): at 28
        C and Secchi depths of 30, 50 and 80 cm 0.39, 0.29 and 0.17 mg/L an hour. This lies within 30 %.
    """
    not_negative("plankton_respiration", chlorophyll=chlorophyll)
    green, t = np.asarray(chlorophyll, float), np.asarray(temperature, float)
    secchi = secchi_of(green, secchi_depth)
    slab = (np.array([0.0]), np.array([depth]), np.array([1.0]))
    sky = clear_day(latitude, day)
    hours = np.reshape(clear_day_hours(sky, LIGHT_SATURATION.usual, secchi, slab), np.shape(secchi))
    kept = hours * (1 - PROMPT_USE.usual)
    mud = mud_20c * THETA_MUD ** (t - 20) / depth
    weeds = (weed_cover / depth * np.reshape(weeds_left(sky, t - 20, *ends), np.shape(t))
             for ends in zip(WEED_PRODUCTION, WEED_USE, strict=True))
    return Range(*(scatter * plankton_use(kept * full_speed(green, t, assimilation) + more, mud)
                   for scatter, assimilation, more in zip(PLANKTON_SCATTER, ASSIMILATION, weeds, strict=True)))


@quantities(temperature="degC", gives="g/m^2/day")
def mud_respiration(temperature, kind="ordinary"):
    """Oxygen used by the mud under each square meter a day: a Range for a key of :data:`MUD_KINDS`.

    Grows 6.5 % per C (1.04 to 1.13 have been printed; from memory). Mud that is stirred up uses
    far more for an hour or two; that is not in here.
    """
    if kind not in MUD_KINDS:
        raise Refused(f"there is no mud {kind!r}. Choose one of: {', '.join(MUD_KINDS)}.", by="mud_respiration")
    return Range(*(rate * THETA_MUD ** (np.asarray(temperature, float) - 20) for rate in MUD_KINDS[kind]))


@quantities(feed_per_day="kg/day", gives="kg/day")
def feed_load(feed_per_day):
    """Oxygen that wasted feed and droppings will ask for, each day of feeding; fish count apart.

    feed_per_day (float or array): kg a day.
    Returns: Range: kg of oxygen a day.
    References: C. E. Boyd, Oxygen demand of aquaculture feed, Global Seafood Alliance (seen): 1.25 kg for each kg.
    """
    not_negative("feed_load", feed_per_day=feed_per_day)
    return Range(*(FEED_DEMAND * share * np.asarray(feed_per_day, float) for share in FEED_WASTED))
