"""Is this number possible at all? Refusals that several modules share."""

import numpy as np

__all__ = ["not_negative", "positive"]


def not_negative(owner, **values):
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays that is below 0."""
    for name, value in values.items():
        if np.any(~(np.asarray(value, float) >= 0)):
            raise ValueError(f"{owner}: {name} must be 0 or more. Check the sign of what was given.")


def positive(owner, **values):
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays that is not over 0."""
    for name, value in values.items():
        if np.any(~(np.asarray(value, float) > 0)):
            raise ValueError(f"{owner}: {name} must be more than 0.")
