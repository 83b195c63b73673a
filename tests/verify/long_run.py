#!/usr/bin/python3
"""Can it run for long? A hundred years, ten thousand replicates, twenty-four steps a day.

Memory is read from the kernel (resident memory of the running program, about five times a second). Once the caches of the
result file are full (some hundred replicates) it must not grow, while a run goes on and with replicates, beyond what is
kept of each: the outcomes in a table and the index of the file, below 3 KiB. It may grow with years, because the diaries
of the replicates in progress are held until they are written.

Ledgers are read from the result: for every replicate and day, in + laid + visitors' eggs = alive + dead + taken + flown to
the individual, and usable feed given = eaten + lost to microbes + left to 1e-9 of what was given. (The program also stops by
itself where a step does not balance.)

A hundred years times ten thousand replicates is a million replicate-years. What was run here is said in each line; the
last two say what the whole would take, from the two runs: memory adds up (a base, the diaries in the ring by years,
the table by replicates), time and file are proportional to replicate-years.

    long_run.py [SHARE]     SHARE of the replicates, 1 unless given; 100 for all the million replicate-years
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
USABLE = 0.95  # of the dry matter of pet food: the program's table of feeds
KIB_PER_REPLICATE = 3.0  # two dozen outcomes of 8 bytes, and HDF5's index of some 15 chunks; measured 2.1
ENOUGH = 5000  # replicates from which that can be judged: the caches take some hundred to fill
LEVEL = 0.02  # what else memory that "does not grow" may do: the allocator's share (judgement)
FEED_TOLERANCE = 1e-9  # the program's own


def scenario(years, steps, feed_g=8):
    """A tray on a bench, generations running into each other; the ration sets how many larvae there are."""
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
    """One run with its memory over time; the result stays in `folder`."""

    def __init__(self, folder, years, replicates, steps=1):
        self.years, self.replicates, self.steps = years, replicates, steps
        plan = os.path.join(folder, "plan.yaml")
        self.result = os.path.join(folder, "plan.h5")
        with open(plan, "w", encoding="utf-8") as file:
            file.write(scenario(years, steps))
        words = [PROGRAM, "run", "--quiet", "--force", plan, "-o", self.result, "--replicates", str(replicates)]
        self.time_s, self.mib = [], []
        start = time.monotonic()
        with subprocess.Popen(words + ["--threads", "2"], stdout=subprocess.DEVNULL) as program:
            while program.poll() is None:
                self.look(program.pid, time.monotonic() - start)
                time.sleep(0.2)
        self.seconds = time.monotonic() - start
        if program.returncode not in (0, 1):
            raise RuntimeError(f"{' '.join(words)}: exit status {program.returncode}")
        self.file_mib = os.path.getsize(self.result) / 2**20
        self.peak = max(self.mib, default=0.0)

    def look(self, pid, now):
        try:
            with open(f"/proc/{pid}/status", encoding="ascii") as status:
                kib = [int(line.split()[1]) for line in status if line.startswith("VmRSS:")]
        except OSError:
            return
        if kib:
            self.time_s.append(now)
            self.mib.append(kib[0] / 1024)

    def growth_mib(self):
        """From the most memory in the second quarter of the run to the most in its second half."""
        n = len(self.mib)
        return max(self.mib[n // 2 :]) - max(self.mib[n // 4 : n // 2]) if n > 8 else float("nan")

    def __str__(self):
        steps = f", {self.steps} steps a day" if self.steps > 1 else ""
        return f"{self.years} years x {self.replicates} replicates{steps}"


def ledgers(path):
    """Replicates, days, individuals off at most, feed off at most (of what was given), replicates alive at the end."""
    off, feed_off, alive_at_end = 0, 0.0, 0
    with h5py.File(path) as file:
        replicates, days = file["count"].shape[:2]
        for k in range(0, replicates, 10):

            def summed(name):
                values = file[name][k : k + 10]
                return values.reshape(*values.shape[:2], -1).sum(axis=2)

            come = summed("put_in") + summed("eggs_laid") + summed("wild_eggs")
            gone = summed("deaths") + summed("taken") + summed("flown")
            alive = summed("count")
            off = max(off, int(np.abs(np.cumsum(come - gone, axis=1) - alive).max()))
            given = np.cumsum(summed("feed_given"), axis=1) * USABLE
            used = np.cumsum(summed("feed_eaten") + summed("feed_microbes"), axis=1) + summed("feed_left")
            feed_off = max(feed_off, float((np.abs(given - used) / np.maximum(given, 1e-3)).max()))
            alive_at_end += int((alive[:, -1] > 0).sum())
    return replicates, days, off, feed_off, alive_at_end


def check_ledgers(run):
    replicates, days, off, feed_off, alive = ledgers(run.result)
    check(
        f"ledgers, {run}",
        f"every day: individuals exact, feed to {FEED_TOLERANCE:g}",
        f"{replicates} x {days} days: off by {off} individuals and {feed_off:.1g} of the feed; {alive} colonies alive at the end",
        "conservation",
        off == 0 and feed_off <= FEED_TOLERANCE and alive > 0,
    )


def check_level(run):
    growth = run.growth_mib()
    allowed = LEVEL * run.peak + KIB_PER_REPLICATE * run.replicates / 1024
    check(
        f"memory while it runs, {run}",
        f"second half at most {allowed:.1f} MiB above the quarter before",
        f"{growth:+.1f} MiB, peak {run.peak:.0f} MiB, {run.seconds:.0f} s, file {run.file_mib:.0f} MiB",
        "resident memory by the kernel",
        growth <= allowed if np.isfinite(growth) else None,
    )


def curve(runs, x, title, label):
    panel = Panel(title, label, "peak MiB", log_x=True)
    panel.draw([x(run) for run in runs], [run.peak for run in runs])
    panel.draw([x(run) for run in runs], [run.peak for run in runs], line=True)
    panel.draw([x(runs[0])], [0])
    return panel


def over_time(run):
    panel = Panel(str(run), "seconds", "MiB")
    panel.draw(run.time_s, run.mib, line=True)
    panel.draw([0], [0])
    return panel


def main():
    some = lambda n: max(4, round(SHARE * n))  # noqa: E731
    with tempfile.TemporaryDirectory() as folder:
        by_replicates = [Run(folder, 1, max(20, round(n * min(1, SHARE)))) for n in (100, 1000, 3000, 10000)]
        many = by_replicates[-1]
        check_ledgers(many)
        check_level(many)
        per_replicate = 1024 * (many.peak - by_replicates[-2].peak) / (many.replicates - by_replicates[-2].replicates)
        check(
            f"memory by replicates, {by_replicates[-2].replicates} to {many.replicates}",
            f"at most {KIB_PER_REPLICATE:g} KiB for each: its outcomes and the index of the file",
            f"{per_replicate:.2f} KiB, peaks {by_replicates[-2].peak:.0f} and {many.peak:.0f} MiB",
            "resident memory by the kernel",
            per_replicate <= KIB_PER_REPLICATE if many.replicates >= ENOUGH else None,
        )

        by_years = [Run(folder, years, some(100)) for years in (1, 10, 100)]
        long = by_years[-1]
        check_ledgers(long)
        check_level(long)
        ring = [(b.peak - a.peak) / (b.years - a.years) for a, b in zip(by_years, by_years[1:])]
        check(
            "memory by years: the diaries of the replicates in progress",
            "proportional to years, nothing that grows faster",
            f"{ring[0]:.1f} MiB a year from 1 to 10, {ring[1]:.1f} from 10 to 100; peaks "
            + ", ".join(f"{run.peak:.0f}" for run in by_years),
            "resident memory by the kernel",
            None,
        )

        fine = [Run(folder, 5, some(20), steps=steps) for steps in (1, 24)]
        check_ledgers(fine[1])
        check_level(fine[1])
        check(
            f"memory by steps a day, {fine[0]} against 24",
            "at most 25 % more: more cohorts alive, no more diary (judgement)",
            f"{fine[0].peak:.0f} and {fine[1].peak:.0f} MiB, {fine[0].seconds:.0f} and {fine[1].seconds:.0f} s",
            "resident memory by the kernel",
            fine[1].peak <= 1.25 * fine[0].peak,
        )

    million = 100 * 10000 / (long.years * long.replicates)
    check(
        "100 years x 10,000 replicates: memory",
        "fits a small computer: below 4 GiB (judgement)",
        f"{long.peak + max(0, per_replicate) * 10000 / 1024:.0f} MiB: that of {long} and a table of 10,000",
        "derived from the runs above",
        long.peak + max(0, per_replicate) * 10000 / 1024 < 4096,
    )
    check(
        "100 years x 10,000 replicates: time and file",
        "-",
        f"{long.seconds * million / 3600:.1f} h on 2 threads, {long.file_mib * million / 1024:.0f} GiB: "
        f"{million:.0f} times {long}",
        "derived from the run above",
        None,
        "" if million <= 1 else "not run here: long_run.py 100 runs it",
    )
    panels = [
        curve(by_replicates, lambda run: run.replicates, "1 year", "replicates"),
        curve(by_years, lambda run: run.years, f"{long.replicates} replicates", "years"),
        over_time(many),
        over_time(long),
        over_time(fine[1]),
    ]
    figure("long_run", "Resident memory of long runs", panels, columns=3)
    return failures() > 0


if __name__ == "__main__":
    sys.exit(main())
