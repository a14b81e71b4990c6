"""Workbook 04: explorers of pressure, line and machine, and the form for the reader's own line."""

import functools
import re
import warnings
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from ..back_pressure import airline, branches, compressor, lineplan, pipesizes, reach
from ..back_pressure import gauge as witness
from ..back_pressure.airline import Chokes, FastAir, Line, pressure_loss, push_needed, segments
from ..bubbles_and_oxygen.plume import OFF_BOTTOM
from ..catalogue import ROWS
from ..figures import back_pressure as draw
from ..power_and_housing import lifecost
from ..refusals import plainly
from ..units import FOOT, INCH, Q, QuantityError, asked, read_quantity, show, show_range
from .explorer import FIT, Choice, Explorer, Panel, Slider
from .ownform import OwnForm, plain, read_all
from .page import guarded

BRANCH = ("150 ft", "1/2 in")           # the line from the manifold to each diffuser
DESIGN = Q("4 cfm").m_as("m^3/s")       # what the drilled holes are sized for
OPEN, DRILLED = "Open, no valves", "Holes drilled for 4 cfm (113 L/min) in all"
SAMPLE = "# pressure, free air\n0 psi, 4.6 cfm\n5 psi, 4.3 cfm\n10 psi, 3.9 cfm\n15 psi, 3.4 cfm\n20 psi, 2.9 cfm"


def _quiet(model):
    """Keep a model's warnings off the page; the last of them rides along as `note`."""
    @functools.wraps(model)
    def called(**values):
        with warnings.catch_warnings(record=True, action="always") as caught:
            result = model(**values)
        result.note = " The air runs so fast here that the loss is less sure than it looks." if any(
            issubclass(w.category, FastAir) for w in caught) else ""
        return result
    return called


def _psi(value, system, digits=3):
    return show(value, "pressure", system, digits=digits)


def _cfm(value, system):
    return show(value, "air flow", system, digits=2)


def _feet(value):
    return f"{value / FOOT:.2f} ft"


def _inches(value):
    return f"{value / INCH:.4g} in"


def _depth_slider(start):
    return Slider.of("line", "submergence", _feet(start.submergence))


def _length_slider(start, high=None):
    return Slider.of("line", "length", _feet(start.length), high=high)


def _bore_slider(start, low=None):
    return Slider.of("line", "inside_diameter", _inches(start.inside_diameter), low=low)


def budget_bars(pond, system="US"):
    """Where does the pressure go?"""
    start = lineplan.line_start(pond)
    bores = np.geomspace(0.25, 2, 70) * INCH

    @_quiet
    def model(submergence, length, inside_diameter, flow):
        new, aged = (airline.pressure_budget(submergence, Line(length, inside_diameter), flow, ageing=ageing,
                                             elevation=start.elevation) for ageing in (1.0, airline.AGED))
        outlet = airline.air.pressure_by_elevation(start.elevation) + new.static + new.diffuser
        losses = push_needed(Line(length, bores), flow, outlet, 20.0, 0.0) - outlet
        return SimpleNamespace(new=new, aged=aged, bores=bores, losses=losses, bore=inside_diameter, loss=new.line)

    def say(result, system):
        share = 100 * result.new.static / result.new.working
        return (f"With a new diffuser the gauge should read {_psi(result.new.working, system)}, with an aged one "
                f"{_psi(result.aged.working, system)}. The weight of the water is {share:.0f} % of the first; the line "
                f"takes {_psi(result.new.line, system, 2)}.{result.note}")
    return Explorer("Where the pressure goes", model, draw.budget, say,
                    [_depth_slider(start),
                     _length_slider(start),
                     _bore_slider(start), Slider.of("line", "flow_free_air", to="flow")],
                    presets={"Half the bore": {"inside_diameter": _inches(start.inside_diameter / 2)},
                             "Twice the air": {"flow": "8 cfm"}, "19 ft, 100 ft of 5/8 in": {
                                 "submergence": "19 ft", "length": "100 ft", "inside_diameter": "0.625 in",
                                 "flow": "4 cfm"}}, system=system)


def machines():
    """Kinds of compressor to choose from: each in the table, and the points that the reader typed."""
    return {**{name.capitalize(): name for name in compressor.family_names()}, "My typed points": "typed"}


