"""How much of its oxygen does a bubble give up between the diffuser and the surface?

The discrete-bubble model: follow one bubble of each size up through the water,
letting oxygen AND nitrogen cross its skin in both directions while pressure,
temperature and size change. Every size and every depth is carried at once, as
arrays, with a fixed-step fourth-order Runge-Kutta rule.

Oxygen concentrations are in mg/L (the same number as g/m3). A share of 0.25
means that a quarter of the oxygen blown in has dissolved. The starting size is
the size AT the diffuser, under pressure. Argon is counted with the nitrogen.
"""

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from .. import water
from ..air import GRAVITY
from ..units import QuantityError, quantities
from ..water import GAS_CONSTANT, NITROGEN_MOLAR_MASS, OXYGEN_MOLAR_MASS, OXYGEN_SHARE, ZERO_C
from ..wording import either
from . import bubbles

__all__ = ["Fate", "Path", "bubble_fate", "oxygen_transferred", "bubble_path",
           "oxygen_sweep", "size_spread", "oxygen_transferred_by_spread"]

GONE = 2e-5                         # m; a bubble this small counts as dissolved (its skin alone adds 15 kPa)


class Physics(NamedTuple):
    """The laws one run of the model uses; each can be switched off by a test."""

    rise: Callable = bubbles.natural_speed
    transfer: Callable = bubbles.TRANSFER_FORMS["natural"]
    henry_oxygen: Callable = water.henry_oxygen.si
    henry_nitrogen: Callable = water.henry_nitrogen.si
    vapor_pressure: Callable = water.vapor_pressure.si
    density: Callable = water.density.si


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
    fluid: bubbles.Liquid


def _surroundings(z, column, laws):
    """:class:`_Around` at depths `z` (m), an array of any shape."""
    if column.uniform:
        z_read = np.array([column.depth[0]], float)
    else:
        z_read = z
    t = column.at("temperature", z_read)
    mean_density = np.mean(laws.density(np.atleast_1d(column.temperature)))
    vapor = laws.vapor_pressure(t)
    henry_oxygen, henry_nitrogen = laws.henry_oxygen(t), laws.henry_nitrogen(t)
    if column.dissolved_nitrogen is None:
        nitrogen = henry_nitrogen * (1 - OXYGEN_SHARE) * (column.surface_pressure_absolute - vapor)
    else:
        nitrogen = column.at("dissolved_nitrogen", z_read) / NITROGEN_MOLAR_MASS
    pressure = column.surface_pressure_absolute + mean_density * GRAVITY * z
    return _Around(t + ZERO_C, pressure - vapor, henry_oxygen, henry_nitrogen,
                   column.at("dissolved_oxygen", z_read) / OXYGEN_MOLAR_MASS, nitrogen,
                   column.at("plume_speed", z_read), bubbles.liquid(t))


def _level(around, k):
    """The surroundings at level `k`; fields that do not change with depth have one level."""
    def pick(value):
        return np.reshape(value, -1)[0] if np.size(value) == 1 else value[k]
    fields = [pick(value) for value in around[:-1]]
    return _Around(*fields, bubbles.Liquid(*(pick(value) for value in around.fluid)))


def _steps_needed(d0, h, around, laws, least):
    """Enough steps, `least` or more, to keep the fastest exchange well inside the stable range of the rule."""
    rise = laws.rise(d0) + around.plume_speed
    rate = 6 * laws.transfer(d0, rise - around.plume_speed,
                             around.fluid) * GAS_CONSTANT * around.kelvin / (d0 * rise)
    return int(np.clip(np.ceil(4 * np.max(rate * np.maximum(around.henry_oxygen, around.henry_nitrogen) * h)),
                       least, 4000))


def follow(d0, h, column, laws=NATURAL, share=OXYGEN_SHARE, steps=None, keep=False):
    """Carry bubbles of size `d0` (m) up from depth `h` (m); the two broadcast together.

    Returns oxygen, nitrogen (shares of all the first gas), diameter (m) and time (s), at
    the surface or, with ``keep``, at every level, the first axis running upward.
    A bubble smaller than :data:`GONE` has dissolved.
    """
    d0, h = np.asarray(d0, float), np.asarray(h, float)
    shape = np.broadcast_shapes(d0.shape, h.shape)
    bottom = _level(_surroundings(h[None], column, laws), 0)
    n = steps or _steps_needed(d0, h, bottom, laws, 40 if keep else 20)       # smooth curves, or right ends
    z = h * (1 - np.arange(2 * n + 1).reshape((-1,) + (1,) * h.ndim) / (2 * n))
    around = _surroundings(z, column, laws)
    volume0 = d0**3 * bottom.dry_pressure / bottom.kelvin     # times 6 R / pi: mol of dry gas at the start
    # flux = pi d^2 K_L (...); start moles = pi d0^3 P0 / (6 R T0)
    area_scale = 6 * GAS_CONSTANT / volume0 * h

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

    oxygen_transferred: Any         # share of its oxygen that dissolved
    nitrogen_transferred: Any       # share of its nitrogen; negative if it took nitrogen in
    top_diameter: Any               # m, 0 if it dissolved on the way
    rise_time: Any                  # s to the surface, or until it had dissolved


def _ready(diameter, depth):
    diameter, depth = bubbles.checked_diameter(diameter), np.asarray(depth, float)
    if not np.all((depth > 0) & (depth <= 100)):
        raise QuantityError(f"The diffuser must be under water, at most {either('330 ft', '100 m')} down; it was given "
                            f"{depth} m.")
    return diameter, depth


