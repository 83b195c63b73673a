# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The lines of truth_table.py, and how they run the program."""
import functools
import re
from dataclasses import dataclass

import numpy as np
from checking import SOURCE, laboratory, run, timetable

SETS = ("keepers", "laboratory")
NO_BIRTHS = "laying_share_lamps: 0, laying_share_sun: 0"
ALL = []

# ---- sources of the findings: author, title or journal, year, page ------------------------------------------------

SOURCES = {
    "Booth & Sheppard 1984": "Environ. Entomol. 13:421",
    "Broeckx et al. 2021": "Sustainability 13:12953",
    "chilled eggs": "The phases and effects of low temperature exposure on embryonic development in Hermetia illucens, "
    "J. Insects Food Feed",
    "Chia et al. 2018, PeerJ": "PeerJ 6:e5885 (PMC6272031)",
    "Chia et al. 2018, PLoS ONE": "PLoS ONE 13:e0206097",
    "Dickerson et al. 2024": "J. Econ. Entomol., doi:10.1093/jee/toae107",
    "Diener et al. 2009": "Waste Manag. Res. 27:603",
    "Dortmans et al. 2017": "Black Soldier Fly Biowaste Processing: A Step-by-Step Guide, Eawag",
    "Feedipedia": "Black soldier fly larvae (Hermetia illucens), feedipedia.org/node/16388",
    "food waste bins 2023": "Potential application of black soldier fly larva bins in treating food waste, Insects 14:434",
    "Gligorescu et al. 2019": "J. Appl. Entomol., pp. 875-881",
    "Harnden & Tomberlin 2016": "Forensic Sci. Int. 266:109",
    "Holmes et al. 2017": "Environ. Entomol. 46(6)",
    "Julita et al. 2020": "J. Entomol. 17:117",
    "Kobelski et al. 2024": "Front. Bioeng. Biotechnol. 12:1404776",
    "Lalander et al. 2019": "J. Clean. Prod. 208:211",
    "Lotka 1907": "Science 26:21",
    "McEachern 2018": "thesis, University of Kentucky",
    "melon waste": "Growth performance of black soldier fly fed oriental melon waste, J. Environ. Sci. Int.",
    "Opare et al. 2022": "J. Insects Food Feed 8:783",
    "Padmanabha et al. 2023": "Comput. Electron. Agric., arXiv:2212.10348",
    "Parodi et al. 2020": "Bioconversion efficiencies, greenhouse gas and ammonia emissions during black soldier fly rearing",
    "Samayoa et al. 2016": "J. Econ. Entomol. 109:2076",
    "Sheppard et al. 1994": "Bioresour. Technol. 50:275",
    "Spranghers et al. 2017": "J. Econ. Entomol. 110:1501",
    "Tomberlin & Sheppard 2001": "Fla. Entomol. 84:729",
    "Tomberlin & Sheppard 2002": "J. Entomol. Sci. 37:345",
    "Tomberlin et al. 2002": "Ann. Entomol. Soc. Am. 95:379",
    "Tomberlin et al. 2009": "Environ. Entomol. 38:930",
    "Villazana & Alyokhin 2019": "J. Econ. Entomol. 112:2632",
}


def references(source):
    """The entries of SOURCES named by a row's source."""
    return [name for name in SOURCES if name in source]


# ---- when a finding holds ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Window:
    """A finding holds from low to high, and is near from near_low to near_high. Values are rounded as printed."""

    low: float
    high: float
    near_low: float
    near_high: float
    unit: str = ""
    digits: int = 1

    def verdict(self, value):
        value = round(float(value), self.digits)
        if self.low <= value <= self.high:
            return "holds"
        return "near" if self.near_low <= value <= self.near_high else "does not hold"

    def __str__(self):
        def said(low, high):
            if np.isinf(low):
                return f"at most {high:g}{self.unit}"
            if np.isinf(high):
                return f"at least {low:g}{self.unit}"
            return f"{low:g} to {high:g}{self.unit}"

        near = (self.near_low, self.near_high)
        return said(self.low, self.high) + (f" (near: {said(*near)})" if near != (self.low, self.high) else "")


