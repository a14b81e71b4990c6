"""Explorers of workbook 03 on lifted water, surface against bubbles, places, and the reader's own air."""

import functools
import warnings
from types import SimpleNamespace

import numpy as np
from scipy.spatial.distance import pdist

from .. import findings, record, water
from ..back_pressure import lineplan
from ..bubbles_and_oxygen import bubbleplume, bubblesize, comparison, placement, plume
from ..bubbles_and_oxygen.column import Column
from ..figures import lifted_water as draw
from ..how_much_oxygen import oxygencase
from ..how_much_water import basin as bed
from ..units import CFM, FOOT, Q, Range, format_number, show, show_range
from ..your_plan import staleness
from .explorer import Choice, Explorer, Panel, Slider
from .pond import SaveButton

WORKBOOK = "03-bubbles-and-oxygen-transfer"
OFFERED = {kind: kind for kind in bubblesize.MATERIALS}


def _feet(metres, most=1e9):
    return f"{min(metres / FOOT, most):.1f} ft"


def _start_depth(place):
    return max(place.deepest - placement.OFF_BOTTOM, 0.9)


def lifted(pond, system="US"):
    """How much water does the air lift, and what does splitting it do?"""
    place = findings.setting(pond)
    counts = np.arange(1, 9)
    most = plume.lifted_water.si(6 * CFM, 20 * FOOT, 8).high

    def model(submergence, flow, diffusers):
        each = plume.lifted_water.si(flow, submergence, counts, 20.0, place.pressure)
        return SimpleNamespace(count=counts, lifted=each, most=most,
                               turnover=plume.turnover_time.si(place.volume, each),
                               chosen=int(round(diffusers)) - 1)

    def say(result, system):
        n = result.chosen
        low, usual, high = (Q(float(end[n]), "m3/s") for end in result.lifted)
        hours = [Q(float(end[n]) / 3600, "h") for end in result.turnover]
        one = result.lifted.usual[n] / result.lifted.usual[0]
        more = f", {one:.1f} times what one diffuser lifts with all the air" if n else ""
        return (f"{n + 1} diffuser{'s lift' if n else ' lifts'} about {show(usual, 'water flow', system, digits=2)}, "
                f"anywhere from {show_range(low, high, 'water flow', system)}{more}. One pond "
                f"volume takes {show_range(hours[0], hours[2], 'time', system)}.")
    return Explorer("Lifted water", model, draw.split, say,
                    [Slider.of("air", "submergence", _feet(_start_depth(place), 20), low="3 ft"),
                     Slider.of("air", "flow_free_air", "4 cfm", "flow", high="6 cfm"),
                     Slider.of("air", "diffusers", "1")],
                    presets={"Four share it": {"diffusers": "4"}, "Half the air": {"flow": "2 cfm"},
                             "Half the depth": {"submergence": _feet(_start_depth(place) / 2, 20)}}, system=system)


def _drawing(pond, place):
    """Function that turns two ranges of oxygen (kg/s) into what the figure needs.

    The axis holds what the whole surface takes in at most. A third bar is what the pond needs, if it is known.
    """
    full = comparison.EXCHANGE.high * place.area * water.oxygen_saturation.si(25.0, place.pressure) * 1e-3
    need = oxygencase.found(pond, "need") or oxygencase.found(pond, "delivery")
    wanted = [] if need is None else [("the pond needs\n(workbook 02)", Range(*(end.m_as("kg/s") for end in need)))]
    most = 1.05 * max(full, 3.2e-4, *(values.high for _, values in wanted))

    def drawn(by_bubbles, by_surface, **more):
        rows = [("out of the bubbles", by_bubbles), ("taken in at the top\nby lifted water", by_surface), *wanted]
        return SimpleNamespace(rows=rows, least=-0.2 * most, most=most, **more)
    return drawn


def _reach(pond):
    """Function of air for each diffuser and depth (SI): does its plume get through the pond's own layers, or July's?"""
    read = findings.pond_profile(pond)
    oxygen = np.nan_to_num(read.oxygen_at(read.depth))
    layered = Column.si(read.depth, read.temperature, oxygen, None, None, findings.setting(pond).pressure)

    @functools.lru_cache(maxsize=256)
    def verdict(each, submergence):
        return bubbleplume.reaches_surface.si(each, submergence, layered).verdict
    return verdict


def _weak(each, verdict, system):
    """A warning where a plume may stop below the warm layer, or nothing."""
    if verdict == "yes":
        return ""
    return (f" With {show(Q(each, 'm3/s'), 'air flow', system, digits=2)} for each diffuser a plume "
            f"{'does' if verdict == 'no' else 'may'} not get through a warm layer such as July's (workbook 05); where "
            "it stops, the top gets nothing.")


