# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks results with other programs: h5py, xarray (netcdf4 and h5netcdf), ncdump, netCDF4, udunits.

Two files: one with numbers known in advance, written by tests/results/test_result.c, and one from the program itself.
"""

import ctypes
import ctypes.util
import hashlib
import os
import re
import subprocess
import tempfile
import unittest
import warnings

import h5py
import netCDF4
import numpy as np
import xarray as xr

BUILD = os.environ["BUILD"]
PROGRAM = os.environ["WINTERGRUB"]
DAYS, REPLICATES = 60, 25
SMALLEST = """
period: {from: 2026-01-01, to: 2026-12-31}
climate: {constant: 27 degC}
places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]
feeding: unlimited
species: {animals: middle}
forecast: {replicates: 12, seed: 1}
"""


def run(*command, **more):
    return subprocess.run(command, check=True, capture_output=True, text=True, **more).stdout


def hand_made(path):
    run(
        f"{BUILD}/tests/results/test_result",
        "--filter=result/writes_a_file_for_other_readers",
        env=dict(os.environ, WG_TEST_RESULT=path),
    )


def number(replicate, series, i):
    """The same as hand_made_number() in tests/results/hand_made.h."""
    return ((replicate + 1) * 7919 + series * 104729 + i * 31) % 1009


def rounded(values, bits=16):
    """Numbers of so many bits of the fraction, ties to even: by numpy's own rounding, not by masks."""
    fraction, exponent = np.frexp(values)
    return np.ldexp(np.rint(np.ldexp(fraction, bits + 1)), exponent - bits - 1)


def udunits_unit(unit, _library={}):
    """Reads a unit with udunits2, the library behind CF. Returns the library and the unit, None if it is none."""
    if not _library:
        lib = ctypes.CDLL(ctypes.util.find_library("udunits2") or "libudunits2.so.0")
        lib.ut_read_xml.restype = ctypes.c_void_p
        lib.ut_parse.restype = ctypes.c_void_p
        lib.ut_set_error_message_handler(lib.ut_ignore)  # its table prints warnings about redefined units
        lib.ut_parse.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int]
        _library.update(lib=lib, system=lib.ut_read_xml(None))
        lib.ut_are_convertible.argtypes = [ctypes.c_void_p, ctypes.c_void_p]
    return _library["lib"], _library["lib"].ut_parse(_library["system"], unit.encode(), 2)


def is_udunits_unit(unit):
    return bool(udunits_unit(unit)[1])


def are_convertible(unit, canonical):
    library, this = udunits_unit(unit)
    return bool(library.ut_are_convertible(this, udunits_unit(canonical)[1]))


def dimensions_of(variable):
    """Names of its dimensions; of a coordinate its own."""
    if h5py.h5ds.is_scale(variable.id):
        return [variable.name.split("/")[-1]]
    return [dim[0].name.split("/")[-1] for dim in variable.dims]


def variables_of(path):
    found = {}

    def collect(name, thing):
        has_no_values = isinstance(thing, h5py.Dataset) and thing.attrs.get("NAME", b"").startswith(b"This is a netCDF dimension but")
        if isinstance(thing, h5py.Dataset) and not has_no_values:
            found[name] = thing

    file = h5py.File(path, "r")
    file.visititems(collect)
    return file, found


# CF-1.10, appendix A: attribute, type (S: text, N: number, D: as the variable), where it may stand (G: file, C: coordinate,
# D: data). `calendar` also on data: the dates of outcomes need it (section 4.4).
ATTRIBUTES = {name: (kind, use) for name, kind, use in (line.split() for line in """
    actual_range N CD|add_offset N CD|ancillary_variables S D|axis S C|bounds S C|calendar S CD|cell_measures S D
    cell_methods S D|cf_role S C|climatology S C|comment S GCD|compress S C|computed_standard_name S C|Conventions S G
    coordinate_interpolation S D|coordinates S D|dimensions S D|external_variables S G|_FillValue D D|featureType S G
    flag_masks D D|flag_meanings S D|flag_values D D|formula_terms S C|geometry S D|grid_mapping S D|history S G
    institution S GD|leap_month N C|leap_year N C|long_name S CD|missing_value D D|month_lengths N C|positive S C
    references S GD|sample_dimension S C|scale_factor N CD|source S GD|standard_error_multiplier N D|standard_name S CD
    title S G|units S CD|units_metadata S CD|valid_max N CD|valid_min N CD|valid_range N CD""".replace("\n", "|").split("|") if line.strip())}
