"""What do a reader's own oxygen readings, two or a whole log, say about dawn and about the pond?

Two readings: read the oxygen at dusk and again two or three hours later, then carry the fall on to dawn. A straight
line takes the same loss each hour. A falling curve takes the same share each hour, because a pond short of oxygen uses
less and takes more from the air; over whole nights in ponds it has been the better guide. Between the two lies an
honest answer. Small slips of the meter grow: carried on for 8 hours, the slips of two readings taken 3 hours apart can
add up to six times one slip. So the answer carries a range.

A log: a logger writes a row every ten minutes; a person writes five rows in a notebook. Both come as time, oxygen,
temperature, sometimes depth. Headings may carry the unit ("temp F", "DO mg/L"); times may be "2025-07-14 19:00" or
"7:00 PM". Every row that cannot be used is listed with the reason.

At night nothing makes oxygen, so the fall is use less what comes through the surface. From a night's readings come the
use, the share of the shortfall the surface makes good each hour, and how sure each is. Use shows well in a few
readings. The surface's share shows only in long nights whose oxygen moves far; when it does not show, the answer says
so instead of guessing.

Inside the package oxygen is mg/L, temperature degC, depth m, time hours since the first reading, use mg/L/h,
reaeration 1/h.

What this leaves out: use that changes through the night (other than with temperature), readings at one depth of a
layered pond, and a meter that drifts: check it in moist air first.
"""

import datetime
from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy import optimize, stats

from ..refusals import Refused
from ..spellings import either
from ..tables import Column, read, typed
from ..textfiles import FieldDataError
from ..units import Range, not_negative, quantities
from ..water import SEA_LEVEL
from . import oxygen

ONE_DEPTH = ("It holds for the depth of the meter or probe. In a layered pond the top says nothing of the water below, "
             "which may have no oxygen; read top, middle and near the bottom to know the pond.")
METER_ERROR = 0.2       # mg/L, a field meter in fair order; from memory, not verified (sheets say 0.1 to 0.3)


class NightLine(NamedTuple):
    """Dawn oxygen by two ways, mg/L, each a Range from the meter's error, and the fall per hour."""

    straight: Annotated[Any, "mg/L"]
    curve: Annotated[Any, "mg/L"]
    fall: Annotated[Any, "mg/L/hour"]


def _check(first, second, hours_between, hours_to_dawn, owner):
    not_negative(owner, first_reading=first, second_reading=second)
    if np.any(~(np.asarray(hours_between) > 0)):
        raise Refused("the second reading must come after the first.", by=owner)
    if np.any(np.asarray(hours_to_dawn) < 0) or np.any(np.asarray(hours_to_dawn) > 86400):
        raise Refused("dawn must come 0 to 24 hours after the second reading.", by=owner)


@quantities(first="mg/L", second="mg/L", time_between="s", time_to_dawn="s", gives="mg/L")
def straight_line(first, second, time_between, time_to_dawn):
    """Dawn oxygen if the same loss goes on each hour, never below 0.

    first, second (float or array): mg/L at dusk and later.
    time_between, time_to_dawn (float or array): s between the readings, and from the second to dawn.
    References: C. E. Boyd, R. P. Romaire and E. Johnston, 1978, Trans. Am. Fish. Soc. 107:484-492 (not seen).
    """
    _check(first, second, time_between, time_to_dawn, "straight_line")
    fall = np.subtract(first, second) / time_between
    return np.maximum(0.0, second - fall * time_to_dawn)


@quantities(first="mg/L", second="mg/L", time_between="s", time_to_dawn="s", gives="mg/L")
def falling_curve(first, second, time_between, time_to_dawn):
    """Dawn oxygen if the same share is lost each hour: second (second/first)^(to dawn/between).

    first, second, time_between, time_to_dawn: As for :func:`straight_line`; the first reading must be above 0.
    References: C. P. Madenjian, G. L. Rogers and A. W. Fast, 1987, Predicting night time dissolved oxygen loss in
        prawn ponds of Hawaii, Aquacult. Eng. 6:191-208 (abstract seen): more accurate than the line.
    """
    _check(first, second, time_between, time_to_dawn, "falling_curve")
    if np.any(np.asarray(first) <= 0):
        raise Refused("the first reading must be above 0.", by="falling_curve")
    return second * np.divide(second, first) ** np.divide(time_to_dawn, time_between)


