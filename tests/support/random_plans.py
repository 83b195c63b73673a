# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""Random plans with every key of a scenario and edge values, and the properties that must hold for each.

A plan is a dictionary of the keys of a scenario, in Python's own lists and dictionaries, and is written as JSON, which is
YAML. examine() runs the program on it and returns the first property that fails, or None:

- `check` accepts exactly what `run` can finish: both reject with status 3, or run exits with 0 or 1 (a goal is not met), or
  with 3 and the one message that a colony with unlimited feed grew beyond what can be counted;
- individuals and feed balance in the result, day by day; NaN only for dates that did not occur; no negative values where
  impossible; totals are the sums of their series; quantiles are in order; the JSON is valid;
- the colony's state is valid after every step (wg_colony_verify());
- threads, time zone and locale change no byte; `rerun` agrees; a report is made, and figures with more than one variant.

Seeds are fixed, so a failing plan is reproducible.
"""

import datetime
import json
import math
import os
import random
import re
import shutil
import subprocess
import sys

import h5py
import numpy as np

PROGRAM = os.path.abspath(os.environ["WINTERGRUB"])
VERIFIED = os.path.join(os.path.abspath(os.environ["BUILD"]), "tests", "cli", "wintergrub_verified")
SRC = os.path.abspath(os.environ["SRC"])
RECORD = os.path.join(SRC, "scenarios", "weather", "seattle_daily.csv")
RECORD_FROM, RECORD_TO = datetime.date(2012, 1, 1), datetime.date(2015, 12, 31)
PATIENCE_S = 120
MAX_STEPS = 1000  # days x steps a day x bins: the cost limit of a plan
OUTGROWN = "grows past what can be counted"

# ---- making a plan -----------------------------------------------------------------------------------------------------


class Maker:
    """One plan from one seed. The weights make most plans valid, because a rejected plan tests little."""

    def __init__(self, seed, number):
        self.random = random.Random(f"{seed}/{number}")

    def one(self, *values):
        return self.random.choice(values)

    def maybe(self, share=0.5):
        return self.random.random() < share

    def number(self, least, most):
        """A number in the range, log-uniform where it is wide, often at an end; once in 300 beyond it."""
        draw = self.random.random()
        if draw < 0.003:
            return most * 1.5 + 1
        if draw < 0.12:
            return least
        if draw < 0.24:
            return most
        if least >= 0 and most > 100 * max(least, 1e-6):
            low = math.log(max(least, most * 1e-6))
            return math.exp(self.random.uniform(low, math.log(most)))
        return self.random.uniform(least, most)

    def amount(self, least, most, unit):
        return f"{self.number(least, most):.6g} {unit}".strip()

    def share(self):
        return f"{self.one(0, 100, 50, round(self.random.uniform(0, 100), 2))} %"

    def day(self):
        return str(self.first + datetime.timedelta(self.random.randrange(self.days)))

    def season(self):
        """Month and day, also across the new year, also 29 February."""
        return self.one(
            {"from": "11-01", "to": "03-31"},
            {"from": "12-31", "to": "01-01"},
            {"from": "02-29", "to": "02-29"},
            {"from": "01-01", "to": "12-31"},
            {"from": "06-15", "to": "06-14"},
            {"from": "05-01", "to": "09-30"},
        )

    def timing(self, once=True, every=True):
        if once and self.maybe(0.3):
            return {"on": self.day()[-5:] if self.maybe(0.3) else self.day()}
        timing = {"every": f"{self.one(1, 1, 2, 3, 7, 30, 400)} days"} if every else {}
        if self.maybe():
            ends = sorted([self.day(), self.day()])
            season = self.season() if self.days > 300 else {"from": ends[0][-5:], "to": ends[1][-5:]}
            timing |= self.one({"from": ends[0]}, {"to": ends[1]}, {"from": ends[0], "to": ends[1]}, season)
        return timing

    def set_time(self, kind):
        self.steps = self.one(1, 1, 1, 2, 4, 24)
        most = max(1, MAX_STEPS // self.steps)
        self.days = min(most, self.one(1, 2, 3, 7, 8, 30, 60, 120, 200, 366, 400, 800))
        first = datetime.date(
            self.one(2023, 2024, 2026, 2026, 2026, 2100, 1900, 4, 9990), self.random.randint(1, 12), self.random.randint(1, 28)
        )
        if self.maybe(0.1):
            first = datetime.date(2024, 2, 29)
        if kind == "record":
            self.days = min(self.days, 365)
            year = self.random.randrange(2012, 2015)
            first = datetime.date(year, self.random.randint(6, 12), 1) if self.maybe(0.3) else datetime.date(2026, 9, 1)
        self.first = first
        self.last = first + datetime.timedelta(self.days - 1)
        return {"from": str(first), "to": str(self.last)}

    def climate(self, kind):
        if kind == "laboratory":
            return {"constant": self.one("27 degC", self.amount(-20, 60, "degC"), "80 degF", "35 degC", "15 degC")}
        climate = {"latitude": self.one("32.4 N", "32.4 S", "0 degrees", "66 N", "66 S", "-41 degrees", "51.5 degrees north")}
        if self.maybe(0.4):
            climate["elevation"] = self.amount(-430, 6000, "m")
        if self.maybe(0.3):
            climate["coast"] = self.one("yes", "no")
        if kind == "record":
            return climate | {"record": "record.csv", "use": self.one("years", "fitted")}
        if self.maybe(0.2):
            sketches = {"mild coast": 47, "four seasons": 41, "cold inland": 50, "dry summers": 38, "hot and humid": 32, "dry and hot": 30, "warm coast": 0}
            sketch = self.one(*sketches)
            return climate | {"sketch": sketch, "latitude": f"{sketches[sketch]} {self.one('N', 'S')}"}
        mean, swing = self.one((18, 10), (18, 10), (27, 3), (5, 20), (-5, 30), (35, 8)), self.one(1, 1, 1, -1)
        half = self.one(6, 5, 2, 0.05, 15)
        wave = [mean[0] - swing * mean[1] * math.cos(2 * math.pi * (m + 0.5) / 12) for m in range(12)]
        normals = {
            "unit": "degC",
            "daily_high": [round(max(-60, min(60, t + half)), 2) for t in wave],
            "daily_low": [round(max(-70, min(50, t - half)), 2) for t in wave],
        }
        if self.maybe(0.4):
            normals["spread"] = self.one("humid subtropical", "continental", "marine", "tropical")
        for key in ("daily_high_sd", "daily_low_sd"):
            if self.maybe(0.2):
                normals[key] = self.one(0, 3, 15, [self.random.randint(0, 9) for _ in range(12)])
        return climate | {"normals": normals}

    def heater(self, most_c):
        heater = {"set_point": self.amount(-10, most_c, "degC"), "power": self.amount(0, 1e7, "W")}
        if self.maybe(0.7):
            heater |= {"set_point": self.one("21 degC", "18 degC", "25 degC"), "power": self.one("2 kW", "60 W", "0 W")}
        if self.maybe():
            heater["price"] = self.one("0.15 per kWh", "0 per kWh", "20 ct per kWh")
        if self.maybe(0.3):
            heater["efficiency"] = self.one(1, 3, 0.05, 10)
        if self.maybe(0.2):
            heater["when"] = self.condition()
        return heater | (self.season() if self.maybe(0.4) else {})

    def condition(self):
        return self.one("always", "flies are about", "larvae crawl off", "colony is asleep", "colony is awake", "frost is forecast",
                        f"a night below {self.number(-20, 30):.6g} degC")  # fmt: skip

    def waiting(self):
        """When a change or move happens: on a day, once on a condition, or both."""
        if self.maybe(0.7):
            return {"on": self.day()}
        waiting = {"when": self.one("flies are about", "larvae crawl off", "colony is asleep", "colony is awake", "frost is forecast")}
        if self.neighbours and self.maybe():
            waiting["when"] = "ours died out"
        ends = sorted([self.day(), self.day()])
        return waiting | self.one({}, {"on": ends[0]}, {"earliest": ends[0]}, {"latest": ends[1]}, {"earliest": ends[0], "latest": ends[1]})

    def foam_price(self):
        """The price of insulation, also of a wall that has next to none."""
        price = {"insulation_price": self.one("0.90 per m2 and R", "0 per m2 and R", "0.1 per ft2 and R")}
        return price | ({"insulation_lasts": self.one("10 years", "0.1 years", "1000 years")} if self.maybe() else {})

    def housing(self, kind):
        if kind in ("outdoors", "laboratory"):
            return kind
        if kind in ("room", "cellar", "refrigerator"):
            return self.room(kind)
        housing = {"kind": kind}
        keys = {
            "floor": lambda: self.amount(0.25, 1e5, "m2"),
            "cover_area": lambda: self.amount(20, 1e6, "m2"),
            "volume": lambda: self.amount(0.1, 1e6, "m3"),
            "air_changes": lambda: self.amount(0, 100, "per hour"),
            "vent_air_changes": lambda: self.amount(0, 500, "per hour"),
            "vents_open_above": lambda: self.amount(25, 60, "degC"),
            "light": self.share,
            "lamps": lambda: self.one("12 hours", "0 hours", "24 hours", "none",
                                      {"hours": "6 hours", "power": "100 W", "price": "0.15 per kWh", "from": "10-01", "to": "03-31"},
                                      {"hours": "9 hours", "when": self.condition()}),
            "sun_area": lambda: self.amount(0, 20, "m2"),
            "sun_to_air": self.share,
            "water": lambda: self.amount(0, 1e4, "m3"),
            "mass_heat": lambda: self.amount(1e3, 1e12, "J/K"),
            "air_heat": lambda: self.amount(1e2, 1e11, "J/K"),
            "air_to_mass": lambda: self.amount(0, 1e7, "W/K"),
            "mass_to_ground": lambda: self.amount(0, 1e7, "W/K"),
            "sky_loss": lambda: self.amount(0, 1, "m2 K/W"),
        }
        if kind == "shed":
            keys["window"] = lambda: self.amount(0, 30, "m2")
        else:
            keys["cover"] = lambda: self.one("single film", "double film", "twin wall", "glass")
        for key, make in keys.items():
            if self.maybe(0.12):
                housing[key] = make()
        if self.maybe(0.2):
            housing |= self.one({"u_value": self.amount(0.02, 100, "W/(m2 K)")}, {"r_value": self.amount(0.01, 50, "m2 K/W")})
        if self.maybe(0.2):
            housing |= self.foam_price()
        return housing

    def room(self, kind):
        if kind != "room" and self.maybe(0.3):
            return kind
        room = {"kind": kind}
        if kind == "cellar" and self.maybe():
            room |= {"depth": self.amount(0.1, 3, "m")} if self.maybe() else {}
        else:
            room["temperature"] = self.amount(-5, 20 if kind == "refrigerator" else 45, "degC")
        if kind == "refrigerator":
            return room
        if "temperature" in room and self.maybe(0.4):
            room["summer"] = self.season() | {"temperature": self.amount(-5, 45, "degC")}
        if self.maybe(0.3):
            room["light"] = self.share()
        if self.maybe(0.3):
            room["lamps"] = self.one("12 hours", "none", {"hours": "6 hours", "power": "100 W", "price": "0.15 per kWh"})
        return room

    def bin(self, name, kind):
        bin_ = {"name": name}
        keys = {
            "volume": lambda: self.one("150 L", "60 L", self.amount(0.001, 20, "m3")),
            "insulation": lambda: self.one("none", "25 mm", "2 in", "0.5 m"),
            "lid": lambda: self.one("closed", "screen", "open"),
            "substrate": lambda: self.amount(0.1, 1, "kg"),
            "moisture": lambda: f"{self.one(30, 60, 75, 95)} %",
            "summer": lambda: self.season() | self.one({"insulation": "none"}, {"lid": "screen"}, {"lid": "open", "insulation": "1 in"}),
            "u_value": lambda: self.amount(0.02, 100, "W/(m2 K)"),
        }
        for key, make in keys.items():
            if self.maybe(0.25):
                bin_[key] = make()
        if kind not in ("laboratory", "refrigerator") and self.maybe(0.3):
            bin_["mat"] = self.heater(45)
        if self.maybe(0.1):
            bin_ |= self.foam_price()
        return bin_

    def place(self, name, kind):
        place = {"name": name, "housing": self.housing(kind)}
        if kind in ("hoop house", "greenhouse", "shed") and self.maybe(0.6):
            place["heater"] = self.heater(24)
        if kind in ("room", "cellar", "refrigerator"):
            if self.maybe(0.4):
                place["ground"] = self.one({"kind": "box"}, {"dark": "yes"}, {"dark": "no"})
        elif self.maybe(0.4):
            place["ground"] = self.one(
                {"kind": "box"},
                {"kind": "soil", "depth": self.amount(0.01, 3, "m"), "mulch": self.amount(0, 2, "m"), "dark": "yes"},
                {"dark": "no"},
            )
        bins = [self.bin(f"bin {name}{i}", kind) for i in range(self.one(0, 1, 1, 1, 2, 3))]
        if bins:
            place["bins"] = bins
        return place

    def places(self, kind):
        kinds = ["laboratory"] * self.one(1, 1, 2)
        if kind != "laboratory":
            houses = ("outdoors", "outdoors", "hoop house", "greenhouse", "shed", "room", "cellar", "refrigerator")
            kinds = [self.one(*houses) for _ in range(self.one(1, 1, 2, 3))]
        places = [self.place("abc"[i], kind) for i, kind in enumerate(kinds)]
        if not any("bins" in place for place in places):
            places[0]["bins"] = [self.bin("bin a0", kinds[0])]
        if len(places) > 1 and self.maybe(0.4):
            places[-1]["keeper"] = self.one("neighbour", "neighbour", "own")
        self.neighbours = [place["name"] for place in places if place.get("keeper") == "neighbour"]
        self.place_names = [place["name"] for place in places]
        self.bins = [bin_["name"] for place in places for bin_ in place.get("bins", [])]
        self.heated = [place["name"] for place in places if "heater" in place]
        self.warmed = [b["name"] for place in places for b in place.get("bins", []) if "mat" in b and b["mat"]["power"] != "0 W"]
        return places

    def some(self, names):
        """One of the names, several in a list, or all."""
        return self.one(*names) if self.maybe(0.7) else self.one("all", self.random.sample(names, self.random.randint(1, len(names))))

    def starter(self):
        starter = {"on": self.one(str(self.first), self.day()), "in": self.one(*self.bins)}
        starter["stage"] = self.one("egg", "larva", "larva", "prepupa")
        if starter["stage"] == "larva":
            starter["age"] = self.one("0 days", "5 days", "10 days", "365 days")
        if self.maybe(0.7):
            starter["count"] = self.one(0, 1, 2, 10, 300, 1000, 10000, 10**6, 10**9, 10**12, 9 * 10**14)
        else:
            starter["weight"] = self.one("1 lb", "0 kg", "1 mg", "30 g", self.amount(0, 1e6, "kg"))
        if self.maybe(0.2):
            starter["price"] = self.one("2 per 1000", "0.3 per 100", "20 per lb", "$9 per kg")
        return starter

    def feed(self, name):
        """A feed of the keeper's own, in some plans a mix of others."""
        known = ["kitchen scraps", "cardboard", "pet food", "cattle manure", *self.feeds]
        self.feeds.append(name)
        if self.maybe(0.4):
            return {"name": name, "mix": self.one({self.one(*known): "100 %"}, dict(zip(self.random.sample(known, 3), ("70 %", "30 %", "0 %"))))}
        feed = {"name": name, "moisture": self.share(), "usable": self.share()}
        feed |= {"quality": self.share()} if self.maybe() else {}
        return feed | ({"yield": self.one("1 %", "70 %", "200 %")} if self.maybe() else {})

    def feeding(self):
        what = self.one(
            "kitchen scraps", "fermented grain", "pet food", "fruit", "spent brewery grain", "coffee grounds",
            "garden trimmings", "cardboard", "fish offal", "bread", "fermented corn", "chicken manure", "cattle manure", *self.feeds,
        )
        amount = self.one("1 kg", "3 lb", "12 lb/week", "0 kg", "20 kg", self.amount(0, 1e5, "kg"))
        price = self.one({}, {}, {}, {"price": self.one("0.20 per kg", "0.09 per lb")}, {"tipping_fee": "0.05 per kg"})
        feeding = {"in": self.some(self.bins), "what": what, "amount": amount, **self.timing(), **price}
        if "on" not in feeding and what not in ("garden trimmings", "cardboard", *self.feeds) and self.maybe(0.3):
            feeding["amount"] = "as eaten"
            if self.maybe(0.7):
                feeding["at most"] = self.one("1 kg", "3 lb", "0 kg", "100 kg", self.amount(0, 1e5, "kg"))
        return feeding

    def action(self):
        """An action of the keeper. Standing orders mostly occur once per bin or place, because `check` rejects two at a time."""
        do = self.one("collect crawl-off", "pull traps", "set traps", "move", "scoop larvae", "clear residue", "change", "change")
        standing = "traps" if "traps" in do else do
        if standing in ("traps", "collect crawl-off"):
            if standing in self.standing and self.maybe(0.95):
                return self.action()
            self.standing.add(standing)
        action = {"do": do}
        if do == "collect crawl-off":
            action |= {"in": self.some(self.bins), "share": self.share(), **self.timing(once=False, every=False)}
            return action | ({"give_back": self.share()} if self.maybe(0.3) else {})
        if do == "pull traps":
            action |= {"in": self.some(self.place_names), "share_laid_in_traps": self.share(), **self.timing(once=self.maybe(0.2))}
            if "every" in action and self.maybe(0.3):
                action["every"] = "before they hatch"
            return action | self.one({"carry_off": "yes"}, {"put_in": self.one(*self.bins)})
        if do == "set traps":
            action |= {"in": self.some(self.place_names), "share_laid_in_traps": self.share()}
            return action | self.timing(once=False, every=False)
        if do == "move":
            what = self.one("larvae", "prepupae", "eggs", "everything")
            names = self.place_names if what == "prepupae" else self.bins
            if len(names) < 2 and self.maybe(0.95):
                return self.action()
            ends = self.random.sample(names, 2) if len(names) > 1 else 2 * names
            return action | self.waiting() | {"what": what, "from": ends[0], "to": ends[1], "share": self.share()}
        if do == "scoop larvae":
            action |= {"in": self.some(self.bins), **self.timing()}
            rate = ["0.5 lb/day", "2 kg/week"] if "on" not in action else []
            amount = {"amount": self.one("1 lb", "0 kg", "1e5 kg", *rate)} | ({"leave": self.share()} if self.maybe(0.4) else {})
            return action | self.one(amount, {"share": self.share()})
        if do == "clear residue":
            action |= {"in": self.some(self.bins), **self.timing()}
            if "every" in action and self.maybe(0.3):
                action["every"] = "when full"
            return action | ({"share": self.share()} if self.maybe() else {})
        action |= self.waiting()
        if self.heated and self.maybe():
            return action | {"in": self.one(*self.heated)} | self.one(
                {"heater": self.one("on", "off")}, {"set_point": self.amount(-10, 24, "degC")}
            )
        if self.warmed and self.maybe():
            return action | {"in": self.one(*self.warmed)} | self.one(
                {"mat": self.one("on", "off")}, {"set_point": self.amount(-10, 45, "degC")}
            )
        return action | {"in": self.one(*self.bins)} | self.one(
            {"lid": self.one("open", "closed")}, {"insulation": self.one("none", "2 in")}
        )

    def mishaps(self):
        cut = {"per_year": self.one(0, 2, 30, 365), "lasts": self.one("0 hours", "12 hours", "20 minutes", "60 days")}
        raid = {"per_year": self.one(0, 1, 12, 365), "larvae_lost": self.share()}
        return self.one({"power_cut": cut}, {"raid": raid}, {"power_cut": cut, "raid": raid})

    def species(self):
        species = {"numbers": self.one("keepers", "laboratory")} if self.maybe() else {}
        table = parameters()
        for _ in range(self.one(0, 0, 1, 2, 5)):
            name, unit, least, most = self.one(*table)
            species[name] = self.amount(least, most, "" if unit in ("1", "eggs") else unit)
        return species

    def goal(self):
        goals = [{"survive": "yes"}, {"adults": 1}, {"total_harvest": "0 kg"}, {"total_harvest": "3 lb"}]
        if self.days > 14 or self.maybe(0.05):
            goals += [{"harvest": "1 lb/week"}, {"harvest": "1 kg/week", "lasting": "2 weeks"}]
        if "traps" in self.standing or self.maybe(0.02):
            goals.append({"eggs_trapped": 100})
        if self.heated and self.maybe():
            goals.append({"cost": "at most 10"})
        if self.prices:
            goals.append({"balance": self.one("above 0", "above 10", 5)})
        goal = dict(self.one(*goals))
        if self.maybe(0.4):
            goal["chance"] = self.one("50 %", "99.9 %", "0.1 %")
        if self.maybe(0.3):
            goal["by"] = str(self.last) if "harvest" in goal or "balance" in goal else self.day()
        return goal

    def plan(self):
        self.standing, self.feeds = set(), []
        kind = self.one("laboratory", "normals", "normals", "normals", "normals", "record")
        plan = {"title": self.one("Plan", "Grüße \"<&'", "x" * 120), "period": self.set_time(kind)}
        plan["climate"] = self.climate(kind)
        plan["places"] = self.places(kind)
        while len(self.bins) * self.steps * self.days > 2 * MAX_STEPS and len(self.bins) > 1:
            plan["places"] = self.places(kind)
        starters = [self.starter() for _ in range(self.one(0, 1, 1, 1, 2, 3))]
        if starters:
            plan["starter"] = starters
        if not starters or self.maybe(0.25):
            plan["wild_visitors"] = {"peak": self.one("3 per day", "0 per day", self.amount(0, 1e6, "per day"))}
        feeds = [self.feed(f"own {i}") for i in range(self.one(0, 0, 0, 1, 3))]
        if feeds:
            plan["feeds"] = feeds
        plan["feeding"] = "unlimited" if self.maybe(0.2) else [self.feeding() for _ in range(self.one(1, 1, 2, 4))]
        keeping = [self.action() for _ in range(self.one(0, 1, 2, 3, 5))]
        if keeping:
            plan["keeping"] = keeping
        if self.maybe(0.4):
            plan["mishaps"] = self.mishaps()
        species = self.species()
        if species:
            plan["species"] = species
        self.prices = self.one({}, {"larvae": "4 per kg"}, {"residue": "0.10 per kg"}, {"larvae": "2 per lb", "residue": "0 per kg"})
        if self.prices:
            plan["prices"] = self.prices
        goals = [self.goal() for _ in range(self.one(0, 0, 1, 1, 2))]
        if goals:
            plan["goal"] = goals if len(goals) > 1 or self.maybe() else goals[0]
        seed = self.one("0", "1", "2026", "18446744073709551615")
        plan["forecast"] = {"replicates": self.one(1, 2, 3, 4), "seed": seed, "steps_per_day": self.steps}
        self.open_values(plan)
        if self.maybe(0.15):
            plan["based_on"] = [key for key in plan if key != "title" and self.maybe()] or ["period"]
        return plan

    def open_values(self, plan):
        """Writes values to try in place, and names that stand for them; draws by itself, so that the rest stays."""
        draw = random.Random(repr(plan))
        for place in plan["places"]:
            for heater in [place.get("heater")] + [bin_.get("mat") for bin_ in place.get("bins", [])]:
                if heater and "set_point" in heater and draw.random() < 0.4:
                    now = heater["set_point"]
                    heater["set_point"] = draw.choice(["off", {"now": now, "or": "off"}, {"now": "off", "try": [now]}])
        first = plan["feeding"][0] if plan["feeding"] != "unlimited" else {}
        if "amount" in first and draw.random() < 0.3:
            plan["choose"] = {"meal": {"now": first["amount"], "try": "1 to 3 lb by 1", "or": "9 oz"}}
            first["amount"] = "meal"


