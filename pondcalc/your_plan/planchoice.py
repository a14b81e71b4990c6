"""What does a plan start from: the reader's record, and usual numbers where the record has nothing?

The choices are plain SI numbers once made, so that one of them can be moved and the plan worked out again.
"""

import dataclasses
import warnings
from typing import Any

import numpy as np

from .. import record as records
from ..back_pressure import airline, compressor, lineplan, reach
from ..bubbles_and_oxygen.placement import OFF_BOTTOM
from ..catalogue import ROWS, assumed
from ..how_much_oxygen import oxygencase
from ..power_and_housing import airdays
from ..units import DAY, Q, Range, length_text, record

__all__ = ["PlanChoices", "changed", "choices_from", "example_for", "machine", "resized", "working_point"]

STRAIGHT = {"open_flow", "top_pressure", "droop"}     # what makes a generic straight curve
MACHINE = STRAIGHT | {"curve"}


@record(area="m^2", deepest="m", elevation="m", fish="kg/m^2", temperature="degC", night="s", floor="mg/L",
        length="m", inside_diameter="m", open_flow="m^3/s", top_pressure="Pa", droop="", price="dollar/J",
        days="s", wet_pressure="Pa")
class PlanChoices:
    """What a first plan needs to know.

    Parameters
    ----------
    volume : Range
        m3 of the full pond.
    area, deepest, elevation : float
        m2, m, m.
    fish : float
        kg of fish per m2 of surface.
    temperature : float
        Warmest water of the year, degC.
    night : float
        Hours without sun, in s.
    floor : float
        Oxygen to keep, mg/L.
    length, inside_diameter : float
        Air line from compressor to diffuser, m.
    open_flow, top_pressure, droop : float
        Generic compressor: free air against no pressure, m3/s; highest pressure, Pa gauge; share of the
        flow lost at that pressure.
    price : float
        Dollars per joule.
    assumed : tuple of str, optional
        Fields the pond record had nothing for.
    curve : compressor.CompressorCurve, optional
        Points of a data sheet, at sea level; they take the place of the generic straight line.
    air : mapping, optional
        Section ``air`` of the pond record, as workbook 03 saves it.
    delivery : Range, optional
        kg/s of oxygen to deliver, saved by workbook 02; without it the simple budget of one night is used.
    dawn : Range, optional
        mg/L at dawn, saved by workbook 02.
    diffusers : int, optional
        How many share the air, all at one depth; default 1.
    efficiency : Range, optional
        Power that presses the air over power at the cord, from the watts that workbook 06 saved; without it the
        usual span of small machines is used.
    days : float, optional
        Running time in a year, s: the season that workbook 07 saved, else all year.
    wet_pressure : float, optional
        Of the new diffuser, Pa, as workbook 04 saved it.
    said : oxygencase.Described, optional
        The owner's words for water, mud, weeds, feed and dusk; by default the usual ones.
    """

    volume: Any
    area: float
    deepest: float
    elevation: float
    fish: float
    temperature: float
    night: float
    floor: float
    length: float
    inside_diameter: float
    open_flow: float
    top_pressure: float
    droop: float
    price: float
    assumed: tuple = ()
    curve: Any = None
    air: Any = None
    delivery: Any = None
    dawn: Any = None
    diffusers: int = 1
    efficiency: Any = None
    days: float = airdays.ALL_YEAR * DAY
    wet_pressure: float = airline.WET_PRESSURE
    said: Any = None

    def check(self):
        """Refuse a pond without water or a diffuser without depth."""
        if not (self.area > 0 and self.volume.low > 0):
            raise ValueError("A plan needs a pond with some area and volume; do workbook 01 first.")
        if not (self.diffusers >= 1 and self.diffusers == int(self.diffusers)):
            raise ValueError(f"The number of diffusers is 1, 2, 3 ...; it was given {self.diffusers}.")
        if self.deepest <= OFF_BOTTOM:
            raise ValueError(f"The pond is {length_text(self.deepest)} deep at most, and the diffuser stands "
                             f"{length_text(OFF_BOTTOM)} off the bottom. A pond "
                             "this shallow is not one for bottom aeration.")

    @property
    def submergence(self):
        """Depth of the diffuser below the full surface, m."""
        return self.deepest - OFF_BOTTOM

    @property
    def one_night(self):
        """The budget of one night in the owner's words: ``oxygencase.one_night``, the same as workbook 02's."""
        moved = {name: getattr(self, name) for name in ("fish", "temperature", "night", "floor")}
        said = oxygencase.Described.si(**moved) if self.said is None else self.said.with_values(**moved)
        water = oxygencase.PondWater.si(self.volume.usual, self.area, elevation=self.elevation, spread=self.volume)
        return oxygencase.one_night(water, said)


