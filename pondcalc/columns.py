"""What does a column of readings hold: oxygen or which temperature, in what unit, on which day and hour?

A meter's own file has several columns that look alike: oxygen in percent beside oxygen in mg/L, the air beside the
water, the probe's own temperature. A heading's unit is looked for in one place, so that every reader takes, turns into
mg/L, or refuses the same ones.

Of dates, year first is safe everywhere: ``2025-07-14 19:00``. With slashes the month comes first, as in the United
States; with points the day does, as in much of Europe. A date that only makes sense the other way round is not passed
over: it shows that the whole file may be meant so. A whole column may show it as well: readings of one night, read the
wrong way, lie a month apart.
"""

import datetime
import functools
import math
import re
import unicodedata

import numpy as np

from .spellings import ABSOLUTE, either, quoted
from .units import Quantity, QuantityError, absolute_words, fits, parse_unit, to_display, unit_label
from .water import ATMOSPHERE, OXYGEN_MOLAR_MASS, oxygen_saturation

# month names as they begin, in English
_MONTHS = {name: at for at, name in enumerate("JAN FEB MAR APR MAY JUN JUL AUG SEP OCT NOV DEC".split(), 1)}
_DAY = re.compile(r"(?P<y>\d{4})([-/])(?P<m>\d\d?)\2(?P<d>\d\d?)|(?P<m1>\d\d?)/(?P<d1>\d\d?)/(?P<y1>\d{4}|\d\d)|"
                  r"(?P<d2>\d\d?)\.(?P<m2>\d\d?)\.(?P<y2>\d{4})|"
                  r"(?P<d3>\d\d?)[ -](?P<n3>[A-Z]{3,9})\.?,?[ -](?P<y3>\d{4}|\d\d)|"
                  r"(?P<n4>[A-Z]{3,9})\.? (?P<d4>\d\d?),? (?P<y4>\d{4})")
_CLOCK = re.compile(r"(\d\d?):(\d\d?)(?::(\d\d?)(?:\.(\d{1,6})\d*)?)? ?([AP]M)?|(\d\d?) ?([AP]M)")
_MILITARY = re.compile(r"(\d\d)(\d\d)(?: ?H(?:RS|OURS)?)?")           # 1930, behind a date only
_SLASHED = re.compile(r"\s*(\d{1,2})/(\d{1,2})/\d{2,4}")
_CLEARLY = 10                                   # times shorter and the other order is meant; our choice
EARLIEST = 1990                                 # year before which the clock of a meter was hardly set; our choice


def read_moment(text):
    """Date and time that a text means.

    text: Such as ``2025-07-14 19:00``, ``7/14/2025 7:00 PM``, ``2025-07-14`` or ``7:00 PM``.
    Returns: datetime.datetime or None: A date alone is its midnight; a time of day alone is in year 1. None where it
        is neither.
    Raises QuantityError: If the date is written with slashes and can only be meant day first, or in world time: the
        day and the night of a pond go by its own clock.
    """
    tidy = " ".join(text.upper().split()).replace("A.M.", "AM").replace("P.M.", "PM")
    if ":" in tidy and _ZONE.search(tidy):
        raise QuantityError(_world_words(f"The time {quoted(text)}"))
    found = _DAY.match(tidy)
    rest = tidy[found.end():] if found else tidy
    if found and rest and rest[0] not in " ,T":
        return None
    if not (found or rest):
        return None
    day = found and _day(found[0])
    clock = _hour(rest.lstrip(" ,T"), bool(found)) if rest else (0, 0, 0, 0)
    if clock is None or found and (day is None or day.year < 1900):
        return None
    hour, *small = clock
    if hour == 24 and not any(small):           # midnight at the end of the day
        day, hour = (day or datetime.datetime(1, 1, 1)) + datetime.timedelta(days=bool(found)), 0
    try:
        return (day or datetime.datetime(1, 1, 1)).replace(hour=hour, minute=small[0], second=small[1],
                                                            microsecond=small[2])
    except ValueError:
        return None


_ZONE = re.compile(r"\d(?:Z|[-+]\d\d:?\d\d| ?UTC)$")


