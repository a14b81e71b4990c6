"""How low may the oxygen go before fish suffer, and what is to be done in the hour in which they gasp?

There is no single line. A level that fish live through for an hour harms them in a week, eggs and fry need more than
grown fish, and trout need more than bass; and water may be too warm for them. Limits differ with size, health and how
fast things change, so they draw a picture and do not promise survival. ``data/fish-limits.csv`` holds who said what,
and whether the text was seen.

What to do in that hour, in which order, and what can hurt people in it, is one letter page, for the plan sheet and for
paper of its own. Each sentence carries the mark of its source; a star is common practice without one. It stands by
itself, because whoever needs it has no time for a workbook.
"""

import html
from typing import NamedTuple

from ..catalogue import usual
from ..datafiles import read_table
from ..power_and_housing.wiring import high_water
from ..refusals import Refused


class FishLimit(NamedTuple):
    """One published level: mg/L, which fish, what it means, who says so, whether the text was seen.

    `kind` names fish whose room in the year this level bounds, with `warmest` water (degC); else it is empty.
    """

    level: float
    fish: str
    meaning: str
    source: str
    status: str
    kind: str
    warmest: float | None


LIMITS = tuple(FishLimit(float(row["oxygen_mg_l"]), row["fish"], row["meaning"], row["source"], row["status"],
                         row["kind"], float(row["warmest_c"]) if row["warmest_c"] else None)
               for row in read_table("fish-limits.csv"))
KINDS_OF_FISH = {limit.kind: limit for limit in LIMITS if limit.kind}
FLOOR = usual("oxygen", "floor")        # mg/L to keep where nobody says otherwise


def limits_for(fish="warm"):
    """Levels for "warm" (bass, bluegill, catfish), "cool" (walleye, pike) or "cold" (trout) fish, falling."""
    found = sorted((limit for limit in LIMITS if limit.fish == fish), key=lambda limit: -limit.level)
    if not found:
        raise Refused(f"fish are 'warm', 'cool' or 'cold'; it was given {fish!r}.", by="limits_for")
    return tuple(found)


def _level(words):
    return next(limit.level for limit in limits_for("warm") if words in limit.meaning)


STRESS, KILL = _level("most are stressed"), _level("some die")


def meaning_of(low, floor=FLOOR):
    """What a lowest oxygen (mg/L) means for warm-water fish, in a few words; never that they are out of danger."""
    if low < KILL:
        return "some may die"
    if low < STRESS:
        return "most are stressed"
    return "less than you want to keep" if low < floor else "enough by these sums"


class Do(NamedTuple):
    """One thing to do or to leave, with the letters of its sources."""

    words: str
    marks: str


class Step(NamedTuple):
    """A step of the hour: its headline and what belongs to it."""

    title: str
    parts: tuple


DANGER = "Before you plug in or start an engine: what can kill you"
TITLE = "Fish gasping tonight: the next hour, in order"
LEAD = ("Fish with open mouths at the top, most of all before sunrise, are most often short of oxygen (K). You may "
        "save some of them, seldom all. No fish is worth a person. Local codes, labels and the people below come "
        "before this page.")
