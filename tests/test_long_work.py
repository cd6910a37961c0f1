"""Long work shows itself on a terminal and not in a pipe, and says how far it came when a person stops it."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from generator.command import progress as shown
from generator.errors import Interrupted
from generator.render.progress import Progress
from tests.frozen import ROOT, copied
from tests.print.reading import reader

SLOW = """
import signal, sys, time
from generator.command import progress
from generator import cli
from generator.render.card import batch
progress.SHOWN_AFTER_S = 0.2
signal.signal(signal.SIGINT, signal.default_int_handler)  # as at a terminal, however these tests were begun
setter = batch.set_card
def slower(*given, **named):
    time.sleep(0.4)
    return setter(*given, **named)
batch.set_card = slower
sys.argv = ["handbook", *sys.argv[1:]]
cli.main()
"""
SEVERAL = SLOW.replace("setter =", "batch.CARDS_A_TASK, batch.CARDS_A_PROCESS = 1, 3\nsetter =")  # processes


def test_how_far_a_run_is_stands_in_what_it_says_when_it_is_interrupted() -> None:
    with pytest.raises(Interrupted) as stopped, shown.progress() as told:
        told.step("printing cards", 3)
        told.advance()
        raise KeyboardInterrupt
    said = "interrupted while printing cards, 1 of 3 done and whole; what was published before is untouched"
    assert str(stopped.value) == said
    assert stopped.value.exit_status == 130


def test_a_step_without_a_count_is_told_without_one() -> None:
    with pytest.raises(Interrupted, match=r"^interrupted while reading; what"), shown.progress() as told:
        assert told == Progress("reading")
        raise KeyboardInterrupt


@pytest.fixture
def project(tmp_path: Path) -> Path:
    return copied(tmp_path).root


def begun(project: Path, words: tuple[str, ...], errors: int, code: str = SLOW) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", code, "--root", str(project), *words],
        cwd=ROOT,
        env={**os.environ, "TERM": "xterm", "COLUMNS": "120"},
        stdout=subprocess.PIPE,
        stderr=errors,
        text=True,
        start_new_session=True,
    )


def on_a_terminal(project: Path, *words: str, until: str = "", code: str = SLOW) -> tuple[str, str, int]:
    """Run the command with its errors on a terminal, interrupted once `until` stands there; return what it said."""
    ours, theirs = pty.openpty()
    run = begun(project, words, theirs, code)
    os.close(theirs)
    seen, sent = "", not until
    while True:
        ready, _, _ = select.select([ours], [], [], 120)
        try:
            part = os.read(ours, 65536).decode() if ready else ""
        except OSError:  # the other end is closed
            part = ""
        if not part:
            break
        seen += part
        if not sent and re.search(until, seen):
            os.killpg(run.pid, signal.SIGINT)
            sent = True
    os.close(ours)
    out, _ = run.communicate(timeout=120)
    return out, seen, run.returncode


def test_a_terminal_sees_a_bar_with_count_rate_and_time_left(project: Path) -> None:
    out, seen, status = on_a_terminal(project, "card", "--all")
    assert status == 0
    assert re.search(r"printing cards\b.*\b[2-6]/6\b.*[0-9.]+/s.*0:00:0", seen), seen
    assert out.splitlines()[0] == f"cards: 6 written, 0 unchanged, in {project / 'build' / 'print'}"


def test_a_pipe_sees_none(project: Path) -> None:
    run = begun(project, ("card", "--all", "--verbose"), subprocess.PIPE)
    out, errors = run.communicate(timeout=120)
    assert (errors, run.returncode) == ("", 0)
    lines = out.splitlines()
    assert [line.split()[0] for line in lines[:6]] == ["card"] * 6
    assert len(lines) == 7  # and what stands open


def test_an_interrupted_run_leaves_what_is_done_whole_and_says_how_far_it_came(project: Path) -> None:
    out, seen, status = on_a_terminal(project, "card", "--all", until=r"printing cards\b.*\b[23]/6")
    assert status == 130
    told = re.search(r"interrupted while printing cards, (\d) of 6 done and whole; what was published", seen)
    assert told and out == ""
    written = sorted((project / "build" / "print").glob("*.pdf"))
    assert 2 <= int(told[1]) <= len(written) < 6
    assert all(len(reader(path.read_bytes()).pages) == 2 for path in written)
    assert not [path for path in (project / "build" / "print").iterdir() if path.name.endswith(".part")]
    assert "Traceback" not in seen


def test_so_do_several_processes_and_none_of_them_says_anything(project: Path) -> None:
    """Interrupted while they begin."""
    out, seen, status = on_a_terminal(project, "card", "--all", until=r"(printing cards\b.*?\b0/6.*?){2}", code=SEVERAL)
    assert (status, out) == (130, "")
    assert "Traceback" not in seen
    assert all(len(reader(path.read_bytes()).pages) == 2 for path in (project / "build" / "print").glob("*.pdf"))
