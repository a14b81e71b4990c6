"""What becomes of the top water's oxygen while a bottom diffuser lifts stagnant water into it?

A diffuser lifts stagnant water into the warm layer. That water holds no oxygen, burns some at once and
more over the days after, and as it goes up, more mud comes under the mixed water and takes oxygen too.
The surface makes up the loss, at its own pace. This module steps one pond through days of runs and rests,
at every mix of ends of what is not known; :mod:`pondcalc.the_year.startladder` tries lists of run times on it.
Gas (hydrogen sulfide) and ammonia, which poison fish at any oxygen, are not counted.
"""

import itertools
from typing import NamedTuple

import numpy as np

from .. import water
from ..how_much_oxygen.oxygen import FLOOR, MUD_20C, THETA_MUD, THETA_PLANKTON
from ..units import FOOT, QuantityError, Range, length_text, quantities
from ..warm_over_cold import layers, overturn
from ..warm_over_cold.profile import Profile

__all__ = ["Debts", "Parting", "STOP_RULES", "COMMON_HOURS", "LEAST_DEMAND", "last_read", "unread_below",
           "filled_below", "parting", "flow_through", "debts", "start_pond", "mixed_oxygen", "plain_answer",
           "one_day"]

COMMON_HOURS = (0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 24.0)    # common practice, no source
EXCHANGE = Range(0.35, 0.5, 0.74)                   # m/d, small lakes in light wind; Cole and others 2010
LEAST_DEMAND = Range(0.0, 2.0, 4.0)                 # mg/L of the lower water, never less; our choice
SLOW_RATE = Range(0.05, 0.1, 0.3)                   # 1/day at 20 C, of the slow debt; from memory, not verified
METER_ERROR = 0.5                                   # mg/L, of every reading of oxygen; our choice
WARMER = 2.0                                        # C that the top water may still warm; our choice
DAILY_SHARE = 0.25                                  # of the lower water a day at most; our choice
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

    fast: Range
    whole: Range


class Parting(NamedTuple):
    """Depth (m) where upper and lower water part: the highest it may lie, and the usual."""

    high: float
    usual: float


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


@quantities(submergence="m", bottom="m")
def unread_below(profile, submergence, bottom):
    """Why these readings end too early to start by; empty where they reach far enough.

    Parameters
    ----------
    profile : Profile
    submergence, bottom : quantity
        Depth of the diffuser and of the pond.
    """
    (last, oxygen), deep = last_read(profile), min(submergence, bottom)
    if oxygen < overturn.STAGNANT or deep - last <= UNREAD + 1e-6:
        return ""
    end = (f"The readings end at {length_text(last)}" if np.isnan(oxygen) else
           f"The readings of oxygen end at {length_text(last)}, still with {oxygen:.1f} mg/L")
    return (f"{end}, and the diffuser lies at {length_text(deep)}. The water between was not read and may hold no "
            f"oxygen, so no run time can be worked out. Read further down, to within {length_text(UNREAD, 1)} of the "
            "diffuser or deeper.")


@quantities(bottom="m", oxygen="mg/L")
def filled_below(profile, bottom, oxygen=0.0, colder=0.0):
    """The readings, and under the last one of oxygen what may be there, down to the bottom.

    Parameters
    ----------
    profile : Profile
        With oxygen.
    bottom : quantity
        Depth of the pond.
    oxygen : quantity, optional
        Of the water under the last reading; default none, the worst.
    colder : float, optional
        How much colder (C) that water is than was read or, where nothing was read, than the last reading; never
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
    return Profile.si(depth, np.where(unread, np.minimum(warm, np.maximum(warm - colder, overturn.HEAVIEST)), warm),
                      np.where(unread, oxygen, read), profile.when)


@quantities(submergence="m", gives=("m", "m"))
def parting(profile, submergence):
    """Where the water to be lifted begins.

    Parameters
    ----------
    profile : Profile
        With oxygen.
    submergence : quantity
        Depth of the diffuser.

    Returns
    -------
    Parting
        The shallower of two depths: the steepest layer, and where oxygen first falls below 1 mg/L plus the meter's
        error. ``usual`` is the middle of that layer, or the point between the two readings; ``high`` is the reading
        above it, but no less than half as deep. So no stagnant water is left above the boundary, wherever it lies.
    """
    layer = layers.steepest_layer.si(profile)
    crossing, above = _first_below(profile, overturn.STAGNANT + METER_ERROR)
    usual = max(min(0.5 * (layer.top + layer.bottom), crossing, MOST_DEPTH * submergence), LEAST_UPPER)
    return Parting(max(min(layer.top, above, usual), 0.5 * usual), usual)


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
        in still water gathers flow; layers make it less.

    References
    ----------
    B. R. Morton, G. I. Taylor and J. S. Turner, 1956, Proceedings of the Royal Society A 234:1-23.
    """
    if not 0 <= boundary < submergence:
        raise QuantityError(f"The boundary of the layers, {length_text(boundary)} down, must lie above the diffuser at "
                            f"{length_text(submergence)}.")
    return np.asarray(lifted_flow, float)[()] * ((submergence - boundary) / submergence) ** (5 / 3)


