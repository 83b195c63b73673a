#!/usr/bin/python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Long runs: a hundred years, ten thousand replicates, twenty-four steps a day.

All three at once are a million replicate-years, days of CPU time, so each is taken to its limit with the others scaled
down: 10,000 replicates of one year, 100 years of 120 replicates, 24 steps a day for five years. Memory use must not depend
on what is left out, for these reasons:

 - Replicates are simulated into a ring of three diaries per thread and written from there in order; a slot is reused as soon
   as it is written. So memory grows with the years (a diary is as long as the period), not with the replicates; shown here
   with 1, 10 and 100 years. (The file buffers about 32,000 days of each series before it writes: these fill in the first
   hundred replicate-years.)
 - Of each replicate only its outcomes stay (in two tables), and of the first ones their weekly values, 8 MB in all or those of
   a hundred replicates; then the index of the file. kept_mib() adds that up, and memory must not grow beyond it.
 - A diary has one row a day whatever the steps; more steps only mean more cohorts alive.

Memory is the resident memory of the running program as the kernel reports it, ten times a second; peaks are its high-water
mark.

Balances are read from the result: for every replicate and day, started + laid + wild = alive + dead + taken + flown exactly,
and usable feed given = eaten + lost to microbes + left within 1e-9 of the feed given, in the hundredth year as in the first.
(The program also aborts where a step does not balance.)

    long_run.py [SHARE]     SHARE of the replicates, 1 by default; 84 for all the million replicate-years
"""
import os
import subprocess
import sys
import tempfile
import time

import h5py
import numpy as np
sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "support"))
from checking import PROGRAM, Panel, check, failures, figure

SHARE = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
USABLE = 0.95  # of the dry matter of pet food: the program's feed table
THREADS = 2
RING = 3 * THREADS  # diaries
WEEKS_KEPT = 2**20  # numbers, four for each week and replicate at one place, but at least those of a hundred replicates
INDEX_KIB = 0.5  # of the file, per replicate (judgement: some tens of chunks packed together)
LEVEL = 0.05  # tolerance of memory that "does not grow": the allocator's share (judgement)
FEED_TOLERANCE = 1e-9  # that of the program


def scenario(years, steps, feed_g=8):
    """A tray on a bench with overlapping generations; the ration sets the number of larvae."""
    return f"""
