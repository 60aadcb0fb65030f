"""The decision rule once more, in plain Python, against the program on thousands of random jobs.

    verdicts.py PROGRAM RANDOM_JOBS [seatpost|steerer]

Written from the rules alone, without a look at the program's sources, so that a rule read wrongly
on one side shows up as a difference. Sensitivities come from complex-step differentiation: a
formula evaluated at x + i*tiny gives the exact derivative in its imaginary part, so no derivative
is typed in by hand here. Standards behind the arithmetic: JCGM 100:2008 4.3.7 (half-width to
standard uncertainty), 5.1.2 (propagation); JCGM 106:2012 (guarded acceptance); ISO/IEC 17043
(agreement).
"""

import cmath
import collections
import itertools
import math
import sys
from dataclasses import dataclass, field

from program import Mismatches, near, plan_all, plan_texts, random_jobs, run_main
from readings import Readings, in_base_unit

FORGIVEN = 1e-9  # every comparison forgives this much, so that 0.1 + 0.2 may equal 0.3
SEED = 20240607
# A fifth of the steerers has a wish for the bar and is left out.
RANDOM_JOBS = {"seatpost": 4000, "steerer": 3700}


# --- numbers that carry their sensitivities ------------------------------------------------------

@dataclass(frozen=True)
class Estimate:
    """A value and its slope for every reading it depends on (by name)."""

    value: float
    slopes: dict = field(default_factory=dict)

    def __add__(self, other):
        other = as_estimate(other)
        slopes = collections.Counter()
        for part in (self.slopes, other.slopes):
            for name, slope in part.items():
                slopes[name] += slope
        return Estimate(self.value + other.value, dict(slopes))

    def __neg__(self):
        return Estimate(-self.value, {n: -s for n, s in self.slopes.items()})

    def __sub__(self, other):
        return self + -as_estimate(other)

    def __radd__(self, other):
        return self + other

    def __rsub__(self, other):
        return -self + other


def as_estimate(x):
    return x if isinstance(x, Estimate) else Estimate(float(x))


def formula(function, *inputs):
    """function(inputs) with exact slopes, by complex steps."""
    inputs = [as_estimate(x) for x in inputs]
    at = [x.value for x in inputs]
    result = Estimate(complex(function(*at)).real)
    for position, x in enumerate(inputs):
        if not x.slopes:
            continue
        stepped = list(at)
        stepped[position] = complex(at[position], 1e-100)
        slope = complex(function(*stepped)).imag / 1e-100
        result = result + Estimate(0.0, {n: slope * s for n, s in x.slopes.items()})
    return result


@dataclass
class Doubt:
    """The half-widths of one job, the saw's included, and its coverage factor."""

    within: dict
    coverage: float

    def parts(self, estimate):
        return {n: abs(s) * self.within[n] for n, s in estimate.slopes.items()}

    def standard(self, estimate):
        return math.sqrt(sum(p * p for p in self.parts(estimate).values()) / 3)

    def guard(self, estimate):
        parts = self.parts(estimate)
        return min(self.coverage * self.standard(estimate), sum(parts.values()))


def status_of(margin, guard):
    if margin >= guard - FORGIVEN:
        return "holds"
    if margin < 0 and margin <= -guard + FORGIVEN:
        return "broken"
    return "in_doubt"


# --- limits --------------------------------------------------------------------------------------

HARD = ("maker", "published", "measured")
SAW = "saw.within"


@dataclass
class Limit:
    """margin(c) = uncut + sense * c; `exact` limits are compared as marked, with no guard."""

    id: str
    sense: int
    uncut: Estimate
    origin: str

    @property
    def hard(self):
        return self.origin in HARD

    @property
    def exact(self):
        return self.origin == "practice" or self.id == "max-cut"

    def margin(self, cut):
        return self.uncut.value + self.sense * cut

    def estimate(self, sawn):
        """The uncut margin with all its doubts; the saw's joins once there is a cut."""
        if sawn and self.sense:
            return self.uncut + Estimate(0.0, {SAW: float(self.sense)})
        return self.uncut

    def guard(self, doubt, sawn):
        return 0.0 if self.exact else doubt.guard(self.estimate(sawn))

    def status(self, doubt, cut):
        return status_of(self.margin(cut), self.guard(doubt, cut > 0))


@dataclass
class Facts:
    """What the two kinds of job hand to the one decision rule."""

    job: dict
    readings: Readings
    doubt: Doubt
    limits: list
    unknown: bool
    disagree: bool
    closed: bool
    carbon_not_asked: bool
    preferred: object  # lo -> preferred cut
    extra: dict        # figures of its kind to compare: name -> function of the cut
    line: float = None  # least insertion that the maker wants, above the lower end of a post


def readings_disagree(readings, after=False):
    """Any two readings of one value further apart than coverage * u(difference).

    What was measured after the cut counts after it only.
    """
    for r in readings.by_name.values():
        if r.name.startswith("as_cut.") and not after:
            continue
        allowed = readings.coverage * math.sqrt(2 * r.within ** 2 / 3)
        if any(abs(x - y) > allowed + FORGIVEN for x, y in itertools.combinations(r.raw, 2)):
            return True
    return False


def choose_route(doubt, routes):
    """routes: (value, margin it would give). Smallest u wins, the first on a tie.

    Gives the value of the chosen route and whether any two disagree.
    """
    disagree = False
    for (one, _), (other, _) in itertools.combinations(routes, 2):
        d = one - other
        disagree |= abs(d.value) > doubt.coverage * doubt.standard(d) + FORGIVEN
    best = routes[0]
    for route in routes[1:]:
        if doubt.standard(route[1]) < doubt.standard(best[1]) - FORGIVEN:
            best = route
    return best[0], disagree


