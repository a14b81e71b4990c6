"""Which run times can a timer and a busy owner keep on the first days?

A person wants a ladder: one first run, and each next day so many minutes longer, in steps of the quarter hour that a
timer keeps. The old custom, half an hour doubled each day, is a list of run times like any other (common practice, no
source). Here any list is tried at every corner of what is not known (:mod:`pondcalc.the_year.firststart`), and the
quickest ladder that keeps the oxygen at the bad end is picked, or all are refused.
"""

import math
from typing import NamedTuple

import numpy as np

from .. import water
from ..how_much_oxygen.oxygen import FLOOR
from ..units import Range, length_text, quantities
from . import firststart

__all__ = ["Course", "Ladder", "KEPT", "NOT_AT_BAD_END", "NOT_KEPT", "unread", "ladder_hours", "course",
           "quickest_ladder", "custom_by_flow"]

STEP = 0.25                     # h, what a timer keeps
LONGEST = 60                    # days in which the lower water must be up, or the ladder is too slow to follow
AFTER = 14                      # days looked at beyond, while slow debt still burns
FIRST_RUNS = (0.25, 0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 24)     # h
RISES = (0.0, 0.25, 0.5, 1.0, 2.0)          # h longer on each next day
WIDE = 1.0                      # m (3.3 ft) between two readings that leave too much to guess; our choice
GONE = 0.01                     # of the lower water left, which counts as done
SUMS_ERROR = 0.02               # mg/L that these sums may stand above an exact solution
KEPT, NOT_AT_BAD_END, NOT_KEPT = "kept at the bad end", "not at the bad end", "not in the usual case"


class Course(NamedTuple):
    """What a list of run times would do (SI; oxygen in mg/L).

    ``moment`` is days from the start, with oxygen of the upper water at its low, usual and high
    end at the start of each run, its end, and midnight, and goes on after the last run; ``go_reading`` is the
    least the meter should say at dawn before each run, ``stop_reading`` what ends a run, ``lifted_share`` the most
    of the lower water lifted in one day.
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


class Ladder(NamedTuple):
    """The quickest ladder that keeps the oxygen, or why there is none; ``course`` is None without one."""

    go: bool
    reason: str
    first_run: float
    rise: float
    course: Course | None
    boundary: float
    lower_volume: float


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
        Depths (m) of two readings, of oxygen where there is any, more than :data:`WIDE` apart, or of the last one and
        the diffuser.
    hides_layers : bool
        Whether one of them holds the place where the layers part, so that no schedule can be trusted.
    """
    oxygen = profile.dissolved_oxygen
    read = profile.depth if oxygen is None else profile.depth[np.isfinite(oxygen)]
    ends = [0.0, *read]
    if submergence > ends[-1]:
        ends.append(submergence)
    spans = [(a, b) for a, b in zip(ends[:-1], ends[1:], strict=True) if b - a > WIDE + 1e-9]
    if oxygen is None:
        layer = firststart.layers.steepest_layer.si(profile)
        middle = 0.5 * (layer.top + layer.bottom)
    else:
        middle = firststart.parting.si(profile, submergence).usual
    inside = any(a < middle < b for a, b in spans) and firststart.layers.kind_of_layers.si(profile) != "mixed"
    return spans, inside or bool(spans) and spans[-1][1] > read[-1] and submergence > 2 * read[-1]


@quantities(first_run="hour", rise="hour", gives="hour")
def ladder_hours(first_run, rise=0.0, days=LONGEST):
    """Run times of a ladder, to the quarter of an hour, at most a day.

    Parameters
    ----------
    first_run : quantity
        Run on day 1, above 0 to 24 h.
    rise : quantity, optional
        How much longer each next run is, 0 to 4 h.
    days : int, optional

    Returns
    -------
    array of quantity
    """
    if not 0 < first_run <= 24 or not 0 <= rise <= 4:
        raise ValueError(f"A ladder starts with 0 to 24 hours and grows by 0 to 4 hours a day; it was given "
                         f"{first_run:g} and {rise:g} hours.")
    first, more = (max(least, round(hours / STEP) * STEP) for hours, least in ((first_run, STEP), (rise, 0.0)))
    return np.minimum(24.0, first + more * np.arange(days))


