# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks forecasts of the Python module: the numbers are the program's, bit for bit; quantiles are numpy's, one interval is
Wilson's (1927); threads, Ctrl-C and files behave as promised.
"""

import json
import math
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
import unittest

import numpy
import xarray
from module import BENCH, MODULE, PROGRAM, SHARED, SRC, YARD, wintergrub

Plan = wintergrub.Plan
# of a file: not for Python (means by generation, goals of each replicate)
ONLY_IN_FILES = {"count_by_generation", "goal_met", "generation"}


def run_program(*words):
    return subprocess.run([PROGRAM, *words], check=True, capture_output=True, text=True).stdout


def rounded(values, bits=16):
    """Numbers of so many bits of the fraction, as a file keeps them."""
    fraction, exponent = numpy.frexp(values)
    return numpy.ldexp(numpy.rint(numpy.ldexp(fraction, bits + 1)), exponent - bits - 1)


def as_json(value):
    """The number as --json has it: 12 digits, None if it is not finite."""
    return float(f"{value:.12g}") if math.isfinite(value) else None


def write(path, text):
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
    return path


class Numbers(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        folder = tempfile.TemporaryDirectory()
        cls.addClassCleanup(folder.cleanup)
        cls.folder = folder.name
        cls.plan = Plan.from_text(YARD)
        cls.result = cls.path("program.h5")
        cls.printed = json.loads(run_program("run", write(cls.path("yard.yaml"), YARD), "-o", cls.result, "--json", "--quiet"))
        cls.forecast = cls.plan.run(series="all", path=cls.path("python.h5"), note="a test", threads=2)

    @classmethod
    def path(cls, name):
        return os.path.join(cls.folder, name)

    def test_numbers_are_those_of_the_program(self):
        printed = self.printed["outcomes"]
        self.assertEqual(list(self.forecast.outcomes), list(printed))
        for name, row in printed.items():
            spread = self.forecast.spread(name)
            self.assertEqual((spread.n, spread.happened), (row["of"], row["happened"]), name)
            for key in ("mean", "q05", "q25", "q50", "q75", "q95"):
                self.assertEqual(as_json(getattr(spread, key)), row[key], f"{name} {key}")
        survival = self.printed["survival"]
        odds = self.forecast.survival
        self.assertEqual([odds.hits, odds.n], [survival["alive"], survival["of"]])
        self.assertEqual([as_json(value) for value in odds[2:]], [survival[key] for key in ("share", "low", "high")])

    def test_the_dataset_is_that_of_the_file(self):
        ours = self.forecast.to_xarray()
        with wintergrub.open_result(self.result) as file:
            self.assertEqual(set(file.variables) - set(ours.variables), ONLY_IN_FILES & set(file.variables))
            self.assertEqual(set(ours.variables) - set(file.variables), set())
            for key in ("Conventions", "title", "source"):
                self.assertEqual(ours.attrs[key], file.attrs[key])
            for name, variable in ours.variables.items():
                self.check_variable(name, variable, file.variables[name])

    def test_the_latitude_is_a_coordinate_of_every_dataset(self):
        self.assertIn("latitude", self.plan.run(replicates=2, series=()).to_xarray().coords)

    def check_variable(self, name, ours, theirs):
        texts = ours.dtype.kind in "OU" and theirs.dtype.kind in "OU"  # versions of xarray differ
        self.assertEqual((ours.dims, ours.dtype), (theirs.dims, ours.dtype if texts else theirs.dtype), name)
        quantized = "_QuantizeBitRoundNumberOfSignificantBits"
        self.assertEqual(dict(ours.attrs), {key: value for key, value in theirs.attrs.items() if key not in (quantized, "crc32")}, name)
        for key in ("units", "calendar"):
            self.assertEqual(ours.encoding.get(key), theirs.encoding.get(key), f"{name} {key}")
        expected = rounded(ours.values) if quantized in theirs.attrs else ours.values
        numpy.testing.assert_array_equal(expected, theirs.values, err_msg=name)

    def test_the_result_is_that_of_the_program(self):
        self.assertEqual(wintergrub.same_results(self.result, self.path("python.h5"))[0], "same numbers")
        again = Plan.from_result(self.path("python.h5"))
        self.assertEqual((again.text, again.seed, again.replicates), (YARD, 11, 20))
        again.run(path=self.path("again.h5"), threads=1)
        self.assertEqual(wintergrub.same_results(self.path("python.h5"), self.path("again.h5")), ("same", ""))
        again.seed = 12
        again.run(path=self.path("again.h5"), replace=True)
        word, what = wintergrub.same_results(self.path("python.h5"), self.path("again.h5"))
        self.assertEqual(word, "different")
        self.assertNotEqual(what, "")

    def test_the_comparison_is_that_of_the_program(self):
        more = self.plan.vary("starter.1.count", 2500)
        comparison = wintergrub.compare({"A": self.plan, "B": more}, series=())
        two = write(self.path("more.yaml"), YARD.replace("count: 2000", "count: 2500"))
        printed = json.loads(run_program("compare", self.path("yard.yaml"), two, "--json", "--quiet"))
        found = printed["pairs"][0]["differences"]
        self.assertEqual(list(comparison.differences["B"]), list(found))
        for name, row in found.items():
            ours = comparison.differences["B"][name]
            keys = ("mean", "low", "high", "sd", "chance", "chance_low", "chance_high", "variance_factor")
            theirs = [row[{"chance": "chance_better"}.get(key, key)] for key in keys]
            self.assertEqual([as_json(getattr(ours, key)) for key in keys], theirs, name)
            self.assertEqual((ours.n, ours.better, ours.worse, ours.ties), (row["of"], row["times_better"], row["times_worse"], row["ties"]))
            self.assertEqual(ours.animals_better, row["animals"]["better"], name)
            self.assertEqual(ours.less_is_better, row["better"] == "less", name)
        self.assertIn("from A", comparison.table())
        found = comparison["B"].difference(comparison["A"], "total_crawl_off_mass")
        self.assertEqual(found, comparison.differences["B"]["total_crawl_off_mass"])
        with self.assertRaises(wintergrub.PlanError) as caught:
            wintergrub.compare([self.plan, Plan.from_text(BENCH)])
        self.assertIn("It cannot be compared with", str(caught.exception))
        self.assertRaises(wintergrub.UsageError, wintergrub.compare, [self.plan, self.plan])

    def test_warnings_are_those_of_the_program(self):
        path = os.path.join(SRC, "scenarios", "overfed.yaml")
        printed = json.loads(run_program("run", path, "-o", self.path("overfed.h5"), "--replicates", "8", "--json", "--quiet"))
        forecast = Plan.from_file(path, replicates=8).run()
        self.assertEqual(forecast.warnings, [warning["text"] for warning in printed["warnings"]])
        self.assertEqual(forecast.plan.cautions, printed["cautions"])
        self.assertTrue(forecast.warnings and forecast.plan.cautions)
        self.assertIn("Warning: " + forecast.warnings[0], forecast.table())

    def test_a_table_for_people(self):
        table = self.forecast.table()
        self.assertIn(f"Alive at the end: {self.forecast.survival}, from 20 replicates", table)
        self.assertRegex(table, r"total_crawl_off_mass +[\d.]+ kg \([\d.]+ to [\d.]+ kg\)")
        self.assertRegex(table, r"first_batch_50 +2026-0\d-\d\d \(")
        self.assertIn("alive in", repr(self.forecast))


class Summary(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.plan = Plan.from_text(BENCH)
        cls.forecast = cls.plan.run(series=["count", "bin_temperature", "crawl_off_mass"])

    def test_shapes(self):
        self.assertEqual(self.forecast.series["count"].shape, (12, 90, 7))
        self.assertEqual(self.forecast.series["count"].dtype, numpy.int64)
        self.assertEqual(self.forecast.series["bin_temperature"].shape, (12, 90, 1))
        self.assertEqual(self.forecast.series["crawl_off_mass"].shape, (12, 90))
        self.assertTrue(numpy.all(self.forecast.series["count"][:, 0].sum(axis=1) <= 500))
        self.assertEqual(len(set(self.forecast.animal)), 12)
        self.assertEqual(list(self.forecast.winter), list(range(12)))
        self.assertFalse(self.forecast.outcomes["survived"].flags.writeable)

    def test_statistics_are_those_of_numpy(self):
        values = self.forecast.outcomes["total_crawl_off_mass"]
        spread = self.forecast.spread("total_crawl_off_mass")
        quantiles = numpy.quantile(values, [0.05, 0.25, 0.5, 0.75, 0.95])  # linear: type 7 of Hyndman and Fan
        numpy.testing.assert_allclose(spread[3:], quantiles, rtol=1e-12)  # rounding of an interpolation
        self.assertAlmostEqual(spread.mean, values.mean(), delta=1e-12 * values.mean())
        daily = self.forecast.series["crawl_off_mass"].sum(axis=1)
        numpy.testing.assert_allclose(daily, values, rtol=1e-12)

    def test_odds(self):
        z2 = 1.959963984540054**2  # the normal quantile at 97.5 %, squared
        odds = self.forecast.survival
        self.assertEqual(odds[:3], (12, 12, 1.0))
        self.assertAlmostEqual(odds.low, 12 / (12 + z2), places=12)
        self.assertEqual(str(odds), f"100 of 100 ({100 * 12 / (12 + z2):.0f} to 100)")
        most = self.forecast.outcomes["peak_larvae"].max()
        self.assertEqual(self.forecast.share("peak_larvae", most, most).hits, 1)
        self.assertEqual(self.forecast.share("spring_emergence_50").hits, 0)
        self.assertEqual([goal.met.hits for goal in self.forecast.goals][0], 12)
        for call in (self.forecast.spread, self.forecast.share):
            self.assertRaises(wintergrub.UsageError, call, "nothing")
        self.assertRaises(wintergrub.UsageError, self.plan.run, series=["nothing"])

    def test_other_replicates_leave_the_plan_alone(self):
        forecast = self.plan.run(replicates=3, seed=9)
        self.assertEqual((forecast.replicates, forecast.plan.seed), (3, 9))
        self.assertEqual((self.plan.replicates, self.plan.seed), (12, 7))
        same = self.plan.run(replicates=3).series["count"]
        numpy.testing.assert_array_equal(same, self.forecast.series["count"][:3])

    def test_plots(self):
        import matplotlib

        matplotlib.use("Agg")
        axes = self.forecast.plot()
        self.assertEqual(axes.get_ylabel(), "count, larva")
        numpy.testing.assert_array_equal(axes.lines[0].get_ydata(), numpy.median(self.forecast.series["count"][:, :, 1], axis=0))
        self.assertEqual(self.forecast.plot("crawl_off_mass", axes=axes).get_ylabel(), "crawl_off_mass, kg")
        self.assertRaises(wintergrub.UsageError, self.forecast.plot, "deaths")
        self.assertRaises(wintergrub.UsageError, self.forecast.plot, "count", "fish")
        comparison = wintergrub.compare({"a": self.plan, "b": self.plan.vary("starter.1.count", 600)}, replicates=4)
        axes = comparison.plot("total_crawl_off_mass")
        self.assertIn("alive in", axes.get_yticklabels()[1].get_text())


class Stopping(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = folder.name
        self.plan = Plan.from_text(BENCH)

    def path(self, name):
        return os.path.join(self.folder, name)

    def test_progress_and_stop(self):
        seen = []
        forecast = self.plan.run(progress=lambda done, of: seen.append((done, of)))
        self.assertEqual(seen, [(k + 1, 12) for k in range(12)])
        self.assertFalse(forecast.stopped)
        stopped = self.plan.run(progress=lambda done, of: done == 5, path=self.path("a.h5"))
        self.assertTrue(stopped.stopped)
        self.assertEqual((stopped.replicates, len(stopped.series["count"]), len(stopped.animal)), (5, 5, 5))
        numpy.testing.assert_array_equal(stopped.series["count"], forecast.series["count"][:5])
        self.assertEqual(os.listdir(self.folder), [])
        self.assertEqual(stopped.to_xarray().sizes["replicate"], 5)

    def test_an_event_of_another_thread_stops_the_run(self):
        event = threading.Event()
        threading.Timer(0.1, event.set).start()
        self.assertTrue(self.plan.run(replicates=100000, series=(), stop=event).stopped)

    def test_an_exception_in_progress_is_raised(self):
        def fail(done, of):
            raise ZeroDivisionError("of the caller")

        with self.assertRaises(ZeroDivisionError):
            self.plan.run(progress=fail, path=self.path("a.h5"))
        self.assertEqual(os.listdir(self.folder), [])
        self.assertFalse(self.plan.run().stopped, "the plan can be run again")

    def test_ctrl_c(self):
        script = (
            f"import ctypes, sys; ctypes.CDLL({SHARED!r}); sys.path.insert(0, {MODULE!r}); import wintergrub\n"
            f"plan = wintergrub.Plan.from_text({BENCH!r}, replicates=1000000)\n"
            f"plan.run(series=(), path={self.path('a.h5')!r}, progress=lambda done, of: done == 1 and print('on', flush=True))\n"
        )
        with subprocess.Popen([sys.executable, "-B", "-c", script], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as child:
            self.assertEqual(child.stdout.readline(), "on\n")
            child.send_signal(signal.SIGINT)
            _, errors = child.communicate(timeout=60)
        self.assertIn("KeyboardInterrupt", errors)
        self.assertEqual(child.returncode, -signal.SIGINT)
        self.assertEqual(os.listdir(self.folder), [])

    def test_errors_of_files(self):
        path = write(self.path("a.h5"), "mine")
        with self.assertRaises(FileExistsError) as caught:
            self.plan.run(path=path)
        self.assertIsInstance(caught.exception, wintergrub.ExistsError)
        with open(path, encoding="utf-8") as file:
            self.assertEqual(file.read(), "mine")
        self.assertRaises(OSError, self.plan.run, path=self.path("missing/a.h5"))
        self.assertRaises(wintergrub.FormatError, wintergrub.open_result, path)
        self.assertRaises(OSError, wintergrub.open_result, self.path("b.h5"))
        self.assertRaises(wintergrub.FormatError, Plan.from_result, path)
        endless = Plan.from_text(BENCH.replace("to: 2026-03-31}", "to: 2035-12-31}", 1), replicates=2)
        self.assertRaises(wintergrub.OvergrownError, endless.run)


class Threads(unittest.TestCase):
    def test_other_threads_run_during_a_replicate(self):
        """The first replicate of ten years takes long; only a thread that does not wait for it counts."""
        plan = Plan.from_text(YARD.replace("to: 2026-09-30}", "to: 2036-09-30}", 1), replicates=1)
        ticks, done = [], threading.Event()

        def tick():
            while not done.is_set():
                ticks.append(time.monotonic())
                time.sleep(0.0005)

        thread = threading.Thread(target=tick)
        thread.start()
        began = time.monotonic()
        first = []
        plan.run(threads=1, series=(), progress=lambda *_: first.append(time.monotonic()) and None)
        done.set()
        thread.join()
        self.assertGreater(sum(began < at < first[0] for at in ticks), 3)

    def test_one_plan_in_several_threads(self):
        plan, found = Plan.from_text(BENCH), [None] * 4

        def simulate(i):
            found[i] = plan.run(threads=1 + i % 2).series["count"]

        threads = [threading.Thread(target=simulate, args=(i,)) for i in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        for counts in found[1:]:
            numpy.testing.assert_array_equal(counts, found[0])


if __name__ == "__main__":
    unittest.main()
