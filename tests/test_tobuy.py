"""What must be bought, and how many of each."""

import math

import numpy as np
import pytest

from pondcalc import record
from pondcalc.bubbles_and_oxygen import plume
from pondcalc.door import airline, lineplan
from pondcalc.units import Q, Range
from pondcalc.water import Water
from pondcalc.your_plan import plan, planparts, tobuy

pytestmark = pytest.mark.usefixtures("worked_out_once")
FT = 0.3048


@pytest.fixture(scope="module")
def made():
    return plan.first_plan(plan.choices_from(record.demo()))


@pytest.fixture(scope="module")
def whole():
    return planparts.whole_plan(record.demo())


def test_diffusers_for_mixing_and_area(made):
    count = tobuy.diffuser_count(made)
    # 2.39 acres: three acres begun. One pond volume a day is 15.45 acre-ft, 325,851 gal each, over 1,440 minutes: 3,496
    # gpm; one plume of this air lifts less at its low estimate, and two or more of half the air lift 2^(2/3) times it
    assert count.number.usual == 3 and 1 <= count.number.low <= count.number.usual <= count.number.high
    little = plan.first_plan(plan.changed(made.choices, open_flow=0.6 * tobuy.CFM))
    assert tobuy.diffuser_count(little).number == (1, 1, 1), "half a cfm feeds one"
    assert "little oxygen" in " ".join(count.reasons)
    assert tobuy.diffuser_count(made, plume.uniform_column()).number == count.number
    # a step of 27 C in 30 ft of water stops every plume, so that one diffuser with all the air is the best to ask for
    step = plume.Column(np.array([0.0, 1.99, 2.0, 9.0]), Water(np.array([32.0, 32.0, 5.0, 5.0])), np.zeros(4))
    deep = plan.first_plan(plan.changed(made.choices, deepest=9.6))
    assert tobuy.diffuser_count(deep).number.usual == 3
    choked = tobuy.diffuser_count(deep, step)
    assert choked.number.usual < 3 and "a plume of" in choked.reasons[-1]
    assert "each acre or part of it makes 3" in choked.reasons[0] and "at most" in choked.reasons[0]
    assert "at most" not in count.reasons[0]


def test_the_plan_takes_the_number_it_advises_until_workbook_03_has_chosen(whole):
    assert whole.plan.choices.diffusers == whole.count.number.usual == 3
    own = record.demo().with_section("air", {"diffusers": Q(1.0, "dimensionless"), "submergence": Q("12 ft")})
    assert planparts.whole_plan(own).plan.choices.diffusers == 1


def test_a_thin_hose_is_named_with_the_size_that_pays(made):
    thin = tobuy.line_size(plan.first_plan(plan.changed(made.choices, inside_diameter=0.5 * 0.0254)))
    assert thin.better and thin.own > 1.3 * thin.cost and thin.buy.nominal == "1"
    wide = tobuy.line_size(plan.first_plan(plan.changed(made.choices, inside_diameter=1.049 * 0.0254)))
    assert not wide.better
    # 250 ft of 1 in pipe at $0.60 a foot is $150, all but a little of the cost in a line that hardly rubs
    assert wide.own == pytest.approx(wide.cost) and 150 < wide.cost < 200


def test_the_shop_is_asked_for_the_wider_line_and_told_why():
    thin = record.demo().with_section("line", {"length": Q("250 ft"), "inside_diameter": Q("0.5 in")})
    words = " ".join(tobuy.shopping(planparts.whole_plan(thin)))
    assert "true inside diameter 1.05 in (26.6 mm) or more" in words
    assert "Not the 0.500 in (12.7 mm) in your record" in words


def line_of(bore, **more):
    """A pond of a reader whose line was worked out for 3.9 cfm."""
    pond = record.PondRecord("Mine", sections=record.demo().sections)
    return pond.with_section("line", {"length": Q("450 ft"), "inside_diameter": Q(bore), "flow_free_air": Q("3.9 cfm"),
                                      "pressure_gauge": Range(*(Q(v, "psi") for v in (7.2, 7.4, 7.7))),
                                      "pressure_rated": Q("8.8 psi"), "submergence": Q("12.1 ft"), **more})


