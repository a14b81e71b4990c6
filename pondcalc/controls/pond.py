"""Open, start and save a pond record, with words for what went wrong."""

import html

import ipywidgets as W

from .. import record
from ..units import QuantityError, write_quantity
from ..wording import shortened
from ..your_plan import staleness
from .explorer import FIT
from .saying import guarded, read_field, said


def open_pond(*needs, path=record.FILE_NAME):
    """The reader's own record, or the demonstration pond where there is none that can be used.

    Parameters
    ----------
    *needs : str
        Sections this workbook cannot do without, such as ``"water"``.
    path : path, optional

    Returns
    -------
    tuple of (record.PondRecord, str)
        The pond, and a sentence that says which pond it is and why.
    """
    try:
        pond = record.open_pond(path)
    except record.RecordError as problem:
        return record.demo(), f"{problem} Until then the demonstration pond is shown."
    if pond.invented:
        return pond, (f"Now in use: {pond.name}, the invented demonstration pond. To use your own, fill in the form "
                      "in workbook 00.")
    missing = [section for section in needs if not pond.has(section)]
    if missing:
        return record.demo(), (f"Your pond {pond.name} has no “{missing[0]}” yet, so the demonstration pond is shown. "
                               "Do the workbook that finds it and save, then run this one again.")
    done = ", ".join(name for name in pond.sections if name != "site") or "nothing yet"
    words = f"Now in use: {pond.name}. Found and saved so far: {done}."
    return pond, " ".join([words, *(item.words for item in staleness.stale(pond))])


LONGEST_NAME = 80
PRICE = ("0.005 $/kWh", "2 $/kWh", "17.3 cents/kWh or $0.173/kWh")     # lowest, highest, an example


class Banner(W.HTML):
    """A sentence across the page, announced to screen readers."""

    def __init__(self, words):
        self._words = words
        super().__init__(f'<div style="border:1px solid #777;padding:4px 8px;max-width:700px">{said(words)}</div>')

    def __repr__(self):
        return self._words

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle is not None:
            bundle["text/plain"], bundle["text/html"] = self._words, f"<p>{html.escape(self._words)}</p>"
        return bundle


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
    system : {"US", "metric"}, optional
        Units the reader sees first where a refusal names both.
    """

    def __init__(self, section, values, workbook, path=record.FILE_NAME, system="US"):
        self._system = system
        self._section, self._values, self._workbook, self._path = section, values, workbook, path
        button = W.Button(description="Save to my pond", icon="save", layout=FIT)
        self.message = W.HTML()
        button.on_click(lambda _: self.save())
        super().__init__([button, self.message])

    def __repr__(self):
        return f"Button: save {self._section} to my pond"

    def save(self):
        """Write the section; on trouble say what to do and write nothing."""
        def write():
            kept = record.save_section(self._section, self._values(), self._path, self._workbook,
                                       otherwise=record.PondRecord("My pond"))
            return (f"Saved “{self._section}” of {kept.name} to {self._path}. Workbooks you open from now on start "
                    "from it; in one that is open already, choose Run > Run All Cells again.")
        guarded(self.message, write, "Not saved", self._system)


class PondForm(W.VBox):
    """Name the pond and its place, and start its record or change it."""

    def __init__(self, path=record.FILE_NAME):
        self._path = path
        now, words = open_pond(path=path)
        site = {} if now.invented else now.sections.get("site", {})
        wide = {"style": {"description_width": "190px"}, "layout": {"width": "470px"}}
        self.name = W.Text(description="Name of the pond", placeholder="for example: North pasture pond",
                           value="" if now.invented else now.name, **wide)
        self.elevation = W.Text(description="Height above sea level", placeholder="for example: 1150 ft",
                                value=self._shown(site, "elevation"), **wide)
        self.price = W.Text(description="Price of electricity", placeholder="for example: 17.3 cents/kWh",
                            value=self._shown(site, "price"), **wide)
        self.system = W.Dropdown(description="Units I like", options=["US", "metric"], value=now.system, **wide)
        start = W.Button(description="Keep this as my pond", icon="save", layout=FIT)
        self.message = W.HTML(said(words))
        start.on_click(lambda _: guarded(self.message, self.keep, "Not kept", self.system.value))
        super().__init__([self.name, self.elevation, self.price, self.system, start, self.message])

    def __repr__(self):
        return "Form: start or change my pond"

    @staticmethod
    def _shown(site, key):
        return write_quantity(site[key]).replace("dollar/kilowatt_hour", "$/kWh") if key in site else ""

    def keep(self):
        """Save name, place and price, and say which pond is in use; what other workbooks saved stays."""
        name = shortened(self.name.value, 10_000)
        if not name:
            raise QuantityError("“Name of the pond” is empty. Any name will do.")
        if len(name) > LONGEST_NAME:
            raise QuantityError(f"“Name of the pond” has {len(name):,} signs. Keep it to {LONGEST_NAME}, so that it "
                                "fits on a line.")
        site = {"elevation": read_field("Height above sea level", self.elevation.value, "elevation", "-300 ft",
                                        "14000 ft", "1150 ft or 350 m")}
        if self.price.value.strip():
            site["price"] = read_field("Price of electricity", self.price.value, "price", *PRICE)
        record.rename(name, self.system.value, site, self._path)
        return open_pond(path=self._path)[1]
