"""What does a workbook's result look like as a section of the pond record, and in words?

A workbook computes with many numbers and keeps few: those a later workbook starts from. The functions stand in the
order of the workbooks; what makes a section is named as the section, what words it begins with ``say``.
"""

import json
import math
import textwrap
from typing import Annotated, Any, NamedTuple

import numpy as np

from . import air as gas
from . import datafiles, record
from .back_pressure import compressor
from .bubbles_and_oxygen import comparison, plume
from .bubbles_and_oxygen.plume import Column
from .catalogue import ROWS, ends, held
from .how_much_oxygen import oxygencase
from .how_much_water import basin as bed
from .how_much_water import basinrange, doubts, handvolume
from .power_and_housing import cabinet, housing, wiring
from .spellings import either
from .spellings import setting as wording_setting
from .units import FOOT, KINDS, Q, Range, asked, each, format_number, length_text, quantities, show, show_range, spanned
from .warm_over_cold import layers as layering
from .warm_over_cold import overturn
from .warm_over_cold.profile import Profile, read_profile
from .water import Water

BY_HAND = "by hand"     # mark of a section found without a map of soundings
PATCHY, UNSOUNDED, NO_BANK = "patchy soundings", "mostly unsounded", "no outline"   # marks of one with gaps
COMPASS = ("east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east")
ISLAND = 0.003          # share of the pond's surface from which ground inside soundings of zero is worth a note
DEEPEST_POND = ends("water", "deepest", "foot")[1]      # deeper is a slip of the unit, for natural ponds are far less
FEWEST = 6              # soundings below which there is no volume worth saying


def plain(quantities, unit):
    """The low, usual and high end of a range of quantities as a :class:`Range` of plain numbers."""
    return Range(*(end.m_as(unit) for end in quantities))


def hourly(rates):
    """A range of plain kg/s as the record keeps it."""
    return spanned([3600 * float(rate) for rate in rates], "kg/h")


def _on_one_line(points):
    """True if all soundings lie along one straight line, to within a fiftieth of its length."""
    around = np.column_stack([points.x - points.x.mean(), points.y - points.y.mean()])
    spread = np.linalg.svd(around, compute_uv=False)
    return spread[1] < 0.02 * spread[0]


