"""The tub test: does the fit find what was put in, and does the reader take real files?"""

import importlib.util
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.stats import binom

from pondcalc import datafiles
from pondcalc.bubbles_and_oxygen.buckettest import (
    bucket_rates,
    choose_points,
    fit_bucket,
    read_log,
    rise_curve,
    typed_log,
)
from pondcalc.door import air, buckettest
from pondcalc.textfiles import FieldDataError
from pondcalc.units import QuantityError, asked
from pondcalc.water import STANDARD, Water

MINUTE = 60.0
HOUR = 3600.0

# U.S. National Institute of Standards and Technology, Statistical Reference Datasets, Nonlinear Regression:
# y = b1 (1 - exp(-b2 x)), which is the tub curve with nothing at the start. Data, certified values and
# their certified standard deviations were read in public copies of the NIST files Misra1a.dat and BoxBOD.dat.
MISRA1A = (np.array([77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1,
                     760.0]),
           np.array([10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40,
                     75.47, 81.78]),
           2.3894212918e2, 2.7070075241, 5.5015643181e-4, 7.2668688436e-6, 1.0187876330e-1)
BOXBOD = (np.array([1.0, 2, 3, 5, 7, 10]), np.array([109.0, 149, 149, 191, 213, 224]),
          2.1380940889e2, 1.2354515176e1, 5.4723748542e-1, 1.0455993237e-1, np.sqrt(1.1680088766e3 / 4))


@pytest.mark.parametrize("data, shrink", [(MISRA1A, 10.0), (BOXBOD, 10.0)])
def test_certified_regression(data, shrink):
    x, y, level, level_error, rate, rate_error, scatter = data
    # shrunk tenfold: the reader refuses oxygen above 40 mg/L, and least squares does not care about the unit
    fit = fit_bucket(x, y / shrink, start=0.0, used=np.ones(x.size, bool))
    assert fit.kla == pytest.approx(rate, rel=1e-6)
    assert fit.saturation * shrink == pytest.approx(level, rel=1e-6)
    assert fit.scatter * shrink == pytest.approx(scatter, rel=1e-6)
    # half width = Student t x certified deviation; t(0.975) is 2.1788 for 12, 2.7764 for 4 degrees free
    t = {14: 2.17881, 6: 2.77645}[x.size]
    assert (fit.kla_high - fit.kla_low) / 2 == pytest.approx(t * rate_error, rel=1e-4)
    assert (fit.saturation_high - fit.saturation_low) / 2 * shrink == pytest.approx(t * level_error, rel=1e-4)


def test_interval_holds_the_truth_as_often_as_it_says():
    # counts of hits are binomial; a range that holds 99.9 % of honest fits (scipy.stats.binom)
    n, kla, random, time = 400, 6 / HOUR, np.random.default_rng(3), np.arange(0, 46) * MINUTE
    hits = left_out = 0
    for _ in range(n):
        fit = fit_bucket(time, rise_curve(time, kla, 8.6, 0.0) + 0.05 * random.standard_normal(time.size), STANDARD)
        hits += fit.kla_low < kla < fit.kla_high
        left_out += (~fit.used).sum()
    low, high = binom.interval(0.999, n, 0.95)
    assert low <= hits <= high, f"{hits} of {n} intervals held the truth; honest is {low:.0f} to {high:.0f}"
    assert left_out / n < 3.0           # the first readings of the rise, and hardly ever a good one


def test_demo_log_is_the_one_its_script_makes():
    path = datafiles.path("demo-bucket-test.csv")
    spec = importlib.util.spec_from_file_location("make_bucket_test", path.with_name("make_bucket_test.py"))
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    assert path.read_text(encoding="utf-8") == maker.text()
    assert "INVENTED" in maker.text().splitlines()[0]
    log = read_log(path)
    fit = fit_bucket(log.time, log.dissolved_oxygen, log.water)
    assert fit.kla_low * HOUR < maker.KLA < fit.kla_high * HOUR
    assert fit.saturation_low < maker.SATURATION < fit.saturation_high
    assert fit.scatter == pytest.approx(maker.NOISE, rel=0.3)
    # the wrongly copied reading is found, and the time before the oxygen began to rise is left out
    assert fit.reasons[int(maker.WRONG_MINUTE)].startswith("a single reading")
    assert all("stripping" in reason for reason in fit.reasons[:int(maker.LAG)])
    assert 4 <= (~fit.used).sum() <= 9 and log.water.temperature == pytest.approx(23.0, abs=0.1)


