"""What every form for the reader's own pond shares: work it out, look, and save what was worked out.

Saving keeps what was last worked out, so a box that changed since must be worked out again first. A form that opens
shows what was saved. Where another page saved the same section meanwhile, boxes that the reader left alone follow
it, so that nothing is overwritten that nobody touched; what the reader touched wins.
"""

import ipywidgets as W

from .. import record
from ..figures import style
from ..your_plan import staleness
from .boxes import CLASS, STYLE, Box, FileOrText, as_typed, grid, refill, text_in, typed_in
from .explorer import FIT, Panel
from .pond import SaveButton
from .saying import guarded, said

__all__ = ["OwnForm"]


def _rows(boxes):
    """Boxes as they stand on the page: small ones side by side, long ones and groups under each other."""
    rows, beside = [], []
    for box in (*boxes.values(), None):
        if isinstance(box, (W.Text, W.FloatText, W.Dropdown)):
            beside.append(box)
            continue
        rows += [grid(*beside)] if beside else []
        beside = []
        rows += _rows(box) if isinstance(box, dict) else [] if box is None else [box]
    return rows


def _each(boxes, group=""):
    """Name and widget of every box; “group name” where it stands in a group."""
    for name, box in boxes.items():
        if isinstance(box, dict):
            yield from _each(box, f"{name} ")
        elif isinstance(box, FileOrText):
            yield from (("file", box.file), ("typed", box.typed))
        elif not isinstance(box, W.Button):
            yield group + name, box


class OwnForm(Panel):
    """A form with one button that works it out, and where `section` is given one that saves.

    A subclass sets ``_system``, the reader's units, before it calls this. It says in ``_found()`` what it makes of
    the boxes: the words (text, or a list of lines), the values to save (or None) and the HTML of a picture (or "").
    A ValueError from there is shown to the reader. Text in boxes is kept with the values and stands there again.

    Parameters
    ----------
    name : str
        What the form is about.
    boxes : dict of str to widget
        In the order in which they stand on the page. The name is also the attribute under which the form has the box,
        and the name under which its text is kept. A dict in it is a group of boxes: ``{"lifted": {"low": ...}}`` keeps
        “lifted low”.
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
    # name to the field of the section and its kind, where no typed text was kept
    _known: dict[str, tuple[str, str]] = {}
    # name, or that of a group, to another section whose values stand in the box at first
    _begun: dict[str, str] = {}
    _pond = None            # the record the form was opened with

    def __init__(self, name, boxes, section=None, workbook="", go="Work it out", trouble="Not worked out", words="",
                 table=False):
        self._name, self._go, self._trouble, self._table = name, go, trouble, table
        self._changed, self.values, self._section = False, None, section
        self._filling = False
        self._by_hand: set[str] = set()
        every = dict(_each(boxes))
        for called, box in {**every, **boxes}.items():
            setattr(self, called, tuple(box.values()) if isinstance(box, dict) else box)
        self._inputs = list(every.values())
        self._remembered = {called: box for called, box in every.items() if section and self._keeps(box)}
        self._sources = {called: self._begun[start] for called in self._remembered
                         for start in {called, called.partition(" ")[0]} & set(self._begun)}
        self._offered = {called: text_in(self._remembered[called]) for called in self._sources}
        if self._pond is not None and not self._pond.invented:
            self._follow(self._pond)
        for box in self._inputs:
            box.observe(self._touched, "value")
        button = W.Button(description=go, icon="play", layout=FIT)
        button.on_click(lambda _: self.work())
        self.message, self.picture = W.HTML(said(words) if words else ""), W.HTML()
        self.saver = (SaveButton(section, self.wanted, workbook, system=self._system, after=self._by_hand.clear,
                                 pond=self._pond)
                      if section else None)
        super().__init__([W.HTML(STYLE), *_rows(boxes), button, self.message, self.picture,
                          *([self.saver] if section else [])], layout={"max_width": "760px"})
        self.add_class(CLASS)

    def __repr__(self):
        return f"Form: {self._name}"

    def _touched(self, change):
        self._changed = True
        if not self._filling:
            self._by_hand |= {name for name, box in self._remembered.items() if box is change["owner"]}

    @staticmethod
    def _keeps(box):
        """Whether the text in a box is kept; a browser never fills in a file again."""
        return not isinstance(box, W.FileUpload)

    def _typed(self, kept):
        """What a record (PondRecord) says stood in the boxes, as :func:`boxes.typed_in` writes it.

        Of a record without what was typed: what became of it.
        """
        known = {name: (kept.get(self._section, field), kind) for name, (field, kind) in self._known.items()}
        return kept.get(self._section, "typed") or [f"{name}: {as_typed(value, kind, self._system)}" for
                                                    name, (value, kind) in known.items() if value is not None]

    def _follow(self, kept):
        """Put what a record holds into boxes that the reader left alone; whether that changed one.

        A box that begins with what another workbook saved keeps to it where that was saved after this section.
        """
        typed = self._typed(kept)
        if not typed:
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

    def _box(self, section, name, value="", **more):
        """The box of a row of the catalogue, as :meth:`boxes.Box.of`."""
        return Box.of(section, name, self._system, value, **more)

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
        return typed_in({name: box for name, box in self._remembered.items()
                         if self._offered.get(name) != text_in(box)})

    def work(self):
        """Read the boxes, compute, and show words and picture; on trouble say what to do."""
        self.forget()
        guarded(self.message, self._answer, self._trouble, self._system, self._table)

    def _answer(self):
        self.message.value = said("Working …")
        self._catch_up()
        words, self.values, self.picture.value = self._found()
        self._changed = False
        return words if isinstance(words, str) else "\n".join(filter(None, words))

    def _drawn(self, name, words, draw, *args, size=(style.WIDTH, style.HEIGHT)):
        """HTML of ``draw(figure, *args)``; `words` say it to who does not see it."""
        return style.inline(style.render(draw, *args, size=size), words, name)

    def forget(self):
        """Take away what was worked out, so that an old result never stands beside a new trouble."""
        self.values, self.message.value, self.picture.value = None, "", ""
        if self.saver:
            self.saver.message.value = ""
