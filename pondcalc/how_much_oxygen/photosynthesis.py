"""How much oxygen do the pond's plants make in the light?

Green water makes oxygen near the top, where the light is. The greener the water, the faster
light fades, so a thick bloom makes much in a thin layer and nothing below; past some greenness
more algae make no more oxygen, only more night-time use. This module turns the color of the water
or the depth where a white disk is lost (Secchi depth), and the sun, into oxygen made.

Inside the package chlorophyll is mg/m3 (= ug/L), light W/m2 of all sunlight, production of algae
g of oxygen for each g of chlorophyll an hour, of weeds g/m2/h.

What this leaves out: harm by very strong light, lack of nutrients within a day, scum that floats,
and the bubbles that leave when the water is far over saturation.
"""

import warnings

import numpy as np

from .. import surfaceheat
from ..limits import positive, share
from ..refusals import Caution, Refused
from ..units import Range, quantities

__all__ = ["WATER_COLORS", "ASSIMILATION", "LIGHT_SATURATION", "PROMPT_USE", "WEED_PRODUCTION",
           "BED_PRODUCTION", "chlorophyll_by_color", "secchi_from_chlorophyll", "secchi_of", "chlorophyll_from_secchi",
           "light_below_surface", "light_use", "clear_day", "clear_day_hours", "full_speed", "production",
           "bed_light_use", "weed_light_use"]

OXYGEN_PER_CARBON = 32.0 / 12.011 * 1.2     # g/g; 1.2 molecules of oxygen for one of carbon (from memory)

# Chlorophyll, mg/m3. Ends at 7.5 and 26 are the trophic classes printed beside Carlson's index (city lake
# report, seen); "slightly green" 13 and "pea green" 150 as in ``oxygen.PLANKTON_20C``; the rest is judgment,
# no source.
WATER_COLORS = {"clear": Range(0.5, 2.0, 7.5), "slightly green": Range(7.5, 13.0, 26.0),
                "green": Range(26.0, 55.0, 100.0), "pea green": Range(100.0, 150.0, 300.0)}

# Carbon fixed in full light at 20 C, g for each g of chlorophyll an hour: below 3 nutrients are short, 3 to 5 on the
# edge, 5 to 10 rich water (Curl and Small 1965; abstract seen). Here as oxygen, from poor to rich. The usual one is
# set so that the use it feeds meets what bottles showed in catfish ponds; see ``respiration.plankton_respiration``.
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


def chlorophyll_by_color(color):
    """Chlorophyll for the color of the water: a Range, mg/m3.

    Parameters
    ----------
    color : str
        A key of :data:`WATER_COLORS`. Brown or muddy water says nothing of algae: use a Secchi depth
        and "clear" or "slightly green".
    """
    if color not in WATER_COLORS:
        raise ValueError(f"The color {color!r} is not one this set knows. Choose one of: {', '.join(WATER_COLORS)}.")
    return WATER_COLORS[color]


@quantities(chlorophyll="mg/m^3", gives="m")
def secchi_from_chlorophyll(chlorophyll):
    """Secchi depth of water that only algae cloud.

    Parameters
    ----------
    chlorophyll : float or array
        mg/m3, above 0.

    Returns
    -------
    float or array
        m; mud or tea color makes the true one less.

    References
    ----------
    R. E. Carlson, 1977, A trophic state index for lakes, Limnol. Oceanogr. 22:361-369: the two indices
    9.81 ln chl + 30.6 and 60 - 14.41 ln SD (second-hand) set equal.
    """
    positive("secchi_from_chlorophyll", chlorophyll=chlorophyll)
    return np.exp((60 - 30.6 - 9.81 * np.log(chlorophyll)) / 14.41)


def secchi_of(chlorophyll, secchi_depth=None):
    """Secchi depth (m) as measured, or as chlorophyll (mg/m3, 0 counts as 0.1) gives it."""
    if secchi_depth is not None:
        return np.asarray(secchi_depth, float)
    return secchi_from_chlorophyll.si(np.maximum(chlorophyll, 0.1))


@quantities(secchi_depth="m", gives="mg/m^3")
def chlorophyll_from_secchi(secchi_depth):
    """Chlorophyll if algae alone cloud the water; the inverse of :func:`secchi_from_chlorophyll`."""
    positive("chlorophyll_from_secchi", secchi_depth=secchi_depth)
    return np.exp((60 - 30.6 - 14.41 * np.log(secchi_depth)) / 9.81)


@quantities(latitude="degree", elevation="m", gives="W/m^2")
def light_below_surface(latitude, day, hour, clear_share=1.0, elevation=0.0):
    """Sunlight just under the surface.

    Parameters
    ----------
    latitude : quantity
    day, hour : float or array
        Day of the year and solar hour (noon when the sun is highest).
    clear_share : float or array, optional
        Share of clear-sky light that comes through: 1 clear, 0.35 overcast, 0.1 to 0.2 a dark day.
    elevation : quantity, optional

    Returns
    -------
    float or array
        W/m2; 0 at night.

    Notes
    -----
    The clear sky of :func:`pondcalc.surfaceheat.clear_sun`, less 6 % for reflection.

    References
    ----------
    B. Haurwitz, 1945, J. Meteorol. 2:154-166, as coded in pvlib. Sun's height and elevation: R. G. Allen and
    others, 1998, FAO Irrigation and Drainage Paper 56, equations 24 and 37.
    """
    share("light_below_surface", clear_share=clear_share)
    clear = surfaceheat.clear_sun.si(latitude, day, hour, elevation)
    return np.where(clear < 1e-3, 0.0, clear) * np.asarray(clear_share, float) * (1 - surfaceheat.REFLECTED)


