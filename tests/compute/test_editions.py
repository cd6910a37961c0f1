"""The editions that a jurisdiction has adopted, against those that the site is judged by."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from generator.compute.compute_all import compute
from generator.compute.site import judge_site
from generator.errors import InputFaults
from generator.model.figures import Finding
from generator.model.site import Adopted
from generator.read.handbook import read_handbook
from tests.finding_texts import said
from tests.frozen import DATA, copied

INPUTS = read_handbook(DATA)


def judged(name: str, **adopted: str) -> dict[str, Finding]:
    """By rule, what is said of the site; the results and the verdict alone say the same."""
    (site,) = (one for one in INPUTS.sites if one.id == name)
    stating = site.model_copy(update={"adopted": Adopted(**adopted) if adopted else None})
    (result,) = compute(replace(INPUTS, sites=(stating,))).sites
    found = {one.rule: one for one in result.findings if one.rule.endswith("-edition")}
    assert found == {one.rule: one for one in judge_site(stating, INPUTS) if one.rule.endswith("-edition")}
    return found


@pytest.mark.parametrize(
    ("name", "adopted", "rule", "severity", "words"),
    [
        ("bunkhouse", {"electrical": "2023"}, "electrical-edition", "ok", "NFPA 70 2023, the edition that"),
        ("bunkhouse", {"electrical": "2020"}, "electrical-edition", "attention", "NFPA 70 2020; the circuit is judged"),
        ("bunkhouse", {"plumbing": "2021"}, "plumbing-edition", "ok", "IPC 2021, the edition that"),
        (
            "bunkhouse",
            {"plumbing": "2018"},
            "plumbing-edition",
            "attention",
            "2018; the site is judged here by 2021",
        ),
        ("seedling-house", {"plumbing": "2019"}, "plumbing-edition", "attention", "no plumbing rules are held"),
    ],
)
def test_another_edition_asks_for_attention(
    name: str, adopted: dict[str, str], rule: str, severity: str, words: str
) -> None:
    (found,) = judged(name, **adopted).values()
    assert (found.rule, found.severity) == (rule, severity)
    assert words in said(found)


def test_a_site_that_states_none_is_told_nothing() -> None:
    assert not judged("bunkhouse")


def test_an_empty_statement_is_refused_at_its_line(tmp_path: Path) -> None:
    folders = copied(tmp_path)
    file = folders.data / "sites" / "bunkhouse.yaml"
    text = re.sub(r"^adopted: .*$", "adopted: {}", file.read_text(encoding="utf-8"), flags=re.MULTILINE)
    file.write_text(text, encoding="utf-8")
    with pytest.raises(InputFaults, match=r"sites/bunkhouse.yaml:\d+:\d+: adopted: no edition stands here"):
        read_handbook(folders.data)