def water(read, name="", bank_name=""):
    """What a survey says about the water, as the pond record's section ``water``, with the bed and its range.

    Returns: tuple of (basin.Basin, basinrange.SurveyRange, dict).
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
    deepest = max(points.depth)
    if deepest > DEEPEST_POND * FOOT:
        raise ValueError(f"The deepest sounding would be {show(deepest, 'depth', both=True)}, and no farm pond is "
                         f"deeper than {show(DEEPEST_POND * FOOT, 'depth', both=True)}. Were the depths read in "
                         "centimeters or inches? Write depth_cm or depth_in as the heading, or leave the unit out of "
                         f"the heading and answer with {wording_setting('depth_unit', 'depth_unit')}.")
    where = (points.x, points.y, points.depth, *((bank.x, bank.y) if bank else (None, None)))
    basin = bed.build_basin(*where)
    found = basinrange.survey_range(*where, track=points.track)
    table = bed.depth_table(basin, count=25)

    # the smooth bed is the better single guess: flat triangles cut the round bottom of a bowl short
    curved = min(max(found.curved_volume, found.volume.low), found.volume.high)
    mean = min(max(curved / found.area.usual, found.mean_depth.low), found.mean_depth.high)
    values = _section(found.area, found.volume._replace(usual=curved), found.mean_depth._replace(usual=mean),
                      deepest, table.depth, table.area, table.volume)
    values |= {"soundings_file": name, "shoreline_file": bank_name}
    mark = mark_of(found.seen.odds, bank is not None)
    second = next((pocket for pocket in basin.pockets if pocket.sounded), None)
    if second is not None:
        values |= {"second_deepest": Q(second.deepest, "m"), "sill": Q(second.sill, "m"),
                   "behind_sill": Q(second.volume, "m3")}
    return basin, found, values | ({"found": mark} if mark else {})


def has_second(pond):
    """Whether the record holds a second deep place that a sill parts from the deepest."""
    return pond.get("water", "second_deepest") is not None and pond.get("water", "sill") is not None


def say_second(pond, system="US"):
    """What numbers for the whole pond leave out of a second deep place, one sentence; empty where there is none."""
    if not has_second(pond):
        return ""
    sill = show(pond.get("water", "sill"), "depth", system, digits=2)
    return (f"Numbers here hold for the deepest place only: what may be a second one, behind a sill at {sill} "
            "(workbook 01), has layers, stagnant water and a first start of its own.")


def _section(area, volume, mean_depth, deepest, level_depth, level_area, level_volume):
    """The section ``water`` of plain numbers: ranges, the deepest place, and the table by depth."""
    return {"area": spanned(area, "m2"), "volume": spanned(volume, "m3"), "mean_depth": spanned(mean_depth, "m"),
            "deepest": Q(float(deepest), "m"), "level_depth": each(level_depth, "m"),
            "level_area": each(level_area, "m2"), "level_volume": each(level_volume, "m3")}


def mark_of(odds, bank=True):
    """How well the pond was seen, as the record keeps it: None where the usual odds hold."""
    return {basinrange.GOOD_ODDS: None, basinrange.PATCHY_ODDS: PATCHY}.get(odds, UNSOUNDED if bank else NO_BANK)


def say_range(low, high, mark, system):
    """Ends of a volume (quantities), and what they are worth where a section carries this mark (None: well covered)."""
    ends = show_range(low, high, "volume", system, digits=3)
    if mark is None:
        return f"and about nine times in ten from {ends}."
    if mark == PATCHY:
        return (f"anywhere from {ends}. Such a range held the truth in at least {basinrange.PATCHY_ODDS} of 100 trials "
                "on invented ponds sounded with gaps; a deep hole that nobody sounded can still break it.")
    return f"perhaps from {ends}, but nobody can give odds on that."


def say_worth(odds):
    """What the range from a survey with a bank is worth, as a sentence."""
    return {basinrange.GOOD_ODDS: "That is enough for a range that holds the truth about nine times in ten.",
            basinrange.PATCHY_ODDS: "The range must be widened for the gaps."}.get(
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
    if seen.odds == basinrange.GOOD_ODDS:
        return ""
    if seen.banked:
        words = f"About {100 * seen.unseen:.0f} % of the pond lies out of reach of the soundings. "
        words += "The range was widened for that. " if seen.odds else "That is too much for odds. "
        if seen.count < basinrange.FEWEST:
            words += f"{seen.count} soundings are few; take {basinrange.FEWEST} or more. "
    else:
        return ("Without an outline nobody can give odds: the soundings may show a whole pond or a part of one. Next: "
                "walk the bank. Until then, use the range only to see what it may come to.")
    if not len(seen.wanted):
        return words + "Sound next: more places spread over the whole pond."
    places = []
    for east, north, empty in seen.wanted:
        spot = show(empty, "distance", system, digits=2, both=True)
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
        ground = show(zeros, "area", system, digits=2, both=True)
        notes.append(f"Soundings of zero ring about {ground} inside the pond: an island or a bar. It holds no water "
                     "here, but the area counts it as surface, and the mean depth is spread over it. Take it off "
                     "where only the surface matters.")
    for pocket in basin.pockets:
        deepest, sill = (show(value, "depth", system, digits=2) for value in (pocket.deepest, pocket.sill))
        held_back = show(pocket.volume, "volume", system, digits=2)
        if not pocket.sounded:
            notes.append(f"There may be a second deep place, {deepest} down, with {held_back} of water behind a sill. "
                         "But no sounding shows that sill; it may be a gap in the soundings, as is common in a narrow "
                         "pond, and it is not saved. Sound between the two, along the middle, and do this again; until "
                         "then read both places before a first start.")
            continue
        notes.append(f"The soundings show what may be a second deep place, {deepest} down, parted from the deepest by "
                     f"a sill (a rise of the bed) at {sill}, with some {held_back} below it. Both are rough: sound "
                     "between the two, along the middle, to be sure. The workbooks work the pond as one. A diffuser "
                     "stirs its own side only: below the sill the other stays stagnant, and a storm can bring it up. "
                     "Read both places before a first start, and count one diffuser for each at least.")
    return [f"Note: {note}" for note in notes]


def water_by_hand(area, deepest, depths=(), through_the_middle=False):
    """What a few measures by hand say about the water, as the pond record's section ``water``.

    area (Range): m2.
    deepest: m.
    depths (sequence of float): m, read at even steps along lines across the pond; without them the deepest place
        alone decides.
    through_the_middle: True if those lines cross in the middle.
    """
    deepest = max([deepest, *depths])
    mean = (handvolume.mean_depth_from_readings(depths, through_the_middle) if len(depths)
            else handvolume.mean_depth_range(deepest))
    found = handvolume.hand_water(area, deepest, mean)
    return _section(*found) | {"found": BY_HAND}


def say_water_by_hand(values, system):
    """The result of :func:`water_by_hand` in words."""
    low, usual, high = values["volume"]
    mean = values["mean_depth"]
    return (f"Volume about {show(usual, 'volume', system, digits=2, both=True)}, anywhere from "
            f"{show_range(low, high, 'volume', system)}. {_say_area(values, system)} "
            f"{show(mean.usual, 'depth', system, digits=2)} ({show_range(mean.low, mean.high, 'depth', system)}), "
            f"deepest place {show(values['deepest'], 'depth', system, both=True)}. Below, the pond is taken as a "
            "smooth bowl. A survey with soundings would narrow the range several times, and replaces this when you "
            "save it.")


def say_water(values, system):
    """The result in words."""
    low, usual, high = values["volume"]
    mean, deepest = (show(value, "depth", system, both=True) for value in (values["mean_depth"].usual,
                                                                           values["deepest"]))
    return (f"Volume {show(usual, 'volume', system, both=True)}, {say_range(low, high, values.get('found'), system)} "
            f"{_say_area(values, system)} {mean}, deepest sounding {deepest}.")


def _say_area(values, system):
    return f"Area {show(values['area'].usual, 'area', system, both=True)}. Mean depth"


def water_table(values, system="US"):
    """Depth, surface and water left for every fourth line of the depth table, as text."""
    wide = {"depth": 18, "area": 23, "volume": 0}
    rows = zip(*(values[f"level_{kind}"][::4] for kind in wide), strict=True)
    return "\n".join("".join(f"{show(q, kind, system, both=True):<{wide[kind]}}" for q, kind in
                             zip(row, wide, strict=True)) for row in rows)


def say_triangles(found):
    """Volume under flat triangles beside that under a smooth bed through the same soundings."""
    flat, curved = (show(v, "volume", both=True) for v in (found.volume.usual, found.curved_volume))
    return f"Under flat triangles: {flat}. Under a smooth bed through the same soundings: {curved}."


def wrapped(text, width=78):
    """The same text with long lines broken between words, for a page that prints it."""
    return "\n".join(textwrap.fill(line, width, subsequent_indent="    ") for line in text.splitlines())


def say_doubt(found):
    """Where the doubt in a volume comes from, and how wrong hidden tracks are predicted."""
    parts = {"bed between the tracks": found.from_bed, "depth readings": found.from_readings,
             "place of the bank": found.from_bank}
    lines = [f"{name}: about ±{show(v, 'volume', digits=2, both=True)}" for name, v in parts.items()]
    miss = length_text(found.depth_miss, 2)
    return "\n".join([*lines, f"Hidden tracks ({found.groups} of them) are predicted to within about {miss}."])


def say_truth(values, truth):
    """The survey's volume beside the exact one (m3), and whether the range holds it."""
    low, usual, high = plain(values["volume"], "m^3")
    held = "inside" if low <= truth <= high else "OUTSIDE"
    return (f"Exact volume: {show(truth, 'volume', both=True)}. The survey is off by "
            f"{100 * (usual / truth - 1):+.1f} %, and the truth lies {held} the range.")


