"use strict";
// The script of the workshop page: reads the sliders, runs the model over the whole period, and plays it back day by day.
// The model is the C code of wintergrub compiled to WebAssembly (see lesson.h); none of it is repeated here.

// ---- the model ------------------------------------------------------------------------------------------------------

// In the order of lesson.h and species.h; a test compares them.
const NUMBERS = ["DAYS", "WEATHER", "TEMP_C", "SHELTER", "HEATER", "SET_POINT_C", "PRICE", "STARTER", "CLUTCH_LOW",
  "CLUTCH_HIGH", "FEED_KG", "CATCH", "SEED"];
const SERIES = ["OVERLAP", "OUTDOOR_C", "AIR_C", "AIR_LOW_C", "BIN_C", "GROUND_C", "CRAWL_OFF", "HARVEST_KG", "EGGS_LAID",
  "HEATER_KWH", "HEATER_COST"];
const STAGES = ["EGG", "LARVA", "PREPUPA", "DORMANT", "PUPA", "FEMALE", "MALE"];
const EGG = 0, LARVA = 1, FEMALE = 5, MALE = 6;

let model; // the exported functions

// The C library imports file functions for its error messages; 8 is EBADF in WASI.
const noFiles = { fd_close: () => 8, fd_fdstat_get: () => 8, fd_seek: () => 8, fd_write: () => 8 };

async function loadModel() {
  const text = atob(document.getElementById("model").textContent.trim());
  const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0));
  const { instance } = await WebAssembly.instantiate(bytes, { wasi_snapshot_preview1: noFiles });
  model = instance.exports;
  model._initialize();
}

function textAt(pointer) {
  const bytes = new Uint8Array(model.memory.buffer, pointer);
  return new TextDecoder().decode(bytes.slice(0, bytes.indexOf(0)));
}

// Simulates one colony. `numbers` has some of NUMBERS by name; the others keep their initial value.
// Returns {days, generations, count(day, stage, generation), value.SERIES[day], past[generation][day], total[day], heater_w, short_w, spring};
// `past` counts individuals past the egg.
function simulate(numbers) {
  const lesson = model.wg_lesson_new();
  try {
    for (const [name, value] of Object.entries(numbers))
      if (model.wg_lesson_set(lesson, NUMBERS.indexOf(name), value) < 0) throw new Error(name + " cannot be " + value);
    if (model.wg_lesson_live(lesson) < 0) throw new Error(textAt(model.wg_lesson_problem(lesson)));
    return readLesson(lesson);
  } finally {
    model.wg_lesson_free(lesson);
  }
}

function readLesson(lesson) {
  const days = model.wg_lesson_days(lesson), generations = model.wg_lesson_generations(lesson), n = STAGES.length;
  const counts = new Float64Array(days * n * generations);
  const past = Array.from({ length: generations }, () => new Float64Array(days)), total = new Float64Array(days);
  for (let d = 0, i = 0; d < days; d++)
    for (let s = 0; s < n; s++)
      for (let g = 0; g < generations; g++, i++) {
        counts[i] = model.wg_lesson_count(lesson, d, s, g);
        total[d] += counts[i];
        if (s !== EGG) past[g][d] += counts[i];
      }
  const value = {};
  SERIES.forEach((name, k) => { value[name] = Float64Array.from({ length: days }, (_, d) => model.wg_lesson_value(lesson, d, k)); });
  const count = (d, s, g) => counts[(d * n + s) * generations + g];
  return { days, generations, count, value, past, total, heater_w: model.wg_lesson_heater_w(lesson), short_w: model.wg_lesson_heater_short_w(lesson),
    spring: model.wg_lesson_spring_day(lesson) };
}

// ---- names and numbers ----------------------------------------------------------------------------------------------

const COLOURS = ["#E69F00", "#56B4E9", "#009E73", "#CC79A7", "#0072B2", "#F0E442", "#D55E00", "#999999"]; // Okabe & Ito 2008
const colourOf = (g) => COLOURS[g % COLOURS.length];
const nameOf = (g) => ["starters", "children", "grandchildren", "great-grandchildren"][g] ?? "generation " + g;
const ROWS = [["eggs", [0]], ["grubs (larvae)", [1]], ["crawlers (prepupae)", [2]], ["dormant for winter", [3]], ["pupae", [4]], ["flies", [5, 6]]];

