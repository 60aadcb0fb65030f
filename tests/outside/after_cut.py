"""What is said of a part after the cut, reckoned once more in plain Python, against the program.

    after_cut.py PROGRAM RANDOM_JOBS [seatpost|steerer]

Random jobs get a cut that was made, near a bound of some limit or as planned, and readings of what
it left behind. Closure, limits, the routes to the gap and the verdict follow here from the words of
the rules, on the formulas of verdicts.py; the plan before the cut must be that of the same job
without any reading after it. Standards behind the arithmetic: JCGM 100:2008 4.3.7 and 5.1.2; JCGM
106:2012 (guarded acceptance); ISO/IEC 17043 (agreement).
"""

import collections
import random
import sys
import tomllib

import verdicts
from as_cut import measured_after
from program import Mismatches, plan_all, plan_texts, random_jobs, run_main
from verdicts import FORGIVEN, Given

SEED = 30112026
RANDOM_JOBS = {"seatpost": 3000, "steerer": 3700}
KINDS = {"seatpost": verdicts.seatpost, "steerer": verdicts.steerer}


# --- the rules -----------------------------------------------------------------------------------

class AfterTheCut:
    """Everything that is said of one job's part after the cut."""

    def __init__(self, job):
        self.job = job
        self.facts = KINDS[job["kind"]](job, after=True)
        self.doubt = self.facts.doubt
        self.part = job["post" if job["kind"] == "seatpost" else "steerer"]
        given = Given(self.facts.readings)
        original = given("post.length") or given("steerer.length")
        self.left = given("as_cut.length")
        self.off = None if None in (original, self.left) else original - self.left
        self.closure = None
        offcut = given("as_cut.offcut")
        if None not in (self.off, offcut):
            kerf = given("as_cut.kerf") or given("saw.kerf", 1.0)
            self.closure = self.off - (offcut + kerf)

    def guard(self, limit):
        """No saw any more. max-cut has the doubt of the two lengths, and it counts for the part."""
        if limit.id == "max-cut":
            return self.doubt.guard(self.off)
        return limit.guard(self.doubt, sawn=False)

    def status(self, limit):
        margin, guard = limit.margin(0), self.guard(limit)
        if limit.id == "max-cut":
            return "holds" if margin >= -guard - FORGIVEN else "broken"
        return verdicts.status_of(margin, guard)

    def is_open(self):
        return self.closure is not None and \
            abs(self.closure.value) > self.doubt.guard(self.closure) + FORGIVEN

    def has_grown(self):
        """Two lengths that no cut explains, where no sum vouches for them."""
        return self.closure is None and self.off is not None and \
            -self.off.value > self.doubt.guard(self.off) + FORGIVEN

    def lengths_missing(self):
        limits_cut = "max_cut" in self.part or verdicts.cutting_is_closed(self.part)
        return limits_cut and self.off is None or "min_length" in self.part and self.left is None

    def second_reading_missing(self):
        if not self.job["measuring"].get("twice", False):
            return False
        needed = {name for limit in self.facts.limits
                  if not limit.exact or limit.id == "max-cut"
                  for name, part in self.doubt.parts(limit.uncut).items() if part > 0}
        return any(len(self.facts.readings.get(name).raw) < 2 for name in needed)

    def verdict(self):
        """(verdict, why), the first row that applies."""
        states = [(limit, self.status(limit)) for limit in self.facts.limits]
        if self.is_open():
            return "hold", "the sum is open"
        if self.facts.disagree:
            return "hold", "readings or routes disagree"
        if self.has_grown():
            return "hold", "longer than before"
        if any(limit.hard and status == "broken" for limit, status in states):
            return "unfit", "a hard limit is broken"
        if self.facts.unknown:
            return "hold", "mark or gap unknown"
        if self.lengths_missing():
            return "hold", "lengths missing"
        if self.second_reading_missing():
            return "hold", "second reading missing"
        if any(status == "in_doubt" for _, status in states):
            return "hold", "in doubt"
        if any(status == "broken" for _, status in states):
            return "hold", "practice broken"
        return "fit", "fit"

    def figures(self):
        """Everything compared, by its place in the JSON."""
        verdict, _ = self.verdict()
        want = {
            "verdict": verdict,
            "remaining_mm": self.left and self.left.value,
            "cut_mm": self.off and self.off.value,
            "closure_mm": self.closure and self.closure.value,
            "closure_guard_mm": self.closure and self.doubt.guard(self.closure),
            "limits": [{"id": x.id, "sense": x.sense, "origin": x.origin, "margin": x.margin(0),
                        "guard": self.guard(x), "status": self.status(x)}
                       for x in self.facts.limits],
        }
        if self.job["kind"] == "steerer":
            want["gap_mm"] = self.facts.extra["gap_mm"](0)["uncut"]
            return want
        want["insertion_mm"] = self.facts.extra["insertion_mm"](0)
        want["saddle_range_mm"] = self.facts.extra["saddle_range_mm"](0)["uncut"]
        line, shorter = self.facts.line, self.off.value > self.doubt.guard(self.off) + FORGIVEN
        want["new_mark_mm"] = {"from_lower_end": line, "from_rails": self.left.value - line} \
            if shorter and line is not None else None
        return want


