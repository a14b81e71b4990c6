"""How loud is it at the house?

Decibels add as powers, not as numbers, and in the open each doubling of distance takes off six. Levels are
dBA, plain numbers.

What this leaves out: walls, hard ground that sends sound back, wind, and a hum that people notice below any
limit. The workplace limits protect hearing at work; neighbours are protected by local ordinance.
"""

import numpy as np

from ..limits import positive
from ..refusals import Refused
from ..units import quantities

__all__ = ["add_levels", "level_at", "distance_for_level", "day_night_level"]


def add_levels(*levels):
    """Level of several sources together, dB.

    Parameters
    ----------
    *levels : float or array
        dB of each, at the same place.

    Returns
    -------
    float or array
        dB; two equal sources make 3 more.

    Notes
    -----
    10 log10(sum of 10^(L/10)).
    """
    if not levels:
        raise Refused("give one level or more.", by="add_levels")
    return 10 * np.log10(sum(10 ** (np.asarray(level, float) / 10) for level in levels))


@quantities(known_distance="m", distance="m")
def level_at(level, known_distance, distance):
    """Level in the open at another distance from a small source, dB.

    Parameters
    ----------
    level : float or array
        dB at the known distance, as on a data sheet.
    known_distance, distance : float or array
        m, more than zero.

    Returns
    -------
    float or array
        dB; L - 20 log10(r/r0), 6 less for each doubling.
    """
    positive("level_at", "Data sheets often measure at 3 ft or 1 m.", known_distance=known_distance, distance=distance)
    return level - 20 * np.log10(np.divide(distance, known_distance))


@quantities(known_distance="m", gives="m")
def distance_for_level(level, known_distance, wanted_level):
    """Distance in the open at which a small source falls to a wanted level; undoes :func:`level_at`."""
    return known_distance * 10 ** ((np.asarray(level, float) - wanted_level) / 20)


def day_night_level(level):
    """Day-night average of a source that runs all day and all night at one level, dB.

    Parameters
    ----------
    level : float or array
        dBA, steady.

    Returns
    -------
    float or array
        dB; 6.4 more than the level, because each of the nine night hours counts ten times.

    Notes
    -----
    10 log10((15 x 10^(L/10) + 9 x 10^((L + 10)/10))/24), night from 22 to 7 o'clock.

    References
    ----------
    U.S. EPA, 1974, Information on Levels of Environmental Noise, EPA 550/9-74-004: it names 55 dB, day-night average,
    outdoors at homes (second-hand); information, not a limit.
    """
    return np.asarray(level, float)[()] + 10 * np.log10((15 + 9 * 10) / 24)
