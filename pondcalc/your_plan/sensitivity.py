"""Which unknown of a plan matters most?

One number at a time is moved over what it may well be, all others held, and the plan is worked out again. The
unknown that moves the answer farthest is the one to measure first.

What this leaves out: unknowns that act together, and how likely each end is. The spans are our choice unless
said otherwise.
"""

from typing import Any, NamedTuple

import numpy as np

from ..units import Q, show_range
from . import plan

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


_UNKNOWNS = (
    _Unknown("volume", "Water in the pond", "range", 0, 0, "volume", "m3", "more tracks with the sounding line"),
    _Unknown("fish", "Fish", "times", 0.5, 2.0, "stocking", "kg/ha", "a count of what you stocked, fed and took out"),
    _Unknown("temperature", "Warmest water", "plus", -2.0, 2.0, "temperature", "degC",
             "a thermometer at noon in the hottest weeks"),
    _Unknown("night", "Hours without sun", "dark", 0.9, 24 * 3600.0, "time", "s",
             "nothing: the weather decides, so watch the forecast"),
    _Unknown("deepest", "Depth of the diffuser", "plus", -0.3048, 0.3048, "depth", "m",
             "a weighted line at the very place"),
    _Unknown("length", "Length of the line", "times", 0.8, 1.3, "distance", "m", "a tape along the path of the line"),
    _Unknown("inside_diameter", "Inside diameter of the line", "times", 0.8, 1.25, "bore", "m",
             "calipers: a nominal size is not the true bore"),
    _Unknown("open_flow", "Flow of the compressor in open air", "times", 0.8, 1.2, "air flow", "m3/s",
             "the curve on its data sheet, or a bag and a stopwatch"),
    _Unknown("price", "Price of electricity", "times", 0.75, 1.35, "price", "$/kWh", "the last bill"),
)
# outcome -> (words, kind, unit, the answer of a plan, unknowns inside the model that a plan carries as its range)
OUTCOMES = {
    "Oxygen at dawn": ("oxygen", "mg/L", lambda made: made.budget.dawn.usual,
                       ("How green the water is, and the oxygen at dusk", lambda made: made.budget.dawn,
                        "a meter reading at dusk and one at dawn, on two hot days")),
    "Pressure to ask for": ("pressure", "Pa", lambda made: made.pressure.total, None),
    "Air that arrives": ("air flow", "m^3/s", lambda made: made.point.flow_free_air if made.point else np.nan, None),
    "Cost of a year": ("money a year", "dollar/year",
                       lambda made: made.cost.usual if made.point else np.nan,
                       (LOSSES, lambda made: made.cost,
                        "a plug-in watt meter on the running machine")),
}


def _moved(choices, unknown):
    """Ends of one unknown, as values of its field; a plain range for the volume."""
    now = getattr(choices, unknown.field)
    if unknown.how == "range":
        return [now._replace(usual=now.low), now._replace(usual=now.high)]
    if unknown.how == "dark":                           # up to a whole dark day, however long the night is
        return [now * unknown.low, max(now, unknown.high)]
    if unknown.how == "plus":
        return [now + unknown.low, now + unknown.high]
    return [now * unknown.low, now * unknown.high]


def _with(choices, unknown, value):
    """The plan with one unknown at one end; a saved curve is scaled, not dropped."""
    if unknown.field == "open_flow" and choices.curve is not None:
        share, curve = value / choices.open_flow, choices.curve
        scaled = type(curve).si(curve.pressure_gauge, curve.flow_free_air * share, curve.name)
        return plan.changed(choices, curve=scaled)
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
    now, swings = float(answer(usual)), []
    for unknown in _UNKNOWNS:
        ends = _moved(choices, unknown)
        results = []
        for value in ends:
            try:
                results.append(float(answer(plan.first_plan(_with(choices, unknown, value)))))
            except ValueError:                          # such as a diffuser lifted out of a very shallow pond
                results.append(now)
        if not np.allclose(results, now, rtol=1e-6, atol=1e-12, equal_nan=True):
            plain = [end.usual if unknown.how == "range" else end for end in ends]
            seen = tuple(Q(float(_shown(unknown, value)), unknown.unit) for value in plain)
            swings.append(Swing(unknown.words, seen, unknown.kind, tuple(results), unknown.measure))
    if inside is not None and not np.isnan(now):
        words, span, measure = inside
        low, _, high = span(usual)
        swings.append(Swing(words, None, "text", (float(low), float(high)), measure))
    return now, sorted(swings, key=lambda swing: -swing.size)


def _shown(unknown, value):
    """The value a reader knows, in the unit of the table above."""
    if unknown.field == "deepest":                      # the field holds the depth of the bed
        return value - plan.OFF_BOTTOM
    return value * {"fish": 1e4, "price": 3.6e6}.get(unknown.field, 1.0)      # to kg/ha and $/kWh


def matters_most(choices, known=()):
    """The unknown that moves dawn oxygen, pressure and cost most, each named once: two or three Swings with outcomes.

    Parameters
    ----------
    choices : planchoice.PlanChoices
    known : sequence of str, optional
        Words of unknowns that have been measured.

    Returns
    -------
    list of (str, float, Swing)
        Outcome, its answer as planned, and the swing.
    """
    found, named = [], set(known)
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
