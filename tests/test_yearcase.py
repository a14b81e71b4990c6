"""The year and the winter of one pond: against measured winter losses, plain balances and the runs behind them."""

import numpy as np
import pytest
from layeredponds import bowl

from pondcalc.the_year import seasons, weather, yearcase
from pondcalc.units import QuantityError

AREA, DEEP = 2.4 * 4046.8564224, 14.5 * 0.3048
Z, A = bowl(AREA, DEEP, DEEP / 2.25)
FLOW = 3000 * 6.309e-5


def test_mud_is_the_measured_winter_uptake_carried_to_20_degrees():
    # Mathias and Barica 1980 (abstract): 0.08 and 0.23 g/m2/d, here at 4 C; 1.065 a degree
    lean, between, rich = yearcase.MUD.values()
    assert lean == pytest.approx(0.08 * 1.065 ** 16, abs=0.006)
    assert rich == pytest.approx(0.23 * 1.065 ** 16, abs=0.006)
    assert between == pytest.approx((lean + rich) / 2, abs=0.006)


@pytest.mark.parametrize("mud, uptake", [("lean (sand, clear water)", 0.08), ("rich (muck, green water)", 0.23)])
def test_oxygen_under_snow_falls_as_measured(mud, uptake):
    # Mathias and Barica 1980: uptake times bed over volume + 0.01 g/m3/d, above a mean of 3.8 mg/L
    case = yearcase.modelled_winter.si(Z, A, 46.0, 350.0, 0.0, yearcase.MUD[mud], FLOW)
    held, dark = case.oxygen[0], np.flatnonzero(case.ice[0] > 0.1)[0]
    falls = (held[dark] - held[dark + 20]) / 20
    assert held[dark + 20] > 3.8
    # bed near 3 C here, not 4 C, and some plankton at work: within a third
    assert falls == pytest.approx(uptake * AREA / (AREA * DEEP / 2.25) + 0.01, rel=0.33)


def test_bubbles_add_what_they_are_said_to_add():
    # 0.1 kg/h into 19,000 m3 is at most 0.124 mg/L a day, and in proportion to what the water lacks
    lacks, gives = (yearcase.modelled_winter.si(Z, A, 46.0, 350.0, 0.1, 0.42, FLOW, rate / 3600, 0.0).oxygen[1]
                    for rate in (0.0, 0.1))
    start = np.flatnonzero(lacks < 6)[0]
    days = slice(start, start + 20)
    gained = ((gives - lacks)[start + 20] - (gives - lacks)[start]) / 20
    most = 0.1 * 1000 * 24 / (AREA * DEEP / 2.25)
    assert gained == pytest.approx(most * (1 - gives[days].mean() / 13.0), rel=0.35)   # 13 mg/L: cold and full


def test_no_ice_in_the_south_and_more_in_the_north():
    ice = [yearcase.modelled_winter.si(Z, A, lat, 0.0, 0.35, 0.42, FLOW).ice[0].max() for lat in (30, 40, 46)]
    assert ice[0] == 0 < ice[1] < ice[2]
    with pytest.raises(QuantityError, match="share from 0 to 1"):
        yearcase.modelled_winter.si(Z, A, 40.0, 0.0, 35.0, 0.42, FLOW)


def test_winter_and_calendar_name_the_same_ice():
    for latitude in (34.0, 38.5, 46.0):
        case = yearcase.modelled_winter.si(Z, A, latitude, 350.0, 0.35, yearcase.MUD["in between"], FLOW)
        winter, ice = yearcase.iced_days(case.day, case.ice[0]), yearcase.ice_season.si(Z, A, latitude, 350.0)
        assert (winter is None) == (ice is None)
        if ice:
            gaps = [(a - b + 182) % 365 - 182 for a, b in zip(winter, ice, strict=True)]
            assert gaps[0] == 0 and abs(gaps[1]) <= 3


def test_a_year_is_the_daily_mean_of_the_runs_behind_it():
    made = yearcase.modelled_year.si(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW)
    pond = seasons.PondModel.si(Z, A, 1.0, 0.6, yearcase.MUD["in between"], layers=yearcase.LAYERS)
    climate = weather.typical_climate.si(38.5, 350.0)
    start = yearcase._start_temperature(climate, yearcase.FIRST_DAY)
    hours = weather.make_weather(climate, 365, yearcase.FIRST_DAY, yearcase.STEP)
    run = seasons.run_year.si([(pond, None)], hours, start)[0]
    day = slice(150 * 16, 151 * 16)                 # sixteen steps of 1.5 hours
    assert made.temperature[0, 150] == pytest.approx(run.temperature[day].mean(axis=0))
    assert made.oxygen[0, 150, 0] == pytest.approx(run.dissolved_oxygen[day, 0].mean())
    # what everyone sees: air warms the bottom, keeps it in oxygen longer, and takes the fall overturn away
    july = 205 - yearcase.FIRST_DAY
    assert made.temperature[1, july, -1] > made.temperature[0, july, -1] + 5
    assert made.starved_days[1] < made.starved_days[0] - 30
    assert made.overturns[0] and not made.overturns[1]
    assert made.usable[1].share.mean() > made.usable[0].share.mean()


