"""Makes demo-bucket-test.csv, an INVENTED log of a tub test with a known answer.

Run it from anywhere: ``python data/make_bucket_test.py``. The same file comes out every time.

The pretend test: an 18 gallon tub, stripped of oxygen with a little too much
sodium sulfite (so that nothing rises for the first minutes), a small stone 16 inches
down, a reading each minute, one of them copied down wrong.
"""

from pathlib import Path

import numpy as np

KLA = 6.0                   # 1/h at the test temperature: the answer to find
SATURATION = 8.60           # mg/L the tub settles at
TEMPERATURE_F = 73.4        # 23 C
LAG = 4.0                   # min during which leftover sulfite eats the oxygen
NOISE = 0.04                # mg/L, standard deviation of a reading
WRONG_MINUTE, WRONG_READING = 21, 5.11
SEED = 20


def rows():
    """Time (min), oxygen (mg/L) and temperature (F) of the invented test."""
    random = np.random.default_rng(SEED)
    minute = np.arange(0.0, 51.0)
    rise = np.maximum(minute - LAG, 0.0)
    oxygen = SATURATION * (1 - np.exp(-KLA * rise / 60)) + 0.08 * (minute <= LAG)
    oxygen = oxygen + NOISE * random.standard_normal(minute.size)
    oxygen[minute == WRONG_MINUTE] = WRONG_READING
    warm = TEMPERATURE_F + 0.1 * random.integers(-2, 3, minute.size)
    return [(f"{m:.0f}", f"{max(c, 0.0):.2f}", f"{t:.1f}")
            for m, c, t in zip(minute, oxygen, warm, strict=True)]


def text():
    """The whole file."""
    head = ["# INVENTED readings, made by make_bucket_test.py; not a real test.",
            "# The coefficient it was made with stands in that script; fit first, look afterwards.",
            "# Tub 18 gal; stone 16 in below the surface; air 0.14 cfm of free air; sea level.",
            "Time (min),DO (mg/L),Water temp (F)"]
    return "\n".join(head + [",".join(row) for row in rows()]) + "\n"


if __name__ == "__main__":
    Path(__file__).with_name("demo-bucket-test.csv").write_text(text(), encoding="utf-8", newline="\n")
