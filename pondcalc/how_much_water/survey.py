"""What did the boat measure, and what is doubtful about it?

:func:`read_survey` turns a file of soundings, and one of the shoreline if there is one, into
positions and depths in metres on one local map. Three layouts are understood: ``x,y,depth`` on a
local grid, ``lat,lon,depth`` from a GPS, and transects of distance and depth. Transects
without known ends stay unplaced: they serve the hand rules for mean depth, not a map.

Nothing leaves without a trace. A row that cannot be used is listed with its number and the
reason; a doubt that does not stop the work becomes a note in plain words; a fault that would
make every later number wrong raises :class:`FieldDataError` and says what to do.
"""

import dataclasses
from typing import Any

import numpy as np

from ..textfiles import Dropped, FieldDataError
from ..units import Q, length_text, quantities, record, show
from ..wording import quoted, setting
from . import doubts
from .surveymap import (
    ENDS,
    METRES,
    drop_stray,
    enough,
    fill_down,
    layout,
    open_sheet,
    place_transects,
    positions,
    read_shoreline,
    take_lengths,
)

__all__ = ["Soundings", "Shoreline", "Transects", "Survey", "FieldDataError", "Dropped", "left_out",
           "read_survey", "report"]

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
    """Depths at known places, one element for each sounding.

    Parameters
    ----------
    x, y : array_like of quantity, shape (n,)
        Position east and north (m) on the survey's map.
    depth : array_like of quantity, shape (n,)
        Depth below the water surface (m), 0 or more.
    track : array_like of str, shape (n,), optional
        Name of the pass of the boat each belongs to; None if the file does not say.
    row : array_like of int, shape (n,), optional
        Row of the file each came from.
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

    Parameters
    ----------
    x, y : array_like of quantity, shape (k,)
        Position east and north (m), three points or more. The first is not repeated at the end.
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
    """Depths along lines whose place on the map is not known.

    Parameters
    ----------
    track : array_like of str, shape (n,)
        Name of the transect.
    distance : array_like of quantity, shape (n,)
        Distance (m) from the start of the transect.
    depth : array_like of quantity, shape (n,)
        Depth below the water surface (m).
    row : array_like of int, shape (n,), optional
        Row of the file each came from.
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
    """All that was read, and all that is doubtful.

    Parameters
    ----------
    soundings : Soundings or None
        None when only unplaced transects were given.
    shoreline : Shoreline or None
    transects : Transects or None
        Only for unplaced transects.
    origin : tuple of float or None
        Latitude and longitude (degrees) of x = 0, y = 0; None on a local grid.
    notes : tuple of str
        Doubts, in plain words.
    dropped : tuple of Dropped
        Row number as in the file, text of the row, reason.
    """

    soundings: Soundings | None
    shoreline: Shoreline | None = None
    transects: Transects | None = None
    origin: tuple | None = None
    notes: tuple = ()
    dropped: tuple = ()

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
        row = sheet.row[np.flatnonzero(wrong)[0]]
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
        raise FieldDataError(f"{sheet.name}: every depth is zero. Check that the right column is headed "
                             "'depth'.")


def _drop_too_deep(sheet, limit):
    depth = sheet.values["depth"]
    deep, used = doubts.too_deep(depth, limit)
    rule = "the depth_limit you set" if limit else "three times what all but the deepest few reach"
    sheet.drop(deep, lambda i: f"the depth, {length_text(depth[i])}, is beyond {length_text(used)}, {rule}; "
                               "perhaps the decimal point slipped")
    enough(sheet)


def _merge_repeats(sheet, x, y):
    """One row for each place: exact repeats go, different depths at one place are averaged."""
    same = doubts.first_of_same(sheet.values[x], sheet.values[y], sheet.values["depth"])
    row = sheet.row
    sheet.drop(same != np.arange(len(same)), lambda i: f"repeats row {row[same[i]]}: same place, same depth")
    place = doubts.places(sheet.values[x], sheet.values[y])
    count = np.bincount(place)
    if count.max() == 1:
        return enough(sheet)
    depth, row = sheet.values["depth"], sheet.row
    mean = np.bincount(place, depth) / count
    first = doubts.first_of_same(place)
    widest = float(np.max(np.abs(depth - mean[place])))
    example = np.flatnonzero(first != np.arange(len(first)))[0]
    sheet.notes.append(f"At {np.sum(count > 1)} places there are two or more different depths (rows "
                       f"{row[first[example]]} and {row[example]}, for one). Their average was used; the "
                       f"largest departure from it is {length_text(widest)}. Check those rows if that is "
                       "more than your line can miss by.")
    sheet.values["depth"] = mean[place]
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


def _read_unplaced(sheet, unit, shoreline, position_unit, stray_limit):
    """Survey of transects without a place on the map."""
    bank, origin = None, None
    if shoreline is not None:
        bank_sheet, origin = read_shoreline(shoreline, None, None, position_unit, stray_limit)
        bank = Shoreline.si(bank_sheet.values["x"], bank_sheet.values["y"])
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
    transects = Transects.si(track, sheet.values["distance"][order], depth, sheet.row[order])
    dropped = sorted(sheet.left_out) + sorted(bank_sheet.left_out if bank else ())
    return Survey(None, bank, transects, origin, tuple(notes), tuple(dropped))


