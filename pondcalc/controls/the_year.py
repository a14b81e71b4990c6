"""Explorers of workbook 07, part B: the year, the winter, the log, treatments, the calendar."""

import warnings
from types import SimpleNamespace

from .. import datafiles, findings, record
from ..catalogue import ROWS, held
from ..figures import style
from ..figures import the_year as draw
from ..how_much_water import handrange
from ..the_year import logbook, treatments, upkeep, weather, wintercheck, yearcase, yearreport, yearstart
from ..units import Q, show
from ..wording import either
from .boxes import Box, FileOrText
from .explorer import Choice, Explorer, Slider
from .ownform import OwnForm

YEAR_SIZE = (style.WIDTH, 5.1)
SITUATIONS = {
    "Some algae, air running": {}, "Heavy bloom, no air": {"heavy_bloom": True, "aerated": False},
    "Heavy bloom, air running": {"heavy_bloom": True}, "Trout in the pond": {"trout": True},
    "Heat wave, water at 88 °F (31 °C)": {"temperature": 31.1}}


def _place(pond):
    return [Slider.of("year", "latitude", f"{yearstart.latitude_of(pond)}"),
            Slider.of("site", "elevation", f"{held(pond, 'site', 'elevation')} m", high="6000 ft")]


def year(pond, system="US"):
    """Temperature, oxygen and room for fish through the year, without air and with."""
    depth, area = findings.pond_shape(pond)
    deep = yearreport.submergence(pond, depth[-1])
    bubbles = yearstart.bubbles_of(pond).usual

    def model(latitude, elevation, secchi, shelter, lifted):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")     # a still pond far south may pass 40 °C (104 °F) at the top for an hour
            return yearcase.modelled_year.si(depth, area, latitude, elevation, secchi, shelter, lifted, deep, bubbles)
    return Explorer("A year without air and with it", model, draw.year, say_year,
                    [*_place(pond),
                     Slider.of("year", "secchi_depth", to="secchi"), Slider.of("year", "shelter"),
                     Slider.of("year", "lifted", yearreport.flow_text(yearreport.lifted_water(pond).usual))],
                    presets={"Murky pond": {"secchi": "1 ft"}, "Woods all round": {"shelter": "25 %"},
                             "A trickle of air": {"lifted": "100 gpm"}},
                    system=system, size=YEAR_SIZE, live=False)


def say_year(result, system):
    """A YearCase in words."""
    apart = result.temperature[0, :, 0] - result.temperature[0, :, -1]
    hot = 226 - int(result.day[0]) if result.day[0] <= 226 <= result.day[-1] else int(apart.argmax())
    ends = [[show(Q(float(result.temperature[n, hot, at]), "degC"), "temperature", system) for at in (0, -1)]
            for n in (0, 1)]
    when = "In mid-August" if result.day[hot] == 226 else f"On {yearreport.date(int(result.day[hot]))}"
    begin, end = (yearreport.date(day) for day in result.air_days)
    runs = "all year" if tuple(result.air_days) == (1, 365) else f"from {begin} to {end}"
    return " ".join([
        f"Air runs {runs}. {when} the top and the bottom stand at {ends[0][0]} and {ends[0][1]} without "
        f"air, {ends[1][0]} and {ends[1][1]} with it.", *_say_deep(result), _say_fish(result), _say_turns(result)])


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
    dates = [", ".join(yearreport.date(found.day) for found in each) for each in result.overturns]
    if dates[0] == dates[1]:
        return f"With and without air it overturns on {dates[0]}." if dates[0] else "It does not overturn."
    without, with_air = (f"overturns on {each}" if each else "does not overturn" for each in dates)
    return f"After lying in layers it {without} without air; with air it {with_air}."


def winter(pond, system="US"):
    """Does the oxygen last the winter, and what does air change?"""
    depth, area = findings.pond_shape(pond)
    above_sea, floor = held(pond, "site", "elevation"), yearstart.floor_of(pond)
    lifted, gives = yearreport.lifted_water(pond).usual, 3600 * yearstart.bubbles_of(pond).usual

    def model(latitude, mud, snow, bubbles, hole):
        case = yearcase.modelled_winter.si(depth, area, latitude, above_sea, snow, mud, lifted, bubbles, hole)
        return SimpleNamespace(case=case, floor=floor)
    return Explorer("A winter without air and with it", model, draw.winter, _say_winter,
                    [_place(pond)[0], Choice("mud", "Mud and water", yearcase.MUD, "in between"),
                     Choice("snow", "Ice", yearcase.SNOW, "white ice"),
                     Slider("bubbles", "Oxygen from the bubbles", "oxygen rate", "0 lb/h", "1.5 lb/h",
                            f"{gives} kg/h", unit="kg/s", step=0.05),
                     Slider("hole", "Open water kept", "small area", "50 sqft", "8000 sqft",
                            f"{wintercheck.HOLE.usual} m2", step=50)],
                    presets={"Deep snow on a mucky pond": {"mud": "rich (muck, green water)", "snow": "under snow"},
                             "Only an open hole": {"bubbles": "0 lb/h"},
                             "South": {"latitude": "33"}}, system=system, live=False)


def _say_winter(result, system):
    case = result.case
    found = yearcase.iced_days(case.day, case.ice[0])
    if found is None:
        return "No ice forms here in a usual winter, so there is no winter shortage under ice and no thin-ice duty."
    thick = show(Q(float(case.ice[0].max()), "m"), "bore", system, digits=2)
    least = case.oxygen.min(axis=1)
    short = wintercheck.days_below(case, result.floor)
    days = [f"{count} day{'' if count == 1 else 's'}" for count in short]
    cold = [show(Q(float(t), "degC"), "temperature", system, digits=3) for t in case.temperature.min(axis=1)]
    advice = ("In this one case there is enough without air: leave the ice alone" if short[0] == 0 else
              "In this one case air keeps enough; the open water is then your duty" if short[1] == 0 else
              "Even this much air does not keep enough")
    return (f"Ice {yearreport.say_ice(found)}, up to {thick}. Without air the pond's mean oxygen falls to "
            f"{least[0]:.1f} mg/L and is below {result.floor:.3g} on {days[0]}; with air, {least[1]:.1f} and "
            f"{days[1]}. Air cools the water from {cold[0]} to {cold[1]} at the coldest. {advice}.")


