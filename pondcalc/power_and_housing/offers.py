"""What would each offer on the table cost over the years, at this depth?

An offer is a price, a kind of machine and how well it uses electricity. The depth of the diffuser sets the
pressure, the pressure and the flow set the least power, and the offer's efficiency the power at the cord. Every
step is a range, so every total is one too.

The offers in ``data/demo-offers.csv`` are invented, to practise on. Put real quotes in their place.

What this leaves out: the curve of each machine (all are taken to give the same flow), your own hours, and what
the pond gains.
"""

from typing import Any, NamedTuple

from ..back_pressure import airline, compressor, families
from ..datafiles import read_table
from ..units import DAY, Q, Range, quantities, show, show_range
from . import lifecost

__all__ = ["Offer", "OfferCost", "read_offers", "offer_cost", "offer_costs", "say_offers"]

LINE = airline.Line("250 ft", "0.824 in")


class Offer(NamedTuple):
    """One offer: dollars, a kind of machine, Range of efficiency, dollars a kit, years of life as a pair."""

    name: str
    family: str
    price: float
    efficiency: Range
    kit_price: float
    life: tuple


class OfferCost(NamedTuple):
    """What one offer comes to; plain dollars, W and Pa.

    `fits` is "yes", "maybe" or "no"; when it is "no" the costs are None. `usual` is a
    :class:`pondcalc.power_and_housing.lifecost.LifeCost`, `total` a Range.
    """

    offer: Offer
    fits: str
    words: str
    power: Any
    usual: Any
    total: Any


def read_offers():
    """The four invented offers of the demonstration pond."""
    return [Offer(row["offer"], row["family"], float(row["price_usd"]),
                  Range(*(float(row[f"efficiency_{end}"]) for end in ("low", "usual", "high"))),
                  float(row["kit_usd"]), (float(row["life_low_yr"]), float(row["life_high_yr"])))
            for row in read_table("demo-offers.csv")]


def _spread(pair):
    """Usual value of a pair: its middle."""
    return Range(pair[0], sum(pair) / 2, pair[1])


def offer_cost(offer, suitability, power, price, years, hours_a_day=DAY):
    """Cost of one offer, in plain SI numbers.

    Parameters
    ----------
    offer : Offer
    suitability : pondcalc.back_pressure.families.Suitability
    power : Range
        W.
    price : float
        Dollars a joule.
    years, hours_a_day : float
        s.

    Returns
    -------
    OfferCost
        The low total takes the low power, the long interval between kits and the long life.
    """
    if suitability.fits == "no":
        return OfferCost(offer, "no", suitability.words, None, None, None)
    kits, life = families.renewal_years(suitability.family), _spread(offer.life)
    costs = []
    for watts, kit, lasts in zip(power, reversed(kits), reversed(life), strict=True):
        machine = lifecost.Machine.si(offer.name, offer.price, watts, offer.kit_price, kit * lifecost.YEAR, 0.0,
                                      lasts * lifecost.YEAR)
        costs.append(lifecost.life_cost.si(machine, price, years, hours_a_day=hours_a_day))
    return OfferCost(offer, suitability.fits, suitability.words, power, costs[1],
                     Range(*(cost.total for cost in costs)))


@quantities(depth="m", flow_free_air="m^3/s", price="dollar/J", years="s", hours_a_day="s", elevation="m")
def offer_costs(offers, depth, flow_free_air, price, years, hours_a_day=DAY, elevation=0.0, system="US"):
    """Every offer at one depth and flow, in the order given.

    Parameters
    ----------
    offers : sequence of Offer
    depth : float
        m, of the diffuser.
    flow_free_air : float
        m3/s of free air.
    price : float
        Dollars a joule inside the package; from outside "$0.17/kWh".
    years, hours_a_day, elevation : float
        s, s and m; text such as ``"10 yr"`` and ``"24 h"``.
    system : {"US", "metric"}, optional
        Units of the words.

    Returns
    -------
    list of OfferCost
    """
    budget = airline.pressure_budget.si(depth, LINE, flow_free_air, elevation=elevation)
    fits = {item.family.name: item for item in
            families.suitable_families.si(depth, float(budget.total), flow_free_air, system)}
    made = []
    for offer in offers:
        power = compressor.wire_power.si(flow_free_air, float(budget.working), elevation, efficiency=offer.efficiency)
        made.append(offer_cost(offer, fits[offer.family], Range(*map(float, power)), price, years, hours_a_day))
    return made


def say_offers(costs):
    """One line an offer: shop price, power, and the total with its range."""
    lines = []
    for cost in costs:
        start = f"{cost.offer.name:12}"
        if cost.fits == "no":
            lines.append(f"{start} does not fit this depth and flow")
            continue
        low, usual, high = (Q(v, "dollar") for v in cost.total)
        watts = show_range(Q(cost.power.low, "W"), Q(cost.power.high, "W"), "power")
        lines.append(f"{start} {show(Q(cost.offer.price, 'dollar'), 'money')} in the shop, {watts}, "
                     f"{show(usual, 'money')} in all ({show_range(low, high, 'money')})")
    return "\n".join(lines)
