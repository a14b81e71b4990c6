"""What does a plan start from: the reader's record, and usual numbers where the record has nothing?

The choices are plain SI numbers once made, so that one of them can be moved and the plan worked out again.
"""

import dataclasses
from typing import Any

from ..back_pressure import lineplan
from ..back_pressure.lineplan import OFF_BOTTOM
from ..how_much_oxygen import oxygen
from ..units import Q, Range, record, show

__all__ = ["ASSUMED", "PlanChoices", "changed", "choices_from"]

# what is assumed where the record has nothing; the page says so
ASSUMED = {"elevation": ("site", "0 ft", "elevation"), "fish": ("oxygen", "250 lb/acre", "stocking"),
           "temperature": ("oxygen", "82 F", "temperature"), "night": ("oxygen", "11 h", "time"),
           "floor": ("oxygen", f"{oxygen.FLOOR} mg/L", "oxygen"), "length": ("line", "250 ft", "distance"),
           "inside_diameter": ("line", "0.824 in", "bore"), "price": ("site", "17.3 cents/kWh", "price")}
STRAIGHT = {"open_flow", "top_pressure", "droop"}     # what makes a generic straight curve


@record(area="m^2", deepest="m", elevation="m", fish="kg/m^2", temperature="degC", night="s", floor="mg/L",
        length="m", inside_diameter="m", open_flow="m^3/s", top_pressure="Pa", droop="", price="dollar/J")
class PlanChoices:
    """What a first plan needs to know.

    Parameters
    ----------
    volume : Range
        m3 of the full pond.
    area, deepest, elevation : float
        m2, m, m.
    fish : float
        kg of fish per m2 of surface.
    temperature : float
        Warmest water of the year, degC.
    night : float
        Hours without sun, in s.
    floor : float
        Oxygen to keep, mg/L.
    length, inside_diameter : float
        Air line from compressor to diffuser, m.
    open_flow, top_pressure, droop : float
        Generic compressor: free air against no pressure, m3/s; highest pressure, Pa gauge; share of the
        flow lost at that pressure.
    price : float
        Dollars per joule.
    assumed : tuple of str, optional
        Fields the pond record had nothing for.
    curve : compressor.CompressorCurve, optional
        Points of a data sheet, at sea level; they take the place of the generic straight line.
    air : mapping, optional
        Section ``air`` of the pond record, as workbook 03 saves it.
    delivery : Range, optional
        kg/s of oxygen to deliver, saved by workbook 02; without it the simple budget of one night is used.
    diffusers : int, optional
        How many share the air, all at one depth; default 1.
    """

    volume: Any
    area: float
    deepest: float
    elevation: float
    fish: float
    temperature: float
    night: float
    floor: float
    length: float
    inside_diameter: float
    open_flow: float
    top_pressure: float
    droop: float
    price: float
    assumed: tuple = ()
    curve: Any = None
    air: Any = None
    delivery: Any = None
    diffusers: int = 1

    def check(self):
        """Refuse a pond without water or a diffuser without depth."""
        if not (self.area > 0 and self.volume.low > 0):
            raise ValueError("A plan needs a pond with some area and volume; do workbook 01 first.")
        if not (self.diffusers >= 1 and self.diffusers == int(self.diffusers)):
            raise ValueError(f"The number of diffusers is 1, 2, 3 ...; it was given {self.diffusers}.")
        if self.deepest <= OFF_BOTTOM:
            raise ValueError(f"The pond is {show(Q(self.deepest, 'm'), 'depth', both=True)} deep at most, and the "
                             f"diffuser stands {show(Q(OFF_BOTTOM, 'm'), 'depth', both=True)} off the bottom. A pond "
                             "this shallow is not one for bottom aeration.")

    @property
    def submergence(self):
        """Depth of the diffuser below the full surface, m."""
        return self.deepest - OFF_BOTTOM


def choices_from(pond, **changes):
    """Choices for a plan from a pond record, with common starting values where nothing is saved.

    Parameters
    ----------
    pond : record.PondRecord
    **changes : str or quantity
        Any field of :class:`PlanChoices`, to use instead.

    Returns
    -------
    PlanChoices
    """
    volume, area, deepest = (pond.get("water", key) for key in ("volume", "area", "deepest"))
    if volume is None or area is None or deepest is None:
        raise ValueError("This pond has no volume yet. Do workbook 01 first; it takes about an hour.")
    delivery = pond.get("oxygen", "delivery")
    saved = {name: pond.get(section, name) for name, (section, _, _) in ASSUMED.items()}
    start = {name: ASSUMED[name][1] if value is None else value for name, value in saved.items()}
    start |= {"area": area.usual, "deepest": deepest, "open_flow": "4.5 cfm", "top_pressure": "30 psi", "droop": 0.4,
              "curve": lineplan.saved_curve(pond),
              "delivery": None if delivery is None else Range(*(v.m_as("kg/s") for v in delivery))}
    placed = pond.get("line", "submergence")
    if placed is not None:          # the diffuser stands where workbook 04 put it
        start["deepest"] = placed.to("m") + Q(OFF_BOTTOM, "m")
    if pond.has("air"):
        start["air"] = pond.sections["air"]
        placed = pond.get("air", "submergence")
        start["deepest"] = start["deepest"] if placed is None else placed.to("m") + Q(OFF_BOTTOM, "m")
        start["diffusers"] = int(round(pond.get("air", "diffusers", Q(1.0, "dimensionless")).m_as("dimensionless")))
    if STRAIGHT & set(changes):
        start["curve"] = None
    return PlanChoices(volume=Range(*(v.m_as("m^3") for v in volume)), **(start | changes),
                       assumed=tuple(name for name, value in saved.items() if value is None and name not in changes))


def changed(choices, **values):
    """The same choices with some fields replaced, all in SI numbers; a generic machine drops a saved curve."""
    if STRAIGHT & set(values):
        values = {"curve": None} | values
    return PlanChoices.si(**({f.name: getattr(choices, f.name) for f in dataclasses.fields(choices)} | values))
