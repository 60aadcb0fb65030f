"""Seat masts once more, in plain Python, against the program on random jobs, before and after the cut.

    mast.py PROGRAM [--must-catch]

Written from the rules alone, without a look at the program's sources. Every margin is a function of the readings, its
sensitivities are its derivatives by a complex step (W. Squire, G. Trapp, SIAM Review 40 (1998) 110), and saddle heights
are found back by halving. Standards behind the arithmetic: JCGM 100:2008 4.3.7 and 5.1.2, JCGM 106:2012, ISO/IEC 17043.
With --must-catch the margin of one limit is read wrongly on purpose, and the check succeeds if it finds that.
"""

import cmath
import math
import random
import sys

from program import near, reread, run_main

SEED = 51907
JOBS = 1500
FORGIVEN = 1e-9
STEP = 1e-30  # of the complex step: no difference is taken, so it can be as small as we like
LEAST_BEYOND_KERF = 2.0
WAYS = ("along tube", "straight", "to rails", "extension")
AT = ("lowest", "height", "highest")
HALF_WIDTH = {"frame.seat_tube": 1.0, "frame.seat_angle": 0.5, "frame.axis_offset": 1.0, "saddle.rail_to_top": 1.0,
              "topper.setback": 0.5, "mast.length": 0.5, "mast.keep": 0.5, "topper.rise": 0.1, "topper.grip": 0.1,
              "as_cut.length": 0.5, "as_cut.offcut": 0.5, "saw": 0.5}


def extension(job, r, height):
    """Datum up to the rail clamp centre; r: the readings, height: one of AT."""
    saddle = job["saddle"]
    way = saddle.get("measured", "along tube")
    H = r["saddle." + height] if "saddle." + height in r else r["saddle.height"]
    if way == "extension":
        return H
    if saddle.get("from") == "pedal axle":
        H = H - saddle["crank"]
    T, a = r["frame.seat_tube"], r.get("frame.axis_offset", 0.0)
    s_c = cmath.sqrt(T * T - a * a)
    if way == "to rails":
        return H - s_c
    theta = r["frame.seat_angle"] * math.pi / 180
    h = r["saddle.rail_to_top"]
    e = a - r.get("topper.setback", 0.0)
    if way == "along tube":
        s_r = H - e * cmath.cos(theta) / cmath.sin(theta) - h / cmath.sin(theta)
    else:
        s_r = cmath.sqrt(H * H - (e + h * cmath.cos(theta)) ** 2) - h * cmath.sin(theta)
    return s_r - s_c


def random_saddle(rng, E):
    """Saddle and frame that put the rail clamp near E above the datum."""
    way = rng.choice(WAYS)
    saddle = {"measured": way}
    frame = {}
    topper = {}
    if rng.random() < 0.2:
        frame["max_rider"] = 110
    if way != "extension":
        frame["seat_tube"] = round(rng.uniform(380, 560), 1)
        if rng.random() < 0.5:
            frame["axis_offset"] = round(rng.uniform(-60, 60), 1)
        if rng.random() < 0.3:
            saddle |= {"from": "pedal axle", "crank": rng.choice([165, 170, 172.5])}
    if way in ("along tube", "straight"):
        frame["seat_angle"] = round(rng.uniform(68, 78), 1)
        saddle["rail_to_top"] = round(rng.uniform(35, 60), 1)
        if rng.random() < 0.5:
            topper["setback"] = round(rng.uniform(-20, 30), 1)
    job = {"saddle": saddle, "frame": frame, "topper": topper}
    readings = readings_of(job)

    def height_for(wanted):
        return round(search(lambda H: extension(job, readings | {"saddle.height": H}, "height").real, wanted), 1)
    saddle["height"] = height_for(E)
    if rng.random() < 0.5:
        saddle["lowest"] = min(height_for(E - rng.uniform(0, 12)), saddle["height"])
    if rng.random() < 0.5:
        saddle["highest"] = max(height_for(E + rng.uniform(0, 12)), saddle["height"])
    if rng.random() < 0.4:
        saddle["near"] = round(rng.uniform(0, 8), 1)
    return job


