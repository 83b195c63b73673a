# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks the pages of `wintergrub report` in a headless Chromium: result and comparison, on phones, a projector and paper.
scripts/check runs it; it needs the packages chromium and poppler-utils.

  WINTERGRUB=build/wintergrub SRC=. python3 tests/figures/browser.py
"""

import os
import re
import subprocess
import sys
import tempfile
import unittest

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from chromium import CONTRAST, PAPERS, PHONE, PROJECTOR, SMALL_PHONE, Browser, tab_through

WINTERGRUB, SRC = os.path.abspath(os.environ["WINTERGRUB"]), os.path.abspath(os.environ["SRC"])
HOSTILE = """</title><script>document.title = "broken"</script><img src=x onerror="document.title = 1">'&amp;"""
MIN_FONT_PX = 10  # pixels; judgement: smaller text is illegible at arm's length
MIN_TICK_PX = 11  # of most text, that of the axes

# The font heights of all text in drawings in screen pixels.
HEIGHTS = """[...document.querySelectorAll("figure svg text")].filter((e) => e.checkVisibility()).map((e) => parseFloat(getComputedStyle(e).fontSize) * e.getScreenCTM().d)"""
# Texts that touch another text of their drawing.
TOUCHING = """[...document.querySelectorAll("figure > svg")].filter((e) => e.checkVisibility()).flatMap((svg) => {
  const texts = [...svg.querySelectorAll("text")].map((e) => [e.textContent, e.getBoundingClientRect()]);
  return texts.flatMap(([word, a], i) => texts.slice(i + 1).filter(([, b]) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 &&
    Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 0.35 * Math.min(a.height, b.height)).map(([other]) => word + " | " + other)); })"""
# Elements wider than the screen, or with horizontal scrolling.
TOO_WIDE = """[...document.querySelectorAll("body *")].filter((e) => e.checkVisibility() && !e.closest("svg *, details") &&
  (e.getBoundingClientRect().right > innerWidth + 0.5 || e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).overflowX !== "visible")).map((e) => e.outerHTML.slice(0, 80))"""


def wintergrub(*words):
    done = subprocess.run([WINTERGRUB, *words], capture_output=True, text=True, check=False)
    assert done.returncode == 0, (words, done.stderr)


def hostile(text):
    """Returns the scenario with HTML in its title and the name of a bin."""
    text = re.sub(r"^title:.*$", "", text, flags=re.M)
    return "title: '" + HOSTILE.replace("'", "''") + "'\n" + re.sub(r"\btrough\b", "'<b>trough</b>'", text)


def setUpModule():
    """Makes a result with heat, two places and a spring, and a comparison of two scenarios."""
    global desk
    desk = tempfile.TemporaryDirectory()
    os.chdir(desk.name)
    unittest.addModuleCleanup(desk.cleanup)
    unittest.addModuleCleanup(os.chdir, "/")
    with open(os.path.join(SRC, "scenarios", "hoop-house-two-bins.yaml"), encoding="utf-8") as file:
        scenario = file.read()
    with open("one.yaml", "w", encoding="utf-8") as file:
        file.write(hostile(scenario))
    with open("two.yaml", "w", encoding="utf-8") as file:
        file.write(scenario)
    wintergrub("run", "one.yaml", "--replicates", "12", "--quiet", "-o", "result.h5")
    wintergrub("compare", "one.yaml", "two.yaml", "--replicates", "12", "-o", "comparison.h5")
    for name in ("result", "comparison"):
        wintergrub("report", name + ".h5")


