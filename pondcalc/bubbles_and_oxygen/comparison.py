"""Which does more for the pond: fine bubbles or coarse, the bubbles or the water they turn?

Bubbles give up part of their oxygen on the way up. They also carry bottom water to the top, where it takes oxygen from
the open air for nothing. The two stand side by side, and with them the choices a buyer is offered: fine or coarse
bubbles, at the SAME power or with the same air. A real stone or membrane has thousands of unlike pores, so for their
bubbles the table :data:`MATERIALS` gives plain ranges. Nor does anybody know how stiff their skin is, how clean the
water, and how near the middle of the plume they ride: :func:`transfer_doubt` makes one range of all four.

The functions that begin with ``say`` compute one bubble, one rating, one lift or one tub and return text for a page, in
the reader's units. Water is fresh.
"""

from typing import Annotated, Any, NamedTuple

import numpy as np

from .. import air
from ..air import GRAVITY
from ..units import Q, QuantityError, Range, format_number, quantities, show, show_range
from . import bubbles, buckettest, plume, transfer
from .plume import Column, uniform_column


class Material(NamedTuple):
    """One kind of diffuser; sizes in m, pressures in Pa."""

    name: str
    bubble_diameter: Range          # at usual air flow; grows with air flow
    wet_pressure: Range             # pressure spent pushing air through the wet material, new
    plugging: str
    cracking: str
    pressure: str
    cleaning: str
    source: str


def _range(low, usual, high, unit):
    return Range(*(Q(value, unit).m_as("m" if unit == "mm" else "Pa") for value in (low, usual, high)))


_PRACTICE = "common practice, no source"
MATERIALS = {entry.name: entry for entry in (
    Material("stone", _range(2, 3, 6, "mm"), _range(4, 8, 20, "inH2O"),
             "Pores fill from both sides: slime and scale outside, dust and oil from the air side.",
             "Breaks when dropped or frozen; glued joints can let go, and then the air leaves in one place.",
             "Rises slowly as pores fill; the gauge shows it.",
             "Soak and brush; acid only by its label, outdoors, with goggles and gloves, never mixed with "
             "bleach.",
             _PRACTICE),
    Material("membrane", _range(1, 2.5, 5, "mm"), _range(6, 12, 20, "inH2O"),
             "Slits close when the air stops, so little water gets back in; slime still builds outside.",
             "Rubber stiffens, stretches and in time splits, mostly at the clamp and along old slits.",
             "Often about double after some years (Krampe 2011: at half of the plants evaluated).",
             "Wipe with a soft cloth; flex it by a short burst of more air.",
             _PRACTICE),
    Material("drilled pipe", _range(5, 8, 15, "mm"), _range(1, 4, 12, "inH2O"),
             "Large holes seldom plug, but mud and water run in when the air stops.",
             "Hardly any; it fails by coming loose, floating up or kinking.",
             "Low, and so the air goes to the shallowest holes: the pipe must lie level.",
             "Flush; re-drill holes that have scaled over.",
             _PRACTICE),
)}


def material(name):
    """The entry of :data:`MATERIALS` for a kind of diffuser."""
    if name not in MATERIALS:
        raise QuantityError(f"{name!r} is not a kind of diffuser this set knows. Choose: "
                            f"{', '.join(MATERIALS)}.")
    return MATERIALS[name]


# m/s: gas exchange of sheltered water, k600 of 0.35 to 0.74 m/d on lakes of 0.3 to 45 ha with mean wind
# under 3 m/s (Cole and others 2010, Limnol. Oceanogr. Methods 8, 285-293; abstract seen); usual = middle
EXCHANGE = Range(0.35 / 86400, 0.51 / 86400, 0.74 / 86400)
# adiabatic power over electric power of small compressors: from memory, not verified
EFFICIENCY = 0.30
KINDS = ("membrane", "stone", "drilled pipe")       # of :data:`MATERIALS`, fine to coarse