@quantities(first="mg/L", second="mg/L", time_between="s", time_to_dawn="s", meter_error="mg/L",
            gives=NightLine)
def night_line(first, second, time_between, time_to_dawn, meter_error=METER_ERROR):
    """Dawn oxygen by straight line and by falling curve, with the meter's error carried along.

    first, second, time_between, time_to_dawn: As for :func:`straight_line`.
    meter_error: mg/L, either way, of each reading; default 0.2.
    Returns: NightLine: Low end: first reading too low and second too high by the error, put right, and so on; both
        errors at their worst. In the dark nothing makes oxygen, so no end lies above the second reading and its
        error. `fall` is the loss per hour, mg/L/h inside the package too.
    Raises ValueError: If the oxygen rose between the readings, besides the cases of :func:`straight_line`.
    """
    if np.any(np.asarray(second) > np.asarray(first)):
        raise ValueError(f"the oxygen rose, from {np.max(first):.3g} to {np.max(second):.3g} mg/L. Then it was not yet "
                         "night at the first reading, or the two readings are swapped. Read again after sunset.")
    if not meter_error >= 0:
        raise Refused("the meter's error must be 0 or more.", by="night_line")
    ends = []
    for way in (straight_line, falling_curve):
        pairs = ((first + meter_error, np.maximum(0, second - meter_error)), (first, second),
                 (np.maximum(first - meter_error, 1e-3), second + meter_error))
        ends.append(Range(*(np.minimum(way(a, b, time_between, time_to_dawn), second + meter_error)
                            for a, b in pairs)))
    return NightLine(*ends, np.subtract(first, second) / time_between * 3600)


_TIME = Column("time", kind="moment", required=True, gaps=False, bare="clock")
_WARM = Column("temperature", unit="degree_Celsius", offer=("F", "C"), low="-1 C", high="45 C", kind="water")
_OXYGEN = Column("oxygen", offer=("mg/L",), low="-0.5 mg/L", high="40 mg/L", kind="oxygen", required=True, gaps=False,
                 beside="temperature")
_DEPTH = Column("depth", (r"\bdepth\b", r"^z\b"), "meter", ("ft", "m"), "0 m", "100 m")


class OxygenLog(NamedTuple):
    """Readings in order of time; temperature and depth are not-a-number where they were not written.

    `hours` since the first reading, `clock` hour of the day, `dissolved_oxygen` mg/L, `temperature` C,
    `depth` m, `start` date and time of the first (year 1 if only clock times were given), `dropped`
    rows left out with the reason, `notes` for the reader.
    """

    hours: Any
    clock: Any
    dissolved_oxygen: Any
    temperature: Any
    depth: Any
    start: Any
    dropped: list
    notes: list


def read_log(source, temperature_unit=None, water=SEA_LEVEL):
    """Read a log from a CSV file.

    source (pathlib.Path, open file, bytes or str): A str is the text itself. The first line that is not a ``#``
        comment is the heading.
    temperature_unit ({"F", "C"}): For a heading that does not say.
    water (Water): For oxygen in percent of saturation; its temperature, for a log without.
    Returns: OxygenLog: Oxygen in other units is turned into mg/L, and a note says so.
    Raises FieldDataError: Without readable heading, time or oxygen, or if its oxygen cannot be turned into mg/L.
    """
    return _log(read(source, (_TIME, _WARM, _OXYGEN, _DEPTH), "oxygen log", "time,oxygen_mg_L,temperature_F",
                     told={"temperature": temperature_unit}, water=water))