@functools.lru_cache(4096)
def _day(text):
    """Midnight of a date, or None where there is no such day."""
    found = _DAY.match(text)
    given = found.groupdict()
    year, month, day = (next(given[key] for key in keys if given.get(key)) for keys in (
        ("y", "y1", "y2", "y3", "y4"), ("m", "m1", "m2", "n3", "n4"), ("d", "d1", "d2", "d3", "d4")))
    year = int(year) + (0 if len(year) == 4 else 2000 if int(year) < 69 else 1900)
    month, day = int(month) if month.isdigit() else _MONTHS.get(month[:3], 0), int(day)
    try:
        return datetime.datetime(year, month, day)
    except ValueError:
        if found["m1"] and 1 <= day <= 12 < month <= 31:
            raise QuantityError(f"The date {quoted(text)} has the day first, and with slashes this set "
                                f"reads the month first. Write the year first in every row, such as {year}-{day:02d}-"
                                f"{month:02d}.") from None
        return None


@functools.lru_cache(4096)
def _hour(text, dated):
    """Hour, minute, second and microsecond of a time of day, or None."""
    found = _CLOCK.fullmatch(text)
    if not found:
        found = dated and _MILITARY.fullmatch(text)
        return (int(found[1]), int(found[2]), 0, 0) if found else None
    hour, half = int(found[1] or found[6]), found[5] or found[7]
    if half and not 1 <= hour <= 12:
        return None
    small = int(found[2] or 0), int(found[3] or 0), int((found[4] or "").ljust(6, "0"))
    return (hour % 12 + 12 * (half == "PM") if half else hour, *small)


def _world_words(what):
    return (f"{what} is in world time (UTC) or names a time zone. Export the file in clock time at the pond, or change "
            "the hours to that and leave the ending off.")


def refuse_world_time(heading):
    """Refuse a column whose heading says world time; an offset, as in ``GMT-05:00``, makes it a clock's time again.

    Raises QuantityError.
    """
    if re.search(r"\b(?:utc|gmt|zulu)\b(?! ?[-+] ?0?[1-9])", heading.replace("_", " "), re.IGNORECASE):
        raise QuantityError(_world_words(f"The column {quoted(heading)}"))


def read_moments(texts):
    """Dates and times of a whole column, and notes on how its dates were taken.

    Where every date with slashes could be meant either way, the order that brings the readings close together
    holds: the hours of one night lie a month apart when day and month change places.

    texts (list of str).
    Returns: tuple of (list, list of str): As :func:`read_moment` for each text; and notes.
    Raises QuantityError: As :func:`read_moment`, or if a date is more than a year ahead.
    """
    found, notes = [read_moment(text) for text in texts], []
    dates = [moment for moment in found if moment is not None and moment.year > 1]
    ahead = next(((text, moment) for text, moment in zip(texts, found, strict=True) if moment is not None
                  and moment.date() > datetime.date.today() + datetime.timedelta(days=366)), None)
    if ahead:
        raise QuantityError(f"The date {quoted(ahead[0])} is {ahead[1]:%B} {ahead[1].day}, {ahead[1].year}, which is "
                            "still to come. Check the year in every row.")
    order = [_SLASHED.match(text) for text in texts]
    either = [bool(match) and max(int(match[1]), int(match[2])) <= 12 for match in order]
    turns = [at for at, match in enumerate(order) if match and match[1] != match[2]]
    if turns and all(either[at] for at in turns):
        first = turns[0]
        swapped = [moment.replace(month=moment.day, day=moment.month) if either[at] and moment is not None else moment
                   for at, moment in enumerate(found)]
        here, there = (_spread(series) for series in (found, swapped))
        year = found[first].year
        if _CLEARLY * there < here and not _through_a_night(swapped):
            raise QuantityError(f"The dates may have the month first or the day first: {quoted(texts[first])} may be "
                                f"{found[first]:%B} {found[first].day} or {swapped[first]:%B} {swapped[first].day}, "
                                f"{year}, and with the day first the readings would lie much closer together. Write "
                                f"the year first in every row, such as {found[first]:%Y-%m-%d}.")
        if _CLEARLY * there < here:
            found, dates = swapped, [moment for moment in swapped if moment is not None and moment.year > 1]
            notes.append(f"The dates were read with the day first, {quoted(texts[first])} as {found[first]:%B} "
                         f"{found[first].day}, {year}: so the readings follow each other closely, and with the month "
                         "first they would lie weeks apart. If that is wrong, write the year first in every row.")
        else:
            notes.append(f"The month stands first in dates with slashes: {texts[first]} is read as {found[first]:%B} "
                         f"{found[first].day}, {year}. If you put the day first, write "
                         f"{year}-{swapped[first].month:02d}-{swapped[first].day:02d} and the like.")
    if dates and min(dates).year < EARLIEST:
        notes.append(f"The first date is {min(dates):%Y-%m-%d}. If that is not when it was read, the clock of the "
                     "meter was not set; mend the dates.")
    if dates and max(dates).date() > datetime.date.today() + datetime.timedelta(days=1):
        notes.append(f"The last date, {max(dates):%Y-%m-%d}, is still to come. Check the year.")
    return found, notes


