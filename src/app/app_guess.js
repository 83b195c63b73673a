/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Guess: a number kept before the forecast is seen, and compared with it afterwards.
{
  const guess = { value: 50, tries: [] };

  const dayName = (iso) => new Date(iso + "T00:00:00Z").toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" });
  const isOfThisPlan = () => app.guess !== null && app.guess.plan === app.plan.text;
  const offBy = (off) => (Math.abs(off) < 0.5 ? "just right" : `${Math.round(Math.abs(off))} ${off < 0 ? "too few" : "too many"}`);

  // `alive`: in how many of 100 futures.
  app.guessed = (alive) => (isOfThisPlan() ? `You guessed ${app.guess.alive} of 100: ${offBy(app.guess.alive - alive)}.` : "");

  // A hundred squares to tap; full ones live. Full and empty differ in shape as well as colour.
  function makeGrid() {
    const dots = Array.from({ length: 100 }, (_, i) => draw("circle", { cx: 5 + 10 * (i % 10), cy: 5 + 10 * Math.floor(i / 10) }));
    const svg = draw("svg", { viewBox: "0 0 100 100", class: "hundred", "aria-hidden": "true" }, dots);
    svg.addEventListener("click", (event) => {
      const box = svg.getBoundingClientRect(), at = (x, from, size) => Math.min(9, Math.max(0, Math.floor((10 * (x - from)) / size)));
      setGuess(10 * at(event.clientY, box.top, box.height) + at(event.clientX, box.left, box.width) + 1);
    });
    return svg;
  }

  function setGuess(value) {
    guess.value = Math.min(100, Math.max(0, value));
    guess.slider.value = guess.value;
    guess.slider.setAttribute("aria-valuetext", `${guess.value} of 100 futures`);
    guess.out.textContent = guess.value;
    [...guess.grid.children].forEach((dot, i) => { dot.setAttribute("class", i < guess.value ? "lives" : ""); dot.setAttribute("r", i < guess.value ? 4 : 2.6); });
  }

  function keep() {
    app.guess = { alive: guess.value, plan: app.plan.text, name: app.plan.name };
    showState(); // a live region says it
    guess.on.focus();
  }

  async function showQuestion() {
    const check = await app.checked();
    fill(guess.question, check.ok ? `From ${dayName(check.facts.first_day)} to ${dayName(check.facts.last_day)}: in how many of 100 possible futures is the colony alive on the last day?`
      : "The plan has a mistake; mend it first, on the screen Your place.");
  }

  function showState() {
    const kept = isOfThisPlan(), seen = app.forecast !== null;
    fill(guess.kept, seen ? [kept ? el("p", { class: "answer" }, `The colony lived in ${app.forecast.counts.alive} of ${app.futures(app.forecast.counts.years)}. ${app.guessed(aliveOf(app.forecast))}`)
      : el("p", { class: "warning" }, "The forecast of this plan has been shown already. Change the plan, then guess.")]
      : kept ? el("p", { class: "answer" }, `Your guess is kept: ${app.guess.alive} of 100.`) : null);
    guess.on.hidden = !kept;
    guess.on.textContent = seen ? "Back to the forecast" : "See the forecast";
    guess.table.hidden = guess.tries.length === 0;
    fill(guess.table.tBodies[0], guess.tries.map((one) => el("tr", {}, el("th", { scope: "row" }, one.name), el("td", {}, String(one.guess)), el("td", {}, String(Math.round(one.alive))))));
  }

  const aliveOf = (answer) => (100 * answer.counts.alive) / answer.counts.years;

  function remember(answer) {
    if (answer && answer.counts && answer.counts.years > 0 && isOfThisPlan()) {
      guess.tries = guess.tries.filter((one) => one.plan !== app.plan.text);
      guess.tries.unshift({ name: app.plan.name, plan: app.plan.text, guess: app.guess.alive, alive: aliveOf(answer) });
      guess.tries.length = Math.min(guess.tries.length, 8);
    }
    if (guess.kept) showState();
  }

  function make(root) {
    guess.grid = makeGrid();
    guess.question = el("p", { class: "question-line", id: "guess-question" });
    guess.slider = el("input", { type: "range", id: "guess-slider", min: 0, max: 100, step: 1, "aria-labelledby": "guess-question", oninput: () => setGuess(Number(guess.slider.value)) });
    guess.out = el("output", { class: "number", for: "guess-slider" });
    guess.kept = el("div", { role: "status" });
    guess.on = el("a", { class: "button", href: "#forecast" }, "See the forecast");
    guess.table = el("table", { class: "plain" }, el("caption", {}, "Guesses so far, of 100 futures"),
      el("thead", {}, el("tr", {}, ["Plan", "Guess", "Forecast"].map((word) => el("th", { scope: "col" }, word)))), el("tbody"));
    root.append(el("div", { class: "two" },
      el("div", {}, guess.question, el("p", { class: "guess-number" }, guess.out, " of 100"), guess.slider,
        el("div", { class: "row" }, [-10, -1, 1, 10].map((by) => el("button", { type: "button", "aria-label": `${Math.abs(by)} ${by < 0 ? "fewer" : "more"}`, onclick: () => setGuess(guess.value + by) }, by < 0 ? "−" + -by : "+" + by))),
        el("div", { class: "row" }, el("button", { type: "button", class: "main", onclick: keep }, "Keep my guess"), guess.on), guess.kept, guess.table),
      el("div", {}, guess.grid, el("p", { class: "small" }, "Only one future will come. The forecast plays many that could, each with its own weather and luck: a full dot is one that the colony lives through."))));
    setGuess(guess.value);
  }

  app.screen({
    name: "guess", title: "Guess", make,
    show() { showQuestion(); showState(); },
    onPlan() { if (app.now === "guess") { showQuestion(); showState(); } },
    onForecast: remember,
  });
}
