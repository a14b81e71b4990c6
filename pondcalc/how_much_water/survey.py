"""What did the boat measure, where does it lie on one map, and what is doubtful about it?

:func:`read_survey` turns a file of soundings, and one of the shoreline if there is one, into positions and depths in
metres on one local map. Three layouts are understood: ``x,y,depth`` on a local grid, ``lat,lon,depth`` from a GPS, and
transects of distance and depth. Transects without known ends stay unplaced: they serve the hand rules for mean depth,
not a map. Degrees are projected by a transverse Mercator centred on the survey with scale 1. Zone grids such as UTM
shrink lengths to 0.9996 of their size on the central meridian, so an area measured there comes out 0.08 % small. The
ground at 1,150 ft lies 0.006 % farther apart than the ellipsoid under it; that is left out.

Nothing leaves without a trace. A row that cannot be used is listed with its number and the reason; a doubt that does
not stop the work becomes a note in plain words; a fault that would make every later number wrong raises
:class:`FieldDataError` and says what to do.
"""

import dataclasses
import re
from typing import Annotated, Any, NamedTuple

import numpy as np

from ..spellings import quoted, setting, shortened
from ..tables import Column, find, take
from ..textfiles import FieldDataError, open_table
from ..units import QuantityError, length_text, parse_unit, quantities, read_quantity, record, show, unit_label
from . import doubts

METRES = {unit: read_quantity(f"1 {unit}").m_as("meter")
          for unit in ("foot", "inch", "yard", "meter", "centimeter", "millimeter")}
# beginning of the name of a column: what stands at the end of it where it is one end of a transect
_END = {"": ("", r"\b(0|1|start|end)\b"), " of the start": (r"(?=.*\b(?:0|start)\b).*", ""),
        " of the end": (r"(?=.*\b(?:1|end)\b).*", "")}
ENDS = {kind: tuple(f"{name}{end}" for end in (" of the start", " of the end") for name in names)
        for kind, names in {"local": ("x", "y"), "degrees": ("latitude", "longitude")}.items()}
END_HEADS = {"local": "x0, y0, x1, y1", "degrees": "lat0, lon0, lat1, lon1"}
_ALONE = r"( (in )?(ft|feet|foot|m|meters?|metres?|in|inch|inches|yd|yards?|cm|mm))*$"      # with its unit, if any


_DEGREES = re.compile(r"([NSEW])?\s*([-+−]?)(\d+(?:\.\d*)?)"                                     # degrees
                      r"(?:(?:\s*(?:°|deg|d|:)\s*|\s+)(\d+(?:\.\d*)?)"                           # minutes
                      r"(?:(?:\s*['′’m:]\s*|\s+)(\d+(?:\.\d*)?))?)?"                               # seconds
                      r"\s*(?:°|deg|['′’m]|\"|″|”|'')?\s*([NSEW])?", re.IGNORECASE)


def degrees(text):
    """Decimal degrees of ``39.0413``, ``39.0413 N``, ``39° 2.48' N`` or ``96°49'12" W``."""
    found = _DEGREES.fullmatch(text)
    parts = [part for part in (found[3], found[4], found[5]) if part] if found else []
    if not parts or any("." in part for part in parts[:-1]) or any(float(part) >= 60 for part in parts[1:]) \
            or found[1] and found[6] or (found[1] or found[6]) and found[2] and found[2] in "-−" and \
            (found[1] or found[6]).upper() in "NE":
        raise ValueError(text)
    size = sum(float(part) / 60**power for power, part in enumerate(parts))
    return -size if found[2] and found[2] in "-−" or (found[1] or found[6] or "").upper() in ("S", "W") else size


def _lengths(name, argument, *words, without=""):
    return Column(name, words, "meter", ("ft", "m"), gaps=False, without=without, argument=argument)


COLUMNS = {column.name: column for column in (
    _lengths("depth", "depth_unit", r"\bdepths?\b", rf"^(z|soundings?){_ALONE}"),
    _lengths("distance", "position_unit", r"\bdist(ance)?\b", rf"^station{_ALONE}"),
    *(Column(f"{name}{end}", (f"{before}\\b{words}\\b",), gaps=False, without=without, read=degrees,
             wanted="degrees such as 39.0413 or 39° 2.48' N")
      for end, (before, without) in _END.items()
      for name, words in (("latitude", "lat(itude)?"), ("longitude", "(lon|long|lng|longitude)"))),
    *(_lengths(f"{name}{end}", "position_unit", f"{before}\\b({name}|{word}ing)\\b", rf"^{word}{_ALONE}",
               without=without)
      for end, (before, without) in _END.items() for name, word in (("x", "east"), ("y", "north"))),
    Column("track", (r"\b(track|transect)\b", r"^(line|pass)$"), kind="text"))}


