"""Figures of workbook 03: bubbles and diffusers, the water they lift, and where it comes from."""

import numpy as np
from matplotlib.tri import Triangulation

from ..units import KINDS, format_number, unit_label
from . import style

DEEPEST = 9.144         # m, 30 ft: the depth axes stand still here
FASTEST = 1.1           # m/s
BARS = ((style.SKY, ""), (style.GREEN, "//"), (style.ORANGE, "xx"))


def rise(figure, result, system):
    """One bubble from the diffuser (bottom) to the surface (top): gas left, size and speed against depth.

    `result` has path (bubblepath.Path), speed (m/s through the water, at each depth) and plume_speed (m/s).
    """
    depth = style.shown(result.path.depth, "depth", system)
    floor = style.shown(DEEPEST, "depth", system)

    def panel(left, **labels):
        ax = style.axes(figure, (left, 0.15, 0.26, 0.7), ylim=(floor, 0), **labels)
        ax.axhline(depth[0], color="#888888", linewidth=1, linestyle=":")
        ax.tick_params(labelleft=left < 0.1)
        return ax
    gas = panel(0.09, xlabel="Gas left (% of the start)", xlim=(0, 130), xticks=(0, 50, 100),
                ylabel=style.axis_label("Depth", "depth", system))
    gas.plot(100 * result.path.oxygen_left, depth, label="oxygen", **style.LINES[0])
    gas.plot(100 * result.path.nitrogen_left, depth, label="nitrogen", **style.LINES[1])
    size = panel(0.4, xlabel="Diameter (% of the start)", xlim=(0, 150), xticks=(0, 50, 100))
    size.plot(100 * result.path.diameter / result.path.diameter[0], depth, **style.LINES[2])
    fast = panel(0.71, xlabel=style.axis_label("Speed", "speed", system),
                 xlim=(0, style.shown(FASTEST, "speed", system)))
    still = result.plume_speed == 0
    fast.plot(style.shown(result.speed, "speed", system), depth,
              label="through still water" if still else "through the water", **style.LINES[4 * (not still)])
    if not still:
        fast.plot(style.shown(result.speed + result.plume_speed, "speed", system), depth,
                  label="with the rising water", **style.LINES[0])
    for ax in (gas, fast):
        ax.legend(loc="lower center", bbox_to_anchor=(0.5, 1.0), fontsize=8.5, handlelength=1.6, borderpad=0)


def transfer_map(figure, result, system):
    """Share of the oxygen transferred for every bubble size and depth, with one choice marked.

    `result` has diameter and depth (axes, m), share (rows are depths), per_depth (True for % a foot or meter), size,
    submergence (m) and here (value at the mark, in the unit drawn).
    """
    ax = style.axes(figure, (0.1, 0.145, 0.74, 0.8), system, xscale="log", xlabel=("Bubble at the diffuser", "bubble"),
                    ylabel=("Depth of the diffuser", "depth"))
    levels = np.arange(0, 101, 10)
    shown = 100 * result.share
    if result.per_depth:
        shown = shown / style.shown(result.depth, "depth", system)[:, None]
        levels = np.arange(0, 6.1, 0.5) if system == "US" else np.arange(0, 20.1, 2)
    depth = style.shown(result.depth, "depth", system)
    millimetres = 1000 * result.diameter
    filled = ax.contourf(millimetres, depth, shown, levels=levels, cmap="Blues", extend="both")
    lines = ax.contour(millimetres, depth, shown, levels=levels[::2], colors="#333333", linewidths=0.6)
    style.label_levels(ax, lines, 0.55 * levels[-1], fmt=lambda v: f"{v:g}", fontsize=8)
    ax.plot(1000 * result.size, style.shown(result.submergence, "depth", system), "o", color=style.RED,
            markersize=9, markeredgecolor="white", clip_on=False)
    ax.set_ylim(style.shown(DEEPEST, "depth", system), depth[0])
    ticks = (0.5, 1, 2, 3, 5, 8, 12)
    ax.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
    ax.set_xticks([], minor=True)
    bar = figure.colorbar(filled, cax=figure.add_axes([0.865, 0.145, 0.025, 0.8]))
    unit = unit_label(KINDS["depth"][system != "US"])
    bar.set_label(f"Oxygen transferred (% for each {unit})" if result.per_depth else "Oxygen transferred (%)")


def kinds(figure, result, system):
    """Kinds of diffuser side by side: share of the oxygen that dissolves, and water lifted.

    `result` has options (comparison.Options), share (Range of arrays), most_lift (m3/s).
    """
    rows = np.arange(len(result.options.diffuser))
    left = style.axes(figure, (0.15, 0.15, 0.37, 0.74), xlim=(0, 80), xlabel="Oxygen dissolved (% of that blown in)",
                      title="Oxygen out of the bubbles")
    right = style.axes(figure, (0.6, 0.15, 0.37, 0.74), system,
                       xlim=(0, style.shown(result.most_lift, "water flow", system)),
                       xlabel=("Water lifted", "water flow"), title="Water lifted")
    lifted = [style.shown(end, "water flow", system) for end in result.options.lifted]
    for row, (colour, hatch) in zip(rows, BARS, strict=True):
        _range_bar(left, row, [100 * end[row] for end in result.share], colour, hatch)
        _range_bar(right, row, [end[row] for end in lifted], colour, hatch)
    right.locator_params(axis="x", nbins=4)
    left.set_yticks(rows, result.options.diffuser)
    right.set_yticks(rows, [""] * len(rows))
    for ax in (left, right):
        ax.set_ylim(len(rows) - 0.4, -0.6)
        ax.grid(axis="y", visible=False)


