"""Slips that once left by an exception of Python's own: read and computed, or refused in words."""

from pathlib import Path

import pytest

from generator.build import load
from generator.errors import InputFaults
from tests.changes.project import copy_of_demo, edit
from tests.frozen import DATA

METHODS = "codes/iec/wiring_methods.yaml"


@pytest.mark.parametrize(("old", "new"), [("    grouping_columns: [bunched]\n", ""), ("  PVC:", "  PVX:")])
def test_a_slip_in_a_code_basis_is_computed_or_told(tmp_path: Path, old: str, new: str) -> None:
    folders = copy_of_demo(tmp_path, {"rill-4m"}, {"seedling-house"})
    text = (DATA / METHODS).read_text(encoding="utf-8")
    start = text.index(old)
    edit(folders, METHODS, text, text[:start] + new + text[start + len(old) :])
    try:
        load(folders)
    except InputFaults as refused:
        assert all(fault.file.startswith("site_data/") for fault in refused.faults)
