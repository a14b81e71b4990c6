"""What becomes of the top water's oxygen on the first days, and which run times keep it?

A diffuser lifts stagnant water into the warm layer. That water holds no oxygen, burns some at once and more over the
days after, and as it goes up, more mud comes under the mixed water and takes oxygen too. The surface makes up the
loss, at its own pace. One pond is stepped through days of runs and rests, at every mix of ends of what is not known.
Gas (hydrogen sulfide) and ammonia, which poison fish at any oxygen, are not counted.

A person wants a ladder that a timer and a busy owner can keep: one first run, and each next day so many minutes
longer, in steps of a quarter of an hour. The old custom, half an hour doubled each day, is a list of run times like
any other (common practice, no source). Any list is tried at every corner, and the quickest ladder that keeps the
oxygen at the bad end is picked, or all are refused.
"""

import itertools
import math
from typing import Annotated, NamedTuple

import numpy as np

from ..how_much_oxygen.oxygen import FLOOR, MUD_20C, THETA_MUD, THETA_PLANKTON
from ..units import FOOT, QuantityError, Range, length_text, quantities
from ..warm_over_cold import layers, overturn
from ..warm_over_cold.profile import Profile
from ..water import SEA_LEVEL

COMMON_HOURS = (0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 24.0)    # common practice, no source
EXCHANGE = Range(0.35, 0.5, 0.74)                   # m/d, small lakes in light wind; Cole and others 2010
LEAST_DEMAND = Range(0.0, 2.0, 4.0)                 # mg/L of the lower water, never less; our choice
SLOW_RATE = Range(0.05, 0.1, 0.3)                   # 1/day at 20 C, of the slow debt; from memory, not verified
METER_ERROR = 0.5                                   # mg/L, of every reading of oxygen; our choice
WARMER = 2.0                                        # C that the top water may still warm; our choice
# of the lower water a day at most, even where the oxygen would allow more: what it takes is a guess until measured;
# our choice
DAILY_SHARE = 0.25
MOST_DEPTH = 0.95                                   # of the diffuser's depth, where the boundary lies at most
LEAST_UPPER = 0.05                                  # m of upper water that are looked at in any case
RUN_STEPS = 4                                       # steps of the sums in a run
UNREAD = 2 * FOOT                                   # m above the diffuser, where the readings may end; our choice
ON_THE_BED = FOOT                                   # m above the bottom, as near to the mud as one reads; our choice
COLDER = 5.0                                        # C, of water that nobody read under water of one warmth; our choice

STOP_RULES = (
    "Stop if oxygen one foot down reads below the stop reading at any time.",
    "Stop if fish gulp at the surface, crowd the edge or the inflow, or lie about in daylight.",
    "Stop if the water smells of rotten eggs. The gas (hydrogen sulfide) poisons fish, and people in a shed or a pit. "
    "Neither it nor ammonia is in these sums, and an oxygen meter shows neither.",
    "Do not start on a dark, still or hot day, after a fish kill or an algae die-off, or before a storm.",
    "Start each run in the morning after the dawn reading, so that the sun can make up the loss.",
    "After a stop, wait a day and read at dawn. Then run half as long as the run you stopped. If 15 minutes are still "
    "too long, leave it off until spring or fall.",
)

NOT_NOW = {             # kinds of layers in which nobody should start
    "upside down": "In these readings the upper water is heavier than the water under it, which does not last. Read "
                   "the doubtful depths again.",
    "cold over warm": "These are winter layers. Under ice the air gives nothing back, so these sums do not hold. Wait "
                      "until the ice is out and the readings show the pond mixed."}


class Debts(NamedTuple):
    """Oxygen that each liter of the lower water takes (mg/L): what burns at once, and all of it in time."""

    fast: Annotated[Range, "mg/L"]
    whole: Annotated[Range, "mg/L"]


