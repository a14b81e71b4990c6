"""Which unknown of a plan matters most?

One number at a time is moved over what it may well be, all others held, and the plan is worked out again. The
unknown that moves the answer farthest is the one to measure first. What has been found out and saved is moved less,
and the price on a bill not at all. Where workbook 02 has saved the oxygen at dawn, the bars stand round that value.

What this leaves out: unknowns that act together, and how likely each end is. The spans are our choice unless
said otherwise.
"""

from typing import Any, NamedTuple

import numpy as np

from .. import catalogue
from ..catalogue import ROWS
from ..units import KINDS, Q, show_range, to_display
from . import plan, planchoice

__all__ = ["LOSSES", "OUTCOMES", "Swing", "one_at_a_time", "matters_most", "say_swings"]

LOSSES = "Losses in motor and machine"       # known once a meter has been on the machine


class Swing(NamedTuple):
    """One unknown: words, its ends as quantities of a kind, the answer at each (SI), and how to find it out.

    `ends` is None where the model carries the doubt itself; an answer is not-a-number where no air arrives.
    """

    words: str
    ends: Any
    kind: str
    results: tuple
    measure: str

    @property
    def size(self):
        """How far the answer moves between the ends; endless where one end leaves the pond without air."""
        return np.inf if np.isnan(self.results).any() else abs(self.results[1] - self.results[0])


NARROW = 0.1        # share either side within which saved watts count as known; our choice
# field of a plan that a row with a doubt moves, where it is not the row's own name
_MOVES = {"submergence": "deepest"}
# sections whose rows move an answer; the rest is spared, since a plan takes milliseconds
_MOVED_BY = {"Oxygen at dawn": ("water", "oxygen"), "Pressure to ask for": ("line",), "Air that arrives": ("line",),
             "Cost of a year": ("line", "site")}
# outcome -> (words, kind, unit, the answer of a plan, unknowns inside the model that a plan carries as its range)
OUTCOMES = {
    "Oxygen at dawn": ("oxygen", "mg/L", lambda made: made.budget.dawn.usual,
                       ("How green the water is, and the oxygen at dusk", lambda made: made.budget.dawn,
                        ROWS["oxygen", "dawn"].know_better)),
    "Pressure to ask for": ("pressure", "Pa", lambda made: made.pressure.total, None),
    "Air that arrives": ("air flow", "m^3/s", lambda made: made.point.flow_free_air if made.point else np.nan, None),
    "Cost of a year": ("money a year", "dollar/year",
                       lambda made: made.cost.usual if made.point else np.nan,
                       (LOSSES, lambda made: made.cost, ROWS["power", "power"].know_better)),
}


def _saved(choices, row):
    """Whether the record held this number."""
    return choices.curve is not None if row.name == "open_flow" else row.name not in choices.assumed


def _of_interest(choices, outcome):
    """Rows that may move an outcome and are not known yet; measured watts leave only the price to a year's cost."""
    metered = outcome == "Cost of a year" and choices.efficiency is not None
    for row in ROWS.values():
        if row.doubt is None or row.section not in _MOVED_BY[outcome] or metered and row.name != "price":
            continue
        ends = row.doubt.saved if _saved(choices, row) else ()
        if ends is not None:
            yield row, row.doubt._replace(**dict(zip(("low", "high"), ends, strict=False)))


def _moved(choices, row, doubt):
    """Ends of one unknown, as values of its field; a plain range for the volume."""
    now = getattr(choices, _field(row))
    if doubt.how == "range":
        return [now._replace(usual=now.low), now._replace(usual=now.high)]
    if doubt.how == "dark":                             # up to a whole dark day, however long the night is
        return [now * doubt.low, max(now, doubt.high)]
    if doubt.how == "times":
        return [now * doubt.low, now * doubt.high]
    low, high = (-np.inf, np.inf) if _field(row) != row.name else catalogue.ends(row.section, row.name)
    return [max(now + doubt.low, low), min(now + doubt.high, high)]