# Width of the bubble core over that of its plume. 0.8: Wüest, Brooks & Imboden (1992). 1 - 0.19 U**0.61: Socolofsky &
# Adams (2005), J. Hydraul. Eng. 131, 273-287, with U the rise of bubbles over the speed scale of a layered plume: 0.7
# for 1 cfm under July's layers, 0.6 under weak ones, 0.3 for the thinnest. Both read second-hand in public plume code.
CORE = Range(0.3, 0.6, 0.8)
RIDE = Range(*(plume.ride(core) for core in CORE[::-1]))
# what makes the range of oxygen out of bubbles wide, for a reader
WHY_WIDE = "bubbles large or small, skins stiff or free, water dirty or clean"


def carried_column(flow_free_air, depth, column):
    """The same water, with the speed at which the middle of one diffuser's plume carries its bubbles.

    flow_free_air (float, m3/s): Of ONE diffuser.
    depth (float, m), column (Column).
    Returns: Column: For :mod:`.bubbles`: bubbles in a plume pass through faster, and give up less. They sit in its
        core, where water is faster than the mean (:data:`RIDE`).
    """
    rising = plume.plume_profile(flow_free_air, depth, column)
    order = slice(None, None, -1)
    z = np.maximum(np.asarray(rising.depth)[order], 0.0)
    nitrogen = None if column.dissolved_nitrogen is None else column.at("dissolved_nitrogen", z)
    return Column(z, column.water_at(z), column.at("dissolved_oxygen", z), RIDE.usual * rising.speed[order], nitrogen)


def transfer_doubt(diameter, carried, temperature):
    """How far the transfer of bubbles may lie from the law for their usual size in clean water: factors on K_L.

    diameter (Range, m): Of the bubbles.
    carried (float, m/s): Mean speed of the water that carries them, at the usual ride.
    temperature (float, degC).
    Returns: Range: The usual one is the alpha of pond water.

    Every meter of the way a bubble fills ``K_L / (d (v + U))`` of the shortage, so each doubt can be told as a factor
    on K_L: the size; the skin, by the lowest and the highest of ``bubbles.TRANSFER_FORMS``; the water, by
    ``transfer.ALPHA``; the ride. They are taken as independent: squares of their logs add, and the range is narrower
    than every bad end at once. Stiff skins and large bubbles do not go together: what stiffens also keeps from merging.
    """
    fluid, alpha = bubbles.liquid(temperature), transfer.ALPHA

    def filled(d, law=bubbles.NATURAL.transfer, ride=RIDE.usual):
        speed = bubbles.natural_speed(d)
        return law(d, speed, fluid) / (d * (speed + ride / RIDE.usual * carried))
    usual = filled(diameter.usual)
    skins = [filled(diameter.usual, law) / usual for law in bubbles.TRANSFER_FORMS.values()]
    doubts = np.array([(filled(diameter.high) / usual, filled(diameter.low) / usual), (min(skins), max(skins)),
                       [filled(diameter.usual, ride=ride) / usual for ride in (RIDE.high, RIDE.low)],
                       (alpha.low / alpha.usual, alpha.high / alpha.usual)])
    low, high = np.sqrt(np.sum(np.log(doubts) ** 2, axis=0))
    return Range(alpha.usual * np.exp(-low), alpha.usual, alpha.usual * np.exp(high))


def oxygen_by_bubbles(flow_free_air, depth, column, diffuser="membrane", diffusers=1):
    """Oxygen the bubbles themselves give to the pond.

    flow_free_air (float, m3/s): All the air, shared evenly by the diffusers.
    depth (float, m).
    column (Column): Pond temperature and oxygen by depth.
    diffuser: A key of ``comparison.MATERIALS``.
    diffusers (int).
    Returns: Range, kg/s: For the doubts of :func:`transfer_doubt`. Below zero if the water holds so much oxygen that
        the bubbles carry some out.
    """
    plume.check_air(flow_free_air / diffusers, depth, "oxygen_by_bubbles")
    carried = carried_column(flow_free_air / diffusers, depth, column)
    sizes = material(diffuser).bubble_diameter
    factors = transfer_doubt(sizes, np.mean(carried.plume_speed), column.at("temperature", depth))
    shares = bubbles.oxygen_transferred_by_spread(sizes.usual, depth, carried, factors)
    return Range(*np.sort(air.oxygen_mass_flow(flow_free_air) * shares))


