"""Random but plausible jobs, steered so that limits come out well kept, near their bound or broken.

The trigonometry here only chooses sensible figures to write into a job; no check rests on it.
"""

import math

WAYS = ("along tube", "straight", "to rails", "extension")


def chance(rng, probability):
    return rng.random() < probability


def grain(rng):
    """How finely a job's figures are written: whole millimetres meet bounds exactly."""
    return rng.choice([1.0, 1.0, 0.5, 0.1, 0.001])


def on_grain(value, step):
    return round(round(value / step) * step, 6)


def slack(rng, bad=0.06):
    """How far a figure stays from its bound: mostly plenty, sometimes close, seldom broken."""
    roll = rng.random()
    if roll < bad:
        return -rng.uniform(3, 40)
    if roll < bad + 0.12:
        return rng.uniform(-3, 4)
    return rng.uniform(5, 70)


def dressed(rng, value, half_width_scale=1.0, names=("steel rule", "tape", "caliper", "laser"),
            twice=False, disagree=0.0):
    """The value as a plain number, several readings, or with its own instrument or half-width."""
    said = value
    if twice or chance(rng, 0.15):
        spread = 0.3 * half_width_scale
        if chance(rng, disagree):
            spread = 4 * half_width_scale
        count = rng.choice([2, 2, 3])
        said = [round(value + rng.uniform(-spread, spread), 3) for _ in range(count)]
    roll = rng.random()
    if roll < 0.10:
        return {"read": said, "within": rng.choice([0, 0.2, 0.25, 1.0, 1.5])}
    if roll < 0.18 and names:
        return {"read": said, "with": rng.choice(names)}
    return said


def measuring(rng):
    """Always brings the instruments that `dressed` may name; sometimes changes a built-in one."""
    instruments = {"laser": rng.choice([0.15, 0.3]), "inclinometer": "0.2 deg"}
    if chance(rng, 0.1):
        instruments["steel rule"] = 0.3
    if chance(rng, 0.1):
        instruments["tape"] = 1.5
    table = {"instruments": instruments}
    if chance(rng, 0.15):
        table["coverage"] = rng.choice([1, 1.5, 3, 4])
    return table


def saw(rng):
    table = {}
    if chance(rng, 0.3):
        table["kerf"] = rng.choice([0, 0.8, 1.4, 2.0])
    if chance(rng, 0.3):
        table["within"] = rng.choice([0, 0.2, 1.0])
    if chance(rng, 0.3):
        table["step"] = rng.choice([0.1, 0.5, 2.0, 5.0, 10.0])
    return table


