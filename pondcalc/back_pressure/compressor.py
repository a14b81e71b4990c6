"""How much air will this compressor really send down, and what does it do with its electricity?

A compressor gives less air the harder it must push; a pond and its line ask for more pressure the more air goes
through. The two curves cross at one point, and that is where the system runs. No crossing means no air. A data sheet
gives the curve as a table or a graph; it is read as typed lines, one point a line, ``5 psi, 3.8 cfm``, or with a
heading that carries the units. It belongs to a machine at sea level and 20 C until :func:`derated` moves it. Some of
the electricity squeezes the air; the rest becomes heat in motor, seals and valves, and nearly all of it ends as heat.

Kinds of small machine differ in how hard and how much they push. The ranges in ``data/compressor-families.csv`` are
open ranges of common practice, with no source behind any number: a first look, to be replaced by the data sheet of the
machine in hand. Inside the package pressures are Pa gauge, flow is m3/s of free air (20 C, 1 atm, dry), power W.

What this leaves out: pulsation, wear, inlet filters that clog, and the starting current of the motor; price, noise,
service nearby, and duty: a machine rated for minutes an hour will not last day and night, whatever its pressure; which
"cfm" a sheet means: where its small print names other conditions than 20 C (68 F), 1 atm, dry, the flows differ by up
to 10 % (see ``air.actual_to_free_air``); and heat lost through the casing, so real outlets are cooler than the shares
here give. Metal at the outlet can burn skin and soften plastic: keep the first few feet of line metal or rated hose.
Compressors run hot; guards, wiring and outlets follow the label, the local code and a licensed electrician.
"""

import re
import warnings
from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.optimize import brentq

from .. import air
from ..datafiles import pick, read_table
from ..refusals import Caution, Refused, plainly
from ..spellings import ABSOLUTE, quoted
from ..textfiles import FieldDataError, line_cells, typed_lines
from ..units import (
    CFM,
    FOOT,
    PSI,
    YEAR,
    QuantityError,
    Range,
    absolute_words,
    fits,
    not_negative,
    quantities,
    read_quantity,
    record,
    refuse_water_flow,
    show,
)
from .airline import Chokes

# Adiabatic power over electric power of small machines. From memory, not verified: an open range of
# common practice. Worst for small, lightly loaded motors. A plug-in watt meter beats it.
WIRE_EFFICIENCY = Range(0.15, 0.30, 0.45)
TOO_GOOD = 0.6          # efficiency at the cord past which a reading or a curve is likelier wrong; judgment, no source


class BelowCurve(Caution):
    """The line asks for less pressure than the first point of the curve."""


class CannotReach(Refused):
    """The compressor cannot push air to the diffuser at all."""


@record(pressure_gauge="Pa", flow_free_air="m^3/s")
class CompressorCurve:
    """Points read off a compressor's data sheet, joined by straight lines.

    pressure_gauge (array, shape (n,)): Pa gauge, two or more, each higher than the one before, none below zero.
    flow_free_air (array, shape (n,)): m3/s of free air at each pressure; never rising.
    name: What to call it.
    Raises ValueError: If the points do not make a falling curve; says which point.
    """

    pressure_gauge: Any
    flow_free_air: Any
    name: str = ""

    def check(self):
        """Refuse points that do not make a falling curve, and freeze the ones that do."""
        pressure, flow = (np.array(values, float) for values in (self.pressure_gauge, self.flow_free_air))
        if pressure.ndim != 1 or pressure.shape != flow.shape or len(pressure) < 2:
            raise Refused(f"{pressure.size} pressures and {flow.size} flows. Give two or more points, a flow for each "
                          "pressure.", by="CompressorCurve")
        if not (np.isfinite(pressure).all() and np.isfinite(flow).all()):
            raise Refused("a point has no number. Leave that point out.", by="CompressorCurve")
        if pressure[0] < 0 or np.any(flow < 0):
            raise Refused("a pressure or flow is below zero. Read the gauge pressure and the free air flow from the "
                          "data sheet; both are 0 or more.", by="CompressorCurve")
        for i in range(1, len(pressure)):
            if pressure[i] <= pressure[i - 1]:
                raise Refused(f"point {i + 1} is not at a higher pressure than point {i}. List the points from the "
                              "lowest pressure up, each once.", by="CompressorCurve")
            if flow[i] > flow[i - 1]:
                raise Refused(f"point {i + 1} has more flow than point {i}, at a higher pressure. A compressor gives "
                              "less air the harder it pushes; check the two.", by="CompressorCurve")
        if flow[0] == 0:
            raise Refused("no point has any flow. Check the flow column.", by="CompressorCurve")
        for name, values in (("pressure_gauge", pressure), ("flow_free_air", flow)):
            values.setflags(write=False)
            object.__setattr__(self, name, values)


