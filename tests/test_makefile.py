"""The one command tells a reader with an old Python what is wrong, in one line."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
OLD_PYTHON = """#!/bin/sh
exec {python} -c 'import sys; sys.version_info = (3, 10, 13); exec(sys.argv[1])' "$2"
"""


@pytest.mark.skipif(not shutil.which("make"), reason="make is not installed")
def test_an_old_python_gets_one_clear_line(tmp_path: Path) -> None:
    old = tmp_path / "python3"
    old.write_text(OLD_PYTHON.format(python=sys.executable), encoding="utf-8")
    old.chmod(0o755)
    made = subprocess.run(
        ["make", "--no-print-directory", "handbook", f"PYTHON={old}", f"VENV={tmp_path / 'venv'}"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 2
    assert made.stdout == ""
    (line,) = made.stderr.splitlines()
    assert "needs Python 3.11 or newer" in line
    assert "make PYTHON=" in line
    assert not (tmp_path / "venv").exists()
