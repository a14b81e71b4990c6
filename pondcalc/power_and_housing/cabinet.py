"""What does the cabinet keep in: how hot does it get, and how loud is it at the house?

Nearly every watt from the cord becomes heat inside the box, and the sun adds its own. Only moving air takes it away: a
fan, or warm air rising from a low vent to a high one. A compressor breathes the air of its cabinet, so a hot cabinet
also means less air for the pond. Decibels add as powers, not as numbers, and in the open each doubling of distance
takes off six. Temperatures are C, heat W, areas m2, air flow through vents m3/s *as it is there*, not free air; levels
are dBA, plain numbers.

What this leaves out: heat stored in the box (hours), wind on the vents, leaks, dirt in the screens, and night sky. Keep
a thermometer in the cabinet. Vents must keep out rain and animals, and hot metal must keep clear of wood and wires;
follow the label and the local code. Of noise: walls, hard ground that sends sound back, wind, and a hum that people
notice below any limit. The workplace limits protect hearing at work; neighbours are protected by local ordinance.
"""

import warnings
from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.optimize import brentq

from .. import air, water
from ..refusals import Caution, Refused
from ..spellings import either
from ..units import not_negative, positive, quantities, record

VENT = 0.65                 # discharge coefficient of a vent, inlet and outlet apart (ASHRAE; from memory)
SURFACE = 17.0              # W/(m2 K), outside of a wall or roof with a light wind: 3 Btu/(h ft2 F), ASHRAE
SKY = 4.0                   # C that a flat roof loses to the sky (ASHRAE)
STALLED = 40.0              # Pa (0.16 inch of water), a small axial fan at no flow: common practice, no source


@quantities(heat="W", temperature_rise="delta_degC", temperature="degC", elevation="m", gives="m^3/s")
def air_for_heat(heat, temperature_rise, temperature=20.0, elevation=0.0):
    """Moving air that carries heat away at a given rise in temperature.

    heat (float or array): W, zero or more.
    temperature_rise (float or array): C by which the air that leaves is warmer than the air that enters, more than 0.
    temperature (float or array): C, where the flow is counted: outdoors for an intake fan, inside for an exhaust fan.
    elevation (float or array): m above sea level; thin air carries less.
    Returns: float or array: m3/s. In the trade's units it is 3.16 cfm F for each watt near 70 F.

    heat/(density x 1006 J/(kg K) x rise).
    """
    not_negative("air_for_heat", heat=heat)
    positive("air_for_heat", temperature_rise=temperature_rise)
    density = air.density(temperature, air.pressure_by_elevation(elevation))
    return heat / (density * air.SPECIFIC_HEAT * np.asarray(temperature_rise, float))


@quantities(temperature="degC", irradiance="W/m^2", absorptance="", gives="degC")
def sol_air_temperature(temperature, irradiance, absorptance):
    """Outdoor temperature that would heat a flat roof as much as the sun and the air together do.

    temperature (float or array): C, of the outdoor air.
    irradiance (float or array): W/m2 on the surface: up to 1000 on a roof at noon.
    absorptance (float or array): Share of sunlight taken up, 0 to 1: about 0.9 dark, 0.45 light.

    T + absorptance x sun/coefficient - sky. Tables print absorptance *over* coefficient, 0.15 or 0.30 in
    h ft2 F/Btu; read as plain absorptances they lose two thirds of the sun.
    References: ASHRAE, Handbook of Fundamentals, sol-air temperature (form seen in a derived text; table from
        memory).
    """
    not_negative("sol_air_temperature", irradiance=irradiance)
    share = np.asarray(absorptance, float)
    if np.any(~((share >= 0) & (share <= 1))):
        raise Refused(f"the absorptance is {absorptance}, but it is a share, 0 to 1. The 0.15 and 0.30 of some tables "
                      "are absorptance over a coefficient.", by="sol_air_temperature")
    return temperature + share * irradiance / SURFACE - SKY


@quantities(area="m^2", heat_transfer="W/m^2/K", sol_air="degC", inside="degC", gives="W")
def sun_heat(area, heat_transfer, sol_air, inside):
    """Heat through a roof or wall, W: area x U x (sol-air temperature - inside); below 0 it leaves."""
    not_negative("sun_heat", area=area, heat_transfer=heat_transfer)
    return np.asarray(area, float) * heat_transfer * np.subtract(sol_air, inside)


def _in_series(low_area, high_area):
    """One opening that passes as much as two, one after the other."""
    return 1 / np.sqrt(1 / np.asarray(low_area, float) ** 2 + 1 / np.asarray(high_area, float) ** 2)


