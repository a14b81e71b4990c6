"""What would another plan for the same pond come to?

One thing is changed on purpose (the number of diffusers, their depth, the line, the kind of machine), all else is
held, and both plans are laid side by side. What a machine costs to buy and keep is an open range of common
practice without a source: put in the offers you get.

What this leaves out: short branches to each diffuser, placing, and how well the parts can be bought nearby.
"""

import warnings
from typing import Any, NamedTuple

from .. import air
from ..back_pressure import families
from ..bubbles_and_oxygen import plume
from ..power_and_housing import lifecost
from ..refusals import Refused
from ..units import DAY, FOOT, YEAR, Q, Range, show, show_range
from . import plan, planchoice

__all__ = ["TEN_YEARS", "Alternative", "alternative", "changed_plan", "changes", "season", "side_by_side", "ten_years"]

TEN_YEARS = 10 * YEAR
# dollars, dollars a year and years of a small machine; common practice, no source
PURCHASE, KIT, UPKEEP, LIFE = (Range(300.0, 600.0, 1200.0), Range(60.0, 90.0, 150.0), Range(15.0, 30.0, 60.0),
                               Range(5.0, 8.0, 12.0))
RENEWAL = Range(1.0, 2.0, 3.0)          # years between renewals of the part that wears; common practice, no source


class Alternative(NamedTuple):
    """One plan with what it lifts and what it costs; None where no air arrives.

    `lifted` is m3/s, `turnover` s, `ten_years` plain dollars.
    """

    name: str
    plan: Any
    lifted: Any
    turnover: Any
    ten_years: Any


def ten_years(power, price, days=365 * DAY):
    """All that one small machine costs in ten years, in today's dollars.

    Parameters
    ----------
    power : Range
        W at the cord.
    price : float
        Dollars a joule, which stays put.
    days : float, optional
        s of running in a year; wear is counted by the calendar all the same.

    Returns
    -------
    Range
        Dollars. The low end puts every low cost and long life together, the high end the reverse.
    """
    def total(watts, purchase, kit, upkeep, interval, life):
        machine = lifecost.Machine.si("", purchase, watts, kit, interval * YEAR, upkeep, life * YEAR)
        return float(lifecost.life_cost.si(machine, price, TEN_YEARS, days_a_year=days).total)
    each = zip(power, PURCHASE, KIT, UPKEEP, RENEWAL[::-1], LIFE[::-1], strict=True)
    return Range(*(total(*row) for row in each))


def alternative(name, choices):
    """A plan worked out with what it lifts and what it costs in ten years."""
    made = plan.first_plan(choices)
    if made.point is None:
        return Alternative(name, made, None, None, None)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)            # the plan's own notes say the same
        lifted = plume.lifted_water.si(made.point.flow_free_air, choices.submergence, choices.diffusers,
                                       surface_pressure_absolute=air.pressure_by_elevation.si(choices.elevation))
    turnover = Range(choices.volume.low / lifted.high, choices.volume.usual / lifted.usual,
                     choices.volume.high / lifted.low)
    return Alternative(name, made, Range(*map(float, lifted)), turnover,
                       ten_years(made.power, choices.price, choices.days))


def _shallower(c):
    return plan.changed(c, deepest=c.deepest - 3 * FOOT)


def _of_kind(name):
    return lambda c: plan.changed(c, curve=families.generic_curve.si(name, _open_flow(c)))


def _open_flow(c):
    """Most air of the machine, m3/s: at the first point of a saved curve."""
    return c.open_flow if c.curve is None else float(c.curve.flow_free_air[0])


def changes():
    """What another plan may do otherwise: words, and a function of the choices; each kind of machine is one."""
    return {**CHANGES, **{f"A generic {name} machine": _of_kind(name) for name in families.family_names()}}


CHANGES = {
    "One diffuser more, on the same air": lambda c: plan.changed(c, diffusers=c.diffusers + 1),
    "Diffuser 3 ft (0.9 m) higher": _shallower,
    "A line of 3/4 the bore": lambda c: plan.changed(c, inside_diameter=0.75 * c.inside_diameter),
    "A line of 1-1/2 times the bore": lambda c: plan.changed(c, inside_diameter=1.5 * c.inside_diameter),
    "Half the air": lambda c: planchoice.resized(c, 0.5),
}


def changed_plan(choices, change):
    """The plan as it stands and the plan with one change, as two Alternatives.

    Raises
    ------
    ValueError
        If there is no such change, or the pond does not allow it.
    """
    known = changes()
    if change not in known:
        raise Refused(f"{change!r} is no change. Choose: {'; '.join(known)}.", by="changed_plan")
    return alternative("The plan", choices), alternative(change, known[change](choices))


def season(choices):
    """Which days a year's cost is counted for, where the air does not run all year."""
    days = round(choices.days / DAY)
    return "" if days == 365 else f", {days} days"


def _rows(one, system):
    def number(value, unit, kind):
        return show(Q(float(value), unit), kind, system, digits=plan.digits(kind))

    def span(values, unit, kind):
        if show(Q(float(values.low), unit), kind, digits=2) == show(Q(float(values.high), unit), kind, digits=2):
            return number(values.usual, unit, kind)
        return show_range(Q(float(values.low), unit), Q(float(values.high), unit), kind, system)
    made, c = one.plan, one.plan.choices
    rows = {"Diffusers": f"{c.diffusers:.0f}, {number(c.submergence, 'm', 'depth')} down",
            "Bore of the line": number(c.inside_diameter, "m", "bore"),
            "Pressure to ask for": number(made.pressure.total, "Pa", "pressure")}
    if made.point is None:
        return rows | {"Air that arrives": "none"}
    return rows | {"Air that arrives": number(made.point.flow_free_air, "m3/s", "air flow"),
                   "Water lifted": span(one.lifted, "m3/s", "water flow"),
                   "One pond volume": span(one.turnover, "s", "time"),
                   "Power": span(made.power, "W", "power"),
                   f"Cost of a year{season(c)}": span(made.cost, "$/yr", "money a year"),
                   "Ten years of the machine": span(one.ten_years, "dollar", "money")}


def side_by_side(alternatives, system="US"):
    """Plans in columns: a list of rows, the first holding their names; an empty cell where there is no number."""
    columns = [_rows(one, system) for one in alternatives]
    words = max(columns, key=len)
    return [["", *(one.name for one in alternatives)],
            *([word, *(column.get(word, "") for column in columns)] for word in words)]
