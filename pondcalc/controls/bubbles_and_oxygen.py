"""Workbook 03: explorers of bubbles, lifted water and places, and the forms for own air and a tub test."""

import functools
import warnings
from types import SimpleNamespace

import ipywidgets as W
import numpy as np
from scipy.spatial.distance import pdist

from .. import air, findings, record
from ..back_pressure import lineplan
from ..bubbles_and_oxygen import bubbles, buckettest, comparison, plume
from ..bubbles_and_oxygen.plume import Column, uniform_column
from ..figures import bubbles_and_oxygen as draw
from ..figures import style
from ..how_much_oxygen import oxygencase
from ..how_much_water import basin as bed
from ..units import CFM, FOOT, Q, QuantityError, Range, format_number, show, show_range
from ..water import STANDARD, Water
from ..your_plan import staleness
from .explorer import Choice, Explorer, Panel, Slider
from .ownform import FileOrText, OwnForm, SaveButton, read_all

DEEPEST = f"{draw.DEEPEST} m"         # as far as the axes go
OXYGEN = ("oxygen", "0 mg/L", "16 mg/L")
MOST_GONE = 80              # % of the oxygen; less than 5 % of the gas left in a bubble is then oxygen
CARRIED = "Speed of the water that rises too"
TRUTH = 6.0 / 3600          # 1/s; the coefficient that data/make_bucket_test.py gave the invented tub


def _one_bubble(submergence, oxygen, temperature, size, plume_speed):
    column = uniform_column(Water(temperature), oxygen, plume_speed)
    path = bubbles.bubble_path(size, submergence, column)
    speed = bubbles.rise_speed(np.clip(path.diameter, *bubbles.DIAMETER_RANGE))
    return SimpleNamespace(path=path, speed=speed * (path.diameter > 0), plume_speed=plume_speed, size=size)


def _say_bubble(result, system):
    path = result.path
    gone = 100 * (1 - path.oxygen_left[-1])
    if path.diameter[-1] == 0:
        return (f"This {1000 * result.size:.1f} mm bubble dissolves on the way: it never reaches the surface, and the "
                "water has all of its oxygen and nitrogen.")
    gave = (f"has given {gone:.0f} % of its oxygen to the water" if gone >= 0 else
            f"has taken oxygen from the water, {-gone:.0f} % of what it brought, because the water held too much")
    rest = "nearly all the rest is nitrogen, and " if gone >= MOST_GONE else ""
    return (f"After {format_number(path.time[-1])} seconds the bubble arrives and {gave}. It is "
            f"{1000 * path.diameter[-1]:.2f} mm across, against {1000 * path.diameter[0]:.2f} mm at the start: "
            f"{rest}the pressure on it has eased.")


def one_bubble(system="US"):
    """What happens to one bubble on its way up?"""
    return Explorer("One bubble on its way up", _one_bubble, draw.rise, _say_bubble,
                    [Slider.of("line", "submergence", "14 ft", high=DEEPEST),
                     Slider("oxygen", "Oxygen already in the water", *OXYGEN, "0 mg/L", step=0.1),
                     Slider.of("oxygen", "temperature", "68 F", label="Water temperature"),
                     Slider("size", "Bubble at the diffuser", "bubble", "0.3 mm", "12 mm", "2 mm", step=0.1),
                     Slider("plume_speed", CARRIED, "speed", "0 ft/s", "2.4 ft/s", "0 ft/s", step=0.05)],
                    presets={"In a plume": {"plume_speed": "1.2 ft/s"},
                             "Very fine": {"size": "0.5 mm"}, "Coarse": {"size": "8 mm"},
                             "Too much oxygen": {"oxygen": "14 mg/L"}}, system=system)


