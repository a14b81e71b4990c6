"""The form in which readers bring their own line and compressor, see what they come to, and save it."""

import re
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from ..back_pressure import airline, compressor, curvetext, families, lineplan, pipesizes
from ..back_pressure.lineflow import Chokes
from ..figures import back_pressure as draw
from ..figures import style
from ..units import KINDS, Q, QuantityError, show, show_range, unit_label
from .boxes import Box, grid, plain, read_all
from .ownform import OwnForm

WORKBOOK = "04-back-pressure-and-line-size"
MEASURED, UNSURE = "I measured the bore", "not sure"
# plain words -> family of back_pressure.pipesizes; None takes every plastic kind
LINES = {MEASURED: "", UNSURE: None,
         "tubing or hose sold by its inside size": "hose by inside diameter",
         "black poly (polyethylene) pipe that slips over barbs": "PE by inside diameter",
         "white PVC pipe, schedule 40": "PVC schedule 40",
         "polyethylene pipe marked SDR 11": "PE iron pipe size SDR 11",
         "polyethylene tube marked CTS or SDR 9": "PE copper tube size SDR 9",
         "copper tube, type L": "copper tube type L", "steel pipe, schedule 40": "steel schedule 40"}
UNIT = r"in\.?|inch(?:es)?|mm|cm|ft|feet|foot|m"      # what may follow a number without naming a kind
METAL = ("copper", "steel")


def pairs(first, first_kind, second, second_kind, system):
    """Two lists of quantities as typed lines."""
    return "\n".join(f"{plain(a, first_kind, system, 5)}, {plain(b, second_kind, system, 5)}"
                     for a, b in zip(first, second, strict=True))


