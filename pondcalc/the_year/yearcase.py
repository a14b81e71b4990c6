"""What would first start, year and winter look like in this pond, with and without air, and in words?

Usual numbers put into the model of :mod:`pondcalc.the_year.seasons` for a place given by latitude and height: the year
from the spring mixing on, with air from spring to fall, and the winter alone, with air or none. A picture of how
things go, not a forecast. Then the words: each function turns a result into text for a page, in the reader's units, or
into the section ``year`` of the pond record.
"""

import dataclasses
import datetime
import math
import textwrap
from typing import NamedTuple

import numpy as np
from scipy.optimize import brentq

from .. import air as surface
from .. import water
from ..bubbles_and_oxygen.plume import OFF_BOTTOM
from ..catalogue import ends, usual
from ..how_much_oxygen import oxygen
from ..how_much_oxygen.sources import MUD_KINDS
from ..units import GPM, Q, QuantityError, Range, format_number, read_quantity, show, show_range
from ..warm_over_cold import layers, overturn
from . import firststart, seasons, upkeep, weather, yearsteps

NORTH = ends("year", "latitude")        # degrees, as in `weather.typical_climate`
LATITUDE = usual("year", "latitude")    # degrees north
# kg/s; the middle is what 2 cfm may give water that holds none from 12 ft, at about 15 %; a fifth to twice of it, the
# doubt that workbook 03 finds for a membrane
BUBBLES = Range(*(share * read_quantity("0.3 lb/h").m_as("kg/s") for share in (0.2, 1.0, 2.0)))


def latitude_of(pond, otherwise=LATITUDE):
    """Latitude (degrees) that workbook 07 saved, else `otherwise`; also where the climate was not drawn for it."""
    kept = pond.get("year", "latitude")
    degrees = math.nan if kept is None else float(kept.m_as("dimensionless"))
    return degrees if NORTH[0] <= degrees <= NORTH[1] else otherwise


def floor_of(pond):
    """Oxygen to keep (mg/L): the larger of what workbooks 02 and 07 kept, else the usual one."""
    kept = [pond.get(section, "floor") for section in ("oxygen", "year")]
    return max((float(value.m_as("mg/L")) for value in kept if value is not None), default=usual("oxygen", "floor"))


def bubbles_of(pond):
    """Oxygen (Range, kg/s) that bubbles give: that of workbook 03, else :data:`BUBBLES`.

    That of 03 is for the water the reader named there, which holds some oxygen already, so it is rather too little
    for a pond that has none.
    """
    kept = pond.get("air", "oxygen_by_bubbles")
    return BUBBLES if kept is None else Range(*(max(v.m_as("kg/s"), 0.0) for v in kept))


FIRST_DAY = 80                  # 21 March: the pond is mixed, whatever came before
ICE = 0.005                     # m, a fifth of an inch: a skin that stays overnight counts as ice
WINTER_FIRST, WINTER_DAYS = 305, 181        # 1 November to 30 April
FALL = 31                       # days run before it, so that the water has cooled as water does, slower than the air
# days from the modelled date to the recorded one, 5 and 95 %, six waters alike: `tests/trials/ice.py`
FIRST_ICE, LAST_ICE = (-7, 35), (-23, 26)
THICKEST = (0.65, 1.45)         # of the modelled thickness: greatest of each winter, three waters, the same trial
LAYERS = 10
STEP = 1.5                      # hours
WINTER_STEP = 2.0               # hours: under ice little happens fast
LEAST_DAYS = 200
SUMMER, MID_AUGUST = (182, 243), 226        # 1 July to 31 August; 14 August
BANK = 1.0                      # m, grass banks on an open plain; our choice
ASTRAY = 1.5                    # C, how far these sums were from the bottoms of small sheltered lakes; see tests
# g/(m2 day) at 20 C: what mud takes under ice, in water of 4 C, carried to 20 C
MUD = dict(zip(("lean (sand, clear water)", "in between", "rich (muck, green water)"),
               (rate * oxygen.THETA_MUD ** (20 - 4) for rate in oxygen.MUD), strict=True))
