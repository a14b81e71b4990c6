"""Workbook 07: explorers of first days, year, winter, log and calendar, and the forms for first start and weather."""

import functools
import re
import warnings
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from .. import air, datafiles, findings, record
from ..bubbles_and_oxygen import plume
from ..catalogue import ROWS, held
from ..figures import style
from ..figures import the_year as draw
from ..how_much_oxygen.fishlimits import FLOOR, KILL, STRESS
from ..how_much_water import handvolume
from ..refusals import Caution, plainly
from ..spellings import either, quoted, shortened
from ..the_year import firststart, upkeep, weather, yearcase
from ..units import FOOT, Q, QuantityError, Range, asked, show, show_range
from ..warm_over_cold import overturn, profile
from ..your_plan import verdict
from .explorer import Choice, Explorer, Slider
from .ownform import Box, FileOrText, OwnForm, plain, read_all

WORKBOOK = "07-first-start-and-the-year"
SPREAD = (0.5, 1.0, 1.6)            # low, usual and high of the lifted water, as shares of the usual
MINE = "My own readings"
SIZES = np.geomspace(0.0063, 0.63, 9)           # m3/s, 100 to 10,000 gpm


def demo_profile(month="july"):
    """Readings of the demonstration pond in july, september, october or february."""
    return profile.read_profile(datafiles.path(f"demo-profile-{month}.csv"))


def _profiles(pond):
    found = {"July: warm over cold": demo_profile("july"), "September: a thin lower layer": demo_profile("september"),
             "October: mixed": demo_profile("october")}
    mine = _own(pond)
    return {MINE: mine, **found} if mine is not None else found


def _own(pond):
    """The readings of workbook 05, where the reader has saved some with oxygen."""
    kept = findings.pond_profile(pond) if pond.has("layers") and not pond.invented else None
    return kept if kept is not None and kept.dissolved_oxygen is not None else None


def _basin(pond):
    """Depth and area of the pond's shape (m, m2), and depth of its diffuser (m)."""
    depth, area = findings.pond_shape(pond)
    return depth, area, yearcase.submergence(pond, depth[-1])


def _demand(pond):
    """What workbook 05 found stagnant water to take (Range, mg/L); None where its readings show no such water."""
    owed = findings.pond_demand(pond)
    return owed if max(owed) > 0 else None


def _water(pond):
    """Under the air over the pond, at the height the rest of this workbook starts from."""
    return air.pond_water(held(pond, "site", "elevation"))


def _left_out(read, deep, system):
    """Words about depths (m) that readings leave out down to the diffuser, or none; whether the layers part there."""
    spans, hides_layers = firststart.unread(read, deep)
    if not spans:
        return "", False
    missing = " and ".join(show_range(*span, "depth", system) for span in spans)
    return (f"nothing was read from {missing}. Read every foot or two (30 to 60 cm) from the surface down to the "
            "diffuser, and check that the depths are in the unit of their heading." + (
                " Where the layers part, and so how much stagnant water there is, lies in what was left out, and the "
                "hours depend on it." if hides_layers else "")), hides_layers


def _low_floor(floor):
    """Words about oxygen to keep that fish cannot bear, or none."""
    return "" if floor >= STRESS else (
        f" But {floor:.1f} mg/L to keep is too low to plan with: most warm-water fish are stressed below "
        f"{STRESS:.0f}, and some die below {KILL:.0f}.")


def ladder(pond, system="US"):
    """Try a ladder of run times: does the oxygen to keep last?"""
    (depth, area, deep), profiles, mud = _basin(pond), _profiles(pond), yearcase.mud(pond)
    owed, water = _demand(pond), _water(pond)
    doubt, hides_layers = _left_out(profiles[MINE], deep, system) if MINE in profiles else ("", False)

    def asked_of(readings, lifted, floor):
        return ((depth, area, profiles[readings], [lifted * s for s in SPREAD], deep),
                {"floor": floor, "demand": owed if readings == MINE else None, "mud": mud, "water": water})

    @functools.lru_cache(1)         # the run times do not move it
    def quickest(*where):
        here, known = asked_of(*where)
        return firststart.quickest_ladder(*here, **known)

    def model(readings, lifted, floor, first_run, rise):
        here, known = asked_of(readings, lifted, floor)
        made = firststart.course(*here, firststart.ladder_hours(max(first_run, firststart.STEP), rise), **known)
        if readings == MINE and hides_layers:
            raise QuantityError(f"in your own readings {doubt}")
        found = quickest(readings, lifted, floor)
        return SimpleNamespace(made=made, quickest=found.course, found=found, floor=floor,
                               custom=firststart.COMMON_HOURS, stop=made.stop_reading)
    return Explorer("A ladder of run times for the first days", model, draw.ladder,
                    lambda shown, system: f"{_say_ladder(shown, system)} {findings.say_second(pond, system)}".rstrip(),
                    [Choice("readings", "Readings", {words: words for words in profiles}, next(iter(profiles))),
                     Slider.of("year", "lifted", yearcase.flow_text(yearcase.lifted_water(pond).usual)),
                     _floor_slider(pond),
                     Slider("first_run", "First run", "run", "15 min", "1440 min", "1440 min", unit="h", step=15),
                     Slider("rise", "Longer each day by", "run", "0 min", "240 min", "0 min", unit="h", step=15)],
                    presets={"30 minutes at first": {"first_run": "30 min", "rise": "30 min"},
                             "Full power at once": {"first_run": "1440 min", "rise": "0 min"},
                             "An hour each day": {"first_run": "60 min", "rise": "0 min"}},
                    system=system, size=(style.WIDTH, 4.9))


