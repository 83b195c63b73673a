# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks the manual pages: groff finds no mistake in them, and they hold every option, key and number.

The reference for the macros is groff, with all warnings.
"""

import re
import subprocess
import unittest

from commands import CommandTest


class Manual(CommandTest):
    def page(self, *topic):
        """The page as groff sets it, after a check of its macros."""
        source = self.wintergrub("help", *topic, "--man").encode()
        done = subprocess.run(["groff", "-man", "-ww", "-Tutf8", "-P-cbou", "-rLL=200n"], input=source, capture_output=True)
        self.assertEqual((done.returncode, done.stderr), (0, b""), topic)
        text = done.stdout.decode().replace("\u2212", "-").replace("\u2010", "-")
        self.assertRegex(text, r"(?m)^NAME\n +wintergrub\S* - \S")
        return text

    def commands(self):
        return [name for name in re.findall(r"^  wintergrub (\w+) ", self.wintergrub("help"), re.M) if name != "help"]

    def test_the_program(self):
        text = self.page()
        for command in self.commands():
            self.assertRegex(text, rf"(?m)^ +{command}\b")
            self.assertIn(f"wintergrub-{command}(1)", text)

    def test_commands(self):
        self.assertGreater(len(self.commands()), 10)
        for command in self.commands():
            text = self.page(command)
            for option in re.findall(r"--[a-z-]+", self.wintergrub("help", command)):
                self.assertIn(option, text, command)

    def test_keys_and_numbers(self):
        plan = self.page("scenario")
        for group in re.findall(r"^(\w+(?: \w+)?)  +", self.wintergrub("help", "scenario"), re.M):
            self.assertRegex(plan, rf"(?m)^   {group}$")
        numbers = self.page("numbers")
        names = re.findall(r"^(\w+) ", self.wintergrub("help", "numbers").partition("\n\n")[2], re.M)
        self.assertGreater(len(names), 100)
        for name in names:
            self.assertRegex(numbers, rf"(?m)^ +{name}\b")

    def test_an_unknown_topic(self):
        self.refused("help", "frob", "--man", status=2, expected=['there is no command "frob"'])


if __name__ == "__main__":
    unittest.main()
