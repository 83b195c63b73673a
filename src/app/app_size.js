/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// How many to start? The smallest (or largest) value of one number that meets the goals with the chance they ask for; of two
// numbers, the odds of every pair of values.
{
  const USUAL = "starter.1.count";
  // The most futures in all; words for one number and for two.
  const EFFORTS = [["1000", "quick: up to 1,000 futures", "quick: 64 futures or a few more for each pair"], ["4000", "up to 4,000 futures", "4,000 futures in all"],
    ["", "careful: up to 20,000 futures", "careful: 20,000 futures in all"]];
  const ENOUGH = { yes: "surely enough", no: "surely not enough" };

  let question, keys = [], select, second, largest, low, high, tries, ofOne, ofTwo, effort, chosen, goalsBox;

  const canSize = (key) => NUMBERS.has(key.kind) && isWritten(key) && !["forecast", "period", "climate", "normals", "goal"].includes(key.group);

  async function fillForm() {
    const check = await app.checked();
    keys = check.ok ? check.keys : [];
    const also = second.value;
    keyChoice(select, keys, canSize, select.value || USUAL);
    keyChoice(second, keys, canSize, also);
    second.prepend(option("", "nothing else"));
    second.value = keys.some((key) => key.path === also) ? also : "";
    hint();
    goalEditor(goalsBox, check);
  }

  const keyOf = (choice) => keys.find((key) => key.path === choice.value);

  // The form of one number or of two, and what it decides while it is folded.
  function hint() {
    const chosenKeys = [keyOf(select), keyOf(second)];
    low.placeholder = high.placeholder = chosenKeys[0] ? valueNow(chosenKeys[0]) : "";
    ofOne.hidden = Boolean(second.value);
    ofTwo.hidden = !second.value;
    EFFORTS.forEach((words, i) => { effort.options[i].textContent = words[second.value ? 2 : 1]; });
    tries.forEach((input, i) => { document.querySelector(`label[for="${input.id}"]`).textContent = "Values of " + (chosenKeys[i]?.subject ?? "it"); });
    tellEffort();
  }

  function tellEffort() {
    const from = low.value.trim(), to = high.value.trim(), listed = tries.filter((input) => input.value.trim()).length;
    const range = from && to ? `${from} to ${to}` : "range chosen by the page";
    const values = ["values chosen by the page", "your values of one", "your values of both"][listed];
    chosen.textContent = second.value ? `Values and effort: ${values}, ${effort.selectedOptions[0].textContent}`
      : `Range and effort: ${largest.checked ? "the largest" : "the smallest"}, ${range}, ${effort.selectedOptions[0].textContent}`;
  }

  // KEY, or KEY=VALUE,VALUE,...
  const varied = (choice, input) => choice.value + (input.value.trim() ? "=" + input.value.split(",").map((value) => value.trim()).filter(Boolean).join(",") : "");

  async function workOfTwo(call, plan) {
    if (select.value === second.value) return { ok: false, error: "Choose two different numbers." };
    const comma = tries.map((input) => commaInNumber(input.value)).find(Boolean);
    if (comma) return comma;
    const answer = await call({ do: "size", plan, vary: [varied(select, tries[0]), varied(second, tries[1])], ...(effort.value ? { at_most: Number(effort.value) } : {}) });
    if (answer.error) for (const key of [keyOf(select), keyOf(second)]) if (key) answer.error = answer.error.replace(key.path, `"${key.subject}"`);
    return answer;
  }

  async function work(call, plan) {
    const between = [low.value.trim(), high.value.trim()];
    if (!select.value) return { ok: false, error: "The plan has no number that can be varied." };
    const without = await noGoal();
    if (without) return without;
    if (second.value) return workOfTwo(call, plan);
    if (!between[0] !== !between[1]) return { ok: false, error: "Give both ends of the range, or none." };
    return call({
      do: "size", plan, vary: [select.value], largest: largest.checked, ...(between[0] ? { between } : {}), ...(effort.value ? { at_most: Number(effort.value) } : {}),
    });
  }

  // What is in the picture, with the ranges, a row for each value of the first number.
  function pairsTable({ down, across, cells, replicates }) {
    const percent = (share) => Number((100 * share).toFixed(Math.min(share, 1 - share) > 0 && Math.min(share, 1 - share) < 0.01 ? 1 : 0)); // as in the picture
    const cellOf = (row, column) => cells[row * across.values.length + column];
    const words = (cell) => `${ENOUGH[cell.enough] ?? (cell.enough_by_estimate ? "enough by the estimate" : "not enough by the estimate")}${cell.is_plan ? "; the plan as it is" : ""}`;
    return el("details", { class: "part on-paper" }, el("summary", {}, "Every pair with its range"),
      el("p", {}, `All goals met, of 100, with the 95 % range: ${down.subject} (down) and ${across.subject} (across), ${app.futures(replicates)} for each pair.`),
      el("div", { class: "scroll", tabindex: 0, role: "group", "aria-label": "Every pair with its range" },
      el("table", { class: "plain pairs" },
        el("caption", {}, "All goals met, of 100"),
        el("thead", {}, el("tr", {}, el("td"), across.values.map((value) => el("th", { scope: "col" }, value)))),
        el("tbody", {}, down.values.map((value, row) => el("tr", {}, el("th", { scope: "row" }, value), across.values.map((_, column) => {
          const cell = cellOf(row, column), all = cell.all_goals;
          return el("td", {}, el("b", {}, percent(all.share)), ` (${percent(all.low)} to ${percent(all.high)})`, el("small", {}, words(cell)));
        })))))));
  }

  // The first figure has the odds; the verdict and the table of all pairs as setups follow.
  function showPairs(out, answer, plan, below) {
    const parts = sectionsOf(answer.report ?? "", "size"), main = parts.find("The answer"), name = stem(plan.name) + "-size";
    const [odds, setups] = main.querySelectorAll("figure"), rest = parts.sections.filter((section) => section !== main);
    const verdict = main.querySelector("p.answer, p.warning");
    odds.remove();
    setups?.remove();
    fill(out, el("div", { class: "report" }, el("section", {}, main.querySelector("h2"), odds)), pairsTable(answer.answer));
    const choice = el("section", {}, el("h2", {}, "What else the pairs do"), setups, [...main.childNodes]);
    if (verdict) choice.querySelector("h2").after(verdict);
    fill(below, el("div", { class: "report" }, parts.lead, foldSections([choice, ...rest], below)), printed(answer.text), takeAway(answer, name), app.command(answer.command),
      el("p", { class: "row" }, printButton()));
  }

  function showSize(out, answer, plan, below) {
    if (answer.answer.cells) { showPairs(out, answer, plan, below); return; }
    const parts = sectionsOf(answer.report ?? "", "size"), main = parts.find("The answer"), curve = parts.find("Chance against value"), name = stem(plan.name) + "-size";
    const rest = parts.sections.filter((section) => section !== main && section !== curve);
    fill(out, el("div", { class: "report" }, main, parts.lead));
    fill(below, el("div", { class: "report" }, curve, foldSections(rest, below)), printed(answer.text),
      takeAway(answer, name), app.command(answer.command), el("p", { class: "row" }, printButton()));
  }

  app.screen({
    name: "size",
    title: "How many to start?",
    make(root) {
      select = el("select", { onchange: hint });
      second = el("select", { onchange: hint, "data-name": "second" });
      tries = [0, 1].map(() => el("input", { type: "text", autocomplete: "off", autocapitalize: "off" }));
      largest = el("input", { type: "radio", name: "size-way", value: "largest" });
      low = el("input", { type: "text", autocomplete: "off" });
      high = el("input", { type: "text", autocomplete: "off" });
      effort = el("select", { "data-name": "effort" }, EFFORTS.map(([value, words], i) => option(value, words, i === 0)));
      goalsBox = el("div", { class: "box" });
      chosen = el("summary");
      question = longQuestion({ ask: "Find the number", doing: "Trying numbers", work, show: showSize });
      ofOne = el("div", {}, el("fieldset", { class: "tabs" }, el("legend", { class: "hidden" }, "Which value"),
        el("label", {}, el("input", { type: "radio", name: "size-way", value: "smallest", checked: true }), el("span", {}, "the smallest that is enough")),
        el("label", {}, largest, el("span", {}, "the largest that is enough"))),
      field("From", low), field("To", high, "With its unit, as in the plan. Empty: the page chooses the range."));
      ofTwo = el("div", { hidden: true }, field("Values", tries[0]), field("Values", tries[1], "With their units, commas between them. Empty: five values around that of the plan. At most 26 pairs."));
      fill(root, el("p", {}, "The page tries values of one number and finds the smallest that meets your goals as often as you ask for. With two numbers it shows the odds of every pair."),
        el("div", { class: "two" }, el("div", {}, el("div", { class: "noprint" }, field("The number", select), field("and another number (optional)", second), goalsBox,
          el("details", { onchange: tellEffort }, chosen, ofOne, ofTwo, field("Effort", effort))),
        question.controls), question.element), question.below);
    },
    show() { fillForm(); tellEffort(); },
    onPlan() { if (question) { question.onPlan(); if (app.now === "size") fillForm(); } },
  });
}