class Parting(NamedTuple):
    """Depth (m) where upper and lower water part: the highest it may lie, and the usual."""

    high: Annotated[float, "m"]
    usual: Annotated[float, "m"]


class Pond(NamedTuple):
    """One pond at every corner, one number each: bad ends first, then good ends, the usual case last. SI, but days."""

    upper: np.ndarray           # m3
    lower: np.ndarray
    oxygen: np.ndarray          # mg/L of the upper water, which it settles at by itself
    credit: np.ndarray          # mg/L that the lower water still holds
    flow: np.ndarray            # m3/day that comes from the lower water
    fast: np.ndarray            # mg/L
    slow: np.ndarray
    rate: np.ndarray            # 1/day
    mud: np.ndarray             # g/m2 a day
    reach: np.ndarray           # m3/day of upper water brought to its rest by the air
    bed: np.ndarray             # m2 of the pond at the boundary
    volumes: np.ndarray         # m3 above a depth, and the pond's area (m2) there
    areas: np.ndarray
    parting: Parting
    bottom: float               # m
    full: float                 # mg/L of the upper water at rest with the air

    def bathed(self, upper, lower):
        """Mud (m2) that has come under the upper water."""
        return self.bed - np.where(lower > 1e-9 * self.lower, np.interp(upper, self.volumes, self.areas), 0.0)


def _first_below(profile, level):
    """Depth (m) where oxygen first falls below a level on the way down, and of the reading above it; inf if never."""
    known = np.isfinite(profile.dissolved_oxygen)
    depth, oxygen = profile.depth[known], profile.dissolved_oxygen[known]
    low = np.flatnonzero(oxygen < level)
    if not len(low):
        return np.inf, np.inf
    n = low[0]
    if n == 0:
        return 0.0, 0.0
    share = (oxygen[n - 1] - level) / (oxygen[n - 1] - oxygen[n])
    return float(depth[n - 1] + share * (depth[n] - depth[n - 1])), float(depth[n - 1])


def last_read(profile):
    """Depth (m) and oxygen (mg/L) of the deepest reading of oxygen; where none was read, of temperature, and nan."""
    if profile.dissolved_oxygen is None:
        return float(profile.depth[-1]), np.nan
    n = np.flatnonzero(np.isfinite(profile.dissolved_oxygen))[-1]
    return float(profile.depth[n]), float(profile.dissolved_oxygen[n])


def unread_below(profile, submergence, bottom):
    """Why these readings end too early to start by; empty where they reach far enough.

    submergence, bottom (quantity): Depth of the diffuser and of the pond.
    """
    (last, oxygen), deep = last_read(profile), min(submergence, bottom)
    if oxygen < overturn.STAGNANT or deep - last <= UNREAD + 1e-6:
        return ""
    end = (f"The readings end at {length_text(last)}" if np.isnan(oxygen) else
           f"The readings of oxygen end at {length_text(last)}, still with {oxygen:.1f} mg/L")
    return (f"{end}, and the diffuser lies at {length_text(deep)}. The water between was not read and may hold no "
            f"oxygen, so no run time can be worked out. Read further down, to within {length_text(UNREAD, 1)} of the "
            "diffuser or deeper.")


def filled_below(profile, bottom, oxygen=0.0, colder=0.0):
    """The readings, and under the last one of oxygen what may be there, down to the bottom.

    profile (Profile): With oxygen.
    bottom (quantity): Depth of the pond.
    oxygen (quantity): Of the water under the last reading; default none, the worst.
    colder: How much colder (C) that water is than was read or, where nothing was read, than the last reading; never
        colder than water is at its heaviest.
    """
    last, _ = last_read(profile)
    if last >= bottom - 1e-3:
        return profile
    depth = np.unique([*profile.depth, last + 1e-4, bottom])
    unread = depth > last
    warm = profile.temperature_at(depth)
    read = np.full(len(depth), np.nan)
    read[np.searchsorted(depth, profile.depth)] = profile.dissolved_oxygen
    return Profile(depth, np.where(unread, np.minimum(warm, np.maximum(warm - colder, overturn.HEAVIEST)), warm),
                   np.where(unread, oxygen, read), profile.when)


