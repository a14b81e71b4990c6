"""The form in which readers bring their own line and compressor, see what they come to, and save it."""

import re
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from ..back_pressure import airline, compressor, families, lineplan, pipesizes, reach, sellerwords
from ..back_pressure.lineflow import Chokes, segments
from ..bubbles_and_oxygen.placement import OFF_BOTTOM
from ..figures import back_pressure as draw
from ..refusals import plainly
from ..units import Q, QuantityError, show, show_range
from .boxes import plain, read_all
from .ownform import OwnForm

WORKBOOK = "04-back-pressure-and-line-size"
MEASURED, UNSURE = lineplan.MEASURED, "not sure"
UNIT = r"in\.?|inch(?:es)?|mm|cm|ft|feet|foot|m"      # what may follow a number without naming a kind
LIKELY_SLIP = 0.4        # share of the pond's depth: an inch for a foot that leaves less is no likely slip
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
        wanted = Q("4 cfm") if pond.invented else lineplan.air_wanted(pond)
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
        height = show(Q(own.elevation, "m"), "elevation", self._system)
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
        wanted = max((air for _, air in told.points), default=0.0) or Q("4 cfm").m_as("m^3/s") if flow is None else \
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
            ends = (Q(float(made.half.working), "Pa") for made in (wide, own))
            notes.append(f"From the widest to the narrowest the gauge reads "
                         f"{show_range(*ends, 'pressure', self._system, digits=3)} with a half-aged diffuser. Kept is "
                         "the narrowest, which asks for the most pressure. Measure the bore with a drill bit that just "
                         "fits.")
        return own, machine, notes

    def _told(self):
        """What was typed of the compressor, at sea level."""
        try:
            return sellerwords.read_told(self.points.value) if self.points.value.strip() else reach.Told()
        except ValueError as problem:
            raise QuantityError(plainly(problem), what="Compressor") from None

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
                raise QuantityError(plainly(problem), what="Size of the line") from None
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
                                what="Line from the bank to the diffuser")
        if "size" not in read:
            raise QuantityError("is empty.", "Write what is printed on it, such as 1/2 in, or measure its bore with a "
                                "drill bit that just fits.", what="Size of the line")
        bores, note = self._bores(read["size"])
        return [airline.Line.si(length, bore) for bore in bores], note

    def _of_runs(self, runs, length):
        """How long the typed runs are, and that they stand in the place of the `length` (m) in the boxes above."""
        whole, boxes = (show(Q(value, "m"), "distance", self._system)
                        for value in (sum(float(run.length) for run in runs), length))
        unused = f"; the {boxes} of the boxes above, and their size, were not used" if length > 0 else ""
        return f"Your runs of line come to {whole} in all{unused}."

    def _bores(self, size):
        family, typed = lines()[self.kind.value], self.size.value.strip()
        if family == "":
            return [size.m_as("m")], []
        if family:
            bore = pipesizes.find_pipe.si(family, size).inside_diameter
            return [bore], [f"{typed} of this kind is {show(Q(bore, 'm'), 'bore', self._system)} wide inside."]
        plastic = {family.name for family in pipesizes.families_as_sold() if family.plastic}
        sizes = [one for one in pipesizes.same_name(size) if one.family in plastic]
        if not sizes:
            raise QuantityError(f"no plastic line has the size {typed}.", "Common sizes are 3/8, 1/2, 5/8, 3/4 and 1 "
                                "in. If you measured it, choose “I measured the bore” as the kind.", given=typed,
                                what="Size of the line")
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
