# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Prints the dictionary for fuzzing scenarios: every key and word of the schema, and text that breaks YAML readers.

    wintergrub schema | python3 tests/fuzz/dictionary.py > tests/fuzz/scenario.dict    (run.dict is the same file)
"""

import json
import sys

LONGEST = 60  # bytes: the longest entry that libFuzzer uses

BREAKERS = r"""
"2026-01-01"
"0000-01-01"
"9999-12-31"
"02-29"
"1e308"
"1e-308"
"nan"
"inf"
"0x10"
"999999999999"
"&a "
"*a"
"<<: "
"!!str "
"---\x0a"
"...\x0a"
"%YAML 1.1\x0a"
"? "
"- "
": "
"| "
">-\x0a "
"''''"
"\"\\x1b\""
"\"\\u202e\""
"\x00"
"\xef\xbb\xbf"
"\x0d\x0a"
"\xc2\x85"
"\xe2\x80\xa8"
"{{{{"
"[[[["
"""


def words_of(value):
    """Returns the texts of all `enum` and `const` in a part of the schema."""
    if isinstance(value, list):
        for part in value:
            yield from words_of(part)
    elif isinstance(value, dict):
        yield from (word for word in value.get("enum", []) + [value.get("const")] if isinstance(word, str))
        for name, part in value.items():
            if name not in ("enum", "const", "properties"):
                yield from words_of(part)


def dictionary(schema):
    keys, words = {}, {}
    for group in [schema, *schema["$defs"].values()]:
        for name, key in group["properties"].items():
            keys[name + ": "] = None
            words.update(dict.fromkeys(words_of(key)))
            words.update(dict.fromkeys(example for example in key.get("examples", []) if len(example) < LONGEST))
    entries = ['"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"' for text in [*keys, *words]]
    return "# keys and words of a scenario (dictionary.py), and text that breaks YAML readers\n" + "\n".join(entries) + BREAKERS


if __name__ == "__main__":
    sys.stdout.write(dictionary(json.load(sys.stdin)))