@quantities(submergence="m", gives=Parting)
def parting(profile, submergence):
    """Where the water to be lifted begins.

    profile, submergence: Readings with oxygen, and the depth of the diffuser.
    Returns: Parting: The shallower of two depths: the steepest layer, and where oxygen first falls below 1 mg/L plus
        the meter's error. ``usual`` is the middle of that layer, or the point between the two readings; ``high`` is
        the reading above it, but no less than half as deep. So no stagnant water is left above the boundary, wherever
        it lies.
    """
    layer = layers.steepest_layer(profile)
    crossing, above = _first_below(profile, overturn.STAGNANT + METER_ERROR)
    usual = max(min(0.5 * (layer.top + layer.bottom), crossing, MOST_DEPTH * submergence), LEAST_UPPER)
    return Parting(max(min(layer.top, above, usual), 0.5 * usual), usual)


@quantities(lifted_flow="m^3/s", submergence="m", boundary="m", gives="m^3/s")
def flow_through(lifted_flow, submergence, boundary):
    """Part of the water lifted to the surface that comes from under the boundary of the layers.

    lifted_flow (quantity): Water that reaches the surface, one or a range.
    submergence (quantity): Depth of the diffuser.
    boundary (quantity): Depth of the boundary, above the diffuser.
    Returns: quantity: Flow through the boundary: lifted_flow ((submergence - boundary)/submergence)^(5/3), as a plume
        in still water gathers flow; layers make it less.
    References: B. R. Morton, G. I. Taylor and J. S. Turner, 1956, Proceedings of the Royal Society A 234:1-23.
    """
    if not 0 <= boundary < submergence:
        raise QuantityError(f"The boundary of the layers, {length_text(boundary)} down, must lie above the diffuser at "
                            f"{length_text(submergence)}.")
    return np.asarray(lifted_flow, float)[()] * ((submergence - boundary) / submergence) ** (5 / 3)


@quantities(depth="m", area="m^2", demand="mg/L", boundary="m", gives=Debts)
def debts(depth, area, profile, boundary, demand=None):
    """What each liter of the water under the boundary takes of the oxygen it is mixed into.

    depth, area, profile: The pond's shape and its readings, with oxygen; what lies under the last one counts as
        without.
    boundary (quantity): Depth that parts upper and lower water.
    demand (three quantities): What a liter below 1 mg/L burns at once, as
        :func:`pondcalc.warm_over_cold.overturn.demand_of_profile` gives it, or a bottle test. By default that
        function's, for 60 days without oxygen.
    Returns: Debts: ``fast``, spread over all the lower water, never less than 0, 2 and 4 mg/L (our choice: one bottle
        or one guess of days speaks for one place). ``whole``: the usual fast part over its usual share of a quarter,
        times what the mud's flux of 0.25, 0.37 and 0.49 g/m2 a day is of 0.37; never less than twice the fast part,
        which is half of it at most.
    """
    profile = filled_below(profile, depth[-1])
    below = _first_below(profile, overturn.STAGNANT)[0]
    if demand is None:
        demand = overturn.demand_of_profile(depth, area, profile, overturn.STAGNANT_DAYS, min(below, depth[-1]))
    s = layers.slices(depth, area, profile, tuple(z for z in sorted({below, boundary}) if 0 < z < depth[-1]))
    lower = s.centre > boundary
    share = float(s.volume[lower & (s.centre > below)].sum() / s.volume[lower].sum()) if lower.any() else 0.0
    fast = Range(*(max(least, share * owed) for least, owed in zip(LEAST_DEMAND, sorted(demand), strict=True)))
    flux, share = overturn.REDUCED_FLUX, overturn.FAST_SHARE
    return Debts(fast, Range(*(max(quick / share.high, fast.usual / share.usual * end / flux.usual)
                               for quick, end in zip(fast, flux, strict=True))))


