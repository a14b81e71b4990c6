"""Forms of workbook 02: describe your own pond, and bring your own oxygen readings."""

from types import SimpleNamespace

import ipywidgets as W

from .. import air, findings
from ..catalogue import ROWS
from ..figures import how_much_oxygen as draw
from ..how_much_oxygen import nightfit, nightline, oxygencase, oxygenlog
from ..moments import read_moment
from ..refusals import plainly
from ..the_year import yearreport
from ..units import QuantityError, read_quantity, show, show_range
from ..wording import quoted
from . import how_much_oxygen as explore
from .boxes import FileOrText, plain, read_all
from .explorer import FIT
from .ownform import OwnForm

WORKBOOK = "02-how-much-oxygen"
RUNS = 1000
SEEN = ("Fish gulping at dawn, or dead, count more than this budget: the pond has been short of oxygen at least once, "
        "whatever the numbers above say. Plan as for a pond that runs short, and keep an emergency aerator ready.")

# of Described, in the order of the form
FIELDS = ("fish", "temperature", "secchi_depth", "weed_cover", "feed_per_day", "wind_speed", "night_wind_speed", "dusk",
          "night", "floor")
NEEDED = ("fish", "temperature")
LINES = ("7:00 PM, 10.2 mg/L, 80 °F\n10:00 PM, 8.7 mg/L, 79 °F", "19:00, 10.2 mg/L, 27 °C\n22:00, 8.7 mg/L, 26 °C")
WHERE = {"I do not know": oxygencase.NOT_KNOWN, "Near the top": oxygencase.NEAR_TOP,
         "Mean of several depths": oxygencase.SEVERAL}
MUCH_MORE = 1.0     # mg/L over the mean of the readings of workbook 05 from which a mean at dusk is doubted; our choice
NO_PLACE = ("Your record does not say where the oxygen at dusk was read, so it counts as read near the top. Choose "
            "where it was, work it out and save again.")


class OwnOxygen(OwnForm):
    """Describe a pond in a landowner's words, see chance and delivery, and save them to the pond record."""

    def __init__(self, pond, system="US"):
        self._system, self._pond = system, explore.with_water(pond)
        self._area = pond.get("water", "area").usual if pond.has("water") else None
        start = oxygencase.described_from(pond)
        change = {"fish": self._by_area, "feed_per_day": _by_day}
        self.fields = {name: self._box("oxygen", name, self._text(start, name), optional=name not in NEEDED,
                                       bare="hour" if name == "night" else None, convert=change.get(name))
                       for name in FIELDS}
        if system != "US":
            self.fields["fish"].description = ROWS["oxygen", "fish"].box.replace("acre", "hectare")
        words = (f"The water is that of {self._pond.name}." if pond.has("water") else
                 f"No volume is saved for your pond yet, so this uses the water of {self._pond.name}. Do workbook 01 "
                 "first.")
        if not oxygencase.rests_on_a_place(pond):
            words = f"{words}\n{NO_PLACE}"
        boxes = {"color": W.Dropdown(description="Color of the water", options=explore.COLORS, value=start.color),
                 "mud": W.Dropdown(description="Mud", options=explore.MUDS, value=start.mud)}
        for name, box in self.fields.items():
            boxes[name] = box
            if name == "dusk":
                boxes["where"] = W.Dropdown(description="Where that oxygen was read", options=WHERE,
                                            value=oxygencase.NOT_KNOWN if start.dusk is None else start.dusk_where)
        boxes |= self._offer(pond) | {"seen": W.Checkbox(
            description="Fish were seen gulping at dawn, or died, in the last years", indent=False,
            value=pond.get("oxygen", "seen_short") == "yes", layout={"width": "auto"})}
        super().__init__("the oxygen of my pond", boxes, "oxygen", WORKBOOK, words=words)

    def _offer(self, pond):
        """A button that takes the mean of the readings of workbook 05, by its name; empty where there are none."""
        mean = None if pond.invented else findings.mean_oxygen(pond)
        self._mean = None if mean is None else f"{yearreport.rounded_down(mean)} mg/L"
        if mean is None:
            return {}
        button = W.Button(description=f"Use {self._mean}, the mean of workbook 05", layout=FIT)
        button.on_click(lambda _: self._take())
        return {"offer": button}

    def _take(self):
        self.fields["dusk"].value, self.where.value = self._mean, oxygencase.SEVERAL

    def _by_area(self, value):
        """Pounds of the whole pond as pounds an acre."""
        if not value.check("[mass]"):
            return value
        if self._area is None:
            raise QuantityError("that is for the whole pond, whose area is not known yet. Do workbook 01 first, or "
                                "write it per acre.")
        return value / self._area

    def _text(self, start, name):
        if getattr(start, name) is None:
            return ""
        kind = ROWS["oxygen", name].kind
        digits = 2 if kind == "wind" else 3 if self._pond.get("oxygen", name) is None else 4
        return plain(start.quantity(name), kind, self._system, digits)

    def _kept(self):
        """As in every form, but nothing of the demonstration pond."""
        if self._pond.invented:
            raise ValueError("this is the water of the demonstration pond. Start your own pond in workbook 00 and find "
                             "its volume in workbook 01; then its oxygen can be saved.")
        return self.values

    def described(self):
        """What the form says, or ValueError with advice."""
        return oxygencase.Described(color=self.color.value, mud=self.mud.value, dusk_where=self.where.value,
                                    **read_all(**self.fields))

    def _about_dusk(self, shape, wanted):
        """Sentences on where the oxygen at dusk was read, and what the readings of workbook 05 say about it."""
        words = [said for said in [findings.say_dusk(shape, wanted, self._system)] if said]
        if self._mean is None:
            return words
        mean = f"Your readings of workbook 05 have a mean of {self._mean} by volume"
        if wanted.whole is None:
            words.append(f"{mean}. If they were read toward evening, the button above takes that for the whole pond.")
        elif wanted.whole > read_quantity(self._mean).m_as("mg/L") + MUCH_MORE:
            words.append(f"Note: {mean[0].lower()}{mean[1:]}, much less than the {wanted.whole:.3g} mg/L written here. "
                         "Was that read near the top? Then choose so.")
        return words

    def _found(self):
        wanted = self.described()
        shape = oxygencase.shape_of(self._pond)
        chance, need, values = findings.oxygen(shape, wanted, RUNS)
        can_be = [name for name in chance.weight if not findings.DOUBT_WORDS[name][1].startswith("nothing")]
        said = [findings.say_oxygen(values, self._system), *self._about_dusk(shape, wanted),
                findings.say_delivery(need, self._system),
                *(f"Measure next, for {findings.DOUBT_WORDS[name][0]}: {findings.DOUBT_WORDS[name][1]}."
                  for name in can_be[:2])]
        if self._area is not None:
            fish = values["fish"]
            said.append(f"Reckoned with {show(fish * self._area, 'mass', self._system)} of fish, which is "
                        f"{show(fish, 'stocking', self._system)}.")
        secchi, deepest = self.fields["secchi_depth"].read(), self._pond.get("water", "deepest")
        if secchi is not None and deepest is not None and secchi > deepest:
            said.append(f"Note: a Secchi depth of {show(secchi, 'depth', digits=2, both=True)} is deeper than the pond,"
                        f" {show(deepest, 'depth', digits=3, both=True)} at its deepest. If the disk was seen on the "
                        "bottom, that is clear water; else check the number and its unit.")
        if self.seen.value:
            said.append(SEEN)
            values["seen_short"] = "yes"
        words = {findings.DOUBT_WORDS[name][0]: value for name, value in chance.weight.items()}
        result = SimpleNamespace(lows=chance.lows, level=wanted.floor, chance=chance.chance, weight=words)
        shown = f"Lowest oxygen of {RUNS} ponds that fit your description. {said[0]}"
        return said, values, self._drawn("own-chance", shown, draw.chance, result, self._system)


