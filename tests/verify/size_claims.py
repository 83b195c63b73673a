#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Are the numbers of `size` right, and is what it calls sure?

The known answer comes from `run` alone: the share of years that meet each goal of scenarios/how-many-to-start.yaml at a
few numbers of larvae, from very many years of other seeds, and where a probit line through the shares near the wanted
chance crosses it. Then `size` searches with 40 seeds. Its 95 % interval may miss the known answer, with the error of that
answer itself, in at most 6 of 40 searches (Binomial(40, 0.05) exceeds 6 with probability 0.3 %); nothing that it calls surely
enough may be too little, and nothing surely too little enough. Once with the plausible animals, once with one animal.

    size_claims.py [SEEDS [YEARS]]     40 seeds; 20480 years at each number for the known answer
"""
import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "support"))
import checking
import numpy as np
from checking import check

SCENARIO = "how-many-to-start.yaml"
NUMBERS = (7000, 8000, 9000, 10000, 11500, 13000)
MISSED = 6
SOURCE = "`run`, other seeds"
normal = statistics.NormalDist()


def program(*words):
    done = subprocess.run([checking.PROGRAM, *map(str, words)], capture_output=True, text=True, check=False)
    if done.returncode not in (0, 1, 6):
        sys.exit(done.stderr)
    return json.loads(done.stdout)


def write(folder, animals, count=10000):
    """Writes the scenario with other animals and another starter; returns its path."""
    text = (checking.SOURCE / "scenarios" / SCENARIO).read_text(encoding="utf-8")
    text = text.replace("count: 10000", f"count: {count}")
    text += f"\nspecies: {{animals: {animals}}}\n"
    path = Path(folder) / f"{animals}-{count}.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def shares(folder, animals, count, years, seed):
    """The shares of years that meet each goal."""
    out = Path(folder) / "out.h5"
    said = program("run", write(folder, animals, count), "-o", out, "-f", "-q", "--json", "--replicates", years, "--seed", seed)
    out.unlink()
    return [(goal["odds"]["share"], goal["wanted"] if "wanted" in goal else goal["chance"]) for goal in said["goals"]]


def known_answer(folder, animals, years):
    """Where the last goal reaches its chance, with its standard error, by a weighted line through the probits."""
    rounds = max(1, years // 2048)
    x, z, weight = [], [], []
    wanted = 0
    for count in NUMBERS:
        found = [shares(folder, animals, count, 2048, 5000 + i) for i in range(rounds)]
        wanted = found[0][-1][1]
        p = np.mean([one[-1][0] for one in found])
        if 0 < p < 1 and abs(normal.inv_cdf(p) - normal.inv_cdf(wanted)) < 1:
            density = normal.pdf(normal.inv_cdf(p))
            x.append(np.log(count))
            z.append(normal.inv_cdf(p))
            weight.append(density / np.sqrt(p * (1 - p) / (2048 * rounds)))
    (slope, level), covariance = np.polyfit(x, z, 1, w=weight, cov="unscaled")
    at = (normal.inv_cdf(wanted) - level) / slope
    gradient = np.array([-at / slope, -1 / slope])
    return np.exp(at), np.sqrt(gradient @ covariance @ gradient)


def search(folder, animals, seeds, truth, error):
    path = write(folder, animals)
    missed = wrong = 0
    replicates, width, seconds = [], [], []
    for seed in range(1, seeds + 1):
        began = time.monotonic()
        said = program("size", path, "--seed", seed, "-q", "--json")
        seconds.append(time.monotonic() - began)
        replicates.append(said["replicates"])
        low, high = said["number_low"] or 0, said["number_high"] or np.inf
        width.append((high - low) / 2 / said["number"])
        missed += not low * np.exp(-2 * error) <= truth <= high * np.exp(2 * error)
        wrong += said["enough"] is not None and said["enough"] < truth * np.exp(-3 * error)
        wrong += said["too_little"] is not None and said["too_little"] > truth * np.exp(3 * error)
    what = f"`size`, {animals} animals, {seeds} seeds"
    told = f"about {truth:,.0f} larvae (+- {100 * error:.1f} %)"
    check(f"{what}: intervals that miss", f"at most {MISSED} of 40", f"{missed} of {seeds}, known answer {told}", SOURCE,
          bool(missed <= MISSED * seeds / 40))
    check(f"{what}: wrong claims", "0", f"{wrong}", SOURCE, wrong == 0)
    check(f"{what}: what it takes", "a tenth, under 10 s on two processors",
          f"+- {100 * np.median(width):.0f} %, {np.median(replicates):,.0f} replicates, {np.median(seconds):.0f} s", SOURCE, None)


def main():
    seeds, years = (int(word) for word in (sys.argv[1:] + ["40", "20480"][len(sys.argv) - 1 :]))
    with tempfile.TemporaryDirectory() as folder:
        for animals in ("plausible", "middle"):
            truth, error = known_answer(folder, animals, years)
            search(folder, animals, seeds, truth, error)
    return checking.failures()


sys.exit(main())
