"""How does a message repeat what somebody wrote, and in which order do its units stand?

What a reader wrote is repeated short, in quotes, and without signs that cannot be shown. Where a message
names an amount in both systems of units, one in brackets, the reader's comes first.
"""

import contextlib
import contextvars

__all__ = ["MOST_NAMED", "either", "listed", "quoted", "calling", "reader", "reading",
           "say_left_out", "setting", "shortened"]

MOST = 60       # signs of a reader's own text that a message repeats; enough to find the place again

MOST_NAMED = 40     # rows that one sentence names; more go into the next
MOST_REASONS = 6    # reasons of rows left out that are named one by one

_READER = contextvars.ContextVar("the units that the reader sees first", default="US")
_SETTINGS = contextvars.ContextVar("what the form that is open calls a setting", default={})        # noqa: B039


@contextlib.contextmanager
def _during(variable, value):
    before = variable.set(value)
    try:
        yield
    finally:
        variable.reset(before)


def reading(system):
    """While this lasts, amounts that stand in both systems are written for a reader of `system`."""
    return _during(_READER, system)


def calling(settings):
    """While this lasts, settings are called what this dict says, and not by the argument of a function."""
    return _during(_SETTINGS, settings)


def setting(name, otherwise):
    """What a setting is called in the form that is open; else `otherwise`, for who writes code."""
    return _SETTINGS.get().get(name, otherwise)


def reader():
    """The units that the reader sees first, "US" or "metric"."""
    return _READER.get()


def either(us, metric):
    """An amount in both systems, the reader's first: ``6 psi (41 kPa)`` or ``41 kPa (6 psi)``.

    Examples
    --------
    >>> either("6 psi", "41 kPa")
    '6 psi (41 kPa)'
    >>> with reading("metric"):
    ...     either("6 psi", "41 kPa")
    '41 kPa (6 psi)'
    """
    return f"{us} ({metric})" if reader() == "US" else f"{metric} ({us})"


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
