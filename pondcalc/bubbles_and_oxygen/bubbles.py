"""How fast does one bubble rise, and how fast does gas cross its skin?

Both answers depend on size, on temperature and on how clean the water is. A
film of natural oils and algae slime stiffens the skin of a small bubble, which
then rises, and trades gas, like a small solid ball. No single curve serves
every water, so the published ones are kept side by side under their authors'
names, and two curves join them smoothly over the sizes a pond diffuser makes:
``"contaminated"`` and ``"clean"``.

All sizes here are DIAMETERS of a ball of the same volume, never radii.
"""

import warnings
from typing import NamedTuple

import numpy as np

from .. import water
from ..air import GRAVITY
from ..refusals import Caution
from ..units import QuantityError, quantities

__all__ = ["RISE_FORMS", "TRANSFER_FORMS", "Liquid", "liquid", "rise_speed", "transfer_coefficient",
           "skin_area", "eotvos_number", "morton_number", "reynolds_number"]

DIAMETER_RANGE = (1e-4, 0.020)     # m, over which the curves are joined and checked


class Liquid(NamedTuple):
    """What a bubble needs to know about the water round it, in SI units."""

    density: float              # kg/m3
    viscosity: float            # Pa s
    surface_tension: float      # N/m
    diffusivity: float          # oxygen in water, m2/s

    @property
    def kinematic_viscosity(self):
        return self.viscosity / self.density


def liquid(temperature):
    """Properties of fresh water at a temperature in degC, as a :class:`Liquid`."""
    return Liquid(water.density.si(temperature), water.viscosity.si(temperature),
                  water.surface_tension.si(temperature), water.oxygen_diffusivity.si(temperature))


def eotvos_number(diameter, fluid):
    """Weight against surface tension, g rho d^2 / sigma (gas density neglected)."""
    return GRAVITY * fluid.density * diameter**2 / fluid.surface_tension


def morton_number(fluid):
    """Property group g mu^4 / (rho sigma^3) of a liquid."""
    return GRAVITY * fluid.viscosity**4 / (fluid.density * fluid.surface_tension**3)


def reynolds_number(diameter, speed, fluid):
    """Inertia against viscosity, rho v d / mu."""
    return fluid.density * speed * diameter / fluid.viscosity


def _best_number(diameter, fluid):
    """Drag coefficient times Reynolds number squared: 4 rho^2 g d^3 / (3 mu^2)."""
    return 4 * fluid.density**2 * GRAVITY * diameter**3 / (3 * fluid.viscosity**2)


# ---- rise speed: one function a published law, diameter (m) and Liquid in, m/s out ------------------

def _rigid_sphere(d, fluid):
    n = _best_number(d, fluid)
    w = np.log10(n)
    low = n / 24 - 1.7569e-4 * n**2 + 6.9252e-7 * n**3 - 2.3027e-10 * n**4
    middle = 10 ** (-1.7095 + 1.33438 * w - 0.11591 * w**2)
    high = 10 ** (-1.81391 + 1.34671 * w - 0.12427 * w**2 + 0.006344 * w**3)
    reynolds = np.where(n <= 73, low, np.where(n <= 580, middle, high))
    return reynolds * fluid.viscosity / (fluid.density * d)


def _mobile_sphere(d, fluid):
    """Spotless bubble that stays round: drag of Mei, Klausner & Lawrence (1994), solved by Newton."""
    n = _best_number(d, fluid)
    log_re = np.log(np.minimum(n / 16, np.sqrt(n)))

    def _law(log_re):
        root = np.exp(0.5 * log_re)
        inner = 8 / root**2 + 0.5 * (1 + 3.315 / root)
        drag = 1 + 1 / inner
        slope = (8 / root**2 + 0.25 * 3.315 / root) / inner**2 / drag
        return log_re + np.log(16 * drag) - np.log(n), 1 + slope

    for _ in range(8):
        miss, slope = _law(log_re)
        log_re = log_re - miss / slope
    return np.exp(log_re) * fluid.viscosity / (fluid.density * d)


def _wave(d, fluid, tension=2.0, weight=0.5):
    return np.sqrt(tension * fluid.surface_tension / (fluid.density * d) + weight * GRAVITY * d)


def _clean_ellipsoid(d, fluid):
    return _wave(d, fluid, 2.14, 0.505)


def _ellipsoid_group(d, fluid):
    """The size group H of Clift's contaminated-ellipsoid law; 7 at 1 mm, 59 at 3 mm in water at 20 C."""
    return 4 / 3 * eotvos_number(d, fluid) * morton_number(fluid) ** -0.149 * (fluid.viscosity / 0.0009) ** -0.14


def _ellipsoid_speed(j, d, fluid):
    return fluid.viscosity / (fluid.density * d) * morton_number(fluid) ** -0.149 * (j - 0.857)


def _contaminated_ellipsoid(d, fluid):
    h = _ellipsoid_group(d, fluid)
    return _ellipsoid_speed(np.where(h <= 59.3, 0.94 * h**0.757, 3.42 * h**0.441), d, fluid)


