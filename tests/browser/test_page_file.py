# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""The page of the whole tool: up to date, self-contained, guarded, and what `wintergrub page` writes. Needs no browser;
tests/app/browser.py uses one."""

import os
import re
import subprocess
import sys

sys.path.insert(0, os.path.join(os.environ["SRC"], "tests", "cli"))
import unittest

from commands import SRC, CommandTest

PAGE = os.path.join(SRC, "src", "app", "wintergrub.html")
LIMIT = 900_000

# Prints where the stack of the module begins, and what its JavaScript gives it beyond the system's functions.
LOOK = """const fs = require("fs"), zlib = require("zlib"), text = fs.readFileSync(process.argv[1], "utf8");
const packed = /id="module">\\s*(.*?)\\s*<\\/script>/.exec(text)[1], script = fs.readFileSync(process.argv[2], "utf8");
const bytesOf = new Function(/function bytesOf[^]*?\\n}\\n/.exec(script)[0] + "return bytesOf;")(), module = new WebAssembly.Module(zlib.gunzipSync(bytesOf(packed)));
const imports = {}; for (const {module: from, name} of WebAssembly.Module.imports(module)) (imports[from] = imports[from] || {})[name] = () => 0;
const {exports} = new WebAssembly.Instance(module, imports);
console.log(exports.__stack_pointer.value, exports.wg_web_stack() >= exports.__stack_pointer.value, Object.keys(imports).join(), Object.keys(imports.page).sort().join());"""


def read(*path):
    with open(os.path.join(SRC, *path), encoding="utf-8") as file:
        return file.read()


class PageFile(CommandTest):
    def test_current(self):
        """The page was built from the current sources."""
        now = subprocess.run([os.path.join(SRC, "scripts", "build-page"), "--hash"], capture_output=True, text=True, check=True)
        carried = re.search(r'name="wintergrub-made-from" content="([0-9a-f]{64})"', read(PAGE))
        self.assertIsNotNone(carried)
        self.assertEqual(carried[1], now.stdout.strip(), "the page is older than its sources: run scripts/build-page")

    def test_small_and_alone(self):
        page = read(PAGE)
        self.assertLess(os.path.getsize(PAGE), LIMIT)
        self.assertNotRegex(page, r"@import|<link (?!rel=\"icon\" href=\"data:,\")|<img|<iframe|<script[^>]*\bsrc=")
        self.assertNotRegex(page, r"\bfetch\(|XMLHttpRequest|WebSocket|sendBeacon|EventSource|\beval\(|new Function\(")

    def test_policy(self):
        """Nothing runs but what the page holds, by hash; nothing is loaded."""
        policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', read(PAGE))[1]
        rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
        self.assertEqual(rules["default-src"], "'none'")
        self.assertRegex(rules["script-src"], r"^('sha256-[\w+/]{43}=' )+'wasm-unsafe-eval'$")
        self.assertRegex(rules["style-src"], r"^'sha256-[\w+/]{43}='( 'sha256-[\w+/]{43}=')*$")
        self.assertEqual(rules["worker-src"], "blob:")
        self.assertEqual({rules["form-action"], rules["base-uri"]}, {"'none'"})
        self.assertNotIn("unsafe-inline", policy)
        self.assertNotIn("'unsafe-eval'", policy)

    def test_guarded_stack(self):
        """The stack has the first megabyte of memory, below all data, so that an overflow traps."""
        look = subprocess.run(["node", "-e", LOOK, PAGE, os.path.join(SRC, "src", "app", "unpack.js")], capture_output=True, text=True, check=True)
        begins, data_is_above, modules, page = look.stdout.split()
        self.assertEqual(int(begins), 1048576)
        self.assertEqual(data_is_above, "true")
        self.assertEqual(set(modules.split(",")), {"page", "wasi_snapshot_preview1"})
        declared = re.findall(r'WG_HOST_IMPORT\("(\w+)"\)', read("src", "browser", "web", "host.h"))
        self.assertEqual(page.split(","), sorted(declared))

    def test_data_spell_nothing(self):
        """Packed data have no vowel but U, so that a search for a word or a tag finds none in them by chance."""
        blocks = re.findall(r'<script type="application/octet-stream" id="\w+">\n(.*)\n</script>', read("src", "app", "wintergrub.html"))
        self.assertEqual(len(blocks), 2)
        for block in blocks:
            self.assertNotRegex(block, "[AEIOaeiou]")

    def test_notices(self):
        """Every library that the script links has its notice, with the version of the source package."""
        notices, script = read("src", "browser", "notices.c"), read("scripts", "web", "common.sh")
        libraries = set(re.findall(r"fetch_source (\w+)$", script, re.M))
        self.assertEqual(libraries, {"gsl", "libfyaml", "jansson"})
        for name in ("GNU Scientific Library 2.7.1", "libfyaml 0.7.12", "Jansson 2.14", "wasi-libc", "LLVM compiler-rt"):
            self.assertIn(f'{{"{name}"', notices)

    def test_command_writes_the_page(self):
        self.wintergrub("page", "-o", "all.html")
        self.assertIn("all.html", self.stderr)
        with open("all.html", "rb") as written, open(PAGE, "rb") as page:
            self.assertEqual(written.read(), page.read())
        self.wintergrub("page", "-o", "all.html", status=4)
        self.assertIn("--force", self.stderr)
        self.wintergrub("page", "-o", "all.html", "--force")
        self.wintergrub("page", status=2)
        self.wintergrub("page", "all.html", status=2)
        self.nothing_left("all.html")


if __name__ == "__main__":
    unittest.main()
