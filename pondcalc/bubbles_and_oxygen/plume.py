"""How much water do bubbles lift, from where and how far, and where should the diffusers lie for it?

Four ways reckon the lift, shown as a range on purpose: the exact solution for a buoyant plume, an integral plume whose
bubbles slip ahead of the water, the same plume drawing in less where it is thin, and a fit to tank measurements. They
disagree by a factor of two or three. Plumes of 0.4 to 5 cfm measured over nozzles in tanks lie below the middle of that
range, the thinnest at its low end. What does not depend on the choice: the lift grows more slowly than the air.

The integral plume is a column of rising water that grows by drawing in the water round it (top-hat profiles, circular),
held back where it carries cold heavy water into warm light water. Where a plume stops under a warm layer is another
question, answered for every workbook by :func:`layering_limit` from measured heights. A :class:`Column` holds what the
pond is like on the way down.

A diffuser lifts water from its own level up. Whatever lies deeper, in the holes below that level, mostly stays where it
is. Depths are m below the water surface, positive down; oxygen is mg/L (the same number as g/m3). A depth map comes as
node arrays or as a grid; values that are not a number are land.
"""

import functools
import warnings
from typing import Annotated, Any, NamedTuple

import numpy as np

from .. import air
from ..air import GRAVITY
from ..refusals import Caution
from ..spellings import either
from ..units import CFM, QuantityError, Range, length_text, quantities, record
from ..water import ATMOSPHERE, STANDARD, ZERO_C, Water


@record(depth="m", temperature="degC", dissolved_oxygen="mg/L", plume_speed="m/s", dissolved_nitrogen="mg/L")
class Column:
    """Water a bubble rises through, by depth.

    depth (array, m): Depths of the readings, increasing, from the surface down.
    water (Water): With a temperature for each depth.
    dissolved_oxygen (array, mg/L): One for each depth.
    plume_speed (array, m/s): Upward speed of the water that carries the bubbles; 0 if left out.
    dissolved_nitrogen (array, mg/L): If left out, water in balance with the air above it at its own temperature.

    Straight lines between the readings; the end readings carry on above and below them.
    """

    depth: Any
    water: Water
    dissolved_oxygen: Any
    plume_speed: Any = None
    dissolved_nitrogen: Any = None

    @property
    def temperature(self):
        """C at each depth."""
        return self.water.temperature

    def check(self):
        """Refuse readings that do not belong together or cannot be."""
        depth = np.atleast_1d(np.asarray(self.depth, float))
        if depth.size == 0 or np.any(np.diff(depth) <= 0) or depth[0] < 0:
            raise QuantityError("the depths must start at the surface or below it and grow downward, each deeper than "
                                f"the last; they were {depth} m.", by="Column")
        for name in ("temperature", "dissolved_oxygen", "plume_speed", "dissolved_nitrogen"):
            value = getattr(self, name)
            if value is not None and np.size(value) != depth.size:
                raise QuantityError(f"{name} has {np.size(value)} readings for {depth.size} depths. Give one reading "
                                    "for each depth.", by="Column")
        for name, low, high in (("temperature", -0.01, 40), ("dissolved_oxygen", 0, 60),
                                ("plume_speed", 0, 5), ("dissolved_nitrogen", 0, 100)):
            value = getattr(self, name)
            if value is not None and not np.all((np.asarray(value) >= low) & (np.asarray(value) <= high)):
                unit = self.units[name]
                raise QuantityError(f"{name} must lie between {max(low, 0):g} and {high:g} {unit}; it was given "
                                    f"{value}.", by="Column")
        if not 3e4 <= self.water.pressure_absolute <= 1.2e5:
            raise QuantityError("air pressure at the surface must be absolute, "
                                f"{either('4.4 to 17.4 psi', '30 to 120 kPa')}; it was given "
                                f"{self.water.pressure_absolute / 1000:g} kPa.", by="Column")

    def at(self, name, depth):
        """Reading `name` at `depth` (m), by straight lines; 0 for a plume speed left out."""
        value = getattr(self, name)
        return np.interp(depth, np.atleast_1d(self.depth),
                         np.atleast_1d(0.0 * np.asarray(self.depth) if value is None else value))

    def water_at(self, depth):
        """The water at `depth` (m)."""
        return self.water.at(self.at("temperature", depth))

    @property
    def uniform(self):
        """True when nothing changes with depth."""
        return all(value is None or np.ptp(value) == 0 for value in
                   (self.temperature, self.dissolved_oxygen, self.plume_speed, self.dissolved_nitrogen))


