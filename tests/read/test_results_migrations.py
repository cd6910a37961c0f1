"""A results file of an older format says the same in today's."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from generator.errors import InputFaults
from generator.model.documents.results_file import StoredDecision
from generator.model.state import STATES
from generator.read.content.words import read_words
from generator.read.results_file import read_results
from generator.read.results_migrations import from_1
from tests.frozen import DATA, ROOT

RELEASE = DATA / "revisions" / "3" / "results.json"
FIGURE = {"label": "A", "value": None, "unit": "", "kind": "count", "rounds": "up", "reason": ""}
FINDING = {"rule": "a", "severity": "stop", "subject": "shed", "found": {"template": "A.", "values": []}}
FORMAT_1: dict[str, Any] = {
    "format": "handbook-results",
    "format_version": 1,
    "generator": "0.1.0",
    "handbook": {"revision": "3", "date": "2026-09-14", "units": "both"},
    "codes": {"card": {"shed": "87T9-F4X0"}, "page": {}},
    "cards": {"shed": {"figures": [], "words": []}},
    "inputs": {},
    "figures": {"site.shed.a": {**FIGURE, "state": "not closed"}},
    "findings": {"shed.a": {**FINDING, "accepted": ""}, "shed.b": {**FINDING, "accepted": "2026-09-14: on order"}},
}


def written(path: Path, document: dict[str, Any]) -> Path:
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def test_the_release_of_the_demo_is_of_format_1_and_says_the_same() -> None:
    """Its states were words: those that today's words show are those that stood there, or what they are called now."""
    then = json.loads(RELEASE.read_bytes())
    assert then["format_version"] == 1
    now, words = read_results(RELEASE), read_words(ROOT / "content").states
    shown = {id_: words[figure.state] for id_, figure in now.figures.items()}
    renamed = {"not closed": "not on", "next stage closes": "next stage on"}
    stood = {id_: figure["state"] for id_, figure in then["figures"].items()}
    assert shown == {id_: renamed.get(state, state) for id_, state in stood.items()}
    assert {figure["state"] for figure in then["figures"].values()} - set(STATES), "no word of then that is no code now"
    assert {id_: (one.value, one.reason) for id_, one in now.figures.items()} == {
        id_: (one["value"], one["reason"]) for id_, one in then["figures"].items()
    }
    assert {id_: one.severity for id_, one in now.findings.items()} == {
        id_: one["severity"] for id_, one in then["findings"].items()
    }


def test_an_acceptance_of_format_1_is_a_decision_that_holds(tmp_path: Path) -> None:
    found = read_results(written(tmp_path / "results.json", FORMAT_1))
    decision = StoredDecision("shed.b", "accepted", None, "2026-09-14: on order", None, None, "", (), None, None)
    assert [found.findings[id_].decision for id_ in ("shed.a", "shed.b")] == [None, decision]
    assert found.decisions == {"shed": (decision,)}
    assert found.records == {"shed": ()}
    assert found.figures["site.shed.a"].state == "not-on"


def test_a_migration_leaves_its_document_alone() -> None:
    document = copy.deepcopy(FORMAT_1)
    from_1(document)
    assert document == FORMAT_1


def test_a_state_that_no_format_knows_is_told(tmp_path: Path) -> None:
    worn = {**FORMAT_1, "figures": {"site.shed.a": {**FIGURE, "state": "worn"}}}
    with pytest.raises(InputFaults, match=r"results\.json:1:1: figures\.site\.shed\.a\.state: this is no handbook-res"):
        read_results(written(tmp_path / "results.json", worn))


@pytest.mark.parametrize("part", ["figures", "findings", "cards"])
@pytest.mark.parametrize("damaged", [None, [1], {"a": 1}])
def test_a_damaged_file_of_format_1_is_told(tmp_path: Path, part: str, damaged: object) -> None:
    with pytest.raises(InputFaults, match="this is no handbook-results file"):
        read_results(written(tmp_path / "results.json", {**FORMAT_1, part: damaged}))


def test_a_file_of_format_2_as_it_was_first_written_says_the_same(tmp_path: Path) -> None:
    """Before a finding had a line, and a value told which side it rounds to."""
    value = {"symbol": "hot", "value": 330.0, "unit": "kelvin", "kind": "temperature"}
    found = {**FINDING, "case": "above", "found": {"template": "At {hot}.", "values": [value]}, "decision": None}
    figure = {**FIGURE, "state": "not-on"}
    first = FORMAT_1 | {"format_version": 2, "records": {"shed": []}, "decisions": {"shed": []}}
    first |= {"figures": {"site.shed.a": figure}, "findings": {"shed.a": found}}
    now = read_results(written(tmp_path / "results.json", first))
    assert now.figures["site.shed.a"].state == "not-on"
    held = now.findings["shed.a"]
    assert (held.case, held.severity, held.line.template) == ("above", "stop", "")
    assert held.found.values[0].rounds == "nearest"
