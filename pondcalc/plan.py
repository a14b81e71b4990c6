"""From what is known about one pond to a first aeration plan, every number a range.

This is the thin path through the whole set: water, the oxygen a bad night lacks, air, pressure,
one line, one compressor, power and cost. Later workbooks deepen each step; the chain stays.
"""

import dataclasses
import warnings
from typing import Any, NamedTuple

from . import airline, compressor, housing, lineplan, oxygen
from .lineplan import OFF_BOTTOM
from .units import Q, Range, record, show, show_range

__all__ = ["PlanChoices", "PlanLine", "Plan", "changed", "choices_from", "first_plan", "plan_lines", "say_line",
           "say_plan"]

ROOM = 1.1              # how far over the working pressure with margin still makes sense to buy; judgment, no source
# what is assumed where the record has nothing; the page says so
ASSUMED = {"elevation": ("site", "0 ft", "elevation"), "fish": ("oxygen", "250 lb/acre", "stocking"),
           "temperature": ("oxygen", "82 F", "temperature"), "night": ("oxygen", "11 h", "time"),
           "floor": ("oxygen", f"{oxygen.FLOOR} mg/L", "oxygen"), "length": ("line", "250 ft", "distance"),
           "inside_diameter": ("line", "0.824 in", "bore"), "price": ("site", "17.3 cents/kWh", "price")}
STRAIGHT = {"open_flow", "top_pressure", "droop"}     # what makes a generic straight curve


@record(area="m^2", deepest="m", elevation="m", fish="kg/m^2", temperature="degC", night="s", floor="mg/L",
        length="m", inside_diameter="m", open_flow="m^3/s", top_pressure="Pa", droop="", price="dollar/J")
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

    def check(self):
        """Refuse a pond without water or a diffuser without depth."""
        if not (self.area > 0 and self.volume.low > 0):
            raise ValueError("A plan needs a pond with some area and volume; do workbook 01 first.")
        if self.deepest <= OFF_BOTTOM:
            raise ValueError(f"The pond is {show(Q(self.deepest, 'm'), 'depth', both=True)} deep at most, and the "
                             f"diffuser stands {show(Q(OFF_BOTTOM, 'm'), 'depth', both=True)} off the bottom. A pond "
                             "this shallow is not one for bottom aeration.")

    @property
    def submergence(self):
        """Depth of the diffuser below the full surface, m."""
        return self.deepest - OFF_BOTTOM


class PlanLine(NamedTuple):
    """One line of a plan: the words, its range of quantities or one quantity, its kind, where it comes from."""

    words: str
    value: Any
    kind: str
    source: str


class Plan(NamedTuple):
    """A first plan in SI numbers; see :func:`plan_lines` for the page a person reads."""

    choices: PlanChoices
    budget: Any
    air_by_bubbles: Range
    air_by_area: float
    pressure: Any
    point: Any
    power: Range
    cost: Range
    trouble: str
    notes: tuple


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
    delivery = pond.get("oxygen", "delivery")
    saved = {name: pond.get(section, name) for name, (section, _, _) in ASSUMED.items()}
    start = {name: ASSUMED[name][1] if value is None else value for name, value in saved.items()}
    start |= {"area": area.usual, "deepest": deepest, "open_flow": "4.5 cfm", "top_pressure": "30 psi", "droop": 0.4,
              "curve": lineplan.saved_curve(pond),
              "delivery": None if delivery is None else Range(*(v.m_as("kg/s") for v in delivery))}
    placed = pond.get("line", "submergence")
    if placed is not None:          # the diffuser stands where workbook 04 put it
        start["deepest"] = placed.to("m") + Q(OFF_BOTTOM, "m")
    if pond.has("air"):
        start["air"] = pond.sections["air"]
        start["deepest"] = pond.get("air", "submergence") + Q(OFF_BOTTOM, "m")
    if STRAIGHT & set(changes):
        start["curve"] = None
    return PlanChoices(volume=Range(*(v.m_as("m^3") for v in volume)), **(start | changes),
                       assumed=tuple(name for name, value in saved.items() if value is None and name not in changes))


def changed(choices, **values):
    """The same choices with some fields replaced, all in SI numbers; a generic machine drops a saved curve."""
    if STRAIGHT & set(values):
        values = {"curve": None} | values
    return PlanChoices.si(**({f.name: getattr(choices, f.name) for f in dataclasses.fields(choices)} | values))