@quantities(dissolved_oxygen="mg/L", plume_speed="m/s")
def uniform_column(water=STANDARD, dissolved_oxygen=0.0, plume_speed=0.0):
    """A :class:`Column` that is the same from top to bottom."""
    return Column(np.array([0.0]), water.at(np.array([water.temperature])), np.array([dissolved_oxygen]),
                  np.array([plume_speed]))


RADIUS = 0.15                       # m of a diffuser; our choice
SLIP = 0.23                         # m/s, rise of 1.4 to 10 mm bubbles through the water (Wüest et al. 1992)
CORE = 0.8                          # width of the bubble core over that of the plume (same)
FROUDE = 1.6                        # v / sqrt(2 core radius g reduced density) near the diffuser (same)
ORIFICE = 0.02                      # m, radius of a plume that begins at a nozzle, as measured ones did; our choice
# Top-hat entrainment coefficient of a bubble plume: low, usual, high (from memory, not verified).
ENTRAINMENT = Range(0.055, 0.083, 0.11)
# Milgram (1983): K of a strong plume, Gaussian; the ends are a third off, as his measured coefficients scatter
WEAKENING = Range(0.11, 0.165, 0.22)
WEAK_AT = 7.598                     # bubble Froude number at which half of K is left (same)
CAPILLARY = 2.727e-3                # m, sqrt(surface tension/(g density)) of clean water at 20 C
STALLED = 1e-3                      # m/s; slower water is taken to have stopped


class PlumeProfile(NamedTuple):
    """A plume from the diffuser up; the first axis runs upward. Above its top the values stay put."""

    depth: Annotated[Any, "m"]                      # m below the surface
    flow: Annotated[Any, "m^3/s"]                       # m3/s of water
    radius: Annotated[Any, "m"]
    speed: Annotated[Any, "m/s"]                      # m/s of water
    temperature: Annotated[Any, "degC"]                # degC of the plume water
    dissolved_oxygen: Annotated[Any, "mg/L"]           # mg/L of the plume water, from mixing alone
    top_depth: Annotated[Any, "m"]                  # m, shallowest depth it climbs to; 0 is the surface


def ride(core):
    """Speed of the water that bubbles sit in over the mean speed of their plume, ``2 / (1 + core**2)``.

    core (float or array): Width of the bubble core over that of the plume, both bell-shaped (Gaussian).
    References: The void fraction of a bell-shaped plume in public plume code after Wüest, Brooks & Imboden (1992),
        read second-hand; checked by integration.
    """
    return 2 / (1 + core**2)


def start_speed(flow_at_depth, radius=RADIUS, slip=SLIP):
    """Water speed just above a diffuser, from the Froude number plumes settle to there.

    flow_at_depth (float or array, m3/s): Gas volume at diffuser pressure.
    radius (float, m): Of the diffuser.
    slip (float, m/s).
    References: Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Water Resour. Res. 28, 3235-3250 (Froude number 1.6;
        read second-hand).
    """
    flow = np.asarray(flow_at_depth, float)
    speed = np.cbrt(FROUDE**2 * 2 * GRAVITY * flow / (np.pi * CORE * radius)) / 1.3
    for _ in range(60):
        share = np.minimum(flow / (np.pi * (CORE * radius) ** 2 * (slip + ride(CORE) * speed)), 0.9)
        speed = 0.5 * (speed + FROUDE * np.sqrt(2 * CORE * radius * GRAVITY * share / (1 - share)))
    return speed[()]