let us = false; // US customary units
const integer = (x) => Math.round(x).toLocaleString("en-GB");
const fixed = (x, digits) => x.toLocaleString("en-GB", { maximumFractionDigits: digits, minimumFractionDigits: digits });
const temp = (c) => (us ? integer(1.8 * c + 32) + " °F" : integer(c) + " °C");
const tempFine = (c) => (us ? fixed(1.8 * c + 32, 1) + " °F" : fixed(c, 1) + " °C");
const mass = (kg) => { const x = us ? kg / 0.45359237 : kg; return fixed(x, x < 10 ? 1 : 0) + (us ? " lb" : " kg"); };
const plural = (n, word) => integer(n) + " " + word + (Math.round(n) === 1 ? "" : "s");

const MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");
const FIRST = Date.UTC(2026, 8, 15);
const dateOf = (day) => new Date(FIRST + day * 864e5);
const shortDate = (day) => dateOf(day).getUTCDate() + " " + MONTHS[dateOf(day).getUTCMonth()];
const dayOfDate = (year, month) => Math.round((Date.UTC(year, month, 1) - FIRST) / 864e5);
const FEBRUARY = dayOfDate(2027, 1), MARCH = dayOfDate(2027, 2);
const dayName = (day) => (state.mode === "steady" ? "day " + day : "day " + day + " (" + shortDate(day) + ")");

// ---- state ----------------------------------------------------------------------------------------------------------

const byId = (id) => document.getElementById(id);
const state = { mode: "steady", day: 0, playing: false, view: "hills", guess: null, preview: null, numbers: {}, runs: [], rows: 1 };

// name, label, modes, step, formatter, and names of the choices of a select
const WHERE = ["outdoors", "hoop house", "greenhouse", "shed with lamps"];
const WEATHERS = ["", "mild winter, hot summer", "cold winter, warm summer", "warm coast"];
const SLIDERS = [
  ["TEMP_C", "Temperature", "steady", 0.5, tempFine],
  ["WEATHER", "The year's weather", "year pair", 0, null, WEATHERS],
  ["SHELTER", "Where the bin stands", "year pair", 0, null, WHERE],
  ["SET_POINT_C", "Heater set point", "pair", 0.5, tempFine],
  ["PRICE", "Price per kWh", "pair", 0.01, (x) => fixed(x, 2)],
  ["STARTER", "Starters", "steady year pair", 100, (n) => integer(n) + (state.mode === "steady" ? " eggs" : " young grubs")],
  ["CLUTCH_LOW", "Eggs a female lays, at least", "steady year pair", 10, (n) => integer(n) + " eggs"],
  ["CLUTCH_HIGH", "Eggs a female lays, at most", "steady year pair", 10, (n) => integer(n) + " eggs"],
  ["FEED_KG", "Kitchen scraps a day", "steady year pair", 0.1, mass],
  ["CATCH", "Share of crawlers harvested", "steady year pair", 0.05, (x) => integer(100 * x) + " %"],
];

function makeSliders() {
  for (const [name, label, modes, step, , choices] of SLIDERS) {
    const box = document.createElement("div"), id = "set-" + name, i = NUMBERS.indexOf(name);
    box.className = "slider";
    box.dataset.modes = modes;
    const least = model.wg_lesson_least(i), most = model.wg_lesson_most(i), first = model.wg_lesson_first(i);
    if (choices) {
      const options = choices.map((text, k) => (text ? `<option value="${k}">${text}</option>` : "")).join("");
      box.innerHTML = `<label for="${id}">${label}</label><select id="${id}">${options}</select>`;
    } else {
      box.innerHTML = `<label for="${id}"><span>${label}</span><output id="${id}-out" for="${id}"></output></label>
        <input type="range" id="${id}" min="${least}" max="${most}" step="${step}" value="${first}">`;
    }
    byId("sliders").append(box);
    state.numbers[name] = first;
    byId(id).addEventListener("input", () => { state.numbers[name] = Number(byId(id).value); settingsChanged(); });
  }
  state.numbers.WEATHER = 1;
  state.numbers.SEED = model.wg_lesson_first(NUMBERS.indexOf("SEED"));
}

function showSliders() {
  for (const [name, , modes, , show, choices] of SLIDERS) {
    const input = byId("set-" + name), here = modes.split(" ").includes(state.mode);
    input.parentElement.hidden = !here;
    input.value = state.numbers[name];
    if (choices) continue;
    byId("set-" + name + "-out").textContent = show(state.numbers[name]);
    input.setAttribute("aria-valuetext", show(state.numbers[name]));
  }
  const outdoors = byId("set-SHELTER").querySelector("option"); // a heater needs a house
  outdoors.disabled = state.mode === "pair";
}

