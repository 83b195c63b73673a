# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that the top level of the source tree holds what it should and nothing else, such as files that a test left.

What .gitignore names (build folders and outputs) does not count. The check must first find a stray folder and a stray dot file.
"""

import fnmatch
import os

WANTED = {"README.md", "DEVELOPERS.md", "CMakeLists.txt", "LICENSE", "include", "scenarios", "scripts", "src", "tests"}
TOOLS = {".ci", ".clang-format", ".clang-tidy", ".editorconfig", ".gitignore"}  # files that their tools look for here


def strays(names, ignored):
    """Returns the names that are neither wanted nor ignored, and the wanted ones that are missing."""
    counted = {name for name in names if name not in TOOLS | {".git"} and not any(fnmatch.fnmatch(name, one) for one in ignored)}
    return sorted(counted ^ WANTED)


assert strays([*WANTED, ".git", "build-test"], ["build*"]) == []
assert strays([*WANTED, "result-fNJ6h8"], ["build*"]) == ["result-fNJ6h8"]
assert strays([*WANTED, ".ci", ".papers"], []) == [".papers"]
assert strays(WANTED - {"LICENSE"}, []) == ["LICENSE"]

source = os.environ["SRC"]
with open(os.path.join(source, ".gitignore"), encoding="utf-8") as file:
    patterns = [line.strip().strip("/") for line in file if line.strip()]
found = strays(os.listdir(source), patterns)
assert not found, f"the top level differs in {', '.join(found)}"
print("the top level holds what it should")
