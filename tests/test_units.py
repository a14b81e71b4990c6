"""Units at the door. Conversion factors are exact definitions or from the sources named."""

import math
import re
from typing import Annotated, NamedTuple

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondcalc import units
from pondcalc.units import Q, QuantityError, Range, asked, quantities, read_quantity, record, show


@asked
@quantities(depth="m", density="kg/m^3", gives="Pa")
def static_pressure(depth, density=1000.0):
    return density * 9.80665 * depth


@asked
@quantities(pressure_gauge="Pa", pressure_absolute="Pa", gives="Pa")
def either(pressure_gauge=0.0, pressure_absolute=0.0):
    return pressure_gauge + pressure_absolute


# 1 ft = 0.3048 m exactly (Federal Register 85(193), 2020, p. 62698); the rest follow by arithmetic:
# acre 43,560 ft2, acre-ft 43,560 ft3, gallon 231 in3, pound 0.45359237 kg. psi: lbf/in2.
EXACT = [
    ("1 ft", "m", 0.3048), ("1 acre", "m^2", 4046.8564224), ("1 acre-ft", "m^3", 1233.48183754752),
    ("1 gal", "L", 3.785411784), ("1 acre-ft", "gallon", 43560 * 1728 / 231), ("1 cfm", "m^3/s", 0.3048**3 / 60),
    ("1 gpm", "m^3/s", 0.003785411784 / 60), ("1 psi", "Pa", 0.45359237 * 9.80665 / 0.0254**2),
    ("1 mg/L", "g/m^3", 1.0), ("68 F", "degC", 20.0), ("20 °C", "degF", 68.0), ("1 kWh", "J", 3.6e6),
    ("1 hp", "W", 550 * 0.3048 * 0.45359237 * 9.80665), ("1 mph", "m/s", 0.44704),
    ("12 inH2O", "Pa", 12 * 249.08891), ("760 mmHg", "Pa", 101325.0), ("1 lb/acre", "kg/hectare", 1.12085),
]


@pytest.mark.parametrize(("text", "unit", "expected"), EXACT)
def test_trade_units_have_their_defined_size(text, unit, expected):
    assert read_quantity(text).m_as(unit) == pytest.approx(expected, rel=2e-6)


# what stock pint makes of these words: centi-femto-metre, atto-lightspeed, coulomb, farad, unknown
@pytest.mark.parametrize(("text", "dimension"), [
    ("4 cfm", "[length]**3/[time]"), ("4 scfm", "[length]**3/[time]"), ("3 ac", "[length]**2"),
    ("20 C", "[temperature]"), ("70 F", "[temperature]"), ("9 psig", "[mass]/[length]/[time]**2"),
    ("30 gpm", "[length]**3/[time]"), ("12 ac-ft", "[length]**3"), ("8 ppm", "[mass]/[length]**3")])
def test_words_that_pint_misreads_mean_what_the_trade_means(text, dimension):
    assert read_quantity(text).check(dimension)


@pytest.mark.parametrize(("text", "feet"), [
    ("19 ft", 19), ("19'", 19), ("12 ft 6 in", 12.5), ("12'6\"", 12.5), ("1,250 feet", 1250), (" 3.5ft ", 3.5),
    ("1/2 ft", 0.5), ("1-1/4 ft", 1.25), ("2 1/2 feet", 2.5), ("-3 ft", -3), ("−3 ft", -3), ("1e2 ft", 100),
    ("5/8 in", 0.625 / 12), ("3 yd", 9), (".5 ft", 0.5)])
def test_ways_people_write_lengths(text, feet):
    assert read_quantity(text).m_as("foot") == pytest.approx(feet)


@pytest.mark.parametrize(("text", "says"), [
    ("19", "no unit"), ("ft", "does not start with a number"), ("", "does not start with a number"),
    ("19 fet", "Did you mean 'feet'"), ("3,2 ft", "comma"), ("5/0 in", "divides by zero"),
    ("8 parsec", "not a unit this set knows"), ("__import__('os') ft", "does not start with a number")])