@quantities(low_vent="m^2", high_vent="m^2", height="m", inside="degC", outside="degC", gives="m^3/s")
def stack_flow(low_vent, high_vent, height, inside, outside):
    """Air that rises through a low and a high vent because it is warm inside.

    low_vent, high_vent (float or array): m2 of *free* area of each, more than zero; a screen or louvre leaves 30 to
        60 % of its face (from memory).
    height (float or array): m between the middles of the vents.
    inside, outside (float or array): C. No flow is reckoned where inside is not the warmer.
    Returns: float or array: m3/s at the inside temperature.

    C A sqrt(2 g H (Ti - To)/Ti), Ti absolute, A = 1/sqrt(1/A1^2 + 1/A2^2). For equal vents it is
    the handbook's C A1 sqrt(2 g (H/2) (Ti - To)/Ti), whose height runs from the low vent to the level of
    equal pressure.
    References: ASHRAE, 1997, Handbook of Fundamentals, p. 25.13, equations 37 and 38.
    """
    positive("stack_flow", low_vent=low_vent, high_vent=high_vent)
    not_negative("stack_flow", height=height)
    kelvin = np.asarray(inside, float) + water.ZERO_C
    drive = np.maximum(np.subtract(inside, outside), 0.0) / kelvin
    return VENT * _in_series(low_vent, high_vent) * np.sqrt(2 * air.GRAVITY * height * drive)


@quantities(heat="W", temperature_rise="delta_degC", height="m", outside="degC", gives="m^2")
def vent_area_for_heat(heat, temperature_rise, height, outside=35.0):
    """Free area of each of two equal vents that carries heat away without a fan, near sea level.

    heat (float or array): W.
    temperature_rise (float or array): C over outdoors that is allowed.
    height (float or array): m between the middles of the vents, more than zero.
    outside (float or array): C, default 35.
    Returns: float or array: m2 of free area each.
    """
    positive("vent_area_for_heat", height=height)
    inside = np.add(outside, temperature_rise)
    each_square_metre = stack_flow(1.0, 1.0, height, inside, outside)
    return air_for_heat(heat, temperature_rise, inside) / each_square_metre


@record(flow="m^3/s", pressure="Pa")
class FanCurve:
    """Points of a fan's sheet: flow, and the pressure it holds at that flow, falling as flow rises.

    flow (array, shape (n,)): m3/s as it passes, rising, two points or more; the first 0.
    pressure (array, shape (n,)): Pa, falling; the last 0.
    """

    flow: Any
    pressure: Any

    def check(self):
        """Refuse points that do not make a falling curve from no flow to no pressure."""
        flow, pressure = (np.array(values, float) for values in (self.flow, self.pressure))
        if flow.ndim != 1 or flow.shape != pressure.shape or len(flow) < 2:
            raise Refused("give two or more points, a pressure for each flow.", by="FanCurve")
        falls = np.all(np.diff(flow) > 0) and np.all(np.diff(pressure) < 0)
        if not (flow[0] == 0 and pressure[-1] == 0 and falls):
            raise Refused("list the points from no flow to no pressure; flow must rise and pressure fall.",
                          by="FanCurve")
        for name, values in (("flow", flow), ("pressure", pressure)):
            values.setflags(write=False)
            object.__setattr__(self, name, values)


@quantities(flow="m^3/s")
def small_fan(flow):
    """A made-up straight fan curve, for learning before a fan's sheet is in hand.

    flow: m3/s against nothing, as printed on the box; more than zero.
    Returns: FanCurve.
    """
    positive("small_fan", flow=flow)
    return FanCurve([0.0, flow], [STALLED, 0.0])


def vent_pressure(flow, vent_area, density=1.2):
    """Pressure that a vent takes from the air that passes it: density/2 x (flow/(C A))^2.

    flow (float or array): m3/s.
    vent_area (float or array): m2 of free area, more than zero.
    density (float or array): kg/m3.
    Returns: float or array: Pa.
    """
    positive("vent_pressure", vent_area=vent_area)
    speed = np.asarray(flow, float) / (VENT * np.asarray(vent_area, float))
    return density / 2 * speed**2


