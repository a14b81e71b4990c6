"""What must be bought for a plan, how many of each, and what may it cost at first?

Numbers that a plan leaves open are settled here, each as a range with its reason: diffusers, size of the line,
weights. The list is in general terms, to be held against offers. First costs are open ranges of common practice,
with no source behind any of them: they only show what an offer leaves out.

What this leaves out: who sells it near you, your own hours, permits that cost more, and rock in the trench.
"""

import functools
import math
import warnings
from typing import Any, NamedTuple

import numpy as np

from .. import air
from ..back_pressure import airline, compressor, lineplan, pipesizes
from ..bubbles_and_oxygen import comparison, plume
from ..how_much_oxygen import oxygen
from ..power_and_housing import lifecost
from ..spellings import either
from ..units import ACRE, CFM, DAY, FOOT, POUND, Range, show
from . import plan

LEAST_AIR = 0.5 * CFM           # m3/s for each diffuser; common practice, no source
MOST = 12
PIPE_PRICE = 0.60 / FOOT          # dollars a metre of 1 in pipe; common practice, no source
WORTH = 1.3                     # times the cheapest from which a size is called dear; our choice
BRICK = 4.5 * POUND


def hot_metal():
    """How much of the line must bear the heat: by workbook 06 it is cool enough for plastic after 9 to 14 ft."""
    return f"the first {either('10 to 15 ft', '3 to 4.5 m')} from the machine"


class Count(NamedTuple):
    """How many diffusers: a Range of whole numbers, and the reasons as sentences."""

    number: Range
    reasons: tuple


class LineSize(NamedTuple):
    """The polyethylene size that costs least in ten years: its name, bore (m) and dollars.

    `own` is dollars for the plan's own bore; `better` whether the change is worth it. `buy` is the entry of
    :mod:`pondcalc.back_pressure.pipesizes` to buy: that size, or the one nearest to the plan's own bore.
    """

    name: str
    bore: float
    cost: float
    own: float
    better: bool
    buy: Any


def _air(made):
    return float(made.point.flow_free_air if made.point else made.air_by_area)


def diffuser_count(made, layered=None, system="US", places=1):
    """How many diffusers share the air: for the mixing, for the area, and not more than the air feeds.

    made (plan.Plan).
    layered (plume.Column): The pond in summer, if known; no more diffusers than usually send a plume up through it.
    places: Deep places that sills part from each other: at least one diffuser for each, whatever the air feeds.
    Returns: Count.

    Mixing: one pond volume lifted a day (:func:`pondcalc.how_much_oxygen.oxygen.mixing_flow`), by the high, usual and
    low estimate of the lift. Area: one for each acre begun. Both are common practice, no source.
    """
    c, flow = made.choices, _air(made)
    feeds = max(1, min(MOST, int(flow / LEAST_AIR + 1e-9)))
    while layered is not None and feeds > 1 and plume.stop_depth(flow / feeds, c.submergence, layered).depth.usual > 0:
        feeds -= 1
    water = air.pond_water(c.elevation, 20.0)
    with warnings.catch_warnings(action="ignore", category=UserWarning):
        lifts = plume.lifted_water(flow, c.submergence, np.arange(1, feeds + 1), water)
    wanted = float(oxygen.mixing_flow(c.volume.usual))

    def least(end):
        return next((n for n, lift in enumerate(getattr(lifts, end), 1) if lift >= wanted), None)
    takes, acres = [least(end) for end in ("high", "usual", "low")], math.ceil(c.area / ACRE - 0.05)
    mixing, area = [n or feeds for n in takes], min(feeds, acres)
    number = Range(*(max(places, pick(found, area)) for pick, found in zip((min, max, max), mixing, strict=True)))
    span = " to ".join(dict.fromkeys(str(n or f"more than {feeds}") for n in (takes[0], takes[2])))
    span = span.replace(f"{feeds} to more than {feeds}", f"{feeds} or more")
    most = (f" But the air is shared among {feeds} at most: thinner plumes come to little."
            if acres > feeds or None in takes else "")
    each = flow / number.usual
    through = () if layered is None else (
        "Under a warm layer such as July's (workbook 05), "
        f"{comparison.say_stop(each, plume.stop_depth(each, c.submergence, layered), system)}.",)
    return Count(number, (
        f"To lift one pond volume a day takes {span} on this air; one for each acre or part of it makes {acres} (both "
        f"common practice, no source).{most}",
        "More diffusers on the same air lift more water but add little oxygen, so the oxygen of a bad night is no "
        "reason for more of them.", *through))


