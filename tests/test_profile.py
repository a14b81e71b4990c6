"""Profiles as people write them, and the tables under them."""

import subprocess
import sys
import warnings
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondcalc.tables import Column, find
from pondcalc.textfiles import open_table
from pondcalc.units import Q, QuantityError, asked
from pondcalc.warm_over_cold.profile import (
    Profile,
    profile_from_readings,
    read_day,
    read_lines,
    read_profile,
    two_layers,
    with_surface,
)

DATA = Path(__file__).resolve().parent.parent / "data"
PLAIN = "depth (ft),temperature (F),dissolved oxygen (mg/L)\n0,77,8.0\n5,68,6.0\n10,59,0.2\n"


def quiet(text, **options):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return read_profile(text, **options)


@pytest.mark.parametrize("text", [
    PLAIN,
    # the invisible mark of a spreadsheet
    "\ufeff" + PLAIN,
    PLAIN.replace(",", ";"),
    PLAIN.replace(",", "\t"),
    PLAIN.replace(",", ";").replace("8.0", "8,0").replace("0.2", "0,2"),    # decimal comma
    "# a remark\n\n" + PLAIN + "\n,,\n",
    PLAIN.replace("depth (ft)", "Depth_ft").replace("temperature (F)", "Water Temp °F").replace(
        "dissolved oxygen (mg/L)", "DO"),
    "z [m],t [C],DO mg/L\n0,25,8\n1.524,20,6\n3.048,15,0.2\n",
    PLAIN.encode("utf-16"),
    PLAIN.replace("temperature (F)", "temperature (°F)").encode("cp1252"),
])
def test_the_same_profile_in_many_guises(text):
    p = read_profile(text)
    assert p.depth == pytest.approx([0, 1.524, 3.048])
    assert p.temperature == pytest.approx([25, 20, 15])
    assert p.dissolved_oxygen == pytest.approx([8, 6, 0.2])


@pytest.mark.parametrize("text, says", [
    ("", "empty"),
    ("\n\n", "empty"),
    ("depth (ft),temperature (F)\n", "no rows below it"),
    ("0,77\n10,59\n", "has no heading"),
    ("depth (ft),salt\n0,1\n1,2\n", "headed temperature"),
    ("temperature (F),salt\n60,1\n61,2\n", "headed depth"),
    ("depth,temperature (F)\n0,77\n10,59\n", "no unit.*'depth \\(ft\\)' or 'depth \\(m\\)'"),
    ("depth (ft),temperature\n0,77\n10,59\n", "run from 59 to 77.*'temperature \\(F\\)'"),
    ("depth (ft),temperature (C)\n0,77\n10,59\n", "hotter than any pond. Were they taken in °F"),
    ("depth (ft),temperature (F)\n0,25\n10,15\n", "water is ice below 32 °F. Were they taken in °C"),
    ("depth (ft),temperature (F)\n0,77\nten,59\n", "line 3: the depth is 'ten', not a length"),
    ("depth (ft),temperature (F),oxygen (%)\n0,77,0.95\n10,59,0.03\n", "percent saturation.*as 85"),
    ("depth (ft),temperature (F),oxygen\n0,77,95\n10,59,3\n", "percent saturation"),
    ("depth (ft),temperature (F)\n3,77\n", "at least two readings"),
    ("depth (psi),temperature (F)\n3,77\n4,76\n", "does not measure depth"),
])
def test_doubts_are_asked_about_in_words(text, says):
    with pytest.raises(QuantityError, match=f"(?s){says}"):
        read_profile(text)


def test_feet_marked_as_metres_are_caught_by_the_depth_of_the_pond():
    text = "depth (m),temperature (F)\n0,77\n14,59\n"
    with pytest.raises(QuantityError, match="feet and marked meters"):
        read_profile(text, pond_depth="14.5 ft")
    assert read_profile(text, pond_depth="14 m").depth[-1] == 14


def test_oddities_are_mended_and_said():
    with pytest.warns(UserWarning) as said:
        p = read_profile("depth (ft),temperature (F)\n10,59\n0,77\n0,79\n5,68\n,60\n")
    assert p.temperature == pytest.approx([(78 - 32) / 1.8, 20, 15])
    words = " ".join(str(w.message) for w in said)
    assert "not in order" in words and "more than once" in words and "left out" in words
    assert p.notes == tuple(str(w.message) for w in said)


def test_depths_below_zero_are_turned_over():
    p = quiet("depth (m),temperature (C)\n0,20\n-2,18\n-4,12\n")
    assert p.depth.tolist() == [0, 2, 4]
    assert p.temperature.tolist() == [20, 18, 12]


