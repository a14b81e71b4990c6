"""Workbook 06: explorers of power, heat, noise and cost, and the forms for own power and offers."""

import warnings
from types import SimpleNamespace

import ipywidgets as W
import numpy as np

from .. import air, findings
from ..back_pressure import compressor, lineplan, reach
from ..catalogue import held, rows, usual
from ..figures import power_and_housing as draw
from ..power_and_housing import cabinet, housing, lifecost, wiring
from ..refusals import plainly
from ..spellings import shortened
from ..units import Q, QuantityError, Range, asked, read_quantity, show, show_range
from .explorer import Choice, Explorer, Slider
from .ownform import Box, OwnForm, price_box, read_all

BOX = {"roof_area": 0.37, "wall_area": 1.86, "heat_transfer": 2.5, "vent_height": 0.46}   # 2 x 2 x 2.5 ft of plywood
CRACKS = 0.5 * 0.0254**2        # m2 of free area in a box without vents
FAN_POWER = 18.0                # W of a small fan: common practice, no source
BOX_FLOW = 0.00189              # m3/s of free air through the machine, 4 cfm
SOFTENS = 60.0                  # C, 140 F: past it neither PVC nor polyethylene is rated
DAYS = {"95 °F (35 °C), dark roof in full sun": (35.0, 1000.0, 0.9),
        "95 °F (35 °C), light roof in full sun": (35.0, 1000.0, 0.45), "95 °F (35 °C), in the shade": (35.0, 0.0, 0.5),
        "110 °F (43 °C), dark roof in full sun": (43.3, 1000.0, 0.9), "70 °F (21 °C), in the shade": (21.1, 0.0, 0.5)}
HOT_LINE = {"wanders 10 ft (3 m) bare through the cabinet": 3.0, "leaves the cabinet within a foot (0.3 m)": 0.3,
            "assume all heat stays in the cabinet": None}
SUPPLIES = {"120 V": 120.0, "240 V, a machine made for it": 240.0}
STILL, DRAFT = 5.0, 15.0        # W/(m2 K) of bare line in still air and in a draft: assumptions
LINE_DIAMETER = 0.0267          # m, outside of a 3/4 inch steel pipe


def _w(value):
    return show(value, "power")


def _c(value, system):
    return show(value, "temperature", system)


def _quietly(function, *args, **kwargs):
    """Call a function whose warnings the sentence under the picture says better."""
    with warnings.catch_warnings(action="ignore"):
        return function(*args, **kwargs)


def _price(pond):
    return f"{held(pond, 'site', 'price'):.4g} $/kWh"


def _bill(voltage, current, factor, price, hours):
    carried = float(housing.apparent_power(voltage, current))
    power = float(housing.true_power(voltage, current, factor))
    cost, wrong = (float(housing.cost_per_year(watts, price / 3.6e6, hours)) for watts in (power, carried))
    energy = float(housing.energy_per_year(power, hours)) / 3.6e6
    return SimpleNamespace(factor=factor, carried=carried, power=power, cost=cost, wrong_cost=wrong, energy=energy,
                           most_cost=1600.0)


def _say_bill(result, system):
    return (f"The wire carries {result.carried:,.0f} volt-amperes; the meter counts {_w(result.power)}. A year takes "
            f"{show(Q(result.energy, 'kWh'), 'energy')} and costs {show(result.cost, 'money')}. Volts "
            f"times amps would have said {show(result.wrong_cost, 'money')}. The picture is for a smooth "
            "wave; a watt meter is right for any.")


def power_slip(pond, system="US"):
    """What do volts times amps have to do with the bill?"""
    return Explorer("Volts, amps and watts", _bill, draw.sloshing, _say_bill,
                    [*(Slider.of("power", name) for name in ("voltage", "current", "factor")),
                     Slider.of("site", "price", _price(pond)), Slider.of("power", "hours_a_day", to="hours")],
                    presets={"A plain heater": {"factor": "100 %"}, "A lightly loaded motor": {"factor": "40 %"},
                             "With a run capacitor": {"factor": "95 %"},
                             "Nights only": {"hours": "10 h"}}, system=system)


