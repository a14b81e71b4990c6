"""How wide is a "3/4 inch" line really?

A nominal size is a name, not a measurement. Families of pipe keep either the outside or the inside the
same, and let the wall take the rest, so one name covers bores that differ by a quarter and losses that
differ three times. The table is ``data/pipe-sizes.csv``; each row says which standard it follows and
whether the number was read there, worked out, or recalled.

What this leaves out: wear, ovalness of coiled tube, and makers who follow no standard. Measure the bore
where you can.
"""

from fractions import Fraction
from typing import Any, NamedTuple

from ..datafiles import pick, read_table
from ..refusals import Refused
from ..units import INCH, Quantity, QuantityError, quantities, read_quantity
from ..wording import quoted

__all__ = ["PipeFamily", "PipeSize", "families_as_sold", "pipe_families", "pipe_sizes", "find_pipe", "same_name"]



class PipeSize(NamedTuple):
    """One size of one family; diameters in m inside the package.

    `bore_is` says what the inside diameter stands for: the average of the tolerance, or the nominal one.
    """

    family: str
    nominal: str
    inside_diameter: Any
    outside_diameter: Any
    bore_is: str
    standard: str
    status: str
    source: str


class PipeFamily(NamedTuple):
    """One family as people meet it: its name in the table, what it is sold as, whether it is plastic, other words."""

    name: str
    sold_as: str
    plastic: bool
    also_called: tuple


UNITS = (None, None, "m", "m", None, None, None, None)


def _rows():
    return [PipeSize(row["family"], row["nominal_in"], float(row["inside_diameter_in"]) * INCH,
                     float(row["outside_diameter_in"]) * INCH, row["bore_is"], row["standard"], row["status"],
                     row["source"]) for row in read_table("pipe-sizes.csv")]


def pipe_families():
    """Names of the families in the table."""
    return list(dict.fromkeys(size.family for size in _rows()))


def families_as_sold():
    """Every :class:`PipeFamily`, in the order in which a form lists them."""
    return [PipeFamily(row["family"], row["sold_as"], row["plastic"] == "yes",
                       tuple(word for word in row["also_called"].split(";") if word))
            for row in read_table("pipe-families.csv")]


def _inches(nominal):
    """Nominal inches as an exact fraction, from '3/4', '1-1/4 in', 0.75 or a quantity."""
    text = str(nominal).lower().replace("nps", "").strip()
    try:
        quantity = nominal if isinstance(nominal, Quantity) else read_quantity(text, "inch")
        if not quantity.check("[length]"):
            raise QuantityError("It is not a length.")
    except QuantityError as problem:
        raise QuantityError(f"{quoted(nominal)} is not a pipe size. Write it like '3/4 in' or '1-1/4 in'. ({problem})",
                            by="find_pipe") from None
    return Fraction(quantity.m_as("inch")).limit_denominator(64)


def pipe_sizes(family):
    """All sizes of one family, from narrow to wide, in SI numbers.

    Parameters
    ----------
    family : str
        Its name or enough words of it, such as ``"PVC"``; see :func:`pipe_families`.

    Returns
    -------
    list of PipeSize
    """
    name = pick(family, pipe_families(), "family of pipe")
    return sorted((size for size in _rows() if size.family == name), key=lambda size: size.inside_diameter)


@quantities(gives=UNITS)
def find_pipe(family, nominal):
    """Inside diameter of a pipe by its family and the size printed on it.

    Parameters
    ----------
    family : str
        Its name or enough words of it, such as ``"PVC"`` or ``"SDR 11"``.
    nominal : str, float or Quantity
        Nominal size, such as ``"3/4 in"``; a bare number means inches, since it is a name here.

    Returns
    -------
    PipeSize

    Raises
    ------
    ValueError
        If there is no such family or size; lists those there are.
    """
    sizes = pipe_sizes(family)
    wanted = _inches(nominal)
    for size in sizes:
        if _inches(size.nominal) == wanted:
            return size
    there = ", ".join(f"{size.nominal} in" for size in sizes)
    raise Refused(f"{sizes[0].family} has no size {nominal}. It has {there}. If the line is something else, measure "
                  "its bore and use that.", by="find_pipe")


def same_name(nominal):
    """Every family's pipe of one nominal size, from narrow to wide: one name, many bores.

    Parameters
    ----------
    nominal : str, float or Quantity
        As for :func:`find_pipe`.

    Returns
    -------
    list of PipeSize
        In SI numbers; empty if no family has the size.
    """
    wanted = _inches(nominal)
    return sorted((size for size in _rows() if _inches(size.nominal) == wanted),
                  key=lambda size: size.inside_diameter)
