"""What does it cost over its whole life, not only in the shop: a machine, a line, an offer?

The price tag is the small part. Electricity runs every hour, and the part that wears is renewed every year or three.
Years of both are added up in today's dollars, so that machines of different kinds can be laid side by side. Inside the
package money is dollars, time s, lengths m, power W.

A wide line costs more once; a narrow one costs more every hour, because the compressor pushes harder. The loss falls
with almost the fifth power of the bore, so there is a size past which more bore buys nothing that a gauge could show.

An offer is a price, a kind of machine and how well it uses electricity. The depth of the diffuser sets the pressure,
pressure and flow set the least power, and the efficiency the power at the cord; every step is a range, so every total
is one too. The offers in ``data/demo-offers.csv`` are invented, to practise on: put real quotes in their place. A
reader's offers are first set against the saved line (:mod:`pondcalc.back_pressure.reach`). Only those that reach, send
enough air and name believable watts are ranked by cost. A machine that cannot make a bubble costs nothing to compare;
one of which too little was told waits for an answer of its seller.

What this leaves out: your own hours, lost fish, and what the pond gains; a machine that fails and is bought again. Of a
line: trench, fittings and labor that do not change with size, the air a pushed compressor no longer delivers (see
``compressor.operating_point``), and the pressure it no longer reaches as the diffuser ages, which argues for one size
more. Of the invented offers: the curve of each machine, for all are taken to give the same flow. Prices are yours to
fill in; none is built in.
"""

from typing import Annotated, Any, NamedTuple

import numpy as np

from ..back_pressure import airline, compressor, lineplan, reach
from ..back_pressure.airline import Chokes, Line
from ..back_pressure.compressor import WIRE_EFFICIENCY, adiabatic_power
from ..catalogue import held
from ..datafiles import read_table
from ..refusals import Refused
from ..units import DAY, YEAR, QuantityError, Range, asked, quantities, read_quantity, record, show, show_range
from . import housing