def parameters():
    """Name, unit and range of every parameter, as in the table in the source."""
    with open(os.path.join(SRC, "src", "species", "species_table.c"), encoding="utf-8") as file:
        rows = re.findall(r'ROW\("(\w+)", "([^"]+)", [^,]+(?:\[[^]]*\])?[^,]*, ([-+.\de]+), ([-+.\de]+),', file.read())
    return [(name, unit, float(least), float(most)) for name, unit, least, most in rows]


def written(plan):
    """The plan as a scenario: one line for each top-level key; in "based_on" the keys that a base.yaml has."""
    if "based_on" in plan:
        plan = {"based_on": "base.yaml"} | {key: value for key, value in plan.items() if key not in ("based_on", *plan["based_on"])}
    return "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in plan.items())


# ---- what must hold ----------------------------------------------------------------------------------------------------


class Wrong(Exception):
    pass


def expect(holds, what):
    if not holds:
        raise Wrong(what)


def call(*words, program=PROGRAM, **environment):
    kept = {k: v for k, v in os.environ.items() if k not in ("LC_ALL", "LANG", "TZ")}
    try:
        done = subprocess.run(
            [program, *words], capture_output=True, stdin=subprocess.DEVNULL, timeout=PATIENCE_S,
            env={**kept, "LC_ALL": "C", "TZ": "UTC", **environment},
        )
    except subprocess.TimeoutExpired:
        raise Wrong(f"{words} took more than {PATIENCE_S} s") from None
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def no_constant(name):
    raise Wrong(f"{name} in the JSON")


