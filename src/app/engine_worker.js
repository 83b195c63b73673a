/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

"use strict";
// The work behind the page: an instance of the engine in each worker. One worker, the collector, answers requests. The
// others are its helpers: for work that can be shared, such as the replicates of a forecast, each gets a copy of the
// collector's memory, does pieces by number and sends the results. src/browser/web/host.h has the engine's side of it.
//
// The host gives postAnswer(message), and calls the returned function with each message; a helper's port is a MessagePort.

const HELD = 3; // pieces that a helper has at once: enough to do until the next message reaches it
const YIELD_MS = 25; // how long the collector works before it looks at its messages
const LEAST_SHARED = 4; // pieces: fewer are not worth a copy of the memory
const KEPT_BYTES = 24e6; // of the first results of a forecast, for one of more years: a hundred years (judgement)
const SPENT_BYTES = 256e6; // an instance that has grown so large for nothing is not used again
const READY = -1, STOPPED = -2, PENDING = -3;

// What this file calls of the module.
const NEEDED = ["memory", "malloc", "free", "__stack_pointer", "_initialize", "wg_web_call", "wg_web_work", "wg_web_stack", "asyncify_get_state",
  "asyncify_start_unwind", "asyncify_stop_unwind", "asyncify_start_rewind", "asyncify_stop_rewind"];

// What stops a call and is no fault: its message is a whole sentence.
class Refusal extends Error {}
const MISMATCH = "The parts of this page do not belong together. Get the page anew.";
const NO_MEMORY = "There is not enough memory for this here. Ask for fewer years, or leave out large files.";

// Lets pending messages be handled.
const tick = typeof setImmediate === "function" ? () => new Promise((done) => setImmediate(done)) : (() => {
  const { port1, port2 } = new MessageChannel(), waiting = [];
  port1.onmessage = () => waiting.shift()();
  return () => new Promise((done) => { waiting.push(done); port2.postMessage(0); });
})();

// An instance with what it imports; `page` has the functions of src/browser/web/host.h.
async function instantiate(module, page) {
  const imports = { page, wasi_snapshot_preview1: {} }, self = { said: "" };
  const view = () => new DataView(self.exports.memory.buffer);
  // There are no files: whatever asks for one is refused (8: no such file descriptor). An assertion that fails says so.
  for (const { module: from, name } of WebAssembly.Module.imports(module)) if (from === "wasi_snapshot_preview1") imports[from][name] = () => 8;
  Object.assign(imports.wasi_snapshot_preview1, {
    environ_sizes_get: (count, size) => { view().setUint32(count, 0, true); view().setUint32(size, 0, true); return 0; },
    environ_get: () => 0,
    fd_write: (file, parts, n, written) => {
      let size = 0;
      for (let i = 0; i < n; i++) {
        const at = view().getUint32(parts + 8 * i, true), length = view().getUint32(parts + 8 * i + 4, true);
        self.said += new TextDecoder().decode(new Uint8Array(self.exports.memory.buffer, at, length).slice());
        size += length;
      }
      view().setUint32(written, size, true);
      return 0;
    },
    proc_exit: () => { throw new Error("the engine ended"); },
  });
  const has = new Set(WebAssembly.Module.exports(module).map(({ name }) => name));
  if (!NEEDED.every((name) => has.has(name)) || WebAssembly.Module.imports(module).some(({ module: from, name }) => !(imports[from] && imports[from][name])))
    throw new Refusal(MISMATCH);
  self.exports = (await WebAssembly.instantiate(module, imports)).exports;
  self.bytes = () => new Uint8Array(self.exports.memory.buffer); // anew each time: memory that grows has a new buffer
  self.exports._initialize();
  return self;
}

function faultOf(instance, error) {
  if (error instanceof Refusal) return { refused: error.message };
  return { broken: (instance && instance.said.trim()) || String((error && error.message) || error) };
}

