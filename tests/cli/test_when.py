# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks schedules that react: what the result file shows of the evening before decides whether the heater runs."""

import datetime
import json
import unittest

import h5py
import numpy as np
from commands import CommandTest, example, write

PLAIN = "crow-lane-shed.yaml"
HEATER = "set_point: 80 degF, power: 3 kW,"
STEPS = (1, 2, 4, 24)
FLIES = (-2, -1)  # the last two stages: females and males
N = 4


class Conditions(CommandTest):
    def run_plan(self, *changes, steps=1, days="2027-03-31", n=N):
        write("plan.yaml", example(PLAIN, ("to: 2027-09-14", f"to: {days}"), ("steps_per_day: 1", f"steps_per_day: {steps}"), *changes))
        self.wintergrub("run", "plan.yaml", "--replicates", str(n), "--force", "-q", "-o", "plan.h5")
        with h5py.File("plan.h5") as file:
            return {key: file[key][()] for key in file if isinstance(file[key], h5py.Dataset)}

    def test_flies_are_seen_in_the_morning(self):
        """Lamps draw power on exactly the days after an evening with flies, at every step length."""
        lamps = ("lamps: {hours: 12 hours,", "lamps: {hours: 12 hours, when: flies are about,")
        cuts = ("power_cut: {per_year: 2, lasts: 12 hours}", "power_cut: {per_year: 0, lasts: 12 hours}")
        no_heat = (HEATER, "set_point: -10 degC, power: 0 W,")
        for steps in STEPS:
            with self.subTest(steps=steps):
                value = self.run_plan(("2026-09-15", "2026-06-01"), lamps, cuts, no_heat, steps=steps, days="2026-08-31")
                flies = value["count"][:, :, FLIES].sum(axis=2) > 0
                seen = np.concatenate([np.zeros_like(flies[:, :1]), flies[:, :-1]], axis=1)
                self.assertTrue(seen.any() and not seen.all())
                np.testing.assert_array_equal(value["heater_energy"][:, :, 0] > 0, seen)
                np.testing.assert_allclose(value["heater_energy"][:, :, 0][seen], 1.2, rtol=2e-5)  # 12 h of 100 W

    def test_the_coming_night_is_forecast(self):
        """Without animals the weather alone decides: the same days at every step length, none of them far from a cold night."""
        empty = ("count: 10000}", "count: 0}")
        yard = ("starter:", "  - {name: yard, housing: outdoors, bins: [{name: tub}]}\n\nstarter:")
        cold = (HEATER, HEATER + " when: a night below 40 degF,")
        seen = []
        for steps in STEPS:
            value = self.run_plan(empty, yard, cold, ("lamps: {hours: 12 hours,", "lamps: {hours: 0 hours,"), steps=steps)
            seen.append(value["heater_energy"][:, :, 0] > 0)
            low = value["air_low"][:, :, 1]
            mild = (low[:, :-1] > 40 / 1.8 - 32 / 1.8) & (low[:, 1:] > 40 / 1.8 - 32 / 1.8)
            self.assertFalse((seen[-1][:, :-1] & mild).any(), "heated before a night that was warm")
            self.assertTrue(seen[-1].any() and mild.any())
        for other in seen[1:]:
            np.testing.assert_array_equal(other, seen[0])

    def test_a_change_waits_once(self):
        change = ("mishaps:", "  - {do: change, in: shed, when: flies are about, set_point: 50 degF}\nmishaps:")
        value = self.run_plan(change, days="2026-12-31")
        before = self.run_plan(days="2026-12-31")
        more = value["actions_done"] - before["actions_done"]  # the pulls of the traps are the same
        flies = value["count"][:, :, FLIES].sum(axis=2) > 0
        self.assertTrue((more.sum(axis=1) == flies.any(axis=1)).all() and flies.any())
        for k in range(N):
            if flies[k].any():
                self.assertEqual(int(more[k].argmax()), int(flies[k].argmax()) + 1, "the morning after the first flies")

    def test_policies_are_compared(self):
        write("plan.yaml", example(PLAIN, (HEATER, HEATER + " when: flies are about,")))
        told = json.loads(
            self.wintergrub("compare", "plan.yaml", "--vary", "places.shed.heater.when=flies are about,always", "--replicates", "8", "-q", "--json")
        )
        self.assertEqual(told["varied"][0]["values"], ["flies are about", "always"])
        less, more = (setup["outcomes"]["total_heater_energy"]["mean"] for setup in told["setups"])
        self.assertLess(less, more)


