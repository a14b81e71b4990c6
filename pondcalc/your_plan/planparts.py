"""What is the whole plan of one pond, part by part, and which workbook says so?

The chain of :mod:`pondcalc.your_plan.plan` is laid out beside what the other workbooks saved: line, power, cabinet,
layers and the first start. Where a workbook has not been done, the line says so and the plan's own simple number
stands in. What is out of date is marked.

What this leaves out: the site visit. Every caution here gives way to local codes, labels and licensed people.
"""

from typing import Any, NamedTuple

from ..back_pressure import families
from ..power_and_housing import housing
from ..units import Q, Range, show
from . import alternatives, plan, sensitivity, staleness
from .plan import PlanLine

__all__ = ["CAUTIONS", "SIGN_OFF", "PlanPart", "WholePlan", "hold", "mark", "say_side_by_side", "say_whole",
           "shopping", "whole_plan"]

CAUTIONS = (
    "First start: in a pond that is warm on top and cold below, full power on the first day can spread water without "
    "oxygen through the whole pond and kill the fish. Follow the first-start schedule with a meter in hand; stop if "
    "fish gulp at the surface.",
    "Electricity: compressor, outlet and wiring stand on land, above high water; only air goes into the pond. "
    "Ground-fault protection on the circuit.",
    "A blocked line: fit a relief valve set below the machine's limit, and never let it run against a closed line.",
    "Hot discharge: the first several feet of line get hot enough to burn skin and soften plastic. Metal or rated "
    "hose there. No PVC above ground for compressed air: it shatters.",
    "Bad air: the first mixing can bring up foul gas from the bottom. Stay upwind and off the water.",
    "Boat work: life jacket on, never alone, not in cold water.",
    "Digging: call 811 first. Private lines are not marked.",
    "Winter: moving water makes thin ice. Fence and sign open water as your state requires, or leave the air off.",
)
SIGN_OFF = (
    ("Licensed electrician", "circuit, ground-fault protection, wire, disconnect, outdoor outlet or hard wiring (NEC "
                             "article 682 or the local code)"),
    ("Local authority", "building, electrical, shoreline or dam permits, where they apply"),
    ("Extension office or fisheries biologist", "stocking, the first start, and the plan for a bad night"),
    ("Owner", "readings at dawn, the machine's own curve, and the schedule of the first start"),
)
NOT_YET = "not known yet"
READ_AGAIN = "Layers change with the season: read temperature and oxygen again just before the first start."


class PlanPart(NamedTuple):
    """One part of the plan: title, lines with their sources, and sentences."""

    title: str
    lines: tuple
    words: tuple


class WholePlan(NamedTuple):
    """The plan of one pond: parts, a warning before switching on (or empty), what is out of date, what to measure.

    `others` are this plan and two changed ones, to lay side by side.
    """

    pond: Any
    plan: Any
    parts: tuple
    hold: str
    stale: tuple
    unknowns: tuple
    others: tuple


def hold(pond):
    """What the section ``layers`` says about switching on: a warning, or nothing where the pond was read as mixed."""
    kind, when = pond.get("layers", "kind"), pond.get("layers", "read_on")
    read = f" (read {when})" if when else ""
    if kind is None:
        return ("Layers not known: read temperature and oxygen from top to bottom (workbook 05) before the first "
                "start.")
    if kind == "mixed":
        return ""
    why = ("warm water over cold" if kind == "warm over cold" else kind)
    then = ("Follow the first-start schedule below, after new readings." if pond.has("year")
            else "Do workbook 07 for a first-start schedule, or wait for spring or fall, when the pond is mixed.")
    return f"DO NOT SWITCH ON: LAYERED, {why}{read}. {then}"


def mark(line, stale):
    """The line's source, with a mark where the section behind it is out of date."""
    old = {staleness.WORKBOOKS[item.section] for item in stale}
    return f"{line.source}, OUT OF DATE" if line.source[:2] in old else line.source


