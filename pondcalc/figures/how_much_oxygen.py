"""Figures of workbook 02: who makes and who uses the oxygen, the night, imagined ponds, the delivery, the winter."""

import textwrap

import numpy as np

from ..how_much_oxygen.fishlimits import KILL, STRESS
from ..units import format_number
from . import style

LEVELS = ((STRESS, "most\nwarm-water fish\nare stressed", ":", "bottom"), (KILL, "some die", "-.", "top"))
BESIDE = (0.105, 0.145, 0.725, 0.74)        # room on the right for the words of `_limits`, on top for a legend


def _limits(ax):
    """Two lines that matter to warm-water fish, with their words outside the axes on the right."""
    for level, words, line, side in LEVELS:
        ax.axhline(level, color=style.RED, linewidth=1.2, linestyle=line)
        ax.annotate(f"below {level:g}: {words}", (1.01, level), xycoords=("axes fraction", "data"), va=side,
                    fontsize=8.5, color=style.RED_TEXT, annotation_clip=False)


def _legend_above(ax, columns):
    ax.legend(loc="lower left", bbox_to_anchor=(-0.02, 1.0), ncols=columns, fontsize=9, columnspacing=1.2,
              handletextpad=0.5, borderaxespad=0.2)


def who(figure, result, system):
    """Bars of what each part adds and takes, by day and in the dark.

    `result` has parts (oxygencase.DayAndNight), rows (dict of part to words), most (kg).
    """
    most = style.shown(result.most, "mass", system)
    for side, (title, amounts) in enumerate(((f"By day, {24 - result.parts.dark:.1f} hours", result.parts.day),
                                             (f"In the dark, {result.parts.dark:.1f} hours", result.parts.night))):
        ax = style.axes(figure, (0.205 + 0.405 * side, 0.145, 0.375, 0.76), system, xlim=(-0.62 * most, most),
                        title=title, xlabel=("Oxygen", "mass"))
        ax.locator_params(axis="x", nbins=5)
        values = np.array([float(style.shown(amounts[name], "mass", system)) for name in result.rows])
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
    ax = style.axes(figure, BESIDE, system, xlim=(0, last), ylim=(0, 14), xticks=ticks, xlabel="Time of day (solar)",
                    ylabel=("Dissolved oxygen", "oxygen"))
    ax.set_xticklabels(["6 PM" if n % 2 == 0 else "6 AM" for n in range(len(ticks))])
    for begin, end in result.nights:
        ax.axvspan(begin, end, color="#E3E3E8", zorder=0)
    _limits(ax)
    ax.plot(result.hours, result.saturation, color=style.BLACK, linestyle="--", linewidth=1.2,
            label="at rest with the air")
    ax.plot(result.hours, result.oxygen, label="oxygen in the pond", **style.LINES[0])
    ax.plot(*result.noon, "^", color=style.ORANGE, markeredgecolor=style.BLACK, markersize=8, label="reading at 3 PM")
    ax.plot(*result.low, "v", color=style.RED, markeredgecolor=style.BLACK, markersize=8, label="low of the night",
            clip_on=False)
    _legend_above(ax, 4)


def two_readings(figure, result, system):
    """Two readings carried on to dawn, as a line and as a curve, with what a slip of the meter does.

    `result` has between, to_dawn (hours), first, second, line (hours, straight and curve arrays), ends (NightLine).
    """
    dawn = result.between + result.to_dawn
    ax = style.axes(figure, BESIDE, system, xlim=(0, 20), ylim=(0, 16), xlabel="Hours after the first reading",
                    ylabel=("Dissolved oxygen", "oxygen"))
    _limits(ax)
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
    _legend_above(ax, 3)


