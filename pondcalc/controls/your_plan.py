"""Workbook 08: explorers of one first plan moved by hand, and the form that writes the sheet."""

import warnings
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from .. import findings, record
from ..back_pressure import airline
from ..figures import your_plan as draw
from ..how_much_oxygen import oxygencase
from ..units import CFM, PSI, Q, Range, show, show_range
from ..your_plan import plan, planparts
from . import pond as ponds
from .explorer import FIT, Choice, Explorer, Panel, Slider
from .ownform import CLASS, STYLE
from .page import guarded

TOP = 30 * PSI              # Pa; the pressure axis stands still at 30 psi
MOST_AIR = 9 * CFM              # m3/s; the air axis ends at 9 cfm
ENOUGH_DEPTH = "3 ft"
OWN = "own"
GENERIC = {f"Generic, good for {psi} psi ({round(PSI * psi / 1000)} kPa)": psi * PSI for psi in (30, 15, 8, 4)}


def open_pond(path=record.FILE_NAME):
    """The reader's pond, and a sentence on which pond it is.

    A pond without its water yet gets that of the demonstration pond, marked as an example, and keeps what it saved.
    """
    pond, words = ponds.open_pond(path=path)
    if pond.has("water"):
        return pond, words
    made = plan.example_for(pond)
    kept = ", ".join(pond.sections) or "nothing yet"
    return made, (f"EXAMPLE, not a plan: your pond {pond.name} has no “water” yet, so the water here is that of the "
                  f"invented {record.demo().name}. Used from your own record: {kept}. Do workbook 01 and save, then "
                  "run this one again.")


def _machines(start):
    """Machines to choose from, the reader's own first where a curve is saved."""
    return ({"Your compressor": OWN} if start.curve is not None else {}) | GENERIC


def _size():
    return Slider("size", "Size of the compressor, 1 as it is", "number", "0.25", "2", "1", step=0.05)


def operating_point(pond, system="US"):
    """What the chosen compressor really sends down this line to this depth."""
    start = plan.choices_from(pond)
    machines = _machines(start)

    def model(submergence, length, inside_diameter, machine, size):
        choices = plan.changed(start, deepest=submergence + plan.OFF_BOTTOM, length=length,
                               inside_diameter=inside_diameter)
        if machine != OWN:
            choices = plan.changed(choices, open_flow=start.open_flow, top_pressure=machine)
        choices = plan.resized(choices, size)
        made = plan.first_plan(choices)
        curve = plan.machine(choices)
        flow = np.linspace(1e-9, MOST_AIR, 60)
        # the far end of the curve, where no machine here runs
        with warnings.catch_warnings(action="ignore", category=UserWarning):
            asked = airline.system_curve(choices.submergence, airline.Line(length, inside_diameter),
                                         choices.wet_pressure, elevation=choices.elevation)(flow)
        return SimpleNamespace(plan=made, flow=flow, asked=asked, curve=curve, most_flow=MOST_AIR,
                               most_pressure=TOP, own=machine == OWN and size == 1,
                               saved_watts=start.efficiency is not None)
    return Explorer("Where compressor and pond agree", model, draw.operating_point, _say_point,
                    [*_gear(start),
                     Choice("machine", "Compressor", machines, next(iter(machines))), _size()],
                    presets={"A weak one": {"machine": list(GENERIC)[-1]},
                             "Thin line": {"inside_diameter": "0.375 in", "length": "400 ft"}}, system=system)


def _say_point(result, system):
    made = result.plan
    def said(value, kind):
        return show(value, kind, system, digits=2)
    ask = said(made.pressure.total, "pressure")
    if made.point is None:
        return (f"No air arrives. {made.trouble} To drive its open flow down this line, ask for {ask}, or use a wider "
                "line.")
    share = 100 * made.pressure.static / made.pressure.working
    which = "Your compressor" if result.own else "This compressor"
    watts = (" (from the watts you saved)" if made.choices.efficiency is not None else
             " (usual for small machines; the plan below takes the watts you saved)" if result.saved_watts else "")
    return (f"{which} sends {said(made.point.flow_free_air, 'air flow')} of free air at a gauge reading of "
            f"{said(made.point.pressure_gauge, 'pressure')}; {share:.0f} % of that is the weight of the water. "
            f"Ask for a machine good for {ask}, which leaves a margin. It draws about "
            f"{show_range(made.power.low, made.power.high, 'power', system)}{watts} and costs "
            f"{show_range(made.cost.low, made.cost.high, 'money a year', system)}{plan.season(made.choices)}.")


