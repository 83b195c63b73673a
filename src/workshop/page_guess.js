/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Guesses: a date, a number or a drawn line, kept before anything is shown; then what happened, and why.

const firstDay = (run, test) => { for (let d = 0; d < run.days; d++) if (test(d)) return d; return null; };
const ofStages = (run, d, stages, generations) => stages.reduce((sum, s) => generations.reduce((t, g) => t + run.count(d, s, g), sum), 0);
const everyOne = (run) => [...Array(run.generations).keys()];
const flies = (run, d) => ofStages(run, d, [FEMALE, MALE], everyOne(run));
const firstOf = (run, stages, g) => firstDay(run, (d) => ofStages(run, d, stages, [g]) > 0);
const atOnce = (run, d) => everyOne(run).filter((g) => run.past[g][d] > 0);

// ---- why ------------------------------------------------------------------------------------------------------------

// The days before `to` on which the bin was too cold for growth, as a sentence.
function coldDays(run, to) {
  let n = 0;
  for (let d = 0; d < to; d++) if (run.value.BIN_C[d] < GROWTH_C) n++;
  return n > 0 ? ` On ${n} of the days until then the bin was colder than ${temp(GROWTH_C)}: nothing grows.` : "";
}

function whyHatch(run, g, day) {
  const parents = g === 1 ? "starters" : "children", before = g > 1 ? `The children hatched on ${dateName(firstOf(run, [LARVA], 1))}. ` : "";
  const flew = firstOf(run, [FEMALE, MALE], g - 1), eggs = firstOf(run, [EGG], g);
  const waited = eggs - flew > 9 ? ` They waited ${eggs - flew} days: flies mate and lay eggs in air from about ${temp(run.fact.BREEDING_C)} (an assumption).` : "";
  const round = g > 1 ? ` From hatching to hatching took ${day - firstOf(run, [LARVA], 1)} days.` : "";
  return `${before}The first flies of the ${parents} came on ${dateName(flew)} and laid eggs by ${dateName(eggs)}.${round}${waited}${coldDays(run, day)}`;
}

function whyFlies(run, day) {
  const crawl = firstOf(run, [PREPUPA, DORMANT], 0), pupa = firstOf(run, [PUPA], 0);
  return `The fastest grubs crawled off on ${dateName(crawl)}${pupa === null ? "" : ` and were pupae by ${dateName(pupa)}`}.${coldDays(run, day)}`;
}

function whyThree(run, day) {
  return `On that day there were ${listed(atOnce(run, day).map((g) => integer(run.past[g][day]) + " " + nameOf(g)))}: ` +
    "brothers and sisters grow at different speeds, so the slow ones are still there when the fast ones have grandchildren.";
}

function whySpring(run) {
  const least = Math.min(...run.asleep.subarray(dayOfDate(2026, 11), FEBRUARY));
  return `In December and January never fewer than ${integer(least)} were asleep in the ground. The sleepers wake when the ground has given them enough warmth, some early, some late.`;
}

function whyNot(run) {
  const end = endText(run.fact);
  return end ? `The colony died on ${dateName(run.fact.LAST_DAY + 1)}. ${end}` : "The colony is alive; for this the period was too short.";
}

// Cost of heat for each kg (or lb) that the heater adds to the harvest; null if it adds none.
function costOfMore([off, on], day) {
  const more = massNumber(sumTo(on.value.HARVEST_KG, day) - sumTo(off.value.HARVEST_KG, day));
  return more > .05 ? sumTo(on.value.HEATER_COST, day) / more : null;
}

function whyCost([off, on], day) {
  const more = sumTo(on.value.HARVEST_KG, day) - sumTo(off.value.HARVEST_KG, day), cost = sumTo(on.value.HEATER_COST, day);
  const gains = more > 0 ? `gave ${mass(more)} more harvest` : "gave no more harvest";
  return `Heat for ${money(cost)} ${gains}.${off.fact.END ? ` Without the heater the colony died on ${shortDate(off.fact.LAST_DAY + 1)}: ${endText(off.fact)}` : ""}`;
}