def transfer_map(system="US"):
    """How do bubble size and depth share the credit?"""
    sizes, depths = np.geomspace(0.5e-3, 12e-3, 26), np.linspace(0.6096, draw.DEEPEST, 18)

    @functools.lru_cache(maxsize=64)
    def sweep(oxygen, plume_speed):
        return bubbles.oxygen_sweep(sizes, depths, uniform_column(STANDARD, oxygen, plume_speed))

    def model(submergence, oxygen, size, plume_speed, per_depth):
        here = bubbles.oxygen_transferred(size, submergence, uniform_column(STANDARD, oxygen, plume_speed))
        return SimpleNamespace(diameter=sizes, depth=depths, share=sweep(oxygen, plume_speed), per_depth=per_depth,
                               size=size, submergence=submergence, here=float(here))

    def say(result, system):
        foot = 0.3048 if system == "US" else 1.0
        each = 100 * result.here / result.submergence * foot
        deep = show(result.submergence, "depth", system)
        unit = "foot" if system == "US" else "meter"
        drawn = f"Darker is more for each {unit}" if result.per_depth else "Darker is more on the whole way"
        return (f"A {1000 * result.size:.1f} mm bubble from {deep} (the dot) gives up {100 * result.here:.0f} % "
                f"of its oxygen, or {each:.1f} % for each {unit}. {drawn}.")
    return Explorer("Bubble size and depth", model, draw.transfer_map, say,
                    [Slider.of("line", "submergence", "14 ft", high=DEEPEST),
                     Slider("oxygen", "Oxygen already in the water", "oxygen", "0 mg/L", "9 mg/L", "0 mg/L", step=0.5),
                     Slider("size", "Bubble at the diffuser", "bubble", "0.5 mm", "12 mm", "2 mm", step=0.1),
                     Slider("plume_speed", CARRIED, "speed", "0 ft/s", "2.4 ft/s", "1.2 ft/s", step=0.1),
                     Choice("per_depth", "Show", {"share transferred on the whole way": False,
                                                  "share for each foot (or meter)": True},
                            "share transferred on the whole way")],
                    presets={"Still water": {"plume_speed": "0 ft/s"}, "Dawn in a pond": {"oxygen": "3 mg/L"}},
                    system=system, size=(style.WIDTH, 4.3))


def _compare_kinds(submergence, oxygen, power, diffusers, equal):
    column = uniform_column(STANDARD, oxygen)
    diffusers = int(round(diffusers))
    if equal == "air":
        flow = comparison.air_for_power(power, submergence, column)
        options = comparison.same_air(float(flow), submergence, column, diffusers)
    else:
        options = comparison.same_power(power, submergence, column, diffusers)
    blown = air.oxygen_mass_flow(options.flow_free_air)
    return SimpleNamespace(options=options, share=Range(*(np.maximum(end, 0) / blown for end in options.bubbles)),
                           most_lift=3.3)


def _say_kinds(result, system):
    options = result.options

    def each(row):
        low, usual, high = (f"{100 * end[row]:.0f}" for end in result.share)
        rate = show(options.bubbles.usual[row], "oxygen rate", system, digits=2)
        return f"{options.diffuser[row]} {usual} % ({low} to {high} %), or {rate}"
    flow = show(options.flow_free_air[0], "air flow", system, digits=2)
    lifted = show_range(min(options.lifted.low), max(options.lifted.high), "water flow", system)
    apart = 100 * (np.max(options.lifted.usual) / np.min(options.lifted.usual) - 1)
    return (f"Oxygen out of the bubbles, usual case and range: {each(0)}; {each(1)}; {each(2)}. Water lifted: "
            f"{lifted}, in the usual case within {apart:.0f} % of each other. The membrane gets {flow} of free air.")


def diffuser_kinds(system="US"):
    """Fine or coarse: who gives more oxygen, who lifts more water?"""
    return Explorer("Fine and coarse side by side", _compare_kinds, draw.kinds, _say_kinds,
                    [Slider.of("air", "submergence", "12 ft", low="3 ft"),
                     Slider("oxygen", "Oxygen already in the water", "oxygen", "0 mg/L", "9 mg/L", "2 mg/L", step=0.5),
                     Slider.of("power", "power", "200 W", low="50 W", high="600 W"), Slider.of("air", "diffusers"),
                     Choice("equal", "Compare at", {"equal electric power": "power", "equal flow of free air": "air"},
                            "equal electric power")],
                    presets={"Shallow": {"submergence": "4 ft"}, "Nearly full of oxygen": {"oxygen": "8 mg/L"}},
                    system=system)