def demo_log():
    """The invented log of the demonstration pond."""
    return logbook.read_log(datafiles.path("demo-log.csv"))


def _upto(log, count):
    return log._replace(**{name: getattr(log, name)[:count] for name in log._fields})


def _judge(log, count, hours_a_day, shift, floor):
    part = _upto(log, count)
    found = logbook.trend(part.day, part.pressure_gauge)
    return SimpleNamespace(log=log, count=count, part=part, hours_a_day=hours_a_day, shift=shift, floor=floor,
                           warm=logbook.CABINET_WARM,
                           slope=None if found.word == "too few" else found.per_day.usual)


def _flags(result, system):
    return yearreport.say_flags(logbook.check_log.si(result.part, result.hours_a_day, result.shift, system,
                                                     result.floor), wrap=False)


def _say_log(result, system="US"):
    many = "1 reading" if result.count == 1 else f"{result.count} readings"
    judged = (f"Judged by {result.hours_a_day:g} hours a day planned and a gauge change of "
              f"{show(Q(result.shift, 'Pa'), 'pressure', system, digits=2)}.")
    return "\n".join([f"{many}, the last on {result.part.date[-1]}. {judged}", _flags(result, system),
                      *logbook.unjudged(result.part)])


def log(read, system="US", pond=None):
    """When would this log have told you?"""
    most, floor = len(read.day), yearstart.floor_of(pond or record.demo())

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
        self._system, self._floor = system, yearstart.floor_of(pond or record.demo())
        super().__init__("my own log", {
            "given": FileOrText("Log file (CSV)", "or typed", "date, gauge pressure (psi), hour meter (h), top oxygen "
                              "(mg/L)\n2026-05-04, 7.4, 12, 9.1\n2026-05-11, 7.4, 180, 8.8",
                              "choose a file or type some readings first, with a heading line."),
            "hours": Box.of("year", "hours_planned", system, ROWS["year", "hours_planned"].usual, bare="hour")},
            go="Read my log", trouble="Not read")

    def _found(self):
        read = logbook.read_log(self.given.read())
        result = _judge(read, len(read.day), self.hours.read().m_as("hour"), logbook.PRESSURE_SHIFT,
                        self._floor)
        words = _say_log(result, self._system)
        return words, None, self._drawn("own-log", f"Trends of my log. {words}", draw.log, result, self._system,
                                        size=(style.WIDTH, 4.9))


def copper(pond, system="US"):
    """May copper sulfate be used at all, and how much does the doubt in the volume make of the dose?"""
    volume = (pond if pond.has("water") else record.demo()).get("water", "volume")
    least, usual, largest = (end.m_as("acre_foot") for end in volume)
    by_rule = [usual * end / handrange.MEAN_OVER_DEEPEST.usual for end in (handrange.MEAN_OVER_DEEPEST.low,
                                                                         handrange.MEAN_OVER_DEEPEST.high)]
    lowest, highest = 0.3 * min(least, by_rule[0]), 1.5 * max(largest, by_rule[1])
    most = treatments.dose.si(Q(1.25 * highest, "acre_foot").m_as("m^3"), treatments.MOST_COPPER)

    def model(low, high, alkalinity, dawn, situation):
        if low > high:
            raise ValueError("the low end of the volume lies above its high end, so there is no range to dose by. Move "
                             "one of the two sliders back; when in doubt lower the low end, because too little copper "
                             "can be mended.")
        here = {"temperature": 24.0, "heavy_bloom": False, "aerated": True, "trout": False} | SITUATIONS[situation]
        middle = min(max(volume.usual.m_as("m^3"), low), high)
        made = treatments.copper_plan.si((low, middle, high), alkalinity, dawn,
                                         here["temperature"], here["heavy_bloom"], here["aerated"], here["trout"],
                                         yearstart.floor_of(pond))
        return SimpleNamespace(made=made, most=most, alkalinity=alkalinity, dawn=dawn)

    def say(result, system):
        return " ".join(yearreport.say_copper(result.made, system).split())

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
        climate = weather.typical_climate.si(latitude, elevation)
        ice = yearcase.ice_season.si(*shape, latitude, elevation)
        return SimpleNamespace(tasks=upkeep.calendar(climate, ice), most=9, dates=upkeep.season_dates(climate), ice=ice)

    def say(result, system):
        dates = result.dates
        ice = "no ice on this pond" if result.ice is None else f"ice on this pond {yearreport.say_ice(result.ice)}"
        mild = either("50 °F", "10 °C")
        spring = (f"the air never falls to {mild}, so start in the coolest month" if dates["spring"] is None else
                  f"the air reaches {mild} about {yearreport.date(dates['spring'])}")
        return (f"{len(result.tasks)} tasks. In a usual year {spring}; {ice}. A real year may be three weeks off, "
                "early or late, so what must stand before the ice stands three weeks before it.")
    return Explorer("Tasks of the year, by climate", model, draw.calendar, say, _place(pond),
                    presets={"Gulf coast": {"latitude": "30", "elevation": "50 ft"},
                             "Upper Midwest": {"latitude": "46", "elevation": "1100 ft"}},
                    system=system, size=(style.WIDTH, 4.6))
