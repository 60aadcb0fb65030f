"""Seatpost geometry against points and lines in a general-purpose geometry package (shapely).

    seatpost_geometry.py PROGRAM [--must-catch]

Each random frame is built forwards: the post stands where we choose, and the tape is laid between
the points as a mechanic lays it. The figures read off become the job file; the program has to find
its way back to the extension. No trigonometric function and no formula of the program is used here:
the frame is put together standing upright, then leaned back by the package.

x forward, y up, BB centre in the origin, millimetres and degrees. The words:
  seat angle    angle of the post's own axis to the horizontal; the axis leans back
  axis offset   distance from the BB centre to the axis, positive when the axis runs in front
  setback       rails' centre behind the axis, perpendicular to it, positive rearward
  rail to top   vertical, rails' centre up to the saddle top
  extension     rail clamp centre down to the collar edge, along the axis
  insertion     collar edge down to the lower end, along the axis

With --must-catch the job file gets one wrong sign (or the frame a rail height that points down or
is left out), and the script fails unless the very same comparison finds the fault.
"""

import random
import sys

from shapely import affinity
from shapely.geometry import LineString, Point

from program import Mismatches, near, plan_all, run_main

SEED = 16121512
FRAMES_PER_WAY = 120
FAR = 5000  # half-length of a "line": longer than any bicycle
BB = Point(0, 0)
AT = ("lowest", "height", "highest")
INSERTION_LIMITS = ("mark", "post-minimum", "frame-minimum", "floor", "junction")


class Frame:
    """A seat tube with a post in it. `rail_sign` -1 or 0 builds the saddle in wrongly."""

    def __init__(self, seat_angle, axis_offset, setback, rail_to_top, collar, rail_sign=1):
        self.lean = 90 - seat_angle
        self.axis_offset = axis_offset
        self.setback = setback
        self.rail_to_top = rail_sign * rail_to_top
        self.collar_height = collar  # above the foot of the BB centre on the axis

    def leaned(self, shape):
        """From the frame stood upright, seat tube vertical, to the frame as it stands."""
        return affinity.rotate(shape, self.lean, origin=BB)

    def on_axis(self, up):
        return self.leaned(Point(self.axis_offset, up))

    def axis(self):
        x = self.axis_offset
        return self.leaned(LineString([(x, -FAR), (x, FAR)]))

    def collar(self):
        return self.on_axis(self.collar_height)

    def rail_clamp(self, extension):
        return self.on_axis(self.collar_height + extension)

    def rails(self, extension):
        return self.leaned(Point(self.axis_offset - self.setback, self.collar_height + extension))

    def saddle_top(self, extension):
        return affinity.translate(self.rails(extension), yoff=self.rail_to_top)

    def along_axis(self, upper, lower):
        """Signed distance along the axis, positive when `upper` is above `lower`."""
        axis = self.axis()
        return axis.project(upper) - axis.project(lower)

    def seat_tube(self):
        return BB.distance(self.collar())

    def saddle_height(self, way, extension):
        """What the tape reads with the saddle at this extension."""
        if way == "along tube":
            tube = self.leaned(LineString([(0, -FAR), (0, FAR)]))
            top = self.saddle_top(extension)
            level = LineString([(-FAR, top.y), (FAR, top.y)])
            return BB.distance(tube.intersection(level))
        if way == "straight":
            return BB.distance(self.saddle_top(extension))
        if way == "to rails":
            return self.along_axis(self.rail_clamp(extension), BB)
        return self.along_axis(self.rail_clamp(extension), self.collar())

    def point_below_collar(self, depth):
        return self.on_axis(self.collar_height - depth)