def hand_log(readings, water=SEA_LEVEL):
    """Make a log of a few readings typed by hand.

    readings (str, or list of sequence of str): Lines of a time, oxygen and, if there is one, temperature, or the
        three: ``("7:00 PM", "10.2 mg/L", "80 °F")``. A clock time earlier than the one before it belongs to the next
        day.
    water: As for :func:`read_log`.
    """
    return _log(typed(readings, (_TIME, _OXYGEN, _WARM), "readings", f"7:00 PM, 10.2 mg/L, {either('80 °F', '27 °C')}",
                      water))


def _log(table):
    """The log of a table, in order of time."""
    if not len(table):
        raise FieldDataError(f"{table.name or 'The list of readings'} has no usable reading. The first was left out "
                             f"because {table.left_out[0].reason}. Mend the rows and read it again.")
    moments, notes, days = list(table["time"]), list(table.notes), 0
    for at in range(1, len(moments) if moments[0].year == 1 else 0):       # without a date they run past midnight
        days += moments[at] + datetime.timedelta(days=days) < moments[at - 1]
        moments[at] += datetime.timedelta(days=days)
    order = sorted(range(len(moments)), key=moments.__getitem__)
    if order != list(range(len(moments))):
        notes.insert(0, "The rows were not in order of time; they were sorted.")
    start = moments[order[0]]
    hours = np.array([(moments[at] - start).total_seconds() / 3600 for at in order])
    if len(hours) > 1 and np.any(np.diff(hours) == 0):
        notes.append("Some readings share one time; they count as repeats.")
    clock = (start.hour + start.minute / 60 + start.second / 3600 + hours) % 24
    oxygen_read, temperature, depth = (table[name][order] for name in ("oxygen", "temperature", "depth"))
    return OxygenLog(hours, clock, np.maximum(oxygen_read, 0.0), temperature, depth, start, sorted(table.left_out),
                     notes)


def nights(log, dusk=20.0, dawn=6.0):
    """Row numbers of each night's readings, from dusk to dawn, nights with two or more only.

    dusk, dawn: Clock hours between which no light feeds the plants; dusk in the evening, dawn in the morning.
    """
    if not (12 <= dusk < 24 and 0 < dawn <= 12):
        raise Refused("dusk is a clock hour from 12 to 24, dawn from 0 to 12.", by="nights")
    dark = (log.clock >= dusk - 1e-6) | (log.clock <= dawn + 1e-6)
    first = log.clock[0]
    number = np.floor((first + log.hours - 12) / 24).astype(int)     # noon to noon
    found = [np.flatnonzero(dark & (number == which)) for which in np.unique(number[dark])]
    return [rows for rows in found if len(rows) >= 2]


MOST_REAERATION = 0.5       # 1/h; 6 m/d through half a meter of water, past any calm pond


class NightFit(NamedTuple):
    """Use of each night at 20 C and as it was, reaeration of all, each a Range of 95 %, and the fit.

    `use` list of Range, mg/L/h at the night's mean temperature; `use_20c` Range of the nights' mean
    brought to 20 C; `reaeration` Range, 1/h; `seen` whether the readings show any reaeration;
    `error` mg/L, scatter round the fit; `nights` row numbers; `fitted` list of arrays; `dawn` list of
    fitted last values; `advice` what to measure next, for the reader.
    """

    use: Any
    use_20c: Any
    reaeration: Any
    seen: bool
    error: float
    nights: list
    fitted: list
    dawn: Any
    advice: str


def _phi(kh):
    """(1 - exp(-x))/x and (x - 1 + exp(-x))/x^2, right for small x too."""
    small = np.abs(kh) < 1e-3
    x = np.where(small, 1.0, kh)
    first = np.where(small, 1 - kh / 2 + kh * kh / 6, -np.expm1(-x) / x)
    second = np.where(small, 0.5 - kh / 6 + kh * kh / 24, (x + np.expm1(-x)) / (x * x))
    return first, second


