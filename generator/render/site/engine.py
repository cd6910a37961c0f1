"""The site engine: Markdown pages in a folder, with a plain mkdocs.yml, to a site that works from disk.

Everything that carries meaning has happened before the engine runs, so another engine that reads the same mkdocs.yml
can take its place.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from html import escape
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from generator.assemble.pages import Navigation, Page, navigation, unlisted
from generator.errors import FILE_KEY, Fault, HandbookError, InputFaults, PageFault, ProgramFaultElsewhere
from generator.model.content.words import Words
from generator.model.settings import ENGLISH, Settings, primary
from generator.render.files import write_if_changed
from generator.render.pages.write import issue_line
from generator.render.site.mend_theme import mend_theme
from generator.render.site.spared import NOTHING_SPARED

ENGINES = ("mkdocs", "zensical")
DERIVED = ("site_name", "copyright", "nav", "not_in_nav", "docs_dir", "site_dir")
_THEME_LANGUAGE = re.compile(rf"^(\s+language: ){ENGLISH}$", re.MULTILINE)
_ICON = re.compile(r"^  icon:\n    logo: .*$", re.MULTILINE)
_COLOUR = re.compile(r"\x1b\[[0-9;]*m")
# Builds the pages that a configuration names into a folder: (configuration, folder, spared); PageFault with the
# engine's words if it objects. It need not build what is `spared`, and returns what it learned of the rest, so that it
# may be spared the next time: as `NOTHING_SPARED` says. An engine that spares nothing returns nothing.
Run = Callable[..., Mapping[str, Any]]


def write_config(plain: Path, derived: Path, pages: Iterable[Page], *, settings: Settings, words: Words) -> None:
    """Write the engine's configuration: the project's mkdocs.yml as it is, and the keys that follow from the book.

    The theme takes titles for HTML, so they are escaped.
    InputFaults if the project's file cannot be read; PageFault if it sets one of those keys itself.
    """
    try:
        text = plain.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = (error.strerror or "") if isinstance(error, OSError) else "it is not UTF-8"
        expected = "the engine's configuration: theme, search and markdown_extensions, without the keys of the book"
        raise InputFaults([Fault(str(plain), 1, 1, FILE_KEY, f"this cannot be read: {reason}", expected)]) from None
    for number, line in enumerate(text.splitlines(), 1):
        if (key := line.partition(":")[0]) in DERIVED:
            raise PageFault(f"{plain}:{number}: {key}: this key follows from the book; remove it here")
    markdown = [page for page in pages if not page.is_html]
    values = {
        "site_name": escape(settings.title),
        "copyright": escape(issue_line(settings, words)),
        "docs_dir": "pages",
        "site_dir": "site",
        "nav": _escaped(navigation(markdown)),
        "not_in_nav": "".join(dict.fromkeys(f"/{_pattern(path)}\n" for path in unlisted(markdown))),
    }
    lines = [f"{key}: {json.dumps(value, ensure_ascii=False)}" for key, value in values.items()]
    text = _THEME_LANGUAGE.sub(rf"\1{theme_language(settings.language)}", text)
    if settings.logo:
        text = _ICON.sub(f"  logo: assets/{settings.logo}", text)
    whole = "\n".join([text.rstrip(), "", "# Written by the build from the book itself.", *lines, ""])
    write_if_changed(derived, whole.encode())


def _escaped(tree: Navigation) -> Navigation:
    return [{escape(title): _escaped(to) if isinstance(to, list) else to for title, to in one.items()} for one in tree]


def _pattern(path: str) -> str:
    """Return a pattern for a page that the navigation leaves out, and its likes: the engine holds every file against
    every pattern. One that is listed stays so."""
    folder, _, rest = path.partition("/")
    if folder not in ("models", "sites"):
        return path
    _, inside, part = rest.partition("/")
    return f"{folder}/*{inside}{part}" if inside else f"{folder}/*.md"


def theme_language(language: str) -> str:
    """Return the language of what the theme itself says: the handbook's, or English where the theme lacks it."""
    theme = find_spec("material")
    for folder in (theme.submodule_search_locations or ()) if theme else ():
        for tag in (language, primary(language)):
            if (Path(folder) / "templates" / "partials" / "languages" / f"{tag}.html").exists():
                return tag
    return ENGLISH


@contextmanager
def started(engine: str) -> Iterator[Run]:
    """Start an engine of ENGINES, and yield the function that builds one site.

    MkDocs starts at once, in a process of its own, and loads while the caller computes. The process ends with the
    block, or with the caller.
    """
    if engine == "zensical":
        yield run_zensical
        return
    command = [sys.executable, "-m", "generator.render.site.mkdocs_engine"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        try:
            yield lambda config, site, spared=NOTHING_SPARED: _ask(process, [str(config), str(site), spared])
        finally:
            process.kill()


def _ask(process: subprocess.Popen[str], asked: Sequence[Any]) -> Mapping[str, Any]:
    answer, _ = process.communicate(json.dumps(asked))
    if not answer:
        raise HandbookError(f"the site engine stopped with status {process.returncode}; its message stands above")
    objection, learned = json.loads(answer)
    if objection is not None:
        words, traceback = objection
        raise ProgramFaultElsewhere(words, traceback) if traceback else PageFault(words)
    found: Mapping[str, Any] = learned
    return found


def run_zensical(config: Path, site: Path, _spared: Mapping[str, Any] = NOTHING_SPARED) -> Mapping[str, Any]:
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
    mend_theme(site)
    return NOTHING_SPARED
