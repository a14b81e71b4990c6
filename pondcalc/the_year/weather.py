"""What weather does the pond get?

A plain climate of smooth waves (year, day and passing fronts) made from latitude and elevation, or the learner's own
weather read from a file, either way hour by hour. Hours are solar time: noon is when the sun stands highest.
"""

import datetime
import math
import warnings
from typing import Any, NamedTuple

import numpy as np

from .. import air, water
from ..refusals import Caution
from ..spellings import say_left_out
from ..tables import Column, read
from ..textfiles import FieldDataError
from ..units import QuantityError, quantities, record


@record(latitude="degree", elevation="m", mean_temperature="degC", yearly_swing="delta_degC",
        daily_swing="delta_degC", front_swing="delta_degC", wind_speed="m/s")
class Climate:
    """A smooth climate: waves of a year, a day and a passing front.

    latitude, elevation (quantity): Degrees, north positive, between -60 and 60; above sea level.
    mean_temperature (quantity): Mean air temperature of the year.
    yearly_swing (quantity): Half the difference between the warmest and the coldest time of the year.
    daily_swing (quantity): Half the difference between afternoon and dawn, default 6 C (11 F).
    front_swing (quantity): Half the difference between warm and cold spells, default 3 C; one passes every six days.
    wind_speed (quantity): Mean wind at an open station, 10 m high, default 3.5 m/s (8 mph).
    humidity: Mean relative humidity, a share, default 0.68.
    cloud: Mean share of the sky covered, default 0.5.
    """

    latitude: Any
    elevation: Any
    mean_temperature: Any
    yearly_swing: Any
    daily_swing: Any = 6.0
    front_swing: Any = 3.0
    wind_speed: Any = 3.5
    humidity: float = 0.68
    cloud: float = 0.5

    def check(self):
        """Refuse a climate that no pond has."""
        if not -60 <= self.latitude <= 60:
            raise QuantityError(f"Latitude is {self.latitude:g} degrees; this set knows -60 to 60.")
        if not -10 <= self.mean_temperature <= 35 or self.yearly_swing < 0:
            raise QuantityError(f"A mean air temperature of {self.mean_temperature:.1f} °C with a swing of "
                                f"{self.yearly_swing:.1f} C° is not a place with ponds. Check °F against °C.")
        if self.wind_speed < 0 or not 0 < self.humidity <= 1 or not 0 <= self.cloud <= 1:
            raise QuantityError("Wind is zero or more; humidity and cloud are shares between 0 and 1.")


    @property
    def warmest(self):
        """Day of the year that is warmest: about 20 July, south of the equator half a year later."""
        return 201 if self.latitude >= 0 else 18.5

    def mean_on(self, day):
        """Mean air temperature (degC) of days of the year, as the year's smooth wave gives it."""
        return self.mean_temperature + self.yearly_swing * np.cos(2 * np.pi * (day - self.warmest) / 365)


class Weather(NamedTuple):
    """Weather hour by hour, or in other even steps (SI): what the surface of the pond is dealt."""

    hour: np.ndarray                # middle of each step, from the start of the year
    air_temperature: np.ndarray     # degC
    vapor_pressure: np.ndarray     # Pa
    wind_speed: np.ndarray          # m/s at 10 m in the open
    sunlight: np.ndarray            # W/m2 on level ground
    sky_glow: np.ndarray            # W/m2
    air_pressure: float             # Pa, absolute
    latitude: float                 # degrees

    @property
    def step(self):
        """Hours from row to row."""
        return float(self.hour[1] - self.hour[0])


