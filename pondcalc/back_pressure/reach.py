"""Does a machine, as a seller tells it, make bubbles at the end of this line, and how much air does it send?

A seller writes "2.3 CFM at 10 PSI, 15 PSI max." or "CFM at 10 PSI 2.3" and means one point and one limit. What such
words prove is taken, and no more: a machine gives less air the harder it pushes, so one point promises its air at every
lower pressure, and says nothing of a higher one. Air in open air, air without a pressure and air "up to" a pressure is
air at no pressure: it promises nothing about a pond. The highest pressure alone is no point either, for there the air
may have ended.

Inside the package pressures are Pa gauge, flow is m3/s of free air. What is told counts at sea level and is moved to
the pond by :func:`pondcalc.back_pressure.compressor.derated`.

What this leaves out: whether the seller's numbers are true, and words it does not know. Text that holds one is read as
typed lines of a data sheet (:func:`.compressor.typed_points`), or refused, for such a word may be "not".
"""

import itertools
import re
import warnings
from typing import Any, NamedTuple

import numpy as np

from ..spellings import shortened
from ..textfiles import FieldDataError, tidy
from ..units import Q, QuantityError, Range, each, fits, read_quantity, refuse_water_flow, show
from . import airline, compressor, lineplan
from .airline import Chokes

# IEC 60034-1 calls continuous duty S1, short-time and intermittent duty S2 and S3, more kinds S4 to S9 (from memory,
# not verified)
_AT_MOST = r"(?:\b(?:max(?:imum)?\.?|up to|at most|no more than)\s*)?"
_PERCENT = r"\b(\d+(?:\.\d+)?)\s*(?:%|percent|pct\.?)"
_CYCLE = r"duty(?:[- ]?cycle)?"
_TIME = r"\d+(?:\.\d+)?\s*-?\s*(?:s|secs?|seconds?|min|mins|minutes?|h|hrs?|hours?)?"
_AND = r"\s*(?:[/,;-]|and|then)*\s*"
_USE = r"(?:[- ]*(?:duty|use|service|running|operation|rated|rating|run|cycle|only))*"
# what a text says of it -> from which number on that is day and night: None where never, 0 where always
_DUTIES = tuple((re.compile(pattern, re.IGNORECASE), whole) for pattern, whole in (
    (rf"{_AT_MOST}{_PERCENT}\s*(?:{_CYCLE}|(?:running|run|on)[- ]?time|ED\b)", 100),
    (rf"{_CYCLE}\s*(?:of|is|:|=)?\s*{_PERCENT}", 100),
    (rf"{_AT_MOST}\b(\d+(?:\.\d+)?)\s*(?:h|hrs?|hours?)\s*(?:/|an?|per|each|every|in a)\s*"
     r"(?:24\s*h(?:ours?)?|day|d)\b", 24),
    (rf"\b{_TIME}\s*on{_AND}{_TIME}\s*(?:off|rest)\b", None),
    (rf"\bruns?\s*{_TIME}{_AND}rests?\s*{_TIME}|\bon\s*{_TIME}{_AND}off\s*{_TIME}", None),
    (rf"\b\d+\s*/\s*\d+\s*{_CYCLE}", None),
    (rf"\bS[2-9][, ]*(?:\d+\s*(?:min\b|%)|{_CYCLE})|\b{_CYCLE}\s*(?:type\s*)?S[2-9]\b", None),
    (rf"\b(?:not\b[^.;,\d\n]{{0,30}}?|non[- ]*)(?:continuous(?:ly)?|24\s*/\s*7|day and night){_USE}", None),
    (rf"\b(?:for\s+)?(?:intermittent(?:ly)?|occasional|short[- ](?:time|term|run)){_USE}", None),
    (r"\b(?:24\s*/\s*7|24[- ]?(?:h|hours?)|day and night|S1[- ]duty|duty (?:type )?S1|"
     r"(?:rated\s+)?(?:for\s+)?cont(?:inuous(?:ly)?)?)\b\.?"
     rf"{_USE}", 0)))
