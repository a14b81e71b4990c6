"""Is it worth aerating this pond, does this air meet the need, and will the machine in the record do?

The answer rests on what the workbooks saved: the share of imagined ponds with a bad dawn (02), layers (05), winter
(07). Where one of them is missing the verdict says so and stays open. The oxygen that bubbles give is set against the
need of a bad night, and the water they lift is named as their main work.

What this leaves out: what the fish are worth to you, and what a cure by other means would cost.
"""

import warnings
from typing import Any, NamedTuple

from .. import findings
from ..bubbles_and_oxygen import comparison
from ..units import Q, Range, show, show_range
from . import planchoice

__all__ = ["OFTEN", "Given", "Verdict", "of_machine", "oxygen_given", "verdict"]

OFTEN = 10.0        # percent of drawn ponds below the floor from which a bad dawn counts as a reason; our choice
ENOUGH = 0.8        # share of the air wanted that still does: 03 keeps its air a fifth either way
KIND = "membrane"   # where workbook 03 has not chosen a diffuser


class Given(NamedTuple):
    """Oxygen that the plan's air gives on a bad night, kg/s, each a Range, and the workbook it comes from.

    `bubbles` out of the bubbles, `surface` at the top by the water they lift.
    """

    bubbles: Any
    surface: Any
    source: str


class Verdict(NamedTuple):
    """One line to act on, and the reasons with their workbooks, each a sentence."""

    headline: str
    reasons: tuple


def oxygen_given(pond, made):
    """Oxygen by both paths while the whole pond stands at the floor.

    Parameters
    ----------
    pond : record.PondRecord
    made : plan.Plan

    Returns
    -------
    Given or None
        As workbook 03 saved it, else worked out for water at the floor from top to bottom; None where no air arrives.
    """
    saved = [pond.get("air", key) for key in ("oxygen_by_bubbles", "oxygen_by_surface")]
    if None not in saved:
        return Given(*(Range(*(v.m_as("kg/s") for v in span)) for span in saved), "03")
    if made.point is None:
        return None
    c, place = made.choices, findings.setting(pond)
    column = findings.two_readings(c.submergence, c.floor, c.floor, c.temperature, place.pressure)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        paths = comparison.compare_paths.si(made.point.flow_free_air, c.submergence, column, c.area, KIND, c.diffusers)
    return Given(paths.bubbles, paths.surface, "08")


def _rate(value, system):
    return findings.rate(Q(3600 * max(float(value), 0.0), "kg/h"), system)


def _rates(span, system):
    return show_range(*(Q(3600 * max(float(v), 0.0), "kg/h") for v in (span.low, span.high)), "oxygen rate", system)


def _dawn(pond, made, system):
    """Whether dawns are a reason (None where nobody knows), and the sentence; what was seen outweighs what is drawn."""
    if pond.get("oxygen", "seen_short") == "yes":
        return True, ("Dawn: fish were seen gulping, or died [02]. So the pond has been short at least once, and that "
                      "counts more than any budget.")
    chance, level = pond.get("oxygen", "chance"), Q(made.choices.floor, "mg/L")
    if chance is None:
        low, high = (Q(float(v), "mg/L") for v in (made.budget.dawn.low, made.budget.dawn.high))
        return None, (f"Dawn: share of bad ones not known yet; do workbook 02. The simple budget says anything from "
                      f"{show_range(low, high, 'oxygen', system)}, which decides nothing [08].")
    return chance.m_as("percent") >= OFTEN, (f"Dawn: {findings.say_share(chance, level, system)} [02].")


def _layers(pond):
    """Whether layers are a reason (None where nobody looked), and the sentence."""
    kind, when = pond.get("layers", "kind"), pond.get("layers", "read_on")
    read = f", read {when}" if when else ""
    if kind is None:
        return None, "Layers: not read yet; do workbook 05 in the warmest weeks."
    if kind == "mixed":
        return False, f"Layers: mixed from top to bottom{read} [05], so there is little for the bubbles to stir then."
    return True, (f"Layers: {kind}{read} [05]. Air at the bottom ends that and keeps deep water alive; it is also why "
                  "the first start must be slow.")


def _winter(pond):
    winter = pond.get("year", "winter")
    return (f"Winter: {winter} [07]." if winter else
            "Winter: not looked at; do workbook 07 if ice and snow cover the pond for weeks.")


