"""Every number a question expects is recomputed here, by the route the solution gives or by the package."""

import ast
import math
import re
from pathlib import Path

import pytest

from pondcalc import catalogue, checks, datafiles, record
from pondcalc.controls import pond, quiz, the_year
from pondcalc.controls import power_and_housing as hands
from pondcalc.controls.page import PageUnits
from pondcalc.door import handvolume
from pondcalc.the_year import yearcase
from pondcalc.units import Q
from pondcalc.your_plan import plan

ANSWERS = {
    # two transects of Higginbotham, The Tale of the Tape (Texas Cooperative Extension): sum 76, n 23
    ("01-how-much-water", "transect-mean"): lambda: Q((0 + 2 + 3 + 6 + 6 + 8 + 7 + 5 + 3 + 1 + 0
                                                       + 0 + 1 + 1 + 1 + 3 + 4 + 8 + 6 + 6 + 4 + 1 + 0) / 23, "ft"),
    # Norland, Ohio State Univ. Extension Fact Sheet A-2: shoreline squared over 547,390
    ("01-how-much-water", "round-pond"): lambda: Q(520**2 / 547390, "acre"),
    ("01-how-much-water", "demo-volume"): lambda: handvolume.volume_from_mean_depth("2.4 acre", "6.4 ft"),
    # 19 ft at 20 C: density 998.21 kg/m3 (IAPWS-95 through CoolProp), g 9.80665
    ("04-back-pressure-and-line-size", "submergence"): lambda: Q(998.21 * 9.80665 * 19 * 0.3048, "Pa"),
    ("04-back-pressure-and-line-size", "at-height"): lambda: Q(8.2 + 1.4, "psi"),
    # Crane TP-410, Table B-14 (0.094 psi) and its conversion rule, the fifth power of the bore
    ("04-back-pressure-and-line-size", "which-bore"): lambda: Q(0.094 * (0.824 / 0.669)**5, "psi"),
    # Boyle's law: density by absolute pressure
    ("04-back-pressure-and-line-size", "density"): lambda: Q(0.473 * 14.696 / (14.696 + 10), "psi"),
    ("04-back-pressure-and-line-size", "ask-for"): lambda: Q(1.15 * (12 * 998.21 * 9.80665 * 0.3048 / 6894.757
                                                                      + 0.80 + 0.23 + 0.01 + 0.29), "psi"),
    ("06-power-housing-and-cost", "watts"): lambda: Q(120 * 5.0 * 0.65, "W"),
    # 180 W for 8760 h at 16.48 cents (EIA 2024, Electric Power Annual, table 2.4, second-hand): $259.86
    ("06-power-housing-and-cost", "year"): lambda: Q(0.180 * 8760 * 0.1648, "$/yr"),
    # 1.93 ohm/kft: NEC Chapter 9, Table 8, solid 12 AWG at 75 C (reprint)
    ("06-power-housing-and-cost", "drop"): lambda: Q(2 * 0.100 * 16 * 1.93, "V"),
    # 3.412142 Btu/h a watt over 0.075 lb/ft3 x 0.24 Btu/(lb F) x 60; a fan application page says 35 cfm at 200 W, 10 C
    ("06-power-housing-and-cost", "fan"): lambda: Q(3.412142 * 200 / (0.075 * 0.24 * 60 * 18), "cfm"),
    # ASHRAE, 1997, Fundamentals, p. 25.13, eq. 37: C 0.65, half of 2 ft to the neutral level, 20 F over 95 F
    ("06-power-housing-and-cost", "vents-only"): lambda: Q(
        34.3 / (60 * 0.65 / 144 * math.sqrt(2 * 32.174 * 1.0 * 20 / (115 + 459.67))), "in2"),
    ("03-bubbles-and-oxygen-transfer", "rise-time"): lambda: Q(14 / (0.75 + 1.20), "s"),
    # oxygen in 1 cfm of free air: 1.2041 kg/m3 of dry air (ISO 2533 gas constant, 20 C, 1 atm), 23.14 % oxygen by mass
    ("03-bubbles-and-oxygen-transfer", "oxygen-given"):
        lambda: Q(4 * 0.15 * 1.2041 * 0.2314 * 0.3048**3 * 60, "kg/h"),
    ("03-bubbles-and-oxygen-transfer", "field-rate"): lambda: Q(0.50 * 0.90 * 1.20 * 0.40, "lb/h"),
    # an acre-foot is 43,560 cubic feet, a gallon 231 cubic inches
    ("03-bubbles-and-oxygen-transfer", "turnover"): lambda: Q(15 * 43560 * 1728 / 231 / 5000 / 60, "h"),
    # two readings carried on, by arithmetic
    ("02-how-much-oxygen", "dusk-to-dawn"): lambda: Q(8.2 - 7 * (9.4 - 8.2) / 3, "mg/L"),
    # 1 mg/L is 1 g/m3; an acre-foot is 43,560 cubic feet; a pound is 453.59237 g
    ("02-how-much-oxygen", "oxygen-held"): lambda: Q(8 * 43560 * 0.3048**3 * 6 / 453.59237, "lb"),
    # Mathias and Barica (1980), Can. J. Fish. Aquat. Sci. 37:185-195: 0.23 g/m2/d of bed and 0.01 g/m3/d
    ("02-how-much-oxygen", "ice-days"): lambda: Q((11 - 3.8) / (0.23 / 2 + 0.01), "day"),
    # exact two-layer pond: 39.316 J/m2 on one acre is 159.1 kJ (scipy quad outside this set)
    ("05-warm-over-cold", "work-acre"): lambda: Q(159.1 / 3600, "kWh"),
    # arithmetic on shares of volume
    ("05-warm-over-cold", "mixed-oxygen"): lambda: Q((6 * 7.0 + 4 * 0.2) / 10, "mg/L"),
    ("05-warm-over-cold", "after-demand"): lambda: Q((6 * 7.0 + 4 * (0.2 - 3)) / 10, "mg/L"),
    # 4.18 MJ per m3 and C (CoolProp: 998.2 kg/m3 x 4184 J/(kg K) = 4.177 MJ at 20 C)
    ("05-warm-over-cold", "days-left"): lambda: Q(998.2 * 4184 * 5 * 0.3048 * (10 / 1.8) / 100 / 86400, "day"),
    # 0.4328 psi a foot at 20 C: density 998.21 kg/m3 (IAPWS-95 through CoolProp), g 9.80665
    ("08-your-plan", "static"): lambda: Q(998.21 * 9.80665 * 12 * 0.3048, "Pa"),
    ("08-your-plan", "faded"): lambda: Q(1.15 * (998.21 * 9.80665 * 10 * 0.3048 / 6894.757 + 0.80 + 0.20 + 0.30),
                                         "psi"),
    ("07-first-start-and-the-year", "blend"): lambda: Q((2 * 8 - 0.5 * 2) / 2.5, "mg/L"),
    ("07-first-start-and-the-year", "quarter"): lambda: Q(6.47 / 4 * 43560 / (1370 * 231 / 1728 * 60), "h"),
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


def test_the_slips_of_pressure_are_what_the_replies_say():
    asked = checks.load("04-back-pressure-and-line-size")
    slips = {name: [value.m_as("psi") for value, _ in asked[name].slips]
             for name in ("submergence", "at-height", "which-bore", "density", "ask-for")}
    ratio = 0.824 / 0.669
    assert slips["submergence"] == pytest.approx([20 * 0.4328, 19 * 0.4328 + 14.696, 0.4328], rel=0.002)
    assert slips["at-height"] == pytest.approx([9.6 + 12.23, 9.6 + 14.7, 9.6 * 12.23 / 14.7, 8.2], rel=0.002)
    assert slips["which-bore"] == pytest.approx([0.094, 0.094 * ratio, 0.094 * ratio**2, 0.094 / ratio**5], rel=0.005)
    # 0.473: Darcy with 4 cfm at 14.7 psia in 100 ft of 5/8 in; the true 0.28 by fluids in tests/test_airline.py
    assert slips["density"] == pytest.approx([0.473, 0.473 * 24.7 / 14.7, 0.473 * 14.7 / 10], rel=0.005)
    assert slips["ask-for"] == pytest.approx([6.52, 0.15 * 6.52, 5.19 * 1.15, 7.5 + 14.7], rel=0.005)


def test_the_slips_are_what_the_replies_say():
    slips = {reply: value for value, reply in checks.question("01-how-much-water", "round-pond").slips}
    values = [v.m_as("acre") for v in slips.values()]
    radius = 520 / math.pi                                   # the slip: shoreline = pi r
    assert values[0] == pytest.approx(math.pi * radius**2 / 43560, rel=0.01)
    assert values[1] == pytest.approx(520**2 / 43560, rel=0.01)


def _slip(book, name, words):
    return next(value for value, reply in checks.question(book, name).slips if words in reply)


def test_the_slips_of_workbook_06_are_what_the_replies_say():
    book = "06-power-housing-and-cost"
    assert _slip(book, "watts", "divided").m_as("W") == pytest.approx(120 * 5 / 0.65, rel=0.01)
    assert _slip(book, "year", "one month").m_as("dollar/year") == pytest.approx(259.86 / 12, rel=0.01)
    # 12 AWG solid copper at 20 C: 1.59 ohm/kft (wire table, reprint), 1.588 by ASTM B258 and the 1913 copper standard
    assert _slip(book, "drop", "at 20 °C.").m_as("V") == pytest.approx(2 * 0.1 * 16 * 1.588, rel=0.01)
    assert _slip(book, "fan", "1.08").m_as("cfm") == pytest.approx(200 / (1.08 * 18), rel=0.01)
    assert _slip(book, "fan", "Celsius").m_as("cfm") == pytest.approx(1.7552 * 200 / 18, rel=0.01)


def test_the_slips_of_workbook_07_are_what_the_replies_say():
    book, gallons = "07-first-start-and-the-year", 6.47 * 43560 * 1728 / 231
    assert _slip(book, "quarter", "all of").m_as("h") == pytest.approx(gallons / 1370 / 60, rel=0.005)
    assert _slip(book, "quarter", "minutes").m_as("h") == pytest.approx(gallons / 4 / 1370, rel=0.005)
    assert _slip(book, "quarter", "3,000").m_as("h") == pytest.approx(gallons / 4 / 3000 / 60, rel=0.005)
    # atomic weights (IUPAC): copper 63.546 of 249.685 in CuSO4.5H2O
    assert _slip(book, "dose", "1 mg/L of copper").m_as("lb") == pytest.approx(27.19 * 249.685 / 63.546, rel=0.005)


def test_the_dawn_of_workbook_07_is_day_3_of_its_ladder():
    asked = checks.question("07-first-start-and-the-year", "dawn").ask
    told, read = (float(words) for words in
                  re.findall(r"([\d.]+) mg/L or more. The meter shows (\d\.\d)", asked)[0])
    box = the_year.ladder(record.demo())
    box.set_texts({"readings": "September: a thin lower layer"})
    row = yearcase.ladder_rows(box._model(**box.values).found.course)[2]
    assert "Day 3" in asked and row[0] == "3" and float(row[2]) == told > read > 4.5


def test_predictions_of_workbook_06_agree_with_its_explorers():
    box = hands.cabinet_heat(record.demo())
    warm = box._model(**box.values).cases[0][1]
    assert 60 <= warm <= 80, "the reply says 140 F or more"
    costs = hands.offer_costs(record.demo())
    able = [c for c in costs._model(**costs.values).costs if c.fits != "no"]
    best = min(able, key=lambda c: c.total.usual)
    assert best.offer.name == "new piston"
    assert best.usual.electricity / best.usual.total == pytest.approx(0.75, abs=0.1)
    assert not any(c.offer.name == "diaphragm" for c in able)


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


def test_predictions_and_slips_of_workbook_08():
    book = "08-your-plan"
    water = 10 * 998.21 * 9.80665 * 0.3048 / 6894.757
    slips = [value.m_as("psi") for value, _ in checks.question(book, "faded").slips]
    assert slips == pytest.approx([water + 1.3, 1.15 * water, 1.15 * (water + 1.3) + 14.7], rel=0.005)
    start = plan.choices_from(record.demo())
    one, two = plan.changed_plan(start, "One diffuser more, on the same air")
    # by the cube root of the air (Morton, Taylor and Turner 1956) two of half the air make 2^(2/3); as tanks measured
    # (2.7 times for 4.68 times the air, Milgram 1983, Table 1) 2^(1 - 0.643)
    assert 2 ** (1 - 0.643) < two.lifted.usual / one.lifted.usual < 2 ** (2 / 3)
    assert two.lifted.usual / one.lifted.usual == pytest.approx(1.4, abs=0.05)
    words = checks.question(book, "redo")
    assert "line, the power and the first start" in next(w for w, right, _ in words.options if right)
    assert {name for name, (_, needs) in catalogue.SECTIONS.items() if "air" in needs or "line" in needs} == {
        "line", "power", "year"}


def test_a_pick_that_comes_in_after_the_button_does_not_open_a_prediction_again():
    panel = quiz.Predict("00-start-here", "predict-acre-foot", pond.acre_foot())
    options = panel._pick.options
    panel._pick.value = options[0]
    assert not panel._record.disabled
    panel._record.click()
    panel._pick.value = options[1]              # held back by the browser while the kernel was busy
    assert panel._record.disabled and panel._pick.disabled


def test_a_question_puts_the_units_first_that_were_chosen_for_the_page():
    units = PageUnits()
    asked = quiz.Ask("05-warm-over-cold", "days-left", units=units)
    assert "5 ft (1.52 m)" in asked._words.value
    units.choose("metric")
    assert "1.52 m (5 ft)" in asked._words.value and "5.56 °C (10 °F)" in asked._words.value
    assert "1.52 m (5 ft)" in quiz.Ask("05-warm-over-cold", "days-left", units=units)._words.value
    assert repr(asked).count("5 ft (1.52 m)") == 1, "what is stored does not follow the reader"


def test_the_example_in_a_reply_follows_the_page():
    units = PageUnits()
    asked = quiz.Ask("04-back-pressure-and-line-size", "at-height", units=units)
    field, check = asked.children[1].children
    for system, example in (("US", "1 psi"), ("metric", "1 kPa")):
        units.choose(system)
        check.click()
        assert f"for example {example}" in asked.children[2].value


def buttons_of(explorer):
    """Buttons of an explorer by their words."""
    row = next(child for child in explorer.children if getattr(child, "children", ())
               and any(getattr(c, "description", "") == "Reset" for c in child.children))
    return {button.description: button for button in row.children}


def test_a_button_named_after_the_question_sets_what_the_question_says():
    """There is one such button; another must be checked here as well."""
    folder = Path(hands.__file__).parent
    keys = [key.value for path in folder.glob("*.py") for call in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(call, ast.keyword) and call.arg == "presets" for each in ast.walk(call.value)
            if isinstance(each, ast.Dict) for key in each.keys if isinstance(key, ast.Constant)]
    assert len(keys) > 50
    assert [key for key in keys if re.search("question|predict", key, re.I)] == ["As in the question"]
    asked = checks.question("06-power-housing-and-cost", "predict-cheapest")
    says = r"send (\d+) cfm to a diffuser (\d+) ft down, day and night for ten years"
    flow, deep = re.search(says, asked.ask).groups()
    far = record.demo().with_section("site", {"elevation": Q("900 ft"), "price": Q("31 cents/kWh")})
    for mine in (record.demo(), far):
        made = hands.offer_costs(mine, "US")
        made.set_texts({"depth": "6 ft", "flow": "1 cfm", "hours": "2 h", "years": "1 yr", "price": "0.5 $/kWh"})
        buttons_of(made)["As in the question"].click()
        shown = {c.name: Q(made.values[c.name], c.inside) for c in made._controls}
        assert shown["depth"].m_as("ft") == pytest.approx(float(deep))
        assert shown["flow"].m_as("cfm") == pytest.approx(float(flow))
        assert shown["hours"].m_as("h") == pytest.approx(24) and shown["years"].m_as("year") == pytest.approx(10)
        # the price of the worked example, and with it the machine of the right answer is the cheapest
        assert shown["price"].m_as("dollar/kilowatt_hour") == pytest.approx(0.173)
        right = next(words for words, good, _ in asked.options if good)
        best = min((c for c in made._answer[0].costs if c.fits != "no"), key=lambda c: c.total.usual)
        assert f"${best.offer.price:.0f}" in right
