"""How much of a treatment goes into this much water, and when must none go in?

Every dose is a volume times a concentration, so a dose is as far off as the pond volume is. Nothing here replaces
the label. In the United States the label is the law; some states also ask for a permit or a licensed applicator. Ask
before you buy.
"""

from typing import NamedTuple

from ..how_much_oxygen.fishlimits import FLOOR
from ..units import Q, QuantityError, Range, quantities, show
from ..wording import either

__all__ = ["CopperPlan", "Fact", "COPPER_FACTS", "BACTERIA_FACTS", "dose", "copper_concentration",
           "copper_plan"]

LEAST_ALKALINITY, FULL_ALKALINITY, MOST_COPPER = 50.0, 250.0, 2.5      # mg/L; UF/IFAS FA008
HOT = 29.44                     # degC, 85 F; labels ask for extra care above it


class Fact(NamedTuple):
    """A sentence and where it is from."""

    words: str
    source: str


class CopperPlan(NamedTuple):
    """Whether copper sulfate may be thought of at all, and if so how much."""

    allowed: bool
    reasons: tuple
    cautions: tuple
    concentration: float
    whole_pond: Range
    one_part: Range
    days_between: tuple


COPPER_FACTS = (
    Fact("Measure total alkalinity, not hardness or pH. Copper sulfate in mg/L is alkalinity ÷ 100.",
         "Watson and Yanong, UF/IFAS FA008"),
    Fact("That is copper sulfate crystals or powder (bluestone, the pentahydrate), of which 25 % is copper: 1 mg/L of "
         "them is 0.25 mg/L of copper. A product rated as copper, or chelated, goes by its own label, which is the "
         "law.", "UF/IFAS FA008 for the form; the share by atomic weights"),
    Fact("Below 50 mg/L of alkalinity do not use copper sulfate; above 250 use no more than 2.5 mg/L.",
         "Watson and Yanong, UF/IFAS FA008"),
    Fact("Dying algae stop making oxygen and start using it. With a heavy bloom and no aeration, do not "
         "treat.",
         "Watson and Yanong, UF/IFAS FA008 (text seen in a copy)"),
    Fact("Labels say: treat a third to a half of the water at a time, 7 to 14 days apart, from the shore "
         "out, with extra care above 85 F.", "registered labels as reproduced on two public pages"),
    Fact("Trout are killed by less copper than other fish. Do not use it with trout unless the label allows.",
         "from memory, not verified"),
)

BACTERIA_FACTS = (
    Fact("Twelve ponds, two years, nobody told which six got bacteria each week: no more fish and no better "
         "use of feed in either year. In the second year ammonia and nitrite were lower and algae higher.",
         "Tucker, Kingsbury and Mischke 2009, North American Journal of Aquaculture 71"),
    Fact("A review found several studies without benefit; one found more fish surviving and no better water.",
         "Boyd and Gross, Use of probiotics for improving soil and water quality in aquaculture ponds"),
    Fact("In trials of 1984 and 1985 treated and untreated ponds were alike in nitrogen, phosphorus, oxygen "
         "demand, algae and numbers of bacteria.", "Boyd and others 1984; Tucker and Lloyd 1985, as summed "
         "up by university extension in 2013"),
    Fact("At best a few inches of muck; mineral mud is not touched; it does not replace dredging.",
         "Penn State Extension, seen second-hand"),
)


