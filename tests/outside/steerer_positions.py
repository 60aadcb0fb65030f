"""Bar figures against rotation and translation (shapely), ring positions against brute force.

    steerer_positions.py PROGRAM

The front end is put together upright: rings, upper bearing cover and half the clamp straight up
from the top of the head tube, the stem forward and turned up by its angle. Then the package leans
it back to the head angle and carries it to stack and reach. Positions of the stem come from trying
every way to sort the rings on the bench into "below", "above" and "left on the bench". Bar wishes
are solved by measuring every sum of rings with the same construction.

x forward, y up, BB centre in the origin, millimetres and degrees.
"""

import math
import random
import sys

import numpy
from shapely import affinity
from shapely.geometry import Point

from program import Mismatches, near, plan_all, run_main

SEED = 4210247
BARS, POSITIONS, MANY_RINGS, WISHES = 300, 250, 8, 200
WITHIN = 0.5      # how far a sum of rings may miss: nobody shims half a millimetre
FORGIVEN = 1e-9
CALIPER = 0.15    # not the usual one


class FrontEnd:
    def __init__(self, rng):
        self.stack, self.reach = rng.uniform(480, 660), rng.uniform(340, 500)
        self.head_angle = rng.uniform(60, 76)
        self.upper, self.clamp = rng.uniform(3, 30), rng.uniform(30, 60)
        self.stem, self.rise = rng.uniform(30, 140), rng.uniform(-40, 40)

    def bar(self, below):
        """Handlebar clamp centre with so much of rings below the stem."""
        stem_centre = self.upper + below + self.clamp / 2
        bar = affinity.rotate(Point(self.stem, stem_centre), self.rise, origin=(0, stem_centre))
        leaned = affinity.rotate(bar, 90 - self.head_angle, origin=(0, 0))
        return affinity.translate(leaned, self.reach, self.stack)

    def job(self, spacers):
        return {
            "kind": "steerer", "job": {"number": "0"}, "steerer": {"material": "aluminium"},
            "frame": {"stack": self.stack, "reach": self.reach, "head_angle": self.head_angle},
            "headset": {"upper": self.upper},
            "stem": {"clamp": self.clamp, "length": self.stem, "angle": self.rise},
            "spacers": spacers, "mock_up": {"stands_proud": 40},
        }


def hundredths(ring):
    """Rings count to the hundredth of a millimetre, halves up; 1e-9 mm is forgiven."""
    return math.floor((ring + FORGIVEN) * 100 + 0.5)


def sortings(rings):
    """Every (below, above) pair of sums, in hundredths of a millimetre, that some sorting forms.

    Each ring goes below, above or stays on the bench: 3^n sortings. Beyond 12 rings equal pairs are
    merged after each ring, which loses none.
    """
    pairs = numpy.zeros((1, 2), dtype=numpy.int64)
    for ring in rings:
        pairs = numpy.concatenate([pairs, pairs + (ring, 0), pairs + (0, ring)])
        if len(rings) > 12:
            pairs = distinct(pairs)
    return distinct(pairs)


