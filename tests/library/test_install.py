# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks `cmake --install`: C and C++ programs find the library, compile, link, run, and get the numbers of wintergrub."""

import json
import os
import re
import shutil
import subprocess
import tempfile
import unittest

import h5py
import numpy

SRC, BUILD, PROGRAM = (os.path.abspath(os.environ[name]) for name in ("SRC", "BUILD", "WINTERGRUB"))
HEADER = os.path.join(SRC, "include", "wintergrub", "wintergrub.h")
WARNINGS = ["-Wall", "-Wextra", "-Wpedantic", "-Werror"]

EXAMPLES = ("crawl_off_days", "write_result", "sweep_temperature")
# the plan of sweep_temperature.c, by hand
LABORATORY = """
period: {from: 2026-03-01, to: 2026-06-28}
climate: {constant: 27 degC}
places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]
starter: [{on: 2026-03-01, in: tray, stage: egg, count: 1000}]
feeding: [{in: tray, what: kitchen scraps, amount: 2 kg/week}]
forecast: {replicates: 64, seed: 1}
"""

CONSUMER = """
cmake_minimum_required(VERSION 3.20)
project(consumer LANGUAGES C)
find_package(wintergrub 0.2 REQUIRED COMPONENTS static)
add_executable(with_shared sample.c)
target_link_libraries(with_shared PRIVATE wintergrub::wintergrub)
add_executable(with_static sample.c)
target_link_libraries(with_static PRIVATE wintergrub::static)
add_subdirectory(${CMAKE_INSTALL_PREFIX}/share/doc/wintergrub/examples/library examples)
"""


def cache(name):
    """Returns a setting of the build under test."""
    with open(os.path.join(BUILD, "CMakeCache.txt"), encoding="utf-8") as file:
        return re.search(rf"^{name}:\w+=(.*)$", file.read(), re.M).group(1)


def run(*command, **options):
    done = subprocess.run(command, capture_output=True, text=True, check=False, **options)
    assert done.returncode == 0, f"{' '.join(command)}: {done.stdout}{done.stderr}"
    return done.stdout


def as_json(number):
    """Returns the number as --json has it: 12 digits, None if it is not finite."""
    value = float.fromhex(number)
    return float(f"{value:.12g}") if abs(value) < float("inf") else None