def _floor_slider(pond):
    return Slider.of("oxygen", "floor", f"{yearcase.floor_of(pond):.3g} mg/L")


def _judged(made, floor):
    """What the sums say of a list of run times, in words that promise no more."""
    if made.verdict == firststart.NOT_KEPT:
        return "is too fast, even in the usual case"
    if made.verdict == firststart.NOT_AT_BAD_END:
        return "is not kept: enough in the usual case, not at the bad end"
    share, most = (f"{100 * part:.0f} %" for part in (made.lifted_share, firststart.DAILY_SHARE))
    if made.lifted_share > firststart.DAILY_SHARE + 1e-9:
        return (f"is not one to follow, though by these sums the oxygen lasts: it lifts {share} of the lower water in "
                f"one day. While nobody has measured what that water takes, {most} is the most here"
                + (". Full power on the first day can kill the fish of a layered pond" if made.hours[0] == 24 else ""))
    if not np.isfinite(made.finish.high):
        return f"may leave lower water down after {firststart.LONGEST} days, and is not one to follow"
    if floor < STRESS:
        return "keeps so low an aim at the bad end of every range, which is not enough for fish"
    return f"is kept: {yearcase.say_kept(made)}"


def _say_ladder(result, system):
    made, found = result.made, result.found
    if found.go and found.course is None:
        return "These readings show a mixed pond. There is no stagnant layer to bring up: run day and night from day 1."
    runs = ", ".join(yearcase.run_text(run) for run in made.hours[:3])
    usual, low = (yearcase.rounded_down(end) for end in (made.lowest_oxygen.usual, made.lowest_oxygen.low))
    first = (f"This ladder ({runs} on the first days) {_judged(made, result.floor)}. Oxygen of the top water falls to "
             f"{usual} mg/L, at the bad end to {low} on day {made.day_of_lowest}, against {result.floor:.1f} to keep."
             f"{_low_floor(result.floor)} ")
    first += (f"The lower water is up on day {made.finish.usual:.0f}. " if np.isfinite(made.finish.usual) else
              f"The lower water is not up in {firststart.LONGEST} days. ")
    if not found.go:
        return first + found.reason
    return first + (f"The quickest ladder kept starts with {yearcase.run_text(found.first_run)}, "
                    f"{yearcase.say_rise(found.rise)}, and clears the pond by about day "
                    f"{found.course.finish.usual:.0f}.")


def custom(pond, system="US"):
    """For which ponds and diffusers does 30 minutes, doubled each day, keep the oxygen?"""
    (depth, area, deep), read = _basin(pond), _own(pond) or demo_profile()
    bottom = float(depth[-1])
    owed = firststart.debts(depth, area, read, firststart.parting(read, deep).usual, _demand(pond))
    water = _water(pond)

    def model(boundary, oxygen, floor, demand):
        if boundary > firststart.MOST_DEPTH * deep:
            raise ValueError("the layers part below the diffuser, so it lifts no stagnant water. Choose a boundary "
                             "nearer the top.")
        here = profile.Profile([0, boundary, boundary + 1e-6, bottom], [27.0, 27.0, 15.0, 15.0],
                               [oxygen, oxygen, 0.1, 0.1])
        rows = firststart.custom_by_flow(depth, area, here, SIZES, deep, SPREAD, floor,
                                         [demand * s for s in overturn.DEMAND_SPREAD], water)
        return SimpleNamespace(lifted=SIZES, rows=rows, floor=floor)
    return Explorer("What does 30 minutes, doubled each day, do?", model, draw.custom, _say_custom,
                    [Slider("boundary", "Depth where the layers part", "depth", "1 ft", "13 ft", "4.5 ft", step=0.5),
                     Slider("oxygen", "Oxygen above, at dawn", "oxygen", "3 mg/L", "11 mg/L", "6 mg/L", step=0.1),
                     _floor_slider(pond),
                     Slider.of("layers", "demand", f"{min(owed.fast.usual, 8):.1f} mg/L", label="Deep water burns")],
                    presets={"Thin stagnant layer": {"boundary": "11 ft", "oxygen": "7.5 mg/L", "demand": "3 mg/L"},
                             "Thick stagnant layer": {"boundary": "3 ft"},
                             "Black, smelly deep water": {"demand": "8 mg/L"}}, system=system)


