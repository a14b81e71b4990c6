"""What does it cost to run, and what do the numbers on the motor plate mean?

Electricity is sold by true power over time. Volts times amps is not true power
for a motor: part of the current sloshes back and forth without doing work, and
the power factor is the share that does. The plate's amps size the wire; a
plug-in watt meter, or volts x amps x power factor, tells the cost.

Inside the package power is W, energy J, price dollars a joule.

What this leaves out: standing charges. The cord, the heat and the years have modules of their own beside this one.
Wiring near water can kill. Anything past plugging in to an outdoor GFCI outlet is work for a
licensed electrician under the local code.
"""

import numpy as np

from ..limits import not_negative, share
from ..refusals import Refused
from ..units import DAY, Range, quantities

__all__ = ["apparent_power", "true_power", "power_factor_of", "power_from_readings", "energy_per_year",
           "cost_per_year", "ANY_MOTOR", "PLAIN_MOTOR", "RUN_CAPACITOR"]

# power factor of small single-phase motors, loaded. Plain: common practice, no source. With a capacitor that stays in
# while it runs: 0.85 from a public comparison of motor types, up to 1.0 from memory, not verified. Any: both kinds.
PLAIN_MOTOR, RUN_CAPACITOR, ANY_MOTOR = Range(0.5, 0.65, 0.8), Range(0.85, 0.95, 1.0), Range(0.5, 0.75, 1.0)
METER = 0.05                            # share by which a plug-in meter may be off: from memory, not verified


@quantities(voltage="V", current="A", gives="V*A")
def apparent_power(voltage, current):
    """Volts times amps: what the wire must carry, not what the meter bills.

    Parameters
    ----------
    voltage, current : float or array
        V and A, as a meter shows them (root mean square), zero or more.

    Returns
    -------
    float or array
        Volt-amperes.
    """
    not_negative("apparent_power", voltage=voltage, current=current)
    return voltage * current


@quantities(voltage="V", current="A", power_factor="", gives="W")
def true_power(voltage, current, power_factor):
    """Power a single-phase motor is billed for.

    Parameters
    ----------
    voltage, current : float or array
        V and A, root mean square, zero or more.
    power_factor : float or array
        0 to 1. It is 1 for a plain heater; small motors are often 0.5 to 0.8 (common practice, no source), and
        0.85 to 1.0 with a run capacitor (:data:`RUN_CAPACITOR`).

    Returns
    -------
    float or array
        W.

    Raises
    ------
    ValueError
        If the power factor is not between 0 and 1.

    Notes
    -----
    P = V I PF.
    """
    share("true_power", power_factor=power_factor)
    return apparent_power.si(voltage, current) * power_factor


@quantities(power="W", voltage="V", current="A", gives="")
def power_factor_of(power, voltage, current):
    """Power factor from watts, volts and amps read at the same time.

    Parameters
    ----------
    power : float or array
        True power, W, as a plug-in meter shows it.
    voltage, current : float or array
        V and A, root mean square, more than zero.

    Returns
    -------
    float or array
        0 to 1.

    Raises
    ------
    ValueError
        If the watts are more than volts times amps, beyond what a meter may be off.
    """
    carried = np.asarray(apparent_power.si(voltage, current), float)
    if np.any(~(carried > 0)):
        raise Refused("volts and amps must both be more than 0.", by="power_factor_of")
    factor = np.asarray(power, float) / carried
    if np.any(~((factor >= 0) & (factor <= 1 + METER))):
        raise Refused(f"{power} W is not between 0 and volts times amps, {carried:.0f} VA. Read all three from one "
                      "meter at the same moment, with the machine running on its line.", by="power_factor_of")
    return np.minimum(factor, 1.0)[()]


@quantities(voltage="V", current="A", power="W", power_factor="", gives="W")
def power_from_readings(voltage, current, power=None, power_factor=None, motor=ANY_MOTOR):
    """Power a machine is billed for, as a range, from whatever could be read.

    Parameters
    ----------
    voltage, current : float
        V and A, from the plate or a meter.
    power : float, optional
        W, read on a plug-in meter; believed within 5 % (from memory, not verified).
    power_factor : float, optional
        0 to 1, where it was read in place of watts.
    motor : Range, optional
        Power factor where neither was read; default :data:`ANY_MOTOR`, 0.5 to 1.0, since a plate seldom says
        whether a capacitor stays in while the motor runs.

    Returns
    -------
    Range
        W.
    """
    if power is None and power_factor is None:
        return Range(*(true_power.si(voltage, current, factor) for factor in motor))
    if power is None:
        power = true_power.si(voltage, current, power_factor)
    else:
        power_factor_of.si(power, voltage, current)
    return Range(power * (1 - METER), power, power * (1 + METER))


@quantities(power="W", hours_a_day="s", days_a_year="s", gives="J")
def energy_per_year(power, hours_a_day=DAY, days_a_year=365 * DAY):
    """Energy used in one year.

    Parameters
    ----------
    power : float or array
        True power, W, zero or more; a Range of powers gives an array of three.
    hours_a_day : float or array, optional
        Running time in a day, s; at most 24 hours. Default all day.
    days_a_year : float or array, optional
        Running days in a year, s; at most 366 days. Default 365.

    Returns
    -------
    float or array
        J. One kWh is 3.6 million J; ``show(energy, "energy")`` prints kWh.

    Raises
    ------
    ValueError
        If a day runs past 24 hours or a year past 366 days.
    """
    not_negative("energy_per_year", power=power, hours_a_day=hours_a_day, days_a_year=days_a_year)
    if np.any(np.asarray(hours_a_day) > DAY) or np.any(np.asarray(days_a_year) > 366 * DAY):
        raise Refused("a day has at most 24 h and a year at most 366 days. Write the running time of one day, such as "
                      "'12 h', and the days, such as '180 d'.", by="energy_per_year")
    return np.multiply(power, hours_a_day) * days_a_year / DAY


@quantities(power="W", price="dollar/J", hours_a_day="s", days_a_year="s", gives="dollar/year")
def cost_per_year(power, price, hours_a_day=DAY, days_a_year=365 * DAY):
    """Money for the electricity of one year.

    Parameters
    ----------
    power : float or array
        True power, W, zero or more.
    price : float or array
        Dollars a joule inside the package; from outside write "$0.173/kWh" or "17.3 cents/kWh".
        There is no default: use the price on your own bill. The U.S. residential average for 2024
        was 16.48 cents/kWh (U.S. Energy Information Administration, Electric Power Annual, table 2.4,
        second-hand); state averages ran from about 11 to 42 cents in 2023.
    hours_a_day, days_a_year : float or array, optional
        As for :func:`energy_per_year`.

    Returns
    -------
    float or array
        Dollars a year.
    """
    not_negative("cost_per_year", price=price)
    return energy_per_year.si(power, hours_a_day, days_a_year) * price
