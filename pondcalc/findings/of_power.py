"""What plate or meter readings say about power: the section ``power``, and its words."""

from ..back_pressure import compressor
from ..power_and_housing import cabinet, housing, wiring
from ..units import Q, Range, quantities, show, show_range

METERED, BEFORE_BUYING = "by plate or meter", "before buying"     # how the power was found
WARM_ENOUGH = 40.0      # C, 104 F: air that many motors are rated for (common practice, no source); the plate decides
LEAST_RISE = 5.0        # C over outdoors that moving air must carry heat off at; less takes a huge fan (our choice)
FAN_RISE = 2.0          # C; to stay within less than this of outdoors no fan of a usual size will do (our choice)
RUNS_BADLY = 0.10       # share of its voltage a motor may lack and still be meant to run (NEMA MG 1; from memory)
STARTS_BADLY = 0.35     # at 65 % of the voltage a motor turns with 0.42 of its force: force goes with voltage squared


def say_drop(drop):
    """What a voltage drop (a share) means for a machine that runs."""
    if drop <= 0.03:
        return "within the 3 % that the code advises"
    if drop <= RUNS_BADLY:
        return "more than the 3 % that the code advises for a branch: ask about thicker wire or a nearer supply"
    return "so much that the machine will run hot, or not run at all: this wire is no choice"


def say_start_drop(low, high):
    """What the drop at the start, two shares, means for a machine that starts."""
    if low >= 1:
        return "So much current cannot flow through this wire at the start: the machine will not start."
    if high >= STARTS_BADLY:
        return (f"At the start it would lose {100 * low:.0f} % or more: the machine may start slowly, or not at all.")
    ends = " to ".join(dict.fromkeys(f"{100 * end:.0f}" for end in (low, high)))
    return f"For a moment at the start it loses {f'about {ends}' if high >= 0.005 else 'less than 1'} %."


def _inside(hottest):
    """How warm (C) the cabinet is let get on a day as hot as this."""
    return max(WARM_ENOUGH, hottest + LEAST_RISE)


@quantities(hottest="degC")
def say_hottest(fan_flow, hottest, system="US"):
    """What the cabinet needs on the hottest day, how warm it then is inside, and what to do where that is too warm.

    Parameters
    ----------
    fan_flow : pint.Quantity
        From the section ``power``.
    hottest : float
        C, the hottest afternoon in the shade.
    system : {"US", "metric"}, optional

    Returns
    -------
    str
    """
    inside = _inside(hottest)

    def warm(value):
        return show(Q(float(value), "degC"), "temperature", system).replace(".0 ", " ")
    words = (f"On the hottest day the cabinet needs {show(fan_flow, 'air flow', system, digits=2)} of moving air; it "
             f"is then {warm(inside)} inside, out of the sun.")
    if inside < WARM_ENOUGH + 0.05:         # 95 °F is 35 °C and a little
        return words
    left = WARM_ENOUGH - hottest            # C that the air may still warm up by
    if left >= FAN_RISE:
        more = show(fan_flow * LEAST_RISE / left, "air flow", system, digits=2)
        fan = f"It takes {more} to keep it at {warm(WARM_ENOUGH)} when it is {warm(hottest)} outside. Or"
    else:
        fan = (f"No fan{' of a usual size' if left > 0.05 else ''} can keep it below {warm(WARM_ENOUGH)} when it is "
               f"{warm(hottest)} outside:")
    return (f"{words} Many motors are made for {warm(WARM_ENOUGH)} at most (common practice, no source; the plate "
            f"decides). {fan} shade it, move it to a cool building, or take a machine rated for the heat.")


@quantities(flow_free_air="m^3/s", pressure_gauge="Pa", voltage="V", elevation="m")
def power_before_buying(flow_free_air, pressure_gauge, voltage, elevation=0.0):
    """Watts a machine not bought yet is likely to draw, as a Range, and the amps to plan for (SI numbers).

    Notes
    -----
    From the least power to compress the air and the open range of
    :data:`pondcalc.back_pressure.compressor.WIRE_EFFICIENCY`; the amps go with the high end and the usual power
    factor of a plain motor, which asks for the thicker wire.
    """
    likely = Range(*map(float, compressor.wire_power.si(flow_free_air, pressure_gauge, elevation)))
    return likely, likely.high / (voltage * housing.PLAIN_MOTOR.usual)


@quantities(voltage="V", current="A", length="m", price="dollar/J", hottest="degC", watts="W", power_factor="",
            elevation="m")
def power(voltage, current, length, gauge, price, hottest, watts=None, power_factor=None, elevation=0.0,
          likely=None, motor=housing.ANY_MOTOR):
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
    likely : Range, optional
        W, where there is no machine yet to read; see :func:`power_before_buying`.
    motor : Range, optional
        Power factor where neither watts nor power factor was read.

    Returns
    -------
    dict

    Notes
    -----
    The fan must carry the high end of the power at a rise that ends at :data:`WARM_ENOUGH`, or at
    :data:`LEAST_RISE` where outdoors leaves less than that.
    """
    span = likely or housing.power_from_readings.si(voltage, current, watts, power_factor, motor)
    inside = _inside(hottest)
    fan = float(cabinet.air_for_heat.si(span.high, inside - hottest, inside, elevation))
    drop = float(wiring.voltage_drop_share.si(current, length, gauge, voltage))
    return {"power": Range(*(Q(float(v), "W") for v in span)),
            "cost": Range(*(Q(float(housing.cost_per_year.si(v, price)), "$/yr") for v in span)),
            "current": Q(float(current), "A"), "wire_gauge": Q(float(gauge), "dimensionless"),
            "run_length": Q(float(length), "m"), "voltage_drop": Q(100 * drop, "%"), "fan_flow": Q(fan, "m3/s"),
            "found": METERED if likely is None else BEFORE_BUYING}


def say_power(values, system, hottest):
    """The section ``power`` in words; `hottest` is the hottest afternoon in the shade, a quantity."""
    low, usual, high = values["power"]
    cost, current, drop = values["cost"], values["current"], values["voltage_drop"]
    start = wiring.starting_current(current)
    gauge = values["wire_gauge"].m_as("dimensionless")
    share, amps = drop.m_as("dimensionless"), current.m_as("A")
    at_start = (share * end.m_as("A") / amps for end in (start.low, start.high))
    return (f"Power {show(usual, 'power', digits=2)} ({show_range(low, high, 'power')}), "
            f"{show(cost.usual, 'money a year', digits=2)} ({show_range(cost.low, cost.high, 'money a year')}) if it "
            f"runs all year. The run of {show(values['run_length'], 'distance', system)} of {gauge:.0f} AWG drops "
            f"{show(drop, 'share', digits=2)} while running, {say_drop(share)}. {say_start_drop(*at_start)} "
            f"Wire and breaker must be rated for {show(wiring.circuit_needed(current), 'current', digits=2)} or "
            f"more, and ride through about {show_range(start.low, start.high, 'current')} at the start. "
            f"{say_hottest(values['fan_flow'], hottest, system)}")
