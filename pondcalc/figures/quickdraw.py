"""A page and axes that are drawn with a few strokes in place of a dozen objects a tick.

A picture that follows a slider is drawn anew each time, and in matplotlib most of that time goes
into making, copying and laying out ticks. Here each axis draws all its grid lines as one path,
all its marks as another, and its numbers one by one with the same text object. What is set by
``set_xticks``, ``tick_params``, ``grid`` and scales counts as usual; only single ticks cannot be
taken hold of afterwards, and titles need a set height (``axes.titley``). This rests on insides of
matplotlib; where they have changed, :func:`pondcalc.figures.style.render` takes the plain axes.
:mod:`pondcalc.figures.style` puts this to use.
"""

import functools
import io

import numpy as np
from matplotlib import rcParams
from matplotlib.axes import Axes
from matplotlib.axis import XAxis, YAxis
from matplotlib.backends.backend_svg import FigureCanvasSVG, RendererSVG
from matplotlib.offsetbox import OffsetBox
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.ticker import FixedFormatter, NullLocator
from matplotlib.transforms import IdentityTransform

POINTS = 72                 # an inch
MOST = 5000                 # words whose size is remembered


class _Memory(dict):
    """What was worked out before, for the same numbers come back at every move of a slider."""

    def recall(self, key, work):
        """The kept answer, or that of `work`."""
        if key not in self:
            if len(self) >= MOST:
                self.clear()
            self[key] = work()
        return self[key]


_SIZES, _LAYOUTS = _Memory(), _Memory()


class Page(RendererSVG):
    """SVG without groups, names of groups and metadata."""

    def __init__(self, width, height):
        self.sheet = io.StringIO()
        super().__init__(width, height, self.sheet, image_dpi=POINTS,
                         metadata=dict.fromkeys(("Date", "Creator", "Format", "Type")))

    def open_group(self, s, gid=None):
        """No group: nothing refers to it."""

    def close_group(self, s):
        """No group."""

    def get_text_width_height_descent(self, s, prop, ismath):
        """Size of words, remembered."""
        return _SIZES.recall((s, hash(prop), ismath), lambda: super(Page, self).get_text_width_height_descent(
            s, prop, ismath))


class Canvas(FigureCanvasSVG):
    """Ties a figure to a page, so that whoever asks for the size of words while drawing gets it from there."""

    def __init__(self, figure):
        super().__init__(figure)
        self._page = Page(*(POINTS * figure.get_size_inches()))

    def get_renderer(self):
        """The page."""
        return self._page

    def svg(self):
        """Draw the figure and give the text of its picture; once only."""
        self.figure.draw(self._page)
        self._page.finalize()
        return _picture(self._page.sheet)


class PlainCanvas(FigureCanvasSVG):
    """The library's own page, for a version of it whose insides are not those that this module knows."""

    def svg(self):
        """Draw the figure and give the text of its picture."""
        sheet = io.StringIO()
        self.print_svg(sheet, metadata=dict.fromkeys(("Date", "Creator", "Format", "Type")))
        return _picture(sheet)


def _picture(sheet):
    text = sheet.getvalue()
    return text[text.index("<svg"):]


class _Number(Text):
    """A tick's words; how they are laid out is remembered."""

    def _get_layout(self, renderer):
        look = (self.get_text(), hash(self.get_fontproperties()), self.get_ha(), self.get_va(), self.get_rotation())
        return _LAYOUTS.recall(look, lambda: super(_Number, self)._get_layout(renderer))