def open_sheet(source, what="soundings"):
    """A file of soundings or of a shoreline, taken apart, with its columns found."""
    sheet = open_table(source, what, "lat,lon" if what == "shoreline" else "lat,lon,depth_ft", "place")
    sheet.commas = "thousands"
    find(sheet, COLUMNS.values())
    return sheet


def take_lengths(sheet, name, asked=None, argument="depth_unit", optional=False):
    """Turn a column into metres; `asked` is the unit of bare numbers where the heading has none. Gives the unit.

    Raises FieldDataError: If no unit is given, heading and argument disagree, or the argument is not a length.
    """
    unit = sheet.unit.get(name)
    if asked is not None:
        try:
            wanted = parse_unit(str(asked))
        except QuantityError:
            wanted = None
        if wanted not in METRES:
            raise FieldDataError(f"{argument}={asked!r} is not a length. Write {argument}='ft' or {argument}='m'.")
        if unit and unit != wanted:
            raise FieldDataError(f"{sheet.name}: the heading {quoted(sheet.heading[name])} says {unit_label(unit)}, "
                                 f"but {setting(argument, f'{argument}={asked!r}')} was asked for. Leave that out, or "
                                 "mend the heading if it is wrong.")
        unit = sheet.unit[name] = wanted
    take(sheet, COLUMNS[name]._replace(gaps=optional))
    return unit


AXIS, ECCENTRICITY2 = 6378137.0, 0.0066943799901413165       # m, equator; e2 = f(2 - f), f = 1/298.257223563; WGS 84
LONGEST_CROSSING_TEST = 4000
SMALL_LOOP = 0.1        # share of the points, and of the area, that may be cut out as a small loop


def _turn(lon):
    """Degrees of longitude, or of their difference, the short way round: -180 to 180."""
    return (np.asarray(lon, float) + 180.0) % 360.0 - 180.0


def _along_meridian(phi):
    """Metres from the equator to a latitude (radians) on the ellipsoid, Snyder (1987) equation 3-21."""
    e2, e4, e6 = ECCENTRICITY2, ECCENTRICITY2 ** 2, ECCENTRICITY2 ** 3
    return AXIS * ((1 - e2 / 4 - 3 * e4 / 64 - 5 * e6 / 256) * phi
                   - (3 * e2 / 8 + 3 * e4 / 32 + 45 * e6 / 1024) * np.sin(2 * phi)
                   + (15 * e4 / 256 + 45 * e6 / 1024) * np.sin(4 * phi) - 35 * e6 / 3072 * np.sin(6 * phi))


class Place(NamedTuple):
    """A position from an origin."""

    x: Annotated[Any, "m"]              # to the east
    y: Annotated[Any, "m"]              # to the north


@quantities(lat="degree", lon="degree", gives=Place)
def to_local(lat, lon, origin):
    """Position east and north (m) of `origin` (latitude, longitude in degrees), by transverse Mercator.

    The series of Snyder (equations 8-9 and 8-10, with 4-20, 8-12 to 8-15 and 3-21) at scale 1 on the WGS 84
    ellipsoid, one term shorter: right to a millimetre some kilometres out. What lies more than 60 degrees of
    longitude away is infinitely far.
    References: J. P. Snyder, 1987, Map Projections: A Working Manual, U.S. Geological Survey Professional Paper 1395.
    """
    phi, east = np.radians(np.asarray(lat, float)), _turn(np.subtract(lon, origin[1]))
    e2 = ECCENTRICITY2 / (1 - ECCENTRICITY2)
    across = AXIS / np.sqrt(1 - ECCENTRICITY2 * np.sin(phi) ** 2)
    t, c = np.tan(phi) ** 2, e2 * np.cos(phi) ** 2
    a = np.radians(east) * np.cos(phi)
    x = across * (a + (1 - t + c) * a ** 3 / 6)
    up = across * np.tan(phi) * (a ** 2 / 2 + (5 - t + 9 * c + 4 * c ** 2) * a ** 4 / 24)
    y = _along_meridian(phi) - _along_meridian(np.radians(origin[0])) + up
    return Place(*(np.where(np.abs(east) > 60, np.inf, value) for value in (x, y)))


def layout(sheet, need_depth=True):
    """Which of the layouts a sheet has: ``local``, ``degrees`` or ``transects``.

    Raises FieldDataError: If it has none of them.
    """
    if not need_depth or sheet.has("depth"):
        if sheet.has("latitude", "longitude"):
            return "degrees"
        if sheet.has("x", "y"):
            return "local"
        if need_depth and sheet.has("distance"):
            return "transects"
    allowed = ("'lat,lon,depth_ft', 'x_ft,y_ft,depth_ft' or 'transect,distance_ft,depth_ft'" if need_depth
               else "'lat,lon' or 'x_ft,y_ft'")
    raise FieldDataError(f"{sheet.name}: the columns are {shortened(', '.join(sheet.headings), 120)}. Needed are "
                         f"columns such as {allowed}. Rename your columns in the first row so that they match one of "
                         "these.")


