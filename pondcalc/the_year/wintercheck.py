"""Does the oxygen last a usual winter in this pond, as far as anybody can know without a reading?

The model of :func:`pondcalc.the_year.yearcase.modelled_winter` is run three times: for the worst, the middle and
the best of what nobody knows beforehand, mud, ice and the size of the open water. What comes out is set against
the oxygen to keep and the lines at which fish suffer, and against the reader's decision on winter.

What this leaves out: hard and mild winters, for the weather is that of a usual year; and that the deep water runs
out before the mean does. The dates of the ice have no outside check.
"""

import itertools
from functools import lru_cache
from typing import Any, NamedTuple

from .. import findings
from ..catalogue import held
from ..how_much_oxygen import fishlimits
from ..units import Q, Range, read_quantity, show, show_range
from . import yearcase, yearreport, yearstart

__all__ = ["CASES", "HOLE", "NO_AIR", "NO_ICE", "OPEN", "WITH_AIR", "WinterRange", "days_below", "is_reason",
           "say_winter", "winter_of"]

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


@lru_cache(maxsize=64)
def _run(depth, area, latitude, elevation, lifted, bubbles, floor):
    cases = [yearcase.modelled_winter.si(depth, area, latitude, elevation, yearcase.SNOW[ice], yearcase.MUD[mud],
                                         lifted, gives, hole)
             for (mud, ice), gives, hole in zip(CASES, bubbles, HOLE, strict=True)]
    lowest = tuple(_span([float(case.oxygen[air].min()) for case in cases]) for air in (0, 1))
    below = {level: tuple(_span([days_below(case, level)[air] for case in cases]) for air in (0, 1))
             for level in (floor, fishlimits.STRESS, fishlimits.KILL)}
    found = [yearcase.iced_days(case.day, case.ice[0]) for case in cases]
    return WinterRange(found[1] or found[0], floor, lowest, below, Range(*bubbles))


def winter_of(pond, latitude=None):
    """The winter of a pond from its record, or None where neither the record nor the caller has a latitude.

    Parameters
    ----------
    pond : record.PondRecord
    latitude : float, optional
        Degrees, in place of the record's.

    Returns
    -------
    WinterRange or None

    Raises
    ------
    QuantityError
        For a pond or a place that the model is not for.
    """
    latitude = yearstart.latitude_of(pond, None) if latitude is None else latitude
    if latitude is None:
        return None
    depth, area = findings.pond_shape(pond)
    return _run(tuple(map(float, depth)), tuple(map(float, area)), float(latitude), held(pond, "site", "elevation"),
                float(yearreport.lifted_water(pond).usual), tuple(yearstart.bubbles_of(pond)), yearstart.floor_of(pond))


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
    gives = show_range(*(Q(3600 * end, "kg/h") for end in (winter.bubbles.low, winter.bubbles.high)), "oxygen rate",
                       system)
    what = f"with air day and night, whose bubbles give {gives}," if air else "without air"
    return (f"{what} oxygen falls to {low} to {high} mg/L (middle {usual}); it is "
            f"below the {winter.floor:.3g} to keep on {_days(days[winter.floor])}{more}. For the fish: {fish}.")


def say_winter(winter, decision, system="US"):
    """A winter set against the reader's decision, in words.

    Parameters
    ----------
    winter : WinterRange
    decision : str
        As kept in the record.
    system : {"US", "metric"}, optional

    Returns
    -------
    str
    """
    if winter.ice is None:
        said = "by the model no ice forms here in a usual winter, so there is no shortage under ice"
        if decision.startswith("air"):
            said += " to run air for"
        return f"{said[0].upper()}{said[1:]}. Ice dates have no outside check here."
    sentences = []
    if decision == NO_ICE:
        sentences.append(f"But by the model ice lies {yearreport.say_ice(winter.ice)} in a usual winter.")
    if not decision.startswith("air"):
        sentences.append(_falls(winter, 0, system))
    if decision.startswith("air") or decision not in (NO_AIR, NO_ICE):
        sentences.append(_falls(winter, 1, system))
    if decision.startswith("air"):
        sentences.append(f"Without it: {max(winter.lowest[0].low, 0.0):.1f} to {winter.lowest[0].high:.1f}. The open "
                         "water and thin ice are then your duty, and air is never started where oxygen already ran "
                         "low.")
    floor = show(Q(winter.floor, "mg/L"), "oxygen", system, digits=2)
    sentences = [sentence[0].upper() + sentence[1:] for sentence in sentences]
    return " ".join([*sentences, DOUBT, MEASURE.format(floor=floor)])