@quantities(vent_area="m^2", density="kg/m^3", gives="m^3/s")
def fan_and_vents(fan, vent_area, density=1.2):
    """Flow of a fan against the vent it must push through; see :func:`vent_pressure`.

    fan (FanCurve).
    vent_area: m2 of free area of the vent the fan has no part in.
    density: kg/m3.
    Returns: float: m3/s, less than the flow on the box, which is that against nothing.
    """
    def excess(flow):
        return np.interp(flow, fan.flow, fan.pressure) - vent_pressure(flow, vent_area, density)
    return brentq(excess, 0.0, fan.flow[-1], xtol=1e-12)


class Cooled(NamedTuple):
    """Hot air after a piece of bare metal line."""

    temperature: Annotated[Any, "degC"]         # at the end
    heat: Annotated[Any, "W"]                   # given off on the way


@quantities(temperature="degC", surroundings="degC", flow_free_air="m^3/s", outside_diameter="m", length="m",
            heat_transfer="W/m^2/K", gives=Cooled)
def cooled_along(temperature, surroundings, flow_free_air, outside_diameter, length, heat_transfer=10.0):
    """Temperature of hot air after some bare metal line, and the heat the line gives off.

    temperature (float or array): C, where the air enters.
    surroundings (float or array): C, round the line.
    flow_free_air (float or array): m3/s of free air, more than zero.
    outside_diameter, length (float or array): m.
    heat_transfer (float or array): W/(m2 K) of outside surface; default 10, an assumption: 5 in still air, 15 in a
        draught.
    Returns: Cooled: Floats or arrays.

    The excess falls by e each m cp/(pi D U) metres.
    """
    positive("cooled_along", flow_free_air=flow_free_air, outside_diameter=outside_diameter)
    not_negative("cooled_along", length=length, heat_transfer=heat_transfer)
    carried = air.mass_flow(flow_free_air) * air.SPECIFIC_HEAT
    falls = np.exp(-np.pi * np.multiply(outside_diameter, length) * heat_transfer / carried)
    excess = np.subtract(temperature, surroundings)
    return Cooled(surroundings + excess * falls, carried * excess * (1 - falls))


@quantities(power="W", flow_free_air="m^3/s", share="", gives="delta_degC")
def rise_of_air(power, flow_free_air, share=0.55):
    """Rise in temperature of the compressed air when a share of the electricity ends up in it.

    power (float or array): W, zero or more.
    flow_free_air (float or array): m3/s of free air, more than zero.
    share: 0 to 1; default 0.55, the motor's efficiency (:data:`pondcalc.back_pressure.compressor.MOTOR_EFFICIENCY`;
        from memory): the shaft's work goes into the air, the motor's own loss into the cabinet.
    Returns: float or array: C above the air that goes in.
    """
    not_negative("rise_of_air", power=power)
    positive("rise_of_air", flow_free_air=flow_free_air)
    return share * np.asarray(power, float) / (air.mass_flow(flow_free_air) * air.SPECIFIC_HEAT)


@record(roof_area="m^2", wall_area="m^2", heat_transfer="W/m^2/K", low_vent="m^2", high_vent="m^2",
        vent_height="m", absorptance="")
class Cabinet:
    """A box for a compressor.

    roof_area, wall_area: m2.
    heat_transfer: W/(m2 K) through roof and walls: about 6 for bare sheet metal, 2 to 3 for wood, under 1 with an
        inch of foam (from memory).
    low_vent, high_vent: m2 of free area of each, more than zero.
    vent_height: m between their middles.
    absorptance: Of the roof, 0 to 1; default 0.5.
    """

    roof_area: Any
    wall_area: Any
    heat_transfer: Any
    low_vent: Any
    high_vent: Any
    vent_height: Any
    absorptance: Any = 0.5

    def check(self):
        """Refuse a box that cannot be."""
        positive("Cabinet", low_vent=self.low_vent, high_vent=self.high_vent)
        not_negative("Cabinet", roof_area=self.roof_area, wall_area=self.wall_area,
                      vent_height=self.vent_height, heat_transfer=self.heat_transfer)


class CabinetState(NamedTuple):
    """How a cabinet settles: C inside, m3/s of air through it, W through roof and walls, W with the air,
    W that leaves in the discharge line."""

    temperature: Annotated[Any, "degC"]
    vent_flow: Annotated[Any, "m^3/s"]
    shell_heat: Annotated[Any, "W"]
    vent_heat: Annotated[Any, "W"]
    line_heat: Annotated[Any, "W"]


@quantities(power="W", outside="degC", irradiance="W/m^2", flow_free_air="m^3/s", discharge_rise="delta_degC",
            elevation="m", gives=CabinetState)