def surface_uptake(lifted, dissolved_oxygen, saturation, area, exchange=EXCHANGE.usual):
    """Oxygen that lifted water takes from the air before it sinks again.

    lifted (float or array, m3/s).
    dissolved_oxygen (float or array, mg/L): Of the water as it arrives at the top.
    saturation (float or array, mg/L).
    area (float, m2): Of the pond's surface.
    exchange (float or array, m/s): Gas exchange velocity k.

    The top layer counts as mixed: fed by the plume at Q, drained at Q, open to the air. In balance
    it holds ``(Q C + k A C_s)/(Q + k A)``, so it takes in ``(C_s - C) Q k A/(Q + k A)``. The
    smaller of Q and kA rules: a pump that turns water faster than the surface can feed it gains
    little. Left out: the boil over the diffuser, wind above 3 m/s, and oxygen made by plants.
    """
    if not all(np.all(np.asarray(value) > 0) for value in (lifted, area, exchange)):
        raise QuantityError("surface_uptake needs lifted water, a pond area and an exchange velocity above "
                            f"zero; it was given {lifted} m3/s, {area} m2 and {exchange} m/s.")
    open_to_air = exchange * area
    return (saturation - dissolved_oxygen) * lifted * open_to_air / (lifted + open_to_air) * 1e-3


class Paths(NamedTuple):
    """Oxygen into a pond by its two paths."""

    bubbles: Annotated[Range, "kg/s"]                  # kg/s, out of the bubbles
    surface: Annotated[Range, "kg/s"]                  # kg/s, taken in at the top by the water lifted
    ratio: Annotated[Range, ""]                    # surface over bubbles
    lifted: Annotated[Range, "m^3/s"]                   # m3/s of water
    arriving_oxygen: Annotated[float, "mg/L"]          # mg/L of the water as it reaches the top


@quantities(flow_free_air="m^3/s", depth="m", area="m^2", diffusers="", gives=Paths)
def compare_paths(flow_free_air, depth, column, area, diffuser="membrane", diffusers=1):
    """Oxygen out of the bubbles against oxygen taken in at the surface by the water they turn.

    flow_free_air (float, m3/s): All the air.
    depth (float, m): Of the diffusers.
    column (Column): Pond temperature and oxygen by depth, as it is now.
    area (float, m2): Of the pond's surface.
    diffuser, diffusers (str and int): As in :func:`oxygen_by_bubbles`.

    A snapshot: as the bottom water fills with oxygen both paths slow down. Lift as in unlayered
    water; ask ``plume.stop_depth`` first whether the plume comes up at all.
    """
    out = oxygen_by_bubbles(flow_free_air, depth, column, diffuser, diffusers)
    lifted = plume.lifted_water(flow_free_air, depth, diffusers, column.water_at(depth))
    arriving = plume.plume_profile(flow_free_air / diffusers, depth, column).dissolved_oxygen[-1]
    saturation = column.water_at(0.0).saturation
    taken = Range(*sorted(surface_uptake(q, arriving, saturation, area, k)
                          for q, k in zip(lifted, EXCHANGE, strict=True)))
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = Range(np.divide(taken.low, out.high), np.divide(taken.usual, out.usual),
                      np.divide(taken.high, out.low))
    return Paths(out, taken, ratio, lifted, float(arriving))


class Options(NamedTuple):
    """Choices at equal power, side by side: each field has one entry for a choice."""

    diffuser: Any                   # kind of diffuser
    depth: Annotated[Any, "m"]                      # m
    pressure_gauge: Annotated[Any, "Pa"]             # Pa at the compressor
    flow_free_air: Annotated[Any, "m^3/s"]              # m3/s
    bubbles: Annotated[Range, "kg/s"]                  # kg/s of oxygen out of the bubbles
    lifted: Annotated[Range, "m^3/s"]                   # m3/s of water
    oxygen_per_energy: Annotated[Range, "kg/kWh"]        # out of the bubbles alone


