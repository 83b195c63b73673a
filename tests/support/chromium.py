# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""A headless Chromium for tests, driven through a pipe (Chrome DevTools Protocol, --remote-debugging-pipe): one JSON text
after another, each ended by a NUL. No library and no open port."""

import base64
import json
import os
import select
import shutil
import subprocess
import tempfile
import time

FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-default-apps", "--disable-extensions", "--disable-dev-shm-usage",
    "--hide-scrollbars", "--remote-debugging-pipe",
]  # fmt: skip


# Width and height in pixels, and whether it is a phone.
SMALL_PHONE, PHONE, PROJECTOR = (360, 740, True), (390, 844, True), (1280, 720, False)

PAPERS = {"A4": (8.27, 11.69), "letter": (8.5, 11)}  # inches

# The luminance contrast of every visible text with its background (W3C, WCAG 2.1, 1.4.3). In drawings that is what is
# painted below the middle of the text.
CONTRAST = """(() => { const low = [];
  const channel = (c) => (c /= 255) <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  const parts = (css) => css.match(/[\\d.]+/g).map(Number);
  const light = (p) => 0.2126 * channel(p[0]) + 0.7152 * channel(p[1]) + 0.0722 * channel(p[2]);
  const behind = (e) => { for (; e; e = e.parentElement) { const p = parts(getComputedStyle(e).backgroundColor); if (p.length < 4 || p[3] > 0) return p; } return [255, 255, 255]; };
  const weigh = (what, front, back) => { const a = light(front), b = light(back), ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 4.5) low.push([what, ratio, front, back]); };
  for (const e of document.querySelectorAll("body *")) {
    if (e.disabled || e.closest("svg") || !e.checkVisibility() || ![...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim())) continue;
    weigh(e.tagName + " " + e.textContent.slice(0, 40), parts(getComputedStyle(e).color), behind(e));
  }
  for (const text of document.querySelectorAll("svg text")) {
    if (!text.checkVisibility()) continue;
    text.scrollIntoView({ block: "center", behavior: "instant" });
    const box = text.getBoundingClientRect();
    const stack = document.elementsFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    const ground = stack.find((e) => e instanceof SVGGeometryElement && getComputedStyle(e).fill !== "none");
    weigh("letters in " + text.closest("[aria-labelledby]").getAttribute("aria-labelledby") + " " + text.textContent, parts(getComputedStyle(text).fill),
      ground ? parts(getComputedStyle(ground).fill) : behind(text.ownerSVGElement));
  }
  return low; })()"""

# Elements that the Tab key should reach: one of each radio group, the chosen or the first, and all other controls. FOCUSED also checks visibility.
NAME = """(e) => e.id || e.getAttribute("href") || (e.name ? e.name + "=" + e.value : e.tagName) + " " + [...document.querySelectorAll(e.tagName)].indexOf(e)"""
REACHABLE = f"""[...document.querySelectorAll("a[href], summary, button, select, input, textarea, [tabindex]:not([tabindex='-1'])")].filter((e) => !e.disabled &&
  e.checkVisibility() && (e.type !== "radio" || e === (document.querySelector(`input[name="${{e.name}}"]:checked`) ?? document.querySelector(`input[name="${{e.name}}"]`)))).map({NAME})"""
FOCUSED = f"""(() => {{ const e = document.activeElement, mark = e.closest(".tabs, .chips") ? e.nextElementSibling : e, style = getComputedStyle(mark);
  const box = mark.getBoundingClientRect(), top = Math.max(box.top, 0), foot = Math.min(box.bottom, innerHeight);
  const at = (y) => document.elementFromPoint(box.left + box.width / 2, y), own = (e) => e && (e === mark || mark.contains(e) || e.contains(mark));
  const above = foot <= top ? null : own(at(top + Math.min((foot - top) / 2, 20))) ? mark : at((top + foot) / 2); // of a tall one, a part (WCAG 2.2, 2.4.11)
  return {{ id: e === document.body ? "" : ({NAME})(e), ring: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
           seen: !!above && (above === mark || above === e || mark.contains(above) || above.contains(mark)) }}; }})()"""


def tab_through(test, browser):
    """Checks that the Tab key reaches every control, and that each shows its focus."""
    browser.run("document.activeElement.blur(); window.scrollTo(0, 0)")
    wanted, reached = browser.run(REACHABLE), []
    for _ in range(2 * len(wanted)):
        browser.press("Tab", virtual=9)
        at = browser.run(FOCUSED)
        if at["id"] in reached or at["id"] == "":
            break
        test.assertTrue(at["ring"], at)
        test.assertTrue(at["seen"], at)
        reached.append(at["id"])
    test.assertEqual(sorted(reached), sorted(wanted))


class Browser:
    """One page; collects console messages and exceptions in `complaints`, URLs in `requests`."""

    def __init__(self, patience=60):
        self.patience = patience
        self.folder = tempfile.mkdtemp(prefix="wintergrub-browser-")
        to_read, self.write_end = os.pipe()
        self.read_end, to_write = os.pipe()
        self.process = subprocess.Popen(
            ["sh", "-c", f'exec "$@" 3<&{to_read} 4>&{to_write}', "sh", "chromium", *FLAGS, f"--user-data-dir={self.folder}"],
            pass_fds=(to_read, to_write), stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(to_read)
        os.close(to_write)
        self.buffer, self.number, self.session = b"", 0, None
        self.complaints, self.requests, self.happened = [], [], set()
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self.session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(domain + ".enable")

    def close(self):
        try:
            self.session = None
            self.call("Browser.close")
            self.process.wait(20)
        except (OSError, TimeoutError, subprocess.TimeoutExpired):
            self.process.kill()
            self.process.wait()
        os.close(self.read_end)
        os.close(self.write_end)
        shutil.rmtree(self.folder, ignore_errors=True)

    def processor_time(self):
        """Returns the seconds of processor time that the browser's processes have taken: unlike those of a clock, other programs hardly change them."""
        parents, ticks = {}, {}
        for pid in filter(str.isdigit, os.listdir("/proc")):
            try:
                with open(f"/proc/{pid}/stat", encoding="utf-8", errors="replace") as file:
                    fields = file.read().rpartition(")")[2].split()
            except OSError:  # it has ended
                continue
            parents[int(pid)], ticks[int(pid)] = int(fields[1]), int(fields[11]) + int(fields[12])
        own = {self.process.pid}
        while more := {pid for pid, parent in parents.items() if parent in own} - own:
            own |= more
        return sum(ticks.get(pid, 0) for pid in own) / os.sysconf("SC_CLK_TCK")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()

    def receive(self, until):
        while b"\0" not in self.buffer:
            if not select.select([self.read_end], [], [], max(0, until - time.monotonic()))[0]:
                raise TimeoutError("the browser does not answer")
            more = os.read(self.read_end, 1 << 20)
            if not more:
                raise OSError("the browser is gone")
            self.buffer += more
        text, self.buffer = self.buffer.split(b"\0", 1)
        message = json.loads(text)
        self.note(message.get("method"), message.get("params", {}))
        return message

    def note(self, method, about):
        if method == "Runtime.exceptionThrown":
            self.complaints.append(json.dumps(about["exceptionDetails"]))
        elif method == "Runtime.consoleAPICalled":
            self.complaints.append(json.dumps(about["args"]))
        elif method == "Log.entryAdded":
            self.complaints.append(about["entry"]["text"])
        elif method == "Network.requestWillBeSent":
            self.requests.append(about["request"]["url"][:200])
        elif method:
            self.happened.add(method)

    def call(self, method, **params):
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.write_end, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + self.patience
        while True:
            answer = self.receive(until)
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]

    def run(self, script):
        """Returns the value of a JavaScript expression; awaits a promise."""
        result = self.call("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in result:
            raise RuntimeError(json.dumps(result["exceptionDetails"])[:2000])
        return result["result"].get("value")

    def size(self, width, height, phone=False):
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=2 if phone else 1, mobile=phone)

    def media(self, **features):
        self.call("Emulation.setEmulatedMedia", features=[{"name": k.replace("_", "-"), "value": v} for k, v in features.items()])

    def open(self, path, ready="document.fonts.ready.then(() => 1)"):
        """Waits until the page is loaded and the promise `ready` is resolved."""
        self.happened.discard("Page.loadEventFired")
        self.call("Page.navigate", url="file://" + os.path.abspath(path))
        until = time.monotonic() + self.patience
        while "Page.loadEventFired" not in self.happened:
            self.receive(until)
        self.run(ready)

    def wait(self, script, seconds=20):
        until = time.monotonic() + seconds
        while not self.run(script):
            if time.monotonic() > until:
                raise TimeoutError(script)
            time.sleep(0.05)

    def press(self, key, code=None, text=None, virtual=0):
        keys = {"key": key, "code": code or key, "windowsVirtualKeyCode": virtual}
        if text:
            keys["text"] = text
        self.call("Input.dispatchKeyEvent", type="keyDown", **keys)
        self.call("Input.dispatchKeyEvent", type="keyUp", **keys)

    def printed(self, width_in, height_in):
        """Returns the page as a PDF on paper of that size in inches."""
        done = self.call("Page.printToPDF", paperWidth=width_in, paperHeight=height_in, printBackground=True)
        return base64.b64decode(done["data"])

    def picture(self, path, whole=False):
        with open(path, "wb") as file:
            file.write(base64.b64decode(self.call("Page.captureScreenshot", captureBeyondViewport=whole, format="png")["data"]))
