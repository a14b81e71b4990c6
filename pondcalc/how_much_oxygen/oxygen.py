"""Will the oxygen last, the night or the winter, and what must the air deliver if not?

From dusk to dawn nothing makes oxygen; fish, plankton and mud use it. The three are added up for a warm night, set
against what the pond holds at dusk, and the oxygen missing each hour is what the air must deliver. Every number is a
range, because for an unmeasured pond the high end is ten times the low one. One meter reading at dusk and one at dawn
beat all of it.

Bottom aeration has two duties: to *deliver oxygen*, by bubbles and by bringing poor water to the surface, and to *mix*,
so that no layer is left to itself. They ask for different numbers of diffusers. Bubbles alone often ask for far more
than mixing does; then mixing sizes the system, and the open top, which the lifted water meets, gives most of the
oxygen. What a diffuser gives, oxygen for each cfm and water lifted, is handed in as a range from whoever works out
bubbles and plumes.

Ice shuts the wind out and snow shuts the light out, so what the pond holds at freeze-up must last until thaw. The mud
uses it over each square meter, the water in each cubic meter, so a shallow pond runs out first. No ice is ever safe
ice, least of all near an aerator. Many states ask for a permit and for signs where ice is opened; ask first.

Inside the package concentrations are mg/L (the same as g/m3), oxygen rates kg/s, amounts kg, fish kg per m2 of surface,
flows m3/s, `oxygen_per_air` kg of oxygen for each m3 of free air.

What this leaves out, all on purpose. By night: oxygen from the wind (none on the calm night that kills), oxygen debt
stirred up from a stagnant bottom, a bloom that dies at once, and the slowing of respiration as oxygen runs short; the
whole pond counts as mixed. Of diffusers: where to set them, the power they draw, and the first start of a layered
pond, which must be slow: mixing a stagnant bottom up at once can kill the fish it was meant to save. In winter: light
through clear ice, inflow, holes and aerated water, fish (small in the cold), and the uneven spread of oxygen: the
bottom runs out weeks before the mean does.
"""

import warnings
from typing import Annotated, Any, NamedTuple

import numpy as np

from .. import air
from ..refusals import Caution, Refused
from ..spellings import either
from ..units import ACRE, CFM, DAY, HOUR, Range, not_negative, positive, quantities, show
from .fishlimits import FLOOR

NOTHING = Range(0.0, 0.0, 0.0)

# Live weight of one fish, kg. Small fish breathe faster for their weight, so the lightest makes the high end.
FISH_SIZES = Range(0.700, 0.200, 0.010)

# Plankton and everything else afloat, mg/L a day at 20 C. Yearly means of whole-lake respiration ran from
# 0.1 to 5.0 mg/L a day across a global set of lakes (Solomon and others 2013; abstract seen): the high
# end is the highest of them. Low and usual are what Pace and Prairie's regression gives for water that is
# slightly green (chlorophyll about 13 ug/L) and pea green (150 ug/L).
PLANKTON_20C = Range(0.5, 2.0, 5.0)

# No more than this can be used by plankton over each m2, kg/m2 per second: what light can feed from above.
# Nights in a thick, fertilized culture pond used about what the day made, up to 0.26 mol/m2 (Szyper and
# Ebeling 1993; abstract seen), spread here over a 12-hour night.
PLANKTON_LIMIT = 0.26 * 31.998e-3 / (12 * HOUR)

# Mud, g/m2 a day at 20 C. Low: oligotrophic lake mud under ice, 0.08 (Mathias and Barica 1980; seen), brought
# from 4 C to 20 C. Usual: 47.5 mg/m2 an hour in fed fish ponds near 25 C (Meijer and Avnimelech 1999; seen),
# brought to 20 C. High: the top for aged organic mud, 2.0 (Bowie and others 1985; from memory).
MUD_20C = Range(0.22, 0.83, 2.0)

# Growth of a rate per C: 1.047 for plankton, 1.065 for mud (lake-model source, second-hand).
THETA_PLANKTON, THETA_MUD = 1.047, 1.065

# Water, C, in which the catfish were measured. Outside it fish are taken to double their use for 10 C ("about doubles
# for 10 C", C. E. Boyd; seen), and plankton and mud to go on growing at their usual rates; nothing here was measured.
MEASURED = (15.0, 30.0)

