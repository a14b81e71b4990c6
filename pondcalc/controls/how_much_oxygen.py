"""Workbook 02: explorers of day, night and dawn, and the forms for the reader's own pond and readings."""

import functools
import warnings
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from .. import findings, record
from ..bubbles_and_oxygen import comparison, plume
from ..catalogue import ROWS
from ..columns import read_moment
from ..figures import how_much_oxygen as draw
from ..figures import style
from ..how_much_oxygen import daynight, oxygencase, oxygenlog, sources
from ..how_much_oxygen import oxygen as duty
from ..how_much_oxygen.fishlimits import KILL, STRESS
from ..refusals import Caution, plainly
from ..spellings import quoted
from ..the_year import yearcase
from ..units import FOOT, Q, QuantityError, Range, asked, read_quantity, show, show_range
from .explorer import FIT, Choice, Explorer, Slider
from .ownform import FileOrText, OwnForm, plain, read_all

COLORS = {color.capitalize(): color for color in sources.WATER_COLORS}
MUDS = {mud.capitalize(): mud for mud in sources.MUD_KINDS}
SKIES = {"Three clear days": (1.0, 1.0, 1.0, 1.0, 1.0), "One dark day, then clear": (1.0, 0.15, 1.0, 1.0, 1.0),
         "Three dark days": (1.0, 0.15, 0.15, 0.15, 0.15)}
EVENTS = {"Nothing more": None, "The bloom dies on the second morning": daynight.BloomCrash(38.0, 0.9)}
PARTS = {"plants": "plants make", "air": "from the air", "plankton": "algae and\nsmall life", "mud": "mud",
         "fish": "fish", "weeds": "weeds", "load": "waste of feed"}
EXPLORER_RUNS = 200
MOST_DIFFUSERS = 20
DEEP_GAIN = 1.2             # bubbles under some 20 ft give oxygen up to a fifth above saturation; see ``delivery``


def with_water(pond):
    """The pond, or the demonstration pond where no volume has been saved yet."""
    return pond if pond.has("water") else record.demo()


def _start(pond):
    return oxygencase.shape_of(with_water(pond)), oxygencase.described_from(pond)


def _said(start, **values):
    """The reader's words with some of them moved; water outside the measured rates is noted under the picture.

    A Secchi depth holds for the color in which it was read.
    """
    if values.get("color", start.color) != start.color:
        values = {"secchi_depth": None} | values
    said = start.with_values(**values)
    if duty.note_warmth(said.temperature):
        warnings.warn(Caution(duty.note_warmth(said.temperature)), stacklevel=2)
    return said


def _words(options, value):
    return next(words for words, held in options.items() if held == value)


def _fish(said):
    return Slider.of("oxygen", "fish", f"{said.quantity('fish').m_as('pound/acre'):.4g} lb/acre")


def _temperature(said):
    return Slider.of("oxygen", "temperature", f"{1.8 * said.temperature + 32:.4g} F")


def _floor(said, **ends):
    return Slider.of("oxygen", "floor", f"{said.floor:.3g} mg/L", **ends)


def _color(said):
    return Choice.of("oxygen", "color", COLORS, _words(COLORS, said.color))


def _rate(value, system):
    return findings.rate(Q(3600 * float(value), "kg/h"), system)


def _mg(value, system):
    if value < 0.1:
        return "less than 0.1 mg/L"
    return show(value, "oxygen", system, digits=2)


def _kilos(value, system):
    return show(value, "mass", system, digits=2)


# 1 ---- who makes and who uses

def who_uses(pond, system="US"):
    """Who makes the oxygen, and who uses it, by day and in the dark?"""
    shape, start = _start(pond)
    green = start.with_values(color="pea green", secchi_depth=None, weed_cover=0.0)
    most = 1.15 * max(oxygencase.day_and_night(shape, oxygencase.conditions_of(shape, said)).day["plants"]
                      for said in (green, start))

    def model(color, mud, fish, weed_cover, temperature):
        said = _said(start, color=color, mud=mud, fish=fish, weed_cover=weed_cover, temperature=temperature)
        parts = oxygencase.day_and_night(shape, oxygencase.conditions_of(shape, said))
        return SimpleNamespace(parts=parts, rows=PARTS, most=most)
    return Explorer("Who makes the oxygen, and who uses it", model, draw.who, _say_who,
                    [_color(start), Choice.of("oxygen", "mud", MUDS, _words(MUDS, start.mud)), _fish(start),
                     Slider.of("oxygen", "weed_cover", f"{100 * start.weed_cover:.3g} %"), _temperature(start)],
                    presets={"Pea soup": {"color": "Pea green", "weed_cover": "0 %"},
                             "Full of weeds": {"color": "Clear", "weed_cover": "80 %"},
                             "Fish farm": {"color": "Pea green", "fish": "3000 lb/acre"}}, system=system)


