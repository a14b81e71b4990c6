"""Which unknown matters most, and what another plan would come to."""

import numpy as np
import pytest

from pondcalc import catalogue, record
from pondcalc.back_pressure import airline, families
from pondcalc.units import Q, Range
from pondcalc.your_plan import alternatives, plan, planchoice, sensitivity

PSI = 6894.757


@pytest.fixture(scope="module")
def choices():
    return planchoice.choices_from(record.demo())


def by_words(swings):
    return {swing.words: swing for swing in swings}


def test_depth_moves_the_pressure_by_the_weight_of_the_water(choices):
    _, swings = sensitivity.one_at_a_time(choices, "Pressure to ask for")
    low, high = by_words(swings)["Depth of the diffuser"].results
    # two feet between the ends at 0.4328 psi a foot (IAPWS-95, 20 C), with the margin of 15 %
    assert (high - low) / PSI == pytest.approx(2 * 0.4328 * 1.15, rel=0.02)


def test_price_moves_the_cost_in_proportion(choices):
    unasked = plan.changed(choices, assumed=("price",))
    now, swings = sensitivity.one_at_a_time(unasked, "Cost of a year")
    price = by_words(swings)["Price of electricity"]
    assert np.array(price.results) / now == pytest.approx([0.75, 1.35])
    # 17.3 cents of the demonstration pond
    assert [end.m_as("dollar/kilowatt_hour") for end in price.ends] == pytest.approx([0.12975, 0.23355])
    losses = by_words(swings)[sensitivity.LOSSES]
    assert losses.results[1] / losses.results[0] == pytest.approx(0.45 / 0.15), "ends of the wire efficiency"


def test_the_longest_bar_comes_first_and_idle_unknowns_are_left_out(choices):
    for outcome in sensitivity.OUTCOMES:
        _, swings = sensitivity.one_at_a_time(choices, outcome)
        sizes = [swing.size for swing in swings]
        assert sizes == sorted(sizes, reverse=True) and min(sizes) > 0
    dawn = by_words(sensitivity.one_at_a_time(choices, "Oxygen at dawn")[1])
    assert "Fish" in dawn and "Price of electricity" not in dawn and "Length of the line" not in dawn


def test_no_unknown_that_moves_an_outcome_is_spared(choices, monkeypatch):
    fields = set(catalogue.SECTIONS)
    spared = {outcome: sensitivity.one_at_a_time(choices, outcome) for outcome in sensitivity.OUTCOMES}
    monkeypatch.setattr(sensitivity, "_MOVED_BY", dict.fromkeys(sensitivity.OUTCOMES, fields))
    for outcome, found in spared.items():
        assert sensitivity.one_at_a_time(choices, outcome) == found, outcome


def test_an_end_without_air_is_said_and_counts_most(choices):
    line = airline.Line.si(choices.length, choices.inside_diameter)
    least = airline.system_curve.si(choices.submergence, line, elevation=0.0)(0.0)
    # a fifth of a psi to spare, and another foot of water takes 0.43
    edge = plan.changed(choices, elevation=0.0, top_pressure=float(least) + 0.2 * PSI, droop=1.0)
    now, swings = sensitivity.one_at_a_time(edge, "Air that arrives")
    assert now > 0 and swings[0].words == "Depth of the diffuser"
    swing = swings[0]
    gone, _ = sensitivity.one_at_a_time(plan.changed(edge, deepest=edge.deepest + 6.0), "Air that arrives")
    assert np.isnan(gone)
    assert np.isnan(swing.results).any() and swing.size == np.inf
    assert "no air at all" in sensitivity.say_swings("Air that arrives", swing)


def test_two_or_three_are_named_once(choices):
    found = sensitivity.matters_most(choices)
    words = [swing.words for _, _, swing in found]
    assert 2 <= len(words) <= 3 and len(set(words)) == len(words) and sensitivity.LOSSES in words


def test_what_is_known_is_no_unknown():
    def costs(low, usual, high, pond):
        watts = Range(*(Q(w, "W") for w in (low, usual, high)))
        choices = planchoice.choices_from(pond.with_section("power", {"power": watts}))
        return sensitivity.one_at_a_time(choices, "Cost of a year")
    now, swings = costs(114, 120, 126, record.demo())       # a meter, and the price of a bill: nothing is open
    assert swings == [] and now == pytest.approx(0.120 * 8760 * 0.173, rel=1e-3)
    now, swings = costs(180, 220, 260, record.demo())       # a plate: its own range is
    assert [swing.words for swing in swings] == [sensitivity.LOSSES]
    assert swings[0].results == pytest.approx((0.180 * 8760 * 0.173, 0.260 * 8760 * 0.173), rel=1e-3)
    unasked = record.PondRecord("x", sections={"water": record.demo().sections["water"]})
    assert "Price of electricity" in by_words(costs(114, 120, 126, unasked)[1])


