"""Is it worth aerating this pond, summer and winter, and does this air and this machine meet the need?

The answer rests on what the workbooks saved: the share of imagined ponds with a bad dawn (02), layers (05), winter
(07). Where one of them is missing the verdict says so and stays open. The oxygen that bubbles give is set against the
need of a bad night, and the water they lift is named as their main work. For the winter,
:func:`pondcalc.the_year.yearcase.modelled_winter` is run three times: for the worst, the middle and the best of what
nobody knows without a reading, mud, ice and the size of the open water. What comes out is set against the oxygen to
keep, the lines at which fish suffer, and the reader's decision on winter.

What this leaves out: what the fish are worth to you, and what a cure by other means would cost; hard and mild winters,
for the weather is that of a usual year; and that the deep water runs out before the mean does. The dates of the ice
have no outside check.
"""

import functools
import itertools
import warnings
from typing import Any, NamedTuple

from .. import findings
from ..back_pressure import lineplan, reach
from ..bubbles_and_oxygen import comparison
from ..catalogue import held
from ..how_much_oxygen import fishlimits, oxygencase
from ..refusals import plainly
from ..the_year import yearcase
from ..units import Q, QuantityError, Range, read_quantity, show, show_range
from . import plan

# the reader's decision, as workbook 07 offers and keeps it
OPEN, NO_AIR, WITH_AIR, NO_ICE = "not decided", "no air in winter", "air, with signs and rope", "no ice here"
# worst, middle, best: mud and ice, named as in `yearcase`
CASES = (("rich (muck, green water)", "under snow"), ("in between", "white ice"),
         ("lean (sand, clear water)", "clear black ice"))
# m2 of open water that the bubbles keep: about what the explorer of workbook 07 starts with, a third, three times
HOLE = Range(*(share * read_quantity("1000 sqft").m_as("m^2") for share in (1 / 3, 1.0, 3.0)))     # our choice
MEASURE = ("Measure: a meter through the ice in January and in February, near the top and near the bottom; where it "
           "falls toward {floor}, call your extension office. No ice is known to carry you: follow your state's "
           "advice, never go alone, and never near an aerator.")
DOUBT = ("Modelled for a usual winter, from rich mud under snow to lean mud under clear ice; mean of the whole pond, "
         "lines for warm-water fish; ice dates have no outside check here.")


class WinterRange(NamedTuple):
    """A usual winter without air (first) and with (second).

    ``ice`` is the first and last day with ice in the middle case without air, or None where no case has any.
    ``lowest`` holds a Range of mg/L each; ``below`` maps each level (mg/L) to a Range of days each, fewest first;
    ``bubbles`` is the oxygen (Range, kg/s) that the air gives.
    """

    ice: Any
    floor: float
    lowest: tuple
    below: dict
    bubbles: Range


def days_below(case, level):
    """Days on which the pond's mean oxygen is below a level (mg/L), without air and with."""
    return tuple(int(days) for days in (case.oxygen < level).sum(axis=1))


def _span(ends):
    """Worst, middle and best as a Range; in a pond that hardly freezes they need not stand in that order."""
    return Range(min(ends), ends[1], max(ends))


@functools.lru_cache(maxsize=64)
def _run(depth, area, latitude, elevation, lifted, bubbles, floor):
    cases = [yearcase.modelled_winter(depth, area, latitude, elevation, yearcase.SNOW[ice], yearcase.MUD[mud],
                                      lifted, gives, hole)
             for (mud, ice), gives, hole in zip(CASES, bubbles, HOLE, strict=True)]
    lowest = tuple(_span([float(case.oxygen[air].min()) for case in cases]) for air in (0, 1))
    below = {level: tuple(_span([days_below(case, level)[air] for case in cases]) for air in (0, 1))
             for level in (floor, fishlimits.STRESS, fishlimits.KILL)}
    found = [yearcase.iced_days(case.day, case.ice[0]) for case in cases]
    return WinterRange(found[1] or found[0], floor, lowest, below, Range(*bubbles))


