"""Forms of workbook 02: describe your own pond, and bring your own oxygen readings."""

import html
import warnings

import ipywidgets as W

from .. import findings
from ..figures import how_much_oxygen as draw
from ..figures import style
from ..how_much_oxygen import nightfit, nightline, oxygencase, oxygenlog
from ..units import read_quantity, show, show_range, to_display
from . import how_much_oxygen as explore
from .explorer import FIT
from .pond import SaveButton, said

WORKBOOK = "02-how-much-oxygen"
RUNS = 1000
_LINES = ('<div role="status" aria-live="polite" style="max-width:700px;line-height:1.4;white-space:pre-line">{}</div>')

# field of Described, words, unit for a bare number in each system, example
FIELDS = (("fish", "Fish, live weight", ("lb/acre", "kg/ha"), "stocking"),
          ("temperature", "Warmest water", ("°F", "°C"), "temperature"),
          ("secchi_depth", "Secchi depth, if measured", ("ft", "m"), "depth"),
          ("weed_cover", "Surface over weed beds", ("%", "%"), "share"),
          ("feed_per_day", "Feed each day", ("lb/d", "kg/d"), "oxygen a day"),
          ("wind_speed", "Wind by day", ("mph", "m/s"), "wind"),
          ("night_wind_speed", "Wind in a still night", ("mph", "m/s"), "wind"),
          ("dusk", "Oxygen at dusk, if measured", ("mg/L", "mg/L"), "oxygen"),
          ("night", "Hours without sun", ("h", "h"), "time"),
          ("floor", "Oxygen to keep", ("mg/L", "mg/L"), "oxygen"))


def _lines(words):
    return _LINES.format(html.escape("\n".join(words)))


class OwnOxygen(W.VBox):
    """Describe a pond in a landowner's words, see chance and delivery, and save them to the pond record."""

    def __init__(self, pond, system="US"):
        self._system, self._pond, self.values = system, explore.with_water(pond), None
        start, own = oxygencase.described_from(pond), pond.has("water")
        wide = {"style": {"description_width": "200px"}, "layout": {"width": "470px"}}
        self.color = W.Dropdown(description="Color of the water", options=explore.COLORS, value=start.color, **wide)
        self.mud = W.Dropdown(description="Mud", options=explore.MUDS, value=start.mud, **wide)
        self.fields = {name: W.Text(description=words, value=self._text(start, name, units, kind),
                                    placeholder=f"a number in {units[system != 'US']}", **wide)
                       for name, words, units, kind in FIELDS}
        go = W.Button(description="Work it out", icon="play", layout=FIT)
        go.on_click(lambda _: self.work())
        water = (f"The water is that of {self._pond.name}." if own else
                 f"No volume is saved for your pond yet, so this uses the water of {self._pond.name}. Do workbook 01 "
                 "first.")
        self.message, self.picture = W.HTML(said(water)), W.HTML()
        self.saver = SaveButton("oxygen", self._wanted, WORKBOOK)
        super().__init__([self.color, self.mud, *self.fields.values(), go, self.message, self.picture, self.saver],
                         layout={"max_width": "760px"})

    def __repr__(self):
        return "Form: the oxygen of my pond"

    def _text(self, start, name, units, kind):
        held = getattr(start, name)
        if held is None:
            return ""
        shown = float(to_display(held, kind, oxygencase.Described.units[name] or "dimensionless", self._system))
        return f"{shown:.{2 if kind == 'wind' else 4}g} {units[self._system != 'US']}"

    def _wanted(self):
        if self.values is None:
            raise ValueError("there is nothing to save yet. Press “Work it out” first.")
        if self._pond.invented:
            raise ValueError("this is the water of the demonstration pond. Start your own pond in workbook 00 and find "
                             "its volume in workbook 01; then its oxygen can be saved.")
        return self.values

    def described(self):
        """What the form says, or ValueError with advice."""
        given = {"color": self.color.value, "mud": self.mud.value}
        for name, words, units, _ in FIELDS:
            text = self.fields[name].value.strip()
            try:
                if text:
                    given[name] = read_quantity(text, _pint(units[self._system != "US"]))
                    if name == "feed_per_day" and given[name].check("[mass]"):
                        given[name] = given[name] / read_quantity("1 day")
                elif name in ("fish", "temperature"):
                    raise ValueError(f"write a number, such as {'250 lb/acre' if name == 'fish' else '82 °F'}.")
            except ValueError as problem:
                raise ValueError(f"{words}: {problem}") from None
        return oxygencase.Described(**given)

    def work(self):
        """Compute the chance and the delivery, and show them."""
        self.values, self.picture.value = None, ""
        try:
            wanted = self.described()
            shape = oxygencase.shape_of(self._pond)
            with warnings.catch_warnings(record=True) as caught:
                warnings.simplefilter("always")
                chance, need, values = findings.oxygen(shape, wanted, RUNS)
        except ValueError as problem:
            self.message.value = said(f"Not worked out: {str(problem).removeprefix('Described: ')}")
            return
        self.values = values
        first, second = list(chance.weight)[:2]
        self.message.value = _lines([
            findings.say_oxygen(values, self._system), findings.say_delivery(need, self._system),
            *(f"Measure next, for {findings.DOUBT_WORDS[name][0]}: {findings.DOUBT_WORDS[name][1]}."
              for name in (first, second)),
            *dict.fromkeys(f"Note: {w.message}" for w in caught)])
        words = {findings.DOUBT_WORDS[name][0]: value for name, value in chance.weight.items()}
        result = explore.SimpleNamespace(lows=chance.lows, level=wanted.floor, chance=chance.chance, weight=words)
        svg = style.render(draw.chance, result, self._system)
        self.picture.value = style.inline(svg, f"Lowest oxygen of {RUNS} ponds that fit your description. "
                                          f"{findings.say_oxygen(values, self._system)}", "own-chance")


