"""What a survey says about the water: the section ``water``, and its words."""

import json
import textwrap

import numpy as np

from .. import datafiles
from ..catalogue import ends
from ..how_much_water import basin as bed
from ..how_much_water import basincover, basinrange, doubts, handrange
from ..units import Q, show, show_range, spanned
from ..wording import setting

BY_HAND = "by hand"     # mark of a section found without a map of soundings
PATCHY, UNSOUNDED, NO_BANK = "patchy soundings", "mostly unsounded", "no outline"   # marks of one with gaps
COMPASS = ("east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east")
ISLAND = 0.003          # share of the pond's surface from which ground inside soundings of zero is worth a note
DEEPEST_POND = ends("water", "deepest", "foot")[1]      # deeper is a slip of the unit, for natural ponds are far less
FEWEST = 6              # soundings below which there is no volume worth saying


def _on_one_line(points):
    """True if all soundings lie along one straight line, to within a fiftieth of its length."""
    around = np.column_stack([points.x - points.x.mean(), points.y - points.y.mean()])
    spread = np.linalg.svd(around, compute_uv=False)
    return spread[1] < 0.02 * spread[0]


def water(read, name="", bank_name=""):
    """What a survey says about the water, as the pond record's section ``water``, with the bed and its range.

    Returns
    -------
    tuple of (basin.Basin, basinrange.SurveyRange, dict)
    """
    points, bank = read.soundings, read.shoreline
    if points is None:
        raise ValueError("These are transects without a place on the map, so there is no bed to draw. Use the hand "
                         "methods of this workbook, or add the position of both ends of each transect.")
    if len(points) < FEWEST or _on_one_line(points):
        where = " on one line" if len(points) >= FEWEST else ""
        raise ValueError(f"{len(points)} soundings{where} give no honest "
                         "volume: too much of the bed was not seen. Sound at least 12 places, better 25, on several "
                         "lines across the whole pond.")
    deepest = Q(float(max(points.depth)), "m")
    if deepest > Q(DEEPEST_POND, "ft"):
        raise ValueError(f"The deepest sounding would be {show(deepest, 'depth', both=True)}, and no farm pond is "
                         f"deeper than {show(Q(DEEPEST_POND, 'ft'), 'depth', both=True)}. Were the depths read in "
                         "centimeters or inches? Write depth_cm or depth_in as the heading, or leave the unit out of "
                         f"the heading and answer with {setting('depth_unit', 'depth_unit')}.")
    where = (points.x, points.y, points.depth, *((bank.x, bank.y) if bank else (None, None)))
    basin = bed.build_basin.si(*where)
    found = basinrange.survey_range.si(*where, track=points.track)
    table = bed.depth_table.si(basin, count=25)

    # the smooth bed is the better single guess: flat triangles cut the round bottom of a bowl short
    curved = min(max(found.curved_volume, found.volume.low), found.volume.high)
    mean = min(max(curved / found.area.usual, found.mean_depth.low), found.mean_depth.high)
    values = {"area": spanned(found.area, "m2"), "volume": spanned(found.volume._replace(usual=curved), "m3"),
              "mean_depth": spanned(found.mean_depth._replace(usual=mean), "m"),
              "deepest": deepest,
              "level_depth": [Q(float(v), "m") for v in table.depth],
              "level_area": [Q(float(v), "m2") for v in table.area],
              "level_volume": [Q(float(v), "m3") for v in table.volume],
              "soundings_file": name, "shoreline_file": bank_name}
    mark = mark_of(found.seen.odds, bank is not None)
    return basin, found, values | ({"found": mark} if mark else {})


def mark_of(odds, bank=True):
    """How well the pond was seen, as the record keeps it: None where the usual odds hold."""
    return {basincover.GOOD_ODDS: None, basincover.PATCHY_ODDS: PATCHY}.get(odds, UNSOUNDED if bank else NO_BANK)


