"""Odds and trials against the exact law of the readings and against trials made here.

    odds.py PROGRAM RANDOM_JOBS [seatpost|steerer]

Half-widths and sensitivities are those of propagation.py, out of the python3-uncertainties package. The exact law of a
margin is the convolution of their rectangles, made here on a grid by averaging the distribution function over each
rectangle in turn. The trials draw numpy arrays for the readings and put them through the geometry of propagation.py,
nothing made linear.
"""

import json
import math
import os
import subprocess
import sys
import tempfile

import numpy

import propagation
from program import Mismatches, plan_texts, random_jobs, run_main

SEED = 106101
JOBS = {"seatpost": 400, "steerer": 310}
TRIED = {"seatpost": 16, "steerer": 10}
TRIALS = 200_000
GRID = 4001

# How far the program may be from the exact law, as its manual says, and where one or two readings make the doubt: the
# grid's own error, a two-thousandth of the reach squared.
MANY, FEW = 0.004, 1e-5


def chance_of_at_least_0(margin, parts):
    """Of margin + a rectangle of each half-width."""
    reach = sum(parts)
    if reach == 0:
        return 1.0 if margin >= -1e-9 else 0.0
    # Doubt beyond its reach is none: the grid goes past both ends by a rectangle more.
    x = numpy.linspace(-2 * reach, 2 * reach, GRID)
    step = x[1] - x[0]
    largest, *others = sorted(parts, reverse=True)
    below = numpy.clip((x + largest) / (2 * largest), 0, 1)
    for half in others:
        if half < 1e-9 * reach:
            continue
        integral = numpy.concatenate(([0.0], numpy.cumsum((below[1:] + below[:-1]) / 2) * step))
        # Beyond the grid the function is 0 below and 1 above.
        upper = numpy.interp(x + half, x, integral) + numpy.maximum(x + half - x[-1], 0)
        lower = numpy.interp(x - half, x, integral)
        below = (upper - lower) / (2 * half)
    return 1.0 - float(numpy.interp(-margin, x, below))


def compare_odds(answer, v, margins):
    """Differences of one job; how many limits had odds to speak of."""
    out, open_ = [], 0
    cut = answer["cut"]["at_mm"]
    for limit in answer["limits"]:
        if limit["id"] not in margins:  # masses, counts of rings, the longest cut
            if not limit["doubt"] and limit["odds"] != (1.0 if limit["margin"] >= -1e-9 else 0.0):
                out.append(f"{limit['id']}: odds {limit['odds']!r} of an exact margin {limit['margin']!r}")
            continue
        margin = margins[limit["id"]] + limit["sense"] * (cut + (v.saw if cut > 0 else 0.0))
        parts = list(propagation.components(margin).values())
        want = chance_of_at_least_0(propagation.nominal(margin), parts)
        allowed = FEW if len(parts) <= 2 else MANY
        if abs(limit["odds"] - want) > allowed:
            out.append(f"{limit['id']}: odds {limit['odds']!r}, the exact law says {want!r} of {parts}")
        open_ += 0.001 < want < 0.999
    return out, open_


class Drawn(propagation.Variables):
    """The readings of one job as arrays of what might be true."""

    def __init__(self, job, generator):
        self.generator = generator
        super().__init__(job)

    def _add(self, name, value, within):
        drawn = value + self.generator.uniform(-within, within, TRIALS) if within else value
        self.variables[name] = drawn
        self.within[name] = within
        return drawn


def without_uncertainties():
    """Plain numbers and arrays go through the same geometry."""
    propagation.umath = numpy


