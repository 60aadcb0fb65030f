"""What is measured after a cut, for the random jobs of tests/property: mostly with errors that the instruments explain,
sometimes with slips."""

from program import toml
from readings import in_base_unit


def slip(rng, small, large):
    return rng.choice([rng.uniform(-small, small)] * 4 + [rng.uniform(-large, large)])


def dressed(rng, value, twice=False):
    """The value as a plain number, several readings, or with its own instrument or half-width."""
    said = round(value, 3)
    if twice or rng.random() < 0.15:
        spread = 4 if rng.random() < 0.04 else 0.3
        said = [round(value + rng.uniform(-spread, spread), 3) for _ in range(rng.choice([2, 2, 3]))]
    roll = rng.random()
    if roll < 0.10:
        return {"read": said, "within": rng.choice([0, 0.2, 0.25, 1.0, 1.5])}
    if roll < 0.18:
        return {"read": said, "with": rng.choice(["steel rule", "caliper", "laser"])}
    return said


def measured_after(rng, job, original, gap, cut):
    """The text of an [as_cut] after that cut; the lengths before it may be unknown (None)."""
    def put(value, least, most):
        # No reading of it leaves the range of its key.
        again = job["measuring"].get("twice", False) and rng.random() > 0.15
        return dressed(rng, min(max(value, least + 4), most - 4), again)

    as_cut, fork = {}, job["kind"] == "steerer"
    longest = 400 if job["kind"] == "mast" else 700
    kerf = in_base_unit(job["saw"].get("kerf", 1.0))
    if rng.random() < 0.2:
        kerf = rng.choice([0.8, 1.0, 2.0])
        as_cut["kerf"] = rng.choice([kerf, {"read": kerf, "within": 0.2}])
    if original is not None:
        as_cut["length"] = put(original - cut + slip(rng, 0.3, 0.9), 20 if longest == 400 else 50, longest)
    elif fork and rng.random() < 0.3:
        as_cut["length"] = put(rng.uniform(150, 300), 50, longest)
    if fork and ("length" not in as_cut or rng.random() < 0.5):
        as_cut["gap"] = put((gap if gap is not None else 3 - cut) + cut + slip(rng, 0.4, 3), -20, 60)
        if rng.random() < 0.2:
            as_cut.pop("length", None)
    if cut > kerf and rng.random() < 0.6:
        as_cut["offcut"] = put(cut - kerf + slip(rng, 0.4, 4), 0, 450)
    return toml({"as_cut": as_cut})
