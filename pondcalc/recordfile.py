"""How is the pond record written, whole or not at all, with what this version does not know kept as it stands?

A record is read bracket by bracket, each entry with its own text. Writing puts new text in the place of what changed
and leaves every other entry as it was, in its order: what this version does not know or cannot use is never lost.
"""

import json
import os
import re
import stat
import time
import uuid
from collections.abc import Callable, Container, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from .refusals import Refused
from .spellings import quoted


class RecordError(Refused):
    """A pond record that cannot be used; the message says what to do next."""


def writable(text: str) -> bool:
    """Whether a text can be written to a file; half of a sign that some programs leave behind cannot."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def path_of(path: str | os.PathLike[str]) -> Path:
    """A path that a file can have."""
    if "\0" in str(path) or not writable(str(path)):
        raise RecordError(f"The name of the file, {quoted(path)}, holds a sign that no file name can have. Take it "
                          "out.")
    return Path(path)


class Lock:
    """Hold a small lock file while a record is read, changed and written.

    The file holds a mark of its holder. A computer that slept for an hour while it held the lock finds another
    mark in it, or none, and then must not write what it read before it slept.
    """

    def __init__(self, path: str | os.PathLike[str], patience: float = 5.0) -> None:
        held = Path(os.path.realpath(path))     # one lock for a file and all links to it
        self.path, self.patience = held.with_name(held.name + ".lock"), patience
        self.mark = uuid.uuid4().hex.encode()

    def __enter__(self) -> "Lock":
        give_up = time.monotonic() + self.patience
        while True:
            try:
                self._take()
                return self
            except FileNotFoundError:
                raise RecordError(f"There is no folder for {self.path.stem}. Make it, or save "
                                  "somewhere else.") from None
            except PermissionError:             # on Windows also a lock that is just being given back
                if os.name != "nt" or time.monotonic() > give_up:
                    raise RecordError(f"Nothing may be written beside {self.path.stem}. Copy the whole folder to a "
                                      "place of your own, and open the workbook there.") from None
                time.sleep(0.02)
            except FileExistsError:
                if self._abandoned():
                    continue
                if time.monotonic() > give_up:
                    raise RecordError(f"Another workbook seems to be saving (the file {self.path.name} is "
                                      "there). Try again; if nothing else is open, delete that file.") from None
                time.sleep(0.02)
            except OSError as problem:          # such as a full disk, or one that may only be read
                raise RecordError(f"Nothing can be written beside {self.path.stem} ({problem.strerror or problem}). "
                                  "See that the disk is not full and may be written to, or copy the whole folder "
                                  "elsewhere and open the workbook there.") from None

    def _take(self) -> None:
        """Make the lock file, whole or not at all."""
        handle = os.open(self.path, os.O_CREAT | os.O_EXCL | os.O_WRONLY)
        try:
            os.write(handle, self.mark)
        except OSError:
            os.close(handle)
            self.path.unlink(missing_ok=True)
            raise
        os.close(handle)

    def _abandoned(self) -> bool:
        """Remove a lock left by a program that died a minute or more ago."""
        try:
            old = time.time() - self.path.stat().st_mtime > 60
        except FileNotFoundError:
            return True
        if old:
            self.path.unlink(missing_ok=True)
        return old

    def check(self) -> None:
        """Refuse to go on if somebody else holds the lock by now."""
        if not self._mine():
            raise RecordError("Another workbook saved in the meantime, so nothing was written. Save again.")

    def _mine(self) -> bool:
        try:
            return self.path.read_bytes() == self.mark
        except OSError:
            return False

    def __exit__(self, *_: object) -> None:
        if self._mine():
            self.path.unlink(missing_ok=True)


def replace_file(path: str | os.PathLike[str], text: str, check: Callable[[], object] | None = None) -> None:
    """Write a text file whole or not at all; the file that was there is kept as ``.bak``.

    `check` is called last of all before the new file takes the place of the old, and may refuse.

    Raises RecordError: If it cannot be written, for example because the disk is full; the file that was there stays.
    """
    path = Path(os.path.realpath(path))         # a link stays, and what it points to is written
    fresh, spare = (path.with_name(f"{path.name}.{os.getpid()}.{end}") for end in ("new", "bak.new"))
    try:
        mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else None
        _write(fresh, text.encode("utf-8"), mode)
        if check is not None:
            check()
        if mode is not None:
            _write(spare, path.read_bytes(), mode)
            os.replace(spare, path.with_name(path.name + ".bak"))
        os.replace(fresh, path)
        _sweep(path)
    except OSError as problem:
        raise RecordError(f"{path.name} could not be written ({problem.strerror or problem}). What was there before is "
                          "unchanged. See that the disk is not full and that no other program holds the file, then "
                          "save again.") from None
    finally:
        fresh.unlink(missing_ok=True)
        spare.unlink(missing_ok=True)


def _write(path: Path, content: bytes, mode: int | None) -> None:
    """Write a new file through to the disk, with the mode of the one whose place it takes."""
    path.unlink(missing_ok=True)
    with open(path, "xb", opener=lambda name, flags: os.open(name, flags, 0o666 if mode is None else 0o600)) as sheet:
        sheet.write(content)
        sheet.flush()
        os.fsync(sheet.fileno())
    if mode is not None:
        os.chmod(path, mode)


def _sweep(path: Path) -> None:
    """Remove what a save of this file left behind when its program was ended, a minute or more ago."""
    ours = re.compile(re.escape(path.name) + r"\.\d+\.(bak\.)?new")
    for found in path.parent.iterdir():
        try:
            if ours.fullmatch(found.name) and time.time() - found.lstat().st_mtime > 60:
                found.unlink()
        except OSError:                         # gone already, or held by another program: the next save tries again
            continue


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

    body (tuple of Entry): The whole file.
    read (mapping): Of each bracket (``"sections.water"``, ``"stamps"``, ``""`` for the file itself) the values that
        were used.
    notes (tuple of str): What was not used and why, in words.
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

    Raises ValueError, RecursionError: If the text is not JSON. RecordError: If it is not an object.
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

    found (sequence of Entry).
    new (mapping of str to str): Text of each value that the record holds now.
    read (container of str): Names whose value was used when the file was read; one that the record no longer holds is
        left out.
    aside (container of str): Names whose old entries are kept beside the new, under a name that says so.
    double (container of str): Names that may stand again after the first, which alone is written anew.
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
