# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The engine in the page itself, opened from its file in Chromium: the same answers as native, with two workers, under the
page's own policy; and its times and memory. Run by scripts/check.

  SRC=. BRIDGE=build/tests/browser/page_bridge python3 tests/browser/browser.py
"""

import json
import os
import sys
import time
import unittest

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "browser"))
sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "support"))
from chromium import PROJECTOR, Browser
from engines import PAGE, native, plan, shipped
from test_module import undescribed

NOW = "2026-11-15T12:00:00Z"
YEARS = 20


class InChromium(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.native = native()
        cls.browser = Browser(patience=300)
        cls.browser.size(*PROJECTOR)
        cls.browser.open(PAGE)

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()
        cls.native.close()

    def call(self, **request):
        """The answer of the page, as text."""
        return self.browser.run(f"engine.call({json.dumps(request)}, {{ raw: true }})")

    def test_every_plan(self):
        for name in shipped():
            with self.subTest(name):
                request = dict(do="run", plan=plan(name), years=YEARS, seed="7", now=NOW)
                answer = self.call(**request)
                self.native.call(**request)
                self.assertEqual(undescribed(answer).strip(), undescribed(self.native.raw).strip())

    def test_times(self):
        """20 years within 1 s and 500 within 10 s. By processor time, which a busy machine hardly changes: two cores give 2 s of it within 1 s;
        of 500 years a part is not shared, so that all of it must fit into 10 s."""
        request = dict(do="run", plan=plan("harrow-hill-outdoors.yaml"), now=NOW)
        self.call(**request, years=1)  # the workers have started
        for years, limit in ((20, 2), (500, 10)):
            began, used = time.monotonic(), self.browser.processor_time()
            self.call(**request, years=years)
            used, took = self.browser.processor_time() - used, time.monotonic() - began
            print(f"{years} years: {used:.2f} s of processor time, {took:.2f} s by the clock", file=sys.stderr)
            self.assertLess(used, limit)

    def test_memory(self):
        """All workers together after a run of 500 years, by the lengths of their memories."""
        self.call(do="run", plan=plan("crow-lane-shed.yaml"), years=500, now=NOW)
        used = self.browser.run("engine.memory()")
        print(f"memory: {used / 1e6:.0f} MB", file=sys.stderr)
        self.assertLess(used, 200e6)

    def test_nothing_is_refused_or_loaded(self):
        self.assertEqual([url for url in self.browser.requests if not url.startswith(("file:", "blob:", "data:"))], [])
        self.assertEqual(self.browser.complaints, [])


if __name__ == "__main__":
    unittest.main()