// Calls what needs much memory.
function roomFor(make) {
  try {
    return make();
  } catch (error) {
    throw error instanceof RangeError ? new Refusal(NO_MEMORY) : error;
  }
}

// ---- a helper ----

async function startHelper(module, port) {
  let run = 0, work = 0, instance = null;
  const page = {
    event: () => 0, begin: () => {}, end: () => {}, size: () => 0, code: () => 0, take: () => {}, wait: () => STOPPED,
    give: (index, code, at, size) => {
      const bytes = instance.bytes().slice(at, at + size).buffer;
      port.postMessage({ run, index, code, bytes, memory: instance.exports.memory.buffer.byteLength }, [bytes]);
    },
  };
  instance = await instantiate(module, page);
  port.onmessage = ({ data: message }) => {
    try {
      if (message.memory) {
        const memory = new Uint8Array(message.memory), lacking = memory.length - instance.exports.memory.buffer.byteLength;
        if (lacking > 0) roomFor(() => instance.exports.memory.grow(lacking / 65536));
        instance.bytes().set(memory);
        instance.exports.__stack_pointer.value = message.stack;
        ({ run, work } = message);
      } else if (message.run === run) instance.exports.wg_web_work(work, message.index);
    } catch (error) {
      port.postMessage({ run: message.run, fault: faultOf(instance, error) });
    }
  };
}

// ---- the collector ----