def cutting_is_closed(part):
    default = "not stated" if "mark" in part else "allowed"  # posts, steerers
    return (part.get("cutting", default) == "forbidden"
            or part.get("build") in ("dropper", "suspension"))


def maker_not_asked(part):
    default = "not stated" if "mark" in part else "allowed"
    return part["material"] == "carbon" and part.get("cutting", default) == "not stated"


def mass_limits(given, part):
    """What the makers allow against what was weighed; `part` is "post" or "steerer"."""
    limits = []
    rider, system = given("rider.mass"), given("rider.system_mass")
    for name, key, weighed in (("rider-mass", "max_rider", rider),
                               ("system-mass", "max_system", system or rider)):
        allowed = [x for x in (given(f"frame.{key}"), given(f"{part}.{key}")) if x is not None]
        if allowed and weighed is not None:
            most = min(allowed, key=lambda x: x.value)
            limits.append(Limit(name, 0, most - weighed, "maker"))
    return limits


def maker_limits(part, length, off=Estimate(0.0)):
    """max-cut and min-length are alike for both kinds of part.

    off: what has been cut off already, None where nobody knows.
    """
    limits = []
    if off is not None:
        if cutting_is_closed(part):
            limits.append(Limit("max-cut", -1, 0 - off, "maker"))
        elif "max_cut" in part:
            limits.append(Limit("max-cut", -1, in_base_unit(part["max_cut"]) - off, "maker"))
    if "min_length" in part and length is not None:
        limits.append(Limit("min-length", -1, length - in_base_unit(part["min_length"]), "maker"))
    return limits


class Given:
    """The values of one job as estimates; defaults and exact values have no slope."""

    def __init__(self, readings):
        self.readings = readings

    def __call__(self, name, default=None):
        reading = self.readings.get(name)
        if reading is None:
            return None if default is None else Estimate(float(default))
        return Estimate(reading.value, {name: 1.0} if reading.within else {})

    def stack(self, key, default=None):
        rings = self.readings.rings(key)
        if rings is None:
            return None if default is None else Estimate(float(default))
        return sum((self(r.name) for r in rings), Estimate(0.0))


def doubt_of(job, readings):
    within = {name: r.within for name, r in readings.by_name.items()}
    within[SAW] = readings.value(SAW, 0.5)
    return Doubt(within, readings.coverage)


# --- seatpost ------------------------------------------------------------------------------------

class SaddleGeometry:
    """From the saddle height, the way this job measures it, to the extension and back.

    theta seat angle (degrees), a axis offset (positive in front of the BB), b setback (positive
    rearward), h rail to top (vertical), T BB centre to collar edge, crank for heights from the
    pedal axle.
    """

    def __init__(self, job, given):
        self.way = job["saddle"].get("measured", "along tube")
        self.T = given("frame.seat_tube", 0)
        self.theta = given("frame.seat_angle", 90)
        self.a = given("frame.axis_offset", 0)
        self.b = given("post.setback", 0)
        self.h = given("saddle.rail_to_top", 0)
        pedal = job["saddle"].get("from") == "pedal axle"
        self.crank = given("saddle.crank") if pedal else Estimate(0.0)

    def extension(self, height):
        if self.way == "extension":
            return height
        return formula(self._extension, height - self.crank, self.T, self.theta, self.a, self.b,
                       self.h)

    def _extension(self, H, T, theta, a, b, h):
        sin, cos = cmath.sin(theta * math.pi / 180), cmath.cos(theta * math.pi / 180)
        e = a - b
        if self.way == "along tube":
            s_rail = H - (e * cos + h) / sin
        elif self.way == "straight":
            s_rail = cmath.sqrt(H ** 2 - (e + h * cos) ** 2) - h * sin
        else:
            s_rail = H
        return s_rail - cmath.sqrt(T ** 2 - a ** 2)

    def height(self, E):
        """The saddle height, in the job's own way, that gives extension E."""
        if self.way == "extension":
            return E
        s = E + math.sqrt(self.T.value ** 2 - self.a.value ** 2)
        sin = math.sin(math.radians(self.theta.value))
        cos = math.cos(math.radians(self.theta.value))
        e, h = self.a.value - self.b.value, self.h.value
        if self.way == "along tube":
            s += (e * cos + h) / sin
        elif self.way == "straight":
            s = math.hypot(s + h * sin, e + h * cos)
        return s + self.crank.value


INSERTION_LIMITS = ("mark", "post-minimum", "frame-minimum", "floor", "junction", "clamp-held")


