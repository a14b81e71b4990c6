"""Figures of workbook 07: the first days, the year, the winter, the log, treatments and the calendar."""

import math

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from ..the_year.firststart import KEPT, NOT_AT_BAD_END, NOT_KEPT
from ..units import KINDS, format_number, to_display, unit_label
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
    ax = style.axes(figure, (0.1, 0.11, 0.87, 0.48), system, xlim=(0, DAYS), ylim=(0, MOST_OXYGEN),
                    xticks=range(0, DAYS + 1, 3), xlabel="Days from the start",
                    ylabel=("Oxygen, upper water", "oxygen"))
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
    low, high = style.shown(np.array([0.005, 0.8]), "water flow", system)
    return {"xlim": (np.log10(low), np.log10(high)), "xticks": np.log10(ticks),
            "xticklabels": [f"{tick:,}" for tick in ticks],
            "xlabel": style.axis_label("Water lifted", "water flow", system)}


def custom(figure, result, system):
    """Left: lowest oxygen under the custom, by size of diffuser. Right: days until the lower water is up.

    `result` has lifted (m3/s, usual), rows (list of Course), floor.
    """
    size = np.log10(style.shown(result.lifted, "water flow", system))
    along = _size_axis(system)
    ax = style.axes(figure, (0.095, 0.15, 0.43, 0.7), system, ylim=(0, MOST_OXYGEN), ylabel=("Lowest oxygen", "oxygen"),
                    **along)
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


MONTHS = "JFMAMJJASOND"
FIRSTS = np.array([1, 32, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335])      # first days of the months
# light to dark, so that a grey print keeps the order
WARMTH = ["#FFFFFF", "#FCEFD0", "#F9D79B", "#F2B45F", "#E08A33", "#B85F1E", "#84400F", "#4F2606"]
OXYGEN = ["#FFFFFF", "#E3F1FA", "#BFDFF2", "#90C6E6", "#5FA9D6", "#2F86BF", "#0D609A", "#053B63"]
OXYGEN_LEVELS = (0, 1, 2, 3, 4, 6, 8, 10, 20)
MEAN_OF = 6             # days in each column of the maps; weather comes in fronts of about six days


def _months(ax, first, last):
    """Ticks at the first of each month between two days that may pass New Year."""
    starts = np.concatenate([FIRSTS, FIRSTS + 365])
    here = (starts >= first) & (starts <= last - 12)
    ax.set_xticks(starts[here] + 15, [MONTHS[n % 12] for n in np.flatnonzero(here)])
    ax.tick_params(axis="x", length=0)
    style.upright_lines(ax, starts[here], color="#BBBBBB", linewidth=0.4, zorder=3)
    ax.grid(False)


def _air_bar(ax, first, last, air_days, y, **look):
    """A thick line over the days the air runs, which may pass New Year."""
    begin, end = air_days
    end = end if end >= begin else end + 365
    for shift in (-365, 0, 365):
        low, high = max(first, begin + shift), min(last, end + shift)
        if low < high:
            ax.plot([low, high], [y, y], solid_capstyle="butt", **look)