def demo_truth():
    """Exact volume (m3) of the invented demonstration pond, from the formula that made it."""
    return json.loads(datafiles.path("demo-truth.json").read_text(encoding="utf-8"))["volume_m3"]


# how an unknown of the oxygen model is called in front of a reader, and how to find it out
DOUBT_WORDS = {
    "plankton_scatter": ("night use of the algae and small life",
                         "two oxygen readings at night, three hours apart or more"),
    "dissolved_oxygen": ("oxygen at dusk", ROWS["oxygen", "dusk"].know_better),
    "mud_20c": ("use of the mud", ROWS["oxygen", "mud"].know_better),
    "clear_share": ("how dark the day between is", ROWS["oxygen", "night"].know_better),
    "exchange_rank": ("trade with the air", "night readings in one windy and one calm night"),
    "chlorophyll": ("how green the water is", ROWS["oxygen", "color"].know_better),
    "assimilation": ("how hard the algae work", "oxygen at dawn and at 3 PM of a clear day"),
    "light_saturation": ("how much light the algae need", "oxygen at dawn and at 3 PM of a clear day"),
    "prompt_use": ("share of the oxygen used on the spot", "oxygen at dawn and at 3 PM of a clear day"),
    "fish_mass": ("size of the fish", "lengths and weights of fish you catch"),
    "fish_mass_per_area": ("how many fish", ROWS["oxygen", "fish"].know_better),
    "load": ("waste of feed", ROWS["oxygen", "feed_per_day"].know_better),
    "weed_use_20c": ("night use of the weeds", "oxygen in the weeds before dawn"),
    "weed_production": ("oxygen made by the weeds", "oxygen in the weeds at 3 PM"),
}


def oxygen(shape, said, runs=1000):
    """What a pond's description says about its oxygen, as the pond record's section ``oxygen``.

    shape (daynight.PondShape), said (oxygencase.Described).
    runs: Ponds drawn.
    Returns: tuple of (oxygencase.DawnChance, oxygencase.DeliveryNeed, dict).
    """
    chance = oxygencase.bad_dawn(shape, said, said.floor, runs)
    need = oxygencase.delivery_need(shape, said, runs)
    values = {name: said.quantity(name) for name in ("fish", "temperature", "night", "floor", "feed_per_day",
                                                     "wind_speed", "night_wind_speed")}
    values |= {"mud": said.mud, "color": said.color, "weed_cover": Q(100 * said.weed_cover, "%"),
               "delivery": hourly(need.drawn), "need": hourly(oxygencase.need_for(need.each, 0.95)),
               "dawn": spanned(chance.dawn, "mg/L"), "chance": Q(100 * chance.chance, "%")}
    for name in ("secchi_depth", "dusk"):
        if getattr(said, name) is not None:
            values[name] = said.quantity(name)
    if said.dusk is not None:
        values["dusk_where"] = said.dusk_where
    return chance, need, values


def say_share(share, floor, system="US"):
    """What a share (quantity) of drawn ponds below a level (quantity) is, and is not."""
    return (f"in {share.m_as('percent'):.0f} of 100 imagined ponds that fit your words, oxygen falls below "
            f"{show(floor, 'oxygen', system, digits=2)} in two nights and a mostly dull day")


def say_oxygen(values, system="US"):
    """The section ``oxygen`` in words."""
    dawn, said = values["dawn"], say_share(values["chance"], values["floor"], system)
    return (f"{said[0].upper()}{said[1:]}. That was tried on no real pond. Their lowest oxygen: about "
            f"{show(dawn.usual, 'oxygen', system, digits=2)} in the middle one, and in nine of ten from "
            f"{show_range(dawn.low, dawn.high, 'oxygen', system)}. To save 95 of 100 of them, aeration must deliver "
            f"{say_need(values['need'], system)}.")