def say_range(low, high, mark, system):
    """Ends of a volume (quantities), and what they are worth where a section carries this mark (None: well covered)."""
    ends = show_range(low, high, "volume", system, digits=3)
    if mark is None:
        return f"and about nine times in ten from {ends}."
    if mark == PATCHY:
        return (f"anywhere from {ends}. Such a range held the truth in at least {basincover.PATCHY_ODDS} of 100 trials "
                "on invented ponds sounded with gaps; a deep hole that nobody sounded can still break it.")
    return f"perhaps from {ends}, but nobody can give odds on that."


def say_worth(odds):
    """What the range from a survey with a bank is worth, as a sentence."""
    return {basincover.GOOD_ODDS: "That is enough for a range that holds the truth about nine times in ten.",
            basincover.PATCHY_ODDS: "The range must be widened for the gaps."}.get(
                odds, "That is too much for any odds on a range.")


def _where(place, seen):
    """Which part of the pond a place (m east, m north) lies in."""
    east, north = place - seen.middle
    if np.hypot(east, north) < 0.15 * seen.side:
        return "the middle"
    return f"the {COMPASS[round(np.arctan2(north, east) / (np.pi / 4)) % 8]} part"


def say_gaps(found, system="US"):
    """What the soundings did not see, and where to sound next; empty where they cover the pond."""
    seen = found.seen
    if seen.odds == basincover.GOOD_ODDS:
        return ""
    if seen.banked:
        words = f"About {100 * seen.unseen:.0f} % of the pond lies out of reach of the soundings. "
        words += "The range was widened for that. " if seen.odds else "That is too much for odds. "
        if seen.count < basincover.FEWEST:
            words += f"{seen.count} soundings are few; take {basincover.FEWEST} or more. "
    else:
        return ("Without an outline nobody can give odds: the soundings may show a whole pond or a part of one. Next: "
                "walk the bank. Until then, use the range only to see what it may come to.")
    if not len(seen.wanted):
        return words + "Sound next: more places spread over the whole pond."
    places = []
    for east, north, empty in seen.wanted:
        spot = show(Q(float(empty), "m"), "distance", system, digits=2, both=True)
        places.append(f"{_where(np.array([east, north]), seen)}, where nothing was sounded within {spot}")
    return words + f"Sound next: {'; then '.join(places)}. Numbered rings on the map mark where; north is up."


def water_notes(basin, found, system="US"):
    """Doubts about the shape of the pond that the reader should hear, one sentence or two each."""
    notes, zeros = [], bed.dry_inside(basin)
    wet = np.asarray(basin.depth)[basin.shore:]
    if basin.constrained and doubts.one_depth(wet):
        notes.append("Most soundings have nearly one depth, so the banks must be steep, but the soundings do not show "
                     "how steep. Straight lines from the bank to the nearest sounding then read too shallow, and the "
                     "range reaches up for that. Sound a few places close to the bank.")
    if zeros > ISLAND * found.area.usual:
        ground = show(Q(zeros, "m2"), "area", system, digits=2, both=True)
        notes.append(f"Soundings of zero ring about {ground} inside the pond: an island or a bar. It holds no water "
                     "here, but the area counts it as surface, and the mean depth is spread over it. Take it off "
                     "where only the surface matters.")
    return [f"Note: {note}" for note in notes]


def water_by_hand(area, deepest, depths=(), through_the_middle=False):
    """What a few measures by hand say about the water, as the pond record's section ``water``.

    Parameters
    ----------
    area : Range
        m2.
    deepest : float
        m.
    depths : sequence of float, optional
        m, read at even steps along lines across the pond; without them the deepest place alone decides.
    through_the_middle : bool, optional
        True if those lines cross in the middle.
    """
    deepest = max([deepest, *depths])
    mean = (handrange.mean_depth_from_readings.si(depths, through_the_middle) if len(depths)
            else handrange.mean_depth_range.si(deepest))
    found = handrange.hand_water.si(area, deepest, mean)
    return {"area": spanned(found.area, "m2"), "volume": spanned(found.volume, "m3"),
            "mean_depth": spanned(found.mean_depth, "m"), "deepest": Q(found.deepest, "m"),
            "level_depth": [Q(float(v), "m") for v in found.level_depth],
            "level_area": [Q(float(v), "m2") for v in found.level_area],
            "level_volume": [Q(float(v), "m3") for v in found.level_volume], "found": BY_HAND}