// ---- questions ------------------------------------------------------------------------------------------------------

// text, modes, kind, truth (null: it does not happen), why, and for a date the row of the generation in the picture
const QUESTIONS = [
  ["When do grandchildren first hatch?", "steady year pair", "date", (run) => firstOf(run, [LARVA], 2), (run, day) => whyHatch(run, 2, day), 2],
  ["When do children first hatch?", "steady year pair", "date", (run) => firstOf(run, [LARVA], 1), (run, day) => whyHatch(run, 1, day), 1],
  ["When do the first flies come?", "steady year pair", "date", (run) => firstDay(run, (d) => flies(run, d) > 0), whyFlies, 0],
  ["When do 3 generations live at once?", "steady year pair", "date", (run) => firstDay(run, (d) => atOnce(run, d).length >= 3), whyThree, null],
  ["When do the flies of spring come?", "year pair", "date", (run) => (run.spring < 0 ? null : run.spring), whySpring, null],
  ["Heat: what does an extra kg cost?", "pair", "number"],
  ["Alive in how many of 100 years?", "lives", "number"],
  ["Draw: in how many is it alive?", "lives", "line"],
];
const SPRING = QUESTIONS[4]; // decided by the model
const question = () => QUESTIONS[Number(byId("question").value)];

function showQuestions() {
  const before = byId("question").value;
  byId("question").innerHTML = QUESTIONS.map(([text, modes], i) => (modes.split(" ").includes(state.mode) ? `<option value="${i}">${text.replace("kg", massUnit())}</option>` : "")).join("");
  if ([...byId("question").options].some((o) => o.value === before)) byId("question").value = before;
}

// The days of the points of a drawn line: the first of each month, then the end.
const LINE_DAYS = [...Array(12).keys()].map((m) => dayOfDate(2026, 9 + m)).concat(364);

function guessText() {
  const [, , kind] = question(), value = Number(byId("guess").value);
  if (kind === "date") return dayName(value);
  if (kind === "line") return `${shortDate(LINE_DAYS[value])}: alive in ${state.line[value]} years`;
  return state.mode === "lives" ? value + " of 100 years" : money(value, 0) + " for each extra " + massUnit();
}

// The range of the slider of the question; a line has one slider for the month and one for the number.
function fitGuess() {
  const [, , kind] = question(), guess = byId("guess");
  const [least, most] = kind === "date" ? [1, lastDay()] : kind === "line" ? [0, LINE_DAYS.length - 1] : [0, 100];
  if (guess.dataset.kind !== kind || Number(guess.max) !== most) {
    guess.min = least;
    guess.max = most;
    guess.value = kind === "date" ? 60 : kind === "line" ? 0 : state.mode === "lives" ? 50 : 10;
    guess.dataset.kind = kind;
  }
  byId("level").hidden = byId("level-label").hidden = kind !== "line";
  byId("guess-name").textContent = kind === "line" ? "Draw on the picture, or choose a day and a number:" : "My guess:";
}

function showGuess() {
  fitGuess();
  byId("guess-out").textContent = guessText();
  byId("guess").setAttribute("aria-valuetext", guessText());
  if (question()[2] === "line") {
    byId("level").value = state.line[Number(byId("guess").value)];
    byId("level").setAttribute("aria-valuetext", guessText());
  }
}

// The slider of the guess has moved.
function guessMoved() {
  if (question()[2] === "date") previewGuess(Number(byId("guess").value));
  else showGuess();
  if (question()[2] === "line") drawShare();
}

// A tap on the time line sets a date, like the slider.
function previewGuess(day) {
  if ((state.guess && state.guess.open) || question()[2] !== "date") return;
  dropGuess();
  byId("guess").value = day;
  state.preview = Number(byId("guess").value);
  showGuess();
  show();
}