def enough(sheet):
    """Refuse a sheet of fewer than three rows, and say why the others went."""
    if len(sheet) >= 3:
        return
    why = "; ".join(f"row {d.row} {d.reason}" for d in sheet.left_out[:3])
    raise FieldDataError(f"{sheet.name} has {len(sheet)} usable row{'s' * (len(sheet) != 1)}; 3 or more "
                         f"are needed, and 12 or more are better.{' Left out: ' + why + '.' if why else ''} "
                         "Mend those rows or measure more places.")


def _check_degrees(sheet, lat, lon):
    """Latitude and longitude in range and not swapped."""
    a, b = np.abs(sheet.values[lat]), np.abs(sheet.values[lon])
    mid_a, mid_b = np.nanmedian(a), np.nanmedian(b)
    if mid_a > 90 and mid_b > 180:
        raise FieldDataError(f"{sheet.name}: {quoted(sheet.heading[lat])} and {quoted(sheet.heading[lon])} hold "
                             f"numbers near {mid_a:.7g} and {mid_b:.7g}. Degrees end at 90 and 180, so "
                             "these look like meters or feet: head the columns 'x_m,y_m' or 'x_ft,y_ft'.")
    if mid_a > 90 or (mid_a > 66.5 and mid_b < 66.5):
        middle = float(np.nanmedian(sheet.values[lat]))
        wrong = "in the polar regions" if mid_a <= 90 else "impossible, for latitude ends at 90"
        raise FieldDataError(f"{sheet.name}: the latitudes are near {middle:.4f}, which is {wrong}. "
                             "Latitude and longitude look swapped: exchange the headings "
                             f"{quoted(sheet.heading[lat])} and {quoted(sheet.heading[lon])} in the first row.")
    sheet.drop((a > 90) | (b > 180), "latitude beyond 90 or longitude beyond 180 degrees")
    nowhere = (sheet.values[lat] == 0) & (sheet.values[lon] == 0)
    sheet.drop(nowhere, "latitude and longitude are both 0, which a GPS writes when it has no position")
    if len(sheet) and np.nanmedian(sheet.values[lon]) > 0:
        sheet.notes.append(f"{sheet.name}: the longitudes are positive, that is east of Greenwich. In the US "
                           "longitude is negative. A lost minus sign mirrors the map, but leaves area and "
                           "volume as they are.")


def _check_local(sheet, x, y, units):
    """Local positions that are really degrees, or that carry the scale of a zone grid."""
    written = [sheet.values[name] / METRES.get(unit, 1.0) for name, unit in zip((x, y), units, strict=True)]
    spread = [np.subtract(*np.percentile(column, [90, 10])) for column in written]
    if max(spread) < 0.2 and all(np.abs(np.median(column)) <= 180 for column in written) and len(sheet) > 2:
        raise FieldDataError(f"{sheet.name}: {quoted(sheet.heading[x])} and {quoted(sheet.heading[y])} change by less "
                             f"than {max(spread):.2g} over the survey, so they look like degrees used as lengths. "
                             "Head the columns 'lon' and 'lat', without a unit.")
    if np.median(np.abs(sheet.values[x])) > 1e5 and np.median(np.abs(sheet.values[y])) > 1e6:
        sheet.notes.append(f"{sheet.name}: the positions look like a zone grid such as UTM. Lengths on it "
                           "can be 0.04 % short, and an area 0.08 % small; that is far below the doubt in "
                           "the soundings.")


def positions(sheet, kind, position_unit, origin, names=("x", "y", "latitude", "longitude"), optional=False):
    """Fill in x and y (m) for one pair of columns, and give the origin used (None on a local grid)."""
    x, y, lat, lon = names
    if kind == "local":
        units = [take_lengths(sheet, name, position_unit, "position_unit", optional) for name in (x, y)]
        enough(sheet)
        if not optional:
            _check_local(sheet, x, y, units)
        return None
    for name in (lat, lon):
        take(sheet, COLUMNS[name]._replace(gaps=optional))
    enough(sheet)
    _check_degrees(sheet, lat, lon)
    enough(sheet)
    if origin is None:
        first = sheet.values[lon][np.isfinite(sheet.values[lon])][0]      # a pond may lie on the date line
        middle = _turn(first + np.nanmedian(_turn(sheet.values[lon] - first)))
        origin = round(float(np.nanmedian(sheet.values[lat])), 5), round(float(middle), 5)
    sheet.values[x], sheet.values[y] = to_local(sheet.values[lat], sheet.values[lon], origin)
    return origin