def _split(depth, area, profile, boundary, demand):
    """Upper and lower water for one depth of the boundary: volumes, oxygen, temperatures, bed and debts."""
    s = layers.slices(depth, area, profile, (boundary,))
    top = s.centre < boundary
    if top.all() or not top.any():
        raise QuantityError(f"The boundary of the layers, {length_text(boundary)} down, is not inside the pond.")
    upper, lower = ([float(np.average(values[part], weights=s.volume[part])) for values in
                     (s.dissolved_oxygen, s.temperature)] + [float(s.volume[part].sum())] for part in (top, ~top))
    return (upper, lower, float(s.dissolved_oxygen[~top].min()), float(np.interp(boundary, depth, area)),
            debts(depth, area, profile, boundary, demand))


def _corners():
    """Picks of ends, one a corner: lift, boundary, fast part, its pace, warmth; then what is worse at one end only.

    More debt in all, more mud, less air and lower readings can only lower the oxygen, since each enters its rate of
    change with one sign as long as the upper water stands below its rest. So they need no mixing with each other.
    """
    free = list(itertools.product((0, 2), repeat=5))
    return [(*pick, worst) for worst in (0, 2) for pick in free] + [(1,) * 6]


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", submergence="m", demand="mg/L", mud="g/m^2/day")
def start_pond(depth, area, profile, lifted_flow, submergence, demand=None, mud=MUD_20C, water=SEA_LEVEL):
    """The pond before its first start, every mix of doubts as a corner; refused where readings are missing.

    depth, area (arrays of quantity): The pond's shape.
    profile (Profile): Readings at dawn, with oxygen, to within 2 ft (0.6 m) of the diffuser or down to stagnant
        water.
    lifted_flow (three quantities): Water that the diffuser lifts to the surface: low, usual, high.
    submergence (quantity): Depth of the diffuser.
    demand (three quantities): As for :func:`debts`.
    mud (three quantities): What mud takes at 20 C, default 0.22 to 2 g/m2 a day.
    water (Water): Its air pressure; the temperatures are those of `profile`.

    Ranges: lifted water; boundary (:func:`parting`); fast and whole debt (:func:`debts`); pace of the slow debt, 0.05
    to 0.3 a day at 20 C; mud; gas exchange of the surface, 0.35 to 0.74 m/d; warmth of the mixed water, from the mean
    of the whole pond to 2 C above the upper water; readings of oxygen, 0.5 mg/L too high to 0.5 too low. At the bad end
    the lower water is credited with its lowest reading less 0.5 mg/L, at least 0; else with its mean. What lies under
    the last reading counts as water without oxygen. The upper water is credited with no more than water at rest with
    the air holds: more than that, made by algae, leaves it.
    """
    if profile.dissolved_oxygen is None:
        raise QuantityError("A first start needs oxygen readings from top to bottom. Borrow or rent a meter, "
                            "or wait for spring or fall when the pond is mixed.")
    if min(lifted_flow) <= 0:
        raise QuantityError("The water lifted must be above zero. Workbook 3 estimates it as a range.")
    early = unread_below(profile, submergence, depth[-1])
    if early and layers.kind_of_layers(profile) not in NOT_NOW:
        raise QuantityError(early)
    profile = filled_below(profile, depth[-1])
    part = parting(profile, submergence)
    parts = [_split(depth, area, profile, at, demand) for at in part]
    full = [float(water.at(t).saturation) for (_, t, _), *_ in parts]
    flows = [flow_through(sorted(lifted_flow), submergence, at) * 86400 for at in part]
    rows = []
    for lift, where, fast, pace, warm, worst in _corners():
        at = min(where, 1)
        (c, t, upper), (c_low, t_low, lower), least, bed, owed = parts[at]
        bad, error = worst == 0, METER_ERROR * (worst - 1)
        c = min(c, full[at])
        warmth = ((t * upper + t_low * lower) / (upper + lower), t, t + WARMER)[warm]
        quick, whole = owed.fast[fast], owed.whole[2 - worst]
        rows.append((upper, lower, max(0.0, c + error), max(0.0, (least if bad else c_low) + error), flows[at][lift],
                     quick, max(0.0, whole - quick), SLOW_RATE[pace] * THETA_PLANKTON ** (warmth - 20),
                     mud[2 - worst] * THETA_MUD ** (warmth - 20), EXCHANGE[worst] * float(area[0]), bed))
    edges = np.linspace(0.0, depth[-1], layers.SLICES + 1)
    at = np.interp(edges, depth, area)
    volumes = np.concatenate([[0.0], np.cumsum(0.5 * (at[1:] + at[:-1]) * np.diff(edges))])
    return Pond(*np.array(rows).T, volumes, at, part, float(depth[-1]), full[-1])


