/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// My log: dated notes of the keeper, and what they tell of the colony today.
{
  const HEAD = "date,what,value,where,days";
  const EMPTY = { date: "", what: "", value: "", where: "", days: "" };

  let question, saveLog, kinds = [], table, form, fields;

  // ---- the log as a text --------------------------------------------------------------------------------------------

  const cell = (text) => text.replace(/[";\t\r\n]/g, " ").trim();
  // With semicolons where a note has a comma, such as 0,5 kg.
  function logText() {
    const lines = [HEAD.split(","), ...app.log.rows.map((row) => Object.keys(EMPTY).map((name) => cell(row[name])))];
    const mark = lines.flat().some((text) => text.includes(",")) ? ";" : ",";
    return lines.map((line) => line.join(mark)).join("\n") + "\n";
  }

  // Reads a log file into rows; the engine reads the text itself, with its errors.
  function readLog(text) {
    const lines = text.split(/\r?\n/).filter((line) => line.trim() && !line.startsWith("#"));
    const mark = lines[0]?.includes(";") ? ";" : lines[0]?.includes("\t") ? "\t" : ",";
    const cut = (line) => line.split(mark).map((part) => part.replace(/^[\s"]+|[\s"]+$/g, ""));
    const head = cut(lines[0] ?? "").map((name) => name.toLowerCase());
    if (!["date", "what", "value"].every((name) => head.includes(name))) return null;
    return lines.slice(1).map((line) => { const parts = cut(line), row = { ...EMPTY }; head.forEach((name, i) => { if (name in row) row[name] = parts[i] ?? ""; }); return row; });
  }

  async function takeFile(file) {
    const text = await app.readText(file);
    if (text === null) return;
    const rows = readLog(text);
    if (!rows) { app.note(`The first line of ${file.name} must name the columns: date, what and value.`); return; }
    if (!rows.length) { app.note(`${file.name} has no notes.`); return; }
    setRows(rows, file.name);
    app.note(`${plural(rows.length, "note")} from ${file.name}.`);
  }

  // ---- notes --------------------------------------------------------------------------------------------------------

  const kindOf = (name) => kinds.find((kind) => kind.name === name);

  const setRows = (rows, name = app.log.name) => app.setLog({ name, rows: rows.sort((a, b) => a.date.localeCompare(b.date)) });

  function showRows() {
    const { rows } = app.log;
    table.hidden = saveLog.hidden = rows.length === 0;
    table.classList.toggle("no-bins", rows.every((row) => !row.where));
    refill(table.tBodies[0], rows.map((row, i) => el("tr", {}, el("th", { scope: "row" }, row.date), el("td", {}, row.what), el("td", {}, row.value), el("td", {}, row.where), el("td", {}, row.days),
      el("td", { class: "noprint" }, el("button", { type: "button", class: "link", "aria-label": `Remove: ${row.date} ${row.what}`, onclick: () => removeNote(i) }, "Remove")))));
    question.clear();
    question.onPlan();
  }

  function removeNote(i) {
    setRows(app.log.rows.filter((_, k) => k !== i));
    if (!app.log.rows.length) fields.date.focus();
    app.say("Removed.");
  }

  function addNote(event) {
    event.preventDefault();
    const row = { ...EMPTY }, shown = (name) => (fields[name].closest("p").hidden ? "" : fields[name].value.trim());
    for (const name of Object.keys(row)) row[name] = shown(name);
    row.where ||= shown("bin");
    if (!row.date || !row.value) { app.note("A note needs a date and a value."); return; }
    if (/^\d+$/.test(row.days)) row.days += row.days === "1" ? " day" : " days";
    setRows([...app.log.rows, row]);
    fields.value.value = "";
    fields.value.focus();
    app.say(`Added: ${row.date}, ${row.what}, ${row.value}.`);
  }

  function chooseKind() {
    const kind = kindOf(fields.what.value) ?? {};
    const isBin = kind.where === "the bin";
    fields.value.placeholder = kind.example ?? "";
    fields.value.setAttribute("inputmode", kind.unit === "eggs" ? "numeric" : "text");
    byId("log-help").textContent = `${kind.what ?? ""}, ${kind.unit ?? ""}. For example: ${kind.example ?? ""}.`;
    fields.bin.closest("p").hidden = !isBin;
    fields.where.closest("p").hidden = !kind.where || isBin;
    fields.where.closest("p").querySelector("label").textContent = "Where: " + (kind.where ?? "");
    fields.days.closest("p").hidden = !kind.has_days;
  }

  async function fillForm() {
    if (!kinds.length) {
      const answer = await engine.call({ do: "log_kinds" });
      if (!answer.ok) { fill(form, app.problem(answer)); return; }
      kinds = answer.kinds;
      fill(fields.what, kinds.map((kind) => option(kind.name, kind.name)));
    }
    const check = await app.checked();
    if (check.ok) {
      fill(fields.bin, check.facts.bins.map((bin) => option(bin.name, bin.name)));
      fields.date.min = check.facts.first_day;
      fields.date.max = check.facts.last_day;
      const today = app.today();
      if (!fields.date.value) fields.date.value = today >= check.facts.first_day && today <= check.facts.last_day ? today : check.facts.first_day;
    }
    chooseKind();
  }

  // ---- the question -------------------------------------------------------------------------------------------------

  // Names the note; the head of the log is its first line.
  function tellMistake(mistake) {
    const row = app.log.rows[mistake.line - 2];
    return `${row ? `The note of ${row.date}, ${row.what} ${row.value}` : app.log.name}: ${mistake.text}`;
  }

  async function work(call, plan) {
    const { name, rows } = app.log, log = logText();
    if (!rows.length) return { ok: false, error: "There are no notes yet. Add one, or open a log file." };
    const answer = await call({ do: "fit", plan, log, log_name: name });
    answer.log = log;
    const mistakes = (answer.mistakes ?? []).filter((mistake) => mistake.where === name);
    return mistakes.length ? { ok: false, error: mistakes.map(tellMistake).join(" ") } : answer;
  }

  const changed = (plan, { log }) => changedSince(plan) ?? (log === logText() ? null : "The notes have changed since this answer.");

  function showFit(out, answer, plan, below) {
    const parts = sectionsOf(answer.report ?? "", "log"), base = stem(plan.name) + "-log";
    const [now, feed, weeks, ...rest] = parts.sections;
    let last = "";
    for (const name of parts.sections.flatMap((section) => [...section.querySelectorAll("tbody th")])) // a second unit has a row without a name
      if (name.textContent) last = name.textContent;
      else name.textContent = last;
    fill(out, el("div", { class: "report" }, el("h2", {}, "Where it stands"), parts.lead, now, feed));
    fill(below, el("div", { class: "report" }, weeks, foldSections(rest, below)), printed(answer.text), takeAway(answer, base, [["The answer as numbers (CSV)", base + "-answer.csv", answer.csv, "text/csv"]]), app.command(answer.command),
      el("p", { class: "row" }, printButton()));
  }

  app.screen({
    name: "log",
    title: "My log",
    make(root) {
      fields = {
        date: el("input", { type: "date" }), what: el("select", { onchange: chooseKind }), value: el("input", { type: "text", autocomplete: "off", inputmode: "text" }),
        bin: el("select"), where: el("input", { type: "text", autocomplete: "off" }), days: el("input", { type: "text", inputmode: "numeric", autocomplete: "off" }),
      };
      form = el("form", { class: "box noprint", onsubmit: addNote }, el("h2", {}, "Add a note"), field("Date", fields.date), field("What", fields.what), el("p", { class: "small", id: "log-help" }),
        field("Value", fields.value, "With its unit."), field("Bin", fields.bin), field("Where", fields.where), field("Over how many days", fields.days, "Empty: since the last note of this kind."),
        el("p", { class: "row" }, el("button", { class: "main" }, "Add the note")));
      table = el("table", { class: "log-table", hidden: true }, el("caption", {}, "Notes"), el("thead", {}, el("tr", {}, ["Date", "What", "Value", "Bin", "Days"].map((name) => el("th", { scope: "col" }, name)), el("td", { class: "noprint" }))), el("tbody"));
      const file = el("input", { type: "file", accept: ".csv,.txt,text/csv", id: "log-file", onchange: () => { if (file.files[0]) takeFile(file.files[0]); file.value = ""; } });
      saveLog = el("button", { type: "button", hidden: true, onclick: () => app.download(app.log.name, logText(), "text/csv") }, "Save the log");
      question = longQuestion({ ask: "Where does it stand today?", doing: "Comparing with your notes", work, show: showFit, changed });
      root.addEventListener("dragover", (event) => event.preventDefault());
      root.addEventListener("drop", (event) => { event.preventDefault(); if (event.dataTransfer.files[0]) takeFile(event.dataTransfer.files[0]); });
      fill(root, el("p", {}, "Write down what you weigh, count and see. The page keeps those of many possible colonies that fit your notes, and tells where yours stands, what to feed this week and what the next four weeks bring."),
        el("div", { class: "two" }, el("div", {}, form, el("div", { class: "scroll", tabindex: 0, role: "group", "aria-label": "Notes" }, table),
        el("p", { class: "row" }, el("label", { class: "button", for: "log-file" }, "Open a log file"), file, saveLog),
        question.controls), question.element), question.below);
    },
    show() { fillForm(); showRows(); },
    onLog() { if (question) showRows(); },
    onPlan() { if (question) { question.onPlan(); if (app.now === "log") fillForm(); } },
  });
}
