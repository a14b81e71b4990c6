"""What sellers write: each text beside the points, highest pressure and duty that a person reads in it."""

import pytest

from pondcalc import textfiles
from pondcalc.back_pressure import reach, sellerwords

PSI, CFM = 6894.757, 4.71947e-4     # 1 ft3 is 28.3168 L: 1 cfm is 28.3168 L/min, 60 ft3/h and 1.69901 m3/h
CURVE = [(0, 4.6), (5, 3.9), (10, 2.3)]


def said(text):
    told = sellerwords.read_told(text)
    return told, [(p / PSI, q / CFM) for p, q in told.points]


@pytest.mark.parametrize("text, points, highest", [
    ("CFM at 10 PSI 2.3", [(10, 2.3)], None), ("CFM @ 10 PSI: 2.3", [(10, 2.3)], None),
    ("2.3 SCFM @ 10 PSIG", [(10, 2.3)], None), ("2.3CFM/10PSI", [(10, 2.3)], None),
    ("10 psi | 2.3 cfm", [(10, 2.3)], None), ("delivers 2.3 cfm at 10 psi", [(10, 2.3)], None),
    ("138 SCFH at 10 psi", [(10, 138 / 60)], None), ("65 lpm at 70 kPa", [(70 / 6.894757, 65 / 28.3168)], None),
    ("65,1 l/min @ 0,7 bar", [(70 / 6.894757, 65.1 / 28.3168)], None),
    ("3.9 m3/h at 700 mbar", [(70 / 6.894757, 3.9 / 1.69901)], None), ("2,3 cfm at 10 psi", [(10, 2.3)], None),
    ("2.3 cfm (65 L/min) at 10 psi (69 kPa)", [(10, 2.3)], None),
    ("3.9 cfm free air delivery at 10 psi", [(10, 3.9)], None),
    ("open flow 4.6 cfm, 3.9 at 5 psi, 2.3 at 10 psi", CURVE, None),
    ("4.6 cfm open, 3.9 cfm at 5 psi, 2.3 cfm at 10 psi", CURVE, None),
    ("CFM at 0 PSI 4.6, 5 PSI 3.9, 10 PSI 2.3", CURVE, None), ("0/5/10 psi 4.6/3.9/2.3 cfm", CURVE, None),
    ("4.6/3.9/2.3 cfm at 0/5/10 psi", CURVE, None), ("0 psi: 4.6 cfm; 5 psi: 3.9 cfm; 10 psi: 2.3 cfm", CURVE, None),
    ("10 psi = 2.3 cfm, 5 psi = 3.9 cfm\n4.6 cfm at 0 psi", CURVE, None),
    ("2.3 cfm at 10 psi, 15 psi max", [(10, 2.3)], 15), ("2.3 cfm at 10 psi (max. pressure 15 psi)", [(10, 2.3)], 15),
    # air in open air, "up to", or beside a highest pressure is air at no pressure: it promises nothing deeper
    ("4.6 cfm open flow", [(0, 4.6)], None), ("4.6 cfm (open flow), 15 psi max", [(0, 4.6)], 15),
    ("free air 4.6 cfm, max pressure 15 psi", [(0, 4.6)], 15), ("displacement 5.2 cfm", [(0, 5.2)], None),
    ("Air flow: 2.3 CFM, pressure: 15 PSI", [(0, 2.3)], 15), ("2.3 cfm\nrated 15 psi", [(0, 2.3)], 15),
    ("2.3 cfm at up to 10 psi", [(0, 2.3)], 10), ("2.3 cfm at max pressure 10 psi", [(0, 2.3)], 10),
    ("2.3 cfm at 10 psi max", [(0, 2.3)], 10), ("up to 2.3 cfm at 10 psi", [(0, 2.3)], None),
    ("2.3 cfm max at 10 psi", [(0, 2.3)], None),
    ("2.3 cfm at 10 psi (max)", [(0, 2.3)], 10), ("Pressure: 15 PSI Flow: 2.3 CFM", [(0, 2.3)], 15),
    ("~2.3 cfm at ~10 psi", [(10, 2.3)], None), ("10 PSI - 2.3 CFM", [(10, 2.3)], None),
    ("4.6 cfm (open flow), 2.3 cfm at 10 psi at 60 Hz", [(0, 4.6), (10, 2.3)], None),
    ("2.3 cfm at a pressure of 10 psi", [(10, 2.3)], None),
    # the highest pressure alone is no point: there the air may have ended
    ("max 15 psi", [], 15), ("maximum pressure 15 psi", [], 15), ("15 PSI max.", [], 15), ("shut-off 15 psi", [], 15),
    ("max 1 bar; up to 12 psi", [], 12)])