async function startCollector(module, ports, postAnswer) {
  const helpers = ports.map((port) => ({ port, held: 0, memory: 0 }));
  let instance = null, stackOfWaiting = 0, resumed = 0, waiting = null, wake = null, lastYield = 0, stopped = false, fault = null;
  let run = 0, count = 0, next = 0, seen = 0, results = new Map(), current = null, shared = false, id = 0;
  let kept = { key: "", results: [], bytes: 0 }, keeps = false; // the first results of the last work that has a key
  const ahead = 4 * (helpers.length + 1) + 16; // results that may wait for those before them

  function handOut() {
    if (!shared) return;
    for (let given = true; given;) {
      given = false;
      for (const helper of helpers) {
        // Towards the end a helper keeps nothing that another worker could do meanwhile.
        if (helper.held >= (count - next > 2 * helpers.length ? HELD : 1) || next >= count || next >= seen + ahead) continue;
        helper.port.postMessage({ run, index: next++ });
        helper.held++;
        given = true;
      }
    }
  }

  function keep(index) {
    if (!keeps || index !== kept.results.length || current.code !== 0 || kept.bytes + current.bytes.length > KEPT_BYTES) return;
    kept.results.push(current);
    kept.bytes += current.bytes.length;
  }

  // What waiting for a result comes to: it is READY, a piece that this worker is to do, or PENDING.
  function decide(index) {
    if (stopped) return STOPPED;
    if (index < 0) return READY;
    if (results.has(index)) {
      current = results.get(index);
      results.delete(index);
      seen = index + 1;
      keep(index);
      handOut();
      return READY;
    }
    return next < count && next < seen + ahead ? next++ : PENDING;
  }

  async function settle({ index, outcome }) {
    await tick();
    lastYield = Date.now();
    handOut();
    while (outcome === PENDING && !fault) {
      outcome = decide(index);
      if (outcome === PENDING) await new Promise((done) => { wake = done; });
    }
    if (fault) throw fault.refused ? new Refusal(fault.refused) : new Error(fault.broken);
    return stopped ? STOPPED : outcome;
  }

  const page = {
    event: (at, size) => {
      postAnswer({ id, event: new TextDecoder().decode(instance.bytes().slice(at, at + size)) });
      return stopped ? 1 : 0;
    },
    begin: (work, n, keyAt) => {
      const bytes = instance.bytes(), key = keyAt ? String.fromCharCode(...bytes.slice(keyAt, bytes.indexOf(0, keyAt))) : "";
      run++;
      keeps = key !== "";
      if (keeps && key !== kept.key) kept = { key, results: [], bytes: 0 };
      results = new Map(keeps ? kept.results.slice(0, n).entries() : []);
      [count, next, seen, current] = [n, results.size, 0, null];
      shared = helpers.length > 0 && n - next >= LEAST_SHARED;
      if (!shared) return;
      for (const helper of helpers) {
        const memory = roomFor(() => instance.exports.memory.buffer.slice(0));
        helper.held = 0;
        helper.port.postMessage({ run, memory, stack: instance.exports.__stack_pointer.value, work }, [memory]);
      }
      handOut();
    },
    end: () => { run++; shared = false; results = new Map(); },
    give: (index, code, at, size) => { results.set(index, { code, bytes: instance.bytes().slice(at, at + size) }); },
    size: () => current.bytes.length,
    code: () => current.code,
    take: (at) => { instance.bytes().set(current.bytes, at); },
    wait: (index) => {
      const { exports } = instance;
      if (exports.asyncify_get_state() === 2) { // it has waited, and goes on
        exports.asyncify_stop_rewind();
        return resumed;
      }
      const outcome = decide(index);
      if (outcome !== PENDING && Date.now() - lastYield < YIELD_MS) return outcome;
      waiting = { index, outcome };
      exports.asyncify_start_unwind(stackOfWaiting);
      return 0;
    },
  };
  instance = await instantiate(module, page);
  stackOfWaiting = instance.exports.wg_web_stack();

  for (const helper of helpers)
    helper.port.onmessage = ({ data: message }) => {
      if (message.run !== run) return;
      if (message.fault) fault = message.fault;
      else {
        helper.held--;
        helper.memory = message.memory;
        results.set(message.index, { code: message.code, bytes: new Uint8Array(message.bytes) });
        handOut();
      }
      if (wake) wake();
      wake = null;
    };

  async function answer(request) {
    const { exports } = instance, text = new TextEncoder().encode(request), at = exports.malloc(text.length + 1);
    if (at === 0) throw new Refusal(NO_MEMORY);
    instance.bytes().set(text, at);
    instance.bytes()[at + text.length] = 0;
    let answered = exports.wg_web_call(at);
    while (exports.asyncify_get_state() === 1) {
      exports.asyncify_stop_unwind();
      resumed = await settle(waiting);
      exports.asyncify_start_rewind(stackOfWaiting);
      answered = exports.wg_web_call(at);
    }
    if (answered === 0) throw new Refusal(NO_MEMORY);
    const end = instance.bytes().indexOf(0, answered), words = new TextDecoder().decode(instance.bytes().slice(answered, end));
    exports.free(answered);
    exports.free(at);
    return words;
  }

  return async (message) => {
    if (message.stop) { // also between two messages of one call
      stopped = true;
      if (wake) wake();
      wake = null;
      return;
    }
    id = message.id;
    stopped = false;
    lastYield = Date.now();
    try {
      const words = await answer(message.request), own = instance.exports.memory.buffer.byteLength;
      const spent = own > SPENT_BYTES && words.startsWith('{"ok":false');
      postAnswer({ id, answer: words, spent, memory: helpers.reduce((sum, helper) => sum + helper.memory, own + kept.bytes) });
    } catch (error) {
      postAnswer({ id, fault: faultOf(instance, error) }); // this instance is not used again
    }
  };
}

// Returns the function that gets the host's messages: first {module, ports} or {module, port}, then requests.
function startWorker(postAnswer) {
  let handle = null;
  const early = [];
  return async (message) => {
    try {
      if (message.module && message.port) {
        await startHelper(message.module, message.port);
      } else if (message.module) {
        handle = await startCollector(message.module, message.ports, postAnswer);
        for (const one of early) handle(one);
      } else if (handle) handle(message);
      else early.push(message);
    } catch (error) {
      postAnswer({ fault: faultOf(null, error) });
    }
  };
}

if (typeof WorkerGlobalScope !== "undefined") {
  const handle = startWorker((message) => postMessage(message));
  onmessage = ({ data }) => { handle(data); };
}