def say_need(span, system="US"):
    """A delivery as a range (quantities; only its ends count), rounded outward to what it is known by."""
    if span.high.m_as("kg/h") < 1e-3:
        return "nothing"
    unit = KINDS["oxygen rate"][system != "US"]
    low, high = (_outward(end.m_as(unit), way) for end, way in ((span.low, math.floor), (span.high, math.ceil)))
    most = show(Q(high, unit), "oxygen rate", system, digits=1 + (high >= 10))
    return f"up to about {most}" if low == 0 else f"about {low:.2g} to {most}"


def _outward(value, way):
    """One digit, two from 10 up; nothing below 0.001."""
    if value < 1e-3:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(value)) - (value >= 10))
    return way(value / step + (1e-9 if way is math.floor else -1e-9)) * step


def say_dusk(shape, said, system="US"):
    """How a reading at dusk near the top was used; empty where there is none."""
    if said.dusk is None or said.whole is not None:
        return ""
    low, _, high = oxygencase.dusk_of(shape, said)
    return (f"Your {show(said.quantity('dusk'), 'oxygen', system, digits=2)} at dusk was read near the top, or "
            "you do not know where. By evening the top holds the most oxygen, so that is not the whole pond's. "
            f"Reckoned with {show_range(low, high, 'oxygen', system)} for the whole pond.")


def rate(delivery, system="US"):
    """A delivery in words; nothing is nothing."""
    return "nothing" if delivery.m_as("kg/h") < 1e-3 else show(delivery, "oxygen rate", system, digits=2)


def say_who(parts):
    """Who makes and who uses the oxygen by day and in the dark, one line each."""
    words = {"plants": "plants make", "air": "from the air", "plankton": "algae and small life", "mud": "mud",
             "fish": "fish", "weeds": "weeds", "load": "waste of feed"}
    used = -sum(v for name, v in parts.night.items() if v < 0 and name != "air")
    lines = [f"{'':<21}{'by day':>8}{'in dark':>8}{'share':>6}"]
    for name, said in words.items():
        by_day, dark = (show(round(float(part[name]), 2), "mass", digits=2) for part in (parts.day, parts.night))
        share = f"{-100 * parts.night[name] / used:.0f} %" if parts.night[name] < 0 and name != "air" else ""
        if abs(parts.day[name]) + abs(parts.night[name]) > 0:
            lines.append(f"{said:<21}{by_day:>8}{dark:>8}{share:>6}")
    return "\n".join(lines)


def say_delivery(need, system="US"):
    """Four answers to how much oxygen aeration must deliver, from calm to grim."""
    half, most = (say_need(hourly(oxygencase.need_for(need.each, share)), system) for share in (0.5, 0.95))
    stacked, budget = (show(value, "oxygen rate", system, digits=2) for value in (need.stacked, need.budget.high))
    return (f"Enough for half of {len(need.each)} imagined ponds: {half}\nEnough for 95 of 100 of them: {most}\n"
            f"Every doubt at its bad end, same model: about {stacked}\n"
            f"One-night budget, every bad case stacked: about {budget}")


def say_nights(log, fit):
    """What a log's nights say: rows used and left out, use, trade with the air, and what to measure next."""
    lines = [f"{len(log.hours)} readings used, {len(log.dropped)} left out."]
    lines += [f"  line {row.row}: {row.reason}" for row in log.dropped]
    lines += list(log.notes)
    lines.append(f"{len(fit.nights)} night{'s' if len(fit.nights) != 1 else ''} with two or more readings.")
    low, usual, high = fit.use_20c
    lines.append(f"Use of oxygen at {either('68 °F', '20 °C')}: {usual:.2f} mg/L an hour; {low:.2f} to {high:.2f} "
                 "would fit too.")
    low, usual, high = (100 * share for share in fit.reaeration)
    lines.append(f"The surface makes good {usual:.1f} % of the shortfall an hour ({low:.1f} to {high:.1f} %)."
                 if fit.seen else f"Trade with the air does not show; anything from {low:.1f} to {high:.1f} % of the "
                 "shortfall an hour would fit.")
    dawns = ", ".join(f"{value:.1f}" for value in fit.dawn)
    return "\n".join([*lines, f"Last reading before light, as fitted: {dawns} mg/L.", f"Measure next: {fit.advice}"])


def say_fit(log, fit):
    """A picture of a log and its fitted nights, in words."""
    return (f"{len(log.hours)} oxygen readings as dots and a line through each of {len(fit.nights)} nights; the lowest "
            f"reading is {log.dissolved_oxygen.min():.1f} mg/L.")


class Setting(NamedTuple):
    """What a choice of air needs to know about a pond, in SI numbers."""

    area: float                     # m2
    volume: Range                   # m3
    deepest: float                  # m
    table: Any                      # basin.DepthTable
    water: Water                    # under the air on the pond, of a temperature that nobody has said
    borrowed: bool                  # True where the water is that of the demonstration pond