def chance(figure, result, system):
    """Left: the lows of many drawn ponds, those below the level hatched. Right: what matters most.

    `result` has lows (mg/L), level, chance, weight (dict of words to rank correlation).
    """
    ax = style.axes(figure, (0.09, 0.145, 0.43, 0.77), system, xlim=(0, 10), ylim=(0, 60), ylabel="Imagined ponds (%)",
                    xlabel=("Lowest oxygen in two nights", "oxygen"))
    edges = np.arange(0, 10.01, 0.5)
    below = result.lows < result.level
    foot = 0
    for rows, colour, hatch, words in ((below, style.ORANGE, "//", "below the oxygen to keep"),
                                       (~below, style.SKY, "", "above it")):
        heights = 100 * np.histogram(np.clip(result.lows[rows], 0, 9.99), edges)[0] / len(result.lows)
        ax.stairs(foot + heights, edges, baseline=foot, fill=True, facecolor=colour, hatch=hatch, label=words,
                  edgecolor=style.BLACK, linewidth=0.6)         # one shape, not twenty bars: twice as quick to draw
        foot = foot + heights
    ax.axvline(result.level, color=style.RED, linestyle="--")
    ax.text(9.9, 57, f"below {result.level:.1f} mg/L:\n{100 * result.chance:.0f} of 100", ha="right", va="top",
            fontsize=13, bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 1.5})
    _legend_above(ax, 2)
    side = style.axes(figure, (0.79, 0.145, 0.19, 0.77), xlim=(0, 1), title="What decides most")
    names = list(result.weight)[:6]
    side.barh(range(len(names)), [abs(result.weight[name]) for name in names], height=0.55, color=style.GREEN,
              edgecolor=style.BLACK)
    side.set_yticks(range(len(names)), [textwrap.fill(name, 27) for name in names], fontsize=9)
    side.set_ylim(5.6, -0.6)
    side.set_xticks([0, 0.5, 1], ["0", "0.5", "1"])
    side.set_xlabel("Strength (0 to 1)")
    side.grid(axis="y", visible=False)


def delivery(figure, result, system):
    """Share of the drawn ponds in which a steady delivery keeps the oxygen wanted, and where the stacked answers lie.

    `result` has each (kg/s), share (0 to 1), chosen (Range, kg/s), stacked, budget, most (kg/s).
    """
    def shown(rate):
        return style.shown(np.asarray(rate), "oxygen rate", system)
    most = shown(result.most)
    ax = style.axes(figure, system=system, xlim=(0, most), ylim=(0, 105), xlabel=("Oxygen delivered", "oxygen rate"),
                    ylabel="Imagined ponds that keep enough (%)")
    each = np.sort(result.each)
    ax.step(np.append(shown(each), 10 * most), np.append(100 * np.arange(1, len(each) + 1) / len(each), 100),
            where="post", **style.LINES[0])
    low, chosen, high = (float(end) for end in shown(result.chosen))
    ax.axvspan(low, high, color="#E3E3E8", zorder=0, label="the need, as a range")
    ax.plot([chosen, chosen, 0], [0, 100 * result.share, 100 * result.share], color=style.BLACK, linewidth=1.2)
    ax.plot(chosen, 100 * result.share, "o", color=style.BLACK, markersize=9, label="your share of ponds")
    for rate, words, line in ((result.stacked, "all doubts at their bad end", style.LINES[1]),
                              (result.budget, "one-night budget, stacked", style.LINES[3])):
        ax.axvline(min(float(shown(rate)), 0.995 * most), label=words, **line)
    ax.legend(loc="lower right", fontsize=9, bbox_to_anchor=(1.0, 0.08), frameon=True, facecolor="white",
              edgecolor="none")


