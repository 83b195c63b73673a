# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Checks that `check` shows every key: a different value of any key of the schema changes its output. Checks defaults, too.

The keys are those of `wintergrub schema`. The file has a plan with every group and a second value for each key, written by
hand; a new key without one fails the test.
"""

import copy
import json
import os
import re
import shutil
import unittest

from commands import SCENARIOS, CommandTest

PLAN = {
    "title": "keys",
    "period": {"from": "2026-09-15", "to": "2027-09-14"},
    "climate": {
        "latitude": "41 N",
        "normals": {
            "unit": "degF",
            "daily_high": [32, 36, 46, 59, 70, 79, 83, 81, 75, 63, 49, 37],
            "daily_low": [17, 20, 28, 39, 49, 59, 64, 62, 54, 42, 32, 23],
        },
    },
    "places": [
        {
            "name": "house",
            "housing": {"kind": "greenhouse", "floor": "12 m2", "lamps": {"hours": "12 hours", "power": "100 W"}},
            "heater": {"set_point": "65 degF", "power": "5 kW"},
            "ground": {"kind": "soil"},
            "bins": [
                {"name": "tub", "volume": "150 L", "mat": {"power": "60 W"}, "summer": {"from": "05-01", "to": "09-30", "lid": "screen"}},
                {"name": "tray"},
            ],
        },
        {"name": "yard", "housing": "outdoors", "bins": [{"name": "barrel"}]},
        {"name": "attic", "housing": {"kind": "room", "temperature": "65 degF", "summer": {"from": "05-15", "to": "09-15", "temperature": "75 degF"}}},
    ],
    "starter": [{"on": "2026-09-20", "in": "tub", "stage": "larva", "age": "5 days", "count": 300}],
    "feeds": [{"name": "slop", "moisture": "80 %", "usable": "60 %"}],
    "feeding": [{"in": "tub", "what": "kitchen scraps", "amount": "1 lb"}],
    "keeping": [
        {"do": "collect crawl-off", "in": "tub", "share": "80 %"},
        {"do": "pull traps", "in": "house", "every": "3 days", "put_in": "tub", "share_laid_in_traps": "60 %"},
        {"do": "set traps", "in": "yard", "share_laid_in_traps": "50 %"},
        {"do": "move", "on": "2026-12-01", "from": "tub", "to": "tray", "what": "larvae"},
        {"do": "scoop larvae", "in": "tub", "every": "7 days", "amount": "1 lb"},
        {"do": "clear residue", "in": "tub", "every": "30 days"},
        {"do": "change", "on": "2027-04-01", "in": "tub", "lid": "open", "set_point": "70 degF"},
    ],
    "prices": {"larvae": "3 per kg"},
    "mishaps": {"power_cut": {"per_year": 2, "lasts": "12 hours"}, "raid": {"per_year": 1, "larvae_lost": "40 %"}},
    "wild_visitors": {"peak": "3 per day"},
    "species": {"animals": "middle"},
    "forecast": {"replicates": 500},
    "goal": [{"harvest": "5 lb/week"}],
}

# the path of each group in the plan
GROUPS = {
    "scenario": [],
    "period": ["period"],
    "climate": ["climate"],
    "normals": ["climate", "normals"],
    "place": ["places", 0],
    "housing": ["places", 0, "housing"],
    "room_summer": ["places", 2, "housing", "summer"],
    "lamps": ["places", 0, "housing", "lamps"],
    "heater": ["places", 0, "heater"],
    "ground": ["places", 0, "ground"],
    "bin": ["places", 0, "bins", 0],
    "mat": ["places", 0, "bins", 0, "mat"],
    "summer": ["places", 0, "bins", 0, "summer"],
    "starter": ["starter", 0],
    "feed": ["feeds", 0],
    "feeding": ["feeding", 0],
    "collect_crawl-off": ["keeping", 0],
    "pull_traps": ["keeping", 1],
    "set_traps": ["keeping", 2],
    "move": ["keeping", 3],
    "scoop_larvae": ["keeping", 4],
    "clear_residue": ["keeping", 5],
    "change": ["keeping", 6],
    "prices": ["prices"],
    "mishaps": ["mishaps"],
    "power_cut": ["mishaps", "power_cut"],
    "raid": ["mishaps", "raid"],
    "wild_visitors": ["wild_visitors"],
    "species": ["species"],
    "forecast": ["forecast"],
    "goal": ["goal", 0],
}

GONE = None  # the key is left out
SEASON = {"from": "11-01", "to": "03-31"}
HEAT = {"set_point": "60 degF", "power": "900 W", "price": "0.2 per kWh", "efficiency": "3", "when": "a night below 40 degF"}
DAYS = {"from": "2026-11-01", "to": "2027-03-31"}
FOAM = {"insulation_price": "0.9 per m2 and R", "insulation_lasts": {"insulation_lasts": "20 years", "insulation_price": "0.9 per m2 and R"}}
WAITS = {"when": "larvae crawl off", "earliest": {"earliest": "2027-02-01", "when": "larvae crawl off", "on": GONE},
         "latest": {"latest": "2027-06-01", "when": "larvae crawl off", "on": GONE}}
LABORATORY = [{"name": "bench", "housing": "laboratory", "bins": [{"name": "tub"}]}]
LIVING = {"places": LABORATORY, "starter": [{"on": "2026-09-20", "in": "tub", "stage": "egg", "count": 9}], "keeping": GONE}

LIVING_OUTDOORS = {"starter": [{**PLAN["starter"][0], "in": "barrel"}], "feeding": "unlimited", "keeping": GONE}
ROOM = {"places": [{"name": "house", "housing": {"kind": "room", "temperature": "60 degF"}}] + PLAN["places"][1:], **LIVING_OUTDOORS}

# A second value of each key. A dict that contains the key itself sets other keys of the group, too. A tuple has the keys of
# the whole plan that must change first, the value before and the value after.
OTHERS = {
    "scenario": {
        "title": "others",
        "based_on": "base.yaml",
        "currency": "EUR",
        "period": {"from": "2026-09-15", "to": "2027-09-13"},
        "climate": {**PLAN["climate"], "elevation": "60 m"},
        "places": PLAN["places"] + [{"name": "meadow", "housing": "outdoors"}],
        "starter": PLAN["starter"] * 2,
        "feeds": GONE,
        "feeding": "unlimited",
        "keeping": PLAN["keeping"][:-1],
        "prices": {"larvae": "4 per kg"},
        "mishaps": GONE,
        "wild_visitors": GONE,
        "species": {"numbers": "laboratory"},
        "forecast": {"replicates": 501},
        "goal": {"survive": "yes"},
        "choose": ({"starter": [{**PLAN["starter"][0], "age": "old"}]}, {"old": {"now": "5 days", "try": ["6 days"]}},
                   {"old": {"now": "5 days", "try": ["7 days"]}}),
    },
    "period": {"from": "2026-09-16", "to": "2027-09-13"},
    "climate": {
        "latitude": "41 S",
        "elevation": "60 m",
        "coast": "yes",
        "normals": {**PLAN["climate"]["normals"], "spread": "marine"},
        "record": {"record": "weather/seattle_daily.csv", "normals": GONE},
        "sketch": ({"climate": {"latitude": "41 N"}}, "four seasons", "cold inland"),
        "use": ({"climate": {"latitude": "47 N", "record": "weather/seattle_daily.csv"}}, GONE, "fitted"),
        "unit": ({"climate": {"latitude": "47 N", "record": "weather/seattle_daily.csv"}}, GONE, "degC"),
        "constant": ({**LIVING, "climate": {"constant": "27 degC"}}, "27 degC", "26 degC"),
    },
    "normals": {
        "unit": ({"climate": {"latitude": "41 N", "normals": {"daily_high": [9] * 12, "daily_low": [5] * 12}}}, "degF", "degC"),
        "daily_high": [33, 36, 46, 59, 70, 79, 83, 81, 75, 63, 49, 37],
        "daily_low": [16, 20, 28, 39, 49, 59, 64, 62, 54, 42, 32, 23],
        "spread": "marine",
        "daily_high_sd": "8 degF",
        "daily_low_sd": 5,
    },
    "place": {
        "name": ({"keeping": GONE}, "house", "home"),
        "housing": {"kind": "hoop house", "lamps": "9 hours"},
        "heater": {"set_point": "60 degF", "power": "5 kW"},
        "ground": {"kind": "box"},
        "keeper": "neighbour",
        "bins": PLAN["places"][0]["bins"] + [{"name": "third"}],
    },
    "housing": {
        "kind": "hoop house", "floor": "20 m2", "cover": "glass", "cover_area": "50 m2", "volume": "30 m3",
        "u_value": "5 W/(m2 K)", "r_value": "R-13", "air_changes": "2 per hour", "vent_air_changes": "40 per hour",
        "temperature": (ROOM, "65 degF", "64 degF"),
        "depth": ({"places": [{"name": "house", "housing": {"kind": "cellar"}}] + PLAN["places"][1:], **LIVING_OUTDOORS}, "5 ft", "6 ft"),
        "summer": (ROOM, GONE, {"from": "06-01", "to": "08-31", "temperature": "75 degF"}),
        "vents_open_above": "31 degC", "window": {"window": "2 m2", "kind": "shed"}, "lamps": "none", "light": "41 %",
        "sun_area": "3 m2", "sun_to_air": "20 %", "water": "400 L", "mass_heat": "9 MJ/K", "air_heat": "0.4 MJ/K",
        "air_to_mass": "120 W/K", "mass_to_ground": "50 W/K", "sky_loss": "0.1 m2 K/W", **FOAM,
    },
    "room_summer": {"from": "05-16", "to": "09-16", "temperature": "76 degF"},
    "lamps": {"hours": "9 hours", "power": "90 W", "price": "0.2 per kWh", "when": "flies are about", "from": SEASON, "to": {"from": "01-01", "to": "03-31"}},
    "heater": {**HEAT, "from": SEASON, "to": {"from": "01-01", "to": "03-31"}},
    "ground": {"kind": "box", "depth": "6 in", "mulch": "2 in", "dark": "yes"},
    "bin": {
        "name": ({"keeping": GONE, "starter": GONE, "feeding": "unlimited"}, "tub", "tun"),
        "volume": "40 gal", "insulation": "1 in", "lid": "open", "mat": {"power": "50 W"},
        "summer": {"from": "05-01", "to": "09-30", "lid": "open"}, "substrate": "5 kg", "moisture": "60 %",
        "u_value": "3 W/(m2 K)", "r_value": "R-5", **FOAM,
    },
    "mat": {**HEAT, "from": SEASON, "to": {"from": "01-01", "to": "03-31"}},
    "summer": {"from": "05-02", "to": "09-29", "insulation": "1 in", "lid": "open"},
    "starter": {"on": "2026-09-21", "in": "tray", "stage": {"stage": "egg", "age": GONE}, "age": "6 days", "count": 301,
                "weight": {"weight": "2 lb", "count": GONE}, "price": "2 per 1000"},
    "feed": {"name": "mush", "moisture": "70 %", "usable": "50 %", "quality": "90 %", "yield": "80 %",
             "mix": {"mix": {"fruit": "70 %", "bread": "30 %"}, "moisture": GONE, "usable": GONE}},
    "feeding": {"in": "all", "what": "fruit", "amount": "7 lb/week", "at most": {"amount": "as eaten", "at most": "2 lb"}, "every": "2 days", **DAYS, "on": "2026-11-15",
                "price": "0.2 per kg", "tipping_fee": "0.05 per kg"},
    "collect_crawl-off": {"do": {"do": "scoop larvae", "every": "2 days"}, "in": "tray", "share": "70 %", "give_back": "10 %", **DAYS},
    "pull_traps": {"do": {"do": "clear residue", "in": "tub", "put_in": GONE, "share_laid_in_traps": GONE}, "in": {"in": "yard", "share_laid_in_traps": GONE},
                   "every": "4 days", "put_in": "tray", "carry_off": {"carry_off": "yes", "put_in": GONE},
                   "share_laid_in_traps": "61 %", **DAYS, "on": ({"keeping": [
                       {"do": "set traps", "in": "house", "share_laid_in_traps": "9 %"},
                       {"do": "pull traps", "in": "house", "on": "2026-11-14", "put_in": "tub"}]}, "2026-11-14", "2026-11-15")},
    "set_traps": {"do": {"do": "clear residue", "in": "tub", "on": "2026-11-15", "share_laid_in_traps": GONE}, "in": ({"keeping": [
        {}, {}, {"do": "set traps", "in": "yard", "share_laid_in_traps": "50 %"}]}, "yard", "house"), "share_laid_in_traps": "51 %", **DAYS},
    "move": {"do": {"do": "clear residue", "in": "tub", "from": GONE, "to": GONE, "what": GONE}, "on": "2026-12-02",
             "from": "barrel", "to": "barrel", "what": "eggs", "share": "50 %", **WAITS},
    "scoop_larvae": {"do": {"do": "clear residue", "amount": GONE}, "in": "tray", "amount": "2 lb",
                     "share": {"share": "20 %", "amount": GONE}, "leave": "30 %", "every": "8 days", **DAYS, "on": {"on": "2026-11-15", "every": GONE}},
    "clear_residue": {"do": {"do": "scoop larvae", "share": "9 %"}, "in": "tray", "share": "50 %", "every": "31 days", **DAYS,
                      "on": {"on": "2026-11-15", "every": GONE}},
    "change": {"do": {"do": "clear residue", "lid": GONE, "set_point": GONE}, "on": "2027-04-02", "in": {"in": "tray", "set_point": GONE},
               "heater": {"heater": "off", "in": "house", "lid": GONE}, "set_point": "71 degF", "mat": "off", "insulation": "1 in", "lid": "closed", **WAITS},
    "prices": {"larvae": "4 per kg", "residue": "0.1 per kg"},
    "mishaps": {"power_cut": GONE, "raid": GONE},
    "power_cut": {"per_year": 3, "lasts": "13 hours"},
    "raid": {"per_year": 2, "larvae_lost": "41 %"},
    "wild_visitors": {"peak": "4 per day"},
    "species": {"numbers": "laboratory", "animals": "plausible", "clutch": [300, 600], "dormancy": "by cold only"},
    "forecast": {"replicates": 501, "seed": 7, "steps_per_day": 24},
    "goal": {"survive": {"survive": "yes", "harvest": GONE}, "harvest": "6 lb/week", "adults": {"adults": 200, "harvest": GONE},
             "eggs_trapped": {"eggs_trapped": 9, "harvest": GONE}, "total_harvest": {"total_harvest": "9 kg", "harvest": GONE},
             "cost": {"cost": "at most 120", "harvest": GONE}, "balance": {"balance": "above 0", "harvest": GONE}, "by": "2027-05-31", "lasting": "2 weeks", "of": "crawl-off", "chance": "95 %"},
}

# Keys whose default is a description, not a value.
DESCRIBED = {("scenario", "*"), ("climate", "elevation"), ("normals", "*"), ("place", "heater"), ("place", "bins"), ("housing", "cover"),
        ("housing", "window"), ("housing", "summer"), ("ground", "dark"), ("bin", "mat"), ("bin", "summer"), ("summer", "*"), ("goal", "by"), ("goal", "of"),
        ("housing", "insulation_lasts"), ("bin", "insulation_lasts"), ("pull_traps", "*"), ("mishaps", "*"), ("species", "numbers"),
        ("species", "dormancy"), ("species", "clutch")}


def target(plan, group):
    for step in GROUPS[group]:
        plan = plan[step]
    return plan


def put(group, key, value):
    if isinstance(value, dict) and key in value:
        for name, other in value.items():
            put(group, name, other)
    elif value is GONE:
        group.pop(key, None)
    else:
        group[key] = value


class EveryKeyIsShown(CommandTest):
    def setUp(self):
        super().setUp()
        schema = json.loads(self.wintergrub("schema"))
        self.keys = {name: group["properties"] for name, group in {"scenario": schema, **schema["$defs"]}.items()}
        with open("base.yaml", "w", encoding="utf-8") as file:
            file.write("forecast: {replicates: 500}\n")
        shutil.copytree(os.path.join(SCENARIOS, "weather"), "weather")

    def check(self, plan):
        with open("plan.yaml", "w", encoding="utf-8") as file:
            json.dump(plan, file)
        return self.wintergrub("check", "plan.yaml")

    def test_every_key(self):
        reference = self.check(PLAN)
        for group, keys in self.keys.items():
            for key in keys:
                if group == "species" and key not in ("numbers", "animals", "clutch", "dormancy"):
                    continue
                with self.subTest(group=group, key=key):
                    value = OTHERS[group][key]
                    plan, before = copy.deepcopy(PLAN), reference
                    if key in ("price", "power") or (group, key) == ("goal", "cost"):
                        for path in (["places", 0, "heater"], ["places", 0, "bins", 0, "mat"], ["places", 0, "housing", "lamps"]):
                            part = plan
                            for step in path:
                                part = part[step]
                            part["price"] = "0.15 per kWh"
                        before = self.check(plan)
                    if isinstance(value, tuple):
                        for name, other in value[0].items():
                            put(plan, name, copy.deepcopy(other))
                        plan["keeping"] = [action for action in plan.get("keeping", []) if action]
                        if not plan["keeping"]:
                            del plan["keeping"]
                        place = plan["keeping"][-1] if "keeping" in plan and group in ("pull_traps", "set_traps") else target(plan, group)
                        put(place, key, value[1])
                        before = self.check(plan)
                        put(place, key, value[2])
                    else:
                        put(target(plan, group), key, value)
                    self.assertNotEqual(self.check(plan), before)

    def test_every_number_of_the_model(self):
        """Sets each number a little above the keepers' value, which `help` lists."""
        page = self.wintergrub("help", "scenario", "--markdown")
        table = page.split("### the model's numbers")[1].split("\n## ")[0]
        rows = re.findall(r"^\| `(\w+)` \| ([-0-9.,e]+)([^|(]*)[^|]*\| ", table, re.M)
        self.assertEqual({row[0] for row in rows}, set(self.keys["species"]) - {"numbers", "animals", "clutch", "dormancy"})
        plan = copy.deepcopy(PLAN)
        for name, number, unit in rows:
            plan["species"][name] = f"{float(number.replace(',', '')) * 1.001 + 1e-6:.8g} {unit.strip()}".strip()
        plan["species"]["dormancy_by_day_length"] = 0.9  # it stands at its most
        text = self.check(plan)
        for name, _, _ in rows:
            self.assertRegex(text, rf"\n  {name} +[-0-9]")

    def test_defaults(self):
        """Writing a default into the plan changes nothing but the mark "(default)"."""
        for group, keys in self.keys.items():
            for key, row in keys.items():
                if "default" not in row or (group, "*") in DESCRIBED or (group, key) in DESCRIBED or " the period" in row["default"]:
                    continue
                if row["default"] == "not known" or key in ("from", "to", "use", "carry_off"):
                    continue
                with self.subTest(group=group, key=key):
                    plan = copy.deepcopy(PLAN)
                    put(target(plan, group), key, GONE)
                    silent = self.check(plan).split("\nEvery key")[0]
                    put(target(plan, group), key, row["default"])
                    self.assertEqual(self.check(plan).split("\nEvery key")[0], silent)


if __name__ == "__main__":
    unittest.main()
