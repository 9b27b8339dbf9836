"""Two more browser engines than Chromium, without a library for each: Firefox (Gecko) and MiniBrowser (WebKitGTK).

Firefox is driven by WebDriver BiDi (a W3C working draft) over its debugging port, WebKitGTK by W3C WebDriver through
WebKitWebDriver, on a screen of Xvfb.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import socket
import subprocess
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any, Protocol

import httpx
from websockets.sync.client import ClientConnection, connect

from tests.devices.waiting import until

_QUIET = {
    "datareporting.policy.dataSubmissionEnabled": False, "app.update.enabled": False, "app.normandy.enabled": False,
    "browser.shell.checkDefaultBrowser": False, "browser.startup.homepage_override.mstone": "ignore",
    "network.captive-portal-service.enabled": False, "network.connectivity-service.enabled": False,
    "services.settings.server": "data:,#remote-settings-dummy/v1", "toolkit.telemetry.enabled": False,
}  # fmt: skip
"""Firefox talks to nobody but the page."""


class Engine(Protocol):
    """A browser with one page."""

    def go(self, url: str) -> None:
        """Open ``url`` and wait until it is loaded."""

    def see(self, expression: str) -> Any:
        """Return the value of a JavaScript expression, as JSON carries it."""

    def complaints(self) -> list[str]:
        """Return the errors that the page has raised; empty where the engine tells none."""


class _Gecko:
    def __init__(self, socket: ClientConnection) -> None:
        self._socket = socket
        self._last = 0
        self._complaints: list[str] = []
        self.ask("session.new", capabilities={})
        self.ask("session.subscribe", events=["log.entryAdded"])
        self._page = self.ask("browsingContext.getTree")["contexts"][0]["context"]
        self.ask("browsingContext.setViewport", context=self._page, viewport={"width": 1920, "height": 1080})

    def ask(self, method: str, **values: Any) -> dict[str, Any]:
        self._last += 1
        self._socket.send(json.dumps({"id": self._last, "method": method, "params": values}))
        while True:
            came = json.loads(self._socket.recv(timeout=30))
            if came.get("method") == "log.entryAdded" and came["params"]["level"] == "error":
                self._complaints.append(came["params"]["text"])
            if came.get("id") == self._last:
                assert came["type"] == "success", came
                result: dict[str, Any] = came["result"]
                return result

    def go(self, url: str) -> None:
        self.ask("browsingContext.navigate", context=self._page, url=url, wait="complete")

    def see(self, expression: str) -> Any:
        came = self.ask(
            "script.evaluate", expression=f"JSON.stringify({expression})", target={"context": self._page},
            awaitPromise=False,
        )  # fmt: skip
        assert came["type"] == "success", came
        return json.loads(came["result"].get("value", "null"))

    def complaints(self) -> list[str]:
        return self._complaints


class _WebKit:
    def __init__(self, driver: httpx.Client, stack: ExitStack) -> None:
        self._driver = driver
        options = {"webkitgtk:browserOptions": {"binary": str(_mini_browser()), "args": ["--automation"]}}
        self._session = self._ask("POST", "/session", {"capabilities": {"alwaysMatch": options}})["sessionId"]
        stack.callback(self._ask, "DELETE", f"/session/{self._session}")
        self._ask("POST", f"/session/{self._session}/window/rect", {"x": 0, "y": 0, "width": 1920, "height": 1130})

    def _ask(self, method: str, path: str, body: dict[str, Any] | None = None) -> Any:
        answer = self._driver.request(method, path, json=body)
        assert answer.status_code == 200, answer.text
        return answer.json()["value"]

    def go(self, url: str) -> None:
        self._ask("POST", f"/session/{self._session}/url", {"url": url})

    def see(self, expression: str) -> Any:
        script = {"script": f"return JSON.stringify({expression})", "args": []}
        return json.loads(self._ask("POST", f"/session/{self._session}/execute/sync", script) or "null")

    def complaints(self) -> list[str]:
        return []


def _mini_browser() -> Path:
    found = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))
    assert found, "MiniBrowser is missing; install it with: apt-get install webkit2gtk-driver (make test does)"
    return found[-1]


def _program(name: str, package: str) -> str:
    path = shutil.which(name)
    assert path, f"{name} is missing; install it with: apt-get install {package} (make test does)"
    return path


def _ended(process: subprocess.Popen[Any]) -> None:
    process.terminate()
    process.wait(timeout=10)


@contextmanager
def gecko(folder: Path) -> Iterator[Engine]:
    """Start Firefox with a new profile in ``folder``."""
    profile = folder / "firefox"
    profile.mkdir()
    lines = (f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in _QUIET.items())
    (profile / "user.js").write_text("".join(lines), "utf-8")
    log = folder / "firefox.log"
    with log.open("w", encoding="utf-8") as said, ExitStack() as stack:
        process = subprocess.Popen(
            [_program("firefox-esr", "firefox-esr"), "--headless", "--no-remote", "--profile", str(profile),
             "--remote-debugging-port", "0"],
            stdout=said, stderr=said, env=os.environ | {"HOME": str(folder)},
        )  # fmt: skip
        stack.callback(_ended, process)

        def address() -> re.Match[str] | None:
            return re.search(r"WebDriver BiDi listening on (ws://\S+)", log.read_text("utf-8", "replace"))

        until(lambda: address() is not None, "Firefox", 30)
        found = address()
        assert found
        yield _Gecko(stack.enter_context(connect(f"{found[1]}/session", max_size=None)))


@contextmanager
def webkit(folder: Path) -> Iterator[Engine]:
    """Start MiniBrowser on a screen of its own; what it keeps lies in ``folder``."""
    with ExitStack() as stack:
        read, write = os.pipe()
        screen = subprocess.Popen(
            [_program("Xvfb", "xvfb"), "-displayfd", str(write), "-screen", "0", "1920x1200x24", "-nolisten", "tcp"],
            pass_fds=(write,), stderr=subprocess.DEVNULL,
        )  # fmt: skip
        stack.callback(_ended, screen)
        os.close(write)
        with os.fdopen(read) as told:
            number = told.readline().strip()
        port = free_port()
        driver = subprocess.Popen(
            [_program("WebKitWebDriver", "webkit2gtk-driver"), f"--port={port}"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            env=os.environ | {
                "DISPLAY": f":{number}", "HOME": str(folder), "LIBGL_ALWAYS_SOFTWARE": "1",
                "WEBKIT_DISABLE_DMABUF_RENDERER": "1", "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1",
            },
        )  # fmt: skip
        stack.callback(_ended, driver)
        client = stack.enter_context(httpx.Client(base_url=f"http://127.0.0.1:{port}", timeout=60, trust_env=False))
        until(lambda: _answers(client), "WebKitWebDriver", 15)
        yield _WebKit(client, stack)


def _answers(client: httpx.Client) -> bool:
    try:
        return client.get("/status").status_code == 200
    except httpx.TransportError:
        return False


def free_port() -> int:
    """Return a port that nobody has now."""
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        return int(sock.getsockname()[1])


def waits(engine: Engine, expression: str, what: str, seconds: float = 15.0) -> None:
    """Wait until the JavaScript ``expression`` is true on the page."""
    until(lambda: bool(engine.see(f"Boolean({expression})")), what, seconds)