def _cap(d, fluid):
    return 0.711 * np.sqrt(GRAVITY * d) + 0 * fluid.density


def _wuest(d, fluid):
    r = d / 2
    speed = np.where(r < 7.0e-4, 4474 * r**1.357, np.where(r < 5.1e-3, 0.23, 4.202 * r**0.547))
    return speed + 0 * fluid.density


def _clean(d, fluid):
    return (_mobile_sphere(d, fluid) ** -8 + _clean_ellipsoid(d, fluid) ** -8) ** (-1 / 8)


def _step(value, start, end):
    """0 below `start`, 1 above `end`, smooth to the second derivative between, in log size."""
    s = np.clip(np.log(value / start) / np.log(end / start), 0, 1)
    return s**3 * (10 + s * (6 * s - 15))


def _contaminated(d, fluid):
    h = _ellipsoid_group(d, fluid)
    log_h = np.log(h)
    small, large = 0.94 * np.exp(0.757 * log_h), 3.42 * np.exp(0.441 * log_h)
    ellipsoid = _ellipsoid_speed(small + (large - small) * _step(h, 45.0, 78.0), d, fluid)
    ball = _step(h, 3.5, 14.0)          # the two laws cross near H = 7
    joined = _rigid_sphere(d, fluid) * (1 - ball) + ellipsoid * ball
    cap = _cap(d, fluid) * _step(h, 60.0, 600.0)
    return (joined**8 + cap**8) ** (1 / 8)


RISE_FORMS = {
    "contaminated": (_contaminated, "rigid ball, then Clift contaminated ellipsoid, then cap, joined "
                                    "smoothly"),
    "clean": (_clean, "Mei et al. (1994) round bubble, then Clift clean ellipsoid and cap, joined smoothly"),
    "wuest-1992": (_wuest, "Wüest, Brooks & Imboden (1992), three branches in natural water"),
    "rigid-sphere": (_rigid_sphere, "Clift, Grace & Weber (1978), standard drag curve in the Best number"),
    "mobile-sphere": (_mobile_sphere, "Mei, Klausner & Lawrence (1994), spotless round bubble"),
    "mendelson-1967": (_wave, "Mendelson (1967), wave analogy with 2 and 0.5; from about 1.3 mm up"),
    "clift-clean": (_clean_ellipsoid, "Clift et al. (1978), wave form with 2.14 and 0.505; from 1.3 mm up"),
    "clift-contaminated": (_contaminated_ellipsoid, "Clift et al. (1978), Eo, M and H form; 0.54 to about "
                                                    "17 mm"),
    "cap": (_cap, "Davies & Taylor (1950), spherical cap; from about 17 mm up"),
}


# ---- transfer coefficient ----------------------------------------------------------------------------

def _kl_wuest(d, speed, fluid):
    return np.where(d / 2 < 6.67e-4, 0.6 * d / 2, 4.0e-4) + 0 * speed


REFERENCE_DIFFUSIVITY = 1.76e-9      # m2/s, Han & Bartels (1996) at 20 C


def _kl_wuest_scaled(d, speed, fluid):
    return _kl_wuest(d, speed, fluid) * np.sqrt(fluid.diffusivity / REFERENCE_DIFFUSIVITY)


def _kl_higbie(d, speed, fluid):
    return 2 * np.sqrt(fluid.diffusivity * speed / (np.pi * d))


def _kl_frossling(d, speed, fluid):
    schmidt = fluid.kinematic_viscosity / fluid.diffusivity
    sherwood = 2 + 0.6 * reynolds_number(d, speed, fluid) ** 0.5 * schmidt ** (1 / 3)
    return sherwood * fluid.diffusivity / d


def _kl_johnson(d, speed, fluid):
    return 1.13 * np.sqrt(fluid.diffusivity * speed * 1e6 / (0.45 + 20 * d)) / 100


def _kl_clift_rigid(d, speed, fluid):
    re = reynolds_number(d, speed, fluid)
    sc = fluid.kinematic_viscosity / fluid.diffusivity
    pe = re * sc
    sherwood = np.where(re < 1, 1 + (1 + pe) ** (1 / 3),
                        np.where(re < 100, 1 + (1 + 1 / pe) ** (1 / 3) * re**0.41 * sc ** (1 / 3),
                                 np.where(re < 2000, 1 + 0.724 * re**0.48 * sc ** (1 / 3),
                                          1 + 0.425 * re**0.55 * sc ** (1 / 3))))
    return sherwood * fluid.diffusivity / d


TRANSFER_FORMS = {
    "wuest-scaled": (_kl_wuest_scaled, "Wüest et al. (1992) at 20 C, times the root of diffusivity over its "
                                       "20 C value"),
    "wuest-1992": (_kl_wuest, "Wüest, Brooks & Imboden (1992): 0.6 r, then 4e-4 m/s, whatever the "
                              "temperature"),
    "higbie-1935": (_kl_higbie, "Higbie (1935), clean skin renewed as the bubble slides through the water"),
    "frossling-1938": (_kl_frossling, "Frössling (1938), stiff skin"),
    "johnson-1969": (_kl_johnson, "Johnson, Besik & Hamielec (1969)"),
    "clift-rigid": (_kl_clift_rigid, "Clift, Grace & Weber (1978), rigid ball"),
}