def setting(pond):
    """A pond as a :class:`Setting`; a pond without its water yet borrows that of the demonstration pond."""
    borrowed = not pond.has("water")
    kept = (record.demo() if borrowed else pond).sections["water"]
    table = asked(bed.DepthTable)(kept["level_depth"], kept["level_area"], kept["level_volume"])
    return Setting(kept["area"].usual.m_as("m^2"), plain(kept["volume"], "m^3"), kept["deepest"].m_as("m"), table,
                   gas.pond_water(held(pond, "site", "elevation")), borrowed)


def needs_water(pond):
    """Refuse to save a result that rests on the water of the demonstration pond."""
    if pond.invented:
        raise ValueError("this is the demonstration pond. Start your own in workbook 00, find its water in 01, then "
                         "run this workbook again.")
    if not pond.has("water"):
        raise ValueError("this record has no volume yet. Do workbook 01 for your pond first.")


def share_below(table, submergence):
    """Share of the water that lies deeper than the diffuser and stays mostly unstirred."""
    return float(bed.volume_below(table, submergence) / table.volume[0])


def two_readings(submergence, top_oxygen, bottom_oxygen, water):
    """Water of one temperature whose oxygen runs straight from a reading at the top to one at the diffuser."""
    return Column(np.array([0.0, submergence]), water.at(np.full(2, water.temperature)),
                  np.array([top_oxygen, bottom_oxygen]))


# until a machine and a line are chosen, the air may come out a fifth less or more: our choice, no source
AIR_DOUBT = Range(0.8, 1.0, 1.2)
SUMMER, TOP_OXYGEN = 25.0, 7.0      # C of the water and mg/L at the surface where air is chosen: our choice


def air(place, submergence, oxygen, flow_free_air, diffusers, diffuser):
    """What a choice of air and diffusers gives a pond, as the record's section ``air``; SI numbers in.

    place (Setting), submergence (float, m).
    oxygen (float, mg/L): At the depth of the diffusers.
    flow_free_air (float, m3/s): All the air.
    diffusers (int).
    diffuser: A key of ``comparison.MATERIALS``.
    Returns: dict: Results are for the middle air flow; the air itself is kept a fifth either way.
    """
    if submergence >= place.deepest:
        raise ValueError(f"the diffuser is set {length_text(submergence)} down, but the pond is only "
                         f"{length_text(place.deepest)} deep. Raise it: a common place is "
                         f"{length_text(plume.OFF_BOTTOM, 1)} off the bottom.")
    column = two_readings(submergence, TOP_OXYGEN, oxygen, place.water.at(SUMMER))
    found = comparison.compare_paths(flow_free_air, submergence, column, place.area, diffuser, int(diffusers))

    turnover = plume.turnover_time(place.volume, found.lifted)
    return {"diffusers": Q(float(diffusers), "dimensionless"), "diffuser": diffuser, "submergence": Q(submergence, "m"),
            "flow_free_air": spanned([share * flow_free_air for share in AIR_DOUBT], "m3/s"),
            "lifted": spanned(found.lifted, "m3/s"), "turnover": spanned([t / 3600 for t in turnover], "h"),
            "oxygen_by_bubbles": hourly(found.bubbles), "oxygen_by_surface": hourly(found.surface)}


def say_paths(bubbles, surface, system):
    """Oxygen by each path (two ranges of quantities) in words: gained, or lost where the water holds too much."""
    def span(values):
        ends = values.low, values.high
        if max(ends) < Q("0 kg/h"):
            ends = sorted(map(abs, ends))
        return show_range(*ends, "oxygen rate", system)
    gained, taken = (values.usual > Q("0 kg/h") for values in (bubbles, surface))
    return (f"{span(bubbles)} of oxygen {'out of' if gained else 'lost into'} the bubbles ({comparison.WHY_WIDE})",
            f"{span(surface)} {'taken in' if taken else 'lost to the air'} at the top")


def say_air(values, below=None, system="US"):
    """The section ``air`` in words; `below` is the share of the water deeper than the diffusers."""
    def span(key, kind):
        return show_range(values[key].low, values[key].high, kind, system)
    count = int(values["diffusers"].m_as("dimensionless"))
    first, second = say_paths(values["oxygen_by_bubbles"], values["oxygen_by_surface"], system)
    words = (f"{count} {values['diffuser']} diffuser{'s' if count > 1 else ''} "
             f"{show(values['submergence'], 'depth', system)} down with "
             f"{show(values['flow_free_air'].usual, 'air flow', system)} of free air in all: "
             f"{first}; {second}. {'They lift' if count > 1 else 'It lifts'} {span('lifted', 'water flow')} of water, "
             f"one pond volume in {span('turnover', 'time')}.")
    if below is not None:
        words += f" {100 * below:.0f} % of the water lies below the diffusers."
    return words


STAGNANT_DAYS = overturn.STAGNANT_DAYS
MOST_DAYS = ends("layers", "stagnant", "day")[1]
# the storm that overturn.overturn_risk fears where none is given, in US and metric words
STORM = ("A storm of 2 inches of rain and 20 mph of wind for 12 hours",
         "A storm of 50 mm of rain and 9 m/s of wind for 12 hours")


