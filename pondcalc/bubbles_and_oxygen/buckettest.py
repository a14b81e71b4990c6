"""How fast does oxygen go into a tub of water, by the log of a test, and how sure is that?

The test a class can do: fill a tub, strip out the oxygen, bubble air through it, and write down oxygen against time.
The readings climb toward a level and slow down as they near it. Fitting that curve gives the transfer coefficient kLa,
with an interval that says how far to trust it.

A log has a time, an oxygen reading, and perhaps a water temperature, with their units in the headings: ``Time (min), DO
(mg/L), Water temp (F)``. Files as people really save them are taken: commas, semicolons or tabs, decimal commas, a byte
mark at the front, notes after ``#``. Oxygen is in mg/L.
"""

import re
from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.optimize import least_squares
from scipy.stats import t as student

from ..spellings import quoted, say_left_out
from ..tables import Column, find, take, typed
from ..textfiles import FieldDataError, open_table
from ..units import QuantityError, quantities, record
from ..water import SEA_LEVEL, STANDARD, Water
from . import transfer

STEP_MOST, SPAN_MOST = 900.0, 6 * 3600.0        # s: a tub test read by the clock has shorter steps and ends sooner
STEP_LEAST, SPAN_LEAST = 5.0, 60.0              # s: one read by a stopwatch has longer steps and goes on; our choice
# a little below a meter's zero, and more oxygen than any tub holds: our choice
_OXYGEN = Column("oxygen", offer=("mg/L",), low="-0.5 mg/L", high="40 mg/L", kind="oxygen", required=True, gaps=False,
                 beside="temperature")
_TIME = Column("time", (r"\b(time|clock|elapsed|minutes?|min|seconds?|sec|s|hours?)\b", r"^t\b"), "second",
               ("min", "s"), required=True, gaps=False)
_WARM = Column("temperature", unit="degree_Celsius", offer=("F", "C"), low="-1 C", high="45 C", kind="water",
               bare="degree_Celsius")
_TYPED_OXYGEN = _OXYGEN._replace(name="oxygen reading", beside="")


@record(time="s", dissolved_oxygen="mg/L")
class BucketLog:
    """Readings of one tub test.

    time (array, s): Counted from the first reading.
    dissolved_oxygen (array, mg/L).
    water (Water): With its mean temperature, not-a-number if nobody has said.
    name: What to call it.
    notes (tuple of str): What was done to the file on the way in; rows left out, and why.
    """

    time: Any
    dissolved_oxygen: Any
    water: Water = SEA_LEVEL
    name: str = "typed readings"
    notes: tuple = ()


_CLOCK = re.compile(r"\s*(?:\S+[ T])?(\d{1,3}):([0-5]\d)(?::([0-5]\d(?:\.\d+)?))?\s*([ap])?\.?m?\.?\s*", re.I)


def _clock(text):
    """Seconds of ``10:05``, ``10:05:30`` or ``2:05:30 PM``; None if it is not a clock time."""
    found = _CLOCK.fullmatch(text)
    if not found:
        return None
    hour = int(found[1])
    if found[4]:
        hour = hour % 12 + (12 if found[4].lower() == "p" else 0)
    return 3600.0 * hour + 60 * int(found[2]) + float(found[3] or 0)