def chosen(forms, form, what):
    """The function behind a law's name, or a message that lists the names."""
    if form not in forms:
        raise QuantityError(f"{form!r} is not a {what} this set knows. Choose one of: {', '.join(forms)}.")
    return forms[form][0]


def checked_diameter(diameter, temperature):
    """Diameters as an array, after the checks every function here makes."""
    diameter, limits = np.asarray(diameter, float), DIAMETER_RANGE
    if not np.all(diameter > 0):
        raise QuantityError("A bubble diameter must be more than zero; it was given "
                            f"{np.min(diameter) * 1000:g} mm. Pond diffusers make about 1 to 10 mm.")
    if not np.all((np.asarray(temperature) >= -0.01) & (np.asarray(temperature) <= 40)):
        raise QuantityError(f"Water temperature must be 0 to 40 C (32 to 104 F); it was given {temperature} "
                            "C.")
    if np.any(diameter < limits[0] * (1 - 1e-9)) or np.any(diameter > limits[1] * (1 + 1e-9)):
        warnings.warn(Caution(f"Bubble diameter outside {limits[0] * 1000:g} to {limits[1] * 1000:g} mm, the range "
                              "over which these curves were joined (Clift, Grace & Weber 1978, ch. 5, 7 and 8)."),
                      stacklevel=3)
    return diameter


@quantities(diameter="m", temperature="degC", gives="m/s")
def rise_speed(diameter, temperature=20.0, form="contaminated"):
    """Steady rise speed of one air bubble in still fresh water.

    Parameters
    ----------
    diameter : float or array, m
        Diameter of the ball of the same volume, 0.1 to 20 mm.
    temperature : float or array, degC
        0 to 40.
    form : str, optional
        A key of :data:`RISE_FORMS`.

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
        For a diameter of zero or less, an impossible temperature or an unknown form.

    Notes
    -----
    ``"contaminated"`` runs from the standard drag curve of a rigid ball through
    the contaminated-ellipsoid law to the spherical cap; the first two are blended
    by a smooth step in log size round their crossing (about 1 mm), the cap comes in
    from 3 to 9 mm as an eighth-power sum. ``"clean"`` joins the drag of a spotless round bubble to the
    wave form, again with power eight; the wave form becomes the cap law by itself,
    because 0.711 squared is 0.505. Near 4 mm the two published ellipsoid laws cross
    by 2 %, less than either can be trusted. The weight of the gas is neglected (0.2 %).

    References
    ----------
    Clift, R., Grace, J.R. & Weber, M.E. (1978). Bubbles, Drops, and Particles.
    Mei, R., Klausner, J.F. & Lawrence, C.J. (1994). A note on the history force on a spherical
    bubble at finite Reynolds number. Physics of Fluids 6, 418-420.
    Mendelson, H.D. (1967). The prediction of bubble terminal velocities from wave theory.
    AIChE J. 13, 250-253.
    Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Bubble plume modeling for lake restoration.
    Water Resour. Res. 28, 3235-3250.
    """
    law = chosen(RISE_FORMS, form, "rise law")
    return law(checked_diameter(diameter, temperature), liquid(temperature))[()]


@quantities(diameter="m", temperature="degC", gives="m/s")
def transfer_coefficient(diameter, temperature=20.0, form="wuest-scaled"):
    """Liquid-side oxygen transfer coefficient K_L of one bubble that rises at the Wüest (1992) speed of its size.

    Parameters
    ----------
    diameter : float or array, m
        0.1 to 20 mm.
    temperature : float or array, degC
    form : str, optional
        A key of :data:`TRANSFER_FORMS`.

    Returns
    -------
    float or array, m/s

    Notes
    -----
    Clean-skin (Higbie) and stiff-skin (Frössling) values differ by a factor of five at 2 mm.
    Alves et al. (2005) saw why: the clean front of a bubble follows the first, the dirty cap at
    the back the second. The constant 4e-4 m/s of Wüest et al. lies between. Those authors give
    no temperature term; ``"wuest-scaled"`` adds the root of the diffusivity ratio, which every
    mobile-skin theory has.

    References
    ----------
    Alves, S.S., Orvalho, S.P. & Vasconcelos, J.M.T. (2005). Chem. Eng. Sci. 60, 1-9.
    Higbie, R. (1935). Trans. AIChE 31, 365-389.
    Frössling, N. (1938). Gerlands Beitr. Geophys. 52, 170-216.
    Johnson, A.I., Besik, F. & Hamielec, A.E. (1969). Can. J. Chem. Eng. 47, 559-564.
    Wüest, A., Brooks, N.H. & Imboden, D.M. (1992). Water Resour. Res. 28, 3235-3250.
    """
    law = chosen(TRANSFER_FORMS, form, "transfer law")
    diameter = checked_diameter(diameter, temperature)
    fluid = liquid(temperature)
    return law(diameter, _wuest(diameter, fluid), fluid)[()]


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
