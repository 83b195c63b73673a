/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// The page: its state, settings, the numbers of the day, playing, the worksheet, and the wiring of the controls.

// ---- state ----------------------------------------------------------------------------------------------------------

// `root` is the document, or the shadow root of the lesson within a page (app/app_teach.js).
const byId = (id) => root.getElementById(id);
const state = { mode: "steady", day: 0, playing: false, view: "hills", guess: null, preview: null, numbers: {}, own: {}, runs: [], rows: 1,
  lives: null, life: null, order: "played", tries: [], line: [100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100, 100] };

// name, label, modes, step, formatter, and names of the choices of a select
const WHERE = ["outdoors", "hoop house", "greenhouse", "shed with lamps"];
const WEATHERS = ["", "mild winter, hot summer", "cold winter, warm summer", "warm coast"];
const SLIDERS = [
  ["TEMP_C", "Temperature", "steady", 0.5, tempFine],
  ["WEATHER", "The year's weather", "year pair lives", 0, null, WEATHERS],
  ["SHELTER", "Where the bin stands", "year pair lives", 0, null, WHERE],
  ["HEATER", "Heater", "lives", 0, null, ["no heater", "a heater"]],
  ["SET_POINT_C", "Heater set point", "pair lives", 0.5, tempFine],
  ["PRICE", "Price per kWh", "pair lives", 0.01, (x) => money(x, 2)],
  ["STARTER", "Starters", "steady year pair lives", 100, (n) => integer(n) + (state.mode === "steady" ? " eggs" : " young grubs")],
  ["CLUTCH_LOW", "Eggs a female lays, at least", "steady year pair lives", 10, (n) => integer(n) + " eggs"],
  ["CLUTCH_HIGH", "Eggs a female lays, at most", "steady year pair lives", 10, (n) => integer(n) + " eggs"],
  ["FEED_KG", "Kitchen scraps a day", "steady year pair lives", 0.1, mass],
  ["CATCH", "Share of crawlers harvested", "steady year pair lives", 0.05, (x) => integer(100 * x) + " %"],
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
  // A hundred years have numbers of their own, with few starters: there luck decides.
  state.own = { one: state.numbers, lives: { ...state.numbers, STARTER: 500 } };
}

function showSliders() {
  const heated = state.mode === "pair" || (state.numbers.HEATER > 0 && state.numbers.SHELTER > 0);
  for (const [name, , modes, , show, choices] of SLIDERS) {
    const input = byId("set-" + name), here = modes.split(" ").includes(state.mode);
    input.parentElement.hidden = !here || (!heated && ["SET_POINT_C", "PRICE"].includes(name));
    input.value = state.numbers[name];
    if (choices) continue;
    byId("set-" + name + "-out").textContent = show(state.numbers[name]);
    input.setAttribute("aria-valuetext", show(state.numbers[name]));
  }
  const outdoors = byId("set-SHELTER").querySelector("option"); // a heater needs a house
  outdoors.disabled = state.mode === "pair";
  byId("set-HEATER").disabled = state.numbers.SHELTER === 0;
  if (state.numbers.SHELTER === 0) byId("set-HEATER").value = 0;
}

// ---- running --------------------------------------------------------------------------------------------------------

function settingsOf(heater) {
  const n = state.numbers, common = { STARTER: n.STARTER, CLUTCH_LOW: n.CLUTCH_LOW, CLUTCH_HIGH: n.CLUTCH_HIGH, FEED_KG: n.FEED_KG, CATCH: n.CATCH, SEED: n.SEED };
  if (state.mode === "steady") return { ...common, WEATHER: 0, TEMP_C: n.TEMP_C };
  const heat = n.SHELTER > 0 && (state.mode === "pair" || heater > 0) ? { HEATER: heater, SET_POINT_C: n.SET_POINT_C, PRICE: n.PRICE } : {};
  return { ...common, WEATHER: n.WEATHER, SHELTER: n.SHELTER, ...heat };
}

