"""Explorers and forms of workbook 07 without a browser: silly ends, the reader's own readings, what is kept."""

import re

import pytest

from pondcalc import record
from pondcalc.controls import first_start, the_year

DEMO = record.demo()
QUICK = {"ladder": first_start.ladder, "custom": first_start.custom, "copper": the_year.copper,
         "calendar": the_year.calendar, "log": lambda pond: the_year.log(the_year.demo_log())}


def ends(made, name):
    low, high = next((c.low, c.high) for c in made._controls if c.name == name)
    return low, high


@pytest.mark.parametrize("which", QUICK)
def test_silly_ends_are_answered_or_refused_in_words(which):
    made = QUICK[which](DEMO)
    for name in [c.name for c in made._controls if hasattr(c, "low")]:
        for end in ends(made, name):
            made.set_texts({name: end})
            assert len(made._readout.value) > 130 and not re.search(r"\bnan\b|\binf\b", made._readout.value)
        made.set_values(made._start)
    made.set_system("metric")
    assert "role=\"img\"" in made._image.value


def test_full_power_at_once_is_too_fast_and_a_mixed_pond_needs_no_ladder():
    made = first_start.ladder(DEMO)
    made.set_texts({"first_run": "24 h", "growth": "1"})
    assert "too fast" in made._readout.value and "on day 1" in made._readout.value
    made.set_texts({"readings": "October: mixed"})
    assert "run day and night from day 1" in made._readout.value


def test_bad_oxygen_means_do_not_start():
    made = first_start.ladder(DEMO)
    made.set_texts({"floor": "7 mg/L"})
    assert "Do not start" in made._readout.value


def test_the_form_keeps_a_schedule_that_a_record_can_hold(tmp_path):
    form = first_start.OwnStart(DEMO)
    form.saver._path = tmp_path / "pond.json"
    form.saver.save()
    assert "nothing to save yet" in form.saver.message.value
    form.winter.value = "no air in winter"
    form.work()
    form.saver.save()
    kept = record.load(tmp_path / "pond.json")
    assert kept.get("year", "winter") == "no air in winter" and kept.get("year", "start_hours")[0].m_as("h") == 1.5
    assert "Stop if fish gulp" in form.message.value and "aria-label" in form.picture.value
    form.profile.value = "depth (ft), temperature (F)\n1, 80\n12, 60"
    form.work()
    assert "oxygen readings" in form.message.value and form.values is None


def test_the_form_starts_from_readings_of_workbook_05():
    import numpy as np

    from pondcalc.units import Q
    mine = record.PondRecord("Mine", sections=dict(DEMO.sections)).with_section("layers", {
        "reading_depth": [Q(f"{z} ft") for z in (1, 5, 12)], "reading_temperature": [Q("70 F"), Q("68 F"), Q("55 F")],
        "reading_oxygen": [Q("8 mg/L"), Q("7 mg/L"), Q("0.5 mg/L")]})
    form = first_start.OwnStart(mine)
    assert form.profile.value.splitlines()[1] == "1.0, 70.0, 8.0"
    assert np.allclose(first_start._profiles(mine)["My own readings"].dissolved_oxygen, [8, 7, 0.5])
    assert first_start.ladder(mine).values["readings"] == "My own readings"


def test_a_typed_log_raises_its_flag():
    form = the_year.OwnLog()
    form.work()
    assert "heading line" in form.message.value
    form.typed.value = "date, gauge pressure (psi)\n" + "\n".join(f"2026-05-{d:02d}, {7 + d / 10:.1f}" for d in
                                                                 (1, 5, 9, 13, 17, 21))
    form.work()
    assert "ACT: The gauge has risen" in form.message.value and "aria-label" in form.picture.value


def test_year_and_winter_follow_when_let_go_and_say_what_they_show():
    year, winter = the_year.year(DEMO), the_year.winter(DEMO)
    for made in (year, winter):
        assert not made._rows["latitude"].live
        assert len(made._readout.value) > 200
    winter.set_texts({"latitude": "30"})
    assert "No ice forms" in winter._readout.value
