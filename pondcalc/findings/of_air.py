"""What a choice of air and diffusers gives a pond: the section ``air``, and its words."""

from typing import Any, NamedTuple

import numpy as np

from .. import air as gas
from .. import record
from ..bubbles_and_oxygen import comparison, placement, plume
from ..bubbles_and_oxygen.column import Column
from ..catalogue import held
from ..how_much_water import basin as bed
from ..units import Q, Range, length_text, show, show_range, spanned


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
    height = held(pond, "site", "elevation")
    return Setting(kept["area"].usual.m_as("m^2"), Range(*(v.m_as("m^3") for v in kept["volume"])),
                   kept["deepest"].m_as("m"), table, float(gas.pressure_by_elevation.si(height)), borrowed)


def needs_water(pond):
    """Refuse to save a result that rests on the water of the demonstration pond."""
    if pond.invented:
        raise ValueError("this is the demonstration pond. Start your own in workbook 00, find its water in 01, then "
                         "run this workbook again.")
    if not pond.has("water"):
        raise ValueError("this record has no volume yet. Do workbook 01 for your pond first.")


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
        raise ValueError(f"the diffuser is set {length_text(submergence)} down, but the pond is only "
                         f"{length_text(place.deepest)} deep. Raise it: a common place is "
                         f"{length_text(placement.OFF_BOTTOM, 1)} off the bottom.")
    column = two_readings(submergence, top_oxygen, oxygen, temperature, place.pressure)
    found = comparison.compare_paths.si(flow_free_air, submergence, column, place.area, diffuser, int(diffusers))

    turnover = plume.turnover_time.si(place.volume, found.lifted)
    return {"diffusers": Q(float(diffusers), "dimensionless"), "diffuser": diffuser, "submergence": Q(submergence, "m"),
            "flow_free_air": spanned([share * flow_free_air for share in AIR_DOUBT], "m3/s"),
            "lifted": spanned(found.lifted, "m3/s"), "turnover": spanned([t / 3600 for t in turnover], "h"),
            "oxygen_by_bubbles": spanned([3600 * v for v in found.bubbles], "kg/h"),
            "oxygen_by_surface": spanned([3600 * v for v in found.surface], "kg/h")}


def say_paths(bubbles, surface, system):
    """Oxygen by each path (two ranges of quantities) in words: gained, or lost where the water holds too much."""
    def span(values):
        ends = values.low, values.high
        if max(ends) < Q("0 kg/h"):
            ends = sorted(map(abs, ends))
        return show_range(*ends, "oxygen rate", system)
    first = (f"{span(bubbles)} of oxygen out of the bubbles" if bubbles.usual > Q("0 kg/h") else
             f"{span(bubbles)} of oxygen lost into the bubbles")
    return first, (f"{span(surface)} taken in at the top" if surface.usual > Q("0 kg/h") else
                   f"{span(surface)} lost to the air at the top")


def say_air(values, below=None, system="US"):
    """The section ``air`` in words; `below` is the share of the water deeper than the diffusers."""
    def span(key, kind):
        return show_range(values[key].low, values[key].high, kind, system)
    count = int(values["diffusers"].m_as("dimensionless"))
    first, second = say_paths(values["oxygen_by_bubbles"], values["oxygen_by_surface"], system)
    words = (f"{count} {values['diffuser']} diffuser{'s' if count > 1 else ''} "
             f"{show(values['submergence'], 'depth', system)} down with "
             f"{show(values['flow_free_air'].usual, 'air flow', system)} of free air in all: "
             f"{first}, {second}, and {span('lifted', 'water flow')} of water lifted, which is one pond "
             f"volume in {span('turnover', 'time')}.")
    if below is not None:
        words += f" {100 * below:.0f} % of the water lies below the diffusers."
    return words
