# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks replicates distributed by mpirun: the same bytes as from one process, and a clear error when a process dies.

Not part of ctest: scripts/check ranks builds the program with MPI and runs this with WINTERGRUB (that program) and PLAIN
(the ordinary one).
"""

import glob
import json
import os
import signal
import subprocess
import time
import unittest

from test_threads import contents
from commands import PROGRAM, SCENARIOS, CommandTest

PLAIN = os.path.abspath(os.environ["PLAIN"])
SOON_S = 20  # the launcher gives the other processes two seconds; a busy machine needs more
LONG = ["--replicates", "1000000", "-o", "long.h5"]


class Ranks(CommandTest):
    def environment(self, **more):
        """Returns an environment in which root may start processes, also more than there are processors."""
        return super().environment(
            OMPI_ALLOW_RUN_AS_ROOT="1", OMPI_ALLOW_RUN_AS_ROOT_CONFIRM="1", OMPI_MCA_rmaps_base_oversubscribe="1", **more
        )

    def start(self, n, *words):
        running = subprocess.Popen(
            ["mpirun", "-n", str(n), PROGRAM, *words],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=self.environment(),
        )
        self.addCleanup(running.wait)
        self.addCleanup(running.kill)
        return running

    def ranks(self, n, *words, status=0):
        """Returns standard output of `mpirun -n n wintergrub ...`."""
        running = self.start(n, *words)
        out, err = running.communicate(timeout=240)
        self.stderr = err.decode()
        self.assertEqual(running.returncode, status, self.stderr + out.decode())
        return out.decode()

    def plain(self, *words, status=0):
        done = subprocess.run([PLAIN, *words], capture_output=True, env=self.environment())
        self.assertEqual(done.returncode, status, done.stderr)
        self.plain_stderr = done.stderr.decode()
        return done.stdout.decode()


class SameBytes(Ranks):
    def same(self, name, *words, numbers=(1, 2, 3, 5)):
        output = self.plain("run", name, *words, "-o", "plain.h5", "--force")
        for n in numbers:
            distributed = self.ranks(n, "run", name, *words, "-o", f"{n}.h5")
            if n > 1:  # a single process has the launcher's terminal: colours and a chart
                self.assertEqual(distributed, output, n)
            self.assertEqual(self.stderr, f"wintergrub: the result is in {n}.h5\n")
            a, b = contents("plain.h5"), contents(f"{n}.h5")
            self.assertGreater(len(a), 40)
            self.assertEqual([key for key in sorted(set(a) | set(b)) if a.get(key) != b.get(key)], [], n)

    def test_one_two_three_and_five_processes(self):
        self.copy("harrow-hill-outdoors.yaml")
        self.same("harrow-hill-outdoors.yaml", "--replicates", "37")

    def test_plan_with_places_bins_goals_and_mishaps(self):
        self.copy("hoop-house-two-bins.yaml")
        with open("hoop-house-two-bins.yaml", "r+", encoding="utf-8") as file:
            text = file.read()
            file.write("" if "\ngoal:" in text else "\ngoal: {survive: yes}\n")
        self.same("hoop-house-two-bins.yaml", "--replicates", "9", "--seed", "5", numbers=(3,))

    def test_plan_with_a_weather_record(self):
        self.copy("seattle-record.yaml")
        os.mkdir("weather")
        for path in glob.glob(os.path.join(SCENARIOS, "weather", "*")):
            self.copy(path, "weather/")
        self.same("seattle-record.yaml", "--replicates", "6", numbers=(4,))

    def test_more_processes_than_replicates(self):
        self.copy("smallest.yaml")
        self.same("smallest.yaml", "--replicates", "2", numbers=(5,))

    def test_processes_with_threads(self):
        self.copy("harrow-hill-outdoors.yaml")
        self.same("harrow-hill-outdoors.yaml", "--replicates", "23", "--threads", "3", numbers=(3,))

    def test_several_ensembles_one_after_the_other(self):
        self.copy("crow-lane-shed.yaml")
        self.same("crow-lane-shed.yaml", "--replicates", "20", "--until-sure", "8%", numbers=(3,))

    def test_a_sweep(self):
        os.mkdir("farm")
        for name in ("crow-lane-mat", "crow-lane-shed", "harrow-hill-outdoors"):
            self.copy(f"{name}.yaml", "farm/")
        words = ["run", "farm", "--replicates", "7", "--json", "-o"]
        plain, spread = (json.loads(run(*words, to)) for run, to in ((self.plain, "p"), (lambda *w: self.ranks(3, *w), "r")))
        for one, other in zip(plain["scenarios"], spread["scenarios"]):
            self.assertEqual(one["outcomes"], other["outcomes"])
            a, b = contents(one["result"]), contents(other["result"])
            self.assertEqual([key for key in sorted(set(a) | set(b)) if a.get(key) != b.get(key)], [])

    def test_other_commands_print_the_same(self):
        self.copy("smallest.yaml")
        self.assertEqual(self.ranks(3, "check", "smallest.yaml"), self.plain("check", "smallest.yaml"))
        self.assertEqual(self.ranks(2, "timetable", "27degC"), self.plain("timetable", "27degC"))
        self.assertIn("wintergrub ", self.ranks(2, "--version"))


class Failures(Ranks):
    def test_a_mistake_is_reported_once_with_its_status(self):
        with open("bad.yaml", "w", encoding="ascii") as file:
            file.write("period: {from: 2026-01-01}\n")
        self.plain("run", "bad.yaml", status=3)
        self.ranks(3, "run", "bad.yaml", status=3)
        self.assertTrue(self.stderr.startswith(self.plain_stderr), self.stderr)

    def test_an_overgrown_colony_stops_all_with_the_same_message(self):
        with open(self.copy("smallest.yaml"), "r+", encoding="ascii") as file:
            text = file.read().replace("2026-12-31", "2031-12-31")
            file.seek(0)
            file.write(text)
        self.plain("run", "smallest.yaml", status=3)
        self.ranks(4, "run", "smallest.yaml", status=3)
        self.assertTrue(self.stderr.startswith(self.plain_stderr), self.stderr)
        self.nothing_left("smallest.yaml")

    def at_work(self, n, *words):
        """Starts the processes, waits until they write the result, and returns their ids by rank."""
        self.copy("harrow-hill-outdoors.yaml")
        running = self.start(n, "run", "harrow-hill-outdoors.yaml", *words)
        end = time.monotonic() + 60
        while not glob.glob(".long.h5.*.part") and time.monotonic() < end:
            self.assertIsNone(running.poll(), "it ended too early")
            time.sleep(0.05)
        time.sleep(1)
        ids = {}
        for place in glob.glob("/proc/[0-9]*"):
            try:
                with open(f"{place}/stat", encoding="ascii") as file:
                    parent = int(file.read().rsplit(")", 1)[1].split()[1])
                with open(f"{place}/environ", "rb") as file:
                    environment = dict(part.split(b"=", 1) for part in file.read().split(b"\0") if b"=" in part)
            except OSError:
                continue
            if parent == running.pid:
                ids[int(environment.get(b"OMPI_COMM_WORLD_RANK", environment.get(b"PMI_RANK", b"-1")))] = int(
                    os.path.basename(place)
                )
        self.assertEqual(sorted(ids), list(range(n)))
        return running, ids

    def is_running(self, process):
        try:
            with open(f"/proc/{process}/stat", encoding="ascii") as file:
                return file.read().rsplit(")", 1)[1].split()[0] != "Z"
        except OSError:
            return False

    def ended(self, running, ids):
        """Expects all processes to end soon, with a message and a status, and no result."""
        begun = time.monotonic()
        out, err = running.communicate(timeout=SOON_S)
        self.assertLess(time.monotonic() - begun, SOON_S)
        self.assertNotEqual(running.returncode, 0)
        self.assertEqual(out, b"")
        self.assertNotEqual(err, b"")
        self.assertFalse(os.path.exists("long.h5"))
        while any(self.is_running(one) for one in ids.values()):
            self.assertLess(time.monotonic() - begun, SOON_S, "a process continues")
            time.sleep(0.1)
        return err.decode()

    def test_a_killed_process_ends_all(self):
        for rank in (2, 0):
            running, ids = self.at_work(4, *LONG)
            os.kill(ids[rank], signal.SIGKILL)
            self.assertRegex(self.ended(running, ids), f"rank {rank} .*(signal 9|Killed)")
            self.ranks(2, "run", "harrow-hill-outdoors.yaml", "--replicates", "3", "-o", "long.h5")
            self.nothing_left("harrow-hill-outdoors.yaml", "long.h5")  # the temporary file of the killed process is removed too
            os.remove("long.h5")

    def test_a_bug_ends_all_with_its_status(self):
        for rank in (2, 0):
            running, ids = self.at_work(3, *LONG)
            os.kill(ids[rank], signal.SIGSEGV)
            output = self.ended(running, ids)
            self.assertEqual(running.returncode, 5, output)
            self.assertEqual(output.count("wintergrub: internal fault: "), 1, output)
            for left in glob.glob(".long.h5.*.part"):  # of process 0, when another one failed
                self.assertNotEqual(rank, 0, left)
                os.remove(left)

    def test_sigterm_of_one_process_stops_all(self):
        running, ids = self.at_work(3, *LONG)
        os.kill(ids[1], signal.SIGTERM)
        self.assertIn("wintergrub: Process 1 of 3 stopped, so no result was kept.\n", self.ended(running, ids))
        self.nothing_left("harrow-hill-outdoors.yaml")

    def test_sigterm_of_process_0(self):
        running, ids = self.at_work(3, *LONG)
        os.kill(ids[0], signal.SIGTERM)
        self.assertIn("wintergrub: stopped; nothing was written.\n", self.ended(running, ids))
        self.nothing_left("harrow-hill-outdoors.yaml")

    def test_ctrl_c_on_the_launcher(self):
        running, ids = self.at_work(3, *LONG)
        running.send_signal(signal.SIGINT)
        self.ended(running, ids)
        self.assertFalse(os.path.exists("long.h5"))

    def test_a_process_without_memory_ends_all(self):
        self.copy("harrow-hill-outdoors.yaml")
        with open("less", "w", encoding="ascii") as file:
            file.write('#!/bin/bash\n[ "$OMPI_COMM_WORLD_RANK$PMI_RANK" != 1 ] || ulimit -v 600000\nexec "$@"\n')
        os.chmod("less", 0o755)
        done = subprocess.run(
            ["mpirun", "-n", "3", "./less", PROGRAM, "run", "harrow-hill-outdoors.yaml", "--threads", "80", *LONG],
            capture_output=True,
            env=self.environment(),
            timeout=60,
        )
        self.assertEqual(done.returncode, 5, done.stderr)
        self.assertRegex(done.stderr.decode(), "(?m)^wintergrub: .*(memory|[Ww]orker thread)")
        self.nothing_left("harrow-hill-outdoors.yaml", "less")


if __name__ == "__main__":
    unittest.main()
