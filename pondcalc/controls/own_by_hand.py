"""The form for a pond without a map of soundings: area, deepest place, and depths read with a weighted line."""

import re

import ipywidgets as W

from .. import findings
from ..catalogue import ROWS
from ..how_much_water import handrange, handvolume
from ..units import Q, QuantityError, Range, read_quantity, show, unit_label
from ..wording import quoted, shortened
from .boxes import read_all
from .ownform import OwnForm

WORKBOOK = "01-how-much-water"
SHALLOW = "3 ft"        # under this a diffuser has hardly any water to lift: our choice
SLIP = 1.5              # times the deepest place named; a depth beyond it is likelier a slip of the point: our choice
TOO_DEEP = 2.5          # times the deepest of a row: a deepest place beyond it is doubted: our choice
SMALL = ("inch", "centimeter", "millimeter")
_BARE = re.compile(r"[\d./ ½¼¾⅛⅜⅝⅞⁄-]+")           # a number without a unit
_UNIT_ALONE = re.compile(r"[A-Za-z.'’\"”]+")         # a unit behind the last comma


class Depths(W.Textarea):
    """Rows of depths, one row a line, with commas; a number has its own unit, or the one that its row says."""

    def read(self):
        """List of rows, each a list of quantities; None where the box is empty, else QuantityError that names it."""
        self.taken = []                             # how numbers without a unit were read, in words
        try:
            rows = [self._cells(number, line) for number, line in
                    enumerate((line for line in re.sub("[−–]", "-", self.value).splitlines() if line.strip()), 1)]
            if rows and all(len(cells) == 1 for cells in rows):        # one row written downward
                gap = re.search(r"^([1-9].*)\n\s*\n\s*([1-9].*)$", self.value, re.MULTILINE)
                if gap:
                    raise QuantityError(f"there is an empty line between {quoted(gap[1])} and {quoted(gap[2])}. Write "
                                        "the depth there, or take the line out.")
                rows = [[cells[0] for cells in rows]]
            units = [self._unit(cells) for cells in rows]
            return [self._row(number, cells, unit or self._common(units))
                    for number, (cells, unit) in enumerate(zip(rows, units, strict=True), 1)] or None
        except QuantityError as problem:
            raise QuantityError(problem.why, problem.do, given=problem.given, what=self.description) from None

    def _cells(self, number, line):
        """The entries of a line; a blank between two, or a comma that may mark decimals, is refused."""
        mark = next((mark for mark in ";\t" if mark in line), ",")
        cells = [cell.strip() for cell in line.split(mark)]
        if mark != ",":                             # a comma inside an entry marks decimals
            cells = [re.sub(r"^(\d+),(\d{1,2})(?!\d)", r"\1.\2", cell) for cell in cells]
        elif re.search(r"\d,\d", line) and (re.search(r"\d, ", line) or line.count(",") == 1):
            close = re.search(r"[\d.]+,\d[\d.]*", line)[0]
            raise QuantityError(f"row {number}, {quoted(line)}: {quoted(close, 20)} may be one depth or two. Write one "
                                "with a point for decimals, and two with a comma and a blank between them.")
        ends = cells
        while len(ends) > 1 and not ends[-1] and re.match(r"0(?![.\d])", next(cell for cell in ends[::-1] if cell)):
            ends = ends[:-1]                        # blanks after the zero of the far bank are the empty end of a row
        at = next((at for at, cell in enumerate(ends, 1) if not cell), None)
        if at is not None:
            beside = [shortened(cell, 20) for cell in ends[max(at - 2, 0):at + 1] if cell]
            where = f"between {beside[0]} and {beside[1]}" if len(beside) == 2 else f"in {quoted(line)}"
            raise QuantityError(f"row {number} has nothing in place {at}, {where}. Write the depth there, 0 if it is "
                                "at the bank, or take one comma out.")
        return ends

    @staticmethod
    def _said(cell):
        """The unit that an entry says, as units name it; feet and inches say feet; None for a bare number."""
        if _BARE.fullmatch(cell):
            return None
        try:
            unit = str(read_quantity(cell if re.match(r"[\d.½¼¾-]", cell) else f"1 {cell}").units)
        except QuantityError:
            return None                             # refused with its reason when the entry is read
        return unit

    def _unit(self, cells):
        """The unit a row gives its bare numbers, None where it names none, "" where it names several."""
        if len(cells) > 1 and _UNIT_ALONE.fullmatch(cells[-1]):
            return self._said(cells[-1])
        said = [self._said(cell) for cell in cells]
        units, last = {unit for unit in said if unit}, said[-1]
        if len(units) == 1:
            unit = units.pop()
            # inches beside bare numbers: their own, unless they stand behind the last number and the sizes agree
            return unit if unit not in SMALL or last and self._alike(cells) else ""
        return (last if last and last not in SMALL else "") if units else None

    @staticmethod
    def _alike(cells):
        """Whether the last number is no more than three times the greatest before it, or is 0."""
        numbers = [float(found[0]) for cell in cells if (found := re.match(r"[\d.]*\d", cell))]
        return len(numbers) > 1 and numbers[-1] <= 3 * max(numbers[:-1])

    @staticmethod
    def _common(units):
        """The unit of rows that name none: the one that all others name, if they name one."""
        named = {unit for unit in units if unit is not None}
        return named.pop() if len(named) == 1 else ""

    def _row(self, number, cells, unit):
        if len(cells) > 1 and _UNIT_ALONE.fullmatch(cells[-1]):
            cells = cells[:-1]
        low, high = (read_quantity(end) for end in ("0 ft", ROWS["water", "deepest"].high))
        depths, bare = [], []
        for cell in cells:
            if cell.startswith("-"):
                raise QuantityError(f"{quoted(cell)} is below zero. Depths count down from the water surface and are "
                                    "never negative, so write it without the minus sign.")
            if re.fullmatch(r"0+\.?0*", cell):
                depths.append(low)                  # 0 is 0 in any unit
                continue
            alone = _BARE.fullmatch(cell) is not None
            if alone and unit == "":
                raise QuantityError(f"row {number}: {quoted(cell, 20)} has no unit, and the row does not settle which "
                                    "it is. Write a unit behind each number, or one behind the last number of the row, "
                                    f"for example {self.placeholder}.")
            try:
                depth = read_quantity(cell, unit if alone else None)
            except QuantityError as problem:
                raise QuantityError(problem.why, f"Write, for example, {self.placeholder}.", given=cell) from None
            if not depth.check("[length]") or not low <= depth <= high:
                raise QuantityError(f"{quoted(cell)} is not a depth of 0 to {show(high, 'depth', both=True)}. Check "
                                    "the number and its unit.")
            depths.append(depth)
            bare += [cell] * alone
        own = {self._said(cell) for cell in cells} - {None}
        if bare and (len(own) > 1 or any(re.search(r"['’′].*\d|ft.*\d", cell) for cell in cells)):
            self.taken.append(f"Note: in row {number} the numbers without a unit, such as {shortened(bare[0], 20)}, "
                              f"were read in {unit_label(unit)}.")
        return depths


