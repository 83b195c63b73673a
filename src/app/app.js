/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// The shell of the page: state, navigation, messages, and what every screen shares.
//
// A screen is a file app_NAME.js in a block of its own, { ... }, that calls app.screen() with
//
//   name      one word, the address of the screen: "forecast" is at #forecast (one of ORDER below)
//   title     its heading, also in the navigation
//   make(root)    optional: builds the screen once, in `root`, before it is first shown
//   show(root)    optional: each time it is opened
//   hide()        optional: each time it is left
//   onPlan(plan)      optional: the current plan has another text, name or file (also while the screen is hidden)
//   onForecast(answer)    optional: app.setForecast() was called, with null when the plan has changed since
//   onLog()       optional: app.setLog() was called
//
// State (read it, change it by the functions):
//   app.plan       {name, text, files: {"record.csv": "..."}}: the current plan, a new object after each change
//   app.plans      all open plans; app.at is the place of the current one
//   app.forecast   the last answer of {do: "run"}, null after a change of the plan
//   app.guess      the keeper's guess, {alive: 0 to 100, plan: text}, or null
//   app.log        the keeper's notes, {name, rows: [{date, what, value, where, days}]}
// Functions:
//   app.setPlan({text, name, files}, {quiet})  changes what is given; app.undo(); app.addPlan(plan); app.choosePlan(i); app.closePlan(i)
//   app.change(make)  sets what the promise of make(plan) brings; begins when the changes before it are done, so that none gets lost
//   app.settled()  a promise that is kept when all of them are done
//   app.checked()  a promise of the answer of {do: "check"} for the current plan, asked once for each text
//   app.setForecast(answer)
//   app.go(name)   opens a screen
//   app.say(text)  for those who listen;  app.note(text)  the same, shown for a while
//   app.problem(answer)  an element with the mistakes or the error of an answer that is not ok; a tap on a mistake opens its line
//   app.running(what, stop)  a bar: {element, event(e), end()}; give `event` to engine.call() as onEvent
//   app.command(text)  the command that repeats it, folded
//   app.download(name, content, type), app.print();  app.today()  2026-09-15
//   app.fileName(name)  a file's name as it can stand in a plan;  app.dropsInto(node, take)  files dropped on a node
//   app.readText(file)  a promise of what is in it; of null, and a note, if it is too large or no text
//   app.futures(n)  "64 futures"; "64 years" if the plan has one year, as the program calls them
//   app.onPage(text)  a sentence of the program with screens in place of commands and the keeper's unit first;  app.rewrite(node)  the
//                  same for all text in a node
//   app.ownUnits(text)  "23 kg (50 lb)" as "50 lb (23 kg)" for a plan in pounds
//   app.guessed(alive)  a sentence on the guess, where it has one for this plan: "You guessed 60: 32 too few."
//   el(tag, {attribute: value}, ...children)   class, for, hidden ...; on* with a function; children: nodes, texts, null
//   report(html)   a <div class="report"> of HTML that the engine made, without any script or style in it
//   fill(node, ...children)   replaces what is in it;  refill() keeps the focus on the control that has the same place

// ---- elements -------------------------------------------------------------------------------------------------------

const byId = (id) => document.getElementById(id);