def _basis(hours, saturation, warmth, k):
    """What each reading owes to the first value, to the air, and to a use of 1 mg/L/h at 20 C."""
    start, gained, used = [1.0], [0.0], [0.0]
    for i, h in enumerate(np.diff(hours)):
        keep, (one, two) = np.exp(-k * h), _phi(k * h)
        s0, s1 = saturation[i], saturation[i + 1]
        w = (warmth[i] + warmth[i + 1]) / 2
        start.append(start[-1] * keep)
        gained.append(gained[-1] * keep + k * h * (s0 * one + (s1 - s0) * two))
        used.append(used[-1] * keep + w * h * one)
    return np.array(start), np.array(gained), np.array(used)


def _design(pieces, k):
    """Linear problem for first values and uses of all nights, once reaeration is fixed."""
    rows = sum(len(piece[0]) for piece in pieces)
    matrix, right, at = np.zeros((rows, 2 * len(pieces))), np.zeros(rows), 0
    for n, (hours, seen, saturation, warmth) in enumerate(pieces):
        start, gained, used = _basis(hours, saturation, warmth, k)
        matrix[at:at + len(hours), 2 * n] = start
        matrix[at:at + len(hours), 2 * n + 1] = -used
        right[at:at + len(hours)] = seen - gained
        at += len(hours)
    return matrix, right


def _solve(pieces, k):
    matrix, right = _design(pieces, k)
    answer, *_ = np.linalg.lstsq(matrix, right, rcond=None)
    return float(np.sum((right - matrix @ answer) ** 2)), answer, matrix, right


def _pieces(log, rows_of_nights, water):
    pieces, means = [], []
    for rows in rows_of_nights:
        t = log.temperature[rows]
        known = np.isfinite(t)
        if not known.any():
            if np.isnan(water.temperature):
                raise FieldDataError("the log has no temperature. Give one for the water, as in "
                                     "air.pond_water('1150 ft', '78 °F'); saturation and use depend on it.",
                                     by="fit_nights")
            t = np.full(len(rows), float(water.temperature))
        else:
            t = np.interp(log.hours[rows], log.hours[rows][known], t[known])
        pieces.append((log.hours[rows] - log.hours[rows][0], log.dissolved_oxygen[rows],
                       water.at(t).saturation, oxygen.THETA_PLANKTON ** (t - 20)))
        means.append(float(np.mean(pieces[-1][3])))
    return pieces, np.array(means)


