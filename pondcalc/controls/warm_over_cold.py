"""Workbook 05: explorers of layers, overturn, storm and winter, and the form for the reader's own readings."""

import datetime
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from .. import findings, water
from ..bubbles_and_oxygen import comparison, plume
from ..catalogue import ROWS
from ..figures import style
from ..figures import warm_over_cold as draw
from ..textfiles import decode
from ..units import Q, format_number, show, show_range
from ..warm_over_cold import layers, overturn
from ..warm_over_cold import profile as readings
from .explorer import Choice, Explorer, Slider
from .ownform import FileOrText, OwnForm, plain

TANK = 3.785411784              # m3, a thousand US gallons
LAMP = 100.0                    # W
BOTTOM_OXYGEN = 0.2             # mg/L, stagnant water in the overturn explorer
RAIN_TEMPERATURE = 15.0         # degC
ALIKE = 0.0015                  # kg/m3; a difference that rounds to 0.01 lb in a thousand gallons or less
LOSS = {"Mild and cloudy: 50 W/m²": 50.0, "Cool and clear: 150 W/m²": 150.0, "Cold front: 300 W/m²": 300.0}


def _f(celsius):
    return f"{celsius * 1.8 + 32:.5g} F"


def _tenth(celsius):
    return f"{celsius * 1.8 + 32:.1f} F"


def _ft(meters):
    return f"{meters / 0.3048:.4g} ft"


def _t(celsius, system, digits=3):
    return show(round(float(celsius), 4), "temperature", system, digits=digits)


def _days(values):
    return f"{format_number(values.low, 2)} to {format_number(values.high, 2)} days"


def _lighter(celsius):
    """How much lighter than the heaviest water, %."""
    return 100 * (1 - water.density(celsius) / water.density(draw.HEAVIEST))


# ---- weight of water

def _weights(upper, lower):
    t = np.linspace(draw.COLDEST, draw.WARMEST, 120)
    gap = float(water.density(lower) - water.density(upper))
    return SimpleNamespace(temperature=t, lighter=_lighter(t), upper=upper, lower=lower, upper_lighter=_lighter(upper),
                           lower_lighter=_lighter(lower), gap=gap, alike=abs(gap) < ALIKE, sinks=gap <= -ALIKE,
                           times=float(layers.resistance_to_mixing(upper, lower, (Q("45 F").m_as("degC"),
                                                                                  Q("40 F").m_as("degC")))))


def _say_weights(result, system):
    tank = Q(abs(result.gap) * (TANK if system == "US" else 1.0), "kg")
    size = "1,000-gallon tank" if system == "US" else "cubic meter"
    if result.alike:
        return (f"Upper and lower water, {_t(result.upper, system)} and {_t(result.lower, system)}, weigh the same: "
                "neither sinks, and a breath of wind mixes them.")
    pair = (f"Upper water at {_t(result.upper, system)} over lower water at {_t(result.lower, system)}: a {size} of "
            f"the upper weighs {show(tank, 'mass', system, digits=2)}")
    if result.sinks:
        return f"{pair} more, so the upper water sinks, whatever its distance from {_t(draw.HEAVIEST, system, 2)}."
    like = f"{_t(Q('45 F').m_as('degC'), system, 2)} over {_t(Q('40 F').m_as('degC'), system, 2)}"
    how = "exactly" if abs(result.times - 1) < 0.02 else f"{result.times:.2g} times"
    return f"{pair} less, so it stays on top. The two are {how} as hard to mix as {like}."


UPPER, LOWER = (f"Temperature of the {which} water" for which in ("upper", "lower"))


def _upper(start, to="surface", label=None, **ends):
    return Slider.of("layers", "surface_temperature", start, to, label, **ends)


def _lower(start, to="bottom", label=None, **ends):
    return Slider.of("layers", "bottom_temperature", start, to, label, **ends)


def _warm_depth(start, deepest):
    return Slider.of("layers", "warm_layer", start, "warm_depth", high=_ft(deepest))


def weight_of_water(system="US"):
    """When does surface water sink?"""
    return Explorer("Which water sinks", _weights, draw.density_curve, _say_weights,
                    [_upper("72 F", "upper", UPPER), _lower("62 F", "lower", LOWER)],
                    presets={"October night": {"upper": "61 F", "lower": "62 F"},
                             "80 over 75": {"upper": "80 F", "lower": "75 F"},
                             "45 over 40": {"upper": "45 F", "lower": "40 F"},
                             "Under ice": {"upper": "32.5 F", "lower": "39 F"}}, system=system)