def seatpost(job, after=False):
    """The post before the cut or, with what was measured then, after it."""
    readings = Readings(job)
    given, doubt = Given(readings), doubt_of(job, readings)
    frame, post = job.get("frame", {}), job["post"]
    geometry = SaddleGeometry(job, given)
    E = given("saddle.height")
    low, high = given("saddle.lowest") or E, given("saddle.highest") or E
    E, E_low, E_high = (geometry.extension(x) for x in (E, low, high))
    P, hang = given("post.length"), given("post.hang", 0)
    # Which route tells a depth is chosen on the uncut post, once and for all.
    depths, disagree = blockage_depths(job, given, doubt, P - E_low + hang)
    off = P - given("as_cut.length") if after else Estimate(0.0)
    P = given("as_cut.length") if after else P
    inserted_low, inserted_high = P - E_low, P - E_high

    mark = None if post["mark"] == "unknown" else given("post.mark")
    diameter = in_base_unit(post["diameter"])
    is_round = post.get("section", "round") == "round"

    limits = [Limit(f"blockage-{n}", +1, depth - (inserted_low + hang), "measured")
              for n, (depth, _) in enumerate(depths, 1)]
    limits += [Limit(f"clearance-{n}", +1, depth - clearance - (inserted_low + hang), "practice")
               for n, (depth, clearance) in enumerate(depths, 1)]
    bounds = insertion_bounds(frame, post, mark, given, diameter, is_round)
    limits += [Limit(name, -1, inserted_high - bound, origin) for name, bound, origin in bounds]
    limits += maker_limits(post, P, off)
    limits.append(Limit("head", 0, E_low - given("post.head", 0), "measured"))
    if "grip" in post:
        upper, lower = map(in_base_unit, post["grip"])
        held = given("frame.clamp_below", 0)  # the part that clamps, below the collar edge
        limits.append(Limit("grip-upper", 0, E_low + held - upper, "maker"))
        limits.append(Limit("grip-lower", 0, lower - (E_high + held), "maker"))
    if "bore" in frame and is_round and not post.get("shim", False):
        fit = 0.1 - abs(in_base_unit(frame["bore"]) - diameter)
        limits.append(Limit("bore-fit", 0, Estimate(fit), "practice"))
    limits += mass_limits(given, "post")

    line = max((x for x in (mark.value if mark else None, given_value(post, "min_insertion"))
                if x is not None), default=None)
    facts = Facts(job, readings, doubt, limits,
                  unknown=mark is None and "min_insertion" not in post,
                  disagree=disagree or readings_disagree(readings, after),
                  closed=cutting_is_closed(post), carbon_not_asked=maker_not_asked(post),
                  preferred=lambda lo: lo, extra={}, line=line)
    heights = {"lowest": E_low.value, "height": E.value, "highest": E_high.value}
    facts.extra = {
        "extension_mm": lambda c: heights,
        "insertion_mm": lambda c: {k: P.value - c - v for k, v in heights.items()},
        "scale_reading": lambda c: scale_reading(post, given, heights),
        "saddle_range_mm": lambda c: {
            "uncut": saddle_range(facts, geometry, E_low.value, E_high.value, 0.0),
            "cut": saddle_range(facts, geometry, E_low.value, E_high.value, c) if c > 0 else None},
        "uncut_fit": lambda c: uncut_fit(job, readings, doubt, bounds, depths, hang, E_low, E_high),
        "new_mark_mm": lambda c: None if c == 0 or line is None else {
            "from_lower_end": line, "from_rails": P.value - c - line},
        "cut.remaining_mm": lambda c: P.value - c,
    }
    return facts


def given_value(table, key):
    return in_base_unit(table[key]) if key in table else None


def blockage_depths(job, given, doubt, reach):
    """[(depth, clearance)], the mock-up merged into the shallowest probed one; do routes disagree?

    reach: insertion at the lowest saddle, uncut, plus hang.
    """
    probed = job.get("frame", {}).get("blockage", [])
    depths = [(given(f"frame.blockage-{n}.depth"), in_base_unit(b.get("clearance", 2)))
              for n, b in enumerate(probed, 1)]
    if "mock_up" not in job:
        return depths, False
    by_mock_up = given("post.length") - given("mock_up.exposed_bottomed")
    if job["mock_up"].get("hang_fitted", False):
        by_mock_up = by_mock_up + given("post.hang", 0)
    if not depths:
        return [(by_mock_up, 2.0)], False
    shallowest = min(range(len(depths)), key=lambda n: depths[n][0].value)
    probe, clearance = depths[shallowest]
    routes = [(probe, probe - reach), (by_mock_up, by_mock_up - reach)]
    chosen, disagree = choose_route(doubt, routes)
    depths[shallowest] = (chosen, clearance)
    return depths, disagree


def insertion_bounds(frame, post, mark, given, diameter, is_round):
    """(id, least insertion, origin) of every limit that wants the post deep enough."""
    bounds = []
    if mark is not None:
        bounds.append(("mark", mark, "maker"))
    if "min_insertion" in post:
        bounds.append(("post-minimum", given("post.min_insertion"), "maker"))
    if "min_insertion" in frame:
        bounds.append(("frame-minimum", given("frame.min_insertion"), "maker"))
    # 16 CFR 1512.15(b) for round posts; ISO 4210-2 4.16.2 for the others.
    bounds.append(("floor", Estimate(2 * diameter if is_round else 65.0), "published"))
    if "junction" in frame and "min_insertion" not in frame:
        bounds.append(("junction", given("frame.junction") + diameter, "practice"))
    if given("frame.clamp_below", 0).value > 0:
        bounds.append(("clamp-held", given("frame.clamp_below"), "measured"))
    return bounds


def scale_reading(post, given, heights):
    if "scale" not in post:
        return None
    zero, unit = given("post.scale.zero_at").value, in_base_unit(post["scale"].get("per_unit", 10))
    sign = -1 if post["scale"].get("rising") == "up" else 1
    return {k: sign * (E - zero) / unit for k, E in heights.items()}


