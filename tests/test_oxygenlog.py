"""Dusk to dawn from two readings.

Logs as people save them.

Use and reaeration from night readings: known truths, an independent solver, honest intervals.
"""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pondcalc import datafiles, textfiles, water
from pondcalc.door import air, oxygenlog


def test_straight_line_by_hand():
    # 10.2 at 19:00 and 8.7 at 22:00: 0.5 mg/L an hour, 8 hours on to 06:00 gives 4.7 (arithmetic)
    line = oxygenlog.night_line("10.2 mg/L", "8.7 mg/L", "3 h", "8 h")
    assert line.straight.usual.m_as("mg/L") == pytest.approx(4.7)
    assert line.fall.m_as("mg/L/hour") == pytest.approx(0.5)


def test_curve_is_the_differential_equation():
    # the same share lost each hour: dC/dt = -k C, k from the two readings; scipy solve_ivp
    k = np.log(10.2 / 8.7) / 3
    run = solve_ivp(lambda t, c: -k * c, (0, 8), [8.7], rtol=1e-10, atol=1e-12)
    assert oxygenlog.falling_curve.si(10.2, 8.7, 3 * 3600.0, 8 * 3600.0) == pytest.approx(run.y[0, -1], rel=1e-8)


def test_curve_lies_above_the_line_late_and_below_it_early():
    # Madenjian, Rogers and Fast (1987): over whole nights the curve was better; a line is pessimistic late,
    # optimistic between the readings
    for hours in (1.0, 4.0, 8.0, 12.0):
        assert (oxygenlog.falling_curve.si(10.0, 9.0, 3.0, hours) > oxygenlog.straight_line.si(10.0, 9.0, 3.0, hours))
    k = np.log(10 / 9) / 3
    assert 10 * np.exp(-k * 1.5) < 9.5


def test_meter_error_grows():
    # readings off by e and -e: straight line moves by e (1 + 2 x 8/3) = 6.33 e for 3 h apart and 8 h on
    line = oxygenlog.night_line.si(10.2, 8.7, 3.0 * 3600, 8.0 * 3600, 0.1)
    assert line.straight.high - line.straight.usual == pytest.approx(0.1 * (1 + 16 / 3))
    assert line.straight.usual - line.straight.low == pytest.approx(0.1 * (1 + 16 / 3))
    assert line.curve.low < line.curve.usual < line.curve.high
    exact = oxygenlog.night_line.si(10.2, 8.7, 3.0 * 3600, 8.0 * 3600, 0.0)
    assert exact.straight.low == exact.straight.high


def test_a_rise_is_refused_and_no_end_lies_above_the_second_reading():
    # in the dark nothing makes oxygen: readings that rise were not both taken at night, or they are swapped
    with pytest.raises(ValueError, match="rose, from 1 to 8.7 mg/L.*swapped"):
        oxygenlog.night_line("1 mg/L", "8.7 mg/L", "3 h", "8 h")
    # slips of 1 mg/L would turn 10.2 and 9.9 into a rise to 164 mg/L by the curve; the reading and its slip bound it
    line = oxygenlog.night_line.si(10.2, 9.9, 1800.0, 8 * 3600.0, 1.0)
    assert line.straight.high == line.curve.high == pytest.approx(9.9 + 1.0)
    level = oxygenlog.night_line.si(8.0, 8.0, 3600.0, 8 * 3600.0, 0.0)
    assert level.straight.usual == level.curve.usual == pytest.approx(8.0)


def test_never_below_nothing():
    assert oxygenlog.straight_line.si(6.0, 3.0, 3600.0, 36000.0) == 0
    assert oxygenlog.falling_curve.si(6.0, 3.0, 3600.0, 36000.0) > 0


@pytest.mark.parametrize("first, second, between, "
                         "on", [(-1, 5, 3, 8), (5, 4, 0, 8), (5, 4, 3, 30), (0, 0, 3, 8)])
def test_impossible_readings_are_refused(first, second, between, on):
    with pytest.raises(ValueError, match="reading|after|24 hours|above 0"):
        oxygenlog.falling_curve.si(first, second, between * 3600.0, on * 3600.0)


def test_hand_readings_run_past_midnight():
    log = oxygenlog.hand_log([("7:00 PM", "10.2 mg/L", "80 °F"), ("10 pm", "8.7"), ("06:00", "5.1 ppm", "78 °F")])
    assert list(log.hours) == [0, 3, 11] and list(log.clock) == [19, 22, 6]
    assert log.temperature[0] == pytest.approx(26.667, abs=1e-3) and np.isnan(log.temperature[1])


