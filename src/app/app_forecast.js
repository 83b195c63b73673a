/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Forecast: a hundred dots fill, the answer comes after twenty futures and gets surer, then why it dies; any future plays.
{
  const FIRST_YEARS = 20, NEXT_YEARS = 100;
  const MANY_DIE = 0.1; // the program looks for the reason if it dies out in more than a tenth of the futures

  let dots, life, question, years, lifePlace, goOn, opening = null, target = 0;

  // Numbers of futures in steps, so that an answer comes soon.
  const steps = (n) => [...new Set([FIRST_YEARS, NEXT_YEARS, n].filter((step) => step <= n))];

  async function work(call, plan) {
    const check = await app.checked();
    if (!check.ok) return check;
    target = Number(years.value) || check.facts.years;
    dots.expect(target);
    let answer = null;
    for (const n of steps(target)) {
      const next = await call({ do: "run", plan, years: n }, (e) => {
        if (e.year === undefined) return null;
        dots.add(e);
        return { progress: dots.lives.length, of: target, doing: "futures played" };
      });
      if (!next.ok) return answer ?? next;
      answer = next;
      if (!samePlan(plan, app.plan)) return answer;
      showForecast(question.out, answer, plan, question.below);
      if (question.isStopped || answer.stopped) return answer;
      if (n === steps(target)[0]) app.say(`First answer, after ${app.futures(n)}: alive in ${answer.counts.alive}.`);
    }
    return (await explained(call, answer)) ?? answer;
  }

  async function explained(call, answer) {
    if (answer.counts.alive >= (1 - MANY_DIE) * answer.counts.years) return null;
    const why = await call({ do: "why" });
    return why.ok ? { ...answer, ...why } : null;
  }

  // ---- what is shown ------------------------------------------------------------------------------------------------

  function guessBeside(answer, plan) {
    const guess = app.guess;
    if (!guess) return el("p", { class: "small" }, "You have not guessed. ", el("a", { href: "#guess" }, "Guess first"), " next time: it is the best way to learn.");
    const survival = answer.forecast.survival, off = Math.abs(guess.alive - 100 * survival.share);
    const inside = guess.alive >= Math.floor(100 * survival.low) && guess.alive <= Math.ceil(100 * survival.high);
    return el("div", { class: "guess-beside" }, guessBar(guess.alive, survival),
      el("p", {}, el("b", {}, `Your guess: ${guess.alive} of 100.`), inside ? " It lies in the range of the answer." : ` It is ${Math.round(off)} ${guess.alive < 100 * survival.share ? "below" : "above"} the answer.`,
        guess.plan !== undefined && guess.plan !== plan.text ? " You made it for an earlier plan." : ""));
  }

  // 0 to 100 futures: the range and the answer above the line, the guess below it.
  function guessBar(guess, survival) {
    const x = (share) => 20 + 360 * share, ink = "currentColor";
    return draw("svg", { viewBox: "0 0 400 66", class: "guess-bar", role: "img", "aria-label": `Your guess ${guess}; the answer ${Math.round(100 * survival.share)}, between ${Math.round(100 * survival.low)} and ${Math.round(100 * survival.high)} of 100` },
      draw("line", { x1: 20, x2: 380, y1: 32, y2: 32, stroke: ink, "stroke-width": 1 }),
      [0, 50, 100].map((n) => draw("text", { x: x(n / 100), y: 62, "text-anchor": "middle", "font-size": 12, fill: ink }, String(n))),
      draw("rect", { x: x(survival.low), y: 20, width: Math.max(2, x(survival.high) - x(survival.low)), height: 12, fill: "#009E73", opacity: 0.45 }),
      draw("rect", { x: x(survival.share) - 2, y: 16, width: 4, height: 16, fill: "#009E73", stroke: ink, "stroke-width": 0.5 }),
      draw("path", { d: `M${x(guess / 100)} 33l7 12h-14z`, fill: ink }));
  }

  const tellYears = async () => showPlanYears(years, await app.checked());

  function answerPart(parts) {
    const section = parts.find("The answer");
    section?.querySelector(".dots")?.remove(); // the dots above are the futures themselves
    for (const goals of section?.querySelectorAll("pre") ?? []) // a line of the terminal is too long or too short here
      goals.replaceWith(...goals.textContent.trim().replace(/\n +/g, " ").split("\n").map((line) => el("p", { class: "goal" }, app.onPage(line))));
    return section;
  }

  // The winter first: it decides; then how the colony grows.
  function mainFigures(parts) {
    const figures = parts.find("Figures");
    return ["winter", "stages"].map((name) => figures?.querySelector(`[id$="-${name}-title"]`)?.closest("figure")).filter(Boolean);
  }

  function showForecast(out, answer, plan, below) {
    const parts = sectionsOf(answer.report ?? "", "forecast"), main = answerPart(parts), shown = mainFigures(parts);
    const name = stem(plan.name), rest = parts.sections.filter((section) => section !== main && !headOf(section).startsWith("The work"));
    if (main) main.querySelector("h2").textContent = answer.counts.years < target ? `The answer after ${app.futures(answer.counts.years)}` : "The answer";
    main?.querySelector(".answer")?.after(guessBeside(answer, plan));
    const goesOn = answer.counts.years < target;
    goOn = el("p", { class: "row" }, el("button", { type: "button", onclick: () => question.start() }, `Go on to ${app.futures(target)}`));
    goOn.hidden = !goesOn || asking.now === question;
    fill(out, el("div", { class: "report" }, main, parts.lead), goOn);
    fill(below, el("div", { class: "report" }, shown.length ? el("section", {}, el("h2", {}, "Winter and summer"), shown) : null, foldSections(rest, below)), printed(answer.text), takeAway(answer, name, [
      ["Every future (CSV)", name + "-years.csv", answer.years_csv, "text/csv"],
      ["Every day (CSV)", name + "-days.csv", answer.days_csv, "text/csv"],
      ["Calendar for a phone", name + ".ics", answer.ics, "text/calendar"],
    ]), app.command(answer.command), el("p", { class: "row" }, printButton()));
    if (asking.now !== question) dots.sort(true);
    if (samePlan(plan, app.plan)) app.setForecast(answer); // it may have been changed meanwhile
  }

  // ---- one future ---------------------------------------------------------------------------------------------------

  async function openLife(chosen) {
    if (asking.now) { app.note("The futures are still being played. Wait, or stop them, then tap a dot."); return; }
    const plan = question.plan ?? app.plan;
    closeLife();
    opening = chosen;
    fill(lifePlace, el("p", { class: "small" }, `Future ${chosen.year + 1} ...`));
    const answer = await engine.call({ do: "life", plan, year: chosen.year }, {});
    if (opening !== chosen) return; // another was tapped, or closed
    if (!answer.ok) { fill(lifePlace, app.problem(answer)); return; }
    const check = await app.checked(), title = yearName(chosen);
    life = lifePlayer(answer, { title, us: check.facts?.units === "us", close() { closeLife(); dots.grid.focus({ preventScroll: true }); } });
    fill(lifePlace, life.element);
    life.element.querySelector("h2").focus({ preventScroll: true });
    life.element.scrollIntoView({ block: "start" });
  }

  function closeLife() {
    if (life) life.stop();
    life = opening = null;
    fill(lifePlace);
  }

  app.screen({
    name: "forecast",
    title: "Forecast",
    make(root) {
      years = yearsChoice([100, 1000, 2000]);
      lifePlace = el("div");
      dots = dotsOfYears(openLife);
      question = longQuestion({
        ask: "Play the futures", doing: "Playing the futures", work,
        begin() { closeLife(); dots.sort(false); if (!samePlan(question.plan, app.plan)) dots.begin(DOTS); },
        show: showForecast,
      });
      dots.begin(DOTS);
      fill(root, el("p", {}, "Nobody knows what is coming. The page plays many possible futures of your plan, each with weather, luck and animals of its own. In how many is the colony alive at the end?"),
        el("div", { class: "two" },
          el("div", {}, question.controls, el("details", { class: "noprint" }, el("summary", {}, "How many futures"), field("Futures", years, "More of them make the answer surer, not different. The first answer comes after 20.")), dots.element, lifePlace),
          question.element),
        question.below);
    },
    show() { tellYears(); },
    hide() { if (life) life.stop(); },
    onPlan() {
      if (!question) return;
      question.onPlan();
      if (question.answer && !asking.now && !app.forecast && samePlan(question.plan, app.plan)) app.setForecast(question.answer); // as after undo
      if (app.now === "forecast") tellYears();
    },
  });
}