period: {{from: 2001-01-01, to: {2000 + years}-12-31}}
climate: {{constant: 28 degC}}
places: [{{name: bench, housing: laboratory, bins: [{{name: tray}}]}}]
starter: [{{on: 2001-01-01, in: tray, stage: egg, count: 500}}]
feeding: [{{in: tray, what: pet food, amount: {feed_g} g, every: 1 day}}]
keeping: [{{do: collect crawl-off, in: tray, share: 50 %, give_back: 0 %}}]
species: {{numbers: keepers, clutch: [400, 900]}}
forecast: {{replicates: 1, seed: 28, steps_per_day: {steps}}}
"""


class Run:
    """One run with its memory over time; the result is in `folder`."""

    def __init__(self, folder, years, replicates, steps=1):
        self.years, self.replicates, self.steps = years, replicates, steps
        plan = os.path.join(folder, "plan.yaml")
        self.result = os.path.join(folder, "plan.h5")
        with open(plan, "w", encoding="utf-8") as file:
            file.write(scenario(years, steps))
        words = [PROGRAM, "run", "--quiet", "--force", plan, "-o", self.result, "--replicates", str(replicates)]
        self.time_s, self.mib, self.peak = [], [], 0.0
        start = time.monotonic()
        with subprocess.Popen(words + ["--threads", str(THREADS)], stdout=subprocess.DEVNULL) as program:
            while program.poll() is None:
                self.look(program.pid, time.monotonic() - start)
                time.sleep(0.02 if time.monotonic() - start < 2 else 0.1)
        self.seconds = time.monotonic() - start
        if program.returncode not in (0, 1):
            raise RuntimeError(f"{' '.join(words)}: exit status {program.returncode}")
        self.file_mib = os.path.getsize(self.result) / 2**20
        self.outcomes, self.day_values = shape(self.result)

    def look(self, pid, now):
        try:
            with open(f"/proc/{pid}/status", encoding="ascii") as status:
                kib = {line.split(":")[0]: int(line.split()[1]) for line in status if line.startswith(("VmRSS", "VmHWM"))}
            with open(f"/proc/{pid}/comm", encoding="ascii") as name:
                ours = name.read().strip() == os.path.basename(PROGRAM)[:15]  # not yet exec'd: still this script
        except OSError:
            return
        if kib and ours:
            self.time_s.append(now)
            self.mib.append(kib["VmRSS"] / 1024)
            self.peak = max(self.peak, kib["VmHWM"] / 1024)

    def growth_mib(self):
        """Growth from the peak of the second quarter of the run to the peak of its second half."""
        t, mib = np.array(self.time_s), np.array(self.mib)
        early, late = mib[(t > self.seconds / 4) & (t <= self.seconds / 2)], mib[t > self.seconds / 2]
        return late.max() - early.max() if len(early) > 1 and len(late) > 3 else float("nan")

    def is_enough(self, share=1.0):
        """True if that share of the run fills the ring and the buffers of the file, about 32,000 days."""
        return share * self.replicates >= max(2 * RING, 100 / self.years)

    def kept_mib(self, replicates=None):
        """Memory that each replicate keeps until the end."""
        n = self.replicates if replicates is None else replicates
        weeks = -(-round(365.25 * self.years) // 7)
        first = min(n, 10000, max(100, WEEKS_KEPT // (4 * weeks)))
        return (n * (2 * 8 * self.outcomes + 1024 * INDEX_KIB) + first * weeks * 4 * 8) / 2**20

    def diaries_mib(self):
        """The series of the replicates in progress, per year."""
        return RING * self.day_values * 8 * 365.25 / 2**20

    def __str__(self):
        steps = f", {self.steps} steps a day" if self.steps > 1 else ""
        return f"{self.years} {'year' if self.years == 1 else 'years'} x {self.replicates} replicates{steps}"


def shape(path):
    """Number of outcomes of a replicate, and of values a day."""
    with h5py.File(path) as file:
        first = file["replicate"].shape[0], file["time"].shape[0]
        of_days = [item for item in file.values() if isinstance(item, h5py.Dataset) and item.shape[:2] == first]
        outcomes = [item for item in file.values() if isinstance(item, h5py.Dataset) and item.shape == first[:1]]
        return len(outcomes), sum(int(np.prod(item.shape[2:], initial=1)) for item in of_days)


class Ledger:
    """Largest errors of the balances of individuals and feed by the end of each year, and replicates alive at the end."""

    def __init__(self, run):
        self.run, self.off, self.alive_at_end = run, 0, 0
        with h5py.File(run.result) as file:
            self.replicates, self.days = file["count"].shape[:2]
            self.feed_off = np.zeros(self.days)
            for k in range(0, self.replicates, 10):
                self.add(file, k)

    def add(self, file, k):
        def summed(name):
            values = file[name][k : k + 10]
            return values.reshape(*values.shape[:2], -1).sum(axis=2)

        come = summed("put_in") + summed("eggs_laid") + summed("wild_eggs")
        gone = summed("deaths") + summed("harvest_count") + summed("eggs_taken") + summed("flown")
        alive = summed("count")
        self.off = max(self.off, int(np.abs(np.cumsum(come - gone, axis=1) - alive).max()))
        given = np.cumsum(summed("feed_given"), axis=1) * USABLE
        used = np.cumsum(summed("feed_eaten") + summed("feed_microbes"), axis=1) + summed("feed_left")
        off = np.abs(given - used) / np.maximum(given, 1e-3)
        self.feed_off = np.maximum(self.feed_off, off.max(axis=0))
        self.alive_at_end += int((alive[:, -1] > 0).sum())

    def by_year(self):
        return [float(self.feed_off[round(365.25 * y) : round(365.25 * (y + 1))].max()) for y in range(self.run.years)]

    def check(self):
        by_year = self.by_year()
        drift = f" ({by_year[0]:.1g} in the first year, {by_year[-1]:.1g} in the last)" if len(by_year) > 1 else ""
        check(
            f"ledgers, {self.run}",
            f"every day: individuals exact, feed to {FEED_TOLERANCE:g}",
            f"{self.replicates} x {self.days} days: off by {self.off} individuals and {max(by_year):.1g} of the feed{drift}; "
            f"{self.alive_at_end} colonies alive at the end",
            "conservation",
            self.off == 0 and self.feed_off.max() <= FEED_TOLERANCE and self.alive_at_end > 0,
        )
        return self


def check_level(run):
    growth, allowed = run.growth_mib(), LEVEL * run.peak + run.kept_mib()
    check(
        f"memory while it runs, {run}",
        f"second half at most {allowed:.1f} MiB above the quarter before",
        f"{growth:+.1f} MiB, peak {run.peak:.0f} MiB, {run.seconds:.0f} s, file {run.file_mib:.0f} MiB",
        "resident memory by the kernel",
        growth <= allowed if np.isfinite(growth) and run.is_enough(0.25) else None,
    )


def check_flat(few, many):
    more, allowed = many.peak - few.peak, LEVEL * few.peak + many.kept_mib() - few.kept_mib()
    check(
        f"memory, {many} against {few.replicates}",
        f"at most {allowed:.1f} MiB more: outcomes, weeks and index, and {100 * LEVEL:.0f} % for the allocator",
        f"{more:+.1f} MiB, peaks {few.peak:.1f} and {many.peak:.1f} MiB",
        "resident memory by the kernel",
        more <= allowed if few.is_enough() else None,
    )


def check_years(runs):
    slope = [(b.peak - a.peak) / (b.years - a.years) for a, b in zip(runs, runs[1:])]
    allowed = 1.5 * runs[-1].diaries_mib()
    check(
        f"memory by years, {runs[0].replicates} replicates: the diaries of the {RING} in progress",
        f"proportional to years at last, at most {allowed:.2f} MiB a year: half more than their series",
        ", ".join(f"{s:.2f} MiB a year from {a.years} to {b.years}" for s, a, b in zip(slope, runs, runs[1:]))
        + "; peaks " + ", ".join(f"{run.peak:.0f}" for run in runs),
        "resident memory by the kernel",
        slope[-1] <= allowed,
    )


def check_whole(long):
    million = 100 * 10000 / (long.years * long.replicates)
    whole = long.peak + long.kept_mib(max(10000, long.replicates)) - long.kept_mib()
    check(
        "100 years x 10,000 replicates: memory",
        "fits a small computer: below 512 MiB (judgement)",
        f"{whole:.0f} MiB: that of {long}, and what is kept of the others",
        "derived from the runs above",
        whole < 512,
    )
    check(
        "100 years x 10,000 replicates: time and file",
        "-",
        f"{long.seconds * million / 3600:.1f} h on {THREADS} threads, {long.file_mib * million / 1024:.0f} GiB: "
        f"{million:.0f} times {long}",
        "derived from the run above",
        None,
        "" if million <= 1 else f"not run here: long_run.py {million * SHARE:.0f} runs it",
    )


# ---- the figure ----


def span(panel, x, *heights):
    """Extends an axis to these values."""
    for y in heights:
        panel.draw([x], [y], line=True)


def curves(title, label, log_x, lines):
    """Plots peak memory: (name, x of a run, runs)."""
    panel = Panel(title, label, "peak MiB", log_x=log_x)
    for colour, (name, x, runs) in enumerate(lines):
        for line in (False, True):
            panel.draw([x(run) for run in runs], [run.peak for run in runs], colour, line, "" if line else name)
    runs = lines[0][2]
    span(panel, x(runs[0]), 0, 1.4 * max(run.peak for line in lines for run in line[2]))
    return panel


def over_time(run):
    panel = Panel(str(run), "seconds", "MiB")
    panel.draw(run.time_s, run.mib, line=True)
    span(panel, 0, 0)
    return panel


def feed_balance(ledger):
    panel = Panel("feed that does not balance", "year", "of what was given", log_y=True)
    panel.draw(range(1, ledger.run.years + 1), ledger.by_year(), line=True, name="worst of all replicates")
    panel.draw([1, ledger.run.years], [FEED_TOLERANCE] * 2, 1, line=True, name="allowed")
    span(panel, 1, 1e3 * FEED_TOLERANCE)
    return panel


def main():
    some = lambda n: max(4, round(SHARE * n))  # noqa: E731
    with tempfile.TemporaryDirectory() as folder:
        one = [Run(folder, 1, some(n)) for n in (100, 300, 1000, 3000, 10000)]
        Ledger(one[-1]).check()
        check_level(one[-1])
        check_flat(one[2], one[-1])

        ten = [Run(folder, 10, some(n)) for n in (30, 100, 300)]
        check_flat(ten[1], ten[2])

        hundred = [Run(folder, 100, some(n)) for n in (20, 60, 120)]
        long = hundred[-1]
        balance = Ledger(long).check()
        check_level(long)
        check_flat(hundred[-2], long)

        by_years = [Run(folder, years, some(20)) for years in (1, 3, 10, 30)] + hundred[:1]
        check_years(by_years)

        by_steps = [Run(folder, 5, some(20), steps) for steps in (1, 4, 24)]
        fine = by_steps[-1]
        Ledger(fine).check()
        check(
            f"memory by steps a day, {by_steps[0]} against 4 and 24",
            "at most 25 % more: more cohorts alive, no more diary (judgement)",
            f"{', '.join(f'{run.peak:.1f}' for run in by_steps)} MiB; {', '.join(f'{run.seconds:.0f}' for run in by_steps)} s",
            "resident memory by the kernel",
            max(run.peak for run in by_steps) <= 1.25 * by_steps[0].peak,
        )
    check_whole(long)
    lines = [(f"{runs[0].years} {'year' if runs[0].years == 1 else 'years'}", lambda run: run.replicates, runs) for runs in (one, ten, hundred)]
    panels = [
        curves("by replicates", "replicates", True, lines),
        curves(f"by years, {by_years[0].replicates} replicates", "years", False, [("", lambda run: run.years, by_years)]),
        curves("by steps, 5 years", "steps a day", False, [("", lambda run: run.steps, by_steps)]),
        over_time(one[-1]),
        over_time(long),
        feed_balance(balance),
    ]
    figure("long_run", "Resident memory of long runs, and the feed ledger of a hundred years", panels, columns=3)
    return failures() > 0


if __name__ == "__main__":
    sys.exit(main())
