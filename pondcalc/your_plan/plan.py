"""What follows for one pond, from the record and usual numbers, and what would another choice change?

A plan starts from the reader's record, and from usual numbers where the record has nothing; once made, the choices are
plain SI numbers, so that one of them can be moved and the plan worked out again. The chain is the thin path through the
whole set: water, the oxygen a bad night lacks, air, pressure, one line, one compressor, power and cost, every number a
range. Later workbooks deepen each step; the chain stays.

Another plan changes one thing on purpose (the number of diffusers, their depth, the line, the kind of machine), with
all else held. What a machine costs to buy and keep is an open range of common practice without a source: put in the
offers you get. To find the unknown that matters most, one number at a time is moved over what it may well be; the one
that moves the answer farthest is the one to measure first. What has been found out and saved is moved less, and the
price on a bill not at all. Where workbook 02 has saved the oxygen at dawn, the bars stand round that value.

What this leaves out: short branches to each diffuser, placing, and how well the parts can be bought nearby; unknowns
that act together, and how likely each end is. The spans are our choice unless said otherwise.
"""

import dataclasses
import warnings
from typing import Any, NamedTuple

import numpy as np

from .. import air, catalogue, findings
from .. import record as records
from ..back_pressure import airline, compressor, lineplan, reach
from ..bubbles_and_oxygen import plume
from ..bubbles_and_oxygen.plume import OFF_BOTTOM
from ..catalogue import ROWS, assumed
from ..how_much_oxygen import oxygen, oxygencase
from ..power_and_housing import housing, lifecost
from ..refusals import Caution, Refused, plainly
from ..units import DAY, FOOT, KINDS, YEAR, Q, Range, asked, length_text, record, show, show_range, to_display

STRAIGHT = {"open_flow", "top_pressure", "droop"}     # what makes a generic straight curve
MACHINE = STRAIGHT | {"curve"}


@record(area="m^2", deepest="m", elevation="m", fish="kg/m^2", temperature="degC", night="s", floor="mg/L",
        length="m", inside_diameter="m", open_flow="m^3/s", top_pressure="Pa", droop="", price="dollar/J",
        days="s", wet_pressure="Pa")
class PlanChoices:
    """What a first plan needs to know.

    volume (Range): m3 of the full pond.
    area, deepest, elevation: m2, m, m.
    fish: kg of fish per m2 of surface.
    temperature: Warmest water of the year, degC.
    night: Hours without sun, in s.
    floor: Oxygen to keep, mg/L.
    length, inside_diameter: Air line from compressor to diffuser, m.
    open_flow, top_pressure, droop: Generic compressor: free air against no pressure, m3/s; highest pressure, Pa
        gauge; share of the flow lost at that pressure.
    price: Dollars per joule.
    assumed (tuple of str): Fields the pond record had nothing for.
    curve (compressor.CompressorCurve): Points of a data sheet, at sea level; they take the place of the generic
        straight line.
    air (mapping): Section ``air`` of the pond record, as workbook 03 saves it.
    delivery (Range): kg/s of oxygen to deliver, saved by workbook 02; without it the simple budget of one night is
        used.
    dawn (Range): mg/L at dawn, saved by workbook 02.
    diffusers: How many share the air, all at one depth; default 1.
    efficiency (Range): Power that presses the air over power at the cord, from the watts that workbook 06 saved;
        without it the usual span of small machines is used.
    days: Running time in a year, s: the season that workbook 07 saved, else all year.
    wet_pressure: Of the new diffuser, Pa, as workbook 04 saved it.
    said (oxygencase.Described): The owner's words for water, mud, weeds, feed and dusk; by default the usual ones.
    """

    volume: Any
    area: float
    deepest: float
    elevation: float
    fish: float
    temperature: float
    night: float
    floor: float
    length: float
    inside_diameter: float
    open_flow: float
    top_pressure: float
    droop: float
    price: float
    assumed: tuple = ()
    curve: Any = None
    air: Any = None
    delivery: Any = None
    dawn: Any = None
    diffusers: int = 1
    efficiency: Any = None
    days: float = housing.ALL_YEAR * DAY
    wet_pressure: float = airline.WET_PRESSURE
    said: Any = None

    def check(self):
        """Refuse a pond without water or a diffuser without depth."""
        if not (self.area > 0 and self.volume.low > 0):
            raise ValueError("A plan needs a pond with some area and volume; do workbook 01 first.")
        if not (self.diffusers >= 1 and self.diffusers == int(self.diffusers)):
            raise ValueError(f"The number of diffusers is 1, 2, 3 ...; it was given {self.diffusers}.")
        if self.deepest <= OFF_BOTTOM:
            raise ValueError(f"The pond is {length_text(self.deepest)} deep at most, and the diffuser stands "
                             f"{length_text(OFF_BOTTOM)} off the bottom. A pond "
                             "this shallow is not one for bottom aeration.")

    @property
    def submergence(self):
        """Depth of the diffuser below the full surface, m."""
        return self.deepest - OFF_BOTTOM

    @property
    def one_night(self):
        """The budget of one night in the owner's words: ``oxygencase.one_night``, the same as workbook 02's."""
        moved = {name: getattr(self, name) for name in ("fish", "temperature", "night", "floor")}
        said = oxygencase.Described(**moved) if self.said is None else self.said.with_values(**moved)
        water = oxygencase.PondWater(self.volume.usual, self.area, elevation=self.elevation, spread=self.volume)
        return oxygencase.one_night(water, said)