function showProblem(error) {
  byId("problem").hidden = !error;
  byId("problem").textContent = error ? "The colony could not be simulated: " + error.message : "";
}

function rerun() {
  try {
    if (state.mode === "lives") state.runs = state.life === null ? [] : [simulate(state.lives.settings, state.life)];
    else state.runs = state.mode === "pair" ? [simulate(settingsOf(0)), simulate(settingsOf(1))] : [simulate(settingsOf(0))];
    showProblem(null);
  } catch (error) {
    state.runs = [];
    showProblem(error);
  }
  if (!state.runs.length) return;
  const shown = (run) => run.past.reduce((most, row, g) => (row.some((x) => x > 0) ? g + 1 : most), 1);
  state.rows = Math.max(...state.runs.map(shown));
  byId("day").max = lastDay();
  state.day = Math.min(state.day, lastDay());
}

const lastDay = () => (state.runs.length ? state.runs[0].days - 1 : 364);

let waiting = 0;
function settingsChanged() {
  dropGuess();
  showSliders();
  if (state.mode === "lives") forgetLives();
  clearTimeout(waiting);
  waiting = setTimeout(() => { rerun(); show(); announce(true); }, 60);
}

function forgetLives() {
  stopLives();
  state.lives = null;
  leaveLife();
  showLives();
  show();
}

// The policy of the page allows no style in HTML: elements carry theirs as data.
function dress(box) {
  for (const name of ["left", "width", "background"])
    for (const node of box.querySelectorAll(`[data-${name}]`)) node.style[name] = node.dataset[name];
}

// ---- numbers of the day ---------------------------------------------------------------------------------------------

function meaning(run) {
  const overlap = run.value.OVERLAP[state.day];
  if (Number.isNaN(overlap)) return run.total[state.day] > 0 ? "Only eggs so far." : "The colony is dead. " + endText(run.fact);
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
      if (of(g) > 0) parts += `<i data-width="${(100 * of(g)) / total}%" data-background="${colourOf(g)}" title="${nameOf(g)}: ${integer(of(g))}"></i>`;
    const row = body.insertRow();
    row.innerHTML = `<th scope="row">${name}</th><td><div class="bar">${parts}</div></td><td class="number">${integer(total)}</td>`;
  }
  dress(body);
}

const sumTo = (series, day) => series.subarray(0, day + 1).reduce((a, b) => a + b, 0);
const coldest = (series, day) => Math.min(...series.subarray(0, day + 1));

// Hidden while the price of a kg is being guessed.
function costRows(day) {
  if (state.guess && state.guess.open && state.guess.kind === "number") return "";
  const price = costOfMore(state.runs, day);
  return `<tr><th scope="row">Heat for each extra ${massUnit()} of harvest</th><td></td><td class="number">${price === null ? "no extra harvest" : money(price)}</td></tr>`;
}

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
    row("Cost of heat", (l) => money(sumTo(l.value.HEATER_COST, day))) + costRows(day) +
    `</tbody></table><p class="small">The same weather and luck in both. The heater gives up to ${integer(on.heater_w)} W${shortfall}. Lamps in a shed are on for 12 hours a day; their electricity is not counted.</p>`;
}

function showLegend() {
  const seen = [];
  for (let g = 0; g < state.rows; g++) if (state.runs.some((l) => l.generations > g && l.past[g].subarray(0, state.day + 1).some((x) => x > 0))) seen.push(g);
  byId("legend").hidden = state.view !== "stack"; // names are beside the hills
  byId("legend").innerHTML = seen.map((g) => `<li><i data-background="${colourOf(g)}"></i>${nameOf(g)}</li>`).join("");
  dress(byId("legend"));
}

