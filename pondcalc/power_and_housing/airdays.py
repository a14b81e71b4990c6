"""How many days a year does the air run, by what workbook 07 saved?"""

import datetime
from typing import Any, NamedTuple

from ..units import DAY

__all__ = ["ALL_YEAR", "AirDays", "air_days"]

ALL_YEAR = 365


class AirDays(NamedTuple):
    """Days of air in a year, and the season in words, or empty where none was saved.

    `count` is None where the season was written in a way that cannot be counted. `winter_too` is True where the air
    goes on in winter, so that it runs all year.
    """

    count: Any
    season: str
    winter_too: bool

    @property
    def running(self):
        """Days to reckon costs for: the season, or all year where it is not known or winter is no pause."""
        return ALL_YEAR if self.winter_too or self.count is None else self.count

    @property
    def seconds(self):
        """The same in s."""
        return self.running * DAY

    @property
    def words(self):
        """Which days are counted, for a sentence about costs."""
        if self.winter_too:
            return "all year, with air in winter too [07]"
        if self.count is None:
            return "all year, since no months with air are saved [07]"
        return f"{self.season}, {self.count} days a year [07]"


def air_days(pond):
    """Days of air of a pond record."""
    ends = [pond.get("year", key) for key in ("air_from", "air_to")]
    winter = (pond.get("year", "winter") or "").startswith("air")
    if None in ends:
        return AirDays(None, "", winter)
    try:
        first, last = (datetime.datetime.strptime(f"{end} 2025", "%b %d %Y").timetuple().tm_yday for end in ends)
    except ValueError:                  # written by hand in another way
        return AirDays(None, " to ".join(ends), winter)
    return AirDays((last - first) % ALL_YEAR + 1, " to ".join(ends), winter)
