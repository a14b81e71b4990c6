"""Invented offers over the years: by arithmetic from a handbook's work of compression, and by their order."""

import numpy as np
import pytest

from pondcalc.back_pressure import airline
from pondcalc.power_and_housing import offers
from pondcalc.units import Q, Range

TABLE = {offer.name: offer for offer in offers.read_offers()}


def costs(depth="12 ft", flow="4 cfm", price="$0.173/kWh", years="10 yr", **more):
    made = offers.offer_costs(list(TABLE.values()), depth, flow, price, years, **more)
    return {cost.offer.name: cost for cost in made}


def test_power_from_the_handbook():
    # Machinery's Handbook, 31st ed., p. 2816, Table 35 (as read in a copy): adiabatic work, ft-lb for each ft3 of air,
    # 649.5 at 5 psig and 1192.0 at 10 psig. One cfm of 1 ft-lb is 0.0225970 W. The working pressure lies between.
    working = airline.pressure_budget("12 ft", offers.LINE, "4 cfm").working.m_as("psi")
    work = np.interp(working, [5, 8, 10], [649.5, 979.3, 1192.0])       # 979.3 at 8 psig by formula, k = 1.4
    for name, cost in costs().items():
        if cost.fits == "no":
            continue
        for watts, efficiency in zip(cost.power, reversed(TABLE[name].efficiency), strict=True):
            assert watts == pytest.approx(4 * work * 0.022597 / efficiency, rel=0.012)


def test_total_by_arithmetic():
    made = costs()["new piston"]
    # kits every 2 years in the middle of 1 to 3: at 2, 4, 6, 8; life 8 years: bought once more
    by_hand = 560 + 560 + 4 * 80 + made.power.usual / 1000 * 8760 * 10 * 0.173
    assert made.total.usual == pytest.approx(by_hand, rel=2e-3)
    # best end: kits every 3 years (3, 6, 9), life 10 years, so never again; worst: every year (9 times), life 6
    assert made.total.low == pytest.approx(560 + 3 * 80 + made.power.low * 87.6 * 0.173, rel=2e-3)
    assert made.total.high == pytest.approx(560 * 2 + 9 * 80 + made.power.high * 87.6 * 0.173, rel=2e-3)
    assert made.usual.total == pytest.approx(sum(made.usual[:5])) == pytest.approx(made.total.usual)


def test_cheap_in_the_shop_and_dear_in_the_end():
    found = costs()
    able = [cost for cost in found.values() if cost.fits != "no"]
    assert min(able, key=lambda c: c.offer.price).offer.name == "used piston"
    assert max(able, key=lambda c: c.total.usual).offer.name == "used piston"
    # two hours a day turn it round: little electricity, so the shop price counts
    seldom = [cost for cost in costs(hours_a_day="2 h", years="2 yr").values() if cost.fits != "no"]
    assert min(seldom, key=lambda c: c.total.usual).offer.name == "used piston"


def test_a_machine_that_cannot_reach_gets_no_price():
    assert costs()["diaphragm"].fits == "no" and costs()["diaphragm"].total is None
    assert costs(depth="6 ft")["diaphragm"].fits != "no"
    assert "does not fit" in offers.say_offers(costs().values())
    assert "$560 in the shop" in offers.say_offers(costs().values())


def test_a_cost_at_the_edge_of_a_kind_says_so_on_its_line():
    edge = costs(depth="9 ft")
    assert edge["diaphragm"].fits == "maybe" and edge["used piston"].fits == "yes"
    lines = offers.say_offers(edge.values()).splitlines()
    for line, cost in zip(lines, edge.values(), strict=True):
        assert ("at the edge of its kind" in line) == (cost.fits == "maybe")


@pytest.mark.parametrize("name", TABLE)
def test_the_table_is_sound(name):
    offer = TABLE[name]
    assert offer.price > 0 and offer.kit_price > 0 and offer.life[0] < offer.life[1]
    assert 0.15 <= offer.efficiency.low < offer.efficiency.usual < offer.efficiency.high <= 0.45
    assert isinstance(offer.efficiency, Range)


def test_more_depth_and_more_flow_cost_more():
    a, b, c = (costs(depth=d, flow=f)["new piston"].total.usual for d, f in (("10 ft", "3 cfm"), ("20 ft", "3 cfm"),
                                                                            ("20 ft", "5 cfm")))
    assert a < b < c
    with pytest.raises(ValueError, match="years"):
        costs(years=Q("0 yr"))
