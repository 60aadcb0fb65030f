#!/usr/bin/python3
"""The digest of a job's figures worked out once more from its file: digest.py PROGRAM RANDOM_JOBS FOLDER-OF-JOBS [--must-catch]

The form is the one of kerfmark-result(5), DIGEST: one line a key that says something else than its default, in the order of their
bytes. Reads the files by Python's tomllib, hashes by hashlib. --must-catch forgets one key at a time and wants every
one of them missed.
"""

import hashlib
import pathlib
import sys
import tomllib

import program
import readings

EACH = 100
SEED = 20260502

# What a key is worth that is not written, in mm, degrees or kg; keys that are not here have no default.
DEFAULTS = {
    "saddle.measured": "along tube", "saddle.from": "bb", "frame.axis_offset": 0, "frame.blockage.clearance": 2,
    "post.section": "round", "post.build": "rigid", "post.cutting": "not stated", "post.setback": 0, "post.head": 0,
    "post.hang": 0, "post.shim": False, "post.scale.per_unit": 10, "post.scale.rising": "down",
    "mock_up.hang_fitted": False, "steerer.cutting": "allowed", "steerer.threaded": False,
    "frame.clamp_below": 0, "expander.flange": 0, "spacers.above": 0, "cap.gap": 3, "expander.from": 0, "saw.kerf": 1, "saw.within": 0.5, "saw.step": 1,
    "handlebar.cutting": "not stated", "handlebar.air": 0,
    "saddle.near": 2, "mast.cutting": "not stated", "mast.section": "round", "topper.goes": "over", "topper.setback": 0,
    "measuring.coverage": 2, "measuring.twice": False,
}
NO_FIGURES = ("job", "as_cut")
PLAIN_NUMBERS = ("measuring.coverage",)


def decimals(value):
    text = f"{value:.9f}"
    return text.removeprefix("-") if float(text) == 0 else text


def listed(values):
    return ";".join(decimals(readings.in_base_unit(value)) for value in values)


class Figures:
    """The lines of one job."""

    def __init__(self, job):
        self.known = readings.Readings(job)
        self.lines = []
        self.paths = set()
        for name, said in job.items():
            if name == "kind":
                self.add(name, name, said)
            elif isinstance(said, list):
                for number, row in enumerate(said, 1):
                    self.add_table(name, f"{name}-{number}", row)
            elif name not in NO_FIGURES:
                self.add_table(name, name, said)
        rule = self.known.half_widths["steel rule"]
        if job["kind"] == "seatpost" and rule != readings.INSTRUMENTS["steel rule"][0]:
            self.put("stock.within", "stock.within", decimals(rule))

    def put(self, key, path, value):
        self.paths.add(key)
        self.lines.append((key, f"{path}={value}\n"))

    def add_table(self, key, path, table):
        for name, said in table.items():
            inner, shown = f"{key}.{name}", f"{path}.{name}"
            if name == "blockage":
                for number, blockage in enumerate(said, 1):
                    self.add_table(inner, f"{shown}-{number}", blockage)
            elif inner == "post.scale":
                self.add_table(inner, shown, said)
            elif inner not in ("measuring.instruments", "frame.blockage.what", "controls.what"):
                self.add(inner, shown, said)

    def add(self, key, path, said):
        default = DEFAULTS.get(key)
        if key in readings.RINGS and isinstance(said, list):
            if not said and default is None:
                self.put(key, path, "")
            for number in range(1, len(said) + 1):
                self.add_reading(key, f"{path}-{number}", default)
        elif key in readings.LISTS:
            if said:
                self.put(key, path, listed(said))
        elif isinstance(said, bool):
            if said != default:
                self.put(key, path, "true" if said else "false")
        elif key in PLAIN_NUMBERS:
            if said != default:
                self.put(key, path, decimals(said))
        elif path in self.known.by_name:
            self.add_reading(key, path, default)
        elif said != default:
            self.put(key, path, said)

    def add_reading(self, key, path, default):
        reading = self.known.get(path)
        if reading.within == 0 and all(raw == default for raw in reading.raw):
            return
        self.put(key, path, listed(reading.raw) + " within " + decimals(reading.within))

    def digest(self, without=None):
        text = "".join(["kerfmark figures 1\n"] + sorted(line for key, line in self.lines if key != without))
        digest = hashlib.sha256(text.encode()).hexdigest()
        return f"{digest[:4]}-{digest[4:8]}"


def jobs_of(folder):
    found = [path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.toml"))]
    if not found:
        raise program.Trouble(f"no jobs in {folder}")
    return found


def main():
    path, generator, folder, *rest = sys.argv[1:]
    texts = jobs_of(pathlib.Path(folder))
    for kind in ("seatpost", "steerer", "handlebar", "mast"):
        texts += program.random_texts(generator, kind, SEED, EACH)
    wrong, seen, caught = program.Mismatches(), set(), set()
    for text, answer in program.plan_texts(path, texts):
        figures = Figures(tomllib.loads(text))
        seen |= figures.paths
        if rest == ["--must-catch"]:
            caught |= {key for key in figures.paths if figures.digest(without=key) != answer["digest"]}
        elif figures.digest() != answer["digest"]:
            wrong.add(text, [f"digest {answer['digest']}, from its file {figures.digest()}"])
    if rest == ["--must-catch"]:
        print(f"{len(seen)} keys left out in turn, {len(seen - caught)} not missed: {sorted(seen - caught)}")
        sys.exit(0 if seen and seen == caught else 1)
    wrong.finish(f"{len(texts)} jobs with {len(seen)} keys, seed {SEED}")


program.run_main(main)
