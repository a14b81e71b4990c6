"""Does a plume of bubbles reach the surface of a layered pond, and what water does it bring?

An integral plume: a column of rising water that grows by drawing in the water
round it, driven by bubbles that slip ahead of it, and held back where it carries
cold heavy water into warm light water. Top-hat profiles, circular plume.
"""

import functools
from typing import Any, NamedTuple

import numpy as np

from .. import water
from ..air import GRAVITY
from ..units import QuantityError, quantities
from ..water import ATMOSPHERE, ZERO_C

__all__ = ["PlumeProfile", "plume_profile", "start_speed", "buoyancy_frequency", "TrapHeights",
           "trap_heights",
           "Reach", "reaches_surface"]

SLIP = 0.23                         # m/s, rise of 1.4 to 10 mm bubbles through the water (Wüest et al. 1992)
CORE = 0.8                          # width of the bubble core over that of the plume (same)
FROUDE = 1.6                        # v / sqrt(2 core radius g reduced density) near the diffuser (same)
STALLED = 1e-3                      # m/s; slower water is taken to have stopped


class PlumeProfile(NamedTuple):
    """A plume from the diffuser up; the first axis runs upward. Above its top the values stay put."""

    depth: Any                      # m below the surface
    flow: Any                       # m3/s of water
    radius: Any                     # m
    speed: Any                      # m/s of water
    temperature: Any                # degC of the plume water
    dissolved_oxygen: Any           # mg/L of the plume water, from mixing alone
    top_depth: Any                  # m, shallowest depth it climbs to; 0 is the surface
    settling_depth: Any             # m, where water as dense as what it brings up lies


@quantities(flow_at_depth="m^3/s", radius="m", slip="m/s", gives="m/s")
def start_speed(flow_at_depth, radius=0.15, slip=SLIP):
    """Water speed just above a diffuser, from the Froude number plumes settle to there.

    Parameters
    ----------
    flow_at_depth : float or array, m3/s
        Gas volume at diffuser pressure.
    radius : float, m
        Of the diffuser.
    slip : float, m/s

    References
    ----------
    Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Water Resour. Res. 28, 3235-3250 (Froude number
    1.6; read second-hand).
    """
    flow = np.asarray(flow_at_depth, float)
    speed = np.cbrt(FROUDE**2 * 2 * GRAVITY * flow / (np.pi * CORE * radius)) / 1.3
    for _ in range(60):
        share = np.minimum(flow / (np.pi * (CORE * radius) ** 2 * (slip + 2 * speed / (1 + CORE**2))), 0.9)
        speed = 0.5 * (speed + FROUDE * np.sqrt(2 * CORE * radius * GRAVITY * share / (1 - share)))
    return speed[()]


def march(flow, momentum, heat, oxygen, heights, around, density, entrainment, slip):
    """Carry plume fluxes up with a fourth-order Runge-Kutta rule.

    Parameters
    ----------
    flow, momentum : array
        Volume flux (m3/s) and momentum flux over density (m4/s2) at the first height.
    heat, oxygen : array
        Flux of temperature and of dissolved oxygen.
    heights : array, m
        Heights at both ends and in the middle of each step, along the first axis: an odd number.
    around : tuple of array
        What the plume meets at each of `heights`: gas volume flux (m3/s), temperature (degC) and
        dissolved oxygen (mg/L) of the water outside.
    density : callable
        Water density (kg/m3) at a temperature.
    entrainment, slip : float

    Returns
    -------
    array
        Axes: height (the ends of the steps), the four fluxes, then whatever shape the inputs had.
    """
    state = np.array(np.broadcast_arrays(flow, momentum, heat, oxygen), float)
    gas, warm, rich = around
    push, outside = GRAVITY * gas, density(warm)
    slope, width = np.empty_like(state), 2 * np.sqrt(np.pi) * entrainment

    def _rates(k, fluxes):
        flow, momentum = fluxes[0], np.maximum(fluxes[1], 1e-12)
        speed = momentum / flow
        slope[0] = drawn = width * np.sqrt(momentum)
        slope[1] = (push[k] / (speed + slip)
                    + GRAVITY * flow / speed * (1 - density(fluxes[2] / flow) / outside[k]))
        slope[2], slope[3] = drawn * warm[k], drawn * rich[k]
        return slope * ((speed > STALLED) & (fluxes[1] > 0))

    kept = [state]
    for k in range(0, len(heights) - 1, 2):
        step = heights[k + 2] - heights[k]
        k1 = _rates(k, state)
        k2 = _rates(k + 1, state + step / 2 * k1)
        k3 = _rates(k + 1, state + step / 2 * k2)
        k4 = _rates(k + 2, state + step * k3)
        new = state + step / 6 * (k1 + 2 * (k2 + k3) + k4)
        stalls = (new[1] <= 0) | (new[1] / new[0] <= STALLED)
        if stalls.any():
            new = np.where(stalls, state, new)
            new[1] = np.where(stalls, 0.0, new[1])
        state = new
        kept.append(state)
    return np.array(kept)


