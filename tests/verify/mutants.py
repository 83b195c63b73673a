# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Mutation tests: changes the model in one place at a time and runs the tests that apply.

    mutants.py [MUTANTS [SEED]]     20 mutants of the model, and 5 of the answers, with seed 1; 0: only those of mutants_known.txt
    mutants.py --only FILE:LINE     all of one line, once it has its test

An interrupted run goes on where it stopped: what became of each change is kept for the seed, until a file of the tree
changes. A number tagged as judgement gets only the quick tests (JUDGED_S of them), because its survival is only counted.

A mutant is one change in src/species, climate, housing, plan, colony or forecast (the model), or in analysis, sizing,
inference or search (the answers, a quarter as many): a constant by a fifth, a sign, a comparison, a product for a quotient,
a deleted statement. At least 95 of 100 changes of the model must be noticed; those of the answers are measured. Comments, strings, declarations, assertions, messages, memory management and
loop heads are never changed. The file is compiled in a copy of the tree (build-mutants/), and the C tests that can see its
layer are linked and run, first those that are fast, near or have killed others, until one fails. They run without
Criterion's processes (support/runner.c), which take more time than most tests. The output of README and of pages is not
compared: it would detect every change, but cannot say which is right.

A change that the compiler rejects, or that gives the same machine code, does not count. Known equivalent mutants are in
mutants_equivalent.txt, each with its reason. A survivor needs a test, or a line there. A number tagged as judgement is
counted separately if a change by a fifth survives: a test could only repeat it.
"""

import hashlib
import json
import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor

SRC = os.path.abspath(os.environ["SRC"])
HERE = os.path.join(SRC, "tests", "verify")
WORK = os.path.join(SRC, "build-mutants")
TREE, BUILD = os.path.join(WORK, "tree"), os.path.join(WORK, "build")
LIBRARY = "libwintergrub.a"
MODEL = ("species", "climate", "housing", "plan", "colony", "forecast")
ANSWERS = ("analysis", "sizing", "inference", "search")
# test labels that can detect changes of a layer
SEEN_BY = {
    "species": ("species", "science", "colony", "reference", "forecast", "analysis", "inference"),
    "climate": ("climate", "housing", "science", "colony"),
    "housing": ("housing", "science", "colony"),
    "plan": ("plan", "colony", "science", "reference", "forecast", "analysis"),
    "colony": ("colony", "science", "reference", "forecast", "analysis", "inference", "faults"),
    "forecast": ("forecast", "analysis", "sizing", "inference", "science", "faults"),
    "analysis": ("analysis", "sizing", "inference", "forecast", "science", "faults"),
    "sizing": ("sizing", "faults"),
    "inference": ("inference", "faults"),
    "search": ("search",),
}
LABELS = {label for labels in SEEN_BY.values() for label in labels}
WANTED = 0.95  # share of mutants killed
JUDGED_S = 30  # of tests for a number of judgement
# processor time for a test, which a busy machine does not stretch: a change that makes a test much slower has changed it
PATIENCE = 4
MIN_PATIENCE_S = 3
LINK_S = 0.3  # about, for each test and change
SLOW_S = 30  # slower tests run only for their own layer

# ---- where a change can be made -------------------------------------------------------------------------------------------


def mask(text):
    """The text with blanks for what is never changed: comments, strings, preprocessor conditions, assertions, messages."""

    def blank(match):
        return re.sub(r"[^\n]", " ", match.group())

    text = re.sub(r"/\*.*?\*/|//[^\n]*", blank, text, flags=re.S)
    text = re.sub(r'"(?:[^"\\\n]|\\.)*"|\'(?:[^\'\\\n]|\\.)*\'', blank, text)
    text = re.sub(r"^[ \t]*#[ \t]*(?!define)[^\n]*", blank, text, flags=re.M)
    text = re.sub(r"^#define \w+\([^\n]*(\\\n[^\n]*)*", blank, text, flags=re.M)
    text = re.sub(r"\b(wg_assert|wg_fail|calloc|malloc|realloc|sizeof|memcpy|memset|static_assert|_Static_assert)\b[^;]*;", blank, text)
    text = re.sub(r"\bfor \([^\n]*", blank, text)
    return text


# declarations without a value, signatures, cases: a number in them is a size or a name
DECLARATION = re.compile(
    r"^\s*(case |enum |typedef |extern |struct \w+ \{|(static |const |unsigned )*(double|int|int64_t|int32_t|bool|char|void|size_t)"
    r"[ \w*]*(\[[^]]*\])*(, *\**\w+(\[[^]]*\])*)*;)"
)
NUMBER = re.compile(r"(?<![\w.\])])(\d+\.\d*(?:[eE][-+]?\d+)?|\d+[eE][-+]?\d+|\d+)(?![\w.])")
SWAPS = {
    " + ": [" - "],
    " - ": [" + "],
    " * ": [" / "],
    " / ": [" * "],
    " < ": [" >= "],  # where equality is left out it seldom happens; where it is written it was meant
    " > ": [" <= "],
    " <= ": [" < ", " > "],
    " >= ": [" > ", " < "],
    " == ": [" != "],
    " != ": [" == "],
    " && ": [" || "],
    " || ": [" && "],
    " += ": [" -= "],
    " -= ": [" += "],
    "fmin(": ["fmax("],
    "fmax(": ["fmin("],
}
SWAP = re.compile("|".join(re.escape(word) for word in sorted(SWAPS, key=len, reverse=True)))
UNARY = re.compile(r"(?<=[(=,?:] )-(?=[\w(])|(?<=\()-(?=[\w(])|(?<=return )-(?=[\w(])")
STATEMENT = re.compile(r"^\s+(?:[\w.\[\]>()-]+ (?:[-+*/]?=) [^;{}]*|[a-z_]+\([^;{}]*\));$")


def changes_of(path):
    """(path, line from 0, column, old, new) of every change in a file."""
    with open(os.path.join(SRC, path), encoding="utf-8") as file:
        text = file.read()
    found, whole = [], text.split("\n")
    for n, line in enumerate(mask(text).split("\n")):
        if DECLARATION.match(line):
            continue
        for match in NUMBER.finditer(line):
            old = match.group()
            real = not old.isdigit()
            if (not real and int(old) < 2) or float(old) == 0 or re.search(r"\[\s*$", line[: match.start()]):
                continue
            for factor in (1.2, 0.8):
                new = repr(float(old) * factor) if real else str(int(old) + (max(1, round(int(old) / 5)) if factor > 1 else -max(1, round(int(old) / 5))))
                found.append((path, n, match.start(), old, new))
        for match in SWAP.finditer(line):
            found += [(path, n, match.start(), match.group(), new) for new in SWAPS[match.group()]]
        found += [(path, n, match.start(), "-", "") for match in UNARY.finditer(line)]
        if STATEMENT.match(line):
            start = len(line) - len(line.lstrip())
            found.append((path, n, start, whole[n][start:], ";"))
    return found


def all_changes(layers):
    paths = []
    for layer in layers:
        folder = os.path.join("src", layer)
        paths += [os.path.join(folder, name) for name in sorted(os.listdir(os.path.join(SRC, folder))) if name.endswith((".c", ".h"))]
    return [change for path in paths for change in changes_of(path)]


def table(name):
    """The rows of a text file: fields separated by " | ", without comments."""
    with open(os.path.join(HERE, name), encoding="utf-8") as file:
        return [[field.strip() for field in row.split(" | ")] for row in file if row.strip() and not row.startswith("#")]


def line_of(path, n):
    with open(os.path.join(SRC, path), encoding="utf-8") as file:
        return file.read().split("\n")[n]


def without_meaning(change, rows):
    path, n, _, old, _ = change
    line = line_of(path, n)
    return any(row[0] in (path, "*") and (row[1] == "*" or row[1] in line) and (len(row) < 4 or row[2] == old) for row in rows)


def tag_of(change):
    """The source tag of a number: the comment on its line, or the one above it in the same paragraph; in lower case."""
    path, n, column, _, _ = change
    with open(os.path.join(SRC, path), encoding="utf-8") as file:
        lines = file.read().split("\n")
    here = "\n".join([lines[n][column:], *lines[n + 1 : n + 5]])
    if "/*" in lines[n][column:]:
        return here[here.index("/*") + 2 :].split("*/")[0].strip(" *\n").lower()
    above = "\n".join(lines[:n]).split("\n\n")[-1]
    return above[above.rindex("/*") + 2 :].split("*/")[0].strip(" *\n").lower() if "/*" in above else ""


def is_judgement(change):
    """True for a number that was chosen, not measured: nothing outside can show that a fifth more is wrong."""
    path, n, column, old, _ = change
    if not NUMBER.fullmatch(old):
        return False
    if path == "src/plan/feed.c":  # the source of a feed is a field of its row; moisture comes first
        with open(os.path.join(SRC, path), encoding="utf-8") as file:
            row = "\n".join(file.read().split("\n")[n:])[column:].split("},")[0]
        return bool(re.search(r"(numbers|rest|quality:)\s+\"?\s*\"?judgement", row)) and line_of(path, n)[:column].count(",") > 1
    if path == "src/climate/sketch.c":  # its head says so of all; tests/climate/test_sketch.c bounds them by towns
        return line_of(path, n).lstrip().startswith(".")
    tag, name = tag_of(change), line_of(path, n)[:column]
    of_slope = re.search(r"(\.s|_slope) = $", name) and "slope judgement" in tag
    return bool(of_slope) or tag.startswith("judgement")


# ---- the tree that is changed ---------------------------------------------------------------------------------------------


def sh(*words, timeout=None, **more):
    return subprocess.run(words, capture_output=True, text=True, errors="replace", timeout=timeout, check=False, **more)


def copy_tree():
    """
    Copies the working tree, uncommitted files included; unchanged files keep their time, so that little is rebuilt.
    Returns True if anything changed.
    """
    changed = False
    listed = sh("git", "-C", SRC, "ls-files", "-co", "--exclude-standard", "-z")
    names = [name for name in listed.stdout.split("\0") if name]
    if listed.returncode != 0 or not names:  # a source tree without git
        names = [
            os.path.relpath(os.path.join(folder, name), SRC)
            for top in ("src", "tests", "scripts", "scenarios", ".")
            for folder, _, files in (os.walk(os.path.join(SRC, top)) if top != "." else [(SRC, [], os.listdir(SRC))])
            for name in files
            if os.path.isfile(os.path.join(folder, name))
        ]
    for name in names:
        source, target = os.path.join(SRC, name), os.path.join(TREE, name)
        if not os.path.isfile(source):
            continue
        os.makedirs(os.path.dirname(target), exist_ok=True)
        with open(source, "rb") as file:
            data = file.read()
        if os.path.exists(target):
            with open(target, "rb") as file:
                if file.read() == data:
                    continue
        changed = changed or not (name.endswith(".md") or name.startswith(("tests/verify/", "scripts/")))
        with open(target, "wb") as file:
            file.write(data)
        shutil.copymode(source, target)
    kept = set(names)
    for folder, _, files in os.walk(TREE):
        for name in files:
            if os.path.relpath(os.path.join(folder, name), TREE) not in kept:
                os.unlink(os.path.join(folder, name))
    return changed


def prepare():
    """The C tests of the labels with their times; measured once for a tree, in which all must pass."""
    times = os.path.join(WORK, "times.json")
    changed = copy_tree()
    options = ["-DCMAKE_C_COMPILER_LAUNCHER=ccache"] if shutil.which("ccache") else []
    if shutil.which("ld.lld"):  # there is one link for each test and change
        options.append("-DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=lld")
    made = sh("cmake", "-S", TREE, "-B", BUILD, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release", "-DBUILD_TESTING=ON", *options)
    if made.returncode != 0:
        sys.exit(f"mutants: {made.stderr}")
    listed = json.loads(sh("ctest", "--test-dir", BUILD, "--show-only=json-v1").stdout)
    tests = []
    for test in listed["tests"]:
        about = {p["name"]: p["value"] for p in test["properties"]}
        label = about.get("LABELS", [""])[0]
        if label in LABELS and "." not in os.path.basename(test["name"]):
            target = test["name"].replace("/", "_", 1)
            tests.append({"name": test["name"], "label": label, "target": target, "about": about})
    made = sh("ninja", "-C", BUILD, *(test["target"] for test in tests))
    if made.returncode != 0:
        sys.exit(f"mutants: cannot be built without any change: {made.stdout[-2000:]}")
    runner = os.path.join(WORK, "runner.o")
    source = os.path.join(HERE, "support", "runner.c")
    if not shell(f"cc -c -O2 -std=c17 -D_POSIX_C_SOURCE=200809L '{source}' -o '{runner}'"):
        sys.exit("mutants: tests/verify/support/runner.c cannot be compiled")
    for test in tests:
        told = sh("ninja", "-C", BUILD, "-t", "commands", "-s", f"tests/{test['name']}").stdout.strip().split("\n")[-1]
        test["program"] = os.path.join(BUILD, "tests", test["name"] + ".alone")
        test["link"], outputs = re.subn(r" -o \S+", f" -o '{test['program']}'", told)
        test["link"], libraries = re.subn(r"\S*criterion\S*\.so\S*|-lcriterion\b", f"-Wl,--as-needed '{runner}'", test["link"])
        if outputs != 1 or libraries != 1 or not shell(test["link"]):
            sys.exit(f"mutants: {test['name']} cannot be linked: {told}")
    takes = {}
    if not changed and os.path.exists(times):
        with open(times, encoding="ascii") as file:
            takes = json.load(file)
    for test in tests:
        test["takes"] = takes.get(test["name"]) or measure(test)
    with open(times, "w", encoding="ascii") as file:
        json.dump({test["name"]: test["takes"] for test in tests}, file)
    return tests


def start_test(test, patience):
    """Starts it with a limit of processor time. The environment is that of ctest; process start-up is not (support/runner.c)."""
    variables = dict(word.split("=", 1) for word in test["about"]["ENVIRONMENT"])
    seconds = int(patience) + 1
    return subprocess.Popen(
        [test["program"]],
        env={**os.environ, **variables},
        cwd=test["about"]["WORKING_DIRECTORY"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        start_new_session=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 5)),
    )


def kill_test(process):
    try:
        os.killpg(process.pid, signal.SIGKILL)  # each test is a process of its own
    except ProcessLookupError:
        pass


def finish_test(test, process, patience):
    """Returns True if it passed. Each of its tests is a child with the same limit; a test that waits is ended by the clock."""
    try:
        told = process.communicate(timeout=60 + 30 * patience)[0]
    except subprocess.TimeoutExpired:
        kill_test(process)
        process.communicate()
        return False
    return process.returncode == 0 and not any(re.search(word, told) for word in test["about"]["FAIL_REGULAR_EXPRESSION"])


def measure(test):
    """Returns the seconds of processor time that the test takes; nothing else runs meanwhile."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    if not finish_test(test, start_test(test, 1200), 40):
        sys.exit(f"mutants: {test['name']} fails without any change")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    print(f"{seconds:6.1f} s {test['name']}", flush=True)
    return seconds


