/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// One possible future plays: how many of each stage on each day, warmth, crawl-off, and how it ended.

const STAGE_ROWS = [
  ["eggs", ["egg"], "#F0E442"], ["grubs (larvae)", ["larva"], "#E69F00"], ["crawlers (prepupae)", ["prepupa"], "#D55E00"],
  ["asleep for winter", ["dormant prepupa"], "#CC79A7"], ["pupae", ["pupa"], "#0072B2"], ["flies", ["adult female", "adult male"], "#009E73"],
];
const LIFE_WIDTH = 720, ROW_HEIGHT = 46, ROW_GAP = 8, WARMTH_HEIGHT = 84;
const GROWTH_C = 12; // no growth below it: the thresholds of the stages are 11.7 and 12 degC (species_numbers.c)
const FEWEST = 20; // the full height of a row stands for so many at least: one animal must not look like a crowd
const DASHES = ["1 2", "", "7 3", "2 4", "9 3 2 3"];
const SLOWEST_S = 30; // seconds for a year at speed 1
const MONTH_NAMES = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");

const dateAfter = (first, day) => new Date(Date.parse(first) + day * 864e5);
const showDay = (first, day) => { const d = dateAfter(first, day); return `${d.getUTCDate()} ${MONTH_NAMES[d.getUTCMonth()]} ${d.getUTCFullYear()}`; };
const stillMotion = window.matchMedia("(prefers-reduced-motion: reduce)");

// A few curves of temperature that matter: outdoors, in the bins, and in the ground where the animals sleep.
function warmthOf(life) {
  const place = life.places.filter((one) => one.temperature.some((c, d) => c !== life.outdoors[d]));
  return [{ name: "outdoors", temperature: life.outdoors }, ...life.bins.map((bin) => ({ name: "bin " + bin.name, temperature: bin.temperature })),
    ...life.places.map((one) => ({ name: "ground, " + one.name, temperature: one.ground })), ...place.map((one) => ({ name: "air, " + one.name, temperature: one.temperature }))].slice(0, DASHES.length);
}

const twoDigits = (x) => (x < 100 ? whole(x) : whole(Number(x.toPrecision(2))));

