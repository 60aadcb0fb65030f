"""Masts and handlebars against points and lines in a general-purpose geometry package (shapely).

    mast_geometry.py PROGRAM [--must-catch]

Each random frame is built forwards, as in seatpost_geometry.py, with its own mast up to a topper instead of a collar and
a post: the datum stands where the collar edge would. Each random bar is a line across the bike's middle plane. The
figures read off become the job; what is left after the cut is measured on what the package leaves of them.

With --must-catch the topper is built 1 mm taller, and the bar 1 mm wider, than the job says: both must be found.
"""

import random
import sys

from shapely.geometry import LineString, Point
from shapely.ops import substring

from program import Mismatches, near, plan_all, run_main
from seatpost_geometry import AT, WAYS, Frame

SEED = 20261127
EACH = 100


class Mast:
    def __init__(self, rng, way, taller):
        self.frame = Frame(rng.uniform(62, 84), rng.uniform(-70, 70), rng.uniform(-45, 45), rng.uniform(35, 60), rng.uniform(380, 520))
        lowest = rng.uniform(90, 200)
        self.extension = {"lowest": lowest, "height": lowest + rng.uniform(0.5, 8), "highest": lowest + rng.uniform(9, 15)}
        self.rise = rng.uniform(25, 50)
        self.length = lowest - self.rise + rng.uniform(-4, 50)
        saddle = {at: self.frame.saddle_height(way, extension) for at, extension in self.extension.items()}
        saddle |= {"measured": way, "rail_to_top": self.frame.rail_to_top}
        self.job = {"kind": "mast", "job": {"number": "0"}, "saddle": saddle,
                    "frame": {"seat_tube": self.frame.seat_tube(), "seat_angle": 90 - self.frame.lean, "axis_offset": self.frame.axis_offset},
                    "mast": {"length": self.length, "material": "steel", "cutting": "allowed"},
                    "topper": {"rise": self.rise + taller, "spacers_most": 60, "goes": "over", "setback": self.frame.setback}}

    def plausible(self):
        ends = (20, 450) if self.job["saddle"]["measured"] == "extension" else (300, 1100)
        return 20 <= self.length <= 400 and all(ends[0] <= self.job["saddle"][at] <= ends[1] for at in AT)

    def differences(self, answer):
        cut = answer["cut"]["at_mm"]
        top = self.frame.on_axis(self.frame.collar_height + self.length - cut)
        for at in AT:
            clamp = self.frame.rail_clamp(self.extension[at])
            yield f"extension, {at}", answer["extension_mm"][at], self.frame.along_axis(clamp, self.frame.collar())
            yield f"spacers, {at}", answer["spacers_mm"][at], self.frame.along_axis(clamp, top) - self.rise
        yield "what is left", answer["cut"]["remaining_mm"], self.frame.along_axis(top, self.frame.collar())


class Bar:
    def __init__(self, rng, way, wider):
        half = rng.uniform(340, 420)
        self.line = LineString([(-half, 0), (half + rng.uniform(-1, 1), 0)])
        self.middle = Point(0, 0)
        left, right = (self.middle.distance(Point(end)) for end in self.line.coords)
        self.off_centre = left - right
        wanted = self.line.length - rng.uniform(-4, 90)
        self.job = {"kind": "handlebar", "job": {"number": "0"},
                    "handlebar": {"width": self.line.length + wider, "left": left, "right": right + wider, "wanted": wanted, "straight": 190,
                                  "material": "steel", "cutting": "allowed"},
                    "controls": [{"what": "grip", "width": rng.uniform(90, 130)}]}

    def plausible(self):
        return True

    def differences(self, answer):
        cut = answer["cut"]["at_mm"]
        left = substring(self.line, cut, self.line.length - cut)
        yield "width before", answer["width_mm"]["uncut"], self.line.length
        if cut > 0:
            yield "width after", answer["width_mm"]["cut"], left.length
        yield "off its centre", answer["off_centre_mm"], self.off_centre


def build(rng, sort, way, wrong):
    while True:
        case = sort(rng, way, wrong)
        if case.plausible():
            return case


def main():
    must_catch = sys.argv[2:] == ["--must-catch"]
    rng = random.Random(SEED)
    cases = [build(rng, sort, way, 1.0 if must_catch else 0.0) for sort in (Mast, Bar) for way in WAYS for _ in range(EACH)]
    mismatches, cuts, caught = Mismatches(), 0, 0
    for case, (text, answer) in zip(cases, plan_all(sys.argv[1], [case.job for case in cases])):
        wrong = [f"{what}: program says {got!r}, the geometry says {want!r}" for what, got, want in case.differences(answer)
                 if got is None or not near(got, want)]
        cuts += answer["cut"]["at_mm"] > 0
        caught += bool(wrong)
        if not must_catch:
            mismatches.add(text, wrong)
    if cuts < len(cases) / 4:
        sys.exit(f"too few cuts: {cuts}")
    if must_catch:
        print(f"mast geometry must catch: {caught} of {len(cases)}")
        sys.exit(0 if caught == len(cases) else 1)
    mismatches.finish(f"{len(cases)} masts and bars, {cuts} with a cut")


if __name__ == "__main__":
    run_main(main)
