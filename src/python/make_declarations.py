#!/usr/bin/env python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes wintergrub/_declarations.py from the public header, so that Python calls what C declares.

    make_declarations.py HEADER           prints it
    make_declarations.py HEADER --write   writes it beside this program

A test compares the two (tests/python/test_plan.py).
"""

import os
import re
import sys

HEAD = '''\
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The declarations of wintergrub.h for cffi. Written by make_declarations.py."""

DECLARATIONS = """\\
'''
HERE = os.path.dirname(os.path.abspath(__file__))


def declarations(header):
    """Returns the declarations of a header without comments, macros and attributes; of the macros, the version."""
    text = re.sub(r"/\*.*?\*/", "", header, flags=re.S).replace("\\\n", "")
    text = re.sub(r"#ifdef __cplusplus.*?#endif", "", text, flags=re.S)
    version = re.findall(r"^#define WINTERGRUB_VERSION_(?:MAJOR|MINOR|PATCH) +\d+$", text, re.M)
    lines = [line.rstrip() for line in text.splitlines() if not line.startswith("#")]
    text = "\n".join(line for line in lines if line)
    return "\n".join(version) + "\n" + re.sub(r"\bWINTERGRUB_API ", "", text) + "\n"


def module(header_path):
    with open(header_path, encoding="utf-8") as file:
        return HEAD + declarations(file.read()) + '"""\n'


def main(words):
    if words[:1] in (["-h"], ["--help"]):
        print(__doc__)
    elif len(words) == 1:
        sys.stdout.write(module(words[0]))
    elif len(words) == 2 and words[1] == "--write":
        with open(os.path.join(HERE, "wintergrub", "_declarations.py"), "w", encoding="utf-8") as file:
            file.write(module(words[0]))
    else:
        print(__doc__, file=sys.stderr)
        sys.exit(2)


if __name__ == "__main__":
    main(sys.argv[1:])