class OperatingPoint(NamedTuple):
    """Where a compressor and a system agree: m3/s of free air and Pa gauge inside the package."""

    flow_free_air: Annotated[Any, "m^3/s"]
    pressure_gauge: Annotated[Any, "Pa"]


@quantities(flow_free_air_max="m^3/s", pressure_gauge_max="Pa", droop="")
def linear_curve(flow_free_air_max, pressure_gauge_max, droop=1.0, name="generic straight line"):
    """A made-up straight curve, for learning before a data sheet is in hand.

    flow_free_air_max: m3/s of free air with nothing in the way.
    pressure_gauge_max: Pa gauge, the highest pressure of the machine.
    droop: Share of the flow lost at the highest pressure, over 0 to 1. Default 1, no flow left, as for a linear
        diaphragm machine; 0.2 to 0.5 for a rocking piston (both from memory, not verified).
    Returns: CompressorCurve.

    Q = Qmax (1 - droop P/Pmax). No real machine is this straight.
    """
    if not 0 < droop <= 1:
        raise Refused(f"droop is {droop}. It is the share of flow lost at the highest pressure: more than 0, at "
                      "most 1.", by="linear_curve")
    if not (flow_free_air_max > 0 and pressure_gauge_max > 0):
        raise Refused("the largest flow and the highest pressure must both be more than 0.", by="linear_curve")
    flows = [flow_free_air_max, flow_free_air_max * (1 - droop)]
    return CompressorCurve([0.0, pressure_gauge_max], flows, name)


@quantities(pressure_gauge="Pa", gives="m^3/s")
def curve_flow(curve, pressure_gauge):
    """Free air a compressor gives at a gauge pressure.

    curve (CompressorCurve).
    pressure_gauge (float or array): Pa gauge.
    Returns: float or array: m3/s of free air. Below the first point, the first flow. Past the last point 0 if the
        curve ended at no flow, else not-a-number: the data sheet does not say.
    """
    past = 0.0 if curve.flow_free_air[-1] == 0 else np.nan
    return np.interp(pressure_gauge, curve.pressure_gauge, curve.flow_free_air, right=past)


def _psi(pressure):
    return show(pressure, "pressure", both=True)


@quantities(gives=OperatingPoint)
def operating_point(curve, system, diffuser=""):
    """Flow and gauge pressure at which a compressor runs on a pond's air line.

    curve (CompressorCurve).
    system: Pa gauge needed for a flow in m3/s of free air, plain numbers, never falling;
        :func:`pondcalc.back_pressure.airline.system_curve` makes one.
    diffuser: For which diffuser that is, in words such as "with an aged diffuser", for a refusal.
    Raises CannotReach: If the curve ends below the pressure needed to move any air, or below what the system asks for
        at the last flow listed.
    Warns UserWarning: If the system asks for less pressure than the first point of the curve.

    The root of system(flow(P)) - P between the first and last pressure of the curve, by Brent's
    bracketing method; the difference falls all the way, so there is one root at most.
    """
    highest, last = curve.pressure_gauge[-1], curve.flow_free_air[-1]
    static = system(0.0)
    if static >= highest:
        raise CannotReach(f"This compressor cannot reach the diffuser: {_psi(static)} is needed before the "
                          f"first bubble{' ' * bool(diffuser)}{diffuser}, and its curve ends at {_psi(highest)}. "
                          "Choose one rated for more pressure, or set the diffuser shallower.")

    def excess(pressure):
        try:
            return system(curve_flow(curve, pressure)) - pressure
        except Chokes:                  # so much air gets through at no pressure a line is worked out for
            return 1e9

    if excess(highest) > 0:
        try:
            asked = f"the line asks for {_psi(system(last))}"
        except Chokes:
            asked = "so much air does not get through the line at any pressure"
        raise CannotReach(f"At the last point of the curve, {show(last, 'air flow', both=True)} at "
                          f"{_psi(highest)}, {asked}. Do not run a compressor past its listed points: use a wider "
                          "line, or one rated higher.")
    lowest = curve.pressure_gauge[0]
    if excess(lowest) <= 0:
        pressure = system(curve.flow_free_air[0])
        if pressure < lowest:
            warnings.warn(BelowCurve(f"the system asks for {_psi(pressure)}, below the first point of the curve; the "
                                     "flow there is taken as the flow at the first point.", by="operating_point"),
                          stacklevel=2)
        return OperatingPoint(curve.flow_free_air[0], pressure)
    pressure = brentq(excess, lowest, highest, xtol=1e-6, rtol=1e-13)
    return OperatingPoint(float(curve_flow(curve, pressure)), pressure)


