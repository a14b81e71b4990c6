"""The form in which a class brings the log of its own tub test, and sees what it says."""

import ipywidgets as W

from .. import findings
from ..bubbles_and_oxygen import bubblereport, bucketlog, buckettest
from ..figures import bubbles_and_oxygen as draw
from ..figures import style
from ..units import QuantityError
from .boxes import Box, FileOrText, read_all
from .bubbles_and_oxygen import tub_result
from .ownform import OwnForm

EXAMPLE = "0 0.3\n1 1.1\n2 1.9\n..."


class OwnBucket(OwnForm):
    """Upload the log of a tub test or type its readings; fit it, draw it, and say what it means."""

    def __init__(self, pond, system="US"):
        self._system, self._pressure, metric = system, findings.setting(pond).pressure, system != "US"
        warm, much, deep, air = ("23 °C", "68 L", "40 cm", "4 L/min") if metric else ("73 °F", "18 gal", "16 in",
                                                                                    "0.14 cfm")
        super().__init__("my own tub test", {
            "given": FileOrText("Log file (CSV)", "or type: time, oxygen (mg/L)", EXAMPLE,
                              "Choose a log file, or type the readings, one pair on each line."),
            "unit": W.Dropdown(description="Typed times are in", options={"minutes": "min", "seconds": "s"}),
            "temperature": Box("Water temperature", "temperature", warm, "32 F", "104 F", optional=True),
            "volume": Box("Water in the tub", "bucket", much, "0.1 gal", "5000 gal", optional=True),
            "depth": Box("Depth of the stone", "bore", deep, "1 in", "20 ft", optional=True),
            "flow": Box("Free air, if you measured it", "air flow", air, "0.001 cfm", "50 cfm", optional=True)},
            go="Fit the curve", trouble="Not fitted")

    def _found(self):
        log, fit, words = self._fit()
        return words, None, self._drawn("own-tub", f"Your tub test: readings and fitted curve. {words[0]}", draw.tub,
                                        tub_result(log, fit), self._system, size=(style.WIDTH, 4.3))

    def _fit(self):
        """The log, its fit and the lines to say."""
        read = read_all(temperature=self.temperature, volume=self.volume, depth=self.depth, flow=self.flow)
        warm = read["temperature"].m_as("degC") if "temperature" in read else None
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
        sizes = [read[name].m_as(unit) for name, unit in (("volume", "m^3"), ("depth", "m"), ("flow", "m^3/s"))
                 if name in read]
        if len(sizes) < 3:
            words.append("Fill in the water in the tub, the depth of the stone and the air to get a rating as well.")
        else:
            volume, depth, flow = sizes
            words.append(bubblereport.say_rates.si(fit, volume, flow, depth, log.temperature, self._pressure,
                                                   self._system))
        return log, fit, words
