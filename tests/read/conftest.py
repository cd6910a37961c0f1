"""A small handbook that tests edit one place at a time."""

import shutil
from pathlib import Path

import pytest

from generator.errors import Fault, InputFaults
from generator.model.inputs import Inputs
from generator.read.handbook import read_handbook

DEMO = Path(__file__).parents[2] / "site_data"
SMALL = Path(__file__).parent / "small" / "site_data"


class Handbook:
    """A copy of the small handbook."""

    def __init__(self, root: Path) -> None:
        self.folder = root / "site_data"
        shutil.copytree(SMALL, self.folder)
        shutil.copytree(DEMO / "pipes", self.folder / "pipes")
        shutil.copy(DEMO / "burns.yaml", self.folder)
        shutil.copy(DEMO / "tolerances.yaml", self.folder)
        shutil.copy(DEMO / "usual.yaml", self.folder)
        shutil.copy(DEMO / "codes" / "us" / "pass_limits.yaml", self.folder / "codes" / "test")

    def edit(self, file: str, old: str, new: str) -> str:
        """Replace `old`, which stands once, by `new`; return the file's new text, without the mark ^ (see `place`)."""
        path = self.folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        text = text.replace(old, new)
        path.write_text(text.replace("^", ""), encoding="utf-8", newline="")
        return text

    def read(self) -> Inputs:
        return read_handbook(self.folder)

    def faults(self) -> list[Fault]:
        """The faults of reading; none when it can be read."""
        try:
            self.read()
        except InputFaults as error:
            return list(error.faults)
        return []


def place(text: str) -> tuple[int, int]:
    """Line and column, counted from 1, of the mark ^ in a text."""
    before, mark, _ = text.partition("^")
    assert mark, "no ^ in the text"
    return before.count("\n") + 1, len(before.rpartition("\n")[2]) + 1


@pytest.fixture
def handbook(tmp_path: Path) -> Handbook:
    return Handbook(tmp_path)