@quantities(elevation="m")
def derated(curve, elevation):
    """The curve of the same compressor higher up, in air of 20 C.

    curve (CompressorCurve): As rated at sea level and 20 C.
    elevation: m above sea level.
    Returns: CompressorCurve.

    The machine sweeps the same volume of thinner air, so free air falls with the pressure at the inlet, P/P0; a hot
    cabinet costs 293.15/T more, which is not counted. The same pressure *ratio* then means less gauge pressure, so
    each point's gauge pressure falls by P/P0. That is the cautious reading, right for the air left in the clearance
    space; a machine limited by its motor alone keeps more. The pond's static head does not fall with elevation.
    """
    share = air.pressure_by_elevation(elevation) / air.FREE_AIR_PRESSURE
    return CompressorCurve(curve.pressure_gauge * share, curve.flow_free_air * share, curve.name)


@quantities(flow_free_air="m^3/s", pressure_gauge="Pa", elevation="m", gives="W")
def adiabatic_power(flow_free_air, pressure_gauge, elevation=0.0):
    """Least power that compresses this air, drawn in at 20 C, quickly, with no losses and no cooling.

    flow_free_air (float or array): m3/s of free air, zero or more.
    pressure_gauge (float or array): Pa gauge at the compressor outlet, zero or more.
    elevation (float or array): m above sea level. Higher up the same gauge pressure is a larger ratio.

    The mass flow times :func:`pondcalc.air.adiabatic_work`.
    References: E. Oberg and others, 2020, Machinery's Handbook, 31st ed., p. 2816, Table 35 (agrees within 0.8 %).
    """
    not_negative("adiabatic_power", flow_free_air=flow_free_air, pressure_gauge=pressure_gauge)
    work = air.adiabatic_work(pressure_gauge, inlet_pressure_absolute=air.pressure_by_elevation(elevation))
    return air.compression_power(flow_free_air, work)


@quantities(flow_free_air="m^3/s", pressure_gauge="Pa", elevation="m", gives="W")
def wire_power(flow_free_air, pressure_gauge, elevation=0.0, efficiency=WIRE_EFFICIENCY):
    """Electric power a small compressor is likely to draw, as a range.

    flow_free_air, pressure_gauge, elevation: As for :func:`adiabatic_power`.
    efficiency (Range): Adiabatic power over electric power, low, usual and high, each over 0 to 1. Default 15, 30 and
        45 %: from memory, not verified.
    Returns: Range: W; the low power goes with the high efficiency.
    """
    low, usual, high = efficiency
    if not 0 < low <= usual <= high <= 1:
        raise Refused(f"the efficiencies {tuple(efficiency)} must rise from over 0 to at most 1. Write Range(0.15, "
                      "0.3, 0.45).", by="wire_power")
    power = adiabatic_power(flow_free_air, pressure_gauge, elevation)
    return Range(power / high, power / usual, power / low)


