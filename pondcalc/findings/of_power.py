"""What plate or meter readings say about power: the section ``power``, and its words."""

from ..power_and_housing import cabinet, housing, wiring
from ..units import Q, Range, quantities, show, show_range

WARM_ENOUGH = 40.0      # C, 104 F: air that many motors are rated for (common practice, no source); the plate decides


@quantities(voltage="V", current="A", length="m", price="dollar/J", hottest="degC", watts="W", power_factor="",
            elevation="m")
def power(voltage, current, length, gauge, price, hottest, watts=None, power_factor=None, elevation=0.0):
    """What plate or meter readings say about power, as the pond record's section ``power``.

    Parameters
    ----------
    voltage, current : float
        V and A.
    length : float
        m of wire, one way.
    gauge : int or str
        Of the copper wire.
    price : float
        Dollars a joule inside the package.
    hottest : float
        C, the hottest afternoon in the shade.
    watts, power_factor : float, optional
        As for :func:`pondcalc.power_and_housing.housing.power_from_readings`.
    elevation : float, optional
        m above sea level.

    Returns
    -------
    dict

    Notes
    -----
    The fan must carry the high end of the power at a rise that ends at :data:`WARM_ENOUGH`, or at 5 C where
    outdoors leaves less than that.
    """
    span = housing.power_from_readings.si(voltage, current, watts, power_factor)
    rise = max(WARM_ENOUGH - hottest, 5.0)
    fan = float(cabinet.air_for_heat.si(span.high, rise, hottest + rise, elevation))
    drop = float(wiring.voltage_drop_share.si(current, length, gauge, voltage))
    return {"power": Range(*(Q(float(v), "W") for v in span)),
            "cost": Range(*(Q(float(housing.cost_per_year.si(v, price)), "$/yr") for v in span)),
            "current": Q(float(current), "A"), "wire_gauge": Q(float(gauge), "dimensionless"),
            "run_length": Q(float(length), "m"), "voltage_drop": Q(100 * drop, "%"), "fan_flow": Q(fan, "m3/s")}


def say_power(values, system):
    """The section ``power`` in words."""
    low, usual, high = values["power"]
    cost, current, drop = values["cost"], values["current"], values["voltage_drop"]
    start = wiring.starting_current(current)
    gauge = values["wire_gauge"].m_as("dimensionless")
    long_run = (", more than the 3 % that the code advises for a branch: ask about thicker wire or a nearer supply"
                if drop > Q(3.0, "%") else "")
    return (f"Power {show(usual, 'power', digits=2)} ({show_range(low, high, 'power')}), "
            f"{show(cost.usual, 'money a year', digits=2)} ({show_range(cost.low, cost.high, 'money a year')}) if it "
            f"runs all year. The run of {show(values['run_length'], 'distance', system)} of {gauge:.0f} AWG drops "
            f"{show(drop, 'share', digits=2)} while running{long_run}, and four to six times that for a moment at the "
            f"start. Wire and breaker must be rated for {show(wiring.circuit_needed(current), 'current', digits=2)} or "
            f"more, and ride through about {show_range(start.low, start.high, 'current')} at the start. On the hottest "
            f"day the cabinet needs {show(values['fan_flow'], 'air flow', system, digits=2)} of moving air.")
