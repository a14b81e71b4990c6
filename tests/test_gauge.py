"""A made-up fault, worked forward to a reading, must come back as the first or second cause."""

import re

import numpy as np
import pytest

from pondcalc.back_pressure import airline
from pondcalc.back_pressure.airline import Line
from pondcalc.door import gauge
from pondcalc.units import asked

PSI, CFM, FT = 6894.757, 4.71947e-4, 0.3048
LINE = asked(Line)("100 ft", "5/8 in")
SETUP = gauge.Setup("19 ft", LINE)


def places(diagnosis):
    return [finding.cause for finding in diagnosis.findings]


def test_expected_reading_is_the_budget():
    reads, doubt = gauge.expected_reading.si(SETUP, 4 * CFM)
    budget = airline.pressure_budget(19 * FT, LINE, 4 * CFM, ageing=np.array([1.0, 1.5, 2.0])).working
    np.testing.assert_allclose(reads, budget, rtol=1e-9)
    # doubt by hand: 2000 Pa gauge and 0.15 m x 998.2 x 9.80665 = 1468 Pa depth; the flow adds under 700 Pa
    assert np.hypot(2000, 1468) <= doubt <= np.sqrt(2000**2 + 1468**2 + 700**2)


def test_nothing_wrong():
    found = gauge.diagnose("9.4 psi", SETUP, "4 cfm")
    assert places(found)[0] == "nothing wrong" and "Within doubt" in found.words


def test_a_fouled_diffuser_is_found_and_sized():
    # the diffuser takes six times what it takes new: the budget with ageing 6 gives the reading
    reading = airline.pressure_budget(19 * FT, LINE, 4 * CFM, ageing=6.0).working
    found = gauge.diagnose.si(reading, SETUP, 4 * CFM, change="slow")
    assert places(found)[0] == "fouled diffuser" and found.findings[0].chance > 0.5
    # a little less than six is named, since the denser air rubs less in the line
    assert re.search(r"(5\.9|6\.0) times", found.findings[0].words) and found.words.startswith("High")


def test_a_kink_is_found():
    # a hole of 0.13 in at the start of the line, by the orifice formula
    from pondcalc.back_pressure import branches
    normal = airline.pressure_budget(19 * FT, LINE, 4 * CFM, ageing=1.5).working
    reading = branches.orifice_upstream_pressure(4 * CFM, 0.13 * 0.0254, normal + 101325.0) - 101325.0
    found = gauge.diagnose.si(reading, SETUP, 4 * CFM, change="sudden")
    assert places(found)[0] == "kink, ice or blockage"
    assert "0.13 in" in found.findings[0].words


def test_a_leak_is_found_and_sized():
    # 2.6 cfm goes down a long narrow line, the rest of the 4.3 cfm that the machine makes leaves by a hole
    down, made, narrow = 2.6 * CFM, 4.3 * CFM, asked(Line)("300 ft", "1/2 in")
    reading = airline.system_curve(19 * FT, narrow, ageing=1.5)(down)
    setup = gauge.Setup("19 ft", narrow)
    found = gauge.diagnose.si(float(reading), setup, made, change="sudden", bubbles="weak")
    leak = next(f for f in found.findings if f.cause == "leak")
    assert "About 1.7 cfm" in leak.words and "2.6 cfm reaches" in leak.words
    assert places(found)[0] == "leak"
    low = gauge.diagnose.si(3 * PSI, SETUP, made, bubbles="none")
    assert places(low)[0] == "leak" and "none reaches" in low.findings[0].words


def test_wrong_depth_is_sized_in_feet():
    # 3 ft of water is 3 x 0.4328 psi
    usual = gauge.expected_reading.si(SETUP, 4 * CFM)[0].usual
    found = gauge.diagnose.si(usual + 3 * 0.4328 * PSI, SETUP, 4 * CFM)
    deeper = next(f for f in found.findings if f.cause == "diffuser deeper than thought")
    assert "3.0 ft deeper" in deeper.words and places(found).index(deeper.cause) <= 2
    found = gauge.diagnose.si(usual - 3 * 0.4328 * PSI, SETUP, 4 * CFM, bubbles="normal")
    assert places(found)[0] == "diffuser shallower than thought"
    assert "3.0 ft shallower" in found.findings[0].words
    metric = gauge.diagnose.si(usual - 3 * 0.4328 * PSI, SETUP, 4 * CFM, bubbles="normal", system="metric")
    assert "0.91 m shallower" in metric.findings[0].words


def test_no_reading_and_a_silly_reading():
    assert places(gauge.diagnose("0 psi", SETUP, "4 cfm"))[0] == "line off, or no air made"
    assert places(gauge.diagnose("90 psi", SETUP, "4 cfm"))[0] == "gauge wrong"


def test_chances_add_up_and_doubt_blurs(monkeypatch):
    for psi in (0, 4, 8, 9.4, 11, 14, 25):
        found = gauge.diagnose.si(psi * PSI, SETUP, 4 * CFM)
        assert sum(f.chance for f in found.findings) == pytest.approx(1)
        chances = [f.chance for f in found.findings]
        assert chances == sorted(chances, reverse=True)

    def innocent(psi, **errors):
        for name, error in {"GAUGE_ERROR": psi * PSI, **errors}.items():
            monkeypatch.setattr(f"pondcalc.back_pressure.gauge.{name}", error)
        found = gauge.diagnose.si(10.6 * PSI, SETUP, 4 * CFM)
        return next(f.chance for f in found.findings if f.cause == "nothing wrong")
    assert innocent(1.5) > 0.3 > 0.02 > innocent(0.05, DEPTH_ERROR=0.0, FLOW_ERROR=0.0), "a poor gauge proves less"


def test_chances_before_the_reading_add_up():
    assert sum(row[0] for row in gauge.CAUSES.values()) == pytest.approx(1)


@pytest.mark.parametrize("make, says", [
    (lambda: gauge.diagnose("-1 psi", SETUP, "4 cfm"), "0 or more"),
    (lambda: gauge.diagnose("9 psi", SETUP, "4 cfm", bubbles="lots"), "normal, weak, none")])
def test_bad_input_is_refused(make, says):
    with pytest.raises(ValueError, match=says):
        make()
