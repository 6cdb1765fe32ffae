"""Firefox and WebKitGTK, driven by their own drivers' wire protocols.

Chromium is the gate; these two engines are tried in the long trials, to see that the service
worker leans on nothing of one engine. Both drivers speak WebDriver: Firefox over a socket of its
own with length-prefixed JSON, WebKitGTK over HTTP.
"""

import json
import os
import shutil
import socket
import subprocess
import time
from abc import ABC, abstractmethod
from pathlib import Path
from typing import Any
from urllib.error import URLError
from urllib.request import Request, urlopen

from tests.support.waiting import wait_for

START_S = 60.0
ELEMENT = "element-6066-11e4-a52e-4f735466cecf"


class EngineError(AssertionError):
    """What the driver answered instead of a result."""


class Engine(ABC):
    """The few things that the trials do with a browser."""

    @abstractmethod
    def command(self, method: str, path: str, name: str, body: dict[str, Any]) -> Any:
        """Carry out one WebDriver command, named both ways."""

    def open(self, address: str) -> None:
        """Open an address in the only tab."""
        self.command("POST", "url", "WebDriver:Navigate", {"url": address})

    def text(self, selector: str) -> str:
        """The text of the first element that fits, empty if there is none."""
        return str(
            self.run("return document.querySelector(arguments[0])?.innerText ?? ''", selector)
        )

    def run(self, script: str, *arguments: object) -> Any:
        """Run a function body in the page and give what it returns."""
        body = {"script": script, "args": list(arguments)}
        return self.command("POST", "execute/sync", "WebDriver:ExecuteScript", body)

    def wait_for_text(self, selector: str, part: str, *, seconds: float = 60.0) -> str:
        """Wait until the element's text holds a part, and give it all."""
        assert wait_for(lambda: part in self.text(selector), seconds=seconds), self.text(selector)
        return self.text(selector)


class Firefox(Engine):
    """Firefox without a window, with a profile that outlives it."""

    PROGRAM = "firefox-esr"

    def __init__(self, profile: Path) -> None:
        self._profile = profile
        self._profile.mkdir()
        self._start()

    def _start(self) -> None:
        port = free_port()
        settings = {
            "marionette.port": port,
            "browser.shell.checkDefaultBrowser": False,
            "datareporting.policy.dataSubmissionEnabled": False,
            "network.captive-portal-service.enabled": False,
            "network.connectivity-service.enabled": False,
        }
        lines = [f"user_pref({json.dumps(key)}, {json.dumps(to)});" for key, to in settings.items()]
        (self._profile / "user.js").write_text("\n".join(lines))
        self._process = subprocess.Popen(
            [self.PROGRAM, "--headless", "--no-remote", "--marionette", "--profile", self._profile],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        self._socket = connected(port)
        self._count = 0
        self._receive()
        self.command("POST", "", "WebDriver:NewSession", {"capabilities": {}})

    def command(self, method: str, path: str, name: str, body: dict[str, Any]) -> Any:
        self._count += 1
        message = json.dumps([0, self._count, name, body]).encode()
        self._socket.sendall(str(len(message)).encode() + b":" + message)
        _, _, error, result = self._receive()
        if error:
            raise EngineError(f"{name}: {error}")
        is_wrapped = isinstance(result, dict) and set(result) == {"value"}
        return result["value"] if is_wrapped else result

    def _receive(self) -> Any:
        length = b""
        while not length.endswith(b":"):
            length += self._some(1)
        message = b""
        while len(message) < int(length[:-1]):
            message += self._some(int(length[:-1]) - len(message))
        return json.loads(message)

    def _some(self, count: int) -> bytes:
        received = self._socket.recv(count)
        if not received:
            raise EngineError("the browser closed the connection")
        return received

    def restart(self) -> None:
        """Close the browser and open it again with the same profile."""
        self.close()
        self._start()

    def close(self) -> None:
        """Quit; a profile is whole on disk only after that."""
        self.command("DELETE", "", "Marionette:Quit", {"flags": ["eForceQuit"]})
        self._socket.close()
        self._process.wait(timeout=START_S)


class WebKit(Engine):
    """WebKitGTK's small browser on a screen in memory; its profile ends with it."""

    PROGRAM = "WebKitWebDriver"

    def __init__(self, folder: Path) -> None:
        folder.mkdir()
        screen_number, writing = os.pipe()
        self._screen = subprocess.Popen(
            ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1024x768x24", "-nolisten", "tcp"],
            pass_fds=[writing],
            stderr=subprocess.DEVNULL,
        )
        os.close(writing)
        with os.fdopen(screen_number) as answer:
            display = answer.readline().strip()
        self._port = free_port()
        self._driver = subprocess.Popen(
            [self.PROGRAM, f"--port={self._port}", "--host=127.0.0.1"],
            env=os.environ | {"DISPLAY": f":{display}", "HOME": str(folder)},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        connected(self._port).close()
        session = self._ask("POST", "/session", {"capabilities": {"alwaysMatch": {}}})
        self._session = f"/session/{session['sessionId']}"

    def command(self, method: str, path: str, name: str, body: dict[str, Any]) -> Any:
        return self._ask(method, f"{self._session}/{path}", body)

    def _ask(self, method: str, path: str, body: dict[str, Any] | None) -> Any:
        request = Request(
            f"http://127.0.0.1:{self._port}{path}",
            method=method,
            data=None if body is None else json.dumps(body).encode(),
            headers={"Content-Type": "application/json"},
        )
        try:
            with urlopen(request, timeout=START_S) as response:
                return json.load(response)["value"]
        except URLError as error:
            detail = error.read().decode() if hasattr(error, "read") else str(error)
            raise EngineError(f"{path}: {detail}") from error

    def close(self) -> None:
        """End the browser, its driver and its screen."""
        self._ask("DELETE", self._session, None)
        for process in (self._driver, self._screen):
            process.terminate()
            process.wait(timeout=START_S)


def is_installed(program: str) -> bool:
    """Whether a browser's program is on this machine."""
    return shutil.which(program) is not None


def free_port() -> int:
    """A port that nobody listens on now."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        return int(server.getsockname()[1])


def connected(port: int) -> socket.socket:
    """Connect to a program that is starting."""
    deadline = time.monotonic() + START_S
    while True:
        try:
            return socket.create_connection(("127.0.0.1", port), timeout=START_S)
        except ConnectionRefusedError:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.1)