def choices_from(pond, **changes):
    """Choices for a plan from a pond record, with common starting values where nothing is saved.

    pond (record.PondRecord).
    **changes (str or quantity): Any field of :class:`PlanChoices`, to use instead.
    Returns: PlanChoices.
    """
    volume, area, deepest = (pond.get("water", key) for key in ("volume", "area", "deepest"))
    if volume is None or area is None or deepest is None:
        raise ValueError("This pond has no volume yet. Do workbook 01 first; it takes about an hour.")
    delivery, dawn = (oxygencase.found(pond, name) for name in ("delivery", "dawn"))
    saved = {name: pond.get(row.section, name) for name, row in assumed().items()}
    start = {name: assumed()[name].usual if value is None else value for name, value in saved.items()
             if name in PlanChoices.units}
    start |= {"said": oxygencase.described_from(pond),
              "area": area.usual, "deepest": deepest,
              **{name: ROWS["line", name].usual for name in ("open_flow", "top_pressure", "droop")},
              "curve": reach.saved_curve(pond), "days": Q(housing.air_days(pond).running, "day"),
              "wet_pressure": pond.get("line", "wet_pressure", ROWS["line", "wet_pressure"].usual),
              "delivery": delivery and findings.plain(delivery, "kg/s"), "dawn": dawn and findings.plain(dawn, "mg/L")}
    placed = pond.get("line", "submergence")
    if placed is not None:          # the diffuser stands where workbook 04 put it
        start["deepest"] = placed.to("m") + Q(OFF_BOTTOM, "m")
    if pond.has("air"):
        start["air"] = pond.sections["air"]
        placed = pond.get("air", "submergence")
        start["deepest"] = start["deepest"] if placed is None else placed.to("m") + Q(OFF_BOTTOM, "m")
        start["diffusers"] = int(round(pond.get("air", "diffusers", Q(1.0, "dimensionless")).m_as("dimensionless")))
    if STRAIGHT & set(changes):
        start["curve"] = None
    made = asked(PlanChoices)(volume=findings.plain(volume, "m^3"), **(start | changes), assumed=tuple(
        name for name, value in saved.items() if value is None and name not in changes))
    planned = lineplan.air_planned(pond)
    if planned is not None and made.curve is None and not STRAIGHT & set(changes):
        made = _sized(made, planned.m_as("m^3/s"))
    watts = pond.get("power", "power")
    if watts is None or MACHINE & set(changes):
        return made
    return changed(made, efficiency=_efficiency(made, [v.m_as("W") for v in watts]))


def _sized(choices, flow):
    """The choices with a generic machine that sends this flow (m3/s) down their line; as they are where none can."""
    line = airline.Line(choices.length, choices.inside_diameter)
    try:
        with warnings.catch_warnings(action="ignore", category=UserWarning):   # the plan's own notes say the same
            gauge = float(airline.pressure_budget(choices.submergence, line, flow, choices.wet_pressure,
                                                  elevation=choices.elevation).working)
    except ValueError:                  # the line chokes
        return choices
    curve = machine(choices)
    here = float(np.interp(gauge, curve.pressure_gauge, curve.flow_free_air, right=0.0))
    return resized(choices, flow / here) if here > 0 else choices


