"""What every form for the reader's own pond shares: work it out, look, and save what was worked out.

Saving keeps what was last worked out, so a box that changed since must be worked out again first.
"""

import re
import warnings

import ipywidgets as W

from .boxes import CLASS, STYLE
from .explorer import FIT, said
from .pond import SaveButton

__all__ = ["OwnForm"]


def plain(problem):
    """A message without the name of the function that speaks, which tells a reader of the page nothing."""
    return re.sub(r"(?m)^(?:[a-z]+(?:_[a-z]+)+|[A-Z][a-z]+[A-Z]\w*|Described|Machine|Line): ", "", str(problem))


class OwnForm(W.VBox):
    """A form with one button that works it out, and where `section` is given one that saves.

    A subclass says in ``_found()`` what it makes of the boxes: the words, the values to save (or None) and the
    HTML of a picture (or ""). A ValueError from there is shown to the reader.

    Parameters
    ----------
    name : str
        What the form is about.
    layout : list of widget
        Boxes as they stand on the page.
    inputs : list of widget
        Those that the result depends on.
    section, workbook : str, optional
        Of the pond record, to save.
    go : str, optional
        Words on the button.
    trouble : str, optional
        How a refusal begins.
    words : str, optional
        Shown before anything is worked out.
    table : bool, optional
        True where the words hold a table, whose letters must be equally wide.
    """

    def __init__(self, name, layout, inputs, section=None, workbook="", go="Work it out", trouble="Not worked out",
                 words="",
                 table=False):
        self._name, self._go, self._trouble, self._table = name, go, trouble, table
        self._changed, self.values, self._inputs = False, None, list(inputs)
        for box in inputs:
            box.observe(self._touched, "value")
        button = W.Button(description=go, icon="play", layout=FIT)
        button.on_click(lambda _: self.work())
        self.message, self.picture = W.HTML(said(words) if words else ""), W.HTML()
        self.saver = SaveButton(section, self.wanted, workbook) if section else None
        super().__init__([W.HTML(STYLE), *layout, button, self.message, self.picture,
                          *([self.saver] if section else [])], layout={"max_width": "760px"})
        self.add_class(CLASS)

    def __repr__(self):
        return f"Form: {self._name}"

    def _touched(self, _):
        self._changed = True

    def _found(self):
        raise NotImplementedError

    def _note(self, warning):
        return f"Note: {plain(warning.message)}"

    def wanted(self):
        """What to save, or ValueError with advice."""
        if self.values is None:
            raise ValueError(f"there is nothing to save yet. Fill in the boxes and press “{self._go}” first.")
        if self._changed:
            raise ValueError(f"the boxes changed since you worked it out. Press “{self._go}” again.")
        return self.values

    def work(self):
        """Read the boxes, compute, and show words and picture; on trouble say what to do."""
        self.forget()
        self.message.value = said("Working …")
        try:
            with warnings.catch_warnings(record=True) as caught:
                warnings.simplefilter("always", UserWarning)
                words, values, picture = self._found()
        except Exception as problem:            # a button must answer, whatever went wrong behind it
            self.message.value = said(f"{self._trouble}: {plain(problem)}")
            return
        notes = dict.fromkeys(self._note(w) for w in caught if issubclass(w.category, UserWarning))
        self.values, self._changed = values, False
        self.message.value = said("\n".join([words, *notes]), table=self._table)
        self.picture.value = picture

    def forget(self):
        """Take away what was worked out, so that an old result never stands beside a new trouble."""
        self.values, self.message.value, self.picture.value = None, "", ""
        if self.saver:
            self.saver.message.value = ""
