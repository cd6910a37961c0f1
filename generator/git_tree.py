"""A project as it stood at a git revision, laid out in a folder that goes away again."""

from __future__ import annotations

import subprocess
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path

from generator.errors import HandbookError, shortened


@contextmanager
def tree_at(root: Path, commit: str, folders: tuple[str, ...]) -> Iterator[Path]:
    """Yield a temporary folder with those of `folders` that the project at `root` had, as they stood at `commit`.

    HandbookError where git cannot show them.
    """
    had = _git(root, commit, "ls-tree", "--name-only", "-z", commit, *folders).decode().split("\0")
    archive = _git(root, commit, "archive", "--format=tar", commit, "--", *filter(None, had))
    with tempfile.TemporaryDirectory(prefix="handbook-") as name:
        try:
            with tarfile.open(fileobj=BytesIO(archive)) as tar:
                tar.extractall(name, filter="data")
        except tarfile.FilterError as error:  # such as a link that leaves the tree
            raise HandbookError(f"the revision {commit} cannot be laid out here: {error}") from None
        yield Path(name)


def commit_of(root: Path, revision: str) -> str:
    """Return the commit that `revision` stands for.

    HandbookError where git is not there, the project is not under git, or the revision is unknown to it.
    """
    return _git(root, revision, "rev-parse", "--verify", "--end-of-options", f"{revision}^{{commit}}").decode().strip()


def _git(root: Path, revision: str, *words: str) -> bytes:
    try:
        done = subprocess.run(["git", "-C", str(root), *words], capture_output=True, check=False)
    except FileNotFoundError:
        raise HandbookError(f"'{revision}' needs git, which is not installed here") from None
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().splitlines()
        raise HandbookError(
            f"git cannot show '{shortened(revision)}': {shortened(said[-1]) if said else 'it says nothing'}"
        )
    return done.stdout
