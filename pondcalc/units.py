"""Units at the door: quantities outside, SI numbers inside, and no number that cannot be.

A reader writes ``"19 ft"`` or ``"5/8 in"``; the physics wants metres. Functions and records take and give plain
numbers in SI. Those that a person may call say their units with :func:`quantities` or :func:`record`; :func:`asked`
stands at the door: it checks that a length is a length, turns it into the unit the function works in, and hands the
answer back as a quantity. ``from pondcalc.door import airline`` opens the door of a whole module.

This is the one module that uses pint. Text from a file or a widget never reaches pint's parser: it passes through
:data:`~pondcalc.spellings.SPELLINGS`, because stock pint reads ``cfm`` as centi-femto-metre, ``ac`` as atto-lightspeed
and ``C`` as coulomb. Three things are not units, so the *name* of an argument carries them: gauge or absolute
pressure, free air or air at depth, saturation or actual oxygen. Free air means air at 20 C (68 F), 1 atm, dry (see
``pondcalc.air``).
"""

import dataclasses
import functools
import inspect
import math
import re
import unicodedata
from collections.abc import Callable, Iterable
from typing import Any, NamedTuple, get_type_hints

import numpy as np
import pint

from .refusals import Refused
from .spellings import INSIDE, KINDS, PRESSURE_SENSE, SPELLINGS, UNIT_OF, UNSURE, WATER_FLOWS, either, quoted, reader

CHECK = "Check the number and its sign."
ADD_AIR_PRESSURE = "Add the air pressure (14.7 psi or 101 kPa at sea level) to a gauge reading."


def _refuse(owner: str, values: dict[str, Any], possible: Callable[[Any], Any], must: str, advice: str) -> None:
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays that is not possible."""
    for name, value in values.items():
        numbers = np.asarray(value, float)
        wrong = ~possible(numbers)
        if np.any(wrong):
            given = float(numbers[wrong][0]) if numbers.ndim else float(numbers)
            unit = " (SI units)" if given else ""       # nothing is nothing in any unit
            raise Refused(f"{name.replace('_', ' ')} must be {must}; it was given {given:.4g}{unit}. {advice}",
                          by=owner)


def not_negative(owner: str, advice: str = CHECK, **values: Any) -> None:
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays that is below 0."""
    _refuse(owner, values, lambda numbers: numbers >= 0, "0 or more", advice)