def fill_down(sheet):
    """Transect names; a name written once, on the first row of its transect, holds until the next."""
    if not sheet.has("track"):
        sheet.cells["track"] = np.full(len(sheet), "1", object)
        sheet.notes.append(f"{sheet.name} has no transect column, so all rows were taken as one transect.")
        return
    names = np.array([cell.strip() for cell in sheet.cells["track"]], object)
    blank = names == ""
    if blank.any():
        last = np.maximum.accumulate(np.where(blank, -1, np.arange(len(names))))
        names = np.where(last >= 0, names[last], "")
        sheet.notes.append(f"{sheet.name}: {blank.sum()} rows have no transect name and were counted to the "
                           "transect named above them.")
    sheet.cells["track"] = names
    sheet.drop(names == "", "no transect is named in this row or above it")


def place_transects(sheet, kind, position_unit):
    """x and y of each sounding along its transect, from the ends of the transect; gives the origin.

    The ends may stand in one row of a transect or in all. Distance counts from the start.

    Raises FieldDataError: If only one end is given, the ends of one transect change, or start and end are one place.
    """
    ends, (x0, y0, x1, y1) = ENDS[kind], ENDS["local"]
    a, b = (sheet.has(*ends[:2]), sheet.has(*ends[2:]))
    if not (a and b):
        raise FieldDataError(f"{sheet.name} gives only one end of each transect. Give both, as columns "
                             f"{END_HEADS[kind]}, or neither.")
    if not any(cell.strip() for name in ends for cell in sheet.cells[name]):
        raise FieldDataError(f"{sheet.name}: the columns {END_HEADS[kind]} are empty. Fill in the ends of each "
                             "transect, or take the columns out if the ends are not known.")
    origin = positions(sheet, kind, position_unit, None, (x0, y0, *ENDS["degrees"][:2]), optional=True)
    positions(sheet, kind, position_unit, origin, (x1, y1, *ENDS["degrees"][2:]), optional=True)
    known = np.all([np.isfinite(sheet.values[name]) for name in (x0, y0, x1, y1)], axis=0)
    corners = np.full((4, len(sheet)), np.nan)
    for name in dict.fromkeys(sheet.cells["track"]):
        mine = sheet.cells["track"] == name
        with_ends = np.flatnonzero(mine & known)
        if not len(with_ends):
            continue
        all_ends = np.array([sheet.values[n][with_ends] for n in (x0, y0, x1, y1)])
        if np.ptp(all_ends, axis=1).max() > 0.5:
            raise FieldDataError(f"{sheet.name}: the ends of transect {name} change between row "
                                 f"{sheet.row[with_ends[0]]} and row {sheet.row[with_ends[-1]]}. Give each "
                                 "transect one start and one end, or two names if it is two transects.")
        corners[:, mine] = all_ends[:, :1]
        length = float(np.hypot(*(all_ends[2:, 0] - all_ends[:2, 0])))
        reach = float(sheet.values["distance"][mine].max())
        if length == 0:
            raise FieldDataError(f"{sheet.name}: transect {name} starts and ends at one place. Mend its ends.")
        if reach > 1.05 * length:
            sheet.notes.append(f"Transect {name} is {length_text(length)} from end to end, but its last "
                               f"distance is {length_text(reach)}. Feet and meters mixed, or a slack tape?")
    placed = np.isfinite(corners).all(axis=0)
    start, step = corners[:2], corners[2:] - corners[:2]
    with np.errstate(invalid="ignore"):
        sheet.values["x"], sheet.values["y"] = start + step / np.hypot(*step) * sheet.values["distance"]
    sheet.drop(~placed, "the ends of this transect are not given, though those of others are")
    return origin


def drop_stray(sheet, what="soundings"):
    """Leave out places far from all others; see :func:`pondcalc.how_much_water.doubts.stray`."""
    far, away = doubts.stray(sheet.values["x"], sheet.values["y"])

    def reason(i):
        where = length_text(away[i]) if np.isfinite(away[i]) else "half the Earth"
        return f"lies {where} from the middle of the {what}, more than {doubts.STRAY:g} times the usual distance"

    sheet.drop(far, reason)
    enough(sheet)


def _drop_loops(sheet):
    """Cut small loops out of a walked ring; refuse a ring that crosses itself in a big way."""
    if len(sheet) > LONGEST_CROSSING_TEST:
        sheet.notes.append(f"The shoreline has {len(sheet)} points, too many to test for crossings.")
        return
    while (cross := doubts.first_crossing(sheet.values["x"], sheet.values["y"])) is not None:
        i, j = cross
        n, index = len(sheet), np.arange(len(sheet))
        loop = (index > i) & (index <= j)
        loop = loop if loop.sum() <= n / 2 else ~loop
        inner, outer = (doubts.ring_area(sheet.values["x"][part], sheet.values["y"][part])
                        for part in (loop, ~loop))
        if loop.sum() > SMALL_LOOP * n or inner > SMALL_LOOP * outer:
            raise FieldDataError(f"{sheet.name}: the shoreline crosses itself near rows {sheet.row[i]} and "
                                 f"{sheet.row[j]}, so it has no clear inside. Put the points in the order you "
                                 "would walk them round the bank, and take out any second lap.")
        sheet.drop(loop, "part of a small loop where the line crosses itself")