def year(figure, result, system):
    """Temperature and oxygen by depth through the year, without air and with; under them what fish can use.

    `result` is a YearCase.
    """
    half = result.depth[0]
    depth = style.shown(np.concatenate([[0.0], result.depth, [result.depth[-1] + half]]), "depth", system)
    bottom = style.shown(result.depth[-1] + result.depth[0], "depth", system)
    first, last = result.day[0], result.day[-1] + 1
    columns = len(result.day) // MEAN_OF
    day = result.day[0] + np.linspace(0, len(result.day), columns)
    warm_levels = np.arange(30, 111, 10) if system == "US" else np.arange(0, 41, 5)
    rows = ((style.shown(result.temperature, "temperature", system), warm_levels, WARMTH, warm_levels[2:-2:2],
             f"Temperature ({unit_label(KINDS['temperature'][system != 'US'])})"),
            (result.oxygen, OXYGEN_LEVELS, OXYGEN, (2, 4, 8), "Oxygen (mg/L)"))
    dark_from = 85 if system == "US" else 28, 6
    for row, (values, levels, colours, labelled, words) in enumerate(rows):
        for column, name in enumerate(("without air", "with air")):
            ax = style.axes(figure, (0.085 + 0.47 * column, 0.7 - 0.315 * row, 0.435, 0.25), xlim=(first, last),
                            ylim=(bottom, 0), title=f"{words}, {name}")
            if column == 0:
                ax.set_ylabel(style.axis_label("Depth", "depth", system))
            field = values[column][:columns * MEAN_OF].reshape(columns, MEAN_OF, -1).mean(axis=1)
            field = np.pad(np.clip(field.T, levels[0], levels[-1] - 1e-9), ((1, 1), (0, 0)), mode="edge")
            ax.contourf(day, depth, field, levels=levels, colors=colours)
            lines = ax.contour(day, depth, field, levels=labelled, colors=style.BLACK, linewidths=0.7)
            style.label_levels(ax, lines, dark_from[row], fontsize=7.5, inline_spacing=2, fmt="%g")
            _months(ax, first, last)
            ax.tick_params(labelbottom=row == 1, labelleft=column == 0)
            for found in result.overturns[column]:
                at = found.day if found.day >= first else found.day + 365
                ax.plot(at, 0.04 * bottom, "v", color=style.RED, markeredgecolor=style.BLACK, markersize=9,
                        clip_on=False, zorder=5)
            if column:
                _air_bar(ax, first, last, result.air_days, style.shown(result.submergence, "depth", system),
                         color=style.PURPLE, linewidth=4, zorder=4)
    ax = style.axes(figure, (0.085, 0.06, 0.905, 0.195), xlim=(first, last), ylim=(0, 105),
                    ylabel="Fish can use (%)", yticks=[0, 50, 100])
    for used, look, name in zip(result.usable, (style.LINES[1], style.LINES[0]), ("without air", "with air"),
                                strict=True):
        ax.plot(result.day[:len(used.share)], 100 * used.share, label=name, **(look | {"linewidth": 1.4}))
    ax.plot([], [], "v", color=style.RED, markeredgecolor=style.BLACK, label="overturn")
    ax.plot([], [], color=style.PURPLE, linewidth=5, label="air runs, at the depth of the diffuser")
    _months(ax, first, last)
    ax.legend(loc="lower left", ncols=4, fontsize=9, bbox_to_anchor=(0.0, 0.98), borderaxespad=0.1)


def winter(figure, result, system):
    """Oxygen of the whole pond and thickness of the ice, November to April, without air and with.

    `result` has case (WinterCase) and floor (mg/L).
    """
    case = result.case
    first, last = case.day[0], case.day[-1] + 1
    top = style.axes(figure, (0.1, 0.45, 0.87, 0.48), xlim=(first, last), ylim=(0, 15),
                     ylabel="Oxygen, whole pond (mg/L)")
    low = style.axes(figure, (0.1, 0.1, 0.87, 0.27), system, xlim=(first, last),
                     ylim=(0, style.shown(1.2, "bore", system)), ylabel=("Ice", "bore"))
    for n, (look, name) in enumerate(((style.LINES[1], "without air"), (style.LINES[0], "with air"))):
        top.plot(case.day, case.oxygen[n], label=name, **look)
        low.plot(case.day, style.shown(case.ice[n], "bore", system), **look)
    top.axhline(result.floor, color=style.BLACK, linestyle=":", label="oxygen to keep")
    top.legend(loc="lower left", ncols=3, fontsize=9, bbox_to_anchor=(0.0, 1.0), borderaxespad=0.1)
    for ax in (top, low):
        _months(ax, first, last)