def tub_result(log, fit, truth=None, most=None):
    """What the tub figure needs: the curve drawn, and axes that hold it."""
    time = np.asarray(log.time)
    begin = time[np.asarray(fit.used)][0]
    drawn = np.linspace(begin, time[-1], 120)
    return SimpleNamespace(log=log, fit=fit, minutes=drawn / 60, truth=truth, last=1.02 * time[-1] / 60,
                           curve=buckettest.rise_curve(drawn - begin, fit.kla, fit.saturation, fit.start),
                           top=max(np.max(log.dissolved_oxygen), 1.0), most=most or 2 * fit.kla)


def _say_fit(fit):
    return comparison.say_fit(fit).replace("\n", " ")


def tub_cuts(log, system="US"):
    """What changes when readings are left out, or kept that should not be?"""
    minutes = np.asarray(log.time) / 60
    chosen = buckettest.choose_points(log.time, log.dissolved_oxygen)
    wild = np.array(["single reading" in reason for reason in chosen.reasons])

    def model(first, last, keep_wild):
        used = (minutes >= first) & (minutes <= last) & (keep_wild | ~wild)
        fit = buckettest.fit_bucket(log.time, log.dissolved_oxygen, log.water, used=used)
        return tub_result(log, fit, TRUTH, 12 / 3600)

    def say(result, system):
        fit, inside = result.fit, result.fit.kla_low <= TRUTH <= result.fit.kla_high
        return (f"{int(np.sum(fit.used))} readings used. {_say_fit(fit)} The log was made with "
                f"{format_number(3600 * TRUTH)} per hour, which lies {'inside' if inside else 'outside'} the interval.")
    return Explorer("What you leave out changes the answer", model, draw.tub, say,
                    [Slider("first", "Leave out readings before minute", "number", "0", "20", "0", step=1),
                     Slider("last", "Stop the log at minute", "number", "14", "50", "50", step=1),
                     Choice("keep_wild", "The reading copied down wrong", {"keep it": True, "leave it out": False},
                            "keep it")],
                    presets={"As it should be": {"first": "6", "keep_wild": "leave it out"},
                             "Stopped too early": {"first": "6", "last": "14", "keep_wild": "leave it out"}},
                    system=system, size=(style.WIDTH, 4.3))


def tub_still(log, fit, system="US"):
    """The fitted tub test, which does not move."""
    return style.Still(draw.tub, tub_result(log, fit), system, height=4.3,
                       alt=f"A tub test: oxygen climbs from near zero and levels off. {_say_fit(fit)} "
                       "Crosses are readings left out; below, the used readings scatter evenly about the curve.")


WORKBOOK = "03-bubbles-and-oxygen-transfer"
OFFERED = {kind: kind for kind in comparison.MATERIALS}


def _feet(metres, most=1e9):
    return f"{min(metres / FOOT, most):.1f} ft"


def _start_depth(place):
    return max(place.deepest - plume.OFF_BOTTOM, 0.9)


