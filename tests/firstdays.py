"""A pond of straight walls with two layers, for the first start."""

import numpy as np

from pondcalc.warm_over_cold.profile import Profile

A0, D = 10000.0, 6.0
Z = np.linspace(0, D, 601)
WALLS = np.full(601, A0)


def layered(top=8.0, bottom=0.0, boundary=2.0, depth=D):
    """Readings of two layers, 26 over 14 C."""
    return Profile([0, boundary, boundary + 1e-8, depth], [26, 26, 14, 14], [top, top, bottom, bottom])


def parts(profile):
    """Depths, temperatures and oxygen of a profile, as plain arrays."""
    return profile.depth, profile.temperature, profile.dissolved_oxygen
