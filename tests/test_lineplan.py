"""What a reader types about a line and a compressor, what comes of it, and what is kept."""

import re

import numpy as np
import pytest

from pondcalc import record, textfiles
from pondcalc.back_pressure import reach
from pondcalc.back_pressure.airline import Line
from pondcalc.door import airline, compressor, lineplan
from pondcalc.units import Q, Range, asked
from pondcalc.your_plan import plan

PSI, CFM, FT, INCH = 6894.757, 4.71947e-4, 0.3048, 0.0254
CURVE = compressor.read_curve("0 psi, 4.5 cfm\n10 psi, 3.9 cfm\n20 psi, 3.2 cfm")


def test_segments_are_read_with_a_bore_or_with_a_family():
    line = lineplan.read_segments("# to the bank\n1,250 ft, 1.049 in\n60 ft; 5/8 in\n\n30 m, 3/4 in, PVC")
    assert [float(piece.length) for piece in line] == pytest.approx([1250 * FT, 60 * FT, 30])
    # PVC 3/4: average bore 0.804 in, ASTM D1785 by way of data/pipe-sizes.csv
    assert [float(piece.inside_diameter) / INCH for piece in line] == pytest.approx([1.049, 0.625, 0.804])


@pytest.mark.parametrize("text, says", [
    ("", "no line yet"), ("250 ft", "1 part"), ("0.824 in, 250 ft", "changed places"), ("250, 0.824 in", "no unit"),
    ("250 ft, 4 psi", "not a bore"), ("250 ft, 3/4 in, bamboo", "bamboo"), ("900 mile, 1 in", "Check the unit"),
    ("250 ft, 0.824 in\n12 ft, 9 ft", "Line 2")])
def test_a_line_that_cannot_be_is_refused(text, says):
    with pytest.raises(textfiles.FieldDataError, match=says):
        lineplan.read_segments(text)


def test_equivalent_bore_follows_the_power_law_of_smooth_pipe():
    # Blasius: loss over L goes as D^-4.75, so D = (sum L_i D_i^-4.75 / L)^(-1/4.75), exact for small losses
    lengths, bores = np.array([200, 50]), np.array([1.049, 0.824])
    line = [Line(length * FT, bore * INCH) for length, bore in zip(lengths, bores, strict=True)]
    found = lineplan.equivalent_bore.si(line, 4 * CFM, 160e3) / INCH
    assert found == pytest.approx((lengths @ bores**-4.75 / 250) ** (-1 / 4.75), rel=0.01)
    assert lineplan.equivalent_bore(asked(Line)("9 ft", "0.3 in"), "4 cfm", "160 kPa").m_as("in") == pytest.approx(0.3)
    thin = [Line(200 * FT, 1.6 * INCH), Line(100 * FT, 0.3 * INCH)]     # half the narrow bore would choke
    bore = lineplan.equivalent_bore.si(thin, 4 * CFM, 160e3)
    losses = [float(airline.pressure_loss.si(which, 4 * CFM, 160e3)) for which in (thin, Line(300 * FT, bore))]
    assert losses[0] == pytest.approx(losses[1], rel=1e-6) and 0.3 < bore / INCH < 0.4


def test_own_line_without_a_curve_is_the_budget_by_hand():
    # 19 ft at 20 C: 8.222 psi (IAPWS-95); diffuser 2750 Pa new, 5500 Pa aged; check valve 2000 Pa; 100 ft of 5/8 in
    # near 9 psi gauge: 0.29 psi, a closed isothermal form
    own = lineplan.own_line("19 ft", asked(Line)("100 ft", "5/8 in"))
    assert own.new.static / PSI == pytest.approx(8.222, rel=1e-3)
    assert (own.aged.working - own.new.working) == pytest.approx(2750, rel=0.02)
    assert own.half.line / PSI == pytest.approx(0.29, rel=0.03)
    assert own.flow_free_air.usual == pytest.approx(4 * CFM, rel=1e-5)
    words = lineplan.say_own_line(own)
    assert "8.2 psi" in words and "9.23 to 9.63 psi" in words and "kPa" in lineplan.say_own_line(own, "metric")


def test_own_line_with_a_curve_runs_where_the_two_agree():
    own = lineplan.own_line("12 ft", asked(Line)("250 ft", "0.824 in"), CURVE, elevation="1150 ft")
    here = compressor.derated(CURVE, "1150 ft")
    for budget, flow in ((own.new, own.flow_free_air.high), (own.aged, own.flow_free_air.low)):
        assert compressor.curve_flow.si(here, budget.working) == pytest.approx(flow, rel=1e-6)
    assert own.flow_free_air.low < own.flow_free_air.usual < own.flow_free_air.high
    assert "an aged one" in lineplan.say_own_line(own)


