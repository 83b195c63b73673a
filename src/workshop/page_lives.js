/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// A hundred years of one colony: the model plays them one after another, in slices so that the page stays alive, and each
// becomes a dot. Dots that can be counted: Kay et al. 2016, CHI, doi:10.1145/2858036.2858558. Outcomes shown one after
// another: Hullman et al. 2015, PLoS ONE 10:e0142444.

const LIVES = 100, PER_ROW = 10;
const SLICE_MS = 30; // of work between two frames
const DOT_MS = 25; // at least, for each dot to be seen as it comes: judgement

const keyOf = (settings) => JSON.stringify(settings);

// In how many years it is alive at the end of each day, by settings; and the years that are being played for a picture.
const shares = new Map();
let counting = null;

// Returns those of the settings, or null while they are played.
function shareAlive(settings) {
  const key = keyOf(settings);
  if (shares.has(key)) return shares.get(key);
  if (counting && counting.key === key) return null;
  stopCounting();
  counting = { key, lesson: beginLesson(settings), fact: [] };
  counting.timer = setTimeout(countOn, 0);
  return null;
}

function stopCounting() {
  if (!counting) return;
  clearTimeout(counting.timer);
  model.wg_lesson_free(counting.lesson);
  counting = null;
}

// Plays years behind the picture, in slices so short that the picture goes on.
function countOn() {
  const until = performance.now() + SLICE_MS / 2;
  try {
    do {
      liveOne(counting.lesson, counting.fact.length);
      counting.fact.push(readFacts(counting.lesson));
    } while (counting.fact.length < LIVES && performance.now() < until);
  } catch (error) {
    return stopCounting();
  }
  if (counting.fact.length < LIVES) { counting.timer = setTimeout(countOn, 4); return; }
  shares.set(counting.key, countAlive(counting.fact));
  stopCounting();
  if (!state.playing) show();
}

function countAlive(facts) {
  const alive = new Array(365).fill(0);
  for (const fact of facts) for (let d = 0; d <= fact.LAST_DAY && d < 365; d++) alive[d]++;
  return alive;
}

// ---- playing them ---------------------------------------------------------------------------------------------------

function stopLives() {
  if (!state.lives || !state.lives.lesson) return;
  clearTimeout(state.lives.timer);
  model.wg_lesson_free(state.lives.lesson);
  state.lives.lesson = null;
}

function lockLives(kind, value) {
  stopLives();
  const settings = settingsOf(state.numbers.HEATER);
  state.guess = { kind, day: value, line: [...state.line], open: true };
  leaveLife();
  try {
    state.lives = { key: keyOf(settings), settings, lesson: beginLesson(settings), fact: [], alive: null, chosen: 0, begun: performance.now() };
    showProblem(null);
  } catch (error) {
    showProblem(error);
    dropGuess();
    return;
  }
  chooseOrder("played");
  byId("dots").textContent = "";
  answer("Each dot is one year.");
  showLives();
  show();
  byId("stop").focus({ preventScroll: true });
  if (byId("lives").getBoundingClientRect().bottom > innerHeight) byId("lives").scrollIntoView({ block: "nearest" });
  state.lives.timer = setTimeout(sliceOfLives, 0);
}

// Plays years for one slice of time, but not faster than dots can be seen.
function sliceOfLives() {
  const lives = state.lives, until = performance.now() + SLICE_MS, before = lives.fact.length;
  try {
    do {
      if (!reducedMotion.matches && lives.fact.length * DOT_MS > performance.now() - lives.begun) break;
      liveOne(lives.lesson, lives.fact.length);
      lives.fact.push(readFacts(lives.lesson));
    } while (lives.fact.length < LIVES && performance.now() < until);
  } catch (error) {
    showProblem(error);
    return cutLives();
  }
  if (lives.fact.length >= LIVES) return endLives();
  const isNew = lives.fact.length > before;
  lives.timer = setTimeout(sliceOfLives, isNew ? 0 : DOT_MS / 3);
  if (isNew) showLives();
}

// The reader stops the years: what was played stays as dots, without an answer.
function cutLives() {
  const n = state.lives.fact.length;
  stopLives();
  dropGuess();
  if (n > 0 && n < LIVES) answer(`Stopped after ${n} of ${LIVES} years.`);
  showLives();
  show();
  byId("lock").focus();
}

