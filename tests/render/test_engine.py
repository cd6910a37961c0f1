"""The site engine's configuration, its refusals, and that two engines show the same words."""

import html
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import click
import pytest
from mkdocs.config import load_config

from generator import cli
from generator.build import Loaded, build
from generator.errors import HandbookError, PageFault
from generator.render.pages.write import write_pages
from generator.render.site.engine import run_zensical, started, write_config
from generator.render.site.mend_theme import mend_theme
from generator.render.site.mkdocs_engine import run_mkdocs
from tests.frozen import ROOT, copied
from tests.render.small import HOSTILE, small_book
from tests.render.test_pages import content  # noqa: F401 - a fixture
from tests.styles import WORDS

Engine = Callable[[Path, Path], None]
SKIPPED = {"script", "style", "svg"}
EMPTY = {"img", "br", "hr", "input", "meta", "link", "source", "col", "wbr"}


class Words(HTMLParser):
    """The words of a page's main text, in order."""

    def __init__(self) -> None:
        super().__init__()
        self.depth, self.skipping, self.words = 0, 0, []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in EMPTY:
            return
        if self.depth or tag == "article":
            self.depth += 1
            self.skipping += tag in SKIPPED or "headerlink" in (dict(attrs).get("class") or "")

    def handle_endtag(self, tag: str) -> None:
        if self.depth and tag not in EMPTY:
            self.depth -= 1
            self.skipping -= tag in SKIPPED

    def handle_data(self, data: str) -> None:
        if self.depth and not self.skipping:
            self.words += data.split()


def words(page: Path) -> list[str]:
    reader = Words()
    reader.feed(page.read_text(encoding="utf-8"))
    assert reader.words, f"{page} has no text"
    return reader.words


