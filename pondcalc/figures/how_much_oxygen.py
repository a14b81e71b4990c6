"""Figures of workbook 02: who makes and who uses the oxygen, the night, the chance, the delivery, the winter."""

import numpy as np

from ..units import KINDS, format_number, to_display, unit_label
from . import style

LEVELS = ((3.0, "most warm-water fish are stressed"), (2.0, "some die"))


def _limits(ax, left):
    """Two lines that matter to warm-water fish, with their words from `left` on, where oxygen is seldom low."""
    for (level, words), line in zip(LEVELS, (":", "-."), strict=True):
        ax.axhline(level, color=style.RED, linewidth=1.2, linestyle=line)
        ax.text(left, level + 0.08, f"below {level:g}: {words}", ha="left", va="bottom", fontsize=8.5,
                color=style.RED_TEXT, bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.75, "pad": 0.5})


def who(figure, result, system):
    """Bars of what each part adds and takes, by day and in the dark.

    `result` has parts (oxygencase.DayAndNight), rows (dict of part to words), most (kg).
    """
    most = to_display(result.most, "mass", "kg", system)
    for side, (title, amounts) in enumerate(((f"By day, {24 - result.parts.dark:.1f} hours", result.parts.day),
                                             (f"In the dark, {result.parts.dark:.1f} hours", result.parts.night))):
        ax = style.axes(figure, (0.205 + 0.405 * side, 0.145, 0.375, 0.76), xlim=(-0.62 * most, most), title=title,
                        xlabel=style.axis_label("Oxygen", "mass", system))
        ax.locator_params(axis="x", nbins=5)
        values = np.array([float(to_display(amounts[name], "mass", "kg", system)) for name in result.rows])
        shown = np.clip(values, -0.6 * most, 0.98 * most)
        for gain, colour, hatch in ((values >= 0, style.SKY, ""), (values < 0, style.ORANGE, "//")):
            ax.barh(np.flatnonzero(gain), shown[gain], height=0.62, color=colour, hatch=hatch, edgecolor=style.BLACK,
                    linewidth=0.7)
        for row, (value, end) in enumerate(zip(values, shown, strict=True)):
            words = "0" if abs(value) < 0.05 else f"{value:+,.0f}" if abs(value) >= 10 else f"{value:+.1f}"
            far = end > 0.75 * most
            ax.text(end - 0.02 * most if far else max(end, 0) + 0.02 * most, row, words, va="center",
                    ha="right" if far else "left", fontsize=9)
        ax.axvline(0, color=style.BLACK, linewidth=1)
        ax.set_yticks(range(len(result.rows)), list(result.rows.values()) if side == 0 else [])
        ax.set_ylim(len(result.rows) - 0.5, -0.5)
        ax.grid(axis="y", visible=False)


def curve(figure, result, system):
    """Oxygen through three days: saturation, nights in grey, the afternoon readings and the lows of the nights.

    `result` has hours, oxygen, saturation (mg/L), start (clock), nights (list of from, to), noon and low
    (arrays of hour and mg/L).
    """
    last = result.hours[-1]
    ticks = np.arange(0, last + 0.1, 12)
    ax = style.axes(figure, xlim=(0, last), ylim=(0, 14), ylabel=style.axis_label("Dissolved oxygen", "oxygen", system),
                    xticks=ticks, xlabel="Time of day (solar)")
    ax.set_xticklabels(["6 PM" if n % 2 == 0 else "6 AM" for n in range(len(ticks))])
    for begin, end in result.nights:
        ax.axvspan(begin, end, color="#E3E3E8", zorder=0)
    _limits(ax, 0.5)
    ax.plot(result.hours, result.saturation, color=style.BLACK, linestyle="--", linewidth=1.2,
            label="at rest with the air")
    ax.plot(result.hours, result.oxygen, label="oxygen in the pond", **style.LINES[0])
    ax.plot(*result.noon, "^", color=style.ORANGE, markeredgecolor=style.BLACK, markersize=8, label="reading at 3 PM")
    ax.plot(*result.low, "v", color=style.RED, markeredgecolor=style.BLACK, markersize=8, label="low of the night")
    ax.legend(loc="upper left", ncols=2, fontsize=9)


