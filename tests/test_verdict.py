"""Winter checked against the reader's decision: plain budgets under ice, the explorer of 07, and words that follow.

Aerate or not, and whether this air meets the need.
"""

import dataclasses
import itertools

import numpy as np
import pytest

from pondcalc import findings, record
from pondcalc.controls import the_year
from pondcalc.the_year import yearcase
from pondcalc.units import Q, Range
from pondcalc.your_plan import plan, planparts, verdict

DEMO = record.demo()
DEPTH, AREA = findings.pond_shape(DEMO)
VOLUME = np.trapezoid(AREA, DEPTH)
# saturation of fresh water at sea level, 4 C: 13.1 mg/L (APHA, Standard Methods, Table 4500-O:I; from memory, not
# verified); at 1,150 ft the air weighs 0.959 of that at the sea (U.S. Standard Atmosphere 1976: 0.9591 at 350 m)
FULL = 13.1 * 0.959


def placed(latitude=None, decision="no air in winter", pond=DEMO, **sections):
    year = {"winter": decision} | ({} if latitude is None else {"latitude": Q(latitude, "dimensionless")})
    for name, values in {"year": year, **sections}.items():
        pond = pond.with_section(name, values)
    return pond


@pytest.mark.parametrize("latitude", [42, 44, 46])
def test_days_below_follow_a_budget_on_a_napkin(latitude):
    """Full at freeze-up; mud and water take what Mathias and Barica (1980) measured; nothing comes in until thaw.

    s A/V + 0.01 mg/L a day, s 0.23 (rich) or 0.08 (lean) g/m2/d (abstract seen), above a mean of 3.8 mg/L.
    """
    made = verdict.winter_of(placed(latitude))
    rich, lean = (s * AREA[0] / VOLUME + 0.01 for s in (0.23, 0.08))
    case = yearcase.modelled_winter(DEPTH, AREA, latitude, 350.5, yearcase.SNOW["under snow"],
                                    yearcase.MUD["rich (muck, green water)"], 0.1, colder=3.0)
    first, last = yearcase.iced_days(case.day, case.ice[0])
    iced = last - first
    below = iced - (FULL - 4) / rich
    assert made.below[4.0][0].high == pytest.approx(below, abs=10), "worst case, days below 4; the bed lies near 2 C"
    # the best case has some light through clear ice, and a shorter ice; it falls no farther than the dark one would
    first, last = made.ice
    assert FULL - lean * iced < made.lowest[0].high < FULL - 0.6 * lean * (last - first)
    assert FULL - rich * iced < 0 <= made.lowest[0].low < 0.1, "a budget below nothing ends at nothing"


def test_air_gives_no_more_than_its_bubbles_and_its_hole():
    bubbles = Range(*(Q(v, "lb/h") for v in (0.1, 0.2, 0.3)))
    pond = placed(44, air={"oxygen_by_bubbles": bubbles})
    none = Range(*(Q(0.0, "lb/h"),) * 3)
    with_bubbles, hole = (verdict.winter_of(placed(44, air={"oxygen_by_bubbles": which}))
                          for which in (bubbles, none))
    assert verdict.winter_of(pond) == with_bubbles
    assert hole.lowest[0] == with_bubbles.lowest[0], "what the bubbles give changes nothing without air"
    for index, share in enumerate((0.1, 0.2, 0.3)):
        most = share * 453.59237 * 24 * 181 / VOLUME        # mg/L, all of it, all winter
        assert hole.lowest[1][index] < with_bubbles.lowest[1][index] < hole.lowest[1][index] + most


def test_the_three_cases_hold_all_that_is_not_known():
    for latitude in (38.5, 44):
        made = verdict.winter_of(placed(latitude))
        for mud, ice, end in itertools.product(yearcase.MUD.values(), yearcase.SNOW.values(), range(3)):
            case = yearcase.modelled_winter(DEPTH, AREA, latitude, 350.52, ice, mud, yearcase.LIFTED.usual,
                                            yearcase.BUBBLES[end], verdict.HOLE[end])
            for air in (0, 1):
                low, _, high = made.lowest[air]
                # snow over lean mud changes so little once air runs that a tenth may go either way
                assert low - 0.01 <= case.oxygen[air].min() <= high + 0.15
                for level, days in made.below.items():
                    assert days[air].low <= verdict.days_below(case, level)[air] <= days[air].high


