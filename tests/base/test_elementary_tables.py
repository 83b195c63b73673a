#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks the tables of the elementary functions against scripts/elementary_tables.py (mpmath, 60 digits)."""
import os
import re
import subprocess
import sys

source = os.environ.get("SRC", os.path.join(os.path.dirname(os.path.abspath(__file__)), "../.."))
hexadecimal = re.compile(r"-?0x[01]\.[0-9a-f]+p[-+]\d+")


def numbers(text):
    return [float.fromhex(number) for number in hexadecimal.findall(text)]


def worked_out(*words):
    script = os.path.join(source, "scripts/elementary_tables.py")
    run = subprocess.run([sys.executable, "-B", script, *words], check=True, capture_output=True, text=True)
    return numbers(run.stdout)


def read(path):
    with open(os.path.join(source, path), encoding="utf-8") as file:
        return numbers(file.read())


tables = worked_out()
assert len(tables) > 400, len(tables)
assert read("src/base/elementary_tables.h") == tables, "src/base/elementary_tables.h is not what the script works out"

inline = read("src/base/quick.h")
missing = [number.hex() for number in worked_out("--exp") if number not in inline and -number not in inline]
assert not missing, f"src/base/quick.h lacks {missing}"
print(f"{len(tables)} numbers as worked out")
