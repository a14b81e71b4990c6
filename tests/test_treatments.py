"""Doses by volume, and the rules that forbid one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondcalc.the_year import treatments
from pondcalc.units import Q, QuantityError, Range

POND = ("9 acre-ft", "10 acre-ft", "11 acre-ft")
FINE = dict(alkalinity="100 mg/L", dissolved_oxygen="7 mg/L", temperature="75 F", heavy_bloom=False,
            aerated=True)


def plan(**change):
    return treatments.copper_plan(POND, **{**FINE, **change})


def test_one_part_per_million_in_an_acre_foot():
    # 1 mg/L = 2.7194 lb per acre-ft (exact arithmetic; extension leaflets round to 2.7 or 2.72)
    assert treatments.dose("1 acre-ft", "1 mg/L").m_as("lb") == pytest.approx(2.7194, abs=1e-4)
    ends = treatments.dose(POND, "1 mg/L")
    assert [end.m_as("lb") for end in ends] == pytest.approx([24.47, 27.19, 29.91], abs=0.01)


def test_the_form_of_copper_is_named():
    # IUPAC atomic weights: 63.546 of 63.546 + 32.06 + 9 x 15.999 + 10 x 1.008
    share = 63.546 / (63.546 + 32.06 + 9 * 15.999 + 10 * 1.008)
    words = next(fact.words for fact in treatments.COPPER_FACTS if "pentahydrate" in fact.words)
    assert f"{100 * share:.0f} % is copper" in words and f"{share:.2f} mg/L of copper" in words


@given(st.floats(1, 1e5), st.floats(0, 20), st.floats(0.5, 2))
def test_a_volume_that_is_off_makes_a_dose_that_is_as_far_off(volume, concentration, factor):
    assert treatments.dose.si(volume * factor, concentration) == pytest.approx(
        factor * treatments.dose.si(volume, concentration))


def test_copper_worked_example():
    # 10 acre-ft at alkalinity 100: 1 mg/L, 27 lb for the whole pond, 9 to 14 lb a part (UF/IFAS
    # FA008; labels)
    p = treatments.copper_plan(("10 acre-ft",) * 3, **FINE)
    assert p.allowed and p.concentration.m_as("mg/L") == pytest.approx(1.0)
    assert p.whole_pond.usual.m_as("lb") == pytest.approx(27.2, abs=0.05)
    assert p.one_part.low.m_as("lb") == pytest.approx(9.06, abs=0.01)
    assert p.one_part.high.m_as("lb") == pytest.approx(13.6, abs=0.01)
    assert p.one_part.usual.m_as("lb") == pytest.approx(27.194 * (1 / 3 + 1 / 2) / 2, abs=0.01)     # half way between
    assert p.days_between.m_as("day").tolist() == [7, 14]


@pytest.mark.parametrize("alkalinity, allowed",
                         [(0, 0), (49.9, 0), (50, 0.5), (100, 1.0), (250, 2.5), (400, 2.5)])
def test_copper_follows_alkalinity(alkalinity, allowed):
    # UF/IFAS FA008: a hundredth of alkalinity; not below 50; not above 2.5 mg/L
    assert treatments.copper_concentration.si(alkalinity) == pytest.approx(allowed)


@pytest.mark.parametrize("change, says", [
    (dict(alkalinity="40 mg/L"), "Alkalinity is 40"), (dict(trout=True), "trout"),
    (dict(heavy_bloom=True, aerated=False), "heavy bloom and no aeration"),
    (dict(dissolved_oxygen="3 mg/L"), "below 4"), (dict(dissolved_oxygen="4.5 mg/L", floor="5 mg/L"), "below 5"),
    (dict(dissolved_oxygen="3.5 mg/L", floor="3 mg/L"), "below 4"),
])
def test_reasons_forbid_and_leave_no_dose_to_use(change, says):
    p = plan(**change)
    assert not p.allowed and any(says in reason for reason in p.reasons)
    assert p.whole_pond.high.m_as("kg") == 0 and p.one_part.high.m_as("kg") == 0


def test_cautions():
    assert any("85" in c for c in plan(temperature="88 F").cautions)
    assert any("2.5 mg/L" in c for c in plan(alkalinity="300 mg/L").cautions)
    wide = treatments.copper_plan(("8 acre-ft", "10 acre-ft", "14 acre-ft"), **FINE)
    assert any("factor of 1.75" in c for c in wide.cautions)
    # a part goes by the low end alone: a third and a half of 8 acre-ft at 2.7194 lb each
    assert [wide.one_part.low.m_as("lb"), wide.one_part.high.m_as("lb")] == pytest.approx([7.252, 10.878], abs=0.002)
    assert plan(heavy_bloom=True, aerated=True).allowed
    assert "label" in plan().cautions[0]


def test_a_dose_wants_an_honest_range():
    with pytest.raises(QuantityError, match="range: low, usual and high"):
        treatments.copper_plan("10 acre-ft", **FINE)
    assert treatments.copper_plan(Range(*(Q(v) for v in POND)), **FINE).whole_pond.usual.m_as("lb") == \
        pytest.approx(27.2, abs=0.05)


def test_blocks():
    # a block for 5 acre-ft means four in about 20 acre-ft (common practice, no source)
    assert treatments.blocks_needed("20 acre-ft", "5 acre-ft").m_as("") == 4
    assert treatments.blocks_needed("15.5 acre-ft", "5 acre-ft").m_as("") == 4
    ends = treatments.blocks_needed(("18 acre-ft", "20 acre-ft", "22 acre-ft"), "5 acre-ft")
    assert [int(e.m_as("")) for e in ends] == [4, 4, 5]


@pytest.mark.parametrize("call", [
    lambda: treatments.dose.si(0.0, 1.0), lambda: treatments.dose.si(10.0, -1.0),
    lambda: treatments.copper_concentration.si(-5.0), lambda: treatments.blocks_needed.si(10.0, 0.0)])
def test_nonsense_is_refused(call):
    with pytest.raises(ValueError):
        call()


def test_facts_have_sources_and_promise_nothing():
    for fact in (*treatments.COPPER_FACTS, *treatments.BACTERIA_FACTS):
        assert fact.words and fact.source
    words = " ".join(f.words for f in treatments.BACTERIA_FACTS)
    assert "Twelve ponds" in words and "few inches" in words       # Tucker 2009; Penn State Extension


def test_a_volume_that_may_be_nothing_gives_no_dose():
    with pytest.raises(QuantityError, match="low end of the volume is nothing"):
        treatments.copper_plan(Q([0, 5, 6], "acre-ft"), "100 mg/L", "6 mg/L", "75 F", False, True)
