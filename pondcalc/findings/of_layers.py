"""What a profile says about layers: the section ``layers``, and its words."""

import math

import numpy as np

from .. import datafiles, record
from ..catalogue import ends
from ..units import Q, Range, format_number, show, show_range
from ..warm_over_cold import layers as layering
from ..warm_over_cold import overturn
from ..warm_over_cold.profile import Profile, read_profile

STAGNANT_DAYS = overturn.STAGNANT_DAYS
MOST_DAYS = ends("layers", "stagnant", "day")[1]
# the storm that overturn.overturn_risk fears where none is given, in US and metric words
STORM = ("A storm of 2 inches of rain and 20 mph of wind for 12 hours",
         "A storm of 50 mm of rain and 9 m/s of wind for 12 hours")


def pond_shape(pond):
    """Depths (m, from the surface) and areas (m2) of a pond, or of the demonstration pond before workbook 01."""
    kept = pond if pond.has("water") else record.demo()
    depth, area = ([q.m_as(unit) for q in kept.get("water", key)]
                   for key, unit in (("level_depth", "m"), ("level_area", "m^2")))
    return np.array(depth), np.array(area)


def pond_profile(pond):
    """The readings kept in a record, or those of the demonstration pond in July."""
    if pond.get("layers", "reading_depth") is None:
        return read_profile(datafiles.path("demo-profile-july.csv"))
    oxygen = pond.get("layers", "reading_oxygen")
    return Profile(pond.get("layers", "reading_depth"), pond.get("layers", "reading_temperature"), oxygen,
                   pond.get("layers", "read_on", ""))


def mean_oxygen(pond):
    """Mean oxygen (mg/L) by volume of the readings in a record; None without oxygen readings and a shape of its own."""
    if pond.get("layers", "reading_oxygen") is None or not pond.has("water"):
        return None
    return overturn.mixed_after_overturn.si(*pond_shape(pond), pond_profile(pond)).dissolved_oxygen_before_demand


def pond_demand(pond):
    """Oxygen that a liter of a pond's stagnant water takes (Range, mg/L): workbook 05's, else of its readings."""
    kept = pond.get("layers", "demand")
    if kept is not None:
        return Range(*(q.m_as("mg/L") for q in kept))
    return overturn.demand_of_profile.si(*pond_shape(pond), pond_profile(pond), STAGNANT_DAYS)


def layers(depth, area, profile, days=STAGNANT_DAYS):
    """How a pond is layered and what an overturn would do, as the pond record's section ``layers``.

    Parameters
    ----------
    depth, area : array
        The pond's shape, m and m2.
    profile : Profile
    days : float, optional
        Days the stagnant water has had no oxygen; at least one where a reading is below 1 mg/L.

    Returns
    -------
    tuple of (overturn.OverturnRisk, dict)
    """
    kind = layering.kind_of_layers.si(profile)
    if kind == "upside down":
        raise ValueError("the upper water in these readings is heavier than the water under it, which does not last. "
                         "Read the doubtful depths again; a thermometer pulled up slowly changes on the way.")
    check_days(profile, days)
    owed = overturn.demand_of_profile.si(depth, area, profile, days)
    risk = overturn.overturn_risk.si(depth, area, profile, demand=owed)
    mixed = risk.after_overturn
    values = {"read_on": profile.when, "kind": kind, "surface_temperature": Q(float(profile.temperature[0]), "C"),
              "bottom_temperature": Q(float(profile.temperature[-1]), "C"),
              "warm_layer": Q(min(layering.warm_layer.si(profile), float(depth[-1])), "m"),
              "mixed_temperature": Q(mixed.temperature, "C"),
              "nearness": "already mixed" if kind == "mixed" else risk.nearness, "harm": risk.harm,
              "reading_depth": [Q(float(z), "m") for z in profile.depth],
              "reading_temperature": [Q(float(t), "C") for t in profile.temperature]}
    if not math.isnan(mixed.dissolved_oxygen_before_demand):
        values["mixed_oxygen"] = Range(*(Q(float(c), "mg/L") for c in mixed.dissolved_oxygen))
        values["demand"] = Range(*(Q(float(c), "mg/L") for c in owed))
        values["reading_oxygen"] = [Q(float(c), "mg/L") for c in profile.oxygen_at(profile.depth)]
    return risk, values


