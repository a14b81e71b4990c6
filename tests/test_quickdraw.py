"""The quick axes draw what matplotlib's own axes draw: same words, same places, same grid and marks."""

import re

import matplotlib
import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from pondcalc.figures import quickdraw, style
from pondcalc.figures.quickdraw import Canvas, QuickAxes


def plain(ax):
    ax.set(xlim=(0, 10), ylim=(-3, 120), xlabel="Days", ylabel="Depth (ft)", title="A title")


def upside_down(ax):
    ax.set(xlim=(-1, 1), ylim=(14, 0), yticks=[0, 5, 10])


def named(ax):
    ax.set_xticks([0, 1, 2], ["one", "two\nlines", ""], fontsize=9)
    ax.set_xlim(-0.5, 1.5)
    ax.grid(axis="x", visible=False)


def logarithmic(ax):
    ax.set_xscale("log")
    ax.set_xlim(0.5, 200)


def few_labels(ax):
    ax.tick_params(labelbottom=False)
    ax.tick_params(axis="y", length=0, labelsize=8)
    ax.set_yticks(np.linspace(0, 1, 3))


def no_ticks(ax):
    ax.set(xticks=[], yticks=[], xlabel="bare")


def large_numbers(ax):
    ax.set(xlim=(0, 1e-7), ylim=(1e6, 1.00001e6))


def drawn(prepare, kind):
    """Words with their places, and the ends of all straight strokes, of one picture."""
    with matplotlib.rc_context(style._RC):
        figure = Figure(figsize=(5, 3), dpi=72)
        canvas = Canvas(figure)
        prepare(figure.add_axes((0.15, 0.2, 0.8, 0.7), axes_class=kind))
        svg = canvas.svg()
    words = re.findall(r'<text style="([^"]*)"(?: x="([^"]*)" y="([^"]*)")?([^>]*)>([^<]*)</text>', svg)
    strokes = set()
    marks = {name: [float(v) for v in re.findall(r"-?[\d.]+", path)]
             for name, path in re.findall(r'<path id="(m\w+)" d="([^"]*)"', svg)}
    for name, x, y in re.findall(r'href="#(m\w+)" x="([\d.]+)" y="([\d.]+)"', svg):
        a, b, c, d = marks[name]
        strokes.add(tuple(np.round((float(x) + a, float(y) + b, float(x) + c, float(y) + d), 2)))
    for path in re.findall(r'<path d="([^"]*)"', svg):
        for piece in path.split("M")[1:]:
            ends = [float(v) for v in re.findall(r"-?\d+(?:\.\d+)?", piece)]
            if len(ends) == 4:
                strokes.add(tuple(np.round(ends, 2)))
    return sorted(words, key=str), strokes


@pytest.mark.parametrize("prepare", [plain, upside_down, named, logarithmic, few_labels, no_ticks, large_numbers])
def test_same_as_the_librarys_axes(prepare):
    words, strokes = drawn(prepare, QuickAxes)
    their_words, their_strokes = drawn(prepare, Axes)
    assert [w[-1] for w in words] == [w[-1] for w in their_words]
    for ours, theirs in zip(words, their_words, strict=True):
        assert ours[0] == theirs[0]                             # size, font, side the words hang by
        numbers = [[float(v) for v in re.findall(r"-?\d+(?:\.\d+)?", " ".join(w[1:4]))] for w in (ours, theirs)]
        assert numbers[0] == pytest.approx(numbers[1], abs=0.02), ours[-1]
    assert strokes == their_strokes and len(strokes) > 1


def test_same_picture_twice():
    """Two drawings of the same are the same text, also when sizes of words are remembered."""
    def draw(figure):
        plain(style.axes(figure))
    assert style.render(draw) == style.render(draw)
    assert style.render(draw, size=(3, 2)) != style.render(draw)


@pytest.mark.parametrize("inner, broken", [("_major_tick_kw", property(lambda axis: {}.gone)),
                                           ("_update_label_position", lambda axis, renderer, more: None)])
def test_plain_axes_where_the_librarys_insides_have_changed(monkeypatch, inner, broken):
    """A part that was renamed, or asks for more than it did: drawn all the same, with the same words."""
    def draw(figure):
        plain(style.axes(figure))
    quick = style.render(draw)
    monkeypatch.setattr(style, "_PAGES", [Canvas])
    monkeypatch.setattr(quickdraw._QuickAxis, inner, broken, raising=False)
    words = [re.findall(r">([^<>]+)</text>", svg) for svg in (quick, style.render(draw), style.render(draw))]
    assert sorted(words[0]) == sorted(words[1]) == sorted(words[2]) and "Depth (ft)" in words[1]
    assert style._PAGES[-1] is quickdraw.PlainCanvas, "and not tried again in vain"
    assert 'aria-label="words"' in style.inline(style.render(draw), "words", "a")


def test_a_fault_in_a_drawing_is_no_reason_for_plain_axes():
    with pytest.raises(TypeError, match="unsupported"):
        style.render(lambda figure: style.axes(figure) + 1)
    assert style._PAGES == [Canvas]