def _pace(lifted, area, system):
    """Which sets the pace at the top, in words: the water lifted or what the still surface can refill (m3/s)."""
    refill = float(comparison.EXCHANGE.usual * area)
    first, second = (show(Q(float(v), "m3/s"), "water flow", system, digits=2) for v in (lifted, refill))
    return (f"About {first} is lifted; the open surface has time to fill some {second}, so "
            + ("more air adds little at the top." if lifted > 2 * refill else "more air would still help at the top."))


def two_paths(pond, system="US"):
    """Bubbles or surface: which path brings more oxygen?"""
    place = findings.setting(pond)
    drawn, reach = _drawing(pond, place), _reach(pond)

    def model(submergence, oxygen, flow, diffusers, diffuser):
        column = findings.two_readings(submergence, 7.0, oxygen, 25.0, place.pressure)
        found = comparison.compare_paths.si(flow, submergence, column, place.area, diffuser, int(round(diffusers)))
        each = flow / int(round(diffusers))
        return drawn(found.bubbles, found.surface, found=found, each=each, reach=reach(each, submergence))

    def say(result, system):
        found = result.found
        first, second = findings.say_paths(*(Range(*(Q(3600 * float(end), "kg/h") for end in values))
                                             for values in (found.bubbles, found.surface)), system)
        gains = min(found.bubbles.usual, found.surface.usual) > 0
        times = f", in the usual case {format_number(found.ratio.usual, 2)} times as much" if gains else ""
        pace = _pace(found.lifted.usual, place.area, system) if found.surface.usual > 0 else (
            "This water holds more oxygen than air at the surface can keep in it, so lifting it only lets it go.")
        return f"{first}; {second}{times}. {pace}{_weak(result.each, result.reach, system)}"
    return Explorer("Two paths for oxygen", model, draw.paths, say, _air_sliders(pond, place, "1 mg/L"),
                    presets={"Bottom without oxygen": {"oxygen": "0 mg/L"}, "Well mixed": {"oxygen": "7 mg/L"},
                             "Trickle of air": {"flow": "0.2 cfm"}}, system=system)


def _air_sliders(pond, place, oxygen, kept=None):
    """Sliders of the air, where `kept` says by name, else at common numbers."""
    deepest, wanted, kept = max(_start_depth(place), 1.5), lineplan.air_wanted(pond), kept or {}
    flow = 3.0 if wanted is None else min(max(wanted.m_as("cfm"), 0.2), 8.0)
    return [Slider.of("air", "submergence", kept.get("submergence", _feet(deepest)), high=_feet(deepest + 0.5)),
            Slider("oxygen", "Oxygen at the diffusers", "oxygen", "0 mg/L", "12 mg/L", kept.get("oxygen", oxygen),
                   step=0.5),
            Slider.of("air", "flow_free_air", kept.get("flow", f"{flow:.2g} cfm"), "flow"),
            Slider.of("air", "diffusers", kept.get("diffusers")),
            Choice("diffuser", "Kind of diffuser", OFFERED, kept.get("diffuser", "membrane"))]


def _kept_air(pond):
    """What workbook 03 saved of the sliders, by name; the air of 04 counts where it was saved later."""
    if pond.invented:
        return {}
    kept = dict(line.split(": ", 1) for line in pond.get("air", "typed") or () if ": " in line)
    if not kept and pond.has("air"):            # saved before the sliders were kept
        kept = {"submergence": f"{pond.get('air', 'submergence').m_as('m')} m",
                "flow": f"{pond.get('air', 'flow_free_air').usual.m_as('m^3/s')} m3/s",
                "diffusers": f"{pond.get('air', 'diffusers').m_as('dimensionless'):.0f}",
                "diffuser": pond.get("air", "diffuser")}
    if kept.get("diffuser") not in OFFERED:
        kept.pop("diffuser", None)
    if staleness.saved_after(pond, "line", "air") and pond.get("line", "flow_free_air") is not None:
        kept.pop("flow", None)
    return kept


