"""What would the year, and the winter, look like in this pond with and without air?

Usual numbers put into the model of :mod:`pondcalc.the_year.seasons` for a place given by latitude and
height: the year from the spring mixing on, with air from spring to fall, and the winter alone,
with air or none. A picture of how things go, not a forecast.
"""

from typing import NamedTuple

import numpy as np
from scipy.integrate import cumulative_trapezoid

from ..how_much_oxygen import oxygen, underice
from ..units import QuantityError, quantities
from . import habitat, seasons, upkeep, weather

__all__ = ["YearCase", "WinterCase", "MUD", "SNOW", "air_season",
           "ice_season", "iced_days", "modelled_year", "year_under", "modelled_winter"]

FIRST_DAY = 80                  # 21 March: the pond is mixed, whatever came before
ICE = 0.005                     # m, a fifth of an inch: a skin that stays overnight counts as ice
WINTER_FIRST, WINTER_DAYS = 305, 181        # 1 November to 30 April
LAYERS = 10
STEP = 1.5                      # hours
WINTER_STEP = 2.0               # hours: under ice little happens fast
LEAST_DAYS = 200
# g/(m2 day) at 20 C: what mud takes under ice, in water of 4 C, carried to 20 C
MUD = dict(zip(("lean (sand, clear water)", "in between", "rich (muck, green water)"),
               (rate * oxygen.THETA_MUD ** (20 - 4) for rate in underice.MUD), strict=True))
SNOW = {"clear black ice": 0.5, "white ice": 0.35, "under snow": 0.1}          # share of light let through; our choice


class YearCase(NamedTuple):
    """A year of daily means, without air (first) and with (second); SI, degC, mg/L.

    ``temperature`` and ``oxygen`` are (2, days, layers). ``starved_days`` are those below 1 mg/L in the lowest
    layer, ``above_days`` in the lowest one that lies wholly above the diffuser, whose depth is ``submergence``;
    ``under_share`` is the share of the water under it, which is not stirred.
    """

    day: np.ndarray
    depth: np.ndarray
    temperature: np.ndarray
    oxygen: np.ndarray
    usable: tuple
    overturns: tuple
    starved_days: tuple
    above_days: tuple
    under_share: float
    ice: np.ndarray
    air_days: tuple
    submergence: float


class WinterCase(NamedTuple):
    """A winter of daily means, without air and with: oxygen over the whole pond, temperature, ice."""

    day: np.ndarray
    oxygen: np.ndarray
    temperature: np.ndarray
    ice: np.ndarray


def _daily(run, values):
    return run.by_day(values).mean(axis=1)


def air_season(climate):
    """First and last day of the year to run: from three weeks before spring until two weeks after fall.

    Where the air never falls to 10 C (50 F), or never rises to it, or is colder for so short a time that
    the two ends meet, all year.
    """
    dates = upkeep.season_dates(climate)
    if dates["spring"] is None or (dates["spring"] - dates["fall"]) % 365 <= 22 + 14:
        return 1, 365
    return (dates["spring"] - 22) % 365 + 1, (dates["fall"] + 13) % 365 + 1


def iced_days(day, ice):
    """First and last of some days on which there is ice, or None."""
    there = day[ice > ICE]
    return (int(there[0]), int(there[-1])) if len(there) else None


@quantities(depth="m", area="m^2", latitude="degree", elevation="m")
def ice_season(depth, area, latitude, elevation):
    """First and last day of the year with ice in a usual winter without air, or None.

    Parameters
    ----------
    depth, area, latitude, elevation : quantity
        As for :func:`modelled_year`. The mud is the middle one and the ice white: neither moves the dates by
        more than a few days.
    """
    climate = weather.typical_climate.si(latitude, elevation)
    run, = seasons.run_year.si([(seasons.PondModel.si(depth, area, layers=LAYERS), None)],
                               weather.make_weather(climate, WINTER_DAYS, WINTER_FIRST, WINTER_STEP),
                               _start_temperature(climate, WINTER_FIRST))
    found = iced_days(np.arange(WINTER_DAYS) + WINTER_FIRST, _daily(run, run.ice))
    return found and tuple((day - 1) % 365 + 1 for day in found)


def _share_under(depth, area, level):
    """Share of a pond's water that lies under a depth (m)."""
    at = np.unique(np.append(depth, level))
    held = np.concatenate([[0.0], cumulative_trapezoid(np.interp(at, depth, area), at)])
    return float(1 - held[np.searchsorted(at, level)] / held[-1])


def _start_temperature(climate, day):
    """Smooth air temperature of a day, held between 4 and 25 C: a mixed pond lies near it."""
    warmest = 201 if climate.latitude >= 0 else 18.5
    smooth = climate.mean_temperature + climate.yearly_swing * np.cos(2 * np.pi * (day - warmest) / 365)
    return float(np.clip(smooth, 4.0, 25.0))


@quantities(depth="m", area="m^2", latitude="degree", elevation="m", secchi_depth="m", lifted_flow="m^3/s",
            submergence="m", oxygen_rate="kg/s")
