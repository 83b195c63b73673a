# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The workshop's page in a headless Chromium: the same colony as the native program's, to the last bit, and a
page that works at the size of a phone and of a projector. Run by scripts/check; it needs the package chromium.

  PAGE=src/workshop/workshop.html LESSON_DUMP=build/tests/workshop/lesson_dump python3 tests/workshop/browser.py
"""

import json
import math
import os
import re
import subprocess
import sys
import tempfile
import time
import unittest

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from chromium import CONTRAST, PAPERS, PHONE, PROJECTOR, SMALL_PHONE, Browser, tab_through

PAGE = os.environ["PAGE"]
LESSON_DUMP = os.environ["LESSON_DUMP"]

# Warm and cold, roomy and starving, heated and not, every weather and shelter, several seeds.
COLONIES = [
    {},
    {"TEMP_C": 30, "SEED": 2},
    {"TEMP_C": 18.5, "SEED": 3, "DAYS": 730},
    {"TEMP_C": 35, "STARTER": 50000, "FEED_KG": 10, "SEED": 4},
    {"STARTER": 100, "FEED_KG": 0.1, "CLUTCH_LOW": 100, "CLUTCH_HIGH": 1000, "CATCH": 1, "SEED": 999999},
    {"WEATHER": 1, "SEED": 5},
    {"WEATHER": 1, "SHELTER": 3, "HEATER": 1, "SEED": 6},
    {"WEATHER": 2, "SHELTER": 1, "HEATER": 1, "SET_POINT_C": 27.5, "SEED": 7},
    {"WEATHER": 2, "SHELTER": 2, "SEED": 8, "DAYS": 730},
    {"WEATHER": 3, "SHELTER": 0, "CATCH": 0.2, "SEED": 9},
]

DUMP = """(() => { const l = simulate(%s), rows = [];
  for (let d = 0; d < l.days; d++) {
    const counts = [];
    for (let s = 0; s < STAGES.length; s++) for (let g = 0; g < l.generations; g++) counts.push(l.count(d, s, g));
    rows.push(counts.join(" ") + ";" + SERIES.map((name) => l.value[name][d]).join(" "));
  }
  return rows.join("\\n"); })()"""

def native(numbers, names):
    words = [f"{name if name == 'lives' else names.index(name)}={value}" for name, value in numbers.items()]
    done = subprocess.run([LESSON_DUMP, *words], capture_output=True, text=True, check=True)
    return [line.split() for line in done.stdout.splitlines()]


class SameColony(unittest.TestCase):
    def test_every_count_equal(self):
        with Browser() as browser:
            browser.open(PAGE, "ready")
            names, n_series = browser.run("NUMBERS"), browser.run("SERIES.length")
            for numbers in COLONIES:
                with self.subTest(numbers):
                    here = native(numbers, names)
                    there = browser.run(DUMP % json.dumps(numbers)).splitlines()
                    self.assertEqual(len(here), len(there))
                    self.assertEqual(len(here), numbers.get("DAYS", 365))
                    for day, (a, b) in enumerate(zip(here, there, strict=True)):
                        counts, series = b.split(";")
                        self.assertEqual(a[:-n_series], counts.split(), f"day {day}")
                        for x, y in zip(a[-n_series:], series.split(), strict=True):
                            x, y = float(x), float(y)  # both written so that every double comes back
                            self.assertTrue(x == y or (math.isnan(x) and math.isnan(y)), f"day {day}: {x} {y}")

    def test_the_same_hundred_years(self):
        """Every fact of every life, the marks and the counts in words are those of the native program."""
        with Browser() as browser:
            browser.open(PAGE, "ready")
            browser.run("document.querySelector('input[name=mode][value=lives]').click(); byId('lock').click()")
            browser.wait("state.lives.fact.length === 100 && !state.lives.lesson", 60)
            names, facts, ends = browser.run("NUMBERS"), browser.run("FACTS"), browser.run("ENDS")
            here = native({"lives": 100, "WEATHER": 1, "STARTER": 500}, names)
            there = browser.run("state.lives.fact.map((fact) => FACTS.map((name) => String(fact[name])))")
            for life, (a, b) in enumerate(zip(here, there, strict=True)):
                for name, x, y in zip(facts, map(float, a), map(float, b), strict=True):
                    self.assertTrue(x == y or (math.isnan(x) and math.isnan(y)), f"life {life}, {name}: {x} {y}")
            count = {}
            for row in here:
                count[ends[int(row[0])]] = count.get(ends[int(row[0])], 0) + 1
            shapes = browser.run("[...document.querySelectorAll('#dots path')].map((p) => p.getAttribute('d'))")
            said = browser.run("[...document.querySelectorAll('#counts li')].map((li) => li.textContent)")
            self.assertEqual(len(said), len(count))
            for end, n in count.items():
                self.assertEqual(shapes.count(browser.run(f"END.{end}[3]")), n)
                self.assertIn(browser.run(f"'{n} ' + END.{end}[0]"), said)
            self.assertIn(f"alive at the end in {count['ALIVE']} of 100 years", browser.run("byId('lives-answer').textContent"))
            self.assertEqual(browser.run("[trueRange(71), trueRange(0), trueRange(100)].join()"), "61,79,0,4,96,100")  # of none: z^2 / (100 + z^2)

    def test_other_seed_other_colony(self):
        with Browser() as browser:
            browser.open(PAGE, "ready")
            self.assertNotEqual(*(browser.run(DUMP % json.dumps({"SEED": seed})) for seed in (1, 2)))


class Page:
    size = None

    @classmethod
    def setUpClass(cls):
        cls.browser = Browser()
        cls.addClassCleanup(cls.browser.close)
        cls.browser.size(*cls.size)

    def setUp(self):
        self.browser.complaints.clear()
        self.browser.requests.clear()
        self.browser.call("Emulation.setEmulatedMedia", media="", features=[])
        self.browser.open(PAGE, "ready")

    def js(self, script):
        return self.browser.run(script)

    def tearDown(self):
        self.assertEqual(self.browser.complaints, [])
        others = [url for url in self.browser.requests if not url.startswith("data:") and url != "file://" + os.path.abspath(PAGE)]
        self.assertEqual(others, [])

    def choose(self, name, value):
        self.js(f"document.querySelector('input[name={name}][value={value}]').click()")

    def text(self, name):
        return self.js(f"byId({json.dumps(name)}).textContent")

    def test_fits_and_says_nothing_wrong(self):
        for mode in ("steady", "year", "pair", "lives"):
            self.choose("mode", mode)
            if mode == "lives":
                self.play_years()
                self.js("openLife(0); play(false)")
            for view in ("hills", "stack", "winter"):
                if mode != "steady" or view != "winter":
                    self.choose("view", view)
                self.js("goTo(300)")
                self.assertLessEqual(self.js("document.documentElement.scrollWidth"), self.size[0], mode)
                self.assertTrue(self.js("byId('problem').hidden"))

    def play_years(self):
        self.js("byId('lock').focus(); byId('lock').click()")
        self.browser.wait("state.lives.fact.length === 100 && !state.lives.lesson", 60)

    def at(self):
        return self.js("document.activeElement.id")

    def written(self):
        """The words of the picture, drawn anew: [text, left, right, middle of its height]."""
        return self.js(
            """(() => { const seen = [], to = byId("canvas-0").getContext("2d"), fill = to.fillText;
  to.fillText = function (text, x, y) {
    const wide = this.measureText(text).width, left = { left: 0, center: wide / 2, right: wide }[this.textAlign];
    seen.push([text, x - left, x - left + wide, y]);
    fill.call(this, text, x, y);
  };
  try { show(); } finally { delete to.fillText; }
  return seen; })()"""
        )

    def test_names_on_the_pile_do_not_meet(self):
        self.choose("view", "stack")
        for day in (120, 250, 364):
            self.js(f"goTo({day})")
            names = [word for word in self.written() if re.search("children|generation", word[0])]
            self.assertGreater(len(names), 0)
            for i, (one, left, right, y) in enumerate(names):
                for other, from_, to, at in names[:i]:
                    self.assertTrue(to <= left or right <= from_ or abs(at - y) >= 16, (day, one, other))  # letters of 12 to 16 pixels

    def test_an_empty_picture_says_why(self):
        self.js("byId('set-TEMP_C').value = 12; byId('set-TEMP_C').dispatchEvent(new Event('input'))")
        self.browser.wait("state.runs[0].past.every((row) => row.every((x) => x === 0))")
        for view in ("hills", "stack"):
            self.choose("view", view)
            self.js("goTo(100)")
            self.assertIn("No egg has hatched so far", [word[0] for word in self.written()])

    def test_sliders_work(self):
        for mode in ("steady", "year", "pair", "lives"):
            self.choose("mode", mode)
            for name in self.js("[...document.querySelectorAll('#sliders input')].filter((e) => e.checkVisibility()).map((e) => e.id)"):
                before, numbers = self.text(name + "-out"), self.js("JSON.stringify(state.numbers)")
                self.js(f"byId('{name}').focus()")
                self.browser.press("ArrowRight", virtual=39)
                self.assertNotEqual(self.text(name + "-out"), before, name)
                self.assertNotEqual(self.js("JSON.stringify(state.numbers)"), numbers, name)
        self.choose("mode", "steady")
        self.js("goTo(100)")
        totals = []
        for _ in range(2):
            totals.append(self.js("[...state.runs[0].total].join()"))
            self.js("byId('set-TEMP_C').focus()")
            for _ in range(6):
                self.browser.press("ArrowLeft", virtual=37)
            self.browser.wait(f"[...state.runs[0].total].join() !== {json.dumps(totals[-1])}")
        self.js("byId('luck').click()")
        self.browser.wait(f"!{json.dumps(totals)}.includes([...state.runs[0].total].join())")
        self.assertEqual(self.js("state.day"), 100)

    def test_tab_reaches_every_control_and_shows_focus(self):
        for mode in ("steady", "pair", "lives"):
            self.choose("mode", mode)
            if mode == "lives":
                self.play_years()
                self.js("(() => { const top = document.querySelector('h1'); top.tabIndex = -1; top.focus(); top.removeAttribute('tabindex'); })()")
            tab_through(self, self.browser)

    def test_names_for_those_who_listen(self):
        nodes = self.browser.call("Accessibility.getFullAXTree")["nodes"]
        controls = [n for n in nodes if n.get("role", {}).get("value") in ("slider", "button", "radio", "combobox", "img", "image")]
        self.assertGreater(len(controls), 15)
        for node in controls:
            self.assertTrue(node.get("name", {}).get("value"), node)

    def test_contrast(self):
        for scheme in ("light", "dark"):
            self.browser.media(prefers_color_scheme=scheme)
            for mode in ("steady", "year", "pair", "lives"):
                self.choose("mode", mode)
                self.play_years() if mode == "lives" else self.js("goTo(250)")
                self.assertEqual(self.js(CONTRAST), [], scheme)

    def test_plays_with_the_space_bar_and_speaks_rarely(self):
        self.js("window.spoken = 0; new MutationObserver(() => spoken++).observe(byId('live'), {childList: true}); byId('play').focus()")
        self.browser.press(" ", code="Space", text=" ", virtual=32)
        self.browser.wait("state.day >= 20")
        self.assertEqual(self.text("play"), "Pause")
        self.assertLessEqual(self.js("spoken"), 2)
        self.browser.press(" ", code="Space", text=" ", virtual=32)
        day = self.js("state.day")
        time.sleep(0.4)
        self.assertEqual(self.js("state.day"), day)
        self.assertIn(f"Day {day}.", self.text("live"))
        self.assertIn("verlap", self.text("live"))
        self.js("byId('step').click()")
        self.assertEqual(self.js("state.day"), day + 1)
        self.js("byId('speed').value = 30; byId('play').click()")
        self.browser.wait("state.day === lastDay() && !state.playing", 30)
        self.assertNotEqual(self.js("byId('overlap').textContent"), "")

    def test_calm_for_those_who_ask(self):
        self.browser.media(prefers_reduced_motion="reduce")
        self.js("window.moves = 0; window.was = 0; (function look() { if (state.day !== was) { moves++; was = state.day; } requestAnimationFrame(look); })(); byId('play').click()")
        time.sleep(2.5)
        self.assertLessEqual(self.js("moves"), 3)
        self.assertGreaterEqual(self.js("moves"), 1)

    def test_guess(self):
        truth = self.js("firstDay(state.runs[0], (d) => state.runs[0].count(d, LARVA, 2) > 0)")
        self.assertGreater(truth, 40)  # two times the way from egg to egg, which takes a month at the least (common practice)
        self.js(f"byId('guess').value = {truth - 10}; byId('guess').dispatchEvent(new Event('input')); goTo(150); byId('speed').value = 30; byId('lock').click()")
        self.assertTrue(self.js("state.day < 20 && byId('day').disabled"))  # what is to be guessed is covered up
        self.browser.wait("!state.playing")
        self.assertEqual(self.js("state.day"), truth)
        self.assertIn(f"day {truth}. Your guess was 10 days too early.", self.text("answer"))
        self.assertRegex(self.text("why"), r"The children hatched on day \d+")
        self.assertEqual(self.at(), "play")
        self.assertFalse(self.js("byId('day').disabled"))
        self.js("byId('canvas-0').dispatchEvent(new MouseEvent('click', {clientX: byId('canvas-0').getBoundingClientRect().right - 9}))")
        self.assertGreater(self.js("Number(byId('guess').value)"), 350)  # a finger on the time line guesses too

    def test_heater_on_and_off(self):
        self.choose("mode", "pair")
        self.js("goTo(364)")
        said = self.text("pair-table")
        kwh = [float(x.replace(",", "")) for x in re.findall(r"([\d,]+) kWh", said)]
        self.assertEqual(kwh[0], 0)
        self.assertGreater(kwh[1], 100)
        money = re.search(r"Cost of heat£([\d.]+)£([\d,.]+)Heat for each extra kg of harvest£([\d,.]+)T", said)
        self.assertEqual(float(money[1]), 0)
        self.assertAlmostEqual(float(money[2].replace(",", "")), 0.15 * kwh[1], delta=0.6)  # whole pounds
        more = self.js("sumTo(state.runs[1].value.HARVEST_KG, 364) - sumTo(state.runs[0].value.HARVEST_KG, 364)")
        self.assertAlmostEqual(float(money[3].replace(",", "")), 0.15 * kwh[1] / more, delta=0.6)
        self.assertTrue(self.js("byId('second').checkVisibility()"))
        self.assertEqual(self.js("[...state.runs[0].value.OUTDOOR_C].join() === [...state.runs[1].value.OUTDOOR_C].join()"), True)

    def test_price_of_a_kg_is_guessed_and_hidden_until_then(self):
        self.choose("mode", "pair")
        self.js("byId('question').value = 5; byId('question').dispatchEvent(new Event('change')); byId('lock').click()")
        self.assertNotIn("extra kg", self.text("pair-table"))
        self.js("goTo(364)")
        price = re.search(r"Each extra kg cost £([\d.]+) in heat\. You guessed £10\.", self.text("answer"))[1]
        self.assertIn("extra kg of harvest£" + price, self.text("pair-table"))
        self.assertRegex(self.text("why"), "Heat for £.* gave .* more harvest")

    def test_a_hundred_years_by_keyboard(self):
        """The guess comes first, the dots are on the first screen, and the focus is never lost."""
        self.choose("mode", "lives")
        self.js("window.scrollTo(0, 0); byId('lock').focus()")
        self.browser.press("Enter", text="\r", virtual=13)
        self.assertEqual(self.at(), "stop")
        self.browser.wait("state.lives.fact.length === 100 && !state.lives.lesson", 60)
        self.assertEqual(self.at(), "dots")
        self.js("window.scrollTo(0, 0)")
        foot = lambda name: self.js(f"byId('{name}').getBoundingClientRect().bottom")
        self.assertLessEqual(foot("dots"), max(self.size[1], 740) + 20)
        if self.size[0] < 900:
            self.assertLess(foot("guess-box"), self.js("byId('dots').getBoundingClientRect().top"))
        self.assertNotEqual(self.text("lives-why"), "")
        first = self.js("state.lives.chosen")
        self.browser.press("ArrowDown", virtual=40)
        self.assertNotEqual(self.js("state.lives.chosen"), first)
        self.assertTrue(self.js("byId(byId('dots').getAttribute('aria-activedescendant')).getAttribute('aria-selected') === 'true'"))
        self.browser.press("Enter", text="\r", virtual=13)
        self.assertEqual(self.at(), "play")
        self.browser.wait("state.day > 3")
        self.assertEqual(self.js("state.runs[0].fact.LAST_DAY"), self.js("state.lives.fact[state.life].LAST_DAY"))
        self.js("play(false); byId('leave').focus(); byId('leave').click()")
        self.assertEqual(self.at(), "dots")
        self.choose("order", "played")
        self.assertEqual(self.js("[...document.querySelectorAll('#dots [data-life]')].map((d) => Number(d.dataset.life)).join()"), ",".join(map(str, range(100))))

    def test_years_can_be_stopped(self):
        self.choose("mode", "lives")
        self.js("byId('lock').click()")
        self.browser.wait("state.lives.fact.length > 2")
        self.js("byId('stop').click()")
        n = self.js("state.lives.fact.length")
        self.assertLess(n, 100)
        self.assertIn(f"Stopped after {n} of 100 years", self.text("lives-answer"))
        self.assertEqual(self.at(), "lock")
        time.sleep(0.3)
        self.assertEqual(self.js("state.lives.fact.length"), n)
        self.js("byId('set-STARTER').value = 5000; byId('set-STARTER').dispatchEvent(new Event('input'))")
        self.assertEqual(self.js("state.lives"), None)  # dots of other settings go

    def test_stop_guessing_keeps_the_focus(self):
        self.js("byId('lock').click(); byId('drop').focus(); byId('drop').click()")
        self.assertEqual(self.at(), "lock")

    def test_a_line_is_drawn(self):
        self.choose("mode", "lives")
        self.js("byId('question').value = 7; byId('question').dispatchEvent(new Event('change'))")
        self.js("""[.2, .6, .9].forEach((x, i) => { const box = byId("share").getBoundingClientRect(), { frame } = shareFrame();
  byId("share").dispatchEvent(new PointerEvent("pointermove", { buttons: 1, clientX: box.left + frame.left + x * (frame.right - frame.left),
    clientY: box.top + frame.bottom - [1, .7, .4][i] * (frame.bottom - frame.top) })); })""")
        line = self.js("state.line")
        self.assertEqual(line, sorted(line, reverse=True))
        self.assertEqual((line[2], line[7], line[11]), (100, 70, 40))
        self.js("byId('guess').value = 12; byId('guess').dispatchEvent(new Event('input')); byId('level').value = 30; byId('level').dispatchEvent(new Event('input'))")
        self.assertEqual(self.js("state.line[12]"), 30)
        self.play_years()
        alive = self.js("LINE_DAYS.map((d) => state.lives.alive[d])")
        off = [abs(a - b) for a, b in zip(self.js("state.line"), alive, strict=True)]
        self.assertIn(f"Your line was {round(sum(off) / 13)} year", self.text("lives-answer"))
        self.assertIn(f"it was {alive[off.index(max(off))]}.", self.text("lives-answer"))

    def test_winter_is_seen(self):
        self.choose("mode", "lives")
        self.play_years()
        self.js("openLife(state.lives.chosen); play(false); goTo(300)")
        words = [word[0] for word in self.written()]
        for word in ("asleep", "awake", "freezing", "no growth" if self.size[0] < 900 else "no growth below 12 °C", f"still alive in {self.js('state.lives.alive[WINTER_TO]')}"):
            self.assertIn(word, words)
        self.choose("mode", "year")
        self.choose("view", "winter")
        self.assertIn("Still alive? Playing 100 years ...", [word[0] for word in self.written()])
        self.browser.wait("counting === null", 60)  # of another number of starters
        alive = self.js("shareAlive(settingsOf(0))[WINTER_TO]")
        self.js("goTo(300)")
        self.assertIn(f"still alive in {alive}", [word[0] for word in self.written()])

    def test_a_death_has_a_cause(self):
        self.js("byId('set-TEMP_C').value = 37; byId('set-TEMP_C').dispatchEvent(new Event('input'))")
        self.browser.wait("state.runs[0].total[364] === 0")
        self.js("goTo(364)")
        self.assertRegex(self.text("meaning"), r"The colony is dead\. Of the [\d,]+ that died, heat killed [\d,]+\.")

    def test_both_unit_systems(self):
        self.choose("units", "us")
        self.assertEqual(self.text("set-TEMP_C-out"), "82.4 °F")  # 28 degC
        self.assertEqual(self.text("set-FEED_KG-out"), "2.2 lb")  # 1 kg
        self.choose("units", "metric")
        self.assertEqual(self.text("set-TEMP_C-out"), "28.0 °C")

    def test_worksheet(self):
        self.js("window.print = () => { window.printed = true; }; byId('print').click()")
        self.assertTrue(self.js("printed"))
        self.browser.call("Emulation.setEmulatedMedia", media="print")
        self.assertTrue(self.js("document.querySelector('.worksheet').checkVisibility() && !document.querySelector('.main').checkVisibility()"))
        self.assertIn("28.0 °C; 5,000 eggs", self.text("sheet-settings"))
        self.assertIn("50 % of crawlers harvested; luck number 1.", self.text("sheet-settings"))
        for paper in PAPERS.values():
            with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
                file.write(self.browser.printed(*paper))
                file.flush()
                about = subprocess.run(["pdfinfo", file.name], capture_output=True, text=True, check=True).stdout
                self.assertRegex(about, r"Pages: +1\n")


class Phone(Page, unittest.TestCase):
    size = PHONE


class SmallPhone(Page, unittest.TestCase):
    size = SMALL_PHONE


class Projector(Page, unittest.TestCase):
    size = PROJECTOR

    def test_everything_of_the_day_on_one_screen(self):
        for mode in ("steady", "year", "pair"):
            self.choose("mode", mode)
            self.js("goTo(364)")
            self.assertLessEqual(self.js("document.querySelector('.now').getBoundingClientRect().bottom"), 720, mode)


if __name__ == "__main__":
    unittest.main()
