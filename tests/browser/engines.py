# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The two engines of the page for tests: native (page_bridge.c) and the module of the page in Node (engine_node.mjs)."""

import json
import os
import subprocess

SRC = os.path.abspath(os.environ["SRC"])
SCENARIOS = os.path.join(SRC, "scenarios")
PAGE = os.environ.get("PAGE") or os.path.join(SRC, "src", "app", "wintergrub.html")


class Engine:
    """Answers requests; `events` has those of the last call, `raw` its answer as text."""

    def __init__(self, command):
        self.process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def call(self, stop_after=0, **request):
        if stop_after:
            self.process.stdin.write(f"stop {stop_after}\n")
        return self.ask(json.dumps(request))

    def ask(self, line):
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()
        self.events = []
        for line in self.process.stdout:
            kind, text = line.split(" ", 1)
            if kind == "answer":
                self.raw = text
                return json.loads(text)
            self.events.append(json.loads(text))
        raise AssertionError("the engine ended")

    def close(self):
        self.process.stdin.close()
        self.process.stdout.close()
        self.process.wait()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()


def native():
    return Engine([os.environ["BRIDGE"]])


def module(workers, *fault, path=PAGE):
    """0 workers: one instance without threads. A fault ("call" or "work") of the first workers: engine_node.mjs."""
    return Engine(["node", os.path.join(SRC, "tests", "browser", "engine_node.mjs"), path, str(workers), *fault])


def but(given, *changes):
    """A plan with other words in it."""
    for old, new in changes:
        assert old in given["text"], old
        given = {**given, "text": given["text"].replace(old, new)}
    return given


def plan(name):
    """A shipped plan, with the weather file that it names."""
    with open(os.path.join(SCENARIOS, name), encoding="utf-8") as file:
        given = {"name": name, "text": file.read(), "files": {}}
    folder = os.path.join(SCENARIOS, "weather")
    for weather in sorted(os.listdir(folder)):
        if f"weather/{weather}" in given["text"]:
            with open(os.path.join(folder, weather), encoding="utf-8") as file:
                given["files"][f"weather/{weather}"] = file.read()
    return given


def shipped():
    return sorted(name for name in os.listdir(SCENARIOS) if name.endswith(".yaml"))