class Seatpost:
    """Builds one seatpost job."""

    def __init__(self, rng, way=None, plain=False):
        self.rng = rng
        self.way = way or rng.choice(WAYS)
        self.step = grain(rng)
        self.twice = not plain and chance(rng, 0.12)
        self.disagree = 0.0 if plain else 0.06
        self.forgetful = 0.5 if self.twice and chance(rng, 0.5) else 0.0

    def put(self, value, scale=1.0, names=("steel rule", "tape", "caliper", "laser")):
        both = self.twice and not chance(self.rng, self.forgetful * 0.2)
        return dressed(self.rng, on_grain(value, self.step), scale, names, both, self.disagree)

    def job(self):
        rng = self.rng
        job = {"kind": "seatpost", "job": {"number": "0"}, "measuring": measuring(rng)}
        if self.twice:
            job["measuring"]["twice"] = True
        low = rng.uniform(60, 220)
        height = low + (rng.uniform(0, 25) if chance(rng, 0.5) else 0)
        high = height + (rng.uniform(0, 25) if chance(rng, 0.5) else 0)
        setback = rng.choice([0, rng.uniform(-30, 30)])
        job["saddle"], job["frame"] = self._saddle(low, height, high, setback)
        job["post"] = self._post(job["frame"], low, high, setback)
        self._blockages(job, low)
        if chance(rng, 0.3):
            count = rng.choice([1, 4])
            lengths = {on_grain(rng.uniform(150, 450), self.step) for _ in range(count)}
            job["stock"] = {"lengths": sorted(lengths)}
        masses(rng, job, (job["post"], job["frame"]))
        job["saw"] = saw(rng)
        if chance(rng, 0.25):
            job["saw"]["wanted"] = max(0.5, on_grain(self.wish + rng.uniform(-4, 12), self.step))
        read_again(rng, job["post"], ("diameter", "min_insertion", "max_cut", "min_length"))
        in_other_units(rng, job)
        return job

    def _saddle(self, low, height, high, setback):
        rng = self.rng
        saddle, frame = {}, {}
        if self.way != "along tube" or chance(rng, 0.5):
            saddle["measured"] = self.way
        if self.way == "extension":
            measures = [low, height, high]
        else:
            T = rng.uniform(320, 560)
            theta = rng.uniform(66, 80)
            a = rng.choice([0, 0, rng.uniform(-60, 60)])
            h = rng.uniform(35, 60)
            frame["seat_tube"] = self.put(T)
            if self.way != "to rails":
                frame["seat_angle"] = self.put(theta, 0.5, ("angle gauge", "inclinometer"))
                saddle["rail_to_top"] = self.put(h)
            if a or chance(rng, 0.1):
                frame["axis_offset"] = self.put(a)
            measures = [self._measure(E, T, math.radians(theta), a, setback, h)
                        for E in (low, height, high)]
            if chance(rng, 0.25):
                crank = rng.choice([165, 170, 172.5, 175])
                saddle["from"] = "pedal axle"
                saddle["crank"] = crank
                measures = [H + crank for H in measures]
        saddle["height"] = self.put(measures[1])
        if height > low + 4 or chance(rng, 0.05) and height > low:
            saddle["lowest"] = self.put(measures[0] - 2)
        if high > height + 4:
            saddle["highest"] = self.put(measures[2] + 2)
        return saddle, frame

    def _measure(self, E, T, theta, a, b, h):
        s, e = E + math.sqrt(T * T - a * a), a - b
        if self.way == "along tube":
            return s + (e * math.cos(theta) + h) / math.sin(theta)
        if self.way == "straight":
            return math.hypot(s + h * math.sin(theta), e + h * math.cos(theta))
        return s

    def _post(self, frame, low, high, setback):
        rng = self.rng
        diameter = rng.choice([25.4, 27.2, 30.9, 31.6])
        mark = on_grain(rng.uniform(70, 110), self.step)
        inserted = mark + slack(rng) + (rng.uniform(0, 90) if chance(rng, 0.6) else 0)
        inserted = max(inserted, 25)
        post = {"length": self.put(min(high + inserted, 690)), "diameter": diameter,
                "mark": "unknown" if chance(rng, 0.06) else self.put(mark),
                "material": rng.choice(["aluminium", "aluminium", "carbon", "steel", "titanium"])}
        self.length = min(high + inserted, 690)
        if setback:
            post["setback"] = self.put(setback)
        if chance(rng, 0.8):
            post["cutting"] = rng.choice(["allowed"] * 8 + ["not stated", "forbidden"])
        if chance(rng, 0.05):
            post["build"] = rng.choice(["rigid", "dropper", "suspension"])
        if chance(rng, 0.1):
            post["section"] = "other"
        if chance(rng, 0.2):
            post["hang"] = self.put(rng.uniform(0, 40))
        self._post_limits(post, frame, low, high, inserted)
        return post

    def _post_limits(self, post, frame, low, high, inserted):
        rng = self.rng
        if chance(rng, 0.2):
            post["min_insertion"] = max(1, on_grain(inserted - 20 - slack(rng), self.step))
        if chance(rng, 0.2):
            frame["min_insertion"] = max(1, on_grain(inserted - 20 - slack(rng), self.step))
        if chance(rng, 0.25):
            below = inserted - 30 - post["diameter"] - slack(rng)
            frame["junction"] = self.put(min(max(below, 0), 250))
        if chance(rng, 0.15):
            frame["clamp_below"] = 0 if chance(rng, 0.2) else \
                self.put(min(max(inserted - 10 - slack(rng), 0), 150))
        if chance(rng, 0.2):
            post["max_cut"] = on_grain(rng.uniform(0, 70), self.step)
        if chance(rng, 0.15):
            post["min_length"] = max(50, on_grain(self.length - rng.uniform(-2, 90), self.step))
        if chance(rng, 0.2):
            post["head"] = self.put(min(max(low - slack(rng, 0.03), 0), 150))
        if chance(rng, 0.15):
            top = max(0, low - slack(rng, 0.04))
            held = mean_of(frame.get("clamp_below", 0))
            post["grip"] = [on_grain(top + held, self.step),
                            on_grain(max(high + slack(rng, 0.04), top + 20) + held, self.step)]
        if chance(rng, 0.2):
            frame["bore"] = round(post["diameter"] + rng.choice([0, 0.05, -0.1, 0.1, 0.3]), 3)
        if chance(rng, 0.1):
            post["shim"] = True
        if chance(rng, 0.2):
            post["scale"] = {"zero_at": self.put(rng.uniform(0, 300))}
            if chance(rng, 0.5):
                post["scale"]["per_unit"] = rng.choice([1, 5, 10])
            if chance(rng, 0.5):
                post["scale"]["rising"] = rng.choice(["down", "up"])

    def _blockages(self, job, low):
        rng = self.rng
        hang = mean_of(job["post"].get("hang", 0))
        reach = self.length - low + hang
        self.wish = 0.0
        depth = None
        for _ in range(rng.choice([0, 1, 1, 1, 1, 2, 3])):
            air = rng.choice([rng.uniform(-60, -4), rng.uniform(-60, -4), rng.uniform(-4, 4),
                              rng.uniform(1, 60)])
            here = min(max(reach + air, 20), 700)
            blockage = {"depth": self.put(here)}
            if chance(rng, 0.2):
                blockage["what"] = rng.choice(["lip", "bottle boss"])
            if chance(rng, 0.3):
                blockage["clearance"] = rng.choice([0, 1, 5, 10])
            job["frame"].setdefault("blockage", []).append(blockage)
            self.wish = max(self.wish, -air)
            depth = here if depth is None else min(depth, here)
        if chance(rng, 0.25):
            at = depth if depth is not None else reach + rng.uniform(-50, 20)
            fitted = chance(rng, 0.4)
            exposed = self.length - at + (hang if fitted else 0)
            exposed += rng.uniform(-9, 9) if chance(rng, 0.1) else rng.uniform(-1, 1)
            if 0 <= exposed <= 600:
                job["mock_up"] = {"exposed_bottomed": self.put(exposed)}
                if fitted:
                    job["mock_up"]["hang_fitted"] = True


