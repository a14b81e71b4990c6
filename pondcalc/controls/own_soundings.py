"""The form in which readers bring their own soundings, see what they hold, and save it."""

import html

import ipywidgets as W

from .. import findings
from ..figures import how_much_water as draw
from ..how_much_water import survey
from ..wording import calling, shortened
from .explorer import FIT
from .ownform import OwnForm

WORKBOOK = "01-how-much-water"
SHOWN = 8               # rows left out that the message names; all stand in a list to fold open
# what the reader of files asks for -> where that stands in this form
SETTINGS = {"depth_unit": "the list “Depths are in”", "position_unit": "the list “Positions are in”",
            "upward": "“as negative numbers” in the list “Depths count”", "dropped": "the folded list below"}


def _rows_left_out(read):
    """HTML of a folded list of every row that was left out, where there are more than the message names."""
    lines = survey.left_out(read)
    if len(lines) <= SHOWN:
        return ""
    rows = "".join(f"<li>{html.escape(line)}</li>" for line in lines)
    return (f"<details><summary>Rows left out, all {len(lines)}</summary><div tabindex=\"0\" role=\"region\" "
            "aria-label=\"Rows left out\" style=\"max-height:20em;max-width:700px;overflow:auto;line-height:1.4\">"
            f"<ul>{rows}</ul></div></details>")


LENGTHS = {"what the heading says": "", "feet": "ft", "meters": "m"}


class OwnSoundings(OwnForm):
    """Upload soundings and a shoreline, look at what was read, and save the water to the pond record."""

    def __init__(self, system="US"):
        self._system = system
        clear = W.Button(description="Take both files out", icon="times", layout=FIT)
        clear.on_click(lambda _: self.clear())
        super().__init__("my own soundings", {
            "soundings": self._upload("Soundings (CSV)"), "shoreline": self._upload("Shoreline (CSV)"), "out": clear,
            "unit": W.Dropdown(description="Depths are in", options=LENGTHS | {"centimeters": "cm", "inches": "in"}),
            "place": W.Dropdown(description="Positions are in", options=LENGTHS),
            "sign": W.Dropdown(description="Depths count", options={"down, positive": "downward",
                                                                    "as negative numbers": "upward"})},
            "water", WORKBOOK)

    @staticmethod
    def _keeps(_):
        """Nothing: these lists say how a file is to be read, and it is gone."""
        return False

    @staticmethod
    def _upload(words):
        made = W.FileUpload(description=words, accept=".csv,.txt", layout=FIT)

        def name_it(change):
            made.description = f"{words}: {change['new'][0]['name']}" if change["new"] else words
        made.observe(name_it, "value")
        return made

    def clear(self):
        """Forget both files and what was found."""
        self.soundings.value = self.shoreline.value = ()
        self.forget()

    def _found(self):
        if not self.soundings.value:
            raise ValueError("choose a soundings file first: a CSV with columns such as lat, lon, depth_ft.")
        (name, depths), (bank_name, bank) = self._take(self.soundings), self._take(self.shoreline)
        with calling(SETTINGS | {"soundings text": name}):
            return self._of_files(name, depths, bank_name, bank)

    def _of_files(self, name, depths, bank_name, bank):
        read = survey.read_survey(depths, bank, depth_unit=self.unit.value or None,
                                  position_unit=self.place.value or None, depths_are=self.sign.value)
        basin, doubt, values = findings.water(read, name, bank_name)
        found, gaps = findings.say_water(values, self._system), findings.say_gaps(doubt, self._system)
        picture = self._drawn("own-map", f"Depth map of your pond. {found} {gaps}".rstrip(), draw.depth_map, basin,
                              read.soundings, read.shoreline, self._system, doubt.seen.wanted, size=(7.2, 5.0))
        words = [survey.report(read, self._system, SHOWN), found, gaps,
                 *findings.water_notes(basin, doubt, self._system)]
        return words, values, picture + _rows_left_out(read)

    @staticmethod
    def _take(upload):
        if not upload.value:
            return "", None
        return shortened(upload.value[0]["name"]), bytes(upload.value[0]["content"])
