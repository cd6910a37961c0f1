"""What the commands of the Makefile run, and that a reader with an old Python is told what is wrong, in one line."""

import os
import shlex
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


@pytest.mark.skipif(not shutil.which("make"), reason="make is not installed")
def test_the_long_tests_are_left_out_unless_asked_for_and_continuous_integration_asks() -> None:
    # What make was called with itself would reach this make too.
    own = {name: value for name, value in os.environ.items() if name not in ("MAKEFLAGS", "MAKEOVERRIDES", "HEAVY")}
    for asked, left_out in ((["test"], True), (asked_by_ci(), False)):
        shown = subprocess.run(
            ["make", "-n", *asked], cwd=ROOT, env=own, capture_output=True, text=True, check=True
        ).stdout
        (line,) = (line for line in shown.splitlines() if "-m pytest" in line)
        assert ('-m "not heavy"' in line) is left_out


def asked_by_ci() -> list[str]:
    """What `.ci/run` calls make with: its last line."""
    make, *words = shlex.split((ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()[-1])
    assert make == "make"
    return words