# Share of saturation the whole pond, top to bottom, holds at dusk. Judgment, no source: low is the evening
# of a dark, still day. Replace it by a meter reading.
DUSK_SHARE = Range(0.6, 0.8, 1.0)


class NightDemand(NamedTuple):
    """Oxygen used by fish, plankton, mud, and by all, each a Range (kg/s inside the package)."""

    fish: Annotated[Any, "kg/s"]
    plankton: Annotated[Any, "kg/s"]
    mud: Annotated[Any, "kg/s"]
    total: Annotated[Any, "kg/s"]


class NightBudget(NamedTuple):
    """One warm night in ranges: low is the easy night, high the worst believable one.

    `demand` kg/s; `used` kg by dawn; `held` kg at dusk (its low end belongs to the worst night);
    `dawn` mg/L at dawn without aeration, low to high; `delivery` kg/s that keeps the floor.
    """

    demand: Annotated[Any, "kg/s"]
    used: Annotated[Any, "kg"]
    held: Annotated[Any, "kg"]
    dawn: Annotated[Any, "mg/L"]
    delivery: Annotated[Any, "kg/s"]


def as_range(value):
    """A Range from one number, or from low, usual and high."""
    return Range(*value) if np.ndim(value) and len(value) == 3 else Range(value, value, value)


def _catfish(t, grams):
    """Regression of :func:`fish_respiration`, mg/kg/h, without the warning."""
    w = np.minimum(grams, 700.0)
    return 1000 * 10 ** (-0.999 - 0.000957 * w + 6.0e-7 * w**2 + 0.0327 * t - 8.70e-6 * t**2 + 3.0e-7 * w * t)


@quantities(temperature="degC", fish_mass="kg", gives="mg/kg/hour")
def fish_respiration(temperature, fish_mass):
    """Oxygen a warm-water fish uses for each kilogram of its weight.

    temperature (float or array): Water temperature, 15 to 30 C.
    fish_mass (float or array): Live weight of one fish, 0.01 to 0.7 kg. The fitted curve turns up past 0.8 kg, which
        is an artefact, so heavier fish are computed as 0.7 kg.
    Returns: float or array: mg of oxygen per kg of fish per hour, inside the package too.
    Warns UserWarning: Outside 15-30 C or 0.01-0.7 kg.

    Channel catfish: log10 r = -0.999 - 0.000957 W + 6.0e-7 W^2 + 0.0327 T - 8.70e-6 T^2 + 3.0e-7 W T,
    r in mg per g an hour, W in g, T in C. **From memory, not verified.** It agrees with what was
    seen: use about doubles for 10 C (C. E. Boyd), and small fish use more for their weight.
    Bass and bluegill stand in the same few hundred mg/kg/h; fish are the small term of a farm pond.
    References: J. W. Andrews and Y. Matsuda, 1975, The influence of various culture conditions on the oxygen
        consumption of channel catfish, Trans. Am. Fish. Soc. 104 (not seen). C. E. Boyd, R. P. Romaire and E.
        Johnston, 1978, Predicting early morning dissolved oxygen concentrations in channel catfish ponds, Trans. Am.
        Fish. Soc. 107:484-492 (not seen).
    """
    positive("fish_respiration", fish_mass=fish_mass)
    t, grams = np.asarray(temperature, float), 1000 * np.asarray(fish_mass, float)
    if note_warmth(t) or np.any((grams < 9.99) | (grams > 700.01)):
        warnings.warn(Caution("outside 15-30 C or 0.01-0.7 kg, where the catfish regression of Andrews and Matsuda "
                              "(1975) is trusted here.", by="fish_respiration"), stacklevel=2)
    return _catfish(t, grams)


def note_warmth(temperature):
    """What to say of water (C) outside :data:`MEASURED`; empty inside."""
    t = np.ravel(np.asarray(temperature, float))
    outside = t[(t < MEASURED[0] - 0.01) | (t > MEASURED[1] + 0.01)]
    if not len(outside):
        return ""
    given = show(outside[0], "temperature", digits=2, both=True)
    return (f"Water of {given} lies outside {either('59 to 86 °F', '15 to 30 °C')}, where the use by fish was "
            f"measured. Beyond, fish are taken to double their use for each {either('18 °F', '10 °C')}, and algae and "
            "mud to go on as inside. Nobody has checked that here, so trust the number less.")


