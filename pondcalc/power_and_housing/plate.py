"""What electricity does a seller's word, or a motor plate, mean: watts, amps and volts, or horsepower?

Watts are watts. Amps and volts make watts by the power factor, which depends on the kind of motor. Horsepower is what
the shaft gives, so the cord carries more; a motor that is not fully loaded draws less than its plate.

What this leaves out: the load on the motor. Watts read on a meter, at your pressure, beat every plate.
"""

import re
from typing import Any, NamedTuple

from ..back_pressure.running import MOTOR_EFFICIENCY
from ..units import Q, QuantityError, Range, read_quantity, show, show_range
from ..wording import quoted
from . import housing

__all__ = ["EXAMPLE", "RATED", "Electricity", "read_electricity"]

EXAMPLE = "475 W, or 4.4 A at 120 V, or 1/2 hp"
RATED = Range(0.6, 0.85, 1.1)   # power on the pond's line over rated watts, or those on a plate: judgment, no source
METERED = Range(1 - housing.METER, 1.0, 1 + housing.METER)
LEAST, MOST = 1.0, 5000.0       # W; outside them a slip is likelier
_NEXT = re.compile(r"[;@×*=]|,(?!\d)|\s(?:at|x|and)\s|(?<=[A-Za-z.])\s+(?=[\d.])", re.IGNORECASE)
_FACTOR = re.compile(r"(?:power factor|cos ?(?:phi|φ)|\bp\.?f\.?)\s*(?:of|=|:)?\s*(\d?\.\d+|1(?:\.0+)?|\d+ ?%)",
                     re.IGNORECASE)
_RUN = re.compile(r"\b(?:with (?:a )?)?(?:run[- ]capacitor|capacitor[- ]run|permanent[- ]split(?:.capacitor)?|PSC)\b",
                  re.IGNORECASE)
_PLAIN = re.compile(r"\b(?:split[- ]phase|shaded[- ]pole|capacitor[- ]start|(?:no|without) (?:run )?capacitor)\b",
                    re.IGNORECASE)
_OTHER = re.compile(r"\b(?:single[- ]phase|1 ?(?:phase|ph|[φø])|motor|about|approx\.?|each|running)\b", re.IGNORECASE)


class Electricity(NamedTuple):
    """Power at the cord as a Range of W, and in words how it was found; `watts` is True where watts were told."""

    power: Range
    watts: bool
    words: str


def _amounts(text):
    """Amounts in a text by what they measure: V, A, W and hp, each a plain number."""
    found: dict[str, Any] = {}
    for piece in filter(None, (part.strip(" .,()").rstrip("-") for part in _NEXT.split(text))):
        number = re.fullmatch(r"(\d+(?:\.\d+)?) ?VA", piece, re.IGNORECASE)
        value = Q(float(number[1]), "watt") if number else read_quantity(piece)
        name = "VA" if number else "hp" if str(value.units) == "horsepower" else next(
            (unit for unit in ("V", "A", "W") if value.check(Q(1.0, unit).dimensionality)), None)
        if value.check(Q("1 Hz").dimensionality):
            continue
        if name is None or name in found:
            wrong = "stands beside another of its kind" if name else "is no electricity"
            raise QuantityError(f"{quoted(piece)} {wrong}")
        found[name] = value.m_as("W" if name in ("VA", "hp") else name)
        if not found[name] > 0:
            raise QuantityError(f"{quoted(piece)} is not more than 0. Check the number")
    return found


def _carried(found):
    """Volt-amperes of the amounts, or None."""
    if "VA" in found:
        return found["VA"]
    return found["V"] * found["A"] if {"V", "A"} <= set(found) else None


def _factor(text):
    """Power factor told in a text as a Range, what it is called, and the text without it."""
    told = _FACTOR.search(text)
    if told:
        share = read_quantity(told[1], "dimensionless").m_as("dimensionless")
        if not 0.2 <= share <= 1:
            raise QuantityError(f"a power factor of {told[1]} is outside 0.2 to 1. Check it, or leave it out")
        return Range(*(min(end * share, 1.0) for end in METERED)), "as told", _FACTOR.sub(" ", text)
    for pattern, span, name in ((_PLAIN, housing.PLAIN_MOTOR, "of a plain motor"),
                                (_RUN, housing.RUN_CAPACITOR, "of a motor with a run capacitor")):
        if pattern.search(text):
            return span, name, pattern.sub(" ", text)
    return housing.ANY_MOTOR, ("of either kind of motor, since none was named: plain (0.5 to 0.8) or with a run "
                               "capacitor (0.85 to 1.0)"), text


def read_electricity(text, at_my_pressure=True):
    """Power at the cord from what a seller told.

    Parameters
    ----------
    text : str
        Watts; or amps and volts, with a power factor or the kind of motor where it is known; or horsepower.
    at_my_pressure : bool, optional
        Whether watts were told for the pressure of the pond, within the 5 % of a meter; else they are rated ones
        (:data:`RATED`).

    Returns
    -------
    Electricity

    Raises
    ------
    QuantityError
        If the text holds none of these, or amps without volts; says what to write.
    """
    try:
        factor, kind, rest = _factor(" ".join(str(text).split()))
        found = _amounts(_OTHER.sub(" ", rest))
    except QuantityError as problem:
        raise QuantityError(problem.why, f"Write, for example, {EXAMPLE}.", given=problem.given) from None
    carried, watts = _carried(found), found.get("W")
    if watts is not None:
        if carried is not None and watts > carried * (1 + housing.METER):
            raise QuantityError(f"{watts:.4g} W is more than volts times amps, {carried:.4g}. Check the three numbers.")
        spread = METERED if at_my_pressure else RATED
        made, words = Range(*(share * watts for share in spread)), "watts as told"
    elif carried is not None:
        made = Range(*(share * carried for share in factor))
        words = f"{carried:.0f} volt-amperes, times the power factor {kind}"
    elif "hp" in found:
        made = Range(*(found["hp"] / share for share in reversed(MOTOR_EFFICIENCY)))
        words = (f"horsepower is at the shaft, here {show(Q(found['hp'], 'W'), 'power')}; a motor that small puts "
                 f"{100 * MOTOR_EFFICIENCY.low:.0f} to {100 * MOTOR_EFFICIENCY.high:.0f} % of its electricity there. A "
                 "motor that is not fully loaded draws less: ask for watts at your pressure")
    else:
        lack = {"A": "amps alone do not say watts: add the volts", "V": "volts alone do not say watts: add the amps"}
        raise QuantityError(f"{next((lack[name] for name in found), 'there is no amount')}. Write, for example, "
                            f"{EXAMPLE}.")
    if not (made.low >= LEAST and made.high <= MOST):
        span = show_range(Q(made.low, "W"), Q(made.high, "W"), "power")
        raise QuantityError(f"{quoted(text)} comes to {span}, outside {LEAST:.0f} to {MOST:,.0f} W. Check "
                            "the number and its unit.")
    return Electricity(made, watts is not None, words)