def _efficiency(choices, watts):
    """What the saved watts say about motor and machine, where they run; None where no air arrives."""
    try:
        with warnings.catch_warnings(action="ignore", category=UserWarning):   # the plan's own notes say the same
            pressing = float(compressor.adiabatic_power(*working_point(choices), choices.elevation))
    except compressor.CannotReach:
        return None
    return Range(*(pressing / w for w in reversed(watts))) if min(watts) > 0 else None


def machine(choices):
    """Curve of the compressor of a plan, saved or generic, at the pond's elevation."""
    curve = choices.curve or compressor.linear_curve(choices.open_flow, choices.top_pressure, choices.droop)
    return compressor.derated(curve, choices.elevation)


def working_point(choices):
    """Flow and pressure at which the machine of a plan runs on its line.

    Raises compressor.CannotReach: If it cannot reach the diffuser or drive the line.
    """
    line = airline.Line(choices.length, choices.inside_diameter)
    system = airline.system_curve(choices.submergence, line, choices.wet_pressure, elevation=choices.elevation)
    return compressor.operating_point(machine(choices), system, airline.AGED_DIFFUSER)


def resized(choices, share):
    """The same choices with a machine of another size: `share` times the air at every pressure.

    What the watts of one machine said about its losses does not hold for another.
    """
    if abs(share - 1) < 1e-9:
        return choices
    if choices.curve is None:
        return changed(choices, open_flow=choices.open_flow * share)
    curve = choices.curve
    return changed(choices, curve=type(curve)(curve.pressure_gauge, curve.flow_free_air * share, curve.name))


def example_for(pond):
    """A pond without its water yet, with the water of the demonstration pond and all that it did save; invented."""
    demo = records.demo()
    return dataclasses.replace(pond, name=f"{demo.name}, an example in place of {pond.name}", invented=True,
                               sections={"water": demo.sections["water"], **pond.sections})


def changed(choices, **values):
    """The same choices with some fields replaced, all in SI numbers.

    A generic machine drops a saved curve, and another machine drops what the saved watts said about the old one.
    """
    if STRAIGHT & set(values):
        values = {"curve": None} | values
    if MACHINE & set(values):
        values = {"efficiency": None} | values
    return PlanChoices(**({f.name: getattr(choices, f.name) for f in dataclasses.fields(choices)} | values))


ROOM = 1.1              # how far over the working pressure with margin still makes sense to buy; judgment, no source


class PlanLine(NamedTuple):
    """One line of a plan: the words, one value or a Range, its kind, where it comes from.

    Plain numbers are in the unit that their kind has inside the package.
    """

    words: str
    value: Any
    kind: str
    source: str


class Plan(NamedTuple):
    """A first plan in SI numbers.

    `one_night` is the delivery (kg/s) of the one-night budget, which stacks every bad case; `budget.delivery` is
    what to size for: that of workbook 02 where it is saved. `cost` is dollars for the running days of a year.
    """

    choices: PlanChoices
    budget: Any
    one_night: Range
    air_by_area: float
    pressure: Any
    point: Any
    power: Range
    cost: Range
    trouble: str
    notes: tuple


def first_plan(choices):
    """The whole chain once.

    choices (PlanChoices).
    Returns: Plan: `point` is None and `trouble` says why when the compressor cannot reach the diffuser or drive the
        line; the pressure is then that of its open flow. `notes` are doubts to show.
    """
    c = choices
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always", UserWarning)
        budget = c.one_night
        line = airline.Line(c.length, c.inside_diameter)
        try:
            point, trouble, power = working_point(c), "", None
        except compressor.CannotReach as problem:
            point, trouble, power = None, plainly(problem), Range(0.0, 0.0, 0.0)
        wanted = point.flow_free_air if point else float(machine(c).flow_free_air[0])
        pressure = airline.pressure_budget(c.submergence, line, wanted, c.wet_pressure, elevation=c.elevation)
        if power is None:
            pressing = float(compressor.adiabatic_power(*point, c.elevation))
            power = Range(*(pressing / share for share in reversed(c.efficiency or compressor.WIRE_EFFICIENCY)))
        if c.efficiency is not None and c.efficiency.usual > compressor.TOO_GOOD:
            warnings.warn(Caution(f"The saved watts would mean that {100 * c.efficiency.usual:.0f} % of the power "
                                  "presses air; 15 to 45 % is usual (from memory, not verified). Check the reading of "
                                  "workbook 06, or the curve of workbook 04."), stacklevel=2)
    cost = Range(*(housing.cost_per_year(p, c.price, days_a_year=c.days) for p in power))
    notes = tuple(dict.fromkeys(plainly(w.message) for w in caught))
    return Plan(c, budget._replace(delivery=c.delivery or budget.delivery), budget.delivery,
                float(oxygen.airflow_by_area(c.area)), pressure, point, power, cost, trouble, notes)