@functools.lru_cache(1)
def _densities():
    """Water density (kg/m3) by temperature (degC), close enough to read by straight lines."""
    warm = np.linspace(0.0, 40.0, 1601)
    return warm, water.density.si(warm)


@quantities(flow_free_air="m^3/s", depth="m", entrainment="", slip="m/s", radius="m",
            gives=("m", "m^3/s", "m", "m/s", "degC", "mg/L", "m", "m"))
def plume_profile(flow_free_air, depth, column, entrainment=0.083, slip=SLIP, radius=0.15, steps=None):
    """A bubble plume from a diffuser to the surface, or to where layering stops it.

    Parameters
    ----------
    flow_free_air : float or array, m3/s
        Air of one diffuser, counted at 20 C, 1 atm, dry. Above zero.
    depth : float or array, m
        Of the diffuser; arrays of air, depth and entrainment broadcast together.
    column : column.Column
        Temperature and dissolved oxygen of the pond by depth.
    entrainment : float or array, optional
        Top-hat coefficient; 0.055 to 0.11 covers published bubble plumes (from memory).
    slip : float, optional
        Speed of the bubbles through the water.
    radius : float, optional
        Of the diffuser.
    steps : int, optional
        80 if left out, to find the depth where a plume stalls; 32 in water that is alike all the way,
        where it cannot.

    Returns
    -------
    PlumeProfile

    Notes
    -----
    ::

        dQ/dz = 2 pi alpha b v           Q = pi b^2 v,  M = pi b^2 v^2
        dM/dz = g Q_gas/(v + slip) + pi b^2 g (rho_out - rho_plume)/rho_out
        d(Q T)/dz = 2 pi alpha b v T_out            and the same for oxygen

    The gas is taken to expand as it rises but not to dissolve (a fifth of air, and not all of
    that, is oxygen). Once it stalls, this model says nothing of what happens above: real bubbles
    carry on alone and start a second, weaker plume.

    References
    ----------
    Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Bubble plume modeling for lake restoration.
    Water Resour. Res. 28, 3235-3250. Equations from memory, parameters second-hand.
    """
    flow_free_air = np.asarray(flow_free_air, float)
    depth, entrainment = np.asarray(depth, float), np.asarray(entrainment, float)
    steps = (32 if column.uniform else 80) if steps is None else steps
    if not (np.all(flow_free_air > 0) and np.all(depth > 0) and slip >= 0
            and np.all((entrainment >= 0.01) & (entrainment <= 0.3))
            and radius > 0 and steps >= 2):
        raise QuantityError("plume_profile needs air, depth and diffuser radius above zero, slip of 0 or "
                            "more, an entrainment coefficient of 0.01 to 0.3 and 2 steps or more; it was "
                            f"given {flow_free_air} m3/s, {depth} m, {radius} m, {slip} m/s, {entrainment}, "
                            f"{steps}.")
    head = np.mean(water.density.si(np.atleast_1d(column.temperature))) * GRAVITY
    surface = column.surface_pressure_absolute

    def density(temperature):
        return np.interp(temperature, *_densities())

    ndim = len(np.broadcast_shapes(flow_free_air.shape, depth.shape, entrainment.shape))
    depth = depth.reshape((1,) * (ndim - depth.ndim) + depth.shape)
    half_steps = depth * np.linspace(0, 1, 2 * steps + 1).reshape((-1,) + (1,) * depth.ndim)
    z, heights = depth - half_steps, half_steps[::2]
    warm, oxygen = column.at("temperature", z), column.at("dissolved_oxygen", z)
    gas = flow_free_air * ATMOSPHERE / (surface + head * z) * (warm + ZERO_C) / 293.15
    speed = start_speed.si(gas[0], radius, slip)
    flow = np.pi * radius**2 * speed + 0 * entrainment
    kept = march(flow, flow * speed, flow * warm[0], flow * oxygen[0], half_steps, (gas, warm, oxygen), density,
                 entrainment, slip)
    moving = kept[:, 1] > 0
    flow, speed = kept[:, 0], kept[:, 1] / kept[:, 0]
    width = np.where(moving, np.sqrt(flow / (np.pi * np.where(moving, speed, 1.0))), np.nan)
    last = moving.sum(axis=0) - 1
    z = np.broadcast_to(depth - heights, moving.shape)
    top = np.take_along_axis(z, np.asarray(last)[None], 0)[0]
    warm = kept[:, 2] / flow
    settled = _settling_depth(density(warm[-1]), column, depth)
    return PlumeProfile(depth - heights, flow, width, speed, warm, kept[:, 3] / flow, np.maximum(top, 0)[()],
                        settled[()])


