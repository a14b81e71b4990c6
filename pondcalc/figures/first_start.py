"""Figures of workbook 07, part A: the first days."""

import math

import numpy as np

from ..the_year.startladder import KEPT, NOT_AT_BAD_END, NOT_KEPT
from ..units import to_display
from . import style

DAYS = 21
MOST_OXYGEN = 12.0
MARKS = {KEPT: ("o", style.GREEN), NOT_AT_BAD_END: ("^", style.ORANGE), NOT_KEPT: ("X", style.RED)}


def _steps(hours, days=DAYS):
    """x and y of a staircase of daily hours that goes on at its last step."""
    held = np.array([hours[min(n, len(hours) - 1)] for n in range(days)])
    return np.repeat(np.arange(days + 1), 2)[1:-1], np.repeat(held, 2)


def _ladder_steps(made):
    """The staircase of a Course: its hours until the lower water is surely up, then day and night."""
    return _steps(made.hours + ((24.0,) if math.isfinite(made.finish.high) else ()))


def ladder(figure, result, system):
    """Top: hours run each day, with the custom and the quickest ladder. Bottom: oxygen of the upper water.

    `result` has made (Course), custom (hours), quickest (Course or None), floor and stop (mg/L).
    """
    top = style.axes(figure, (0.1, 0.63, 0.87, 0.3), xlim=(0, DAYS), ylim=(0, 25), yticks=[0, 6, 12, 18, 24],
                     ylabel="Run (h a day)")
    made = result.made
    top.fill_between(*_ladder_steps(made), color="#BFE1F6", edgecolor=style.BLACK, linewidth=0.8, label="your ladder")
    if made.finish.low < made.finish.high and made.finish.low < DAYS:
        top.fill_between([made.finish.low, min(made.finish.high, DAYS)], 0, 24, facecolor="none", hatch="..",
                         edgecolor=style.BLUE, linewidth=0, label="24 h once the readings say so")
    top.plot(*_steps(result.custom), color=style.RED, linestyle="--", linewidth=1.6, label="30 min, doubled")
    if result.quickest is not None:
        top.plot(*_ladder_steps(result.quickest), color=style.BLACK, linewidth=1.8, label="quickest ladder kept")
    top.legend(loc="upper center", bbox_to_anchor=(0.5, 1.27), ncols=4, fontsize=8.5, columnspacing=1.0,
               handlelength=1.5)
    top.set_xticks(range(0, DAYS + 1, 3))
    top.tick_params(labelbottom=False)
    ax = style.axes(figure, (0.1, 0.11, 0.87, 0.48), xlim=(0, DAYS), ylim=(0, MOST_OXYGEN),
                    xticks=range(0, DAYS + 1, 3),
                    xlabel="Days from the start", ylabel=style.axis_label("Oxygen, upper water", "oxygen", system))
    moment = np.append(made.moment, max(DAYS, made.moment[-1]))
    low, usual, high = (np.append(values, values[-1]) for values in made.oxygen)
    ax.fill_between(moment, low, high, color=style.SKY, alpha=0.55, linewidth=0, label="bad end to good end")
    ax.plot(moment, usual, color=style.BLUE, label="usual")
    ax.axhline(result.floor, color=style.RED, linestyle="--", label="oxygen to keep")
    ax.axhline(result.stop, color=style.BLACK, linestyle=":", linewidth=1.6, label="stop reading")
    ax.legend(loc="upper right", ncols=4, fontsize=9)


def _size_axis(system):
    """Options of an x axis of lifted water that runs in steps of ten; positions are powers of ten."""
    ticks = (100, 1000, 10000) if system == "US" else (10, 100, 600)
    low, high = to_display(np.array([0.005, 0.8]), "water flow", "m^3/s", system)
    return {"xlim": (np.log10(low), np.log10(high)), "xticks": np.log10(ticks),
            "xticklabels": [f"{tick:,}" for tick in ticks],
            "xlabel": style.axis_label("Water lifted", "water flow", system)}


def custom(figure, result, system):
    """Left: lowest oxygen under the custom, by size of diffuser. Right: days until the lower water is up.

    `result` has lifted (m3/s, usual), rows (list of Course), floor.
    """
    size = np.log10(to_display(result.lifted, "water flow", "m^3/s", system))
    along = _size_axis(system)
    ax = style.axes(figure, (0.095, 0.15, 0.43, 0.7), ylim=(0, MOST_OXYGEN),
                    ylabel=style.axis_label("Lowest oxygen", "oxygen", system), **along)
    low, usual, high = (np.array([getattr(made.lowest_oxygen, end) for made in result.rows])
                        for end in ("low", "usual", "high"))
    ax.fill_between(size, low, high, color="#CCCCCC", linewidth=0)
    ax.axhline(result.floor, color=style.RED, linestyle="--")
    ax.text(along["xlim"][1] - 0.05, result.floor + 0.15, "oxygen to keep", va="bottom", ha="right",
            color=style.RED_TEXT, fontsize=9)
    for verdict, (mark, color) in MARKS.items():
        here = np.array([made.verdict == verdict for made in result.rows])
        ax.plot(size[here], usual[here], mark, color=color, markersize=8, markeredgecolor=style.BLACK, label=verdict)
    ax.legend(loc="upper center", ncols=3, fontsize=8.5, bbox_to_anchor=(0.48, 1.2), columnspacing=0.6,
              handletextpad=0.1)
    right = style.axes(figure, (0.6, 0.15, 0.375, 0.7), ylim=(0, 40), ylabel="Days until it is mixed", **along)
    right.plot(size, [min(made.finish.usual, 60) for made in result.rows], **style.LINES[1])
