"""How fast does one bubble rise, and how fast does gas cross its skin?

Both answers depend on size and on how clean the water is. A film of natural oils and algae slime stiffens
the skin of a small bubble, which then rises, and trades gas, like a small solid ball. The speeds here are
those measured in natural water; of gas transfer the measured law stands between two that bound it, for a
skin that is free and for one that is stiff.

All sizes here are DIAMETERS of a ball of the same volume, never radii.
"""

import warnings
from typing import NamedTuple

import numpy as np

from .. import water
from ..refusals import Caution
from ..units import QuantityError, quantities

__all__ = ["DIAMETER_RANGE", "TRANSFER_FORMS", "Liquid", "liquid", "rise_speed", "skin_area"]

DIAMETER_RANGE = (1e-4, 0.020)     # m, for which the laws here are used


class Liquid(NamedTuple):
    """What a bubble needs to know about the water round it, in SI units."""

    kinematic_viscosity: float  # m2/s
    diffusivity: float          # oxygen in water, m2/s


def liquid(temperature):
    """Properties of fresh water at a temperature in degC, as a :class:`Liquid`."""
    return Liquid(water.kinematic_viscosity.si(temperature), water.oxygen_diffusivity.si(temperature))


def natural_speed(d):
    """Rise speed (m/s) in natural water by Wüest, Brooks & Imboden (1992): three branches of size (m)."""
    r = d / 2
    return np.where(r < 7.0e-4, 4474 * r**1.357, np.where(r < 5.1e-3, 0.23, 4.202 * r**0.547))


# ---- transfer coefficient (m/s): one function a published law; diameter (m), speed (m/s) and Liquid in ----

REFERENCE_DIFFUSIVITY = 1.76e-9      # m2/s, Han & Bartels (1996) at 20 C


def _kl_natural(d, speed, fluid):
    return np.where(d / 2 < 6.67e-4, 0.6 * d / 2, 4.0e-4) * np.sqrt(fluid.diffusivity / REFERENCE_DIFFUSIVITY)


def _kl_free_skin(d, speed, fluid):
    return 2 * np.sqrt(fluid.diffusivity * speed / (np.pi * d))


def _kl_stiff_skin(d, speed, fluid):
    reynolds, schmidt = speed * d / fluid.kinematic_viscosity, fluid.kinematic_viscosity / fluid.diffusivity
    return (2 + 0.6 * reynolds ** 0.5 * schmidt ** (1 / 3)) * fluid.diffusivity / d


# Clean-skin (Higbie 1935, Trans. AIChE 31, 365-389) and stiff-skin (Frössling 1938, Gerlands Beitr. Geophys. 52,
# 170-216) values differ by a factor of five at 2 mm. Alves, Orvalho & Vasconcelos (2005, Chem. Eng. Sci. 60, 1-9) saw
# why: the clean front of a bubble follows the first, the dirty cap at the back the second. What Wüest et al. (1992)
# measured, 0.6 r and then 4e-4 m/s, lies between. Those authors give no temperature term; the root of the diffusivity
# ratio, which every mobile-skin theory has, is added.
TRANSFER_FORMS = {"natural": _kl_natural, "free skin": _kl_free_skin, "stiff skin": _kl_stiff_skin}


def checked_diameter(diameter):
    """Diameters as an array, after the checks every function here makes."""
    diameter, limits = np.asarray(diameter, float), DIAMETER_RANGE
    if not np.all(diameter > 0):
        raise QuantityError("A bubble diameter must be more than zero; it was given "
                            f"{np.min(diameter) * 1000:g} mm. Pond diffusers make about 1 to 10 mm.")
    if np.any(diameter < limits[0] * (1 - 1e-9)) or np.any(diameter > limits[1] * (1 + 1e-9)):
        warnings.warn(Caution(f"Bubble diameter outside {limits[0] * 1000:g} to {limits[1] * 1000:g} mm, the range in "
                              "which the law of its speed was compared with others (Wüest, Brooks & Imboden 1992; "
                              "Clift, Grace & Weber 1978)."), stacklevel=3)
    return diameter


@quantities(diameter="m", gives="m/s")
def rise_speed(diameter):
    """Steady rise speed of one air bubble in still natural water.

    Parameters
    ----------
    diameter : float or array, m
        Diameter of the ball of the same volume, 0.1 to 20 mm.

    Returns
    -------
    float or array, m/s

    Warns
    -----
    UserWarning
        If a diameter lies outside 0.1 to 20 mm.

    Raises
    ------
    QuantityError
        For a diameter of zero or less.

    References
    ----------
    Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Bubble plume modeling for lake restoration.
    Water Resour. Res. 28, 3235-3250.
    """
    return natural_speed(checked_diameter(diameter))[()]


@quantities(gas_volume="m^3", diameter="m", gives="m^2")
def skin_area(gas_volume, diameter):
    """Skin of all the bubbles that a volume of gas makes, 6 V / d.

    Parameters
    ----------
    gas_volume : float or array, m3
        At the pressure where the bubbles are.
    diameter : float or array, m
        All bubbles alike.
    """
    if not (np.all(np.asarray(gas_volume) >= 0) and np.all(np.asarray(diameter) > 0)):
        raise QuantityError("skin_area needs a volume of gas of 0 or more and a bubble size above zero; it was given "
                            f"{gas_volume} m3 and {diameter} m.")
    return 6 * gas_volume / diameter