def pond_shape(pond):
    """Depths (m, from the surface) and areas (m2) of a pond, or of the demonstration pond before workbook 01."""
    kept = pond if pond.has("water") else record.demo()
    return tuple(np.array([q.m_as(unit) for q in kept.get("water", key)])
                 for key, unit in (("level_depth", "m"), ("level_area", "m^2")))


def pond_profile(pond):
    """The readings kept in a record, or those of the demonstration pond in July."""
    if pond.get("layers", "reading_depth") is None:
        return read_profile(datafiles.path("demo-profile-july.csv"))
    readings = (pond.get("layers", f"reading_{name}") for name in ("depth", "temperature", "oxygen"))
    return asked(Profile)(*readings, pond.get("layers", "read_on", ""))


def mean_oxygen(pond):
    """Mean oxygen (mg/L) by volume of the readings in a record; None without oxygen readings and a shape of its own."""
    if pond.get("layers", "reading_oxygen") is None or not pond.has("water"):
        return None
    return overturn.mixed_after_overturn(*pond_shape(pond), pond_profile(pond)).dissolved_oxygen_before_demand


def pond_demand(pond):
    """Oxygen that a liter of a pond's stagnant water takes (Range, mg/L): workbook 05's, else of its readings."""
    kept = pond.get("layers", "demand")
    if kept is not None:
        return plain(kept, "mg/L")
    return overturn.demand_of_profile(*pond_shape(pond), pond_profile(pond), STAGNANT_DAYS)


def layers(depth, area, profile, days=STAGNANT_DAYS):
    """How a pond is layered and what an overturn would do, as the pond record's section ``layers``.

    depth, area: The pond's shape, m and m2.
    profile (Profile).
    days: Days the stagnant water has had no oxygen; at least one where a reading is below 1 mg/L.
    Returns: tuple of (overturn.OverturnRisk, dict).
    """
    kind = layering.kind_of_layers(profile)
    if kind == "upside down":
        raise ValueError("the upper water in these readings is heavier than the water under it, which does not last. "
                         "Read the doubtful depths again; a thermometer pulled up slowly changes on the way.")
    check_days(profile, days)
    owed = overturn.demand_of_profile(depth, area, profile, days)
    risk = overturn.overturn_risk(depth, area, profile, demand=owed)
    mixed = risk.after_overturn
    values = {"read_on": profile.when, "kind": kind, "surface_temperature": Q(float(profile.temperature[0]), "C"),
              "bottom_temperature": Q(float(profile.temperature[-1]), "C"),
              "warm_layer": Q(min(layering.warm_layer(profile), float(depth[-1])), "m"),
              "mixed_temperature": Q(mixed.temperature, "C"),
              "nearness": "already mixed" if kind == "mixed" else risk.nearness, "harm": risk.harm,
              "reading_depth": each(profile.depth, "m"), "reading_temperature": each(profile.temperature, "C")}
    if not math.isnan(mixed.dissolved_oxygen_before_demand):
        values |= {"mixed_oxygen": spanned(mixed.dissolved_oxygen, "mg/L"), "demand": spanned(owed, "mg/L"),
                   "reading_oxygen": each(profile.oxygen_at(profile.depth), "mg/L")}
    return risk, values


def check_days(profile, days):
    """Refuse a number of days without oxygen that the readings speak against."""
    given = f"the days without oxygen below are given as {days:g}"
    guess = f"if you do not know, {STAGNANT_DAYS:g} is a cautious guess for late summer."
    if not 0 <= days <= MOST_DAYS:
        raise ValueError(f"{given}. Write 1 to {MOST_DAYS:g}; {guess}")
    oxygen = profile.dissolved_oxygen
    if days < 1 and oxygen is not None and np.nanmin(oxygen) < overturn.STAGNANT:
        raise ValueError(f"{given}, but a reading of {np.nanmin(oxygen):.2g} mg/L shows water that has run out of "
                         f"oxygen. Write 1 day or more; {guess}")


def say_nearness(risk, event="This storm"):
    """What would turn a layered pond over, the storm or the cold, and how surely."""
    share, days = risk.after_storm.mixed_share, risk.days_of_cooling
    if share.usual > overturn.ALL_MIXED:
        return f"{event} would turn the pond over."
    if days.usual < 1:
        return "A day of cool weather would turn the pond over."
    if share.high > overturn.ALL_MIXED:
        return f"{event} could turn the pond over if it lies open to the wind; a sheltered pond would stay layered."
    if days.low < overturn.SOON:
        cold = format_number(days.low, 2)
        return f"{event} would not turn the pond over, but a cold spell of some {cold} days could."
    return f"{event} would not turn the pond over, nor would a cold spell of a few days."


