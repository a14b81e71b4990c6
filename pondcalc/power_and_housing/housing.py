"""What electricity do plate, meter or a seller's word mean, on how many days, and what does it cost to run?

Electricity is sold by true power over time. Volts times amps is not true power for a motor: part of the current sloshes
back and forth without doing work, and the power factor, which depends on the kind of motor, is the share that does. The
plate's amps size the wire; a plug-in watt meter, or volts x amps x power factor, tells the cost. Horsepower is what the
shaft gives, so the cord carries more; a motor that is not fully loaded draws less than its plate. Inside the package
power is W, energy J, price dollars a joule.

What this leaves out: standing charges, and the load on the motor. Watts read on a meter, at your pressure, beat every
plate. Wiring near water can kill. Anything past plugging in to an outdoor GFCI outlet is work for a licensed
electrician under the local code.
"""

import datetime
import re
from typing import Any, NamedTuple

import numpy as np

from ..back_pressure.compressor import MOTOR_EFFICIENCY
from ..back_pressure.reach import decimal_points, take_duty
from ..refusals import Refused
from ..spellings import quoted
from ..units import DAY, QuantityError, Range, fits, not_negative, quantities, read_quantity, share, show, show_range

# power factor of small single-phase motors, loaded. Plain: common practice, no source. With a capacitor that stays in
# while it runs: 0.85 from a public comparison of motor types, up to 1.0 from memory, not verified. Any: both kinds.
PLAIN_MOTOR, RUN_CAPACITOR, ANY_MOTOR = Range(0.5, 0.65, 0.8), Range(0.85, 0.95, 1.0), Range(0.5, 0.75, 1.0)
METER = 0.05                            # share by which a plug-in meter may be off: from memory, not verified


@quantities(voltage="V", current="A", gives="V*A")
def apparent_power(voltage, current):
    """Volts times amps: what the wire must carry, not what the meter bills.

    voltage, current (float or array): V and A, as a meter shows them (root mean square), zero or more.
    Returns: float or array: Volt-amperes.
    """
    not_negative("apparent_power", voltage=voltage, current=current)
    return voltage * current


@quantities(voltage="V", current="A", power_factor="", gives="W")
def true_power(voltage, current, power_factor):
    """Power a single-phase motor is billed for.

    voltage, current (float or array): V and A, root mean square, zero or more.
    power_factor (float or array): 0 to 1. It is 1 for a plain heater; small motors are often 0.5 to 0.8 (common
        practice, no source), and 0.85 to 1.0 with a run capacitor (:data:`RUN_CAPACITOR`).
    Raises ValueError: If the power factor is not between 0 and 1.

    P = V I PF.
    """
    share("true_power", power_factor=power_factor)
    return apparent_power(voltage, current) * power_factor