def _wire(current, length, gauge, voltage, breaker):
    lengths = np.linspace(0, 240, 41)
    drops = {g: wiring.voltage_drop_share(current, lengths, g, voltage) for g in (18, 16, 14, 12, 10, 8, 6)}
    drop = float(wiring.voltage_drop_share(current, length, gauge, voltage))
    start = wiring.starting_current(current)
    return SimpleNamespace(gauge=gauge, lengths=lengths, drops=drops, length=length, drop=drop, current=current,
                           start_drop=Range(*(drop * amps / current for amps in start)), start=start, breaker=breaker,
                           needed=float(wiring.circuit_needed(current)), voltage=voltage,
                           loss=float(wiring.conductor_loss(current, length, gauge)),
                           longest=float(wiring.longest_run(current, gauge, voltage)))


def _say_wire(result, system):
    low, high = result.start_drop.low, result.start_drop.high
    fits = ("which the breaker allows" if result.needed <= result.breaker else
            f"more than the {result.breaker:.0f} A breaker allows day and night")
    run, reach = (show(value, "distance", system) for value in (result.length, result.longest))
    return (f"{result.gauge} AWG over {run} loses {100 * result.drop:.1f} % of {result.voltage:.0f} V while running, "
            f"{findings.say_drop(result.drop)}. The wire wastes {_w(result.loss)}. "
            f"{findings.say_start_drop(low, high)} At 3 % this wire reaches {reach}. The circuit must be good for "
            f"{result.needed:.1f} A, {fits}.{_wire_and_breaker(result)}")


def _wire_and_breaker(result):
    allowed = wiring.largest_breaker(result.gauge)
    if allowed >= result.breaker:
        return ""
    if allowed == 0:
        return f" {result.gauge} AWG is cord, never the wire of a building."
    return (f" {result.gauge} AWG usually may not stand behind a breaker of more than {allowed:.0f} A: thicker wire or "
            "a smaller breaker.")


def wire_run(system="US"):
    """How thick a wire over what distance?"""
    gauges = {f"{g} AWG{words}": g for g, words in ((18, " (thin cord)"), (16, ""), (14, ""), (12, ""), (10, ""),
                                                    (8, ""), (6, " (thick)"))}
    return Explorer("What a long wire takes", _wire, draw.wire_run, _say_wire,
                    [Slider.of("power", "run_length", to="length"), Slider.of("power", "current"),
                     Choice("gauge", "Copper wire", gauges, "12 AWG"),
                     Choice("voltage", "Supply", SUPPLIES, "120 V"),
                     Choice("breaker", "Breaker", {"15 A": 15.0, "20 A": 20.0, "30 A": 30.0}, "20 A")],
                    presets={"A thin cord": {"gauge": "18 AWG (thin cord)"},
                             "240 V, half the amps": {"voltage": list(SUPPLIES)[1], "current": "2.2 A"}}, system=system)


def _settle(day, power, vent, fan, bare, elevation):
    """State of the box, heat in and heat out, for one day, one vent (m2) and one fan (m3/s, 0 for none)."""
    outside, sun, dark = day
    box = cabinet.Cabinet(low_vent=vent, high_vent=vent, absorptance=dark, **BOX)
    made, flow, rise = (cabinet.small_fan(fan) if fan else None), 0.0, 0.0
    if bare is not None:
        flow = BOX_FLOW
        rise = float(cabinet.rise_of_air(power, flow, compressor.MOTOR_EFFICIENCY.usual))
        rise = float(cabinet.cooled_along(rise, 0.0, flow, LINE_DIAMETER, bare, DRAFT if fan else STILL).temperature)
    total = power + (FAN_POWER if fan else 0.0)
    state = _quietly(cabinet.cabinet_temperature, box, total, outside, sun, made, flow, rise, elevation)
    roof = float(cabinet.sun_heat(BOX["roof_area"], BOX["heat_transfer"],
                                  cabinet.sol_air_temperature(outside, sun, dark), state.temperature)
                 if sun else 0.0)
    roof = max(roof, 0.0)
    heat_in = [("compressor and fan", total), ("sun on the roof", roof)]
    heat_out = [("moving air", state.vent_heat), ("roof and walls", roof - state.shell_heat),
                ("hot line", state.line_heat)]
    return SimpleNamespace(state=state, heat_in=heat_in, heat_out=heat_out)