def _pint(unit):
    """The accepted spelling of a unit as pint names it."""
    return read_quantity(f"1 {unit}").units


class OwnReadings(W.VBox):
    """Type a few night readings or choose a log file; see what they say and what to measure next."""

    def __init__(self, pond, system="US"):
        self._system, self._pond = system, explore.with_water(pond)
        self.file = W.FileUpload(description="Log file (CSV)", accept=".csv,.txt", layout={"width": "230px"})
        self.typed = W.Textarea(description="or readings", rows=5, layout={"width": "470px"},
                                placeholder="one a line: time, oxygen, temperature\n7:00 PM, 10.2 mg/L, 80 °F\n"
                                            "10:00 PM, 8.7 mg/L, 79 °F")
        self.temperature = W.Text(description="Water temperature, if not in the readings", placeholder="80 °F",
                                  style={"description_width": "270px"}, layout={"width": "470px"})
        self.dawn = W.Text(description="Dawn, where you are", value="6:00 AM", style={"description_width": "270px"},
                           layout={"width": "470px"})
        go = W.Button(description="Read them", icon="play", layout=FIT)
        go.on_click(lambda _: self.work())
        self.message, self.picture = W.HTML(), W.HTML()
        super().__init__([self.file, self.typed, self.temperature, self.dawn, go, self.message, self.picture],
                         layout={"max_width": "760px"})

    def __repr__(self):
        return "Form: my own oxygen readings"

    def _log(self):
        if self.file.value:
            return oxygenlog.read_log(bytes(self.file.value[0]["content"]))
        rows = [[cell.strip() for cell in line.split(",")] for line in self.typed.value.splitlines() if line.strip()]
        if not rows:
            raise ValueError("choose a log file, or type two readings or more, one a line, such as "
                             "“7:00 PM, 10.2 mg/L, 80 °F”.")
        return oxygenlog.hand_log([[time, _with_unit(oxygen), *rest] for time, oxygen, *rest in
                                   (row if len(row) > 1 else [*row, ""] for row in rows)])

    def work(self):
        """Read, fit, project to dawn, and say it."""
        self.picture.value = ""
        try:
            log = self._log()
            warm = read_quantity(self.temperature.value) if self.temperature.value.strip() else None
            if warm is None and not (log.temperature == log.temperature).any():
                raise ValueError("the readings carry no temperature. Write that of the water in the line above, such "
                                 "as “80 °F”.")
            shape = oxygencase.shape_of(self._pond)
            dawn = _clock(self.dawn.value)
            fit = nightfit.fit_nights.si(log, shape.elevation, None if warm is None else warm.m_as("degC"),
                                         dusk=_dusk(log), dawn=min(dawn, 12.0))
        except ValueError as problem:
            self.message.value = said(f"Not read: {problem}")
            return
        self.message.value = _lines([findings.say_nights(log, fit), *_forecast(log, fit, dawn, self._system)])
        self.picture.value = style.inline(style.render(draw.nights, log, fit, self._system), findings.say_fit(log, fit),
                                          "own-nights")


def _with_unit(text):
    return f"{text} mg/L" if text.replace(".", "", 1).isdigit() else text


def _clock(text):
    """Hour of the day from text such as ``6:00 AM``."""
    moment = oxygenlog._moment(text)
    if moment is None or moment.year != 1:
        raise ValueError(f"the hour of dawn is {text!r}; write it as '6:00 AM' or '6:00'.")
    return moment.hour + moment.minute / 60


def _dusk(log):
    """Readings typed by hand begin when their writer calls it dusk; a long log keeps to full darkness."""
    first = float(log.clock[0])
    return first if len(log.hours) <= 12 and 16.0 <= first < 24.0 else 20.0


def _forecast(log, fit, dawn, system):
    """For the last night, if it ends before dawn: both ways of carrying two readings on."""
    rows = fit.nights[-1]
    first, last = rows[0], rows[-1]
    ahead = (dawn - log.clock[last]) % 24
    if last != len(log.hours) - 1 or not 0.5 < ahead < 14:
        return []
    try:
        ends = nightline.night_line.si(log.dissolved_oxygen[first], log.dissolved_oxygen[last],
                                       3600 * (log.hours[last] - log.hours[first]), 3600 * ahead)
    except ValueError as problem:
        return [f"No forecast for dawn: {problem}"]
    low, high = min(ends.straight.low, ends.curve.low), max(ends.straight.high, ends.curve.high)
    usual = [show(f"{float(way.usual)} mg/L", "oxygen", system, digits=2) for way in (ends.straight, ends.curve)]
    spread = show_range(f"{float(low)} mg/L", f"{float(high)} mg/L", "oxygen", system)
    return [f"Carried on to dawn, {ahead:.1f} hours after the last reading: {usual[0]} by the straight line, "
            f"{usual[1]} by the curve, {spread} with the slips of a meter."]
