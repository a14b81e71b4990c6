"""Figures of workbook 03 on the water that bubbles lift, where it comes from, and what it takes in at the top."""

import numpy as np
from matplotlib.tri import Triangulation

from ..units import to_display
from . import style
from .bubbles_and_oxygen import _range_bar

LONGEST = 72.0          # hours; slower turnovers are drawn at the edge


def split(figure, result, system):
    """Water lifted and turnover time against the number of diffusers that share the air.

    `result` has count (array), lifted and turnover (Range of arrays, m3/s and s), chosen (index), most (m3/s).
    """
    left = style.axes(figure, (0.12, 0.15, 0.36, 0.76), xlabel="Diffusers sharing the air", ylabel=style.axis_label(
        "Water lifted", "water flow", system), ylim=(0, to_display(result.most, "water flow", "m^3/s", system)))
    right = style.axes(figure, (0.6, 0.15, 0.37, 0.76), xlabel="Diffusers sharing the air",
                       ylabel="Hours to lift one pond volume", ylim=(0, LONGEST))
    lifted = [to_display(end, "water flow", "m^3/s", system) for end in result.lifted]
    hours = [np.minimum(end / 3600, 0.985 * LONGEST) for end in result.turnover]
    right.axhline(24, color=style.RED, linestyle="--", linewidth=1.2)
    right.text(8.5, 24.6, "one a day", color=style.RED_TEXT, ha="right", va="bottom", fontsize=9)
    picked = np.arange(len(result.count)) == result.chosen
    for ax, (low, usual, high) in ((left, lifted), (right, hours)):
        for which, look in ((~picked, {"fmt": "o", "color": "#888888", "markersize": 4, "linewidth": 1.2}),
                            (picked, {"fmt": "s", "color": style.BLUE, "markersize": 8, "linewidth": 2.4})):
            ax.errorbar(result.count[which], usual[which], yerr=[(usual - low)[which], (high - usual)[which]],
                        capsize=4, **look)
        ax.set_xlim(0.5, 8.5)
        ax.set_xticks(result.count)


def paths(figure, result, system):
    """Oxygen by the two paths as bars from low to high.

    `result` has rows (list of words and Range in kg/s), least and most (kg/s).
    """
    ax = style.axes(figure, (0.24, 0.15, 0.73, 0.78), xlabel=style.axis_label("Oxygen", "oxygen rate", system),
                    xlim=[3600 * to_display(end, "oxygen rate", "kg/h", system) for end in (result.least, result.most)])
    for row, (_, values) in enumerate(result.rows):
        colour, hatch = ((style.SKY, ""), (style.GREEN, "//"), (style.ORANGE, "xx"))[row]
        _range_bar(ax, row, [3600 * to_display(end, "oxygen rate", "kg/h", system) for end in values], colour, hatch)
    ax.axvline(0, color=style.BLACK, linewidth=1)
    ax.set_yticks(range(len(result.rows)), [words for words, _ in result.rows])
    ax.set_ylim(len(result.rows) - 0.4, -0.6)
    ax.grid(axis="y", visible=False)


def places(figure, result, system):
    """Depth map with suggested diffusers, and the water that lies deeper than they do.

    `result` has basin, shoreline_x, shoreline_y, places (placement.Places), spacing (m), level (m), shares (array,
    share of water below against `levels`), levels and share (at the level).
    """
    def length(values):
        return to_display(np.asarray(values), "distance", "m", system)
    basin = result.basin
    ax = style.axes(figure, (0.1, 0.13, 0.5, 0.8), xlabel=style.axis_label("East", "distance", system),
                    ylabel=style.axis_label("North", "distance", system))
    mesh = Triangulation(length(basin.x), length(basin.y), basin.triangles)
    deepest = float(np.max(basin.depth))
    ax.tricontourf(mesh, basin.depth, levels=np.linspace(0, deepest, 6), cmap="Blues")
    if result.level < deepest:
        for colour, width, line in (("white", 3, "-"), (style.RED, 1.6, "--")):      # the white shows it on dark blue
            ax.tricontour(mesh, basin.depth, levels=[result.level], colors=colour, linewidths=width, linestyles=line)
    ax.plot(length(result.shoreline_x), length(result.shoreline_y), color=style.BLACK, linewidth=1.4)
    turn = np.linspace(0, 2 * np.pi, 25)
    for x, y in zip(result.places.x, result.places.y, strict=True):
        ax.plot(length(x + result.spacing / 2 * np.cos(turn)), length(y + result.spacing / 2 * np.sin(turn)),
                color=style.ORANGE, linewidth=1.2)
    ax.plot(length(result.places.x), length(result.places.y), "o", color=style.YELLOW, markeredgecolor=style.BLACK,
            markersize=8)
    ax.set_aspect("equal")
    ax.grid(False)
    side = style.axes(figure, (0.72, 0.13, 0.25, 0.8), xlabel="Water below (% of all)", xlim=(0, 100),
                      ylabel=style.axis_label("Depth of the diffusers", "depth", system),
                      ylim=(to_display(deepest, "depth", "m", system), 0))
    side.plot(100 * result.shares, to_display(result.levels, "depth", "m", system), **style.LINES[0])
    side.axhline(to_display(result.level, "depth", "m", system), **(style.LINES[1] | {"linewidth": 1.4}))
    side.plot(100 * result.share, to_display(result.level, "depth", "m", system), "o", color=style.RED, markersize=8)
