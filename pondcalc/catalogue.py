"""What may a person know about a pond and its system? One row for each quantity, and nothing of it stands elsewhere.

The record keeps the rows, forms and sliders ask them, the plan assumes those that nobody filled, and what matters most
is found by moving them. To add a number that the reader gives, add a row here and use it where it counts.
"""

import functools
from typing import Any, NamedTuple

from .spellings import INSIDE
from .units import KINDS, QuantityError, read_quantity, show

OURS = "our choice"


class Section(NamedTuple):
    """A part of the record: the workbook that finds it, and the sections that its numbers start from."""

    found_in: str
    rests_on: tuple = ()


# a later section never stands in an earlier one's list; offers are kept as sellers told them and judged anew each time
SECTIONS = {"site": Section("00"), "water": Section("01"), "oxygen": Section("02", ("site", "water")),
            "air": Section("03", ("site", "water", "oxygen")), "line": Section("04", ("site", "water", "air")),
            "layers": Section("05", ("water",)), "power": Section("06", ("site", "line")), "offers": Section("06"),
            "year": Section("07", ("site", "water", "oxygen", "air", "layers"))}


class Doubt(NamedTuple):
    """How far a number may lie off: "times" or "plus" its ends, "dark" hours, or the "range" it is kept as.

    `saved` are the ends once it was found out: empty for the same ones, None where it is then known.
    """

    how: str
    low: float = 0.0
    high: float = 0.0
    saved: Any = ()


class Row(NamedTuple):
    """One quantity, where the record keeps it, and all that is said of it; its quantities are text."""

    section: str
    name: str
    kind: str                   # a key of units.KINDS, or "text"
    label: str                  # beside a slider and on the plan
    form: str = "one"           # "one", a "range" of low, usual and high, a "list", or "asked" and not kept
    low: str | None = None      # outside these it is refused
    high: str | None = None
    usual: str | None = None    # taken where nothing is known
    because: str = ""           # why that one, or whose it is
    example: tuple = ()         # as a reader of US and of metric units may write it
    slider: tuple = ()          # ends, and step in the US unit: inside the limits, stretched to what the reader gave
    asks: str = ""              # name of its box in a form, where that says more than the label
    assumed: bool = False       # the plan takes the usual one for what nobody filled, and says so
    doubt: Doubt | None = None
    know_better: str = ""       # how to find it out

    @property
    def unit(self):
        """Unit inside the package."""
        return INSIDE[self.kind]

    @property
    def found_in(self):
        """Number of the workbook that finds it."""
        return SECTIONS[self.section].found_in

    @property
    def box(self):
        """Name of its box in a form."""
        return self.asks or self.label

    @property
    def words(self):
        """Its label within a sentence."""
        return self.label[0].lower() + self.label[1:]

    def example_in(self, system):
        """What a reader of "US" or "metric" units may write."""
        return self.example[(system != "US") % len(self.example)]

    def usual_in(self, system, digits=3):
        """What is taken where nothing is known, in words for a reader of "US" or "metric" units."""
        if self.kind == "text":
            return self.usual
        return show(read_quantity(self.usual or "", "dimensionless"), self.kind, system, digits)

    def limits(self):
        """Lowest and highest that can be, as quantities; those of its kind where it has none of its own, else None."""
        return _limits(self.low, self.high, self.kind)

    def holds(self, quantity):
        """Whether a quantity lies within the limits, give or take what six written digits round off."""
        found, unit = self.limits(), KINDS[self.kind][0]
        if found is None:
            return True
        low, value, high = (part.m_as(unit) for part in (found[0], quantity, found[1]))
        return low - ROUNDED * abs(low) <= value <= high + ROUNDED * abs(high)

    def check(self, quantity, given="", example=""):
        """The quantity, or :class:`OutOfRange`; `given` is what the reader wrote."""
        if not self.holds(quantity):
            raise OutOfRange(self, quantity, given, example)
        return quantity


class OutOfRange(QuantityError):
    """A quantity outside the limits of its row: what was given, what is allowed, what to do."""

    def __init__(self, of, quantity, given="", example=""):
        self.row, self.quantity = of, quantity
        example = example or " or ".join(of.example)
        super().__init__(do="Check the number and its unit" + (f"; for example {example}." if example else "."),
                         what=of.box, given=given or show(quantity, of.kind, both=True),
                         allowed=" to ".join(show(end, of.kind, both=True) for end in of.limits()))