def choices_from(pond, **changes):
    """Choices for a plan from a pond record, with common starting values where nothing is saved.

    Parameters
    ----------
    pond : record.PondRecord
    **changes : str or quantity
        Any field of :class:`PlanChoices`, to use instead.

    Returns
    -------
    PlanChoices
    """
    volume, area, deepest = (pond.get("water", key) for key in ("volume", "area", "deepest"))
    if volume is None or area is None or deepest is None:
        raise ValueError("This pond has no volume yet. Do workbook 01 first; it takes about an hour.")
    delivery, dawn = (oxygencase.found(pond, name) for name in ("delivery", "dawn"))
    saved = {name: pond.get(row.section, name) for name, row in assumed().items()}
    start = {name: assumed()[name].usual if value is None else value for name, value in saved.items()
             if name in PlanChoices.units}
    start |= {"said": oxygencase.described_from(pond),
              "area": area.usual, "deepest": deepest,
              **{name: ROWS["line", name].usual for name in ("open_flow", "top_pressure", "droop")},
              "curve": reach.saved_curve(pond), "days": Q(airdays.air_days(pond).running, "day"),
              "wet_pressure": pond.get("line", "wet_pressure", ROWS["line", "wet_pressure"].usual),
              "delivery": None if delivery is None else Range(*(v.m_as("kg/s") for v in delivery)),
              "dawn": None if dawn is None else Range(*(v.m_as("mg/L") for v in dawn))}
    placed = pond.get("line", "submergence")
    if placed is not None:          # the diffuser stands where workbook 04 put it
        start["deepest"] = placed.to("m") + Q(OFF_BOTTOM, "m")
    if pond.has("air"):
        start["air"] = pond.sections["air"]
        placed = pond.get("air", "submergence")
        start["deepest"] = start["deepest"] if placed is None else placed.to("m") + Q(OFF_BOTTOM, "m")
        start["diffusers"] = int(round(pond.get("air", "diffusers", Q(1.0, "dimensionless")).m_as("dimensionless")))
    if STRAIGHT & set(changes):
        start["curve"] = None
    made = PlanChoices(volume=Range(*(v.m_as("m^3") for v in volume)), **(start | changes),
                       assumed=tuple(name for name, value in saved.items() if value is None and name not in changes))
    planned = lineplan.air_planned(pond)
    if planned is not None and made.curve is None and not STRAIGHT & set(changes):
        made = _sized(made, planned.m_as("m^3/s"))
    watts = pond.get("power", "power")
    if watts is None or MACHINE & set(changes):
        return made
    return changed(made, efficiency=_efficiency(made, [v.m_as("W") for v in watts]))


def _sized(choices, flow):
    """The choices with a generic machine that sends this flow (m3/s) down their line; as they are where none can."""
    line = airline.Line.si(choices.length, choices.inside_diameter)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)        # the plan's own notes say the same
            gauge = float(airline.pressure_budget.si(choices.submergence, line, flow, choices.wet_pressure,
                                                     elevation=choices.elevation).working)
    except ValueError:                  # the line chokes
        return choices
    curve = machine(choices)
    here = float(np.interp(gauge, curve.pressure_gauge, curve.flow_free_air, right=0.0))
    return resized(choices, flow / here) if here > 0 else choices


def _efficiency(choices, watts):
    """What the saved watts say about motor and machine, where they run; None where no air arrives."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)        # the plan's own notes say the same
            pressing = float(compressor.adiabatic_power.si(*working_point(choices), choices.elevation))
    except compressor.CannotReach:
        return None
    return Range(*(pressing / w for w in reversed(watts))) if min(watts) > 0 else None


def machine(choices):
    """Curve of the compressor of a plan, saved or generic, at the pond's elevation."""
    curve = choices.curve or compressor.linear_curve.si(choices.open_flow, choices.top_pressure, choices.droop)
    return compressor.derated.si(curve, choices.elevation)


def working_point(choices):
    """Flow and pressure at which the machine of a plan runs on its line.

    Raises
    ------
    compressor.CannotReach
        If it cannot reach the diffuser or drive the line.
    """
    line = airline.Line.si(choices.length, choices.inside_diameter)
    system = airline.system_curve.si(choices.submergence, line, choices.wet_pressure, elevation=choices.elevation)
    return compressor.operating_point.si(machine(choices), system)


def resized(choices, share):
    """The same choices with a machine of another size: `share` times the air at every pressure.

    What the watts of one machine said about its losses does not hold for another.
    """
    if abs(share - 1) < 1e-9:
        return choices
    if choices.curve is None:
        return changed(choices, open_flow=choices.open_flow * share)
    curve = choices.curve
    return changed(choices, curve=type(curve).si(curve.pressure_gauge, curve.flow_free_air * share, curve.name))


def example_for(pond):
    """A pond without its water yet, with the water of the demonstration pond and all that it did save; invented."""
    demo = records.demo()
    return dataclasses.replace(pond, name=f"{demo.name}, an example in place of {pond.name}", invented=True,
                               sections={"water": demo.sections["water"], **pond.sections})


def changed(choices, **values):
    """The same choices with some fields replaced, all in SI numbers.

    A generic machine drops a saved curve, and another machine drops what the saved watts said about the old one.
    """
    if STRAIGHT & set(values):
        values = {"curve": None} | values
    if MACHINE & set(values):
        values = {"efficiency": None} | values
    return PlanChoices.si(**({f.name: getattr(choices, f.name) for f in dataclasses.fields(choices)} | values))