def duties(figure, result, system):
    """Left: diffusers each duty asks for. Right: dawn oxygen with 0, 1, 2 ... diffusers in the bad night.

    `result` has need (delivery.DiffuserNeed), mixing and rule (diffusers before rounding up, for mixing and by the
    rule of area), floor (mg/L), least and best (delivery.MoreDiffusers: bubbles alone, and with all that lifted
    water may take in at the top).
    """
    def whole(count):
        return f"{count.low}" if count.low == count.high else f"{count.low} to {count.high}"
    rows = (("mixing", result.mixing, whole(result.need.for_mixing), style.SKY, ""),
            ("rule by\narea", (result.rule,) * 3, format_number(result.rule, 2), "white", ""),
            ("oxygen by\nbubbles\nalone", result.need.for_oxygen, whole(result.need.for_oxygen), style.ORANGE, "//"))
    most = _round_top(1.35 * max(ends[2] for _, ends, *_ in rows))
    ax = style.axes(figure, (0.13, 0.145, 0.36, 0.76), xlim=(0, most), xlabel="Diffusers",
                    title="Diffusers each duty asks for")
    ax.locator_params(axis="x", nbins=5)
    for row, (_, (low, usual, high), words, colour, hatch) in enumerate(rows):
        plain = row == 1
        left = 0 if plain else low
        ax.barh(row, max(high - left, 0.015 * most), left=left, height=0.5, color=colour, hatch=hatch,
                edgecolor=style.BLACK, linestyle="--" if plain else "-")
        if not plain:
            ax.plot([usual, usual], [row - 0.32, row + 0.32], color=style.BLACK, linewidth=3)
        ax.text(max(high, left + 0.015 * most) + 0.02 * most, row, words, va="center", fontsize=9)
    ax.set_yticks(range(3), [name for name, *_ in rows])
    ax.set_ylim(2.6, -0.6)
    ax.grid(axis="y", visible=False)
    side = style.axes(figure, (0.60, 0.145, 0.38, 0.76), system, xlim=(-0.3, result.least.number[-1] + 0.3),
                      ylim=(0, 10), xlabel="Diffusers running", ylabel=("Oxygen at dawn", "oxygen"),
                      title="One more, and one more")
    side.set_xticks(result.least.number[::5])
    side.fill_between(result.least.number, result.least.dawn, result.best.dawn, color=style.SKY, alpha=0.35,
                      linewidth=0)
    side.plot(result.best.number, result.best.dawn, label="and all the top may take in", **style.LINES[0])
    side.plot(result.least.number, result.least.dawn, label="bubbles alone", **style.LINES[3])
    side.axhline(result.floor, color=style.RED, linestyle="--", linewidth=1.4, label="oxygen to keep")
    side.legend(loc="upper left", fontsize=8.5)


def _round_top(value):
    """The next of 10, 20, 30, 50, 100 ... so that an axis grows in few steps."""
    power = 10.0 ** np.floor(np.log10(max(value, 10.0)))
    return next(step * power for step in (1, 2, 3, 5, 10) if step * power >= value)


def winter(figure, result, system):
    """Oxygen under ice for rich, middle and poor ponds, and the end of the ice.

    `result` has days, lines (three arrays, mg/L), ends (Range of days), ice_days, floor, limit.
    """
    ax = style.axes(figure, system=system, xlim=(0, 180), ylim=(0, 16), xlabel="Days under ice and snow",
                    ylabel=("Mean oxygen of the pond", "oxygen"))
    ax.axhspan(0, result.limit, color="#EEEEEE", zorder=0)
    ax.text(2, 0.3, "below 3.8 mg/L the loss slows, and fish are in trouble", fontsize=9, backgroundcolor="#EEEEEE")
    names = ("poor in nutrients", "between", "rich in nutrients")
    for values, words, line in zip(result.lines, names, (style.LINES[2], style.LINES[0], style.LINES[1]), strict=True):
        ax.plot(result.days, values, label=words, **line)
    ax.axhline(result.floor, color=style.RED, linewidth=1.2, linestyle=":", label="oxygen to keep")
    ax.axvline(result.ice_days, color=style.BLACK, linewidth=1.2)
    ax.text(result.ice_days, 15.6, "thaw", ha="center", va="top", fontsize=9, backgroundcolor="white")
    ax.legend(loc="upper right", fontsize=9, frameon=True, facecolor="white", edgecolor="none")


def nights(figure, log, fit, system):
    """Readings of a log and the fit of its nights."""
    last = float(log.hours[-1])
    top = max(12.0, 1.1 * float(log.dissolved_oxygen.max()))
    ax = style.axes(figure, BESIDE, system, xlim=(-0.03 * last, 1.03 * last), ylim=(0, top),
                    xlabel="Hours after the first reading", ylabel=("Dissolved oxygen", "oxygen"))
    _limits(ax)
    ax.plot(log.hours, log.dissolved_oxygen, "o", color="white", markeredgecolor="#666666", markersize=5,
            label="reading")
    for n, (rows, fitted) in enumerate(zip(fit.nights, fit.fitted, strict=True)):
        ax.plot(log.hours[rows], fitted, color=style.BLACK, linewidth=1.8, label="" if n else "fit of the night")
    _legend_above(ax, 2)