def _walk(pond, hours, floor=None, most=math.inf):
    """Run lists of hours, one a row, through every corner: rows, and arrays (row, corner), and each day's state.

    With a floor (mg/L) and a most (share of the lower water a day), rows that break them are dropped on the way.
    """
    hours = np.atleast_2d(hours)
    rows, shape = np.arange(len(hours)), (len(hours), len(pond.upper))
    state = tuple(np.broadcast_to(v, shape).astype(float) for v in (pond.upper, pond.lower, pond.oxygen, 0.0))
    lowest, when = state[2].copy(), np.ones(shape, int)
    share, finish, track = np.zeros(shape), np.full(shape, math.inf), []
    for day in range(1, LONGEST + AFTER + 1):
        before, run = state, hours[rows, min(day, hours.shape[1]) - 1][:, None]
        state, end, low = firststart.one_day(pond, before, run, day)
        when = np.where(low < lowest, day, when)
        lowest = np.minimum(lowest, low)
        share = np.maximum(share, (before[1] - state[1]) / pond.lower)
        finish = np.where(np.isinf(finish) & (state[1] <= GONE * pond.lower), day, finish)
        track.append((before[2], end, state[2], state[1] / pond.lower))
        if floor is not None:
            fit = (lowest.min(axis=1) >= floor + SUMS_ERROR) & (share.max(axis=1) <= most + 1e-9)
            rows, lowest, when, share, finish, track = (rows[fit], lowest[fit], when[fit], share[fit], finish[fit], [])
            state = tuple(v[fit] for v in state)
        if not len(rows) or finish.max() + AFTER <= day:
            break
    return rows, lowest, when, share, finish, track


def _verdict(lowest, floor):
    aim = floor + SUMS_ERROR
    return KEPT if lowest.min() >= aim else NOT_AT_BAD_END if lowest[-1] >= aim else NOT_KEPT


def _range(values):
    return Range(values.min(axis=-1), values[..., -1], values.max(axis=-1))


def _course(pond, hours, floor):
    """The course of each list of hours, one a row."""
    hours = np.atleast_2d(hours)
    _, lowest, when, share, finish, track = _walk(pond, hours)
    made = []
    for n, run in enumerate(hours):
        last = int(min(finish[n].max(), LONGEST))
        days = np.array([(before[n], end[n], night[n]) for before, end, night, _ in track])
        run = np.array([run[min(day, len(run) - 1)] for day in range(len(track))])
        start = np.arange(len(track))
        moment = np.stack([start, start + run / 24, start + 1.0], axis=1).ravel()
        go = days[:last, 0].min(axis=1) + firststart.METER_ERROR
        left = np.clip([remains[n] for *_, remains in track[:last]], 0.0, 1.0)
        worst = Range(*map(float, np.maximum(_range(lowest[n]), 0.0)))
        made.append(Course(
            tuple(map(float, run[:last])), moment, _range(np.maximum(days.reshape(len(moment), -1), 0.0)), _range(left),
            tuple(np.where(run[:last] > 0, np.maximum(go, floor + firststart.METER_ERROR), math.nan)),
            floor + firststart.METER_ERROR, worst, int(when[n][lowest[n].argmin()]),
            Range(*map(float, _range(finish[n]))), float(share[n].max()), _verdict(lowest[n], floor)))
    return made


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", submergence="m", hours="hour", floor="mg/L", demand="mg/L",
            exchange="m/day", mud="g/m^2/day")
