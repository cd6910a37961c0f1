"""What other systems do otherwise, as far as it can be played here: locks, swaps, waiting for the disk, line ends."""

from __future__ import annotations

import ast
import errno
import fcntl
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.errors import HandbookError
from generator.project import copied, replaced
from generator.render import lock, publish
from generator.render.pages.logo import unfit
from tests.frozen import ROOT

PACKAGE = ROOT / "generator"


class Msvcrt:
    """As the module of Windows that locks a part of a file, for one process's open files."""

    LK_NBLCK = 2

    def __init__(self) -> None:
        self.held: set[str] = set()

    def locking(self, descriptor: int, mode: int, length: int) -> None:
        assert (mode, length) == (self.LK_NBLCK, 1)
        file = str(Path(f"/proc/self/fd/{descriptor}").readlink())
        if file in self.held:
            raise OSError(errno.EACCES, "Permission denied")
        self.held.add(file)


def test_a_system_without_fcntl_locks_by_its_own_means(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lock, "_FCNTL", None)
    monkeypatch.setattr(lock, "_MSVCRT", windows := Msvcrt())
    with lock.only_writer(tmp_path / "build"):
        assert len(windows.held) == 1
        second = lock.only_writer(tmp_path / "build")
        with pytest.raises(HandbookError, match="another handbook command is writing here"):
            second.__enter__()
        with lock.only_writer(tmp_path / "other"):
            assert len(windows.held) == 2


def test_who_waits_for_its_turn_looks_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    looks: list[float] = []
    taken = iter([False, False, True])
    monkeypatch.setattr(lock, "_taken", lambda _held: next(taken))
    monkeypatch.setattr(lock.time, "sleep", looks.append)
    with lock.in_turn(tmp_path):
        assert len(looks) == 2


def test_a_system_that_locks_nothing_still_writes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lock, "_FCNTL", None)
    monkeypatch.setattr(lock, "_MSVCRT", None)
    with lock.only_writer(tmp_path), lock.in_turn(tmp_path):
        assert (tmp_path / ".lock").exists()


def make(text: str) -> Callable[[Path], None]:
    def made(folder: Path) -> None:
        (folder / "index.html").write_text(text, encoding="utf-8")

    return made


def test_a_system_that_exchanges_no_names_renames_twice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    site = tmp_path / "site"
    for text in ("one", "two"):
        monkeypatch.setattr(publish, "_exchange", lambda *_names: False)
        publish.publish(site, make(text))
        assert (site / "index.html").read_text(encoding="utf-8") == text
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_folder_that_someone_holds_open_stays_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Windows moves no folder in which a file is open."""
    site = tmp_path / "site"
    publish.publish(site, make("one"))
    monkeypatch.setattr(publish, "_exchange", lambda *_names: False)
    rename = Path.rename

    def refused(path: Path, target: Path) -> Path:
        if path == site:
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(PermissionError):
        publish.publish(site, make("two"))
    assert (site / "index.html").read_text(encoding="utf-8") == "one"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_who_waits_for_the_disk_may_write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Windows refuses to wait for a file that is open for reading alone."""
    modes: list[int] = []
    monkeypatch.setattr(publish.os, "fsync", lambda file: modes.append(fcntl.fcntl(file, fcntl.F_GETFL)))
    publish.publish(tmp_path / "site", make("one"))
    assert modes
    assert all(mode & os.O_ACCMODE == os.O_RDWR for mode in modes)


def test_every_text_that_is_written_ends_its_lines_alike() -> None:
    """Windows would write a line end of its own, and the bytes would differ from machine to machine."""
    found = []
    for file in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "write_text":
                given = {keyword.arg for keyword in node.keywords}
                found += [] if {"encoding", "newline"} <= given else [f"{file}:{node.lineno}"]
    assert found == []


def test_line_ends_of_a_checkout_replace_no_file(tmp_path: Path) -> None:
    (tmp_path / "site_data").mkdir()
    notices = sorted((ROOT / "content" / "notices").glob("*.yaml"))[:2]
    for file in notices:
        path = file.relative_to(ROOT).as_posix()
        copied(tmp_path, path)
        (tmp_path / path).write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    assert replaced(tmp_path) == ()
    (tmp_path / path).write_bytes((tmp_path / path).read_bytes() + b"# another\r\n")
    assert [one.path for one in replaced(tmp_path)] == [path]


def test_a_logo_is_named_with_its_capitals(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disks of Windows and macOS find logo.svg by Logo.svg; the server to which the pages go does not."""
    (tmp_path / "logo.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4"/>', encoding="utf-8")
    read = Path.read_bytes
    monkeypatch.setattr(Path, "is_file", lambda path: path.with_name(path.name.lower()).exists())
    monkeypatch.setattr(Path, "read_bytes", lambda path: read(path.with_name(path.name.lower())))
    assert unfit(tmp_path, "logo.svg") is None
    wrong = unfit(tmp_path, "Logo.svg")
    assert wrong is not None and "no such file" in wrong[0]
