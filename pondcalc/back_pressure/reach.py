"""Does a machine, as a seller tells it, make bubbles at the end of this line, and how much air does it send?

A seller gives points of air at a pressure, or only one, and perhaps the highest pressure. What such words prove is
taken, and no more: a machine gives less air the harder it pushes, so one point promises its air at every lower
pressure, and says nothing of a higher one. Air told in open air, or without a pressure, proves nothing.

Inside the package pressures are Pa gauge, flow is m3/s of free air. What is told counts at sea level and is moved to
the pond by :func:`pondcalc.back_pressure.compressor.derated`.

What this leaves out: whether the seller's numbers are true, and whether the machine may run day and night.
"""

import warnings
from typing import Any, NamedTuple

import numpy as np

from ..units import Q, Range, show
from . import airline, compressor, lineplan
from .lineflow import Chokes
from .sellerwords import ALWAYS, Told

__all__ = ["CANNOT", "ENOUGH", "NEVER", "REACHES", "RESTS", "UNSAID", "Reach", "Told", "at_work", "judge", "needed",
           "saved_curve", "saved_told", "told_values", "too_thin"]

REACHES, CANNOT, UNSAID, RESTS = "reaches", "cannot reach", "not known to reach", "may not run day and night"
NEVER = (CANNOT, RESTS)     # what is bought for nothing: no cost of it is shown
ENOUGH = 0.8        # share of the air wanted that still does: 03 keeps its air a fifth either way
DUTY = "Ask whether it may run day and night."
MORE = "If the machine goes higher, ask for its air there."


class Reach(NamedTuple):
    """What a machine does on a line.

    `does` is :data:`REACHES`, :data:`CANNOT`, :data:`UNSAID` or :data:`RESTS`. `flow` is the free air as a
    Range from the aged to the new diffuser, None unless it reaches; `least` True where it is only the least that was
    promised. `room` says whether the margin is kept, None unless it reaches. `own` is the line at work
    (:class:`lineplan.OwnLine`), with its
    `trouble` set where the machine cannot reach.
    """

    does: str
    flow: Any
    least: bool
    room: Any
    own: Any
    words: str


class _Case(NamedTuple):
    """One machine before one line: what was told, the line, and the machine moved to the pond."""

    told: Told
    place: lineplan.SavedLine
    system: str
    share: float            # of its sea-level pressure that the machine keeps at the pond

    def pressure(self, value):
        return show(Q(float(value), "Pa"), "pressure", self.system)

    def flow(self, value):
        return show(Q(float(value), "m3/s"), "air flow", self.system)

    def told_and_here(self, value):
        """A pressure as told, with what is left of it at the pond."""
        if self.share > 0.995:
            return self.pressure(value)
        height = show(Q(float(self.place.elevation), "m"), "elevation", self.system)
        return f"{self.pressure(value)} (about {self.pressure(value * self.share)} at {height})"

    def unsaid(self, why):
        own = at_work(self.place)
        return Reach(UNSAID, None, False, None, own,
                     f"{why} Not known whether it reaches: ask the seller how much air it gives at "
                     f"{self.pressure(own.aged.working)} on the gauge, and its highest pressure.")

    def cannot(self, why, own=None):
        own = own or at_work(self.place)
        words = f"Cannot reach the diffuser: {why}"
        return Reach(CANNOT, None, False, None, own._replace(trouble=own.trouble or words), words)

    def rests(self):
        own = at_work(self.place)
        words = (f"May not run day and night: “{self.told.duty}” was told of it. The plan counts on air day and night, "
                 "and a machine that must rest cannot give it. Ask for one rated for continuous duty.")
        return Reach(RESTS, None, False, None, own._replace(trouble=words), words)

    @property
    def duty(self):
        """What is left to ask about day and night."""
        return "It is told to run day and night: get that in writing." if self.told.duty == ALWAYS else DUTY


def at_work(place, curve=None, flow_free_air=None):
    """A saved line with a compressor's curve, or for an air flow (m3/s; the planned one by default)."""
    flow = place.flow_free_air if flow_free_air is None else flow_free_air
    return lineplan.own_line.si(place.submergence, place.line, curve, flow, place.elevation, place.wet_pressure)