@record(price="dollar", power="W", kit_price="dollar", kit_interval="s", upkeep="dollar/year", life="s")
class Machine:
    """One compressor with its costs.

    name (str).
    price: Dollars, bought and installed.
    power: W, true power; measure it if you can.
    kit_price: Dollars for each renewal of the part that wears.
    kit_interval: s between renewals; default none.
    upkeep: Dollars a year: filters, oil.
    life: s until the whole machine is bought again; default it outlives the reckoning.
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

    purchase: Annotated[Any, "dollar"]
    electricity: Annotated[Any, "dollar"]
    kits: Annotated[Any, "dollar"]
    upkeep: Annotated[Any, "dollar"]
    replacements: Annotated[Any, "dollar"]
    total: Annotated[Any, "dollar"]


def _times(interval, years):
    """How often a payment falls due at each interval before the years are over."""
    return 0 if interval is None else max(int(np.ceil(years / interval - 1e-9)) - 1, 0)


@quantities(price="dollar/J", years="s", hours_a_day="s", days_a_year="s", gives=LifeCost)
def life_cost(machine, price, years, hours_a_day=DAY, days_a_year=365 * DAY):
    """Everything one machine costs over some years, part by part, without interest.

    machine (Machine).
    price: Dollars a joule inside the package; from outside "$0.17/kWh".
    years: s; text such as ``"10 yr"``.
    hours_a_day, days_a_year: As for :func:`pondcalc.power_and_housing.housing.energy_per_year`. Wear is counted by
        calendar time all the same.

    A renewal that falls due on the last day is left out.
    """
    if not years > 0:
        raise Refused("the years must be more than 0. Write '10 yr'.", by="life_cost")
    parts = (machine.price, float(housing.cost_per_year(machine.power, price, hours_a_day, days_a_year)) * years / YEAR,
             machine.kit_price * _times(machine.kit_interval, years), machine.upkeep * years / YEAR,
             machine.price * _times(machine.life, years))
    return LifeCost(*parts, sum(parts))


NEGLIGIBLE = 0.01       # share of the gauge reading below which a loss is lost in the doubt of the gauge


class LineChoice(NamedTuple):
    """Sizes side by side, from narrow to wide.

    Arrays, one a size: m bore, Pa lost in the line, Pa gauge at the compressor, W at the cord, dollars for
    pipe, for electricity over the years, and for both. A size that chokes has infinite loss and cost. Then
    the place in the arrays of the cheapest, that of the size past which more bore buys nothing, and words.
    """

    inside_diameter: Annotated[Any, "m"]
    line_loss: Annotated[Any, "Pa"]
    pressure_gauge: Annotated[Any, "Pa"]
    power: Annotated[Any, "W"]
    pipe_cost: Annotated[Any, "dollar"]
    energy_cost: Annotated[Any, "dollar"]
    total_cost: Annotated[Any, "dollar"]
    cheapest: int
    enough: int
    words: str


def _budget(depth, length, bore, flow, elevation):
    try:
        return airline.pressure_budget(depth, Line(length, bore), flow, elevation=elevation)
    except Chokes:
        return None


@quantities(outside_diameter="m", inside_diameter="m", known_price="dollar/m", gives="dollar/m")
def prices_by_plastic(outside_diameter, inside_diameter, known_price, known):
    """Prices of all sizes of one family from the price of one, if price goes with the plastic in the wall.

    outside_diameter, inside_diameter (array, shape (n,)): m.
    known_price: Dollars for each metre of one size.
    known: Place of that size in the arrays.
    Returns: array: Dollars a metre. A guess for learning; shops price small and large sizes as they like.
    """
    wall = np.asarray(outside_diameter, float)**2 - np.asarray(inside_diameter, float)**2
    if not (np.all(wall > 0) and known_price >= 0):
        raise Refused("each outside diameter must be more than the inside, and the price 0 or more.",
                      by="prices_by_plastic")
    return known_price * wall / wall[known]


@quantities(inside_diameter="m", pipe_price="dollar/m", length="m", flow_free_air="m^3/s", depth="m",
            price="dollar/J", years="s", elevation="m", gives=LineChoice)
def choose_line(inside_diameter, pipe_price, length, flow_free_air, depth, price, years,
                efficiency=WIRE_EFFICIENCY.usual, elevation=0.0, names=None):
    """Cost of pipe against electricity over the years, for each size of line.

    inside_diameter (array, shape (n,)): m, of each size; any order, returned from narrow to wide.
    pipe_price (array, shape (n,)): Dollars for each metre of that size.
    length: m of line.
    flow_free_air: m3/s of free air to deliver.
    depth: m of the diffuser.
    price: Dollars a joule; from outside "$0.17/kWh".
    years: s; text such as ``"10 yr"``.
    efficiency: Adiabatic power over electric power; default 0.3, from memory.
    elevation: m.
    names (sequence of str): What to call each size; default its bore.

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
    labels = [names[i] for i in order] if names else [show(bore, "bore") for bore in bores]
    budgets = [_budget(depth, length, bore, flow_free_air, elevation) for bore in bores]
    loss, gauge = (np.array([getattr(b, part) if b else np.inf for b in budgets], float)
                   for part in ("line", "working"))
    power, energy, fits = np.full(bores.shape, np.inf), np.full(bores.shape, np.inf), np.isfinite(gauge)
    power[fits] = adiabatic_power(flow_free_air, gauge[fits], elevation) / efficiency
    energy[fits] = housing.cost_per_year(power[fits], price) * years / YEAR
    pipe = prices * length
    total = pipe + energy
    cheapest, small = int(np.argmin(total)), np.flatnonzero(loss < NEGLIGIBLE * gauge)
    enough = int(small[0]) if small.size else len(bores) - 1
    return LineChoice(bores, loss, gauge, power, pipe, energy, total, cheapest, enough,
                      _words(labels, loss, total, cheapest, enough, bool(small.size)))


def _words(labels, loss, total, cheapest, enough, reached):
    if not np.isfinite(total[cheapest]):
        return "Every size here chokes at this flow. Give wider ones."
    best = (f"Cheapest over the years: {labels[cheapest]}, {show(total[cheapest], 'money')}, with "
            f"{show(loss[cheapest], 'pressure', digits=2)} lost in the line.")
    if not reached:
        return best + " Even the widest size here loses more than 1 % of the gauge reading."
    return best + (f" Past {labels[enough]} more bore buys nothing a gauge could show: the line takes "
                   f"{show(loss[enough], 'pressure', digits=2)}.")


LINE = asked(airline.Line)("250 ft", "0.824 in")


class Offer(NamedTuple):
    """One offer: dollars, a kind of machine, Range of efficiency, dollars a kit, s of life as a pair."""

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

    @property
    def edge(self):
        """What stands on the line of its cost where it is not sure that such a machine does; empty where it is."""
        return "" if self.fits == "yes" else ", at the edge of its kind"


