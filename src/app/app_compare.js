/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Compare: one thing of the plan with several values, or several plans that are open, over the same possible futures.
{
  const MOST_SETUPS = 26; // letters

  let question, keys = [], mode = "change", years, panel, openList;
  const things = [];

  const canCompare = (key) => CHANGEABLE.has(key.kind) && !["forecast", "period", "scenario"].includes(key.group);

  // ---- what is compared ---------------------------------------------------------------------------------------------

  function makeThing(which) {
    const select = el("select", { onchange: () => hint() });
    const values = el("input", { type: "text", autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
    const help = el("p", { class: "small" }), words = el("div", { class: "row words" });
    const thing = { select, values, get key() { return keys.find((key) => key.path === select.value); }, hint };
    function hint() {
      const key = thing.key;
      fill(words);
      if (!key) { help.textContent = ""; return; }
      help.textContent = app.onPage([`Now: ${valueNow(key)}.`, key.help, "Put commas between values.", key.accepts ? `Accepts ${key.accepts}.` : ""].filter(Boolean).join(" "));
      values.placeholder = key.example ?? "";
      const choices = (key.words ?? []).filter((word) => word !== key.value);
      if (choices.length && choices.length <= 12) fill(words, choices.map((word) => el("button", { type: "button", onclick: () => addValue(word) }, word)));
    }
    function addValue(word) {
      const list = split(values.value);
      if (!list.includes(word)) values.value = [...list, word].join(", ");
    }
    thing.element = el("div", { class: "box" }, field(which, select), field("Try", values), help, words);
    return thing;
  }

  const split = (text) => text.split(",").map((value) => value.trim()).filter(Boolean);

  async function fillKeys() {
    const check = await app.checked();
    keys = check.ok ? check.keys : [];
    showPlanYears(years, check);
    for (const thing of things) {
      const before = thing.select.value;
      keyChoice(thing.select, keys, canCompare, before || (keys.find((key) => /set_point$/.test(key.path) && isWritten(key)) ?? keys.find((key) => key.path === "starter.1.count"))?.path);
      if (thing !== things[0]) thing.select.prepend(option("", "nothing else", !before));
      if (thing !== things[0] && !before) thing.select.value = "";
      thing.hint();
    }
    showPlans();
  }

  const left = new Set(); // names of plans that are open and not to be compared
  function showPlans() {
    refill(openList, app.plans.length < 2 ? el("p", {}, "Only one plan is open. Copy it, change the copy, then compare both.") :
      app.plans.map((plan, i) => el("label", { class: "tick" }, el("input", { type: "checkbox", value: i, checked: !left.has(plan.name), onchange: (event) => (event.target.checked ? left.delete(plan.name) : left.add(plan.name)) }), plan.name)),
      el("p", { class: "row" }, el("button", { type: "button", onclick: copyPlan }, "Copy this plan to change it")));
  }

  function copyPlan() {
    app.addPlan({ ...app.plan });
    app.go("place");
    app.note(`${app.plan.name} is a copy. Change it, then compare.`);
  }

  // ---- the question -------------------------------------------------------------------------------------------------

  // --vary takes a written key, and numbers or words, not both: a set point of 60 degF or off is written into copies.
  function canVary({ key, values }) {
    const isWord = (value) => (key.words ?? []).includes(value);
    return isWritten(key) && split(values.value).every((value) => isWord(value) === isWord(key.value));
  }

  // Written numbers, dates and words are varied as by --vary; anything else is written into copies of the plan.
  async function requestOf(plan) {
    if (mode === "plans") {
      const chosen = [...openList.querySelectorAll("input:checked")].map((box) => app.plans[Number(box.value)]);
      return chosen.length < 2 ? { refuse: "Choose at least two plans." } : { plans: chosen };
    }
    const changed = things.filter((thing) => thing.key && split(thing.values.value).length);
    if (!changed.length) return { refuse: "Type one or more values to try." };
    if (changed.length > 1 && changed[0].key === changed[1].key) return { refuse: "Choose two different things." };
    const comma = changed.map((thing) => commaInNumber(thing.values.value)).find(Boolean);
    if (comma) return { failed: comma };
    if (changed.every(canVary))
      return { plan, vary: changed.map((thing) => `${thing.key.path}=${[thing.key.value, ...split(thing.values.value).filter((v) => v !== thing.key.value)].join(",")}`) };
    return copiesOf(plan, changed);
  }

  async function copiesOf(plan, changed) {
    if (changed.length > 1) return { refuse: "Two things at once must both be written in the plan, with numbers only or words only. Change one thing." };
    const [{ key, values }] = changed, check = await app.checked(), plans = [plan];
    for (const value of split(values.value)) {
      const set = await engine.call({ do: "set", plan, path: key.path, value });
      if (!set.ok) return { failed: set };
      const title = `${check.title}, ${keyWords(key)} ${value}`, named = await engine.call({ do: "set", plan: { ...plan, text: set.text }, path: "title", value: title });
      plans.push({ ...plan, text: named.ok ? named.text : set.text, name: `${stem(plan.name)}-${value.replace(/[^A-Za-z0-9.]+/g, "-")}.yaml` });
    }
    return { plans: plans.slice(0, MOST_SETUPS) };
  }

  async function work(call, plan) {
    const isOfOpen = mode === "plans", request = await requestOf(plan);
    if (request.failed) return request.failed;
    if (request.refuse) return { ok: false, error: request.refuse };
    const answer = await call({ do: "compare", ...request, ...(years.value ? { years: Number(years.value) } : {}) });
    if (answer.error) for (const { key } of things) if (key) answer.error = answer.error.replace(key.path, `"${key.subject ?? nameOf(key)}"`);
    if (isOfOpen) answer.compared = request.plans;
    return answer;
  }

  // Of plans that are open, which one is the current does not matter.
  const isAsItWas = (plan) => app.plans.some((now) => now.name === plan.name && samePlan(now, plan));
  const changed = (plan, { compared }) => (!compared ? changedSince(plan) : compared.every(isAsItWas) ? null : "One of these plans has changed since this answer.");

  function showComparison(out, answer, plan, below) {
    const parts = sectionsOf(answer.report ?? "", "compare"), main = parts.find("The answer"), name = stem(plan.name) + "-compared";
    const figures = parts.find("Figures"), rest = parts.sections.filter((section) => section !== main && section !== figures);
    if (main) main.querySelector("h2").textContent = "Which is better?";
    fill(out, el("div", { class: "report" }, parts.lead, main && beginningOf(main)));
    fill(below, el("div", { class: "report" }, main, figures, foldSections(rest, below)), printed(answer.text),
      takeAway(answer, name), app.command(answer.command), el("p", { class: "row" }, printButton()));
  }

  // ---- the screen ---------------------------------------------------------------------------------------------------

  function chooseMode(next) {
    mode = next;
    panel.hidden = mode !== "change";
    openList.hidden = mode !== "plans";
  }

  app.screen({
    name: "compare",
    title: "Compare",
    make(root) {
      things.push(makeThing("Change"), makeThing("and also"));
      years = yearsChoice([64, 200, 1000]);
      openList = el("div", { class: "box", hidden: true });
      panel = el("div", {}, things[0].element, el("details", {}, el("summary", {}, "Change a second thing"), things[1].element));
      question = longQuestion({ ask: "Compare", doing: "Comparing", work, show: showComparison, changed });
      fill(root, el("p", {}, "Every setup gets the same possible futures: the same weather, the same raids, the same luck. So a difference comes from the setup."),
        el("div", { class: "two" }, el("div", {}, el("fieldset", { class: "tabs noprint", onchange: (event) => chooseMode(event.target.value) }, el("legend", { class: "hidden" }, "What to compare"),
          [["change", "Change one thing"], ["plans", "Plans that are open"]].map(([value, words]) => el("label", {}, el("input", { type: "radio", name: "compare-mode", value, checked: value === mode }), el("span", {}, words)))),
        el("div", { class: "noprint" }, panel, openList, field("Futures for each setup", years)), question.controls), question.element), question.below);
    },
    show() { fillKeys(); },
    onPlan() { if (question) { question.onPlan(); if (app.now === "compare") fillKeys(); } },
  });
}