def read_shoreline(source, kind, origin, position_unit):
    """Sheet of shoreline points, in order and with x and y, and the origin they are counted from.

    source, position_unit: As for :func:`read_survey`.
    kind ({"local", "degrees"} or None): Form of the soundings; None when these have no place on the map.
    origin: Latitude and longitude from which the soundings are counted, degrees, or None.
    Raises FieldDataError: If it is in another form, crosses itself in a big way, or has fewer than three points.
    """
    sheet = open_sheet(source, "shoreline")
    own = layout(sheet, need_depth=False)
    if kind and own != kind:
        words = {"local": "x and y", "degrees": "latitude and longitude"}
        raise FieldDataError(f"The shoreline is in {words[own]} but the soundings are in {words[kind]}, so they "
                             "cannot be laid on one map. Give both in the same form.")
    origin = positions(sheet, own, position_unit, origin)
    drop_stray(sheet, "shoreline")
    again = np.r_[False, (np.diff(sheet.values["x"]) == 0) & (np.diff(sheet.values["y"]) == 0)]
    sheet.drop(again, "repeats the point before it")
    closing = np.zeros(len(sheet), bool)
    closing[-1] = len(sheet) > 1 and all(sheet.values[name][0] == sheet.values[name][-1] for name in "xy")
    gone = len(sheet.left_out)
    sheet.drop(closing, "")
    del sheet.left_out[gone:]                    # the closing point says nothing new: nothing is lost
    enough(sheet)
    _drop_loops(sheet)
    enough(sheet)
    x, y = sheet.values["x"], sheet.values["y"]
    step = np.hypot(x - np.roll(x, 1), y - np.roll(y, 1))
    if step[0] > 5 * np.median(step) and step[0] > 0.1 * step.sum():
        sheet.notes.append(f"The shoreline was closed with a straight piece of {length_text(step[0])} from "
                           "its last point to its first. If the walk was not finished, walk the rest.")
    sheet.left_out = [d._replace(reason=f"shoreline file: {d.reason}") for d in sheet.left_out]
    return sheet, origin


NO_DATA = (-9999.0, -999.0, 9999.0)
RECEIVER = 5.0          # m, about what a phone may miss by under open sky (see read_survey)
ON_THE_LINE = 1e-7      # share of the pond's width within which a sounding counts as on its shoreline


def _freeze(owner, *names):
    """Keep columns as read-only float arrays of one length, all finite."""
    columns = [np.array(getattr(owner, name), float) for name in names]
    for name, column in zip(names, columns, strict=True):
        if column.shape != columns[0].shape or column.ndim != 1 or not np.isfinite(column).all():
            raise FieldDataError(f"{type(owner).__name__}: {', '.join(names)} must be lists of the same length, "
                                 f"with a number in every place; {name} is not. Take out the rows without a "
                                 "number.")
        column.flags.writeable = False
        object.__setattr__(owner, name, column)
    if "depth" in names and len(owner.depth) and owner.depth.min() < 0:
        raise FieldDataError(f"{type(owner).__name__}: a depth of {length_text(owner.depth.min())} is above the "
                             "water. Depth counts downward and is positive; change the sign.")


@record(x="m", y="m", depth="m")
class Soundings:
    """Depths at known places, an array of one element for each sounding.

    x, y: Position east and north on the survey's map, m.
    depth: Below the water surface, m, 0 or more.
    track: Name of the pass of the boat each belongs to; None if the file does not say.
    row: Row of the file each came from.
    """

    x: np.ndarray
    y: np.ndarray
    depth: np.ndarray
    track: Any = None
    row: Any = None

    def check(self):
        """Raise :class:`FieldDataError` unless the columns fit together."""
        _freeze(self, "x", "y", "depth")

    def __len__(self):
        return len(self.x)


@record(x="m", y="m")
class Shoreline:
    """Edge of the full pond as a ring of different points in order; the last joins the first.

    x, y: Position east and north, m, of three points or more. The first is not repeated at the end.
    """

    x: np.ndarray
    y: np.ndarray

    def check(self):
        """Raise :class:`FieldDataError` unless there are three points or more."""
        _freeze(self, "x", "y")
        if len(self.x) < 3:
            raise FieldDataError(f"A shoreline needs three points or more; {len(self.x)} given. Walk the whole "
                                 "bank and note a position every few steps.")

    def __len__(self):
        return len(self.x)