def cabinet_heat(pond, system="US"):
    """How hot does it get in the cabinet?"""
    elevation = held(pond, "site", "elevation")

    def model(day, hot_line, power, vent, fan):
        settings = [("no vents", CRACKS, 0.0), ("these vents", vent, 0.0), ("vents and fan", vent, fan)]
        if fan < 1e-4:
            settings = settings[:2]
        if vent <= 1.01 * CRACKS:
            settings = settings[:1]
        solved = [_settle(day, power, area, flow, hot_line, elevation) for _, area, flow in settings]
        last = solved[-1]
        return SimpleNamespace(outside=day[0], cases=[(words, s.state.temperature) for (words, *_), s in
                                                      zip(settings, solved, strict=True)], chosen=len(solved) - 1,
                               warm_enough=findings.WARM_ENOUGH, heat_in=last.heat_in, heat_out=last.heat_out,
                               most_heat=1100.0, flow=last.state.vent_flow, warm=last.state.temperature)

    def say(result, system):
        over = show(result.warm - result.outside, "temperature rise", system)
        limit = _c(result.warm_enough, system)
        state = ("just at" if _c(result.warm, system) == limit else
                 "under" if result.warm <= result.warm_enough else "over")
        closed = ("" if len(result.cases) == 1 else
                  f" Without vents it would settle at {_c(result.cases[0][1], system)}.")
        return (f"With {result.cases[-1][0]} the cabinet settles at {_c(result.warm, system)}, {over} over outdoors "
                f"and {state} the {limit} that many motors are rated for. "
                f"{show(result.flow, 'air flow', system, digits=2)} of air passes through.{closed}")
    return Explorer("Heat in the cabinet", model, draw.cabinet, say,
                    [Choice("day", "Weather", DAYS, next(iter(DAYS))),
                     Slider.of("power", "power"),
                     Choice("hot_line", "Hot discharge line", HOT_LINE, next(iter(HOT_LINE))),
                     Slider("vent", "Free area of each of two vents", "vent", "0.5 in²", "200 in²", "20 in²",
                            step=0.5),
                     Slider("fan", "Fan, flow on its box", "air flow", "0 cfm", "300 cfm", "0 cfm", step=5)],
                    presets={"Closed box": {"vent": "0.5 in²", "fan": "0 cfm"},
                             "Large vents": {"vent": "100 in²", "fan": "0 cfm"},
                             "Vents and fan": {"vent": "20 in²", "fan": "110 cfm"}}, system=system)


def _metal(pressure, flow, around, length, transfer):
    along = np.linspace(0, 9, 46)
    outlets = [float(_quietly(air.discharge_temperature, pressure, around, share))
               for share in reversed(compressor.INTERNAL_EFFICIENCY)]
    warm = [cabinet.cooled_along(hot, around, flow, LINE_DIAMETER, along, transfer).temperature for hot in outlets]
    ends = [cabinet.cooled_along(hot, around, flow, LINE_DIAMETER, length, transfer) for hot in outlets]
    return SimpleNamespace(along=along, warm=warm, length=length, around=around, soften=SOFTENS,
                           outlets=Range(*outlets), warmest=Range(*(float(end.temperature) for end in ends)),
                           heat=Range(*(float(end.heat) for end in ends)))