def march(flow, momentum, heat, oxygen, heights, around, density, entrainment, slip):
    """Carry plume fluxes up with a fourth-order Runge-Kutta rule.

    flow, momentum: Volume flux (m3/s) and momentum flux over density (m4/s2) at the first height.
    heat, oxygen: Flux of temperature and of dissolved oxygen.
    heights (array, m): Heights at both ends and in the middle of each step, along the first axis: an odd number.
    around (tuple of array): What the plume meets at each of `heights`: gas volume flux (m3/s), temperature (degC) and
        dissolved oxygen (mg/L) of the water outside.
    density: Water density (kg/m3) at a temperature.
    entrainment (float, array or function): Top-hat coefficient, or a function of place in `heights`, flow and speed.
    slip (float).
    Returns: array: Axes: height (the ends of the steps), the four fluxes, then whatever shape the inputs had.
    """
    state = np.array(np.broadcast_arrays(flow, momentum, heat, oxygen), float)
    gas, warm, rich = around
    push, outside = GRAVITY * gas, density(warm)
    slope = np.empty_like(state)
    drawing = entrainment if callable(entrainment) else lambda k, flow, speed: entrainment

    def _rates(k, fluxes):
        flow, momentum = fluxes[0], np.maximum(fluxes[1], 1e-12)
        speed = momentum / flow
        slope[0] = drawn = 2 * np.sqrt(np.pi) * drawing(k, flow, speed) * np.sqrt(momentum)
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
    return warm, Water(warm).density


def weakened(gas, flow, speed, strong=WEAKENING.usual, slip=SLIP):
    """Top-hat entrainment coefficient of a plume that draws in less where it is thin.

    gas, flow (float or array, m3/s): Of gas where it is, and of water.
    speed (float or array, m/s): Top-hat, of the water.
    strong (float or array): Coefficient of a strong plume, Gaussian.
    slip (float, m/s).

    ``alpha = K F/(7.598 + F)`` with the bubble Froude number ``F = (q^2/g)^(1/5) S^(1/3) / sqrt(sigma/(g rho))``, S the
    share of gas on the axis; times root two for the top-hat form. A pond's plume has F of about 0.5 to 5.
    References: Milgram, J.H. (1983). Mean flow in round bubble plumes. J. Fluid Mech. 133, 345-376 (second-hand, from
        two public codes; the 55 coefficients of his Table 2, read in a public data set, give 0.173 and 7.8).
    """
    share = 2 * speed * gas / (flow * CORE**2 * (2 * speed / (1 + CORE**2) + slip))
    froude = (gas**2 / GRAVITY) ** 0.2 * np.cbrt(np.minimum(share, 1.0)) / CAPILLARY
    return np.sqrt(2) * strong * froude / (WEAK_AT + froude)


def plume_profile(flow_free_air, depth, column, entrainment=ENTRAINMENT.usual, slip=SLIP, steps=None, radius=RADIUS,
                  weakens=False):
    """A bubble plume from a diffuser to the surface, or to where layering stops it.

    flow_free_air (float or array, m3/s): Air of one diffuser, counted at 20 C, 1 atm, dry. Above zero.
    depth (float or array, m): Of the diffuser; arrays of air, depth and entrainment broadcast together.
    column (Column): Temperature and dissolved oxygen of the pond by depth.
    entrainment (float or array): Top-hat coefficient, as :data:`ENTRAINMENT`; with `weakens` that of a strong plume,
        Gaussian, as :data:`WEAKENING`.
    slip: Speed of the bubbles through the water.
    steps: 80 if left out, to find the depth where a plume stalls; 32 in water that is alike all the way, where it
        cannot.
    radius (float or array, m): Of the diffuser.
    weakens (bool or array): Whether thin plumes draw in less (:func:`weakened`).
    Returns: PlumeProfile.

    ::

        dQ/dz = 2 pi alpha b v           Q = pi b^2 v,  M = pi b^2 v^2
        dM/dz = g Q_gas/(v + slip) + pi b^2 g (rho_out - rho_plume)/rho_out
        d(Q T)/dz = 2 pi alpha b v T_out            and the same for oxygen

    The gas is taken to expand as it rises but not to dissolve (a fifth of air, and not all of
    that, is oxygen). Once it stalls, this model says nothing of what happens above: real bubbles
    carry on alone and start a second, weaker plume.
    References: Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Bubble plume modeling for lake restoration. Water
        Resour. Res. 28, 3235-3250. Equations from memory, parameters second-hand.
    """
    flow_free_air = np.asarray(flow_free_air, float)
    depth, entrainment = np.asarray(depth, float), np.asarray(entrainment, float)
    steps = (32 if column.uniform else 80) if steps is None else steps
    if not (np.all(flow_free_air > 0) and np.all(depth > 0) and slip >= 0 and steps >= 2
            and np.all((entrainment >= 0.01) & (entrainment <= 0.3))):
        raise QuantityError("plume_profile needs air and depth above zero, slip of 0 or more, an entrainment "
                            "coefficient of 0.01 to 0.3 and 2 steps or more; it was given "
                            f"{flow_free_air} m3/s, {depth} m, {slip} m/s, {entrainment}, {steps}.")
    head = np.mean(column.water.density) * GRAVITY
    surface = column.water.pressure_absolute

    def density(temperature):
        return np.interp(temperature, *_densities())

    ndim = len(np.broadcast_shapes(flow_free_air.shape, depth.shape, entrainment.shape, np.shape(radius)))
    depth = depth.reshape((1,) * (ndim - depth.ndim) + depth.shape)
    half_steps = depth * np.linspace(0, 1, 2 * steps + 1).reshape((-1,) + (1,) * depth.ndim)
    z, heights = depth - half_steps, half_steps[::2]
    warm, oxygen = column.at("temperature", z), column.at("dissolved_oxygen", z)
    gas = flow_free_air * ATMOSPHERE / (surface + head * z) * (warm + ZERO_C) / 293.15
    speed = start_speed(gas[0], radius, slip)
    flow = np.pi * np.asarray(radius) ** 2 * speed + 0 * entrainment

    def drawing(k, flow, speed):
        return np.where(weakens, weakened(gas[k], flow, speed, entrainment, slip), entrainment)
    kept = march(flow, flow * speed, flow * warm[0], flow * oxygen[0], half_steps, (gas, warm, oxygen), density,
                 drawing if np.any(weakens) else entrainment, slip)
    moving = kept[:, 1] > 0
    flow, speed = kept[:, 0], kept[:, 1] / kept[:, 0]
    width = np.where(moving, np.sqrt(flow / (np.pi * np.where(moving, speed, 1.0))), np.nan)
    last = moving.sum(axis=0) - 1
    z = np.broadcast_to(depth - heights, moving.shape)
    top = np.take_along_axis(z, np.asarray(last)[None], 0)[0]
    warm = kept[:, 2] / flow
    return PlumeProfile(depth - heights, flow, width, speed, warm, kept[:, 3] / flow, np.maximum(top, 0)[()])


