"""Seat masts once more, in plain Python, against the program on random jobs, before and after the cut.

    mast.py PROGRAM RANDOM_JOBS [--must-catch]

Written from the rules alone, without a look at the program's sources. Every margin is a function of the readings, its
sensitivities are its derivatives by a complex step (W. Squire, G. Trapp, SIAM Review 40 (1998) 110), and saddle heights
are found back by halving. Standards behind the arithmetic: JCGM 100:2008 4.3.7 and 5.1.2, JCGM 106:2012, ISO/IEC 17043.
With --must-catch the margin of one limit is read wrongly on purpose, and the check succeeds if it finds that.
"""

import cmath
import math
import random
import sys

from as_cut import measured_after
from handlebar import mass_limits
from program import near, random_jobs, reread, run_main
from readings import Readings
from verdicts import readings_disagree

SEED = 51907
JOBS = 1500
FORGIVEN = 1e-9
STEP = 1e-30  # of the complex step: no difference is taken, so it can be as small as we like
LEAST_BEYOND_KERF = 2.0
AT = ("lowest", "height", "highest")


def extension(job, r, height):
    """Datum up to the rail clamp centre; r: the readings, height: one of AT."""
    saddle = job["saddle"]
    way = saddle.get("measured", "along tube")
    H = r["saddle." + height] if "saddle." + height in r else r["saddle.height"]
    if way == "extension":
        return H
    if saddle.get("from") == "pedal axle":
        H = H - r["saddle.crank"]
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


def search(rising, wanted):
    """Where a rising function has that value, between 200 and 1600 or from 1 for an extension."""
    low, high = 200.0, 1600.0
    if rising(low) > wanted:
        low = 0.0
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < wanted else (low, middle)
    return (low + high) / 2


def with_cut(rng, text, job):
    """Now and then with a cut that was made, mostly near the planned one."""
    mast = Mast(job, False)
    length = mast.readings["mast.length"].real
    if rng.random() > 0.35 or length < 40:
        return text
    planned = Plan(mast).planned
    cut = planned if planned and rng.random() < 0.5 else rng.uniform(0, min(60, length - 20))
    return text + measured_after(rng, job, length, None, cut)


class Mast:
    def __init__(self, job, wrong):
        self.job, self.known = job, Readings(job)
        self.mast, self.topper, self.wrong = job["mast"], job["topper"], wrong
        self.readings = {name: reading.value for name, reading in self.known.by_name.items()} | {"saw": 0.0}
        self.within = {name: reading.within for name, reading in self.known.by_name.items()}
        self.within["saw"] = self.known.value("saw.within", 0.5)
        self.k = self.known.coverage
        self.kerf = self.known.value("saw.kerf", 1.0)
        self.closed = self.mast.get("cutting", "not stated") == "forbidden"
        self.asked = self.mast.get("cutting", "not stated") != "not stated"
        self.knows_spacers = "spacers_most" in self.topper

    def value(self, function):
        return function(self.readings).real

    def parts(self, function):
        """Half-width times slope of each reading that has a doubt."""
        found = {}
        for name, at in self.readings.items():
            if self.within[name]:
                moved = function(self.readings | {name: at + STEP * 1j})
                found[name] = abs(complex(moved).imag / STEP) * self.within[name]
        return found

    def guard(self, function):
        parts = self.parts(function).values()
        return min(self.k * math.sqrt(sum(p * p for p in parts) / 3), sum(parts))

    def second_reading_missing(self, margins):
        """margins: of what is not compared as marked."""
        names = {name for margin in margins for name, part in self.parts(margin).items() if part > 0}
        return self.job["measuring"].get("twice", False) and \
            any(len(self.known.get(name).raw) < 2 for name in names - {"saw"})

    def E(self, r, at):
        return extension(self.job, r, at)

    def limits(self, M, off):
        """(id, slope, margin of the readings, origin, compared as marked) before any further cut; M: length of the mast,
        off: what has come off it, both of the readings."""
        out, mast, topper, figure = [], self.mast, self.topper, self.known.value
        near_by = figure("saddle.near", 2)

        def t(r):
            return r["topper.rise"]

        def x(r, at):
            return self.E(r, at) - M(r) - t(r)
        out.append(("topper-low", 1, lambda r: x(r, "lowest") + near_by, "wish", True))
        if self.knows_spacers:
            out.append(("topper-high", -1, lambda r: r["topper.spacers_most"] - x(r, "highest"), "maker", False))
        if "grip" in topper:
            def keeps_clear(r):
                below = r["mast.keep"] if topper.get("goes", "over") == "into" and "keep" in mast else 0.0
                return self.E(r, "lowest") - t(r) - r["topper.grip"] - below
            out.append(("topper-room", 0, keeps_clear, "measured", False))
        if "grip" in topper and "min_grip" in topper:
            at = "height" if self.wrong else "highest"
            out.append(("topper-grip", -1, lambda r: r["topper.grip"] - x(r, at) - r["topper.min_grip"], "maker", False))
        if "keep" in mast:
            out.append(("mast-inside", -1, lambda r: M(r) - r["mast.keep"], "measured", False))
        if self.closed or "max_cut" in mast:
            most = 0.0 if self.closed else figure("mast.max_cut")
            out.append(("max-cut", -1, lambda r: most - off(r), "maker", True))
        if "min_length" in mast:
            out.append(("min-length", -1, lambda r: M(r) - r["mast.min_length"], "maker", False))
        return out + mass_limits(self.readings, "mast")


