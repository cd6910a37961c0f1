"""`make compare BEFORE=REVISION`: do two revisions, each with its own program, say the same to a reader?

Both build the handbook and print every card from what stands in them; then results, pages and the words of the printed
cards are held side by side, and every difference is listed. The exit status is 0 where there is none.

    python -m tests.revisions HEAD~1            that revision and the project as it stands
    python -m tests.revisions v1 v2             two revisions
"""

from __future__ import annotations

import argparse
import difflib
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from pypdf import PdfReader

from generator.errors import HandbookError
from generator.git_tree import commit_of, tree_at

ROOT = Path(__file__).parents[1]
PARTS = ("generator", "content", "site_data", "mkdocs.yml")
MOST_LINES = 8  # of the differing lines of one page or card


def main() -> int:
    """Run as the module says."""
    options = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    options.add_argument("before")
    options.add_argument("after", nargs="?", help="default: the project as it stands")
    wanted = options.parse_args()
    try:
        sides = [_said_at(wanted.before), _said_at(wanted.after) if wanted.after else _said_here()]
    except (HandbookError, subprocess.CalledProcessError) as error:
        print(f"{error}\n{getattr(error, 'stderr', None) or ''}".strip(), file=sys.stderr)
        return 1
    found = list(differences(*sides))
    print("\n".join(found) or f"the same: {len(sides[0])} results, pages and cards")
    return 1 if found else 0


def _said_at(revision: str) -> dict[str, list[str]]:
    with tree_at(ROOT, commit_of(ROOT, revision), PARTS) as tree:
        return said(tree)


def _said_here() -> dict[str, list[str]]:
    with _copied(ROOT) as tree:
        return said(tree)


@contextmanager
def _copied(root: Path) -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="handbook-") as name:
        for part in PARTS:
            path = root / part
            (shutil.copytree if path.is_dir() else shutil.copy)(path, Path(name) / part)
        yield Path(name)


def said(tree: Path) -> dict[str, list[str]]:
    """Build a project with its own program; return the lines of each page and card, and each entry of the results."""
    for words in (("build",), ("card", "--all")):
        command = [sys.executable, "-m", "generator", *words]
        environment = {**os.environ, "PYTHONPATH": str(tree)}
        subprocess.run(command, cwd=tree, env=environment, check=True, capture_output=True, text=True)
    built, pages = tree / "build", tree / "build" / "pages"
    results = json.loads((built / "results.json").read_text(encoding="utf-8"))
    lines = {f"page {path.relative_to(pages)}": path.read_text(encoding="utf-8").split("\n") for path in _text(pages)}
    for path in sorted((built / "print").glob("*.pdf")):
        text = "\n".join(page.extract_text() for page in PdfReader(path).pages)
        lines[f"card {path.name}"] = text.split("\n")
    return lines | entries(results)


def _text(folder: Path) -> list[Path]:
    return [path for path in sorted(folder.rglob("*")) if path.suffix in (".md", ".svg")]


def entries(results: Mapping[str, object]) -> dict[str, list[str]]:
    """Return the entries of a results file, each as one line, by section and id."""
    found = {}
    for section, held in results.items():
        parts = held.items() if isinstance(held, dict) else [("", held)]
        found |= {f"results {section} {key}".strip(): [json.dumps(value, sort_keys=True)] for key, value in parts}
    return found


def differences(before: Mapping[str, list[str]], after: Mapping[str, list[str]]) -> Iterator[str]:
    """Yield what is gone, what is new, and line by line what differs."""
    for name in sorted(before.keys() | after.keys()):
        if name not in after or name not in before:
            yield f"{'gone' if name in before else 'new'}: {name}"
        elif before[name] != after[name]:
            moved = [line for line in difflib.ndiff(before[name], after[name]) if line[0] in "-+"]
            more = [f"  and {len(moved) - MOST_LINES} more"] if len(moved) > MOST_LINES else []
            yield "\n".join([f"differs: {name}", *(f"  {line}" for line in moved[:MOST_LINES]), *more])


if __name__ == "__main__":
    sys.exit(main())