@quantities(latitude="degree", elevation="m")
def typical_climate(latitude, elevation=0.0):
    """A climate for a farm in the inland United States east of the Rockies, from latitude and elevation.

    latitude, elevation (quantity): 25 to 50 degrees north; above sea level.

    Straight lines through the normals of Montgomery, Alabama, of Missouri, and of Rice Lake, Wisconsin: mean 14.1 C and
    swing 13.1 C at 38.5 N and sea level, 0.83 C cooler and 0.47 C more swing per degree north, 6.5 C cooler per km up.
    Within about 1 C there; coasts and mountains differ more, so use the learner's own numbers where they are known.
    References: U.S. Standard Atmosphere 1976 (fall with height). Normals: see tests.
    """
    if not 25 <= latitude <= 50:
        warnings.warn(Caution(f"These lines were drawn from 32 to 46 degrees north; {latitude:g} is outside 25 to 50. "
                              "Make a Climate with numbers of your own."), stacklevel=2)
    return Climate(latitude, elevation, 14.1 - 0.83 * (latitude - 38.5) - 0.0065 * elevation,
                   13.1 + 0.47 * (latitude - 38.5))


def _finish(hour, air_temperature, vapor, wind, sun, cloud, climate_latitude, elevation):
    black = air.SIGMA * (air_temperature + water.ZERO_C) ** 4
    glow = air.sky_emissivity(air_temperature, vapor, cloud) * black
    return Weather(hour, air_temperature, vapor, wind, sun, glow, float(air.pressure_by_elevation(elevation)),
                   float(climate_latitude))


def make_weather(climate, days=365, first_day=1, step=1.0):
    """Weather of a :class:`Climate`.

    days: How many days, default a year.
    first_day: Day of the year it starts on, default 1 January.
    step: Hours from row to row, default 1; a day must hold a whole number of them.

    Warmest about 20 July (south of the equator half a year later), afternoons at 15 h. Fronts of six
    days bring cloud and wind, then cold. Wind is a fifth stronger in early spring than in late summer,
    and rises by half by day. The dew point is that of the day's mean air, so nights turn damp.
    """
    rows = round(24 / step)
    if not (rows >= 4 and abs(rows * step - 24) < 1e-9):
        raise QuantityError(f"A day must hold a whole number of steps, 4 or more; a step of {step:g} h does not fit.")
    hour = (first_day - 1) * 24 + (np.arange(days * rows) + 0.5) * step
    day, clock = hour / 24, hour % 24
    year = 2 * np.pi * (day - climate.warmest) / 365
    front = 2 * np.pi * day * 61 / 365
    mean = climate.mean_on(day) + climate.front_swing * np.cos(front)
    temperature = mean + climate.daily_swing * np.cos(2 * np.pi * (clock - 15) / 24)
    cloud = np.clip(climate.cloud - 0.3 * np.cos(front + 0.8), 0, 1)
    wind = climate.wind_speed * (1 + 0.2 * np.cos(year + 2.0)) * (1 + 0.4 * np.cos(front - 1.5)) \
        * (1 + 0.5 * np.cos(2 * np.pi * (clock - 15) / 24))
    clear = air.clear_sun(climate.latitude, np.ceil(day), clock, climate.elevation)
    sun = clear * air.cloud_share(cloud)
    vapor = np.minimum(climate.humidity * water.vapor_pressure(mean), water.vapor_pressure(temperature))
    return _finish(hour, temperature, vapor, wind, sun, cloud, climate.latitude, climate.elevation)


_TEMPERATURE = {"unit": "degree_Celsius", "offer": ("F", "C")}
_TIME = Column("time", kind="moment", required=True, gaps=False)
_AIR = Column("air temperature", kind="air", required=True, **_TEMPERATURE)
_WIND = Column("wind", (r"\bwind speed\b", r"\bwind"), "meter / second", ("mph", "m/s"), "0 m/s", "100 m/s",
               required=True, without=r"gust|\bdir|chill|\bmax", hint="gusts and direction do not serve")
_DEW = Column("dew point", (r"\bdew",), **_TEMPERATURE)
_DAMP = Column("humidity", (r"\bhumid", r"\brh\b"), "percent", ("%",), "0 %", "110 %",
               without=r"indoor|inside|absolute|specific")
_CLOUD = Column("cloud", (r"\bcloud", r"\bsky cover"), "percent", ("%",), "0 %", "100 %",
                without=r"base|ceiling|height")