def shell(command):
    return subprocess.run(command, shell=True, cwd=BUILD, capture_output=True, check=False).returncode == 0


class Changed:
    """Context manager: the model library with one file changed; restores everything afterwards, times too."""

    def __init__(self, path, text, tests):
        self.path, self.text = os.path.join(TREE, path), text
        self.targets = [test["target"] for test in tests]
        self.is_header = path.endswith(".h")  # tests include it too: ninja knows which

    def __enter__(self):
        """Returns "refused", "same", or None if the library differs."""
        names = [self.path]
        if not self.is_header:
            with open(os.path.join(BUILD, "compile_commands.json"), encoding="utf-8") as file:
                command = next(one["command"] for one in json.load(file) if one["file"] == self.path)
            made = os.path.join(BUILD, re.search(r" -o (\S+)", command).group(1))
            names += [made, os.path.join(BUILD, LIBRARY)]
        self.kept = []
        for name in names:
            with open(name, "rb") as file:
                self.kept.append((name, file.read(), os.stat(name)))
        with open(self.path, "w", encoding="utf-8") as file:
            file.write(self.text)
        if self.is_header:
            return None if shell(f"ninja {LIBRARY}") else "refused"
        if not shell(command):
            return "refused"
        with open(made, "rb") as file:
            if file.read() == self.kept[1][1]:
                return "same"
        return None if shell(f"ar r {LIBRARY} {made}") else "refused"

    def link(self, test):
        return (not self.is_header or shell(f"ninja {test['target']}")) and shell(test["link"])

    def __exit__(self, *_):
        for name, data, stat in self.kept:
            with open(name, "wb") as file:
                file.write(data)
            if not self.is_header:
                os.utime(name, ns=(stat.st_atime_ns, stat.st_mtime_ns))
        if self.is_header:
            shell("ninja " + " ".join(self.targets))