def saddle_range(facts, geometry, E_low, E_high, cut):
    """From the saddle at which something would touch to the one at which insertion runs out."""
    def spare(stops):
        return [limit.margin(cut) - limit.guard(facts.doubt, cut > 0) for limit in facts.limits
                if stops(limit.id)]

    # A head that nobody has measured tells nothing of how far down the post may go.
    head = ("head",) if "head" in facts.job["post"] else ()
    lowest = E_low - min(spare(lambda i: i.startswith(("blockage", "clearance"))
                               or i in ("grip-upper", *head)), default=math.inf)
    highest = E_high + min(spare(lambda i: i in INSERTION_LIMITS or i == "grip-lower"))
    if lowest > highest + FORGIVEN:
        return None
    return [None if lowest == -math.inf else geometry.height(lowest), geometry.height(highest)]


def uncut_fit(job, readings, doubt, bounds, depths, hang, E_low, E_high):
    """Lengths of another post that would fit as it comes, read by a steel rule of its own."""
    rule = readings.half_widths["steel rule"]
    doubt = Doubt({**doubt.within, "another post": rule}, doubt.coverage)
    another = Estimate(0.0, {"another post": 1.0})
    low = max((need + (0 if origin == "practice" else doubt.guard(another - need))).value
              for need, origin in ((E_high + bound, origin) for _, bound, origin in bounds))
    ends = []
    for depth, clearance in depths:
        room = depth - hang + E_low
        ends += [room.value - doubt.guard(room - another), room.value - clearance]
    high = min(ends, default=None)
    if high is not None and low > high + FORGIVEN:
        return None
    fitting = [length for length in map(in_base_unit, job.get("stock", {}).get("lengths", []))
               if length >= low - FORGIVEN and (high is None or length <= high + FORGIVEN)]
    return {"length_mm": [low, high], "stock_mm": fitting}


# --- steerer -------------------------------------------------------------------------------------

def steerer(job, after=False):
    """The steerer before the cut or, with what was measured then, after it."""
    readings = Readings(job)
    given, doubt = Given(readings), doubt_of(job, readings)
    fork, stem, cap = job["steerer"], job.get("stem", {}), job.get("cap", {})
    spacers, expander = job.get("spacers", {}), job.get("expander", {})
    K, S = given("stem.clamp"), given("steerer.length")
    below = given.stack("spacers.below")
    B_low, B_high = given.stack("spacers.lowest") or below, given.stack("spacers.highest") or below
    A = given.stack("spacers.above", 0)

    off = Estimate(0.0)
    if after:
        left = given("as_cut.length")
        off = None if None in (S, left) else S - left
        G0, disagree = gap_after(job, given, doubt, K, left, off, B_high, A)
        S = left
    else:
        G0, disagree = uncut_gap(job, given, doubt, K, S, B_high, A)
    limits = []
    if G0 is not None:
        limits += gap_limits(fork, stem, cap, expander, G0, K, A, B_low, B_high,
                             given("expander.flange", 0))
    limits += maker_limits(fork, S, off)
    # Rings count by their nominal heights here: a maker counts rings, not tenths.
    nominal_low, nominal_high = B_low.value, B_high.value
    if "max_below" in spacers:
        limits.append(Limit("spacers-below", 0, Estimate(
            in_base_unit(spacers["max_below"]) - nominal_high), "maker"))
    if "min_above" in spacers:
        limits.append(Limit("spacers-above-least", 0, Estimate(
            A.value - in_base_unit(spacers["min_above"])), "maker"))
    if "max_above" in spacers:
        limits.append(Limit("spacers-above-most", 0, Estimate(
            in_base_unit(spacers["max_above"]) - (A.value + nominal_high - nominal_low)), "maker"))
    limits += mass_limits(given, "steerer")

    # The cap's gap counts from the top of what lies on the steerer.
    wanted_gap = in_base_unit(cap.get("gap", 3)) + given("expander.flange", 0).value
    return Facts(job, readings, doubt, limits, unknown=G0 is None,
                 disagree=disagree or readings_disagree(readings, after),
                 closed=cutting_is_closed(fork), carbon_not_asked=maker_not_asked(fork),
                 preferred=(lambda lo: lo) if G0 is None else (lambda lo: wanted_gap - G0.value),
                 extra={
                     "gap_mm": lambda c: {"uncut": None if G0 is None else G0.value,
                                          "cut": None if G0 is None else G0.value + c},
                     "cut.remaining_mm": lambda c: None if S is None else S.value - c,
                 })


def uncut_gap(job, given, doubt, K, S, B_high, A):
    """How far the steerer ends below the cap, by the parts or a mock-up; do they disagree?"""
    other = -given("mock_up.stands_proud") if "mock_up" in job else None
    return chosen_gap(doubt, gap_by_parts(given, K, S, B_high, A), [other], S, B_high + K + A)


def gap_by_parts(given, K, S, B_high, A):
    tube, lower, upper = given("frame.head_tube"), given("headset.lower"), given("headset.upper")
    if None in (tube, lower, upper, K, S, B_high):
        return None
    return lower + tube + upper + B_high + K + A - S


def gap_after(job, given, doubt, K, left, off, B_high, A):
    """The same after the cut: by the parts, by the mock-up and what came off, or as measured."""
    known = "mock_up" in job and off is not None
    others = [off - given("mock_up.stands_proud") if known else None, given("as_cut.gap")]
    return chosen_gap(doubt, gap_by_parts(given, K, left, B_high, A), others, left, B_high + K + A)


