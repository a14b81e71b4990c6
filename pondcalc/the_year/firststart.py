"""How long may a bottom diffuser run on its first days without starving the fish?

A diffuser lifts stagnant water into the warm layer. Lift it all at once and the whole
pond may fall below what fish need; lift a little a day and the surface makes up the loss
between runs. The schedule here is worked out from the pond's own readings, for the worst
of the ranges given, and it always gives way to the meter: read, then run.

No university or government page with a run-time schedule was found. The custom of half an
hour on the first day, doubled each day, is common practice without a source, so it is
tested here like any other schedule.
"""

import itertools
import math
from typing import NamedTuple

import numpy as np

from ..units import QuantityError, Range, length_text, quantities
from ..warm_over_cold import layers, overturn

__all__ = ["StartDay", "StartPlan", "STOP_RULES", "COMMON_HOURS", "LEAST_DEMAND", "flow_through", "lower_demand",
           "start_plan"]

STEP = 0.25                                         # h, step of the sums and of the timer
COMMON_HOURS = (0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 24.0)    # common practice, no source
EXCHANGE = Range(0.35, 0.5, 0.74)                   # m/d, small lakes in light wind; Cole and others 2010
LEAST_DEMAND = Range(0.0, 2.0, 4.0)                 # mg/L of the lower water, never less; our choice
METER_ERROR = 0.5                                   # mg/L, allowed for in the stop reading; our choice
DAILY_SHARE = 0.25                                  # of the stagnant water a day at most; our choice
LONGEST = 60                                        # days looked ahead

STOP_RULES = (
    "Stop if oxygen one foot down reads below the stop reading at any time.",
    "Stop if fish gulp at the surface, crowd the edge or the inflow, or lie about in daylight.",
    "Stop if the water smells of rotten eggs: the gas poisons fish, and people in a shed or a pit.",
    "Do not start on a dark, still or hot day, after a fish kill or an algae die-off, or before a storm.",
    "Start each run in the morning after the dawn reading, so that the sun can make up the loss.",
    "After a stop, wait a day, read at dawn, and go back to the last run that was safe.",
)


class StartDay(NamedTuple):
    """One day of the schedule, and what the meter should say."""

    day: int
    hours: float
    oxygen_before: Range
    oxygen_lowest: Range
    temperature: Range
    stagnant_left: Range
    go_reading: float
    stop_reading: float


class StartPlan(NamedTuple):
    """The schedule, or why there is none."""

    go: bool
    reason: str
    days: tuple
    boundary: float
    stagnant_volume: float
    finish: Range
    oxygen_at_once: Range


class _State(NamedTuple):
    upper: np.ndarray           # m3
    lower: np.ndarray
    oxygen: np.ndarray          # mg/L of the upper water
    temperature: np.ndarray


class _Pond(NamedTuple):
    """Ranges spelled out as corners: every mix of low and high, with the usual case last."""

    area: float
    flow: np.ndarray            # m3/h
    owed: np.ndarray            # mg/L that a litre of stagnant water brings, less what it burns
    rate: np.ndarray            # m/h of exchange with the air
    rest: float                 # mg/L the upper water settles at by itself
    cold: float
    start: _State
    boundary: float


@quantities(lifted_flow="m^3/s", submergence="m", boundary="m", gives="m^3/s")
def flow_through(lifted_flow, submergence, boundary):
    """Part of the water lifted to the surface that comes from under the boundary of the layers.

    Parameters
    ----------
    lifted_flow : quantity
        Water that reaches the surface, one or a range.
    submergence : quantity
        Depth of the diffuser.
    boundary : quantity
        Depth of the boundary, above the diffuser.

    Returns
    -------
    quantity
        Flow through the boundary: lifted_flow ((submergence - boundary)/submergence)^(5/3), as a plume
        in still water gathers flow; layers make it less, so this errs on the safe side.

    References
    ----------
    B. R. Morton, G. I. Taylor and J. S. Turner, 1956, Proceedings of the Royal Society A 234:1-23.
    """
    if not 0 <= boundary < submergence:
        raise QuantityError(f"The boundary of the layers, {length_text(boundary)} down, must lie above the diffuser at "
                            f"{length_text(submergence)}.")
    return np.asarray(lifted_flow, float)[()] * ((submergence - boundary) / submergence) ** (5 / 3)


