"""One bubble: rise speed and transfer coefficient."""

import numpy as np
import pytest
from fluids.drag import v_terminal

from pondcalc.bubbles_and_oxygen import bubbles
from pondcalc.bubbles_and_oxygen.bubbles import TRANSFER_FORMS, Liquid, natural_speed, rise_speed
from pondcalc.units import QuantityError

# Water at 20 C as handbooks print it: 998.2 kg/m3, 1.0016 mPa s (IAPWS 2008), 72.75 mN/m (IAPWS 2014)
WATER_20 = Liquid(1.0016e-3 / 998.2, 2.0e-9)
G = 9.80665


@pytest.mark.parametrize("millimeters", [0.2, 0.3, 0.5, 0.8, 1.0])
def test_small_bubbles_rise_like_solid_balls(millimeters):
    # fluids v_terminal with the standard drag curve of Clift, Grace & Weber (1978). A ball twice as heavy as water
    # sinks as fast as a weightless ball rises. The printed curve of natural water runs up to a third faster at 1 mm,
    # where skins begin to move.
    stiff = v_terminal(D=millimeters * 1e-3, rhop=2 * 998.2, rho=998.2, mu=1.0016e-3, Method="Clift")
    assert 0.98 * stiff < natural_speed(millimeters * 1e-3) < 4 / 3 * stiff


def test_large_bubbles_rise_like_waves():
    # Mendelson (1967), AIChE J. 13, 250-253: a clean bubble from about 1.3 mm up runs like a wave of its length; its
    # slowest is 0.2312 m/s at 5.45 mm (worked with 998.2 and 72.75, computed). Dirt only slows.
    d = np.linspace(3.0, 9.0, 40) * 1e-3
    wave = np.sqrt(2 * 0.07275 / (998.2 * d) + G * d / 2)
    assert wave.min() == pytest.approx(0.2312, rel=1e-3)
    assert np.all(np.abs(natural_speed(d) / wave - 1) < 0.10)
    # from about 17 mm up a cap: 0.711 (g d)^0.5, Davies and Taylor (1950)
    assert natural_speed(20e-3) == pytest.approx(0.711 * np.sqrt(G * 20e-3), rel=0.10)


def test_branches_meet():
    # Wüest, Brooks & Imboden (1992), correlations from memory; that the branches close is the check:
    # 0.2342 on both sides against 0.23, and K_L 4.00e-4
    assert 4474 * 7.0e-4**1.357 == pytest.approx(0.2342, abs=1e-4)
    for radius in (7.0e-4, 5.1e-3):
        both = natural_speed(2 * radius * np.array([1 - 1e-9, 1 + 1e-9]))
        assert both[0] == pytest.approx(both[1], rel=0.02)
    at_20 = WATER_20._replace(diffusivity=1.760e-9)                     # Han & Bartels (1996)
    coefficient = TRANSFER_FORMS["natural"](2 * 6.67e-4 * np.array([1 - 1e-9, 1 + 1e-9]), 0.2, at_20)
    assert coefficient == pytest.approx(4.0e-4, rel=1e-3)


def test_speed_as_computed_elsewhere():
    # computed apart from this package with the printed equation, rounded to 4 places; status: computed
    speeds = [0.0167, 0.0579, 0.1483, 0.23, 0.23]
    assert rise_speed.si(np.array([0.2, 0.5, 1, 2, 10]) * 1e-3) == pytest.approx(speeds, rel=1.5e-3, abs=6e-5)


def test_transfer_laws_from_their_own_definitions():
    d, v = 2e-3, 0.23
    kl = {form: float(law(d, v, WATER_20)) for form, law in TRANSFER_FORMS.items()}
    # Higbie: penetration theory 2 sqrt(D/(pi t)) with the time to slide one diameter
    assert kl["free skin"] == pytest.approx(2 * np.sqrt(2.0e-9 / (np.pi * d / v)))
    # Frössling in still water: Sherwood number 2
    assert TRANSFER_FORMS["stiff skin"](d, 0.0, WATER_20) * d / 2.0e-9 == pytest.approx(2.0)
    # a skin that moves passes more than one that does not; natural water lies between
    assert kl["stiff skin"] < kl["natural"] < kl["free skin"]


# Computed apart from this package with D = 2.0e-9 m2/s and the Wüest speed, in 1e-4 m/s; status: computed.
@pytest.mark.parametrize("form, diffusivity, expected", [
    ("natural", 1.760e-9, [1.50, 3.00, 4.00, 4.00, 4.00, 4.00]),
    ("free skin", 2.0e-9, [5.43, 6.15, 5.41, 4.42, 3.83, 3.42]),
    ("stiff skin", 2.0e-9, [1.10, 1.20, 1.04, 0.847, 0.732, 0.654]),
])
def test_transfer_laws_as_computed_elsewhere(form, diffusivity, expected):
    d = np.array([0.5, 1, 2, 3, 4, 5]) * 1e-3
    got = TRANSFER_FORMS[form](d, natural_speed(d), WATER_20._replace(diffusivity=diffusivity)) * 1e4
    assert got == pytest.approx(expected, rel=6e-3)


def test_transfer_follows_the_root_of_diffusivity():
    # Han & Bartels (1996) print 1.141e-9, 1.760e-9 and 2.250e-9 m2/s at 5, 20 and 30 C
    at = {t: float(TRANSFER_FORMS["natural"](2e-3, 0.23, bubbles.liquid(t))) for t in (5.0, 20.0, 30.0)}
    assert at[20.0] == pytest.approx(4.0e-4, rel=2e-3)
    assert at[5.0] / at[20.0] == pytest.approx(np.sqrt(1.141 / 1.760), rel=3e-3)
    assert at[30.0] / at[20.0] == pytest.approx(np.sqrt(2.250 / 1.760), rel=3e-3)


def test_units_at_the_door():
    assert rise_speed("2 mm").m_as("cm/s") == pytest.approx(23)
    with pytest.raises(QuantityError, match="more than zero"):
        rise_speed.si(0.0)
    with pytest.warns(UserWarning, match="0.1 to 20 mm.*Clift"):
        rise_speed.si(40e-3)


def test_skin_is_that_of_the_bubbles_counted_one_by_one():
    # 1 L as 2 mm balls: 0.001/(pi 0.002^3/6) of them, each with a skin of pi 0.002^2
    count = 1e-3 / (np.pi * 0.002**3 / 6)
    assert bubbles.skin_area.si(1e-3, 0.002) == pytest.approx(count * np.pi * 0.002**2)
    with pytest.raises(QuantityError, match="above zero"):
        bubbles.skin_area.si(1e-3, 0.0)
