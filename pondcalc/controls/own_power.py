"""The form of workbook 06 for the power of the reader's own machine, bought or not."""

import ipywidgets as W

from .. import findings
from ..power_and_housing import airdays, housing, wiring
from ..units import Q, QuantityError, read_quantity, show
from .boxes import price_box, read_all
from .ownform import OwnForm

WORKBOOK = "06-power-housing-and-cost"
MOTORS = {"not sure": housing.ANY_MOTOR, "has a run capacitor": housing.RUN_CAPACITOR,
          "plain, no run capacitor": housing.PLAIN_MOTOR}
BOUGHT = {"I have it, or know its plate": True, "I have not bought one yet": False}
OUTLET = "120 V"


class OwnPower(OwnForm):
    """Readings of the reader's own machine, or what one not bought yet may draw; what it means, and saving."""

    _known = {"current": ("current", "current"), "length": ("run_length", "distance"),
              "gauge": ("wire_gauge", "number")}
    _begun = {"price": "site"}

    def __init__(self, pond, system="US"):
        self._pond, self._system = pond, system
        super().__init__("power of my own compressor", {
            "bought": W.Dropdown(description="The machine", options=list(BOUGHT)),
            "voltage": self._box("power", "voltage", bare="volt"),
            "current": self._box("power", "current", bare="ampere"),
            "watts": self._box("power", "watts", optional=True, bare="watt"),
            "factor": self._box("power", "factor", optional=True, bare="dimensionless"),
            "motor": W.Dropdown(description="The motor, if neither is known", options=list(MOTORS)),
            "price": price_box(pond),
            "length": self._box("power", "run_length"),
            "gauge": W.Dropdown(description="Copper wire (AWG)", options=list(wiring.GAUGES), value=12),
            "hottest": self._box("power", "hottest")}, "power", WORKBOOK)
        self.bought.observe(self._ask_less, "value")
        self._ask_less(None)

    def _ask_less(self, _):
        """What only a machine shows is not asked for one that is not there."""
        unknown = not BOUGHT[self.bought.value]
        self.voltage.optional = self.current.optional = unknown
        for box in (self.current, self.watts, self.factor, self.motor):
            box.disabled = unknown

    def _found(self):
        names = ["voltage", *(["current", "watts", "factor"] if BOUGHT[self.bought.value] else []), "price", "length",
                 "hottest"]
        read = read_all(**{name: getattr(self, name) for name in names})
        elevation, note = self._pond.get("site", "elevation", Q("0 ft")), ""
        if "factor" in read:
            read["power_factor"] = read.pop("factor")
        if not BOUGHT[self.bought.value]:
            read, note = self._not_bought(read, elevation)
        values = findings.power(gauge=self.gauge.value, elevation=elevation, motor=MOTORS[self.motor.value], **read)
        return note + findings.say_power(values, self._system, read["hottest"]) + self._season(values), values, ""

    def _season(self, values):
        """What a month of running costs, and the months of air that workbook 07 saved; empty where none are saved."""
        days, year = airdays.air_days(self._pond), values["cost"].usual
        if days.running == airdays.ALL_YEAR:
            return ""
        share = days.running / airdays.ALL_YEAR
        return (f" A month of running costs {show(year * Q('1 yr') / 12, 'money', digits=2)}; run {days.words}, it is "
                f"{show(year * share, 'money a year', digits=2)}.")

    def _not_bought(self, read, elevation):
        """The amps and watts to plan for, from the air and pressure that workbook 04 found."""
        flow, pressure = self._pond.get("line", "flow_free_air"), self._pond.get("line", "pressure_gauge")
        if flow is None or pressure is None:
            raise QuantityError("watts before buying come from the air and the pressure of your line, which are not "
                                "saved yet. Do the form of workbook 04 and save, then run this workbook again.")
        voltage = read.get("voltage", read_quantity(OUTLET))
        likely, amps = findings.power_before_buying(flow, pressure.high, voltage, elevation)
        air, high = show(flow, "air flow", self._system), show(pressure.high, "pressure", self._system)
        return (read | {"voltage": voltage, "current": Q(amps, "A"), "likely": likely},
                f"Nothing bought yet, so this is reckoned for {air} of free air at {high}, as workbook 04 found, by a "
                "machine that puts 15 to 45 % of its electricity into the air (from memory, not verified), at "
                f"{show(voltage, 'voltage')}. Amps, wire and fan are for the high end. Ask each seller for watts and "
                "amps at your pressure.\n")
