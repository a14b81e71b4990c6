"""What is the whole plan of one pond, part by part, and how does it look on paper?

The chain of :mod:`pondcalc.your_plan.plan` is laid out beside what the other workbooks saved: line, power, cabinet,
layers and the first start. Where a workbook has not been done, the line says so and the plan's own simple number
stands in. What is out of date is marked, and what comes from the demonstration pond too.

On paper, to carry to a shop, an electrician or an extension office, it is one self-contained page: no script, no
picture, nothing fetched from anywhere, US units first, metric in brackets. What to do when fish gasp goes along as a
page of its own. The page is the template ``planparts.html``; all that fills it is escaped. Where an installed web
browser can print without a window, it makes the PDF; otherwise the page says how to print itself.

What this leaves out: the site visit. Every caution here gives way to local codes, labels and licensed people.
"""

import datetime
import functools
import html
import itertools
import os
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from .. import findings, record, water
from ..back_pressure import compressor, lineplan, reach
from ..bubbles_and_oxygen import plume
from ..catalogue import ROWS, SECTIONS, assumed
from ..how_much_oxygen import fishlimits, oxygencase
from ..power_and_housing import housing, lifecost, wiring
from ..refusals import plainly
from ..spellings import either, reading
from ..the_year import firststart, yearcase
from ..units import Q, Range, asked, show, show_range
from . import plan, staleness, tobuy, verdict
from .plan import PlanLine

SIGN_OFF = (
    ("Licensed electrician", "circuit, ground-fault protection, wire, disconnect, outdoor outlet or hard wiring (NEC "
                             "article 682 or the local code)"),
    ("Local authority", "building, electrical, shoreline or dam permits, where they apply"),
    ("Extension office or fisheries biologist", "stocking, the first start, and the plan for a bad night"),
    ("Owner", "readings at dawn, the machine's own curve, and the schedule of the first start"),
)
NOT_YET = "not known yet"
OLD_SCHEDULE = "The first-start schedule {} is out of date: do workbook 07 again before you switch on."
MORE_RULES = ("Stop too when fish gulp or crowd the edge, or the water smells of rotten eggs. After a stop wait a day, "
              "then run half as long. Gas and ammonia are not counted. Best start in spring. All rules: workbook 07.")
SECOND_PLACE = ("Second deep place, by the soundings: sound between the two to be sure. These sums work the pond as "
                "one, with all diffusers at one depth. Below its sill that place stays stagnant unless it gets a "
                "diffuser of its own, so count {} at least. The one less deep takes most of the air unless each has a "
                "valve.")
SECOND_START = ("The second deep place is in none of these numbers. It has layers and stagnant water of its own, which "
                "a storm can bring up, and needs a first start of its own: read it there too, and keep its diffuser "
                "off until the rest is mixed and it was read again. Then start it as slowly, by the same rules.")
READ_AGAIN = "Layers change with the season: read temperature and oxygen again just before the first start."


class PlanPart(NamedTuple):
    """One part of the plan: title, lines with their sources, and sentences."""

    title: str
    lines: tuple
    words: tuple


class WholePlan(NamedTuple):
    """The plan of one pond: verdict, parts, a warning before switching on (or empty), what is out of date.

    `unknowns` are what to measure, `others` this plan and two changed ones to lay side by side, `count` how many
    diffusers (:class:`tobuy.Count`), `size` which line (:class:`tobuy.LineSize`), `borrowed` the workbooks whose
    numbers are those of the demonstration pond, `offers` those of workbook 06 set against the line.
    """

    pond: Any
    plan: Any
    verdict: Any
    parts: tuple
    hold: str
    stale: tuple
    unknowns: tuple
    others: tuple
    count: Any
    size: Any
    borrowed: tuple
    offers: tuple


def has_schedule(pond):
    """Whether workbook 07 saved a first-start schedule."""
    return bool(pond.get("year", "start_hours"))


def _refused(pond):
    """What workbook 07 said where it found no ladder; nothing where it found one, or where that is out of date."""
    if has_schedule(pond) or any(item.section == "year" for item in staleness.stale(pond)):
        return ""
    return pond.get("year", "start_rule", "")


