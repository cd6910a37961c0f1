"""Results files of older formats, brought to today's one step a format: what DEVELOPERS.md promises of results.json."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

# The words of format 1 for what has a code since.
_STATES_OF_1 = {
    "not closed": "not-on",
    "next stage closes": "next-stage-on",
    "not selected": "not-selected",
    "beyond supply": "beyond-supply",
    "below working pressure": "below-working-pressure",
    "below wanted": "below-wanted",
    "below target": "below-target",
    "above limit": "above-limit",
    "above model limit": "above-model-limit",
    "above cut-out": "above-cut-out",
    "at cut-out": "at-cut-out",
    "no bound": "no-bound",
}


def from_1(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return a document of format 1 in format 2: states are codes, and an acceptance, which was a text, a decision."""
    findings = {id_: _finding_of_1(id_, found) for id_, found in document["findings"].items()}
    sites = {site: list[Any]() for site in document["cards"]}
    decisions: dict[str, list[Any]] = {site: [] for site in sites}
    for found in findings.values():
        if found["decision"] is not None:
            decisions.setdefault(found["subject"], []).append(found["decision"])
    figures = {
        id_: {**figure, "state": _STATES_OF_1.get(figure["state"], figure["state"])}
        for id_, figure in document["figures"].items()
    }
    parts = {"figures": figures, "findings": findings, "records": sites, "decisions": decisions}
    return {**document, "format_version": 2, **parts}


def _finding_of_1(id_: str, found: Mapping[str, Any]) -> dict[str, Any]:
    kept = {key: part for key, part in found.items() if key != "accepted"}
    kept |= {key: {"template": found[key], "values": []} for key in ("why", "do") if key in found}
    untold = dict.fromkeys(("by", "date", "until", "authority", "lapsed")) | {"case": "", "at": []}
    text = found["accepted"]
    decision = {"finding": id_, "kind": "accepted", "why": text, **untold} if text else None
    return {"case": None, **kept, "decision": decision}


STEPS: Mapping[int, Callable[[Mapping[str, Any]], dict[str, Any]]] = {1: from_1}


def migrated(document: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a document of an older format in today's, one step after the other; one of today's as it is.

    AttributeError, KeyError or TypeError for a document that is not what its format says.
    """
    while (step := STEPS.get(document["format_version"])) is not None:
        document = step(document)
    return document