# share of light let through, our choice; it also says how much snow keeps the cold off, see `seasons.SNOW`
SNOW = {"clear black ice": seasons.BARE, "white ice": 0.35, "under snow": seasons.COVERED}
# C below the usual: about one winter in ten. December to February of North Central Wisconsin, 1896 to 1905, varied by
# 2.3 C (standard deviation; monthly summaries of the Wisconsin State Climatology Office), 1.28 of it in a normal spread
WINTERS = {**{ice: (light, 0.0) for ice, light in SNOW.items()}, "under snow, a winter in ten": (seasons.COVERED, 3.0)}


class YearCase(NamedTuple):
    """A year of daily means, without air (first) and with (second); SI, degC, mg/L.

    ``temperature`` and ``oxygen`` are (2, days, layers). ``starved_days`` are those below 1 mg/L in the lowest
    layer, ``above_days`` in the lowest one that lies wholly above the diffuser, whose depth is ``submergence``;
    ``under_share`` is the share of the water under it, which is not stirred.
    """

    day: np.ndarray
    depth: np.ndarray
    temperature: np.ndarray
    oxygen: np.ndarray
    usable: tuple
    overturns: tuple
    starved_days: tuple
    above_days: tuple
    under_share: float
    ice: np.ndarray
    air_days: tuple
    submergence: float
    bottom: "Bottom | None" = None


class Bottom(NamedTuple):
    """What the bottom of a pond without air may stand at in mid-August (degC), and whether a reading narrowed it."""

    low: float
    high: float
    narrowed: bool


class WinterCase(NamedTuple):
    """A winter of daily means, without air and with: oxygen over the whole pond, temperature, ice."""

    day: np.ndarray
    oxygen: np.ndarray
    temperature: np.ndarray
    ice: np.ndarray


def _daily(run, values):
    return run.by_day(values).mean(axis=1)


def air_season(climate):
    """First and last day of the year to run: from three weeks before spring until two weeks after fall.

    Where the air never falls to 10 C (50 F), or never rises to it, or is colder for so short a time that
    the two ends meet, all year.
    """
    dates = upkeep.season_dates(climate)
    if dates["spring"] is None or (dates["spring"] - dates["fall"]) % 365 <= 22 + 14:
        return 1, 365
    return (dates["spring"] - 22) % 365 + 1, (dates["fall"] + 13) % 365 + 1


def iced_days(day, ice):
    """First and last of some days on which there is ice, or None."""
    there = day[ice > ICE]
    return (int(there[0]), int(there[-1])) if len(there) else None


def ice_season(depth, area, latitude, elevation):
    """First and last day of the year with ice in a usual winter without air, or None.

    depth, area, latitude, elevation (quantity): As for :func:`modelled_year`. The mud is the middle one, and snow
        lies on the ice: that is when it stays longest.
    """
    pond = seasons.PondModel(depth, area, ice_light=SNOW["under snow"], layers=LAYERS)
    run, = _winter(latitude, elevation, [(pond, None)])
    found = iced_days(np.arange(WINTER_DAYS) + WINTER_FIRST, _daily(run, run.ice)[FALL:])
    return found and tuple((day - 1) % 365 + 1 for day in found)


def _start_temperature(climate, day):
    """Smooth air temperature of a day, held between 4 and 25 C: a mixed pond lies near it."""
    return float(np.clip(climate.mean_on(day), 4.0, 25.0))


def resting_temperature(hours, shelter):
    """Temperature at which a mixed pond gains and loses the same heat over some weather, held between 4 and 25 C.

    hours (pondcalc.the_year.weather.Weather): A week is enough: a pond follows in 2 days a meter of mean depth or so.
    shelter: Share of the open wind that reaches the pond.
    """
    vapor, warmth = surface.bulk_factors(shelter * hours.wind_speed, hours.air_temperature, hours.air_pressure)

    def gain(t):
        net = (1 - surface.REFLECTED) * hours.sunlight - vapor * (water.vapor_pressure(t) - hours.vapor_pressure) \
            - warmth * (t - hours.air_temperature) + surface.EMISSIVITY * hours.sky_glow
        return float(net.mean()) - surface.EMISSIVITY * surface.SIGMA * (t + water.ZERO_C) ** 4
    return 4.0 if gain(4.0) < 0 else 25.0 if gain(25.0) > 0 else brentq(gain, 4.0, 25.0, xtol=1e-3)


