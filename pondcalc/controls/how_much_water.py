"""Workbook 01: explorers, and the forms for the reader's own soundings or readings by hand."""

import html
import re
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from .. import findings
from ..catalogue import ROWS
from ..figures import how_much_water as draw
from ..figures import style
from ..how_much_water import basin as bed
from ..how_much_water import basinrange, doubts, handvolume, survey
from ..spellings import calling, quoted, shortened
from ..textfiles import line_cells, typed_lines
from ..units import QuantityError, Range, read_quantity, show, unit_label
from .explorer import FIT, Choice, Explorer, Slider
from .ownform import OwnForm, read_all

PATTERNS = {"Lines through the middle": "middle", "Parallel lines": "parallel", "One S-shaped pass": "s"}


def _boat(pattern, lines, spacing, ring_x, ring_y):
    """Where a boat sounds: x, y of points inside the bank, for a pattern and a spacing along it (m)."""
    low, high = np.array([ring_x.min(), ring_y.min()]), np.array([ring_x.max(), ring_y.max()])
    centre, reach = (low + high) / 2, np.hypot(*(high - low)) / 2
    along = np.arange(-reach, reach, spacing)
    if pattern == "middle":
        turn = np.pi * np.arange(lines) / lines
        x = centre[0] + np.outer(np.cos(turn), along)
        y = centre[1] + np.outer(np.sin(turn), along)
    elif pattern == "parallel":
        across = low[0] + (high[0] - low[0]) * (np.arange(lines) + 0.5) / lines
        x, y = np.broadcast_arrays(across[:, None], centre[1] + along[None, :])
    else:
        step = np.linspace(0, 1, max(12, int(lines * (high - low)[1] / spacing)))
        x = low[0] + (high[0] - low[0]) * step
        y = centre[1] + 0.5 * (high[1] - low[1]) * np.cos(np.pi * lines * step)
    x, y = np.ravel(x), np.ravel(y)
    inside = doubts.inside(x, y, ring_x, ring_y)
    return x[inside], y[inside]


def _mean_of_lines(basin, shoreline):
    table_mean = bed.form(basin).mean_depth

    def model(lines, spacing, pattern):
        x, y = _boat(pattern, int(round(lines)), spacing, shoreline.x, shoreline.y)
        if len(x) < 3:
            raise ValueError("fewer than three soundings fall inside the bank; add a line or close up the spacing.")
        depth = bed.depth_at(basin, x, y)
        again = bed.build_basin(x, y, depth, shoreline.x, shoreline.y)
        return SimpleNamespace(basin=basin, shoreline_x=shoreline.x, shoreline_y=shoreline.y, x=x, y=y,
                               truth=table_mean, estimate=float(depth.mean()), triangles=bed.form(again).mean_depth,
                               seen=basinrange.coverage(again))
    return model


def _say_mean(result, system):
    off = 100 * (result.estimate / result.truth - 1)
    side = "too deep" if off > 1 else "too shallow" if off < -1 else "close"
    better = 100 * (result.triangles / result.truth - 1)
    return (f"{len(result.x)} soundings. Their plain average is {show(result.estimate, 'depth', system)}, "
            f"{side} ({off:+.0f} %); joined to the bank by triangles they give "
            f"{show(result.triangles, 'depth', system)} ({better:+.0f} %). The true mean depth is "
            f"{show(result.truth, 'depth', system)}. Out of reach of the soundings: "
            f"{100 * result.seen.unseen:.0f} % of the pond. {findings.say_worth(result.seen.odds)}")


def sounding_pattern(basin, shoreline, system="US"):
    """Where should the boat go, and what does a plain average of depths say?"""
    return Explorer("Where you sound decides what you find", _mean_of_lines(basin, shoreline), draw.lines_and_mean,
                    _say_mean,
                    [Choice("pattern", "Pattern of the boat", PATTERNS, "Lines through the middle"),
                     Slider("lines", "Number of lines", "number", "1", "12", "2", step=1),
                     Slider("spacing", "A depth every", "distance", "6 ft", "120 ft", "20 ft", step=2)],
                    presets={"Six parallel lines": {"pattern": "Parallel lines", "lines": "6", "spacing": "20 ft"},
                             "Very few": {"pattern": "Lines through the middle", "lines": "1", "spacing": "80 ft"}},
                    system=system)


def _say_level(result, system):
    left = 100 * result.volume / result.table.volume[0]
    surface = 100 * result.area / result.table.area[0]
    return (f"With the water {show(result.drop, 'depth', system, digits=2)} below full, "
            f"{show(result.volume, 'volume', system)} is left: {left:.0f} % of the water under "
            f"{surface:.0f} % of the surface.")


