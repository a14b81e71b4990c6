"""How does a message repeat what somebody wrote, and in which order do its units stand?

What a reader wrote is repeated short, in quotes, and without signs that cannot be shown. A message that
was made before anyone knew the reader's units names both, one in brackets; here the reader's comes first.
"""

import re

from .spellings import KINDS, SPELLINGS

__all__ = ["MOST_NAMED", "in_order", "listed", "quoted", "say_left_out", "shortened"]

MOST = 60       # signs of a reader's own text that a message repeats; enough to find the place again

MOST_NAMED = 40     # rows that one sentence names; more go into the next
MOST_REASONS = 6    # reasons of rows left out that are named one by one

_PAIRS = {SPELLINGS[us][0]: SPELLINGS[metric][0] for us, metric in KINDS.values() if us != metric}
_US = (*_PAIRS, "feet", "foot", "inches", "inch", "miles", "mile", "lb an acre")
_METRIC = (*_PAIRS.values(), "cm", "km", "metres", "meters", "kg a square meter")
_NUMBER = r"[-−]?\d[\d,]*(?:\.\d+)?"


def _amount(units):
    """Pattern of a number, or of two with "to" between them, with one of the units."""
    words = "|".join(re.escape(unit) for unit in sorted(units, key=len, reverse=True))
    return rf"(\$?{_NUMBER}(?: to \$?{_NUMBER})? ?(?:{words}))(?![\w/²³°])"


_US_FIRST = re.compile(rf"(?<![\w.,-]){_amount(_US)} \({_amount(_METRIC)}\)")
_METRIC_FIRST = re.compile(rf"(?<![\w.,-]){_amount(_METRIC)} \({_amount(_US)}\)")


def in_order(text, system):
    """The same text with the reader's unit before the one in brackets: ``6 psi (41 kPa)`` or ``41 kPa (6 psi)``.

    Parameters
    ----------
    text : str
    system : {"US", "metric"}

    Examples
    --------
    >>> in_order("at 12 to 15 ft (3.7 to 4.6 m)", "metric")
    'at 3.7 to 4.6 m (12 to 15 ft)'
    """
    return (_METRIC_FIRST if system == "US" else _US_FIRST).sub(r"\2 (\1)", text)


def shortened(text, most=MOST):
    """Text on one line, cut after `most` signs; signs that cannot be shown become a replacement sign."""
    shown = "".join(sign if sign.isprintable() else "�" for sign in " ".join(str(text).split()))
    return shown if len(shown) <= most else f"{shown[:most].rstrip()}…"


def quoted(text, most=MOST):
    """What somebody wrote, as :func:`shortened`, in quotes."""
    shown = shortened(text, most)
    return f'"{shown}"' if "'" in shown else f"'{shown}'"


def listed(word, numbers):
    """Rows or lines by number, neighbors drawn together: ``Rows 3, 7 to 9``.

    Examples
    --------
    >>> listed("Row", [3, 7, 8, 9]), listed("Line", [4])
    ('Rows 3, 7 to 9', 'Line 4')
    """
    spans = []
    for number in numbers:
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    shown = ", ".join(f"{first}" if first == last else f"{first} to {last}" for first, last in spans)
    return f"{word}{'s' * (len(numbers) > 1)} {shown}"


def say_left_out(rows):
    """Why rows were left out: each reason in a sentence with its rows, those past the first few by kind of reason."""
    said = []
    reasons = list(dict.fromkeys(row.reason for row in sorted(rows)))
    for reason in reasons[:MOST_REASONS]:
        said += _sentences([row.row for row in sorted(rows) if row.reason == reason], reason)
    rest = [row for row in sorted(rows) if row.reason not in reasons[:MOST_REASONS]]
    for cause in dict.fromkeys(row.cause or row.reason for row in rest):
        said += _sentences([row.row for row in rest if (row.cause or row.reason) == cause], cause)
    if len(rows) > MOST_REASONS:
        said.append("When so many rows fail, look for one common cause.")
    return said


def _sentences(numbers, reason):
    return [f"{listed('Row', numbers[at:at + MOST_NAMED])} {'were' if len(numbers) > 1 else 'was'} left out: {reason}."
            for at in range(0, len(numbers), MOST_NAMED)]