def check(job, answer):
    """All differences of one job, and why this side comes to its verdict."""
    after = AfterTheCut(job)
    verdict, why = after.verdict()
    out = [d.lstrip(".") for d in verdicts.differences(after.figures(), answer)]
    out += verdicts.limit_consistency(answer)
    if verdict == "hold" and not answer["holds"] or verdict == "unfit" and not answer["remedies"]:
        out.append(f"{verdict} without a word of what to do")
    return out, after, why


# --- worked cases --------------------------------------------------------------------------------

FORK = {"kind": "steerer", **verdicts.HEAD_150,
        "steerer": {"material": "aluminium", "length": 300}}
POST = {"kind": "seatpost", "saddle": verdicts.SHOWING_140, "post": verdicts.POST}

# Each worked by hand from the rules: (what, job, verdict, closure, its guard).
WORKED = [
    ("a steerer of 300, 71 off as planned",
     {**FORK, "as_cut": {"length": 229, "offcut": 70, "kerf": 1, "gap": 3}}, "fit", 0, 1),
    ("the same, 2 of it missing",
     {**FORK, "as_cut": {"length": 229, "offcut": 68, "kerf": 1, "gap": 3}}, "hold", 2, 1),
    ("the same, off by the guard and no more",
     {**FORK, "as_cut": {"length": 229, "offcut": 69, "kerf": 1, "gap": 3}}, "fit", 1, 1),
    ("cut too short: the top is deeper in the stem than the published 5",
     {**FORK, "as_cut": {"length": 221, "offcut": 78}}, "unfit", 0, 1),
    ("a gap that nobody measured",
     {"kind": "steerer", **verdicts.BY_GAP, "mock_up": {"stands_proud": 68},
      "as_cut": {"length": 229}}, "hold", None, None),
    ("a post of 400 cut to 350",
     {**POST, "as_cut": {"length": 350, "offcut": 49}}, "fit", 0, 1),
    ("5 short of the mark", {**POST, "as_cut": {"length": 235}}, "unfit", None, None),
    ("50 off, the maker allows 49",
     {**POST, "post": {**verdicts.POST, "max_cut": 49}, "as_cut": {"length": 350}},
     "unfit", None, None),
    ("50 off, the maker allows 49.2: the readings may be off by 0.8",
     {**POST, "post": {**verdicts.POST, "max_cut": 49.2}, "as_cut": {"length": 350}},
     "fit", None, None),
]


def worked_differences(row, answer):
    what, _, verdict, closure, guard = row
    got = (answer["verdict"], answer["closure_mm"], answer["closure_guard_mm"])
    same = got[0] == verdict and verdicts.near(got[1], closure) and verdicts.near(got[2], guard)
    return [] if same else [f"{what}: {got}, worked by hand: {(verdict, closure, guard)}"]


# --- random jobs ---------------------------------------------------------------------------------

