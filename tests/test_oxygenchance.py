"""Chances: the draws, a case with a known answer, and the delivery that mends it."""

import numpy as np
import pytest
from scipy import stats

from pondcalc.how_much_oxygen import daynight, oxygenchance
from pondcalc.units import Q, Range

BOX = daynight.PondShape("8 acre-ft", "1 acre")
GREEN = daynight.Conditions.si(25.0, chlorophyll=55.0, fish_mass_per_area=0.0336, night_wind_speed=0.5)


def test_draws_meet_the_range():
    doubt = Range(1.0, 2.0, 6.0)
    values = oxygenchance.draw(doubt, (np.arange(20000) + 0.5) / 20000)
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
    got = oxygenchance.dawn_chance(BOX, dead, {"dissolved_oxygen": Range(3.0, 5.0, 9.0)}, "4 mg/L", hours=12.0)
    assert got.chance == pytest.approx(0.125, abs=0.002)
    assert got.dawn.usual == pytest.approx(5.0, abs=0.02)
    assert got.weight["dissolved_oxygen"] == pytest.approx(1.0)


def test_chance_behaves():
    doubts = oxygenchance.usual_doubts("green")
    base = oxygenchance.dawn_chance(BOX, GREEN, doubts, "3 mg/L", 400)
    assert 0 <= base.chance <= 1 and len(base.lows) == 400
    again = oxygenchance.dawn_chance(BOX, GREEN, doubts, "3 mg/L", 400)
    assert np.array_equal(base.lows, again.lows), "the same seed, the same answer"
    higher = oxygenchance.dawn_chance(BOX, GREEN, doubts, "5 mg/L", 400)
    helped = oxygenchance.dawn_chance(BOX, GREEN, doubts, "5 mg/L", 400, delivery="0.5 kg/h")
    crowded = oxygenchance.dawn_chance(BOX, GREEN.with_values(fish_mass_per_area=0.112), doubts, "5 mg/L", 400)
    assert base.chance < higher.chance < crowded.chance and helped.chance < higher.chance
    assert base.dawn.low < base.dawn.usual < base.dawn.high
    other = oxygenchance.dawn_chance(BOX, GREEN, doubts, "5 mg/L", 400, seed=2)
    assert other.chance == pytest.approx(higher.chance, abs=4 * higher.error)


def test_signs_of_what_matters():
    got = oxygenchance.dawn_chance(BOX, GREEN, oxygenchance.usual_doubts("green"), runs=400)
    assert got.weight["plankton_scatter"] < -0.2 and got.weight["mud_20c"] < -0.1
    # algae that work hard feed more use at night, and a dull day does not pay it back
    assert got.weight["clear_share"] > 0.2 and got.weight["assimilation"] < -0.2
    sizes = [abs(w) for w in got.weight.values()]
    assert sizes == sorted(sizes, reverse=True)


def test_measuring_narrows_the_answer():
    doubts = oxygenchance.usual_doubts("green")
    wide = oxygenchance.dawn_chance(BOX, GREEN, doubts, runs=400)
    first = next(iter(wide.weight))
    doubts[first] = Range(*[doubts[first].usual] * 3)
    narrow = oxygenchance.dawn_chance(BOX, GREEN, doubts, runs=400)
    assert narrow.dawn.high - narrow.dawn.low < 0.9 * (wide.dawn.high - wide.dawn.low)


def test_delivery_mends_each_draw():
    doubts = oxygenchance.usual_doubts("green")
    need = oxygenchance.delivery_chance.si(BOX, GREEN, doubts, 4.0, runs=60, hours=36.0)
    assert 0 <= need.usual <= need.enough <= need.worst and need.worst > 0
    drawn, *_ = oxygenchance._draws(GREEN, doubts, 60, 1)
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
    _, drawn, _, spells = oxygenchance._draws(GREEN, ALL, 2000, 1)
    for one in ALL:
        for other in ALL:
            if one < other:
                wanted = oxygenchance.COMPANY.get((one, other), oxygenchance.COMPANY.get((other, one), 0.0))
                assert stats.spearmanr(drawn[one], drawn[other])[0] == pytest.approx(wanted, abs=0.06), (one, other)
        # each alone is spread as before: half of the draws on either side of the usual one
        assert np.mean(drawn[one] < ALL[one].usual) == pytest.approx(0.5, abs=0.01)
    wanted = np.eye(len(ALL))
    names = list(ALL)
    for (one, other), rank in oxygenchance.COMPANY.items():
        wanted[names.index(one), names.index(other)] = wanted[names.index(other), names.index(one)] = rank
    assert np.linalg.eigvalsh(wanted).min() > 0.05, "a set of correlations that can be"
    assert spells == oxygenchance.SPELLS