def _runs(curve, system, diffuser):
    try:
        with warnings.catch_warnings(action="ignore"):
            return compressor.operating_point(curve, system, diffuser), ""
    except compressor.CannotReach as problem:
        return None, plainly(problem)


class CompressorOnLine(Panel):
    """The explorer of the operating point, with a box for the points of a data sheet."""

    def __init__(self, pond, system="US"):
        self._start = lineplan.line_start(pond)
        saved = reach.saved_curve(pond)
        self.curve = saved or compressor.read_curve(SAMPLE)
        held = SAMPLE if saved is None else pairs(pond.get("line", "curve_pressure"), "pressure",
                                                  pond.get("line", "curve_flow"), "air flow", system)
        self.points = W.Textarea(value=held, rows=6,
                                 description="Points of a data sheet", style={"description_width": "150px"},
                                 layout={"width": "420px", "max_width": "98%"}, continuous_update=False)
        use = W.Button(description="Use these points", layout=FIT)
        use.on_click(lambda _: self.use())
        self.message = W.HTML()
        self.explorer = Explorer(
            "Where compressor and pond agree", _quiet(self._model), draw.point, self._say,
            [_depth_slider(self._start),
             Slider.of("site", "elevation", _feet(self._start.elevation)),
             Choice("machine", "Kind of compressor", machines(), "Rocking piston"),
             Slider.of("line", "open_flow"), _bore_slider(self._start)],
            presets={"Diaphragm in the deep": {"machine": "Diaphragm", "submergence": "20 ft"},
                     "Mountain pond": {"elevation": "8000 ft"}}, system=system)
        super().__init__([self.explorer, W.HBox([self.points, use], layout={"flex_flow": "row wrap"}), self.message],
                         layout={"max_width": "860px"})

    def __repr__(self):
        return repr(self.explorer)

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle is not None:
            shown = self.explorer._repr_mimebundle_()
            bundle["text/plain"], bundle["text/html"] = repr(self), shown["text/html"]
        return bundle

    def use(self):
        """Take the typed points, or say what is wrong with them."""
        guarded(self.message, self._use, "Not used", self.explorer.system)

    def _use(self):
        self.curve = compressor.read_curve(self.points.value)
        self.explorer.set_texts({"machine": "My typed points"})
        return (f"{len(self.curve.pressure_gauge)} points in use. The slider of the flow in open air has no effect on "
                "them.")

    def _model(self, submergence, elevation, machine, open_flow, inside_diameter):
        curve = self.curve if machine == "typed" else compressor.generic_curve(machine, open_flow)
        here = compressor.derated(curve, elevation)
        line = Line(self._start.length, inside_diameter)
        new, aged = (airline.system_curve(submergence, line, ageing=ageing, elevation=elevation)
                     for ageing in (1.0, airline.AGED))
        outlet = float(airline.air.pressure_by_elevation(elevation) + new(0.0))
        most = airline.system_flow(new, 1.6 * outlet, 12 * DESIGN / 4) or 1e-5
        flow = np.linspace(0, most, 40)
        runs_new, why_new = _runs(here, new, airline.NEW_DIFFUSER)
        runs_aged, why_aged = _runs(here, aged, airline.AGED_DIFFUSER)
        return SimpleNamespace(curve=here, flow=flow, new=new(flow), aged=_upto(aged, flow), runs_new=runs_new,
                               runs_aged=runs_aged, why=why_new or why_aged, machine=machine,
                               static=airline.static_pressure(submergence))

    @staticmethod
    def _say(result, system):
        if result.runs_new is None:
            return f"No bubbles. {result.why}"
        new = result.runs_new
        words = (f"With a new diffuser it sends {_cfm(new.flow_free_air, system)} of free air at "
                 f"{_psi(new.pressure_gauge, system)} on the gauge")
        if result.runs_aged is None:
            return f"{words}, but once the diffuser has aged it fails. {result.why}"
        aged = result.runs_aged
        return (f"{words}; with an aged one {_cfm(aged.flow_free_air, system)} at {_psi(aged.pressure_gauge, system)}. "
                f"{compressor.where_on_curve(result.curve, aged.pressure_gauge, system)}{result.note}")


