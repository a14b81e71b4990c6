"""The form in which a class brings the log of its own tub test, and sees what it says."""

import ipywidgets as W

from .. import findings
from ..bubbles_and_oxygen import bubblereport, bucketlog, buckettest
from ..figures import bubbles_and_oxygen as draw
from ..figures import style
from ..units import QuantityError
from .bubbles_and_oxygen import tub_result
from .explorer import FIT
from .saying import guarded, read_field

EXAMPLE = "0 0.3\n1 1.1\n2 1.9\n..."


class OwnBucket(W.VBox):
    """Upload the log of a tub test or type its readings; fit it, draw it, and say what it means."""

    def __init__(self, pond, system="US"):
        self._system, self._pressure = system, findings.setting(pond).pressure
        wide = {"style": {"description_width": "230px"}, "layout": {"width": "470px"}}
        self.upload = W.FileUpload(description="Log file (CSV)", accept=".csv,.txt", layout={"width": "230px"})
        self.typed = W.Textarea(description="or type: time, oxygen (mg/L)", placeholder=EXAMPLE, rows=5, **wide)
        self.unit = W.Dropdown(description="Typed times are in", options={"minutes": "min", "seconds": "s"}, **wide)
        self.temperature = W.Text(description="Water temperature", placeholder="for example: 73 F",
                                  **wide)
        self.volume = W.Text(description="Water in the tub", placeholder="for example: 18 gal", **wide)
        self.depth = W.Text(description="Depth of the stone", placeholder="for example: 16 in", **wide)
        self.flow = W.Text(description="Free air, if you measured it", placeholder="for example: 0.14 cfm", **wide)
        go = W.Button(description="Fit the curve", icon="play", layout=FIT)
        go.on_click(lambda _: self.work())
        self.message, self.picture = W.HTML(), W.HTML()
        super().__init__([self.upload, self.typed, self.unit, self.temperature, self.volume, self.depth, self.flow, go,
                          self.message, self.picture], layout={"max_width": "760px"})

    def __repr__(self):
        return "Form: my own tub test"

    def work(self):
        """Read the log, fit it, and show the picture and the words."""
        self.picture.value = ""
        guarded(self.message, self._found, "Not fitted", self._system)

    def _found(self):
        log, fit, words = self._fit()
        svg = style.render(draw.tub, tub_result(log, fit), self._system, size=(style.WIDTH, 4.3))
        self.picture.value = style.inline(svg, f"Your tub test: readings and fitted curve. {words[0]}", "own-tub")
        return "\n".join(words)

    def _fit(self):
        """The log, its fit and the lines to say."""
        warm = self._asked(self.temperature, "temperature", "32 F", "104 F", "degC")
        if self.upload.value:
            log = bucketlog.read_log(bytes(self.upload.value[0]["content"]), warm)
        elif self.typed.value.strip():
            log = bucketlog.typed_log(self.typed.value, self.unit.value, warm)
        else:
            raise QuantityError("Choose a log file, or type the readings, one pair on each line.")
        if log.temperature is None:
            raise QuantityError("The water temperature is missing, and kLa grows by 2.4 % for each degree C. Fill "
                                "it in above, such as 73 F.")
        fit = buckettest.fit_bucket.si(log.time, log.dissolved_oxygen, log.temperature,
                                       surface_pressure_absolute=self._pressure)
        words = [bubblereport.say_fit(fit)]
        words += [f"Left out, {line}" for line in bubblereport.say_left_out(log, fit).splitlines()]
        words += [f"Note: {note}" for note in (*log.notes, *fit.notes)]
        sizes = [self._asked(*field) for field in (
            (self.volume, "bucket", "0.2 gal", "2000 gal", "m^3"), (self.depth, "bore", "0.5 in", "120 in", "m"),
            (self.flow, "air flow", "0.001 cfm", "50 cfm", "m^3/s"))]
        if None in sizes:
            words.append("Fill in the water in the tub, the depth of the stone and the air to get a rating as well.")
        else:
            volume, depth, flow = sizes
            words.append(bubblereport.say_rates.si(fit, volume, flow, depth, log.temperature, self._pressure,
                                                   self._system))
        return log, fit, words

    @staticmethod
    def _asked(field, kind, low, high, unit):
        """Plain number in `unit` of a field, None if it is empty; refused if it is no such quantity."""
        if not field.value.strip():
            return None
        example = field.placeholder.removeprefix("for example: ")
        return read_field(field.description, field.value, kind, low, high, example).m_as(unit)
