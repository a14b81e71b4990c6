"""Is the system still well, and what is due this month?

A log of a few readings says more than any timer: a rising gauge means a fouled diffuser or
line, a falling one means a leak, a hot cabinet means a blocked vent, a falling oxygen reading
means the pond asks for more than it gets. Trends are found with a method that one wild
reading cannot pull.
"""

import math
from typing import NamedTuple

import numpy as np
from scipy.stats import theilslopes

from ..moments import read_moment
from ..tables import column_numbers, find_column, needed_column, read_table
from ..units import KINDS, QuantityError, Range, quantities, to_display, unit_label
from ..wording import quoted, shortened
from .treatments import Fact

__all__ = ["Task", "Upkeep", "Log", "Trend", "Flag", "UPKEEP", "THIN_ICE", "season_dates", "calendar",
           "read_log", "trend", "check_log"]

CABINET_WARM, CABINET_HOT = 40.0, 50.0      # degC, 104 and 122 F; common practice, no source
PRESSURE_SHIFT = 3447.0                     # Pa, 0.5 psi of change worth a look; our choice
STRESS, FLOOR = 3.0, 4.0                    # mg/L; Texas A&M AquaPlant; Ohio advice
LAYERED = 3.0                               # C between top and bottom: the pond is not mixing; our choice


class Task(NamedTuple):
    """Something to do, between two days of the year (which may wrap past New Year), and why."""

    name: str
    first_day: int
    last_day: int
    why: str
    source: str


class Upkeep(NamedTuple):
    """A part to look after and the months between, as a range."""

    part: str
    months: Range
    what: str


class Log(NamedTuple):
    """Readings by date; not-a-number where one was not taken (SI; degC; oxygen in mg/L)."""

    day: np.ndarray                 # days since the first reading
    date: tuple
    pressure_gauge: np.ndarray
    cabinet_temperature: np.ndarray
    air_temperature: np.ndarray
    hours: np.ndarray
    top_temperature: np.ndarray
    bottom_temperature: np.ndarray
    top_oxygen: np.ndarray
    bottom_oxygen: np.ndarray


class Trend(NamedTuple):
    """Change per day with its 90 % range, and whether it surely rises or falls."""

    per_day: Range
    readings: int
    word: str


class Flag(NamedTuple):
    """A sign in the log: what it may mean, how urgent ("watch" or "act"), and what to check."""

    sign: str
    level: str
    words: str
    check: str


# common practice, no source; the maker's manual comes first
UPKEEP = (
    Upkeep("air filter", Range(1, 3, 6), "clean or replace; more often in dust and seed fluff"),
    Upkeep("cabinet vents and fan", Range(1, 3, 6), "clear of leaves, nests and mice; feel that air moves"),
    Upkeep("gauge reading", Range(0.25, 0.5, 1), "write it down with the date"),
    Upkeep("diffuser", Range(12, 24, 36), "lift and clean when the gauge says so"),
    Upkeep("diaphragms, vanes or piston seals", Range(12, 24, 36), "replace as the manual says"),
    Upkeep("ground-fault outlet", Range(1, 1, 1), "press TEST; it must cut off (CPSC: monthly)"),
    Upkeep("line and fittings", Range(6, 12, 12), "soap and listen for leaks; look where it enters the "
                                                  "water"),
)

THIN_ICE = (
    Fact("No ice is ever sure. Four inches of new clear ice is the least for walking, five to six for a "
         "snowmobile; another state prints five and eight.", "Minnesota DNR, 2017; a Michigan station, 2023"),
    Fact("Aeration thins ice out of sight, and the open hole moves with wind and weather.",
         "Minnesota DNR notices"),
    Fact("On protected waters in Minnesota winter aeration needs a permit, a published notice, WARNING signs "
         "at every way on, THIN ICE signs around the hole, and a look at least every seven days.",
         "Minnesota DNR notices, 2013"),
    Fact("In Wisconsin an aerated hole on public water needs a barricade, such as an unbroken rope 2.5 to "
         "4.5 ft above the surface.", "Wis. Stat. 167.26(2)(a)1"),
    Fact("These are two states' rules. Ask your own state and your insurer before the first freeze.",
         "general advice"),
)