def fish_use(t, mass):
    """mg/kg/h of fish of a mass (kg) at any temperature (C): see :data:`MEASURED`."""
    inside = np.clip(t, *MEASURED)
    return _catfish(inside, 1000 * mass) * 2.0 ** ((t - inside) / 10)


@quantities(volume="m^3", area="m^2", fish_mass_per_area="kg/m^2", temperature="degC", plankton="mg/L/day",
            mud_20c="g/m^2/day", besides="kg/s", gives=NightDemand)
def night_demand(volume, area, fish_mass_per_area, temperature, plankton=None, mud_20c=MUD_20C, besides=NOTHING):
    """Oxygen used at night by fish, plankton and mud, as rates with honest ranges.

    volume (float or array): m3 of water.
    area (float or array): m2 of water surface. The mud is taken as large as the surface; a bowl-shaped pond has a few
        percent more.
    fish_mass_per_area (float or array): kg of live fish per m2 of surface, zero or more.
    temperature (float or array): Water temperature, 15 to 30 C.
    plankton (Range): mg/L a day in this water; by default :data:`PLANKTON_20C`, which spans all waters.
    mud_20c (Range): g/m2 a day at 20 C; the default spans all muds.
    besides (Range): kg/s used by whatever else there is, such as weeds; it enters the total alone.
    Returns: NightDemand: kg/s. The low, usual and high totals add the three lows, usuals and highs, so the range is
        wider than a single pond is likely to be.
    Warns UserWarning: Outside 15-30 C; see :data:`MEASURED`.

    Fish: :func:`fish_respiration` at 700 g (low), 200 g and 10 g (high). Plankton, for every m3:
    0.5, 2.0 and 5.0 mg/L a day at 20 C, times 1.047^(T - 20). Mud, for every m2: 0.22, 0.83 and
    2.0 g/m2 a day at 20 C, times 1.065^(T - 20); or the ranges given. Plankton is counted all the
    way down, as in a pond mixed by aeration, so this errs on the high side, but no square meter uses more than
    8.3 g in a 12-hour night, the most seen in a thick, fertilized culture pond.
    References: C. T. Solomon and others, 2013, Ecosystem respiration: drivers of daily variability and background
        respiration in lakes around the globe, Limnol. Oceanogr. 58:849-866 (abstract seen, pages from memory). M. L.
        Pace and Y. T. Prairie, 2005, Respiration in lakes, ch. 7 in Respiration in Aquatic Ecosystems (regression
        second-hand). L. E. Meijer and Y. Avnimelech, 1999, Aquacult. Eng. 21:71-83 (mud of fish ponds). J. A. Mathias
        and J. Barica, 1980, Can. J. Fish. Aquat. Sci. 37:185-195 (mud under ice). G. L. Bowie and others, 1985,
        EPA/600/3-85/040 (mud; from memory). J. P. Szyper and J. M. Ebeling, 1993, Marine Ecology Progress Series
        94:229-238 (abstract seen).
    """
    positive("night_demand", volume=volume, area=area)
    not_negative("night_demand", fish_mass_per_area=fish_mass_per_area)
    t = np.asarray(temperature, float)
    if note_warmth(t):
        warnings.warn(Caution(note_warmth(t)), stacklevel=2)
    fish = Range(*(fish_mass_per_area * area * fish_use(t, size) * 1e-6 / HOUR for size in FISH_SIZES))
    limit = PLANKTON_LIMIT * np.asarray(area, float)
    afloat = plankton or Range(*(rate * THETA_PLANKTON ** (t - 20) for rate in PLANKTON_20C))
    plankton = Range(*(np.minimum(rate * volume * 1e-3 / DAY, limit) for rate in afloat))
    mud = Range(*(rate * THETA_MUD ** (t - 20) * area * 1e-3 / DAY for rate in mud_20c))
    total = Range(*(sum(parts) for parts in zip(fish, plankton, mud, besides, strict=True)))
    return NightDemand(fish, plankton, mud, total)


