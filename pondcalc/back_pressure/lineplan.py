"""What does one reader's own line and compressor come to, and what of it is kept for later?

A reader brings the depth of the diffuser, the line as typed segments, and either the points of a
compressor's data sheet or an air flow. This module reads them, works out what the gauge will read with a
new and with an aged diffuser, and turns the result into the section ``line`` of the pond record. It also
says where a workbook may start from what the record already holds.

Inside the package lengths are m, pressures Pa gauge, flow m3/s of free air.

What this leaves out: several diffusers on one machine (see :mod:`pondcalc.back_pressure.branches`) and the cost of the
line (see :mod:`pondcalc.power_and_housing.lifecost`).
"""

import functools
import re
import warnings
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import brentq

from ..bubbles_and_oxygen.plume import OFF_BOTTOM
from ..catalogue import ends, held, usual
from ..how_much_oxygen.oxygen import airflow_by_area
from ..refusals import Refused, plainly
from ..spellings import either, quoted, shortened
from ..textfiles import FieldDataError, line_cells, typed_lines
from ..units import CFM, Q, QuantityError, Range, each, fits, quantities, read_quantity, show, show_range, spanned
from . import airline, compressor, pipesizes
from .airline import Chokes, Line, pressure_loss, segments

EXAMPLE = "Write one run a line, length and bore, such as '250 ft, 0.824 in' or '75 m, 21 mm'."
MEASURED = "I measured the bore"
# "300 ft 1/2 in PVC": a length, a size and perhaps a kind, parted by blanks alone
_LENGTH = r"(?:ft|feet|foot|m|meters?|metres?|yd|yards?|mi|miles?)"
_SIZE = r"(?:inch(?:es)?|in\.?|mm|cm|\"|”)"
_RUN = re.compile(rf"^\s*([\d.]+\s*{_LENGTH})\s*[,; ]\s*([\d./ -]+{_SIZE})\s*[,; ]?\s*(\D.*)?$", re.IGNORECASE)
# m; past these a slip of units is likelier than a line
LONGEST, (NARROWEST, WIDEST) = ends("line", "reach")[1], ends("line", "size")


class LineStart(NamedTuple):
    """Where a workbook starts: m, m, m, m3/s of free air, m above sea level, dollars a joule."""

    submergence: float
    length: float
    inside_diameter: float
    flow_free_air: float
    elevation: float
    price: float


class OwnLine(NamedTuple):
    """One line at work.

    `line` is a tuple of segments, `curve` the compressor as typed, at sea level, or None. `new`, `half` and
    `aged` are budgets of pressure with the diffuser in each state, `flow_free_air` a Range from aged to new
    (m3/s). `trouble` says why a compressor cannot do it; the budgets then hold for the flow asked.
    """

    submergence: float
    line: Any
    curve: Any
    elevation: float
    new: Any
    half: Any
    aged: Any
    flow_free_air: Any
    trouble: str


class SavedLine(NamedTuple):
    """The line a pond record holds: m, segments, m, Pa of the new diffuser, and m3/s of free air planned."""

    submergence: float
    line: Any
    elevation: float
    wet_pressure: float
    flow_free_air: float


def air_planned(pond):
    """Free air that rules what to buy: that of workbook 03 where it is saved, else that of 04; a quantity or None."""
    chosen = pond.get("air", "flow_free_air")
    return pond.get("line", "flow_free_air") if chosen is None else chosen.usual


def saved_line(pond):
    """The line that workbook 04 saved, as :class:`SavedLine`, or None where a part of it is missing."""
    depth, flow = pond.get("line", "submergence"), air_planned(pond)
    whole = pond.get("line", "length"), pond.get("line", "inside_diameter")
    if depth is None or flow is None or None in whole:
        return None
    runs = [pond.get("line", key) or [one] for key, one in zip(("segment_length", "segment_bore"), whole, strict=True)]
    return SavedLine(depth.m_as("m"), tuple(Line(length.m_as("m"), bore.m_as("m"))
                                            for length, bore in zip(*runs, strict=True)),
                     held(pond, "site", "elevation"), held(pond, "line", "wet_pressure"), flow.m_as("m^3/s"))