def _say_custom(result, system):
    def between(name):
        at = [flow for flow, made in zip(result.lifted, result.rows, strict=True) if made.verdict == name]
        ends = [show(f, "water flow", system, digits=2) for f in (at[0], at[-1])] if at else None
        return ends and (ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}")
    words = {firststart.KEPT: "keeps the oxygen at the bad end of every range",
             firststart.NOT_AT_BAD_END: "keeps it in the usual case but not at the bad end",
             firststart.NOT_KEPT: "is too fast even in the usual case"}
    parts = [f"it {says} for diffusers that lift {between(name)}" for name, says in words.items() if between(name)]
    near = min(range(len(result.lifted)), key=lambda n: abs(np.log(result.lifted[n] / yearcase.LIFTED.usual)))
    size = show(result.lifted[near], "water flow", system, digits=2)
    ends = " to ".join(yearcase.rounded_down(end) for end in (result.rows[near].lowest_oxygen.low,
                                                              result.rows[near].lowest_oxygen.high))
    return ("30 minutes, doubled each day, in a pond of this shape layered like this: " + "; ".join(parts)
            + f". At {size} the lowest oxygen is "
            f"{ends} mg/L. Gas and ammonia are not counted. The oxygen to keep is {result.floor:.1f} mg/L."
            f"{_low_floor(result.floor)}")


class North(Box):
    """A latitude, which people write as 38.5, 38.5° or 38.5 N."""

    def read(self):
        """The latitude typed, else QuantityError that names the box."""
        text = self.value.strip()
        number = re.fullmatch(r"([-−]?\d+(?:\.\d+)?)\s*(?:°|deg\.?|degrees?)?\s*(N|S)?(?:orth|outh)?\.?", text, re.I)
        if number is None:
            raise self.refused(f"{quoted(text)} is not a latitude." if text else "is empty.",
                               f"Write degrees north as a number, for example {self.example}.", text)
        degrees = float(number[1].replace("−", "-"))
        low, high = float(self.low), float(self.high)
        if (number[2] or "N").upper() == "S" or not low <= degrees <= high:
            raise self.refused(f"{shortened(text, 40)} is outside {low:g} to {high:g} degrees north, the range this "
                               "climate was drawn for.", given=text)
        return Q(degrees, "degree")


def _bearable(floor):
    """Oxygen to keep, unless it would harm the fish."""
    if floor.check("[mass]/[length]**3") and floor.m_as("mg/L") < STRESS:
        raise QuantityError(f"{floor.m_as('mg/L'):g} mg/L would harm the fish you want to keep. Most warm-water fish "
                            f"are stressed below {STRESS:.0f} mg/L and some die below {KILL:.0f} (Texas A&M AgriLife). "
                            f"Write {STRESS:.0f} or more; {FLOOR:.0f} is usual.")
    return floor


