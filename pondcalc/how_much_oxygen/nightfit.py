"""What do this pond's own night readings say about its use of oxygen and its trade with the air?

At night nothing makes oxygen, so the fall is use less what comes through the surface. From a night's
readings come the use (mg/L an hour), the share of the shortfall the surface makes good each hour,
and how sure each is. Use shows well in a few readings. The surface's share shows only in long nights
whose oxygen moves far; when it does not show, the answer says so instead of guessing.

Inside the package oxygen is mg/L, use mg/L/h, reaeration 1/h, time hours.

What this leaves out: use that changes through the night (other than with temperature), readings
at one depth of a layered pond, and a meter that drifts: check it in moist air first.
"""

from typing import Any, NamedTuple

import numpy as np
from scipy import optimize, stats

from .. import air, water
from ..refusals import Refused
from ..textfiles import FieldDataError
from ..units import Range, quantities
from . import oxygen, oxygenlog
from .nightline import METER_ERROR

__all__ = ["NightFit", "fit_nights"]

MOST_REAERATION = 0.5       # 1/h; 6 m/d through half a meter of water, past any calm pond


class NightFit(NamedTuple):
    """Use of each night at 20 C and as it was, reaeration of all, each a Range of 95 %, and the fit.

    `use` list of Range, mg/L/h at the night's mean temperature; `use_20c` Range of the nights' mean
    brought to 20 C; `reaeration` Range, 1/h; `seen` whether the readings show any reaeration;
    `error` mg/L, scatter round the fit; `nights` row numbers; `fitted` list of arrays; `dawn` list of
    fitted last values; `advice` what to measure next, for the reader.
    """

    use: Any
    use_20c: Any
    reaeration: Any
    seen: bool
    error: float
    nights: list
    fitted: list
    dawn: Any
    advice: str


def _phi(kh):
    """(1 - exp(-x))/x and (x - 1 + exp(-x))/x^2, right for small x too."""
    small = np.abs(kh) < 1e-3
    x = np.where(small, 1.0, kh)
    first = np.where(small, 1 - kh / 2 + kh * kh / 6, -np.expm1(-x) / x)
    second = np.where(small, 0.5 - kh / 6 + kh * kh / 24, (x + np.expm1(-x)) / (x * x))
    return first, second


def _basis(hours, saturation, warmth, k):
    """What each reading owes to the first value, to the air, and to a use of 1 mg/L/h at 20 C."""
    start, gained, used = [1.0], [0.0], [0.0]
    for i, h in enumerate(np.diff(hours)):
        keep, (one, two) = np.exp(-k * h), _phi(k * h)
        s0, s1 = saturation[i], saturation[i + 1]
        w = (warmth[i] + warmth[i + 1]) / 2
        start.append(start[-1] * keep)
        gained.append(gained[-1] * keep + k * h * (s0 * one + (s1 - s0) * two))
        used.append(used[-1] * keep + w * h * one)
    return np.array(start), np.array(gained), np.array(used)


def _design(pieces, k):
    """Linear problem for first values and uses of all nights, once reaeration is fixed."""
    rows = sum(len(piece[0]) for piece in pieces)
    matrix, right, at = np.zeros((rows, 2 * len(pieces))), np.zeros(rows), 0
    for n, (hours, seen, saturation, warmth) in enumerate(pieces):
        start, gained, used = _basis(hours, saturation, warmth, k)
        matrix[at:at + len(hours), 2 * n] = start
        matrix[at:at + len(hours), 2 * n + 1] = -used
        right[at:at + len(hours)] = seen - gained
        at += len(hours)
    return matrix, right


def _solve(pieces, k):
    matrix, right = _design(pieces, k)
    answer, *_ = np.linalg.lstsq(matrix, right, rcond=None)
    return float(np.sum((right - matrix @ answer) ** 2)), answer, matrix, right


def _pieces(log, rows_of_nights, elevation, temperature):
    pressure = air.pressure_by_elevation.si(elevation)
    pieces, means = [], []
    for rows in rows_of_nights:
        t = log.temperature[rows]
        known = np.isfinite(t)
        if not known.any():
            if temperature is None:
                raise FieldDataError("the log has no temperature. Give one for the water with temperature='78 °F'; "
                                     "saturation and use depend on it.", by="fit_nights")
            t = np.full(len(rows), float(temperature))
        else:
            t = np.interp(log.hours[rows], log.hours[rows][known], t[known])
        pieces.append((log.hours[rows] - log.hours[rows][0], log.dissolved_oxygen[rows],
                       water.oxygen_saturation.si(t, pressure), oxygen.THETA_PLANKTON ** (t - 20)))
        means.append(float(np.mean(pieces[-1][3])))
    return pieces, np.array(means)