def check_json(text):
    try:
        answer = json.loads(text, parse_constant=no_constant)
    except ValueError as error:
        raise Wrong(f"the JSON is invalid: {error}") from None
    for name, outcome in answer["outcomes"].items():
        quantiles = [outcome[key] for key in ("q05", "q25", "q50", "q75", "q95")]
        known = [value for value in quantiles if value is not None]
        expect(known == sorted(known), f"the quantiles of {name} are not in order: {quantiles}")
        # null is later than any known quantile
        expect(quantiles[: len(known)] == known, f"a quantile of {name} is missing before a known one: {quantiles}")
    alive = answer["survival"]
    expect(0 <= alive["low"] <= alive["share"] <= alive["high"] <= 1, f"the chance of survival is {alive}")
    return answer


# series that may be NaN: not occurred, no mean, or no price
MAY_BE_MISSING = ("first_", "second_", "third_", "crawl_off_10", "crawl_off_50", "spring_emergence_", "peak_larvae_day", "overlap", "generations_at_once", "grub_mass", "mean_grub_mass",
                  "heater_cost", "total_heater_cost")  # fmt: skip
MAY_BE_NEGATIVE = ("temperature", "air_low", "bin_high", "hottest_bin", "time")
TOTALS = {
    "total_crawl_off_mass": "crawl_off_mass",
    "total_harvest_mass": "harvest_mass",
    "total_asked_not_there": "asked_not_there",
    "total_eggs_laid": "eggs_laid",
    "total_feed_given": "feed_given",
    "total_feed_fresh": "feed_fresh",
    "total_feed_eaten": "feed_eaten",
    "total_heater_energy": "heater_energy",
    "total_heater_cost": "heater_cost",
}