def _by_stopwatch(cells, heading, name):
    """Whether times such as ``0:30`` are minutes and seconds, and a note where that was found out from the steps."""
    low, found = heading.lower(), [_CLOCK.fullmatch(cell) for cell in cells]
    found = [one for one in found if one]
    if any(one[3] or one[4] or " " in one[0].strip() for one in found):
        if any(one[3] for one in found) and not all(one[3] for one in found):
            raise FieldDataError(f"{name}: some times have seconds and some have not, such as {quoted(cells[0])}. "
                                 "Write all of them as hours, minutes and seconds: 0:05:30.")
        return False, []
    seconds = np.array([_clock(one[0]) for one in found])
    seconds = seconds + 86400.0 * np.concatenate([[0], np.cumsum(np.diff(seconds) < -43200)])
    step = float(np.median(np.abs(np.diff(seconds)))) if len(seconds) > 1 else 0.0
    span, start = float(np.ptp(seconds)), float(seconds[0])
    by_clock = 0 < step <= STEP_MOST and span <= SPAN_MOST and seconds.max() < 2 * 86400
    by_watch = step / 60 >= STEP_LEAST and span / 60 >= SPAN_LEAST
    if re.search(r"h\w*:m", low):
        watch = False
    elif re.search(r"m\w*:s", low):
        watch = True
    elif re.search(r"clock|hour|\(h\)", low):
        watch = None if by_watch and not by_clock else False
    elif re.search(r"\bmin|\bsec", low.replace("_", " ")):
        watch = by_watch or not by_clock
    elif by_watch and not by_clock:         # a clock read every half hour from 8:00 looks like a stopwatch too
        watch = None if 3 * 3600 <= start < 86400 else True
    else:
        watch = False if by_clock and not (by_watch and start < 3600) else None
    if watch is None:
        raise FieldDataError(f"{name}: times such as {quoted(cells[0])} and {quoted(cells[-1])} may be hours and "
                             "minutes, or minutes and seconds. Write the heading as 'Time (min:sec)' or "
                             "'Time (h:min)'.")
    if not watch and by_clock and not by_watch and start >= 3600:
        return watch, []
    return watch, [f"Times such as {quoted(cells[0])} were read as "
                   f"{'minutes and seconds' if watch else 'hours and minutes'}. If they are "
                   f"{'hours and minutes' if watch else 'minutes and seconds'}, write the heading as "
                   f"{'Time (h:min)' if watch else 'Time (min:sec)'}."]


def read_log(source, water=SEA_LEVEL):
    """Read the log of a tub test.

    source (pathlib.Path, open file, bytes or str): A str is the text of the log itself, not the name of a file.
    water (Water): Temperature, for a log without such a column; air pressure, for oxygen in percent of saturation.
    Returns: BucketLog: Oxygen in other units is turned into mg/L, and a note says so.
    Raises FieldDataError: If there is no time or no oxygen column, a unit is missing or cannot be used, the time goes
        back, or fewer than 2 rows can be read.
    """
    table = open_table(source, "tub log", "Time (min),DO (mg/L)")
    table.water = water
    find(table, (_WARM, _OXYGEN, _TIME))
    if table.unit["oxygen"] is None:
        raise FieldDataError(f"{table.name}: the heading {quoted(table.heading['oxygen'])} has no unit. Write it like "
                             "'DO (mg/L)'.")
    _take_times(table)
    for column in (_WARM, _OXYGEN):
        if column.name in table.cells:
            take(table, column)
    notes = [*table.notes, *say_left_out(table.left_out)]
    if len(table) < 2:
        raise FieldDataError(f"{table.name}: {len(table)} row{'s' * (len(table) != 1)} could be read. "
                             f"{' '.join(notes[-2:]) or 'Add a row for each reading below the heading.'} Check the "
                             "numbers, and the units in the heading.")
    _refuse_back(table)
    water = water.at(_mean_temperature(table["temperature"], notes, water.temperature))
    if np.isnan(water.temperature):
        notes.append("The log has no water temperature; without it kLa cannot be carried to 20 C (68 F).")
    return BucketLog(table["time"] - table["time"][0], table["oxygen"], water, table.name, tuple(notes))


def _take_times(table):
    """Seconds of each row, whether its time is a number, a clock's or a stopwatch's."""
    cells = table.cells["time"]
    clocks = [cell for cell in cells if _clock(cell) is not None]
    if not clocks:
        return take(table, _TIME)
    watch, notes = _by_stopwatch(clocks, table.heading["time"], table.name)
    table.notes += notes
    time = np.array([np.nan if (read := _clock(cell)) is None else read / (60 if watch else 1) for cell in cells])
    table.values["time"] = time
    table.drop(np.isnan(time), lambda at: f"the time is {quoted(cells[at])}, not a time such as {clocks[0]}",
               "the time cannot be read")
    time = table["time"]                        # past midnight the clock starts again
    table.values["time"] = time + 86400.0 * np.concatenate([[0], np.cumsum(np.diff(time) < -43200)])
    return None