def _winter(latitude, elevation, ponds, colder=0.0):
    """Runs of ponds through :data:`FALL` days of fall and a usual winter there."""
    usual, first = weather.typical_climate(latitude, elevation), WINTER_FIRST - FALL
    climate = dataclasses.replace(usual, mean_temperature=usual.mean_temperature - colder)
    return seasons.run_year(ponds, weather.make_weather(climate, FALL + WINTER_DAYS, first, WINTER_STEP),
                            _start_temperature(climate, first))


def modelled_year(depth, area, latitude, elevation, secchi_depth, shelter, lifted_flow, submergence=None,
                  oxygen_rate=0.0, diffusers=1):
    """A year from 21 March without air, and with air from spring to fall.

    depth, area (arrays of quantity): The pond's shape.
    latitude, elevation (quantity): Of a place with the climate of :func:`pondcalc.the_year.weather.typical_climate`.
    secchi_depth (quantity), shelter: As for :class:`pondcalc.the_year.seasons.PondModel`.
    lifted_flow, submergence (quantity): Water that the bubbles lift; of the diffuser, by default the deepest point.
    oxygen_rate (quantity): Oxygen the bubbles give by themselves to water that holds none, default none.
    diffusers: How many share the lift; thin plumes stop under a warm layer.
    Returns: YearCase: It starts mixed and full of oxygen; the mud is the middle one of :data:`MUD`.
    """
    climate = weather.typical_climate(latitude, elevation)
    before, hours = (weather.make_weather(climate, days, first, STEP) for days, first in ((7, FIRST_DAY - 7),
                                                                                       (365, FIRST_DAY)))
    return year_under(depth, area, hours, air_season(climate), secchi_depth, shelter, lifted_flow, submergence,
                      oxygen_rate, resting_temperature(before, shelter), diffusers)