function endLives() {
  const lives = state.lives, had = root.activeElement === byId("stop");
  stopLives();
  lives.alive = countAlive(lives.fact);
  shares.set(lives.key, lives.alive);
  chooseOrder("sorted");
  lives.chosen = orderOfDots()[0];
  answerLives(lives);
  remember(lives);
  state.guess.open = false;
  showLives();
  show();
  if (had) byId("dots").focus({ preventScroll: true });
}

// ---- the answer -----------------------------------------------------------------------------------------------------

const tally = (facts) => ENDS.map((end) => [end, facts.filter((fact) => endOf(fact) === end).length]).filter(([, n]) => n > 0);
const middleOf = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

function answerLives(lives) {
  const guess = state.guess, alive = lives.alive[364];
  if (guess.kind === "number") {
    const off = guess.day - alive;
    answer(`It was alive at the end in ${alive} of 100 years. Your guess, ${guess.day}, was ${off === 0 ? "exactly right!" : Math.abs(off) + (off < 0 ? " too few." : " too many.")}`, whyLives(lives));
    return;
  }
  const off = LINE_DAYS.map((d, i) => Math.abs(guess.line[i] - lives.alive[d])), worst = off.indexOf(Math.max(...off));
  const mean = off.reduce((a, b) => a + b, 0) / off.length;
  answer(`Your line was ${plural(mean, "year")} off on average, most on ${shortDate(LINE_DAYS[worst])}: you drew ${guess.line[worst]}, it was ${lives.alive[LINE_DAYS[worst]]}.`, whyLives(lives));
}

// The most common end, with the numbers of the year in the middle of those that ended so.
function whyLives(lives) {
  const dead = lives.fact.filter((fact) => fact.END > 0);
  if (!dead.length) return `Nothing ended it: in the worst of the 100 years it still harvested ${mass(Math.min(...lives.fact.map((f) => f.TOTAL_HARVEST_KG)))}. Try fewer starters, or a colder place.`;
  const [end] = tally(dead).sort((a, b) => b[1] - a[1])[0], those = dead.filter((fact) => endOf(fact) === end);
  const last = middleOf(those.map((fact) => fact.LAST_DAY)), typical = those.find((fact) => fact.LAST_DAY === last);
  const all = those.length < dead.length ? `${dead.length} died, ${those.length} of them` : dead.length > 1 ? `${dead.length} died, all` : "One died,";
  const half = those.length > 1 ? `, half of these by ${shortDate(last)}. One of these years: ` : ". ";
  return `${all} ${END[end][1]}${half}${endText(typical)}${dead.length < LIVES ? ` ${dead.length < LIVES - 1 ? `The other ${LIVES - dead.length}` : "The one that lived"} began the same: only weather and luck differed.` : ""}`;
}

// What the middle year gives, and what its heat costs.
function showYield() {
  const lives = state.lives, done = lives && lives.alive;
  byId("yield").textContent = byId("sure").textContent = "";
  if (!done) return;
  const [from, to] = trueRange(lives.alive[364]);
  byId("sure").textContent = `100 years are few: with very many it would probably be ${from} to ${to} of 100. Try other luck.`;
  const sorted = (name) => lives.fact.map((fact) => fact[name]).sort((a, b) => a - b), harvest = sorted("TOTAL_HARVEST_KG");
  const cost = sorted("TOTAL_COST")[50], kg = massNumber(harvest[50]);
  const heat = cost > 0 ? ` Heat cost about ${money(cost)} a year${kg >= .05 ? `: ${money(cost / kg)} for each ${massUnit()}` : ""}.` : "";
  const [low, middle, high] = [5, 49, 94].map((k) => mass(harvest[k])); // 90 of 100 lie from the sixth to the ninety-fifth
  const spread = low === high ? `about ${low} in 90 of 100 years` : `half of the years gave more than ${middle}; 90 of 100 gave ${low} to ${high}`;
  byId("yield").textContent = `Harvest: ${spread}.${heat}`;
}

// The range in which the number would lie with very many years (Wilson 1927, JASA 22:209, 95 %).
function trueRange(n) {
  const z2 = 1.96 ** 2, middle = (n + z2 / 2) / (LIVES + z2), half = 1.96 * Math.sqrt((n * (LIVES - n)) / LIVES + z2 / 4) / (LIVES + z2);
  return [100 * (middle - half), 100 * (middle + half)].map(Math.round);
}