def read_offers():
    """The four invented offers of the demonstration pond."""
    return [Offer(row["offer"], row["family"], float(row["price_usd"]),
                  Range(*(float(row[f"efficiency_{end}"]) for end in ("low", "usual", "high"))),
                  float(row["kit_usd"]), tuple(float(row[f"life_{end}_yr"]) * YEAR for end in ("low", "high")))
            for row in read_table("demo-offers.csv")]


def offer_cost(offer, suitability, power, price, years, hours_a_day=DAY):
    """Cost of one offer, in plain SI numbers.

    offer (Offer), suitability (pondcalc.back_pressure.compressor.Suitability).
    power (Range): W.
    price: Dollars a joule.
    years, hours_a_day: s.
    Returns: OfferCost: The low total takes the low power, the long interval between kits and the long life.
    """
    if suitability.fits == "no":
        return OfferCost(offer, "no", suitability.words, None, None, None)
    kits, life = (Range(low, (low + high) / 2, high) for low, high in (suitability.family.renewal, offer.life))
    costs = []
    for watts, kit, lasts in zip(power, reversed(kits), reversed(life), strict=True):
        machine = Machine(offer.name, offer.price, watts, offer.kit_price, kit, 0.0, lasts)
        costs.append(life_cost(machine, price, years, hours_a_day=hours_a_day))
    return OfferCost(offer, suitability.fits, suitability.words, power, costs[1],
                     Range(*(cost.total for cost in costs)))


@quantities(depth="m", flow_free_air="m^3/s", price="dollar/J", years="s", hours_a_day="s", elevation="m")
def offer_costs(offers, depth, flow_free_air, price, years, hours_a_day=DAY, elevation=0.0):
    """Every offer at one depth and flow, in the order given.

    offers (sequence of Offer).
    depth: m, of the diffuser.
    flow_free_air: m3/s of free air.
    price: Dollars a joule inside the package; from outside "$0.17/kWh".
    years, hours_a_day, elevation: s, s and m; text such as ``"10 yr"`` and ``"24 h"``.
    Returns: list of OfferCost.
    """
    budget = airline.pressure_budget(depth, LINE, flow_free_air, elevation=elevation)
    fits = {item.family.name: item for item in
            compressor.suitable_families(depth, float(budget.total), flow_free_air)}
    made = []
    for offer in offers:
        power = compressor.wire_power(flow_free_air, float(budget.working), elevation, offer.efficiency)
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
        low, usual, high = cost.total
        watts = show_range(cost.power.low, cost.power.high, "power")
        lines.append(f"{start} {show(cost.offer.price, 'money')} in the shop, {watts}, "
                     f"{show(usual, 'money')} in all ({show_range(low, high, 'money')}){cost.edge}")
    return "\n".join(lines)


MONTH = 365 * DAY / 12
AT_MY_PRESSURE = "at my pressure"       # what watts that were told for the pond's own pressure are called


class Quote(NamedTuple):
    """One offer: dollars, :class:`reach.Told`, Electricity of :mod:`.housing`, dollars a year of parts and service."""

    name: str
    price: float
    told: Any
    electricity: Any
    upkeep: float


def quote(name, price, told, highest, electricity, upkeep):
    """An offer from its boxes: what they say of the highest pressure (Pa) and of day and night joins the air.

    Of the name only that it must rest is believed: a shop may be called “24/7”.
    """
    named = reach.Told(duty=reach.take_duty(name)[0])
    return Quote(name, price, told.joined(highest, electricity.duty, named.duty if named.rests else ""), electricity,
                 upkeep)


class Judged(NamedTuple):
    """One offer set against the line.

    `reach` is None where no line is saved. `efficiency` is air power over the most electric power told, None where
    nothing is known of the air; `doubt` says why the watts are not believed, or is empty. `month`, `year` and `total`
    are Ranges of plain dollars: electricity of a month that runs throughout, of the days counted, and everything over
    the years; `usual` is the usual :class:`lifecost.LifeCost`.
    """

    quote: Quote
    reach: Any
    enough: bool
    efficiency: Any
    doubt: str
    month: Range
    year: Range
    total: Range
    usual: Any

    @property
    def ranked(self):
        """Whether its cost may be compared: it reaches, and its watts are believable."""
        return self.reach is not None and self.reach.does == reach.REACHES and not self.doubt

    @property
    def warned(self):
        """What must stand on the same line as any cost of it, in few words; empty where nothing must."""
        known = self.reach is not None and self.reach.does == reach.REACHES
        said = {"not known to reach, since no line is saved": self.reach is None,
                "not known to reach": self.reach and not known, "less air than planned": known and not self.enough,
                "watts doubted": bool(self.doubt)}
        return ", ".join(words for words, so in said.items() if so)