// ---- running ----------------------------------------------------------------------------------------------------

function settingsOf(heater) {
  const n = state.numbers, common = { STARTER: n.STARTER, CLUTCH_LOW: n.CLUTCH_LOW, CLUTCH_HIGH: n.CLUTCH_HIGH, FEED_KG: n.FEED_KG, CATCH: n.CATCH, SEED: n.SEED };
  if (state.mode === "steady") return { ...common, WEATHER: 0, TEMP_C: n.TEMP_C };
  return { ...common, WEATHER: n.WEATHER, SHELTER: n.SHELTER, HEATER: heater, SET_POINT_C: n.SET_POINT_C, PRICE: n.PRICE };
}

function showProblem(error) {
  byId("problem").hidden = !error;
  byId("problem").textContent = error ? "The colony could not be simulated: " + error.message : "";
}

function rerun() {
  try {
    state.runs = state.mode === "pair" ? [simulate(settingsOf(0)), simulate(settingsOf(1))] : [simulate(settingsOf(0))];
    showProblem(null);
  } catch (error) {
    state.runs = [];
    showProblem(error);
    return;
  }
  const shown = (run) => run.past.reduce((most, row, g) => (row.some((x) => x > 0) ? g + 1 : most), 1);
  state.rows = Math.max(...state.runs.map(shown));
  byId("day").max = state.runs[0].days - 1;
  byId("guess").max = state.runs[0].days - 1;
  state.day = Math.min(state.day, lastDay());
}

const lastDay = () => (state.runs.length ? state.runs[0].days - 1 : 0);

let waiting = 0;
function settingsChanged() {
  dropGuess("");
  showSliders();
  clearTimeout(waiting);
  waiting = setTimeout(() => { rerun(); show(); announce(true); }, 60);
}

// ---- pictures ---------------------------------------------------------------------------------------------------

const ink = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

function prepareCanvas(canvas) {
  const ratio = window.devicePixelRatio || 1, box = canvas.getBoundingClientRect();
  const w = Math.round(box.width * ratio), h = Math.round(box.height * ratio);
  if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
  const to = canvas.getContext("2d");
  to.setTransform(ratio, 0, 0, ratio, 0, 0);
  to.clearRect(0, 0, box.width, box.height);
  return { to, width: box.width, height: box.height };
}

function drawAxis(to, frame, run) {
  to.strokeStyle = ink("--line");
  to.fillStyle = ink("--quiet");
  to.textAlign = "center";
  to.textBaseline = "top";
  const every = frame.right - frame.left < 330 ? 2 : 1;
  const mark = (day, text) => {
    to.beginPath();
    to.moveTo(frame.x(day), frame.bottom);
    to.lineTo(frame.x(day), frame.bottom + 4);
    to.stroke();
    if (text) to.fillText(text, Math.min(frame.x(day), frame.right - 8), frame.bottom + 5);
  };
  if (state.mode === "steady") for (let d = 0; d <= run.days; d += 50) mark(d, (d / 50) % every ? "" : d === 0 ? "day 0" : "" + d);
  else for (let m = 9, k = 0; m < 21; m++, k++) mark(dayOfDate(2026, m), k % every ? "" : MONTHS[m % 12]);
  to.beginPath();
  to.moveTo(frame.left, frame.bottom + .5);
  to.lineTo(frame.right, frame.bottom + .5);
  to.stroke();
}

// The path of an area over days 0..day between two edges.
function area(to, frame, day, low, high) {
  to.beginPath();
  to.moveTo(frame.x(0), low(0));
  for (let d = 0; d <= day; d++) to.lineTo(frame.x(d), high(d));
  for (let d = day; d >= 0; d--) to.lineTo(frame.x(d), low(d));
  to.closePath();
}

// Writes the generation's name left of the hill, and its peak so far where the row is empty.
function drawHillName(to, frame, g, y, at, most) {
  to.textBaseline = "alphabetic";
  to.textAlign = "right";
  to.fillStyle = ink("--ink");
  to.fillText(nameOf(g), frame.left - 8, y - 4);
  const early = frame.x(at) < (frame.left + frame.right) / 2;
  to.textAlign = early ? "right" : "left";
  halo(to, "peak " + integer(most), early ? frame.right - 5 : frame.left + 4, y - 4, "--quiet"); // clear of the line of the last day
}

