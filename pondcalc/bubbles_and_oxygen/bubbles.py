"""How fast does one bubble rise, and how much of its oxygen does it give up on the way?

Speed and the trade of gas depend on size and on how clean the water is. A film of natural oils and algae slime stiffens
the skin of a small bubble, which then rises, and trades gas, like a small solid ball. The speeds here are those
measured in natural water; of gas transfer the measured law stands between two that bound it, for a skin that is free
and for one that is stiff.

The discrete-bubble model follows one bubble of each size up through the water, letting oxygen AND nitrogen cross its
skin in both directions while pressure, temperature and size change. Every size and every depth is carried at once, as
arrays, with a fixed-step fourth-order Runge-Kutta rule.

All sizes are DIAMETERS of a ball of the same volume, never radii; the starting size is that AT the diffuser, under
pressure. Oxygen is in mg/L (the same number as g/m3). A share of 0.25 means that a quarter of the oxygen blown in has
dissolved. Argon is counted with the nitrogen.
"""

import warnings
from collections.abc import Callable
from typing import Annotated, Any, NamedTuple

import numpy as np

from .. import water
from ..air import GRAVITY
from ..refusals import Caution
from ..spellings import either
from ..units import QuantityError, quantities
from ..water import GAS_CONSTANT, NITROGEN_MOLAR_MASS, OXYGEN_MOLAR_MASS, OXYGEN_SHARE, ZERO_C

DIAMETER_RANGE = (1e-4, 0.020)     # m, for which the laws here are used


class Liquid(NamedTuple):
    """What a bubble needs to know about the water round it, in SI units."""

    kinematic_viscosity: float  # m2/s
    diffusivity: float          # oxygen in water, m2/s


def liquid(temperature):
    """Properties of fresh water at a temperature in degC, as a :class:`Liquid`."""
    return Liquid(water.kinematic_viscosity(temperature), water.oxygen_diffusivity(temperature))


def natural_speed(d):
    """Rise speed (m/s) in natural water by Wüest, Brooks & Imboden (1992): three branches of size (m)."""
    r = d / 2
    return np.where(r < 7.0e-4, 4474 * r**1.357, np.where(r < 5.1e-3, 0.23, 4.202 * r**0.547))


# ---- transfer coefficient (m/s): one function a published law; diameter (m), speed (m/s) and Liquid in ----

REFERENCE_DIFFUSIVITY = 1.76e-9      # m2/s, Han & Bartels (1996) at 20 C


def _kl_natural(d, speed, fluid):
    return np.where(d / 2 < 6.67e-4, 0.6 * d / 2, 4.0e-4) * np.sqrt(fluid.diffusivity / REFERENCE_DIFFUSIVITY)


def _kl_free_skin(d, speed, fluid):
    return 2 * np.sqrt(fluid.diffusivity * speed / (np.pi * d))


def _kl_stiff_skin(d, speed, fluid):
    reynolds, schmidt = speed * d / fluid.kinematic_viscosity, fluid.kinematic_viscosity / fluid.diffusivity
    return (2 + 0.6 * reynolds ** 0.5 * schmidt ** (1 / 3)) * fluid.diffusivity / d


# Clean-skin (Higbie 1935, Trans. AIChE 31, 365-389) and stiff-skin (Frössling 1938, Gerlands Beitr. Geophys. 52,
# 170-216) values differ by a factor of five at 2 mm. Alves, Orvalho & Vasconcelos (2005, Chem. Eng. Sci. 60, 1-9) saw
# why: the clean front of a bubble follows the first, the dirty cap at the back the second. What Wüest et al. (1992)
# measured, 0.6 r and then 4e-4 m/s, lies between. Those authors give no temperature term; the root of the diffusivity
# ratio, which every mobile-skin theory has, is added.
TRANSFER_FORMS = {"natural": _kl_natural, "free skin": _kl_free_skin, "stiff skin": _kl_stiff_skin}


def checked_diameter(diameter):
    """Diameters as an array, after the checks every function here makes."""
    diameter, limits = np.asarray(diameter, float), DIAMETER_RANGE
    if not np.all(diameter > 0):
        raise QuantityError("A bubble diameter must be more than zero; it was given "
                            f"{np.min(diameter) * 1000:g} mm. Pond diffusers make about 1 to 10 mm.")
    if np.any(diameter < limits[0] * (1 - 1e-9)) or np.any(diameter > limits[1] * (1 + 1e-9)):
        warnings.warn(Caution(f"Bubble diameter outside {limits[0] * 1000:g} to {limits[1] * 1000:g} mm, the range in "
                              "which the law of its speed was compared with others (Wüest, Brooks & Imboden 1992; "
                              "Clift, Grace & Weber 1978)."), stacklevel=3)
    return diameter