function lifePlayer(life, { title, us, close }) {
  const days = life.days, first = life.first_day, x = (day) => (LIFE_WIDTH * day) / Math.max(1, days - 1);
  const rows = STAGE_ROWS.map(([name, keys, colour]) => ({ name, colour, values: sumOf(life.stages, keys, days) }));
  const warmth = warmthOf(life);
  let sum = 0;
  const soFar = life.crawl_off?.map((kg) => (sum += kg || 0));
  const temp = (c) => (us ? Math.round(1.8 * c + 32) + " °F" : Math.round(c) + " °C");
  const mass = (kg) => (us ? (kg / 0.45359237).toFixed(kg < 4 ? 1 : 0) + " lb" : kg.toFixed(kg < 10 ? 1 : 0) + " kg");
  const id = "life-clip-" + (lifePlayer.count = (lifePlayer.count ?? 0) + 1);
  const cover = draw("rect", { x: 0, y: 0, width: LIFE_WIDTH, height: 1000 }), cursor = draw("line", { y1: 0, stroke: "currentColor", "stroke-width": 1.5, "vector-effect": "non-scaling-stroke" });
  const day = el("input", { type: "range", min: 0, max: days - 1, value: days - 1, step: 1, "aria-label": "Day", oninput: () => { play(false); show(Number(day.value)); } });
  const button = el("button", { type: "button", class: "main", onclick: () => play(!timer) }, "Play");
  const speed = el("select", { "aria-label": "Speed" }, option("0.5", "slow"), option("1", "normal", true), option("3", "fast"));
  const when = el("p", { class: "life-when", "aria-live": "off" }), table = new Map();
  let timer = 0, at = days - 1, last = 0;

  function picture() {
    const parts = [];
    let y = 0;
    for (const row of rows) {
      parts.push(stageRow(row, y));
      y += ROW_HEIGHT + ROW_GAP;
    }
    if (warmth.length) {
      parts.push(...warmthRow(y));
      y += WARMTH_HEIGHT + ROW_GAP;
    }
    cursor.setAttribute("y2", y);
    cover.setAttribute("height", y);
    return draw("svg", { viewBox: `0 0 ${LIFE_WIDTH} ${y}`, role: "img", "aria-label": spoken(), class: "life-picture", preserveAspectRatio: "none", height: y },
      draw("defs", {}, draw("clipPath", { id }, cover)), months(y), parts, cursor);
  }

  function stageRow(row, top) {
    const most = Math.max(FEWEST, ...row.values), foot = top + ROW_HEIGHT;
    let path = `M0 ${foot}`;
    row.values.forEach((n, d) => { path += `L${x(d).toFixed(1)} ${(foot - (ROW_HEIGHT - 2) * (n / most)).toFixed(1)}`; });
    path += `L${LIFE_WIDTH} ${foot}Z`;
    return draw("g", {}, draw("path", { d: path, fill: row.colour, opacity: .25 }), draw("path", { d: path, fill: row.colour, "clip-path": `url(#${id})` }),
      draw("line", { x1: 0, x2: LIFE_WIDTH, y1: foot, y2: foot, stroke: "currentColor", opacity: .5, "vector-effect": "non-scaling-stroke" }));
  }

  function warmthRow(top) {
    const all = warmth.flatMap((place) => place.temperature).concat(GROWTH_C), low = Math.min(...all), high = Math.max(...all);
    const y = (c) => top + WARMTH_HEIGHT * (1 - (c - low) / Math.max(1, high - low));
    return [draw("line", { x1: 0, x2: LIFE_WIDTH, y1: y(GROWTH_C), y2: y(GROWTH_C), stroke: "currentColor", "stroke-dasharray": "1 4", "vector-effect": "non-scaling-stroke" }),
      ...warmth.map((place, i) => draw("path", { d: "M" + place.temperature.map((c, d) => `${x(d).toFixed(1)} ${y(c).toFixed(1)}`).join("L"), fill: "none", stroke: "currentColor", "stroke-width": 1.4, "stroke-dasharray": DASHES[i % DASHES.length], "vector-effect": "non-scaling-stroke", "clip-path": `url(#${id})` }))];
  }

  function months(foot) {
    const lines = [];
    for (let d = 0; d < days; d++) {
      const date = dateAfter(first, d);
      if (date.getUTCDate() === 1) lines.push(draw("line", { x1: x(d), x2: x(d), y1: 0, y2: foot, stroke: "currentColor", opacity: .18, "vector-effect": "non-scaling-stroke" }));
    }
    return draw("g", {}, lines);
  }

  // What the picture shows, for those who do not see it.
  function spoken() {
    return `${title}. ` + rows.filter((row) => Math.max(...row.values) > 0).map((row) => { const most = Math.max(...row.values); return `Most ${row.name}: ${twoDigits(most)} on ${showDay(first, row.values.indexOf(most))}`; }).join(". ") + ".";
  }

  function axis() {
    const names = [];
    const step = days > 800 ? 12 : days > 400 ? 3 : days > 200 ? 2 : 1;
    for (let d = 0; d < days; d++) {
      const date = dateAfter(first, d);
      if (date.getUTCDate() === 1 && date.getUTCMonth() % step === 0) names.push(draw("text", { x: (100 * d) / (days - 1) + "%", y: 13, "font-size": 12, fill: "currentColor" }, MONTH_NAMES[date.getUTCMonth()]));
    }
    return draw("svg", { class: "life-axis", width: "100%", height: 18, "aria-hidden": "true" }, names);
  }

  const square = (colour) => draw("svg", { viewBox: "0 0 20 10", class: "key", "aria-hidden": "true" }, draw("rect", { x: 5, width: 10, height: 10, fill: colour, stroke: "currentColor" }));
  const dashes = (i) => draw("svg", { viewBox: "0 0 20 10", class: "key", "aria-hidden": "true" }, draw("line", { x1: 0, x2: 20, y1: 5, y2: 5, stroke: "currentColor", "stroke-width": 1.4, "stroke-dasharray": DASHES[i % DASHES.length] }));

  function legend() {
    const line = (name, now, key, most) => {
      const cell = el("td", { class: "number" });
      table.set(name, [cell, now]);
      return el("tr", {}, el("th", { scope: "row" }, key, name), cell, el("td", { class: "number small" }, most));
    };
    return el("table", { class: "life-table" }, el("thead", {}, el("tr", {}, el("td"), el("th", { scope: "col", class: "number" }, "this day"), el("th", { scope: "col", class: "number" }, "most"))), el("tbody", {},
      rows.map((row) => line(row.name, (d) => whole(row.values[d]), square(row.colour), twoDigits(Math.max(...row.values)))),
      warmth.map((place, i) => line(place.name, (d) => temp(place.temperature[d]), dashes(i), temp(Math.max(...place.temperature)))),
      soFar ? line("crawled off so far", (d) => mass(soFar[d]), null, mass(soFar[days - 1])) : null));
  }

  function show(d) {
    at = d;
    day.value = String(Math.round(d));
    const k = Math.round(d);
    cover.setAttribute("width", x(d));
    cursor.setAttribute("x1", x(d));
    cursor.setAttribute("x2", x(d));
    when.textContent = showDay(first, k);
    day.setAttribute("aria-valuetext", showDay(first, k));
    for (const [cell, now] of table.values()) cell.textContent = now(k);
  }

  function step(time) {
    if (!timer) return;
    const by = ((time - last) / 1000 / SLOWEST_S) * 365 * Number(speed.value);
    last = time;
    show(Math.min(days - 1, at + Math.max(0, by)));
    if (at >= days - 1) { play(false); return; }
    timer = requestAnimationFrame(step);
  }

  function play(yes) {
    cancelAnimationFrame(timer);
    timer = 0;
    button.textContent = yes ? "Pause" : "Play";
    if (!yes) return;
    if (at >= days - 1) at = 0;
    last = performance.now();
    timer = requestAnimationFrame(step);
  }

  const element = el("section", { class: "life box", "aria-label": title },
    el("h2", { tabindex: -1 }, title), el("p", { class: "life-end" }, app.ownUnits(life.text)), when,
    el("div", { class: "life-two" }, el("div", { class: "life-draw" }, picture(), axis()), legend()),
    warmth.length ? el("p", { class: "small" }, `Below: how warm it was; the dotted line is ${temp(GROWTH_C)}, below which nothing grows. Each stage has its own scale.`) : null,
    el("p", { class: "row" }, button, speed, el("button", { type: "button", onclick: () => { play(false); close(); } }, "Close")), day);
  show(days - 1);
  if (!stillMotion.matches) play(true);
  return { element, stop: () => play(false) };
}

const sumOf = (stages, keys, days) => Array.from({ length: days }, (_, d) => keys.reduce((sum, key) => sum + stages[key][d], 0));
