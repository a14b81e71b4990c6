"""Aerate or not, and whether this air meets the need."""

import pytest

from pondcalc import record
from pondcalc.units import Q, Range
from pondcalc.your_plan import plan, verdict


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
