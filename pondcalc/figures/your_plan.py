"""Figures of workbook 08."""

import numpy as np

from ..units import KINDS, to_display, unit_label
from . import style


def operating_point(figure, result, system):
    """Left: what the compressor gives against what the pond and line ask for. Right: where the pressure goes.

    `result` has plan, curve, flow (m3/s), asked (Pa gauge at each flow), most_flow and most_pressure.
    """
    def pressure(values):
        return style.shown(values, "pressure", system)

    def air(values):
        return style.shown(values, "air flow", system)
    ax = style.axes(figure, (0.1, 0.14, 0.5, 0.69), system, xlabel=("Free air", "air flow"),
                    ylabel=("Gauge pressure", "pressure"), xlim=(0, air(result.most_flow)),
                    ylim=(0, pressure(result.most_pressure)))
    ax.plot(air(result.curve.flow_free_air), pressure(result.curve.pressure_gauge), label="compressor gives",
            **style.LINES[0])
    ax.plot(air(result.flow), pressure(result.asked), label="pond and line ask", **style.LINES[1])
    if result.plan.point is not None:
        ax.plot(air(result.plan.point.flow_free_air), pressure(result.plan.point.pressure_gauge), "o", markersize=9,
                color=style.BLACK, label="runs here")
    ax.legend(loc="lower left", bbox_to_anchor=(0, 1.0), ncols=2, fontsize=9, borderpad=0)
    parts = result.plan.pressure
    side = style.axes(figure, (0.72, 0.14, 0.25, 0.69), xlim=(-0.8, 0.8), xticks=[],
                      ylim=(0, pressure(result.most_pressure)))
    foot = 0.0
    for words, value, colour, hatch in (("water above", parts.static, style.SKY, ""),
                                        ("diffuser, aged", parts.diffuser, style.ORANGE, "//"),
                                        ("line and fittings", parts.line + parts.fittings, style.GREEN, "xx"),
                                        ("check valve", parts.check_valve, style.PURPLE, ".."),
                                        ("margin", parts.margin, "white", "")):
        side.bar(0, pressure(value), bottom=foot, width=0.9, color=colour, hatch=hatch, edgecolor=style.BLACK,
                 label=words)
        foot += pressure(value)
    side.legend(loc="lower right", bbox_to_anchor=(1.05, 1.0), ncols=2, fontsize=8.5, borderpad=0, columnspacing=0.8,
                handlelength=1.4)
    side.set_ylabel(f"Pressure to ask for ({unit_label(KINDS['pressure'][system != 'US'])})")


def night(figure, result, system):
    """What the pond holds at dusk against what it uses by dawn, each as a bar from low to high.

    `result` has rows: list of (words, low, usual, high) in kg of oxygen.
    """
    ax = style.axes(figure, (0.3, 0.15, 0.66, 0.78), system, xlabel=("Oxygen", "mass"),
                    xlim=(0, style.shown(result.most, "mass", system)))
    for row, (_, *values) in enumerate(result.rows):
        low, usual, high = (float(style.shown(v, "mass", system)) for v in values)
        colour, hatch = ((style.SKY, ""), (style.ORANGE, "//"), (style.SKY, ".."), ("white", ""))[row]
        ax.barh(row, high - low, left=low, height=0.5, color=colour, hatch=hatch, edgecolor=style.BLACK)
        ax.plot([usual, usual], [row - 0.32, row + 0.32], color=style.BLACK, linewidth=3)
    ax.set_yticks(np.arange(len(result.rows)), [words for words, *_ in result.rows])
    ax.invert_yaxis()
    ax.grid(axis="y", visible=False)


def swings(figure, result, system):
    """Bars of the answer over the span of each unknown, the longest on top.

    `result` has outcome, kind, unit, now, rows (Swing), most (the end of the axis, same unit).
    """
    def shown(value):
        return float(to_display(value, result.kind, result.unit, system))
    ax = style.axes(figure, (0.42, 0.14, 0.53, 0.82), system, xlabel=(result.outcome, result.kind),
                    xlim=(0, shown(result.most)), ylim=(7.6, -0.6))
    for row, swing in enumerate(result.rows):
        low, high = swing.results
        if np.isnan(low) or np.isnan(high):
            ax.barh(row, shown(result.most), height=0.56, color="white", hatch="xx", edgecolor=style.RED)
            ax.text(shown(result.most) / 2, row, "no air at one end", ha="center", va="center",
                    bbox={"color": "white", "pad": 1.5})
            continue
        first, last = shown(low), shown(high)
        ax.barh(row, shown(result.now) - first, left=first, height=0.56, color=style.SKY, edgecolor=style.BLACK)
        ax.barh(row, last - shown(result.now), left=shown(result.now), height=0.56, color=style.ORANGE, hatch="//",
                edgecolor=style.BLACK)
    if not np.isnan(result.now):
        ax.axvline(shown(result.now), color=style.BLACK, linewidth=1.5)
    figure.text(0.02, 0.035, "Plain: unknown at its low end.\nHatched: at its high end.\nBlack line: as planned.",
                fontsize=8.5)
    ax.set_yticks(np.arange(len(result.rows)), [swing.words.replace(", and", ",\nand") for swing in result.rows])
    ax.grid(axis="y", visible=False)


def _four_steps(top):
    """Ticks from 0 at a round step, three to five of them."""
    power = 10.0 ** np.floor(np.log10(top / 4))
    step = next(power * n for n in (1, 2, 2.5, 5, 10) if power * n >= top / 4 - 1e-9)
    return np.arange(0, top + 1e-9, step)


def two_plans(figure, result, system):
    """Five pairs of bars: air, pressure, water lifted, a year's cost and ten years', low to high with a mark.

    `result` has panels: list of (words, kind, unit, most, first range or None, second range or None).
    """
    width = 0.155
    for n, (words, kind, unit, most, *both) in enumerate(result.panels):
        top = float(to_display(most, kind, unit, system))
        ax = style.axes(figure, (0.06 + n * 0.195, 0.16, width - 0.02, 0.7), xlim=(-0.6, 1.6), ylim=(0, top))
        ax.set_title(f"{words}\n({unit_label(KINDS[kind][system != 'US'])})", fontsize=9, loc="center")
        ax.set_xticks([0, 1], ["A", "B"])
        ax.tick_params(axis="y", labelsize=8)
        ax.set_yticks(_four_steps(top))             # few ticks: they cost most of the time of a picture
        ax.grid(axis="x", visible=False)
        for place, (values, colour, hatch) in enumerate(zip(both, (style.SKY, style.ORANGE), ("", "//"), strict=True)):
            if values is None:
                ax.text(place, top * 0.03, "none", ha="center", va="bottom", fontsize=9)
                continue
            low, usual, high = (float(to_display(value, kind, unit, system)) for value in values)
            ax.bar(place, max(high - low, top * 0.006), bottom=low, width=0.7, color=colour, hatch=hatch,
                   edgecolor=style.BLACK)
            ax.plot([place - 0.38, place + 0.38], [usual, usual], color=style.BLACK, linewidth=2.5)
            if low > top:
                ax.text(place, top * 0.95, "off the\ntop", ha="center", va="top", fontsize=8)
    figure.text(0.06, 0.035, "A: the plan as set by the sliders.   B: the same plan with the one change.   "
                "Box: low to high. Thick line: usual.", fontsize=9)