def night(pond, system="US"):
    """Does the oxygen at dusk last until dawn?"""
    start = plan.choices_from(pond)
    most = 1.05 * start.volume.high * 14.6e-3

    def model(fish, temperature, night, floor):
        budget = plan.changed(start, fish=fish, temperature=temperature, night=night, floor=floor).one_night
        keep = Range(*(v * floor * 1e-3 for v in start.volume))
        rows = [("held at dusk", *budget.held), ("used by dawn", *budget.used),
                ("left at dawn", *(v * start.volume.usual * 1e-3 for v in budget.dawn)),
                ("to keep for the fish", *keep)]
        return SimpleNamespace(budget=budget, rows=rows, most=most)

    def say(result, system):
        budget = result.budget
        dawn = show_range(budget.dawn.low, budget.dawn.high, "oxygen", system)
        usual = findings.rate(Q(3600 * float(budget.delivery.usual), "kg/h"), system)
        saved, seen = start.delivery, start.dawn
        size = "Workbook 02 gives the number to size for."
        if saved is not None and seen is not None:
            spread = show_range(seen.low, seen.high, "oxygen", system)
            sized = oxygencase.found(pond, "need") or Range(*(Q(3600 * v, "kg/h") for v in saved))
            size = (f"Workbook 02 imagined many ponds that fit your words and found {spread} at dawn; "
                    f"{findings.say_need(sized, system)} keeps 95 of 100 of them. Size for that.")
        worst = show(budget.delivery.high, "oxygen rate", system, digits=2)
        return (f"By this budget dawn would bring {dawn}. In a usual warm night the air must add {usual}; "
                f"with every bad case stacked on one night, which hardly ever comes, {worst}. {size}")
    return Explorer("From dusk to dawn without aeration", model, draw.night, say,
                    [Slider.of("oxygen", name, getattr(start, name))
                     for name in ("fish", "temperature", "night", "floor")],
                    presets={"Crowded pond": {"fish": "2000 lb/acre"}, "Dark, still day": {"night": "24 h"}},
                    system=system)


MOST = {"Oxygen at dawn": 15.0, "Pressure to ask for": TOP, "Air that arrives": MOST_AIR,
        "Cost of a year": 2000.0}     # ends of the axes, in the units of sensitivity.OUTCOMES


def _gear(start):
    """Sliders of a plan's equipment, from where the record stands."""
    return [Slider.of("line", "submergence", start.submergence, low=ENOUGH_DEPTH),
            Slider.of("line", "length", start.length), Slider.of("line", "inside_diameter", start.inside_diameter)]


def unknowns(pond, system="US"):
    """Which unknown moves an answer most; each is moved alone."""
    start = plan.choices_from(pond)
    first = next((name for name in ("Cost of a year", "Pressure to ask for")
                  if plan.one_at_a_time(start, name)[1]), "Oxygen at dawn")

    def model(outcome, submergence, length, inside_diameter):
        choices = plan.changed(start, deepest=submergence + plan.OFF_BOTTOM, length=length,
                               inside_diameter=inside_diameter)
        now, rows = plan.one_at_a_time(choices, outcome)
        kind, unit, *_ = plan.OUTCOMES[outcome]
        return SimpleNamespace(outcome=outcome, kind=kind, unit=unit, now=now, rows=rows[:8],
                               most=MOST[outcome])

    def say(result, system):
        usual = ("no air arrives" if np.isnan(result.now)
                 else f"it stands at {show(Q(result.now, result.unit), result.kind, system, digits=2)}")
        if not result.rows:
            return f"{result.outcome}: as planned {usual}, and what you saved leaves nothing open that moves it."
        words = plan.say_swings(result.outcome, result.rows[0], system, mark=";")
        second = (f" Next: {result.rows[1].words.lower()}; to know better: {result.rows[1].measure}."
                  if len(result.rows) > 1 else "")
        if result.outcome == "Oxygen at dawn":
            second += " The sliders of line and depth do not touch it."
        if result.outcome == "Cost of a year" and start.efficiency is not None:
            second += " The watts you saved leave nothing else open."
        return f"{result.outcome}: as planned {usual}. The longest bar: {words[0].lower()}{words[1:]}{second}"
    return Explorer("What to measure first", model, draw.swings, say,
                    [Choice("outcome", "The answer to look at", {name: name for name in plan.OUTCOMES},
                            first), *_gear(start)],
                    presets={"Will the oxygen last": {"outcome": "Oxygen at dawn"},
                             "A long thin line": {"outcome": "Pressure to ask for", "length": "800 ft",
                                                  "inside_diameter": "0.5 in"}}, system=system)


