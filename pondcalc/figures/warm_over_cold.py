"""Figures of workbook 05: how heavy water is, how a pond is layered, and what mixing makes of it."""

import numpy as np

from . import style

COLDEST, WARMEST = 0.0, 35.0                # degC; every temperature axis of this workbook
HEAVIEST = 3.98                             # degC
UPPER, LOWER = "#FBE3B5", "#BFDCEF"         # pale orange and pale blue, told apart by hatches too
SAFE = ((2.0, "kills some"), (3.0, "stresses most"), (4.0, "to keep"))


def _warmth(values, system):
    return style.shown(np.asarray(values, float), "temperature", system)


def _depth(values, system):
    return style.shown(np.asarray(values, float), "depth", system)


def _marks(low, high):
    """Three to six round numbers between two ends, for a scale; few, because each costs drawing time."""
    step = next(s for s in (0.5, 1, 2, 5, 10, 20, 50, 100) if (high - low) / s < 6)
    return np.arange(np.ceil(low / step) * step, high + step / 1e6, step)


def _temperature_axis(figure, box, deepest, system, low=COLDEST, high=WARMEST):
    ends, bottom = _warmth([low, high], system), float(_depth(deepest, system))
    return style.axes(figure, box, system, xlabel=("Temperature", "temperature"), ylabel=("Depth", "depth"),
                      xticks=_marks(*ends), xlim=ends, yticks=_marks(0, bottom), ylim=(bottom, 0))


def _bare(figure, box, xlim, ylim, words=""):
    """Axes without ticks or frame, for a sketch."""
    ax = style.axes(figure, box, xlim=xlim, ylim=ylim)
    ax.set_axis_off()
    if words:
        ax.text(sum(xlim) / 2, ylim[0] + 0.03 * (ylim[0] - ylim[1]), words, ha="center", va="top")
    return ax


def density_curve(figure, result, system):
    """Left: how much lighter water is than at its heaviest. Right: which of two waters lies on top.

    `result` has temperature (degC), lighter (%), upper, lower (degC), upper_lighter, lower_lighter (%), sinks
    and alike.
    """
    ends = _warmth([COLDEST, WARMEST], system)
    ax = style.axes(figure, (0.1, 0.145, 0.53, 0.78), system, xticks=np.arange(np.ceil(ends[0] / 10) * 10, ends[1], 10),
                    xlim=ends, yticks=[0, 0.2, 0.4, 0.6], ylim=(-0.02, 0.64),
                    xlabel=("Temperature of the water", "temperature"), ylabel="Lighter than the heaviest water (%)")
    ax.plot(_warmth(result.temperature, system), result.lighter, color=style.BLACK)
    ax.axvline(_warmth(HEAVIEST, system), color="#777777", linestyle=":", linewidth=1.2)
    ax.text(_warmth(HEAVIEST + 0.5, system), 0.6, "heaviest at " + ("39 °F" if system == "US" else "4 °C"), fontsize=9)
    for t, light, colour, mark, words in ((result.upper, result.upper_lighter, style.ORANGE, "o", "upper water"),
                                          (result.lower, result.lower_lighter, style.BLUE, "s", "lower water")):
        ax.plot(_warmth(t, system), light, mark, color=colour, markersize=10, markeredgecolor="black", label=words)
        ax.axhline(light, color=colour, linewidth=0.8, linestyle="--")
    ax.legend(loc="upper left", bbox_to_anchor=(0.0, 0.92))
    tank = _bare(figure, (0.7, 0.145, 0.27, 0.78), (0, 1), (0, 2))
    for base, colour, hatch, t, words in ((1, UPPER, "..", result.upper, "upper"),
                                          (0, LOWER, "//", result.lower, "lower")):
        tank.bar(0.5, 1, width=1, bottom=base, color=colour, hatch=hatch, edgecolor="#FFFFFF")
        tank.text(0.5, base + 0.72, f"{words}\n{_warmth(t, system):.0f} {'°F' if system == 'US' else '°C'}",
                  ha="center", va="center", fontsize=12)
    if result.sinks:
        tank.annotate("", (0.5, 0.12), (0.5, 1.5), arrowprops={"arrowstyle": "-|>", "color": style.RED, "linewidth": 3})
    words = "  sinks  " if result.sinks else "  neither sinks  " if result.alike else "  stays on top  "
    tank.text(0.5, 1.0, words, ha="center", va="center", fontsize=11,
              bbox={"facecolor": "white", "edgecolor": style.RED if result.sinks else style.GREEN, "pad": 3})


