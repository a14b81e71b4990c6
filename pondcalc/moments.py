"""Which day and hour does a reader's date mean?

Year first is safe everywhere: ``2025-07-14 19:00``. With slashes the month comes first, as in the United
States; with points the day does, as in much of Europe. A date that only makes sense the other way round is
not passed over: it shows that the whole file may be meant the other way round.
"""

import datetime
import re

from .units import QuantityError
from .wording import quoted

__all__ = ["read_moment"]

_DAYS = ("%Y-%m-%d", "%Y/%m/%d", "%m/%d/%Y", "%m/%d/%y", "%d.%m.%Y")
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
        raise QuantityError(f"The time {quoted(text)} is in world time (UTC) or names a time zone. Export the file in "
                            "clock time at the pond, or change the hours to that and leave the ending off.")
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
