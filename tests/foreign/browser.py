"""A headless Chromium, spoken to over a pipe (Chrome DevTools Protocol), without a library."""
import base64
import json
import os
import select
import shutil
import subprocess
import tempfile
import time

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
# Seconds that one answer may take: software drawing on a busy machine is slow.
PATIENCE = 180


def find():
    """Path of a browser, or None."""
    asked = os.environ.get("CHROMIUM")
    return shutil.which(asked) if asked else next(filter(None, map(shutil.which, NAMES)), None)


class Browser:
    def __init__(self, path):
        self.profile = tempfile.TemporaryDirectory(prefix="page-check-", ignore_cleanup_errors=True)
        to_read, self.to = os.pipe()
        self.back, to_write = os.pipe()
        # The browser reads commands from descriptor 3 and answers on 4.
        line = 'exec "$0" "$@" 3<&{} 4>&{}'.format(to_read, to_write)
        self.process = subprocess.Popen(
            ["bash", "-c", line, path, "--headless", "--no-sandbox", "--remote-debugging-pipe",
             "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--no-first-run",
             "--hide-scrollbars", f"--user-data-dir={self.profile.name}", "about:blank"],
            pass_fds=(to_read, to_write), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(to_read)
        os.close(to_write)
        self.buffer, self.number, self.events = b"", 0, []
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self.session = None
        self.session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network", "DOM", "Accessibility"):
            self.call(f"{domain}.enable")

    def close(self):
        self.process.terminate()
        self.process.wait(30)
        os.close(self.to)
        os.close(self.back)
        self.profile.cleanup()

    def _message(self, until):
        while b"\0" not in self.buffer:
            ready = select.select([self.back], [], [], max(0, until - time.monotonic()))[0]
            if not ready:
                raise TimeoutError("the browser does not answer")
            read = os.read(self.back, 1 << 20)
            if not read:
                raise EOFError("the browser ended")
            self.buffer += read
        message, self.buffer = self.buffer.split(b"\0", 1)
        return json.loads(message)

    def call(self, method, **params):
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if getattr(self, "session", None):
            message["sessionId"] = self.session
        data = json.dumps(message).encode() + b"\0"
        while data:
            data = data[os.write(self.to, data):]
        until = time.monotonic() + PATIENCE
        while True:
            answer = self._message(until)
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            self.events.append(answer)

    def run(self, script):
        """The value of an expression, which may be a promise."""
        answer = self.call("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"])
        return answer["result"].get("value")

    def size(self, width, height, phone=False):
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height,
                  deviceScaleFactor=1, mobile=phone)

    def dark(self, on):
        features = [{"name": "prefers-color-scheme", "value": "dark" if on else "light"},
                    {"name": "prefers-reduced-motion", "value": "reduce"}]
        self.call("Emulation.setEmulatedMedia", media="", features=features)

    def printed(self):
        """As on paper, until `dark` is asked for again."""
        self.call("Emulation.setEmulatedMedia", media="print")

    def open(self, path):
        self.go(path.resolve().as_uri())

    def go(self, url):
        self.events.clear()
        self.call("Page.navigate", url=url)
        self.run("new Promise(d => document.readyState === 'complete' ? d() : addEventListener('load', d))")
        self.settle()

    def settle(self):
        """Until what was asked for is drawn."""
        self.run("new Promise(d => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(d, 50))))")

    def picture(self, whole=False):
        """PNG of what is seen, or of the whole page."""
        answer = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        return base64.b64decode(answer["data"])