def positive(owner: str, advice: str = CHECK, **values: Any) -> None:
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays that is not over 0."""
    _refuse(owner, values, lambda numbers: numbers > 0, "more than 0", advice)


def share(owner: str, advice: str = "Write 60 % as 0.6.", **values: Any) -> None:
    """Refuse, in the name of the function `owner`, the first of the named numbers or arrays outside 0 to 1."""
    _refuse(owner, values, lambda numbers: (numbers >= 0) & (numbers <= 1), "a share, 0 to 1", advice)


registry: Any = pint.UnitRegistry(on_redefinition="ignore")
# The international foot is the only US foot since 1 Jan 2023 (Federal Register 85(193),
# 5 Oct 2020, p. 62698), so the acre is 43,560 of its squares; stock pint uses the survey foot.
registry.define("acre = 43560 * foot ** 2")
registry.define("acre_foot = 43560 * foot ** 3")
registry.define("cfm = foot ** 3 / minute")
registry.define("gpm = gallon / minute")
registry.define("mgd = 1000000 * gallon / day")
registry.define("inch_water = 249.08891 * pascal")
registry.define("dollar = [currency]")
registry.define("us_cent = 0.01 * dollar")
Quantity = registry.Quantity
# one of each in SI units, for modules that reckon in plain numbers
FOOT, INCH, ACRE, POUND = 0.3048, 0.0254, 4046.8564224, 0.45359237     # m, m, m2, kg
PSI, CFM, GPM = 6894.757293168361, FOOT**3 / 60, 231 * INCH**3 / 60     # Pa, m3/s, m3/s
HOUR, DAY, YEAR = 3600.0, 86400.0, 365.25 * 86400.0                     # s


class QuantityError(Refused):
    """A quantity that cannot be used: says what came, what is allowed, what to do."""


class Range(NamedTuple):
    """An honest number: the low, usual and high end of what it may be, all of one kind.

    Inside the package the three are plain numbers; at the door they become quantities.
    """

    low: Any
    usual: Any
    high: Any


def each(values: Iterable[Any], unit: str) -> list[Any]:
    """Plain numbers as a list of quantities in `unit`, as the record keeps a table or a curve."""
    return [Q(float(value), unit) for value in values]


def spanned(values: Iterable[Any], unit: str) -> Range:
    """The low, usual and high plain numbers of `values` as a :class:`Range` of quantities in `unit`."""
    return Range(*(Q(float(value), unit) for value in values))


_NUMBER = r"[-+−]?(?:\d[\d,]*(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?"
_FRACTION = re.compile(r"^([-+−]?)(?:(\d+)[ -])?(\d+)/(\d+)(?=\D|$)")
_FEET_INCHES = re.compile(r"^(?!.*(?:ft|feet|foot)[23]$)([-−]?\d+(?:\.\d+)?) ?(?:(?:ft\.?|feet|foot)|') ?"
                          r"(?:,|and|-(?=.*(?:in|in\.|inch|inches|\")$))? ?"
                          r"(?:(\d+(?:\.\d+)?)|(?:(\d+)[ -])?(\d+)/([1-9]\d*)(?(3)|(?= ?[i\"])))"
                          r" ?(in|in\.|inch|inches|\")?$", re.IGNORECASE)


def unit_label(unit: str) -> str:
    """Short printed label of a unit, for example ``acre-ft`` for ``acre_foot``."""
    return SPELLINGS[unit][0] if unit in SPELLINGS else str(unit)


def _pressure_sense(text: str) -> tuple[str | None, str]:
    """From where a pressure is counted, by its unit: ``"absolute"``, ``"gauge"`` or None; and the unit alone."""
    found = PRESSURE_SENSE.fullmatch(text.strip())
    said = (found["before"] or found["after"]) if found else None
    return ("gauge" if said[0] in "gG" else "absolute", found["unit"]) if found and said else (None, text)


def absolute_words(given: str, quantity: Any = None) -> str:
    """Why an absolute pressure is not taken where a gauge's is wanted, and what it is at the gauge."""
    gauge = None if quantity is None else quantity.m_as("psi") - registry("atmosphere").m_as("psi")
    there = f" At sea level yours is {show(Q(gauge, 'psi'), 'pressure', both=True)} at the gauge." \
        if gauge is not None and gauge > 0.05 else ""
    return (f"{quoted(given)} is an absolute pressure, which counts the open air too; a gauge reads zero in open air. "
            f"Take off the air pressure, {either('14.7 psi', '101 kPa')} at sea level and less higher up.{there} Write "
            "what a gauge would show, with psi, kPa or bar.")


def parse_unit(text: str, absolute: bool = False) -> str:
    """Unit (as named in :data:`SPELLINGS`) that a reader's spelling means.

    Raises QuantityError: If the spelling is not in the list, when the message offers close ones, or if it says that a
        pressure is absolute, unless `absolute` allows it.
    """
    sense, text = _pressure_sense(text)
    if sense == "absolute" and not absolute:
        raise QuantityError(absolute_words(text + " absolute"))
    word = re.sub(r"\s+", "_", re.sub(r" ?(/|\*\*) ?", r"\1", text.strip().lower().replace("−", "-")))
    parts = "/".join(UNIT_OF.get(part, part).replace(" ", "") for part in word.replace(".", "").split("/"))
    for candidate in (word, word.replace("_", ""), word.replace("^", ""), word.rstrip("."), parts):
        if candidate in UNIT_OF:
            return UNIT_OF[candidate]
    if word in UNSURE:
        raise QuantityError(f"{quoted(text)} {UNSURE[word].format(warm=either('68 °F', '20 °C'))}")
    import difflib
    close = difflib.get_close_matches(word, UNIT_OF, n=3, cutoff=0.5)
    hint = f" Did you mean {' or '.join(repr(c.replace('_', ' ')) for c in close)}?" if close else ""
    raise QuantityError(f"{quoted(text)} is not a unit this set knows.{hint}",
                        "Units it knows include ft, in, m, acre, acre-ft, gal, psi, cfm, °F and mg/L.", given=text)