def two_plans(pond, system="US"):
    """The plan beside the same plan with one thing changed; one diffuser, where workbook 03 has not chosen."""
    start = plan.choices_from(pond)
    many = f"{start.diffusers} diffuser{'' if start.diffusers == 1 else 's'}"
    has = f"{many} from workbook 03" if pond.has("air") else f"{many}, for this question"

    def model(change, submergence, length, inside_diameter, size):
        choices = plan.changed(start, deepest=submergence + plan.OFF_BOTTOM, length=length,
                               inside_diameter=inside_diameter)
        both = plan.changed_plan(plan.resized(choices, size), change)
        return SimpleNamespace(change=change, both=both, panels=_panels(both))

    def say(result, system):
        rows = plan.side_by_side(result.both, system)[3:]
        first, second = result.both
        if first.plan.point is None or second.plan.point is None:
            lost = first if first.plan.point is None else second
            return f"No air arrives in {'plan A' if lost is first else 'plan B'}. {lost.plan.trouble}"
        parts = "; ".join(f"{words.lower()} {a} against {b}" if a != b else f"{words.lower()} {a} in both"
                          for words, a, b in rows)
        return f"Plan A ({has}) against B, “{result.change}”: {parts}."
    return Explorer("Two plans side by side", model, draw.two_plans, say,
                    [Choice("change", "Plan B is plan A, but with", {name: name for name in plan.changes()},
                            "One diffuser more, on the same air"), *_gear(start), _size()],
                    presets={"Diaphragm in deep water": {"change": "A generic diaphragm machine",
                                                         "submergence": "20 ft"},
                             "Half the air": {"change": "Half the air"}}, system=system)


def _panels(both):
    """What the two plans come to, each as (words, kind, unit, end of axis, A, B)."""
    def flow(one):
        return None if one.plan.point is None else Range(*(one.plan.point.flow_free_air,) * 3)

    def asked(one):
        parts = one.plan.pressure
        return Range(parts.working, parts.total, parts.total)
    columns = (("Air", "air flow", "m^3/s", MOST_AIR, flow),
               ("Pressure", "pressure", "Pa", TOP, asked),
               ("Water lifted", "water flow", "m^3/s", 1.0, lambda one: one.lifted),
               ("One year", "money a year", "dollar/year", 2000.0,
                lambda one: None if one.plan.point is None else one.plan.cost),
               ("Ten years", "money", "dollar", 25000.0, lambda one: one.ten_years))
    return [(words, kind, unit, most, *(value(one) for one in both)) for words, kind, unit, most, value in columns]


class PlanSheet(Panel):
    """Name and remarks; a button that writes the printable sheet, and one that makes a PDF where a browser can.

    pond (record.PondRecord): Shown when there is no record file yet.
    path (path): Of the record; the sheet goes beside it.
    """

    def __init__(self, pond, path=record.FILE_NAME):
        self._pond, self._path = pond, path
        self.owner = W.Text(description="Name on the sheet", placeholder="for example: Okafor farm")
        self.remarks = W.Textarea(description="Remarks", rows=3, placeholder="for example: shed is 90 ft from the bank")
        write = W.Button(description="Write the plan sheet", icon="file-text", layout=FIT)
        as_pdf = W.Button(description="Write it and a PDF", icon="print", layout=FIT)
        self.message = W.HTML()
        write.on_click(lambda _: guarded(self.message, self.write, "Not written", pond.system))
        as_pdf.on_click(lambda _: guarded(self.message, self.write_pdf, "Not written", pond.system))
        super().__init__([W.HTML(STYLE), self.owner, self.remarks,
                          W.HBox([write, as_pdf], layout={"flex_flow": "row wrap"}), self.message],
                         layout={"max_width": "760px"})
        self.add_class(CLASS)

    def __repr__(self):
        return "Form: write my plan sheet"

    def _sheet(self):
        """Write the sheet from the record as it stands now, not as it was when the workbook was opened."""
        pond = record.open_pond(self._path)
        if not pond.has("water"):
            pond = plan.example_for(pond)
        if pond.invented and not self._pond.invented:           # the record file is gone: what was opened still stands
            pond = self._pond
        whole = planparts.whole_plan(pond)
        sheet = planparts.write_sheet(whole, self._path, self.owner.value, self.remarks.value)
        what = "an EXAMPLE, not a plan, for" if pond.invented else "for"
        said = [f"Written: {sheet.name}, beside your pond record, {what} {pond.name}."]
        return sheet, [*said, *planparts.warnings_of(whole)]

    def write(self):
        """Write the page and say how to print it."""
        _, said = self._sheet()
        return "\n".join([*said, planparts.HOW_TO_PRINT])

    def write_pdf(self):
        """Write the page, and a PDF where an installed browser can."""
        sheet, said = self._sheet()
        return "\n".join([*said, planparts.to_pdf(sheet)[1]])
