"""The pond record: what the reader has found out about one pond, and whether it can be true of any.

The file is JSON with every quantity as text, such as ``"12.4 acre_foot"``, so that a person can read it, mend it and
carry it away. So only what no pond has is refused: a length below zero, two lists that belong together and differ in
length, a latitude of 999. A record that the forms wrote always passes. Saving writes a new file beside the old one and
then swaps them, keeps the old one as a backup, and changes only the section being saved, so that two workbooks open at
once do not undo each other.
"""

import datetime
import itertools
import json
import math
import os
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from . import datafiles, recordfile
from .catalogue import ROWS, SECTIONS, rows
from .how_much_oxygen.sources import MUD_KINDS, WATER_COLORS
from .recordfile import Lock, RecordError, path_of, replace_file, writable
from .spellings import quoted, reading, shortened
from .units import KINDS, Q, Quantity, QuantityError, Range, read_quantity, show, write_quantity

# lists that belong together, each value of one to each of the others; the first must rise
TOGETHER = (("water", "level_depth", "level_area", "level_volume"), ("line", None, "segment_length", "segment_bore"),
            ("line", "curve_pressure", "curve_flow"), ("layers", "reading_depth", "reading_temperature"))
TOGETHER_OF = {(section, next(filter(None, names))): tuple(filter(None, names)) for section, *names in TOGETHER}
# lists that are needed together; words that a field can be
COLUMNS = (("water", "level_depth", "level_area", "level_volume"), ("line", "segment_length", "segment_bore"),
           ("line", "curve_pressure", "curve_flow"), ("layers", "reading_depth", "reading_temperature"))
# without these no workbook can use a section at all
NEEDED = {"water": ("area", "volume", "deepest", "level_depth", "level_area", "level_volume")}
WORDS = {"oxygen.color": tuple(WATER_COLORS), "oxygen.mud": tuple(MUD_KINDS),
         "layers.kind": ("warm over cold", "cold over warm", "mixed")}


class Trouble(NamedTuple):
    """Fields of a section that cannot be used, and why, in words."""

    section: str
    fields: tuple
    words: str


def unusable(sections):
    """The first :class:`Trouble` that workbooks could not work with, or None: as :func:`impossible`, and besides what
    may be written while a record grows: an unknown word, a missing list, a diffuser below the bottom."""
    found = impossible(sections)
    if found:
        return found
    for name, words in WORDS.items():
        section, item = name.split(".")
        held = sections.get(section, {}).get(item)
        if held is not None and held not in words:
            return Trouble(section, (item,), f"{name} is {quoted(held)}; it can be {', '.join(words)}.")
    for section, *needed in COLUMNS:
        there = tuple(name for name in TOGETHER_OF[section, needed[0]] if name in sections.get(section, {}))
        gone = [name for name in needed if name not in there]
        if there and gone:
            return Trouble(section, there, f"{' and '.join(f'{section}.{name}' for name in there)} cannot be used "
                                           f"without {section}.{gone[0]}, which is missing or cannot be read.")
    bottom = sections.get("water", {}).get("deepest")
    for section in ("air", "line") if bottom is not None else ():
        deep = sections.get(section, {}).get("submergence")
        if deep is not None and deep > bottom * 1.001:         # a thousandth for rounding; our choice
            return Trouble(section, ("submergence",), f"{section}.submergence is {show(deep, 'depth', both=True)}, "
                           f"below the bottom of the pond at {show(bottom, 'depth', both=True)}.")
    return None


def impossible(sections):
    """The first :class:`Trouble` of a record that cannot be true of any pond; None where all may be.

    sections (mapping of str to mapping): As read from the file.
    """
    for section, values in sections.items():
        for item, value in values.items():
            trouble = _beyond(ROWS[section, item], value)
            if trouble:
                return Trouble(section, (item,), trouble)
    for section, rising, *others in TOGETHER:
        trouble = _unlike(section, rising, others, sections.get(section, {}))
        if trouble:
            return Trouble(section, tuple(name for name in (rising, *others) if name in sections[section]), trouble)
    return None


