"""Jobs to compare the page with the program: make_jobs.py FOLDER SOUND WRONG SEED

SOUND random jobs of every kind, some of them after the cut, and WRONG ones with a slip each.
"""

import pathlib
import random
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "outside"))
import handlebar  # noqa: E402
import mast  # noqa: E402
import program  # noqa: E402
import random_jobs  # noqa: E402
import readings  # noqa: E402


def sound_job(rng, number):
    if number % 4 > 1:
        return program.toml((handlebar if number % 4 == 2 else mast).random_job(rng))
    while True:
        kind = random_jobs.Seatpost if number % 4 else random_jobs.Steerer
        job = kind(rng).job()
        if random_jobs.sound(job, readings.Readings(job)):
            return program.toml(job)


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
    folder, sound, wrong, seed = pathlib.Path(sys.argv[1]), *map(int, sys.argv[2:])
    rng = random.Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(sound):
        (folder / f"sound-{number:04}.toml").write_text(sound_job(rng, number), encoding="utf-8")
    for number in range(wrong):
        text = with_slip(rng, sound_job(rng, number))
        (folder / f"wrong-{number:04}.toml").write_text(text, encoding="utf-8")


main()