def files_of(folder: Path) -> dict[str, bytes]:
    found = {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert found
    return found


@pytest.fixture
def built(content: Path, tmp_path: Path) -> Path:  # noqa: F811
    """A folder with the pages of the small book and the engine's configuration."""
    pages = [one.page for one in write_pages(content, tmp_path / "build" / "pages", small_book())]
    write_config(
        ROOT / "mkdocs.yml", tmp_path / "build" / "mkdocs.yml", pages, settings=small_book().settings, words=WORDS
    )
    return tmp_path / "build"


def test_a_site_comes_out_without_what_no_reader_uses(built: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    run_mkdocs(built / "mkdocs.yml", site)
    files = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}
    assert {"sites/shed.html", "models/beck-9.html", "assets/handbook.css", "assets/search.js"} <= files
    assert not [name for name in files if name.endswith(".map") or "lunr" in name or name.startswith("sitemap")]
    assert not [name for name in files if "workers/" in name or "search_index" in name]
    text = (site / "assets" / "search-library.js").read_text(encoding="utf-8")
    assert "Permission is hereby granted, free of charge" in text


@pytest.mark.parametrize("engine", [run_mkdocs, run_zensical])
def test_the_theme_s_script_waits_and_its_unused_style_is_gone(built: Path, tmp_path: Path, engine: Engine) -> None:
    engine(built / "mkdocs.yml", tmp_path / "site")
    page = (tmp_path / "site" / "findings.html").read_text(encoding="utf-8")
    (held,) = re.findall(r'<script type="text/plain" data-theme="([^"]+)"></script>', page)
    assert (tmp_path / "site" / held).is_file()
    assert not re.search(r'<script[^>]* src="[^"]*bundle', page)
    style = "".join(
        path.read_text(encoding="utf-8") for path in (tmp_path / "site").glob("assets/stylesheets/**/*.css")
    )
    assert ".md-header" in style and ".codehilite" not in style


def test_two_builds_are_the_same_bytes(built: Path, tmp_path: Path) -> None:
    sites = [tmp_path / "one", tmp_path / "two"]
    for site in sites:
        run_mkdocs(built / "mkdocs.yml", site)
    assert files_of(sites[0]) == files_of(sites[1])


def test_the_engine_s_own_process_builds_the_same_bytes_and_says_the_same(built: Path, tmp_path: Path) -> None:
    run_mkdocs(built / "mkdocs.yml", tmp_path / "here")
    with started("mkdocs") as run:
        run(built / "mkdocs.yml", tmp_path / "there")
    assert files_of(tmp_path / "here") == files_of(tmp_path / "there")
    (built / "pages" / "revision.md").write_text("[gone](nowhere.md)\n", encoding="utf-8")
    with pytest.raises(PageFault, match="nowhere"), started("mkdocs") as run:
        run(built / "mkdocs.yml", tmp_path / "faulty")


def test_folders_named_from_where_the_command_runs_are_those_folders(
    built: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with started("mkdocs") as run:
        run(Path("build/mkdocs.yml"), Path("build/site"))
    assert "sites/shed.html" in files_of(built / "site")
    assert not (built / "build").exists()


def test_an_engine_that_dies_is_told(built: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.executable", shutil.which("false"))
    with pytest.raises(HandbookError, match="the site engine stopped"), started("mkdocs") as run:
        run(built / "mkdocs.yml", tmp_path / "site")


@pytest.mark.parametrize("words", [(), ("--debug",)], ids=str)
def test_a_fault_of_the_program_in_the_engine_has_its_traceback_for_who_asks(
    built: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    words: tuple[str, ...],
) -> None:
    """A hook of the project's own that fails, in the engine's process, as nobody foresaw."""
    (built / "fails.py").write_text("def on_env(env, **_):\n    1 / 0\n")
    config = built / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8") + "hooks: [fails.py]\n")

    @click.command("schema")
    def builds() -> None:
        with started("mkdocs") as run:
            run(config, tmp_path / "site")

    monkeypatch.setitem(cli.cli.commands, "schema", builds)
    monkeypatch.setattr(sys, "argv", ["handbook", *words, "schema"])
    with pytest.raises(SystemExit) as left:
        cli.main()
    said, told = capfd.readouterr().err, "a fault of the program itself (ZeroDivisionError: division by zero);"
    assert left.value.code == 1
    if words:
        traceback, _, rest = said.partition(told)
        assert traceback.startswith("Traceback") and "fails.py" in traceback
        assert rest
    else:
        assert said.startswith(told) and "Traceback" not in said


def test_a_hostile_title_stays_text_in_the_navigation(built: Path, tmp_path: Path) -> None:
    run_mkdocs(built / "mkdocs.yml", tmp_path / "site")
    page = (tmp_path / "site" / "findings.html").read_text(encoding="utf-8")
    assert "<b>bold" not in page
    assert HOSTILE in html.unescape(page)


@pytest.mark.parametrize(
    ("text", "objection"),
    [
        ("[gone](sites/barn.md)", "sites/barn.md"),
        ("[gone](findings.md#barn)", "#barn"),
        ("[gone](/findings.md)", "/findings.md"),
    ],
)
@pytest.mark.parametrize("engine", [run_mkdocs, run_zensical])
def test_a_broken_link_is_refused(built: Path, tmp_path: Path, engine: Engine, text: str, objection: str) -> None:
    if engine is run_zensical and objection.startswith("/"):
        pytest.skip("zensical says nothing of absolute links; MkDocs, the default, does")
    page = built / "pages" / "revision.md"
    page.write_text(page.read_text(encoding="utf-8") + f"\n{text}\n", encoding="utf-8")
    with pytest.raises(PageFault, match=re.escape(objection)):
        engine(built / "mkdocs.yml", tmp_path / "site")


def test_a_key_that_follows_from_the_book_is_refused_in_the_project_s_file(tmp_path: Path) -> None:
    plain = tmp_path / "mkdocs.yml"
    plain.write_text("theme: {name: material}\nnav: []\n")
    with pytest.raises(PageFault, match=r"mkdocs\.yml:2: nav: this key follows from the book; remove it here"):
        write_config(plain, tmp_path / "derived.yml", (), settings=small_book().settings, words=WORDS)
    assert not (tmp_path / "derived.yml").exists()


@pytest.mark.parametrize(("language", "theirs"), [("es", "es"), ("pt-BR", "pt-BR"), ("de-AT", "de"), ("xq", "en")])
def test_the_theme_speaks_the_language_of_the_handbook_where_it_can(tmp_path: Path, language: str, theirs: str) -> None:
    (tmp_path / "pages").mkdir()
    settings = small_book().settings.model_copy(update={"language": language})
    write_config(ROOT / "mkdocs.yml", tmp_path / "derived.yml", (), settings=settings, words=WORDS)
    assert load_config(str(tmp_path / "derived.yml")).theme["language"] == theirs


def test_a_page_at_fault_leaves_the_published_site(tmp_path: Path) -> None:
    root = tmp_path / "project"
    folders = copied(root)
    build(folders)
    site = root / "build" / "site"
    before = files_of(site)
    with (root / "content" / "pages" / "glossary.md.j2").open("a", encoding="utf-8") as page:
        page.write("\n[gone](nowhere.md)\n")
    with pytest.raises(PageFault, match="nowhere"):
        build(folders)
    assert files_of(site) == before


def test_the_shortcuts_change_no_byte(tmp_path: Path, loaded: Loaded) -> None:
    """The demo handbook as `mkdocs build` makes it, and as this program does."""
    book = loaded.book
    pages = [one.page for one in write_pages(ROOT / "content", tmp_path / "pages", book)]
    config = tmp_path / "mkdocs.yml"
    write_config(ROOT / "mkdocs.yml", config, pages, settings=book.settings, words=WORDS)
    run_mkdocs(config, tmp_path / "short")
    command = [sys.executable, "-m", "mkdocs", "build", "--quiet", "-f", str(config), "-d", str(tmp_path / "plain")]
    subprocess.run(command, check=True, env=os.environ | {"NO_MKDOCS_2_WARNING": "true"})
    mend_theme(tmp_path / "plain")
    assert files_of(tmp_path / "short") == files_of(tmp_path / "plain")


def test_both_engines_show_the_same_words_on_every_page(tmp_path: Path, loaded: Loaded) -> None:
    """The demo handbook under MkDocs and under zensical, both strict."""
    book = loaded.book
    written = write_pages(ROOT / "content", tmp_path / "pages", book)
    pages = [one.page for one in written]
    write_config(ROOT / "mkdocs.yml", tmp_path / "mkdocs.yml", pages, settings=book.settings, words=WORDS)
    run_mkdocs(tmp_path / "mkdocs.yml", tmp_path / "one")
    run_zensical(tmp_path / "mkdocs.yml", tmp_path / "two")
    for page in pages:
        if page.is_html:
            continue
        assert words(tmp_path / "one" / f"{page.id}.html") == words(tmp_path / "two" / f"{page.id}.html"), page.id
