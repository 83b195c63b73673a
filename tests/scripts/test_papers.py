# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks the papers of the source tree: every tracked file names its holder and its licence, in its first lines or in
scripts/papers/dep5 (REUSE 3.0); the notices name every library; the entry for Zenodo is complete.

`scripts/check papers` runs `reuse lint` on a release with these papers in their places.
"""

import json
import os
import re
import shutil
import subprocess
import unittest

SRC = os.environ["SRC"]
# in two parts, or `reuse lint` would read them as tags of this file
TAGS = (b"SPDX-" b"FileCopyrightText: 2026 the wintergrub authors", b"SPDX-" b"License-Identifier: GPL-3.0-or-later")
HEAD_LINES = 6  # a "#!" or DOCTYPE may come first


def read(name):
    with open(os.path.join(SRC, name), "rb") as file:
        return file.read()


def patterns_of(dep5):
    """Returns the patterns of all paragraphs: `*` and `?` also match slashes (Debian's copyright format 1.0)."""
    fields = re.findall(r"^Files: ((?:.*\n)(?: .*\n)*)", dep5, re.M)
    return [word for field in fields for word in field.split()]


def matches(pattern, name):
    return re.fullmatch(re.escape(pattern).replace(r"\*", ".*").replace(r"\?", "."), name) is not None


def has_tags(data):
    head = b"\n".join(data.split(b"\n")[:HEAD_LINES])
    return all(tag in head for tag in TAGS)


def tracked_files():
    """Returns the files that git tracks; without git or in a released archive all but those that are generated."""
    if os.path.exists(os.path.join(SRC, ".git")) and shutil.which("git"):
        listed = subprocess.run(["git", "-C", SRC, "ls-files", "-z"], capture_output=True, check=True).stdout.decode()
        return [name for name in listed.split("\0") if name and os.path.isfile(os.path.join(SRC, name))]
    found = []
    for folder, folders, names in os.walk(SRC):
        folders[:] = [
            one
            for one in folders
            if one not in (".git", "__pycache__") and not (folder == SRC and one.startswith(("build", "demo-out", "verify-out")))
        ]
        found += [os.path.relpath(os.path.join(folder, name), SRC) for name in names if name != ".git"]
    return found


class Papers(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.names = tracked_files()
        cls.patterns = patterns_of(read("scripts/papers/dep5").decode())

    def test_the_rule_notices_a_fault(self):
        self.assertFalse(has_tags(b"/* x */\n"))
        self.assertFalse(has_tags(b"\n" * HEAD_LINES + b"\n".join(TAGS)))
        self.assertTrue(has_tags(b"#!/bin/sh\n" + b"\n".join(TAGS)))
        self.assertTrue(matches("tests/*.tsv", "tests/verify/findings.tsv"))
        self.assertFalse(matches("*.md", "x.mdx"))

    def test_every_file_names_its_licence(self):
        self.assertGreater(len(self.names), 1000)
        bare = [
            name
            for name in self.names
            if name != "LICENSE"
            and not any(matches(pattern, name) for pattern in self.patterns) and not has_tags(read(name))
        ]
        self.assertEqual(bare, [], "add the two lines, or a pattern to scripts/papers/dep5")

    def test_every_pattern_is_of_use(self):
        self.assertEqual([one for one in self.patterns if not any(matches(one, name) for name in self.names)], [])

    def test_the_notices_name_every_library(self):
        modules = re.findall(r"pkg_check_modules\((\w+) ", read("CMakeLists.txt").decode())
        self.assertGreater(len(modules), 6)
        notices = read("scripts/cmake/notices.txt").decode().lower()
        for name in modules:
            self.assertIn(name.lower().replace("fyaml", "libfyaml"), notices)

    def test_zenodo_gets_what_it_needs(self):
        entry = json.loads(read("scripts/papers/zenodo.json"))
        for key in ("title", "upload_type", "description", "creators", "license"):
            self.assertTrue(entry[key], key)
        self.assertEqual(entry["license"], "GPL-3.0-or-later")
        self.assertNotIn("version", entry, "Zenodo takes it from the tag: it stands in the public header and nowhere else")


if __name__ == "__main__":
    unittest.main()