def quickest(tests, rank, seconds):
    """The first of the tests in their order, until they take so long together."""
    total, chosen = 0, []
    for test in sorted(tests, key=rank):
        total += test["takes"]
        if total > seconds and chosen:
            break
        chosen.append(test)
    return chosen


def try_text(path, text, tests, seconds=float("inf")):
    """
    Returns the fate of a changed file: "refused", "same", "killed by ...", or None for a survivor of the tests that take
    `seconds` together.
    """
    layer = path.split("/")[1]
    own = "test_" + os.path.splitext(os.path.basename(path))[0]
    seeing = [t for t in tests if t["label"] == layer or (t["label"] in SEEN_BY[layer] and t["takes"] < SLOW_S)]

    def rank(test):
        """Expected seconds to a kill: fast tests, those of the file and those that killed others come first."""
        near = 10 if os.path.basename(test["name"]) == own else 2 if test["label"] == layer else 1
        kills = test.setdefault("kills", {})
        return (test["takes"] + LINK_S) / near / (1 + kills.get(layer, 0) + 4 * kills.get(path, 0))

    def one(test):
        """Returns whether it fails; None if it is no longer needed, or the change does not link."""
        if noticed or not changed.link(test):
            return None
        patience = max(MIN_PATIENCE_S, PATIENCE * test["takes"])
        process = start_test(test, patience)
        running.append(process)
        passed = finish_test(test, process, patience)
        running.remove(process)
        if not passed and not noticed:
            noticed.append(test)
            for other in list(running):  # no other answer is needed
                kill_test(other)
        return passed

    noticed, running = [], []
    changed = Changed(path, text, tests)
    with changed as what:
        if what is not None:
            return what
        with ThreadPoolExecutor(1 if changed.is_header else os.cpu_count()) as pool:
            answers = list(pool.map(one, quickest(seeing, rank, seconds)))
    if not noticed:
        return "refused" if None in answers else None
    kills = noticed[0]["kills"]
    for place in (layer, path):
        kills[place] = kills.get(place, 0) + 1
    return f"killed by {noticed[0]['name']}"


