"""Sun, sky and damp against standards and two libraries."""

import json
import math
import re
import subprocess
import sys

import numpy as np
import pandas as pd
import pvlib
import pytest
from heatlaws import edinger_pull, edinger_rest, open_water_heat

from pondcalc import water
from pondcalc.door import air, weather
from pondcalc.units import Q, Quantity, QuantityError


def metpy(*calls):
    """Ask MetPy in a process of its own: it gives "gpm" another meaning in the units of whoever imports it.

    Each call is a function's name and its quantities, as pairs of numbers and unit; answers are in base units.
    """
    code = ("import json, sys; import metpy.calc as c; from metpy.units import units as u; "
            "print(json.dumps([getattr(c, name)(*(u.Quantity(v, unit) for v, unit in given)).to_base_units().m.tolist()"
            " for name, *given in json.load(sys.stdin)]))")
    asked = json.dumps([[name, *((np.asarray(v).tolist(), unit) for v, unit in given)] for name, *given in calls])
    told = subprocess.run([sys.executable, "-W", "ignore", "-c", code], input=asked, capture_output=True, text=True,
                          check=True)
    return [np.array(answer) for answer in json.loads(told.stdout)]


@pytest.mark.parametrize("date", ["2023-01-15", "2023-04-10", "2023-06-21", "2023-09-03", "2023-12-21"])
@pytest.mark.parametrize("latitude", [-20.0, 25.0, 40.0, 50.0])
def test_the_days_course_of_the_sun_against_pvlib(latitude, date):
    # the sun's height every ten minutes from pvlib's positions, its clock turned so that noon is the highest sun
    times = pd.date_range(date, periods=24 * 6, freq="10min", tz="UTC")
    theirs = np.cos(np.radians(pvlib.solarposition.get_solarposition(times, latitude, 0.0)["zenith"].to_numpy()))
    day = times[0].day_of_year
    clock = np.arange(24 * 6) / 6 + pvlib.solarposition.equation_of_time_spencer71(day) / 60
    assert air._sun_height(latitude, day, clock) == pytest.approx(theirs, abs=0.013)      # 0.75 degrees


def test_sun_height_and_clear_sky_against_pvlib():
    times = pd.date_range("2023-06-21", periods=24 * 60, freq="1min", tz="Etc/GMT+6")
    sun = pvlib.solarposition.get_solarposition(times, 40, -90)
    assert math.degrees(math.asin(air._sun_height(40.0, 172, 12.0))) == pytest.approx(
        90 - sun["zenith"].min(), abs=0.1)                  # true noon zenith 16.562 degrees
    for zenith in (20.0, 40.0, 60.0, 80.0):
        theirs = pvlib.clearsky.haurwitz(pd.Series([zenith]))["ghi"].iloc[0]
        # find the solar hour of that zenith on day 172 at 40 N, then ask for the light
        hours = np.linspace(12, 20, 80001)
        hour = hours[np.abs(air._sun_height(40.0, 172, hours) - math.cos(math.radians(zenith))).argmin()]
        assert air.clear_sun.si(40.0, 172, hour) == pytest.approx(theirs, rel=1e-3)
    # noon by four clear-sky models (pvlib): 920 to 1010 W/m2 on 21 June; Haurwitz 783 and 431 in
    # March, December
    assert 920 < air.clear_sun.si(40.0, 172, 12.0) < 1010
    assert air.clear_sun.si(40.0, 80, 12.0) == pytest.approx(783, rel=0.015)
    assert air.clear_sun.si(40.0, 355, 12.0) == pytest.approx(431, rel=0.015)
    clock = np.arange(0, 24, 0.05)
    day = air.clear_sun.si(40.0, 172, clock).sum() * 180 / 1e6
    assert day == pytest.approx(31.67, rel=0.01)            # pvlib Haurwitz, day sum, MJ/m2
    assert day == pytest.approx(0.75 * 41.87, rel=0.03)     # FAO-56 equation 37
    assert air.clear_sun.si(40.0, 172, 0.0) < 1e-6
    # height: FAO-56 equation 37, 0.75 + 2e-5 z of the light above the air, as a ratio to sea level
    higher = air.clear_sun.si(40.0, 172, 12.0, 2000.0) / air.clear_sun.si(40.0, 172, 12.0)
    assert higher == pytest.approx((0.75 + 2e-5 * 2000) / 0.75, rel=1e-6)
    # two more clear skies of pvlib, at the same sun, gain less (simplified Solis) and more (Ineichen) with height
    zenith = 90 - math.degrees(math.asin(air._sun_height(40.0, 172, 12.0)))
    thick = pvlib.atmosphere.get_relative_airmass(zenith)
    solis, ineichen = ([], [])
    for height in (0.0, 2000.0):
        press = pvlib.atmosphere.alt2pres(height)
        solis.append(pvlib.clearsky.simplified_solis(90 - zenith, pressure=press)["ghi"])
        ineichen.append(pvlib.clearsky.ineichen(zenith, pvlib.atmosphere.get_absolute_airmass(thick, press), 3.0,
                                                altitude=height)["ghi"])
    assert solis[1] / solis[0] < higher < ineichen[1] / ineichen[0]


