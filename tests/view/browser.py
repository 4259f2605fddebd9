# SPDX-License-Identifier: MIT
"""A headless Chromium driven through its debugging pipe: open a page, evaluate,
press, type, drag, look. Used by the checks of the page; needs no package."""
import base64
import json
import os
import shutil
import subprocess
import tempfile
import time

FLAGS = ("--headless --no-sandbox --disable-gpu --disable-quic --no-first-run "
         "--disable-background-networking --disable-component-update "
         "--disable-sync --hide-scrollbars --remote-debugging-pipe").split()


def find():
    """The path of Chromium, or None."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


class Browser:
    def __init__(self):
        self.profile = tempfile.mkdtemp()
        read_there, self.write = os.pipe()
        self.read, write_there = os.pipe()

        def hand_over():  # the browser reads descriptor 3 and writes 4
            os.dup2(read_there, 103)
            os.dup2(write_there, 104)
            os.dup2(103, 3)
            os.dup2(104, 4)

        self.process = subprocess.Popen(
            [find(), *FLAGS, "--user-data-dir=" + self.profile, "about:blank"],
            close_fds=False, preexec_fn=hand_over, stderr=subprocess.DEVNULL)
        os.close(read_there)
        os.close(write_there)
        self.number, self.rest, self.complaints = 0, b"", []
        targets = self.call("Target.getTargets")["targetInfos"]
        target = next(t for t in targets if t["type"] == "page")["targetId"]
        self.session = None
        self.session = self.call("Target.attachToTarget", targetId=target,
                                 flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log"):
            self.call(domain + ".enable")

    def close(self):
        self.process.kill()
        self.process.wait()
        shutil.rmtree(self.profile, ignore_errors=True)

    def message(self):
        while b"\0" not in self.rest:
            part = os.read(self.read, 1 << 20)
            if not part:
                raise RuntimeError("the browser has ended")
            self.rest += part
        text, self.rest = self.rest.split(b"\0", 1)
        return json.loads(text)

    def note(self, message):
        """Keeps what the console, the policy or an exception complain of."""
        kind = message.get("method")
        if kind in ("Runtime.exceptionThrown", "Log.entryAdded",
                    "Runtime.consoleAPICalled"):
            self.complaints.append(json.dumps(message["params"])[:400])

    def call(self, method, **parameters):
        self.number += 1
        command = {"id": self.number, "method": method, "params": parameters}
        if getattr(self, "session", None):
            command["sessionId"] = self.session
        os.write(self.write, json.dumps(command).encode() + b"\0")
        while True:
            message = self.message()
            if message.get("id") == self.number:
                if "error" in message:
                    raise RuntimeError(method + ": " + str(message["error"]))
                return message["result"]
            self.note(message)

    def evaluate(self, expression):
        result = self.call("Runtime.evaluate", expression=expression,
                           returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in result:
            raise RuntimeError(str(result["exceptionDetails"])[:400])
        return result["result"].get("value")

    def settle(self):
        """Waits until what was asked for is drawn."""
        self.evaluate("new Promise(f => requestAnimationFrame(() => "
                      "requestAnimationFrame(() => setTimeout(f, 0))))")

    def size(self, width, height, dark=False):
        self.call("Emulation.setDeviceMetricsOverride", width=width,
                  height=height, deviceScaleFactor=1, mobile=width < 600)
        self.call("Emulation.setEmulatedMedia", features=[
            {"name": "prefers-color-scheme",
             "value": "dark" if dark else "light"}])

    def open(self, path):
        """Opens a file; returns the seconds until it is drawn."""
        begin = time.monotonic()
        self.call("Page.navigate", url="file://" + os.path.abspath(path))
        while self.evaluate("location.protocol === 'file:' && "
                            "document.readyState") != "complete":
            time.sleep(0.01)
        self.settle()
        return time.monotonic() - begin

    def drag(self, element, start, end):
        """Drags within an element, from and to parts 0 … 1 of its size."""
        b = self.evaluate(
            "(() => { const e = document.querySelector(%s); "
            "e.scrollIntoView({block: 'center'}); "
            "const b = e.getBoundingClientRect(); "
            "return [b.x, b.y, b.width, b.height]; })()" % json.dumps(element))
        (x0, y0), (x1, y1) = [(b[0] + x * b[2], b[1] + y * b[3])
                              for x, y in (start, end)]
        for kind, x, y in (("mousePressed", x0, y0),
                           ("mouseMoved", (x0 + x1) / 2, (y0 + y1) / 2),
                           ("mouseMoved", x1, y1), ("mouseReleased", x1, y1)):
            self.call("Input.dispatchMouseEvent", type=kind, x=x, y=y,
                      button="left", buttons=1, clickCount=1)
        self.settle()

    def press(self, key, text=None):
        codes = {"Tab": 9, "Enter": 13, " ": 32}
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=key,
                      text=text or {"Enter": "\r", " ": " "}.get(key, ""),
                      windowsVirtualKeyCode=codes.get(key, 0))
        self.settle()

    def type(self, text):
        self.call("Input.insertText", text=text)
        self.settle()

    def picture(self, path, whole=True):
        image = self.call("Page.captureScreenshot", captureBeyondViewport=whole)
        with open(path, "wb") as file:
            file.write(base64.b64decode(image["data"]))

    def pdf(self):
        return base64.b64decode(self.call(
            "Page.printToPDF", preferCSSPageSize=True)["data"])