def _energy(depth, column, kind):
    """Gauge pressure at the compressor (Pa), and electric energy for each volume of free air (J/m3)."""
    head = column.water_at(depth).density * GRAVITY * depth
    gauge = head + material(kind).wet_pressure.usual
    work = air.adiabatic_work(gauge, inlet_pressure_absolute=column.water.pressure_absolute)
    return gauge, work * air.FREE_AIR_DENSITY / EFFICIENCY


@quantities(power="W", depth="m", gives="m^3/s")
def air_for_power(power, depth, column):
    """Free air that an electric power sends to a depth through a membrane; see :func:`same_power`."""
    return power / _energy(depth, column, "membrane")[1]


def _options(depth, column, diffusers, power=None, flow_free_air=None):
    """:class:`Options` for all of :data:`KINDS`, at one power or at one flow of air."""
    given = flow_free_air if power is None else power
    if not given > 0:
        raise QuantityError(f"This comparison needs a power or an air flow above zero; it was given {given}.")
    rows = []
    for kind in KINDS:
        gauge, energy = _energy(depth, column, kind)
        flow = power / energy if flow_free_air is None else flow_free_air
        out = oxygen_by_bubbles(flow, depth, column, kind, diffusers)
        saved = Range(*(transfer.aeration_efficiency(end, flow * energy) for end in out))
        lifted = plume.lifted_water(flow, depth, diffusers, column.water_at(depth))
        rows.append((gauge, flow, out, lifted, saved))
    gauge, flow, out, lifted, saved = zip(*rows, strict=True)
    return Options(list(KINDS), np.full(len(KINDS), float(depth)), np.array(gauge), np.array(flow),
                   *(_columns(ranges) for ranges in (out, lifted, saved)))


def _columns(ranges):
    """One range of arrays from many ranges of numbers."""
    return Range(*(np.array(end, float) for end in zip(*ranges, strict=True)))


@quantities(power="W", depth="m", gives=Options)
def same_power(power, depth, column, diffusers=1):
    """Fine against coarse: what each kind of diffuser does with the same electric power.

    power (float, W): Electric.
    depth (float, m), column (Column), diffusers (int).
    Returns: Options: One entry for each kind.

    Fine bubbles win on the oxygen they dissolve. The water they lift hardly differs, because it
    depends on the air and the depth and not on the bubble size; that is the point of the comparison. What
    line and valves lose is left out.
    """
    return _options(depth, column, diffusers, power)


def same_air(flow_free_air, depth, column, diffusers=1):
    """The same with one flow of free air (all of it, m3/s) for each kind; see :func:`same_power`."""
    return _options(depth, column, diffusers, flow_free_air=flow_free_air)


@quantities(gas_volume="m^3", diameters="m")
def say_skin(gas_volume, diameters):
    """Skin of a volume of gas as bubbles of several sizes."""
    areas = bubbles.skin_area(gas_volume, diameters)
    return "; ".join(f"{1000 * d:g} mm: {show(area, 'small area')}" for d, area in zip(diameters, areas, strict=True))


@quantities(diameter="m", depth="m", plume_speed="m/s")
def say_bubble(diameter, depth, plume_speed=0.0):
    """How long one bubble takes in water of 20 C without oxygen, and what it has given up when it arrives.

    diameter (float, m): At the diffuser.
    depth (float, m).
    plume_speed (float, m/s): Upward speed of the water that rises with the bubbles.
    """
    fate = bubbles.bubble_fate(diameter, depth, uniform_column(plume_speed=plume_speed))
    where = f"water rising {show(plume_speed, 'speed', digits=2)}" if plume_speed else "still water"
    return (f"{where}: {format_number(fate.rise_time)} s to the top; {100 * fate.oxygen_transferred:.0f} % of the "
            f"oxygen dissolved; {1000 * fate.top_diameter:.2f} mm across there")