def test_clouds_by_two_rules():
    # FAO-56 equation 35, a = 0.25, b = 0.50, over its clear sky 0.75 (from memory); Larson 2016 here
    for cloud in (0.0, 0.3, 0.7, 1.0):
        assert air.cloud_share(cloud) == pytest.approx((0.25 + 0.5 * (1 - cloud)) / 0.75, abs=0.02)


def test_sky_glow_between_formulas():
    # 20 C, 70 %: Brunt 327.9, Swinbank 337.0, Idso-Jackson 339.0, Brutsaert 343.8 W/m2; water 406.2 at 0.97
    glow = air.sky_emissivity("20 C", Quantity(1635.9, "Pa")) * air.SIGMA * 293.15 ** 4
    assert glow == pytest.approx(343.8, abs=1.0)
    # in frost, -5 C and 3 hPa, by temperature alone (Idso and Jackson 1969) and by Satterlund (1979), from memory;
    # Brutsaert (1975) 1.24 (e/T)^(1/7) lies far below them
    frost = air.sky_emissivity("-5 C", Quantity(300.0, "Pa"))
    idso, satterlund = 1 - 0.261 * math.exp(-7.77e-4 * 25), 1.08 * (1 - math.exp(-3.0 ** (268.15 / 2016)))
    assert 1.24 * (3 / 268.15) ** (1 / 7) + 0.04 < frost < min(idso, satterlund)
    assert 327 < glow < 345
    assert 0.97 * air.SIGMA * 293.15 ** 4 == pytest.approx(406.2, abs=0.1)
    assert 0.9 < air.sky_emissivity.si(20.0, 1635.9, 1.0) <= 1.0
    assert air.sky_emissivity.si(5.0, 600.0) < air.sky_emissivity.si(20.0, 1635.9)


def test_vapor_against_metpy():
    # pressure over water; and the damp of made weather is that of its dew point
    t = np.array([0.0, 10.0, 20.0, 30.0])
    w = weather.make_weather(weather.typical_climate.si(38.5, 240.0), days=3, first_day=200)
    mean = w.air_temperature.reshape(3, 24).mean(axis=1)
    full, dew, theirs = metpy(("saturation_vapor_pressure", (t, "degC")), ("dewpoint", (w.vapor_pressure, "Pa")),
                              ("dewpoint_from_relative_humidity", (mean, "degC"), (0.68, "dimensionless")))
    assert water.vapor_pressure(t) == pytest.approx(full, rel=4e-3)
    assert dew.reshape(3, 24).mean(axis=1) == pytest.approx(theirs, abs=0.3)


def test_bulk_fluxes_by_hand():
    # water 25, air 20 C, 70 %, 2 m/s, C 1.3e-3, air 1.2 kg/m3: evaporation 71.6, warm air 15.7 W/m2,
    # ratio 0.219. The air's own rise, 2.9 m/s, is added as squares: all of it times sqrt(1 + 2.9^2/2^2)
    vapor, warmth = air.bulk_factors(np.float64(2.0), np.float64(20.0), 101325.0)
    rise = math.sqrt(1 + 2.9 ** 2 / 2.0 ** 2)
    evaporation, warm_air = vapor * (3169.8 - 0.7 * 2338.3) / rise, warmth * 5.0 / rise     # 3169.8 Pa over 25 C
    assert evaporation == pytest.approx(71.6, rel=0.01)
    assert warm_air == pytest.approx(15.7, rel=0.01)
    assert warm_air / evaporation == pytest.approx(0.219, rel=0.02)
    assert evaporation / 2.44e6 * 86400 == pytest.approx(2.534, rel=0.02)      # mm a day