def _silhouette(ax, depth, area, boundary, system, middle=0.0, half=0.47, cold_on_top=False):
    """Cross-section of a round pond with the same areas, upper and lower water parted at `boundary`."""
    warm, cold = (UPPER, ".."), (LOWER, "//")
    depth, area = np.asarray(depth), np.asarray(area)
    z = np.unique(np.append(np.linspace(0, depth[-1], 60), np.clip(boundary, 0, depth[-1])))
    width = half * np.sqrt(np.interp(z, depth, area) / area[0])
    for part, (colour, hatch) in zip((z <= boundary, z >= boundary), (cold, warm) if cold_on_top else (warm, cold),
                                     strict=True):
        if part.sum() > 1:
            ax.fill_betweenx(_depth(z[part], system), middle - width[part], middle + width[part], facecolor=colour,
                             hatch=hatch, edgecolor="#FFFFFF", linewidth=0)
    edge = np.concatenate([middle - width, (middle + width)[::-1]])
    ax.plot(edge, _depth(np.concatenate([z, z[::-1]]), system), color=style.BLACK, linewidth=1.3)


def layered_pond(figure, result, system):
    """Temperature, weight and pond shape side by side, with the steepest layer banded.

    `result` has depth, area (m, m2), profile, kind (of layers), lighter (%), layer (steepest), middle (m), diffuser
    (m) and stop (of its plume, or None).
    """
    deepest = float(result.depth[-1])
    left = _temperature_axis(figure, (0.085, 0.15, 0.3, 0.76), deepest, system)
    profile = result.profile
    shown = np.clip(profile.temperature, COLDEST, WARMEST)
    left.plot(_warmth(shown, system), _depth(profile.depth, system), marker="o", markersize=4, **style.LINES[1])
    left.axvline(_warmth(HEAVIEST, system), color="#777777", linestyle=":", linewidth=1.2)
    middle = style.axes(figure, (0.43, 0.15, 0.22, 0.76), xticks=[0, 0.3, 0.6], xlim=(-0.02, 0.62),
                        yticks=left.get_yticks(), ylim=left.get_ylim(),
                        xlabel="Lighter than at 39 °F (%)" if system == "US" else "Lighter than at 4 °C (%)")
    middle.set_yticklabels([])
    middle.plot(result.lighter, _depth(result.fine, system), **style.LINES[0])
    right = _bare(figure, (0.68, 0.15, 0.31, 0.76), (-0.5, 0.5), left.get_ylim(), "Pond, cut across")
    mixed = result.kind == "mixed"
    _silhouette(right, result.depth, result.area, 0.0 if mixed else result.middle, system,
                cold_on_top=profile.temperature[0] < profile.temperature[-1])
    if result.stop is not None:
        top, usual, low = _depth(result.stop.depth, system)
        bottom = float(_depth(result.diffuser, system))
        right.fill([-0.01, 0.01, 0.05, -0.05], [bottom, bottom, usual, usual], facecolor="white",
                   edgecolor=style.BLACK, linewidth=1.2)
        right.plot(0, bottom, "s", color=style.BLACK, markersize=6)
        if low > 0:
            right.plot([0, 0], [top, low], color=style.RED, linewidth=2.4, marker="_", markersize=14,
                       markeredgewidth=2.4)
    for ax in () if mixed else (left, middle):
        ax.axhspan(*_depth([result.layer.top, min(result.layer.bottom, deepest)], system), facecolor="#CCCCCC",
                   alpha=0.6, hatch="\\\\", edgecolor="#FFFFFF")
    figure.text(0.085, 0.94, ("Mixed: no layers" if mixed else "Gray band: steepest layer")
                + ("" if result.stop is None else ". White: plume. Red bar with ends: where it may stop"), fontsize=9)


def after_overturn(figure, result, system):
    """Four ponds with the same water: how much is stagnant, and the oxygen once each has mixed.

    `result` has shapes (name to depth, area), boundary (m), mixed (name to overturn.Overturned) and top (mg/L).
    """
    names = list(result.shapes)
    deepest = max(float(depth[-1]) for depth, _ in result.shapes.values())
    limits = (-0.6, len(names) + 0.1)              # room at the right for the words of the limits
    bottom = float(_depth(deepest, system))
    ponds = style.axes(figure, (0.1, 0.66, 0.88, 0.28), system, xticks=[], xlim=limits, yticks=_marks(0, bottom)[::2],
                       ylim=(bottom, 0), ylabel=("Depth", "depth"))
    ponds.grid(False)
    bars = style.axes(figure, (0.1, 0.12, 0.88, 0.46), system, xticks=range(len(names)), xlim=limits,
                      yticks=range(0, 15, 4), ylim=(0, 14), ylabel=("Oxygen, all mixed", "oxygen"))
    unit = "°F" if system == "US" else "°C"
    bars.set_xticklabels([f"{name}\n{_warmth(result.mixed[name].temperature, system):.0f} {unit} mixed"
                          for name in names])
    for level, words in SAFE:
        bars.axhline(level, color=style.RED, linestyle=":", linewidth=1.1)
        bars.text(limits[1], level + 0.05, f"{level:.0f} {words}", ha="right", va="bottom", fontsize=8,
                  color=style.RED_TEXT)
    bars.axhline(result.top, color=style.BLACK, linestyle="--", linewidth=1.2)
    bars.text(limits[0] + 0.02, result.top + 0.15, "upper water before", fontsize=8.5)
    mixed = [result.mixed[name] for name in names]
    before = np.array([m.dissolved_oxygen_before_demand for m in mixed])
    low, usual, high = np.array([m.dissolved_oxygen for m in mixed]).T
    places = np.arange(len(names))
    bars.bar(places - 0.14, before, width=0.26, color=style.SKY, edgecolor=style.BLACK, hatch="//",
             label="spread by volume")
    bars.errorbar(places + 0.14, usual, yerr=[usual - low, high - usual], fmt="o", color=style.RED, capsize=5,
                  label="after the demand, low to high")
    for place, name in enumerate(names):
        _silhouette(ponds, *result.shapes[name], result.boundary, system, middle=place, half=0.4)
        ponds.text(place, -0.02 * bottom, name, ha="center", va="bottom", fontsize=9.5,
                   fontweight="normal" if place else "bold")
        bars.text(place - 0.14, before[place], f"{before[place]:.1f}", ha="center", va="bottom", fontsize=9.5)
    bars.legend(loc="upper right", ncols=2, fontsize=9)