def water_level(basin, system="US"):
    """How much water is left when the level drops?"""
    table = bed.depth_table(basin)
    deepest = float(np.max(basin.depth))

    def model(drop):
        area, volume = bed.at_level(basin, drop)
        return SimpleNamespace(basin=basin, table=table, drop=drop, area=area, volume=volume)
    top = show(deepest, "depth", digits=4)
    half = show(deepest / 2, "depth", digits=4)
    return Explorer("What a lower water level leaves", model, draw.level, _say_level,
                    [Slider("drop", "Water level below full", "depth", "0 ft", top, "0 ft", step=0.1)],
                    presets={"Half the greatest depth": {"drop": half}, "Full": {"drop": "0 ft"}}, system=system)


def range_by_tracks(read, exact=None, system="US"):
    """How does the doubt shrink as the boat makes more tracks?"""
    soundings, shoreline = read.soundings, read.shoreline
    tracks = np.array(list(dict.fromkeys(soundings.track)))
    counts = [n for n in range(3, len(tracks) + 1)]
    volumes, odds = zip(*(_volume_with(soundings, shoreline, tracks, n) for n in counts), strict=True)

    def model(tracks_used):
        return SimpleNamespace(counts=counts, volumes=volumes, exact=exact, most=1.3 * max(v.high for v in volumes),
                               chosen=int(round(tracks_used)) - counts[0])

    def say(result, system):
        low, usual, high = result.volumes[result.chosen]
        return (f"With {result.counts[result.chosen]} tracks the volume is {show(usual, 'volume', system)}, "
                f"{findings.say_range(low, high, findings.mark_of(odds[result.chosen]), system)}")
    return Explorer("More tracks, less doubt", model, draw.range_by_tracks, say,
                    [Slider("tracks_used", "Boat tracks used", "number", str(counts[0]), str(counts[-1]), "5", step=1)],
                    system=system)


def _volume_with(soundings, shoreline, tracks, count):
    """Volume range (m3) from `count` tracks spread evenly over those there are, and its odds; usual: the smooth bed."""
    kept = tracks[np.unique(np.round(np.linspace(0, len(tracks) - 1, count)).astype(int))]
    use = np.isin(soundings.track, kept)
    found = basinrange.survey_range(soundings.x[use], soundings.y[use], soundings.depth[use], shoreline.x,
                                    shoreline.y, soundings.track[use])
    return found.volume._replace(usual=found.curved_volume), found.seen.odds


def _by_hand(area, depth, fullness):
    """Each hand method on a basin whose area shrinks as (1 - z/depth) to a power."""
    power = 1 / fullness - 1                       # mean depth is depth/(power + 1)
    levels = np.linspace(0, depth, 5)
    areas = area * (1 - levels / depth)**power
    methods = {
        "0.4 rule": handvolume.four_tenths_rule(area, depth),
        "Average end area": handvolume.average_end_area(levels, areas),
        "Frustum": handvolume.frustum(levels, areas),
        "Prismoidal": handvolume.prismoidal(depth, areas[0], areas[2], areas[4]),
        "Simpson": handvolume.simpson(levels, areas),
    }
    return SimpleNamespace(methods=methods, exact=area * depth * fullness)


def _say_hand(result, system):
    worst = max(result.methods, key=lambda name: abs(result.methods[name] - result.exact))
    off = 100 * (result.methods[worst] / result.exact - 1)
    return (f"This basin holds {show(result.exact, 'volume', system)} exactly. The method furthest off is "
            f"“{worst}”, at {off:+.0f} %.")


def map_still(basin, read, system="US"):
    """Map of the bed with its soundings, which does not move."""
    deepest = show(np.max(basin.depth), "depth", system)
    return style.Still(draw.depth_map, basin, read.soundings, read.shoreline, system, width=7.2, height=5.0,
                       alt=f"Map of the pond from {len(read.soundings)} soundings: depth grows from the bank to "
                       f"{deepest} in the darkest blue. The small rings are soundings, along the boat's tracks.")