_NUMBER = r"\d+(?:,\d{3})*(?:\.\d+)?|\.\d+"
_MAINS = re.compile(r"(?:\bat\b|@|,|/)?\s*\b60 ?Hz\b", re.IGNORECASE)       # what every outlet here has
_LIST = rf"((?:{_NUMBER})(?:\s*/\s*(?:{_NUMBER}))+)\s*([a-z][\w/³]*)"
_LISTS = re.compile(rf"{_LIST}\s*(?:at|@|[:=])?\s*{_LIST}", re.IGNORECASE)
_TOLD = rf"((?:{_NUMBER})\s*[a-z][\w³]*(?:/[a-z]\w*)?)"
_TWICE = re.compile(rf"{_TOLD}\s*[(/]\s*{_TOLD}\s*\)?", re.IGNORECASE)
SAME = 0.04             # two amounts that differ by less are one, told in two units
_WORD = re.compile(rf"(?P<number>(?:(?<![\w.)])[-−])?(?:{_NUMBER}))(?![\d.,]*\d)\s*-?"
                   r"(?P<unit>(?!(?:at|and)\b)[a-z][\w³]*(?:/[a-z][\w³]*)?)?(?!\w)|"
                   r"(?P<parts>\n|[;,()]|\band\b|\bor\b)|(?P<at>@|\bat\b)|"
                   r"(?P<most>\b(?:max(?:imum)?|up\s+to|highest|most|peak|no more than|limit(?:ed to)?|"
                   r"shut[- ]?off|dead[- ]?head|cut[- ]?out)\b)|"
                   r"(?P<open>\b(?:open|displacement)\b)|(?P<free>\bfree\b)|(?P<rated>\b(?:rated|rating|pressure)\b)|"
                   r"(?P<alone>[a-z][\w³]*(?:/[a-z][\w³]*)?)|(?P<mark>[/|:=.~≈]|(?<=\s)[-–—](?=\s))|"
                   r"(?P<other>\S)", re.IGNORECASE)
# words that change nothing
_IDLE = set("air flow airflow delivers delivered delivery delivering output gives giving makes of is the a about "
            "approx approximately working operating gauge gage with in to".split())


ALWAYS = "day and night"


class Told(NamedTuple):
    """What a seller told of a machine, at sea level.

    `points` are pairs of Pa gauge and m3/s of free air, rising in pressure; `highest` is Pa gauge or None. `duty` is
    "" where nothing was told, :data:`ALWAYS` where it may run day and night, else the words that say it must rest.
    """

    points: tuple = ()
    highest: Any = None
    duty: str = ""

    @property
    def rests(self):
        """Whether it was told that the machine may not run day and night."""
        return self.duty not in ("", ALWAYS)

    def joined(self, highest=None, *duties):
        """With what was told elsewhere: the least of the highest pressures counts, and any word that it must rest."""
        least = min((one for one in (self.highest, highest) if one is not None), default=None)
        said = sorted((duty for duty in (self.duty, *duties) if duty), key=ALWAYS.__eq__)
        return Told(self.points, least, said[0] if said else "")


def decimal_points(text):
    """Text with a point for each comma that can only mark decimals: one or two digits after it, or a 0 before it."""
    return re.sub(r"(?<![\d.,])(0,\d+|\d+,\d{1,2})(?=\s*(?:[a-zA-Z%$/|]|$))", lambda found: found[0].replace(",", "."),
                  text)


def take_duty(text):
    """What a text says of running day and night, as in :class:`Told`, and the text without it."""
    said = []
    for pattern, whole in _DUTIES:
        for found in pattern.finditer(text):
            always = whole == 0 or whole is not None and float(found[1]) >= whole
            said.append(ALWAYS if always else shortened(found[0]))
        text = pattern.sub(" ", text)
    rests = [words for words in said if words != ALWAYS]
    return next(iter(rests or said), ""), text


def _paired(found):
    """Two lists such as "4.6/3.9 cfm at 0/5 psi" as points; as they stand where they are not of one length."""
    first, unit, second, other = found.groups()
    first, second = (re.split(r"\s*/\s*", one) for one in (first, second))
    if len(first) != len(second):
        return found[0]
    return "; ".join(f"{a} {unit} at {b} {other}" for a, b in zip(first, second, strict=True))


