"""How does water move up and down in a pond: by wind, by its own weight, and by bubbles?

The building blocks of the year in :mod:`pondcalc.the_year.seasons`: plain SI numbers, no quantities.
"""

import math

import numpy as np

__all__ = ["lightness", "neutral_eddies", "plume_tables", "settle_heavy"]

# Tanaka and others 2001: density = RHO0 (1 - lightness/A4), lightness = (t - A1)^2 (t + A2)/(t + A5)
A1, A2, A4, A5, RHO0 = 3.983035, 301.797, 522528.9, 69.34881, 999.974950
TINY = 1e-9 * A4 / RHO0         # lightness of 1e-9 kg/m3, an inversion not worth stirring


def lightness(t):
    """How much lighter than the heaviest water a temperature (degC) makes it, on a scale of its own."""
    x = t - A1
    return x * x * (t + A2) / (t + A5)


def neutral_eddies(wind_2m, depth, latitude):
    """Wind's mixing without layers, and the factor that turns N squared into a Richardson number.

    Parameters
    ----------
    wind_2m : (t,) array
        Wind 2 m over the water, m/s.
    depth : (n,) array
        Depths of the faces between layers, m.
    latitude : float
        Degrees.

    Returns
    -------
    K0, c : (t, n) arrays
        K = K0/(1 + 37 Ri^2), Ri = (sqrt(1 + c N2) - 1)/20; K0 in m2/s.

    References
    ----------
    B. Henderson-Sellers, 1985, Applied Mathematical Modelling 9:441-446 (partly from memory).
    """
    wind = np.maximum(np.asarray(wind_2m, float), 0.02)[:, None]
    z = np.asarray(depth, float)[None, :]
    w = 0.0012 * wind
    fade = 6.6 * math.sqrt(max(math.sin(math.radians(abs(latitude))), 0.05)) * wind ** -1.84
    drop = np.exp(-np.minimum(fade * z, 40.0))
    return 0.4 * w * z * drop, 40 * 0.16 * z ** 2 / (w * drop) ** 2


def plume_tables(faces, submergence, plunge):
    """Flows of a bubble plume, per unit of water lifted to the surface, for each layer it may settle in.

    Parameters
    ----------
    faces : (n+1,) array
        Depths of layer faces, m.
    submergence : float
    plunge : float
        Surface water drawn down with each unit lifted.

    Returns
    -------
    entrained : (n,) array
        Taken from each layer; sums to 1 + plunge.
    diagonal : (n, n), lower, upper : (n, n-1) arrays
        Row j: what to add to the tridiagonal system when the water settles in layer j.

    Notes
    -----
    Lifted flow grows as height to the power 5/3 (Morton, Taylor and Turner 1956), so most water comes
    from near the top. Water that settles in layer j is made good by a flow toward each layer that lost
    some; those flows carry the water of the layer they leave.
    """
    n = len(faces) - 1
    height = np.maximum(submergence - faces, 0.0) / submergence
    rise = height ** (5 / 3)
    entrained = rise[:-1] - rise[1:]
    entrained[0] += plunge
    settle = np.eye(n) * (1 + plunge)
    down = np.cumsum(settle - entrained, axis=1)[:, :-1]          # through the face under each layer
    sink, rise_up = np.maximum(down, 0), np.maximum(-down, 0)
    diagonal = np.tile(entrained, (n, 1))
    diagonal[:, :-1] += sink
    diagonal[:, 1:] += rise_up
    return entrained, diagonal, sink, rise_up


def settle_heavy(doubtful, state, volume, light, size=None):
    """Mix water until nothing heavy lies over anything light.

    Parameters
    ----------
    doubtful : list of int
        Layers that are heavier than the one below, from the top.
    state : (k, n) array
        Temperature in the first row, then whatever mixes with it; changed in place.
    volume : (n,) array
    light : (n,) array
        Lightness of each layer; changed in place.
    size : int, optional
        Layers a pond, where several ponds stand in one column; default all.
    """
    temperature, amount, rank = state[0].tolist(), volume.tolist(), light.tolist()
    size, done = size or len(amount), 0
    for i in doubtful:
        if i + 1 < done:
            continue
        start = i - i % size
        a, b, end = i, i + 2, start + size
        v = amount[i] + amount[i + 1]
        t = (temperature[i] * amount[i] + temperature[i + 1] * amount[i + 1]) / v
        own = lightness(t)
        while True:
            if b < end and own < rank[b] - TINY:
                t = (t * v + temperature[b] * amount[b]) / (v + amount[b])
                v += amount[b]
                b += 1
            elif a > start and rank[a - 1] < own - TINY:
                a -= 1
                t = (t * v + temperature[a] * amount[a]) / (v + amount[a])
                v += amount[a]
            else:
                break
            own = lightness(t)
        block = state[:, a:b]
        block[:] = (block.dot(volume[a:b]) / v)[:, None]
        t = state.item(0, a)
        own = lightness(t)
        light[a:b] = own
        temperature[a:b], rank[a:b] = [t] * (b - a), [own] * (b - a)
        done = b
