/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// What the screens with long answers share: a question that runs, stops and remembers its plan; parts of a report;
// figures to take away; a key of the plan to choose.

const SVG_NAMES = "http://www.w3.org/2000/svg";

function draw(tag, attributes = {}, ...children) {
  const node = document.createElementNS(SVG_NAMES, tag);
  for (const [name, value] of Object.entries(attributes))
    if (value !== null && value !== undefined) node.setAttribute(name, value);
  node.append(...children.flat());
  return node;
}

const whole = (x) => Math.round(x).toLocaleString("en-US");
const plural = (n, word) => `${whole(n)} ${word}${Math.round(n) === 1 ? "" : "s"}`;
const stem = (name) => name.replace(/\.ya?ml$/i, "");

function samePlan(a, b) {
  if (!a || !b || a.text !== b.text) return false;
  const names = Object.keys(a.files ?? {});
  return names.length === Object.keys(b.files ?? {}).length && names.every((name) => a.files[name] === (b.files ?? {})[name]);
}

const changedSince = (plan) => (samePlan(plan, app.plan) ? null : plan.name === app.plan.name ? "The plan has changed since this answer." : `This is the answer for ${plan.name}, not for ${app.plan.name}.`);

// ---- one long question at a time ------------------------------------------------------------------------------------

const asking = { now: null };

// A question of a screen:
//   ask     the words of its button
//   doing   what runs, for the bar: "Comparing"
//   work    async (call, plan) => answer; `call(request, onEvent)` asks the engine
//   show    (out, answer, plan, below) fills `out` with the answer, and `below` with what needs the whole width
//   begin   optional: when it begins
//   changed optional: (plan, answer) => what has changed since, a sentence, or null; otherwise changedSince()
// Gives {controls, element, below, start(), onPlan(), clear()}: the button with its bar; notes and the answer; the rest of it.
function longQuestion({ ask, doing, work, show, begin, changed = changedSince }) {
  const start = el("button", { type: "button", class: "main", onclick: () => run() }, ask);
  const bar = el("div"), note = el("div"), out = el("div", { class: "out" });
  const question = { controls: el("div", { class: "asking" }, el("p", { class: "row" }, start), bar), element: el("div", {}, note, out), below: el("div", { class: "out" }), start: () => run(), plan: null, answer: null, isStopped: false, onPlan, out, doing };
  let shown = null; // the bar

  function stop() {
    question.isStopped = true;
    engine.stop();
  }

  // `onEvent` may return another event for the bar.
  function call(request, onEvent) {
    const told = (e) => (e.year === undefined ? e : { progress: e.year + 1, of: e.of, doing: "futures played" });
    if (question.isStopped) return Promise.resolve({ ok: false, stopped: true, error: "Stopped." }); // before the engine had anything to stop
    return engine.call(request, { onEvent: (e) => shown.event((onEvent && onEvent(e)) ?? told(e)) });
  }

  async function run() {
    if (asking.now) {
      app.note(`Something else is still running: ${asking.now.doing.toLowerCase()}. Wait for it, or stop it on its screen.`);
      return;
    }
    Object.assign(question, { isStopped: false });
    asking.now = question;
    shown = app.running(doing + " ...", stop);
    fill(bar, shown.element);
    fill(note);
    start.hidden = true;
    shown.element.querySelector("button").focus({ preventScroll: true });
    await app.settled(); // what was typed last may be on its way into the plan
    const plan = app.plan;
    let answer;
    try {
      if (begin) begin();
      answer = await work(call, plan);
    } catch (error) {
      answer = { ok: false, error: String(error.message ?? error) };
    }
    end(answer, plan);
  }

  function end(answer, plan) {
    const hadFocus = bar.contains(document.activeElement) || document.activeElement === document.body;
    asking.now = null;
    start.hidden = false;
    shown.end();
    if (answer && answer.ok) {
      Object.assign(question, { answer, plan });
      show(out, answer, plan, question.below);
      onPlan();
      const heading = out.querySelector("h2");
      if (heading && hadFocus && !question.element.closest("[hidden]")) {
        heading.tabIndex = -1;
        heading.focus({ preventScroll: true });
      }
      const first = out.querySelector(".answer") ?? out.querySelector("h3, p");
      app.say(`The answer has come. ${first?.textContent ?? ""}`);
    } else if (question.isStopped) {
      fill(note, el("p", { class: "warning" }, "Stopped."));
      app.say("Stopped.");
    } else if (answer) fill(note, app.problem(answer), question.answer ? el("p", { class: "small" }, "What follows is the answer before.") : null);
    if (hadFocus && document.activeElement === document.body) start.focus({ preventScroll: true });
  }

  // Says when the answer is not that of the plan as it is now.
  function onPlan() {
    if (!question.answer || asking.now === question) return;
    const what = changed(question.plan, question.answer);
    if (what === null) fill(note);
    else fill(note, el("div", { class: "warning stale" }, el("p", {}, what), el("button", { type: "button", onclick: () => run() }, "Ask again")));
  }

  // Forgets what went wrong.
  question.clear = () => { if (!question.answer) fill(note); };
  return question;
}