def chosen_gap(doubt, by_parts, others, length, stack):
    """The gap and whether anything contradicts it: also a stack that is taller than steerer and gap together."""
    routes = [(route, route) for route in [by_parts, *others] if route is not None]
    if not routes:
        return None, False
    gap, disagree = choose_route(doubt, routes)
    if by_parts is None and length is not None:
        rooms = [length + route - stack for route, _ in routes]
        disagree |= any(-room.value > doubt.coverage * doubt.standard(room) + FORGIVEN for room in rooms)
    return gap, disagree


def gap_limits(fork, stem, cap, expander, G0, K, A, B_low, B_high, F):
    free = G0 - F  # room between the cap and the rim of the expander
    limits = [Limit("preload", +1, free, "measured")]
    least, most = in_base_unit(cap.get("gap_min", 2)), in_base_unit(cap.get("gap_max", 5))
    limits.append(Limit("gap-least", +1, free - least, "maker" if "gap_min" in cap else "practice"))
    limits.append(Limit("gap-most", -1, most - free, "maker" if "gap_max" in cap else "practice"))
    recess = G0 - A  # top of the uppermost stem down to the top of the steerer
    limits.append(Limit("stem-recess", -1, 5 - recess, "published"))  # ISO 4210-2 4.7.4
    if "recess_max" in stem:
        limits.append(Limit("stem-cover", -1, in_base_unit(stem["recess_max"]) - recess, "maker"))
    elif fork["material"] == "carbon":
        limits.append(Limit("stem-cover", -1, 0 - recess, "practice"))
    if "to" in expander:
        reach = K + A + B_high - B_low - G0
        limits.append(Limit("expander-reach", +1, in_base_unit(expander["to"]) - reach, "maker"))
    if in_base_unit(expander.get("from", 0)) > 0:
        limits.append(Limit("expander-top", -1, A - G0 - in_base_unit(expander["from"]), "maker"))
    return limits


# --- from limits to a verdict --------------------------------------------------------------------

def extreme_cuts(facts):
    """(lo, hi): least cut that satisfies what cutting helps, most that keeps what it hurts."""
    lo = max([0.0] + [x.guard(facts.doubt, True) - x.uncut.value
                      for x in facts.limits if x.sense > 0])
    hi = min((x.uncut.value - x.guard(facts.doubt, True)
              for x in facts.limits if x.sense < 0), default=math.inf)
    return lo, hi


def planned_cut(facts):
    uncut = [x.status(facts.doubt, 0.0) for x in facts.limits if x.sense]
    if facts.closed or all(status == "holds" for status in uncut):
        return None
    lo, hi = extreme_cuts(facts)
    saw = facts.job.get("saw", {})
    step, least = in_base_unit(saw.get("step", 1.0)), in_base_unit(saw.get("kerf", 1.0)) + 2
    start = max(lo, least)
    for grid in [step] + [g for g in (1.0, 0.5, 0.1) if g < step - FORGIVEN]:
        first = math.ceil((start - FORGIVEN) / grid)
        last = math.inf if hi == math.inf else math.floor((hi + FORGIVEN) / grid)
        if first > last:
            continue
        # Of the multiples from first to last, the one nearest to the wish; a tie takes the smaller.
        wish = facts.preferred(lo) / grid
        nearest = math.ceil(wish - 0.5 - FORGIVEN)
        return grid * min(max(nearest, first), last)
    return None


def broken_pairs(facts):
    """(shortfall, lower limit, upper limit) of every pair that no cut can satisfy together."""
    pairs = []
    for lower in facts.limits:
        for upper in facts.limits:
            if lower.sense > 0 > upper.sense:
                both = lower.uncut + upper.uncut
                if status_of(both.value, facts.doubt.guard(both)) == "broken":
                    pairs.append((-both.value, lower, upper))
    return pairs


def conflict_of(facts):
    pairs = broken_pairs(facts)
    pairs = [p for p in pairs if p[1].hard and p[2].hard] or pairs
    worst = None
    for pair in pairs:  # in table order, so a tie stays with the first
        if worst is None or pair[0] > worst[0] + FORGIVEN:
            worst = pair
    return worst and {"lower": worst[1].id, "upper": worst[2].id, "short_mm": worst[0]}


def second_reading_missing(facts):
    if not facts.job.get("measuring", {}).get("twice", False):
        return False
    needed = {name for limit in facts.limits if not limit.exact
              for name, part in facts.doubt.parts(limit.uncut).items() if part > 0}
    return any(len(facts.readings.get(name).raw) < 2 for name in needed)


