"""Which run times can a timer and a busy owner keep on the first days?

The most that readings allow goes up and down from day to day (:mod:`pondcalc.the_year.firststart`). A
person wants a ladder: one first run, and each next day so many times longer. The old custom,
half an hour doubled each day, is one such ladder (common practice, no source). Here any ladder
is tried at every mix of low and high ends of what is not known, and the quickest safe one is
picked.

The two boxes and their limits are those of :mod:`pondcalc.the_year.firststart`; here each run and each
rest is solved exactly, which is quick enough to try hundreds of ladders at once.
"""

import math
from typing import NamedTuple

import numpy as np

from ..units import Range, quantities
from . import firststart

__all__ = ["Course", "SafeLadder", "FIRST_RUNS", "GROWTHS", "unread", "ladder_hours", "course", "safe_ladder",
           "custom_by_flow"]

FIRST_RUNS = (0.25, 0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24)     # h; what a timer sets
GROWTHS = (1.0, 1.25, 1.5, 2.0)
WIDE = 1.0                      # m (3.3 ft) between two readings that leave too much to guess; our choice
GONE = 0.01                     # of the stagnant water left, which counts as done


class Course(NamedTuple):
    """What a list of run times would do (SI; oxygen in mg/L).

    ``moment`` is days from the start, with oxygen of the upper water at its low, usual and high
    end at the start of each run, its end, and midnight; ``go_reading`` is the least the meter
    should say at dawn before each run, ``stop_reading`` what ends a run, ``lifted_share`` the most of the
    stagnant water lifted in one day.
    """

    hours: tuple
    moment: np.ndarray
    oxygen: Range
    left: Range
    go_reading: tuple
    stop_reading: float
    lowest_oxygen: Range
    day_of_lowest: int
    finish: Range
    lifted_share: float
    verdict: str


class SafeLadder(NamedTuple):
    """The quickest safe ladder, or why there is none; ``course`` is None without one."""

    go: bool
    reason: str
    first_run: float
    growth: float
    course: Course | None
    boundary: float
    stagnant_volume: float


@quantities(submergence="m")
def unread(profile, submergence):
    """Spans of depth between the surface and the diffuser that the readings leave out.

    Parameters
    ----------
    profile : Profile
    submergence : quantity
        Depth of the diffuser.

    Returns
    -------
    spans : list of (float, float)
        Depths (m) of two readings more than :data:`WIDE` apart, or of the last one and the diffuser.
    hides_layers : bool
        Whether one of them holds the place where the layers part, so that no schedule can be trusted.
    """
    ends = [0.0, *profile.depth]
    if submergence > ends[-1]:
        ends.append(submergence)
    spans = [(a, b) for a, b in zip(ends[:-1], ends[1:], strict=True) if b - a > WIDE + 1e-9]
    layer = firststart.layers.steepest_layer.si(profile)
    middle, mixed = 0.5 * (layer.top + layer.bottom), firststart.layers.kind_of_layers.si(profile) == "mixed"
    inside = any(a < middle < b for a, b in spans) and not mixed
    return spans, inside or bool(spans) and spans[-1][1] > profile.depth[-1] and submergence > 2 * profile.depth[-1]


@quantities(first_run="hour", gives="hour")
def ladder_hours(first_run, growth, days=firststart.LONGEST):
    """Run times of a ladder, to the quarter of an hour, at most a day.

    Parameters
    ----------
    first_run : quantity
        Run on day 1, above 0 to 24 h.
    growth : float
        How many times longer each next run is, 1 to 4.
    days : int, optional

    Returns
    -------
    array of quantity
    """
    if not 0 < first_run <= 24 or not 1 <= growth <= 4:
        raise ValueError(f"A ladder starts with 0 to 24 hours and grows 1 to 4 times a day; it was given "
                         f"{first_run:g} hours and {growth:g}.")
    steps = np.minimum(24.0, first_run * growth ** np.minimum(np.arange(days), 64 / growth))
    return np.maximum(firststart.STEP, np.round(steps / firststart.STEP) * firststart.STEP)


