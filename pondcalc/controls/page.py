"""How does the page answer: in which units, chosen once for all of it, and what when something went wrong?

The answer is a short paragraph on the page. It puts the reader's units first and leaves what was typed where it
stands.
"""

import html
import warnings

from ..refusals import Caution, plainly
from ..spellings import reader, reading


class PageUnits:
    """The choice of one reader, and who follows it.

    Until something is chosen, each part of the page starts in the units of the pond it shows.
    """

    def __init__(self):
        self._chosen, self._followers = None, {}

    def of(self, start):
        """The units chosen, or `start` while nothing is."""
        return self._chosen or start

    def join(self, name, follow):
        """Call ``follow(system)`` at each choice; one that joins later by the same name takes its place.

        So a cell that is run again leaves no picture behind that nobody sees and that is drawn all the same.
        """
        self._followers[name] = follow

    def choose(self, system, first=None):
        """Let all follow, the one named `first` before the others: the reader is looking at it."""
        self._chosen = system
        for name in sorted(self._followers, key=lambda name: name != first):
            self._followers[name](system)


PAGE = PageUnits()          # one kernel serves one page


def said(words, marks="", table=False):
    """HTML of a message that a screen reader announces; `marks` is HTML set before the words.

    With `table`, all letters are equally wide.
    """
    text = html.escape(words)
    if table:
        text = f'<pre style="white-space:pre-wrap;word-break:normal;font-size:90%">{text}</pre>'
    return ('<div role="status" aria-live="polite" style="max-width:700px;line-height:1.4;white-space:pre-line">'
            f"{marks}{text}</div>")


def notes_of(caught):
    """Lines for the cautions among caught warnings, each once; what libraries grumble about stays out."""
    return list(dict.fromkeys(f"Note: {plainly(w.message)}" for w in caught if issubclass(w.category, Caution)))


def guarded(message, action, trouble, system=None, table=False):
    """Run ``action()`` and show the words it returns in `message`; on any trouble say so instead.

    The old message goes first, so that it never stands beside a later failure. Cautions given on the way are
    added as notes. Amounts in both systems of units are written for a
    reader of `system`.
    """
    message.value, answered = "", False
    with warnings.catch_warnings(record=True, action="always") as caught, reading(system or reader()):
        try:
            words = action()
            lines = words.splitlines()
            words = "\n".join([words, *(line for line in notes_of(caught) if line not in lines)])
            answered = True
        except (ValueError, OSError) as problem:
            words = f"{trouble}: {plainly(getattr(problem, 'strerror', None) or problem)}"
        except Exception as problem:            # a button must answer, whatever went wrong behind it
            words = (f"{trouble}: this set met something it did not expect. What you wrote still stands in the form. "
                     "Look for an odd sign in it; if there is none, please tell whoever gave you this set: "
                     f"{type(problem).__name__}, {plainly(problem)}")
    message.value = said(words, table=table and answered)