def distinct(pairs):
    """The rows of an array of (below, above), each once."""
    packed = numpy.unique(pairs[:, 0] * 100000 + pairs[:, 1])
    return numpy.stack([packed // 100000, packed % 100000], axis=1)


def positions(on_hand, b_low, b_high, above):
    """{below: really above}: sums within half a millimetre of what the job asks for."""
    found = {}
    for below, top in sortings([hundredths(ring) for ring in on_hand]) / 100.0:
        wanted_above = b_high + above - below
        if not b_low - WITHIN - FORGIVEN <= below <= b_high + WITHIN + FORGIVEN:
            continue
        if abs(top - wanted_above) > WITHIN + FORGIVEN:
            continue
        best = found.get(below)
        miss = abs(top - wanted_above)
        if best is None or miss < abs(best - wanted_above) - FORGIVEN or \
                miss < abs(best - wanted_above) + FORGIVEN and top < best:
            found[below] = top
    return found


def sums(on_hand):
    """Every sum of rings on hand, none included."""
    totals = {0}
    for ring in on_hand:
        totals |= {t + hundredths(ring) for t in totals}
    return sorted(t / 100 for t in totals)


def fewest(on_hand, total):
    """With how few of the rings this sum can be made."""
    counts = {0: 0}
    for ring in map(hundredths, on_hand):
        for t, n in list(counts.items()):
            counts[t + ring] = min(n + 1, counts.get(t + ring, n + 1))
    return counts[hundredths(total)]


def ring(rng):
    roll = rng.random()
    if roll < 0.75:
        return rng.choice([2, 3, 5, 5, 10, 10, 15, 20])
    if roll < 0.9:
        return rng.choice([1, 1.5, 2.5, 7.5])
    if roll < 0.95:
        return rng.choice([4.93, 5.12, 9.97, 10.04, 2.46, 2.31])
    return rng.choice([4.925, 9.525, 2.385, 3.3333, 1.0049999])  # halves, inches


def compare_positions(front, answer, b_low, b_high, above, on_hand, geometry=True):
    want = positions(on_hand, b_low, b_high, above)
    got = {round(p["below"], 6): p for p in answer["positions"]}
    out = []
    if len(got) != len(answer["positions"]):
        out.append("a position is listed twice")
    if sorted(got) != sorted(round(b, 6) for b in want):
        out.append(f"positions below: program says {sorted(got)}, every sorting gives "
                   f"{sorted(want)}")
        return out
    for below, top in want.items():
        place = got[round(below, 6)]
        bar = front.bar(below) if geometry else None
        figures = {"above": top, "height_mm": bar and bar.y, "reach_mm": bar and bar.x}
        for what, value in figures.items():
            if not near(place[what], value):
                out.append(f"{below} below: {what} {place[what]!r}, expected {value!r}")
    return out


def bar_jobs(rng):
    """One ring on hand that is exactly the stack below: one position, one bar to compare."""
    for _ in range(BARS):
        front, below = FrontEnd(rng), round(rng.uniform(1, 55), 1)
        yield front, front.job({"below": below, "on_hand": [below]}), (below, below, 0, [below])


def position_jobs(rng, count, rings):
    """Random benches; the stack asked for is mostly one they can form, sometimes a near miss."""
    made = 0
    while made < count:
        on_hand = [ring(rng) for _ in range(rng.choice(rings))]
        if sum(on_hand) > 190:
            continue
        some = rng.sample(on_hand, rng.randint(1, len(on_hand)))
        split = rng.randint(1, len(some))
        below, above = sum(some[:split]), sum(some[split:])
        below += rng.choice([0, 0, 0, 0.3, 0.5, -0.5, 0.6])
        above += rng.choice([0, 0, 0, 0.2, 0.5])
        b_low = max(0, below - rng.choice([0, 5, 10, 30]))
        b_high = below + rng.choice([0, 0, 2, 5])
        front = FrontEnd(rng)
        spacers = {"below": round(below, 3), "lowest": round(b_low, 3), "highest": round(b_high, 3),
                   "above": round(above, 3), "on_hand": on_hand}
        made += 1
        yield front, front.job(spacers), (spacers["lowest"], spacers["highest"], spacers["above"],
                                          on_hand)


def bare_job(job):
    """Without stack and reach: positions stay, bar figures are null."""
    job["frame"] = {}
    return job


def wish_jobs(rng):
    """Bar heights asked for; the ring sums that come nearest take the place of those in the job."""
    made = 0
    while made < WISHES:
        front = FrontEnd(rng)
        on_hand = [ring(rng) for _ in range(rng.randint(1, 9))]
        reachable = sums(on_hand)
        height = lowest = highest = front.bar(rng.uniform(0, sum(on_hand))).y
        if rng.random() < 0.6:
            lowest -= rng.uniform(0, 20)
            highest += rng.uniform(0, 20)
        wishes = {"height": height, "lowest": lowest, "highest": highest}
        nearest = {key: min(reachable, key=lambda b, w=wish: (round(abs(front.bar(b).y - w), 9), b))
                   for key, wish in wishes.items()}
        above = rng.choice([0, 5, on_hand[0]])
        job = front.job({"above": above, "on_hand": on_hand})
        if nearest["highest"] > 200 or above > 200:
            continue
        del job["mock_up"]
        job["frame"]["head_tube"] = rng.uniform(90, 180)
        job["headset"]["lower"] = rng.choice([0, 8])
        job["measuring"] = {"instruments": {"caliper": CALIPER}}
        job["steerer"]["length"] = 330
        job["bar"] = wishes
        job["spacers"]["max_above"] = 200
        made += 1
        yield front, job, (nearest["lowest"], nearest["highest"], above, on_hand)


def wish_differences(job, answer, b_low, b_high, above):
    """The gap by the parts shows B_high, the room above the stem shows B_low."""
    frame, length, headset = job["frame"], job["steerer"]["length"], job["headset"]
    stack = headset["lower"] + frame["head_tube"] + headset["upper"] + b_high \
        + job["stem"]["clamp"] + above
    gap = stack - length
    limits = {x["id"]: x for x in answer["limits"]}
    on_top = limits["spacers-above-most"]["has"]
    out = []
    if not near(answer["gap_mm"]["uncut"], gap):
        out.append(f"gap {answer['gap_mm']['uncut']!r}, with the rings nearest to the wish {gap!r}")
    if not near(on_top, above + b_high - b_low):
        out.append(f"rings above the lowest stem {on_top!r}, expected {above + b_high - b_low!r}")
    # Each ring that was chosen counts with the caliper, and the fewest are.
    key = "spacers.highest"
    count = fewest(job["spacers"]["on_hand"], b_high)
    doubt = {d["reading"]: d["within"] for d in limits["preload"]["doubt"]}
    got = {name: within for name, within in doubt.items() if name.startswith(key)}
    if got != {f"{key}-{n}": CALIPER for n in range(1, count + 1)}:
        out.append(f"doubt of the chosen rings {got}, {count} make {b_high}")
    return out


def main():
    program, rng, mismatches = sys.argv[1], random.Random(SEED), Mismatches()
    groups = {
        "bars": list(bar_jobs(rng)),
        "benches": list(position_jobs(rng, POSITIONS, range(1, 13)))
        + list(position_jobs(rng, MANY_RINGS, range(13, 17))),
        "bar wishes": list(wish_jobs(rng)),
    }
    bare = [(f, bare_job(job), want) for f, job, want in position_jobs(rng, 20, range(1, 8))]
    found = 0
    for name, rows in groups.items():
        answers = plan_all(program, [job for _, job, _ in rows])
        for (front, job, want), (text, answer) in zip(rows, answers):
            out = compare_positions(front, answer, *want)
            found += len(answer["positions"])
            if name == "bar wishes":
                out += wish_differences(job, answer, *want[:3])
            mismatches.add(text, out)
    answers = plan_all(program, [job for _, job, _ in bare])
    for (front, _, want), (text, answer) in zip(bare, answers):
        mismatches.add(text, compare_positions(front, answer, *want, geometry=False))
    if found < BARS + 2 * POSITIONS:
        print(f"only {found} positions: the benches prove too little", file=sys.stderr)
        sys.exit(1)
    mismatches.finish("steerer positions: " + ", ".join(f"{len(r)} {n}" for n, r in groups.items())
                      + f", {len(bare)} without geometry, {found} positions")


if __name__ == "__main__":
    run_main(main)
