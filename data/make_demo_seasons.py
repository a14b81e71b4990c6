"""Write the invented profiles and log of the demonstration pond again, byte for byte.

The pond: 2.4 acres, 14.5 ft deep, area at depth z = A0 (1 - z/D)^(2/1.6). Nothing here was measured.
Run: python data/make_demo_seasons.py
"""

import datetime
import math
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
DEPTHS = (0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14)       # ft
# top and bottom temperature (F), depth and thickness of the step between (ft), oxygen top and bottom (mg/L)
PROFILES = {
    "july": ("2025-07-24", 83.5, 60.0, 5.2, 0.9, 6.8, 0.1),
    "september": ("2025-09-18", 71.0, 62.0, 9.9, 0.4, 8.0, 0.1),
    "october": ("2025-10-16", 62.4, 61.9, 7.5, 3.0, 7.6, 6.9),
    "february": ("2025-02-06", 32.6, 39.3, 1.4, 0.7, 9.8, 3.1),
}


def profile(when, top, bottom, middle, width, oxygen_top, oxygen_bottom):
    """Lines of one profile: a smooth step, rounded as a reader would."""
    yield f"# INVENTED readings of the demonstration pond, {when}; made by make_demo_seasons.py"
    yield "depth (ft),temperature (F),dissolved oxygen (mg/L)"
    for z in DEPTHS:
        share = 1 / (1 + math.exp((z - middle) / width))
        oxygen = 1 / (1 + math.exp((z - middle + 0.6) / width))
        yield (f"{z:g},{bottom + (top - bottom) * share:.1f},"
               f"{oxygen_bottom + (oxygen_top - oxygen_bottom) * oxygen:.1f}")


def log():
    """Lines of a log: weekly readings, a slowly fouling diffuser, a hot cabinet in July, a dip in August."""
    chance = np.random.default_rng(1600)
    yield "# INVENTED log of the demonstration pond; made by make_demo_seasons.py"
    yield ("date,gauge pressure (psi),cabinet temperature (F),air temperature (F),hour meter (h),"
           "top temperature (F),bottom temperature (F),top oxygen (mg/L),bottom oxygen (mg/L)")
    start, meter = datetime.date(2026, 4, 7), 12.0
    for week in range(30):
        day = start + datetime.timedelta(weeks=week)
        season = math.cos(2 * math.pi * (day.timetuple().tm_yday - 201) / 365)
        air = 55 + 29 * season + chance.normal(0, 4)
        gauge = 7.4 + 0.032 * week + chance.normal(0, 0.05)
        cabinet = air + 16 + 0.25 * week + chance.normal(0, 1.5)
        top = 60 + 22 * season + chance.normal(0, 1)
        bottom = top - 1.0 - 1.5 * max(season, 0) - abs(chance.normal(0, 0.4))
        dip = 2.6 * math.exp(-((week - 18) / 1.6) ** 2)
        oxygen = 9.6 - 2.4 * season - dip + chance.normal(0, 0.25)
        yield (f"{day},{gauge:.1f},{cabinet:.0f},{air:.0f},{meter:.0f},{top:.1f},{bottom:.1f},{oxygen:.1f},"
               f"{max(0.2, oxygen - 1.4 - 0.9 * max(season, 0)):.1f}")
        meter += 7 * 24 * (0.97 if week != 12 else 0.6)


def main():
    """Write the five files beside this script."""
    for name, numbers in PROFILES.items():
        (HERE / f"demo-profile-{name}.csv").write_text("\n".join(profile(*numbers)) + "\n", encoding="utf-8",
                                                       newline="\n")
    (HERE / "demo-log.csv").write_text("\n".join(log()) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