def _beyond(row, value):
    """Why a value is no number that its row can have, or None."""
    if row.kind == "text":
        return None
    parts = tuple(value) if isinstance(value, (list, tuple)) else (value,)
    wrong = next((part for part in parts if not row.holds(part)), None)
    if wrong is None:
        return None
    low, high = (show(end, row.kind, both=True) for end in row.limits())
    return f"{row.section}.{row.name} is {quoted(f'{wrong:.6g~P}'.strip())}, outside {low} to {high}."


def _unlike(section, rising, others, values):
    """Why lists that belong together do not, or None; lists that are not there say nothing."""
    names = [name for name in (rising, *others) if name in values]
    count = {name: len(values[name]) for name in names}
    if len(set(count.values())) > 1:
        return (f"the lists {', '.join(f'{section}.{name} ({many} values)' for name, many in count.items())} belong "
                "together and need as many values each.")
    if rising in values:
        steps = itertools.pairwise(values[rising])
        if not values[rising] or any(later <= earlier for earlier, later in steps):
            return f"the values of {section}.{rising} must rise, each greater than the one before."
    return None


VERSION = 1
FILE_NAME = "my-pond.json"


@dataclass(frozen=True)
class PondRecord:
    """One pond.

    name: What the owner calls the pond.
    system ({"US", "metric"}): Units the reader likes.
    invented: True for the demonstration pond.
    sections (mapping): Section name to a mapping of field to quantity, list, Range or text; see
        :mod:`pondcalc.catalogue`.
    stamps (mapping): Section name to the time it was saved and the workbook that saved it.
    kept (recordtext.Kept): The file it was read from, for what this version does not know or cannot use.
    """

    name: str
    system: str = "US"
    invented: bool = False
    sections: dict = field(default_factory=dict)
    stamps: dict = field(default_factory=dict)
    kept: recordfile.Kept = field(default=recordfile.Kept(), compare=False, repr=False)

    def __post_init__(self):
        if self.system not in ("US", "metric"):
            raise RecordError(f"Units are 'US' or 'metric'; the record says {quoted(self.system)}.")
        if not writable(str(self.name)):
            raise RecordError(f"The name of the pond holds a sign that no file can keep: {quoted(self.name)}. Type it "
                              "again.")
        for section, values in self.sections.items():
            for key, value in values.items():
                _check(section, key, value)
        frozen = {name: MappingProxyType(dict(values)) for name, values in self.sections.items()}
        object.__setattr__(self, "sections", MappingProxyType(frozen))
        object.__setattr__(self, "stamps", MappingProxyType(dict(self.stamps)))

    def get(self, section: str, key: str, otherwise: Any = None) -> Any:
        """A value, or `otherwise` when the workbook that finds it has not been done yet."""
        return self.sections.get(section, {}).get(key, otherwise)

    @property
    def notes(self):
        """What of its file is not used, in words."""
        return self.kept.notes

    def has(self, section: str) -> bool:
        """True once a workbook has saved this section."""
        return bool(self.sections.get(section))

    def with_section(self, section, values, workbook="", moment=None):
        """A new record with one section replaced, saved now or as of a moment (datetime) before."""
        moment = moment or datetime.datetime.now(datetime.UTC)
        stamp = {"saved": moment.isoformat(timespec="seconds"), "by": workbook}
        return replace(self, sections={**self.sections, section: dict(values)},
                       stamps={**self.stamps, section: stamp})


def _kind(section, key):
    """Form and kind of what the record keeps under a name."""
    row = ROWS.get((section, key))
    if row is None or row.form == "asked":
        knows = f"The section {section!r} knows {', '.join(rows(section))}" if section in SECTIONS else \
            f"Its sections are {', '.join(SECTIONS)}"
        raise RecordError(f"A pond record has no place for {quoted(f'{section}.{key}')}. {knows}.")
    return row.form, row.kind


