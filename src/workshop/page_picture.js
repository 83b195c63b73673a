/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// The pictures on canvases: hills, stack, winter, and the marks over them.

const ink = (name) => getComputedStyle(byId("lesson")).getPropertyValue(name).trim();

// Letters grow with the picture, so that the last row reads them on a projector.
const letterSize = (width) => (width < 420 ? 12 : Math.round(Math.min(26, Math.max(14, width / 56, innerWidth / 105))));

function prepareCanvas(canvas) {
  const ratio = window.devicePixelRatio || 1, box = canvas.getBoundingClientRect();
  const w = Math.round(box.width * ratio), h = Math.round(box.height * ratio);
  if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
  const to = canvas.getContext("2d");
  to.setTransform(ratio, 0, 0, ratio, 0, 0);
  to.clearRect(0, 0, box.width, box.height);
  const em = letterSize(box.width);
  to.font = em + "px " + getComputedStyle(byId("lesson")).fontFamily;
  return { to, width: box.width, height: box.height, em };
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

function rule(to, x0, y0, x1, y1, { colour = "--line", width = 1, dash = [] } = {}) {
  to.strokeStyle = ink(colour);
  to.lineWidth = width;
  to.setLineDash(dash);
  to.beginPath();
  to.moveTo(x0, y0);
  to.lineTo(x1, y1);
  to.stroke();
  to.setLineDash([]);
  to.lineWidth = 1;
}

// A frame over days first..last; x() gives a day's place.
function frameOf(to, width, em, first, last, top, bottom) {
  const frame = { left: Math.ceil(to.measureText("grandchildren").width) + 9, right: width - 8, top, bottom, em, first, last };
  frame.x = (day) => frame.left + ((day - first) / (last - first)) * (frame.right - frame.left);
  return frame;
}

function drawAxis(to, frame) {
  to.fillStyle = ink("--quiet");
  to.textAlign = "center";
  to.textBaseline = "top";
  const every = (frame.right - frame.left) / (frame.last - frame.first) * 30 < 2.6 * frame.em ? 2 : 1;
  const mark = (day, text) => {
    if (day < frame.first || day > frame.last) return;
    rule(to, frame.x(day), frame.bottom, frame.x(day), frame.bottom + 4);
    if (text) to.fillText(text, Math.max(frame.left, Math.min(frame.x(day), frame.right - to.measureText(text).width / 2)), frame.bottom + 5);
  };
  if (state.mode === "steady") for (let d = 0; d <= frame.last + 1; d += 50) mark(d, (d / 50) % every ? "" : d === 0 ? "day 0" : "" + d);
  else for (let m = 9, k = 0; m < 21; m++, k++) mark(dayOfDate(2026, m), k % every ? "" : MONTHS[m % 12]);
  rule(to, frame.left, frame.bottom + .5, frame.right, frame.bottom + .5);
}

// The path of an area over days first..day between two edges.
function area(to, frame, day, low, high) {
  to.beginPath();
  to.moveTo(frame.x(frame.first), low(frame.first));
  for (let d = frame.first; d <= day; d++) to.lineTo(frame.x(d), high(d));
  for (let d = day; d >= frame.first; d--) to.lineTo(frame.x(d), low(d));
  to.closePath();
}

// Strokes a curve over days first..day where `has` of a day is true.
function curve(to, frame, day, y, has = () => true) {
  let before = false;
  to.beginPath();
  for (let d = frame.first; d <= Math.min(day, frame.last); d++) {
    const now = has(d);
    if (now && before) to.lineTo(frame.x(d), y(d));
    else if (now) to.moveTo(frame.x(d), y(d));
    before = now;
  }
  to.stroke();
}

// ---- hills and stack ------------------------------------------------------------------------------------------------

// Writes the generation's name left of the hill, and its peak so far where the row is empty.
function drawHillName(to, frame, g, y, at, most) {
  to.textBaseline = "alphabetic";
  to.textAlign = "right";
  to.fillStyle = ink("--ink");
  to.fillText(nameOf(g), frame.left - 8, y - 4);
  const early = frame.x(at) < (frame.left + frame.right) / 2;
  to.textAlign = early ? "right" : "left";
  halo(to, "peak " + about(most), early ? frame.right - 5 : frame.left + 4, y - 4, "--quiet"); // clear of the line of the last day
}

// Returns functions that write the names, to be called after the marks.
function drawHills(to, frame, run, day) {
  const names = [];
  frame.step = (frame.bottom - frame.top) / state.rows;
  for (let g = 0; g < Math.min(state.rows, run.generations); g++) {
    const row = run.past[g], y = frame.top + (g + 1) * frame.step, top = Math.max(1, ...row);
    to.globalAlpha = .4;
    rule(to, frame.left, y, frame.right, y);
    to.globalAlpha = 1;
    const most = Math.max(0, ...row.subarray(0, day + 1)), high = (d) => y - (row[d] / top) * (frame.step - 4);
    if (most === 0) continue;
    area(to, frame, day, () => y, high);
    to.fillStyle = colourOf(g);
    to.fill();
    to.strokeStyle = ink("--ink");
    to.lineWidth = 1.2;
    curve(to, frame, day, high, (d) => row[d] > 0);
    names.push(() => drawHillName(to, frame, g, y, row.indexOf(most), most));
  }
  return names;
}

function writeStackNames(to, frame, names) {
  to.textAlign = "center";
  to.textBaseline = "middle";
  const placed = [];
  for (const [name, x, y] of names) {
    const half = to.measureText(name).width / 2 + 4, middle = Math.min(Math.max(x, frame.left + half), frame.right - half);
    if (placed.some((p) => Math.abs(middle - p.middle) < half + p.half && Math.abs(y - p.y) < 1.4 * frame.em)) continue; // the legend also has it
    placed.push({ middle, half, y });
    halo(to, name, middle, y);
  }
}

function drawStack(to, frame, run, day) {
  const sum = new Float64Array(run.days), all = new Float64Array(run.days), em = frame.em;
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
    if (y(under[at]) - y(sum[at]) > 1.2 * em) names.push([nameOf(g), frame.x(at), (y(under[at]) + y(sum[at])) / 2]);
  }
  to.textAlign = "right";
  to.textBaseline = "middle";
  to.fillStyle = ink("--quiet");
  to.fillText(about(top), frame.left - 6, frame.top + em / 2);
  to.fillText("count", frame.left - 6, frame.top + 1.7 * em);
  to.fillText("(no eggs)", frame.left - 6, frame.top + 2.9 * em);
  to.fillText("0", frame.left - 6, frame.bottom - em / 2);
  return [() => writeStackNames(to, frame, names)];
}