def _number(text: str) -> float:
    text = text.replace("−", "-")
    if "," in text:
        if not re.match(r"^[-+]?[1-9]\d{0,2}(,\d{3})+(\.\d*)?([eE][-+]?\d+)?$", text):
            point = quoted(text.replace(",", ".")) if re.fullmatch(r"[-+]?\d+,\d+", text) else "a point for decimals"
            leave = "" if re.match(r"[-+]?0", text) else ", or leave the comma out if it marks thousands"
            raise QuantityError(f"{quoted(text)} has a comma where this set cannot tell thousands from decimals. Write "
                                f"{point}{leave}.")
        text = text.replace(",", "")
    return float(text)


_SIGNS = str.maketrans({"\N{NO-BREAK SPACE}": " ", "\N{NARROW NO-BREAK SPACE}": " ", "\N{THIN SPACE}": " ", "\t": " ",
                        "′": "'", "‘": "'", "’": "'", "´": "'", "`": "'", "″": '"', "“": '"', "”": '"', "º": "°",
                        "˚": "°", "⁄": "/"})


def _plain_signs(text: str) -> str:
    """Text with the signs of a word processor as a keyboard writes them: ½ as 1/2, one kind of ° and of marks."""
    spelled = re.sub("[¼½¾⅛⅜⅝⅞]", lambda sign: f" {unicodedata.normalize('NFKC', sign[0])}", text)
    return re.sub(" {2,}", " ", spelled.translate(_SIGNS).replace("''", '"')).strip()


def _finite(value: float, unit: str, raw: str) -> Any:
    if not math.isfinite(value):
        raise QuantityError(f"{quoted(raw)} is too large a number to work with. Check its digits.")
    return Quantity(value, unit)


def read_quantity(text: str, unit: str | None = None, absolute: bool = False) -> Any:
    """Read ``"19 ft"``, ``"5/8 in"``, ``"12 ft 6 in"`` or ``"1,250 gal"`` as a quantity.

    A comma marks thousands where a number that does not begin with 0 has three digits after each; any other is
    refused. A point marks decimals.

    text: A number and a unit, as a person writes them.
    unit: Unit to use when the text is a number alone. Without it a number alone is refused.
    absolute: True where an absolute pressure is wanted; elsewhere ``psia`` and the like are refused.
    Returns: pint.Quantity.
    Raises QuantityError: If there is no number, no unit, or a spelling outside :data:`SPELLINGS`.
    """
    raw, text = text, _plain_signs(text)
    both = _FEET_INCHES.match(text)
    if both:
        feet = float(both[1].replace("−", "-"))
        inches = float(both[2]) if both[2] else float(both[3] or 0) + float(both[4]) / float(both[5])
        if "." in both[1] and inches:
            raise QuantityError(f"{quoted(raw)} has parts of a foot and inches as well. Write the one or the other, "
                                "such as '5.5 ft' or '5 ft 6 in'.")
        if inches >= 12:
            raise QuantityError(f"{quoted(raw)} has {inches:g} inches after the feet, and a foot has 12. Check the "
                                "two, and write it, for example, as '5 ft 6 in'.")
        if not both[6] and "'" not in text:
            raise QuantityError(f"{quoted(raw)} does not say what the second number is. Write inches, for example, as "
                                "'5 ft 6 in'.")
        return _finite(feet + math.copysign(inches / 12, feet), "foot", raw)
    dollars = re.match(r"^(?:US ?\$|USD|\$) ?(" + _NUMBER + r") ?(.*)$", text)
    if dollars:
        text = f"{dollars[1]} ${'' if dollars[2].startswith('/') else ' '}{dollars[2]}"
    fraction = _FRACTION.match(text)
    if fraction:
        if float(fraction[4]) == 0:
            raise QuantityError(f"{quoted(raw)} divides by zero. Write the size as a decimal, for example '0.625 in'.")
        value = float(fraction[2] or 0) + float(fraction[3]) / float(fraction[4])
        value, rest = -value if fraction[1] in "-−" and fraction[1] else value, text[fraction.end():]
    else:
        found = re.match("^" + _NUMBER, text)
        if not found:
            raise QuantityError(f"{quoted(raw)} does not start with a number.",
                                "Write a number and a unit, for example '19 ft' or '5.8 m'.", given=raw)
        value, rest = _number(found[0]), text[found.end():]
    if not rest.strip():
        if unit is None:
            raise QuantityError(f"{quoted(raw)} has no unit.",
                                "Write the unit after the number, for example '19 ft' or '5.8 m'.", given=raw)
        return _finite(value, unit, raw)
    if re.match(r"\s*(?:-|−|–|to|or)\s*\d", rest):
        raise QuantityError(f"{quoted(raw)} holds two numbers. Write the likelier one with its unit.")
    if re.match(r"[.,' ]\s*\d(?! ?/| (?:per|an?|each) )", rest):
        raise QuantityError(f"{quoted(raw)} may be one number or two. Write one number, without blanks or marks for "
                            "thousands and with a point for decimals, such as 1250.5, and its unit.")
    if _pressure_sense(rest)[0] == "absolute" and not absolute:
        raise QuantityError(absolute_words(raw, Quantity(value, parse_unit(rest, True))))
    return _finite(value, parse_unit(re.sub(r"(?<=\S) +(?:per|an?|each|/) +", "/", rest), absolute), raw)