@quantities(depth="m", area="m^2", demand="mg/L", boundary="m", gives=("mg/L", "mg/L"))
def debts(depth, area, profile, boundary, demand=None):
    """What each liter of the water under the boundary takes of the oxygen it is mixed into.

    Parameters
    ----------
    depth, area, profile
        The pond's shape and its readings, with oxygen; what lies under the last one counts as without.
    boundary : quantity
        Depth that parts upper and lower water.
    demand : three quantities, optional
        What a liter below 1 mg/L burns at once, as :func:`pondcalc.warm_over_cold.overturn.demand_of_profile` gives
        it, or a bottle test. By default that function's, for 60 days without oxygen.

    Returns
    -------
    Debts
        ``fast``, spread over all the lower water, never less than 0, 2 and 4 mg/L (our choice: one bottle or one guess
        of days speaks for one place). ``whole``: the usual fast part over its usual share of a quarter, times what
        the mud's flux of 0.25, 0.37 and 0.49 g/m2 a day is of 0.37; never less than twice the fast part, which is half
        of it at most.
    """
    profile = filled_below.si(profile, depth[-1])
    below = _first_below(profile, overturn.STAGNANT)[0]
    if demand is None:
        demand = overturn.demand_of_profile.si(depth, area, profile, overturn.STAGNANT_DAYS, min(below, depth[-1]))
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
            debts.si(depth, area, profile, boundary, demand))


def _corners():
    """Picks of ends, one a corner: lift, boundary, fast part, its pace, warmth; then what is worse at one end only.

    More debt in all, more mud, less air and lower readings can only lower the oxygen, since each enters its rate of
    change with one sign as long as the upper water stands below its rest. So they need no mixing with each other.
    """
    free = list(itertools.product((0, 2), repeat=5))
    return [(*pick, worst) for worst in (0, 2) for pick in free] + [(1,) * 6]


@quantities(depth="m", area="m^2", lifted_flow="m^3/s", submergence="m", demand="mg/L", exchange="m/day",
            mud="g/m^2/day")
def start_pond(depth, area, profile, lifted_flow, submergence, demand=None, exchange=EXCHANGE, mud=MUD_20C,
               pressure_absolute=water.ATMOSPHERE):
    """The pond before its first start, every mix of doubts as a corner; refused where readings are missing.

    Parameters
    ----------
    depth, area : arrays of quantity
        The pond's shape.
    profile : Profile
        Readings at dawn, with oxygen, to within 2 ft (0.6 m) of the diffuser or down to stagnant water.
    lifted_flow : three quantities
        Water that the diffuser lifts to the surface: low, usual, high.
    submergence : quantity
        Depth of the diffuser.
    demand : three quantities, optional
        As for :func:`debts`.
    exchange, mud : three quantities, optional
        Gas exchange of the surface as a speed, default 0.35 to 0.74 m/d; what mud takes at 20 C, 0.22 to 2 g/m2 a day.
    pressure_absolute : float, optional
        Of the air over the pond, Pa; default sea level.

    Notes
    -----
    Ranges: lifted water; boundary (:func:`parting`); fast and whole debt (:func:`debts`); pace of the slow debt, 0.05
    to 0.3 a day at 20 C; mud; exchange; warmth of the mixed water, from the mean of the whole pond to 2 C above the
    upper water; readings of oxygen, 0.5 mg/L too high to 0.5 too low. At the bad end the lower water is credited with
    its lowest reading less 0.5 mg/L, at least 0; else with its mean. What lies under the last reading counts as water
    without oxygen. The upper water is credited with no more than water at rest with the air holds: more than that,
    made by algae, leaves it.
    """
    if profile.dissolved_oxygen is None:
        raise QuantityError("A first start needs oxygen readings from top to bottom. Borrow or rent a meter, "
                            "or wait for spring or fall when the pond is mixed.")
    if min(lifted_flow) <= 0:
        raise QuantityError("The water lifted must be above zero. Workbook 3 estimates it as a range.")
    early = unread_below.si(profile, submergence, depth[-1])
    if early and layers.kind_of_layers.si(profile) not in NOT_NOW:
        raise QuantityError(early)
    profile = filled_below.si(profile, depth[-1])
    part = parting.si(profile, submergence)
    parts = [_split(depth, area, profile, at, demand) for at in part]
    full = [float(water.oxygen_saturation.si(t, pressure_absolute)) for (_, t, _), *_ in parts]
    flows = [flow_through.si(sorted(lifted_flow), submergence, at) * 86400 for at in part]
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
                     mud[2 - worst] * THETA_MUD ** (warmth - 20), exchange[worst] * float(area[0]), bed))
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
    kind, oxygen = layers.kind_of_layers.si(profile), float(pond.oxygen[-1])
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
