"""What is kept of a run changes nothing of the next but its time: after any edit a build is a cold one, to the byte."""

from __future__ import annotations

import os
import random
import re
import shutil
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from subprocess import Popen
from typing import Any

import pytest

from generator.build import build, load
from generator.errors import PageFault
from generator.folders import Folders
from generator.model.inputs import Inputs
from generator.model.site import Site
from generator.render.pages import write
from generator.render.pages.kept import SiteCache, site_cache
from generator.render.pages.write import render_pages
from generator.render.site import engine
from generator.render.site.mkdocs_engine import run_mkdocs
from tests.changes.project import copy_of_demo
from tests.frozen import ROOT
from tests.sample import sample

SITES = {"creamery", "potting-shed", "packing-house"}


def project(root: Path) -> Folders:
    """Three sites of the demo, two of which share a panel, with words of their own to edit."""
    copy_of_demo(root, None, SITES)
    shutil.copytree(ROOT / "content", root / "content")
    shutil.copy(ROOT / "mkdocs.yml", root)
    return Folders(root)


def published(folders: Folders) -> dict[str, bytes]:
    output = folders.output
    paths = [output / "results.json", *(path for path in (output / "site").rglob("*") if path.is_file())]
    return {path.relative_to(output).as_posix(): path.read_bytes() for path in paths}


def _edited(path: Path, pattern: str, new: str | Callable[[re.Match[str]], str]) -> None:
    text, times = re.subn(pattern, new, path.read_text(encoding="utf-8"), count=1, flags=re.MULTILINE)
    assert times, f"{path.name} has no {pattern}"
    path.write_text(text, encoding="utf-8")


def a_number_of_a_site(root: Path, dice: random.Random) -> None:
    _edited(root / "site_data/sites/potting-shed.yaml", r"^  length: .*", f"  length: {dice.randint(5, 60)} ft")


def a_title(root: Path, dice: random.Random) -> None:
    _edited(root / "site_data/sites/creamery.yaml", "^title: .*", f"title: Creamery {dice.randint(1, 999)}")


def a_number_of_a_heater(root: Path, dice: random.Random) -> None:
    for path in (root / "site_data/models").glob("*.yaml"):
        _edited(path, "^revision: .*", f"revision: R{dice.randint(1, 999)}")


def a_word(root: Path, dice: random.Random) -> None:
    _edited(root / "content/pages/_site.md.j2", "^# .*", lambda found: f"{found[0]} {dice.randint(1, 999)}")


def the_handbook(root: Path, dice: random.Random) -> None:
    _edited(root / "site_data/handbook.yaml", "^revision: .*", f"revision: '{dice.randint(1, 999)}'")


def a_site_more_or_less(root: Path, _dice: random.Random) -> None:
    there, aside = (root / folder / "packing-house.yaml" for folder in ("site_data/sites", "."))
    (shutil.move(there, aside) if there.exists() else shutil.move(aside, there))


def what_is_kept(root: Path, dice: random.Random) -> None:
    """Damage a file of the cache, and take another away."""
    kept = sorted(path for path in (root / ".cache").rglob("*.json") if path.is_file())
    dice.choice(kept).unlink()
    path = dice.choice([path for path in kept if path.exists()])
    data = bytearray(path.read_bytes())
    data[dice.randrange(len(data))] ^= 0x15
    path.write_bytes(data)


EDITS = (a_number_of_a_site, a_title, a_number_of_a_heater, a_word, the_handbook, a_site_more_or_less, what_is_kept)


@pytest.mark.heavy
def test_after_any_edit_a_build_is_a_cold_one(tmp_path: Path) -> None:
    dice = random.Random(f"{os.environ.get('HANDBOOK_EXPLORE', '')}-edits")
    folders = project(tmp_path / "a")
    build(folders)
    for number in range(sample(4, 60)):
        edit = dice.choice(EDITS)
        edit(folders.root, dice)
        build(folders)
        cold = Folders(tmp_path / f"cold-{number}")
        shutil.copytree(folders.root, cold.root, ignore=shutil.ignore_patterns(".cache", "build"))
        build(cold)
        assert published(folders) == published(cold), f"{edit.__name__}, edit {number}"
        shutil.rmtree(cold.root)


def cache_of(folders: Folders, inputs: Inputs) -> SiteCache:
    return site_cache(folders.root, inputs, data=folders.data, tables=folders.tables, content=folders.content)


