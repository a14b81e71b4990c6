"""The form in which readers bring their own line and compressor, see what they come to, and save it."""

from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from ..back_pressure import airline, compressor, curvetext, families, lineplan
from ..figures import back_pressure as draw
from ..figures import style
from ..units import KINDS, Q, show, unit_label
from .explorer import FIT
from .pond import SaveButton
from .saying import guarded, read_field

WORKBOOK = "04-back-pressure-and-line-size"


def plain(quantity, kind, system):
    """A quantity as a person types it, without a comma for thousands."""
    unit = KINDS[kind][system != "US"]
    return f"{quantity.m_as(unit):.5g} {unit_label(unit)}"


def pairs(first, first_kind, second, second_kind, system):
    """Two lists of quantities as typed lines."""
    return "\n".join(f"{plain(a, first_kind, system)}, {plain(b, second_kind, system)}"
                     for a, b in zip(first, second, strict=True))


def _typed(pond, start, system):
    """What the form begins with: saved segments and curve, or common ones."""
    lengths = pond.get("line", "segment_length") or [Q(start.length, "m")]
    bores = pond.get("line", "segment_bore") or [Q(start.inside_diameter, "m")]
    runs = pairs(lengths, "distance", bores, "bore", system)
    points = pairs(pond.get("line", "curve_pressure", []), "pressure", pond.get("line", "curve_flow", []), "air flow",
                   system)
    depth, flow = Q(start.submergence, "m"), Q(start.flow_free_air, "m3/s")
    return plain(depth, "depth", system), plain(flow, "air flow", system), runs, points


class OwnLine(W.VBox):
    """Type depth, line and compressor; see pressure, flow and kind of machine; save the line to the pond record."""

    def __init__(self, pond, system="US"):
        self._system, self._start, self.own = system, lineplan.line_start(pond), None
        depth, flow, runs, points = _typed(pond, self._start, system)
        wide = {"style": {"description_width": "230px"}, "layout": {"width": "560px"}}
        self.depth = W.Text(value=depth, description="Depth of the diffuser", **wide)
        self.runs = W.Textarea(value=runs, rows=3, description="Line: length, bore; one run a line", **wide)
        self.wet = W.Text(description="Wet pressure, if you know it", placeholder="for example: 11 inH2O", **wide)
        self.points = W.Textarea(value=points, rows=5, description="Compressor: pressure, free air",
                                 placeholder="one point a line, such as\n5 psi, 4.3 cfm\n10 psi, 3.9 cfm", **wide)
        self.flow = W.Text(value=flow, description="Or: free air you want", **wide)
        go = W.Button(description="Work it out", icon="play", layout=FIT)
        go.on_click(lambda _: self.work())
        self.message, self.picture = W.HTML(), W.HTML()
        self.saver = SaveButton("line", self._wanted, WORKBOOK, system=system)
        super().__init__([self.depth, self.runs, self.wet, self.points, self.flow, go, self.message, self.picture,
                          self.saver], layout={"max_width": "760px"})

    def __repr__(self):
        return "Form: my own line and compressor"

    def _wanted(self):
        if self.own is None:
            raise ValueError("there is nothing to save yet. Press “Work it out” first.")
        return lineplan.line_values(self.own)

    def work(self):
        """Read the form, compute, and show picture and words."""
        self.own, self.picture.value = None, ""
        guarded(self.message, self._found, "Not worked out", self._system)

    def _found(self):
        own = self._own()
        svg = style.render(draw.point, self._picture(own), self._system, size=(style.WIDTH, style.HEIGHT))
        height = show(Q(own.elevation, "m"), "elevation", self._system)
        words = [lineplan.say_own_line(own, self._system), *self._kinds(own),
                 f"Reckoned for a height of {height} above sea level; workbook 00 keeps that of your pond."]
        self.picture.value = style.inline(svg, f"Pressure against air flow for your line. {words[0]}", "own-line")
        self.own = own
        return "\n".join(words)

    def _own(self):
        depth = read_field(self.depth.description, self.depth.value, "depth", "0.5 ft", "200 ft", "12 ft or 3.7 m")
        line = lineplan.read_segments(self.runs.value)
        curve = curvetext.read_curve(self.points.value) if self.points.value.strip() else None
        more = {}
        if self.wet.value.strip():
            more["wet_pressure"] = read_field(self.wet.description, self.wet.value, "wet pressure", "0 psi", "15 psi",
                                              "11 inH2O or 2.7 kPa")
        if curve is None or self.flow.value.strip():
            more["flow_free_air"] = read_field(self.flow.description, self.flow.value, "air flow", "0.01 cfm",
                                               "500 cfm", "4 cfm or 113 L/min")
        return lineplan.own_line(depth, line, curve, elevation=Q(self._start.elevation, "m"), **more)

    def _kinds(self, own):
        fits = families.suitable_families.si(own.submergence, own.aged.total, own.flow_free_air.usual, self._system)
        by = {answer: [item.family.name for item in fits if item.fits == answer] for answer in ("yes", "maybe")}
        good, edge = (", ".join(by[answer]) or "none" for answer in ("yes", "maybe"))
        return [f"Kinds of machine that usually reach this: {good}; at the edge: {edge} (common practice, no source)."]

    def _picture(self, own):
        flow = np.linspace(0, 10 * draw.CFM, 40)
        asked = [_asked(own, ageing, flow) for ageing in (1.0, airline.AGED)]
        if own.curve is None:
            curve, runs = None, (None, None)
        else:
            curve = compressor.derated.si(own.curve, own.elevation)
            runs = [None if own.trouble else compressor.OperatingPoint(air, budget.working)
                    for air, budget in ((own.flow_free_air.high, own.new), (own.flow_free_air.low, own.aged))]
        return SimpleNamespace(curve=curve, flow=flow, new=asked[0], aged=asked[1], static=own.new.static,
                               runs_new=runs[0], runs_aged=runs[1])


def _asked(own, ageing, flow):
    """Pa gauge asked at each flow, not-a-number where the line would choke."""
    wet = float(own.new.diffuser)
    system = airline.system_curve.si(own.submergence, own.line, wet, ageing, elevation=own.elevation)

    def one(value):
        try:
            return float(system(value))
        except ValueError:
            return np.nan
    return np.array([one(value) for value in flow])