def test_choice_of_points_says_why():
    time = np.arange(0, 40) * MINUTE
    readings = rise_curve(np.maximum(time - 5 * MINUTE, 0), 8 / HOUR, 9.0, 0.1)
    readings[20] += 1.5
    choice = choose_points(time, readings)
    assert not choice.used[:5].any() and not choice.used[20]
    assert "mg/L above the curve" in choice.reasons[20]
    assert choice.used[10:20].all() and choice.used[21:].all()



def test_slow_probe_leaves_kla_alone_once_its_start_is_left_out():
    time = np.arange(0, 90) * 30.0
    # a meter that shows 63 % of a sudden change after 30 s: dM/dt = (C - M)/30 s, by scipy
    readings = solve_ivp(lambda t, shown: (rise_curve(t, 6 / HOUR, 9.0, 0.0) - shown) / 30.0, (0, time[-1]), [0.0],
                         t_eval=time, rtol=1e-9, atol=1e-10).y[0]
    fit = fit_bucket(time, readings, STANDARD, used=time >= 4 * 30.0)
    assert fit.kla == pytest.approx(6 / HOUR, rel=0.003)
    raw = fit_bucket(time, readings, STANDARD, used=np.ones(time.size, bool))
    assert abs(raw.kla - 6 / HOUR) > 3 * abs(fit.kla - 6 / HOUR)


@pytest.mark.parametrize("kla, level, wave, noise, note", [
    (2, 9.1, 0, 0, "stops at"), (10, 12.0, 0, 0, "calibration"), (10, 9.1, 0.1, 0, "wander"), (10, 9.1, 0, 0.03, None)])
def test_notes_name_the_trouble(kla, level, wave, noise, note):
    time = np.arange(0, 30) * MINUTE
    off = wave * np.sin(time / 200) + noise * np.random.default_rng(1).standard_normal(time.size)
    notes = " ".join(fit_bucket(time, rise_curve(time, kla / HOUR, level, 0.0) + off, STANDARD).notes)
    assert note in notes if note else not ("wander" in notes or "calibration" in notes)


def test_rates_from_a_fit():
    # definitions by hand at 20 C and 1 atm: kLa 6 1/h x 9.1 g/m3 x 0.068 m3 = 3.71 g/h
    time = np.arange(0, 60) * MINUTE
    fit = fit_bucket(time, rise_curve(time, 6 / HOUR, 9.1, 0.0), STANDARD)
    assert (fit.kla * HOUR, fit.saturation, fit.kla_20 * HOUR) == pytest.approx((6.0, 9.1, 6.0), rel=1e-8)
    rates = asked(bucket_rates)(fit, "68 L", "0.14 cfm", "16 in", STANDARD)
    assert rates.standard_rate.m_as("g/hour") == pytest.approx(6 * 9.1 * 0.068, rel=1e-6)
    supply = air.oxygen_mass_flow("0.14 cfm").m_as("g/hour")
    assert rates.standard_efficiency.m_as("percent") == pytest.approx(100 * 3.7128 / supply, rel=1e-4)
    assert rates.standard_rate_low <= rates.standard_rate <= rates.standard_rate_high


# ---- reading logs ---------------------------------------------------------------------------------------

PLAIN = "Time (min),DO (mg/L),Temp (F)\n0,0.2,68\n1,1.4,68\n2,2.4,68\n"


@pytest.mark.parametrize("source", [
    PLAIN,
    "\ufeff" + PLAIN,
    PLAIN.encode("utf-8-sig"),
    PLAIN.encode("utf-16"),
    PLAIN.replace("\n", "\r\n"),
    PLAIN.replace(",", "\t"),
    "# notes by the class\nsep=;\nTime (min);DO (mg/L);Temp (C)\n0;0,2;20,0\n1;1,4;20,0\n2;2,4;20,0\n",
    "elapsed_s,DO_mg/L,water temp C\n0,0.2,20\n60,1.4,20\n120,2.4,20\n",
    "Clock,Dissolved oxygen [ppm],Temp (°F)\n10:59:00,0.2,68\n11:00:00,1.4,68\n11:01:00,2.4,68\n",
    "Time,DO mg/L,Temp (F)\n11:59 PM,0.2,68\n12:00 AM,1.4,68\n12:01 AM,2.4,68\n",
    "Time (min),DO (mg/L),Temp (F)\n0 min,0.2 mg/L,68\n60 s,1.4,20 °C\n2,2.4,68 F\n",
    "Time,DO,Temp\nmin,mg/L,°C\n0,0.2,20\n1,1.4,20\n2,2.4,20\nAverage,1.3,20\n",
    "Temp (F);Time (min);Note;O2 (mg/l)\n68;0;start;0.2\n68;1;;1.4\n68;2;;2.4\n",
])
def test_logs_as_people_save_them(source):
    log = read_log(source)
    assert log.time == pytest.approx([0, 60, 120])
    assert log.dissolved_oxygen == pytest.approx([0.2, 1.4, 2.4])
    assert log.water.temperature == pytest.approx(20.0, abs=0.01)