@pytest.mark.parametrize("latitude", [38, 40, 44])
def test_the_explorer_of_07_gives_the_same_numbers_to_the_digit(latitude):
    pond = placed(latitude, oxygen={"floor": Q("5 mg/L")},
                  air={"oxygen_by_bubbles": Range(*(Q(v, "lb/h") for v in (0.27, 0.55, 0.93))),
                       "lifted": Range(*(Q(v, "gpm") for v in (900, 1800, 3000)))})
    made, explorer = verdict.winter_of(pond), the_year.winter(pond)
    assert explorer.values["latitude"] == latitude and made.floor == 5
    assert explorer._answer[0].case.oxygen[0].min() == made.lowest[0].usual, "it starts with the middle case"
    for end, (mud, ice) in enumerate(verdict.CASES):
        explorer.set_texts({"mud": mud, "snow": ice})
        explorer.set_values({"bubbles": yearcase.bubbles_of(pond)[end], "hole": verdict.HOLE[end]})
        case, floor = explorer._answer[0].case, explorer._answer[0].floor
        words = explorer._readout.value
        for air in (0, 1):
            assert case.oxygen[air].min() == made.lowest[air][end]
            assert verdict.days_below(case, floor)[air] == made.below[5.0][air][2 - end]
            if made.ice:
                assert f"{made.lowest[air][end]:.1f}" in words and f"{made.below[5.0][air][2 - end]} days" in words


def test_year_calendar_and_own_weather_start_where_the_pond_lies():
    pond = placed(44.25, site={"elevation": Q("1400 ft")})
    for made in (the_year.year(pond), the_year.calendar(pond)):
        assert made.values["latitude"] == 44.25 and made.values["elevation"] == pytest.approx(1400 * 0.3048)
    assert the_year.OwnWeather(pond).latitude.value == "44.25"
    assert the_year.year(DEMO).values["latitude"] == 38.5, "the story's pond"


def test_part_b_judges_by_the_oxygen_to_keep_of_02():
    pond = placed(oxygen={"floor": Q("5 mg/L")})
    log = "date, top oxygen (mg/L)\n" + "\n".join(f"2026-06-{day:02d}, 4.6" for day in (1, 8, 15, 22, 29))
    said = []
    for form in (the_year.OwnLog(pond=pond), the_year.OwnLog(pond=DEMO), the_year.OwnLog()):
        form.typed.value = log
        form.work()
        said.append("WATCH: The last reading near the top is 4.6" in form.message.value)
    assert said == [True, False, False]
    explorer = the_year.log(the_year.demo_log(), pond=pond)
    assert explorer._answer[0].floor == 5 and the_year.log(the_year.demo_log())._answer[0].floor == 4
    # whatever somebody wants to keep, stress below 3 mg/L (Texas A&M) is told
    form = the_year.OwnLog(pond=placed(oxygen={"floor": Q("1 mg/L")}))
    form.typed.value = log.replace("4.6", "2.5")
    form.work()
    assert "ACT: The last reading near the top is 2.5" in form.message.value


def said(pond, system="US"):
    made = verdict.verdict(pond, plan.first_plan(plan.choices_from(pond)), system)
    return made.headline, next(reason for reason in made.reasons if reason.startswith("Winter: "))


def test_the_decision_is_checked():
    headline, words = said(placed(43))
    low, usual, high = verdict.winter_of(placed(43)).lowest[0]
    assert f"falls to {low:.1f} to {high:.1f} mg/L (middle {usual:.1f})" in words and "[07, 08]" in words
    assert "some may die at the bad end; most are stressed in the middle case; enough by these sums at the" in words
    assert "below 2 (some die) on 0 to" in words and "Against records of six waters" in words
    assert "through the ice in January and in February" in words and "extension office" in words
    assert "for the winter alone" in headline and "You chose “no air in winter”" in headline
    assert "With air" not in words
    headline, words = said(placed(40, "air, with signs and rope"))
    assert "With air day and night, whose bubbles give 0.060 to 0.60 lb/h, oxygen falls to" in words
    assert "Without it" in words and "your duty" in words
    assert "You chose" not in headline
    _, words = said(placed(40, "no ice here"))
    assert "But by the model ice lies from Dec" in words
    _, words = said(placed(40, "not decided"))
    assert "Without air oxygen" in words and "With air day" in words
    for decision in (verdict.OPEN, verdict.NO_AIR, verdict.WITH_AIR, verdict.NO_ICE):
        assert "no ice forms here" in said(placed(30, decision))[1]
        assert " safe" not in said(placed(40, decision))[1]


