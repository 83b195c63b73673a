/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

// The engine for the screens: `engine.call(request, {onEvent})` promises the answer to a request (src/browser/README.md),
// `engine.stop()` stops the long call that is running, `engine.workers` is how many work at once, `engine.lesson()`
// promises the functions of the lesson.
//
// Quick questions have a worker of their own, so that a form answers while a forecast runs. Calls of each kind come one
// after the other.

const QUICK = new Set(["about", "schema", "questions", "check", "set", "log_kinds"]);
const MOST_WORKERS = 4; // each has the memory of a forecast, up to about 30 MB
const PATIENCE_MS = 10000; // until a call that does not stop is ended

// The answer to a call that ended without one.
const refusal = ({ refused, broken }) => ({ ok: false, code: 5, error: refused || `This is a fault of wintergrub, and not of your plan: ${broken}. Everything else on this page still works.` });

// What C and its JSON reader do not take in a text: NUL and halves of letters.
const UNREADABLE = /\0|\p{Surrogate}/gu;
const clean = (_, value) => (typeof value === "string" ? value.replace(UNREADABLE, "\ufffd") : value);

// A collector and its helpers. `host` starts a worker: {post(message, transferred), listen(callback), end()}.
function makeCrew(host, module, n) {
  let workers = [], pending = null, queue = Promise.resolve(), memory = 0;

  function end() {
    for (const worker of workers) worker.end();
    workers = [];
  }

  function start() {
    const ports = [], ours = workers = Array.from({ length: n }, () => host.startWorker());
    // What a worker sent before it was ended may arrive later: it is no answer to the next call.
    const hear = (message) => { if (workers === ours) finish(message); };
    for (const worker of workers.slice(1)) {
      const { port1, port2 } = new MessageChannel();
      worker.post({ module, port: port2 }, [port2]);
      worker.listen(({ fault }) => hear({ fault }));
      ports.push(port1);
    }
    workers[0].post({ module, ports }, ports);
    workers[0].listen((message) => {
      if (!message.event) hear(message);
      else if (pending && workers === ours) pending.onEvent(JSON.parse(message.event));
    });
  }

  function finish(message) {
    const call = pending;
    pending = null;
    memory = message.memory || memory;
    if (message.fault || message.spent) end(); // a fresh instance for the next call
    if (!call) return;
    clearTimeout(call.timer);
    if (message.answer !== undefined) call.done(call.raw ? message.answer : JSON.parse(message.answer));
    else if (message.stopped) call.done({ ok: false, code: 130, stopped: true, error: "Stopped before there was an answer." });
    else call.done(refusal(message.fault));
  }

  let id = 0;
  const begin = (request, { onEvent, raw }) => new Promise((done) => {
    if (workers.length === 0) start();
    pending = { done, raw, onEvent: onEvent || (() => {}) };
    workers[0].post({ id: ++id, request: JSON.stringify({ now: new Date().toISOString().replace(/\.\d+/, ""), ...request }, clean) });
  });

  return {
    call(request, options) {
      const answer = queue.then(() => begin(request, options));
      queue = answer.catch(() => {});
      return answer;
    },
    stop() {
      if (!pending) return;
      workers[0].post({ stop: true });
      pending.timer = pending.timer || setTimeout(() => { end(); finish({ stopped: true }); }, PATIENCE_MS);
    },
    end,
    start,
    memory: () => memory,
  };
}

// `host` has `load()`, which promises the module, `startWorker()`, and `cores`.
function makeEngine(host) {
  const workers = Math.max(1, Math.min(MOST_WORKERS, host.workers || host.cores || 1));
  const ready = host.load().then((module) => {
    const made = { module, desk: makeCrew(host, module, 1), crew: makeCrew(host, module, workers) };
    made.desk.start();
    made.crew.start();
    return made;
  });
  ready.catch(() => {});
  return {
    workers,
    ready,
    // With `raw` the answer comes as text: a whole number of C may have more digits than one of JavaScript.
    async call(request, options = {}) {
      let made = null;
      try {
        made = await ready;
      } catch (error) {
        return refusal({ refused: `This browser cannot run the engine of this page (${error.message}). A browser of 2023 or later can.` });
      }
      const { desk, crew } = made;
      return (QUICK.has(request.do) ? desk : crew).call(request, options);
    },
    stop() { ready.then(({ crew }) => crew.stop(), () => {}); },
    // The bytes of all instances after their last answers.
    memory: async () => { const { desk, crew } = await ready; return desk.memory() + crew.memory(); },
    async lesson() {
      const { module } = await ready, imports = {};
      for (const { module: from, name } of WebAssembly.Module.imports(module)) (imports[from] = imports[from] || {})[name] = () => 8;
      const { exports } = await WebAssembly.instantiate(module, imports);
      exports._initialize();
      return exports;
    },
    end: () => ready.then(({ desk, crew }) => { desk.end(); crew.end(); }, () => {}),
  };
}

// ---- in a browser ----

function browserHost() {
  const source = URL.createObjectURL(new Blob([document.getElementById("worker").textContent], { type: "text/javascript" }));
  return {
    cores: navigator.hardwareConcurrency,
    load: async () => WebAssembly.compile(await unpacked("module").arrayBuffer()),
    startWorker() {
      const worker = new Worker(source);
      return {
        post: (message, transferred) => worker.postMessage(message, transferred || []),
        listen: (callback) => {
          worker.onmessage = ({ data }) => callback(data);
          worker.onerror = (event) => callback({ fault: { broken: event.message || "a worker could not be started" } });
        },
        end: () => worker.terminate(),
      };
    },
  };
}

const engine = typeof document !== "undefined" ? makeEngine(browserHost()) : null;
