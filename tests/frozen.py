"""The demo that tests read: frozen, so that site_data/ may be anything valid. Its tables are links to what ships.

No link may lead out of a project, so tests read a copy.
"""

from __future__ import annotations

import atexit
import shutil
import tempfile
from pathlib import Path

from generator.folders import Folders

ROOT = Path(__file__).parents[1]
LINKED = Path(__file__).parent / "demo" / "site_data"
DEMO = Path(tempfile.mkdtemp(prefix="handbook-demo-"))
atexit.register(shutil.rmtree, DEMO, ignore_errors=True)
shutil.copytree(LINKED, DEMO / "site_data")
DATA = DEMO / "site_data"
FOLDERS = Folders(DEMO, ROOT)


def copied(root: Path) -> Folders:
    """Copy the demo and the words of the handbook to `root`, for a test to change."""
    shutil.copytree(DATA, root / "site_data")
    shutil.copytree(ROOT / "content", root / "content")
    shutil.copy(ROOT / "mkdocs.yml", root)
    (ROOT / ".cache").mkdir(exist_ok=True)
    (root / ".cache").symlink_to(ROOT / ".cache")  # compiling the theme anew takes a second
    return Folders(root)