def _say_who(result, system):
    used = {name: -value for name, value in result.parts.night.items() if value < 0 and name != "air"}
    total = sum(used.values())
    share = {name: round(100 * used[name] / total) for name in sorted(used, key=used.get, reverse=True)[:3]}
    named = ", ".join(f"{PARTS[name]} {part} %".replace("\n", " ") for name, part in share.items())
    rest = 100 - sum(share.values()) if len(used) > 3 else 0
    named += f", all else {rest} %" if rest > 0 else ""
    return (f"In the dark {_kilos(total, system)} of oxygen is used: {named}. By day plants make "
            f"{_kilos(result.parts.day['plants'], system)}.")


# 2 ---- three days

def three_days(pond, system="US"):
    """How does the oxygen rise and fall, and what do dark days or a dying bloom do?"""
    shape, start = _start(pond)
    hours = 84.0
    dusk, dawn = oxygencase.dark_hours(39.0, 200)
    nights = [(dusk + 24 * n - 18, dawn + 24 * (n + 1) - 18) for n in range(-1, 4)]
    first = None if start.dusk is None else oxygencase.dusk_of(shape, start).usual
    secchi = start.secchi_depth or float(sources.secchi_from_chlorophyll(
        sources.chlorophyll_by_color(start.color).usual))

    def model(secchi_depth, fish, temperature, sky, event):
        said = _said(start, secchi_depth=secchi_depth, fish=fish, temperature=temperature)
        conditions = oxygencase.conditions_of(shape, said).with_values(clear_share=sky)
        run = daynight.simulate(shape, conditions, hours, 18.0, dissolved_oxygen=first, crash=event,
                                step=oxygencase.STEP)
        line = run.dissolved_oxygen[:, 0]
        noon = np.array([21.0, 45.0, 69.0])
        low = np.array([np.argmin(np.where((run.hours >= 24 * n) & (run.hours <= 24 * n + 18), line, 99))
                        for n in range(4)])
        return SimpleNamespace(hours=run.hours, oxygen=line, saturation=run.saturation[:, 0], nights=nights,
                               noon=(noon, np.interp(noon, run.hours, line)), low=(run.hours[low], line[low]))
    return Explorer("Three days and four nights", model, draw.curve, _say_days,
                    [Slider.of("oxygen", "secchi_depth", f"{secchi / 0.3048:.3g} ft"), _fish(start),
                     _temperature(start),
                     Choice("sky", "Sky", SKIES, "Three dark days"),
                     Choice("event", "And then", EVENTS, "Nothing more")],
                    presets={"Clear days": {"sky": "Three clear days"},
                             "Bloom dies": {"secchi_depth": "0.9 ft", "sky": "Three clear days",
                                            "event": "The bloom dies on the second morning"},
                             "Clear water": {"secchi_depth": "8 ft"}}, system=system)


def _say_days(result, system):
    worst = int(np.argmin(result.low[1]))
    lowest = float(result.low[1][worst])
    before = max(worst - 1, 0)
    verdict = (f"that is far below the {KILL:g} mg/L at which fish begin to die" if lowest < KILL / 2 else
               f"some fish die below {KILL:g} mg/L" if lowest < KILL else
               f"most warm-water fish are stressed below {STRESS:g} mg/L" if lowest < STRESS else
               f"that is above the stress line of {STRESS:g} mg/L")
    when = "on the afternoon before it" if worst > 0 else "on the first afternoon"
    return (f"The lowest oxygen is {_mg(lowest, system)}, in night {worst + 1}: {verdict}. A meter read "
            f"{_mg(result.noon[1][before], system)} at 3 PM {when}.")


# 3 ---- two readings

