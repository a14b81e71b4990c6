"""Use and reaeration from night readings: known truths, an independent solver, honest intervals."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pondcalc import datafiles, water
from pondcalc.how_much_oxygen import nightfit, oxygenlog


def made_log(use_20c, k, nights=2, every=0.5, noise=0.0, seed=0, first=9.0, swing=1.0):
    """Readings from 20:00 to 06:00 of a pond whose use (mg/L/h at 20 C) and reaeration (1/h) are known."""
    rng = np.random.default_rng(seed)
    hours, values, temperature = [], [], []
    for night in range(nights):
        t = np.arange(0, 10 + 1e-9, every)

        def warmth(h):
            return 25 + swing * (1 - h / 10)

        run = solve_ivp(lambda h, c: k * (water.oxygen_saturation.si(float(warmth(h))) - c)
                        - use_20c * 1.047 ** (warmth(h) - 20), (0, 10), [first + night], t_eval=t, rtol=1e-9,
                        atol=1e-10)
        hours.append(24 * night + t)
        values.append(run.y[0] + noise * rng.standard_normal(len(t)))
        temperature.append(warmth(t))
    hours = np.concatenate(hours)
    return oxygenlog.OxygenLog(hours, (20 + hours) % 24, np.concatenate(values), np.concatenate(temperature),
                               np.full(len(hours), np.nan), None, [], [])


@pytest.mark.parametrize("use, k", [(0.2, 0.03), (0.4, 0.1), (0.1, 0.0)])
def test_truth_comes_back_without_noise(use, k):
    # data from scipy solve_ivp; temperature falls through the night, and with it saturation and use
    fit = nightfit.fit_nights.si(made_log(use, k, every=0.25), meter_error=0.001)
    assert fit.use_20c.usual == pytest.approx(use, rel=2e-3)
    assert fit.reaeration.usual == pytest.approx(k, abs=5e-4)


def test_intervals_hold_the_truth_as_often_as_they_say():
    held_use, held_k = 0, 0
    for seed in range(60):
        fit = nightfit.fit_nights.si(made_log(0.25, 0.04, every=1.0, noise=0.1, seed=seed))
        held_use += fit.use_20c.low <= 0.25 <= fit.use_20c.high
        held_k += fit.reaeration.low <= 0.04 <= fit.reaeration.high
    assert held_use >= 54 and held_k >= 53, f"95 % intervals held {held_use} and {held_k} of 60"
    assert fit.use_20c.high - fit.use_20c.low < 0.25, "intervals must not be empty promises"


def test_demonstration_log():
    # its script says 0.20 mg/L an hour at 20 C and 0.030 per hour
    fit = nightfit.fit_nights(oxygenlog.read_log(datafiles.path("demo-oxygen-log.csv")), "1150 ft")
    assert fit.use_20c.low < 0.20 < fit.use_20c.high and fit.use_20c.high - fit.use_20c.low < 0.08
    assert fit.reaeration.low < 0.030 < fit.reaeration.high and fit.seen
    assert 0.03 < fit.error < 0.1 and len(fit.use) == 4 and "near the bottom" in fit.advice


def test_two_readings_are_not_oversold():
    log = oxygenlog.hand_log([("8:30 PM", "10.2", "80 °F"), ("11:30 PM", "8.7")])
    fit = nightfit.fit_nights(log)
    use = fit.use[0]
    # falling 0.5 mg/L an hour from over saturation: use is 0.5 less what left by the surface
    assert use.low < 0.5 < use.high and use.high - use.low > 0.25
    assert not fit.seen and "middle of the night" in fit.advice


def test_given_reaeration_is_used():
    log = made_log(0.2, 0.05, nights=1, every=3.0, swing=0.0)
    right = nightfit.fit_nights(log, reaeration="0.05 per_hour")
    assert right.use_20c.usual == pytest.approx(0.2, rel=0.01)
    none = nightfit.fit_nights.si(log, reaeration=0.0)
    assert none.use_20c.usual != pytest.approx(0.2, rel=0.05), "leaving the surface out must show"


def test_calm_steady_pond_shows_no_reaeration():
    log = made_log(0.05, 0.01, nights=1, every=2.0, noise=0.15, seed=3, first=8.0)
    fit = nightfit.fit_nights.si(log)
    assert not fit.seen and fit.reaeration.low == 0


def test_advice_names_the_trouble():
    rising = made_log(-0.2, 0.0, nights=1, every=1.0, first=5.0)
    assert "rose in the dark" in nightfit.fit_nights.si(rising).advice
    short = oxygenlog.hand_log([("8 PM", "9", "80 °F"), ("10 PM", "8.4"), ("11 PM", "8.0")])
    assert "before dawn" in nightfit.fit_nights(short).advice


@pytest.mark.parametrize("call, says", [
    (lambda: nightfit.fit_nights(oxygenlog.hand_log([("9 AM", "9", "80 °F"), ("10 AM", "9")])), "no night"),
    (lambda: nightfit.fit_nights(oxygenlog.hand_log([("9 PM", "9"), ("11 PM", "8")])), "temperature"),
    (lambda: nightfit.fit_nights.si(made_log(0.2, 0.03), reaeration=-1.0), "0 or more")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_changing_saturation_between_far_readings():
    # saturation rising evenly from 7 to 10 mg/L over 10 h between two readings only; scipy solve_ivp
    start, gained, used = nightfit._basis(np.array([0.0, 10.0]), np.array([7.0, 10.0]), np.array([1.0, 1.4]), 0.2)
    run = solve_ivp(lambda h, c: 0.2 * (7 + 0.3 * h - c), (0, 10), [0.0], rtol=1e-10, atol=1e-12)
    assert gained[1] == pytest.approx(run.y[0, -1], rel=1e-8)
    assert start[1] == pytest.approx(np.exp(-2.0)) and used[1] == pytest.approx(1.2 * (1 - np.exp(-2.0)) / 0.2)