def line_size(made):
    """Which size of polyethylene line costs least over ten years, pipe and push together, and what the plan's own does.

    made (plan.Plan).
    Returns: LineSize.

    As workbook 04: price by the plastic in the wall from a price of 1 in pipe (common practice, no source), today's
    dollars, no interest; the electricity that lifts the air into the water is left out, for it is the same in all.
    """
    c = made.choices
    sizes = pipesizes.pipe_sizes("PE by inside diameter")
    inside, outside = (np.array([getattr(size, name) for size in sizes])
                       for name in ("inside_diameter", "outside_diameter"))
    names = [f"{size.nominal} in" for size in sizes]
    prices = lifecost.prices_by_plastic(outside, inside, PIPE_PRICE, names.index("1 in"))
    own_price = float(np.interp(c.inside_diameter, inside, prices)) * min(1.0, c.inside_diameter / inside[0]) ** 2
    rest = (c.length, _air(made), c.submergence, c.price * c.days / (365 * DAY), plan.TEN_YEARS)
    share = c.efficiency or compressor.WIRE_EFFICIENCY
    if share.usual > compressor.TOO_GOOD:               # doubted by the plan, and no machine gives more than it takes
        share = compressor.WIRE_EFFICIENCY
    more = {"efficiency": float(share.usual), "elevation": c.elevation}
    with warnings.catch_warnings(action="ignore", category=UserWarning):
        found = lifecost.choose_line(inside, prices, *rest, **more)
        own = lifecost.choose_line([c.inside_diameter], [own_price], *rest, **more)
        none = lifecost.choose_line([10.0], [0.0], *rest, **more)
    best, lifting = found.cheapest, float(none.energy_cost[0])
    cost, mine = float(found.total_cost[best]) - lifting, float(own.total_cost[0]) - lifting
    better = mine > WORTH * cost and c.inside_diameter < 0.95 * inside[best]
    buy = sizes[best if better else int(np.argmin(np.abs(inside - c.inside_diameter)))]
    return LineSize(names[best], float(inside[best]), cost, mine, better, buy)


def water_run(choices, to_bank=None):
    """Line under water, m: the whole line less the part from machine to bank (a quantity) where that is saved.

    Else from the bank to the middle of a round pond of this area, at most the whole line.
    """
    if to_bank is not None and to_bank.m_as("m") < choices.length:
        return float(choices.length) - to_bank.m_as("m")
    return min(float(choices.length), math.sqrt(choices.area / math.pi))


class Bricks(NamedTuple):
    """Bricks that hold a line down."""

    spacing: float                      # m between them
    number: int


def weights(made, size, to_bank=None):
    """:class:`Bricks` of 4.5 lb (2 kg) that hold the line under water down."""
    spacing = float(pipesizes.weight_spacing(size.buy.outside_diameter, size.buy.inside_diameter, BRICK))
    return Bricks(spacing, math.ceil(water_run(made.choices, to_bank) / spacing))


def costs(whole):
    """First costs as rows of words and a Range of dollars: common practice, no source.

    whole (planparts.WholePlan).
    """
    made, size = whole.plan, whole.size
    feet = made.choices.length / FOOT
    many = whole.count.number
    bricks = weights(made, size, whole.pond.get("line", "to_bank")).number
    each = {"Compressor": plan.PURCHASE,
            f"Air line, {size.buy.nominal} in": Range(0.3 * feet, 0.6 * feet, 1.2 * feet),
            "Diffusers with base": Range(40.0 * many.low, 80.0 * many.usual, 150.0 * many.high),
            "Hot line, valves, gauge, filter, fittings": Range(60.0, 100.0, 200.0),
            "Weights and ties": Range(0.0, 1.0 * bricks, 2.0 * bricks),
            "Cabinet and fan": Range(50.0, 150.0, 400.0),
            "Circuit, licensed electrician": Range(250.0, 600.0, 1500.0),
            "Trench, permits": Range(0.0, 150.0, 500.0),
            "Oxygen meter, rent or buy": Range(0.0, 150.0, 400.0)}
    return list(each.items())


def total(rows):
    """All low ends, all usual values and all high ends added up."""
    return Range(*(sum(end) for end in zip(*(span for _, span in rows), strict=True)))


_said = functools.partial(show, digits=2, both=True)


def _way(choices, to_bank):
    """The two parts of the way as saved, or what to measure."""
    if to_bank is not None and to_bank.m_as("m") < choices.length:
        return (f"Of it {_said(to_bank, 'distance')} lie between machine and bank, and "
                f"{_said(water_run(choices, to_bank), 'distance')} from there to the diffuser.")
    middle = math.sqrt(choices.area / math.pi)
    return ("Measure both parts of the way: machine to bank, and bank to diffuser. In a round pond of this area the "
            f"middle is {_said(middle, 'distance')} from the bank"
            + (": this line looks TOO SHORT." if choices.length < middle else "."))


