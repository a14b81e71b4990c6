"""Form of workbook 07, part B: a year without air and with it under the reader's own weather."""

import warnings

from .. import findings
from ..catalogue import ROWS, held
from ..figures import the_year as draw
from ..the_year import weather, yearcase, yearreport, yearstart
from ..units import Q
from . import the_year
from .boxes import Box, FileOrText, read_all
from .first_start import North
from .ownform import OwnForm

EXAMPLE = ("time, air temperature (F), wind (mph), humidity (%)\n2025-03-21 00:00, 41, 3, 80\n"
           "2025-03-21 03:00, 38, 2, 88")


class OwnWeather(OwnForm):
    """Upload or paste weather; see the pond's year in it without air and with it. Nothing is saved."""

    def __init__(self, pond, system="US"):
        self._pond, self._system = pond, system
        super().__init__("a year in my own weather", {
            "given": FileOrText("Weather file (CSV)", "or pasted", EXAMPLE, "choose a file or paste some weather "
                                f"first, with a heading line such as “{EXAMPLE.splitlines()[0]}”."),
            "latitude": North.of("year", "latitude", system, f"{yearstart.latitude_of(pond):g}"),
            "secchi": Box.of("year", "secchi_depth", system, ROWS["year", "secchi_depth"].example_in(system)),
            "shelter": Box.of("year", "shelter", system, ROWS["year", "shelter"].usual)}, go="Run the year")

    def _found(self):
        source = self.given.read()
        typed = read_all(latitude=self.latitude, secchi=self.secchi, shelter=self.shelter)
        depth, area = findings.pond_shape(self._pond)
        deep = yearreport.submergence(self._pond, depth[-1])
        height = held(self._pond, "site", "elevation")
        latitude = typed["latitude"].m_as("degree")
        hours = weather.read_weather(source, Q(latitude, "degree"), Q(height, "m"))
        air = yearcase.air_season(weather.typical_climate.si(latitude, height))
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")     # water over 40 °C (104 °F) for an hour, as in the explorer
            made = yearcase.year_under.si(depth, area, hours, air, typed["secchi"].m_as("m"),
                                          typed["shelter"].m_as("dimensionless"),
                                          yearreport.lifted_water(self._pond).usual, deep,
                                          yearstart.bubbles_of(self._pond).usual)
        first, last = (yearreport.date(int(day)) for day in made.day[[0, -1]])
        words = [f"{len(made.day)} days of your weather, {first} to {last}, on the water of {self._pond.name}. "
                 f"{the_year.say_year(made, self._system)}"]
        if not 60 <= (made.day[0] - 1) % 365 + 1 <= 120:
            words.append("The sums start with a mixed pond, which is true in March and April. Weather that starts at "
                         "another time shows its first weeks wrong.")
        if not self._pond.has("water"):
            words.append("This record has no volume yet, so the water is that of the demonstration pond.")
        return words, None, self._drawn("own-weather", f"A year in my own weather. {words[0]}", draw.year, made,
                                        self._system, size=the_year.YEAR_SIZE)