def _through_a_night(moments):
    """Whether two readings in a row lie hours apart on two dates, as they do in one night."""
    dates = [moment for moment in moments if moment is not None and moment.year > 1]
    return any(0 < (later - earlier).total_seconds() < 20 * 3600 and later.date() != earlier.date()
               for earlier, later in zip(dates, dates[1:], strict=False))


def _spread(moments):
    """Days from the first to the last moment, and a great deal more if they go back in between."""
    dates = [moment for moment in moments if moment is not None and moment.year > 1]
    back = any(later < earlier for earlier, later in zip(dates, dates[1:], strict=False))
    return (max(dates) - min(dates)).total_seconds() / 86400 * (100 if back else 1)


MG_PER_L = "mg/L"
# mg/L in one of each. 1 mL of oxygen at 0 C and 1 atm is 31.9988 g/mol over 22.391 L/mol (Weiss 1970), 1.429 mg.
ONE = {MG_PER_L: 1.0, "mL/L": OXYGEN_MOLAR_MASS / 22.391, "umol/L": OXYGEN_MOLAR_MASS / 1000,
       "mmol/L": OXYGEN_MOLAR_MASS, "ug/L": 1e-3}
TWICE = 2.0                 # times saturation: oxygen beyond it is doubted; our choice
SHARE_NOT_PERCENT = 1.5     # a whole column of percent below this holds shares of one, such as 0.85; our choice
ALL_BELOW = 25.0            # a column that passes this in a fifth of its rows is hardly mg/L; our choice

_SPELLED = {MG_PER_L: "mg/l mgl mg/l-1 mgl-1 mg/liter mg/litre mgperl mgperliter milligrams/liter ppm g/m3 gm-3 mg/lo2 "
                      "mgo2/l",
            "%": "% %sat %saturation sat% saturation% percent percentsat percentsaturation pct pctsat satpct sat "
                 "saturation %airsat %airsaturation airsat airsaturation %as %l %local percentairsat %sato2",
            "mL/L": "ml/l mll-1 mll ml/liter ml/litre cc/l mlo2/l",
            "umol/L": "umol/l umoll-1 umoll um umol/dm3 umoldm-3 mmol/m3 mmolm-3 micromol/l micromoles/l",
            "mmol/L": "mmol/l mmoll-1 mmoll mm", "ug/L": "ug/l ugl ugl-1 ppb mg/m3 mgm-3 microg/l"}
_UNIT = {word: unit for unit, words in _SPELLED.items() for word in words.split()}
_OXYGEN = {"do", "oxygen", "o2", "odo", "ldo", "rdo", "hdo", "oxy"}
# a heading with one of these words holds something else, though oxygen is named in it
_NO_OXYGEN = re.compile(r"\b(temp\w*|demand|bod5?|cod|uptake|rate|use|consum\w*|deficit|press\w*|salinity|gain|"
                        r"charge|cap|solids|carbon|flag|quality|status|error|sd|std|battery|serial|partial|tension|"
                        r"volts?|mv|raw|probe id)\b")