def say_layers(risk, values, system="US"):
    """What the readings mean, in words."""
    top, bottom, mixed = (show(values[key], "temperature", system)
                          for key in ("surface_temperature", "bottom_temperature", "mixed_temperature"))
    lines = [f"The pond is {values['kind']}: {top} at the top, {bottom} at the bottom."]
    if values["kind"] == "warm over cold":
        low, _, high = risk.days_of_cooling
        fall = show(risk.margin_temperature, "temperature rise", system, digits=2)
        lines += [f"The warm layer is about {show(values['warm_layer'], 'depth', system, digits=2)} thick.",
                  f"It must cool {fall} to sink to the bottom: {format_number(low, 2)} to {format_number(high, 2)} "
                  "days of cool weather, day and night."]
    if "mixed_oxygen" in values:
        low, _, high = values["mixed_oxygen"]
        before = show(risk.after_overturn.dissolved_oxygen_before_demand, "oxygen", system, digits=2)
        lines.append(f"Mixed top to bottom it would stand at {mixed} with {before} of oxygen.")
        if risk.after_overturn.stagnant_share > 0.005:
            owed = show_range(values["demand"].low, values["demand"].high, "oxygen", system)
            lines.append(f"The stagnant {100 * risk.after_overturn.stagnant_share:.0f} % of the water would take "
                         f"{owed}. After that demand, shared by the whole pond: "
                         f"{show_range(low, high, 'oxygen', system)}.")
    else:
        lines += [f"Mixed top to bottom it would stand at {mixed}.",
                  "Without oxygen readings the danger to fish stays unknown: borrow a meter."]
    harm, event = values["harm"], STORM[system == "metric"]
    ends = {"warm over cold": f"{say_nearness(risk, event)} If it turned over today: {harm}.",
            "mixed": f"It is mixed already, so an overturn has nothing to bring up. At this oxygen: {harm}.",
            "cold over warm": "These are winter layers: weak, and stirring them spends the warm water at the bottom. "
                              f"If it mixed today: {harm}."}
    return "\n".join([*lines, ends[values["kind"]]])


def say_profile(profile):
    """Kind of layers, ends of a profile and where its weight changes fastest, in one or two lines."""
    kind = layering.kind_of_layers(profile)
    ends = " over ".join(show(t, "temperature", both=True) for t in (profile.temperature[0], profile.temperature[-1]))
    if kind == "mixed" or len(profile.depth) < 3:
        return f"{kind}, {ends}"
    layer = layering.steepest_layer(profile)
    slope = abs(layer.temperature_gradient)
    return (f"{kind}, {ends}\nsteepest from {show_range(layer.top, layer.bottom, 'depth')}: "
            f"{show(slope * (layer.bottom - layer.top), 'temperature rise')}, or {slope:.1f} C° per meter")


def say_mixing(shapes, profile, stagnant_below=None, only=None):
    """Stability, least work, and temperature and oxygen of the mixed water: a table with one pond a line.

    shapes (dict): Name to (depth, area) in m and m2, as :func:`layers.plain_shapes` gives.
    profile (Profile), stagnant_below (quantity or text).
    only: One of the names, to leave out the others.
    """
    below = None if stagnant_below is None else Q(stagnant_below).m_as("m")
    lines = [f"{'':<14} {'stability':>9}  {'least work':>10}  {'all mixed':>19}  oxygen"]
    for name, (depth, area) in shapes.items():
        if only in (None, name):
            work = layering.stability(depth, area, profile)
            mixed = overturn.mixed_after_overturn(depth, area, profile, stagnant_below=below)
            lines.append(f"{name:<14} {format_number(work, 2) + ' J/m²':>9}  "
                         f"{show(work * area[0], 'energy', digits=2):>10}  "
                         f"{show(mixed.temperature, 'temperature', both=True):>19}  "
                         f"{mixed.dissolved_oxygen_before_demand:.1f} mg/L")
    return "\n".join(lines)


METERED, BEFORE_BUYING = "by plate or meter", "before buying"     # how the power was found
WARM_ENOUGH = 40.0      # C, 104 F: air that many motors are rated for (common practice, no source); the plate decides
LEAST_RISE = 5.0        # C over outdoors that moving air must carry heat off at; less takes a huge fan (our choice)
FAN_RISE = 2.0          # C; to stay within less than this of outdoors no fan of a usual size will do (our choice)
RUNS_BADLY = 0.10       # share of its voltage a motor may lack and still be meant to run (NEMA MG 1; from memory)
STARTS_BADLY = 0.35     # at 65 % of the voltage a motor turns with 0.42 of its force: force goes with voltage squared


def say_drop(drop):
    """What a voltage drop (a share) means for a machine that runs."""
    if drop <= 0.03:
        return "within the 3 % that the code advises"
    if drop <= RUNS_BADLY:
        return "more than the 3 % that the code advises for a branch: ask about thicker wire or a nearer supply"
    return "so much that the machine will run hot, or not run at all: this wire is no choice"


def say_start_drop(low, high):
    """What the drop at the start, two shares, means for a machine that starts."""
    if low >= 1:
        return "So much current cannot flow through this wire at the start: the machine will not start."
    if high >= STARTS_BADLY:
        return (f"At the start it would lose {100 * low:.0f} % or more: the machine may start slowly, or not at all.")
    ends = " to ".join(dict.fromkeys(f"{100 * end:.0f}" for end in (low, high)))
    return f"For a moment at the start it loses {f'about {ends}' if high >= 0.005 else 'less than 1'} %."


def _inside(hottest):
    """How warm (C) the cabinet is let get on a day as hot as this."""
    return max(WARM_ENOUGH, hottest + LEAST_RISE)