EXAMPLE = "Write one point a line, pressure and flow, such as '5 psi, 3.8 cfm' or '35 kPa, 108 L/min'."
MOST_PRESSURE, MOST_FLOW = 150 * PSI, 1000 * CFM        # beyond these a slip is likelier: our choice
_AT = re.compile(r"\s*@\s*|\s+at\s+", re.IGNORECASE)       # "4 cfm at 10 psi", as a seller says it
_NEXT = re.compile(r"\s*[;,]\s+|\s*;\s*|\s+(?:and|/)\s+", re.IGNORECASE)      # between several points on one line
_PAIR = re.compile(r"(?<=[A-Za-z])\s+(?=[\d.])")                               # "5 psi 3.9 cfm"


def _one_a_line(line):
    """The points of a line, where a seller put several on one, such as "3.9 cfm at 5 psi, 2.1 cfm at 10 psi"."""
    pieces = [piece for piece in _NEXT.split(line.strip()) if piece]
    if len(pieces) > 1 and all(len(_AT.split(piece)) == 2 or len(_PAIR.split(piece)) == 2 for piece in pieces):
        return pieces
    if len(pieces) > 2 and len(pieces) % 2 == 0 and all(re.match(r"[\d.].*[A-Za-z]", piece) for piece in pieces):
        return ["; ".join(pair) for pair in zip(pieces[::2], pieces[1::2], strict=True)]
    return [line]


def _heading_units(cells):
    """Unit words of a heading such as 'pressure (psi), flow cfm', or None where there is none."""
    units = []
    for cell in cells:
        if ABSOLUTE.search(cell):
            raise FieldDataError(f"In the heading, {absolute_words(cell)}")
        found = None
        for word in re.split(r"[\s()\[\],_]+", cell):
            try:
                found = str(read_quantity(f"1 {word}").units) if word else found
            except QuantityError:
                continue
        units.append(found)
    return units


def _number(cell, unit, place):
    try:
        return refuse_water_flow(read_quantity(cell, unit), cell)
    except QuantityError as problem:
        raise FieldDataError(f"{place}: {problem} {EXAMPLE}") from None


def _refuse_too_much(place, pressure, flow):
    """Refuse more pressure (Pa) or air (m3/s) than any machine gives."""
    for value, kind, most in ((pressure, "pressure", MOST_PRESSURE), (flow, "air flow", MOST_FLOW)):
        if not value <= most * (1 + 1e-9):
            raise FieldDataError(f"{place}: {show(value, kind, both=True)} is more than any machine for a pond gives, "
                                 f"{show(most, kind, both=True)} at most. Check the number and its unit.")


def _points(text):
    """Points of typed lines, each Pa gauge, m3/s and the number of its line; see :func:`read_curve`."""
    points, units = [], (None, None)
    for number, line in ((number, piece) for number, whole in typed_lines(text) for piece in _one_a_line(whole)):
        cells, place = _AT.split(line.strip()), f"Line {number} ({quoted(line)})"
        cells = cells if len(cells) == 2 else line_cells(line)
        cells = cells if len(cells) != 1 else _PAIR.split(line.strip())
        if not any(re.match(r"[-+.\d]", cell) for cell in cells):
            if points:
                raise FieldDataError(f"{place} has no numbers. {EXAMPLE}")
            units = _heading_units(cells)
            continue
        if len(cells) != 2:
            raise FieldDataError(f"{place} has {len(cells)} part{'s' * (len(cells) != 1)}, not two. {EXAMPLE} If a "
                                 "comma marks your decimals, put a semicolon between the two.")
        pair = [_number(cell, unit, place) for cell, unit in zip(cells, (*units, None, None), strict=False)]
        if fits(pair[0], "m^3/s"):
            pair.reverse()
        if not (fits(pair[0], "Pa") and fits(pair[1], "m^3/s")):
            raise FieldDataError(f"{place} is not a pressure and a flow. {EXAMPLE}")
        pressure, flow = pair[0].m_as("Pa"), pair[1].m_as("m^3/s")
        _refuse_too_much(place, pressure, flow)
        points.append((pressure, flow, number))
    return points