function captions() {
  const n = state.numbers, place = WHERE[n.SHELTER], heated = state.mode === "lives" && n.HEATER > 0 && n.SHELTER > 0;
  const own = { hills: ": a hill for each generation, to its own scale", stack: ": the generations stacked", winter: ": asleep (dormant) and awake (all others, with eggs)" }[state.view];
  byId("caption-0").textContent = state.mode === "pair" ? "Heater off, " + place
    : (state.mode === "steady" ? "Always " + tempFine(n.TEMP_C) : (heated ? "Heater at " + tempFine(n.SET_POINT_C) : "No heater") + ", " + place) + own;
  byId("caption-1").textContent = "Heater on: " + tempFine(n.SET_POINT_C) + ", " + place;
}

function showNumbers() {
  const pair = state.mode === "pair", run = state.runs[0], means = state.runs.map((one) => meanOverlap(one, state.day));
  byId("when").textContent = "Day " + state.day + (state.mode === "steady" ? "" : ", " + shortDate(state.day));
  byId("overlap").textContent = state.runs.map(overlapText).join(" | ");
  byId("mean").textContent = means.every(Number.isNaN) ? "" : "Mean so far: " + means.map((x) => (Number.isNaN(x) ? "–" : fixed(x, 2))).join(" | ");
  byId("meaning").textContent = pair ? "heater off | heater on" : meaning(run);
  if (pair) showPair();
  else showToday(run);
  showLegend();
}

function showControls() {
  byId("day").value = state.day;
  byId("day").setAttribute("aria-valuetext", dayName(state.day));
  byId("play").textContent = state.playing ? "Pause" : "Play";
  const locked = state.guess !== null && state.guess.open, running = !!state.lives && !!state.lives.lesson;
  byId("day").disabled = locked && state.mode !== "lives";
  byId("lock").hidden = locked;
  byId("drop").hidden = !locked || state.mode === "lives";
  byId("guess").disabled = byId("level").disabled = byId("question").disabled = locked || running;
  byId("guess-box").classList.toggle("locked", locked);
}

function show() {
  const pair = state.mode === "pair", lives = state.mode === "lives", shown = state.runs.length > 0;
  byId("lives").hidden = !lives;
  byId("stage").hidden = byId("now").hidden = lives && !shown;
  byId("life").hidden = byId("leave").hidden = !lives || !shown;
  showControls();
  if (!shown) return;
  byId("second").hidden = !pair;
  byId("pictures").classList.toggle("two", pair);
  byId("stage").classList.toggle("still", pair || lives);
  byId("overlap-box").classList.toggle("pair", pair);
  byId("today").hidden = pair;
  byId("pair-table").hidden = !pair;
  byId("today-head").textContent = pair ? "What did the heater do?" : "Who is alive today?";
  captions();
  state.runs.forEach((_, k) => drawPicture(k));
  showNumbers();
}

