"""How big are the bubbles that a hole, a stone or a membrane makes?

At a trickle, surface tension holds a bubble to the rim of the hole until
buoyancy tears it off. At a stream, the water round the growing bubble has to be
pushed aside, and size follows the gas flow instead. Both laws are exact for the
picture they draw; a real stone or membrane has thousands of unlike pores, so for
those the table :data:`MATERIALS` gives plain ranges.
"""

from typing import NamedTuple

from ..units import Q, QuantityError, Range

__all__ = ["Material", "MATERIALS", "material"]


class Material(NamedTuple):
    """One kind of diffuser; sizes in m, pressures in Pa."""

    name: str
    bubble_diameter: Range          # at usual air flow; grows with air flow
    wet_pressure: Range             # pressure spent pushing air through the wet material, new
    plugging: str
    cracking: str
    pressure: str
    cleaning: str
    source: str


def _range(low, usual, high, unit):
    return Range(*(Q(value, unit).m_as("m" if unit == "mm" else "Pa") for value in (low, usual, high)))


_PRACTICE = "common practice, no source"
MATERIALS = {entry.name: entry for entry in (
    Material("stone", _range(2, 3, 6, "mm"), _range(4, 8, 20, "inH2O"),
             "Pores fill from both sides: slime and scale outside, dust and oil from the air side.",
             "Breaks when dropped or frozen; glued joints can let go, and then the air leaves in one place.",
             "Rises slowly as pores fill; the gauge shows it.",
             "Soak and brush; acid only by its label, outdoors, with goggles and gloves, never mixed with "
             "bleach.",
             _PRACTICE),
    Material("membrane", _range(1, 2.5, 5, "mm"), _range(6, 12, 20, "inH2O"),
             "Slits close when the air stops, so little water gets back in; slime still builds outside.",
             "Rubber stiffens, stretches and in time splits, mostly at the clamp and along old slits.",
             "Often about double after some years (Krampe 2011: at half of the plants evaluated).",
             "Wipe with a soft cloth; flex it by a short burst of more air.",
             _PRACTICE),
    Material("drilled pipe", _range(5, 8, 15, "mm"), _range(1, 4, 12, "inH2O"),
             "Large holes seldom plug, but mud and water run in when the air stops.",
             "Hardly any; it fails by coming loose, floating up or kinking.",
             "Low, and so the air goes to the shallowest holes: the pipe must lie level.",
             "Flush; re-drill holes that have scaled over.",
             _PRACTICE),
)}


def material(name):
    """The entry of :data:`MATERIALS` for a kind of diffuser."""
    if name not in MATERIALS:
        raise QuantityError(f"{name!r} is not a kind of diffuser this set knows. Choose: "
                            f"{', '.join(MATERIALS)}.")
    return MATERIALS[name]
