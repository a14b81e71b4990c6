"""First ice, last ice and thickness of the year's model beside what people wrote down, under its own weather.

Prints a table, and the days and shares that ``yearcase`` tells as ranges. Fails where those ranges do not hold what was
recorded, or where a mean stands further off than the bounds below. The climate is that of ``weather.typical_climate``
for latitude and height, drawn for inland places: near the Hudson and in Virginia it is up to 3 C too cold in winter,
and the ice comes too early there.
"""

import datetime
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from icerecords import RECORDS, THICKNESS  # noqa: E402  (found only once its folder is on the path)
from layeredponds import bowl  # noqa: E402

from pondcalc.the_year import seasons, weather, yearcase  # noqa: E402

JULY = 182                                      # day of the year of 1 July
START = 244                                     # 1 September: the water forgets its start before it freezes
BOUNDS = (21, 15, 0.25)                         # mean first and last ice, days; mean thickness, share


def modelled(water):
    """For each kind of ice: first day with ice and first without, from 1 July, and the greatest thickness (m)."""
    ponds = [(seasons.PondModel(*bowl(water.area, water.deepest, water.mean), shelter=water.shelter, ice_light=light,
                                layers=yearcase.LAYERS), None) for light in yearcase.SNOW.values()]
    climate = weather.typical_climate(water.latitude, water.elevation)
    made = weather.make_weather(climate, 290, START, yearcase.WINTER_STEP)
    found = []
    for run in seasons.run_year(ponds, made, float(climate.mean_on(START))):
        ice = run.by_day(run.ice).mean(axis=1)
        there = np.flatnonzero(ice > yearcase.ICE) + START - JULY
        found.append((there[0], there[-1] + 1, ice.max()))
    return found


def said(day):
    """Days from 1 July as a date."""
    when = datetime.date(2001, 7, 1) + datetime.timedelta(days=float(day))
    return f"{when:%b} {when.day}"


def at(values, shares):
    """Values at shares (of 1) of all, each water counting alike."""
    whole = np.concatenate(values)
    weights = np.concatenate([np.full(len(v), 1 / len(v)) for v in values]) / len(values)
    order = np.argsort(whole)
    return [int(whole[order][np.searchsorted(np.cumsum(weights[order]), share)]) for share in shares]


def dates():
    """Print the table of dates; gives gaps (record less model) of first and last ice, and whether means are near."""
    firsts, lasts, near = [], [], True
    print(f"{'':34}{'first ice':>22}{'last ice':>26}{'days with ice':>16}")
    print(f"{'':34}{'recorded':>12}{'ours':>10}{'recorded':>12}{'ours':>14}{'recorded':>10}{'ours':>6}")
    for name, water in RECORDS.items():
        (first, last, _), (_, late, _) = modelled(water)[1:]
        on, off, days = (np.array([w[n] for w in water.winters if w[n] is not None]) for n in range(3))
        firsts.append(on - first)
        lasts.append(off - last)
        near &= abs(firsts[-1].mean()) < BOUNDS[0] and abs(lasts[-1].mean()) < BOUNDS[1]
        print(f"{name:34}{said(on.mean()):>12}{said(first):>10}{said(off.mean()):>12}{said(last):>7}-{said(late):<6}"
              f"{days.mean():>10.0f}{last - first:>6}")
    return firsts, lasts, near


def thickness():
    """Print the table of thickness; gives recorded over modelled, and whether means are near."""
    shares, near = [], True
    print(f"\n{'greatest thickness, in':34}{'recorded':>12}{'ours, clear, white, under snow':>34}")
    for name, water, seen in THICKNESS:
        ours = [run[2] for run in modelled(water)]
        shares += [h / ours[2] for h in seen]
        near &= abs(np.mean(seen) / ours[2] - 1) < BOUNDS[2] or len(seen) == 1
        print(f"{name:34}{min(seen) / 0.0254:>5.0f} to {max(seen) / 0.0254:.0f}"
              f"{', '.join(f'{h / 0.0254:.0f}' for h in ours):>30}")
    return shares, near


def main():
    """Run the trial."""
    firsts, lasts, near = dates()
    first, last = (at(gaps, (0.05, 0.95)) for gaps in (firsts, lasts))
    print(f"\nnine winters in ten, days from the modelled date: first ice {first}, last ice {last}")
    shares, thick = thickness()
    print(f"recorded thickness over ours under snow: {min(shares):.2f} to {max(shares):.2f}")
    pairs = ((yearcase.FIRST_ICE, first), (yearcase.LAST_ICE, last), (yearcase.THICKEST, (min(shares), max(shares))))
    held = all(told[0] <= found[0] and found[1] <= told[1] for told, found in pairs)
    print("means near enough" if near and thick else "MEANS TOO FAR OFF")
    print("printed ranges hold" if held else "PRINTED RANGES DO NOT HOLD")
    return 0 if near and thick and held else 1


if __name__ == "__main__":
    sys.exit(main())
