"""Figures of workbook 06: power, wire, cabinet, hot line, cost and noise."""

import numpy as np
from matplotlib.ticker import ScalarFormatter

from ..units import format_number
from . import style

PLATE = {"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 1.5}       # behind words on a busy place
THIN = {"color": "#888888", "linewidth": 1.0}


def _temperature(values, system):
    return style.shown(np.asarray(values, float), "temperature", system)


def sloshing(figure, result, system):
    """Left: power from moment to moment. Right: what a year would cost by volt-amps and does cost by watts.

    `result` has factor (power factor), carried (VA), power (W), cost and wrong_cost ($ a year), most_cost.
    """
    ax = style.axes(figure, (0.11, 0.15, 0.48, 0.78), xlim=(0, 2), ylim=(-1.05, 2.05), xlabel="Cycles of the current",
                    ylabel="Share of volts × amps")
    turn = np.linspace(0, 2, 121)
    lag = np.arccos(result.factor)
    power = 2 * np.sin(2 * np.pi * turn) * np.sin(2 * np.pi * turn - lag)
    ax.fill_between(turn, power, 0, where=power >= 0, color=style.SKY, alpha=0.6, linewidth=0)
    ax.fill_between(turn, power, 0, where=power <= 0, color=style.ORANGE, alpha=0.8, hatch="//", linewidth=0)
    ax.plot(turn, power, **style.LINES[0])
    ax.axhline(1, color=style.BLACK, linewidth=1, linestyle=":")
    ax.axhline(result.factor, color=style.RED, linestyle="--")
    ax.text(1.98, result.factor - 0.06, "average: the watts you pay for", ha="right", va="top", color=style.RED_TEXT,
            bbox=PLATE)
    ax.text(1.98, 1.06, "volts × amps", ha="right", va="bottom", bbox=PLATE)
    ax.text(0.03, -0.97, "below 0: handed back to the supply", va="bottom", bbox=PLATE)
    side = style.axes(figure, (0.71, 0.15, 0.26, 0.78), xlim=(-0.6, 1.6), ylim=(0, result.most_cost), xticks=[0, 1],
                      ylabel="A year's electricity ($)")
    side.set_xticklabels(["volts × amps\n(the slip)", "watts\n(the bill)"], fontsize=9)
    for place, cost, colour, hatch in ((0, result.wrong_cost, style.ORANGE, "//"), (1, result.cost, style.SKY, "")):
        top = min(cost, result.most_cost * 0.93)
        side.bar(place, top, width=0.62, color=colour, edgecolor=style.BLACK, hatch=hatch)
        side.text(place, top, f"${format_number(cost)}" + (" ▲" if cost > top else ""), ha="center", va="bottom")


def wire_run(figure, result, system):
    """Left: share of the voltage lost along the run, by gauge. Right: amps against the breaker.

    `result` has gauge, lengths (m), drops (gauge to array of shares), length, drop, start_drop (Range of shares),
    current, needed, start (Range), breaker (A).
    """
    ax = style.axes(figure, (0.09, 0.15, 0.52, 0.72), system,
                    xlim=(0, style.shown(result.lengths[-1], "distance", system)), ylim=(0, 20),
                    xlabel=("Length of the run, one way", "distance"), ylabel="Voltage lost (%)")
    lengths = style.shown(result.lengths, "distance", system)
    for gauge, drops in result.drops.items():
        chosen = gauge == result.gauge
        ax.plot(lengths, 100 * drops, **(style.LINES[0] if chosen else THIN))
        end = min(np.searchsorted(100 * drops, 18.5), len(lengths) - 1)
        ax.text(lengths[end], min(100 * drops[end], 18.5), f"{gauge} AWG" if chosen else str(gauge), fontsize=8.5,
                ha="right", va="bottom", color=style.BLUE if chosen else "#555555", weight="bold" if chosen else None)
    ax.axhline(3, color=style.RED, linestyle="--")
    ax.text(0.01 * lengths[-1], 3.2, "3 %, advised", color=style.RED_TEXT, va="bottom", fontsize=9.5, bbox=PLATE)
    here = style.shown(result.length, "distance", system)
    low, high = 100 * result.start_drop.low, 100 * result.start_drop.high
    ax.plot([here, here], [min(low, 19.8), min(high, 19.8)], color=style.ORANGE, linewidth=7, alpha=0.7,
            solid_capstyle="butt", label="at the start, low to high")
    ax.plot(here, min(100 * result.drop, 19.8), "o", color=style.BLACK, markersize=8, label="while running")
    ax.legend(loc="lower left", ncols=2, fontsize=9, bbox_to_anchor=(0.0, 1.0), borderaxespad=0.1)
    side = style.axes(figure, (0.73, 0.15, 0.24, 0.72), xlim=(-0.6, 1.6), ylim=(0, 40), xticks=[0, 1],
                      ylabel="Current (A)")
    side.set_xticklabels(["running", "× 1.25,\nday and night"], fontsize=9)
    for place, amps, colour, hatch in ((0, result.current, style.SKY, ""), (1, result.needed, style.BLUE, "//")):
        side.bar(place, amps, width=0.6, color=colour, edgecolor=style.BLACK, hatch=hatch)
        side.text(place, amps, f"{amps:.1f}", ha="center", va="bottom")
    side.axhline(result.breaker, color=style.RED, linestyle="--")
    side.text(1.58, result.breaker, f"breaker {result.breaker:.0f} A", color=style.RED_TEXT, ha="right", va="bottom")


def cabinet(figure, result, system):
    """Left: how warm it gets in three cases. Right: where the heat goes in the one chosen.

    `result` has outside (C), cases (list of words, C), chosen (index), warm_enough (C), heat_in and heat_out (lists of
    words, W), most_heat.
    """
    ax = style.axes(figure, (0.2, 0.15, 0.4, 0.78), system, xlim=_temperature([-5, 145], system),
                    xlabel=("Inside the cabinet", "temperature"))
    left = ax.get_xlim()[0]
    for row, (_, warm) in enumerate(result.cases):
        chosen = row == result.chosen
        shown = float(_temperature(warm, system))
        ax.barh(row, min(shown, ax.get_xlim()[1]) - left, left=left, height=0.55,
                color=style.SKY if chosen else "#DDDDDD", edgecolor=style.BLACK, hatch="//" if chosen else "")
        ax.text(left + 0.02 * (ax.get_xlim()[1] - left), row, f"{shown:.0f}", va="center", weight="bold",
                bbox=PLATE)
    for value, colour, line, words, place, side in (
            (result.outside, style.GREEN_TEXT, ":", "outdoors", 2.62, -2),
            (result.warm_enough, style.RED_TEXT, "--", "limit of many motors", -0.62, 2)):
        ax.axvline(float(_temperature(value, system)), color=colour, linestyle=line)
        ax.text(float(_temperature(value + side, system)), place, words, color=colour, fontsize=9, va="center",
                ha="left" if side > 0 else "right")
    ax.set_yticks(range(len(result.cases)), [words for words, _ in result.cases])
    ax.set_ylim(2.85, -0.85)
    ax.grid(axis="y", visible=False)
    side = style.axes(figure, (0.7, 0.15, 0.27, 0.78), xlim=(-0.65, 1.65), ylim=(0, result.most_heat), xticks=[0, 1],
                      ylabel="Heat (W)")
    side.set_xticklabels(["comes in", "goes out"])
    looks = {"compressor and fan": (style.ORANGE, ""), "sun on the roof": (style.YELLOW, ".."),
             "moving air": (style.SKY, ""), "roof and walls": (style.GREEN, "xx"), "hot line": (style.PURPLE, "//")}
    for place, parts in enumerate((result.heat_in, result.heat_out)):
        foot = 0.0
        for words, watts in parts:
            colour, hatch = looks[words]
            side.bar(place, max(watts, 0), bottom=foot, width=0.7, color=colour, hatch=hatch, edgecolor=style.BLACK,
                     label=words)
            foot += max(watts, 0)
    side.legend(loc="upper center", fontsize=8.5, ncols=1)


def hot_line(figure, result, system):
    """Temperature of the air along the bare metal at the outlet.

    `result` has along (m), warm (list of three arrays, C, from the better machine to the worse), length (m), warmest
    (Range, C, at that length), soften (C), around (C).
    """
    ax = style.axes(figure, system=system, xlim=(0, style.shown(result.along[-1], "distance", system)),
                    ylim=_temperature([0, 220], system), xlabel=("Bare metal from the outlet", "distance"),
                    ylabel=("Temperature of the air", "temperature"))
    along = style.shown(result.along, "distance", system)
    names = ("pump that wastes little", "usual pump", "pump that wastes much")
    for warm, name, look in zip(result.warm, names, style.LINES, strict=False):
        ax.plot(along, _temperature(warm, system), label=name, **look)
    ax.axhline(_temperature(result.soften, system), color=style.BLACK, linewidth=1.2, linestyle=(0, (1, 1)))
    ax.text(along[-1], _temperature(result.soften + 2, system), "no common plastic past this", ha="right",
            va="bottom", fontsize=9.5)
    ax.axhline(_temperature(result.around, system), color="#888888", linewidth=1)
    ax.text(along[-1], _temperature(result.around - 2, system), "air around the line", ha="right", va="top",
            fontsize=9.5, color="#555555")
    here = style.shown(result.length, "distance", system)
    ax.axvline(here, color=style.BLACK, linestyle=":")
    for warm, mark in zip(result.warmest, "osD", strict=True):
        ax.plot(here, _temperature(warm, system), mark, color=style.BLACK)
    ax.legend(loc="upper right")


def offers(figure, result, system):
    """What each offer comes to a year, part by part, with the range of the total.

    `result` has costs (list of offers.OfferCost), years (number), most ($ a year).
    """
    ax = style.axes(figure, (0.16, 0.15, 0.81, 0.7), xlim=(0, result.most), ylim=(len(result.costs) - 0.4, -0.6),
                    xlabel="Cost a year, everything counted ($)")
    parts = (("bought", "purchase", style.BLUE, ""), ("bought again", "replacements", style.GREEN, "xx"),
             ("kits", "kits", style.YELLOW, ".."), ("electricity", "electricity", style.SKY, "//"))
    for row, cost in enumerate(result.costs):
        if cost.fits == "no":
            ax.text(0.01 * result.most, row, "does not fit this depth and flow", va="center", color=style.RED_TEXT)
            continue
        foot = 0.0
        for _, field, colour, hatch in parts:
            wide = getattr(cost.usual, field) / result.years
            ax.barh(row, wide, left=foot, height=0.5, color=colour, hatch=hatch, edgecolor=style.BLACK)
            foot += wide
        low, high = (value / result.years for value in (cost.total.low, cost.total.high))
        ax.plot([low, high], [row + 0.36] * 2, color=style.BLACK, linewidth=2, marker="|", markersize=9)
        shown = f"{format_number(cost.total.usual)}"
        ax.text(min(high, 0.87 * result.most) + 0.01 * result.most, row + 0.02,
                f"${shown} in all{cost.edge}" + (" ▶" if high > result.most else ""), va="center", fontsize=9.5,
                bbox=PLATE)
    for words, _, colour, hatch in parts:
        ax.barh(-5, 0, color=colour, hatch=hatch, edgecolor=style.BLACK, label=words)
    ax.plot([], [], color=style.BLACK, marker="|", markersize=9, label="low to high")
    ax.legend(loc="lower left", bbox_to_anchor=(-0.02, 1.0), ncols=5, fontsize=9, columnspacing=1.1, handlelength=1.6)
    ax.set_yticks(range(len(result.costs)), [cost.offer.name for cost in result.costs])
    ax.grid(axis="y", visible=False)


def noise(figure, result, system):
    """Level against distance, with the house of the neighbor.

    `result` has distances (m), levels (dBA), distance, level, quiet (dBA), quiet_distance (m).
    """
    distances = style.shown(result.distances, "distance", system)
    ax = style.axes(figure, system=system, xscale="log", xlim=(distances[0], distances[-1]), ylim=(0, 100),
                    xlabel=("Distance in the open", "distance"), ylabel="Level (dBA)")
    ax.plot(distances, result.levels, **style.LINES[0])
    ax.axhline(result.quiet, color=style.RED, linestyle="--")
    ax.text(distances[-1], result.quiet + 1.5, "steady level that makes a day-night average of 55 dB", ha="right",
            va="bottom", color=style.RED_TEXT, fontsize=9.5, bbox=PLATE)
    here = style.shown(result.distance, "distance", system)
    ax.axvline(here, color=style.BLACK, linestyle=":")
    ax.plot(here, min(max(result.level, 0), 100), "o", color=style.BLACK, markersize=9)
    ax.text(here, min(max(result.level, 0), 92) + 4, f"{result.level:.0f} dBA here ", fontweight="bold",
            ha="left" if result.distance < result.distances[40] else "right", bbox=PLATE)
    ax.xaxis.set_major_formatter(ScalarFormatter())
