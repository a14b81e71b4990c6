"""What is in a small table of ``data/``? Reads one into rows, each a dict of column to text.

The tables are CSV with a heading; lines that begin with ``#`` are remarks. They are ours, so this is
strict; files from people go through :mod:`pondcalc.fieldsheet`.
"""

import csv
import difflib
import functools

from . import datafiles

__all__ = ["read_table", "pick"]


@functools.cache
def read_table(name):
    """Rows of a data file, such as ``read_table("pipe-sizes.csv")``.

    Returns
    -------
    tuple of dict
        Column heading to text, in the order of the file. Shared: do not change it.
    """
    lines = datafiles.path(name).read_text(encoding="utf-8").splitlines()
    return tuple(csv.DictReader(line for line in lines if line.strip() and not line.startswith("#")))


def pick(word, choices, what):
    """The one of `choices` a reader means by `word`: the same, or the only one that holds its words.

    Raises
    ------
    ValueError
        If none or several fit; the message lists them.
    """
    choices = list(dict.fromkeys(choices))
    said = " ".join(str(word).lower().split())
    same = [choice for choice in choices if choice.lower() == said]
    holds = same or [choice for choice in choices if all(part in choice.lower() for part in said.split())]
    if len(holds) == 1 and said:
        return holds[0]
    if len(holds) > 1 and said:
        raise ValueError(f"{word!r} could be any {what} of these: {', '.join(holds)}. Write one of them in "
                         "full.")
    lower = {choice.lower(): choice for choice in choices}
    close = difflib.get_close_matches(said, lower, n=1, cutoff=0.5)
    hint = f" Did you mean {lower[close[0]]!r}?" if close else ""
    raise ValueError(f"{word!r} is not a {what} in this set.{hint} There are: {', '.join(choices)}.")