@pytest.mark.parametrize("text", [
    "time,oxygen_mg_L,temperature_F\n2025-07-14 19:00,10.2,80.6\n2025-07-14 22:00,8.7,80.6\n",
    "Date;Time;Temp C;DO mg/L\n14.07.2025;19:00;27,0;10,2\n14.07.2025;22:00;27,0;8,7\n",
    "# my pond\nDate\tTime\tD.O. (ppm)\tTemp (degF)\n7/14/2025\t7:00 PM\t10.2\t80.6\n7/14/2025\t10:00 "
    "PM\t8.7\t80.6\n",
    'timestamp,"dissolved oxygen, mg/L",temperature [°C],depth_ft\n2025-07-14T19:00:00,10.2,27,3\n'
    '2025-07-14T22:00:00,8.7,27,3\n'])
def test_tables_as_people_save_them(text):
    log = oxygenlog.read_log(text)
    assert list(log.hours) == [0, 3] and list(log.clock) == [19, 22]
    assert list(log.dissolved_oxygen) == pytest.approx([10.2, 8.7])
    assert list(log.temperature) == pytest.approx([27.0, 27.0]) and not log.dropped


def test_bad_rows_are_listed_with_the_reason():
    log = oxygenlog.read_log("time,oxygen mg/L,temp F\n2025-07-14 "
                             "19:00,10.2,80\nyesterday,9,80\n2025-07-14 21:00,,80\n"
                             "2025-07-14 22:00,87,80\n2025-07-14 20:00,9.9,80\n2025-07-14 23:00,8.1,801\n")
    assert len(log.hours) == 2 and [row.row for row in log.dropped] == [3, 4, 5, 7]
    assert "time" in log.dropped[0].reason and "no oxygen" in log.dropped[1].reason
    assert "outside" in log.dropped[2].reason and "temperature" in log.dropped[3].reason


def test_rows_out_of_order_are_sorted_and_said():
    log = oxygenlog.read_log("time,DO\n2025-07-14 22:00,8\n2025-07-14 20:00,9\n")
    assert list(log.dissolved_oxygen) == [9, 8] and "sorted" in log.notes[0]


@pytest.mark.parametrize("text, says", [
    ("", "is empty"), ("time,oxygen\n", "no rows below"), ("a,b\n1,2\n", "no column is headed time"),
    ("time,DO % sat\n2025-07-14 20:00,90\n", "percent"),
    ("time,DO,temp\n2025-07-14 20:00,9,80\n", "no unit this set knows.*temperature .F.' or"),
    ("time,DO\nnoon,9\n", "no usable")])
def test_useless_files_are_refused(text, says):
    with pytest.raises(textfiles.FieldDataError, match=says):
        oxygenlog.read_log(text)


def test_unit_of_temperature_can_be_told():
    text = "time,DO,temp\n2025-07-14 20:00,9,25\n"
    assert oxygenlog.read_log(text, "C").temperature[0] == pytest.approx(25)
    warm = oxygenlog.read_log("time,DO,temp\n2025-07-14 20:00,9,77\n", "F")
    assert warm.temperature[0] == pytest.approx(25)
    with pytest.raises(textfiles.FieldDataError, match="outside"):       # 25 F water is ice
        oxygenlog.read_log(text, "F")


def test_nights_part_at_noon():
    log = oxygenlog.read_log("time,DO\n" + "".join(f"2025-07-{14 + h // 24} {h % 24:02d}:00,{9 - h / 10}\n"
                                                    for h in range(12, 60)))
    found = oxygenlog.nights(log)
    assert len(found) == 2 and all(len(rows) == 11 for rows in found)      # 20:00 to 06:00 each
    assert list(log.clock[found[0]][[0, -1]]) == [20, 6]
    with pytest.raises(ValueError, match="dusk"):
        oxygenlog.nights(log, 8.0, 6.0)


def test_demonstration_log_is_made_by_its_script(tmp_path):
    kept = datafiles.path("demo-oxygen-log.csv")
    script = datafiles.path("make_oxygen_log.py")
    (tmp_path / script.name).write_bytes(Path(script).read_bytes())
    subprocess.run([sys.executable, str(tmp_path / script.name)], check=True)
    assert (tmp_path / kept.name).read_bytes() == kept.read_bytes()
    assert "INVENTED" in kept.read_text(encoding="utf-8").splitlines()[0]
    log = oxygenlog.read_log(kept)
    assert len(log.dropped) == 2 and len(log.hours) == 173


