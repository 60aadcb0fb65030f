"""Margins, guards and shares of doubt against the python3-uncertainties package.

    propagation.py PROGRAM RANDOM_JOBS [seatpost|steerer]

Jobs get readings after a cut too: the sum of what is left, offcut and kerf, and the margins of the
part as it stands then.

Every reading becomes one variable of the package with the standard uncertainty of a rectangular
distribution, half-width / sqrt(3) (JCGM 100:2008 4.3.7). Seatpost margins are built from points
and vectors, steerer margins from heights on the steerer, both out of those variables: what enters
twice, with which sign, and how steeply, is the package's business. Guard is the smaller of coverage
times the standard uncertainty and the worst case, the sum of |component| * sqrt(3); practice limits
and max-cut have none.
"""

import math
import random
import sys
import tomllib

from uncertainties import UFloat, ufloat, umath

from as_cut import measured_after
from program import Mismatches, near, plan_texts, random_jobs, run_main
from readings import Readings, in_base_unit

SEED = 100981062
JOBS = {"seatpost": 500, "steerer": 380}
ROOT3 = math.sqrt(3)


class Variables:
    """The readings of one job as variables; exact values stay plain numbers."""

    def __init__(self, job):
        self.readings = Readings(job)
        self.variables = {}
        self.within = {}
        for name, reading in self.readings.by_name.items():
            self._add(name, reading.value, reading.within)
        self.saw = self._add("saw.within", 0.0, self.readings.value("saw.within", 0.5))

    def _add(self, name, value, within):
        variable = ufloat(value, within / ROOT3, name) if within else value
        self.variables[name] = variable
        self.within[name] = within
        return variable

    def get(self, name, default=None):
        return self.variables.get(name, default)

    def stack(self, key, default=None):
        rings = self.readings.rings(key)
        return default if rings is None else sum(self.variables[r.name] for r in rings)


def components(quantity):
    """Half-width part of every reading: |component| * sqrt(3), by name."""
    if not isinstance(quantity, UFloat):
        return {}
    return {v.tag: abs(c) * ROOT3 for v, c in quantity.error_components().items()}


def nominal(quantity):
    return quantity.nominal_value if isinstance(quantity, UFloat) else quantity


def standard(quantity):
    return quantity.std_dev if isinstance(quantity, UFloat) else 0.0


# --- plane vectors over variables ----------------------------------------------------------------

class Vector:
    def __init__(self, x, y):
        self.x, self.y = x, y

    def __add__(self, other):
        return Vector(self.x + other.x, self.y + other.y)

    def __mul__(self, factor):
        return Vector(self.x * factor, self.y * factor)

    def dot(self, other):
        return self.x * other.x + self.y * other.y


def upper_meeting_with_circle(start, direction, radius):
    """How far from start, along the unit vector, a line leaves the circle around the BB centre."""
    middle = -1 * start.dot(direction)
    return middle + umath.sqrt(middle ** 2 - start.dot(start) + radius ** 2)


def extension(job, v, height):
    """Extension for one saddle height, by meeting lines with circles and levels."""
    way = job["saddle"].get("measured", "along tube")
    if way == "extension":
        return height
    if job["saddle"].get("from") == "pedal axle":
        height = height - v.get("saddle.crank")
    lean = v.get("frame.seat_angle", 90.0) * (math.pi / 180)
    up_the_axis = Vector(-1 * umath.cos(lean), umath.sin(lean))
    to_the_front = Vector(umath.sin(lean), umath.cos(lean))
    foot = to_the_front * v.get("frame.axis_offset", 0.0)
    collar = upper_meeting_with_circle(foot, up_the_axis, v.get("frame.seat_tube"))
    if way == "to rails":
        return height - collar
    # The saddle top runs on a line beside the axis as the post slides: behind it by the setback,
    # lifted by the height of the saddle over its rails.
    top = foot + to_the_front * (-1 * v.get("post.setback", 0.0)) \
        + Vector(0.0, v.get("saddle.rail_to_top"))
    if way == "straight":
        return upper_meeting_with_circle(top, up_the_axis, height) - collar
    level = up_the_axis * height  # from the BB centre along the tube, up to the saddle's level
    return (level.y - top.y) / up_the_axis.y - collar


# --- margins -------------------------------------------------------------------------------------

