"""How do people write a unit, in which unit is each kind of number shown, and how is what they wrote repeated?

Tables that :mod:`pondcalc.units` reads. What a reader wrote is repeated short, in quotes, and without signs that
cannot be shown. Where a message names an amount in both systems of units, one in brackets, the reader's comes first.
"""

import contextlib
import contextvars
import re

# unit as pint knows it here -> (label we print, other spellings we accept, in lower case)
SPELLINGS = {
    "foot": ("ft", "foot feet ' ’"),
    "inch": ("in", 'inch inches " ” in.'),
    "yard": ("yd", "yard yards"),
    "mile": ("mi", "mile miles"),
    "meter": ("m", "meter meters metre metres"),
    "centimeter": ("cm", "centimeter centimeters centimetre centimetres"),
    "millimeter": ("mm", "millimeter millimeters millimetre millimetres"),
    "kilometer": ("km", "kilometer kilometers kilometre kilometres"),
    "acre": ("acre", "acres ac"),
    "hectare": ("ha", "hectare hectares"),
    "foot ** 2": ("ft²", "ft2 ft^2 sf sqft sq_ft sq._ft square_feet square_foot"),
    "inch ** 2": ("in²", "in2 in^2 sq_in square_inches square_inch"),
    "meter ** 2": ("m²", "m2 m^2 sq_m square_meter square_meters square_metre square_metres"),
    "centimeter ** 2": ("cm²", "cm2 cm^2 sq_cm"),
    "acre_foot": ("acre-ft", "acre_foot acre_feet acre-foot acre-feet ac-ft ac_ft ac.ft acre_ft"),
    "foot ** 3": ("ft³", "ft3 ft^3 cf cuft cu_ft cubic_feet cubic_foot"),
    "meter ** 3": ("m³", "m3 m^3 cubic_meter cubic_meters cubic_metre cubic_metres"),
    "gallon": ("gal", "gallon gallons us_gal us_gallons"),
    "liter": ("L", "l liter liters litre litres"),
    "milliliter": ("mL", "ml milliliter milliliters"),
    "pound": ("lb", "lbs pound pounds"),
    "ounce": ("oz", "ounce ounces"),
    "kilogram": ("kg", "kilogram kilograms kilo kilos"),
    "gram": ("g", "gram grams"),
    "second": ("s", "sec second seconds"),
    "minute": ("min", "minute minutes"),
    "hour": ("h", "hr hrs hour hours"),
    "day": ("d", "day days"),
    "week": ("week", "weeks wk"),
    "year": ("yr", "year years y"),
    "degree_Fahrenheit": ("°F", "f degf deg_f degree_f degrees_f degrees_fahrenheit fahrenheit"),
    "degree_Celsius": ("°C", "c degc deg_c degree_c degrees_c degrees_celsius celsius centigrade"),
    "kelvin": ("K", "k kelvin"),
    "delta_degree_Fahrenheit": ("F°", "delta_f"),
    "delta_degree_Celsius": ("C°", "delta_c"),
    "psi": ("psi", "lb/in2 lb/in² lbf/in2 pound/inch**2"),
    "pascal": ("Pa", "pascal pascals"),
    "kilopascal": ("kPa", "kilopascal kilopascals"),
    "bar": ("bar", "bars"),
    "millibar": ("mbar", "millibar hpa"),
    "atmosphere": ("atm", "atmosphere atmospheres"),
    "inch_water": ("inH2O", "in_h2o in_w.g. in_wg in_w.c. in_wc inh2o inches_of_water inch_water"),
    "mmHg": ("mmHg", "mm_hg mmhg torr"),
    "inHg": ("inHg", "in_hg inhg in._hg inches_of_mercury"),
    "cfm": ("cfm", "scfm icfm acfm cubic_feet_per_minute ft3/min ft³/min foot**3/minute"),
    "foot ** 3 / hour": ("ft³/h", "cfh scfh"),
    "foot ** 3 / second": ("ft³/s", "cfs"),
    "liter / hour": ("L/h", "lph"),
    "liter / minute": ("L/min", "l/min lpm litres_per_minute"),
    "liter / second": ("L/s", "l/s l/sec"),
    "gpm": ("gpm", "gal/min gallons_per_minute gallon/minute"),
    "gallon / hour": ("gal/h", "gph"),
    "gallon / day": ("gal/d", "gpd"),
    "mgd": ("mgd", "million_gal/day million_gal/d million_gallons/day million_gallons/d"),
    "acre_foot / day": ("acre-ft/d", ""),
    "meter ** 3 / second": ("m³/s", "m3/s"),
    "meter ** 3 / minute": ("m³/min", ""),
    "meter ** 3 / hour": ("m³/h", "m3/h m3/hr cmh"),
    "meter ** 3 / day": ("m³/d", ""),
    "mile / hour": ("mph", "miles_per_hour mi/h"),
    "knot": ("knots", "knot kn kt kts"),
    "foot / second": ("ft/s", "fps ft/sec"),
    "foot / minute": ("ft/min", "fpm"),
    "meter / second": ("m/s", "mps"),
    "kilometer / hour": ("km/h", "kph"),
    "milligram / liter": ("mg/L", "mg/l ppm g/m3 g/m³ mg/liter mg/litre milligrams/liter milligrams/litre"),
    "gram / kilogram": ("g/kg", "ppt psu"),
    "gram / meter ** 2 / day": ("g/m²/d", "g/m2/d g/m2/day"),
    "pound / acre": ("lb/acre", "lbs/acre lb/ac"),
    "kilogram / hectare": ("kg/ha", ""),
    "pound / hour": ("lb/h", "lb/hr lbs/hour"),
    "kilogram / hour": ("kg/h", "kg/hr"),
    "gram / hour": ("g/h", "g/hr"),
    "pound / day": ("lb/d", "lb/day lbs/day"),
    "kilogram / day": ("kg/d", "kg/day"),
    "pound / foot": ("lb/ft", "lbs/ft"),
    "kilogram / meter": ("kg/m", ""),
    "pound / foot ** 3": ("lb/ft³", "lb/ft3"),
    "kilogram / meter ** 3": ("kg/m³", "kg/m3"),
    "watt / meter ** 2": ("W/m²", "w/m2"),
    "watt / meter ** 2 / kelvin": ("W/(m²·K)", "w/(m2·k) w/(m2k) w/m2/k w/m²/k w/m2k"),
    "joule / meter ** 2": ("J/m²", "j/m2"),
    "meter / day": ("m/d", "m/day"),
    "watt": ("W", "watt watts"),
    "kilowatt": ("kW", "kilowatt kilowatts"),
    "horsepower": ("hp", "horsepower"),
    "joule": ("J", "joules"),
    "kilojoule": ("kJ", "kilojoules"),
    "kilowatt_hour": ("kWh", "kilowatt_hour kilowatt_hours kw-h"),
    "volt": ("V", "volt volts"),
    "ampere": ("A", "amp amps ampere amperes"),
    "dollar": ("$", "usd dollar dollars"),
    "us_cent": ("¢", "cent cents"),
    "us_cent / kilowatt_hour": ("¢/kWh", "cents/kwh cent/kwh"),
    "dollar / kilowatt_hour": ("$/kWh", "usd/kwh dollars/kwh dollar/kwh"),
    "dollar / year": ("$/yr", "usd/yr usd/year dollars/year dollar/year $/year $/y"),
    "dollar / foot": ("$/ft", "usd/ft dollars/ft"),
    "dollar / meter": ("$/m", "usd/m dollars/m"),
    "degree": ("°", "deg degree degrees"),
    "percent": ("%", "percent pct"),
    "1 / second": ("1/s", "hz"),
    "1 / hour": ("1/h", "per_hour"),
    "dimensionless": ("", "dimensionless"),
}
UNIT_OF = {word.lower(): unit for unit, (label, words) in SPELLINGS.items()
            for word in [label.replace(" ", "_"), unit.replace(" ", ""), unit, *words.split()]}
