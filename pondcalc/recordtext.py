"""How is a record's text kept as it stands, so that what this version does not know or cannot use is never lost?

A record is read bracket by bracket, each entry with its own text. Writing puts new text in the place of what changed
and leaves every other entry as it was, in its order.
"""

import json
import re
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from .recordfile import RecordError
from .wording import quoted

__all__ = ["Entry", "Kept", "Twice", "bracket", "entries", "merged", "refuse_twice", "text_of", "twice"]

_BLANK = re.compile(r"[ \t\r\n]*")
ASIDE = " (set aside)"


class Twice(dict):
    """A bracket in which one name stands twice; only the last value of it is here."""


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    return made if len(made) == len(pairs) else Twice(made)


def _whole(digits: str) -> int | float:
    return int(digits) if len(digits) < 300 else float(digits)


_DECODER = json.JSONDecoder(object_pairs_hook=_once, parse_int=_whole)


@dataclass(frozen=True)
class Entry:
    """One name of a bracket with its value, and the text of both as it stood in the file."""

    name: str
    key: str
    text: str
    value: object


@dataclass(frozen=True)
class Kept:
    """What a record was read from.

    Parameters
    ----------
    body : tuple of Entry
        The whole file.
    read : mapping
        Of each bracket (``"sections.water"``, ``"stamps"``, ``""`` for the file itself) the values that were used.
    notes : tuple of str
        What was not used and why, in words.
    """

    body: tuple[Entry, ...] = ()
    read: dict[str, Any] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    def inside(self, *names: str) -> tuple[Entry, ...]:
        """Entries of a bracket within the file; none where it is not there or cannot be used."""
        found, place = self.body, ""
        for name in names:
            entry = next((entry for entry in found if entry.name == name), None)
            if entry is None or not isinstance(entry.value, dict) or (place and name in twice(found)):
                return ()
            found, place = entries(entry.text), name
        return found


def _past_blanks(text: str, at: int) -> int:
    """Where the next sign that is no blank stands."""
    blank = _BLANK.match(text, at)
    return at if blank is None else blank.end()


def entries(text: str) -> tuple[Entry, ...]:
    """The entries of a JSON object, in order; names that stand twice are all there.

    Raises
    ------
    ValueError, RecursionError
        If the text is not JSON.
    RecordError
        If it is not an object.
    """
    if not isinstance(_DECODER.decode(text), dict):
        raise RecordError("is not a pond record.")
    found, at = [], _past_blanks(text, text.index("{") + 1)
    while text[at] != "}":
        name, end = _DECODER.raw_decode(text, at)
        begin = _past_blanks(text, _past_blanks(text, end) + 1)         # past the colon
        value, stop = _DECODER.raw_decode(text, begin)
        found.append(Entry(name, text[at:end], text[begin:stop], value))
        at = _past_blanks(text, stop)
        at = _past_blanks(text, at + 1) if text[at] == "," else at
    return tuple(found)


def twice(found: Iterable[Entry]) -> set[str]:
    """Names that stand more than once among entries."""
    names = [entry.name for entry in found]
    return {name for name in names if names.count(name) > 1}


def text_of(value: object, depth: int) -> str:
    """A value as JSON text that stands so many brackets deep."""
    return json.dumps(value, indent=2, ensure_ascii=False).replace("\n", "\n" + "  " * depth)


def merged(found: Iterable[Entry], new: Mapping[str, str], read: Container[str], aside: Container[str] = (),
           double: Container[str] = ()) -> list[tuple[str, str]]:
    """Names (as they are written) with their text: the entries found, with new text in its place.

    Parameters
    ----------
    found : sequence of Entry
    new : mapping of str to str
        Text of each value that the record holds now.
    read : container of str
        Names whose value was used when the file was read; one that the record no longer holds is left out.
    aside : container of str, optional
        Names whose old entries are kept beside the new, under a name that says so.
    double : container of str, optional
        Names that may stand again after the first, which alone is written anew.
    """
    left, made = dict(new), []
    for entry in found:
        if entry.name in new and entry.name in aside:
            made.append((json.dumps(entry.name + ASIDE, ensure_ascii=True), entry.text))
        elif entry.name in left:
            made.append((entry.key, left.pop(entry.name)))
        elif entry.name in double or (entry.name not in new and entry.name not in read):
            made.append((entry.key, entry.text))
    return [*made, *((json.dumps(name, ensure_ascii=False), text) for name, text in left.items())]


def bracket(pairs: Iterable[tuple[str, str]], depth: int) -> str:
    """Names and texts as a JSON object that stands so many brackets deep."""
    inner, outer = "\n" + "  " * (depth + 1), "\n" + "  " * depth
    return "{" + ",".join(f"{inner}{key}: {text}" for key, text in pairs) + outer + "}" if pairs else "{}"


def refuse_twice(value: object, name: str) -> None:
    """Refuse a value with a bracket in which one name stands twice."""
    if isinstance(value, Twice):
        raise RecordError(f"{quoted(name)} holds one name twice in one bracket.")
