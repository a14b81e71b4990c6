"""Explorers of workbook 07, part A, and the form that works out the reader's own first start."""

import re
import warnings
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from .. import air, datafiles, findings
from ..catalogue import held
from ..figures import first_start as draw
from ..figures import style
from ..how_much_oxygen.fishlimits import FLOOR, KILL, STRESS
from ..refusals import Caution, plainly
from ..the_year import firststart, startladder, upkeep, weather, wintercheck, yearcase, yearreport, yearstart
from ..units import FOOT, Q, QuantityError, Range, show, show_range
from ..warm_over_cold import overturn, profile
from ..wording import quoted, shortened
from .boxes import Box, plain, read_all
from .explorer import Choice, Explorer, Slider
from .ownform import OwnForm

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


def _demand(pond):
    """What workbook 05 found stagnant water to take (Range, mg/L); None where its readings show no such water."""
    owed = findings.pond_demand(pond)
    return owed if max(owed) > 0 else None


def _pressure(pond):
    """Of the air over the pond (Pa), at the height the rest of this workbook starts from."""
    return float(air.pressure_by_elevation.si(held(pond, "site", "elevation")))


def _left_out(read, deep, system):
    """Words about depths (m) that readings leave out down to the diffuser, or none; whether the layers part there."""
    spans, hides_layers = startladder.unread.si(read, deep)
    if not spans:
        return "", False
    missing = " and ".join(show_range(*(Q(float(end), "m") for end in span), "depth", system) for span in spans)
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
    depth, area = findings.pond_shape(pond)
    deep, profiles, mud = yearreport.submergence(pond, depth[-1]), _profiles(pond), yearreport.mud(pond)
    owed, pressure = _demand(pond), _pressure(pond)
    doubt, hides_layers = _left_out(profiles[MINE], deep, system) if MINE in profiles else ("", False)

    def model(readings, lifted, floor, first_run, rise):
        here = (depth, area, profiles[readings], [lifted * s for s in SPREAD], deep)
        known = {"floor": floor, "demand": owed if readings == MINE else None, "mud": mud,
                 "pressure_absolute": pressure}
        hours = startladder.ladder_hours.si(max(first_run, startladder.STEP), rise)
        made = startladder.course.si(*here, hours, **known)
        if readings == MINE and hides_layers:
            raise QuantityError(f"in your own readings {doubt}")
        found = startladder.quickest_ladder.si(*here, **known)
        return SimpleNamespace(made=made, quickest=found.course, found=found, floor=floor,
                               custom=firststart.COMMON_HOURS, stop=made.stop_reading)
    return Explorer("A ladder of run times for the first days", model, draw.ladder, _say_ladder,
                    [Choice("readings", "Readings", {words: words for words in profiles}, next(iter(profiles))),
                     Slider.of("year", "lifted", yearreport.flow_text(yearreport.lifted_water(pond).usual)),
                     _floor_slider(pond),
                     Slider("first_run", "First run", "run", "15 min", "1440 min", "1440 min", unit="h", step=15),
                     Slider("rise", "Longer each day by", "run", "0 min", "240 min", "0 min", unit="h", step=15)],
                    presets={"30 minutes at first": {"first_run": "30 min", "rise": "30 min"},
                             "Full power at once": {"first_run": "1440 min", "rise": "0 min"},
                             "An hour each day": {"first_run": "60 min", "rise": "0 min"}},
                    system=system, size=(style.WIDTH, 4.9))


def _floor_slider(pond):
    return Slider.of("oxygen", "floor", f"{yearstart.floor_of(pond):.3g} mg/L")


def _judged(made, floor):
    """What the sums say of a list of run times, in words that promise no more."""
    if made.verdict == startladder.NOT_KEPT:
        return "is too fast, even in the usual case"
    if made.verdict == startladder.NOT_AT_BAD_END:
        return "is not kept: enough in the usual case, not at the bad end"
    share, most = (f"{100 * part:.0f} %" for part in (made.lifted_share, firststart.DAILY_SHARE))
    if made.lifted_share > firststart.DAILY_SHARE + 1e-9:
        return (f"is not one to follow, though by these sums the oxygen lasts: it lifts {share} of the lower water in "
                f"one day. While nobody has measured what that water takes, {most} is the most here"
                + (". Full power on the first day can kill the fish of a layered pond" if made.hours[0] == 24 else ""))
    if not np.isfinite(made.finish.high):
        return f"may leave lower water down after {startladder.LONGEST} days, and is not one to follow"
    if floor < STRESS:
        return "keeps so low an aim at the bad end of every range, which is not enough for fish"
    return f"is kept: {yearreport.say_kept(made)}"


