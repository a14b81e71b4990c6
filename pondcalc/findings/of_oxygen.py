"""What a pond needs of oxygen: the section ``oxygen``, and its words."""

import math

from ..catalogue import ROWS
from ..how_much_oxygen import oxygencase
from ..units import KINDS, Q, Range, show, show_range
from ..wording import either

# how an unknown of the oxygen model is called in front of a reader, and how to find it out
DOUBT_WORDS = {
    "plankton_scatter": ("night use of the algae and small life",
                         "two oxygen readings at night, three hours apart or more"),
    "dissolved_oxygen": ("oxygen at dusk", ROWS["oxygen", "dusk"].know_better),
    "mud_20c": ("use of the mud", ROWS["oxygen", "mud"].know_better),
    "clear_share": ("how dark the day between is", ROWS["oxygen", "night"].know_better),
    "exchange_rank": ("trade with the air", "night readings in one windy and one calm night"),
    "chlorophyll": ("how green the water is", ROWS["oxygen", "color"].know_better),
    "assimilation": ("how hard the algae work", "oxygen at dawn and at 3 PM of a clear day"),
    "light_saturation": ("how much light the algae need", "oxygen at dawn and at 3 PM of a clear day"),
    "prompt_use": ("share of the oxygen used on the spot", "oxygen at dawn and at 3 PM of a clear day"),
    "fish_mass": ("size of the fish", "lengths and weights of fish you catch"),
    "fish_mass_per_area": ("how many fish", ROWS["oxygen", "fish"].know_better),
    "load": ("waste of feed", ROWS["oxygen", "feed_per_day"].know_better),
    "weed_use_20c": ("night use of the weeds", "oxygen in the weeds before dawn"),
    "weed_production": ("oxygen made by the weeds", "oxygen in the weeds at 3 PM"),
}


def oxygen(shape, said, runs=1000):
    """What a pond's description says about its oxygen, as the pond record's section ``oxygen``.

    Parameters
    ----------
    shape : daynight.PondShape
    said : oxygencase.Described
    runs : int, optional
        Ponds drawn.

    Returns
    -------
    tuple of (oxygenchance.DawnChance, oxygencase.DeliveryNeed, dict)
    """
    chance = oxygencase.bad_dawn(shape, said, said.floor, runs)
    need = oxygencase.delivery_need(shape, said, runs)
    values = {name: said.quantity(name) for name in ("fish", "temperature", "night", "floor", "feed_per_day",
                                                     "wind_speed", "night_wind_speed")}
    values |= {"mud": said.mud, "color": said.color, "weed_cover": Q(100 * said.weed_cover, "%"),
               "delivery": Range(*(Q(3600 * float(v), "kg/h") for v in need.drawn)),
               "need": Range(*(Q(3600 * v, "kg/h") for v in oxygencase.need_for(need.each, 0.95))),
               "dawn": Range(*(Q(float(v), "mg/L") for v in chance.dawn)), "chance": Q(100 * chance.chance, "%")}
    for name in ("secchi_depth", "dusk"):
        if getattr(said, name) is not None:
            values[name] = said.quantity(name)
    if said.dusk is not None:
        values["dusk_where"] = said.dusk_where
    return chance, need, values


def say_share(share, floor, system="US"):
    """What a share (quantity) of drawn ponds below a level (quantity) is, and is not."""
    return (f"in {share.m_as('percent'):.0f} of 100 imagined ponds that fit your words, oxygen falls below "
            f"{show(floor, 'oxygen', system, digits=2)} in two nights and a mostly dull day")


def say_oxygen(values, system="US"):
    """The section ``oxygen`` in words."""
    dawn, said = values["dawn"], say_share(values["chance"], values["floor"], system)
    return (f"{said[0].upper()}{said[1:]}. That was tried on no real pond. Their lowest oxygen: about "
            f"{show(dawn.usual, 'oxygen', system, digits=2)} in the middle one, and in nine of ten from "
            f"{show_range(dawn.low, dawn.high, 'oxygen', system)}. To save 95 of 100 of them, aeration must deliver "
            f"{say_need(values['need'], system)}.")


def say_need(span, system="US"):
    """A delivery as a range (quantities; only its ends count), rounded outward to what it is known by."""
    if span.high.m_as("kg/h") < 1e-3:
        return "nothing"
    unit = KINDS["oxygen rate"][system != "US"]
    low, high = (_outward(end.m_as(unit), way) for end, way in ((span.low, math.floor), (span.high, math.ceil)))
    most = show(Q(high, unit), "oxygen rate", system, digits=1 + (high >= 10))
    return f"up to about {most}" if low == 0 else f"about {low:.2g} to {most}"