@functools.cache
def _limits(low, high, kind):
    if low is None:
        low, high = POSSIBLE.get(kind, (None, None))
    return None if low is None else (read_quantity(low, "dimensionless"), read_quantity(high, "dimensionless"))


ROUNDED = 1e-5          # share of an end that writing six digits may move
# kind -> lowest and highest that can be of any pond, far apart; our choice
POSSIBLE = {"depth": ("0 ft", "1000 ft"), "distance": ("0 ft", "100 mile"), "elevation": ("-1500 ft", "20000 ft"),
            "bore": ("0.01 in", "48 in"), "area": ("0 acre", "100000 acre"), "volume": ("0 acre_foot", "1e7 acre_foot"),
            "pressure": ("0 psi", "10000 psi"), "air flow": ("0 cfm", "1e5 cfm"), "water flow": ("0 gpm", "1e9 gpm"),
            "temperature": ("-1 C", "45 C"), "stocking": ("0 lb/acre", "1e6 lb/acre"), "share": ("0 %", "100 %"),
            "wind": ("0 mph", "200 mph"), "price": ("0 $/kWh", "100 $/kWh"), "power": ("0 W", "1e8 W"),
            "current": ("0 A", "1e6 A"), "oxygen a day": ("0 lb/d", "1e7 lb/d"), "days": ("0 d", "1e6 d")}