def _upto(system, flow):
    """Pressure asked at each flow, not-a-number where the line would choke."""
    try:
        return system(flow)
    except Chokes:
        return np.full(flow.shape, np.nan)


def branched(pond, system="US"):
    """Who gets the air when several diffusers share one compressor?"""
    start = lineplan.line_start(pond)
    line = asked(Line)(*BRANCH)

    @_quiet
    def model(deep, middle, shallow, flow, how):
        depths = np.array([deep, middle, shallow])
        bores = np.full(3, np.nan)
        made = [branches.Branch(depth, line) for depth in depths]
        if how:
            bores = branches.balance(made, DESIGN / 3, start.elevation).orifice_bore
            made = [branches.Branch(depth, line, orifice_bore=bore if np.isfinite(bore) else None)
                    for depth, bore in zip(depths, bores, strict=True)]
        found = branches.solve_branches(made, flow, elevation=start.elevation)
        opens = [float(branches.branch_pressure(branch, 0.0, start.elevation)) for branch in made]
        return SimpleNamespace(depths=depths, flows=found.flow_free_air, fair=flow / 3, total=flow, bores=bores,
                               manifold=found.manifold_pressure_gauge, opens=opens, how=how)
    deep, middle, shallow = (_feet(start.submergence * share) for share in (1.0, 0.8, 0.6))
    return Explorer("Who gets the air", model, draw.branches, _say_branches,
                    [Slider.of("line", "submergence", deep, "deep", "Depth of the first diffuser"),
                     Slider.of("line", "submergence", middle, "middle", "Depth of the second"),
                     Slider.of("line", "submergence", shallow, "shallow", "Depth of the third"),
                     Slider.of("line", "flow_free_air", to="flow", label="Free air in all", high="9 cfm"),
                     Choice("how", "Balance", {OPEN: False, DRILLED: True}, OPEN)],
                    presets={"All at one depth": {"deep": deep, "middle": deep, "shallow": deep},
                             "Drill the holes": {"how": DRILLED}}, system=system)


def _say_branches(result, system):
    parts = [f"{name} {_cfm(flow, system) if flow > 0 else 'none'}"
             for name, flow in zip(draw.ORDER, result.flows, strict=True)]
    words = (f"Of {_cfm(result.total, system)} the diffusers get: {', '.join(parts)}. The manifold stands at "
             f"{_psi(result.manifold, system)}")
    dry = int(np.argmin(result.flows))
    if result.flows[dry] == 0:
        words += (f", and the {draw.ORDER[dry]} diffuser needs {_psi(result.opens[dry], system)} before "
                  "it opens")
    holes = [show(bore, "bore", system, digits=2) for bore in result.bores if np.isfinite(bore)]
    if result.how and holes:
        words += f". The easy branches have holes of {' and '.join(holes)}"
    return words + f".{result.note}"


def detective(pond, system="US"):
    """What does the gauge say?"""
    start = lineplan.line_start(pond)
    said_change = {"I do not know": None, "Slowly, over weeks": "slow", "Suddenly": "sudden"}
    said_bubbles = {"I have not looked": None, "As usual": "normal", "Weak": "weak", "None": "none"}

    @_quiet
    def model(submergence, inside_diameter, reading, change, bubbles):
        setup = witness.Setup(submergence, Line(start.length, inside_diameter), elevation=start.elevation)
        found = witness.diagnose(reading, setup, start.flow_free_air, change=change, bubbles=bubbles)
        return SimpleNamespace(reading=reading, found=found, setup=setup, change=change, bubbles=bubbles,
                               chance_words=[witness.how_likely(f.chance) for f in found.findings])

    def say(result, system):
        found = result.found
        if system != "US":
            found = witness.diagnose(result.reading, result.setup, start.flow_free_air, change=result.change,
                                     bubbles=result.bubbles, system=system)
        first = found.findings[0]
        return f"{found.words} For the first, {first.cause}: {first.words} Next: {first.look}"
    return Explorer("Gauge detective", model, draw.gauge, say,
                    [_depth_slider(start),
                     _bore_slider(start, "0.375 in"),
                     Slider("reading", "The gauge reads", "pressure", "0 psi", "25 psi", "6.5 psi", step=0.1),
                     Choice("change", "The reading changed", said_change, "I do not know"),
                     Choice("bubbles", "Bubbles", said_bubbles, "I have not looked")],
                    presets={"High, slowly": {"reading": "9 psi", "change": "Slowly, over weeks"},
                             "High, suddenly": {"reading": "12 psi", "change": "Suddenly", "bubbles": "Weak"},
                             "Low, no bubbles": {"reading": "3 psi", "change": "Suddenly", "bubbles": "None"}},
                    system=system, size=(7.2, 4.6))