// ---- the overlap below the hills ------------------------------------------------------------------------------------

const MOST_OVERLAP = 3; // of the axis; more is cut off, which takes a colony of a warm coast some days a year

// The mean over the days so far on which any lived past the egg: on the last day it is the fact MEAN_OVERLAP.
function meanOverlap(run, day) {
  const values = run.value.OVERLAP.subarray(0, day + 1).filter((x) => !Number.isNaN(x));
  return values.length ? values.reduce((a, b) => a + b, 0) / values.length : NaN;
}

function drawOverlap(to, frame, run, day) {
  const series = run.value.OVERLAP, y = (x) => frame.bottom - ((Math.min(x, MOST_OVERLAP) - 1) / (MOST_OVERLAP - 1)) * (frame.bottom - frame.top);
  to.textAlign = "right";
  to.textBaseline = "middle";
  to.fillStyle = ink("--quiet");
  for (const x of [1, 2, 3]) {
    to.globalAlpha = .4;
    rule(to, frame.left, y(x), frame.right, y(x));
    to.globalAlpha = 1;
    to.fillText("" + x, frame.left - 6, y(x));
  }
  to.fillStyle = ink("--ink");
  to.fillText("overlap", frame.left - 6 - 1.2 * frame.em, y(2));
  to.strokeStyle = ink("--ink");
  to.lineWidth = 1.5;
  curve(to, frame, day, (d) => y(series[d]), (d) => !Number.isNaN(series[d]));
  const mean = meanOverlap(run, day);
  if (Number.isNaN(mean)) return;
  rule(to, frame.left, y(mean), frame.x(day), y(mean), { colour: "--focus", width: 2, dash: [7, 4] });
  to.textAlign = "right";
  to.textBaseline = "bottom";
  halo(to, "mean so far " + fixed(mean, 2), frame.right - 5, y(2.05), "--focus");
}

