"""Jobs to compare the page with the program: make_jobs.py RANDOM_JOBS FOLDER SOUND WRONG SEED

SOUND random jobs of every kind, some of them after the cut, and WRONG ones with a slip each.
"""

import pathlib
import random
import sys
import tomllib

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "outside"))
import handlebar  # noqa: E402
import mast  # noqa: E402
import program  # noqa: E402

CUT = {"handlebar": handlebar.with_cut, "mast": mast.with_cut}


def sound_jobs(generator, rng, seed, count):
    kinds = ("seatpost", "steerer", "handlebar", "mast")
    texts = [program.random_texts(generator, kind, seed, count // len(kinds) + 1) for kind in kinds]
    for number in range(count):
        kind, text = kinds[number % len(kinds)], texts[number % len(kinds)][number // len(kinds)]
        yield CUT[kind](rng, text, tomllib.loads(text)) if kind in CUT else text


def with_slip(rng, text):
    """What people do to a file: a letter gone, two swapped, a line twice or missing, another figure."""
    at = rng.randrange(len(text) - 1)
    lines = text.splitlines(keepends=True)
    line = rng.randrange(len(lines))
    return rng.choice([
        lambda: text[:at] + text[at + 1:],
        lambda: text[:at] + text[at + 1] + text[at] + text[at + 2:],
        lambda: text[:at] + rng.choice("\"[]=#{},.é\x07") + text[at:],
        lambda: "".join(lines[:line] + [lines[line]] + lines[line:]),
        lambda: "".join(lines[:line] + lines[line + 1:]),
        lambda: "".join(lines[:line] + [lines[line].replace("=", "= 9", 1)] + lines[line + 1:]),
    ])()


def main():
    generator, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    sound, wrong, seed = map(int, sys.argv[3:])
    rng = random.Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    for number, text in enumerate(sound_jobs(generator, rng, seed, sound)):
        (folder / f"sound-{number:04}.toml").write_text(text, encoding="utf-8")
    for number, text in enumerate(sound_jobs(generator, rng, seed + sound, wrong)):
        (folder / f"wrong-{number:04}.toml").write_text(with_slip(rng, text), encoding="utf-8")


main()