def _range_bar(ax, row, ends, colour, hatch):
    """A bar from low to high with a thick mark at the usual value."""
    low, usual, high = (float(value) for value in ends)
    ax.barh(row, high - low, left=low, height=0.5, color=colour, hatch=hatch, edgecolor=style.BLACK)
    ax.plot([usual, usual], [row - 0.33, row + 0.33], color=style.BLACK, linewidth=3)


def tub(figure, result, system):
    """A tub test: readings and the fitted curve, what the curve misses, and kLa with its interval.

    `result` has log, fit (buckettest.BucketFit), minutes and curve (drawn line), truth (1/s or None), last (min).
    """
    minutes, used = np.asarray(result.log.time) / 60, np.asarray(result.fit.used)
    ax = style.axes(figure, (0.105, 0.42, 0.605, 0.5), system, xlim=(0, result.last), ylim=(0, 1.2 * result.top),
                    ylabel=("Oxygen", "oxygen"))
    ax.plot(minutes[used], result.log.dissolved_oxygen[used], "o", color=style.BLUE, markersize=4, label="used")
    ax.plot(minutes[~used], result.log.dissolved_oxygen[~used], "x", color=style.RED, markersize=6, label="left out")
    ax.plot(result.minutes, result.curve, color=style.BLACK, linewidth=1.4, label="fitted curve")
    ax.axhline(result.fit.saturation, color=style.BLACK, linestyle=":", linewidth=1.2)
    ax.text(0.01 * result.last, result.fit.saturation, f"settles at {format_number(result.fit.saturation)}",
            va="bottom", fontsize=9)
    ax.legend(loc="lower right", fontsize=9)
    miss = style.axes(figure, (0.105, 0.13, 0.605, 0.21), xlim=(0, result.last), ylim=(-0.5, 0.5), xlabel="Minutes")
    miss.set_ylabel("Off by (mg/L)", fontsize=9)
    miss.axhline(0, color=style.BLACK, linewidth=1)
    off = np.asarray(result.fit.residuals)
    miss.plot(minutes[used], np.clip(off[used], -0.48, 0.48), "o", color=style.BLUE, markersize=3.5)
    miss.plot(minutes[~used], np.clip(off[~used], -0.48, 0.48), "x", color=style.RED, markersize=5)
    side = style.axes(figure, (0.83, 0.13, 0.14, 0.79), xlim=(-0.5, 0.5), xticks=[], ylim=(0, 3600 * result.most),
                      ylabel="kLa (per hour)")
    low, value, high = (3600 * min(max(v, 0.0), result.most) for v in (result.fit.kla_low, result.fit.kla,
                                                                       result.fit.kla_high))
    side.errorbar(0, value, yerr=[[value - low], [high - value]], fmt="s", capsize=7, color=style.BLUE, markersize=7)
    if result.truth is not None:
        side.axhline(3600 * result.truth, color=style.RED, linestyle="--")
        side.text(0.48, 3600 * result.truth * 1.02, "truth", color=style.RED_TEXT, ha="right", va="bottom", fontsize=9)


LONGEST = 72.0          # hours; slower turnovers are drawn at the edge


def split(figure, result, system):
    """Water lifted and turnover time against the number of diffusers that share the air.

    `result` has count (array), lifted and turnover (Range of arrays, m3/s and s), chosen (index), most (m3/s).
    """
    left = style.axes(figure, (0.12, 0.15, 0.36, 0.76), system, xlabel="Diffusers sharing the air",
                      ylabel=("Water lifted", "water flow"), ylim=(0, style.shown(result.most, "water flow", system)))
    right = style.axes(figure, (0.6, 0.15, 0.37, 0.76), xlabel="Diffusers sharing the air",
                       ylabel="Hours to lift one pond volume", ylim=(0, LONGEST),
                       title="" if result.turnover.high.max() < LONGEST else "At the top: longer still")
    lifted = [style.shown(end, "water flow", system) for end in result.lifted]
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
    ax = style.axes(figure, (0.24, 0.15, 0.73, 0.78), system, xlabel=("Oxygen", "oxygen rate"),
                    xlim=[style.shown(end, "oxygen rate", system) for end in (result.least, result.most)])
    for row, (_, values) in enumerate(result.rows):
        colour, hatch = ((style.SKY, ""), (style.GREEN, "//"), (style.ORANGE, "xx"))[row]
        _range_bar(ax, row, [style.shown(end, "oxygen rate", system) for end in values], colour, hatch)
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
        return style.shown(np.asarray(values), "distance", system)
    basin = result.basin
    ax = style.axes(figure, (0.1, 0.13, 0.5, 0.8), system, xlabel=("East", "distance"), ylabel=("North", "distance"))
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
    side = style.axes(figure, (0.72, 0.13, 0.25, 0.8), system, xlabel="Water below (% of all)", xlim=(0, 100),
                      ylabel=("Depth of the diffusers", "depth"), ylim=(style.shown(deepest, "depth", system), 0))
    side.plot(100 * result.shares, style.shown(result.levels, "depth", system), **style.LINES[0])
    side.axhline(style.shown(result.level, "depth", system), **(style.LINES[1] | {"linewidth": 1.4}))
    side.plot(100 * result.share, style.shown(result.level, "depth", system), "o", color=style.RED, markersize=8)