@quantities(diameter="m", gives="m/s")
def rise_speed(diameter):
    """Steady rise speed of one air bubble in still natural water.

    diameter (float or array, m): Diameter of the ball of the same volume, 0.1 to 20 mm.
    Returns: float or array, m/s.
    Warns UserWarning: If a diameter lies outside 0.1 to 20 mm.
    Raises QuantityError: For a diameter of zero or less.
    References: Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Bubble plume modeling for lake restoration. Water
        Resour. Res. 28, 3235-3250.
    """
    return natural_speed(checked_diameter(diameter))[()]


def skin_area(gas_volume, diameter):
    """Skin of all the bubbles that a volume of gas makes, 6 V / d.

    gas_volume (float or array, m3): At the pressure where the bubbles are.
    diameter (float or array, m): All bubbles alike.
    """
    if not (np.all(np.asarray(gas_volume) >= 0) and np.all(np.asarray(diameter) > 0)):
        raise QuantityError("skin_area needs a volume of gas of 0 or more and a bubble size above zero; it was given "
                            f"{gas_volume} m3 and {diameter} m.")
    return 6 * gas_volume / diameter


GONE = 2e-5                         # m; a bubble this small counts as dissolved (its skin alone adds 15 kPa)


class Physics(NamedTuple):
    """The laws one run of the model uses; each can be switched off by a test."""

    rise: Callable = natural_speed
    transfer: Callable = TRANSFER_FORMS["natural"]
    henry_oxygen: Callable = water.henry_oxygen
    henry_nitrogen: Callable = water.henry_nitrogen
    vapor_pressure: Callable = water.vapor_pressure
    density: Callable = water.density
    alpha: Any = 1.0                # K_L in this water over that of the law; an array carries several waters at once


NATURAL = Physics()                 # natural water, as measured


class _Around(NamedTuple):
    """What surrounds the bubbles at one height, each a number or an array over the bubbles."""

    kelvin: Any
    dry_pressure: Any               # Pa, total less water vapor
    henry_oxygen: Any
    henry_nitrogen: Any
    oxygen: Any                     # mol/m3 dissolved
    nitrogen: Any
    plume_speed: Any
    fluid: Liquid


def _surroundings(z, column, laws):
    """:class:`_Around` at depths `z` (m), an array of any shape."""
    if column.uniform:
        z_read = np.array([column.depth[0]], float)
    else:
        z_read = z
    t, salt, surface = column.at("temperature", z_read), column.water.salinity, column.water.pressure_absolute
    mean_density = np.mean(laws.density(np.atleast_1d(column.temperature)))
    vapor = laws.vapor_pressure(t)
    henry_oxygen, henry_nitrogen = laws.henry_oxygen(t, salt), laws.henry_nitrogen(t, salt)
    if column.dissolved_nitrogen is None:
        nitrogen = henry_nitrogen * (1 - OXYGEN_SHARE) * (surface - vapor)
    else:
        nitrogen = column.at("dissolved_nitrogen", z_read) / NITROGEN_MOLAR_MASS
    pressure = surface + mean_density * GRAVITY * z
    return _Around(t + ZERO_C, pressure - vapor, henry_oxygen, henry_nitrogen,
                   column.at("dissolved_oxygen", z_read) / OXYGEN_MOLAR_MASS, nitrogen,
                   column.at("plume_speed", z_read), liquid(t))


def _level(around, k):
    """The surroundings at level `k`; fields that do not change with depth have one level."""
    def pick(value):
        return np.reshape(value, -1)[0] if np.size(value) == 1 else value[k]
    fields = [pick(value) for value in around[:-1]]
    return _Around(*fields, Liquid(*(pick(value) for value in around.fluid)))


def _steps_needed(d0, h, around, laws, least):
    """Enough steps, `least` or more, to keep the fastest exchange well inside the stable range of the rule."""
    rise = laws.rise(d0) + around.plume_speed
    rate = 6 * laws.alpha * laws.transfer(d0, rise - around.plume_speed,
                                          around.fluid) * GAS_CONSTANT * around.kelvin / (d0 * rise)
    return int(np.clip(np.ceil(4 * np.max(rate * np.maximum(around.henry_oxygen, around.henry_nitrogen) * h)),
                       least, 4000))


