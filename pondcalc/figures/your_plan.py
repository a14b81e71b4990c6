"""Figures of workbook 08."""

import numpy as np

from ..units import KINDS, to_display, unit_label
from . import style


def operating_point(figure, result, system):
    """Left: what the compressor gives against what the pond and line ask for. Right: where the pressure goes.

    `result` has plan, curve, flow (m3/s), asked (Pa gauge at each flow), most_flow and most_pressure.
    """
    def pressure(values):
        return to_display(values, "pressure", "Pa", system)

    def air(values):
        return to_display(values, "air flow", "m^3/s", system)
    ax = style.axes(figure, (0.1, 0.14, 0.5, 0.8), xlabel=style.axis_label("Free air", "air flow", system),
                    ylabel=style.axis_label("Gauge pressure", "pressure", system),
                    xlim=(0, air(result.most_flow)), ylim=(0, pressure(result.most_pressure)))
    ax.plot(air(result.curve.flow_free_air), pressure(result.curve.pressure_gauge), label="compressor gives",
            **style.LINES[0])
    ax.plot(air(result.flow), pressure(result.asked), label="pond and line ask", **style.LINES[1])
    if result.plan.point is not None:
        ax.plot(air(result.plan.point.flow_free_air), pressure(result.plan.point.pressure_gauge), "o", markersize=9,
                color=style.BLACK, label="runs here")
    ax.legend(loc="upper right")
    parts = result.plan.pressure
    side = style.axes(figure, (0.72, 0.14, 0.25, 0.8), xlim=(-0.8, 0.8), xticks=[],
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
    side.legend(loc="upper center", fontsize=8.5)
    side.set_ylabel(f"Pressure to ask for ({unit_label(KINDS['pressure'][system != 'US'])})")


def night(figure, result, system):
    """What the pond holds at dusk against what it uses by dawn, each as a bar from low to high.

    `result` has rows: list of (words, low, usual, high) in kg of oxygen.
    """
    ax = style.axes(figure, (0.3, 0.15, 0.66, 0.78), xlabel=style.axis_label("Oxygen", "mass", system),
                    xlim=(0, to_display(result.most, "mass", "kg", system)))
    for row, (_, *values) in enumerate(result.rows):
        low, usual, high = (float(to_display(v, "mass", "kg", system)) for v in values)
        ax.barh(row, high - low, left=low, height=0.5, color=style.SKY if row == 0 else style.ORANGE,
                hatch="" if row == 0 else "//", edgecolor=style.BLACK)
        ax.plot([usual, usual], [row - 0.32, row + 0.32], color=style.BLACK, linewidth=3)
    ax.set_yticks(np.arange(len(result.rows)), [words for words, *_ in result.rows])
    ax.invert_yaxis()
    ax.grid(axis="y", visible=False)