def _by_day(value):
    """A weight of feed as the weight of one day."""
    return value / read_quantity("1 day") if value.check("[mass]") else value


class OwnReadings(OwnForm):
    """Type a few night readings or choose a log file; see what they say and what to measure next."""

    def __init__(self, pond, system="US"):
        self._system, self._pond = system, explore.with_water(pond)
        metric = system != "US"
        super().__init__("my own oxygen readings", {
            "given": FileOrText("Log file (CSV)", "or readings, one a line: time, oxygen, temperature", LINES[metric],
                              "choose a log file, or type two readings or more, one a line, such as "
                              f"“{LINES[metric].splitlines()[0]}”."),
            "temperature": self._box("oxygen", "read_temperature", optional=True),
            "dawn": W.Text(description="Dawn, where you are", value="6:00 AM")}, go="Read them", trouble="Not read",
            words=f"Read at one place and one depth. {nightline.ONE_DEPTH}")

    def _log(self, warm, height):
        given = self.given.read()
        if isinstance(given, bytes):
            return oxygenlog.read_log(given, None, None if warm is None else warm.m_as("degC"),
                                      float(air.pressure_by_elevation.si(height)))
        return oxygenlog.hand_log(given)

    def _found(self):
        warm, shape = read_all(warm=self.temperature).get("warm"), oxygencase.shape_of(self._pond)
        log = self._log(warm, shape.elevation)
        if warm is None and not (log.temperature == log.temperature).any():
            raise ValueError("the readings carry no temperature. Write it in the box “Water temperature, "
                             f"if not in the readings”, such as {self.temperature.example}.")
        dawn = _clock(self.dawn.value)
        fit = nightfit.fit_nights.si(log, shape.elevation, None if warm is None else warm.m_as("degC"),
                                     dusk=_dusk(log), dawn=min(dawn, 12.0))
        words = [findings.say_nights(log, fit), *_forecast(log, fit, dawn, self._system)]
        return words, None, self._drawn("own-nights", findings.say_fit(log, fit), draw.nights, log, fit, self._system)


def _clock(text):
    """Hour of the day from text such as ``6:00 AM``."""
    moment = read_moment(text)
    if moment is None or moment.year != 1:
        raise ValueError(f"“Dawn, where you are” cannot be {quoted(text)}; write it as 6:00 AM or 6:00.")
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
        return [f"No forecast for dawn: {plainly(problem)}"]
    low, high = min(ends.straight.low, ends.curve.low), max(ends.straight.high, ends.curve.high)
    usual = [show(f"{float(way.usual)} mg/L", "oxygen", system, digits=2) for way in (ends.straight, ends.curve)]
    spread = show_range(f"{float(low)} mg/L", f"{float(high)} mg/L", "oxygen", system)
    return [f"Carried on to dawn, {ahead:.1f} hours after the last reading: {usual[0]} by the straight line, "
            f"{usual[1]} by the curve, {spread} with the slips of a meter. {nightline.ONE_DEPTH}"]