def refuse_water_flow(quantity: Any, given: str) -> Any:
    """The quantity, unless its unit tells a flow of water, which nobody uses for air.

    Raises QuantityError.
    """
    if str(quantity.units) in WATER_FLOWS:
        raise QuantityError(f"{quoted(given)} is a flow of water; a pump gives that, no compressor.",
                            f"Write free air in {either('cfm', 'L/min')}.", given=given)
    return quantity


def refuse_air_flow(quantity: Any, given: str) -> Any:
    """The quantity, unless its unit tells a flow of air, which nobody uses for water.

    Raises QuantityError.
    """
    if "cfm" in str(quantity.units):
        raise QuantityError(f"{quoted(given)} is a flow of air.",
                            f"Write the flow of water in {either('gpm', 'L/s')}.", given=given)
    return quantity


def fits(quantity: Any, unit: str) -> bool:
    """Whether a quantity can be told in a unit; a temperature is no difference of temperatures (F°), nor one it."""
    try:
        quantity.m_as(unit)
    except pint.DimensionalityError:
        return False
    return True


def unfit(quantity: Any, unit: str) -> str:
    """What a quantity that does not fit `unit` leaves open, to follow "cannot be 27°"; empty where nothing is clear."""
    if quantity.units == registry.degree and fits(Quantity(1.0, "degC"), unit):
        return ": say °F or °C"
    if quantity.dimensionless and fits(Quantity(1.0, "mg/L"), unit):
        return ", a share of what the water can hold: write mg/L"
    return ""


def read_number(text: str, unit: str, bare: str | None = None) -> float:
    """Plain number in `unit` of text such as ``"19 ft"``; `bare` is the unit of a number without one."""
    found = read_quantity(text, bare)
    if not fits(found, unit):
        raise QuantityError(f"{quoted(text)} does not measure what is asked for here. Write something like "
                            f"{_example(unit)}.")
    return found.m_as(unit)


def Q(value: Any, unit: str | None = None) -> Any:
    """Make a quantity: ``Q("19 ft")``, ``Q(19, "ft")`` or ``Q([1, 2], "mg/L")``."""
    if isinstance(value, str):
        return read_quantity(value, parse_unit(unit) if unit else None)
    if unit is None:
        raise QuantityError(f"{value!r} has no unit. Write Q({value!r}, 'ft') or Q('{value} ft').")
    return Quantity(np.asarray(value, float) if np.ndim(value) else value, parse_unit(unit))


def _example(unit: str) -> str:
    """How to write a quantity of this dimension, in a US and a metric unit."""
    dims = Quantity(1, unit).dimensionality
    for us, metric in KINDS.values():
        if Quantity(1, us).dimensionality == dims:
            pair = dict.fromkeys((unit_label(us), unit_label(metric)))
            return " or ".join(f"'10 {label}'".replace(" '", "'") for label in pair)
    return f"'10 {unit_label(unit)}'"