@quantities(volume="m^3", dissolved_oxygen="mg/L", gives="kg")
def oxygen_held(volume, water, dissolved_oxygen=None):
    """Oxygen the whole pond holds at dusk.

    volume (float or array): m3 of water.
    water (Water): At 0 to 40 C.
    dissolved_oxygen (float or Range): Mean of the whole pond at dusk, mg/L: not one reading near the top. Without it
        60, 80 and 100 % of saturation are used: a judgment, no source; low stands for the evening of a dark, still
        day.
    Returns: Range: kg. `low` is the poor pond, so it belongs to the worst night.
    """
    positive("oxygen_held", volume=volume)
    if dissolved_oxygen is None:
        levels = Range(*(share * water.saturation for share in DUSK_SHARE))
    else:
        levels = as_range(dissolved_oxygen)
        not_negative("oxygen_held", dissolved_oxygen=np.asarray(levels))
    return Range(*(level * volume * 1e-3 for level in levels))


@quantities(volume="m^3", area="m^2", fish_mass_per_area="kg/m^2", night_length="s", floor="mg/L",
            dissolved_oxygen="mg/L", plankton="mg/L/day", mud_20c="g/m^2/day", besides="kg/s", gives=NightBudget)
def night_budget(volume, area, fish_mass_per_area, water, night_length, floor=FLOOR, dissolved_oxygen=None,
                 plankton=None, mud_20c=MUD_20C, besides=NOTHING):
    """Oxygen held, used and missing over one warm night.

    volume, area, fish_mass_per_area, plankton, mud_20c, besides: As for :func:`night_demand`.
    water (Water): At 15 to 30 C.
    night_length (float or array): s, up to 24 hours. Count from when the sun gets low to full morning, about the dark
        hours plus two.
    floor (float or array): Oxygen to keep at dawn, mg/L; default 4, see :mod:`fishlimits`.
    dissolved_oxygen (float or Range): Measured at dusk, mg/L; see :func:`oxygen_held`.
    Returns: NightBudget: `demand` is the total of :func:`night_demand`. `dawn` is never below 0.
    Raises ValueError: If the night is not between 0 and 24 hours, or an amount is not positive.

    delivery = max(0, demand - (held - floor V)/night), pairing the high demand with the low store
    and the low demand with the high store. Rates are held steady, so the lowest oxygen comes at
    dawn and a steady delivery is enough. If the pond is under the floor at dusk already, this
    rate brings it back to the floor only by dawn: that pond needs help at once.
    """
    positive("night_budget", night_length=night_length)
    not_negative("night_budget", floor=floor)
    if np.any(np.asarray(night_length) > DAY):
        raise Refused("the night is longer than 24 hours. Write the hours from evening to morning, such as '12 h'.",
                      by="night_budget")
    demand = night_demand(volume, area, fish_mass_per_area, water.temperature, plankton, mud_20c, besides).total
    held = oxygen_held(volume, water, dissolved_oxygen)
    used = Range(*(rate * night_length for rate in demand))
    store = held[::-1]              # easy night: most oxygen; worst night: least
    keep = np.multiply(floor, volume) * 1e-3
    delivery = Range(*(np.maximum(0, (use - (have - keep)) / night_length)
                       for use, have in zip(used, store, strict=True)))
    dawn = Range(*(np.maximum(0, (have - use) / volume * 1e3)
                   for use, have in zip(used[::-1], held, strict=True)))
    return NightBudget(demand, used, held, dawn, delivery)


@quantities(area="m^2", gives="m^3/s")
def airflow_by_area(area):
    """The trade's rule of 1.3 cfm of air per surface acre, as a cross-check only.

    area (float or array): m2 of water surface.
    Returns: float or array: m3/s of free air.

    1.3 cfm an acre is printed in Nebraska Game and Parks Commission, Nebraska Pond Management,
    2nd ed., p. 87 (seen). It is believed to go back to 9.2 m3/min per km2, 1.31 cfm an acre, of
    Lorenzen and Fast (1977), A guide to aeration/circulation techniques for lake management,
    EPA-600/3-77-004 (from memory): air to keep *large* lakes mixed from top to bottom. It knows
    nothing of depth, fish or oxygen, so it can be far from what a small, rich or shallow pond needs.
    """
    positive("airflow_by_area", area=area)
    return 1.3 * CFM / ACRE * np.asarray(area, float)


class DiffuserNeed(NamedTuple):
    """Diffusers for oxygen, for mixing, for both, each a Range of whole numbers; air (m3/s) of them all.

    `by_area` is the air of the rule of thumb in ``oxygen.airflow_by_area``, for comparison only.
    """

    for_oxygen: Any
    for_mixing: Any
    diffusers: Any
    flow_free_air: Annotated[Any, "m^3/s"]
    by_area: Annotated[Any, "m^3/s"]