def _solve_day(pond, upper, lower, oxygen, hours):
    """One day exactly: a run of some hours, then rest; one row a ladder, one column a corner.

    Running: V C' = q (owed - C) + k A (rest - C) with V growing at q, whose solution is
    C = E + (C0 - E) (V0/V)^((q + k A)/q), E the oxygen it tends to. Resting: C returns to rest as exp(-k A t/V).
    """
    reach = pond.rate * pond.area
    ran = np.minimum(hours, lower / pond.flow)
    lifted = pond.flow * ran
    after = upper + lifted
    tends = (pond.flow * pond.owed + reach * pond.rest) / (pond.flow + reach)
    end = tends + (oxygen - tends) * (upper / after) ** (1 + reach / pond.flow)
    switched = pond.rest + (end - pond.rest) * np.exp(-reach * (hours - ran) / after)
    night = pond.rest + (switched - pond.rest) * np.exp(-reach * (24 - hours) / after)
    return after, lower - lifted, end, switched, night


def _walk(pond, hours):
    """Run lists of hours, one a row, through every corner: arrays of (day, ladder, corner) or (ladder, corner)."""
    hours = np.atleast_2d(hours)
    shape, start = (len(hours), len(pond.flow)), pond.start.lower
    upper, lower, oxygen = (np.broadcast_to(v, shape).astype(float) for v in
                            (pond.start.upper, start, pond.start.oxygen))
    lowest, when, share = oxygen.copy(), np.ones(shape, int), np.zeros(shape)
    finish, track = np.full(shape, math.inf), []
    for day in range(1, firststart.LONGEST + 1):
        run = hours[:, min(day, hours.shape[1]) - 1][:, None]
        before, was = oxygen, lower
        upper, lower, end, switched, oxygen = _solve_day(pond, upper, lower, oxygen, run)
        when = np.where(end < lowest, day, when)
        lowest = np.minimum(lowest, end)
        share = np.maximum(share, (was - lower) / start)
        finish[np.isinf(finish) & (lower <= GONE * start)] = day
        track.append((before, switched, oxygen, lower / start))
        if np.isfinite(finish).all():
            break
    return lowest, when, share, finish, track


def _verdict(lowest, floor):
    return "safe" if lowest.min() >= floor - 1e-9 else "risky" if lowest[-1] >= floor else "too fast"


def _course(pond, hours, floor):
    lowest, when, share, finish, track = (v if isinstance(v, list) else v[0] for v in _walk(pond, hours))
    moment, rows, left, go, stop = [], [], [], [], floor + firststart.METER_ERROR
    for day, (before, switched, night, remains) in enumerate(track):
        run = hours[min(day, len(hours) - 1)]
        moment += [day, day + run / 24, day + 1]
        rows += [before[0], switched[0], night[0]]
        left.append(remains[0])
        go.append(max(stop, float(before[0].min())) if run else math.nan)
    rows, left = np.maximum(rows, 0.0), np.array(left)
    worst = int(when[lowest.argmin()])
    return Course(tuple(float(h) for h in hours[:len(track)]), np.array(moment),
                  Range(rows.min(axis=1), rows[:, -1], rows.max(axis=1)),
                  Range(left.min(axis=1), left[:, -1], left.max(axis=1)), tuple(go), stop,
                  Range(*(max(0.0, float(v)) for v in (lowest.min(), lowest[-1], lowest.max()))), worst,
                  Range(float(finish.min()), float(finish[-1]), float(finish.max())), float(share.max()),
                  _verdict(lowest, floor))


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", hours="hour", floor="mg/L", demand="mg/L", exchange="m/day",
            boundary="m")
def course(depth, area, profile, lifted_flow, hours, floor=4.0, demand=firststart.LEAST_DEMAND,
           exchange=firststart.EXCHANGE, boundary=None):
    """Oxygen of the upper water, day by day, under a list of run times.

    Parameters
    ----------
    hours : array of quantity
        Run time on day 1, 2 and so on, 0 to 24 h; the last one is repeated.

    The other parameters are those of :func:`pondcalc.the_year.firststart.start_plan`.

    Returns
    -------
    Course
        The verdict is ``"safe"`` over the whole range, ``"risky"`` at its bad end, or ``"too fast"``.
    """
    hours = np.atleast_1d(np.asarray(hours, float))
    if (hours < 0).any() or (hours > 24).any():
        raise ValueError(f"Run times lie between 0 and 24 hours a day; these are {hours.min():g} to {hours.max():g}.")
    return _course(firststart.start_pond(depth, area, profile, lifted_flow, demand, exchange, boundary), hours, floor)


