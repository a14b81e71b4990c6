"""The one reader of tables: a kind of file is a list of columns, and nothing leaves without its row and reason."""

import numpy as np
import pytest

from pondcalc.tables import Column, read, typed
from pondcalc.textfiles import FieldDataError, typed_cells

# a kind of file that no workbook reads: all it takes is its columns
RAIN = (Column("day", kind="moment", required=True, gaps=False),
        Column("rain", (r"\brain", r"\bprecip"), "meter", ("in", "mm"), "0 in", "20 in", required=True, gaps=False,
               without="rate"),
        Column("water temperature", unit="degree_Celsius", offer=("F", "C"), low="-1 C", high="45 C", kind="water"),
        Column("oxygen", kind="oxygen", low="0 mg/L", high="40 mg/L", beside="water temperature"))
INCH = 0.0254                       # m, exact


def rain(text, **options):
    return read(text, RAIN, "rain log", "date,rain (in)", **options)


@pytest.mark.parametrize("text", [
    "date,rain (in)\n2025-07-01,0.5\n2025-07-02,1.25\n", "date;rain (mm)\n2025-07-01;12,7\n2025-07-02;31,75\n",
    "date\train_in\train rate (in/h)\n7/1/2025\t0.5\t2\n7/2/2025\t1.25\t3\n",
    "date,rain\n,mm\n2025-07-01,12.7\n2025-07-02,31.75\n",
    "Day,Precipitation in mm\n2025-07-01,12.7\n2025-07-02,1.25 in\n", "date rain_in\n2025-07-01 0.5\n2025-07-02 1.25\n",
    'date,"rain, in"\n2025-07-01,1/2\n2025-07-02,1 1/4\n', "date,rain (cm)\n2025-07-01,1.27\n2025-07-02,3.175\n"])
def test_a_kind_of_file_is_a_list_of_columns(text):
    table = rain(text)
    assert table["rain"] == pytest.approx([0.5 * INCH, 1.25 * INCH])
    assert [moment.day for moment in table["day"]] == [1, 2] and not table.left_out
    assert np.isnan(table["oxygen"]).all()              # a column that is not there is not-a-number


def test_every_row_that_is_left_out_has_its_number_its_text_and_a_reason():
    text = ("# invented\n\ndate,rain (in)\n2025-07-01,0.5\n2025-07-02,\n2025-07-03,wet\n2025-07-04,50\n2025-07-05,-1\n"
            "2025-07-06,<0.1\n2025-07-07,1,windy\ndate,rain (in)\nyesterday,1\n2025-07-09,0.5 psi\n2025-07-10,1e999\n"
            "2025-07-11,2\nTotal,4.5\n")
    table = rain(text)
    assert list(table.row) == [4, 15] and table["rain"] == pytest.approx([0.5 * INCH, 2 * INCH])
    said = {row.row: row.reason for row in table.left_out}
    assert sorted(said) == [5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 16]
    for row, words in {5: "no rain is given", 6: "'wet'", 7: "50 in, outside 0 to 20 in", 8: "-1 in, outside",
                       9: "'<0.1'", 10: "more entries", 11: "repeats the heading", 12: "'yesterday'", 13: "'0.5 psi'",
                       14: "'1e999'", 16: "a total"}.items():
        assert words in said[row], said[row]
    lines = text.splitlines()
    assert all(row.text == lines[row.row - 1] for row in table.left_out)


def test_a_cell_may_carry_a_unit_and_another_than_its_columns_is_said():
    own = rain("date,rain (in)\n2025-07-01,0.5 in\n2025-07-02,1\n")
    assert own["rain"] == pytest.approx([0.5 * INCH, INCH]) and not own.notes
    other = rain("date,rain (in)\n2025-07-01,12.7 mm\n2025-07-02,1\n")
    assert other["rain"] == pytest.approx([0.5 * INCH, INCH]) and "'12.7 mm', in a column of in" in other.notes[0]


