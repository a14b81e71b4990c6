"""What every form for the reader's own pond shares: boxes to type in, work it out, look, and save.

A box knows its name, what may stand in it, and an example; a refusal always begins with the name. A number alone is
taken only where the name of the box is its unit, such as “Volts”; anywhere else the unit must be typed.

Saving keeps what was last worked out, so a box that changed since must be worked out again first. A form that opens
shows what was saved. Where another page saved the same section meanwhile, boxes that the reader left alone follow
it, so that nothing is overwritten that nobody touched; what the reader touched wins.
"""

import contextlib
from pathlib import Path

import ipywidgets as W
from traitlets import TraitError

from .. import record
from ..catalogue import ROWS, held
from ..figures import style
from ..refusals import plainly
from ..spellings import shortened
from ..units import (
    KINDS,
    Q,
    QuantityError,
    Range,
    fits,
    read_quantity,
    refuse_air_flow,
    refuse_water_flow,
    show,
    unfit,
    unit_label,
)
from ..your_plan import staleness
from .explorer import FIT, Panel
from .page import guarded, said

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


WRONG_FLOW = {"air flow": refuse_water_flow, "water flow": refuse_air_flow}


class Box(W.Text):
    """One quantity to type.

    label: Name of the box, shown above it.
    kind: A key of ``units.KINDS``.
    example: What might stand in it; shown while it is empty, and in every refusal.
    low, high: Quantities; outside them a slip is likelier than the truth.
    value: What stands in it at the start.
    optional: True if it may stay empty.
    bare: Unit of a number alone, where the label names it.
    convert: Turns a quantity of another kind into this one, or passes it on; may refuse with QuantityError.
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
            value = WRONG_FLOW.get(self.kind, lambda flow, _: flow)(value, text)
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
            raise self.refused(f"cannot be {given}{unfit(value, unit)}.", given=text)
        low, high = (Q(end, unit) for end in (self.low, self.high))
        if not low.m_as(unit) <= value.m_as(unit) <= high.m_as(unit):
            raise QuantityError(do=f"Check the number and its unit; for example {self.example}.", given=given,
                                allowed=" to ".join(show(end, self.kind, both=True) for end in (low, high)),
                                what=self.description)
        return value


class FileOrText(W.VBox):
    """A file to choose, or text typed in its place; the one whose name begins with “or” stands second.

    file, typed: Names of the two boxes.
    example: Lines that might be typed; shown while the box is empty.
    empty: What to do, where there is neither; "" where the reader of the text says so.
    rows: Lines that the box shows.
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


class SaveButton(Panel):
    """A button that writes one section of the pond record and says what it wrote.

    section: A key of ``catalogue.SECTIONS``.
    values: Returns the section's values at the moment of the click, or raises ValueError with advice.
    workbook (str), path (path).
    system ({"US", "metric"}): Units the reader sees first where a refusal names both.
    after: Called once the section is written.
    pond (record.PondRecord): As the page was opened with it. Where a section that this one starts from was saved
        since, this one is saved as of before that, so that it counts as out of date.
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

    name: What the form is about.
    boxes (dict of str to widget): In the order in which they stand on the page. The name is also the attribute under
        which the form has the box, and the name under which its text is kept. A dict in it is a group of boxes:
        ``{"lifted": {"low": ...}}`` keeps “lifted low”.
    section, workbook: Of the pond record, to save.
    go: Words on the button.
    trouble: How a refusal begins.
    words: Shown before anything is worked out.
    table: True where the words hold a table, whose letters must be equally wide.
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
        """What a record (PondRecord) says stood in the boxes, as :func:`ownform.typed_in` writes it.

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
        """The box of a row of the catalogue, as :meth:`ownform.Box.of`."""
        return Box.of(section, name, self._system, value, **more)

    def _list(self, section, name, options, value):
        """A list to choose from, by the name of a row of the catalogue."""
        return W.Dropdown(description=ROWS[section, name].box, options=options, value=value)

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
