"""The form for a pond without a map of soundings: area, deepest place, and depths read with a weighted line."""

import re

import ipywidgets as W

from .. import findings
from ..how_much_water import handrange
from ..units import KINDS, QuantityError, Range, read_quantity, show
from .boxes import Box, grid, read_all
from .ownform import OwnForm

WORKBOOK = "01-how-much-water"
DEEPEST = ("0.5 ft", "300 ft")


class Depths(W.Textarea):
    """Depths in a row, with commas or on lines of their own; the last unit written holds for those without one."""

    def read(self):
        """List of quantities, None where the box is empty, else QuantityError that names the box."""
        name = f"“{self.description}”"
        cells = [cell.strip() for cell in re.split(r"[,;\n]", self.value) if cell.strip()]
        if not cells:
            return None
        unit = re.sub(r"^[\d./ ]+", "", cells[-1]).strip()
        try:
            depths = [read_quantity(cell if re.search(r"[^\d. ]", cell) else f"{cell} {unit}") for cell in cells]
        except QuantityError as problem:
            raise QuantityError(f"{name}: {problem} Write, for example, 0, 3, 6, 9, 7, 2, 0 ft.") from None
        low, high = (read_quantity(end) for end in ("0 ft", DEEPEST[1]))
        for cell, depth in zip(cells, depths, strict=True):
            if not depth.check("[length]") or not low <= depth <= high:
                raise QuantityError(f"{name}: {cell} is not a depth of 0 to {show(high, 'depth', both=True)}. Check "
                                    "the number and its unit.")
        return depths


class OwnByHand(OwnForm):
    """Type area and deepest place, and depths if there are some; see the volume with its range, and save it."""

    def __init__(self, pond):
        self._pond, self._system = pond, pond.system
        feet, metric = KINDS["depth"][pond.system != "US"], pond.system != "US"
        self.area = Box("Area of the water", "area", "0.5 ha" if metric else "1.2 acre", "0.01 acre", "500 acre",
                        optional=True)
        self.length = Box("or: length", "distance", "90 m" if metric else "300 ft", "10 ft", "3 mile", optional=True)
        self.width = Box("and width", "distance", "50 m" if metric else "175 ft", "10 ft", "3 mile", optional=True)
        self.deepest = Box("Deepest place", "depth", "3.4 m" if metric else "11 ft", *DEEPEST)
        unit = {"foot": "ft", "meter": "m"}[feet]
        self.depths = Depths(description="Depths read with a weighted line, if you have some: at even steps from bank "
                             "to bank, zeros at the banks", rows=3,
                             placeholder=f"0, 3, 6, 9, 7, 2, 0 {unit}" if unit == "ft" else "0, 1, 2, 2.8, 2, 0.7, 0 m")
        self.lines = W.Dropdown(description="They lie along", options={
            "lines side by side, or an S": False, "lines that cross in the middle": True})
        boxes = (self.area, self.length, self.width, self.deepest)
        super().__init__("my pond by hand", [grid(*boxes), self.depths, self.lines], [*boxes, self.depths, self.lines],
                         "water", WORKBOOK)

    def _area(self, read):
        """Range of the area in m2, from the boxes."""
        sides = [read[name].m_as("m") for name in ("length", "width") if name in read]
        if "area" in read:
            return handrange.area_range.si(read["area"].m_as("m^2"))
        if len(sides) < 2:
            raise QuantityError("the area is missing. Fill in “Area of the water”, or both length and width. Many "
                                "counties show parcels with a tool that measures area on an air photo.")
        return handrange.area_from_sides.si(*sides)

    def _found(self):
        read = read_all(area=self.area, length=self.length, width=self.width, deepest=self.deepest, depths=self.depths)
        depths = [depth.m_as("m") for depth in read.get("depths", ())]
        typed = read["deepest"].m_as("m")
        values = findings.water_by_hand(Range(*self._area(read)), typed, depths, self.lines.value)
        words = [findings.say_water_by_hand(values, self._pond.system)]
        if depths and max(depths) > typed:
            words.append("Note: one of your depths is deeper than the deepest place you named, so that one counts.")
        if not depths:
            words.append("The range is that of lakes and ponds of which only the deepest place is known: the mean "
                         "depth is 0.26 to 0.6 of it. A dozen depths with a weighted line would halve it.")
        if self._pond.get("water", "soundings_file") and not self._pond.invented:
            words.append("Note: your record holds a survey with soundings. Saving this would put it out.")
        return "\n".join(words), values, ""