def test_a_strict_table_refuses_what_it_cannot_read_but_passes_over_gaps():
    with pytest.raises(FieldDataError, match="the rain log text, line 3: the rain is 'wet'"):
        rain("date,rain (in)\n2025-07-01,0.5\n2025-07-02,wet\n", strict=True)
    table = rain("date,rain (in)\n2025-07-01,0.5\n2025-07-02,—\n", strict=True)
    assert len(table) == 1 and table.left_out[0].row == 3


@pytest.mark.parametrize(("text", "says"), [
    ("date,rain\n2025-07-01,0.5\n", r"no unit this set knows.*'rain \(in\)' or 'rain \(mm\)'"),
    ("date,rain (psi)\n2025-07-01,0.5\n", "does not measure rain"),
    ("date,rain (in),rain gauge 2 (in)\n2025-07-01,1,2\n", "two columns give the rain"),
    ("date,rain rate (in)\n2025-07-01,1\n", "no column is headed rain"),
    ('date,rain (in)\n2025-07-01,"1,250"\n', "thousands or decimals"),
    ("date;rain (mm);water temp (C)\n2025-07-01;1.250;20,5\n", "point may mark thousands or decimals"),
    ("date,rain (in)\n13/07/2025,1\n", "day first"), ("rain (in),note\n1,2\n", "no column is headed day")])
def test_what_is_not_sure_is_asked_about(text, says):
    with pytest.raises(FieldDataError, match=says):
        rain(text)


def test_a_unit_may_be_told_where_the_heading_has_none():
    table = rain("date,rain\n2025-07-01,0.5\n", told={"rain": "in"})
    assert table["rain"] == pytest.approx([0.5 * INCH])


@pytest.mark.parametrize(("line", "counts", "cells"), [
    ("0 77 8", (2, 3), ["0", "77", "8"]), ("0 ft, 77 F", (2, 3), ["0 ft", "77 F"]), ("0,77", (2,), ["0", "77"]),
    ("0;7,5", (2,), ["0", "7.5"]), ("0,5 1,5", (2,), ["0.5", "1.5"]), ("0 26,5 8", (2, 3), ["0", "26.5", "8"]),
    ("7:00 PM, 8 mg/L", (2, 3), ["7:00 PM", "8 mg/L"]),
    ("7:00 PM  8 mg/L", (2, 3), ["7:00 PM", "8 mg/L"]), ("0\t77", (2,), ["0", "77"])])
def test_a_typed_line_is_parted_the_one_way_that_fits(line, counts, cells):
    assert typed_cells(line, counts)[0] == cells


@pytest.mark.parametrize("line", ["0 26,5", "1,000 77", "0 77 8 1", "top 77"])
def test_a_typed_line_that_fits_two_ways_or_none_is_refused(line):
    with pytest.raises(FieldDataError):
        typed_cells(line, (2, 3) if line != "top 77" else (2,))


def test_typed_lines_say_which_units_were_taken():
    columns = (Column("depth", unit="meter", gaps=False, bare="foot"), Column("oxygen", kind="oxygen", low="0 mg/L",
                                                                              high="40 mg/L"))
    table = typed("# mine\n1 8\n\n2 m 7 mg/L\n", columns, "readings", "1 8")
    assert table["depth"] == pytest.approx([0.3048, 2.0]) and list(table["oxygen"]) == [8, 7]
    assert "read as feet" in table.notes[0] and "read as mg/L" in table.notes[1]
    with pytest.raises(FieldDataError, match="Line 2"):
        typed("1 8\n2 wet\n", columns, "readings", "1 8")


def test_a_cell_in_a_wrong_unit_is_told_without_a_full_stop_within_the_sentence():
    table = rain("date,rain (in),water temperature (F)\n2025-07-01,0.5,95 %\n2025-07-02,0.5,70\n")
    said = table.left_out[0].reason
    assert "'95 %' does not measure" in said and ".)" not in said