// Keeps the last tries in sight, so that one can change one thing and compare.
function remember(lives) {
  const n = lives.settings, heat = n.HEATER && n.SHELTER ? ", heater " + tempFine(n.SET_POINT_C) : "";
  state.tries.unshift([`${about(n.STARTER)} grubs, ${WHERE[n.SHELTER]}${heat}, ${WEATHERS[n.WEATHER]}`, state.guess.kind === "number" ? state.guess.day : state.guess.line[12], lives.alive[364]]);
  state.tries.length = Math.min(state.tries.length, 5);
  byId("tries").hidden = false;
  byId("tries").tBodies[0].innerHTML = state.tries.map((row) => "<tr>" + row.map((x, i) => (i ? `<td class="number">${x}</td>` : `<th scope="row">${x}</th>`)).join("") + "</tr>").join("");
}

// ---- the dots -------------------------------------------------------------------------------------------------------

function orderOfDots() {
  const order = state.lives.fact.map((_, k) => k);
  const last = (k) => state.lives.fact[k].LAST_DAY;
  if (state.order === "sorted") order.sort((a, b) => state.lives.fact[a].END - state.lives.fact[b].END || last(b) - last(a) || a - b);
  return order;
}

function chooseOrder(order) {
  state.order = order;
  root.querySelector(`input[name=order][value=${order}]`).checked = true;
}

const lifeName = (k) => { const fact = state.lives.fact[k]; return `Year ${k + 1}: ` + (fact.END ? `died on ${shortDate(fact.LAST_DAY + 1)}, ${END[endOf(fact)][1]}` : "alive at the end"); };

const COMING = `<span class="coming" aria-hidden="true"></span>`;

function dotOf(k) {
  const name = lifeName(k);
  return `<span role="option" id="dot-${k}" data-life="${k}" aria-selected="${k === state.lives.chosen}" aria-label="${name}" title="${name}">${markOf(endOf(state.lives.fact[k]))}</span>`;
}

function showDots() {
  const lives = state.lives, order = lives ? orderOfDots() : [], chosen = lives ? lives.chosen : -1, dots = byId("dots");
  if (lives && lives.lesson && dots.children.length === LIVES) // only those that have come
    for (let i = dots.querySelectorAll("[data-life]").length; i < order.length; i++) dots.children[i].outerHTML = dotOf(i);
  else dots.innerHTML = order.map(dotOf).join("") + COMING.repeat(LIVES - order.length);
  byId("dots").tabIndex = order.length ? 0 : -1;
  if (order.length) byId("dots").setAttribute("aria-activedescendant", "dot-" + chosen);
  else byId("dots").removeAttribute("aria-activedescendant");
}

function showLives() {
  const lives = state.lives, n = lives ? lives.fact.length : 0, running = !!lives && !!lives.lesson;
  showDots();
  byId("counts").innerHTML = n ? tally(lives.fact).map(([end, count]) => `<li>${markOf(end)}<b>${count}</b> ${END[end][0]}</li>`).join("") : "";
  byId("lives-head").textContent = running ? `Playing: ${n} of 100 years` : n ? `${n} years, one dot each` : "100 years, one dot each";
  byId("progress").hidden = byId("stop").hidden = !running;
  byId("progress").value = n;
  byId("after").hidden = running || n === 0;
  byId("share").hidden = question()[2] !== "line" && (running || n < LIVES);
  showYield();
  byId("lives").classList.toggle("line", question()[2] === "line");
  drawShare();
}

// Moves the choice among the dots.
function dotKey(event) {
  const lives = state.lives, order = lives ? orderOfDots() : [];
  if (!order.length || lives.lesson) return;
  const at = order.indexOf(lives.chosen), by = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: PER_ROW, ArrowUp: -PER_ROW, Home: -at, End: order.length - 1 - at }[event.key];
  if (event.key === "Enter" || event.key === " ") openLife(lives.chosen);
  else if (by === undefined) return;
  else lives.chosen = order[Math.max(0, Math.min(order.length - 1, at + by))];
  event.preventDefault();
  showDots();
}

function dotTapped(event) {
  const dot = event.target.closest("[data-life]");
  if (!dot || state.lives.lesson) return;
  openLife(Number(dot.dataset.life));
}