NORMAL = ("counts the air at 0 °C in some places and at 15 or 20 °C in others, which differs by up to 7 %. Find on the "
          "data sheet which it is; with air at {warm}, write it in m3/h, L/min or cfm.")
# what people write that may mean two things -> why it is not taken
UNSURE = dict.fromkeys(("nm3/h", "nm³/h", "nm3/hr", "nm3/min", "nl/min", "nlpm", "sl/min", "slpm", "sm3/h"), NORMAL)
# a unit of pressure with a word or a letter that says from where it is counted: psia, bar(a), abs. kPa, psi gauge
PRESSURE_SENSE = re.compile(r"(?:(?P<before>abs|absolute|gauge|gage)[. _]+)?"
                            r"(?P<unit>psi|lb/in2|lb/in²|m?bar|[hkm]?pa|atm|in_?hg|mm_?hg|torr|in_?h2o)"
                            r"[ _,]*[(\[]?[ _]*(?P<after>abs\.?|absolute|a|gauge|gage|ga|g)?[ _]*[)\]]?", re.IGNORECASE)
# the same somewhere in a heading
ABSOLUTE = re.compile(r"(?<![a-z])(?:abs(?:olute)?(?![a-z])|(?:psi|m?bar|[hkm]?pa|in_?hg|mm_?hg)[ _]*[(\[]?a(?![a-z]))",
                      re.IGNORECASE)