def search(rising, wanted):
    """Where a rising function has that value, between 200 and 1600 or from 1 for an extension."""
    low, high = 200.0, 1600.0
    if rising(low) > wanted:
        low = 0.0
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < wanted else (low, middle)
    return (low + high) / 2


def random_job(rng):
    rise = round(rng.uniform(20, 60), 1)
    E = rng.uniform(90, 260)
    job = {"kind": "mast"} | random_saddle(rng, E)
    over = rng.choice([-30, -8, -4, -1, 0, 1, 2, 3, 5, 8, 20, 40, 60])
    length = round(min(max(E - rise + over + rng.uniform(-1.5, 1.5), 20), 400), 1)
    mast = {"length": length, "material": rng.choice(["carbon", "carbon", "aluminium", "steel"]),
            "cutting": rng.choice(["allowed"] * 5 + ["not stated", "forbidden"])}
    if rng.random() < 0.1:
        del mast["cutting"]
    topper = job["topper"]
    topper["rise"] = rise

    def maybe(table, key, probability, value):
        if rng.random() < probability:
            table[key] = value
    maybe(mast, "keep", 0.4, round(min(rng.uniform(0, 1.1) * length, 400), 1))
    maybe(mast, "section", 0.5, rng.choice(["round", "other"]))
    maybe(mast, "diameter", 0.3, 34.9)
    maybe(mast, "max_cut", 0.3, round(rng.uniform(5, 70), 1))
    maybe(mast, "min_length", 0.3, round(min(max(length - rng.uniform(-5, 70), 20), 400), 1))
    maybe(topper, "spacers_most", 0.88, rng.choice([0, 5, 10, 15, 20, 30, 60]))
    maybe(topper, "goes", 0.7, rng.choice(["over", "into"]))
    maybe(topper, "grip", 0.6, round(rng.uniform(25, 110), 1))
    maybe(topper, "min_grip", 0.6, round(rng.uniform(15, 70), 1))
    job["mast"] = mast
    if rng.random() < 0.3:
        job["rider"] = {"mass": round(rng.uniform(60, 120), 1)}
        if rng.random() < 0.4:
            job["rider"]["system_mass"] = job["rider"]["mass"] + 12
        maybe(mast, "max_rider", 0.6, 100)
        maybe(mast, "max_system", 0.4, 115)
    saw = {}
    maybe(saw, "wanted", 0.25, round(rng.uniform(1, 60), 1))
    maybe(saw, "kerf", 0.2, 1.4)
    maybe(saw, "step", 0.25, rng.choice([0.5, 2.0, 5.0]))
    if saw:
        job["saw"] = saw
    if rng.random() < 0.15:
        job["measuring"] = {"coverage": rng.choice([1.5, 3])}
    if rng.random() < 0.35 and length > 40:
        add_after(rng, job, E - rise, saw.get("kerf", 1.0))
    return job


def add_after(rng, job, top, kerf):
    left = min(max(top + rng.choice([-15, -4, -1, 0, 0, 1, 4, 12]), 20), job["mast"]["length"] + rng.choice([-3, 0, 2]))
    after = {"length": round(left, 1)}
    if rng.random() < 0.7:
        cuts = rng.choice([1, 2, 2])
        if rng.random() < 0.8:
            after["kerf"] = round(cuts * kerf, 2)
        lost = job["mast"]["length"] - left - cuts * kerf
        after["offcut"] = round(min(max(lost + rng.choice([0, 0, 0, 0.6, -3]), 0), 450), 1)
    job["as_cut"] = after