def _ends_early(pond):
    """Why the readings of workbook 05 end too early to start by; empty where they do not, or where none are kept."""
    if pond.get("layers", "reading_depth") is None:
        return ""
    deepest = float(findings.pond_shape(pond)[0][-1])
    return firststart.unread_below(findings.pond_profile(pond), yearcase.submergence(pond, deepest), deepest)


def _schedule_is_old(pond):
    """Whether that schedule rests on something found out again later, on readings that end too early, or on sums that
    name no ranges, as once."""
    runs, ranges = (pond.get("year", key) or () for key in ("start_hours", "start_ranges"))
    followed = any(item.section == "year" for item in staleness.stale(pond))
    return bool(runs) and (followed or len(runs) > 1 and not ranges or bool(_ends_early(pond)))


def hold(pond):
    """What the section ``layers`` says about switching on: a warning, or nothing where the pond was read as mixed."""
    kind, when = pond.get("layers", "kind"), pond.get("layers", "read_on")
    read = f" (read {when})" if when else ""
    if kind is None:
        return ("Layers not known: read temperature and oxygen from top to bottom (workbook 05) before the first "
                "start.")
    early = _ends_early(pond)
    if early:
        return (f"DO NOT SWITCH ON: NOT READ DEEP ENOUGH{read}. {early} Save those readings in workbook 05 and do "
                "workbook 07 again.")
    if kind == "mixed":
        return "" if not findings.has_second(pond) else (
            "SECOND DEEP PLACE: it may be layered though the deepest was read as mixed. Read it too before the start.")
    why = "warm water over cold" if kind == "warm over cold" else kind
    then = (OLD_SCHEDULE.format("below") if _schedule_is_old(pond) else
            "Follow the first-start schedule below, after new readings." if has_schedule(pond) else
            "Workbook 07 found no ladder for these readings; why not, and what to do, stands below."
            if _refused(pond) else
            "Do workbook 07 for a first-start schedule, or wait for spring or fall, when the pond is mixed.")
    return f"DO NOT SWITCH ON: LAYERED, {why}{read}. {then}"


def cautions(pond):
    """What can go wrong, each a sentence or two; the first start as far as it is known."""
    schedule = (OLD_SCHEDULE.format("above").rstrip(".") if _schedule_is_old(pond) else
                "Follow the first-start schedule above with a meter in hand" if has_schedule(pond) else
                "There is no schedule: do not switch on before the readings allow, and have a meter in hand"
                if _refused(pond) else
                "The schedule is not known yet: do workbook 07 before you switch on, and have a meter in hand")
    return (
        "First start: in a pond that is warm on top and cold below, full power on the first day can spread water "
        f"without oxygen through the whole pond and kill the fish. {schedule}; stop if fish gulp at the surface.",
        "Electricity: compressor, outlet and wiring stand on land, above high water; only air goes into the pond. "
        f"Ground-fault protection on the circuit. Above high water means {wiring.high_water()}.",
        "Service: unplug first. A run capacitor holds its charge after the plug is out: leave the housing of motor and "
        "compressor to someone trained.",
        "A blocked line: fit a relief valve set below the machine's limit, and never let it run against a closed line.",
        f"Hot discharge: the line gets hot enough to burn skin and soften plastic. Metal or rated hose for "
        f"{tobuy.hot_metal()}. No PVC above ground for compressed air: it shatters.",
        "Bad air: the first mixing can bring up foul gas from the bottom. Stay upwind and off the water.",
        "Boat work: life jacket on, never alone, not in cold water.",
        "Digging: call 811 first. Private lines are not marked. Trench walls cave in and kill: keep out of a deep one.",
        "Winter: moving water makes thin ice. Fence and sign open water as your state requires, or leave the air off.")


def mark(line, whole, on_paper=False):
    """The line's source, marked where the section behind it is out of date or is not this pond's own."""
    book = line.source[:2]
    if book in whole.borrowed:
        return f"{line.source}, EXAMPLE"
    old = {SECTIONS[item.section].found_in for item in whole.stale}
    return f"{line.source}, {'OLD' if on_paper else 'OUT OF DATE'}" if book in old else line.source


