"""The server of `handbook serve` outlives every fault, answers to its own names, and asks for its port first."""

import shutil
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.command import serve as serving
from generator.command.serve import _Server, fault_of, serve
from generator.errors import HandbookError, ProgramFault, SystemRefusal
from generator.folders import Folders


@pytest.fixture
def server(tmp_path: Path) -> Iterator[_Server]:
    (tmp_path / "index.html").write_text("<body>here</body>", encoding="utf-8")
    made = _Server(lambda: None, "127.0.0.1", 8123, root=str(tmp_path))
    yield made
    made.server_close()


def ask(server: _Server, host: str | None, path: str = "/index.html") -> str:
    statuses: list[str] = []
    environ: dict[str, Any] = {"PATH_INFO": path} | ({} if host is None else {"HTTP_HOST": host})
    list(server.serve_request(environ, lambda status, _headers: statuses.append(status)))
    return statuses[0]


@pytest.mark.parametrize("host", ["127.0.0.1:8123", "localhost:8123", "LOCALHOST:8123", "[::1]:8123"])
def test_its_own_names_are_answered(server: _Server, host: str) -> None:
    assert ask(server, host) == "200 OK"


@pytest.mark.parametrize("host", ["elsewhere.example:8123", "127.0.0.1", "127.0.0.1:80", "", None])
def test_another_name_that_leads_here_is_refused(server: _Server, host: str | None) -> None:
    """RFC 9110, 7.4 and 15.5.20: a server that is not the one meant answers 421."""
    assert ask(server, host).startswith("421 ")


@pytest.mark.parametrize("path", ["/\0", "/livereload/" + "9" * 5000 + "/1", "/" + "a" * 100_000, "/none.html"])
def test_a_path_that_cannot_be_is_not_found(server: _Server, path: str) -> None:
    assert ask(server, "localhost:8123", path).startswith("404 ")


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (HandbookError("a word"), HandbookError),
        (FileNotFoundError(2, "No such file or directory", "mkdocs.yml"), SystemRefusal),
        (shutil.Error([("fd/results.json", "there", "`fd/results.json` is a named pipe")]), SystemRefusal),
        (shutil.Error([("fd/results.json", "there", "[Errno 28] No space left on device: 'there'")]), SystemRefusal),
        (ZeroDivisionError("division by zero"), ProgramFault),
        (UnicodeDecodeError("utf-8", b"\xe9", 0, 1, "invalid"), ProgramFault),
    ],
)
def test_whatever_goes_wrong_is_told_in_words(error: Exception, told: type[HandbookError]) -> None:
    def work() -> None:
        raise error

    found = fault_of(work)
    assert type(found) is told
    if told is SystemRefusal:  # by the name of the file, not as Python writes a list
        assert str(found).startswith(
            (
                "mkdocs.yml: No such file",
                "fd/results.json: `fd/results.json` is a named pipe;",
                "fd/results.json: No space left on device; free some room",
            )
        )
    assert fault_of(lambda: None) is None


@pytest.mark.parametrize("port", [None, 99_999_999])
def test_a_port_that_cannot_be_had_is_told_before_anything_is_built(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, port: int | None
) -> None:
    monkeypatch.setattr(serving, "build", lambda _folders: pytest.fail("built without a port"))
    said: list[str] = []
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        asked = port or taken.getsockname()[1]
        with pytest.raises(HandbookError, match=f"cannot serve at 127.0.0.1:{asked}: .*; choose another with --port"):
            serve(Folders(tmp_path), "127.0.0.1", asked, say=said.append)
    assert said == []