def test_unreadable_text_is_refused_with_advice(text, says):
    with pytest.raises(QuantityError, match=says):
        read_quantity(text)


def test_function_takes_quantities_or_text_and_gives_a_quantity():
    assert static_pressure("10 m").m_as("Pa") == pytest.approx(98066.5)
    assert static_pressure(Q(10, "m")).m_as("kPa") == pytest.approx(98.0665)
    assert static_pressure(Q([1, 2], "m")).m_as("Pa") == pytest.approx([9806.65, 19613.3])
    assert static_pressure(["1 m", "2 m"]).m_as("Pa") == pytest.approx([9806.65, 19613.3])
    assert static_pressure.si(10) == pytest.approx(98066.5)
    assert not hasattr(static_pressure.si(10), "units")


@pytest.mark.parametrize(("given", "says"), [
    (10, "depth needs a unit"), ("10", "no unit"), ("10 psi", "depth cannot be"), ([1, 2], "bare numbers"),
    (None, "needs a number with a unit"), (Q(3, "acre"), "depth cannot be")])
def test_a_bare_or_wrong_argument_is_refused_by_name(given, says):
    with pytest.raises(QuantityError, match=says) as caught:
        static_pressure(given)
    assert "static_pressure" in str(caught.value)
    assert "'10 ft' or '10 m'" in str(caught.value) or "19 ft" in str(caught.value)


def test_gauge_and_absolute_words_are_checked_against_the_name():
    assert either(pressure_gauge="9 psig").m_as("psi") == pytest.approx(9)
    with pytest.raises(QuantityError, match="gauge"):
        either(pressure_gauge="24 psia")
    with pytest.raises(QuantityError, match="absolute"):
        either(pressure_absolute="9 psig")


def test_a_misspelt_declaration_is_caught_when_the_module_loads():
    with pytest.raises(TypeError, match="dpeth"):
        quantities(dpeth="m")(lambda depth: depth)


class Pair(NamedTuple):
    depth: Annotated[float, "m"]
    said: str


def test_ranges_and_results_come_back_with_units():
    @asked
    @quantities(depth="m", gives="m")
    def spread(depth):
        return Range(depth * 0.5, depth, depth * 2)

    @asked
    @quantities(depth="m", gives=Pair)
    def pair(depth):
        return Pair(depth, "said")
    assert spread("2 m").high.m_as("m") == 4
    assert pair("2 m").depth.m_as("m") == 2 and pair("2 m").said == "said"


def test_records_take_quantities_and_keep_plain_numbers():
    @record(length="m", bore="m")
    class Line:
        length: float
        bore: float = 0.02

        def check(self):
            if self.length <= 0:
                raise ValueError("length must be positive")
    line = asked(Line)("100 ft", "5/8 in")
    assert line.length == pytest.approx(30.48) and line.bore == pytest.approx(0.015875)
    assert line.quantity("length").m_as("foot") == pytest.approx(100)
    assert Line(3.0).length == 3.0
    door = asked(Line)
    for wrong in (lambda: door(100), lambda: door("100 psi"), lambda: door("-1 ft"), lambda: Line(-1)):
        with pytest.raises(ValueError):
            wrong()
    with pytest.raises(AttributeError):
        line.length = 3


def test_display_in_both_systems():
    assert show("12.4 acre_foot", "volume") == "12.4 acre-ft"
    assert show("12.4 acre_foot", "volume", "metric") == "15,300 m³"
    assert show("12.4 acre_foot", "volume", both=True) == "12.4 acre-ft (15,300 m³)"
    assert show("0 F", "temperature", "metric") == "-17.8 °C"
    assert show("8.26 mg/L", "oxygen", both=True) == "8.26 mg/L"
    assert show(Q(0.173, "$/kWh"), "price") == "$0.173/kWh"
    assert units.show_range("12 acre_foot", "15 acre_foot", "volume") == "12 to 15 acre-ft"
    assert units.show_range("120 $", "340 $", "money") == "$120 to $340"
    assert units.show_range("1.001 %", "1.002 %", "share") == "1.0%", "ends that look alike are one number"
    assert units.show_range("120 $", "120.1 $", "money") == "$120"


