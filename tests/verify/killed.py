"""A run killed outright (SIGKILL) at any moment, 200 times (or as often as the first word says): what is left behind?

The name holds the old result or the new one, whole, or nothing: never a part of one. What a killed run leaves is a
hidden unfinished file, which the next run for the same name removes. Moments are drawn over the whole length of a run,
with a fixed seed; the last third around its end, where the file gets its name.
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
"""


def is_whole(path):
    """The checksum in the last line, and HDF5 readers besides."""
    with open(path, "rb") as file:
        data = file.read()
    return data[:4] == b"\x89HDF" and data[-83:] == b"wintergrub sha256 %s\n" % hashlib.sha256(data[:-83]).hexdigest().encode()


def start(*more):
    words = [PROGRAM, "run", "a.yaml", "-o", "a.h5", "--quiet", "--threads", "2", *more]
    return subprocess.Popen(words, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)


def finish(*more):
    running = start(*more)
    err = running.communicate()[1].decode()
    return running.returncode, err


def wrong_after(has_old, old):
    """What is not as it must be, or nothing. `old`: the bytes that stood under the name before."""
    left = os.listdir(".")
    unfinished = [name for name in left if name.startswith(".a.h5.") and name.endswith(".part")]
    if [name for name in left if name not in ("a.yaml", "a.h5", *unfinished)]:
        return f"strange files: {left}"
    if "a.h5" not in left:
        return "the old result is gone" if has_old else None
    with open("a.h5", "rb") as file:
        is_old = has_old and file.read() == old
    return None if is_old or is_whole("a.h5") else "a result that is not whole"


def main(times):
    random.seed(20261125)
    with open("a.yaml", "w", encoding="ascii") as file:
        file.write(SCENARIO)
    begun = time.monotonic()
    status, err = finish()
    length = time.monotonic() - begun
    if status != 0 or not is_whole("a.h5"):
        return [f"a run left alone: {status} {err}"], 0, 0
    faults, killed, replaced = [], 0, 0
    for i in range(times):
        has_old = i % 2 == 0
        old = b"an older file"
        if os.path.exists("a.h5"):
            os.unlink("a.h5")
        if has_old:
            with open("a.h5", "wb") as file:
                file.write(old)
        running = start(*(["--force"] if has_old else []))
        time.sleep(length * (random.uniform(0, 1.1) if i % 3 else random.uniform(0.85, 1.1)))
        running.send_signal(signal.SIGKILL)
        running.communicate()
        killed += running.returncode == -signal.SIGKILL
        length *= 1.02 if running.returncode == -signal.SIGKILL else 0.95  # the machine's other work comes and goes
        if running.returncode not in (0, -signal.SIGKILL):
            faults.append(f"{i}: ended with {running.returncode}")
        wrong = wrong_after(has_old, old)
        if wrong:
            faults.append(f"{i}: {wrong}")
        replaced += os.path.exists("a.h5") and is_whole("a.h5")
        if i % 10 == 9:  # the next run works, and cleans up
            status, err = finish("--force")
            if status != 0 or sorted(os.listdir(".")) != ["a.h5", "a.yaml"]:
                faults.append(f"{i}: the next run: {status} {err} {os.listdir('.')}")
    return faults, killed, replaced


if __name__ == "__main__":
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    folder = tempfile.mkdtemp()
    os.chdir(folder)
    try:
        faults, killed, replaced = main(times)
    finally:
        os.chdir("/")
        shutil.rmtree(folder)
    for fault in faults:
        print(fault)
    print(f"{times} runs, {killed} killed before their end, {replaced} had put the new result in place")
    print(
        json.dumps(
            {
                "check": "A run is killed at any moment",
                "published": "the old result or the new one, whole; never a part",
                "simulated": f"{killed} of {times} runs killed before their end, {len(faults)} faults",
                "source": "POSIX.1-2017, rename(): either the old or the new file is seen",
                "verdict": "does not hold" if faults or killed < times // 4 else "holds",
                "why": faults[0] if faults else "",
            }
        )
    )
    sys.exit(1 if faults or killed < times // 4 else 0)
