"""The form of workbook 06 that lays the offers a reader got side by side over the years."""

import ipywidgets as W

from ..power_and_housing import offers
from ..units import Q, QuantityError, Range, read_quantity, show, show_range
from .boxes import Box, grid, price_box, read_all
from .ownform import OwnForm

# how sure the watts of an offer are: at this pressure, within the 5 % of a meter; rated, from much less to a little
# more (judgment, no source)
WATTS_ARE = {"at my pressure": (0.95, 1.0, 1.05), "rated, or on the plate": (0.6, 0.85, 1.1)}


class _Offer:
    """The boxes of one offer."""

    def __init__(self, letter, system):
        self.letter = letter
        self.name = W.Text(description=f"Offer {letter}: name", placeholder="for example: farm store")
        self.price = Box(f"Offer {letter}: price in dollars, delivered", "money", "450", "1", "50000", bare="dollar")
        self.watts = Box(f"Offer {letter}: watts", "power", "120 W", "1 W", "5000 W", bare="watt")
        self.sure = W.Dropdown(description=f"Offer {letter}: these watts are", options=list(WATTS_ARE))
        self.flow = Box(f"Offer {letter}: free air at my pressure, if told", "air flow",
                        "1.6 cfm" if system == "US" else "45 L/min", "0.05 cfm", "200 cfm", optional=True)
        self.upkeep = Box(f"Offer {letter}: parts and service, dollars a year", "money a year", "60", "0 $/yr",
                          "10000 $/yr", "60", bare="dollar / year", convert=_by_year)
        self.boxes = (self.name, self.price, self.watts, self.sure, self.flow, self.upkeep)

    @property
    def empty(self):
        return not any(box.value.strip() for box in (self.name, self.price, self.watts, self.flow))

    def quote(self, read):
        """The offer as :class:`pondcalc.power_and_housing.offers.Quote`."""
        watts, flow = read[f"{self.letter}watts"].m_as("W"), read.get(f"{self.letter}flow")
        return offers.Quote(self.name.value.strip() or f"offer {self.letter}",
                            read[f"{self.letter}price"].m_as("dollar"),
                            Range(*(share * watts for share in WATTS_ARE[self.sure.value])),
                            None if flow is None else flow.m_as("m^3/s"),
                            read[f"{self.letter}upkeep"].m_as("dollar/year"))


def _by_year(value):
    return value / read_quantity("1 yr") if value.check("[currency]") else value


class OwnOffers(OwnForm):
    """Two or three offers a reader got, laid side by side over the years."""

    def __init__(self, pond, system="US"):
        self._pond, self._system = pond, system
        self.offers = [_Offer(letter, system) for letter in "ABC"]
        self.price = price_box(pond)
        self.years = Box("Years counted", "years", "10", "1 yr", "30 yr", "10", bare="year")
        pressure, flow = pond.get("line", "pressure_gauge"), pond.get("line", "flow_free_air")
        words = ("Your line is not saved yet (workbook 04), so you do not know yet at which pressure to ask."
                 if pressure is None else
                 f"Ask each seller for the watts and the free air at {show(pressure.high, 'pressure', system)} on the "
                 f"gauge. Your line was worked out for {show(flow, 'air flow', system)}.")
        rows = [grid(*offer.boxes) for offer in self.offers]
        inputs = [*(box for offer in self.offers for box in offer.boxes), self.price, self.years]
        super().__init__("offers I got", [*rows, grid(self.price, self.years)], inputs, go="Compare them",
                         trouble="Not compared", words=words)

    def _found(self):
        there = [offer for offer in self.offers if not offer.empty]
        if len(there) < 2:
            raise QuantityError("fill in two offers or three: at least price and watts of each.")
        boxes = {offer.letter + name: getattr(offer, name) for offer in there
                 for name in ("price", "watts", "flow", "upkeep")}
        read = read_all(**boxes, price=self.price, years=self.years)
        costs = offers.quote_costs([offer.quote(read) for offer in there], read["price"], read["years"])
        lines = [self._say(*row) for row in costs]
        first, second = costs[0][2], costs[1][2]
        lines.append("The ranges of the first two overlap: do not decide by cost alone." if second.low < first.high else
                     f"“{costs[0][0].name}” is the cheapest over these years, whatever the doubts about watts.")
        lines.append("Counted: one purchase, electricity day and night, your guess of parts and service. Not counted: "
                     "a machine that fails and is bought again, your hours, and the fish.")
        return "\n".join(lines), None, ""

    def _say(self, quote, usual, total):
        def money(value):
            return show(Q(float(value), "dollar"), "money")
        span = show_range(Q(total.low, "dollar"), Q(total.high, "dollar"), "money")
        words = (f"{quote.name}: {money(total.usual)} in all ({span}): {money(usual.purchase)} in the shop, "
                 f"{money(usual.electricity)} electricity, {money(usual.upkeep)} parts and service.")
        wanted = self._pond.get("line", "flow_free_air")
        if quote.flow_free_air is not None and wanted is not None and quote.flow_free_air < 0.9 * wanted.m_as("m^3/s"):
            words += (f" It sends {show(Q(quote.flow_free_air, 'm3/s'), 'air flow', self._system)}, less than the "
                      f"{show(wanted, 'air flow', self._system)} you planned.")
        return words
