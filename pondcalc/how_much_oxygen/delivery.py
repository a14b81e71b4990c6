"""What must the diffusers do: how much oxygen, how much water moved, and when does more not help?

Bottom aeration has two duties. It must *deliver oxygen*, by bubbles and by bringing poor water to
the surface. And it must *mix*, so that no layer is left to itself. The two ask for different numbers
of diffusers. Bubbles alone often ask for far more than mixing does; then mixing sizes the system, and
the open top, which the lifted water meets, gives most of the oxygen. What a diffuser gives,
oxygen for each cfm and water lifted, is handed in as a range from whoever works out bubbles and plumes.

Inside the package oxygen rates are kg/s, flows m3/s, `oxygen_per_air` kg of oxygen for each m3 of
free air.

What this leaves out: where to set them, the power they draw, and the first start of a layered pond,
which must be slow: mixing a stagnant bottom up at once can kill the fish it was meant to save.
"""

from typing import Any, NamedTuple

import numpy as np

from ..limits import not_negative, positive
from ..refusals import Refused
from ..units import DAY, Range, quantities
from . import oxygen
from .oxygen import as_range

__all__ = ["DiffuserNeed", "MoreDiffusers", "mixing_flow", "diffusers_needed", "more_diffusers"]


class DiffuserNeed(NamedTuple):
    """Diffusers for oxygen, for mixing, for both, each a Range of whole numbers; air (m3/s) of them all.

    `by_area` is the air of the rule of thumb in ``oxygen.airflow_by_area``, for comparison only.
    """

    for_oxygen: Any
    for_mixing: Any
    diffusers: Any
    flow_free_air: Any
    by_area: Any


class MoreDiffusers(NamedTuple):
    """Dawn oxygen (mg/L) for each number of diffusers, gain of each one more, and where to stop.

    `enough` is the first number after which one more adds too little; None if that is past the last tried.
    """

    number: Any
    dawn: Any
    gain: Any
    enough: Any


@quantities(volume="m^3", gives="m^3/s")
def mixing_flow(volume, turnovers_per_day=1.0):
    """Water to lift so that the pond passes over the diffusers so often a day.

    Parameters
    ----------
    volume : float or array
        m3.
    turnovers_per_day : float or Range, optional
        Default 1.

    Returns
    -------
    float, array or Range
        m3/s.

    Notes
    -----
    "One turnover or more a day" is a convention of talks and brochures: common practice, no source.
    Lifted water comes round again before all has been up, so one turnover leaves a share exp(-1), 37 %,
    of the water that has not been up if mixing is even.
    """
    positive("mixing_flow", volume=volume, turnovers_per_day=turnovers_per_day)
    if isinstance(turnovers_per_day, Range):
        return Range(*(np.multiply(volume, turns) / DAY for turns in turnovers_per_day))
    return np.multiply(volume, turnovers_per_day) / DAY


@quantities(delivery="kg/s", mixing="m^3/s", air_per_diffuser="m^3/s", oxygen_per_air="kg/m^3",
            lifted_flow="m^3/s", area="m^2", gives=(None, None, None, "m^3/s", "m^3/s"))