def _mean_temperature(found, notes, otherwise):
    """Mean water temperature, degC; a note is added if it drifted."""
    found = found[np.isfinite(found)]
    if not found.size:
        return otherwise
    if np.ptp(found) > 2:
        warm = found * 1.8 + 32
        notes.append(f"Water temperature went from {found.min():.1f} to {found.max():.1f} C ({warm.min():.0f} to "
                     f"{warm.max():.0f} F) during the log; kLa and saturation both move with it. Keep it within 2 C.")
    return float(found.mean())


def typed_log(text, time_unit="min", water=SEA_LEVEL):
    """Read numbers typed into a box: on each line a time and an oxygen reading in mg/L.

    text: Such as ``"0 0.3\\n1 1.1\\n2 1.9"``; commas, semicolons, tabs or blanks part the two.
    time_unit: Unit of the times.
    water (Water).
    Returns: BucketLog.
    """
    table = typed(text, (_TIME._replace(bare=time_unit), _TYPED_OXYGEN), "tub log", "2 1.9")
    if len(table) < 2:
        raise FieldDataError("Type at least two lines, each with a time and an oxygen reading, such as '2 1.9'.")
    _refuse_back(table)
    return BucketLog(table["time"] - table["time"][0], table["oxygen reading"], water)


def _refuse_back(table):
    """Refuse a time that goes back."""
    back = np.flatnonzero(np.diff(table["time"]) < 0)
    if back.size:
        raise FieldDataError(f"{table.place(back[0] + 1)}: the time goes back. Put the rows in the order they were "
                             "read, and check the time of that row.")


LOW_SHARE = 0.10                # readings below this share of the final level are left out
MOST = 40.0                     # mg/L; no water under air holds more
WILD = 4.0                      # robust standard deviations beyond which one reading is left out
WILD_AT_LEAST = 0.15            # mg/L; a meter's own steps and drift are never "wild"
CONFIDENCE = 0.95               # 19 tests in 20 would bracket the truth, if scatter is random and the model right


def rise_curve(time, kla, saturation, start=0.0):
    """Oxygen against time in a well-mixed tub: ``C = C*inf - (C*inf - C0) exp(-kLa t)``."""
    return saturation - (saturation - start) * np.exp(-kla * np.asarray(time, float)[()])


class Choice(NamedTuple):
    """Which readings count, and why the others do not."""

    used: Any                   # True or False for each reading
    reasons: Any                # text for each reading, "" for those that count


def _check_log(time, oxygen):
    time, oxygen = np.asarray(time, float), np.asarray(oxygen, float)
    if time.ndim != 1 or time.shape != oxygen.shape:
        raise QuantityError(f"The log has {time.size} times and {oxygen.size} oxygen readings. Give one for "
                            "each.")
    if time.size < 6:
        raise QuantityError(f"The log has {time.size} readings. Three things are being found at once (kLa, "
                            "the final level and the starting level); take 6 readings at the least, 20 or "
                            "more to be sure.")
    if not (np.all(np.isfinite(time)) and np.all(np.isfinite(oxygen))):
        raise QuantityError(f"Reading {np.flatnonzero(~np.isfinite(time + oxygen))[0] + 1} of the log is not "
                            "a number.")
    back = np.flatnonzero(np.diff(time) <= 0)
    if back.size:
        raise QuantityError(f"The time of reading {back[0] + 2} ({time[back[0] + 1] / 60:g} min) is not "
                            f"later than the one before it ({time[back[0]] / 60:g} min). Put the readings in "
                            "order, each once.")
    if np.any((oxygen < -0.5) | (oxygen > MOST)):
        i = np.flatnonzero((oxygen < -0.5) | (oxygen > MOST))[0]
        raise QuantityError(f"Reading {i + 1} is {oxygen[i]:g} mg/L. Air-saturated water holds 6 to 15 mg/L; "
                            "set the meter to mg/L, not percent, and check that reading.")
    return time, oxygen


def _first_guess(time, oxygen, start):
    """Final level, coefficient and start from the readings alone."""
    level = max(np.max(oxygen) * 1.02, start + 1e-6)
    span = max(level - oxygen[0], 1e-9)
    inside = (level - oxygen > 0.05 * span) & (level - oxygen < 0.98 * span)
    if inside.sum() >= 3:
        slope = -np.polyfit(time[inside], np.log(level - oxygen[inside]), 1)[0]
    else:
        slope = 2.0 / (time[-1] - time[0])
    return np.array([max(slope, 0.05 / (time[-1] - time[0])), level, oxygen[0]])