def _date_ticks(ax, start, last):
    """Up to six dates along an axis of days since `start`: firsts of months, or single days in a short log."""
    ends = np.datetime64(start), np.datetime64(start) + max(1, int(last))
    months = np.arange(ends[0].astype("datetime64[M]"), ends[1].astype("datetime64[M]") + 1)
    if len(months) >= 4:
        dates = [d for d in months[::-(-len(months) // 6)].astype("datetime64[D]") if d >= ends[0]]
    else:
        dates = ends[0] + np.unique(np.linspace(0, int(last), min(4, int(last) + 1)).astype(int))
    names = [d.astype(object) for d in dates]
    ax.set_xticks([(d - ends[0]).astype(int) for d in dates], [f"{d:%b} {d.day}" for d in names], fontsize=9)


def _bounds(shown, least):
    """Ends of an axis around known numbers, at least so far apart; 0 to 1 where there are none."""
    known = np.concatenate([v[np.isfinite(v)] for v in shown] + [np.zeros(0)])
    if not len(known):
        return 0, 1
    room = max(0.12 * np.ptp(known), 0.5 * (least - np.ptp(known)))
    return known.min() - room, known.max() + room


def log(figure, result, system):
    """Four trends of a log: gauge, cabinet, hours, oxygen; the readings judged are filled, later ones are faint.

    `result` has log, count (readings judged), slope of the gauge (Pa a day or None), shift (Pa), warm (degC),
    floor (oxygen to keep, mg/L) and hours_a_day. Dotted lines are the limits judged by.
    """
    kept, day, count = result.log, result.log.day, result.count
    last = max(1.0, day[-1]) * 1.02

    def panel(column, row, kind, unit, series, words, limits=None, least=1.0):
        shown = [to_display(values, kind, unit, system) for values, *_ in series]
        ax = style.axes(figure, (0.09 + 0.49 * column, 0.58 - 0.48 * row, 0.405, 0.345), xlim=(-0.02 * last, last),
                        ylim=limits or _bounds(shown, least), title=words,
                        ylabel=unit_label(KINDS[kind][system != "US"]))
        _date_ticks(ax, kept.date[0], day[-1])
        for values, (_, label, mark), look in zip(shown, series, style.LINES, strict=False):
            ax.plot(day[count:], values[count:], mark, color="#CCCCCC", markersize=3.5)
            ax.plot(day[:count], values[:count], mark, color=look["color"], markersize=4.5, label=label)
        if not any(np.isfinite(values).any() for values in shown):
            ax.text(0.5, 0.5, "none in this log", transform=ax.transAxes, ha="center", fontsize=9.5)
            ax.set_yticks([])
        elif len(series) > 1:
            ax.legend(loc="lower center" if row == 0 else "upper center", fontsize=8.5, ncols=2)
        return ax

    def limit(ax, at, words, below=False, **look):
        ax.axhline(at, **(dict(color=style.BLACK, linestyle=":") | look))
        ax.annotate(words, (0.98 * last, at), (0, -2 if below else 2), textcoords="offset points", ha="right",
                    va="top" if below else "bottom", fontsize=8.5)
    gauge = panel(0, 0, "pressure", "Pa", [(kept.pressure_gauge, "gauge", "o")], "Gauge pressure",
                  least=style.shown(4 * result.shift, "pressure", system))
    known = kept.pressure_gauge[np.isfinite(kept.pressure_gauge)][:3]
    for way, words in ((1, "flag above"), (-1, "flag below")) if len(known) else ():
        limit(gauge, style.shown(np.median(known) + way * result.shift, "pressure", system), words)
    if result.slope is not None:
        at = np.array([day[0], day[count - 1]])
        middle = np.nanmedian(kept.pressure_gauge[:count]) + result.slope * (at - np.nanmedian(day[:count]))
        gauge.plot(at, style.shown(middle, "pressure", system), color=style.BLACK, linewidth=1.4)
    box = panel(1, 0, "temperature", "degC", [(kept.cabinet_temperature, "cabinet", "o"),
                                              (kept.air_temperature, "outside", "^")], "Cabinet and outside air",
                least=20.0)
    limit(box, style.shown(result.warm, "temperature", system), "warm")
    each = np.concatenate([[np.nan], np.diff(kept.hours) / np.maximum(np.diff(day), 1e-9)])
    hours = panel(0, 1, "time", "h", [(each, "", "o")], "Hours run a day", (0, 28))
    hours.set(ylabel="h")
    if np.isfinite(each).any():
        hours.set_yticks([0, 6, 12, 18, 24])
    limit(hours, result.hours_a_day, "planned")
    gas = panel(1, 1, "oxygen", "mg/L", [(kept.top_oxygen, "top", "o"), (kept.bottom_oxygen, "bottom", "^")],
                "Oxygen", (0, 14))
    limit(gas, result.floor, "to keep", color=style.RED, linestyle="--", linewidth=1.4, below=True)


def copper(figure, result, system):
    """Bars: copper sulfate for all parts together, and for one part at the low volume, which is the dose.

    The thick mark on the upper bar is the dose by the low end; the bar goes on to what the high end would say.

    `result` has made (CopperPlan), most (kg), alkalinity and dawn (mg/L).
    """
    ax = style.axes(figure, (0.2, 0.17, 0.76, 0.74), system, xlim=(0, style.shown(result.most, "mass", system)),
                    ylim=(1.6, -0.6), xlabel=("Copper sulfate crystals", "mass"))
    ax.set_yticks([0, 1], ["all parts\ntogether", "one part\n(1/3 to 1/2)"])
    ax.set_title(f"Alkalinity {result.alkalinity:.0f} mg/L (50 or more).  Oxygen at dawn {result.dawn:.1f} mg/L (4 or "
                 "more).", fontsize=10)
    ax.grid(axis="y", visible=False)
    if not result.made.allowed:
        ax.text(0.5, 0.5, "DO NOT TREAT", transform=ax.transAxes, ha="center", va="center", fontsize=26, weight="bold",
                color=style.RED_TEXT)
        return
    for row, (span, colour, hatch, joined) in enumerate(
            ((result.made.whole_pond, style.SKY, "", "by the low end, not"),
             (result.made.one_part, style.ORANGE, "//", "to"))):
        low, _, high = style.shown(np.array(span), "mass", system)
        ax.barh(row, high - low, left=low, height=0.5, color=colour, hatch=hatch, edgecolor=style.BLACK)
        if row == 0:
            ax.plot([low, low], [row - 0.32, row + 0.32], color=style.BLACK, linewidth=3)
        ends = [format_number(end, 2) for end in (low, high)]
        words = ends[0] if ends[0] == ends[1] else f"{ends[0]} {joined} {ends[1]}"
        crowded = high > 0.6 * ax.get_xlim()[1]         # no room for words at the right
        ax.annotate(words, (low if crowded else high, row), (-6 if crowded else 6, 0), textcoords="offset points",
                    va="center", ha="right" if crowded else "left")


def calendar(figure, result, system):
    """Tasks of the year as bars along the months. `result` has tasks and most (rows)."""
    ax = style.axes(figure, (0.02, 0.06, 0.96, 0.92), xlim=(1, 366), ylim=(result.most - 0.05, -0.75))
    ax.set_yticks([])
    ax.spines["left"].set_visible(False)
    bars = {True: [], False: []}
    for row, task in enumerate(result.tasks):
        spans = [(task.first_day, task.last_day)] if task.first_day <= task.last_day else \
            [(1, task.last_day), (task.first_day, 366)]
        bars[task.last_day - task.first_day == 364] += [
            Path([(begin, row - 0.15), (end, row - 0.15), (end, row + 0.15), (begin, row + 0.15), (begin, row - 0.15)],
                 closed=True) for begin, end in spans]
        ax.text(3, row - 0.2, task.name, fontsize=9, va="bottom")
    for all_year, (colour, hatch) in ((True, (style.SKY, "")), (False, (style.ORANGE, "//"))):
        ax.add_patch(PathPatch(Path.make_compound_path(*bars[all_year]), facecolor=colour, hatch=hatch,
                               edgecolor=style.BLACK, linewidth=0.8))
    _months(ax, 1, 366)