class _Amount(NamedTuple):
    kind: str               # "flow", "pressure" or "number"
    value: float
    told: Any = None        # as it was told


def _amount(number, unit):
    """An air flow in m3/s, a pressure in Pa gauge or a bare number; None for anything else."""
    if not unit:
        return _Amount("number", 0.0)
    value = read_quantity(f"{number} {unit}")
    if fits(value, "m^3/s"):
        return _Amount("flow", value.m_as("m^3/s"), value)
    return _Amount("pressure", value.m_as("Pa")) if fits(value, "Pa") else None


def _clauses(text):
    """The text as clauses of :class:`_Amount` and the names of marks; None where a word is not known.

    A number alone is air where the text named the unit of air before, as in "CFM at 10 PSI 2.3".
    """
    clauses, flow_unit = [[]], None
    for found in _WORD.finditer(text):
        kind, word = found.lastgroup, found[0].lower()
        if kind in ("number", "unit"):
            unit = found["unit"]
            if unit and unit.lower() in ("or", "to", "in"):
                return None
            amount = _amount(found["number"], unit or flow_unit)
            if amount is None or amount.kind == "number":
                return None
            flow_unit = unit or flow_unit if amount.kind == "flow" else flow_unit
            clauses[-1].append(amount)
        elif kind == "parts":
            clauses += [["line"], []] if word == "\n" else [[]]
        elif kind == "alone" and word not in _IDLE:
            if not fits(read_quantity(f"1 {word}"), "m^3/s"):
                return None
            flow_unit = word
        elif kind == "other":
            return None
        elif kind in ("at", "most", "open", "free", "rated"):
            clauses[-1].append(kind)
    made = []
    for clause in filter(None, clauses):
        bare = not any(isinstance(part, _Amount) for part in clause) and "line" not in clause
        if bare and made and made[-1] != ["line"]:      # "2.3 cfm at 10 psi (max)"
            made[-1] += clause
        else:
            made.append(clause)
    return made


def _is_most(clause, amount):
    """Whether "max" or the like in a clause belongs to this amount: it stands before it, or else right behind it."""
    clause = [part for part in clause if part not in ("rated", "free")]
    place = clause.index(amount)
    before = clause[place - 1] if place else None
    after = clause[place + 1:place + 3]
    return before == "most" or after[:1] == ["most"] and not (after[1:] and isinstance(after[1], _Amount))


def _spoken(text):
    """Points and highest pressures of a text as sellers write it; None where it is not written so."""
    try:
        clauses = _clauses(text) or []
    except QuantityError:
        return None
    try:
        for part in itertools.chain.from_iterable(clauses):
            if isinstance(part, _Amount) and part.kind == "flow":
                refuse_water_flow(part.told, text)
    except QuantityError as problem:
        raise FieldDataError(problem.why, problem.do) from None
    points, highest, rated, alone = [], [], [], []
    for clause in clauses:
        amounts = sorted((part for part in clause if isinstance(part, _Amount)), key=lambda one: one.kind)
        kinds = [part.kind for part in amounts]
        alone.append(None)
        if kinds == ["flow", "pressure"]:
            flow, pressure = amounts
            labels = "rated" in clause and "at" not in clause           # "Pressure: 15 psi Flow: 2.3 cfm"
            highest += [pressure.value] * _is_most(clause, pressure)
            rated += [pressure.value] * labels
            points.append((0.0 if labels or {"most", "open"} & set(clause) else pressure.value, flow.value))
        elif "at" in clause:
            return None
        elif kinds == ["flow"] and {"most", "open", "free"} & set(clause):
            points.append((0.0, amounts[0].value))
        elif kinds == ["pressure"] and {"most", "rated"} & set(clause):
            (highest if "most" in clause else rated).append(amounts[0].value)
        elif len(kinds) == 1:
            alone[-1] = amounts[0]
        elif kinds:
            return None
    if len(rated) > 1:
        return None
    while alone:            # two neighbors of one line make a point; air by itself is air at no pressure
        one = alone.pop(0)
        if one and alone and alone[0] and alone[0].kind != one.kind:
            flow, pressure = sorted((one, alone.pop(0)), key=lambda each: each.kind)
            points.append((pressure.value, flow.value))
        elif one and one.kind == "pressure":
            return None
        elif one:
            points.append((0.0, one.value))
    return (points, highest + rated) if points or highest or rated else None