def places(basin, shoreline, system="US"):
    """Where should the diffusers lie?"""
    deepest = float(np.max(basin.depth))
    levels = np.linspace(0, deepest, 40)
    table = bed.depth_table.si(basin)
    shares = bed.volume_below.si(table, levels) / table.volume[0]
    bank = np.append(shoreline.x, shoreline.x[0]), np.append(shoreline.y, shoreline.y[0])

    def model(count, spacing, off_bottom):
        found, short = _quiet_places(basin, int(round(count)), spacing, off_bottom)
        level = float(found.diffuser_depth[0])
        return SimpleNamespace(basin=basin, shoreline_x=bank[0], shoreline_y=bank[1], places=found, spacing=spacing,
                               level=level, levels=levels, shares=shares, share=findings.share_below(table, level),
                               short=short, wanted=int(round(count)))

    def say(result, system):
        found = result.places
        depths = [show(Q(float(end), "m"), "depth", system, digits=2) for end in
                  (found.diffuser_depth.min(), found.diffuser_depth.max())]
        where = depths[0] if depths[0] == depths[1] else f"{depths[0]} to {depths[1]}"
        fewer = (f"Only {len(found.x)} of {result.wanted} places are deep enough and far enough apart. " if result.short
                 else "")
        gaps = pdist(np.column_stack([found.x, found.y]))       # none for a single diffuser
        stand = (f"{len(found.x)} diffusers stand {where} down, the nearest two "
                 f"{show(Q(float(gaps.min()), 'm'), 'distance', system, digits=2)} apart" if len(gaps) else
                 f"1 diffuser stands {where} down")
        return (f"{fewer}{stand}. "
                f"{100 * result.share:.1f} % of the water lies deeper than the deepest of them (inside the dashed "
                "line) and stays mostly unstirred. Darker is deeper.")
    return Explorer("Places for the diffusers", model, draw.places, say,
                    [Slider.of("air", "diffusers", to="count", label="Diffusers"),
                     Slider("spacing", "Distance between two, at least", "distance", "5 ft", "150 ft", "15 ft", step=5),
                     Slider("off_bottom", "Height off the bottom", "depth", "0.5 ft", "8 ft", "2 ft", step=0.5)],
                    presets={"Far apart": {"count": "4", "spacing": "80 ft"},
                             "Half way up": {"off_bottom": "7 ft"}}, system=system, size=(7.2, 4.3))


def _quiet_places(basin, count, spacing, off_bottom):
    """Suggested places, and whether there are fewer than asked for."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")         # the sentence says it
        found = placement.suggest_places.si(basin.x, basin.y, basin.depth, count, spacing, off_bottom)
    return found, len(found.x) < count


class OwnAir(Panel):
    """Choose air and diffusers for the reader's own pond, see what they give, and save it."""

    def __init__(self, pond, system="US"):
        self._pond, self._place = pond, findings.setting(pond)
        place = self._place
        drawn, reach = _drawing(pond, place), _reach(pond)
        name = f"{pond.name}, on borrowed water" if place.borrowed else pond.name

        def model(**choices):
            found = self._section(**choices)
            rates = [Range(*(end.m_as("kg/s") for end in found[key])) for key in ("oxygen_by_bubbles",
                                                                                 "oxygen_by_surface")]
            each = choices["flow"] / int(round(choices["diffusers"]))
            return drawn(*rates, values=found, each=each, reach=reach(each, choices["submergence"]))

        def say(result, system):
            below = findings.share_below(place.table, result.values["submergence"].m_as("m"))
            lead = ("This record has no volume yet, so the water of the demonstration pond stands in. "
                    if place.borrowed else "")
            words = findings.say_air(result.values, below, system)
            return lead + words + _weak(result.each, result.reach, system)
        sliders = _air_sliders(pond, place, "2 mg/L", _kept_air(pond))
        self.explorer = Explorer(f"Air for {name}", model, draw.paths, say, sliders, system=system)
        self.saver = SaveButton("air", self.values, WORKBOOK, system=system, after=self._saved, pond=pond)
        self._shown = dict(self.explorer.values)        # as last saved or opened: what differs was moved by the reader
        super().__init__([self.explorer, self.saver], layout={"max_width": "860px"})

    def __repr__(self):
        return "Explorer: air for my pond"

    def _section(self, submergence, oxygen, flow, diffusers, diffuser):
        return findings.air(self._place, submergence, oxygen, flow, int(round(diffusers)), diffuser)

    def values(self):
        """The section ``air`` as the sliders stand."""
        findings.needs_water(self._pond)
        self._catch_up()
        values = self.explorer.values
        units = {"submergence": " m", "oxygen": " mg/L", "flow": " m3/s"}
        return self._section(**values) | {"typed": [f"{name}: {value}{units.get(name, '')}" for name, value in
                                                    values.items()]}

    def _saved(self):
        self._shown = dict(self.explorer.values)

    def _catch_up(self):
        """Where another page saved other air since, sliders not moved here follow it, and nothing is saved yet."""
        try:
            kept = _kept_air(record.load(self.saver.path))
        except record.RecordError:          # no file yet, or one that saving will speak of
            return
        now = dict(self.explorer.values)
        follow = {name: text for name, text in kept.items() if now.get(name) == self._shown.get(name)}
        self.explorer.set_texts(follow)
        self._shown |= {name: self.explorer.values[name] for name in follow}
        if now != self.explorer.values:
            raise ValueError("another page saved other air since this one was opened. Sliders you had not moved now "
                             "show it. Look at them and save again.")
