"""Results that rest on something found out again later."""

import dataclasses

import pytest

from pondcalc import catalogue, record
from pondcalc.controls import pond
from pondcalc.units import Q, Range
from pondcalc.your_plan import staleness

AIR = {"submergence": Q("11 ft")}
LINE = {"length": Q("300 ft")}
POWER = {"power": Range(Q("150 W"), Q("200 W"), Q("250 W"))}


def made(**hours):
    """A record whose sections were saved at these hours of one day."""
    sections = {"site": {"elevation": Q("900 ft")}, "water": {"deepest": Q("14 ft")}, "air": AIR, "line": LINE,
                "power": POWER, "layers": {"kind": "mixed"}, "year": {"winter": "off"}}
    return record.PondRecord("North", sections={name: sections[name] for name in hours},
                             stamps={name: {"saved": f"2026-05-01T{hour:02d}:00:00+00:00", "by": "x"}
                                     for name, hour in hours.items()})


def test_saved_in_order_nothing_is_out_of_date():
    assert staleness.stale(made(site=1, water=2, air=3, line=4, power=5)) == ()
    assert staleness.stale(made(water=2, line=2)) == ()             # the same second does not count
    assert staleness.stale(record.demo()) == ()


def names(pond):
    return tuple(item.section for item in staleness.stale(pond))


def test_a_later_section_is_blamed_and_what_rests_on_it_follows():
    found = staleness.stale(made(water=2, air=6, line=4, power=5, layers=3))
    assert [item.section for item in found] == ["line", "power"]
    assert found[0].because == ("air",) and "“air” was saved after it" in found[0].words
    assert "workbook 04" in found[0].words and "rests on “line”" in found[1].words and "workbook 06" in found[1].words
    assert names(made(water=9, air=3, line=4, year=5, layers=10)) == (
        "air", "line", "year")


def test_watts_read_off_a_machine_do_not_rest_on_the_line():
    for found, out in (("by plate or meter", ("line",)), ("before buying", ("line", "power"))):
        kept = made(site=1, water=2, air=6, line=4, power=5)
        odd = record.PondRecord("x", sections={**kept.sections, "power": {**POWER, "found": found}}, stamps=kept.stamps)
        assert names(odd) == out
        later = record.PondRecord("x", sections=odd.sections, stamps={**kept.stamps, "line": kept.stamps["air"],
                                                                      "air": kept.stamps["water"]})
        assert names(later) == out[1:]
        moved = record.PondRecord("x", sections=odd.sections, stamps={**kept.stamps, "site": kept.stamps["air"]})
        assert "power" in names(moved), "the cabinet's air is for the height"


def test_redoing_it_clears_the_mark():
    pond_ = made(water=5, line=4)
    assert names(pond_) == ("line",)
    assert staleness.stale(pond_.with_section("line", LINE, "04")) == ()


@pytest.mark.parametrize("stamp", [None, {}, {"saved": "yesterday"}, {"saved": 7}, "text"])
def test_a_stamp_that_cannot_be_read_blames_nobody(stamp):
    kept = made(water=5, line=4)
    odd = record.PondRecord("x", sections=kept.sections, stamps={**kept.stamps, "water": stamp})
    assert staleness.stale(odd) == ()


def test_stamps_without_a_time_zone_are_compared_as_utc():
    kept = made(water=5, line=4)
    odd = record.PondRecord("x", sections=kept.sections, stamps={**kept.stamps, "line": {"saved": "2026-05-01T04:30"}})
    assert names(odd) == ("line",)


def test_every_section_of_a_record_has_a_place_and_earlier_ones_come_first():
    order = list(catalogue.SECTIONS)
    assert all(order.index(need) < order.index(section)
               for section, (_, needs) in catalogue.SECTIONS.items() for need in needs)


def test_naming_the_pond_again_at_the_same_height_spoils_nothing(tmp_path):
    path = tmp_path / "p.json"
    kept = made(site=1, water=2, line=3)
    record.save(kept, path)
    assert staleness.stale(record.rename("South", "metric", {"elevation": Q("900 ft")}, path)) == ()
    moved = record.rename("South", "US", {"elevation": Q("1900 ft")}, path)
    assert names(moved) == ("line",)