@settings(max_examples=25, deadline=None)
@given(st.permutations(range(6)))
def test_the_order_of_rows_does_not_matter(order):
    rows = [f"{z},{77 - z}" for z in range(6)]
    p = quiet("depth (ft),temperature (F)\n" + "\n".join(rows[i] for i in order) + "\n")
    assert p.temperature == pytest.approx([(77 - z - 32) / 1.8 for z in range(6)])


def test_typed_readings_and_gaps_in_oxygen():
    p = profile_from_readings([("1 ft", "76 F", "8 mg/L"), ("6 ft", "70 F"), ("14 ft", "58 F", "0.4 mg/L")])
    assert np.isnan(p.dissolved_oxygen[1])
    # straight line between 1 and 14 ft
    assert p.oxygen_at(6 * 0.3048) == pytest.approx(8 - 7.6 * 5 / 13)
    with pytest.raises(QuantityError, match="no readings"):
        profile_from_readings([])
    with pytest.raises(QuantityError, match="temperature"):
        profile_from_readings([("1 ft", "warm")])


def test_a_profile_is_checked_when_it_is_made():
    assert asked(Profile)(Q([0, 10], "ft"), Q([77, 59], "F")).temperature[1] == pytest.approx(15)
    for depth, temperature, oxygen in [
            ([0, 1], [20], None), ([1, 0], [20, 19], None), ([0, 0], [20, 19], None),
            ([-1, 2], [20, 19], None),
            ([0, 1], [20, np.nan], None), ([0, 1], [20, 60], None), ([0, 1], [20, 19], [8]),
            ([0, 1], [20, 19], [8, 100]), ([0, 1], [20, 19], [8, np.nan])]:
        with pytest.raises(QuantityError):
            Profile(depth, temperature, oxygen)


def test_short_names_of_columns_are_whole_words():
    table = open_table("doubt,depth (ft)\n1,2\n", "profile", "depth (ft)")
    find(table, [Column("oxygen", kind="oxygen")])
    assert not table.has("oxygen")


def test_demo_files_are_made_by_their_script_and_read_without_a_word(tmp_path):
    names = ["demo-profile-july.csv", "demo-profile-october.csv", "demo-profile-february.csv", "demo-log.csv"]
    script = tmp_path / "make_demo_seasons.py"
    script.write_bytes((DATA / "make_demo_seasons.py").read_bytes())
    subprocess.run([sys.executable, str(script)], check=True)
    for name in names:
        assert (tmp_path / name).read_bytes() == (DATA / name).read_bytes(), f"{name}: run the script again"
        assert "INVENTED" in (DATA / name).read_text(encoding="utf-8").splitlines()[0]
    for name in names[:3]:
        p = read_profile(DATA / name, pond_depth="14.5 ft")
        assert len(p.depth) == 15 and p.notes == ()


@pytest.mark.parametrize("text", ["0 ft 77 F 8\n10 ft 59 F 0.5", "0ft, 77F, 8 mg/L;\n10', 59°F, 0.5 ppm",
                                  "# July\n0 77 8\n10 59 0.5", "0,77,8\n10,59,0.5", "0, 77, 8\n10, 59, 0.5",
                                  "0,77.0,8\n10,59.0,0.5", "0,77F,8\n10,59F,0.5",
                                  "depth (ft), temperature (F), oxygen (mg/L)\n0,77,8\n10,59,0.5"])
def test_typed_readings(text):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        p = read_lines(text)
    assert p.depth == pytest.approx([0, 3.048]) and p.temperature == pytest.approx([25, 15])
    assert p.dissolved_oxygen == pytest.approx([8, 0.5])


def test_typed_readings_say_which_unit_was_taken():
    with pytest.warns(UserWarning, match="read as meters"), pytest.warns(UserWarning, match="°C"):
        p = read_lines("0 25\n3 15", "metric")
    assert p.depth[-1] == 3 and p.temperature[0] == 25 and "°C" in p.notes[1]


@pytest.mark.parametrize(("text", "says"), [
    ("", "no readings yet"), ("0 26,5\n9 14,5", "comma"), ("0 ft 80 F 7.5\n4 ft", "Line 2"),
    ("80 F 0 ft\n60 F 9 ft", "measure"),
    ("0 80 90%\n4 70 7", "percent"), ("top 80\n9 60", "Line 1"), ("0 26\n9 14", "marked °F"),
    ("0 ft 80 F\n20 m 60 F", "feet and marked meters")])
def test_typed_readings_that_cannot_be(text, says):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with pytest.raises(QuantityError, match=says):
            read_lines(text, pond_depth=Q("14.5 ft"))


