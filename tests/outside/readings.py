"""What a job file's measured values are worth: mean, half-width, single readings.

The table of half-widths is the one of kerfmark-measuring(7), INSTRUMENTS. A value is a number, a string
with a unit, a list of readings that share one half-width, or a table { read, within, with };
under [spacers] a list is a list of rings instead.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

INSTRUMENTS = {  # name: (half-width in mm or degrees, what it measures)
    "tape": (1.0, "length"),
    "steel rule": (0.5, "length"),
    "square and rule": (1.0, "length"),
    "depth probe": (1.0, "length"),
    "caliper": (0.1, "length"),
    "angle gauge": (0.5, "angle"),
}

SADDLE_KEYS = ("saddle.height", "saddle.lowest", "saddle.highest")

INSTRUMENT_OF = {
    "saddle.height": "tape", "saddle.lowest": "tape", "saddle.highest": "tape",
    "frame.seat_tube": "tape", "frame.stack": "tape", "frame.reach": "tape",
    "post.length": "steel rule", "post.mark": "steel rule", "post.head": "steel rule",
    "post.setback": "steel rule", "post.hang": "steel rule", "post.scale.zero_at": "steel rule",
    "frame.junction": "steel rule", "frame.head_tube": "steel rule",
    "steerer.length": "steel rule", "stem.length": "steel rule",
    "mock_up.exposed_bottomed": "steel rule", "mock_up.stands_proud": "steel rule",
    "as_cut.length": "steel rule", "as_cut.offcut": "steel rule", "as_cut.gap": "steel rule",
    "handlebar.width": "tape", "as_cut.width": "tape",
    "handlebar.left": "steel rule", "handlebar.right": "steel rule", "handlebar.straight": "steel rule",
    "handlebar.to_mark": "steel rule", "as_cut.offcut_left": "steel rule", "as_cut.offcut_right": "steel rule",
    "controls.width": "caliper",
    "mast.length": "steel rule", "mast.keep": "steel rule", "topper.setback": "steel rule",
    "topper.rise": "caliper", "topper.grip": "caliper",
    "saddle.rail_to_top": "square and rule", "frame.axis_offset": "square and rule",
    "frame.blockage.depth": "depth probe", "frame.clamp_below": "depth probe",
    "headset.lower": "caliper", "headset.upper": "caliper", "stem.clamp": "caliper",
    "expander.flange": "caliper",
    "spacers.below": "caliper", "spacers.lowest": "caliper", "spacers.highest": "caliper",
    "spacers.above": "caliper",
    "frame.seat_angle": "angle gauge", "frame.head_angle": "angle gauge",
    "stem.angle": "angle gauge",
}

RINGS = ("spacers.below", "spacers.lowest", "spacers.highest", "spacers.above")
LISTS = ("post.grip", "stock.lengths", "spacers.on_hand")

UNIT = {"mm": 1.0, "cm": 10.0, "in": 25.4, "deg": 1.0, "kg": 1.0, "lb": 0.45359237}


def in_base_unit(said):
    """The nominal value in mm, degrees or kg: a number, "21.2 cm", "8 3/8 in", or the mean of readings."""
    if isinstance(said, dict):
        return in_base_unit(said["read"])
    if isinstance(said, list):
        return sum(map(in_base_unit, said)) / len(said)
    if isinstance(said, str):
        *figures, unit = said.split()
        return float(sum(map(Fraction, figures))) * UNIT[unit]
    return float(said)


def is_measure(said):
    """True for 12, "12 mm", a list or a table of such; False for words, choices and switches."""
    if isinstance(said, bool):
        return False
    if isinstance(said, str):
        return re.fullmatch(rf"[-0-9./ ]+ ({'|'.join(UNIT)})", said) is not None
    if isinstance(said, list):
        return bool(said) and all(is_measure(s) for s in said)
    if isinstance(said, dict):
        return "read" in said
    return isinstance(said, (int, float))


@dataclass(frozen=True)
class Reading:
    """One measured value: its name in reports, every single reading, and its half-width."""

    name: str
    raw: tuple
    within: float

    @property
    def value(self):
        return sum(self.raw) / len(self.raw)


class Readings:
    """All values of one job by name; a missing one is None, a ring sum is a list of Readings."""

    def __init__(self, job):
        self.job = job
        self.by_name = {}
        self.ring_names = {}
        measuring = job.get("measuring", {})
        self.coverage = in_base_unit(measuring.get("coverage", 2))
        self.half_widths = {name: half for name, (half, _) in INSTRUMENTS.items()}
        for name, half in measuring.get("instruments", {}).items():
            self.half_widths[name] = in_base_unit(half)
        for table, content in job.items():
            if isinstance(content, dict) and table != "measuring":
                self._read_table(table, content)
            elif isinstance(content, list):
                for number, row in enumerate(content, 1):
                    for inner, said in row.items():
                        if is_measure(said):
                            self._add(f"{table}-{number}.{inner}", f"{table}.{inner}", said)

    def _read_table(self, table, content):
        for key, said in content.items():
            path = f"{table}.{key}"
            if key == "blockage":
                for number, blockage in enumerate(said, 1):
                    for inner, depth in blockage.items():
                        if is_measure(depth):
                            self._add(f"frame.blockage-{number}.{inner}", f"frame.blockage.{inner}",
                                      depth)
            elif key == "scale":
                for inner, zero in said.items():
                    if is_measure(zero):
                        self._add(f"{path}.{inner}", f"{path}.{inner}", zero)
            elif path in RINGS and isinstance(said, list):
                self.ring_names[path] = [f"{path}-{n}" for n in range(1, len(said) + 1)]
                for name, ring in zip(self.ring_names[path], said):
                    self._add(name, path, ring)
            elif path not in LISTS and is_measure(said):
                self._add(path, path, said)
                if path in RINGS:
                    self.ring_names[path] = [path]

    def _add(self, name, key, said):
        read = said["read"] if isinstance(said, dict) else said
        raw = read if isinstance(read, list) else [read]
        self.by_name[name] = Reading(name, tuple(in_base_unit(r) for r in raw),
                                     self._half_width(key, said))

    def _half_width(self, key, said):
        if isinstance(said, dict) and "within" in said:
            return in_base_unit(said["within"])
        if isinstance(said, dict) and "with" in said:
            return self.half_widths[said["with"]]
        instrument = INSTRUMENT_OF.get(key)
        if key in SADDLE_KEYS and self.job.get("saddle", {}).get("measured") == "extension":
            instrument = "steel rule"
        return self.half_widths[instrument] if instrument else 0.0

    def get(self, name):
        return self.by_name.get(name)

    def value(self, name, default=None):
        reading = self.by_name.get(name)
        return reading.value if reading else default

    def rings(self, key):
        """The readings whose sum is a stack of rings, or None when the key is not there."""
        names = self.ring_names.get(key)
        return None if names is None else [self.by_name[n] for n in names]
