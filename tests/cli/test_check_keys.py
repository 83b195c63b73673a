"""Checks that `check` prints every key: a different value changes its output.

The list of keys with two values each is written by hand, from the help of the scenario (scenario.h).
"""

import unittest

from words import AtTheDesk

PLAN = """title: keys
period: {from: 2026-09-15, to: 2027-09-14}
climate:
  latitude: 41 N
  normals:
    unit: degF
    daily_high: [32, 36, 46, 59, 70, 79, 83, 81, 75, 63, 49, 37]
    daily_low: [17, 20, 28, 39, 49, 59, 64, 62, 54, 42, 32, 23]
    spread: continental
places:
  - name: house
    housing: {kind: KIND, floor: 12 m2, HOUSING}
    heater: {set_point: 65 degF, power: 5 kW, HEATER}
    bins: [{name: tub, volume: 150 L, mat: {power: 60 W, set_point: 80 degF, MAT}, BIN}]
starter: [{on: 2026-09-20, in: tub, stage: egg, count: 300}]
feeding: [{in: tub, what: kitchen scraps, amount: 1 lb, every: 1 day}]
"""

# section, key, one value, another value
KEYS = [
    ("HOUSING", "u_value", "4 W/(m2 K)", "5 W/(m2 K)"),
    ("HOUSING", "cover_area", "40 m2", "50 m2"),
    ("HOUSING", "volume", "30 m3", "35 m3"),
    ("HOUSING", "air_changes", "1 per hour", "2 per hour"),
    ("HOUSING", "vent_air_changes", "30 per hour", "40 per hour"),
    ("HOUSING", "vents_open_above", "28 degC", "30 degC"),
    ("HOUSING", "light", "40 %", "60 %"),
    ("HOUSING", "sun_area", "3 m2", "5 m2"),
    ("HOUSING", "sun_to_air", "20 %", "40 %"),
    ("HOUSING", "water", "100 L", "400 L"),
    ("HOUSING", "mass_heat", "5 MJ/K", "9 MJ/K"),
    ("HOUSING", "air_heat", "0.1 MJ/K", "0.4 MJ/K"),
    ("HOUSING", "air_to_mass", "90 W/K", "120 W/K"),
    ("HOUSING", "mass_to_ground", "20 W/K", "50 W/K"),
    ("HOUSING", "sky_loss", "0.05 m2 K/W", "0.1 m2 K/W"),
    ("HEATER", "efficiency", "1", "3"),
    ("HEATER", "price", "0.15 per kWh", "0.3 per kWh"),
    ("MAT", "efficiency", "0.9", "0.5"),
    ("BIN", "substrate", "2 kg", "5 kg"),
    ("BIN", "moisture", "60 %", "70 %"),
    ("BIN", "lid", "closed", "open"),
    ("BIN", "insulation", "none", "2 in"),
]
CLIMATE = [("spread", "continental", "marine"), ("daily_high_sd", "4 degF", "8 degF"), ("daily_low_sd", "4 degF", "8 degF")]


class WhatDecidesIsShown(AtTheDesk):
    def check(self, text):
        with open("plan.yaml", "w", encoding="utf-8") as file:
            file.write(text)
        return self.wintergrub("check", "plan.yaml")

    def with_key(self, where, key, value, kind="greenhouse"):
        text = PLAN.replace("KIND", kind)
        for word in ("HOUSING", "HEATER", "MAT", "BIN"):
            text = text.replace(word, f"{key}: {value}" if word == where else "").replace(", }", "}")
        return text

    def test_every_key(self):
        for where, key, one, other in KEYS:
            with self.subTest(where=where, key=key):
                self.assertNotEqual(self.check(self.with_key(where, key, one)), self.check(self.with_key(where, key, other)))

    def test_the_window_of_a_shed(self):
        self.assertNotEqual(self.check(self.with_key("HOUSING", "window", "1 m2", "shed")),
                            self.check(self.with_key("HOUSING", "window", "2 m2", "shed")))

    def test_the_weather(self):
        plain = self.with_key("", "", "")
        for key, one, other in CLIMATE:
            with self.subTest(key=key):
                self.assertNotEqual(*(self.check(plain.replace("    spread: continental", f"    {key}: {value}"))
                                      for value in (one, other)))


if __name__ == "__main__":
    unittest.main()