ROWS = {(row.section, row.name): row for row in (
    # ---- 00
    Row("site", "elevation", "elevation", "Height above sea level", low="-400 m", high="4500 m", usual="800 ft",
        because="much of the country lies higher than the sea, where water holds less oxygen; our choice",
        example=("1150 ft or 350 m",), slider=("0 ft", "10000 ft", 50), assumed=True,
        know_better="a map with heights"),
    Row("site", "story", "text", "Story"),
    Row("site", "price", "price", "Price of electricity", low="0.005 $/kWh", high="2 $/kWh", usual="17.3 cents/kWh",
        because="US homes in 2025 (EIA, Electric Power Monthly, table 5.3; preliminary, second-hand)",
        example=("17.3 cents/kWh or $0.173/kWh",), slider=("0.02 $/kWh", "0.6 $/kWh", 0.001), assumed=True,
        doubt=Doubt("times", 0.75, 1.35, None), know_better="the last bill"),
    # ---- 01
    Row("water", "area", "area", "Area of the pond", "range",
        slider=("0.1 acre", "8 acre", 0.1)),
    Row("water", "surface", "area", "Area of the water", "asked", "0.01 acre", "500 acre",
        example=("1.2 acre", "0.5 ha")),
    Row("water", "side", "distance", "Length of the water", "asked", "10 ft", "3 mile", example=("300 ft", "90 m"),
        asks="or: length"),
    Row("water", "width", "distance", "Width of the water", "asked", "10 ft", "3 mile", example=("175 ft", "50 m"),
        asks="and width"),
    Row("water", "volume", "volume", "Water in the pond", "range", doubt=Doubt("range"),
        know_better="more tracks with the sounding line"),
    Row("water", "mean_depth", "depth", "Mean depth", "range", slider=("1 ft", "25 ft", 0.5)),
    Row("water", "deepest", "depth", "Deepest place", low="0.5 ft", high="200 ft", usual="14.1 ft",
        because="the story's pond", example=("11 ft", "3.4 m"), slider=("3 ft", "40 ft", 0.5)),
    Row("water", "level_depth", "depth", "Depths of the table of levels", "list"),
    Row("water", "level_area", "area", "Areas of the table of levels", "list"),
    Row("water", "level_volume", "volume", "Volumes of the table of levels", "list"),
    Row("water", "second_deepest", "depth", "Second deep place, behind a sill"),
    Row("water", "sill", "depth", "Depth of that sill"),
    Row("water", "behind_sill", "volume", "Water below that sill"),
    Row("water", "soundings_file", "text", "File of soundings"),
    Row("water", "shoreline_file", "text", "File of the shoreline"),
    Row("water", "found", "text", "How it was found"),
    # ---- 02
    Row("oxygen", "fish", "stocking", "Fish", low="0 lb/acre", high="8900 lb/acre", usual="250 lb/acre",
        because="a fished but unfed pond, " + OURS, example=("240 lb or 200 lb/acre", "110 kg or 220 kg/ha"),
        slider=("0 lb/acre", "3000 lb/acre", 10), asks="Fish, live weight: of the whole pond, or per acre",
        assumed=True, doubt=Doubt("times", 0.5, 2.0), know_better="a count of what you stocked, fed and took out"),
    Row("oxygen", "temperature", "temperature", "Warmest water", low="32 °F", high="95 °F", usual="82 °F", because=OURS,
        example=("82 °F", "28 °C"), slider=("32 °F", "95 °F", 0.5), assumed=True, doubt=Doubt("plus", -2.0, 2.0),
        know_better="a thermometer at noon in the hottest weeks"),
    Row("oxygen", "color", "text", "Color of the water", usual="green", because=OURS, assumed=True,
        know_better="Secchi depth, once a week at noon"),
    Row("oxygen", "mud", "text", "Mud", usual="ordinary", because=OURS, assumed=True,
        know_better="oxygen near the bottom before dawn, and the depth of soft mud with a pole"),
    Row("oxygen", "night", "time", "Hours without sun", low="1 h", high="24 h", usual="11 h",
        because="a warm night of late summer, " + OURS, example=("11 h",), slider=("6 h", "24 h", 0.5), assumed=True,
        doubt=Doubt("dark", 0.9, 24 * 3600.0),
        know_better="nothing: the weather decides, so watch the forecast"),
    Row("oxygen", "floor", "oxygen", "Oxygen to keep", low="0.1 mg/L", high="12 mg/L", usual="4 mg/L",
        because="1 mg/L over the line of stress of warm-water fish, because no pond is evenly mixed; the mean of daily "
                "lows of the U.S. EPA (1986) is as high (from memory), and it is not comfort: the guideline is 5.5 "
                "(CCME 1999)",
        example=("4 mg/L",), slider=("1 mg/L", "7 mg/L", 0.1), assumed=True,
        know_better="choose with your extension office"),
    Row("oxygen", "secchi_depth", "depth", "Secchi depth", low="2.4 in", high="50 ft", example=("2 ft", "0.6 m"),
        slider=("2.4 in", "12 ft", 0.1), asks="Secchi depth, if measured"),
    Row("oxygen", "weed_cover", "share", "Surface over weed beds", low="0 %", high="100 %", usual="0 %",
        example=("20 %",), slider=("0 %", "100 %", 1)),
    Row("oxygen", "feed_per_day", "oxygen a day", "Feed each day", low="0 lb/d", high="20000 lb/d", usual="0 lb/d",
        example=("5 lb", "2 kg"), know_better="what is left uneaten after ten minutes"),
    Row("oxygen", "wind_speed", "wind", "Wind by day", low="0 mph", high="60 mph", usual="2 m/s", because=OURS,
        example=("5 mph", "2 m/s"), slider=("0 mph", "60 mph", 1)),
    Row("oxygen", "night_wind_speed", "wind", "Wind at night", low="0 mph", high="60 mph", usual="0.5 m/s",
        because=OURS, asks="Wind in a still night", example=("1 mph", "0.5 m/s"), slider=("0 mph", "20 mph", 0.5)),
    Row("oxygen", "dusk", "oxygen", "Oxygen at dusk", low="0.1 mg/L", high="25 mg/L", example=("9 mg/L",),
        asks="Oxygen at dusk, if measured", know_better="a meter reading at dusk, at several depths"),
    Row("oxygen", "dusk_where", "text", "Where that oxygen was read"),
    Row("oxygen", "seen_short", "text", "Fish were seen gulping at dawn, or died, in the last years"),
    Row("oxygen", "read_temperature", "temperature", "Water temperature, if not in the readings", "asked", "32 °F",
        "104 °F", example=("80 °F", "27 °C")),
    Row("oxygen", "delivery", "oxygen rate", "Oxygen to deliver", "range",
        slider=("0.1 lb/h", "25 lb/h", 0.1)),
    Row("oxygen", "need", "oxygen rate", "Oxygen to size for", "range"),
    Row("oxygen", "dawn", "oxygen", "Oxygen at dawn", "range", slider=("0 mg/L", "12 mg/L", 0.1),
        know_better="a meter reading at dusk and one at dawn, on two hot days"),
    Row("oxygen", "chance", "share", "Imagined ponds that fall short"),
    # ---- 03
    Row("air", "diffusers", "number", "Diffusers sharing the air", low="0", high="10000", usual="2", because=OURS,
        slider=("1", "8", 1)),
    Row("air", "diffuser", "text", "Kind of diffuser"),
    Row("air", "submergence", "depth", "Depth of the diffusers", slider=("2 ft", "20 ft", 0.5)),
    Row("air", "flow_free_air", "air flow", "Free air, all together", "range", slider=("0.2 cfm", "8 cfm", 0.1)),
    Row("air", "lifted", "water flow", "Water the bubbles lift", "range"),
    Row("air", "turnover", "time", "Time to lift one pond volume", "range"),
    Row("air", "oxygen_by_bubbles", "oxygen rate", "Oxygen out of the bubbles", "range",
        slider=("0 lb/h", "1.5 lb/h", 0.05)),
    Row("air", "oxygen_by_surface", "oxygen rate", "Oxygen taken in at the top", "range"),
    Row("air", "tub_temperature", "temperature", "Water temperature", "asked", "32 F", "104 F",
        example=("73 °F", "23 °C")),
    Row("air", "tub_volume", "bucket", "Water in the tub", "asked", "0.1 gal", "5000 gal", example=("18 gal", "68 L")),
    Row("air", "tub_depth", "bore", "Depth of the stone", "asked", "1 in", "20 ft", example=("16 in", "40 cm")),
    Row("air", "tub_flow", "air flow", "Free air, if you measured it", "asked", "0.001 cfm", "50 cfm",
        example=("0.14 cfm", "4 L/min")),
    # ---- 04
    Row("line", "length", "distance", "Length of the line", usual="250 ft", because="the story's pond, " + OURS,
        slider=("10 ft", "1500 ft", 10), assumed=True, doubt=Doubt("times", 0.8, 1.3, (0.95, 1.1)),
        know_better="a tape along the path of the line"),
    Row("line", "inside_diameter", "bore", "Inside diameter of the line", usual="0.824 in",
        because="3/4 in pipe, " + OURS, slider=("0.25 in", "2 in", 0.01), assumed=True,
        doubt=Doubt("times", 0.8, 1.25, (0.95, 1.05)), know_better="calipers, as a nominal size is not the true bore"),
    Row("line", "size", "bore", "Size of the line", "asked", "0.1 in", "4 in", example=("1/2 in",),
        asks="Size of the line: its bore, or the size printed on it"),
    Row("line", "reach", "distance", "Line from the bank to the diffuser", "asked", "0 ft", "3 mile",
        example=("200 ft", "60 m")),
    Row("line", "to_bank", "distance", "Line from the machine to the bank", low="0 ft", high="3 mile",
        example=("100 ft", "30 m")),
    Row("line", "submergence", "depth", "Depth of the diffuser", low="1 ft", high="100 ft", example=("9 ft", "3 m"),
        slider=("2 ft", "45 ft", 0.5), doubt=Doubt("plus", -0.3048, 0.3048),
        know_better="a weighted line at the very place"),
    Row("line", "flow_free_air", "air flow", "Free air", low="0.05 cfm", high="200 cfm", usual="4 cfm",
        because="the story's pond", example=("1.6 cfm", "45 L/min"), slider=("0.2 cfm", "12 cfm", 0.1),
        asks="Or: free air you want"),
    Row("line", "open_flow", "air flow", "Flow of the compressor in open air", "asked", usual="4.5 cfm", because=OURS,
        slider=("0.5 cfm", "10 cfm", 0.1), doubt=Doubt("times", 0.8, 1.2, (0.9, 1.1)),
        know_better="the curve on its data sheet, or a bag and a stopwatch"),
    Row("line", "top_pressure", "pressure", "Highest pressure of a generic machine", "asked", usual="30 psi",
        because=OURS),
    Row("line", "droop", "share", "Share of the flow lost at that pressure", "asked", usual="40 %", because=OURS),
    Row("line", "highest", "pressure", "Highest pressure of the compressor", low="0 psi", high="200 psi",
        example=("12 psi", "80 kPa"), asks="Highest pressure of the compressor, if told"),
    Row("line", "wet_pressure", "wet pressure", "Wet pressure of the diffuser", low="0 inH2O", high="140 inH2O",
        usual="2750 Pa", because="a new membrane, from memory, not verified",
        example=("11 inH2O", "2.7 kPa"), asks="Wet pressure of the diffuser, if you know it"),
    Row("line", "pressure_gauge", "pressure", "Pressure at the gauge", "range"),
    Row("line", "pressure_rated", "pressure", "Rated pressure to ask for"),
    Row("line", "compressor", "text", "Compressor"),
    Row("line", "segment_length", "distance", "Lengths of the runs", "list"),
    Row("line", "segment_bore", "bore", "Bores of the runs", "list"),
    Row("line", "curve_pressure", "pressure", "Pressures of the compressor's curve", "list"),
    Row("line", "curve_flow", "air flow", "Flows of the compressor's curve", "list"),
    # ---- 06
    Row("power", "voltage", "voltage", "Volts at the outlet", "asked", "80 V", "300 V", "115 V",
        because="the story's machine", example=("118 V",), slider=("100 V", "250 V", 1), asks="Volts"),
    Row("power", "current", "current", "Amps while running", low="0.05 A", high="40 A", usual="4.4 A",
        because="the story's machine", example=("3.6 A",), slider=("0.2 A", "16 A", 0.1)),
    Row("power", "watts", "power", "Watts", "asked", "1 W", "5000 W", example=("240 W",),
        asks="Watts, if a meter shows them"),
    Row("power", "factor", "share", "Power factor", "asked", "20 %", "100 %", "60 %", because="the story's machine",
        example=("0.58",), slider=("20 %", "100 %", 1), asks="or power factor, if shown"),
    Row("power", "run_length", "distance", "Length of the run, one way", low="1 ft", high="1 mile", usual="250 ft",
        because="the story's pond", example=("180 ft", "55 m"), slider=("5 ft", "780 ft", 5),
        asks="Wire to it, one way"),
    Row("power", "hottest", "temperature", "Hottest afternoon, in the shade", "asked", "30 °F", "135 °F",
        example=("97 °F", "36 °C")),
    Row("power", "hours_a_day", "time", "Hours a day", "asked", "0.1 h", "24 h", "24 h", because="most run all day",
        example=("24 h",), slider=("1 h", "24 h", 0.5)),
    Row("year", "hours_planned", "time", "Hours planned a day", "asked", "0.1 h", "24 h", "24 h",
        because="most run all day", example=("24 h",), slider=("1 h", "24 h", 0.5)),
    Row("power", "years", "years", "Years counted", "asked", "1 yr", "30 yr", "10 yr", because=OURS, example=("10",),
        slider=("1 yr", "30 yr", 1)),
    Row("power", "power", "power", "Power of the compressor", "range", usual="250 W", because="the story's machine",
        slider=("40 W", "800 W", 10),
        know_better="a plug-in watt meter on the running machine"),
    Row("power", "cost", "money a year", "Cost of a year", "range"),
    Row("power", "wire_gauge", "number", "Copper wire (AWG)"),
    Row("power", "voltage_drop", "share", "Voltage lost on the wire"),
    Row("power", "fan_flow", "air flow", "Flow of the fan"),
    Row("power", "found", "text", "How it was found"),
    Row("offers", "name", "text", "Name", "list"),
    Row("offers", "price", "money", "Price in dollars, delivered", "list", "1 $", "50000 $", example=("450",)),
    Row("offers", "air", "text", "Air at pressure", "list"),
    Row("offers", "highest", "text", "Highest pressure, if told", "list"),
    Row("offers", "electricity", "text", "Electricity", "list"),
    Row("offers", "watts_are", "text", "Watts, if told, are", "list"),
    Row("offers", "upkeep", "money a year", "Parts and service, dollars a year", "list", "0 $/yr", "10000 $/yr",
        "60 $/yr", because=OURS, example=("60",)),
    # ---- 05
    Row("layers", "read_on", "text", "Day of the readings"),
    Row("layers", "kind", "text", "Kind of layers"),
    Row("layers", "surface_temperature", "temperature", "Temperature at the surface", slider=("32 F", "95 F", 0.5)),
    Row("layers", "bottom_temperature", "temperature", "Temperature at the bottom", slider=("32 F", "95 F", 0.5)),
    Row("layers", "warm_layer", "depth", "Depth of the upper layer", slider=("0 ft", "20 ft", 0.1)),
    Row("layers", "stagnant", "days", "Days without oxygen below", "asked", "0 d", "365 d", "60 d", because=OURS,
        slider=("1 d", "150 d", 1), asks="Days without oxygen below (a guess)"),
    Row("layers", "mixed_temperature", "temperature", "Temperature, mixed at once"),
    Row("layers", "mixed_oxygen", "oxygen", "Oxygen, mixed at once", "range"),
    Row("layers", "demand", "oxygen", "Oxygen stagnant water takes", "range", "0 mg/L", "60 mg/L",
        example=("5.1 mg/L",), slider=("0 mg/L", "8 mg/L", 0.1)),
    Row("layers", "nearness", "text", "How near an overturn is"),
    Row("layers", "harm", "text", "What it would do"),
    Row("layers", "reading_depth", "depth", "Depths of the readings", "list"),
    Row("layers", "reading_temperature", "temperature", "Temperatures of the readings", "list"),
    Row("layers", "reading_oxygen", "oxygen", "Oxygen of the readings", "list", "0 mg/L", "60 mg/L"),
    # ---- 07
    Row("year", "latitude", "number", "Latitude, degrees north", low="25", high="50", usual="38.5",
        because="the story's pond; the climate is drawn for these degrees", example=("38.5",),
        slider=("26", "49", 0.5)),
    Row("year", "secchi_depth", "depth", "A white disk is seen down to", "asked", "2.4 in", "50 ft", "3.3 ft",
        because=OURS, example=("3.3 ft", "1 m"), slider=("2.4 in", "12 ft", 0.1)),
    Row("year", "shelter", "share", "Open wind that reaches the pond", "asked", "5 %", "100 %", "60 %", because=OURS,
        example=("60 %",), slider=("10 %", "100 %", 1)),
    Row("year", "lifted", "water flow", "Water the diffuser lifts", "range", "1 gpm", "200000 gpm",
        example=("3000 gpm", "190 L/s"), slider=("50 gpm", "10000 gpm", 50)),
    Row("year", "floor", "oxygen", "Oxygen to keep", low="3 mg/L", high="12 mg/L",
        because="most warm-water fish are stressed below"),
    Row("year", "start_hours", "time", "Run times of the first days", "list", "0 h", "24 h"),
    Row("year", "start_rule", "text", "Rule of the first days"),
    Row("year", "start_ranges", "text", "What the first days rest on", "list"),
    Row("year", "stop_reading", "oxygen", "Reading at which to stop"),
    Row("year", "go_reading", "oxygen", "Readings at which to go on", "list"),
    Row("year", "days_to_mix", "days", "Days until it is mixed", "range"),
    Row("year", "air_from", "text", "Air from"),
    Row("year", "air_to", "text", "Air to"),
    Row("year", "winter", "text", "Winter"),
    Row("year", "calendar", "text", "Calendar", "list"),
    # what stood in the boxes of a form, one "name of box: text" each
    *(Row(section, "typed", "text", "As it was typed", "list") for section in SECTIONS if section != "site"))}


def rows(section):
    """Rows of a section that the record keeps, by name."""
    return {name: found for (where, name), found in ROWS.items() if where == section and found.form != "asked"}


def usual(section, name, unit=None):
    """What is taken where nothing is known: a plain number in the row's own unit or in `unit`, or text."""
    found = ROWS[section, name]
    return found.usual if found.kind == "text" else read_quantity(
        found.usual or "", "dimensionless").m_as(unit or found.unit or "dimensionless")


def ends(section, name, unit=None):
    """Lowest and highest that can be, as plain numbers in the row's own unit or in `unit`."""
    found = ROWS[section, name]
    return tuple(end.m_as(unit or found.unit or "dimensionless") for end in found.limits())


def held(pond, section, name, unit=None):
    """What a record holds as a plain number in the row's own unit or in `unit`, or as text; else the usual."""
    kept = pond.get(section, name)
    if kept is None:
        return usual(section, name, unit)
    return kept if isinstance(kept, str) else float(kept.m_as(unit or ROWS[section, name].unit or "dimensionless"))


def assumed():
    """Rows by name that a plan takes the usual for where nobody filled them."""
    return {found.name: found for found in ROWS.values() if found.assumed}
