# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Common parts of the Python checks of scripts/verify: one line per check, the program's results, statistical tests, figures.

Environment: WINTERGRUB (the program), SRC (the source tree), VERIFY_OUT (a folder for figures; none are drawn without
it).
"""
import json
import os
import subprocess
import tempfile
from pathlib import Path

import h5py
import numpy as np

PROGRAM = os.environ.get("WINTERGRUB", "wintergrub")
SOURCE = Path(os.environ.get("SRC", Path(__file__).resolve().parents[3]))
OUT = os.environ.get("VERIFY_OUT")
LARVA = 1  # the stage in "count"

# ---- verdicts ------------------------------------------------------------------------------------------------------

_failed = 0


def check(what, published, simulated, source, holds, why=""):
    """Prints one line for the page. `holds`: True, False, a verdict in words, or None for a number that is only measured."""
    global _failed
    verdict = {True: "holds", False: "does not hold", None: "measured"}.get(holds, holds)
    _failed += verdict == "does not hold"
    line = {"check": what, "published": published, "simulated": simulated, "source": source, "verdict": verdict}
    if why:
        line["why"] = why
    print(json.dumps(line, ensure_ascii=False), flush=True)


def failures():
    """Number of checks of this part that do not hold."""
    return _failed


# ---- the program ---------------------------------------------------------------------------------------------------


class Result:
    """A whole result file: result.count is [replicate, day, stage]."""

    def __init__(self, path):
        with h5py.File(path) as file:
            self.series = {name: item[()] for name, item in file.items() if isinstance(item, h5py.Dataset)}
            # of one bin these are the totals, which are not stored twice
            larvae = self.series["count"][:, :, LARVA]
            for name, total in (("bin_larvae", larvae), ("bin_larval_mass", self.series["larval_mass"]), ("bin_crawl_off", self.series["crawl_off_mass"])):
                self.series.setdefault(name, total[:, :, np.newaxis])
            record = file["provenance"]
            names = [name.decode() if isinstance(name, bytes) else name for name in record["parameter"][:]]
            self.numbers = dict(zip(names, (float(value) for value in record["parameter_value"][:])))

    def __getattr__(self, name):
        try:
            return self.__dict__["series"][name]
        except KeyError:
            raise AttributeError(name) from None


def run(scenario, *options):
    """Runs a scenario given as text and reads its result."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "plan")
        with open(path + ".yaml", "w", encoding="utf-8") as file:
            file.write(scenario)
        words = [PROGRAM, "run", "--quiet", path + ".yaml", "-o", path + ".h5", *options]
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        if done.returncode not in (0, 1):
            raise RuntimeError(f"{done.stderr}\n{scenario}")
        return Result(path + ".h5")


def timetable(temp_c, numbers="keepers"):
    """One row of the JSON of `wintergrub timetable`."""
    words = [PROGRAM, "timetable", f"{temp_c} degC", "--numbers", numbers, "--json"]
    return json.loads(subprocess.run(words, capture_output=True, text=True, check=True).stdout)["temperatures"][0]


def laboratory(temp_c, days, starter, *, feeding="unlimited", species="", forecast="", keeping="", numbers="keepers",
               bins="[{name: tray}]"):  # fmt: skip
    """A scenario: trays on a bench at one temperature. starter, feeding, keeping: as in the file, on one line."""
    last = np.datetime64("2026-01-01") + days - 1
    return "\n".join(
        [
            f"period: {{from: 2026-01-01, to: {last}}}",
            f"climate: {{constant: {temp_c} degC}}",
            f"places: [{{name: bench, housing: laboratory, bins: {bins}}}]",
            f"starter: [{{on: 2026-01-01, in: tray, {starter}}}]",
            f"feeding: {feeding}",
            *([f"keeping: {keeping}"] if keeping else []),
            f"species: {{numbers: {numbers}{', ' if species else ''}{species}}}",
            f"forecast: {{{forecast}}}" if forecast else "",
            "",
        ]
    )


# ---- statistics ----------------------------------------------------------------------------------------------------


def kolmogorov_smirnov(a, b):
    """P-value of the two-sample distance (Kolmogorov's limit; with ties an upper bound)."""
    a, b = np.sort(a), np.sort(b)
    both = np.concatenate([a, b])
    distance = np.abs(np.searchsorted(a, both, "right") / len(a) - np.searchsorted(b, both, "right") / len(b)).max()
    root = np.sqrt(len(a) * len(b) / (len(a) + len(b)))
    z = (root + 0.12 + 0.11 / root) * distance  # Stephens 1970, J. R. Stat. Soc. B 32:115
    k = np.arange(1, 101)
    return float(min(1.0, max(0.0, 2 * np.sum((-1.0) ** (k - 1) * np.exp(-2 * k**2 * z**2))))) if z > 0.2 else 1.0


def holm(p_values, family_wise):
    """Which of several tests reject at a family-wise error rate (Holm 1979)."""
    order, rejected = np.argsort(p_values), np.zeros(len(p_values), bool)
    for rank, i in enumerate(order):
        if p_values[i] >= family_wise / (len(order) - rank):
            break
        rejected[i] = True
    return rejected


