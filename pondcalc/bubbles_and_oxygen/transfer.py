"""What will a clean-water test result be worth in a pond?

Aerators are rated in clean water at 20 C, 1 atm and no dissolved oxygen. A pond
is warmer or colder, higher up, less clean, and it already holds oxygen. This
module carries the rating over. The clean-water test standard (ASCE/EWRI 2-06)
has these letters:

kLa: share of the oxygen shortage made up in a unit of time; kLa20 carried to 20 C.
C*inf, C*s: level an aerated tank settles at; saturation at the surface, which is less.
SOTR, SOTE: kLa20 C*inf20 x tank volume, at 1 atm from no oxygen; over the oxygen blown in.
SAE: SOTR over power; say whether shaft, motor or wall-plug power.
OTR_f: transfer rate in the field.
alpha, beta: kLa and C*inf in the pond's water over those in clean water.
F, theta: kLa of the diffuser as it is over kLa when new; growth of kLa per degC.
tau, Omega: C*s over C*s at 20 C; C*inf at the site's air pressure over that at 1 atm.
delta: C*inf over C*s, 1 at the surface, more with depth.

Oxygen concentrations are in mg/L (g/m3), oxygen rates in kg/s.
"""

import warnings
from typing import Annotated, NamedTuple

import numpy as np

from .. import air
from ..refusals import Caution
from ..spellings import either
from ..units import QuantityError, Range, quantities
from ..water import ATMOSPHERE, STANDARD, vapor_pressure

THETA = 1.024                       # growth of the transfer coefficient per degC
BETA = 0.98                         # fresh water; from memory, not verified
# kLa in pond water over that in clean water: Shelton & Boyd (1983), Trans. Am. Fish. Soc. 112, 120-122; from memory,
# not verified
ALPHA = Range(0.66, 0.94, 1.07)


@quantities(kla="1/s", temperature="degC", gives="1/s")
def transfer_coefficient_at_20(kla, temperature):
    """kLa measured at `temperature`, carried to 20 C: ``kLa20 = kLa theta**(20 - T)``."""
    return kla * THETA ** (STANDARD.temperature - np.asarray(temperature, float)[()])


@quantities(depth="m", gives="")
def depth_factor(depth):
    """How far above surface saturation a deep tank of fine bubbles settles: delta = C*inf / C*s = 1 + 0.03858 d.

    depth (float or array, m): Depth of the diffuser, 0 to 10 m.
    References: Mueller, J.A., Boyle, W.C. & Pöpel, H.J. (2002). Aeration: Principles and Practice (fit read
        second-hand).
    """
    depth = np.asarray(depth, float)
    if not np.all(depth >= 0):
        raise QuantityError(f"depth cannot be below zero; it was given {depth} m.", by="depth_factor")
    if np.any(depth > 10):
        warnings.warn(Caution("the fits (Mueller, Boyle & Pöpel 2002) come from tanks up to about "
                              f"{either('33 ft', '10 m')} deep.", by="depth_factor"), stacklevel=3)
    return 1 + 0.03858 * depth


@quantities(depth="m", gives="")
def pressure_factor(depth, water):
    """Omega: C*inf at the site's air pressure over C*inf at 1 atm.

    ``(P_site + p_de - p_v)/(P_1atm + p_de - p_v)``, with the effective-depth pressure
    ``p_de = (delta - 1)(P_1atm - p_v)``. Textbooks use P_site/P_1atm at all depths, which the test
    standard allows for shallow tanks. Multiplying p_de by the depth once more, as one printed form
    does, is wrong in its units.
    """
    vapor = vapor_pressure(water.temperature)
    extra = (depth_factor(depth) - 1) * (ATMOSPHERE - vapor)
    return (water.pressure_absolute + extra - vapor) / (ATMOSPHERE + extra - vapor)