def digits(kind):
    """Significant figures of a number of the plan, everywhere in it: bore and price have three, all else has two."""
    return 3 if kind in ("bore", "price") else 2


def _spread(value, kind, system):
    """Usual value and range as text: more digits, or one number, where the ends would look alike."""
    for many in (2, 3):
        ends = {show(end, kind, system, digits=many) for end in (value.low, value.high)}
        if len(ends) > 1:
            return (show(value.usual, kind, system, digits=many),
                    show_range(value.low, value.high, kind, system, digits=many))
    return show(value.usual, kind, system, digits=2), ""


def _short(usual, ends):
    """Usual value and range with the unit once, such as ``15 acre-ft, 13 to 16``."""
    unit = usual.partition(" ")[1:]
    return f"{usual}, {ends.removesuffix(''.join(unit))}" if ends else usual


def say_value(line, system="US", both=False):
    """The value of a plan line as text; `both` adds the other system in brackets."""
    value, kind = line.value, line.kind
    if kind == "text":
        return value
    if kind == "count":
        low, usual, high = value if isinstance(value, Range) else (value,) * 3
        return f"{usual:.0f}" + (f" ({low:.0f} to {high:.0f})" if low != high else "")
    if not isinstance(value, Range):
        return show(value, kind, system, digits=digits(kind), both=both)
    usual, ends = _spread(value, kind, system)
    if not both:
        return f"{usual} ({ends})" if ends else usual
    spread, again = (_short(*_spread(value, kind, each))
                     for each in (("US", "metric") if system == "US" else ("metric", "US")))
    return spread if again == spread else f"{spread} ({again})"


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

    power (Range): W at the cord.
    price: Dollars a joule, which stays put.
    days: s of running in a year; wear is counted by the calendar all the same.
    Returns: Range: Dollars. The low end puts every low cost and long life together, the high end the reverse.
    """
    def total(watts, purchase, kit, upkeep, interval, life):
        machine = lifecost.Machine("", purchase, watts, kit, interval * YEAR, upkeep, life * YEAR)
        return float(lifecost.life_cost(machine, price, TEN_YEARS, days_a_year=days).total)
    each = zip(power, PURCHASE, KIT, UPKEEP, RENEWAL[::-1], LIFE[::-1], strict=True)
    return Range(*(total(*row) for row in each))


def alternative(name, choices):
    """A plan worked out with what it lifts and what it costs in ten years."""
    made = first_plan(choices)
    if made.point is None:
        return Alternative(name, made, None, None, None)
    with warnings.catch_warnings(action="ignore", category=UserWarning):   # the plan's own notes say the same
        lifted = plume.lifted_water(made.point.flow_free_air, choices.submergence, choices.diffusers,
                                    air.pond_water(choices.elevation, 20.0))
    turnover = Range(choices.volume.low / lifted.high, choices.volume.usual / lifted.usual,
                     choices.volume.high / lifted.low)
    return Alternative(name, made, Range(*map(float, lifted)), turnover,
                       ten_years(made.power, choices.price, choices.days))


def _shallower(c):
    return changed(c, deepest=c.deepest - 3 * FOOT)


def _of_kind(name):
    return lambda c: changed(c, curve=compressor.generic_curve(name, _open_flow(c)))


def _open_flow(c):
    """Most air of the machine, m3/s: at the first point of a saved curve."""
    return c.open_flow if c.curve is None else float(c.curve.flow_free_air[0])


def changes():
    """What another plan may do otherwise: words, and a function of the choices; each kind of machine is one."""
    return {**CHANGES, **{f"A generic {name} machine": _of_kind(name) for name in compressor.family_names()}}


CHANGES = {
    "One diffuser more, on the same air": lambda c: changed(c, diffusers=c.diffusers + 1),
    "Diffuser 3 ft (0.9 m) higher": _shallower,
    "A line of 3/4 the bore": lambda c: changed(c, inside_diameter=0.75 * c.inside_diameter),
    "A line of 1-1/2 times the bore": lambda c: changed(c, inside_diameter=1.5 * c.inside_diameter),
    "Half the air": lambda c: resized(c, 0.5),
}


def changed_plan(choices, change):
    """The plan as it stands and the plan with one change, as two Alternatives.

    Raises ValueError: If there is no such change, or the pond does not allow it.
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
    def number(value, kind):
        return show(value, kind, system, digits=digits(kind))

    def span(values, kind):
        if show(values.low, kind, digits=2) == show(values.high, kind, digits=2):
            return number(values.usual, kind)
        return show_range(values.low, values.high, kind, system)
    made, c = one.plan, one.plan.choices
    rows = {"Diffusers": f"{c.diffusers:.0f}, {number(c.submergence, 'depth')} down",
            "Bore of the line": number(c.inside_diameter, "bore"),
            "Pressure to ask for": number(made.pressure.total, "pressure")}
    if made.point is None:
        return rows | {"Air that arrives": "none"}
    return rows | {"Air that arrives": number(made.point.flow_free_air, "air flow"),
                   "Water lifted": span(one.lifted, "water flow"),
                   "One pond volume": span(one.turnover, "time"),
                   "Power": span(made.power, "power"),
                   f"Cost of a year{season(c)}": span(made.cost, "money a year"),
                   "Ten years of the machine": span(one.ten_years, "money")}


