"""The gauge at the compressor reads high, or low. What does that mean?

A gauge reads the weight of the water over the diffuser plus everything the air rubs past. So it is a
witness: a reading above what the pond and the line ask for points to something in the way, a reading below
to a way out. It cannot tell every cause from every other. This module works out what the gauge should
read, how sure that is, and which causes could make the difference, in order, each with the size it would
have to have and what to look at next.

Inside the package pressures are Pa gauge, flow m3/s of free air, depth m.

What this leaves out: two faults at once, and a gauge that sticks. The starting chances are a judgment from
common practice, with no source; change them by what you know.
"""

from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.special import ndtr

from .. import air
from ..refusals import Refused
from ..units import Range, quantities, record, show
from . import airline, branches

# cause: chance before the gauge is read, then how many times likelier when the change came slowly, suddenly, and with
# normal, weak or no bubbles (judgment from common practice, no source), and what to look at
CAUSES = {
    "nothing wrong": (0.40, 1.0, 0.2, 1.5, 0.3, 0.02,
                      "Write the reading down with the date; a trend says more than one number."),
    "fouled diffuser": (0.19, 2.0, 0.3, 1.0, 1.5, 0.5, "Clean or flex the diffuser and read the gauge again."),
    "water in a sag": (0.05, 1.0, 1.0, 0.8, 1.2, 0.7, "Look for low places in the line; blow it out, and lay it with a "
                       "steady fall to the pond."),
    "kink, ice or blockage": (0.07, 0.5, 2.0, 0.4, 1.5, 2.0,
                              "Stop the machine. Walk the line for kinks, crushed places, ice and shut valves."),
    "diffuser deeper than thought": (0.04, 0.7, 0.7, 1.2, 0.8, 0.3,
                                     "Measure the depth at the diffuser, and the water level against full."),
    "leak": (0.10, 0.7, 1.5, 0.5, 2.0, 2.0,
             "Walk the line with soapy water on every joint; look for bubbles along the bank."),
    "diffuser shallower than thought": (0.04, 0.7, 1.0, 1.2, 0.8, 0.3, "Measure the depth at the diffuser: it may have "
                                        "floated or been dragged, or the water is low."),
    "diffuser torn or off": (0.03, 0.5, 2.0, 1.0, 0.7, 0.2,
                             "Look at the bubbles: large ones in one place mean a tear or an open end."),
    "worn compressor": (0.03, 2.0, 0.5, 0.6, 2.0, 1.0, "Check the inlet filter first. Then measure the flow; a gauge "
                        "hardly shows a worn machine."),
    "line off, or no air made": (0.02, 0.3, 2.0, 0.02, 0.3, 5.0, "Check that it runs, that the belt or diaphragm is "
                                 "whole, and that the line is on."),
    "gauge wrong": (0.03, 1.0, 1.0, 1.2, 0.8, 0.5,
                    "Let the pressure off: a sound gauge goes to zero. Compare it with another one."),
}
CHANGES, BUBBLES = ("slow", "sudden"), ("normal", "weak", "none")

GAUGE_ERROR = 2000.0    # Pa, one standard error (0.3 psi), 2 % of a 15 psi dial: common practice, no source
DEPTH_ERROR = 0.15      # m, one standard error (6 in): our choice
FLOW_ERROR = 0.15       # share of the flow, one standard error: our choice
HALF = (1 + airline.AGED) / 2


@record(depth="m", elevation="m")
class Setup:
    """What is known about the system: depth of the diffuser below today's water surface, line, height above sea level.

    The diffuser counts as ordinary up to the wear of :data:`pondcalc.back_pressure.airline.AGED`.
    """

    depth: Any
    line: Any
    elevation: Any = 0.0

    def system(self, ageing):
        """What the gauge should read for a flow, with the diffuser this many times its new wet pressure."""
        return airline.system_curve(self.depth, self.line, ageing=ageing, elevation=self.elevation)


class Finding(NamedTuple):
    """One cause: its chance among those listed, Pa over or under the middle, words, what to look at."""

    cause: str
    chance: Any
    size: Any
    words: str
    look: str


class Diagnosis(NamedTuple):
    """Pa expected (new, half aged, aged), Pa of doubt, findings from likely to unlikely, words."""

    expected: Any
    doubt: Any
    findings: Any
    words: str