def _need(pond, made, system):
    """Air against need: whether the bubbles carry a bad night (None where no air arrives), and the sentences."""
    need, source = made.budget.delivery, "02" if made.choices.delivery is not None else "08, every bad case stacked"
    given = oxygen_given(pond, made)
    if given is None:
        return None, ["Oxygen: no air arrives, so none is given."]
    saved, spread = pond.get("oxygen", "need"), Range(*(Q(3600 * float(v), "kg/h") for v in need))
    if made.choices.delivery is None or saved is None:      # records before the range was kept hold its upper part
        saved = spread
    enough = 3600 * given.bubbles.low >= saved.high.m_as("kg/h")
    words = (f"Oxygen on a bad night: needed {findings.say_need(saved, system)} [{source}]; the bubbles give "
             f"{_rates(given.bubbles, system)} [{given.source}]. ")
    words += ("That covers it." if enough else
              "That does not carry a bad night. Have a plan for it: stop feeding, and know where a surface aerator can "
              "be borrowed.")
    if given.surface.high > 0:
        words += (f" What the lifted water takes in at the top, {_rates(given.surface, system)} [{given.source}], is "
                  "not added: the need already counts a mixed pond with an open surface.")
    words = [words]
    if made.choices.delivery is not None and made.one_night.high > 1.2 * need.high:
        words.append("Size for the number of workbook 02: it saves 95 of 100 imagined ponds. The one-night budget of "
                     f"workbook 08 says {_rate(made.one_night.high, system)}, because it stacks every bad case on one "
                     "night.")
    return enough, words


def verdict(pond, made, system="US"):
    """Aerate or not, why, and how sure that is.

    Parameters
    ----------
    pond : record.PondRecord
    made : plan.Plan
    system : {"US", "metric"}, optional

    Returns
    -------
    Verdict
    """
    (dawn, dawn_words), (layered, layer_words) = _dawn(pond, made, system), _layers(pond)
    enough, need_words = _need(pond, made, system)
    if dawn or layered:
        why = " and ".join(words for words, said in (("bad dawns", dawn), ("layers", layered)) if said)
        headline = f"Aerate: yes, by what is known so far, because of {why}."
        if not enough:
            headline += " But do not count on these bubbles alone in the worst night."
    elif dawn is None and layered is None:
        headline = "Aerate: not decided yet. Nothing is saved about bad dawns (02) or layers (05)."
    elif dawn is None or layered is None:
        headline = ("Aerate: no reason found so far, but half the picture is missing: do workbook "
                    f"{'02' if dawn is None else '05'} before you spend.")
    else:
        headline = "Aerate: little reason to buy, by what is known so far."
    doubt = ("Doubt: this rests on the words for the water, a guess of the fish, and sums tried on no real pond. A "
             f"meter at dusk and at dawn on two hot days can overturn it. That {OFTEN:.0f} in 100 count as a reason is "
             "our choice.")
    return Verdict(headline, (dawn_words, layer_words, _winter(pond), *need_words, doubt))


def of_machine(pond, made, system="US"):
    """Will the machine in the record do for this plan?

    Parameters
    ----------
    pond : record.PondRecord
    made : plan.Plan
    system : {"US", "metric"}, optional

    Returns
    -------
    tuple of (bool or None, str)
        None where the record holds no curve of a machine; the sentence is empty where it holds no operating point
        either.
    """
    def said(value, kind, unit=None):
        quantity = value if unit is None else Q(float(value), unit)
        return show(quantity, kind, system, digits=2, both=True)
    curve, wanted = made.choices.curve, pond.get("air", "flow_free_air")
    if curve is None:
        flow, gauge = pond.get("line", "flow_free_air"), pond.get("line", "pressure_gauge")
        if flow is None or gauge is None:
            return None, ""
        return None, (f"Workbook 04 holds no machine, only what to ask of one: {said(flow, 'air flow')} at "
                      f"{said(gauge.high, 'pressure')} on the gauge. A machine whose curve passes through that point "
                      "or above it will do.")
    name = f"Your machine ({curve.name})" if curve.name else "Your machine"
    if made.point is None:
        return False, f"{name} will not do: {made.trouble}"
    air, ends = made.point.flow_free_air, float(max(planchoice.machine(made.choices).pressure_gauge))
    sends = (f"it sends {said(air, 'air flow', 'm3/s')} of free air at "
             f"{said(made.point.pressure_gauge, 'pressure', 'Pa')} on the gauge")
    if wanted is not None and air < ENOUGH * wanted.usual.m_as("m^3/s"):
        return False, (f"{name} will not do for the air of workbook 03, because {sends}, and "
                       f"{said(wanted.usual, 'air flow')} is wanted.")
    asked = said(made.pressure.total, "pressure", "Pa")
    if ends < made.pressure.total:
        return True, (f"{name} will do, but with little room, because {sends}, and its curve ends at "
                      f"{said(ends, 'pressure', 'Pa')}, below the {asked} that leaves a margin for an aged diffuser.")
    return True, (f"{name} will do, because {sends}, and its curve goes on to {said(ends, 'pressure', 'Pa')}, past the "
                  f"{asked} that leaves a margin for an aged diffuser.")
