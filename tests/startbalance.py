"""The balance of a first start, written from the words of workbook 07 and of nothing else.

Imports nothing of the package. Numbers in: a shape, readings, water lifted, a list of run times. Numbers out: the
lowest oxygen of the upper water at every mix of ends of the ranges that the page states, by scipy's `solve_ivp`.
SI, days, mg/L. The page: workbook 07, "What the sums count".
"""

import itertools

import numpy as np
from scipy.integrate import cumulative_trapezoid, solve_ivp

METER = 0.5                                     # mg/L either way
AIR = (0.35, 0.74)                              # m a day
MUD = (0.22, 2.0)                               # g/m2 a day at 20 C, 6.5 % more for each C
PACE = (0.05, 0.3)                              # a day at 20 C, 4.7 % more for each C
LEAST = (0.0, 2.0, 4.0)                         # mg/L of fast debt
FLUX, FAST, DAYS = (0.25, 0.37, 0.49), (0.1, 0.25, 0.5), 60.0


class Basin:
    """Volume and area at any depth of a shape given by points."""

    def __init__(self, depth, area):
        self.z = np.unique(np.concatenate([np.linspace(0, depth[-1], 4001), depth]))
        self.a = np.interp(self.z, depth, area)
        self.v = np.concatenate([[0.0], cumulative_trapezoid(self.a, self.z)])

    def above(self, z):
        return np.interp(z, self.z, self.v)

    def mean(self, values, top, bottom):
        """Mean by volume of what `values` gives at depths between two others."""
        z = np.linspace(top, bottom, 4001)
        weight = np.interp(z, self.z, self.a)
        return float(np.trapezoid(values(z) * weight, z) / np.trapezoid(weight, z))


def falls_below(z, oxygen, level):
    """Depth at which oxygen first falls below a level, straight lines between readings; and the reading above."""
    for n in range(1, len(z)):
        if oxygen[n] < level:
            return z[n - 1] + (oxygen[n - 1] - level) / (oxygen[n - 1] - oxygen[n]) * (z[n] - z[n - 1]), z[n - 1]
    return np.inf, np.inf


def density(t):
    """Kell 1975 by its rational form, kg/m3."""
    return ((((((-2.8054253e-10 * t + 1.0556302e-7) * t - 4.6170461e-5) * t - 7.9870401e-3) * t + 16.945176) * t
             + 999.83952) / (1 + 16.87985e-3 * t))


def at_rest(t, atmospheres=1.0):
    """Oxygen (mg/L) of fresh water at rest with moist air: APHA, Standard Methods, 4500-O (Benson and Krause); the
    air's weight by simple proportion."""
    k = t + 273.15
    return atmospheres * np.exp(-139.34411 + 1.575701e5 / k - 6.642308e7 / k ** 2 + 1.2438e10 / k ** 3
                                - 8.621949e11 / k ** 4)


def boundaries(z, temperature, oxygen, diffuser):
    """The highest and the usual depth at which upper and lower water part."""
    n = int(np.argmax(np.diff(density(temperature)) / np.diff(z)))
    low, above = falls_below(z, oxygen, 1.0 + METER)
    usual = min((z[n] + z[n + 1]) / 2, low, 0.95 * diffuser)
    return max(min(z[n], above, usual), usual / 2), usual


