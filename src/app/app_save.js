/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Save and open: plans as files, several at once; a draft in this tab, so that a reload loses nothing, and in this browser if
// the keeper wants one.
{
  const DRAFT = "wintergrub-draft";
  const save = {};
  const isPlan = (name) => /\.ya?ml$/i.test(name), isText = (value) => typeof value === "string";
  const areTexts = (value) => value !== null && typeof value === "object" && Object.values(value).every(isText);

  // ---- the draft; a browser may forbid it ---------------------------------------------------------------------------

  const TAB = "sessionStorage", BROWSER = "localStorage";
  function stored(where) {
    try { return window[where].getItem(DRAFT); } catch { return null; }
  }
  function store(where, text) {
    try {
      if (text === null) window[where].removeItem(DRAFT);
      else window[where].setItem(DRAFT, text);
      return true;
    } catch { return false; }
  }

  let keeps = false, waiting = 0;
  // The draft may be of an earlier page, or broken: what is not as it should be is left out.
  function keptIn(text) {
    try {
      const kept = JSON.parse(text);
      const plans = kept.plans.filter((plan) => isText(plan?.name) && isText(plan.text)).map(({ name, text, files, answers, made, normals }) => ({
        name, text, files: areTexts(files) ? files : {}, answers: areTexts(answers) ? answers : null, made, normals: isText(normals) ? normals : null }));
      if (!plans.length) return null;
      if (isText(kept.log?.name) && Array.isArray(kept.log.rows) && kept.log.rows.every(areTexts)) app.log = kept.log;
      return { plans, at: Math.min(Math.max(0, kept.at | 0), plans.length - 1) };
    } catch { return null; }
  }
  app.keptPlans = () => {
    keeps = stored(BROWSER) !== null;
    return keptIn(stored(TAB)) ?? keptIn(stored(BROWSER));
  };

  const draft = () => JSON.stringify({ plans: app.plans.map(({ name, text, files, answers, made, normals }) => ({ name, text, files, answers, made, normals })), at: app.at, log: app.log });

  function keepLater() {
    clearTimeout(waiting);
    waiting = setTimeout(keepDraft, 500);
  }

  // A browser has one draft, however many tabs show the page.
  window.addEventListener("storage", (event) => {
    if (event.key === DRAFT && keeps) app.note("This page is open in another tab, too, and only what was changed last is kept as the draft. Save the plan as a file.");
  });

  function keepDraft() {
    const text = draft();
    if (!store(TAB, text)) store(TAB, null); // better none than an old one
    if (!keeps || store(BROWSER, text)) return;
    keeps = false;
    store(BROWSER, null);
    if (save.draft) save.draft.checked = false;
    app.note("This browser does not keep drafts here. Save the plan as a file.");
  }

  function draftTicked() {
    keeps = save.draft.checked;
    if (keeps) keepDraft();
    else store(BROWSER, null);
    if (keeps || !save.draft.checked) app.say(keeps ? "A draft is kept." : "No draft is kept.");
  }

  // ---- opening ------------------------------------------------------------------------------------------------------

  // Plans become plans; a file that a plan names goes with it. Files alone go with the current plan.
  async function open(list) {
    const files = {}, read = [];
    for (const file of list) {
      const text = await app.readText(file);
      if (text !== null) read.push({ name: file.name, text });
    }
    const names = (text, name) => text.includes(name), isNamed = (one) => [...read, app.plan].some((other) => other !== one && names(other.text, one.name));
    for (const one of read) if (!isNamed(one)) one.name = app.fileName(one.name);
    const texts = read.filter(({ name }) => isPlan(name));
    for (const { name, text } of read) if (!isPlan(name)) files[name] = text;
    const bases = texts.filter((one) => texts.some((other) => other !== one && names(other.text, one.name)));
    for (const base of bases) files[base.name] = base.text;
    const plans = texts.filter((one) => !bases.includes(one));
    for (const plan of plans) {
      const own = Object.fromEntries(Object.entries(files).filter(([name]) => names(plan.text, name) || bases.some((base) => names(base.text, name))));
      app.addPlan({ ...plan, files: own });
    }
    if (!plans.length && Object.keys(files).length) app.setPlan({ files: { ...app.plan.files, ...files } });
    const opened = [...plans.map((plan) => plan.name), ...Object.keys(files)];
    if (opened.length) app.note(`Opened: ${opened.join(", ")}.`);
    save.input.value = "";
  }

  // ---- the list of plans --------------------------------------------------------------------------------------------

  function rename(i, input) {
    let name = app.fileName(input.value.trim());
    if (name && !isPlan(name)) name += ".yaml";
    const taken = app.plans.some((plan, k) => k !== i && plan.name === name);
    if (!name || taken) { input.value = app.plans[i].name; if (taken) app.note("Another plan has this name."); return; }
    app.choosePlan(i);
    app.setPlan({ name });
  }

  function planRow(plan, i) {
    const name = el("input", { type: "text", value: plan.name, "aria-label": `Name of plan ${i + 1}`, spellcheck: "false", onchange: () => rename(i, name) });
    return el("li", { class: "box" },
      el("label", { class: "tick" }, el("input", { type: "radio", name: "plan-at", checked: i === app.at, onchange: () => app.choosePlan(i) }), i === app.at ? "Current plan" : "Make this the current plan"),
      name,
      Object.keys(plan.files).length ? el("p", { class: "small" }, "With " + Object.keys(plan.files).join(", ")) : null,
      el("div", { class: "row" },
        el("button", { type: "button", class: "main", onclick: () => savePlan(plan) }, "Save"),
        el("button", { type: "button", onclick: () => app.addPlan({ ...plan }) }, "Copy"),
        app.plans.length > 1 ? el("button", { type: "button", onclick: () => app.closePlan(i) }, "Close") : null));
  }

  // One plan is one file; its weather file and base lie beside it.
  function savePlan(plan) {
    app.download(plan.name, plan.text, "application/yaml");
    for (const [name, text] of Object.entries(plan.files)) app.download(name, text);
    const beside = Object.keys(plan.files);
    app.note(beside.length ? `Saved: ${plan.name}, ${beside.join(", ")}. Keep them in one folder.` : `Saved as ${plan.name}.`);
  }

  function showPlans() {
    refill(save.list, app.plans.map(planRow));
    showResults();
  }

  function showResults() {
    const answer = app.forecast, base = app.plan.name.replace(/\.ya?ml$/i, "");
    const button = (text, name, content, type) => (content ? el("button", { type: "button", onclick: () => app.download(name, content, type) }, text) : null);
    fill(save.results, answer ? el("div", { class: "row" },
      button("Every day (CSV)", base + "-days.csv", answer.days_csv, "text/csv"), button("Every future (CSV)", base + "-years.csv", answer.years_csv, "text/csv"),
      button("The work (calendar file)", base + ".ics", answer.ics, "text/calendar"), button("The forecast as text", base + ".txt", answer.text))
      : el("p", { class: "small" }, "After a forecast its numbers can be saved here: every day and every future as tables, the work as a calendar."),
      app.command(answer && answer.command ? answer.command : `wintergrub run ${app.plan.name}`));
  }

  // ---- about --------------------------------------------------------------------------------------------------------

  async function showAbout() {
    if (save.about.childElementCount) return;
    const about = await engine.call({ do: "about" });
    if (!about.ok) return;
    const notices = Array.isArray(about.notices) ? about.notices : [];
    fill(save.about, el("p", {}, `wintergrub ${about.version ?? ""}`), about.digest ? el("p", { class: "small" }, "Made from sources with the SHA-256 ", el("code", {}, about.digest)) : null,
      notices.map((notice) => el("details", {}, el("summary", {}, `${notice.name} (${notice.licence})`), el("pre", {}, notice.text))));
  }

  // ---- the screen ---------------------------------------------------------------------------------------------------

  function make(root) {
    save.input = el("input", { type: "file", id: "open-files", hidden: true, multiple: true, onchange: () => open([...save.input.files]) });
    save.list = el("ul", { class: "plans" });
    save.results = el("div");
    save.about = el("div");
    save.draft = el("input", { type: "checkbox", id: "keep-draft", checked: keeps, onchange: draftTicked });
    const drop = el("div", { class: "drop" }, el("button", { type: "button", onclick: () => save.input.click() }, "Open files ..."), save.input,
      el("p", { class: "small" }, "Plans (.yaml), and the weather files that they name. Files can also be dropped here."));
    app.dropsInto(drop, open);
    root.append(el("div", { class: "two" },
      el("div", {}, el("h2", {}, "Plans in this page"), save.list, el("h2", {}, "Open from files"), drop),
      el("div", {}, el("h2", {}, "Results"), save.results,
        el("h2", {}, "Draft"), el("label", { class: "tick", for: "keep-draft" }, save.draft, "Keep a draft in this browser"),
        el("p", { class: "small" }, "Then the plans and the notes of My log are still here when this page is opened again, on this device only. Without the tick they outlast a reload, and are gone when the page is closed. Nothing is ever sent anywhere."),
        el("details", { ontoggle: showAbout }, el("summary", {}, "About this page, and notices of others' work in it"), save.about))));
    showPlans();
  }

  app.screen({
    name: "save", title: "Save and open", make,
    show() { showPlans(); },
    onPlan() {
      keepLater();
      if (app.now === "save") showPlans();
    },
    onLog: keepLater,
    onForecast() { if (app.now === "save") showResults(); },
  });
}