def text_of(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def sample():
    """Returns the program at the top of the header."""
    code = re.search(r"@code\n(.*?) \* @endcode", text_of(HEADER), re.S).group(1)
    return re.sub(r"^ \* ?", "", code, flags=re.M)


class Install(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.work = tempfile.mkdtemp(prefix="wintergrub-install-")
        cls.addClassCleanup(shutil.rmtree, cls.work)
        cls.prefix = os.path.join(cls.work, "prefix")
        run("cmake", "--install", BUILD, "--prefix", cls.prefix)
        cls.lib = os.path.join(cls.prefix, cache("CMAKE_INSTALL_LIBDIR"))
        cls.environment = {
            **os.environ,
            "PKG_CONFIG_PATH": os.path.join(cls.lib, "pkgconfig"),
            "LD_LIBRARY_PATH": cls.lib,
            "CMAKE_PREFIX_PATH": cls.prefix,
        }
        sanitize = cache("WINTERGRUB_SANITIZE")
        cls.sanitize = [f"-fsanitize={sanitize}"] if sanitize else []
        cls.cc = cache("CMAKE_C_COMPILER")
        cls.source = os.path.join(cls.work, "sample.c")
        with open(cls.source, "w", encoding="utf-8") as file:
            file.write(sample())

    def flags(self, *options):
        return run("pkg-config", *options, "wintergrub", env=self.environment).split()

    def compile(self, name, source, *options, compiler=None):
        path = os.path.join(self.work, name)
        run(compiler or self.cc, *WARNINGS, source, "-o", path, *self.sanitize, *options, env=self.environment)
        return path

    def check_sample(self, path):
        output = run(path, env=self.environment)
        self.assertRegex(output, r"\A(replicate [012]: first eggs on day \d+\n){3}crawl-off: \d+\.\d+ kg \(5 % to 95 %: .*\)\n\Z")
        return output

    def test_installed_files(self):
        found = {
            os.path.relpath(os.path.join(folder, name), self.prefix)
            for folder, _, names in os.walk(self.prefix)
            for name in names
        }
        lib = os.path.relpath(self.lib, self.prefix)
        for name in (
            "bin/wintergrub",
            "include/wintergrub/wintergrub.h",
            f"{lib}/libwintergrub.a",
            f"{lib}/libwintergrub.so",
            f"{lib}/libwintergrub.so.0",
            f"{lib}/pkgconfig/wintergrub.pc",
            f"{lib}/cmake/wintergrub/wintergrub-config.cmake",
            f"{lib}/cmake/wintergrub/wintergrub-config-version.cmake",
        ):
            self.assertIn(name, found)
        self.assertEqual([name for name in found if name.endswith(".h")], ["include/wintergrub/wintergrub.h"])
        for name in found:
            if name.endswith((".pc", ".cmake")):
                text = text_of(os.path.join(self.prefix, name))
                self.assertNotIn(SRC, text, name)
                self.assertNotIn(self.prefix, text, name)

    def files_of(self, component):
        prefix = os.path.join(self.work, component)
        run("cmake", "--install", BUILD, "--prefix", prefix, "--component", component)
        return {os.path.relpath(os.path.join(folder, name), prefix) for folder, _, names in os.walk(prefix) for name in names}

    def test_files_of_the_components(self):
        version = self.flags("--modversion")[0]
        library = sorted(os.path.basename(name) for name in self.files_of("library"))
        self.assertEqual(library, ["libwintergrub.so.0", f"libwintergrub.so.{version}"])
        found = self.files_of("runtime")
        doc = "share/doc/wintergrub"
        for name in (
            "bin/wintergrub",
            "share/man/man1/wintergrub.1",
            "share/man/man5/wintergrub-plan.5",
            "share/man/man7/wintergrub-numbers.7",
            "share/bash-completion/completions/wintergrub",
            "share/zsh/site-functions/_wintergrub",
            "share/fish/vendor_completions.d/wintergrub.fish",
            f"{doc}/README.md",
            f"{doc}/LICENSE",
            f"{doc}/notices.txt",
            f"{doc}/examples/harrow-hill-outdoors.yaml",
            f"{doc}/examples/weather/seattle_daily.csv",
            f"{doc}/examples/plot_result.py",
        ):
            self.assertIn(name, found)
        self.assertEqual([name for name in found if re.search(r"\.(h|a|so|pc|cmake)$", name)], [])
        links = set(re.findall(r"\]\((?!http)([^)#]+)", text_of(os.path.join(SRC, "README.md"))))
        links.remove("include/wintergrub/wintergrub.h")  # of the component dev
        self.assertGreater(len(links), 10)
        self.assertEqual({link for link in links if f"{doc}/{link}" not in found}, set(), "links of the README")
        # each command has its page
        commands = re.findall(r"^  wintergrub (\w+) ", run(os.path.join(BUILD, "wintergrub"), "help"), re.M)
        pages = {f"share/man/man1/wintergrub-{name}.1" for name in commands if name != "help"}
        self.assertEqual(pages, {name for name in found if "/man1/wintergrub-" in name})
        self.assertGreater(len(pages), 10)

    def test_the_shared_library_exports_the_header_and_nothing_else(self):
        declared = set(re.findall(r"^WINTERGRUB_API[^;(]*?\b(wintergrub_\w+)\(", text_of(HEADER), re.M))
        self.assertEqual(text_of(HEADER).count("\nWINTERGRUB_API"), len(declared))
        exported = run("nm", "-D", "--defined-only", os.path.join(self.lib, "libwintergrub.so")).split("\n")
        names = {line.split()[2].split("@")[0] for line in exported if line and line.split()[1] != "A"}
        self.assertEqual({name for name in names if not name.startswith("__")}, declared)
        # no name in the static library lacks the prefix wg_ or wintergrub_
        inside = run("nm", "--defined-only", "--extern-only", os.path.join(self.lib, "libwintergrub.a")).split("\n")
        ours = {line.split()[2] for line in inside if re.match(r"[0-9a-f]+ [TDRB] ", line)}
        self.assertEqual({name for name in ours if not re.match("wg_|__", name)}, declared)

    def test_the_shared_library_needs_no_more_than_it_must(self):
        needed = run("readelf", "-d", os.path.join(self.lib, "libwintergrub.so"))
        self.assertIn("[libwintergrub.so.0]", needed)
        self.assertNotRegex(needed, "cairo|jansson|stdc")

    def test_the_sample_with_pkg_config(self):
        flags = self.flags("--cflags", "--libs")
        output = self.check_sample(self.compile("sample11", self.source, "-std=c11", *flags))
        self.assertEqual(output, self.check_sample(self.compile("sample17", self.source, "-std=c17", *flags)))
        static = [f"-l:lib{f[2:]}.a" if f == "-lwintergrub" else f for f in self.flags("--cflags", "--libs", "--static")]
        static += ["--coverage"] if cache("WINTERGRUB_COVERAGE") == "ON" else []
        self.assertEqual(output, self.check_sample(self.compile("sample_static", self.source, *static)))

    def test_the_sample_as_cplusplus(self):
        source = os.path.join(self.work, "sample.cc")
        shutil.copy(self.source, source)
        if self.sanitize:  # another compiler's sanitizer may have made the library
            run("g++", "-std=c++17", *WARNINGS, "-c", source, "-o", source + ".o", *self.flags("--cflags"))
            return
        self.check_sample(self.compile("sample_cc", source, "-std=c++17", *self.flags("--cflags", "--libs"), compiler="g++"))

    def test_the_sample_and_the_installed_examples_with_find_package(self):
        tree, build = os.path.join(self.work, "consumer"), os.path.join(self.work, "consumer-build")
        os.mkdir(tree)
        shutil.copy(self.source, tree)
        with open(os.path.join(tree, "CMakeLists.txt"), "w", encoding="utf-8") as file:
            file.write(CONSUMER)
        flags = " ".join(self.sanitize + (["--coverage"] if cache("WINTERGRUB_COVERAGE") == "ON" else []))
        run(
            "cmake", "-G", "Ninja", "-S", tree, "-B", build, f"-DCMAKE_C_COMPILER={self.cc}", f"-DCMAKE_C_FLAGS={flags}",
            f"-DCMAKE_INSTALL_PREFIX={self.prefix}", env=self.environment,
        )  # fmt: skip
        run("cmake", "--build", build, env=self.environment)
        self.assertEqual(self.check_sample(f"{build}/with_shared"), self.check_sample(f"{build}/with_static"))
        self.assertIn(" of 64\n", run(f"{build}/examples/crawl_off_days", env=self.environment))
        refused = text_of(os.path.join(tree, "CMakeLists.txt")).replace("wintergrub 0.2 ", "wintergrub 0.9 ")
        with open(os.path.join(tree, "CMakeLists.txt"), "w", encoding="utf-8") as file:
            file.write(refused)
        done = subprocess.run(["cmake", build], env=self.environment, capture_output=True, text=True, check=False)
        self.assertNotEqual(done.returncode, 0, "a different minor version has a different interface")

    def check_examples(self, folder):
        """Expects from the examples what the program prints."""
        days = re.findall(r"^day +(\d+): +(\d+) of 64$", run(f"{folder}/crawl_off_days", env=self.environment), re.M)
        self.assertEqual(sum(int(replicates) for _, replicates in days), 64)
        self.check_written_result(folder)
        rows = re.findall(r"^(\d+) degC +(\d+) +([\d.]+) .* (\d+)$", run(f"{folder}/sweep_temperature", env=self.environment), re.M)
        self.assertEqual([row[0] for row in rows], ["21", "24", "27", "30", "33"])
        self.assertEqual(self.sweep_of_the_program("27"), rows[2][1:])

    def check_written_result(self, folder):
        result = os.path.join(folder, "result.h5")
        plan = os.path.join(folder, "spring.yaml")
        with open(plan, "w", encoding="utf-8") as file:
            file.write(text_of(os.path.join(SRC, "scenarios", "smallest.yaml")).replace("2026-12-31", "2026-03-31"))
        output = run(f"{folder}/write_result", plan, result, env=self.environment)
        printed = json.loads(run(PROGRAM, "run", plan, "-o", result + "5", "--replicates", "64", "--json", "--quiet"))
        self.assertTrue(output.startswith(f"alive at the end in {printed['survival']['alive']} of 64 "), output)
        with h5py.File(result) as ours, h5py.File(result + "5") as theirs:
            larvae = ours["count"][:, :, 1]
            self.assertIsInstance(larvae, numpy.ndarray)
            numpy.testing.assert_array_equal(larvae, theirs["count"][:, :, 1])
        os.remove(result)
        os.remove(result + "5")

    def sweep_of_the_program(self, temperature):
        plan = os.path.join(self.work, "laboratory.yaml")
        with open(plan, "w", encoding="utf-8") as file:
            file.write(LABORATORY.replace("27", temperature))
        outcomes = json.loads(run(PROGRAM, "run", plan, "-o", plan + ".h5", "--json", "--quiet", "--force"))["outcomes"]
        batch, mass, alive = (outcomes[name] for name in ("first_batch_50", "total_crawl_off_mass", "survived"))
        return (f"{batch['q50']:.0f}", f"{mass['q50']:.2f}", f"{100 * alive['mean']:.0f}")

    def test_the_examples_with_pkg_config(self):
        folder = os.path.join(self.work, "examples")
        os.mkdir(folder)
        for name in EXAMPLES:
            source = os.path.join(SRC, "src", "library", "examples", f"{name}.c")
            self.assertLessEqual(text_of(source).count("\n"), 60, name)
            self.compile(f"examples/{name}", source, "-std=c17", "-Wconversion", *self.flags("--cflags", "--libs"))
        self.check_examples(folder)

    def test_numbers_equal_those_of_the_program(self):
        program = self.compile(
            "print_outcomes", os.path.join(SRC, "tests", "library", "print_outcomes.c"), *self.flags("--cflags", "--libs")
        )
        for name in ("smallest", "crow-lane-shed", "seattle-record"):
            with self.subTest(scenario=name):
                plan = os.path.join(SRC, "scenarios", f"{name}.yaml")
                own, other = (os.path.join(self.work, f"{name}-{which}.h5") for which in ("library", "program"))
                lines = [line.split("\t") for line in run(program, plan, own, env=self.environment).strip().split("\n")]
                printed = json.loads(run(PROGRAM, "run", plan, "-o", other, "--replicates", "8", "--json", "--quiet"))
                self.check_numbers(lines, printed)
                output = run(PROGRAM, "rerun", own, "--quiet")
                self.assertTrue(output.startswith("the same: all 8 replicates"), output)
                self.check_files(own, other)

    def check_numbers(self, lines, printed):
        *outcomes, odds = lines
        # the library has an outcome of money and of neighbours even where the plan has none
        self.assertEqual([line[0] for line in outcomes if line[0] in printed["outcomes"]], list(printed["outcomes"]))
        for name, unit, meaning, n, happened, *numbers in outcomes:
            if name not in printed["outcomes"]:
                continue
            expected = printed["outcomes"][name]
            self.assertEqual((unit, meaning, int(n), int(happened)), tuple(expected[k] for k in ("unit", "meaning", "of", "happened")))
            for key, number in zip(("mean", "q05", "q25", "q50", "q75", "q95"), numbers):
                self.assertEqual(as_json(number), expected[key], f"{name} {key}")
        survival = printed["survival"]
        self.assertEqual([int(odds[1]), int(odds[2])], [survival["alive"], survival["of"]])
        self.assertEqual([as_json(number) for number in odds[3:]], [survival[k] for k in ("share", "low", "high")])

    def check_files(self, own, other):
        """Expects equal bytes, except command line and start time."""
        with h5py.File(own) as a, h5py.File(other) as b:
            names = []
            a.visit(names.append)
            found = []
            b.visit(found.append)
            self.assertEqual(names, found)
            for name in names:
                if isinstance(a[name], h5py.Dataset) and a[name].shape is not None:
                    ours, theirs = a[name][()], b[name][()]
                    is_text = a[name].dtype.kind == "O"
                    self.assertTrue(is_text or ours.tobytes() == theirs.tobytes(), name)
                    self.assertTrue(not is_text or numpy.array_equal(ours, theirs), name)


if __name__ == "__main__":
    unittest.main()