def storm(figure, result, system):
    """Left: temperature before and after a storm. Right: how much of the pond mixes, and its oxygen.

    `result` has depth, profile, after (StormResult), fine (m) and mixed (temperatures after the usual case).
    """
    deepest = float(result.depth[-1])
    left = _temperature_axis(figure, (0.095, 0.15, 0.42, 0.66), deepest, system)
    after = result.after
    left.axhspan(*_depth([0, after.mixed_depth.low], system), facecolor=LOWER)
    left.axhspan(*_depth([after.mixed_depth.low, after.mixed_depth.high], system), facecolor=LOWER, alpha=0.45,
                 hatch="..", edgecolor="#FFFFFF")
    left.plot(_warmth(result.before, system), _depth(result.fine, system), label="before", **style.LINES[1])
    left.plot(_warmth(result.mixed, system), _depth(result.fine, system), label="after, usual", **style.LINES[0])
    left.legend(loc="lower left", bbox_to_anchor=(-0.02, 1.0), ncols=2, title_fontsize=9, fontsize=9, borderpad=0,
                title="shaded: mixed; with dots: mixed in an open pond", alignment="left")
    share = [100 * v for v in after.mixed_share]
    for box, values, high, marks, words in (
            ((0.6, 0.66, 0.37, 0.2), share, 100, [0, 50, 100], "Share of the water mixed (%)"),
            ((0.6, 0.2, 0.37, 0.2), after.dissolved_oxygen, 12, [0, 4, 8, 12], "Oxygen in it (mg/L)")):
        ax = style.axes(figure, box, xticks=marks, xlim=(0, high * 1.02), yticks=[], ylim=(0, 1), xlabel=words)
        if not np.isfinite(values[1]):
            ax.text(high / 2, 0.5, "no oxygen readings", ha="center", va="center")
            continue
        ax.plot([values[0], values[2]], [0.5, 0.5], color=style.BLUE, linewidth=7, solid_capstyle="butt", alpha=0.5)
        ax.plot(values[1], 0.5, "o", color=style.BLUE, markersize=9)
        if high == 12:
            for limit in SAFE[:2]:
                ax.axvline(limit[0], color=style.RED, linestyle=":")
            ax.text(12, 1.04, "dotted: 2 kills some, 3 stresses most", fontsize=8, color=style.RED_TEXT, ha="right")
    figure.text(0.6, 0.93, "bar: sheltered to open pond; dot: usual", fontsize=9)


def winter(figure, result, system):
    """Left: temperature under the ice. Right: stability beside that of a summer day in the same pond.

    `result` has depth, area, profile, middle, stability, summer (J/m2) and mixed (degC).
    """
    deepest = float(result.depth[-1])
    left = _temperature_axis(figure, (0.095, 0.15, 0.36, 0.76), deepest, system, 0.0, 10.0)
    left.plot(_warmth(result.profile.temperature, system), _depth(result.profile.depth, system), label="now",
              **style.LINES[0])
    left.axvline(_warmth(result.mixed, system), label="if stirred", **style.LINES[1])
    left.axvline(_warmth(HEAVIEST, system), color="#777777", linestyle=":", linewidth=1.2)
    left.legend(loc="lower right")
    pond = _bare(figure, (0.48, 0.15, 0.27, 0.76), (-0.5, 0.5), left.get_ylim(), "Pond, cut across")
    _silhouette(pond, result.depth, result.area, result.middle, system,
                cold_on_top=result.profile.temperature[0] < result.profile.temperature[-1])
    bars = style.axes(figure, (0.84, 0.15, 0.14, 0.76), xlim=(-0.6, 1.6), ylim=(0, 1.15 * result.summer),
                      xticks=[0, 1], ylabel="Stability (J/m²)")
    bars.set_xticklabels(["winter", "July"])
    for place, height, colour, hatch in ((0, result.stability, style.SKY, "//"),
                                         (1, result.summer, style.ORANGE, "..")):
        shown = max(height, 0.0)
        bars.bar(place, shown, width=0.7, color=colour, edgecolor=style.BLACK, hatch=hatch)
        bars.text(place, shown, f"{height:.2g}", ha="center", va="bottom", fontsize=9)