# ---- layers of one pond

def picture_of(depth, area, profile, flow=None, diffuser=None):
    """What :func:`figures.warm_over_cold.layered_pond` draws, for any profile.

    flow, diffuser (float, m3/s and m): Air and depth of one diffuser, whose plume is drawn; or none is.
    """
    layer = layers.steepest_layer(profile)
    middle = 0.5 * (layer.top + min(layer.bottom, depth[-1]))
    fine = np.linspace(0, depth[-1], 60)
    mixed = overturn.mixed_after_overturn(depth, area, profile, stagnant_below=middle)
    stop = None if flow is None else plume.stop_depth(flow, diffuser, plume.Column(
        profile.depth, water.Water(profile.temperature), np.zeros(len(profile.depth))))
    return SimpleNamespace(depth=depth, area=area, profile=profile, layer=layer, middle=middle, fine=fine,
                           lighter=_lighter(profile.temperature_at(fine)), kind=layers.kind_of_layers(profile),
                           stability=layers.stability(depth, area, profile),
                           energy=layers.mixing_energy(depth, area, profile), below=mixed.stagnant_share,
                           flow=flow, diffuser=diffuser, stop=stop)


def _lamp(joules):
    """How long a lamp burns on so much energy, in words."""
    minutes = joules / LAMP / 60
    if minutes < 1:
        return "less than a minute"
    return f"{minutes:.0f} minutes" if minutes < 100 else f"{minutes / 60:.0f} hours"


def _say_layers(result, system):
    if result.kind == "upside down":
        return ("Upside down: the upper water is heavier, so it sinks at once and the pond cannot stay like this. Make "
                "the two temperatures alike, or warm the surface.")
    bubbles = comparison.say_stop(result.flow, result.stop, system)
    if result.kind == "mixed":
        return ("Mixed: no layer here is more than a thermometer's error apart in weight, so any breeze can stir the "
                f"pond to the bottom. {bubbles[0].upper()}{bubbles[1:]}.")
    ends = result.layer.top, min(result.layer.bottom, result.depth[-1])
    where = (f"from {show_range(*ends, 'depth', system)}" if ends[1] - ends[0] > 0.01 else
             f"in a sharp step at {show(ends[0], 'depth', system)}")
    return (f"{result.kind.capitalize()}. Weight changes fastest {where}; "
            f"{100 * result.below:.0f} % of the water lies below that. The least work to mix this pond is "
            f"{show(Q(result.energy, 'W') * Q('1 s'), 'energy', system, digits=2)} ({result.stability:.2g} J/m²), what "
            f"a {LAMP:.0f}-watt lamp uses in {_lamp(result.energy)}. {bubbles[0].upper()}{bubbles[1:]}.")


def _two_layers_like(profile, deepest):
    """Depth of the upper layer and thickness of the change (m, in steps of 0.1 ft) that come nearest to a profile."""
    step, z = 0.03048, np.linspace(0, deepest, 80)
    share = (profile.temperature_at(z) - profile.temperature[0]) / ((profile.temperature[-1] - profile.temperature[0])
                                                                    or 1.0)
    warm, change = (axis.ravel() for axis in np.meshgrid(*[step * np.arange(int(deepest / step))] * 2))
    drawn = np.clip((z - warm[:, None]) / np.maximum(change[:, None], 1e-8), 0, 1)
    best = np.argmin(((drawn - share) ** 2).sum(axis=1))
    return float(warm[best]), float(change[best])


def layer_builder(depth, area, profile, system="US"):
    """How does a pond with these layers look, how hard is it to mix, and does a plume come up through them?"""
    deepest = float(depth[-1])
    warm, change = _two_layers_like(profile, deepest)
    diffuser = max(deepest - plume.OFF_BOTTOM, 0.5 * deepest)

    def model(surface, bottom, warm_depth, blend, flow):
        return picture_of(depth, area, readings.two_layers(surface, bottom, warm_depth, blend, deepest), flow, diffuser)
    return Explorer("Build the layers of a pond", model, draw.layered_pond, _say_layers,
                    [_upper(_f(profile.temperature[0])), _lower(_f(profile.temperature[-1])),
                     _warm_depth(_ft(warm), deepest),
                     Slider("blend", "Thickness of the change", "depth", "0 ft", _ft(deepest), _ft(change),
                            step=0.1),
                     Slider("flow", "Free air of one diffuser", "air flow", "0.02 cfm", "4 cfm", "0.5 cfm", step=0.02)],
                    presets={"Early May": {"surface": "66 F", "bottom": "57 F", "warm_depth": "6 ft", "blend": "2 ft"},
                             "Late October": {"surface": "57 F", "bottom": "56.5 F"},
                             "Under ice": {"surface": "32.5 F", "bottom": "39 F", "warm_depth": "1 ft",
                                           "blend": "2 ft"}}, system=system)