def buoyancy_frequency(column, depth):
    """Strength of the layering between the surface and a depth, as one number N.

    ``N = sqrt(g (rho_bottom - rho_top) / (rho_mean depth))``; 0 where the top is the heavier.
    """
    top, bottom = (column.water_at(z).density for z in (0.0, depth))
    return np.sqrt(np.maximum(GRAVITY * (bottom - top) / (0.5 * (bottom + top) * depth), 0.0))[()]


def peel_height(buoyancy, frequency, slip=SLIP):
    """Height above the diffuser at which a plume in evenly layered water sheds the water it carries.

    buoyancy (float or array, m4/s3): At the diffuser.
    frequency (float or array, 1/s): From :func:`buoyancy_frequency`; above zero.
    slip (float, m/s).

    ``5.2 exp(-(U_N - 1.8)^2/10.24) (B/N^3)^(1/4)`` with ``U_N = u_s/(B N)^(1/4)``. Past U_N of 4.92 the printed form
    would let weaker layers stop a plume sooner; it is held there.
    References: Socolofsky, S.A. & Adams, E.E. (2005). Role of slip velocity in the behavior of stratified multiphase
        plumes. J. Hydraul. Eng. 131, 273-287 (second-hand, from the first author's own public code).
    """
    if not (np.all(np.asarray(buoyancy) > 0) and np.all(np.asarray(frequency) > 0)):
        raise QuantityError("peel_height needs air and layering above zero; in unlayered water a plume always reaches "
                            f"the surface. It was given B = {buoyancy} and N = {frequency}.")
    ratio = np.minimum(slip / (buoyancy * frequency) ** 0.25, MOST_SLIP)
    return 5.2 * np.exp(-(ratio - 1.8) ** 2 / 10.24) * (buoyancy / frequency**3) ** 0.25


MOST_SLIP = 4.92        # U_N at which the peel height of the formula turns round as layering weakens (its derivative)
# What a plume climbs over the measured height: integral plumes that draw in much, and little, stop about there.
CLIMB = Range(0.5, 1.0, 1.5)


