"""A landowner's words turned into the oxygen model: the draws, one bad night, and the answers that come back."""

import dataclasses
import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from pondcalc import findings, record
from pondcalc.controls import bubbles_and_oxygen, how_much_oxygen, your_plan
from pondcalc.door import daynight, oxygencase, plume
from pondcalc.how_much_oxygen import oxygen, sources
from pondcalc.units import Q, Range, asked
from pondcalc.warm_over_cold.profile import Profile
from pondcalc.water import STANDARD
from pondcalc.your_plan import plan, planparts, staleness, verdict

pytestmark = pytest.mark.filterwarnings("ignore:Water of")       # models called as they stand
BOX = daynight.PondShape("8 acre-ft", "1 acre")
GREEN = daynight.Conditions.si(25.0, chlorophyll=55.0, fish_mass_per_area=0.0336, night_wind_speed=0.5)
GREEN_DOUBTS = oxygencase.DOUBTS | {"chlorophyll": sources.WATER_COLORS["green"]}


@pytest.fixture(autouse=True)
def fewer(monkeypatch):
    """Forms draw fewer ponds than a reader's do."""
    monkeypatch.setattr(how_much_oxygen, "RUNS", 300)


def test_draws_meet_the_range():
    doubt = Range(1.0, 2.0, 6.0)
    values = oxygencase.draw(doubt, (np.arange(20000) + 0.5) / 20000)
    assert values.min() >= 1 and values.max() <= 6
    assert np.median(values) == pytest.approx(2.0, abs=1e-3)
    # each half is a right triangle: mean a third of the way from usual to the end (scipy.stats.triang)
    lower = stats.triang(1, loc=1.0, scale=1.0).mean()
    upper = stats.triang(0, loc=2.0, scale=4.0).mean()
    assert values.mean() == pytest.approx((lower + upper) / 2, rel=1e-4)


def test_a_case_with_a_known_chance():
    # no life, no wind: oxygen stays where it starts, so the chance is that of the start alone, here 2 sqrt-
    # law: half of the draws lie below usual 5; below 4 with range 3 to 5: u < (4 - 3)^2/(5 - 3)^2/2 = 0.125
    dead = GREEN.with_values(chlorophyll=0.0, mud_20c=0.0, fish_mass_per_area=0.0, wind_speed=0.0, exchange_rank=0.0)
    got = oxygencase.dawn_chance(BOX, dead, {"dissolved_oxygen": Range(3.0, 5.0, 9.0)}, "4 mg/L", hours=12.0)
    assert got.chance == pytest.approx(0.125, abs=0.002)
    assert got.dawn.usual == pytest.approx(5.0, abs=0.02)
    assert got.weight["dissolved_oxygen"] == pytest.approx(1.0)


def test_chance_behaves():
    doubts = dict(GREEN_DOUBTS)
    base = oxygencase.dawn_chance(BOX, GREEN, doubts, "3 mg/L", 400)
    assert 0 <= base.chance <= 1 and len(base.lows) == 400
    again = oxygencase.dawn_chance(BOX, GREEN, doubts, "3 mg/L", 400)
    assert np.array_equal(base.lows, again.lows), "the same seed, the same answer"
    higher = oxygencase.dawn_chance(BOX, GREEN, doubts, "5 mg/L", 400)
    helped = oxygencase.dawn_chance(BOX, GREEN, doubts, "5 mg/L", 400, delivery="0.5 kg/h")
    crowded = oxygencase.dawn_chance(BOX, GREEN.with_values(fish_mass_per_area=0.112), doubts, "5 mg/L", 400)
    assert base.chance < higher.chance < crowded.chance and helped.chance < higher.chance
    assert base.dawn.low < base.dawn.usual < base.dawn.high
    other = oxygencase.dawn_chance(BOX, GREEN, doubts, "5 mg/L", 400, seed=2)
    assert other.chance == pytest.approx(higher.chance, abs=4 * higher.error)


def test_signs_of_what_matters():
    got = oxygencase.dawn_chance(BOX, GREEN, GREEN_DOUBTS, runs=400)
    assert got.weight["plankton_scatter"] < -0.2 and got.weight["mud_20c"] < -0.1
    # algae that work hard feed more use at night, and a dull day does not pay it back
    assert got.weight["clear_share"] > 0.2 and got.weight["assimilation"] < -0.2
    sizes = [abs(w) for w in got.weight.values()]
    assert sizes == sorted(sizes, reverse=True)


def test_measuring_narrows_the_answer():
    doubts = dict(GREEN_DOUBTS)
    wide = oxygencase.dawn_chance(BOX, GREEN, doubts, runs=400)
    first = next(iter(wide.weight))
    doubts[first] = Range(*[doubts[first].usual] * 3)
    narrow = oxygencase.dawn_chance(BOX, GREEN, doubts, runs=400)
    assert narrow.dawn.high - narrow.dawn.low < 0.9 * (wide.dawn.high - wide.dawn.low)


def test_delivery_mends_each_draw():
    doubts = dict(GREEN_DOUBTS)
    need = oxygencase.delivery_chance.si(BOX, GREEN, doubts, 4.0, runs=60, hours=36.0)
    assert 0 <= need.usual <= need.enough <= need.worst and need.worst > 0
    drawn, *_ = oxygencase._draws(GREEN, doubts, 60, 1)
    run = daynight.simulate.si(BOX, drawn, 36.0, delivery=need.each)
    low = daynight.dawn_low(run)
    assert np.all(low >= 4.0 - 1e-6), "every draw must be saved"
    assert np.all(low[need.each > 0] < 4.02), "and by no more than is needed"


ALL = {"chlorophyll": Range(26.0, 55.0, 100.0), "mud_20c": Range(0.22, 0.83, 2.0), "load": Range(1.0, 2.0, 4.0),
       "fish_mass_per_area": Range(0.014, 0.028, 0.056), "assimilation": Range(7.0, 14.0, 24.0),
       "weed_production": Range(0.25, 0.55, 1.0), "weed_use_20c": Range(1.5, 3.4, 6.0),
       "clear_share": Range(0.15, 0.4, 1.0), "dissolved_oxygen": Range(5.0, 6.0, 8.0)}


def test_doubts_keep_company_and_keep_their_ranges():
    """Against scipy.stats.spearmanr: the wanted rank correlations, and none where none is wanted."""
    _, drawn, _, spells = oxygencase._draws(GREEN, ALL, 2000, 1)
    for one in ALL:
        for other in ALL:
            if one < other:
                wanted = oxygencase.COMPANY.get((one, other), oxygencase.COMPANY.get((other, one), 0.0))
                assert stats.spearmanr(drawn[one], drawn[other])[0] == pytest.approx(wanted, abs=0.06), (one, other)
        # each alone is spread as before: half of the draws on either side of the usual one
        assert np.mean(drawn[one] < ALL[one].usual) == pytest.approx(0.5, abs=0.01)
    wanted = np.eye(len(ALL))
    names = list(ALL)
    for (one, other), rank in oxygencase.COMPANY.items():
        wanted[names.index(one), names.index(other)] = wanted[names.index(other), names.index(one)] = rank
    assert np.linalg.eigvalsh(wanted).min() > 0.05, "a set of correlations that can be"
    assert spells == oxygencase.SPELLS