// Strokes the upper edge of a hill where the count is above 0.
function edge(to, frame, row, day, high) {
  to.beginPath();
  for (let d = 0; d <= day; d++)
    if (row[d] > 0 && d > 0 && row[d - 1] > 0) to.lineTo(frame.x(d), high(d));
    else to.moveTo(frame.x(d), high(d));
  to.stroke();
}

// Returns functions that write the names, to be called after the marks.
function drawHills(to, frame, run, day) {
  const names = [];
  frame.step = (frame.bottom - frame.top) / state.rows;
  for (let g = 0; g < Math.min(state.rows, run.generations); g++) {
    const row = run.past[g], y = frame.top + (g + 1) * frame.step, top = Math.max(1, ...row);
    to.strokeStyle = ink("--line");
    to.globalAlpha = .4;
    to.beginPath();
    to.moveTo(frame.left, y);
    to.lineTo(frame.right, y);
    to.stroke();
    to.globalAlpha = 1;
    const most = Math.max(0, ...row.subarray(0, day + 1)), high = (d) => y - (row[d] / top) * (frame.step - 4);
    if (most === 0) continue;
    area(to, frame, day, () => y, high);
    to.fillStyle = colourOf(g);
    to.fill();
    to.strokeStyle = ink("--ink");
    to.lineWidth = 1.2;
    edge(to, frame, row, day, high);
    names.push(() => drawHillName(to, frame, g, y, row.indexOf(most), most));
  }
  return names;
}

function drawStack(to, frame, run, day) {
  const sum = new Float64Array(run.days), all = new Float64Array(run.days);
  for (const row of run.past) row.forEach((x, d) => { all[d] += x; });
  const top = Math.max(1, ...state.runs.map((one) => Math.max(...all.map((_, d) => one.past.reduce((t, row) => t + row[d], 0)))));
  const y = (x) => frame.bottom - (x / top) * (frame.bottom - frame.top - 4);
  const names = [];
  for (let g = 0; g < Math.min(state.rows, run.generations); g++) {
    const row = run.past[g], under = sum.slice();
    row.forEach((x, d) => { sum[d] += x; });
    area(to, frame, day, (d) => y(under[d]), (d) => y(sum[d]));
    to.fillStyle = colourOf(g);
    to.fill();
    to.strokeStyle = ink("--ink");
    to.lineWidth = .7;
    to.stroke();
    let at = 0;
    for (let d = 0; d <= day; d++) if (row[d] > row[at]) at = d;
    const thick = y(under[at]) - y(sum[at]);
    if (thick > 15) names.push([nameOf(g), frame.x(at), (y(under[at]) + y(sum[at])) / 2]);
  }
  to.textAlign = "center";
  to.textBaseline = "middle";
  const placed = [];
  for (const [name, x, y] of names) {
    const half = to.measureText(name).width / 2 + 4, middle = Math.min(Math.max(x, frame.left + half), frame.right - half);
    if (placed.some((p) => Math.abs(middle - p.middle) < half + p.half && Math.abs(y - p.y) < 18)) continue; // the legend also has it
    placed.push({ middle, half, y });
    halo(to, name, middle, y);
  }
  to.textAlign = "right";
  to.fillStyle = ink("--quiet");
  to.fillText(integer(top), frame.left - 6, frame.top + 6);
  to.fillText("count", frame.left - 6, frame.top + 22);
  to.fillText("(no eggs)", frame.left - 6, frame.top + 36);
  to.fillText("0", frame.left - 6, frame.bottom - 5);
}

function halo(to, text, x, y, colour = "--ink") {
  to.lineWidth = 4;
  to.lineJoin = "round";
  to.strokeStyle = ink("--back");
  to.strokeText(text, x, y);
  to.fillStyle = ink(colour);
  to.fillText(text, x, y);
  to.lineWidth = 1;
}