_WHERE = re.compile(r"\b(time|date|depth)\b")      # and these, unless they say its unit as well
_BRACKET = re.compile(r"[(\[{]\s*([^)\]}]*?)\s*[)\]}]")
_PERCENT = re.compile(r"%|\bsat|\bpercent|\bpct")
_AIR = re.compile(r"\b(air|ambient|outside|outdoor|shade)\b")
_OTHER = re.compile(r"\b(room|indoor|inside|weather|dew\w*|wet bulb|soil|ground|feels|apparent|heat "
                    r"index|wind\w*|chill)\b")
_INSIDE = re.compile(r"\b(probe|sensor|do|odo|ldo|rdo|oxygen|o2|ph|logger|board|internal|battery|case|meter|cabinet|"
                     r"box|conductivity|turbidity)\b")
_WATER = re.compile(r"\b(water|pond|lake|tub|surface|bottom|top|deep)\b")


def _plain(heading):
    """A heading in lower case, with plain letters for odd signs and blanks for underscores."""
    text = re.sub(r"(?<=[a-z]{3})(?=[A-Z])", " ", unicodedata.normalize("NFKC", heading))       # tempF, DissolvedOxygen
    text = text.lower().replace("d.o.", "do").replace("μ", "u").replace("−", "-")
    return re.sub(r"[\s_]+", " ", text).strip()


def _words(heading):
    return re.findall(r"[^\W_]+", _plain(heading))


def tokens(heading):
    """Words and numbers of a heading in lower case, with blanks between: ``"Depth_ft"`` as ``"depth ft"``."""
    return " ".join(re.findall(r"[^\W\d_]+|\d+", _plain(heading)))


def unit_word(word):
    """Unit of oxygen that a word is, or None."""
    text = _plain(word).replace("·", "").replace("*", "").replace("^", "").replace(" per ", "/").replace(" ", "")
    return _UNIT.get(text.strip("."))


def unit_in(heading, wanted, name):
    """Unit of a kind that a heading names, as in ``depth (ft)``, ``depth_ft``, ``Depth in feet`` or ``tempF``.

    heading (str).
    wanted: A unit it must be convertible into.
    name: What the column holds, for the words.
    Returns: str or None: None if it names none, or several.
    Raises QuantityError: If it names, in brackets, one that measures something else, or an absolute pressure.
    """
    if ABSOLUTE.search(heading) and fits(Quantity(1.0, wanted), "pascal"):
        raise QuantityError(f"In the heading, {absolute_words(heading)}")
    inside = _BRACKET.findall(heading)
    for text in inside:
        unit = _known(text)
        if unit and not fits(Quantity(1.0, unit), wanted):
            raise QuantityError(f"The column {quoted(heading, 40)} is in {unit_label(unit)}, which does not measure "
                                f"{name}. Check the heading.")
        if unit:
            return unit
    units = _units_among(" ".join(inside), wanted) or _units_among(_BRACKET.sub(" ", heading), wanted)
    return units.pop() if len(units) == 1 else None


def _units_among(text, wanted):
    """Units of a kind among the words of a text; in "depth in feet" the first is none."""
    text = re.sub(r"(?<=[a-z]{3})(?=[A-Z])", " ", unicodedata.normalize("NFKC", text))
    words = [*re.split(r"[\s_,;:]+", text), *(text.split("/") if text.count("/") == 1 else ())]
    found = {}
    for word in [*map(" ".join, zip(words, words[1:], strict=False)), *words]:
        unit = _known(word)
        if unit and fits(Quantity(1.0, unit), wanted) and not any(word in other.split() for other in found):
            found[word] = unit
    if len(found) > 1 and next(iter(found)).lower() == "in":
        del found[next(iter(found))]
    return set(found.values())


@functools.cache
def _known(word):
    """Unit that a word or two are, or None; not a number with a unit."""
    try:
        return parse_unit(word) if word and not word[0].isdigit() else None
    except QuantityError:
        return None


def is_oxygen(heading):
    """Whether a heading names the oxygen dissolved in the water, in any unit."""
    if _WHERE.search(_plain(heading)) and not re.search(r"mg.?l\b|ppm|%|\bsat", _plain(heading)):
        return False
    return not _NO_OXYGEN.search(_plain(heading)) and bool(
        _OXYGEN & set(_words(heading)) or re.match(r"(dissolved|conc\w*)( ?[,(\[]? ?mg.?l|$)", _plain(heading))
        or "%" in heading and re.search(r"\bsat", _plain(heading)))