def cabinet_temperature(cabinet, power, outside, irradiance=0.0, fan=None, flow_free_air=0.0,
                        discharge_rise=0.0, elevation=0.0):
    """Temperature a cabinet settles at, with or without a fan.

    cabinet (Cabinet).
    power: W, all electricity used inside, the fan's too.
    outside: C, in the shade.
    irradiance: W/m2 on the roof; 1000 on a clear summer noon, default 0.
    fan (FanCurve): It blows in or out through the high vent's place and pulls or pushes the air through the low vent;
        the rising of warm air is then left out. Without it, warm air rises.
    flow_free_air: m3/s of free air that the compressor draws from the cabinet and sends out hot; default 0, the
        cautious choice.
    discharge_rise: C by which that air is hotter than the cabinet where its line leaves the box.
    elevation: m above sea level.

    The temperature at which power + sun through the roof = heat through the walls + heat with the moving
    air + heat in the discharge line, by Brent's method between outdoors less 30 C and 400 C.
    """
    not_negative("cabinet_temperature", power=power, flow_free_air=flow_free_air, irradiance=irradiance)
    pressure = air.pressure_by_elevation(elevation)
    sol_air = sol_air_temperature(outside, irradiance, cabinet.absorptance) if irradiance else outside

    def state(inside):
        density = float(air.density(inside, pressure))
        if fan is None:
            flow = float(stack_flow(cabinet.low_vent, cabinet.high_vent, cabinet.vent_height, inside,
                                    outside))
        else:
            flow = fan_and_vents(fan, cabinet.low_vent, density)
        shell = float(sun_heat(cabinet.roof_area, cabinet.heat_transfer, sol_air, inside)
                      + sun_heat(cabinet.wall_area, cabinet.heat_transfer, outside, inside))
        vent = density * flow * air.SPECIFIC_HEAT * (inside - outside)
        line = float(air.mass_flow(flow_free_air)) * air.SPECIFIC_HEAT * (inside + discharge_rise - outside)
        return CabinetState(inside, flow, shell, vent, line)

    def surplus(inside):
        now = state(inside)
        return power + now.shell_heat - now.vent_heat - now.line_heat
    settled = state(brentq(surplus, outside - 30.0, 399.0, xtol=1e-6))
    if settled.temperature > 60:
        warnings.warn(Caution("it settles at " + either(f"{settled.temperature * 1.8 + 32:.0f} °F",
                                                        f"{settled.temperature:.0f} °C")
                              + f". Few motors are rated for air over {either('104 °F', '40 °C')}; give it more vent, "
                              "a fan or shade.", by="cabinet_temperature"), stacklevel=2)
    return settled


def add_levels(*levels):
    """Level of several sources together, dB.

    *levels (float or array): dB of each, at the same place.
    Returns: float or array: dB; two equal sources make 3 more.

    10 log10(sum of 10^(L/10)).
    """
    if not levels:
        raise Refused("give one level or more.", by="add_levels")
    return 10 * np.log10(sum(10 ** (np.asarray(level, float) / 10) for level in levels))


@quantities(known_distance="m", distance="m")
def level_at(level, known_distance, distance):
    """Level in the open at another distance from a small source, dB.

    level (float or array): dB at the known distance, as on a data sheet.
    known_distance, distance (float or array): m, more than zero.
    Returns: float or array: dB; L - 20 log10(r/r0), 6 less for each doubling.
    """
    positive("level_at", "Data sheets often measure at 3 ft or 1 m.", known_distance=known_distance, distance=distance)
    return level - 20 * np.log10(np.divide(distance, known_distance))


@quantities(known_distance="m", gives="m")
def distance_for_level(level, known_distance, wanted_level):
    """Distance in the open at which a small source falls to a wanted level; undoes :func:`level_at`."""
    return known_distance * 10 ** ((np.asarray(level, float) - wanted_level) / 20)


def day_night_level(level):
    """Day-night average of a source that runs all day and all night at one level, dB.

    level (float or array): dBA, steady.
    Returns: float or array: dB; 6.4 more than the level, because each of the nine night hours counts ten times.

    10 log10((15 x 10^(L/10) + 9 x 10^((L + 10)/10))/24), night from 22 to 7 o'clock.
    References: U.S. EPA, 1974, Information on Levels of Environmental Noise, EPA 550/9-74-004: it names 55 dB,
        day-night average, outdoors at homes (second-hand); information, not a limit.
    """
    return np.asarray(level, float)[()] + 10 * np.log10((15 + 9 * 10) / 24)
