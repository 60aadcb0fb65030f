"""Handlebars once more, in plain Python, against the program on random jobs, before and after the cut.

    handlebar.py PROGRAM RANDOM_JOBS [--must-catch]

Written from the rules alone, without a look at the program's sources. Every margin is a function of the readings;
sensitivities are central differences of it, exact as all of them are linear. Standards behind the arithmetic:
JCGM 100:2008 4.3.7 and 5.1.2, JCGM 106:2012, ISO/IEC 17043. With --must-catch one limit is read wrongly on purpose,
and the check succeeds if it finds that.
"""

import math
import random
import sys

from as_cut import dressed, slip
from program import near, random_jobs, reread, run_main, toml
from readings import Readings
from verdicts import readings_disagree

SEED = 42102
JOBS = 1200
FORGIVEN = 1e-9
NORM_LEAST = 350.0  # ISO 4210-2:2014 4.7, from memory
CENTRED = 2.0
LEAST_BEYOND_KERF = 2.0


def with_cut(rng, text, job):
    """Now and then with a cut that was made, mostly near the planned one."""
    if rng.random() > 0.35:
        return text
    known = Readings(job)
    width, kerf = known.value("handlebar.width"), known.value("saw.kerf", 1.0)
    off = max((width - known.value("handlebar.wanted")) / 2 + rng.choice([0, 0, 10]), 3) + slip(rng, 0.5, 4)
    as_cut = {"width": dressed(rng, max(width - 2 * off, 305))}
    if rng.random() < 0.7:
        skew, wrong = rng.choice([0, 0, 0, 1, 4]), rng.choice([0, 0, 0, 3])
        as_cut["offcut_left"] = dressed(rng, max(off - kerf + skew + wrong, 4))
        as_cut["offcut_right"] = dressed(rng, max(off - kerf - skew, 4))
    return text + toml({"as_cut": as_cut})


class Bar:
    def __init__(self, job):
        self.job, self.known = job, Readings(job)
        self.bar = job["handlebar"]
        self.readings = {name: reading.value for name, reading in self.known.by_name.items()} | {"saw": 0.0}
        self.within = {name: reading.within for name, reading in self.known.by_name.items() if reading.within}
        self.within["saw"] = self.known.value("saw.within", 0.5)
        self.k = self.known.coverage
        self.closed = self.bar.get("cutting", "not stated") == "forbidden"
        self.halves = "left" in self.bar

    def figure(self, key, default=None):
        return self.known.value(f"handlebar.{key}", default)

    def slope(self, value, name):
        at = self.readings[name]
        slope = (value(self.readings | {name: at + 1}) - value(self.readings | {name: at - 1})) / 2
        return slope if abs(slope) > FORGIVEN else 0.0

    def doubts(self, value):
        """Half-width times slope, of each reading that value(readings) hangs on."""
        return [abs(self.slope(value, name)) * within for name, within in self.within.items()]

    def u(self, value):
        return math.sqrt(sum(p * p for p in self.doubts(value)) / 3)

    def guard(self, value):
        return min(self.k * self.u(value), sum(self.doubts(value)))

    def width(self, r):
        by_halves = self.halves and self.u(lambda x: x["handlebar.left"] + x["handlebar.right"]) \
            < self.u(lambda x: x["handlebar.width"]) - FORGIVEN
        return r["handlebar.left"] + r["handlebar.right"] if by_halves else r["handlebar.width"]

    def disagree(self, after=False):
        if readings_disagree(self.known, after):
            return True
        if not self.halves:
            return False
        routes = self.u(lambda r: r["handlebar.width"] - r["handlebar.left"] - r["handlebar.right"])
        d = self.figure("width") - self.figure("left") - self.figure("right")
        off = self.u(lambda r: r["handlebar.left"] - r["handlebar.right"])
        return abs(d) > self.k * routes + FORGIVEN or abs(self.off_centre()) > self.k * off + CENTRED + FORGIVEN

    def off_centre(self):
        return self.figure("left") - self.figure("right") if self.halves else None

    def kerf(self, r):
        return r.get("as_cut.kerf", r.get("saw.kerf", 1.0))

    def second_reading_missing(self, margins):
        """margins: of what is not compared as marked."""
        if not self.job["measuring"].get("twice", False):
            return False
        names = [name for name in self.within if name != "saw" and len(self.known.get(name).raw) < 2]
        return any(self.slope(margin, name) for margin in margins for name in names)

    def controls(self, r):
        return sum(v for name, v in r.items() if name.startswith("controls-"))

    def limits(self, W, off, wrong=False):
        """(id, slope, margin of the readings, origin, compared as marked); W, off: functions of the readings."""
        b, out, figure = self.bar, [], self.figure
        widest, narrowest = figure("widest", figure("wanted") + 5), figure("narrowest", figure("wanted") - 5)
        out.append(("width-most", 2, lambda r: widest - W(r), "wish", True))
        out.append(("width-least", -2, lambda r: W(r) - narrowest, "wish", True))
        if "min_width" in b:
            out.append(("bar-minimum", -2, lambda r: W(r) - figure("min_width"), "maker", False))
        out.append(("norm-least", -2, lambda r: W(r) - NORM_LEAST, "published", False))
        if "to_mark" in b:
            out.append(("cut-mark", -1, lambda r: r["handlebar.to_mark"] - off(r), "maker", False))
        if self.knows_room():
            air = 0 if wrong else figure("air", 0)
            out.append(("controls", -1, lambda r: r["handlebar.straight"] - off(r) - self.controls(r) - air,
                        "measured", False))
        if "grip_zone" in b and "controls" in self.job:
            out.append(("grip-zone", -1, lambda r: figure("grip_zone") - off(r) - self.controls(r), "maker", False))
        if self.closed or "max_cut" in b:
            most = 0.0 if self.closed else figure("max_cut")
            out.append(("max-cut", -1, lambda r: most - off(r), "maker", True))
        return out + mass_limits(self.readings, "handlebar")

    def knows_room(self):
        return "straight" in self.bar and "controls" in self.job