_LIGHT = Column("sunlight", (r"\bsunlight", r"\bsolar", r"radiation", r"\bsun"), "watt / meter ** 2", ("W/m2",),
                "-50 W/m2", "2000 W/m2", without=r"sun ?(rise|set|shine)")


@quantities(latitude="degree", elevation="m")
def read_weather(source, latitude, elevation=0.0):
    """Read the learner's weather and bring it to every hour.

    source (Path, open file, bytes or str): A str is the text itself. Headings: time; air temperature (F or C); wind
        (mph, m/s or km/h); humidity (%) or dew point (F or C); and, if there, sunlight (W/m2) or cloud (%).
    latitude, elevation (quantity): Of the pond, for the sun and the air pressure.
    Returns: Weather: From the first midnight to the last; straight lines across gaps; where neither sunlight nor cloud
        is given, under the sky of a :class:`Climate`, half covered.
    Raises FieldDataError: If a column or a unit is missing, a time is unreadable, or there is less than a day.

    Times are taken as standard time near solar time. A gap over six hours is warned of; one reading a
    day loses the day's swing and makes nights too warm.
    """
    table = read(source, (_TIME, _AIR, _WIND, _DEW, _DAMP, _CLOUD, _LIGHT), "weather",
                 "time,air temperature (F),wind (mph),humidity (%)", strict=True)
    if not (table.has("dew point") or table.has("humidity")):
        raise FieldDataError(f"{table.name}: no column is headed humidity or dew point. Write the heading of that "
                             "column as 'humidity (%)' or 'dew point (F)'.")
    for note in (*table.notes, *say_left_out(table.left_out)):
        warnings.warn(Caution(note), stacklevel=2)
    times = table["time"]
    hours = np.array([(t - datetime.datetime(times[0].year, 1, 1)).total_seconds() / 3600 for t in times])
    order = np.argsort(hours, kind="stable")
    hours = hours[order]
    if hours[-1] - hours[0] > 20 * 8766:
        raise FieldDataError(f"The weather runs from {min(times):%Y-%m-%d} to {max(times):%Y-%m-%d}, over twenty "
                             "years. Check the dates, or take fewer years.")

    def series(column):
        values = table[column.name][order]
        good = np.isfinite(values)
        if good.sum() < 2:
            raise FieldDataError(f"The {column.name} column has fewer than two numbers. Fill it in, or leave the "
                                 "column out.")
        least, most = values[good].min(), values[good].max()
        if column.unit == "degree_Celsius" and (most > 55 or least < -50):
            raise FieldDataError(f"The {column.name} runs from {least:.0f} to {most:.0f} °C. Is it in °F and marked "
                                 "°C? Then mend the heading.")
        if column.unit == "percent" and 0 < most <= 1.5:
            raise FieldDataError(f"The {column.name} is in percent, but its numbers go only up to {most:g}. If 0.6 "
                                 "means 60 %, write it as 60.")
        return np.interp(grid, hours[good], values[good])
    grid = np.arange(math.ceil(hours[0] / 24) * 24, math.floor(hours[-1] / 24) * 24) + 0.5
    if len(grid) < 24:
        raise QuantityError("The weather covers less than one whole day, midnight to midnight. Add more rows.")
    if np.diff(hours).max() > 6:
        warnings.warn(Caution(f"The weather has a gap of {np.diff(hours).max():.0f} hours, crossed by a straight "
                              "line."), stacklevel=2)
    t, wind = series(_AIR), series(_WIND)
    vapor = water.vapor_pressure(series(_DEW)) if table.has("dew point") else \
        np.clip(series(_DAMP), 1, 100) / 100 * water.vapor_pressure(t)
    cloudy = series(_CLOUD) / 100 if table.has("cloud") else np.full(len(grid), Climate.cloud)
    clear = air.clear_sun(latitude, np.ceil(grid / 24) % 365, grid % 24, elevation)
    sun = series(_LIGHT) if table.has("sunlight") else clear * air.cloud_share(cloudy)
    return _finish(grid, t, np.minimum(vapor, water.vapor_pressure(t)), np.maximum(wind, 0.0),
                   np.maximum(sun, 0.0), cloudy, latitude, elevation)
