"""Handlebars once more, in plain Python, against the program on random jobs, before and after the cut.

    handlebar.py PROGRAM [--must-catch]

Written from the rules alone, without a look at the program's sources. Every margin is a function of the readings;
sensitivities are central differences of it, exact as all of them are linear. Standards behind the arithmetic:
JCGM 100:2008 4.3.7 and 5.1.2, JCGM 106:2012, ISO/IEC 17043. With --must-catch one limit is read wrongly on purpose,
and the check succeeds if it finds that.
"""

import math
import random
import sys

from program import near, reread, run_main

SEED = 42102
JOBS = 1200
FORGIVEN = 1e-9
NORM_LEAST = 350.0  # ISO 4210-2:2014 4.7, from memory
CENTRED = 2.0
HALF_WIDTH = {"handlebar.width": 1.0, "handlebar.left": 0.5, "handlebar.right": 0.5, "handlebar.straight": 0.5,
              "handlebar.to_mark": 0.5, "as_cut.width": 1.0, "as_cut.offcut_left": 0.5, "as_cut.offcut_right": 0.5,
              "saw": 0.5}
CALIPER = 0.1


def random_job(rng):
    width = rng.randint(5600, 8200) / 10
    wanted = round(width - rng.choice([0, 4, 10, 20, 40, 60, 90, -30]) + rng.uniform(-4, 4), 1)
    bar = {"width": width, "wanted": min(max(wanted, 310), 990), "material": rng.choice(["aluminium", "carbon"]),
           "cutting": rng.choice(["allowed", "allowed", "allowed", "not stated", "forbidden"])}

    def maybe(key, probability, value):
        if rng.random() < probability:
            bar[key] = value
    maybe("narrowest", 0.4, round(bar["wanted"] - rng.uniform(0, 10), 1))
    maybe("widest", 0.4, round(bar["wanted"] + rng.uniform(0, 10), 1))
    maybe("straight", 0.85, round(rng.uniform(150, 230), 1))
    maybe("grip_zone", 0.25, round(rng.uniform(150, 230), 1))
    maybe("to_mark", 0.3, round(rng.uniform(5, 60), 1))
    maybe("air", 0.3, round(rng.uniform(0, 8), 1))
    maybe("min_width", 0.3, round(rng.uniform(500, 760), 1))
    maybe("max_cut", 0.3, round(rng.uniform(5, 60), 1))
    if rng.random() < 0.4:
        off = rng.choice([0, 0, 1, 2, 3, 5])
        bar["left"] = round(width / 2 + off / 2 + rng.choice([0, 0, 0.3, 2]), 1)
        bar["right"] = round(width / 2 - off / 2, 1)
    job = {"kind": "handlebar", "handlebar": bar}
    if rng.random() < 0.85:
        job["controls"] = [{"what": "c", "width": round(rng.uniform(10, 135), 1)}
                           for _ in range(rng.randint(1, 3))]
    if rng.random() < 0.3:
        job["rider"] = {"mass": round(rng.uniform(60, 120), 1)}
        maybe("max_rider", 0.7, 100)
    if rng.random() < 0.25:
        job["saw"] = {"wanted": round(rng.uniform(1, 50), 1)}
    if rng.random() < 0.35:
        off = rng.uniform(5, 40)
        job["as_cut"] = {"width": round(width - 2 * off, 1)}
        if rng.random() < 0.7:
            skew = rng.choice([0, 0, 0, 1, 4])
            slip = rng.choice([0, 0, 0, 3])
            job["as_cut"]["offcut_left"] = round(off - 1 + skew + slip, 1)
            job["as_cut"]["offcut_right"] = round(off - 1 - skew, 1)
    return job