def two_readings(figure, result, system):
    """Two readings carried on to dawn, as a line and as a curve, with what a slip of the meter does.

    `result` has between, to_dawn (hours), first, second, line (hours, straight and curve arrays), ends (NightLine).
    """
    dawn = result.between + result.to_dawn
    ax = style.axes(figure, xlim=(0, 20), ylim=(0, 16), xlabel="Hours after the first reading",
                    ylabel=style.axis_label("Dissolved oxygen", "oxygen", system))
    _limits(ax, 0.2)
    hours, straight, curved = result.line
    ax.plot(hours, straight, label="same loss each hour", **style.LINES[1])
    ax.plot(hours, curved, label="same share each hour", **style.LINES[0])
    for offset, ends, line, mark in ((0.15, result.ends.straight, style.LINES[1], "D"),
                                     (-0.15, result.ends.curve, style.LINES[0], "o")):
        low, usual, high = (min(float(v), 16.0) for v in ends)
        ax.errorbar(dawn + offset, usual, yerr=[[max(usual - low, 0)], [max(high - usual, 0)]], fmt=mark, capsize=5,
                    color=line["color"], markersize=7)
    ax.plot([0, result.between], [result.first, result.second], "s", color=style.BLACK, markersize=7, label="readings")
    ax.axvline(dawn, color=style.BLACK, linewidth=1, linestyle=":")
    ax.text(dawn, 15.8, "dawn", ha="center", va="top", fontsize=9, backgroundcolor="white")
    ax.legend(loc="upper left", fontsize=9)


def chance(figure, result, system):
    """Left: the lows of many drawn ponds, those below the level hatched. Right: what matters most.

    `result` has lows (mg/L), level, chance, weight (dict of words to rank correlation).
    """
    ax = style.axes(figure, (0.09, 0.145, 0.43, 0.77), xlim=(0, 10), ylim=(0, 60), ylabel="Share of drawn ponds (%)",
                    xlabel=style.axis_label("Lowest oxygen in two nights", "oxygen", system))
    edges = np.arange(0, 10.01, 0.5)
    below = result.lows < result.level
    foot = 0
    for rows, colour, hatch, words in ((below, style.ORANGE, "//", "below your level"),
                                       (~below, style.SKY, "", "above it")):
        heights = 100 * np.histogram(np.clip(result.lows[rows], 0, 9.99), edges)[0] / len(result.lows)
        ax.stairs(foot + heights, edges, baseline=foot, fill=True, facecolor=colour, hatch=hatch, label=words,
                  edgecolor=style.BLACK, linewidth=0.6)         # one shape, not twenty bars: twice as quick to draw
        foot = foot + heights
    ax.axvline(result.level, color=style.RED, linestyle="--")
    ax.text(9.9, 47, f"below {result.level:.1f} mg/L:\n{100 * result.chance:.0f} %", ha="right", va="top", fontsize=13)
    ax.legend(loc="upper right", fontsize=9)
    side = style.axes(figure, (0.79, 0.145, 0.19, 0.77), xlim=(0, 1), title="What decides most")
    names = list(result.weight)[:6]
    side.barh(range(len(names)), [abs(result.weight[name]) for name in names], height=0.55, color=style.GREEN,
              edgecolor=style.BLACK)
    side.set_yticks(range(len(names)), names, fontsize=9)
    side.set_ylim(5.6, -0.6)
    side.set_xticks([0, 0.5, 1], ["0", "0.5", "1"])
    side.set_xlabel("Strength (0 to 1)")
    side.grid(axis="y", visible=False)


def delivery(figure, result, system):
    """Share of the drawn ponds that a steady delivery keeps at the floor, and where the stacked answers lie.

    `result` has each (kg/s), share (0 to 1), chosen, stacked, budget, most (kg/s).
    """
    def shown(rate):
        return to_display(np.multiply(rate, 3600), "oxygen rate", "kg/hour", system)
    most = shown(result.most)
    ax = style.axes(figure, xlim=(0, most), ylim=(0, 105),
                    xlabel=style.axis_label("Oxygen delivered", "oxygen rate", system),
                    ylabel="Drawn ponds kept at the floor (%)")
    each = np.sort(result.each)
    ax.step(np.append(shown(each), 10 * most), np.append(100 * np.arange(1, len(each) + 1) / len(each), 100),
            where="post", **style.LINES[0])
    chosen = float(shown(result.chosen))
    ax.plot([chosen, chosen, 0], [0, 100 * result.share, 100 * result.share], color=style.BLACK, linewidth=1.2)
    ax.plot(chosen, 100 * result.share, "o", color=style.BLACK, markersize=9, label="your share of ponds")
    for rate, words, line in ((result.stacked, "all doubts at their bad end", style.LINES[1]),
                              (result.budget, "one-night budget, stacked", style.LINES[3])):
        ax.axvline(min(float(shown(rate)), 0.995 * most), label=words, **line)
    ax.legend(loc="lower right", fontsize=9, bbox_to_anchor=(1.0, 0.08), frameon=True, facecolor="white",
              edgecolor="none")


