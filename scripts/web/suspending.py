#!/usr/bin/env python3
"""Lists the functions of the page's module that may be on the stack while the engine waits.

    suspending.py MODULE.wat OBJECTS

They are those that reach the import wait by calls. A call through a pointer may lead anywhere, so a function of ours
that makes one, and is not of the model, counts as waiting, too. Nothing of the model, of libraries or of the page's charts may wait: it
is an error if one of them calls a function that does, because it would have to be slowed down for that.
"""
import pathlib
import re
import subprocess
import sys

MAY_WAIT = "analysis sizing inference search browser".split()  # layers


def functions_of(text):
    """Yields name, the names it calls, and whether it calls through a pointer."""
    for body in re.split(r"\n \(func ", text)[1:]:
        name = body[1:].split()[0].rstrip(")")
        yield name, set(re.findall(r"\(call \$([^\s()]+)", body)), "(call_indirect" in body


def layers_of(objects):
    """Maps a function to the layer of its object file."""
    layer = {}
    for path in pathlib.Path(objects).glob("*.o"):
        names = subprocess.run(["llvm-nm-14", "--defined-only", path], capture_output=True, text=True, check=True).stdout
        for line in names.splitlines():
            layer[line.split()[-1]] = path.name.split("_")[1] if path.name.startswith("src_") else "library"
    return layer


def main():
    text = pathlib.Path(sys.argv[1]).read_text()
    layer = layers_of(sys.argv[2])
    calls, pointed = {}, set()
    for name, called, by_pointer in functions_of(text):
        calls[name] = called
        if by_pointer:
            pointed.add(name)
    importing = re.findall(r'\(import "page" "wait" \(func \$([^\s()]+)', text)
    waiting = set(importing) | {name for name in pointed if layer.get(name) in MAY_WAIT}
    while True:
        more = {name for name, called in calls.items() if called & waiting and name not in waiting}
        if not more:
            break
        waiting |= more
    waiting -= set(importing)
    wrong = sorted(name for name in waiting if layer.get(name) not in MAY_WAIT)
    if wrong:
        sys.exit("suspending.py: these may not wait, but call what may: " +
                 ", ".join(f"{name} ({layer.get(name)})" for name in wrong))
    print("\n".join(sorted(waiting)))


main()