class Bar:
    def __init__(self, job):
        self.job, self.bar = job, job["handlebar"]
        self.readings = {f"handlebar.{k}": self.bar[k] for k in ("width", "left", "right", "straight", "to_mark")
                         if k in self.bar}
        self.within = {name: HALF_WIDTH[name] for name in self.readings}
        for number, control in enumerate(job.get("controls", []), 1):
            self.readings[f"controls-{number}.width"] = control["width"]
            self.within[f"controls-{number}.width"] = CALIPER
        for key in ("width", "offcut_left", "offcut_right"):
            if key in job.get("as_cut", {}):
                self.readings[f"as_cut.{key}"] = job["as_cut"][key]
                self.within[f"as_cut.{key}"] = HALF_WIDTH[f"as_cut.{key}"]
        self.readings["saw"], self.within["saw"] = 0.0, HALF_WIDTH["saw"]
        self.closed = self.bar.get("cutting", "not stated") == "forbidden"
        self.halves = "left" in self.bar

    def doubts(self, value):
        """Half-width times slope, of each reading that value(readings) hangs on."""
        parts = []
        for name, within in self.within.items():
            up, down = dict(self.readings), dict(self.readings)
            up[name] += 1
            down[name] -= 1
            parts.append(abs(value(up) - value(down)) / 2 * within)
        return parts

    def u(self, value):
        return math.sqrt(sum(p * p for p in self.doubts(value)) / 3)

    def guard(self, value):
        return min(2 * self.u(value), sum(self.doubts(value)))

    def width(self, r):
        by_halves = self.halves and self.u(lambda x: x["handlebar.left"] + x["handlebar.right"]) \
            < self.u(lambda x: x["handlebar.width"]) - FORGIVEN
        return r["handlebar.left"] + r["handlebar.right"] if by_halves else r["handlebar.width"]

    def disagree(self):
        if not self.halves:
            return False
        routes = self.u(lambda r: r["handlebar.width"] - r["handlebar.left"] - r["handlebar.right"])
        d = self.bar["width"] - self.bar["left"] - self.bar["right"]
        off = self.u(lambda r: r["handlebar.left"] - r["handlebar.right"])
        return abs(d) > 2 * routes + FORGIVEN or \
            abs(self.bar["left"] - self.bar["right"]) > 2 * off + CENTRED + FORGIVEN

    def controls(self, r):
        return sum(v for name, v in r.items() if name.startswith("controls-"))

    def limits(self, W, off, wrong=False):
        """(id, slope, margin of the readings, origin, compared as marked); W, off: functions of the readings."""
        b, out = self.bar, []
        widest = b.get("widest", b["wanted"] + 5)
        narrowest = b.get("narrowest", b["wanted"] - 5)
        out.append(("width-most", 2, lambda r: widest - W(r), "wish", True))
        out.append(("width-least", -2, lambda r: W(r) - narrowest, "wish", True))
        if "min_width" in b:
            out.append(("bar-minimum", -2, lambda r: W(r) - b["min_width"], "maker", False))
        out.append(("norm-least", -2, lambda r: W(r) - NORM_LEAST, "published", False))
        if "to_mark" in b:
            out.append(("cut-mark", -1, lambda r: r["handlebar.to_mark"] - off(r), "maker", False))
        if "straight" in b and "controls" in self.job:
            air = 0 if wrong else b.get("air", 0)
            out.append(("controls", -1, lambda r: r["handlebar.straight"] - off(r) - self.controls(r) - air,
                        "measured", False))
        if "grip_zone" in b and "controls" in self.job:
            out.append(("grip-zone", -1, lambda r: b["grip_zone"] - off(r) - self.controls(r), "maker", False))
        if self.closed:
            out.append(("max-cut", -1, lambda r: -off(r), "maker", True))
        elif "max_cut" in b:
            out.append(("max-cut", -1, lambda r: b["max_cut"] - off(r), "maker", True))
        if "max_rider" in b and "rider" in self.job:
            most, mass = b["max_rider"], self.job["rider"]["mass"]
            out.append(("rider-mass", 0, lambda r: most - mass, "maker", False))
        return out

    def knows_room(self):
        return "straight" in self.bar and "controls" in self.job


def status_of(margin, guard):
    if margin >= guard - FORGIVEN:
        return "holds"
    return "broken" if margin < 0 and margin <= -guard + FORGIVEN else "in_doubt"


def hard(origin):
    return origin != "practice"


class Plan:
    """Window, planned cut and verdict of a bar before the cut."""

    def __init__(self, bar, wrong):
        self.bar = bar
        self.limits = bar.limits(bar.width, lambda r: 0.0, wrong)
        self.wanted = bar.job.get("saw", {}).get("wanted")
        self.lo = max([0.0] + [(self.guard(x, True) - self.margin(x, 0)) / x[1] for x in self.limits if x[1] > 0])
        self.hi = min((self.margin(x, 0) - self.guard(x, True)) / -x[1] for x in self.limits if x[1] < 0)
        self.planned = self.plan()
        self.at = self.wanted or self.planned or 0.0

    def guard(self, limit, sawn):
        if limit[4]:
            return 0.0
        return self.bar.guard(lambda r: limit[2](r) + (limit[1] * r["saw"] if sawn else 0.0))

    def margin(self, limit, cut):
        return limit[2](self.bar.readings) + limit[1] * cut

    def status(self, limit, cut):
        return status_of(self.margin(limit, cut), self.guard(limit, cut > 0))

    def plan(self):
        if self.bar.closed or all(self.status(x, 0) == "holds" for x in self.limits if x[1]):
            return None
        wish = (self.bar.width(self.bar.readings) - self.bar.bar["wanted"]) / 2
        for grid in (1.0, 0.5, 0.1):
            first = math.ceil((max(self.lo, 3.0) - FORGIVEN) / grid)
            last = math.floor((self.hi + FORGIVEN) / grid)
            if first <= last:
                return grid * min(max(math.ceil(wish / grid - 0.5 - FORGIVEN), first), last)
        return None

    def collides(self):
        for low in self.limits:
            for high in self.limits:
                if low[1] > 0 > high[1]:
                    def both(r):
                        return low[2](r) / low[1] + high[2](r) / -high[1]
                    if status_of(both(self.bar.readings), self.bar.guard(both)) == "broken":
                        return True
        return False

    def verdict(self):
        if self.bar.disagree():
            return "hold"
        at = [(x, self.status(x, self.wanted or 0.0)) for x in self.limits]
        broken = [x for x, s in at if s == "broken" and hard(x[3])
                  and not (self.wanted and x[3] == "wish" and x[1] > 0)]
        helps = [x for x in broken if x[1] > 0]
        if any(x[1] <= 0 for x in broken) or helps and (self.wanted or self.bar.closed or self.collides()):
            return "reject"
        if self.at > 0 and not self.bar.knows_room():
            return "hold"
        if not broken and any(s == "in_doubt" for _, s in at):
            return "hold"
        if any(x[1] == 0 and s == "in_doubt" for x, s in at):
            return "hold"
        if helps and self.planned is None:
            return "hold"
        if self.wanted and self.wanted < 3.0 - FORGIVEN:
            return "hold"
        if self.at > 0 and self.bar.bar["material"] == "carbon" and \
                self.bar.bar.get("cutting", "not stated") == "not stated":
            return "hold"
        return "keep" if not self.wanted and all(s == "holds" for _, s in at) else "cut"