def _say_metal(result, system):
    def span(values):
        return show_range(values.low, values.high, "temperature", system, digits=3)
    kept = show_range(result.heat.low, result.heat.high, "power")
    safe = "cool enough" if result.warmest.high <= result.soften else "not surely cool enough"
    metal = show(result.length, "distance", system, digits=2)
    return (f"The air leaves the pump at {span(result.outlets)}. After {metal} of bare metal it is at "
            f"{span(result.warmest)}, {safe} for plastic line. On the way the metal gives off {kept}: inside the "
            "cabinet that heat stays there, outside it is gone.")


def hot_line(system="US"):
    """How much bare metal before the plastic line may begin?"""
    return Explorer("The hot line as a radiator", _metal, draw.hot_line, _say_metal,
                    [Slider("pressure", "Gauge pressure at the pump", "pressure", "1 psi", "20 psi", "8 psi", step=0.5),
                     Slider.of("line", "flow_free_air", to="flow"),
                     Slider("around", "Air around the line", "temperature", "20 °F", "130 °F", "100 °F", step=1),
                     Slider("length", "Length of bare metal", "distance", "0 ft", "29 ft", "6 ft", step=0.5),
                     Choice("transfer", "Air around it", {"still": STILL, "a light draft": 10.0, "a fan blows": DRAFT},
                            "a light draft")],
                    presets={"Deep pond": {"pressure": "15 psi"}, "No metal": {"length": "0 ft"}}, system=system)


def offer_costs(pond, system="US"):
    """Which offer is the cheapest over the years?"""
    table = lifecost.read_offers()
    start = lineplan.line_start(pond)
    deep, flow = Q(start.submergence, "m").m_as("ft"), Q(start.flow_free_air, "m3/s").m_as("cfm")

    def model(depth, flow, price, years, hours):
        costs = lifecost.offer_costs(table, depth, flow, price / 3.6e6, years, hours, start.elevation)
        return SimpleNamespace(costs=costs, years=years / (365.25 * 86400), most=1500.0)

    def say(result, system):
        able = [cost for cost in result.costs if cost.fits != "no"]
        if not able:
            return ("None of these four invented offers fits this depth and flow. Ask for another kind of machine, or "
                    "set the diffuser shallower.")
        best, shop = min(able, key=lambda c: c.total.usual), min(able, key=lambda c: c.offer.price)
        share = 100 * best.usual.electricity / best.usual.total
        span = show_range(best.total.low, best.total.high, "money")
        many = "1 year" if round(result.years) == 1 else f"{result.years:.0f} years"
        words = (f"Over {many} “{best.offer.name}” comes out lowest: "
                 f"{show(best.total.usual, 'money')} ({span}), {share:.0f} % of it electricity"
                 f"{best.edge}.")
        if shop is best:
            return words + " Here it is also the cheapest in the shop."
        return (f"{words} “{shop.offer.name}”, the cheapest in the shop, comes to "
                f"{show(shop.total.usual, 'money')}{shop.edge}. The ranges overlap: ask each seller "
                "for the watts at your pressure.")
    return Explorer("The price tag and the years", model, draw.offers, say,
                    [Slider.of("line", "submergence", f"{deep:.1f} ft", "depth"),
                     Slider.of("line", "flow_free_air", f"{flow:.2g} cfm", "flow"),
                     Slider.of("site", "price", _price(pond)), Slider.of("power", "years"),
                     Slider.of("power", "hours_a_day", to="hours")],
                    presets={"As in the question": {"depth": "12 ft", "flow": "4 cfm", "price": "0.173 $/kWh",
                                                    "years": "10 yr", "hours": "24 h"},
                             "Shallow pond": {"depth": "6 ft"}, "One year only": {"years": "1 yr"},
                             "Two hours a day": {"hours": "2 h"}}, system=system)