// ---- the weather ----------------------------------------------------------------------------------------------------

// The strip of temperatures ends at -20 and 40 degC, in winter at -12 and 32, where it shows 0 and 12 apart.
function drawWeather(to, frame, run, day, top, bottom, winter) {
  const [low, high] = winter ? [-12, 32] : [-20, 40];
  const y = (c) => bottom - ((Math.max(low, Math.min(high, c)) - low) / (high - low)) * (bottom - top);
  const levels = winter ? [[GROWTH_C, frame.right - frame.left < 300 ? "no growth" : "no growth below " + temp(GROWTH_C)], [0, "freezing"]] : [[0, "freezing"]];
  for (const [c] of levels) rule(to, frame.left, y(c), frame.right, y(c), { dash: [2, 3] });
  const line = (series, width, colour) => {
    to.strokeStyle = ink(colour);
    to.lineWidth = width;
    curve(to, frame, day, (d) => y(series[d]));
    to.lineWidth = 1;
  };
  line(run.value.OUTDOOR_C, 1, "--quiet");
  line(run.value.BIN_C, 2.2, "--ink");
  to.textAlign = "right";
  to.textBaseline = "top";
  for (const [c, name] of levels) halo(to, name, frame.right - 5, y(c) + 2, "--quiet");
  to.textBaseline = "middle";
  to.fillStyle = ink("--ink");
  to.fillText("bin " + temp(run.value.BIN_C[day]), frame.left - 8, top + .6 * frame.em);
  to.fillStyle = ink("--quiet");
  to.fillText("outside " + temp(run.value.OUTDOOR_C[day]), frame.left - 8, top + 1.9 * frame.em);
}

// ---- winter ---------------------------------------------------------------------------------------------------------

const WINTER_FROM = dayOfDate(2026, 9), WINTER_TO = dayOfDate(2027, 5) - 1; // October to May

// The log scale of its own counts: 0 lies on the floor, 1 above it.
function winterScale(run, top, bottom) {
  let most = 10;
  for (const one of state.runs.length ? state.runs : [run])
    for (let d = WINTER_FROM; d <= WINTER_TO; d++) most = Math.max(most, one.asleep[d], one.awake[d]);
  const decades = Math.ceil(Math.log10(most)), unit = (bottom - top) / (decades + .5);
  return { decades, y: (n) => (n < 1 ? bottom : bottom - unit * (.5 + Math.log10(n))) };
}