# ---- figures: plain SVG, one panel after the other -----------------------------------------------------------------

WIDTH, HEIGHT, LEFT, TOP = 230, 220, 50, 34
COLOURS = ["#0072b2", "#d55e00", "#009e73", "#cc79a7", "#e69f00", "#56b4e9", "#000000"]  # Okabe & Ito


class Panel:
    """One small chart: points and lines over two axes, linear or logarithmic."""

    def __init__(self, title, x_label="", y_label="", log_x=False, log_y=False):
        self.title, self.labels, self.log = title, (x_label, y_label), (log_x, log_y)
        self.parts, self.legend = [], []

    def draw(self, x, y, colour=0, line=False, name=""):
        x, y = np.asarray(x, float), np.asarray(y, float)
        keep = np.isfinite(x) & np.isfinite(y)
        for values, log in zip((x, y), self.log):
            keep &= (values > 0) if log else True
        self.parts.append((x[keep], y[keep], COLOURS[colour % 7], line))
        if name:
            self.legend.append((name, COLOURS[colour % 7]))

    def svg(self, x0, y0):
        scaled = [[np.log10(v) if log else v for v, log in zip(part[:2], self.log)] for part in self.parts]
        ends = []
        for axis in (0, 1):
            values = np.concatenate([part[axis] for part in scaled])
            low, high = (values.min(), values.max()) if len(values) else (0, 1)
            pad = 0.04 * (high - low) or 0.5
            ends.append((low - pad, high + pad))
        size = (WIDTH - LEFT - 12, HEIGHT - TOP - 42)

        def place(axis, v):
            share = (v - ends[axis][0]) / (ends[axis][1] - ends[axis][0])
            return x0 + LEFT + share * size[0] if axis == 0 else y0 + TOP + (1 - share) * size[1]

        out = [f'<rect x="{x0 + LEFT}" y="{y0 + TOP}" width="{size[0]}" height="{size[1]}" fill="none" stroke="#888"/>']
        out.append(text(x0 + LEFT, y0 + TOP - 16, self.title, weight="bold"))
        out.append(text(x0 + LEFT + size[0] / 2, y0 + TOP + size[1] + 30, self.labels[0], anchor="middle"))
        out.append(text(x0 + LEFT, y0 + TOP - 4, self.labels[1]))
        for axis in (0, 1):
            for v in ticks(*ends[axis]):
                label = f"{10**v if self.log[axis] else v:.3g}"
                if axis == 0:
                    out.append(text(place(0, v), y0 + TOP + size[1] + 14, label, anchor="middle"))
                else:
                    out.append(text(x0 + LEFT - 4, place(1, v) + 4, label, anchor="end"))
        for (x, y), (_, _, colour, line) in zip(scaled, self.parts):
            if line:
                points = " ".join(f"{place(0, a):.1f},{place(1, b):.1f}" for a, b in zip(x, y))
                out.append(f'<polyline points="{points}" fill="none" stroke="{colour}" stroke-width="1.3"/>')
            else:
                out += [
                    f'<circle cx="{place(0, a):.1f}" cy="{place(1, b):.1f}" r="2" fill="{colour}" fill-opacity="0.7"/>'
                    for a, b in zip(x, y)
                ]
        for i, (name, colour) in enumerate(self.legend):
            out.append(text(x0 + LEFT + 6, y0 + TOP + 13 + 12 * i, name, fill=colour))
        return "\n".join(out)


def text(x, y, words, anchor="start", weight="normal", fill="#222"):
    safe = str(words).replace("&", "&amp;").replace("<", "&lt;")
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-weight="{weight}" fill="{fill}">{safe}</text>'


def ticks(low, high):
    step = 10 ** np.floor(np.log10(high - low))
    step *= next(k for k in (0.2, 0.5, 1, 2, 5, 10) if (high - low) / (k * step) <= 4.5)
    return np.arange(np.ceil(low / step), np.floor(high / step) + 0.5) * step + 0.0


def figure(name, title, panels, columns=4):
    """Writes the panels into VERIFY_OUT/name.svg."""
    if not OUT or not panels:
        return
    columns = min(columns, len(panels))
    rows = -(-len(panels) // columns)
    width, height = columns * WIDTH + 10, rows * HEIGHT + 34
    body = [panel.svg(i % columns * WIDTH, 30 + i // columns * HEIGHT) for i, panel in enumerate(panels)]
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
        f'font-family="DejaVu Sans, sans-serif" font-size="10">\n<title>{title}</title>\n'
        f'<rect width="{width}" height="{height}" fill="#fff"/>\n{text(10, 18, title, weight="bold")}\n'
        + "\n".join(body)
        + "\n</svg>\n"
    )
    Path(OUT).mkdir(parents=True, exist_ok=True)
    (Path(OUT) / f"{name}.svg").write_text(svg, encoding="utf-8")
