"""Write demo-pond.json, the pond record of the invented demonstration pond, from its soundings.

Run it after make_demo_pond.py: ``python data/make_demo_record.py``.
"""

from pathlib import Path

from pondcalc import findings, record
from pondcalc.door import survey
from pondcalc.units import Q

HERE = Path(__file__).resolve().parent


def demo_record():
    """The record: site and water, as workbooks 00 and 01 would save them."""
    read = survey.read_survey(HERE / "demo-soundings.csv", HERE / "demo-shoreline.csv")
    _, _, water = findings.water(read, "demo-soundings.csv", "demo-shoreline.csv")
    site = {"elevation": Q("1150 ft"), "price": Q("17.3 cents/kWh"),
            "story": "Invented demonstration pond of the Okafor family farm; no such pond exists."}
    pond = record.PondRecord("Sycamore Pond", invented=True, sections={"site": site, "water": water})
    return record.to_text(pond)


if __name__ == "__main__":
    (HERE / "demo-pond.json").write_text(demo_record(), encoding="utf-8")
