"""Wind exchange against printed values of each formula, and a field anchor."""

import numpy as np
import pytest
from scipy.interpolate import interp1d

from pondcalc.how_much_oxygen import reaeration

M_PER_DAY = 1 / 86400
# Sc of oxygen in fresh water at 20 C by the cubic of Wanninkhof (1992), Table A1 (second-hand), worked out here: 530.5
TO_600 = ((1800.6 - 120.10 * 20 + 3.7818 * 400 - 0.047608 * 8000) / 600) ** 0.5


def speed(wind, name, temperature=20.0, area=4046.86):
    return float(reaeration.exchange_speed.si(wind, temperature, name, area)) / M_PER_DAY


# Arithmetic on each printed formula, done once outside the package; m/d for oxygen at 20 C with Sc = 530.5
# (formulas second-hand)
@pytest.mark.parametrize("name, winds", [
    ("Banks 1977", {0: 0.0, 1: 0.448, 2: 0.544, 3: 0.645, 5: 0.973, 8: 1.904}),
    ("Cole 1998", {0: 0.528, 1: 0.583, 2: 0.707, 3: 0.884, 5: 1.375, 8: 2.411}),
    ("Wanninkhof 1991", {0: 0.0, 1: 0.099, 2: 0.307, 3: 0.598, 5: 1.381, 8: 2.985})])
def test_published_fits(name, winds):
    for wind, expected in winds.items():
        assert speed(wind, name) == pytest.approx(expected, abs=6e-4), (name, wind)


def test_crusius_power_at_schmidt_600():
    # 0.228 U^2.2 + 0.168 cm/h at Sc 600 (second-hand): 0.040, 0.095, 0.292, 0.654, 1.928, 5.348 m/d
    for wind, expected in {0: 0.040, 1: 0.095, 2: 0.292, 3: 0.654, 5: 1.928, 8: 5.348}.items():
        assert speed(wind, "Crusius 2003 power") * TO_600 == pytest.approx(expected, abs=6e-4)


def test_schmidt_numbers():
    # Wanninkhof (1992), Table A1 cubic (second-hand): 930.2, 689.3, 530.5, 417.8, 315.8
    for t, expected in {10: 930.2, 15: 689.3, 20: 530.5, 25: 417.8, 30: 315.8}.items():
        assert reaeration.schmidt_number.si(float(t)) == pytest.approx(expected, abs=0.06)
    hot = reaeration.schmidt_number.si(np.array([29.9999, 30.0001, 40.0]))
    assert hot[0] == pytest.approx(hot[1], rel=1e-3), "no step at 30 C"
    assert 150 < hot[2] < hot[1], "past 30 C it must keep falling, not collapse"
    # at 40 C the stretched cubic gives less than 1
    assert 1800.6 - 120.10 * 40 + 3.7818 * 1600 - 0.047608 * 64000 < 1


def test_units_trap():
    # Cole and Caraco in cm/h: 2.07 cm/h is 0.497 m/d at Sc 600; read as m/d it would be four times as much
    assert speed(0, "Cole 1998") * TO_600 == pytest.approx(2.07 * 0.24)


def test_vachon_grows_with_lake_size_and_ro_with_warmth():
    # Vachon and Prairie (2013): k600 = 2.51 + 1.48 U + 0.39 U log10(km2), cm/h; by hand at 3 m/s: 1 km2 6.95,
    # 0.01 km2 4.61 cm/h
    assert speed(3, "Vachon 2013", area=1e6) * TO_600 == pytest.approx(6.95 * 0.24)
    assert speed(3, "Vachon 2013", area=1e4) * TO_600 == pytest.approx(4.61 * 0.24)
    # Ro and Hunt (2006): 170.6 (D/nu)^0.5 (rho_air/rho_water)^0.5 U^1.81, cm/h. Diffusivity 1.9e-9 +-10 %,
    # nu 1.004e-6, 1.204 and 998.2 kg/m3 at 20 C: 0.24 x 170.6 x 0.0435 x 0.03473 x 3^1.81 = 0.451 m/d
    assert speed(3, "Ro 2006") == pytest.approx(0.451, rel=0.06)
    assert speed(3, "Ro 2006", 30.0) > speed(3, "Ro 2006", 10.0)


def test_band_holds_the_field_anchor():
    # Cole and others (2010): lakes of 0.3 to 45 ha, mean wind under 3 m/s, k600 0.35 to 0.74 m/d (abstract
    # seen)
    band = [float(k) / M_PER_DAY * TO_600 for k in reaeration.exchange_band.si(2.5, 20.0)]
    assert band[0] < 0.35 + 0.05 and band[2] > 0.74
    assert 0.35 < band[1] < 0.74


def test_calm_nights_decide():
    band = reaeration.exchange_band.si(0.0, 20.0)
    assert band.low == 0 and band.high / M_PER_DAY > 0.5, "without wind the formulas must disagree"


def test_band_is_in_order_for_any_wind():
    wind = np.linspace(0, 12, 25)
    band = reaeration.exchange_band.si(wind, 25.0)
    assert np.all(band.low <= band.usual) and np.all(band.usual <= band.high)
    assert interp1d(wind, band.usual)(2.0) > 0


@pytest.mark.parametrize("call, says", [
    (lambda: reaeration.exchange_band("-1 m/s", "20 C"), "0 or more"),
    (lambda: reaeration.exchange_speed("1 m/s", "20 C", "nobody 1900"), "Choose one of")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_storm_wind_warns():
    with pytest.warns(UserWarning, match="20 m/s"):
        reaeration.exchange_band.si(25.0, 20.0)
