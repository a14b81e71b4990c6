"""Figures of workbook 04: where the pressure goes, where machine and pond agree, and who gets the air."""


import numpy as np

from ..units import CFM, FOOT, INCH, KINDS, PSI, format_number, unit_label
from . import style

PARTS = (("static", "water above", style.SKY, ""), ("diffuser", "wet diffuser", style.ORANGE, "//"),
         ("line", "line", style.RED, "xx"), ("fittings", "fittings", style.GREEN, "\\\\"),
         ("check_valve", "check valve", style.PURPLE, ".."))


ORDER = ("first", "second", "third")
SHOWN = 7               # causes of a reading that are drawn; the rest are very unlikely


def _pressure(values, system):
    return style.shown(np.asarray(values, float), "pressure", system)


def _air(values, system):
    return style.shown(np.asarray(values, float), "air flow", system)


def _inch(values, system):
    return style.shown(np.asarray(values, float), "bore", system)


def budget(figure, result, system):
    """Left: the pressures that add up, for a new and an aged diffuser. Right: loss of the line by its bore.

    `result` has new, aged (PressureBudget), bores (m), losses (Pa at each), bore, loss.
    """
    most = float(_pressure(30 * PSI, system))
    ax = style.axes(figure, (0.1, 0.12, 0.33, 0.82), system, xlim=(-0.6, 1.6), ylim=(0, most),
                    ylabel=("Gauge pressure", "pressure"))
    for place, parts in enumerate((result.new, result.aged)):
        foot = 0.0
        for name, words, colour, hatch in PARTS:
            height = float(_pressure(getattr(parts, name), system))
            ax.bar(place, height, bottom=foot, width=0.7, color=colour, hatch=hatch, edgecolor=style.BLACK,
                   label=words if place == 0 else None)
            foot += height
        ax.text(place, min(foot, 0.94 * most) + 0.01 * most, format_number(foot, 3), ha="center", va="bottom")
    ax.set_xticks([0, 1], ["new", "aged"])
    ax.grid(axis="x", visible=False)
    ax.legend(loc="upper left", fontsize=9, reverse=True)
    right = style.axes(figure, (0.54, 0.145, 0.43, 0.795), system, xlim=_inch([0.25 * INCH, 2 * INCH], system),
                       ylim=(0, float(_pressure(10 * PSI, system))), xlabel=("Inside diameter of the line", "bore"),
                       ylabel=("Lost in the line", "pressure"))
    right.plot(_inch(result.bores, system), _pressure(result.losses, system), **style.LINES[1])
    right.plot(_inch(result.bore, system), min(float(_pressure(result.loss, system)), right.get_ylim()[1]), "o",
               markersize=9, color=style.BLACK, clip_on=False, label="this line")
    right.legend(loc="upper right")


def point(figure, result, system):
    """What the compressor gives against what pond and line ask for, with a new and an aged diffuser.

    `result` has curve (or None), flow (m3/s), new, aged (Pa asked at each flow), static (Pa), runs_new and runs_aged
    (OperatingPoint or None).
    """
    ax = style.axes(figure, (0.1, 0.145, 0.86, 0.8), system, xlim=(0, float(_air(10 * CFM, system))),
                    ylim=(0, float(_pressure(25 * PSI, system))), xlabel=("Free air", "air flow"),
                    ylabel=("Gauge pressure", "pressure"))
    if result.curve is not None:
        ax.plot(_air(result.curve.flow_free_air, system), _pressure(result.curve.pressure_gauge, system),
                label="compressor gives", **style.LINES[0])
        ax.plot(_air(result.curve.flow_free_air[-1], system), _pressure(result.curve.pressure_gauge[-1], system), "X",
                markersize=9, color=style.BLUE, label="end of its curve")
    ax.plot(_air(result.flow, system), _pressure(result.aged, system), label="asked, aged diffuser", **style.LINES[1])
    ax.plot(_air(result.flow, system), _pressure(result.new, system), label="asked, new diffuser", **style.LINES[2])
    ax.axhline(float(_pressure(result.static, system)), color=style.SKY, linestyle=":", label="water alone")
    for runs, mark, words in ((result.runs_aged, "s", "runs here, aged"), (result.runs_new, "o", "runs here, new")):
        if runs is not None:
            ax.plot(_air(runs.flow_free_air, system), _pressure(runs.pressure_gauge, system), mark, markersize=8,
                    color=style.BLACK, markerfacecolor="white" if mark == "o" else style.BLACK, label=words)
    ax.legend(loc="upper right", fontsize=9, ncols=2)


