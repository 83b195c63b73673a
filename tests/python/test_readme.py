#!/usr/bin/env python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs the session in src/python/README.md and compares what it prints. --write fills it in again (for the developer)."""

import contextlib
import doctest
import io
import os
import re
import shutil
import sys
import tempfile
import traceback

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from module import MODULE, SRC  # noqa: E402

README = os.path.join(MODULE, "README.md")
BLOCK = re.compile(r"(^```python\n)(.*?)(^```$)", re.M | re.S)


def run(example, names):
    """Returns what the terminal shows after an example; of an exception only its kind and message, as doctest wants it."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        try:
            exec(compile(example.source, "README.md", "single"), names)
        except Exception as error:
            lines = traceback.format_exception_only(error)
            print("Traceback (most recent call last):\n    ...\n" + "".join(lines), end="")
    return out.getvalue()


def lines_of(example):
    first, *others = example.source.rstrip("\n").split("\n")
    return "".join([f">>> {first}\n", *(f"... {line}\n" for line in others)])


def written(text, names):
    def block(match):
        examples = doctest.DocTestParser().get_examples(match[2])
        return match[1] + "".join(lines_of(example) + run(example, names) for example in examples) + match[3]

    return BLOCK.sub(block, text)


def main():
    import matplotlib

    matplotlib.use("Agg")
    with open(README, encoding="utf-8") as file:
        text = file.read()
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(os.path.join(SRC, "scenarios", "harrow-hill-outdoors.yaml"), folder)
        os.chdir(folder)
        new = written(text, {})
        assert os.path.getsize("bin.png") > 10000
        os.chdir("/")
    if sys.argv[1:] == ["--write"]:
        with open(README, "w", encoding="utf-8") as file:
            file.write(new)
        return
    for number, (ours, theirs) in enumerate(zip(text.splitlines(), new.splitlines()), 1):
        assert ours == theirs, f"{README}:{number}: {ours!r} in the file, {theirs!r} in the session; --write fills it in again"
    assert text == new, "the session prints more or less than the file"
    print("test_readme.py: passed")


if __name__ == "__main__":
    main()
