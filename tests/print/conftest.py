"""The demo handbook, loaded once, and what the print tests share."""

from pathlib import Path

import pytest

from generator.build import Folders, Loaded, load

ROOT = Path(__file__).parents[2]
PRINT = ROOT / "content" / "print"


@pytest.fixture(scope="session")
def loaded() -> Loaded:
    return load(Folders(ROOT))
