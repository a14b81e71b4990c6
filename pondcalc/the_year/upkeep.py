"""What does the owner watch and do through the year: log, due tasks, treatments and when none?

A log of a few readings says more than any timer: a rising gauge means a fouled diffuser or line, a falling one means a
leak, a hot cabinet means a blocked vent, a falling oxygen reading means the pond asks for more than it gets. Trends
are found with a method that one wild reading cannot pull; a great jump is told at once, trend or not.

Every dose of a treatment is a volume times a concentration, so it is as far off as the pond volume is. Nothing here
replaces the label. In the United States the label is the law; some states also ask for a permit or a licensed
applicator. Ask before you buy.
"""

import math
import warnings
from typing import Annotated, NamedTuple

import numpy as np
from scipy.stats import theilslopes

from ..how_much_oxygen.fishlimits import FLOOR, STRESS
from ..refusals import Caution
from ..spellings import either, say_left_out
from ..tables import Column, read
from ..textfiles import FieldDataError
from ..units import KINDS, QuantityError, Range, quantities, show, to_display, unit_label
from ..warm_over_cold.overturn import STAGNANT
from ..water import SEA_LEVEL

CABINET_WARM, CABINET_HOT = 40.0, 50.0      # degC, 104 and 122 F; common practice, no source
PRESSURE_SHIFT = 3447.0                     # Pa, 0.5 psi of change worth a look; our choice
JUMP = 2                                    # times that change, from the first reading: told at once; our choice
NEAR = 6.0                                  # mg/L, CCME 1999 (eggs and fry): below it a sure fall is told
CONFIDENCE = 0.9                            # of the range of a trend
TREND_NEEDS, RECENT = 5, 6                  # readings: the least for a trend; those that tell how oxygen goes now
LAYERED = 3.0                               # C between top and bottom: the pond is not mixing; our choice


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


_DATE = Column("date", kind="moment", required=True, gaps=False, bare="date")
_COLUMNS = {      # field: its column
    "pressure_gauge": Column("gauge pressure", (r"\bgauge", r"\bpressure\b"), "pascal", ("psi", "kPa"), "0 psi",
                             "150 psi", without=r"barom|atmos|\bair pressure|water pressure|vapou?r|rain|staff|level"),
    "cabinet_temperature": Column("cabinet temperature", (r"\bcabinet\b", r"\bbox\b"), "degree_Celsius", ("F", "C"),
                                  "-60 C", "120 C"),
    "air_temperature": Column("air temperature", (r"\bair temp", r"\boutside\b", r"\bshade\b"), "degree_Celsius",
                              ("F", "C"), "-60 C", "60 C"),
    "hours": Column("hour meter", (r"hour meter", r"\bhours\b", r"\bmeter\b", r"\brun"), "hour", ("h",), "0 h",
                    "500000 h"),
    "top_temperature": Column("top temperature", (r"\b(top|surface)\b.*\btemp", r"\btemp.*\b(top|surface)\b"),
                              "degree_Celsius", ("F", "C"), "-1 C", "45 C", without=r"\b(air|cabinet|box)\b"),
    "bottom_temperature": Column("bottom temperature", (r"\b(bottom|deep)\b.*\btemp", r"\btemp.*\b(bottom|deep)\b"),
                                 "degree_Celsius", ("F", "C"), "-1 C", "45 C", without=r"\b(air|cabinet|box)\b"),
    "top_oxygen": Column("top oxygen", (r"\b(top|surface)\b",), offer=("mg/L",), low="-0.5 mg/L", high="40 mg/L",
                         kind="oxygen", beside="top temperature"),
    "bottom_oxygen": Column("bottom oxygen", (r"\b(bottom|deep)\b",), offer=("mg/L",), low="-0.5 mg/L",
                            high="40 mg/L", kind="oxygen", beside="bottom temperature")}