# ---- sudden overturn

def _story(depth, area, profile):
    """A pond's readings as two layers parted where stagnant water begins: depth (m), temperatures, upper oxygen."""
    below = overturn.stagnant_top(profile)
    if profile.dissolved_oxygen is None or not 0 < below < depth[-1]:
        return Q("5 ft").m_as("m"), Q("82 F").m_as("degC"), Q("60 F").m_as("degC"), 8.0
    cut = layers.slices(depth, area, profile, (below,))
    upper = cut.centre < below
    warm, cold = (np.average(cut.temperature[part], weights=cut.volume[part]) for part in (upper, ~upper))
    return below, warm, cold, np.average(cut.dissolved_oxygen[upper], weights=cut.volume[upper])


def _say_overturn(result, system):
    own = result.mixed["this pond"]
    low, _, high = (Q(v, "mg/L") for v in own.dissolved_oxygen)
    before = [show(result.mixed[name].dissolved_oxygen_before_demand, "oxygen", system, digits=2)
              for name in ("this pond", "straight walls", "cone")]
    return (f"Layered like this, {100 * own.stagnant_share:.0f} % of this pond's water is stagnant. Mixed, it "
            f"stands at {_t(own.temperature, system)} with {before[0]}; after the demand of the stagnant water "
            f"{show_range(low, high, 'oxygen', system)}. Before any demand, straight walls would leave {before[1]} and "
            f"a cone {before[2]}{': the shape decides' if before[1] != before[2] else ''}.")


def sudden_overturn(depth, area, profile, system="US"):
    """What is left for the fish when everything mixes in one night?"""
    deepest = float(depth[-1])
    shapes = {"this pond": (depth, area), **layers.plain_shapes(float(area[0]), deepest)}
    parted, warm, cold, oxygen = _story(depth, area, profile)

    def model(surface, bottom, warm_depth, top_oxygen, stagnant):
        if water.density(surface) > water.density(bottom) + ALIKE:
            raise ValueError("this pond is upside down: its upper water is heavier, so it sinks at once and there is "
                             "nothing left to turn over. Warm the upper water, or cool the lower.")
        profile = readings.two_layers(surface, bottom, warm_depth, 0.0, deepest, top_oxygen, BOTTOM_OXYGEN)
        mixed = {name: overturn.mixed_after_overturn(
                     *shape, profile, overturn.demand_of_profile(*shape, profile, stagnant / 86400.0, warm_depth),
                     warm_depth) for name, shape in shapes.items()}
        return SimpleNamespace(shapes=shapes, boundary=warm_depth, mixed=mixed, top=top_oxygen)
    return Explorer("One night, all mixed", model, draw.after_overturn, _say_overturn,
                    [_upper(_tenth(warm), label=UPPER), _lower(_tenth(cold), label=LOWER),
                     _warm_depth(f"{parted / 0.3048:.2f} ft", deepest),
                     Slider("top_oxygen", "Oxygen in the upper water", "oxygen", "0 mg/L", "12 mg/L",
                            f"{oxygen:.1f} mg/L", step=0.1),
                     Slider.of("layers", "stagnant")],
                    presets={"Thin upper layer": {"warm_depth": "3 ft"}, "Young layers": {"stagnant": "7 day"}},
                    system=system, size=(style.WIDTH, 4.6))


# ---- a storm

def _say_storm(result, system):
    risk = result.risk
    event = "This storm" if result.windy else "This night"
    if result.kind != "warm over cold":
        return (f"With the surface at {_t(result.profile.temperature[0], system)} the pond is {result.kind} by the "
                "thermometer, so it has no layers that a storm could turn over.")
    share = [100 * v for v in risk.after_storm.mixed_share]
    after = (f"{share[1]:.0f} %" if share[2] - share[0] < 1 else
             f"{share[0]:.0f} % in a sheltered pond, up to {share[2]:.0f} % in an open one")
    return (f"The warm layer must cool {show(risk.margin_temperature, 'temperature rise', system, digits=2)} "
            f"to sink to the bottom: {_days(risk.days_of_cooling)} of cool weather, day and night. Share of the water "
            f"mixed from the top: before {100 * result.share_before:.0f} %, after {after}. "
            f"{findings.say_nearness(risk, event)} If all of it mixed today: {risk.harm}.")