def layering_limit(heights, buoyancy, climb=CLIMB.usual):
    """Most layering that a plume of so much buoyancy still breaks through, at heights above its diffuser.

    heights (array, m), buoyancy (float, m4/s3).
    climb (float): Times the measured height; one of :data:`CLIMB`.
    Returns: array: The sum, from the diffuser up, of ``z^(5/3) g d_rho/rho`` over the steps in density, at which the
        plume stops. A plume's flow grows as ``z^(5/3)``, so this is the weight of the cold water it drags. For even
        layering it gives :func:`peel_height`; that steps of any shape count by the same sum is our own reckoning.
    """
    frequency = np.geomspace(1e-5, 10.0, 600)
    reach = climb * peel_height(buoyancy, frequency)
    held = np.exp(np.interp(-np.log(heights), -np.log(reach), np.log(frequency)))
    return 0.375 * held**2 * np.asarray(heights) ** (8 / 3)


class Stop(NamedTuple):
    """Where the plume of one diffuser stops on its way up."""

    depth: Annotated[Range, "m"]                    # m, 0 at the surface; the low end climbs highest
    verdict: str                                    # does it come up: "yes", "uncertain" or "no"


def stop_depth(flow_free_air, depth, column):
    """How deep does the plume of one diffuser stop in a layered pond, if it stops?

    flow_free_air (float, m3/s), depth (float, m), column (Column).
    Returns: Stop: "yes" if it comes up by the low end of :data:`CLIMB`, "no" if it does not by the high end. In a pond
        with a sharp step it stops at the step.
    """
    check_air(flow_free_air, depth, "stop_depth")
    z = np.unique(np.append(np.linspace(depth, 0, 201), [at for at in np.atleast_1d(column.depth) if 0 < at < depth]))
    outside, heights = column.water_at(z[::-1]).density, depth - z[::-1]
    steps = GRAVITY * np.maximum(-np.diff(outside), 0) / outside[1:]
    middle, above = 0.5 * (heights[1:] + heights[:-1]), heights[1:]
    dragged = np.cumsum(middle ** (5 / 3) * steps)
    gas = gas_flow_at_depth(flow_free_air, depth, column.water_at(depth))

    def top(climb):
        stopped = dragged > layering_limit(above, GRAVITY * gas, climb)
        return depth - heights[:-1][stopped][0] if stopped.any() else 0.0
    found = Range(*(float(top(climb)) for climb in CLIMB[::-1]))
    return Stop(found, "yes" if found.high == 0 else "uncertain" if found.low == 0 else "no")


def check_air(flow_free_air, depth, owner):
    """Refuse impossible air flow or depth, in the reader's terms."""
    if not np.all((np.asarray(flow_free_air) >= 0) & (np.asarray(flow_free_air) <= 1)):
        raise QuantityError("free air must be 0 to 1 m3/s (0 to 2,100 cfm) for one diffuser; it was given "
                            f"{np.max(flow_free_air) / CFM:.3g} cfm at most, {np.min(flow_free_air) / CFM:.3g} at "
                            "least.", by=owner)
    if not np.all((np.asarray(depth) > 0) & (np.asarray(depth) <= 100)):
        raise QuantityError(f"the diffuser must be under water, at most {either('330 ft', '100 m')} down; it was given "
                            f"{depth} m.", by=owner)


class PlumePoint(NamedTuple):
    """A plume at one height."""

    flow: Annotated[Any, "m^3/s"]                   # m3/s of water
    radius: Annotated[Any, "m"]                 # m, top-hat
    speed: Annotated[Any, "m/s"]                  # m/s, top-hat


def gas_flow_at_depth(flow_free_air, depth, water=STANDARD):
    """Volume each second that a flow of free air takes up under water, at water temperature.

    flow_free_air (float or array, m3/s): Counted at 20 C, 1 atm, dry.
    depth (float or array, m), water (Water).

    Water vapor (2 % at the surface) is neglected.
    """
    pressure = water.pressure_absolute + water.density * GRAVITY * np.asarray(depth, float)
    return air.free_air_to_actual(flow_free_air, water.temperature, pressure)


def buoyancy_flux(flow_free_air, depth, water=STANDARD):
    """Buoyancy flux of the air, averaged over the way from the diffuser to the surface.

    ``B = g Q`` averaged: ``B = p Q ln(1 + rho g h / p) / (rho h)``, which is the power of slow
    (isothermal) expansion over ``rho h``.
    """
    check_air(flow_free_air, depth, "buoyancy_flux")
    head = water.density * GRAVITY * np.asarray(depth, float)
    at_surface = gas_flow_at_depth(flow_free_air, 0.0, water)
    ratio = head / water.pressure_absolute
    return GRAVITY * at_surface * np.log1p(ratio) / ratio


