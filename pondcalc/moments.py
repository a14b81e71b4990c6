"""Which day and hour does a reader's date mean?

Year first is safe everywhere: ``2025-07-14 19:00``. With slashes the month comes first, as in the United
States; with points the day does, as in much of Europe. A date that only makes sense the other way round is
not passed over: it shows that the whole file may be meant the other way round. A whole column may show it as
well: readings of one night, read the wrong way, lie a month apart.
"""

import datetime
import functools
import re

from .units import QuantityError
from .wording import quoted

__all__ = ["read_moment", "read_moments", "refuse_world_time"]

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

    Parameters
    ----------
    text : str
        Such as ``2025-07-14 19:00``, ``7/14/2025 7:00 PM``, ``2025-07-14`` or ``7:00 PM``.

    Returns
    -------
    datetime.datetime or None
        A date alone is its midnight; a time of day alone is in year 1. None where it is neither.

    Raises
    ------
    QuantityError
        If the date is written with slashes and can only be meant day first, or in world time: the day and the
        night of a pond go by its own clock.
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

    Raises
    ------
    QuantityError
    """
    if re.search(r"\b(?:utc|gmt|zulu)\b(?! ?[-+] ?0?[1-9])", heading.replace("_", " "), re.IGNORECASE):
        raise QuantityError(_world_words(f"The column {quoted(heading)}"))


def read_moments(texts):
    """Dates and times of a whole column, and notes on how its dates were taken.

    Where every date with slashes could be meant either way, the order that brings the readings close together
    holds: the hours of one night lie a month apart when day and month change places.

    Parameters
    ----------
    texts : list of str

    Returns
    -------
    tuple of (list, list of str)
        As :func:`read_moment` for each text; and notes.

    Raises
    ------
    QuantityError
        As :func:`read_moment`, or if a date is more than a year ahead.
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
