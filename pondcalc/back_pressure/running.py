"""What does a running compressor do with its electricity?

Some of it squeezes the air; the rest becomes heat in the motor, the seals and the valves. Nearly all of it
ends as heat, part of which leaves with the hot air. Here stand the shares of it that motor and compressor keep,
and the words for whether a machine is inside the points of its data sheet.

What this leaves out: heat lost through the casing before the air leaves, so real outlets are cooler than
what these shares give. Metal at the outlet can burn skin and soften plastic: keep the first few feet of line
metal or rated hose, and follow the label.
"""

from ..units import Q, Range, show

__all__ = ["where_on_curve", "MOTOR_EFFICIENCY", "INTERNAL_EFFICIENCY"]

# From memory, not verified: open ranges of common practice for fractional-horsepower machines. The best motor is what
# 10 CFR 431.446 asks at least of a new capacitor motor of 1/2 hp, 72.4 to 76.2 % by its speed (reprint seen).
INTERNAL_EFFICIENCY = Range(0.40, 0.55, 0.70)       # adiabatic power over shaft power
MOTOR_EFFICIENCY = Range(0.40, 0.55, 0.76)          # shaft power over electric power


def where_on_curve(curve, pressure_gauge, system="US"):
    """In words, whether an operating point is inside the points of the data sheet, and what lies past them.

    Parameters
    ----------
    curve : CompressorCurve
    pressure_gauge : float
        Pa gauge, a plain number, as :func:`pondcalc.back_pressure.compressor.operating_point.si` gives it.
    system : {"US", "metric"}, optional

    Returns
    -------
    str
    """
    first, last = curve.pressure_gauge[0], curve.pressure_gauge[-1]
    end = show(Q(float(last), "Pa"), "pressure", system)
    if pressure_gauge > last:
        return (f"Past the end of the curve, {end}. The sheet does not say what happens there: the flow "
                "falls, the machine runs hotter, and a relief valve may open or the motor stall. Do not run "
                "it there.")
    if pressure_gauge > last - 0.1 * (last - first):
        return (f"In the last tenth of the curve, which ends at {end}. Little is left for a diffuser that "
                "ages; as it clogs, the flow falls off and the machine heats.")
    if pressure_gauge < first:
        return ("Below the first point of the curve. The flow is about that of the first point; the sheet "
                "does not say more, and the machine is larger than this line needs.")
    spare = show(Q(float(last - pressure_gauge), "Pa"), "pressure", system, digits=2)
    return f"Inside the curve, {spare} below its end."
