"""What does a seller's text say of a machine: air at a pressure, the highest pressure, may it run day and night?

A seller writes "2.3 CFM at 10 PSI, 15 PSI max." or "CFM at 10 PSI 2.3" and means one point and one limit. Air in open
air, air without a pressure and air "up to" a pressure is air at no pressure: it promises nothing about a pond. The
highest pressure alone is no point either, for there the air may have ended.

What this leaves out: words it does not know. Text that holds one is read as typed lines of a data sheet
(:mod:`.curvetext`), or refused, for such a word may be "not".
"""

import itertools
import re
from typing import Any, NamedTuple

from ..textfiles import FieldDataError, tidy
from ..units import QuantityError, read_quantity, refuse_water_flow
from ..wording import shortened
from . import curvetext
from .curvetext import FLOW, PRESSURE

__all__ = ["Told", "decimal_points", "read_told", "take_duty"]

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
    if value.check(FLOW):
        return _Amount("flow", value.m_as("m^3/s"), value)
    return _Amount("pressure", value.m_as("Pa")) if value.check(PRESSURE) else None


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
            if not read_quantity(f"1 {word}").check(FLOW):
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


def _refuse_water(clauses, text):
    for part in itertools.chain.from_iterable(clauses):
        if isinstance(part, _Amount) and part.kind == "flow":
            try:
                refuse_water_flow(part.told, text)
            except QuantityError as problem:
                raise FieldDataError(problem.why, problem.do) from None


def _spoken(text):
    """Points and highest pressures of a text as sellers write it; None where it is not written so."""
    try:
        clauses = _clauses(text) or []
    except QuantityError:
        return None
    _refuse_water(clauses, text)
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

    Parameters
    ----------
    text : str
        Points as for :func:`.curvetext.read_curve`, or as sellers write them, several on one line. An air flow alone,
        "in open air" or "up to" a pressure, is taken at no pressure, where a machine gives the most. 0 cfm is an
        answer too.

    Returns
    -------
    Told

    Raises
    ------
    FieldDataError
        As :func:`.curvetext.read_curve`, but for the number of points.
    """
    duty, rest = take_duty(decimal_points(tidy(text)))
    rest = _MAINS.sub(" ", rest)
    rest = _TWICE.sub(_said_twice, _LISTS.sub(_paired, rest))
    if duty and not re.search(r"\w", rest):
        return Told(duty=duty)
    points, highest = _spoken(rest) or (curvetext.typed_points(rest), [])
    free = [(0.0, max(flow for pressure, flow in points if pressure == 0))] if any(p == 0 for p, _ in points) else []
    points = [*free, *(point for point in points if point[0] != 0)]
    return Told(curvetext.falling(points), min(highest, default=None), duty)