def line_cost(pond, system="US"):
    """Which size of line is worth its price?"""
    start = lineplan.line_start(pond)
    sizes = pipesizes.pipe_sizes("PE by inside diameter")
    outside, inside = (np.array([getattr(size, name) for size in sizes])
                       for name in ("outside_diameter", "inside_diameter"))
    names = [f"{size.nominal} in" for size in sizes]
    one = names.index("1 in")

    @_quiet
    def model(length, flow, pipe_price, price, years):
        rest = (length, flow, start.submergence, price, years)
        options = {"elevation": start.elevation, "names": names}
        chosen = lifecost.choose_line(inside, lifecost.prices_by_plastic(outside, inside, pipe_price, one),
                                      *rest, **options)
        no_loss = lifecost.choose_line([10.0], [0.0], *rest, elevation=start.elevation).energy_cost[0]
        n = chosen.enough
        reached = chosen.line_loss[n] < lifecost.NEGLIGIBLE * chosen.pressure_gauge[n]
        return SimpleNamespace(names=names, pipe=chosen.pipe_cost, push=chosen.energy_cost - no_loss,
                               cheapest=chosen.cheapest, enough=n if reached else None, chosen=chosen,
                               no_loss=no_loss)

    def say(result, system):
        c, best = result.chosen, result.cheapest
        if not np.isfinite(c.total_cost[best]):
            return "Every size here chokes at this flow. Ask for less air or wider pipe."
        past = ("Even the widest size here loses more than a gauge's doubt." if result.enough is None else
                f"Past {result.names[result.enough]}, more bore buys nothing a gauge could show.")
        total = show(result.pipe[best] + result.push[best], "money")
        return (f"Cheapest over the years: {result.names[best]}, {total} for pipe and for pushing air through it, with "
                f"{_psi(c.line_loss[best], system, 2)} lost. {past} Lifting the air into the water costs "
                f"{show(result.no_loss, 'money')} in any case.{result.note}")
    return Explorer("Pipe once, or electricity for years", model, draw.cost, say,
                    [_length_slider(start),
                     Slider.of("line", "flow_free_air", to="flow"),
                     Slider("pipe_price", "Price of 1 in pipe", "pipe price", "0.10 $/ft", "3 $/ft", "0.60 $/ft",
                            step=0.05),
                     Slider.of("site", "price", f"{start.price * 3.6e6:.4f} $/kWh", unit="dollar/J"),
                     Slider.of("power", "years", label="Years it should serve")],
                    presets={"Short run": {"length": "50 ft"}, "Long run, more air": {"length": "800 ft",
                                                                                             "flow": "6 cfm"}},
                    system=system)


def which_size(pond, system="US"):
    """How wide is a line that goes by one name?"""
    start = lineplan.line_start(pond)
    static = airline.static_pressure(start.submergence)
    outlet = float(airline.air.pressure_by_elevation(start.elevation) + static + airline.WET_PRESSURE)

    @_quiet
    def model(nominal, length, flow):
        sizes = pipesizes.same_name(nominal)
        bores = np.array([size.inside_diameter for size in sizes])
        losses = pressure_loss(Line(length, bores), flow, outlet)
        return SimpleNamespace(names=[size.family for size in sizes], bores=bores, losses=losses,
                               ratios=losses / losses[-1], nominal=nominal)

    def say(result, system):
        span = show_range(result.bores[0], result.bores[-1], "bore", system, digits=3)
        return (f"A line called {result.nominal} can be {span} wide inside. "
                f"The narrowest ({result.names[0]}) loses {_psi(result.losses[0], system, 2)}, "
                f"{result.ratios[0]:.1f} times what the widest ({result.names[-1]}) does.{result.note}")
    names = {f"{size} in": f"{size} in" for size in ("1/2", "3/4", "1", "1-1/4")}
    return Explorer("One name, many bores", model, draw.one_name, say,
                    [Choice("nominal", "The pipe is sold as", names, "3/4 in"),
                     _length_slider(start, "800 ft"),
                     Slider.of("line", "flow_free_air", to="flow", high="8 cfm")], system=system)


