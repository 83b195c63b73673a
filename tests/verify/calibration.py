#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes the plausible animals anew and compares them with the committed table, to the byte; shows every finding.

Takes some three minutes. The chains mix (R-hat), the seasonal weights leave enough draws, and the animals agree with each
finding on average. The figure shows, in errors of the finding, what was held plausible before and what the animals do.
"""
import filecmp
import math
import os
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent / "support"), str(Path(__file__).parents[1] / "calibration")]
from checking import COLOURS, OUT, SOURCE, check, failures, text
from calibration_page import page, read

MOST_R_HAT, LEAST_EFFECTIVE = 1.01, 400


def check_run(folder):
    run = {row["what"]: float(row["value"]) for row in read(folder / "run.tsv")}
    source = "Gelman et al. 2013, Bayesian Data Analysis; Geyer 1992, Stat. Sci. 7:473"
    check("Chains agree: largest R-hat of all numbers", f"below {MOST_R_HAT}", f"{run['R-hat, largest']:.4f}", source,
          run["R-hat, largest"] < MOST_R_HAT)  # fmt: skip
    check("Smallest effective number of states", f"at least {LEAST_EFFECTIVE}", f"{run['effective size, smallest']:.0f}",
          source, run["effective size, smallest"] >= LEAST_EFFECTIVE)  # fmt: skip
    for kind in ("day length", "cold only"):
        found = run[f"effective draws, dormant by {kind}"]
        check(f"Effective number of draws with seasonal weights, dormant by {kind}", f"at least {LEAST_EFFECTIVE}",
              f"{found:.0f}", "Kish 1965, MEMORY", found >= LEAST_EFFECTIVE)  # fmt: skip


def check_findings(folder, about):
    for found in read(folder / "findings.tsv"):
        row, pull = about[found["key"]], float(found["pull"])
        side = "" if row["side"] == "both" else row["side"] + " "
        said = f"animals {found['low_16']} to {found['high_84']} (before {found['prior_16']} to {found['prior_84']}), pull {pull}"
        for name in ("keepers", "laboratory"):
            said += f"; {name} {found[name]}, pull {found[name + '_pull']}" if found[name] != "-" else ""
        check(row["what"], f"{side}{row['value'].replace('|', ' or ')}, error {row['error']} ({row['scale']})", said,
              row["source"], abs(pull) <= 1, row["judgement"])  # fmt: skip


def scaled(row, value):
    """A value on the finding's scale, as finding_scaled() of tests/calibration."""
    value = float(value)
    above, share = max(value, 1e-12), min(max(value, 1e-12), 1 - 1e-12)
    return {"plain": value, "ln": math.log(above), "logit": math.log(share / (1 - share)),
            "ln hazard": -math.log(-math.log(share))}[row["scale"]]  # fmt: skip


def figure(folder, about):
    """One line for each finding, in its own errors: grey before, blue the animals, dots the two committed sets."""
    found, step, left, width, most = read(folder / "findings.tsv"), 15, 520, 420, 5
    height = 60 + step * len(found)
    out = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {left + width + 20} {height}" font-family="DejaVu Sans" font-size="10">']

    def x(pull):
        return left + width * (max(-most, min(most, pull)) + most) / (2 * most)

    out.append(f'<rect x="{x(-1):.1f}" y="26" width="{x(1) - x(-1):.1f}" height="{height - 56}" fill="#eee"/>')
    for pull in range(-most, most + 1):
        out.append(text(x(pull), 20, pull, anchor="middle"))
    for i, line in enumerate(found):
        row, y = about[line["key"]], 36 + step * i
        middle = scaled(row, row["value"].split("|")[0])
        side = "" if row["side"] == "both" else f" ({row['side']})"
        out.append(text(left - 8, y + 3, row["what"] + side, anchor="end"))
        for low, high, colour, thick in (("prior_16", "prior_84", "#bbb", 7), ("low_16", "high_84", COLOURS[0], 3)):
            ends = [(scaled(row, line[end]) - middle) / float(row["error"]) for end in (low, high)]
            out.append(f'<line x1="{x(ends[0]):.1f}" y1="{y}" x2="{x(ends[1]):.1f}" y2="{y}" stroke="{colour}" stroke-width="{thick}" stroke-linecap="square"/>')
        for name, colour in (("keepers", COLOURS[1]), ("laboratory", COLOURS[2])):
            if line[name] != "-":
                at = x((scaled(row, line[name]) - middle) / float(row["error"]))
                out.append(f'<circle cx="{at:.1f}" cy="{y}" r="3" fill="{colour}"/>')
    legend = ("Errors from the finding (of two papers the first). 16 to 84 %: grey before, blue the animals.",
              "Orange: keepers' set; green: laboratory set.")  # fmt: skip
    out += [text(left - 200, height - 20 + 14 * i, words) for i, words in enumerate(legend)]
    return "\n".join(out + ["</svg>"])


def main():
    about = {row["key"]: row for row in read(SOURCE / "tests/verify/findings.tsv")}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        program = Path(os.environ["BUILD"]) / "tests/calibration/calibrate"
        subprocess.run([program, SOURCE, folder], check=True)
        same = filecmp.cmp(folder / "plausible_animals.tsv", SOURCE / "src/species/plausible_animals.tsv", shallow=False)
        check("The committed table of plausible animals is made again", "the same bytes", "the same" if same else "others",
              "scripts/calibrate", same)  # fmt: skip
        said = (SOURCE / "tests/calibration/README.md").read_text(encoding="utf-8") == page(folder) + "\n"
        check("Its page is made again", "the same text", "the same" if said else "another", "scripts/calibrate", said)
        check_run(folder)
        check_findings(folder, about)
        if OUT:
            (Path(OUT) / "findings.svg").write_text(figure(folder, about), encoding="utf-8")
    return failures() > 0


if __name__ == "__main__":
    sys.exit(main())