def winter_of(pond, latitude=None, floor=None):
    """The winter of a pond from its record, or None where neither the record nor the caller has a latitude.

    pond (record.PondRecord).
    latitude: Degrees, in place of the record's.
    floor: Oxygen to keep (mg/L), in place of the record's.
    Returns: WinterRange or None.
    Raises QuantityError: For a pond or a place that the model is not for.
    """
    latitude = yearcase.latitude_of(pond, None) if latitude is None else latitude
    if latitude is None:
        return None
    depth, area = findings.pond_shape(pond)
    return _run(tuple(map(float, depth)), tuple(map(float, area)), float(latitude), held(pond, "site", "elevation"),
                float(yearcase.lifted_water(pond).usual), tuple(yearcase.bubbles_of(pond)),
                yearcase.floor_of(pond) if floor is None else float(floor))


def is_reason(winter):
    """Whether this winter without air is a reason to aerate: True where most fish are stressed in the middle case,
    None where they are only at the bad end, False where nowhere; our choice."""
    low, usual, _ = winter.lowest[0]
    if winter.ice is None:
        return False
    return True if usual < fishlimits.STRESS else None if low < fishlimits.STRESS else False


def _days(span):
    low, usual, high = span
    return f"{low} to {high} days (middle {usual})" if high else "no day"


def _falls(winter, air, system):
    """Lowest oxygen and days below the lines, without air (0) or with (1)."""
    low, usual, high = (f"{max(value, 0.0):.1f}" for value in winter.lowest[air])
    days = {level: spans[air] for level, spans in winter.below.items()}
    more = "".join(f", below {level:.0f} ({words}) on {_days(days[level])}" for level, words in
                   ((fishlimits.STRESS, "most stressed"), (fishlimits.KILL, "some die"))
                   if days[level].high and level != winter.floor)
    ends = zip(winter.lowest[air], ("at the bad end", "in the middle case", "at the good end"), strict=True)
    meant = itertools.groupby(ends, lambda end: fishlimits.meaning_of(end[0], winter.floor))
    fish = "; ".join(f"{words} {' and '.join(where for _, where in group)}" for words, group in meant)
    gives = show_range(winter.bubbles.low, winter.bubbles.high, "oxygen rate", system)
    what = f"with air day and night, whose bubbles give {gives}," if air else "without air"
    return (f"{what} oxygen falls to {low} to {high} mg/L (middle {usual}); it is "
            f"below the {winter.floor:.3g} to keep on {_days(days[winter.floor])}{more}. For the fish: {fish}.")


def say_winter(winter, decision, system="US"):
    """A winter set against the reader's decision, in words.

    winter (WinterRange).
    decision: As kept in the record.
    system ({"US", "metric"}).
    """
    if winter.ice is None:
        said = "by the model no ice forms here in a usual winter, so there is no shortage under ice"
        if decision.startswith("air"):
            said += " to run air for"
        return f"{said[0].upper()}{said[1:]}. Ice dates have no outside check here."
    sentences = []
    if decision == NO_ICE:
        sentences.append(f"But by the model ice lies {yearcase.say_ice(winter.ice)} in a usual winter.")
    if not decision.startswith("air"):
        sentences.append(_falls(winter, 0, system))
    if decision.startswith("air") or decision not in (NO_AIR, NO_ICE):
        sentences.append(_falls(winter, 1, system))
    if decision.startswith("air"):
        sentences.append(f"Without it: {max(winter.lowest[0].low, 0.0):.1f} to {winter.lowest[0].high:.1f}. The open "
                         "water and thin ice are then your duty, and air is never started where oxygen already ran "
                         "low.")
    floor = show(winter.floor, "oxygen", system, digits=2)
    sentences = [sentence[0].upper() + sentence[1:] for sentence in sentences]
    return " ".join([*sentences, DOUBT, MEASURE.format(floor=floor)])


OFTEN = 10.0        # percent of drawn ponds below the floor from which a bad dawn counts as a reason; our choice
KIND = "membrane"   # where workbook 03 has not chosen a diffuser


class Given(NamedTuple):
    """Oxygen that the plan's air gives on a bad night, kg/s, each a Range, and the workbook it comes from.

    `bubbles` out of the bubbles, `surface` at the top by the water they lift.
    """

    bubbles: Any
    surface: Any
    source: str


