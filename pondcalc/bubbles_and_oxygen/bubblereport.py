"""What do results on bubbles, lifted water and a tub test read like in words?

One bubble, one rating, one lift, one tub: each function computes with the other modules and returns
text for a page, in the reader's units. Water is fresh.
"""

import numpy as np

from .. import air
from ..units import Q, format_number, quantities, show, show_range
from ..water import ATMOSPHERE
from . import bubblepath, bubbles, buckettest, plume, transfer
from .column import uniform_column

__all__ = ["say_skin", "say_bubble", "say_field", "say_lift", "say_fit", "say_left_out", "say_rates"]


@quantities(gas_volume="m^3", diameters="m")
def say_skin(gas_volume, diameters, system="US"):
    """Skin of a volume of gas as bubbles of several sizes."""
    areas = [show(Q(float(area), "m2"), "small area", system) for area in bubbles.skin_area.si(gas_volume, diameters)]
    return "; ".join(f"{1000 * d:g} mm: {area}" for d, area in zip(diameters, areas, strict=True))


@quantities(diameter="m", depth="m", plume_speed="m/s", temperature="degC", dissolved_oxygen="mg/L")
def say_bubble(diameter, depth, plume_speed=0.0, temperature=20.0, dissolved_oxygen=0.0, system="US"):
    """How long one bubble takes, and what it has given up when it arrives.

    Parameters
    ----------
    diameter : float, m
        At the diffuser.
    depth : float, m
    plume_speed : float, m/s, optional
        Upward speed of the water that rises with the bubbles.
    temperature, dissolved_oxygen : float, optional
        Of the pond, degC and mg/L.
    """
    column = uniform_column.si(temperature, dissolved_oxygen, plume_speed)
    fate = bubblepath.bubble_fate.si(diameter, depth, column)
    where = (f"water rising {show(Q(plume_speed, 'm/s'), 'speed', system, digits=2)}" if plume_speed else "still water")
    return (f"{where}: {format_number(fate.rise_time)} s to the top; {100 * fate.oxygen_transferred:.0f} % of the "
            f"oxygen dissolved; {1000 * fate.top_diameter:.2f} mm across there")


@quantities(standard_rate="kg/s", dissolved_oxygen="mg/L", temperature="degC", depth="m",
            surface_pressure_absolute="Pa")
def say_field(standard_rate, dissolved_oxygen, temperature, depth, surface_pressure_absolute=ATMOSPHERE, alpha=0.9,
              system="US"):
    """A clean-water rating carried to a pond, factor by factor; see ``transfer.field_correction``."""
    factors = transfer.field_correction.si(dissolved_oxygen, temperature, depth, surface_pressure_absolute, alpha)
    rate = show(Q(3600 * standard_rate * factors.total, "kg/h"), "oxygen rate", system, digits=2)
    return (f"pond water (alpha) {factors.alpha:.2f} x warmth {factors.temperature:.3f} x shortage "
            f"{factors.shortage:.3f} = {factors.total:.3f}\n"
            f"in the pond: {rate}, or {100 * factors.total:.0f} % of the rating")


@quantities(flow_free_air="m^3/s", depth="m", temperature="degC")
def say_lift(flow_free_air, depth, diffusers=1, temperature=20.0, system="US"):
    """Water lifted by air shared among equal diffusers: three reckonings and the range they make."""
    def water(value):
        return show(Q(float(diffusers * value), "m3/s"), "water flow", system, digits=2)
    every = plume.lift_estimates.si(flow_free_air / diffusers, depth, temperature)
    whole = plume.lifted_water.si(flow_free_air, depth, diffusers, temperature)
    return (f"{show(Q(flow_free_air, 'm3/s'), 'air flow', system, digits=2)}, {diffusers} "
            f"diffuser{'s' if diffusers > 1 else ''}:\n"
            f"exact plume {water(every.exact.usual)}; bubbles that slip {water(every.slipping.usual)}; fit to tank "
            f"tests {water(every.tank_fit)}\n"
            f"taken together: {show(Q(float(whole.usual), 'm3/s'), 'water flow', system, digits=2)}, anywhere from "
            f"{show_range(Q(float(whole.low), 'm3/s'), Q(float(whole.high), 'm3/s'), 'water flow', system)}")


def _per_hour(value):
    return format_number(3600 * float(value))


def say_fit(fit):
    """The transfer coefficient of a tub and its interval; `fit` from ``buckettest.fit_bucket.si``."""
    return (f"kLa {_per_hour(fit.kla)} per hour; in 19 tests of 20 the truth lies in "
            f"{_per_hour(max(fit.kla_low, 0))} to {_per_hour(fit.kla_high)}.\n"
            f"Carried to 68 F (20 C): {_per_hour(fit.kla_20)} per hour. The tub settles at "
            f"{format_number(fit.saturation)} mg/L.")


def say_left_out(log, fit):
    """Which readings were left out and why, one reason a line."""
    reasons = {}
    for minutes, reason in zip(np.asarray(log.time) / 60, fit.reasons, strict=True):
        if reason:
            reasons.setdefault(reason, []).append(f"{minutes:g}")
    return "\n".join(f"minute {', '.join(when)}: {reason}" for reason, when in reasons.items())


@quantities(volume="m^3", flow_free_air="m^3/s", depth="m", temperature="degC", surface_pressure_absolute="Pa")
def say_rates(fit, volume, flow_free_air, depth, temperature, surface_pressure_absolute=ATMOSPHERE, system="US"):
    """What a tub fit means as a rating: oxygen an hour, and the share of the oxygen blown in."""
    rates = buckettest.bucket_rates.si(fit, volume, flow_free_air, depth, temperature, surface_pressure_absolute)
    blown = air.oxygen_mass_flow.si(flow_free_air)

    def grams(value):
        return format_number(3.6e6 * float(value))
    unit = "g an hour"
    per_depth = 100 * rates.standard_efficiency / depth * (0.3048 if system == "US" else 1.0)
    return (f"Standard rate {grams(rates.standard_rate)} {unit} ({grams(rates.standard_rate_low)} to "
            f"{grams(rates.standard_rate_high)}) out of {grams(blown)} {unit} blown in:\n"
            f"{100 * rates.standard_efficiency:.1f} %, or {per_depth:.1f} % for each "
            f"{'foot' if system == 'US' else 'meter'} of depth.")
