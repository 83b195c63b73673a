# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

"""A headless Firefox for tests, driven through its Marionette port: a length, a colon and a JSON text each way. No library.
The methods are those of chromium.py, as far as tests of both browsers need them."""

import base64
import json
import os
import shutil
import socket
import subprocess
import tempfile
import time

PREFERENCES = {
    "marionette.port": 0,  # the profile's file MarionetteActivePort has the port
    "browser.shell.checkDefaultBrowser": False,
    "browser.startup.homepage_override.mstone": "ignore",
    "datareporting.policy.dataSubmissionEnabled": False,
    "toolkit.telemetry.reportingpolicy.firstRun": False,
    "app.update.enabled": False,
    "app.normandy.enabled": False,
    "extensions.getAddons.cache.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "browser.safebrowsing.malware.enabled": False,
    "browser.safebrowsing.phishing.enabled": False,
    "dom.disable_open_during_load": False,
}


class Firefox:
    """One page; `complaints()` lists the errors of the page that the console has."""

    def __init__(self, patience=120, **preferences):
        self.patience = patience
        self.folder = tempfile.mkdtemp(prefix="wintergrub-firefox-")
        with open(os.path.join(self.folder, "user.js"), "w", encoding="utf-8") as file:
            for name, value in {**PREFERENCES, **preferences}.items():
                file.write(f"user_pref({json.dumps(name)}, {json.dumps(value)});\n")
        self.process = subprocess.Popen(
            ["firefox-esr", "--headless", "--marionette", "--remote-allow-system-access", "--no-remote", "--profile", self.folder],
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env={**os.environ, "HOME": self.folder},
        )  # fmt: skip
        self.socket, self.buffer, self.number, self.zoom = None, b"", 0, 1.0
        try:
            self.socket = socket.create_connection(("127.0.0.1", self.port()), self.patience)
            self.receive()  # its greeting
            self.call("WebDriver:NewSession", capabilities={"alwaysMatch": {"acceptInsecureCerts": False, "timeouts": {"script": 1000 * patience}}})
        except BaseException:
            self.close()
            raise

    def port(self):
        until, path = time.monotonic() + self.patience, os.path.join(self.folder, "MarionetteActivePort")
        while time.monotonic() < until:
            if os.path.exists(path):
                with open(path, encoding="ascii") as file:
                    text = file.read().strip()
                if text:
                    return int(text)
            if self.process.poll() is not None:
                raise OSError("the browser is gone")
            time.sleep(0.1)
        raise TimeoutError("the browser does not start")

    def close(self):
        if self.socket:
            try:
                self.call("Marionette:Quit", flags=["eForceQuit"])
            except (OSError, RuntimeError):
                pass
            self.socket.close()
        try:
            self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()

    def more(self):
        got = self.socket.recv(1 << 20)
        if not got:
            raise OSError("the browser is gone")
        self.buffer += got

    def receive(self):
        while b":" not in self.buffer:
            self.more()
        length, self.buffer = self.buffer.split(b":", 1)
        while len(self.buffer) < int(length):
            self.more()
        text, self.buffer = self.buffer[: int(length)], self.buffer[int(length) :]
        return json.loads(text)

    def call(self, command, **params):
        self.number += 1
        text = json.dumps([0, self.number, command, params]).encode()
        self.socket.sendall(str(len(text)).encode() + b":" + text)
        while True:
            answer = self.receive()
            if answer[0] == 1 and answer[1] == self.number:
                if answer[2]:
                    raise RuntimeError(f"{command}: {answer[2]}")
                return answer[3]

    def run(self, script):
        """Returns the value of a JavaScript expression; awaits a promise."""
        done = self.call(
            "WebDriver:ExecuteAsyncScript",
            script="const done = arguments[arguments.length - 1]; Promise.resolve().then(() => (" + script + "))"
            ".then((value) => done({ value }), (error) => done({ error: String(error) + error.stack }));",
            args=[], sandbox=None,
        )["value"]  # fmt: skip
        if "error" in done:
            raise RuntimeError(done["error"])
        return done.get("value")

    def chrome(self, script):
        """Runs a script with the browser's own rights."""
        self.call("Marionette:SetContext", value="chrome")
        try:
            return self.call("WebDriver:ExecuteScript", script=script, args=[])["value"]
        finally:
            self.call("Marionette:SetContext", value="content")

    def size(self, width, height, phone=False):
        """Sets the size of the page. A window has 500 pixels at least: on a narrower phone everything is magnified."""
        self.zoom = max(1.0, 500 / width)
        inner = self.run("[window.outerWidth - window.innerWidth, window.outerHeight - window.innerHeight]")
        self.call("WebDriver:SetWindowRect", x=0, y=0, width=round(self.zoom * width) + inner[0], height=round(self.zoom * height) + inner[1])

    def open(self, path, ready="document.fonts.ready.then(() => 1)"):
        self.call("WebDriver:Navigate", url="file://" + os.path.abspath(path))
        self.chrome(f"gBrowser.selectedBrowser.fullZoom = {self.zoom};")
        self.run(ready)

    def wait(self, script, seconds=30):
        until = time.monotonic() + seconds
        while not self.run(script):
            if time.monotonic() > until:
                raise TimeoutError(script)
            time.sleep(0.1)

    def complaints(self):
        """Errors and warnings of policy on pages from files."""
        return self.chrome(
            "return Services.console.getMessageArray().filter((m) => m instanceof Ci.nsIScriptError && String(m.sourceName).startsWith('file:'))"
            ".map((m) => m.errorMessage);"
        )

    def picture(self, path, whole=False):
        done = self.call("WebDriver:TakeScreenshot", full=whole, hash=False)
        with open(path, "wb") as file:
            file.write(base64.b64decode(done["value"]))