def _check(section, key, value):
    form, kind = _kind(section, key)
    parts = ((value.low, value.usual, value.high) if form == "range" and isinstance(value, Range)
             else value if form == "list" and isinstance(value, (list, tuple)) else (value,))
    if form == "range" and not isinstance(value, Range):
        raise RecordError(f"{section}.{key} is kept as a low, usual and high value; it was given {quoted(value)}.")
    for part in parts:
        if kind == "text":
            if not isinstance(part, str):
                raise RecordError(f"{section}.{key} is text; it was given {quoted(part)}.")
            if not writable(part):
                raise RecordError(f"{section}.{key} holds a sign that no file can keep: {quoted(part)}. Take it out, "
                                  "or type the text again.")
        elif not isinstance(part, Quantity) or not part.check(Q(1.0, KINDS[kind][0]).dimensionality):
            example = write_quantity(Q(1.0, KINDS[kind][0]))
            raise RecordError(f"{section}.{key} needs a quantity of the kind “{kind}”, such as {example!r}; "
                              f"it was given {quoted(part)}.")
        elif not math.isfinite(part.magnitude):
            raise RecordError(f"{section}.{key} holds a value that is missing or endless, so it was not kept.")
    if form == "range" and not value.low <= value.usual <= value.high:
        given = ", ".join(f"{part:.4g~P}" for part in parts)
        raise RecordError(f"{section}.{key} needs low, usual and high in rising order; it was given {given}.")


def _write_value(section, key, value):
    form, kind = _kind(section, key)

    def text(part):
        return part if kind == "text" else write_quantity(part.to(KINDS[kind][0]))
    if form == "range":
        return {end: text(getattr(value, end)) for end in ("low", "usual", "high")}
    return [text(part) for part in value] if form == "list" else text(value)


def _read_value(section, key, value):
    form, kind = _kind(section, key)

    def part(text):
        if not isinstance(text, str):
            raise RecordError(f"{section}.{key} is written as text in quotation marks, and here it is "
                              f"{quoted(json.dumps(text))}.")
        return text if kind == "text" else read_quantity(text, "dimensionless" if kind == "number" else None)
    if form == "range":
        if not isinstance(value, dict) or not {"low", "usual", "high"} <= set(value):
            raise RecordError(f"{section}.{key} needs a low, a usual and a high value.")
        return Range(*(part(value[end]) for end in ("low", "usual", "high")))
    if form == "list" and not isinstance(value, list):
        raise RecordError(f"{section}.{key} is a list of values in square brackets.")
    return [part(item) for item in value] if form == "list" else part(value)


def to_text(record: PondRecord) -> str:
    """The record as JSON text; what could not be read back is refused, and what was not understood stays as it was."""
    trouble = impossible(record.sections)
    if trouble:
        raise RecordError(f"This cannot be kept: {trouble.words} Check what was typed and work it out again.")
    kept = record.kept

    def texts(place, values, depth, write):
        """New text of each value; one that is as it was read keeps the text it had."""
        old, read = {entry.name: entry.text for entry in kept.inside(*place)}, kept.read.get(".".join(place), {})
        return {key: old[key] if key in read and read[key] is value else recordfile.text_of(write(key, value), depth)
                for key, value in values.items()}

    def inside(place, new, depth):
        found, read = kept.inside(*place), kept.read.get(".".join(place), {})
        wrong = recordfile.twice(found) | {entry.name for entry in found if not isinstance(entry.value, dict)}
        aside = {name for name in wrong if place == ("sections",)}
        return recordfile.bracket(recordfile.merged(found, new, read, aside), depth)
    sections = {name: inside(("sections", name), texts(("sections", name), values, 3,
                                                       lambda key, value, name=name: _write_value(name, key, value)), 2)
                for name, values in record.sections.items()}
    held = {"name": record.name, "units": record.system, "invented": record.invented}
    read = kept.read.get("", {})
    new = {key: recordfile.text_of(value, 1) for key, value in held.items() if key not in read or read[key] != value}
    there = {entry.name for entry in kept.body}
    head = {"format": '"pond record"', "version": str(VERSION), **new}
    whole = {key: text for key, text in head.items() if key in new or key not in there}
    whole |= {"sections": inside(("sections",), sections, 1),
              "stamps": inside(("stamps",), texts(("stamps",), record.stamps, 2, lambda _, stamp: stamp), 1)}
    aside = {entry.name for entry in kept.body if entry.name in ("sections", "stamps")
             and not isinstance(entry.value, dict)}
    return recordfile.bracket(recordfile.merged(kept.body, whole, (), aside, recordfile.twice(kept.body)), 0) + "\n"


