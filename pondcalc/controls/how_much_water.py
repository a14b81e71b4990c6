"""Explorers of workbook 01, and the form for the reader's own soundings."""

from types import SimpleNamespace

import numpy as np

from .. import findings
from ..figures import how_much_water as draw
from ..figures import style
from ..how_much_water import basin as bed
from ..how_much_water import basinrange, doubts, handvolume
from ..units import Q, show
from .explorer import Choice, Explorer, Slider

PATTERNS = {"Lines through the middle": "middle", "Parallel lines": "parallel", "One S-shaped pass": "s"}


def _m(value):
    return Q(float(value), "m")


def _m3(value):
    return Q(float(value), "m3")


def _boat(pattern, lines, spacing, ring_x, ring_y):
    """Where a boat sounds: x, y of points inside the bank, for a pattern and a spacing along it (m)."""
    low, high = np.array([ring_x.min(), ring_y.min()]), np.array([ring_x.max(), ring_y.max()])
    centre, reach = (low + high) / 2, np.hypot(*(high - low)) / 2
    along = np.arange(-reach, reach, spacing)
    if pattern == "middle":
        turn = np.pi * np.arange(lines) / lines
        x = centre[0] + np.outer(np.cos(turn), along)
        y = centre[1] + np.outer(np.sin(turn), along)
    elif pattern == "parallel":
        across = low[0] + (high[0] - low[0]) * (np.arange(lines) + 0.5) / lines
        x, y = np.broadcast_arrays(across[:, None], centre[1] + along[None, :])
    else:
        step = np.linspace(0, 1, max(12, int(lines * (high - low)[1] / spacing)))
        x = low[0] + (high[0] - low[0]) * step
        y = centre[1] + 0.5 * (high[1] - low[1]) * np.cos(np.pi * lines * step)
    x, y = np.ravel(x), np.ravel(y)
    inside = doubts.inside(x, y, ring_x, ring_y)
    return x[inside], y[inside]


def _mean_of_lines(basin, shoreline):
    table_mean = bed.form(basin).mean_depth

    def model(lines, spacing, pattern):
        x, y = _boat(pattern, int(round(lines)), spacing, shoreline.x, shoreline.y)
        if len(x) < 3:
            raise ValueError("fewer than three soundings fall inside the bank; add a line or close up the spacing.")
        depth = bed.depth_at.si(basin, x, y)
        again = bed.build_basin.si(x, y, depth, shoreline.x, shoreline.y)
        return SimpleNamespace(basin=basin, shoreline_x=shoreline.x, shoreline_y=shoreline.y, x=x, y=y,
                               truth=table_mean, estimate=float(depth.mean()), triangles=bed.form(again).mean_depth,
                               seen=basinrange.coverage(again))
    return model


def _say_mean(result, system):
    off = 100 * (result.estimate / result.truth - 1)
    side = "too deep" if off > 1 else "too shallow" if off < -1 else "close"
    better = 100 * (result.triangles / result.truth - 1)
    return (f"{len(result.x)} soundings. Their plain average is {show(_m(result.estimate), 'depth', system)}, "
            f"{side} ({off:+.0f} %); joined to the bank by triangles they give "
            f"{show(_m(result.triangles), 'depth', system)} ({better:+.0f} %). The true mean depth is "
            f"{show(_m(result.truth), 'depth', system)}. Out of reach of the soundings: "
            f"{100 * result.seen.unseen:.0f} % of the pond. {findings.say_worth(result.seen.odds)}")


def sounding_pattern(basin, shoreline, system="US"):
    """Where should the boat go, and what does a plain average of depths say?"""
    return Explorer("Where you sound decides what you find", _mean_of_lines(basin, shoreline), draw.lines_and_mean,
                    _say_mean,
                    [Choice("pattern", "Pattern of the boat", PATTERNS, "Lines through the middle"),
                     Slider("lines", "Number of lines", "number", "1", "12", "2", step=1),
                     Slider("spacing", "A depth every", "distance", "6 ft", "120 ft", "20 ft", step=2)],
                    presets={"Six parallel lines": {"pattern": "Parallel lines", "lines": "6", "spacing": "20 ft"},
                             "Very few": {"pattern": "Lines through the middle", "lines": "1", "spacing": "80 ft"}},
                    system=system)


def _say_level(result, system):
    left = 100 * result.volume / result.table.volume[0]
    surface = 100 * result.area / result.table.area[0]
    return (f"With the water {show(_m(result.drop), 'depth', system, digits=2)} below full, "
            f"{show(_m3(result.volume), 'volume', system)} is left: {left:.0f} % of the water under "
            f"{surface:.0f} % of the surface.")