def verdict_of(facts, planned, wanted):
    """(verdict, why). `base` is the cut the first rows of the decision table look at."""
    base = wanted or 0.0
    cut = wanted or planned or 0.0
    at_base = [(x, x.status(facts.doubt, base)) for x in facts.limits]
    hard_broken = [x for x, s in at_base if x.hard and s == "broken"]
    needed = any(x.sense > 0 and x.status(facts.doubt, 0.0) == "broken" and x.hard
                 for x in facts.limits)
    impossible = (facts.closed
                  or any(x.sense < 0 for x in facts.limits
                         if x.hard and x.status(facts.doubt, 0.0) == "broken")
                  or any(p[1].hard and p[2].hard for p in broken_pairs(facts)))

    if facts.disagree:
        return "hold", "readings or routes disagree"
    if any(x.sense == 0 for x in hard_broken):
        return "reject", "a fixed limit is broken"
    if any(x.sense < 0 for x in hard_broken):
        return "reject", "a limit that cutting hurts is broken"
    if any(x.sense > 0 for x in hard_broken) and (wanted or impossible):
        return "reject", "wanted cut too short" if wanted else "no cut can do"
    if facts.unknown:
        return "hold", "unknown"
    if second_reading_missing(facts):
        return "hold", "second reading missing"
    if any(x.hard and x.sense == 0 and s == "in_doubt" for x, s in at_base):
        return "hold", "a fixed limit is in doubt"
    if not hard_broken:
        if any(x.hard and s == "in_doubt" for x, s in at_base):
            return "hold", "in doubt"
        if not wanted and any(not x.hard and s == "broken" for x, s in at_base):
            return "hold", "practice broken uncut"
    if not wanted and needed and planned is None:
        return "hold", "no planned cut"
    least = in_base_unit(facts.job.get("saw", {}).get("kerf", 1.0)) + 2
    if wanted and wanted < least - FORGIVEN:
        return "hold", "no saw takes off so little"
    if any(not x.hard and x.status(facts.doubt, cut) == "broken" for x in facts.limits):
        return "hold", "practice broken at the cut"
    if cut > 0 and facts.carbon_not_asked:
        return "hold", "carbon maker not asked"
    if not wanted and all(s == "holds" for _, s in at_base):
        return "keep", "everything holds uncut"
    return "cut", "wanted" if wanted else "planned"


def expected(job):
    """Everything compared, by its place in the JSON, and the reason of the verdict."""
    facts = {"seatpost": seatpost, "steerer": steerer}[job["kind"]](job)
    wanted = job.get("saw", {}).get("wanted")
    wanted = None if wanted is None else in_base_unit(wanted)
    planned = planned_cut(facts)
    verdict, why = verdict_of(facts, planned, wanted)
    cut = wanted or planned or 0.0
    lo, hi = extreme_cuts(facts)
    limits = [{"id": x.id, "sense": x.sense, "origin": x.origin, "margin": x.margin(cut),
               "guard": x.guard(facts.doubt, cut > 0), "status": x.status(facts.doubt, cut)}
              for x in facts.limits]
    want = {
        "kind": job["kind"], "verdict": verdict,
        "cut.at_mm": cut, "cut.planned_mm": planned, "cut.wanted_mm": wanted,
        "cut.window_mm": None if lo > hi + FORGIVEN else [lo, None if hi == math.inf else hi],
        "cut.kerf_mm": in_base_unit(job.get("saw", {}).get("kerf", 1.0)),
        "cut.end": {"seatpost": "lower", "steerer": "top"}[job["kind"]],
        "limits": limits, "conflict": conflict_of(facts),
    }
    want.update({name: figure(cut) for name, figure in facts.extra.items()})
    return facts, want, why


# --- comparison ----------------------------------------------------------------------------------

def differences(want, got, path=""):
    """Where the program's value (got) is not the wanted one, as sentences."""
    if isinstance(want, dict) and isinstance(got, dict):
        return [d for key, value in want.items()
                for d in differences(value, got.get(key, "absent"), f"{path}.{key}")]
    if isinstance(want, list) and isinstance(got, list):
        if len(want) != len(got):
            return [f"{path}: {len(got)} entries, expected {len(want)}"]
        return [d for n, (w, g) in enumerate(zip(want, got))
                for d in differences(w, g, f"{path}[{n}]")]
    numbers = all(isinstance(x, (int, float)) and not isinstance(x, bool) for x in (want, got))
    if near(got, want) if numbers else (want == got):
        return []
    return [f"{path}: program says {got!r}, expected {want!r}"]


def governing_differences(facts, answer):
    """One limit of each sense governs (any of those that tie), and every broken fixed one."""
    out = []
    marked = {x["id"] for x in answer["limits"] if x["governs"]}
    by_sense = {+1: [x for x in facts.limits if x.sense > 0],
                -1: [x for x in facts.limits if x.sense < 0]}
    for sense, limits in by_sense.items():
        tightness = {x.id: x.guard(facts.doubt, True) - x.uncut.value for x in limits}
        tightest = max(tightness.values(), default=None)
        may = {i for i, t in tightness.items() if t >= tightest - 1e-6}
        if sense > 0 and (tightest is None or tightest <= FORGIVEN):
            may = set()
        chosen = marked & set(tightness)
        if len(chosen) != min(len(may), 1) or not chosen <= may:
            out.append(f"governs: {sorted(chosen)} of sense {sense}, expected one of {sorted(may)}")
    fixed = {x.id for x in facts.limits
             if x.sense == 0 and x.status(facts.doubt, 0.0) == "broken"}
    if marked - set().union(*({x.id for x in v} for v in by_sense.values())) != fixed:
        out.append(f"governs: {sorted(marked)}, broken fixed limits are {sorted(fixed)}")
    return out


def flatten(answer):
    """The JSON with "cut.x" beside "cut", as `expected` names it."""
    return {**answer, **{f"cut.{k}": v for k, v in answer["cut"].items()}}


def limit_consistency(answer):
    """has, needs and bound must tell the same margin as margin."""
    out = []
    for x in answer["limits"]:
        spare = x["has"] - x["needs"]
        if not near(x["margin"], spare if x["bound"] == "at_least" else -spare):
            out.append(f"{x['id']}: has {x['has']} needs {x['needs']} but margin {x['margin']}")
    return out


