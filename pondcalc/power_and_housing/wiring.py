"""How thick a wire, over what distance, and can the circuit carry it?

A long thin wire eats voltage. A motor that gets too little runs hot and may not start, which matters more
than the few watts lost. This module works out the drop from the geometry of American wire gauge, and the
simple sums behind a circuit that runs day and night.

Inside the package everything is SI: V, A, ohm/m, m.

What this leaves out: the reactance of the wire (small below 8 AWG), ground faults, and every other rule of
the electrical code. Wiring near water can kill. These sums help you talk with a licensed electrician and
read a bid; they do not replace either one, the adopted local code, or the label.
"""

import re

import numpy as np

from ..refusals import Refused
from ..spellings import either
from ..units import QuantityError, Range, not_negative, positive, quantities

COPPER = 1e-6 / 58                  # ohm m at 20 C, the International Annealed Copper Standard (IEC 60028)
COPPER_SLOPE = 0.00393              # 1/C at 20 C
STRANDED = 1.02                     # twisted strands are longer than the wire (ASTM B8, from memory)
GAUGES = (18, 16, 14, 12, 10, 8, 6, 4)
ADVISED = 0.03                      # share of the supply lost in a branch circuit (note to NEC 210.19; advice)
CONTINUOUS = 1.25                   # U.S. National Electrical Code 210.19(A)(1) and 210.20(A)
BREAKERS = {14: 15.0, 12: 20.0, 10: 30.0}   # A on copper wire, NEC 240.4(D): from memory, not verified
STARTING = Range(4.0, 5.0, 6.0)     # times the running current: from memory, not verified


def high_water():
    """What "above high water" means at a pond without tides.

    The electrical datum plane of article 682, as handbooks and the trade press give it (second-hand; editions differ).
    It counts usual high water, not the flood of a lifetime.
    """
    return (f"{either('2 ft', '0.6 m')} or more over the highest water of usual years (NEC article 682, second-hand), "
            "and over any flood you know; electrician and local code decide")


def _gauge(gauge, owner):
    found = re.fullmatch(r"\s*(?:awg\s*)?#?(\d+)\s*(?:awg)?\s*", str(gauge).lower())
    if not found or not 0 <= int(found[1]) <= 40:
        raise QuantityError(f"{gauge!r} is not a wire gauge. Write a whole number from 0 to 40, such as 12 or '12 "
                            "AWG'; the larger the number, the thinner the wire.", by=owner)
    return int(found[1])


@quantities(gives="m")
def conductor_diameter(gauge):
    """Diameter of a solid wire of this American wire gauge.

    gauge (int or str): 0 to 40, such as ``12`` or ``"12 AWG"``.

    0.005 in x 92^((36 - n)/39).
    References: ASTM B258, Standard Nominal Diameters and Cross-Sectional Areas of AWG Sizes of Solid Round Wires.
    """
    return 0.005 * 0.0254 * 92 ** ((36 - _gauge(gauge, "conductor_diameter")) / 39)


def conductor_area(gauge):
    """Cross-section of metal of this American wire gauge, m2; solid and stranded wire have the same."""
    return np.pi / 4 * conductor_diameter(gauge) ** 2


@quantities(temperature="degC", gives="ohm/m")
def conductor_resistance(gauge, temperature=75.0, stranded=True):
    """Resistance of one metre of copper wire, one way.

    gauge (int or str).
    temperature (float or array): Of the metal, C; default 75, a loaded wire as the code tables have it.
    stranded: Strands add 2 %.
    Returns: float or array: ohm/m, direct current.

    (1/58) ohm mm2/m at 20 C, rising by 0.00393 of that for each C.
    References: National Bureau of Standards, 1966, Handbook 100, Copper Wire Tables (constants; from memory). U.S.
        National Electrical Code, Chapter 9, Table 8 (solid, 75 C: agrees within 0.5 %; reprint).
    """
    warm = 1 + COPPER_SLOPE * (np.asarray(temperature, float) - 20)
    return COPPER / conductor_area(gauge) * warm * (STRANDED if stranded else 1.0)