class Steerer:
    """Builds one steerer job."""

    def __init__(self, rng):
        self.rng = rng
        self.step = grain(rng)
        self.twice = chance(rng, 0.12)
        self.forgetful = self.twice and chance(rng, 0.5)

    def put(self, value, scale=1.0):
        both = self.twice and not (self.forgetful and chance(self.rng, 0.1))
        return dressed(self.rng, on_grain(value, self.step), scale, twice=both, disagree=0.06)

    def rings(self, total):
        """A sum as one number or as a list of rings; gives what is said and its nominal sum."""
        rng = self.rng
        if chance(rng, 0.4) or total < 4:
            said = dressed(rng, on_grain(total, self.step), 0.1, twice=self.twice)
            # Under [spacers] an array is a list of rings: several readings need a table.
            return {"read": said} if isinstance(said, list) else said
        count = rng.choice([1, 2, 3])
        shares = [max(0.5, on_grain(total / count, self.step)) for _ in range(count)]
        if not self.twice:
            return shares
        return [{"read": [s, round(s + 0.05, 3)]} for s in shares]

    def job(self):
        rng = self.rng
        job = {"kind": "steerer", "job": {"number": "0"}, "measuring": measuring(rng)}
        if self.twice:
            job["measuring"]["twice"] = True
        K = rng.uniform(35, 45)
        below = rng.uniform(5, 40)
        above = rng.choice([0, 5, 10, rng.uniform(0, 20)])
        lowest = below - rng.uniform(0, 5) if chance(rng, 0.3) else below
        highest = below + rng.uniform(0, 10) if chance(rng, 0.3) else below
        gap = rng.choice([rng.uniform(-120, -6), rng.uniform(-120, -6), rng.uniform(-6, 2),
                          rng.uniform(1.5, 5.5), rng.uniform(2, 20)])
        spacers = {"below": self.rings(below)}
        if lowest < below:
            spacers["lowest"] = self.rings(max(lowest - 1.5, 1))
        if highest > below:
            spacers["highest"] = self.rings(highest + 1.5)
        if above or chance(rng, 0.5):
            spacers["above"] = self.rings(above)
        nominal = {key: ring_sum(said) for key, said in spacers.items()}
        b_high, b_low = nominal.get("highest", nominal["below"]), nominal.get("lowest",
                                                                              nominal["below"])
        a = nominal.get("above", 0)
        job["steerer"] = {"material": rng.choice(["carbon", "carbon", "aluminium", "steel"])}
        job["stem"] = {"clamp": self.put(K, 0.1)}
        job["spacers"] = spacers
        self._routes(job, gap, K, b_high, a)
        self._limits(job, gap, K, b_low, b_high, a)
        job["saw"] = saw(rng)
        if chance(rng, 0.25):
            job["saw"]["wanted"] = max(0.5, on_grain(3 - gap + rng.uniform(-3, 3), self.step))
        read_again(rng, job["steerer"], ("max_cut", "min_length"))
        in_other_units(rng, job)
        return job

    def _routes(self, job, gap, K, b_high, a):
        rng = self.rng
        roll = rng.random()
        if roll < 0.7:
            tube, lower, upper = rng.uniform(90, 180), rng.choice([0, 2.5, 8, -4]), rng.uniform(5, 25)
            job["frame"] = {"head_tube": self.put(tube)}
            job["headset"] = {"upper": self.put(upper, 0.1), "lower": self.put(lower, 0.1)}
            if chance(rng, 0.06):
                job["headset"].pop(rng.choice(["lower", "lower", "upper"]))
            if chance(rng, 0.03):
                del job["frame"]["head_tube"]
            length = tube + lower + upper + b_high + K + a - gap
            if not chance(rng, 0.03):
                job["steerer"]["length"] = self.put(length)
            self.length = length
        else:
            self.length = None
            if chance(rng, 0.4):
                self.length = rng.uniform(200, 330)
                job["steerer"]["length"] = self.put(self.length)
        if roll > 0.5 and roll < 0.97:
            off = rng.uniform(-8, 8) if chance(rng, 0.1) else rng.uniform(-0.8, 0.8)
            job["mock_up"] = {"stands_proud": self.put(-gap + off)}

    def _limits(self, job, gap, K, b_low, b_high, a):
        rng = self.rng
        steerer, spacers = job["steerer"], job["spacers"]
        if chance(rng, 0.4):
            steerer["cutting"] = rng.choice(["allowed", "not stated", "not stated", "forbidden"])
        if chance(rng, 0.15):
            steerer["max_cut"] = on_grain(rng.uniform(0, 140), self.step)
        if "length" in steerer and chance(rng, 0.2):
            steerer["min_length"] = max(50, on_grain(self.length - rng.uniform(-2, 150), self.step))
        if chance(rng, 0.2):
            job["stem"]["recess_max"] = rng.choice([0, 1, 3, 5])
        cap = {}
        if chance(rng, 0.2):
            cap["gap"] = rng.choice([2, 2.5, 3.5, 4])
        if chance(rng, 0.25):
            cap["gap_min"] = rng.choice([0, 1, 2, 3])
        if chance(rng, 0.25):
            cap["gap_max"] = rng.choice([4, 5, 8, 10])
        if cap:
            job["cap"] = cap
        if chance(rng, 0.25):
            reach = K + a + b_high - b_low - 3
            job["expander"] = {"to": min(max(10, on_grain(reach + slack(rng), self.step)), 150)}
            if chance(rng, 0.5):
                top = a - 3 - slack(rng)
                job["expander"]["from"] = min(max(0, on_grain(top, self.step)), 9)
        if chance(rng, 0.15):
            spacers["max_below"] = max(0, on_grain(b_high + slack(rng, 0.2), self.step))
        if chance(rng, 0.15):
            spacers["min_above"] = max(0, on_grain(a - slack(rng, 0.1), self.step))
        if chance(rng, 0.15):
            spacers["max_above"] = max(0, on_grain(a + b_high - b_low + slack(rng, 0.2), self.step))
        if chance(rng, 0.25):
            expander = job.setdefault("expander", {})
            expander["flange"] = rng.choice([0, 1, 2, 2, 2.5])
            if chance(rng, 0.5):
                expander["flange"] = self.put(expander["flange"], 0.1)
        masses(rng, job, (steerer, job.setdefault("frame", {})))