def will_it_sink(pond, system="US"):
    """Does a line full of air stay on the bottom?"""
    sizes = {f"{size.nominal} in": (size.outside_diameter, size.inside_diameter)
             for size in pipesizes.pipe_sizes("PE by inside diameter")[:4]}
    kinds = {"brick": 2000.0, "concrete": 2400.0, "steel": 7850.0}

    def model(size, wall, each, margin, kind):
        lift = float(pipesizes.net_lift(*size, wall))
        spacing = float(pipesizes.weight_spacing(*size, each, kind, margin, wall))
        displaced = float(pipesizes.neutral_tube_mass(size[0]))
        keeps = float(pipesizes.submerged_share(kind))
        held = each * keeps / spacing if np.isfinite(spacing) else 0.0
        return SimpleNamespace(lift=lift, spacing=spacing, displaced=displaced, tube=displaced - lift, held=held,
                               keeps=keeps, each=each)

    def say(result, system):
        if not np.isfinite(result.spacing):
            return ("This tube sinks by itself, even full of air: it weighs more than the water it pushes aside. Fix "
                    "it at the ends all the same.")
        spacing = show(result.spacing, "distance", system, digits=2)
        return (f"Full of air this line lifts {show(result.lift, 'lift', system, digits=2)}. A weight of "
                f"{show(result.each, 'mass', system, digits=2)} keeps {100 * result.keeps:.0f} % of that "
                f"under water, so lay one every {spacing} or closer.")
    return Explorer("Will the line stay down?", model, draw.sinking, say,
                    [Choice("size", "Polyethylene by inside diameter", sizes, "1 in"),
                     Slider("wall", "Density of the wall", "density", "55 lb/ft3", "220 lb/ft3", "59 lb/ft3", step=1),
                     Choice("kind", "Weights of", kinds, "brick"),
                     Slider("each", "Each weighs, on a scale", "mass", "1 lb", "40 lb", "4.5 lb", step=0.5),
                     Slider("margin", "Margin, times the bare lift", "number", "1", "3", "1.5", step=0.1)],
                    presets={"Heavy-walled tube": {"wall": "200 lb/ft3"},
                             "No margin": {"margin": "1"}}, system=system)


WORKBOOK = "04-back-pressure-and-line-size"
MEASURED, UNSURE = lineplan.MEASURED, "not sure"
UNIT = r"in\.?|inch(?:es)?|mm|cm|ft|feet|foot|m"      # what may follow a number without naming a kind
LIKELY_SLIP = 0.4        # share of the pond's depth: an inch for a foot that leaves less is no likely slip
USUAL_AIR = read_quantity(ROWS["line", "flow_free_air"].usual)
RULE = ("1.3 cfm an acre", "91 L/min a hectare")


def lines():
    """Kinds of line as the form lists them, each with its family; None takes every plastic kind."""
    return {MEASURED: "", UNSURE: None, **lineplan.kinds_of_line()}


def pairs(first, first_kind, second, second_kind, system):
    """Two lists of quantities as typed lines."""
    return "\n".join(f"{plain(a, first_kind, system, 5)}, {plain(b, second_kind, system, 5)}"
                     for a, b in zip(first, second, strict=True))