def cut_to_make(rng, facts):
    """As planned, or such that some limit comes out near its bound or its guard."""
    planned = verdicts.planned_cut(facts)
    roll = rng.random()
    if planned is not None and roll < 0.4:
        return planned
    if roll > 0.97:
        return -rng.uniform(0, 4)  # a part that has become longer: a slip of the pen
    moved = [limit for limit in facts.limits if limit.sense]
    limit = rng.choice(moved)
    guard = limit.guard(facts.doubt, sawn=False)
    aim = rng.choice([0.0, guard, -guard]) + rng.choice([0.0, rng.uniform(-2, 2), 20.0])
    cut = (aim - limit.uncut.value) * limit.sense
    return cut if 0 <= cut <= 300 else rng.uniform(0, 120)


def with_cut(rng, text, job):
    """The text of the job with a cut that was made; None where no limit goes by the cut."""
    facts = KINDS[job["kind"]](job)
    if not any(limit.sense for limit in facts.limits):
        return None
    original = facts.readings.value("post.length" if job["kind"] == "seatpost" else "steerer.length")
    gap = facts.extra["gap_mm"](0)["uncut"] if job["kind"] == "steerer" else None
    return text + measured_after(rng, job, original, gap, cut_to_make(rng, facts))


def compare_random(program, generator, kind, mismatches):
    rng = random.Random(SEED)
    pairs = [(text, with_cut(rng, text, job))
             for text, job in random_jobs(generator, kind, SEED, RANDOM_JOBS[kind])]
    pairs = [(before, text) for before, text in pairs if text]
    seen = collections.Counter()
    plans = plan_texts(program, [before for before, _ in pairs])
    answers = plan_texts(program, [text for _, text in pairs])
    for (_, plan), (text, answer) in zip(plans, answers):
        out, after, why = check(tomllib.loads(text), answer["after"])
        apart = {"after": None, "file": None}  # the two stand in files of different names
        if plan["after"] is not None or {**answer, **apart} != {**plan, **apart}:
            out.append("what was measured after the cut changes the plan before it")
        mismatches.add(f"(here: {after.verdict()})\n{text}", out)
        seen[why] += 1
        seen[after.verdict()[0]] += 1
        if after.closure is not None:
            seen["open" if after.is_open() else "closed"] += 1
        seen.update({(x.id, after.status(x)) for x in after.facts.limits})
    return seen


REASONS = {"the sum is open", "readings or routes disagree", "longer than before",
           "a hard limit is broken", "mark or gap unknown", "lengths missing",
           "second reading missing", "in doubt", "practice broken", "fit", "open", "closed"}
# A seatpost's lengths are always given; a steerer's are checked by its routes.
NEVER = {"seatpost": {"lengths missing"}, "steerer": set()}


def assert_coverage(kind, seen):
    """A differential test proves nothing about a rule that no job reaches."""
    missing = REASONS - NEVER[kind] - set(seen)
    missing |= {f"{i} {s}" for i in verdicts.LIMIT_IDS[kind] for s in ("holds", "broken")
                if not seen[(i, s)]}
    if missing:
        print(f"{kind}: no random job reached {sorted(map(str, missing))}", file=sys.stderr)
        sys.exit(1)


def main():
    program, generator = sys.argv[1:3]
    kinds = sys.argv[3:] or list(KINDS)
    mismatches = Mismatches()
    table = [row for row in WORKED if row[1]["kind"] in kinds]
    jobs = [{**row[1], "measuring": {}, "saw": {}} for row in table]
    for row, job, (text, answer) in zip(table, jobs, plan_all(program, jobs)):
        mismatches.add(text, worked_differences(row, answer["after"])
                       + check(job, answer["after"])[0])
    counts = []
    for kind in kinds:
        seen = compare_random(program, generator, kind, mismatches)
        assert_coverage(kind, seen)
        answers = ", ".join(f"{seen[v]} {v}" for v in ("fit", "hold", "unfit"))
        counts.append(f"random {kind} jobs ({answers}; "
                      f"{seen['closed']} sums closed, {seen['open']} open)")
    mismatches.finish(f"after the cut: {len(table)} worked cases, " + ", ".join(counts))


if __name__ == "__main__":
    run_main(main)
