# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The page of the whole tool in Firefox, at the width of a phone and of a projector: it starts under its strict policy without a
complaint, every screen opens and fits, a forecast has the counts of the program, the lesson plays. Run by scripts/check;
needs the package firefox-esr.

  PAGE=src/app/wintergrub.html WINTERGRUB=build/wintergrub python3 tests/app/firefox.py
"""

import json
import os
import subprocess
import sys
import tempfile
import time
import unittest

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from firefox import Firefox

PAGE, WINTERGRUB = os.path.abspath(os.environ["PAGE"]), os.path.abspath(os.environ["WINTERGRUB"])
PICTURES = os.environ.get("PICTURES")
SCENARIO = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "scenarios", "harrow-hill-outdoors.yaml")
YEARS = 12


class Page(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.browser = Firefox()
        cls.addClassCleanup(cls.browser.close)

    def open(self, width, height):
        self.browser.size(width, height)
        self.browser.open(PAGE)
        self.browser.wait("document.body.dataset.ready === 'yes'", 90)
        self.assertLessEqual(abs(self.browser.run("innerWidth") - width), 4)  # it magnifies in steps

    def tearDown(self):
        self.assertEqual(self.browser.complaints(), [])

    def test_screens(self):
        for width, height in ((390, 844), (1280, 720)):
            self.open(width, height)
            for name in self.browser.run("app.order.filter((name) => app.screens[name])"):
                self.browser.run(f"app.go({json.dumps(name)})")
                self.browser.wait(f"app.now === {json.dumps(name)} && document.activeElement.id === 'title-{name}'")
                time.sleep(0.3)
                self.assertLessEqual(self.browser.run("document.documentElement.scrollWidth - innerWidth"), 0, name)
                if PICTURES:
                    self.browser.picture(os.path.join(PICTURES, f"firefox-{name}-{width}.png"))

    def test_a_forecast_has_the_counts_of_the_program(self):
        self.open(390, 844)
        with open(SCENARIO, encoding="utf-8") as file:
            text = file.read()
        answer = self.browser.run(f"app.engine.call({{ do: 'run', plan: {{ text: {json.dumps(text)}, name: 'hill.yaml', files: {{}} }}, years: {YEARS}, seed: '3' }})")
        with tempfile.TemporaryDirectory() as folder:
            native = subprocess.run(
                [WINTERGRUB, "run", SCENARIO, "--replicates", str(YEARS), "--seed", "3", "--json", "-o", os.path.join(folder, "a.h5")],
                capture_output=True, text=True, check=True,
            ).stdout  # fmt: skip
        native = json.loads(native)
        self.assertEqual(answer["counts"]["years"], YEARS)
        for part, value in native.items():
            if value and part not in ("scenario", "result", "file", "started", "seconds", "command", "output"):
                self.assertEqual(answer["forecast"].get(part), value, part)

    def test_the_place_and_the_lesson(self):
        self.open(390, 844)
        self.browser.run("document.querySelector('#ask-shelter input[value=shed]').click()")
        self.browser.wait("app.plan.text.includes('kind: shed')")
        self.browser.run("app.go('teach')")
        self.browser.wait("document.querySelector('.lesson-host').shadowRoot.getElementById('lesson').dataset.ready === 'yes'")
        self.browser.run("(() => { const inside = document.querySelector('.lesson-host').shadowRoot; inside.querySelector('input[value=lives]').click(); inside.getElementById('lock').click(); return 1; })()")
        self.browser.wait("/alive at the end in \\d+ of 100/.test(document.querySelector('.lesson-host').shadowRoot.getElementById('lives-answer').textContent)", 120)


if __name__ == "__main__":
    unittest.main()
