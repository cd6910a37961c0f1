"""A task says first who may do it, and every step of it what to expect: of the site, where the site's page tells it."""

import re
from pathlib import Path

import pytest

from generator.assemble.documents import Book
from generator.build import Loaded
from generator.render.pages.write import Rendered
from tests.content.writing import PAGES, templates

OTHERS = {
    "annual-check",
    "adjusting",
    "before-you-start",
    "commissioning",
    "decommissioning",
    "fault-finding/element-figures",
    "maintenance",
    "storage-and-freezing",
}
TASKS = [
    path for path in templates() if "who_may(" in path.read_text(encoding="utf-8") and path.name != "_macros.md.j2"
]
STEP = re.compile(r"^(?:\d+)\. ", re.MULTILINE)


def name(path: Path) -> str:
    return path.relative_to(PAGES).as_posix().removesuffix(".md.j2")


def steps_without_expectation(text: str) -> list[str]:
    """The numbered steps of a text that no line *Expected* follows before the next step, heading or end."""
    parts = re.split(r"(?m)^(?=\d+\. |#)", text)
    return [part.partition("\n")[0] for part in parts if STEP.match(part) and "\n    *Expected:* " not in part]


@pytest.fixture(scope="module")
def book(loaded: Loaded) -> Book:
    return loaded.book


def test_the_pages_of_the_work_are_tasks() -> None:
    work = {name(path) for path in (PAGES / "installation").glob("*.j2")} - {"installation/index"}
    assert {name(path) for path in TASKS} == work | OTHERS


@pytest.mark.parametrize("path", TASKS, ids=name)
def test_who_may_do_it_comes_first_and_every_step_says_what_to_expect(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    first = re.search(r"^(\d+\. |## |\{\{ (?:section|embedded)\()", text, re.MULTILINE)
    assert first is None or text.index("who_may(") < first.start()
    assert steps_without_expectation(text) == []


def test_a_step_that_says_nothing_to_expect_is_found() -> None:
    assert steps_without_expectation("## A\n\n1. Close it.\n\n    *Expected:* shut.\n\n2. Open it.\n") == [
        "2. Open it."
    ]


def test_the_proof_that_it_is_dead_is_worded_once() -> None:
    """Elsewhere it is called by its name, with a link to it: two wordings would part."""
    texts = {name(path): path.read_text(encoding="utf-8") for path in templates()}
    told = [page for page, text in texts.items() if "known live source" in text and "**dead**" in text]
    assert told == ["before-you-start"]
    calls = [page for page, text in texts.items() if "{{ prove_dead() }}" in text]
    assert {
        "annual-check",
        "decommissioning",
        "fault-finding/element-figures",
        "installation/circuit-tests",
        "installation/electrical",
    } <= set(calls)


def test_each_task_that_speaks_of_the_site_leads_to_its_values(book: Book, rendered: tuple[Rendered, ...]) -> None:
    pages = {one.page.id: one.text for one in rendered}
    for path in TASKS:
        text = pages[name(path)]
        if "of the site" not in text.partition("## ")[2] or "expected_values(" not in path.read_text(encoding="utf-8"):
            continue
        for view in book.sites:
            found = re.search(rf'href="[./]*sites/{view.spec.id}/details\.html#([a-z]+)"', text)
            assert found, (name(path), view.spec.id)
            assert f'id="{found[1]}"' in pages[f"sites/{view.spec.id}/details"] or found[1] == "tasks"


def test_the_values_of_a_site_are_those_of_its_record(book: Book, rendered: tuple[Rendered, ...]) -> None:
    pages = {one.page.id: one.text for one in rendered}
    for view in book.sites:
        tasks = pages[f"sites/{view.spec.id}/details"].partition("{: #tasks }")[2].partition("\n## ")[0]
        items = {row.item for row in view.result.expected if row.asked}
        assert ("Run on after the last air" in tasks) == ("purge" in items)
        invites = [
            words for words in ("Stages and currents at", "Rise over the inlet", "Ground wire") if words in tasks
        ]
        assert bool(invites) != bool(view.stays_off), view.spec.id