STEPS = (
    Step("People first", (
        Do("Children and pets away from the bank. Two grown-ups, a light each, life jackets on near the water. Nobody "
           "swims or wades. Stay off ice.", "*"),
    )),
    Step("Look and read: five minutes", (
        Do("Low oxygen: gasping by night and early morning, large fish first. Small fish first, fish that spin or "
           "twitch, deaths in bright sun, or spray drift and a chemical smell point to poison: go to step 7 now, "
           "keep people, pets and stock from that water, and eat none of the fish.", "DK*"),
        Do(f"With a meter, read 1 ft (0.3 m) down near the fish and write it down with the time: below {STRESS:g} mg/L "
           f"fish are under stress, below {KILL:g} they may die. No meter: believe the fish.", "D"),
    )),
    Step("Stop feeding; do not net, chase or move the fish", (
        Do("Feeding and handling cost oxygen. Leave the feed off until they are well and eat again.", "AB"),
    )),
    Step(DANGER, (
        Do("A surface aerator or an electric pump is a motor in the water. Use it only on a circuit with ground-fault "
           "(GFCI) protection; press its TEST button first. The disconnect stands on land where you see the machine; "
           "switch off there, and pull the plug, before anyone touches rope, cord or machine. Nobody in the water, in "
           "a boat beside it, or reaching in while it is plugged in. No extension cord as wiring, none through water "
           "or wet grass. If it trips, leave it off. If water tingles: swim away from it to the bank; cut the power; "
           "never jump in; call 911.", "GI*"),
        Do("Open no motor and no compressor: a run capacitor holds its charge after the plug is out.", "*"),
        Do(f"Plugs and boxes stand above high water: {high_water()}. No such circuit? Use a pump that an engine "
           "drives, with the engine on the bank: no electric pump and no cord goes into the water.", "I*"),
        Do("A generator or engine: its carbon monoxide kills without a smell. Outdoors only, 20 ft (6 m) or more from "
           "doors and windows, exhaust away from those who keep watch; dizzy or sick means get away and call 911. "
           "Never plug a generator into an outlet of a house or barn: it feeds back into the line and kills line "
           "workers. A building is fed only through a transfer switch that an electrician put in. Stop and let it cool "
           "before you refuel.", "H"),
    )),
    Step("Put air into the TOP water, and stay until full morning", (
        Do("What you have: a surface aerator that an electrician wired; a pump that draws from the top few feet and "
           "sprays fine drops back, or splashes over boards; a boat motor, the boat on its trailer or tied "
           "fast, the propeller just under the surface and nobody near it; a tractor-driven paddlewheel.", "ACE*"),
        Do("Work where the fish are. It makes a refuge, not a whole pond; past 2 to 3 acres it helps little. Stir no "
           "mud. Draw nothing from the bottom.", "BC*"),
        Do("Tractor: only someone who has done it by daylight. Keep back from the edge, brake and chocks on, guards on "
           "the power shaft, no loose clothes, never step over it.", "G*"),
    )),
    Step("What NOT to do", (
        Do("Do NOT switch on a bottom diffuser that has not been running, if the pond is or may be warm on top and "
           "cold below: it lifts water without oxygen into the last good water. One that runs every day may go on.",
           "B*"),
        Do("No copper, no algae or weed killer: dying plants take oxygen. No permanganate: it can lower the oxygen. We "
           "found no extension advice to pour in peroxide or another chemical.", "DEF"),
    )),
    Step("When the sun is well up", (
        Do("Read 1 ft down again. Count the dead by kind and size, take photos and a jar of water, and call before you "
           "move or bury fish. In some states a kill must be told.", "K*"),
        Do("It may come back the next night: stand ready from before midnight, and ask why (workbooks 02 and 05).",
           "*"),
    )),
)
CALLS = ("County extension office", "State fisheries agency", "State environment office", "Electrician")
SOURCES = {
    "A": "Oklahoma State University Extension (Beem 2012)",
    "B": "University of Georgia, Warnell School (Shelton and Gerrin 2024)",
    "C": "Mississippi State University Extension (Avery), as quoted in the press",
    "D": "Texas A&M AgriLife Extension",
    "E": "C. E. Boyd, Auburn University (tractor paddlewheels; oxidants)",
    "F": "University of Florida IFAS, FA008",
    "G": "Killian, Steeby and Minchew, Safety for fish farm workers",
    "H": "US Consumer Product Safety Commission, American Red Cross and power cooperatives, as quoted",
    "I": "Safe Electricity; articles in the trade press on NEC article 682",
    "K": "Meyer and Barclay 1990, US Fish and Wildlife Service, fish-kill manual, Table 3.1",
    "*": "common practice, no source",
}
# for a page of its own and for the last page of the plan sheet alike, where it covers the mark of an example
STYLE = """
.tonight { font: 9.5pt/1.22 Arial, Helvetica, "DejaVu Sans", sans-serif; break-before: page; break-inside: avoid;
  position: relative; z-index: 10; min-height: 250mm; background: #fff; }
.tonight h1 { font-size: 15pt; line-height: 1.1; margin: 0 0 1mm; } .tonight p { margin: 0 0 1mm; }
.tonight ol { margin: 0; padding-left: 6mm; } .tonight ol > li { margin-bottom: 0.8mm; break-inside: avoid; }
.tonight ol > li::marker { font-weight: bold; } .tonight ul { margin: 0; padding-left: 4mm; }
.tonight .calls { display: grid; grid-template-columns: auto 1fr auto 1fr; gap: 1.5mm 2mm; margin-bottom: 1.5mm; }
.tonight .calls i { border-bottom: 1px solid #000; }
.tonight .danger { border: 2px solid #000; padding: 0.8mm 1.5mm; }
"""


def _marked(part):
    return f"<li>{html.escape(part.words)} ({part.marks})</li>"


def body_html():
    """The page as HTML that needs :data:`STYLE` and nothing else."""
    steps = "".join(f"<li{' class=danger' if step.title == DANGER else ''}><b>{html.escape(step.title)}</b><ul>"
                    + "".join(map(_marked, step.parts)) + "</ul></li>" for step in STEPS)
    calls = "".join(f"<span>{html.escape(who)}</span><i></i>" for who in CALLS)
    sources = "; ".join(f"{mark} {html.escape(words)}" for mark, words in SOURCES.items())
    return (f"<div class='tonight'><h1>{html.escape(TITLE)}</h1><p>{html.escape(LEAD)}</p><ol>{steps}</ol>"
            f"<p><b>Call 911 for people.</b> Write the other numbers here today:</p><div class='calls'>{calls}</div>"
            f"<p>Sources: {sources}.</p></div>")