def neighbor(system="US"):
    """How loud is it at the neighbor's house?"""
    distances = np.geomspace(0.9144, 609.6, 60)
    sheet = 0.9144                   # m: 3 ft, where data sheets often measure
    quiet = 55.0 - float(cabinet.day_night_level(0.0))

    def model(level, machines, box, distance):
        source = float(cabinet.add_levels(*[level] * int(round(machines)))) - box
        return SimpleNamespace(distances=distances, levels=cabinet.level_at(source, sheet, distances), quiet=quiet,
                               distance=distance, level=float(cabinet.level_at(source, sheet, distance)),
                               quiet_distance=float(cabinet.distance_for_level(source, sheet, quiet)))

    def say(result, system):
        side = "below" if result.level <= result.quiet else "above"
        here = show(result.distance, "distance", system)
        quiet_at = show(result.quiet_distance, "distance", system, digits=2)
        return (f"At {here} in the open it is {result.level:.0f} dBA, {side} the {result.quiet:.0f} dBA that, day and "
                f"night, makes a day-night average of 55 dB. It falls to that at {quiet_at}. Your local ordinance, not "
                "this line, decides.")
    return Explorer("At the neighbor's house", model, draw.noise, say,
                    [Slider("distance", "Distance to the neighbor", "distance", "3 ft", "2000 ft", "150 ft", step=1),
                     Slider("level", "Level on the sheet at 3 ft (0.9 m), dBA", "number", "40", "95", "65", step=1),
                     Slider("machines", "Machines running", "number", "1", "8", "1", step=1),
                     Slider("box", "Cabinet takes off, dB", "number", "0", "25", "0", step=1)],
                    presets={"Two machines": {"machines": "2"}, "Twice as far": {"distance": "300 ft"},
                             "A lined box": {"box": "10"}}, system=system)


WORKBOOK = "06-power-housing-and-cost"
MOTORS = {"not sure": housing.ANY_MOTOR, "has a run capacitor": housing.RUN_CAPACITOR,
          "plain, no run capacitor": housing.PLAIN_MOTOR}
BOUGHT = {"I have it, or know its plate": True, "I have not bought one yet": False}
OUTLET = "120 V"


class OwnPower(OwnForm):
    """Readings of the reader's own machine, or what one not bought yet may draw; what it means, and saving."""

    _known = {"current": ("current", "current"), "length": ("run_length", "distance"),
              "gauge": ("wire_gauge", "number")}
    _begun = {"price": "site"}

    def __init__(self, pond, system="US"):
        self._pond, self._system = pond, system
        super().__init__("power of my own compressor", {
            "bought": W.Dropdown(description="The machine", options=list(BOUGHT)),
            "voltage": self._box("power", "voltage", bare="volt"),
            "current": self._box("power", "current", bare="ampere"),
            "watts": self._box("power", "watts", optional=True, bare="watt"),
            "factor": self._box("power", "factor", optional=True, bare="dimensionless"),
            "motor": W.Dropdown(description="The motor, if neither is known", options=list(MOTORS)),
            "price": price_box(pond),
            "length": self._box("power", "run_length"),
            "gauge": self._list("power", "wire_gauge", list(wiring.GAUGES), 12),
            "hottest": self._box("power", "hottest")}, "power", WORKBOOK)
        self.bought.observe(self._ask_less, "value")
        self._ask_less(None)

    def _ask_less(self, _):
        """What only a machine shows is not asked for one that is not there."""
        unknown = not BOUGHT[self.bought.value]
        self.voltage.optional = self.current.optional = unknown
        for box in (self.current, self.watts, self.factor, self.motor):
            box.disabled = unknown

    def _found(self):
        names = ["voltage", *(["current", "watts", "factor"] if BOUGHT[self.bought.value] else []), "price", "length",
                 "hottest"]
        read = read_all(**{name: getattr(self, name) for name in names})
        elevation, note = self._pond.get("site", "elevation", Q("0 ft")), ""
        if "factor" in read:
            read["power_factor"] = read.pop("factor")
        if not BOUGHT[self.bought.value]:
            read, note = self._not_bought(read, elevation)
        values = asked(findings.power)(gauge=self.gauge.value, elevation=elevation, motor=MOTORS[self.motor.value],
                                       **read)
        return note + findings.say_power(values, self._system, read["hottest"]) + self._season(values), values, ""

    def _season(self, values):
        """What a month of running costs, and the months of air that workbook 07 saved; empty where none are saved."""
        days, year = housing.air_days(self._pond), values["cost"].usual
        if days.running == housing.ALL_YEAR:
            return ""
        share = days.running / housing.ALL_YEAR
        return (f" A month of running costs {show(year * Q('1 yr') / 12, 'money', digits=2)}; run {days.words}, it is "
                f"{show(year * share, 'money a year', digits=2)}.")

    def _not_bought(self, read, elevation):
        """The amps and watts to plan for, from the air and pressure that workbook 04 found."""
        flow, pressure = self._pond.get("line", "flow_free_air"), self._pond.get("line", "pressure_gauge")
        if flow is None or pressure is None:
            raise QuantityError("watts before buying come from the air and the pressure of your line, which are not "
                                "saved yet. Do the form of workbook 04 and save, then run this workbook again.")
        voltage = read.get("voltage", read_quantity(OUTLET))
        likely = asked(findings.power_before_buying)(flow, pressure.high, voltage, elevation)
        air, high = show(flow, "air flow", self._system), show(pressure.high, "pressure", self._system)
        return (read | {"voltage": voltage, "current": Q(likely.current, "A"), "likely": likely.power},
                f"Nothing bought yet, so this is reckoned for {air} of free air at {high}, as workbook 04 found, by a "
                "machine that puts 15 to 45 % of its electricity into the air (from memory, not verified), at "
                f"{show(voltage, 'voltage')}. Amps, wire and fan are for the high end. Ask each seller for watts and "
                "amps at your pressure.\n")