def believable(quote, found, place, system="US"):
    """Efficiency that an offer claims, and why it is not believed, or an empty text.

    The air power is that of compression without loss and without cooling. For one point it is that of the point; a
    curve counts where it runs with a half-aged diffuser.
    """
    if found.does == reach.REACHES and len(quote.told.points) > 1:
        flow, pressure, elevation = found.flow.usual, float(found.own.half.working), place.elevation
    elif len(quote.told.points) == 1:
        (pressure, flow), elevation = quote.told.points[0], 0.0
    else:
        return None, ""
    ideal = float(compressor.adiabatic_power(flow, pressure, elevation))
    share = ideal / quote.electricity.power.high
    low, _, high = compressor.WIRE_EFFICIENCY
    if share <= high:
        return share, ""
    air, gauge = show(flow, "air flow", system), show(pressure, "pressure", system)
    claim, likely = show(quote.electricity.power.usual, "power"), show_range(
        ideal / high, ideal / low, "power")
    start = (f"{claim} is less than the {show(ideal, 'power')} that pressing {air} to {gauge} takes in a "
             "machine without any loss: air or watts are wrong." if share > 1 else
             f"{claim} for {air} at {gauge} would put {100 * share:.0f} % of the electricity into the air.")
    return share, (f"{start} Small machines put in {100 * low:.0f} to {100 * high:.0f} % (from memory, not verified), "
                   f"which would be {likely}. Ask for watts read on a meter.")


def _costs(quote, price, years, days):
    """Dollars of a month and of a year of running, everything over the years, and the usual parts."""
    power = quote.electricity.power
    month, year = (Range(*(float(housing.cost_per_year(watts, price, days_a_year=time)) for watts in power))
                   for time in (MONTH, days))
    lives = [life_cost(Machine(quote.name, quote.price, watts, upkeep=quote.upkeep), price,
                       years, days_a_year=days) for watts in power]
    return month, year, Range(*(float(life.total) for life in lives)), lives[1]


def judge_quotes(quotes, place, price, years, days=365 * DAY, system="US"):
    """Every offer set against the line; those whose cost may be compared first, the cheapest of them on top.

    quotes (sequence of Quote).
    place (pondcalc.back_pressure.lineplan.SavedLine or None): None where no line is saved; then none is ranked.
    price: Dollars a joule.
    years, days: s to count, and s of running in a year.
    system ({"US", "metric"}).
    Returns: list of Judged.
    Raises QuantityError: If the air planned does not get through the line.
    """
    thin = "" if place is None else reach.too_thin(place, system)
    if thin:
        raise QuantityError(thin)
    made = []
    for quote in quotes:
        found = None if place is None else reach.judge(quote.told, place, system)
        enough = bool(found and found.flow and found.flow.usual >= reach.ENOUGH * place.flow_free_air)
        share, doubt = (None, "") if found is None or found.does in reach.NEVER else \
            believable(quote, found, place, system)
        made.append(Judged(quote, found, enough, share, doubt, *_costs(quote, price, years, days)))
    order = [reach.REACHES, reach.UNSAID, reach.RESTS, reach.CANNOT]
    return sorted(made, key=lambda one: (not one.ranked, order.index(one.reach.does) if one.reach else 0,
                                         not one.enough, one.total.usual))