def test_the_dawn_of_workbook_02_is_the_dawn_of_the_bars():
    saved = Range(Q("2.3 mg/L"), Q("4.5 mg/L"), Q("5.8 mg/L"))
    choices = planchoice.choices_from(record.demo().with_section("oxygen", {"dawn": saved}))
    now, swings = sensitivity.one_at_a_time(choices, "Oxygen at dawn")
    assert now == pytest.approx(4.5)
    inside = next(swing for swing in swings if swing.words.startswith("How green"))
    assert inside.results == pytest.approx((2.3, 5.8))
    plain = by_words(sensitivity.one_at_a_time(planchoice.choices_from(record.demo()), "Oxygen at dawn")[1])["Fish"]
    assert by_words(swings)["Fish"].size == pytest.approx(plain.size), "moved as far as before, round another value"


def test_a_saved_curve_is_scaled_and_not_dropped(choices):
    own = plan.changed(choices, curve=families.generic_curve.si("rotary vane", 0.002))
    _, swings = sensitivity.one_at_a_time(own, "Air that arrives")
    now = plan.first_plan(own).point.flow_free_air
    low, high = by_words(swings)["Flow of the compressor in open air"].results
    assert low / now == pytest.approx(0.9, rel=0.02) and high / now == pytest.approx(1.1, rel=0.02)


def test_an_unknown_outcome_names_those_there_are(choices):
    with pytest.raises(ValueError, match="Oxygen at dawn"):
        sensitivity.one_at_a_time(choices, "happiness")
    with pytest.raises(ValueError, match="Half the air"):
        alternatives.changed_plan(choices, "magic")


def test_ten_years_by_arithmetic():
    # 200 W at $0.15/kWh: 1,752 kWh and $262.80 a year; a machine of $600 bought again at 8 years; kits of $90 at
    # 2, 4, 6, 8; upkeep $30 a year. Low: $300, bought again never, kits of $60 at 3, 6, 9. High: $1,200 again at 5,
    # kits of $150 at 1 to 9
    cost = alternatives.ten_years(Range(100.0, 200.0, 300.0), 0.15 / 3.6e6)
    assert cost.usual == pytest.approx(2628 + 1200 + 360 + 300, abs=0.5)
    assert cost.low == pytest.approx(1314 + 300 + 180 + 150, abs=0.5)
    assert cost.high == pytest.approx(3942 + 2400 + 1350 + 600, abs=0.5)


def test_alternatives_change_what_they_say_and_nothing_else(choices):
    first, second = alternatives.changed_plan(choices, "Diffuser 3 ft (0.9 m) higher")
    fall = first.plan.pressure.static - second.plan.pressure.static
    assert fall / PSI == pytest.approx(3 * 0.4328, rel=1e-3)
    assert second.lifted.usual < first.lifted.usual
    _, half = alternatives.changed_plan(choices, "Half the air")
    assert half.plan.point.flow_free_air / first.plan.point.flow_free_air == pytest.approx(0.5, rel=0.02)
    _, two = alternatives.changed_plan(choices, "One diffuser more, on the same air")
    assert two.plan.point == first.plan.point and two.plan.choices.diffusers == 2
    assert two.turnover.usual == pytest.approx(choices.volume.usual / two.lifted.usual)
    _, thin = alternatives.changed_plan(choices, "A line of 3/4 the bore")
    assert thin.plan.pressure.line > 3 * first.plan.pressure.line, "about the fifth power: (4/3)^4.75 is 3.9"


def test_a_machine_that_cannot_reach_costs_nothing_and_says_none(choices):
    both = alternatives.changed_plan(plan.changed(choices, deepest=6.0), "A generic diaphragm machine")
    assert both[1].ten_years is None and "cannot reach" in both[1].plan.trouble
    rows = alternatives.side_by_side(both)
    assert rows[0][1:] == ["The plan", "A generic diaphragm machine"] and all(len(row) == 3 for row in rows)
    assert next(row for row in rows if row[0] == "Air that arrives")[2] == "none"
    assert next(row for row in rows if row[0] == "Ten years of the machine")[2] == ""


def test_a_pond_too_shallow_for_a_change_is_refused(choices):
    with pytest.raises(ValueError, match="shallow"):
        alternatives.changed_plan(plan.changed(choices, deepest=Q("3 ft").m_as("m")), "Diffuser 3 ft (0.9 m) higher")