WATTS_ARE = {lifecost.AT_MY_PRESSURE: True, "rated, or on the plate": False}


class _Reader:
    """A box that is read by a function of its text; a refusal begins with its name."""

    def __init__(self, box, read, empty):
        self._box, self._read, self._empty = box, read, empty

    def read(self):
        """What the function makes of the text."""
        if not self._box.value.strip():
            return self._empty() if callable(self._empty) else self._empty
        try:
            return self._read(self._box.value)
        except ValueError as problem:
            raise QuantityError(plainly(problem), what=self._box.description) from None


class _Offer:
    """The boxes of one offer."""

    def __init__(self, letter, system):
        metric = system != "US"
        self.letter = letter
        text = f"Offer {letter}: {{}}".format
        named = {name: text(row.words) for name, row in rows("offers").items()}
        self.boxes = {
            "name": W.Text(description=named["name"], placeholder="for example: farm store"),
            "price": Box.of("offers", "price", system, label=named["price"], bare="dollar"),
            "air": W.Textarea(rows=2, description=text("air at pressure, as many points as you were told"),
                              placeholder="110 L/min at 35 kPa, 60 L/min at 70 kPa" if metric else
                              "3.9 cfm at 5 psi, 2.1 cfm at 10 psi"),
            "highest": Box.of("line", "highest", system, label=named["highest"], optional=True),
            "watts": W.Text(description=text("electricity, as watts, or amps and volts, or horsepower"),
                            placeholder=f"for example: {housing.EXAMPLE}"),
            "sure": W.Dropdown(description=named["watts_are"], options=list(WATTS_ARE)),
            "upkeep": Box.of("offers", "upkeep", system, f"{usual('offers', 'upkeep', 'dollar/year'):g}",
                             named["upkeep"], bare="dollar / year", convert=_by_year)}
        vars(self).update(self.boxes)

    @property
    def empty(self):
        return not any(box.value.strip() for box in (self.name, self.price, self.air, self.highest, self.watts))

    def readers(self):
        """What must be read, by name."""
        def missing():
            raise QuantityError("is empty.", f"Write, for example, {housing.EXAMPLE}.", what=self.watts.description)
        return {f"{self.letter}price": self.price, f"{self.letter}highest": self.highest,
                f"{self.letter}air": _Reader(self.air, reach.read_told, reach.Told()),
                f"{self.letter}upkeep": self.upkeep,
                f"{self.letter}watts": _Reader(self.watts, lambda text: housing.read_electricity(
                    text, WATTS_ARE[self.sure.value]), missing)}

    def quote(self, read):
        """The offer as :class:`pondcalc.power_and_housing.lifecost.Quote`."""
        highest = read.get(f"{self.letter}highest")
        return lifecost.quote(shortened(self.name.value, 40) or f"offer {self.letter}",
                              read[f"{self.letter}price"].m_as("dollar"), read[f"{self.letter}air"],
                              None if highest is None else highest.m_as("Pa"), read[f"{self.letter}watts"],
                              read[f"{self.letter}upkeep"].m_as("dollar/year"))


