#!/usr/bin/env python3
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Lists the functions of the page's module that may be on the stack while the engine waits.

    suspending.py MODULE.wat OBJECTS

They are those that reach the import page.wait, by calls and by calls through pointers: such a call may reach any function
of its type whose address is taken. Only layers that ask questions of many replicates may wait, and only their calls
through pointers count; it is an error if another function would have to wait, because what may wait is slower.
"""
import pathlib
import re
import subprocess
import sys

MAY_WAIT = "analysis sizing inference search size cheapest browser".split()


def functions_of(text):
    """Yields name, type, the names it calls, and the types of functions that it calls through pointers."""
    for body in re.split(r"\n \(func ", text)[1:]:
        head = body.split("\n", 1)[0]
        name = head[1:].split()[0].rstrip(")")
        of_type = " ".join(re.findall(r"\((?:param|result) [^)]*\)", re.sub(r"\$\d+ ", "", head)))
        yield name, of_type, set(re.findall(r"\(call \$([^\s()]+)", body)), set(
            re.findall(r"\(call_indirect \(type \$([^\s()]+)\)", body))


def shape(of_type):
    """ "(param i32) (param i32) (result i32)" and "(param i32 i32) (result i32)" -> "i32 i32->i32" """
    return "->".join(" ".join(part for one in re.findall(rf"\({word} ([^)]*)\)", of_type) for part in one.split())
                     for word in ("param", "result"))


def layers_of(objects):
    """Maps a function to the layer of its object file."""
    files = sorted(map(str, pathlib.Path(objects).glob("*.o")))
    names = subprocess.run(["llvm-nm-14", "-A", "--defined-only", *files], capture_output=True, text=True, check=True)
    layer = {}
    for line in names.stdout.splitlines():
        path, symbol = line.split(": ", 1)
        name = pathlib.Path(path).name
        layer[symbol.split()[-1]] = name.split("_")[1] if name.startswith("src_") else "library"
    return layer


def main():
    text = pathlib.Path(sys.argv[1]).read_text()
    layer = layers_of(sys.argv[2])
    types = {name: shape(rest) for name, rest in re.findall(r"^ \(type \$(\S+) \(func ?(.*)\)\)$", text, re.M)}
    in_table = set(re.findall(r"\$([^\s()]+)", " ".join(re.findall(r"^ \(elem (.*)\)$", text, re.M))))
    functions = {name: (shape(of_type), calls, {types[one] for one in pointers})
                 for name, of_type, calls, pointers in functions_of(text)}
    waiting = set(re.findall(r'\(import "page" "wait" \(func \$([^\s()]+)', text))
    imported = set(waiting)
    size = -1
    while size < len(waiting):
        size = len(waiting)
        by_pointer = {functions[name][0] for name in waiting & in_table}
        waiting |= {name for name, (_, calls, pointers) in functions.items()
                    if calls & waiting or (layer.get(name) in MAY_WAIT and pointers & by_pointer)}
    waiting -= imported
    wrong = sorted(name for name in waiting if layer.get(name) not in MAY_WAIT)
    if wrong:
        sys.exit("suspending.py: these may not wait, but call what may: " +
                 ", ".join(f"{name} ({layer.get(name)})" for name in wrong[:20]))
    print("\n".join(sorted(waiting)))


main()
