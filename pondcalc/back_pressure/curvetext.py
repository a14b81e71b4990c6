"""How does a compressor's curve get from the data sheet into the computer?

A data sheet prints a table or a graph of air flow against pressure. This module reads it as typed lines,
one point a line, ``5 psi, 3.8 cfm``, or with a heading that carries the units. What the curve then does is
the business of :mod:`pondcalc.back_pressure.compressor`.

What this leaves out: which "cfm" the sheet means. If its small print names other conditions than 20 C
(68 F), 1 atm, dry, the flows differ by up to 10 %; see ``air.actual_to_free_air``.
"""

import re

from ..textfiles import tidy
from ..units import Quantity, QuantityError, read_quantity
from ..wording import quoted
from .compressor import CompressorCurve

__all__ = ["read_curve", "line_cells", "CurveTextError"]

FLOW = Quantity(1.0, "m^3/s").dimensionality
PRESSURE = Quantity(1.0, "Pa").dimensionality
EXAMPLE = "Write one point a line, pressure and flow, such as '5 psi, 3.8 cfm'."


class CurveTextError(ValueError):
    """Typed points that cannot be used: says which line, what was found, what to do next."""


def line_cells(line):
    """The cells of a typed line, parted by a semicolon, a tab, a comma or wide blanks."""
    for mark in (";", "\t"):
        if mark in line:
            # semicolons or tabs part the cells, so a comma between digits marks decimals
            return [re.sub(r"(?<=\d),(?=\d)", ".", cell).strip() for cell in line.split(mark) if cell.strip()]
    if "," in line:
        return [cell.strip() for cell in line.split(",") if cell.strip()]
    return [cell for cell in re.split(r"\s{2,}", line.strip()) if cell]


def _heading_units(cells):
    """Unit words of a heading such as 'pressure (psi), flow cfm', or None where there is none."""
    units = []
    for cell in cells:
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
        return read_quantity(cell, unit)
    except QuantityError as problem:
        raise CurveTextError(f"{place}: {problem} {EXAMPLE}") from None


def read_curve(text, name="typed points", pressure_unit=None, flow_unit=None):
    """Points typed from a data sheet, as a compressor's curve.

    Parameters
    ----------
    text : str
        One point a line: pressure (gauge) and flow, each with its unit, in either order. Bare numbers
        are allowed, pressure first, where a heading or the arguments below give the units. Lines that
        begin with ``#`` are passed over. Points may come in any order.
    name : str, optional
        What to call the compressor.
    pressure_unit, flow_unit : str, optional
        Units of bare numbers, such as ``"psi"`` and ``"cfm"``.

    Returns
    -------
    CompressorCurve

    Raises
    ------
    CurveTextError
        If a line does not hold one pressure and one flow, has no unit, or the points make no falling
        curve; says which line.
    """
    points, units = [], [pressure_unit, flow_unit]
    for number, line in enumerate(tidy(text).replace("−", "-").splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        cells, place = line_cells(line), f"Line {number} ({quoted(line)})"
        if not any(re.match(r"[-+.\d]", cell) for cell in cells):
            if points:
                raise CurveTextError(f"{place} has no numbers. {EXAMPLE}")
            units = [said or asked for said, asked in zip(_heading_units(cells), units, strict=False)]
            continue
        if len(cells) != 2:
            raise CurveTextError(f"{place} has {len(cells)} part{'s' * (len(cells) != 1)}, not two. {EXAMPLE} If a "
                                 "comma marks your decimals, put a semicolon between the two.")
        pair = [_number(cell, unit, place) for cell, unit in zip(cells, (*units, None, None), strict=False)]
        if pair[0].check(FLOW) and pair[1].check(PRESSURE):
            pair.reverse()
        if not (pair[0].check(PRESSURE) and pair[1].check(FLOW)):
            raise CurveTextError(f"{place} is not a pressure and a flow. {EXAMPLE}")
        points.append((pair[0].m_as("Pa"), pair[1].m_as("m^3/s"), number))
    if len(points) < 2:
        raise CurveTextError(f"A curve needs two points or more; {len(points)} found. {EXAMPLE}")
    return _curve(sorted(points), name)


def _curve(points, name):
    """The curve of sorted points, or a refusal that names the lines at fault."""
    for (low, more, first), (high, less, second) in zip(points, points[1:], strict=False):
        if high == low:
            raise CurveTextError(f"Lines {first} and {second} give the same pressure. Keep one of them.")
        if less > more:
            raise CurveTextError(f"Line {second} gives more flow than line {first}, at a higher pressure. A "
                                 "compressor gives less air the harder it pushes; check the two.")
    try:
        return CompressorCurve.si([p for p, _, _ in points], [q for _, q, _ in points], name)
    except ValueError as problem:
        raise CurveTextError(str(problem)) from None