def say_water_by_hand(values, system):
    """The result of :func:`water_by_hand` in words."""
    low, usual, high = values["volume"]
    return (f"Volume about {show(usual, 'volume', system, digits=2, both=True)}, anywhere from "
            f"{show_range(low, high, 'volume', system)}. Area {show(values['area'].usual, 'area', system, both=True)}. "
            f"Mean depth {show(values['mean_depth'].usual, 'depth', system, digits=2)} "
            f"({show_range(values['mean_depth'].low, values['mean_depth'].high, 'depth', system)}), deepest place "
            f"{show(values['deepest'], 'depth', system, both=True)}. Below, the pond is taken as a smooth bowl. "
            "A survey with soundings would narrow the range several times, and replaces this when you save it.")


def say_water(values, system):
    """The result in words."""
    low, usual, high = values["volume"]
    return (f"Volume {show(usual, 'volume', system, both=True)}, "
            f"{say_range(low, high, values.get('found'), system)} "
            f"Area {show(values['area'].usual, 'area', system, both=True)}. Mean depth "
            f"{show(values['mean_depth'].usual, 'depth', system, both=True)}, deepest sounding "
            f"{show(values['deepest'], 'depth', system, both=True)}.")


def water_table(values, system="US"):
    """Depth, surface and water left for every fourth line of the depth table, as text."""
    rows = zip(values["level_depth"], values["level_area"], values["level_volume"], strict=True)
    kinds = {"depth": 18, "area": 23, "volume": 0}
    return "\n".join("".join(f"{show(q, kind, system, both=True):<{kinds[kind]}}" for q, kind in
                             zip(row, kinds, strict=True))
                     for row in list(rows)[::4])


def say_triangles(found, system="US"):
    """Volume under flat triangles beside that under a smooth bed through the same soundings."""
    flat, curved = (show(Q(float(v), "m3"), "volume", system, both=True)
                    for v in (found.volume.usual, found.curved_volume))
    return f"Under flat triangles: {flat}. Under a smooth bed through the same soundings: {curved}."


def wrapped(text, width=78):
    """The same text with long lines broken between words, for a page that prints it."""
    return "\n".join(textwrap.fill(line, width, subsequent_indent="    ") for line in text.splitlines())


def say_doubt(found, system="US"):
    """Where the doubt in a volume comes from, and how wrong hidden tracks are predicted."""
    parts = {"bed between the tracks": found.from_bed, "depth readings": found.from_readings,
             "place of the bank": found.from_bank}
    lines = [f"{name}: about ±{show(Q(float(v), 'm3'), 'volume', system, digits=2, both=True)}"
             for name, v in parts.items()]
    miss = show(Q(float(found.depth_miss), "m"), "depth", system, digits=2, both=True)
    return "\n".join([*lines, f"Hidden tracks ({found.groups} of them) are predicted to within about {miss}."])


def say_truth(values, truth, system="US"):
    """The survey's volume beside the exact one (m3), and whether the range holds it."""
    low, usual, high = (v.m_as("m^3") for v in values["volume"])
    held = "inside" if low <= truth <= high else "OUTSIDE"
    return (f"Exact volume: {show(Q(truth, 'm3'), 'volume', system, both=True)}. The survey is off by "
            f"{100 * (usual / truth - 1):+.1f} %, and the truth lies {held} the range.")


def demo_truth():
    """Exact volume (m3) of the invented demonstration pond, from the formula that made it."""
    return json.loads(datafiles.path("demo-truth.json").read_text(encoding="utf-8"))["volume_m3"]
