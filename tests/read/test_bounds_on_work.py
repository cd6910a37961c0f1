"""What is too large, endless or nested beyond sense is refused within 200 MB beyond what the program itself takes."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.read.yaml.yaml_file import MOST_BYTES
from generator.read.yaml.yaml_marks import MOST_VALUES
from tests.frozen import ROOT
from tests.read.conftest import Handbook

resource = pytest.importorskip("resource", reason="limits of a process are those of POSIX")
ROOM = 200_000_000  # bytes
SECONDS = 60  # of a busy machine: without the bound they run for ever; idle they take well under one
READ = f"""
import resource, sys
from pathlib import Path
from generator.errors import InputFaults
from generator.read.handbook import read_handbook
read_handbook(Path(sys.argv[1]))  # sound, so that all that the program loads is there
taken = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
resource.setrlimit(resource.RLIMIT_AS, (taken + {ROOM}, resource.RLIM_INFINITY))
Path(sys.argv[2]).rename(sys.argv[3])
try:
    read_handbook(Path(sys.argv[1]))
except InputFaults as refused:
    print(refused)
"""


def endless(path: Path) -> None:
    path.symlink_to("/dev/zero")


def sparse(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(50 * MOST_BYTES)


def listed(path: Path) -> None:
    path.write_bytes(b"- a list\n" * MOST_BYTES)


def nested(path: Path) -> None:
    path.write_bytes(b"a: " + b"[" * (MOST_BYTES - 3))


def dense(path: Path) -> None:
    path.write_bytes(b"- 1\n" * (MOST_BYTES // 4))


def keyed(path: Path) -> None:
    path.write_bytes(b"".join(b"k%d: {a: 1}\n" % number for number in range(MOST_BYTES // 20)))


def twice(path: Path) -> None:
    path.write_bytes(b"a: 1\n" * (MOST_BYTES // 5))


def unseen(path: Path) -> None:
    path.write_text("a: " + "\N{ZERO WIDTH SPACE}" * (MOST_BYTES // 3 - 1), encoding="utf-8")


def tagged(path: Path) -> None:
    path.write_bytes(b"- !a &a 1\n" * (MOST_BYTES // 10))


def misspelt(path: Path) -> None:
    path.write_bytes(b"".join(b"k%d: 1\n" % number for number in range(MOST_VALUES)))


MADE = [endless, os.mkfifo, sparse, listed, nested, dense, keyed, twice, unseen, tagged, misspelt]


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="what a process takes is told by Linux")
@pytest.mark.parametrize("made", MADE, ids=lambda one: one.__name__)
def test_what_is_beyond_sense_is_refused_in_little_room(
    handbook: Handbook, tmp_path_factory: pytest.TempPathFactory, made: Callable[[Path], None]
) -> None:
    apart = tmp_path_factory.mktemp("apart") / "barn.yaml"
    made(apart)
    command = [
        sys.executable,
        "-c",
        READ,
        str(handbook.folder),
        str(apart),
        str(handbook.folder / "sites" / "barn.yaml"),
    ]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=SECONDS, check=False)
    assert done.returncode == 0, done.stderr[-500:]
    assert done.stdout.startswith("site_data/sites/barn.yaml:")
