"""What one workbook's result looks like as a section of the pond record, and in words.

A workbook computes with many numbers and keeps few: those a later workbook starts from. One module a
section; everything is reached as ``findings.name``.
"""

from .of_air import Setting, air, needs_water, say_air, say_paths, setting, share_below, two_readings
from .of_layers import (
    STAGNANT_DAYS,
    layers,
    mean_oxygen,
    pond_demand,
    pond_profile,
    pond_shape,
    say_layers,
    say_mixing,
    say_nearness,
    say_profile,
)
from .of_oxygen import (
    DOUBT_WORDS,
    oxygen,
    rate,
    say_delivery,
    say_dusk,
    say_fit,
    say_need,
    say_nights,
    say_oxygen,
    say_share,
    say_who,
)
from .of_power import METERED, WARM_ENOUGH, power, power_before_buying, say_drop, say_power, say_start_drop
from .of_water import (
    BY_HAND,
    DEEPEST_POND,
    demo_truth,
    mark_of,
    say_doubt,
    say_gaps,
    say_range,
    say_triangles,
    say_truth,
    say_water,
    say_water_by_hand,
    say_worth,
    water,
    water_by_hand,
    water_notes,
    water_table,
    wrapped,
)

__all__ = ["BY_HAND", "DEEPEST_POND", "DOUBT_WORDS", "METERED", "STAGNANT_DAYS", "Setting", "WARM_ENOUGH", "air",
           "demo_truth", "layers", "mark_of", "mean_oxygen", "needs_water", "oxygen", "pond_demand", "pond_profile",
           "pond_shape", "power", "power_before_buying", "rate", "say_air", "say_delivery", "say_doubt", "say_drop",
           "say_dusk", "say_fit", "say_gaps", "say_layers", "say_mixing", "say_nearness", "say_need", "say_nights",
           "say_oxygen", "say_paths", "say_power", "say_profile", "say_range", "say_share", "say_start_drop",
           "say_triangles", "say_truth", "say_water", "say_water_by_hand", "say_who", "say_worth", "setting",
           "share_below", "two_readings", "water", "water_by_hand", "water_notes", "water_table", "wrapped"]