def seatpost_margins(job, v, after=False):
    """{id: uncut margin} of the limits that carry measurements, and the ids of mere practice.

    after: of the part as it stands once it is cut.
    """
    frame, post = job.get("frame", {}), job["post"]
    height = v.get("saddle.height")
    E_low = extension(job, v, v.get("saddle.lowest", height))
    E_high = extension(job, v, v.get("saddle.highest", height))
    length, hang = v.get("post.length"), v.get("post.hang", 0.0)
    found = depths(job, v, length - E_low + hang)
    if after:
        length = v.get("as_cut.length")
    lowest_point = length - E_low + hang
    margins = {}
    for n, (depth, clearance) in enumerate(found, 1):
        margins[f"blockage-{n}"] = depth - lowest_point
        margins[f"clearance-{n}"] = depth - clearance - lowest_point
    inserted = length - E_high
    if post["mark"] != "unknown":
        margins["mark"] = inserted - v.get("post.mark")
    if "min_insertion" in post:
        margins["post-minimum"] = inserted - v.get("post.min_insertion")
    if "min_insertion" in frame:
        margins["frame-minimum"] = inserted - v.get("frame.min_insertion")
    elif "junction" in frame:
        margins["junction"] = inserted - (v.get("frame.junction") + v.get("post.diameter"))
    margins["floor"] = inserted - (2 * v.get("post.diameter") if post.get("section") != "other"
                                   else 65)
    if "min_length" in post:
        margins["min-length"] = length - v.get("post.min_length")
    held = v.get("frame.clamp_below", 0.0)
    # Drawn values come as a list: whether it is given is a matter of the job.
    if in_base_unit(frame.get("clamp_below", 0)) > 0:
        margins["clamp-held"] = inserted - held
    margins["head"] = E_low - v.get("post.head", 0.0)
    margins |= mass_margins(job, v, "post")
    if "grip" in post:
        margins["grip-upper"] = E_low + held - in_base_unit(post["grip"][0])
        margins["grip-lower"] = in_base_unit(post["grip"][1]) - (E_high + held)
    return margins, [i for i in margins if i.startswith("clearance") or i == "junction"]


def depths(job, v, lowest_point):
    """(depth, clearance) of each blockage, with the less doubtful route for the shallowest."""
    found = [(v.get(f"frame.blockage-{n}.depth"), in_base_unit(b.get("clearance", 2)))
             for n, b in enumerate(job.get("frame", {}).get("blockage", []), 1)]
    if "mock_up" not in job:
        return found
    resting = v.get("post.length") - v.get("mock_up.exposed_bottomed")
    if job["mock_up"].get("hang_fitted"):
        resting = resting + v.get("post.hang", 0.0)
    if not found:
        return [(resting, 2.0)]
    first = min(range(len(found)), key=lambda n: nominal(found[n][0]))
    if standard(resting - lowest_point) < standard(found[first][0] - lowest_point) - 1e-9:
        found[first] = (resting, found[first][1])
    return found


def mass_margins(job, v, part):
    """What the makers' smallest figures leave; the rider alone where nobody weighed the whole."""
    rider = v.get("rider.mass")
    margins = {}
    for limit, key, weighed in (("rider-mass", "max_rider", rider),
                                ("system-mass", "max_system", v.get("rider.system_mass", rider))):
        allowed = [v.get(f"{table}.{key}") for table in ("frame", part)
                   if key in job.get(table, {})]
        if allowed and weighed is not None:
            margins[limit] = min(allowed, key=nominal) - weighed
    return margins


def steerer_margins(job, v, after=False):
    """As for a seatpost. The gap counts with the stem in its highest position."""
    cap, expander = job.get("cap", {}), job.get("expander", {})
    below = v.stack("spacers.below")
    low, high = v.stack("spacers.lowest", below), v.stack("spacers.highest", below)
    above, clamp = v.stack("spacers.above", 0.0), v.get("stem.clamp")
    before = v.get("steerer.length")
    length = v.get("as_cut.length") if after else before
    routes = []
    if "head_tube" in job.get("frame", {}) and {"lower", "upper"} <= set(job.get("headset", {})) \
            and length is not None:
        bearing = v.get("headset.lower") + v.get("frame.head_tube") + v.get("headset.upper")
        routes.append(bearing + high + clamp + above - length)
    if "mock_up" in job and not (after and None in (before, length)):
        routes.append((before - length if after else 0.0) - v.get("mock_up.stands_proud"))
    if after and v.get("as_cut.gap") is not None:
        routes.append(v.get("as_cut.gap"))
    margins = {}
    if "min_length" in job["steerer"] and length is not None:
        margins["min-length"] = length - v.get("steerer.min_length")
    margins |= mass_margins(job, v, "steerer")
    if not routes:
        return margins, []
    gap = routes[0]
    for route in routes[1:]:
        if standard(route) < standard(gap) - 1e-9:
            gap = route
    recess = gap - above
    free = gap - v.get("expander.flange", 0.0)  # below the cap, above whatever lies on the steerer
    margins |= {"preload": free, "gap-least": free - v.get("cap.gap_min", 2.0),
                "gap-most": v.get("cap.gap_max", 5.0) - free, "stem-recess": 5 - recess}
    if "recess_max" in job["stem"] or job["steerer"]["material"] == "carbon":
        margins["stem-cover"] = v.get("stem.recess_max", 0.0) - recess
    if "to" in expander:
        # Down from the steerer's top to the lower edge of the stem in its lowest position.
        margins["expander-reach"] = v.get("expander.to") - (clamp + above + high - low - gap)
    if in_base_unit(expander.get("from", 0)) > 0:
        margins["expander-top"] = above - gap - v.get("expander.from")
    # A maker's figure in the job takes the place of practice.
    said = {**cap, **job["stem"]}
    practice = [i for i, key in (("gap-least", "gap_min"), ("gap-most", "gap_max"),
                                 ("stem-cover", "recess_max")) if key not in said]
    return margins, practice