@quantities(diameter="m", depth="m", gives=("", "", "m", "s"))
def bubble_fate(diameter, depth, column):
    """What bubbles of a given size, let go at a given depth, have given up by the surface.

    Parameters
    ----------
    diameter : float or array, m
        Size at the diffuser, under pressure; 0.1 to 20 mm.
    depth : float or array, m
        Depth of the diffuser below the surface, up to 100 m; broadcasts with `diameter`.
    column : Column
        The water; :func:`pondcalc.bubbles_and_oxygen.column.uniform_column` makes a simple one.

    Returns
    -------
    Fate

    Notes
    -----
    For i = O2, N2, per bubble, with height as the free variable::

        dn_i/dz = -pi d^2 K_L (H_i p_i - C_i) / (v + U),   p_i = (n_i/n) (P - P_vapor)
        pi d^3 / 6 = n R T / (P - P_vapor)

    Both gases use the same K_L (nitrogen's is about 5 % lower). Left out: surface-tension
    pressure (0.3 % at 1 mm, 3 % at 0.1 mm), bubbles merging, and the oxygen the plume water
    gains on its way.

    References
    ----------
    McGinnis, D.F. & Little, J.C. (2002). Predicting diffused-bubble oxygen transfer rate using
    the discrete-bubble model. Water Research 36, 4627-4635.
    Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Water Resour. Res. 28, 3235-3250.
    """
    diameter, depth = _ready(diameter, depth)
    oxygen, nitrogen, top, time = follow(diameter, depth, column)
    return Fate((1 - oxygen / OXYGEN_SHARE)[()], (1 - nitrogen / (1 - OXYGEN_SHARE))[()], top[()], time[()])


@quantities(diameter="m", depth="m", gives="")
def oxygen_transferred(diameter, depth, column):
    """Share of the oxygen blown in that dissolves on the way up; see :func:`bubble_fate`."""
    return bubble_fate.si(diameter, depth, column).oxygen_transferred


@quantities(diameter="m", depth="m", gives="")
def oxygen_sweep(diameter, depth, column):
    """Share transferred for every depth and every size: rows are depths, columns are sizes.

    Parameters
    ----------
    diameter, depth : 1-D array, m
    column : Column
    """
    return oxygen_transferred.si(np.atleast_1d(diameter)[None, :], np.atleast_1d(depth)[:, None], column)


class Path(NamedTuple):
    """One bubble on its way up; arrays from the diffuser to the surface."""

    depth: Any                      # m
    diameter: Any                   # m
    oxygen_left: Any                # share of the first oxygen
    nitrogen_left: Any              # share of the first nitrogen
    time: Any                       # s since it left the diffuser


@quantities(diameter="m", depth="m", gives=("m", "m", "", "", "s"))
def bubble_path(diameter, depth, column):
    """The whole way of a bubble (or of several sizes from one depth), for drawing.

    Returns
    -------
    Path
        With several sizes the second axis runs over them, except for the depth.
    """
    diameter, depth = _ready(diameter, depth)
    oxygen, nitrogen, size, time, z = follow(diameter, depth, column, keep=True)
    return Path(z, size, oxygen / OXYGEN_SHARE, nitrogen / (1 - OXYGEN_SHARE), time)


# log-normal crowds: two thirds of the bubbles by number lie within this factor of the middle one (our choice)
SPREAD = 1.4
SIZES = 9                           # points of the rule that adds a crowd up


@quantities(sauter_mean="m", gives=("m", ""))
def size_spread(sauter_mean):
    """Sizes, and the share of the gas in each, that stand for a log-normal crowd of bubbles.

    Parameters
    ----------
    sauter_mean : float or array, m
        Volume-to-surface mean diameter, the size trade and research papers quote.

    Returns
    -------
    diameter : array, m
        With several means the last axis runs over the sizes of each.
    share : array
        Share of the gas VOLUME carried by each size; adds to 1.

    Notes
    -----
    If numbers are log-normal with log-deviation s, so is gas volume, with its middle at
    ``sauter_mean * exp(s**2 / 2)``. Gauss-Hermite points and weights make every mean of a
    smooth function of size accurate with few sizes.

    References
    ----------
    Aitchison, J. & Brown, J.A.C. (1957). The Lognormal Distribution.
    """
    sauter_mean = np.asarray(sauter_mean, float)
    if not np.all(sauter_mean > 0):
        raise QuantityError("A crowd of bubbles needs a mean size above zero; it was given "
                            f"{np.min(sauter_mean) * 1000:g} mm.")
    s = np.log(SPREAD)
    points, weights = np.polynomial.hermite.hermgauss(SIZES)
    return sauter_mean[..., None] * np.exp(s**2 / 2 + np.sqrt(2) * s * points), weights / np.sqrt(np.pi)


@quantities(sauter_mean="m", depth="m", gives="")
def oxygen_transferred_by_spread(sauter_mean, depth, column):
    """Share of the oxygen transferred by a log-normal crowd of bubbles.

    Parameters
    ----------
    sauter_mean : float or array, m
        As in :func:`size_spread`; several means give one share each.
    depth : float or array, m
        Broadcasts with the means.
    column : Column
    """
    sizes, share = size_spread.si(sauter_mean)
    sizes = np.clip(sizes, *bubbles.DIAMETER_RANGE)
    each = oxygen_transferred.si(sizes, np.asarray(depth, float)[..., None], column)
    return (each @ share)[()]
