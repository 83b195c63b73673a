#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The page of the calibration in Markdown: calibration_page.py FOLDER reads the tables that calibrate wrote there, and prints it."""
import sys
import textwrap
from pathlib import Path

SOURCE = Path(__file__).resolve().parents[2]
PINNED = 0.9  # posterior over prior standard deviation below which findings have taught something


def read(path):
    """The rows of a table of tab-separated text as dictionaries."""
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    head, *rows = (line.split("\t") for line in lines)
    return [dict(zip(head, row, strict=True)) for row in rows]


def table(head, rows):
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return "\n".join(lines + ["| " + " | ".join(row) + " |" for row in rows])


def paragraph(text):
    return textwrap.fill(" ".join(text.split()), 120, break_long_words=False, break_on_hyphens=False)


def findings(folder):
    """One row for each finding: what papers say, what was held plausible before, what the animals do."""
    about = {row["key"]: row for row in read(SOURCE / "tests/verify/findings.tsv")}
    rows = []
    for found in read(folder / "findings.tsv"):
        row = about[found["key"]]
        side = "" if row["side"] == "both" else row["side"] + " "
        said = f"{side}{row['value'].replace('|', ' or ')}, {row['scale']} +- {row['error']}"
        sets = [
            "-" if found[name] == "-" else f"{found[name]} ({found[name + '_pull']})" for name in ("keepers", "laboratory")
        ]
        before = f"{found['prior_16']} .. {found['prior_84']}"
        after = f"{found['low_16']} .. {found['middle']} .. {found['high_84']}"
        rows.append([row["what"], said, before, after, found["pull"], *sets, row["source"]])
    head = ["finding", "value, error", "before, 16 to 84 %", "animals, 16, 50, 84 %", "pull", "keepers (pull)",
            "laboratory (pull)", "source"]  # fmt: skip
    return table(head, rows)


def numbers(folder):
    """Those that findings moved, most first; and the names of the others."""
    all_rows = read(folder / "numbers.tsv")
    moved = [row for row in all_rows if float(row["sd_z"]) < PINNED or abs(float(row["mean_z"])) > 0.3]
    moved.sort(key=lambda row: float(row["sd_z"]))
    rows = [[row["number"], f"{row['prior_5']} .. {row['prior_50']} .. {row['prior_95']}",
             f"{row['post_16']} .. {row['post_50']} .. {row['post_84']}", row["mean_z"], row["sd_z"], row["r_hat"],
             row["effective"]] for row in moved]  # fmt: skip
    rest = [row["number"] for row in all_rows if row not in moved]
    head = ["number", "prior, 5, 50, 95 %", "posterior, 16, 50, 84 %", "mean", "sd", "R-hat", "effective size"]
    learnt = sum(1 - float(row["sd_z"]) ** 2 for row in all_rows if float(row["sd_z"]) < 1)
    return table(head, rows), rest, learnt, len(all_rows)


def page(folder):
    run = [(row["what"], row["value"]) for row in read(folder / "run.tsv")]
    of_numbers, rest, learnt, n = numbers(folder)
    groups = [[row["group"], row["effective"], f"{100 * float(row['alive']):.1f}",
               " / ".join(f"{100 * float(row[f'alive_{q}']):.0f}" for q in (5, 50, 95)), row["harvest_kg"]]
              for row in read(folder / "groups.tsv")]  # fmt: skip
    tied = [[row["one"], row["other"], row["correlation"]] for row in read(folder / "correlations.tsv")]
    return "\n\n".join(
        [
            "# The plausible animals: how they were found",
            paragraph(
                """Written by `scripts/calibrate`, which makes `src/species/plausible_animals.tsv`. What is known of the
                animal are findings (`tests/verify/findings.tsv`, shared with the truth table), each with the spread between
                papers as its error, and ranges of its numbers (`priors.tsv`). An animal is plausible as far as it agrees with
                both. The 256 animals of the table are draws from that distribution, all of equal weight."""
            ),
            paragraph(
                """First, findings in closed form: adaptive Metropolis (Haario, Saksman & Tamminen 2001, Bernoulli 7:223).
                Then the findings about seasons as importance weights: every draw lives years of its own in the mild winter of
                `scenarios/harrow-hill-outdoors.yaml`, for what keepers report; and for what is reported of wild flies the
                same years without the harvest, because nobody takes the prepupae of wild flies. Half of the animals are
                dormant by day length, half by cold only: nothing published decides. Last, systematic resampling, and an order
                in which the first 32, 64 and 128 and every later 64 are fair cross-sections: by survival and harvest in
                other years (the weights favour draws that were lucky in theirs)."""
            ),
            table(["", ""], run),
            "## Odds at Harrow Hill",
            paragraph(
                """Per cent of years with anything alive at the end, mean over animals and 5, 50 and 95 % of the animals; kg
                harvested in a year. Draws are shown in the years that weigh them, animals in others. "Without June": with the
                weights that the animals would have without the sentence "flies are seen in June in most years"
                (`weight_without_june`). Shares of 8 or 16 years are coarse, so the bands hold some luck.
                The README's first example lives 64 of the animals in 64 winters of one seed: 73 (65 to 80). All 256 animals in 256
                winters, 2,048 years, lived in 74, 77, 77, 79, 80 and 82 of 100 with six seeds, in 78 on average."""
            ),
            paragraph(
                """That sentence is about wild flies of a region, read as more than 20 flies on a day of June in at least 60 % of
                years, give or take 25. Lived in a trough without harvest, nearly all animals agree, and it says little. Lived
                in the trough of the scenario, from which 72 % of the prepupae are taken, it would lift the odds by several
                points ("June with the harvest"), because it would ask of animals to breed fast enough for wild flies and for
                the keeper. The first reading is used."""
            ),
            table(["animals", "effective", "alive, mean", "5 / 50 / 95 %", "harvest, kg"], groups),
            "## Findings",
            paragraph(
                """Pull: distance from the finding in errors, mean over the animals (0: none, one-sided findings agree on
                their side; of two papers the nearer counts). Shares alive on the scale "ln hazard" are compared by
                -ln(-ln share). Rows of seasons: before is after the findings in closed form."""
            ),
            findings(folder),
            "## Numbers that findings moved",
            paragraph(
                f"""After the findings in closed form. Mean and sd are in prior standard deviations (prior: 0 and 1). Together the
                findings fix as much as {learnt:.0f} of the {n} numbers (the sum of 1 - sd^2). A limit of the species table that
                cuts a prior narrows it, too (fly_warmth_width, clutch_warm_days, growth_rate). Days at 27 degC stand in place
                of rate constants; young_t0, young_tm and young_rate_m are shared by egg, larva, prepupa and pupa, whose own
                lines are deviations from them."""
            ),
            of_numbers,
            "### Numbers still at their prior",
            paragraph(", ".join(rest) + "."),
            "### Numbers tied together: correlations above 0.35",
            table(["one", "other", "correlation"], tied) if tied else "None.",
        ]
    )


if __name__ == "__main__":
    print(page(Path(sys.argv[1])))