def air_wanted(pond):
    """Free air a reader's pond starts from: saved by workbook 04 or 03, else by the rule of 1.3 cfm an acre.

    Returns: pint.Quantity or None: None where the area is not known either, and for the demonstration pond, whose air
        the story gives.
    """
    saved = pond.get("line", "flow_free_air")
    if saved is None and pond.has("air"):
        saved = pond.get("air", "flow_free_air").usual
    if saved is not None or pond.invented or not pond.has("water"):
        return saved
    return Q(float(airflow_by_area(pond.get("water", "area").usual.m_as("m^2"))), "m3/s")


def line_start(pond):
    """Starting values from a pond record, with common ones where nothing is saved.

    pond (record.PondRecord).
    Returns: LineStart.
    """
    off_bottom = max(held(pond, "water", "deepest") - OFF_BOTTOM, 0.3)
    saved = pond.get("line", "submergence", pond.get("air", "submergence", Q(off_bottom, "m")))
    flow = air_wanted(pond)
    return LineStart(saved.m_as("m"), held(pond, "line", "length"), held(pond, "line", "inside_diameter"),
                     usual("line", "flow_free_air") if flow is None else flow.m_as("m^3/s"),
                     held(pond, "site", "elevation"), held(pond, "site", "price", "dollar/J"))


def kinds_of_line():
    """Plain words for each kind of line, as the form lists them, and its family of pipe."""
    return {family.sold_as: family.name for family in pipesizes.families_as_sold()}


def family_of(words):
    """Family of :mod:`pondcalc.back_pressure.pipesizes` that plain words for a kind of line mean.

    Raises ValueError: If none or several are meant; lists the kinds as the form does.
    """
    said = " ".join(str(words).lower().split()).strip(" .,;")
    plain = {word: family.name for family in pipesizes.families_as_sold() for word in family.also_called}
    if said in plain:
        return plain[said]
    kinds = kinds_of_line()
    same = {name.lower(): family for name, family in kinds.items()}
    same |= {family.lower(): family for family in kinds.values()}
    if said in same:
        return same[said]
    parts = re.findall(r"[\w.]+", said)
    meant = {family for name, family in same.items() if parts and set(parts) <= set(re.findall(r"[\w.]+", name))}
    if len(meant) == 1:
        return meant.pop()
    names = "; ".join(f"“{name}”" for name in kinds)
    raise ValueError(f"{quoted(words)} {'may be several kinds' if meant else 'is not a kind'} of line here. Write one "
                     f"of these, or its first words: {names}. If it is none, measure the bore and leave the kind out.")


def _length(cell, place, what):
    try:
        found = read_quantity(cell)
    except QuantityError as problem:
        raise FieldDataError(f"{place}: {problem} {EXAMPLE}") from None
    if not fits(found, "m"):
        raise FieldDataError(f"{place}: {quoted(cell)} is not a {what}. {EXAMPLE}")
    return found.m_as("m")


def read_segments(text):
    """A line typed as runs, from the compressor to the diffuser.

    text: One run a line: its length, then its inside diameter, each with its unit. A third part names the kind of
        line, see :func:`family_of`; the second part is then the size printed on the pipe, such as ``"250 ft, 3/4 in,
        PE"``. Lines that begin with ``#`` are passed over.
    Returns: tuple of Line.
    Raises FieldDataError: If a line cannot be read or holds numbers no air line has; says which.
    """
    made = []
    for number, row in typed_lines(text):
        # a comma between a digit and three more marks thousands, as in 1,500 ft
        plain, place = re.sub(r"(?<![\d.,])([1-9]\d{0,2}),(?=\d{3}\b)", r"\1", row), f"Line {number} ({quoted(row)})"
        run = _RUN.match(plain)
        cells = [part.strip() for part in run.groups() if part] if run else line_cells(plain)
        cells = [*cells[:2], ", ".join(cells[2:])] if len(cells) > 3 else cells     # "copper tube, type L"
        if len(cells) not in (2, 3):
            raise FieldDataError(f"{place} has {len(cells)} part{'s' * (len(cells) != 1)}. {EXAMPLE} A third part may "
                                "name the kind of pipe, such as PE.")
        if len(cells) == 3 and cells[2].lower() in (MEASURED.lower(), "measured", "bore"):
            cells.pop()
        length = _length(cells[0], place, "length")
        if len(cells) == 3:
            try:
                bore = pipesizes.find_pipe(family_of(cells[2]), cells[1]).inside_diameter
            except ValueError as problem:
                raise FieldDataError(f"{place}: {plainly(problem)}") from None
        else:
            bore = _length(cells[1], place, "bore")
        if not 0 < length <= LONGEST:
            raise FieldDataError(f"{place}: a length of {shortened(cells[0])} is outside "
                                f"{either('0 to 3 miles', '0 to 4.8 km')}. Check the unit.")
        if not NARROWEST <= bore <= WIDEST:
            raise FieldDataError(f"{place}: a bore of {shortened(cells[1])} is outside "
                                f"{either('0.1 to 4 inches', '2.5 to 100 mm')}. Check the unit, and whether length and "
                                "bore have changed places.")
        made.append(Line(length, bore))
    if not made:
        raise FieldDataError(f"There is no line yet. {EXAMPLE}")
    return tuple(made)