def follow(d0, h, column, laws=NATURAL, share=OXYGEN_SHARE, keep=False, least=20):
    """Carry bubbles of size `d0` (m) up from depth `h` (m); the two broadcast together.

    Returns oxygen, nitrogen (shares of all the first gas), diameter (m) and time (s), at
    the surface or, with ``keep``, at every level, the first axis running upward.
    A bubble smaller than :data:`GONE` has dissolved.
    """
    d0, h = np.asarray(d0, float), np.asarray(h, float)
    shape = np.broadcast_shapes(d0.shape, h.shape, np.shape(laws.alpha))
    bottom = _level(_surroundings(h[None], column, laws), 0)
    n = _steps_needed(d0, h, bottom, laws, 40 if keep else least)       # smooth curves, or right ends
    z = h * (1 - np.arange(2 * n + 1).reshape((-1,) + (1,) * h.ndim) / (2 * n))
    around = _surroundings(z, column, laws)
    volume0 = d0**3 * bottom.dry_pressure / bottom.kelvin     # times 6 R / pi: mol of dry gas at the start
    # flux = pi d^2 K_L (...); start moles = pi d0^3 P0 / (6 R T0)
    area_scale = 6 * GAS_CONSTANT / volume0 * h * laws.alpha

    def diameter(total, at):
        return np.cbrt(volume0 * np.maximum(total, 0) * at.kelvin / at.dry_pressure)

    def _rates(state, at):
        oxygen, nitrogen = np.maximum(state[:2], 0)
        total = oxygen + nitrogen
        d = diameter(total, at)
        here = d > GONE
        d = np.maximum(d, GONE)
        rise = laws.rise(d)
        speed = rise + at.plume_speed
        flux = here * area_scale * d**2 * laws.transfer(d, rise, at.fluid) / speed
        partial = at.dry_pressure / np.maximum(total, 1e-12)
        slope = np.empty_like(state)
        slope[0] = flux * (at.oxygen - at.henry_oxygen * partial * oxygen)
        slope[1] = flux * (at.nitrogen - at.henry_nitrogen * partial * nitrogen)
        slope[2] = here * h / speed
        return slope

    state = np.stack([np.full(shape, share), np.full(shape, 1 - share), np.zeros(shape)])
    kept = [state] if keep else None
    step = 1.0 / n
    low = bottom
    for i in range(n):
        middle, high = _level(around, 2 * i + 1), _level(around, 2 * i + 2)
        k1 = _rates(state, low)
        k2 = _rates(state + step / 2 * k1, middle)
        k3 = _rates(state + step / 2 * k2, middle)
        k4 = _rates(state + step * k3, high)
        state = np.maximum(state + step / 6 * (k1 + 2 * (k2 + k3) + k4), 0)
        low = high
        state[:2] *= diameter(state[0] + state[1], low) > GONE
        if keep:
            kept.append(state)
    if not keep:
        return state[0], state[1], diameter(state[0] + state[1], low), state[2]
    kept = np.array(kept)
    sizes = np.array([diameter(kept[i, 0] + kept[i, 1], _level(around, 2 * i)) for i in range(n + 1)])
    return kept[:, 0], kept[:, 1], sizes, kept[:, 2], z[::2]


class Fate(NamedTuple):
    """What became of a bubble by the time it reached the surface."""

    oxygen_transferred: Annotated[Any, ""]         # share of its oxygen that dissolved
    nitrogen_transferred: Annotated[Any, ""]       # share of its nitrogen; negative if it took nitrogen in
    top_diameter: Annotated[Any, "m"]               # m, 0 if it dissolved on the way
    rise_time: Annotated[Any, "s"]                  # s to the surface, or until it had dissolved


def _ready(diameter, depth):
    diameter, depth = checked_diameter(diameter), np.asarray(depth, float)
    if not np.all((depth > 0) & (depth <= 100)):
        raise QuantityError(f"The diffuser must be under water, at most {either('330 ft', '100 m')} down; it was given "
                            f"{depth} m.")
    return diameter, depth