function drawSleepers(to, frame, run, day) {
  const { decades, y } = winterScale(run, frame.top, frame.bottom), names = [], every = y(1) - y(10) < frame.em ? 2 : 1;
  to.textAlign = "right";
  to.textBaseline = "middle";
  for (let k = 0; k <= decades; k++) {
    to.globalAlpha = .4;
    rule(to, frame.left, y(10 ** k), frame.right, y(10 ** k));
    to.globalAlpha = 1;
    to.fillStyle = ink("--quiet");
    if ((decades - k) % every === 0 && frame.bottom - y(10 ** k) > frame.em) to.fillText(integer(10 ** k), frame.left - 6, y(10 ** k));
  }
  to.fillStyle = ink("--quiet");
  to.fillText("0", frame.left - 6, frame.bottom);
  names.push(() => { to.textAlign = "right"; to.textBaseline = "bottom"; halo(to, "each line: ten times more", frame.right - 5, frame.top - 1, "--quiet"); });
  for (const [series, colour, name, dash] of [[run.awake, AWAKE, "awake", [8, 4]], [run.asleep, ASLEEP, "asleep", []]]) {
    for (const [style, width] of [[ink("--ink"), 5], [colour, 3]]) {
      to.strokeStyle = style;
      to.lineWidth = width;
      to.setLineDash(dash);
      curve(to, frame, day, (d) => y(series[d]));
    }
    to.setLineDash([]);
    to.lineWidth = 1;
    let at = Math.min(day, WINTER_TO); // beside the largest gap between the two, so that the names do not meet
    for (let d = WINTER_FROM; d <= Math.min(day, WINTER_TO); d++)
      if (Math.abs(y(run.asleep[d]) - y(run.awake[d])) > Math.abs(y(run.asleep[at]) - y(run.awake[at]))) at = d;
    const above = series[at] >= (series === run.awake ? run.asleep : run.awake)[at];
    names.push(() => {
      const half = to.measureText(name).width / 2 + 4, place = y(series[at]) + (above ? -.9 : .9) * frame.em;
      to.textAlign = "center";
      to.textBaseline = "middle";
      halo(to, name, Math.min(frame.right - half, Math.max(frame.left + half, frame.x(at))), Math.min(frame.bottom - .6 * frame.em, Math.max(frame.top + .6 * frame.em, place)));
    });
  }
  return names;
}

// The share of a hundred years in which it is still alive.
function drawShareAlive(to, frame) {
  const alive = shareAlive(settingsOf(state.numbers.HEATER));
  to.textAlign = "right";
  to.textBaseline = "middle";
  to.fillStyle = ink("--quiet");
  if (!alive) {
    to.textAlign = "left";
    to.fillText("Still alive? Playing 100 years ...", frame.left, (frame.top + frame.bottom) / 2);
    return;
  }
  const y = (n) => frame.bottom - (n / LIVES) * (frame.bottom - frame.top);
  to.fillText("100", frame.left - 6, frame.top + .5 * frame.em);
  to.fillText("of 100 years", frame.left - 6 , (frame.top + frame.bottom) / 2 + .2 * frame.em);
  to.fillText("0", frame.left - 6, frame.bottom - .3 * frame.em);
  area(to, frame, frame.last, () => frame.bottom, (d) => y(alive[d]));
  to.fillStyle = END.ALIVE[2];
  to.globalAlpha = .75;
  to.fill();
  to.globalAlpha = 1;
  to.textBaseline = "bottom";
  halo(to, "still alive in " + alive[frame.last], frame.right - 5, frame.bottom - 3);
}

