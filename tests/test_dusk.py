"""A reading at the top of a pond is never taken as the whole pond's, and the dawn stands beside a mixing at once."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from pondcalc import findings, record
from pondcalc.controls import bubbles_and_oxygen, how_much_oxygen
from pondcalc.door import oxygencase
from pondcalc.units import Q, Range, asked
from pondcalc.warm_over_cold.profile import Profile
from pondcalc.your_plan import plan, planparts, staleness, verdict

DEEP = 17 * 0.3048
LABELS = {where: label for label, where in how_much_oxygen.WHERE.items()}
TOP = (oxygencase.NEAR_TOP, oxygencase.NOT_KNOWN)
# an invented July evening: 8 mg/L at the top, hardly any at the bottom
DEPTHS, OXYGEN, WARMTH = (0.0, 6.0, 9.0, 12.0, 17.0), (8.0, 7.5, 2.2, 0.5, 0.2), (83.0, 81.0, 74.0, 66.0, 62.0)


def bowl(z):
    """Area of an invented pond of 1.3 acres, m2 at z m down: 1.3 acres (1 - z/17 ft)^1.25."""
    return 1.3 * 4046.8564224 * (1 - np.asarray(z) / DEEP) ** 1.25


@pytest.fixture(scope="module")
def layered():
    """A record with that pond and that evening's readings, as workbooks 01 and 05 save them."""
    z = np.linspace(0, DEEP, 200)
    volume = 1.3 * 4046.8564224 * DEEP / 2.25              # the integral of the area, by calculus
    read = asked(Profile)([Q(d, "ft") for d in DEPTHS], [Q(t, "degF") for t in WARMTH], [Q(c, "mg/L") for c in OXYGEN],
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


@pytest.fixture(autouse=True)
def fewer(monkeypatch):
    monkeypatch.setattr(how_much_oxygen, "RUNS", 300)


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
        return np.interp(z, np.array(DEPTHS) * 0.3048, OXYGEN)
    breaks = [d * 0.3048 for d in DEPTHS[1:-1]]
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
    for where in TOP:
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
       st.sampled_from(TOP))
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
