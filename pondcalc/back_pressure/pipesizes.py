"""What is the line made of: how wide is a size really, and will it stay on the bottom?

A nominal size is a name, not a measurement. Families of pipe keep either the outside or the inside the same, and let
the wall take the rest, so one name covers bores that differ by a quarter and losses that differ three times. The table
is ``data/pipe-sizes.csv``; each row says which standard it follows and whether the number was read there, worked out,
or recalled.

A line full of air floats, however heavy it felt in the shop: it pushes aside a column of water as wide as its outside,
and the air inside weighs next to nothing. A weight helps only with what it weighs *under water*, which for a brick is
half and for concrete somewhat more. Lengths are m, masses kg, densities kg/m3; lift is kg of water for each metre.

What this leaves out: wear, ovalness of coiled tube, and makers who follow no standard, so measure the bore where you
can; currents, ice that lifts a line near the shore, and anchors that a fishhook or a boat drags. Use weights without
sharp edges, and tie them so that they cannot chafe the line.
"""

from fractions import Fraction
from typing import Annotated, Any, NamedTuple

import numpy as np

from .. import units
from ..datafiles import pick, read_table
from ..refusals import Refused
from ..spellings import quoted
from ..units import INCH, Quantity, QuantityError, quantities, read_quantity


class PipeSize(NamedTuple):
    """One size of one family; diameters in m inside the package.

    `bore_is` says what the inside diameter stands for: the average of the tolerance, or the nominal one.
    """

    family: str
    nominal: str
    inside_diameter: Annotated[Any, "m"]
    outside_diameter: Annotated[Any, "m"]
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

    family: Its name or enough words of it, such as ``"PVC"``; see :func:`pipe_families`.
    Returns: list of PipeSize.
    """
    name = pick(family, pipe_families(), "family of pipe")
    return sorted((size for size in _rows() if size.family == name), key=lambda size: size.inside_diameter)


@quantities(gives=PipeSize)
def find_pipe(family, nominal):
    """Inside diameter of a pipe by its family and the size printed on it.

    family: Its name or enough words of it, such as ``"PVC"`` or ``"SDR 11"``.
    nominal (str, float or Quantity): Nominal size, such as ``"3/4 in"``; a bare number means inches, since it is a
        name here.
    Raises ValueError: If there is no such family or size; lists those there are.
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

    nominal: As for :func:`find_pipe`. The list is empty if no family has the size.
    """
    wanted = _inches(nominal)
    return sorted((size for size in _rows() if _inches(size.nominal) == wanted),
                  key=lambda size: size.inside_diameter)


PE_DENSITY = 945.0          # kg/m3 of polyethylene pipe, from memory: 0.94 to 0.96 is usual
WATER_DENSITY = 998.2       # kg/m3, at 20 C
MARGIN = 1.5                # times the bare lift, a choice: weights slip, and lines catch bubbles from below


@quantities(outside_diameter="m", inside_diameter="m", wall_density="kg/m^3", air_share="", water_density="kg/m^3",
            gives="")
def lift_share(outside_diameter, inside_diameter, wall_density=PE_DENSITY, air_share=1.0, water_density=WATER_DENSITY):
    """Net upward pull of a line under water, as a share of the weight of the water it pushes aside.

    outside_diameter, inside_diameter (float or array): m; the first more than the second.
    wall_density (float or array): kg/m3 of the tube's material; default :data:`PE_DENSITY`.
    air_share (float or array): Share of the bore that holds air, 0 to 1. A working air line is always 1.
    water_density (float or array): kg/m3, by default that at 20 C.
    Returns: float or array: Positive where it floats. Air is taken as weightless.

    1 - [wall (D^2 - d^2) + water d^2 (1 - share)]/(water D^2).
    References: Plastics Pipe Institute, Handbook of Polyethylene Pipe, 2nd ed., ch. 10, Table 1 (its K is minus
        this).
    """
    outside, inside, share = (np.asarray(v, float) for v in (outside_diameter, inside_diameter, air_share))
    if np.any(~((inside > 0) & (outside > inside))):
        raise Refused("the outside diameter must be more than the inside, and both more than 0. Check which is which.",
                      by="lift_share")
    units.share("lift_share", "0 is full of water, 1 full of air.", share_of_air=share)
    bore = (inside / outside) ** 2
    return 1 - (1 - bore) * wall_density / water_density - bore * (1 - share)


@quantities(outside_diameter="m", inside_diameter="m", wall_density="kg/m^3", gives="kg/m")
def net_lift(outside_diameter, inside_diameter, wall_density=PE_DENSITY):
    """Weight under water that just holds each metre of a line full of air down, kg/m; negative where it sinks.

    outside_diameter, inside_diameter, wall_density: As for :func:`lift_share`.
    """
    return lift_share(outside_diameter, inside_diameter, wall_density) * neutral_tube_mass(outside_diameter)


@quantities(outside_diameter="m", gives="kg/m")
def neutral_tube_mass(outside_diameter):
    """Mass of each metre of tube (m outside) that just neither floats nor sinks when full of air, kg/m.

    Compare it with the maker's weight for each 100 ft of "self-sinking" tube.
    """
    return WATER_DENSITY * np.pi / 4 * np.asarray(outside_diameter, float) ** 2


@quantities(weight_density="kg/m^3", gives="")
def submerged_share(weight_density):
    """Share of its weight that a weight keeps under water: 0.5 for brick, 0.58 for concrete, 0.87 for steel.

    weight_density (float or array): kg/m3: common brick about 2000, concrete 2400, steel 7850 (from memory).
    Returns: float or array: Negative for what floats.
    """
    units.positive("submerged_share", weight_density=weight_density)
    return 1 - WATER_DENSITY / np.asarray(weight_density, float)


@quantities(outside_diameter="m", inside_diameter="m", length="m", weight_density="kg/m^3", wall_density="kg/m^3",
            gives="kg")
def weight_mass(outside_diameter, inside_diameter, length, weight_density=2000.0, margin=MARGIN,
                wall_density=PE_DENSITY):
    """Mass, weighed in air, of the weights that hold a length of air line on the bottom.

    outside_diameter, inside_diameter (float or array): m.
    length (float or array): m of line under water.
    weight_density (float or array): kg/m3 of the weights; default 2000, brick.
    margin: Times the bare lift, 1 or more; default 1.5, a choice.
    wall_density: As for :func:`lift_share`.
    Returns: float or array: kg in all; 0 for a line that sinks by itself.
    """
    keeps = submerged_share(weight_density)
    if np.any(~(keeps > 0)):
        raise Refused("these weights float. Use brick, concrete, stone or steel.", by="weight_mass")
    if not margin >= 1:
        raise Refused(f"the margin is {margin}, but it must be 1 or more.", by="weight_mass")
    return np.maximum(net_lift(outside_diameter, inside_diameter, wall_density), 0.0) * length * margin / keeps


@quantities(outside_diameter="m", inside_diameter="m", each_mass="kg", weight_density="kg/m^3",
            wall_density="kg/m^3", gives="m")
def weight_spacing(outside_diameter, inside_diameter, each_mass, weight_density=2000.0, margin=MARGIN,
                   wall_density=PE_DENSITY):
    """How far apart weights of one size may lie, m; infinite for a line that sinks by itself.

    each_mass (float or array): kg of one weight in air; the others are as for :func:`weight_mass`.
    """
    units.positive("weight_spacing", each_mass=each_mass)
    for_one_metre = weight_mass(outside_diameter, inside_diameter, 1.0, weight_density, margin, wall_density)
    with np.errstate(divide="ignore"):
        return np.divide(each_mass, for_one_metre)