def _saved(pond, section, rows):
    """Lines of those fields of a section that are there."""
    source = staleness.WORKBOOKS[section]
    return [PlanLine(words, pond.get(section, key), kind, source) for words, key, kind in rows
            if pond.get(section, key) is not None]


def _span(values, unit):
    return Range(*(Q(float(v), unit) for v in values))


def _by_source(made):
    """The chain's own lines by the first words of each."""
    return {line.words.split(",")[0]: line for line in plan.plan_lines(made)}


def _water(pond, made, own):
    c = made.choices
    words = ("Oxygen the air must deliver",)
    source = staleness.came_from(pond, "water")
    lines = [own["Water in the full pond"]._replace(source=source),
             PlanLine("Surface", pond.get("water", "area"), "area", source),
             PlanLine("Deepest place", pond.get("water", "deepest"), "depth", source)]
    if pond.has("oxygen") and pond.get("oxygen", "dawn") is not None:
        lines += _saved(pond, "oxygen", [("Oxygen at dawn without air", "dawn", "oxygen"),
                                         ("Chance of less than the floor", "chance", "share")])
    else:
        lines.append(own["Oxygen at dawn without air"])
    lines += [PlanLine("Oxygen to keep", Q(c.floor, "mg/L"), "oxygen",
                       "08, assumed" if "floor" in c.assumed else "02")]
    lines += [line for start, line in own.items() if start.startswith(words)]
    return PlanPart("Water and need", tuple(lines), ())


def _air(pond, made, own):
    c = made.choices
    where = "03" if pond.has("air") else "08, assumed"
    depth = own["Depth of the diffuser"]
    if not pond.has("air") and pond.get("line", "submergence") is not None:
        depth = depth._replace(source="04")
    lines = [PlanLine("Diffusers", f"{c.diffusers:.0f}", "text", where), depth]
    lines += _saved(pond, "air", [("Air wanted, all together", "flow_free_air", "air flow")])
    lines += [own[key] for key in ("Oxygen out of the bubbles", "Oxygen taken in at the top by lifted water",
                                   "Water the bubbles lift", "Time to lift one pond volume") if key in own]
    lines += [own["Air by the 1.3 cfm an acre rule"]]
    return PlanPart("Diffusers and air", tuple(lines), ())


def _line(pond, made, own):
    c = made.choices

    def source(name):
        return "08, assumed" if name in c.assumed else "04"
    lines = [PlanLine("Length of the line", Q(c.length, "m"), "distance", source("length")),
             PlanLine("True inside diameter", Q(c.inside_diameter, "m"), "bore", source("inside_diameter")),
             own["Pressure of the water above it"]]
    saved = _saved(pond, "line", [("Gauge should read, new to aged", "pressure_gauge", "pressure"),
                                  ("Rated pressure to ask for", "pressure_rated", "pressure")])
    asked = own["Pressure to ask for"]
    if saved:
        asked = asked._replace(words="Cross-check: pressure to ask for, by the simple sum")
    return PlanPart("Pressure and line", (*lines, *saved, asked),
                    () if saved else (f"Your own line and parts: {NOT_YET}; do workbook 04.",))


def _machine(made, own, system):
    flow = made.point.flow_free_air if made.point else float(made.choices.open_flow)
    fits = families.suitable_families.si(made.choices.submergence, made.pressure.total, flow, system)
    good = [item for item in fits if item.fits == "yes"]
    edge = [item for item in fits if item.fits == "maybe"]
    words = [f"Fits, {item.family.name}: {item.words}" for item in good]
    words += [f"Maybe, {item.family.name}: {item.words}" for item in edge]
    if not good and not edge:
        words = ["No small kind of machine fits; change the depth, the line or the air."]
    lines = [own[key] for key in ("This compressor would send", "and its gauge would read near") if key in own]
    return PlanPart("Compressor", tuple(lines), (*words, "Ranges of the kinds are common practice, no source.",
                                                 *([made.trouble] if made.trouble else [])))


