"""Thousands of slips in the files of a handbook: each is refused at its place in words, or read, computed and shown.

`make fuzz` draws many more. No exception but the project's own may leave the reader, the calculations or the pages.
"""

import os
import random
from pathlib import Path

import pytest

from generator.errors import HandbookError, InputFaults
from generator.folders import Folders
from generator.read.handbook import read_handbook
from tests.changes.project import copy_of_demo, read_words_once, state
from tests.fuzz.kept import PagesKept, read_files_once, same
from tests.fuzz.yaml_mutations import mutated

CHUNKS = 10
SLIPS = int(os.environ.get("HANDBOOK_FUZZ", "5000")) // CHUNKS
WHOLE = 10  # of those that change something, one in so many has every page rendered, not only those of its subjects
WRITTEN = ("models/*.yaml", "sites/*.yaml", "handbook.yaml")
TABLES = ("codes/**/*.yaml", "pipes/**/*.yaml", "*.yaml", "plumbing/**/*.yaml")


class Looks:
    """Looks at a handbook after each slip in a file of it, and counts what becomes of them."""

    def __init__(self, folders: Folders, patch: pytest.MonkeyPatch) -> None:
        read_words_once(patch)
        read_files_once(patch)
        self.folders, self.pages = folders, PagesKept(patch)
        self.sound = state(folders).loaded
        self.accepted = self.shown = 0

    def look(self) -> None:
        """Read; where that moved anything, compute and render too. What is refused has a place in a file."""
        try:
            inputs = read_handbook(self.folders.data)
            self.accepted += 1
            if not same(inputs, self.sound.inputs):
                self._show()
        except InputFaults as refused:
            for fault in refused.faults:
                lines = (self.folders.root / fault.file).read_text(encoding="utf-8", errors="replace").count("\n") + 2
                assert 1 <= fault.line <= lines, str(fault)
                assert fault.column >= 1, str(fault)
                assert fault.wrong, str(fault)
                assert fault.expected, str(fault)
        except HandbookError as refused:
            assert str(refused)

    def _show(self) -> None:
        self.pages.concern(None if self.shown % WHOLE == 0 else self.sound.book)
        self.shown += 1
        state(self.folders)


@pytest.mark.heavy
@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_no_slip_leaves_but_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, chunk: int) -> None:
    folders = copy_of_demo(tmp_path, {"beck-9", "rill-4m"}, {"packing-house", "seedling-house"})
    chance = random.Random(f"{os.environ.get('HANDBOOK_EXPLORE', '')}-{chunk}")
    files = {kind: sorted(path for one in kind for path in folders.data.glob(one)) for kind in (WRITTEN, TABLES)}
    looks = Looks(folders, monkeypatch)
    for number in range(SLIPS):
        path = chance.choice(files[WRITTEN if chance.random() < 0.7 else TABLES])
        text = path.read_text(encoding="utf-8")
        slipped = mutated(text, chance)
        path.write_bytes(slipped.encode("utf-8", "surrogatepass"))
        try:
            looks.look()
        except Exception as error:
            where = f"{path.relative_to(tmp_path)}, slip {number} of chunk {chunk}"
            raise AssertionError(f"{where}: {type(error).__name__}: {error}\n{difference(text, slipped)}") from error
        finally:
            path.write_text(text, encoding="utf-8")
    assert looks.accepted > SLIPS / 20, "so few slips are accepted that the calculations are not tried"


def difference(old: str, new: str) -> str:
    """The first lines that differ."""
    pairs = zip(old.split("\n"), new.split("\n"), strict=False)
    return next((f"- {one[:200]}\n+ {other[:200]}" for one, other in pairs if one != other), "at the end")