def oxygen_unit(heading):
    """Unit of oxygen that a heading names: a key of :data:`ONE`, ``"%"``, or None where it names none.

    Raises QuantityError: If it names a unit that cannot be turned into mg/L.
    """
    text = _plain(heading)
    inside = _BRACKET.search(text)
    parts = []
    for rest in (_BRACKET.sub(" ", text), inside[1]) if inside else (text,):
        ours = [part.strip(".") for part in re.split(r"[ ,;:]+", re.sub(r"[·*^]", "", rest).replace(" per ", "/"))]
        parts = [part for part in ours if part and part not in _OXYGEN | {"dissolved"}]
        runs = ("".join(parts[at:at + size]) for size in range(len(parts), 0, -1)
                for at in range(len(parts) - size + 1))
        found = next((_UNIT[run] for run in runs if run in _UNIT and not (_UNIT[run] == "%" and inside)), None)
        if found and found != "%" and _PERCENT.search(text):
            raise QuantityError(f"The heading {quoted(heading)} names both saturation and {found}. If the numbers are "
                                "oxygen readings, write it as 'DO (mg/L)' or 'DO (%)'; if they are what the water "
                                "could hold, leave the column out.")
        if found:
            return found
    if _PERCENT.search(text):
        return "%"
    odd = next((part for part in parts if _is_unit(part, bool(inside))), None)
    if odd is not None:
        raise QuantityError(f"The heading {quoted(heading)} gives oxygen in {quoted(odd)}, which cannot be turned into "
                            "mg/L here. Set the meter to mg/L or percent of saturation, or write the heading of that "
                            "column as 'DO (mg/L)' if its numbers are mg/L.")
    return None


def _is_unit(word, in_brackets):
    """Whether a word of a heading must be a unit: known as one, with a slash, or a lone word in brackets."""
    if "/" in word or re.fullmatch(r"[hkm]?pa|m?bar|torr|mmhg|inhg|atm|psi|ppt|[nmu]?mol\S*|mg|ug|m[va]|fraction|ratio|"
                                   r"counts?", word):
        return True
    if not in_brackets:
        return False
    try:
        parse_unit(word)
    except QuantityError:
        return len(word) <= 3
    return True


def pick_oxygen(headings):
    """Place of the oxygen column among headings, its unit, and notes; None where no heading names oxygen.

    One in mg/L goes before one without a unit, that before one to be turned into mg/L, and percent comes last.

    headings (list of str).
    Raises QuantityError: If the only oxygen columns are in units that cannot be turned into mg/L, or two give mg/L.
    """
    ranked, refused, notes = [], None, []
    for place, heading in enumerate(headings):
        if not is_oxygen(heading):
            if "oxygen" in _words(heading) and not is_temperature(heading):
                notes.append(f"The column {quoted(heading, 40)} was left out: it does not read as oxygen in the water.")
            continue
        try:
            unit = oxygen_unit(heading)
        except QuantityError as problem:
            refused = refused or problem
            continue
        ranked.append(({MG_PER_L: 0, None: 1, "%": 3}.get(unit, 2), place, unit))
    if not ranked:
        if refused:
            raise refused
        return None, None, notes
    ranked.sort()
    rank, place, unit = ranked[0]
    alike = [other for _, other, its in ranked[1:] if its == unit]
    if alike:
        raise QuantityError(f"Two columns look like oxygen: {quoted(headings[place])} and "
                            f"{quoted(headings[alike[0]])}. Rename or take out one of them.")
    if len(ranked) > 1:
        others = ", ".join(quoted(headings[other], 30) for _, other, _ in ranked[1:4])
        notes.append(f"Oxygen was taken from the column {quoted(headings[place], 30)}; {others} was left out.")
    return place, unit, notes


