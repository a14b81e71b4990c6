"""What every form for the reader's own pond shares: work it out, look, and save what was worked out.

Saving keeps what was last worked out, so a box that changed since must be worked out again first.
"""

import ipywidgets as W

from .boxes import CLASS, STYLE, typed_in
from .explorer import FIT, Panel
from .pond import SaveButton
from .saying import guarded, plainly, said

__all__ = ["OwnForm"]


class OwnForm(Panel):
    """A form with one button that works it out, and where `section` is given one that saves.

    A subclass sets ``_system``, the reader's units, before it calls this, and may set ``_remembered``. It says in
    ``_found()`` what it makes of the boxes: the words, the values to save (or None) and the HTML of a picture (or
    ""). A ValueError from there is shown to the reader.

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

    _system = "US"
    _remembered = None      # name to box, of those whose text is kept with the values and stands there again

    def __init__(self, name, layout, inputs, section=None, workbook="", go="Work it out", trouble="Not worked out",
                 words="", table=False):
        self._name, self._go, self._trouble, self._table = name, go, trouble, table
        self._changed, self.values, self._inputs = False, None, list(inputs)
        for box in inputs:
            box.observe(self._touched, "value")
        button = W.Button(description=go, icon="play", layout=FIT)
        button.on_click(lambda _: self.work())
        self.message, self.picture = W.HTML(said(words) if words else ""), W.HTML()
        self.saver = SaveButton(section, self.wanted, workbook, system=self._system) if section else None
        super().__init__([W.HTML(STYLE), *layout, button, self.message, self.picture,
                          *([self.saver] if section else [])], layout={"max_width": "760px"})
        self.add_class(CLASS)

    def __repr__(self):
        return f"Form: {self._name}"

    def _touched(self, _):
        self._changed = True

    def _found(self):
        raise NotImplementedError

    @staticmethod
    def _note(caution):
        """A caution in words for the page."""
        return plainly(caution)

    def wanted(self):
        """What to save, or ValueError with advice."""
        if self.values is None:
            raise ValueError(f"there is nothing to save yet. Fill in the boxes and press “{self._go}” first.")
        if self._changed:
            raise ValueError(f"the boxes changed since you worked it out. Press “{self._go}” again.")
        return self.values if not self._remembered else self.values | {"typed": typed_in(self._remembered)}

    def work(self):
        """Read the boxes, compute, and show words and picture; on trouble say what to do."""
        self.forget()
        guarded(self.message, self._answer, self._trouble, self._system, self._table, self._note)

    def _answer(self):
        self.message.value = said("Working …")
        words, self.values, self.picture.value = self._found()
        self._changed = False
        return words

    def forget(self):
        """Take away what was worked out, so that an old result never stands beside a new trouble."""
        self.values, self.message.value, self.picture.value = None, "", ""
        if self.saver:
            self.saver.message.value = ""