def from_text(text: str, where: str = "the pond record") -> PondRecord:
    """Read a record from JSON text; entries that cannot be used are named in its notes and kept.

    Raises RecordError: If the text is damaged or is not a pond record.
    """
    advice = (f" Nothing was changed. Mend {where}, or put its backup (the same name ending in .bak) in its "
              "place, or rename it and start a new pond.")
    try:
        body = recordfile.entries(text)
    except RecordError as problem:
        raise RecordError(f"{where} {problem}{advice}") from None
    except json.JSONDecodeError as problem:
        raise RecordError(f"{where} is damaged at line {problem.lineno} and cannot be read from there on."
                          f"{advice}") from None
    except (ValueError, RecursionError):
        raise RecordError(f"{where} is damaged: it holds far too long a number or far too many brackets."
                          f"{advice}") from None
    first = {entry.name: entry.value for entry in reversed(body)}
    if first.get("format") != "pond record" and not isinstance(first.get("sections"), dict):
        raise RecordError(f"{where} is not a pond record.{advice}")
    kept = recordfile.Kept(body)
    notes, head = _read_head(first)
    notes += [f"“{name}” stands twice; the first is used." for name in sorted(recordfile.twice(body))]
    with reading(head["units"]):
        sections, odd = _read_sections(kept)
    marks = kept.inside("stamps")
    stamps = {entry.name: entry.value for entry in marks
              if isinstance(entry.value, dict) and entry.name not in recordfile.twice(marks)}
    odd += [f"the stamp of {quoted(name)} is not in curly brackets, or stands twice."
            for name in dict.fromkeys(entry.name for entry in marks) if name not in stamps]
    read = {"": head, "stamps": stamps, "sections": sections,
            **{f"sections.{name}": values for name, values in sections.items()}}
    newer = _newer(first.get("version"), where)
    if notes or odd:
        newer += [f"Some entries are not used, and are kept in {where} as they stand.",
                  *(words[0].upper() + words[1:] if words.startswith("the ") else words for words in [*notes, *odd]),
                  "Mend the file, or work these out again and save."]
    return PondRecord(head["name"], head["units"], head["invented"], sections, stamps,
                      recordfile.Kept(body, read, tuple(newer)))


def _newer(version, where):
    """A sentence, in a list, where the file is of a newer version than this set or does not say which."""
    if type(version) is int and version > VERSION:
        return [f"{where} was written by a newer version of this set (record version {shortened(version)}; this one "
                f"knows {VERSION}). What is known is used, and the unknown parts are kept. Use the newer "
                "version to see them."]
    return [] if type(version) is int and version == VERSION else [
        f"{where} does not say which version it is (“version” is a whole number from 1); it was read as version "
        f"{VERSION}. Write “version”: {VERSION} into it."]


def _read_head(first):
    """What cannot be used of name, units and mark of the record, in words, and what stands for them."""
    notes, head = [], {"name": "My pond", "units": "US", "invented": False}
    for key, fits, words in (("name", lambda value: isinstance(value, str) and writable(value), "text"),
                             ("units", lambda value: value in ("US", "metric"), "“US” or “metric”"),
                             ("invented", lambda value: isinstance(value, bool), "true or false")):
        if key in first and fits(first[key]):
            head[key] = first[key]
        elif key in first or key == "name":
            notes.append(f"“{key}” is {words}, and here it is {quoted(json.dumps(first.get(key)))}.")
    for key in ("sections", "stamps"):
        if not isinstance(first.get(key, {}), dict):
            notes.append(f"the {key} do not stand in curly brackets.")
    return notes, head