def storm_now(depth, area, profile, system="US", days=findings.STAGNANT_DAYS):
    """Would wind, cold rain and a cold night turn this pond over?"""
    fine = np.linspace(0, depth[-1], 120)
    bottom = float(profile.temperature[-1])
    owed = overturn.demand_of_profile(depth, area, profile, days)

    def model(surface, wind_speed, rain, duration, heat_loss):
        now = readings.with_surface(profile, surface)
        risk = overturn.overturn_risk(depth, area, now, rain, RAIN_TEMPERATURE, wind_speed, duration, heat_loss,
                                      owed)
        upper = layers.warm_layer(now)
        if upper >= now.depth[-1]:              # layers too weak for that rule
            upper = layers.steepest_layer(now).top
        share = 1 - overturn.mixed_after_overturn(depth, area, now, stagnant_below=upper).stagnant_share
        before, after = now.temperature_at(fine), risk.after_storm
        mixed = np.where(fine <= after.mixed_depth.usual, after.temperature.usual, before)
        return SimpleNamespace(depth=depth, profile=now, risk=risk, after=after, fine=fine, before=before, mixed=mixed,
                               share_before=share, windy=wind_speed > 0 or rain > 0,
                               kind=layers.kind_of_layers(now))
    return Explorer("A storm tonight", model, draw.storm, _say_storm,
                    [_upper(_f(profile.temperature[0]), label="Temperature at the surface now", low=_f(bottom + 0.06)),
                     Slider.of("oxygen", "wind_speed", "15 mph", label="Wind at an open station"),
                     Slider("rain", "Rain at 59 °F (15 °C)", "bore", "0 in", "12 in", "1 in", step=0.1),
                     Slider("duration", "Hours it lasts", "time", "1 h", "72 h", "12 h", step=1),
                     Choice("heat_loss", "Cooling of the surface", LOSS, "Cool and clear: 150 W/m²")],
                    presets={"Still, mild night": {"wind_speed": "0 mph", "rain": "0 in", "duration": "12 h",
                                                   "heat_loss": "Mild and cloudy: 50 W/m²"},
                             "Thunderstorm": {"wind_speed": "25 mph", "rain": "2 in", "duration": "3 h",
                                              "heat_loss": "Cool and clear: 150 W/m²"},
                             "Three-day cold front": {"wind_speed": "15 mph", "rain": "2 in", "duration": "72 h",
                                                      "heat_loss": "Cold front: 300 W/m²"}}, system=system)


# ---- winter

def _say_winter(result, system):
    found = result.found
    if found.kind != "cold over warm":
        return (f"This pond is {found.kind}, not layered the winter way. Ice comes from the top because water below "
                f"{_t(draw.HEAVIEST, system, 2)} gets lighter as it cools.")
    return (f"The coldest water floats at {_t(result.profile.temperature[0], system)} and the warmest lies at the "
            f"bottom, {_t(found.bottom_temperature, system)}. Stirred, the whole pond would stand at "
            f"{_t(found.mixed_temperature, system)}; {100 * found.share_above_mixed:.0f} % of the water is warmer than "
            f"that now, and the fish lose it. The layers are weak: 1/{result.summer / found.stability:.0f} of July's "
            "stability.")


def under_ice(depth, area, summer_profile, system="US"):
    """What are the layers like below 39 F, and what would stirring do?"""
    deepest = float(depth[-1])
    summer = layers.stability(depth, area, summer_profile)

    def model(surface, bottom, cold_depth):
        profile = readings.two_layers(surface, bottom, cold_depth, deepest / 10, deepest)
        found = overturn.winter_layers(depth, area, profile)
        return SimpleNamespace(depth=depth, area=area, profile=profile, found=found, summer=summer,
                               stability=found.stability, mixed=found.mixed_temperature,
                               middle=cold_depth + deepest / 20)
    return Explorer("Under the ice", model, draw.winter, _say_winter,
                    [_upper("33 F", label="Temperature under the ice", high="50 F", step=0.1),
                     _lower("39 F", high="50 F", step=0.1),
                     Slider("cold_depth", "Depth of the cold layer", "depth", "0 ft", _ft(deepest), "2 ft", step=0.1)],
                    presets={"Open and windy before the ice": {"surface": "32.5 F", "bottom": "34 F"},
                             "Early spring": {"surface": "45 F", "bottom": "40 F"}}, system=system)