def branches(figure, result, system):
    """Left: diffusers at their depths under one manifold. Right: air each gets, with the fair share dashed.

    `result` has depths (m), flows (m3/s), fair (m3/s), total (m3/s), bores (m, not-a-number where none).
    """
    deep = float(style.shown(45 * FOOT, "depth", system))
    ax = style.axes(figure, (0.1, 0.08, 0.46, 0.86), system, xlim=(0.3, 3.7), ylim=(deep, -0.16 * deep), xticks=[],
                    ylabel=("Depth", "depth"))
    ax.axhspan(0, deep, color=style.SKY, alpha=0.25)
    ax.plot([0.5, 3.4], [-0.1 * deep] * 2, color=style.BLACK, linewidth=4, solid_capstyle="butt")
    ax.text(0.5, -0.115 * deep, "manifold", fontsize=9, va="bottom")
    ax.grid(axis="x", visible=False)
    ax.set_yticks([mark for mark in ax.get_yticks() if 0 <= mark <= deep])
    for place, (depth, flow, bore, name) in enumerate(zip(result.depths, result.flows, result.bores, ORDER,
                                                          strict=True), 1):
        foot = float(style.shown(depth, "depth", system))
        ax.plot([place, place], [-0.1 * deep, foot], color=style.BLACK, linewidth=1.5)
        ax.plot([place - 0.22, place + 0.22], [foot, foot], color=style.RED, linewidth=5, solid_capstyle="butt")
        if np.isfinite(bore):
            ax.plot(place, -0.04 * deep, "D", color=style.ORANGE, markeredgecolor=style.BLACK, markersize=8)
            ax.text(place + 0.13, -0.035 * deep, _with_unit(_inch(bore, system), "bore", system), fontsize=8.5,
                    va="center")
        rise = np.linspace(0.94, 0.06, 9)
        if flow > 0:
            ax.scatter(place + 0.15 * np.sin(17 * rise), foot * rise, s=5 + 22 * flow / CFM, facecolor="white",
                       edgecolor=style.BLUE, linewidth=1)
        ax.text(place, min(foot + 0.03 * deep, 0.92 * deep), name, ha="center", va="top", fontsize=9)
    most = float(_air(9 * CFM, system))
    side = style.axes(figure, (0.68, 0.145, 0.29, 0.795), system, xlim=(-0.6, 2.6), ylim=(0, most),
                      ylabel=("Free air to each", "air flow"))
    for place, flow in enumerate(result.flows):
        shown = float(_air(flow, system))
        side.bar(place, shown, width=0.7, color=style.SKY, edgecolor=style.BLACK)
        side.text(place, min(shown, 0.94 * most), format_number(shown, 2) if flow > 0 else "none", ha="center",
                  va="bottom")
    side.axhline(float(_air(result.fair, system)), color=style.RED, linestyle="--", label="fair share")
    side.legend(loc="upper right")
    side.set_xticks(range(3), ORDER, fontsize=9)
    side.grid(axis="x", visible=False)


def _with_unit(value, kind, system):
    return f"{format_number(float(value), 2)} {unit_label(KINDS[kind][system != 'US'])}"


def gauge(figure, result, system):
    """Top: the reading against what is expected. Bottom: the causes that could explain it, in order.

    `result` has reading, found (Diagnosis), and chance_words, one for each finding.
    """
    most = float(_pressure(25 * PSI, system))
    ax = style.axes(figure, (0.3, 0.84, 0.66, 0.1), xlim=(0, most), ylim=(0, 1), yticks=[])
    low, usual, high = (float(_pressure(value, system)) for value in result.found.expected)
    doubt = 2 * float(_pressure(result.found.doubt, system))
    ax.axvspan(low - doubt, high + doubt, color=style.YELLOW, alpha=0.7)
    ax.axvspan(low, max(high, low + 0.002 * most), color=style.GREEN)
    ax.plot([min(float(_pressure(result.reading, system)), most)] * 2, [0, 1], color=style.BLACK, linewidth=3)
    ax.set_xlabel(f"{style.axis_label('Gauge', 'pressure', system)}. Line: reading. Dark band: expected. "
                  "Pale band: doubt.", fontsize=9, labelpad=1)
    ax.tick_params(labelsize=9)
    side = style.axes(figure, (0.3, 0.08, 0.66, 0.6), xlim=(0, 1.15), xticks=[],
                      xlabel="How well it fits, best first")
    names = [f.cause for f in result.found.findings[:SHOWN]]
    for row, (finding, words) in enumerate(zip(result.found.findings[:SHOWN], result.chance_words, strict=False)):
        side.barh(row, finding.chance, height=0.65, color=style.SKY if row else style.ORANGE, hatch="" if row else "//",
                  edgecolor=style.BLACK)
        side.text(finding.chance + 0.01, row, words, va="center", fontsize=8.5)
    side.set_yticks(range(len(names)), names, fontsize=9)
    side.invert_yaxis()
    side.grid(axis="y", visible=False)


