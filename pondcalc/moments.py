"""Which day and hour does a reader's date mean?

Year first is safe everywhere: ``2025-07-14 19:00``. With slashes the month comes first, as in the United
States; with points the day does, as in much of Europe. A date that only makes sense the other way round is
not passed over: it shows that the whole file may be meant the other way round. A whole column may show it as
well: readings of one night, read the wrong way, lie a month apart.
"""

import datetime
import re

from .units import QuantityError
from .wording import quoted

__all__ = ["read_moment", "read_moments", "refuse_world_time"]

_DAYS = ("%Y-%m-%d", "%Y/%m/%d", "%m/%d/%Y", "%m/%d/%y", "%d.%m.%Y")
_SLASHED = re.compile(r"\s*(\d{1,2})/(\d{1,2})/\d{2,4}")
_CLEARLY = 10                                   # times shorter and the other order is meant; our choice
EARLIEST = 1990                                 # year before which the clock of a meter was hardly set; our choice
_HOURS = ("%H:%M", "%H:%M:%S", "%H:%M:%S.%f", "%I:%M %p", "%I:%M:%S %p", "%I %p")


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
    tidy = re.sub(r"\s+", " ", text.strip().upper()).replace("A.M.", "AM").replace("P.M.", "PM")
    if re.search(r"\d(?:Z|[-+]\d\d:?\d\d| ?UTC)$", tidy) and ":" in tidy:
        raise QuantityError(_world_words(f"The time {quoted(text)}"))
    tidy = re.sub(r"(?<=\d)(AM|PM)$", r" \1", tidy)
    tidy = re.sub(r"^(\d{4}-\d\d-\d\d)T(?=\d)", r"\1 ", tidy)
    first, _, rest = tidy.partition(" ")
    day = _first_that_fits(first, _DAYS)
    if day is None and re.fullmatch(r"\d{1,2}/\d{1,2}/\d{2,4}", first):
        swapped = re.sub(r"^(\d+)/(\d+)", r"\2/\1", first)
        turned = _first_that_fits(swapped, _DAYS)
        if turned is not None:
            raise QuantityError(f"The date {quoted(first)} has the day first, and with slashes this set reads the "
                                f"month first. Write the year first in every row, such as {turned:%Y-%m-%d}.")
    if day is not None and day.year < 1900:
        return None
    if day is None:
        clock = _first_that_fits(tidy, _HOURS)
        return clock and clock.replace(year=1, month=1, day=1)
    clock = _first_that_fits(rest, _HOURS) if rest else day
    return clock and day.replace(hour=clock.hour, minute=clock.minute, second=clock.second)


def _first_that_fits(text, forms):
    for form in forms:
        try:
            return datetime.datetime.strptime(text, form)
        except ValueError:
            continue
    return None


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