def check_days(profile, days):
    """Refuse a number of days without oxygen that the readings speak against."""
    if not 0 <= days <= MOST_DAYS:
        raise ValueError(f"the days without oxygen below are given as {days:g}. Write 1 to {MOST_DAYS:g}; if you do "
                         f"not know, {STAGNANT_DAYS:g} is a cautious guess for late summer.")
    oxygen = profile.dissolved_oxygen
    if days < 1 and oxygen is not None and np.nanmin(oxygen) < overturn.STAGNANT:
        raise ValueError(f"the days without oxygen below are given as {days:g}, but a reading of "
                         f"{np.nanmin(oxygen):.2g} mg/L shows water that has run out of oxygen. Write 1 day or more; "
                         f"if you do not know, {STAGNANT_DAYS:g} is a cautious guess for late summer.")


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
        fall = show(Q(risk.margin_temperature, "C°"), "temperature rise", system, digits=2)
        lines += [f"The warm layer is about {show(values['warm_layer'], 'depth', system, digits=2)} thick.",
                  f"It must cool {fall} to sink to the bottom: {format_number(low, 2)} to {format_number(high, 2)} "
                  "days of cool weather, day and night."]
    if "mixed_oxygen" in values:
        low, _, high = values["mixed_oxygen"]
        before = Q(risk.after_overturn.dissolved_oxygen_before_demand, "mg/L")
        lines.append(f"Mixed top to bottom it would stand at {mixed} with {show(before, 'oxygen', system, digits=2)} "
                     "of oxygen.")
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


def say_profile(profile, system="US"):
    """Kind of layers, ends of a profile and where its weight changes fastest, in one or two lines."""
    kind = layering.kind_of_layers.si(profile)
    ends = " over ".join(show(Q(float(t), "C"), "temperature", system, both=True)
                         for t in (profile.temperature[0], profile.temperature[-1]))
    if kind == "mixed" or len(profile.depth) < 3:
        return f"{kind}, {ends}"
    layer = layering.steepest_layer.si(profile)
    span = show_range(Q(layer.top, "m"), Q(layer.bottom, "m"), "depth", system)
    fall = Q(abs(layer.temperature_gradient) * (layer.bottom - layer.top), "C°")
    return (f"{kind}, {ends}\nsteepest from {span}: {show(fall, 'temperature rise', system)}, or "
            f"{abs(layer.temperature_gradient):.1f} C° per meter")


def say_mixing(shapes, profile, stagnant_below=None, only=None, system="US"):
    """Stability, least work, and temperature and oxygen of the mixed water: a table with one pond a line.

    Parameters
    ----------
    shapes : dict
        Name to (depth, area) in m and m2, as :func:`layers.plain_shapes` gives.
    profile : Profile
    stagnant_below : quantity or text, optional
    only : str, optional
        One of the names, to leave out the others.
    """
    below = None if stagnant_below is None else Q(stagnant_below).m_as("m")
    lines = [f"{'':<14} {'stability':>9}  {'least work':>10}  {'all mixed':>19}  oxygen"]
    for name, (depth, area) in shapes.items():
        if only in (None, name):
            work = layering.stability.si(depth, area, profile)
            mixed = overturn.mixed_after_overturn.si(depth, area, profile, stagnant_below=below)
            warmth = show(Q(mixed.temperature, "C"), "temperature", system, both=True)
            lines.append(f"{name:<14} {format_number(work, 2) + ' J/m²':>9}  "
                         f"{format_number(work * area[0] / 3.6e6, 2) + ' kWh':>10}  {warmth:>19}  "
                         f"{mixed.dissolved_oxygen_before_demand:.1f} mg/L")
    return "\n".join(lines)