def _project(first, second, time_between, time_to_dawn, meter_error):
    ends = oxygenlog.night_line(first, second, time_between, time_to_dawn, meter_error)
    later = np.linspace(0, time_to_dawn, 40)
    lines = [way(first, second, time_between, later)
             for way in (oxygenlog.straight_line, oxygenlog.falling_curve)]
    start = np.array([first])
    return SimpleNamespace(between=time_between / 3600, to_dawn=time_to_dawn / 3600, first=first, second=second,
                           ends=ends, line=(np.append(0, (time_between + later) / 3600),
                                            *(np.append(start, v) for v in lines)))


def _say_project(result, system):
    straight, curved = result.ends.straight, result.ends.curve
    low, high = min(straight.low, curved.low), max(straight.high, curved.high)
    return (f"The oxygen falls {result.ends.fall:.2f} mg/L an hour. At dawn the straight line says "
            f"{_mg(straight.usual, system)} and the curve {_mg(curved.usual, system)}; with the slips of the meter "
            f"anything from {show_range(low, high, 'oxygen', system)}. {oxygenlog.ONE_DEPTH}")


def dusk_to_dawn(system="US"):
    """What will the oxygen be at dawn, from two readings in the evening?"""
    return Explorer("Two readings tonight, one forecast for dawn", _project, draw.two_readings, _say_project,
                    [Slider("first", "Reading at dusk", "oxygen", "1 mg/L", "15 mg/L", "10.2 mg/L", step=0.1),
                     Slider("second", "Second reading", "oxygen", "0.5 mg/L", "15 mg/L", "8.7 mg/L", step=0.1),
                     Slider("time_between", "Hours between them", "time", "0.5 h", "6 h", "3 h", step=0.5),
                     Slider("time_to_dawn", "From the second to dawn", "time", "1 h", "14 h", "8 h", step=0.5),
                     Slider("meter_error", "Slip of the meter", "oxygen", "0 mg/L", "1 mg/L", "0.2 mg/L", step=0.05)],
                    presets={"Readings too close": {"time_between": "0.5 h", "first": "10.2 mg/L",
                                                    "second": "9.9 mg/L"},
                             "A bad night": {"first": "6.5 mg/L", "second": "5 mg/L", "time_between": "3 h",
                                             "time_to_dawn": "8 h"}}, system=system)


# 4 ---- imagined ponds

def bad_dawn(pond, system="US"):
    """In how many imagined ponds that fit a description is a dawn bad, and which unknown decides it?"""
    shape, start = _start(pond)

    def model(color, fish, temperature, night_wind_speed, level):
        said = _said(start, color=color, fish=fish, temperature=temperature, night_wind_speed=night_wind_speed)
        found = oxygencase.bad_dawn(shape, said, level, EXPLORER_RUNS)
        weight = {findings.DOUBT_WORDS[name][0]: value for name, value in found.weight.items()}
        return SimpleNamespace(lows=found.lows, level=level, chance=found.chance, weight=weight, dawn=found.dawn,
                               always=found.always, ever=found.ever)
    return Explorer("Dawn in imagined ponds", model, draw.chance, _say_chance,
                    [_color(start), _fish(start), _temperature(start),
                     Slider.of("oxygen", "night_wind_speed", f"{start.night_wind_speed / 0.44704:.3g} mph"),
                     _floor(start, to="level")],
                    presets={"Pea soup": {"color": "Pea green"}, "Clear water": {"color": "Clear"},
                             "Windy night": {"night_wind_speed": "12 mph"}}, system=system)


def _say_chance(result, system):
    low, usual, high = result.dawn
    first, asked = next(iter(result.weight)), dict(findings.DOUBT_WORDS.values())
    known = next(words for words in result.weight if not asked[words].startswith("nothing"))
    return (f"In {100 * result.chance:.0f} of 100 imagined ponds that fit this description the oxygen falls below "
            f"{_mg(result.level, system)} in two nights and the day between. Each met two spells of weather: "
            f"{100 * result.always:.0f} in 100 fall short in both, {100 * (result.ever - result.always):.0f} in one of "
            "them. Middle low "
            f"{show(usual, 'oxygen', system, digits=2)}, nine in ten from {show_range(low, high, 'oxygen', system)}. "
            f"What decides most: {first}. What to measure first: {known}, by {asked[known]}.")


# 5 ---- delivery