def read_curve(text):
    """Points typed from a data sheet, as a compressor's curve.

    text: One point a line: pressure (gauge) and flow, each with its unit, in either order, parted by a comma or by
        "at". Bare numbers are allowed, pressure first, where a heading gives the units. Lines that begin with ``#`` are
        passed over. Points may come in any order.
    Returns: CompressorCurve.
    Raises FieldDataError: If a line does not hold one pressure and one flow, has no unit, or the points make no
        falling curve; says which line.
    """
    points = _points(text)
    if len(points) < 2:
        raise FieldDataError(f"A curve needs two points or more; {len(points)} found. {EXAMPLE}")
    return _curve(sorted(points), "typed points")


def typed_points(text):
    """Points of typed lines in any order, each Pa gauge and m3/s of free air; see :func:`read_curve`.

    Raises FieldDataError: As :func:`read_curve`, but for the number of points.
    """
    points = [(pressure, flow) for pressure, flow, _ in _points(text)]
    if not points:
        raise FieldDataError(f"There is no point yet. {EXAMPLE}")
    return points


def falling(points):
    """Points (Pa gauge, m3/s) in the order in which they were told, from the lowest pressure up.

    Raises FieldDataError: If one is below zero or more than any machine gives, or the air does not fall as the
        pressure rises.
    """
    for pressure, flow in points:
        _refuse_too_much("One of the points", pressure, flow)
    if any(pressure < 0 or flow < 0 for pressure, flow in points):
        raise FieldDataError(f"A pressure or an air flow is below zero; both are 0 or more. {EXAMPLE}")
    numbered = sorted((*point, number) for number, point in enumerate(points, 1))
    if len(points) > 1 and any(flow > 0 for _, flow in points):
        _curve(numbered, "", "Point")
    return tuple(sorted(points))


def _curve(points, name, what="Line"):
    """The curve of sorted points, or a refusal that names the lines (or whatever has the numbers) at fault."""
    for (low, more, first), (high, less, second) in zip(points, points[1:], strict=False):
        if high == low:
            raise FieldDataError(f"{what}s {first} and {second} give the same pressure. Keep one of them.")
        if less > more:
            raise FieldDataError(f"{what} {second} gives more flow than {what.lower()} {first}, at a higher pressure. "
                                 "A compressor gives less air the harder it pushes; check the two.")
    try:
        return CompressorCurve([p for p, _, _ in points], [q for _, q, _ in points], name)
    except ValueError as problem:
        raise FieldDataError(plainly(problem)) from None


class Family(NamedTuple):
    """Open ranges of one kind of machine; SI numbers inside the package. Common practice, no source.

    `pressure` is gauge, Pa; `depth` m of the diffuser; `flow_free_air` m3/s; `renewal` s between
    renewals of the part that wears. Each is a pair, low and high. `droop` is the share of the flow lost at the
    highest pressure.
    """

    name: str
    pressure: Any
    depth: Any
    flow_free_air: Any
    wear_part: str
    renewal: Any
    note: str
    droop: float


class Suitability(NamedTuple):
    """How one kind of machine fits: yes, maybe or no, and why."""

    family: Family
    fits: str
    words: str


def _family(row):
    pressure, depth, flow, renewal = (
        tuple(float(row[f"{what}_{end}_{unit}"]) * scale for end in ("low", "high")) for what, unit, scale in
        (("pressure", "psi", PSI), ("depth", "ft", FOOT), ("flow", "cfm", CFM), ("renew", "yr", YEAR)))
    return Family(row["family"], pressure, depth, flow, row["wear_part"], renewal, row["note"], float(row["droop"]))


def _families():
    return [_family(row) for row in read_table("compressor-families.csv")]


def family_names():
    """Names of the kinds of machine in the table."""
    return [family.name for family in _families()]


def find_family(name):
    """One kind of machine by its name or enough words of it, in SI numbers.

    Raises ValueError: If there is no such kind; lists those there are.
    """
    wanted = pick(name, family_names(), "kind of compressor")
    return next(family for family in _families() if family.name == wanted)


def _judge(value, low, high, slack=0.15):
    """Yes inside the range, maybe just outside it, else no."""
    if low <= value <= high:
        return "yes"
    return "maybe" if low * (1 - slack) <= value <= high * (1 + slack) else "no"