def warnings_of(whole, on_paper=False):
    """What must stand on top of a plan: that it is an example, what is out of date, and a hold on switching on.

    On paper what is out of date stands in short, so that the sheet keeps short.
    """
    example = (f"EXAMPLE, not a plan: the numbers of workbook {' and '.join(whole.borrowed)} are those of an invented "
               "pond. Do workbook 01 for your own pond first.",) if whole.pond.invented else ()
    old = staleness.on_paper(whole.stale) if on_paper else tuple(item.words for item in whole.stale)
    return (*example, *([whole.hold] if whole.hold else []), *old)


def _saved(pond, section, rows):
    """Lines of those fields of a section that are there."""
    source = SECTIONS[section].found_in
    return [PlanLine(words, pond.get(section, key), kind, source) for words, key, kind in rows
            if pond.get(section, key) is not None]


def _need(pond, made, system):
    """Value and kind of the oxygen to deliver, in the words of the verdict."""
    order = ("US", "metric") if system == "US" else ("metric", "US")
    first, then = (verdict.say_needed(pond, made, each) for each in order)
    return (first if then == first else f"{first} ({then})"), "text"


def _water(pond, made, system):
    c = made.choices
    found, chance = staleness.came_from(pond, "water"), oxygencase.found(pond, "chance")
    lines = [PlanLine("Water in the full pond", c.volume, "volume", found),
             PlanLine("Surface", pond.get("water", "area"), "area", found),
             PlanLine("Deepest place", pond.get("water", "deepest"), "depth", found),
             *_saved(pond, "water", [(ROWS["water", key].label, key, ROWS["water", key].kind) for key in
                                     ("second_deepest", "sill", "behind_sill")]),
             PlanLine("Oxygen at dawn without air", c.dawn or made.budget.dawn, "oxygen",
                      "08, simple" if c.dawn is None else "02"),
             PlanLine("Oxygen if it mixed at once", *verdict.mixed_at_once(pond), "05"),
             PlanLine("Imagined ponds that fall short", chance, "share", "02"),
             PlanLine("Oxygen to keep", c.floor, "oxygen", "08, assumed" if "floor" in c.assumed else "02"),
             PlanLine("Oxygen the air must deliver", *_need(pond, made, system),
                      "08, simple" if c.delivery is None else "02")]
    words = () if c.delivery is not None else (
        "The one-night budget stacks every bad case; workbook 02 gives the number to size for.",)
    return PlanPart("Water and need", tuple(line for line in lines if line.value is not None), words)


def _lift(pond, made):
    """Water lifted and the time for one pond volume: as saved, else by the simple chain."""
    saved = _saved(pond, "air", [("Water the bubbles lift", "lifted", "water flow"),
                                 ("Time to lift one pond volume", "turnover", "time")])
    if saved or made.point is None:
        return saved
    one = plan.alternative("", made.choices)
    return [PlanLine("Water the bubbles lift", one.lifted, "water flow", "08"),
            PlanLine("Time to lift one pond volume", one.turnover, "time", "08")]