@pytest.mark.parametrize(("value", "text"), [(0, "0"), (1234567, "1,230,000"), (0.0001234, "0.000123"),
                                             (9.996, "10.0"), (-2.5, "-2.50"), (math.nan, "no value")])
def test_number_text(value, text):
    assert units.format_number(value) == text


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(units.SPELLINGS)))
def test_what_is_written_can_be_read_back(value, unit):
    quantity = units.Quantity(value, unit)
    again = read_quantity(units.write_quantity(quantity, digits=17), "dimensionless")
    assert again.units == quantity.units and again.magnitude == pytest.approx(value, abs=1e-300)


@pytest.mark.parametrize("unit", sorted(units.SPELLINGS))
def test_every_spelling_is_read_as_its_unit_and_written_so_that_it_reads_again(unit):
    label, words = units.SPELLINGS[unit]
    spoken = [word.replace("/", f" {per} ") for word in (label, unit, *words.split()) for per in ("per", "a")]
    for word in {label, unit, *words.split(), *spoken}:
        for text in (f"-2.5 {word}", f"-2.5 {word.replace('_', ' ')}"):
            found = read_quantity(text, "dimensionless")
            assert (found.magnitude, found.units) == (-2.5, units.Quantity(1, unit).units), text
        again = read_quantity(units.write_quantity(found), "dimensionless")
        assert (again.magnitude, again.units) == (found.magnitude, found.units), word


@pytest.mark.parametrize(("text", "same"), [
    ("4 cubic feet per minute", "4 cfm"), ("4 cubic feet a minute", "4 cfm"), ("30 gallons per minute", "30 gpm"),
    ("10 miles per hour", "10 mph"), ("10 miles an hour", "10 mph"), ("8 litres per minute", "8 L/min"),
    ("3 feet per second", "3 ft/s"), ("8 milligrams per liter", "8 mg/L"), ("9 pounds per square inch", "9 psi"),
    ("200 pounds per acre", "200 lb/acre"), ("5 kg per hectare", "5 kg/ha"), ("0.15 dollars per kWh", "$0.15/kWh"),
    ("1 cubic meter per second", "1 m3/s"), ("400 watts per square meter", "400 W/m2")])
def test_a_ratio_may_be_written_out(text, same):
    found, plain = read_quantity(text), read_quantity(same)
    assert (found.magnitude, found.units) == (plain.magnitude, plain.units)


@given(st.text(max_size=30))
def test_no_text_reaches_an_interpreter_or_an_odd_error(text):
    try:
        read_quantity(text)
    except QuantityError:
        pass


@given(st.floats(-1e3, 1e3), st.sampled_from(sorted(units.KINDS)), st.sampled_from(["US", "metric"]))
def test_display_and_back_is_the_same_number(value, kind, system):
    unit = units.KINDS[kind][0]
    shown = units.to_display(value, kind, unit, system)
    assert units.from_display(shown, kind, unit, system) == pytest.approx(value, abs=1e-9)


# NIST SP 811 (2008), B.8, for what stock pint lacks; mgd is 10^6 gal/d of 4.381264E-08 m3/s, acre-ft 43,560 ft3
SP_811 = {"acre_foot": (1233.4818, "m^3"), "cfm": (4.719474e-4, "m^3/s"), "gpm": (6.309020e-5, "m^3/s"),
          "mgd": (4.381264e-2, "m^3/s"), "inch_water": (249.08891, "Pa"),
          "acre_foot / day": (1233.4818 / 86400, "m^3/s")}
