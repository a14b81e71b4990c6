"""Figures of workbooks 00 and 01: the bed of the pond, the water in it, and how sure we are."""

import numpy as np
from matplotlib.tri import Triangulation

from ..units import KINDS, format_number, unit_label
from . import style


def acre_foot(figure, result, system):
    """A pond drawn as a block: its area wide, its mean depth deep, with one more foot (0.3 m) on top.

    `result` has area (m2), depth (m), volume and extra (m3).
    """
    side = [style.shown(value, "distance", system) for value in (result.area**0.5, result.depth)]
    most = style.shown(200.0, "distance", system)
    foot = style.shown(0.3048, "distance", system)
    ax = style.axes(figure, system=system, xlabel=("Side of a square pond of this area", "distance"),
                    ylabel=("Depth", "depth"), xlim=(0, most), ylim=(style.shown(8.0, "depth", system), -2 * foot))
    ax.bar(0, side[1], width=side[0], align="edge", color=style.SKY, edgecolor=style.BLUE, label="water")
    ax.bar(0, -foot, width=side[0], align="edge", color="white", edgecolor=style.RED, hatch="////",
           label=f"one more {'foot' if system == 'US' else 'foot (0.3 m)'}")
    volume = format_number(style.shown(result.volume, "volume", system))
    within = side[0] > 0.2 * most
    ax.text(side[0] / 2 if within else side[0] + 0.01 * most, side[1] / 2,
            f"{volume} {'acre-ft' if system == 'US' else 'm³'}", ha="center" if within else "left", va="center")
    ax.legend(loc="lower right")


def _length(values, system):
    return style.shown(np.asarray(values), "distance", system)


def _bed(ax, basin, system):
    """Filled depth contours on the survey's own triangles, with labelled lines; returns the contour set."""
    mesh = Triangulation(_length(basin.x, system), _length(basin.y, system), basin.triangles)
    depth = _length(basin.depth, system)
    top = np.ceil(depth.max())
    filled = ax.tricontourf(mesh, depth, levels=np.linspace(0, top, 9), cmap="Blues")
    lines = ax.tricontour(mesh, depth, levels=np.linspace(0, top, 5)[1:-1], colors="#333333",
                          linewidths=0.6)
    style.label_levels(ax, lines, 0.55 * top, fmt=lambda v: format_number(v, 2), fontsize=8)
    ax.set_aspect("equal")
    ax.grid(False)
    return filled


def _bank(ax, x, y, system):
    ax.plot(_length(np.append(x, x[0]), system), _length(np.append(y, y[0]), system), color=style.BLACK, linewidth=1.4,
            label="shoreline")


def depth_map(figure, basin, soundings, shoreline, system, wanted=()):
    """Map of the bed with the soundings that made it, and numbered rings (x, y, radius in m) where to sound next."""
    ax = style.axes(figure, (0.1, 0.13, 0.72, 0.8), system, xlabel=("East", "distance"), ylabel=("North", "distance"))
    filled = _bed(ax, basin, system)
    if shoreline is not None:
        _bank(ax, shoreline.x, shoreline.y, system)
    ax.plot(_length(soundings.x, system), _length(soundings.y, system), "o", color="white", markersize=3,
            markeredgecolor=style.BLACK, markeredgewidth=0.7, label="sounding")
    for number, (x, y, empty) in enumerate(np.reshape(wanted, (-1, 3)), 1):
        x, y, empty = _length([x, y, empty], system)
        turn = np.linspace(0, 2 * np.pi, 73)
        ax.plot(x + empty * np.cos(turn), y + empty * np.sin(turn), color=style.RED, linewidth=1.6, linestyle="--",
                label="sound here next" if number == 1 else None, scalex=False, scaley=False)
        ax.text(x, y, number, color=style.RED_TEXT, ha="center", va="center", fontsize=11, fontweight="bold",
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.5})
    ax.legend(loc="upper center", bbox_to_anchor=(0.5, 1.1), ncols=3, fontsize=9)
    bar = figure.colorbar(filled, cax=figure.add_axes([0.85, 0.13, 0.025, 0.8]))
    bar.set_label(style.axis_label("Depth", "depth", system))
    bar.ax.invert_yaxis()