def compare_trials(answer, v, margins):
    """Differences of one job between two sets of trials, each of which scatters."""
    out = []
    cut = answer["cut"]["at_mm"]
    tried = answer["trials"]
    if (tried["n"], tried["at_mm"], tried["impossible"]) != (TRIALS, cut, 0):
        out.append(f"trials: {tried['n']} at {tried['at_mm']}, {tried['impossible']} impossible")
    compared = 0
    for limit, one in zip(answer["limits"], tried["limits"]):
        if limit["id"] != one["id"]:
            out.append(f"trials of {one['id']} stand where {limit['id']} is")
        if limit["id"] not in margins:
            continue
        drawn = margins[limit["id"]] + limit["sense"] * (cut + (v.saw if cut > 0 else 0.0))
        drawn = numpy.broadcast_to(drawn, (TRIALS,))
        u = float(numpy.std(drawn))
        # One end of so many normal trials scatters by √(0.025·0.975/n)/0.0584·u, its mean by u/√n; five of the
        # difference of two, each.
        end = 5 * math.sqrt(2) * math.sqrt(0.025 * 0.975 / TRIALS) / 0.0584 * u + 1e-9
        mean = 5 * math.sqrt(2) * u / math.sqrt(TRIALS) + 1e-9
        low, high = numpy.quantile(drawn, [0.025, 0.975])
        holds = float(numpy.mean(drawn >= -1e-9))
        share = 5 * math.sqrt(2) * math.sqrt(max(holds * (1 - holds), 1e-5) / TRIALS)
        for what, got, want, within in (("low", one["low"], low, end), ("high", one["high"], high, end),
                                        ("mean", one["mean"], float(numpy.mean(drawn)), mean),
                                        ("sd", one["sd"], u, 0.01 * u + 1e-9),
                                        ("holds", one["holds"], holds, share)):
            if abs(got - want) > within:
                out.append(f"{limit['id']}: {what} {got!r} by trials, {want!r} by others")
        compared += u > 0
    return out, compared


def try_all(program, texts):
    """Runs the program with trials, one job a call."""
    with tempfile.TemporaryDirectory() as folder:
        for text in texts:
            path = os.path.join(folder, "job.toml")
            with open(path, "w", encoding="utf-8") as out:
                out.write(text)
            done = subprocess.run([program, "plan", path, "--json", "--trials", str(TRIALS)], check=False,
                                  capture_output=True, text=True, timeout=120)
            yield text, json.loads(done.stdout)


def main():
    program, generator, *kinds = sys.argv[1:]
    kinds = kinds or list(JOBS)
    mismatches, counts = Mismatches(), []
    for kind in kinds:
        jobs = random_jobs(generator, kind, SEED, JOBS[kind])
        open_ = 0
        for (_, job), (text, answer) in zip(jobs, plan_texts(program, [text for text, _ in jobs])):
            v = propagation.Variables(job)
            out, some = compare_odds(answer, v, propagation.MARGINS[kind](job, v)[0])
            mismatches.add(text, out)
            open_ += some
        if open_ < len(jobs) / 4:
            sys.exit(f"{kind}: only {open_} limits with odds to speak of in {len(jobs)} jobs")
        counts.append(f"{len(jobs)} {kind} jobs, {open_} limits with odds")
    kept = propagation.umath
    without_uncertainties()
    numbers = numpy.random.default_rng(SEED)
    for kind in kinds:
        # Which of two routes is taken depends on their doubt, which arrays do not carry.
        jobs = [(text, job) for text, job in random_jobs(generator, kind, SEED + JOBS[kind], 3 * TRIED[kind])
                if "mock_up" not in job][:TRIED[kind]]
        compared = 0
        for (_, job), (text, answer) in zip(jobs, try_all(program, [text for text, _ in jobs])):
            v = Drawn(job, numbers)
            out, some = compare_trials(answer, v, propagation.MARGINS[kind](job, v)[0])
            mismatches.add(text, out)
            compared += some
        if compared < 3 * len(jobs):
            sys.exit(f"{kind}: only {compared} margins scatter in {len(jobs)} jobs")
        counts.append(f"{compared} margins by trials")
    propagation.umath = kept
    mismatches.finish("odds: " + "; ".join(counts))


if __name__ == "__main__":
    run_main(main)