def check_values(series):
    for name, values in series.items():
        if not np.issubdtype(values.dtype, np.number):
            continue
        missing = name.startswith(MAY_BE_MISSING)
        expect(missing or not np.isnan(values).any(), f"NaN in {name}")
        expect(not np.isinf(values).any(), f"infinity in {name}")
        if name == "animal":
            expect((values >= -1).all(), "animals are numbered from 0, and -1 is the middle one")
        elif name == "latitude":
            expect(-66 <= values <= 66, f"latitude {values}")
        elif name != "balance" and not any(word in name for word in MAY_BE_NEGATIVE):
            expect(not (values < 0).any(), f"{name} has negative numbers")
        elif name not in ("balance", "time", "time_bnds"):
            expect((values > -150).all() and (values < 110).all(), f"{name} from {values.min()} to {values.max()} degC")


ROUNDED = 2.0**-16  # daily numbers have 16 bits of the fraction, and two of them are compared


def check_ledgers(series):
    alive = series["count"].sum(axis=2)
    came = series["put_in"] + series["eggs_laid"] + series["wild_eggs"]
    went = series["deaths"].sum(axis=2) + series["harvest_count"] + series["eggs_taken"] + series["flown"]
    before = np.concatenate([np.zeros_like(alive[:, :1]), alive[:, :-1]], axis=1)
    off = before + came - went - alive
    expect(not off.any(), f"individuals are out of balance by {np.abs(off).max()}")
    bins = series["bin_larvae"].sum(axis=2) if "bin_larvae" in series else series["count"][:, :, 1]  # left out with one bin
    expect((bins == series["count"][:, :, 1]).all(), "the larvae of the bins do not add up to all larvae")
    expect((series["eggs_in_traps"].sum(axis=2) <= series["count"][:, :, 0]).all(), "more eggs in traps than eggs")
    given = series["feed_given"].cumsum(axis=1)
    used = (series["feed_eaten"] + series["feed_microbes"]).cumsum(axis=1) + series["feed_left"]
    expect((used.sum(axis=2) <= given.sum(axis=2) * (1 + ROUNDED) + 1e-9).all(), "more feed was used than given")
    expect((series["feed_eaten"] <= series["feed_demand"] * (1 + ROUNDED) + 1e-12).all(), "more feed was eaten than demanded")
    hours = series["power_out_hours"]
    expect(((hours >= 0) & (hours <= 24)).all(), "a day has less than 0 or more than 24 hours without power")
    expect((series["spring_flies"] <= series["adults_emerged"]).all(), "more spring flies than flies")


