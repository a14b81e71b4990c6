"""Where are the files of ``data/``, and what is in a small table of it?

The files lie beside the package in a checkout, inside it once installed. The tables are CSV with a heading;
lines that begin with ``#`` are remarks. They are ours, so reading them is strict; files from people go through
:mod:`pondcalc.tables`.
"""

import csv
import difflib
import functools
from collections.abc import Iterable
from pathlib import Path

from .spellings import quoted

HERE = Path(__file__).resolve().parent
FOLDERS = (HERE / "data", HERE.parent / "data")     # an installed wheel, then a checkout


def path(name: str) -> Path:
    """Path of a data file, such as ``path("demo-soundings.csv")`` or ``path("questions/x.json")``.

    Raises FileNotFoundError: If there is no such file; the message lists those there are.
    """
    for folder in FOLDERS:
        if (folder / name).is_file():
            return folder / name
    there = sorted({file.name for folder in FOLDERS if folder.is_dir() for file in folder.iterdir()
                    if file.suffix in (".csv", ".json")})
    raise FileNotFoundError(f"There is no data file {name!r}. Data files: {', '.join(there) or 'none'}.")


@functools.cache
def read_table(name: str) -> tuple[dict[str, str], ...]:
    """Rows of a data file, such as ``read_table("pipe-sizes.csv")``.

    Returns: tuple of dict: Column heading to text, in the order of the file. Shared: do not change it.
    """
    lines = path(name).read_text(encoding="utf-8").splitlines()
    return tuple(csv.DictReader(line for line in lines if line.strip() and not line.startswith("#")))


def pick(word: object, choices: Iterable[str], what: str) -> str:
    """The one of `choices` a reader means by `word`: the same, or the only one that holds its words.

    Raises ValueError: If none or several fit; the message lists them.
    """
    choices = list(dict.fromkeys(choices))
    said = " ".join(str(word).lower().split())
    same = [choice for choice in choices if choice.lower() == said]
    holds = same or [choice for choice in choices if all(part in choice.lower() for part in said.split())]
    if len(holds) == 1 and said:
        return holds[0]
    if len(holds) > 1 and said:
        raise ValueError(f"{quoted(word)} could be any {what} of these: {', '.join(holds)}. Write one of them in "
                         "full.")
    lower = {choice.lower(): choice for choice in choices}
    close = difflib.get_close_matches(said, lower, n=1, cutoff=0.5)
    hint = f" Did you mean {quoted(lower[close[0]])}?" if close else ""
    raise ValueError(f"{quoted(word)} is not a {what} in this set.{hint} There are: {', '.join(choices)}.")