def mass_limits(readings, part):
    """(id, 0, margin, origin, False) of what the makers allow; `part` is the table of the part."""
    def smallest(key):
        allowed = [name for name in (f"frame.max_{key}", f"{part}.max_{key}") if name in readings]
        return min(allowed, key=readings.get, default=None)
    out = []
    for key, names in (("rider", ("rider.mass",)), ("system", ("rider.system_mass", "rider.mass"))):
        weighed = next((name for name in names if name in readings), None)
        if smallest(key) and weighed:
            out.append((f"{key}-mass", 0, lambda r, most=smallest(key), mass=weighed: r[most] - r[mass], "maker", False))
    return out


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
        self.wanted, self.least = bar.known.value("saw.wanted"), bar.known.value("saw.kerf", 1.0) + LEAST_BEYOND_KERF
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
        wish = (self.bar.width(self.bar.readings) - self.bar.figure("wanted")) / 2
        step = self.bar.known.value("saw.step", 1.0)
        for grid in [step] + [g for g in (1.0, 0.5, 0.1) if g < step]:
            first = math.ceil((max(self.lo, self.least) - FORGIVEN) / grid)
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
        if self.bar.second_reading_missing([x[2] for x in self.limits if not x[4]]):
            return "hold"
        if helps and self.planned is None:
            return "hold"
        if self.wanted and self.wanted < self.least - FORGIVEN:
            return "hold"
        if self.at > 0 and self.bar.bar["material"] == "carbon" and \
                self.bar.bar.get("cutting", "not stated") == "not stated":
            return "hold"
        return "keep" if not self.wanted and all(s == "holds" for _, s in at) else "cut"


def after(bar, wrong):
    """(verdict, {id: margin}) of a bar that is cut."""
    given = bar.job["as_cut"]
    both = "offcut_left" in given
    more = max(("as_cut.offcut_left", "as_cut.offcut_right"), key=lambda name: bar.readings.get(name, 0.0))

    def off(r):
        if both:
            return r[more] + bar.kerf(r)
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
            return lost(r) - r["as_cut.offcut_left"] - r["as_cut.offcut_right"] - 2 * bar.kerf(r)
        contradicts = abs(closure(bar.readings)) > bar.guard(closure) + FORGIVEN
    else:
        contradicts = lost(bar.readings) < -bar.guard(lost) - FORGIVEN
    if contradicts or bar.disagree(after=True):
        return "hold", margins
    if any(s == "broken" and origin not in ("wish", "practice") for _, s, origin in states.values()):
        return "unfit", margins
    judged = [off if name == "max-cut" else margin for name, _, margin, _, exact in limits
              if name == "max-cut" or not exact]
    if not bar.knows_room() or bar.second_reading_missing(judged) or any(s != "holds" for _, s, _ in states.values()):
        return "hold", margins
    if both:
        def off_centre(r):
            before = r["handlebar.left"] - r["handlebar.right"] if bar.halves else 0.0
            return before - r["as_cut.offcut_left"] + r["as_cut.offcut_right"]
        if abs(off_centre(bar.readings)) > bar.k * bar.u(off_centre) + CENTRED + FORGIVEN:
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
    compare("off centre", answer["off_centre_mm"], bar.off_centre())
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
    texts = [with_cut(rng, *pair) for pair in random_jobs(sys.argv[2], "handlebar", SEED, JOBS)]
    reread(sys.argv, texts, differences, "handlebars")


if __name__ == "__main__":
    run_main(main)