# units of flow in which nobody tells air, as units names them
WATER_FLOWS = ("gpm", "gallon / hour", "gallon / day", "mgd", "foot ** 3 / second")

# what a number is about -> (US unit, metric unit) it is shown in
KINDS = {
    "depth": ("foot", "meter"), "distance": ("foot", "meter"), "elevation": ("foot", "meter"),
    "bore": ("inch", "millimeter"), "bubble": ("millimeter", "millimeter"),
    "area": ("acre", "hectare"), "small area": ("foot ** 2", "meter ** 2"),
    "volume": ("acre_foot", "meter ** 3"), "bucket": ("gallon", "liter"),
    "pressure": ("psi", "kilopascal"), "wet pressure": ("inch_water", "kilopascal"),
    "air flow": ("cfm", "liter / minute"), "water flow": ("gpm", "liter / second"),
    "temperature": ("degree_Fahrenheit", "degree_Celsius"),
    "temperature rise": ("delta_degree_Fahrenheit", "delta_degree_Celsius"),
    "oxygen": ("milligram / liter", "milligram / liter"),
    "oxygen rate": ("pound / hour", "kilogram / hour"),
    "oxygen a day": ("pound / day", "kilogram / day"),
    "mass": ("pound", "kilogram"), "stocking": ("pound / acre", "kilogram / hectare"),
    "wind": ("mile / hour", "meter / second"), "speed": ("foot / second", "meter / second"),
    "vent": ("inch ** 2", "centimeter ** 2"), "voltage": ("volt", "volt"), "current": ("ampere", "ampere"),
    "power": ("watt", "watt"), "energy": ("kilowatt_hour", "kilowatt_hour"),
    "price": ("dollar / kilowatt_hour", "dollar / kilowatt_hour"),
    "pipe price": ("dollar / foot", "dollar / meter"), "lift": ("pound / foot", "kilogram / meter"),
    "money": ("dollar", "dollar"), "money a year": ("dollar / year", "dollar / year"),
    "density": ("pound / foot ** 3", "kilogram / meter ** 3"),
    "seconds": ("second", "second"), "run": ("minute", "minute"), "time": ("hour", "hour"),
    "days": ("day", "day"), "years": ("year", "year"),
    "latitude": ("degree", "degree"), "share": ("percent", "percent"), "number": ("dimensionless", "dimensionless"),
}
# kind -> unit that a number of it has inside the package
INSIDE = {
    **dict.fromkeys(("depth", "distance", "elevation", "bore", "bubble"), "m"),
    **dict.fromkeys(("area", "small area", "vent"), "m^2"), **dict.fromkeys(("volume", "bucket"), "m^3"),
    **dict.fromkeys(("pressure", "wet pressure"), "Pa"), **dict.fromkeys(("air flow", "water flow"), "m^3/s"),
    "temperature": "degC", "temperature rise": "delta_degC", "oxygen": "mg/L",
    **dict.fromkeys(("oxygen rate", "oxygen a day"), "kg/s"), "mass": "kg", "stocking": "kg/m^2",
    **dict.fromkeys(("wind", "speed"), "m/s"), "voltage": "V", "current": "A", "power": "W", "energy": "J",
    "price": "dollar/kilowatt_hour", "pipe price": "dollar/m", "lift": "kg/m", "money": "dollar",
    "money a year": "dollar/year", "density": "kg/m^3",
    **dict.fromkeys(("seconds", "run", "time", "days", "years"), "s"), "latitude": "degree", "share": "", "number": "",
}