def test_the_banner_says_it(tmp_path):
    path = tmp_path / "p.json"
    record.save(made(water=5, line=4), path)
    words = pond.open_pond("water", path)[1]
    assert "“line” is out of date" in words and "workbook 04" in words
    record.save(made(water=3, line=4), path)
    assert "out of date" not in pond.open_pond("water", path)[1]


def with_air(wanted, sent, machine=True, depth="11 ft", **hours):
    """03 worked out for `wanted`, 04 for `sent` (L/min), both at a depth, saved at these hours."""
    kept = made(**hours)
    air = {"submergence": Q("11 ft"), "flow_free_air": Range(*(Q(f * wanted, "L/min") for f in (0.8, 1.0, 1.2)))}
    line = {"length": Q("300 ft"), "submergence": Q(depth), "flow_free_air": Q(sent, "L/min")}
    if machine:
        line |= {"curve_pressure": [Q("0 psi"), Q("9 psi")], "curve_flow": [Q(1.2 * sent, "L/min"), Q(sent, "L/min")]}
    return dataclasses.replace(kept, system="metric", sections={**kept.sections, "air": air, "line": line})


def test_a_machine_that_sends_other_air_than_03_reckoned_with_is_to_be_mended():
    pond_ = with_air(54.0, 97.0, site=1, water=2, air=3, layers=4, line=5, power=6, year=7)
    assert names(pond_) == ("air", "year"), "04 itself, and the power of 06, still hold"
    first, year = staleness.stale(pond_)
    # 97 / 54 = 1.796
    assert "sends 1.8 times the air that workbook 03 was worked out for" in first.words and "97 L/min" in first.words
    assert "do 07 again" in first.words and "rests on “air”" in year.words and first.because == ("line",)
    # a fifth more is still within what 03 keeps: 1.2 x 54 = 64.8
    assert names(with_air(54.0, 64.8, site=1, water=2, air=3, line=5, year=7)) == ()
    assert names(with_air(54.0, 65.4, site=1, water=2, air=3, line=5, year=7)) == ("air", "year")
    assert names(with_air(54.0, 42.7, site=1, water=2, air=3, line=5, year=7)) == ("air", "year"), "0.79 of it"


def test_taking_the_air_of_04_in_03_does_not_go_round_in_a_ring():
    again = with_air(97.0, 97.0, site=1, water=2, air=8, layers=4, line=5, power=6, year=7)
    assert names(again) == ("year",)
    assert names(with_air(97.0, 97.0, site=1, water=2, air=8, layers=4, line=5, power=6, year=9)) == ()
    assert names(with_air(100.0, 96.0, site=1, water=2, air=8, line=5)) == (), "4 % off"
    assert names(with_air(100.0, 94.0, site=1, water=2, air=8, line=5)) == ("line",), "6 % off"
    assert names(with_air(97.0, 97.0, depth="9 ft", water=2, air=8, line=5)) == ("line",), "the diffuser has moved"


def test_without_a_machine_04_follows_03_first():
    assert names(with_air(97.0, 54.0, machine=False, water=2, air=8, line=5, year=9)) == ("line",)
    assert names(with_air(54.0, 97.0, machine=False, water=2, air=3, line=5, year=9)) == ("air", "year")
    # a machine sends what it sends, whatever was saved last
    assert names(with_air(54.0, 97.0, water=2, air=8, line=5, year=9)) == ("air", "line", "year")


def test_on_paper_it_is_one_line_and_what_to_mend():
    assert staleness.on_paper(()) == ()
    found = staleness.stale(with_air(54.0, 97.0, site=1, water=9, air=3, layers=4, line=5, power=6, year=7))
    mend, line = staleness.on_paper(found)
    assert "1.8 times" in mend and "workbook 03 “air”, 04 “line”, 05 “layers”, 06 “power”, 07 “year”" in line
    assert len(line) < 200
