/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// The work: week by week, bin by bin, as a sheet to print and a calendar for a phone.
{
  let question;

  async function work(call, plan) {
    if (app.forecast) return app.forecast;
    return call({ do: "run", plan });
  }

  // The program's section on the work, with its sheet for paper.
  function showWork(out, answer, plan) {
    const parts = sectionsOf(answer.report ?? "", "work"), section = parts.find("The work"), name = stem(plan.name);
    const box = el("div", { class: "report" }, section ?? el("p", {}, "This plan has no work to list."));
    box.querySelectorAll("p.screen").forEach((node) => node.remove());
    fill(out, el("p", { class: "row" }, el("button", { type: "button", class: "main", onclick: app.print }, "Print the sheet"),
      thisWeek(box), answer.ics ? el("button", { type: "button", onclick: () => app.download(name + ".ics", answer.ics, "text/calendar") }, "Calendar for a phone") : null),
      box, el("details", { class: "part" }, el("summary", {}, "Each bin, week by week"), el("pre", { tabindex: 0 }, answer.calendar)), app.command(`${answer.command} --calendar`));
    if (app.forecast !== answer && samePlan(plan, app.plan)) app.setForecast(answer);
    question.controls.hidden = samePlan(plan, app.plan);
  }

  // Marks the week of today, if the plan has it, and gives a way there.
  function thisWeek(box) {
    const now = new Date(), today = Date.UTC(now.getFullYear(), now.getMonth(), now.getDate());
    const rows = [...box.querySelectorAll("table.work tbody tr")].map((row) => [row, Date.parse(row.querySelector("th").textContent.split(" to ")[0] + " UTC")]);
    const at = rows.findLastIndex(([, from]) => from <= today);
    if (at < 0 || (at === rows.length - 1 && today > rows[at][1] + 7 * 864e5)) return null;
    const row = rows[at][0];
    row.classList.add("this-week");
    row.tabIndex = -1;
    return el("button", { type: "button", onclick: () => { row.focus({ preventScroll: true }); row.scrollIntoView({ block: "center" }); } }, "This week");
  }

  // The weeks of this plan need not be worked out again.
  function settle() {
    question.onPlan();
    question.controls.hidden = question.answer !== null && samePlan(question.plan, app.plan);
  }

  app.screen({
    name: "work",
    title: "The work",
    make(root) {
      question = longQuestion({ ask: "Work out the weeks", doing: "Working out the weeks", work, show: showWork });
      fill(root, el("p", { class: "noprint" }, "When to feed, how much, when to pull traps, and what to expect. Amounts are for the futures in which the colony lives."), question.controls, question.element, question.below);
    },
    show() { if (app.forecast && question.answer !== app.forecast && !asking.now) question.start(); },
    onPlan() { if (question) settle(); },
  });
}