def _by_year(value):
    return value / read_quantity("1 yr") if value.check("[currency]") else value


class OwnOffers(OwnForm):
    """Offers a reader got: which reach the diffuser, with how much air, and what those cost."""

    _begun = {"price": "site"}

    def __init__(self, pond, system="US"):
        self._pond, self._system = pond, system
        self._place, self._days = lineplan.saved_line(pond), housing.air_days(pond)
        self.offers = [_Offer(letter, system) for letter in "ABC"]
        super().__init__("offers I got", {
            **{offer.letter: offer.boxes for offer in self.offers}, "price": price_box(pond),
            "years": self._box("power", "years", f"{usual('power', 'years', 'year'):g}", bare="year")},
                         "offers", WORKBOOK, go="Compare them", trouble="Not compared", words=self._asks())

    def _asks(self, advice=True):
        """What the saved line asks of every machine, and what to ask its seller."""
        if self._place is None:
            return ("Your line is not saved yet (workbook 04), so nobody can say which machine makes a bubble at your "
                    "depth. Do the form of workbook 04 first.")
        thin = reach.too_thin(self._place, self._system)
        if thin:
            return f"{thin[0].upper()}{thin[1:]}"
        own = reach.at_work(self._place)
        first, aged = (show(value, "pressure", self._system)
                       for value in (reach.needed(self._place), own.aged.working))
        flow = show(self._place.flow_free_air, "air flow", self._system)
        asks = (f"Your line asks for {first} before the first bubble with a new diffuser, and for {aged} with an aged "
                f"diffuser at the {flow} that you planned.")
        return f"{asks} Ask each seller for the air and the watts at {aged} on the gauge." if advice else asks

    def _found(self):
        there = [offer for offer in self.offers if not offer.empty]
        if not there:
            raise QuantityError("fill in an offer or two: price, air at pressure and electricity of each.")
        readers = {name: box for offer in there for name, box in offer.readers().items()}
        read = read_all(**readers, price=self.price, years=self.years)
        # how fast the air runs in a line is said in workbook 04
        with warnings.catch_warnings(action="ignore", category=UserWarning):
            judged = lifecost.judge_quotes([offer.quote(read) for offer in there], self._place,
                                           read["price"].m_as("dollar/J"), read["years"].m_as("s"), self._days.seconds,
                                           self._system)
        lines = [lifecost.cheapest(judged)[1]]
        lines += [] if self._place is None else [self._asks(advice=False)]
        lines += [f"\n{lifecost.say_judged(one, self._place, self._days, self._system)}" for one in judged]
        lines.append(f"\nCounted: one purchase, electricity {self._days.words}, your guess of parts and service. Not "
                     "counted: a machine that fails and is bought again, your hours, and the fish. A low price is no "
                     "reason to buy a machine that does not reach.")
        return lines, self._values(there, read), ""

    def _values(self, there, read):
        """The offers as they were told, for the pond record."""
        def each(name):
            return [getattr(offer, name).value.strip() for offer in there]
        return {"name": [shortened(offer.name.value, 40) or f"offer {offer.letter}" for offer in there],
                "price": [read[f"{offer.letter}price"] for offer in there], "air": each("air"),
                "highest": each("highest"), "electricity": each("watts"), "watts_are": each("sure"),
                "upkeep": [read[f"{offer.letter}upkeep"] for offer in there]}