@quantities(current="A", length="m", gives="V")
def voltage_drop(current, length, gauge):
    """Voltage lost along a two-wire run of loaded, stranded wire, out and back.

    current (float or array): A, zero or more: the amps of the plate, not watts over volts.
    length (float or array): m, one way.
    gauge (int or str).

    2 L I R. Exact for a heater; a motor's drop is a little less, so this is the cautious side.
    """
    not_negative("voltage_drop", current=current, length=length)
    return 2 * np.multiply(length, current) * conductor_resistance(gauge)


@quantities(current="A", length="m", voltage="V", gives="")
def voltage_drop_share(current, length, gauge, voltage=120.0):
    """Voltage lost along a run as a share of the supply.

    current, length, gauge: As for :func:`voltage_drop`.
    voltage (float or array): V at the supply.
    Returns: float or array: The code *advises* at most :data:`ADVISED` in a branch circuit and 0.05 in all
        (informational note to NEC 210.19; advice, not a rule).
    """
    positive("voltage_drop_share", voltage=voltage)
    return voltage_drop(current, length, gauge) / voltage


@quantities(current="A", length="m", gives="W")
def conductor_loss(current, length, gauge):
    """Power that a run turns to heat, out and back, W: current times :func:`voltage_drop`."""
    return current * voltage_drop(current, length, gauge)


@quantities(current="A", voltage="V", gives="m")
def longest_run(current, gauge, voltage=120.0):
    """Longest one-way run that keeps the drop to :data:`ADVISED` of the supply.

    current (float or array): A, more than zero.
    gauge, voltage: As for :func:`voltage_drop_share`.
    Returns: float or array: m, one way.
    """
    positive("longest_run", current=current)
    return ADVISED * voltage / voltage_drop(current, 1.0, gauge)


@quantities(current="A", length="m", voltage="V")
def gauge_for(current, length, voltage=120.0):
    """Thinnest copper wire of the usual even gauges that keeps the drop to :data:`ADVISED` of the supply.

    current, length, voltage: As for :func:`voltage_drop_share`.
    Returns: int: Gauge, one of :data:`GAUGES`. It looks at the drop only: the code also limits the current of each
        gauge by heat, and the breaker by the gauge.
    Raises ValueError: If even the thickest is too thin.
    """
    for gauge in GAUGES:
        if voltage_drop_share(current, length, gauge, voltage) <= ADVISED:
            return gauge
    raise Refused(f"even {GAUGES[-1]} AWG drops more than {ADVISED:.0%} here. Put the compressor nearer to the supply "
                  "and run more air line instead, or ask an electrician about a higher voltage.", by="gauge_for")


@quantities(breaker="A", gives="A")
def continuous_limit(breaker):
    """Largest current that may run for three hours or more on a breaker of this rating: 80 % of it."""
    return np.divide(breaker, CONTINUOUS)


@quantities(continuous="A", gives="A")
def circuit_needed(continuous):
    """Current that wire and breaker must be rated for: 125 % of what runs day and night, alone on its circuit.

    continuous (float or array): A, of loads that run three hours or more at a time. A compressor does.
    Returns: float or array: A. Take the next breaker size up.
    References: U.S. National Electrical Code, 210.19(A)(1) and 210.20(A) (paraphrase seen; check the adopted
        edition).
    """
    not_negative("circuit_needed", continuous=continuous)
    return np.multiply(continuous, CONTINUOUS)


@quantities(gives="A")
def largest_breaker(gauge):
    """Largest breaker that may usually stand before a copper wire in a building.

    gauge (int or str).
    Returns: float: A for 14, 12 and 10 AWG; 0 for thinner wire, which is cord and not building wire; infinite for
        thicker, where insulation and place decide.
    References: U.S. National Electrical Code, 240.4(D), small conductors (from memory, not verified; the adopted
        edition rules).
    """
    number = _gauge(gauge, "largest_breaker")
    if number > 14:
        return 0.0
    return BREAKERS[number + number % 2] if number > 8 else np.inf


@quantities(current="A", gives="A")
def starting_current(current):
    """Current while a motor starts, for a second or so, as a range.

    current: A, running.
    Returns: Range: A, :data:`STARTING` times as much; the plate or sheet of the motor may say. The voltage drop grows
        by the same factor, which is why a motor on a long cord may not start.
    """
    not_negative("starting_current", current=current)
    return Range(*(current * factor for factor in STARTING))
