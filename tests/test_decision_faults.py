"""A decision that cannot be is told with its file, line and key, though only the results know that it cannot be."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.build import load
from generator.errors import InputFaults
from tests.frozen import copied

ENTRY = """decisions:
  - finding: bunkhouse.{rule}
    kind: accepted
    by: farm manager
    why: the shower is locked until it is mended
    date: 2026-11-02
    until: 2026-12-15
    at: {at}
"""


@pytest.mark.parametrize(
    ("rule", "at", "line", "fault"),
    [
        (
            "existing-conductor",
            "{allowed: 40 A, needed: 50 A}",
            1,
            r"decisions\[1\]\.finding: no owner can accept 'existing-conductor'",
        ),
        (
            "hotest-water",
            "{hottest: 132 degF}",
            1,
            r"decisions\[1\]\.finding: 'bunkhouse\.hotest-water' is no finding of this site",
        ),
        (
            "supply-frequency",
            "{}",
            2,
            r"decisions\[1\]\.kind: 'bunkhouse\.supply-frequency' is ok here, and what is accepted is stop",
        ),
        (
            "hottest-water",
            "{hottest: 190 degF, top: 150 degF, supply: 252 V, limit: 120 degF}",
            7,
            r"decisions\[1\]\.at: more is accepted than what is found",
        ),
    ],
)
def test_the_fault_has_file_line_and_key(tmp_path: Path, rule: str, at: str, line: int, fault: str) -> None:
    folders = copied(tmp_path)
    site = tmp_path / "site_data" / "sites" / "bunkhouse.yaml"
    text = site.read_text(encoding="utf-8")
    assert "decisions: []\n" in text
    site.write_text(text.replace("decisions: []\n", ENTRY.format(rule=rule, at=at)), encoding="utf-8")
    first = text[: text.index("decisions: []")].count("\n") + 1
    with pytest.raises(InputFaults) as raised:
        load(folders)
    (told,) = str(raised.value).splitlines()
    assert re.match(rf"site_data/sites/bunkhouse\.yaml:{first + line}:\d+: {fault}; .+", told), told
