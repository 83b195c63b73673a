# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""A keeper's year on a phone, in a headless Chromium: every question of the page is asked once, then every screen is checked
with its answer on it, in the sizes and colours that people use. Run by scripts/check; it needs the package chromium, and
for one test axe-core, whose file AXE names.

  PAGE=src/app/wintergrub.html WINTERGRUB=build/wintergrub AXE=axe.min.js python3 tests/app/browser_year.py

PICTURES=FOLDER saves what each screen looks like.
"""

import json
import os
import re
import time
import unittest

from browser import TOO_WIDE
from browser_screens import only_the_heater_open, plan_text
from chromium import PAPERS, PHONE, PROJECTOR, Browser, tab_through

PAGE, AXE, PICTURES = os.environ["PAGE"], os.environ.get("AXE"), os.environ.get("PICTURES")
SCREENS = ["place", "guess", "forecast", "compare", "size", "cheapest", "work", "log", "teach", "save"]
WITH_ANSWERS = ["forecast", "compare", "size", "cheapest", "work", "log"]
YEARS = 12
ZOOMED = (640, 400, False)  # a window of 1280 by 800 pixels at 200 %
INSTANT_MS = 100  # a response within 0.1 s seems to be immediate (Miller 1968, AFIPS 33:267)

# Commands and options of the terminal in what a keeper reads; copies of the plan and of what the program prints are theirs.
COMMANDS = """(() => { const found = [], walker = document.createTreeWalker(byId("main"), NodeFilter.SHOW_TEXT);
  for (let text = walker.nextNode(); text; text = walker.nextNode())
    if (/wintergrub [a-z]+ |wintergrub (run|new|check|size|compare|cheapest|fit|report|rerun|help)|--[a-z]/.test(text.data) && text.parentElement.checkVisibility() &&
        !text.parentElement.closest("pre, textarea, td")) found.push(text.data);
  return found; })()"""


class Year(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.browser = Browser(patience=600)
        cls.addClassCleanup(cls.browser.close)
        cls.browser.size(*PHONE)
        cls.browser.open(PAGE)
        cls.browser.wait("document.body.dataset.ready === 'yes'", 60)
        cls.spoken = {}
        cls.live()

    @classmethod
    def js(cls, script):
        return cls.browser.run(script)

    @classmethod
    def go(cls, screen):
        cls.js(f"app.go('{screen}')")
        cls.browser.wait(f"app.now === '{screen}'")

    @classmethod
    def ask(cls, screen, prepare=""):
        """Answers the question of a screen; keeps what a screen reader was told meanwhile."""
        cls.go(screen)
        cls.js("window.heard = []; 1")
        time.sleep(0.3)
        if prepare:
            cls.browser.wait(prepare)
        cls.js(f"document.querySelector('#screen-{screen} .asking button.main').click()")
        cls.browser.wait("!asking.now", 900)
        time.sleep(0.2)
        cls.spoken[screen] = cls.js("window.heard")

    @classmethod
    def live(cls):
        """A year: the place, a guess, and every question."""
        cls.js("new MutationObserver(() => { const text = byId('live').textContent; if (text) (window.heard ??= []).push(text); }).observe(byId('live'), { childList: true }); 1")
        goal = "\ngoal:\n  - {survive: yes, chance: 90 %}\n"
        cls.js(f"app.setPlan({{ text: {json.dumps(plan_text('crow-lane-shed.yaml', YEARS) + goal)}, name: 'shed.yaml', files: {{}}, answers: null, made: null }})")
        cls.go("guess")
        cls.js("[...document.querySelectorAll('#screen-guess button')].find((e) => e.textContent === 'Keep my guess').click()")
        cls.ask("forecast")
        cls.ask("work", "app.forecast !== null")
        key = "places.shed.heater.set_point"
        cls.ask("compare", f"""(() => {{ const select = document.querySelector('#screen-compare select'); if (!select.querySelector('option[value="{key}"]')) return false;
          select.value = '{key}'; select.dispatchEvent(new Event('change')); document.querySelector('#screen-compare input[type=text]').value = '65 degF'; return true; }})()""")
        cls.ask("size", "document.querySelector('#screen-size select').value === 'starter.1.count'")
        cls.ask("log", """(() => { const fields = document.querySelectorAll('#screen-log form :is(input, select)'); if (fields[1].options.length < 5) return false;
          fields[1].value = 'crawl-off'; fields[1].dispatchEvent(new Event('change')); fields[0].value = fields[0].min.replace(/-\\d\\d$/, '-28'); fields[2].value = '0.5 lb'; fields[5].value = '7';
          document.querySelector('#screen-log form').requestSubmit(); return true; })()""")
        cls.js(f"app.addPlan({{ text: {json.dumps(plan_text('cheapest-winter.yaml', YEARS, only_the_heater_open))}, name: 'winter.yaml' }})")
        cls.js("app.go('cheapest')")
        cls.browser.wait("document.querySelectorAll('#screen-cheapest .open-list li').length === 1")
        cls.js("document.querySelector('#screen-cheapest select[data-name=years]').value = '64'")
        cls.ask("cheapest")
        cls.js("app.choosePlan(0)")
        cls.go("forecast")
        cls.js("document.querySelector('#screen-forecast [data-year]').click()")
        cls.browser.wait("!!document.querySelector('.life')", 60)
        cls.js("[...document.querySelectorAll('.life button')].find((e) => e.textContent === 'Pause')?.click()")

    def setUp(self):
        self.browser.size(*PHONE)
        self.browser.call("Emulation.setEmulatedMedia", media="", features=[])

    def tearDown(self):
        self.assertEqual(self.browser.complaints, [])

    # ---- seen ----

    def test_every_answer_is_there(self):
        for screen in WITH_ANSWERS:
            self.go(screen)
            self.assertGreater(self.js(f"document.querySelector('#screen-{screen} .out .report').innerText.length"), 100, screen)

    def test_each_answer_can_be_taken_away(self):
        for screen in WITH_ANSWERS:
            self.go(screen)
            folds = self.js(f"[...document.querySelectorAll('#screen-{screen} details')].filter((e) => e.querySelector('summary').textContent === 'Save numbers and figures').map((e) => e.querySelectorAll('button').length)")
            self.assertTrue(all(folds) and (folds or screen == "work"), (screen, folds))

    def test_nothing_is_cut_off(self):
        """Neither on a phone or a projector nor at 200 % does a screen scroll sideways."""
        for size in (PHONE, PROJECTOR, ZOOMED):
            self.browser.size(*size)
            for screen in SCREENS:
                self.go(screen)
                time.sleep(0.2)
                self.assertLessEqual(self.js("document.documentElement.scrollWidth"), size[0], (screen, size))
                wide = [] if size == ZOOMED else self.js(TOO_WIDE.replace("svg, pre", "svg, pre, .scroll, .data, details table"))
                self.assertEqual(wide, [], (screen, size))
                if PICTURES:
                    os.makedirs(PICTURES, exist_ok=True)
                    self.browser.picture(os.path.join(PICTURES, f"year-{screen}-{size[0]}.png"), whole=True)

    def test_targets_are_large_enough(self):
        """Controls on a phone have 44 pixels of height (WCAG 2.2, 2.5.5) except links within sentences."""
        for screen in SCREENS:
            self.go(screen)
            small = self.js(f"""[...document.querySelectorAll("#screen-{screen} :is(a[href], button, summary, select, input, textarea)")].filter((e) => e.checkVisibility() && !e.closest("p.small, .hidden, [type=file]"))
              .map((e) => [e, (e.closest("label") ?? e).getBoundingClientRect()]).filter(([e, box]) => box.height > 1 && box.height < 43.5).map(([e, box]) => `${{e.outerHTML.slice(0, 80)}} ${{box.height}}`)""")
            self.assertEqual([one for one in small if 'class="link"' not in one], [], screen)

    def test_no_command_where_a_keeper_cannot_type_one(self):
        for screen in SCREENS:
            self.go(screen)
            self.js(f"document.querySelectorAll('#screen-{screen} details:not(.command)').forEach((e) => {{ e.open = true; }})")
            time.sleep(0.2)
            self.assertEqual(self.js(COMMANDS), [], screen)
            self.js(f"document.querySelectorAll('#screen-{screen} details').forEach((e) => {{ e.open = false; }})")

    def test_the_same_number_everywhere(self):
        """Dots, sentence, table of guesses and file of results have the same count."""
        alive, years = self.js("[document.querySelectorAll('[data-year][title$=\"alive at the end\"]').length, document.querySelectorAll('[data-year]').length]")
        self.assertEqual(years, YEARS)
        said = self.js("document.querySelector('#screen-forecast .out .answer').textContent")
        self.assertIn(f"in {alive} of {YEARS}", said)
        self.assertIn(f"in {alive} of {YEARS}", " ".join(self.spoken["forecast"]))
        self.go("guess")
        self.assertEqual(self.js("document.querySelector('#screen-guess tbody td:last-child').textContent"), str(round(100 * alive / YEARS)))

    def test_pounds_first(self):
        """The plan is in pounds: outside of what the program prints, nothing has them in brackets behind kilograms."""
        metric_first = """(() => { const found = [], walker = document.createTreeWalker(byId("main"), NodeFilter.SHOW_TEXT);
          for (let text = walker.nextNode(); text; text = walker.nextNode())
            if (/ (kg|g|L|m|m2|degC) \\([^)]* (lb|oz|gal|ft|ft2|degF)\\)/.test(text.data) && !text.parentElement.closest("pre, .lesson-host")) found.push(text.data);
          return found.concat([...document.querySelectorAll("#main [placeholder]")].map((e) => e.placeholder).filter((text) => /(kg|L|degC) \\(/.test(text))); })()"""
        for screen in SCREENS:
            self.go(screen)
            time.sleep(0.2)
            self.assertEqual(self.js(metric_first), [], screen)
        self.assertRegex(self.js("document.querySelector('#screen-forecast .out').textContent"), r"\d lb \(\d+(\.\d+)? kg\)")

    # ---- used without sight or without a mouse ----

    def load_axe(self):
        with open(AXE, encoding="utf-8") as file:
            self.js(file.read() + "; 1")

    def test_accessibility(self):
        """axe-core finds nothing on any screen with its answer."""
        if not AXE:
            self.skipTest("AXE does not name axe-core's axe.min.js (npm install axe-core)")
        self.load_axe()
        # The colours concern one rule only.
        for media, rules in (({"prefers_color_scheme": "light"}, ""), ({"prefers_color_scheme": "dark"}, ", runOnly: ['color-contrast']"),
                             ({"forced_colors": "active"}, ", runOnly: ['color-contrast']")):  # fmt: skip
            for size in (PHONE, PROJECTOR):
                self.browser.size(*size)
                self.browser.media(**media)
                for screen in SCREENS:
                    self.go(screen)
                    time.sleep(0.3)
                    found = self.js(f"axe.run(document, {{ resultTypes: ['violations']{rules} }}).then((r) => r.violations.map((v) => [v.id, v.nodes.map((n) => n.html.slice(0, 120))]))")
                    self.assertEqual(found, [], (screen, size, media))

    def test_progress_and_answers_are_announced(self):
        for screen in WITH_ANSWERS:
            if screen == "work":  # has the forecast already
                continue
            self.assertRegex(" ".join(self.spoken[screen]), r"The answer has come\. \w", screen)
        self.assertRegex(" ".join(self.spoken["forecast"]), rf"First answer, after \d+ \w+: alive in \d+")

    def test_the_keyboard_reaches_everything_in_an_answer(self):
        self.browser.size(*PROJECTOR)
        for screen in ("forecast", "work"):
            self.go(screen)
            self.js("document.body.tabIndex = -1; document.body.focus(); document.body.removeAttribute('tabindex')")
            tab_through(self, self.browser)

    def test_two_numbers(self):
        """The odds of every pair: seen, read aloud, at 200 % and on paper. (Before typing, which asks anew, too.)"""
        self.js("app.choosePlan(0)")
        self.go("size")
        self.browser.wait("document.querySelector('#screen-size select[data-name=second] option[value=\"feeding.1.amount\"]') !== null")
        self.js("""(() => { const screen = document.querySelector('#screen-size'), second = screen.querySelector('select[data-name=second]');
          second.value = 'feeding.1.amount'; second.dispatchEvent(new Event('change')); screen.querySelector('select[data-name=effort]').value = '1000'; })()""")
        self.ask("size")
        self.assertRegex(" ".join(self.spoken["size"]), r"All goals are met most often with .* pairs (is|are) enough")
        pairs = self.js("document.querySelectorAll('.pairs tbody td').length")
        self.assertEqual(pairs, 25)
        self.assertEqual(self.js("[...document.querySelectorAll('.pairs :is(tbody th, thead th)')].every((e) => e.scope && e.textContent)"), True)
        self.js("document.querySelectorAll('#screen-size .out details, #screen-size .noprint details').forEach((e) => { e.open = true; })")
        for size in (PHONE, PROJECTOR, ZOOMED):
            self.browser.size(*size)
            time.sleep(0.3)
            self.assertLessEqual(self.js("document.documentElement.scrollWidth"), size[0], size)
            if PICTURES:
                self.browser.picture(os.path.join(PICTURES, f"year-two-numbers-{size[0]}.png"), whole=True)
        if AXE:
            self.load_axe()
            for scheme in ("light", "dark"):
                self.browser.media(prefers_color_scheme=scheme)
                time.sleep(0.3)
                found = self.js("axe.run(document, { resultTypes: ['violations'] }).then((r) => r.violations.map((v) => [v.id, v.nodes.map((n) => n.html.slice(0, 120))]))")
                self.assertEqual(found, [], scheme)
        self.browser.call("Emulation.setEmulatedMedia", media="print")
        self.assertTrue(self.js("[...document.querySelectorAll('#screen-size .out figure svg')].some((e) => e.checkVisibility()) && document.querySelector('.pairs').checkVisibility()"))

    def test_typing_is_shown_at_once_while_a_forecast_runs(self):
        """From a key to the next picture: a forecast in the workers adds less than INSTANT_MS to half of the keys. (Last: it asks anew.)"""
        self.js("app.addPlan({ ...app.plan, name: 'typing.yaml', text: app.plan.text.replace(/replicates: \\d+/, 'replicates: 500') })")
        self.go("place")
        idle = self.typed()
        self.go("forecast")
        self.js("document.querySelector('#screen-forecast .asking button.main').click()")
        self.go("place")
        busy = self.typed()
        self.assertTrue(self.js("asking.now !== null"))
        self.js("engine.stop()")
        self.browser.wait("!asking.now", 60)
        self.js("app.closePlan(app.at); app.choosePlan(0)")
        self.assertLess(busy - idle, INSTANT_MS, (idle, busy))

    def typed(self):
        """Types into the plan; the median of the times from a key to the picture after it, in ms."""
        self.js("document.querySelector('input[name=place-view][value=text]').click(); byId('plan-text').focus(); byId('plan-text').setSelectionRange(0, 0)")
        self.js("window.waits = []; byId('plan-text').oninput = (e) => requestAnimationFrame(() => waits.push(performance.now() - e.timeStamp)); 1")
        for letter in "# typed\n":
            self.browser.press("Enter" if letter == "\n" else letter, text="\r" if letter == "\n" else letter, virtual=13 if letter == "\n" else 0)
        self.browser.wait("waits.length === 8")
        return sorted(self.js("waits"))[4]

    def test_still_for_those_who_ask(self):
        """With reduced motion nothing is animated and a life does not play by itself."""
        self.browser.media(prefers_reduced_motion="reduce")
        self.go("forecast")
        self.js("document.querySelectorAll('#screen-forecast [data-year]')[1].click()")
        self.browser.wait("document.querySelector('.life h2')?.textContent.startsWith('Future ')", 60)
        self.assertEqual(self.js("document.querySelector('.life button.main').textContent"), "Play")
        self.assertEqual(self.js("document.getAnimations().length"), 0)

    # ---- on paper ----

    def test_the_work_of_a_year_is_one_sheet(self):
        self.go("work")
        for name, paper in PAPERS.items():
            pages = len(re.findall(rb"/Type\s*/Page[^s]", self.browser.printed(*paper)))
            self.assertEqual(pages, 1, name)


if __name__ == "__main__":
    unittest.main()