def check_totals(series):
    for total, of in TOTALS.items():
        parts = series[of].reshape(len(series[of]), -1).sum(axis=1)
        close = np.isclose(series[total], parts, rtol=ROUNDED, atol=1e-12, equal_nan=True)
        expect(close.all(), f"{total} is {series[total]}, its days add up to {parts}")
    if "balance" in series:
        earned = sum(series[name] for name in ("income_larvae", "income_residue", "income_tipping"))
        spent = sum(series[name] for name in ("cost_energy", "cost_feed", "cost_starters", "cost_insulation"))
        expect(np.isclose(series["balance"], earned - spent, rtol=1e-9, atol=1e-9 * (1 + spent.max())).all(), "the balance is not income minus costs")
        known = ~np.isnan(series["total_heater_cost"])
        expect(np.isclose(series["cost_energy"][known], series["total_heater_cost"][known], rtol=1e-9).all(), "energy has two costs")
    if "alive_ours" in series:
        either = (series["alive_ours"] + series["alive_neighbours"]) > 0
        expect((either == (series["survived"] == 1)).all(), "it lives with neither keeper, or with one and not at all")
    larvae = series["count"][:, :, 1]
    expect((series["peak_larvae"] == larvae.max(axis=1)).all(), "peak_larvae is not the largest number of larvae")
    alive = series["count"].sum(axis=2)[:, -1] > 0
    expect(((series["survived"] == 1) == alive).all(), "survived and the last day disagree")