def _need(shape, said, runs=EXPLORER_RUNS):
    """``oxygencase.delivery_need`` by longer steps, without its caution, which the model of an explorer gives."""
    with warnings.catch_warnings(action="ignore", category=UserWarning):
        return oxygencase.delivery_need(shape, said, runs, step=3600.0)


def delivery_needed(pond, system="US"):
    """How much oxygen must aeration deliver to keep how many of the imagined ponds?"""
    shape, start = _start(pond)
    worst = start.with_values(color="pea green", secchi_depth=None, dusk=None, floor=duty.FLOOR)
    most = 1.15 * max(_need(shape, said, 10).stacked for said in (worst, start))

    need = functools.lru_cache(maxsize=64)(functools.partial(_need, shape))

    def model(color, fish, temperature, floor, share):
        found = need(_said(start, color=color, fish=fish, temperature=temperature, floor=floor))
        return SimpleNamespace(each=found.each, share=share / 100, chosen=oxygencase.need_for(found.each, share / 100),
                               stacked=found.stacked, budget=float(found.budget.high), most=most, floor=floor)
    return Explorer("What aeration must deliver", model, draw.delivery, _say_delivery,
                    [_color(start), _fish(start), _temperature(start),
                     _floor(start),
                     Slider("share", "Ponds to save, of 100", "number", "50", "100", "95", step=1)],
                    presets={"Pea soup": {"color": "Pea green"}, "Fish farm": {"color": "Pea green",
                                                                               "fish": "3000 lb/acre"},
                             "Save all 100": {"share": "100"}}, system=system)


def _say_delivery(result, system):
    need = findings.say_need(Range(*(Q(3600 * v, "kg/h") for v in result.chosen)), system)
    return (f"To keep {_mg(result.floor, system)} in {100 * result.share:.0f} of 100 imagined ponds that fit this "
            f"description, aeration must deliver {need}. With every doubt at its bad end at once the same model asks "
            f"for {_rate(result.stacked, system)}, and the budget that stacks every bad case of a night for "
            f"{_rate(result.budget, system)}.")


def _wanted(pond, shape, start):
    """Oxygen to deliver (lb/h) as saved; before that what the explorer above shows at first for the reader's pond."""
    saved = oxygencase.found(pond, "delivery")
    if saved is not None:
        return saved.high.m_as("lb/h")
    if not pond.has("water") or pond.invented:
        return 3.8          # of the demonstration pond, within the range of step 7
    each = _need(shape, start).each
    return Q(3600 * float(np.quantile(each, 0.95)), "kg/h").m_as("lb/h")