def window(low, high, near=0.0, unit="", digits=1):
    """`near`: the further tolerance below and above for "near"."""
    return Window(low, high, low - near, high + near, unit, digits)


class Said:
    """A finding that is a statement, not a number: true or false."""

    def __init__(self, text):
        self.text = text

    def verdict(self, value):
        return value if isinstance(value, str) else "holds" if value else "does not hold"

    def __str__(self):
        return self.text


WORST = ("holds", "near", "does not hold")


# ---- the rows: texts, windows and sources stand in findings.tsv ----------------------------------------------------


def read_findings():
    """{key: {column: cell}} of findings.tsv; "-" is an empty cell."""
    lines = (SOURCE / "tests/verify/findings.tsv").read_text(encoding="utf-8").splitlines()
    head, *cells = [line.split("\t") for line in lines if not line.startswith("#")]
    return {row[0]: dict(zip(head, ("" if cell == "-" else cell for cell in row), strict=True)) for row in cells}


FINDINGS = read_findings()


def tests_of(finding):
    """The windows of a finding: several are separated by " / ", and so may be their nearness, unit and digits."""
    if finding["window"].startswith("says "):
        return [Said(finding["window"].removeprefix("says "))]
    windows = finding["window"].split(" / ")
    near, unit, digits = (
        (cell.split(" / ") if cell.count(" / ") == len(windows) - 1 else [cell] * len(windows))
        for cell in (finding["near"], finding["unit"], finding["digits"])
    )
    ends = [[float(end) if end else sign * np.inf for end, sign in zip(text.split(".."), (-1, 1))] for text in windows]
    return [window(*e, float(n), u, int(d)) for e, n, u, d in zip(ends, near, unit, digits)]


class Row:
    """A finding beside what the two sets give. said: a text for each set; values: for each window a value for each set."""

    def __init__(self, key, said, *values, worked_out=False, published="", variant=""):
        finding = FINDINGS[key]
        self.key, self.worked_out = key, worked_out  # from the timetable or the numbers, in closed form; else simulated
        self.source, self.why = finding["source"], finding["why"]
        self.what, self.short = (", ".join(filter(None, (finding[name], finding[name] and variant))) for name in ("what", "short"))
        self.published = published or finding["published"]
        self.keepers, self.laboratory = (re.sub(r"(?<=\d)%", " %", text) for text in said)
        self.tests = tests_of(finding)
        self.verdicts = tuple(
            max((test.verdict(value[i]) for test, value in zip(self.tests, values, strict=True)), key=WORST.index)
            for i in range(len(SETS))
        )
        if not (references(self.source) or "common practice" in self.source):
            raise ValueError(f"{self.what}: nobody can look up {self.source!r}")

    def window(self):
        return " / ".join(dict.fromkeys(map(str, self.tests)))


def row(function):
    ALL.append(function)
    return function


@functools.cache
def lab(temp_c, days, starter, numbers, feeding="unlimited", species=NO_BIRTHS, replicates=1, keeping="", steps=1):
    return run(laboratory(temp_c, days, starter, feeding=feeding, species=species, keeping=keeping, numbers=numbers,
                          forecast=f"replicates: {replicates}, seed: 1, steps_per_day: {steps}"))  # fmt: skip


def both(of):
    return [of(numbers) for numbers in SETS]


def texts(values, form):
    return [form.format(value) for value in values]


@functools.cache
def numbers_of(numbers):
    return lab(27, 2, "stage: egg, count: 1", numbers, species="").numbers


def stage_days(temp_c, clock, numbers):
    return timetable(temp_c, numbers)["days"][clock]


def mean_day(series):
    """Mean day, counted in the middle of the day."""
    series = np.asarray(series, float)
    return float((series * (np.arange(len(series)) + 0.5)).sum() / series.sum())


def total(values):
    return float(np.asarray(values, float).sum())


def larval(temp_c, numbers):
    """Mean days from hatch to crawl-off, and mean mass of the crawl-off in g, simulated."""
    see = lab(temp_c, 160, "stage: larva, age: 0 days, count: 20000", numbers)
    return mean_day(see.crawl_off_count[0]), 1000 * total(see.crawl_off_mass) / total(see.crawl_off_count)