class _QuickAxis:
    """What the two axes share; goes before the library's own axis class."""

    majorTicks = minorTicks = ()

    def __init__(self, *args, **kwargs):
        self._looks, self._boxes = {}, []
        super().__init__(*args, **kwargs)

    def set_clip_path(self, path, transform=None):
        """Nothing to clip: grid lines end with the axes."""

    def get_major_ticks(self, numticks=None):
        """No ticks are kept."""
        return []

    get_minor_ticks = get_major_ticks

    def _update_ticks(self):
        return []

    def _get_tick_boxes_siblings(self, renderer):
        return self._boxes, self._boxes

    def set_ticklabels(self, labels, *, minor=False, fontdict=None, **looks):
        """Words at the places given before by ``set_ticks``; `looks` are those of text, such as fontsize."""
        (self.set_minor_formatter if minor else self.set_major_formatter)(FixedFormatter([str(w) for w in labels]))
        self._looks |= (fontdict or {}) | looks

    def draw(self, renderer):
        """Draw grid, marks, numbers and label."""
        if not self.get_visible():
            return
        name = f"{self.axis_name}tick"
        across = self.axes.bbox.intervaly if self.axis_name == "x" else self.axes.bbox.intervalx
        self._boxes = []
        for kind, ticker, looks in (("major", self.major, self._major_tick_kw),
                                    ("minor", self.minor, self._minor_tick_kw)):
            at, words = self._places(kind, ticker)
            if not len(at):
                continue
            size, width, pad = (looks.get(key, rcParams[f"{name}.{kind}.{key}"]) for key in ("size", "width", "pad"))
            color = looks.get("color", rcParams[f"{name}.color"])
            if looks.get("gridOn"):
                self._strokes(renderer, at, *across, rcParams["grid.linewidth"], rcParams["grid.color"])
            for n, edge, way in ((1, across[0], -1), (2, across[1], 1)):
                if looks.get(f"tick{n}On") and size > 0:
                    self._strokes(renderer, at, edge, edge + way * size, width, color)
                if looks.get(f"label{n}On"):
                    self._numbers(renderer, at, words, edge + way * (size + pad), way,
                                  looks.get("labelsize", rcParams[f"{name}.labelsize"]))
        self._update_label_position(renderer)
        self.label.draw(renderer)
        self._update_offset_text_position(self._boxes, self._boxes)
        self.offsetText.set_text(self.major.formatter.get_offset())
        self.offsetText.draw(renderer)
        self.stale = False

    def _places(self, kind, ticker):
        """Places of the ticks on the page, as far as they are in view, and their words."""
        if isinstance(ticker.locator, NullLocator):
            return (), ()
        places = np.asarray(self.get_ticklocs(minor=kind == "minor"), float)
        words = ticker.formatter.format_ticks(places)
        along = int(self.axis_name == "y")
        on_axes = np.full((len(places), 2), 0.5)
        on_axes[:, along] = places
        transform = self.axes.get_yaxis_transform() if along else self.axes.get_xaxis_transform()
        on_page = transform.transform(on_axes)[:, along]
        low, high = self.axes.bbox.intervaly if along else self.axes.bbox.intervalx
        inside = (on_page > low - 1e-3) & (on_page < high + 1e-3)
        return on_page[inside], [word for word, shown in zip(words, inside, strict=True) if shown]

    def _strokes(self, renderer, at, begin, end, width, color):
        """Lines across the axis at the places `at`, from `begin` to `end`, all in points on the page."""
        along = int(self.axis_name == "y")
        ends = np.empty((len(at), 2, 2))
        ends[:, :, along] = np.asarray(at)[:, None]
        ends[:, :, 1 - along] = begin, end
        brush = renderer.new_gc()
        brush.set_foreground(color)
        brush.set_linewidth(width)
        path = Path(ends.reshape(-1, 2), np.tile((Path.MOVETO, Path.LINETO), len(at)))
        renderer.draw_path(brush, path, IdentityTransform())
        brush.restore()

    def _numbers(self, renderer, at, words, beside, way, size):
        """The words of ticks, beside the axis."""
        x = self.axis_name == "x"
        anchor = {"ha": "center", "va": "top" if way < 0 else "bottom"} if x else \
            {"ha": "right" if way < 0 else "left", "va": "center_baseline"}
        text = _Number(0, 0, transform=IdentityTransform(), **({"fontsize": size} | anchor | self._looks))
        text.set_figure(self.get_figure(root=False))
        for place, word in zip(at, words, strict=True):
            if word:
                text.set_position((place, beside) if x else (beside, place))
                text.set_text(word)
                self._boxes.append(text.get_window_extent(renderer))
                text.draw(renderer)


class _XAxis(_QuickAxis, XAxis):
    pass


class _YAxis(_QuickAxis, YAxis):
    pass


class QuickAxes(Axes):
    """Axes with the axis classes of this module."""

    def _init_axis(self):
        self.xaxis, self.yaxis = _XAxis(self, clear=False), _YAxis(self, clear=False)
        for side in ("bottom", "top"):
            self.spines[side].register_axis(self.xaxis)
        for side in ("left", "right"):
            self.spines[side].register_axis(self.yaxis)

    def legend(self, *args, **kwargs):
        """The usual legend, whose boxes are measured once; the library asks each box again at every level."""
        made = super().legend(*args, **kwargs)
        for box in made.findobj(OffsetBox):
            box.get_bbox = functools.cache(box.get_bbox)
        return made

    def draw(self, renderer):
        """Draw; the frame is put in its place first, which the library leaves to the making of ticks."""
        for spine in self.spines.values():
            spine.get_position()
        super().draw(renderer)
