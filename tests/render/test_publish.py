"""Whatever happens to a build, the published folder is whole: the last one or the new one, never a mixture."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from generator.errors import HandbookError
from generator.render import publish as publishing
from generator.render.lock import only_writer
from generator.render.publish import publish, recover

ROOT = Path(__file__).parents[2]
FILES = 40

# Publishes version after version for ever, from a number on: FILES files, each holding the version's number.
ENDLESS = f"""
import sys
from pathlib import Path
from generator.render import publish as publishing
target, exchange, version = Path(sys.argv[1]), sys.argv[2] == "exchange", int(sys.argv[3])
if not exchange:
    publishing._exchange = lambda one, other: False
def make(folder, version):
    for index in range({FILES}):
        (folder / f"{{index}}.html").write_text(str(version))
while True:
    version += 1
    publishing.publish(
        target, lambda folder: make(folder, version), (target.with_name("results.json"), lambda: str(version).encode())
    )
    print(version, flush=True)
"""


def whole(target: Path) -> int:
    """The version a complete folder holds; fails on a missing file or a mixture."""
    texts = [path.read_text() for path in target.glob("*.html")]
    assert len(texts) == FILES
    assert len(set(texts)) == 1
    return int(texts[0])


@pytest.mark.parametrize("way", ["exchange", "two renames"])
def test_killed_at_any_moment_the_published_folder_is_whole(tmp_path: Path, way: str) -> None:
    target = tmp_path / "site"
    chance = random.Random(20260914)
    for before in range(0, 8000, 1000):
        command = [sys.executable, "-c", ENDLESS, str(target), way, str(before)]
        process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        assert process.stdout is not None
        assert process.stdout.readline().strip() == str(before + 1)
        start = time.monotonic()
        assert process.stdout.readline().strip() == str(before + 2)
        time.sleep(chance.uniform(0, 2.5 * (time.monotonic() - start)))
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        recover(target, results := tmp_path / "results.json")
        version = whole(target)
        assert int(results.read_text()) == version, "the figures are not those of the site"
        assert before + 2 <= version < before + 1000, "what was published before the kill is lost"


def put(target: Path, make: publishing.Callable[[Path], None], results: str = "") -> None:
    publish(target, make, (target.with_name("results.json"), results.encode))


def make(text: str) -> publishing.Callable[[Path], None]:
    return lambda folder: [(folder / f"{index}.html").write_text(text) for index in range(FILES)] and None


def test_a_failure_leaves_the_last_good_folder_and_no_leftover(tmp_path: Path) -> None:
    target = tmp_path / "site"
    put(target, make("1"))

    def fail(folder: Path) -> None:
        (folder / "0.html").write_text("2")
        raise HandbookError("a page is wrong")

    with pytest.raises(HandbookError, match="a page is wrong"):
        put(target, fail)
    assert whole(target) == 1
    assert {path.name for path in tmp_path.iterdir()} == {"site", "results.json"}


@pytest.mark.parametrize("exchange", [True, False])
def test_the_new_folder_takes_the_place_of_the_old(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, exchange: bool
) -> None:
    if not exchange:
        monkeypatch.setattr(publishing, "_exchange", lambda one, other: False)
    for version in (1, 2, 3):
        put(tmp_path / "site", make(str(version)), str(version))
        assert whole(tmp_path / "site") == version
        assert {path.name for path in tmp_path.iterdir()} == {"site", "results.json"}


def test_a_run_killed_between_two_renames_is_mended(tmp_path: Path) -> None:
    target = tmp_path / "site"
    put(target, make("1"))
    target.rename(tmp_path / ".site-last")
    (tmp_path / ".site-next-123").mkdir()
    recover(target, tmp_path / "results.json")
    assert whole(target) == 1
    assert {path.name for path in tmp_path.iterdir()} == {"site", "results.json"}


def test_figures_that_cannot_be_written_leave_the_last_site(tmp_path: Path) -> None:
    target = tmp_path / "site"
    put(target, make("1"), "1")

    def no_room() -> bytes:
        raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space left"):
        publish(target, make("2"), (tmp_path / "results.json", no_room))
    assert whole(target) == 1
    assert (tmp_path / "results.json").read_text() == "1"


@pytest.mark.parametrize(("said", "then"), [("2", "2"), ("1", "1")])
def test_figures_that_wait_for_their_place_get_it_where_the_site_is_theirs(
    tmp_path: Path, said: str, then: str
) -> None:
    """A run killed after the site took its place, and one killed before."""
    target, results = tmp_path / "site", tmp_path / "results.json"
    put(target, make(said), said)
    results.write_text("1")
    (tmp_path / ".results.json-next").write_text("2")
    recover(target, results)
    assert results.read_text() == then
    assert {path.name for path in tmp_path.iterdir()} == {"site", "results.json"}


@pytest.mark.skipif(os.name != "posix", reason="modes are those of POSIX")
def test_a_web_server_may_read_what_a_careful_writer_publishes(tmp_path: Path) -> None:
    def inside(folder: Path) -> None:
        (folder / "a").mkdir()
        make("1")(folder / "a")

    mask = os.umask(0o077)
    try:
        put(tmp_path / "site", inside)
    finally:
        os.umask(mask)
    modes = {path.stat().st_mode & 0o777 for path in (tmp_path / "site").rglob("*") if path.is_file()}
    assert modes == {0o644}
    assert (tmp_path / "site" / "a").stat().st_mode & 0o777 == 0o755


def test_what_a_killed_run_left_beside_its_files_goes_with_the_next(tmp_path: Path) -> None:
    (tmp_path / ".creamery.pdf.123.part").write_text("half")
    (tmp_path / ".kept").write_text("a writer's own")
    with only_writer(tmp_path):
        assert {path.name for path in tmp_path.iterdir()} == {".kept", ".lock"}


def test_a_second_writer_is_told_to_wait(tmp_path: Path) -> None:
    pytest.importorskip("fcntl")
    wait = "another handbook command is writing here"
    with only_writer(tmp_path), pytest.raises(HandbookError, match=wait), only_writer(tmp_path):
        pass
    with only_writer(tmp_path):
        pass
