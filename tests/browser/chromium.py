"""A headless Chromium, spoken to over a pipe by its DevTools protocol.

No library is needed: messages are JSON, each ended by a zero byte, read from
file 3 and written to file 4 of the browser's process.
"""

from __future__ import annotations

import base64
import json
import os
import select
import shutil
import subprocess
import sys
import tempfile
import time
from typing import Any

NAMES = ("chromium", "chromium-browser")
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--remote-debugging-pipe",
)
#: Puts the two ends where the browser looks for them, and becomes the browser.
START = """
import fcntl, os, sys
ends = [fcntl.fcntl(int(n), fcntl.F_DUPFD, 20) for n in sys.argv[1:3]]
for end, place in zip(ends, (3, 4)):
    os.dup2(end, place)
os.execv(sys.argv[3], sys.argv[3:])
"""
PATIENCE = 30.0  # longest wait for an answer [s]


def find() -> str | None:
    """Return the browser's path, if one is installed."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


class Page:
    """One tab; `close` ends the browser.

    `errors` holds all that went wrong or was written to the console, `requests`
    every address that was asked for.
    """

    def __init__(self, path: str, *, size: tuple[int, int] = (1280, 1000)) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="linkage-browser-", ignore_cleanup_errors=True)  # fmt: skip
        to_read, self._out = os.pipe()
        self._in, to_write = os.pipe()
        words = [path, *FLAGS, f"--user-data-dir={self._folder.name}", f"--window-size={size[0]},{size[1]}", "about:blank"]  # fmt: skip
        self._process = subprocess.Popen(
            [sys.executable, "-c", START, str(to_read), str(to_write), *words],
            pass_fds=(to_read, to_write),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(to_read)
        os.close(to_write)
        self._left = b""
        self._number = 0
        self._session = ""
        self.errors: list[str] = []
        self.requests: list[str] = []
        try:
            target = self.send("Target.createTarget", url="about:blank")["targetId"]
            self._session = self.send("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]  # fmt: skip
            for domain in ("Page", "Runtime", "Log", "Network"):
                self.send(f"{domain}.enable")
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """End the browser and take its folder away."""
        self._process.terminate()
        try:
            self._process.wait(10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        os.close(self._in)
        os.close(self._out)
        self._folder.cleanup()

    def send(self, method: str, **params: Any) -> dict[str, Any]:
        """Ask the browser for something and return its answer."""
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": params}  # fmt: skip
        if self._session:
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        end = time.monotonic() + PATIENCE
        while True:
            answer = self._receive(end)
            if answer.get("id") == self._number:
                if "error" in answer:
                    msg = f"{method}: {answer['error']}"
                    raise RuntimeError(msg)
                return answer["result"]

    def _receive(self, end: float) -> dict[str, Any]:
        while b"\0" not in self._left:
            ready, _, _ = select.select([self._in], [], [], max(end - time.monotonic(), 0))  # fmt: skip
            data = os.read(self._in, 1 << 16) if ready else b""
            if not data:
                msg = "the browser does not answer"
                raise TimeoutError(msg)
            self._left += data
        text, _, self._left = self._left.partition(b"\0")
        message = json.loads(text)
        self._note(message)
        return message

    def _note(self, message: dict[str, Any]) -> None:
        method, params = message.get("method"), message.get("params", {})
        if method == "Runtime.exceptionThrown":
            self.errors.append(json.dumps(params["exceptionDetails"])[:500])
        elif method == "Runtime.consoleAPICalled":
            self.errors.append(json.dumps(params["args"])[:500])
        elif method == "Log.entryAdded":
            self.errors.append(params["entry"]["text"])
        elif method == "Network.requestWillBeSent":
            self.requests.append(params["request"]["url"])

    def media(self, **features: str) -> None:
        """Set preferences of the user, such as prefers_reduced_motion."""
        named = [{"name": k.replace("_", "-"), "value": v} for k, v in features.items()]
        self.send("Emulation.setEmulatedMedia", features=named)

    def open(self, url: str) -> None:
        """Open an address and wait until it has loaded."""
        self.send("Page.navigate", url=url)
        end = time.monotonic() + PATIENCE
        while (
            self.value("location.href + ' ' + document.readyState") != f"{url} complete"
        ):
            if time.monotonic() > end:
                msg = f"{url} does not load"
                raise TimeoutError(msg)
            time.sleep(0.05)

    def value(self, script: str) -> Any:
        """Return what an expression gives in the page."""
        answer = self.send("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)  # fmt: skip
        if "exceptionDetails" in answer:
            raise RuntimeError(json.dumps(answer["exceptionDetails"])[:800])
        return answer["result"].get("value")

    def key(self, key: str, code: str = "", number: int = 0) -> None:
        """Press and release a key, as a person would."""
        text = {"text": key} if len(key) == 1 else {}
        for kind in ("keyDown", "keyUp"):
            more = text if kind == "keyDown" else {}
            self.send("Input.dispatchKeyEvent", type=kind, key=key, code=code or key, windowsVirtualKeyCode=number, **more)  # fmt: skip

    def screenshot(self, size: tuple[int, int]) -> bytes:
        """Return the page as a PNG at a window size."""
        self.send("Emulation.setDeviceMetricsOverride", width=size[0], height=size[1], deviceScaleFactor=1, mobile=False)  # fmt: skip
        return base64.b64decode(self.send("Page.captureScreenshot", format="png", captureBeyondViewport=True)["data"])  # fmt: skip
