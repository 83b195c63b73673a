# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Adds up the counts of gcov in a build tree; see scripts/coverage."""

import collections
import json
import os
import subprocess
import sys

LEAST_LINES = 95.0
LEAST_BRANCHES = 85.0


def counts_of(build):
    """Returns gcov's output for each object of the libraries, one document each."""
    build = os.path.abspath(build)
    notes = [
        os.path.join(folder, name)
        for folder, _, names in os.walk(os.path.join(build, "CMakeFiles"))
        for name in names
        if name.endswith(".gcno")
    ]
    if not notes:
        sys.exit(f"coverage: nothing was built for counting in {build}")
    command = ["gcov", "--json-format", "--stdout", "--branch-probabilities"]
    answer = subprocess.run(command + sorted(notes), cwd=build, check=True, capture_output=True, text=True).stdout
    for line in answer.splitlines():
        if line.startswith("{"):
            yield json.loads(line)


def add(build, source):
    """Returns by file how often each line ran, and each outcome of each branch on it."""
    lines = collections.defaultdict(collections.Counter)
    branches = collections.defaultdict(collections.Counter)
    for document in counts_of(build):
        for file in document["files"]:
            path = os.path.join(document["current_working_directory"], file["file"])
            name = os.path.relpath(os.path.realpath(path), source)
            if not name.startswith("src" + os.sep) or name.startswith(os.path.join("src", "cli") + os.sep):
                continue
            for line in file["lines"]:
                number = line["line_number"]
                lines[name][number] += line["count"]
                for way, branch in enumerate(line["branches"]):
                    if not branch["throw"]:
                        branches[name][number, way] += branch["count"]
    return lines, branches


def without_assertions(source, lines, branches):
    """Ignores the failure of an assertion, which ends the program before gcov can count it."""
    for name, counted in branches.items():
        with open(os.path.join(source, name), encoding="utf-8") as text:
            asserted = {number for number, line in enumerate(text, 1) if "wg_assert(" in line}
        for key in [key for key in counted if key[0] in asserted and counted[key] == 0]:
            if lines[name][key[0]] > 0:
                del counted[key]


def ranges(numbers):
    """3, 4, 5, 9 as "3-5, 9"."""
    parts = []
    for number in sorted(numbers):
        if parts and parts[-1][1] == number - 1:
            parts[-1][1] = number
        else:
            parts.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in parts)


def share(ran, of):
    return 100.0 * ran / of if of else 100.0


def report(name, lines, branches):
    missed = [number for number, count in lines.items() if count == 0]
    ways = collections.Counter(number for (number, _), count in branches.items() if count == 0 and lines[number] > 0)
    print(
        f"{name}: {share(len(lines) - len(missed), len(lines)):.1f} % of {len(lines)} lines, "
        f"{share(sum(count > 0 for count in branches.values()), len(branches)):.1f} % of {len(branches)} branches"
    )
    if missed:
        print(f"    lines that never ran: {ranges(missed)}")
    if ways:
        print(f"    ways out never taken: {', '.join(f'{n} ({k})' if k > 1 else str(n) for n, k in sorted(ways.items()))}")


def main():
    source = os.path.dirname(os.path.dirname(os.path.realpath(__file__)))
    source = os.path.realpath(os.environ.get("SRC", source))
    lines, branches = add(sys.argv[1], source)
    without_assertions(source, lines, branches)
    for name in sorted(lines):
        report(name, lines[name], branches[name])
    n_lines = sum(map(len, lines.values()))
    n_branches = sum(map(len, branches.values()))
    by_lines = share(sum(count > 0 for file in lines.values() for count in file.values()), n_lines)
    by_branches = share(sum(count > 0 for file in branches.values() for count in file.values()), n_branches)
    print(f"coverage: {by_lines:.1f} % of {n_lines} lines, {by_branches:.1f} % of {n_branches} branches of src without cli")
    if by_lines < LEAST_LINES or by_branches < LEAST_BRANCHES:
        sys.exit(f"coverage: below {LEAST_LINES:g} % of lines or {LEAST_BRANCHES:g} % of branches")


if __name__ == "__main__":
    main()