def rendered_of(folders: Folders, monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Render with what is kept, hold it against a rendering without, and return the sites that were rendered."""
    loaded, made = load(folders), set[str]()
    keep = SiteCache.keep

    def kept(cache: SiteCache, site: str, pages: object) -> object:
        made.add(site)
        return keep(cache, site, pages)

    monkeypatch.setattr(SiteCache, "keep", kept)
    found = render_pages(folders.content, loaded.book, kept=cache_of(folders, loaded.inputs))
    monkeypatch.setattr(SiteCache, "keep", keep)
    assert found == render_pages(folders.content, loaded.book)
    return made


def test_only_the_sites_that_an_edit_touches_are_rendered_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folders, dice = project(tmp_path), random.Random(3)
    assert rendered_of(folders, monkeypatch) == SITES
    for edit, touched in (
        (lambda _root, _dice: None, set()),
        (a_number_of_a_site, {"potting-shed"}),
        (a_title, {"creamery"}),
        (a_site_more_or_less, set()),
        (the_handbook, SITES - {"packing-house"}),
        (a_site_more_or_less, {"packing-house"}),
    ):
        edit(folders.root, dice)
        assert rendered_of(folders, monkeypatch) == touched, edit


def test_what_is_kept_of_a_site_follows_its_neighbours(tmp_path: Path) -> None:
    """A site that shares a panel says what the others take of it."""
    folders = project(tmp_path)
    before = load(folders).inputs
    sites = [site for site in before.sites if site.id != "creamery"]
    panel = sites[0].supply.panel.model_copy(update={"id": "main"})
    joint = [site.model_copy(update={"supply": site.supply.model_copy(update={"panel": panel})}) for site in sites]
    digests = [_digests(folders, before, [*joint[:1], other]) for other in (joint[1], _retitled(joint[1]))]
    assert digests[0][joint[0].id] != digests[1][joint[0].id]
    alone = [_digests(folders, before, [sites[0], other]) for other in (sites[1], _retitled(sites[1]))]
    assert alone[0][sites[0].id] == alone[1][sites[0].id]


def _retitled(site: Site) -> Site:
    return site.model_copy(update={"title": "Another name"})


def _digests(folders: Folders, inputs: Inputs, sites: Iterable[Site]) -> Mapping[str, bytes]:
    return cache_of(folders, replace(inputs, sites=tuple(sites))).digests


def test_what_is_kept_and_damaged_or_of_other_inputs_is_not_used(tmp_path: Path) -> None:
    digests = {"shed": bytes(32)}
    assert SiteCache(tmp_path, digests).keep("shed", {"a": "b"}) == {"a": "b"}
    assert SiteCache(tmp_path, digests).load("shed") == {"a": "b"}
    assert SiteCache(tmp_path, {"shed": bytes(31) + b"1"}).load("shed") is None
    (file,) = tmp_path.iterdir()
    whole = file.read_bytes()
    for at in range(len(whole)):
        file.write_bytes(whole[:at] + bytes([whole[at] ^ 0x15]) + whole[at + 1 :])
        assert SiteCache(tmp_path, digests).load("shed") is None
    file.write_bytes(whole[:30])
    assert SiteCache(tmp_path, digests).load("shed") is None
    SiteCache(tmp_path, {}).forget_others()
    assert not list(tmp_path.iterdir())


def test_the_engine_is_spared_what_was_built_and_still_looks_where_links_lead(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folders = project(tmp_path)
    build(folders)
    asked, general = [], []
    real = engine._ask

    def ask(process: Popen[str], told: Sequence[Any]) -> Mapping[str, Any]:
        pages = told[-1]["pages"]
        asked.append(SITES & {path.split("/")[1].removesuffix(".md") for path in pages if path.startswith("sites/")})
        general.append("glossary.md" in pages)
        return real(process, told)

    monkeypatch.setattr(engine, "_ask", ask)
    a_number_of_a_site(folders.root, random.Random(1))
    build(folders)
    page = folders.output / "site" / "sites" / "creamery.html"
    whole = page.read_bytes()
    page.write_bytes(whole + b"<!-- -->")
    build(folders)
    assert asked == [SITES - {"potting-shed"}, SITES - {"creamery"}]
    assert general == [True, True]
    assert page.read_bytes() == whole
    # A link into a page that is spared leads nowhere, and one out of it.
    learned = {"sites/creamery.md": (["there"], {"index.md": {"nowhere": "../index.md#nowhere"}})}
    for link, told in (
        ("there", "contains a link '../index.md#nowhere'"),
        ("gone", "does not contain an anchor '#gone'"),
    ):
        (folders.output / "pages" / "who-to-ask.md").write_text(f"[a](sites/creamery.md#{link})", encoding="utf-8")
        with pytest.raises(PageFault, match=told):
            run_mkdocs(folders.output / "mkdocs.yml", tmp_path / "site", {"pages": learned, "names": []})


def test_many_sites_are_rendered_in_processes_to_the_same_bytes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folders = project(tmp_path)
    loaded = load(folders)
    alone = render_pages(folders.content, loaded.book)
    monkeypatch.setattr(write, "SITES_A_PROCESS", 1)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    here, inside = os.getpid(), tmp_path / "pids"
    keep = SiteCache.keep

    def kept(cache: SiteCache, site: str, made: object) -> object:
        with inside.open("a", encoding="utf-8") as file:
            file.write(f"{os.getpid()}\n")
        return keep(cache, site, made)

    monkeypatch.setattr(SiteCache, "keep", kept)
    assert render_pages(folders.content, loaded.book) == alone
    assert str(here) not in inside.read_text(encoding="utf-8").split()
    _edited(folders.content / "pages" / "_site.md.j2", "^# .*", "{{ nothing_of_that_name }}")
    with pytest.raises(PageFault, match=r"_site\.md\.j2:\d+: 'nothing_of_that_name' is undefined"):
        render_pages(folders.content, loaded.book)