class Verdict(NamedTuple):
    """One line to act on, and the reasons with their workbooks, each a sentence."""

    headline: str
    reasons: tuple


def oxygen_given(pond, made):
    """Oxygen by both paths while the whole pond stands at the floor.

    pond (record.PondRecord), made (plan.Plan).
    Returns: Given or None: As workbook 03 saved it, else worked out for water at the floor from top to bottom; None
        where no air arrives.
    """
    saved = [pond.get("air", key) for key in ("oxygen_by_bubbles", "oxygen_by_surface")]
    if None not in saved:
        return Given(*(findings.plain(span, "kg/s") for span in saved), "03")
    if made.point is None:
        return None
    c, place = made.choices, findings.setting(pond)
    column = findings.two_readings(c.submergence, c.floor, c.floor, place.water.at(c.temperature))
    with warnings.catch_warnings(action="ignore", category=UserWarning):
        paths = comparison.compare_paths(made.point.flow_free_air, c.submergence, column, c.area, KIND, c.diffusers)
    return Given(paths.bubbles, paths.surface, "08")


def mixed_at_once(pond):
    """What the pond would hold if it mixed at once, as workbook 05 saved it, and its kind; in words where unknown."""
    kind, mixed = pond.get("layers", "kind"), pond.get("layers", "mixed_oxygen")
    if mixed is not None and kind != "cold over warm":
        return mixed, "oxygen"
    why = ("no layers read yet" if kind is None else "the readings are of winter" if mixed is not None else
           "no oxygen in the readings")
    return f"cannot be told, {why}", "text"


def _rates(span, system):
    return show_range(max(span.low, 0.0), max(span.high, 0.0), "oxygen rate", system)


def _dawn(pond, made, system):
    """Whether dawns are a reason (None where nobody knows), and the sentence; what was seen outweighs what is drawn."""
    if pond.get("oxygen", "seen_short") == "yes":
        return True, ("Dawn: fish were seen gulping, or died [02]. So the pond has been short at least once, and that "
                      "counts more than any budget.")
    chance, level = oxygencase.found(pond, "chance"), Q(made.choices.floor, "mg/L")
    if chance is None:
        span = show_range(made.budget.dawn.low, made.budget.dawn.high, "oxygen", system)
        return None, ("Dawn: share of bad ones not known yet; do workbook 02. The simple budget says anything from "
                      f"{span}, which decides nothing [08].")
    return chance.m_as("percent") >= OFTEN, (f"Dawn: {findings.say_share(chance, level, system)} [02].")


def _layers(pond):
    """Whether layers are a reason (None where nobody looked), and the sentence."""
    kind, when = pond.get("layers", "kind"), pond.get("layers", "read_on")
    read = f", read {when}" if when else ""
    if kind is None:
        return None, "Layers: not read yet; do workbook 05 in the warmest weeks."
    if kind == "mixed":
        return False, f"Layers: mixed from top to bottom{read} [05], so there is little for the bubbles to stir then."
    return True, (f"Layers: {kind}{read} [05]. Air at the bottom ends that and keeps deep water alive; it is also why "
                  "the first start must be slow.")


def _overturn(pond, made, system):
    """Whether a mixing at once may leave less than is to be kept, and less than the dawn; and the sentence."""
    if pond.get("layers", "kind") == "mixed":
        return False, "Overturn: mixed when read [05], so the dawn is the lowest to plan for."
    mixed, kind = mixed_at_once(pond)
    usual = (made.choices.dawn or made.budget.dawn).usual
    dawn = f"{show(usual, 'oxygen', system, digits=2)} [{'08, simple' if made.choices.dawn is None else '02'}]"
    if kind == "text":
        return False, (f"Overturn: what a mixing at once would leave {mixed}; do workbook 05 with a meter. Until then "
                       f"the usual dawn, {dawn}, may not be the lowest.")
    words = (f"Lowest oxygen: usual dawn {dawn}; if it mixed at once, {show(mixed.usual, 'oxygen', system, digits=2)} "
             f"({show_range(mixed.low, mixed.high, 'oxygen', system)}) [05]. ")
    if mixed.usual.m_as("mg/L") >= usual:
        return False, f"{words}The dawn is the lower and rules."
    words += "Mixing at once is the lower and rules"
    if mixed.low.m_as("mg/L") >= made.choices.floor:
        return False, f"{words}."
    return True, f"{words}: it may leave less than is to be kept, and no bubbles mend that in a night."


