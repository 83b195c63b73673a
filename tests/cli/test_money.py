# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks income, costs and balance: against prices times the amounts of the result file and of the plan, in numpy."""

import json
import os
import re
import unittest

import h5py
import numpy as np
from commands import CommandTest, example, write

N = 8
PLAIN = "crow-lane-shed.yaml"
LB = 0.45359237  # kg, international yard and pound agreement, 1959
DAYS, A_YEAR = 365, 365.25
MOISTURE = 0.7  # of the substrate, the default of a bin
PRICES = (
    ("count: 10000}", "count: 10000, price: $2 per 1000}"),
    ("amount: 3 lb, every: 1 day}", "amount: 3 lb, every: 1 day, price: 0.09 per lb}"),
    ("mishaps:", "  - {do: clear residue, in: trough, every: 30 days}\nprices: {larvae: 40 per kg, residue: 0.10 per kg}\nmishaps:"),
    ("floor: 9 m2,", "floor: 9 m2, cover_area: 40 m2, r_value: R-20, insulation_price: 0.90 per m2 and R, insulation_lasts: 12 years,"),
)


class Money(CommandTest):
    words = ("run", "plan.yaml", "--replicates", str(N), "--force", "-q")

    def run_plan(self, *changes):
        write("plan.yaml", example(PLAIN, *changes))
        told = json.loads(self.wintergrub(*self.words, "--json"))
        with h5py.File("plan.h5") as file:
            return told, {key: file[key][()] for key in file if isinstance(file[key], h5py.Dataset)}

    def text(self):
        return self.wintergrub(*self.words)

    def test_accounts_are_prices_times_amounts(self):
        told, value = self.run_plan(*PRICES)
        kwh = value["heater_energy"].sum(axis=(1, 2))
        np.testing.assert_allclose(value["cost_energy"], 0.15 * kwh, rtol=2e-5)
        np.testing.assert_allclose(value["cost_starters"], 20, rtol=2e-5)
        np.testing.assert_allclose(value["cost_feed"], 0.09 * 3 * DAYS, rtol=2e-5)
        np.testing.assert_allclose(value["cost_insulation"], 0.9 * 40 * 20 / 12 * DAYS / A_YEAR, rtol=2e-5)
        np.testing.assert_allclose(value["income_larvae"], 40 * value["harvest_mass"].sum(axis=1), rtol=2e-5)
        np.testing.assert_array_equal(value["income_tipping"], 0)
        # cleared in the morning: the residue of the evening before
        cleared = value["residue"][:, 29 : DAYS - 1 : 30, 0].sum(axis=1)
        np.testing.assert_allclose(value["income_residue"], 0.1 * cleared / (1 - MOISTURE), rtol=2e-5)
        costs = sum(value["cost_" + name] for name in ("energy", "feed", "starters", "insulation"))
        np.testing.assert_allclose(value["balance"], value["income_larvae"] + value["income_residue"] - costs, rtol=2e-5)
        self.assertAlmostEqual(told["money"]["balance"], value["balance"].mean(), delta=1e-6)
        above = (value["balance"] > 0).mean()
        self.assertEqual(told["money"]["above_zero"]["share"], above)
        self.assertLessEqual(told["money"]["above_zero"]["low"], above)
        self.assertIsNone(told["money"]["unpriced"])
        text = self.text()
        self.assertRegex(text, rf"Ends above zero in {round(N * above)} of {N} years")
        self.assertRegex(text, r"\nBalance +-?\$")
        self.wintergrub("rerun", "plan.h5")
        self.wintergrub("report", "plan.h5", "-o", "plan.html")
        with open("plan.html", encoding="utf-8") as page:
            self.assertRegex(page.read(), rf"Ends above zero in {round(N * above)} of {N} years")

    def test_a_fee_is_income_and_pounds_are_pounds(self):
        fee = ("amount: 3 lb, every: 1 day}", "amount: 3 lb, every: 1 day, tipping_fee: 0.05 per kg}")
        worth = ("mishaps:", f"prices: {{larvae: {4 * LB} per lb}}\nmishaps:")
        weight = ("count: 10000}", "weight: 2 oz, price: $32 per lb}")
        told, value = self.run_plan(fee, worth, weight)
        np.testing.assert_allclose(value["income_tipping"], 0.05 * 3 * LB * DAYS, rtol=2e-5)
        np.testing.assert_array_equal(value["cost_feed"], 0)
        np.testing.assert_allclose(value["income_larvae"], 4 * value["total_harvest_mass"], rtol=2e-5)
        np.testing.assert_allclose(value["cost_starters"], 4, rtol=1e-2)  # a whole number of larvae
        self.assertIsNone(told["money"]["unpriced"])

    def test_what_has_no_price_is_named(self):
        told, _ = self.run_plan(("mishaps:", "prices: {residue: 1 per kg}\nmishaps:"), (", price: $0.15 per kWh}", "}"))
        text = re.sub(r"\s+", " ", self.text())
        self.assertIn("Without a price: energy, feed and starters count as free; larvae taken out earn nothing.", text)
        self.assertEqual(told["money"]["above_zero"]["share"], 0, "nothing is cleared and the heater costs")

    def test_any_currency_that_the_plan_names(self):
        """A price may repeat the plan's own currency, known here or not; one of another is refused by name."""
        plain = example(PLAIN, ("%", "%%"), ("price: $0.15 per kWh", "price: %s"))
        self.assertEqual(plain.count("%s"), 2)
        for price in ("25 per kWh", "25 KES per kWh", "KES 25 per kWh"):
            write("plan.yaml", "currency: KES\n" + plain % (price, price))
            self.assertRegex(self.text(), r"Energy cost +[\d,]+ KES")
        write("plan.yaml", "currency: KES\n" + plain % ("25 KES per kWh", "25 CHF per kWh"))
        self.wintergrub("check", "plan.yaml", status=3)
        self.assertIn("currency: CHF", self.stderr)
        write("plan.yaml", plain % ("25 KES per kWh", "25 KES per kWh"))
        self.wintergrub("check", "plan.yaml", status=3)
        self.assertIn("currency: KES", self.stderr)
        write("plan.yaml", "currency: R\n" + example(PLAIN, *PRICES[1:]).replace("$", "R "))  # "per m2 and R": the last is no currency
        self.wintergrub("check", "plan.yaml")
        write("plan.yaml", plain % ("25 per KWX", "25 per KWX"))
        self.wintergrub("check", "plan.yaml", status=3)
        self.assertNotIn("currency", self.stderr)

    def test_columns_stay_in_line_behind_a_sign_of_three_bytes(self):
        write("plan.yaml", example(PLAIN, *PRICES[:2]).replace("$", "€"))
        text = self.text()
        starts = [len(row) for row in re.findall(r"(?m)^((?:Feed cost|Balance|All taken out) +\S.*?  +)\S", text)]
        self.assertEqual((len(starts), len(set(starts))), (3, 1), text)

    def test_nothing_changes_without_prices(self):
        told, value = self.run_plan()
        self.assertNotIn("money", told)
        self.assertNotIn("balance", told["outcomes"])
        self.assertNotIn("balance", value)
        self.assertNotIn("Balance", self.text())

    def test_setups_are_compared_by_balance(self):
        write("plan.yaml", example(PLAIN, *PRICES))
        words = ("compare", "plan.yaml", "--vary", "places.shed.heater.set_point=50,80 degF", "--replicates", "12", "-q")
        text = re.sub(r"\s+", " ", self.wintergrub(*words))
        details = re.sub(r"\s+", " ", self.wintergrub(*words, "--details"))
        self.assertRegex(details, r"energy cost, \$: [\d,]+ more.*Balance, \$: [\d,]+ more")
        self.assertRegex(details, r"Each extra kg costs \$[\d.,]+ \(between \$[\d.,]+ and \$[\d.,]+\), each extra lb \$")
        told = json.loads(self.wintergrub(*words, "--json", "-o", "both.h5"))
        cold, warm = (setup["outcomes"]["balance"]["mean"] for setup in told["setups"])
        self.assertAlmostEqual(told["pairs"][0]["differences"]["balance"]["mean"], warm - cold, delta=1e-6)
        self.assertGreater(warm, cold)
        self.assertRegex(text, r"Counting all prices, B( \([^)]*\))? ends best: \$[\d,.]+ on average, above zero in [\d.]+ of 100")
        self.assertIn("Choose B for the best balance", text)
        with h5py.File("both.h5") as file:
            above = [float(share) for share in (file["balance"][()] > 0).mean(axis=1)]
        np.testing.assert_allclose(list(told["choice"]["ends_above_zero"].values()), above, rtol=1e-11)  # JSON has 12 digits
        self.wintergrub("figures", "both.h5", "-o", "drawn")
        with open(os.path.join("drawn", "comparison.svg"), encoding="utf-8") as picture:
            drawn = re.findall(r">([^<>]+)</(?:text|tspan)>", picture.read())
        said = re.search(r"above zero in ([\d.]+) of 100", text)[1]
        self.assertIn(said, drawn[drawn.index("above 0") :])
        self.assertIn("balance", drawn)
        self.wintergrub("report", "both.h5", "-o", "both.html")
        with open("both.html", encoding="utf-8") as page:
            self.assertIn("Choose B for the best balance", page.read())

    def test_a_goal_for_the_balance(self):
        told, value = self.run_plan(*PRICES, ("forecast:", "goal: {balance: above 300}\nforecast:"))
        self.assertEqual(told["goals"][0]["odds"]["met"], int((value["balance"] > 300).sum()))


if __name__ == "__main__":
    unittest.main()