def classical_plume(buoyancy, height, entrainment=0.10):
    """Plume from a point source of steady buoyancy in uniform water, the exact solution.

    buoyancy (float or array, m4/s3).
    height (float or array, m): Above the source.
    entrainment: Top-hat coefficient alpha: root two times the Gaussian one.
    Returns: PlumePoint.

    ``b = 6 alpha z / 5``; ``u = 5/(6 alpha) (9 alpha B / (10 pi))**(1/3) z**(-1/3)``; flow ``pi b^2 u``.
    The bubbles here move with the water; slip is left to :func:`plume_profile`.
    References: Morton, B.R., Taylor, G.I. & Turner, J.S. (1956). Turbulent gravitational convection from maintained
        and instantaneous sources. Proc. R. Soc. A 234, 1-23.
    """
    buoyancy, height = np.asarray(buoyancy, float), np.asarray(height, float)
    if not (np.all(buoyancy >= 0) and np.all(height > 0) and 0.01 <= entrainment <= 0.3):
        raise QuantityError("classical_plume needs buoyancy of 0 or more, a height above 0 and an "
                            f"entrainment coefficient of 0.01 to 0.3; it was given {buoyancy}, {height} m "
                            f"and {entrainment}.")
    radius = 6 * entrainment * height / 5
    speed = 5 / (6 * entrainment) * np.cbrt(9 * entrainment * buoyancy / (10 * np.pi)) / np.cbrt(height)
    return PlumePoint((np.pi * radius**2 * speed)[()], radius[()], speed[()])


@quantities(flow_free_air="m^3/s", depth="m", gives="m^3/s")
def tank_fit_flow(flow_free_air, depth):
    """Water lifted to the surface by one orifice, from a fit to tank measurements.

    flow_free_air (float or array, m3/s).
    depth (float or array, m): Beyond 15 m a warning is given.

    ``Q = 35.6 C (h + 0.8) sqrt(-V ln(1 - h/(h + 10.3)) / u)`` with ``C = 2 V + 0.05`` and
    ``u = 25 V + 0.7`` (SI). The form and its constants are from memory, not verified: they come
    by way of Lorenzen & Fast (1977), and they only fit one set of units. One estimate among several.
    References: Kobus, H.E. (1968). Analysis of the flow induced by air-bubble systems. Proc. 11th Conf. Coastal
        Engineering 2, 1016-1031. Lorenzen, M. & Fast, A. (1977). A guide to aeration/circulation techniques for lake
        management. EPA-600/3-77-004.
    """
    check_air(flow_free_air, depth, "tank_fit_flow")
    flow, depth = np.asarray(flow_free_air, float), np.asarray(depth, float)
    if np.any(depth > 15):
        warnings.warn(Caution(f"The tank fit (Kobus 1968) is stretched beyond {either('50 ft', '15 m')} of depth."),
                      stacklevel=3)
    return (35.6 * (2 * flow + 0.05) * (depth + 0.8)
            * np.sqrt(flow * -np.log1p(-depth / (depth + 10.3)) / (25 * flow + 0.7)))[()]


class LiftEstimates(NamedTuple):
    """Water lifted by one diffuser, reckoned in four ways."""

    exact: Annotated[Range, "m^3/s"]                # m3/s, exact plume with low, usual and high mixing
    slipping: Annotated[Range, "m^3/s"]             # m3/s, integral plume whose bubbles slip ahead of the water
    weakening: Annotated[Range, "m^3/s"]            # m3/s, the same where thin plumes draw in less
    tank_fit: Annotated[Any, "m^3/s"]               # m3/s, fit to tank tests

    @property
    def usual(self):
        """The usual number of each."""
        return self.exact.usual, self.slipping.usual, self.weakening.usual, self.tank_fit