def first_plan(choices):
    """The whole chain once.

    Parameters
    ----------
    choices : PlanChoices

    Returns
    -------
    Plan
        `point` is None and `trouble` says why when the compressor cannot reach the diffuser or drive
        the line; the pressure is then that of its open flow. `notes` are doubts to show.
    """
    c = choices
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always", UserWarning)
        nights = [oxygen.night_budget.si(v, c.area, c.fish, c.temperature, c.night, c.elevation, c.floor)
                  for v in c.volume]
        budget = nights[1]
        delivery = c.delivery or Range(min(n.delivery.low for n in nights), budget.delivery.usual,
                                       max(n.delivery.high for n in nights))
        by_bubbles = oxygen.airflow_for_delivery.si(delivery, c.submergence)
        line = airline.Line.si(c.length, c.inside_diameter)
        system = airline.system_curve.si(c.submergence, line, elevation=c.elevation)
        curve = machine(c)
        try:
            point, trouble = compressor.operating_point.si(curve, system), ""
            power = compressor.wire_power.si(*point, c.elevation)
        except compressor.CannotReach as problem:
            point, trouble, power = None, str(problem), Range(0.0, 0.0, 0.0)
        wanted = point.flow_free_air if point else float(curve.flow_free_air[0])
        pressure = airline.pressure_budget.si(c.submergence, line, wanted, elevation=c.elevation)
    cost = Range(*(housing.cost_per_year.si(p, c.price) for p in power))
    notes = tuple(dict.fromkeys(str(w.message) for w in caught))
    return Plan(c, budget._replace(delivery=delivery), by_bubbles, float(oxygen.airflow_by_area.si(c.area)), pressure,
                point, power, cost, trouble, notes)


def machine(choices):
    """Curve of the compressor of a plan, saved or generic, at the pond's elevation."""
    curve = choices.curve or compressor.linear_curve.si(choices.open_flow, choices.top_pressure, choices.droop)
    return compressor.derated.si(curve, choices.elevation)


def plan_lines(plan):
    """The plan as lines for a page, in the order a buyer needs them.

    Returns
    -------
    list of PlanLine
    """
    def span(values, unit):
        return Range(*(Q(float(v), unit) for v in values))
    c = plan.choices
    saved = c.delivery is not None
    lines = [
        PlanLine("Water in the full pond", span(c.volume, "m3"), "volume", "01"),
        PlanLine("Oxygen used in a warm night", span(plan.budget.used, "kg"), "mass", "08, simple budget"),
        PlanLine("Oxygen at dawn without air", span(plan.budget.dawn, "mg/L"), "oxygen", "08, simple budget"),
        PlanLine("Oxygen the air must deliver" + (", as saved by workbook 02" if saved else ""),
                 span([3600 * d for d in plan.budget.delivery], "kg/h"), "oxygen rate",
                 "02" if saved else "08, simple budget"),
        PlanLine("Air, if bubbles alone did it", span(plan.air_by_bubbles, "m3/s"), "air flow", "08"),
        PlanLine("Air by the 1.3 cfm an acre rule", Q(plan.air_by_area, "m3/s"), "air flow", "cross-check"),
        PlanLine("Depth of the diffuser", Q(c.submergence, "m"), "depth", "01"),
        PlanLine("Pressure of the water above it", Q(float(plan.pressure.static), "Pa"), "pressure", "08"),
        PlanLine("Pressure to ask for, with losses and margin",
                 span([plan.pressure.working, plan.pressure.total, plan.pressure.total * ROOM], "Pa"), "pressure",
                 "08"),
    ]
    if c.air is not None:
        lines += [PlanLine(words, c.air[key], kind, "03") for words, key, kind in (
            ("Oxygen out of the bubbles", "oxygen_by_bubbles", "oxygen rate"),
            ("Oxygen taken in at the top by lifted water", "oxygen_by_surface", "oxygen rate"),
            ("Water the bubbles lift", "lifted", "water flow"),
            ("Time to lift one pond volume", "turnover", "time")) if key in c.air]
    if plan.point is not None:
        lines += [
            PlanLine("This compressor would send", Q(plan.point.flow_free_air, "m3/s"), "air flow", "08"),
            PlanLine("and its gauge would read near", Q(float(plan.point.pressure_gauge), "Pa"), "pressure", "08"),
            PlanLine("Electric power it would draw", span(plan.power, "W"), "power", "08"),
            PlanLine("Cost of running it all year", span(plan.cost, "$/yr"), "money a year", "08"),
        ]
    return lines


def say_line(line, system="US"):
    """One plan line as text, such as ``Water in the full pond: 13 to 16 acre-ft``."""
    if isinstance(line.value, Range):
        text = (f"{show(line.value.usual, line.kind, system, digits=2)} "
                f"({show_range(line.value.low, line.value.high, line.kind, system)})")
    else:
        text = show(line.value, line.kind, system, digits=2)
    return f"{line.words}: {text}"


def say_plan(plan, system="US"):
    """The whole plan as text: a line for each number and where it comes from, then what was assumed and doubted."""
    lines = [f"{say_line(line, system)}   [{line.source}]" for line in plan_lines(plan)]
    if plan.choices.assumed:
        shown = [f"{name.replace('_', ' ')} {show(Q(ASSUMED[name][1]), ASSUMED[name][2], system, digits=3)}"
                 for name in plan.choices.assumed]
        lines.append("Assumed, because nothing is saved: " + "; ".join(shown) + ".")
    return "\n".join([*lines, *([plan.trouble] if plan.trouble else []), *plan.notes])
