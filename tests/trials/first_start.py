"""300 drawn ponds, as many read too short, and open profiles: does each ladder offered keep the oxygen elsewhere?

Run: python tests/trials/first_start.py [how many]. The balance (tests/startbalance.py) is scipy's `solve_ivp` on the
words of workbook 07 and shares no code with the package. Shapes, readings and diffusers are drawn, with stagnant water
above, at and below the steepest layer, and thin layers of it between better water. Of the ponds read too short the
package sees readings that end in water with oxygen; the balance gets what lies under them, cold water without any.
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
import startbalance  # noqa: E402
from layeredponds import HUMMINGBIRD  # noqa: E402
from openprofiles import OPEN  # noqa: E402

from pondcalc import datafiles  # noqa: E402
from pondcalc.the_year import firststart  # noqa: E402
from pondcalc.units import QuantityError  # noqa: E402
from pondcalc.warm_over_cold.profile import Profile, read_profile  # noqa: E402

KEEP = (3.0, 4.0, 5.0)


def drawn_shape(chance):
    """Walls, bowls, cones and ponds with a shelf: depths (m) and areas (m2)."""
    deep, acres = chance.uniform(2.0, 8.0), np.exp(chance.uniform(np.log(0.3), np.log(20)))
    z = np.linspace(0, 1, 41)
    share = (1 - z) ** chance.choice([0.0, 0.4, 1.0, 1.25, 2.0])
    if chance.random() < 0.3:
        share = np.where(z > chance.uniform(0.3, 0.7), chance.uniform(0.2, 0.7), 1.0) * share
    return z * deep, 4047 * acres * share


def drawn_readings(chance, deep):
    """Depths, temperatures and oxygen; where the oxygen ends is drawn apart from where the steepest step lies."""
    z = np.arange(chance.choice([0.15, 0.3]), deep, chance.choice([0.3, 0.5, 0.6]))
    top, bottom = chance.uniform(18, 30), chance.uniform(8, 17)

    def step(middle, width):
        return 1 / (1 + np.exp(np.clip((z - middle) / width, -50, 50)))
    step_at = chance.uniform(0.3, 0.98) * deep
    t = bottom + (top - bottom) * step(step_at, chance.uniform(0.05, 0.5))
    oxygen_at = step_at if chance.random() < 0.5 else chance.uniform(0.3, 1.0) * deep
    c = chance.uniform(5.5, 11) * step(oxygen_at, chance.uniform(0.05, 0.6))
    if chance.random() < 0.2:                       # better water under a stagnant layer
        c = np.where((z > 0.7 * deep) & (z < 0.8 * deep), 0.3, np.maximum(c, chance.uniform(0, 3)))
    return z, t, np.maximum(np.round(c, 1), 0.0)


def drawn_pond(chance):
    """Shape, readings, water lifted (m3/s), depth of the diffuser (m), a bottle test or None, oxygen to keep."""
    shape = drawn_shape(chance)
    volume, deep = np.trapezoid(shape[1], shape[0]), float(shape[0][-1])
    usual = volume / (86400 * np.exp(chance.uniform(np.log(0.3), np.log(12))))
    lifted = usual * np.array([chance.uniform(0.4, 0.9), 1.0, chance.uniform(1.1, 2.0)])
    bottle = sorted(chance.uniform(0, 6, 3)) if chance.random() < 0.3 else None
    return (shape, drawn_readings(chance, deep), lifted, max(deep - 0.6, 0.8 * deep), bottle,
            float(chance.choice(KEEP)))


def cut_pond(chance):
    """A drawn pond and what of its readings the package sees: they end in water with oxygen, over water without.

    A third of them are of one warmth as far as they were read; floors 3 to 7; diffusers from near the surface down.
    """
    shape, (z, t, c), lifted, diffuser, bottle, _ = drawn_pond(chance)
    deep = float(shape[0][-1])
    diffuser = diffuser if chance.random() < 0.6 else chance.uniform(0.15, 1.0) * diffuser
    if chance.random() < 0.35:
        t, c = np.full(len(z), t[0]), np.full(len(z), chance.uniform(4, 14))
    near = np.flatnonzero((z > diffuser - chance.choice([0.6, 0.6, 3.0])) & (z < deep - 0.05))
    end = int(chance.choice(near)) if len(near) else len(z) - 1
    end = max(end, 2)
    c = np.where(np.arange(len(z)) == end, np.maximum(c, chance.uniform(1.0, 6.0)), c)[:end + 1]
    seen = (z[:end + 1], t[:end + 1], c)
    under = [min(z[end] + 0.02, deep - 0.01), deep]
    colder = max(t[end] - chance.uniform(1, 6), 4.0)
    truth = (np.r_[seen[0], under], np.r_[seen[1], colder, colder], np.r_[c, 0.0, 0.0])
    return (shape, truth, lifted, diffuser, bottle, float(chance.uniform(3, 7))), seen


def open_ponds():
    """Open and demonstration profiles, as deep as read and cut off sooner, in three shapes, with two diffusers."""
    july, september = (read_profile(datafiles.path(f"demo-profile-{month}.csv")) for month in ("july", "september"))
    for z, t, c in [*OPEN.values(), *((p.depth, p.temperature, p.dissolved_oxygen) for p in
                                      (HUMMINGBIRD, july, september))]:
        z, t, c = map(np.array, (z, t, c))
        ends = {len(z) - 1, *(n for n in range(3, len(z)) if z[n] >= 1.5 and c[n] < 1 and (c[:n] >= 1).sum() > n - 3)}
        for end in sorted(ends):
            deep = z[end] + 0.1
            for power in (0.4, 1.25, 2.0):
                depth = np.linspace(0, deep, 201)
                for usual, keep in ((0.03, 4.0), (0.15, 3.0)):
                    yield ((depth, 9712 * (1 - depth / deep) ** power), (z[:end + 1], t[:end + 1], c[:end + 1]),
                           usual * np.array([0.5, 1, 1.6]), max(deep - 0.6, 0.8 * deep), None, keep)


def tried(pond, seen=None):
    """What came of one pond, of which the package sees these readings, or all: kind of answer, how far the balance
    stands above the oxygen to keep (or nan), how far the printed low lies from its, and how far it stands above with
    the stagnant water lifted first (or nan)."""
    shape, (z, t, c), lifted, diffuser, bottle, keep = pond
    read, deep = (z, t, c), float(shape[0][-1])
    if z[-1] < deep - 0.02:         # as workbook 07 says: what lies under the last reading counts as without oxygen
        z, t, c = np.r_[z, z[-1] + 0.01, deep], np.r_[t, t[-1], t[-1]], np.r_[c, 0.0, 0.0]
    try:
        found = firststart.quickest_ladder(*shape, Profile(*(seen or read)), lifted, diffuser, keep, bottle)
    except QuantityError as problem:
        return "refused: " + str(problem)[:26], np.nan, 0.0, np.nan
    if seen and found.course is None:
        if not found.go:
            return "cut short, no ladder", np.nan, 0.0, np.nan
        if seen[2].min() <= keep:       # as low everywhere, so nothing comes up that is worse than what is there
            return "cut short at the bottom, day and night, holds less than to be kept", np.nan, 0.0, np.nan
        low = startbalance.lowest(shape, (z, t, c), lifted, diffuser, [24.0], bottle)
        return "cut short, day and night", low.min() - keep, 0.0, np.nan
    if found.course is None:
        if not found.reason.startswith("No ladder"):
            return ("mixed" if found.go else "refused: " + found.reason.split(" holds ")[0][:40]), np.nan, 0.0, np.nan
        low = startbalance.lowest(shape, (z, t, c), lifted, diffuser, [0.25], bottle, least_days=firststart.LONGEST)
        return "no ladder", keep + 0.1 - low.min(), 0.0, np.nan
    low = startbalance.lowest(shape, (z, t, c), lifted, diffuser, found.course.hours, bottle)
    if seen:
        return "cut short, ladder", low.min() - keep, 0.0, np.nan
    first = startbalance.lowest(shape, (z, t, c), lifted, diffuser, found.course.hours, bottle, worst_first=True)
    return "ladder", low.min() - keep, abs(low.min() - found.course.lowest_oxygen.low), first.min() - keep


def main(count=300):
    chance = np.random.default_rng(7)
    ponds = [*(drawn_pond(chance) for _ in range(count)), *open_ponds()]
    answers = [tried(pond) for pond in ponds] + [tried(*cut_pond(chance)) for _ in range(count)]
    wrong = [(n, *answer) for n, answer in enumerate(answers) if answer[1] < 0 or answer[2] > 0.15 or answer[3] < 0]
    for kind in sorted({kind for kind, *_ in answers}):
        here = [answer for answer in answers if answer[0] == kind]
        room = [margin for _, margin, *_ in here if np.isfinite(margin)]
        print(f"{len(here):>4}  {kind}" + (f": least room {min(room):.3f} mg/L, printed low differs by "
                                           f"{max(off for *_, off, _ in here):.3f} at most" if room else ""))
    print(f"with the stagnant water lifted first: least room {np.nanmin([first for *_, first in answers]):.3f} mg/L")
    for row in wrong:
        print("WRONG", *row)
    offered = sum(kind == "ladder" for kind, *_ in answers[:count])
    print(f"{count} drawn ponds ({offered} with a ladder) and {len(ponds) - count} with open or demonstration "
          f"readings, {count} read too short: {len(wrong)} wrong")
    return bool(wrong) or offered < count // 10


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:2])))
