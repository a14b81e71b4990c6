"""From what is known about one pond to a first aeration plan, every number a range.

This is the thin path through the whole set: water, the oxygen a bad night lacks, air, pressure,
one line, one compressor, power and cost. Later workbooks deepen each step; the chain stays.
"""

import warnings
from typing import Any, NamedTuple

from ..back_pressure import airline, compressor
from ..back_pressure.lineplan import OFF_BOTTOM
from ..how_much_oxygen import oxygen
from ..power_and_housing import housing
from ..units import Q, Range, show, show_range, spanned
from .planchoice import ASSUMED, PlanChoices, changed, choices_from

__all__ = ["OFF_BOTTOM", "PlanChoices", "PlanLine", "Plan", "changed", "choices_from", "first_plan", "machine",
           "plan_lines", "say_line", "say_plan", "say_value"]

ROOM = 1.1              # how far over the working pressure with margin still makes sense to buy; judgment, no source


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
    c = plan.choices
    saved = c.delivery is not None
    lines = [
        PlanLine("Water in the full pond", spanned(c.volume, "m3"), "volume", "01"),
        PlanLine("Oxygen used in a warm night", spanned(plan.budget.used, "kg"), "mass", "08, simple budget"),
        PlanLine("Oxygen at dawn without air", spanned(plan.budget.dawn, "mg/L"), "oxygen", "08, simple budget"),
        PlanLine("Oxygen the air must deliver" + (", as saved by workbook 02" if saved else ""),
                 spanned([3600 * d for d in plan.budget.delivery], "kg/h"), "oxygen rate",
                 "02" if saved else "08, simple budget"),
        PlanLine("Air, if bubbles alone did it", spanned(plan.air_by_bubbles, "m3/s"), "air flow", "08"),
        PlanLine("Air by the 1.3 cfm an acre rule", Q(plan.air_by_area, "m3/s"), "air flow", "cross-check"),
        PlanLine("Depth of the diffuser", Q(c.submergence, "m"), "depth", "01" if c.air is None else "03"),
        PlanLine("Pressure of the water above it", Q(float(plan.pressure.static), "Pa"), "pressure", "08"),
        PlanLine("Pressure to ask for, with losses and margin",
                 spanned([plan.pressure.working, plan.pressure.total, plan.pressure.total * ROOM], "Pa"), "pressure",
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
            PlanLine("Electric power it would draw", spanned(plan.power, "W"), "power", "08"),
            PlanLine("Cost of running it all year", spanned(plan.cost, "$/yr"), "money a year", "08"),
        ]
    return lines


def say_value(line, system="US", both=False):
    """The value of a plan line as text; `both` adds the other system in brackets."""
    value, kind = line.value, line.kind
    if kind == "text":
        return value
    if not isinstance(value, Range):
        return show(value, kind, system, digits=2, both=both)
    text = f"{show(value.usual, kind, system, digits=2)} ({show_range(value.low, value.high, kind, system)})"
    if not both:
        return text
    other = "metric" if system == "US" else "US"
    again = f"{show(value.usual, kind, other, digits=2)}, {show_range(value.low, value.high, kind, other)}"
    spread = f"{show(value.usual, kind, system, digits=2)}, {show_range(value.low, value.high, kind, system)}"
    return spread if again == spread else f"{spread} ({again})"


def say_line(line, system="US"):
    """One plan line as text, such as ``Water in the full pond: 15 acre-ft (13 to 16 acre-ft)``."""
    return f"{line.words}: {say_value(line, system)}"


def say_plan(plan, system="US"):
    """The whole plan as text: a line for each number and where it comes from, then what was assumed and doubted."""
    lines = [f"{say_line(line, system)}   [{line.source}]" for line in plan_lines(plan)]
    if plan.choices.assumed:
        shown = [f"{name.replace('_', ' ')} {show(Q(ASSUMED[name][1]), ASSUMED[name][2], system, digits=3)}"
                 for name in plan.choices.assumed]
        lines.append("Assumed, because nothing is saved: " + "; ".join(shown) + ".")
    return "\n".join([*lines, *([plan.trouble] if plan.trouble else []), *plan.notes])