@quantities(secchi_depth="m", top="m", bottom="m", gives="")
def light_use(light, saturation, secchi_depth, top, bottom):
    """Mean share of full speed at which algae work between two depths.

    Parameters
    ----------
    light, saturation : float or array
        W/m2 just under the surface, and the light at which algae come near full speed.
    secchi_depth : float or array
        m; light fades as exp(-1.7 z/Secchi depth).
    top, bottom : float or array
        m, top less than bottom.

    Returns
    -------
    float or array
        0 to 1.

    Notes
    -----
    Speed at one depth is x/sqrt(1 + x^2), x light over saturation; its mean over depth is
    [asinh x(top) - asinh x(bottom)]/[K (bottom - top)].

    References
    ----------
    E. L. Smith, 1936, Photosynthesis in relation to light and carbon dioxide, Proc. Natl. Acad. Sci. 22:504
    (form second-hand; the depth mean follows by calculus).
    """
    fade = surfaceheat.light_fade.si(np.asarray(secchi_depth, float))
    x = np.asarray(light, float) / saturation
    thickness = np.subtract(bottom, top)
    if np.any(thickness <= 0):
        raise Refused("the bottom must lie deeper than the top.", by="light_use")
    return ((np.arcsinh(x * np.exp(-fade * top)) - np.arcsinh(x * np.exp(-fade * bottom)))
            / (fade * thickness))


def clear_day(latitude, day, elevation=0.0):
    """Light of a clear day at even times (W/m2, one a row; none in the dark), and the hours each stands for."""
    hour = (np.arange(MORNING_STEPS) + 0.5) * 12 / MORNING_STEPS            # the afternoon mirrors the morning
    light = light_below_surface.si(latitude, day, hour, 1.0, elevation)
    return light[light > 0][:, None], 24 / MORNING_STEPS


def clear_day_hours(sky, saturation, secchi_depth, slabs):
    """Hours a day at full speed that a clear sky gives algae, as a mean over all the water.

    Parameters
    ----------
    sky : tuple
        :func:`clear_day`.
    saturation, secchi_depth : float or array
        W/m2 and m; see :func:`light_use`.
    slabs : tuple of arrays
        Tops and bottoms of slabs of water (m), and their shares of the volume.

    Returns
    -------
    float or array
        h; 0 where the sun stays down.
    """
    light, hours = sky
    return hours * sum(share * light_use.si(light, saturation, secchi_depth, top, bottom).sum(0)
                       for top, bottom, share in zip(*slabs, strict=True))


def full_speed(chlorophyll, temperature, assimilation=ASSIMILATION.usual):
    """Oxygen (mg/L an hour) that algae make in full light; chlorophyll mg/m3, water C."""
    return 1e-3 * chlorophyll * assimilation * GROWTH ** (temperature - 20)


def bed_light_use(light, saturation, secchi_depth, depth):
    """Share of full speed, 0 to 1, of algae on a bed at a depth (m), as :func:`light_use` in a thin layer there."""
    x = light / saturation * np.exp(-surfaceheat.light_fade.si(secchi_depth) * depth)
    return x / np.sqrt(1 + x * x)


def weed_light_use(light):
    """Share of full speed of weeds that hold their leaves near the surface, 0 to 1; light in W/m2."""
    x = np.asarray(light, float) / WEED_SATURATION
    return x / np.sqrt(1 + x * x)


@quantities(chlorophyll="mg/m^3", temperature="degC", secchi_depth="m", depth="m", gives="g/m^2/hour")
def production(chlorophyll, temperature, light, secchi_depth, depth, assimilation=ASSIMILATION.usual,
               saturation=LIGHT_SATURATION.usual):
    """Oxygen that algae make under each square meter of a water column, before any is used.

    Parameters
    ----------
    chlorophyll : float or array
        mg/m3, spread evenly.
    temperature : float or array
        Water, C, 5 to 35.
    light : float or array
        W/m2 of sunlight just under the surface.
    secchi_depth, depth : float or array
        m.
    assimilation : float, optional
        g of oxygen for each g of chlorophyll an hour in full light at 20 C; see :data:`ASSIMILATION`.
    saturation : float, optional
        W/m2; see :data:`LIGHT_SATURATION`.

    Returns
    -------
    float or array
        g/m2/h.

    Warns
    -----
    UserWarning
        Outside 5 to 35 C, where 6.6 % a degree misleads.
    """
    t = np.asarray(temperature, float)
    if np.any((t < 5) | (t > 35)):
        warnings.warn(Caution("outside 5 to 35 C, where the growth of 6.6 % a degree (Eppley 1972, from memory) "
                              "misleads.", by="production"), stacklevel=2)
    if np.any(np.asarray(chlorophyll) < 0):
        raise Refused("chlorophyll must be 0 or more.", by="production")
    return full_speed(chlorophyll, t, assimilation) * light_use.si(light, saturation, secchi_depth, 0.0, depth) * depth
