"""What is due this month, by the climate of the place, and what goes with ice?"""

import math
from typing import NamedTuple

from ..units import Range
from .treatments import Fact

__all__ = ["Task", "Upkeep", "UPKEEP", "THIN_ICE", "season_dates", "calendar"]

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
        first and last day. None where it never happens.
    """
    mild, hot = (_crossings(climate, level) for level in (10.0, 22.0))
    return {"spring": mild and mild[0], "fall": mild and mild[1], "hot": hot}


def calendar(climate, ice=None):
    """Tasks of the year for a place, in order of the day they start.

    Parameters
    ----------
    climate : pondcalc.the_year.weather.Climate
    ice : two numbers, optional
        First and last day of the year with ice on this pond, see
        :func:`pondcalc.the_year.yearcase.ice_season`; without it there are no tasks for ice.

    Returns
    -------
    list of Task
        Dates follow the climate's mean; a real year may be three weeks off either way, so what must be
        done before the ice ends three weeks before it, and what guards the ice begins then.
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
    if ice:
        first, last = ice
        tasks += [Task("decide about winter air before the first ice; ask about permits and signs",
                       day(first - 60), day(first - EARLY), "open water and thin ice are a duty to the public",
                       "Minnesota DNR; Wis. Stat. 167.26"),
                  Task("if air runs: signs and rope up, and look at them every week", day(first - EARLY),
                       day(last + EARLY),
                       "the hole moves and the ice around it is weak", "Minnesota DNR notices"),
                  Task("drain low spots in the line, keep the shore end from freezing", day(first - 45),
                       day(first - EARLY),
                       "water in the line freezes and blocks the air", "common practice, no source")]
    return sorted(tasks, key=lambda task: task.first_day)