def course(depth, area, profile, lifted_flow, submergence, hours, floor=FLOOR, demand=None,
           exchange=firststart.EXCHANGE, mud=firststart.MUD_20C, pressure_absolute=water.ATMOSPHERE):
    """Oxygen of the upper water, day by day, under a list of run times.

    Parameters
    ----------
    hours : array of quantity
        Run time on day 1, 2 and so on, 0 to 24 h; the last one is repeated.
    floor : quantity, optional
        Oxygen to keep.

    The other parameters are those of :func:`pondcalc.the_year.firststart.start_pond`.

    Returns
    -------
    Course
        The verdict is one of :data:`KEPT`, :data:`NOT_AT_BAD_END` and :data:`NOT_KEPT`. It speaks of oxygen alone.
    """
    hours = np.atleast_1d(np.asarray(hours, float))
    if (hours < 0).any() or (hours > 24).any():
        raise ValueError(f"Run times lie between 0 and 24 hours a day; these are {hours.min():g} to {hours.max():g}.")
    pond = firststart.start_pond.si(depth, area, profile, lifted_flow, submergence, demand, exchange, mud,
                                    pressure_absolute)
    return _course(pond, hours, floor)[0]


def _all_ladders():
    pairs = [(first, rise) for rise in RISES for first in FIRST_RUNS if rise == 0 or first < 24]
    return pairs, np.array([ladder_hours.si(*pair) for pair in pairs])


def _share_under(pond, level):
    """Share of the water that lies deeper than a level (m)."""
    volumes = np.interp(level, np.linspace(0.0, pond.bottom, len(pond.volumes)), pond.volumes)
    return 1 - volumes / pond.volumes[-1]


def _harm_unread(here, known, floor):
    """Why a pond that reads as mixed may not be so where nobody read; empty where even that would keep the oxygen."""
    depth, area, profile, *air = here
    last, _ = firststart.last_read(profile)
    unread = depth[-1] - last
    if unread <= 1e-3 or unread <= firststart.ON_THE_BED and np.nanmin(profile.dissolved_oxygen) <= floor:
        return ""
    hidden = firststart.filled_below.si(profile, depth[-1], 0.0, firststart.COLDER)
    pond = firststart.start_pond.si(depth, area, hidden, *air, *known)
    made = _course(pond, [24.0], floor)[0]
    low = math.floor(10 * made.lowest_oxygen.low) / 10
    if made.verdict == KEPT and made.finish.high <= LONGEST:
        return ""
    what = (f"might not bring it up in {LONGEST} days" if made.verdict == KEPT else f"could leave {low:.1f} mg/L")
    return (f"The readings show the pond mixed down to {length_text(last)}, but {100 * _share_under(pond, last):.0f} % "
            f"of the water lies under that and was not read. If it holds no oxygen, running day and night {what}. Read "
            "further down, close to the bottom.")


def _too_little(pond, floor, wait):
    """What makes even the gentlest ladder leave too little."""
    low = math.floor(10 * max(0.0, _course(pond, [STEP], floor)[0].lowest_oxygen.low - SUMS_ERROR)) / 10
    whole = firststart.mixed_oxygen(pond)
    cause = (f"There is too little in all: the whole pond mixed would hold {whole:.1f} mg/L, before the water below "
             "and the mud under it take theirs." if whole - firststart.METER_ERROR <= floor else
             "The water below and the mud under it may take more than the air gives back.")
    return (f"No ladder keeps {floor:.1f} mg/L at the bad end of every range: even 15 minutes a day could leave "
            f"{low:.1f}. {cause} {wait}")


def _refusal(pond, floor, daily_share, mixed):
    """Why no ladder is offered, and what to do instead."""
    pairs, hours = _all_ladders()
    wait = ("Wait until the readings show more oxygen." if mixed else
            "Wait for spring or fall, when the readings show the pond mixed.")
    kept, *_, finish, _ = _walk(pond, hours, floor)
    if not len(kept):
        return _too_little(pond, floor, wait)
    slow, *_ = _walk(pond, hours, floor, daily_share)
    if not len(slow):
        gentle = _course(pond, [STEP], floor)[0].lifted_share
        return (f"Every ladder that keeps the oxygen may lift more than {100 * daily_share:.0f} % of the lower water "
                f"in one day, the most here; even 15 minutes may lift {100 * gentle:.0f} %. What that water takes is a "
                f"guess until measured. Start with less air, or with one diffuser of several. {wait}")
    if any(pairs[row][0] == 24 for row in slow):
        return f"Even day and night this diffuser may take more than {LONGEST} days to bring the lower water up. {wait}"
    if (finish[:, -1] <= LONGEST).any():
        return (f"Ladders slow enough for the high end of the water lifted would take more than {LONGEST} days at its "
                f"low end. Estimate it better in workbook 03. {wait}")
    return f"Ladders slow enough for the oxygen above would take more than {LONGEST} days. {wait}"


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", submergence="m", floor="mg/L", demand="mg/L",
            exchange="m/day", mud="g/m^2/day")