def caution_differences(job, facts, cut, cautions):
    """Cautions name the key of what nobody has said; the one on an expander says how far it must go."""
    part = job["post" if job["kind"] == "seatpost" else "steerer"]
    tables, rider = (part, job.get("frame", {})), job.get("rider", {})

    def limited(key):
        return any(key in table for table in tables)

    bare_fork = job["kind"] == "steerer" and part["material"] == "carbon" and \
        "to" not in job.get("expander", {})
    want = {
        "(rider.mass)": limited("max_rider") and "mass" not in rider,
        "(rider.system_mass)": limited("max_system") and "system_mass" not in rider,
        "bicycle": limited("max_system") and "system_mass" not in rider and "mass" in rider,
        "(expander.to)": bare_fork,
    }
    out = [f"caution {word!r}: {'missing' if due else 'not due'}" for word, due in want.items()
           if due != any(word in caution for caution in cautions)]
    gap = facts.extra["gap_mm"](cut)["cut"] if bare_fork else None
    if gap is None:
        return out
    given = Given(facts.readings)
    below = given.stack("spacers.below")
    high, low = given.stack("spacers.highest") or below, given.stack("spacers.lowest") or below
    top = next(x.uncut for x in facts.limits if x.id == "stem-recess")  # 5 - (G - A)
    reach = given("stem.clamp") + high - low + top - 5
    if cut > 0:
        reach = reach + Estimate(-cut, {SAW: 1.0})
    reach = math.ceil(reach.value + facts.doubt.guard(reach) - FORGIVEN)
    said = [c for c in cautions if "(expander.to)" in c]
    if said and reach > 0 and f" {reach} mm " not in said[0]:
        out.append(f"the expander must reach {reach}: {said[0]}")
    return out


def check(job, answer):
    """All differences of one job, and the reason this side gives for its verdict."""
    facts, want, why = expected(job)
    out = differences(want, flatten(answer))
    if not any(".limits" in d for d in out):
        out += governing_differences(facts, answer)
    out += limit_consistency(answer)
    if answer["verdict"] == "hold" and not answer["holds"]:
        out.append("hold without a word of what to do")
    out += caution_differences(job, facts, want["cut.at_mm"], answer["cautions"])
    return [d.lstrip(".") for d in out], facts, want, why


# --- worked cases --------------------------------------------------------------------------------

POST = {"length": 400, "diameter": 27.2, "mark": 100, "material": "aluminium", "cutting": "allowed"}
LIP_225 = {"blockage": [{"what": "lip", "depth": 225}]}
SHOWING_140 = {"measured": "extension", "height": 140}
RINGS = {"below": 25, "above": 5}
HEAD_150 = {"steerer": {"material": "carbon", "length": 300}, "frame": {"head_tube": 150},
            "headset": {"upper": 12, "lower": {"read": 0, "within": 0}}, "stem": {"clamp": 40}, "spacers": RINGS}
BY_GAP = {"steerer": {"material": "aluminium"}, "stem": {"clamp": 40}, "spacers": RINGS}

# Each worked by hand from the rules: (what, job, verdict, planned cut, window to 0.005).
WORKED = [
    ("post 400, lip at 225, saddle height by tape along the tube",
     {"kind": "seatpost", "saddle": {"height": 607, "rail_to_top": 45},
      "frame": {"seat_tube": 420, "seat_angle": 73, "blockage": [{"depth": 225}]}, "post": POST},
     "cut", 38, (37.54, 157.79)),
    ("post 350 with 60 of air below it",
     {"kind": "seatpost", "saddle": SHOWING_140, "frame": {"blockage": [{"depth": 270}]},
      "post": {**POST, "length": 350}}, "keep", None, (0.00, 108.85)),
    ("1 mm of air, less than its doubt: nobody saws for doubt",
     {"kind": "seatpost", "saddle": SHOWING_140, "frame": {"blockage": [{"depth": 261}]},
      "post": POST}, "hold", 3, (1.00, 158.85)),
    ("post 300, 70 inserted, mark 100",
     {"kind": "seatpost", "saddle": {"measured": "extension", "height": 230},
      "frame": {"blockage": [{"depth": 300}]}, "post": {**POST, "length": 300}},
     "reject", None, None),
    ("35 too long, the maker allows 30",
     {"kind": "seatpost", "saddle": SHOWING_140, "frame": LIP_225, "post": {**POST, "max_cut": 30}},
     "reject", None, None),
    ("carbon, maker not asked",
     {"kind": "seatpost", "saddle": SHOWING_140, "frame": LIP_225,
      "post": {**POST, "material": "carbon", "cutting": "not stated"}},
     "hold", 37, (37.00, 158.85)),
    ("a battery hangs 30 below and was in during the mock-up",
     {"kind": "seatpost", "saddle": SHOWING_140, "frame": LIP_225, "post": {**POST, "hang": 30},
      "mock_up": {"exposed_bottomed": 205, "hang_fitted": True}}, "cut", 67, (67.00, 158.85)),
    ("a small frame's lip stops a 400 post: back to 350, the everyday cut",
     {"kind": "seatpost", "saddle": SHOWING_140, "frame": {"blockage": [{"depth": 212}]},
      "post": POST}, "cut", 50, (50.00, 158.85)),
    ("steerer 300, 25 below and 5 above, by the parts",
     {"kind": "steerer", **HEAD_150}, "cut", 71, (70.00, 73.00)),
    ("gap 3 measured with the stack on",
     {"kind": "steerer", **BY_GAP, "mock_up": {"stands_proud": -3}}, "keep", None, (0.00, 2.00)),
    ("gap 1: add a thin ring",
     {"kind": "steerer", **BY_GAP, "mock_up": {"stands_proud": -1}}, "hold", 3, (1.00, 4.00)),
    ("steerer ends 15 below the top of the stem",
     {"kind": "steerer", **HEAD_150, "steerer": {"material": "aluminium", "length": 212}},
     "reject", None, None),
    ("carbon without a ring above the stem",
     {"kind": "steerer", **HEAD_150, "spacers": {"below": 25, "above": 0}}, "hold", None, None),
    ("35 of rings below, the maker allows 30",
     {"kind": "steerer", **HEAD_150,
      "spacers": {"below": [10, 10, 15], "above": 5, "max_below": 30}},
     "reject", 61, (60.00, 63.00)),
    ("nobody has measured what stands below the head tube: a guess scraps a fork",
     {"kind": "steerer", **HEAD_150, "headset": {"upper": 12}}, "hold", None, (0.00, math.inf)),
    ("68 proud and a rim of 2: 5 below the top, 3 of it free, a ring of 5 above",
     {"kind": "steerer", **BY_GAP, "steerer": {"material": "carbon"},
      "mock_up": {"stands_proud": 68}, "expander": {"flange": 2}}, "cut", 73, (72.00, 73.00)),
    ("gripped 90 below the collar, 80 inserted: the wedge finds no post",
     {"kind": "seatpost", "saddle": SHOWING_140, "frame": {"clamp_below": 90},
      "post": {**POST, "length": 220, "mark": 70}}, "reject", None, None),
]