def readings_of(job):
    found = {"saw": 0.0}
    for name in list(HALF_WIDTH) + ["saddle." + at for at in AT]:
        table, _, key = name.partition(".")
        if key in job.get(table, {}):
            found[name] = job[table][key]
    return found


class Mast:
    def __init__(self, job, wrong):
        self.job, self.mast, self.topper = job, job["mast"], job["topper"]
        self.wrong = wrong
        self.readings = readings_of(job)
        height = 0.5 if job["saddle"].get("measured") == "extension" else 1.0
        self.within = HALF_WIDTH | {"saddle." + at: height for at in AT}
        self.k = job.get("measuring", {}).get("coverage", 2)
        self.kerf = job.get("saw", {}).get("kerf", 1.0)
        self.closed = self.mast.get("cutting", "not stated") == "forbidden"
        self.asked = self.mast.get("cutting", "not stated") != "not stated"
        self.knows_spacers = "spacers_most" in self.topper

    def value(self, function):
        return function(self.readings).real

    def parts(self, function):
        """Half-width times slope of each reading."""
        found = []
        for name, at in self.readings.items():
            moved = function(self.readings | {name: at + STEP * 1j})
            found.append(abs(complex(moved).imag / STEP) * self.within[name])
        return found

    def guard(self, function):
        parts = self.parts(function)
        return min(self.k * math.sqrt(sum(p * p for p in parts) / 3), sum(parts))

    def E(self, r, at):
        return extension(self.job, r, at)

    def limits(self, M, off):
        """(id, slope, margin of the readings, origin, compared as marked) before any further cut; M: length of the mast,
        off: what has come off it, both of the readings."""
        out, mast, topper, near_by = [], self.mast, self.topper, self.job["saddle"].get("near", 2)

        def t(r):
            return r["topper.rise"]

        def x(r, at):
            return self.E(r, at) - M(r) - t(r)
        out.append(("topper-low", 1, lambda r: x(r, "lowest") + near_by, "wish", True))
        if self.knows_spacers:
            out.append(("topper-high", -1, lambda r: topper["spacers_most"] - x(r, "highest"), "maker", False))
        if "grip" in topper:
            def keeps_clear(r):
                below = r["mast.keep"] if topper.get("goes", "over") == "into" and "keep" in mast else 0.0
                return self.E(r, "lowest") - t(r) - r["topper.grip"] - below
            out.append(("topper-room", 0, keeps_clear, "measured", False))
        if "grip" in topper and "min_grip" in topper:
            at = "height" if self.wrong else "highest"
            out.append(("topper-grip", -1, lambda r: r["topper.grip"] - x(r, at) - topper["min_grip"], "maker", False))
        if "keep" in mast:
            out.append(("mast-inside", -1, lambda r: M(r) - r["mast.keep"], "measured", False))
        if self.closed:
            out.append(("max-cut", -1, lambda r: -off(r), "maker", True))
        elif "max_cut" in mast:
            out.append(("max-cut", -1, lambda r: mast["max_cut"] - off(r), "maker", True))
        if "min_length" in mast:
            out.append(("min-length", -1, lambda r: M(r) - mast["min_length"], "maker", False))
        return out + self.masses()

    def masses(self):
        out, rider, frame = [], self.job.get("rider", {}), self.job["frame"]

        def smallest(key):
            return min([t[key] for t in (frame, self.mast) if key in t], default=None)
        for name, mass in (("rider", rider.get("mass")), ("system", rider.get("system_mass", rider.get("mass")))):
            most = smallest("max_" + name)
            if mass is not None and most is not None:
                out.append((name + "-mass", 0, lambda r, m=most - mass: m + 0j, "maker", False))
        return out


def status_of(margin, guard):
    if margin >= guard - FORGIVEN:
        return "holds"
    return "broken" if margin < 0 and margin <= -guard + FORGIVEN else "in_doubt"