function drawWinter(to, width, height, em, run) {
  const bottom = height - 1.9 * em, strip = state.mode === "pair" ? 0 : Math.max(2.8 * em, .13 * height), weather = Math.max(4.6 * em, .2 * height);
  const low = frameOf(to, width, em, WINTER_FROM, WINTER_TO, bottom - strip, bottom);
  const frame = { ...low, top: 4 + weather + 1.2 * em, bottom: strip > 0 ? low.top - .9 * em : bottom };
  const day = Math.min(state.day, WINTER_TO);
  drawAxis(to, low);
  if (strip > 0) drawShareAlive(to, low);
  rule(to, frame.left, frame.bottom + .5, frame.right, frame.bottom + .5);
  drawWeather(to, frame, run, day, 4, 4 + weather, true);
  const names = state.day < WINTER_FROM ? [] : drawSleepers(to, frame, run, day);
  if (day >= WINTER_FROM) rule(to, frame.x(day), 4, frame.x(day), low.bottom, { colour: "--ink", width: 2 });
  for (const write of names) write();
  to.textAlign = "center";
  to.textBaseline = "middle";
  if (state.day < WINTER_FROM) halo(to, "This picture begins on 1 October", (frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2);
}

// ---- the whole picture ----------------------------------------------------------------------------------------------

// A guess is about the colony without a heater: its marks are in the first picture only.
function drawMarks(to, frame, run, day, guessed) {
  const line = (at, text, dash, top) => {
    rule(to, frame.x(at), top, frame.x(at), frame.bottom, { colour: "--ink", width: 2, dash });
    to.textAlign = frame.x(at) > (frame.left + frame.right) / 2 ? "right" : "left";
    to.textBaseline = "top";
    if (text) halo(to, text, frame.x(at) + (to.textAlign === "left" ? 4 : -4), top);
  };
  line(day, "", [], frame.top - 8);
  const guess = state.guess;
  if (!guessed || (guess ? guess.kind !== "date" : state.preview === null)) return;
  line(guess ? guess.day : state.preview, "my guess", [5, 4], frame.top - 8);
  if (!guess || guess.found === null) return;
  line(guess.found, "it happened", [], frame.top - 6 + frame.em);
  if (state.view === "hills" && guess.row !== null) drawEvent(to, frame, guess);
}

// A ring where the event is: the first few of a generation are too few to see as a hill.
function drawEvent(to, frame, guess) {
  const x = frame.x(guess.found), y = frame.top + (guess.row + 1) * frame.step - 3;
  for (const [size, style] of [[.75, ink("--back")], [.65, ink("--ink")], [.48, colourOf(guess.row)]]) {
    to.fillStyle = style;
    to.beginPath();
    to.arc(x, y, size * frame.em, 0, 7);
    to.fill();
  }
}

function drawTimeLine(to, width, height, em, run, k) {
  const weather = state.mode !== "steady", pair = state.mode === "pair", bottom = height - 1.8 * em;
  const strip = pair ? 0 : 3 * em, depth = weather ? Math.max(3.6 * em, .16 * height) : 0;
  const frame = frameOf(to, width, em, 0, run.days - 1, weather ? depth + 18 : 14, strip ? bottom - strip - 1.1 * em : bottom);
  drawAxis(to, { ...frame, bottom });
  if (strip) drawOverlap(to, { ...frame, top: bottom - strip, bottom: bottom - 3 }, run, state.day);
  if (weather) drawWeather(to, frame, run, state.day, 4, 4 + depth, false);
  const names = state.view === "stack" ? drawStack(to, frame, run, state.day) : drawHills(to, frame, run, state.day);
  drawMarks(to, frame, run, state.day, k === 0);
  for (const write of names) write();
  to.textAlign = "center";
  to.textBaseline = "middle";
  const hatched = run.past.some((row) => row.subarray(0, state.day + 1).some((x) => x > 0));
  const message = state.day > 0 && !hatched ? "No egg has hatched so far" : state.day === 0 && !state.playing ? "Press Play" : "";
  if (message) halo(to, message, (frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2);
}

function drawPicture(k) {
  const run = state.runs[k], canvas = byId("canvas-" + k), { to, width, height, em } = prepareCanvas(canvas);
  if (state.view === "winter" && state.mode !== "steady") drawWinter(to, width, height, em, run);
  else drawTimeLine(to, width, height, em, run, k);
  canvas.setAttribute("aria-label", describePicture(run));
}

function describePicture(run) {
  const there = [];
  for (let g = 0; g < run.generations; g++) if (run.past[g][state.day] > 0) there.push(nameOf(g) + " " + integer(run.past[g][state.day]));
  const asleep = run.asleep[state.day] > 0 ? " Asleep for winter: " + integer(run.asleep[state.day]) + "." : "";
  return "Time line up to " + dayName(state.day) + ". Alive, without eggs: " + (there.join(", ") || "none") + "." + asleep;
}