@quantities(flow_free_air="m^3/s", outlet_pressure_absolute="Pa", gives="m")
def equivalent_bore(line, flow_free_air, outlet_pressure_absolute):
    """Bore of the one even line that loses as much over the same length.

    line (Line or sequence of Line).
    flow_free_air: m3/s of free air; where it is 0 the bore is worked out for 1 L/s.
    outlet_pressure_absolute: Pa.
    Returns: float: m; between the narrowest and the widest bore of the line, wherever the step between two bores
        costs little.
    """
    chain = segments(line)
    if len(chain) == 1:
        return float(chain[0].inside_diameter)
    flow = flow_free_air if flow_free_air > 0 else 1e-3
    length = sum(float(piece.length) for piece in chain)
    with warnings.catch_warnings(action="ignore"):
        target = float(pressure_loss(chain, flow, outlet_pressure_absolute))

        def surplus(bore):
            try:
                return float(pressure_loss(Line(length, bore), flow, outlet_pressure_absolute)) - target
            except Chokes:              # this bore is far too narrow
                return np.inf
        bores = [float(piece.inside_diameter) for piece in chain]
        low, high = 0.5 * min(bores), 2 * max(bores)
        while not np.isfinite(surplus(low)):
            low = (low + min(bores)) / 2
        return brentq(surplus, low, high, xtol=1e-9)


@quantities(submergence="m", flow_free_air="m^3/s", elevation="m", wet_pressure="Pa")
def own_line(submergence, line, curve=None, flow_free_air=None, elevation=0.0, wet_pressure=airline.WET_PRESSURE):
    """What the gauge reads and how much air flows, with the diffuser new, half aged and aged.

    submergence: m, of the diffuser; more than zero.
    line (Line or sequence of Line).
    curve (CompressorCurve): As its data sheet has it, at sea level; it is moved to the elevation here.
    flow_free_air: m3/s, used where there is no curve or the curve cannot reach; default 4 cfm.
    elevation, wet_pressure: m; Pa of the new diffuser.
    Returns: OwnLine.
    Raises ValueError: If the depth or the flow is not more than zero, or the flow chokes the line.
    """
    flow = 4 * CFM if flow_free_air is None else flow_free_air
    if not submergence > 0:
        raise Refused("the depth of the diffuser must be more than 0; it counts down from the surface.", by="own_line")
    if not flow > 0:
        raise Refused("the air flow must be more than 0.", by="own_line")
    here = None if curve is None else compressor.derated(curve, elevation)
    budgets, flows, trouble = [], [], ""
    with warnings.catch_warnings(action="ignore", category=compressor.BelowCurve):
        for ageing, called in ((1.0, airline.NEW_DIFFUSER), ((1 + airline.AGED) / 2, "with a half-aged diffuser"),
                               (airline.AGED, airline.AGED_DIFFUSER)):
            at = flow
            if here is not None:
                system = airline.system_curve(submergence, line, wet_pressure, ageing, elevation=elevation)
                try:
                    at = float(compressor.operating_point(here, system, called).flow_free_air)
                except compressor.CannotReach as problem:
                    trouble = plainly(problem)
            budgets.append(airline.pressure_budget(submergence, line, at, wet_pressure, ageing,
                                                   elevation=elevation))
            flows.append(at)
    return OwnLine(float(submergence), segments(line), curve, float(elevation), *budgets, Range(*flows[::-1]), trouble)


def _in_words(system):
    """What says a pressure (Pa) in the reader's unit, to two figures."""
    return functools.partial(show, kind="pressure", system=system, digits=2)


