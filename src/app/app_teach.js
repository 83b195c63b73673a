/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Teach: the lesson of `wintergrub workshop` in a shadow root, where its names and styles meet no others.
{
  let lesson = null;

  // The lesson plays on the page's own thread, in an instance of the engine's module.
  function make(root) {
    const host = el("div", { class: "lesson-host" });
    root.append(host);
    const inside = host.attachShadow({ mode: "open" });
    const frame = el("div", { class: "lesson", id: "lesson" });
    const made = document.importNode(byId("lesson-parts").content, true);
    inside.append(made.querySelector("style"), frame);
    frame.append(made);
    lesson = openLesson(inside, () => engine.lesson());
    lesson.ready.then(() => useUnits(inside));
  }

  // The lesson begins in the units and the money of the plan; dollars where it has no prices, but pounds and degF.
  async function useUnits(inside) {
    const check = await app.checked(), money = inside.getElementById("money");
    if (!check.ok) return;
    const isUs = check.facts.units === "us", currency = check.facts.currency || (isUs ? "$" : "");
    if (isUs) inside.querySelector("[name=units][value=us]").click();
    if (![...money.options].some((one) => one.value === currency)) return;
    money.value = currency;
    money.dispatchEvent(new Event("change"));
  }

  app.screen({ name: "teach", title: "Teach", make, hide() { if (lesson) lesson.pause(); }, show() { if (lesson) lesson.redraw(); } });
}