@quantities(standard_rate="kg/s", dissolved_oxygen="mg/L", depth="m")
def say_field(standard_rate, dissolved_oxygen, depth, water):
    """A clean-water rating carried to a pond, factor by factor; see ``transfer.field_correction``."""
    factors = transfer.field_correction(dissolved_oxygen, depth, water)
    low, high = (end / factors.alpha * factors.total for end in (transfer.ALPHA.low, transfer.ALPHA.high))
    return (f"pond water (alpha) {factors.alpha:.2f} x warmth {factors.temperature:.3f} x shortage "
            f"{factors.shortage:.3f} = {factors.total:.3f}\n"
            f"in the pond: {show(standard_rate * factors.total, 'oxygen rate', digits=2)}, or "
            f"{100 * factors.total:.0f} % of the rating\n"
            f"with alpha from {transfer.ALPHA.low} to {transfer.ALPHA.high}: {100 * low:.0f} to {100 * high:.0f} %")


@quantities(flow_free_air="m^3/s", depth="m")
def say_lift(flow_free_air, depth):
    """Water lifted by the air of one diffuser: four reckonings and the range they make."""
    def water(value):
        return show(value, "water flow", digits=2)
    whole = plume.lifted_water(flow_free_air, depth)
    exact, slipping, thin, tank = (water(value) for value in plume.lift_estimates(flow_free_air, depth).usual)
    return (f"{show(flow_free_air, 'air flow', digits=2)}, 1 diffuser:\n"
            f"exact plume {exact}; bubbles that slip {slipping};\n"
            f"thin plumes draw less {thin}; fit to tank tests {tank}\n"
            f"taken together: {water(whole.usual)}, anywhere from {show_range(whole.low, whole.high, 'water flow')}")


def say_stop(flow_free_air, stop, system="US"):
    """Whether the plume of one diffuser (m3/s of air) comes up, or how deep it stops; `stop` from plume.stop_depth."""
    one = f"a plume of {show(flow_free_air, 'air flow', system, digits=2)}"
    if stop.verdict == "yes":
        return f"{one} comes up"
    deepest = show(stop.depth.high, "depth", system, digits=2)
    if stop.verdict == "uncertain":
        return f"{one} may stop on its way, at worst {deepest} down; then little bottom water reaches the top"
    nearest = show(stop.depth.low, "depth", system, digits=2)
    where = deepest if nearest == deepest else show_range(stop.depth.low, stop.depth.high, "depth", system)
    return f"{one} stops {where} down; little bottom water reaches the top"


def _per_hour(value):
    return format_number(3600 * float(value))


def say_fit(fit):
    """The transfer coefficient of a tub and its interval; `fit` from ``buckettest.fit_bucket``."""
    return (f"kLa {_per_hour(fit.kla)} per hour; in 19 tests of 20 the truth lies in "
            f"{_per_hour(max(fit.kla_low, 0))} to {_per_hour(fit.kla_high)}.\n"
            f"Carried to the standard temperature (68 °F, 20 °C): {_per_hour(fit.kla_20)} per hour. The tub settles at "
            f"{format_number(fit.saturation)} mg/L.")


def say_left_out(log, fit):
    """Which readings were left out and why, one reason a line."""
    reasons = {}
    for minutes, reason in zip(np.asarray(log.time) / 60, fit.reasons, strict=True):
        if reason:
            reasons.setdefault(reason, []).append(f"{minutes:g}")
    return "\n".join(f"minute {', '.join(when)}: {reason}" for reason, when in reasons.items())


@quantities(volume="m^3", flow_free_air="m^3/s", depth="m")
def say_rates(fit, volume, flow_free_air, depth, water, system="US"):
    """What a tub fit means as a rating: oxygen an hour, and the share of the oxygen blown in."""
    rates = buckettest.bucket_rates(fit, volume, flow_free_air, depth, water)
    blown = air.oxygen_mass_flow(flow_free_air)

    def grams(value):
        return format_number(3.6e6 * float(value))
    unit = "g an hour"
    per_depth = 100 * rates.standard_efficiency / depth * (0.3048 if system == "US" else 1.0)
    return (f"Standard rate {grams(rates.standard_rate)} {unit} ({grams(rates.standard_rate_low)} to "
            f"{grams(rates.standard_rate_high)}) out of {grams(blown)} {unit} blown in:\n"
            f"{100 * rates.standard_efficiency:.1f} %, or {per_depth:.1f} % for each "
            f"{'foot' if system == 'US' else 'meter'} of depth.")
