/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

"use strict";
// The model of the page: the C code of wintergrub compiled to WebAssembly (see lesson.h); none of it is repeated here.

// In the order of lesson.h and species.h; a test compares them.
const NUMBERS = ["DAYS", "WEATHER", "TEMP_C", "SHELTER", "HEATER", "SET_POINT_C", "PRICE", "STARTER", "CLUTCH_LOW",
  "CLUTCH_HIGH", "FEED_KG", "CATCH", "SEED"];
const SERIES = ["OVERLAP", "OUTDOOR_C", "AIR_C", "AIR_LOW_C", "BIN_C", "GROUND_C", "CRAWL_OFF", "HARVEST_KG", "EGGS_LAID",
  "HEATER_KWH", "HEATER_COST"];
const FACTS = ["END", "LAST_DAY", "LAST_EGGS_DAY", "LOST", "LOST_MOST", "LATE_FLIES", "LATE_AIR_C", "BREEDING_C",
  "MEAN_OVERLAP", "TOTAL_HARVEST_KG", "TOTAL_KWH", "TOTAL_COST"];
const ENDS = ["ALIVE", "COLD", "HEAT", "HUNGER", "TAKEN", "NO_YOUNG", "EVERYDAY"];
const STAGES = ["EGG", "LARVA", "PREPUPA", "DORMANT", "PUPA", "FEMALE", "MALE"];
const EGG = 0, LARVA = 1, PREPUPA = 2, DORMANT = 3, PUPA = 4, FEMALE = 5, MALE = 6;

let model; // the exported functions

// `openModel` of the page around the lesson promises them.
async function loadModel() {
  model = await openModel();
}

function textAt(pointer) {
  const bytes = new Uint8Array(model.memory.buffer, pointer);
  return new TextDecoder().decode(bytes.slice(0, bytes.indexOf(0)));
}

// Prepares a lesson. `numbers` has some of NUMBERS by name; the others keep their initial value. The caller frees it.
function beginLesson(numbers) {
  const lesson = model.wg_lesson_new();
  try {
    for (const [name, value] of Object.entries(numbers))
      if (model.wg_lesson_set(lesson, NUMBERS.indexOf(name), value) < 0) throw new Error(name + " cannot be " + value);
    if (model.wg_lesson_begin(lesson) < 0) throw new Error(textAt(model.wg_lesson_problem(lesson)));
    return lesson;
  } catch (error) {
    model.wg_lesson_free(lesson);
    throw error;
  }
}

function liveOne(lesson, life) {
  if (model.wg_lesson_live_one(lesson, life) < 0) throw new Error(textAt(model.wg_lesson_problem(lesson)));
}

const readFacts = (lesson) => Object.fromEntries(FACTS.map((name, k) => [name, model.wg_lesson_fact(lesson, k)]));

// Simulates one life. Returns {days, generations, count(day, stage, generation), value.SERIES[day], past[generation][day],
// total[day], asleep[day], awake[day], fact.FACTS, heater_w, short_w, spring}; `past` leaves out eggs.
function simulate(numbers, life = 0) {
  const lesson = beginLesson(numbers);
  try {
    liveOne(lesson, life);
    return readLesson(lesson);
  } finally {
    model.wg_lesson_free(lesson);
  }
}

function readLesson(lesson) {
  const days = model.wg_lesson_days(lesson), generations = model.wg_lesson_generations(lesson), n = STAGES.length;
  const counts = new Float64Array(days * n * generations), series = () => new Float64Array(days);
  const past = Array.from({ length: generations }, series), total = series(), asleep = series(), awake = series();
  for (let d = 0, i = 0; d < days; d++)
    for (let s = 0; s < n; s++)
      for (let g = 0; g < generations; g++, i++) {
        counts[i] = model.wg_lesson_count(lesson, d, s, g);
        total[d] += counts[i];
        (s === DORMANT ? asleep : awake)[d] += counts[i];
        if (s !== EGG) past[g][d] += counts[i];
      }
  const value = {};
  SERIES.forEach((name, k) => { value[name] = Float64Array.from({ length: days }, (_, d) => model.wg_lesson_value(lesson, d, k)); });
  const count = (d, s, g) => counts[(d * n + s) * generations + g];
  return { days, generations, count, value, past, total, asleep, awake, fact: readFacts(lesson), heater_w: model.wg_lesson_heater_w(lesson),
    short_w: model.wg_lesson_heater_short_w(lesson), spring: model.wg_lesson_spring_day(lesson) };
}
