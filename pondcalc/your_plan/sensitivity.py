"""Which unknown of a plan matters most?

One number at a time is moved over what it may well be, all others held, and the plan is worked out again. The
unknown that moves the answer farthest is the one to measure first. What has been found out and saved is moved less,
and the price on a bill not at all. Where workbook 02 has saved the oxygen at dawn, the bars stand round that value.

What this leaves out: unknowns that act together, and how likely each end is. The spans are our choice unless
said otherwise.
"""

from typing import Any, NamedTuple

import numpy as np

from ..how_much_oxygen import oxygencase
from ..units import FOOT, Q, show_range
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


class _Unknown(NamedTuple):
    field: str
    words: str
    how: str                # "times" or "plus"
    low: float
    high: float
    kind: str
    unit: str
    measure: str
    saved: Any = ()         # ends once the record holds it, empty for the same ones; None where it is then known


NARROW = 0.1        # share either side within which saved watts count as known; our choice
_UNKNOWNS = (
    _Unknown("volume", "Water in the pond", "range", 0, 0, "volume", "m3", "more tracks with the sounding line"),
    _Unknown("fish", "Fish", "times", 0.5, 2.0, "stocking", "kg/ha", "a count of what you stocked, fed and took out"),
    _Unknown("temperature", "Warmest water", "plus", -2.0, 2.0, "temperature", "degC",
             "a thermometer at noon in the hottest weeks"),
    _Unknown("night", "Hours without sun", "dark", 0.9, 24 * 3600.0, "time", "s",
             "nothing: the weather decides, so watch the forecast"),
    _Unknown("deepest", "Depth of the diffuser", "plus", -FOOT, FOOT, "depth", "m",
             "a weighted line at the very place"),
    _Unknown("length", "Length of the line", "times", 0.8, 1.3, "distance", "m", "a tape along the path of the line",
             (0.95, 1.1)),
    _Unknown("inside_diameter", "Inside diameter of the line", "times", 0.8, 1.25, "bore", "m",
             "calipers: a nominal size is not the true bore", (0.95, 1.05)),
    _Unknown("open_flow", "Flow of the compressor in open air", "times", 0.8, 1.2, "air flow", "m3/s",
             "the curve on its data sheet, or a bag and a stopwatch", (0.9, 1.1)),
    _Unknown("price", "Price of electricity", "times", 0.75, 1.35, "price", "$/kWh", "the last bill", None),
)
_OXYGEN = ("volume", "fish", "temperature", "night")
_AIR = ("deepest", "length", "inside_diameter", "open_flow")
_MOVED_BY = {"Oxygen at dawn": _OXYGEN, "Pressure to ask for": _AIR, "Air that arrives": _AIR,
             "Cost of a year": (*_AIR, "price")}     # fields; the rest is spared, since a plan takes milliseconds
# outcome -> (words, kind, unit, the answer of a plan, unknowns inside the model that a plan carries as its range)
OUTCOMES = {
    "Oxygen at dawn": ("oxygen", "mg/L", lambda made: made.budget.dawn.usual,
                       ("How green the water is, and the oxygen at dusk", lambda made: made.budget.dawn,
                        "a meter reading at dusk and one at dawn, on two hot days")),
    "Pressure to ask for": ("pressure", "Pa", lambda made: made.pressure.total, None),
    "Air that arrives": ("air flow", "m^3/s", lambda made: made.point.flow_free_air if made.point else np.nan, None),
    "Cost of a year": ("money a year", "dollar/year",
                       lambda made: made.cost.usual if made.point else np.nan,
                       (LOSSES, lambda made: made.cost, "a plug-in watt meter on the running machine")),
}


def _saved(choices, unknown):
    """Whether the record held this number."""
    return choices.curve is not None if unknown.field == "open_flow" else unknown.field not in choices.assumed


def _of_interest(choices, outcome):
    """Unknowns that may move an outcome and are not known yet; measured watts leave only the price to a year's cost."""
    metered = outcome == "Cost of a year" and choices.efficiency is not None
    for unknown in _UNKNOWNS:
        known = _saved(choices, unknown) and unknown.saved is None or metered and unknown.field != "price"
        if known or unknown.field not in _MOVED_BY[outcome]:
            continue
        ends = unknown.saved if _saved(choices, unknown) and unknown.saved else (unknown.low, unknown.high)
        yield unknown._replace(low=ends[0], high=ends[1])


def _moved(choices, unknown):
    """Ends of one unknown, as values of its field; a plain range for the volume."""
    now = getattr(choices, unknown.field)
    if unknown.how == "range":
        return [now._replace(usual=now.low), now._replace(usual=now.high)]
    if unknown.how == "dark":                           # up to a whole dark day, however long the night is
        return [now * unknown.low, max(now, unknown.high)]
    if unknown.how == "plus":
        ends = oxygencase.ENDS.get(unknown.field, (-np.inf, np.inf))
        return [max(now + unknown.low, ends[0]), min(now + unknown.high, ends[1])]
    return [now * unknown.low, now * unknown.high]


def _with(choices, unknown, value):
    """The plan with one unknown at one end; a saved curve is scaled, not dropped."""
    if unknown.field == "open_flow":
        return planchoice.resized(choices, value / choices.open_flow)
    return plan.changed(choices, **{unknown.field: value})


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
    for unknown in _of_interest(choices, outcome):
        ends = _moved(choices, unknown)
        results = []
        for value in ends:
            try:
                moved = float(answer(plan.first_plan(_with(choices, unknown, value)))) + shift
                results.append(max(moved, 0.0) if told else moved)
            except ValueError:                          # such as a diffuser lifted out of a very shallow pond
                results.append(now)
        if not np.allclose(results, now, rtol=1e-6, atol=1e-12, equal_nan=True):
            plain = [end.usual if unknown.how == "range" else end for end in ends]
            seen = tuple(Q(float(_shown(unknown, value)), unknown.unit) for value in plain)
            swings.append(Swing(unknown.words, seen, unknown.kind, tuple(results), unknown.measure))
    if inside is not None and not np.isnan(now):
        words, span, measure = inside
        low, middle, high = choices.dawn if told else span(usual)
        metered = choices.efficiency is not None and words == LOSSES
        if not (metered and high - low <= 2 * NARROW * middle):
            swings.append(Swing(words, None, "text", (float(low), float(high)), measure))
    return now, sorted(swings, key=lambda swing: -swing.size)


def _shown(unknown, value):
    """The value a reader knows, in the unit of the table above."""
    if unknown.field == "deepest":                      # the field holds the depth of the bed
        return value - plan.OFF_BOTTOM
    return value * {"fish": 1e4, "price": 3.6e6}.get(unknown.field, 1.0)      # to kg/ha and $/kWh


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


def say_swings(outcome, swing, system="US", both=False):
    """One unknown in words: what it does to the answer, and how to find it out; `both` adds the other system."""
    kind, unit, *_ = OUTCOMES[outcome]
    if np.isnan(swing.results).any():
        span = "from no air at all to air"
    else:
        low, high = sorted(swing.results)
        order = ("US", "metric") if system == "US" else ("metric", "US")
        spans = [show_range(Q(low, unit), Q(high, unit), kind, each) for each in order]
        span = f"from {spans[0]}" + (f" ({spans[1]})" if both and spans[0] != spans[1] else "")
    return f"{swing.words}: this alone takes “{outcome.lower()}” {span}. To know better: {swing.measure}."