def _diffusers(pond, made, count):
    c, own = made.choices, pond.has("air")
    depth = "03" if pond.get("air", "submergence") is not None else (
        "04" if pond.get("line", "submergence") is not None else "01")
    kind = pond.get("air", "diffuser")
    lines = [PlanLine(f"Diffusers, {kind}" if kind else "Diffusers", float(c.diffusers), "count", "03") if own else
             PlanLine("Diffusers to ask for", Range(*map(float, count.number)), "count", "08"),
             PlanLine("Depth of the diffusers", c.submergence, "depth", depth),
             *_saved(pond, "air", [("Air wanted, all together", "flow_free_air", "air flow")])]
    given = verdict.oxygen_given(pond, made)
    if given is not None:
        met = "" if given.source == "03" else ", water at the oxygen to keep"
        lines.append(PlanLine(f"Oxygen out of the bubbles{met}", Range(*(max(v, 0.0) for v in given.bubbles)),
                              "oxygen rate", given.source))
        if given.bubbles.low > 0:
            flow = (made.point.flow_free_air if given.source == "08" else
                    pond.get("air", "flow_free_air").usual.m_as("m^3/s"))
            saved = oxygencase.found(pond, "need")
            needs = made.budget.delivery if saved is None else findings.plain(saved, "kg/s")
            alone = Range(*(want / gives * flow for want, gives in zip(needs, given.bubbles[::-1], strict=True)))
            lines.append(PlanLine("Air, if bubbles alone did it", alone, "air flow", "08, simple"))
    lines += _lift(pond, made)
    apart = show(plume.plume_spacing(c.submergence), "distance", digits=2, both=True)
    above = either("2 ft", "0.6 m")
    where = (f"Where: the deepest place, about {above} off the bottom." if c.diffusers == 1 else
             f"Where: spread over the deepest part, {apart} apart or more, all at one depth, each about {above} off "
             "the bottom.")
    second = ()
    if findings.has_second(pond):
        second = (SECOND_PLACE.format("two diffusers" + (", one more than this plan has" if c.diffusers < 2 else "")),)
        where = f"Where: at least one in each deep place, each about {above} off the bottom, {apart} apart or more."
    return PlanPart("Diffusers and air", tuple(lines), (where, *second, *(() if own else count.reasons)))


def _line(pond, made):
    c = made.choices

    def source(name):
        return "08, assumed" if name in c.assumed else "04"
    lines = [PlanLine("Line, machine to diffuser", c.length, "distance", source("length")),
             PlanLine("True inside diameter", c.inside_diameter, "bore", source("inside_diameter")),
             PlanLine("Pressure of the water above it", made.pressure.static, "pressure", "08")]
    saved = _saved(pond, "line", [("Gauge should read, new to aged", "pressure_gauge", "pressure"),
                                  ("Rated pressure to ask for, on this line", "pressure_rated", "pressure")])
    if saved:
        return PlanPart("Pressure and line", (*lines, *saved), ())
    asked = Range(made.pressure.working, made.pressure.total, made.pressure.total * plan.ROOM)
    return PlanPart("Pressure and line", (*lines, PlanLine("Pressure to ask for, with losses and margin", asked,
                                                           "pressure", "08")),
                    (f"Your own line and parts: {NOT_YET}; do workbook 04.",))


def _offers(pond, system):
    """Offers of the record set against its line, and the sentence about them, empty where there are none."""
    try:
        judged, place = lifecost.saved_judged(pond, system), lineplan.saved_line(pond)
    except ValueError as problem:
        place = lineplan.saved_line(pond)
        if place is not None and reach.too_thin(place, system):
            return (), f"Offers [06]: {plainly(problem)}"
        # a record mended by hand
        return (), "Offers [06]: they cannot be read any more. Do the form of workbook 06 again and save."
    short = "; ".join(lifecost.say_short(one, place, system) for one in judged)
    return tuple(judged), f"Offers [06], set against the line of now: {short}." if short else ""


def _machine(pond, made, system, said_offers):
    flow = made.point.flow_free_air if made.point else float(made.choices.open_flow)
    fits = compressor.suitable_families(made.choices.submergence, made.pressure.total, flow, system)
    does, verdict_words = verdict.of_machine(pond, made, system)
    if does:
        by = {answer: ", ".join(item.family.name for item in fits if item.fits == answer) or "none"
              for answer in ("yes", "maybe")}
        words = [f"{verdict_words} Ask whether it is rated to run day and night.",
                 f"Kinds of machine usual at this depth and air: {by['yes']}; at the edge of their usual range: "
                 f"{by['maybe']}. That says nothing against a machine whose curve fits."]
    else:
        words = [verdict_words] if verdict_words else []
        kinds = [f"{'Fits' if item.fits == 'yes' else 'Maybe'}, {item.family.name}: {item.words}" for item in fits
                 if item.fits != "no"]
        words += kinds or ["No small kind of machine fits; change the depth, the line or the air."]
    lines = []
    if made.point is not None:
        own = "Your compressor" if made.choices.curve is not None else "A generic compressor"
        lines = [PlanLine(f"{own} would send", made.point.flow_free_air, "air flow", "08"),
                 PlanLine("and its gauge would read, diffuser aged", made.point.pressure_gauge, "pressure", "08")]
    words += [said_offers] if said_offers else []
    return PlanPart("Compressor", tuple(lines), (*words, "Ranges of the kinds are common practice, no source.",
                                                 *([made.trouble] if made.trouble and does is None else [])))