def test_shorter_steps_tell_the_same_story(monkeypatch):
    """The error of the step is of first order, and that of the usual step is small against what is drawn and said."""
    def year(step):
        monkeypatch.setattr(yearcase, "STEP", step)
        return yearcase.modelled_year.si(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW)
    usual, exact = yearcase.STEP, year(0.375)
    off = {}
    for step in (0.75, usual, 3.0):
        made = year(step)
        off[step] = [np.abs(made.temperature - exact.temperature).mean(), np.abs(made.oxygen - exact.oxygen).mean()]
        assert abs(made.overturns[0][0].day - exact.overturns[0][0].day) <= 1
    assert off[usual][0] < 0.1 and off[usual][1] < 0.25         # degC and mg/L, over all days and depths
    assert off[0.75][0] < 0.7 * off[usual][0] and off[usual][0] < 0.7 * off[3.0][0]
    assert off[0.75][1] < 0.7 * off[usual][1] and off[usual][1] < 0.7 * off[3.0][1]
    days = np.subtract(year(usual).starved_days, exact.starved_days)
    assert (np.abs(days) <= 10).all(), days


def test_shorter_steps_tell_the_same_winter(monkeypatch):
    """As above, for the longer step of the winter; ice is drawn to a centimeter."""
    def winter(step, latitude):
        monkeypatch.setattr(yearcase, "WINTER_STEP", step)
        return yearcase.modelled_winter.si(Z, A, latitude, 350.0, 0.1, 0.42, FLOW, 0.1 / 3600)
    usual = yearcase.WINTER_STEP
    for latitude in (38.5, 46.0):
        made, exact = winter(usual, latitude), winter(0.375, latitude)
        assert np.abs(made.temperature - exact.temperature).mean() < 0.1
        assert np.abs(made.oxygen - exact.oxygen).mean() < 0.15
        assert np.abs(made.ice - exact.ice).max() < 0.01
        for which in (0, 1):
            dates = [yearcase.iced_days(case.day, case.ice[which]) for case in (made, exact)]
            assert np.abs(np.subtract(*dates)).max() <= 3, dates


def test_air_starts_three_weeks_before_the_air_reaches_50_F():
    # Missouri: mean 14.1 C, swing 13.1 C about 20 July at 38.5 N: 10 C on day 201 - acos(-4.1/13.1) 365/2 pi = 91
    first, last = yearcase.air_season(weather.typical_climate.si(38.5, 0.0))
    assert abs(first - (91 - 21)) <= 1 and abs(last - (311 + 14)) <= 1
    assert yearcase.air_season(weather.typical_climate.si(26.0, 0.0)) == (1, 365)
    # a winter of some weeks is shorter than three weeks before and two after: no gap is left
    south = weather.typical_climate.si(30.0, 350.0)
    assert yearcase.air_season(south) == (1, 365)


def test_water_under_the_diffuser_is_not_stirred_and_water_above_it_is():
    made = yearcase.modelled_year.si(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW, DEEP - 0.5, 0.3 * 0.4536 / 3600)
    # a bowl of exponent 1.25: volume under a depth goes as (1 - z/D)^2.25
    assert made.under_share == pytest.approx((0.5 / DEEP) ** 2.25, rel=0.1)
    assert made.above_days[1] < 0.1 * made.above_days[0] and made.starved_days[1] > made.above_days[1] + 30
    deep = yearcase.modelled_year.si(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW, DEEP, 0.3 * 0.4536 / 3600)
    assert deep.starved_days[1] < 10 and deep.under_share == pytest.approx(0.0, abs=1e-9)


def test_weather_that_is_given_makes_the_same_year_as_the_climate_it_came_from():
    climate = weather.typical_climate.si(38.5, 350.0)
    usual = yearcase.modelled_year.si(Z, A, 38.5, 350.0, 1.0, 0.6, FLOW)
    hours, start = weather.make_weather(climate, 400, 80, yearcase.STEP), yearcase._start_temperature(climate, 80)
    given = yearcase.year_under.si(Z, A, hours, yearcase.air_season(climate), 1.0, 0.6, FLOW, temperature=start)
    assert np.allclose(usual.oxygen, given.oxygen) and usual.day.tolist() == given.day.tolist()
    part = yearcase.year_under.si(Z, A, weather.make_weather(climate, 220, 80), (81, 314), 1.0, 0.6, FLOW)
    assert len(part.day) == 220 and part.starved_days[0] > 100
    with pytest.raises(QuantityError, match="covers 150 days.*at least 200"):
        yearcase.year_under.si(Z, A, weather.make_weather(climate, 150, 80), (81, 314), 1.0, 0.6, FLOW)
