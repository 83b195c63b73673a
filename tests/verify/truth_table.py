#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Published and practical findings on the black soldier fly beside the program's results, one line each.

Texts, windows and sources stand in findings.tsv. Nothing is fitted here: each line runs the program, or computes the answer from its timetable or its parameters (marked
"worked out"), and compares it with the finding, for both parameter sets. Verdict for each set: "holds" within the window
that is printed, "near" within the wider one, else "does not hold".

The verdicts are recorded in support/truth_verdicts.txt. The script fails when a verdict differs from the record, so that a
miss can neither appear nor disappear unnoticed; --write records them anew, to be reviewed with git diff.

    truth_table.py [--write] [--markdown FILE] [--readme]

--markdown writes the table into FILE; --readme replaces the table in tests/verify/README.md and the counts in README.md. All
may be given at once; nothing is written if the program fails.
"""
import argparse
import re
import sys
import textwrap
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "support"))
import truth_animal  # its lines come first
import truth_colony  # noqa: F401
from checking import SOURCE, check
from truth_row import ALL, FINDINGS, SETS, SOURCES, WORST, references

VERDICTS = Path(__file__).parent / "support" / "truth_verdicts.txt"
HEADING = "## Published against simulated"
COUNTS = "; ".join(rf"{name}: \d+ hold, \d+ near, \d+ do not hold" for name in SETS)


def read_verdicts():
    """{what: (verdict of keepers, of laboratory)}, as recorded."""
    if not VERDICTS.exists():
        return {}
    lines = [line.split("\t") for line in VERDICTS.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return {what: tuple(verdicts) for what, *verdicts in lines}


def write_verdicts(rows):
    head = "# Verdicts of truth_table.py, written by its --write: finding, verdict of keepers, verdict of laboratory"
    lines = ["\t".join((row.what, *row.verdicts)) for row in rows]
    VERDICTS.write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")


def count(rows):
    """How many of each verdict, by set: "keepers: 30 hold, 12 near, 18 do not hold"."""
    said = []
    for i, name in enumerate(SETS):
        n = [sum(row.verdicts[i] == verdict for row in rows) for verdict in WORST]
        said.append(f"{name}: {n[0]} hold, {n[1]} near, {n[2]} do not hold")
    return "; ".join(said)


def markdown(rows):
    """The table of tests/verify/README.md: published against simulated, misses and all."""
    shown = [row for row in rows if row.short]
    intro = (f"{len(shown)} of the {len(rows)} findings on the page that `./scripts/verify` writes. A finding holds within the "
             "window in the third column and is near within the wider one; each set of numbers has its own verdict. Most "
             'lines are simulated; those marked "worked out" come from the timetable or, in closed form, from the numbers. '
             f'"abstract": only the abstract of that paper was read. Of all {len(rows)}, {count(rows)}.')  # fmt: skip
    lines = [textwrap.fill(intro, 120), "", "| what | published | holds for | keepers | laboratory | why not |",
             "|---|---|---|---|---|---|"]  # fmt: skip
    for row in shown:
        cells = [f"{said}: {verdict if verdict != WORST[2] else f'**{verdict}**'}"
                 for said, verdict in zip((row.keepers, row.laboratory), row.verdicts)]  # fmt: skip
        what = f"{row.short}{', worked out' if row.worked_out else ''} ({row.source})"
        why = row.why if WORST[2] in row.verdicts or "near" in row.verdicts else ""
        lines.append("| " + " | ".join((what, row.published, row.window(), *cells, why)) + " |")
    used = sorted({name for row in shown for name in references(row.source)})
    sources = "Sources: " + "; ".join(f"{name}: {SOURCES[name]}" for name in used) + "."
    lines += ["", textwrap.fill(sources, 120, break_long_words=False, break_on_hyphens=False)]
    return "\n".join(lines) + "\n"


def replace_once(path, pattern, new):
    text = path.read_text(encoding="utf-8")
    changed, n = re.subn(pattern, lambda _: new, text, count=1, flags=re.M | re.S)
    if n != 1:
        raise SystemExit(f"{path} has no place for {pattern!r}")
    path.write_text(changed, encoding="utf-8")


def put_into_readme(rows):
    """The table between its heading and the next, and the counts into the summary of README.md."""
    replace_once(SOURCE / "tests/verify/README.md", rf"(?<=^{HEADING}\n)(.*?)(?=^## )", f"\n{markdown(rows)}\n")
    replace_once(SOURCE / "README.md", COUNTS, count(rows))


def report(rows):
    """Prints one line of the page for each set and finding; returns how many verdicts differ from those recorded."""
    known, surprises = read_verdicts(), 0
    for row in rows:
        full = "; ".join(f"{name}: {SOURCES[name]}" for name in references(row.source))
        source = f"{row.source} ({full})" if full else row.source
        how = "worked out" if row.worked_out else "simulated"
        for i, said in enumerate((row.keepers, row.laboratory)):
            check(f"{row.what} [{SETS[i]}]", f"{row.published}; holds for {row.window()}", f"{said}, {how}", source,
                  row.verdicts[i], row.why)  # fmt: skip
            written = known.get(row.what, ("none", "none"))[i]
            if row.verdicts[i] != written:
                surprises += 1
                print(f"  {row.what}, {SETS[i]}: {row.verdicts[i]}, but {written} is written down")
    for what in sorted(set(known) - {row.what for row in rows}):
        surprises += 1
        print(f"  written down, but there is no such line: {what}")
    return surprises


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--write", action="store_true", help="write the verdicts down anew")
    options.add_argument("--markdown", metavar="FILE", help="the table of tests/verify/README.md")
    options.add_argument("--readme", action="store_true", help="the same into tests/verify/README.md, and the counts into README.md")
    chosen = options.parse_args()
    rows = [row for make in ALL for row in make()]
    missing = {key for key, finding in FINDINGS.items() if finding["window"]} - {row.key for row in rows}
    if missing:
        raise SystemExit(f"no line computes {', '.join(sorted(missing))}")
    surprises = report(rows)
    print(f"{len(rows)} findings; {count(rows)}; verdicts other than those written down: {surprises}")
    if chosen.markdown:
        Path(chosen.markdown).write_text(markdown(rows), encoding="utf-8")
    if chosen.readme:
        put_into_readme(rows)
    if chosen.write:
        write_verdicts(rows)
    return surprises > 0 and not chosen.write


if __name__ == "__main__":
    sys.exit(main())
