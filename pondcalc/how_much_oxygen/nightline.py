"""What will the oxygen be at dawn, from two readings this evening?

Read the oxygen at dusk and again two or three hours later, then carry the fall on to dawn. A
straight line takes the same loss each hour. A falling curve takes the same share each hour, because
a pond short of oxygen uses less and takes more from the air; over whole nights in ponds it has been
the better guide. Between the two lies an honest answer.

Small slips of the meter grow: carried on for 8 hours, the slips of two readings taken 3 hours apart
can add up to six times one slip. So the answer carries a range.
"""

from typing import Any, NamedTuple

import numpy as np

from ..limits import not_negative
from ..refusals import Refused
from ..units import Range, quantities

__all__ = ["NightLine", "night_line", "straight_line", "falling_curve"]

ONE_DEPTH = ("It holds for the depth of the meter or probe. In a layered pond the top says nothing of the water below, "
             "which may have no oxygen; read top, middle and near the bottom to know the pond.")
METER_ERROR = 0.2       # mg/L, a field meter in fair order; from memory, not verified (sheets say 0.1 to 0.3)


class NightLine(NamedTuple):
    """Dawn oxygen by two ways, mg/L, each a Range from the meter's error, and the fall per hour."""

    straight: Any
    curve: Any
    fall: Any


def _check(first, second, hours_between, hours_to_dawn, owner):
    not_negative(owner, first_reading=first, second_reading=second)
    if np.any(~(np.asarray(hours_between) > 0)):
        raise Refused("the second reading must come after the first.", by=owner)
    if np.any(np.asarray(hours_to_dawn) < 0) or np.any(np.asarray(hours_to_dawn) > 86400):
        raise Refused("dawn must come 0 to 24 hours after the second reading.", by=owner)


@quantities(first="mg/L", second="mg/L", time_between="s", time_to_dawn="s", gives="mg/L")
def straight_line(first, second, time_between, time_to_dawn):
    """Dawn oxygen if the same loss goes on each hour, never below 0.

    Parameters
    ----------
    first, second : float or array
        mg/L at dusk and later.
    time_between, time_to_dawn : float or array
        s between the readings, and from the second to dawn.

    References
    ----------
    C. E. Boyd, R. P. Romaire and E. Johnston, 1978, Trans. Am. Fish. Soc. 107:484-492 (not seen).
    """
    _check(first, second, time_between, time_to_dawn, "straight_line")
    fall = np.subtract(first, second) / time_between
    return np.maximum(0.0, second - fall * time_to_dawn)


@quantities(first="mg/L", second="mg/L", time_between="s", time_to_dawn="s", gives="mg/L")
def falling_curve(first, second, time_between, time_to_dawn):
    """Dawn oxygen if the same share is lost each hour: second (second/first)^(to dawn/between).

    Parameters
    ----------
    first, second, time_between, time_to_dawn
        As for :func:`straight_line`; the first reading must be above 0.

    References
    ----------
    C. P. Madenjian, G. L. Rogers and A. W. Fast, 1987, Predicting night time dissolved oxygen loss in
    prawn ponds of Hawaii, Aquacult. Eng. 6:191-208 (abstract seen): more accurate than the line.
    """
    _check(first, second, time_between, time_to_dawn, "falling_curve")
    if np.any(np.asarray(first) <= 0):
        raise Refused("the first reading must be above 0.", by="falling_curve")
    return second * np.divide(second, first) ** np.divide(time_to_dawn, time_between)


@quantities(first="mg/L", second="mg/L", time_between="s", time_to_dawn="s", meter_error="mg/L",
            gives=("mg/L", "mg/L", "mg/L/hour"))
def night_line(first, second, time_between, time_to_dawn, meter_error=METER_ERROR):
    """Dawn oxygen by straight line and by falling curve, with the meter's error carried along.

    Parameters
    ----------
    first, second, time_between, time_to_dawn
        As for :func:`straight_line`.
    meter_error : float, optional
        mg/L, either way, of each reading; default 0.2.

    Returns
    -------
    NightLine
        Low end: first reading too low and second too high by the error, put right, and so on; both
        errors at their worst. In the dark nothing makes oxygen, so no end lies above the second reading and its
        error. `fall` is the loss per hour, mg/L/h inside the package too.

    Raises
    ------
    ValueError
        If the oxygen rose between the readings, besides the cases of :func:`straight_line`.
    """
    if np.any(np.asarray(second) > np.asarray(first)):
        raise ValueError(f"the oxygen rose, from {np.max(first):.3g} to {np.max(second):.3g} mg/L. Then it was not yet "
                         "night at the first reading, or the two readings are swapped. Read again after sunset.")
    if not meter_error >= 0:
        raise Refused("the meter's error must be 0 or more.", by="night_line")
    ends = []
    for way in (straight_line.si, falling_curve.si):
        pairs = ((first + meter_error, np.maximum(0, second - meter_error)), (first, second),
                 (np.maximum(first - meter_error, 1e-3), second + meter_error))
        ends.append(Range(*(np.minimum(way(a, b, time_between, time_to_dawn), second + meter_error)
                            for a, b in pairs)))
    return NightLine(*ends, np.subtract(first, second) / time_between * 3600)
