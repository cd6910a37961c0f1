"""The demo that tests read: frozen, so that site_data/ may be anything valid. Its tables are links to what ships."""

from __future__ import annotations

import shutil
from pathlib import Path

from generator.build import Folders

ROOT = Path(__file__).parents[1]
DEMO = Path(__file__).parent / "demo"
DATA = DEMO / "site_data"
FOLDERS = Folders(DEMO, ROOT)


def copied(root: Path) -> Folders:
    """Copy the demo and the words of the handbook to `root`, for a test to change."""
    shutil.copytree(DATA, root / "site_data")
    shutil.copytree(ROOT / "content", root / "content")
    shutil.copy(ROOT / "mkdocs.yml", root)
    return Folders(root)