class Plan:
    """Window, planned cut and verdict before the cut."""

    def __init__(self, mast):
        self.mast = mast
        self.limits = mast.limits(lambda r: r["mast.length"], lambda r: 0j)
        self.wanted = mast.job.get("saw", {}).get("wanted")
        self.least = mast.kerf + LEAST_BEYOND_KERF
        self.lo = max([0.0] + [self.guard(x, True) - self.margin(x, 0) for x in self.limits if x[1] > 0])
        self.hi = min([self.margin(x, 0) - self.guard(x, True) for x in self.limits if x[1] < 0], default=None)
        self.planned = self.plan()
        self.at = self.wanted or self.planned or 0.0

    def guard(self, limit, sawn):
        if limit[4]:
            return 0.0
        return self.mast.guard(lambda r: limit[2](r) + (limit[1] * r["saw"] if sawn else 0.0))

    def margin(self, limit, cut):
        return self.mast.value(limit[2]) + limit[1] * cut

    def status(self, limit, cut):
        return status_of(self.margin(limit, cut), self.guard(limit, cut > 0))

    def plan(self):
        if self.mast.closed or all(self.status(x, 0) == "holds" for x in self.limits if x[1]):
            return None
        m = self.mast
        wish = -m.value(lambda r: m.E(r, "lowest") - r["mast.length"] - r["topper.rise"])
        step = m.job.get("saw", {}).get("step", 1.0)
        for grid in [step] + [g for g in (1.0, 0.5, 0.1) if g < step]:
            first = math.ceil((max(self.lo, self.least) - FORGIVEN) / grid)
            last = math.inf if self.hi is None else math.floor((self.hi + FORGIVEN) / grid)
            if first <= last:
                return grid * min(max(math.ceil(wish / grid - 0.5 - FORGIVEN), first), last)
        return None

    def pairs(self):
        """(shortfall, lower id, upper id) of those that exclude each other at every cut."""
        for low in self.limits:
            for high in self.limits:
                if low[1] > 0 > high[1]:
                    def both(r):
                        return low[2](r) + high[2](r)
                    m = self.mast.value(both)
                    if status_of(m, self.mast.guard(both)) == "broken":
                        yield -m, low[0], high[0]

    def verdict(self):
        at = [(x, self.status(x, self.wanted or 0.0)) for x in self.limits]
        broken = [x for x, s in at if s == "broken" and not (self.wanted and x[3] == "wish" and x[1] > 0)]
        helps = [x for x in broken if x[1] > 0]
        if any(x[1] <= 0 for x in broken) or helps and (self.wanted or self.mast.closed or any(self.pairs())):
            return "reject"
        if not self.mast.knows_spacers:
            return "hold"
        if any(s == "in_doubt" and (x[1] == 0 or not broken) for x, s in at):
            return "hold"
        if helps and self.planned is None or self.wanted and self.wanted < self.least - FORGIVEN:
            return "hold"
        if self.at > 0 and not self.mast.asked:
            return "hold"
        return "keep" if not self.wanted and all(s == "holds" for _, s in at) else "cut"

    def saddle_range(self, cut):
        m = self.mast
        spare = {x[0]: self.margin(x, cut) - self.guard(x, cut > 0) for x in self.limits}
        E = {at: m.value(lambda r, at=at: m.E(r, at)) for at in AT}
        low = E["lowest"] - spare["topper-low"]
        high = min([E["highest"] + spare[name] for name in ("topper-high", "topper-grip") if name in spare],
                   default=None)
        if high is not None and low > high + FORGIVEN:
            return None

        def height(extension_wanted):
            if extension_wanted is None:
                return None
            key = {k: v for k, v in m.readings.items() if k not in ("saddle.lowest", "saddle.highest")}
            return search(lambda H: extension(m.job, key | {"saddle.height": H}, "height").real, extension_wanted)
        return height(low), height(high)


