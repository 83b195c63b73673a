# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that private names are unique in the tree, so that a breakpoint, a stack trace or a search identifies them.

Covers static functions and the struct, enum and union tags that a source or header defines. The check must first find
the duplicates in an artificial tree.
"""

import collections
import os
import pathlib
import re
import tempfile

FUNCTION = re.compile(r"^static (?:inline |_Noreturn )*(?:const )?(?:struct |enum )?\w+[ *]+(?:const )?([a-z]\w*)\((?:[^;{]|\n)*?\)\s*\{", re.M)
TAG = re.compile(r"^(?:static )?(?:const )?(?:struct|enum|union) ([a-z]\w*) \{", re.M)


def doubles(root):
    """Returns names that two files define, with the files; one file may have two versions of a name under #if."""
    homes = collections.defaultdict(set)
    for path in sorted(root.glob("src/*/*.[ch]")):
        text = path.read_text(encoding="utf-8")
        for kind, pattern in (("function", FUNCTION), ("tag", TAG)):
            for name in pattern.findall(text):
                homes[kind, name].add(str(path.relative_to(root)))
    return [f"{kind} {name}: {', '.join(sorted(files))}" for (kind, name), files in sorted(homes.items()) if len(files) > 1], len(homes)


with tempfile.TemporaryDirectory() as folder:
    made_up = pathlib.Path(folder)
    (made_up / "src/a").mkdir(parents=True)
    body = "struct row {\n};\nstatic const struct row *find(const char *name,\n    int n) {\n}\n"
    (made_up / "src/a/one.c").write_text(body)
    assert doubles(made_up)[0] == []
    (made_up / "src/a/two.c").write_text(body + "static int find(int n);\n")
    assert [found.split(":")[0] for found in doubles(made_up)[0]] == ["function find", "tag row"]

found, looked_at = doubles(pathlib.Path(os.environ["SRC"]))
assert looked_at > 1000, looked_at
assert not found, "\n".join(found)
print(f"{looked_at} private names, each in one file")
