"""A figure with sliders: move one, and the picture and the sentence under it follow.

The picture goes into one HTML widget as inline SVG, which is the quickest
route to the screen we measured and the only one that carries words for a screen reader. Each row
is one small widget of our own (`slider.js`): a box for exact numbers and the browser's own slider,
which has a name, speaks its value with the unit, and obeys the keyboard.
"""

import html
import math
import re
import warnings
from dataclasses import dataclass
from pathlib import Path

import anywidget
import ipywidgets as W
import traitlets as t

from ..catalogue import ROWS
from ..figures import style
from ..refusals import plainly
from ..spellings import INSIDE, reading
from ..units import KINDS, from_display, read_quantity, to_display, unit_label
from .page import PAGE, notes_of, said

FIT = {"width": "auto", "align_self": "flex-start"}      # a button as wide as its words


# shown by slider.css where the column is too narrow for a picture one can read
NARROW = ('<div class="pond-narrow">Little room for the picture. Widen the window, turn the phone on its side, or in '
          "JupyterLab close the list of files (Ctrl+B).</div>")


@dataclass(frozen=True)
class Slider:
    """One number the reader can move.

    name: Argument of the model.
    label: Words beside the slider; the unit is added.
    kind: A key of ``units.KINDS``; decides the units shown.
    low, high, start: Quantities such as ``"2 ft"``; the ends should reach the silly cases.
    unit: Unit the model works in, where it is not the usual one of the kind.
    step: Step in the US unit; by default about a hundredth of the range. Only the handle keeps to steps; the box
        takes any number between the ends.
    """

    name: str
    label: str
    kind: str
    low: str
    high: str
    start: str
    unit: str | None = None
    step: float | None = None

    @classmethod
    def of(cls, section, name, start=None, to=None, label=None, low=None, high=None, unit=None,
           step=None):
        """The slider of a row of the catalogue.

        section, name (str).
        start (str or float): A quantity, or a number in the row's unit; by default the usual one.
        to: Argument of the model, where that is not the row's name.
        label: Only where one explorer holds several of a row, or means another thing of its kind.
        low, high, unit, step: Only where the pond itself, or a model that goes no further, sets them.
        """
        row = ROWS[section, name]
        least, most, by = row.slider
        if start is not None and not isinstance(start, str):
            start = f"{to_display(start, row.kind, row.unit):.12g} {KINDS[row.kind][0].replace(' ', '')}"
        return cls(to or name, label or row.label, row.kind, low or least, high or most, start or row.usual or "", unit,
                   step or by)

    @property
    def inside(self):
        return INSIDE[self.kind] if self.unit is None else self.unit

    def value(self, text):
        """Plain number, in the model's unit, of one of the texts above."""
        return read_quantity(text, "dimensionless").m_as(self.inside or "dimensionless")

    def bounds(self, system):
        """Low end, high end and step in the unit shown, at round numbers."""
        values = [self.value(text) for text in (self.low, self.start, self.high)]
        low, high = (to_display(end, self.kind, self.inside or "dimensionless", system)
                     for end in (min(values), max(values)))
        step = self.step if self.step and system == "US" else _nice((high - low) / 100)
        while 0 < low < 0.999 * step:           # else the low end would be nothing, which many models refuse
            step = _nice(step / 2)
        return (round(math.floor(low / step + 1e-9) * step, 12), round(math.ceil(high / step - 1e-9) * step, 12),
                round(step, 12))

    def face(self, system):
        """How a reader of `system` sees the number; see `slider.js`."""
        low, high, step = self.bounds(system)
        zero, one = (from_display(shown, self.kind, self.inside or "dimensionless", system) for shown in (0.0, 1.0))
        return {"label": self.label, "unit": unit_label(KINDS[self.kind][system != "US"]), "low": low, "high": high,
                "step": step, "zero": zero, "factor": one - zero}


@dataclass(frozen=True)
class Choice:
    """One pick from a short list; `options` maps the words shown to the value the model gets."""

    name: str
    label: str
    options: dict
    start: str

    @classmethod
    def of(cls, section, name, options, start):
        """The choice of a row of the catalogue that holds words."""
        return cls(name, ROWS[section, name].label, options, start)


def _nice(value):
    """Nearest of 1, 2 or 5 times a power of ten."""
    power = 10.0 ** math.floor(math.log10(value))
    return min((power, 2 * power, 5 * power, 10 * power), key=lambda step: abs(math.log(step / value)))


class SliderRow(anywidget.AnyWidget):
    """A slider on the page: `value` in the model's unit, `face` as the reader sees it; see `slider.js`."""

    _esm = Path(__file__).with_name("slider.js")
    _css = Path(__file__).with_name("slider.css")
    value = t.Float().tag(sync=True)
    face = t.Dict().tag(sync=True)
    live = t.Bool(True).tag(sync=True)


class Panel(W.VBox):
    """Widgets that belong together; slider.css shows which of them has the keyboard."""

    def __init__(self, children, **looks):
        super().__init__(children, **looks)
        self.add_class("pond-panel")