@quantities(flow_free_air="m^3/s", depth="m", gives=LiftEstimates)
def lift_estimates(flow_free_air, depth, water=STANDARD):
    """Every estimate behind :func:`lifted_water`, for one diffuser.

    flow_free_air, depth (float or array): m3/s and m; they broadcast together.
    water (Water).

    The weakening plume's low end also begins as narrow as a nozzle, as the measured ones did.
    """
    check_air(flow_free_air, depth, "lift_estimates")
    flow, depth = np.asarray(flow_free_air, float), np.asarray(depth, float)
    buoyancy, column = buoyancy_flux(flow, depth, water), uniform_column(water)
    mixing, radius, weakens = (
        np.reshape(values, (-1,) + (1,) * len(np.broadcast_shapes(flow.shape, depth.shape))) for values in
        ((*ENTRAINMENT, *WEAKENING), (*3 * (RADIUS,), ORIFICE, RADIUS, RADIUS), 3 * (False,) + 3 * (True,)))
    six = plume_profile(flow, depth, column, mixing, steps=12, radius=radius, weakens=weakens).flow[-1]
    return LiftEstimates(Range(*(classical_plume(buoyancy, depth, alpha).flow for alpha in ENTRAINMENT)),
                         Range(*six[:3]), Range(*six[3:]), tank_fit_flow(flow, depth))


@quantities(flow_free_air="m^3/s", depth="m", diffusers="", gives="m^3/s")
def lifted_water(flow_free_air, depth, diffusers=1, water=STANDARD):
    """Water brought to the surface by a total flow of air shared among equal diffusers.

    flow_free_air (float or array, m3/s): ALL the air, for all the diffusers together.
    depth (float or array, m): Depth of the diffusers.
    diffusers (int or array of int): How many share the air; far enough apart not to draw on each other
        (:func:`plume_spacing`).
    water (Water).
    Returns: Range, m3/s: The lowest, the middle (geometric mean of the four usual ones) and the highest estimate.

    Uniform water. In layered water the plume may lift less; see :func:`stop_depth`.
    """
    diffusers = np.asarray(diffusers, float)
    if not np.all((diffusers >= 1) & (diffusers == np.round(diffusers))):
        raise QuantityError(f"The number of diffusers must be 1, 2, 3 ...; it was given {diffusers}.")
    each = np.asarray(flow_free_air, float) / diffusers
    check_air(each, depth, "lifted_water")
    found = lift_estimates(each, depth, water)
    every = np.array(np.broadcast_arrays(*found.exact, *found.slipping, *found.weakening, found.tank_fit))
    usual = np.exp(np.mean(np.log(np.broadcast_arrays(*found.usual)), axis=0))
    return Range(*((diffusers * value)[()] for value in (every.min(axis=0), usual, every.max(axis=0))))


@functools.lru_cache(maxsize=8)
def _usual_lifts(depth):
    """Logarithms of the usual lift (m3/s) of one diffuser at a depth (m), and of its air, 0.005 to 100 cfm (m3/s)."""
    flows = np.geomspace(0.005, 100.0, 50) * CFM
    with warnings.catch_warnings(action="ignore", category=Caution):
        return np.log(lifted_water(flows, depth).usual), np.log(flows)


def air_that_lifts(lifted, depth):
    """Free air (m3/s) of one diffuser at `depth` (m) whose usual lift is `lifted` (m3/s); held to 0.005 to 100 cfm."""
    return float(np.exp(np.interp(np.log(lifted), *_usual_lifts(float(depth)))))


@quantities(volume="m^3", lifted="m^3/s", gives="s")
def turnover_time(volume, lifted):
    """Time for the lifted water to add up to the volume of the pond.

    volume (float or Range, m3), lifted (float, array or Range, m3/s).
    Returns: float, array or Range: A range of two ranges: the least volume over the most water lifted comes first.

    Lifting one pond volume does not mean that every drop has moved: with perfect mixing 63 % of
    the water has been through the plume by then (1 - 1/e).
    """
    if not all(np.all(np.asarray(end) > 0) for given in (volume, lifted)
               for end in (given if isinstance(given, Range) else (given,))):
        raise QuantityError(f"turnover_time needs a volume and a flow above zero; it was given {volume} m3 "
                            f"and {lifted} m3/s.")
    if isinstance(volume, Range):
        return Range(volume.low / lifted.high, volume.usual / lifted.usual, volume.high / lifted.low)
    return volume / lifted


def plume_spacing(depth):
    """Distance apart at which plumes from one depth still draw on their own water.

    Returns: float, m: One water depth. Common practice, no source; for scale, the exact plume is ``2 * 1.2 * 0.11`` =
        a quarter of the depth wide when it arrives at the surface.
    """
    return 1.0 * depth


