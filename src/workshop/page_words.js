/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Names, numbers, dates, and the sentences that say how a colony ended.

// Okabe & Ito 2008, in the order of the program's figures (drawing/colours.h); a test compares them.
const COLOURS = ["#E69F00", "#56B4E9", "#009E73", "#CC79A7", "#0072B2", "#F0E442", "#D55E00", "#999999"];
const ASLEEP = "#CC79A7", AWAKE = "#E69F00"; // the colours of dormant and larva in those figures
const colourOf = (g) => COLOURS[g % COLOURS.length];
const nameOf = (g) => ["starters", "children", "grandchildren"][g] ?? "generation " + g;
const ROWS = [["eggs", [EGG]], ["grubs (larvae)", [LARVA]], ["crawlers (prepupae)", [PREPUPA]], ["asleep for winter (dormant)", [DORMANT]], ["pupae", [PUPA]],
  ["flies", [FEMALE, MALE]]];

let us = false; // US customary units
const integer = (x) => Math.round(x).toLocaleString("en-GB");
const fixed = (x, digits) => x.toLocaleString("en-GB", { maximumFractionDigits: digits, minimumFractionDigits: digits });
// Two digits: a count of one life says no more about others.
const about = (x) => integer(x < 100 ? x : Number(x.toPrecision(2)));
const temp = (c) => (us ? integer(1.8 * c + 32) + " °F" : integer(c) + " °C");
const tempFine = (c) => (us ? fixed(1.8 * c + 32, 1) + " °F" : fixed(c, 1) + " °C");
const massUnit = () => (us ? "lb" : "kg"), massNumber = (kg) => (us ? kg / 0.45359237 : kg);
const mass = (kg) => fixed(massNumber(kg), massNumber(kg) < 10 ? 1 : 0) + " " + massUnit();
const money = (x, digits = x < 10 ? 2 : 0) => byId("money").value + fixed(x, digits);
const plural = (n, word) => integer(n) + " " + word + (Math.round(n) === 1 ? "" : "s");
const listed = (parts) => (parts.length < 2 ? parts.join("") : parts.slice(0, -1).join(", ") + " and " + parts[parts.length - 1]);

const MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");
const FIRST = Date.UTC(2026, 8, 15);
const dateOf = (day) => new Date(FIRST + day * 864e5);
const shortDate = (day) => dateOf(day).getUTCDate() + " " + MONTHS[dateOf(day).getUTCMonth()];
const dayOfDate = (year, month) => Math.round((Date.UTC(year, month, 1) - FIRST) / 864e5);
const FEBRUARY = dayOfDate(2027, 1), MARCH = dayOfDate(2027, 2);
const dayName = (day) => (state.mode === "steady" ? "day " + day : "day " + day + " (" + shortDate(day) + ")");
const dateName = (day) => (state.mode === "steady" ? "day " + day : shortDate(day));

const GROWTH_C = 12; // no growth below it: the thresholds of the stages are 11.7 and 12 degC (species_numbers.c)

// name in a list, in a sentence, colour, path of its mark in a square from 0 to 20
const END = {
  ALIVE: ["alive at the end", "", "#009E73", "M10 2a8 8 0 1 0 .01 0z"],
  COLD: ["ended by cold", "of cold", "#0072B2", "M3 3h14v14h-14z"],
  HEAT: ["ended by heat", "of heat", "#D55E00", "M10 2l8.5 15.5h-17z"],
  HUNGER: ["ended by hunger", "of hunger", "#E69F00", "M10 1l9 9l-9 9l-9-9z"],
  TAKEN: ["ended by harvesting nearly all", "because nearly all were harvested", "#7F7F7F", "M7 2h6v5h5v6h-5v5h-6v-5h-5v-6h5z"],
  NO_YOUNG: ["ended because the flies laid no eggs", "because the last flies laid no eggs", "#CC79A7", "M10 1.5a8.5 8.5 0 1 0 .01 0zm0 4.5a4 4 0 1 1-.01 0z"],
  EVERYDAY: ["ended by everyday deaths", "of everyday causes", "#7F7F7F", "M2 7.5h16v5h-16z"],
};
const endOf = (fact) => ENDS[fact.END];
const markOf = (end) => `<svg viewBox="0 0 20 20" aria-hidden="true"><path d="${END[end][3]}" fill="${END[end][2]}" fill-rule="evenodd" stroke="currentColor"/></svg>`;

// Why flies that came late left no young.
function whyNoEggs(fact) {
  const breeding = "flies mate and lay eggs in air from about " + temp(fact.BREEDING_C) + " (an assumption)";
  if (fact.LATE_AIR_C < fact.BREEDING_C - 1) return "the air was about " + temp(fact.LATE_AIR_C) + " on their days, and " + breeding;
  return "they were too few to meet, and they live only days";
}

function killed(fact) {
  const after = fact.LAST_EGGS_DAY < 0 ? "" : " after the last eggs were laid", end = endOf(fact), most = integer(fact.LOST_MOST);
  if (end === "TAKEN") return `Of the last ${integer(fact.LOST)}, ${most} were harvested: too few were left.`;
  if (end === "EVERYDAY") return "Everyday deaths took the last ones.";
  return `Of the ${integer(fact.LOST)} that died${after}, ${{ COLD: "cold", HEAT: "heat", HUNGER: "hunger" }[end]} killed ${most}.`;
}

// The end of a colony in sentences, or "" for one that is alive.
function endText(fact) {
  const end = endOf(fact);
  if (end === "ALIVE") return "";
  const flies = integer(fact.LATE_FLIES) + (Math.round(fact.LATE_FLIES) === 1 ? " fly" : " flies");
  if (end === "NO_YOUNG") return `Its last ${flies} laid no eggs: ${whyNoEggs(fact)}.`;
  return killed(fact) + (fact.LATE_FLIES > 0 ? ` ${flies} still came out and laid no eggs: ${whyNoEggs(fact)}.` : "");
}