def modelled_year(depth, area, latitude, elevation, secchi_depth, shelter, lifted_flow, submergence=None,
                  oxygen_rate=0.0, kind="bass and bluegill"):
    """A year from 21 March without air, and with air from spring to fall.

    Parameters
    ----------
    depth, area : arrays of quantity
        The pond's shape.
    latitude, elevation : quantity
        Of a place with the climate of :func:`pondcalc.the_year.weather.typical_climate`.
    secchi_depth : quantity
        Depth where a white disk is lost to sight.
    shelter : float
        Share of the open wind that reaches the pond.
    lifted_flow : quantity
        Water that the bubbles lift.
    submergence : quantity, optional
        Of the diffuser; by default the deepest point.
    oxygen_rate : quantity, optional
        Oxygen the bubbles give by themselves to water that holds none, default none.
    kind : str, optional
        Fish whose limits count as usable, see :data:`pondcalc.how_much_oxygen.fishlimits.KINDS_OF_FISH`.

    Returns
    -------
    YearCase
        It starts mixed and full of oxygen; the mud is the middle one of :data:`MUD`.
    """
    climate = weather.typical_climate.si(latitude, elevation)
    hours = weather.make_weather(climate, 365, FIRST_DAY, STEP)
    return year_under.si(depth, area, hours, air_season(climate), secchi_depth, shelter, lifted_flow, submergence,
                         oxygen_rate, kind, _start_temperature(climate, FIRST_DAY))


@quantities(depth="m", area="m^2", secchi_depth="m", lifted_flow="m^3/s", submergence="m", oxygen_rate="kg/s",
            temperature="degC")
def year_under(depth, area, hours, air_days, secchi_depth, shelter, lifted_flow, submergence=None, oxygen_rate=0.0,
               kind="bass and bluegill", temperature=None):
    """As :func:`modelled_year`, under weather that is given.

    Parameters
    ----------
    hours : pondcalc.the_year.weather.Weather
        At least :data:`LEAST_DAYS`, from midnight on; of more than a year, the first year is taken.
    air_days : two numbers
        First and last day of the year with air.
    temperature : quantity, optional
        Of the mixed pond at the start; by default the mean air of the first week, held between 4 and 25 C.

    The other parameters are those of :func:`modelled_year`.

    Returns
    -------
    YearCase

    Raises
    ------
    QuantityError
        If the weather is too short.
    """
    rows = round(24 / hours.step)
    days = min(365, len(hours.hour) // rows)
    if days < LEAST_DAYS:
        raise QuantityError(f"The weather covers {days} days. A year with and without air needs at least {LEAST_DAYS}, "
                            "best from March on, when the pond is mixed.")
    hours = hours._replace(**{name: values[:days * rows] for name, values in hours._asdict().items()
                              if isinstance(values, np.ndarray)})
    if temperature is None:
        temperature = float(np.clip(hours.air_temperature[:7 * rows].mean(), 4.0, 25.0))
    pond = seasons.PondModel.si(depth, area, secchi_depth, shelter, MUD["in between"], layers=LAYERS)
    air = seasons.Aeration.si(lifted_flow, oxygen_rate, submergence, first_day=air_days[0], last_day=air_days[1])
    runs = seasons.with_and_without.si(pond, air, hours, temperature)
    deep = air.down_to(float(depth[-1]))
    half = (runs[0].depth[1] - runs[0].depth[0]) / 2
    above = max(int(np.count_nonzero(runs[0].depth + half <= deep)) - 1, 0)
    return YearCase(
        int(hours.hour[0] // 24) + 1 + np.arange(days), runs[0].depth,
        np.array([_daily(r, r.temperature) for r in runs]), np.array([_daily(r, r.dissolved_oxygen) for r in runs]),
        tuple(habitat.usable_year(r, kind) for r in runs), tuple(seasons.overturn_days(r) for r in runs),
        tuple(seasons.bottom_oxygen_days(r) for r in runs),
        tuple(seasons.bottom_oxygen_days(r, layer=above) for r in runs), _share_under(depth, area, deep),
        np.array([_daily(r, r.ice) for r in runs]), tuple(air_days), deep)


@quantities(depth="m", area="m^2", latitude="degree", elevation="m", lifted_flow="m^3/s", oxygen_rate="kg/s",
            sediment_demand="g/m^2/day", open_water="m^2")
def modelled_winter(depth, area, latitude, elevation, ice_light, sediment_demand, lifted_flow, oxygen_rate=0.0,
                    open_water=30.0):
    """A winter from 1 November to 30 April, without air and with air day and night.

    Parameters
    ----------
    depth, area, latitude, elevation, lifted_flow, oxygen_rate : quantity
        As for :func:`modelled_year`.
    ice_light : float
        Share of the light that thick ice lets through, see :data:`SNOW`.
    sediment_demand : quantity
        Oxygen that the mud uses at 20 C, see :data:`MUD`.
    open_water : quantity, optional
        Hole that the bubbles keep open, default 30 m2 (0.007 acre).

    Returns
    -------
    WinterCase
        It starts mixed and full of oxygen.
    """
    if not 0 <= ice_light <= 1:
        raise QuantityError(f"The light that ice lets through is a share from 0 to 1; it was given {ice_light:g}.")
    climate = weather.typical_climate.si(latitude, elevation)
    pond = seasons.PondModel.si(depth, area, sediment_demand=sediment_demand, ice_light=ice_light, layers=LAYERS)
    air = seasons.Aeration.si(lifted_flow, oxygen_rate, open_water=open_water)
    runs = seasons.with_and_without.si(pond, air, weather.make_weather(climate, WINTER_DAYS, WINTER_FIRST, WINTER_STEP),
                                       _start_temperature(climate, WINTER_FIRST))

    def whole(values, run):
        return _daily(run, values @ run.volume / run.volume.sum())
    return WinterCase(np.arange(WINTER_DAYS) + WINTER_FIRST,
                      np.array([whole(r.dissolved_oxygen, r) for r in runs]),
                      np.array([whole(r.temperature, r) for r in runs]), np.array([_daily(r, r.ice) for r in runs]))
