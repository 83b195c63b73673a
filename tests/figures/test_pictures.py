# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks figures against the result file.

Parses the program's SVG with Python's XML parser, recomputes the numbers in its <metadata> with h5py and numpy
(quantiles of type 7, numpy's default), and parses the page of a report with Python's HTML parser.
"""

import csv
import ctypes
import hashlib
import html.parser
import io
import os
import pathlib
import re
import subprocess
import tempfile
import xml.etree.ElementTree

import h5py
import numpy

WINTERGRUB = os.path.abspath(os.environ["WINTERGRUB"])
SVG = "{http://www.w3.org/2000/svg}"
SCENARIO = """\
title: 'Tub & <b>"barrel"</b> — Küche'
period: {from: 2026-04-01, to: 2027-08-10}
climate:
  latitude: 32.4 degrees
  normals:
    unit: degF
    daily_high: [58, 62, 69, 77, 84, 91, 93, 92, 87, 78, 68, 60]
    daily_low: [36, 39, 46, 54, 62, 70, 72, 71, 65, 54, 45, 38]
places:
  - name: 'yard, <north> & "south"'
    housing: outdoors
    bins: [{name: tub}]
  - name: shed
    housing: {kind: shed, floor: 6 m2, lamps: 12 hours}
    heater: {set_point: 70 degF, power: 3 kW, price: 0.15 per kWh}
    bins: [{name: a}, {name: b}, {name: c}, {name: d, mat: {power: 60 W, set_point: 80 degF}}, {name: e, mat: {power: 90 W, set_point: 88 degF}}]
starter:
  - {on: 2026-04-01, in: tub, stage: larva, age: 5 days, count: 5000}
  - {on: 2026-04-01, in: a, stage: larva, age: 5 days, count: 500}
feeding:
  - {in: tub, what: kitchen scraps, amount: 3 lb, every: 1 day}
  - {in: a, what: kitchen scraps, amount: 1 lb, every: 1 day}
keeping:
  - {do: collect crawl-off, in: tub, share: 50 %}
species: {animals: middle}
forecast: {replicates: 11, seed: 4}
"""


def run(*words, status=0, **surroundings):
    done = subprocess.run([WINTERGRUB, *words], capture_output=True, text=True, check=False, env=os.environ | surroundings)
    assert done.returncode == status, (words, done.returncode, done.stderr)
    return done


ROUNDED = 2.0**-16  # outcomes are exact, daily numbers have 16 bits of the fraction


def same(shown, wanted, what, rtol=1e-12):
    """Equal up to rounding: sums of doubles in a different order."""
    shown, wanted = numpy.asarray(shown), numpy.asarray(wanted)
    assert shown.shape == wanted.shape, (what, shown.shape, wanted.shape)
    assert numpy.allclose(shown, wanted, rtol=rtol, atol=1e-12, equal_nan=True), what


class Picture:
    """An SVG: its text and its table."""

    def __init__(self, path):
        root = xml.etree.ElementTree.parse(path).getroot()
        assert root.tag == SVG + "svg"
        self.title = root.find(SVG + "title").text
        self.description = root.find(SVG + "desc").text
        assert root.get("role") == "img"
        assert root.get("aria-labelledby") == root.find(SVG + "title").get("id")
        rows = list(csv.reader(io.StringIO(root.find(SVG + "metadata").text.strip() + "\n")))
        self.head = rows[0]
        self.rows = [row[0] for row in rows[1:]]
        self.columns = {
            name: numpy.array([float(row[i]) if row[i] else numpy.nan for row in rows[1:]])
            for i, name in enumerate(rows[0])
            if i > 0
        }
        assert all(len(row) == len(rows[0]) for row in rows)

    def bands(self, name, unit=""):
        return [self.columns[f"{name} {band}{unit}"] for band in ("5 %", "25 %", "median", "75 %", "95 %")]


def quantiles(values):
    return list(numpy.quantile(values, [0.05, 0.25, 0.5, 0.75, 0.95], axis=0))


def check_numbers(folder, file):
    count = file["count"][...].astype(float)
    days = count.shape[1]
    stages = Picture(folder / "stages.svg")
    assert stages.rows[0] == "2026-04-01" and stages.rows[-1] == "2027-08-10" and len(stages.rows) == days
    most = numpy.median(file["peak_larvae"][...])
    assert stages.title.startswith("Peak number of larvae: "), stages.title
    shown = float(stages.title.split(": ")[1].split(", about")[0].replace(",", ""))
    assert abs(shown / most - 1) < 0.01, ("as in the forecast", shown, most)
    same(stages.bands("larvae"), quantiles(count[:, :, 1]), "larvae")
    same(stages.bands("prepupae"), quantiles(count[:, :, 2]), "prepupae")
    same(stages.bands("dormant"), quantiles(count[:, :, 3]), "dormant")
    same(stages.bands("flies"), quantiles(count[:, :, 5] + count[:, :, 6]), "flies")

    stack = Picture(folder / "stack.svg")
    crawl_off = file["total_crawl_off_mass"][...]
    one = int(numpy.argmin(abs(crawl_off - numpy.median(crawl_off))))
    for i, stage in enumerate(file["stage"].asstr()[...]):
        same(stack.columns[f"{stage} mean"], count[:, :, i].mean(axis=0), stage)
        same(stack.columns[f"{stage} one replicate"], count[one, :, i], stage)

    generations = Picture(folder / "generations.svg")
    mean = file["count_by_generation"][:, 1:, :].sum(axis=1)
    same(generations.columns["generation 0 mean"], mean[:, 0], "generation 0")
    at_once = file["generations_at_once"][...]
    assert (at_once >= 1).all() and not (at_once == 1).all(), "days with one generation and days with more"
    same(generations.bands("generations at once"), quantiles(at_once), "generations at once")
    # The title has the median over replicates of the mean over the last year.
    same(file["overlap"][...], at_once[:, -365:].mean(axis=1), "overlap", ROUNDED)
    overlap = numpy.median(file["overlap"][...])
    assert f"overlap: {overlap:.1f} at a time" in generations.title, generations.title
    assert ("hardly" in generations.title) == (overlap < 1.2), (overlap, generations.title)

    weeks = Picture(folder / "crawl-off.svg")
    mass = file["crawl_off_mass"][...]
    sums = numpy.stack([mass[:, d : d + 7].sum(axis=1) for d in range(0, days, 7)], axis=1)
    same(weeks.bands("crawl-off", " [kg]"), quantiles(sums), "crawl-off")
    assert weeks.rows[1] == "2026-04-08"

    shed = Picture(folder / "temperatures-2.svg")
    same(shed.bands("a", " [degC]"), quantiles(file["bin_temperature"][:, :, 1]), "bin a")
    same(shed.bands("ground", " [degC]"), quantiles(file["ground_temperature"][:, :, 1]), "ground")
    same(shed.bands("heat bought", " [kW h]"), quantiles(file["heater_energy"][:, :, 1]), "heat")
    # Bins b and c, both empty, share a line; the fourth other one begins another figure.
    assert ">b (+1)</text>" in (folder / "temperatures-2.svg").read_text(encoding="utf-8")
    same(shed.bands("c", " [degC]"), quantiles(file["bin_temperature"][:, :, 3]), "bin c")
    same(shed.bands("d", " [degC]"), quantiles(file["bin_temperature"][:, :, 4]), "bin d")
    rest = Picture(folder / "temperatures-2-6.svg")
    same(rest.bands("e", " [degC]"), quantiles(file["bin_temperature"][:, :, 5]), "bin e")
    yard = Picture(folder / "temperatures-1.svg")
    assert 'yard, <north> & "south"'.capitalize()[:4] == yard.title[:4] and '<north> & "south"' in yard.title
    # The figure marks it with a dot: the line of daily medians is never as cold as the coldest day of a year.
    tub = file["bin_temperature"][:, :, 0]
    coldest, cold_days = numpy.median(tub.min(axis=1)), numpy.median((tub < 12).sum(axis=1))
    one = "year" if 360 <= days <= 370 else "future"
    said = f": in the middle {one} tub is too cold to grow on {cold_days:.0f} of {days} days and its coldest day has {coldest:.0f} °C"
    assert said in yard.title, (coldest, yard.title)
    rare = numpy.sort(tub.min(axis=1))[len(tub) // 20]
    extreme = f", in one {one} of 20 {rare:.0f} °C ("
    assert (extreme in yard.title) == (len(tub) >= 20), (rare, yard.title)
    assert round(coldest) < round(numpy.median(tub, axis=0).min())


def southern(scenario):
    """Returns the scenario in the south, six months later, until the winter is nearly over."""
    turned = re.sub(r"\[(\d+(?:, \d+){5}), (\d+(?:, \d+){5})\]", r"[\2, \1]", scenario)
    return turned.replace("32.4 degrees", "32.4 S").replace("2026-09-15", "2027-03-15").replace("2027-09-14", "2027-10-20")


def check_winter(folder, file, begins, opens, last):
    """Dormant and awake, the share of years alive and the temperatures from October to May."""
    winter = Picture(folder / "winter.svg")
    assert winter.rows[0] == opens and winter.rows[-1] == last, (winter.rows[0], winter.rows[-1])
    at = int((numpy.datetime64(opens) - numpy.datetime64(begins)).astype(int))
    days = slice(at, at + len(winter.rows))
    count = file["count"][:, days, :].astype(float)
    same(winter.bands("dormant"), quantiles(count[:, :, 3]), "dormant")
    same(winter.bands("awake"), quantiles(count.sum(axis=2) - count[:, :, 3]), "awake")
    alive = count.sum(axis=2) > 0
    same(winter.columns["alive [%]"], 100 * alive.mean(axis=0), "alive")
    assert f"alive in {alive[:, -1].sum()} of {len(alive)} " in winter.title, winter.title
    bins = file["bin_temperature"][:, days, :]
    if bins.shape[2] > 1:
        same(winter.bands("coldest bin", " [degC]"), quantiles(bins.min(axis=2)), "coldest bin")
        same(winter.bands("warmest bin", " [degC]"), quantiles(bins.max(axis=2)), "warmest bin")
    peak = numpy.median(count[:, :, 3].max(axis=1))
    shown = winter.title.split("dormant: ")[1].split(" at the peak")[0].replace(",", "") if peak >= 1 else "0"
    assert abs(float(shown) - peak) <= 0.005 * peak, (peak, winter.title)


def check_spring(folder, file, begins="2026-09-15", last=181, noun="years", places=slice(None)):
    """The share that has emerged, in the replicates that had a spring: 1 February to 31 July 2027."""
    half = file["spring_emergence_50"][...]
    assert not numpy.isnan(half).all()
    spring = Picture(folder / "spring.svg")
    first = numpy.datetime64(begins)
    opens = int((numpy.datetime64("2027-02-01") - first).astype(int))
    flies = file["spring_flies"][:, :, places].sum(axis=2)[~numpy.isnan(half)].astype(float)
    flies = flies[:, opens : opens + last]
    share = 100 * flies.cumsum(axis=1) / flies.sum(axis=1, keepdims=True)
    at = int((numpy.datetime64(spring.rows[0]) - first).astype(int)) - opens
    same(spring.bands("emerged", " [%]"), [q[at : at + len(spring.rows)] for q in quantiles(share)], "spring")
    with_spring = int((~numpy.isnan(half)).sum())
    # Half of the flies, in the median of the years with a spring.
    median = first + int(numpy.floor(numpy.nanmedian(half) + 0.5))
    day = f"{median.item().day} {median.item():%B %Y}"
    assert spring.title.startswith(f"Half of the spring flies are out by about {day} ("), (day, spring.title)
    # Years without a date: in some flies emerge all winter, in the others none has overwintered.
    spring_days = slice(opens, opens + last)
    emerges = file["spring_flies"][:, spring_days, :].sum(axis=(1, 2)) > 0
    all_winter, none = int((emerges & numpy.isnan(half)).sum()), int((~emerges).sum())
    assert with_spring + all_winter + none == len(half)
    why = {"flies emerge in winter too, so the spring flies have no date": all_winter, "no spring fly emerges": none}
    parts = [f"in {n}{{}} {words}" for words, n in why.items() if n > 0]
    said = "".join("; " + part.format(f" of {len(half)} {noun}" if i == 0 else "") for i, part in enumerate(parts))
    assert spring.title.endswith(said) and ("; " in spring.title) == bool(said), (said, spring.title)


def check_years(folder):
    """A ridge for each of many generations, to the last day; the note mentions days without a bar."""
    generations = Picture(folder / "generations.svg")
    shown = [int(name.split()[1]) for name in generations.head if name.startswith("generation ")]
    assert len(shown) > 14 and shown == list(range(len(shown))), shown
    assert generations.columns[f"generation {shown[-1]} mean"].argmax() > 0.9 * len(generations.rows)
    assert " The last 5 days have no bar." in Picture(folder / "crawl-off.svg").description


def check_single_replicate(folder):
    """A single replicate has neither a median nor a 90 % interval."""
    words = " ".join(Picture(folder / f"{name}.svg").title for name in ("stages", "stack", "crawl-off"))
    assert "half" not in words and "9 in 10" not in words and "mean" not in words, words
    assert " | 1 possible future, seed" in Picture(folder / "stack.svg").description
    notes = " ".join(Picture(folder / f"{name}.svg").description for name in ("stages", "crawl-off", "temperatures-1"))
    assert "band" not in notes and "9 in 10" not in notes and notes.count("the one possible future") == 3, notes


class Page(html.parser.HTMLParser):
    """A page with properly nested tags and no external resources."""

    empty = {"meta", "br", "path", "use", "circle"}

    def __init__(self):
        super().__init__()
        self.open, self.ids, self.wanted, self.text, self.tags = [], set(), set(), [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        assert tag not in {"script", "link", "iframe", "img", "object", "embed", "b", "north"}, tag
        for name, value in attrs:
            assert name not in {"src", "xlink:href"} and not name.startswith("on"), name
            if name == "href":
                assert value.startswith("#"), value
                self.wanted.add(value[1:])
            if name == "id":
                assert value not in self.ids, value
                self.ids.add(value)
        if tag not in self.empty:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)
        if tag not in self.empty:
            self.open.pop()

    def handle_endtag(self, tag):
        if tag not in self.empty:
            assert self.open.pop() == tag, tag

    def handle_data(self, data):
        self.text.append(data)


def check_report(path, figures):
    written = path.read_text(encoding="utf-8")
    assert "http://" not in written and "https://" not in written and "@import" not in written
    assert len(written) < 400_000, len(written)  # light for a phone: about 45 kB for each of these eight figures
    page = Page()
    page.feed(written)
    page.close()
    assert page.open == [] and page.wanted <= page.ids, page.wanted - page.ids
    text = "".join(page.text)
    for words in ('Tub & <b>"barrel"</b> — Küche', "Alive at the end in", "week from", "judgement", "SHA-256", "seed"):
        assert words in text, words
    dots = written.split('<div class="dots">')[1:]  # pictures of counts, beside the figures
    some, others = re.search(r"Alive at the end in (\d+) of (\d+) ", text).groups()
    shown = [group.count("<circle") for group in dots[0].split("</svg>")[0].split("</g>")[:2]]
    assert shown == [int(some), int(others) - int(some)], shown
    # one, in a wide and a narrow shape
    assert page.tags.count("svg") - len(dots) == 2 * figures == 2 * page.tags.count("figure")
    assert page.tags.count("use") > 5 * figures, "the narrow shape has the curves of the wide one"
    assert page.tags.count("figcaption") == figures and page.tags.count("title") == 1
    assert page.tags.count("details") >= figures


COLD = """\
title: {title}
period: {{from: 2026-11-15, to: 2026-11-30}}
climate: {{constant: 2 degC}}
places: [{{name: bench, housing: {{kind: laboratory}}, bins: [{{name: tray}}]}}]
starter: [{{on: 2026-11-15, in: tray, stage: egg, count: {count}}}]
feeding: unlimited
forecast: {{replicates: 3, seed: 1}}
"""


def check_comparison(desk):
    """Without any harvest no setup is the best; each row keeps its whole name."""
    beginning = "A tray whose long name says everything but what counts, with so many eggs: "
    for count in (10, 20):
        (desk / f"cold{count}.yaml").write_text(COLD.format(title="'" + beginning + f"{count}'", count=count), encoding="utf-8")
    run("compare", str(desk / "cold10.yaml"), str(desk / "cold20.yaml"), "-o", str(desk / "cold.h5"), "--quiet")
    run("figures", str(desk / "cold.h5"), "-o", str(desk / "cold"))
    cold = Picture(desk / "cold" / "comparison.svg")
    assert cold.title == "No colony lives and none has any crawl-off: no setup is worth its work", cold.title
    assert cold.rows == ["A " + beginning + "10", "B " + beginning + "20"], cold.rows


MANY = """\
title: Many animals
period: {from: 2026-05-01, to: 2026-06-14}
climate: {constant: 28 degC}
places: [{name: bench, housing: {kind: laboratory}, bins: [{name: tray}]}]
starter: [{on: 2026-05-01, in: tray, stage: larva, age: 5 days, count: 200}]
feeding: [{in: tray, what: kitchen scraps, amount: 100 g}]
forecast: {replicates: 300, seed: 1}
"""


def check_animals(desk):
    """The inner bands are those of the animals' own medians, here from four or five years each."""
    (desk / "many.yaml").write_text(MANY, encoding="utf-8")
    run("run", str(desk / "many.yaml"), "-o", str(desk / "many.h5"), "--quiet")
    run("figures", str(desk / "many.h5"), "-o", str(desk / "many"))
    stages, weeks = Picture(desk / "many" / "stages.svg"), Picture(desk / "many" / "crawl-off.svg")
    with h5py.File(desk / "many.h5") as file:
        animal = file["animal"][...]
        pupae = file["count"][:, :, 4].astype(float)
        mass = file["crawl_off_mass"][...]
    sums = numpy.stack([mass[:, d : d + 7].sum(axis=1) for d in range(0, mass.shape[1], 7)], axis=1)
    for picture, name, unit, values in ((stages, "pupae", "", pupae), (weeks, "crawl-off", " [kg]", sums)):
        medians = numpy.stack([numpy.median(values[animal == i], axis=0) for i in numpy.unique(animal)])
        assert len(medians) == 64
        for part, q in (("5 %", 0.05), ("95 %", 0.95)):
            same(picture.columns[f"{name} animals {part}{unit}"], numpy.quantile(medians, q, axis=0), name)
            same(picture.columns[f"{name} {part}{unit}"], numpy.quantile(values, q, axis=0), name)
        assert "which is what nobody knows about the animal" in picture.description


class Extents(ctypes.Structure):
    _fields_ = [(name, ctypes.c_double) for name in ("x", "y", "width", "height", "x_advance", "y_advance")]


def cairo():
    """Cairo as it measures the installed font, unhinted; its functions return pointers."""
    library = ctypes.CDLL("libcairo.so.2")
    for name in ("cairo_image_surface_create", "cairo_create", "cairo_font_options_create"):
        getattr(library, name).restype = ctypes.c_void_p
    surface = ctypes.c_void_p(library.cairo_image_surface_create(0, 9, 9))
    context, options = ctypes.c_void_p(library.cairo_create(surface)), ctypes.c_void_p(library.cairo_font_options_create())
    library.cairo_font_options_set_hint_style(options, 1)
    library.cairo_font_options_set_hint_metrics(options, 1)
    library.cairo_set_font_options(context, options)
    return library, context


def check_letters(folder):
    """The widths of text in the SVG, from the program's table, are those of the installed DejaVu Sans."""
    library, context = cairo()
    fitted = 0
    for path in folder.glob("*.svg"):
        for group in xml.etree.ElementTree.parse(path).getroot().iter(SVG + "g"):
            for text in group.findall(SVG + "text"):
                if text.get("textLength") is None:
                    continue
                extents = Extents()
                library.cairo_select_font_face(context, b"DejaVu Sans", 0, group.get("font-weight") == "bold")
                library.cairo_set_font_size(context, ctypes.c_double(float(group.get("font-size"))))
                library.cairo_text_extents(context, text.text.encode(), ctypes.byref(extents))
                assert abs(extents.x_advance - float(text.get("textLength"))) < 1, (text.text, extents.x_advance)
                fitted += 1
    assert fitted > 20, fitted


def hashes(folder):
    return {f.name: hashlib.sha256(f.read_bytes()).hexdigest() for f in sorted(folder.iterdir())}


def main():
    with tempfile.TemporaryDirectory() as name:
        desk = pathlib.Path(name)
        (desk / "tub.yaml").write_text(SCENARIO, encoding="utf-8")
        result = str(desk / "tub.h5")
        run("run", str(desk / "tub.yaml"), "-o", result, "--quiet")
        for folder in ("one", "two"):
            run("figures", result, "-o", str(desk / folder))
        assert hashes(desk / "one") == hashes(desk / "two"), "equal bytes"
        for file in (desk / "one").iterdir():
            head = file.read_bytes()[:5]
            assert head.startswith({".svg": b"<?xml", ".pdf": b"%PDF-", ".png": b"\x89PNG"}[file.suffix]), file
        check_letters(desk / "one")
        with h5py.File(result) as file:
            check_numbers(desk / "one", file)
            check_winter(desk / "one", file, "2026-04-01", "2026-10-01", "2027-05-31")
            check_spring(desk / "one", file, "2026-04-01", noun="futures", places=slice(0, 1))  # the shed is warm all winter
        run("report", result, "-o", str(desk / "a.html"))
        run("report", result, "-o", str(desk / "b.html"), FONTCONFIG_FILE=str(desk / "tub.yaml"))
        assert (desk / "a.html").read_bytes() == (desk / "b.html").read_bytes(), "also on a machine without fonts"
        check_report(desk / "a.html", len(hashes(desk / "one")) // 3)
        outdoors = os.path.join(os.environ["SRC"], "scenarios", "harrow-hill-outdoors.yaml")
        run("run", outdoors, "-o", result, "--quiet", "--force", "--replicates", "13")
        run("figures", result, "-o", str(desk / "outdoors"))
        with h5py.File(result) as file:
            check_spring(desk / "outdoors", file)
        note = Picture(desk / "outdoors" / "spring.svg").description
        assert "Counted until 31 July 2027." in note and "where the period ends" not in note, note
        until_june = pathlib.Path(outdoors).read_text(encoding="utf-8").replace("to: 2027-09-14", "to: 2027-06-30")
        (desk / "june.yaml").write_text(until_june, encoding="utf-8")
        run("run", str(desk / "june.yaml"), "-o", result, "--quiet", "--force", "--replicates", "13")
        run("figures", result, "-o", str(desk / "june"))
        with h5py.File(result) as file:
            check_spring(desk / "june", file, last=150, noun="futures")
            check_winter(desk / "june", file, "2026-09-15", "2026-10-01", "2027-05-31")
        assert "Counted until 30 June 2027" in (desk / "june" / "spring.svg").read_text(encoding="utf-8")
        (desk / "south.yaml").write_text(southern(pathlib.Path(outdoors).read_text(encoding="utf-8")), encoding="utf-8")
        run("run", str(desk / "south.yaml"), "-o", result, "--quiet", "--force", "--replicates", "3")
        run("figures", result, "-o", str(desk / "south"))
        with h5py.File(result) as file:
            check_winter(desk / "south", file, "2027-03-15", "2027-04-01", "2027-10-20")
        assert "On 20 October 2027, before the winter is over," in Picture(desk / "south" / "winter.svg").title
        with open(os.path.join(os.environ["SRC"], "scenarios", "bench-overlap.yaml"), encoding="utf-8") as file:
            bench = file.read()
        for folder, last, n in (("years", "2029-12-31", 2), ("alone", "2026-04-30", 1)):
            (desk / "bench.yaml").write_text(bench.replace("to: 2027-12-31", "to: " + last), encoding="utf-8")
            run("run", str(desk / "bench.yaml"), "-o", result, "--quiet", "--force", "--replicates", str(n))
            run("figures", result, "-o", str(desk / folder))
        check_years(desk / "years")
        assert not (desk / "years" / "winter.svg").exists(), "a laboratory has no winter"
        check_single_replicate(desk / "alone")
        check_animals(desk)
        check_comparison(desk)
    print("test_pictures.py: passed")


if __name__ == "__main__":
    main()
