#!/usr/bin/env python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks the README: each `$ wintergrub ...` in a console block prints the lines below it.

The lines of a block up to the next `$` are the terminal output: standard output and errors. A line `...` stands for
omitted lines; the lines after it are found by the label of the first, and those after the last `...` end the output.
--write updates the blocks (for the developer, after a change).
"""
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

SRC = os.environ.get("SRC", ".")
PROGRAM = os.environ.get("WINTERGRUB", "wintergrub")
README = os.path.join(SRC, "README.md")
LABEL = 18  # columns of a table's first column
BLOCK = re.compile(r"^```console\n(.*?)^```$", re.M | re.S)


def run(command, folder):
    words = shlex.split(command)
    assert words[0] == "wintergrub", command
    done = subprocess.run([PROGRAM] + words[1:], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                          env=dict(os.environ, NO_COLOR="1", LC_ALL="C.UTF-8"), text=True, timeout=200, check=False)
    return [line.rstrip() for line in done.stdout.splitlines()]


def commands(block):
    """Returns (command, expected lines) of a block."""
    parts, lines = [], block.splitlines()
    for line in lines:
        if line.startswith("$ "):
            parts.append((line[2:], []))
        else:
            parts[-1][1].append(line.rstrip())
    return parts


def groups(lines):
    """Returns the runs of lines between `...` lines."""
    out = [[]]
    for line in lines:
        if line == "...":
            out.append([])
        else:
            out[-1].append(line)
    return out


def find_group(group, got, at, is_last):
    """Returns where a group after `...` begins: at the next line with its first label, or so that it ends the output."""
    if is_last:
        return len(got) - len(group)
    same = (i for i in range(at, len(got)) if got[i][:LABEL] == group[0][:LABEL])
    return next(same, at)


def excerpt(expected, got):
    """Returns the lines of `got` that correspond to `expected`."""
    first, *others = groups(expected)
    if not others:
        return got
    at = len(first)
    out = got[:at]
    for group in others:
        at = find_group(group, got, at, group is others[-1])
        out += ["...", *got[at:at + len(group)]]
        at += len(group)
    return out


def main():
    text = open(README, encoding="utf-8").read()
    folder = tempfile.mkdtemp()
    failures, seen = 0, 0
    try:
        shutil.copytree(os.path.join(SRC, "scenarios"), os.path.join(folder, "scenarios"))
        shutil.copy(os.path.join(SRC, "tests/data/readme-broken.yaml"), os.path.join(folder, "broken.yaml"))

        def fill(found):
            nonlocal failures, seen
            out = []
            for command, expected in commands(found.group(1)):
                got = run(command, folder)
                seen += 1
                if "--write" not in sys.argv and expected != excerpt(expected, got):
                    failures += 1
                    print(f"FAILED: {command}\n--- README:\n" + "\n".join(expected) + "\n--- now:\n"
                          + "\n".join(excerpt(expected, got)))
                out += ["$ " + command] + excerpt(expected, got)
            return "```console\n" + "\n".join(out) + "\n```"

        new = BLOCK.sub(fill, text)
        if "--write" in sys.argv:
            open(README, "w", encoding="utf-8").write(new)
    finally:
        shutil.rmtree(folder)
    print(f"README: {seen} commands, {failures} failed")
    return 1 if failures or seen == 0 else 0


sys.exit(main())