# appendix E
METHODS = set("""point sum maximum maximum_absolute_value median mid_range minimum minimum_absolute_value mean
    mean_absolute_value mean_of_upper_decile mode range root_mean_square standard_deviation sum_of_squares variance""".split())
# the table of standard names, version 79, with its canonical units
STANDARD_NAMES = {"air_temperature": "K", "soil_temperature": "K", "latitude": "degree_north", "realization": "1", "time": "s"}
COORDINATES = ("latitude",)  # of one value (section 5.7)
METHOD = re.compile(r"(\w+): (\w+)(?: \(([^)]*)\))?(?: |$)")
OF_NETCDF = {"CLASS", "NAME", "DIMENSION_LIST", "REFERENCE_LIST", "_Netcdf4Dimid", "_Netcdf4Coordinates"}


class Conventions:
    """Checks any file of the program, result or not, against the tables of CF-1.10."""

    path = None

    def test_attributes_are_those_of_the_table(self):
        file, found = variables_of(self.path)
        with file:
            for name in ("Conventions", "title", "source", "history", "references", "comment"):
                self.assertGreater(len(file.attrs[name]), 3, name)
            self.assertEqual(file.attrs["Conventions"], "CF-1.10")
            things = [("the file", file, "G")]
            things += [(name, thing, "C" if h5py.h5ds.is_scale(thing.id) else "D") for name, thing in found.items()]
            for name, thing, use in things:
                for attribute in set(thing.attrs) - OF_NETCDF:
                    kind, uses = ATTRIBUTES.get(attribute, (None, "GCD"))
                    where = f"{attribute} of {name}"
                    self.assertIn(use, uses, where)
                    self.assertTrue(attribute[0] == "_" or re.fullmatch("[A-Za-z][A-Za-z0-9_]*", attribute), where)  # section 2.3
                    if kind is not None:
                        self.assertEqual(isinstance(thing.attrs[attribute], str), kind == "S", where)

    def test_variables_follow_the_conventions(self):
        """Sections 2.2 (types), 2.3 (names), 2.5.1 (nothing missing in coordinates), 3.3, 4.4 (dates), 5 and 7.3 (cell methods)."""
        file, found = variables_of(self.path)
        with file:
            for name, thing in found.items():
                self.assertRegex(name.split("/")[-1], "^[A-Za-z][A-Za-z0-9_]*$")
                self.assertIn(thing.dtype.str[1:], ("f8", "i8", "u1", "O"), name)
                unit, standard_name = thing.attrs.get("units"), thing.attrs.get("standard_name")
                if standard_name is not None:
                    self.assertIn(standard_name, STANDARD_NAMES, name)
                    plain = unit.split(" since ")[0]
                    self.assertTrue(are_convertible(plain, STANDARD_NAMES[standard_name]), f"{name}: {unit}")
                if unit is not None:
                    self.assertEqual(" since " in unit, "calendar" in thing.attrs, name)
                if h5py.h5ds.is_scale(thing.id) and thing.dtype.kind != "O":
                    self.assertFalse(np.isnan(thing[()].astype(float)).any(), name)
                    self.assertTrue((np.diff(thing[()].astype(float)) > 0).all(), f"{name} increases")
                for other in thing.attrs.get("coordinates", "").split():
                    self.assertIn(other, found, name)
                    self.assertLessEqual(set(dimensions_of(found[other])), set(dimensions_of(thing)), f"{name}: {other}")
                methods = thing.attrs.get("cell_methods")
                if methods is not None:
                    self.assertEqual("".join(part.group(0) for part in METHOD.finditer(methods)), methods, name)
                    for part in METHOD.finditer(methods):
                        self.assertIn(part.group(1), {*dimensions_of(thing), *STANDARD_NAMES}, name)
                        self.assertIn(part.group(2), METHODS, name)
                        if ":" in (part.group(3) or ""):
                            self.assertRegex(part.group(3), r"^interval: \d+ \w+", name)

    def test_every_variable_has_a_long_name_and_a_unit(self):
        file, found = variables_of(self.path)
        with file:
            self.assertGreater(len(found), 20)
            for name, thing in found.items():
                self.assertIsInstance(thing.attrs["long_name"], str, name)
                self.assertGreater(len(thing.attrs["long_name"]), 2, name)
                if thing.dtype.kind == "O":
                    self.assertNotIn("units", thing.attrs, name)
                    continue
                unit = thing.attrs["units"]
                self.assertTrue(is_udunits_unit(unit), f"{name}: {unit}")

    def test_only_floating_point_variables_have_a_fill_value(self):
        file, found = variables_of(self.path)
        with file:
            for name, thing in found.items():
                real = thing.dtype.kind == "f"
                is_coordinate = h5py.h5ds.is_scale(thing.id) or name in COORDINATES
                self.assertEqual("_FillValue" in thing.attrs, real and not is_coordinate, name)
                if "_FillValue" in thing.attrs:
                    self.assertTrue(np.isnan(thing.attrs["_FillValue"]), name)
                    self.assertTrue(np.isnan(thing.fillvalue), name)

    def test_references_are_in_the_file(self):
        file, found = variables_of(self.path)
        with file:
            name = re.search(r"provenance/\w+", file.attrs["references"]).group()
            self.assertIn(name, found)
            self.assertTrue(all(len(text) > 3 for text in found[name][()]))

    def test_every_dimension_has_a_scale(self):
        file, found = variables_of(self.path)
        with file:
            for name, thing in found.items():
                if h5py.h5ds.is_scale(thing.id):
                    continue
                for i, dim in enumerate(thing.dims):
                    self.assertEqual(len(dim), 1, f"{name}, dimension {i}")
                    self.assertEqual(len(dim[0]), thing.shape[i], name)