def _field(row):
    return _MOVES.get(row.name, row.name)


def _with(choices, row, value):
    """The plan with one unknown at one end; a saved curve is scaled, not dropped."""
    if row.name == "open_flow":
        return planchoice.resized(choices, value / choices.open_flow)
    return plan.changed(choices, **{_field(row): value})


def one_at_a_time(choices, outcome):
    """Each unknown moved alone, the one that matters most first.

    Parameters
    ----------
    choices : planchoice.PlanChoices
    outcome : str
        A key of :data:`OUTCOMES`.

    Returns
    -------
    tuple
        The answer as planned (SI), and a list of Swing without those that do not move it.
    """
    try:
        kind, unit, answer, inside = OUTCOMES[outcome]
    except KeyError:
        raise ValueError(f"one_at_a_time knows {', '.join(OUTCOMES)}; it was asked for {outcome!r}.") from None
    usual = plan.first_plan(choices)
    told = outcome == "Oxygen at dawn" and choices.dawn is not None
    shift = choices.dawn.usual - float(answer(usual)) if told else 0.0
    now, swings = float(answer(usual)) + shift, []
    for row, doubt in _of_interest(choices, outcome):
        ends = _moved(choices, row, doubt)
        results = []
        for value in ends:
            try:
                moved = float(answer(plan.first_plan(_with(choices, row, value)))) + shift
                results.append(max(moved, 0.0) if told else moved)
            except ValueError:                          # such as a diffuser lifted out of a very shallow pond
                results.append(now)
        if not np.allclose(results, now, rtol=1e-6, atol=1e-12, equal_nan=True):
            swings.append(Swing(row.label, tuple(_shown(row, end) for end in ends), row.kind, tuple(results),
                                row.know_better))
    if inside is not None and not np.isnan(now):
        words, span, measure = inside
        low, middle, high = choices.dawn if told else span(usual)
        metered = choices.efficiency is not None and words == LOSSES
        if not (metered and high - low <= 2 * NARROW * middle):
            swings.append(Swing(words, None, "text", (float(low), float(high)), measure))
    return now, sorted(swings, key=lambda swing: -swing.size)


def _shown(row, end):
    """One end as the quantity a reader knows."""
    if row.name == "submergence":                       # the field holds the depth of the bed
        return Q(float(end - plan.OFF_BOTTOM), "m")
    if row.name == "volume":
        return Q(float(end.usual), "m3")
    return Q(float(to_display(end, row.kind, planchoice.PlanChoices.units[row.name])), KINDS[row.kind][0])


def matters_most(choices):
    """The unknown that moves dawn oxygen, pressure and cost most, each named once: up to three Swings with outcomes.

    Parameters
    ----------
    choices : planchoice.PlanChoices

    Returns
    -------
    list of (str, float, Swing)
        Outcome, its answer as planned, and the swing.
    """
    found, named = [], set()
    for outcome in ("Oxygen at dawn", "Pressure to ask for", "Cost of a year"):
        now, swings = one_at_a_time(choices, outcome)
        fresh = next((swing for swing in swings if swing.words not in named), None)
        if fresh is not None:
            named.add(fresh.words)
            found.append((outcome, now, fresh))
    return found


def say_swings(outcome, swing, system="US", both=False, mark=":"):
    """One unknown in words: what it does to the answer, and how to find it out; `both` adds the other system.

    `mark` stands behind its name.
    """
    kind, unit, *_ = OUTCOMES[outcome]
    if np.isnan(swing.results).any():
        span = "from no air at all to air"
    else:
        low, high = sorted(swing.results)
        order = ("US", "metric") if system == "US" else ("metric", "US")
        spans = [show_range(Q(low, unit), Q(high, unit), kind, each) for each in order]
        span = f"from {spans[0]}" + (f" ({spans[1]})" if both and spans[0] != spans[1] else "")
    return f"{swing.words}{mark} this alone takes “{outcome.lower()}” {span}. To know better: {swing.measure}."