def _say_ladder(result, system):
    made, found = result.made, result.found
    if found.go and found.course is None:
        return "These readings show a mixed pond. There is no stagnant layer to bring up: run day and night from day 1."
    runs = ", ".join(yearreport.run_text(run) for run in made.hours[:3])
    usual, low = (yearreport.rounded_down(end) for end in (made.lowest_oxygen.usual, made.lowest_oxygen.low))
    first = (f"This ladder ({runs} on the first days) {_judged(made, result.floor)}. Oxygen of the top water falls to "
             f"{usual} mg/L, at the bad end to {low} on day {made.day_of_lowest}, against {result.floor:.1f} to keep."
             f"{_low_floor(result.floor)} ")
    first += (f"The lower water is up on day {made.finish.usual:.0f}. " if np.isfinite(made.finish.usual) else
              f"The lower water is not up in {startladder.LONGEST} days. ")
    if not found.go:
        return first + found.reason
    return first + (f"The quickest ladder kept starts with {yearreport.run_text(found.first_run)}, "
                    f"{yearreport.say_rise(found.rise)}, and clears the pond by about day "
                    f"{found.course.finish.usual:.0f}.")


def custom(pond, system="US"):
    """For which ponds and diffusers does 30 minutes, doubled each day, keep the oxygen?"""
    depth, area = findings.pond_shape(pond)
    deep, bottom, read = yearreport.submergence(pond, depth[-1]), float(depth[-1]), _own(pond) or demo_profile()
    owed = firststart.debts.si(depth, area, read, firststart.parting.si(read, deep).usual, _demand(pond))
    pressure = _pressure(pond)

    def model(boundary, oxygen, floor, demand):
        if boundary > firststart.MOST_DEPTH * deep:
            raise ValueError("the layers part below the diffuser, so it lifts no stagnant water. Choose a boundary "
                             "nearer the top.")
        here = profile.Profile.si([0, boundary, boundary + 1e-6, bottom], [27.0, 27.0, 15.0, 15.0],
                                  [oxygen, oxygen, 0.1, 0.1])
        rows = startladder.custom_by_flow.si(depth, area, here, SIZES, deep, SPREAD, floor,
                                             [demand * s for s in overturn.DEMAND_SPREAD], pressure)
        return SimpleNamespace(lifted=SIZES, rows=rows, floor=floor)
    return Explorer("What does 30 minutes, doubled each day, do?", model, draw.custom, _say_custom,
                    [Slider("boundary", "Depth where the layers part", "depth", "1 ft", "13 ft", "4.5 ft", step=0.5),
                     Slider("oxygen", "Oxygen above, at dawn", "oxygen", "3 mg/L", "11 mg/L", "6 mg/L", step=0.1),
                     _floor_slider(pond),
                     Slider("demand", "Deep water burns", "oxygen", "0 mg/L", "8 mg/L",
                            f"{min(owed.fast.usual, 8):.1f} mg/L", step=0.1)],
                    presets={"Thin stagnant layer": {"boundary": "11 ft", "oxygen": "7.5 mg/L", "demand": "3 mg/L"},
                             "Thick stagnant layer": {"boundary": "3 ft"},
                             "Black, smelly deep water": {"demand": "8 mg/L"}}, system=system)


def _say_custom(result, system):
    def between(name):
        at = [flow for flow, made in zip(result.lifted, result.rows, strict=True) if made.verdict == name]
        ends = [show(Q(float(f), "m3/s"), "water flow", system, digits=2) for f in (at[0], at[-1])] if at else None
        return ends and (ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}")
    words = {startladder.KEPT: "keeps the oxygen at the bad end of every range",
             startladder.NOT_AT_BAD_END: "keeps it in the usual case but not at the bad end",
             startladder.NOT_KEPT: "is too fast even in the usual case"}
    parts = [f"it {says} for diffusers that lift {between(name)}" for name, says in words.items() if between(name)]
    near = min(range(len(result.lifted)), key=lambda n: abs(np.log(result.lifted[n] / yearreport.LIFTED.usual)))
    size = show(Q(float(result.lifted[near]), "m3/s"), "water flow", system, digits=2)
    ends = " to ".join(yearreport.rounded_down(end) for end in (result.rows[near].lowest_oxygen.low,
                                                                result.rows[near].lowest_oxygen.high))
    return ("30 minutes, doubled each day, in a pond of this shape layered like this: " + "; ".join(parts)
            + f". At {size} the lowest oxygen is "
            f"{ends} mg/L. Gas and ammonia are not counted. The oxygen to keep is {result.floor:.1f} mg/L."
            f"{_low_floor(result.floor)}")