class Readers(Conventions):
    """Checks any result."""

    def test_creation_order_is_tracked_and_times_are_not(self):
        with h5py.File(self.path, "r") as file:
            for group in (file, file["provenance"]):
                names = []  # fails unless the file tracks creation order
                group.id.links.iterate(names.append, idx_type=h5py.h5.INDEX_CRT_ORDER)
                self.assertEqual(len(names), len(group))
                self.assertNotEqual(names, sorted(names))
            for thing in (file["count"], file["time"], file["provenance/scenario"]):
                self.assertFalse(thing.id.get_create_plist().get_obj_track_times())
                self.assertNotEqual(thing.id.get_create_plist().get_attr_creation_order(), 0)

    def test_large_series_are_shuffled_and_deflated(self):
        with h5py.File(self.path, "r") as file:
            count = file["count"]
            self.assertEqual((count.compression, count.compression_opts, count.shuffle), ("gzip", 1, True))
            self.assertEqual(count.dtype, np.int64)

    def test_provenance_is_complete(self):
        with h5py.File(self.path, "r") as file:
            self.assertEqual(file.attrs["history"], f"{file['provenance'].attrs['started']}: {file['provenance'].attrs['command_line']}")
            note = file["provenance"].attrs
            for name in (
                "wintergrub_version command_line started compiler gsl_version hdf5_version libfyaml_version "
                "scenario_path species_numbers"
            ).split():
                self.assertIsInstance(note[name], str, name)
                self.assertGreater(len(note[name]), 0, name)
                self.assertNotEqual(note[name], "unknown", name)
            text = file["provenance/scenario"][()]
            self.assertEqual(hashlib.sha256(text).hexdigest(), note["scenario_sha256"])
            self.assertEqual(note["wintergrub_format"], 2)

    def test_every_species_parameter_has_a_source(self):
        with xr.open_dataset(self.path, group="provenance") as data:
            self.assertGreater(data.sizes["parameter"], 50)
            for name in "parameter parameter_unit parameter_source parameter_meaning".split():
                self.assertTrue(all(len(text) > 0 for text in data[name].values), name)
            self.assertTrue(np.all(np.isfinite(data.parameter_value.values)))

    def test_xarray_reads_it_with_both_engines(self):
        for engine in ("netcdf4", "h5netcdf"):
            with self.subTest(engine), warnings.catch_warnings():
                warnings.simplefilter("error")
                # of xarray before 2023.4, for every date that is missing
                warnings.filterwarnings("ignore", "invalid value encountered in cast", RuntimeWarning)
                with xr.open_dataset(self.path, engine=engine) as data:
                    self.assertEqual(data["count"].dims, ("replicate", "time", "stage"))
                    self.assertEqual(data["count_by_generation"].dims, ("time", "stage", "generation"))
                    self.assertEqual(data["survived"].dims, ("replicate",))
                    self.assertEqual(data["count"].dtype, np.int64)
                    self.assertEqual(data["bin_temperature"].dims, ("replicate", "time", "bin"))
                    self.assertEqual(data.time.dtype.kind, "M")
                    self.assertEqual(
                        list(data.stage.values),
                        ["egg", "larva", "prepupa", "dormant prepupa", "pupa", "adult female", "adult male"],
                    )
                    alive = data["count"].sel(stage="larva").isel(time=0, replicate=0).item()
                    self.assertGreaterEqual(alive, 0)
                    data.load()

    def test_days_follow_the_conventions(self):
        """CF-1.10: sections 4.4 (dates), 7.1 (bounds), 7.3 (cell methods)."""
        words = {"at the end of the day": "point", "mean ": "mean", "highest": "maximum", "lowest": "minimum", "largest": "maximum"}
        file, found = variables_of(self.path)
        with file:
            self.assertEqual(file["time"].attrs["bounds"], "time_bnds")
            days = file["time"][()]
            np.testing.assert_array_equal(file["time_bnds"][()], np.stack([days, days + 1], axis=1))
            self.assertEqual(file["replicate"].attrs["standard_name"], "realization")
            for name, thing in found.items():
                if thing.shape[:2] != (len(file["replicate"]), len(days)) or "cell_methods" not in thing.attrs:
                    continue
                method = METHOD.fullmatch(thing.attrs["cell_methods"]).group(2)
                text = thing.attrs["long_name"]
                expected = next((word for part, word in words.items() if text.startswith(part) or text.endswith(part)), "sum")
                if name not in ("count", "generations_at_once"):  # their long names say it in the middle
                    self.assertEqual(method, expected, f"{name}: {text}")
            series = [name for name, thing in found.items() if thing.shape[:2] == (len(file["replicate"]), len(days))]
            self.assertEqual([name for name in series if "cell_methods" not in found[name].attrs], [])
            outcomes = [name for name, thing in found.items() if str(thing.attrs.get("units", "")).startswith("days since")]
            self.assertIn("first_batch_50", outcomes)
            for name in outcomes:
                self.assertEqual(found[name].attrs["units"], file["time"].attrs["units"], name)
                self.assertEqual(found[name].attrs["calendar"], "proleptic_gregorian", name)

    def test_rounding_is_said(self):
        file, found = variables_of(self.path)
        with file:
            for name, thing in found.items():
                bits = thing.attrs.get("_QuantizeBitRoundNumberOfSignificantBits")
                if bits is None:
                    continue
                values = thing[()][np.isfinite(thing[()])]
                np.testing.assert_array_equal(values, rounded(values, int(bits)), err_msg=name)
                self.assertEqual(int(bits), 16, name)

    def test_ncdump_prints_everything(self):
        head = run("ncdump", "-h", self.path)
        for line in ("int64 count(replicate, time, stage)", "group: provenance", "string stage(stage)"):
            self.assertIn(line, head)
        self.assertNotIn("phony_dim", head)
        self.assertGreater(len(run("ncdump", self.path)), 10000)

    def test_h5dump_reads_it(self):
        self.assertIn('DATASET "count"', run("h5dump", "-H", self.path))
        self.assertGreater(len(run("h5dump", "-d", "/survived", self.path)), 100)

    def test_last_line_is_the_checksum_of_the_rest(self):
        with open(self.path, "rb") as file:
            data = file.read()
        digest = hashlib.sha256(data[:-83]).hexdigest()
        self.assertEqual(data[-83:], f"wintergrub sha256 {digest}\n".encode())

    def test_other_programs_may_add_variables(self):
        with tempfile.TemporaryDirectory() as folder:
            copy = f"{folder}/copy.h5"
            with open(self.path, "rb") as old, open(copy, "wb") as new:
                new.write(old.read())
            with netCDF4.Dataset(copy, "a") as data:
                mine = data.createVariable("mine", "f8", ("replicate",))
                mine[:] = 1.0
            with xr.open_dataset(copy) as data:
                self.assertEqual(float(data.mine.sum()), data.sizes["replicate"])
            # the checksum is wrong until the user appends a new line
            self.assertEqual(subprocess.run([PROGRAM, "rerun", copy], capture_output=True).returncode, 3)
            with open(copy, "rb") as file:
                digest = hashlib.sha256(file.read()).hexdigest()
            with open(copy, "ab") as file:
                file.write(f"wintergrub sha256 {digest}\n".encode())
            errors = subprocess.run([PROGRAM, "rerun", copy], capture_output=True, text=True).stderr
            self.assertNotIn("checksum", errors)
            self.assertNotIn("damaged", errors)