def masses(rng, job, tables):
    """What the makers allow, and what weighs on it; either may be left unsaid."""
    said = {}
    if chance(rng, 0.35):
        said["mass"] = rng.choice([70, 85.5, 110, "200 lb", {"read": [98, 99], "within": 2}])
    if chance(rng, 0.2):
        rider = mean_of(said["mass"]) if isinstance(said.get("mass"), dict) else 111
        said["system_mass"] = on_grain(max(rider, 111) + rng.uniform(0, 20), 0.5)
        if chance(rng, 0.3):
            said["system_mass"] = {"read": said["system_mass"], "within": 1}
    if said:
        job["rider"] = said
    for table in tables:
        if chance(rng, 0.2):
            table["max_rider"] = rng.choice([98, 100, 120, "220 lb"])
        if chance(rng, 0.2):
            table["max_system"] = rng.choice([90, 100, 120, 125, {"read": 115, "within": 1}])


def measured_after(rng, job, original, gap, cut):
    """What is measured after that cut; the lengths before it may be unknown (None).

    Mostly with errors that the instruments explain, sometimes with slips.
    """
    def slip(small, large):
        return rng.choice([rng.uniform(-small, small)] * 4 + [rng.uniform(-large, large)])

    def put(value, names=("steel rule", "caliper", "laser")):
        twice = job["measuring"].get("twice", False) and not chance(rng, 0.15)
        return dressed(rng, round(value, 3), names=names, twice=twice, disagree=0.04)

    as_cut = {}
    kerf = mean_of(job["saw"].get("kerf", 1.0))
    if chance(rng, 0.2):
        kerf = rng.choice([0.8, 1.0, 2.0])
        as_cut["kerf"] = rng.choice([kerf, {"read": kerf, "within": 0.2}])
    if original is not None:
        as_cut["length"] = put(original - cut + slip(0.3, 0.9))
    elif job["kind"] == "steerer" and chance(rng, 0.3):
        as_cut["length"] = put(rng.uniform(150, 300))
    if job["kind"] == "steerer" and (chance(rng, 0.5) or not as_cut.get("length")):
        as_cut["gap"] = put((gap if gap is not None else 3 - cut) + cut + slip(0.4, 3))
        if chance(rng, 0.2):
            as_cut.pop("length", None)
    if cut > kerf and chance(rng, 0.6):
        as_cut["offcut"] = put(cut - kerf + slip(0.4, 4))
    return as_cut


