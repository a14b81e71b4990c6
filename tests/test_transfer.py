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
    assert rate.m_as("lb/day") == pytest.approx(25.0, rel=5e-3)


@pytest.mark.parametrize("share, pounds", [(0.1, 0.104), (0.2, 0.209), (0.3, 0.313), (0.4, 0.417)])
def test_rating_of_one_cubic_foot_a_minute(share, pounds):
    # computed: share x 1.043 lb/h
    efficiency = transfer.standard_transfer_efficiency(Q(pounds, "lb/hr"), "1 cfm")
    assert efficiency.m_as("dimensionless") == pytest.approx(share, rel=5e-3)


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
    # Mueller, Boyle & Pöpel (2002) fits as carried in public process code (second-hand)
    assert transfer.depth_factor.si(20 * FT) == pytest.approx(1.2352, abs=1e-4)
    assert transfer.depth_factor.si(20 * FT, "effective", 0.4) == pytest.approx(1.2360, abs=1e-4)
    fit, form = (transfer.depth_factor.si(20 * FT, kind) for kind in ("fine", "effective"))
    assert fit == pytest.approx(form, rel=1e-3)
    at = np.array([10, 15, 20]) * FT
    surface = 9.092                 # mg/L at 20 C, Benson & Krause (1984)
    assert surface * transfer.depth_factor.si(at) == pytest.approx([10.16, 10.69, 11.23], abs=0.007)
    assert surface * transfer.depth_factor.si(at, "coarse") == pytest.approx([9.81, 10.21, 10.61], abs=0.006)
    for share, level in ((0.25, 10.43), (0.33, 10.86), (0.40, 11.24), (0.50, 11.77)):
        assert surface * transfer.depth_factor.si(20 * FT, "effective", share) == pytest.approx(level, abs=0.006)


def test_textbook_example():
    # Metcalf & Eddy, Wastewater Engineering, 5th ed. (2014), pp. 756-768, inputs second-hand: 12 C, 500 m up,
    # diffuser 4.4 m down, alpha 0.5, F 0.9, beta 0.95, DO 2 mg/L. P_b/P_a is 0.94 there. SOTR/OTR_f computed.
    textbook = np.exp(-9.81 * 28.97 * 500 / (8314 * (273.15 + 12)))
    assert textbook == pytest.approx(0.9418, abs=2e-4)
    for effective, ratio in ((0.4, 3.078), (0.25, 3.117)):
        got = transfer.field_correction.si(2.0, 4.4, Water(12.0, textbook * 101325), 0.5, 0.95, 0.9,
                                           "effective", effective, True)
        assert 1 / got.total == pytest.approx(ratio, rel=2e-3)


@pytest.mark.parametrize("oxygen, celsius, total", [(4, 25, 0.510), (0, 20, 0.851), (3, 28, 0.595),
                                                   (5, 28, 0.401), (8, 10, 0.328)])
def test_pond_examples(oxygen, celsius, total):
    # computed apart: alpha 0.9, beta 0.98, 1000 ft, diffuser at 20 ft, plain pressure ratio
    water = Water(celsius, air.pressure_by_elevation.si(1000 * FT))
    got = transfer.field_correction.si(oxygen, 20 * FT, water, 0.9, 0.98, 1.0, "fine", 0.4, True)
    assert got.total == pytest.approx(total, abs=1.5e-3)
    assert got.total == pytest.approx(got.alpha * got.fouling * got.temperature * got.shortage)
    full = transfer.field_correction.si(oxygen, 20 * FT, water, 0.9, 0.98)
    assert got.total < full.total < 1.06 * got.total      # water over the diffuser does not thin with height


def test_pressure_factor_has_its_limits():
    vapor = water.vapor_pressure(20.0)
    assert transfer.pressure_factor.si(6.0, STANDARD) == 1.0
    # at no depth: the ratio of dry air pressures
    assert transfer.pressure_factor.si(0.0, Water(20.0, 90000.0)) == pytest.approx((90000 - vapor) / (101325 - vapor))
    # p_de by hand at 20 ft: 0.2352 x (101325 - 2339) = 23282 Pa, once, not times the depth
    assert transfer.pressure_factor.si(20 * FT, Water(20.0, 90000.0)) \
        == pytest.approx((90000 + 23282 - 2339) / (101325 + 23282 - 2339), abs=2e-5)


def test_surface_saturation_would_understate_a_deep_diffuser():
    # the level it settles at is above the surface saturation, so a little supersaturation is possible
    assert transfer.field_correction.si(9.5, 20 * FT, STANDARD).total > 0
    assert transfer.field_correction.si(9.5, 0.0, STANDARD).total < 0


def test_rate_and_efficiency_chain():
    # definitions: kLa20 5 1/h x 9 g/m3 x 2 m3 = 90 g/h; over 100 W = 0.9 kg/kWh
    rate = transfer.standard_transfer_rate("5 per_hour", "9 mg/L", "2 m3")
    assert rate.m_as("g/hour") == pytest.approx(90.0)
    saved = transfer.aeration_efficiency(rate, "100 W")
    assert saved.m_as("kg/kWh") == pytest.approx(0.9)
    # 1 lb/(hp h) = 0.45359 kg / 0.7457 kWh = 0.6083 kg/kWh
    assert saved.m_as("lb/(hp*hour)") == pytest.approx(0.9 / 0.6083, rel=1e-4)


def test_every_letter_is_defined():
    assert {"kLa", "SOTR", "SOTE", "SAE", "OTR_f", "alpha", "beta", "F", "theta", "tau", "Omega", "delta"} \
        <= set(transfer.DEFINITIONS)


@pytest.mark.parametrize("call, words", [
    (lambda: transfer.field_correction.si(4.0, 6.0, STANDARD, alpha=3.0), "alpha must be 0.1 to 1.3"),
    (lambda: transfer.field_correction.si(-1.0, 6.0, STANDARD), "below zero"),
    (lambda: transfer.standard_transfer_efficiency.si(1.0, 1e-4), "Check the air flow"),
    (lambda: transfer.depth_factor.si(5.0, "medium"), "Choose: fine"),
    (lambda: transfer.aeration_efficiency.si(1.0, 0.0), "power above zero")])
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(QuantityError, match=words):
        call()


def test_deep_tanks_warn():
    with pytest.warns(UserWarning, match="10 m"):
        transfer.depth_factor.si(14.0)
