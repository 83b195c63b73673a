/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// Answers the requests of the page with the module in Node: the same files as in a browser, the same lines as page_bridge.c.
//
//   node engine_node.mjs MODULE.wasm WORKERS [FAULT]     0 workers: one instance in this thread, without threads
//
// FAULT makes the workers that start first call the module with a bad pointer, so that it traps; those that follow them are
// sound. "call": when they are asked, "work": when they do a piece of the collector's work, "again": when they do one of the
// first four pieces of a call that is not their first; "other": all workers want another module.
//
// MODULE may be the page itself (.html). Reads one request a line; prints "event {...}" and "answer {...}" lines. A line
// that is no JSON but "stop N" makes the next call stop after N events; "memory" prints the bytes of all instances.
import { readFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { Worker } from "node:worker_threads";
import { gunzipSync } from "node:zlib";

const [path, asked, fault] = process.argv.slice(2);
const app = join(dirname(fileURLToPath(import.meta.url)), "../../src/app");
const sound = await readFile(join(app, "engine_worker.js"), "utf8");
const makeEngine = new Function(`${await readFile(join(app, "engine.js"), "utf8")}\nreturn makeEngine;`)();

const FAULTS = { call: ["answered = exports.wg_web_call(at)", "answered = exports.wg_web_call(-16)"], work: ["wg_web_work(work,", "wg_web_work(-16,"],
  again: ["seen + ahead ? next++", "seen + ahead ? (run > 1 && next < 4 ? doneAgain : next++)"], other: ['"wg_web_call",', '"wg_web_frob",'] };
// One worker for quick questions, and the others.
let unsound = fault === "other" ? Infinity : fault ? 1 + Math.max(1, Number(asked)) : 0;

function nextSource() {
  if (unsound === 0) return sound;
  unsound--;
  const [good, bad] = FAULTS[fault], source = sound.replace(good, bad);
  if (source === sound) throw new Error(`engine_worker.js has no ${good}`);
  return source;
}

async function bytesOf(file) {
  if (!file.endsWith(".html")) return readFile(file);
  const packed = /<script type="application\/octet-stream" id="module">\s*(.*?)\s*<\/script>/.exec(await readFile(file, "utf8"))[1];
  const script = await readFile(new URL("../../src/app/unpack.js", import.meta.url), "utf8");
  return gunzipSync(new Function(/function bytesOf[^]*?\n}\n/.exec(script)[0] + "return bytesOf;")()(packed));
}

// In this thread, as a browser without workers would do it.
function startHere() {
  let callback = () => {};
  const handle = new Function(`${nextSource()}\nreturn startWorker;`)()((message) => callback(message));
  return { post: (message) => { handle(message); }, listen: (to) => { callback = to; }, end: () => {} };
}

function startThread() {
  const worker = new Worker(`const { parentPort } = require("node:worker_threads");
    const handle = new Function(${JSON.stringify(`${nextSource()}\nreturn startWorker;`)})()((message) => parentPort.postMessage(message));
    parentPort.on("message", (data) => { handle(data); });`, { eval: true });
  return {
    post: (message, transferred) => worker.postMessage(message, transferred || []),
    listen: (callback) => { worker.on("message", callback); worker.on("error", (error) => callback({ fault: { broken: String(error) } })); },
    end: () => { worker.terminate(); },
  };
}

const engine = makeEngine({
  workers: Math.max(1, Number(asked || 0)),
  load: async () => WebAssembly.compile(await bytesOf(path)),
  startWorker: Number(asked || 0) === 0 ? startHere : startThread,
});

let stopAfter = 0;
for await (const line of createInterface({ input: process.stdin })) {
  if (line.startsWith("stop ")) {
    stopAfter = Number(line.slice(5));
    continue;
  }
  if (line === "memory") {
    process.stdout.write(`answer ${await engine.memory()}\n`);
    continue;
  }
  let events = 0;
  const answer = await engine.call(JSON.parse(line), { raw: true, onEvent: (event) => {
    process.stdout.write(`event ${JSON.stringify(event)}\n`);
    if (++events === stopAfter) engine.stop();
  } });
  stopAfter = 0;
  process.stdout.write(`answer ${typeof answer === "string" ? answer : JSON.stringify(answer)}\n`);
}
await engine.end();
