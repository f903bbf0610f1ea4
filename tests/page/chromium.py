# SPDX-License-Identifier: Apache-2.0
"""Chromium without a window, spoken to by the DevTools protocol over two pipes: no package is needed."""
import base64
import json
import os
import select
import shutil
import subprocess
import tempfile
import time

NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")


def find():
    """Path of a Chromium, or None."""
    return os.environ.get("CABINLOAD_CHROMIUM") or next(filter(None, map(shutil.which, NAMES)), None)


class Browser:
    def __init__(self, program):
        self.folder = tempfile.mkdtemp(prefix="cabinload-chromium-")
        options = ["--headless", "--remote-debugging-pipe", "--no-sandbox", "--disable-gpu", "--no-first-run",
                   "--disable-background-networking", "--disable-component-update", "--disable-sync",
                   "--disable-dev-shm-usage", "--force-color-profile=srgb", "--hide-scrollbars",
                   "--user-data-dir=" + self.folder, "about:blank"]
        # The protocol reads from descriptor 3 and writes to 4.
        self.process = subprocess.Popen(["sh", "-c", 'exec "$@" 3<&0 4>&1 0</dev/null 1>&2', "sh", program, *options],
                                        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
        self.number, self.rest, self.events = 0, b"", []

    def __enter__(self):
        return self

    def __exit__(self, *_):
        try:
            self.call("Browser.close", timeout_s=5)
            self.process.wait(5)
        except Exception:  # it is gone, or does not answer
            self.process.kill()
            self.process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _message(self, deadline):
        while b"\0" not in self.rest:
            left = deadline - time.monotonic()
            if left <= 0 or not select.select([self.process.stdout], [], [], left)[0]:
                raise TimeoutError("the browser does not answer")
            more = os.read(self.process.stdout.fileno(), 1 << 20)
            if not more:
                raise EOFError("the browser has ended")
            self.rest += more
        line, self.rest = self.rest.split(b"\0", 1)
        return json.loads(line)

    def call(self, method, session=None, timeout_s=60, **parameters):
        self.number += 1
        message = {"id": self.number, "method": method, "params": parameters}
        if session:
            message["sessionId"] = session
        self.process.stdin.write(json.dumps(message).encode() + b"\0")
        self.process.stdin.flush()
        deadline = time.monotonic() + timeout_s
        while True:
            answer = self._message(deadline)
            if answer.get("id") != self.number:
                self.events.append(answer)
            elif "error" in answer:
                raise RuntimeError(f"{method}: {answer['error']['message']}")
            else:
                return answer["result"]

    def wait_for(self, method, session, timeout_s=60):
        deadline = time.monotonic() + timeout_s
        seen = 0
        while True:
            for event in self.events[seen:]:
                if event.get("method") == method and event.get("sessionId") == session:
                    return event["params"]
            seen = len(self.events)
            self.events.append(self._message(deadline))


class Page:
    """A tab with a file in it, and what went wrong in it."""

    def __init__(self, browser, width=1280, height=900, scripts=True, dark=False):
        self.browser = browser
        target = browser.call("Target.createTarget", url="about:blank")["targetId"]
        self.session = browser.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        self.target = target
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(domain + ".enable")
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1,
                  mobile=width < 600)
        self.light(dark)
        self.call("Performance.enable", timeDomain="threadTicks")
        if not scripts:
            self.call("Emulation.setScriptExecutionDisabled", value=True)

    def call(self, method, **parameters):
        return self.browser.call(method, session=self.session, **parameters)

    def light(self, dark):
        self.call("Emulation.setEmulatedMedia",
                  features=[{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}])

    def open(self, path):
        self.call("Page.navigate", url="file://" + os.path.abspath(path))
        self.browser.wait_for("Page.loadEventFired", self.session)
        return self

    def js(self, expression):
        answer = self.call("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in answer:
            details = answer["exceptionDetails"]
            raise RuntimeError(details.get("exception", {}).get("description", details["text"]))
        return answer["result"].get("value")

    def click(self, selector):
        """A real click in the middle of an element."""
        x, y = self.js(f"(() => {{ const e = document.querySelector({json.dumps(selector)});"
                       "e.scrollIntoView({block: 'center', behavior: 'instant'}); const r = e.getBoundingClientRect();"
                       "return [r.x + r.width / 2, r.y + r.height / 2]; })()")
        for kind in ("mousePressed", "mouseReleased"):
            self.call("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    def key(self, name):
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=name, code=name,
                      windowsVirtualKeyCode={"Tab": 9, "ArrowRight": 39, "ArrowLeft": 37, "End": 35, "Home": 36}[name])

    def _events(self, method):
        return [e["params"] for e in self.browser.events
                if e.get("method") == method and e.get("sessionId") == self.session]

    def problems(self):
        """What the console says that is no mere information."""
        self.js("1")  # what is on its way arrives before the answer
        return ([e["exceptionDetails"].get("exception", {}).get("description", e["exceptionDetails"]["text"])
                 for e in self._events("Runtime.exceptionThrown")] +
                [str(e["args"]) for e in self._events("Runtime.consoleAPICalled") if e["type"] in ("error", "warning", "assert")] +
                [e["entry"]["text"] for e in self._events("Log.entryAdded") if e["entry"]["level"] in ("error", "warning")])

    def working_s(self):
        """Processor time of the page's main thread: it does not grow when others have the machine."""
        return {m["name"]: m["value"] for m in self.call("Performance.getMetrics")["metrics"]}["TaskDuration"]

    def requests(self):
        return [e["request"]["url"] for e in self._events("Network.requestWillBeSent")]

    def picture(self, path, whole=True):
        data = self.call("Page.captureScreenshot", captureBeyondViewport=whole,
                         **({"clip": self._whole()} if whole else {}))["data"]
        with open(path, "wb") as out:
            out.write(base64.b64decode(data))

    def _whole(self):
        size = self.call("Page.getLayoutMetrics")["cssContentSize"]
        return {"x": 0, "y": 0, "width": size["width"], "height": size["height"], "scale": 1}

    def pdf(self, width_in, height_in):
        return base64.b64decode(self.call("Page.printToPDF", paperWidth=width_in, paperHeight=height_in,
                                          printBackground=True, preferCSSPageSize=False,
                                          marginTop=0.43, marginBottom=0.43, marginLeft=0.47, marginRight=0.47)["data"])

    def close(self):
        self.browser.call("Target.closeTarget", targetId=self.target)