def test_edinger_and_its_agreement_with_the_bulk_law():
    # T 25, T_d 14.367 C, 2 m/s, 250 W/m2: K 23.195 W/m2/K, T_e 25.145 C
    assert edinger_pull(25.0, 14.367, 2.0) == pytest.approx(23.195, abs=1e-3)
    assert edinger_rest(25.0, 14.367, 2.0, 250.0) == pytest.approx(25.145, abs=1e-3)
    # wind functions, W/(m2 mmHg): 9.2 + 0.46 W^2 against ours; the same in a calm, 12 % apart up to 5 m/s
    for wind in (0.0, 1.0, 2.0, 3.0, 5.0):
        ours = air.bulk_factors(np.float64(wind), np.float64(20.0), 101325.0)[0] * 133.322
        assert ours == pytest.approx(9.2 + 0.46 * wind ** 2, rel=0.15)
    # a lake's measured pull: 17 to 28 W/m2/K through the year (Livingstone and Imboden 1989)
    for t in (5.0, 22.0):
        colder, warmer = (open_water_heat(x, t, water.vapor_pressure(t - 4), 2.0, 0.0) for x in (t - 0.5, t + 0.5))
        assert 12 < colder - warmer < 35


def test_light_fades_as_secchi_says():
    # 1 % depth: 1.354, 2.709, 5.418 m for Secchi 0.5, 1, 2 m
    for secchi, depth in ((0.5, 1.354), (1.0, 2.709), (2.0, 5.418)):
        assert math.log(100) / air.light_fade.si(secchi) == pytest.approx(depth, abs=1e-3)
    with pytest.raises(ValueError, match="more than 0"):
        air.light_fade.si(0.0)


# monthly means, F: Missouri 1895-2003 (Climate of Missouri page); Rice Lake, Wisconsin (a forecaster's page);
# Montgomery, Alabama: annual 65 to 66, winter 49, summer 81 (Climate of Alabama page)
MISSOURI = [29.8, 33.8, 43.5, 54.6, 64.2, 73, 77.6, 76, 68.3, 57.1, 44, 33.3]
RICE_LAKE = [11, 17, 29, 44, 56, 65, 70, 68, 59, 46, 31, 16]


@pytest.mark.parametrize("latitude, elevation, normals", [(38.5, 240.0, MISSOURI), (45.5, 340.0, RICE_LAKE)])
def test_typical_climate_follows_the_normals(latitude, elevation, normals):
    w = weather.make_weather(weather.typical_climate.si(latitude, elevation))
    edges = np.round(np.linspace(0, 8760, 13)).astype(int)
    ours = [w.air_temperature[a:b].mean() * 1.8 + 32 for a, b in zip(edges[:-1], edges[1:], strict=True)]
    assert np.abs(np.array(ours) - normals).max() < 5       # F, worst month
    assert abs(np.mean(ours) - np.mean(normals)) < 1.5


def test_typical_climate_in_the_south_and_past_its_lines():
    w = weather.make_weather(weather.typical_climate("32.4 degree", "200 ft")).air_temperature * 1.8 + 32
    assert w.mean() == pytest.approx(65.5, abs=2)
    assert w[151 * 24:243 * 24].mean() == pytest.approx(81, abs=2.5)
    assert np.concatenate([w[:59 * 24], w[334 * 24:]]).mean() == pytest.approx(49, abs=3)
    with pytest.warns(UserWarning, match="outside 25 to 50"):
        weather.typical_climate.si(55.0)


