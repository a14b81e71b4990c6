"""Make the files of the demonstration pond. Everything here is INVENTED: pond, farm, place, numbers.

    python data/make_demo_pond.py      writes the files beside this script, the same bytes each time

"Sycamore Pond" of the Okafor family farm has an exact shape, so that the volume worked out from its
noisy soundings can be held against the truth. Seen from above from its deepest point the bank lies at

    r(t) = R (1 + sum over k of a_k cos k t + b_k sin k t),     t counted from east toward north,

and along each ray the depth is D (1 - (rho / r)^m). A contour is then the bank drawn smaller, and with
A0 = pi R^2 (1 + half the sum of a_k^2 + b_k^2) the area at depth z is A0 (1 - z/D)^(2/m) and the volume
A0 D m / (m + 2). Random numbers come from random.Random(seed).random(), whose sequence Python
promises to keep from version to version.
"""

import json
import math
import random
import sys
from pathlib import Path

import pyproj

FOOT = 0.3048                           # m, international foot
ACRE = 43560 * FOOT**2                  # m2
NAME, FARM = "Sycamore Pond", "Okafor family farm"
ELEVATION_FT = 1150
AREA = 2.4 * ACRE                       # A0, m2
DEEPEST = 14.5 * FOOT                   # D, m
SHAPE = 1.6                             # m
COS = (0.04, 0.05, -0.11, -0.09, 0.05)  # a_1 ... a_5: dam on the south side, an arm to the north-east
SIN = (0.23, 0.08, -0.01, -0.10, -0.04)
CENTRE = (39.0412, -96.8127)            # latitude, longitude of the deepest point
GPS_NOISE = 0.8                         # m, typical distance between fix and truth
DEPTH_NOISE = 0.1 * FOOT                # m
SEED = 24
EARTH = pyproj.Geod(ellps="WGS84")
INVENTED = f"INVENTED demonstration data: {NAME}, {FARM}; no such pond exists"


def mean_radius():
    """R in metres, from the area."""
    return math.sqrt(AREA / (math.pi * (1 + sum(c * c for c in COS + SIN) / 2)))


def bank_radius(angle):
    """r(t) in metres; `angle` in radians from east toward north."""
    waves = sum(a * math.cos(k * angle) + b * math.sin(k * angle)
                for k, (a, b) in enumerate(zip(COS, SIN, strict=True), 1))
    return mean_radius() * (1 + waves)


def true_depth(x, y):
    """Depth in metres at x east and y north of the deepest point; 0 on land."""
    return DEEPEST * max(0.0, 1 - (math.hypot(x, y) / bank_radius(math.atan2(y, x))) ** SHAPE)


def area_at(depth):
    """Exact area in m2 of the water surface when it stands `depth` metres below full."""
    return AREA * (1 - depth / DEEPEST) ** (2 / SHAPE)


def volume_below(depth=0.0):
    """Exact volume in m3 of the water below `depth` metres; the whole pond for 0."""
    return AREA * DEEPEST * SHAPE / (SHAPE + 2) * (1 - depth / DEEPEST) ** ((SHAPE + 2) / SHAPE)


def normal(rng):
    """One normal deviate (Box and Muller 1958), from `random()` alone."""
    return math.sqrt(-2 * math.log(1 - rng.random())) * math.cos(2 * math.pi * rng.random())


def outline(count):
    """The true bank as `count` points in metres."""
    angles = [2 * math.pi * i / count for i in range(count)]
    return [(bank_radius(t) * math.cos(t), bank_radius(t) * math.sin(t)) for t in angles]


def fix(rng, x, y):
    """Latitude and longitude as a GPS would give them, six decimals."""
    x, y = (value + normal(rng) * GPS_NOISE / math.sqrt(2) for value in (x, y))
    lon, lat, _ = EARTH.fwd(CENTRE[1], CENTRE[0], math.degrees(math.atan2(x, y)), math.hypot(x, y))
    return f"{lat:.6f}", f"{lon:.6f}"


def wet_span(start, end):
    """First and last wet point, in metres, on the straight line from `start` to `end`."""
    wet = [(x, y) for x, y in (along(start, end, i / 4000) for i in range(4001)) if true_depth(x, y) > 0]
    return wet[0], wet[-1]


def along(start, end, share):
    """Point at a share of the way from `start` to `end`."""
    return tuple(a + share * (b - a) for a, b in zip(start, end, strict=True))


def tracks():
    """Name, start and end of each boat track: nine about east-west, and a tie from the dam into the arm."""
    radius = mean_radius()
    low, high = min(y for _, y in outline(720)), max(y for _, y in outline(720))
    for number in range(1, 10):
        y = low + (high - low) * (number - 0.5) / 9
        lean = 2.5 * math.sin(2.1 * number)                 # no one rows a perfect grid
        ends = wet_span((-1.5 * radius, y - lean), (1.5 * radius, y + lean))
        yield f"T{number}", *(ends if number % 2 else ends[::-1])
    yield "tie", *wet_span((-0.35 * radius, -1.2 * radius), (0.82 * radius, 1.6 * radius))


