"""The site engine: Markdown pages in a folder, with a plain mkdocs.yml, to a site that works from disk.

Everything that carries meaning has happened before the engine runs, so another engine that reads the same mkdocs.yml
can take its place. MkDocs runs inside this process; zensical as a command of its own.
"""

from __future__ import annotations

import json
import logging
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from dataclasses import replace
from html import escape
from importlib.util import find_spec
from pathlib import Path

from generator.assemble.pages import Page, navigation
from generator.errors import HandbookError, PageFault
from generator.model.settings import Settings
from generator.render.files import write_if_changed

DERIVED = ("site_name", "copyright", "nav", "docs_dir", "site_dir")
# What the theme ships and a handbook read from disk never uses: source maps, the searches of other languages, and
# pages and lists meant for a web server.
UNUSED = ("assets/**/*.map", "assets/javascripts/lunr/**/*", "404.html", "sitemap.xml", "sitemap.xml.gz")
_COLOUR = re.compile(r"\x1b\[[0-9;]*m")
_SOURCE_MAP = re.compile(rb"\n?(//|/\*)# sourceMappingURL=\S+( \*/)?\s*$")


def write_config(plain: Path, derived: Path, pages: Iterable[Page], settings: Settings) -> None:
    """Write the engine's configuration: the project's mkdocs.yml as it is, and the keys that follow from the book.

    The theme takes titles for HTML, so they are escaped.
    PageFault if the project's file sets one of those keys itself.
    """
    text = plain.read_text(encoding="utf-8")
    for number, line in enumerate(text.splitlines(), 1):
        if (key := line.partition(":")[0]) in DERIVED:
            raise PageFault(f"{plain}:{number}: {key}: this key follows from the book; remove it here")
    issue = f"{settings.publisher}. Revision {settings.revision}, {settings.date.isoformat()}."
    values = {
        "site_name": escape(settings.title),
        "copyright": escape(issue),
        "docs_dir": "pages",
        "site_dir": "site",
        "nav": navigation(replace(page, title=escape(page.title)) for page in pages),
    }
    lines = [f"{key}: {json.dumps(value, ensure_ascii=False)}" for key, value in values.items()]
    whole = "\n".join([text.rstrip(), "", "# Written by the build from the book itself.", *lines, ""])
    write_if_changed(derived, whole.encode())


def run_mkdocs(config: Path, site: Path) -> None:
    """Build the pages beside `config` into the folder `site`; PageFault with the engine's words if it objects."""
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "true")
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    from mkdocs.exceptions import MkDocsException

    objections = _Objections()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(objections)
    logger.propagate, propagated = False, logger.propagate
    try:
        build(load_config(str(config.absolute()), site_dir=str(site.absolute())))
    except MkDocsException as error:
        raise PageFault("\n".join(objections.messages or [str(error)])) from None
    finally:
        logger.propagate = propagated
        logger.removeHandler(objections)
    remove_unused(site)


def run_zensical(config: Path, site: Path) -> None:
    """Build with zensical, which always writes to `site` beside its configuration; PageFault if it objects.

    HandbookError where zensical is not installed.
    """
    if find_spec("zensical") is None:
        raise HandbookError("zensical is not installed; add it with: pip install zensical")
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        shutil.copy(config, place / "mkdocs.yml")
        shutil.copytree(config.parent / "pages", place / "pages")
        command = [sys.executable, "-m", "zensical", "build", "--strict", "--config-file", str(place / "mkdocs.yml")]
        done = subprocess.run(command, cwd=place, capture_output=True, text=True, check=False)
        if done.returncode:
            objection, *_ = _COLOUR.sub("", done.stdout + done.stderr).partition("Traceback (most recent call last)")
            raise PageFault(objection.strip())
        shutil.copytree(place / "site", site, dirs_exist_ok=True)
    remove_unused(site)


def remove_unused(site: Path) -> None:
    """Delete what the engine adds and no reader of the handbook can use."""
    for pattern in UNUSED:
        for path in site.glob(pattern):
            if path.is_file():
                path.unlink()
    for path in (*site.glob("assets/**/*.js"), *site.glob("assets/**/*.css")):
        path.write_bytes(_SOURCE_MAP.sub(b"", path.read_bytes()))


class _Objections(logging.Handler):
    """Collects the engine's warnings and errors."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep the message."""
        self.messages.append(record.getMessage())
