"""How is a file of the reader's written, so that it is whole or not at all and nobody writes past another?"""

import os
import re
import stat
import time
import uuid
from collections.abc import Callable
from pathlib import Path

from .refusals import Refused
from .wording import quoted

__all__ = ["RecordError", "Lock", "path_of", "replace_file", "writable"]


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

    Raises
    ------
    RecordError
        If it cannot be written, for example because the disk is full; the file that was there stays.
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