def _power(pond, made, own):
    lines, words = [], []
    kept = _saved(pond, "power", [("Power, from plate or meter", "power", "power"),
                                  ("Current", "current", "current"), ("Copper wire, AWG", "wire_gauge", "number"),
                                  ("Run of wire, one way", "run_length", "distance"),
                                  ("Voltage lost on the way", "voltage_drop", "share"),
                                  ("Air through the cabinet on the hottest day", "fan_flow", "air flow")])
    lines += kept
    if pond.get("power", "power") is None and "Electric power it would draw" in own:
        lines.append(own["Electric power it would draw"])
    if pond.get("power", "fan_flow") is None:
        words.append(f"Cabinet and its fan: {NOT_YET}; do workbook 06.")
    return PlanPart("Power and cabinet", tuple(lines), tuple(words))


def _watts(pond, made):
    """Power (W) as saved, else as reckoned, and where it comes from; None where no air arrives."""
    kept = pond.get("power", "power")
    if kept is not None:
        return Range(*(v.m_as("W") for v in kept)), "06"
    return (made.power, "08") if made.point else (None, "08")


def _cost(pond, made):
    watts, source = _watts(pond, made)
    if watts is None:
        return PlanPart("Cost", (), ("No cost without air.",))
    price = made.choices.price
    year = [housing.cost_per_year.si(w, price) for w in watts]
    whole = alternatives.ten_years(watts, price)
    lines = [PlanLine("Price of electricity", Q(price * 3.6e6, "$/kWh"), "price",
                      "08, assumed" if "price" in made.choices.assumed else "00"),
             PlanLine("Electricity, one year day and night", _span(year, "$/yr"), "money a year", source),
             PlanLine("Ten years, machine and parts included", _span(whole, "dollar"), "money", "08, generic")]
    return PlanPart("Cost", tuple(lines), (
        "Prices of machine, parts and upkeep are generic (common practice, no source), in today's dollars; put in the "
        "offers you get (workbook 06).",))


def _start(pond, system):
    lines = _saved(pond, "layers", [("Layers", "kind", "text"), ("Layers read on", "read_on", "text"),
                                    ("Top", "surface_temperature", "temperature"),
                                    ("Bottom", "bottom_temperature", "temperature"),
                                    ("Oxygen if it mixed at once", "mixed_oxygen", "oxygen"),
                                    ("Harm if it mixed at once", "harm", "text")])
    hours = pond.get("year", "start_hours")
    if hours is None:
        return PlanPart("Layers and first start", tuple(lines),
                        (f"First-start schedule: {NOT_YET}; do workbook 07.", READ_AGAIN))
    steps = ", ".join(show(h, "time", system, digits=2) for h in hours)
    lines += [PlanLine("Run times, day by day", steps, "text", "07"),
              *_saved(pond, "year", [("Do not let oxygen fall below", "floor", "oxygen"),
                                     ("Stop a run at a reading of", "stop_reading", "oxygen"),
                                     ("Days until mixed", "days_to_mix", "days"), ("Air from", "air_from", "text"),
                                     ("Air to", "air_to", "text"), ("Winter", "winter", "text")])]
    rule = pond.get("year", "start_rule")
    return PlanPart("Layers and first start", tuple(lines), (rule, READ_AGAIN) if rule else (READ_AGAIN,))


def _others(choices, changes=("One diffuser more, on the same air", "A line of 3/4 the bore")):
    """The plan and two others; a change the pond does not allow is left out."""
    made = [alternatives.alternative("The plan", choices)]
    for change in changes:
        try:
            made.append(alternatives.changed_plan(choices, change)[1])
        except ValueError:
            continue
    return tuple(made)