def cost(figure, result, system):
    """Cost of each size of line: pipe, and the electricity that pushes air through it.

    `result` has names, pipe and push (dollars, one a size), cheapest and enough (places; None where no size is).
    """
    most = 2000.0
    ax = style.axes(figure, (0.11, 0.2, 0.86, 0.74), xlim=(-0.6, len(result.names) - 0.4), ylim=(0, most),
                    ylabel="Dollars over the years")
    for place, (pipe, push) in enumerate(zip(result.pipe, result.push, strict=True)):
        shown = min(pipe, most), min(push, most)
        ax.bar(place, shown[0], width=0.65, color=style.SKY, edgecolor=style.BLACK, label="pipe" if not place else None)
        ax.bar(place, shown[1], bottom=shown[0], width=0.65, color=style.ORANGE, hatch="//", edgecolor=style.BLACK,
               label="electricity the line eats" if not place else None)
        total = pipe + push
        words = "chokes" if not np.isfinite(total) else f"${format_number(total, 3)}" + (" ↑" if total > most else "")
        ax.text(place, min(total, 0.93 * most), words, ha="center", va="bottom", fontsize=9.5,
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.8})
    marks = {result.enough: "wide enough", result.cheapest: "cheapest"}
    if result.cheapest == result.enough:
        marks[result.enough] = "cheapest and\nwide enough"
    ax.set_xticks(range(len(result.names)), [f"{name}\n{marks.get(n, '')}" for n, name in enumerate(result.names)],
                  fontsize=9.5)
    ax.grid(axis="x", visible=False)
    ax.legend(loc="upper center")


def _two_lines(name):
    """A long name of a family of pipe beside its bar: the first word above the rest."""
    return name if len(name) <= 18 else name.replace(" ", "\n", 1)


def one_name(figure, result, system):
    """Left: bores that go by one name. Right: loss of each, as a multiple of the widest.

    `result` has names, bores (m), losses (Pa), ratios.
    """
    widest = max(1.7 * INCH, 1.1 * max(result.bores))
    left = style.axes(figure, (0.25, 0.145, 0.33, 0.79), system, xlim=(0, float(_inch(widest, system))),
                      xlabel=("Inside diameter", "bore"))
    right = style.axes(figure, (0.64, 0.145, 0.33, 0.79), xlim=(0, 8), xlabel="Loss, times that of the widest")
    for row, (bore, loss, ratio) in enumerate(zip(result.bores, result.losses, result.ratios, strict=True)):
        left.barh(row, float(_inch(bore, system)), height=0.62, color=style.SKY, edgecolor=style.BLACK)
        shown = float(_inch(bore, system))
        left.text(0.03 * left.get_xlim()[1], row, format_number(shown, 3), va="center", fontsize=9.5)
        right.barh(row, min(ratio, 8), height=0.62, color=style.ORANGE, hatch="//", edgecolor=style.BLACK)
        right.text(min(ratio, 5.4) + 0.1, row, _with_unit(_pressure(loss, system), "pressure", system), va="center",
                   fontsize=9.5, bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.8})
    names = [_two_lines(name) for name in result.names]
    left.set_yticks(range(len(names)), names, fontsize=9)
    right.set_yticks(range(len(result.names)), [""] * len(result.names))
    for ax in (left, right):
        ax.set_ylim(max(8, len(names)) - 0.5, -0.5)
        ax.grid(axis="y", visible=False)


def sinking(figure, result, system):
    """Top: what pushes a length of line up and what holds it down. Bottom: the weights along it.

    `result` has lift (kg/m), displaced, tube (kg/m), spacing (m).
    """
    most = float(style.shown(2.5, "lift", system))
    ax = style.axes(figure, (0.23, 0.5, 0.73, 0.44), system, xlim=(0, most), xlabel=("Weight by length", "lift"))
    for row, (value, colour, hatch) in enumerate(((result.displaced, style.SKY, ""), (result.tube, style.GREEN, "\\\\"),
                                                  (result.held, style.ORANGE, "//"))):
        shown = float(style.shown(value, "lift", system))
        ax.barh(row, min(shown, most), height=0.65, color=colour, hatch=hatch, edgecolor=style.BLACK)
        ax.text(min(shown, 0.85 * most) + 0.01 * most, row, _with_unit(shown, "lift", system), va="center",
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.8})
    ax.set_yticks(range(3), ["water pushed aside", "tube itself", "weights, in water"])
    ax.invert_yaxis()
    ax.grid(axis="y", visible=False)
    end = float(style.shown(50 * FOOT, "distance", system))
    bed = style.axes(figure, (0.06, 0.14, 0.9, 0.18), system, xlim=(0, end), ylim=(-1, 1), yticks=[],
                     xlabel=("Along the line", "distance"))
    bed.axhspan(-1, -0.25, color="#E9DFC7")
    bed.plot([0, end], [0, 0], color=style.BLACK, linewidth=4)
    if np.isfinite(result.spacing):
        step = max(float(style.shown(result.spacing, "distance", system)), end / 150)
        places = np.arange(step / 2, end, step)
        bed.plot(places, np.full(places.shape, -0.1), "s", color=style.RED, markersize=10, clip_on=True)
    bed.grid(False)