def corners(shape, readings, lifted, diffuser, bottle=None):
    """Every mix of the low and the high end of nine ranges: a dict of arrays, one number a corner."""
    basin, (z, temperature, oxygen) = Basin(*shape), readings
    deep = shape[0][-1]
    below = falls_below(z, oxygen, 1.0)[0]

    def at(values):
        return lambda depth: np.interp(depth, z, values)
    rows = []
    for boundary in boundaries(z, temperature, oxygen, diffuser):
        upper, lower = basin.above(boundary), basin.v[-1] - basin.above(boundary)
        stagnant = max(0.0, basin.v[-1] - basin.above(min(below, deep)))
        per_liter = bottle
        if bottle is None:
            over = np.interp(below, basin.z, basin.a) / stagnant * DAYS if stagnant > 0 else 0.0
            per_liter = [flux * share * over for flux, share in zip(FLUX, FAST, strict=True)]
        fast = [max(least, owed * min(1.0, stagnant / lower)) for least, owed in zip(LEAST, per_liter, strict=True)]
        whole = [max(2 * f, fast[1] / FAST[1] * flux / FLUX[1]) for f, flux in zip(fast, FLUX, strict=True)]
        above, under = (basin.mean(at(oxygen), *span) for span in ((0, boundary), (boundary, deep)))
        warm, all_mixed = basin.mean(at(temperature), 0, boundary), basin.mean(at(temperature), 0, deep)
        above, bed = min(above, at_rest(warm)), float(np.interp(boundary, basin.z, basin.a))
        least = min(float(np.interp(boundary, z, oxygen)), float(oxygen[z > boundary].min(initial=99.0)))
        plume = ((diffuser - boundary) / diffuser) ** (5 / 3) * 86400
        for flow, f, w, pace, mud, air, heat, error in itertools.product(
                (lifted[0], lifted[-1]), (fast[0], fast[2]), (whole[0], whole[2]), PACE, MUD, AIR,
                (all_mixed, warm + 2), (-METER, METER)):
            rows.append(dict(upper=upper, lower=lower, rest=max(0.0, above + error), flow=flow * plume, fast=f,
                             holds=max(0.0, (least if error < 0 else under) + error), slow=max(0.0, w - f),
                             pace=pace * 1.047 ** (heat - 20), mud=mud * 1.065 ** (heat - 20), bed=bed,
                             air=air * basin.a[0], share=min(1.0, stagnant / lower)))
    return basin, {name: np.array([row[name] for row in rows]) for name in rows[0]}


def lowest(shape, readings, lifted, diffuser, hours, bottle=None, after=14, least_days=1, worst_first=False):
    """Lowest oxygen at each corner until `after` days past the day on which the last lower water is up.

    The page spreads the debts over all the lower water. With `worst_first` the stagnant part of it comes up before the
    rest and brings them all: harsher than the page, to see how much hangs on the order.
    """
    basin, p = corners(shape, readings, lifted, diffuser, bottle)
    n, whole = len(p["upper"]), p["upper"] + p["lower"]
    share = np.maximum(p["share"], 0.02) if worst_first and p["share"].max() > 0.02 else np.ones(n)
    small = np.concatenate([np.full(n, 1e-5), 1e-5 * whole])
    state, low, ran, day, done = np.concatenate([p["rest"], np.zeros(n)]), p["rest"].copy(), 0.0, 0, None

    def change(running, begun):
        def rate(t, y):
            c, slow = y[:n], y[n:]
            lift = ran + (t - begun if running else 0.0)
            held = np.minimum(p["upper"] + p["flow"] * lift, whole)
            left = held < whole * (1 - 1e-12)
            owes = np.where(held - p["upper"] < p["lower"] * share, 1 / share, 0.0)
            enters = p["flow"] * left if running else 0.0
            mud = p["mud"] * (p["bed"] - np.where(left, np.interp(held, basin.v, basin.a), 0.0))
            grown = 1 + t / DAYS
            burns = p["pace"] * slow
            return np.concatenate([(enters * (p["holds"] - p["fast"] * owes * grown - c) + p["air"] * (p["rest"] - c)
                                    - burns - mud) / held, enters * p["slow"] * owes * grown - burns])
        return rate
    while day < 200 and (done is None or day < done + after):
        run = hours[min(day, len(hours) - 1)] / 24
        for begin, end, running in ((day, day + run, True), (day + run, day + 1, False)):
            if end - begin > 1e-9:
                made = solve_ivp(change(running, begin), (begin, end), state, rtol=1e-5, atol=small,
                                 t_eval=np.linspace(begin, end, 7))
                state, low = made.y[:, -1], np.minimum(low, made.y[:n].min(axis=1))
                ran += end - begin if running else 0.0
        day += 1
        if done is None and day >= least_days and (p["upper"] + p["flow"] * ran >= 0.99 * whole).all():
            done = day
    return low