class Expected(NamedTuple):
    """What a gauge should read, with the diffuser new, half aged and aged."""

    reads: Annotated[Range, "Pa"]
    doubt: Annotated[float, "Pa"]       # one standard error: gauge, depth and flow errors, as independent ones


@quantities(flow_free_air="m^3/s", gives=Expected)
def expected_reading(setup, flow_free_air):
    """What the gauge should read, and how far that is in doubt.

    setup (Setup).
    flow_free_air: m3/s of free air, measured or from the plate.
    Returns: Expected: Pa gauge.
    """
    reads = Range(*(float(setup.system(ageing)(flow_free_air)) for ageing in (1.0, HALF, airline.AGED)))
    by_flow = float(setup.system(HALF)(flow_free_air * (1 + FLOW_ERROR))) - reads.usual
    return Expected(reads, float(np.sqrt(GAUGE_ERROR**2 + (airline.HEAD * DEPTH_ERROR)**2 + by_flow**2)))


def _spans(reads, opens):
    """Readings, Pa, that each cause can bring about: from, to."""
    wet, usual, head = airline.WET_PRESSURE, reads.usual, airline.HEAD
    return {
        "nothing wrong": (reads.low, reads.high),
        "fouled diffuser": (reads.high, reads.high + 8 * wet),
        "water in a sag": (usual + 0.1 * head, usual + 1.0 * head),
        "kink, ice or blockage": (usual + 0.2 * head, usual + 7.0 * head),
        "diffuser deeper than thought": (usual + 0.2 * head, usual + 1.5 * head),
        "leak": (0.0, usual),
        "diffuser shallower than thought": (max(usual - 1.5 * head, 0.0), usual - 0.2 * head),
        "diffuser torn or off": (max(reads.low - wet, 0.0), reads.low - 0.5 * wet),
        "worn compressor": (min(opens, usual - 100.0), usual),
        "line off, or no air made": (0.0, 0.05 * usual),
        "gauge wrong": (0.0, 2.0 * usual),
    }


def _likelihood(reading, span, doubt):
    """Chance of this reading, per Pa, if the cause spreads evenly over its span and the doubt is normal."""
    low, high = span
    width = max(high - low, 1.0)
    return (ndtr((reading - low) / doubt) - ndtr((reading - high) / doubt)) / width


def _clue(cause, change, bubbles):
    _, *factors, _ = CAUSES[cause]
    times = 1.0
    for said, words, at in ((change, CHANGES, 0), (bubbles, BUBBLES, 2)):
        if said is not None:
            if said not in words:
                raise Refused(f"{said!r} is not one of {', '.join(words)}. Leave it out if you do not know.",
                              by="diagnose")
            times *= factors[at + words.index(said)]
    return times


def _say(size, kind, system):
    """How large a difference is, whichever way it goes."""
    return show(abs(float(size)), kind, system, digits=2)


UNSEEN = 10.0           # Pa; less than any gauge shows


def _leak_words(setup, reading, flow, system):
    down = airline.system_flow(setup.system(HALF), reading)
    lost = flow - down
    outside = float(air.pressure_by_elevation(setup.elevation))
    if not reading > UNSEEN:
        return "All the air would leave by an open end near the compressor."
    if not lost > 0.02 * flow:
        return "A leak is too small to show at this reading."
    hole = float(branches.orifice_bore(lost, reading + outside, outside))
    reach = f"{'none' if down == 0 else _say(down, 'air flow', system)} reaches the diffuser"
    return (f"About {_say(lost, 'air flow', system)} would be lost and {reach}. One round hole of "
            f"{_say(hole, 'bore', system)} near the compressor would do it.")