def try_change(change, tests):
    path, n, column, old, new = change
    with open(os.path.join(SRC, path), encoding="utf-8") as file:
        lines = file.read().split("\n")
    assert lines[n][column : column + len(old)] == old
    lines[n] = lines[n][:column] + new + lines[n][column + len(old) :]
    return try_text(path, "\n".join(lines), tests, JUDGED_S if is_judgement(change) else float("inf"))


# ---- what is already known ----------------------------------------------------------------------------------------------


class Diary:
    """What became of each change, in a file of build-mutants/ for one tree, from one run to the next."""

    def __init__(self, tests):
        whole = hashlib.sha256()
        for folder, folders, files in os.walk(TREE):
            folders.sort()
            for name in sorted(files):
                path = os.path.relpath(os.path.join(folder, name), TREE)
                if not (name.endswith(".md") or path.startswith("scripts/") or name in ("mutants_equivalent.txt", "mutants_known.txt")):
                    with open(os.path.join(folder, name), "rb") as file:
                        whole.update(path.encode() + b"\0" + hashlib.sha256(file.read()).digest())
        self.path = os.path.join(WORK, f"fates-{whole.hexdigest()[:16]}.jsonl")
        self.fates = {}
        named = {test["name"]: test for test in tests}
        for name in os.listdir(WORK):
            if name.startswith("fates-") and name != os.path.basename(self.path):
                os.unlink(os.path.join(WORK, name))  # of another tree
        if not os.path.exists(self.path):
            return
        with open(self.path, encoding="utf-8") as file:
            rows = [row for row in file if row.endswith("\n")]  # the last is cut short if the run was killed
        with open(self.path, "w", encoding="utf-8") as file:
            file.writelines(rows)
        for row in rows:
            key, fate = json.loads(row)
            self.fates[json.dumps(key)] = fate
            killer = named.get((fate or "").removeprefix("killed by "))
            for place in (key[0].split("/")[1], key[0]) if killer else ():
                kills = killer.setdefault("kills", {})
                kills[place] = kills.get(place, 0) + 1
        print(f"{len(self.fates)} changes of this tree were tried before", flush=True)

    def fate(self, key, find):
        """Returns the fate of a change, found with find() if it is not known."""
        row = json.dumps(key)
        if row not in self.fates:
            self.fates[row] = find()
            with open(self.path, "a", encoding="utf-8") as file:
                file.write(json.dumps([key, self.fates[row]]) + "\n")
        return self.fates[row]