def read_log(source, water=SEA_LEVEL):
    """Read a log of readings.

    source (Path, open file, bytes or str): A str is the text itself. Headings: date; and any of gauge pressure (psi),
        cabinet temperature (F), air temperature (F), hour meter (h, what the counter shows), top and bottom
        temperature (F), top and bottom oxygen (mg/L; other units are turned into it).
    water (Water): Its air pressure is for oxygen in percent of saturation.
    Returns: Log: In order of date; a day that stands twice keeps both readings.
    Raises FieldDataError: If there is no date, no known column, or a cell or unit cannot be read.
    """
    table = read(source, (_DATE, *_COLUMNS.values()), "log", "date,gauge pressure (psi)", strict=True, water=water)
    if not any(column.name in table.cells for column in _COLUMNS.values()):
        raise FieldDataError("The log has dates but no column this set knows. Write a heading such as 'gauge pressure "
                             "(psi)', 'hour meter (h)' or 'top oxygen (mg/L)'.")
    for note in (*table.notes, *say_left_out(table.left_out)):
        warnings.warn(Caution(note), stacklevel=2)
    dates = [moment.date() for moment in table["date"]]
    order = sorted(range(len(dates)), key=dates.__getitem__)
    ordered = tuple(dates[at] for at in order)
    return Log(np.array([(d - ordered[0]).days for d in ordered], float), ordered,
               **{field: table[column.name][order] for field, column in _COLUMNS.items()})


def trend(day, values):
    """Trend of readings: the middle one of the slopes between all pairs.

    day, values: Days and readings; not-a-number is left out.
    Returns: Trend: Change per day (Range), number of readings, and ``"rising"``, ``"falling"``, ``"steady"`` or, with
        fewer than five readings, ``"too few"``.
    References: P. K. Sen, 1968, Estimates of the regression coefficient based on Kendall's tau, Journal of the
        American Statistical Association 63:1379-1389 (as in scipy).
    """
    day, values = np.asarray(day, float), np.asarray(values, float)
    good = np.isfinite(values)
    if good.sum() < TREND_NEEDS or np.ptp(day[good]) == 0:
        return Trend(Range(math.nan, math.nan, math.nan), int(good.sum()), "too few")
    slope, _, low, high = theilslopes(values[good], day[good], CONFIDENCE)
    word = "rising" if low > 0 else "falling" if high < 0 else "steady"
    return Trend(Range(float(low), float(slope), float(high)), int(good.sum()), word)


def _first(values, count=3):
    good = values[np.isfinite(values)]
    return float(np.median(good[:count])) if len(good) else math.nan


def _last(values, count=3):
    return _first(values[::-1], count)


def _shown(value, kind, unit, system, decimals=0):
    """A number with its unit as the reader likes it, to fixed decimals: these are differences of coarse readings."""
    return f"{to_display(value, kind, unit, system):.{decimals}f} {unit_label(KINDS[kind][system != 'US'])}"


def _pressure_flags(log, shift, system):
    known = log.pressure_gauge[np.isfinite(log.pressure_gauge)]
    if len(known) < 2:
        return []
    enough = len(known) >= TREND_NEEDS
    moved, jumped = _last(known) - _first(known), known[-1] - (_first(known) if enough else known[0])
    change = _shown(abs(moved), "pressure", "Pa", system, 1)
    fouled = "a fouled diffuser, a pinched or iced line, or higher water"
    leak = ("a leak or a loose fitting, a tired compressor, or lower water "
            f"({'0.43 psi a foot' if system == 'US' else '9.8 kPa a meter'})")
    rising = moved > shift and trend(log.day, log.pressure_gauge).word == "rising"
    if enough and (rising or moved < -shift):
        return [Flag(f"gauge {'rising' if rising else 'falling'}", "act" if abs(moved) > 2 * shift else "watch",
                     f"The gauge has {'risen' if rising else 'fallen'} {change}, from the middle of the first three "
                     "readings to the middle of the last three.", fouled if rising else leak)]
    if abs(jumped) > JUMP * shift:
        return [Flag("gauge jumped", "act" if abs(jumped) > 2 * JUMP * shift else "watch",
                     f"The last gauge reading, {_shown(known[-1], 'pressure', 'Pa', system, 1)}, lies "
                     f"{_shown(abs(jumped), 'pressure', 'Pa', system, 1)} {'above' if jumped > 0 else 'below'} the "
                     "first.", f"read it once more; if it stays, {fouled if jumped > 0 else leak}")]
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
        flags.append(Flag("cabinet warming", "watch", "The cabinet runs "
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
                     "a new meter, a misread number, or the hours of a day where the meter's own reading belongs")]
    share = gained.sum() / (days.sum() * hours_a_day)
    each = gained / np.where(days > 0, days * hours_a_day, np.inf)
    if share >= 0.9 and each.min() < 0.75 and days[each.argmin()] > 0:
        until = np.array(log.date)[good][each.argmin() + 1]
        return [Flag("gap in hours", "watch", f"It ran {each.min() * 100:.0f} % of the hours planned in the time "
                     f"before {until}.", "a power cut, a tripped outlet, or someone turned it off")]
    if share >= 0.9:
        return []
    return [Flag("short hours", "act" if share < 0.5 else "watch", f"It ran {share * 100:.0f} % of the hours planned.",
                 "the timer, a tripped ground-fault outlet (do not go in the water), power cuts")]