def is_temperature(heading):
    """Whether a heading names a temperature, of whatever it is."""
    inside = _BRACKET.search(heading)
    unit = _known(inside[1]) if inside else None
    if unit and not fits(Quantity(1.0, unit), "degree_Celsius") and re.match(r"t\b", _plain(heading)):
        return False                            # t (min) is a time
    return bool(re.search(r"\b(temp|temps|temperature|temperatures|t)\b", _plain(heading))) or bool(
        re.fullmatch(r"water[ ,]*[(\[]? ?(°? ?[fc]|deg ?[fc]|fahrenheit|celsius) ?[)\]]?", _plain(heading)))


def pick_temperature(headings, of="water"):
    """Place of the column with the temperature of the water, or of the air, and notes; None where there is none.

    A column that names it goes before one that names nothing, and that before the one of a probe. The air's is
    never taken for the water's, nor the water's for the air's.

    headings (list of str), of ({"water", "air"}).
    """
    mine, other = (_WATER, _AIR) if of == "water" else (_AIR, _WATER)
    ranked, left = [], []
    for place, heading in enumerate(headings):
        text = _plain(heading)
        if not is_temperature(heading):
            continue
        if _OTHER.search(text) or other.search(text) and (of == "water" or not mine.search(text)):
            left.append(heading)
        else:
            ranked.append((0 if mine.search(text) else 2 if _INSIDE.search(text) else 1, place))
    ranked.sort()
    if not ranked:
        return None, [f"The column {quoted(heading, 30)} was left out: it is not the temperature of the {of}."
                      for heading in left]
    others = [*(headings[place] for _, place in ranked[1:3]), *left[:2]]
    notes = [f"The temperature of the {of} was taken from the column {quoted(headings[ranked[0][1]], 30)}; "
             f"{', '.join(quoted(heading, 30) for heading in others)} was left out."] if others else []
    return ranked[0][1], notes


_DAY_HEADING, _CLOCK_HEADING = r"\b(date|day)\b", r"\b(date ?time|time ?stamp|time|when|clock|hour)\b"
_NO_CLOCK = r"\b(run|meter|elapsed|total|since|zone|planned|light|residence)\b"


def pick_moment(headings, cells, hours=True):
    """Date and hour of each row as text, joined where they stand in two columns; the heading; and notes.

    headings (list of str).
    cells (list of array of str): The columns beneath them.
    hours: False where the day is all that is wanted.
    Returns: tuple or None: None where no heading names a date or a time.
    """
    said = ["" if is_oxygen(heading) or is_temperature(heading) else tokens(heading) for heading in headings]
    days = [place for place, words in enumerate(said) if re.search(_DAY_HEADING, words)]
    clocks = [place for place, words in enumerate(said)
              if re.search(_CLOCK_HEADING, words) and not re.search(_NO_CLOCK, words)]
    both = [place for place in clocks if place in days or re.search("date ?time|time ?stamp", said[place])]
    parts = both[:1] or days[:1] + [place for place in clocks if place not in days][:1]
    parts = parts if hours else parts[:1]
    first = [next((cell for cell in cells[place] if cell.strip()), "") for place in parts]
    if len(parts) == 2 and (re.search(r"\b\d{1,4}[-/.]\d{1,2}[-/.]\d", first[1]) or ":" in first[0]):
        parts = parts[:1] if ":" in first[0] else parts[1:]         # one of them holds both
    if not parts:
        return None
    parts += [place for place, words in enumerate(said) if words == "am pm" and hours]
    for place in parts:
        refuse_world_time(headings[place])
    alike = [quoted(headings[place], 30) for place in clocks if place not in parts and hours]
    notes = [f"The time was taken from the column {quoted(headings[parts[-1]], 30)}; {', '.join(alike[:3])} was left "
             "out."] if alike else []
    texts = [cells[place] for place in parts]
    if len(parts) == 2 and re.search(r"\bhour\b", said[parts[1]]):       # whole hours, 0 to 23
        texts[1] = [re.sub(r"^\s*(\d{1,2})(?:[.,]0+)?\s*$", r"\1:00", text) for text in texts[1]]
    joined = [" ".join(filter(None, map(str.strip, row))) for row in zip(*texts, strict=True)]
    return np.array(joined, object), headings[parts[-1]], notes