def too_thin(place, system="US"):
    """Why no machine can be judged on a line: the air planned does not get through it; empty where it does."""
    try:
        at_work(place)
    except Chokes:
        return (f"the air you planned, {show(Q(float(place.flow_free_air), 'm3/s'), 'air flow', system)}, does not get "
                "through your line at any pressure a machine for a pond gives, so no machine can be judged on it. Take "
                "a wider line (workbook 04) or plan less air (workbook 03).")
    return ""


def needed(place, ageing=1.0):
    """Pa gauge that a line asks for before the first bubble.

    Parameters
    ----------
    place : lineplan.SavedLine
    ageing : float, optional
        1 for a new diffuser.
    """
    return float(airline.system_curve.si(place.submergence, place.line, place.wet_pressure, ageing,
                                         elevation=place.elevation)(0.0))


def _curve(told, name="typed points"):
    """The curve of two or more points, ended at the highest pressure where that comes first; None where none is left.

    A machine is not run past its highest pressure, so what a sheet promises beyond it does not count; nor do points
    past the one at which the air ends.
    """
    points = told.points[:1 + next((i for i, (_, flow) in enumerate(told.points) if flow == 0), len(told.points))]
    if told.highest is not None and points[-1][0] > told.highest:
        pressure, flow = np.array(points).T
        kept = [point for point in points if point[0] < told.highest]
        if not kept:
            return None
        points = [*kept, (told.highest, float(np.interp(told.highest, pressure, flow)))]
    return compressor.CompressorCurve.si(*map(list, zip(*points, strict=True)), name)


def _by_curve(case, curve):
    """What two or more points say."""
    told, own = case.told, at_work(case.place, curve)
    here = compressor.derated.si(curve, case.place.elevation)
    ends, left = float(here.pressure_gauge[-1]), float(here.flow_free_air[-1])
    if not own.trouble:
        at = own.flow_free_air
        best = max(ends, (told.highest or 0.0) * case.share)
        least = bool(own.aged.working < here.pressure_gauge[0])
        sends = (f"at least {case.flow(at.low)}, since its points begin at more pressure than the line asks for"
                 if least else f"{case.flow(at.high)} with a new diffuser and {case.flow(at.low)} with an aged one")
        words = (f"Reaches: it should send {sends}. {lineplan.say_room(best, own.aged, case.system)} {case.duty}")
        return Reach(REACHES, at, least, lineplan.has_room(best, own.aged), own, words)
    if told.highest is not None and left > 0 and told.highest * case.share > ends * (1 + 1e-9):
        return case.unsaid(f"Its points end at {case.told_and_here(curve.pressure_gauge[-1])} and do not say what it "
                           f"gives from there to its highest, {case.pressure(told.highest)}.")
    new = airline.system_curve.si(case.place.submergence, case.place.line, case.place.wet_pressure, 1.0,
                                  elevation=case.place.elevation)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)
            sent = case.flow(compressor.operating_point.si(here, new).flow_free_air)
        first = f"with a new diffuser it would send {sent}, but not with an aged one. "
    except (compressor.CannotReach, Chokes):
        first = ""
    if needed(case.place, airline.AGED) >= ends:
        need = needed(case.place, airline.AGED if first else 1.0)
        return case.cannot(f"{first}{case.pressure(need)} is needed before the first bubble "
                           f"{'then' if first else airline.NEW_DIFFUSER}, and its points end at "
                           f"{case.told_and_here(curve.pressure_gauge[-1])}. {MORE}", own)
    return case.cannot(f"{first}at the last of its points, {case.flow(left)} at {case.pressure(ends)} here, the line "
                       f"asks for more. Do not run a machine past its points: {MORE[0].lower()}{MORE[1:]} Or take a "
                       "wider line.", own)