def _power(pond, made):
    lines, words = [], []
    lines += _saved(pond, "power", [(f"Power, {pond.get('power', 'found') or 'from plate or meter'}", "power", "power"),
                                    ("Current", "current", "current"), ("Copper wire, AWG", "wire_gauge", "number")])
    current, gauge = pond.get("power", "current"), pond.get("power", "wire_gauge")
    if current is not None:
        needed = asked(wiring.circuit_needed)(current)
        lines.append(PlanLine("Wire and breaker rated for at least", needed, "current", "06"))
    if gauge is not None and 9 <= (number := int(gauge.m_as("dimensionless"))) <= 14:
        largest = asked(wiring.largest_breaker)(number)
        lines.append(PlanLine("Largest breaker usual on that wire", largest, "current", "06"))
    run = pond.get("power", "run_length")
    way = f"over {show(run, 'distance', digits=2, both=True)} of wire" if run is not None else "on the way"
    lines += _saved(pond, "power", [(f"Voltage lost {way}", "voltage_drop", "share"),
                                    ("Air through the cabinet on the hottest day", "fan_flow", "air flow")])
    if pond.get("power", "power") is None and made.point is not None:
        lines.append(PlanLine("Electric power it would draw", made.power, "power", "08"))
    if current is None:
        words.append(f"Wire and breaker: {NOT_YET}; do workbook 06.")
    if pond.get("power", "fan_flow") is None:
        words.append(f"Cabinet and its fan: {NOT_YET}; do workbook 06.")
    return PlanPart("Power and cabinet", tuple(lines), tuple(words))


def _watts(pond, made):
    """Power (W) as saved, else as reckoned, and where it comes from; None where no air arrives."""
    kept = pond.get("power", "power")
    if kept is not None:
        return findings.plain(kept, "W"), "06"
    return (made.power, "08") if made.point else (None, "08")


def _cost(pond, made):
    watts, source = _watts(pond, made)
    if watts is None:
        return PlanPart("Cost", (), ("No cost without air.",))
    price = made.choices.price
    year = Range(*(housing.cost_per_year(w, price) for w in watts))
    days = housing.air_days(pond)
    own = [] if days.running == housing.ALL_YEAR else [
        PlanLine(f"In your months, {days.running} of 365 days",
                 Range(*(days.running / housing.ALL_YEAR * cost for cost in year)), "money a year", f"{source}, 07")]
    lines = [PlanLine("Price of electricity", Q(price * 3.6e6, "$/kWh"), "price",
                      "08, assumed" if "price" in made.choices.assumed else "00"),
             PlanLine("Electricity, one year day and night", year, "money a year", source), *own,
             PlanLine("Ten years of the machine", plan.ten_years(watts, price, days.seconds), "money", "08, generic")]
    offers = "your offers stand above" if pond.has("offers") else "put in your offers [06]"
    month = show_range(year.low / 12, year.high / 12, "money")
    return PlanPart("Cost", tuple(lines), (
        f"A month of running: {month}. Ten years: run {days.words}; power, parts, upkeep, new machines at generic "
        f"prices (common practice, no source); {offers}.",))


def _grouped(words):
    """Neighbors that are alike said once, such as ``2 (4 days)``."""
    runs = [(word, len(list(group))) for word, group in itertools.groupby(words)]
    return [f"{word} ({many} days)" if many > 2 else ", ".join([word] * many) for word, many in runs]


def _go(readings):
    """Least readings at dawn: each of the first seven days, then the highest of the rest."""
    values = [reading.m_as("mg/L") for reading in readings]
    first = ", ".join(_grouped([f"{value:.1f}" for value in values[:7]]))
    later = f"; from day 8: {max(values[7:]):.1f}" if len(values) > 7 else ""
    return f"{first}{later} mg/L or more; else wait a day"