def level(figure, result, system):
    """Left: what is still under water when the level has dropped. Right: water left against level.

    `result` has basin, table (depth, area, volume), drop (m), area (m2) and volume (m3) left.
    """
    ax = style.axes(figure, (0.1, 0.13, 0.4, 0.8), system, xlabel=("East", "distance"), ylabel=("North", "distance"))
    basin, drop = result.basin, result.drop
    mesh = Triangulation(_length(basin.x, system), _length(basin.y, system), basin.triangles)
    deepest = float(np.max(basin.depth))
    ax.tricontourf(mesh, basin.depth, levels=[-1e-6, max(drop, 1e-9), deepest * 1.001 + 1e-6],
                   colors=["#E9DFC7", style.SKY])
    if drop < deepest:
        ax.tricontour(mesh, basin.depth, levels=[drop], colors=style.BLUE, linewidths=1.6)
    ax.set_aspect("equal")
    ax.grid(False)
    right = style.axes(figure, (0.6, 0.13, 0.37, 0.8), system, xlim=(0, 105), xlabel="Share of the full pond (%)",
                       ylim=(style.shown(deepest, "depth", system), 0), ylabel=("Water level below full", "depth"))
    depth = style.shown(result.table.depth, "depth", system)
    right.plot(100 * result.table.volume / result.table.volume[0], depth, label="water left", **style.LINES[0])
    right.plot(100 * result.table.area / result.table.area[0], depth, label="surface left", **style.LINES[1])
    right.axhline(style.shown(drop, "depth", system), color=style.BLACK, linewidth=1, linestyle=":")
    right.plot(100 * result.volume / result.table.volume[0], style.shown(drop, "depth", system), "o", color=style.BLUE)
    right.plot(100 * result.area / result.table.area[0], style.shown(drop, "depth", system), "s", color=style.RED)
    right.legend(loc="lower right")


def lines_and_mean(figure, result, system):
    """Left: where the boat sounded. Right: the average of those soundings beside the true mean depth.

    `result` has basin, shoreline_x, shoreline_y, x, y (m), estimate, triangles, truth (mean depths, m).
    """
    ax = style.axes(figure, (0.1, 0.13, 0.43, 0.8), system, xlabel=("East", "distance"), ylabel=("North", "distance"))
    _bank(ax, result.shoreline_x, result.shoreline_y, system)
    ax.plot(_length(result.x, system), _length(result.y, system), ".", color=style.RED, markersize=4)
    ax.set_aspect("equal")
    ax.grid(False)
    right = style.axes(figure, (0.62, 0.13, 0.35, 0.8), system, xticks=[0, 1], xlim=(-0.6, 1.6),
                       ylim=(0, style.shown(result.truth * 1.9, "depth", system)), ylabel=("Mean depth", "depth"))
    right.set_xticklabels(["plain average", "by triangles"])
    heights = [style.shown(value, "depth", system) for value in (result.estimate, result.triangles)]
    for place, height, colour, hatch in zip((0, 1), heights, (style.ORANGE, style.SKY), ("//", ""), strict=True):
        right.bar(place, height, width=0.6, color=colour, edgecolor=style.BLACK, hatch=hatch)
        right.text(place, height, f"{height:.1f}", ha="center", va="bottom",
                   bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8})
    truth = style.shown(result.truth, "depth", system)
    right.axhline(truth, color=style.BLACK, linestyle="--")
    right.text(1.58, truth, "truth", ha="right", va="bottom")


def hand_methods(figure, result, system):
    """Bars: each hand method's volume as a share of the exact one, for one basin shape.

    `result` has methods (dict of name to m3) and exact (m3).
    """
    ax = style.axes(figure, (0.22, 0.15, 0.75, 0.78), xlabel="Share of the exact volume (%)", xlim=(0, 200))
    for row, volume in enumerate(result.methods.values()):
        share = 100 * volume / result.exact
        shown = format_number(style.shown(volume, "volume", system))
        ax.barh(row, min(share, 200), height=0.6, color=style.SKY, edgecolor=style.BLACK)
        ax.text(2, row, f"{shown} {unit_label(KINDS['volume'][system != 'US'])} ({share - 100:+.0f} %)", va="center",
                fontsize=9.5)
    ax.axvline(100, color=style.RED, linestyle="--", label="exact")
    ax.set_yticks(range(len(result.methods)), list(result.methods))
    ax.invert_yaxis()
    ax.grid(axis="y", visible=False)
    ax.legend(loc="lower right")


def range_by_tracks(figure, result, system):
    """The volume and its range when only some of the boat's tracks are used.

    `result` has counts (tracks used), volumes (list of Range, m3), chosen (index), exact (m3 or None).
    """
    ax = style.axes(figure, system=system, xlabel="Boat tracks used", ylabel=("Volume", "volume"),
                    ylim=(0, style.shown(result.most, "volume", system)))
    unit = KINDS["volume"][system != "US"]
    for n, (count, volume) in enumerate(zip(result.counts, result.volumes, strict=True)):
        low, usual, high = (style.shown(v, "volume", system) for v in volume)
        chosen = n == result.chosen
        ax.errorbar(count, usual, yerr=[[usual - low], [high - usual]], fmt="s" if chosen else "o", capsize=5,
                    color=style.BLUE if chosen else "#888888", markersize=8 if chosen else 5,
                    linewidth=2.4 if chosen else 1.2)
    if result.exact is not None:
        exact = style.shown(result.exact, "volume", system)
        ax.axhline(exact, color=style.RED, linestyle="--")
        ax.text(result.counts[-1] + 0.4, 0.4 * exact, f"dashed line: truth, {format_number(exact)} {unit_label(unit)}",
                ha="right", color=style.RED_TEXT)
    ax.set_xticks(result.counts)
    ax.set_xlim(result.counts[0] - 0.5, result.counts[-1] + 0.5)
