"""Is this number possible at all? Refusals that several modules share."""

import numpy as np

from .refusals import Refused

__all__ = ["ADD_AIR_PRESSURE", "not_negative", "positive", "share"]

CHECK = "Check the number and its sign."
ADD_AIR_PRESSURE = "Add the air pressure (14.7 psi or 101 kPa at sea level) to a gauge reading."


def _refuse(owner, values, possible, must, advice):
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays that is not possible."""
    for name, value in values.items():
        numbers = np.asarray(value, float)
        wrong = ~possible(numbers)
        if np.any(wrong):
            given = float(numbers[wrong][0]) if numbers.ndim else float(numbers)
            unit = " (SI units)" if given else ""       # nothing is nothing in any unit
            raise Refused(f"{name.replace('_', ' ')} must be {must}; it was given {given:.4g}{unit}. {advice}",
                          by=owner)


def not_negative(owner, advice=CHECK, **values):
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays that is below 0."""
    _refuse(owner, values, lambda numbers: numbers >= 0, "0 or more", advice)


def positive(owner, advice=CHECK, **values):
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays that is not over 0."""
    _refuse(owner, values, lambda numbers: numbers > 0, "more than 0", advice)


def share(owner, advice="Write 60 % as 0.6.", **values):
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays outside 0 to 1."""
    _refuse(owner, values, lambda numbers: (numbers >= 0) & (numbers <= 1), "a share, 0 to 1", advice)