def quickest_ladder(depth, area, profile, lifted_flow, submergence, floor=FLOOR, demand=None,
                    exchange=firststart.EXCHANGE, mud=firststart.MUD_20C, daily_share=firststart.DAILY_SHARE,
                    pressure_absolute=water.ATMOSPHERE):
    """The ladder that lifts the lower water soonest and keeps the oxygen at the bad end of every range.

    Parameters
    ----------
    daily_share : float, optional
        Most of the lower water to lift in one day, even where the oxygen would allow more, because what that water
        takes is a guess until measured. Default a quarter, our choice.

    The other parameters are those of :func:`course`.

    Returns
    -------
    Ladder
        First run and rise (h). A mixed pond needs none: 24 h from day 1.
    """
    here, known = (depth, area, profile, lifted_flow, submergence), (demand, exchange, mud, pressure_absolute)
    pond = firststart.start_pond.si(*here, *known)
    about = (pond.parting.usual, float(pond.lower[-1]))
    plain = firststart.plain_answer(pond, profile, floor)
    harm = _harm_unread(here, known, floor) if plain is not None and plain[0] else ""
    if harm:
        return Ladder(False, harm, 0.0, 0.0, None, *about)
    if plain is not None:
        return Ladder(*plain, 24.0 if plain[0] else 0.0, 0.0, None, *about)
    pairs, hours = _all_ladders()
    rows, *_, finish, _ = _walk(pond, hours, floor, daily_share)
    done = [(finish[n, -1], finish[n].max(), *pairs[row][::-1], row) for n, row in enumerate(rows)
            if finish[n].max() <= LONGEST]
    if not done:
        last, oxygen = firststart.last_read(profile)
        level = firststart.filled_below.si(profile, depth[-1], oxygen)
        if oxygen >= firststart.overturn.STAGNANT and level is not profile and quickest_ladder.si(
                depth, area, level, *here[3:], floor, demand, exchange, mud, daily_share, pressure_absolute).go:
            reason = (f"The readings end at {length_text(last)}, still with {oxygen:.1f} mg/L. The water under that, "
                      f"{100 * _share_under(pond, last):.0f} % of the pond, was not read and counts as without oxygen, "
                      "so no ladder keeps the oxygen. Read further down, close to the bottom.")
        else:
            reason = _refusal(pond, floor, daily_share, firststart.layers.kind_of_layers.si(profile) == "mixed")
        return Ladder(False, reason, 0.0, 0.0, None, *about)
    *_, rise, first, best = min(done)
    return Ladder(True, "Follow the meter, not the clock.", first, rise, _course(pond, hours[best], floor)[0], *about)


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", submergence="m", floor="mg/L", demand="mg/L")
def custom_by_flow(depth, area, profile, lifted_flow, submergence, spread=(0.5, 1.0, 1.6), floor=FLOOR, demand=None,
                   pressure_absolute=water.ATMOSPHERE):
    """Judge the custom of 30 minutes doubled daily (common practice, no source) for many sizes of diffuser.

    Parameters
    ----------
    lifted_flow : array of quantity
        Usual water lifted to the surface, one for each size.
    spread : three floats, optional
        Low, usual and high as shares of each.

    The other parameters are those of :func:`course`.

    Returns
    -------
    list of Course
        One for each flow.
    """
    pond = firststart.start_pond.si(depth, area, profile, spread, submergence, demand,
                                    pressure_absolute=pressure_absolute)
    sizes = np.atleast_1d(np.asarray(lifted_flow, float))[:, None]
    return _course(pond._replace(flow=pond.flow * sizes), [firststart.COMMON_HOURS] * len(sizes), floor)
