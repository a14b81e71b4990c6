"""Open, start and save a pond record, with words for what went wrong."""

import html

import ipywidgets as W

from .. import record
from ..units import KINDS, Q, QuantityError, read_quantity, show, write_quantity
from ..your_plan import staleness
from .explorer import FIT, said


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


# a folded code cell shows its first line; without this a long one makes the whole page scroll sideways, and
# printed results break inside words on a narrow one
FOLDED = ("<style>.jp-InputPlaceholder, .jp-Placeholder-content, .jp-Placeholder-contentContainer {min-width: 0}"
          ".jp-InputPlaceholder {flex: 1 1 0; overflow: hidden}"
          ".jp-PlaceholderText {overflow: hidden; text-overflow: ellipsis; white-space: nowrap}"
          ".jp-OutputArea-output pre {word-break: normal; overflow-wrap: break-word}</style>")


class Banner(W.HTML):
    """A sentence across the page, announced to screen readers."""

    def __init__(self, words):
        self._words = words
        super().__init__(f'{FOLDED}<div style="border:1px solid #777;padding:4px 8px;max-width:700px">{said(words)}'
                         "</div>")

    def __repr__(self):
        return self._words

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle is not None:
            bundle["text/plain"], bundle["text/html"] = self._words, f"<p>{html.escape(self._words)}</p>"
        return bundle


def guarded(message, action, trouble):
    """Run ``action()`` and show the words it returns in `message`; on any trouble say so instead.

    The old message goes first, so that it never stands beside a later failure.
    """
    message.value = ""
    try:
        message.value = said(action())
    except Exception as problem:                # a button must answer, whatever went wrong behind it
        message.value = said(f"{trouble}: {problem}")


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
        guarded(self.message, write, "Not saved")


def read_field(name, text, kind, low, high, example):
    """A quantity typed into a form's box, or a QuantityError that names the box."""
    if not text.strip():
        raise QuantityError(f"“{name}” is empty. Write, for example, {example}.")
    try:
        value = read_quantity(text)
    except QuantityError as problem:
        raise QuantityError(f"“{name}”: {problem} Here that would be, for example, {example}.") from None
    if not value.check(Q(1.0, KINDS[kind][0]).dimensionality):
        raise QuantityError(f"“{name}” cannot be {text.strip()}. Write, for example, {example}.")
    if not Q(low) <= value <= Q(high):
        ends = [show(end, kind, both=True) for end in (low, high)]
        raise QuantityError(f"“{name}”: {text.strip()} is outside {ends[0]} to {ends[1]}. Check the number and its "
                            f"unit; for example {example}.")
    return value


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
        start.on_click(lambda _: guarded(self.message, self.keep, "Not kept"))
        super().__init__([self.name, self.elevation, self.price, self.system, start, self.message])

    def __repr__(self):
        return "Form: start or change my pond"

    @staticmethod
    def _shown(site, key):
        return write_quantity(site[key]).replace("dollar/kilowatt_hour", "$/kWh") if key in site else ""

    def keep(self):
        """Save name, place and price, and say which pond is in use; what other workbooks saved stays."""
        name = self.name.value.strip()
        if not name:
            raise QuantityError("“Name of the pond” is empty. Any name will do.")
        site = {"elevation": read_field("Height above sea level", self.elevation.value, "elevation", "-300 ft",
                                        "14000 ft", "1150 ft or 350 m")}
        if self.price.value.strip():
            site["price"] = read_field("Price of electricity", self.price.value, "price", "0.005 $/kWh", "2 $/kWh",
                                       "17.3 cents/kWh or $0.173/kWh")
        record.rename(name, self.system.value, site, self._path)
        return open_pond(path=self._path)[1]