class OwnStart(OwnForm):
    """The reader's readings and lifted water in; a ladder, its rules and a picture out; saved to the record."""

    _known = {"floor": ("floor", "oxygen"), "latitude": ("latitude", "number"), "winter": ("winter", "number")}
    _begun = {"profile": "layers", "lifted": "air", "demand": "layers", "floor": "oxygen"}

    def __init__(self, pond, system="US"):
        self._pond, self._system = pond, system
        kept, lifted = _own(pond), yearcase.lifted_water(pond)
        shown = kept or (demo_profile() if pond.invented else None)
        owed = (_demand(pond) if shown else None) or (0.0, 0.0, 0.0)
        super().__init__("my own first start and year", {
            "profile": W.Textarea(value=_as_text(shown, system) if shown else "", rows=8,
                                  description="Readings at dawn, in your own pond",
                                  placeholder=_as_text(demo_profile(), system)),
            "lifted": {end: Box.of("year", "lifted", system, yearcase.flow_text(flow) if system == "US" else
                                   plain(Q(flow, "m^3/s"), "water flow", system), f"Water lifted, {end}")
                       for end, flow in zip(("low", "usual", "high"), lifted, strict=True)},
            "demand": {end.removeprefix("at "): Box.of(
                "layers", "demand", system, f"{value:.1f} mg/L" if value else "",
                f"Oxygen stagnant water takes, {end}", optional=True)
                for end, value in zip(("usual", "at most"), owed[1:], strict=True)},
            "floor": self._box("oxygen", "floor", convert=_bearable,
                               value=plain(Q(held(pond, "oxygen", "floor"), "mg/L"), "oxygen", system)),
            "latitude": North.of("year", "latitude", system, f"{yearcase.latitude_of(pond):.10g}"),
            "winter": self._list("year", "winter", [verdict.OPEN, verdict.NO_AIR, verdict.WITH_AIR, verdict.NO_ICE],
                                 verdict.OPEN)},
            "year", WORKBOOK)

    def _kept(self):
        """As in every form, but nothing of the demonstration pond."""
        if self._pond.invented:
            raise ValueError("this is the demonstration pond. Start your own in workbook 00, find its water in 01, "
                             "then run this workbook again.")
        if not self._pond.has("water"):
            raise ValueError("this record has no volume yet, so the numbers are those of the demonstration pond. Do "
                             "workbook 01 for your pond first, then run this workbook again.")
        return self.values

    def _read(self):
        """Lifted water (m3/s) and demand (mg/L) as ranges, floor and latitude, or QuantityError that names the box."""
        typed = read_all(low=self.lifted[0], usual=self.lifted[1], high=self.lifted[2], floor=self.floor,
                         latitude=self.latitude, owed=self.demand[0], most=self.demand[1])
        lifted = [typed[end].m_as("m^3/s") for end in ("low", "usual", "high")]
        if lifted != sorted(lifted):
            raise QuantityError("the water lifted must not fall from low to usual to high; it reads "
                                f"{', '.join(box.value for box in self.lifted)}.")
        floor = typed["floor"].m_as("mg/L")
        owed, most = (typed[end].m_as("mg/L") if end in typed else None for end in ("owed", "most"))
        return lifted, self._spread(owed, most), floor, typed["latitude"].m_as("degree")

    def _spread(self, usual, most):
        """Demand (Range, mg/L) from the two boxes: with one empty, as wide as workbook 05's; None with both empty."""
        low, _, high = overturn.DEMAND_SPREAD
        if usual is None and most is None:
            return None
        usual = most / high if usual is None else usual
        most = usual * high if most is None else most
        if most < usual:
            raise self.demand[1].refused(f"{most:g} mg/L is less than the usual {usual:g}.",
                                         "Write as much or more, or leave it empty.")
        return Range(low * usual, usual, most)

    def _readings(self, pond_depth, deep):
        """The readings typed; refused where they end too early, or do not show where the layers part."""
        name = self.profile.description
        if not self.profile.value.strip():
            raise QuantityError("is empty.", "Read temperature and oxygen from top to bottom and save them in workbook "
                                "05, or write them here like the gray lines.", what=name)
        try:
            read = profile.read_lines(self.profile.value, self._system, Q(pond_depth, "m"),
                                      water=_water(self._pond))
        except QuantityError as problem:
            raise QuantityError(plainly(problem), what=name) from None
        early = "" if read.dissolved_oxygen is None else firststart.unread_below(read, deep, pond_depth)
        if early:
            raise QuantityError(early, what=name)
        words, hides_layers = _left_out(read, deep, self._system)
        if hides_layers:
            raise QuantityError(words, what=name)
        if words:
            warnings.warn(Caution(words[0].upper() + words[1:]), stacklevel=2)
        return read

    def _found(self):
        depth, area, deep = _basin(self._pond)
        lifted, demand, floor, latitude = self._read()
        read = self._readings(float(depth[-1]), deep)
        mud = yearcase.mud(self._pond)
        found = firststart.quickest_ladder(depth, area, read, lifted, deep, floor, demand, mud=mud,
                                           water=_water(self._pond))
        climate = weather.typical_climate(latitude, held(self._pond, "site", "elevation"))
        words, picture = [yearcase.say_ladder(found, self._system)], ""
        words += filter(None, [findings.say_second(self._pond, self._system)])
        if not self._pond.has("water"):
            words.insert(0, "This record has no volume yet, so the water of the demonstration pond stands in.")
        ranges = ()
        if found.first_run < 24 or found.course is not None:
            owed = firststart.debts(depth, area, read, found.boundary, demand)
            ranges = yearcase.say_ranges(owed, lifted, self._system, mud)
            words += ["The ranges we state:", *(f"- {line}" for line in ranges)]
        if found.course is not None:
            words += [yearcase.say_after(found.course, floor, self._system), "", yearcase.say_rules(wrap=False)]
            shown = SimpleNamespace(made=found.course, quickest=None, custom=firststart.COMMON_HOURS, floor=floor,
                                    stop=found.course.stop_reading)
            picture = _table(found.course) + self._drawn("own-start", f"My first start. {words[0]}", draw.ladder, shown,
                                                         self._system, size=(style.WIDTH, 4.9))
        ice = yearcase.ice_season(depth, area, latitude, climate.elevation)
        values = yearcase.year_section(found, lifted, floor, upkeep.calendar(climate, ice),
                                       yearcase.air_season(climate), self.winter.value, latitude, ranges)
        return "\n".join([*words, self._say_winter(latitude, floor)]), values, picture

    def _say_winter(self, latitude, floor):
        """The decision on winter, checked against the oxygen to keep that stands in the form."""
        made, decision = verdict.winter_of(self._pond, latitude, floor), self.winter.value
        return f"Winter: {decision}. {verdict.say_winter(made, decision, self._system)}"


HEADS = ("Day", "Run", "Go if dawn reads (mg/L)", "At its end (mg/L)", "Lower water left (%)")