def test_rows_that_cannot_be_read_are_named():
    log = read_log(PLAIN + "3,oops,68\n4,4.0,68\n")
    assert log.time[-1] == 240 and len(log.notes) == 1 and "Row 5" in log.notes[0]
    assert any("no water temperature" in note for note in read_log("Time (min),DO (mg/L)\n0,1\n1,2\n").notes)
    assert read_log("Time (min),DO (mg/L)\n0,1\n1,2\n", Water(18.0)).water.temperature == 18.0


@pytest.mark.parametrize("text, words", [
    ("", "empty"), ("Time (min)\n1\n2\n", "one column only"), ("0,1\n1,2\n", "heading"),
    ("Time (min),Depth (m)\n0,1\n", "no column is headed oxygen"),
    ("DO (mg/L),Temp (F)\n1,68\n", "no column is headed time"),
    ("Time (min),DO (%)\n0,5\n1,9\n", "percent"), ("Time,DO (mg/L)\n0,5\n1,9\n", "no unit"),
    ("Time (fortnights),DO (mg/L)\n0,5\n1,9\n", "has no unit this set knows"),
    ("Time (min),DO (mg/L),DO (ppm)\n0,1,2\n", "Two columns look like oxygen"),
    ("Time (min),DO (mg/L)\n0 min,1 mg/L\n", "1 row could be read"), ("10:05,2.3\n10:06,2.4\n", "numbers"),
    ("Time (min),DO (mg/L)\nx,5\n", "0 rows"), ("mylog.csv", "name of a file"),
    (Path("no-such-log.csv"), "could not be opened")])
def test_bad_logs_say_what_to_do(text, words):
    with pytest.raises(FieldDataError, match=words):
        read_log(text)


@pytest.mark.parametrize("text", ["0 0.2\n1 1.4\n2 2.4", "0, 0.2\n1, 1.4\n2, 2.4", "0;0,2\n1;1,4\n2;2,4",
                                  "0,0.2\n1,1.4\n2,2.4"])
def test_typed_numbers(text):
    log = typed_log(text, water=Water(21.0))
    assert log.water.temperature == 21.0 and log.time == pytest.approx([0, 60, 120])
    assert log.dissolved_oxygen == pytest.approx([0.2, 1.4, 2.4])


@pytest.mark.parametrize("call, words", [
    (lambda: typed_log("0 1\nfour 2"), "Line 2"), (lambda: typed_log("0 1"), "at least two lines"),
    (lambda: fit_bucket(np.arange(3.0), np.arange(3.0)), "6 readings at the least"),
    (lambda: fit_bucket(np.array([0, 1, 2, 2, 3, 4.0]), np.arange(6.0)), "reading 4 "),
    (lambda: fit_bucket(np.arange(8.0), np.array([0, 10, 20, 30, 60, 80, 90, 95.0])), "not percent"),
    (lambda: fit_bucket(np.arange(8.0), np.full(8, 8.0)), "Strip the oxygen out"),
    (lambda: fit_bucket(np.arange(8.0), 8.0 - np.arange(8.0)), "Oxygen falls"),
    (lambda: fit_bucket(np.arange(9.0), 1.0 + np.arange(9.0)), "do not bend")])
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(QuantityError, match=words):
        call()


def test_sulfite_by_molar_masses():
    # 2 x (2 x 22.990 + 32.06 + 3 x 15.999) g take up 2 x 15.999 g of oxygen (IUPAC standard atomic weights)
    each = 2 * (2 * 22.990 + 32.06 + 3 * 15.999) / (2 * 15.999)
    assert buckettest.sulfite_to_strip("100 L", "8 mg/L").m_as("gram") == pytest.approx(1.5 * each * 0.8, rel=1e-4)
    with pytest.raises(QuantityError, match="above zero"):
        buckettest.sulfite_to_strip.si(0.0, 8.0)