def duties(figure, result, system):
    """Left: air each duty asks for. Right: dawn oxygen with 0, 1, 2 ... diffusers in the night of the left panel.

    `result` has need (delivery.DiffuserNeed), more (delivery.MoreDiffusers), per (air of one, m3/s), floor (mg/L),
    mixing (air for the mixing duty before rounding up to whole diffusers) and most (m3/s).
    """
    def air(value):
        return to_display(value, "air flow", "m^3/s", system)
    most = float(air(result.most))
    ax = style.axes(figure, (0.13, 0.145, 0.39, 0.76), xlim=(0, most),
                    xlabel=style.axis_label("Free air", "air flow", system), title="Air each duty asks for")
    bubbles = [n * result.per for n in result.need.for_oxygen]
    mixing = [0.0, result.mixing, result.mixing]
    for row, (numbers, flows, colour, hatch) in enumerate(((result.need.for_oxygen, bubbles, style.ORANGE, "//"),
                                                           (result.need.for_mixing, mixing, style.SKY, ""))):
        low, usual, high = (min(float(air(value)), most) for value in flows)
        ax.barh(row, max(high - low, 0.01 * most), left=low, height=0.5, color=colour, hatch=hatch,
                edgecolor=style.BLACK)
        ax.plot([usual, usual], [row - 0.32, row + 0.32], color=style.BLACK, linewidth=3)
        ends = f"{numbers.low} to {numbers.high}" if numbers.low != numbers.high else f"{numbers.low}"
        plural = "" if ends == "1" else "s"
        ax.text(0.98 * most, row + 0.36, f"{ends} diffuser{plural}", va="center", ha="right", fontsize=9)
    rule = float(air(result.need.by_area))
    ax.barh(2, min(rule, most), height=0.5, color="white", edgecolor=style.BLACK, linestyle="--")
    ax.text(0.98 * most, 2.36, f"{format_number(rule, 2)} {unit_label(KINDS['air flow'][system != 'US'])}", va="center",
            ha="right", fontsize=9)
    ax.set_yticks(range(3), ["oxygen\nby bubbles", "mixing", "rule by\narea"])
    ax.set_ylim(2.7, -0.6)
    ax.grid(axis="y", visible=False)
    side = style.axes(figure, (0.63, 0.145, 0.35, 0.76), xlim=(-1, 61), ylim=(0, 10), xlabel="Diffusers running",
                      ylabel=style.axis_label("Oxygen at dawn", "oxygen", system), title="One more, and one more")
    side.plot(result.more.number, result.more.dawn, ".-", color=style.BLUE, markersize=5)
    side.axhline(result.floor, color=style.RED, linestyle="--", label="floor")
    if result.more.enough is not None:
        side.plot(result.more.enough, result.more.dawn[result.more.enough], "o", color=style.BLACK, markersize=10,
                  fillstyle="none", label="after this, each adds\nless than half the first")
    side.legend(loc="upper left", fontsize=8.5)


def winter(figure, result, system):
    """Oxygen under ice for rich, middle and poor ponds, and the end of the ice.

    `result` has days, lines (three arrays, mg/L), ends (Range of days), ice_days, floor, limit.
    """
    ax = style.axes(figure, xlim=(0, 180), ylim=(0, 16), xlabel="Days under ice and snow",
                    ylabel=style.axis_label("Mean oxygen of the pond", "oxygen", system))
    ax.axhspan(0, result.limit, color="#EEEEEE", zorder=0)
    ax.text(2, 0.3, "below 3.8 mg/L the loss slows, and fish are in trouble", fontsize=9, backgroundcolor="#EEEEEE")
    names = ("poor in nutrients", "between", "rich in nutrients")
    for values, words, line in zip(result.lines, names, (style.LINES[2], style.LINES[0], style.LINES[1]), strict=True):
        ax.plot(result.days, values, label=words, **line)
    ax.axhline(result.floor, color=style.RED, linewidth=1.2, linestyle=":", label="level to keep")
    ax.axvline(result.ice_days, color=style.BLACK, linewidth=1.2)
    ax.text(result.ice_days, 15.6, "thaw", ha="center", va="top", fontsize=9, backgroundcolor="white")
    ax.legend(loc="upper right", fontsize=9, frameon=True, facecolor="white", edgecolor="none")


def nights(figure, log, fit, system):
    """Readings of a log and the fit of its nights."""
    last = float(log.hours[-1])
    top = max(12.0, 1.1 * float(log.dissolved_oxygen.max()))
    ax = style.axes(figure, xlim=(-0.03 * last, 1.03 * last), ylim=(0, top), xlabel="Hours after the first reading",
                    ylabel=style.axis_label("Dissolved oxygen", "oxygen", system))
    _limits(ax, -0.02 * last)
    ax.plot(log.hours, log.dissolved_oxygen, "o", color="white", markeredgecolor="#666666", markersize=5,
            label="reading")
    for n, (rows, fitted) in enumerate(zip(fit.nights, fit.fitted, strict=True)):
        ax.plot(log.hours[rows], fitted, color=style.BLACK, linewidth=1.8, label="" if n else "fit of the night")
    ax.legend(loc="upper right", ncols=2, fontsize=9)