def test_what_belongs_to_the_pond_stays_and_the_weather_changes():
    _, drawn, _, spells = oxygencase._draws(GREEN, ALL, 100, 1)
    for name, values in drawn.items():
        by_pond = values.reshape(-1, spells)
        assert np.all(by_pond == by_pond[:, :1]) == (name not in oxygencase.NIGHTLY), name
    # nothing nightly in doubt: each draw is another pond
    assert oxygencase._draws(GREEN, {"mud_20c": ALL["mud_20c"]}, 100, 1)[3] == 1


def test_company_widens_the_bad_end_and_leaves_the_middle():
    """Draws that go together pile up: with the same ranges more ponds are very low, as many are below the middle."""
    deep = daynight.PondShape.si(9868.0, 4046.86)
    with_it = oxygencase.dawn_chance(deep, GREEN, ALL, runs=2000, step=1800.0)
    alone = {pair: 0.0 for pair in oxygencase.COMPANY}
    before, oxygencase.COMPANY = oxygencase.COMPANY, alone
    try:
        without = oxygencase.dawn_chance(deep, GREEN, ALL, runs=2000, step=1800.0)
    finally:
        oxygencase.COMPANY = before
    assert with_it.dawn.usual == pytest.approx(without.dawn.usual, abs=0.25)
    assert with_it.dawn.low < without.dawn.low - 0.1


def test_shares_of_ponds_and_of_spells_hang_together():
    got = oxygencase.dawn_chance(BOX, GREEN, ALL, "4.5 mg/L", 400, step=1800.0)
    assert got.always <= got.chance <= got.ever
    # two spells: a pond is low in none, one or both, so the share of spells is the mean of the two shares
    assert got.chance == pytest.approx((got.always + got.ever) / 2)
    assert got.error == pytest.approx(np.sqrt(got.chance * (1 - got.chance) / 200))


def test_units_pass_the_door():
    got = oxygencase.dawn_chance(BOX, GREEN, {"night_wind_speed": Range(Q("0 mph"), Q("2 mph"), Q("6 mph"))}, runs=50)
    assert got.drawn["night_wind_speed"].max() < 6 * 0.44704