@quantities(volume="m^3", concentration="mg/L", gives="kg")
def dose(volume, concentration):
    """Mass that brings a volume to a concentration.

    Parameters
    ----------
    volume : quantity, or three for a range
    concentration : quantity

    Returns
    -------
    quantity, or Range of quantity
        1 mg/L in an acre-foot is 1.233 kg (2.72 lb).
    """
    if concentration < 0:
        raise ValueError(f"A concentration is zero or more; it was given {concentration:g} mg/L.")
    try:
        ends = sorted(float(v) for v in volume)
    except TypeError:
        ends = None
    if min(ends or [volume]) <= 0:
        raise ValueError("The volume must be above zero.")
    if ends is None:
        return float(volume) * concentration * 1e-3
    return Range(*(v * concentration * 1e-3 for v in (ends[0], ends[len(ends) // 2], ends[-1])))


@quantities(alkalinity="mg/L", gives="mg/L")
def copper_concentration(alkalinity):
    """Copper sulfate that alkalinity allows: a hundredth of it, at most 2.5 mg/L, none below 50.

    Parameters
    ----------
    alkalinity : quantity
        Total alkalinity as calcium carbonate.

    Returns
    -------
    quantity
        mg/L of copper sulfate crystals; 0 where it must not be used.

    References
    ----------
    C. Watson and R. P. E. Yanong, Use of copper in freshwater aquaculture and farm ponds, University
    of Florida IFAS FA008.
    """
    if alkalinity < 0:
        raise ValueError(f"Alkalinity is zero or more; it was given {alkalinity:g} mg/L.")
    return 0.0 if alkalinity < LEAST_ALKALINITY else min(alkalinity / 100, MOST_COPPER)


@quantities(volume="m^3", alkalinity="mg/L", dissolved_oxygen="mg/L", temperature="degC", floor="mg/L",
            gives=(None, None, None, "mg/L", "kg", "kg", "day"))
def copper_plan(volume, alkalinity, dissolved_oxygen, temperature, heavy_bloom, aerated, trout=False,
                floor=FLOOR):
    """Check copper sulfate against alkalinity, oxygen and the label's usual rules, then work the dose.

    Parameters
    ----------
    volume : three quantities
        Pond volume: low, usual, high. A dose needs an honest range.
    alkalinity : quantity
        Total alkalinity, measured this season.
    dissolved_oxygen : quantity
        At dawn.
    temperature : quantity
        Of the surface.
    heavy_bloom, aerated, trout : bool
    floor : quantity, optional
        Oxygen to keep; less than the usual counts as the usual.

    Returns
    -------
    CopperPlan
        ``allowed`` and the ``reasons`` against; cautions; mg/L; mass for the whole pond at the low,
        usual and high volume; mass for one part-treatment, a third to a half at the low volume; days
        between parts. The masses are zero where it is not allowed.

    Notes
    -----
    Dose for the low volume: a dose for more water than there is kills fish, and too little can be mended.
    """
    try:
        low, usual, high = sorted(float(v) for v in volume)
    except (TypeError, ValueError):
        raise QuantityError("The volume must be a range: low, usual and high. One number hides how far off a "
                            "dose may be.") from None
    if not low > 0:
        raise QuantityError("The low end of the volume is nothing, so no dose can be worked out. Sound the pond better "
                            "(workbook 01) before you treat it.")
    concentration = copper_concentration.si(alkalinity)
    reasons, cautions = [], ["Read the label first; it is the law, and a permit may be needed."]
    if concentration == 0:
        reasons.append(f"Alkalinity is {alkalinity:.0f} mg/L; below 50 copper can kill fish at any useful "
                       "dose.")
    if trout:
        reasons.append("There are trout, which little copper kills.")
    if heavy_bloom and not aerated:
        reasons.append("There is a heavy bloom and no aeration: the dying algae could take all the oxygen.")
    floor = max(floor, FLOOR)
    if dissolved_oxygen < floor:
        reasons.append(f"Oxygen at dawn is {dissolved_oxygen:.1f} mg/L, below {floor:g}: nothing may use more of it "
                       "now.")
    if temperature > HOT:
        cautions.append(f"The water is {show(Q(float(temperature), 'degC'), 'temperature', digits=2, both=True)}, "
                        f"above {either('85 °F', '29 °C')}: it holds little oxygen. Wait, or treat smaller parts.")
    if alkalinity > FULL_ALKALINITY:
        cautions.append("Alkalinity is above 250 mg/L, so the dose is held at 2.5 mg/L.")
    if high / low > 1.25:
        cautions.append(f"The volume is known only within a factor of {high / low:.2f}, and so is the dose. "
                        "Sound the pond before you treat it.")
    allowed = not reasons
    used = concentration if allowed else 0.0
    whole = Range(*(v * used * 1e-3 for v in (low, usual, high)))
    part = Range(whole.low / 3, whole.low * 5 / 12, whole.low / 2)
    return CopperPlan(allowed, tuple(reasons), tuple(cautions), concentration, whole, part, (7.0, 14.0))