def made_log(use_20c, k, nights=2, every=0.5, noise=0.0, seed=0, first=9.0, swing=1.0):
    """Readings from 20:00 to 06:00 of a pond whose use (mg/L/h at 20 C) and reaeration (1/h) are known."""
    rng = np.random.default_rng(seed)
    hours, values, temperature = [], [], []
    for night in range(nights):
        t = np.arange(0, 10 + 1e-9, every)

        def warmth(h):
            return 25 + swing * (1 - h / 10)

        run = solve_ivp(lambda h, c: k * (water.oxygen_saturation(float(warmth(h))) - c)
                        - use_20c * 1.047 ** (warmth(h) - 20), (0, 10), [first + night], t_eval=t, rtol=1e-9,
                        atol=1e-10)
        hours.append(24 * night + t)
        values.append(run.y[0] + noise * rng.standard_normal(len(t)))
        temperature.append(warmth(t))
    hours = np.concatenate(hours)
    return oxygenlog.OxygenLog(hours, (20 + hours) % 24, np.concatenate(values), np.concatenate(temperature),
                               np.full(len(hours), np.nan), None, [], [])


@pytest.mark.parametrize("use, k", [(0.2, 0.03), (0.4, 0.1), (0.1, 0.0)])
def test_truth_comes_back_without_noise(use, k, monkeypatch):
    # data from scipy solve_ivp; temperature falls through the night, and with it saturation and use
    monkeypatch.setattr("pondcalc.how_much_oxygen.oxygenlog.METER_ERROR", 0.001)
    fit = oxygenlog.fit_nights(made_log(use, k, every=0.25))
    assert fit.use_20c.usual == pytest.approx(use, rel=2e-3)
    assert fit.reaeration.usual == pytest.approx(k, abs=5e-4)


def test_intervals_hold_the_truth_as_often_as_they_say():
    held_use, held_k = 0, 0
    for seed in range(60):
        fit = oxygenlog.fit_nights(made_log(0.25, 0.04, every=1.0, noise=0.1, seed=seed))
        held_use += fit.use_20c.low <= 0.25 <= fit.use_20c.high
        held_k += fit.reaeration.low <= 0.04 <= fit.reaeration.high
    assert held_use >= 54 and held_k >= 53, f"95 % intervals held {held_use} and {held_k} of 60"
    assert fit.use_20c.high - fit.use_20c.low < 0.25, "intervals must not be empty promises"


def test_demonstration_log():
    # its script says 0.20 mg/L an hour at 20 C and 0.030 per hour
    fit = oxygenlog.fit_nights(oxygenlog.read_log(datafiles.path("demo-oxygen-log.csv")), air.pond_water("1150 ft"))
    assert fit.use_20c.low < 0.20 < fit.use_20c.high and fit.use_20c.high - fit.use_20c.low < 0.08
    assert fit.reaeration.low < 0.030 < fit.reaeration.high and fit.seen
    assert 0.03 < fit.error < 0.1 and len(fit.use) == 4 and "near the bottom" in fit.advice


def test_two_readings_are_not_oversold():
    log = oxygenlog.hand_log([("8:30 PM", "10.2", "80 °F"), ("11:30 PM", "8.7")])
    fit = oxygenlog.fit_nights(log)
    use = fit.use[0]
    # falling 0.5 mg/L an hour from over saturation: use is 0.5 less what left by the surface
    assert use.low < 0.5 < use.high and use.high - use.low > 0.25
    assert not fit.seen and "middle of the night" in fit.advice


def test_calm_steady_pond_shows_no_reaeration():
    log = made_log(0.05, 0.01, nights=1, every=2.0, noise=0.15, seed=3, first=8.0)
    fit = oxygenlog.fit_nights(log)
    assert not fit.seen and fit.reaeration.low == 0


def test_advice_names_the_trouble():
    rising = made_log(-0.2, 0.0, nights=1, every=1.0, first=5.0)
    assert "rose in the dark" in oxygenlog.fit_nights(rising).advice
    short = oxygenlog.hand_log([("8 PM", "9", "80 °F"), ("10 PM", "8.4"), ("11 PM", "8.0")])
    assert "before dawn" in oxygenlog.fit_nights(short).advice


@pytest.mark.parametrize("call, says", [
    (lambda: oxygenlog.fit_nights(oxygenlog.hand_log([("9 AM", "9", "80 °F"), ("10 AM", "9")])), "no night"),
    (lambda: oxygenlog.fit_nights(oxygenlog.hand_log([("9 PM", "9"), ("11 PM", "8")])), "temperature")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_changing_saturation_between_far_readings():
    # saturation rising evenly from 7 to 10 mg/L over 10 h between two readings only; scipy solve_ivp
    start, gained, used = oxygenlog._basis(np.array([0.0, 10.0]), np.array([7.0, 10.0]), np.array([1.0, 1.4]), 0.2)
    run = solve_ivp(lambda h, c: 0.2 * (7 + 0.3 * h - c), (0, 10), [0.0], rtol=1e-10, atol=1e-12)
    assert gained[1] == pytest.approx(run.y[0, -1], rel=1e-8)
    assert start[1] == pytest.approx(np.exp(-2.0)) and used[1] == pytest.approx(1.2 * (1 - np.exp(-2.0)) / 0.2)
