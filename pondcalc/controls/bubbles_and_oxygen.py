"""Explorers of workbook 03 on one bubble, kinds of diffusers, and what a tub test says."""

import functools
from types import SimpleNamespace

import numpy as np

from .. import air
from ..bubbles_and_oxygen import bubblepath, bubblereport, bubbles, buckettest, comparison
from ..bubbles_and_oxygen.column import uniform_column
from ..figures import bubbles_and_oxygen as draw
from ..figures import style
from ..units import Q, Range, format_number, show
from .explorer import Choice, Explorer, Slider

LAW = "wuest-1992"
DEEPEST = f"{draw.DEEPEST} m"         # as far as the axes go
OXYGEN = ("oxygen", "0 mg/L", "16 mg/L")
MOST_GONE = 80              # % of the oxygen; less than 5 % of the gas left in a bubble is then oxygen
CARRIED = "Speed of the water that rises too"
TRUTH = 6.0 / 3600          # 1/s; the coefficient that data/make_bucket_test.py gave the invented tub


def _one_bubble(submergence, oxygen, temperature, size, plume_speed):
    column = uniform_column.si(temperature, oxygen, plume_speed)
    path = bubblepath.bubble_path.si(size, submergence, column)
    speed = bubbles.rise_speed.si(np.clip(path.diameter, *bubbles.DIAMETER_RANGE), temperature, LAW)
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
                     Slider("plume_speed", CARRIED, "speed", "0 ft/s", "1.6 ft/s", "0 ft/s", step=0.05)],
                    presets={"In a plume": {"plume_speed": "0.8 ft/s"},
                             "Very fine": {"size": "0.5 mm"}, "Coarse": {"size": "8 mm"},
                             "Too much oxygen": {"oxygen": "14 mg/L"}}, system=system)


def transfer_map(system="US"):
    """How do bubble size and depth share the credit?"""
    sizes, depths = np.geomspace(0.5e-3, 12e-3, 26), np.linspace(0.6096, draw.DEEPEST, 18)

    @functools.lru_cache(maxsize=64)
    def sweep(oxygen, plume_speed):
        return bubblepath.oxygen_sweep.si(sizes, depths, uniform_column.si(20.0, oxygen, plume_speed))

    def model(submergence, oxygen, size, plume_speed, per_depth):
        here = bubblepath.oxygen_transferred.si(size, submergence, uniform_column.si(20.0, oxygen, plume_speed))
        return SimpleNamespace(diameter=sizes, depth=depths, share=sweep(oxygen, plume_speed), per_depth=per_depth,
                               size=size, submergence=submergence, here=float(here))

    def say(result, system):
        foot = 0.3048 if system == "US" else 1.0
        each = 100 * result.here / result.submergence * foot
        deep = show(Q(result.submergence, "m"), "depth", system)
        unit = "foot" if system == "US" else "meter"
        drawn = f"Darker is more for each {unit}" if result.per_depth else "Darker is more on the whole way"
        return (f"A {1000 * result.size:.1f} mm bubble from {deep} (the dot) gives up {100 * result.here:.0f} % "
                f"of its oxygen, or {each:.1f} % for each {unit}. {drawn}.")
    return Explorer("Bubble size and depth", model, draw.transfer_map, say,
                    [Slider.of("line", "submergence", "14 ft", high=DEEPEST),
                     Slider("oxygen", "Oxygen already in the water", "oxygen", "0 mg/L", "9 mg/L", "0 mg/L", step=0.5),
                     Slider("size", "Bubble at the diffuser", "bubble", "0.5 mm", "12 mm", "2 mm", step=0.1),
                     Slider("plume_speed", CARRIED, "speed", "0 ft/s", "1.6 ft/s", "0.8 ft/s", step=0.1),
                     Choice("per_depth", "Show", {"share transferred on the whole way": False,
                                                  "share for each foot (or meter)": True},
                            "share transferred on the whole way")],
                    presets={"Still water": {"plume_speed": "0 ft/s"}, "Dawn in a pond": {"oxygen": "3 mg/L"}},
                    system=system, size=(style.WIDTH, 4.3))


def _compare_kinds(submergence, oxygen, power, diffusers, equal):
    column = uniform_column.si(20.0, oxygen)
    diffusers = int(round(diffusers))
    if equal == "air":
        flow = comparison.air_for_power.si(power, submergence, column)
        options = comparison.same_air.si(float(flow), submergence, column, diffusers)
    else:
        options = comparison.same_power.si(power, submergence, column, diffusers)
    blown = air.oxygen_mass_flow.si(options.flow_free_air)
    return SimpleNamespace(options=options, share=Range(*(np.maximum(end, 0) / blown for end in options.bubbles)),
                           most_lift=1.5)


def _say_kinds(result, system):
    options = result.options

    def each(row):
        rate = Q(3600 * float(options.bubbles.usual[row]), "kg/h")
        return f"{options.diffuser[row]} {show(rate, 'oxygen rate', system, digits=2)}"
    flow = show(Q(float(options.flow_free_air[0]), "m3/s"), "air flow", system, digits=2)
    lifted = [show(Q(float(v), "m3/s"), "water flow", system, digits=3) for v in options.lifted.usual]
    apart = 100 * (np.max(options.lifted.usual) / np.min(options.lifted.usual) - 1)
    return (f"Oxygen out of the bubbles, usual case: {each(0)}, {each(1)}, {each(2)}. Water lifted: {lifted[0]}, "
            f"{lifted[1]} and {lifted[2]}, within {apart:.0f} % of each other. The membrane gets {flow} of free air.")


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
                           curve=buckettest.rise_curve.si(drawn - begin, fit.kla, fit.saturation, fit.start),
                           top=max(np.max(log.dissolved_oxygen), 1.0), most=most or 2 * fit.kla)


def _say_fit(fit):
    return bubblereport.say_fit(fit).replace("\n", " ")


def tub_cuts(log, system="US"):
    """What changes when readings are left out, or kept that should not be?"""
    minutes = np.asarray(log.time) / 60
    chosen = buckettest.choose_points.si(log.time, log.dissolved_oxygen)
    wild = np.array(["single reading" in reason for reason in chosen.reasons])

    def model(first, last, keep_wild):
        used = (minutes >= first) & (minutes <= last) & (keep_wild | ~wild)
        fit = buckettest.fit_bucket.si(log.time, log.dissolved_oxygen, log.temperature, used=used)
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