class OwnLine(OwnForm):
    """Type depth, line and compressor; see pressure, flow and kind of machine; save the line to the pond record."""

    def __init__(self, pond, system="US"):
        self._system, self._start, self.own, metric = system, lineplan.line_start(pond), None, system != "US"
        known = pond.get("water", "deepest")
        self._deepest = None if known is None or pond.invented else known
        start = self._start
        lengths, bores = (pond.get("line", key, []) for key in ("segment_length", "segment_bore"))
        self.depth = Box("Depth of the diffuser", "depth", "3 m" if metric else "9 ft", "1 ft", "100 ft",
                         plain(Q(start.submergence, "m"), "depth", system), convert=self._in_the_pond)
        far, bank = self._distances(pond)
        self.bank = Box("Line from the machine to the bank", "distance", "30 m" if metric else "100 ft", "0 ft",
                        "3 mile", bank, optional=True)
        self.reach = Box("Line from the bank to the diffuser", "distance", "60 m" if metric else "200 ft", "0 ft",
                         "3 mile", far, optional=True)
        self.kind = W.Dropdown(description="Kind of line", options=list(LINES),
                               value=MEASURED if bores or pond.invented else UNSURE)
        # a size is a name in inches, unless the bore was measured; both must be widths a line can have
        bore = bores[0] if len(bores) == 1 else Q(start.inside_diameter, "m") if pond.invented else None
        self.size = Box("Size of the line: its bore, or the size printed on it", "bore", "1/2 in", "0.1 in", "4 in",
                        "" if bore is None else plain(bore, "bore", system), optional=True)
        self.runs = W.Textarea(rows=2, description="More than one size? One run a line, length and bore, or length, "
                               "size and kind, in place of the boxes above",
                               placeholder="250 ft, 3/4 in, PVC\n50 ft, 1/2 in, tubing",
                               value=pairs(lengths, "distance", bores, "bore", system) if len(bores) > 1 else "")
        self.wet = Box("Wet pressure of the diffuser, if you know it", "wet pressure",
                       "2.7 kPa" if metric else "11 inH2O", "0 inH2O", "140 inH2O", optional=True)
        points = pairs(pond.get("line", "curve_pressure", []), "pressure", pond.get("line", "curve_flow", []),
                       "air flow", system)
        self.points = W.Textarea(value=points, rows=4, description="Compressor, if you have its data sheet: pressure, "
                                 "free air; one point a line", placeholder="5 psi, 4.3 cfm\n10 psi, 3.9 cfm")
        wanted = Q("4 cfm") if pond.invented else lineplan.air_wanted(pond)
        self.flow = Box("Or: free air you want", "air flow", "45 L/min" if metric else "1.6 cfm", "0.05 cfm", "200 cfm",
                        "" if wanted is None else _short(wanted, system), optional=True)
        by_rule = wanted is not None and not pond.has("line") and not pond.has("air") and not pond.invented
        words = (f"The air begins at {show(wanted, 'air flow', system, digits=2)}, by the rule of 1.3 cfm an acre for "
                 "your area." if by_rule else "")
        boxes = (self.depth, self.bank, self.reach, self.kind, self.size)
        rows = [grid(*boxes), self.runs, self.points, grid(self.flow, self.wet)]
        super().__init__("my own line and compressor", rows,
                         [*boxes, self.runs, self.points, self.flow, self.wet], "line", WORKBOOK, words=words)

    def _distances(self, pond):
        """What stands at first in the boxes for bank to diffuser, and for machine to bank."""
        whole = pond.get("line", "length", Q(self._start.length, "m") if pond.invented else None)
        bank = pond.get("line", "to_bank")
        if whole is None:
            return "", ""
        rest = whole if bank is None else Q(max((whole - bank).m_as("m"), 0.0), "m")
        return plain(rest, "distance", self._system), "" if bank is None else plain(bank, "distance", self._system)

    def _in_the_pond(self, depth):
        """The depth, unless it is deeper than the reader's pond."""
        if self._deepest is None or not depth.check("[length]") or depth <= 1.02 * self._deepest:
            return depth
        deepest = show(self._deepest, "depth", self._system)
        slip = {"foot": "in", "meter": "cm"}.get(str(depth.units))
        meant = Q(depth.magnitude, slip) if slip else None
        hint = (f" Did you mean {depth.magnitude:g} {slip} ({show(meant, 'depth', self._system, digits=2)})?"
                if slip and meant <= self._deepest else "")
        raise QuantityError(f"your pond is {deepest} deep at most.{hint}")

    def wanted(self):
        """As in every form; a line its compressor cannot serve is not worth keeping."""
        super().wanted()
        values = lineplan.line_values(self.own)
        if self.bank.value.strip() and not self.runs.value.strip():
            values["to_bank"] = self.bank.read()
        return values

    def _found(self):
        self.own = None
        own, notes = self._own()
        svg = style.render(draw.point, self._picture(own), self._system, size=(style.WIDTH, style.HEIGHT))
        self.own = own
        height = show(Q(own.elevation, "m"), "elevation", self._system)
        words = [lineplan.say_own_line(own, self._system), *notes, *self._kinds(own),
                 f"Reckoned for a height of {height} above sea level; workbook 00 keeps that of your pond."]
        picture = style.inline(svg, f"Pressure against air flow for your line. {words[0]}", "own-line")
        return "\n".join(words), own, picture

    def _own(self):
        """The line at work, and sentences about what was taken for it."""
        self._take_kind()
        read = read_all(depth=self.depth, bank=self.bank, reach=self.reach, size=self.size, wet=self.wet,
                        flow=self.flow)
        try:
            curve = curvetext.read_curve(self.points.value) if self.points.value.strip() else None
        except ValueError as problem:
            raise QuantityError(f"“Compressor”: {problem}") from None
        if curve is None and "flow" not in read:
            raise QuantityError(f"“Or: free air you want” is empty, and so is the compressor. Write, for example, "
                                f"{self.flow.example}; a rule of the trade is 1.3 cfm for each acre, or 91 L/min for "
                                "each hectare.")
        given = {"wet_pressure": read["wet"]} if "wet" in read else {}
        given |= {"flow_free_air": read["flow"]} if "flow" in read else {}

        def at_work(line):
            return lineplan.own_line(read["depth"], line, curve, elevation=Q(self._start.elevation, "m"), **given)
        lines, notes = self._lines(read)
        own = at_work(lines[0])
        if len(lines) > 1 and not own.trouble:
            wide = at_work(lines[-1])
            ends = (Q(float(made.half.working), "Pa") for made in (wide, own))
            notes.append(f"From the widest to the narrowest the gauge reads "
                         f"{show_range(*ends, 'pressure', self._system, digits=3)} with a half-aged diffuser. Kept is "
                         "the narrowest, to be on the safe side. Measure the bore with a drill bit that just fits.")
        return own, notes

    def _take_kind(self):
        """Move the kind out of the box for the size, where somebody wrote both into it, such as ``1/2 in PVC``."""
        both = re.match(r"^\s*([\d./ -]+(?:in\.?|inch(?:es)?|mm|\"|”)?)[\s,]+([a-z].*)$", self.size.value,
                        re.IGNORECASE)
        if not both or re.fullmatch(UNIT, both[2].strip(), re.IGNORECASE):
            return
        word = both[2].strip().lower()
        family = lineplan.PLAIN_KINDS.get(word, word)
        found = [words for words, name in LINES.items() if name and family.lower() in name.lower()]
        if len(found) == 1:
            self.size.value, self.kind.value = both[1].strip(), found[0]

    def _lines(self, read):
        """The lines that the boxes may mean, narrowest first, and a note on how the size was read."""
        if self.runs.value.strip():
            return [lineplan.read_segments(self.runs.value)], []
        length = sum((read[name].m_as("m") for name in ("bank", "reach") if name in read), 0.0)
        if not length > 0:
            raise QuantityError("“Line from the bank to the diffuser” is empty. Pace it off, or measure it on a map.")
        if "size" not in read:
            raise QuantityError("“Size of the line” is empty. Write what is printed on it, such as 1/2 in, or measure "
                                "its bore with a drill bit that just fits.")
        bores, note = self._bores(read["size"])
        return [airline.Line.si(length, bore) for bore in bores], note

    def _bores(self, size):
        family, typed = LINES[self.kind.value], self.size.value.strip()
        if family == "":
            return [size.m_as("m")], []
        if family:
            bore = pipesizes.find_pipe.si(family, size).inside_diameter
            return [bore], [f"{typed} of this kind is {show(Q(bore, 'm'), 'bore', self._system)} wide inside."]
        sizes = [one for one in pipesizes.same_name(size) if not one.family.startswith(METAL)]
        if not sizes:
            raise QuantityError(f"“Size of the line”: no plastic line has the size {typed}. Common sizes are 3/8, 1/2, "
                                "5/8, 3/4 and 1 in. If you measured it, choose “I measured the bore” as the kind.")
        ends = [Q(one.inside_diameter, "m") for one in (sizes[0], sizes[-1])]
        span = show_range(*ends, "bore", self._system, 3)
        return [end.m_as("m") for end in ends], [f"Lines called {typed} are {span} wide inside, by kind."]

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


def _short(flow, system):
    """A flow to two figures, as a person types it."""
    unit = KINDS["air flow"][system != "US"]
    return f"{flow.m_as(unit):.2g} {unit_label(unit)}"


def _asked(own, ageing, flow):
    """Pa gauge asked at each flow, not-a-number where the line would choke."""
    wet = float(own.new.diffuser)
    system = airline.system_curve.si(own.submergence, own.line, wet, ageing, elevation=own.elevation)

    def one(value):
        try:
            return float(system(value))
        except Chokes:
            return np.nan
    return np.array([one(value) for value in flow])
