"""How does a compressor's curve get from the data sheet into the computer?

A data sheet prints a table or a graph of air flow against pressure. This module reads it as typed lines,
one point a line, ``5 psi, 3.8 cfm``, or with a heading that carries the units. What the curve then does is
the business of :mod:`pondcalc.back_pressure.compressor`.

What this leaves out: which "cfm" the sheet means. If its small print names other conditions than 20 C
(68 F), 1 atm, dry, the flows differ by up to 10 %; see ``air.actual_to_free_air``.
"""

import re

from ..refusals import plainly
from ..spellings import ABSOLUTE
from ..textfiles import FieldDataError, line_cells, typed_lines
from ..units import Quantity, QuantityError, absolute_words, read_quantity, refuse_water_flow, show
from ..wording import quoted
from .compressor import CompressorCurve

__all__ = ["falling", "read_curve", "typed_points"]

FLOW = Quantity(1.0, "m^3/s").dimensionality
PRESSURE = Quantity(1.0, "Pa").dimensionality
EXAMPLE = "Write one point a line, pressure and flow, such as '5 psi, 3.8 cfm' or '35 kPa, 108 L/min'."
MOST_PRESSURE, MOST_FLOW = "150 psi", "1000 cfm"        # beyond these a slip is likelier: our choice
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
    for value, kind, most in ((pressure, "pressure", MOST_PRESSURE), (flow, "air flow", MOST_FLOW)):
        if not value <= read_quantity(most):
            raise FieldDataError(f"{place}: {show(value, kind, both=True)} is more than any machine for a pond gives, "
                                 f"{show(most, kind, both=True)} at most. Check the number and its unit.")


def _points(text, units=(None, None)):
    """Points of typed lines, each Pa gauge, m3/s and the number of its line; see :func:`read_curve`."""
    points = []
    for number, line in ((number, piece) for number, whole in typed_lines(text) for piece in _one_a_line(whole)):
        cells, place = _AT.split(line.strip()), f"Line {number} ({quoted(line)})"
        cells = cells if len(cells) == 2 else line_cells(line)
        cells = cells if len(cells) != 1 else _PAIR.split(line.strip())
        if not any(re.match(r"[-+.\d]", cell) for cell in cells):
            if points:
                raise FieldDataError(f"{place} has no numbers. {EXAMPLE}")
            units = [said or asked for said, asked in zip(_heading_units(cells), units, strict=False)]
            continue
        if len(cells) != 2:
            raise FieldDataError(f"{place} has {len(cells)} part{'s' * (len(cells) != 1)}, not two. {EXAMPLE} If a "
                                 "comma marks your decimals, put a semicolon between the two.")
        pair = [_number(cell, unit, place) for cell, unit in zip(cells, (*units, None, None), strict=False)]
        if pair[0].check(FLOW) and pair[1].check(PRESSURE):
            pair.reverse()
        if not (pair[0].check(PRESSURE) and pair[1].check(FLOW)):
            raise FieldDataError(f"{place} is not a pressure and a flow. {EXAMPLE}")
        _refuse_too_much(place, *pair)
        points.append((pair[0].m_as("Pa"), pair[1].m_as("m^3/s"), number))
    return points


def read_curve(text, name="typed points", pressure_unit=None, flow_unit=None):
    """Points typed from a data sheet, as a compressor's curve.

    Parameters
    ----------
    text : str
        One point a line: pressure (gauge) and flow, each with its unit, in either order, parted by a comma
        or by "at". Bare numbers are allowed, pressure first, where a heading or the arguments below give the
        units. Lines that begin with ``#`` are passed over. Points may come in any order.
    name : str, optional
        What to call the compressor.
    pressure_unit, flow_unit : str, optional
        Units of bare numbers, such as ``"psi"`` and ``"cfm"``.

    Returns
    -------
    CompressorCurve

    Raises
    ------
    FieldDataError
        If a line does not hold one pressure and one flow, has no unit, or the points make no falling
        curve; says which line.
    """
    points = _points(text, (pressure_unit, flow_unit))
    if len(points) < 2:
        raise FieldDataError(f"A curve needs two points or more; {len(points)} found. {EXAMPLE}")
    return _curve(sorted(points), name)


def typed_points(text):
    """Points of typed lines in any order, each Pa gauge and m3/s of free air; see :func:`read_curve`.

    Raises
    ------
    FieldDataError
        As :func:`read_curve`, but for the number of points.
    """
    points = [(pressure, flow) for pressure, flow, _ in _points(text)]
    if not points:
        raise FieldDataError(f"There is no point yet. {EXAMPLE}")
    return points


def falling(points):
    """Points (Pa gauge, m3/s) in the order in which they were told, from the lowest pressure up.

    Raises
    ------
    FieldDataError
        If one is below zero or more than any machine gives, or the air does not fall as the pressure rises.
    """
    for pressure, flow in points:
        _refuse_too_much("One of the points", Quantity(pressure, "Pa"), Quantity(flow, "m^3/s"))
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
        return CompressorCurve.si([p for p, _, _ in points], [q for _, q, _ in points], name)
    except ValueError as problem:
        raise FieldDataError(plainly(problem)) from None
