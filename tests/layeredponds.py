"""Ponds that several tests know: one acre, 20 ft, in three shapes; and an open lake profile."""

import numpy as np

from pondcalc.warm_over_cold.profile import Profile

A0, D, FT = 4046.8564224, 6.096, 0.3048
Z = np.linspace(0, D, 801)
WALLS, BOWL, CONE = (A0 * (1 - Z / D) ** p for p in (0, 1, 2))

# Hummingbird Lake, Michigan, 3 August 1999: North Temperate Lakes LTER, Cascade project, physical and
# chemical limnology 1984-2016 (S. R. Carpenter and others), as kept in a public course repository.
HUMMINGBIRD = Profile([0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6],
                      [22.3, 22.0, 21.3, 16.1, 12.8, 10.1, 8.3, 6.7, 5.9, 5.5, 5.4, 5.1, 5.0],
                      [5.2, 5.3, 2.0] + [0.1] * 10)


def bowl(area, deepest, mean, count=61):
    """Depths and areas of a smooth bowl, A0 (1 - z/D)^p; its mean depth is D/(p + 1) by calculus."""
    z = np.linspace(0.0, deepest, count)
    return z, area * (1 - z / deepest) ** (deepest / mean - 1)


def two_layers(boundary, top=24.0, bottom=12.0):
    """Two layers with 8.0 over 0.2 mg/L of oxygen."""
    return Profile([0, boundary, boundary + 1e-8, D], [top, top, bottom, bottom], [8.0, 8.0, 0.2, 0.2])
