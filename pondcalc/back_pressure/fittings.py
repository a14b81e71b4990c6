"""What do elbows, tees and valves cost?

Each fitting loses a number of velocity heads, K. For pipe fittings K is a multiplier from a table times
the friction factor of fully turbulent flow in clean steel of that bore. At pond flows the sum is small
beside the weight of the water; a narrow barb can be the exception.

The multipliers are in ``data/fittings.csv``, each with its source and whether it was checked.

What this leaves out: fittings so close together that one disturbs the next, and parts whose maker prints
a K or a flow coefficient, which is the better number.
"""

import numpy as np

from ..datafiles import pick, read_table
from ..limits import positive
from ..refusals import Refused
from ..units import quantities

__all__ = ["fitting_names", "turbulent_friction", "fitting_loss", "fittings_loss"]

STEEL_ROUGHNESS = 0.0018 * 0.0254       # m, commercial steel in Crane Technical Paper 410


def fitting_names():
    """Names of the fittings in the table."""
    return [row["fitting"] for row in read_table("fittings.csv")]


@quantities(inside_diameter="m", gives="")
def turbulent_friction(inside_diameter):
    """Friction factor that fittings are reckoned by: fully turbulent flow in clean steel.

    Parameters
    ----------
    inside_diameter : float or array
        m, more than 0.

    Returns
    -------
    float or array
        Darcy friction factor, 0.0259 in a half-inch pipe and 0.021 in 1-1/4 inch.

    Notes
    -----
    f_T = 0.25 / log10(3.7 D/e)^2, e = 0.0018 in: the Colebrook equation without its viscous part. Printed
    editions of the source differ from it and from one another by up to 5 %.

    References
    ----------
    Crane Co., Technical Paper 410, Flow of Fluids, friction factors for clean commercial steel pipe.
    """
    positive("turbulent_friction", inside_diameter=inside_diameter)
    return 0.25 / np.log10(3.7 * np.asarray(inside_diameter, float) / STEEL_ROUGHNESS) ** 2


@quantities(inside_diameter="m", gives="")
def fitting_loss(fitting, inside_diameter):
    """Velocity heads lost in one fitting.

    Parameters
    ----------
    fitting : str
        Its name or enough words of it, such as ``"90 elbow"``; see :func:`fitting_names`.
    inside_diameter : float or array
        m, bore of the line it sits in.

    Returns
    -------
    float or array
        K.

    Raises
    ------
    ValueError
        If there is no such fitting; lists those there are.
    """
    name = pick(fitting, fitting_names(), "fitting")
    row = next(row for row in read_table("fittings.csv") if row["fitting"] == name)
    return float(row["multiplier"]) * turbulent_friction.si(inside_diameter)


@quantities(inside_diameter="m", gives="")
def fittings_loss(counts, inside_diameter, other=0.0):
    """Velocity heads lost in all fittings of one bore, ready for ``loss_coefficient``.

    Parameters
    ----------
    counts : dict of str to int
        How many of each, such as ``{"90 elbow": 4, "ball valve": 1}``.
    inside_diameter : float or array
        m.
    other : float, optional
        Further velocity heads, for example 0.5 of a sharp-edged entrance (Crane TP-410).

    Returns
    -------
    float or array
        Sum of K.
    """
    for name, count in counts.items():
        if not count >= 0:
            raise Refused(f"{count} of {name!r}. Count 0 or more.", by="fittings_loss")
    return sum((count * fitting_loss.si(name, inside_diameter) for name, count in counts.items()), other)
