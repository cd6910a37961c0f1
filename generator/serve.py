"""Shows the handbook while a writer works on it: rebuilds on a change of the data or the content and reloads the page.

The server and the watching are MkDocs' own; the builder is ours. A fault in a file is printed and the last good
handbook stays on view.
"""

from __future__ import annotations

from collections.abc import Callable

from mkdocs.livereload import LiveReloadServer

from generator.build import Folders, build
from generator.errors import HandbookError


def serve(folders: Folders, host: str, port: int, *, say: Callable[[str], None]) -> None:
    """Build, then serve `build/site/` at host:port until interrupted. HandbookError if the port is taken."""

    def rebuild() -> None:
        try:
            build(folders)
            say("built")
        except HandbookError as error:
            say(f"{error}\nthe last good handbook stays on view")

    rebuild()
    server = LiveReloadServer(rebuild, host, port, str(folders.output / "site"))
    for watched in (folders.data, folders.content, folders.root / "mkdocs.yml"):
        server.watch(str(watched))
    say(f"serving {server.url}index.html (stop with Ctrl-C)")
    try:
        server.serve()  # type: ignore[no-untyped-call]
    except OSError as error:
        raise HandbookError(f"cannot serve at {host}:{port}: {error.strerror}; choose another with --port") from None
    except KeyboardInterrupt:
        say("stopped")
    finally:
        server.shutdown()
