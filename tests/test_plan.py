"""The thin path from a pond record to a first plan."""

import pytest

from pondcalc import record
from pondcalc.back_pressure import airline, compressor
from pondcalc.how_much_oxygen import oxygen
from pondcalc.power_and_housing import housing
from pondcalc.units import Q, Range
from pondcalc.your_plan import plan, planchoice


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
    assert made.power.high == 0 and made.cost.high == 0
    thin = plan.first_plan(plan.changed(choices, inside_diameter=0.006))
    assert thin.point is None and thin.pressure.total > made.pressure.total     # the line's loss is not forgotten


def test_a_range_whose_ends_look_alike_gets_more_digits_or_one_number():
    def said(low, usual, high, unit, kind, **more):
        return plan.say_value(plan.PlanLine("", Range(Q(low, unit), Q(usual, unit), Q(high, unit)), kind, "01"), **more)
    assert said(1.151, 1.195, 1.249, "acre", "area") == "1.20 acre (1.15 to 1.25 acre)"
    assert said(1.199, 1.2, 1.201, "acre", "area") == "1.2 acre"
    # 1 acre is 0.4047 ha
    assert said(1, 2, 3, "acre", "area", both=True) == "2.0 acre, 1.0 to 3.0 (0.81 ha, 0.40 to 1.2)"
    assert plan.say_value(plan.PlanLine("", Range(1.0, 2.0, 3.0), "count", "08")) == "2 (1 to 3)"


def test_saved_watts_are_the_watts_of_the_plan_and_scale_with_the_work():
    pond = record.demo().with_section("power", {"power": Range(Q("114 W"), Q("120 W"), Q("126 W"))})
    own = plan.choices_from(pond)
    made = plan.first_plan(own)
    assert made.power == pytest.approx([114, 120, 126])
    # 120 W for 8,760 h at 17.3 cents: 1,051.2 kWh, $181.86
    assert made.cost.usual == pytest.approx(181.86, abs=0.02)
    # the same machine with less water above it does less work, in proportion to the least work on the same air
    higher = plan.first_plan(plan.changed(own, deepest=own.deepest - 1.0))
    work = [float(compressor.adiabatic_power.si(*one.point, own.elevation)) for one in (made, higher)]
    assert higher.power.usual == pytest.approx(120 * work[1] / work[0]) and higher.power.usual < 110
    # another machine: nothing is known about its losses
    other = plan.changed(own, open_flow=own.open_flow / 2)
    assert other.efficiency is None and plan.first_plan(other).power.high > 2.9 * plan.first_plan(other).power.low


def test_watts_that_cannot_be_are_doubted():
    pond = record.demo().with_section("power", {"power": Range(Q("20 W"), Q("25 W"), Q("30 W"))})
    assert any("Check the reading" in note for note in plan.first_plan(plan.choices_from(pond)).notes)


def test_a_pond_without_water_becomes_a_marked_example_and_keeps_its_own_numbers():
    bare = record.PondRecord("Mine").with_section("site", {"elevation": Q("300 ft"), "price": Q("12 cents/kWh")})
    made = planchoice.example_for(bare)
    assert made.invented and "example in place of Mine" in made.name
    choices = plan.choices_from(made)
    assert choices.price * 3.6e6 == pytest.approx(0.12) and choices.elevation == pytest.approx(300 * 0.3048)


def test_a_machine_of_another_size(choices):
    typed = plan.changed(choices, curve=compressor.CompressorCurve(["5 psi", "15 psi"], ["2.4 cfm", "1.6 cfm"]))
    for own in (choices, typed):
        assert planchoice.resized(own, 1.0) is own
        half = plan.machine(planchoice.resized(own, 0.5)).flow_free_air
        assert half == pytest.approx(plan.machine(own).flow_free_air / 2)


def test_impossible_ponds_are_refused(choices):
    with pytest.raises(ValueError, match="workbook 01"):
        plan.choices_from(record.PondRecord("new"))
    with pytest.raises(ValueError, match="workbook 01"):
        plan.choices_from(record.PondRecord("part").with_section("water", {"deepest": Q("9 ft")}))
    with pytest.raises(ValueError, match="shallow"):
        plan.changed(choices, deepest=0.4)


def test_doubts_are_notes_and_not_warnings_on_the_page(choices, recwarn):
    made = plan.first_plan(plan.changed(choices, temperature=33.0))
    assert made.notes and "outside 59 to 86 °F (15 to 30 °C)" in made.notes[0] and not recwarn.list


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
    again = plan.first_plan(choices)
    assert made.one_night == again.one_night == again.budget.delivery, "the one-night budget stands beside it"