def _winter(pond, system):
    """Whether the winter is a reason (None where nobody knows), what to add to the headline, and the sentence."""
    decision = pond.get("year", "winter")
    if decision is None:
        return None, "", "Winter: not looked at; do workbook 07 if ice and snow cover the pond for weeks."
    try:
        made = winter_of(pond)
    except QuantityError as problem:
        return None, "", f"Winter: {decision} [07]. Not checked: {plainly(problem)}"
    if made is None:
        return None, "", (f"Winter: {decision} [07]. Not checked: the record holds no latitude of 25 to 50 degrees "
                          "north. Do workbook 07 again and save.")
    reason, more = is_reason(made), ""
    if reason is not False and not decision.startswith("air"):
        more = (f" You chose “{decision}”, and by the model the oxygen {'falls' if reason else 'may fall'} too low "
                "under ice: see Winter.")
    return reason, more, f"Winter: {decision} [07]. {say_winter(made, decision, system)} [07, 08]"


def _needed(pond, made):
    """Oxygen to deliver, as a Range of quantities."""
    saved = oxygencase.found(pond, "need")
    if made.choices.delivery is None or saved is None:      # records before the range was kept hold its upper part
        return findings.hourly(made.budget.delivery)
    return saved


def say_needed(pond, made, system="US"):
    """Oxygen to deliver: that of workbook 02 in its words, or the one-night budget where that is not done."""
    if made.choices.delivery is None:
        return _rates(made.budget.delivery, system)
    return findings.say_need(_needed(pond, made), system)


def _need(pond, made, system):
    """Air against need: whether the bubbles carry a bad night (None where no air arrives), and the sentences."""
    need, source = made.budget.delivery, "02" if made.choices.delivery is not None else "08, every bad case stacked"
    given = oxygen_given(pond, made)
    if given is None:
        return None, ["Oxygen: no air arrives, so none is given."]
    enough = 3600 * given.bubbles.low >= _needed(pond, made).high.m_as("kg/h")
    words = (f"Oxygen on a bad night: needed {say_needed(pond, made, system)} [{source}]; the bubbles give "
             f"{_rates(given.bubbles, system)} [{given.source}]. ")
    words += ("That covers it." if enough else
              "That does not carry a bad night. Have a plan for it: stop feeding, and know where a surface aerator can "
              "be borrowed.")
    if given.surface.high > 0:
        words += (f" What the lifted water takes in at the top, {_rates(given.surface, system)} [{given.source}], is "
                  "not added: the need already counts a mixed pond with an open surface.")
    words = [words]
    if made.choices.delivery is not None and made.one_night.high > 1.2 * need.high:
        words.append("Size for the number of workbook 02: it saves 95 of 100 imagined ponds. The one-night budget of "
                     f"workbook 08 says {findings.rate(findings.hourly(made.one_night).high, system)}, because it "
                     "stacks every bad case on one night.")
    return enough, words


def verdict(pond, made, system="US"):
    """Aerate or not, why, and how sure that is.

    pond (record.PondRecord), made (plan.Plan), system ({"US", "metric"}).
    Returns: Verdict.
    """
    (dawn, dawn_words), (layered, layer_words) = _dawn(pond, made, system), _layers(pond)
    winter, winter_more, winter_words = _winter(pond, system)
    enough, need_words = _need(pond, made, system)
    turned, turned_words = _overturn(pond, made, system)
    if dawn or layered:
        found = {"bad dawns": dawn, "layers": layered, "winter (modelled)": winter}
        why = [words for words, said in found.items() if said]
        why = " and ".join(filter(None, [", ".join(why[:-1]), why[-1]]))
        headline = f"Aerate: yes, by what is known so far, because of {why}."
        if not enough or turned:
            worst = "a sudden overturn" if turned and enough else "the worst night"
            headline += f" But do not count on these bubbles alone in {worst}."
    elif winter:
        headline = ("Aerate: perhaps, for the winter alone, which is modelled, not measured. Read oxygen through the "
                    "ice before you spend.")
    elif dawn is None and layered is None:
        headline = "Aerate: not decided yet. Nothing is saved about bad dawns (02) or layers (05)."
    elif dawn is None or layered is None:
        headline = ("Aerate: no reason found so far, but half the picture is missing: do workbook "
                    f"{'02' if dawn is None else '05'} before you spend.")
    else:
        headline = "Aerate: little reason to buy, by what is known so far."
    headline += winter_more
    doubt = ("Doubt: this rests on the words for the water, a guess of the fish, and calculations tried on no real "
             f"pond. A meter at dusk and at dawn on two hot days can overturn it. That {OFTEN:.0f} in 100 count as a "
             "reason is our choice.")
    return Verdict(headline, (dawn_words, layer_words, turned_words, winter_words, *need_words, doubt))