class Case:
    """One frame, the job file of what was measured on it, and the truth it was built from."""

    def __init__(self, rng, way, job_sign=None, rail=None):
        """job_sign: {"axis_offset": -1} writes that key with the wrong sign; rail: -1 or 0 builds
        the saddle top below or at the rails."""
        self.way = way
        self.extension = {"lowest": rng.uniform(60, 180)}
        self.extension["height"] = self.extension["lowest"] + rng.uniform(0.5, 30)
        self.extension["highest"] = self.extension["height"] + rng.uniform(0.5, 30)
        self.frame = Frame(rng.uniform(62, 84), rng.uniform(-70, 70), rng.uniform(-45, 45),
                           rng.uniform(25, 80), rng.uniform(340, 540),
                           1 if rail is None else rail)
        self.rail_to_top_said = abs(self.frame.rail_to_top) or rng.uniform(25, 80)
        self.length = self.extension["highest"] + rng.uniform(110, 260)
        self.job = self._job(rng, job_sign or {})

    def _job(self, rng, sign):
        crank = rng.choice([0, 0, 165, 172.5])
        frame = {"seat_tube": self.frame.seat_tube(), "seat_angle": 90 - self.frame.lean,
                 "axis_offset": sign.get("axis_offset", 1) * self.frame.axis_offset}
        saddle = {k: self.frame.saddle_height(self.way, e) for k, e in self.extension.items()}
        saddle |= {"measured": self.way, "rail_to_top": self.rail_to_top_said}
        if crank and self.way != "extension":
            saddle |= {"from": "pedal axle", "crank": crank}
            for key in AT:  # the pedal axle at its lowest is one crank further away
                saddle[key] += crank
        self.crank = crank if "crank" in saddle else 0
        post = {"length": self.length, "diameter": 27.2, "mark": rng.uniform(60, 100),
                "material": "steel", "cutting": "allowed",
                "setback": sign.get("setback", 1) * self.frame.setback}
        job = {"kind": "seatpost", "job": {"number": "0"}, "saddle": saddle, "frame": frame,
               "post": post, "saw": {"step": rng.choice([0.1, 0.5, 1.0])}}
        self._optional_limits(rng, job)
        self._blockage(rng, job)
        return job

    def _optional_limits(self, rng, job):
        if rng.random() < 0.3:
            job["frame"]["min_insertion"] = rng.uniform(60, 110)
        elif rng.random() < 0.5:
            job["frame"]["junction"] = rng.uniform(20, 70)
        if rng.random() < 0.3:
            job["post"]["min_insertion"] = rng.uniform(60, 110)
        if rng.random() < 0.3:
            job["post"]["head"] = rng.uniform(10, 50)
        if rng.random() < 0.3:
            lower = self.extension["highest"] + rng.uniform(3, 60)
            job["post"]["grip"] = [rng.uniform(20, 55), lower]

    def _blockage(self, rng, job):
        """A stop on the axis; what hangs below the post may hit it. Probed, mocked up, or both."""
        self.blockage = None
        if rng.random() < 0.15:
            return
        hang = rng.choice([0, rng.uniform(5, 40)])
        job["post"]["hang"] = hang
        lowest_point = self.length - self.extension["lowest"] + hang  # below the collar, uncut
        depth = lowest_point + rng.uniform(-60, 20)
        self.blockage = self.frame.point_below_collar(depth)
        self.hang = hang
        route = rng.choice(["probe", "mock-up", "both"])
        if route != "mock-up":
            probed = self.frame.along_axis(self.frame.collar(), self.blockage)
            job["frame"]["blockage"] = [{"depth": probed}]
        if route != "probe":
            fitted = rng.random() < 0.5
            # The post stands on the blockage: its rail clamp centre is then one length above it.
            resting = self.frame.on_axis(self.frame.collar_height - depth + self.length
                                         + (hang if fitted else 0))
            exposed = self.frame.along_axis(resting, self.frame.collar())
            job["mock_up"] = {"exposed_bottomed": exposed, "hang_fitted": fitted}

    def plausible(self):
        ends = (400, 1300) if self.crank else (300, 1100)
        if self.way == "extension":
            ends = (20, 450)
        saddle, post = self.job["saddle"], self.job["post"]
        exposed = self.job.get("mock_up", {}).get("exposed_bottomed", 0)
        return all(ends[0] <= saddle[k] <= ends[1] for k in AT) and 50 <= post["length"] <= 700 \
            and 0 <= exposed <= 600 and 150 <= self.job["frame"]["seat_tube"] <= 800


def lower_end(case, at, cut):
    """The lower end of the post, cut, with the saddle at one of its three heights."""
    axis, clamp = case.frame.axis(), case.frame.rail_clamp(case.extension[at])
    return axis.interpolate(axis.project(clamp) - (case.length - cut))


def compare(case, answer):
    """What the program says of the job against the frame it was measured on."""
    out = []
    cut, frame = answer["cut"]["at_mm"], case.frame

    def expect(what, got, want):
        if not near(got, want):
            out.append(f"{what}: program says {got!r}, the frame says {want!r}")

    for at in AT:
        expect(f"extension, {at}", answer["extension_mm"][at], case.extension[at])
        expect(f"insertion, {at}", answer["insertion_mm"][at],
               frame.along_axis(frame.collar(), lower_end(case, at, cut)))
    line = max(case.job["post"]["mark"], case.job["post"].get("min_insertion", 0))
    mark = answer["new_mark_mm"]
    if cut > 0:
        expect("new mark from the lower end", mark["from_lower_end"], line)
        below_rails = frame.along_axis(frame.rail_clamp(case.extension["height"]),
                                       lower_end(case, "height", cut)) - line
        expect("new mark from the rails", mark["from_rails"], below_rails)
    elif mark is not None:
        out.append("a new mark without a cut")
    if case.blockage is not None:
        margin = frame.along_axis(lower_end(case, "lowest", cut), case.blockage) - case.hang
        expect("blockage-1", {x["id"]: x for x in answer["limits"]}["blockage-1"]["margin"], margin)
    for when, at_cut in (("uncut", 0.0), ("cut", cut)):
        compare_range(case, answer, when, at_cut, expect)
    return out