def in_mg_per_liter(values, unit, water, heading, deep):
    """Oxygen readings in mg/L, whatever unit they were written in, and notes that say what was done.

    values: As written; not-a-number where none was.
    unit (str or None): As from :func:`oxygen_unit`; None is taken for mg/L.
    water (Water): With a temperature for each reading; used for percent.
    heading: What the column is called, for the words.
    deep: True for readings near the bottom only, where a whole column of percent may be near 0.
    Raises QuantityError: If percent comes without a temperature, or looks like shares of one; or bare numbers look
        like percent.

    A row of percent without a temperature becomes not-a-number.
    References: R. F. Weiss, 1970, The solubility of nitrogen, oxygen and argon in water and seawater, Deep-Sea
        Research 17:721-735 (1 mL of oxygen is 1.429 mg). Saturation: see :func:`pondcalc.water.oxygen_saturation`.
    """
    values = np.asarray(values, float)
    most = float(np.nanmax(values, initial=-math.inf, where=np.isfinite(values)))
    named = quoted(heading, 40)
    if unit in (None, MG_PER_L):
        if most > ALL_BELOW and np.mean(values[np.isfinite(values)] > ALL_BELOW) > 0.2:
            raise QuantityError(f"Oxygen in the column {named} goes up to {most:g}, outside what a pond holds, 0 to "
                                "about 25 mg/L. If that is percent saturation, write '%' into the heading, as in 'DO "
                                "(%)', or set the meter to mg/L.")
        return values, [f"The heading {named} names no unit, so its numbers were read as mg/L. Check that the meter "
                        "was not set to percent."] if unit is None else []
    if unit != "%":
        return values * ONE[unit], [f"Oxygen in {unit} ({named}) was turned into mg/L: 1 {unit} is {ONE[unit]:.4g} "
                                    "mg/L."]
    if 0 < most <= SHARE_NOT_PERCENT and not deep:
        raise QuantityError(f"Oxygen in the column {named} is in percent saturation, but its numbers go only up to "
                            f"{most:g}. If 0.85 means 85 %, write it as 85; or set the meter to mg/L.")
    temperature = np.asarray(water.temperature, float)
    if not np.isfinite(temperature).any():
        raise QuantityError(f"Oxygen in the column {named} is in percent saturation, and without the temperature of "
                            "the water in the same row it cannot be turned into mg/L. Add that column, or set the "
                            "meter to mg/L.")
    if most > 300:
        raise QuantityError(f"Oxygen in the column {named} goes up to {most:g} % saturation; ponds reach about 250 %. "
                            "Check the numbers, and the unit in the heading.")
    there = np.where((temperature > -1) & (temperature < 45), temperature, math.nan)
    held = water.at(np.clip(there, 0.0, 40.0)).saturation
    where = "the air pressure at sea level; higher up it is less" \
        if water.pressure_absolute == ATMOSPHERE else \
        "the air pressure at your pond " + either(
            f"{to_display(water.pressure_absolute, 'pressure', 'Pa'):.1f} psi",
            f"{water.pressure_absolute / 1000:.0f} kPa")
    return values / 100 * held, [f"Oxygen in percent saturation ({named}) was turned into mg/L with the temperature of "
                                 f"each row and {where}. A reading in mg/L is surer."]


def doubt_of(oxygen, temperature):
    """A sentence when oxygen (mg/L) is far more than water of this temperature (C) holds under open air; else None.

    Twice as much is seen in thick green water late on a sunny day, hardly elsewhere; common practice, no source.
    """
    oxygen, temperature = np.asarray(oxygen, float), np.asarray(temperature, float)
    known = np.isfinite(oxygen) & (temperature > -1) & (temperature < 45)
    held = oxygen_saturation(np.clip(temperature[known], 0.0, 40.0))
    over = oxygen[known] / held
    if not len(over) or over.max() <= TWICE:
        return None
    worst = int(np.argmax(over))
    warm = temperature[known][worst]
    return (f"Oxygen of {oxygen[known][worst]:.3g} mg/L at {either(f'{warm * 1.8 + 32:.0f} °F', f'{warm:.0f} °C')} is "
            f"{over[worst]:.1f} times what water holds under open air. Thick green water does that late on a sunny "
            "day; else check that the meter was set to mg/L and that no two columns changed places.")