def _past_low(name, dates, oxygen, floor):
    """Flag for readings under the floor that are over now."""
    low = np.flatnonzero(oxygen < floor)
    if not len(low):
        return []
    first, last = dates[low[0]], dates[low[-1]]
    when = f"on {first}" if len(low) == 1 else f"on {len(low)} readings from {first} to {last}"
    return [Flag(f"{name} oxygen was low", "watch", f"Oxygen near the {name} was below {floor:.3g} mg/L {when}, at the "
                 f"least {np.nanmin(oxygen):.1f}.",
                 "what went before it: heat, dark days, algae dying off, lost hours")]


def _oxygen_flags(log, system, floor):
    flags, now, deep = [], _last(log.top_oxygen, 1), _last(log.bottom_oxygen, 1)
    good = np.isfinite(log.top_oxygen)
    way = trend(log.day[good][-RECENT:], log.top_oxygen[good][-RECENT:])
    if now < floor:
        flags.append(Flag("low oxygen", "act" if now < STRESS else "watch",
                          f"The last reading near the top is {now:.1f} mg/L.",
                          "read again at dawn; stop feeding; run all the air there is"))
    elif way.word == "falling" and (now < max(NEAR, floor) or now + 14 * way.per_day.usual < floor):
        flags.append(Flag("oxygen falling", "watch",
                          f"Oxygen near the top is {now:.1f} mg/L and falls by {-way.per_day.usual * 7:.1f} mg/L a "
                          "week.", "read at dawn from now on; hours run, algae dying off, heat; stop feeding at "
                          f"{floor:.3g}"))
    else:
        flags += _past_low("top", log.date, log.top_oxygen, floor)
    if deep < floor:
        flags.append(Flag("low oxygen below", "act" if deep < STAGNANT else "watch",
                          f"The last reading near the bottom is {deep:.1f} mg/L.",
                          "a mixed pond has nearly as much below as above, so the bottom tells first: hours run, "
                          "the gauge, algae dying off; below 1 mg/L stop, and start again with short runs"))
    else:
        flags += _past_low("bottom", log.date, log.bottom_oxygen, floor)
    apart = log.top_temperature - log.bottom_temperature
    good = np.isfinite(apart)
    if good.any() and apart[good][-1] > LAYERED:
        flags.append(Flag("in layers", "watch",
                          f"The top is {_shown(apart[good][-1], 'temperature rise', 'delta_degC', system)} warmer "
                          "than the bottom.",
                          "too little air or too few hours; start slowly again if the bottom has no oxygen"))
    return flags


def unjudged(log):
    """What this log is too short or too narrow to tell, a list of words; empty where all can be judged."""
    columns = {"gauge": log.pressure_gauge, "cabinet temperature": log.cabinet_temperature, "hour meter": log.hours,
               "top oxygen": log.top_oxygen, "bottom oxygen": log.bottom_oxygen}
    count = {name: int(np.isfinite(values).sum()) for name, values in columns.items()}
    missing = [name for name, number in count.items() if number == 0]
    short = [f"{name} ({count[name]})" for name in ("gauge", "top oxygen") if 0 < count[name] < TREND_NEEDS]
    said = []
    if short:
        said.append(f"Too few readings to judge a trend: {', '.join(short)}; it needs {TREND_NEEDS}.")
    if count["hour meter"] == 1:
        said.append("One reading of the hour meter tells no hours; it needs two.")
    if missing:
        said.append(f"Not in this log, so not judged: {', '.join(missing)}.")
    return said


