"""Explorers of workbook 06."""

import warnings
from types import SimpleNamespace

import numpy as np

from .. import air, findings
from ..back_pressure import lineplan, running
from ..catalogue import held
from ..figures import power_and_housing as draw
from ..power_and_housing import cabinet, housing, noise, offers, wiring
from ..units import Q, Range, show, show_range
from .explorer import Choice, Explorer, Slider

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
    return show(Q(float(value), "W"), "power")


def _c(value, system):
    return show(Q(float(value), "degC"), "temperature", system)


def _quietly(function, *args, **kwargs):
    """Call a function whose warnings the sentence under the picture says better."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return function(*args, **kwargs)


def _price(pond):
    return f"{held(pond, 'site', 'price'):.4g} $/kWh"


def _bill(voltage, current, factor, price, hours):
    carried = float(housing.apparent_power.si(voltage, current))
    power = float(housing.true_power.si(voltage, current, factor))
    cost, wrong = (float(housing.cost_per_year.si(watts, price / 3.6e6, hours)) for watts in (power, carried))
    energy = float(housing.energy_per_year.si(power, hours)) / 3.6e6
    return SimpleNamespace(factor=factor, carried=carried, power=power, cost=cost, wrong_cost=wrong, energy=energy,
                           most_cost=1600.0)


def _say_bill(result, system):
    return (f"The wire carries {result.carried:,.0f} volt-amperes; the meter counts {_w(result.power)}. A year takes "
            f"{show(Q(result.energy, 'kWh'), 'energy')} and costs {show(Q(result.cost, 'dollar'), 'money')}. Volts "
            f"times amps would have said {show(Q(result.wrong_cost, 'dollar'), 'money')}. The picture is for a smooth "
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
    drops = {g: wiring.voltage_drop_share.si(current, lengths, g, voltage) for g in (18, 16, 14, 12, 10, 8, 6)}
    drop = float(wiring.voltage_drop_share.si(current, length, gauge, voltage))
    start = wiring.starting_current.si(current)
    return SimpleNamespace(gauge=gauge, lengths=lengths, drops=drops, length=length, drop=drop, current=current,
                           start_drop=Range(*(drop * amps / current for amps in start)), start=start, breaker=breaker,
                           needed=float(wiring.circuit_needed.si(current)), voltage=voltage,
                           loss=float(wiring.conductor_loss.si(current, length, gauge)),
                           longest=float(wiring.longest_run.si(current, gauge, voltage)))


def _say_wire(result, system):
    low, high = result.start_drop.low, result.start_drop.high
    fits = ("which the breaker allows" if result.needed <= result.breaker else
            f"more than the {result.breaker:.0f} A breaker allows day and night")
    run, reach = (show(Q(value, "m"), "distance", system) for value in (result.length, result.longest))
    return (f"{result.gauge} AWG over {run} loses {100 * result.drop:.1f} % of {result.voltage:.0f} V while running, "
            f"{findings.say_drop(result.drop)}. The wire wastes {_w(result.loss)}. "
            f"{findings.say_start_drop(low, high)} At 3 % this wire reaches {reach}. The circuit must be good for "
            f"{result.needed:.1f} A, {fits}.{_wire_and_breaker(result)}")


def _wire_and_breaker(result):
    allowed = wiring.largest_breaker.si(result.gauge)
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
    box = cabinet.Cabinet.si(low_vent=vent, high_vent=vent, absorptance=dark, **BOX)
    made, flow, rise = (cabinet.small_fan.si(fan) if fan else None), 0.0, 0.0
    if bare is not None:
        flow = BOX_FLOW
        rise = float(cabinet.rise_of_air.si(power, flow, running.MOTOR_EFFICIENCY.usual))
        rise = float(cabinet.cooled_along.si(rise, 0.0, flow, LINE_DIAMETER, bare, DRAFT if fan else STILL)[0])
    total = power + (FAN_POWER if fan else 0.0)
    state = _quietly(cabinet.cabinet_temperature.si, box, total, outside, sun, made, flow, rise, elevation)
    roof = float(cabinet.sun_heat.si(BOX["roof_area"], BOX["heat_transfer"],
                                     cabinet.sol_air_temperature.si(outside, sun, dark), state.temperature)
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
        over = show(Q(result.warm - result.outside, "delta_c"), "temperature rise", system)
        limit = _c(result.warm_enough, system)
        state = ("just at" if _c(result.warm, system) == limit else
                 "under" if result.warm <= result.warm_enough else "over")
        closed = ("" if len(result.cases) == 1 else
                  f" Without vents it would settle at {_c(result.cases[0][1], system)}.")
        return (f"With {result.cases[-1][0]} the cabinet settles at {_c(result.warm, system)}, {over} over outdoors "
                f"and {state} the {limit} that many motors are rated for. "
                f"{show(Q(result.flow, 'm3/s'), 'air flow', system, digits=2)} of air passes through.{closed}")
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
    outlets = [float(_quietly(air.discharge_temperature.si, pressure, around, share))
               for share in reversed(running.INTERNAL_EFFICIENCY)]
    warm = [cabinet.cooled_along.si(hot, around, flow, LINE_DIAMETER, along, transfer)[0] for hot in outlets]
    ends = [cabinet.cooled_along.si(hot, around, flow, LINE_DIAMETER, length, transfer) for hot in outlets]
    return SimpleNamespace(along=along, warm=warm, length=length, around=around, soften=SOFTENS,
                           outlets=Range(*outlets), warmest=Range(*(float(t) for t, _ in ends)),
                           heat=Range(*(float(w) for _, w in ends)))


def _say_metal(result, system):
    def span(values):
        return show_range(*(Q(float(v), "degC") for v in (values.low, values.high)), "temperature", system, digits=3)
    kept = show_range(Q(result.heat.low, "W"), Q(result.heat.high, "W"), "power")
    safe = "cool enough" if result.warmest.high <= result.soften else "not surely cool enough"
    metal = show(Q(result.length, "m"), "distance", system, digits=2)
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
    table = offers.read_offers()
    start = lineplan.line_start(pond)
    deep, flow = Q(start.submergence, "m").m_as("ft"), Q(start.flow_free_air, "m3/s").m_as("cfm")

    def model(depth, flow, price, years, hours):
        costs = offers.offer_costs.si(table, depth, flow, price / 3.6e6, years, hours, start.elevation)
        return SimpleNamespace(costs=costs, years=years / (365.25 * 86400), most=1500.0)

    def say(result, system):
        able = [cost for cost in result.costs if cost.fits != "no"]
        if not able:
            return ("None of these four invented offers fits this depth and flow. Ask for another kind of machine, or "
                    "set the diffuser shallower.")
        best, shop = min(able, key=lambda c: c.total.usual), min(able, key=lambda c: c.offer.price)
        share = 100 * best.usual.electricity / best.usual.total
        span = show_range(Q(best.total.low, "dollar"), Q(best.total.high, "dollar"), "money")
        many = "1 year" if round(result.years) == 1 else f"{result.years:.0f} years"
        words = (f"Over {many} “{best.offer.name}” comes out lowest: "
                 f"{show(Q(best.total.usual, 'dollar'), 'money')} ({span}), {share:.0f} % of it electricity.")
        if shop is best:
            return words + " Here it is also the cheapest in the shop."
        return (f"{words} “{shop.offer.name}”, the cheapest in the shop, comes to "
                f"{show(Q(shop.total.usual, 'dollar'), 'money')}. The ranges overlap: ask each seller for the watts at "
                "your pressure.")
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
    quiet = 55.0 - float(noise.day_night_level(0.0))

    def model(level, machines, box, distance):
        source = float(noise.add_levels(*[level] * int(round(machines)))) - box
        return SimpleNamespace(distances=distances, levels=noise.level_at.si(source, sheet, distances), quiet=quiet,
                               distance=distance, level=float(noise.level_at.si(source, sheet, distance)),
                               quiet_distance=float(noise.distance_for_level.si(source, sheet, quiet)))

    def say(result, system):
        side = "below" if result.level <= result.quiet else "above"
        here = show(Q(result.distance, "m"), "distance", system)
        quiet_at = show(Q(result.quiet_distance, "m"), "distance", system, digits=2)
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
