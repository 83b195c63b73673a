# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks the odds over animals and winters that run prints: against numpy on the result file, over all pairs of years."""

import json
import re
import unittest

import h5py
import numpy as np
from commands import CommandTest

N = 256  # 64 animals in 4 winters each
WHERE = "harrow-hill-outdoors.yaml"


def components(value, animal, winter):
    """Means of half the squared difference over pairs by what they share: nothing, animal, winter."""
    half = (value[:, None] - value[None, :]) ** 2 / 2
    same_animal, same_winter = animal[:, None] == animal[None, :], winter[:, None] == winter[None, :]
    other = ~np.eye(len(value), dtype=bool)
    nothing = half[~same_animal & ~same_winter].mean()
    by_animal = half[same_animal & ~same_winter & other].mean()
    by_winter = half[~same_animal & same_winter & other].mean()
    animals = min(max(nothing - by_animal, 0), nothing)
    winters = min(max(nothing - by_winter, 0), nothing - animals)
    return animals, winters, nothing - animals - winters


class Odds(CommandTest):
    kept = None  # what all tests look at

    def setUp(self):
        super().setUp()
        self.copy(WHERE)
        Odds.kept = Odds.kept or self.forecast()
        self.said, self.text, self.value = Odds.kept

    def forecast(self):
        words = ("run", WHERE, "--replicates", str(N), "--force", "-o", "odds.h5")
        said, text = json.loads(self.wintergrub(*words, "--json")), self.wintergrub(*words)
        with h5py.File("odds.h5") as file:
            value = {name: file[name][()] for name in ("survived", "total_harvest_mass", "animal", "winter")}
            provenance = file["provenance"]
            column = [name.decode() for name in provenance["parameter"][()]].index("dormancy_by_day_length")
            kind = dict(zip(provenance["plausible_animal"][()], provenance["plausible_value"][:, column]))
            value["by_day"] = np.array([kind[animal] == 1 for animal in value["animal"]])
            return said, text, value

    def split_of(self, name):
        return components(self.value[name], self.value["animal"], self.value["winter"])

    def test_components_are_those_of_all_pairs(self):
        self.assertEqual(self.said["animals"], "plausible")
        self.assertEqual(len(np.unique(self.value["animal"])), 64)
        for key, name in (("survival", "survived"), ("harvest", "total_harvest_mass")):
            variance = self.said[key]["variance"]
            for told, wanted in zip((variance["animals"], variance["winters"], variance["rest"]), self.split_of(name)):
                self.assertAlmostEqual(told, wanted, delta=1e-9 * self.value[name].var(), msg=key)
        self.assertAlmostEqual(self.said["harvest"]["mean"], self.value["total_harvest_mass"].mean(), delta=1e-9)
        self.assertEqual(self.said["survival"]["alive"], int(self.value["survived"].sum()))

    def test_bands_are_those_of_the_animals_and_winters(self):
        """Means of 4 years, drawn towards the mean by the root of the share of their variance that is no noise."""
        value, mean = self.value["total_harvest_mass"], self.value["total_harvest_mass"].mean()
        animals, winters, rest = self.split_of("total_harvest_mass")
        for key, by, own, other in (("animals", "animal", animals, winters), ("winters", "winter", winters, animals)):
            means = np.array([value[self.value[by] == i].mean() for i in np.unique(self.value[by])])
            kept = np.sqrt(own / (own + (other + rest) / 4))
            found = self.said["harvest"][key]
            self.assertEqual(found["of"], 64)
            for name, q in (("q05", 0.05), ("q50", 0.5), ("q95", 0.95)):
                self.assertAlmostEqual(found[name], np.quantile(mean + kept * (means - mean), q), delta=1e-9 * mean)

    def test_the_interval_allows_for_animals_and_winters(self):
        """Near the root of animals/64 + winters/64 + rest/256: Student's quantile and the skewness move the ends."""
        animals, winters, rest = self.split_of("total_harvest_mass")
        error = np.sqrt(animals / 64 + winters / 64 + rest / N)
        harvest, survival = self.said["harvest"], self.said["survival"]
        self.assertAlmostEqual((harvest["high"] - harvest["low"]) / error, 4, delta=0.3)
        for answer in (harvest, survival):
            self.assertLess(answer["low"], answer["luck"]["low"])
            self.assertGreater(answer["high"], answer["luck"]["high"])

    def test_each_kind_of_dormancy_has_the_share_of_its_animals(self):
        """By the numbers of the animals in the file; here the kinds differ, and the text says so."""
        found, by_day = self.said["survival_by_dormancy"], self.value["by_day"]
        shares = {}
        for key, these in (("by_day_length", by_day), ("by_cold_only", ~by_day)):
            self.assertEqual(found[key]["of"], N / 2)
            shares[key] = self.value["survived"][these].mean()
            self.assertAlmostEqual(found[key]["share"], shares[key], delta=1e-12)
            self.assertTrue(found[key]["low"] < shares[key] < found[key]["high"])
        self.assertTrue(found["beyond_luck"])
        day, cold = (f"{100 * share:.0f}" for share in shares.values())
        self.assertIn(
            f"Nobody knows whether prepupae go dormant by day length (alive in {day} of 100 years) or by cold only (in {cold}).",
            " ".join(self.text.split()),
        )
        self.assertIsNone(self.said["numbers"], "no animal of the set lives")

    def test_the_text_says_the_same(self):
        survival, harvest = self.said["survival"], self.said["harvest"]
        share, low, high = map(
            float, re.search(r"^Alive at the end in (\S+) of 100 years \(between (\S+) and (\S+)\)$", self.text, re.M).groups()
        )
        for shown, told in ((share, survival["share"]), (low, survival["low"]), (high, survival["high"])):
            self.assertAlmostEqual(shown, 100 * told, delta=0.51)
        for label, ends, kg in (
            ("Luck of 256 years", survival["luck"].values(), harvest["luck"].values()),
            ("Unknown animal", (survival["animals"][q] for q in ("q05", "q95")), (harvest["animals"][q] for q in ("q05", "q95"))),
            ("Winter to winter", (survival["winters"][q] for q in ("q05", "q95")), (harvest["winters"][q] for q in ("q05", "q95"))),
        ):
            shown = re.search(rf"^  {label} +(\S+) to (\S+) +(\S+) to (\S+) kg \(", self.text, re.M)
            self.assertIsNotNone(shown, label)
            for word, told in zip(shown.groups(), [100 * end for end in ends] + list(kg)):
                self.assertAlmostEqual(float(word), told, delta=max(0.51, 0.051 * told), msg=label)
        self.assertIn(f"seen in June: alive in {100 * survival['share_without_june']:.0f} of 100", self.text)

    def test_the_south_and_years_that_end_alike(self):
        """June is early summer in the north alone; that all years die does not make them alike."""
        with open(WHERE, encoding="utf-8") as file:
            plan = re.sub(r"latitude: .*", "latitude: 42 S", file.read(), count=1)
        plan = re.sub(r"amount: [^,]*", "amount: 0 lb", plan)
        with open("south.yaml", "w", encoding="utf-8") as file:
            file.write(re.sub(r"stage: larva, age: [^,]*", "stage: egg", plan))
        text = " ".join(self.wintergrub("run", "south.yaml", "--replicates", "128", "-q").split())
        self.assertIn("seen in June, north of the equator: alive in", text)
        self.assertIn(
            "The colony dies out in all 128 years. It is 95 % sure that fewer than 4.7 of 100 animals would live in any of 2 such years.", text)
        self.assertNotIn("are alike", text)

    def test_the_dots_are_those_of_the_sentence(self):
        some = int(re.search(r"^Alive at the end in (\d+) of 100 years", self.text, re.M).group(1))
        self.assertEqual((self.text.count("\u25cf") - 1, self.text.count("\u25cb") - 1), (some, 100 - some))  # and one of each to explain

    def test_one_animal_is_called_so(self):
        with open(WHERE, encoding="utf-8") as file:
            plan = file.read()
        with open("middle.yaml", "w", encoding="utf-8") as file:
            file.write(plan + "\nspecies: {animals: middle}\n")
        text = self.wintergrub("run", "middle.yaml", "--replicates", "128", "-q")
        self.assertRegex(text, r"(?m)^Alive at the end in \d+ of 100 years \(between [\d.]+ and [\d.]+\)$")
        self.assertIn("the luck of one animal", " ".join(text.split()))
        self.assertNotIn("Unknown animal", text)
        self.assertNotIn("Nobody knows whether", text)


if __name__ == "__main__":
    unittest.main()