def diffusers_needed(delivery, mixing, air_per_diffuser, oxygen_per_air, lifted_flow, area):
    """How many diffusers, and how much air, for the oxygen and for the mixing.

    Parameters
    ----------
    delivery : float or Range
        kg/s of oxygen to deliver; of ``oxygencase.one_night`` or ``oxygenchance.delivery_chance``.
    mixing : float
        m3/s of water to lift; :func:`mixing_flow`.
    air_per_diffuser : float
        m3/s of free air through one.
    oxygen_per_air : float or Range
        kg of oxygen given up for each m3 of free air at this depth, in water at the oxygen to keep;
        ``comparison.oxygen_by_bubbles``.
    lifted_flow : float or Range
        m3/s of water lifted by one diffuser at this air flow and depth.
    area : float
        m2 of surface, for the comparison by area.

    Returns
    -------
    DiffuserNeed
        low pairs the easy night with the best diffuser, high the worst night with the poorest.

    Raises
    ------
    ValueError
        For amounts that are not positive, or bubbles that give up more oxygen than air holds.
    """
    positive("diffusers_needed", air_per_diffuser=air_per_diffuser, oxygen_per_air=np.asarray(oxygen_per_air),
              lifted_flow=np.asarray(lifted_flow), area=area)
    not_negative("diffusers_needed", delivery=np.asarray(delivery), mixing=mixing)
    per_air, lifted = as_range(oxygen_per_air), as_range(lifted_flow)
    if per_air.high > oxygen.air.oxygen_mass_flow.si(1.0):
        raise Refused("the bubbles would give up more oxygen than the air holds (0.279 kg/m3, 1.04 lb/h for each cfm). "
                      "Check oxygen_per_air.", by="diffusers_needed")
    wanted = as_range(delivery)
    for_oxygen = Range(*(int(np.ceil(want / (air_per_diffuser * give) - 1e-9)) for want, give
                         in zip(wanted, per_air[::-1], strict=True)))
    for_mixing = Range(*(int(np.ceil(mixing / flow - 1e-9)) for flow in lifted[::-1]))
    both = Range(*(max(a, b) for a, b in zip(for_oxygen, for_mixing, strict=True)))
    return DiffuserNeed(for_oxygen, for_mixing, both, Range(*(n * air_per_diffuser for n in both)),
                        oxygen.airflow_by_area.si(area))


@quantities(volume="m^3", area="m^2", demand="kg/s", night_length="s", dusk="mg/L", saturation="mg/L",
            exchange_speed="m/s", air_per_diffuser="m^3/s", oxygen_per_air="kg/m^3", bubble_saturation="mg/L",
            gives=(None, "mg/L", "mg/L", None))
def more_diffusers(volume, area, demand, night_length, dusk, saturation, exchange_speed, air_per_diffuser,
                   oxygen_per_air, bubble_saturation=None, most=12):
    """Dawn oxygen with 0, 1, 2 ... diffusers, and the number after which one more adds little.

    Parameters
    ----------
    volume, area : float
        m3, m2.
    demand : float
        kg/s used all night; ``oxygen.night_demand``.
    night_length : float
        s.
    dusk, saturation : float
        mg/L at dusk, and at rest with the air.
    exchange_speed : float or array
        m/s through the surface; ``reaeration.exchange_band``. An array has one for each of 0, 1, 2 ... `most`.
    air_per_diffuser, oxygen_per_air : float
        As for :func:`diffusers_needed`, one number each, but in water that holds no oxygen.
    bubble_saturation : float, optional
        mg/L at which bubbles give no more; default saturation. Under 20 ft it is about a fifth higher.
    most : int, optional
        Largest number tried.

    Returns
    -------
    MoreDiffusers

    Notes
    -----
    dC/dt = k A/V (Cs - C) + n q e/V (1 - C/Cb) - R/V solved exactly over the night; never below 0. Each one
    more adds less, because water richer in oxygen takes less from a bubble; none can pass Cb. One more is worth
    it while it adds at least half of what the first one does.
    """
    positive("more_diffusers", volume=volume, area=area, night_length=night_length, saturation=saturation,
              air_per_diffuser=air_per_diffuser, oxygen_per_air=oxygen_per_air)
    not_negative("more_diffusers", demand=demand, dusk=dusk, exchange_speed=exchange_speed)
    ceiling = saturation if bubble_saturation is None else bubble_saturation
    number = np.arange(most + 1)
    bubbles = number * air_per_diffuser * oxygen_per_air / volume * 1e3             # mg/L/s into empty water
    rate = exchange_speed * area / volume + bubbles / ceiling
    push = exchange_speed * area / volume * saturation + bubbles - demand / volume * 1e3
    fade = np.exp(-rate * night_length)
    spread = np.where(rate > 0, -np.expm1(-rate * night_length) / np.where(rate > 0, rate, 1), night_length)
    dawn = np.maximum(0.0, dusk * fade + push * spread)
    gain = np.diff(dawn)
    helps = np.flatnonzero(gain >= max(gain[0] / 2, 1e-9))
    last = helps[-1] + 1 if len(helps) else 0
    return MoreDiffusers(number, dawn, gain, None if last == most else int(last))
