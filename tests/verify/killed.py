# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Kills commands (SIGKILL) at any moment and checks the files that they leave.

    killed.py [TIMES [COMMAND ...]]     run 200 times (or TIMES) and every other of COMMANDS a fifth as often

The file name holds the old or the new result, whole, or nothing: never a part. A killed command leaves a hidden unfinished
file, which the next command for the same name removes. Moments are spread over the whole duration of a command, with a
fixed seed; the last third around its end, where the file is renamed into place.
"""

import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time

PROGRAM = os.path.abspath(os.environ["WINTERGRUB"])
SCENARIO = """period: {from: 2026-01-01, to: 2026-03-01}
climate: {constant: 27 degC}
places: [{name: bench, housing: laboratory, bins: [{name: tray}]}]
starter: [{on: 2026-01-01, in: tray, stage: egg, count: 1000}]
feeding: [{in: tray, what: kitchen scraps, amount: 1 lb, every: 1 day}]
forecast: {replicates: 150, seed: 1}
goal: {survive: yes, chance: 50 %}
"""
LOG = "date,what,value\n2026-01-20,adults,no\n"
OLD = b"an older file"
# the files that a command writes, and its arguments
COMMANDS = {
    "run": (["x.h5"], ["run", "a.yaml", "-o", "out/x.h5"]),
    "sweep": (["a.h5", "b.h5"], ["run", "a.yaml", "b.yaml", "-o", "out"]),
    "compare": (["x.h5"], ["compare", "a.yaml", "b.yaml", "-o", "out/x.h5"]),
    "size": (["x.h5"], ["size", "a.yaml", "-o", "out/x.h5"]),
    "fit": (["x.h5"], ["fit", "a.yaml", "log.csv", "--draws", "100", "-o", "out/x.h5"]),
}


def read(path):
    with open(path, "rb") as file:
        return file.read()


def write(path, data):
    with open(path, "wb") as file:
        file.write(data)


def is_whole(path):
    """Checks the checksum in the last line, and reads HDF5 besides."""
    data = read(path)
    return data[:4] == b"\x89HDF" and data[-83:] == b"wintergrub sha256 %s\n" % hashlib.sha256(data[:-83]).hexdigest().encode()


def start(words, *more):
    words = [PROGRAM, *words, "--quiet", "--threads", "2", *more]
    return subprocess.Popen(words, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)


def finish(words, *more):
    running = start(words, *more)
    err = running.communicate()[1].decode()
    return running.returncode, err


def wrong_after(names, has_old):
    """Returns what is wrong with the files, or nothing."""
    left = [name for name in os.listdir("out") if not (name.startswith(".") and name.endswith(".part"))]
    if not set(left) <= set(names):
        return f"strange files: {left}"
    if has_old and sorted(left) != names:
        return "an old result is gone"
    whole = [is_whole(f"out/{name}") or (has_old and read(f"out/{name}") == OLD) for name in left]
    return None if all(whole) else "a result that is not whole"


def begin(names, has_old):
    if not has_old:
        shutil.rmtree("out", ignore_errors=True)
    os.makedirs("out", exist_ok=True)
    for name in names if has_old else ():
        write(f"out/{name}", OLD)


def kill(names, words, times):
    """Returns faults, how many were killed before their end, how many had put all their files in place."""
    begin(names, False)
    begun = time.monotonic()
    status, err = finish(words)
    length = time.monotonic() - begun
    if status not in (0, 1) or sorted(os.listdir("out")) != names:
        return [f"{words} left alone: {status} {err}"], 0, 0
    faults, killed, replaced = [], 0, 0
    for i in range(times):
        has_old = i % 2 == 0
        begin(names, has_old)
        running = start(words, *(["--force"] if has_old else []))
        time.sleep(length * (random.uniform(0, 1.1) if i % 3 else random.uniform(0.85, 1.1)))
        running.send_signal(signal.SIGKILL)
        running.communicate()
        killed += running.returncode == -signal.SIGKILL
        length *= 1.02 if running.returncode == -signal.SIGKILL else 0.95  # the load of the machine varies
        if running.returncode not in (0, 1, -signal.SIGKILL):
            faults.append(f"{i}: ended with {running.returncode}")
        wrong = wrong_after(names, has_old)
        if wrong:
            faults.append(f"{words[0]} {i}: {wrong}")
        replaced += all(os.path.exists(f"out/{name}") and is_whole(f"out/{name}") for name in names)
        if i % 10 == 9:  # the next command works, and cleans up
            status, err = finish(words, "--force")
            if status not in (0, 1) or sorted(os.listdir("out")) != names:
                faults.append(f"{words[0]} {i}: the next one: {status} {err} {os.listdir('out')}")
    return faults, killed, replaced


def main(times, commands):
    random.seed(20261125)
    write("a.yaml", SCENARIO.encode())
    write("b.yaml", SCENARIO.replace("1000", "1500").encode())
    write("log.csv", LOG.encode())
    good = True
    for command in commands:
        n = times if command == "run" else max(times // 5, 2)
        faults, killed, replaced = kill(*COMMANDS[command], n)
        for fault in faults:
            print(fault)
        print(f"{command}: {n} times, {killed} killed before the end, {replaced} had put the new result in place")
        holds = not faults and killed >= n // 4
        good = good and holds
        print(
            json.dumps(
                {
                    "check": f"{command} is killed at any moment",
                    "published": "the old result or the new one, whole; never a part",
                    "simulated": f"{killed} of {n} killed before their end, {len(faults)} faults",
                    "source": "POSIX.1-2017, rename(): either the old or the new file is seen",
                    "verdict": "holds" if holds else "does not hold",
                    "why": faults[0] if faults else "",
                }
            ),
            flush=True,
        )
    return good


if __name__ == "__main__":
    folder = tempfile.mkdtemp()
    os.chdir(folder)
    try:
        good = main(int(sys.argv[1]) if len(sys.argv) > 1 else 200, sys.argv[2:] or COMMANDS)
    finally:
        os.chdir("/")
        shutil.rmtree(folder)
    sys.exit(0 if good else 1)