def hand_methods(system="US"):
    """Which hand method suits which shape of pond?"""
    return Explorer("Hand methods against the exact volume", _by_hand, draw.hand_methods, _say_hand,
                    [Slider.of("water", "area", "2.4 acre"),
                     Slider.of("water", "deepest", "14.5 ft", "depth", "Greatest depth"),
                     Slider("fullness", "Mean depth, share of the greatest", "share", "20 %", "80 %", "44 %", step=1)],
                    presets={"Cone": {"fullness": "33.333 %"}, "Bowl": {"fullness": "50 %"},
                             "Bathtub": {"fullness": "75 %"}}, system=system)


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
            rows = [self._cells(number, line) for number, (_, line) in
                    enumerate(typed_lines(self.value.replace("–", "-")), 1)]
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
        ends = line_cells(line, gaps=True)
        if not re.search("[;\t]", line) and re.search(r"\d,\d", line) and (
                re.search(r"\d, ", line) or line.count(",") == 1):
            close = re.search(r"[\d.]+,\d[\d.]*", line)[0]
            raise QuantityError(f"row {number}, {quoted(line)}: {quoted(close, 20)} may be one depth or two. Write one "
                                "with a point for decimals, and two with a comma and a blank between them.")
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
            return handvolume.area_range(read["area"].m_as("m^2"))
        if len(sides) < 2:
            raise QuantityError("the area is missing. Fill in “Area of the water”, or both length and width. Many "
                                "counties show parcels with a tool that measures area on an air photo.")
        return handvolume.area_from_sides(*sides)

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
        means = handvolume.means_of_rows(depths)
        said = ", ".join(show(mean, "depth", self._pond.system, digits=2) for mean in means)
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
        given, tenth, named = (show(value, "depth", system) for value in (depth, depth / 10, deepest))
        slip = f" Did the decimal point slip, and is it {tenth}?" if depth / 10 <= deepest else ""
        raise QuantityError(f"{given}, in row {row}, place {place}, is far beyond the deepest place you named, "
                            f"{named}.{slip}", "Mend the one or the other.", what="Depths")


SHOWN = 8               # rows left out that the message names; all stand in a list to fold open
# what the reader of files asks for -> where that stands in this form
SETTINGS = {"depth_unit": "the list “Depths are in”", "position_unit": "the list “Positions are in”",
            "upward": "“as negative numbers” in the list “Depths count”", "dropped": "the folded list below"}


def _rows_left_out(read):
    """HTML of a folded list of every row that was left out, where there are more than the message names."""
    lines = survey.left_out(read)
    if len(lines) <= SHOWN:
        return ""
    rows = "".join(f"<li>{html.escape(line)}</li>" for line in lines)
    return (f"<details><summary>Rows left out, all {len(lines)}</summary><div tabindex=\"0\" role=\"region\" "
            "aria-label=\"Rows left out\" style=\"max-height:20em;max-width:700px;overflow:auto;line-height:1.4\">"
            f"<ul>{rows}</ul></div></details>")


LENGTHS = {"what the heading says": "", "feet": "ft", "meters": "m"}


class OwnSoundings(OwnForm):
    """Upload soundings and a shoreline, look at what was read, and save the water to the pond record."""

    def __init__(self, system="US"):
        self._system = system
        clear = W.Button(description="Take both files out", icon="times", layout=FIT)
        clear.on_click(lambda _: self.clear())
        super().__init__("my own soundings", {
            "soundings": self._upload("Soundings (CSV)"), "shoreline": self._upload("Shoreline (CSV)"), "out": clear,
            "unit": W.Dropdown(description="Depths are in", options=LENGTHS | {"centimeters": "cm", "inches": "in"}),
            "place": W.Dropdown(description="Positions are in", options=LENGTHS),
            "sign": W.Dropdown(description="Depths count", options={"down, positive": "downward",
                                                                    "as negative numbers": "upward"})},
            "water", WORKBOOK)

    @staticmethod
    def _keeps(_):
        """Nothing: these lists say how a file is to be read, and it is gone."""
        return False

    @staticmethod
    def _upload(words):
        made = W.FileUpload(description=words, accept=".csv,.txt", layout=FIT)

        def name_it(change):
            made.description = f"{words}: {change['new'][0]['name']}" if change["new"] else words
        made.observe(name_it, "value")
        return made

    def clear(self):
        """Forget both files and what was found."""
        self.soundings.value = self.shoreline.value = ()
        self.forget()

    def _found(self):
        if not self.soundings.value:
            raise ValueError("choose a soundings file first: a CSV with columns such as lat, lon, depth_ft.")
        (name, depths), (bank_name, bank) = self._take(self.soundings), self._take(self.shoreline)
        with calling(SETTINGS | {"soundings text": name}):
            return self._of_files(name, depths, bank_name, bank)

    def _of_files(self, name, depths, bank_name, bank):
        read = survey.read_survey(depths, bank, depth_unit=self.unit.value or None,
                                  position_unit=self.place.value or None, depths_are=self.sign.value)
        basin, doubt, values = findings.water(read, name, bank_name)
        found, gaps = findings.say_water(values, self._system), findings.say_gaps(doubt, self._system)
        picture = self._drawn("own-map", f"Depth map of your pond. {found} {gaps}".rstrip(), draw.depth_map, basin,
                              read.soundings, read.shoreline, self._system, doubt.seen.wanted, size=(7.2, 5.0))
        words = [survey.report(read, self._system, SHOWN), found, gaps,
                 *findings.water_notes(basin, doubt, self._system)]
        return words, values, picture + _rows_left_out(read)

    @staticmethod
    def _take(upload):
        if not upload.value:
            return "", None
        return shortened(upload.value[0]["name"]), bytes(upload.value[0]["content"])