def _by_point(case, pressure, flow):
    """What one point says: its air, or more, wherever the line asks for less pressure than that of the point."""
    here = compressor.derated.si(compressor.CompressorCurve.si([0.0, max(pressure, 1.0)], [flow, flow]),
                                 case.place.elevation)
    holds, air = pressure * case.share, float(here.flow_free_air[-1])
    if pressure == 0:
        return case.unsaid(f"{case.flow(flow)} in open air, as the most it gives (“max”, “up to”), or at a pressure "
                           "that was not told, says nothing about the bottom of a pond: every machine gives less the "
                           "harder it pushes.")
    if case.told.highest is not None and case.told.highest < pressure:
        return case.unsaid(f"The point, at {case.pressure(pressure)}, lies above its highest pressure, "
                           f"{case.pressure(case.told.highest)}; one of the two is wrong.")
    try:
        own = at_work(case.place, flow_free_air=air)
    except Chokes:
        return case.unsaid(f"So much air, {case.flow(air)}, does not get through this line at any pressure.")
    asks, told = case.pressure(own.aged.working), f"the {case.told_and_here(pressure)} of this one point"
    if own.aged.working >= holds:
        return case.unsaid(f"For {case.flow(air)} your line asks for {asks} with an aged diffuser, not less than "
                           f"{told}: the point does not say whether the machine will do.")
    best = max(holds, (case.told.highest or 0.0) * case.share)
    words = (f"Reaches, if the point is true: for {case.flow(air)} your line asks for {asks} with an aged diffuser, "
             f"below {told}, and every machine gives more air at less pressure. So it should send at least "
             f"{case.flow(air)}. {lineplan.say_room(best, own.aged, case.system)} Ask for the curve. {case.duty}")
    return Reach(REACHES, Range(air, air, air), True, lineplan.has_room(best, own.aged), own, words)


def judge(told, place, system="US"):
    """Whether a machine reaches the diffuser of a line, how much air it sends, and what must still be asked.

    Parameters
    ----------
    told : Told
    place : lineplan.SavedLine
    system : {"US", "metric"}, optional
        Units of the words.

    Returns
    -------
    Reach
        For one point the air is the least that it promises. Nothing is extrapolated: past the last point the answer
        is :data:`UNSAID`, or :data:`CANNOT` where the points are all there is to the machine. What would do, but was
        told to rest, is :data:`RESTS`.
    """
    share = float(airline.air.pressure_by_elevation.si(place.elevation) / airline.air.FREE_AIR_PRESSURE)
    case = _Case(told, place, system, share)
    found = _by_what_was_told(case)
    return case.rests() if told.rests and found.does != CANNOT else found


def _by_what_was_told(case):
    """What a machine does as long as it runs."""
    told, place, share = case.told, case.place, case.share
    need, later = needed(place), needed(place, airline.AGED)
    before = f"{case.pressure(need)} is needed before the first bubble {airline.NEW_DIFFUSER}, and"
    nothing = "It would not make one bubble."
    if told.highest is not None and told.highest * share <= need:
        return case.cannot(f"{before} its highest pressure is {case.told_and_here(told.highest)}. {nothing}")
    if told.highest is not None and told.highest * share <= later:
        return case.cannot(f"{case.pressure(later)} is needed before the first bubble {airline.AGED_DIFFUSER}, and "
                           f"the machine's highest pressure is {case.told_and_here(told.highest)}. With a new diffuser "
                           "alone it may just do.")
    if not told.points:
        return case.unsaid("No air at a pressure was told.")
    stops = next((pressure for pressure, flow in told.points if flow == 0), None)
    if stops is not None and stops * share <= need:
        return case.cannot(f"{before} it gives no air any more at {case.told_and_here(stops)}. {nothing}" if stops > 0
                           else f"it gives no air at all. {nothing}")
    if all(flow == 0 for _, flow in told.points):
        return case.unsaid(f"It gives no air at {case.told_and_here(stops)}; at less pressure it may give some.")
    if len(told.points) == 1:
        return _by_point(case, *told.points[0])
    curve = _curve(told)
    if curve is None:
        return case.unsaid(f"All its points lie above its highest pressure, {case.pressure(told.highest)}; one of the "
                           "two is wrong.")
    return _by_curve(case, curve)


def told_values(told):
    """Fields of the record's section ``line`` that keep what was told of a machine."""
    points = {"curve_pressure": [Q(float(p), "Pa") for p, _ in told.points],
              "curve_flow": [Q(float(q), "m3/s") for _, q in told.points]} if told.points else {}
    return points | ({} if told.highest is None else {"highest": Q(float(told.highest), "Pa")})


def saved_told(pond):
    """What a pond record holds of a machine, as it was told, or None."""
    pressure, flow = (pond.get("line", key) or () for key in ("curve_pressure", "curve_flow"))
    highest = pond.get("line", "highest")
    points = tuple((p.m_as("Pa"), q.m_as("m^3/s")) for p, q in zip(pressure, flow, strict=True))
    return Told(points, None if highest is None else highest.m_as("Pa")) if points else None


def saved_curve(pond):
    """The compressor's curve a pond record holds, at sea level, or None where it holds less than two points."""
    told = saved_told(pond)
    return None if told is None or len(told.points) < 2 else _curve(told, pond.get("line", "compressor", "saved curve"))
