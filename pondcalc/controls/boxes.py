"""Boxes to type a quantity into: each knows its name, what may stand in it, and an example.

A refusal always begins with the name of the box. A number alone is taken only where the name of the box
is its unit, such as “Volts”; anywhere else the unit must be typed.
"""

import contextlib

import ipywidgets as W
from traitlets import TraitError

from ..catalogue import ROWS, held
from ..refusals import plainly
from ..units import KINDS, Q, QuantityError, Range, fits, read_quantity, refuse_water_flow, show, unit_label
from ..wording import shortened
from .explorer import FIT

__all__ = ["Box", "read_all", "price_box", "grid", "text_in", "typed_in", "refill", "plain",
           "as_typed", "FileOrText", "STYLE", "CLASS"]

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

    @classmethod
    def of(cls, section, name, system, value="", label=None, **more):
        """The box of a row of the catalogue; a `label` where one form asks several of a row, and `more` as above."""
        row = ROWS[section, name]
        return cls(label or row.box, row.kind, row.example_in(system), row.low, row.high, value, **more)

    def __init__(self, label, kind, example, low, high, value="", optional=False, bare=None, convert=None):
        super().__init__(value=value, description=label, placeholder=f"for example: {example}")
        self.kind, self.example, self.low, self.high = kind, example, low, high
        self.optional, self.bare, self._convert = optional, bare, convert

    def refused(self, why, do=None, given=""):
        """The refusal that names this box; without other advice it says what to write, for example."""
        return QuantityError(why, f"Write, for example, {self.example}." if do is None else do, given=given,
                             what=self.description)

    def read(self):
        """The quantity typed, None where the box is empty and may be, else QuantityError that names the box."""
        text = self.value.strip()
        if not text and self.optional:
            return None
        if not text:
            raise self.refused("is empty.")
        if self.kind == "depth" and text[0] in "-−":
            raise self.refused(f"{shortened(text)} is below zero.", "Depths count down from the water surface and are "
                               "never negative, so write it without the minus sign.", text)
        try:
            value = read_quantity(text, self.bare)
            value = refuse_water_flow(value, text) if self.kind == "air flow" else value
        except QuantityError as problem:
            raise self.refused(problem.why, given=text) from None
        if self._convert:
            try:
                value = self._convert(value)
            except QuantityError as problem:
                raise self.refused(problem.why, problem.do, text) from None
        given = shortened(text)
        if self.kind == "price" and value.check("[currency]"):
            raise self.refused("“per kWh” is missing.", f"Write {given.removesuffix('.')} per kWh, if that is the "
                               f"price of one kilowatt-hour; for example {self.example}.", text)
        unit = KINDS[self.kind][0]
        if not fits(value, unit):
            raise self.refused(f"cannot be {given}.", given=text)
        low, high = (Q(end, unit) for end in (self.low, self.high))
        if not low.m_as(unit) <= value.m_as(unit) <= high.m_as(unit):
            raise QuantityError(do=f"Check the number and its unit; for example {self.example}.", given=given,
                                allowed=" to ".join(show(end, self.kind, both=True) for end in (low, high)),
                                what=self.description)
        return value


class FileOrText(W.VBox):
    """A file to choose, or text typed in its place; the one whose name begins with “or” stands second.

    Parameters
    ----------
    file, typed : str
        Names of the two boxes.
    example : str
        Lines that might be typed; shown while the box is empty.
    empty : str
        What to do, where there is neither; "" where the reader of the text says so.
    rows : int, optional
        Lines that the box shows.
    """

    def __init__(self, file, typed, example, empty, rows=5):
        self.file = W.FileUpload(description=file, accept=".csv,.txt", layout=FIT)
        self.typed = W.Textarea(description=typed, placeholder=example, rows=rows)
        self._empty = empty
        super().__init__(sorted((self.file, self.typed), key=lambda box: box.description.startswith("or ")))

    def read(self):
        """Bytes of the file, or the text; QuantityError where there is neither or both."""
        if self.typed.value.strip() and self.file.value:
            raise QuantityError("There are typed readings and a file. Empty the box to use the file.")
        if self._empty and not self.typed.value.strip() and not self.file.value:
            raise QuantityError(self._empty)
        return bytes(self.file.value[0]["content"]) if self.file.value else self.typed.value


def read_all(**boxes):
    """What stands in all boxes, by name; if some cannot be used, all of those are named in one refusal.

    Anything with ``read()`` counts as a box; one that returns None is empty and is left out.
    """
    read, faults = {}, []
    for name, box in boxes.items():
        try:
            read[name] = box.read()
        except ValueError as problem:
            faults.append(plainly(problem))
    if faults:
        raise QuantityError(faults[0] if len(faults) == 1 else "\n".join([f"mend {len(faults)} boxes:", *faults]))
    return {name: value for name, value in read.items() if value is not None}


def plain(quantity, kind, system, digits=4):
    """A quantity in the reader's unit as a person types it, without a comma for thousands."""
    unit = KINDS[kind][system != "US"]
    number = f"{quantity.m_as(unit):.{digits}g}"
    return f"{number if 'e+' not in number else format(float(number), '.0f')} {unit_label(unit)}".rstrip()


def as_typed(value, kind, system):
    """A value of the record as a person types it: words as they are, of a range the usual value."""
    value = value.usual if isinstance(value, Range) else value
    return value if isinstance(value, str) else plain(value, kind, system, 10 if kind == "number" else 4)


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
    return Box.of("site", "price", pond.system, f"{held(pond, 'site', 'price'):.4g} $/kWh")
