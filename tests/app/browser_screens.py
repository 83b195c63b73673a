# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""A keeper's year on the screens with long answers, in a headless Chromium with the size of a phone: forecast, compare,
size, cheapest, work, log. Every text on the page is compared with what the native program prints for the same plan.
Run by scripts/check; it needs the package chromium.

  PAGE=src/app/wintergrub.html WINTERGRUB=build/wintergrub python3 tests/app/browser_screens.py
"""

import json
import os
import re
import shlex
import subprocess
import sys
import tempfile
import unittest

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(HERE, "..", "support"))
from chromium import CONTRAST, PAPERS, PHONE, PROJECTOR, Browser

PAGE = os.environ["PAGE"]
WINTERGRUB = os.path.abspath(os.environ["WINTERGRUB"])
SHOTS = os.environ.get("SHOTS")  # a folder for pictures to look at
SCENARIOS = os.path.join(HERE, "..", "..", "scenarios")
YEARS = 24

# A name that a careless page would run or show as markup.
TITLE = "Crow Lane <img src=x onerror=window.broken=1> & sons"


def plan_text(name, years=YEARS, change=lambda text: text):
    with open(os.path.join(SCENARIOS, name), encoding="utf-8") as file:
        text = change(file.read())
    return re.sub(r"^forecast:.*$", f"forecast: {{replicates: {years}, seed: 7}}", text, flags=re.M)


def only_the_heater_open(text):
    """Leaves of cheapest-winter.yaml one value open, with two levels, so that the search is short."""
    for before, after in [("choose:\n  wake: {now: 03-15, try: [04-15, 05-15]}\n", ""), ("from: wake", "from: 03-15"), ("{now: 09-30, try: [08-31]}", "09-30"),
                          ("{now: R-11, try: [R-25]}", "R-11"), ("45 to 75 degF by 5, or: off", "[45 degF]"),
                          ("{now: never, try: [2027-03-15, 2027-04-15, 2027-05-01]}", "2027-04-15")]:  # fmt: skip
        assert before in text, before
        text = text.replace(before, after)
    return text


def native(text, *words, files=None, statuses=(0, 1, 6)):
    """What the program prints for the plan; `files` are put beside it."""
    with tempfile.TemporaryDirectory() as folder:
        for name, content in {"plan.yaml": text, **(files or {})}.items():
            with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
                file.write(content)
        done = subprocess.run([WINTERGRUB, *words], cwd=folder, capture_output=True, text=True)
        if done.returncode not in statuses:
            raise AssertionError(f"{words}: {done.returncode}, {done.stderr}")
        made = {}
        for name in (name for name in os.listdir(folder) if name.endswith(".ics")):
            with open(os.path.join(folder, name), encoding="utf-8", newline="") as file:
                made[name] = file.read()
        return done.stdout, made


class Screens(unittest.TestCase):
    size, scheme = PHONE, "light"

    @classmethod
    def setUpClass(cls):
        cls.browser = Browser(patience=300)
        cls.addClassCleanup(cls.browser.close)
        cls.browser.size(*cls.size)

    def setUp(self):
        self.browser.complaints.clear()
        self.browser.media(prefers_color_scheme=self.scheme)
        self.js("location.protocol === 'file:' && sessionStorage.clear()")
        self.browser.open(PAGE)
        self.browser.wait("document.body.dataset.ready === 'yes'", 60)

    def tearDown(self):
        self.assertEqual(self.browser.complaints, [])
        self.assertFalse(self.js("!!window.broken"))

    def js(self, script):
        return self.browser.run(script)

    def open_plan(self, text, name="plan.yaml"):
        self.js(f"app.setPlan({{text: {json.dumps(text)}, name: {json.dumps(name)}, files: {{}}, answers: null, made: null}})")

    def go(self, screen):
        self.js(f"app.go('{screen}')")
        self.browser.wait(f"document.documentElement.dataset.screen === '{screen}'")

    def ask(self, screen, seconds=300):
        """Taps the button of the screen and waits for the answer."""
        self.js(f"document.querySelector('#screen-{screen} .asking button.main').click()")
        self.browser.wait("!asking.now", seconds)
        self.check_screen(screen)

    def printed(self, screen):
        return self.js(f"document.querySelector('#screen-{screen} .printed').textContent")

    def check_screen(self, screen):
        """No sideways scrolling, inline style, or doubled name; every text can be read."""
        self.assertLessEqual(self.js("document.documentElement.scrollWidth"), self.size[0])
        self.assertEqual(self.js(f"[...document.querySelectorAll('#screen-{screen} [style]')].map((e) => e.outerHTML.slice(0, 99))"), [])
        self.assertEqual(self.js("(() => { const ids = [...document.querySelectorAll('[id]')].map((e) => e.id); return ids.filter((id, i) => ids.indexOf(id) !== i); })()"), [])
        self.assertEqual(self.js(CONTRAST), [])
        if SHOTS:
            self.browser.picture(os.path.join(SHOTS, f"{screen}-{self.size[0]}.png"), whole=True)

    # ---- forecast ----

    def forecast(self, text, **more):
        self.open_plan(text, **more)
        self.go("forecast")
        self.ask("forecast")

    def test_forecast_is_the_native_one(self):
        text = plan_text("crow-lane-mat.yaml", change=lambda t: re.sub(r"^title:.*$", f"title: {json.dumps(TITLE)}", t, flags=re.M))
        self.js("app.guess = {alive: 70, plan: " + json.dumps(text) + "}")
        self.forecast(text)
        here, _ = native(text, "run", "plan.yaml", "-q", "-o", "out.h5")
        self.assertEqual(self.printed("forecast").rstrip(), here.rstrip())
        alive = self.js("app.forecast.forecast.survival.alive")
        self.assertEqual(self.js("[...document.querySelectorAll('#screen-forecast [data-year]')].filter((e) => e.title.endsWith('alive at the end')).length"), alive)
        self.assertEqual(self.js("document.querySelectorAll('#screen-forecast [data-year]').length"), YEARS)
        self.assertIn("Your guess: 70 of 100.", self.js("document.querySelector('#screen-forecast .out').textContent"))
        self.assertIn("Why it dies", self.js("document.querySelector('#screen-forecast .out').textContent"))

    def test_a_goal_in_the_keeper_s_units(self):
        self.forecast(plan_text("how-many-to-start.yaml", years=20))
        goals = self.js("[...document.querySelectorAll('#screen-forecast .goal')].map((e) => e.textContent).join(' ')")
        self.assertIn("1 lb (0.454 kg) a week", goals)
        self.assertNotIn("kg (1 lb)", goals)

    def test_a_life_plays_and_stops(self):
        self.browser.media(prefers_reduced_motion="reduce", prefers_color_scheme=self.scheme)
        self.forecast(plan_text("crow-lane-mat.yaml"))
        self.js("document.querySelector('#screen-forecast .dots-grid').focus()")
        self.browser.press("End", virtual=35)
        self.browser.press("Enter", virtual=13)
        self.browser.wait("!!document.querySelector('.life')")
        self.assertEqual(self.js("document.querySelector('.life button.main').textContent"), "Play")  # nothing moves by itself
        self.js("document.querySelector('.life button.main').click()")
        self.browser.wait("Number(document.querySelector('.life input').value) > 3")
        self.js("document.querySelector('.life button.main').click()")
        self.check_screen("forecast")

    def test_an_answer_says_when_the_plan_has_changed(self):
        text = plan_text("smallest.yaml")
        self.forecast(text)
        self.open_plan(text + "# other\n")
        self.assertIn("The plan has changed", self.js("document.querySelector('#screen-forecast .stale').textContent"))
        self.js("app.undo()")
        self.assertFalse(self.js("!!document.querySelector('#screen-forecast .stale')"))

    def test_a_plan_that_changes_while_it_is_played(self):
        """What comes then is shown as the answer of the plan before, and given to no other screen."""
        self.open_plan(plan_text("smallest.yaml", years=4000))
        self.go("forecast")
        self.js("document.querySelector('#screen-forecast .asking button.main').click()")
        self.browser.wait("document.querySelectorAll('#screen-forecast [data-year]').length >= 30", 60)
        self.js("app.setPlan({ text: app.plan.text + '# other\\n' })")
        self.browser.wait("!asking.now", 120)
        self.assertIn("The plan has changed", self.js("document.querySelector('#screen-forecast .stale').textContent"))
        self.assertIsNone(self.js("app.forecast"))
        self.go("work")
        self.assertEqual(self.js("document.querySelector('#screen-work .out').textContent"), "")
        self.js("app.undo()")
        self.assertTrue(self.js("app.forecast !== null"))  # it is the answer of this plan

    def test_what_is_typed_last_is_asked(self):
        """A goal that is changed right before the button is tapped counts; one with a mistake stays at its field, and out of the plan."""
        self.open_plan(plan_text("how-many-to-start.yaml"))
        self.go("size")
        self.browser.wait("document.querySelectorAll('#screen-size .goals input').length > 0")
        chance = "[...document.querySelectorAll('#screen-size .goals input')].find((e) => e.value === '80 %')"
        change = f"(() => {{ const e = {chance}; e.value = VALUE; e.dispatchEvent(new Event('change')); }})()"
        before = self.js("app.plan.text")
        self.js(change.replace("VALUE", "'often'"))
        self.browser.wait("[...document.querySelectorAll('#screen-size .goals .mistake')].some((e) => e.textContent)")
        self.assertEqual(self.js("app.plan.text"), before)
        self.js("document.querySelector('#screen-size .goals input[aria-invalid=true]').value = '80 %'")
        self.js("document.querySelector('#screen-size select[data-name=effort]').value = '1000'")
        self.js(change.replace("VALUE", "'70 %'") + "; document.querySelector('#screen-size .asking button.main').click()")
        self.browser.wait("!asking.now", 300)
        self.assertIn("70 %", self.js("app.plan.text"))
        self.assertFalse(self.js("!!document.querySelector('#screen-size .stale')"))
        self.assertIn("with a chance of 70 %", self.printed("size"))
        self.assertRegex(self.js("document.querySelector('#screen-size select').selectedOptions[0].textContent"), r"^Larvae to start with \(now ")

    def test_a_stopped_forecast_goes_on(self):
        text = plan_text("smallest.yaml", years=4000)
        self.open_plan(text)
        self.go("forecast")
        self.js("document.querySelector('#screen-forecast .asking button.main').click()")
        self.browser.wait("document.querySelectorAll('#screen-forecast [data-year]').length >= 40", 60)
        self.js("document.querySelector('#screen-forecast .running button').click()")
        self.browser.wait("!asking.now", 60)
        years = self.js("app.forecast.counts.years")
        self.assertTrue(20 <= years < 4000, years)
        here, _ = native(text, "run", "plan.yaml", "-q", "-o", "out.h5", "--replicates", str(years))
        self.assertEqual(self.printed("forecast").rstrip(), here.rstrip())
        self.assertRegex(self.js("document.querySelector('#screen-forecast .out').textContent"), r"Go on to 4,000 (futures|years)")

    def test_a_mistake_is_the_reader_s(self):
        self.open_plan(plan_text("smallest.yaml").replace("housing", "hosing"))
        self.go("forecast")
        self.js("document.querySelector('#screen-forecast .asking button.main').click()")
        self.browser.wait("!asking.now", 60)
        self.assertIn("hosing", self.js("document.querySelector('#screen-forecast .mistakes').textContent"))

    # ---- the other questions ----

    def test_comparison_is_the_native_one(self):
        text = plan_text("crow-lane-shed.yaml")
        self.open_plan(text)
        self.go("compare")
        key = "places.shed.heater.set_point"
        self.browser.wait(f"[...document.querySelectorAll('#screen-compare select')][0].querySelector('option[value=\"{key}\"]') !== null")
        self.js(f"(() => {{ const [select] = document.querySelectorAll('#screen-compare select'); select.value = '{key}'; select.dispatchEvent(new Event('change')); document.querySelector('#screen-compare input[type=text]').value = '65 degF'; }})()")
        self.ask("compare")
        for values, second, said in (("1,000", "", "Write numbers without commas"), (", ".join(map(str, range(50, 80))), "", '^"set point of the heater in shed" has more than 26'), ("65 degF", key, "Choose two different")):
            self.js(f"(() => {{ const screen = document.querySelector('#screen-compare'), [, select] = screen.querySelectorAll('select'), [one, two] = screen.querySelectorAll('input[type=text]'); one.value = {json.dumps(values)}; two.value = '70 degF'; select.value = {json.dumps(second)}; document.querySelector('#screen-compare .asking button.main').click(); }})()")
            self.browser.wait("!asking.now", 60)
            self.assertRegex(self.js("document.querySelector('#screen-compare .warning').textContent"), said)
        self.js("(() => { const screen = document.querySelector('#screen-compare'); screen.querySelectorAll('select')[1].value = ''; screen.querySelector('input[type=text]').value = '65 degF'; })()")
        self.ask("compare")
        now = self.js(f"app.checked().then((c) => c.keys.find((k) => k.path === '{key}').value)")
        here, _ = native(text, "compare", "plan.yaml", "--vary", f"{key}={now},65 degF", "-q")
        self.assertEqual(self.printed("compare").rstrip(), here.rstrip())

    def test_stopped_at_once(self):
        """A tap on Stop counts even if the engine has not begun."""
        self.open_plan(plan_text("crow-lane-shed.yaml", years=2000))
        self.go("compare")
        self.browser.wait("document.querySelector('#screen-compare select').options.length > 4")
        self.js("document.querySelector('#screen-compare input[type=text]').value = '65 degF'; document.querySelector('#screen-compare .asking button.main').click(); document.querySelector('#screen-compare .running button').click()")
        self.browser.wait("!asking.now", 20)
        self.assertEqual(self.js("document.querySelector('#screen-compare .warning').textContent"), "Stopped.")

    def test_plans_that_are_open(self):
        """Which of them is the current one does not matter for their comparison; a change of one does."""
        self.open_plan(plan_text("smallest.yaml", years=12))
        self.js("app.addPlan({ ...app.plan, name: 'copy.yaml', text: app.plan.text + '# copy\\n' })")
        self.go("compare")
        self.js("document.querySelector('#screen-compare input[value=plans]').click()")
        self.ask("compare")
        is_stale = "!!document.querySelector('#screen-compare .stale')"
        for at in (0, 1):
            self.js(f"app.choosePlan({at})")
            self.assertFalse(self.js(is_stale))
        self.js("app.setPlan({ text: app.plan.text + '# other\\n' }); app.choosePlan(0)")
        self.assertTrue(self.js(is_stale))
        self.js("document.querySelector('#screen-compare .tick input').click()")
        self.go("save")
        self.go("compare")
        self.assertEqual(self.js("[...document.querySelectorAll('#screen-compare .open-list, #screen-compare .tick input')].map((e) => e.checked).join()"), "false,true")

    def test_size_is_the_native_one(self):
        text = plan_text("how-many-to-start.yaml")
        self.open_plan(text)
        self.go("size")
        self.browser.wait("document.querySelector('#screen-size select').value === 'starter.1.count'")
        self.js("document.querySelector('#screen-size select[data-name=effort]').value = '1000'")
        self.ask("size")
        here, _ = native(text, "size", "plan.yaml", "--at-most", "1000", "-q")
        self.assertEqual(self.printed("size").rstrip(), here.rstrip())

    def test_two_numbers_are_the_native_ones(self):
        text = plan_text("how-many-to-start.yaml")
        self.open_plan(text)
        self.go("size")
        self.browser.wait("document.querySelector('#screen-size select').value === 'starter.1.count'")
        self.js("""(() => { const screen = document.querySelector('#screen-size'), second = screen.querySelector('select[data-name=second]');
          second.value = 'feeding.1.amount'; second.dispatchEvent(new Event('change')); screen.querySelector('select[data-name=effort]').value = '1000';
          for (const [name, values] of [["larvae to start with", "500, 4000"], ["kitchen scraps a day for trough", "1 lb, 3 lb"]])
            document.getElementById([...screen.querySelectorAll('label')].find((e) => e.textContent === "Values of " + name).htmlFor).value = values; })()""")
        self.ask("size")
        asked = ["--vary", "starter.1.count=500,4000", "--vary", "feeding.1.amount=1 lb,3 lb", "--at-most", "1000"]
        here, _ = native(text, "size", "plan.yaml", *asked, "-q")
        self.assertEqual(self.printed("size").rstrip(), here.rstrip())
        self.assertEqual(shlex.split(self.js("document.querySelector('#screen-size .command pre').textContent"))[3:], asked)
        # The picture, and the table for those who do not see it: headings name each cell.
        self.assertTrue(self.js("[...document.querySelectorAll('#screen-size .out figure svg')].some((e) => e.checkVisibility())"))
        rows = self.js("[...document.querySelectorAll('.pairs tbody tr')].map((row) => [row.querySelector('th').textContent, ...[...row.querySelectorAll('td b')].map((e) => e.textContent)].join(' '))")
        printed = [re.sub(r"[\[\]*+]", "", line).split() for line in here.splitlines() if re.match(r"(500|4,000) ", line)]
        self.assertEqual(rows, [" ".join(row) for row in printed])

    def test_cheapest_is_the_native_one(self):
        text = plan_text("cheapest-winter.yaml", change=only_the_heater_open)
        self.open_plan(text)
        self.go("cheapest")
        self.browser.wait("document.querySelectorAll('#screen-cheapest .open-list li').length === 1")
        self.js("document.querySelector('#screen-cheapest select[data-name=years]').value = '64'")
        self.ask("cheapest", 600)
        here, _ = native(text, "cheapest", "plan.yaml", "-q", "--replicates", "64")
        self.assertEqual(self.printed("cheapest").rstrip(), here.rstrip())
        self.js("document.querySelector('#screen-cheapest .out button.main').click()")
        self.browser.wait("document.documentElement.dataset.screen === 'forecast'")
        self.assertEqual(self.js("app.plans.length"), 2)
        self.assertIn("45 degF", self.js("app.plan.text"))

    def test_the_work_is_the_native_one(self):
        text = plan_text("hoop-house-two-bins.yaml")
        self.open_plan(text)
        self.go("work")
        self.ask("work")
        here, made = native(text, "run", "plan.yaml", "-q", "-o", "out.h5", "--calendar", "--ics", "work.ics")
        self.assertTrue(here.rstrip().endswith(self.js("app.forecast.calendar").rstrip()))
        self.assertEqual(self.js("app.forecast.ics"), made["work.ics"])
        pages = len(re.findall(rb"/Type\s*/Page[^s]", self.browser.printed(*PAPERS["letter"])))
        self.assertEqual(pages, 1)  # one sheet
        # A plan in pounds has them first, and every amount has its unit.
        amounts = self.js("[...document.querySelectorAll('#screen-work td')].filter((e) => e.querySelector('strong')).map((e) => [...e.querySelectorAll('strong, u, small')].map((part) => part.textContent))")
        self.assertGreater(len(amounts), 50)
        for first, *rest in amounts:
            self.assertRegex(first, r" (lb|oz)$")
            for part in rest:
                self.assertRegex(part, r"^\(.* (kg|g)\)$|^[\d.,]+ to [\d.,]+ (lb|oz)$|^, plan [\d.,]+ lb$")

    def test_a_log_tells_what_the_program_tells(self):
        text = plan_text("harrow-hill-outdoors.yaml")
        self.open_plan(text)
        self.go("log")
        self.browser.wait("document.querySelectorAll('#screen-log select option').length > 4")
        notes = [("2026-09-22", "crawl-off", "0.5 lb", "7"), ("2026-09-29", "bin temperature", "85 degF", ""), ("2026-10-04", "adults", "yes", "")]
        for date, what, value, days in notes:
            self.js(f"""(() => {{ const put = (label, value) => {{ const e = document.getElementById([...document.querySelectorAll('#screen-log label')].find((l) => l.textContent === label).htmlFor);
              e.value = value; e.dispatchEvent(new Event('change')); }};
              put('What', {json.dumps(what)}); put('Date', {json.dumps(date)}); put('Value', {json.dumps(value)}); put('Over how many days', {json.dumps(days)});
              document.querySelector('#screen-log form').requestSubmit(); }})()""")
        self.assertEqual(self.js("document.querySelectorAll('#screen-log tbody tr').length"), 3)
        self.assertEqual(self.js("[...document.querySelectorAll('#screen-log tbody button')].filter((e) => e.getBoundingClientRect().right > innerWidth).length"), 0)
        self.ask("log", 600)
        log = "date,what,value,where,days\n" + "".join(f"{d},{w},{v},{'trough' if w == 'bin temperature' else ''},{n + ' days' if n else ''}\n" for d, w, v, n in notes)
        here, _ = native(text, "fit", "plan.yaml", "my-log.csv", "-q", files={"my-log.csv": log})
        self.assertEqual(self.printed("log").rstrip(), here.rstrip())
        # Another note: the answer says that it does not know it. One fewer: the focus goes to the next.
        self.js("document.querySelectorAll('#screen-log tbody button')[1].focus(); document.querySelectorAll('#screen-log tbody button')[1].click()")
        self.assertIn("The notes have changed", self.js("document.querySelector('#screen-log .stale').textContent"))
        self.assertEqual(self.js("document.activeElement.getAttribute('aria-label')"), "Remove: 2026-10-04 adults")
        # A European table keeps its decimal commas; one without a heading is refused.
        drop = "(() => { const bag = new DataTransfer(), field = byId('log-file'); bag.items.add(new File([TEXT], 'x.csv')); field.files = bag.files; field.dispatchEvent(new Event('change')); })()"
        self.js(drop.replace("TEXT", json.dumps("Date;What;Value\n22.09.2026;crawl-off;0,25 kg\n")))
        self.browser.wait("app.log.name === 'x.csv'")
        saved = self.js("(() => { let saved = '', before = app.download; app.download = (name, text) => { saved = text; }; [...document.querySelectorAll('#screen-log button')].find((e) => e.textContent === 'Save the log').click(); app.download = before; return saved; })()")
        self.assertEqual(saved, "date;what;value;where;days\n22.09.2026;crawl-off;0,25 kg;;\n")
        self.js(drop.replace("TEXT", json.dumps("22.09.2026;crawl-off;0,25 kg\n")))
        self.browser.wait("byId('note').textContent.includes('must name the columns')")
        self.assertEqual(self.js("app.log.rows.length"), 1)


class DarkProjector(Screens):
    """The other size and the other colours; what is asked of the engine is the same."""

    size, scheme = PROJECTOR, "dark"
    test_an_answer_says_when_the_plan_has_changed = test_a_stopped_forecast_goes_on = test_a_mistake_is_the_reader_s = None
    test_size_is_the_native_one = test_two_numbers_are_the_native_ones = test_cheapest_is_the_native_one = test_a_log_tells_what_the_program_tells = None


if __name__ == "__main__":
    unittest.main()