@pytest.mark.parametrize("call, says", [
    (lambda: oxygencase.dawn_chance(BOX, GREEN, {"luck": Range(0, 1, 2)}), "no condition"),
    (lambda: oxygencase.dawn_chance(BOX, GREEN, {"day": Range(1, 2, 3)}), "one number"),
    (lambda: oxygencase.dawn_chance(BOX, GREEN, {"mud_20c": Range(2.0, 1.0, 3.0)}), "rise"),
    (lambda: oxygencase.dawn_chance(BOX, GREEN, {"mud_20c": (1.0, 2.0)}), "Range"),
    (lambda: oxygencase.dawn_chance(BOX, GREEN, {}, runs=1), "runs"),
    (lambda: oxygencase.delivery_chance(BOX, GREEN, {}, "4 mg/L", dissolved_oxygen="3 mg/L"), "to keep"),
    (lambda: oxygencase.delivery_chance(BOX, GREEN, {}, "4 mg/L", 1.5), "enough_for")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_weights_are_spearmans_rank_correlations():
    """Against scipy.stats.spearmanr, with ties and with a row that does not vary."""
    rng = np.random.default_rng(3)
    lows = rng.normal(size=200)
    others = [rng.normal(size=200), rng.integers(0, 4, 200).astype(float), np.full(200, 2.0)]
    got = oxygencase._rank_correlations(lows, others)
    assert got[:2] == pytest.approx([stats.spearmanr(lows, each)[0] for each in others[:2]], abs=1e-12)
    assert got[2] == 0.0


LB = 0.45359237
@pytest.fixture(scope="module")
def shape():
    return oxygencase.shape_of(record.demo())


@pytest.fixture(scope="module")
def usual():
    return oxygencase.described_from(record.demo())


def test_water_below_a_depth_follows_the_closed_form():
    # area A0 (1 - z/D)^(2/m), volume below z V (1 - z/D)^((m + 2)/m), m = 1.6: see data/README.md, by calculus
    m, deep, area = 1.6, 14.5 * 0.3048, 2.4 * 4046.8564224
    z = np.linspace(0, deep, 400)
    exact = daynight.PondShape.si(area * deep * m / (m + 2), area, z, area * (1 - z / deep) ** (2 / m))
    for feet in (0.0, 2.0, 6.0, 10.0):
        volume, top = oxygencase.water_below.si(exact, feet * 0.3048)
        left = 1 - feet / 14.5
        assert volume == pytest.approx(exact.volume * left ** ((m + 2) / m), rel=2e-3)
        assert top == pytest.approx(area * left ** (2 / m), rel=2e-3)
    with pytest.raises(ValueError, match="nothing is left"):
        oxygencase.water_below(exact, "15 ft")


def test_dark_hours_against_the_sunset_equation():
    # cos(hour angle) = -tan(latitude) tan(declination), declination 23.45 sin(360 (284 + day)/365) degrees
    # (P. I. Cooper 1969, as in every solar textbook; from memory), another series than the package's
    for latitude, day in ((39.0, 200), (30.0, 172), (45.0, 300)):
        tilt = math.radians(23.45) * math.sin(math.radians(360 * (284 + day) / 365))
        half = math.degrees(math.acos(-math.tan(math.radians(latitude)) * math.tan(tilt))) / 15
        dusk, dawn = oxygencase.dark_hours(latitude, day)
        assert dusk - dawn == pytest.approx(2 * half, abs=0.15)


def test_fish_and_feed_in_the_dark_by_hand(shape):
    said = oxygencase.Described("250 lb/acre", "82 F", feed_per_day="20 lb/d")
    parts = oxygencase.day_and_night(shape, oxygencase.conditions_of(shape, said))
    # fish of 200 g use 444 mg/kg/h at 25 C and 643 at 30 C (catfish regression, from memory; see tests/sources.md),
    # so about 545 at 27.8 C; want of oxygen takes a few percent off
    kilos = 250 * LB * shape.area / 4046.8564224
    assert -parts.night["fish"] == pytest.approx(kilos * 545e-6 * parts.dark, rel=0.08)
    # waste: 1.25 kg of oxygen for each kg of feed (C. E. Boyd, Oxygen demand of aquaculture feed; seen), of which the
    # fish do not breathe 30 % (judgment): 7.5 lb a day
    assert -(parts.day["load"] + parts.night["load"]) / LB == pytest.approx(7.5, rel=0.08)
    # a settled pond ends a day where it began, so all parts of a day and a night add up to nothing (mass balance)
    assert abs(sum(parts.day.values()) + sum(parts.night.values())) < 0.015 * parts.day["plants"]
    for color in ("clear", "green", "pea green"):
        bare = oxygencase.Described("250 lb/acre", "82 F", color)
        parts = oxygencase.day_and_night(shape, oxygencase.conditions_of(shape, bare))
        assert abs(sum(parts.day.values()) + sum(parts.night.values())) < 0.005 * parts.day["plants"], color
    assert parts.night["plants"] < 1e-3 * parts.day["plants"]


def test_fish_are_a_small_user_and_mud_and_plankton_lead(shape):
    # whole-pond night use in ponds: plankton 42 %, sediment 50.2 %, so 8 % for the rest (Madenjian, Rogers and Fast
    # 1987, Aquacult. Eng. 6:191-208; abstract seen); in a bloom mud is about a tenth (Baxa and others 2021; abstract
    # seen), so the greener the water, the less of it
    muddy = []
    for color in ("clear", "slightly green", "green", "pea green"):
        said = oxygencase.Described("250 lb/acre", "82 F", color)
        night = oxygencase.day_and_night(shape, oxygencase.conditions_of(shape, said)).night
        used = {name: -v for name, v in night.items() if v < 0}
        share = {name: v / sum(used.values()) for name, v in used.items()}
        muddy.append(share["mud"])
        assert share["fish"] < 0.16 and share["fish"] < min(share["mud"], share["plankton"])
    assert np.all(np.diff(muddy) < 0) and muddy[0] > 0.5 and muddy[-1] < 0.2


def test_the_usual_pond_against_measured_ones(shape):
    """Green Sycamore Pond beside Rabaey and others (2024) and Szyper and Ebeling (1993); abstracts seen."""
    for color, least, most in (("green", 0.4, 1.1), ("pea green", 0.5, 1.1)):
        said = oxygencase.Described("250 lb/acre", "82 F", color)
        parts = oxygencase.day_and_night(shape, oxygencase.conditions_of(shape, said))
        used = -sum(sum(v for name, v in each.items() if v < 0 and name != "air") for each in (parts.day, parts.night))
        areal = 1e3 * used / shape.area                 # g/m2 a day; 26 waters of order 1 m: 9.1 g/m3, about 9 g/m2
        assert 9.1 * 0.6 < areal < 9.1 * 1.7
        assert parts.day["plants"] / used == pytest.approx(8.4 / 9.1, abs=0.08)
        night = -1e3 * sum(v for name, v in parts.night.items() if v < 0 and name != "air") / shape.area
        assert least * 8.3 < night * 12 / parts.dark < most * 8.3       # the most that a bloom pond used in a night


def test_a_need_is_a_range():
    """Twice and half as many ponds left over, by counting."""
    each = np.arange(1, 1001) / 1000.0
    low, middle, high = oxygencase.need_for(each, 0.95)
    assert (np.sum(each > low), np.sum(each > middle), np.sum(each > high)) == (100, 50, 25)
    assert oxygencase.need_for(each, 1.0) == pytest.approx((1.0, 1.0, 1.0))


@pytest.mark.parametrize("low, high, words", [
    (0.0, 0.0, "nothing"), (0.0, 1.49, "up to about 2 lb/h"), (2.8, 4.4, "about 2 to 5 lb/h"),
    (2.0, 4.0, "about 2 to 4 lb/h"), (0.51, 0.93, "about 0.5 to 1 lb/h"), (6.07, 13.9, "about 6 to 14 lb/h"),
    (0.0, 13.9, "up to about 14 lb/h")])
def test_a_need_in_words_is_rounded_outward(low, high, words):
    assert findings.say_need(Range(Q(low, "lb/h"), None, Q(high, "lb/h"))) == words


def test_half_hour_steps_are_fine_enough(shape, usual):
    conditions = oxygencase.conditions_of(shape, usual)
    fine = daynight.simulate.si(shape, conditions, 84.0, step=300.0)
    coarse = daynight.simulate.si(shape, conditions, 84.0, step=oxygencase.STEP)
    for midnight in (6, 30, 54):
        lows = [run.dissolved_oxygen[(run.hours >= midnight) & (run.hours <= midnight + 12)].min(axis=0)
                for run in (coarse, fine)]
        assert lows[0] == pytest.approx(lows[1], abs=0.01)


def test_delivery_saves_the_share_it_promises_and_no_draw_is_worse_than_the_stack(shape, usual):
    need = oxygencase.delivery_need(shape, usual, 200)
    assert 0 <= need.drawn.low <= need.drawn.usual <= need.drawn.high < need.stacked
    assert need.each.max() <= need.stacked * 1.001, "every draw lies inside the ranges the stack is made of"
    conditions, doubts = oxygencase.conditions_of(shape, usual), oxygencase.doubts_of(shape, usual)
    helped = oxygencase.dawn_chance.si(shape, conditions, doubts, usual.floor, 200, delivery=need.drawn.high,
                                       step=oxygencase.STEP)
    assert helped.chance <= 0.06
    # 1000 draws of one seed and of another agree on the 95th
    one, two = (oxygencase.delivery_need(shape, usual, 1000, seed, 3600.0).drawn.high for seed in (1, 2))
    assert one == pytest.approx(two, rel=0.15)


def test_more_is_asked_for_by_greener_water_more_fish_and_a_higher_floor(shape):
    def high(**words):
        said = oxygencase.Described(**({"fish": "250 lb/acre", "temperature": "82 F"} | words))
        return oxygencase.delivery_need(shape, said, 100, step=3600.0).drawn.high
    base = high()
    assert high(color="clear") < base < high(color="pea green")
    assert base < high(fish="1500 lb/acre") and base < high(mud="black and deep") and base < high(floor="5 mg/L")
    assert high(dusk="7 mg/L") < base


@pytest.mark.parametrize(("words", "match"), [
    ({"temperature": "120 F"}, "Warmest water"), ({"color": "purple"}, "color"), ({"mud": "lava"}, "mud"),
    ({"fish": "90000 lb/acre"}, "“Fish, live"), ({"weed_cover": "140 %"}, "weed beds"),
    ({"night": "30 h"}, "Hours without sun"),
    ({"secchi_depth": "0 in"}, "Secchi depth"), ({"feed_per_day": "-3 lb/d"}, "Feed each day"),
    ({"floor": "0 mg/L"}, "keep")])
def test_impossible_words_are_refused(words, match):
    with pytest.raises(ValueError, match=match):
        oxygencase.Described(**({"fish": "250 lb/acre", "temperature": "82 F"} | words))


def test_a_pond_without_water_is_refused_and_the_workbook_falls_back():
    empty = record.PondRecord("new")
    with pytest.raises(ValueError, match="workbook 01"):
        oxygencase.shape_of(empty)
    assert how_much_oxygen.with_water(empty).invented


def test_what_is_saved_is_read_back(shape):
    said = oxygencase.Described("400 lb/acre", "79 F", "pea green", "2 ft", "black and deep", "20 %", "12 lb/d",
                                "5 mph", "1 mph", "7 mg/L", "10 h", "3.5 mg/L")
    chance, need, values = findings.oxygen(shape, said, 50)
    kept = record.from_text(record.to_text(record.demo().with_section("oxygen", values)))
    again = oxygencase.described_from(kept)
    for name in oxygencase.Described.si.__dataclass_fields__:
        assert getattr(again, name) == (getattr(said, name) if isinstance(getattr(said, name), str)
                                        else pytest.approx(getattr(said, name), rel=1e-5))
    assert kept.get("oxygen", "delivery").high.m_as("kg/s") == pytest.approx(need.drawn.high, rel=1e-5)
    assert kept.get("oxygen", "chance").m_as("percent") == pytest.approx(100 * chance.chance)
    words = findings.say_oxygen(values)
    assert "95 of 100" in words and "kg/h" in findings.say_oxygen(values, "metric")
    assert len(findings.say_delivery(need).splitlines()) == 4


def test_three_users_are_named_once_and_the_rest_makes_a_hundred():
    made = how_much_oxygen.who_uses(record.demo())
    for texts in ({}, {"color": "Pea green", "fish": "3000 lb/acre"}, {"color": "Clear", "weed_cover": "80 %"}):
        made.set_texts(texts, afresh=True)
        said = re.findall(r"([a-z][a-z ]+?) (\d+) %", made._readout.value.split("is used: ")[1])
        names = [name for name, _ in said]
        assert len(set(names)) == len(names) <= 4 and sum(int(part) for _, part in said) == 100, said
    assert names[-1] == "all else" and "weeds" in names


def test_the_story_opens_on_its_dark_days_and_clear_water_stands_them_better():
    made = how_much_oxygen.three_days(record.demo())
    lows = {}
    for texts in ({}, {"secchi_depth": "8 ft"}, {"sky": "Three clear days"}):
        made.set_texts(texts, afresh=True)
        result = made._model(**made.values)
        lows[next(iter(texts), "")] = result.low[1]
    # stress line of Texas A&M AgriLife Extension: 3 mg/L; the story has fish at the surface
    assert lows[""].min() < 3 and np.all(np.diff(lows[""]) < 0), "each night a little worse"
    assert lows["secchi_depth"].min() > lows[""].min() + 1 and lows["sky"].min() > 4
    # the plate of the story is lost at 20 inches
    assert made.values["secchi_depth"] / 0.0254 == pytest.approx(20, abs=0.5)


def test_two_duties_lift_as_workbook_03_does_and_add_the_open_top():
    made = how_much_oxygen.two_duties(record.demo())
    result = made._model(**made.values)
    # 15.45 acre-ft once a day through diffusers of 1.5 cfm at 12 ft, by the three plumes of workbook 03 at sea level
    lifted = plume.lifted_water("1.5 cfm", "12 ft")
    flow = record.demo().get("water", "volume").usual.m_as("m^3") / 86400
    assert tuple(result.need.for_mixing) == tuple(math.ceil(flow / q.m_as("m^3/s")) for q in lifted[::-1]) == (1, 2, 3)
    # two of them in oxygen: fine bubbles give 1 to 2 % a foot to clean water without oxygen (common practice), a lone
    # membrane between; 4 mg/L at 82 F, about half full, leaves half. 3 cfm x 1.04 lb/h x 12 ft x 1.5 % x 0.5 by hand
    hand = 3 * 1.04 * 12 * 0.015 * 0.5
    assert result.bubbles.low * 3600 / LB < hand < result.bubbles.high * 3600 / LB < 3 * hand
    assert result.bubbles.usual * 3600 / LB == pytest.approx(hand, rel=0.3)
    # for the need so many of 1.5 cfm, at the same rate each
    ends = [result.wanted / (end / result.need.for_mixing.usual) for end in result.bubbles[::-1]]
    assert tuple(result.need.for_oxygen) == tuple(map(math.ceil, ends))
    # surface: (7.52 - 4) mg/L x Q kA/(Q + kA), k 0.74 m/d, A 2.393 acres, Q twice the highest lift of 4,099 gpm
    k, q = 0.74 / 86400 * 2.393 * 4046.8564224, 2 * 4099 * 3.785411784e-3 / 60
    assert result.top.high * 3600 / LB == pytest.approx(3.52e-3 * q * k / (q + k) * 3600 / LB, rel=0.02)
    assert result.top.low == 0 < result.top.usual < result.top.high
    assert "too little even at best" in made._readout.value and "decides" not in made._readout.value
    assert np.all(result.best.dawn[1:] > result.least.dawn[1:]) and result.best.dawn[0] == result.least.dawn[0]


def test_swapped_readings_get_a_reason_and_no_picture():
    made = how_much_oxygen.dusk_to_dawn()
    made.set_texts({"first": "1 mg/L"})
    assert "No answer here: the oxygen rose" in made._readout.value and "2,800" not in made._readout.value


def test_forms_say_what_is_wrong_and_never_save_the_demonstration_pond(tmp_path):
    form = how_much_oxygen.OwnOxygen(record.demo())
    form.fields["temperature"].value = ""
    form.work()
    assert "“Warmest water” is empty" in form.message.value and form.values is None
    form.fields["temperature"].value, form.fields["feed_per_day"].value = "82 F", "20 lb"
    form.work()
    assert "95 of 100" in form.message.value and "Measure next" in form.message.value and "<svg" in form.picture.value
    form.saver._path = tmp_path / "my-pond.json"
    form.saver.save()
    assert "Not saved" in form.saver.message.value and not form.saver._path.exists()
    mine = how_much_oxygen.OwnOxygen(record.PondRecord("Mine", sections=dict(record.demo().sections)))
    mine.work()
    mine.saver._path = tmp_path / "my-pond.json"
    mine.saver.save()
    assert "Saved" in mine.saver.message.value and record.load(mine.saver._path).has("oxygen")


def test_typed_readings_are_fitted_and_carried_to_dawn():
    form = how_much_oxygen.OwnReadings(record.demo())
    form.work()
    assert "type two readings" in form.message.value
    form.typed.value = "7:00 PM, 10.2\n10:00 PM, 8.7"
    form.work()
    assert "no temperature" in form.message.value
    form.temperature.value = "80 F"
    form.work()
    # 10.2 and 8.7 three hours apart fall 0.5 an hour: 4.7 after 8 hours; 8.7 (8.7/10.2)^(8/3) = 5.7
    assert "4.7 mg/L by the straight line" in form.message.value and "5.7 mg/L by the curve" in form.message.value
    assert "Measure next" in form.message.value and "<svg" in form.picture.value
    form.dawn.value = "soon"
    form.work()
    assert "“Dawn, where you are”" in form.message.value


@pytest.mark.parametrize("day", [355, 172])
def test_a_day_without_dawn_or_dusk_is_refused(day):
    with pytest.raises(ValueError, match="the sun does not rise or does not set at latitude 80°"):
        oxygencase.dark_hours(80.0, day)


def test_two_duties_keep_to_the_readers_pond():
    area = Range(*(Q(v, "acre").m_as("m^2") for v in (1.1, 1.2, 1.3)))
    mine = record.PondRecord("mine", sections={"water": findings.water_by_hand(area, Q("11 ft").m_as("m"))})
    made = how_much_oxygen.two_duties(mine)
    depth = next(control for control in made._controls if control.name == "depth")
    # 2 ft off the bottom of 11 ft (common practice); the scale ends at the deepest
    assert made.values["depth"] / 0.3048 == pytest.approx(9.0, abs=0.01)
    assert depth.bounds("US")[1] == pytest.approx(11.0)
    above = how_much_oxygen.delivery_needed(mine)
    assert made.values["need"] == pytest.approx(3600 * above._model(**above.values).chosen.usual, rel=0.02)
    demo = how_much_oxygen.two_duties(record.demo())
    need = oxygencase.delivery_need(oxygencase.shape_of(record.demo()), oxygencase.described_from(record.demo()), 1000)
    low, _, high = (3600 * end / LB for end in oxygencase.need_for(need.each, 0.95))
    assert low < demo.values["need"] / LB < high
    shallow = record.PondRecord("mine", sections={"water": findings.water_by_hand(area, Q("2 ft").m_as("m"))})
    depths = next(c for c in how_much_oxygen.two_duties(shallow)._controls if c.name == "depth").bounds("US")
    start = how_much_oxygen.two_duties(shallow).values["depth"] / 0.3048
    assert depths[0] <= start + 1e-9 and start < depths[1] <= 2.01


def test_explorers_open_on_the_readers_own_secchi_depth_and_drop_it_in_water_of_another_color():
    pond = record.demo().with_section("oxygen", {"color": "green", "secchi_depth": Q("6 ft")})
    shape, said = oxygencase.shape_of(pond), oxygencase.described_from(pond)
    explorer = how_much_oxygen.bad_dawn(pond)
    mine = oxygencase.bad_dawn(shape, said, said.floor, 1000).chance
    # a share of some 200 draws strays by 3 of its own errors at most
    assert abs(explorer._answer[0].chance - mine) < 3 * (mine * (1 - mine) / 200) ** 0.5 + 0.02, mine
    bare = how_much_oxygen.bad_dawn(pond.with_section("oxygen", {"color": "green"}))
    assert bare._answer[0].chance > explorer._answer[0].chance + 0.1, "6 ft is clearer than green water usually is"
    for each in (explorer, bare):
        each.set_texts({"color": "Pea green"})
    assert explorer._answer[0].chance == bare._answer[0].chance


# ---- a reading at the top of a pond is never taken as the whole pond's

DEEP = 17 * 0.3048
TOPS = (oxygencase.NEAR_TOP, oxygencase.NOT_KNOWN)
# an invented July evening: 8 mg/L at the top, hardly any at the bottom
READ_AT, OXYGEN, WARMTH = (0.0, 6.0, 9.0, 12.0, 17.0), (8.0, 7.5, 2.2, 0.5, 0.2), (83.0, 81.0, 74.0, 66.0, 62.0)


def bowl(z):
    """Area of an invented pond of 1.3 acres, m2 at z m down: 1.3 acres (1 - z/17 ft)^1.25."""
    return 1.3 * 4046.8564224 * (1 - np.asarray(z) / DEEP) ** 1.25


@pytest.fixture(scope="module")
def layered():
    """A record with that pond and that evening's readings, as workbooks 01 and 05 save them."""
    z = np.linspace(0, DEEP, 200)
    volume = 1.3 * 4046.8564224 * DEEP / 2.25              # the integral of the area, by calculus
    read = asked(Profile)([Q(d, "ft") for d in READ_AT], [Q(t, "degF") for t in WARMTH], [Q(c, "mg/L") for c in OXYGEN],
                   "2026-07-18")
    water = {"area": Range(*(Q(1.3, "acre"),) * 3), "volume": Range(*(Q(volume, "m^3"),) * 3), "deepest": Q(17, "ft"),
             "level_depth": [Q(float(d), "m") for d in z], "level_area": [Q(float(a), "m^2") for a in bowl(z)],
             "level_volume": [Q(float(volume * (1 - d / DEEP) ** 2.25), "m^3") for d in z]}
    layers = findings.layers(z, bowl(z), read)[1]
    # bubbles that would just cover the night if the top were the whole pond
    air = {"flow_free_air": Range(*(Q(v, "cfm") for v in (3.2, 4.0, 4.8))), "diffusers": Q(2.0, "dimensionless"),
           "oxygen_by_bubbles": Range(*(Q(v, "lb/h") for v in (0.5, 0.7, 0.9))),
           "oxygen_by_surface": Range(*(Q(v, "lb/h") for v in (0.0, 0.5, 1.0)))}
    return record.PondRecord("Miller, invented", sections={
        "site": {"elevation": Q(950, "ft")}, "water": water, "layers": layers, "air": air})


def worked(pond, dusk="", where=None):
    """The form of workbook 02 after it was worked out, and the plan once that is saved."""
    form = how_much_oxygen.OwnOxygen(pond)
    form.fields["dusk"].value = dusk
    if where is not None:
        form.where.value = where
    form.work()
    return form, planparts.whole_plan(pond.with_section("oxygen", form.wanted(), "02"))


def covers(whole):
    given = verdict.oxygen_given(whole.pond, whole.plan)
    return given.bubbles.low >= whole.plan.budget.delivery.high


def test_the_mean_by_volume_is_that_of_a_general_integrator(layered):
    def oxygen(z):
        return np.interp(z, np.array(READ_AT) * 0.3048, OXYGEN)
    breaks = [d * 0.3048 for d in READ_AT[1:-1]]
    held, _ = integrate.quad(lambda z: oxygen(z) * bowl(z), 0, DEEP, points=breaks)
    water, _ = integrate.quad(bowl, 0, DEEP)
    assert 5.8 < held / water < 6.2, "the invented readings are of such a pond"
    assert findings.mean_oxygen(layered) == pytest.approx(held / water, abs=0.02)
    assert findings.mean_oxygen(record.demo()) is None
    bare = dataclasses.replace(layered, sections={k: v for k, v in layered.sections.items() if k != "water"})
    assert findings.mean_oxygen(bare) is None, "another pond's shape says nothing"


def test_the_top_reading_of_a_layered_pond_never_covers(layered):
    _, without = worked(layered)
    _, as_whole = worked(layered, "8 mg/L", oxygencase.SEVERAL)
    assert covers(as_whole) and not covers(without), "or nothing is tested here"
    for where in TOPS:
        form, whole = worked(layered, "8 mg/L", where)
        assert not covers(whole) and "covers it" not in planparts.say_whole(whole)
        # 8 mg/L is more than the water holds at rest, so it says no more than no reading
        for key in ("chance", "delivery", "dawn"):
            assert whole.pond.get("oxygen", key) == without.pond.get("oxygen", key)
        assert "read near the top, or you do not know where" in form.message.value
        assert "have a mean of" in form.message.value
    form, whole = worked(layered)
    form._take()
    form.work()
    assert form.fields["dusk"].value in ("5.8 mg/L", "5.9 mg/L", "6.0 mg/L") and form.where.value == oxygencase.SEVERAL
    assert not covers(planparts.whole_plan(layered.with_section("oxygen", form.wanted(), "02")))


def test_a_mean_far_over_the_readings_is_doubted(layered):
    form, _ = worked(layered, "8 mg/L", oxygencase.SEVERAL)
    assert "much less than the 8 mg/L written here" in form.message.value
    form, _ = worked(layered, "6.2 mg/L", oxygencase.SEVERAL)
    assert "much less" not in form.message.value and "near the top" not in form.message.value


@given(st.floats(4.0, 25.0), st.floats(59, 90), st.sampled_from(["clear", "green", "pea green"]),
       st.sampled_from(TOPS))
@settings(max_examples=20)
@pytest.mark.filterwarnings("ignore:Water of")
def test_a_reading_near_the_top_may_make_the_answer_worse_but_never_better(dusk, warmth, color, where):
    shape = oxygencase.shape_of(record.demo())
    plain = oxygencase.Described("250 lb/acre", Q(warmth, "degF"), color)
    read = oxygencase.Described("250 lb/acre", Q(warmth, "degF"), color, weed_cover="0 %", feed_per_day="0 kg/d",
                                wind_speed="2 m/s", night_wind_speed="0.5 m/s", night="11 h", floor="4 mg/L",
                                dusk=Q(dusk, "mg/L"), dusk_where=where)
    without, with_it = (oxygencase.delivery_need(shape, words, 40, step=3600.0) for words in (plain, read))
    assert np.all(with_it.each >= without.each - 1e-3 * without.each.max())
    assert with_it.budget.high >= without.budget.high
    lows = [oxygencase.bad_dawn(shape, words, 4.0, 40).lows for words in (plain, read)]
    assert np.all(lows[1] <= lows[0] + 1e-9)
    # never the whole pond's: the range is 60 to 100 % of it, and of no more than saturation
    low, _, high = oxygencase.dusk_of(shape, read)
    assert high <= dusk + 1e-9 and low == pytest.approx(0.6 * high)


def test_a_top_that_is_short_is_an_emergency_wherever_it_was_read():
    shape = oxygencase.shape_of(record.demo())
    for where in oxygencase.WHERE_READ:
        words = oxygencase.Described("250 lb/acre", "82 F", dusk="3 mg/L", dusk_where=where)
        with pytest.raises(ValueError, match="needs help before the night"):
            oxygencase.delivery_need(shape, words, 20)
    with pytest.raises(ValueError, match="read at one of: mean of several depths, near the top, not known where"):
        oxygencase.Described("250 lb/acre", "82 F", dusk="8 mg/L", dusk_where="in the middle")


def test_where_it_was_read_is_saved_and_stands_there_again(layered):
    form, _ = worked(layered, "7 mg/L", oxygencase.NEAR_TOP)
    kept = record.from_text(record.to_text(layered.with_section("oxygen", form.wanted(), "02")))
    assert kept.get("oxygen", "dusk_where") == "near the top" and kept.get("oxygen", "dusk") == Q("7 mg/L")
    again = how_much_oxygen.OwnOxygen(kept)
    assert again.where.value == oxygencase.NEAR_TOP and again.fields["dusk"].value == "7 mg/L"
    assert oxygencase.described_from(kept).whole is None
    # the boxes changed, so it must be worked out again before it is saved
    again.work()
    again.where.value = oxygencase.SEVERAL
    with pytest.raises(ValueError, match="boxes changed"):
        again.wanted()
    assert how_much_oxygen.OwnOxygen(record.demo()).where.label == "I do not know"


def test_an_old_record_that_does_not_say_where_is_taken_as_read_near_the_top(layered):
    good = {"fish": Q("250 lb/acre"), "dusk": Q("8 mg/L"), "chance": Q("2 %"),
            "dawn": Range(*(Q(v, "mg/L") for v in (5.5, 6, 7))),
            "delivery": Range(*(Q(v, "lb/h") for v in (0, 0, 0.1)))}
    old = layered.with_section("oxygen", good, "02-how-much-oxygen")
    said = oxygencase.described_from(old)
    assert said.whole is None and said.dusk == pytest.approx(8.0) and said.dusk_where == oxygencase.NOT_KNOWN
    whole = planparts.whole_plan(old)
    assert not covers(whole) and whole.plan.choices.delivery is None
    text = planparts.say_whole(whole)
    assert "covers it" not in text and "about 2 fall" not in text and "Chance of less" not in text
    assert "nobody asked where it was read" in " ".join(planparts.warnings_of(whole))
    assert [item.section for item in staleness.stale(old)][0] == "oxygen"
    form = how_much_oxygen.OwnOxygen(old)
    assert "does not say where" in form.message.value and form.where.label == "I do not know"
    assert form.fields["dusk"].value == "8 mg/L", "nothing that was written is lost"
    for made in (how_much_oxygen.two_duties(old), bubbles_and_oxygen.two_paths(old)):
        assert "0.10 lb/h" not in made._readout.value
    # once the place is known the same record is trusted
    told = old.with_section("oxygen", good | {"dusk_where": oxygencase.SEVERAL}, "02-how-much-oxygen")
    assert plan.choices_from(told).delivery is not None and not staleness.stale(told)


def dawns(pond, dawn, **layers):
    """The verdict with a usual dawn (mg/L) of workbook 02, and what workbook 05 says."""
    kept = {key: value for key, value in pond.sections.items() if key != "layers"}
    made = dataclasses.replace(pond, sections=kept).with_section("oxygen", {
        "dawn": Range(*(Q(v, "mg/L") for v in (dawn - 1, dawn, dawn + 1))), "chance": Q("3 %"),
        "delivery": Range(*(Q(v, "lb/h") for v in (0, 0, 0.1)))})
    made = made.with_section("layers", layers) if layers else made
    return planparts.whole_plan(made)


def test_the_dawn_stands_beside_a_mixing_at_once_and_the_lower_rules(layered):
    def mixed(low, usual, high):
        return {"kind": "warm over cold", "mixed_oxygen": Range(*(Q(v, "mg/L") for v in (low, usual, high)))}
    lower = dawns(layered, 5.9, **mixed(3.1, 5.2, 5.8))
    words = " ".join(lower.verdict.reasons)
    assert "usual dawn 5.9 mg/L [02]; if it mixed at once, 5.2 mg/L (3.1 to 5.8 mg/L) [05]" in words
    assert "Mixing at once is the lower and rules: it may leave less" in words
    assert "do not count on these bubbles alone in a sudden overturn" in lower.verdict.headline
    fair = dawns(layered, 5.9, **mixed(4.4, 5.2, 5.8))
    assert "is the lower and rules." in " ".join(fair.verdict.reasons) and "alone" not in fair.verdict.headline
    higher = dawns(layered, 4.6, **mixed(5.0, 5.5, 5.8))
    assert "The dawn is the lower and rules" in " ".join(higher.verdict.reasons)
    lines = [(line.words, plan.say_value(line)) for line in lower.parts[0].lines]
    at = [words for words, _ in lines].index("Oxygen at dawn without air")
    assert lines[at + 1] == ("Oxygen if it mixed at once", "5.2 mg/L (3.1 to 5.8 mg/L)")


@pytest.mark.parametrize("layers, why", [({}, "no layers read yet"), ({"kind": "warm over cold"}, "no oxygen in the"),
                                         ({"kind": "cold over warm", "mixed_oxygen": Range(*(Q(9, "mg/L"),) * 3)},
                                          "the readings are of winter")])
def test_where_a_mixing_cannot_be_told_it_says_so(layered, layers, why):
    whole = dawns(layered, 5.9, **layers)
    assert f"cannot be told, {why}" in " ".join(whole.verdict.reasons)
    assert f"cannot be told, {why}" in planparts.say_whole(whole).partition("WATER AND NEED")[2]
    assert "may not be the lowest" in " ".join(whole.verdict.reasons)


def test_a_mixed_pond_has_nothing_to_turn_over(layered):
    whole = dawns(layered, 5.9, kind="mixed", mixed_oxygen=Range(*(Q(5, "mg/L"),) * 3))
    assert "the dawn is the lowest to plan for" in " ".join(whole.verdict.reasons)


def test_two_readings_and_a_log_say_for_which_water_they_hold():
    words = "holds for the depth of the meter or probe"
    assert words in how_much_oxygen.dusk_to_dawn()._readout.value
    form = how_much_oxygen.OwnReadings(record.demo())
    assert words in form.message.value
    form.typed.value = "7:00 PM, 10.2 mg/L, 80 F\n10:00 PM, 8.7 mg/L, 79 F"
    form.work()
    assert "4.7 mg/L by the straight line" in form.message.value and words in form.message.value


# ---- one night with every bad case stacked: one sum for workbooks 02 and 08, in the owner's words, at any warmth

ACRE, DAY = 4046.8564224, 86400.0
SQUARE = daynight.PondShape.si(2.0 * ACRE, ACRE)


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


def words_of(**words):
    return oxygencase.Described(**({"fish": "0 lb/acre", "temperature": "20 °C"} | words))


# nothing that a form would refuse; 02 itself refuses an evening that begins below the oxygen to keep
DUSKS = st.none() | st.tuples(st.floats(4.0, 20.0), st.sampled_from(oxygencase.WHERE_READ))


@st.composite
def ponds(draw):
    """A record with invented water, and words for its oxygen."""
    area, deep = draw(st.floats(0.1, 20)), draw(st.floats(4, 40))
    middle, off = area * deep * draw(st.floats(0.25, 0.9)), draw(st.floats(0, 0.4))
    words = {"fish": Q(draw(st.floats(0, 3000)), "lb/acre"), "temperature": Q(draw(st.floats(32, 95)), "degF"),
             "color": draw(st.sampled_from(["clear", "slightly green", "green", "pea green"])),
             "mud": draw(st.sampled_from(["sand or clay", "ordinary", "black and deep"])),
             "weed_cover": Q(draw(st.floats(0, 100)), "%"), "feed_per_day": Q(draw(st.floats(0, 50)), "lb/d"),
             "night": Q(draw(st.floats(6, 24)), "h"), "floor": Q(draw(st.floats(1, 4)), "mg/L")}
    if draw(st.booleans()):
        words["secchi_depth"] = Q(draw(st.floats(0.5, 12)), "ft")
    dusk = draw(DUSKS)
    if dusk is not None:
        words |= {"dusk": Q(dusk[0], "mg/L"), "dusk_where": dusk[1]}
    return record.PondRecord("drawn", sections={
        "site": {"elevation": Q(draw(st.floats(0, 6000)), "ft")},
        "water": {"area": Range(*(Q(area, "acre"),) * 3), "deepest": Q(deep, "ft"),
                  "volume": Range(*(Q(middle * (1 + share), "acre_foot") for share in (-off, 0, off)))},
        "oxygen": words})


@given(ponds())
@settings(max_examples=40)
def test_02_and_08_give_the_same_number_to_the_digit_at_any_warmth(pond):
    words = oxygencase.described_from(pond)
    first = oxygencase.delivery_need(oxygencase.shape_of(pond), words, 10, step=7200.0).budget
    made = plan.first_plan(plan.choices_from(pond))
    assert tuple(first) == tuple(made.one_night) == tuple(made.budget.delivery)
    # and again after a record has been written and read
    kept = record.from_text(record.to_text(pond))
    again = oxygencase.one_night(oxygencase.shape_of(kept), oxygencase.described_from(kept))
    assert tuple(again.delivery) == tuple(plan.first_plan(plan.choices_from(kept)).one_night)


@pytest.mark.parametrize("fahrenheit", [32, 50, 59, 82, 86, 90, 93, 95])
def test_the_sliders_of_02_and_08_agree_and_note_what_nobody_measured(fahrenheit):
    pond = record.demo()
    need, night = how_much_oxygen.delivery_needed(pond), your_plan.night(pond)
    for explorer in (need, night):
        explorer.set_texts({"temperature": f"{fahrenheit} °F"})
        noted = "outside 59 to 86 °F" in explorer._readout.value
        assert noted == (not 59 <= fahrenheit <= 86), explorer
    high = [made._model(**made.values).budget for made in (need, night)]
    assert high[0] == high[1].delivery.high
    need.set_texts({"share": "60"})         # another slider does not lose the note
    assert ("outside 59 to 86 °F" in need._readout.value) == (not 59 <= fahrenheit <= 86)


def test_nothing_stands_still_above_86_and_the_growth_is_that_of_the_sources():
    # fish about double their use for 10 °C (C. E. Boyd, Dissolved oxygen requirements in aquatic animal respiration;
    # seen): from 30 to 35 °C times 2^0.5. Mud 1.065 per °C (lake-model source, second-hand): times 1.065^5 = 1.370
    with pytest.warns(UserWarning, match="outside 59 to 86 °F"):
        hot = oxygen.night_demand(1e4, ACRE, 0.03, 35.0)
    warm = oxygen.night_demand(1e4, ACRE, 0.03, 30.0)
    for end in range(3):
        assert hot.fish[end] / warm.fish[end] == pytest.approx(2**0.5)
        assert hot.mud[end] / warm.mud[end] == pytest.approx(1.370, abs=1e-3)
    with pytest.warns(UserWarning, match="outside 59 to 86 °F"):
        cold = oxygen.night_demand(1e4, ACRE, 0.03, 5.0)
    assert oxygen.night_demand(1e4, ACRE, 0.03, 15.0).fish.usual / cold.fish.usual == pytest.approx(2.0)
    pond = record.demo()
    highs = []
    for fahrenheit in (82, 86, 90, 93, 95):
        words = oxygencase.described_from(pond).with_values(temperature=celsius(fahrenheit))
        highs.append(your_plan.night(pond)._model(words.fish, words.temperature, words.night, words.floor)
                     .budget.delivery.high)
    assert all(later > 1.02 * earlier for earlier, later in zip(highs, highs[1:], strict=False)), highs


def test_a_night_by_hand():
    # one acre, 2 m deep, 20 °C, no fish. 1, 2 and 3 mg/L a day afloat in 2 m use 2, 4 and 6 g/m2 a day; mud 0.5, 1
    # and 2; 10 kg a day besides; 12 h: half of it. Dusk 8, 9, 10 mg/L in 2 m holds 16, 18, 20 g/m2; 4 mg/L is 8
    night = oxygen.night_budget(2 * ACRE, ACRE, 0.0, STANDARD, DAY / 2, floor=4.0,
                                dissolved_oxygen=Range(8.0, 9.0, 10.0), plankton=Range(1.0, 2.0, 3.0),
                                mud_20c=Range(0.5, 1.0, 2.0), besides=Range(*(10 / DAY,) * 3))
    for end, used in enumerate((2.5, 5.0, 8.0)):
        assert night.used[end] == pytest.approx((used * ACRE * 1e-3 + 10) / 2)
    # worst: 16 g/m2 less 4 and 5 kg over the acre (1.236 g/m2) leave 10.76 g/m2 in 2 m
    assert night.dawn.low == pytest.approx((16 - 4 - 5e3 / ACRE) / 2)
    assert night.delivery.high == 0
    short = oxygen.night_budget(2 * ACRE, ACRE, 0.0, STANDARD, DAY / 2, floor=4.0, dissolved_oxygen=5.0,
                                plankton=Range(1.0, 2.0, 3.0), mud_20c=Range(0.5, 1.0, 2.0))
    # 10 g/m2 held, 8 to keep: 2 to spare of the 4 that the bad night uses; 2 g/m2 in 12 h must come in
    assert short.delivery.high == pytest.approx(2e-3 * ACRE / (DAY / 2))


def test_the_budget_follows_every_word_of_the_owner():
    base = oxygencase.one_night(SQUARE, words_of(color="green"))
    for more in ({"color": "pea green"}, {"fish": "1500 lb/acre"}, {"weed_cover": "80 %"}, {"secchi_depth": "6 in"}):
        worse = oxygencase.one_night(SQUARE, words_of(**{"color": "green"} | more))
        assert worse.demand.usual > base.demand.usual and worse.dawn.usual < base.dawn.usual, more
    for less in ({"color": "clear"}, {"secchi_depth": "9 ft"}):
        better = oxygencase.one_night(SQUARE, words_of(**{"color": "green"} | less))
        assert better.demand.usual < base.demand.usual, less
    # in clear water the mud is the large user
    sand, usual, black = (oxygencase.one_night(SQUARE, words_of(color="clear", mud=mud)).demand.usual
                          for mud in ("sand or clay", "ordinary", "black and deep"))
    assert sand < 0.9 * usual < usual < 0.9 * black
    # feed: 1.25 kg of oxygen for each kg (C. E. Boyd, Oxygen demand of aquaculture feed; seen), of which the fish do
    # not breathe 15, 30 and 50 % (5 to 10 % is uneaten, seen; the rest judgment). 10 kg a day: 1.875, 3.75, 6.25 kg
    fed = oxygencase.one_night(SQUARE, words_of(color="green", feed_per_day="10 kg/d"))
    for end, kilos in enumerate((1.875, 3.75, 6.25)):
        assert (fed.demand[end] - base.demand[end]) * DAY == pytest.approx(kilos)
    read = oxygencase.one_night(SQUARE, words_of(color="green", dusk="5 mg/L"))
    assert read.held.high == pytest.approx(5e-3 * SQUARE.volume)


def test_08_uses_the_words_that_02_saved():
    green = {"color": "pea green", "mud": "black and deep", "weed_cover": Q("60 %")}
    usual, rich = (plan.choices_from(pond) for pond in (record.demo(), record.demo().with_section("oxygen", green)))
    assert rich.one_night.delivery.high > 1.2 * usual.one_night.delivery.high
    assert {"color", "mud"} <= set(usual.assumed) and not {"color", "mud"} & set(rich.assumed)
    words = planparts.say_assumed(planparts.whole_plan(record.demo()))
    assert "color of the water green" in words and "mud ordinary" in words
    shown = {your_plan.night(pond)._readout.value
             for pond in (record.demo(), record.demo().with_section("oxygen", green))}
    assert len(shown) == 2


def test_the_note_reaches_form_plan_and_paper(monkeypatch):
    monkeypatch.setattr(how_much_oxygen, "RUNS", 60)
    pond = dataclasses.replace(record.demo(), invented=False)
    for warmth, noted in (("84 °F", False), ("91 °F", True), ("48 °F", True)):
        form = how_much_oxygen.OwnOxygen(pond)
        form.fields["temperature"].value = warmth
        form.work()
        assert form.values is not None and ("outside 59 to 86 °F" in form.message.value) == noted
        assert form.message.value.count("outside 59 to 86 °F") == noted
        whole = planparts.whole_plan(pond.with_section("oxygen", form.wanted()))
        assert ("outside 59 to 86 °F" in planparts.say_whole(whole)) == noted
        assert ("outside 59 to 86 °F" in planparts.sheet_html(whole)) == noted


def test_limits_of_warmth_and_of_the_white_disk():
    pond = record.demo()
    for made in (how_much_oxygen.who_uses(pond), how_much_oxygen.three_days(pond), your_plan.night(pond)):
        slider = next(control for control in made._controls if control.name == "temperature")
        assert slider.bounds("US")[:2] == (32, 95) and slider.bounds("metric")[:2] == (0, 35)
    # a clear pond's own reading stretches the slider
    clear = pond.with_section("oxygen", {"secchi_depth": Q("18 ft")})
    shown = next(control for control in how_much_oxygen.three_days(clear)._controls if control.name == "secchi_depth")
    assert shown.bounds("US")[1] >= 18
    for ends in ("31 °F", "96 °F"):
        with pytest.raises(ValueError, match="Warmest water.* outside 32.0 °F"):
            words_of(temperature=ends)
    for disk in ("2 in", "51 ft"):
        with pytest.raises(ValueError, match="Secchi depth.* outside 0.200 ft"):
            words_of(secchi_depth=disk)


def test_an_unknown_moved_past_the_limit_stops_there():
    hot = plan.changed(plan.choices_from(record.demo()), temperature=celsius(94))
    _, swings = plan.one_at_a_time(hot, "Oxygen at dawn")
    warmth = next(swing for swing in swings if swing.words == "Warmest water")
    # 94 °F less 3.6 and no more than 95
    assert [end.m_as("degF") for end in warmth.ends] == pytest.approx([90.4, 95.0])
    assert warmth.results[0] > warmth.results[1]


@pytest.mark.parametrize("color", ["clear", "slightly green", "green", "pea green"])
@pytest.mark.parametrize("weeds", [0.0, 0.3, 0.7])
@pytest.mark.parametrize("warm", [20.0, 27.0, 31.0])
def test_the_budget_of_a_night_and_the_days_and_nights_use_the_same_in_one_pond(color, weeds, warm):
    # two roads to one number: the budget's steady use, and what all users of a day and a half took in the model that
    # steps by the clock, its day warmer than its night
    words = words_of(color=color, mud="ordinary", weed_cover=Q(weeds, ""), temperature=Q(warm, "degC"))
    run = daynight.simulate.si(SQUARE, oxygencase.conditions_of(SQUARE, words), 36.0, 18.0, 9.0, step=1800.0)
    stepped = sum(float(np.ravel(run.totals[user])[0]) for user in ("plankton", "mud", "fish", "weeds")) / 36
    steady = oxygencase.one_night(SQUARE, words).demand.usual * 3600 / SQUARE.volume * 1e3
    assert steady == pytest.approx(stepped, rel=0.2)
