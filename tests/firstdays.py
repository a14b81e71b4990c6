"""A pond of straight walls, and any list of run times tried on it quarter hour by quarter hour."""

import numpy as np

from pondcalc.the_year import firststart
from pondcalc.warm_over_cold.profile import Profile

A0, D = 10000.0, 6.0
Z = np.linspace(0, D, 601)
WALLS = np.full(601, A0)


def layered(top=8.0, bottom=0.0, boundary=2.0, depth=D):
    """Readings of two layers, 26 over 14 C."""
    return Profile.si([0, boundary, boundary + 1e-8, depth], [26, 26, 14, 14], [top, top, bottom, bottom])


def try_hours(profile, flows, hours, demand=(0.0, 2.0, 4.0), exchange=firststart.EXCHANGE, shape=(Z, WALLS)):
    """Lowest oxygen, and the day the stagnant water is gone, at every corner of the ranges; the usual case last."""
    pond = firststart.start_pond(*shape, profile, flows, demand, exchange, None)
    state, lowest, gone = pond.start, pond.start.oxygen, np.full(len(pond.flow), np.inf)
    for day in range(1, firststart.LONGEST + 1):
        _, low, state = firststart._day(pond, state, hours=hours[min(day, len(hours)) - 1])
        lowest = np.minimum(lowest, low)
        gone[np.isinf(gone) & (state.lower < 0.01 * pond.start.lower)] = day
    return lowest, gone
