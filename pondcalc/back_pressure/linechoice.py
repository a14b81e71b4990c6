"""Which size of line is worth its price?

A wide line costs more once; a narrow one costs more every hour, because the compressor pushes harder. The
loss falls with almost the fifth power of the bore, so there is a size past which more bore buys nothing
that a gauge could show.

Inside the package money is dollars, lengths m, time s, power W.

What this leaves out: trench, fittings and labor that do not change with size; the air a pushed compressor
no longer delivers (see ``compressor.operating_point``); and the pressure it no longer reaches as the
diffuser ages, which argues for one size more.
"""

from typing import Any, NamedTuple

import numpy as np

from ..power_and_housing import housing
from ..power_and_housing.lifecost import YEAR, present_value_factor
from ..refusals import Refused
from ..units import Q, quantities, show
from . import airline
from .compressor import WIRE_EFFICIENCY, adiabatic_power
from .lineflow import Chokes, Line

__all__ = ["LineChoice", "choose_line", "prices_by_plastic"]

NEGLIGIBLE = 0.01       # share of the gauge reading below which a loss is lost in the doubt of the gauge


class LineChoice(NamedTuple):
    """Sizes side by side, from narrow to wide.

    Arrays, one a size: m bore, Pa lost in the line, Pa gauge at the compressor, W at the cord, dollars for
    pipe, for electricity over the years, and for both. A size that chokes has infinite loss and cost. Then
    the place in the arrays of the cheapest, that of the size past which more bore buys nothing, and words.
    """

    inside_diameter: Any
    line_loss: Any
    pressure_gauge: Any
    power: Any
    pipe_cost: Any
    energy_cost: Any
    total_cost: Any
    cheapest: int
    enough: int
    words: str


def _budget(depth, length, bore, flow, options):
    try:
        return airline.pressure_budget.si(depth, Line.si(length, bore), flow, **options)
    except Chokes:
        return None


@quantities(outside_diameter="m", inside_diameter="m", known_price="dollar/m", gives="dollar/m")
def prices_by_plastic(outside_diameter, inside_diameter, known_price, known):
    """Prices of all sizes of one family from the price of one, if price goes with the plastic in the wall.

    Parameters
    ----------
    outside_diameter, inside_diameter : array, shape (n,)
        m.
    known_price : float
        Dollars for each metre of one size.
    known : int
        Place of that size in the arrays.

    Returns
    -------
    array
        Dollars a metre. A guess for learning; shops price small and large sizes as they like.
    """
    wall = np.asarray(outside_diameter, float)**2 - np.asarray(inside_diameter, float)**2
    if not (np.all(wall > 0) and known_price >= 0):
        raise Refused("each outside diameter must be more than the inside, and the price 0 or more.",
                      by="prices_by_plastic")
    return known_price * wall / wall[known]


@quantities(inside_diameter="m", pipe_price="dollar/m", length="m", flow_free_air="m^3/s", depth="m",
            price="dollar/J", years="s", elevation="m",
            gives=("m", "Pa", "Pa", "W", "dollar", "dollar", "dollar", None, None, None))
def choose_line(inside_diameter, pipe_price, length, flow_free_air, depth, price, years, discount_rate=0.0,
                efficiency=WIRE_EFFICIENCY.usual, elevation=0.0, names=None, options=None, system="US"):
    """Cost of pipe against electricity over the years, for each size of line.

    Parameters
    ----------
    inside_diameter : array, shape (n,)
        m, of each size; any order, returned from narrow to wide.
    pipe_price : array, shape (n,)
        Dollars for each metre of that size.
    length : float
        m of line.
    flow_free_air : float
        m3/s of free air to deliver.
    depth : float
        m of the diffuser.
    price : float
        Dollars a joule; from outside "$0.17/kWh".
    years : float
        s; text such as ``"10 yr"``.
    discount_rate : float, optional
        As for :func:`pondcalc.power_and_housing.lifecost.present_value_factor`.
    efficiency : float, optional
        Adiabatic power over electric power; default 0.3, from memory.
    elevation : float, optional
        m.
    names : sequence of str, optional
        What to call each size; default its bore.
    options : dict, optional
        Further plain-number arguments of :func:`pondcalc.back_pressure.airline.pressure_budget`.
    system : {"US", "metric"}, optional
        Units of the words.

    Returns
    -------
    LineChoice

    Notes
    -----
    `enough` is the first size whose loss is under 1 % of the gauge reading: a dial gauge reads no better
    than 2 to 3 % (common practice, no source), so nobody could tell it from a wider one. Where no size
    is so wide it is the widest.
    """
    bores, prices = np.atleast_1d(inside_diameter).astype(float), np.atleast_1d(pipe_price).astype(float)
    if bores.shape != prices.shape:
        raise Refused(f"{bores.size} bores and {prices.size} prices. Give one price for each size.", by="choose_line")
    if not (np.all(prices >= 0) and 0 < efficiency <= 1 and flow_free_air > 0):
        raise Refused("prices must be 0 or more, the flow more than 0, the efficiency over 0 to 1.", by="choose_line")
    order = np.argsort(bores, kind="stable")
    bores, prices = bores[order], prices[order]
    labels = ([names[i] for i in order] if names
              else [show(Q(float(bore), "m"), "bore", system) for bore in bores])
    budgets = [_budget(depth, length, bore, flow_free_air, {"elevation": elevation, **(options or {})})
               for bore in bores]
    loss = np.array([b.line if b else np.inf for b in budgets], float)
    gauge = np.array([b.working if b else np.inf for b in budgets], float)
    fits = np.isfinite(gauge)
    power = np.full(bores.shape, np.inf)
    power[fits] = adiabatic_power.si(flow_free_air, gauge[fits], elevation) / efficiency
    energy = np.full(bores.shape, np.inf)
    energy[fits] = (housing.cost_per_year.si(power[fits], price)
                    * float(present_value_factor.si(years, discount_rate)) / YEAR)
    pipe = prices * length
    total = pipe + energy
    cheapest = int(np.argmin(total))
    small = np.flatnonzero(loss < NEGLIGIBLE * gauge)
    enough = int(small[0]) if small.size else len(bores) - 1
    return LineChoice(bores, loss, gauge, power, pipe, energy, total, cheapest, enough,
                      _words(labels, loss, total, cheapest, enough, bool(small.size), system))


def _words(labels, loss, total, cheapest, enough, reached, system):
    if not np.isfinite(total[cheapest]):
        return "Every size here chokes at this flow. Give wider ones."
    best = (f"Cheapest over the years: {labels[cheapest]}, "
            f"{show(Q(float(total[cheapest]), 'dollar'), 'money')}, with "
            f"{show(Q(float(loss[cheapest]), 'Pa'), 'pressure', system, digits=2)} lost in the line.")
    if not reached:
        return best + " Even the widest size here loses more than 1 % of the gauge reading."
    return best + (f" Past {labels[enough]} more bore buys nothing a gauge could show: the line takes "
                   f"{show(Q(float(loss[enough]), 'Pa'), 'pressure', system, digits=2)}.")