function chooseView(view) {
  state.view = view;
  root.querySelector(`input[name=view][value=${view}]`).checked = true;
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

// ---- the worksheet --------------------------------------------------------------------------------------------------

function fillSheet() {
  const n = state.mode === "lives" ? state.own.one : state.numbers, place = state.mode === "steady" ? "always " + tempFine(n.TEMP_C) : WHERE[n.SHELTER] + ", " + WEATHERS[n.WEATHER];
  byId("sheet-settings").textContent = place + "; " + integer(n.STARTER) + (state.mode === "steady" ? " eggs" : " young grubs") + " to start; clutches of " +
    integer(Math.min(n.CLUTCH_LOW, n.CLUTCH_HIGH)) + " to " + integer(Math.max(n.CLUTCH_LOW, n.CLUTCH_HIGH)) + " eggs; " + mass(n.FEED_KG) + " of scraps a day; " +
    integer(100 * n.CATCH) + " % of crawlers harvested; " + (state.mode === "pair" ? "the heater holds " + tempFine(n.SET_POINT_C) + " at " + money(n.PRICE, 2) + " per kWh; " : "") +
    "luck number " + n.SEED + ".";
  root.querySelectorAll("[data-c]").forEach((cell) => { cell.textContent = temp(Number(cell.dataset.c)); });
  byId("sheet-mass").textContent = massUnit();
  let marks = "";
  for (let d = 0; d <= lastDay(); d += 50) marks += `<i data-left="${(100 * d) / lastDay()}%"></i><span data-left="${(100 * d) / lastDay()}%">${d}</span>`;
  byId("sheet-timeline").innerHTML = marks;
  dress(byId("sheet-timeline"));
}

// ---- wiring ---------------------------------------------------------------------------------------------------------

const INTRO = {
  steady: "Each colour is one generation of one family. Which of them live at the same time?",
  year: "One family through a year from 15 September. What does winter do to it?",
  pair: "The same winter and luck, without a heater and with it. What does heat give, and cost?",
  lives: "A real year comes once. Here one colony lives through 100 possible years.",
};

function modeChanged(mode) {
  stopLives();
  stopCounting();
  if (state.lives && state.lives.fact.length < LIVES) state.lives = null;
  leaveLife();
  Object.assign(state, { mode, day: 0, numbers: mode === "lives" ? state.own.lives : state.own.one });
  if (mode === "pair" && state.numbers.SHELTER === 0) state.numbers.SHELTER = 3;
  byId("lesson").classList.toggle("still", mode === "pair" || mode === "lives"); // the picture is not sticky there
  byId("winter-view").hidden = mode === "steady";
  if (mode === "steady" && state.view === "winter") chooseView("hills");
  byId("intro").textContent = INTRO[mode];
  dropGuess();
  showQuestions();
  showSliders();
  rerun();
  showGuess();
  show();
  showLives();
  announce(true);
}

function newLuck() {
  state.numbers.SEED = (state.numbers.SEED % 999999) + 1;
  settingsChanged();
}

function unitsChanged(event) {
  us = event.target.value === "us";
  showQuestions();
  showSliders();
  showGuess();
  show();
  showYield();
}

function questionChanged() {
  dropGuess();
  if (state.mode === "lives") forgetLives();
  showGuess();
  show();
  showLives();
}

function wire() {
  const on = (id, kind, f) => byId(id).addEventListener(kind, f);
  on("play", "click", () => play(!state.playing));
  on("step", "click", () => { state.playing = false; goTo(state.day + 1); announce(true); });
  on("back", "click", () => { state.playing = false; goTo(state.day - 1); announce(true); });
  on("restart", "click", () => { state.playing = false; goTo(0); announce(true); });
  on("day", "input", () => { state.playing = false; goTo(Number(byId("day").value)); announce(false); });
  on("day", "change", () => announce(true));
  on("guess", "input", guessMoved);
  on("level", "input", () => setLine(Number(byId("guess").value), Number(byId("level").value)));
  for (const id of ["canvas-0", "canvas-1"]) on(id, "click", tapped);
  on("lock", "click", lockGuess);
  on("drop", "click", stopGuessing);
  on("stop", "click", cutLives);
  on("leave", "click", backToLives);
  on("dots", "keydown", dotKey);
  on("dots", "click", dotTapped);
  on("share", "pointerdown", (event) => { byId("share").setPointerCapture(event.pointerId); drawByPointer(event); });
  on("share", "pointermove", (event) => { if (event.buttons) drawByPointer(event); });
  on("question", "change", questionChanged);
  on("luck", "click", newLuck);
  on("print", "click", () => { fillSheet(); window.print(); });
  on("mode", "change", (event) => modeChanged(event.target.value));
  on("view", "change", (event) => { state.view = event.target.value; show(); });
  on("order", "change", (event) => { state.order = event.target.value; showLives(); });
  on("units", "change", unitsChanged);
  on("money", "change", () => { showSliders(); showGuess(); show(); showYield(); });
  window.addEventListener("beforeprint", fillSheet);
  window.addEventListener("resize", () => { show(); drawShare(); });
  window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => { show(); drawShare(); });
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
  byId("lesson").dataset.ready = "yes";
}
const ready = begin();