MONEY = {"dollar": "m", "us_cent": "centimeter"}           # 100 cents a dollar: the same factor as these


@pytest.fixture(scope="module")
def stock():
    return pint.UnitRegistry()


@pytest.mark.parametrize("unit", sorted(units.SPELLINGS))
def test_every_factor_is_that_of_stock_pint_or_nist(unit, stock):
    ours = [units.registry.Quantity(x, unit).to_base_units().magnitude for x in (1.0, 100.0)]
    if unit in SP_811:
        factor, base = SP_811[unit]
        theirs = [x * stock.Quantity(factor, base).to_base_units().magnitude for x in (1.0, 100.0)]
    else:
        text = re.sub(r"\b(dollar|us_cent)\b", lambda found: MONEY[found[0]], unit)
        theirs = [stock.Quantity(x, text).to_base_units().magnitude for x in (1.0, 100.0)]
    assert ours == pytest.approx(theirs, rel=5e-6)


def test_every_spelling_has_one_meaning():
    seen = {}
    for unit, (label, words) in units.SPELLINGS.items():
        for word in {label.lower(), *words.lower().split()}:
            assert seen.setdefault(word, unit) == unit, f"{word!r} means both {seen[word]} and {unit}"


def test_arrays_convert():
    assert np.allclose(static_pressure(Q(np.arange(3), "ft")).m_as("Pa"), 9806.65 * 0.3048 * np.arange(3))


@pytest.mark.parametrize("text, unit, value", [
    ("1 ft3", "foot ** 3", 1.0), ("2.5 ft2", "foot ** 2", 2.5), ("1' 3", "foot", 1.25),
    ("1 ft3 in", "foot", 1.25), ("1'3", "foot", 1.25)])
def test_square_and_cubic_feet_are_not_inches(text, unit, value):
    assert Q(text).m_as(unit) == pytest.approx(value)
def test_freezing_is_zero_and_not_a_row_of_zeros():
    assert show(Q("32 F"), "temperature", "metric") == "0 °C"


# 1 US gallon = 231 in3 exactly, 1 in = 2.54 cm exactly, so 1 gal = 3.785411784 L; 1 acre-ft = 43,560 ft3
# (NIST Special Publication 811, Appendix B.8); the rest is 60 minutes and 24 hours
FLOWS = [("180000 gal/h", 3000.0, "gpm"), ("180,000 gal/hr", 3000.0, "gpm"), ("180000 gph", 3000.0, "gpm"),
         ("180,000 gallons per hour", 3000.0, "gpm"), ("3000 gallons a minute", 3000.0, "gpm"),
         ("1440 gal/day", 1.0, "gpm"), ("1440 gallons per day", 1.0, "gpm"), ("1440 gpd", 1.0, "gpm"),
         ("1.44 million gal/day", 1000.0, "gpm"), ("1.44 million gallons per day", 1000.0, "gpm"),
         ("1.44 mgd", 1000.0, "gpm"), ("1.44 MGD", 1000.0, "gpm"), ("1 gpm", 3.785411784, "L/min"),
         ("1 acre-ft/day", 43560 * 7.48051948 / 1440, "gpm"), ("1 acre-foot per day", 43560 * 7.48051948 / 1440, "gpm"),
         ("1 cfs", 448.83, "gpm"), ("2 cubic feet per second", 2 * 448.83, "gpm"), ("86.4 m3/d", 1.0, "L/s"),
         ("3600 L/h", 1.0, "L/s"), ("3.6 cubic meters per hour", 1.0, "L/s"), ("0.06 m³/min", 1.0, "L/s")]
AIR = [("4 scfm", 4.0, "cfm"), ("240 CFH", 4.0, "cfm"), ("240 scfh", 4.0, "cfm"), ("240 cu ft/hr", 4.0, "cfm"),
       ("4 cubic feet a minute", 4.0, "cfm"), ("4 cu. ft. per minute", 4.0, "cfm"), ("113.267 LPM", 4.0, "cfm"),
       ("113.267 liters per minute", 4.0, "cfm"), ("6.79604 m3/hr", 4.0, "cfm"), ("6.79604 cmh", 4.0, "cfm")]
