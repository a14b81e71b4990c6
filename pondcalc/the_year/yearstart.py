"""What do the year and the winter of a pond start from: its record, or usual numbers where the record has none?"""

import math

from ..catalogue import ends, usual
from ..units import Range, read_quantity

__all__ = ["BUBBLES", "NORTH", "bubbles_of", "floor_of", "latitude_of"]

NORTH = ends("year", "latitude")        # degrees, as in `weather.typical_climate`
LATITUDE = usual("year", "latitude")    # degrees north
# kg/s; the middle is what 2 cfm may give water that holds none from 12 ft, at about 15 %; half either way, our choice
BUBBLES = Range(*(share * read_quantity("0.3 lb/h").m_as("kg/s") for share in (0.5, 1.0, 1.5)))


def latitude_of(pond, otherwise=LATITUDE):
    """Latitude (degrees) that workbook 07 saved, else `otherwise`; also where the climate was not drawn for it."""
    kept = pond.get("year", "latitude")
    degrees = math.nan if kept is None else float(kept.m_as("dimensionless"))
    return degrees if NORTH[0] <= degrees <= NORTH[1] else otherwise


def floor_of(pond):
    """Oxygen to keep (mg/L): the larger of what workbooks 02 and 07 kept, else the usual one."""
    kept = [pond.get(section, "floor") for section in ("oxygen", "year")]
    return max((float(value.m_as("mg/L")) for value in kept if value is not None), default=usual("oxygen", "floor"))


def bubbles_of(pond):
    """Oxygen (Range, kg/s) that bubbles give: that of workbook 03, else :data:`BUBBLES`.

    That of 03 is for the water the reader named there, which holds some oxygen already, so it is rather too little
    for a pond that has none.
    """
    kept = pond.get("air", "oxygen_by_bubbles")
    return BUBBLES if kept is None else Range(*(max(v.m_as("kg/s"), 0.0) for v in kept))