@quantities(stray_limit="", depth_limit="m")
def read_survey(soundings, shoreline=None, depth_unit=None, position_unit=None, depths_are="downward",
                stray_limit=6.0, depth_limit=None):
    """Read soundings, and a shoreline if there is one, and say what is doubtful.

    Parameters
    ----------
    soundings, shoreline : pathlib.Path, open file, bytes or str
        CSV; a str is the text itself. Soundings as ``lat,lon,depth_ft``, ``x_ft,y_ft,depth_ft`` or
        ``transect,distance_ft,depth_ft``, the last with the ends of each transect in columns
        ``x0,y0,x1,y1`` or ``lat0,lon0,lat1,lon1`` if they are known. Shoreline as ``lat,lon`` or
        ``x_ft,y_ft`` in walking order. A ``track`` column is kept. Units in any usual form.
    depth_unit, position_unit : str, optional
        ``"ft"`` or ``"m"``, where the heading does not say.
    depths_are : {"downward", "upward"}, optional
        ``"upward"`` for files that give depths as negative numbers.
    stray_limit : float, optional
        A place this many times the median distance from the middle is left out; default 6.
    depth_limit : quantity, optional
        Deeper soundings are left out. Without it: see :func:`pondcalc.how_much_water.doubts.too_deep`.

    Returns
    -------
    Survey

    Raises
    ------
    FieldDataError
        If a fault would make every later number wrong, or fewer than three soundings are left.

    Notes
    -----
    Rows are tested in this order: readable, downward, placed, not stray, not too deep, inside the
    shoreline, not a repeat. A row is listed with the first test it fails.

    References
    ----------
    K. Merry and P. Bettinger, 2019, Smartphone GPS accuracy study in an urban environment, PLoS ONE
    14(7):e0219890 (7 to 13 m among buildings). Under open sky 4.9 m in 95 of 100 fixes is quoted
    second-hand from the GPS Standard Positioning Service Performance Standard, 5th ed., 2020.
    Estimating Average Depths of Ponds, 1983, Proc. SEAFWA (12 to 24 soundings on an S suffice).
    """
    if depths_are not in ("downward", "upward"):
        raise FieldDataError(f"depths_are={depths_are!r} is not known. Write depths_are='downward' for positive "
                             "depths, or 'upward' for negative ones.")
    if not stray_limit > 2:
        raise FieldDataError(f"stray_limit={stray_limit!r} would leave out good soundings: in a long pond the "
                             "ends lie twice the median distance out. Use a number above 2, usually 6.")
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
            _drop_too_deep(sheet, depth_limit)
            return _read_unplaced(sheet, unit, shoreline, position_unit, stray_limit)
        origin = place_transects(sheet, kind, position_unit)
    else:
        origin = positions(sheet, kind, position_unit, None)
    drop_stray(sheet, stray_limit)
    _drop_too_deep(sheet, depth_limit)
    bank, dropped, area = None, [], None
    if shoreline is not None:
        bank_sheet, _ = read_shoreline(shoreline, kind, origin, position_unit, stray_limit)
        bank = Shoreline.si(bank_sheet.values["x"], bank_sheet.values["y"])
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
    kept = Soundings.si(x, y, sheet.values["depth"], track, sheet.row)
    return Survey(kept, bank, None, origin, tuple(notes), tuple(sorted(sheet.left_out) + sorted(dropped)))


def left_out(survey):
    """One line for each row that was left out: its number, its text and why."""
    return [f"row {d.row} ({quoted(d.text)}): {d.reason}." for d in survey.dropped]


def report(survey, system="US", rows=8):
    """A few plain sentences about a survey: what there is, what was left out and why, what is doubtful.

    Parameters
    ----------
    survey : Survey
    system : {"US", "metric"}, optional
    rows : int, optional
        How many left-out rows to name; the rest are counted.
    """
    points = survey.soundings or survey.transects
    names = () if points.track is None else tuple(dict.fromkeys(name for name in points.track if name))
    word = "transect" if survey.soundings is None else "track"
    on = f" on {len(names)} {word}{'s' * (len(names) != 1)}" if names else ""
    lines = [f"{len(points)} soundings{on}. The deepest reads "
             f"{show(Q(float(points.depth.max()), 'm'), 'depth', system, both=True)}."]
    if survey.shoreline is not None:
        area = doubts.ring_area(survey.shoreline.x, survey.shoreline.y)
        lines.append(f"The shoreline has {len(survey.shoreline)} points and holds "
                     f"{show(Q(area, 'm2'), 'area', system, both=True)}.")
    left = len(survey.dropped)
    lines.append(f"{left or 'No'} row{'s were' if left != 1 else ' was'} left out{':' if left else '.'}")
    lines += [f"  {line}" for line in left_out(survey)[:rows]]
    if left > rows:
        lines.append(f"  and {left - rows} more, listed in {setting('dropped', 'survey.dropped')}.")
    return "\n".join(lines + [f"Note: {note}" for note in survey.notes])
