"""What is the water like, layer by layer, from the surface down?

A :class:`Column` holds the readings a thermometer and an oxygen meter give on the way
down, and the few things bubbles need besides: air pressure, dissolved nitrogen, and the
speed of water that rises with them. Oxygen is in mg/L (the same number as g/m3).
"""

from typing import Any

import numpy as np

from ..units import QuantityError, quantities, record
from ..water import ATMOSPHERE
from ..wording import either

__all__ = ["Column", "uniform_column"]


@record(depth="m", temperature="degC", dissolved_oxygen="mg/L", plume_speed="m/s",
        dissolved_nitrogen="mg/L", surface_pressure_absolute="Pa")
class Column:
    """Water a bubble rises through, by depth.

    Parameters
    ----------
    depth : array, m
        Depths of the readings, increasing, from the surface down.
    temperature : array, degC
        One for each depth.
    dissolved_oxygen : array, mg/L
        One for each depth.
    plume_speed : array, m/s, optional
        Upward speed of the water that carries the bubbles; 0 if left out.
    dissolved_nitrogen : array, mg/L, optional
        If left out, water in balance with the air above it at its own temperature.
    surface_pressure_absolute : float, Pa, optional
        Air pressure, 1 atm if left out.

    Notes
    -----
    Straight lines between the readings; the end readings carry on above and below them.
    """

    depth: Any
    temperature: Any
    dissolved_oxygen: Any
    plume_speed: Any = None
    dissolved_nitrogen: Any = None
    surface_pressure_absolute: float = ATMOSPHERE

    def check(self):
        """Refuse readings that do not belong together or cannot be."""
        depth = np.atleast_1d(np.asarray(self.depth, float))
        if depth.size == 0 or np.any(np.diff(depth) <= 0) or depth[0] < 0:
            raise QuantityError("the depths must start at the surface or below it and grow downward, each deeper than "
                                f"the last; they were {depth} m.", by="Column")
        for name in ("temperature", "dissolved_oxygen", "plume_speed", "dissolved_nitrogen"):
            value = getattr(self, name)
            if value is not None and np.size(value) != depth.size:
                raise QuantityError(f"{name} has {np.size(value)} readings for {depth.size} depths. Give one reading "
                                    "for each depth.", by="Column")
        for name, low, high in (("temperature", -0.01, 40), ("dissolved_oxygen", 0, 60),
                                ("plume_speed", 0, 5), ("dissolved_nitrogen", 0, 100)):
            value = getattr(self, name)
            if value is not None and not np.all((np.asarray(value) >= low) & (np.asarray(value) <= high)):
                unit = self.units[name]
                raise QuantityError(f"{name} must lie between {max(low, 0):g} and {high:g} {unit}; it was given "
                                    f"{value}.", by="Column")
        if not 3e4 <= self.surface_pressure_absolute <= 1.2e5:
            raise QuantityError("air pressure at the surface must be absolute, "
                                f"{either('4.4 to 17.4 psi', '30 to 120 kPa')}; it was given "
                                f"{self.surface_pressure_absolute / 1000:g} kPa.", by="Column")

    def at(self, name, depth):
        """Reading `name` at `depth` (m), by straight lines; 0 for a plume speed left out."""
        value = getattr(self, name)
        return np.interp(depth, np.atleast_1d(self.depth),
                         np.atleast_1d(0.0 * np.asarray(self.depth) if value is None else value))

    @property
    def uniform(self):
        """True when nothing changes with depth."""
        return all(value is None or np.ptp(value) == 0 for value in
                   (self.temperature, self.dissolved_oxygen, self.plume_speed, self.dissolved_nitrogen))


@quantities(temperature="degC", dissolved_oxygen="mg/L", plume_speed="m/s", surface_pressure_absolute="Pa")
def uniform_column(temperature=20.0, dissolved_oxygen=0.0, plume_speed=0.0,
                   surface_pressure_absolute=ATMOSPHERE):
    """A :class:`Column` that is the same from top to bottom."""
    return Column.si(np.array([0.0]), np.array([temperature]), np.array([dissolved_oxygen]),
                     np.array([plume_speed]), None, surface_pressure_absolute)