def _table(made, days=7):
    """HTML of the whole ladder: the first days, the others folded away."""
    head = "".join(f'<th scope="col" style="padding:2px 8px;text-align:right">{words}</th>' for words in HEADS)

    def table(rows):
        look = "padding:2px 8px;text-align:right;white-space:nowrap"
        body = "".join("<tr>" + "".join(f'<td style="{look}">{cell}</td>' for cell in row) + "</tr>" for row in rows)
        return f'<table style="border-collapse:collapse;margin:4px 0"><tr>{head}</tr>{body}</table>'
    rows = yearcase.ladder_rows(made)
    more = (f"<details><summary>Day {days + 1} to {len(rows)}, if it takes so long</summary>{table(rows[days:])}"
            "</details>" if len(rows) > days else "")
    return f'<div style="max-width:700px;overflow-x:auto">{table(rows[:days])}{more}</div>'


def _as_text(read, system="US"):
    """Readings as lines a person can type over."""
    return "\n".join((f"{z / FOOT:.1f} ft  {t * 1.8 + 32:.1f} F" if system == "US" else f"{z:.2f} m  {t:.1f} C")
                     + (f"  {c:.1f}" if np.isfinite(c) else "")
                     for z, t, c in zip(read.depth, read.temperature, read.dissolved_oxygen, strict=True))


YEAR_SIZE = (style.WIDTH, 5.1)
SITUATIONS = {
    "Some algae, air running": {}, "Heavy bloom, no air": {"heavy_bloom": True, "aerated": False},
    "Heavy bloom, air running": {"heavy_bloom": True}, "Trout in the pond": {"trout": True},
    "Heat wave, water at 88 °F (31 °C)": {"temperature": 31.1}}


def _place(pond):
    return [Slider.of("year", "latitude", f"{yearcase.latitude_of(pond)}"),
            Slider.of("site", "elevation", f"{held(pond, 'site', 'elevation')} m", high="6000 ft")]


def year(pond, system="US"):
    """Temperature, oxygen and room for fish through the year, without air and with."""
    depth, area, deep = _basin(pond)
    bubbles, usual = yearcase.bubbles_of(pond).usual, yearcase.lifted_water(pond).usual
    count, reading = yearcase.diffusers_of(pond), yearcase.summer_reading(pond)
    bottom = functools.lru_cache(lambda *place: yearcase.bottom_range(depth, area, *place, reading))

    def model(latitude, elevation, secchi, shelter, lifted):
        # a still pond far south may pass 40 °C (104 °F) at the top for an hour
        with warnings.catch_warnings(action="ignore"):
            share = plume.air_that_lifts(lifted / count, deep) / plume.air_that_lifts(usual / count, deep)
            made = yearcase.modelled_year(depth, area, latitude, elevation, secchi, shelter, lifted, deep,
                                          bubbles * share, count)
            return made._replace(bottom=bottom(latitude, elevation, secchi))
    return Explorer("A year without air and with it", model, draw.year, say_year,
                    [*_place(pond),
                     Slider.of("year", "secchi_depth", to="secchi"), Slider.of("year", "shelter"),
                     Slider.of("year", "lifted", yearcase.flow_text(usual))],
                    presets={"Murky pond": {"secchi": "1 ft"}, "Woods all round": {"shelter": "25 %"},
                             "A trickle of air": {"lifted": "100 gpm"}},
                    system=system, size=YEAR_SIZE, live=False)


def say_year(result, system):
    """A YearCase in words."""
    apart = result.temperature[0, :, 0] - result.temperature[0, :, -1]
    hot = 226 - int(result.day[0]) if result.day[0] <= 226 <= result.day[-1] else int(apart.argmax())
    ends = [[show(result.temperature[n, hot, at], "temperature", system) for at in (0, -1)]
            for n in (0, 1)]
    when = "In mid-August" if result.day[hot] == 226 else f"On {yearcase.date(int(result.day[hot]))}"
    begin, end = (yearcase.date(day) for day in result.air_days)
    runs = "all year" if tuple(result.air_days) == (1, 365) else f"from {begin} to {end}"
    return " ".join([
        f"Air runs {runs}. {when} the top and the bottom stand at {ends[0][0]} and {ends[0][1]} without "
        f"air, {ends[1][0]} and {ends[1][1]} with it.", *_say_bottom(result, hot, system),
        *_say_deep(result), _say_fish(result), _say_turns(result)])


def _say_bottom(result, hot, system):
    """How far the bottom without air, and what air does to it, may be from what is drawn."""
    if result.bottom is None:
        return
    low, high, narrowed = result.bottom
    span = show_range(low, high, "temperature", system)
    warmed = float(result.temperature[1, hot, -1])
    rise = [max(0.0, round(warmed - end)) for end in (high, low)]
    effect = f"may warm it by {show_range(*rise, 'temperature rise', system)}" if max(rise) > 0 else "hardly warms it"
    known = "With your own readings of workbook 05" if narrowed else "Without readings of your own"
    yield (f"How much wind stirs a pond decides how warm its bottom is, and no map tells it. {known} the bottom "
           f"without air may stand anywhere from {span}, so air {effect}."
           + ("" if narrowed else " A summer profile saved in workbook 05 narrows that."))


