"""A headless Chromium, driven by its DevTools protocol: what a person would see and do with a report."""

import base64
import json
import pathlib
import re
import shutil
import subprocess
import time

import websocket

NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
KEYS = {"Tab": 9, "Enter": 13, " ": 32, "End": 35, "Home": 36, "ArrowLeft": 37, "ArrowRight": 39}


def find():
    """The path of a Chromium; none where there is none."""
    return next(filter(None, map(shutil.which, NAMES)), None)


class Browser:
    def __init__(self, profile):
        self._process = subprocess.Popen(
            [find(), "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars",
             "--remote-debugging-port=0", "--remote-allow-origins=*", f"--user-data-dir={profile}", "about:blank"],
            stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True,
        )  # fmt: skip
        self._socket = websocket.create_connection(self._address(), timeout=120, suppress_origin=True)
        self._number = 0
        self.events = []

    def _address(self):
        for line in self._process.stderr:
            found = re.search(r"listening on (ws://\S+)", line)
            if found:
                return found.group(1)
        raise RuntimeError("the browser did not start")

    def close(self):
        self.call("Browser.close")  # what was started may be a script that has started the browser
        self._socket.close()
        self._process.terminate()
        self._process.wait(30)

    def _receive(self):
        message = json.loads(self._socket.recv())
        if "method" in message:
            self.events.append(message)
        return message

    def call(self, method, session=None, **parameters):
        self._number += 1
        number = self._number
        request = {"id": number, "method": method, "params": parameters}
        if session:
            request["sessionId"] = session
        self._socket.send(json.dumps(request))
        while True:
            message = self._receive()
            if message.get("id") == number:
                if "error" in message:
                    raise RuntimeError(f"{method}: {message['error']}")
                return message["result"]

    def open(self, path, width=1280, height=900, dark=False, mobile=False):
        return Page(self, pathlib.Path(path).resolve().as_uri(), width, height, dark, mobile)


class Page:
    def __init__(self, browser, address, width, height, dark, mobile):
        self._browser = browser
        self.address = address
        target = browser.call("Target.createTarget", url="about:blank")["targetId"]
        self._target = target
        self._session = browser.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.call(f"{domain}.enable")
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=mobile)
        self.dark(dark)
        self.call("Page.navigate", url=address)
        self.wait("document.readyState === 'complete'")

    def call(self, method, **parameters):
        return self._browser.call(method, session=self._session, **parameters)

    def dark(self, wanted):
        features = [{"name": "prefers-color-scheme", "value": "dark" if wanted else "light"}]
        self.call("Emulation.setEmulatedMedia", features=features)

    def evaluate(self, expression):
        result = self.call("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in result:
            raise RuntimeError(result["exceptionDetails"]["exception"].get("description", expression))
        return result["result"].get("value")

    def wait(self, expression, seconds=60):
        end = time.monotonic() + seconds
        while not self.evaluate(expression):
            if time.monotonic() > end:
                raise TimeoutError(expression)
            time.sleep(0.02)

    def settle(self):
        """Two frames later: what was to be drawn is drawn."""
        self.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))")

    def press(self, key, shift=False):
        common = {"key": key, "windowsVirtualKeyCode": KEYS[key], "modifiers": 8 if shift else 0}
        text = {" ": " ", "Enter": "\r"}.get(key)
        self.call("Input.dispatchKeyEvent", type="keyDown", **common, **({"text": text} if text else {}))
        self.call("Input.dispatchKeyEvent", type="keyUp", **common)

    def click(self, x, y):
        for kind in ("mousePressed", "mouseReleased"):
            self.call("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    def screenshot(self, path, whole=True):
        more = {}
        if whole:
            size = self.call("Page.getLayoutMetrics")["cssContentSize"]
            more = {"captureBeyondViewport": True,
                    "clip": {"x": 0, "y": 0, "width": size["width"], "height": size["height"], "scale": 1}}  # fmt: skip
        image = self.call("Page.captureScreenshot", format="png", **more)["data"]
        pathlib.Path(path).write_bytes(base64.b64decode(image))

    def pdf(self, path, letter=False):
        size = {"paperWidth": 8.5, "paperHeight": 11} if letter else {"paperWidth": 8.27, "paperHeight": 11.69}
        text = self.call("Page.printToPDF", printBackground=True, preferCSSPageSize=False, **size)["data"]
        pathlib.Path(path).write_bytes(base64.b64decode(text))

    def _mine(self, *methods):
        return [e for e in self._browser.events if e.get("sessionId") == self._session and e["method"] in methods]

    def complaints(self):
        """Errors, warnings, exceptions and refusals that the page has caused."""
        said = [e["params"]["exceptionDetails"] for e in self._mine("Runtime.exceptionThrown")]
        said += [e["params"] for e in self._mine("Runtime.consoleAPICalled") if e["params"]["type"] in ("error", "warning", "assert")]
        return said + [e["params"]["entry"] for e in self._mine("Log.entryAdded") if e["params"]["entry"]["level"] in ("error", "warning")]

    def requests(self):
        """What was asked for beside the file itself."""
        asked = [e["params"]["request"]["url"] for e in self._mine("Network.requestWillBeSent")]
        return [url for url in asked if url not in (self.address, "about:blank")]

    def close(self):
        self._browser.call("Target.closeTarget", targetId=self._target)