def cheapest(judged):
    """The offer to call cheapest (None where there is none to call so), and the sentence that says it.

    judged (sequence of Judged): As :func:`judge_quotes` gives them.
    """
    if any(one.reach is None for one in judged):
        return None, ("No offer is called the cheapest: whether any of them makes a bubble at your depth is not known "
                      "until your line is saved. Do the form of workbook 04 first, then run this workbook again.")
    able = [one for one in judged if one.ranked]
    if not able:
        return None, ("None of these can be recommended: none is known to reach your diffuser, to run day and night "
                      "and to draw watts to believe. Ask the sellers, or ask for other machines.")
    good = [one for one in able if one.enough]
    if not good:
        names = " and ".join(f"“{one.quote.name}”" for one in able)
        none = "reach, but none of them is" if len(able) > 1 else "reaches, but is not"
        return None, (f"No offer is called the cheapest: {names} {none} known to send the air you planned. Ask for "
                      "more air, or for other machines.")
    first, others = good[0], good[1:]
    name = f"“{first.quote.name}”"
    short = "" if first.reach.room else f" {name} reaches with little room, as said below."
    if not others:
        only = "sends the air you planned" if len(able) > 1 else "reaches with watts to believe"
        return first, f"Only {name} {only}, so there is no other cost to set against it.{short}"
    if others[0].total.low < first.total.high:
        return first, (f"Of those that send your air, {name} costs least in the middle, but its range overlaps that of "
                       f"“{others[0].quote.name}”: do not decide by cost alone.{short}")
    return first, (f"Of those that send your air, {name} is the cheapest over these years, whatever the doubts about "
                   f"watts.{short}")


def say_cost(one, days):
    """What an offer costs: a month, a year of running, all the years; `days` is a :class:`.housing.AirDays`."""
    def money(span):
        usual, low, high = (show(end, "money", digits=2 if end < 100 else 3)
                            for end in (span.usual, span.low, span.high))
        return usual if low == high else f"{usual} ({low} to {high})"
    bought, electric, upkeep = (show(value, "money") for value in
                                (one.usual.purchase, one.usual.electricity, one.usual.upkeep))
    power = one.quote.electricity.power
    watts = show_range(power.low, power.high, "power")
    return (f"{watts} ({one.quote.electricity.words}). Electricity: {money(one.month)} for a month of running, "
            f"{money(one.year)} for {days.running} days a year. In all {money(one.total)}: {bought} in the shop, "
            f"{electric} electricity, {upkeep} parts and service.")


def say_judged(one, place, days, system="US"):
    """One offer in words: whether it reaches, how much air, then doubts, then cost."""
    name = f"{one.quote.name}: "
    if one.reach is None:
        return f"{name}{one.warned.upper()}: {say_cost(one, days)}"
    if one.reach.does in reach.NEVER:
        return f"{name}{one.reach.words} No cost is compared."
    words = [name + one.reach.words]
    if one.reach.flow and not one.enough:
        planned, sent = (show(flow, "air flow", system) for flow in
                         (place.flow_free_air, one.reach.flow.usual))
        words.append(f"LESS AIR than planned: {'at least ' if one.reach.least else ''}{sent}"
                     f"{', and no more is promised,' if one.reach.least else ''} of {planned}.")
    if one.doubt:
        words.append(f"DOUBTED: {one.doubt}")
    rank = "" if one.ranked else ", so not ranked by cost"
    cost = say_cost(one, days)
    return "\n".join([*words, f"{one.warned.upper()}{rank}: {cost}" if one.warned else cost])


def say_short(one, place, system="US"):
    """One offer in a few words, for a list."""
    air = one.reach.flow and show(one.reach.flow.usual, "air flow", system, digits=2, both=True)
    words = [one.reach.does.upper() if one.reach.does in reach.NEVER else one.reach.does]
    words += [f"{'at least ' if one.reach.least else ''}{air}"] if air else []
    planned = show(place.flow_free_air, "air flow", system, digits=2, both=True)
    words += [f"LESS than the {planned} planned"] if air and not one.enough else []
    words += ["watts doubted"] if one.doubt else []
    return f"{one.quote.name}, {show(one.quote.price, 'money')}: {', '.join(words)}"


def saved_judged(pond, system="US"):
    """The offers a pond record holds, set against the line it holds; empty without both.

    They are kept as they were told, so they are judged by the line, the months and the price of now.
    """
    place, days = lineplan.saved_line(pond), housing.air_days(pond)
    if place is None or not pond.has("offers"):
        return []
    kept = zip(*(pond.get("offers", key) for key in ("name", "price", "air", "highest", "electricity", "watts_are",
                                                     "upkeep")), strict=True)
    made = [quote(name, price.m_as("dollar"), reach.read_told(air) if air else reach.Told(),
                  read_quantity(highest).m_as("Pa") if highest else None,
                  housing.read_electricity(watts, told == AT_MY_PRESSURE), upkeep.m_as("dollar/year"))
            for name, price, air, highest, watts, told, upkeep in kept]
    price = held(pond, "site", "price", "dollar/J")
    return judge_quotes(made, place, price, 10 * YEAR, days.seconds, system)