def read(path):
    """All data of a result, and its provenance except time and command line."""
    series, others = {}, {}
    with h5py.File(path) as file:

        def visit(name, item):
            if isinstance(item, h5py.Dataset):
                value = item[()]
                (others if "/" in name else series)[name] = value
            for key, value in item.attrs.items():
                if key not in ("started", "command_line", "history", "REFERENCE_LIST", "DIMENSION_LIST"):
                    others[f"{name}@{key}"] = value

        file.visititems(visit)
    return series, others


def same(a, b):
    """Compares bytes: NaN equals NaN, and 0 differs from -0."""
    a, b = np.asarray(a), np.asarray(b)
    if a.dtype == object or a.dtype.kind in "SU":
        return a.shape == b.shape and (a == b).all()
    return a.shape == b.shape and a.tobytes() == b.tobytes()


def check_same(one, other, why):
    for first, second in zip(one, other):
        expect(sorted(first) == sorted(second), f"{why} changes what is in the file")
        for name, value in first.items():
            expect(same(value, second[name]), f"{why} changes {name}")


VARIANTS = [
    ("3 threads, another time zone", ("--threads", "3"), {"TZ": "Pacific/Kiritimati"}),
    ("2 threads, another locale", ("--threads", "2"), {"LC_ALL": "de_DE.UTF-8", "TZ": "America/St_Johns"}),
]


