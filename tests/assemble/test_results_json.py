"""results.json is what its schema says, and the schema that ships is that of the program."""

import copy
import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import jsonschema
import pytest

from generator.assemble.results_json import results_document
from generator.build import Loaded, results_of
from generator.compute.verdict.decisions import with_decisions
from generator.model.decision import Decision
from generator.read.content.key_words import KeyWords
from generator.read.json_schema import schemas
from generator.render.json_file import results_bytes
from generator.render.pages.write import Rendered
from tests.frozen import ROOT

SCHEMA = schemas(KeyWords({}))["results"]


@pytest.fixture(scope="module")
def document(loaded: Loaded, rendered: tuple[Rendered, ...]) -> Any:
    """The demo's build/results.json, as another program reads it."""
    return json.loads(results_bytes(results_of(loaded, rendered)))


def closed(schema: Any) -> Any:
    """Return the schema with every key that it does not name forbidden."""
    if isinstance(schema, list):
        return [closed(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    more = {"additionalProperties": False} if "properties" in schema else {}
    return {key: closed(part) for key, part in schema.items()} | more


def faults(document: Any, schema: Any = SCHEMA) -> list[str]:
    jsonschema.Draft202012Validator.check_schema(schema)
    return [error.json_path for error in jsonschema.Draft202012Validator(schema).iter_errors(document)]


def test_the_schema_that_ships_is_the_program_s() -> None:
    path = ROOT / "site_data" / "schema" / "results.schema.json"
    assert json.loads(path.read_bytes()) == SCHEMA, "run `handbook schema` and put the file under version control"


def test_the_demo_is_what_the_schema_says_and_nothing_more(document: Any) -> None:
    assert faults(document, closed(SCHEMA)) == []


def test_what_a_release_keeps_is_what_the_schema_says(document: Any) -> None:
    kept = {key: part for key, part in document.items() if key != "tables"}
    told = ("rule", "case", "severity", "subject", "found", "decision")
    kept["findings"] = {id_: {key: one[key] for key in told} for id_, one in document["findings"].items()}
    kept["figures"] = {
        id_: {key: part for key, part in one.items() if key != "working"} for id_, one in document["figures"].items()
    }
    assert faults(kept, closed(SCHEMA)) == []


def _slips(document: Any) -> Iterator[tuple[str, Any]]:
    """Yield a place and the document with something wrong there."""
    figure, finding = "site.bunkhouse.limit", "bunkhouse.hottest-water"
    wrong: tuple[tuple[tuple[str, ...], Any], ...] = (
        (("format_version",), 1),
        (("figures", figure, "state"), "above limit"),
        (("figures", figure, "value"), []),
        (("figures", figure, "band"), {"low": 320.0}),
        (("findings", finding, "severity"), "grave"),
        (("findings", finding, "decision"), "yes"),
        (("decisions", "bunkhouse"), {}),
        (("records", "bunkhouse"), "none"),
    )
    small = document | {"tables": {}}
    small |= {"figures": {figure: document["figures"][figure]}, "findings": {finding: document["findings"][finding]}}
    assert faults(small) == []
    for path, value in wrong:
        slipped = copy.deepcopy(small)
        node = slipped
        for part in path[:-1]:
            node = node[part]
        assert path[-1] in node or path[-1] == "band"
        node[path[-1]] = value
        yield path[0], slipped


def test_the_schema_refuses_what_is_wrong(document: Any) -> None:
    for place, slipped in _slips(document):
        (said, *_) = faults(slipped)
        assert said.startswith(f"$.{place}")


@pytest.mark.parametrize("lapsed", [None, "worse"])
def test_a_decision_stands_with_its_site_and_its_finding(loaded: Loaded, lapsed: str | None) -> None:
    """The bunkhouse accepts its hottest water: at what is found it holds, at a degree less it has lapsed."""
    view = next(view for view in loaded.book.sites if view.spec.id == "bunkhouse")
    id_ = "bunkhouse.hottest-water"
    stop = next(found for found in view.result.findings if found.id == id_)
    shown = {value.symbol: value for value in stop.values}
    at = {name: shown[name] for name in ("hottest", "top", "supply", "limit")}
    at["hottest"] = replace(at["hottest"], value=float(at["hottest"].value) - (1.0 if lapsed else 0.0))
    made = {
        "finding": id_,
        "kind": "accepted",
        "by": "farm manager",
        "why": "a mixing valve is on order",
        "date": "2026-11-02",
        "until": "2026-12-15",
    }
    entry = Decision.model_validate({**made, "case": stop.case or None, "at": at})
    found = with_decisions(view.result.findings, (entry,))
    of_sites = tuple(replace(one, findings=found) if one.id == "bunkhouse" else one for one in loaded.results.sites)
    results = replace(loaded.results, sites=of_sites)
    document = results_document(
        loaded.inputs, results, {"card": {}, "page": {}}, cards={}, generator_version="0.1.0", working=False
    )
    units = {"temperature": "kelvin", "voltage": "volt"}
    decision = {
        **made,
        "case": stop.case,
        "at": [
            {"symbol": name, "value": one.value, "unit": units[one.kind], "kind": one.kind, "rounds": one.side}
            for name, one in at.items()
        ],
        "authority": None,
        "lapsed": lapsed,
    }
    assert document["decisions"]["bunkhouse"] == [decision]
    assert document["findings"][id_]["decision"] == decision
    assert faults(json.loads(results_bytes(document)), closed(SCHEMA)) == []