@quantities(power="W", voltage="V", current="A", gives="")
def power_factor_of(power, voltage, current):
    """Power factor from watts, volts and amps read at the same time.

    power (float or array): True power, W, as a plug-in meter shows it.
    voltage, current (float or array): V and A, root mean square, more than zero.
    Returns: float or array: 0 to 1.
    Raises ValueError: If the watts are more than volts times amps, beyond what a meter may be off.
    """
    carried = np.asarray(apparent_power(voltage, current), float)
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

    voltage, current: V and A, from the plate or a meter.
    power: W, read on a plug-in meter; believed within 5 % (from memory, not verified).
    power_factor: 0 to 1, where it was read in place of watts.
    motor (Range): Power factor where neither was read; default :data:`ANY_MOTOR`, 0.5 to 1.0, since a plate seldom
        says whether a capacitor stays in while the motor runs.
    Returns: Range: W.
    """
    if power is None and power_factor is None:
        return Range(*(true_power(voltage, current, factor) for factor in motor))
    if power is None:
        power = true_power(voltage, current, power_factor)
    else:
        power_factor_of(power, voltage, current)
    return Range(power * (1 - METER), power, power * (1 + METER))


@quantities(power="W", hours_a_day="s", days_a_year="s", gives="J")
def energy_per_year(power, hours_a_day=DAY, days_a_year=365 * DAY):
    """Energy used in one year.

    power (float or array): True power, W, zero or more; a Range of powers gives an array of three.
    hours_a_day (float or array): Running time in a day, s; at most 24 hours. Default all day.
    days_a_year (float or array): Running days in a year, s; at most 366 days. Default 365.
    Returns: float or array: J. One kWh is 3.6 million J; ``show(energy, "energy")`` prints kWh.
    Raises ValueError: If a day runs past 24 hours or a year past 366 days.
    """
    not_negative("energy_per_year", power=power, hours_a_day=hours_a_day, days_a_year=days_a_year)
    if np.any(np.asarray(hours_a_day) > DAY) or np.any(np.asarray(days_a_year) > 366 * DAY):
        raise Refused("a day has at most 24 h and a year at most 366 days. Write the running time of one day, such as "
                      "'12 h', and the days, such as '180 d'.", by="energy_per_year")
    return np.multiply(power, hours_a_day) * days_a_year / DAY


@quantities(power="W", price="dollar/J", hours_a_day="s", days_a_year="s", gives="dollar/year")
def cost_per_year(power, price, hours_a_day=DAY, days_a_year=365 * DAY):
    """Money for the electricity of one year.

    power (float or array): True power, W, zero or more.
    price (float or array): Dollars a joule inside the package; from outside write "$0.173/kWh" or "17.3 cents/kWh".
        There is no default: use the price on your own bill. The U.S. residential average for 2024 was 16.48 cents/kWh
        (U.S. Energy Information Administration, Electric Power Annual, table 2.4, second-hand); state averages ran
        from about 11 to 42 cents in 2023.
    hours_a_day, days_a_year (float or array): As for :func:`energy_per_year`.
    """
    not_negative("cost_per_year", price=price)
    return energy_per_year(power, hours_a_day, days_a_year) * price


ALL_YEAR = 365


class AirDays(NamedTuple):
    """Days of air in a year, and the season in words, or empty where none was saved.

    `count` is None where the season was written in a way that cannot be counted. `winter_too` is True where the air
    goes on in winter, so that it runs all year.
    """

    count: Any
    season: str
    winter_too: bool

    @property
    def running(self):
        """Days to reckon costs for: the season, or all year where it is not known or winter is no pause."""
        return ALL_YEAR if self.winter_too or self.count is None else self.count

    @property
    def seconds(self):
        """The same in s."""
        return self.running * DAY

    @property
    def words(self):
        """Which days are counted, for a sentence about costs."""
        if self.winter_too:
            return "all year, with air in winter too [07]"
        if self.count is None:
            return "all year, since no months with air are saved [07]"
        return f"{self.season}, {self.count} days a year [07]"


def air_days(pond):
    """Days of air of a pond record."""
    ends = [pond.get("year", key) for key in ("air_from", "air_to")]
    winter = (pond.get("year", "winter") or "").startswith("air")
    if None in ends:
        return AirDays(None, "", winter)
    try:
        first, last = (datetime.datetime.strptime(f"{end} 2025", "%b %d %Y").timetuple().tm_yday for end in ends)
    except ValueError:                  # written by hand in another way
        return AirDays(None, " to ".join(ends), winter)
    return AirDays((last - first) % ALL_YEAR + 1, " to ".join(ends), winter)


EXAMPLE = "475 W, or 4.4 A at 120 V, or 1/2 hp"
RATED = Range(0.6, 0.85, 1.1)   # power on the pond's line over rated watts, or those on a plate: judgment, no source
METERED = Range(1 - METER, 1.0, 1 + METER)
LEAST, MOST = 1.0, 5000.0       # W; outside them a slip is likelier
SHAFT = 0.05            # watts as near to horsepower as that are the same in other units, such as 370 W for 1/2 hp
ONE_SETTING = 1.2       # voltages of one winding, such as 208 to 230, differ by less; those of two by more
_NEXT = re.compile(r"[;@×*=()]|,(?!\d)|\s(?:at|x|and)\s|(?<=[A-Za-z.])\s+(?=[\d.])", re.IGNORECASE)
_FACTOR = re.compile(r"(?:power factor|cos ?(?:phi|φ)|\bp\.?f\.?)\s*(?:of|=|:)?\s*(\d?\.\d+|1(?:\.0+)?|\d+ ?%)",
                     re.IGNORECASE)
_RUN = re.compile(r"\b(?:with (?:a )?)?(?:run[- ]capacitor|capacitor[- ]run|permanent[- ]split(?:.capacitor)?|PSC)\b",
                  re.IGNORECASE)
_PLAIN = re.compile(r"\b(?:split[- ]phase|shaded[- ]pole|capacitor[- ]start|(?:no|without) (?:run )?capacitor)\b",
                    re.IGNORECASE)
_DIRECT = re.compile(r"(?<=\dV) ?DC\b|(?<=\d V) ?DC\b|\bDC\b|\bbattery\b", re.IGNORECASE)
_DC = "direct current"
_THREE = re.compile(r"\b(?:3|three)[- ]?(?:phase|ph\b|[φø])|\b3~", re.IGNORECASE)
_OTHER = re.compile(r"\b(?:single[- ]phase|1 ?(?:phase|ph|[φø])|motor|about|approx\.?|each|running|max(?:imum)?|rated|"
                    r"rating|full[- ]load|draws?|power|consumption|"
                    r"input|current|voltage|AC|TEFC|ODP|(?:SF|service factor):? ?[\d.]+)\b\.?|~", re.IGNORECASE)
_PRESSURE = re.compile(r"(?:@|\bat\b)\s*[\d.]+ ?(?:psig?|k?Pa|m?bar)\b", re.IGNORECASE)
_LIMIT = re.compile(rf"\b(?:max(?:imum)?|rated|rating)\b|{_PRESSURE.pattern}", re.IGNORECASE)
# the amounts of a plate with two settings: "115/230 V", "8.8/4.4-4.6 A", "208-230/460 V"
_NUMBER = r"\d+(?:\.\d+)?"
_LISTED = rf"{_NUMBER}(?:\s*[/-]\s*{_NUMBER})*"
# "Volts: 115/230, Amps: 4.4/2.2": the unit stands before its numbers
_LABEL = re.compile(rf"(?<![\d.] )(?<![\d.])\b([VAW])(?:olts?|oltage|mps?|mperes?|atts?)?\b"
                    rf"(?:\s*[:=]\s*({_LISTED})(?:\s*\1(?:AC|olts?|mps?|atts?)?\b)?|"
                    rf"\s+({_LISTED})(?!\s*[\w%/.]))", re.IGNORECASE)
_SETTINGS = re.compile(rf"(?<![\w.−-])({_LISTED})[\s-]*(?:(?P<V>V(?:AC|olts?)?\.?)|"
                       r"(?P<A>A(?:mps?|mperes?)?|FLA))(?![\w])", re.IGNORECASE)


class Electricity(NamedTuple):
    """Power at the cord as a Range of W, and in words how it was found; `watts` is True where watts were told.

    `duty` is what the same words say of running day and night, as in :class:`pondcalc.back_pressure.reach.Told`.
    """

    power: Range
    watts: bool
    words: str
    duty: str = ""


def _amounts(text):
    """Amounts in a text by what they measure: V and A as tuples, VA, W and hp each a plain number."""
    found: dict[str, Any] = {}
    for told in _SETTINGS.finditer(text):
        name = "V" if told["V"] else "A"
        found[name] = (*found.get(name, ()), *(float(number) for number in re.findall(_NUMBER, told[1])))
        if not min(found[name]) > 0:
            raise QuantityError(f"{quoted(told[0])} is not more than 0. Check the number.")
    rest = _SETTINGS.sub(" ; ", text)
    for piece in filter(None, (part.strip(" .,/").rstrip("-") for part in _NEXT.split(rest))):
        number = re.fullmatch(r"([\d,.]+) ?(k?)VA", piece, re.IGNORECASE)
        value = read_quantity(f"{number[1]} {number[2]}W") if number else read_quantity(piece)
        name = "VA" if number else "hp" if str(value.units) == "horsepower" else \
            "W" if fits(value, "W") else None
        if fits(value, "Hz"):
            continue
        if name is None or name in found:
            wrong = "stands beside another of its kind" if name else "is no electricity"
            raise QuantityError(f"{quoted(piece)} {wrong}.")
        found[name] = value.m_as("W")
        if not found[name] > 0:
            raise QuantityError(f"{quoted(piece)} is not more than 0. Check the number.")
    return found


def _carried(found):
    """Volt-amperes of the amounts as a Range, or None.

    A motor for two voltages draws the smaller current at the higher one, so as to draw the same power at both. Only
    such pairs count, never 115 V with the amps of 230 V.
    """
    if "VA" in found:
        return Range(*(found["VA"],) * 3)
    if not {"V", "A"} <= set(found):
        return None
    volts, amps = sorted(found["V"]), sorted(found["A"], reverse=True)
    lists = " and ".join(" / ".join(f"{number:g}" for number in numbers) + f" {unit}"
                         for numbers, unit in ((volts, "V"), (amps, "A")))
    if len(volts) == len(amps):
        made = [volt * amp for volt, amp in zip(volts, amps, strict=True)]
    elif 1 in (len(volts), len(amps)) and max(volts[-1] / volts[0], amps[0] / amps[-1]) <= ONE_SETTING:
        made = [volt * amp for volt in volts for amp in amps]
    else:
        raise QuantityError(f"{lists}: which amps go with which volts is not told, and the wrong pair makes half the "
                            "power. Write the volts of your outlet and the amps at them.")
    if max(made) > 1.25 * min(made):
        raise QuantityError(f"{lists} come to {min(made):.0f} and {max(made):.0f} volt-amperes, which is not one "
                            "motor. Write the volts of your outlet and the amps at them.")
    return Range(min(made), sum(made) / len(made), max(made))


def _factor(text):
    """Power factor told in a text as a Range, what it is called, and the text without it."""
    told = _FACTOR.search(text)
    if told:
        share = read_quantity(told[1], "dimensionless").m_as("dimensionless")
        if not 0.2 <= share <= 1:
            raise QuantityError(f"a power factor of {told[1]} is outside 0.2 to 1. Check it, or leave it out.")
        return Range(*(min(end * share, 1.0) for end in METERED)), "as told", _FACTOR.sub(" ", text)
    for pattern, span, name in ((_DIRECT, Range(METERED.low, 1.0, 1.0), _DC),
                                (_PLAIN, PLAIN_MOTOR, "of a plain motor"),
                                (_RUN, RUN_CAPACITOR, "of a motor with a run capacitor")):
        if pattern.search(text):
            return span, name, pattern.sub(" ", text)
    return ANY_MOTOR, ("of either kind of motor, since none was named: plain (0.5 to 0.8) or with a run "
                       "capacitor (0.85 to 1.0)"), text


def read_electricity(text, at_my_pressure=True):
    """Power at the cord from what a seller told.

    text: Watts; or amps and volts, with a power factor or the kind of motor where it is known; or horsepower.
    at_my_pressure: Whether watts were told for the pressure of the pond, within the 5 % of a meter; else they are
        rated ones (:data:`RATED`).
    Returns: Electricity.
    Raises QuantityError: If the text holds none of these, or amps without volts; says what to write.
    """
    duty, said = take_duty(decimal_points(" ".join(str(text).split())))
    try:
        if _THREE.search(said):
            raise QuantityError("three-phase volts and amps do not simply multiply: ask for the watts.")
        factor, kind, rest = _factor(said)
        rest = _LABEL.sub(lambda told: f" {told[2] or told[3]} {told[1].upper()}; ", rest)
        found = _amounts(_OTHER.sub(" ", _PRESSURE.sub(" ", rest)))
        carried, watts = _carried(found), found.get("W")
    except QuantityError as problem:
        raise QuantityError(problem.why, f"Write, for example, {EXAMPLE}.", given=problem.given) from None
    if watts is not None and "hp" in found and abs(watts / found["hp"] - 1) < SHAFT:
        watts = None                    # "1/2 hp (370 W)" tells the shaft twice
    if watts is not None:
        if carried is not None and watts > carried.high * (1 + METER):
            raise QuantityError(f"{watts:.4g} W is more than volts times amps, {carried.high:.4g}. Check the three "
                                "numbers.")
        near = at_my_pressure and not _LIMIT.search(said)
        made = Range(*(share * watts for share in (METERED if near else RATED)))
        words = "watts as told" if near else (f"rated or greatest watts, or those at a pressure of the seller's: "
                                              f"{RATED.low:g} to {RATED.high:g} times what was told")
    elif carried is not None:
        made = Range(*(share * each for share, each in zip(factor, carried, strict=True)))
        words = (f"{carried.usual:.0f} volt-amperes (not watts, but the most these can be), times the power factor "
                 f"{kind}") if kind != _DC else f"volts times amps of {_DC}"
    elif "hp" in found:
        made = Range(*(found["hp"] / share for share in reversed(MOTOR_EFFICIENCY)))
        words = (f"horsepower is at the shaft, here {show(found['hp'], 'power')}; a motor that small puts "
                 f"{100 * MOTOR_EFFICIENCY.low:.0f} to {100 * MOTOR_EFFICIENCY.high:.0f} % of its electricity there. A "
                 "motor that is not fully loaded draws less: ask for watts at your pressure")
    else:
        lack = {"A": "amps alone do not say watts: add the volts", "V": "volts alone do not say watts: add the amps"}
        raise QuantityError(f"{next((lack[name] for name in found), 'there is no amount')}. Write, for example, "
                            f"{EXAMPLE}.")
    if not (made.low >= LEAST and made.high <= MOST):
        span = show_range(made.low, made.high, "power")
        raise QuantityError(f"{quoted(text)} comes to {span}, outside {LEAST:.0f} to {MOST:,.0f} W. Check "
                            "the number and its unit.")
    return Electricity(made, watts is not None, words, duty)