def _start(pond, system):
    read, last = pond.get("layers", "read_on"), (READ_AGAIN,)
    if findings.has_second(pond):
        last = (SECOND_START, READ_AGAIN)
    lines = _saved(pond, "layers", [(f"Layers, read {read}" if read else "Layers", "kind", "text"),
                                    ("Harm if it mixed at once", "harm", "text")])
    ends = [pond.get("layers", f"{end}_temperature") for end in ("surface", "bottom")]
    if None not in ends:
        both = "; ".join(show(end, "temperature", digits=2, both=True) for end in ends)
        lines.insert(1, PlanLine("At the top; at the bottom", both, "text", "05"))
    early = _ends_early(pond)
    if early or not has_schedule(pond):
        return PlanPart("Layers and first start", tuple(lines), (early or _refused(pond) or (
            f"First-start schedule: {NOT_YET}; do workbook 07 before you switch on."), *last))
    hours = [yearcase.run_text(h.m_as("hour")) for h in pond.get("year", "start_hours")]
    go, stop, rule = (pond.get("year", key) for key in ("go_reading", "stop_reading", "start_rule"))
    steps = ", ".join(_grouped(hours[:-1])) + "; then 24 h as said below" if len(hours) > 1 else hours[0]
    lines.append(PlanLine("Run times, day by day", steps, "text", "07"))
    if go:
        lines.append(PlanLine("Run that day only if the meter at dawn reads", _go(go), "text", "07"))
    lines += _saved(pond, "year", [("Stop when the top water reads below", "stop_reading", "oxygen"),
                                   ("Days until mixed", "days_to_mix", "days")])
    season = housing.air_days(pond).season
    if season:
        lines.append(PlanLine("Months with air", season, "text", "07"))
    words = [rule] if rule else []
    if len(hours) > 1 and go and stop is not None and pond.get("year", "floor") is not None:
        gone = yearcase.say_gone(pond.get("year", "floor").m_as("mg/L"), system, both=True)
        words = [f"24 h only when the readings show the cold stagnant water gone: {gone}. {MORE_RULES}"]
    elif len(hours) > 1:
        words.append("These run times hold only under conditions, and 24 h only once the cold stagnant water is gone: "
                     "see workbook 07 for the conditions.")
    return PlanPart("Layers and first start", tuple(lines), (*words, *last))


def _others(choices, line):
    """The plan and two others; a change the pond does not allow is left out."""
    made = [plan.alternative("The plan", choices)]
    for change in ("One diffuser more, on the same air", line):
        try:
            made.append(plan.changed_plan(choices, change)[1])
        except ValueError:
            continue
    return tuple(made)


def _borrowed(pond):
    """Workbooks whose numbers are those of the demonstration pond."""
    if not pond.invented:
        return ()
    kept = record.demo().sections
    return tuple(SECTIONS[name].found_in for name in pond.sections if pond.sections[name] == kept.get(name))


def whole_plan(pond, system="US"):
    """The plan of a pond from its record.

    pond (record.PondRecord).
    system ({"US", "metric"}): Units inside sentences.
    Returns: WholePlan.
    Raises ValueError: If the record has no water yet, or the pond is too shallow.
    """
    with reading(system):
        return _whole(pond, system)


def _whole(pond, system):
    made = plan.first_plan(plan.choices_from(pond))
    read = findings.pond_profile(pond)
    layered = plume.Column(read.depth, water.Water(read.temperature), np.zeros(len(read.depth)))
    count = tobuy.diffuser_count(made, layered, system, 1 + findings.has_second(pond))
    if not pond.has("air"):                 # nobody chose a number yet, so the plan takes the one it advises
        made = plan.first_plan(plan.changed(made.choices, diffusers=int(count.number.usual)))
    size, (offers, said_offers) = tobuy.line_size(made), _offers(pond, system)
    wider = "A line of 1-1/2 times the bore" if size.better else "A line of 3/4 the bore"
    parts = (_water(pond, made, system), _diffusers(pond, made, count), _line(pond, made),
             _machine(pond, made, system, said_offers), _power(pond, made), _cost(pond, made), _start(pond, system))
    return WholePlan(pond, made, verdict.verdict(pond, made, system), parts, hold(pond), staleness.stale(pond),
                     tuple(plan.matters_most(made.choices)), _others(made.choices, wider), count, size,
                     _borrowed(pond), offers)