def _crossings(climate, level):
    """Days of the year on which smooth daily mean air rises and falls through a temperature."""
    if climate.yearly_swing == 0 or abs(level - climate.mean_temperature) >= climate.yearly_swing:
        return None
    warmest = 201 if climate.latitude >= 0 else 18.5
    half = 365 / (2 * math.pi) * math.acos((level - climate.mean_temperature) / climate.yearly_swing)
    return tuple(int(round(d)) % 365 or 365 for d in (warmest - half, warmest + half))


def season_dates(climate):
    """Days that mark the pond's year, from the smooth air temperature of a climate.

    Parameters
    ----------
    climate : pondcalc.the_year.weather.Climate

    Returns
    -------
    dict
        ``spring`` and ``fall``: air rises and falls through 10 C (50 F); ``hot``: above 22 C (72 F),
        first and last day; ``ice``: below 0 C, first and last day. None where it never happens.
    """
    mild, hot, frost = (_crossings(climate, level) for level in (10.0, 22.0, 0.0))
    return {"spring": mild and mild[0], "fall": mild and mild[1], "hot": hot, "ice": frost and frost[::-1]}


def calendar(climate):
    """Tasks of the year for a place, in order of the day they start.

    Parameters
    ----------
    climate : pondcalc.the_year.weather.Climate

    Returns
    -------
    list of Task
        Dates follow the climate's mean; a real year may be three weeks off either way.
    """
    dates = season_dates(climate)

    def day(d):
        return int(round(d - 1)) % 365 + 1
    tasks = [Task("read the gauge and the cabinet thermometer", 1, 365, "catches fouling, leaks and heat "
                                                                        "early",
                  "common practice, no source"),
             Task("test the ground-fault outlet each month", 1, 365, "it guards everyone near the water",
                  "U.S. Consumer Product Safety Commission, as quoted")]
    if dates["spring"]:
        s, f = dates["spring"], dates["fall"]
        tasks += [
            Task("start the diffuser while the pond is still mixed", day(s - 21), day(s + 14),
                 "no stagnant layer has formed, so nothing harmful comes up", "Ohio State University, CFAES"),
            Task("take a temperature and oxygen profile each month", day(s), day(f),
                 "shows layers before they matter", "common practice, no source"),
            Task("expect the fall overturn if the pond is in layers", day(f - 60), day(f + 14),
                 "cold rain or wind can mix stagnant water into the top", "Univ. of Kentucky, Pond Turnover")]
    if dates["hot"]:
        first, last = dates["hot"]
        tasks.append(Task("check oxygen at dawn, most of all after dark still days", day(first), day(last),
                          "warm water holds least oxygen and life uses most", "Texas A&M AgriLife"))
    if dates["ice"]:
        first, last = dates["ice"]
        tasks += [Task("decide about winter air before the first ice; ask about permits and signs",
                       day(first - 45), day(first - 10), "open water and thin ice are a duty to the public",
                       "Minnesota DNR; Wis. Stat. 167.26"),
                  Task("if air runs: signs and rope up, and look at them every week", day(first - 10),
                       day(last + 21),
                       "the hole moves and the ice around it is weak", "Minnesota DNR notices"),
                  Task("drain low spots in the line, keep the shore end from freezing", day(first - 30),
                       day(first),
                       "water in the line freezes and blocks the air", "common practice, no source")]
    return sorted(tasks, key=lambda task: task.first_day)


def _dates(table):
    column = needed_column(table, "date", "date", "date", "day", "when")
    found = []
    for row, line in zip(table.rows, table.lines, strict=True):
        moment = read_moment(row[column.index])
        if moment is None or moment.year == 1:
            raise QuantityError(f"Line {line}: {quoted(row[column.index])} is not a date this set can read; write it "
                                "as 2026-07-01.")
        found.append(moment.date())
    return found


_COLUMNS = {      # field: words of its heading, unit, choices to offer, what can be
    "pressure_gauge": (("gauge", "pressure"), "pascal", ("psi", "kPa"), ("-15 psi", "150 psi")),
    "cabinet_temperature": (("cabinet", "box"), "degree_Celsius", ("F", "C"), ("-60 C", "120 C")),
    "air_temperature": (("air temp", "outside", "shade"), "degree_Celsius", ("F", "C"), ("-60 C", "60 C")),
    "hours": (("hours", "meter", "run"), "hour", ("h",), ("0 h", "500000 h")),
    "top_temperature": (("top temp", "surface temp"), "degree_Celsius", ("F", "C"), ("-1 C", "45 C")),
    "bottom_temperature": (("bottom temp", "deep temp"), "degree_Celsius", ("F", "C"), ("-1 C", "45 C")),
    "top_oxygen": (("top oxygen", "top do", "surface oxygen", "surface do"), "milligram / liter", ("mg/L",),
                   ("-0.5 mg/L", "40 mg/L")),
    "bottom_oxygen": (("bottom oxygen", "bottom do", "deep oxygen"), "milligram / liter", ("mg/L",),
                      ("-0.5 mg/L", "40 mg/L")),
}