def _convert(value: Any, unit: str, name: str, owner: str) -> Any:
    """One argument, as a reader gives it, in the unit the function works in."""
    if isinstance(value, str):
        if "absolute" in name and _pressure_sense(re.sub(r"^[-+−\d.,\s]+", "", value))[0] == "gauge":
            raise QuantityError(f"{name} is an absolute pressure, and {quoted(value)} is what a gauge shows, which "
                                f"reads zero in open air (psig). Add the air pressure, {either('14.7 psi', '101 kPa')} "
                                "at sea level.", by=owner)
        try:
            value = read_quantity(value, "dimensionless" if unit == "" else None, "absolute" in name)
        except QuantityError as problem:
            raise QuantityError(problem.why, problem.do, given=problem.given, by=f"{owner}: {name}") from None
    elif isinstance(value, (list, tuple)) and value and isinstance(value[0], (str, Quantity)):
        return np.array([_convert(item, unit, name, owner) for item in value])
    if not isinstance(value, Quantity):
        if unit == "" or isinstance(value, bool):
            return value
        if np.ndim(value) == 0 and not isinstance(value, (int, float, np.number)):
            raise QuantityError(f"{name} needs a number with a unit, such as {_example(unit)}; it was given "
                                f"{'nothing' if value is None else quoted(value)}.", by=owner)
        given = value if np.ndim(value) == 0 else "a list of bare numbers"
        raise QuantityError(f"{name} needs a unit. It was given {given}.", f"Write {_example(unit)}.", by=owner)
    try:
        return value.m_as(unit or "dimensionless")
    except pint.DimensionalityError:
        raise QuantityError(f"{name} cannot be {value:~P}: it must be something like {_example(unit)}.",
                            given=f"{value:~P}", allowed=_example(unit), by=owner) from None


@functools.cache
def _field_units(cls: Any) -> list[Any]:
    """What each field of a result class is given in: the mark of its ``Annotated`` type, None where there is none."""
    hints = get_type_hints(cls, include_extras=True)
    return [next(iter(getattr(hints.get(name), "__metadata__", ())), None) for name in cls._fields]


def _attach(result: Any, gives: Any) -> Any:
    if gives is None:
        return result
    if isinstance(gives, type):
        return type(result)(*(_attach(item, unit) for item, unit in zip(result, _field_units(gives), strict=True)))
    if isinstance(result, Range):
        return Range(*(_attach(item, gives) for item in result))
    return Quantity(result, gives or "dimensionless")


def quantities(gives: Any = None, **units: str) -> Callable[[Any], Any]:
    """Declare the unit of each argument, and of the result, of a function of plain numbers.

    The function stays as it is; :func:`asked` makes of it one that takes text and quantities.

    gives (str, class or None): Unit of the result; a result class, whose fields say their units as
        ``Annotated[type, "unit"]``; None to pass it on as it is.
    **units: Unit of each argument that has one; ``""`` for a pure number, which may come bare.

    >>> @quantities(depth="m", density="kg/m^3", gives="Pa")
    ... def static_pressure(depth, density=1000.0):
    ...     return density * 9.80665 * depth
    >>> round(static_pressure(3.048))
    29891
    >>> round(asked(static_pressure)("10 ft").m_as("psi"), 2)
    4.34
    """
    def decorate(function: Any) -> Any:
        unknown = set(units) - set(inspect.signature(function).parameters)
        if unknown:
            raise TypeError(f"{function.__name__} has no argument {sorted(unknown)}")
        function.units, function.gives = units, gives
        return function
    return decorate


def record(**units: str) -> Callable[[Any], Any]:
    """Make a frozen dataclass of plain numbers that says the unit of each field.

    A method ``check`` is called on creation; ``line.quantity("length")`` gives a field back with its unit;
    ``asked(Line)("100 ft", "5/8 in")`` makes one from what a person writes.
    """
    def decorate(cls: Any) -> Any:
        if hasattr(cls, "check"):
            cls.__post_init__ = lambda self: self.check()
        cls = dataclasses.dataclass(frozen=True)(cls)
        cls.units, cls.gives = units, None
        cls.quantity = lambda self, name: Quantity(getattr(self, name), units[name] or "dimensionless")
        return cls
    return decorate


@functools.cache
def asked(declared: Any) -> Any:
    """The door of a function or class that declares its units: text such as ``"19 ft"`` and quantities in, and out.

    It refuses a number without a unit and a unit that measures something else. What it was made of is its ``si``.
    """
    signature = inspect.signature(declared)

    @functools.wraps(declared, updated=())
    def door(*args: Any, **kwargs: Any) -> Any:
        bound = signature.bind(*args, **kwargs)
        for name, value in bound.arguments.items():
            if name in declared.units and not (value is None and signature.parameters[name].default is None):
                bound.arguments[name] = _convert(value, declared.units[name], name, declared.__name__)
        return _attach(declared(*bound.args, **bound.kwargs), declared.gives)

    vars(door).update(units=declared.units, si=declared)
    return door