def test_what_belongs_to_the_pond_stays_and_the_weather_changes():
    _, drawn, _, spells = oxygenchance._draws(GREEN, ALL, 100, 1)
    for name, values in drawn.items():
        by_pond = values.reshape(-1, spells)
        assert np.all(by_pond == by_pond[:, :1]) == (name not in oxygenchance.NIGHTLY), name
    # nothing nightly in doubt: each draw is another pond
    assert oxygenchance._draws(GREEN, {"mud_20c": ALL["mud_20c"]}, 100, 1)[3] == 1


def test_company_widens_the_bad_end_and_leaves_the_middle():
    """Draws that go together pile up: with the same ranges more ponds are very low, as many are below the middle."""
    deep = daynight.PondShape.si(9868.0, 4046.86)
    with_it = oxygenchance.dawn_chance(deep, GREEN, ALL, runs=2000, step=1800.0)
    alone = {pair: 0.0 for pair in oxygenchance.COMPANY}
    before, oxygenchance.COMPANY = oxygenchance.COMPANY, alone
    try:
        without = oxygenchance.dawn_chance(deep, GREEN, ALL, runs=2000, step=1800.0)
    finally:
        oxygenchance.COMPANY = before
    assert with_it.dawn.usual == pytest.approx(without.dawn.usual, abs=0.25)
    assert with_it.dawn.low < without.dawn.low - 0.1


def test_shares_of_ponds_and_of_spells_hang_together():
    got = oxygenchance.dawn_chance(BOX, GREEN, ALL, "4.5 mg/L", 400, step=1800.0)
    assert got.always <= got.chance <= got.ever
    # two spells: a pond is low in none, one or both, so the share of spells is the mean of the two shares
    assert got.chance == pytest.approx((got.always + got.ever) / 2)
    assert got.error == pytest.approx(np.sqrt(got.chance * (1 - got.chance) / 200))


def test_units_pass_the_door():
    got = oxygenchance.dawn_chance(BOX, GREEN, {"night_wind_speed": Range(Q("0 mph"), Q("2 mph"), Q("6 mph"))}, runs=50)
    assert got.drawn["night_wind_speed"].max() < 6 * 0.44704


@pytest.mark.parametrize("call, says", [
    (lambda: oxygenchance.dawn_chance(BOX, GREEN, {"luck": Range(0, 1, 2)}), "no condition"),
    (lambda: oxygenchance.dawn_chance(BOX, GREEN, {"day": Range(1, 2, 3)}), "one number"),
    (lambda: oxygenchance.dawn_chance(BOX, GREEN, {"mud_20c": Range(2.0, 1.0, 3.0)}), "rise"),
    (lambda: oxygenchance.dawn_chance(BOX, GREEN, {"mud_20c": (1.0, 2.0)}), "Range"),
    (lambda: oxygenchance.dawn_chance(BOX, GREEN, {}, runs=1), "runs"),
    (lambda: oxygenchance.delivery_chance(BOX, GREEN, {}, "4 mg/L", dissolved_oxygen="3 mg/L"), "to keep"),
    (lambda: oxygenchance.delivery_chance(BOX, GREEN, {}, "4 mg/L", 1.5), "enough_for")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_weights_are_spearmans_rank_correlations():
    """Against scipy.stats.spearmanr, with ties and with a row that does not vary."""
    rng = np.random.default_rng(3)
    lows = rng.normal(size=200)
    others = [rng.normal(size=200), rng.integers(0, 4, 200).astype(float), np.full(200, 2.0)]
    got = oxygenchance._rank_correlations(lows, others)
    assert got[:2] == pytest.approx([stats.spearmanr(lows, each)[0] for each in others[:2]], abs=1e-12)
    assert got[2] == 0.0
