"""Explorers of workbook 08: one first plan, moved by hand."""

from types import SimpleNamespace

import numpy as np

from .. import airline, plan
from ..figures import your_plan as draw
from ..units import Q, Range, show, show_range
from .explorer import Explorer, Slider

TOP = 30 * 6894.757         # Pa; the pressure axis stands still at 30 psi
ENOUGH_DEPTH = "3 ft"


def operating_point(pond, system="US"):
    """What the chosen compressor really sends down this line to this depth."""
    start = plan.choices_from(pond)

    def model(submergence, length, inside_diameter, open_flow, top_pressure):
        choices = plan.changed(start, deepest=submergence + plan.OFF_BOTTOM, length=length,
                               inside_diameter=inside_diameter, open_flow=open_flow, top_pressure=top_pressure)
        made = plan.first_plan(choices)
        curve = plan.machine(choices)
        flow = np.linspace(1e-9, start.open_flow * 2, 60)
        asked = airline.system_curve.si(choices.submergence, airline.Line.si(length, inside_diameter),
                                        elevation=choices.elevation)(flow)
        return SimpleNamespace(plan=made, flow=flow, asked=asked, curve=curve, most_flow=start.open_flow * 2,
                               most_pressure=TOP)
    return Explorer("Where compressor and pond agree", model, draw.operating_point, _say_point,
                    [Slider("submergence", "Depth of the diffuser", "depth", ENOUGH_DEPTH, "45 ft",
                            f"{start.submergence} m", step=0.5),
                     Slider("length", "Length of the air line", "distance", "10 ft", "1500 ft", f"{start.length} m",
                            step=10),
                     Slider("inside_diameter", "Inside diameter of the line", "bore", "0.25 in", "2 in",
                            f"{start.inside_diameter} m", step=0.02),
                     Slider("open_flow", "Compressor, flow in open air", "air flow", "0.5 cfm", "9 cfm", "4.5 cfm",
                            step=0.1),
                     Slider("top_pressure", "Compressor, highest pressure", "pressure", "2 psi", "30 psi", "30 psi",
                            step=0.5)],
                    presets={"A weak one": {"top_pressure": "4 psi"},
                             "Thin line": {"inside_diameter": "0.375 in", "length": "400 ft"}}, system=system)


def _say_point(result, system):
    made = result.plan
    ask = show(Q(float(made.pressure.total), "Pa"), "pressure", system)
    if made.point is None:
        return (f"No air arrives. {made.trouble} To drive its open flow down this line, ask for {ask}, or use a wider "
                "line.")
    share = 100 * made.pressure.static / made.pressure.working
    return (f"It sends {show(Q(made.point.flow_free_air, 'm3/s'), 'air flow', system)} of free air at a gauge reading "
            f"of {show(Q(float(made.point.pressure_gauge), 'Pa'), 'pressure', system)}; {share:.0f} % of that is the "
            f"weight of the water. Ask for a machine good for {ask}, which leaves a margin. It draws about "
            f"{show_range(*_ends(made.power, 'W'), 'power', system)} and costs "
            f"{show_range(*_ends(made.cost, '$/yr'), 'money a year', system)}.")


def _ends(values, unit):
    return Q(float(values.low), unit), Q(float(values.high), unit)


def night(pond, system="US"):
    """Does the oxygen at dusk last until dawn?"""
    start = plan.choices_from(pond)
    most = 1.05 * start.volume.high * 14.6e-3

    def model(fish, temperature, night, floor):
        made = plan.first_plan(plan.changed(start, fish=fish, temperature=temperature, night=night, floor=floor,
                                            delivery=None))     # a saved one would not follow the sliders
        keep = Range(*(v * floor * 1e-3 for v in start.volume))
        rows = [("held at dusk", *made.budget.held), ("used by dawn", *made.budget.used),
                ("left at dawn", *(v * start.volume.usual * 1e-3 for v in made.budget.dawn)),
                ("to keep for the fish", *keep)]
        return SimpleNamespace(plan=made, rows=rows, most=most)

    def say(result, system):
        budget = result.plan.budget
        dawn = show_range(Q(float(budget.dawn.low), "mg/L"), Q(float(budget.dawn.high), "mg/L"), "oxygen", system)
        need = [Q(float(v) * 3600, "kg/h") for v in budget.delivery]
        usual = "nothing" if need[1].magnitude < 1e-3 else show(need[1], "oxygen rate", system, digits=2)
        return (f"At dawn the pond would stand at {dawn}. In a usual warm night the air must add {usual}; in the worst "
                f"believable one {show(need[2], 'oxygen rate', system, digits=2)}. Green, murky water makes the wide "
                "range.")
    return Explorer("From dusk to dawn without aeration", model, draw.night, say,
                    [Slider("fish", "Fish", "stocking", "0 lb/acre", "3000 lb/acre", f"{start.fish * 1e4} kg/ha",
                            step=10),
                     Slider("temperature", "Water temperature", "temperature", "59 F", "86 F",
                            f"{start.temperature} C", step=0.5),
                     Slider("night", "Hours without sun", "time", "6 h", "24 h", f"{start.night / 3600} h", step=0.5),
                     Slider("floor", "Oxygen to keep", "oxygen", "1 mg/L", "7 mg/L", f"{start.floor} mg/L", step=0.1)],
                    presets={"Crowded pond": {"fish": "2000 lb/acre"}, "Dark, still day": {"night": "24 h"}},
                    system=system)