def test_points_and_highest_pressure_of_a_text(text, points, highest):
    told, found = said(text)
    assert found == [pytest.approx(point, rel=2e-3, abs=1e-9) for point in points]
    assert told.highest is None if highest is None else told.highest / PSI == pytest.approx(highest, rel=2e-3)


@pytest.mark.parametrize("text, duty", [
    ("2.3 cfm at 10 psi, 50% duty", "50% duty"),
    ("2.3 cfm at 10 psi (duty cycle: 75 percent)", "duty cycle: 75 percent"),
    ("2.3 cfm at 10 psi; 30 min on/30 off", "30 min on/30 off"),
    ("2.3 cfm at 10 psi, 1 h on, 1 h off", "1 h on, 1 h off"),
    ("2.3 cfm at 10 psi, not recommended for continuous duty", "not recommended for continuous duty"),
    ("2.3 cfm at 10 psi, 30 minutes on and 30 minutes off", "30 minutes on and 30 minutes off"),
    ("2.3 cfm at 10 psi intermittent duty", "intermittent duty"), ("intermittent\n10 psi, 2.3 cfm", "intermittent"),
    ("2.3 cfm at 10 psi; 15 psi max. intermittent duty", "intermittent duty"),
    ("2.3 cfm at 10 psi, not for continuous use", "not for continuous use"),
    ("2.3 cfm at 10 psi non-continuous", "non-continuous"),
    ("2.3 cfm at 10 psi, max. 8 hours a day", "max. 8 hours a day"),
    ("2.3 cfm at 10 psi, S3 40 %", "S3 40 %"),
    ("2.3 cfm at 10 psi, runs 15 min, rests 15 min", "runs 15 min, rests 15 min"),
    ("continuous at 5 psi, 50% duty; 2.3 cfm at 10 psi", None)])
def test_a_machine_that_must_rest_is_known_by_what_was_told(text, duty):
    if duty is None:        # the pressure at which it may run all the time has no air beside it: refused, not guessed
        with pytest.raises(textfiles.FieldDataError):
            sellerwords.read_told(text)
        return
    told, points = said(text)
    assert told.rests and told.duty == duty and points == [pytest.approx((10, 2.3), rel=1e-4)]


@pytest.mark.parametrize("text", ["2.3 cfm at 10 psi, continuous duty", "2.3 cfm at 10 psi, 100% duty cycle",
                                  "2.3 cfm at 10 psi 24/7", "rated for continuous operation, 2.3 cfm at 10 psi",
                                  "2.3 cfm at 10 psi, 24 hours a day",
                                  "2.3 cfm at 10 psi, day and night", "2.3 cfm at 10 psi, S1 duty",
                                  "2.3 cfm at 10 psi, duty type S1"])
def test_a_machine_that_may_run_day_and_night(text):
    told, points = said(text)
    assert told.duty == sellerwords.ALWAYS and not told.rests and points == [pytest.approx((10, 2.3), rel=1e-4)]


def test_the_weaker_word_counts_wherever_it_stands():
    told = sellerwords.Told(((0.0, 1.0),), 9.0, sellerwords.ALWAYS)
    assert told.joined(7.0, "", "50 % duty") == sellerwords.Told(((0.0, 1.0),), 7.0, "50 % duty")
    assert told.joined(None, sellerwords.ALWAYS) == told and sellerwords.Told().joined() == reach.Told()


@pytest.mark.parametrize("text", ["2.3-2.6 cfm at 10 psi", "4.6 cfm, not at 10 psi", "2.3 cfm at 10 psia",
                                  "2.3 cfm at 10 inHg vacuum", "4 cfm at 15 ft", "2.3 cfm at 10 lbs", "15 psi",
                                  "3.9 @ 5 psi, 2.3 @ 10 psi", "4.6 cfm at", "2.3 cfm\n10 psi",
                                  "2.3 cfm at 10 psi, 5 psi", "pressure 5 psi, flow 3.9 cfm, pressure 10 psi"])
def test_what_may_mean_two_things_is_refused(text):
    with pytest.raises(textfiles.FieldDataError):
        sellerwords.read_told(text)