class MoreDiffusers(NamedTuple):
    """Dawn oxygen (mg/L) for each number of diffusers, gain of each one more, and where to stop.

    `enough` is the first number after which one more adds too little; None if that is past the last tried.
    """

    number: Any
    dawn: Annotated[Any, "mg/L"]
    gain: Annotated[Any, "mg/L"]
    enough: Any


@quantities(volume="m^3", gives="m^3/s")
def mixing_flow(volume, turnovers_per_day=1.0):
    """Water to lift so that the pond passes over the diffusers so often a day.

    volume (float or array), turnovers_per_day (float or Range): m3; default 1.
    Returns: float, array or Range: m3/s.

    "One turnover or more a day" is a convention of talks and brochures: common practice, no source.
    Lifted water comes round again before all has been up, so one turnover leaves a share exp(-1), 37 %,
    of the water that has not been up if mixing is even.
    """
    positive("mixing_flow", volume=volume, turnovers_per_day=turnovers_per_day)
    if isinstance(turnovers_per_day, Range):
        return Range(*(np.multiply(volume, turns) / DAY for turns in turnovers_per_day))
    return np.multiply(volume, turnovers_per_day) / DAY


@quantities(delivery="kg/s", mixing="m^3/s", air_per_diffuser="m^3/s", oxygen_per_air="kg/m^3",
            lifted_flow="m^3/s", area="m^2", gives=DiffuserNeed)
def diffusers_needed(delivery, mixing, air_per_diffuser, oxygen_per_air, lifted_flow, area):
    """How many diffusers, and how much air, for the oxygen and for the mixing.

    delivery (float or Range): kg/s of oxygen to deliver; of ``oxygencase.one_night`` or
        ``oxygencase.delivery_chance``.
    mixing: m3/s of water to lift; :func:`mixing_flow`.
    air_per_diffuser: m3/s of free air through one.
    oxygen_per_air (float or Range): kg of oxygen given up for each m3 of free air at this depth, in water at the
        oxygen to keep; ``comparison.oxygen_by_bubbles``.
    lifted_flow (float or Range): m3/s of water lifted by one diffuser at this air flow and depth.
    area: m2 of surface, for the comparison by area.
    Returns: DiffuserNeed: low pairs the easy night with the best diffuser, high the worst night with the poorest.
    Raises ValueError: For amounts that are not positive, or bubbles that give up more oxygen than air holds.
    """
    positive("diffusers_needed", air_per_diffuser=air_per_diffuser, oxygen_per_air=np.asarray(oxygen_per_air),
              lifted_flow=np.asarray(lifted_flow), area=area)
    not_negative("diffusers_needed", delivery=np.asarray(delivery), mixing=mixing)
    per_air, lifted = as_range(oxygen_per_air), as_range(lifted_flow)
    if per_air.high > air.oxygen_mass_flow(1.0):
        raise Refused("the bubbles would give up more oxygen than the air holds (0.279 kg/m3, 1.04 lb/h for each cfm). "
                      "Check oxygen_per_air.", by="diffusers_needed")
    wanted = as_range(delivery)
    for_oxygen = Range(*(int(np.ceil(want / (air_per_diffuser * give) - 1e-9)) for want, give
                         in zip(wanted, per_air[::-1], strict=True)))
    for_mixing = Range(*(int(np.ceil(mixing / flow - 1e-9)) for flow in lifted[::-1]))
    both = Range(*(max(a, b) for a, b in zip(for_oxygen, for_mixing, strict=True)))
    return DiffuserNeed(for_oxygen, for_mixing, both, Range(*(n * air_per_diffuser for n in both)),
                        airflow_by_area(area))


@quantities(volume="m^3", area="m^2", demand="kg/s", night_length="s", dusk="mg/L", saturation="mg/L",
            exchange_speed="m/s", air_per_diffuser="m^3/s", oxygen_per_air="kg/m^3", bubble_saturation="mg/L",
            gives=MoreDiffusers)