def lifted(pond, system="US"):
    """How much water does the air lift, and what does splitting it do?"""
    place = findings.setting(pond)
    counts = np.arange(1, 9)
    most = 1.02 * plume.lifted_water(6 * CFM, 20 * FOOT, 8, place.water.at(20.0)).high

    def model(submergence, flow, diffusers):
        each = plume.lifted_water(flow, submergence, counts, place.water.at(20.0))
        return SimpleNamespace(count=counts, lifted=each, most=most,
                               turnover=plume.turnover_time(place.volume, each),
                               chosen=int(round(diffusers)) - 1)

    def say(result, system):
        n = result.chosen
        low, usual, high = (end[n] for end in result.lifted)
        hours = [end[n] for end in result.turnover]
        one = result.lifted.usual[n] / result.lifted.usual[0]
        more = f", {one:.1f} times what one diffuser lifts with all the air" if n else ""
        return (f"{n + 1} diffuser{'s lift' if n else ' lifts'} about {show(usual, 'water flow', system, digits=2)}, "
                f"anywhere from {show_range(low, high, 'water flow', system)}{more}. One pond "
                f"volume takes {show_range(hours[0], hours[2], 'time', system)}. "
                f"{findings.say_second(pond, system)}").rstrip()
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
    full = comparison.EXCHANGE.high * place.area * place.water.at(25.0).saturation * 1e-3
    need = oxygencase.found(pond, "need") or oxygencase.found(pond, "delivery")
    wanted = [] if need is None else [("the pond needs\n(workbook 02)", Range(*(end.m_as("kg/s") for end in need)))]
    most = 1.05 * max(full, 3.2e-4, *(values.high for _, values in wanted))

    def drawn(by_bubbles, by_surface, **more):
        rows = [("out of the bubbles", by_bubbles), ("taken in at the top\nby lifted water", by_surface), *wanted]
        return SimpleNamespace(rows=rows, least=-0.2 * most, most=most, **more)
    return drawn


def _reach(pond):
    """Function of air for each diffuser and depth (SI): where its plume stops in the pond's own layers, or July's."""
    read = findings.pond_profile(pond)
    oxygen = np.nan_to_num(read.oxygen_at(read.depth))
    layered = Column(read.depth, findings.setting(pond).water.at(read.temperature), oxygen)

    @functools.lru_cache(maxsize=256)
    def stop(each, submergence):
        return plume.stop_depth(each, submergence, layered)
    return stop


def _weak(each, stop, system):
    """A warning where a plume may stop below the warm layer, or nothing."""
    if stop.verdict == "yes":
        return ""
    return f" Under a warm layer such as July's (workbook 05), {comparison.say_stop(each, stop, system)}."


def _pace(lifted, area, system):
    """Which sets the pace at the top, in words: the water lifted or what the still surface can refill (m3/s)."""
    refill = float(comparison.EXCHANGE.usual * area)
    first, second = (show(v, "water flow", system, digits=2) for v in (lifted, refill))
    return (f"About {first} is lifted; the open surface has time to fill some {second}, so "
            + ("more air adds little at the top." if lifted > 2 * refill else "more air would still help at the top."))


def two_paths(pond, system="US"):
    """Bubbles or surface: which path brings more oxygen?"""
    place = findings.setting(pond)
    drawn, reach = _drawing(pond, place), _reach(pond)

    def model(submergence, oxygen, flow, diffusers, diffuser):
        column = findings.two_readings(submergence, 7.0, oxygen, place.water.at(25.0))
        found = comparison.compare_paths(flow, submergence, column, place.area, diffuser, int(round(diffusers)))
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
            Choice.of("air", "diffuser", OFFERED, kept.get("diffuser", "membrane"))]


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
    table = bed.depth_table(basin)
    shares = bed.volume_below(table, levels) / table.volume[0]
    bank = np.append(shoreline.x, shoreline.x[0]), np.append(shoreline.y, shoreline.y[0])

    def model(count, spacing, off_bottom):
        found, short = _quiet_places(basin, int(round(count)), spacing, off_bottom)
        level = float(found.diffuser_depth[0])
        return SimpleNamespace(basin=basin, shoreline_x=bank[0], shoreline_y=bank[1], places=found, spacing=spacing,
                               level=level, levels=levels, shares=shares, share=findings.share_below(table, level),
                               short=short, wanted=int(round(count)))

    def say(result, system):
        found = result.places
        depths = [show(end, "depth", system, digits=2) for end in
                  (found.diffuser_depth.min(), found.diffuser_depth.max())]
        where = depths[0] if depths[0] == depths[1] else f"{depths[0]} to {depths[1]}"
        fewer = (f"Only {len(found.x)} of {result.wanted} places {'are' if len(found.x) > 1 else 'is'} deep enough and "
                 "far enough apart. " if result.short else "")
        gaps = pdist(np.column_stack([found.x, found.y]))       # none for a single diffuser
        stand = (f"{len(found.x)} diffusers stand {where} down, the nearest two "
                 f"{show(gaps.min(), 'distance', system, digits=2)} apart" if len(gaps) else
                 f"1 diffuser stands {where} down")
        return (f"{fewer}{stand}. "
                f"{100 * result.share:.1f} % of the water lies deeper than {'all of them' if len(gaps) else 'it does'} "
                "(inside the dashed line) and stays mostly unstirred. Darker is deeper.")
    return Explorer("Places for the diffusers", model, draw.places, say,
                    [Slider.of("air", "diffusers", to="count", label="Diffusers"),
                     Slider("spacing", "Distance between two, at least", "distance", "5 ft", "150 ft", "15 ft", step=5),
                     Slider("off_bottom", "Height off the bottom", "depth", "0.5 ft", "8 ft", "2 ft", step=0.5)],
                    presets={"Far apart": {"count": "4", "spacing": "80 ft"},
                             "Half way up": {"off_bottom": "7 ft"}}, system=system, size=(7.2, 4.3))


