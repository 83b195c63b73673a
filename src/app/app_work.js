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
      answer.ics ? el("button", { type: "button", onclick: () => app.download(name + ".ics", answer.ics, "text/calendar") }, "Calendar for a phone") : null),
      box, el("details", { class: "part" }, el("summary", {}, "Each bin, week by week"), el("pre", { tabindex: 0 }, answer.calendar)), app.command(`${answer.command} --calendar`));
    if (app.forecast !== answer && samePlan(plan, app.plan)) app.setForecast(answer);
  }

  app.screen({
    name: "work",
    title: "The work",
    make(root) {
      question = longQuestion({ ask: "Work out the weeks", doing: "Working out the weeks", work, show: showWork });
      fill(root, el("p", { class: "noprint" }, "When to feed, how much, when to pull traps, and what to expect. Amounts are for the years in which the colony lives."), question.controls, question.element);
    },
    show() { if (app.forecast && question.answer !== app.forecast && !asking.now) question.start(); },
    onPlan() { if (question) question.onPlan(); },
  });
}