class Explorer(Panel):
    """Sliders, one picture and one sentence.

    title: What the reader can find out here; also the start of the picture's alternative text.
    model: Takes the sliders' values as plain numbers by name; returns anything.
    picture: ``picture(figure, result, system)`` draws the model's result.
    sentence: ``sentence(result, system)`` says the message of the picture in words.
    controls (list of Slider or Choice): At most five, ordered pond, equipment, view.
    presets (dict of str to dict): Button text to ``{name: text of a quantity}``.
    system ({"US", "metric"}): Units to start in, unless the reader has chosen others on this page.
    size (tuple of float): Width and height of the picture, inches.
    live: False for a model too slow to follow the hand: the picture then follows when the slider is let go.
    units (pageunits.PageUnits): Where the reader's choice of units is shared; by default by all explorers of the
        page.
    """

    def __init__(self, title, model, picture, sentence, controls, presets=None, system="US",
                 size=(style.WIDTH, style.HEIGHT), live=True, units=PAGE):
        if len(controls) > 5:
            raise ValueError(f"{title}: at most five sliders fit a reader's head; {len(controls)} were given.")
        self.title, self.system, self._units = title, units.of(system), units
        self._model, self._picture, self._sentence = model, picture, sentence
        self._size, self._live = size, live
        self._prefix = re.sub(r"\W+", "-", title.lower())
        self._controls = controls
        self._svg, self._alt = "<svg/>", title
        self._start = {c.name: c.value(c.start) if isinstance(c, Slider) else c.options[c.start] for c in controls}
        self.values = dict(self._start)
        self._rows = {c.name: self._slider_row(c) if isinstance(c, Slider) else self._choice_row(c) for c in controls}
        self._image, self._readout = W.HTML(), W.HTML()
        self._switch = W.RadioButtons(options=["US", "metric"], value=self.system, description="Units",
                                      orientation="horizontal", style={"description_width": "auto"},
                                      layout={"width": "auto"})
        self._switch.observe(self._switched, "value")
        reset = W.Button(description="Reset", tooltip="Put every slider back where it started",
                         layout=FIT)
        reset.on_click(lambda _: self.set_values(self._start))
        buttons = [self._switch, reset]
        for words, texts in (presets or {}).items():
            button = W.Button(description=words, layout=FIT)
            button.on_click(lambda _, texts=texts: self.set_texts(texts, afresh=True))
            buttons.append(button)
        heading = W.HTML(f"<b>{html.escape(title)}</b>{NARROW}")
        row = W.HBox(buttons, layout={"flex_flow": "row wrap", "align_items": "center"})
        super().__init__([heading, *self._rows.values(), row, self._image, self._readout])
        self.add_class("pond-explorer")
        self._answer = self._computed()
        self.set_system(self.system)
        units.join(title, self.set_system)

    def __repr__(self):
        return f"Explorer: {self.title}"

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle is not None:
            bundle["text/plain"] = repr(self)
            bundle["text/html"] = style.still_html(self._svg, self._alt)
        return bundle

    def _slider_row(self, control):
        row = SliderRow(value=self._start[control.name], live=self._live)
        row.observe(lambda change: self._moved(control.name, change["new"]), "value")
        return row

    def _choice_row(self, control):
        pick = W.Dropdown(options=list(control.options), value=control.start, description=control.label,
                          style={"description_width": "initial"}, layout={"width": "auto", "max_width": "98%"})
        pick.observe(lambda change: self._moved(control.name, control.options[change["new"]]), "value")
        return pick

    def _moved(self, name, value):
        if value != self.values[name]:          # else it was put there from here
            self.values[name] = value
            self.refresh()

    def _place(self):
        """Put the values on the rows."""
        for control in self._controls:
            held = self.values[control.name]
            self._rows[control.name].value = held if isinstance(control, Slider) else next(
                words for words, value in control.options.items() if value == held)

    def _switched(self, change):
        if change["new"] != self.system:        # else it was put there from here
            self._units.choose(change["new"], first=self.title)

    def set_system(self, system):
        """Show US or metric units here; what the sliders hold does not move.

        The model runs again only where it wrote amounts in the reader's order, as in a caution or a refusal.
        """
        changed, self.system = system != self.system, system
        self._switch.value = system
        for control in self._controls:
            if isinstance(control, Slider):
                self._rows[control.name].face = control.face(system)
        if changed and self._named:
            self._answer = self._computed()
        self._show()

    def set_values(self, values):
        """Move sliders to plain numbers in the model's units."""
        self.values.update(values)
        self._place()
        self.refresh()

    def set_texts(self, texts, afresh=False):
        """Move sliders to quantities given as text, or choices given as their words; `afresh` resets the rest."""
        by_name = {control.name: control for control in self._controls}
        wanted = {name: by_name[name].value(text) if isinstance(by_name[name], Slider)
                  else by_name[name].options[text] for name, text in texts.items()}
        self.set_values(self._start | wanted if afresh else wanted)

    def _worded(self, result, system):
        """The sentence, with the reader's units first where both are named."""
        with reading(system):
            return self._sentence(result, system)

    def refresh(self):
        """Compute, draw and say it again; cautions of the model stand under the sentence."""
        self._answer = self._computed()
        self._show()

    def _computed(self):
        """What the model makes of the values, the lines of its cautions, and in words why it refuses, if it does."""
        with warnings.catch_warnings(record=True, action="always") as caught, reading(self.system) as read:
            try:
                return self._model(**self.values), notes_of(caught), ""
            except (ValueError, ArithmeticError) as problem:
                return None, [], plainly(problem)
            finally:
                self._named = read.named

    def _show(self):
        """Draw and say what was computed last."""
        result, notes, trouble = self._answer
        if not trouble:
            try:
                sentence = self._worded(result, self.system)
                self._svg = style.render(self._picture, result, self.system, size=self._size)
                self._alt = f"{self.title}. {sentence}"
                self._image.value = style.inline(self._svg, self._alt, self._prefix)
            except (ValueError, ArithmeticError) as problem:
                trouble = plainly(problem)
        if trouble:
            sentence = f"No answer here: {trouble}"
            self._image.value = ('<div role="img" aria-label="No picture for these numbers; the reason stands below." '
                                 'style="height:3em;color:#555">No picture for these numbers.</div>')
        self._readout.value = said("\n".join([sentence, *notes]))