def say_assumed(whole, system="US"):
    """What was assumed because nothing is saved, with the numbers; empty where nothing was."""
    rows = (assumed()[name] for name in whole.plan.choices.assumed)
    shown = [f"{row.words} {row.usual_in(system, plan.digits(row.kind))}" for row in rows]
    return f"Assumed, because nothing is saved: {'; '.join(shown)}." if shown else ""


def say_side_by_side(others, system="US"):
    """Plans as lines of text: each number of the first plan, then of the others."""
    head, *rows = plan.side_by_side(others, system)
    names = "; ".join(f"{letter}: {name}" for letter, name in zip("ABCDEF", head[1:], strict=False))
    return [names, *(f"{row[0]}: " + "; ".join(f"{letter} {cell or 'none'}" for letter, cell in
                                               zip("ABCDEF", row[1:], strict=False)) for row in rows)]


def worded(whole, system="US", on_paper=False):
    """What text and paper both say of a plan; on paper values stand in both systems and marks are short.

    Returns: dict: warnings, verdict, parts (title, rows of words, value and source, sentences), what to measure first,
        and what was assumed or doubted.
    """
    parts = [{"title": part.title, "words": part.words,
              "rows": [(line.words, plan.say_value(line, system, both=on_paper), mark(line, whole, on_paper))
                       for line in part.lines]} for part in whole.parts]
    return {"warnings": warnings_of(whole, on_paper), "verdict": whole.verdict, "parts": parts,
            "unknowns": [plan.say_swings(outcome, swing, system, both=on_paper)
                         for outcome, _, swing in whole.unknowns],
            "assumed": [say_assumed(whole, system), *whole.plan.notes]}


def say_whole(whole, system="US"):
    """The whole plan as text: warnings and verdict first, then each part with the workbook behind each number."""
    said = worded(whole, system)
    lines = [*said["warnings"], "", "VERDICT", whole.verdict.headline, *whole.verdict.reasons]
    for part in said["parts"]:
        rows = [f"{words}: {value}   [{source}]" for words, value, source in part["rows"]]
        lines += ["", part["title"].upper(), *rows, *part["words"]]
    lines += ["", "SIDE BY SIDE, by the simple chain of workbook 08", *say_side_by_side(whole.others, system)]
    return "\n".join([*lines, "", "MEASURE FIRST", *said["unknowns"], "", *said["assumed"]]).strip()


# names under which browsers that can print to a file without a window are started
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge",
            "msedge")
HOW_TO_PRINT = ("To get a PDF or paper: open the page in a web browser, choose Print (Ctrl+P, or Command+P), paper "
                "size Letter or A4, and “Save as PDF” or a printer.")
PATIENCE = 90.0         # s to wait for a browser
SAID_ABOVE = ("Diffusers", "Bore of the line", "Power")         # rows of other plans that the parts above give


def _costs(whole):
    """First costs, with empty columns for the offers a person gets."""
    rows = tobuy.costs(whole)
    rows.append(("Sum", tobuy.total(rows)))
    got = [(one.quote.name, one.reach.does, show(one.quote.price, "money")
            + (f", {one.warned}" if one.warned else "")) for one in whole.offers]
    names = [*(f"{name}: {does}" for name, does, _ in got), "Offer 1", "Offer 2", "Offer 3"][:3]

    def asked(words):
        return [price if words == "Compressor" and does not in reach.NEVER else "" for _, does, price in got]
    return {"heads": ("What", "Range", *names),
            "rows": [(words, show_range(span.low, span.high, "money"),
                      *[*asked(words), "", "", ""][:3]) for words, span in rows],
            "middle": show(rows[-1][1].usual, "money", digits=2)}


