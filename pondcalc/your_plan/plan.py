"""From what is known about one pond to a first aeration plan, every number a range.

This is the thin path through the whole set: water, the oxygen a bad night lacks, air, pressure,
one line, one compressor, power and cost. Later workbooks deepen each step; the chain stays.
"""

import warnings
from typing import Any, NamedTuple

from ..back_pressure import airline, compressor
from ..bubbles_and_oxygen.placement import OFF_BOTTOM
from ..how_much_oxygen import oxygen
from ..power_and_housing import housing
from ..refusals import Caution, plainly
from ..units import Range, show, show_range
from .planchoice import PlanChoices, changed, choices_from, machine, working_point

__all__ = ["OFF_BOTTOM", "PlanChoices", "PlanLine", "Plan", "changed", "choices_from", "first_plan", "machine",
           "say_line", "say_value"]

ROOM = 1.1              # how far over the working pressure with margin still makes sense to buy; judgment, no source


class PlanLine(NamedTuple):
    """One line of a plan: the words, its range of quantities or one quantity, its kind, where it comes from."""

    words: str
    value: Any
    kind: str
    source: str


class Plan(NamedTuple):
    """A first plan in SI numbers.

    `one_night` is the delivery (kg/s) of the one-night budget, which stacks every bad case; `budget.delivery` is
    what to size for: that of workbook 02 where it is saved. `cost` is dollars for the running days of a year.
    """

    choices: PlanChoices
    budget: Any
    one_night: Range
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
        budget = c.one_night
        line = airline.Line.si(c.length, c.inside_diameter)
        try:
            point, trouble, power = working_point(c), "", None
        except compressor.CannotReach as problem:
            point, trouble, power = None, plainly(problem), Range(0.0, 0.0, 0.0)
        wanted = point.flow_free_air if point else float(machine(c).flow_free_air[0])
        pressure = airline.pressure_budget.si(c.submergence, line, wanted, c.wet_pressure, elevation=c.elevation)
        if power is None:
            pressing = float(compressor.adiabatic_power.si(*point, c.elevation))
            power = Range(*(pressing / share for share in reversed(c.efficiency or compressor.WIRE_EFFICIENCY)))
        if c.efficiency is not None and c.efficiency.usual > compressor.TOO_GOOD:
            warnings.warn(Caution(f"The saved watts would mean that {100 * c.efficiency.usual:.0f} % of the power "
                                  "presses air; 15 to 45 % is usual (from memory, not verified). Check the reading of "
                                  "workbook 06, or the curve of workbook 04."), stacklevel=2)
    cost = Range(*(housing.cost_per_year.si(p, c.price, days_a_year=c.days) for p in power))
    notes = tuple(dict.fromkeys(plainly(w.message) for w in caught))
    return Plan(c, budget._replace(delivery=c.delivery or budget.delivery), budget.delivery,
                float(oxygen.airflow_by_area.si(c.area)), pressure, point, power, cost, trouble, notes)


def digits(kind):
    """Significant figures of a number of the plan, everywhere in it: a bore is bought by three, all else has two."""
    return 3 if kind == "bore" else 2


def _spread(value, kind, system):
    """Usual value and range as text: more digits, or one number, where the ends would look alike."""
    for many in (2, 3):
        ends = {show(end, kind, system, digits=many) for end in (value.low, value.high)}
        if len(ends) > 1:
            return (show(value.usual, kind, system, digits=many),
                    show_range(value.low, value.high, kind, system, digits=many))
    return show(value.usual, kind, system, digits=2), ""


def _short(usual, ends):
    """Usual value and range with the unit once, such as ``15 acre-ft, 13 to 16``."""
    unit = usual.partition(" ")[1:]
    return f"{usual}, {ends.removesuffix(''.join(unit))}" if ends else usual


def say_value(line, system="US", both=False):
    """The value of a plan line as text; `both` adds the other system in brackets."""
    value, kind = line.value, line.kind
    if kind == "text":
        return value
    if kind == "count":
        low, usual, high = value if isinstance(value, Range) else (value,) * 3
        return f"{usual:.0f}" + (f" ({low:.0f} to {high:.0f})" if low != high else "")
    if not isinstance(value, Range):
        return show(value, kind, system, digits=digits(kind), both=both)
    usual, ends = _spread(value, kind, system)
    if not both:
        return f"{usual} ({ends})" if ends else usual
    spread, again = (_short(*_spread(value, kind, each))
                     for each in (("US", "metric") if system == "US" else ("metric", "US")))
    return spread if again == spread else f"{spread} ({again})"


def say_line(line, system="US"):
    """One plan line as text, such as ``Water in the full pond: 15 acre-ft (13 to 16 acre-ft)``."""
    return f"{line.words}: {say_value(line, system)}"
