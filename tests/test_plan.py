"""The thin path from a pond record to a first plan.

Which unknown matters most, and what another plan would come to.
"""

import numpy as np
import pytest

from pondcalc import catalogue, record
from pondcalc.door import airline, compressor, housing
from pondcalc.how_much_oxygen import oxygen
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
    made = plan.example_for(bare)
    assert made.invented and "example in place of Mine" in made.name
    choices = plan.choices_from(made)
    assert choices.price * 3.6e6 == pytest.approx(0.12) and choices.elevation == pytest.approx(300 * 0.3048)


def test_a_machine_of_another_size(choices):
    typed = plan.changed(choices, curve=compressor.CompressorCurve(["5 psi", "15 psi"], ["2.4 cfm", "1.6 cfm"]))
    for own in (choices, typed):
        assert plan.resized(own, 1.0) is own
        half = plan.machine(plan.resized(own, 0.5)).flow_free_air
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


PSI = 6894.757


def by_words(swings):
    return {swing.words: swing for swing in swings}


def test_depth_moves_the_pressure_by_the_weight_of_the_water(choices):
    _, swings = plan.one_at_a_time(choices, "Pressure to ask for")
    low, high = by_words(swings)["Depth of the diffuser"].results
    # two feet between the ends at 0.4328 psi a foot (IAPWS-95, 20 C), with the margin of 15 %
    assert (high - low) / PSI == pytest.approx(2 * 0.4328 * 1.15, rel=0.02)


def test_price_moves_the_cost_in_proportion(choices):
    unasked = plan.changed(choices, assumed=("price",))
    now, swings = plan.one_at_a_time(unasked, "Cost of a year")
    price = by_words(swings)["Price of electricity"]
    assert np.array(price.results) / now == pytest.approx([0.75, 1.35])
    # 17.3 cents of the demonstration pond
    assert [end.m_as("dollar/kilowatt_hour") for end in price.ends] == pytest.approx([0.12975, 0.23355])
    losses = by_words(swings)[plan.LOSSES]
    assert losses.results[1] / losses.results[0] == pytest.approx(0.45 / 0.15), "ends of the wire efficiency"


def test_the_longest_bar_comes_first_and_idle_unknowns_are_left_out(choices):
    for outcome in plan.OUTCOMES:
        _, swings = plan.one_at_a_time(choices, outcome)
        sizes = [swing.size for swing in swings]
        assert sizes == sorted(sizes, reverse=True) and min(sizes) > 0
    dawn = by_words(plan.one_at_a_time(choices, "Oxygen at dawn")[1])
    assert "Fish" in dawn and "Price of electricity" not in dawn and "Length of the line" not in dawn


def test_no_unknown_that_moves_an_outcome_is_spared(choices, monkeypatch):
    fields = set(catalogue.SECTIONS)
    spared = {outcome: plan.one_at_a_time(choices, outcome) for outcome in plan.OUTCOMES}
    monkeypatch.setattr(plan, "_MOVED_BY", dict.fromkeys(plan.OUTCOMES, fields))
    for outcome, found in spared.items():
        assert plan.one_at_a_time(choices, outcome) == found, outcome


def test_an_end_without_air_is_said_and_counts_most(choices):
    line = airline.Line.si(choices.length, choices.inside_diameter)
    least = airline.system_curve.si(choices.submergence, line, elevation=0.0)(0.0)
    # a fifth of a psi to spare, and another foot of water takes 0.43
    edge = plan.changed(choices, elevation=0.0, top_pressure=float(least) + 0.2 * PSI, droop=1.0)
    now, swings = plan.one_at_a_time(edge, "Air that arrives")
    assert now > 0 and swings[0].words == "Depth of the diffuser"
    swing = swings[0]
    gone, _ = plan.one_at_a_time(plan.changed(edge, deepest=edge.deepest + 6.0), "Air that arrives")
    assert np.isnan(gone)
    assert np.isnan(swing.results).any() and swing.size == np.inf
    assert "no air at all" in plan.say_swings("Air that arrives", swing)


def test_two_or_three_are_named_once(choices):
    found = plan.matters_most(choices)
    words = [swing.words for _, _, swing in found]
    assert 2 <= len(words) <= 3 and len(set(words)) == len(words) and plan.LOSSES in words


def test_what_is_known_is_no_unknown():
    def costs(low, usual, high, pond):
        watts = Range(*(Q(w, "W") for w in (low, usual, high)))
        choices = plan.choices_from(pond.with_section("power", {"power": watts}))
        return plan.one_at_a_time(choices, "Cost of a year")
    now, swings = costs(114, 120, 126, record.demo())       # a meter, and the price of a bill: nothing is open
    assert swings == [] and now == pytest.approx(0.120 * 8760 * 0.173, rel=1e-3)
    now, swings = costs(180, 220, 260, record.demo())       # a plate: its own range is
    assert [swing.words for swing in swings] == [plan.LOSSES]
    assert swings[0].results == pytest.approx((0.180 * 8760 * 0.173, 0.260 * 8760 * 0.173), rel=1e-3)
    unasked = record.PondRecord("x", sections={"water": record.demo().sections["water"]})
    assert "Price of electricity" in by_words(costs(114, 120, 126, unasked)[1])