def test_made_weather_is_whole_and_in_step():
    c = weather.Climate("40 degree", "1000 ft", "52 F", Q(24, "F°"))
    w = weather.make_weather(c)
    assert len(w.hour) == 8760 and all(np.isfinite(x).all() for x in w[:6])
    assert w.air_temperature.mean() == pytest.approx((52 - 32) / 1.8, abs=0.1)
    assert w.wind_speed.mean() == pytest.approx(3.5, abs=0.05) and w.wind_speed.min() > 0
    assert w.air_temperature.reshape(-1, 24).argmax(axis=1)[100] in (14, 15)
    assert 150 < w.hour[w.air_temperature.reshape(-1, 24).mean(axis=1).argmax() * 24] / 24 < 230
    assert (w.vapor_pressure <= water.vapor_pressure(w.air_temperature) + 1e-9).all()
    assert w.air_pressure == pytest.approx(97717, abs=15)              # 1000 ft, standard atmosphere
    south = weather.make_weather(weather.Climate.si(-35.0, 0.0, 15.0, 8.0))
    assert south.air_temperature[:720].mean() > south.air_temperature[4380:5100].mean()


@pytest.mark.parametrize("change", [dict(latitude=70.0), dict(mean_temperature=60.0), dict(humidity=1.4),
                                    dict(wind_speed=-1.0), dict(cloud=2.0)])
def test_climates_that_cannot_be(change):
    good = dict(latitude=40.0, elevation=0.0, mean_temperature=11.0, yearly_swing=13.0)
    with pytest.raises(QuantityError):
        weather.Climate.si(**{**good, **change})


HEAD = "time,air temp (F),wind (mph),humidity (%),solar (W/m2)\n"


def hourly(days=2, start="2026-07-01"):
    rows = pd.date_range(start, periods=24 * days + 1, freq="1h")
    return HEAD + "\n".join(f"{t:%Y-%m-%d %H:%M},{70 + t.hour},{5},{60},{max(0, 800 - 60 * abs(t.hour - 12))}"
                            for t in rows)


def test_reading_the_learners_weather():
    w = weather.read_weather(hourly(), "40 degree", "500 ft")
    assert len(w.hour) == 48 and w.hour[0] == 181 * 24 + 0.5
    assert w.air_temperature[12] == pytest.approx((82.5 - 32) / 1.8)   # between 82 and 83 F
    assert w.wind_speed[3] == pytest.approx(2.235, abs=1e-3)
    assert w.sunlight[12] == pytest.approx(770)
    damp = w.vapor_pressure / water.vapor_pressure(w.air_temperature)
    assert damp == pytest.approx(0.60, abs=1e-9)
    # dew point and cloud instead of humidity and sun
    text = hourly().replace("humidity (%)", "dew point (F)").replace("solar (W/m2)", "cloud (%)")
    text = re.sub(r",\d+$", ",60", text, flags=re.MULTILINE)
    other = weather.read_weather(text, "40 degree")
    assert other.vapor_pressure[5] == pytest.approx(water.vapor_pressure((60 - 32) / 1.8), rel=1e-9)
    assert other.sunlight[12] < air.clear_sun.si(40.0, 182, 12.5)


@pytest.mark.parametrize("text, says", [
    (hourly().replace("wind (mph)", "gusts (mph)"), "no column is headed wind"),
    (hourly().replace("humidity (%)", "damp (%)"), "humidity or dew point"),
    (hourly().replace("air temp (F)", "air temp"), "no unit"),
    (hourly().replace("air temp (F)", "air temp (C)"), "Is it in °F and marked °C"),
    (hourly().replace("2026-07-01 05:00", "five"), "not a time"),
    (hourly(days=0), "less than one whole day"),
])
def test_weather_doubts(text, says):
    with pytest.raises(QuantityError, match=says):
        weather.read_weather(text, "40 degree")


def test_a_gap_is_said():
    rows = hourly(3).splitlines()
    with pytest.warns(UserWarning, match="gap of 11 hours"):
        weather.read_weather("\n".join(rows[:20] + rows[30:]), "40 degree")


def test_a_day_holds_a_whole_number_of_steps():
    climate = weather.typical_climate.si(40.0, 0.0)
    hourly, slower = (weather.make_weather(climate, 2, 100, step) for step in (1.0, 1.5))
    assert slower.step == 1.5 and len(slower.hour) == 32 and hourly.step == 1.0
    assert slower.sunlight.mean() == pytest.approx(hourly.sunlight.mean(), rel=0.01)
    with pytest.raises(ValueError, match="whole number of steps"):
        weather.make_weather(climate, 2, 100, 0.7)
