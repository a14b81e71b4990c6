"""The invented demonstration pond: exact by construction, made again byte for byte."""

import importlib.util
import json
import math
from pathlib import Path

import numpy as np
import pytest
from scipy import integrate

from pondcalc import datafiles, findings
from pondcalc.controls import how_much_water
from pondcalc.how_much_water import doubts
from pondcalc.how_much_water.survey import Survey, open_sheet, read_survey, to_local

DATA = Path(__file__).resolve().parent.parent / "data"


@pytest.fixture(scope="module")
def demo():
    spec = importlib.util.spec_from_file_location("make_demo_pond", DATA / "make_demo_pond.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_demo_files_are_made_again_byte_for_byte(demo, tmp_path):
    for name in demo.write(tmp_path):
        made = (tmp_path / name).read_bytes()
        assert b"\r" not in made
        assert made == (DATA / name).read_bytes().replace(b"\r\n", b"\n"), (
            f"{name}: run data/make_demo_pond.py again"
        )


def test_demo_closed_forms_against_quadrature(demo):
    area, _ = integrate.quad(lambda t: demo.bank_radius(t) ** 2 / 2, 0, 2 * math.pi)
    assert area == pytest.approx(demo.AREA, rel=1e-9)  # computed: scipy
    # depth itself, over a fine midpoint grid that knows nothing of the closed forms
    step = 0.5
    axis = np.arange(-100, 100, step) + step / 2
    depth = np.array([[demo.true_depth(x, y) for x in axis] for y in axis])
    assert depth.sum() * step**2 == pytest.approx(demo.volume_below(), rel=2e-4)
    for level in (1.0, 2.5, 4.0):
        assert (depth > level).sum() * step**2 == pytest.approx(demo.area_at(level), rel=0.01)
        assert np.maximum(depth - level, 0).sum() * step**2 == pytest.approx(
            demo.volume_below(level), rel=3e-3
        )


def test_demo_truth_by_hand():
    truth = json.loads((DATA / "demo-truth.json").read_text())
    # 2.4 acre x 14.5 ft x 1.6 / 3.6 = 15.4667 acre-ft; 14.5 x 1.6 / 3.6 = 6.4444 ft;
    # 1 acre-ft = 1233.48183755 m3
    assert truth["volume_acre_ft"] == pytest.approx(15.466667, abs=1e-6)
    assert truth["mean_depth_ft"] == pytest.approx(6.444444, abs=1e-6)
    assert truth["volume_m3"] == pytest.approx(15.4666667 * 1233.48183755, rel=1e-7)
    assert truth["area_m2"] == pytest.approx(2.4 * 4046.8564224, rel=1e-7)
    # at half depth, 7.25 ft, area is 2.4 / 2^(1.25) acre; the table's 6 and 8 ft lie either side
    assert truth["level_area_acre"][4] < 2.4 / 2**1.25 < truth["level_area_acre"][3]
    assert "INVENTED" in truth["about"]


def test_demo_readme_gives_the_exact_values(demo, tmp_path):
    text = (DATA / "README.md").read_text(encoding="utf-8")
    for value in (
        "15.4667 acre-ft",
        "19,077.9 m³",
        "6.4444 ft",
        "2.4 acre",
        "14.5 ft",
        "1,150 ft",
        "INVENTED",
    ):
        assert value in text, f"data/README.md lacks {value}"
    for name in demo.write(tmp_path):
        assert f"`{name}`" in text


def test_demo_survey_is_close_to_the_truth(demo):
    survey = read_survey(datafiles.path("demo-soundings.csv"), datafiles.path("demo-shoreline.csv"))
    assert isinstance(survey, Survey)
    assert [d.row for d in survey.dropped] == [112] and "0.28 ft (0.086 m) outside" in survey.dropped[0].reason
    assert 150 <= len(survey.soundings) <= 170 and len(set(survey.soundings.track)) == 10
    area = doubts.ring_area(survey.shoreline.x, survey.shoreline.y)
    assert area == pytest.approx(demo.AREA, rel=0.01)  # 90 fixes with 0.8 m noise: about 0.5 %
    centre = to_local(demo.CENTRE[0], demo.CENTRE[1], survey.origin)
    gap = np.array(
        [
            survey.soundings.depth[i]
            - demo.true_depth(survey.soundings.x[i] - centre[0], survey.soundings.y[i] - centre[1])
            for i in range(len(survey.soundings))
        ]
    )
    assert abs(gap.mean()) < 0.04 and 0.03 < gap.std() < 0.25  # noise, but no offset, swap or wrong unit
    assert 0.93 * demo.DEEPEST < survey.soundings.depth.max() < 1.03 * demo.DEEPEST


def test_demo_slips_are_all_caught_and_nothing_else_is_lost():
    plain = read_survey(DATA / "demo-soundings.csv", DATA / "demo-shoreline.csv")
    slips = read_survey(DATA / "demo-soundings-with-slips.csv", DATA / "demo-shoreline.csv")
    found = sorted(d.reason for d in slips.dropped)
    for word in (
        "decimal point",
        "points up",
        "from the middle",
        "'weeds'",
        "no depth is given",
        "repeats row",
    ):
        assert sum(word in reason for reason in found) == 1, word
    assert len(plain.dropped) == 1 and len(found) == 7  # one sounding lies a hand outside the bank in both
    assert len(slips.soundings) == len(plain.soundings) - 5  # the repeat costs nothing
    assert slips.dropped[0].text.split(",")[2] == "98"


def test_demo_files_are_marked_invented():
    for file in DATA.glob("demo-*.csv"):
        assert file.read_text().startswith("# INVENTED")
    assert "DELIBERATE SLIPS" in (DATA / "demo-soundings-with-slips.csv").read_text().splitlines()[0]


def test_demo_transects_begin_and_end_on_zero(demo):
    survey = read_survey(DATA / "demo-transects.csv")
    lines = survey.transects
    assert sorted(set(lines.track)) == ["A", "B", "C", "D"]
    mean = [np.trapezoid(lines.depth[lines.track == t], lines.distance[lines.track == t]) for t in "ABCD"]
    length = [lines.distance[lines.track == t].max() for t in "ABCD"]
    # four evenly spaced lines: SEAFWA 1983 found 9 % for transects on 35 ponds; here within that
    assert sum(mean) / sum(length) == pytest.approx(demo.volume_below() / demo.AREA, rel=0.09)


def test_data_file_that_is_not_there():
    with pytest.raises(FileNotFoundError, match="no data file 'nothing.csv'.*demo-soundings.csv"):
        datafiles.path("nothing.csv")


def test_sheet_names_the_file(tmp_path):
    file = tmp_path / "north pond.csv"
    file.write_text("lat,lon\n39,-96\n")
    assert open_sheet(file).name == "north pond.csv"


def test_volume_by_tracks_is_that_of_the_smooth_bed():
    # exact volume by the formula behind the pond (data/make_demo_pond.py); a bowl bulges below flat triangles, so with
    # few tracks they read low while the smooth bed comes closer
    read = read_survey(datafiles.path("demo-soundings.csv"), datafiles.path("demo-shoreline.csv"))
    truth = findings.demo_truth()
    made = how_much_water.range_by_tracks(read, truth)
    volumes = made._model(**made.values).volumes
    assert volumes[-1].usual == pytest.approx(truth, rel=0.01)
    for volume in volumes:
        assert volume.usual - volume.low > 0.3 * (volume.high - volume.low), "the mark is not stuck to the low end"