@quantities(elevation="m", temperature="degC", meter_error="mg/L", reaeration="1/hour")
def fit_nights(log, elevation=0.0, temperature=None, dusk=20.0, dawn=6.0, reaeration=None,
               meter_error=METER_ERROR):
    """Use of oxygen and reaeration from the nights of a log, with 95 % intervals.

    Parameters
    ----------
    log : oxygenlog.OxygenLog
        One depth of a mixed pond, or the top layer.
    elevation : float, optional
        m above sea level.
    temperature : float, optional
        Water, C, for a log without.
    dusk, dawn : float, optional
        Clock hours of darkness; be strict, an hour of dawn light spoils the end of the night.
    reaeration : float or Range, optional
        1/h, where it is known from wind (speed over mean depth); then only use is fitted, once with
        each end.
    meter_error : float, optional
        mg/L; the scatter is not believed to be smaller than a quarter of this.

    Returns
    -------
    NightFit
        Plain numbers. With two readings a night and no reaeration given, the interval of use is from
        the meter's error and a reaeration anywhere from 0 to 0.05 per hour.

    Raises
    ------
    FieldDataError
        If no night has two readings, or there is no temperature.

    Notes
    -----
    dC/dt = k (Cs - C) - R 1.047^(T - 20), Cs and the growth following the measured temperature,
    solved exactly between readings. For each k the rest is a linear least-squares problem, so the
    sum of squares is a curve of k alone; its low is the fit, and the interval of k is where it rises by
    no more than the F distribution allows. Each use is taken over that same interval.
    This is the night-time method of H. T. Odum, 1956, Primary production in flowing waters, Limnol.
    Oceanogr. 1:102-117, for a pond.
    """
    found = oxygenlog.nights(log, dusk, dawn)
    if not found:
        raise FieldDataError("no night has two readings in the dark. Read at dusk and again three hours later at "
                             "least, better once more before dawn.", by="fit_nights")
    pieces, means = _pieces(log, found, elevation, temperature)
    count = sum(len(piece[0]) for piece in pieces)
    spare = count - 2 * len(pieces) - 1
    given = reaeration is not None
    if given or spare < 1:
        ends = reaeration if given else Range(0.0, 0.02, 0.05)
        ends = Range(*ends) if np.ndim(ends) else Range(ends, ends, ends)
        if not 0 <= ends.low <= ends.usual <= ends.high:
            raise Refused("reaeration must be 0 or more, low to high in rising order.", by="fit_nights")
        best, spare = ends.usual, count - 2 * len(pieces)
    else:
        grid = np.concatenate([[0.0], np.geomspace(1e-4, MOST_REAERATION, 80)])
        sums = np.array([_solve(pieces, k)[0] for k in grid])
        at = int(np.argmin(sums))
        inner = optimize.minimize_scalar(lambda k: _solve(pieces, k)[0], method="bounded", options={"xatol": 1e-6},
                                         bounds=(grid[max(at - 1, 0)], grid[min(at + 1, len(grid) - 1)]))
        best = float(inner.x) if inner.fun < sums[at] else float(grid[at])
        ends = None
    square, answer, *_ = _solve(pieces, best)
    least = (meter_error / 4) ** 2
    variance = max(square / spare, least) if spare > 0 else meter_error**2
    if ends is None:
        allowed = square + variance * stats.f.ppf(0.95, 1, spare)
        inside = grid[sums <= allowed]
        ends = Range(_edge(pieces, allowed, inside.min() if len(inside) else best, grid, -1), best,
                     _edge(pieces, allowed, inside.max() if len(inside) else best, grid, +1))
    factor = stats.t.ppf(0.975, spare) if spare > 0 else 1.96
    lows, highs, usual = [], [], answer[1::2]
    for k in ends:
        _, solved, matrix, _ = _solve(pieces, k)
        width = factor * np.sqrt(variance * np.diag(np.linalg.pinv(matrix.T @ matrix))[1::2])
        lows.append(solved[1::2] - width)
        highs.append(solved[1::2] + width)
    low, high = np.min(lows, axis=0), np.max(highs, axis=0)
    matrix, right = _design(pieces, best)
    smooth = matrix @ answer + np.concatenate([piece[1] for piece in pieces]) - right
    fitted = np.split(smooth, np.cumsum([len(piece[0]) for piece in pieces])[:-1])
    use = [Range(*(float(part[i] * means[i]) for part in (low, usual, high))) for i in range(len(pieces))]
    together = Range(float(low.mean()), float(usual.mean()), float(high.mean()))
    seen = bool(not given and ends.low > 0 and count > 2 * len(pieces) + 1)
    return NightFit(use, together, ends, seen, float(np.sqrt(variance)), found, fitted,
                    np.array([part[-1] for part in fitted]),
                    _advice(pieces, use, seen, given))


def _edge(pieces, allowed, inside, grid, side):
    """Where the sum of squares crosses what is allowed, between a grid point inside and the next one out."""
    at = int(np.argmin(np.abs(grid - inside))) + side
    if not 0 <= at < len(grid):
        return float(inside)
    outside = grid[at]
    if _solve(pieces, outside)[0] <= allowed or _solve(pieces, inside)[0] > allowed:
        return float(inside)
    return float(optimize.brentq(lambda k: _solve(pieces, k)[0] - allowed, *sorted((inside, outside))))


def _advice(pieces, use, seen, given):
    """One or two sentences on what to measure next."""
    longest = max(piece[0][-1] for piece in pieces)
    fewest = min(len(piece[0]) for piece in pieces)
    wide = max((r.high - r.low) / max(abs(r.usual), 1e-9) for r in use)
    if fewest == 2:
        return ("Two readings make a line and leave no check. Add one in the middle of the night and one just before "
                "dawn.")
    if longest < 7:
        return f"The longest night covers {longest:.0f} hours. Carry on to just before dawn, when it matters."
    if min(r.usual for r in use) < 0:
        return ("Oxygen rose in the dark, which plants cannot do. Check the meter, the hours of darkness, and "
                "whether wind or an aerator was at work.")
    if not seen and not given:
        return ("These nights do not show how much comes through the surface. Note the wind, and read through one "
                "windy and one calm night.")
    if wide > 0.6:
        return "Use is uncertain by more than half. Read two or three more nights, every two hours."
    if len(pieces) < 3:
        return "A good start. Read two more nights, one after a dark day, and at two depths."
    return "Use is well known here. Next, read near the bottom before dawn, where trouble starts."