MOST = 60       # signs of a reader's own text that a message repeats; enough to find the place again

MOST_NAMED = 40     # rows that one sentence names; more go into the next
MOST_REASONS = 6    # reasons of rows left out that are named one by one

_READER = contextvars.ContextVar("the units that the reader sees first", default="US")
_SETTINGS = contextvars.ContextVar("what the form that is open calls a setting", default={})        # noqa: B039


@contextlib.contextmanager
def _during(variable, value):
    before = variable.set(value)
    try:
        yield value
    finally:
        variable.reset(before)


class Reading(str):
    """The units of a reader, and whether an amount was written for them so far."""

    named = False


def reading(system):
    """While this lasts, amounts that stand in both systems are written for a reader of `system`; a :class:`Reading`."""
    return _during(_READER, Reading(system))


def calling(settings):
    """While this lasts, settings are called what this dict says, and not by the argument of a function."""
    return _during(_SETTINGS, settings)


def setting(name, otherwise):
    """What a setting is called in the form that is open; else `otherwise`, for who writes code."""
    return _SETTINGS.get().get(name, otherwise)


def reader():
    """The units that the reader sees first, "US" or "metric"."""
    found = _READER.get()
    if isinstance(found, Reading):
        found.named = True
    return found


def either(us, metric):
    """An amount in both systems, the reader's first: ``6 psi (41 kPa)`` or ``41 kPa (6 psi)``.

    >>> either("6 psi", "41 kPa")
    '6 psi (41 kPa)'
    >>> with reading("metric"):
    ...     either("6 psi", "41 kPa")
    '41 kPa (6 psi)'
    """
    return f"{us} ({metric})" if reader() == "US" else f"{metric} ({us})"


def shortened(text, most=MOST):
    """Text on one line, cut after `most` signs; signs that cannot be shown become a replacement sign."""
    shown = "".join(sign if sign.isprintable() else "�" for sign in " ".join(str(text).split()))
    return shown if len(shown) <= most else f"{shown[:most].rstrip()}…"


def quoted(text, most=MOST):
    """What somebody wrote, as :func:`shortened`, in quotes."""
    shown = shortened(text, most)
    return f'"{shown}"' if "'" in shown else f"'{shown}'"


def listed(word, numbers):
    """Rows or lines by number, neighbors drawn together: ``Rows 3, 7 to 9``.

    >>> listed("Row", [3, 7, 8, 9]), listed("Line", [4])
    ('Rows 3, 7 to 9', 'Line 4')
    """
    spans = []
    for number in numbers:
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    shown = ", ".join(f"{first}" if first == last else f"{first} to {last}" for first, last in spans)
    return f"{word}{'s' * (len(numbers) > 1)} {shown}"


def say_left_out(rows):
    """Why rows were left out: each reason in a sentence with its rows, those past the first few by kind of reason."""
    said = []
    reasons = list(dict.fromkeys(row.reason for row in sorted(rows)))
    for reason in reasons[:MOST_REASONS]:
        said += _sentences([row.row for row in sorted(rows) if row.reason == reason], reason)
    rest = [row for row in sorted(rows) if row.reason not in reasons[:MOST_REASONS]]
    for cause in dict.fromkeys(row.cause or row.reason for row in rest):
        said += _sentences([row.row for row in rest if (row.cause or row.reason) == cause], cause)
    if len(rows) > MOST_REASONS:
        said.append("When so many rows fail, look for one common cause.")
    return said


def _sentences(numbers, reason):
    return [f"{listed('Row', numbers[at:at + MOST_NAMED])} {'were' if len(numbers) > 1 else 'was'} left out: {reason}."
            for at in range(0, len(numbers), MOST_NAMED)]