// ---- parts of a report ----------------------------------------------------------------------------------------------

// Two reports on one page may have sections and figures of the same name.
function scoped(box, prefix) {
  const moved = (id) => prefix + "-" + id;
  for (const node of box.querySelectorAll("[id]")) node.id = moved(node.id);
  for (const node of box.querySelectorAll("*"))
    for (const { name, value } of [...node.attributes]) {
      if (/^aria-(labelledby|describedby)$/.test(name)) node.setAttribute(name, value.split(" ").map(moved).join(" "));
      else if (/(^|:)href$/.test(name) && value.startsWith("#")) node.setAttribute(name, "#" + moved(value.slice(1)));
      else if (value.includes("url(#")) node.setAttribute(name, value.replace(/url\(#/g, "url(#" + prefix + "-"));
    }
  return box;
}

const headOf = (section) => section.querySelector("h2")?.textContent ?? "";

// The sections of a report: {lead: what stands before the first heading, sections, find(heading)}.
function sectionsOf(html, prefix) {
  const box = app.rewrite(scoped(report(html), prefix));
  box.querySelectorAll("nav, h1").forEach((node) => node.remove());
  const all = [...box.querySelectorAll("section")], sections = all.filter((section) => section.querySelector("h2"));
  return { lead: all.find((section) => !sections.includes(section)), sections, find: (head) => sections.find((section) => headOf(section).startsWith(head)) };
}

// Takes the heading and the answers from the beginning of a section, for a narrow column.
function beginningOf(section) {
  const nodes = [];
  for (const node of [...section.children]) {
    if (node !== section.firstElementChild && !node.matches("p.answer, p.warning")) break;
    nodes.push(node);
  }
  return el("section", {}, nodes);
}

// Puts sections under their headings, each folded; what was open stays open.
function foldSections(sections, before) {
  const open = new Set([...(before?.querySelectorAll("details.part[open] > summary") ?? [])].map((summary) => summary.textContent));
  return sections.map((section) => {
    const head = section.querySelector("h2"), name = head.textContent;
    const fold = el("details", { class: "part" }, el("summary", {}, name), section);
    head.remove();
    fold.open = open.has(name);
    return fold;
  });
}

// The text that the program prints for the same plan.
const printed = (text, command) => el("details", { class: "part" }, el("summary", {}, "As the program prints it"), el("pre", { tabindex: 0, class: "printed" }, text), command ? el("p", { class: "small" }, command) : null);

// ---- figures to take away -------------------------------------------------------------------------------------------

const PNG_SCALE = 2;

// Draws an SVG on a canvas; a data: image keeps the canvas readable.
async function pngOf(svg) {
  const image = new Image();
  image.src = "data:image/svg+xml;charset=utf-8," + encodeURIComponent(svg);
  await image.decode();
  const canvas = el("canvas", { width: PNG_SCALE * (image.naturalWidth || 1280), height: PNG_SCALE * (image.naturalHeight || 720) });
  const to = canvas.getContext("2d");
  to.fillStyle = "#fff";
  to.fillRect(0, 0, canvas.width, canvas.height);
  to.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((done) => canvas.toBlob(done, "image/png"));
}

const saveButton = (words, name, save) => el("button", { type: "button", "aria-label": `${words}: ${name}`, onclick: save }, words);

function figureRow(figure, name) {
  const file = `${name}-${figure.name}`;
  return el("li", {}, el("span", {}, app.ownUnits(figure.title)), el("span", { class: "takes" },
    saveButton("SVG", figure.title, () => app.download(file + ".svg", figure.svg, "image/svg+xml")),
    saveButton("PNG", figure.title, async () => app.download(file + ".png", await pngOf(figure.svg))),
    figure.csv ? saveButton("CSV", figure.title, () => app.download(file + ".csv", figure.csv, "text/csv")) : null));
}

// The answer as text, other files, [words, name, content, type], and figures, whose numbers are tables.
function takeAway(answer, name, files = []) {
  const rows = [["The answer as text", name + ".txt", answer.text], ...files].filter(([, , content]) => content).map(([words, file, content, type]) =>
    el("button", { type: "button", onclick: () => app.download(file, content, type) }, words));
  return el("details", { class: "part" }, el("summary", {}, "Save numbers and figures"), rows.length ? el("div", { class: "row" }, rows) : null,
    answer.figures?.length ? el("ul", { class: "figures-list" }, answer.figures.map((figure) => figureRow(figure, name))) : null);
}

const printButton = () => el("button", { type: "button", onclick: app.print }, "Print this screen");

// ---- choosing how many futures, and keys ----------------------------------------------------------------------------------------

function field(words, control, help) {
  const id = control.id || (control.id = "field-" + (field.count = (field.count ?? 0) + 1));
  if (help) control.setAttribute("aria-describedby", id + "-help");
  return el("p", { class: "field" }, el("label", { for: id }, words), control, help ? el("span", { class: "small", id: id + "-help" }, help) : null);
}

const option = (value, words, selected) => el("option", { value, selected }, words);

function yearsChoice(numbers) {
  return el("select", {}, option("", "as many as the plan says"), numbers.map((n) => option(n, app.futures(n))));
}

// Says how many the plan asks for, and what they are called.
function showPlanYears(select, check) {
  select.options[0].textContent = check.ok ? `${app.futures(check.facts.years)}, as the plan says` : "as many as the plan says";
  for (const one of [...select.options].slice(1)) one.textContent = app.futures(Number(one.value));
}

// ---- keys of the plan -----------------------------------------------------------------------------------------------

const NUMBERS = new Set(["quantity", "whole", "date", "year_day"]);
const CHANGEABLE = new Set([...NUMBERS, "word", "feed", "flag", "switch", "when", "money", "latitude"]);
const OFTEN = /(^starter\.\d+\.(count|mass|on|age)|^feeding\.\d+\.(amount|every)|\.(set_point|r_value|volume|floor|insulation|kind)|^keeping\.\d+\.(share|on|amount|give_back))$/;
// 1,000 would be two values.
const commaInNumber = (text) => (/\d,\d{3}(?!\d)/.test(text) ? { ok: false, error: "Write numbers without commas in them, and a space behind each comma between them: 1000, 2000." } : null);
const keyWords = (key) => key.name.replaceAll("_", " ");
const nameOf = (key) => (key.subject ? key.subject[0].toUpperCase() + key.subject.slice(1) : `${key.label}: ${keyWords(key)}`);
const isWritten = (key) => key.line > 0;
const valueNow = (key) => app.ownUnits(String(isWritten(key) ? key.value : key.shown ?? key.value)); // in the keeper's own units

// Fills a select with the keys that `can` be chosen, those that keepers change most first.
function keyChoice(select, keys, can, chosen) {
  const list = keys.filter((key) => !key.is_absent && key.value !== null && can(key)), groups = new Map();
  const often = list.filter((key) => OFTEN.test(key.path) && isWritten(key));
  for (const key of list) groups.set(key.label, [...(groups.get(key.label) ?? []), key]);
  const row = (words) => (key) => option(key.path, `${words(key)} (now ${valueNow(key).slice(0, 40)})`);
  fill(select, often.length ? el("optgroup", { label: "Often changed" }, often.map(row(nameOf))) : null,
    [...groups].map(([label, rows]) => el("optgroup", { label }, rows.map(row((key) => (key.subject ? nameOf(key) : keyWords(key)))))));
  if (list.some((key) => key.path === chosen)) select.value = chosen;
  return list;
}
