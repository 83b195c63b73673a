/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// A hundred futures as a hundred dots that fill while they are simulated; each opens its own. Dots that can be counted:
// Kay et al. 2016, CHI, doi:10.1145/2858036.2858558.

const DOTS = 100, DOTS_IN_ROW = 10;

// How a future ended: words of a list, colour (Okabe & Ito 2008, those of the program's figures), path of the mark in a square
// from 0 to 20. The causes are those of the program; marks differ in shape, too.
const ENDING = {
  alive: ["alive at the end", "#009E73", "M10 2a8 8 0 1 0 .01 0z"],
  cold: ["died out, most by cold", "#0072B2", "M3 3h14v14h-14z"],
  freezing: ["died out, most by frost", "#56B4E9", "M5 3h10l4 7-4 7h-10l-4-7z"],
  heat: ["died out, most by heat", "#D55E00", "M10 2l8.5 15.5h-17z"],
  hunger: ["died out, most by hunger", "#E69F00", "M10 1l9 9l-9 9l-9-9z"],
  raid: ["died out, most by raids", "#F0E442", "M10 18l8.5-15.5h-17z"],
  taken: ["died out, most taken out", "#7F7F7F", "M7 2h6v5h5v6h-5v5h-6v-5h-5v-6h5z"],
  "no eggs": ["died out, flies laid no eggs", "#CC79A7", "M10 1.5a8.5 8.5 0 1 0 .01 0zm0 4.5a4 4 0 1 1-.01 0z"],
  background: ["died out, everyday deaths", "#7F7F7F", "M2 7.5h16v5h-16z"],
  "old age": ["died out, of old age", "#999999", "M2 7.5h16v5h-16z"],
  died: ["died out, no one cause", "none", "M10 3a7 7 0 1 0 .01 0z"],
};
const endingOf = (life) => (life.alive ? "alive" : ENDING[life.cause] ? life.cause : "died");

const rank = (life) => Object.keys(ENDING).indexOf(endingOf(life));

const yearName = (life) => `Future ${life.year + 1}: ${ENDING[endingOf(life)][0]}`;

function dotMark(ending) {
  const [, colour, path] = ENDING[ending];
  return draw("svg", { viewBox: "0 0 20 20", "aria-hidden": "true" }, draw("path", { d: path, fill: colour, "fill-rule": "evenodd", stroke: "currentColor", "stroke-width": colour === "none" ? 2.5 : 1 }));
}

// A picture of up to a hundred futures. `open(life)` is called with {year, alive, cause, harvest_kg} when one is chosen.
function dotsOfYears(open) {
  const head = el("h2", {}, "A hundred possible futures"), counts = el("ul", { class: "counts" });
  const grid = el("div", { class: "dots-grid", onkeydown: key, onclick: tapped });
  const order = el("fieldset", { class: "tabs", onchange: () => { sorted = order.querySelector("input:checked").value === "sorted"; showAll(); } },
    el("legend", { class: "hidden" }, "Order of the dots"),
    [["as they came", "came"], ["sorted", "sorted"]].map(([words, value]) => el("label", {}, el("input", { type: "radio", name: "dots-order", value, checked: value === "came" }), el("span", {}, words))));
  const note = el("p", { class: "small noprint" });
  const element = el("section", { class: "dots-of-years", "aria-label": "Futures" }, head, el("div", { class: "dots-and-counts" }, grid, el("div", {}, counts, note, order)));
  let lives = [], chosen = -1, sorted = false, of = 0;

  const first = () => lives.slice(0, DOTS);
  function ordered() {
    const list = first();
    if (sorted) list.sort((a, b) => rank(a) - rank(b) || b.harvest_kg - a.harvest_kg || a.year - b.year);
    return list;
  }

  function dot(life) {
    const name = yearName(life);
    return el("span", { role: "option", id: "dot-" + life.year, "data-year": life.year, "aria-selected": String(life.year === chosen), "aria-label": name, title: name }, dotMark(endingOf(life)));
  }
  const coming = () => el("span", { class: "coming", "aria-hidden": "true" });

  function showAll() {
    const list = ordered();
    fill(grid, list.map(dot), Array.from({ length: Math.max(0, Math.min(of || DOTS, DOTS) - list.length) }, coming));
    listen(list.length > 0);
    mark();
    tell();
  }

  // An empty list box would be no list box.
  function listen(yes) {
    grid.tabIndex = yes ? 0 : -1;
    for (const [name, value] of [["role", "listbox"], ["aria-label", "Futures, one dot each"]])
      if (yes) grid.setAttribute(name, value);
      else grid.removeAttribute(name);
  }

  function tell() {
    const list = first(), count = new Map();
    for (const life of list) count.set(endingOf(life), (count.get(endingOf(life)) ?? 0) + 1);
    const rows = Object.keys(ENDING).filter((ending) => count.has(ending));
    fill(counts, rows.map((ending) => el("li", {}, dotMark(ending), el("b", {}, String(count.get(ending))), " " + ENDING[ending][0])));
    head.textContent = !list.length ? "A hundred possible futures" : list.length < Math.min(of, DOTS) ? `${list.length} of ${app.futures(Math.min(of, DOTS))}` : of > DOTS ? `The first ${DOTS} of ${app.futures(of)}` : app.futures(list.length);
    note.textContent = list.length ? "Each dot is one possible future. Tap one to watch it." : "";
    order.hidden = list.length < DOTS_IN_ROW;
  }

  function mark() {
    for (const node of grid.querySelectorAll("[data-year]")) node.setAttribute("aria-selected", String(Number(node.dataset.year) === chosen));
    if (chosen >= 0) grid.setAttribute("aria-activedescendant", "dot-" + chosen);
    else grid.removeAttribute("aria-activedescendant");
  }

  function choose(life, opens) {
    chosen = life.year;
    mark();
    if (opens) open(life);
  }

  function key(event) {
    const list = ordered();
    if (!list.length) return;
    const at = Math.max(0, list.findIndex((life) => life.year === chosen));
    const by = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: DOTS_IN_ROW, ArrowUp: -DOTS_IN_ROW, Home: -at, End: list.length - 1 - at }[event.key];
    if (event.key === "Enter" || event.key === " ") choose(list[at], true);
    else if (by === undefined) return;
    else choose(list[chosen < 0 ? 0 : Math.max(0, Math.min(list.length - 1, at + by))], false);
    event.preventDefault();
  }

  function tapped(event) {
    const node = event.target.closest("[data-year]");
    if (node) choose(lives[Number(node.dataset.year)], true);
  }

  return {
    element, grid,
    get lives() { return lives; },
    // Empties the picture for so many to come.
    begin(years) { lives = []; chosen = -1; of = years; showAll(); },
    expect(years) { of = years; tell(); },
    // Adds a life; those that come again, with the same number, are the same.
    add(life) {
      if (life.year !== lives.length) return;
      lives.push(life);
      if (life.year >= DOTS) return;
      const next = grid.querySelector(".coming");
      if (sorted || !next) { showAll(); return; }
      next.replaceWith(dot(life));
      listen(true);
      tell();
    },
    sort(yes) {
      sorted = yes;
      order.querySelector(`input[value=${yes ? "sorted" : "came"}]`).checked = true;
      showAll();
    },
  };
}
