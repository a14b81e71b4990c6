"""The form for a pond without a map of soundings: area, deepest place, and depths read with a weighted line."""

import re

import ipywidgets as W

from .. import findings
from ..how_much_water import handrange, handvolume
from ..units import KINDS, Q, QuantityError, Range, read_quantity, show
from ..wording import quoted
from .boxes import Box, grid, plain, read_all, reason_of
from .ownform import OwnForm

WORKBOOK = "01-how-much-water"
DEEPEST = ("0.5 ft", f"{findings.DEEPEST_POND:g} ft")
SHALLOW = "3 ft"        # under this a diffuser has hardly any water to lift: our choice


class Depths(W.Textarea):
    """Rows of depths, one row a line, with commas; the last unit written holds for those without one."""

    def read(self):
        """List of rows, each a list of quantities; None where the box is empty, else QuantityError that names it."""
        lines = [[cell.strip() for cell in re.split("[,;]", line) if cell.strip()]
                 for line in re.sub("[−–]", "-", self.value).splitlines()]
        rows = [cells for cells in lines if cells]
        if all(len(cells) == 1 for cells in rows):        # one row written downward
            rows = [[cells[0] for cells in rows]] if rows else []
        units = [unit for cells in rows for cell in cells if (unit := re.sub(r"^[\d./ ]+", "", cell).strip())]
        return [self._row(cells, units[-1] if units else "") for cells in rows] or None

    def _row(self, cells, unit):
        name = f"“{self.description}”"
        below = next((cell for cell in cells if cell.startswith("-")), None)
        if below:
            raise QuantityError(f"{name}: {quoted(below)} is below zero. Depths count down from the water surface and "
                                "are never negative, so write it without the minus sign.")
        try:
            depths = [read_quantity(cell if re.search(r"[^\d. ]", cell) else f"{cell} {unit}") for cell in cells]
        except QuantityError as problem:
            raise QuantityError(f"{name}: {reason_of(problem)} Write, for example, {self.placeholder}.") from None
        low, high = (read_quantity(end) for end in ("0 ft", DEEPEST[1]))
        for cell, depth in zip(cells, depths, strict=True):
            if not depth.check("[length]") or not low <= depth <= high:
                raise QuantityError(f"{name}: {quoted(cell)} is not a depth of 0 to {show(high, 'depth', both=True)}. "
                                    "Check the number and its unit.")
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
        self.depths = Depths(description="Depths read with a weighted line, if you have some: one line for each row, "
                             "at even steps from bank to bank, with a zero at each bank", rows=3,
                             placeholder=f"0, 3, 6, 9, 7, 2, 0 {unit}" if unit == "ft" else "0, 1, 2, 2.8, 2, 0.7, 0 m")
        self.lines = W.Dropdown(description="They lie along", options={
            "lines side by side, or an S": False, "lines that cross in the middle": True})
        boxes = (self.area, self.length, self.width, self.deepest)
        self._remembered = {name: getattr(self, name) for name in ("area", "length", "width", "deepest", "depths",
                                                                   "lines")}
        super().__init__("my pond by hand", [grid(*boxes), self.depths, self.lines], [*boxes, self.depths, self.lines],
                         "water", WORKBOOK)

    def _typed(self, kept):
        """What the record knows, as it was typed where that was kept; nothing of a survey."""
        if kept.get("water", "found") != findings.BY_HAND:
            return None
        return super()._typed(kept) or [
            f"area: {plain(kept.get('water', 'area').usual, 'area', self._system)}",
            f"deepest: {plain(kept.get('water', 'deepest'), 'depth', self._system)}"]

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
        rows = [[depth.m_as("m") for depth in row] for row in read.get("depths", ())]
        # each row with its banks, so that no two rows run into each other
        depths = [depth for row in rows for depth in (0.0, *row, 0.0)]
        typed = read["deepest"].m_as("m")
        values = findings.water_by_hand(Range(*self._area(read)), typed, depths, self.lines.value)
        words = [findings.say_water_by_hand(values, self._pond.system), *self._say_rows(rows, depths)]
        if typed < read_quantity(SHALLOW).m_as("m"):
            words.append(f"Note: {show(read['deepest'], 'depth', digits=2, both=True)} is shallow for bubbles from the "
                         "bottom, which then lift little water. Is the unit right? If it is, look at other ways to "
                         "aerate in workbook 08 before you buy.")
        sides = [box for name, box in (("length", self.length), ("width", self.width)) if name in read]
        if "area" in read and sides:
            words.append(f"Note: the area you typed counts, and {' and '.join(box.value for box in sides)} under “or: "
                         "length” and “and width” was not used.")
        if depths and max(depths) > typed:
            words.append("Note: one of your depths is deeper than the deepest place you named, so that one counts.")
        if not depths:
            words.append("The range is that of lakes and ponds of which only the deepest place is known: the mean "
                         "depth is 0.26 to 0.6 of it. A dozen depths with a weighted line would halve it.")
        if self._pond.get("water", "soundings_file") and not self._pond.invented:
            words.append("Note: your record holds a survey with soundings. Saving this would put it out.")
        return "\n".join(words), values, ""

    def _say_rows(self, rows, depths):
        """How the rows of depths were counted, and which banks were put in."""
        if not rows:
            return []
        means = handvolume.means_of_rows.si(depths)
        said = ", ".join(show(Q(float(mean), "m"), "depth", self._pond.system, digits=2) for mean in means)
        words = [f"Mean depth of your row: {said}, with its depths at even steps from bank to bank." if len(means) == 1
                 else f"Mean depth of your {len(means)} rows: {said}. Each row counts the same, long or short, and its "
                 "depths stand at even steps from bank to bank. A zero inside a row ends it and begins the next."]
        bare = [str(number) for number, row in enumerate(rows, 1) if row[0] > 0 or row[-1] > 0]
        if bare:
            which = ("Your row lacks" if len(rows) == 1 else f"Row {bare[0]} lacks" if len(bare) == 1 else
                     f"Rows {', '.join(bare)} lack")
            words.append(f"Note: {which} the zero of a bank, so a bank was put in one step beyond the last depth. If "
                         "it was nearer or farther, the mean is a little off.")
        return words