@record(distance="m", depth="m")
class Transects:
    """Depths along lines whose place on the map is not known, an array of one element for each sounding.

    track: Name of the transect.
    distance: From the start of the transect, m.
    depth: Below the water surface, m.
    row: Row of the file each came from.
    """

    track: np.ndarray
    distance: np.ndarray
    depth: np.ndarray
    row: Any = None

    def check(self):
        """Raise :class:`FieldDataError` unless the columns fit together."""
        _freeze(self, "distance", "depth")

    def __len__(self):
        return len(self.depth)


@dataclasses.dataclass(frozen=True)
class Survey:
    """All that was read, and all that is doubtful."""

    soundings: Soundings | None             # None when only unplaced transects were given
    shoreline: Shoreline | None = None
    transects: Transects | None = None      # only for unplaced transects
    origin: tuple | None = None             # latitude and longitude, degrees, of x = 0, y = 0; None on a local grid
    notes: tuple = ()                       # doubts, in plain words
    dropped: tuple = ()                     # of Dropped: row number as in the file, text of the row, reason

    @property
    def depth(self):
        """Every depth (m) that was kept, placed or not."""
        return (self.soundings or self.transects).depth


def _point_downward(sheet, depths_are, unit):
    """Depths positive downward; rows that point the other way are left out."""
    factor = METRES.get(unit, 1.0)
    sheet.drop(np.isin(np.round(sheet.values["depth"] / factor, 6), NO_DATA),
               "the depth is a code for a missing value")
    if depths_are == "upward":
        sheet.values["depth"] = -sheet.values["depth"]
    depth = sheet.values["depth"] = sheet.values["depth"] + 0.0
    wrong, wet = depth < 0, np.count_nonzero(depth)
    if wrong.sum() > wet / 2:
        row = sheet.row[wrong.argmax()]
        upward = setting("upward", "depths_are='upward'")
        sign, cure = (("negative", f"If your file counts upward from the water surface, read it again with {upward}.")
                      if depths_are == "downward" else
                      ("positive", f"{upward} is for files with negative depths: leave it out."))
        raise FieldDataError(f"{sheet.name}: {wrong.sum()} of {len(depth)} depths are {sign}, such as in row "
                             f"{row} ({quoted(sheet.lines[row - 1])}). Here depth counts downward and is "
                             f"positive. {cure}")
    sheet.drop(wrong, "the depth points up out of the water while most point down; check its sign")
    enough(sheet)
    if not sheet.values["depth"].any():
        raise FieldDataError(f"{sheet.name}: every depth is zero. Check that the right column is headed 'depth'.")


def _drop_too_deep(sheet):
    depth = sheet.values["depth"]
    deep, limit = doubts.too_deep(depth)
    sheet.drop(deep, lambda i: f"the depth, {length_text(depth[i])}, is beyond {length_text(limit)}, three times what "
                               "all but the deepest few reach; perhaps the decimal point slipped")
    enough(sheet)


def _merge_repeats(sheet, x, y):
    """One row for each place: exact repeats go, different depths at one place are averaged."""
    same = doubts.first_of_same(sheet.values[x], sheet.values[y], sheet.values["depth"])
    row = sheet.row
    sheet.drop(same != np.arange(len(same)), lambda i: f"repeats row {row[same[i]]}: same place, same depth")
    first = doubts.first_of_same(sheet.values[x], sheet.values[y])
    count = np.bincount(first)
    if count.max() == 1:
        return enough(sheet)
    depth, row = sheet.values["depth"], sheet.row
    mean = np.bincount(first, depth)[first] / count[first]
    widest = float(np.max(np.abs(depth - mean)))
    example = np.flatnonzero(first != np.arange(len(first)))[0]
    sheet.notes.append(f"At {np.sum(count > 1)} places there are two or more different depths (rows "
                       f"{row[first[example]]} and {row[example]}, for one). Their average was used; the "
                       f"largest departure from it is {length_text(widest)}. Check those rows if that is "
                       "more than your line can miss by.")
    sheet.values["depth"] = mean
    sheet.drop(first != np.arange(len(first)),
               lambda i: f"same place as row {row[first[i]]}, other depth; row {row[first[i]]} now holds the "
                         "average")
    enough(sheet)


