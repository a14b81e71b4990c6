"""Make the oxygen log of the demonstration pond. Everything here is INVENTED: pond, farm, numbers.

    python data/make_oxygen_log.py   writes demo-oxygen-log.csv beside this script, the same bytes each time

"Sycamore Pond" of the Okafor family farm, top 6 feet, four July days, a reading every half hour. The
water follows dC/dt = made(light) + K (Cs - C) - R 1.047^(T - 20), stepped once a minute, with

    R = 0.20 mg/L an hour at 20 C,   K = 0.030 per hour,   Cs by Benson and Krause (1984) for 1150 ft,

then noise of 0.06 mg/L and 0.05 C is added and the readings are rounded as a logger rounds. The third day
is dark. One reading is missing and one is a slip, so that a reader's checks have something to find.
Random numbers come from random.Random(seed).random(), whose sequence Python promises to keep.
"""

import datetime
import math
import random
from pathlib import Path

USE_20C, REAERATION, GROWTH = 0.20, 0.030, 1.047        # mg/L/h, 1/h, per C
MADE = 0.95                                             # mg/L/h at noon of a clear day
CLEAR = (1.0, 0.9, 0.25, 0.85, 0.9)                     # share of light, day by day
SUNRISE, SUNSET = 5.2, 18.9                             # solar hours
START = datetime.datetime(2024, 7, 15, 18, 0)
HOURS, EVERY = 87.0, 0.5                                # to 09:00 of the fifth day
PRESSURE = 101.325 * (1 - 2.25577e-5 * 1150 * 0.3048) ** 5.25588 / 101.325      # atm
NOISE, NOISE_T = 0.06, 0.05


def saturation(t):
    """Oxygen at rest with the air, mg/L; vapor by the form in Standard Methods."""
    k = t + 273.15
    sea = math.exp(-139.34411 + 1.575701e5 / k - 6.642308e7 / k**2 + 1.243800e10 / k**3 - 8.621949e11 / k**4)
    vapor = math.exp(11.8571 - 3840.70 / k - 216961 / k**2)
    theta = 0.000975 - 1.426e-5 * t + 6.436e-8 * t * t
    return sea * PRESSURE * (1 - vapor / PRESSURE) * (1 - theta * PRESSURE) / ((1 - vapor) * (1 - theta))


def temperature(clock, day):
    """Water, C: warmest at four in the afternoon, cooler on the dark day."""
    return 26.2 - 0.5 * (1 - CLEAR[day]) + 1.1 * math.cos(2 * math.pi * (clock - 16) / 24)


def gauss(rng):
    """One draw of a normal number from two even ones."""
    return math.sqrt(-2 * math.log(1 - rng.random())) * math.cos(2 * math.pi * rng.random())


def rows():
    """Time, oxygen and temperature of each reading, without noise."""
    now, minute = 8.6, 0
    while minute <= HOURS * 60:
        clock, day = (18 + minute / 60) % 24, int((18 + minute / 60) // 24)
        t = temperature(clock, day)
        if minute % (EVERY * 60) == 0:
            yield START + datetime.timedelta(minutes=minute), now, t
        light = max(0.0, math.sin(math.pi * (clock - SUNRISE) / (SUNSET - SUNRISE))) if (
            SUNRISE < clock < SUNSET) else 0.0
        slope = (MADE * CLEAR[day] * math.tanh(1.5 * light) + REAERATION * (saturation(t) - now)
                 - USE_20C * GROWTH ** (t - 20))
        now += slope / 60
        minute += 1


def main():
    """Write the file."""
    rng = random.Random(20240715)
    lines = ["# INVENTED demonstration data: Sycamore Pond, Okafor family farm; no such pond exists",
             "time,depth_ft,oxygen_mg_L,temperature_F"]
    for n, (when, value, t) in enumerate(rows()):
        read = max(0.0, value + NOISE * gauss(rng))
        warm = 1.8 * (t + NOISE_T * gauss(rng)) + 32
        cell = {40: "", 101: "77.4"}.get(n, f"{read:.2f}")
        lines.append(f"{when:%Y-%m-%d %H:%M},3.0,{cell},{warm:.1f}")
    path = Path(__file__).with_name("demo-oxygen-log.csv")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
