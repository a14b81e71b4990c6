"""Open, start and save a pond record, with words for what went wrong."""

import html
from pathlib import Path

import ipywidgets as W

from .. import record
from ..units import QuantityError, show
from ..wording import shortened
from ..your_plan import staleness
from .boxes import CLASS, STYLE, Box, grid, plain, read_all
from .explorer import FIT, Panel
from .saying import guarded, said


def open_pond(borrows=None, path=record.FILE_NAME):
    """The reader's own record, or the demonstration pond where there is none that can be used.

    Parameters
    ----------
    borrows : str, optional
        Section, such as ``"water"``, that this workbook takes from the demonstration pond while the reader's own
        lacks it.
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
        return pond, " ".join([*pond.notes, f"Now in use: {pond.name}, the invented demonstration pond. To use your "
                                            "own, fill in the form in workbook 00."])
    done = ", ".join(f"{name} ({how})" if (how := pond.get(name, "found")) else name
                     for name in pond.sections if name != "site") or "nothing yet"
    words = f"Now in use: {pond.name}. Found and saved so far: {done}."
    if borrows and not pond.has(borrows):
        words = (f"Your pond {pond.name} has no “{borrows}” yet, so wherever a picture or a number needs it, that of "
                 f"{record.demo().name}, the invented demonstration pond, stands in. Do the workbook that finds it and "
                 f"save, then run this one again. Found and saved so far: {done}.")
    return pond, " ".join([*pond.notes, words, *(item.words for item in staleness.stale(pond))])


LONGEST_NAME = 80
# a folded code cell shows its first line; without this a long one makes the whole page scroll sideways, printed
# results break inside words on a narrow one, and the words on buttons and beside check boxes are cut off on a phone
FITTED = ("<style>.pond-panel .jupyter-button {white-space: normal; height: auto; min-height: 28px; max-width: 100%;"
          " line-height: 1.3; padding-top: 3px; padding-bottom: 3px}"
          ".pond-panel .widget-checkbox {height: auto; max-width: 100%}"
          ".pond-panel .widget-label-basic {white-space: normal; height: auto; align-items: start; line-height: 1.3}"
          ".jp-InputPlaceholder, .jp-Placeholder-content, .jp-Placeholder-contentContainer {min-width: 0}"
          ".jp-InputPlaceholder {flex: 1 1 0; overflow: hidden}"
          ".jp-PlaceholderText {overflow: hidden; text-overflow: ellipsis; white-space: nowrap}"
          ".jp-OutputArea-output pre {word-break: normal; overflow-wrap: break-word}</style>")


class Banner(W.HTML):
    """A sentence across the page, announced to screen readers."""

    def __init__(self, words):
        self._words = words
        super().__init__(f'{FITTED}<div style="border:1px solid #777;padding:4px 8px;max-width:700px">{said(words)}'
                         "</div>")

    def __repr__(self):
        return self._words

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle is not None:
            bundle["text/plain"], bundle["text/html"] = self._words, f"<p>{html.escape(self._words)}</p>"
        return bundle


class SaveButton(Panel):
    """A button that writes one section of the pond record and says what it wrote.

    Parameters
    ----------
    section : str
        A key of ``catalogue.SECTIONS``.
    values : callable
        Returns the section's values at the moment of the click, or raises ValueError with advice.
    workbook : str
    path : path, optional
    system : {"US", "metric"}, optional
        Units the reader sees first where a refusal names both.
    after : callable, optional
        Called once the section is written.
    pond : record.PondRecord, optional
        As the page was opened with it. Where a section that this one starts from was saved since, this one is saved
        as of before that, so that it counts as out of date.
    """

    def __init__(self, section, values, workbook, path=record.FILE_NAME, system="US", after=None, pond=None):
        self._system, self._after, self._pond = system, after, pond
        self._section, self._values, self._workbook, self._path = section, values, workbook, path
        button = W.Button(description="Save to my pond", icon="save", layout=FIT)
        self.message = W.HTML()
        button.on_click(lambda _: self.save())
        super().__init__([button, self.message])

    def __repr__(self):
        return f"Button: save {self._section} to my pond"

    @property
    def path(self):
        """Of the record that it writes to."""
        return self._path

    def save(self):
        """Write the section; on trouble say what to do and write nothing."""
        def write():
            values, newer, moment = self._values(), (), None
            if self._pond is not None and Path(self._path).exists():
                newer, moment = staleness.unseen(self._pond, record.load(self._path), self._section)
            kept = record.save_section(self._section, values, self._path, self._workbook,
                                       otherwise=record.PondRecord("My pond"), moment=moment)
            if self._after:
                self._after()
            old = "" if not newer else (
                f" But {staleness.named(newer)} changed on another page since this one was opened, and what you saved "
                "rests on the older numbers, so it counts as out of date. Choose Run > Run All Cells here; what you "
                "typed comes back. Then work it out and save again.")
            return (f"Saved “{self._section}” of {kept.name} to {self._path}.{old} Workbooks you open from now on "
                    "start from it; in one that is open already, choose Run > Run All Cells again.")
        guarded(self.message, write, "Not saved", self._system)


def _not_in_inches(height):
    """A height above sea level, unless its unit is one that nobody measures heights in."""
    meant = {"inch": "ft", "centimeter": "m", "millimeter": "m"}.get(str(height.units))
    if meant:
        raise QuantityError(f"heights above sea level are not given in {height.units:~P}. Did you mean "
                            f"{height.magnitude:g} {meant}?")
    return height


class PondForm(Panel):
    """Name the pond and its place, and start its record or change it."""

    def __init__(self, path=record.FILE_NAME):
        self._path = path
        now, words = open_pond(path=path)
        site = {} if now.invented else now.sections.get("site", {})
        self.name = W.Text(description="Name of the pond", placeholder="for example: North pasture pond",
                           value="" if now.invented else now.name)
        self.elevation = Box.of("site", "elevation", now.system, self._text(site, "elevation", now.system),
                                convert=_not_in_inches)
        self.price = Box.of("site", "price", now.system, self._text(site, "price", now.system), optional=True)
        self.system = W.Dropdown(description="Units I like", options=["US", "metric"], value=now.system)
        self._new, self._shown = now.invented, self._standing()
        start = W.Button(description="Keep this as my pond", icon="save", layout=FIT)
        self.message = W.HTML(said(words))
        start.on_click(lambda _: guarded(self.message, self.keep, "Not kept", self.system.value))
        super().__init__([W.HTML(STYLE), grid(self.name, self.elevation, self.price, self.system), start, self.message])
        self.add_class(CLASS)

    def __repr__(self):
        return "Form: start or change my pond"

    def _standing(self):
        return {"name": self.name.value, "elevation": self.elevation.value, "price": self.price.value,
                "system": self.system.value}

    def _touched(self, name, site):
        """Name, units and place to keep: what the reader left alone stays as it is in the file by now."""
        if self._new or not Path(self._path).exists():
            return name, self.system.value, site
        now, same = record.load(self._path), {key for key, text in self._standing().items() if self._shown[key] == text}
        return (now.name if "name" in same else name, now.system if "system" in same else self.system.value,
                {key: value for key, value in site.items() if key not in same or now.get("site", key) is None})

    @staticmethod
    def _text(site, key, system):
        return plain(site[key], key, system) if key in site else ""

    def keep(self):
        """Save name, place and price, and say what was saved and what comes next; other sections stay."""
        name = shortened(self.name.value, 10_000)
        if not name:
            raise QuantityError("“Name of the pond” is empty. Write any name; it can be changed.")
        if len(name) > LONGEST_NAME:
            raise QuantityError(f"“Name of the pond” has {len(name):,} signs. Keep it to {LONGEST_NAME}, so that it "
                                "fits on a line.")
        site = read_all(elevation=self.elevation, price=self.price)
        kept = record.rename(*self._touched(name, site), self._path)
        name, system = self.name.value, self.system.value = kept.name, kept.system
        self._new, self._shown = False, self._standing()
        site = {key: kept.get("site", key) for key in site}
        done = [f"{show(site['elevation'], 'elevation', system, digits=4)} above sea level",
                *([f"electricity at {show(site['price'], 'price', system)}"] if "price" in site else []),
                f"units {system}"]
        words = f"Saved for {name}: {', '.join(done)}."
        if set(kept.sections) == {"site"}:
            return f"{words} Next: workbook 01, which finds how much water it holds."
        return f"{words} {open_pond(path=self._path)[1]}"