def side_by_side(alternatives, system="US"):
    """Plans in columns: a list of rows, the first holding their names; an empty cell where there is no number."""
    columns = [_rows(one, system) for one in alternatives]
    words = max(columns, key=len)
    return [["", *(one.name for one in alternatives)],
            *([word, *(column.get(word, "") for column in columns)] for word in words)]


LOSSES = "Losses in motor and machine"       # known once a meter has been on the machine


class Swing(NamedTuple):
    """One unknown: words, its ends as quantities of a kind, the answer at each (SI), and how to find it out.

    `ends` is None where the model carries the doubt itself; an answer is not-a-number where no air arrives.
    """

    words: str
    ends: Any
    kind: str
    results: tuple
    measure: str

    @property
    def size(self):
        """How far the answer moves between the ends; endless where one end leaves the pond without air."""
        return np.inf if np.isnan(self.results).any() else abs(self.results[1] - self.results[0])


NARROW = 0.1        # share either side within which saved watts count as known; our choice
# field of a plan that a row with a doubt moves, where it is not the row's own name
_MOVES = {"submergence": "deepest"}
# sections whose rows move an answer; the rest is spared, since a plan takes milliseconds
_MOVED_BY = {"Oxygen at dawn": ("water", "oxygen"), "Pressure to ask for": ("line",), "Air that arrives": ("line",),
             "Cost of a year": ("line", "site")}
# outcome -> (words, kind, unit, the answer of a plan, unknowns inside the model that a plan carries as its range)
OUTCOMES = {
    "Oxygen at dawn": ("oxygen", "mg/L", lambda made: made.budget.dawn.usual,
                       ("How green the water is, and the oxygen at dusk", lambda made: made.budget.dawn,
                        ROWS["oxygen", "dawn"].know_better)),
    "Pressure to ask for": ("pressure", "Pa", lambda made: made.pressure.total, None),
    "Air that arrives": ("air flow", "m^3/s", lambda made: made.point.flow_free_air if made.point else np.nan, None),
    "Cost of a year": ("money a year", "dollar/year",
                       lambda made: made.cost.usual if made.point else np.nan,
                       (LOSSES, lambda made: made.cost, ROWS["power", "power"].know_better)),
}


def _saved(choices, row):
    """Whether the record held this number."""
    return choices.curve is not None if row.name == "open_flow" else row.name not in choices.assumed


def _of_interest(choices, outcome):
    """Rows that may move an outcome and are not known yet; measured watts leave only the price to a year's cost."""
    metered = outcome == "Cost of a year" and choices.efficiency is not None
    for row in ROWS.values():
        if row.doubt is None or row.section not in _MOVED_BY[outcome] or metered and row.name != "price":
            continue
        ends = row.doubt.saved if _saved(choices, row) else ()
        if ends is not None:
            yield row, row.doubt._replace(**dict(zip(("low", "high"), ends, strict=False)))