def more_diffusers(volume, area, demand, night_length, dusk, saturation, exchange_speed, air_per_diffuser,
                   oxygen_per_air, bubble_saturation=None, most=12):
    """Dawn oxygen with 0, 1, 2 ... diffusers, and the number after which one more adds little.

    volume, area, night_length: m3, m2, s.
    demand: kg/s used all night; ``oxygen.night_demand``.
    dusk, saturation: mg/L at dusk, and at rest with the air.
    exchange_speed (float or array): m/s through the surface; ``sources.exchange_band``. An array has one for each of
        0, 1, 2 ... `most`.
    air_per_diffuser, oxygen_per_air: As for :func:`diffusers_needed`, one number each, but in water that holds no
        oxygen.
    bubble_saturation: mg/L at which bubbles give no more; default saturation. Under 20 ft it is about a fifth higher.
    most: Largest number tried.

    dC/dt = k A/V (Cs - C) + n q e/V (1 - C/Cb) - R/V solved exactly over the night; never below 0. Each one
    more adds less, because water richer in oxygen takes less from a bubble; none can pass Cb. One more is worth
    it while it adds at least half of what the first one does.
    """
    positive("more_diffusers", volume=volume, area=area, night_length=night_length, saturation=saturation,
              air_per_diffuser=air_per_diffuser, oxygen_per_air=oxygen_per_air)
    not_negative("more_diffusers", demand=demand, dusk=dusk, exchange_speed=exchange_speed)
    ceiling = saturation if bubble_saturation is None else bubble_saturation
    number = np.arange(most + 1)
    bubbles = number * air_per_diffuser * oxygen_per_air / volume * 1e3             # mg/L/s into empty water
    rate = exchange_speed * area / volume + bubbles / ceiling
    push = exchange_speed * area / volume * saturation + bubbles - demand / volume * 1e3
    fade = np.exp(-rate * night_length)
    spread = np.where(rate > 0, -np.expm1(-rate * night_length) / np.where(rate > 0, rate, 1), night_length)
    dawn = np.maximum(0.0, dusk * fade + push * spread)
    gain = np.diff(dawn)
    helps = np.flatnonzero(gain >= max(gain[0] / 2, 1e-9))
    last = helps[-1] + 1 if len(helps) else 0
    return MoreDiffusers(number, dawn, gain, None if last == most else int(last))


MUD = Range(0.08, 0.155, 0.23)      # g/m2/d, oligotrophic to eutrophic; the middle is the mean of the two
WATER = 0.01                        # mg/L/d
SUPPLY_LIMIT = 3.8                  # mg/L, whole-lake mean below which loss slows for want of oxygen


@quantities(volume="m^3", bed_area="m^2", gives="mg/L/day")
def winter_loss(volume, bed_area):
    """Oxygen lost in a day under ice and snow.

    volume (float or array): m3 of water under the ice.
    bed_area (float or array): m2 of bed under water; the area of the surface is close. Bed over volume, not one over
        the greatest depth: in a bowl that would halve the loss or worse.
    Returns: Range: mg/L a day: oligotrophic, middle, eutrophic. Held for lake means above 3.8 mg/L; below that the
        loss slows.
    References: J. A. Mathias and J. Barica, 1980, Factors controlling oxygen depletion in ice-covered lakes, Can. J.
        Fish. Aquat. Sci. 37:185-195 (abstract seen): loss = s A/V + 0.01 g/m3/d, s 0.23 or 0.08 g/m2/d.
    """
    positive("winter_loss", volume=volume, bed_area=bed_area)
    return Range(*(mud * np.divide(bed_area, volume) + WATER for mud in MUD))


@quantities(volume="m^3", bed_area="m^2", dissolved_oxygen="mg/L", floor="mg/L", gives="day")
def days_under_ice(volume, bed_area, dissolved_oxygen, floor=SUPPLY_LIMIT):
    """Days from freeze-up until the mean oxygen of the pond falls to a floor.

    volume, bed_area: As for :func:`winter_loss`.
    dissolved_oxygen: mg/L at freeze-up, mean of the pond.
    floor: mg/L, 3.8 or more: the steady rate was found above a mean of 3.8 mg/L.
    Returns: Range: days; `low` is the eutrophic pond.
    Raises ValueError: For a floor below 3.8 mg/L, where the rule does not hold.
    """
    if np.any(np.asarray(floor) < SUPPLY_LIMIT):
        raise Refused("below a mean of 3.8 mg/L the loss slows and this rule does not hold (Mathias and Barica 1980). "
                      "Keep 3.8 mg/L or more.", by="days_under_ice")
    loss = winter_loss(volume, bed_area)
    left = np.maximum(0.0, np.subtract(dissolved_oxygen, floor))
    return Range(*(left / rate for rate in loss[::-1]))