def read_again(rng, table, keys):
    """Exact values have no doubt to hide behind: noted twice, they must be the same."""
    for key in keys:
        if key in table and chance(rng, 0.04):
            table[key] = [table[key], table[key] + rng.choice([0, 0, 0.5])]


OTHER_UNITS = ("height", "seat_tube", "rail_to_top", "depth", "length", "mark", "min_insertion",
               "max_cut", "head_tube", "clamp", "upper", "stands_proud", "exposed_bottomed")


def in_other_units(rng, table):
    """Writes some plain lengths in centimetres or inches."""
    for key, said in table.items():
        if isinstance(said, dict):
            in_other_units(rng, said)
        elif key in OTHER_UNITS and isinstance(said, (int, float)) and chance(rng, 0.03):
            table[key] = rng.choice([f"{said / 10!r} cm", f"{said / 25.4!r} in", f"{said!r} mm"])


def mean_of(said):
    """The nominal value of what `dressed` wrote."""
    if isinstance(said, dict):
        said = said["read"]
    return sum(said) / len(said) if isinstance(said, list) else said


def ring_sum(said):
    """The nominal sum of what `Steerer.rings` wrote."""
    if isinstance(said, list):
        return sum(mean_of(ring) for ring in said)
    return mean_of(said)


RANGES = {
    "saddle.height": (400, 1100), "saddle.lowest": (400, 1100), "saddle.highest": (400, 1100),
    "frame.seat_tube": (150, 800), "frame.seat_angle": (50, 89), "frame.axis_offset": (-150, 150),
    "frame.junction": (0, 250), "post.mark": (20, 300), "post.length": (50, 700),
    "post.setback": (-60, 60), "post.head": (0, 150), "post.hang": (0, 200),
    "post.scale.zero_at": (0, 600), "mock_up.exposed_bottomed": (0, 600),
    "mock_up.stands_proud": (-60, 300), "steerer.length": (50, 500), "headset.lower": (-20, 50),
    "frame.clamp_below": (0, 150), "expander.flange": (0, 10),
    "headset.upper": (0, 80), "spacers.below": (0, 200), "spacers.lowest": (0, 200),
    "spacers.highest": (0, 200), "spacers.above": (0, 200),
    "as_cut.length": (50, 700), "as_cut.offcut": (0, 450), "as_cut.kerf": (0, 5),
    "as_cut.gap": (-20, 60),
}
EXTENSION_RANGE = (20, 450)


def sound(job, readings):
    """True when every single reading is plausible and lowest <= height <= highest for each of them.

    `readings` is the Readings of the job.
    """
    extension = job.get("saddle", {}).get("measured") == "extension"
    for name, reading in readings.by_name.items():
        low, high = RANGES.get(name, (-1e9, 1e9))
        if extension and name.startswith("saddle."):
            low, high = EXTENSION_RANGE
        if ".blockage-" in name and name.endswith("depth"):
            low, high = 20, 700
        if "spacers." in name and name[-2] == "-":
            low, high = 0.5, 60
        if any(not low <= raw <= high for raw in reading.raw):
            return False
    return ordered(readings, "saddle.lowest", "saddle.height", "saddle.highest") and \
        ordered(readings, "spacers.lowest", "spacers.below", "spacers.highest")


def ordered(readings, *keys):
    def ends(key):
        stack = readings.rings(key) if key.startswith("spacers") else [readings.get(key)]
        if not stack or stack[0] is None:
            return None
        return sum(min(r.raw) for r in stack), sum(max(r.raw) for r in stack)

    known = [e for e in map(ends, keys) if e is not None]
    return all(before[1] <= after[0] for before, after in zip(known, known[1:]))