def test_winter_counts_among_the_reasons():
    layered, mixed = {"kind": "warm over cold"}, {"kind": "mixed"}
    seldom = {"chance": Q("3 %"), "delivery": Range(*(Q(v, "lb/h") for v in (0, 0, 1)))}
    assert "because of layers and winter (modelled)" in said(placed(44, layers=layered))[0]
    headline = said(placed(44, layers=mixed, oxygen=seldom))[0]
    assert "for the winter alone" in headline and "little reason" not in headline
    # in Missouri only the bad end is short: no reason yet, but not ruled out either
    headline = said(placed(38.5, layers=mixed, oxygen=seldom))[0]
    assert "little reason to buy" in headline and "may fall too low under ice" in headline
    assert "Winter" not in said(placed(30, layers=mixed, oxygen=seldom))[0]


@pytest.mark.parametrize("lowest, reason", [((3.2, 5, 8), False), ((2.9, 3.1, 8), None), ((1, 2.9, 8), True)])
def test_the_line_of_stress_makes_a_reason(lowest, reason):
    # 3 mg/L: Texas A&M AgriLife, most are stressed below it
    made = verdict.WinterRange((1, 2), 4.0, (Range(*lowest), Range(9, 9, 9)), {}, yearcase.BUBBLES)
    assert verdict.is_reason(made) is reason


def test_a_line_that_is_what_somebody_keeps_is_named_once():
    words = said(placed(44, oxygen={"floor": Q("3 mg/L")}))[1]
    assert "below the 3 to keep on" in words and "below 3 (" not in words and "below 2 (some die)" in words
    dawns = {"chance": Q("42 %"), "delivery": Range(*(Q(v, "lb/h") for v in (0, 0, 1)))}
    assert "because of bad dawns, layers and winter (modelled)" in said(
        placed(44, oxygen=dawns, layers={"kind": "warm over cold"}))[0]


def test_a_record_without_a_latitude_is_not_checked():
    headline, words = said(placed())
    assert "Not checked: the record holds no latitude of 25 to 50 degrees north. Do workbook 07" in words
    assert "mg/L" not in words
    for wrong in (-38.5, 75):                       # mended by hand into the record
        assert "Not checked" in said(placed(wrong))[1]
        assert the_year.winter(placed(wrong)).values["latitude"] == 38.5
    assert verdict.winter_of(placed()) is None and "You chose" not in headline


@pytest.mark.parametrize("deepest, height", [(1.4, "0 ft"), (12, "8000 ft")])
def test_a_pond_or_a_place_the_model_is_not_for_is_said(deepest, height):
    area = Range(*(Q(v, "acre").m_as("m^2") for v in (0.9, 1, 1.1)))
    water = findings.water_by_hand(area, Q(deepest, "ft").m_as("m"))
    _, _, words = verdict._winter(placed(50, water=water, site={"elevation": Q(height)}), "US")
    assert "Not checked: " in words and ("deep" in words or "not a place with ponds" in words)


@pytest.mark.parametrize("acres, feet", [(0.05, 3), (0.3, 4), (3, 25), (100, 45)])
@pytest.mark.parametrize("latitude", [33, 41, 50])
def test_ranges_rise(acres, feet, latitude):
    area = Range(*(Q(acres * v, "acre").m_as("m^2") for v in (0.9, 1, 1.1)))
    pond = placed(latitude, water=findings.water_by_hand(area, Q(feet, "ft").m_as("m")))
    made = verdict.winter_of(pond)
    for span in (*made.lowest, *(days for pair in made.below.values() for days in pair)):
        assert 0 <= span.low <= span.usual <= span.high
    assert "nan" not in verdict.say_winter(made, "not decided", "metric")


def test_it_stands_on_the_sheet_and_is_worked_out_once(monkeypatch):
    pond, runs = placed(41.37), []
    whole = yearcase.modelled_winter

    def counted(*given):
        runs.append(given)
        return whole(*given)
    monkeypatch.setattr(verdict.yearcase, "modelled_winter", counted)
    made = planparts.whole_plan(dataclasses.replace(pond, invented=False))
    for words in (planparts.sheet_html(made), planparts.say_whole(made)):
        assert "Without air oxygen falls to" in words
    planparts.whole_plan(pond)
    assert len(runs) == 3


def span(low, usual, high, unit="lb/h"):
    return Range(Q(low, unit), Q(usual, unit), Q(high, unit))


def found(**sections):
    pond = record.demo()
    for name, values in sections.items():
        pond = pond.with_section(name, values)
    return verdict.verdict(pond, plan.first_plan(plan.choices_from(pond)))