@quantities(hottest="degC")
def say_hottest(fan_flow, hottest, system="US"):
    """What the cabinet needs on the hottest day, how warm it then is inside, and what to do where that is too warm.

    fan_flow (pint.Quantity): From the section ``power``.
    hottest: C, the hottest afternoon in the shade.
    system ({"US", "metric"}).
    """
    inside = _inside(hottest)

    def warm(value):
        return show(value, "temperature", system).replace(".0 ", " ")
    words = (f"On the hottest day the cabinet needs {show(fan_flow, 'air flow', system, digits=2)} of moving air; it "
             f"is then {warm(inside)} inside, out of the sun.")
    if inside < WARM_ENOUGH + 0.05:         # 95 °F is 35 °C and a little
        return words
    left = WARM_ENOUGH - hottest            # C that the air may still warm up by
    if left >= FAN_RISE:
        more = show(fan_flow * LEAST_RISE / left, "air flow", system, digits=2)
        fan = f"It takes {more} to keep it at {warm(WARM_ENOUGH)} when it is {warm(hottest)} outside. Or"
    else:
        fan = (f"No fan{' of a usual size' if left > 0.05 else ''} can keep it below {warm(WARM_ENOUGH)} when it is "
               f"{warm(hottest)} outside:")
    return (f"{words} Many motors are made for {warm(WARM_ENOUGH)} at most (common practice, no source; the plate "
            f"decides). {fan} shade it, move it to a cool building, or take a machine rated for the heat.")


class Likely(NamedTuple):
    """What a machine not bought yet is likely to draw, and the current to plan for."""

    power: Annotated[Range, "W"]
    current: Annotated[float, "A"]


@quantities(flow_free_air="m^3/s", pressure_gauge="Pa", voltage="V", elevation="m")
def power_before_buying(flow_free_air, pressure_gauge, voltage, elevation=0.0):
    """Watts that a machine not bought yet is :class:`Likely` to draw, and the amps to plan for.

    From the least power to compress the air and the open range of
    :data:`pondcalc.back_pressure.compressor.WIRE_EFFICIENCY`; the amps go with the high end and the usual power
    factor of a plain motor, which asks for the thicker wire.
    """
    likely = Range(*map(float, compressor.wire_power(flow_free_air, pressure_gauge, elevation)))
    return Likely(likely, likely.high / (voltage * housing.PLAIN_MOTOR.usual))


@quantities(voltage="V", current="A", length="m", price="dollar/J", hottest="degC", watts="W", power_factor="",
            elevation="m")
def power(voltage, current, length, gauge, price, hottest, watts=None, power_factor=None, elevation=0.0,
          likely=None, motor=housing.ANY_MOTOR):
    """What plate or meter readings say about power, as the pond record's section ``power``.

    voltage, current: V and A.
    length: m of wire, one way.
    gauge (int or str): Of the copper wire.
    price: Dollars a joule inside the package.
    hottest: C, the hottest afternoon in the shade.
    watts, power_factor: As for :func:`pondcalc.power_and_housing.housing.power_from_readings`.
    elevation: m above sea level.
    likely (Range): W, where there is no machine yet to read; see :func:`power_before_buying`.
    motor (Range): Power factor where neither watts nor power factor was read.
    Returns: dict.

    The fan must carry the high end of the power at a rise that ends at :data:`WARM_ENOUGH`, or at
    :data:`LEAST_RISE` where outdoors leaves less than that.
    """
    span = likely or housing.power_from_readings(voltage, current, watts, power_factor, motor)
    inside = _inside(hottest)
    fan = float(cabinet.air_for_heat(span.high, inside - hottest, inside, elevation))
    drop = float(wiring.voltage_drop_share(current, length, gauge, voltage))
    return {"power": spanned(span, "W"), "cost": spanned([housing.cost_per_year(v, price) for v in span], "$/yr"),
            "current": Q(float(current), "A"), "wire_gauge": Q(float(gauge), "dimensionless"),
            "run_length": Q(float(length), "m"), "voltage_drop": Q(100 * drop, "%"), "fan_flow": Q(fan, "m3/s"),
            "found": METERED if likely is None else BEFORE_BUYING}


def say_power(values, system, hottest):
    """The section ``power`` in words; `hottest` is the hottest afternoon in the shade, a quantity."""
    low, usual, high = values["power"]
    cost, current, drop = values["cost"], values["current"], values["voltage_drop"]
    start = asked(wiring.starting_current)(current)
    gauge = values["wire_gauge"].m_as("dimensionless")
    share, amps = drop.m_as("dimensionless"), current.m_as("A")
    at_start = (share * end.m_as("A") / amps for end in (start.low, start.high))
    return (f"Power {show(usual, 'power', digits=2)} ({show_range(low, high, 'power')}), "
            f"{show(cost.usual, 'money a year', digits=2)} ({show_range(cost.low, cost.high, 'money a year')}) if it "
            f"runs all year. The run of {show(values['run_length'], 'distance', system)} of {gauge:.0f} AWG drops "
            f"{show(drop, 'share', digits=2)} while running, {say_drop(share)}. {say_start_drop(*at_start)} "
            f"Wire and breaker must be rated for {show(asked(wiring.circuit_needed)(current), 'current', digits=2)} or "
            f"more, and ride through about {show_range(start.low, start.high, 'current')} at the start. "
            f"{asked(say_hottest)(values['fan_flow'], hottest, system)}")