LENGTHS = [("12' 6\"", 12.5, "ft"), ("12 ft 6 in", 12.5, "ft"), ("12 feet and 6 inches", 12.5, "ft"),
           ("12′ 6″", 12.5, "ft"), ("12' 6 1/2\"", 12.0 + 6.5 / 12, "ft"), ("12 ft 1/2 in", 12.0 + 0.5 / 12, "ft"),
           ("6 1/2 in", 6.5, "in"), ("6½ in", 6.5, "in"), ("1/2\"", 0.5, "in"), ("½ inch", 0.5, "in"),
           ("2.5 acres", 2.5, "acre"), ("2 1/2 ac", 2.5, "acre"), ("2½ acres", 2.5, "acre"), ("43560 sf", 1.0, "acre")]
WARMTH = [(text, 27.7778, "C") for text in ("82F", "82 °F", "82 º F", "82 deg F", "82 degrees F",
                                            "82 degrees Fahrenheit")] + [("28 degrees C", 82.4, "F")]


@pytest.mark.parametrize(("text", "value", "unit"), FLOWS + AIR + LENGTHS + WARMTH)
def test_the_ways_people_write_it(text, value, unit):
    assert Q(text).m_as(units.parse_unit(unit)) == pytest.approx(value, rel=2e-5)


@pytest.mark.parametrize(("text", "says"), [
    ("7 Nm3/h", "0 °C in some places"), ("113 slpm", "data sheet"),      # 293.15 K / 273.15 K = 1.073
    ("12 - 14 ft", "two numbers"), ("12 to 14 ft", "two numbers"), ("2,5 acres", "comma"), ("12 ft 1/2", "not a unit"),
    ("5 gal/psi", "not a unit"), ("3/0 in", "divides by zero")])
def test_what_may_mean_two_things_is_refused_with_advice(text, says):
    with pytest.raises(QuantityError, match=says):
        Q(text)


def test_a_bare_degree_is_not_taken_for_a_temperature():
    assert not Q("82 degrees").check(Q("82 F").dimensionality)


@pytest.mark.parametrize("text", ["5'-6\"", "5 ft-6 in", "5’-6”", "5'-6 1/2\""])
def test_feet_and_inches_may_be_joined_by_a_dash(text):
    assert read_quantity(text).m_as("inch") == pytest.approx(66.5 if "1/2" in text else 66)


@pytest.mark.parametrize("text", ["5 ft - 6 ft", "5'-6", "5-6 ft"])
def test_a_span_of_feet_is_not_taken_for_feet_and_inches(text):
    with pytest.raises(QuantityError):
        read_quantity(text)


def test_constants_for_plain_numbers_are_those_of_the_units_library():
    for name, unit, inside in (("FOOT", "foot", "m"), ("INCH", "inch", "m"), ("ACRE", "acre", "m^2"),
                               ("POUND", "pound", "kg"), ("PSI", "psi", "Pa"), ("CFM", "cfm", "m^3/s"),
                               ("GPM", "gpm", "m^3/s"), ("HOUR", "hour", "s"), ("DAY", "day", "s"),
                               ("YEAR", "year", "s")):
        assert getattr(units, name) == pytest.approx(Q(1.0, unit).m_as(inside), rel=1e-12), name


def test_money_below_zero_has_its_sign_before_the_dollar():
    assert show("-5 $", "money", digits=1) == "-$5"


def test_a_wind_in_knots_is_a_wind():
    # 1 knot is 1852 m/h: NIST Special Publication 811 (2008), appendix B.8
    for text in ("10 knots", "10 kn", "10 kt"):
        assert read_quantity(text).m_as("m/s") == pytest.approx(18520 / 3600)