def _moved(choices, row, doubt):
    """Ends of one unknown, as values of its field; a plain range for the volume."""
    now = getattr(choices, _field(row))
    if doubt.how == "range":
        return [now._replace(usual=now.low), now._replace(usual=now.high)]
    if doubt.how == "dark":                             # up to a whole dark day, however long the night is
        return [now * doubt.low, max(now, doubt.high)]
    if doubt.how == "times":
        return [now * doubt.low, now * doubt.high]
    low, high = (-np.inf, np.inf) if _field(row) != row.name else catalogue.ends(row.section, row.name)
    return [max(now + doubt.low, low), min(now + doubt.high, high)]


def _field(row):
    return _MOVES.get(row.name, row.name)


def _with(choices, row, value):
    """The plan with one unknown at one end; a saved curve is scaled, not dropped."""
    if row.name == "open_flow":
        return resized(choices, value / choices.open_flow)
    return changed(choices, **{_field(row): value})


def one_at_a_time(choices, outcome):
    """Each unknown moved alone, the one that matters most first.

    choices (PlanChoices).
    outcome: A key of :data:`OUTCOMES`.
    Returns: tuple: The answer as planned (SI), and a list of Swing without those that do not move it.
    """
    try:
        kind, unit, answer, inside = OUTCOMES[outcome]
    except KeyError:
        raise ValueError(f"one_at_a_time knows {', '.join(OUTCOMES)}; it was asked for {outcome!r}.") from None
    usual = first_plan(choices)
    told = outcome == "Oxygen at dawn" and choices.dawn is not None
    shift = choices.dawn.usual - float(answer(usual)) if told else 0.0
    now, swings = float(answer(usual)) + shift, []
    for row, doubt in _of_interest(choices, outcome):
        ends = _moved(choices, row, doubt)
        results = []
        for value in ends:
            try:
                moved = float(answer(first_plan(_with(choices, row, value)))) + shift
                results.append(max(moved, 0.0) if told else moved)
            except ValueError:                          # such as a diffuser lifted out of a very shallow pond
                results.append(now)
        if not np.allclose(results, now, rtol=1e-6, atol=1e-12, equal_nan=True):
            swings.append(Swing(row.label, tuple(_shown(row, end) for end in ends), row.kind, tuple(results),
                                row.know_better))
    if inside is not None and not np.isnan(now):
        words, span, measure = inside
        low, middle, high = choices.dawn if told else span(usual)
        metered = choices.efficiency is not None and words == LOSSES
        if not (metered and high - low <= 2 * NARROW * middle):
            swings.append(Swing(words, None, "text", (float(low), float(high)), measure))
    return now, sorted(swings, key=lambda swing: -swing.size)


def _shown(row, end):
    """One end as the quantity a reader knows."""
    if row.name == "submergence":                       # the field holds the depth of the bed
        return Q(float(end - OFF_BOTTOM), "m")
    if row.name == "volume":
        return Q(float(end.usual), "m3")
    return Q(float(to_display(end, row.kind, PlanChoices.units[row.name])), KINDS[row.kind][0])


def matters_most(choices):
    """The unknown that moves dawn oxygen, pressure and cost most, each named once: up to three Swings with outcomes.

    choices (PlanChoices).
    Returns: list of (str, float, Swing): Outcome, its answer as planned, and the swing.
    """
    found, named = [], set()
    for outcome in ("Oxygen at dawn", "Pressure to ask for", "Cost of a year"):
        now, swings = one_at_a_time(choices, outcome)
        fresh = next((swing for swing in swings if swing.words not in named), None)
        if fresh is not None:
            named.add(fresh.words)
            found.append((outcome, now, fresh))
    return found


def say_swings(outcome, swing, system="US", both=False, mark=":"):
    """One unknown in words: what it does to the answer, and how to find it out; `both` adds the other system.

    `mark` stands behind its name.
    """
    kind, unit, *_ = OUTCOMES[outcome]
    if np.isnan(swing.results).any():
        span = "from no air at all to air"
    else:
        low, high = sorted(swing.results)
        order = ("US", "metric") if system == "US" else ("metric", "US")
        spans = [show_range(Q(low, unit), Q(high, unit), kind, each) for each in order]
        span = f"from {spans[0]}" + (f" ({spans[1]})" if both and spans[0] != spans[1] else "")
    return f"{swing.words}{mark} this alone takes “{outcome.lower()}” {span}. To know better: {swing.measure}."