def _said_twice(found):
    """An amount and in brackets the same in other units as the first alone; as it stands where it is not the same."""
    try:
        one, other = (read_quantity(part) for part in found.groups())
        same = one.check(other.dimensionality) and abs(other / one - 1) < SAME
    except (QuantityError, ZeroDivisionError):
        return found[0]
    return found[1] if same else found[0]


def read_told(text):
    """What a seller told of a machine's air, at as many pressures as there are.

    text: Points as for :func:`.compressor.read_curve`, or as sellers write them, several on one line. An air flow
        alone, "in open air" or "up to" a pressure, is taken at no pressure, where a machine gives the most. 0 cfm is
        an answer too.
    Returns: Told.
    Raises FieldDataError: As :func:`.compressor.read_curve`, but for the number of points.
    """
    duty, rest = take_duty(decimal_points(tidy(text)))
    rest = _MAINS.sub(" ", rest)
    rest = _TWICE.sub(_said_twice, _LISTS.sub(_paired, rest))
    if duty and not re.search(r"\w", rest):
        return Told(duty=duty)
    points, highest = _spoken(rest) or (compressor.typed_points(rest), [])
    free = [(0.0, max(flow for pressure, flow in points if pressure == 0))] if any(p == 0 for p, _ in points) else []
    points = [*free, *(point for point in points if point[0] != 0)]
    return Told(compressor.falling(points), min(highest, default=None), duty)


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
    (:class:`lineplan.OwnLine`), with its `trouble` set where the machine cannot reach.
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
        return show(value, "pressure", self.system)

    def flow(self, value):
        return show(value, "air flow", self.system)

    def told_and_here(self, value):
        """A pressure as told, with what is left of it at the pond."""
        if self.share > 0.995:
            return self.pressure(value)
        height = show(self.place.elevation, "elevation", self.system)
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
    return lineplan.own_line(place.submergence, place.line, curve, flow, place.elevation, place.wet_pressure)


def too_thin(place, system="US"):
    """Why no machine can be judged on a line: the air planned does not get through it; empty where it does."""
    try:
        at_work(place)
    except Chokes:
        return (f"the air you planned, {show(place.flow_free_air, 'air flow', system)}, does not get "
                "through your line at any pressure a machine for a pond gives, so no machine can be judged on it. Take "
                "a wider line (workbook 04) or plan less air (workbook 03).")
    return ""


def needed(place, ageing=1.0):
    """Pa gauge that a line asks for before the first bubble.

    place (lineplan.SavedLine).
    ageing: 1 for a new diffuser.
    """
    return float(airline.system_curve(place.submergence, place.line, place.wet_pressure, ageing,
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
    return compressor.CompressorCurve(*map(list, zip(*points, strict=True)), name)


def _by_curve(case, curve):
    """What two or more points say."""
    told, own = case.told, at_work(case.place, curve)
    here = compressor.derated(curve, case.place.elevation)
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
    new = airline.system_curve(case.place.submergence, case.place.line, case.place.wet_pressure, 1.0,
                               elevation=case.place.elevation)
    try:
        with warnings.catch_warnings(action="ignore", category=UserWarning):
            sent = case.flow(compressor.operating_point(here, new).flow_free_air)
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
    here = compressor.derated(compressor.CompressorCurve([0.0, max(pressure, 1.0)], [flow, flow]),
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

    told (Told), place (lineplan.SavedLine).
    system ({"US", "metric"}): Units of the words.
    Returns: Reach: For one point the air is the least that it promises. Nothing is extrapolated: past the last point
        the answer is :data:`UNSAID`, or :data:`CANNOT` where the points are all there is to the machine. What would
        do, but was told to rest, is :data:`RESTS`.
    """
    share = float(airline.air.pressure_by_elevation(place.elevation) / airline.air.FREE_AIR_PRESSURE)
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
    pressure, flow = zip(*told.points, strict=True) if told.points else ((), ())
    points = {"curve_pressure": each(pressure, "Pa"), "curve_flow": each(flow, "m3/s")} if told.points else {}
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
