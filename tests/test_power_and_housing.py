"""The explorers and the form of workbook 06: every end of every slider answers, the form keeps what it read."""

import warnings

import pytest

from pondcalc import record
from pondcalc.controls import power_and_housing as hands
from pondcalc.controls.explorer import Slider

DEMO = record.demo()
MAKE = {"slip": lambda: hands.power_slip(DEMO), "wire": hands.wire_run, "cabinet": lambda: hands.cabinet_heat(DEMO),
        "hot line": hands.hot_line, "offers": lambda: hands.offer_costs(DEMO), "noise": hands.neighbor}


def _ends(control):
    return ([control.value(control.low), control.value(control.high)] if isinstance(control, Slider)
            else list(control.options.values()))


@pytest.mark.parametrize("name", MAKE)
def test_every_end_of_every_slider_answers(name):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        made = MAKE[name]()
        for control in made._controls:
            for value in _ends(control):
                said = made._sentence(made._model(**{**made._start, control.name: value}), "US")
                assert len(said) > 80, (control.name, value)
        made.set_system("metric")
        for end in (0, -1):     # drawn too, with everything at one end
            made.set_values({control.name: _ends(control)[end] for control in made._controls})
            assert "No answer" not in made._readout.value and " ft" not in made._readout.value


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
    assert "still empty" in form.message.value
    for field, words in ((form.voltage, "118"), (form.current, "3.6 A"), (form.watts, "240"), (form.length, "180 ft"),
                         (form.hottest, "97")):
        field.value = words
    form.work()
    form.saver.save()
    kept = record.load(tmp_path / "my-pond.json")
    assert kept.get("power", "power").usual.m_as("W") == pytest.approx(240)
    # 0.240 kW x 8760 h x the demo pond's $0.173
    assert kept.get("power", "cost").usual.m_as("dollar/year") == pytest.approx(0.240 * 8760 * 0.173, rel=1e-4)
    assert kept.get("power", "run_length").m_as("ft") == pytest.approx(180)
    form.watts.value = "900 W"
    form.work()
    assert "Not worked out" in form.message.value and form.values is None, "900 W is more than 118 V x 3.6 A"
    form.watts.value, form.voltage.value = "", "118 psi"
    form.work()
    assert "Not worked out" in form.message.value