def _fit_to_shoreline(sheet, bank):
    """Leave out soundings on dry land or on the line itself; refuse a shoreline that belongs elsewhere."""
    x, y = sheet.values["x"], sheet.values["y"]
    inside = doubts.inside(x, y, bank.x, bank.y)
    beyond = doubts.distance_to_ring(x, y, bank.x, bank.y)
    out, land = ~inside | (beyond < ON_THE_LINE * np.ptp(bank.x)), ~inside & (beyond > RECEIVER)
    hull, area = doubts.hull_area(x, y), doubts.ring_area(bank.x, bank.y)
    if land.sum() > len(x) / 2:
        apart = np.hypot(np.median(x) - np.median(bank.x), np.median(y) - np.median(bank.y))
        if 6 < hull / area < 18:
            cause = ("The soundings spread over about ten times the area, as when one file is in feet and "
                     "the other in meters.")
        elif apart > 3 * np.sqrt(max(area, hull)):
            cause = (f"The two lie {length_text(apart)} apart. Are they from the same pond, and is neither "
                     "missing a minus sign or a digit?")
        else:
            cause = "Check that the shoreline points are in walking order and that both files use one grid."
        raise FieldDataError(f"{land.sum()} of {len(x)} soundings lie outside the shoreline. {cause}")
    if out.sum() > 0.1 * len(x):
        sheet.notes.append(f"{out.sum()} of {len(x)} soundings lie on or outside the shoreline. Check that both were "
                           "recorded on one map and at one water level.")

    def reason(i):
        if inside[i] or beyond[i] < ON_THE_LINE * np.ptp(bank.x):
            return "lies on the shoreline, where the depth is zero"
        near = ", no more than a receiver may miss by, but the bed ends there" if beyond[i] <= RECEIVER else ""
        return f"lies {length_text(beyond[i], 2)} outside the shoreline{near}"

    sheet.drop(out, reason)
    if hull < 0.25 * area:
        sheet.notes.append(f"The soundings reach over only {hull / area:.0%} of the water inside the "
                           "shoreline. Either much of the pond was not sounded, or one of the files is in "
                           "feet and the other in meters.")
    enough(sheet)


def _common_notes(sheet, unit, area, shoreline, placed=True):
    """Doubts that hold for placed and unplaced soundings alike."""
    depth, n = sheet.values["depth"], len(sheet)
    notes = [doubts.unit_doubt(depth, unit, area)] if unit in ("foot", "meter") else []
    if not any(notes):
        notes.append(doubts.shallow_doubt(depth, unit))
    if n < 12:
        notes.append(f"Only {n} soundings. A trial on 35 ponds found 12 to 24 along an S-shaped course "
                     "enough for a fair mean depth (Estimating Average Depths of Ponds, SEAFWA 1983).")
    if shoreline is None and not placed:
        notes.append("There is no shoreline, so the area of the pond has to come from elsewhere.")
    elif shoreline is None:
        notes.append(doubts.NO_SHORELINE)
    if len(sheet.left_out) > n / 4:
        notes.append(f"{len(sheet.left_out)} rows were left out and {n} kept. When so many fail, look for one "
                     "common cause.")
    return [note for note in notes if note]


def _read_unplaced(sheet, unit, shoreline, position_unit):
    """Survey of transects without a place on the map."""
    bank, origin = None, None
    if shoreline is not None:
        bank_sheet, origin = read_shoreline(shoreline, None, None, position_unit)
        bank = Shoreline(bank_sheet.values["x"], bank_sheet.values["y"])
    names, sheet.values["track"] = np.unique(sheet.cells["track"].astype(str), return_inverse=True)
    _merge_repeats(sheet, "track", "distance")
    order = np.lexsort((sheet.values["distance"], sheet.values["track"]))
    track, depth = names[sheet.values["track"][order]], sheet.values["depth"][order]
    for name in names:
        ends = depth[track == name][[0, -1]]
        if ends.any():
            sheet.notes.append(f"Transect {name} does not start and end at depth 0. Leaving out the zeros at "
                               "the two banks makes the mean depth too large; add them if the transect ran "
                               "from bank to bank.")
    notes = ["The transects have no place on the map, so they serve the hand rules only, not a map of the "
             "bed.",
             *sheet.notes, *(bank_sheet.notes if bank else ()),
             *_common_notes(sheet, unit, doubts.ring_area(bank.x, bank.y) if bank else 0.0, bank, False)]
    transects = Transects(track, sheet.values["distance"][order], depth, sheet.row[order])
    dropped = sorted(sheet.left_out) + sorted(bank_sheet.left_out if bank else ())
    return Survey(None, bank, transects, origin, tuple(notes), tuple(dropped))