@functools.cache
def _template():
    """The page with its blanks; only here, since the library takes a while to come in."""
    from jinja2 import Environment
    return Environment(autoescape=True, finalize=_escaped).from_string(
        Path(__file__).with_suffix(".html").read_text(encoding="utf-8"))


def _escaped(value):
    """HTML as it is, anything else escaped as on the other pages of this set."""
    from markupsafe import Markup
    return value if hasattr(value, "__html__") else Markup(html.escape(str(value)))


def sheet_html(whole, owner="", remarks="", today=None):
    """The plan as one HTML page that needs nothing else.

    whole (planparts.WholePlan).
    owner, remarks: As typed by a person; escaped.
    today (datetime.date).
    Returns: str.
    """
    with reading("US"):         # as its head says, whatever units its writer reads on the screen
        return _html(whole, owner, remarks, today or datetime.date.today())


def _html(whole, owner, remarks, today):
    pond, redo, said = whole.pond, staleness.on_paper(whole.stale), worded(whole, on_paper=True)
    head, *rows = plan.side_by_side(whole.others)
    said |= {"warnings": [(words, words in redo) for words in said["warnings"]],
             "assumed": " ".join(filter(None, said["assumed"]))}
    return _template().render(
        **said, title=f"{'EXAMPLE, not an aeration plan' if pond.invented else 'Aeration plan'}: {pond.name}",
        invented=pond.invented, owner=owner, remarks=remarks, day=today.isoformat(),
        beside=[head, *(row for row in rows if row[0] not in SAID_ABOVE)], shopping=tobuy.shopping(whole),
        costs=_costs(whole), cautions=cautions(pond), sign_off=SIGN_OFF, tonight_style=fishlimits.STYLE,
        tonight=fishlimits.body_html()) + "\n"


def sheet_path(record_path=record.FILE_NAME):
    """Where the sheet goes: beside the pond record, such as ``my-pond-plan.html``."""
    path = Path(record_path)
    return path.with_name(f"{path.stem}-plan.html")


def write_sheet(whole, record_path=record.FILE_NAME, owner="", remarks=""):
    """Write the sheet beside the record, whole or not at all.

    Returns: pathlib.Path.
    """
    path = sheet_path(record_path)
    record.replace_file(path, sheet_html(whole, owner, remarks))
    return path


def find_browser():
    """Path of an installed browser that can print without a window, or None."""
    return next((found for found in map(shutil.which, BROWSERS) if found), None)


def to_pdf(sheet, browser=None):
    """Print a sheet to a PDF beside it.

    sheet (path): Of the HTML page.
    browser (path): By default the first one found.
    Returns: tuple of (pathlib.Path or None, str): The PDF, or None, and what to say.
    """
    sheet, browser = Path(sheet).resolve(), browser or find_browser()
    if browser is None:
        return None, f"No browser was found that prints by itself. {HOW_TO_PRINT}"
    wanted = sheet.with_suffix(".pdf")
    # a browser that was stopped may still write into its folder for a moment
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch:
        made = Path(scratch) / "sheet.pdf"
        order = [str(browser), "--headless", "--disable-gpu", "--no-first-run", f"--user-data-dir={scratch}/profile",
                 "--no-pdf-header-footer", f"--print-to-pdf={made}", sheet.as_uri()]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            order.insert(1, "--no-sandbox")             # such browsers refuse to start for an administrator otherwise
        try:
            subprocess.run(order, capture_output=True, timeout=PATIENCE, check=False)
        except (OSError, subprocess.TimeoutExpired):
            pass
        if not made.exists() or made.read_bytes()[:5] != b"%PDF-":
            return None, f"The browser found did not print. {HOW_TO_PRINT}"
        fresh = wanted.with_name(wanted.name + ".new")
        try:
            shutil.copyfile(made, fresh)
            os.replace(fresh, wanted)
        except OSError as problem:
            fresh.unlink(missing_ok=True)
            return None, (f"{wanted.name} could not be written ({problem.strerror or problem}). If the old one is open "
                          f"in another program, close it and try again. {HOW_TO_PRINT}")
    return wanted, f"PDF: {wanted.name}."
