# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The workshop's page: up to date, self-contained, and identical to the output of `wintergrub workshop`. Needs no browser;
tests/workshop/browser.py uses one."""

import os
import re
import subprocess
import sys

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "cli"))
import unittest

from commands import SRC, CommandTest

PAGE = os.path.join(SRC, "src", "workshop", "workshop.html")


def read(*path):
    with open(os.path.join(SRC, *path), encoding="utf-8") as file:
        return file.read()


class Page(CommandTest):
    def test_current(self):
        """The page was built from the current model and sources."""
        now = subprocess.run([os.path.join(SRC, "scripts", "build-workshop"), "--hash"], capture_output=True, text=True, check=True)
        carried = re.search(r'name="wintergrub-made-from" content="([0-9a-f]{64})"', read(PAGE))
        self.assertIsNotNone(carried)
        self.assertEqual(carried[1], now.stdout.strip(), "the page is older than its sources: run scripts/build-workshop")

    def test_small_and_alone(self):
        page = read(PAGE)
        self.assertLess(os.path.getsize(PAGE), 400_000)
        self.assertNotRegex(page, r"https?://|//[a-z]+\.[a-z]+/|@import|<link (?!rel=\"icon\" href=\"data:,\")|<img|<iframe|\bsrc=")
        self.assertNotRegex(page, r"\bfetch\(|XMLHttpRequest|WebSocket|sendBeacon|EventSource|localStorage")
        self.assertNotRegex(page, r"@(STYLE_HASHES|SCRIPT_HASHES|WASM|HASH)@|^@[\w./-]+@$")

    def test_strict_policy(self):
        """Only what stands in the page runs, by its hash; nothing is evaluated, and no HTML carries a style or a handler."""
        page = read(PAGE)
        policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', page)[1]
        self.assertRegex(policy, r"^default-src 'none'; script-src 'sha256-[\w+/]{43}=' 'wasm-unsafe-eval'; style-src 'sha256-[\w+/]{43}='; ")
        self.assertNotRegex(policy, r"'unsafe-(inline|eval)'")
        self.assertNotRegex(page, r"""<[^>]*\s(style|on[a-z]+)=["']|\beval\(|new Function""")

    def test_names_in_the_order_of_the_headers(self):
        """The indices in the script are those of the C headers."""
        lesson, species, script = read("src/workshop/lesson.h"), read("src/species/species.h"), read("src/workshop/page_model.js")

        def listed(name):
            return re.findall(r'"(\w+)"', re.search(rf"const {name} = \[(.*?)\]", script, re.S)[1])

        self.assertEqual(listed("NUMBERS"), re.findall(r"^ +X\((\w+),", lesson, re.M))
        self.assertEqual(listed("SERIES"), re.findall(r"WG_LESSON_(\w+)[,;]", re.search(r"enum wg_lesson_series \{(.*?)WG_LESSON_N_SERIES", lesson, re.S)[1]))
        for kind in ("fact", "end"):
            words = re.search(rf"enum wg_lesson_{kind} \{{(.*?)WG_LESSON_N_{kind.upper()}S", lesson, re.S)[1]
            self.assertEqual(listed(kind.upper() + "S"), re.findall(r"^ *WG_LESSON_(\w+),", words, re.M))
        stages = re.search(r"enum wg_stage \{(.*?)WG_N_STAGES", species, re.S)[1]
        self.assertEqual(listed("STAGES"), re.findall(r"WG_(\w+),", stages))

    def test_colours_of_the_figures(self):
        """A generation has the colour that it has in the program's figures."""
        colours = read("src/drawing/colours.h")
        rgb = {f"WG_{name}": code for name, code in re.findall(r"#define WG_(\w+) WG_RGB\(([\d, ]+)\)", colours)}
        cycle = re.search(r"wg_generation_colour\(.*?colour\[\] = \{(.*?)\};", colours, re.S)[1]
        codes = [code or rgb[name] for name, code in re.findall(r"(WG_\w+)(?:\(([\d, ]+)\))?", cycle)]
        wanted = ["#" + "".join(f"{int(x):02X}" for x in code.split(",")) for code in codes]
        self.assertEqual(len(wanted), 8)
        self.assertEqual(re.findall(r'"(#\w+)"', re.search(r"const COLOURS = \[(.*?)\]", read("src/workshop/page_words.js"))[1]), wanted)

    def test_every_control_has_a_name(self):
        page = read("src/workshop/page_body.html")
        for control in re.findall(r"<(?:input|select)[^>]*>", page):
            name = re.search(r'\bid="([^"]+)"', control)
            labelled = "aria-label=" in control or (name and f'for="{name[1]}"' in page)
            inside = re.search(r"<label[^>]*>[^\n]*" + re.escape(control), page)
            self.assertTrue(labelled or inside, control)

    def test_command_writes_the_page(self):
        self.wintergrub("workshop", "-o", "lesson.html")
        self.assertIn("lesson.html", self.stderr)
        with open("lesson.html", "rb") as written, open(PAGE, "rb") as page:
            self.assertEqual(written.read(), page.read())
        self.nothing_left("lesson.html")

    def test_command_keeps_what_is_there(self):
        with open("lesson.html", "w") as file:
            file.write("mine")
        self.wintergrub("workshop", "-o", "lesson.html", status=4)
        self.assertIn("--force", self.stderr)
        with open("lesson.html") as file:
            self.assertEqual(file.read(), "mine")
        self.wintergrub("workshop", "-o", "lesson.html", "--force")
        self.assertEqual(os.path.getsize("lesson.html"), os.path.getsize(PAGE))
        for name in ("nowhere/lesson.html", ".", "folder/", "/dev/null"):
            self.wintergrub("workshop", "--output", name, "--force", status=4)
            self.assertEqual(self.stderr.count("\n"), 1)
            self.assertNotRegex(self.stderr, r"result|\.h5")
        self.wintergrub("workshop", status=2)
        self.wintergrub("workshop", "lesson.html", status=2)
        self.nothing_left("lesson.html")


if __name__ == "__main__":
    unittest.main()
