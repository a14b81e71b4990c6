"""How every figure looks: colours that survive grey print, margins set by hand, SVG with words.

Colours are the Okabe-Ito set (Okabe & Ito 2008, "Color Universal Design"), always paired with
a line style or a marker, so that no message rests on colour alone.
"""

import base64
import html
import re

import matplotlib
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from .. import units
from ..spellings import INSIDE
from .quickdraw import POINTS, Canvas, PlainCanvas, QuickAxes

BLACK, ORANGE, SKY, GREEN, YELLOW, BLUE, RED, PURPLE = (
    "#000000", "#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7")
RED_TEXT, GREEN_TEXT = "#A84300", "#00694C"     # the same two, dark enough for words on white (contrast over 4.5)
LINES = ({"color": BLUE, "linestyle": "-"}, {"color": RED, "linestyle": "--"},
         {"color": GREEN, "linestyle": "-."}, {"color": PURPLE, "linestyle": ":"},
         {"color": ORANGE, "linestyle": (0, (6, 1, 1, 1, 1, 1))})
WIDTH, HEIGHT = 7.2, 3.9

_PAGES = [Canvas]               # the last is the one in use; another only where matplotlib's insides have changed
_RC = {"svg.fonttype": "none", "svg.hashsalt": "pondcalc", "font.size": 10.5, "axes.spines.top": False,
       "axes.spines.right": False, "axes.titlesize": 11, "axes.titlelocation": "left", "axes.titley": 1.0,
       "axes.grid": True, "grid.color": "#DDDDDD", "grid.linewidth": 0.7, "axes.axisbelow": True,
       "legend.edgecolor": "none", "legend.framealpha": 0.85, "lines.linewidth": 2.0, "hatch.linewidth": 0.6,
       "path.simplify": True,
       "text.parse_math": False}      # a dollar sign, or a sign in a reader's own name, is no formula


def axes(figure, box=(0.105, 0.145, 0.865, 0.765), system="US", **labels):
    """Add axes at fixed margins (left, bottom, width, height) and set labels and limits.

    A label of words and a kind of number, such as ``("Depth", "depth")``, gets its unit for a reader of `system`.
    """
    for end in {"xlabel", "ylabel"} & set(labels):
        if isinstance(labels[end], tuple):
            labels[end] = axis_label(*labels[end], system)
    ax = figure.add_axes(box, axes_class=QuickAxes if isinstance(figure.canvas, Canvas) else Axes)
    ax.set(**labels)
    return ax


def upright_lines(ax, places, **look):
    """Lines from the bottom to the top of the axes, all as one object: each object costs half a millisecond."""
    ax.add_line(Line2D(np.repeat(places, 3), np.tile((0.0, 1.0, np.nan), len(places)),
                       transform=ax.get_xaxis_transform(), **look))


def shown(values, kind, system):
    """Numbers of the package in the unit that a reader of `system` sees."""
    return units.to_display(values, kind, INSIDE[kind], system)


def axis_label(words, kind, system):
    """Axis label with its unit, such as ``Depth (ft)``."""
    label = units.unit_label(units.KINDS[kind][system != "US"])
    return f"{words} ({label})" if label else words


def label_levels(ax, lines, dark_from, **look):
    """Write its level on each contour line, in white where the ground is dark: from `dark_from` on."""
    for words in ax.clabel(lines, **look):
        if float(words.get_text()) >= dark_from:
            words.set_color("white")


def render(draw, *args, size=(WIDTH, HEIGHT), **kwargs):
    """Let ``draw(figure, ...)`` fill an empty figure of `size` (inches) and return the SVG text.

    A new figure is quicker than a cleared one: clearing builds each axes again only to drop it. Where the
    quick axes fail, and the library's own do not, the rest of the session draws with those.
    """
    def drawn(page):
        figure = Figure(figsize=size, dpi=POINTS)
        canvas = page(figure)
        draw(figure, *args, **kwargs)
        return canvas.svg()
    with matplotlib.rc_context(_RC):
        try:
            return drawn(_PAGES[-1])
        except (AttributeError, TypeError):
            svg = drawn(PlainCanvas)
            _PAGES.append(PlainCanvas)
            return svg


def inline(svg, alt, prefix):
    """HTML of an SVG that scales with the page and that a screen reader speaks as `alt`.

    `prefix` keeps the picture's inner names apart from those of other pictures on the page.
    """
    width = float(re.search(r'width="([\d.]+)pt"', svg)[1]) * 4 / 3
    svg = re.sub(r'width="[\d.]+pt"', f'style="width:100%;max-width:{width:.0f}px;height:auto;'
                 'background:#fff" aria-hidden="true" focusable="false"', svg, count=1)
    svg = re.sub(r'height="[\d.]+pt"', "", svg, count=1)
    for name in (' id="', "url(#", 'href="#'):
        svg = svg.replace(name, f"{name}{prefix}-")
    return f'<div role="img" aria-label="{html.escape(alt, quote=True)}">{svg}</div>'


def still_html(svg, alt):
    """HTML of a figure as an image with alternative text and the same words under it; needs no widget."""
    picture = base64.b64encode(svg.encode()).decode()
    return (f'<figure style="margin:0"><img alt="{html.escape(alt, quote=True)}" '
            f'style="width:100%;max-width:700px" src="data:image/svg+xml;base64,{picture}">'
            f'<figcaption style="max-width:44em">{html.escape(alt)}</figcaption></figure>')


class Still:
    """A figure that does not move, with its message in words under it.

    Displayed by Jupyter as an image with alternative text; it needs no widget, so it also shows
    where a workbook is only read.
    """

    def __init__(self, draw, *args, alt, width=WIDTH, height=HEIGHT, **kwargs):
        self.svg = render(draw, *args, size=(width, height), **kwargs)
        self.alt = alt

    def __repr__(self):
        return f"Figure: {self.alt}"

    def _repr_html_(self):
        return still_html(self.svg, self.alt)