def _settling_depth(density, column, depth):
    """Shallowest depth where the pond is as dense as water of `density`; the deepest if none is."""
    share = np.linspace(0, 1, 401)
    found = np.empty(np.broadcast_shapes(np.shape(density), np.shape(depth)))
    density, depth = np.broadcast_to(density, found.shape), np.broadcast_to(depth, found.shape)
    for k in np.ndindex(found.shape):
        z = share * depth[k]
        outside = water.density.si(column.at("temperature", z))
        heavy = np.flatnonzero(outside >= density[k] - 1e-4)
        i = heavy[0] if heavy.size else z.size - 1
        found[k] = z[i]
        if i and outside[i] > outside[i - 1]:
            part = (density[k] - outside[i - 1]) / (outside[i] - outside[i - 1])
            found[k] = z[i - 1] + (z[i] - z[i - 1]) * np.clip(part, 0, 1)
    return found


@quantities(depth="m", gives="1/s")
def buoyancy_frequency(column, depth):
    """Strength of the layering between the surface and a depth, as one number N.

    Notes
    -----
    ``N = sqrt(g (rho_bottom - rho_top) / (rho_mean depth))``; 0 where the top is the heavier.
    """
    top, bottom = (water.density.si(column.at("temperature", z)) for z in (0.0, depth))
    return np.sqrt(np.maximum(GRAVITY * (bottom - top) / (0.5 * (bottom + top) * depth), 0.0))[()]


class TrapHeights(NamedTuple):
    """Heights above the diffuser that a plume in evenly layered water is known by."""

    slip_ratio: float               # U_N, bubble slip over the plume's own speed scale
    trap: float                     # m, where the water it shed comes to rest
    peel: float                     # m, where it first sheds its water


@quantities(buoyancy="m^4/s^3", frequency="1/s", slip="m/s", gives=("", "m", "m"))
def trap_heights(buoyancy, frequency, slip=SLIP):
    """Peel and trap heights of a bubble plume in water layered evenly with depth.

    Parameters
    ----------
    buoyancy : float, m4/s3
        At the diffuser.
    frequency : float, 1/s
        From :func:`buoyancy_frequency`; above zero.
    slip : float, m/s

    Notes
    -----
    ``U_N = u_s/(B N)^(1/4)``; heights are ``2.9 exp(-(U_N - 1)^2/28.09)`` (trap) and
    ``5.2 exp(-(U_N - 1.8)^2/10.24)`` (peel) times ``(B/N^3)^(1/4)``. Where the peel height is more
    than the depth the plume reaches the surface.

    References
    ----------
    Socolofsky, S.A. & Adams, E.E. (2005). Role of slip velocity in the behavior of stratified
    multiphase plumes. J. Hydraul. Eng. 131, 273-287 (read second-hand).
    """
    if not (np.all(np.asarray(buoyancy) > 0) and np.all(np.asarray(frequency) > 0)):
        raise QuantityError("trap_heights needs air and layering above zero; in unlayered water a plume "
                            f"always reaches the surface. It was given B = {buoyancy} and N = {frequency}.")
    ratio = slip / (buoyancy * frequency) ** 0.25
    scale = (buoyancy / frequency**3) ** 0.25
    return TrapHeights(ratio, 2.9 * np.exp(-(ratio - 1.0) ** 2 / 28.09) * scale,
                       5.2 * np.exp(-(ratio - 1.8) ** 2 / 10.24) * scale)


class Reach(NamedTuple):
    """How high a plume climbs above its diffuser, by two reckonings."""

    height_low: Any                 # m, integral plume, strong mixing
    height_usual: Any               # m, integral plume, usual mixing
    height_high: Any                # m, peel height in evenly layered water, or the whole depth
    verdict: Any                    # "yes", "uncertain" or "no"


@quantities(flow_free_air="m^3/s", depth="m", gives=("m", "m", "m", None))
def reaches_surface(flow_free_air, depth, column):
    """Does the plume of one diffuser get to the top of a layered pond?

    Parameters
    ----------
    flow_free_air : float, m3/s
    depth : float, m
    column : column.Column

    Returns
    -------
    Reach
        Verdict "yes" if even strong mixing with cold water lets it through, "no" if no reckoning
        does, else "uncertain": look at the boil on the water, and measure temperatures.

    Notes
    -----
    The integral plume stops too soon (its water and bubbles stop together); the peel height of
    Socolofsky & Adams is for layering spread evenly over the depth. Between them lies the truth.
    """
    low, usual = (depth - plume_profile.si(flow_free_air, depth, column, entrainment=alpha).top_depth
                  for alpha in (0.11, 0.083))
    frequency = buoyancy_frequency.si(column, depth)
    high = depth
    if frequency > 0:
        density = water.density.si(column.at("temperature", depth))
        pressure = column.surface_pressure_absolute + density * GRAVITY * depth
        buoyancy = GRAVITY * flow_free_air * ATMOSPHERE / pressure
        high = max(usual, min(depth, trap_heights.si(buoyancy, frequency).peel))
    through = [height >= depth * (1 - 1e-9) for height in (low, high)]
    return Reach(low, usual, high, "yes" if through[0] else "uncertain" if through[1] else "no")