def test_a_profile_from_three_numbers():
    p = asked(two_layers)("80 F", "60 F", "5 ft", "2 ft", "14 ft", "8 mg/L", "0.2 mg/L")
    at = p.temperature_at(np.array([4.9, 6, 7.1]) * 0.3048) * 1.8 + 32         # top, half-way, bottom
    assert at == pytest.approx([80, 70, 60]) and p.oxygen_at(6 * 0.3048) == pytest.approx(4.1)
    assert two_layers(20, 10, 9.0, 1.0, 4.0).temperature == pytest.approx([20, 20])      # all of it upper water
    assert two_layers(20, 10, 0.0, 0.0, 4.0).temperature[1:] == pytest.approx([10, 10])
    assert two_layers(20, 10, 3.0, 2.0, 4.0).temperature[-1] == pytest.approx(15)         # cut off half-way
    with pytest.raises(QuantityError, match="zero or more"):
        two_layers(20, 10, -1.0, 0.0, 4.0)


def test_layers_grow_and_shrink_with_the_season():
    p = asked(with_surface)(Profile([0, 2, 4], [24, 18, 12], [8, 4, 0]), "18 C")
    assert p.temperature == pytest.approx([18, 15, 12]) and p.dissolved_oxygen == pytest.approx([8, 4, 0])
    with pytest.raises(QuantityError, match="alike"):
        with_surface(Profile([0, 4], [12, 12]), 20.0)


@pytest.mark.parametrize("line", ["0 26,5 8", "0;26,5;8", "0 m 26,5 C 8", "0 26,5 8,0"])
def test_a_decimal_comma_among_typed_numbers_is_taken_where_it_can_be_nothing_else(line):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        read = read_lines(line + "\n3 20 1", "metric")
    assert read.temperature[0] == 26.5 and read.dissolved_oxygen[0] == 8
    assert ";" in line or any("26,5 was read as a decimal point" in note for note in read.notes)


@pytest.mark.parametrize("line", ["0 26,5", "0 m 26,5 C", "0 20,1"])
def test_a_comma_that_may_part_two_numbers_is_refused(line):
    with pytest.raises(QuantityError, match="decimal point|cannot be read"):
        read_lines(line + "\n3 20 1", "metric")


@pytest.mark.parametrize(("text", "day"), [("", ""), ("7/24/2025", "2025-07-24"), ("24 jul 2025", "2025-07-24"),
                                           ("July 24, 2025", "2025-07-24"), ("2025-07-24", "2025-07-24")])
def test_the_day_of_readings_is_kept_year_first(text, day):
    assert read_day(text) == day


@pytest.mark.parametrize("text", ["August", "24", "2025-13-01", "2999-01-01"])
def test_what_is_no_day_is_refused(text):
    with pytest.raises(QuantityError, match="day of the readings"):
        read_day(text)


@pytest.mark.parametrize("line", [
    "3 ft 80 F 7.5", "3' 80°F 7.5 mg/L", "3ft, 80F, 7.5ppm", "3 80 7.5", "3 feet; 80 deg F; 7.5 mg/l",
    "3 ft: 80 degrees F, 7.5", "3 ft., 80 F., 7.5", "3 ft - 80 F - 7.5", "3 ft | 80 F | 7.5", "3 ft 80º F 7.5",
    "36 in 80 F 7.5", "2 ft 12 in 80 F 7.5", "2' 12\" 80 F 7.5", "0.9144 m 26.667 °C 7.5", "91.44 cm 26.667 C 7.5"])
def test_a_line_is_read_as_people_write_it(line):
    read = read_lines(f"surface, 80 F, 8\n{line}\n10 ft  60 F  .2")
    assert read.depth == pytest.approx([0, 0.9144, 3.048], abs=1e-4)
    assert read.temperature == pytest.approx([26.667, 26.667, 15.556], abs=1e-3)
    assert read.dissolved_oxygen == pytest.approx([8, 7.5, 0.2])


@pytest.mark.parametrize("line", ["3 ft 80,5", "3 ft 80 F -", "3 ft 80 F 95 %", "3 ft 80 F <0.5",
                                  "3 ft 80 F 7.5 8"])
def test_a_line_that_may_mean_something_else_is_refused(line):
    with pytest.raises(QuantityError, match="Line 1"):
        read_lines(f"{line}\n10 ft 60 F 0.2")


@pytest.mark.parametrize("line", ["3 ft | - | 7.5", "3 ft - - - 7.5", "3 ft, - , 7.5"])
def test_a_dash_in_place_of_a_number_is_no_mark_between_two(line):
    read = read_lines(f"surface, 80 F, 8\n{line}\n10 ft 60 F 0.2")
    assert read.depth == pytest.approx([0, 3.048]) and read.dissolved_oxygen == pytest.approx([8, 0.2])
    assert any("no temperature" in note for note in read.notes)
