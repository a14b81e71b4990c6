"""Which of the offers a reader got makes bubbles at the end of the line, and what does each of those cost?

Each offer is first set against the saved line (:mod:`pondcalc.back_pressure.reach`). Only those that reach, send
enough air and name believable watts are ranked by cost. A machine that cannot make a bubble costs nothing to compare;
one of which too little was told waits for an answer of its seller.

What this leaves out: a machine that fails and is bought again, your hours, and the fish.
"""

from typing import Any, NamedTuple

from ..back_pressure import compressor, curvetext, lineplan, reach
from ..catalogue import held
from ..units import DAY, YEAR, Q, Range, read_quantity, show, show_range
from . import airdays, housing, lifecost, plate

__all__ = ["MONTH", "Judged", "Quote", "believable", "cheapest", "judge_quotes", "saved_judged", "say_cost",
           "say_judged", "say_short"]

MONTH = 365 * DAY / 12
AT_MY_PRESSURE = "at my pressure"       # what watts that were told for the pond's own pressure are called


class Quote(NamedTuple):
    """One offer: dollars, :class:`reach.Told`, Electricity of :mod:`.plate`, dollars a year of parts and service."""

    name: str
    price: float
    told: Any
    electricity: Any
    upkeep: float


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
    ideal = float(compressor.adiabatic_power.si(flow, pressure, elevation))
    share = ideal / quote.electricity.power.high
    low, _, high = compressor.WIRE_EFFICIENCY
    if share <= high:
        return share, ""
    air, gauge = show(Q(float(flow), "m3/s"), "air flow", system), show(Q(float(pressure), "Pa"), "pressure", system)
    claim, likely = show(Q(quote.electricity.power.usual, "W"), "power"), show_range(
        Q(ideal / high, "W"), Q(ideal / low, "W"), "power")
    start = (f"{claim} is less than the {show(Q(ideal, 'W'), 'power')} that pressing {air} to {gauge} takes in a "
             "machine without any loss: air or watts are wrong." if share > 1 else
             f"{claim} for {air} at {gauge} would put {100 * share:.0f} % of the electricity into the air.")
    return share, (f"{start} Small machines put in {100 * low:.0f} to {100 * high:.0f} % (from memory, not verified), "
                   f"which would be {likely}. Ask for watts read on a meter.")


def _costs(quote, price, years, days):
    """Dollars of a month and of a year of running, everything over the years, and the usual parts."""
    power = quote.electricity.power
    month, year = (Range(*(float(housing.cost_per_year.si(watts, price, days_a_year=time)) for watts in power))
                   for time in (MONTH, days))
    lives = [lifecost.life_cost.si(lifecost.Machine.si(quote.name, quote.price, watts, upkeep=quote.upkeep), price,
                                   years, days_a_year=days) for watts in power]
    return month, year, Range(*(float(life.total) for life in lives)), lives[1]


def judge_quotes(quotes, place, price, years, days=365 * DAY, system="US"):
    """Every offer set against the line; those whose cost may be compared first, the cheapest of them on top.

    Parameters
    ----------
    quotes : sequence of Quote
    place : pondcalc.back_pressure.lineplan.SavedLine or None
        None where no line is saved; then none is ranked.
    price : float
        Dollars a joule.
    years, days : float
        s to count, and s of running in a year.
    system : {"US", "metric"}, optional

    Returns
    -------
    list of Judged
    """
    made = []
    for quote in quotes:
        found = None if place is None else reach.judge(quote.told, place, system)
        enough = bool(found and found.flow and found.flow.usual >= reach.ENOUGH * place.flow_free_air)
        share, doubt = (None, "") if found is None or found.does == reach.CANNOT else \
            believable(quote, found, place, system)
        made.append(Judged(quote, found, enough, share, doubt, *_costs(quote, price, years, days)))
    order = [reach.REACHES, reach.UNSAID, reach.CANNOT]
    return sorted(made, key=lambda one: (not one.ranked, order.index(one.reach.does) if one.reach else 0,
                                         not one.enough, one.total.usual))