def _days(number):
    return "no day" if number == 0 else "1 day" if number == 1 else f"{number} days"


def _say_deep(result):
    """Days without oxygen just above the diffuser, and under it where the bubbles do not stir."""
    without, with_air = result.above_days
    yield f"Just above the diffuser the water is below 1 mg/L on {_days(without)} without air and on " \
          f"{_days(with_air)} with it."
    if result.starved_days[1] > with_air + 10:
        yield (f"Under the diffuser nothing stirs: that last {100 * result.under_share:.1f} % of the water is short on "
               f"{_days(result.starved_days[1])} even with air.")


def _say_fish(result):
    without, with_air = (used.squeezed_days for used in result.usable)
    if not without and not with_air:
        return "Bass and bluegill always find at least a tenth of the water fit."
    more = (" More with air, because stirring shares what little oxygen the light makes and warms the mud, which then "
            "uses more. Such a pond needs more oxygen put in, not more stirring." if with_air > without + 5 else "")
    return (f"Bass and bluegill find less than a tenth of the water fit on {_days(without)} without air and on "
            f"{_days(with_air)} with it.{more}")


def _say_turns(result):
    dates = [", ".join(yearcase.date(found.day) for found in each) for each in result.overturns]
    if dates[0] == dates[1]:
        return f"With and without air it overturns on {dates[0]}." if dates[0] else "It does not overturn."
    without, with_air = (f"overturns on {each}" if each else "does not overturn" for each in dates)
    return f"After lying in layers it {without} without air; with air it {with_air}."


def winter(pond, system="US"):
    """Does the oxygen last the winter, and what does air change?"""
    depth, area = findings.pond_shape(pond)
    above_sea, floor = held(pond, "site", "elevation"), yearcase.floor_of(pond)
    lifted, gives = yearcase.lifted_water(pond).usual, 3600 * yearcase.bubbles_of(pond).usual

    def model(latitude, mud, snow, bubbles, hole):
        light, colder = snow
        case = yearcase.modelled_winter(depth, area, latitude, above_sea, light, mud, lifted, bubbles, hole, colder)
        return SimpleNamespace(case=case, floor=floor)
    return Explorer("A winter without air and with it", model, draw.winter, _say_winter,
                    [_place(pond)[0], Choice("mud", "Mud and water", yearcase.MUD, "in between"),
                     Choice("snow", "Ice", yearcase.WINTERS, "white ice"),
                     Slider.of("air", "oxygen_by_bubbles", f"{gives} kg/h", "bubbles", "Oxygen from the bubbles",
                               unit="kg/s"),
                     Slider("hole", "Open water kept", "small area", "50 sqft", "8000 sqft",
                            f"{verdict.HOLE.usual} m2", step=50)],
                    presets={"Deep snow on a mucky pond": {"mud": "rich (muck, green water)", "snow": "under snow"},
                             "Only an open hole": {"bubbles": "0 lb/h"},
                             "South": {"latitude": "33"}}, system=system, live=False)


def _say_winter(result, system):
    case = result.case
    found = yearcase.iced_days(case.day, case.ice[0])
    if found is None:
        return "No ice forms here in a usual winter, so there is no winter shortage under ice and no thin-ice duty."
    thick = show_range(*(Q(share * case.ice[0].max(), "m") for share in yearcase.THICKEST), "bore", system, digits=2)
    least = case.oxygen.min(axis=1)
    short = verdict.days_below(case, result.floor)
    days = [f"{count} day{'' if count == 1 else 's'}" for count in short]
    under = case.ice[0] > yearcase.ICE
    cold = [show(t, "temperature", system, digits=3) for t in case.temperature[:, under].mean(axis=1)]
    advice = ("In this one case there is enough without air: leave the ice alone" if short[0] == 0 else
              "In this one case air keeps enough; the open water is then your duty" if short[1] == 0 else
              "Even this much air does not keep enough")
    return (f"Ice {yearcase.say_ice(found)}; {yearcase.say_ice_range(found)}. At its thickest {thick}, which never "
            f"says that it carries. Without air the pond's mean oxygen falls to "
            f"{least[0]:.1f} mg/L and is below {result.floor:.3g} on {days[0]}; with air, {least[1]:.1f} and "
            f"{days[1]}. While there is ice the water holds {cold[0]} without air and {cold[1]} with it. {advice}.")


def demo_log():
    """The invented log of the demonstration pond."""
    return upkeep.read_log(datafiles.path("demo-log.csv"))