function drawWeather(to, frame, run, day) {
  const top = 4, bottom = frame.top - 14, low = -20, high = 40, y = (c) => bottom - ((c - low) / (high - low)) * (bottom - top);
  to.strokeStyle = ink("--line");
  to.setLineDash([2, 3]);
  to.beginPath();
  to.moveTo(frame.left, y(0));
  to.lineTo(frame.right, y(0));
  to.stroke();
  to.setLineDash([]);
  to.textAlign = "right";
  to.textBaseline = "middle";
  to.fillStyle = ink("--quiet");
  to.fillText("freezing", frame.right, y(0) + 8);
  const line = (series, width, style) => {
    to.strokeStyle = style;
    to.lineWidth = width;
    to.beginPath();
    for (let d = 0; d <= day; d++) to.lineTo(frame.x(d), y(Math.max(low, Math.min(high, series[d]))));
    to.stroke();
    to.lineWidth = 1;
  };
  line(run.value.OUTDOOR_C, 1, ink("--quiet"));
  line(run.value.BIN_C, 2.2, ink("--ink"));
  to.fillStyle = ink("--ink");
  to.fillText("bin " + temp(run.value.BIN_C[day]), frame.left - 8, top + 8);
  to.fillStyle = ink("--quiet");
  to.fillText("outside " + temp(run.value.OUTDOOR_C[day]), frame.left - 8, top + 24);
}

// A guess is about the colony without a heater: its marks are in the first picture only.
function drawMarks(to, frame, day, guessed) {
  const line = (at, text, dash, above) => {
    to.strokeStyle = ink("--ink");
    to.lineWidth = 2;
    to.setLineDash(dash);
    to.beginPath();
    to.moveTo(frame.x(at), above);
    to.lineTo(frame.x(at), frame.bottom);
    to.stroke();
    to.setLineDash([]);
    to.lineWidth = 1;
    to.textAlign = frame.x(at) > (frame.left + frame.right) / 2 ? "right" : "left";
    to.textBaseline = "top";
    if (text) halo(to, text, frame.x(at) + (to.textAlign === "left" ? 4 : -4), above);
  };
  line(day, "", [], frame.top - 8);
  const guess = state.guess;
  if (!guessed || (!guess && state.preview === null)) return;
  line(guess ? guess.day : state.preview, "my guess", [5, 4], frame.top - 8);
  if (guess && guess.found !== null) line(guess.found, "it happened", [], frame.top + 8);
}