# ---- all of it ------------------------------------------------------------------------------------------------------------


def tell(number, what, where, old, new):
    print(f"{number:4} {what or 'SURVIVED'}: {where}\n       - {old.strip()}\n       + {new.strip()}", flush=True)


def try_known(tests, diary):
    """Tries the manual mutants: those that survived then have tests now."""
    survivors, tried = [], 0
    for path, old, new in table("mutants_known.txt"):
        tried += 1
        with open(os.path.join(SRC, path), encoding="utf-8") as file:
            text = file.read()
        if text.count(old) != 1:
            print(f"     gone: {path} has no \"{old}\" any more", flush=True)
            survivors.append(f"{path}: has no \"{old}\" any more")
            continue
        what = diary.fate([path, old, new], lambda: try_text(path, text.replace(old, new), tests))
        tell(tried, what, f"{path}:{text[: text.index(old)].count(chr(10)) + 1}", old, new)
        if what is None or not what.startswith("killed"):
            survivors.append(f"{path}: {old} -> {new}")
    return survivors, [], tried


def shuffled(layers, seed):
    """All changes in an order by chance that their own text decides: work elsewhere in the tree leaves the first ones first."""
    changes = all_changes(layers)
    print(f"{len(changes)} changes could be made in {', '.join(layers)}", flush=True)
    files = {}

    def order(change):
        path, n, column, old, new = change
        if path not in files:
            with open(os.path.join(SRC, path), encoding="utf-8") as file:
                files[path] = file.read().split("\n")
        line = files[path][n]
        place = len(line[:column].lstrip())
        return hashlib.sha256(f"{seed} {path} {line.strip()} {place} {old} {new}".encode()).digest()

    return sorted(changes, key=order)