def bubble_fate(diameter, depth, column):
    """What bubbles of a given size, let go at a given depth, have given up by the surface.

    diameter (float or array, m): Size at the diffuser, under pressure; 0.1 to 20 mm.
    depth (float or array, m): Depth of the diffuser below the surface, up to 100 m; broadcasts with `diameter`.
    column (Column): The water; :func:`pondcalc.bubbles_and_oxygen.plume.uniform_column` makes a simple one.
    Returns: Fate.

    For i = O2, N2, per bubble, with height as the free variable::

        dn_i/dz = -pi d^2 K_L (H_i p_i - C_i) / (v + U),   p_i = (n_i/n) (P - P_vapor)
        pi d^3 / 6 = n R T / (P - P_vapor)

    Both gases use the same K_L (nitrogen's is about 5 % lower). Left out: surface-tension
    pressure (0.3 % at 1 mm, 3 % at 0.1 mm), bubbles merging, and the oxygen the plume water
    gains on its way.
    References: McGinnis, D.F. & Little, J.C. (2002). Predicting diffused-bubble oxygen transfer rate using the
        discrete-bubble model. Water Research 36, 4627-4635. Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Water
        Resour. Res. 28, 3235-3250.
    """
    diameter, depth = _ready(diameter, depth)
    oxygen, nitrogen, top, time = follow(diameter, depth, column)
    return Fate((1 - oxygen / OXYGEN_SHARE)[()], (1 - nitrogen / (1 - OXYGEN_SHARE))[()], top[()], time[()])


@quantities(diameter="m", depth="m", gives="")
def oxygen_transferred(diameter, depth, column):
    """Share of the oxygen blown in that dissolves on the way up; see :func:`bubble_fate`."""
    return bubble_fate(diameter, depth, column).oxygen_transferred


def oxygen_sweep(diameter, depth, column):
    """Share transferred for every depth and every size: rows are depths, columns are sizes.

    diameter, depth (1-D array, m), column (Column).
    """
    return oxygen_transferred(np.atleast_1d(diameter)[None, :], np.atleast_1d(depth)[:, None], column)


class Path(NamedTuple):
    """One bubble on its way up; arrays from the diffuser to the surface."""

    depth: Annotated[Any, "m"]                      # m
    diameter: Annotated[Any, "m"]                   # m
    oxygen_left: Annotated[Any, ""]                # share of the first oxygen
    nitrogen_left: Annotated[Any, ""]              # share of the first nitrogen
    time: Annotated[Any, "s"]                       # s since it left the diffuser


def bubble_path(diameter, depth, column):
    """The whole way of a bubble (or of several sizes from one depth), for drawing.

    Returns: Path: With several sizes the second axis runs over them, except for the depth.
    """
    diameter, depth = _ready(diameter, depth)
    oxygen, nitrogen, size, time, z = follow(diameter, depth, column, keep=True)
    return Path(z, size, oxygen / OXYGEN_SHARE, nitrogen / (1 - OXYGEN_SHARE), time)


# log-normal crowds: two thirds of the bubbles by number lie within this factor of the middle one (our choice)
SPREAD = 1.4
SIZES = 9                           # points of the rule that adds a crowd up


def size_spread(sauter_mean):
    """Sizes, and the share of the gas in each, that stand for a log-normal crowd of bubbles.

    sauter_mean (float or array, m): Volume-to-surface mean diameter, the size trade and research papers quote.
    Returns: diameter : array, m: With several means the last axis runs over the sizes of each. share : array: Share
        of the gas VOLUME carried by each size; adds to 1.

    If numbers are log-normal with log-deviation s, so is gas volume, with its middle at
    ``sauter_mean * exp(s**2 / 2)``. Gauss-Hermite points and weights make every mean of a
    smooth function of size accurate with few sizes.
    References: Aitchison, J. & Brown, J.A.C. (1957). The Lognormal Distribution.
    """
    sauter_mean = np.asarray(sauter_mean, float)
    if not np.all(sauter_mean > 0):
        raise QuantityError("A crowd of bubbles needs a mean size above zero; it was given "
                            f"{np.min(sauter_mean) * 1000:g} mm.")
    s = np.log(SPREAD)
    points, weights = np.polynomial.hermite.hermgauss(SIZES)
    return sauter_mean[..., None] * np.exp(s**2 / 2 + np.sqrt(2) * s * points), weights / np.sqrt(np.pi)


def oxygen_transferred_by_spread(sauter_mean, depth, column, alpha=1.0):
    """Share of the oxygen transferred by a log-normal crowd of bubbles.

    sauter_mean (float or array, m): As in :func:`size_spread`; several means give one share each.
    depth (float or array, m): Broadcasts with the means.
    column (Column), alpha (float or array): K_L in this water over that of the law; broadcasts too.
    """
    sizes, share = size_spread(sauter_mean)
    sizes, depth = _ready(np.clip(sizes, *DIAMETER_RANGE), np.asarray(depth, float)[..., None])
    laws = NATURAL._replace(alpha=np.asarray(alpha, float)[..., None])
    left = follow(sizes, depth, column, laws, least=10)[0]          # errors of the sizes even out
    return ((1 - left / OXYGEN_SHARE) @ share)[()]