OFTEN, SELDOM = ({"chance": Q(percent), "delivery": span(0, 0, 1)} for percent in ("32 %", "3 %"))
LAYERED, MIXED = {"kind": "warm over cold", "read_on": "2026-07-18"}, {"kind": "mixed"}


@pytest.mark.parametrize("sections, headline", [
    ({}, "not decided yet"),
    ({"oxygen": OFTEN}, "yes, by what is known so far, because of bad dawns."),
    ({"layers": LAYERED}, "yes, by what is known so far, because of layers."),
    ({"oxygen": OFTEN, "layers": LAYERED}, "bad dawns and layers"),
    ({"oxygen": SELDOM}, "do workbook 05 before you spend"),
    ({"layers": MIXED}, "do workbook 02 before you spend"),
    ({"oxygen": SELDOM, "layers": MIXED}, "little reason to buy")])
def test_the_verdict_follows_what_was_found_out(sections, headline):
    made = found(**sections)
    assert headline in made.headline
    assert any(reason.startswith("Doubt: ") for reason in made.reasons)


def test_fish_seen_gulping_outweigh_the_sums():
    seen = found(oxygen={**SELDOM, "seen_short": "yes"}, layers=MIXED)
    assert "because of bad dawns" in seen.headline and "little reason" not in seen.headline
    assert any("seen gulping" in reason for reason in seen.reasons)


def test_every_reason_names_its_workbook_or_what_to_do():
    words = " ".join(found(oxygen=OFTEN, layers=LAYERED, year={"winter": "no air in winter"}).reasons)
    assert "in 32 of 100 imagined ponds that fit your words, oxygen falls below 4.0 mg/L" in words
    assert "tried on no real pond" in words and "[02]" in words and "[05]" in words
    assert "Winter: no air in winter [07]" in words
    words = " ".join(found().reasons)
    assert all(f"do workbook {book}" in words for book in ("02", "05", "07"))


def test_bubbles_against_the_need():
    small = {"oxygen_by_bubbles": span(0.2, 0.4, 0.8), "oxygen_by_surface": span(0.5, 1, 2)}
    short = found(oxygen=OFTEN, air=small)
    words = " ".join(short.reasons)
    assert "needed up to about 1 lb/h [02]" in words
    assert "the bubbles give 0.20 to 0.80 lb/h [03]" in words and "does not carry a bad night" in words
    assert "do not count on these bubbles alone" in short.headline
    much = found(oxygen=OFTEN, air={**small, "oxygen_by_bubbles": span(1.1, 1.5, 2)})
    assert "That covers it" in " ".join(much.reasons) and "alone" not in much.headline


def test_the_need_is_a_range_and_a_chance_is_never_bare():
    ranged = {**OFTEN, "delivery": span(0, 0.5, 3.8), "need": span(2.4, 3.2, 3.9)}
    made = found(oxygen=ranged, layers=LAYERED)
    words = " ".join((made.headline, *made.reasons))
    assert "needed about 2 to 4 lb/h [02]" in words and "3.8 lb/h" not in words
    # bubbles that reach the middle of the range do not cover its upper end
    within = found(oxygen=ranged, air={"oxygen_by_bubbles": span(3.85, 4, 5), "oxygen_by_surface": span(0, 0, 0)})
    assert "That does not carry a bad night" in " ".join(within.reasons)
    assert "chance" not in " ".join((words, *found().reasons)).lower()


def test_one_number_to_size_for():
    words = " ".join(found(oxygen=OFTEN).reasons)
    assert "Size for the number of workbook 02" in words and "stacks every bad case" in words
    assert "Size for" not in " ".join(found().reasons)


def test_oxygen_given_is_less_than_the_air_holds():
    pond = record.demo()
    made = plan.first_plan(plan.choices_from(pond))
    given = verdict.oxygen_given(pond, made)
    # free air holds 0.2793 kg of oxygen a cubic metre (20.95 % by volume, 1.204 kg/m3, 32.00 over 28.96). In 3.7 m of
    # clean water without oxygen fine bubbles give 1 to 2 % of it for each foot (common practice); the pond at its floor
    # of 4 mg/L is half full, which halves it
    supply = made.point.flow_free_air * 0.2793
    assert 0 < given.bubbles.low < given.bubbles.usual < given.bubbles.high < 0.12 * supply * 2
    assert given.source == "08"
    dead = plan.first_plan(plan.changed(made.choices, top_pressure=Q("4 psi").m_as("Pa")))
    assert verdict.oxygen_given(pond, dead) is None
    assert "no air arrives" in " ".join(verdict.verdict(pond, dead).reasons)