function tapped(event) {
  const canvas = event.target, { to, width, em } = prepareCanvas(canvas), frame = frameOf(to, width, em, 0, lastDay(), 0, 0);
  const share = (event.clientX - canvas.getBoundingClientRect().left - frame.left) / (frame.right - frame.left);
  if (share > 0 && share <= 1 && state.view !== "winter") previewGuess(Math.round(share * lastDay()));
  show(); // the canvas was cleared
}

// Sets a point of the line; a colony that is dead stays dead, so the line never rises.
function setLine(i, value) {
  if (state.lives) forgetLives();
  state.line[i] = value;
  for (let k = 0; k < i; k++) state.line[k] = Math.max(state.line[k], value);
  for (let k = i + 1; k < state.line.length; k++) state.line[k] = Math.min(state.line[k], value);
  dropGuess();
  byId("guess").value = i;
  showGuess();
  drawShare();
}

// ---- keeping a guess, and the answer --------------------------------------------------------------------------------

function answer(text, why = "") {
  const lives = state.mode === "lives";
  byId("answer").textContent = lives ? "" : text;
  byId("why").textContent = lives ? "" : why && "Why? " + why;
  byId("lives-answer").textContent = lives ? text : "";
  byId("lives-why").textContent = lives ? why && "Why? " + why : "";
}

// In the heater comparison a date is about the colony without a heater.
function lockGuess() {
  const [, , kind, truth, why, row] = question(), value = Number(byId("guess").value);
  if (state.mode === "lives") return lockLives(kind, value);
  if (!state.runs.length) return;
  state.guess = { kind, question: question(), day: value, found: null, open: true, row: row ?? null, why,
    truth: kind === "date" ? truth(state.runs[0]) : costOfMore(state.runs, lastDay()) };
  answer(kind === "date" ? "Watch: play stops when it happens" + (state.mode === "pair" ? " (heater off)." : ".") : "Watch the year, heater off and on.");
  state.day = 0;
  if (state.view === "winter") chooseView("hills");
  play(true);
  byId("play").focus({ preventScroll: true }); // the button that was pressed is gone
  if (byId("stage").getBoundingClientRect().bottom > innerHeight || byId("stage").getBoundingClientRect().top < 0) byId("stage").scrollIntoView();
}

function stopGuessing() {
  dropGuess();
  play(false);
  byId("lock").focus();
}

function dropGuess() {
  state.guess = state.preview = null;
  answer("");
}

const offBy = (off, word, less, more) => (off === 0 ? "exactly right!" : plural(Math.abs(off), word) + (off < 0 ? less : more));

function endGuess(text, why) {
  state.guess.open = false;
  answer(text, why);
}

function checkGuess() {
  const guess = state.guess, run = state.runs[0];
  if (guess.kind === "date" && guess.truth !== null && state.day >= guess.truth) {
    state.day = guess.found = guess.truth;
    endGuess((state.mode === "pair" ? "Heater off: it" : "It") + " happened on " + dayName(guess.truth) + ". Your guess was " +
      offBy(guess.day - guess.truth, "day", " too early.", " too late."), guess.why(run, guess.truth));
    play(false);
  } else if (state.day >= lastDay() && guess.kind === "date") {
    const all = guess.question === SPRING && flies(run, FEBRUARY - 1) > 0;
    endGuess(all ? "Flies emerged all winter, so there is no first fly of spring." : "It did not happen in this period.", all ? "" : whyNot(run));
  } else if (state.day >= lastDay()) {
    endGuess(guess.truth === null ? "The heater added no harvest, so there is no price for a " + massUnit() + "."
      : `Each extra ${massUnit()} cost ${money(guess.truth)} in heat. You guessed ${money(guess.day, 0)}.`, whyCost(state.runs, lastDay()));
  }
}