def water_level(basin, system="US"):
    """How much water is left when the level drops?"""
    table = bed.depth_table.si(basin)
    deepest = float(np.max(basin.depth))

    def model(drop):
        area, volume = bed.at_level.si(basin, drop)
        return SimpleNamespace(basin=basin, table=table, drop=drop, area=area, volume=volume)
    top = show(_m(deepest), "depth", digits=4)
    half = show(_m(deepest / 2), "depth", digits=4)
    return Explorer("What a lower water level leaves", model, draw.level, _say_level,
                    [Slider("drop", "Water level below full", "depth", "0 ft", top, "0 ft", step=0.1)],
                    presets={"Half the greatest depth": {"drop": half}, "Full": {"drop": "0 ft"}}, system=system)


def range_by_tracks(read, exact=None, system="US"):
    """How does the doubt shrink as the boat makes more tracks?"""
    soundings, shoreline = read.soundings, read.shoreline
    tracks = np.array(list(dict.fromkeys(soundings.track)))
    counts = [n for n in range(3, len(tracks) + 1)]
    volumes, odds = zip(*(_volume_with(soundings, shoreline, tracks, n) for n in counts), strict=True)

    def model(tracks_used):
        return SimpleNamespace(counts=counts, volumes=volumes, exact=exact, most=1.3 * max(v.high for v in volumes),
                               chosen=int(round(tracks_used)) - counts[0])

    def say(result, system):
        low, usual, high = (_m3(v) for v in result.volumes[result.chosen])
        return (f"With {result.counts[result.chosen]} tracks the volume is {show(usual, 'volume', system)}, "
                f"{findings.say_range(low, high, findings.mark_of(odds[result.chosen]), system)}")
    return Explorer("More tracks, less doubt", model, draw.range_by_tracks, say,
                    [Slider("tracks_used", "Boat tracks used", "number", str(counts[0]), str(counts[-1]), "5", step=1)],
                    system=system)


def _volume_with(soundings, shoreline, tracks, count):
    """Volume range (m3) from `count` tracks spread evenly over those there are, and its odds; usual: the smooth bed."""
    kept = tracks[np.unique(np.round(np.linspace(0, len(tracks) - 1, count)).astype(int))]
    use = np.isin(soundings.track, kept)
    found = basinrange.survey_range.si(soundings.x[use], soundings.y[use], soundings.depth[use], shoreline.x,
                                       shoreline.y, soundings.track[use])
    return found.volume._replace(usual=found.curved_volume), found.seen.odds


def _by_hand(area, depth, fullness):
    """Each hand method on a basin whose area shrinks as (1 - z/depth) to a power."""
    power = 1 / fullness - 1                       # mean depth is depth/(power + 1)
    levels = np.linspace(0, depth, 5)
    areas = area * (1 - levels / depth)**power
    methods = {
        "0.4 rule": handvolume.four_tenths_rule.si(area, depth),
        "Average end area": handvolume.average_end_area.si(levels, areas),
        "Frustum": handvolume.frustum.si(levels, areas),
        "Prismoidal": handvolume.prismoidal.si(depth, areas[0], areas[2], areas[4]),
        "Simpson": handvolume.simpson.si(levels, areas),
    }
    return SimpleNamespace(methods=methods, exact=area * depth * fullness)


def _say_hand(result, system):
    worst = max(result.methods, key=lambda name: abs(result.methods[name] - result.exact))
    off = 100 * (result.methods[worst] / result.exact - 1)
    return (f"This basin holds {show(_m3(result.exact), 'volume', system)} exactly. The method furthest off is "
            f"“{worst}”, at {off:+.0f} %.")


def map_still(basin, read, system="US"):
    """Map of the bed with its soundings, which does not move."""
    deepest = show(_m(np.max(basin.depth)), "depth", system)
    return style.Still(draw.depth_map, basin, read.soundings, read.shoreline, system, width=7.2, height=5.0,
                       alt=f"Map of the pond from {len(read.soundings)} soundings: depth grows from the bank to "
                       f"{deepest} in the darkest blue. The small rings are soundings, along the boat's tracks.")


def hand_methods(system="US"):
    """Which hand method suits which shape of pond?"""
    return Explorer("Hand methods against the exact volume", _by_hand, draw.hand_methods, _say_hand,
                    [Slider.of("water", "area", "2.4 acre"),
                     Slider.of("water", "deepest", "14.5 ft", "depth", "Greatest depth"),
                     Slider("fullness", "Mean depth, share of the greatest", "share", "20 %", "80 %", "44 %", step=1)],
                    presets={"Cone": {"fullness": "33.333 %"}, "Bowl": {"fullness": "50 %"},
                             "Bathtub": {"fullness": "75 %"}}, system=system)
