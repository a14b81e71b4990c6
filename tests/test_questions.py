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
    # two readings carried on, by arithmetic
    ("02-how-much-oxygen", "dusk-to-dawn"): lambda: Q(8.2 - 7 * (9.4 - 8.2) / 3, "mg/L"),
    # 1 mg/L is 1 g/m3; an acre-foot is 43,560 cubic feet; a pound is 453.59237 g
    ("02-how-much-oxygen", "oxygen-held"): lambda: Q(8 * 43560 * 0.3048**3 * 6 / 453.59237, "lb"),
    # Mathias and Barica (1980), Can. J. Fish. Aquat. Sci. 37:185-195: 0.23 g/m2/d of bed and 0.01 g/m3/d
    ("02-how-much-oxygen", "ice-days"): lambda: Q((11 - 3.8) / (0.23 / 2 + 0.01), "day"),
    # 0.4328 psi a foot at 20 C: density 998.21 kg/m3 (IAPWS-95 through CoolProp), g 9.80665
    ("08-your-plan", "static"): lambda: Q(998.21 * 9.80665 * 12 * 0.3048, "Pa"),
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


def test_what_the_oxygen_questions_say_about_warm_water():
    # gsw (TEOS-10, Garcia and Gordon 1992) at sea level, umol/kg to mg/L, times the pressure at 1150 ft less vapor
    gsw = pytest.importorskip("gsw")
    reply = next(reply for words, right, reply in checks.question("02-how-much-oxygen", "warm-water").options
                 if "sugar" in words)
    for fahrenheit, said in ((60, "9.5"), (84, "7.4")):
        t = (fahrenheit - 32) / 1.8
        vapor = 0.61094 * math.exp(17.625 * t / (t + 243.04))            # kPa, Magnus form
        pressure = 101.325 * (1 - 2.25577e-5 * 1150 * 0.3048) ** 5.25588
        sea = float(gsw.O2sol_SP_pt(0, t)) * 31.9988e-3 * float(gsw.rho_t_exact(0, t, 0)) / 1000
        assert float(said) == pytest.approx(sea * (pressure - vapor) / (101.325 - vapor), abs=0.06) and said in reply
