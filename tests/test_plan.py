"""The thin path from a pond record to a first plan."""

import pytest

from pondcalc import record
from pondcalc.back_pressure import airline, compressor
from pondcalc.how_much_oxygen import oxygen
from pondcalc.power_and_housing import housing
from pondcalc.units import Q, Range
from pondcalc.your_plan import plan


@pytest.fixture(scope="module")
def choices():
    return plan.choices_from(record.demo())


def test_each_step_is_the_modules_own_answer(choices):
    made = plan.first_plan(choices)
    line = airline.Line(Q(choices.length, "m"), Q(choices.inside_diameter, "m"))
    flow = Q(made.point.flow_free_air, "m^3/s")
    budget = airline.pressure_budget(Q(choices.submergence, "m"), line, flow, elevation="1150 ft")
    assert made.pressure.working == pytest.approx(budget.working.m_as("Pa"))
    assert made.point.pressure_gauge == pytest.approx(made.pressure.working, rel=1e-6)
    power = compressor.wire_power(flow, Q(made.point.pressure_gauge, "Pa"), elevation="1150 ft")
    assert made.power == pytest.approx([p.m_as("W") for p in power])
    assert made.cost.high == pytest.approx(
        housing.cost_per_year(Q(made.power.high, "W"), "17.3 cents/kWh").m_as("dollar/year"))


def test_static_pressure_and_rule_by_hand(choices):
    # 0.4328 psi a foot at 20 C (IAPWS-95); 1.3 cfm an acre (Nebraska Pond Management, 2nd ed., p. 87)
    made = plan.first_plan(choices)
    assert made.pressure.static / 6894.757 == pytest.approx(0.4328 * choices.submergence / 0.3048, rel=1e-3)
    assert made.air_by_area * 60 / 0.3048**3 == pytest.approx(1.3 * choices.area / 4046.86, rel=1e-3)


def test_the_range_of_the_volume_widens_the_delivery(choices):
    exact = plan.changed(choices, volume=Range(*(choices.volume.usual,) * 3), night=24 * 3600.0)
    usual = choices.volume.usual
    loose = plan.changed(choices, volume=Range(usual / 2, usual, usual * 2), night=24 * 3600.0)
    narrow, wide = (plan.first_plan(c).budget.delivery for c in (exact, loose))
    assert wide.low <= narrow.low and wide.high > narrow.high and wide.usual == pytest.approx(narrow.usual)


def test_a_compressor_that_cannot_reach_is_said_and_costs_nothing(choices):
    made = plan.first_plan(plan.changed(choices, top_pressure=Q("4 psi").m_as("Pa")))
    assert made.point is None and "cannot reach" in made.trouble
    text = plan.say_plan(made)
    thin = plan.first_plan(plan.changed(choices, inside_diameter=0.006))
    assert thin.point is None and thin.pressure.total > made.pressure.total     # the line's loss is not forgotten
    assert "cannot reach" in text and "Electric power" not in text


def test_the_page_has_ranges_in_both_systems(choices):
    made = plan.first_plan(choices)
    us, metric = plan.say_plan(made), plan.say_plan(made, "metric")
    assert "acre-ft" in us and "cfm" in us and "m³" in metric and "kPa" in metric
    assert len(us.splitlines()) == len(metric.splitlines()) == len(plan.plan_lines(made)) + 1
    assert "Assumed, because nothing is saved: fish 250 lb/acre" in us and "elevation" not in us.splitlines()[-1]


def test_impossible_ponds_are_refused(choices):
    with pytest.raises(ValueError, match="workbook 01"):
        plan.choices_from(record.PondRecord("new"))
    with pytest.raises(ValueError, match="workbook 01"):
        plan.choices_from(record.PondRecord("part").with_section("water", {"deepest": Q("9 ft")}))
    with pytest.raises(ValueError, match="shallow"):
        plan.changed(choices, deepest=0.4)


def test_doubts_are_notes_and_not_warnings_on_the_page(choices, recwarn):
    made = plan.first_plan(plan.changed(choices, deepest=12.0))
    assert made.notes and "1 to 8 m" in made.notes[0] and not recwarn.list


def test_saved_numbers_are_used(choices):
    pond = record.demo().with_section("line", {"length": Q("900 ft")}).with_section("oxygen", {"fish": Q("50 lb/acre")})
    again = plan.choices_from(pond)
    assert again.length == pytest.approx(900 * 0.3048)
    assert again.fish < choices.fish
    assert oxygen.FLOOR == choices.floor


def test_a_delivery_saved_by_workbook_02_is_used_and_marked(choices):
    saved = Range(Q("0 lb/h"), Q("0.5 lb/h"), Q("2 lb/h"))
    pond = record.demo().with_section("oxygen", {"delivery": saved})
    made = plan.first_plan(plan.choices_from(pond))
    # 2 lb is 0.90718474 kg exactly
    assert made.budget.delivery.high * 3600 == pytest.approx(0.90718474, rel=1e-6)
    line = next(line for line in plan.plan_lines(made) if "deliver" in line.words)
    assert line.source == "02" and "workbook 02" in line.words
    again = plan.first_plan(choices)
    line = next(line for line in plan.plan_lines(again) if "deliver" in line.words)
    assert "simple budget" in line.source and "workbook 02" not in line.words
    # less oxygen to deliver, less air by bubbles: in proportion
    assert made.air_by_bubbles.high / again.air_by_bubbles.high == pytest.approx(
        made.budget.delivery.high / again.budget.delivery.high)