WORKBOOK = "05-warm-over-cold"
IN_FULL = 7             # digits that a record, which keeps six, gives back unchanged
EXAMPLE = {"US": "0 ft  80 F  7.5\n3 ft  79 F  7.2\n6 ft  68 F  1.0\n12 ft  61 F  0.2",
           "metric": "0 m  27 C  7.5\n1 m  26 C  7.2\n2 m  20 C  1.0\n4 m  16 C  0.2"}


class OwnProfile(OwnForm):
    """Type readings or choose a file, look at the layers, and save them to the pond record.

    pond (record.PondRecord): Gives the pond's shape and the reader's units.
    """

    def __init__(self, pond):
        self._pond, self._system, self._measured = pond, pond.system, pond.has("water")
        self._shape = findings.pond_shape(pond)
        super().__init__("my own readings", {
            "given": FileOrText("or a file (CSV)", "Readings: depth, temperature, and oxygen in mg/L if you have "
                                   "it; one depth a line", EXAMPLE[pond.system], "", rows=8),
            "day": W.Text(description=ROWS["layers", "read_on"].box, placeholder="for example: 2025-07-24"),
            "days": W.FloatText(description=ROWS["layers", "stagnant"].box, value=findings.STAGNANT_DAYS)},
            "layers", WORKBOOK)

    def _typed(self, kept):
        """The readings of the record, as they were typed or, where that was not kept, as lines."""
        typed = super()._typed(kept) or []
        if self.file.value:                     # it stands for the readings here, so none may stand in the box
            return [line for line in typed if not line.startswith("typed:")]
        if not kept.get("layers", "reading_depth"):
            return None
        return [f"typed: {self._lines(kept.sections['layers'])}", f"day: {kept.get('layers', 'read_on', '')}", *typed]

    def _lines(self, values, digits=4):
        """Readings of the section ``layers`` as lines."""
        kept = [(key, values.get(f"reading_{key}") or []) for key in ("depth", "temperature", "oxygen")]
        columns = [[plain(value, key, self._system, digits) for value in column] for key, column in kept if column]
        return "\n".join("  ".join(row) for row in zip(*columns, strict=True))

    def _texts(self):
        """As in every form; the readings of a file as lines."""
        lines = f"typed: {self._lines(self.values, IN_FULL)}" if self.file.value else ""
        return [lines if lines and text.startswith("typed:") else text for text in super()._texts()]

    def _kept(self):
        """As in every form; another pond's shape is never saved."""
        findings.needs_water(self._pond)
        return self.values

    def _found(self):
        depth, area = self._shape
        deepest = float(depth[-1])
        day = readings.read_day(self.day.value)
        given = self.given.read()
        text = given if isinstance(given, str) else decode(given, "profile")[0]
        read = readings.read_lines(text, self._system, Q(deepest, "m"), day,
                                   findings.setting(self._pond).water)
        risk, values = findings.layers(depth, area, read, self.days.value)
        notes = [f"Note: {note}" for note in read.notes]
        if "/" in self.day.value:
            notes.append("Note: the day was read with the month first, as "
                         f"{datetime.date.fromisoformat(day):%B %d, %Y}.")
        if not self._measured:
            notes.append("Note: this pond has no depths yet (workbook 01), so the shape is that of the demonstration "
                         "pond. Temperatures are yours; shares and oxygen are not.")
        if read.depth[-1] < 0.8 * deepest:
            notes.append("Note: the lowest reading is well above the bottom, so the deepest water is a guess.")
        words = [findings.say_layers(risk, values, self._system), *notes,
                 *filter(None, [findings.say_second(self._pond, self._system)])]
        kept, deep = (self._pond.get("air", key) for key in ("flow_free_air", "submergence"))
        air = ()
        if kept is not None and deep is not None and deep.m_as("m") < deepest:
            air = (float(kept.usual.m_as("m^3/s") / self._pond.get("air", "diffusers").m_as("dimensionless")),
                   float(deep.m_as("m")))
        picture = picture_of(depth, area, read, *air)
        if air:
            said = comparison.say_stop(air[0], picture.stop, self._system)
            words.insert(1, f"In these layers {said} (the air saved in workbook 03).")
        return words, values, self._drawn("own-layers", f"Your readings on your pond. {words[0]}", draw.layered_pond,
                                          picture, self._system)
