"""The form in which a class brings the log of its own tub test, and sees what it says."""

import ipywidgets as W

from .. import findings
from ..bubbles_and_oxygen import bubblereport, bucketlog, buckettest
from ..figures import bubbles_and_oxygen as draw
from ..figures import style
from ..units import QuantityError
from .boxes import FileOrText, read_all
from .bubbles_and_oxygen import tub_result
from .ownform import OwnForm

SIZES = {"temperature": "degC", "volume": "m^3", "depth": "m", "flow": "m^3/s"}
EXAMPLE = "0 0.3\n1 1.1\n2 1.9\n..."


class OwnBucket(OwnForm):
    """Upload the log of a tub test or type its readings; fit it, draw it, and say what it means."""

    def __init__(self, pond, system="US"):
        self._system, self._pressure = system, findings.setting(pond).pressure
        super().__init__("my own tub test", {
            "given": FileOrText("Log file (CSV)", "or type: time, oxygen (mg/L)", EXAMPLE,
                                "Choose a log file, or type the readings, one pair on each line."),
            "unit": W.Dropdown(description="Typed times are in", options={"minutes": "min", "seconds": "s"}),
            **{name: self._box("air", f"tub_{name}", optional=True) for name in SIZES}},
            go="Fit the curve", trouble="Not fitted")

    def _found(self):
        log, fit, words = self._fit()
        return words, None, self._drawn("own-tub", f"Your tub test: readings and fitted curve. {words[0]}", draw.tub,
                                        tub_result(log, fit), self._system, size=(style.WIDTH, 4.3))

    def _fit(self):
        """The log, its fit and the lines to say."""
        read = read_all(**{name: getattr(self, name) for name in SIZES})
        read = {name: found.m_as(SIZES[name]) for name, found in read.items()}
        warm = read.pop("temperature", None)
        given = self.given.read()
        log = (bucketlog.typed_log(given, self.unit.value, warm) if isinstance(given, str) else
               bucketlog.read_log(given, warm, self._pressure))
        if log.temperature is None:
            raise QuantityError("The water temperature is missing, and kLa grows by 2.4 % for each degree C. Fill "
                                f"it in above, such as {self.temperature.example}.")
        fit = buckettest.fit_bucket.si(log.time, log.dissolved_oxygen, log.temperature,
                                       surface_pressure_absolute=self._pressure)
        words = [bubblereport.say_fit(fit)]
        words += [f"Left out, {line}" for line in bubblereport.say_left_out(log, fit).splitlines()]
        words += [f"Note: {note}" for note in (*log.notes, *fit.notes)]
        if len(read) < 3:
            words.append("Fill in the water in the tub, the depth of the stone and the air to get a rating as well.")
        else:
            words.append(bubblereport.say_rates.si(fit, read["volume"], read["flow"], read["depth"], log.temperature,
                                                   self._pressure, self._system))
        return log, fit, words
