"""MkDocs in this process, and as a process of its own that loads while the handbook is still being computed.

Run as a module, it reads a JSON list of the configuration's path and the site's, builds that site, and answers in JSON
with null, or the engine's objection and, of a fault of the program itself, its traceback. It imports nothing heavy of
this package, so that it is ready soon.
"""

from __future__ import annotations

import gc
import json
import logging
import os
import signal
import sys
import traceback
from collections.abc import Mapping
from pathlib import Path
from typing import Any

os.environ.setdefault("NO_MKDOCS_2_WARNING", "true")  # the theme prints a banner as it is imported

from jinja2 import Environment
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from generator.errors import PageFault, ProgramFault, in_words
from generator.render.pages.ready_html import ids_in, put_back, taken_out
from generator.render.pages.template_cache import TemplateCache
from generator.render.site.mend_theme import mend_theme
from generator.render.site.spared import NOTHING_SPARED


def run_mkdocs(config: Path, site: Path, spared: Mapping[str, Any] = NOTHING_SPARED) -> Mapping[str, Any]:
    """Build the pages beside `config` into the folder `site`, but those that are `spared`; return what was learned of
    each, in the same form. PageFault with the engine's words if it objects."""
    objections = _Objections()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(objections)
    logger.propagate, propagated = False, logger.propagate
    try:
        loaded = load_config(str(config.absolute()), site_dir=str(site.absolute()))
        shortcuts = loaded.plugins["shortcuts"] = _Shortcuts(config.absolute().parents[1], spared["pages"])
        build(loaded)
    except MkDocsException as error:
        raise PageFault("\n".join(objections.messages or [str(error)])) from None
    finally:
        logger.propagate = propagated
        logger.removeHandler(objections)
    return {"pages": shortcuts.learned, "names": mend_theme(site, spared["names"])}


def main() -> None:
    """Build the site that the standard input asks for, and answer on the standard output."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a key that interrupts the handbook ends this process too, quietly
    gc.disable()  # the process is short-lived, and the collector would look again and again at pages that stay
    asked = sys.stdin.read()
    if not asked:
        return  # the handbook met a fault before it had pages
    config, site, spared = json.loads(asked)
    objection, learned = None, None
    try:
        learned = run_mkdocs(Path(config), Path(site), spared)
    except Exception as error:  # a full disk, say
        told = in_words(error)
        objection = str(told), traceback.format_exc() if isinstance(told, ProgramFault) else None
    print(json.dumps([objection, learned]))


class _Shortcuts(BasePlugin):  # type: ignore[no-untyped-call, type-arg]
    """Spares the engine work, and changes no byte of what it makes.

    The theme's templates are compiled once and kept for the next run, in the project's own cache. What is HTML already
    goes round the conversion from Markdown. Pages that are spared are there only for links to lead to.
    """

    def __init__(self, root: Path, spared: Mapping[str, Any]) -> None:
        self.root, self.spared = root, spared
        self.ready: dict[str, list[str]] = {}
        self.files = Files([])
        self.learned: dict[str, Any] = {}

    def on_files(self, files: Files, **_: object) -> Files:
        """Leave out what is spared."""
        self.files = files
        for path in self.spared:
            if file := files.get_file_from_path(path):
                file.inclusion = InclusionLevel.EXCLUDED
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, **_: object) -> Navigation:
        """Tell the engine the places on the pages that are spared, and where their links lead."""
        for path, (places, links) in self.spared.items():
            file = self.files.get_file_from_path(path)
            if file is not None and file.is_documentation_page():
                page = file.page or Page(None, file, config)
                page.present_anchor_ids = set(places)
                page.links_to_anchors = {
                    there: found for to, found in links.items() if (there := self.files.get_file_from_path(to))
                }
        return nav

    def on_post_build(self, *, config: MkDocsConfig, **_: object) -> None:
        """Look where the links of the pages that are spared lead, and tell what was learned of the others."""
        for file in self.files:
            if not isinstance(page := file.page, Page):
                continue
            if file.src_uri in self.spared:
                page.validate_anchor_links(files=self.files, log_level=config.validation.links.anchors)
            else:
                links = {to.src_uri: found for to, found in (page.links_to_anchors or {}).items()}
                self.learned[file.src_uri] = (sorted(page.present_anchor_ids or ()), links)

    def on_env(self, env: Environment, **_: object) -> Environment:
        """Give the theme's environment its cache."""
        env.bytecode_cache = TemplateCache(self.root, "theme")
        return env

    def on_page_markdown(self, markdown: str, *, page: Page, **_: object) -> str:
        """Take out of a page what is HTML already."""
        text, self.ready[page.file.src_uri] = taken_out(markdown)
        return text

    def on_page_content(self, html: str, *, page: Page, **_: object) -> str:
        """Put it back, and tell the engine, which looks where links lead, the places in it."""
        ready = self.ready.pop(page.file.src_uri)
        page.present_anchor_ids = (page.present_anchor_ids or set()) | ids_in(ready)
        return put_back(html, ready)


class _Objections(logging.Handler):
    """Collects the engine's warnings and errors."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep the message."""
        self.messages.append(record.getMessage())


if __name__ == "__main__":
    main()