def _words(cause, setup, reading, reads, flow, system):
    gap = reading - reads.usual
    size, height = _say(gap, "pressure", system), _say(gap / airline.HEAD, "depth", system)
    if cause == "leak":
        return _leak_words(setup, reading, flow, system)
    if cause == "fouled diffuser":
        times = 1 + (reading - reads.low) / airline.WET_PRESSURE
        return ("A little fouling hides inside ordinary ageing." if times <= airline.AGED else
                f"The diffuser would take {times:.1f} times what it takes new.")
    if cause == "water in a sag":
        return (f"About {height} of water would stand in a low place." if gap > 0 else
                "Water in a sag would raise the reading.")
    if cause == "kink, ice or blockage":
        if not (gap > UNSEEN and flow > 0):
            return "A narrow place would raise the reading."
        outside = float(air.pressure_by_elevation(setup.elevation))
        hole = float(branches.orifice_bore(flow, reading + outside, reads.usual + outside))
        return f"One narrow place would take {size}, as a hole of {_say(hole, 'bore', system)} does."
    if cause in ("diffuser deeper than thought", "diffuser shallower than thought"):
        deeper = "deeper" in cause
        if (gap > 0) != deeper:
            return f"That would {'raise' if deeper else 'lower'} the reading."
        return f"It would lie {height} {'deeper' if deeper else 'shallower'} than written down."
    wet = _say(airline.WET_PRESSURE, "pressure", system)
    return {"diffuser torn or off": f"Its wet pressure, {wet} when new, would be gone.",
            "worn compressor": "Less air rubs less, so the reading falls a little; never below what opens the way to "
                               "the diffuser.",
            "line off, or no air made": "The reading would be near zero.", "gauge wrong": f"It would be off by {size}.",
            "nothing wrong": f"The reading is {size} {'over' if gap >= 0 else 'under'} the middle of what is expected."
            }[cause]


def _verdict(reading, reads, doubt, system):
    low, high = reads.low - 2 * doubt, reads.high + 2 * doubt
    span = f"{_say(max(reads.low, 0.0), 'pressure', system)} to {_say(reads.high, 'pressure', system)}"
    sure = f"give or take {_say(2 * doubt, 'pressure', system)}"
    if reading > high:
        return f"High. Expected {span}, {sure}. Something is in the way of the air."
    if reading < low:
        return f"Low. Expected {span}, {sure}. Air finds an easier way out, or less of it is made."
    side = ("a little high" if reading > reads.high else
            "a little low" if reading < reads.low else "as expected")
    return f"Within doubt, {side}. Expected {span}, {sure}. The gauge alone proves nothing here."


@quantities(reading="Pa", flow_free_air="m^3/s")
def diagnose(reading, setup, flow_free_air, change=None, bubbles=None, system="US"):
    """What a gauge reading says about the diffuser, the line and the machine.

    reading: Pa gauge, zero or more.
    setup (Setup).
    flow_free_air: As for :func:`expected_reading`.
    change ({"slow", "sudden"}): How the reading came about, over weeks or between two visits.
    bubbles ({"normal", "weak", "none"}): What is seen over the diffuser.
    system ({"US", "metric"}): Units of the words.
    Returns: Diagnosis: Pressures are plain numbers, Pa.
    Raises ValueError: If the reading is below zero or a clue is not in its list.

    Bayes' rule. Each cause can bring about a span of readings, taken as equally likely; the doubt of gauge,
    depth and flow blurs it as a normal error. Chance before x fit of the reading x clues, over their sum.
    The chances before and the clues are judgment: take the order seriously, the percentages as rough.
    """
    if not reading >= 0:
        raise Refused("the reading must be 0 or more; a gauge reads 0 in open air.", by="diagnose")
    reads, doubt = expected_reading(setup, flow_free_air)
    spans = _spans(reads, float(setup.system(1.0)(0.0)))
    scores = {cause: CAUSES[cause][0] * float(_likelihood(reading, spans[cause], doubt))
              * _clue(cause, change, bubbles) for cause in CAUSES}
    total = sum(scores.values())
    if not total > 0:           # so far off that only the gauge or the setup can be wrong
        scores = {cause: float(cause == "gauge wrong") for cause in CAUSES}
        total = 1.0
    findings = [Finding(cause, score / total, reading - reads.usual,
                        _words(cause, setup, reading, reads, float(flow_free_air), system), CAUSES[cause][-1])
                for cause, score in sorted(scores.items(), key=lambda item: -item[1])]
    first = [f for f in findings if f.chance >= 0.1] or findings[:1]
    listed = "; ".join(f"{f.cause} ({how_likely(f.chance)})" for f in first)
    return Diagnosis(reads, doubt, findings, f"{_verdict(reading, reads, doubt, system)} In order: {listed}.")


def how_likely(chance):
    """A chance in words, since its digits are not to be trusted: likely, quite possible, possible, unlikely."""
    return next(word for least, word in ((0.5, "likely"), (0.2, "quite possible"), (0.05, "possible"),
                                         (0.0, "unlikely")) if chance >= least)