def _all_ladders():
    pairs = [(first, growth) for growth in GROWTHS for first in FIRST_RUNS if growth == 1 or first < 24]
    return pairs, np.array([ladder_hours.si(*pair) for pair in pairs])


def _quickest(pairs, lowest, share, finish, floor, daily_share):
    """Index of the safe ladder whose usual finish comes first, then whose bad end does, or None."""
    fit = (lowest.min(axis=1) >= floor) & (share.max(axis=1) <= daily_share + 1e-9) & np.isfinite(finish[:, -1])
    if not fit.any():
        return None
    return min(np.flatnonzero(fit), key=lambda i: (finish[i, -1], finish[i].max(), pairs[i][1], pairs[i][0]))


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", floor="mg/L", demand="mg/L", exchange="m/day", boundary="m")
def safe_ladder(depth, area, profile, lifted_flow, floor=4.0, demand=firststart.LEAST_DEMAND,
                exchange=firststart.EXCHANGE, boundary=None, daily_share=firststart.DAILY_SHARE):
    """The ladder that clears the stagnant water soonest and keeps the oxygen above the floor throughout.

    Parameters are those of :func:`pondcalc.the_year.firststart.start_plan`.

    Returns
    -------
    SafeLadder
        First run (h) and growth. A mixed pond needs none: 24 h from day 1.
    """
    pond = firststart.start_pond(depth, area, profile, lifted_flow, demand, exchange, boundary)
    about = (pond.boundary, float(pond.start.lower[0]))
    plain = firststart.plain_answer(pond, profile, floor)
    if plain is not None:
        return SafeLadder(*plain, 24.0 if plain[0] else 0.0, 1.0, None, *about)
    pairs, hours = _all_ladders()
    lowest, _, share, finish, _ = _walk(pond, hours)
    best = _quickest(pairs, lowest, share, finish, floor, daily_share)
    if best is None:
        return SafeLadder(False, "No ladder of run times is safe over the whole range: the stagnant layer is too "
                                 "large for the oxygen above it. Feed the diffuser less air, or wait for spring or "
                                 "fall, when the pond is mixed.", 0.0, 1.0, None, *about)
    first, growth = pairs[best]
    return SafeLadder(True, "Follow the meter, not the clock.", first, growth, _course(pond, hours[best], floor),
                      *about)


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", floor="mg/L", demand="mg/L", exchange="m/day", boundary="m")
def custom_by_flow(depth, area, profile, lifted_flow, spread=(0.5, 1.0, 1.6), floor=4.0, demand=firststart.LEAST_DEMAND,
                   exchange=firststart.EXCHANGE, boundary=None, daily_share=firststart.DAILY_SHARE):
    """Judge the custom of 30 minutes doubled daily (common practice, no source) for many sizes of diffuser.

    Parameters
    ----------
    lifted_flow : array of quantity
        Usual water lifted through the boundary of the layers, one for each size.
    spread : three floats, optional
        Low, usual and high as shares of each.

    The other parameters are those of :func:`pondcalc.the_year.firststart.start_plan`.

    Returns
    -------
    list of tuple
        For each flow: the :class:`Course` of the custom, whose verdict may also be ``"too slow"`` when a
        safe ladder clears the pond two days or more sooner, and the safe ladder's usual finish (day) or None.
    """
    pairs, hours = _all_ladders()
    custom, rows = np.array(firststart.COMMON_HOURS), []
    for flow in np.atleast_1d(np.asarray(lifted_flow, float)):
        pond = firststart.start_pond(depth, area, profile, [flow * s for s in spread], demand, exchange, boundary)
        made = _course(pond, custom, floor)
        lowest, _, share, finish, _ = _walk(pond, hours)
        best = _quickest(pairs, lowest, share, finish, floor, daily_share)
        day = None if best is None else float(finish[best, -1])
        if made.verdict == "safe" and day is not None and made.finish.usual - day >= 2:
            made = made._replace(verdict="too slow")
        rows.append((made, day))
    return rows