def _outward(value, way):
    """One digit, two from 10 up; nothing below 0.001."""
    if value < 1e-3:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(value)) - (value >= 10))
    return way(value / step + (1e-9 if way is math.floor else -1e-9)) * step


def say_dusk(shape, said, system="US"):
    """How a reading at dusk near the top was used; empty where there is none."""
    if said.dusk is None or said.whole is not None:
        return ""
    low, _, high = oxygencase.dusk_of(shape, said)
    return (f"Your {show(said.quantity('dusk'), 'oxygen', system, digits=2)} at dusk was read near the top, or "
            "you do not know where. By evening the top holds the most oxygen, so that is not the whole pond's. "
            f"Reckoned with {show_range(Q(low, 'mg/L'), Q(high, 'mg/L'), 'oxygen', system)} for the whole pond.")


def rate(delivery, system="US"):
    """A delivery in words; nothing is nothing."""
    return "nothing" if delivery.m_as("kg/h") < 1e-3 else show(delivery, "oxygen rate", system, digits=2)


def say_who(parts, system="US"):
    """Who makes and who uses the oxygen by day and in the dark, one line each."""
    words = {"plants": "plants make", "air": "from the air", "plankton": "algae and small life", "mud": "mud",
             "fish": "fish", "weeds": "weeds", "load": "waste of feed"}
    used = -sum(v for name, v in parts.night.items() if v < 0 and name != "air")
    lines = [f"{'':<21}{'by day':>8}{'in dark':>8}{'share':>6}"]
    for name, said in words.items():
        by_day, dark = (show(Q(round(float(part[name]), 2), "kg"), "mass", system, digits=2)
                        for part in (parts.day, parts.night))
        share = f"{-100 * parts.night[name] / used:.0f} %" if parts.night[name] < 0 and name != "air" else ""
        if abs(parts.day[name]) + abs(parts.night[name]) > 0:
            lines.append(f"{said:<21}{by_day:>8}{dark:>8}{share:>6}")
    return "\n".join(lines)


def say_delivery(need, system="US"):
    """Four answers to how much oxygen aeration must deliver, from calm to grim."""
    half, most = (say_need(Range(*(Q(3600 * v, "kg/h") for v in oxygencase.need_for(need.each, share))), system)
                  for share in (0.5, 0.95))
    stacked, budget = (show(Q(3600 * float(value), "kg/h"), "oxygen rate", system, digits=2)
                       for value in (need.stacked, need.budget.high))
    return (f"Enough for half of {len(need.each)} imagined ponds: {half}\nEnough for 95 of 100 of them: {most}\n"
            f"Every doubt at its bad end, same model: about {stacked}\n"
            f"One-night budget, every bad case stacked: about {budget}")


def say_nights(log, fit):
    """What a log's nights say: rows used and left out, use, trade with the air, and what to measure next."""
    lines = [f"{len(log.hours)} readings used, {len(log.dropped)} left out."]
    lines += [f"  line {row.row}: {row.reason}" for row in log.dropped]
    lines += list(log.notes)
    lines.append(f"{len(fit.nights)} night{'s' if len(fit.nights) != 1 else ''} with two or more readings.")
    low, usual, high = fit.use_20c
    lines.append(f"Use of oxygen at {either('68 °F', '20 °C')}: {usual:.2f} mg/L an hour; {low:.2f} to {high:.2f} "
                 "would fit too.")
    low, usual, high = fit.reaeration
    if fit.seen:
        lines.append(f"The surface makes good {100 * usual:.1f} % of the shortfall an hour ({100 * low:.1f} to "
                     f"{100 * high:.1f} %).")
    else:
        lines.append(f"Trade with the air does not show; anything from {100 * low:.1f} to {100 * high:.1f} % of the "
                     "shortfall an hour would fit.")
    dawns = ", ".join(f"{value:.1f}" for value in fit.dawn)
    lines.append(f"Last reading before light, as fitted: {dawns} mg/L.")
    lines.append(f"Measure next: {fit.advice}")
    return "\n".join(lines)


def say_fit(log, fit):
    """A picture of a log and its fitted nights, in words."""
    return (f"{len(log.hours)} oxygen readings as dots and a line through each of {len(fit.nights)} nights; the lowest "
            f"reading is {log.dissolved_oxygen.min():.1f} mg/L.")
