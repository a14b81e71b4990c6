"""The table of diffuser materials."""

import pytest

from pondcalc.bubbles_and_oxygen import bubblesize
from pondcalc.bubbles_and_oxygen.bubblesize import MATERIALS
from pondcalc.units import QuantityError


def test_materials_are_complete_ranges_and_say_where_they_come_from():
    assert {"stone", "membrane", "drilled pipe"} <= set(MATERIALS)
    for kind in MATERIALS.values():
        assert kind.bubble_diameter.low < kind.bubble_diameter.usual < kind.bubble_diameter.high
        assert kind.wet_pressure.low < kind.wet_pressure.usual < kind.wet_pressure.high
        assert kind.source == "common practice, no source"
        assert all(text.strip() for text in (kind.plugging, kind.cracking, kind.pressure, kind.cleaning))
    fine, coarse = bubblesize.material("membrane"), bubblesize.material("drilled pipe")
    assert fine.bubble_diameter.usual < coarse.bubble_diameter.low
    assert "label" in MATERIALS["stone"].cleaning and "bleach" in MATERIALS["stone"].cleaning
    with pytest.raises(QuantityError, match="Choose: stone"):
        bubblesize.material("sponge")
