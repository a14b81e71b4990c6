"""The explorers and the form of workbook 06: heat balances, and the form keeps what it read."""


import pytest

from pondcalc import record
from pondcalc.controls import power_and_housing as hands
from pondcalc.units import Q, Range

DEMO = record.demo()
def test_heat_in_is_heat_out():
    # conservation of energy, in each kind of weather, with vents, fan and hot line each way
    for day in hands.DAYS.values():
        for fan in (0.0, 0.05):
            for bare in hands.HOT_LINE.values():
                found = hands._settle(day, 250.0, 0.013, fan, bare, 350.0)
                entered, left = (sum(watts for _, watts in part) for part in (found.heat_in, found.heat_out))
                assert entered == pytest.approx(left, abs=0.05)


def test_more_air_and_a_short_hot_line_keep_it_cooler():
    day = next(iter(hands.DAYS.values()))

    def warm(*args):
        return hands._settle(day, 250.0, *args, 0.0).state.temperature
    bare, short, kept = hands.HOT_LINE.values()
    assert warm(hands.CRACKS, 0, bare) > warm(0.013, 0, bare) > warm(0.013, 0.05, bare) > day[0]
    assert warm(0.013, 0, kept) > warm(0.013, 0, bare) > warm(0.013, 0, short)


def test_the_form_reads_and_keeps(tmp_path):
    form = hands.OwnPower(DEMO)
    form.saver._path = tmp_path / "my-pond.json"
    form.saver.save()
    assert "nothing to save" in form.saver.message.value
    form.work()
    assert "mend 4 boxes" in form.message.value and "“Volts” is empty" in form.message.value
    assert "“Hottest afternoon, in the shade” is empty" in form.message.value
    for field, words in ((form.voltage, "118"), (form.current, "3.6 A"), (form.watts, "240"), (form.length, "180 ft"),
                         (form.hottest, "97 F")):
        field.value = words
    form.work()
    form.saver.save()
    kept = record.load(tmp_path / "my-pond.json")
    assert kept.get("power", "power").usual.m_as("W") == pytest.approx(240)
    # 0.240 kW x 8760 h x the demo pond's $0.173
    assert kept.get("power", "cost").usual.m_as("dollar/year") == pytest.approx(0.240 * 8760 * 0.173, rel=1e-4)
    assert kept.get("power", "run_length").m_as("ft") == pytest.approx(180)
    assert kept.get("power", "found") == "by plate or meter"
    form.watts.value = "900 W"
    form.work()
    assert "Not worked out" in form.message.value and form.values is None, "900 W is more than 118 V x 3.6 A"
    assert "power_factor_of" not in form.message.value
    form.watts.value, form.voltage.value = "", "118 psi"
    form.work()
    assert "“Volts” cannot be 118 psi" in form.message.value
    form.voltage.value, form.hottest.value = "118", "300 F"
    form.work()
    assert "“Hottest afternoon, in the shade”: 300 F is outside" in form.message.value


def test_a_record_saved_before_boxes_were_kept_fills_the_power_form(tmp_path):
    typed = {"voltage": "118", "current": "3.6 A", "watts": "240", "length": "55 m", "hottest": "97 F", "gauge": 10}
    form = hands.OwnPower(DEMO)
    for name, text in typed.items():
        getattr(form, name).value = text
    form.work()
    form.saver._path = tmp_path / "my-pond.json"
    form.saver.save()
    kept = record.load(form.saver._path)
    older = {key: value for key, value in kept.sections["power"].items() if key != "typed"}
    again = hands.OwnPower(record.PondRecord("mine", "metric", sections={"power": older}), "metric")
    assert (again.current.value, again.length.value, again.gauge.value) == ("3.6 A", "55 m", 10)


def test_a_machine_not_bought_yet_is_reckoned_from_the_line(tmp_path):
    line = {"flow_free_air": Q("4 cfm"), "pressure_gauge": Range(Q("9 psi"), Q("9.5 psi"), Q("10 psi"))}
    form = hands.OwnPower(record.PondRecord("mine", sections={"site": {"price": Q("17.3 cents/kWh")}}))
    form.bought.value = "I have not bought one yet"
    form.length.value, form.hottest.value = "180 ft", "97 F"
    form.work()
    assert "form of workbook 04" in form.message.value
    form = hands.OwnPower(record.PondRecord("mine", sections={"line": line}))
    form.bought.value = "I have not bought one yet"
    form.length.value, form.hottest.value = "180 ft", "97 F"
    form.work()
    # Machinery's Handbook, 31st ed., Table 35 (copy): 1192.0 ft-lb for each ft3 at 10 psig, here 4 a minute
    least = 1192.0 * 4 * 1.355818 / 60
    low, usual, high = (v.m_as("W") for v in form.wanted()["power"])
    assert (low, usual, high) == pytest.approx((least / 0.45, least / 0.3, least / 0.15), rel=0.02)
    # volts times amps times a usual power factor of 0.65 is the high end
    assert form.values["current"].m_as("A") * 120 * 0.65 == pytest.approx(high)
    assert form.values["found"] == "before buying"
    assert "Nothing bought yet" in form.message.value and "Ask each seller" in form.message.value


def test_a_wire_that_cannot_carry_the_start_says_so():
    box = hands.wire_run()
    box.set_texts({"length": "780 ft", "current": "16 A"})
    words = box._readout.value
    assert "will not start" in words and "not run at all" in words
    box.set_texts({"length": "250 ft", "current": "4.4 A"})
    assert "advises" in box._readout.value and "will not start" not in box._readout.value


def test_the_kind_of_motor_makes_the_watts_of_a_plate():
    spans = {}
    for motor in ("not sure", "has a run capacitor", "plain, no run capacitor"):
        form = hands.OwnPower(DEMO)
        for name, text in {"voltage": "120", "current": "4.4 A", "length": "180 ft", "hottest": "97 F",
                           "motor": motor}.items():
            getattr(form, name).value = text
        form.work()
        spans[motor] = [v.m_as("W") for v in form.wanted()["power"]]
        assert "motor: " + motor in form.wanted()["typed"]
    # 528 VA by a power factor of 0.5 to 1.0, of 0.85 to 1.0, and of 0.5 to 0.8
    assert [spans["not sure"][i] for i in (0, 2)] == pytest.approx([264, 528])
    assert [spans["has a run capacitor"][i] for i in (0, 2)] == pytest.approx([448.8, 528])
    assert [spans["plain, no run capacitor"][i] for i in (0, 2)] == pytest.approx([264, 422.4])


def test_the_months_of_air_make_the_cost_of_a_machine():
    year = {"air_from": "Mar 26", "air_to": "Nov 6", "winter": "no air in winter"}
    form = hands.OwnPower(record.PondRecord("mine", sections={"year": year, "site": {"price": Q("0.16 $/kWh")}}))
    for name, text in {"voltage": "120", "current": "4.4 A", "watts": "475 W", "length": "180 ft",
                       "hottest": "97 F"}.items():
        getattr(form, name).value = text
    form.work()
    # 475 W at 16 cents: 730 h are $55.48; 8,760 h $665.76, of which 226/365 is $412.22
    said = form.message.value
    assert "A month of running costs $55; run Mar 26 to Nov 6, 226 days a year [07], it is $410/yr." in said
    assert "$670/yr" in said