def compare_range(case, answer, when, at_cut, expect):
    """At each end of the saddle's range the limit that stops it has margin = guard."""
    ends = answer["saddle_range_mm"][when]
    if when == "cut" and at_cut == 0:
        if ends is not None:
            expect("saddle range after no cut", ends, None)
        return
    back = answer["cut"]["at_mm"] - at_cut  # the JSON's margins are those at at_mm
    spare = {x["id"]: x["margin"] - x["sense"] * back - guard_at(x, at_cut)
             for x in answer["limits"]}
    up = min(s for i, s in spare.items() if i in INSERTION_LIMITS or i == "grip-lower")
    # A head that nobody has measured does not say how far down the saddle may go.
    stops = [s for i, s in spare.items() if i.startswith(("blockage", "clearance")) or i == "grip-upper" or
             (i == "head" and "head" in case.job["post"])]
    highest = case.extension["highest"] + up
    lowest = case.extension["lowest"] - min(stops) if stops else None
    if lowest is None and ends is not None and ends[0] is not None:
        expect(f"saddle range {when}, lower end that nothing stops", ends[0], None)
    if lowest is not None and lowest > highest:
        if ends is not None:
            expect(f"saddle range {when}, which is empty", ends, None)
        return
    for name, got, extension in zip(("lower", "upper"), ends or [None, None], (lowest, highest)):
        if extension is None:
            continue
        tape = case.frame.saddle_height(case.way, extension) + case.crank
        expect(f"saddle range {when}, {name} end", got, tape)


def guard_at(limit, cut):
    """The guard in the JSON is the one at at_mm; uncut, the saw's part of it goes out again."""
    saw = [d for d in limit["doubt"] if d["reading"] == "saw.within"]
    if cut > 0 or not saw or limit["guard"] == 0:
        return limit["guard"]
    # share = (half-width part)^2 / sum of squares, and the saw's part is its half-width.
    total = saw[0]["within"] ** 2 / saw[0]["share"]
    parts = [(d["share"] * total) ** 0.5 for d in limit["doubt"] if d is not saw[0]]
    return min(2 * (sum(p * p for p in parts) / 3) ** 0.5, sum(parts))


WAYS = ("along tube", "straight", "to rails", "extension")


def build(rng, way, **fault):
    while True:
        case = Case(rng, way, **fault)
        if case.plausible():
            return case


def check_all(program):
    rng = random.Random(SEED)
    cases = [build(rng, way) for way in WAYS for _ in range(FRAMES_PER_WAY)]
    mismatches = Mismatches()
    pairs = plan_all(program, [case.job for case in cases])
    for case, (text, answer) in zip(cases, pairs):
        mismatches.add(text, compare(case, answer))
    cuts = sum(answer["cut"]["at_mm"] > 0 for _, answer in pairs)
    mock_ups = sum("mock_up" in case.job for case in cases)
    hanging = sum(case.job["post"].get("hang", 0) > 0 for case in cases)
    if min(cuts, len(cases) - cuts, mock_ups, hanging) < 50:
        print(f"too few cuts ({cuts}), mock-ups ({mock_ups}) or hangs ({hanging})", file=sys.stderr)
        sys.exit(1)
    mismatches.finish(f"seatpost geometry: {len(cases)} frames, {cuts} with a cut, "
                      f"{mock_ups} mocked up, {hanging} with something hanging")


# What is put wrong, and in which ways of measuring it moves the extension at all. Along the axis to
# the rails, neither offset's sign nor the saddle's shape matters.
FAULTS = [
    ("axis offset with the wrong sign", {"job_sign": {"axis_offset": -1}}),
    ("setback with the wrong sign", {"job_sign": {"setback": -1}}),
    ("saddle top below the rails", {"rail": -1}),
    ("rail height without effect", {"rail": 0}),
]


def matters(case):
    """Offsets close to zero may go unnoticed, whatever their sign."""
    return abs(case.frame.axis_offset) > 1 and abs(case.frame.setback) > 1


def check_faults(program):
    lines, failed = [], False
    for what, fault in FAULTS:
        rng = random.Random(SEED)
        cases = [build(rng, way, **fault) for way in WAYS[:2] for _ in range(FRAMES_PER_WAY)]
        cases = [case for case in cases if matters(case)]
        caught = sum(extension_differs(case, answer)
                     for case, (_, answer) in zip(cases, plan_all(program, [c.job for c in cases])))
        # Straight from the BB two errors of the far side can cancel, in one frame of hundreds.
        failed |= caught < 0.98 * len(cases) or len(cases) < FRAMES_PER_WAY
        lines.append(f"{what} {caught}/{len(cases)}")
    print("seatpost geometry must catch: " + ", ".join(lines))
    sys.exit(1 if failed else 0)


def extension_differs(case, answer):
    return any(d.startswith("extension") for d in compare(case, answer))


def main():
    if sys.argv[2:] == ["--must-catch"]:
        check_faults(sys.argv[1])
    else:
        check_all(sys.argv[1])


if __name__ == "__main__":
    run_main(main)