def check_plan(variants):
    """Checks plan.yaml in the current folder; raises Wrong; returns "refused", "outgrown" or "lived"."""
    status, _, said = call("check", "plan.yaml")
    expect(status in (0, 3), f"check ends with {status}: {said}")
    words = ("run", "plan.yaml", "-o", "a.h5", "--force", "--quiet", "--json")
    ran, answer, complaint = call(*words, "--threads", "1")
    if status == 3:
        expect("plan.yaml" in said, f"check rejects without a position: {said}")
        expect(ran == 3, f"check rejects ({said}), run ends with {ran}")
        return "refused"
    if ran == 3:
        expect(OUTGROWN in complaint, f"check accepts, run rejects: {complaint}")
        return "outgrown"
    expect(ran in (0, 1), f"check accepts, run ends with {ran}: {complaint}")
    json_of = check_json(answer)
    expect(ran == 0 or json_of["goals"], "status 1 without a goal")
    result = read("a.h5")
    check_values(result[0])
    check_ledgers(result[0])
    check_totals(result[0])
    sound, _, complaint = call("run", "plan.yaml", "-o", "b.h5", "--force", "--quiet", program=VERIFIED)
    expect(sound == ran, f"verified after every step: status {sound} and not {ran}: {complaint}")
    check_same(result, read("b.h5"), "verifying")
    for why, more, environment in VARIANTS[:variants]:
        again, _, complaint = call("run", "plan.yaml", "-o", "b.h5", "--force", "--quiet", *more, **environment)
        expect(again == ran, f"{why}: status {again} and not {ran}: {complaint}")
        check_same(result, read("b.h5"), why)
    again, said, complaint = call("rerun", "a.h5", "--quiet")
    expect(again == 0 and said.startswith("the same"), f"rerun ends with {again}: {said}{complaint}")
    made, _, complaint = call("report", "a.h5", "-o", "a.html", "--force")
    expect(made == 0 and os.path.getsize("a.html") > 1000, f"report ends with {made}: {complaint}")
    if variants > 1:  # slow: PDF and PNG take longer than everything else, and the report has the same drawings
        made, _, complaint = call("figures", "a.h5", "-o", "figures", "--force")
        expect(made == 0 and os.listdir("figures"), f"figures ends with {made}: {complaint}")
    return "lived"