def two_duties(pond, system="US"):
    """How many diffusers mix the pond, what do they then do for the oxygen, and when does one more not help?"""
    shape, start = _start(pond)
    want = f"{min(max(_wanted(pond, shape, start), 0.1), 25):.3g} lb/h"
    deepest = with_water(pond).get("water", "deepest").m_as("m") / FOOT
    deep = max(deepest - plume.OFF_BOTTOM / FOOT, 0.5 * deepest)
    here = shape.water_at(start.temperature)
    full = float(here.saturation)
    dusk = oxygencase.dusk_of(shape, start).usual
    # of what the top takes in, this much stands in the need already: the exchange of a still night
    counted = float(sources.exchange_band(start.night_wind_speed, start.temperature, shape.area)[1])

    @functools.lru_cache(maxsize=64)
    def one_diffuser(flow, depth):
        gives = comparison.oxygen_by_bubbles(flow, depth, plume.uniform_column(here, start.floor))
        if not gives.low > 0:
            raise ValueError("water that holds the oxygen to keep takes no more from bubbles at this depth.")
        return gives, plume.lifted_water(flow, depth, water=here.at(20.0))

    def model(need, depth, flow, turnovers):
        gives, lifted = one_diffuser(flow, depth)
        per_air = Range(*(end / flow for end in gives))
        turned = duty.mixing_flow(shape.volume, turnovers)
        found = duty.diffusers_needed(need / 3600, turned, flow, per_air, lifted, shape.area)
        count = found.for_mixing.usual
        bubbles = Range(*(count * end for end in gives))
        room = max(full - start.floor, 0.0)
        top = [float(comparison.surface_uptake(count * water, start.floor, start.floor + room, shape.area, k))
               for water, k in zip(lifted, comparison.EXCHANGE, strict=True)]
        # at worst the top takes in no more than a still night does; at best that night was counted with hardly any
        top = Range(0.0, max(top[1] - counted * shape.area * room * 1e-3, 0.0), top[2])
        # the night in which a pond at its floor by dawn would have needed just this delivery, and no wind
        demand = need / 3600 + max(dusk - start.floor, 0) * shape.volume * 1e-3 / start.night
        ceiling = DEEP_GAIN * full
        into_empty = per_air.usual / (1 - start.floor / ceiling)
        number = np.arange(MOST_DIFFUSERS + 1)
        open_top = comparison.EXCHANGE.high * number * lifted.high / (number * lifted.high
                                                                      + comparison.EXCHANGE.high * shape.area)
        least, best = (duty.more_diffusers(shape.volume, shape.area, demand, start.night, max(dusk, start.floor),
                                           full, speed, flow, into_empty, ceiling, MOST_DIFFUSERS)
                       for speed in (0.0, open_top))
        return SimpleNamespace(need=found, wanted=need / 3600, bubbles=bubbles, top=top, least=least, best=best,
                               mixing=Range(*(turned / water for water in lifted[::-1])), rule=found.by_area / flow,
                               floor=start.floor)
    return Explorer("Two duties: mix, and deliver oxygen", model, draw.duties, _say_duties,
                    [Slider.of("oxygen", "delivery", want, "need", unit="kg/hour"),
                     Slider.of("air", "submergence", f"{deep:.3g} ft", "depth", low=f"{min(3, 0.5 * deepest):.3g} ft",
                               high=f"{deepest:.3g} ft", step=0.1),
                     Slider("flow", "Air through one diffuser", "air flow", "0.3 cfm", "6 cfm", "1.5 cfm", step=0.1),
                     Slider("turnovers", "Times mixed in a day", "number", "0.2", "5", "1", step=0.1)],
                    presets={"Shallow pond": {"depth": f"{min(4, deepest):.3g} ft"},
                             "A grim night": {"need": "11 lb/h"}}, system=system)


def _say_duties(result, system):
    mixing, alone = result.need.for_mixing, result.need.for_oxygen
    span = "" if mixing.low == mixing.high else f" ({mixing.low} to {mixing.high})"
    one = mixing.usual == 1
    best = result.bubbles.high + result.top.high
    verdict = ("The bubbles of that number are enough for the night." if result.bubbles.low >= result.wanted else
               "That may do or not, so keep a surface aerator ready for the bad night." if best >= result.wanted else
               "That is too little even at best, so keep a surface aerator ready for the bad night.")
    low, high = result.bubbles.low, result.bubbles.high
    return (f"Mixing takes {mixing.usual} diffuser{'' if one else 's'}{span}: size the system by that. On a bad night "
            f"{'it gives' if one else 'they give'} {show_range(low, high, 'oxygen rate', system)} from bubbles, and "
            f"the water lifted may take in up to {_rate(result.top.high, system)} more at the top; "
            f"{_rate(result.wanted, system)} is wanted. {verdict} Bubbles alone would take {alone.low} to {alone.high} "
            f"diffusers. The rule by area says {show(result.need.by_area, 'air flow', system, digits=2)}.")


# 6 ---- winter

def under_ice(pond, system="US"):
    """How many days does the oxygen last under ice and snow?"""
    shape, said = _start(pond)
    least = duty.SUPPLY_LIMIT               # below it the straight fall was not found to hold
    bottoms = shape.slabs()[1]
    days = np.linspace(0, 180, 61)

    def model(deepest, ice, dissolved_oxygen, floor, ice_days):
        scale = deepest / bottoms[-1]
        levels = (None, None) if shape.level_depth is None else (shape.level_depth * scale, shape.level_area)
        scaled = daynight.PondShape(shape.volume * scale, shape.area, *levels)
        if ice > 0.8 * deepest:
            raise ValueError("the ice would take up more than four fifths of the depth; such a pond freezes out.")
        volume, area = oxygencase.water_below(scaled, ice)
        loss = duty.winter_loss(volume, area)
        ends = duty.days_under_ice(volume, area, dissolved_oxygen, floor)
        return SimpleNamespace(days=days, lines=[_while_it_holds(dissolved_oxygen - rate * days) for rate in loss],
                               ends=ends, ice_days=ice_days, floor=floor, limit=duty.SUPPLY_LIMIT, loss=loss)
    return Explorer("Days of oxygen under ice", model, draw.winter, _say_winter,
                    [Slider.of("water", "deepest", f"{bottoms[-1] / 0.3048:.3g} ft",
                               label="Greatest depth, same shape"),
                     Slider("ice", "Ice", "bore", "0 in", "36 in", "10 in", step=1),
                     Slider("dissolved_oxygen", "Oxygen at freeze-up", "oxygen", "4 mg/L", "14 mg/L", "11 mg/L",
                            step=0.1),
                     _floor(said.with_values(floor=max(said.floor, least)), low=f"{least} mg/L"),
                     Slider("ice_days", "Days of ice and snow", "days", "0 d", "180 d", "75 d", unit="day", step=1)],
                    presets={"Shallow, long winter": {"deepest": "6 ft", "ice": "20 in", "ice_days": "130 d"},
                             "Deep": {"deepest": "25 ft"}}, system=system)