def read_log(source):
    """Read a log of readings.

    Parameters
    ----------
    source : Path, open file, bytes or str
        A str is the text itself. Headings: date; and any of gauge pressure (psi), cabinet temperature
        (F), air temperature (F), hours run (h, as on the hour meter), top and bottom temperature (F),
        top and bottom oxygen (mg/L).

    Returns
    -------
    Log
        In order of date; a day that stands twice keeps both readings.

    Raises
    ------
    QuantityError
        If there is no date, no known column, or a cell or unit cannot be read.
    """
    table = read_table(source, "log")
    dates = _dates(table)
    order = sorted(range(len(dates)), key=dates.__getitem__)
    values, known = {}, False
    for field, (names, unit, choices, span) in _COLUMNS.items():
        column = find_column(table, *names)
        if column is None:
            values[field] = np.full(len(dates), math.nan)
            continue
        known = True
        numbers = column_numbers(table, column, unit, shortened(column.words, 30), None, choices, span)
        values[field] = np.asarray(numbers, float)[order]
    if not known:
        raise QuantityError("The log has dates but no column this set knows. Write a heading such as 'gauge pressure "
                            "(psi)', 'hours run (h)' or 'top oxygen (mg/L)'.")
    ordered = tuple(dates[i] for i in order)
    return Log(np.array([(d - ordered[0]).days for d in ordered], float), ordered, **values)


def trend(day, values, confidence=0.9):
    """Trend of readings: the middle one of the slopes between all pairs.

    Parameters
    ----------
    day : array
        Days.
    values : array
        Readings; not-a-number is left out.
    confidence : float, optional

    Returns
    -------
    Trend
        Change per day (Range), number of readings, and ``"rising"``, ``"falling"``, ``"steady"`` or,
        with fewer than five readings, ``"too few"``.

    References
    ----------
    P. K. Sen, 1968, Estimates of the regression coefficient based on Kendall's tau, Journal of the
    American Statistical Association 63:1379-1389 (as in scipy).
    """
    day, values = np.asarray(day, float), np.asarray(values, float)
    good = np.isfinite(values)
    if good.sum() < 5 or np.ptp(day[good]) == 0:
        return Trend(Range(math.nan, math.nan, math.nan), int(good.sum()), "too few")
    slope, _, low, high = theilslopes(values[good], day[good], confidence)
    word = "rising" if low > 0 else "falling" if high < 0 else "steady"
    return Trend(Range(float(low), float(slope), float(high)), int(good.sum()), word)


def _last(values, count=3):
    good = values[np.isfinite(values)]
    return float(np.median(good[-count:])) if len(good) else math.nan


def _first(values, count=3):
    good = values[np.isfinite(values)]
    return float(np.median(good[:count])) if len(good) else math.nan


def _shown(value, kind, unit, system, decimals=0):
    """A number with its unit as the reader likes it, to fixed decimals: these are differences of coarse readings."""
    return f"{to_display(value, kind, unit, system):.{decimals}f} {unit_label(KINDS[kind][system != 'US'])}"


def _pressure_flags(log, shift, system):
    moved = _last(log.pressure_gauge) - _first(log.pressure_gauge)
    way = trend(log.day, log.pressure_gauge).word
    change = _shown(abs(moved), "pressure", "Pa", system, 1)
    if moved > shift and way == "rising":
        return [Flag("gauge rising", "act" if moved > 2 * shift else "watch",
                     f"The gauge has risen {change} since the first readings.",
                     "a fouled diffuser, a pinched or iced line, or higher water")]
    if moved < -shift:
        return [Flag("gauge falling", "act" if moved < -2 * shift else "watch",
                     f"The gauge has fallen {change} since the first readings.",
                     "a leak or a loose fitting, a tired compressor, or lower water "
                     f"({'0.43 psi a foot' if system == 'US' else '9.8 kPa a meter'})")]
    return []