def whole_plan(pond, system="US"):
    """The plan of a pond from its record.

    Parameters
    ----------
    pond : record.PondRecord
    system : {"US", "metric"}, optional
        Units inside sentences.

    Returns
    -------
    WholePlan

    Raises
    ------
    ValueError
        If the record has no water yet, or the pond is too shallow.
    """
    made = plan.first_plan(plan.choices_from(pond))
    own = _by_source(made)
    parts = (_water(pond, made, own), _air(pond, made, own), _line(pond, made, own), _machine(made, own, system),
             _power(pond, made, own), _cost(pond, made), _start(pond, system))
    known = (sensitivity.LOSSES,) if pond.get("power", "power") is not None else ()
    return WholePlan(pond, made, parts, hold(pond), staleness.stale(pond),
                     tuple(sensitivity.matters_most(made.choices, known)), _others(made.choices))


def shopping(whole):
    """What to ask for in a shop, in generic terms: a list of sentences with US units first."""
    made, pond = whole.plan, whole.pond
    c = made.choices
    rated = pond.get("line", "pressure_rated", Q(float(made.pressure.total), "Pa"))
    wanted = pond.get("air", "flow_free_air")
    sent = made.point.flow_free_air if made.point else made.air_by_area
    flow = Q(float(sent), "m3/s") if wanted is None else wanted.usual
    height = show(Q(c.elevation, "m"), "elevation", both=True)

    def said(quantity, kind):
        return show(quantity, kind, digits=2, both=True)
    count = f"{c.diffusers:.0f} diffuser{'s' if c.diffusers > 1 else ''}"
    material = pond.get("air", "diffuser")
    items = [
        f"Compressor for running day and night, oil-free air, {said(flow, 'air flow')} of free air or more at "
        f"{said(rated, 'pressure')} on the gauge, at {height} above sea level. Ask for the curve of flow against "
        "pressure and for watts at the working pressure.",
        f"Relief valve, set above {said(rated, 'pressure')} and below the machine's limit; check valve at the machine; "
        "pressure gauge; inlet filter with spare; kit of the parts that wear.",
        "Metal pipe or hose rated for the heat, first 10 ft (3 m) from the machine.",
        f"Air line, {said(Q(c.length, 'm'), 'distance')}, true inside diameter "
        f"{show(Q(c.inside_diameter, 'm'), 'bore', both=True)} or more, that sinks or is weighted, rated for the "
        "pressure and for sun where it lies open.",
        f"{count[0].upper()}{count[1:]}{f' ({material})' if material else ''} on a base that holds each about 2 ft "
        f"(0.6 m) off the bottom, at {said(Q(c.submergence, 'm'), 'depth')} of water.",
        "Cabinet on land above high water, with vents or a fan"
        + (f" that moves {said(pond.get('power', 'fan_flow'), 'air flow')} against its own filters"
           if pond.get("power", "fan_flow") is not None else "")
        + "; circuit with ground-fault protection, by a licensed electrician.",
        "Oxygen meter with a cable as long as the pond is deep, to buy, borrow or rent, for the first start.",
    ]
    return items


def say_side_by_side(others, system="US"):
    """Plans as lines of text: each number of the first plan, then of the others."""
    head, *rows = alternatives.side_by_side(others, system)
    names = "; ".join(f"{letter}: {name}" for letter, name in zip("ABCDEF", head[1:], strict=False))
    return "\n".join([names, *(f"{row[0]}: " + "; ".join(f"{letter} {cell or 'none'}" for letter, cell in
                                                        zip("ABCDEF", row[1:], strict=False)) for row in rows)])


def say_whole(whole, system="US"):
    """The whole plan as text: warnings first, then each part with the workbook behind each number."""
    lines = [*([whole.hold] if whole.hold else []), *(item.words for item in whole.stale)]
    for part in whole.parts:
        lines += ["", part.title.upper()]
        lines += [f"{plan.say_line(line, system)}   [{mark(line, whole.stale)}]" for line in part.lines]
        lines += part.words
    lines += ["", "SIDE BY SIDE", *say_side_by_side(whole.others, system).splitlines()]
    lines += ["", "MEASURE FIRST"]
    lines += [sensitivity.say_swings(outcome, swing, system) for outcome, _, swing in whole.unknowns]
    return "\n".join([*lines, *whole.plan.notes]).strip()