def year_under(depth, area, hours, air_days, secchi_depth, shelter, lifted_flow, submergence=None, oxygen_rate=0.0,
               temperature=None, diffusers=1):
    """As :func:`modelled_year`, under weather that is given.

    hours (pondcalc.the_year.weather.Weather): At least :data:`LEAST_DAYS`, from midnight on; of more than a year, the
        first year is taken.
    air_days (two numbers): First and last day of the year with air.
    temperature (quantity): Of the mixed pond at the start; by default the :func:`resting_temperature` of the first
        week.
    The other parameters are those of :func:`modelled_year`.
    Raises QuantityError: If the weather is too short.
    """
    rows = round(24 / hours.step)
    days = min(365, len(hours.hour) // rows)
    if days < LEAST_DAYS:
        raise QuantityError(f"The weather covers {days} days. A year with and without air needs at least {LEAST_DAYS}, "
                            "best from March on, when the pond is mixed.")
    hours = _first(hours, days * rows)
    if temperature is None:
        temperature = resting_temperature(_first(hours, 7 * rows), shelter)
    pond = seasons.PondModel(depth, area, secchi_depth, shelter, MUD["in between"], layers=LAYERS)
    air = seasons.Aeration(lifted_flow, oxygen_rate, submergence, first_day=air_days[0], last_day=air_days[1],
                           diffusers=diffusers)
    runs = seasons.run_year([(pond, None), (pond, air)], hours, temperature)
    deep = air.down_to(float(depth[-1]))
    above_air, whole = layers.volume_above(depth, area, [deep, depth[-1]])
    half = (runs[0].depth[1] - runs[0].depth[0]) / 2
    above = max(int(np.count_nonzero(runs[0].depth + half <= deep)) - 1, 0)
    return YearCase(
        int(hours.hour[0] // 24) + 1 + np.arange(days), runs[0].depth,
        np.array([_daily(r, r.temperature) for r in runs]), np.array([_daily(r, r.dissolved_oxygen) for r in runs]),
        tuple(seasons.usable_year(r) for r in runs), tuple(seasons.overturn_days(r) for r in runs),
        tuple(seasons.bottom_oxygen_days(r) for r in runs),
        tuple(seasons.bottom_oxygen_days(r, layer=above) for r in runs), float(1 - above_air / whole),
        np.array([_daily(r, r.ice) for r in runs]), tuple(air_days), deep)


def _first(hours, rows):
    """The first rows of some weather."""
    return hours._replace(**{name: values[:rows] for name, values in hours._asdict().items()
                             if isinstance(values, np.ndarray)})


def bottom_range(depth, area, latitude, elevation, secchi_depth, reading=None):
    """How warm the bottom may be in mid-August without air, where nobody knows how much wind gets at the water.

    depth, area, latitude, elevation, secchi_depth: As for :func:`modelled_year`.
    reading (three numbers): Depth (m) and temperature (degC) of the deepest summer reading, and its day of the year,
        None for some day of July or August.
    Returns: Bottom: From the least and all of the wind of :data:`overturn.SHELTER`, stirring as
        ``yearsteps.sheltered_energy``, to an open plain with banks of :data:`BANK`. With a reading, from those between
        that come within :data:`ASTRAY` of it; where none does, from the nearest to the reading itself.
    """
    climate = weather.typical_climate(latitude, elevation)
    before, hours = (weather.make_weather(climate, days, first, 3.0) for days, first in
                     ((7, FIRST_DAY - 7), (SUMMER[1] - FIRST_DAY + 1, FIRST_DAY)))
    hollow, plain = yearsteps.sheltered_energy(float(area[0])), yearsteps.open_energy(float(area[0]), BANK)
    least, full = overturn.SHELTER[0], overturn.SHELTER[-1]
    known = [(full, hollow), *zip(np.linspace(least, full, 4), np.geomspace(hollow, max(hollow, plain), 4),
                                  strict=True)]
    ponds = [(seasons.PondModel(depth, area, secchi_depth, share, layers=LAYERS, stirring=stirring), None)
             for share, stirring in known]
    runs = seasons.run_year(ponds, hours, np.array([[resting_temperature(before, share)] for share, _ in known]))
    daily = np.array([_daily(run, run.temperature) for run in runs])
    grid = np.linspace(0, len(known) - 1, 81)

    def between(values):
        return np.interp(grid, np.arange(len(known)), values)
    bottom = between(daily[:, MID_AUGUST - FIRST_DAY, -1])
    if reading is None:
        return Bottom(float(bottom.min()), float(bottom.max()), False)
    deep, warm, day = reading
    days = range(SUMMER[0], SUMMER[1] + 1) if day is None else [day]
    off = np.min([np.abs(between([np.interp(deep, runs[0].depth, each[d - FIRST_DAY]) for each in daily]) - warm)
                  for d in days], axis=0)
    fits = bottom[off <= ASTRAY] if off.min() <= ASTRAY else [bottom[off.argmin()], warm]
    return Bottom(float(np.min(fits)), float(np.max(fits)), True)


def summer_reading(pond):
    """Deepest reading of summer that a record of the reader's own keeps, as :func:`bottom_range` takes it, or None."""
    if pond.invented or pond.get("layers", "reading_depth") is None:
        return None
    depth, warmth = (pond.get("layers", f"reading_{name}") for name in ("depth", "temperature"))
    deepest = max(range(len(depth)), key=lambda n: depth[n].m_as("m"))
    try:
        day = datetime.date.fromisoformat(str(pond.get("layers", "read_on", ""))[:10]).timetuple().tm_yday
    except ValueError:
        day = None
    if day is not None and not SUMMER[0] <= day <= SUMMER[1]:
        return None
    return float(depth[deepest].m_as("m")), float(warmth[deepest].m_as("degC")), day


def modelled_winter(depth, area, latitude, elevation, ice_light, sediment_demand, lifted_flow, oxygen_rate=0.0,
                    open_water=30.0, colder=0.0):
    """A winter from 1 November to 30 April, without air and with air day and night.

    depth, area, latitude, elevation, lifted_flow, oxygen_rate (quantity): As for :func:`modelled_year`.
    ice_light: Share of the light that thick ice lets through, see :data:`SNOW`.
    sediment_demand (quantity): Oxygen that the mud uses at 20 C, see :data:`MUD`.
    open_water (quantity): Hole that the bubbles keep open, default 30 m2 (0.007 acre).
    colder: C below the usual winter, default none, see :data:`WINTERS`.
    Returns: WinterCase: On 1 October it is mixed and full of oxygen.
    """
    if not 0 <= ice_light <= 1:
        raise QuantityError(f"The light that ice lets through is a share from 0 to 1; it was given {ice_light:g}.")
    pond = seasons.PondModel(depth, area, sediment_demand=sediment_demand, ice_light=ice_light, layers=LAYERS)
    air = seasons.Aeration(lifted_flow, oxygen_rate, open_water=open_water)
    runs = _winter(latitude, elevation, [(pond, None), (pond, air)], colder)

    def whole(values, run):
        return _daily(run, values @ run.volume / run.volume.sum())[FALL:]
    return WinterCase(np.arange(WINTER_DAYS) + WINTER_FIRST, np.array([whole(r.dissolved_oxygen, r) for r in runs]),
                      np.array([whole(r.temperature, r) for r in runs]),
                      np.array([_daily(r, r.ice)[FALL:] for r in runs]))


LIFTED = Range(1500 * GPM, 3000 * GPM, 4800 * GPM)      # about what 2 cfm lifts from 12 ft, as a range
WIDTH = 72                              # letters in a line of printed text
SAME_DOSE = 1.02                        # high over low volume up to which the two doses read alike
MIXED = 1.0                             # C between top and diffuser that still counts as mixed at dawn; our choice


def lifted_water(pond):
    """Water the diffuser lifts (Range, m3/s): the record's, else :data:`LIFTED`."""
    kept = pond.get("air", "lifted")
    return Range(*(q.m_as("m^3/s") for q in kept)) if kept is not None else LIFTED


def diffusers_of(pond):
    """How many diffusers share the lift: the record's, else one."""
    kept = pond.get("air", "diffusers")
    return 1 if kept is None else float(kept.m_as("dimensionless"))


def flow_text(flow):
    """A flow of water (m3/s) as an explorer takes it."""
    return f"{flow / GPM:.0f} gpm"


def submergence(pond, deepest):
    """Depth of the diffuser (m): the record's, else 2 ft (0.6 m) above the deepest point (m)."""
    kept = pond.get("air", "submergence")
    return min(kept.m_as("m"), float(deepest)) if kept is not None else float(deepest) - OFF_BOTTOM


def mud(pond):
    """What the pond's mud takes at 20 C (Range, g/m2 a day): that of the kind kept by workbook 02, else any mud."""
    return MUD_KINDS.get(pond.get("oxygen", "mud"), firststart.MUD_20C)


def date(day):
    """Day of the year as ``Apr 14``."""
    when = datetime.date(2025, 1, 1) + datetime.timedelta(days=int(round(day - 1)) % 365)
    return f"{when:%b} {when.day}"


def say_ice(dates):
    """First and last day with ice in words; the modelled winter may begin after, or end before, the real one."""
    first, last = ((day - 1) % 365 + 1 for day in dates)
    before = " or before" if first == WINTER_FIRST else ""
    after = " or later" if last == (WINTER_FIRST + WINTER_DAYS - 2) % 365 + 1 else ""
    return f"from {date(first)}{before} to {date(last)}{after}"


def say_ice_range(dates):
    """How far single winters stand from the modelled first and last day with ice."""
    first, last = (" and ".join(date(day + gap) for gap in gaps) for day, gaps in zip(dates, (FIRST_ICE, LAST_ICE),
                                                                                      strict=True))
    return f"by records of six waters, first ice comes between {first} in nine winters of ten, last ice between {last}"


def rounded_down(value):
    """Oxygen (mg/L) as text, rounded down, so that 3.96 does not read as 4.0."""
    return f"{math.floor(10 * value + 1e-6) / 10:.1f}"


def run_text(hours):
    """A run (h) as a timer is set: ``45 min``, ``1 h 15 min``, ``24 h``."""
    whole, minutes = divmod(round(60 * hours), 60)
    return " ".join(([f"{whole} h"] if whole else []) + ([f"{minutes} min"] if minutes or not whole else []))


def say_rise(rise):
    """How much longer each next run is."""
    return f"each next day {run_text(rise)} longer" if rise else "the same each day"


def say_kept(made):
    """What the sums promise of a list of run times that keeps the oxygen, and what they do not speak of."""
    return (f"oxygen stays at or above {rounded_down(made.lowest_oxygen.low)} mg/L at the bad end of every range we "
            "state; gas and ammonia are not counted")


def say_ladder(found, system="US"):
    """The ladder of run times, or why there is none."""
    about = (f"Upper and lower water part at {show(found.boundary, 'depth', system)}; under that lie "
             f"{show(found.lower_volume, 'volume', system)}.")
    if found.course is None:
        return f"{'Go' if found.go else 'Do not start'}. {found.reason}" + ("" if found.go else f" {about}")
    made = found.course
    return (f"{about}\nFirst run {run_text(found.first_run)}, {say_rise(found.rise)}.\nBy these sums {say_kept(made)}. "
            f"At the good end the lowest is {rounded_down(made.lowest_oxygen.high)} mg/L. The lower water is up by day "
            f"{_days(made.finish)}.\nStop when the meter reads below {rounded_down(made.stop_reading)} mg/L.")


def say_ranges(owed, lifted, system="US", mud=firststart.MUD_20C):
    """The ranges that a ladder is tried at, one line each: `owed` (Debts), `lifted` (m3/s), `mud` (g/m2 a day)."""
    def span(ends, kind, unit):
        return show_range(Q(float(ends[0]), unit), Q(float(ends[-1]), unit), kind, system)
    bed, air, pace = (f"{r.low:g} to {r.high:g}" for r in (mud, firststart.EXCHANGE, firststart.SLOW_RATE))
    warmer = show(firststart.WARMER, "temperature rise", system, digits=2)
    return [f"Water lifted to the surface: {span(lifted, 'water flow', 'm3/s')}.",
            f"What a liter of lower water burns at once: {span(owed.fast, 'oxygen', 'mg/L')}; in all: "
            f"{span(owed.whole, 'oxygen', 'mg/L')}. The rest burns over days, {pace} of it a day at 20 °C.",
            f"Mud that comes under the mixed water: {bed} g/m² a day at 20 °C.",
            f"Air, as a speed of exchange: {air} m a day.",
            f"Warmth: from that of the whole pond mixed to {warmer} above the upper water.",
            f"Readings: {firststart.METER_ERROR:g} mg/L too high to {firststart.METER_ERROR:g} too low, and the depth "
            "where the waters part as high as the reading above it (but no less than half as deep)."]


def say_lowest(made):
    """Lowest oxygen of a list of run times at the bad end, usual and at the good end, rounded down; day; verdict."""
    ends = ", ".join(rounded_down(end) for end in made.lowest_oxygen)
    return f"Lowest: {ends} mg/L on day {made.day_of_lowest} - {made.verdict}"


def _days(finish):
    ends = [f"{end:.0f}" if math.isfinite(end) else f"more than {firststart.LONGEST}" for end in finish]
    return f"{ends[1]} (day {ends[0]} to {ends[2]})"


def ladder_rows(made):
    """Each day in words: day, run, least dawn reading to go, oxygen at the end (mg/L), lower water left (%)."""
    return [(str(n + 1), run_text(made.hours[n]), f"{made.go_reading[n]:.1f}",
             f"{made.oxygen.low[3 * n + 1]:.1f} to {made.oxygen.high[3 * n + 1]:.1f}",
             f"{100 * made.left.low[n]:.0f} to {100 * made.left.high[n]:.0f}") for n in range(len(made.hours))]


def ladder_table(made, days=7):
    """The first days: run, oxygen the meter should show at dawn before it and at its end, lower water left."""
    heads = [("day", "run", "go from", "at its end", "lower water"), ("", "", "(mg/L)", "(mg/L)", "left (%)")]
    return "\n".join(f"{day:>3}  {run:>11}  {go:>7}  {end:>10}  {left:>11}".rstrip()
                     for day, run, go, end, left in heads + ladder_rows(made)[:days])


def say_gone(floor, system="US", both=False):
    """Which readings show that the stagnant water is gone; `floor` is the oxygen to keep, mg/L."""
    degrees = show(MIXED, "temperature rise", system, digits=1, both=both)
    return f"at dawn the water beside the diffuser is within {degrees} of the top and holds {floor:.1f} mg/L or more"


def say_after(made, floor, system="US", days=7):
    """What follows the first days of a ladder, and when it may run day and night."""
    gone = (f"The lower water is up when {say_gone(floor, system)}. Expect that by day "
            f"{_days(made.finish)}. From the next day run day and night, and read each dawn for a week more.")
    if len(made.hours) <= days:
        return gone
    later = made.hours[days:]
    run = run_text(later[0]) if later[0] == later[-1] else f"{run_text(later[0])}, rising to {run_text(later[-1])},"
    go = made.go_reading[days:]
    return (f"From day {days + 1}, and to day {len(made.hours)} if it takes so long: {run} on each day whose dawn "
            f"reaches its go reading ({min(go):.1f} to {max(go):.1f} mg/L), else wait a day. {gone}")


def wrapped(lines, mark=""):
    """Lines of text, each broken between words; what is broken off is set in under the first."""
    return "\n".join(textwrap.fill(mark + line, WIDTH, subsequent_indent="  ") for line in lines)


def say_rules(wrap=True):
    """The rules that end or forbid a run, numbered."""
    lines = [f"{n}. {rule}" for n, rule in enumerate(firststart.STOP_RULES, 1)]
    return wrapped(lines) if wrap else "\n".join(lines)


def say_calendar(tasks):
    """Tasks of the year, one line each."""
    when = ["all year" if t.last_day - t.first_day == 364 else f"{date(t.first_day)} to {date(t.last_day)}"
            for t in tasks]
    return "\n".join(f"{days}: {task.name}" for days, task in zip(when, tasks, strict=True))


def say_upkeep():
    """Parts to look after, with the months between as a range, one paragraph each."""
    return wrapped((f"{part.part}: {_months(part.months)}. {part.what[0].upper()}{part.what[1:]}."
                    for part in upkeep.UPKEEP), "- ")


def _months(months):
    if months.high < 2 and months.low == months.high:
        return "every month"
    if months.low < 1:
        return f"every {4 * months.low:.0f} to {4 * months.high:.0f} weeks"
    return f"every {months.low:g} to {months.high:g} months"


def say_flags(flags, wrap=True):
    """Flags of a log, most urgent first, one paragraph each; with `wrap`, broken for a page of printed text."""
    if not flags:
        return "No flag. That is no proof of health: read the pond too."
    lines = [f"{flag.level.upper()}: {flag.words} Check: {flag.check}." for flag in flags]
    return wrapped(lines) if wrap else "\n".join(lines)


def say_copper(made, system="US"):
    """A copper plan in words: whether at all, then how much."""
    if not made.allowed:
        return wrapped(["Do not treat.", *made.reasons])
    low, high = ([show(volume * share, "mass", system, digits=2) for share in (1 / 3, 1 / 2, 1)]
                 for volume in (made.whole_pond.low, made.whole_pond.high))
    times = made.whole_pond.high / made.whole_pond.low
    danger = (f" By the high end it would be {high[0]}, {high[1]} and {high[2]}, {format_number(times, 2)} times as "
              "much. A dose for more water than there is can kill the fish." if times > SAME_DOSE else "")
    return wrapped([f"{made.concentration:.2g} mg/L of copper sulfate crystals at most (pentahydrate, about a quarter "
                    "copper). A product rated as copper, or chelated, goes by its own label, which is the law.",
                    f"Treat a third to a half of the water, then wait {made.days_between[0]:.0f} to "
                    f"{made.days_between[1]:.0f} days. Never treat the whole pond at once.",
                    f"Dose by the low end of the volume: {low[0]} for a third, {low[1]} for a half, {low[2]} for all "
                    f"parts together.{danger}", *made.cautions])


def say_facts(facts):
    """Facts with their sources, as text."""
    return wrapped((f"{fact.words} [{fact.source}]" for fact in facts), "- ")


def year_section(found, lifted, floor, tasks, air_days, winter, latitude, ranges=()):
    """What workbook 07 keeps, as the pond record's section ``year``."""
    made = found.course
    if not found.go:
        start = {"start_rule": f"Do not start now. {found.reason}"}
    else:
        start = {"start_hours": [Q(float(h), "h") for h in (*(made.hours if made else ()), 24.0)],
                 "start_rule": "Mixed pond: run day and night." if made is None else " ".join(
                     say_ladder(found).splitlines()[1:])}
    values = {
        **start, "floor": Q(float(floor), "mg/L"), "stop_reading": Q(float(floor + firststart.METER_ERROR), "mg/L"),
        "lifted": Range(*(Q(float(v), "m3/s") for v in lifted)),
        "air_from": date(air_days[0]), "air_to": date(air_days[1]), "winter": winter,
        "latitude": Q(float(latitude), "dimensionless"), "calendar": say_calendar(tasks).splitlines()}
    if made is not None:
        values["start_ranges"] = list(ranges)
        values["go_reading"] = [Q(float(reading), "mg/L") for reading in made.go_reading]
    if made is not None and math.isfinite(made.finish.high):
        values["days_to_mix"] = Range(*(Q(float(d), "day") for d in made.finish))
    return values
