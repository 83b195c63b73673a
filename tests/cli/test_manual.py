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
    def page(self, *topic, columns=200):
        """The page as groff sets it, after a check of its macros."""
        source = self.wintergrub("help", *topic, "--man").encode()
        done = subprocess.run(["groff", "-man", "-ww", "-Tutf8", "-P-cbou", f"-rLL={columns}n"], input=source, capture_output=True)
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

    def topics(self):
        return [(), ("scenario",), ("numbers",), *((command,) for command in self.commands())]

    def test_every_line_fits_a_terminal_of_80_columns(self):
        for topic in self.topics():
            lines = self.page(*topic, columns=78).splitlines()  # man leaves two columns free
            self.assertEqual([line for line in lines if len(line) > 78], [], topic)

    def test_other_pages_are_named(self):
        """Under SEE ALSO, each of the other pages, and a full stop or comma after none but the last."""
        names = {(): "wintergrub(1)", ("scenario",): "wintergrub-plan(5)", ("numbers",): "wintergrub-numbers(7)"}
        names.update({(command,): f"wintergrub-{command}(1)" for command in self.commands()})
        for topic, own in names.items():
            listed = self.page(*topic).partition("SEE ALSO")[2].rpartition("\n\n")[0].replace("\n", " ").split(",")
            self.assertEqual({name.strip() for name in listed}, set(names.values()) - {own}, topic)

    def test_options_without_a_command(self):
        text = self.page()
        for option in ("--help", "--version", "--cite"):
            self.assertRegex(text, rf"(?m)^ +(-h, )?{option}")
            self.wintergrub(option)

    def test_an_unknown_topic(self):
        self.refused("help", "frob", "--man", status=2, expected=['there is no command "frob"'])


if __name__ == "__main__":
    unittest.main()