def mixed_oxygen(pond):
    """Oxygen (mg/L) of the whole pond mixed, in the usual case and before anything takes any."""
    held = (pond.oxygen * pond.upper + pond.credit * pond.lower) / (pond.upper + pond.lower)
    return float(held[-1])


def plain_answer(pond, profile, floor=FLOOR):
    """(go, reason) where no schedule is needed or none can help; None where one must be worked out."""
    kind, oxygen = layers.kind_of_layers(profile), float(pond.oxygen[-1])
    least, most = np.nanmin(profile.dissolved_oxygen), np.nanmax(profile.dissolved_oxygen)
    whole = mixed_oxygen(pond)
    if kind == "mixed" and least >= overturn.STAGNANT + METER_ERROR and (
            whole - METER_ERROR > floor or most - least <= 2 * METER_ERROR):
        return True, "The pond is mixed: there is no stagnant layer to bring up. Run day and night."
    if kind in NOT_NOW:
        return False, NOT_NOW[kind]
    if oxygen - METER_ERROR <= floor:
        low = f"Less the {METER_ERROR:g} that a meter may be off, that is not above the {floor:.1f} to keep."
        if oxygen >= pond.full:
            return False, (f"At rest with the air, water this warm holds {oxygen:.1f} mg/L here. What algae add to "
                           f"that does not last. {low} Wait for cooler water.")
        return False, (f"The upper water holds {oxygen:.1f} mg/L as its mean. {low} Find out why it is low, and wait.")
    return None


def _lift(pond, upper, lower, oxygen, slow, ran, owed):
    """A run of `ran` days: V C' = q (c - fast) + k A (rest - C) - slow part - mud, V growing at q.

    In each step the burning of the slow part and the mud are taken as even; the rest is solved exactly:
    C = E + (C0 - E) (V0/V)^((q + k A)/q), E the oxygen it tends to.
    """
    step, lowest = ran / RUN_STEPS, oxygen
    fade = np.exp(-pond.rate * step)
    for _ in range(RUN_STEPS):
        lifted = pond.flow * step
        gain = pond.flow * pond.slow * owed
        later = gain / pond.rate + (slow - gain / pond.rate) * fade
        burning = gain - (later - slow) / np.maximum(step, 1e-12)
        taken = burning + pond.mud * pond.bathed(upper + 0.5 * lifted, lower - 0.5 * lifted)
        tends = (pond.flow * (pond.credit - pond.fast * owed) + pond.reach * pond.oxygen - taken) / (
            pond.flow + pond.reach)
        after = upper + lifted
        oxygen = tends + (oxygen - tends) * (upper / after) ** (1 + pond.reach / pond.flow)
        upper, lower, slow, lowest = after, lower - lifted, later, np.minimum(lowest, oxygen)
    return upper, np.maximum(lower, 0.0), oxygen, slow, lowest


