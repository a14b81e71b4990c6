"""Whole-life cost and line choice by arithmetic, the energy in the line by the library fluids."""

import fluids
import numpy as np
import pytest

from pondcalc.back_pressure import linechoice
from pondcalc.power_and_housing import lifecost
from pondcalc.power_and_housing.lifecost import Machine
from pondcalc.units import Q, Quantity

FT, INCH, CFM, PSI, YEAR = 0.3048, 0.0254, 4.71947e-4, 6894.757, 365.25 * 86400


def test_present_value():
    # ordinary annuity: 10 years at 5 % count for 7.7217 (any table of interest; (1 - 1.05^-10)/0.05)
    assert lifecost.present_value_factor("10 yr", 0.05).m_as("year") == pytest.approx(7.7217, abs=1e-4)
    assert lifecost.present_value_factor("10 yr").m_as("year") == pytest.approx(10)


def test_life_cost_by_arithmetic():
    # 200 W all year at $0.15/kWh: 1752 kWh, $262.80 a year; ten years; kits of $60 at 2, 4, 6, 8 years
    machine = Machine("A", "$500", "200 W", "$60", "2 yr", "$10/yr")
    cost = lifecost.life_cost(machine, "$0.15/kWh", "10 yr")
    assert cost.electricity.m_as("dollar") == pytest.approx(2628.0, rel=1e-9)
    assert cost.kits.m_as("dollar") == pytest.approx(4 * 60) and cost.upkeep.m_as("dollar") == pytest.approx(100)
    assert cost.total.m_as("dollar") == pytest.approx(500 + 2628 + 240 + 100)
    later = lifecost.life_cost(machine, "$0.15/kWh", "10 yr", discount_rate=0.04)
    assert later.kits.m_as("dollar") == pytest.approx(sum(60 / 1.04**n for n in (2, 4, 6, 8)))
    again = lifecost.life_cost(Machine("B", "$500", "200 W", life="4 yr"), "$0.15/kWh", "10 yr")
    assert again.replacements.m_as("dollar") == pytest.approx(1000), "bought again at 4 and 8 years"


def test_the_dear_one_can_be_the_cheap_one():
    thrifty, cheap = Machine("thrifty", "$900", "150 W"), Machine("cheap", "$400", "300 W")
    less, more = (lifecost.life_cost(machine, "$0.17/kWh", "10 yr") for machine in (thrifty, cheap))
    # 0.15 kW x 8760 h x 10 x 0.17 = $2233.8 and $900; 0.3 kW: $4467.6 and $400
    assert less.total.m_as("dollar") == pytest.approx(3133.8) and more.total.m_as("dollar") == pytest.approx(4867.6)


PRICES = Quantity([0.30, 0.40, 0.50, 0.70, 1.10], "dollar/ft")
BORES = Q([0.5, 0.625, 0.824, 1.049, 1.380], "in")
NAMES = ["1/2 in", "5/8 in", "3/4 in", "1 in", "1-1/4 in"]


def choose(feet, **more):
    return linechoice.choose_line(BORES, PRICES, Q(feet, "ft"), "4 cfm", "19 ft", "$0.17/kWh", "10 yr", names=NAMES,
                                  **more)


def test_energy_of_the_narrow_line_by_fluids():
    found = choose(300)
    # gauge pressure of two sizes differs by their line losses (fluids, at about 64 kPa gauge); the power by the
    # isentropic work of fluids over 30 %; ten years at $0.17/kWh
    powers = []
    for gauge in found.pressure_gauge[[0, 3]].m_as("Pa"):
        work = fluids.isentropic_work_compression(T1=293.15, k=1.4, P1=101325.0, P2=101325.0 + gauge, eta=0.3)
        powers.append(work / 0.0289644 * 4 * CFM * 101325 / (287.05287 * 293.15))
    assert found.power[[0, 3]].m_as("W") == pytest.approx(powers, rel=2e-3)
    dollars = (powers[0] - powers[1]) / 1000 * 8760 * 10 * 0.17
    assert (found.energy_cost[0] - found.energy_cost[3]).m_as("dollar") == pytest.approx(dollars, rel=0.01)
    assert found.pipe_cost.m_as("dollar") == pytest.approx(PRICES.m * 300)
    np.testing.assert_allclose(found.total_cost.m, found.pipe_cost.m + found.energy_cost.m)
    assert np.all(np.diff(found.line_loss.m) < 0)


def test_a_few_hundred_feet_want_an_inch_or_more():
    # common practice, no source: a few hundred feet want 1 to 1-1/4 in line
    for feet in (300, 400, 600):
        found = choose(feet)
        assert NAMES[found.enough] in ("1 in", "1-1/4 in"), feet
        assert NAMES[found.enough] in found.words
    assert NAMES[choose(40).enough] in ("5/8 in", "3/4 in")


def test_past_enough_more_bore_buys_nothing():
    found = choose(300)
    k = found.enough
    assert found.line_loss[k].m < 0.01 * found.pressure_gauge[k].m
    assert found.line_loss[k - 1].m >= 0.01 * found.pressure_gauge[k - 1].m
    saved = (found.energy_cost[k] - found.energy_cost[-1]).m_as("dollar")
    assert saved < 0.01 * found.energy_cost[k].m_as("dollar")


def test_order_and_choking():
    turned = linechoice.choose_line(BORES[::-1], PRICES[::-1], "300 ft", "4 cfm", "19 ft", "$0.17/kWh", "10 yr",
                                    names=NAMES[::-1])
    np.testing.assert_allclose(turned.total_cost.m, choose(300).total_cost.m)
    assert turned.words == choose(300).words
    tiny = linechoice.choose_line(Q([0.1, 1.0], "in"), Quantity([0.1, 1.0], "dollar/ft"), "300 ft", "40 cfm", "19 ft",
                                  "$0.17/kWh", "10 yr")
    assert np.isinf(tiny.total_cost[0].m) and tiny.cheapest == 1 and "Even the widest" in tiny.words


@pytest.mark.parametrize("make, says", [
    (lambda: linechoice.choose_line(BORES, PRICES[:2], "300 ft", "4 cfm", "19 ft", "$0.17/kWh", "10 yr"), "one price"),
    (lambda: choose(300, efficiency=0), "efficiency"), (lambda: Machine("A", Q(-5, "$"), "200 W"), "0 or more"),
    (lambda: Machine("A", "$5", "200 W", life="0 yr"), "more than 0"),
    (lambda: lifecost.life_cost(Machine("A", "$5", "2 W"), "$0.1/kWh", "0 yr"), "years"),
    (lambda: lifecost.present_value_factor("5 yr", -0.1), "discount")])
def test_bad_input_is_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()