# m; "about 2 feet off the bottom" (Nebraska Game and Parks Commission, Nebraska Pond Management,
# 2nd ed., p. 87; seen)
OFF_BOTTOM = 0.6096
LEAST_SHARE = 0.6       # of the greatest depth; shallower spots get no diffuser; our choice


@quantities(bottom_depth="m", off_bottom="m", gives="m")
def diffuser_depth(bottom_depth, off_bottom=OFF_BOTTOM):
    """Depth of a diffuser that stands `off_bottom` above the mud.

    bottom_depth (float or array, m): Depth of the top of the mud. A sounding pole or weight sinks through soft mud,
        which lies ABOVE the bottom that it finds: take that off first.
    off_bottom (float, m): 2 ft if left out.
    Raises QuantityError: If nothing but mud or air is left for the diffuser to stand in.
    """
    if off_bottom < 0:
        raise QuantityError(f"Height off the bottom cannot be below zero; it was {length_text(off_bottom)}.")
    level = np.asarray(bottom_depth, float) - off_bottom
    if np.any(level <= 0):
        raise QuantityError(f"A diffuser {length_text(off_bottom)} off a bottom at {length_text(np.min(bottom_depth))} "
                            "would stand out of the water. Lower it, or look for a deeper place.")
    return level[()]


def _wet(depth):
    """Which values of a depth map are water; refuses a map without any."""
    wet = np.isfinite(depth) & (depth > 0)
    if not wet.any():
        raise QuantityError("The depth map has no water in it: no depth is above zero. Depths count "
                            "positive downward.")
    return wet


class Places(NamedTuple):
    """Suggested places, the deepest first."""

    x: Annotated[Any, "m"]
    y: Annotated[Any, "m"]
    bottom_depth: Annotated[Any, "m"]
    diffuser_depth: Annotated[Any, "m"]


def suggest_places(x, y, depth, count=1, spacing=None, off_bottom=OFF_BOTTOM):
    """Suggest places for diffusers: the deepest spot, then the deepest far enough from it, and so on.

    x, y (array, m): Places of the depths; node arrays, or the two axes of a grid.
    depth (array, m): At the nodes, or on the grid with shape (len(y), len(x)).
    count: How many diffusers.
    spacing (float, m): Least distance between two; by default the distance at which plumes from the deepest spot
        still draw on their own water (:func:`pondcalc.bubbles_and_oxygen.plume.plume_spacing`).
    off_bottom (float, m): As in :func:`diffuser_depth`.
    Returns: Places: May hold fewer than `count`, with a warning, when there are not enough deep spots.

    Greedy: each new place is the deepest that keeps its distance. It asks only for depth and
    distance; shore power, hose length, inflows and where fish lie in winter are for the owner.
    """
    x, y, depth = np.asarray(x, float), np.asarray(y, float), np.asarray(depth, float)
    if depth.ndim == 2:
        if depth.shape != (y.size, x.size):
            raise QuantityError(f"A depth grid needs one row for each y and one column for each x: {y.size} "
                                f"by {x.size}; it has {depth.shape[0]} by {depth.shape[1]}.")
        x, y = (axis.ravel() for axis in np.meshgrid(x, y))
        depth = depth.ravel()
    if not x.shape == y.shape == depth.shape:
        raise QuantityError(f"There are {x.size} x, {y.size} y and {depth.size} depths. Give one of each for "
                            "a place.")
    if not (count >= 1 and float(count).is_integer()):
        raise QuantityError(f"The number of diffusers must be 1, 2, 3 ...; it was given {count}.")
    wet = _wet(depth)
    x, y, bottom = x[wet], y[wet], depth[wet]
    spacing = plume_spacing(bottom.max()) if spacing is None else spacing
    free = bottom >= LEAST_SHARE * bottom.max()
    chosen = []
    for _ in range(int(count)):
        if not free.any():
            break
        i = np.flatnonzero(free)[np.argmax(bottom[free])]
        chosen.append(i)
        free &= np.hypot(x - x[i], y - y[i]) >= spacing
        free[i] = False
    if len(chosen) < count:
        warnings.warn(Caution(f"Only {len(chosen)} of {int(count)} places keep {length_text(spacing)} apart and reach "
                              f"{100 * LEAST_SHARE:.0f} % of the greatest depth."), stacklevel=3)
    chosen = np.array(chosen)
    x, y, bottom = x[chosen], y[chosen], bottom[chosen]
    return Places(x, y, bottom, diffuser_depth(bottom, off_bottom))
