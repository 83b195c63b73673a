# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that the page of a comparison agrees with its table, including ties and unknown costs."""

import html
import json
import re
import unittest

from commands import CommandTest


class Page(CommandTest):
    def page(self, *names):
        document = json.loads(self.wintergrub("compare", *names, "--replicates", "8", "-q", "--json", "-o", "out.h5"))
        self.wintergrub("report", "out.h5", "-o", "out.html")
        with open("out.html", encoding="utf-8") as file:
            return document, " ".join(re.sub(r"<[^>]+>", " ", file.read()).split())

    def test_ties_are_shown(self):
        self.copy("crow-lane-outdoors.yaml", "a.yaml")
        self.copy("crow-lane-hoop-house.yaml", "b.yaml")
        document, page = self.page("a.yaml", "b.yaml")
        survived = document["pairs"][0]["differences"]["survived"]
        self.assertGreater(survived["ties"], 0)
        words = f"{survived['times_better']}, worse in {survived['times_worse']}, no difference in {survived['ties']}"
        self.assertIn(words, page)
        self.assertAlmostEqual(survived["chance_better"], survived["times_better"] / 8)
        self.assertIn(" ".join(document["verdict"].split()), page, "the page begins with the same verdict")
        for setup in document["setups"]:
            if setup["why"]:
                cause = setup["why"].split(".")[0].split(": ")[1]
                self.assertIn(f"Why {setup['letter']} dies: {cause}.", page)
        for warning in (w for setup in document["setups"] for w in setup["warnings"]):
            self.assertIn(" ".join(warning["text"].split()), html.unescape(page))

    def test_missing_prices_are_shown(self):
        self.copy("crow-lane-shed.yaml", "a.yaml")
        with open("a.yaml", encoding="utf-8") as file:
            text = file.read()
        bare = re.sub(r",? *price: *[^,}\n]*", "", text)
        self.assertNotEqual(bare, text)
        with open("b.yaml", "w", encoding="utf-8") as file:
            file.write(bare)
        _, page = self.page("a.yaml", "b.yaml")
        self.assertIn("B: the cost is not known", page)
        self.assertNotIn("A: the cost is not known", page)

    def test_what_matters_has_the_cautions(self):
        self.copy("crow-lane-shed.yaml", "a.yaml")
        with open("a.yaml", encoding="utf-8") as file:
            text = re.sub(r"to: 2027-09-14", "to: 2026-10-31", file.read())
        with open("a.yaml", "w", encoding="utf-8") as file:
            file.write(text)
        words = ("run", "a.yaml", "--what-matters", "--at-most", "2000", "-q")
        text = " ".join(self.wintergrub(*words).split())
        for caution in ("licensed electrician", "Feeding waste-fed larvae"):
            self.assertIn(caution, text)
        self.assertEqual(len(json.loads(self.wintergrub(*words, "--json"))["cautions"]), 2)


if __name__ == "__main__":
    unittest.main()
