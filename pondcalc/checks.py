"""Questions for self-checking, with a reply for each likely slip.

The wording lives in ``data/questions/<workbook>.json``, so that a teacher can change it without
touching code; this module reads it and judges answers. Every wrong option and every listed slip
carries a reply that names the mistake behind it.
"""

import functools
import json
import re
from dataclasses import dataclass

from . import datafiles
from .refusals import plainly
from .spellings import either, reading
from .units import KINDS, Q, QuantityError, read_quantity, show


@dataclass(frozen=True)
class Choice:
    """Pick one of `options`: tuples of words, whether right, and the reply."""

    id: str
    ask: str
    options: tuple


@dataclass(frozen=True)
class Number:
    """Work out one number.

    `answer` is a quantity; `within` the share it may be off; `slips` are tuples of a wrong
    quantity and the reply that names how one gets there. `counted` is what a plain number counts, such as
    ``"block"``: the answer may carry the word.
    """

    id: str
    ask: str
    kind: str
    answer: object
    within: float
    slips: tuple
    hint: str
    solution: str
    counted: str = ""


@dataclass(frozen=True)
class Verdict:
    """Whether an answer is right (None when it could not be judged), and what to say."""

    right: bool | None
    reply: str


def _build(entry):
    if entry["form"] == "choice":
        options = tuple((o["words"], bool(o.get("right", False)), o["reply"]) for o in entry["options"])
        if sum(right for _, right, _ in options) != 1:
            raise ValueError(f"Question {entry['id']} needs exactly one right option.")
        return Choice(entry["id"], entry["ask"], options)
    slips = tuple((_read(slip["value"], entry["kind"]), slip["reply"]) for slip in entry["slips"])
    return Number(entry["id"], entry["ask"], entry["kind"], _read(entry["answer"], entry["kind"]),
                  float(entry["within"]), slips, entry["hint"], entry["solution"], entry.get("counted", ""))


def _read(text, kind):
    return read_quantity(text, KINDS[kind][0] if KINDS[kind][0] == "dimensionless" else None)


def written(workbook, system="US"):
    """The questions of one workbook as they are written down, for a reader of `system`.

    An amount in both systems of units stands in the file as ``{6 psi|41 kPa}``.
    """
    text = datafiles.path(f"questions/{workbook}.json").read_text(encoding="utf-8")
    with reading(system):
        return json.loads(re.sub(r"\{([^{}|]+)\|([^{}|]+)\}", lambda both: either(*both.groups()), text))["questions"]


@functools.cache
def load(workbook, system="US"):
    """All questions of one workbook, by id, in order, for a reader of `system`."""
    made = [_build(entry) for entry in written(workbook, system)]
    if len({q.id for q in made}) != len(made):
        raise ValueError(f"Two questions of {workbook} share an id.")
    return {q.id: q for q in made}


def question(workbook, name, system="US"):
    """One question of one workbook, for a reader of `system`."""
    questions = load(workbook, system)
    if name not in questions:
        raise KeyError(f"Workbook {workbook} has no question {name!r}; it has {', '.join(questions)}.")
    return questions[name]


def judge(asked, given, system="US"):
    """Judge an answer.

    asked (Choice or Number).
    given: The words of an option, or a number with a unit. A bare number is not judged: it is asked for its unit.
    Returns: Verdict.
    """
    if isinstance(asked, Choice):
        for words, right, reply in asked.options:
            if words == given:
                return Verdict(right, reply)
        return Verdict(None, "Pick one of the answers first.")
    unit = KINDS[asked.kind][system != "US"]
    example = show(Q(1.0, unit), asked.kind, system, digits=1)
    if asked.counted:
        given = re.sub(rf"(?i)\s*{asked.counted}s?\.?\s*$", "", given)
        example = f"7 {asked.counted}s"
    if not given.strip():
        return Verdict(None, f"Type a number and its unit first, for example {example}.")
    try:
        value = read_quantity(given, unit if unit == "dimensionless" else None)
        if asked.kind == "money a year" and value.check("[currency]"):
            value = value / Q(1.0, "year")
    except QuantityError as problem:
        return Verdict(None, f"{plainly(problem)} Here that would look like {example}.")
    if not value.check(asked.answer.dimensionality):
        return Verdict(None, f"{given.strip()} is not the kind of number asked for. Write something like {example}.")
    if _near(value, asked.answer, asked.within):
        return Verdict(True, f"About {show(asked.answer, asked.kind, system, both=True)}.")
    for wrong, reply in asked.slips:
        if _near(value, wrong, asked.within):
            return Verdict(False, reply)
    low = value < asked.answer
    return Verdict(False, f"That is too {'low' if low else 'high'}. Open the hint and try again.")


def _near(value, target, share):
    target_base, base = target.to_base_units().magnitude, value.to_base_units().magnitude
    return abs(base - target_base) <= share * abs(target_base)