def _water_only(value):
    """Refuse a flow of air."""
    if "cfm" in str(value.units):
        raise QuantityError(f"{value.m:g} cfm is a flow of air. Write the water that the air lifts, in gallons a "
                            "minute (gpm), L/s or m³/s; workbook 03 estimates it.")
    return value


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
        kept, lifted = _own(pond), yearreport.lifted_water(pond)
        shown = kept or (demo_profile() if pond.invented else None)
        owed = (_demand(pond) if shown else None) or (0.0, 0.0, 0.0)
        super().__init__("my own first start and year", {
            "profile": W.Textarea(value=_as_text(shown, system) if shown else "", rows=8,
                                  description="Readings at dawn, in your own pond",
                                  placeholder=_as_text(demo_profile(), system)),
            "lifted": {end: Box.of("year", "lifted", system, yearreport.flow_text(flow), f"Water lifted, {end}",
                                   convert=_water_only)
                       for end, flow in zip(("low", "usual", "high"), lifted, strict=True)},
            "demand": {end.removeprefix("at "): Box.of(
                "layers", "demand", system, f"{value:.1f} mg/L" if value else "",
                f"Oxygen stagnant water takes, {end}", optional=True)
                for end, value in zip(("usual", "at most"), owed[1:], strict=True)},
            "floor": self._box("oxygen", "floor", convert=_bearable,
                               value=plain(pond.get("oxygen", "floor", Q(FLOOR, "mg/L")), "oxygen", system)),
            "latitude": North.of("year", "latitude", system, f"{yearstart.latitude_of(pond):.10g}"),
            "winter": W.Dropdown(description="Winter", options=[wintercheck.OPEN, wintercheck.NO_AIR,
                                                                wintercheck.WITH_AIR, wintercheck.NO_ICE])},
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
                                      pressure_absolute=_pressure(self._pond))
        except QuantityError as problem:
            raise QuantityError(plainly(problem), what=name) from None
        early = "" if read.dissolved_oxygen is None else firststart.unread_below.si(read, deep, pond_depth)
        if early:
            raise QuantityError(early, what=name)
        words, hides_layers = _left_out(read, deep, self._system)
        if hides_layers:
            raise QuantityError(words, what=name)
        if words:
            warnings.warn(Caution(words[0].upper() + words[1:]), stacklevel=2)
        return read

    def _found(self):
        depth, area = findings.pond_shape(self._pond)
        deep = yearreport.submergence(self._pond, depth[-1])
        lifted, demand, floor, latitude = self._read()
        read = self._readings(float(depth[-1]), deep)
        mud = yearreport.mud(self._pond)
        found = startladder.quickest_ladder.si(depth, area, read, lifted, deep, floor, demand, mud=mud,
                                               pressure_absolute=_pressure(self._pond))
        climate = weather.typical_climate.si(latitude, held(self._pond, "site", "elevation"))
        words, picture = [yearreport.say_ladder(found, self._system)], ""
        if not self._pond.has("water"):
            words.insert(0, "This record has no volume yet, so the water of the demonstration pond stands in.")
        ranges = ()
        if found.first_run < 24 or found.course is not None:
            owed = firststart.debts.si(depth, area, read, found.boundary, demand)
            ranges = yearreport.say_ranges(owed, lifted, self._system, mud)
            words += ["The ranges we state:", *(f"- {line}" for line in ranges)]
        if found.course is not None:
            words += [yearreport.say_after(found.course, floor, self._system), "", yearreport.say_rules(wrap=False)]
            shown = SimpleNamespace(made=found.course, quickest=None, custom=firststart.COMMON_HOURS, floor=floor,
                                    stop=found.course.stop_reading)
            picture = _table(found.course) + self._drawn("own-start", f"My first start. {words[0]}", draw.ladder, shown,
                                                         self._system, size=(style.WIDTH, 4.9))
        ice = yearcase.ice_season.si(depth, area, latitude, climate.elevation)
        values = yearreport.year_section(found, lifted, floor, upkeep.calendar(climate, ice),
                                         yearcase.air_season(climate), self.winter.value, latitude, ranges)
        return "\n".join([*words, self._say_winter(latitude, floor)]), values, picture

    def _say_winter(self, latitude, floor):
        """The decision on winter, checked against the oxygen to keep that stands in the form."""
        made, decision = wintercheck.winter_of(self._pond, latitude, floor), self.winter.value
        return f"Winter: {decision}. {wintercheck.say_winter(made, decision, self._system)}"


HEADS = ("Day", "Run", "Go if dawn reads (mg/L)", "At its end (mg/L)", "Lower water left (%)")


def _table(made, days=7):
    """HTML of the whole ladder: the first days, the others folded away."""
    head = "".join(f'<th scope="col" style="padding:2px 8px;text-align:right">{words}</th>' for words in HEADS)

    def table(rows):
        look = "padding:2px 8px;text-align:right;white-space:nowrap"
        body = "".join("<tr>" + "".join(f'<td style="{look}">{cell}</td>' for cell in row) + "</tr>" for row in rows)
        return f'<table style="border-collapse:collapse;margin:4px 0"><tr>{head}</tr>{body}</table>'
    rows = yearreport.ladder_rows(made)
    more = (f"<details><summary>Day {days + 1} to {len(rows)}, if it takes so long</summary>{table(rows[days:])}"
            "</details>" if len(rows) > days else "")
    return f'<div style="max-width:700px;overflow-x:auto">{table(rows[:days])}{more}</div>'


def _as_text(read, system="US"):
    """Readings as lines a person can type over."""
    return "\n".join((f"{z / FOOT:.1f} ft  {t * 1.8 + 32:.1f} F" if system == "US" else f"{z:.2f} m  {t:.1f} C")
                     + (f"  {c:.1f}" if np.isfinite(c) else "")
                     for z, t, c in zip(read.depth, read.temperature, read.dissolved_oxygen, strict=True))
