"""The form of workbook 06 that sets the offers a reader got against the saved line, and then beside each other."""

import warnings

import ipywidgets as W

from ..back_pressure import lineplan, reach, sellerwords
from ..power_and_housing import airdays, plate, quotes
from ..refusals import plainly
from ..units import Q, QuantityError, read_quantity, show
from ..wording import shortened
from .boxes import Box, price_box, read_all
from .ownform import OwnForm

WORKBOOK = "06-power-housing-and-cost"
WATTS_ARE = {quotes.AT_MY_PRESSURE: True, "rated, or on the plate": False}


class _Reader:
    """A box that is read by a function of its text; a refusal begins with its name."""

    def __init__(self, box, read, empty):
        self._box, self._read, self._empty = box, read, empty

    def read(self):
        """What the function makes of the text."""
        if not self._box.value.strip():
            return self._empty() if callable(self._empty) else self._empty
        try:
            return self._read(self._box.value)
        except ValueError as problem:
            raise QuantityError(plainly(problem), what=self._box.description) from None


class _Offer:
    """The boxes of one offer."""

    def __init__(self, letter, system):
        metric = system != "US"
        self.letter = letter
        text = f"Offer {letter}: {{}}".format
        self.boxes = {
            "name": W.Text(description=text("name"), placeholder="for example: farm store"),
            "price": Box.of("offers", "price", system, label=text("price in dollars, delivered"), bare="dollar"),
            "air": W.Textarea(rows=2, description=text("air at pressure, as many points as you were told"),
                              placeholder="110 L/min at 35 kPa, 60 L/min at 70 kPa" if metric else
                              "3.9 cfm at 5 psi, 2.1 cfm at 10 psi"),
            "highest": Box.of("line", "highest", system, label=text("highest pressure, if told"), optional=True),
            "watts": W.Text(description=text("electricity, as watts, or amps and volts, or horsepower"),
                            placeholder=f"for example: {plate.EXAMPLE}"),
            "sure": W.Dropdown(description=text("watts, if told, are"), options=list(WATTS_ARE)),
            "upkeep": Box.of("offers", "upkeep", system, "60", text("parts and service, dollars a year"),
                             bare="dollar / year", convert=_by_year)}
        vars(self).update(self.boxes)

    @property
    def empty(self):
        return not any(box.value.strip() for box in (self.name, self.price, self.air, self.highest, self.watts))

    def readers(self):
        """What must be read, by name."""
        def missing():
            raise QuantityError("is empty.", f"Write, for example, {plate.EXAMPLE}.", what=self.watts.description)
        return {f"{self.letter}price": self.price, f"{self.letter}highest": self.highest,
                f"{self.letter}air": _Reader(self.air, sellerwords.read_told, reach.Told()),
                f"{self.letter}upkeep": self.upkeep,
                f"{self.letter}watts": _Reader(self.watts, lambda text: plate.read_electricity(
                    text, WATTS_ARE[self.sure.value]), missing)}

    def quote(self, read):
        """The offer as :class:`pondcalc.power_and_housing.quotes.Quote`."""
        highest = read.get(f"{self.letter}highest")
        return quotes.quote(shortened(self.name.value, 40) or f"offer {self.letter}",
                            read[f"{self.letter}price"].m_as("dollar"), read[f"{self.letter}air"],
                            None if highest is None else highest.m_as("Pa"), read[f"{self.letter}watts"],
                            read[f"{self.letter}upkeep"].m_as("dollar/year"))


def _by_year(value):
    return value / read_quantity("1 yr") if value.check("[currency]") else value


class OwnOffers(OwnForm):
    """Offers a reader got: which reach the diffuser, with how much air, and what those cost."""

    _begun = {"price": "site"}

    def __init__(self, pond, system="US"):
        self._pond, self._system = pond, system
        self._place, self._days = lineplan.saved_line(pond), airdays.air_days(pond)
        self.offers = [_Offer(letter, system) for letter in "ABC"]
        super().__init__("offers I got", {**{offer.letter: offer.boxes for offer in self.offers},
                                          "price": price_box(pond),
                                          "years": Box.of("power", "years", system, "10", bare="year")},
                         "offers", WORKBOOK, go="Compare them", trouble="Not compared", words=self._asks())

    def _asks(self, advice=True):
        """What the saved line asks of every machine, and what to ask its seller."""
        if self._place is None:
            return ("Your line is not saved yet (workbook 04), so nobody can say which machine makes a bubble at your "
                    "depth. Do the form of workbook 04 first.")
        thin = reach.too_thin(self._place, self._system)
        if thin:
            return f"{thin[0].upper()}{thin[1:]}"
        own = reach.at_work(self._place)
        first, aged = (show(Q(float(value), "Pa"), "pressure", self._system)
                       for value in (reach.needed(self._place), own.aged.working))
        flow = show(Q(self._place.flow_free_air, "m3/s"), "air flow", self._system)
        asks = (f"Your line asks for {first} before the first bubble with a new diffuser, and for {aged} with an aged "
                f"diffuser at the {flow} that you planned.")
        return f"{asks} Ask each seller for the air and the watts at {aged} on the gauge." if advice else asks

    def _found(self):
        there = [offer for offer in self.offers if not offer.empty]
        if not there:
            raise QuantityError("fill in an offer or two: price, air at pressure and electricity of each.")
        readers = {name: box for offer in there for name, box in offer.readers().items()}
        read = read_all(**readers, price=self.price, years=self.years)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)        # how fast the air runs in a line is said in workbook 04
            judged = quotes.judge_quotes([offer.quote(read) for offer in there], self._place,
                                         read["price"].m_as("dollar/J"), read["years"].m_as("s"), self._days.seconds,
                                         self._system)
        lines = [quotes.cheapest(judged)[1]]
        lines += [] if self._place is None else [self._asks(advice=False)]
        lines += [f"\n{quotes.say_judged(one, self._place, self._days, self._system)}" for one in judged]
        lines.append(f"\nCounted: one purchase, electricity {self._days.words}, your guess of parts and service. Not "
                     "counted: a machine that fails and is bought again, your hours, and the fish. A low price is no "
                     "reason to buy a machine that does not reach.")
        return lines, self._values(there, read), ""

    def _values(self, there, read):
        """The offers as they were told, for the pond record."""
        def each(name):
            return [getattr(offer, name).value.strip() for offer in there]
        return {"name": [shortened(offer.name.value, 40) or f"offer {offer.letter}" for offer in there],
                "price": [read[f"{offer.letter}price"] for offer in there], "air": each("air"),
                "highest": each("highest"), "electricity": each("watts"), "watts_are": each("sure"),
                "upkeep": [read[f"{offer.letter}upkeep"] for offer in there]}