def _while_it_holds(oxygen_left):
    """The straight fall as far as it was found to hold; not-a-number below."""
    return np.where(oxygen_left >= duty.SUPPLY_LIMIT - 0.15, oxygen_left, np.nan)


def _say_winter(result, system):
    low, usual, high = result.ends
    lasts = ("lasts" if result.ice_days <= low else "does not last" if result.ice_days > high else
             "lasts only if the pond is poor enough in nutrients")
    return (f"From freeze-up the oxygen holds {low:.0f} days in a pond rich in nutrients, {usual:.0f} in one between "
            f"and {high:.0f} in a poor one, before it falls to {_mg(result.floor, system)}. For {result.ice_days:.0f} "
            f"days of ice it {lasts}.")


def nights_still(log, fit, system="US"):
    """Readings of a log and the fit of its nights, which do not move."""
    return style.Still(draw.nights, log, fit, system, alt=findings.say_fit(log, fit))


WORKBOOK = "02-how-much-oxygen"
RUNS = 1000
SEEN = ("Fish gulping at dawn, or dead, count more than this budget: the pond has been short of oxygen at least once, "
        "whatever the numbers above say. Plan as for a pond that runs short, and keep an emergency aerator ready.")

# of Described, in the order of the form
FIELDS = ("fish", "temperature", "secchi_depth", "weed_cover", "feed_per_day", "wind_speed", "night_wind_speed", "dusk",
          "night", "floor")
NEEDED = ("fish", "temperature")
LINES = ("7:00 PM, 10.2 mg/L, 80 °F\n10:00 PM, 8.7 mg/L, 79 °F", "19:00, 10.2 mg/L, 27 °C\n22:00, 8.7 mg/L, 26 °C")
WHERE = {"I do not know": oxygencase.NOT_KNOWN, "Near the top": oxygencase.NEAR_TOP,
         "Mean of several depths": oxygencase.SEVERAL}
MUCH_MORE = 1.0     # mg/L over the mean of the readings of workbook 05 from which a mean at dusk is doubted; our choice
NO_PLACE = ("Your record does not say where the oxygen at dusk was read, so it counts as read near the top. Choose "
            "where it was, work it out and save again.")