def after(mast):
    """(verdict, {id: margin}) once it is cut."""
    given = mast.job["as_cut"]

    def lost(r):
        return r["mast.length"] - r["as_cut.length"]
    states, margins = [], {}
    for name, _, margin, origin, exact in mast.limits(lambda r: r["as_cut.length"], lost):
        m = margins[name] = mast.value(margin)
        if name == "max-cut":
            state = "holds" if m >= -mast.guard(lost) - FORGIVEN else "broken"
        else:
            state = status_of(m, 0.0 if exact else mast.guard(margin))
        states.append((state, origin))
    if "offcut" in given:
        kerf = given.get("kerf", mast.kerf)

        def closure(r):
            return lost(r) - r["as_cut.offcut"] - kerf
        contradicts = abs(mast.value(closure)) > mast.guard(closure) + FORGIVEN
    else:
        contradicts = mast.value(lost) < -mast.guard(lost) - FORGIVEN
    if contradicts:
        return "hold", margins
    if any(s == "broken" and origin != "wish" for s, origin in states):
        return "unfit", margins
    return ("fit" if mast.knows_spacers and all(s == "holds" for s, _ in states) else "hold"), margins


def differences(job, answer, wrong):
    mast = Mast(job, wrong)
    plan = Plan(mast)
    found = []

    def compare(what, got, want):
        same = got == want if isinstance(want, (str, bool)) else near(got, want)
        if not same:
            found.append(f"{what}: {got}, wanted {want}")

    def compare_span(what, got, want):
        if got is None or want is None:
            compare(what, got, want)
        else:
            compare(what + " from", got[0], want[0])
            compare(what + " to", got[1], want[1])
    cut = answer["cut"]
    compare("verdict", answer["verdict"], plan.verdict())
    compare("planned", cut["planned_mm"], plan.planned)
    compare("end", cut["end"], "top")
    compare("at", cut["at_mm"], plan.at)
    compare("remaining", cut["remaining_mm"], job["mast"]["length"] - plan.at)
    crossed = plan.hi is not None and plan.lo > plan.hi + FORGIVEN
    compare_span("window", cut["window_mm"], None if crossed else (plan.lo, plan.hi))
    for at in AT:
        E = mast.value(lambda r, at=at: mast.E(r, at))
        compare("extension", answer["extension_mm"][at], E)
        compare("spacers", answer["spacers_mm"][at], E - (job["mast"]["length"] - plan.at) - job["topper"]["rise"])
    compare_span("range uncut", answer["saddle_range_mm"]["uncut"], plan.saddle_range(0.0))
    compare_span("range cut", answer["saddle_range_mm"]["cut"], plan.saddle_range(plan.at) if plan.at > 0 else None)
    pairs = list(plan.pairs())
    conflict = answer["conflict"]
    compare("conflict", conflict and conflict["short_mm"], max((p[0] for p in pairs), default=None))
    compare("limits", " ".join(x["id"] for x in answer["limits"]), " ".join(x[0] for x in plan.limits))
    for got, want in zip(answer["limits"], plan.limits):
        compare(f"{want[0]} slope", got["sense"], want[1])
        compare(f"{want[0]} margin", got["margin"], plan.margin(want, plan.at))
        compare(f"{want[0]} guard", got["guard"], plan.guard(want, plan.at > 0))
        compare(f"{want[0]} status", got["status"], plan.status(want, plan.at))
        compare(f"{want[0]} origin", got["origin"], want[3])
    if "as_cut" in job:
        verdict, margins = after(mast)
        compare("verdict after", answer["after"]["verdict"], verdict)
        compare("limits after", " ".join(x["id"] for x in answer["after"]["limits"]), " ".join(margins))
        for got in answer["after"]["limits"]:
            compare(f"after {got['id']}", got["margin"], margins[got["id"]])
    return found


def main():
    rng = random.Random(SEED)
    reread(sys.argv, [random_job(rng) for _ in range(JOBS)], differences, "masts")


if __name__ == "__main__":
    run_main(main)