def soundings(rng):
    """Rows of lat, lon, depth in feet, track: about every 6 m, from 1.5 m off one bank to the other."""
    rows = []
    for name, start, end in tracks():
        length = math.dist(start, end)
        count = round((length - 3.0) / 5.8) + 1
        for i in range(count):
            share = (1.5 + (length - 3.0) * i / (count - 1)) / length
            x, y = along(start, end, share)
            x, y = x + 0.5 * normal(rng), y + 0.5 * normal(rng)     # the boat wanders a little
            if true_depth(x, y) == 0:
                continue
            depth = max(0.1, round((true_depth(x, y) + DEPTH_NOISE * normal(rng)) / FOOT, 1))
            rows.append([*fix(rng, x, y), f"{depth:.1f}", name])
    return rows


def shoreline(rng):
    """Rows of lat, lon: 90 fixes on a walk round the bank, equally far apart."""
    fine = outline(7200)
    walked, points = 0.0, []
    lap = sum(math.dist(fine[i - 1], fine[i]) for i in range(len(fine)))
    for i in range(len(fine)):
        if walked >= len(points) * lap / 90:
            points.append(fine[i - 1])
        walked += math.dist(fine[i - 1], fine[i])
    return [list(fix(rng, *point)) for point in points[:90]]


def paper_transects():
    """Rows of transect, distance_ft, depth_ft: four lines square to the dam, tape and pole, no GPS."""
    left, right = min(x for x, _ in outline(720)), max(x for x, _ in outline(720))
    radius, rows = mean_radius(), []
    for number, name in enumerate("ABCD"):
        x = left + (right - left) * (number + 0.5) / 4
        start, end = wet_span((x, -1.5 * radius), (x, 1.7 * radius))
        length = round(math.dist(start, end) / FOOT)
        for distance in [*range(0, length - 10, 20), length]:
            depth = true_depth(*along(start, end, min(1.0, distance * FOOT / math.dist(start, end))))
            rows.append([name, str(distance), f"{round(2 * depth / FOOT) / 2:.1f}"
                         if 0 < distance < length else "0.0"])
    return rows


def with_slips(rows):
    """The same soundings with six slips of the kind people make; see data/README.md."""
    rows = [list(row) for row in rows]
    typo = next(i for i, row in enumerate(rows) if row[2] == "9.8")
    rows[typo][2] = "98"                                            # the decimal point left out
    rows[30][2] = f"-{rows[30][2]}"                                 # a minus sign too many
    rows[57][0] = f"{float(rows[57][0]) + 0.036:.6f}"               # a wrong digit: 4 km north
    rows[75][2] = "weeds"                                           # a remark where a number belongs
    rows[101][2] = ""                                               # forgotten
    rows.insert(120, list(rows[119]))                               # logged twice
    return rows


def truth():
    """Everything exact about the pond, for checks; US units in the names, SI beside them."""
    levels = [0, 2, 4, 6, 8, 10, 12, 14]
    acre_foot = ACRE * FOOT
    return {
        "about": INVENTED + "; made by make_demo_pond.py, exact by construction",
        "name": NAME, "farm": FARM, "elevation_ft": ELEVATION_FT,
        "centre_lat": CENTRE[0], "centre_lon": CENTRE[1],
        "area_acre": round(AREA / ACRE, 6), "area_m2": round(AREA, 3),
        "deepest_ft": round(DEEPEST / FOOT, 6), "deepest_m": round(DEEPEST, 6),
        "volume_acre_ft": round(volume_below() / acre_foot, 6), "volume_m3": round(volume_below(), 3),
        "mean_depth_ft": round(volume_below() / AREA / FOOT, 6),
        "mean_depth_m": round(volume_below() / AREA, 6),
        "shape_exponent": SHAPE, "mean_radius_m": round(mean_radius(), 6), "cos": list(COS), "sin": list(SIN),
        "level_depth_ft": levels,
        "level_area_acre": [round(area_at(z * FOOT) / ACRE, 6) for z in levels],
        "level_volume_acre_ft": [round(volume_below(z * FOOT) / acre_foot, 6) for z in levels],
    }


def write(folder):
    """Write all five files into `folder` and give their names."""
    rng = random.Random(SEED)
    rows, bank = soundings(rng), shoreline(rng)
    tables = {
        "demo-soundings.csv": ("", "lat,lon,depth_ft,track", rows),
        "demo-shoreline.csv": ("", "lat,lon", bank),
        "demo-transects.csv": ("", "transect,distance_ft,depth_ft", paper_transects()),
        "demo-soundings-with-slips.csv": ("; SIX DELIBERATE SLIPS, for practice", "lat,lon,depth_ft,track",
                                          with_slips(rows)),
    }
    for name, (extra, header, body) in tables.items():
        lines = [f"# {INVENTED}{extra}", header, *(",".join(row) for row in body)]
        (folder / name).write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    text = json.dumps(truth(), indent=1) + "\n"
    (folder / "demo-truth.json").write_text(text, encoding="utf-8", newline="\n")
    return [*tables, "demo-truth.json"]


if __name__ == "__main__":
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parent)