def worked_differences(row, verdict, planned, window):
    what, _, want_verdict, want_planned, want_window = row
    out = []
    if verdict != want_verdict:
        out.append(f"{what}: {verdict}, worked by hand: {want_verdict}")
    if not near(planned, want_planned):
        out.append(f"{what}: planned {planned}, worked by hand: {want_planned}")
    if (window is None) != (want_window is None) or window is not None and any(
            abs((math.inf if got is None else got) - want) > 0.0051
            for got, want in zip(window, want_window) if got is not None or want != math.inf):
        out.append(f"{what}: window {window}, worked by hand: {want_window}")
    return out


# --- run -----------------------------------------------------------------------------------------

LIMIT_IDS = {
    "seatpost": {"blockage-1", "blockage-2", "blockage-3", "clearance-1", "clearance-2",
                 "clearance-3", "mark", "post-minimum", "frame-minimum", "floor", "junction",
                 "max-cut", "min-length", "head", "grip-upper", "grip-lower", "bore-fit",
                 "rider-mass", "system-mass", "clamp-held"},
    "steerer": {"preload", "gap-least", "gap-most", "stem-recess", "stem-cover", "expander-reach",
                "expander-top", "max-cut", "min-length", "spacers-below", "spacers-above-least",
                "spacers-above-most", "rider-mass", "system-mass"},
}
REASONS = {
    "readings or routes disagree", "a fixed limit is broken",
    "a limit that cutting hurts is broken", "wanted cut too short", "no cut can do", "unknown",
    "second reading missing", "a fixed limit is in doubt", "in doubt", "practice broken uncut",
    "no planned cut", "practice broken at the cut", "no saw takes off so little", "carbon maker not asked",
    "everything holds uncut", "wanted", "planned",
}


def compare_random(program, generator, kind, mismatches):
    jobs = random_jobs(generator, kind, SEED, RANDOM_JOBS[kind])
    seen = collections.Counter()
    answers = plan_texts(program, [text for text, _ in jobs])
    for (_, job), (text, answer) in zip(jobs, answers):
        out, _, want, why = check(job, answer)
        mismatches.add(f"(here: {want['verdict']}, {why})\n{text}", out)
        seen[why] += 1
        seen[want["verdict"]] += 1
        seen["conflict"] += want["conflict"] is not None
        seen.update({(limit["id"], limit["status"]) for limit in want["limits"]})
    return seen


def assert_coverage(kind, seen):
    """A differential test proves nothing about a rule that no job reaches."""
    ids = {key[0] for key in seen if isinstance(key, tuple)}
    missing = (LIMIT_IDS[kind] - ids) | (REASONS - set(seen))
    missing |= {v for v in ("keep", "cut", "hold", "reject", "conflict") if not seen[v]}
    missing |= {f"{i} {s}" for i in LIMIT_IDS[kind] for s in ("holds", "broken")
                if not seen[(i, s)]}
    if missing:
        print(f"{kind}: no random job reached {sorted(map(str, missing))}", file=sys.stderr)
        sys.exit(1)


def main():
    program, generator = sys.argv[1:3]
    kinds = sys.argv[3:] or list(LIMIT_IDS)
    mismatches = Mismatches()
    table = [row for row in WORKED if row[1]["kind"] in kinds]
    for row, (text, answer) in zip(table, plan_all(program, [row[1] for row in table])):
        cut = answer["cut"]
        out = worked_differences(row, answer["verdict"], cut["planned_mm"], cut["window_mm"])
        mismatches.add(text, out + check(row[1], answer)[0])
    counts = []
    for kind in kinds:
        seen = compare_random(program, generator, kind, mismatches)
        assert_coverage(kind, seen)
        answers = ", ".join(f"{seen[v]} {v}" for v in ("cut", "keep", "hold", "reject"))
        counts.append(f"random {kind} jobs: {answers}")
    mismatches.finish(f"verdicts: {len(table)} worked cases, " + ", ".join(counts))


if __name__ == "__main__":
    run_main(main)
