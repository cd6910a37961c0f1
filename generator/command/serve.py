"""Shows the handbook while a writer works on it: rebuilds on a change of the data or the content and reloads the page.

The server and the watching are MkDocs' own; the builder is ours. A fault is printed and the last good handbook stays on
view. The server answers to its own names only: another name that leads here could be a page of someone else's.
"""

from __future__ import annotations

import contextlib
import socket
from collections.abc import Callable, Iterable
from typing import Any

import click
from mkdocs.livereload import LiveReloadServer

from generator.build import build
from generator.command.options import pass_folders
from generator.errors import HandbookError, in_words
from generator.folders import Folders
from generator.project import project
from generator.render.site.policy import POLICY

Start = Callable[..., Any]
LONGEST_PATH = 1000


@click.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="The address to serve at.")
@click.option("--port", default=8000, show_default=True, help="The port to serve at.")
@pass_folders
def serve_command(folders: Folders, host: str, port: int) -> None:
    """Show the handbook in a browser while you work: it rebuilds and reloads when a YAML, template or page changes.

    A fault is printed here, and the last good handbook stays on view.
    """
    serve(folders, host, port, say=click.echo)


def serve(folders: Folders, host: str, port: int, *, say: Callable[[str], None]) -> None:
    """Build, then serve `build/site/` at host:port until interrupted. HandbookError if the port cannot be had."""

    def rebuild() -> None:
        if told := fault_of(lambda: build(project(folders.root))):
            say(f"{told}\nthe last good handbook stays on view")
        else:
            say("built")

    try:
        server = _Server(rebuild, host, port, root=str(folders.output / "site"))
        server.server_bind()
    except (OSError, OverflowError) as error:
        why = error.strerror if isinstance(error, OSError) else "there is no such port"
        raise HandbookError(f"cannot serve at {host}:{port}: {why}; choose another with --port") from None
    try:
        rebuild()
        for watched in (folders.data, folders.root / "content", folders.root / "mkdocs.yml"):
            if watched.exists():
                server.watch(str(watched))
        say(f"serving {server.url}index.html (stop with Ctrl-C)")
        server.serve()  # type: ignore[no-untyped-call]
    except KeyboardInterrupt:
        say("stopped")
    finally:
        server.shutdown()


def fault_of(work: Callable[[], object]) -> HandbookError | None:
    """Do some work, and return what was wrong, in words, whatever it was: a server must outlive it."""
    try:
        work()
    except Exception as error:
        return in_words(error)
    return None


class _Server(LiveReloadServer):
    """MkDocs' server, which binds once, before anything is built, and refuses a request for another host."""

    def __init__(self, builder: Callable[[], None], host: str, port: int, *, root: str) -> None:
        super().__init__(builder, host, port, root)
        self.own_names = {
            f"{name}{at}" for name in _names_of(host) for at in (f":{port}", *([""] if port == 80 else []))
        }
        self.bound = False

    def server_bind(self) -> None:
        """Take the port, once."""
        if not self.bound:
            super().server_bind()
            self.bound = True

    def serve_request(self, environ: dict[str, Any], start_response: Start) -> Iterable[bytes]:
        """Answer a request, where it is for this server."""
        if environ.get("HTTP_HOST", "").lower() not in self.own_names:
            start_response("421 Misdirected Request", [("Content-Type", "text/plain")])
            return [b"this server answers to its own names only\n"]
        if len(environ["PATH_INFO"]) > LONGEST_PATH or not environ["PATH_INFO"].isprintable():
            start_response("404 Not Found", [("Content-Type", "text/plain")])
            return [b"there is no such page\n"]
        answer: Iterable[bytes] = super().serve_request(environ, start_response)
        return answer

    def _inject_js_into_html(self, content: bytes, epoch: int) -> bytes:
        """Add the script that reloads the page, which no published page has and its policy would hold back."""
        free = POLICY.sub("", content.decode()).encode()
        added: bytes = super()._inject_js_into_html(free, epoch)  # type: ignore[no-untyped-call]
        return added


def _names_of(host: str) -> set[str]:
    """Return what this machine may be called in a browser when it serves at `host`."""
    names = {host, f"[{host}]", "localhost", "127.0.0.1", "[::1]"}
    if host in ("0.0.0.0", "::"):  # every address of this machine
        names.add(own := socket.gethostname().lower())
        with contextlib.suppress(OSError):
            names.update(socket.gethostbyname_ex(own)[2])
    return names