def test_a_curve_that_cannot_reach_is_said_and_not_kept():
    weak = compressor.linear_curve("5 cfm", "4 psi")
    own = lineplan.own_line("12 ft", asked(Line)("250 ft", "0.824 in"), weak)
    assert "cannot reach" in own.trouble and "cannot reach" in lineplan.say_own_line(own)
    with pytest.raises(ValueError, match="do not work together"):
        lineplan.line_values(own)
    for bad in ({"submergence": "0 ft"}, {"flow_free_air": "0 cfm"}):
        with pytest.raises(ValueError, match="more than 0"):
            lineplan.own_line(**({"submergence": "9 ft", "line": asked(Line)("9 ft", "1 in")} | bad))


def test_what_is_kept_comes_back_and_workbook_08_uses_it():
    line = lineplan.read_segments("250 ft, 1.049 in\n60 ft, 0.5 in")
    own = lineplan.own_line("10 ft", line, CURVE, elevation="1150 ft")
    pond = record.demo().with_section("line", lineplan.line_values(own), "04")
    pond = record.from_text(record.to_text(pond))
    again = reach.saved_curve(pond)
    np.testing.assert_allclose(again.flow_free_air, CURVE.flow_free_air, rtol=1e-5)
    assert again.name == "typed points" and len(pond.get("line", "segment_bore")) == 2
    start = lineplan.line_start(pond)
    assert start.submergence == pytest.approx(10 * FT, rel=1e-5) and start.length == pytest.approx(310 * FT, rel=1e-5)
    made = plan.first_plan(plan.choices_from(pond))
    # the same pond, line and machine: workbook 08 finds the aged flow, its own default
    assert made.choices.submergence == pytest.approx(10 * FT, rel=1e-5)
    assert made.point.flow_free_air == pytest.approx(own.flow_free_air.low, rel=2e-3)
    assert plan.changed(made.choices, open_flow=0.003).curve is None, "a generic machine drops the saved one"
    assert plan.choices_from(pond, open_flow="6 cfm").curve is None
    assert plan.choices_from(record.demo()).curve is None


def test_starting_values_without_a_record():
    start = lineplan.line_start(record.PondRecord("new"))
    # 14.1 ft of water less 0.5 m
    assert start.submergence == pytest.approx((14.1 - 2) * FT) and start.elevation == pytest.approx(800 * FT)
    pond = record.PondRecord("x").with_section("air", {"submergence": Q("9 ft"), "flow_free_air":
                                                       Range(Q("2 cfm"), Q("3 cfm"), Q("4 cfm"))})
    start = lineplan.line_start(pond)
    assert start.submergence == pytest.approx(9 * FT) and start.flow_free_air == pytest.approx(3 * CFM, rel=1e-5)
    assert reach.saved_curve(pond) is None


def test_generic_curves_end_at_the_top_of_their_kind():
    # data/compressor-families.csv: a diaphragm machine stops at 6 psi; a rotary vane one loses 0.3 of 5 cfm by 15 psi
    curve = compressor.generic_curve("diaphragm", "5 cfm")
    assert curve.pressure_gauge[-1] / PSI == pytest.approx(6) and curve.flow_free_air[-1] == 0
    vane = compressor.generic_curve("rotary vane", "5 cfm")
    assert vane.flow_free_air[-1] / CFM == pytest.approx(3.5, rel=1e-4) and "generic" in vane.name


def test_budget_table_adds_up():
    budget = airline.pressure_budget("19 ft", asked(Line)("100 ft", "5/8 in"), "4 cfm")
    rows = dict(re.split(r"\s{2,}", line.strip()) for line in lineplan.budget_table(budget).splitlines())
    value = {words: float(text.split()[0]) for words, text in rows.items()}
    parts = [value[w] for w in ("water over the diffuser", "wet diffuser", "line", "fittings", "check valve")]
    assert value["the gauge reads"] == pytest.approx(sum(parts), abs=0.02)
    assert value["machine to look for"] == pytest.approx(1.15 * value["the gauge reads"], abs=0.06)


def test_points_of_a_longer_curve_may_be_written_with_at():
    curve = compressor.read_curve("4 cfm at 10 psi\n5 psi @ 1,000 cfm\n15 psi, 3 cfm")
    np.testing.assert_allclose(curve.pressure_gauge / PSI, [5, 10, 15], rtol=1e-5)
    np.testing.assert_allclose(curve.flow_free_air / CFM, [1000, 4, 3], rtol=1e-5)
    for bad in ("4 cfm at 10 psi at 20 psi", "at", "4 cfm at", "4 at 10"):
        with pytest.raises(ValueError):
            reach.read_told(bad)