def status_of(margin, guard):
    if margin >= guard - FORGIVEN:
        return "holds"
    return "broken" if margin < 0 and margin <= -guard + FORGIVEN else "in_doubt"


class Plan:
    """Window, planned cut and verdict before the cut."""

    def __init__(self, mast):
        self.mast = mast
        self.limits = mast.limits(lambda r: r["mast.length"], lambda r: 0j)
        self.wanted = mast.known.value("saw.wanted")
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
        step = m.known.value("saw.step", 1.0)
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
        if readings_disagree(self.mast.known):
            return "hold"
        at = [(x, self.status(x, self.wanted or 0.0)) for x in self.limits]
        broken = [x for x, s in at if s == "broken" and not (self.wanted and x[3] == "wish" and x[1] > 0)]
        helps = [x for x in broken if x[1] > 0]
        if any(x[1] <= 0 for x in broken) or helps and (self.wanted or self.mast.closed or any(self.pairs())):
            return "reject"
        if not self.mast.knows_spacers or \
                self.mast.second_reading_missing([x[2] for x in self.limits if not x[4]]):
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
    states, margins, judged = [], {}, []
    for name, _, margin, origin, exact in mast.limits(lambda r: r["as_cut.length"], lost):
        m = margins[name] = mast.value(margin)
        if name == "max-cut":
            state = "holds" if m >= -mast.guard(lost) - FORGIVEN else "broken"
        else:
            state = status_of(m, 0.0 if exact else mast.guard(margin))
        judged += [lost] if name == "max-cut" else [] if exact else [margin]
        states.append((state, origin))
    if "offcut" in given:
        def closure(r):
            return lost(r) - r["as_cut.offcut"] - r.get("as_cut.kerf", mast.kerf)
        contradicts = abs(mast.value(closure)) > mast.guard(closure) + FORGIVEN
    else:
        contradicts = mast.value(lost) < -mast.guard(lost) - FORGIVEN
    if contradicts or readings_disagree(mast.known, after=True):
        return "hold", margins
    if any(s == "broken" and origin != "wish" for s, origin in states):
        return "unfit", margins
    sure = mast.knows_spacers and not mast.second_reading_missing(judged)
    return ("fit" if sure and all(s == "holds" for s, _ in states) else "hold"), margins


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
    compare("remaining", cut["remaining_mm"], mast.readings["mast.length"] - plan.at)
    crossed = plan.hi is not None and plan.lo > plan.hi + FORGIVEN
    compare_span("window", cut["window_mm"], None if crossed else (plan.lo, plan.hi))
    for at in AT:
        E = mast.value(lambda r, at=at: mast.E(r, at))
        compare("extension", answer["extension_mm"][at], E)
        compare("spacers", answer["spacers_mm"][at], E - (mast.readings["mast.length"] - plan.at) - mast.readings["topper.rise"])
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
    texts = [with_cut(rng, *pair) for pair in random_jobs(sys.argv[2], "mast", SEED, JOBS)]
    reread(sys.argv, texts, differences, "masts")


if __name__ == "__main__":
    run_main(main)