@quantities(hours_a_day="hour", pressure_shift="Pa", floor="mg/L")
def check_log(log, hours_a_day=None, pressure_shift=PRESSURE_SHIFT, system="US", floor=FLOOR):
    """Signs of trouble in a log.

    hours_a_day (quantity): Hours it should run each day; without it, hours are not judged.
    pressure_shift (quantity): Change of the gauge worth a look, default 0.5 psi (our choice).
    system ({"US", "metric"}): Units of the words.
    floor (quantity): Oxygen to keep, default 4 mg/L.
    Returns: list of Flag: Most urgent first; empty when all is well. No flag is no proof of health, least of all in a
        short log: see :func:`unjudged`.

    Oxygen near the bottom is judged too: where air mixes the pond it stays within 1 or 2 mg/L of that near
    the top, and it falls first when the pond asks for more than it gets. 3 mg/L is the stress of warm-water
    fish, 6 the guideline for their eggs and fry.
    References: Canadian Council of Ministers of the Environment, 1999, Canadian water quality guidelines for the
        protection of aquatic life: dissolved oxygen (freshwater), Table 1 (6.0 mg/L, early life, warm water).
    """
    floor = max(floor, STRESS)          # below that fish suffer, whatever somebody wants to keep
    flags = [*_oxygen_flags(log, system, floor), *_pressure_flags(log, pressure_shift, system),
             *_heat_flags(log, system), *_hour_flags(log, hours_a_day)]
    return sorted(flags, key=lambda flag: flag.level != "act")


LEAST_ALKALINITY, FULL_ALKALINITY, MOST_COPPER = 50.0, 250.0, 2.5      # mg/L; UF/IFAS FA008
HOT = 29.44                     # degC, 85 F; labels ask for extra care above it


class Fact(NamedTuple):
    """A sentence and where it is from."""

    words: str
    source: str


class CopperPlan(NamedTuple):
    """Whether copper sulfate may be thought of at all, and if so how much."""

    allowed: bool
    reasons: tuple
    cautions: tuple
    concentration: Annotated[float, "mg/L"]
    whole_pond: Annotated[Range, "kg"]
    one_part: Annotated[Range, "kg"]
    days_between: Annotated[tuple, "day"]


COPPER_FACTS = (
    Fact("Measure total alkalinity, not hardness or pH. Copper sulfate in mg/L is alkalinity ÷ 100.",
         "Watson and Yanong, UF/IFAS FA008"),
    Fact("That is copper sulfate crystals or powder (bluestone, the pentahydrate), of which 25 % is copper: 1 mg/L of "
         "them is 0.25 mg/L of copper. A product rated as copper, or chelated, goes by its own label, which is the "
         "law.", "UF/IFAS FA008 for the form; the share by atomic weights"),
    Fact("Below 50 mg/L of alkalinity do not use copper sulfate; above 250 use no more than 2.5 mg/L.",
         "Watson and Yanong, UF/IFAS FA008"),
    Fact("Dying algae stop making oxygen and start using it. With a heavy bloom and no aeration, do not "
         "treat.", "Watson and Yanong, UF/IFAS FA008 (text seen in a copy)"),
    Fact("Labels say: treat a third to a half of the water at a time, 7 to 14 days apart, from the shore "
         "out, with extra care above 85 F.", "registered labels as reproduced on two public pages"),
    Fact("Trout are killed by less copper than other fish. Do not use it with trout unless the label allows.",
         "from memory, not verified"),
)

