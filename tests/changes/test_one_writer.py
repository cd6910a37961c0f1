"""Every verb that writes waits for no other: while one holds the folder, the next is told, and writes nothing."""

import fcntl
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.folders import Folders
from tests.changes.conftest import Said
from tests.changes.test_full_disk import contents

Handbook = Callable[..., Said]
BUILD, PRINT = "build", "build/print"


@pytest.mark.parametrize(
    ("held", "words"),
    [
        (BUILD, ("build",)),
        (BUILD, ("release", "4", "--by", "lead", "--why", "first issue", "--on", "2026-11-20")),
        (BUILD, ("receive", "lines.txt")),
        (BUILD, ("card", "--hung", "potting-shed", "0000-0000", "2026-11-03")),
        (BUILD, ("record", "potting-shed", "--new", "2026-11-28")),
        (BUILD, ("schema",)),
        ("build/export", ("export",)),
        ("build/print/records", ("record", "--all")),
        (PRINT, ("card", "--all")),
        ("build/print/labels", ("label", "--all")),
        (PRINT, ("print",)),
    ],
    ids=lambda one: one if isinstance(one, str) else " ".join(one[:2]),
)
def test_the_second_writer_is_told_and_writes_nothing(
    handbook: Handbook, folders: Folders, held: str, words: tuple[str, ...]
) -> None:
    (folders.root / "lines.txt").write_text("near-miss potting-shed 2026-11-05 the tap dripped\n", encoding="utf-8")
    folder = folders.root / held
    folder.mkdir(parents=True)
    before = contents(folders)
    with (folder / ".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        said = handbook(*words)
    assert said.status == 1 and "another handbook command is writing here" in said.err
    assert contents(folders) == before


@pytest.mark.parametrize(
    ("folder", "words"),
    [
        ("site_data/installed", ("receive", "lines.txt")),
        ("site_data/readings/potting-shed", ("record", "potting-shed", "--new", "2026-11-28")),
        ("site_data/schema", ("schema",)),
        ("build/export", ("export",)),
    ],
)
def test_what_a_killed_run_left_goes_with_the_next(
    handbook: Handbook, folders: Folders, folder: str, words: tuple[str, ...]
) -> None:
    (folders.root / "lines.txt").write_text("near-miss potting-shed 2026-11-05 the tap dripped\n", encoding="utf-8")
    left = folders.root / folder / ".potting-shed.yaml.4711.part"
    left.parent.mkdir(parents=True, exist_ok=True)
    left.write_bytes(b"half")
    assert handbook(*words).status == 0
    assert not left.exists()
    assert not list((folders.root / "site_data").rglob(".lock")), "a lock lies among the data"


def test_a_line_from_the_field_that_no_text_is_told_and_steers_no_terminal(
    handbook: Handbook, folders: Folders
) -> None:
    sent = Path("sent.txt")
    sent.write_bytes(
        b"near-miss potting-shed 2026-11-05 \x1b[31mred\x1b]0;x\x07\ngossip \xff\xfe\n::error::x \x1b[2J\n"
    )
    said = handbook("receive", "sent.txt")
    assert said.status == 1 and "3 of 3 lines are refused" in said.err
    assert all(sign.isprintable() or sign == "\n" for sign in said.out + said.err)
    assert not any(line.startswith("::") for line in (said.out + said.err).splitlines())
    assert not (folders.data / "installed").exists()


def test_a_device_or_a_flood_of_lines_is_refused(handbook: Handbook, folders: Folders) -> None:
    said = handbook("receive", "/dev/zero")
    assert said.status == 1 and "part it" in said.err
