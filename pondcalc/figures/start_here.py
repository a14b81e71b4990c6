"""Figures of workbook 00."""

from ..units import format_number, to_display
from . import style


def acre_foot(figure, result, system):
    """A pond drawn as a block: its area wide, its mean depth deep, with one more foot (0.3 m) on top.

    `result` has area (m2), depth (m), volume and extra (m3).
    """
    side = [to_display(value, "distance", "m", system) for value in (result.area**0.5, result.depth)]
    most = to_display(200.0, "distance", "m", system)
    foot = to_display(0.3048, "distance", "m", system)
    ax = style.axes(figure, xlabel=style.axis_label("Side of a square pond of this area", "distance", system),
                    ylabel=style.axis_label("Depth", "depth", system), xlim=(0, most),
                    ylim=(to_display(8.0, "depth", "m", system), -2 * foot))
    ax.bar(0, side[1], width=side[0], align="edge", color=style.SKY, edgecolor=style.BLUE, label="water")
    ax.bar(0, -foot, width=side[0], align="edge", color="white", edgecolor=style.RED, hatch="////",
           label=f"one more {'foot' if system == 'US' else 'foot (0.3 m)'}")
    volume = format_number(to_display(result.volume, "volume", "m^3", system))
    within = side[0] > 0.2 * most
    ax.text(side[0] / 2 if within else side[0] + 0.01 * most, side[1] / 2,
            f"{volume} {'acre-ft' if system == 'US' else 'm³'}", ha="center" if within else "left", va="center")
    ax.legend(loc="lower right")