def _read_sections(kept):
    """Sections of a file as far as they can be used, and in words what cannot be."""
    found: dict[str, dict[str, Any]] = {}
    odd, hurt = [], set()
    body = kept.inside("sections")
    odd += [f"the section {quoted(name)} stands twice." for name in sorted(recordfile.twice(body) & set(SECTIONS))]
    for entry in body:
        if entry.name not in SECTIONS or entry.name in recordfile.twice(body):
            continue
        if not isinstance(entry.value, dict):
            odd.append(f"the section {quoted(entry.name)} is not a list of names with their values.")
            continue
        found[entry.name], fields, known = {}, kept.inside("sections", entry.name), rows(entry.name)
        double = recordfile.twice(fields) & set(known)
        odd += [f"{entry.name}.{name} stands twice." for name in sorted(double)]
        hurt |= {entry.name} if double else set()
        for item in fields:
            if item.name not in known or item.name in double:
                continue
            try:
                recordfile.refuse_twice(item.value, item.name)
                value = _read_value(entry.name, item.name, item.value)
                _check(entry.name, item.name, value)
                found[entry.name][item.name] = value
            except (QuantityError, RecordError) as problem:
                odd.append(f"{entry.name}.{item.name}: {problem}")
                hurt.add(entry.name)
    while trouble := unusable(found):
        odd.append(trouble.words)
        for name in trouble.fields:
            del found[trouble.section][name]
        hurt.add(trouble.section)
    for name in hurt & set(NEEDED):
        gone = [key for key in NEEDED[name] if key not in found[name]]
        if gone:
            del found[name]
            odd.append(f"Without {', '.join(f'{name}.{key}' for key in gone)} the rest of “{name}” is not used either.")
    return found, odd


def load(path: str | os.PathLike[str]) -> PondRecord:
    """Read a record file.

    Raises RecordError: As :func:`from_text`, or if there is no such file.
    """
    path = path_of(path)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise RecordError(f"There is no pond record at {path.name}. Start one in workbook 00.") from None
    except OSError as problem:
        raise RecordError(f"{path.name} could not be opened ({problem.strerror}). Nothing was changed. See that it is "
                          "a file you may read and that no other program holds it.") from None
    except UnicodeDecodeError:
        raise RecordError(f"{path.name} is not a text file, so it is not a pond record. Nothing was "
                          "changed. Use its backup (.bak) or start a new pond.") from None
    return from_text(text, path.name)


def save(record: PondRecord, path: str | os.PathLike[str] = FILE_NAME) -> Path:
    """Write the whole record; the file that was there is kept as ``.bak``."""
    path = path_of(path)
    with Lock(path) as lock:
        replace_file(path, to_text(record), lock.check)
    return path


def save_section(section, values, path=FILE_NAME, workbook="", otherwise=None, moment=None):
    """Write one section into the record file, leaving what other workbooks saved as it is.

    section: A key of ``catalogue.SECTIONS``.
    values (mapping): Field to quantity, list, :class:`Range` or text.
    path (path).
    workbook: Name of the workbook that saves.
    otherwise (PondRecord): Record to begin from when there is no file yet.
    moment (datetime.datetime): As of which the section holds, where that is not now.
    Returns: PondRecord: As it now stands in the file.
    Raises RecordError: If the file that is there cannot be read; it is left untouched.
    """
    path = path_of(path)
    with Lock(path) as lock:
        record = load(path) if path.exists() else otherwise or PondRecord("My pond")
        record = record.with_section(section, values, workbook, moment)
        replace_file(path, to_text(record), lock.check)
    return record


def rename(name, system, site, path=FILE_NAME):
    """Start a record, or change the name, units and place of the one there.

    Other sections stay, and so do fields of the site that are not given again.

    Returns: PondRecord.
    """
    path = path_of(path)
    with Lock(path) as lock:
        old = load(path) if path.exists() else PondRecord(name)
        record = replace(old, name=name, system=system, invented=False)
        record = record.with_section("site", {**old.sections.get("site", {}), **site}, "00-start-here")
        if "site" in old.stamps and old.get("site", "elevation") == record.get("site", "elevation"):
            record = replace(record, stamps=old.stamps)         # nothing that other results rest on has changed
        replace_file(path, to_text(record), lock.check)
    return record


def demo() -> PondRecord:
    """The record of the invented demonstration pond."""
    return load(datafiles.path("demo-pond.json"))


def open_pond(path: str | os.PathLike[str] = FILE_NAME) -> PondRecord:
    """The reader's own record where there is one, else the demonstration pond."""
    return load(path) if Path(path).exists() else demo()
