/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Your place: the questions of `wintergrub new` as a form, every value of the plan, and the plan's text; all kept in step.
{
  const MONTHS = "January February March April May June July August September October November December".split(" ");
  // A heading before the question of this name. What is asked comes from the engine.
  const PARTS = { units: "The place", heat: "Heat and light", bins: "The bins", start: "The start", feed: "Feeding", harvest: "The harvest", goal: "What you want" };
  const TYPING_MS = 350;

  const place = { asked: new Map(), order: "", keys: new Map(), titles: new Map(), keyOrder: "", edited: null, mistakes: [], turn: 0, typing: 0 };


  // ---- the first plan, and examples ---------------------------------------------------------------------------------

  // A plan keeps the answers that made it, so that undo brings both back.
  app.firstPlan = async () => {
    const answer = await engine.call({ do: "questions", answers: {}, files: {}, today: app.today() });
    if (answer.ok) app.plans[0] = { name: "my-flies.yaml", files: {}, text: answer.plan, made: answer.plan, answers: {}, asked: answer.questions };
    return answer;
  };

  // Asks a plan's questions anew: a draft may be of an earlier page, with others.
  app.askAgain = async (plan) => {
    const answer = plan.answers && (await engine.call({ do: "questions", answers: plan.answers, files: plan.files, today: app.today() }));
    return answer?.ok ? { ...plan, asked: answer.questions } : { ...plan, answers: null };
  };

  function examplePicker() {
    const plans = JSON.parse(byId("examples").textContent), names = Object.keys(plans);
    const title = (name) => (/^title: *(.*?)\s*$/m.exec(plans[name]) ?? [0, name])[1].replace(/^["']|["']$/g, "");
    const pick = el("select", { id: "example", onchange: () => {
      if (!pick.value) return;
      app.setPlan({ name: pick.value, text: plans[pick.value], files: {}, answers: null, made: null });
      app.note(`Opened: ${title(pick.value)}. Undo brings your plan back.`);
      pick.value = "";
      view("values");
    } }, el("option", { value: "" }, "Open an example ..."), names.map((name) => el("option", { value: name }, title(name))));
    return [el("label", { for: "example", class: "hidden" }, "Open an example"), pick];
  }

  // ---- questions ----------------------------------------------------------------------------------------------------

  // Answers {name: text}, with "" for none; and what belongs to them: `files`, `normals`.
  const ask = (given, change = {}) => app.change(async (plan) => {
    const all = change.files ?? plan.files, answers = Object.fromEntries(Object.entries({ ...plan.answers, ...given }).filter(([, value]) => value !== ""));
    const answer = await engine.call({ do: "questions", answers, files: all, today: app.today() });
    if (!answer.ok) { fill(place.problem, app.problem(answer)); return null; }
    const normals = "normals" in change ? change.normals : plan.normals;
    const text = normals ? await withNormals(answer.plan, normals) : answer.plan;
    const files = Object.fromEntries(Object.entries(all).filter(([name]) => name === answers.climate || text.includes(name)));
    return { text, made: text, answers, asked: answer.questions, files, normals, name: nameFor(answers.name) ?? plan.name };
  }).then(showQuestions);

  const nameFor = (name) => (name ? (name.toLowerCase().replace(/[^a-z0-9]+/g, "-").slice(0, 40).replace(/^-+|-+$/g, "") || "plan") + ".yaml" : null);

  const answerWith = (name, value) => ask({ [name]: value }, name === "climate" ? { normals: null } : {});

  // A question keeps its place on the screen and the focus in it: its node is made once, and then only brought up to date.
  function makeQuestion(question) {
    const { name } = question, id = "ask-" + name;
    const chips = el("div", { class: "chips" }), mistake = el("p", { class: "mistake", id: id + "-mistake" }), caution = el("p", { class: "warning small" });
    const free = el("input", { type: "text", id: id + "-free", autocomplete: "off", autocapitalize: "off", "aria-labelledby": id + "-ask", "aria-describedby": id + "-also " + id + "-mistake",
      onchange: () => answerWith(name, free.value.trim()) });
    const also = el("p", { class: "small", id: id + "-also" });
    const box = el("fieldset", { class: "question", id },
      el("legend", { id: id + "-ask" }, question.ask), el("p", { class: "small" }, question.help), chips, also, free,
      name === "climate" ? ownClimate() : null, mistake, caution);
    return { box, chips, free, also, mistake, caution, words: null };
  }

  function makeChips(row, question) {
    const words = JSON.stringify(question.choices);
    if (words === row.words) return;
    row.words = words;
    fill(row.chips, question.choices.map((choice) => el("label", { class: "chip" },
      el("input", { type: "radio", name: "ask-" + question.name, value: choice.word, onchange: () => answerWith(question.name, choice.word) }),
      el("span", {}, el("b", {}, choice.word), choice.meaning ? el("small", {}, choice.meaning) : null))));
  }

  function showQuestion(question) {
    const row = place.asked.get(question.name), given = (app.plan.answers ?? {})[question.name];
    const isOwn = question.name === "climate" && showOwnClimate(question, given);
    const said = question.mistake ? given ?? "" : isOwn ? "" : question.answer;
    makeChips(row, question);
    for (const input of row.chips.querySelectorAll("input")) input.checked = input.value === said;
    const isChoice = question.choices.some((choice) => choice.word === said);
    row.free.hidden = !question.is_free || question.name === "climate"; // a file is chosen or dropped
    row.also.hidden = row.free.hidden || !question.also;
    if (document.activeElement !== row.free || question.answer === row.free.value) row.free.value = isChoice && !question.mistake ? "" : said;
    row.free.setAttribute("aria-invalid", String(Boolean(question.mistake)));
    row.also.textContent = question.also ?? "";
    row.mistake.textContent = question.mistake ?? "";
    row.caution.textContent = question.caution ?? "";
    row.caution.hidden = !question.caution;
  }

  function showQuestions() {
    const { asked, answers } = app.plan, byHand = app.plan.text !== app.plan.made;
    fill(place.handmade, !answers ? [el("p", {}, "This plan was not made by these questions. Change it in its values or its text, or begin a new one:"),
      el("button", { type: "button", onclick: beginAnew }, "New plan by questions")]
      : byHand ? el("p", { class: "warning" }, "The plan has been changed by hand since. The next answer here writes it anew; Undo takes that back.") : null);
    place.form.hidden = !answers;
    if (!answers) return;
    const names = asked.map((question) => question.name);
    for (const question of asked) if (!place.asked.has(question.name)) place.asked.set(question.name, makeQuestion(question));
    if (names.join() !== place.order) {
      place.order = names.join();
      arrange(names.flatMap((name) => [PARTS[name] ? heading(name) : null, place.asked.get(name).box]).filter(Boolean));
    }
    asked.forEach(showQuestion);
  }

  const headings = new Map();
  function heading(name) {
    if (!headings.has(name)) headings.set(name, el("h2", {}, PARTS[name]));
    return headings.get(name);
  }

  // Moves nothing that stays, so that the focus does not get lost.
  function arrange(nodes) {
    for (const node of [...place.form.children]) if (!nodes.includes(node)) node.remove();
    nodes.forEach((node, i) => { if (place.form.children[i] !== node) place.form.insertBefore(node, place.form.children[i] ?? null); });
  }

  async function beginAnew() {
    const answer = await engine.call({ do: "questions", answers: {}, files: {}, today: app.today() });
    if (!answer.ok) return;
    app.addPlan({ name: "my-flies.yaml", files: {}, text: answer.plan, made: answer.plan, answers: {}, asked: answer.questions });
    showQuestions();
  }

  // ---- the climate: a file, or highs and lows -------------------------------------------------------------------------

  function ownClimate() {
    const file = el("input", { type: "file", id: "weather-file", hidden: true, onchange: () => { takeWeather(file.files[0]); file.value = ""; } });
    place.weather = el("p", { class: "small", role: "status" });
    const drop = el("div", { class: "drop" }, el("button", { type: "button", onclick: () => file.click() }, "Weather or logger file ..."), file,
      el("p", { class: "small" }, "Daily highs and lows of your own, or of a station near you. A file can also be dropped here."), place.weather);
    app.dropsInto(drop, (files) => takeWeather(files[0]));
    place.sketched = el("p", { class: "small", role: "status" });
    return el("div", {}, place.sketched, drop, twelveMonths());
  }

  // Says what stands in place of a sketch; true if something does.
  function showOwnClimate(question, given) {
    const isFile = Boolean(given) && given.includes(".") && !question.mistake, isMonths = Boolean(app.plan.normals);
    if (!isFile) place.weather.textContent = "";
    else if (!place.weather.textContent) place.weather.textContent = `${given} is in use.`;
    if (!isMonths && !place.monthsSaid.textContent.includes("missing")) sayOfMonths("");
    return isFile || isMonths;
  }

  // The coldest and the warmest month of the climate chosen, from the plan as understood: that is what to choose by.
  function showMonths({ outline, facts }) {
    if (!place.sketched) return;
    const own = (text) => (facts.units === "us" ? text.replace(/[-\d.]+ degC \(([^)]*)\)/g, "$1") : text.replace(/ \([^)]*degF\)/g, ""));
    const months = /sketch/.test(outline) ? [...outline.matchAll(/^ *(January|July) +lows (.*)$/gm)].map(([, month, lows]) => `${month}: lows ${own(lows)}`) : [];
    place.sketched.textContent = months.length ? `This climate at your latitude and height: ${months.join("; ")}.` : "";
  }

  async function takeWeather(file) {
    if (!file) return;
    const name = app.fileName(file.name), text = await app.readText(file);
    if (text === null) return;
    place.weather.textContent = `Reading ${name} ...`;
    await ask({ climate: name }, { files: { ...app.plan.files, [name]: text }, normals: null });
    const question = (app.plan.asked ?? []).find((one) => one.name === "climate");
    if (question && question.mistake) { place.weather.textContent = ""; return; }
    const check = await app.checked();
    place.weather.textContent = check.ok ? check.facts.record_note ?? `${name} is in use.` : "";
  }

  function twelveMonths() {
    const input = (kind, m) => el("input", { type: "text", inputmode: "decimal", "aria-label": `${MONTHS[m]}, mean daily ${kind}`, "data-kind": kind, onchange: monthsChanged });
    place.months = el("table", { class: "months" }, el("thead", {}, el("tr", {}, ["Month", "mean high", "mean low"].map((word) => el("th", { scope: "col" }, word)))),
      el("tbody", {}, MONTHS.map((name, m) => el("tr", {}, el("th", { scope: "row" }, name), el("td", {}, input("high", m)), el("td", {}, input("low", m))))));
    place.monthsSaid = el("p", { class: "small", role: "status" });
    return el("details", {}, el("summary", {}, "Mean high and low of each month"),
      el("p", { class: "small" }, "From a climate table of a station near you, in the unit chosen above (degF or degC). Daily weather is made around them."), place.months, place.monthsSaid);
  }

  function sayOfMonths(text, isMistake = false) {
    if (!place.monthsSaid) return;
    place.monthsSaid.textContent = text;
    place.monthsSaid.className = isMistake ? "mistake" : "small";
  }

  function monthsChanged() {
    const read = (kind) => [...place.months.querySelectorAll(`[data-kind=${kind}]`)].map((input) => Number(input.value.trim().replace(",", ".").replace("−", "-") || NaN));
    const high = read("high"), low = read("low"), missing = high.concat(low).filter(Number.isNaN).length;
    sayOfMonths(missing ? `${missing} of 24 numbers are still missing.` : "");
    if (missing) return;
    const us = ((app.plan.asked ?? []).find((question) => question.name === "units") ?? {}).answer !== "kilograms";
    ask({ climate: "" }, { normals: `{unit: ${us ? "degF" : "degC"}, daily_high: [${high.join(", ")}], daily_low: [${low.join(", ")}]}` });
  }

  async function withNormals(text, normals) {
    let now = text.replace(/^# An invented climate.*\n# or the mean.*\n/m, "# Daily weather is made around these highs and lows.\n");
    for (const change of [{ path: "climate.normals", value: normals }, { path: "climate.sketch" }]) {
      const answer = await engine.call({ do: "set", plan: { text: now, name: app.plan.name, files: {} }, ...change });
      if (!answer.ok) return now;
      now = answer.text;
    }
    return now;
  }

  // ---- every value --------------------------------------------------------------------------------------------------

  const GROUPS = new Set(["group", "list", "actions"]); // what they have are rows of their own
  const groupOf = (key) => key.path.split(".").slice(0, -1).join(".");
  const isUsed = (key) => !key.is_default && !key.is_absent;

  const setValue = (path, value, said) => app.change(async (plan) => {
    place.edited = path;
    const answer = await engine.call({ do: "set", plan, path, value });
    if (answer.ok) { app.say(said ?? (value === null ? "Back to the default." : "Changed.")); return { text: answer.text }; }
    showKeyMistake(path, answer.error ?? (answer.mistakes[0] ?? {}).text ?? "This cannot be changed here.");
    return null;
  });

  // A value may be longer than a line of a phone: its field has as many lines as it needs.
  const LINE = 28; // letters
  function fitField(input) {
    if (input.tagName === "TEXTAREA") input.rows = Math.max(1, Math.ceil((input.value || input.placeholder).length / LINE));
  }

  function makeField(row, key) {
    const change = () => { const value = row.input.value.replace(/\s+/g, " ").trim(); if (value !== row.value) setValue(key.path, value === "" ? null : value); };
    const words = key.kind === "flag" ? ["yes", "no"] : key.kind === "switch" ? ["on", "off"] : key.words, about = { id: row.id, onchange: change, "aria-describedby": row.id + "-mistake" };
    if (words.length && ["word", "flag", "switch"].includes(key.kind))
      return el("select", about, el("option", { value: "" }), words.map((word) => el("option", { value: word }, word)));
    const field = { ...about, autocomplete: "off", autocapitalize: "off", spellcheck: "false" };
    if (words.length) return el("input", { ...field, type: "text", list: row.id + "-words" });
    return el("textarea", { ...field, rows: 1, class: "line", oninput: () => fitField(row.input), onkeydown: (event) => { if (event.key === "Enter") { event.preventDefault(); change(); } } });
  }

  function makeKey(key) {
    const row = { id: "key-" + key.path.replace(/[^\w]/gu, (c) => (c === "." || c === " " ? "_" : "_" + c.codePointAt(0))), path: key.path, value: "" };
    row.input = makeField(row, key);
    row.mark = el("span", { class: "mark" });
    row.whole = el("p", { class: "small" }); // what a closed list cuts off
    row.mistake = el("p", { class: "mistake", id: row.id + "-mistake" });
    row.back = el("button", { type: "button", class: "link", onclick: () => setValue(key.path, null) }, "Back to default");
    row.show = el("button", { type: "button", class: "link", onclick: () => app.openLine(row.line, 1) }, "Show in the text");
    const isWhole = key.example && !key.example.includes("..."); // an example that can be taken as it is
    row.take = isWhole ? el("button", { type: "button", class: "link", onclick: () => setValue(key.path, key.example) }, "Take the example") : el("span");
    row.accepts = el("p", { class: "small" });
    const help = el("details", {}, el("summary", {}, "What is this?", el("span", { class: "hidden" }, " " + key.name)), el("p", { class: "small" }, app.onPage(key.help)), row.accepts, el("div", { class: "row" }, row.take, row.back, row.show));
    const words = key.words.length && row.input.tagName === "INPUT" ? el("datalist", { id: row.id + "-words" }, key.words.map((word) => el("option", { value: word }))) : null;
    row.box = el("div", { class: "plan-key", "data-words": `${key.label} ${key.name} ${key.help}`.toLowerCase() },
      el("label", { for: row.id }, key.name.replaceAll("_", " "), row.mark), row.input, words, row.whole, row.mistake, help);
    return row;
  }

  // A default is shown behind an empty field: it may be a sentence.
  function showKey(key) {
    const row = place.keys.get(key.path), used = isUsed(key);
    row.value = used ? key.value ?? "" : "";
    row.line = key.line;
    if (document.activeElement !== row.input || place.edited === key.path) row.input.value = row.value;
    if (row.input.tagName === "SELECT") {
      row.input.options[0].textContent = used || (key.value ?? "").length > LINE ? "(default)" : key.is_absent ? "" : `${key.value ?? ""} (default)`;
      if (row.input.value !== row.value) { row.input.append(el("option", { value: row.value }, row.value)); row.input.value = row.value; }
    } else row.input.placeholder = app.ownUnits(key.value ?? "");
    row.whole.textContent = row.input.tagName === "SELECT" && (key.value ?? "").length > LINE ? `${used ? "" : "Default: "}${key.value}.` : "";
    fitField(row.input);
    row.accepts.textContent = key.accepts ? app.ownUnits(`Accepts ${key.accepts}${key.example ? ", for example " + (key.example_shown ?? key.example) : ""}.`) : "";
    row.mark.textContent = key.is_default ? "default" : key.is_absent ? "not set" : "";
    row.box.classList.toggle("quiet", !used);
    row.back.hidden = !used || key.is_required;
    row.take.hidden = used;
    row.show.hidden = !key.line;
    row.mistake.textContent = "";
    row.input.setAttribute("aria-invalid", "false");
  }

  function showKeyMistake(path, text) {
    const row = place.keys.get(path);
    if (!row) return;
    row.mistake.textContent = text;
    row.input.setAttribute("aria-invalid", "true");
    const group = row.box.closest("details.group");
    if (group) group.open = true;
  }

  // ---- groups of values, and items of lists -------------------------------------------------------------------------

  const quoted = (value) => (/^[[{]/.test(value) || !/[,:#"'{}[\]]/.test(value) ? value : JSON.stringify(value));

  // A copy of an item goes behind the last: what is written directly in it, under a name of its own.
  function copyItem(list, keys, n) {
    const names = new Set([...place.keys.values()].filter((row) => row.path.endsWith(".name")).map((row) => row.value));
    const parts = keys.filter((key) => isUsed(key) && !GROUPS.has(key.kind)).map((key) => {
      let value = key.value;
      for (let k = 2; key.name === "name" && names.has(value); k++) value = `${key.value} ${k}`;
      return `${key.name}: ${quoted(value)}`;
    });
    setValue(`${list}.${n + 1}`, `{${parts.join(", ")}}`, "Added.");
  }

  // Items of a list: their group's path ends in a number, or in the name of a bin or place.
  function listOf(path, keys) {
    const at = path.lastIndexOf("."), last = path.slice(at + 1);
    const isItem = at > 0 || /^\d+$/.test(last) ? /^\d+$/.test(last) || keys.some((key) => key.name === "name" && key.value === last) : false;
    return isItem ? path.slice(0, at) : null;
  }

  function titleOf(label, keys, isItem) {
    const used = keys.filter(isUsed), said = isItem ? used.slice(0, 3).map((key) => key.value).join(", ") : "";
    const name = label === "scenario" || label === "" ? "The plan" : label[0].toUpperCase() + label.slice(1).replaceAll("_", " ");
    return said ? `${name}: ${said}` : name;
  }

  function makeGroup(path, keys, n, isOpen) {
    const used = keys.filter((key) => !key.is_absent), unused = keys.filter((key) => key.is_absent), list = listOf(path, keys);
    const boxes = (some) => el("div", { class: "keys" }, some.map((key) => place.keys.get(key.path).box));
    const isFlat = list !== null && list !== "places";
    const title = el("summary", {}, titleOf(keys[0].label, keys, list !== null));
    place.titles.set(path, title);
    return el("details", { class: "group", "data-path": path, open: isOpen }, title,
      boxes(used),
      unused.length ? el("details", { class: "unused" }, el("summary", { class: "small" }, `${unused.length} more that could be set`), boxes(unused)) : null,
      list !== null ? el("div", { class: "row" },
        isFlat ? el("button", { type: "button", onclick: () => copyItem(list, keys, n) }, "Add another like this") : null,
        n > 1 ? el("button", { type: "button", onclick: () => setValue(path, null, "Removed.") }, "Remove this") : null) : null);
  }

  function groupsOf(keys) {
    const groups = new Map();
    for (const key of keys) groups.set(groupOf(key), [...(groups.get(groupOf(key)) ?? []), key]);
    return groups;
  }

  // The groups in the order of the plan; what could be added is folded.
  function arrangeKeys(keys) {
    const groups = groupsOf(keys), open = new Set([...place.list.querySelectorAll("details.group[open]")].map((node) => node.dataset.path)), count = new Map();
    for (const [path, list] of groups) { const name = listOf(path, list); if (name !== null) count.set(name, (count.get(name) ?? 0) + 1); }
    fill(place.list, [...groups].map(([path, list]) => makeGroup(path, list, count.get(listOf(path, list)) ?? 0, open.has(path) || (!open.size && path === "period"))));
  }

  function showKeys(answer) {
    const keys = answer.keys.filter((key) => !GROUPS.has(key.kind) || key.is_default || key.is_absent);
    const order = keys.map((key) => key.path + (key.is_absent ? "-" : "+") + (/\.name$|^\w+\.\d+\.\w+$/.test(key.path) ? key.value : "")).join();
    const before = document.activeElement;
    if (order !== place.keyOrder) {
      place.keyOrder = order;
      const old = place.keys;
      place.keys = new Map(keys.map((key) => [key.path, old.get(key.path) ?? makeKey(key)]));
      arrangeKeys(keys);
      if (before && before.id && before !== document.activeElement && byId(before.id)) byId(before.id).focus({ preventScroll: true });
      find();
    }
    keys.forEach(showKey);
    for (const [path, list] of groupsOf(keys)) place.titles.get(path).textContent = titleOf(list[0].label, list, listOf(path, list) !== null);
    place.edited = null;
  }

  function find() {
    const word = place.search.value.trim().toLowerCase();
    for (const box of place.list.querySelectorAll(".plan-key")) box.hidden = word !== "" && !box.dataset.words.includes(word);
    for (const group of place.list.querySelectorAll("details.group")) {
      const has = [...group.querySelectorAll(".plan-key")].some((box) => !box.hidden);
      group.hidden = !has;
      if (word !== "" && has) group.open = true;
      for (const unused of group.querySelectorAll("details.unused")) unused.open = word !== "" && [...unused.querySelectorAll(".plan-key")].some((box) => !box.hidden);
    }
  }

  // ---- the text -----------------------------------------------------------------------------------------------------

  function typed() {
    clearTimeout(place.typing);
    place.typing = setTimeout(takeText, TYPING_MS);
  }
  function takeText() {
    clearTimeout(place.typing);
    place.typing = 0;
    app.setPlan({ text: place.text.value }, { quiet: true });
  }

  app.openLine = (line, column = 1) => {
    if (app.now !== "place") app.go("place");
    view("text");
    setTimeout(() => { // after the screen is shown
      const lines = place.text.value.split("\n"), from = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0);
      place.text.focus({ preventScroll: true });
      place.text.setSelectionRange(from + Math.min(column - 1, (lines[line - 1] ?? "").length), from + (lines[line - 1] ?? "").length);
      const height = parseFloat(getComputedStyle(place.text).lineHeight);
      place.text.scrollTop = Math.max(0, (line - 4) * height);
      place.text.scrollIntoView({ block: "nearest" });
    }, 60);
  };

  // ---- in step ------------------------------------------------------------------------------------------------------

  // The field of a mistake: that of its path, whose items the reader numbers, else the first of its line.
  function rowOf(mistake) {
    const rows = [...place.keys.values()], name = (mistake.path ?? "").split(".").at(-1), here = rows.filter((row) => row.line === mistake.line);
    return place.keys.get(mistake.path) ?? here.find((row) => row.path.endsWith("." + name)) ?? here[0];
  }

  async function checkNow() {
    const turn = ++place.turn, answer = await app.checked();
    if (turn !== place.turn) return;
    place.mistakes = answer.ok ? [] : answer.mistakes ?? [];
    fill(place.problem, answer.ok ? null : app.problem(answer));
    const ofMonths = place.mistakes.find(({ path }) => (path ?? "").startsWith("climate.normals"));
    if (app.plan.normals) sayOfMonths(ofMonths ? ofMonths.text : "The highs and lows of each month are in use.", Boolean(ofMonths));
    for (const node of [place.outline, place.paper]) fill(node, answer.ok ? app.onPage(answer.outline) : "The plan has a mistake.");
    if (answer.ok) { showKeys(answer); showMonths(answer); place.shown = app.plan.id; return; }
    if (app.plan.id !== place.shown) { // the values are those of another plan
      Object.assign(place, { keys: new Map(), keyOrder: "" });
      fill(place.list);
    }
    if (!place.mistakes.length) return;
    for (const row of place.keys.values()) row.mistake.textContent = "";
    for (const mistake of place.mistakes) {
      const row = place.keys.get(place.edited) ?? rowOf(mistake);
      if (row) showKeyMistake(row.path, mistake.text);
    }
  }

  // ---- the screen ---------------------------------------------------------------------------------------------------

  // Which part is shown; the text is also beside the others where there is room.
  function view(name) {
    place.root.dataset.view = name;
    const input = place.root.querySelector(`input[name=place-view][value=${name}]`);
    if (input) input.checked = true;
    if (name === "questions") showQuestions();
  }

  function make(root) {
    place.root = root;
    root.classList.add("place");
    place.form = el("div", { class: "questions" });
    place.handmade = el("div");
    place.problem = el("div", { class: "problems", role: "status" });
    place.list = el("div");
    place.search = el("input", { type: "text", id: "find-key", autocomplete: "off", oninput: find });
    place.text = el("textarea", { id: "plan-text", spellcheck: "false", autocomplete: "off", autocapitalize: "off", rows: 26, oninput: typed, onchange: takeText });
    place.outline = el("pre", { tabindex: 0 });
    place.paper = el("pre", { class: "paper" }); // of a form, paper shows what is understood
    place.undo = el("button", { type: "button", onclick: () => { if (!app.undo()) app.note("There is nothing to undo."); } }, "Undo");
    const tab = (value, text) => el("label", {}, el("input", { type: "radio", name: "place-view", value, onchange: () => view(value) }), el("span", {}, text));
    root.append(
      el("p", {}, "Answer what you know. A question that you skip keeps the answer shown. Every answer can be changed later."),
      el("fieldset", { class: "tabs" }, el("legend", { class: "hidden" }, "What to fill in"), tab("questions", "Questions"), tab("values", "All values"), tab("text", "Text")),
      el("div", { class: "row" }, place.undo, examplePicker()),
      place.problem, place.paper,
      el("div", { class: "halves" },
        el("div", { class: "half" },
          el("section", { class: "questions-part", "aria-label": "Questions" }, place.handmade, place.form),
          el("section", { class: "values-part", "aria-label": "All values" }, el("label", { for: "find-key" }, "Find a value"), place.search, place.list)),
        el("section", { class: "half text-part", "aria-labelledby": "plan-text-name" }, el("label", { for: "plan-text", id: "plan-text-name" }, "The plan as text (YAML)"), place.text,
          el("details", {}, el("summary", {}, "The plan as understood"), place.outline))));
    place.text.value = app.plan.text;
    view(app.plan.answers ? "questions" : "values");
    checkNow();
  }

  function planIsNew(plan) {
    if (!place.root) return;
    if (place.text.value !== plan.text && !place.typing) place.text.value = plan.text;
    showQuestions();
    checkNow();
  }

  app.screen({ name: "place", title: "Your place", make, onPlan: planIsNew, hide: () => { if (place.typing) takeText(); } });
}