class OwnLine(OwnForm):
    """Type depth, line and compressor; see pressure, flow and kind of machine; save the line to the pond record."""

    def __init__(self, pond, system="US"):
        self._pond, self._system, self.own, metric = pond, system, None, system != "US"
        self._machine = {}         # what is saved of a machine that reaches, as it was told
        self._unknown_air = False       # True where one point of a machine leaves open what air the line gets
        known = pond.get("water", "deepest")
        self._deepest = None if known is None or pond.invented else known
        start = self._start = lineplan.line_start(pond)
        lengths, bores = (pond.get("line", key, []) for key in ("segment_length", "segment_bore"))
        (far, bank), highest = self._distances(pond), pond.get("line", "highest")
        # a size is a name in inches, unless the bore was measured; both must be widths a line can have
        bore = bores[0] if len(bores) == 1 else Q(start.inside_diameter, "m") if pond.invented else None
        points = pairs(pond.get("line", "curve_pressure", []), "pressure", pond.get("line", "curve_flow", []),
                       "air flow", system)
        wanted = USUAL_AIR if pond.invented else lineplan.air_wanted(pond)
        by_rule = wanted is not None and not pond.has("line") and not pond.has("air") and not pond.invented
        super().__init__("my own line and compressor", {
            "depth": self._box("line", "submergence", plain(Q(start.submergence, "m"), "depth", system),
                               convert=self._in_the_pond),
            "bank": self._box("line", "to_bank", bank, optional=True),
            "reach": self._box("line", "reach", far, optional=True),
            "kind": W.Dropdown(description="Kind of line", options=list(lines()),
                               value=MEASURED if bores or pond.invented else UNSURE),
            "size": self._box("line", "size", "" if bore is None else plain(bore, "bore", system), optional=True),
            "runs": W.Textarea(rows=2, description="More than one size? One run a line, length and bore, or length, "
                               "size and kind, in place of the boxes above",
                               placeholder="75 m, 21 mm\n15 m, 1/2 in, PE" if metric else
                               "250 ft, 3/4 in, PE\n50 ft, 1/2 in, tubing",
                               value=pairs(lengths, "distance", bores, "bore", system) if len(bores) > 1 else ""),
            "points": W.Textarea(value=points, rows=4, description="Compressor, from its data sheet: pressure, free "
                                 "air; one point a line. Or the one point a seller tells, such as "
                                 + ("110 L/min at 70 kPa" if metric else "4 cfm at 10 psi"),
                                 placeholder="35 kPa, 120 L/min\n70 kPa, 110 L/min" if metric else
                                 "5 psi, 4.3 cfm\n10 psi, 3.9 cfm"),
            "highest": self._box("line", "highest", "" if highest is None else plain(highest, "pressure", system),
                                 optional=True),
            "flow": self._box("line", "flow_free_air", "" if wanted is None else plain(wanted, "air flow", system, 2),
                              optional=True),
            "wet": self._box("line", "wet_pressure", self._wet(pond), optional=True)},
            "line", WORKBOOK, words=f"The air begins at {show(wanted, 'air flow', system, digits=2)}, by the rule of "
            f"{RULE[metric]} for your area." if by_rule else "")

    def _distances(self, pond):
        """What stands at first in the boxes for bank to diffuser, and for machine to bank."""
        whole = pond.get("line", "length", Q(self._start.length, "m") if pond.invented else None)
        bank = pond.get("line", "to_bank")
        if whole is None:
            return "", ""
        rest = whole if bank is None else Q(max((whole - bank).m_as("m"), 0.0), "m")
        return plain(rest, "distance", self._system), "" if bank is None else plain(bank, "distance", self._system)

    def _wet(self, pond):
        """The wet pressure that was saved, where it is not the usual one."""
        kept = pond.get("line", "wet_pressure")
        usual = kept is None or abs(kept.m_as("Pa") - airline.WET_PRESSURE) < 1
        return "" if usual else plain(kept, "wet pressure", self._system)

    def _in_the_pond(self, depth):
        """The depth, unless it is deeper than the reader's pond."""
        if self._deepest is None or not depth.check("[length]") or depth <= 1.02 * self._deepest:
            return depth
        off = min(Q(OFF_BOTTOM, "m"), self._deepest / 2)
        deepest, typed, above, there = (plain(value, "depth", self._system, 3) for value in
                                        (self._deepest, depth, off, self._deepest - off))
        slip = {"foot": "in", "meter": "cm"}.get(str(depth.units))
        meant = Q(depth.magnitude, slip) if slip else None
        hint = (f" Did you mean {depth.magnitude:g} {slip} ({show(meant, 'depth', self._system, digits=2)})?"
                if slip and LIKELY_SLIP * self._deepest <= meant <= self._deepest else "")
        raise QuantityError(f"{typed} is deeper than this pond's deepest point, {deepest}. Write a depth off the "
                            f"bottom: a common place is {above} off it, here {there} down.{hint}")

    def _kept(self):
        """As in every form; a line its compressor cannot serve is not worth keeping."""
        if self._unknown_air:
            raise ValueError("this one point does not say how much air your line gets. Ask for the curve, or write "
                             "the air you want into “Or: free air you want”.")
        values = lineplan.line_values(self.own) | self._machine
        if self.bank.value.strip() and not self.runs.value.strip():
            values["to_bank"] = self.bank.read()
        return values

    def _found(self):
        self.own = None
        own, machine, notes = self._own()
        shown = self._picture(own)
        self.own = own
        height = show(own.elevation, "elevation", self._system)
        result = lineplan.say_own_line(own, self._system, machine is None or machine.does == reach.UNSAID)
        verdict = [] if machine is None else [machine.words]
        words = [*verdict, result, *notes, *self._kinds(own),
                 f"Reckoned for a height of {height} above sea level; workbook 00 keeps that of your pond."]
        said = " ".join(["Pressure against air flow for your line.", *verdict, result])
        return words, own, self._drawn("own-line", said, draw.point, shown, self._system)

    def _own(self):
        """The line at work, what the machine does on it (or None), and sentences about what was taken for it."""
        self._take_kind()
        read = read_all(depth=self.depth, bank=self.bank, reach=self.reach, size=self.size, wet=self.wet,
                        flow=self.flow, highest=self.highest)
        highest = read.get("highest")
        told = self._told().joined(None if highest is None else highest.m_as("Pa"))
        if told == reach.Told() and "flow" not in read:
            raise self.flow.refused("is empty, and so is the compressor.", f"Write, for example, {self.flow.example}; "
                                    f"a rule of the trade is {RULE[self._system != 'US']}.")
        lines, notes = self._lines(read)
        flow = read.get("flow")
        wanted = max((air for _, air in told.points), default=0.0) or USUAL_AIR.m_as("m^3/s") if flow is None else \
            flow.m_as("m^3/s")
        wet = read.get("wet", Q(airline.WET_PRESSURE, "Pa")).m_as("Pa")

        def before(line, air=wanted):
            return lineplan.SavedLine(read["depth"].m_as("m"), segments(line), self._start.elevation, wet, air)
        machine = None if told == reach.Told() else reach.judge(told, before(lines[0]), self._system)
        self._machine = reach.told_values(told) if machine is not None and machine.does == reach.REACHES else {}
        self._unknown_air = machine is not None and machine.does == reach.UNSAID and flow is None
        own = reach.at_work(before(lines[0])) if machine is None else machine.own
        if machine is not None and machine.least and flow is not None and flow.m_as("m^3/s") > 1.02 * machine.flow.low:
            notes.append(f"You want {plain(flow, 'air flow', self._system, 2)}: so much the point does not promise.")
        if len(lines) > 1 and not own.trouble:
            wide = reach.at_work(before(lines[-1], own.flow_free_air.usual), own.curve)
            ends = show_range(wide.half.working, own.half.working, "pressure", self._system, digits=3)
            notes.append(f"From the widest to the narrowest the gauge reads {ends} with a half-aged diffuser. Kept is "
                         "the narrowest, which asks for the most pressure. Measure the bore with a drill bit that just "
                         "fits.")
        return own, machine, notes

    def _told(self):
        """What was typed of the compressor, at sea level."""
        try:
            return reach.read_told(self.points.value) if self.points.value.strip() else reach.Told()
        except ValueError as problem:
            raise QuantityError(plainly(problem), what=ROWS["line", "compressor"].label) from None

    def _take_kind(self):
        """Move the kind out of the box for the size, where somebody wrote both into it, such as ``1/2 in PVC``."""
        both = re.match(r"^\s*([\d./ -]+(?:in\.?|inch(?:es)?|mm|\"|”)?)[\s,]+([a-z].*)$", self.size.value,
                        re.IGNORECASE)
        if not both or re.fullmatch(UNIT, both[2].strip(), re.IGNORECASE):
            return
        try:
            family = lineplan.family_of(both[2])
        except ValueError as problem:
            if re.search(r"[a-z\"”]", both[1], re.IGNORECASE) and not re.search(r"\d", both[2]):
                raise QuantityError(plainly(problem), what=ROWS["line", "size"].label) from None
            return
        self.size.value = both[1].strip()
        self.kind.value = next(words for words, name in lines().items() if name == family)

    def _lines(self, read):
        """The lines that the boxes may mean, narrowest first, and a note on how the size was read."""
        length = sum((read[name].m_as("m") for name in ("bank", "reach") if name in read), 0.0)
        if self.runs.value.strip():
            runs = lineplan.read_segments(self.runs.value)
            return [runs], [self._of_runs(runs, length)]
        if not length > 0:
            raise QuantityError("is empty.", "Pace it off, or measure it on a map.",
                                what=self.reach.description)
        if "size" not in read:
            raise QuantityError("is empty.", "Write what is printed on it, such as 1/2 in, or measure its bore with a "
                                "drill bit that just fits.", what=ROWS["line", "size"].label)
        bores, note = self._bores(read["size"])
        return [airline.Line(length, bore) for bore in bores], note

    def _of_runs(self, runs, length):
        """How long the typed runs are, and that they stand in the place of the `length` (m) in the boxes above."""
        whole, boxes = (show(value, "distance", self._system)
                        for value in (sum(float(run.length) for run in runs), length))
        unused = f"; the {boxes} of the boxes above, and their size, were not used" if length > 0 else ""
        return f"Your runs of line come to {whole} in all{unused}."

    def _bores(self, size):
        family, typed = lines()[self.kind.value], self.size.value.strip()
        if family == "":
            return [size.m_as("m")], []
        if family:
            bore = pipesizes.find_pipe(family, size).inside_diameter
            return [bore], [f"{typed} of this kind is {show(bore, 'bore', self._system)} wide inside."]
        plastic = {family.name for family in pipesizes.families_as_sold() if family.plastic}
        sizes = [one for one in pipesizes.same_name(size) if one.family in plastic]
        if not sizes:
            raise QuantityError(f"no plastic line has the size {typed}.", "Common sizes are 3/8, 1/2, 5/8, 3/4 and 1 "
                                "in. If you measured it, choose “I measured the bore” as the kind.", given=typed,
                                what=ROWS["line", "size"].label)
        ends = [one.inside_diameter for one in (sizes[0], sizes[-1])]
        span = show_range(*ends, "bore", self._system, 3)
        return ends, [f"Lines called {typed} are {span} wide inside, by kind."]

    def _kinds(self, own):
        fits = compressor.suitable_families(own.submergence, own.aged.total, own.flow_free_air.usual, self._system)
        by = {answer: [item.family.name for item in fits if item.fits == answer] for answer in ("yes", "maybe")}
        good, edge = (", ".join(by[answer]) or "none" for answer in ("yes", "maybe"))
        return [f"Kinds of machine that usually reach this: {good}; at the edge: {edge} (common practice, no source)."]

    def _picture(self, own):
        flow = np.linspace(0, 10 * draw.CFM, 40)
        asked = [_asked(own, ageing, flow) for ageing in (1.0, airline.AGED)]
        if own.curve is None:
            curve, runs = None, (None, None)
        else:
            curve = compressor.derated(own.curve, own.elevation)
            runs = [None if own.trouble else compressor.OperatingPoint(air, budget.working)
                    for air, budget in ((own.flow_free_air.high, own.new), (own.flow_free_air.low, own.aged))]
        return SimpleNamespace(curve=curve, flow=flow, new=asked[0], aged=asked[1], static=own.new.static,
                               runs_new=runs[0], runs_aged=runs[1])


def _asked(own, ageing, flow):
    """Pa gauge asked at each flow, not-a-number where the line would choke."""
    wet = float(own.new.diffuser)
    system = airline.system_curve(own.submergence, own.line, wet, ageing, elevation=own.elevation)
    return np.array([float(_upto(system, value)) for value in flow])
