"""How does a form read what was typed into its boxes, and how does the page answer?

Whatever goes wrong behind a button, the answer is a short paragraph on the page: it names the box, says what
was given and what would do, puts the reader's units first and leaves what was typed where it stands.
"""

import html
import re
import warnings

from ..units import KINDS, Q, QuantityError, read_quantity, show
from ..wording import in_order, shortened

__all__ = ["guarded", "notes_of", "plainly", "read_field", "said"]


def said(words, marks="", system=None, table=False):
    """HTML of a message that a screen reader announces; `marks` is HTML set before the words.

    With `system`, amounts that stand in both systems of units are put in the reader's order. With `table`, all
    letters are equally wide.
    """
    text = html.escape(in_order(words, system) if system else words)
    if table:
        text = f'<pre style="white-space:pre-wrap;word-break:normal;font-size:90%">{text}</pre>'
    return ('<div role="status" aria-live="polite" style="max-width:700px;line-height:1.4;white-space:pre-line">'
            f"{marks}{text}</div>")


def plainly(problem):
    """A refusal without the name of the function that spoke it."""
    return re.sub(r"^([A-Za-z_]\w*: )+", "", str(problem)).rstrip()


def notes_of(caught):
    """Lines for the cautions among caught warnings, each once; what libraries grumble about stays out."""
    return list(dict.fromkeys(f"Note: {plainly(w.message)}" for w in caught if w.category is UserWarning))


def guarded(message, action, trouble, system=None, table=False):
    """Run ``action()`` and show the words it returns in `message`; on any trouble say so instead.

    The old message goes first, so that it never stands beside a later failure. Cautions given on the way are
    added as notes.
    """
    message.value, answered = "", False
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        try:
            words = action()
            lines = words.splitlines()
            words = "\n".join([words, *(note for note in notes_of(caught) if note not in lines)])
            answered = True
        except (ValueError, OSError) as problem:
            words = f"{trouble}: {plainly(getattr(problem, 'strerror', None) or problem)}"
        except Exception as problem:            # a button must answer, whatever went wrong behind it
            words = (f"{trouble}: this set met something it did not expect ({type(problem).__name__}). What you wrote "
                     "still stands in the form. Look for an odd sign in it; if there is none, please tell whoever gave "
                     "you this set.")
    message.value = said(words, system=system, table=table and answered)


def read_field(name, text, kind, low, high, example, bare=None):
    """A quantity typed into a form's box, or a QuantityError that names the box.

    Parameters
    ----------
    name : str
        Words on the box.
    text : str
        What was typed.
    kind : str
        A key of ``units.KINDS``.
    low, high : str
        Quantities such as ``"0 ft"``; what is typed must lie between them.
    example : str
        What would do, such as ``"12 ft or 3.7 m"``.
    bare : str, optional
        Unit of a number without one, as pint names it.
    """
    if not text.strip():
        raise QuantityError(f"“{name}” is empty. Write, for example, {example}.")
    try:
        value = read_quantity(text, bare)
    except QuantityError as problem:
        why = re.sub(r" (Write a number and a unit|Write the unit after|Units it knows) .*", "", str(problem))
        raise QuantityError(f"“{name}”: {why} Write, for example, {example}.") from None
    given = shortened(text.strip())
    if not value.check(Q(1.0, KINDS[kind][0]).dimensionality):
        raise QuantityError(f"“{name}” cannot be {given}. Write, for example, {example}.")
    if not Q(low) <= value <= Q(high):
        ends = [show(end, kind, both=True) for end in (low, high)]
        raise QuantityError(f"“{name}”: {given} is outside {ends[0]} to {ends[1]}. Check the number and its unit; for "
                            f"example {example}.")
    return value