function drawPicture(k) {
  const run = state.runs[k], canvas = byId("canvas-" + k), { to, width, height } = prepareCanvas(canvas);
  to.font = (width < 420 ? 12 : 13) + "px " + getComputedStyle(document.body).fontFamily;
  const weather = state.mode !== "steady";
  const frame = { left: Math.ceil(to.measureText(nameOf(3)).width) + 9, right: width - 8, top: weather ? (height < 240 ? 54 : 74) : 12, bottom: height - 22 };
  frame.x = (day) => frame.left + (day / (run.days - 1)) * (frame.right - frame.left);
  drawAxis(to, frame, run);
  if (weather) drawWeather(to, frame, run, state.day);
  const names = state.view === "hills" ? drawHills(to, frame, run, state.day) : drawStack(to, frame, run, state.day);
  drawMarks(to, frame, state.day, k === 0);
  for (const write of names || []) write();
  to.textAlign = "center";
  const hatched = run.past.some((row) => row.subarray(0, state.day + 1).some((x) => x > 0));
  if (state.day > 0 && !hatched) halo(to, "No egg has hatched so far", (frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2);
  if (state.day === 0 && !state.playing) halo(to, "Press Play", (frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2);
  canvas.setAttribute("aria-label", describePicture(run));
}

function describePicture(run) {
  const there = [];
  for (let g = 0; g < run.generations; g++) if (run.past[g][state.day] > 0) there.push(nameOf(g) + " " + integer(run.past[g][state.day]));
  return "Time line up to " + dayName(state.day) + ". Alive, without eggs: " + (there.join(", ") || "none") + ".";
}

// ---- numbers of the day -----------------------------------------------------------------------------------------

function meaning(overlap, alive) {
  if (Number.isNaN(overlap)) return alive > 0 ? "Only eggs so far." : "The colony is dead.";
  if (overlap < 1.1) return "Nearly all belong to one generation.";
  if (overlap < 1.6) return "A second generation mixes in.";
  if (overlap < 2.2) return "Two generations share the bin.";
  return "Several generations share the bin.";
}
const overlapText = (run) => { const x = run.value.OVERLAP[state.day]; return Number.isNaN(x) ? "–" : fixed(x, 1); };

function showToday(run) {
  const day = state.day, body = byId("today").tBodies[0];
  body.textContent = "";
  for (const [name, stages] of ROWS) {
    const of = (g) => stages.reduce((sum, s) => sum + run.count(day, s, g), 0);
    let total = 0, parts = "";
    for (let g = 0; g < run.generations; g++) total += of(g);
    for (let g = 0; g < run.generations; g++)
      if (of(g) > 0) parts += `<i style="width:${(100 * of(g)) / total}%;background:${colourOf(g)}" title="${nameOf(g)}: ${integer(of(g))}"></i>`;
    const row = body.insertRow();
    row.innerHTML = `<th scope="row">${name}</th><td><div class="bar">${parts}</div></td><td class="number">${integer(total)}</td>`;
  }
}

const sumTo = (series, day) => series.subarray(0, day + 1).reduce((a, b) => a + b, 0);
const coldest = (series, day) => Math.min(...series.subarray(0, day + 1));

function showPair() {
  const day = state.day, [off, on] = state.runs;
  const row = (name, f) => `<tr><th scope="row">${name}</th><td class="number">${f(off)}</td><td class="number">${f(on)}</td></tr>`;
  const march = (run) => (day < MARCH ? "not yet" : integer(run.total[MARCH]));
  const shortfall = on.short_w > 1 ? `, ${integer(on.short_w)} W too little in the coldest hour` : "";
  byId("pair-table").innerHTML = `<table><thead><tr><th scope="col">So far</th><th scope="col" class="number">heater off</th><th scope="col" class="number">heater on</th></tr></thead><tbody>` +
    row("Alive today, eggs included", (l) => integer(l.total[day])) + row("Alive on 1 March", march) +
    row("Coldest hour where the bin stands", (l) => temp(coldest(l.value.AIR_LOW_C, day))) +
    row("Harvest", (l) => mass(sumTo(l.value.HARVEST_KG, day))) +
    row("Electricity", (l) => integer(sumTo(l.value.HEATER_KWH, day)) + " kWh") +
    row("Cost of heating", (l) => fixed(sumTo(l.value.HEATER_COST, day), 2)) +
    `</tbody></table><p class="small">The same weather and luck in both. The heater gives up to ${integer(on.heater_w)} W${shortfall}. Lamps in a shed are on for 12 hours a day; their electricity is not counted.</p>`;
}

function showLegend() {
  const seen = [];
  for (let g = 0; g < state.rows; g++) if (state.runs.some((l) => l.generations > g && l.past[g].subarray(0, state.day + 1).some((x) => x > 0))) seen.push(g);
  byId("legend").hidden = state.view === "hills"; // names are beside the hills
  byId("legend").innerHTML = seen.map((g) => `<li><i style="background:${colourOf(g)}"></i>${nameOf(g)}</li>`).join("");
}

function captions() {
  const n = state.numbers, place = WHERE[n.SHELTER];
  const own = state.view === "hills" ? ", each hill to its own scale" : "";
  byId("caption-0").textContent = state.mode === "pair" ? "Heater off"
    : (state.mode === "steady" ? "Always " + tempFine(n.TEMP_C) : "No heater, " + place) + own;
  byId("caption-1").textContent = "Heater on: " + tempFine(n.SET_POINT_C);
}

function show() {
  if (!state.runs.length) return;
  const pair = state.mode === "pair", run = state.runs[0];
  byId("second").hidden = !pair;
  byId("pictures").classList.toggle("two", pair);
  for (const id of ["stage", "overlap-box"]) byId(id).classList.toggle("pair", pair);
  byId("today").hidden = pair;
  byId("pair-table").hidden = !pair;
  byId("today-head").textContent = pair ? "What did the heater do?" : "Who is alive today?";
  captions();
  state.runs.forEach((_, k) => drawPicture(k));
  byId("when").textContent = "Day " + state.day + (state.mode === "steady" ? "" : ", " + shortDate(state.day));
  byId("overlap").textContent = state.runs.map(overlapText).join(" | ");
  byId("meaning").textContent = pair ? "heater off | heater on" : meaning(run.value.OVERLAP[state.day], run.total[state.day]);
  if (pair) showPair();
  else showToday(run);
  showLegend();
  byId("day").value = state.day;
  byId("day").setAttribute("aria-valuetext", dayName(state.day));
  byId("play").textContent = state.playing ? "Pause" : "Play";
  const locked = state.guess !== null && state.guess.open;
  byId("day").disabled = locked;
  byId("lock").hidden = locked;
  byId("drop").hidden = !locked;
  byId("guess").disabled = byId("question").disabled = locked;
}

// Announces the day to screen readers: at most every five seconds while playing, immediately otherwise.
let announcedAt = 0;
function announce(now) {
  const time = performance.now();
  if (!state.runs.length || (!now && time - announcedAt < 5000)) return;
  announcedAt = time;
  const lines = state.runs.map((l, k) => (state.mode === "pair" ? (k ? "Heater on: " : "Heater off: ") : "") + "overlap " + overlapText(l) + ", " + integer(l.total[state.day]) + " alive.");
  byId("live").textContent = "Day " + state.day + (state.mode === "steady" ? "" : ", " + shortDate(state.day)) + ". " + lines.join(" ");
}

// ---- playing ----------------------------------------------------------------------------------------------------

const reducedMotion = window.matchMedia("(prefers-reduced-motion: reduce)");
let last = 0, pendingDays = 0;

function tick(time) {
  if (!state.playing) return;
  pendingDays += (Math.min(time - last, 1500) / 1000) * Number(byId("speed").value);
  last = time;
  const least = reducedMotion.matches ? Number(byId("speed").value) : 1; // one jump a second
  if (pendingDays >= least) {
    const days = Math.floor(pendingDays);
    pendingDays -= days;
    goTo(state.day + days);
    announce(false);
  }
  if (state.playing) requestAnimationFrame(tick);
}

function play(on) {
  state.playing = on && state.runs.length > 0;
  if (state.playing) {
    if (state.day >= lastDay()) state.day = 0;
    last = performance.now();
    pendingDays = 0;
    requestAnimationFrame(tick);
  }
  show();
  announce(true);
}

function goTo(day) {
  state.day = Math.max(0, Math.min(lastDay(), day));
  const ended = state.day >= lastDay();
  if (state.guess && state.guess.open) checkGuess();
  if (ended && state.playing) play(false);
  else show();
}

// ---- guessing ---------------------------------------------------------------------------------------------------

const firstDay = (run, test) => { for (let d = 0; d < run.days; d++) if (test(d)) return d; return null; };
const flies = (run, d) => { let sum = 0; for (let g = 0; g < run.generations; g++) sum += run.count(d, FEMALE, g) + run.count(d, MALE, g); return sum; };
const QUESTIONS = [
  ["The first grandchildren hatch", "steady year pair", (l) => firstDay(l, (d) => l.count(d, LARVA, 2) > 0)],
  ["The first children hatch", "steady year pair", (l) => firstDay(l, (d) => l.count(d, LARVA, 1) > 0)],
  ["The first flies emerge", "steady year pair", (l) => firstDay(l, (d) => flies(l, d) > 0)],
  ["Three generations live at once", "steady year pair", (l) => firstDay(l, (d) => l.past.filter((row) => row[d] > 0).length >= 3)],
  ["The first flies of spring emerge", "year pair", (l) => (l.spring < 0 ? null : l.spring)],
];
const SPRING = QUESTIONS[4]; // decided by the model

function showQuestions() {
  const before = byId("question").value;
  byId("question").innerHTML = QUESTIONS.map(([text, modes], i) => (modes.includes(state.mode) ? `<option value="${i}">${text}</option>` : "")).join("");
  if ([...byId("question").options].some((o) => o.value === before)) byId("question").value = before;
}

function showGuess() {
  const day = Number(byId("guess").value);
  byId("guess-out").textContent = dayName(day);
  byId("guess").setAttribute("aria-valuetext", dayName(day));
}

// A tap on the time line sets the guess, like the slider.
function previewGuess(day) {
  if (state.guess && state.guess.open) return;
  dropGuess("");
  byId("guess").value = day;
  state.preview = Number(byId("guess").value);
  showGuess();
  show();
}

function tapped(event) {
  const canvas = event.target, box = canvas.getBoundingClientRect(), to = canvas.getContext("2d");
  const left = Math.ceil(to.measureText(nameOf(3)).width) + 9, share = (event.clientX - box.left - left) / (box.width - 8 - left);
  if (share > 0 && share <= 1) previewGuess(Math.round(share * lastDay()));
}

// In the heater comparison the question is about the colony without a heater.
function lockGuess() {
  if (!state.runs.length) return;
  const question = QUESTIONS[Number(byId("question").value)], truth = question[2](state.runs[0]);
  state.guess = { isSpring: question === SPRING, day: Number(byId("guess").value), truth, found: null, open: true };
  byId("answer").textContent = "Watch: play stops when it happens" + (state.mode === "pair" ? " (heater off)." : ".");
  state.day = 0;
  if (byId("stage").getBoundingClientRect().top < 0) byId("stage").scrollIntoView();
  play(true);
}

function dropGuess(message) {
  state.guess = state.preview = null;
  byId("answer").textContent = message;
}

function checkGuess() {
  const guess = state.guess;
  if (guess.truth !== null && state.day >= guess.truth) {
    guess.open = false;
    state.day = guess.found = guess.truth;
    const off = guess.day - guess.truth;
    byId("answer").textContent = (state.mode === "pair" ? "Heater off: it" : "It") + " happened on " + dayName(guess.truth) + ". Your guess was " +
      (off === 0 ? "exactly right!" : plural(Math.abs(off), "day") + (off < 0 ? " too early." : " too late."));
    play(false);
  } else if (state.day >= lastDay()) {
    guess.open = false;
    byId("answer").textContent = guess.isSpring && flies(state.runs[0], FEBRUARY - 1) > 0
      ? "Flies emerged all winter, so there is no first fly of spring." : "It did not happen in this period.";
  }
}

// ---- the worksheet ----------------------------------------------------------------------------------------------

function fillSheet() {
  const n = state.numbers, place = state.mode === "steady" ? "always " + tempFine(n.TEMP_C) : WHERE[n.SHELTER] + ", " + WEATHERS[n.WEATHER];
  byId("sheet-settings").textContent = place + "; " + integer(n.STARTER) + (state.mode === "steady" ? " eggs" : " young grubs") + " to start; clutches of " +
    integer(Math.min(n.CLUTCH_LOW, n.CLUTCH_HIGH)) + " to " + integer(Math.max(n.CLUTCH_LOW, n.CLUTCH_HIGH)) + " eggs; " + mass(n.FEED_KG) + " of scraps a day; " +
    integer(100 * n.CATCH) + " % of crawlers harvested; " + (state.mode === "pair" ? "the heater holds " + tempFine(n.SET_POINT_C) + " at " + fixed(n.PRICE, 2) + " per kWh; " : "") +
    "luck number " + n.SEED + ".";
  let marks = "";
  for (let d = 0; d <= lastDay(); d += 50) marks += `<i style="left:${(100 * d) / lastDay()}%"></i><span style="left:${(100 * d) / lastDay()}%">${d}</span>`;
  byId("sheet-timeline").innerHTML = marks;
}

// ---- wiring -----------------------------------------------------------------------------------------------------

function modeChanged(mode) {
  state.mode = mode;
  state.playing = false;
  state.day = 0;
  if (mode === "pair" && state.numbers.SHELTER === 0) state.numbers.SHELTER = 3;
  dropGuess("");
  showQuestions();
  showSliders();
  rerun();
  showGuess();
  show();
  announce(true);
}

function wire() {
  const on = (id, kind, f) => byId(id).addEventListener(kind, f);
  on("play", "click", () => play(!state.playing));
  on("step", "click", () => { state.playing = false; goTo(state.day + 1); announce(true); });
  on("back", "click", () => { state.playing = false; goTo(state.day - 1); announce(true); });
  on("restart", "click", () => { state.playing = false; goTo(0); announce(true); });
  on("day", "input", () => { state.playing = false; goTo(Number(byId("day").value)); announce(false); });
  on("day", "change", () => announce(true));
  on("guess", "input", () => previewGuess(Number(byId("guess").value)));
  for (const id of ["canvas-0", "canvas-1"]) on(id, "click", tapped);
  on("lock", "click", lockGuess);
  on("drop", "click", () => { dropGuess(""); play(false); });
  on("question", "change", () => { dropGuess(""); show(); });
  on("luck", "click", () => { state.numbers.SEED = (state.numbers.SEED % 999999) + 1; settingsChanged(); });
  on("print", "click", () => { fillSheet(); window.print(); });
  on("mode", "change", (event) => modeChanged(event.target.value));
  on("view", "change", (event) => { state.view = event.target.value; show(); });
  on("units", "change", (event) => { us = event.target.value === "us"; showSliders(); show(); });
  window.addEventListener("beforeprint", fillSheet);
  window.addEventListener("resize", show);
  window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", show);
}

async function begin() {
  try {
    await loadModel();
  } catch (error) {
    showProblem(error);
    return;
  }
  makeSliders();
  wire();
  modeChanged("steady");
  document.body.dataset.ready = "yes";
}
const ready = begin();
