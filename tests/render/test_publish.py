"""Whatever happens to a build, the published folder is whole: the last one or the new one, never a mixture."""

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

# Publishes version after version for ever: FILES files, each holding the version's number.
ENDLESS = f"""
import sys
from pathlib import Path
from generator.render import publish as publishing
target, exchange = Path(sys.argv[1]), sys.argv[2] == "exchange"
if not exchange:
    publishing._exchange = lambda one, other: False
def make(folder, version):
    for index in range({FILES}):
        (folder / f"{{index}}.html").write_text(str(version))
version = 0
while True:
    version += 1
    publishing.publish(target, lambda folder: make(folder, version))
    print(version, flush=True)
"""


def whole(target: Path) -> int:
    """The version a complete folder holds; fails on a missing file or a mixture."""
    texts = [path.read_text() for path in target.iterdir()]
    assert len(texts) == FILES
    assert len(set(texts)) == 1
    return int(texts[0])


@pytest.mark.parametrize("way", ["exchange", "two renames"])
def test_killed_at_any_moment_the_published_folder_is_whole(tmp_path: Path, way: str) -> None:
    target = tmp_path / "site"
    chance = random.Random(20260914)
    versions = []
    for _ in range(12):
        process = subprocess.Popen(
            [sys.executable, "-c", ENDLESS, str(target), way], cwd=ROOT, stdout=subprocess.PIPE, text=True
        )
        assert process.stdout is not None
        assert process.stdout.readline().strip() == "1"
        time.sleep(chance.uniform(0, 0.05))
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        if way == "two renames":
            recover(target)
        versions.append(whole(target))
    assert len(set(versions)) > 1, "the runs were killed before anything changed"


def make(text: str) -> publishing.Callable[[Path], None]:
    return lambda folder: [(folder / f"{index}.html").write_text(text) for index in range(FILES)] and None


def test_a_failure_leaves_the_last_good_folder_and_no_leftover(tmp_path: Path) -> None:
    target = tmp_path / "site"
    publish(target, make("1"))

    def fail(folder: Path) -> None:
        (folder / "0.html").write_text("2")
        raise HandbookError("a page is wrong")

    with pytest.raises(HandbookError, match="a page is wrong"):
        publish(target, fail)
    assert whole(target) == 1
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


@pytest.mark.parametrize("exchange", [True, False])
def test_the_new_folder_takes_the_place_of_the_old(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, exchange: bool
) -> None:
    if not exchange:
        monkeypatch.setattr(publishing, "_exchange", lambda one, other: False)
    for version in (1, 2, 3):
        publish(tmp_path / "site", make(str(version)))
        assert whole(tmp_path / "site") == version
        assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_run_killed_between_two_renames_is_mended(tmp_path: Path) -> None:
    target = tmp_path / "site"
    publish(target, make("1"))
    target.rename(tmp_path / ".site-last")
    (tmp_path / ".site-next-123").mkdir()
    recover(target)
    assert whole(target) == 1
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_second_writer_is_told_to_wait(tmp_path: Path) -> None:
    pytest.importorskip("fcntl")
    wait = "another handbook command is writing here"
    with only_writer(tmp_path), pytest.raises(HandbookError, match=wait), only_writer(tmp_path):
        pass
    with only_writer(tmp_path):
        pass