def has_room(ends, budget):
    """Whether a machine that holds up to `ends` (Pa gauge, at the pond) keeps the margin of a budget of pressure."""
    return bool(ends >= float(budget.total))


def say_room(ends, budget, system="US"):
    """In words, whether a machine that reaches has pressure to spare; the rule of :func:`has_room`."""
    pressure = _in_words(system)
    margin = f"the {pressure(budget.total)} that leaves 15 % over the reading with an aged diffuser"
    if has_room(ends, budget):
        return f"The machine is good for {pressure(ends)} here, past {margin}."
    return (f"But with little room: the machine is known to hold {pressure(ends)} here, less than {margin}. When the "
            "diffuser clogs further, the air fails.")


def line_values(own):
    """The section ``line`` of the pond record.

    own (OwnLine).
    Returns: dict: `length` is the whole run and `inside_diameter` that of one even line with the same loss.
    Raises ValueError: If the compressor cannot reach the diffuser: such a line is not worth keeping.
    """
    if own.trouble:
        raise ValueError(f"this compressor and line do not work together. {own.trouble}")
    outlet = float(airline.air.pressure_by_elevation(own.elevation) + own.half.static + own.half.diffuser)
    bore = equivalent_bore(own.line, own.flow_free_air.usual, outlet)
    lengths, bores = zip(*((float(piece.length), float(piece.inside_diameter)) for piece in own.line), strict=True)
    values = {"submergence": Q(own.submergence, "m"), "length": Q(sum(lengths), "m"),
              "inside_diameter": Q(bore, "m"), "flow_free_air": Q(own.flow_free_air.usual, "m3/s"),
              "pressure_gauge": spanned([budget.working for budget in (own.new, own.half, own.aged)], "Pa"),
              "pressure_rated": Q(float(own.aged.total), "Pa"), "wet_pressure": Q(float(own.new.diffuser), "Pa"),
              "segment_length": each(lengths, "m"), "segment_bore": each(bores, "m")}
    if own.curve is not None:
        values |= {"compressor": own.curve.name, "curve_pressure": each(own.curve.pressure_gauge, "Pa"),
                   "curve_flow": each(own.curve.flow_free_air, "m3/s")}
    return values


def budget_table(budget):
    """A budget of pressure (PressureBudget of quantities) as text, one part a line, with the sums that matter."""
    rows = {"water over the diffuser": budget.static, "wet diffuser": budget.diffuser, "line": budget.line,
            "fittings": budget.fittings, "check valve": budget.check_valve, "the gauge reads": budget.working,
            "margin": budget.margin, "machine to look for": budget.total}
    return "\n".join(f"{words:<25}{value.m_as('psi'):8.2f} psi" for words, value in rows.items())


def say_own_line(own, system="US", of_machine=True):
    """The result in words, one fact a line.

    own (OwnLine), system ({"US", "metric"}).
    of_machine: Whether to speak of the machine too, or of the one to look for; False where
        :func:`pondcalc.back_pressure.reach.judge` has spoken of it.
    """
    pressure = _in_words(system)
    b = own.half
    lines = [f"Water over the diffuser: {pressure(b.static)}. Wet diffuser: {pressure(own.new.diffuser)} new, "
             f"{pressure(own.aged.diffuser)} aged.",
             f"Line: {pressure(b.line)}. Fittings: {pressure(b.fittings)}. Check valve: {pressure(b.check_valve)}."]
    if own.trouble:
        return "\n".join([*lines, *([own.trouble] if of_machine else [])])
    flows = own.flow_free_air
    if own.curve is None:
        lines.append(f"For {show(flows.usual, 'air flow', system)} of free air:")
    elif of_machine:
        lines.append(f"Your compressor should send {show(flows.high, 'air flow', system)} with a new "
                     f"diffuser and {show(flows.low, 'air flow', system)} with an aged one.")
    reads = show_range(own.new.working, own.aged.working, "pressure", system, digits=3)
    lines.append(f"The gauge should read {reads}, from a new to an aged diffuser.")
    if of_machine:
        lines.append(f"Look for a machine good for {pressure(own.aged.total)} day and night, which is the aged reading "
                     "and 15 % more." if own.curve is None else
                     say_room(compressor.derated(own.curve, own.elevation).pressure_gauge[-1], own.aged, system))
    return "\n".join(lines)