@quantities(depth="m", area="m^2", demand="mg/L", boundary="m", gives="mg/L")
def lower_demand(depth, area, profile, demand, boundary):
    """Demand of stagnant water, spread over all the water under the boundary of the layers.

    Parameters
    ----------
    depth, area, profile
        The pond's shape and its readings, with oxygen.
    demand : three quantities
        Of each litre below 1 mg/L, as :func:`pondcalc.warm_over_cold.overturn.demand_of_profile` gives it.
    boundary : quantity
        Depth that parts the layers.

    Returns
    -------
    Range of quantity
        mg/L of the lower water. Never less than 0, 2 and 4 mg/L, our choice: one bottle or one guess of days
        speaks for one place, and water just above 1 mg/L may owe some too.
    """
    below = overturn.stagnant_top(profile)
    s = layers.slices(depth, area, profile, tuple(z for z in sorted({below, boundary}) if 0 < z < depth[-1]))
    lower = s.centre > boundary
    share = float(s.volume[lower & (s.centre > below)].sum() / s.volume[lower].sum()) if lower.any() else 0.0
    return Range(*(max(least, share * owed) for least, owed in zip(LEAST_DEMAND, sorted(demand), strict=True)))


def _corners(flow, demand, exchange):
    """Every mix of low and high ends, and the usual case last; one row for each range."""
    ends = [(r[0], r[-1]) for r in (flow, demand, exchange)]
    rows = [*itertools.product(*ends), tuple(r[len(r) // 2] for r in (flow, demand, exchange))]
    return np.array(rows).T


def _range(values):
    return Range(float(np.min(values)), float(values[-1]), float(np.max(values)))


def start_pond(depth, area, profile, flow, demand, exchange, boundary):
    """The pond before its first start, every mix of doubts as a corner; refused where readings are missing."""
    if profile.dissolved_oxygen is None:
        raise QuantityError("A first start needs oxygen readings from top to bottom. Borrow or rent a meter, "
                            "or wait for spring or fall when the pond is mixed.")
    if min(flow) <= 0:
        raise QuantityError("The water lifted must be above zero. Workbook 3 estimates it as a range.")
    if boundary is None:
        layer = layers.steepest_layer.si(profile)
        boundary = 0.5 * (layer.top + layer.bottom)
    s = layers.slices(depth, area, profile, (boundary,))
    top = s.centre < boundary
    if top.all() or not top.any():
        raise QuantityError(f"The boundary of the layers, {length_text(boundary)} down, is not inside the pond.")
    flow, demand, exchange = _corners(sorted(flow), sorted(demand), sorted(exchange))
    ones = np.ones_like(flow)

    def mean(values, part):
        return float(np.average(values[part], weights=s.volume[part]))
    oxygen = mean(s.dissolved_oxygen, top)
    state = _State(s.volume[top].sum() * ones, s.volume[~top].sum() * ones, oxygen * ones,
                   mean(s.temperature, top) * ones)
    return _Pond(float(np.asarray(area)[0]), flow * 3600, mean(s.dissolved_oxygen, ~top) - demand,
                 exchange / 24, oxygen, mean(s.temperature, ~top), state, boundary)


def plain_answer(pond, profile, floor):
    """(go, reason) where no schedule is needed or none can help; None where one must be worked out."""
    if layers.kind_of_layers.si(profile) == "mixed":
        return True, "The pond is mixed: there is no stagnant layer to bring up. Run day and night."
    if pond.start.oxygen[0] <= floor:
        return False, (f"The upper water holds {pond.start.oxygen[0]:.1f} mg/L, not above the "
                       f"{floor:.1f} to keep. Do not start; find out why it is low.")
    return None


def _step(pond, state, running):
    """A quarter of an hour: lift and mix, then exchange with the air."""
    lifted = np.minimum(pond.flow * STEP, state.lower) if running else 0.0 * state.lower
    upper = state.upper + lifted
    oxygen = (state.oxygen * state.upper + pond.owed * lifted) / upper
    temperature = (state.temperature * state.upper + pond.cold * lifted) / upper
    keep = np.exp(-pond.rate * pond.area * STEP / upper)
    return _State(upper, state.lower - lifted, pond.rest + (oxygen - pond.rest) * keep, temperature)


def _day(pond, state, hours=None, floor=None, share=1.0):
    """Run one day, for given hours or until a limit is near; gives hours, lowest oxygen and the state."""
    lowest, ran, stopped = state.oxygen.copy(), 0.0, False
    least = state.lower - share * pond.start.lower
    for quarter in range(int(24 / STEP)):
        running = (quarter * STEP < hours - 1e-9) if hours is not None else not stopped
        if running:
            trial = _step(pond, state, True)
            if hours is None and (trial.oxygen.min() < floor or (trial.lower < least - 1e-6).any()):
                stopped, running = True, False
            else:
                state, ran = trial, ran + STEP
        if not running:
            state = _step(pond, state, False)
        lowest = np.minimum(lowest, state.oxygen)
    return ran, lowest, state


def _finish(gone, day, state, start):
    gone[np.isinf(gone) & (state.lower < 0.01 * start.lower)] = day
    return gone


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", floor="mg/L", demand="mg/L", exchange="m/day",
            boundary="m", gives=(None, None, None, "m", "m^3", None, "mg/L"))
def start_plan(depth, area, profile, lifted_flow, floor=4.0, demand=LEAST_DEMAND, exchange=EXCHANGE,
               boundary=None, daily_share=DAILY_SHARE):
    """Run times, day by day, that keep the mixed water's oxygen above a floor.

    Parameters
    ----------
    depth, area : arrays of quantity
        The pond's shape.
    profile : Profile
        Readings at dawn, with oxygen.
    lifted_flow : two or three quantities
        Water that the diffuser lifts through the boundary of the layers: low, (usual,) high.
    floor : quantity, optional
        Oxygen to keep, default 4 mg/L.
    demand : three quantities, optional
        Oxygen that each litre of the water under the boundary burns when it meets some, from
        :func:`lower_demand`. The default, 0 to 4 mg/L, is the least that it gives.
    exchange : three quantities, optional
        Gas exchange of the surface as a speed, default 0.35 to 0.74 m/d.
    boundary : quantity, optional
        Depth that parts the layers; by default the middle of the steepest layer.
    daily_share : float, optional
        Most of the stagnant water to lift in one day, even where the floor would allow more, because
        its demand is a guess until measured. Default a quarter, our choice; 1 for no such limit.

    Returns
    -------
    StartPlan
        ``days`` holds the schedule up to the day from which it may run day and night; ``finish`` the
        day on which 99 % of the stagnant water has been lifted; ``oxygen_at_once`` what one long first
        run would leave. Oxygen inside the days is in mg/L, temperature in degC.

    Raises
    ------
    QuantityError
        Without oxygen readings, or with a flow of zero or less.

    Notes
    -----
    Two boxes. In a time dt the volume q dt leaves the stagnant box and mixes into the upper one, which
    grows by as much: C' = (C V + (C2 - demand) q dt)/(V + q dt). Between and during runs the upper
    water returns to the oxygen it had before by exchange with the air, at the rate k A/V. Each run ends
    a quarter of an hour before any mix of low and high flow, demand and exchange would take the mixed
    water below the floor. Oxygen from the bubbles themselves is left out, which errs on the safe side.

    References
    ----------
    J. J. Cole and others, 2010, Limnology and Oceanography Methods 8:285-293 (abstract: 0.35 to
    0.74 m/d in lakes of 0.3 to 45 ha with wind below 3 m/s).
    """
    pond = start_pond(depth, area, profile, lifted_flow, demand, exchange, boundary)
    start = pond.start
    volume = start.upper + start.lower
    at_once = np.maximum(0.0, (start.oxygen * start.upper + pond.owed * start.lower) / volume)

    def answer(go, reason, days=(), finish=(math.inf,) * 3):
        return StartPlan(go, reason, tuple(days), pond.boundary, float(start.lower[0]),
                         Range(*map(float, finish)),
                         _range(at_once))
    plain = plain_answer(pond, profile, floor)
    if plain is not None:
        return answer(*plain)
    state, days, gone = start, [], np.full(len(volume), math.inf)
    for day in range(1, LONGEST + 1):
        over = bool(np.isfinite(gone).all())        # one more day, running day and night
        before = state
        hours, lowest, state = _day(pond, state, floor=floor, share=daily_share)
        gone = _finish(gone, day, state, start)
        days.append(StartDay(day, hours, _range(before.oxygen), _range(lowest), _range(state.temperature),
                             _range(state.lower / start.lower), min(float(before.oxygen.min()), pond.rest),
                             floor + METER_ERROR))
        if day == 1 and hours == 0:
            return answer(False, "Even a quarter of an hour lifts more stagnant water than the upper layer "
                                 "can bear. Feed the diffuser less air, or wait for spring or fall.")
        if over and hours == 24:
            break
    else:
        return answer(False, f"It would take more than {LONGEST} days of short runs. Wait for spring or "
                             "fall, when the pond is mixed.")
    while len(days) > 1 and days[-1].hours == days[-2].hours == 24:
        days.pop()
    return answer(True, "Follow the meter, not the clock: this is the most the readings allow.", days,
                  (gone.min(), gone[-1], gone.max()))