def _line_words(made, size, to_bank):
    c = made.choices
    bore = show(size.bore if size.better else c.inside_diameter, "bore", both=True)
    items = [f"Air line, {_said(c.length, 'distance')}, true inside diameter {bore} or more, rated for the "
             f"pressure, and for sun where it lies open. {_way(c, to_bank)}"]
    if size.better:
        whose = "assumed here" if "inside_diameter" in c.assumed else "in your record"
        items.append(f"Not the {show(c.inside_diameter, 'bore', both=True)} {whose}: over ten years it "
                     f"costs about {show(size.own, 'money', digits=2)} in pipe and push, {size.name} "
                     f"about {show(size.cost, 'money', digits=2)} (generic prices). Do workbook 04 again "
                     "with the wider line before you buy the machine.")
    spacing, bricks = weights(made, size, to_bank)
    items.append(f"{bricks} bricks or stones of {either('4.5 lb', '2 kg')}, one each "
                 f"{_said(spacing, 'distance')} of line under water, unless the line sinks by itself; strap "
                 "them so that they cannot cut it.")
    return items


class Asked(NamedTuple):
    """What to ask of a machine, and a sentence where 03 and 04 name another air, or empty."""

    flow_free_air: float                # m3/s
    pressure_gauge: float               # Pa
    words: str


def asked_of_machine(whole):
    """Air and pressure to ask of a machine, as :class:`Asked`.

    The air of workbook 03 rules where it is saved, else that of 04, else that of the plan. The pressure is 15 % over
    the reading with an aged diffuser, for that air on the line to buy: the wider one, where that pays.
    """
    made, pond = whole.plan, whole.pond
    c, wanted = made.choices, lineplan.air_planned(whole.pond)
    flow = _air(made) if wanted is None else wanted.m_as("m^3/s")
    bore = max(whole.size.bore, c.inside_diameter) if whole.size.better else c.inside_diameter
    with warnings.catch_warnings(action="ignore", category=UserWarning):
        budget = airline.pressure_budget(c.submergence, airline.Line(c.length, bore), flow, c.wet_pressure,
                                         elevation=c.elevation)
    line, words = pond.get("line", "flow_free_air"), ""
    if line is not None and pond.has("air") and _said(line, "air flow") != _said(wanted, "air flow"):
        words = (f" The air of workbook 03 rules; the line of 04 was worked out for {_said(line, 'air flow')}, and the "
                 "pressure here is for the air asked.")
    return Asked(flow, float(budget.total), words)


def shopping(whole):
    """What to ask for in a shop, in generic terms: a list of sentences with US units first.

    whole (planparts.WholePlan).
    """
    made, pond, count = whole.plan, whole.pond, whole.count
    c = made.choices
    material, fan = pond.get("air", "diffuser"), pond.get("power", "fan_flow")
    flow, rated, other_air = asked_of_machine(whole)
    on_line = " with the wider line below" if whole.size.better else ""
    height = show(c.elevation, "elevation", both=True)
    many = count.number
    could = "" if many.low == many.high else f" ({many.low:.0f} to {many.high:.0f} would do)"
    return [
        f"Compressor for running day and night, oil-free air, {_said(flow, 'air flow')} of free air or more at "
        f"{_said(rated, 'pressure')} on the gauge{on_line}, at {height} above sea level. Ask for the curve of "
        f"flow against pressure, and for watts at the working pressure.{other_air}",
        f"Relief valve set above {_said(rated, 'pressure')} and below the machine's limit; check valve at the machine; "
        "pressure gauge; inlet filter and a spare; kit of the parts that wear; stop valve, clamps and adapters for the "
        "line.",
        f"Metal pipe or hose rated for the heat, {hot_metal()}.",
        *_line_words(made, whole.size, pond.get("line", "to_bank")),
        f"{c.diffusers:.0f} diffuser{'s' if c.diffusers > 1 else ''}{f' ({material})' if material else ''}{could}, "
        f"each on a base that holds it about {either('2 ft', '0.6 m')} off the bottom, "
        f"{_said(c.submergence, 'depth')} down, in the deepest places"
        + (f", {_said(plume.plume_spacing(c.submergence), 'distance')} apart or more; with them a manifold "
           "with a valve for each, and a line from it to each." if c.diffusers > 1 else "."),
        "Trench from machine to bank: depth by local code and below frost, with a steady fall to the pond, so that no "
        "water stands in the line. Call 811 first. Trench walls cave in and kill: nobody enters a deep trench; leave "
        "it to someone trained and equipped.",
        "Cabinet on land above high water, with vents or a fan"
        + (f" that moves {_said(fan, 'air flow')} against its own filters" if fan is not None else "")
        + "; circuit with ground-fault protection, by a licensed electrician.",
        "Oxygen meter with a cable as long as the pond is deep, to buy, borrow or rent, for the first start."]