def fit_nights(log, water=SEA_LEVEL, dusk=20.0, dawn=6.0):
    """Use of oxygen and reaeration from the nights of a log, with 95 % intervals.

    log (oxygenlog.OxygenLog): One depth of a mixed pond, or the top layer.
    water (Water): Its air pressure; its temperature, for a log without.
    dusk, dawn: Clock hours of darkness; be strict, an hour of dawn light spoils the end of the night.
    Returns: NightFit: Plain numbers. The scatter is not believed to be smaller than a quarter of the meter's error.
        With two readings a night the interval of use is from the meter's error and a reaeration anywhere from 0 to
        0.05 per hour.
    Raises FieldDataError: If no night has two readings, or there is no temperature.

    dC/dt = k (Cs - C) - R 1.047^(T - 20), Cs and the growth following the measured temperature, solved exactly between
    readings. For each k the rest is a linear least-squares problem, so the sum of squares is a curve of k alone; its
    low is the fit, and the interval of k is where it rises by no more than the F distribution allows. Each use is taken
    over that same interval. This is the night-time method of H. T. Odum, 1956, Primary production in flowing waters,
    Limnol. Oceanogr. 1:102-117, for a pond.
    """
    found = nights(log, dusk, dawn)
    if not found:
        raise FieldDataError("no night has two readings in the dark. Read at dusk and again three hours later at "
                             "least, better once more before dawn.", by="fit_nights")
    pieces, means = _pieces(log, found, water)
    count = sum(len(piece[0]) for piece in pieces)
    spare = count - 2 * len(pieces) - 1
    if spare < 1:
        ends = Range(0.0, 0.02, 0.05)
        best, spare = ends.usual, count - 2 * len(pieces)
    else:
        grid = np.concatenate([[0.0], np.geomspace(1e-4, MOST_REAERATION, 80)])
        sums = np.array([_solve(pieces, k)[0] for k in grid])
        at = int(np.argmin(sums))
        inner = optimize.minimize_scalar(lambda k: _solve(pieces, k)[0], method="bounded", options={"xatol": 1e-6},
                                         bounds=(grid[max(at - 1, 0)], grid[min(at + 1, len(grid) - 1)]))
        best = float(inner.x) if inner.fun < sums[at] else float(grid[at])
        ends = None
    square, answer, *_ = _solve(pieces, best)
    variance = max(square / spare, (METER_ERROR / 4) ** 2) if spare > 0 else METER_ERROR**2
    if ends is None:
        allowed = square + variance * stats.f.ppf(0.95, 1, spare)
        inside = grid[sums <= allowed]
        ends = Range(_edge(pieces, allowed, inside.min() if len(inside) else best, grid, -1), best,
                     _edge(pieces, allowed, inside.max() if len(inside) else best, grid, +1))
    factor = stats.t.ppf(0.975, spare) if spare > 0 else 1.96
    lows, highs, usual = [], [], answer[1::2]
    for k in ends:
        _, solved, matrix, _ = _solve(pieces, k)
        width = factor * np.sqrt(variance * np.diag(np.linalg.pinv(matrix.T @ matrix))[1::2])
        lows.append(solved[1::2] - width)
        highs.append(solved[1::2] + width)
    low, high = np.min(lows, axis=0), np.max(highs, axis=0)
    matrix, right = _design(pieces, best)
    smooth = matrix @ answer + np.concatenate([piece[1] for piece in pieces]) - right
    fitted = np.split(smooth, np.cumsum([len(piece[0]) for piece in pieces])[:-1])
    use = [Range(*(float(part[i] * means[i]) for part in (low, usual, high))) for i in range(len(pieces))]
    together = Range(float(low.mean()), float(usual.mean()), float(high.mean()))
    seen = bool(ends.low > 0 and count > 2 * len(pieces) + 1)
    return NightFit(use, together, ends, seen, float(np.sqrt(variance)), found, fitted,
                    np.array([part[-1] for part in fitted]), _advice(pieces, use, seen))


def _edge(pieces, allowed, inside, grid, side):
    """Where the sum of squares crosses what is allowed, between a grid point inside and the next one out."""
    at = int(np.argmin(np.abs(grid - inside))) + side
    if not 0 <= at < len(grid):
        return float(inside)
    outside = grid[at]
    if _solve(pieces, outside)[0] <= allowed or _solve(pieces, inside)[0] > allowed:
        return float(inside)
    return float(optimize.brentq(lambda k: _solve(pieces, k)[0] - allowed, *sorted((inside, outside))))


def _advice(pieces, use, seen):
    """One or two sentences on what to measure next."""
    longest = max(piece[0][-1] for piece in pieces)
    fewest = min(len(piece[0]) for piece in pieces)
    wide = max((r.high - r.low) / max(abs(r.usual), 1e-9) for r in use)
    if fewest == 2:
        return ("Two readings make a line and leave no check. Add one in the middle of the night and one just before "
                "dawn.")
    if longest < 7:
        return f"The longest night covers {longest:.0f} hours. Carry on to just before dawn, when it matters."
    if min(r.usual for r in use) < 0:
        return ("Oxygen rose in the dark, which plants cannot do. Check the meter, the hours of darkness, and "
                "whether wind or an aerator was at work.")
    if not seen:
        return ("These nights do not show how much comes through the surface. Note the wind, and read through one "
                "windy and one calm night.")
    if wide > 0.6:
        return "Use is uncertain by more than half. Read two or three more nights, every two hours."
    if len(pieces) < 3:
        return "A good start. Read two more nights, one after a dark day, and at two depths."
    return "Use is well known here. Next, read near the bottom before dawn, where trouble starts."