class OwnOxygen(OwnForm):
    """Describe a pond in a landowner's words, see chance and delivery, and save them to the pond record."""

    def __init__(self, pond, system="US"):
        self._system, self._pond = system, with_water(pond)
        self._area = pond.get("water", "area").usual if pond.has("water") else None
        start = oxygencase.described_from(pond)
        change = {"fish": self._by_area, "feed_per_day": _by_day}
        self.fields = {name: self._box("oxygen", name, self._text(start, name), optional=name not in NEEDED,
                                       bare="hour" if name == "night" else None, convert=change.get(name))
                       for name in FIELDS}
        if system != "US":
            self.fields["fish"].description = ROWS["oxygen", "fish"].box.replace("acre", "hectare")
        words = (f"The water is that of {self._pond.name}." if pond.has("water") else
                 f"No volume is saved for your pond yet, so this uses the water of {self._pond.name}. Do workbook 01 "
                 "first.")
        if not oxygencase.rests_on_a_place(pond):
            words = f"{words}\n{NO_PLACE}"
        boxes = {"color": self._list("oxygen", "color", COLORS, start.color),
                 "mud": self._list("oxygen", "mud", MUDS, start.mud)}
        for name, box in self.fields.items():
            boxes[name] = box
            if name == "dusk":
                boxes["where"] = self._list("oxygen", "dusk_where", WHERE, oxygencase.NOT_KNOWN if start.dusk is None
                                            else start.dusk_where)
        boxes |= self._offer(pond) | {"seen": W.Checkbox(
            description=ROWS["oxygen", "seen_short"].box, indent=False, layout={"width": "auto"},
            value=pond.get("oxygen", "seen_short") == "yes")}
        super().__init__("the oxygen of my pond", boxes, "oxygen", WORKBOOK, words=words)

    def _offer(self, pond):
        """A button that takes the mean of the readings of workbook 05, by its name; empty where there are none."""
        mean = None if pond.invented else findings.mean_oxygen(pond)
        self._mean = None if mean is None else f"{yearcase.rounded_down(mean)} mg/L"
        if mean is None:
            return {}
        button = W.Button(description=f"Use {self._mean}, the mean of workbook 05", layout=FIT)
        button.on_click(lambda _: self._take())
        return {"offer": button}

    def _take(self):
        self.fields["dusk"].value, self.where.value = self._mean, oxygencase.SEVERAL

    def _by_area(self, value):
        """Pounds of the whole pond as pounds an acre."""
        if not value.check("[mass]"):
            return value
        if self._area is None:
            raise QuantityError("that is for the whole pond, whose area is not known yet. Do workbook 01 first, or "
                                f"write it per {'acre' if self._system == 'US' else 'hectare'}.")
        return value / self._area

    def _text(self, start, name):
        if getattr(start, name) is None:
            return ""
        kind = ROWS["oxygen", name].kind
        digits = 2 if kind == "wind" else 3 if self._pond.get("oxygen", name) is None else 4
        return plain(start.quantity(name), kind, self._system, digits)

    def _kept(self):
        """As in every form, but nothing of the demonstration pond."""
        if self._pond.invented:
            raise ValueError("this is the water of the demonstration pond. Start your own pond in workbook 00 and find "
                             "its volume in workbook 01; then its oxygen can be saved.")
        return self.values

    def described(self):
        """What the form says, or ValueError with advice."""
        return asked(oxygencase.Described)(color=self.color.value, mud=self.mud.value, dusk_where=self.where.value,
                                    **read_all(**self.fields))

    def _about_dusk(self, shape, wanted):
        """Sentences on where the oxygen at dusk was read, and what the readings of workbook 05 say about it."""
        words = [said for said in [findings.say_dusk(shape, wanted, self._system)] if said]
        if self._mean is None:
            return words
        mean = f"Your readings of workbook 05 have a mean of {self._mean} by volume"
        if wanted.whole is None:
            words.append(f"{mean}. If they were read toward evening, the button above takes that for the whole pond.")
        elif wanted.whole > read_quantity(self._mean).m_as("mg/L") + MUCH_MORE:
            words.append(f"Note: {mean[0].lower()}{mean[1:]}, much less than the {wanted.whole:.3g} mg/L written here. "
                         "Was that read near the top? Then choose so.")
        return words

    def _found(self):
        wanted = self.described()
        shape = oxygencase.shape_of(self._pond)
        chance, need, values = findings.oxygen(shape, wanted, RUNS)
        can_be = [name for name in chance.weight if not findings.DOUBT_WORDS[name][1].startswith("nothing")]
        said = [findings.say_oxygen(values, self._system), *self._about_dusk(shape, wanted),
                findings.say_delivery(need, self._system),
                *(f"Measure next, for {findings.DOUBT_WORDS[name][0]}: {findings.DOUBT_WORDS[name][1]}."
                  for name in can_be[:2])]
        if self._area is not None:
            fish = values["fish"]
            said.append(f"Reckoned with {show(fish * self._area, 'mass', self._system)} of fish, which is "
                        f"{show(fish, 'stocking', self._system)}.")
        secchi, deepest = self.fields["secchi_depth"].read(), self._pond.get("water", "deepest")
        if secchi is not None and deepest is not None and secchi > deepest:
            said.append(f"Note: a Secchi depth of {show(secchi, 'depth', digits=2, both=True)} is deeper than the pond,"
                        f" {show(deepest, 'depth', digits=3, both=True)} at its deepest. If the disk was seen on the "
                        "bottom, that is clear water; else check the number and its unit.")
        if self.seen.value:
            said.append(SEEN)
            values["seen_short"] = "yes"
        words = {findings.DOUBT_WORDS[name][0]: value for name, value in chance.weight.items()}
        result = SimpleNamespace(lows=chance.lows, level=wanted.floor, chance=chance.chance, weight=words)
        shown = f"Lowest oxygen of {RUNS} ponds that fit your description. {said[0]}"
        return said, values, self._drawn("own-chance", shown, draw.chance, result, self._system)


