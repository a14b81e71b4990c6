"""Boxes to type a quantity into: each knows its name, what may stand in it, and an example.

A refusal always begins with the name of the box. A number alone is taken only where the name of the box
is its unit, such as “Volts”; anywhere else the unit must be typed.
"""

import contextlib
import re

import ipywidgets as W
from traitlets import TraitError

from ..units import KINDS, Q, QuantityError, fits, read_quantity, refuse_water_flow, show, unit_label
from ..wording import shortened

__all__ = ["Box", "read_all", "reason_of", "price_box", "highest_box", "grid", "text_in", "typed_in", "refill", "plain",
           "STYLE", "CLASS"]

CLASS = "pond-form"
# the name of a box stands above it and wraps, so that a narrow window cuts nothing off
STYLE = (f"<style>.{CLASS} .widget-inline-hbox{{flex-direction:column;align-items:stretch;height:auto;width:auto}}"
         f".{CLASS} .widget-inline-hbox>.widget-label{{width:auto;max-width:100%;height:auto;text-align:left;"
         "white-space:normal;line-height:1.3;padding-top:4px}"
         f".{CLASS} .widget-inline-hbox>input,.{CLASS} .widget-inline-hbox>select,"
         f".{CLASS} .widget-inline-hbox>textarea{{flex:none;width:100%}}"
         f".{CLASS} .widget-inline-hbox>select{{height:28px}}</style>")


def grid(*widgets):
    """Boxes side by side where the window is wide enough, else one under the other."""
    return W.GridBox(widgets, layout={"grid_template_columns": "repeat(auto-fit, minmax(235px, 1fr))",
                                      "grid_gap": "2px 16px", "max_width": "740px", "align_items": "flex-end"})


def reason_of(problem):
    """Why text was refused, without the general advice: a box has an example of its own."""
    return re.sub(r" (Write a number and a unit|Write the unit after|Units it knows) .*", "", str(problem))


class Box(W.Text):
    """One quantity to type.

    Parameters
    ----------
    label : str
        Name of the box, shown above it.
    kind : str
        A key of ``units.KINDS``.
    example : str
        What might stand in it; shown while it is empty, and in every refusal.
    low, high : str
        Quantities; outside them a slip is likelier than the truth.
    value : str, optional
        What stands in it at the start.
    optional : bool, optional
        True if it may stay empty.
    bare : str, optional
        Unit of a number alone, where the label names it.
    convert : callable, optional
        Turns a quantity of another kind into this one, or passes it on; may refuse with QuantityError.
    """

    def __init__(self, label, kind, example, low, high, value="", optional=False, bare=None, convert=None):
        super().__init__(value=value, description=label, placeholder=f"for example: {example}")
        self.kind, self.example, self.low, self.high = kind, example, low, high
        self.optional, self.bare, self._convert = optional, bare, convert

    def read(self):
        """The quantity typed, None where the box is empty and may be, else QuantityError that names the box."""
        name, text = f"“{self.description}”", self.value.strip()
        if not text and self.optional:
            return None
        if not text:
            raise QuantityError(f"{name} is empty. Write, for example, {self.example}.")
        if self.kind == "depth" and text[0] in "-−":
            raise QuantityError(f"{name}: {shortened(text)} is below zero. Depths count down from the water surface "
                                "and are never negative, so write it without the minus sign.")
        try:
            value = read_quantity(text, self.bare)
            value = refuse_water_flow(value, text) if self.kind == "air flow" else value
        except QuantityError as problem:
            raise QuantityError(f"{name}: {reason_of(problem)} Write, for example, {self.example}.") from None
        given = shortened(text)
        if self._convert:
            try:
                value = self._convert(value)
            except QuantityError as problem:
                raise QuantityError(f"{name}: {problem}") from None
        if self.kind == "price" and value.check("[currency]"):
            raise QuantityError(f"{name}: “per kWh” is missing. Write {given.removesuffix('.')} per kWh, if that is "
                                f"the price of one kilowatt-hour; for example {self.example}.")
        unit = KINDS[self.kind][0]
        if not fits(value, unit):
            raise QuantityError(f"{name} cannot be {given}. Write, for example, {self.example}.")
        low, high = (Q(end, unit) for end in (self.low, self.high))
        if not low.m_as(unit) <= value.m_as(unit) <= high.m_as(unit):
            ends = [show(end, self.kind, both=True) for end in (low, high)]
            raise QuantityError(f"{name}: {given} is outside {ends[0]} to {ends[1]}. Check the number and its unit; "
                                f"for example {self.example}.")
        return value


def read_all(**boxes):
    """What stands in all boxes, by name; if some cannot be used, all of those are named in one refusal.

    Anything with ``read()`` counts as a box; one that returns None is empty and is left out.
    """
    read, faults = {}, []
    for name, box in boxes.items():
        try:
            read[name] = box.read()
        except ValueError as problem:
            faults.append(str(problem))
    if faults:
        raise QuantityError(faults[0] if len(faults) == 1 else "\n".join([f"mend {len(faults)} boxes:", *faults]))
    return {name: value for name, value in read.items() if value is not None}


def plain(quantity, kind, system, digits=4):
    """A quantity in the reader's unit as a person types it, without a comma for thousands."""
    unit = KINDS[kind][system != "US"]
    number = f"{quantity.m_as(unit):.{digits}g}"
    return f"{number if 'e+' not in number else format(float(number), '.0f')} {unit_label(unit)}"


def text_in(box):
    """What stands in a box, as text."""
    return str(box.label if isinstance(box, W.Dropdown) else box.value).strip()


def typed_in(boxes):
    """What stands in the boxes, by name, as texts such as ``deepest: 11 ft`` to keep in a record; also the empty."""
    return [f"{name}: {text_in(box)}" for name, box in boxes.items()]


def refill(boxes, typed):
    """Put what :func:`typed_in` kept back; what no longer fits its box is left out."""
    for name, _, text in (line.partition(": ") for line in typed or ()):
        box = boxes.get(name)
        if isinstance(box, W.Dropdown):
            with contextlib.suppress(TraitError):
                box.label = text
        elif isinstance(box, W.Checkbox):
            box.value = text == "True"
        elif isinstance(box, W.FloatText):
            with contextlib.suppress(ValueError):
                box.value = float(text)
        elif box is not None:
            box.value = text


def price_box(pond):
    """Box for the price of electricity, with the pond's own in it."""
    price = pond.get("site", "price", Q("17.3 cents/kWh")).m_as("dollar/kilowatt_hour")
    return Box("Price of electricity", "price", "17.3 cents/kWh", "0.005 $/kWh", "2 $/kWh", f"{price:.4g} $/kWh")


def highest_box(label, system, known=None):
    """Box for the highest pressure a seller names for a machine; `known` (a quantity) stands in it at first."""
    return Box(label, "pressure", "80 kPa" if system != "US" else "12 psi", "0 psi", "200 psi",
               "" if known is None else plain(known, "pressure", system), optional=True)