// ---- one of them ----------------------------------------------------------------------------------------------------

function openLife(k) {
  state.lives.chosen = state.life = k;
  const fact = state.lives.fact[k];
  byId("life-name").textContent = lifeName(k) + ".";
  byId("life-why").textContent = fact.END ? endText(fact) : `Harvest ${mass(fact.TOTAL_HARVEST_KG)}${fact.TOTAL_COST > 0 ? `, heat for ${money(fact.TOTAL_COST)}` : ""}.`;
  chooseView("winter");
  rerun();
  state.day = 0;
  showLives();
  play(true);
  byId("play").focus({ preventScroll: true });
  byId("stage").scrollIntoView({ block: "nearest" });
}

function leaveLife() {
  state.life = null;
  state.playing = false;
  state.runs = [];
}

function backToLives() {
  leaveLife();
  show();
  byId("dots").focus({ preventScroll: true });
  byId("lives").scrollIntoView({ block: "nearest" });
}

// ---- how many are still alive, and the drawn line -------------------------------------------------------------------

function shareFrame() {
  const { to, width, height, em } = prepareCanvas(byId("share"));
  return { to, frame: frameOf(to, width, em, 0, 364, .8 * em, height - 1.8 * em) };
}

function drawShare() {
  if (byId("share").hidden || state.mode !== "lives") return;
  const { to, frame } = shareFrame(), alive = state.lives && state.lives.alive, em = frame.em;
  const y = (n) => frame.bottom - (n / LIVES) * (frame.bottom - frame.top);
  drawAxis(to, frame);
  to.textAlign = "right";
  to.textBaseline = "middle";
  for (const n of [0, 50, 100]) {
    to.globalAlpha = .4;
    rule(to, frame.left, y(n), frame.right, y(n));
    to.globalAlpha = 1;
    to.fillText("" + n, frame.left - 6, y(n));
  }
  to.fillText("still alive", frame.left - 6 - 2.2 * em, y(50));
  if (alive) {
    area(to, frame, 364, () => frame.bottom, (d) => y(alive[d]));
    to.fillStyle = END.ALIVE[2];
    to.fill();
  }
  const line = state.guess ? state.guess.line : state.line;
  if (question()[2] === "line" && (!alive || (state.guess && state.guess.kind === "line"))) drawLine(to, frame, line, y);
  byId("share").setAttribute("aria-label", alive ? `Still alive: ${LINE_DAYS.map((d) => shortDate(d) + " " + alive[d]).join(", ")} of 100 years` : "Your line: " + LINE_DAYS.map((d, i) => shortDate(d) + " " + line[i]).join(", "));
}

function drawLine(to, frame, line, y) {
  const path = () => { to.beginPath(); to.moveTo(frame.x(0), y(100)); LINE_DAYS.forEach((d, i) => to.lineTo(frame.x(d), y(line[i]))); to.stroke(); };
  for (const [colour, width] of [["--back", 6], ["--ink", 3]]) {
    to.strokeStyle = ink(colour);
    to.lineWidth = width;
    to.setLineDash([]);
    path();
  }
  to.lineWidth = 1;
  const at = Number(byId("guess").value);
  if (!state.guess || !state.guess.open) {
    to.fillStyle = ink("--ink");
    to.beginPath();
    to.arc(frame.x(LINE_DAYS[at] ?? 364), y(line[at] ?? line[12]), 6, 0, 7);
    to.fill();
  }
  to.textAlign = "left";
  to.textBaseline = "top";
  halo(to, "my line", frame.x(6), y(line[1]) + 6);
}

// The pointer draws: the month nearest to it takes its height.
function drawByPointer(event) {
  if (question()[2] !== "line" || (state.guess && state.guess.open) || (state.lives && state.lives.lesson)) return;
  const box = byId("share").getBoundingClientRect(), { frame } = shareFrame();
  const day = ((event.clientX - box.left - frame.left) / (frame.right - frame.left)) * 364;
  const value = Math.round(100 * (frame.bottom - (event.clientY - box.top)) / (frame.bottom - frame.top));
  const near = LINE_DAYS.reduce((best, d, i) => (Math.abs(d - day) < Math.abs(LINE_DAYS[best] - day) ? i : best), 0);
  setLine(near, Math.max(0, Math.min(100, value)));
}