# --- comparison ----------------------------------------------------------------------------------

def compare(answer, cut, v, margins, practice, exempt=()):
    """Differences of one job at a cut, and how many of its limits carry a guard."""
    out, guarded = [], 0
    coverage = v.readings.coverage
    limits = {x["id"]: x for x in answer["limits"]}
    plain = set(limits) - set(margins) - set(exempt)
    if set(margins) - set(limits):
        out.append(f"limits are missing: {sorted(set(margins) - set(limits))}")
    for name in plain:  # exact by definition or out of exact figures: max-cut, masses, rings
        if limits[name]["guard"] != 0:
            out.append(f"{name}: guard {limits[name]['guard']}, expected none")
    for name in set(limits) & set(margins):
        limit, margin = limits[name], margins[name]
        margin = margin + limit["sense"] * (cut + (v.saw if cut > 0 else 0.0))
        parts = components(margin)
        if name in practice:
            guard = 0.0
        else:
            guard = min(coverage * standard(margin), sum(parts.values()))
            guarded += guard > 0
        for what, want in (("margin", nominal(margin)), ("guard", guard)):
            if not near(limit[what], want):
                out.append(f"{name}: {what} {limit[what]!r}, uncertainties says {want!r}")
        if guard > 0:
            out += share_differences(name, limit["doubt"], parts, v.within)
    return out, guarded


def guard_of(quantity, coverage):
    return min(coverage * standard(quantity), sum(components(quantity).values()))


def compare_after(job, after, v, kind):
    """Differences of what is said after the cut, and whether there was a sum to be closed."""
    coverage = v.readings.coverage
    # The limit on the cut has a guard of its own here, below.
    out, _ = compare(after, 0.0, v, *MARGINS[kind](job, v, after=True), exempt=["max-cut"])
    before = v.get("post.length" if kind == "seatpost" else "steerer.length")
    left, offcut = v.get("as_cut.length"), v.get("as_cut.offcut")
    for limit in after["limits"]:
        if limit["id"] == "max-cut" and not near(limit["guard"], guard_of(before - left, coverage)):
            out.append(f"max-cut: guard {limit['guard']!r}, "
                       f"uncertainties says {guard_of(before - left, coverage)!r}")
    if None in (before, left, offcut):
        want = (None, None)
    else:
        off = before - left - offcut - v.get("as_cut.kerf", v.get("saw.kerf", 1.0))
        want = (nominal(off), guard_of(off, coverage))
    got = (after["closure_mm"], after["closure_guard_mm"])
    if not all(map(near, got, want)):
        out.append(f"closure and guard {got!r}, uncertainties says {want!r}")
    return out, want[0] is not None


def share_differences(name, doubt, parts, within):
    total = sum(p * p for p in parts.values())
    want = {n: p * p / total for n, p in parts.items()}
    got = {d["reading"]: d["share"] for d in doubt}
    out = [f"{name}: share of {n} is {got.get(n, 0.0)!r}, uncertainties says {want.get(n, 0.0)!r}"
           for n in set(want) | set(got) if not near(got.get(n, 0.0), want.get(n, 0.0))]
    out += [f"{name}: {d['reading']} is read within {d['within']!r}, not {within[d['reading']]!r}"
            for d in doubt if not near(d["within"], within.get(d["reading"], -1.0))]
    return out


MARGINS = {"seatpost": seatpost_margins, "steerer": steerer_margins}


def random_cut_jobs(generator, kind, seed):
    """(text, job) of random jobs whose part was cut."""
    rng = random.Random(seed)
    for text, job in random_jobs(generator, kind, seed, JOBS[kind]):
        before = Readings(job).value("post.length" if kind == "seatpost" else "steerer.length")
        text += measured_after(rng, job, before, None, rng.uniform(5, 90))
        yield text, tomllib.loads(text)


def main():
    program, generator, *kinds = sys.argv[1:]
    mismatches, counts = Mismatches(), []
    for kind in kinds or list(MARGINS):
        jobs = list(random_cut_jobs(generator, kind, SEED))
        guards = sawn = sums = 0
        for (_, job), (text, answer) in zip(jobs, plan_texts(program, [text for text, _ in jobs])):
            v = Variables(job)
            out, guarded = compare(answer, answer["cut"]["at_mm"], v, *MARGINS[kind](job, v))
            after, has_sum = compare_after(job, answer["after"], v, kind)
            mismatches.add(text, out + [f"after the cut: {line}" for line in after])
            sums += has_sum
            guards += guarded
            sawn += answer["cut"]["at_mm"] > 0
        if guards < 2 * len(jobs) or not len(jobs) / 5 < sawn < len(jobs) or sums < len(jobs) / 5:
            print(f"{kind}: only {guards} guards in {len(jobs)} jobs, {sawn} sawn, {sums} sums",
                  file=sys.stderr)
            sys.exit(1)
        counts.append(f"{len(jobs)} {kind} jobs, {sawn} at a cut, {guards} guards, {sums} sums")
    mismatches.finish("propagation: " + "; ".join(counts))


if __name__ == "__main__":
    run_main(main)