class TwoKeepers(CommandTest):
    PLACE = ("starter:", "  - {name: barn, keeper: neighbour, housing: {kind: shed}, ground: {kind: box}, bins: [{name: tub}]}\n\nstarter:")
    OUTDOORS = ("housing: {kind: shed, floor: 9 m2,\n              lamps: {hours: 12 hours, power: 100 W, price: $0.15 per kWh}}\n"
                "    heater: {set_point: 80 degF, power: 3 kW, price: $0.15 per kWh, from: 09-15, to: 05-15}\n", "housing: outdoors\n")  # fmt: skip
    GIVE = "  - {do: move, on: 2026-10-25, from: shed, to: barn, what: prepupae, share: 50 %}\n"
    TAKE = "  - {do: move, when: ours died out, earliest: 2026-11-01, from: barn, to: shed, what: prepupae, share: 50 %}\n"

    def test_starters_come_back_if_ours_are_dead(self):
        n = 16
        write("plan.yaml", example(PLAIN, self.PLACE, self.OUTDOORS, ("mishaps:", self.GIVE + self.TAKE + "mishaps:")))
        told = json.loads(self.wintergrub("run", "plan.yaml", "--replicates", str(n), "-q", "--json"))
        text = " ".join(self.wintergrub("run", "plan.yaml", "--replicates", str(n), "-q", "-f").split())
        with h5py.File("plan.h5") as file:
            animals, ours, theirs = (file[key][()] for key in ("animals", "alive_ours", "alive_neighbours"))
            any_alive, done, moved = file["survived"][()], file["actions_done"][()], file["moved"][()].sum(axis=2)
        np.testing.assert_array_equal(ours > 0, animals[:, -1, 0] > 0)
        np.testing.assert_array_equal(theirs > 0, animals[:, -1, 1] > 0)
        np.testing.assert_array_equal(any_alive > 0, (ours + theirs) > 0)
        keepers = told["keepers"]
        self.assertEqual([keepers[key]["share"] for key in ("own", "neighbour", "at_least_one")],
                         [ours.mean(), theirs.mean(), any_alive.mean()])  # fmt: skip
        self.assertRegex(text, r"Alive at home in [\d.]+ of 100 years \([^)]*\), at the neighbour's in [\d.]+ \([^)]*\), in at least one in")
        first = 47  # 1 November
        back = 0
        for k in range(n):
            dead = np.flatnonzero(animals[k, first - 1 : -1, 0] == 0)
            if dead.size == 0:
                continue
            day = first + dead[0]
            feeds = done[k, 1]  # every day has the feeding; every third the pull of the traps
            self.assertEqual(int(done[k, day]) - int(feeds) - (day % 3 == 0), 1, "the move on the morning after the last death")
            back += animals[k, day, 0] > 0
        self.assertGreater(back, 0)
        given, taken = told["weeks"]["moves"]
        self.assertEqual((given["when"], given["date"]), (None, "2026-10-25"))
        late = np.flatnonzero(moved[:, first:].sum(axis=0)) + first
        dates = [str(datetime.date(2026, 9, 15) + datetime.timedelta(days=int(day))) for day in (late[0], late[-1])]
        self.assertEqual((taken["when"], taken["date"], taken["first"], taken["last"]), ("ours died out", None, *dates))
        self.assertEqual(taken["nothing"], int((moved[:, first:].sum(axis=1) == 0).sum()))
        self.assertRegex(text, r"Moved once, when ours died out \(\d+ \w+ 202[67] to \d+ \w+ 2027\): ")


if __name__ == "__main__":
    unittest.main()