def _rest(pond, upper, lower, oxygen, slow, rests):
    """A rest of `rests` days, exactly: V C' = k A (rest - C) - r S - mud S fading at the rate r; and its lowest."""
    back = pond.reach / upper
    back = np.where(abs(back - pond.rate) < 1e-6, back + 2e-6, back)
    tends = pond.oxygen - pond.mud * pond.bathed(upper, lower) / pond.reach
    burn = pond.rate * slow / upper / (back - pond.rate)

    def at(time):
        quick, fade = np.exp(-back * time), np.exp(-pond.rate * time)
        return tends + (oxygen - tends) * quick - burn * (fade - quick), fade
    end, fade = at(rests)
    with np.errstate(divide="ignore", invalid="ignore"):
        turn = np.log(back * (oxygen - tends + burn) / (burn * pond.rate)) / (back - pond.rate)
    turn = np.where(np.isfinite(turn), np.clip(turn, 0.0, rests), 0.0)
    return end, slow * fade, np.minimum(np.minimum(oxygen, end), at(turn)[0])


def one_day(pond, state, hours, day):
    """One day: a run of some hours, then rest; one row a list of run times, one column a corner.

    `state` is (upper, lower, oxygen, slow debt in g); gives it a day later, the oxygen at the end of the run, and the
    lowest. The debt of the lower water has grown by one sixtieth a day, as it lies there longer than the 60 days.
    """
    upper, lower, oxygen, slow = state
    ran = np.minimum(hours / 24, lower / pond.flow)
    upper, lower, end, slow, low = _lift(pond, upper, lower, oxygen, slow, ran, 1 + day / overturn.STAGNANT_DAYS)
    oxygen, slow, least = _rest(pond, upper, lower, end, slow, 1 - ran)
    return (upper, lower, oxygen, slow), end, np.minimum(low, least)


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

    Returns: spans : list of (float, float): Depths (m) of two readings, of oxygen where there is any, more than
        :data:`WIDE` apart, or of the last one and the diffuser. hides_layers : bool: Whether one of them holds the
        place where the layers part, so that no schedule can be trusted.
    """
    oxygen = profile.dissolved_oxygen
    read = profile.depth if oxygen is None else profile.depth[np.isfinite(oxygen)]
    ends = [0.0, *read]
    if submergence > ends[-1]:
        ends.append(submergence)
    spans = [(a, b) for a, b in zip(ends[:-1], ends[1:], strict=True) if b - a > WIDE + 1e-9]
    if oxygen is None:
        layer = layers.steepest_layer(profile)
        middle = 0.5 * (layer.top + layer.bottom)
    else:
        middle = parting(profile, submergence).usual
    inside = any(a < middle < b for a, b in spans) and layers.kind_of_layers(profile) != "mixed"
    return spans, inside or bool(spans) and spans[-1][1] > read[-1] and submergence > 2 * read[-1]


@quantities(first_run="hour", rise="hour", gives="hour")
def ladder_hours(first_run, rise=0.0):
    """Run times of a ladder on :data:`LONGEST` days, to the quarter of an hour, at most a day.

    first_run (quantity): Run on day 1, above 0 to 24 h.
    rise (quantity): How much longer each next run is, 0 to 4 h.
    """
    if not 0 < first_run <= 24 or not 0 <= rise <= 4:
        raise ValueError(f"A ladder starts with 0 to 24 hours and grows by 0 to 4 hours a day; it was given "
                         f"{first_run:g} and {rise:g} hours.")
    first, more = (max(least, round(hours / STEP) * STEP) for hours, least in ((first_run, STEP), (rise, 0.0)))
    return np.minimum(24.0, first + more * np.arange(LONGEST))


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
        state, end, low = one_day(pond, before, run, day)
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
        go = days[:last, 0].min(axis=1) + METER_ERROR
        left = np.clip([remains[n] for *_, remains in track[:last]], 0.0, 1.0)
        worst = Range(*map(float, np.maximum(_range(lowest[n]), 0.0)))
        made.append(Course(
            tuple(map(float, run[:last])), moment, _range(np.maximum(days.reshape(len(moment), -1), 0.0)), _range(left),
            tuple(np.where(run[:last] > 0, np.maximum(go, floor + METER_ERROR), math.nan)),
            floor + METER_ERROR, worst, int(when[n][lowest[n].argmin()]),
            Range(*map(float, _range(finish[n]))), float(share[n].max()), _verdict(lowest[n], floor)))
    return made


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", submergence="m", hours="hour", floor="mg/L", demand="mg/L",
            mud="g/m^2/day")
def course(depth, area, profile, lifted_flow, submergence, hours, floor=FLOOR, demand=None, mud=MUD_20C,
           water=SEA_LEVEL):
    """Oxygen of the upper water, day by day, under a list of run times.

    hours (array of quantity): Run time on day 1, 2 and so on, 0 to 24 h; the last one is repeated.
    floor (quantity): Oxygen to keep.
    The other parameters are those of :func:`start_pond`.
    Returns: Course: The verdict is one of :data:`KEPT`, :data:`NOT_AT_BAD_END` and :data:`NOT_KEPT`. It speaks of
        oxygen alone.
    """
    hours = np.atleast_1d(np.asarray(hours, float))
    if (hours < 0).any() or (hours > 24).any():
        raise ValueError(f"Run times lie between 0 and 24 hours a day; these are {hours.min():g} to {hours.max():g}.")
    pond = start_pond(depth, area, profile, lifted_flow, submergence, demand, mud, water)
    return _course(pond, hours, floor)[0]


def _all_ladders():
    pairs = [(first, rise) for rise in RISES for first in FIRST_RUNS if rise == 0 or first < 24]
    return pairs, np.array([ladder_hours(*pair) for pair in pairs])


def _share_under(pond, level):
    """Share of the water that lies deeper than a level (m)."""
    volumes = np.interp(level, np.linspace(0.0, pond.bottom, len(pond.volumes)), pond.volumes)
    return 1 - volumes / pond.volumes[-1]


def _harm_unread(here, known, floor):
    """Why a pond that reads as mixed may not be so where nobody read; empty where even that would keep the oxygen."""
    depth, area, profile, *air = here
    last, _ = last_read(profile)
    unread = depth[-1] - last
    if unread <= 1e-3 or unread <= ON_THE_BED and np.nanmin(profile.dissolved_oxygen) <= floor:
        return ""
    hidden = filled_below(profile, depth[-1], 0.0, COLDER)
    pond = start_pond(depth, area, hidden, *air, *known)
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
    whole = mixed_oxygen(pond)
    cause = (f"There is too little in all: the whole pond mixed would hold {whole:.1f} mg/L, before the water below "
             "and the mud under it take theirs." if whole - METER_ERROR <= floor else
             "The water below and the mud under it may take more than the air gives back.")
    return (f"No ladder keeps {floor:.1f} mg/L at the bad end of every range: even 15 minutes a day could leave "
            f"{low:.1f}. {cause} {wait}")


def _refusal(pond, floor, mixed):
    """Why no ladder is offered, and what to do instead."""
    pairs, hours = _all_ladders()
    wait = ("Wait until the readings show more oxygen." if mixed else
            "Wait for spring or fall, when the readings show the pond mixed.")
    kept, *_, finish, _ = _walk(pond, hours, floor)
    if not len(kept):
        return _too_little(pond, floor, wait)
    slow, *_ = _walk(pond, hours, floor, DAILY_SHARE)
    if not len(slow):
        gentle = _course(pond, [STEP], floor)[0].lifted_share
        return (f"Every ladder that keeps the oxygen may lift more than {100 * DAILY_SHARE:.0f} % of the lower water "
                f"in one day, the most here; even 15 minutes may lift {100 * gentle:.0f} %. What that water takes is a "
                f"guess until measured. Start with less air, or with one diffuser of several. {wait}")
    if any(pairs[row][0] == 24 for row in slow):
        return f"Even day and night this diffuser may take more than {LONGEST} days to bring the lower water up. {wait}"
    if (finish[:, -1] <= LONGEST).any():
        return (f"Ladders slow enough for the high end of the water lifted would take more than {LONGEST} days at its "
                f"low end. Estimate it better in workbook 03. {wait}")
    return f"Ladders slow enough for the oxygen above would take more than {LONGEST} days. {wait}"


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", submergence="m", floor="mg/L", demand="mg/L", mud="g/m^2/day")
def quickest_ladder(depth, area, profile, lifted_flow, submergence, floor=FLOOR, demand=None, mud=MUD_20C,
                    water=SEA_LEVEL):
    """The ladder that lifts the lower water soonest and keeps the oxygen at the bad end of every range.

    The parameters are those of :func:`course`.
    Returns: Ladder: First run and rise (h). A mixed pond needs none: 24 h from day 1. No ladder lifts more than
        :data:`DAILY_SHARE` of the lower water in one day.
    """
    here, known = (depth, area, profile, lifted_flow, submergence), (demand, mud, water)
    pond = start_pond(*here, *known)
    about = (pond.parting.usual, float(pond.lower[-1]))
    plain = plain_answer(pond, profile, floor)
    harm = _harm_unread(here, known, floor) if plain is not None and plain[0] else ""
    if harm:
        return Ladder(False, harm, 0.0, 0.0, None, *about)
    if plain is not None:
        return Ladder(*plain, 24.0 if plain[0] else 0.0, 0.0, None, *about)
    pairs, hours = _all_ladders()
    rows, *_, finish, _ = _walk(pond, hours, floor, DAILY_SHARE)
    done = [(finish[n, -1], finish[n].max(), *pairs[row][::-1], row) for n, row in enumerate(rows)
            if finish[n].max() <= LONGEST]
    if not done:
        last, oxygen = last_read(profile)
        level = filled_below(profile, depth[-1], oxygen)
        if oxygen >= overturn.STAGNANT and level is not profile and quickest_ladder(
                depth, area, level, *here[3:], floor, *known).go:
            reason = (f"The readings end at {length_text(last)}, still with {oxygen:.1f} mg/L. The water under that, "
                      f"{100 * _share_under(pond, last):.0f} % of the pond, was not read and counts as without oxygen, "
                      "so no ladder keeps the oxygen. Read further down, close to the bottom.")
        else:
            reason = _refusal(pond, floor, layers.kind_of_layers(profile) == "mixed")
        return Ladder(False, reason, 0.0, 0.0, None, *about)
    *_, rise, first, best = min(done)
    return Ladder(True, "Follow the meter, not the clock.", first, rise, _course(pond, hours[best], floor)[0], *about)


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", submergence="m", floor="mg/L", demand="mg/L")
def custom_by_flow(depth, area, profile, lifted_flow, submergence, spread=(0.5, 1.0, 1.6), floor=FLOOR, demand=None,
                   water=SEA_LEVEL):
    """Judge the custom of 30 minutes doubled daily (common practice, no source) for many sizes of diffuser.

    lifted_flow (array of quantity): Usual water lifted to the surface, one for each size.
    spread (three floats): Low, usual and high as shares of each.
    The other parameters are those of :func:`course`.
    Returns: list of Course: One for each flow.
    """
    pond = start_pond(depth, area, profile, spread, submergence, demand, water=water)
    sizes = np.atleast_1d(np.asarray(lifted_flow, float))[:, None]
    return _course(pond._replace(flow=pond.flow * sizes), [COMMON_HOURS] * len(sizes), floor)
