"""Every number a question expects is recomputed here, by the route the solution gives or by the package."""

import math

import pytest

from pondcalc import checks, datafiles, handvolume
from pondcalc.units import Q

ANSWERS = {
    # two transects of Higginbotham, The Tale of the Tape (Texas Cooperative Extension): sum 76, n 23
    ("01-how-much-water", "transect-mean"): lambda: Q((0 + 2 + 3 + 6 + 6 + 8 + 7 + 5 + 3 + 1 + 0
                                                       + 0 + 1 + 1 + 1 + 3 + 4 + 8 + 6 + 6 + 4 + 1 + 0) / 23, "ft"),
    # Norland, Ohio State Univ. Extension Fact Sheet A-2: shoreline squared over 547,390
    ("01-how-much-water", "round-pond"): lambda: Q(520**2 / 547390, "acre"),
    ("01-how-much-water", "demo-volume"): lambda: handvolume.volume_from_mean_depth("2.4 acre", "6.4 ft"),
    # exact two-layer pond: 39.316 J/m2 on one acre is 159.1 kJ (scipy quad outside this set)
    ("05-warm-over-cold", "work-acre"): lambda: Q(159.1 / 3600, "kWh"),
    # arithmetic on shares of volume
    ("05-warm-over-cold", "mixed-oxygen"): lambda: Q((6 * 7.0 + 4 * 0.2) / 10, "mg/L"),
    ("05-warm-over-cold", "after-demand"): lambda: Q((6 * 7.0 + 4 * (0.2 - 3)) / 10, "mg/L"),
    # 4.18 MJ per m3 and C (CoolProp: 998.2 kg/m3 x 4184 J/(kg K) = 4.177 MJ at 20 C)
    ("05-warm-over-cold", "days-left"): lambda: Q(998.2 * 4184 * 5 * 0.3048 * (10 / 1.8) / 100 / 86400, "day"),
    # 0.4328 psi a foot at 20 C: density 998.21 kg/m3 (IAPWS-95 through CoolProp), g 9.80665
    ("08-your-plan", "static"): lambda: Q(998.21 * 9.80665 * 12 * 0.3048, "Pa"),
    ("07-first-start-and-the-year", "blend"): lambda: Q((2 * 8 - 0.5 * 2) / 2.5, "mg/L"),
    ("07-first-start-and-the-year", "quarter"): lambda: Q(6.47 / 4 * 43560 / (1430 * 231 / 1728 * 60), "h"),
    # one part in a million of the weight of ten acre-feet: 43,560 ft3 of 62.43 lb/ft3 (water at 39 F) each
    ("07-first-start-and-the-year", "dose"): lambda: Q(10 * 43560 * 62.43 * 1e-6, "lb"),
    ("07-first-start-and-the-year", "blocks"): lambda: Q(20 / 5, "dimensionless"),
    # Mathias and Barica 1980, Can. J. Fish. Aquat. Sci. 37:185-195 (abstract): 0.23 g/m2/d over depth + 0.01 g/m3/d
    ("07-first-start-and-the-year", "winter-loss"): lambda: Q(30 * (0.23 / 1.95 + 0.01), "mg/L"),
    # 250 W all year at 17.3 cents: 2,190 kWh, $378.87 by arithmetic
    ("08-your-plan", "cost"): lambda: Q(0.250 * 8760 * 0.173, "$/yr"),
}
BOOKS = sorted(path.stem for path in datafiles.path("questions/00-start-here.json").parent.glob("*.json"))
NUMBERS = [(book, name) for book in BOOKS
           for name, asked in checks.load(book).items() if isinstance(asked, checks.Number)]


@pytest.mark.parametrize(("book", "name"), NUMBERS)
def test_the_expected_number_is_right(book, name):
    asked = checks.question(book, name)
    right = ANSWERS[book, name]()
    expected = right.to_base_units().magnitude
    assert asked.answer.to_base_units().magnitude == pytest.approx(expected, rel=asked.within / 3)


def test_no_answer_is_left_over():
    assert set(ANSWERS) == set(NUMBERS)


def test_the_slips_are_what_the_replies_say():
    slips = {reply: value for value, reply in checks.question("01-how-much-water", "round-pond").slips}
    values = [v.m_as("acre") for v in slips.values()]
    radius = 520 / math.pi                                   # the slip: shoreline = pi r
    assert values[0] == pytest.approx(math.pi * radius**2 / 43560, rel=0.01)
    assert values[1] == pytest.approx(520**2 / 43560, rel=0.01)