def _judge(log, count, hours_a_day, shift, floor):
    part = upkeep.Log(*(values[:count] for values in log))
    found = upkeep.trend(part.day, part.pressure_gauge)
    return SimpleNamespace(log=log, count=count, part=part, hours_a_day=hours_a_day, shift=shift, floor=floor,
                           warm=upkeep.CABINET_WARM,
                           slope=None if found.word == "too few" else found.per_day.usual)


def _say_log(result, system="US"):
    many = "1 reading" if result.count == 1 else f"{result.count} readings"
    planned = "1 hour" if result.hours_a_day == 1 else f"{result.hours_a_day:g} hours"
    judged = (f"Judged by {planned} a day planned and a gauge change of "
              f"{show(result.shift, 'pressure', system, digits=2)}.")
    flags = upkeep.check_log(result.part, result.hours_a_day, result.shift, system, result.floor)
    return "\n".join([f"{many}, the last on {result.part.date[-1]}. {judged}", yearcase.say_flags(flags, wrap=False),
                      *upkeep.unjudged(result.part)])


def log(read, system="US", pond=None):
    """When would this log have told you?"""
    most, floor = len(read.day), yearcase.floor_of(pond or record.demo())

    def model(count, hours_a_day, shift):
        return _judge(read, int(round(count)), hours_a_day, shift, floor)
    return Explorer("When would the log have told you?", model, draw.log, _say_log,
                    [Slider("count", "Readings so far", "number", str(min(5, most)), str(most), str(min(8, most)),
                            step=1),
                     Slider.of("year", "hours_planned", to="hours_a_day", unit="h"),
                     Slider("shift", "Gauge change to flag", "pressure", "0.1 psi", "3 psi", "0.5 psi",
                            step=0.1)],
                    presets={"End of June": {"count": "12"}, "Mid-August": {"count": "19"},
                             "Whole season": {"count": str(most)}} if most >= 19 else None,
                    system=system, size=(style.WIDTH, 4.9))


class OwnLog(OwnForm):
    """Upload a log, or type one; see its flags and trends."""

    def __init__(self, system="US", pond=None):
        self._system, self._floor = system, yearcase.floor_of(pond or record.demo())
        unit, gauge = ("psi", "7.4") if system == "US" else ("kPa", "51")
        super().__init__("my own log", {
            "given": FileOrText("Log file (CSV)", "or typed", f"date, gauge pressure ({unit}), hour meter (h), top "
                              f"oxygen (mg/L)\n2026-05-04, {gauge}, 12, 9.1\n2026-05-11, {gauge}, 180, 8.8",
                              "choose a file or type some readings first, with a heading line."),
            "hours": self._box("year", "hours_planned", ROWS["year", "hours_planned"].usual, bare="hour")},
            go="Read my log", trouble="Not read")

    def _found(self):
        read = upkeep.read_log(self.given.read())
        result = _judge(read, len(read.day), self.hours.read().m_as("hour"), upkeep.PRESSURE_SHIFT,
                        self._floor)
        words = _say_log(result, self._system)
        return words, None, self._drawn("own-log", f"Trends of my log. {words}", draw.log, result, self._system,
                                        size=(style.WIDTH, 4.9))


def copper(pond, system="US"):
    """May copper sulfate be used at all, and how much does the doubt in the volume make of the dose?"""
    volume = (pond if pond.has("water") else record.demo()).get("water", "volume")
    least, usual, largest = (end.m_as("acre_foot") for end in volume)
    by_rule = [usual * end / handvolume.MEAN_OVER_DEEPEST.usual for end in (handvolume.MEAN_OVER_DEEPEST.low,
                                                                         handvolume.MEAN_OVER_DEEPEST.high)]
    lowest, highest = 0.3 * min(least, by_rule[0]), 1.5 * max(largest, by_rule[1])
    most = upkeep.dose(Q(1.25 * highest, "acre_foot").m_as("m^3"), upkeep.MOST_COPPER)

    def model(low, high, alkalinity, dawn, situation):
        if low > high:
            raise ValueError("the low end of the volume lies above its high end, so there is no range to dose by. Move "
                             "one of the two sliders back; when in doubt lower the low end, because too little copper "
                             "can be mended.")
        here = {"temperature": 24.0, "heavy_bloom": False, "aerated": True, "trout": False} | SITUATIONS[situation]
        middle = min(max(volume.usual.m_as("m^3"), low), high)
        made = upkeep.copper_plan((low, middle, high), alkalinity, dawn,
                                  here["temperature"], here["heavy_bloom"], here["aerated"], here["trout"],
                                  yearcase.floor_of(pond))
        return SimpleNamespace(made=made, most=most, alkalinity=alkalinity, dawn=dawn)

    def say(result, system):
        return " ".join(yearcase.say_copper(result.made, system).split())

    def end(words, name, start):
        return Slider(name, words, "volume", f"{lowest:.4g} acre-ft", f"{highest:.4g} acre-ft", f"{start:.4g} acre-ft")
    return Explorer("Copper sulfate: whether, and how much", model, draw.copper, say,
                    [end("Volume of the pond, low end", "low", least),
                     end("Volume of the pond, high end", "high", largest),
                     Slider("alkalinity", "Total alkalinity", "oxygen", "0 mg/L", "400 mg/L", "100 mg/L", step=5),
                     Slider.of("oxygen", "dawn", "6 mg/L"),
                     Choice("situation", "Pond", {words: words for words in SITUATIONS}, "Some algae, air running")],
                    presets={"Soft water": {"alkalinity": "30 mg/L"},
                             "Volume by a hand rule": dict(zip(("low", "high"), (f"{v:.4g} acre-ft" for v in by_rule),
                                                               strict=True)),
                             "Low oxygen": {"dawn": "3 mg/L"}}, system=system, size=(style.WIDTH, 2.9))