class HandMade(Readers, unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.path = f"{cls.folder.name}/hand-made.h5"
        hand_made(cls.path)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_every_value_is_in_its_place(self):
        width = {"stage": 7, "place": 2, "bin": 3, "cause": 7}
        series = 0
        with xr.open_dataset(self.path, decode_times=False) as data:
            for name in data.data_vars:
                if data[name].dims[:2] != ("replicate", "time"):
                    continue
                if name == "generations_at_once":  # derived from the living, not from number()
                    self.assertTrue((data[name].values >= 1).all())
                    series += 1
                    continue
                w = int(np.prod([width[d] for d in data[name].dims[2:]]))
                i = np.arange(DAYS * w)
                expected = np.array([number(k, series, i) for k in range(REPLICATES)])
                is_count = data[name].dtype == np.int64
                np.testing.assert_array_equal(
                    data[name].values.reshape(REPLICATES, -1), expected if is_count else rounded(expected / 7.0), err_msg=name
                )
                series += 1
        self.assertGreaterEqual(series, 29, "all series of the diary")

    def test_means_by_generation_are_sums_in_order(self):
        with xr.open_dataset(self.path) as data:
            shape = data["count_by_generation"].shape
            i = np.arange(np.prod(shape))
            total = np.zeros(len(i))
            for k in range(REPLICATES):
                total += number(k, 99, i)
            np.testing.assert_array_equal(data["count_by_generation"].values, (total / REPLICATES).reshape(shape))

    def test_outcomes_agree_with_the_series(self):
        with xr.open_dataset(self.path) as data:
            harvest = data["harvest_mass"].values
            np.testing.assert_allclose(data["total_harvest_mass"], harvest.sum(axis=1), rtol=2.0**-17)  # rounded, hand_made_number() > 0
            weeks = np.array([[row[d : d + 7].sum() for d in range(DAYS - 6)] for row in harvest])
            np.testing.assert_allclose(data["best_week_harvest"], weeks.max(axis=1), rtol=2.0**-17)
            np.testing.assert_array_equal(data["peak_larvae"], data["count"].sel(stage="larva").max("time"))
            self.assertTrue(np.all(np.isnan(data["spring_emergence_50"])), "no spring in sixty days of autumn")

    def test_names_and_texts_are_utf_8(self):
        with xr.open_dataset(self.path) as data:
            self.assertEqual(list(data.place.values), ["hoop house", "Küche"])
            self.assertEqual(list(data.bin_place.values), ["hoop house", "hoop house", "Küche"])
            self.assertEqual(str(data.time.values[0])[:10], "2026-09-15")
            self.assertEqual(str(data.time.values[-1])[:10], "2026-11-13")
        with h5py.File(self.path, "r") as file:
            self.assertEqual(file["provenance/scenario"].asstr()[()], "# zwei Plätze\ntitle: two places, three bins\n")
            note = file["provenance"].attrs
            record = file["provenance/weather_record"][:].tobytes()
            self.assertTrue(record.startswith(b"date,low,high\r\n"))
            self.assertEqual(hashlib.sha256(record).hexdigest(), note["weather_record_sha256"])
            self.assertEqual(int(note["seed"]), 18446744073709551557)


class ByTheProgram(Readers, unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        scenario, cls.path = f"{cls.folder.name}/bench.yaml", f"{cls.folder.name}/bench.h5"
        with open(scenario, "w", encoding="utf-8") as file:
            file.write(SMALLEST)
        run(PROGRAM, "run", scenario, "-o", cls.path, "--quiet")

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()


class Outdoors(Readers, unittest.TestCase):
    """The main scenario, with fewer replicates: one place, outdoors, one bin."""

    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.path = f"{cls.folder.name}/hill.h5"
        scenario = f"{os.environ['SRC']}/scenarios/harrow-hill-outdoors.yaml"
        run(PROGRAM, "run", scenario, "-o", cls.path, "--quiet", "--replicates", "8")

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_no_series_is_stored_twice(self):
        """Zeros do not count: they say of each what did not happen."""
        file, found = variables_of(self.path)
        with file:
            seen = {}
            for name, thing in found.items():
                if "cell_methods" in thing.attrs and np.any(thing[()]):
                    same = seen.setdefault(thing[()].tobytes(), name)
                    self.assertEqual(same, name, f"{name} repeats {same}")
            self.assertGreater(len(seen), 25)

    def test_the_air_is_the_outdoor_air(self):
        with xr.open_dataset(self.path) as data:
            self.assertNotIn("air_temperature", data)
            self.assertIn("latitude", data["outdoor_temperature"].coords)
            self.assertIn("latitude", data["air_low"].coords)


BENCH = """
title: bench
period: {from: 2026-01-01, to: 2026-02-28}
climate: {constant: 27 degC}
places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: larva, age: 5 days, count: 500}]
feeding: [{in: tray, what: kitchen scraps, amount: 1 lb, every: 1 day}]
species: {animals: middle}
forecast: {replicates: 12, seed: 1}
goal: {survive: yes, chance: 50 %}
"""


class OtherFiles:
    """Checks a comparison or an answer."""

    command = None

    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        plausible = BENCH.replace("middle", "plausible")
        texts = {"a.yaml": BENCH, "b.yaml": BENCH.replace("500", "700"), "c.yaml": plausible, "log.csv": "date,what,value\n2026-02-10,adults,no\n"}
        for name, text in texts.items():
            with open(f"{cls.folder.name}/{name}", "w", encoding="utf-8") as file:
                file.write(text)
        cls.path = f"{cls.folder.name}/out.h5"
        run(PROGRAM, *cls.command.split(), "-o", "out.h5", cwd=cls.folder.name)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_xarray_and_ncdump_read_it(self):
        self.assertNotIn("phony_dim", run("ncdump", "-h", self.path))
        with xr.open_dataset(self.path) as data:
            self.assertIn(self.command, data.attrs["history"])
            data.load()


class Comparison(OtherFiles, Conventions, unittest.TestCase):
    command = "compare a.yaml b.yaml"

    def test_comment_and_labels(self):
        with xr.open_dataset(self.path) as data:
            self.assertRegex(data.attrs["comment"], r'^A: The bin "tray" is .*\n(.*\n)?B: The bin "tray" is ')
            self.assertIn("scenario_title", data["total_crawl_off_mass"].coords)
            self.assertEqual(data["first_adult_day"].dtype.kind, "M")


class Size(OtherFiles, Conventions, unittest.TestCase):
    command = "size b.yaml --at-most 1000"


class Grid(OtherFiles, Conventions, unittest.TestCase):
    command = "size b.yaml --vary starter.1.count=300,700 --vary starter.1.on=2026-01-01,2026-01-05"


class WhatMatters(OtherFiles, Conventions, unittest.TestCase):
    command = "run c.yaml --what-matters --at-most 2000"


class Fit(OtherFiles, Conventions, unittest.TestCase):
    command = "fit a.yaml log.csv --draws 100"

    def test_dates_name_their_first_day(self):
        with xr.open_dataset(self.path) as data:
            unit = data["outcome_unit"].values[list(data["outcome"].values).index("first_adult_day")]
            self.assertEqual(unit, "days since 2026-01-01 00:00:00")


if __name__ == "__main__":
    unittest.main()