BACTERIA_FACTS = (
    Fact("Twelve ponds, two years, nobody told which six got bacteria each week: no more fish and no better "
         "use of feed in either year. In the second year ammonia and nitrite were lower and algae higher.",
         "Tucker, Kingsbury and Mischke 2009, North American Journal of Aquaculture 71"),
    Fact("A review found several studies without benefit; one found more fish surviving and no better water.",
         "Boyd and Gross, Use of probiotics for improving soil and water quality in aquaculture ponds"),
    Fact("In trials of 1984 and 1985 treated and untreated ponds were alike in nitrogen, phosphorus, oxygen "
         "demand, algae and numbers of bacteria.", "Boyd and others 1984; Tucker and Lloyd 1985, as summed "
         "up by university extension in 2013"),
    Fact("At best a few inches of muck; mineral mud is not touched; it does not replace dredging.",
         "Penn State Extension, seen second-hand"),
)


@quantities(volume="m^3", concentration="mg/L", gives="kg")
def dose(volume, concentration):
    """Mass that brings a volume to a concentration.

    volume (quantity, or three for a range), concentration (quantity).
    Returns: quantity, or Range of quantity: 1 mg/L in an acre-foot is 1.233 kg (2.72 lb).
    """
    if concentration < 0:
        raise ValueError(f"A concentration is zero or more; it was given {concentration:g} mg/L.")
    ends = sorted(map(float, np.atleast_1d(volume)))
    if ends[0] <= 0:
        raise ValueError("The volume must be above zero.")
    made = Range(*(v * concentration * 1e-3 for v in (ends[0], ends[len(ends) // 2], ends[-1])))
    return made if np.ndim(volume) else made.usual


@quantities(alkalinity="mg/L", gives="mg/L")
def copper_concentration(alkalinity):
    """Copper sulfate crystals (mg/L) that total alkalinity allows; 0 where they must not be used.

    A hundredth of the alkalinity (as calcium carbonate), at most 2.5 mg/L, none below 50.
    References: C. Watson and R. P. E. Yanong, Use of copper in freshwater aquaculture and farm ponds, University of
        Florida IFAS FA008.
    """
    if alkalinity < 0:
        raise ValueError(f"Alkalinity is zero or more; it was given {alkalinity:g} mg/L.")
    return 0.0 if alkalinity < LEAST_ALKALINITY else min(alkalinity / 100, MOST_COPPER)


@quantities(volume="m^3", alkalinity="mg/L", dissolved_oxygen="mg/L", temperature="degC", floor="mg/L",
            gives=CopperPlan)
def copper_plan(volume, alkalinity, dissolved_oxygen, temperature, heavy_bloom, aerated, trout=False,
                floor=FLOOR):
    """Check copper sulfate against alkalinity, oxygen and the label's usual rules, then work the dose.

    volume (three quantities): Pond volume: low, usual, high. A dose needs an honest range.
    alkalinity (quantity): Total alkalinity, measured this season.
    dissolved_oxygen, temperature (quantity): At dawn; of the surface.
    floor (quantity): Oxygen to keep; less than the usual counts as the usual.
    Returns: CopperPlan: ``allowed`` and the ``reasons`` against; cautions; mg/L; mass for the whole pond at the low,
        usual and high volume; mass for one part-treatment, a third to a half at the low volume; days between parts.
        The masses are zero where it is not allowed.

    Dose for the low volume: a dose for more water than there is kills fish, and too little can be mended.
    """
    try:
        low, usual, high = sorted(float(v) for v in volume)
    except (TypeError, ValueError):
        raise QuantityError("The volume must be a range: low, usual and high. One number hides how far off a "
                            "dose may be.") from None
    if not low > 0:
        raise QuantityError("The low end of the volume is nothing, so no dose can be worked out. Sound the pond better "
                            "(workbook 01) before you treat it.")
    concentration = copper_concentration(alkalinity)
    reasons, cautions = [], ["Read the label first; it is the law, and a permit may be needed."]
    if concentration == 0:
        reasons.append(f"Alkalinity is {alkalinity:.0f} mg/L; below 50 copper can kill fish at any useful dose.")
    if trout:
        reasons.append("There are trout, which little copper kills.")
    if heavy_bloom and not aerated:
        reasons.append("There is a heavy bloom and no aeration: the dying algae could take all the oxygen.")
    floor = max(floor, FLOOR)
    if dissolved_oxygen < floor:
        reasons.append(f"Oxygen at dawn is {dissolved_oxygen:.1f} mg/L, below {floor:g}: nothing may use more of it "
                       "now.")
    if temperature > HOT:
        cautions.append(f"The water is {show(temperature, 'temperature', digits=2, both=True)}, "
                        f"above {either('85 °F', '29 °C')}: it holds little oxygen. Wait, or treat smaller parts.")
    if alkalinity > FULL_ALKALINITY:
        cautions.append("Alkalinity is above 250 mg/L, so the dose is held at 2.5 mg/L.")
    if high / low > 1.25:
        cautions.append(f"The volume is known only within a factor of {high / low:.2f}, and so is the dose. "
                        "Sound the pond before you treat it.")
    allowed = not reasons
    used = concentration if allowed else 0.0
    whole = Range(*(v * used * 1e-3 for v in (low, usual, high)))
    part = Range(whole.low / 3, whole.low * 5 / 12, whole.low / 2)
    return CopperPlan(allowed, tuple(reasons), tuple(cautions), concentration, whole, part, (7.0, 14.0))


EARLY = 21                      # days that a real winter may come before, or end after, a usual one; our choice


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


# common practice, no source; the maker's manual comes first
UPKEEP = (
    Upkeep("air filter", Range(1, 3, 6), "plug out; clean or replace; more often in dust and seed fluff"),
    Upkeep("cabinet vents and fan", Range(1, 3, 6), "clear of leaves, nests and mice; feel that air moves"),
    Upkeep("gauge reading", Range(0.25, 0.5, 1), "write it down with the date"),
    Upkeep("diffuser", Range(12, 24, 36), "lift and clean when the gauge says so"),
    Upkeep("diaphragms, vanes or piston seals", Range(12, 24, 36),
           "replace as the manual says; plug out, and a run capacitor stays charged: for someone trained"),
    Upkeep("ground-fault outlet", Range(1, 1, 1), "press TEST; it must cut off (CPSC: monthly)"),
    Upkeep("line and fittings", Range(6, 12, 12), "soap and listen for leaks; look where it enters the water"),
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
    half = 365 / (2 * math.pi) * math.acos((level - climate.mean_temperature) / climate.yearly_swing)
    return tuple(int(round(d)) % 365 or 365 for d in (climate.warmest - half, climate.warmest + half))


def season_dates(climate):
    """Days that mark the pond's year, from the smooth air temperature of a climate.

    Returns: dict: ``spring`` and ``fall``: air rises and falls through 10 C (50 F); ``hot``: above 22 C (72 F), first
        and last day. None where it never happens.
    """
    mild, hot = (_crossings(climate, level) for level in (10.0, 22.0))
    return {"spring": mild and mild[0], "fall": mild and mild[1], "hot": hot}


def calendar(climate, ice=None):
    """Tasks of the year for a place, in order of the day they start.

    ice (two numbers): First and last day of the year with ice on this pond, see
        :func:`pondcalc.the_year.yearcase.ice_season`; without it there are no tasks for ice.
    Returns: list of Task: Dates follow the climate's mean; a real year may be three weeks off either way, so what
        must be done before the ice ends three weeks before it, and what guards the ice begins then.
    """
    dates = season_dates(climate)

    def day(d):
        return int(round(d - 1)) % 365 + 1
    tasks = [Task("read the gauge and the cabinet thermometer", 1, 365, "catches fouling, leaks and heat early",
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
    if ice:
        first, last = ice
        tasks += [Task("decide about winter air before the first ice; ask about permits and signs",
                       day(first - 60), day(first - EARLY), "open water and thin ice are a duty to the public",
                       "Minnesota DNR; Wis. Stat. 167.26"),
                  Task("if air runs: signs and rope up, and look at them every week", day(first - EARLY),
                       day(last + EARLY), "the hole moves and the ice around it is weak", "Minnesota DNR notices"),
                  Task("drain low spots in the line, keep the shore end from freezing", day(first - 45),
                       day(first - EARLY), "water in the line freezes and blocks the air",
                       "common practice, no source")]
    return sorted(tasks, key=lambda task: task.first_day)
