"""What an error knows, and how a cell, a page and a box word it."""

import warnings

import pytest

from pondcalc import units, water
from pondcalc.controls.ownform import Box
from pondcalc.controls.page import notes_of
from pondcalc.refusals import Caution, Refused, plainly
from pondcalc.units import QuantityError


def test_a_cell_names_the_function_and_a_page_does_not():
    problem = Refused("the bore is 0.", "Measure it.", by="inlet_pressure")
    assert isinstance(problem, ValueError) and str(problem) == "inlet_pressure: the bore is 0. Measure it."
    assert plainly(problem) == "the bore is 0. Measure it." and plainly(OSError("Temperature: none")) == \
        "Temperature: none", "words that only look like the name of a function stay"


def test_what_is_wrong_is_made_of_what_came_and_what_may():
    problem = QuantityError(do="Check it.", what="Depth", given="90 ft", allowed="1 to 30 ft")
    assert str(problem) == "“Depth”: 90 ft is outside 1 to 30 ft. Check it."
    assert (problem.given, problem.allowed) == ("90 ft", "1 to 30 ft")
    assert str(QuantityError("is empty.", what="Depth")) == "“Depth” is empty."


def test_a_box_puts_its_own_name_and_example_in_place_of_general_advice():
    with pytest.raises(QuantityError, match="Write the unit after the number") as cell:
        units.read_quantity("12")
    assert cell.value.given == "12"
    with pytest.raises(QuantityError) as box:
        Box("How deep", "depth", "9 ft", "1 ft", "30 ft", "12").read()
    assert str(box.value) == "“How deep”: '12' has no unit. Write, for example, 9 ft."
    assert (box.value.what, box.value.given) == ("How deep", "12")


def test_a_page_shows_cautions_of_the_package_once_and_nothing_else():
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        for _ in range(2):
            water.density(-1.0)
        warnings.warn("a library grumbles", UserWarning, stacklevel=1)
    assert issubclass(caught[0].category, Caution) and caught[0].message.by == "density"
    notes = notes_of(caught)
    assert len(notes) == 1 and notes[0].startswith("Note: 30.2 °F (-1 °C) is outside 32 to 104 °F")