def _quiet_places(basin, count, spacing, off_bottom):
    """Suggested places, and whether there are fewer than asked for."""
    with warnings.catch_warnings(action="ignore"):         # the sentence says it
        found = plume.suggest_places(basin.x, basin.y, basin.depth, count, spacing, off_bottom)
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
            return (lead + words + _weak(result.each, result.reach, system)
                    + f" {findings.say_second(pond, system)}").rstrip()
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


SIZES = {"temperature": "degC", "volume": "m^3", "depth": "m", "flow": "m^3/s"}
EXAMPLE = "0 0.3\n1 1.1\n2 1.9\n..."


class OwnBucket(OwnForm):
    """Upload the log of a tub test or type its readings; fit it, draw it, and say what it means."""

    def __init__(self, pond, system="US"):
        self._system, self._water = system, findings.setting(pond).water
        super().__init__("my own tub test", {
            "given": FileOrText("Log file (CSV)", "or type: time, oxygen (mg/L)", EXAMPLE,
                                "Choose a log file, or type the readings, one pair on each line."),
            "unit": W.Dropdown(description="Typed times are in", options={"minutes": "min", "seconds": "s"}),
            **{name: self._box("air", f"tub_{name}", optional=True) for name in SIZES}},
            go="Fit the curve", trouble="Not fitted")

    def _found(self):
        log, fit, words = self._fit()
        return words, None, self._drawn("own-tub", f"Your tub test: readings and fitted curve. {words[0]}", draw.tub,
                                        tub_result(log, fit), self._system, size=(style.WIDTH, 4.3))

    def _fit(self):
        """The log, its fit and the lines to say."""
        read = read_all(**{name: getattr(self, name) for name in SIZES})
        read = {name: found.m_as(SIZES[name]) for name, found in read.items()}
        given, water = self.given.read(), self._water.at(read.pop("temperature", np.nan))
        log = (buckettest.typed_log(given, self.unit.value, water) if isinstance(given, str) else
               buckettest.read_log(given, water))
        if np.isnan(log.water.temperature):
            raise QuantityError("The water temperature is missing, and kLa grows by 2.4 % for each degree C. Fill "
                                f"it in above, such as {self.temperature.example}.")
        fit = buckettest.fit_bucket(log.time, log.dissolved_oxygen, log.water)
        words = [comparison.say_fit(fit)]
        words += [f"Left out, {line}" for line in comparison.say_left_out(log, fit).splitlines()]
        words += [f"Note: {note}" for note in (*log.notes, *fit.notes)]
        if len(read) < 3:
            words.append("Fill in the water in the tub, the depth of the stone and the air to get a rating as well.")
        else:
            words.append(comparison.say_rates(fit, read["volume"], read["flow"], read["depth"], log.water,
                                              self._system))
        return log, fit, words