def cheapest(judged):
    """The offer to call cheapest (None where there is none to call so), and the sentence that says it.

    Parameters
    ----------
    judged : sequence of Judged
        As :func:`judge_quotes` gives them.
    """
    if any(one.reach is None for one in judged):
        return None, ("No offer is called the cheapest: whether any of them makes a bubble at your depth is not known "
                      "until your line is saved. Do the form of workbook 04 first, then run this workbook again.")
    able = [one for one in judged if one.ranked]
    if not able:
        return None, ("None of these can be recommended: none is known to reach your diffuser with watts to believe. "
                      "Ask the sellers, or ask for other machines.")
    good = [one for one in able if one.enough]
    first = (good or able)[0]
    name, others = f"“{first.quote.name}”", (good or able)[1:]
    short = ("" if good else " But it is not known to send the air you planned." if len(able) == 1 else
             " But none of those that reach is known to send the air you planned.")
    short += "" if first.reach.room else f" {name} reaches with little room, as said below."
    if not others:
        only = "sends the air you planned" if good and len(able) > 1 else "reaches with watts to believe"
        return first, f"Only {name} {only}, so there is no other cost to set against it.{short}"
    if others[0].total.low < first.total.high:
        return first, (f"Of those that {'send your air' if good else 'reach'}, {name} costs least in the middle, but "
                       f"its range overlaps that of “{others[0].quote.name}”: do not decide by cost alone.{short}")
    return first, (f"Of those that {'send your air' if good else 'reach'}, {name} is the cheapest over these years, "
                   f"whatever the doubts about watts.{short}")


def say_cost(one, days):
    """What an offer costs: a month, a year of running, all the years; `days` is an :class:`.airdays.AirDays`."""
    def money(span):
        usual, low, high = (show(Q(end, "dollar"), "money", digits=2 if end < 100 else 3)
                            for end in (span.usual, span.low, span.high))
        return usual if low == high else f"{usual} ({low} to {high})"
    parts = (show(Q(float(value), "dollar"), "money") for value in (one.usual.purchase, one.usual.electricity,
                                                                    one.usual.upkeep))
    power = one.quote.electricity.power
    watts = show_range(Q(power.low, "W"), Q(power.high, "W"), "power")
    bought, electric, upkeep = parts
    return (f"{watts} ({one.quote.electricity.words}). Electricity: {money(one.month)} for a month of running, "
            f"{money(one.year)} for {days.running} days a year. In all {money(one.total)}: {bought} in the shop, "
            f"{electric} electricity, {upkeep} parts and service.")


def say_judged(one, place, days, system="US"):
    """One offer in words: whether it reaches, how much air, then doubts, then cost."""
    name = f"{one.quote.name}: "
    if one.reach is None:
        return f"{name}{say_cost(one, days)}"
    if one.reach.does == reach.CANNOT:
        return f"{name}{one.reach.words} No cost is compared."
    words = [name + one.reach.words]
    if one.reach.flow and not one.enough:
        planned, sent = (show(Q(float(flow), "m3/s"), "air flow", system) for flow in
                         (place.flow_free_air, one.reach.flow.usual))
        words.append(f"LESS AIR than planned: {'at least ' if one.reach.least else ''}{sent}"
                     f"{', and no more is promised,' if one.reach.least else ''} of {planned}.")
    if one.doubt:
        words.append(f"DOUBTED: {one.doubt}")
    if one.reach.does == reach.UNSAID:
        words.append("Not ranked by cost until that is known.")
    elif one.doubt:
        words.append("Not ranked by cost as long as that is doubted.")
    return "\n".join([*words, say_cost(one, days)])


def say_short(one, place, system="US"):
    """One offer in a few words, for a list."""
    air = one.reach.flow and show(Q(float(one.reach.flow.usual), "m3/s"), "air flow", system, digits=2, both=True)
    words = [one.reach.does.upper() if one.reach.does == reach.CANNOT else one.reach.does]
    words += [f"{'at least ' if one.reach.least else ''}{air}"] if air else []
    planned = show(Q(place.flow_free_air, "m3/s"), "air flow", system, digits=2, both=True)
    words += [f"LESS than the {planned} planned"] if air and not one.enough else []
    words += ["watts doubted"] if one.doubt else []
    return f"{one.quote.name}, {show(Q(one.quote.price, 'dollar'), 'money')}: {', '.join(words)}"


def saved_judged(pond, system="US", years=10 * YEAR):
    """The offers a pond record holds, set against the line it holds; empty without both.

    They are kept as they were told, so they are judged by the line, the months and the price of now.
    """
    place, days = lineplan.saved_line(pond), airdays.air_days(pond)
    if place is None or not pond.has("offers"):
        return []
    kept = zip(*(pond.get("offers", key) for key in ("name", "price", "air", "highest", "electricity", "watts_are",
                                                     "upkeep")), strict=True)
    made = [Quote(name, price.m_as("dollar"),
                  reach.Told(curvetext.read_told(air) if air else (),
                             read_quantity(highest).m_as("Pa") if highest else None),
                  plate.read_electricity(watts, told == AT_MY_PRESSURE), upkeep.m_as("dollar/year"))
            for name, price, air, highest, watts, told, upkeep in kept]
    price = held(pond, "site", "price", "dollar/J")
    return judge_quotes(made, place, price, years, days.seconds, system)
