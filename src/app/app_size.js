/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// How many to start? The smallest (or largest) value of one number that meets the goals with the chance they ask for.
{
  const USUAL = "starter.1.count";
  const EFFORTS = [["1000", "quick: up to 1,000 futures"], ["4000", "up to 4,000 futures"], ["", "careful: up to 20,000 futures"]];

  let question, keys = [], select, largest, low, high, effort, chosen, goalsBox;

  const canSize = (key) => NUMBERS.has(key.kind) && isWritten(key) && !["forecast", "period", "climate", "normals", "goal"].includes(key.group);

  async function fillForm() {
    const check = await app.checked();
    keys = check.ok ? check.keys : [];
    keyChoice(select, keys, canSize, select.value || USUAL);
    goalEditor(goalsBox, check);
    hint();
  }

  function hint() {
    const key = keys.find((k) => k.path === select.value);
    low.placeholder = high.placeholder = key ? key.value : "";
  }

  // What a folded form decides must be seen.
  function tellEffort() {
    const from = low.value.trim(), to = high.value.trim();
    const range = from && to ? `${from} to ${to}` : "range chosen by the page";
    chosen.textContent = `Range and effort: ${largest.checked ? "the largest" : "the smallest"}, ${range}, ${effort.selectedOptions[0].textContent}`;
  }

  async function work(call, plan) {
    const between = [low.value.trim(), high.value.trim()];
    if (!select.value) return { ok: false, error: "The plan has no number that can be varied." };
    const without = await noGoal();
    if (without) return without;
    if (!between[0] !== !between[1]) return { ok: false, error: "Give both ends of the range, or none." };
    return call({
      do: "size", plan, vary: [select.value], largest: largest.checked, ...(between[0] ? { between } : {}), ...(effort.value ? { at_most: Number(effort.value) } : {}),
    });
  }

  function showSize(out, answer, plan, below) {
    const parts = sectionsOf(answer.report ?? "", "size"), main = parts.find("The answer"), curve = parts.find("Chance against value"), name = stem(plan.name) + "-size";
    const rest = parts.sections.filter((section) => section !== main && section !== curve);
    fill(out, el("div", { class: "report" }, main, parts.lead));
    fill(below, el("div", { class: "report" }, curve, foldSections(rest, below)), printed(answer.text),
      takeAway(answer, name, [["Every value tried (CSV)", name + ".csv", answer.csv, "text/csv"]]), app.command(answer.command), el("p", { class: "row" }, printButton()));
  }

  app.screen({
    name: "size",
    title: "How many to start?",
    make(root) {
      select = el("select", { onchange: hint });
      largest = el("input", { type: "radio", name: "size-way", value: "largest" });
      low = el("input", { type: "text", autocomplete: "off" });
      high = el("input", { type: "text", autocomplete: "off" });
      effort = el("select", { "data-name": "effort" }, EFFORTS.map(([value, words], i) => option(value, words, i === 0)));
      goalsBox = el("div", { class: "box" });
      chosen = el("summary");
      question = longQuestion({ ask: "Find the number", doing: "Trying numbers", work, show: showSize });
      fill(root, el("p", {}, "The page tries values of one number and finds the smallest that meets your goals as often as you ask for."),
        el("div", { class: "two" }, el("div", {}, el("div", { class: "noprint" }, field("The number", select), goalsBox,
          el("details", { onchange: tellEffort }, chosen,
            el("fieldset", { class: "tabs" }, el("legend", { class: "hidden" }, "Which value"),
              el("label", {}, el("input", { type: "radio", name: "size-way", value: "smallest", checked: true }), el("span", {}, "the smallest that is enough")),
              el("label", {}, largest, el("span", {}, "the largest that is enough"))),
            field("From", low), field("To", high, "With its unit, as in the plan. Empty: the page chooses the range."), field("Effort", effort))),
        question.controls), question.element), question.below);
    },
    show() { fillForm(); tellEffort(); },
    onPlan() { if (question) { question.onPlan(); if (app.now === "size") fillForm(); } },
  });
}
