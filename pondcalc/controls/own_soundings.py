"""The form in which readers bring their own soundings, see what they hold, and save it."""

import html
import re

import ipywidgets as W

from .. import findings
from ..figures import how_much_water as draw
from ..how_much_water import survey
from ..refusals import plainly
from ..wording import shortened
from .explorer import FIT
from .ownform import OwnForm

WORKBOOK = "01-how-much-water"
SHOWN = 8               # rows left out that the message names; all stand in a list to fold open
# what the reader of files says to someone who writes code -> what this form has
FORM_WORDS = (
    (r"answer here with depth_unit='ft' or depth_unit='m'", "choose the unit in the list “Depths are in”"),
    (r"answer with depth_unit", "choose the unit in the list “Depths are in”"),
    (r"answer here with position_unit='ft' or position_unit='m'", "choose feet or meters in “Positions are in”"),
    (r"read it again with depths_are='upward'", "choose “as negative numbers” in the list “Depths count”"),
    (r"depths_are='\w+'", "the list “Depths count”"), (r"depth_unit(='\w+')?", "the list “Depths are in”"),
    (r"position_unit(='\w+')?", "the list “Positions are in”"),
    (r"listed in survey\.dropped", "all in the folded list below"),
)


def in_form_words(text):
    """A message with the names of arguments replaced by what stands in the form."""
    for pattern, words in FORM_WORDS:
        text = re.sub(pattern, words, text)
    return text


def _rows_left_out(read):
    """HTML of a folded list of every row that was left out, where there are more than the message names."""
    lines = survey.left_out(read)
    if len(lines) <= SHOWN:
        return ""
    rows = "".join(f"<li>{html.escape(in_form_words(line))}</li>" for line in lines)
    return (f"<details><summary>Rows left out, all {len(lines)}</summary><div tabindex=\"0\" role=\"region\" "
            "aria-label=\"Rows left out\" style=\"max-height:20em;max-width:700px;overflow:auto;line-height:1.4\">"
            f"<ul>{rows}</ul></div></details>")


LENGTHS = {"what the heading says": None, "feet": "ft", "meters": "m"}


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
        made = W.FileUpload(description=words, accept=".csv,.txt", layout={"width": "auto"})

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
        try:
            read = survey.read_survey(depths, bank, depth_unit=self.unit.value, position_unit=self.place.value,
                                      depths_are=self.sign.value)
            basin, doubt, values = findings.water(read, name, bank_name)
        except ValueError as problem:
            raise ValueError(in_form_words(str(problem)).replace("the soundings text", name)) from None
        found, gaps = findings.say_water(values, self._system), findings.say_gaps(doubt, self._system)
        picture = self._drawn("own-map", f"Depth map of your pond. {found} {gaps}".rstrip(), draw.depth_map, basin,
                              read.soundings, read.shoreline, self._system, doubt.seen.wanted, size=(7.2, 5.0))
        words = [survey.report(read, self._system, SHOWN), found, gaps,
                 *findings.water_notes(basin, doubt, self._system)]
        return in_form_words("\n".join(filter(None, words))), values, picture + _rows_left_out(read)

    @staticmethod
    def _note(caution):
        """As in every form, with the names of arguments replaced."""
        return in_form_words(plainly(caution))

    @staticmethod
    def _take(upload):
        if not upload.value:
            return "", None
        return shortened(upload.value[0]["name"]), bytes(upload.value[0]["content"])