def test_the_dawn_of_workbook_02_is_the_dawn_of_the_bars():
    saved = Range(Q("2.3 mg/L"), Q("4.5 mg/L"), Q("5.8 mg/L"))
    choices = plan.choices_from(record.demo().with_section("oxygen", {"dawn": saved}))
    now, swings = plan.one_at_a_time(choices, "Oxygen at dawn")
    assert now == pytest.approx(4.5)
    inside = next(swing for swing in swings if swing.words.startswith("How green"))
    assert inside.results == pytest.approx((2.3, 5.8))
    plain = by_words(plan.one_at_a_time(plan.choices_from(record.demo()), "Oxygen at dawn")[1])["Fish"]
    assert by_words(swings)["Fish"].size == pytest.approx(plain.size), "moved as far as before, round another value"


def test_a_saved_curve_is_scaled_and_not_dropped(choices):
    own = plan.changed(choices, curve=compressor.generic_curve.si("rotary vane", 0.002))
    _, swings = plan.one_at_a_time(own, "Air that arrives")
    now = plan.first_plan(own).point.flow_free_air
    low, high = by_words(swings)["Flow of the compressor in open air"].results
    assert low / now == pytest.approx(0.9, rel=0.02) and high / now == pytest.approx(1.1, rel=0.02)


def test_an_unknown_outcome_names_those_there_are(choices):
    with pytest.raises(ValueError, match="Oxygen at dawn"):
        plan.one_at_a_time(choices, "happiness")
    with pytest.raises(ValueError, match="Half the air"):
        plan.changed_plan(choices, "magic")


def test_ten_years_by_arithmetic():
    # 200 W at $0.15/kWh: 1,752 kWh and $262.80 a year; a machine of $600 bought again at 8 years; kits of $90 at
    # 2, 4, 6, 8; upkeep $30 a year. Low: $300, bought again never, kits of $60 at 3, 6, 9. High: $1,200 again at 5,
    # kits of $150 at 1 to 9
    cost = plan.ten_years(Range(100.0, 200.0, 300.0), 0.15 / 3.6e6)
    assert cost.usual == pytest.approx(2628 + 1200 + 360 + 300, abs=0.5)
    assert cost.low == pytest.approx(1314 + 300 + 180 + 150, abs=0.5)
    assert cost.high == pytest.approx(3942 + 2400 + 1350 + 600, abs=0.5)


def test_alternatives_change_what_they_say_and_nothing_else(choices):
    first, second = plan.changed_plan(choices, "Diffuser 3 ft (0.9 m) higher")
    fall = first.plan.pressure.static - second.plan.pressure.static
    assert fall / PSI == pytest.approx(3 * 0.4328, rel=1e-3)
    assert second.lifted.usual < first.lifted.usual
    _, half = plan.changed_plan(choices, "Half the air")
    assert half.plan.point.flow_free_air / first.plan.point.flow_free_air == pytest.approx(0.5, rel=0.02)
    _, two = plan.changed_plan(choices, "One diffuser more, on the same air")
    assert two.plan.point == first.plan.point and two.plan.choices.diffusers == 2
    assert two.turnover.usual == pytest.approx(choices.volume.usual / two.lifted.usual)
    _, thin = plan.changed_plan(choices, "A line of 3/4 the bore")
    assert thin.plan.pressure.line > 3 * first.plan.pressure.line, "about the fifth power: (4/3)^4.75 is 3.9"


def test_a_machine_that_cannot_reach_costs_nothing_and_says_none(choices):
    both = plan.changed_plan(plan.changed(choices, deepest=6.0), "A generic diaphragm machine")
    assert both[1].ten_years is None and "cannot reach" in both[1].plan.trouble
    rows = plan.side_by_side(both)
    assert rows[0][1:] == ["The plan", "A generic diaphragm machine"] and all(len(row) == 3 for row in rows)
    assert next(row for row in rows if row[0] == "Air that arrives")[2] == "none"
    assert next(row for row in rows if row[0] == "Ten years of the machine")[2] == ""


def test_a_pond_too_shallow_for_a_change_is_refused(choices):
    with pytest.raises(ValueError, match="shallow"):
        plan.changed_plan(plan.changed(choices, deepest=Q("3 ft").m_as("m")),
                          "Diffuser 3 ft (0.9 m) higher")
