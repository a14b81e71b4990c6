"""Which kind of compressor suits this pond?

Kinds of small machine differ in how hard and how much they push. The ranges here are open ranges of common
practice, with no source behind any number: a first look, to be replaced by the data sheet of the machine in
hand. They are in ``data/compressor-families.csv``.

What this leaves out: price, noise, service nearby, and duty: a machine rated for minutes an hour will not
last day and night, whatever its pressure.
"""

from typing import Any, NamedTuple

from ..datafiles import pick, read_table
from ..units import CFM, FOOT, PSI, YEAR, Q, Range, quantities, show
from .compressor import linear_curve

__all__ = ["Family", "Suitability", "family_names", "find_family", "suitable_families",
           "generic_curve", "renewal_years"]



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


def _families():
    made = []
    for row in read_table("compressor-families.csv"):
        def pair(what, unit, scale, row=row):
            return tuple(float(row[f"{what}_{end}_{unit}"]) * scale for end in ("low", "high"))
        made.append(Family(row["family"], pair("pressure", "psi", PSI), pair("depth", "ft", FOOT),
                           pair("flow", "cfm", CFM), row["wear_part"], pair("renew", "yr", YEAR),
                           row["note"], float(row["droop"])))
    return made


def family_names():
    """Names of the kinds of machine in the table."""
    return [family.name for family in _families()]


def find_family(name):
    """One kind of machine by its name or enough words of it, in SI numbers.

    Raises
    ------
    ValueError
        If there is no such kind; lists those there are.
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

    Parameters
    ----------
    depth : float
        m, of the diffuser.
    pressure_gauge : float
        Pa gauge the machine must hold, margin and aged diffuser included
        (``airline.pressure_budget(...).total``).
    flow_free_air : float
        m3/s of free air.
    system : {"US", "metric"}, optional
        Units of the words.

    Returns
    -------
    list of Suitability

    Notes
    -----
    "maybe" means up to 15 % outside a range. The lower ends of pressure and depth do not rule a machine
    out, only spoil its efficiency: they count as "maybe" at worst. All ranges are common practice, no source.
    """
    made = []
    for family in _families():
        asked = {"pressure": (pressure_gauge, family.pressure, "pressure", "Pa"),
                 "depth": (depth, family.depth, "depth", "m"),
                 "flow": (flow_free_air, family.flow_free_air, "air flow", "m3/s")}
        verdict, reasons = "yes", []
        for what, (value, (low, high), kind, unit) in asked.items():
            fit = _judge(value, low, high)
            if fit == "no" and value < low and what != "flow":
                fit = "maybe"
            if fit != "yes":
                side = "less" if value < low else "more"
                reasons.append(f"{show(Q(float(value), unit), kind, system, digits=2)} of {what} is {side} "
                               f"than its usual {show(Q(low, unit), kind, system, digits=2)} to "
                               f"{show(Q(high, unit), kind, system, digits=2)}")
            verdict = max((verdict, fit), key=("yes", "maybe", "no").index)
        words = {"yes": "Inside its usual ranges", "maybe": "At the edge: ", "no": "Does not fit: "}[verdict]
        made.append(Suitability(family, verdict, f"{words}{'; '.join(reasons)}. {family.note.capitalize()}."))
    return sorted(made, key=lambda item: ("yes", "maybe", "no").index(item.fits))


@quantities(flow_free_air_max="m^3/s")
def generic_curve(name, flow_free_air_max):
    """A straight curve of one kind of machine, for learning before a data sheet is in hand.

    Parameters
    ----------
    name : str
        As for :func:`find_family`.
    flow_free_air_max : float
        m3/s of free air with nothing in the way.

    Returns
    -------
    CompressorCurve
        From open air to the top of the kind's usual pressure range; common practice, no source.
    """
    family = find_family(name)
    return linear_curve.si(flow_free_air_max, family.pressure[1], family.droop, f"generic {family.name}")


def renewal_years(family):
    """Years between renewals of the part that wears, as a Range for :mod:`pondcalc.power_and_housing.lifecost`."""
    low, high = (value / YEAR for value in family.renewal)
    return Range(low, (low + high) / 2, high)