@pytest.mark.parametrize("bore", ["0.625 in", "1.049 in"])
def test_the_pressure_to_ask_for_is_that_of_the_line_and_the_air_of_the_list(bore):
    whole = planparts.whole_plan(line_of(bore))
    flow, rated, words = tobuy.asked_of_machine(whole)
    # the wider line that the list asks for, by 15 % over the reading with an aged diffuser, as in workbook 04
    own = lineplan.own_line("12.1 ft", airline.Line("450 ft", "1.049 in"), None, "3.9 cfm",
                            whole.plan.choices.elevation * Q("1 m"))
    assert flow == pytest.approx(3.9 * tobuy.CFM, rel=1e-4) and words == ""
    assert rated == pytest.approx(own.aged.total, rel=1e-3)
    said = " ".join(tobuy.shopping(whole))
    assert ("with the wider line below" in said) == (bore == "0.625 in")
    assert f"{rated / 6894.757:.1f} psi" in said


def test_where_03_and_04_name_another_air_the_list_says_which_rules():
    pond = line_of("1.049 in").with_section("air", {"flow_free_air": Range(*(Q(v, "cfm") for v in (2.8, 3.5, 4.2))),
                                                    "diffusers": Q(2.0, "dimensionless")})
    whole = planparts.whole_plan(pond)
    flow, rated, words = tobuy.asked_of_machine(whole)
    assert flow == pytest.approx(3.5 * tobuy.CFM, rel=1e-4)
    assert "The air of workbook 03 rules; the line of 04 was worked out for 3.9 cfm" in words
    assert words in " ".join(tobuy.shopping(whole)) and rated < tobuy.asked_of_machine(
        planparts.whole_plan(line_of("1.049 in")))[1]


def test_a_season_makes_the_push_of_a_line_cheaper(made):
    thin = plan.changed(made.choices, inside_diameter=0.5 * 0.0254)
    all_year, half, hardly = (tobuy.line_size(plan.first_plan(plan.changed(thin, days=days * 86400.0))).own
                              for days in (365, 182.5, 1e-6))
    # half the days, half the push
    assert all_year - hardly > 100 and all_year - hardly == pytest.approx(2 * (half - hardly))


def test_both_parts_of_the_way_are_asked_for(made):
    # a round pond of 2.39 acres, 104,230 ft2: radius 182 ft
    run = tobuy.water_run(made.choices) / FT
    assert run == pytest.approx(math.sqrt(2.39283 * 43560 / math.pi), rel=1e-3)
    short = record.demo().with_section("line", {"length": Q("150 ft")})
    assert "TOO SHORT" in " ".join(tobuy.shopping(planparts.whole_plan(short)))
    assert tobuy.water_run(plan.changed(made.choices, length=30.0)) == 30.0


def test_weights_by_hand(whole):
    # 3/4 in polyethylene (0.944 in outside, 0.824 in inside), wall 59 lb/ft3: it pushes aside 0.303 lb/ft of water and
    # weighs 0.068, so it lifts 0.235; times 1.5 is 0.352 lb/ft. A brick of 4.5 lb keeps half of it under water, 2.25 lb
    spacing, bricks = tobuy.weights(whole.plan, whole.size)
    assert spacing / FT == pytest.approx(2.25 / 0.352, rel=0.02)
    assert bricks == math.ceil(182 / (spacing / FT))


def test_first_costs_add_up(whole):
    rows = tobuy.costs(whole)
    assert all(0 <= span.low <= span.usual <= span.high for _, span in rows)
    assert tobuy.total(rows).high == pytest.approx(sum(span.high for _, span in rows))
    line = next(span for words, span in rows if words.startswith("Air line"))
    assert line == pytest.approx([75, 150, 300]), "250 ft at $0.30, $0.60 and $1.20 a foot"


def test_the_list_names_what_a_shop_must_hear(whole):
    words = " ".join(tobuy.shopping(whole))
    for must in ("check valve", "Relief valve", "first 10 to 15 ft (3 to 4.5 m)", "bricks", "Trench", "ground-fault",
                 "3 diffusers (1 to 3 would do)", "manifold", "above sea level"):
        assert must in words, must


def test_the_way_is_not_asked_for_again_where_it_is_saved():
    pond = record.demo().with_section("line", {"length": Q("310 ft"), "to_bank": Q("100 ft"),
                                               "inside_diameter": Q("0.824 in")})
    made = planparts.whole_plan(pond)
    assert tobuy.water_run(made.plan.choices, Q("100 ft")) / FT == pytest.approx(210)          # 310 - 100
    spacing, bricks = tobuy.weights(made.plan, made.size, Q("100 ft"))
    words = " ".join(tobuy.shopping(made))
    assert bricks == math.ceil(210 / (spacing / FT)) and f"{bricks} bricks" in words
    assert "210 ft (64 m) from there to the diffuser" in words and "Measure both parts" not in words
    assert dict(tobuy.costs(made))["Weights and ties"].usual == bricks