def _heat_flags(log, system):
    now, hottest = _last(log.cabinet_temperature, 1), np.max(log.cabinet_temperature, initial=-math.inf,
                                                             where=np.isfinite(log.cabinet_temperature))
    over = log.cabinet_temperature - log.air_temperature
    flags = []
    if now <= CABINET_WARM < hottest:
        when = log.date[int(np.nanargmax(log.cabinet_temperature))]
        flags.append(Flag("cabinet was hot", "watch", "The cabinet reached "
                          f"{_shown(hottest, 'temperature', 'degC', system)} on {when}.",
                          "vents, fan and shade before the next hot spell"))
    if now > CABINET_WARM:
        flags.append(Flag("cabinet hot", "act" if now > CABINET_HOT else "watch",
                          f"The cabinet is at {_shown(now, 'temperature', 'degC', system)}.",
                          "vents, fan and filter; shade; the compressor's own limit on its nameplate"))
    if trend(log.day, over).word == "rising" and _last(over) - _first(over) > 3:
        flags.append(Flag("cabinet warming", "watch",
                          "The cabinet runs "
                          f"{_shown(_last(over) - _first(over), 'temperature rise', 'delta_degC', system)} farther "
                          "above the outside air than it did.", "a clogging filter or vent, or a rising gauge"))
    return flags


def _hour_flags(log, hours_a_day):
    good = np.isfinite(log.hours)
    if hours_a_day is None or good.sum() < 2 or np.ptp(log.day[good]) == 0:
        return []
    gained, days = np.diff(log.hours[good]), np.diff(log.day[good])
    if (gained < 0).any():
        return [Flag("hour meter went back", "watch", "The hour meter reads less than before.",
                     "a new meter, or a misread number")]
    share = gained.sum() / (days.sum() * hours_a_day)
    each = gained / np.where(days > 0, days * hours_a_day, np.inf)
    if share >= 0.9 and each.min() < 0.75 and days[each.argmin()] > 0:
        until = np.array(log.date)[good][each.argmin() + 1]
        return [Flag("gap in hours", "watch", f"It ran {each.min() * 100:.0f} % of the hours planned in the "
                                              "time "
                     f"before {until}.", "a power cut, a tripped outlet, or someone turned it off")]
    return [Flag("short hours", "act" if share < 0.5 else "watch",
                 f"It ran {share * 100:.0f} % of the hours planned.",
                 "the timer, a tripped ground-fault outlet (do not go in the water), power cuts")] \
        if share < 0.9 else []


def _oxygen_flags(log, system):
    flags, now, way = [], _last(log.top_oxygen, 1), trend(log.day[-12:], log.top_oxygen[-12:])
    if now < FLOOR:
        flags.append(Flag("low oxygen", "act" if now < STRESS else "watch",
                          f"The last reading near the top is {now:.1f} mg/L.",
                          "read again at dawn; stop feeding; run all the air there is"))
    elif way.word == "falling" and now + 14 * way.per_day.usual < FLOOR:
        flags.append(Flag("oxygen falling", "watch",
                          f"Oxygen near the top falls by {-way.per_day.usual * 7:.1f} mg/L a week.",
                          "at this rate it is below 4 within two weeks: hours run, algae dying off, heat"))
    apart = log.top_temperature - log.bottom_temperature
    good = np.isfinite(apart)
    if good.any() and apart[good][-1] > LAYERED:
        flags.append(Flag("in layers", "watch",
                          f"The top is {_shown(apart[good][-1], 'temperature rise', 'delta_degC', system)} warmer "
                          "than the bottom.",
                          "too little air or too few hours; start slowly again if the bottom has no oxygen"))
    return flags


@quantities(hours_a_day="hour", pressure_shift="Pa")
def check_log(log, hours_a_day=None, pressure_shift=PRESSURE_SHIFT, system="US"):
    """Signs of trouble in a log.

    Parameters
    ----------
    log : Log
    hours_a_day : quantity, optional
        Hours it should run each day; without it, hours are not judged.
    pressure_shift : quantity, optional
        Change of the gauge worth a look, default 0.5 psi (our choice).
    system : {"US", "metric"}, optional
        Units of the words.

    Returns
    -------
    list of Flag
        Most urgent first; empty when all is well. No flag is no proof of health.
    """
    flags = [*_pressure_flags(log, pressure_shift, system), *_heat_flags(log, system),
             *_hour_flags(log, hours_a_day), *_oxygen_flags(log, system)]
    return sorted(flags, key=lambda flag: flag.level != "act")