def _solve(time, oxygen, start=None, robust=False):
    """Least squares for (kLa, C*inf, C0), or for the first two with C0 fixed; time counts from 0.

    Unknowns are scaled to be near 1, so that the solver sees a tidy problem in any units.
    """
    guess = _first_guess(time, oxygen, oxygen[0] if start is None else start)
    free = 3 if start is None else 2
    scale = np.abs(np.array([guess[0], guess[1], max(guess[1], 1e-9)]))[:free]

    def unpack(p):
        return (*(p * scale), *(() if start is None else (start,)))

    def miss(p):
        kla, level, first = unpack(p)
        return level - (level - first) * np.exp(-kla * time) - oxygen

    def slope(p):
        kla, level, first = unpack(p)
        fade = np.exp(-kla * time)
        return np.column_stack([(level - first) * time * fade, 1 - fade, fade])[:, :free] * scale

    noise = max(np.std(np.diff(oxygen, 2)) / np.sqrt(6), 1e-3 * scale[1])
    extra = {"loss": "soft_l1", "f_scale": noise, "method": "trf"} if robust else {"method": "lm"}
    found = least_squares(miss, guess[:free] / scale, slope, x_scale=1.0, xtol=1e-12, ftol=1e-12, gtol=1e-12,
                          **extra)
    return np.array(unpack(found.x)), -miss(found.x), slope(found.x) / scale


