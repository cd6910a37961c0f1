"""A small project without stops: two sites of the demo with their models, and the command run in it."""

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from generator import cli, release
from generator.build import comparable, load
from generator.folders import Folders
from tests.changes.project import copy_of_demo, read_words_once
from tests.frozen import FOLDERS, ROOT

MODELS, SITES = {"rill-3", "rill-4m"}, {"potting-shed", "seedling-house"}


@dataclass(frozen=True, slots=True)
class Said:
    """What the command said and with which exit status."""

    status: int
    out: str
    err: str


@pytest.fixture(autouse=True, scope="session")
def words_once() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        read_words_once(patch)
        yield


@pytest.fixture(autouse=True)
def printed_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have releases print and build nothing, which takes long; where that matters a test puts it back."""
    monkeypatch.setattr(release, "issued", lambda *_cards, **_pages: {})
    monkeypatch.setattr(release, "built_pages", lambda *_loaded: {})


@pytest.fixture(scope="session")
def demo_ids() -> set[str]:
    """The ids of every figure of the demo."""
    return set(comparable(load(FOLDERS)).figures)


@pytest.fixture
def folders(tmp_path: Path) -> Folders:
    copy_of_demo(tmp_path, MODELS, SITES)
    (tmp_path / "content").symlink_to(ROOT / "content")
    return Folders(tmp_path)


@pytest.fixture
def handbook(
    folders: Folders, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Callable[..., Said]:
    """Run `handbook` with these words in the project's folder."""
    monkeypatch.chdir(folders.root)

    def run(*words: str) -> Said:
        monkeypatch.setattr(sys, "argv", ["handbook", *words])
        with pytest.raises(SystemExit) as left:
            cli.main()
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return Said(int(left.value.code or 0), out, err)

    return run
