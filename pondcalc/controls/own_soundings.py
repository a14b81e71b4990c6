"""The form in which readers bring their own soundings, see what they hold, and save it."""

import html
import warnings

import ipywidgets as W

from .. import findings, survey
from ..figures import how_much_water as draw
from ..figures import style
from .explorer import FIT
from .pond import SaveButton, said

WORKBOOK = "01-how-much-water"


class OwnSoundings(W.VBox):
    """Upload soundings and a shoreline, look at what was read, and save the water to the pond record."""

    def __init__(self, system="US"):
        self._system, self.values = system, None
        wide = {"style": {"description_width": "200px"}, "layout": {"width": "470px"}}
        self.soundings = W.FileUpload(description="Soundings file (CSV)", accept=".csv,.txt", layout={"width": "230px"})
        self.shoreline = W.FileUpload(description="Shoreline file (CSV)", accept=".csv,.txt", layout={"width": "230px"})
        self.unit = W.Dropdown(description="Depths are in", options={"what the heading says": None, "feet": "ft",
                                                                     "metres": "m"}, **wide)
        self.sign = W.Dropdown(description="Depths count", options={"down, positive": "downward",
                                                                    "as negative numbers": "upward"}, **wide)
        go = W.Button(description="Work it out", icon="play", layout=FIT)
        go.on_click(lambda _: self.work())
        self.message, self.picture = W.HTML(), W.HTML()
        self.saver = SaveButton("water", self._wanted, WORKBOOK)
        super().__init__([W.HBox([self.soundings, self.shoreline], layout={"flex_flow": "row wrap"}), self.unit,
                          self.sign, go, self.message, self.picture, self.saver], layout={"max_width": "760px"})

    def __repr__(self):
        return "Form: my own soundings"

    def _wanted(self):
        if self.values is None:
            raise ValueError("there is nothing to save yet. Choose a soundings file and press “Work it out” first.")
        return self.values

    def work(self):
        """Read the files, compute, and show the map and the words."""
        self.values, self.picture.value = None, ""
        try:
            if not self.soundings.value:
                raise ValueError("Choose a soundings file first: a CSV with columns such as lat, lon, depth_ft.")
            (name, depths), (bank_name, bank) = self._take(self.soundings), self._take(self.shoreline)
            with warnings.catch_warnings(record=True) as caught:
                warnings.simplefilter("always")
                read = survey.read_survey(depths, bank, depth_unit=self.unit.value, depths_are=self.sign.value)
                basin, _, values = findings.water(read, name, bank_name)
        except ValueError as problem:
            self.message.value = said(f"Not worked out: {problem}")
            return
        self.values = values
        words = [survey.report(read, self._system), findings.say_water(values, self._system),
                 *dict.fromkeys(f"Note: {w.message}" for w in caught)]
        self.message.value = ('<div role="status" aria-live="polite" style="max-width:700px;line-height:1.4;'
                              f'white-space:pre-line">{html.escape(chr(10).join(words))}</div>')
        svg = style.render(draw.depth_map, basin, read.soundings, read.shoreline, self._system, size=(7.2, 5.0))
        self.picture.value = style.inline(svg, f"Depth map of your pond. {words[1]}", "own-map")

    @staticmethod
    def _take(upload):
        return (upload.value[0]["name"], bytes(upload.value[0]["content"])) if upload.value else ("", None)