class Report:
    page, size = None, None

    def setUp(self):
        self.browser = Browser()
        self.addCleanup(self.browser.close)
        self.browser.size(*self.size)
        self.browser.open(self.page)

    def js(self, script):
        return self.browser.run(script)

    def tearDown(self):
        self.assertEqual(self.browser.complaints, [])
        others = [url for url in self.browser.requests if not url.startswith("data:") and url != "file://" + os.path.abspath(self.page)]
        self.assertEqual(others, [])

    def test_page_fits_and_is_legible(self):
        self.assertLessEqual(self.js("document.documentElement.scrollWidth"), self.size[0])
        self.assertEqual(self.js(TOO_WIDE), [])
        ticks = self.js(HEIGHTS)
        self.assertGreater(len(ticks), 0)
        self.assertGreaterEqual(min(ticks), MIN_FONT_PX)
        self.assertGreaterEqual(sorted(ticks)[len(ticks) // 2], MIN_TICK_PX)

    def test_no_text_touches_another_in_any_font(self):
        for font in ("", "DejaVu Serif", "DejaVu Sans Mono"):  # a wider font is fitted into the width the layout allows
            self.js(f"document.body.style.fontFamily = '{font}'")
            self.assertEqual(self.js(TOUCHING), [], font)

    def test_one_drawing_and_one_table_for_each_figure(self):
        for figure in range(self.js("document.querySelectorAll('figure').length")):
            about = self.js(
                f"(() => {{ const f = document.querySelectorAll('figure')[{figure}]; return {{ drawings: [...f.querySelectorAll(':scope > svg')].filter((e) => e.checkVisibility()).length,"
                " rows: f.querySelectorAll('table tbody tr').length, heads: f.querySelectorAll('thead th[scope=col]').length,"
                " named: [...f.querySelectorAll(':scope > svg')].every((e) => document.getElementById(e.getAttribute('aria-labelledby')).textContent.length > 20 && document.getElementById(e.getAttribute('aria-describedby')).textContent.length > 20) }; })()"
            )
            self.assertEqual(about["drawings"], 1)
            self.assertGreaterEqual(about["rows"], 2)
            self.assertGreaterEqual(about["heads"], 6)
            self.assertTrue(about["named"])

    def test_contrast(self):
        for scheme in ("light", "dark"):
            self.browser.media(prefers_color_scheme=scheme)
            self.assertEqual(self.js(CONTRAST), [], scheme)
        self.browser.media(prefers_color_scheme="light")
        # The check must detect pale text, in the page and in a drawing.
        self.js("document.querySelector('h2').style.color = '#999'; document.querySelectorAll('figure > svg').forEach((e) => { e.querySelector('text').style.fill = '#999'; })")
        self.assertEqual(len([what for what, *_ in self.js(CONTRAST) if what.startswith(("H2", "letters"))]), 1 + self.js("document.querySelectorAll('figure').length"))

    def test_tab_reaches_every_control_and_shows_focus(self):
        tab_through(self, self.browser)
        self.js("document.querySelectorAll('details').forEach((e) => { e.open = true; })")
        tab_through(self, self.browser)

    def test_links_lead_to_sections(self):
        lost = self.js("[...document.querySelectorAll('nav a')].filter((e) => !document.getElementById(e.getAttribute('href').slice(1)))")
        self.assertEqual(lost, [])
        self.assertEqual(self.js("document.querySelectorAll('nav a').length"), self.js("document.querySelectorAll('h2').length"))

    def test_titles_are_escaped(self):
        self.assertEqual(self.js("document.querySelectorAll('script, img, iframe, b').length"), 0)
        self.assertNotIn(self.js("document.title"), ("broken", "1"))
        self.assertIn(HOSTILE, self.js("document.body.textContent"))


class ResultReport(Report):
    page = "result.html"

    def test_title(self):
        self.assertEqual(self.js("document.title"), HOSTILE)
        self.assertEqual(self.js("document.querySelector('h1').textContent"), HOSTILE)


class ComparisonReport(Report):
    page = "comparison.html"


class ResultOnSmallPhone(ResultReport, unittest.TestCase):
    size = SMALL_PHONE


class ResultOnPhone(ResultReport, unittest.TestCase):
    size = PHONE


class ResultOnProjector(ResultReport, unittest.TestCase):
    size = PROJECTOR


class ComparisonOnSmallPhone(ComparisonReport, unittest.TestCase):
    size = SMALL_PHONE


class ComparisonOnPhone(ComparisonReport, unittest.TestCase):
    size = PHONE


class ComparisonOnProjector(ComparisonReport, unittest.TestCase):
    size = PROJECTOR


class Print(unittest.TestCase):
    """The page printed from a phone and a desktop: complete, no drawing split, nothing clipped at the right."""

    def setUp(self):
        self.browser = Browser()
        self.addCleanup(self.browser.close)

    def words(self, path):
        """[page][word] = (text, its right edge as a share of the page's width)"""
        boxes = subprocess.run(["pdftotext", "-bbox", path, "-"], capture_output=True, text=True, check=True).stdout
        pages = re.findall(r'<page width="([\d.]+)"[^>]*>(.*?)</page>', boxes, re.S)
        return [[(text, float(right) / float(width)) for right, text in re.findall(r'xMax="([\d.]+)"[^>]*>([^<]*)<', inside)] for width, inside in pages]

    def test_prints_whole(self):
        for name in ("result", "comparison"):
            for size in (PHONE, PROJECTOR):
                self.browser.size(*size)
                self.browser.open(name + ".html")
                heads = self.browser.run("[...document.querySelectorAll('h2')].map((e) => e.textContent)")
                for paper, inches in PAPERS.items():
                    with self.subTest(name=name, size=size, paper=paper):
                        with open("page.pdf", "wb") as file:
                            file.write(self.browser.printed(*inches))
                        pages = self.words("page.pdf")
                        self.assertLessEqual(len(pages), 14)
                        for page in pages:
                            self.assertGreater(len(page), 0, "an empty page")
                            self.assertLessEqual(max(right for _, right in page), 0.96)
                        text = " ".join(word for page in pages for word, _ in page)
                        for head in heads:
                            self.assertIn(head, text)
                        for page in pages:  # no heading is alone at the foot of a page
                            end = " ".join(word for word, _ in page[-8:])
                            self.assertFalse(any(end.endswith(head) for head in heads), end)

    def test_the_sheet_of_work_is_one_page(self):
        """Printed from its link: title, every week with a box, and nothing of the rest of the page."""
        self.browser.open("result.html")
        self.browser.run("location.hash = 'sheet'")
        for paper, inches in PAPERS.items():
            with self.subTest(paper=paper):
                with open("sheet.pdf", "wb") as file:
                    file.write(self.browser.printed(*inches))
                pages = self.words("sheet.pdf")
                self.assertEqual(len(pages), 1)
                self.assertLessEqual(max(right for _, right in pages[0]), 0.98)
                text = " ".join(word for word, _ in pages[0])
                self.assertIn("notes", text)
                self.assertIn("move 100 % of the larvae", text)
                self.assertRegex(text, r"31 Aug\b(?!.*31 Aug)", "the last week")
                self.assertNotIn("The answer", text)


if __name__ == "__main__":
    unittest.main()
