"""Start a pond record, and save to it."""

import html

import ipywidgets as W

from .. import record
from ..units import Q, QuantityError, read_quantity
from .explorer import FIT

_SAID = '<div role="status" aria-live="polite" style="max-width:700px;line-height:1.4">{}</div>'


def said(words):
    """HTML of a message that a screen reader announces."""
    return _SAID.format(html.escape(words))


class SaveButton(W.VBox):
    """A button that writes one section of the pond record and says what it wrote.

    Parameters
    ----------
    section : str
        A key of ``record.FIELDS``.
    values : callable
        Returns the section's values at the moment of the click, or raises ValueError with advice.
    workbook : str
    path : path, optional
    """

    def __init__(self, section, values, workbook, path=record.FILE_NAME):
        self._section, self._values, self._workbook, self._path = section, values, workbook, path
        button = W.Button(description="Save to my pond", icon="save", layout=FIT)
        self._message = W.HTML()
        button.on_click(lambda _: self.save())
        super().__init__([button, self._message])

    def __repr__(self):
        return f"Button: save {self._section} to my pond"

    def save(self):
        """Write the section; on trouble say what to do and write nothing."""
        try:
            kept = record.save_section(self._section, self._values(), self._path, self._workbook,
                                       otherwise=record.PondRecord("My pond"))
            words = f"Saved to {self._path}, section “{self._section}”, for {kept.name}. Later workbooks start from it."
        except (ValueError, OSError) as problem:
            words = f"Not saved: {problem}"
        self._message.value = said(words)


class PondForm(W.VBox):
    """Name the pond and its place, and start its record or change it."""

    def __init__(self, path=record.FILE_NAME):
        self._path = path
        wide = {"style": {"description_width": "190px"}, "layout": {"width": "470px"}}
        self.name = W.Text(description="Name of the pond", placeholder="for example: North pasture pond", **wide)
        self.elevation = W.Text(description="Height above sea level", placeholder="for example: 1150 ft", **wide)
        self.price = W.Text(description="Price of electricity", placeholder="for example: 17.3 cents/kWh", **wide)
        self.system = W.Dropdown(description="Units I like", options=["US", "metric"], **wide)
        start = W.Button(description="Keep this as my pond", icon="save", layout=FIT)
        start.on_click(lambda _: self.keep())
        self.message = W.HTML(said(self.standing()))
        super().__init__([self.name, self.elevation, self.price, self.system, start, self.message])

    def __repr__(self):
        return "Form: start or change my pond"

    def standing(self):
        """Which pond the workbooks will use now."""
        try:
            pond = record.open_pond(self._path)
        except record.RecordError as problem:
            return str(problem)
        if pond.invented:
            return (f"Now in use: {pond.name}, the invented demonstration pond. Fill in the lines above to "
                    "start your own.")
        done = ", ".join(pond.sections) or "nothing yet"
        return f"Now in use: {pond.name}. Saved so far: {done}."

    def keep(self):
        """Save name, place and price; anything other workbooks saved stays."""
        try:
            site = {"elevation": read_quantity(self.elevation.value)}
            if not Q("-300 ft") <= site["elevation"] <= Q("14000 ft"):
                raise QuantityError(f"A height of {self.elevation.value} is outside -300 to 14,000 ft "
                                    "(-90 to 4,270 m). Look it up on a map of your county.")
            if self.price.value.strip():
                site["price"] = read_quantity(self.price.value)
                if not Q(0.0, "$/kWh") < site["price"] < Q(2.0, "$/kWh"):
                    raise QuantityError(f"A price of {self.price.value} is outside 0 to 2 $/kWh. A bill of "
                                        "17 cents a kilowatt-hour is 0.17 $/kWh.")
            name = self.name.value.strip()
            if not name:
                raise QuantityError("The pond needs a name. Any name will do.")
            record.rename(name, self.system.value, site, self._path)
            words = self.standing()
        except (ValueError, OSError) as problem:
            words = f"Not kept: {problem}"
        self.message.value = said(words)