function el(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function") node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

function fill(node, ...children) {
  node.replaceChildren(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

function refill(node, ...children) {
  const controls = () => [...node.querySelectorAll("input, select, button, summary")], at = controls().indexOf(document.activeElement);
  fill(node, ...children);
  if (at >= 0) controls().slice(0, at + 1).at(-1)?.focus({ preventScroll: true });
  return node;
}

// What the engine writes is escaped; this is a second lock.
const FORBIDDEN = "script, style, link, meta, base, iframe, object, embed, form, foreignObject";

function report(html) {
  const box = el("div", { class: "report" }), made = new DOMParser().parseFromString(html, "text/html");
  made.querySelectorAll(FORBIDDEN).forEach((node) => node.remove());
  for (const node of made.querySelectorAll("*"))
    for (const { name, value } of [...node.attributes])
      if (/^on/i.test(name) || name === "style" || (/(^|:)href$/i.test(name) && !value.startsWith("#"))) node.removeAttribute(name);
  box.append(...[...made.body.childNodes].map((node) => document.adoptNode(node)));
  box.addEventListener("click", followInside);
  return box;
}

// A link to a section of the same report; another screen may have a section of that name.
function followInside(event) {
  const link = event.target.closest("a[href^='#']");
  if (!link) return;
  event.preventDefault();
  const section = event.currentTarget.querySelector("#" + CSS.escape(link.getAttribute("href").slice(1)));
  if (!section) return;
  const head = section.querySelector("h2, h3") ?? section;
  head.tabIndex = -1;
  head.focus({ preventScroll: true });
  head.scrollIntoView();
}

// ---- state ----------------------------------------------------------------------------------------------------------

const ORDER = ["place", "guess", "forecast", "compare", "size", "cheapest", "work", "log", "teach", "save"];
const MOST_UNDO = 100;

const app = {
  engine,
  order: ORDER,
  screens: {},
  plans: [{ name: "my-flies.yaml", text: "", files: {} }],
  at: 0,
  past: [],
  forecast: null,
  guess: null,
  log: { name: "my-log.csv", rows: [] },
  now: null,
  get plan() { return app.plans[app.at]; },
};
window.app = app;

app.screen = (screen) => { app.screens[screen.name] = screen; };

function tellAll(event, value) {
  for (const name of ORDER) {
    const screen = app.screens[name];
    if (screen && screen[event]) screen[event](value);
  }
}

function planChanged({ isRenamed = false } = {}) {
  byId("plan-name").textContent = app.plans.length > 1 ? `${app.plan.name} (${app.at + 1} of ${app.plans.length})` : app.plan.name;
  for (const heading of document.querySelectorAll("main h1")) heading.dataset.plan = app.plan.name; // on paper
  if (app.forecast && !isRenamed) app.setForecast(null);
  tellAll("onPlan", app.plan);
}

// `quiet`: a change by typing, of which a whole row is one step for undo.
let lastQuiet = 0;
app.setPlan = (change, { quiet = false } = {}) => {
  const before = app.plan, next = { ...before, ...change };
  if (next.text === before.text && next.name === before.name && next.files === before.files) {
    Object.assign(before, change); // what belongs to a plan without being it: the answers that made it
    return;
  }
  const goesOn = quiet && performance.now() - lastQuiet < 1500;
  lastQuiet = quiet ? performance.now() : 0;
  if (!goesOn && before.text !== "") app.past.push({ plans: [...app.plans], at: app.at });
  if (app.past.length > MOST_UNDO) app.past.shift();
  app.plans = app.plans.map((plan, i) => (i === app.at ? next : plan));
  planChanged({ isRenamed: next.text === before.text && next.files === before.files });
};

app.undo = () => {
  const before = app.past.pop();
  if (!before) return false;
  Object.assign(app, before);
  lastQuiet = 0;
  planChanged();
  return true;
};

function changePlans(plans, at) {
  app.past.push({ plans: app.plans, at: app.at });
  Object.assign(app, { plans, at });
  planChanged();
}

// Two plans never have the same name: a comparison and a folder need names.
function freeName(name) {
  const taken = (word) => app.plans.some((plan) => plan.name === word);
  for (let k = 2, word = name; ; k++) {
    if (!taken(word)) return word;
    word = name.replace(/(\.ya?ml)?$/, `-${k}$1`);
  }
}
let ids = 0;
const newPlan = (plan) => ({ files: {}, ...plan, id: ++ids });
app.addPlan = (plan) => changePlans([...app.plans, newPlan({ ...plan, name: freeName(plan.name) })], app.plans.length);
app.choosePlan = (i) => { if (i !== app.at) { app.at = i; lastQuiet = 0; planChanged(); } };
app.closePlan = (i) => {
  if (app.plans.length < 2) return;
  changePlans(app.plans.filter((_, k) => k !== i), Math.max(0, app.at > i ? app.at - 1 : Math.min(app.at, app.plans.length - 2)));
};

let changes = Promise.resolve();
app.change = (make) => {
  const { id } = app.plan; // not another that is chosen meanwhile
  const done = changes.then(async () => {
    const before = app.plan, change = before.id === id ? await make(before) : null;
    if (change && app.plan === before) app.setPlan(change);
  });
  changes = done.catch(() => {});
  return done;
};
app.settled = () => changes;

app.setLog = (log) => {
  app.log = log;
  tellAll("onLog");
};

// One question for each text: several screens ask.
let known = { plan: null, answer: null };
app.checked = () => {
  if (known.plan !== app.plan) {
    known = { plan: app.plan, answer: engine.call({ do: "check", plan: app.plan }) };
    known.answer.then((answer) => { days = answer.facts?.days ?? days; isUs = (answer.facts?.units ?? (isUs ? "us" : "")) === "us"; });
  }
  return known.answer;
};

// What the program calls one life of a plan: wg_replicates_noun().
const ONE_YEAR = [360, 370];
let days = 0, isUs = false; // of the plan checked last
app.futures = (n) => `${Math.round(n).toLocaleString("en-US")} ${days >= ONE_YEAR[0] && days <= ONE_YEAR[1] ? "year" : "future"}${Math.round(n) === 1 ? "" : "s"}`;

app.setForecast = (answer) => {
  app.forecast = answer;
  tellAll("onForecast", answer);
};

// ---- words of the program -------------------------------------------------------------------------------------------

// Its sentences name commands and options; here these are screens and fields.
const ON_PAGE = [
  [/:? see wintergrub help \w+|:? wintergrub help scenario \w+| \(wintergrub help \w+\)/g, ""],
  [/The result file is enough to reproduce these numbers: wintergrub rerun\./g, "The plan, saved under Save and open, gives these numbers again, here and in the installed program."],
  [/The same command with the same scenario and seed gives the same answer\./g, "The same plan with the same seed gives the same answer."],
  [/`?wintergrub cheapest`?/g, "Cheapest winter"], [/`?wintergrub size`?/g, "How many to start?"], [/`?wintergrub compare`?/g, "Compare"],
  [/give the range to search with --between LOW HIGH/g, "give the range to search under Range and effort"],
  [/ \([a-z_]+\.[^(),]*, ([^()]*) in the scenario\.\)/g, " (now $1)"], [/--between sets/g, "From and To set"],
  [/--between names the smaller value first/g, "From is the smaller value"],
  [/Add a column days with the number of days that it covers/g, "Note it again with Over how many days: the number that it covers"],
  [/Use more --replicates/g, "Choose more that judge a plan"], [/more --replicates may\./g, "more of them may."],
  [/if that is enough for you, add --any-survivor/g, "if that is enough for you, tick Any survivor is enough"],
  [/--any-survivor/g, "Any survivor is enough"], [/--at-most/g, "Effort"], [/--vary /g, ""], [/--between/g, "From and To"], [/--replicates/g, "the number of futures"], [/\breplicates\b/g, "futures"],
];
app.onPage = (text) => app.ownUnits(ON_PAGE.reduce((now, [before, after]) => now.replace(before, after), text));

// The program writes both units, the metric one first: "23 kg (50 lb)", "2 to 3 kg (4.4 to 6.6 lb)", "\u221283.8 g (2.96 oz)".
const UNITS = { kg: "lb", g: "oz", L: "gal", m: "ft", mm: "in", cm: "in", m2: "ft2", m3: "ft3", degC: "degF", "\u00b0C": "\u00b0F", "per kg": "per lb", "W/(m2 K)": "Btu/(h ft2 degF)", "m2 K/W": "h ft2 degF/Btu" };
const oneOf = (words) => words.map((word) => word.replace(/[()]/g, "\\$&")).join("|");
const AMOUNT = "([-+\u2212]?)(\\d[\\d.,]*(?: to [-+\u2212]?\\d[\\d.,]*)?) ";
const BOTH_UNITS = new RegExp(`${AMOUNT}(${oneOf(Object.keys(UNITS))})(\\s+)\\(${AMOUNT}(${oneOf(Object.values(UNITS))})((?:, [a-z]+)?)\\)`, "g");
const TEMPERATURES = /C$/;

// "each kg more costs $26 ($23 to $29), each lb $12 ($10 to $13)", "a kg more is worth $26 to you (a lb $12)"
const PRICE_OF_BOTH = [[/each kg more (\w+) ([^;]*?), each lb ([^;]*?)(?=[;.]( |$))/g, "each lb more $1 $3, each kg $2"],
  [/a kg more is worth (.*?) to you \(a lb (.*?)\)/g, "a lb more is worth $2 to you (a kg $1)"]];

app.ownUnits = (text) => (!isUs ? text : PRICE_OF_BOTH.reduce((now, [before, after]) => now.replace(before, after), text).replace(BOTH_UNITS, (all, sign, amount, unit, space, usSign, usAmount, us, source) => {
  if (UNITS[unit] !== us) return all;
  const before = TEMPERATURES.test(unit) || usSign ? usSign : sign; // of a change only the first has its sign
  return `${before}${usAmount} ${us}${space}(${before === sign && !TEMPERATURES.test(unit) ? "" : sign}${amount} ${unit}${source})`;
}));

// In a table with a column or a row in kg and the next in lb, the two change places.
function poundsFirst(table) {
  const rows = [...table.rows], heads = [...(rows[0]?.cells ?? [])].map((cell) => cell.textContent);
  heads.forEach((head, i) => {
    if (/(^|, |\[)kg\]?$/.test(head) && /(^|, |\[)lb\]?$/.test(heads[i + 1] ?? "")) for (const { cells } of rows) if (cells[i + 1]) cells[i + 1].after(cells[i]);
  });
  for (const [i, row] of rows.entries())
    if (/ kg$/.test(row.cells[1]?.textContent) && / lb$/.test(rows[i + 1]?.cells[1]?.textContent)) {
      rows[i + 1].cells[0].replaceWith(row.cells[0].cloneNode(true));
      rows[i + 1].after(row);
    }
}

// Not in a copy of the plan or of what the program prints.
app.rewrite = (node) => {
  const walker = document.createTreeWalker(node, NodeFilter.SHOW_TEXT);
  for (let text = walker.nextNode(); text; text = walker.nextNode())
    if (/wintergrub|--|replicates|same command| \(/.test(text.data) && !text.parentElement.closest("pre")) text.data = app.onPage(text.data);
  for (const cell of node.querySelectorAll("[data-head]")) cell.dataset.head = app.onPage(cell.dataset.head);
  if (!isUs) return node;
  for (const amount of node.querySelectorAll("[data-us]")) amount.textContent = amount.dataset.us;
  node.querySelectorAll("table").forEach(poundsFirst);
  return node;
};

// ---- messages -------------------------------------------------------------------------------------------------------

app.say = (text) => {
  byId("live").textContent = "";
  setTimeout(() => { byId("live").textContent = text; }, 30);
};

let noted = 0;
app.note = (text) => {
  byId("note").textContent = text;
  clearTimeout(noted);
  noted = setTimeout(() => { byId("note").textContent = ""; }, 8000);
};

function mistakeRow(mistake) {
  const where = mistake.line ? `Line ${mistake.line}: ` : "";
  return el("li", {},
    mistake.line ? el("button", { type: "button", class: "link", onclick: () => app.openLine(mistake.line, mistake.column) }, where + app.onPage(mistake.text)) : where + app.onPage(mistake.text),
    mistake.hint ? el("p", { class: "hint" }, mistake.hint) : null);
}

app.problem = (answer) => {
  const mistakes = answer.mistakes ?? [];
  if (!mistakes.length) return el("p", { class: "warning" }, app.onPage(answer.error ?? "This did not work."));
  return el("div", { class: "warning" }, el("p", {}, mistakes.length === 1 ? "The plan has a mistake." : `The plan has ${mistakes.length} mistakes.`),
    el("ul", { class: "mistakes" }, mistakes.map(mistakeRow)));
};

// Opens the plan's text at a line; app_place.js replaces it.
app.openLine = () => app.go("place");

app.running = (what, stop) => {
  const bar = el("progress", { "aria-label": what }), words = el("p", { class: "small" }, what);
  const button = el("button", { type: "button", onclick: stop }, "Stop");
  const element = el("div", { class: "running" }, bar, button, words);
  let spoken = 0;
  return {
    element,
    event(e) {
      if (e.progress === undefined) return;
      bar.max = e.of;
      bar.value = e.progress;
      words.textContent = `${e.doing ?? what}: ${e.progress} of ${e.of}`;
      if (performance.now() - spoken < 5000) return;
      spoken = performance.now();
      app.say(words.textContent);
    },
    end() { element.remove(); },
  };
};

app.command = (text) => el("details", { class: "command" }, el("summary", {}, "The command that repeats this"), el("pre", { tabindex: 0 }, text),
  el("p", { class: "small" }, "With the saved plan beside it, the installed program gives the same numbers."));

app.download = (name, content, type = "text/plain") => {
  const url = URL.createObjectURL(content instanceof Blob ? content : new Blob([content], { type: type + ";charset=utf-8" }));
  const link = el("a", { href: url, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60000);
  app.note(`Saved as ${name}.`);
};

app.today = () => new Date().toLocaleDateString("sv"); // 2026-09-15, as the keeper's clock has it

app.print = () => window.print();

// Letters of one alphabet only, and first one of them: a command takes a name that begins with - for an option.
app.fileName = (name) => name.replace(/^.*[/\\]/, "").replace(/[^\w.-]+/g, "-").replace(/^[-.]*(?=\.|$)/, "file").replace(/^[-.]+/, "");

const MOST_BYTES = 20e6;
const UTF_16 = { "255,254": "utf-16le", "254,255": "utf-16be" }; // by the first two bytes: what some loggers write

app.readText = async (file) => {
  if (file.size > MOST_BYTES) { app.note(`${file.name} has more than 20 MB.`); return null; }
  const bytes = new Uint8Array(await file.arrayBuffer()), text = new TextDecoder(UTF_16[bytes.slice(0, 2).join()] ?? "utf-8").decode(bytes);
  if (!text.includes("\0")) return text;
  app.note(`${file.name} is no text file. Save the table as CSV, then open that.`);
  return null;
};

app.dropsInto = (node, take) => {
  node.addEventListener("dragover", (event) => { event.preventDefault(); node.classList.add("over"); });
  node.addEventListener("dragleave", () => node.classList.remove("over"));
  node.addEventListener("drop", (event) => {
    event.preventDefault();
    node.classList.remove("over");
    if (event.dataTransfer.files.length) take([...event.dataTransfer.files]);
  });
};

// ---- navigation -----------------------------------------------------------------------------------------------------

const listed = () => ORDER.filter((name) => app.screens[name]);

function openMenu(open) {
  byId("menu").setAttribute("aria-expanded", String(open));
  byId("nav").classList.toggle("open", open);
}

function makeScreen(name) {
  const screen = app.screens[name], after = listed()[listed().indexOf(name) + 1];
  const root = el("div", { class: "body" });
  const section = el("section", { class: "screen", id: "screen-" + name, "aria-labelledby": "title-" + name },
    el("h1", { id: "title-" + name, tabindex: -1 }, screen.title), root,
    after ? el("p", { class: "next" }, el("a", { class: "button", id: "after-" + name, href: "#" + after }, "Next: " + app.screens[after].title)) : null);
  byId("main").append(section);
  Object.assign(screen, { root, section });
  byId("title-" + name).dataset.plan = app.plan.name;
  if (screen.make) screen.make(root);
}

function openScreen(name, focus) {
  const screen = app.screens[name], before = app.screens[app.now];
  if (before && before !== screen) {
    before.section.hidden = true;
    if (before.hide) before.hide();
  }
  app.now = name;
  if (!screen.section) makeScreen(name);
  screen.section.hidden = false;
  document.documentElement.dataset.screen = name;
  document.title = screen.title + " – wintergrub";
  byId("menu-name").textContent = screen.title;
  for (const link of byId("nav-list").querySelectorAll("a"))
    if (link.hash === "#" + name) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  openMenu(false);
  if (screen.show) screen.show(screen.root);
  if (!focus) return;
  window.scrollTo(0, 0);
  byId("title-" + name).focus({ preventScroll: true });
}

// Without one it is the first screen, as after the last step back; one that is no screen is a place inside one.
function followAddress(focus) {
  const name = location.hash.slice(1);
  if (app.screens[name]) openScreen(name, focus);
  else if (!app.now || name === "") openScreen(listed()[0], focus);
}

app.go = (name) => {
  if (location.hash === "#" + name) openScreen(name, true);
  else location.hash = name;
};

// Plans kept in the browser, or a first one from the questions.
async function firstPlans() {
  const kept = app.keptPlans ? app.keptPlans() : null;
  if (kept) { Object.assign(app, { ...kept, plans: (await Promise.all(kept.plans.map(app.askAgain))).map(newPlan) }); return; }
  const answer = await app.firstPlan();
  if (!answer.ok) fill(byId("old"), answer.error ?? "The first plan could not be made.").hidden = false;
}

async function begin() {
  fill(byId("nav-list"), listed().map((name) => el("li", {}, el("a", { href: "#" + name }, app.screens[name].title))));
  byId("menu").addEventListener("click", () => openMenu(byId("menu").getAttribute("aria-expanded") !== "true"));
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || byId("menu").getAttribute("aria-expanded") !== "true") return;
    openMenu(false);
    byId("menu").focus();
  });
  window.addEventListener("hashchange", () => followAddress(true));
  document.querySelector(".skip").addEventListener("click", (event) => { event.preventDefault(); byId("main").focus(); });
  // A file dropped beside its place must not replace the page.
  for (const kind of ["dragover", "drop"]) window.addEventListener(kind, (event) => event.preventDefault());
  try {
    await firstPlans();
  } catch (error) {
    byId("old").hidden = false;
    console.error(error);
    return;
  }
  planChanged();
  followAddress(false);
  document.body.dataset.ready = "yes";
}

// The screens are registered by the rest of this script.
setTimeout(begin);
