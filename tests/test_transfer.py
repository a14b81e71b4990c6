"""From a clean-water rating to a pond."""

import numpy as np
import pytest

from pondcalc import water
from pondcalc.door import air, transfer
from pondcalc.units import Q, QuantityError
from pondcalc.water import STANDARD, Water

FT = 0.3048


def test_oxygen_in_a_cubic_foot_a_minute():
    # arithmetic: 1.2041 kg/m3 of dry air at 20 C and 1 atm (CIPM-2007) x 0.2314 = 0.2786 kg/m3
    rate = air.oxygen_mass_flow("1 cfm")
    assert rate.m_as("lb/hour") == pytest.approx(1.04, rel=5e-3)
    assert rate.m_as("kg/hour") == pytest.approx(0.4734, rel=5e-3)
    # a rating of 0.313 lb/h is 30 % of it
    assert transfer.standard_transfer_efficiency(Q(0.313, "lb/hr"), "1 cfm").m_as("") == pytest.approx(0.3, rel=5e-3)


@pytest.mark.parametrize("celsius, factor", [(10, 0.7889), (20, 1.0), (25, 1.1259), (28, 1.2089),
                                             (30, 1.2677)])
def test_theta(celsius, factor):
    # 1.024^(T - 20), arithmetic; 1.024 is the value of the clean-water standard (second-hand)
    assert 1 / transfer.transfer_coefficient_at_20.si(1.0, celsius) == pytest.approx(factor, abs=5e-5)
    assert transfer.transfer_coefficient_at_20.si(factor, celsius) == pytest.approx(1.0, abs=1e-4)


@pytest.mark.parametrize("celsius, tau", [(10, 1.2415), (25, 0.9088), (30, 0.8313)])
def test_tau(celsius, tau):
    # ratios of Benson & Krause (1984) saturations 11.288, 9.092, 8.263, 7.559
    assert transfer.temperature_factor.si(celsius) == pytest.approx(tau, abs=2e-4)


def test_depth_factors():
    # Mueller, Boyle & Pöpel (2002) fit as carried in public process code (second-hand); the effective-depth form,
    # 1 + 0.4 d/10.33 (Metcalf & Eddy 2014), says the same
    assert transfer.depth_factor.si(20 * FT) == pytest.approx(1.2352, abs=1e-4)
    assert transfer.depth_factor.si(20 * FT) == pytest.approx(1 + 0.4 * 20 * FT / 10.33, abs=1e-3)
    at = np.array([10, 15, 20]) * FT
    surface = 9.092                 # mg/L at 20 C, Benson & Krause (1984)
    assert surface * transfer.depth_factor.si(at) == pytest.approx([10.16, 10.69, 11.23], abs=0.007)


def test_textbook_example():
    # Metcalf & Eddy, Wastewater Engineering, 5th ed. (2014), pp. 756-768, inputs second-hand: 12 C, 500 m up, diffuser
    # 4.4 m down, alpha 0.5, F 0.9, beta 0.95, DO 2 mg/L, P_b/P_a 0.94, effective depth 0.4: SOTR/OTR_f 3.078,
    # computed. Put back: its alpha and F, its beta and its plain pressure ratio in the shortage.
    textbook = np.exp(-9.81 * 28.97 * 500 / (8314 * (273.15 + 12)))
    assert textbook == pytest.approx(0.9418, abs=2e-4)
    site = Water(12.0, textbook * 101325)
    got = transfer.field_correction.si(2.0, 4.4, site)
    held = 2.0 / (transfer.depth_factor.si(4.4) * STANDARD.saturation)
    theirs = (got.shortage + held) * 0.95 / 0.98 * textbook / transfer.pressure_factor.si(4.4, site) - held
    assert 1 / (got.total / got.alpha * 0.5 * 0.9 * theirs / got.shortage) == pytest.approx(3.078, rel=2e-3)


@pytest.mark.parametrize("oxygen, celsius, total", [(4, 25, 0.510), (0, 20, 0.851), (3, 28, 0.595),
                                                   (5, 28, 0.401), (8, 10, 0.328)])
def test_pond_examples(oxygen, celsius, total):
    # computed apart: alpha 0.9, beta 0.98, 1000 ft, diffuser at 20 ft, plain pressure ratio
    water = Water(celsius, air.pressure_by_elevation.si(1000 * FT))
    got = transfer.field_correction.si(oxygen, 20 * FT, water)
    assert got.total == pytest.approx(got.alpha * got.temperature * got.shortage)
    # water over the diffuser does not thin with height, so it is a little more than by the plain ratio
    assert total < got.total * 0.9 / got.alpha < 1.06 * total
    # water over the surface saturation of 9.09 mg/L still takes some from a deep diffuser, none at the surface
    deep, shallow = (transfer.field_correction.si(9.5, depth, STANDARD).total for depth in (20 * FT, 0.0))
    assert deep > 0 > shallow


def test_pressure_factor_has_its_limits():
    vapor = water.vapor_pressure(20.0)
    assert transfer.pressure_factor.si(6.0, STANDARD) == 1.0
    # at no depth: the ratio of dry air pressures
    assert transfer.pressure_factor.si(0.0, Water(20.0, 90000.0)) == pytest.approx((90000 - vapor) / (101325 - vapor))
    # p_de by hand at 20 ft: 0.2352 x (101325 - 2339) = 23282 Pa, once, not times the depth
    assert transfer.pressure_factor.si(20 * FT, Water(20.0, 90000.0)) \
        == pytest.approx((90000 + 23282 - 2339) / (101325 + 23282 - 2339), abs=2e-5)


def test_rate_and_efficiency_chain():
    # definitions: kLa20 5 1/h x 9 g/m3 x 2 m3 = 90 g/h; over 100 W = 0.9 kg/kWh
    rate = transfer.standard_transfer_rate("5 per_hour", "9 mg/L", "2 m3")
    assert rate.m_as("g/hour") == pytest.approx(90.0)
    saved = transfer.aeration_efficiency(rate, "100 W")
    assert saved.m_as("kg/kWh") == pytest.approx(0.9)
    # 1 lb/(hp h) = 0.45359 kg / 0.7457 kWh = 0.6083 kg/kWh
    assert saved.m_as("lb/(hp*hour)") == pytest.approx(0.9 / 0.6083, rel=1e-4)


@pytest.mark.parametrize("call, words", [
    (lambda: transfer.field_correction.si(-1.0, 6.0, STANDARD), "below zero"),
    (lambda: transfer.standard_transfer_efficiency.si(1.0, 1e-4), "Check the air flow"),
    (lambda: transfer.depth_factor.si(-5.0), "below zero"),
    (lambda: transfer.aeration_efficiency.si(1.0, 0.0), "power above zero")])
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(QuantityError, match=words):
        call()
    with pytest.warns(UserWarning, match="10 m"):
        transfer.depth_factor.si(14.0)