def _by_day(value):
    """A weight of feed as the weight of one day."""
    return value / read_quantity("1 day") if value.check("[mass]") else value


class OwnReadings(OwnForm):
    """Type a few night readings or choose a log file; see what they say and what to measure next."""

    def __init__(self, pond, system="US"):
        self._system, self._pond = system, with_water(pond)
        metric = system != "US"
        super().__init__("my own oxygen readings", {
            "given": FileOrText("Log file (CSV)", "or readings, one a line: time, oxygen, temperature", LINES[metric],
                              "choose a log file, or type two readings or more, one a line, such as "
                              f"“{LINES[metric].splitlines()[0]}”."),
            "temperature": self._box("oxygen", "read_temperature", optional=True),
            "dawn": W.Text(description="Dawn, where you are", value="6:00 AM")}, go="Read them", trouble="Not read",
            words=f"Read at one place and one depth. {oxygenlog.ONE_DEPTH}")

    def _log(self, water):
        given = self.given.read()
        if isinstance(given, bytes):
            return oxygenlog.read_log(given, None, water)
        return oxygenlog.hand_log(given, water)

    def _found(self):
        warm, shape = read_all(warm=self.temperature).get("warm"), oxygencase.shape_of(self._pond)
        water = shape.water_at(np.nan if warm is None else warm.m_as("degC"))
        log = self._log(water)
        if warm is None and not (log.temperature == log.temperature).any():
            raise ValueError("the readings carry no temperature. Write it in the box "
                             f"“{self.temperature.description}”, such as {self.temperature.example}.")
        dawn = _clock(self.dawn.value)
        fit = oxygenlog.fit_nights(log, water, dusk=_dusk(log), dawn=min(dawn, 12.0))
        words = [findings.say_nights(log, fit), *_forecast(log, fit, dawn, self._system)]
        return words, None, self._drawn("own-nights", findings.say_fit(log, fit), draw.nights, log, fit, self._system)


def _clock(text):
    """Hour of the day from text such as ``6:00 AM``."""
    moment = read_moment(text)
    if moment is None or moment.year != 1:
        raise ValueError(f"“Dawn, where you are” cannot be {quoted(text)}; write it as 6:00 AM or 6:00.")
    return moment.hour + moment.minute / 60


def _dusk(log):
    """Readings typed by hand begin when their writer calls it dusk; a long log keeps to full darkness."""
    first = float(log.clock[0])
    return first if len(log.hours) <= 12 and 16.0 <= first < 24.0 else 20.0


def _forecast(log, fit, dawn, system):
    """For the last night, if it ends before dawn: both ways of carrying two readings on."""
    rows = fit.nights[-1]
    first, last = rows[0], rows[-1]
    ahead = (dawn - log.clock[last]) % 24
    if last != len(log.hours) - 1 or not 0.5 < ahead < 14:
        return []
    try:
        ends = oxygenlog.night_line(log.dissolved_oxygen[first], log.dissolved_oxygen[last],
                                    3600 * (log.hours[last] - log.hours[first]), 3600 * ahead)
    except ValueError as problem:
        return [f"No forecast for dawn: {plainly(problem)}"]
    low, high = min(ends.straight.low, ends.curve.low), max(ends.straight.high, ends.curve.high)
    usual = [show(way.usual, "oxygen", system, digits=2) for way in (ends.straight, ends.curve)]
    spread = show_range(low, high, "oxygen", system)
    return [f"Carried on to dawn, {ahead:.1f} hours after the last reading: {usual[0]} by the straight line, "
            f"{usual[1]} by the curve, {spread} with the slips of a meter. {oxygenlog.ONE_DEPTH}"]
