"""Writes job files, runs `kerfmark plan FILE... --json` on them and collects what disagrees.

Shared by the outside checks of this folder. Knows the form of a job file and of the JSON line,
nothing of bicycles.
"""

import json
import math
import os
import re
import subprocess
import sys
import tempfile
import tomllib

FILES_PER_CALL = 200
EXIT_STATUS = {"keep": 0, "cut": 0, "hold": 1, "reject": 1}
EXIT_STATUS_AFTER = {"fit": 0, "hold": 1, "unfit": 1}


def exit_status(answer):
    """Once the part is cut, what was measured afterwards decides."""
    if answer["after"] is not None:
        return EXIT_STATUS_AFTER[answer["after"]["verdict"]]
    return EXIT_STATUS[answer["verdict"]]


def toml_value(value):
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value)
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(toml_value(v) for v in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(k) if ' ' in k else k} = {toml_value(v)}"
                                for k, v in value.items()) + " }"
    raise TypeError(f"no TOML for {value!r}")


def toml(job):
    """The text of a job file: plain keys first, then tables, then [[frame.blockage]]."""
    lines = [f"{k} = {toml_value(v)}" for k, v in job.items() if not isinstance(v, dict)]
    for name, table in job.items():
        if not isinstance(table, dict):
            continue
        lines.append(f"[{name}]")
        lines += [f"{k} = {toml_value(v)}" for k, v in table.items() if k != "blockage"]
        for blockage in table.get("blockage", []):
            lines.append(f"[[{name}.blockage]]")
            lines += [f"{k} = {toml_value(v)}" for k, v in blockage.items()]
    return "\n".join(lines) + "\n"


class Trouble(Exception):
    """The program broke off, refused a sound job, or its exit status belies its verdicts."""


def plan(program, texts, folder):
    """One call of the program for at most FILES_PER_CALL job texts; one dict of JSON each."""
    paths = []
    for number, text in enumerate(texts):
        path = os.path.join(folder, f"{number:03}.toml")
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        paths.append(path)
    done = subprocess.run([program, "plan", *paths, "--json"], capture_output=True, text=True,
                          timeout=120, check=False)
    lines = done.stdout.splitlines()
    if len(lines) != len(texts):
        raise Trouble(f"{len(texts)} jobs gave {len(lines)} lines, exit status "
                      f"{done.returncode}\n{done.stderr[:4000]}")
    answers = []
    for path, text, line in zip(paths, texts, lines):
        answer = json.loads(line)
        if answer["file"] != path:
            raise Trouble(f"answers are out of order: {answer['file']} instead of {path}")
        if "findings" in answer:
            raise Trouble(f"a sound job was refused: {answer['findings']}\n{text}")
        answers.append(answer)
    expected = max(map(exit_status, answers), default=0)
    if done.returncode != expected:
        raise Trouble(f"exit status {done.returncode}, the verdicts ask for {expected}\n"
                      f"{done.stderr[:4000]}")
    return answers


def plan_all(program, jobs):
    """Plans any number of jobs (dicts) in batches; gives (text, answer) in the order of jobs."""
    return plan_texts(program, [toml(job) for job in jobs])


def plan_texts(program, texts):
    """The same for the texts of job files."""
    pairs = []
    with tempfile.TemporaryDirectory() as folder:
        for first in range(0, len(texts), FILES_PER_CALL):
            batch = texts[first:first + FILES_PER_CALL]
            pairs += zip(batch, plan(program, batch, folder))
    return pairs


def random_texts(generator, kind, first, count):
    """Job files of that many random jobs, seeds from `first`: the ones that the laws of tests/property hold for."""
    done = subprocess.run([generator, kind, str(first), str(count)], capture_output=True, text=True, check=True)
    return re.split("^(?=# )", done.stdout, flags=re.MULTILINE)[1:]


def random_jobs(generator, kind, first, count):
    """The same as (text, job), but for wishes for the bar: steerer_positions.py finds the rings that fulfil them."""
    pairs = [(text, tomllib.loads(text)) for text in random_texts(generator, kind, first, count)]
    return [(text, job) for text, job in pairs if "bar" not in job]


def near(got, want, tolerance=1e-6):
    """Equal within an absolute and relative tolerance; null only equals null."""
    if want is None or got is None:
        return want is None and got is None
    return math.isclose(got, want, rel_tol=tolerance, abs_tol=tolerance)


class Mismatches:
    """Collects what disagrees and says it with the job file's text."""

    SHOWN = 5

    def __init__(self):
        self.count = 0

    def add(self, text, differences):
        if not differences:
            return
        self.count += 1
        if self.count <= self.SHOWN:
            print("MISMATCH\n  " + "\n  ".join(differences) + "\n" + text, file=sys.stderr)

    def finish(self, summary):
        """Prints the one summary line and ends the script."""
        print(f"{summary}, {self.count} mismatches")
        sys.exit(1 if self.count else 0)


def reread(words, texts, differences, what):
    """Holds the answer to the text of each job against differences(job, answer, wrong); every verdict must come up. With --must-catch
    among the words of the command line `wrong` is true, and something must differ then."""
    wrong = "--must-catch" in words
    mismatches, seen = Mismatches(), set()
    for text, answer in plan_texts(words[1], texts):
        seen.add(answer["verdict"])
        seen.add(answer["after"] and answer["after"]["verdict"])
        mismatches.add(text, differences(tomllib.loads(text), answer, wrong))
    missing = {"cut", "keep", "hold", "reject", "fit", "unfit", None} - seen
    if missing:
        sys.exit(f"no job came out as {missing}")
    if wrong:
        print(f"{mismatches.count} jobs show the planted fault")
        sys.exit(0 if mismatches.count else 1)
    mismatches.finish(f"{len(texts)} {what}")


def run_main(main):
    """Runs main, with a readable message instead of a trace when the program misbehaves."""
    try:
        main()
    except Trouble as trouble:
        print(f"TROUBLE {trouble}", file=sys.stderr)
        sys.exit(1)