# ---- one plan after another ---------------------------------------------------------------------------------------------


def examine(plan, folder, variants):
    """Returns the first property that fails, or None, and the outcome."""
    shutil.rmtree(folder, ignore_errors=True)
    os.mkdir(folder)
    shutil.copy(RECORD, os.path.join(folder, "record.csv"))
    with open(os.path.join(folder, "plan.yaml"), "w", encoding="utf-8") as file:
        file.write(written(plan))
    if "based_on" in plan:
        with open(os.path.join(folder, "base.yaml"), "w", encoding="utf-8") as file:
            file.write(written({key: plan[key] for key in plan["based_on"] if key in plan}))
    before = os.getcwd()
    os.chdir(folder)
    try:
        return None, check_plan(variants)
    except Wrong as wrong:
        return str(wrong).strip()[:1500], "wrong"
    finally:
        os.chdir(before)


def smaller(value):
    """Yields the value with one part removed, for every part that can go."""
    if isinstance(value, dict):
        for key in value:
            yield {k: v for k, v in value.items() if k != key}
            for less in smaller(value[key]):
                yield {**value, key: less}
    elif isinstance(value, list) and not all(isinstance(item, (int, float)) for item in value):
        for i, item in enumerate(value):
            if len(value) > 1:
                yield value[:i] + value[i + 1 :]
            for less in smaller(item):
                yield value[:i] + [less] + value[i + 1 :]


def kind_of(wrong):
    return re.sub(r"[-+.\d]+(e[-+]?\d+)?", "0", wrong)[:60]


def minimise(plan, wrong, folder, tries):
    """Returns a smaller plan that fails in the same way, after at most `tries` runs."""
    found = True
    while found and tries > 0:
        found = False
        for less in smaller(plan):
            tries -= 1
            if tries <= 0:
                break
            again, _ = examine(less, folder, 1)
            if again and kind_of(again) == kind_of(wrong):
                plan, found = less, True
                break
    return plan


def examine_many(seed, numbers, folder, variants=2, tries=60, tell=None):
    """Returns counts by outcome, and the failures as (number, what, text)."""
    went, failing = {}, []
    for number in numbers:
        plan = Maker(seed, number).plan()
        wrong, how = examine(plan, folder, variants)
        went[how] = went.get(how, 0) + 1
        if wrong:
            failing.append((number, wrong, written(minimise(plan, wrong, folder, tries))))
            print(f"plan {number} of seed {seed}: {wrong}\n{failing[-1][2]}", file=sys.stderr, flush=True)
        if tell:
            tell(number, how)
    return went, failing
