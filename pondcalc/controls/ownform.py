"""What every form for the reader's own pond shares: work it out, look, and save what was worked out.

Saving keeps what was last worked out, so a box that changed since must be worked out again first. A form that opens
shows what was saved. Where another page saved the same section meanwhile, boxes that the reader left alone follow
it, so that nothing is overwritten that nobody touched; what the reader touched wins.
"""

from typing import Any

import ipywidgets as W

from .. import record
from ..your_plan import staleness
from .boxes import CLASS, STYLE, refill, text_in, typed_in
from .explorer import FIT, Panel
from .pond import SaveButton
from .saying import guarded, plainly, said

__all__ = ["OwnForm"]


class OwnForm(Panel):
    """A form with one button that works it out, and where `section` is given one that saves.

    A subclass sets ``_system``, the reader's units, before it calls this, and may set ``_remembered``. It says in
    ``_found()`` what it makes of the boxes: the words, the values to save (or None) and the HTML of a picture (or
    ""). A ValueError from there is shown to the reader.

    Parameters
    ----------
    name : str
        What the form is about.
    layout : list of widget
        Boxes as they stand on the page.
    inputs : list of widget
        Those that the result depends on.
    section, workbook : str, optional
        Of the pond record, to save.
    go : str, optional
        Words on the button.
    trouble : str, optional
        How a refusal begins.
    words : str, optional
        Shown before anything is worked out.
    table : bool, optional
        True where the words hold a table, whose letters must be equally wide.
    """

    _system = "US"
    # name to box, of those whose text is kept with the values and stands there again
    _remembered: dict[str, Any] | None = None
    _sources: dict[str, str] = {}       # name to section, of those that begin with what another workbook saved
    _pond = None            # the record the form was opened with

    def __init__(self, name, layout, inputs, section=None, workbook="", go="Work it out", trouble="Not worked out",
                 words="", table=False):
        self._name, self._go, self._trouble, self._table = name, go, trouble, table
        self._changed, self.values, self._inputs, self._section = False, None, list(inputs), section
        self._filling = False
        self._by_hand: set[str] = set()
        self._offered = {name: text_in((self._remembered or {})[name]) for name in self._sources}
        if self._pond is not None and not self._pond.invented:
            self._follow(self._pond)
        for box in inputs:
            box.observe(self._touched, "value")
        button = W.Button(description=go, icon="play", layout=FIT)
        button.on_click(lambda _: self.work())
        self.message, self.picture = W.HTML(said(words) if words else ""), W.HTML()
        self.saver = (SaveButton(section, self.wanted, workbook, system=self._system, after=self._by_hand.clear,
                                 pond=self._pond)
                      if section else None)
        super().__init__([W.HTML(STYLE), *layout, button, self.message, self.picture,
                          *([self.saver] if section else [])], layout={"max_width": "760px"})
        self.add_class(CLASS)

    def __repr__(self):
        return f"Form: {self._name}"

    def _touched(self, change):
        self._changed = True
        if not self._filling:
            self._by_hand |= {name for name, box in (self._remembered or {}).items() if box is change["owner"]}

    def _typed(self, kept):
        """What a record (PondRecord) says stood in the boxes, as :func:`boxes.typed_in` writes it."""
        return kept.get(self._section, "typed")

    def _follow(self, kept):
        """Put what a record holds into boxes that the reader left alone; whether that changed one.

        A box that begins with what another workbook saved keeps to it where that was saved after this section.
        """
        typed = self._typed(kept)
        if not typed or not self._remembered:
            return False
        boxes = {name: box for name, box in self._remembered.items() if name not in self._by_hand
                 and not (self._offered.get(name) and staleness.saved_after(kept, self._sources[name], self._section))}
        before, self._filling = {name: text_in(box) for name, box in boxes.items()}, True
        try:
            refill(boxes, [f"{name}: {text}" for name, text in self._offered.items()])
            refill(boxes, typed)
        finally:
            self._filling = False
        return any(text_in(box) != before[name] for name, box in boxes.items())

    def _catch_up(self):
        """Follow what another page saved since; whether that changed a box."""
        if not self._remembered or self._pond is None or self._pond.invented or not self.saver:
            return False
        try:
            return self._follow(record.load(self.saver.path))
        except record.RecordError:          # no file yet, or one that saving will speak of
            return False

    def _found(self):
        raise NotImplementedError

    @staticmethod
    def _note(caution):
        """A caution in words for the page."""
        return plainly(caution)

    def wanted(self):
        """What to save, or ValueError with advice."""
        if self.values is None:
            raise ValueError(f"there is nothing to save yet. Fill in the boxes and press “{self._go}” first.")
        if self._changed:
            raise ValueError(f"the boxes changed since you worked it out. Press “{self._go}” again.")
        if self._catch_up():
            raise ValueError("another page saved since you worked it out. Boxes you had not touched now show what it "
                             f"saved; yours stand. Look at them, press “{self._go}” and save again.")
        return self._kept() if not self._remembered else {**self._kept(), "typed": self._texts()}

    def _kept(self):
        """The section's values without what stood in the boxes; ValueError with advice where they cannot be kept."""
        return self.values

    def _texts(self):
        """What stands in the boxes, to keep; not where a box shows what another workbook saved."""
        return typed_in({name: box for name, box in (self._remembered or {}).items()
                         if self._offered.get(name) != text_in(box)})

    def work(self):
        """Read the boxes, compute, and show words and picture; on trouble say what to do."""
        self.forget()
        guarded(self.message, self._answer, self._trouble, self._system, self._table, self._note)

    def _answer(self):
        self.message.value = said("Working …")
        self._catch_up()
        words, self.values, self.picture.value = self._found()
        self._changed = False
        return words

    def forget(self):
        """Take away what was worked out, so that an old result never stands beside a new trouble."""
        self.values, self.message.value, self.picture.value = None, "", ""
        if self.saver:
            self.saver.message.value = ""