def read_survey(soundings, shoreline=None, depth_unit=None, position_unit=None, depths_are="downward"):
    """Read soundings, and a shoreline if there is one, and say what is doubtful.

    soundings, shoreline (pathlib.Path, open file, bytes or str): CSV; a str is the text itself. Soundings as
        ``lat,lon,depth_ft``, ``x_ft,y_ft,depth_ft`` or ``transect,distance_ft,depth_ft``, the last with the ends of
        each transect in columns ``x0,y0,x1,y1`` or ``lat0,lon0,lat1,lon1`` if they are known. Shoreline as
        ``lat,lon`` or ``x_ft,y_ft`` in walking order. A ``track`` column is kept. Units in any usual form.
    depth_unit, position_unit: ``"ft"`` or ``"m"``, where the heading does not say.
    depths_are ({"downward", "upward"}): ``"upward"`` for files that give depths as negative numbers.
    Returns: Survey.
    Raises FieldDataError: If a fault would make every later number wrong, or fewer than three soundings are left.

    Rows are tested in this order: readable, downward, placed, not stray, not too deep, inside the
    shoreline, not a repeat. A row is listed with the first test it fails.
    References: K. Merry and P. Bettinger, 2019, Smartphone GPS accuracy study in an urban environment, PLoS ONE
        14(7):e0219890 (7 to 13 m among buildings). Under open sky 4.9 m in 95 of 100 fixes is quoted second-hand from
        the GPS Standard Positioning Service Performance Standard, 5th ed., 2020. Estimating Average Depths of Ponds,
        1983, Proc. SEAFWA (12 to 24 soundings on an S suffice).
    """
    if depths_are not in ("downward", "upward"):
        raise FieldDataError(f"depths_are={depths_are!r} is not known. Write depths_are='downward' for positive "
                             "depths, or 'upward' for negative ones.")
    sheet = open_sheet(soundings)
    kind = layout(sheet)
    if kind == "transects":
        fill_down(sheet)
    unit = take_lengths(sheet, "depth", depth_unit)
    _point_downward(sheet, depths_are, unit)
    if kind == "transects":
        take_lengths(sheet, "distance", position_unit, "position_unit")
        sheet.drop(sheet.values["distance"] < 0, "the distance is negative")
        enough(sheet)
        kind = next((form for form in ENDS if any(map(sheet.has, ENDS[form]))), None)
        if kind is None:
            _drop_too_deep(sheet)
            return _read_unplaced(sheet, unit, shoreline, position_unit)
        origin = place_transects(sheet, kind, position_unit)
    else:
        origin = positions(sheet, kind, position_unit, None)
    drop_stray(sheet)
    _drop_too_deep(sheet)
    bank, dropped, area = None, [], None
    if shoreline is not None:
        bank_sheet, _ = read_shoreline(shoreline, kind, origin, position_unit)
        bank = Shoreline(bank_sheet.values["x"], bank_sheet.values["y"])
        _fit_to_shoreline(sheet, bank)
        sheet.notes += bank_sheet.notes
        dropped, area = bank_sheet.left_out, doubts.ring_area(bank.x, bank.y)
    _merge_repeats(sheet, "x", "y")
    x, y = sheet.values["x"], sheet.values["y"]
    hull = doubts.hull_area(x, y)
    if hull <= 1e-6 * np.ptp(x) ** 2 + 1e-6 * np.ptp(y) ** 2:
        sheet.notes.append("All soundings lie on one straight line, so they show a cross-section and not a "
                           "bed.")
    notes = [*sheet.notes, *_common_notes(sheet, unit, area or hull, bank)]
    track = np.array([cell.strip() for cell in sheet.cells["track"]]) if sheet.has("track") else None
    kept = Soundings(x, y, sheet.values["depth"], track, sheet.row)
    return Survey(kept, bank, None, origin, tuple(notes), tuple(sorted(sheet.left_out) + sorted(dropped)))


def left_out(survey):
    """One line for each row that was left out: its number, its text and why."""
    return [f"row {d.row} ({quoted(d.text)}): {d.reason}." for d in survey.dropped]


def report(survey, system="US", rows=8):
    """A few plain sentences about a survey: what there is, what was left out and why, what is doubtful.

    survey (Survey), system ({"US", "metric"}).
    rows: How many left-out rows to name; the rest are counted.
    """
    points = survey.soundings or survey.transects
    names = () if points.track is None else tuple(dict.fromkeys(name for name in points.track if name))
    word = "transect" if survey.soundings is None else "track"
    on = f" on {len(names)} {word}{'s' * (len(names) != 1)}" if names else ""
    lines = [f"{len(points)} soundings{on}. The deepest reads "
             f"{show(points.depth.max(), 'depth', system, both=True)}."]
    if survey.shoreline is not None:
        area = doubts.ring_area(survey.shoreline.x, survey.shoreline.y)
        lines.append(f"The shoreline has {len(survey.shoreline)} points and holds "
                     f"{show(area, 'area', system, both=True)}.")
    left = len(survey.dropped)
    lines.append(f"{left or 'No'} row{'s were' if left != 1 else ' was'} left out{':' if left else '.'}")
    lines += [f"  {line}" for line in left_out(survey)[:rows]]
    if left > rows:
        lines.append(f"  and {left - rows} more, listed in {setting('dropped', 'survey.dropped')}.")
    return "\n".join(lines + [f"Note: {note}" for note in survey.notes])
