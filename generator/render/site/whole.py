"""A built site, made whole by the site engine and what is added behind it: the handbook's, and apart from any build."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

from generator.assemble.documents import Book
from generator.model.content.search_words import SearchWords
from generator.model.settings import ENGLISH
from generator.render.files import mirror
from generator.render.pages.write import Rendered, page_files
from generator.render.site.built import Before, Built
from generator.render.site.engine import ENGINES, Run, started, write_config
from generator.render.site.page_language import state_language
from generator.render.site.policy import add_policies
from generator.render.site.search_index import write_search_index
from generator.render.site.self_contained import carry_alone


def make_site(run: Run, config: Path, site: Path, *, book: Book, search: SearchWords, built: Built) -> None:
    """Have the site engine build the pages beside `config` into the folder `site`, with their search and policies.

    `built`: all of its pages, and what was built of them before.
    """
    learned = run(config, site, built.spared)
    if (language := book.settings.language) != ENGLISH:
        state_language(site, language)
    entries = write_search_index(site, built.pages, search, known=built.entries)
    carry_alone(site)
    add_policies(site)
    built.settle(site, learned, entries)


def make_apart(
    site: Path, rendered: Sequence[Rendered], *, content: Path, plain: Path, book: Book, search: SearchWords
) -> None:
    """Build rendered pages into the folder `site`, whatever is published; `plain`: the engine's plain configuration.

    PageFault where the engine objects.
    """
    with started(ENGINES[0]) as run, tempfile.TemporaryDirectory() as name:
        work = Path(name)
        mirror(work / "pages", page_files(content, rendered, book.settings))
        made = [one.page for one in rendered]
        write_config(plain, work / "mkdocs.yml", made, settings=book.settings, words=book.words)
        built = Before().of(work / "mkdocs.yml", made)
        make_site(run, work / "mkdocs.yml", site, book=book, search=search, built=built)