@quantities(depth="m", pressure_gauge="Pa", flow_free_air="m^3/s")
def suitable_families(depth, pressure_gauge, flow_free_air, system="US"):
    """Each kind of machine, with whether it fits and why; the fitting ones first.

    depth: m, of the diffuser.
    pressure_gauge: Pa gauge the machine must hold, margin and aged diffuser included
        (``airline.pressure_budget(...).total``).
    flow_free_air: m3/s of free air.
    system ({"US", "metric"}): Units of the words.
    Returns: list of Suitability.

    "maybe" means up to 15 % outside a range. The lower ends of pressure and depth do not rule a machine
    out, only spoil its efficiency: they count as "maybe" at worst. All ranges are common practice, no source.
    """
    made = []
    for family in _families():
        asked = {"pressure": (pressure_gauge, family.pressure, "pressure"), "depth": (depth, family.depth, "depth"),
                 "flow": (flow_free_air, family.flow_free_air, "air flow")}
        verdict, reasons = "yes", []
        for what, (value, (low, high), kind) in asked.items():
            fit = _judge(value, low, high)
            if fit == "no" and value < low and what != "flow":
                fit = "maybe"
            if fit != "yes":
                given, least, most = (show(number, kind, system, digits=2) for number in (value, low, high))
                reasons.append(f"{given} of {what} is {'less' if value < low else 'more'} than its usual {least} to "
                               f"{most}")
            verdict = max((verdict, fit), key=("yes", "maybe", "no").index)
        words = {"yes": "Inside its usual ranges", "maybe": "At the edge: ", "no": "Does not fit: "}[verdict]
        made.append(Suitability(family, verdict, f"{words}{'; '.join(reasons)}. {family.note.capitalize()}."))
    return sorted(made, key=lambda item: ("yes", "maybe", "no").index(item.fits))


@quantities(flow_free_air_max="m^3/s")
def generic_curve(name, flow_free_air_max):
    """A straight curve of one kind of machine, for learning before a data sheet is in hand.

    name: As for :func:`find_family`.
    flow_free_air_max: m3/s of free air with nothing in the way.
    Returns: CompressorCurve: From open air to the top of the kind's usual pressure range; common practice, no source.
    """
    family = find_family(name)
    return linear_curve(flow_free_air_max, family.pressure[1], family.droop, f"generic {family.name}")


# From memory, not verified: open ranges of common practice for fractional-horsepower machines. The best motor is what
# 10 CFR 431.446 asks at least of a new capacitor motor of 1/2 hp, 72.4 to 76.2 % by its speed (reprint seen).
INTERNAL_EFFICIENCY = Range(0.40, 0.55, 0.70)       # adiabatic power over shaft power
MOTOR_EFFICIENCY = Range(0.40, 0.55, 0.76)          # shaft power over electric power


def where_on_curve(curve, pressure_gauge, system="US"):
    """In words, whether an operating point is inside the points of the data sheet, and what lies past them.

    curve (CompressorCurve).
    pressure_gauge: Pa gauge, a plain number, as :func:`pondcalc.back_pressure.compressor.operating_point` gives
        it.
    system ({"US", "metric"}).
    """
    first, last = curve.pressure_gauge[0], curve.pressure_gauge[-1]
    end = show(last, "pressure", system)
    if pressure_gauge > last:
        return (f"Past the end of the curve, {end}. The sheet does not say what happens there: the flow "
                "falls, the machine runs hotter, and a relief valve may open or the motor stall. Do not run "
                "it there.")
    if pressure_gauge > last - 0.1 * (last - first):
        return (f"In the last tenth of the curve, which ends at {end}. Little is left for a diffuser that "
                "ages; as it clogs, the flow falls off and the machine heats.")
    if pressure_gauge < first:
        return ("Below the first point of the curve. The flow is about that of the first point; the sheet "
                "does not say more, and the machine is larger than this line needs.")
    spare = show(last - pressure_gauge, "pressure", system, digits=2)
    return f"Inside the curve, {spare} below its end."
