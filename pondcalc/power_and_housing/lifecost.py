"""What does it cost over its whole life, not only in the shop?

The price tag is the small part. Electricity runs every hour, and the part that wears is renewed every year
or three. This module adds up years of both, in today's dollars, so that machines of different kinds can be
laid side by side.

Inside the package money is dollars, time s, power W.

What this leaves out: your own hours, lost fish, and what the pond gains. Prices are yours to fill in; none
is built in.
"""

from typing import Any, NamedTuple

import numpy as np

from ..limits import not_negative
from ..refusals import Refused
from ..units import DAY, YEAR, quantities, record
from . import housing

__all__ = ["Machine", "LifeCost", "present_value_factor", "life_cost"]



@record(price="dollar", power="W", kit_price="dollar", kit_interval="s", upkeep="dollar/year", life="s")
class Machine:
    """One compressor with its costs.

    Parameters
    ----------
    name : str
    price : float
        Dollars, bought and installed.
    power : float
        W, true power; measure it if you can.
    kit_price : float, optional
        Dollars for each renewal of the part that wears.
    kit_interval : float, optional
        s between renewals; default none.
    upkeep : float, optional
        Dollars a year: filters, oil.
    life : float, optional
        s until the whole machine is bought again; default it outlives the reckoning.
    """

    name: str
    price: Any
    power: Any
    kit_price: Any = 0.0
    kit_interval: Any = None
    upkeep: Any = 0.0
    life: Any = None

    def check(self):
        """Refuse costs below zero and intervals of nothing."""
        for name in ("price", "power", "kit_price", "upkeep"):
            if not getattr(self, name) >= 0:
                raise Refused(f"{name} of {self.name!r} must be 0 or more.", by="Machine")
        for name in ("kit_interval", "life"):
            value = getattr(self, name)
            if value is not None and not value > 0:
                raise Refused(f"{name} of {self.name!r} must be more than 0; leave it out for none.", by="Machine")


class LifeCost(NamedTuple):
    """Dollars over the years, in today's money, part by part; `replacements` are machines bought again."""

    purchase: Any
    electricity: Any
    kits: Any
    upkeep: Any
    replacements: Any
    total: Any


@quantities(years="s", gives="s")
def present_value_factor(years, discount_rate=0.0):
    """Years that a yearly cost counts for, in today's money.

    Parameters
    ----------
    years : float or array
        s; text such as ``"10 yr"``.
    discount_rate : float, optional
        A year, 0 or more, such as 0.03. It is over inflation, since prices here stay put.

    Returns
    -------
    float or array
        s: the years themselves without discount, fewer with it.

    Notes
    -----
    Payments at the end of each year: (1 - (1 + r)^-n)/r.
    """
    not_negative("present_value_factor", "Write 3 % as 0.03.", discount_rate=discount_rate)
    not_negative("present_value_factor", years=years)
    n = np.asarray(years, float) / YEAR
    return YEAR * (n if discount_rate == 0 else (1 - (1 + discount_rate) ** -n) / discount_rate)


def _every(interval, years, discount_rate):
    """How many payments fall due at each interval before the years are over, in today's money."""
    if interval is None:
        return 0.0
    due = np.arange(1, int(np.ceil(years / interval - 1e-9))) * interval / YEAR
    return float(np.sum((1 + discount_rate) ** -due))


@quantities(price="dollar/J", years="s", hours_a_day="s", days_a_year="s", gives=("dollar",) * 6)
def life_cost(machine, price, years, discount_rate=0.0, hours_a_day=DAY, days_a_year=365 * 86400.0):
    """Everything one machine costs over some years, part by part.

    Parameters
    ----------
    machine : Machine
    price : float
        Dollars a joule inside the package; from outside "$0.17/kWh".
    years : float
        s; text such as ``"10 yr"``.
    discount_rate : float, optional
        As for :func:`present_value_factor`.
    hours_a_day, days_a_year : float, optional
        As for :func:`pondcalc.power_and_housing.housing.energy_per_year`. Wear is counted by calendar time all
        the same.

    Returns
    -------
    LifeCost

    Notes
    -----
    A renewal that falls due on the last day is left out.
    """
    if not years > 0:
        raise Refused("the years must be more than 0. Write '10 yr'.", by="life_cost")
    weight = float(present_value_factor.si(years, discount_rate)) / YEAR
    electricity = float(housing.cost_per_year.si(machine.power, price, hours_a_day, days_a_year)) * weight
    kits = machine.kit_price * _every(machine.kit_interval, years, discount_rate)
    again = machine.price * _every(machine.life, years, discount_rate)
    parts = machine.price, electricity, kits, machine.upkeep * weight, again
    return LifeCost(*parts, sum(parts))
