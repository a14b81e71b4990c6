"""What one workbook's result looks like as a section of the pond record, and in words.

A workbook computes with many numbers and keeps few: those a later workbook starts from.
"""

import json
from typing import Any, NamedTuple

import numpy as np

from . import air as gas
from . import basin as bed
from . import basinrange, comparison, datafiles, placement, record
from .column import Column
from .units import Q, Range, show, show_range

__all__ = ["water", "say_water", "water_table", "say_doubt", "say_truth", "demo_truth",
           "Setting", "setting", "two_readings", "air", "say_air", "share_below"]


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
    where = (points.x, points.y, points.depth, *((bank.x, bank.y) if bank else (None, None)))
    basin = bed.build_basin.si(*where)
    found = basinrange.survey_range.si(*where, track=points.track)
    table = bed.depth_table.si(basin, count=25)

    def span(values, unit):
        return Range(*(Q(float(v), unit) for v in values))
    values = {"area": span(found.area, "m2"), "volume": span(found.volume, "m3"),
              "mean_depth": span(found.mean_depth, "m"), "deepest": Q(float(max(points.depth)), "m"),
              "level_depth": [Q(float(v), "m") for v in table.depth],
              "level_area": [Q(float(v), "m2") for v in table.area],
              "level_volume": [Q(float(v), "m3") for v in table.volume],
              "soundings_file": name, "shoreline_file": bank_name}
    return basin, found, values


def say_water(values, system):
    """The result in words."""
    return (f"Volume {show(values['volume'].usual, 'volume', system, both=True)}, and about nine times in ten from "
            f"{show_range(values['volume'].low, values['volume'].high, 'volume', system, digits=3)}. "
            f"Area {show(values['area'].usual, 'area', system, both=True)}. Mean depth "
            f"{show(values['mean_depth'].usual, 'depth', system, both=True)}, deepest sounding "
            f"{show(values['deepest'], 'depth', system, both=True)}.")


def water_table(values, system="US", step=4):
    """Depth, surface and water left for every `step`-th line of the depth table, as text."""
    rows = zip(values["level_depth"], values["level_area"], values["level_volume"], strict=True)
    kinds = ("depth", "area", "volume")
    return "\n".join("   ".join(f"{show(q, kind, system):>10}" for q, kind in zip(row, kinds, strict=True))
                     for row in list(rows)[::step])


def say_doubt(found, system="US"):
    """Where the doubt in a volume comes from, and how wrong hidden tracks are predicted."""
    parts = {"bed between the tracks": found.from_bed, "depth readings": found.from_readings,
             "place of the bank": found.from_bank}
    lines = [f"{name}: about ±{show(Q(float(v), 'm3'), 'volume', system, digits=2)}" for name, v in parts.items()]
    miss = show(Q(float(found.depth_miss), "m"), "depth", system, digits=2)
    curved = show(Q(float(found.curved_volume), "m3"), "volume", system)
    lines.append(f"A smooth curved bed through the same soundings would hold {curved}.")
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


class Setting(NamedTuple):
    """What a choice of air needs to know about a pond, in SI numbers."""

    area: float                     # m2
    volume: Range                   # m3
    deepest: float                  # m
    table: Any                      # basin.DepthTable
    pressure: float                 # Pa absolute, of the air on the pond
    borrowed: bool                  # True where the water is that of the demonstration pond


def setting(pond):
    """A pond as a :class:`Setting`; a pond without its water yet borrows that of the demonstration pond."""
    borrowed = not pond.has("water")
    kept = (record.demo() if borrowed else pond).sections["water"]
    table = bed.DepthTable(kept["level_depth"], kept["level_area"], kept["level_volume"])
    height = pond.get("site", "elevation", Q("0 ft")).m_as("m")
    return Setting(kept["area"].usual.m_as("m^2"), Range(*(v.m_as("m^3") for v in kept["volume"])),
                   kept["deepest"].m_as("m"), table, float(gas.pressure_by_elevation.si(height)), borrowed)


def share_below(table, submergence):
    """Share of the water that lies deeper than the diffuser and stays mostly unstirred."""
    return float(bed.volume_below.si(table, submergence) / table.volume[0])


def two_readings(submergence, top_oxygen, bottom_oxygen, temperature, pressure):
    """Water of one temperature whose oxygen runs straight from a reading at the top to one at the diffuser."""
    return Column.si(np.array([0.0, submergence]), np.full(2, temperature), np.array([top_oxygen, bottom_oxygen]),
                     None, None, pressure)


# until a machine and a line are chosen, the air may come out a fifth less or more: our choice, no source
AIR_DOUBT = Range(0.8, 1.0, 1.2)


def air(place, submergence, oxygen, flow_free_air, diffusers, diffuser, temperature=25.0, top_oxygen=7.0):
    """What a choice of air and diffusers gives a pond, as the record's section ``air``; SI numbers in.

    Parameters
    ----------
    place : Setting
    submergence : float, m
    oxygen : float, mg/L
        At the depth of the diffusers.
    flow_free_air : float, m3/s
        All the air.
    diffusers : int
    diffuser : str
        A key of ``bubblesize.MATERIALS``.
    temperature, top_oxygen : float, optional
        Of the water, degC; oxygen at the surface, mg/L.

    Returns
    -------
    dict
        Results are for the middle air flow; the air itself is kept a fifth either way.
    """
    if submergence >= place.deepest:
        raise ValueError(f"the diffuser is set {submergence / 0.3048:.1f} ft ({submergence:.1f} m) down, but the pond "
                         f"is only {place.deepest / 0.3048:.1f} ft ({place.deepest:.1f} m) deep. Raise it: a common "
                         f"place is {placement.OFF_BOTTOM / 0.3048:.0f} ft off the bottom.")
    column = two_readings(submergence, top_oxygen, oxygen, temperature, place.pressure)
    found = comparison.compare_paths.si(flow_free_air, submergence, column, place.area, diffuser, int(diffusers))

    def span(values, unit):
        return Range(*(Q(float(v), unit) for v in values))
    turnover = (place.volume.low / found.lifted.high, place.volume.usual / found.lifted.usual,
                place.volume.high / found.lifted.low)
    return {"diffusers": Q(float(diffusers), "dimensionless"), "diffuser": diffuser, "submergence": Q(submergence, "m"),
            "flow_free_air": span([share * flow_free_air for share in AIR_DOUBT], "m3/s"),
            "lifted": span(found.lifted, "m3/s"), "turnover": span([t / 3600 for t in turnover], "h"),
            "oxygen_by_bubbles": span([3600 * v for v in found.bubbles], "kg/h"),
            "oxygen_by_surface": span([3600 * v for v in found.surface], "kg/h")}


def say_air(values, below=None, system="US"):
    """The section ``air`` in words; `below` is the share of the water deeper than the diffusers."""
    def span(key, kind):
        return show_range(values[key].low, values[key].high, kind, system)
    count = int(values["diffusers"].m_as("dimensionless"))
    words = (f"{count} {values['diffuser']} diffuser{'s' if count > 1 else ''} "
             f"{show(values['submergence'], 'depth', system)} down with "
             f"{show(values['flow_free_air'].usual, 'air flow', system)} of free air in all: "
             f"{span('oxygen_by_bubbles', 'oxygen rate')} of oxygen out of the bubbles, "
             f"{span('oxygen_by_surface', 'oxygen rate')} taken in at the top, and {span('lifted', 'water flow')} of "
             f"water lifted, which is one pond volume in {span('turnover', 'time')}.")
    if below is not None:
        words += f" {100 * below:.0f} % of the water lies below the diffusers."
    return words
