/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// The goals of the plan as a small form, on the screens that need them.

const NEW_GOALS = [
  ["It is alive at the end", "{survive: yes, chance: 90 %}"], ["A harvest every week", "{harvest: 1 lb/week, chance: 90 %}"],
];

// Changes a value of the plan unless that would be a mistake: what is wrong, or null.
async function changePlan(path, value) {
  let wrong = null;
  await app.change(async (plan) => {
    const set = await engine.call({ do: "set", plan, path, value }), check = set.ok ? await engine.call({ do: "check", plan: { ...plan, text: set.text } }) : set;
    if (check.ok) return { text: set.text };
    wrong = app.onPage(check.mistakes?.[0]?.text ?? check.error);
    return null;
  });
  return wrong;
}
const changeOrTell = async (path, value) => { const wrong = await changePlan(path, value); if (wrong) app.note(wrong); return !wrong; };

// What is wrong with a question that needs a goal, or null.
async function noGoal() {
  const check = await app.checked();
  return check.ok && !check.facts.goals.length ? { ok: false, error: "The plan has no goal yet. Add one above: what do you want, and how surely?" } : null;
}

function goalField(key) {
  const mistake = el("p", { class: "mistake", role: "status" });
  const input = el("input", { type: "text", value: key.value ?? key.example ?? "", autocomplete: "off", async onchange() {
    const wrong = input.value.trim() === String(key.value) ? null : await changePlan(key.path, input.value.trim());
    mistake.textContent = wrong ?? "";
    input.setAttribute("aria-invalid", String(wrong !== null));
  } });
  return el("div", {}, field(keyWords(key), input, app.onPage(key.help)), mistake);
}

function goalEditor(box, check) {
  if (!check.ok) { fill(box, app.problem(check)); return; }
  const goals = check.facts.goals.map(app.ownUnits), keys = check.keys.filter((key) => key.group === "goal" && (isWritten(key) || key.name === "chance"));
  const chance = (i) => keys.find((key) => key.path === `goal.${i + 1}.chance`)?.value, asked = (i) => (chance(i) ? `, in ${chance(i)} of the futures` : "");
  const had = box.querySelector("details")?.open;
  const rows = goals.map((text, i) => {
    const mine = keys.filter((key) => new RegExp(`^goal\\.${i + 1}\\.`).test(key.path));
    return el("li", {}, el("p", {}, text, asked(i)), el("div", { class: "fields" }, mine.map(goalField)),
      el("button", { type: "button", onclick: () => changeOrTell(`goal.${i + 1}`, null) }, "Drop this goal"));
  });
  const edit = el("details", {}, el("summary", {}, goals.length ? "Change the goals" : "Add a goal"), el("ol", { class: "goals" }, rows),
    el("p", { class: "row" }, NEW_GOALS.map(([words, value]) => el("button", { type: "button", onclick: () => changeOrTell(goals.length ? `goal.${goals.length + 1}` : "goal", goals.length ? value : `[${value}]`) }, "Add: " + words.toLowerCase()))));
  edit.open = had ?? goals.length === 0;
  refill(box, el("h2", {}, goals.length > 1 ? "Goals" : "Goal"), goals.length ? el("ul", {}, goals.map((text, i) => el("li", {}, text, asked(i)))) : el("p", {}, "The plan has no goal yet."), edit);
}