def after(bar, wrong):
    """(verdict, {id: margin}) of a bar that is cut."""
    given = bar.job["as_cut"]
    both = "offcut_left" in given

    def off(r):
        if both:
            more = "as_cut.offcut_left" if given["offcut_left"] >= given["offcut_right"] else "as_cut.offcut_right"
            return r[more] + 1.0
        return (bar.width(r) - r["as_cut.width"]) / 2
    limits = bar.limits(lambda r: r["as_cut.width"], off, wrong)
    states = {}
    for name, slope, margin, origin, exact in limits:
        m = margin(bar.readings)
        if name == "max-cut":
            state = "holds" if m >= -bar.guard(off) - FORGIVEN else "broken"
        else:
            state = status_of(m, 0.0 if exact else bar.guard(margin))
        states[name] = (m, state, origin)
    margins = {name: m for name, (m, _, _) in states.items()}

    def lost(r):
        return bar.width(r) - r["as_cut.width"]
    if both:
        def closure(r):
            return lost(r) - r["as_cut.offcut_left"] - r["as_cut.offcut_right"] - 2.0
        contradicts = abs(closure(bar.readings)) > bar.guard(closure) + FORGIVEN
    else:
        contradicts = lost(bar.readings) < -bar.guard(lost) - FORGIVEN
    if contradicts or bar.disagree():
        return "hold", margins
    if any(s == "broken" and origin not in ("wish", "practice") for _, s, origin in states.values()):
        return "unfit", margins
    if not bar.knows_room() or any(s != "holds" for _, s, _ in states.values()):
        return "hold", margins
    if both:
        def off_centre(r):
            before = r["handlebar.left"] - r["handlebar.right"] if bar.halves else 0.0
            return before - r["as_cut.offcut_left"] + r["as_cut.offcut_right"]
        if abs(off_centre(bar.readings)) > 2 * bar.u(off_centre) + CENTRED + FORGIVEN:
            return "hold", margins
    return "fit", margins


def differences(job, answer, wrong):
    bar = Bar(job)
    plan = Plan(bar, wrong)
    found = []

    def compare(what, got, want):
        same = got == want if isinstance(want, str) else near(got, want)
        if not same:
            found.append(f"{what}: {got}, wanted {want}")
    compare("verdict", answer["verdict"], plan.verdict())
    compare("planned", answer["cut"]["planned_mm"], plan.planned)
    compare("end", answer["cut"]["end"], "both")
    W = bar.width(bar.readings)
    compare("remaining", answer["cut"]["remaining_mm"], W - 2 * plan.at)
    compare("width uncut", answer["width_mm"]["uncut"], W)
    compare("width cut", answer["width_mm"]["cut"], W - 2 * plan.at)
    compare("off centre", answer["off_centre_mm"],
            bar.bar["left"] - bar.bar["right"] if bar.halves else None)
    window = answer["cut"]["window_mm"]
    if plan.lo > plan.hi + FORGIVEN:
        if window is not None:
            found.append(f"window {window}, wanted none")
    elif window is None or not (near(window[0], plan.lo) and near(window[1], plan.hi)):
        found.append(f"window {window}, wanted {plan.lo} to {plan.hi}")
    compare("limits", " ".join(x["id"] for x in answer["limits"]), " ".join(x[0] for x in plan.limits))
    for got, want in zip(answer["limits"], plan.limits):
        compare(f"{want[0]} slope", got["sense"], want[1])
        compare(f"{want[0]} margin", got["margin"], plan.margin(want, plan.at))
        compare(f"{want[0]} guard", got["guard"], plan.guard(want, plan.at > 0))
        compare(f"{want[0]} origin", got["origin"], want[3])
    if "as_cut" in job:
        verdict, margins = after(bar, wrong)
        compare("verdict after", answer["after"]["verdict"], verdict)
        for got in answer["after"]["limits"]:
            compare(f"after {got['id']}", got["margin"], margins[got["id"]])
    return found


def main():
    rng = random.Random(SEED)
    reread(sys.argv, [random_job(rng) for _ in range(JOBS)], differences, "handlebars")


if __name__ == "__main__":
    run_main(main)
