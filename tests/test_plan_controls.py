"""Explorers of workbook 08: what they show at their start, at their presets and at the silly ends."""

import re

import pytest

from pondcalc import record
from pondcalc.controls import your_plan


@pytest.fixture(scope="module", params=[your_plan.unknowns, your_plan.two_plans, your_plan.operating_point,
                                        your_plan.night], ids=lambda made: made.__name__)
def explorer(request):
    return request.param(record.demo())


def test_it_speaks_in_both_systems_and_at_every_choice(explorer):
    for system in ("US", "metric"):
        explorer.set_system(system)
        for control in explorer._controls:
            for words in getattr(control, "options", ()):
                explorer.set_texts({control.name: words}, afresh=True)
                assert len(explorer._alt) > 40 and "<svg" in explorer._svg
    assert "psi" not in re.sub(r"\([^)]*psi\)", "", explorer._alt)      # only in brackets, after kilopascals
    explorer.set_system("US")


def test_the_silly_ends_give_words(explorer):
    for control in explorer._controls:
        for text in (getattr(control, "low", None), getattr(control, "high", None)):
            if text is not None:
                explorer.set_texts({control.name: text}, afresh=True)
                words = explorer._readout.value
                assert len(words) > 60 and "nan" not in words and "inf " not in words