def of_line(place):
    path, line = place.split(":")
    return [change for change in changes_of(path) if change[1] == int(line) - 1]


def try_some(tests, changes, wanted, diary):
    rows, survivors, judged, tried = table("mutants_equivalent.txt"), [], [], 0
    for change in changes:  # a new line in that table leaves the others of a seed as they are
        if tried == wanted:
            break
        if without_meaning(change, rows):
            continue
        what = diary.fate(change, lambda: try_change(change, tests))
        if what in ("refused", "same"):
            continue
        tried += 1
        path, n, column, old, new = change
        line = line_of(path, n)
        chosen = what is None and is_judgement(change)
        tell(tried, "judgement, noticed by nobody" if chosen else what, f"{path}:{n + 1}", line, line[:column] + new + line[column + len(old) :])
        if what is None:
            (judged if chosen else survivors).append(f"{path}:{n + 1} {old.strip()} -> {new.strip() or 'nothing'}")
    return survivors, judged, tried


def conclude(what, source, outcome, must_hold):
    """Prints what became of the changes, and the check for the page. Returns True if enough were noticed."""
    survivors, judged, tried = outcome
    killed = tried - len(survivors) - len(judged)
    holds = tried > 0 and len(survivors) <= (1 - WANTED) * tried
    simulated = f"{killed} of {tried} noticed, {len(judged)} numbers of judgement and {len(survivors)} others not"
    print(simulated)
    for title, rows in (("judgement", judged), ("survivors", survivors)):
        print("\n".join([f"{title}:", *rows] if rows else [f"no {title}"]))
    line = {
        "check": f"{tried} changes of {what}, one at a time: how many the tests notice",
        "published": f"all but numbers of judgement and {100 * (1 - WANTED):.0f} % others" if must_hold else "",
        "simulated": simulated,
        "source": source,
        "verdict": "measured" if not must_hold else "holds" if holds else "does not hold",
    }
    if survivors:
        line["why"] = "not noticed: " + "; ".join(survivors)
    print(json.dumps(line, ensure_ascii=False), flush=True)
    return holds or not must_hold


def main():
    only = sys.argv[2] if sys.argv[1:2] == ["--only"] else None
    words = [] if only else sys.argv[1:]
    wanted, seed = (int(word) for word in (words + ["20", "1"][len(words) :])[:2])
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))  # the tree is put back
    tests = prepare()
    print(f"{len(tests)} tests, together {sum(test['takes'] for test in tests):.0f} s", flush=True)
    diary = Diary(tests)
    started, known = time.monotonic(), len(diary.fates)
    if only:
        holds = conclude("one line", only, try_some(tests, of_line(only), -1, diary), True)
    elif wanted == 0:
        holds = conclude("the model", "tests/verify/mutants_known.txt", try_known(tests, diary), True)
    else:
        source = f"tests/verify/mutants.py, seed {seed}"
        holds = conclude("the model", source, try_some(tests, shuffled(MODEL, seed), wanted, diary), True)
        answers = try_some(tests, shuffled(ANSWERS, seed), (wanted + 3) // 4, diary)
        conclude("the answers", source, answers, False)
    print(f"{(time.monotonic() - started) / max(1, len(diary.fates) - known):.0f} s for each that was tried now")
    return 0 if holds else 1


if __name__ == "__main__":
    sys.exit(main())
