"""Notices, fault finding, stated values and steps: `changes` tells of each text that the field reads, by its id."""

import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from generator.assemble.changes.compare import change_report
from generator.assemble.reader_texts import ROOT as TEXTS
from generator.build import Folders, comparable, load
from generator.model.documents.results_file import StoredResults
from generator.read.content.steps import read_steps
from generator.read.revisions import read_frozen
from generator.render.changes.texts import Printed
from tests.changes.conftest import MODELS, SITES, Said
from tests.changes.project import copy_of_demo
from tests.frozen import DATA, ROOT
from tests.styles import BOTH

Handbook = Callable[..., Said]
TASK = "pages/decommissioning.md.j2"
CUPFUL = "step.decommissioning.disconnect-the-pipes.expected"


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("project")
    copy_of_demo(root, MODELS, SITES)
    return root


@pytest.fixture(scope="module")
def before(project: Path) -> StoredResults:
    return comparable(load(Folders(project, ROOT)))


def told(old: StoredResults, new: StoredResults) -> list[tuple[str, str, str | None, str | None]]:
    report = change_report(old, new, ("before", "now"), printer=Printed(BOTH))
    return [(one.file, one.key, one.old, one.new) for one in report.inputs]


def changed(project: Path, place: Path, edits: dict[str, tuple[str, str]]) -> StoredResults:
    """What the project computes to where files of its content have other texts; each stands there once."""
    shutil.copytree(ROOT / "content", place / "content")
    for file, (old, new) in edits.items():
        path = place / "content" / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, (file, old)
        path.write_text(text.replace(old, new), encoding="utf-8")
    return comparable(load(Folders(project, place)))


def test_each_text_that_changes_is_told_by_its_id(project: Path, before: StoredResults, tmp_path: Path) -> None:
    """One of each kind at once: those are told, by their ids, and no other."""
    cover = ("Refit the cover before any circuit is", "Refit the cover before a circuit is")
    pipes = ("Dry the pipes with paper.", "Dry every pipe with paper.")
    after = "\n        expected: no flow.\n      - do: Write down"
    tap = (f"Close the hot tap.{after}", f"Close every tap.{after}")
    edits = {
        "notices/2-electricity.yaml": cover,
        "faults/leaks.yaml": pipes,
        "faults/_safe_states.yaml": tap,
        "stated.yaml": ("value: 20 min", "value: 25 min"),
        TASK: ("a cupful of water.", "a bucket of water."),
    }
    found = told(before, changed(project, tmp_path, edits))
    assert found[1:] == [
        ("content/faults", "leaks.causes.condensation.check[1]", *pipes),
        ("content/faults/_safe_states.yaml", "switched-off.steps[1].do", "Close the hot tap.", "Close every tap."),
        ("content/stated.yaml", "burn-cooling.value", "20 min", "25 min"),
        (f"content/{TASK}", CUPFUL, "a cupful of water.", "a bucket of water."),
    ]
    (file, key, old, new), *_ = found
    assert (file, key) == ("content/notices", "live-parts.avoidance[3]")
    assert old and new and old.replace(*cover) == new != old


def test_a_step_put_between_others_is_told_alone(project: Path, before: StoredResults, tmp_path: Path) -> None:
    text = (ROOT / "content" / TASK).read_text(encoding="utf-8")
    (line,) = [line for line in text.splitlines() if line.endswith(". Disconnect the pipes.")]
    first = f"1. Put a pan below.\n\n    *Expected:* it stands.\n\n{line}"
    found = told(before, changed(project, tmp_path, {TASK: (line, first)}))
    assert found == [
        (f"content/{TASK}", "step.decommissioning.put-a-pan-below", None, "Put a pan below."),
        (f"content/{TASK}", "step.decommissioning.put-a-pan-below.expected", None, "it stands."),
    ]


def test_a_step_that_states_its_name_keeps_it_however_it_is_worded(tmp_path: Path) -> None:
    page = tmp_path / "content" / "pages" / "task.md.j2"
    page.parent.mkdir(parents=True)
    page.write_text(
        "# Take it *down*\n\n1. {{ embedded('a') }} Pull the [old plug]({{ link('b') }}) out\n"
        "   of its socket. {# step: plug #}\n"
        "2. Wait.\n\n    *Expected:* cold.\n\n3. Wait.\n",
        encoding="utf-8",
    )
    (steps,) = read_steps(tmp_path / "content").values()
    assert steps == {
        "take-it-down.plug": "{{ embedded('a') }} Pull the [old plug]({{ link('b') }}) out of its socket.",
        "take-it-down.wait": "Wait.",
        "take-it-down.wait.expected": "cold.",
        "take-it-down.wait-2": "Wait.",
    }


def test_every_step_of_the_tasks_has_an_id_of_its_own() -> None:
    texts = read_steps(ROOT / "content")
    pages = {path: (ROOT / path).read_text(encoding="utf-8") for path in texts}
    for path, steps in texts.items():
        told = [id_ for id_ in steps if not id_.endswith(".expected")]
        assert len(told) == len(re.findall(r"^\d+\. ", pages[path], re.MULTILINE)), path
    assert sum(map(len, texts.values())) > 600


def test_a_side_of_before_texts_were_kept_is_not_compared_by_them(before: StoredResults) -> None:
    then = read_frozen(DATA, "3")
    assert not any(file.startswith(TEXTS) for file in then.inputs)
    assert not any(file.startswith(TEXTS) for file, *_ in told(then, before) + told(before, then))
    assert any(file.startswith(TEXTS) for file, *_ in told(before, replace(before, inputs={TEXTS: {}})))