def _of_one_point(told, place, system):
    """The same for a machine of which the record holds one point: it may do, or nobody can say."""
    found = reach.judge(told, place, system)
    if found.does != reach.REACHES:
        return (False if found.does in reach.NEVER else None,
                f"Your machine, by the one point in workbook 04: {found.words}")
    sent, wanted = (show(flow, "air flow", system, digits=2, both=True)
                    for flow in (found.flow.usual, place.flow_free_air))
    if found.flow.usual < reach.ENOUGH * place.flow_free_air:
        return None, (f"Your machine, by the one point in workbook 04, reaches and sends at least {sent}, but "
                      f"{wanted} is wanted: ask for its curve.")
    room = "" if found.room else (" But with little room: ask whether it may run day and night at more than the "
                                  "pressure of that point.")
    return True, (f"Your machine will do, if the one point in workbook 04 is true: it sends {sent} or more.{room} Ask "
                  "for its curve.")


def of_machine(pond, made, system="US"):
    """Will the machine in the record do for this plan?

    pond (record.PondRecord), made (plan.Plan), system ({"US", "metric"}).
    Returns: tuple of (bool or None, str): None where the record holds no curve of a machine; the sentence is empty
        where it holds no operating point either.
    """
    said = functools.partial(show, system=system, digits=2, both=True)
    curve, wanted = made.choices.curve, pond.get("air", "flow_free_air")
    told, place = reach.saved_told(pond), lineplan.saved_line(pond)
    if curve is None and told is not None and place is not None:
        return _of_one_point(told, place, system)
    if curve is None:
        flow, gauge = pond.get("line", "flow_free_air"), pond.get("line", "pressure_gauge")
        if flow is None or gauge is None:
            return None, ""
        rated = pond.get("line", "pressure_rated", made.pressure.total)
        return None, (f"Workbook 04 holds no machine, only what to ask of one on this line: {said(flow, 'air flow')} "
                      f"at {said(gauge.high, 'pressure')} on the gauge with an aged diffuser. A machine that still "
                      f"gives that air at {said(rated, 'pressure')}, which leaves 15 %, will do.")
    name = f"Your machine ({curve.name})" if curve.name else "Your machine"
    if made.point is None:
        return False, f"{name} will not do: {made.trouble}"
    air, ends = made.point.flow_free_air, float(max(plan.machine(made.choices).pressure_gauge))
    gauge = said(made.point.pressure_gauge, "pressure")
    sends = f"it sends {said(air, 'air flow')} of free air at {gauge} on the gauge"
    if wanted is not None and air < reach.ENOUGH * wanted.usual.m_as("m^3/s"):
        return False, (f"{name} will not do for the air of workbook 03, because {sends}, and "
                       f"{said(wanted.usual, 'air flow')} is wanted.")
    asked = said(made.pressure.total, "pressure")
    if not lineplan.has_room(ends, made.pressure):
        return True, (f"{name} will do, but with little room, because {sends}, and its curve ends at "
                      f"{said(ends, 'pressure')}, below the {asked} that leaves a margin for an aged diffuser.")
    return True, (f"{name} will do, because {sends}, and its curve goes on to {said(ends, 'pressure')}, past the "
                  f"{asked} that leaves a margin for an aged diffuser.")
