"""What one workbook's result looks like as a section of the pond record, and in words.

A workbook computes with many numbers and keeps few: those a later workbook starts from. One module a
section; everything is reached as ``findings.name``.
"""

from .of_air import Setting, air, say_air, setting, share_below, two_readings
from .of_power import WARM_ENOUGH, power, say_power
from .of_water import demo_truth, say_doubt, say_triangles, say_truth, say_water, water, water_table, wrapped

__all__ = ["Setting", "WARM_ENOUGH", "air", "demo_truth", "power", "say_air", "say_doubt", "say_power",
           "say_triangles", "say_truth", "say_water", "setting", "share_below", "two_readings", "water",
           "water_table", "wrapped"]