def choose_points(time, dissolved_oxygen):
    """Choose the readings to fit, and say why each of the others is left out.

    time (array, s): Increasing.
    dissolved_oxygen (array, mg/L).
    Returns: Choice.

    Readings before the rise last passed :data:`LOW_SHARE` of the final level are left out: leftover stripping
    chemical still eats oxygen there. The clean-water test standard allows cutting up to about 0.2 (from memory,
    not verified). A single reading :data:`WILD` robust standard deviations (and 0.15 mg/L) off the curve is left
    out; at most one in ten may go that way.
    """
    time, oxygen = _check_log(time, dissolved_oxygen)
    level = np.median(oxygen[-max(3, oxygen.size // 10):])
    low = np.min(oxygen)
    if level - low < 0.5:
        raise QuantityError(f"Oxygen only went from {low:.2f} to {level:.2f} mg/L in this log. Strip the "
                            "oxygen out first, then start the air, and log until the readings stop rising.")
    if np.median(oxygen[:3]) > level:
        raise QuantityError(f"Oxygen falls in this log, from {np.median(oxygen[:3]):.2f} to {level:.2f} mg/L. The test "
                            "needs water that starts with little oxygen and gains it. Strip it, then start the air.")
    reasons = np.full(time.size, "", dtype=object)
    # where the rise begins: the last time three readings' median still lay near the floor
    smooth = np.array([np.median(oxygen[max(0, i - 1):i + 2]) for i in range(oxygen.size)])
    floor = np.median(np.sort(oxygen)[:max(2, oxygen.size // 20)])
    threshold = max(LOW_SHARE * level, floor + 0.02 * (level - floor)) if floor < LOW_SHARE * level \
        else floor + 0.02 * (level - floor)
    below = np.flatnonzero(smooth < threshold)
    first = below[-1] + 1 if below.size else 0
    reasons[:first] = f"before the rise passed {threshold:.2f} mg/L (leftover stripping chemical)"
    kept = np.flatnonzero(reasons == "")
    if kept.size >= 8:
        t = time[kept] - time[kept[0]]
        _, residual, _ = _solve(t, oxygen[kept], robust=True)
        scatter = 1.4826 * np.median(np.abs(residual - np.median(residual)))
        limit = max(WILD * scatter, WILD_AT_LEAST)
        far = np.argsort(-np.abs(residual))[:max(1, kept.size // 10)]
        for i in far[np.abs(residual[far]) > limit]:
            side = "above" if residual[i] > 0 else "below"
            reasons[kept[i]] = f"a single reading {abs(residual[i]):.2f} mg/L {side} the curve of the others"
    return Choice(reasons == "", reasons)


class BucketFit(NamedTuple):
    """Result of :func:`fit_bucket`; low and high are the ends of the interval of :data:`CONFIDENCE`."""

    kla: Annotated[Any, "1/s"]                    # 1/s at the water temperature of the test
    kla_low: Annotated[Any, "1/s"]
    kla_high: Annotated[Any, "1/s"]
    saturation: Annotated[Any, "mg/L"]             # mg/L, level the tub settles at, at the test
    saturation_low: Annotated[Any, "mg/L"]
    saturation_high: Annotated[Any, "mg/L"]
    start: Annotated[Any, "mg/L"]                  # mg/L at the first reading used
    kla_20: Annotated[Any, "1/s"]                 # 1/s, carried to 20 C
    kla_20_low: Annotated[Any, "1/s"]
    kla_20_high: Annotated[Any, "1/s"]
    scatter: Annotated[Any, "mg/L"]                # mg/L, standard deviation of the readings round the curve
    residuals: Annotated[Any, "mg/L"]              # mg/L, reading minus curve, every reading; not used ones too
    used: Any
    reasons: Any
    notes: Any                  # sentences for the reader, the most important first


@quantities(time="s", dissolved_oxygen="mg/L", start="mg/L", gives=BucketFit)
def fit_bucket(time, dissolved_oxygen, water=STANDARD, start=None, used=None):
    """Fit kLa and the final oxygen level to a tub log by nonlinear least squares.

    time (array, s), dissolved_oxygen (array, mg/L).
    water (Water): Mean temperature of the test, and air pressure, for the comparison with the handbook's saturation.
    start (float, mg/L): Oxygen at time 0 if it is known; fitted when left out.
    used (array of bool): Readings to use; chosen by :func:`choose_points` when left out.

    All three unknowns are fitted together to the readings as they are. Plotting the logarithm of
    the shortage against time, the older way, needs the final level beforehand and gives the noisy
    last readings far too much weight. Interval: Student's t times the root of the linearised
    variance ``s^2 (J^T J)^-1``.
    References: ASCE/EWRI 2-06 (2007). Measurement of Oxygen Transfer in Clean Water. Bates, D.M. & Watts, D.G.
        (1988). Nonlinear Regression Analysis and Its Applications, ch. 2.
    """
    time, oxygen = _check_log(time, dissolved_oxygen)
    if used is None:
        used, reasons = choose_points(time, oxygen)
    else:
        used = np.asarray(used, bool)
        reasons = np.where(used, "", "left out by hand").astype(object)
    unknowns = 3 if start is None else 2
    if used.sum() < unknowns + 2:
        raise QuantityError(f"Only {used.sum()} readings are left to fit {unknowns} unknowns. Log more "
                            "often, or keep more of the readings.")
    origin = time[used][0] if start is None else 0.0
    values, residual, jacobian = _solve(time[used] - origin, oxygen[used], start)
    freedom = int(used.sum()) - unknowns
    scatter = np.sqrt(residual @ residual / freedom)
    _, upper = np.linalg.qr(jacobian / np.linalg.norm(jacobian, axis=0))
    spread = np.linalg.inv(upper)
    error = scatter * np.sqrt((spread**2).sum(axis=1)) / np.linalg.norm(jacobian, axis=0)
    reach = student.ppf(0.5 + CONFIDENCE / 2, freedom) * error
    kla, level, first = values
    if not (kla > 0 and level < MOST and np.all(np.isfinite(error))):
        raise QuantityError("These readings do not bend toward a final level, so kLa cannot be found. Log "
                            "until oxygen has almost stopped rising.")
    kla_range = np.array([kla, kla - reach[0], kla + reach[0]])
    at_20 = transfer.transfer_coefficient_at_20(kla_range, water.temperature)
    everywhere = oxygen - rise_curve(time - origin, kla, level, first)
    notes = _notes(time, oxygen, used, residual, values, reach, water)
    return BucketFit(*kla_range, level, level - reach[1], level + reach[1], first, *at_20, scatter, everywhere, used,
                     reasons, notes)


def _notes(time, oxygen, used, residual, values, reach, water):
    """What the reader should know about this fit, most important first."""
    kla, level, _ = values
    notes = []
    last = oxygen[used][-3:].mean() / level
    if last < 0.9:
        notes.append(f"The log stops at {100 * last:.0f} % of the final level, so that level is a guess by "
                     "the curve. Log on until the readings have almost stopped: 95 % or more.")
    handbook = water.saturation
    if abs(level / handbook - 1) > 0.1:
        notes.append(f"The tub settles at {level:.2f} mg/L; the handbook gives {handbook:.2f} mg/L for this "
                     "temperature and air pressure. More than 10 % apart: check the meter's calibration and "
                     "the temperature.")
    if reach[0] > 0.25 * kla:
        notes.append(f"kLa is only known to {100 * reach[0] / kla:.0f} %. More readings on the steep part "
                     "would help.")
    if residual.size >= 8:
        wander = residual[1:] @ residual[:-1] / (residual @ residual)
        if wander > 2 / np.sqrt(residual.size):
            notes.append("The readings wander round the curve in long waves and not at random, so the "
                         "interval is too narrow. Usual causes: a tub that does not mix, a slow probe, "
                         "changing air or temperature.")
    if (~used).sum():
        notes.append(f"{(~used).sum()} of {time.size} readings were left out; the reasons are listed with "
                     "them.")
    return notes


class BucketRates(NamedTuple):
    """What a fit means as a rating."""

    standard_rate: Annotated[Any, "kg/s"]          # kg/s (SOTR)
    standard_rate_low: Annotated[Any, "kg/s"]
    standard_rate_high: Annotated[Any, "kg/s"]
    standard_efficiency: Annotated[Any, ""]    # share of the oxygen blown in (SOTE)
    saturation_20: Annotated[Any, "mg/L"]          # mg/L


@quantities(volume="m^3", flow_free_air="m^3/s", depth="m", gives=BucketRates)
def bucket_rates(fit, volume, flow_free_air, depth, water):
    """Standard transfer rate and efficiency from a tub fit.

    fit (BucketFit): From ``fit_bucket``, as plain numbers or quantities.
    volume (float, m3): Of water in the tub.
    flow_free_air (float, m3/s).
    depth (float, m): Of the stone below the surface.
    water (Water).

    ``C*inf20 = C*inf/(tau Omega)``; ``SOTR = kLa20 C*inf20 V``. A tub trades oxygen at its top
    surface as well, so this flatters a small stone; and a rate from half a meter of water says
    nothing of how it does at six (Chern & Yang 2003 split the two zones).
    """
    def plain(value, unit):
        return value.m_as(unit) if hasattr(value, "m_as") else value
    omega = transfer.pressure_factor(depth, water)
    level = plain(fit.saturation, "mg/L") / (transfer.temperature_factor(water.temperature) * omega)
    rates = [transfer.standard_transfer_rate(max(plain(kla, "1/s"), 0.0), level, volume)
             for kla in (fit.kla_20, fit.kla_20_low, fit.kla_20_high)]
    return BucketRates(*rates, transfer.standard_transfer_efficiency(rates[0], flow_free_air), level)


SULFITE_PER_OXYGEN = 2 * 126.04 / 31.998      # 2 Na2SO3 + O2 -> 2 Na2SO4, by molar mass
EXCESS = 1.5                                  # times that; common practice, no source


@quantities(volume="m^3", dissolved_oxygen="mg/L", gives="kg")
def sulfite_to_strip(volume, dissolved_oxygen):
    """Sodium sulfite that takes the oxygen out of a tub, half as much again as chemistry asks for.

    volume (float, m3): Of water.
    dissolved_oxygen (float, mg/L): Before.

    For a tub on land only, by the label. Never for a pond: it would take the oxygen from the fish.
    """
    if not (np.all(np.asarray(volume) > 0) and np.all(np.asarray(dissolved_oxygen) >= 0)):
        raise QuantityError("sulfite_to_strip needs a volume above zero and oxygen of 0 or more; it was given "
                            f"{volume} m3 and {dissolved_oxygen} mg/L.")
    return SULFITE_PER_OXYGEN * EXCESS * volume * dissolved_oxygen * 1e-3
