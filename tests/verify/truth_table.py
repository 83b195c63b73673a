#!/usr/bin/python3
"""Published and practical findings on the black soldier fly, one line each: what was found, and what the program gives.

Nothing here is fitted on the fly: each line runs the program (or reads its timetable or its record of numbers) and puts
the answer beside the finding, for both sets of numbers. The verdict is that of the default set, "keepers"; where a line
does not hold the reason stands by it. Misses that are known are marked so in the code below (`known`): the script fails
only when a verdict is another than the one written down, so that a miss can neither appear nor go unnoticed.

    truth_table.py [--markdown FILE]     FILE: the table of the README
"""
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "support"))
import truth_animal  # noqa: F401  its lines come first
import truth_colony  # noqa: F401
from checking import check
from truth_row import ALL


def markdown(rows, path):
    """The rows of the README: published against simulated, misses and all."""
    lines = ["| what | published | keepers | laboratory | |", "|---|---|---|---|---|"]
    for row in rows:
        if row.short:
            mark = {True: "holds", False: f"**does not hold**: {row.why}"}[row.holds]
            lines.append(f"| {row.short} ({row.source}) | {row.published} | {row.keepers} | {row.laboratory} | {mark} |")
    Path(path).write_text("\n".join(lines) + "\n", encoding="utf-8")


def main():
    rows, surprises = [], 0
    for make in ALL:
        for row in make():
            rows.append(row)
            said = row.keepers if row.laboratory in ("", row.keepers) else f"{row.keepers}; laboratory {row.laboratory}"
            check(row.what, row.published, said, row.source, row.holds, row.why)
            if row.holds == row.known:
                surprises += 1
                print(f"  another verdict than the one written down: {row.what}")
    missed = sum(not row.holds for row in rows)
    print(f"{len(rows)} findings, {missed} of them missed; verdicts other than those written down: {surprises}")
    if "--markdown" in sys.argv:
        markdown(rows, sys.argv[sys.argv.index("--markdown") + 1])
    return surprises > 0


if __name__ == "__main__":
    sys.exit(main())
