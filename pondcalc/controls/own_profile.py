"""The form in which readers type or bring their own readings, see what they mean, and save them."""

import datetime

import ipywidgets as W

from .. import findings
from ..figures import warm_over_cold as draw
from ..textfiles import decode
from ..units import Q
from ..warm_over_cold import profile
from .boxes import FileOrText, plain
from .ownform import OwnForm
from .warm_over_cold import picture_of

WORKBOOK = "05-warm-over-cold"
IN_FULL = 7             # digits that a record, which keeps six, gives back unchanged
EXAMPLE = {"US": "0 ft  80 F  7.5\n3 ft  79 F  7.2\n6 ft  68 F  1.0\n12 ft  61 F  0.2",
           "metric": "0 m  27 C  7.5\n1 m  26 C  7.2\n2 m  20 C  1.0\n4 m  16 C  0.2"}


class OwnProfile(OwnForm):
    """Type readings or choose a file, look at the layers, and save them to the pond record.

    Parameters
    ----------
    pond : record.PondRecord
        Gives the pond's shape and the reader's units.
    """

    def __init__(self, pond):
        self._pond, self._system, self._measured = pond, pond.system, pond.has("water")
        self._shape = findings.pond_shape(pond)
        super().__init__("my own readings", {
            "given": FileOrText("or a file (CSV)", "Readings: depth, temperature, and oxygen in mg/L if you have "
                                   "it; one depth a line", EXAMPLE[pond.system], "", rows=8),
            "day": W.Text(description="Day of the readings", placeholder="for example: 2025-07-24"),
            "days": W.FloatText(description="Days without oxygen below (a guess)", value=findings.STAGNANT_DAYS)},
            "layers", WORKBOOK)

    def _typed(self, kept):
        """The readings of the record, as they were typed or, where that was not kept, as lines."""
        typed = super()._typed(kept) or []
        if self.file.value:                     # it stands for the readings here, so none may stand in the box
            return [line for line in typed if not line.startswith("typed:")]
        if not kept.get("layers", "reading_depth"):
            return None
        return [f"typed: {self._lines(kept.sections['layers'])}", f"day: {kept.get('layers', 'read_on', '')}", *typed]

    def _lines(self, values, digits=4):
        """Readings of the section ``layers`` as lines."""
        kept = [(key, values.get(f"reading_{key}") or []) for key in ("depth", "temperature", "oxygen")]
        columns = [[plain(value, key, self._system, digits) for value in column] for key, column in kept if column]
        return "\n".join("  ".join(row) for row in zip(*columns, strict=True))

    def _texts(self):
        """As in every form; the readings of a file as lines."""
        lines = f"typed: {self._lines(self.values, IN_FULL)}" if self.file.value else ""
        return [lines if lines and text.startswith("typed:") else text for text in super()._texts()]

    def _kept(self):
        """As in every form; another pond's shape is never saved."""
        findings.needs_water(self._pond)
        return self.values

    def _found(self):
        depth, area = self._shape
        deepest = float(depth[-1])
        day = profile.read_day(self.day.value)
        given = self.given.read()
        text = given if isinstance(given, str) else decode(given, "profile")[0]
        read = profile.read_lines(text, self._system, Q(deepest, "m"), day,
                                  findings.setting(self._pond).pressure)
        risk, values = findings.layers(depth, area, read, self.days.value)
        notes = [f"Note: {note}" for note in read.notes]
        if "/" in self.day.value:
            notes.append("Note: the day was read with the month first, as "
                         f"{datetime.date.fromisoformat(day):%B %d, %Y}.")
        if not self._measured:
            notes.append("Note: this pond has no depths yet (workbook 01), so the shape is that of the demonstration "
                         "pond. Temperatures are yours; shares and oxygen are not.")
        if read.depth[-1] < 0.8 * deepest:
            notes.append("Note: the lowest reading is well above the bottom, so the deepest water is a guess.")
        words = [findings.say_layers(risk, values, self._system), *notes]
        return words, values, self._drawn("own-layers", f"Your readings on your pond. {words[0]}", draw.layered_pond,
                                          picture_of(depth, area, read), self._system)