def calendar(pond, system="US"):
    """What is due when, by climate."""
    shape = findings.pond_shape(pond)

    def model(latitude, elevation):
        climate = weather.typical_climate(latitude, elevation)
        ice = yearcase.ice_season(*shape, latitude, elevation)
        tasks = upkeep.calendar(climate, ice)
        return SimpleNamespace(tasks=tasks, most=max(9, len(tasks)), dates=upkeep.season_dates(climate), ice=ice)

    def say(result, system):
        dates = result.dates
        ice = "no ice on this pond" if result.ice is None else f"ice on this pond {yearcase.say_ice(result.ice)}"
        mild = either("50 °F", "10 °C")
        spring = (f"the air never falls to {mild}, so start in the coolest month" if dates["spring"] is None else
                  f"the air reaches {mild} about {yearcase.date(dates['spring'])}")
        if result.ice is not None:
            ice += f" ({yearcase.say_ice_range(result.ice)})"
        return (f"{len(result.tasks)} tasks. In a usual year {spring}; {ice}. A real year may be three weeks off, "
                "early or late, so what must stand before the ice stands three weeks before it.")
    return Explorer("Tasks of the year, by climate", model, draw.calendar, say, _place(pond),
                    presets={"Gulf coast": {"latitude": "30", "elevation": "50 ft"},
                             "Upper Midwest": {"latitude": "46", "elevation": "1100 ft"}},
                    system=system, size=(style.WIDTH, 4.6))


EXAMPLE = ("time, air temperature (F), wind (mph), humidity (%)\n2025-03-21 00:00, 41, 3, 80\n"
           "2025-03-21 03:00, 38, 2, 88")


class OwnWeather(OwnForm):
    """Upload or paste weather; see the pond's year in it without air and with it. Nothing is saved."""

    def __init__(self, pond, system="US"):
        self._pond, self._system = pond, system
        super().__init__("a year in my own weather", {
            "given": FileOrText("Weather file (CSV)", "or pasted", EXAMPLE, "choose a file or paste some weather "
                                f"first, with a heading line such as “{EXAMPLE.splitlines()[0]}”."),
            "latitude": North.of("year", "latitude", system, f"{yearcase.latitude_of(pond):g}"),
            "secchi": self._box("year", "secchi_depth", ROWS["year", "secchi_depth"].example_in(system)),
            "shelter": self._box("year", "shelter", ROWS["year", "shelter"].usual)}, go="Run the year")

    def _found(self):
        source = self.given.read()
        typed = read_all(latitude=self.latitude, secchi=self.secchi, shelter=self.shelter)
        depth, area, deep = _basin(self._pond)
        height = held(self._pond, "site", "elevation")
        latitude = typed["latitude"].m_as("degree")
        hours = asked(weather.read_weather)(source, Q(latitude, "degree"), Q(height, "m"))
        air = yearcase.air_season(weather.typical_climate(latitude, height))
        with warnings.catch_warnings(action="ignore"):     # water over 40 °C (104 °F) for an hour, as in the explorer
            made = yearcase.year_under(depth, area, hours, air, typed["secchi"].m_as("m"),
                                       typed["shelter"].m_as("dimensionless"),
                                       yearcase.lifted_water(self._pond).usual, deep,
                                       yearcase.bubbles_of(self._pond).usual,
                                       diffusers=yearcase.diffusers_of(self._pond))
        first, last = (yearcase.date(int(day)) for day in made.day[[0, -1]])
        words = [f"{len(made.day)} days of your weather, {first} to {last}, on the water of {self._pond.name}. "
                 f"{say_year(made, self._system)}"]
        if not 60 <= (made.day[0] - 1) % 365 + 1 <= 120:
            words.append("The sums start with a mixed pond, which is true in March and April. Weather that starts at "
                         "another time shows its first weeks wrong.")
        if not self._pond.has("water"):
            words.append("This record has no volume yet, so the water is that of the demonstration pond.")
        return words, None, self._drawn("own-weather", f"A year in my own weather. {words[0]}", draw.year, made,
                                        self._system, size=YEAR_SIZE)