def why_refused(function: Callable[..., Any], *args: Any, **kwargs: Any) -> str:
    """The message a function refuses these arguments with; for teaching what a refusal looks like."""
    try:
        function(*args, **kwargs)
    except ValueError as problem:
        return str(problem)
    raise AssertionError(f"{function.__name__} accepted {args}, so there is no refusal to show.")


def to_display(value_si: Any, kind: str, unit_si: str, system: str = "US") -> Any:
    """Plain number in the unit a reader sees. `unit_si` is the unit `value_si` is in."""
    return Quantity(value_si, unit_si).m_as(KINDS[kind][system != "US"])


def from_display(value: Any, kind: str, unit_si: str, system: str = "US") -> Any:
    """Plain number in `unit_si` from the number a reader sees; the inverse of :func:`to_display`."""
    return Quantity(value, KINDS[kind][system != "US"]).m_as(unit_si)


def round_significant(value: float, digits: int = 3) -> float:
    """Round to a number of significant figures; 0 and not-a-number pass through."""
    if value == 0 or not math.isfinite(value):
        return value
    return round(value, digits - 1 - math.floor(math.log10(abs(value))))


def format_number(value: float, digits: int = 3) -> str:
    """Text of a number at 2-4 significant figures, with thousands commas and no exponent."""
    if not math.isfinite(value):
        return "no value"
    value = 0.0 if abs(value) < 5e-9 else round_significant(float(value), digits)     # 32 °F is 5.7e-14 °C
    decimals = 0 if value == 0 else max(0, digits - 1 - math.floor(math.log10(abs(value))))
    return f"{value:,.{min(decimals, 8)}f}"


def _quantity(value: Any, kind: str) -> Any:
    """What is to be shown: text is read, and a plain number is in the unit its kind has inside the package."""
    if isinstance(value, str):
        return read_quantity(value)
    return value if isinstance(value, Quantity) else Quantity(float(value), INSIDE[kind] or "dimensionless")


def _with_label(number: str, unit: str) -> str:
    label = unit_label(unit)
    if unit.startswith("dollar"):
        sign = "-" if number.startswith("-") else ""
        return f"{sign}${number.removeprefix('-')}{label[1:]}"
    return f"{number}{'' if label == '%' else ' '}{label}".rstrip()


def show(quantity: Any, kind: str, system: str | None = None, digits: int = 3, both: bool = False) -> str:
    """Text of a quantity in the reader's units, such as ``5.37 acre-ft (6,620 m³)``.

    quantity (pint.Quantity or str).
    kind: What the number is about, a key of :data:`KINDS`; decides the unit.
    system ({"US", "metric"}): By default US; with `both`, the reader's first.
    digits: Significant figures, default 3.
    both: Add the other system in brackets.
    """
    quantity = _quantity(quantity, kind)
    first = system or (reader() if both else "US")
    order = KINDS[kind] if first == "US" else KINDS[kind][::-1]
    shown = [_with_label(format_number(quantity.m_as(unit), digits), unit) for unit in order]
    return f"{shown[0]} ({shown[1]})" if both and shown[0] != shown[1] else shown[0]


def length_text(metres: float, digits: int = 3) -> str:
    """A length (m) in feet and metres, as ``14.5 ft (4.42 m)``."""
    return show(Q(float(metres), "m"), "depth", digits=digits, both=True)


def show_range(low: Any, high: Any, kind: str, system: str = "US", digits: int = 2) -> str:
    """Text of a range in the reader's units, such as ``13 to 16 acre-ft``; one number where the ends look alike."""
    unit = KINDS[kind][system != "US"]
    ends = [format_number(_quantity(end, kind).m_as(unit), digits) for end in (low, high)]
    if ends[0] == ends[1]:
        return _with_label(ends[0], unit)
    return _with_label(f"{ends[0]} to {'$' if unit.startswith('dollar') else ''}{ends[1]}", unit)


def write_quantity(quantity: Any, digits: int = 6) -> str:
    """Text for a file, such as ``12.4 acre_foot``; :func:`read_quantity` reads it back."""
    unit = next((u for u in SPELLINGS if registry.Unit(u) == quantity.units), None)
    if unit is None:
        raise QuantityError(f"No accepted spelling for the unit {quantity.units}.")
    if not math.isfinite(quantity.magnitude):
        raise QuantityError(f"There is no number to write down in {unit_label(unit)}: it is missing or endless.")
    return f"{quantity.magnitude:.{digits}g} {unit.replace(' ', '')}"