@quantities(temperature="degC", gives="")
def temperature_factor(temperature):
    """tau: surface saturation at `temperature` over that at 20 C."""
    return STANDARD.at(temperature).saturation / STANDARD.saturation


@quantities(kla_20="1/s", saturation_20="mg/L", volume="m^3", gives="kg/s")
def standard_transfer_rate(kla_20, saturation_20, volume):
    """SOTR: kLa at 20 C times the level the tank settles at, times its volume."""
    if not (np.all(np.asarray(kla_20) >= 0) and np.all(np.asarray(saturation_20) > 0)
            and np.all(np.asarray(volume) > 0)):
        raise QuantityError("standard_transfer_rate needs kLa of 0 or more, a saturation and a volume above "
                            f"zero; it was given {kla_20} 1/s, {saturation_20} mg/L and {volume} m3.")
    return kla_20 * saturation_20 * volume * 1e-3


@quantities(transfer_rate="kg/s", flow_free_air="m^3/s", gives="")
def standard_transfer_efficiency(transfer_rate, flow_free_air):
    """SOTE: share of the oxygen blown in that dissolves.

    Raises QuantityError: If more oxygen would dissolve than was blown in: a sign of a wrong volume, unit or air flow.
    """
    share = transfer_rate / air.oxygen_mass_flow(flow_free_air)
    if np.any(share > 1):
        raise QuantityError(f"These numbers say that {100 * np.max(share):.0f} % of the oxygen blown in "
                            "dissolved. Check the air flow, the volume, and hours against minutes.")
    return share


@quantities(transfer_rate="kg/s", power="W", gives="kg/kWh")
def aeration_efficiency(transfer_rate, power):
    """SAE, kg of oxygen a kilowatt-hour; as a quantity, ``.to("lb/(hp h)")`` gives the US unit.

    1 lb/(hp h) = 0.6083 kg/kWh. Say which power: at the plug it is the lowest and the one you pay for.
    """
    if not np.all(np.asarray(power) > 0):
        raise QuantityError(f"aeration_efficiency needs a power above zero; it was given {power} W.")
    return transfer_rate / power * 3.6e6


class Correction(NamedTuple):
    """Factors that lead from a clean-water rating to the pond; the product of all is `total`."""

    alpha: Annotated[float, ""]
    temperature: Annotated[float, ""]              # theta**(T - 20)
    shortage: Annotated[float, ""]                 # (tau beta Omega C*inf20 - C) / C*inf20
    total: Annotated[float, ""]                    # OTR_f / SOTR; below zero means that the air drives oxygen out


@quantities(dissolved_oxygen="mg/L", depth="m", gives=Correction)
def field_correction(dissolved_oxygen, depth, water):
    """Factors between the clean-water rating and the rate in a pond, of the usual :data:`ALPHA` and a new diffuser.

    dissolved_oxygen (float or array, mg/L): In the pond, where the plume draws its water.
    depth (float or array, m): Of the diffuser.
    water (Water): Temperature and air pressure.

    ``OTR_f = SOTR alpha F theta^(T-20) (tau beta Omega C*inf20 - C)/C*inf20``, with F = 1.
    References: ASCE/EWRI 2-06 (2007). Measurement of Oxygen Transfer in Clean Water (definitions from memory,
        cross-read through Metcalf & Eddy 2014, pp. 756-768, second-hand).
    """
    if np.any(np.asarray(dissolved_oxygen) < 0):
        raise QuantityError(f"Dissolved oxygen cannot be below zero; it was given {dissolved_oxygen} mg/L.")
    settled_20 = depth_factor(depth) * STANDARD.saturation
    settled = temperature_factor(water.temperature) * BETA * pressure_factor(depth, water) * settled_20
    shortage = (settled - dissolved_oxygen) / settled_20
    warmth = THETA ** (np.asarray(water.temperature, float) - STANDARD.temperature)
    return Correction(ALPHA.usual, warmth[()], shortage, (ALPHA.usual * warmth * shortage)[()])
