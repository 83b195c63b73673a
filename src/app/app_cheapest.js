/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Cheapest winter: which of the values left open meet the goals for the least money?
{
  const MANY_PLANS = 1000; // up to so many, the program tries all
  const USUAL_YEARS = 512; // futures that judge a plan, unless said otherwise
  const LIVES_PER_PLAN = 6, JUDGED = 12; // lives that rule a plan out; plans judged with all futures: from searches of the shipped plan

  let question, openBox, goalsBox, years, keys = [], keySelect, tryInput, winner, estimate, survivor;

  const isOpenable = (key) => (NUMBERS.has(key.kind) || ["word", "switch", "money"].includes(key.kind)) && isWritten(key) && !["forecast", "period", "climate", "normals", "goal", "scenario"].includes(key.group);
  const combinations = (tries) => tries.reduce((n, row) => n * row.values.length, 1);

  async function fillForm() {
    const check = await app.checked();
    goalEditor(goalsBox, check);
    if (!check.ok) { fill(openBox); return; }
    keys = check.keys;
    keyChoice(keySelect, keys, (key) => isOpenable(key) && !check.facts.tries.some((row) => row.path === key.path), keySelect.value);
    showOpen(check.facts);
  }

  function showOpen(facts) {
    const tries = facts.tries, n = combinations(tries), isOpen = openBox.querySelector("details")?.open;
    refill(openBox, el("h2", {}, "What is open"),
      tries.length ? el("ul", { class: "open-list" }, tries.map((row) => el("li", {}, el("b", {}, row.subject), `: ${row.values.join(", ")}; now ${row.values[row.now] ?? ""} `,
        el("button", { type: "button", "aria-label": "Do not try: " + row.subject, onclick: () => changeOrTell(row.path, row.values[row.now]) }, "Do not try"))))
        : el("p", {}, "Nothing is left open. Then the page tries the set point of the heater, a warm-up in spring and the season of the lamps."),
      el("p", {}, tries.length ? `${whole(n)} plans${n > MANY_PLANS ? ", too many to try all: a race finds good ones" : ", all of them tried"}. ` : "", estimate),
      el("details", { open: isOpen }, el("summary", {}, "Leave something else open"), field("What", keySelect), field("Values to try", tryInput, "A list, as 60, 65, 70 degF, or a range, as 40 to 80 degF by 5. The word off is a value, too."),
        el("p", { class: "row" }, el("button", { type: "button", onclick: leaveOpen }, "Leave it open"))));
    tellTime(tries.length ? n : 0);
  }

  function leaveOpen() {
    const key = keys.find((k) => k.path === keySelect.value), text = tryInput.value.trim();
    if (!key || !text) { app.note("Type the values to try."); return; }
    if (commaInNumber(text)) { app.note(commaInNumber(text).error); return; }
    const list = / to /.test(text) ? text : `[${text}]`;
    changeOrTell(key.path, `{now: ${key.value}, try: ${list}}`).then((done) => { if (done) tryInput.value = ""; });
  }

  // Times a future of this plan, the second, because the first is slower; the search plays its futures one after the other.
  async function timeOfYear(plan) {
    let begun = 0;
    for (const year of [0, 1]) {
      begun = performance.now();
      const life = await engine.call({ do: "life", plan, year });
      if (!life.ok || asking.now || plan !== app.plan) return null;
    }
    return performance.now() - begun;
  }

  // A rough figure, said as a range.
  async function tellTime(plans) {
    estimate.textContent = "It may take minutes.";
    const ms = plans && !asking.now ? await timeOfYear(app.plan) : null;
    if (ms === null) return;
    const lives = LIVES_PER_PLAN * Math.min(plans, MANY_PLANS) + JUDGED * Number(years.value), seconds = (lives * ms) / 1000;
    estimate.textContent = `It may take ${duration(seconds / 2)} to ${duration(seconds * 2)} here.`;
  }
  const duration = (s) => (s < 90 ? plural(10 * Math.max(1, Math.round(s / 10)), "second") : plural(Math.max(2, s / 60), "minute"));

  const work = async (call, plan) => (await noGoal()) ?? call({ do: "cheapest", plan, ...(survivor.checked ? { any_survivor: true } : {}), ...(Number(years.value) !== USUAL_YEARS ? { years: Number(years.value) } : {}) });

  function showCheapest(out, answer, plan, below) {
    const parts = sectionsOf(answer.report ?? "", "cheapest"), open = ["The answer", "What money buys"].map(parts.find).filter(Boolean);
    const rest = parts.sections.filter((section) => !open.includes(section)), name = stem(plan.name) + "-cheapest";
    winner = answer.plan;
    const use = winner ? el("div", { class: "box noprint" }, el("p", { class: "row" }, el("button", { type: "button", class: "main", onclick: () => useWinner(plan) }, "Use this plan"),
      el("button", { type: "button", onclick: () => app.download(name + ".yaml", winner, "application/yaml") }, "Save it (YAML)")),
    el("details", {}, el("summary", {}, "The plan, written out"), el("pre", { tabindex: 0, class: "plan-text" }, winner))) : null;
    const [main, money] = open;
    const stopped = answer.stopped ? el("p", { class: "warning" }, "Stopped: this is the best so far.") : null;
    fill(out, stopped, el("div", { class: "report" }, main, parts.lead), use);
    fill(below, el("div", { class: "report" }, money, foldSections(rest, below)),
      printed(answer.text), takeAway(answer, name), app.command(answer.command), el("p", { class: "row" }, printButton()));
  }

  function useWinner(plan) {
    app.addPlan({ ...plan, text: winner, name: stem(plan.name) + "-cheapest.yaml" });
    app.go("forecast");
    app.note(`${app.plan.name} is open now; your own plan stays open, too.`);
  }

  app.screen({
    name: "cheapest",
    title: "Cheapest winter",
    make(root) {
      openBox = el("div", { class: "box noprint" });
      goalsBox = el("div", { class: "box noprint" });
      keySelect = el("select");
      tryInput = el("input", { type: "text", autocomplete: "off", autocapitalize: "off" });
      estimate = el("span", { class: "estimate" });
      years = el("select", { "data-name": "years" }, [64, 128, USUAL_YEARS, 2048].map((n) => option(n, app.futures(n), n === USUAL_YEARS)));
      years.addEventListener("change", fillForm);
      survivor = el("input", { type: "checkbox" });
      question = longQuestion({ ask: "Search", doing: "Searching", work, show: showCheapest });
      fill(root, el("p", {}, "Leave values open, say what you want, and the page finds the cheapest plan that does it, and judges it by futures that the search never saw."),
        el("div", { class: "two" }, el("div", {}, goalsBox, openBox, el("div", { class: "noprint" }, field("Futures that judge a plan", years), el("label", { class: "tick" }, survivor, "Any survivor is enough"), el("p", { class: "small" }, "Otherwise at least as many must live on the last day as you put in.")), question.controls), question.element), question.below);
    },
    show() { fillForm(); },
    onPlan() { if (question) { question.onPlan(); if (app.now === "cheapest") fillForm(); } },
  });
}
