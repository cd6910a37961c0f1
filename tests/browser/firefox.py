"""A headless Firefox that is told what to do: as much of its remote protocol, Marionette, as these tests take.

A message is its length, a colon, and JSON: [0, number, command, what it takes] there, [1, number, error, answer] back.
"""

import json
import shutil
import socket
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

# No page of a start, no word to its maker, no host but this machine.
SETTINGS = {
    "marionette.port": 0,
    "browser.startup.page": 0,
    "datareporting.policy.dataSubmissionEnabled": False,
    "app.normandy.enabled": False,
    "network.proxy.type": 1,
    "network.proxy.http": "127.0.0.1",
    "network.proxy.http_port": 9,
    "network.proxy.ssl": "127.0.0.1",
    "network.proxy.ssl_port": 9,
    "network.proxy.no_proxies_on": "127.0.0.1",
}
PATIENCE_S = 120.0
Found = TypeVar("Found")


def until(look: Callable[[], Found | None], what: str) -> Found:
    """Return what `look` finds once it finds something."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        if (found := look()) is not None:
            return found
        time.sleep(0.05)
    raise AssertionError(f"no {what} within {PATIENCE_S:.0f} s")


class Firefox:
    """One window."""

    def __init__(self, port: int) -> None:
        self.wire = socket.create_connection(("127.0.0.1", port), PATIENCE_S)
        self.number, self.left = 0, b""
        self._read()
        self.tell("WebDriver:NewSession", {"capabilities": {"alwaysMatch": {"pageLoadStrategy": "normal"}}})

    def tell(self, command: str, about: dict[str, Any]) -> Any:
        """Send a command, and return its answer."""
        self.number += 1
        said = json.dumps([0, self.number, command, about]).encode()
        self.wire.sendall(b"%d:%s" % (len(said), said))
        _, _, error, answer = self._read()
        assert error is None, error
        return answer

    def run(self, script: str, *about: object) -> Any:
        """Run a script in the page, and return its value."""
        given = {"script": script, "args": list(about), "sandbox": None}
        return self.tell("WebDriver:ExecuteScript", given)["value"]

    def go(self, address: str) -> None:
        """Open a page and wait until it is loaded."""
        self.tell("WebDriver:Navigate", {"url": address})

    def said(self) -> list[str]:
        """What the browser's console holds since this was asked last."""
        self.tell("Marionette:SetContext", {"value": "chrome"})
        script = """const all = Services.console.getMessageArray().map(one => one.message);
            Services.console.reset(); return all;"""
        found = self.tell("WebDriver:ExecuteScript", {"script": script, "args": [], "sandbox": "system"})["value"]
        self.tell("Marionette:SetContext", {"value": "content"})
        return list(found)

    def _read(self) -> Any:
        while b":" not in self.left:
            self.left += self.wire.recv(65536)
        length, _, rest = self.left.partition(b":")
        while len(rest) < int(length):
            rest += self.wire.recv(65536)
        self.left = rest[int(length) :]
        return json.loads(rest[: int(length)])


def program() -> str | None:
    """Where Firefox lies on this machine."""
    return next(filter(None, map(shutil.which, ("firefox-esr", "firefox"))), None)


@contextmanager
def opened(command: str, profile: Path) -> Iterator[Firefox]:
    """A Firefox with a profile of its own."""
    lines = (f'user_pref("{name}", {json.dumps(value)});' for name, value in SETTINGS.items())
    (profile / "user.js").write_text("\n".join(lines), encoding="utf-8")
    words = [command, "--headless", "--marionette", "--remote-allow-system-access", "--no-remote"]
    process = subprocess.Popen(
        [*words, "--profile", str(profile)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    told = profile / "MarionetteActivePort"
    try:
        yield Firefox(int(until(lambda: told.read_text() or None if told.exists() else None, "port of Firefox")))
    finally:
        process.terminate()
        process.wait(PATIENCE_S)