class OwnByHand(OwnForm):
    """Type area and deepest place, and depths if there are some; see the volume with its range, and save it."""

    _known = {"area": ("area", "area"), "deepest": ("deepest", "depth")}

    def __init__(self, pond):
        self._pond, self._system = pond, pond.system
        super().__init__("my pond by hand", {
            "area": self._box("water", "surface", optional=True),
            "length": self._box("water", "side", optional=True), "width": self._box("water", "width", optional=True),
            "deepest": self._box("water", "deepest"),
            "depths": Depths(description="Depths read with a weighted line, if you have some: one line for each row, "
                             "at even steps from bank to bank, with a zero at each bank", rows=3,
                             placeholder="0, 3, 6, 9, 7, 2, 0 ft" if pond.system == "US" else
                             "0, 1, 2, 2.8, 2, 0.7, 0 m"),
            "lines": W.Dropdown(description="They lie along", options={
                "lines side by side, or an S": False, "lines that cross in the middle": True})}, "water", WORKBOOK)

    def _typed(self, kept):
        """As in every form; nothing of a survey."""
        return super()._typed(kept) if kept.get("water", "found") == findings.BY_HAND else None

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
        _refuse_slips(rows, read["deepest"].m_as("m"), self._system)
        # each row with its banks, so that no two rows run into each other
        depths = [depth for row in rows for depth in (0.0, *row, 0.0)]
        typed = read["deepest"].m_as("m")
        values = findings.water_by_hand(Range(*self._area(read)), typed, depths, self.lines.value)
        words = [findings.say_water_by_hand(values, self._pond.system), *self._say_rows(rows, depths),
                 *(self.depths.taken if rows else ())]
        if len(rows[0] if rows else ()) > 4 and typed > TOO_DEEP * max(depths):
            words.append(f"Note: the deepest place you named, {show(read['deepest'], 'depth', both=True)}, is more "
                         f"than {TOO_DEEP:g} times the deepest of your depths. Check it for a slip of the decimal "
                         "point.")
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
                         "depth is 0.26 to 0.6 of it. A dozen depths with a weighted line would halve it. A dug pond "
                         "with a flat floor can hold more: its mean depth is 0.6 to 0.95 of the deepest. If yours is "
                         "dug, read depths.")
        if self._pond.get("water", "soundings_file") and not self._pond.invented:
            words.append("Note: your record holds a survey with soundings. Saving this would put it out.")
        return words, values, ""

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


def _refuse_slips(rows, deepest, system):
    """Refuse a depth far beyond the deepest place named, by its row and place; all in metres."""
    row, place, depth = max(((row, place, depth) for row, depths in enumerate(rows, 1)
                             for place, depth in enumerate(depths, 1)), key=lambda one: one[2], default=(0, 0, 0.0))
    if depth > SLIP * deepest:
        given, tenth, named = (show(Q(value, "m"), "depth", system) for value in (depth, depth / 10, deepest))
        slip = f" Did the decimal point slip, and is it {tenth}?" if depth / 10 <= deepest else ""
        raise QuantityError(f"{given}, in row {row}, place {place}, is far beyond the deepest place you named, "
                            f"{named}.{slip}", "Mend the one or the other.", what="Depths")
