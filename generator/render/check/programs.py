"""The findings for programs, and as annotations of a code host: `handbook check --format …`."""

from __future__ import annotations

import datetime
import json
import math
from collections.abc import Iterable

from generator.errors import Fault, masked
from generator.model.content.words import Style
from generator.model.figures import Finding, Sentence
from generator.model.inputs import Inputs
from generator.model.results import Results
from generator.render.check.site_status import site_rows
from generator.render.decisions import decision_words, lapse_words
from generator.render.format import show

_LEVELS = {"ok": "notice", "attention": "warning", "stop": "error"}


def say(sentence: Sentence, style: Style) -> str:
    """Return a sentence with its values put in, as plain text."""
    return "".join(text for text, _ in sentence.filled(lambda value: show(value, style)))


def lapsed_decisions(findings: Iterable[Finding], style: Style) -> list[str]:
    """Return which decisions hold no longer, and why, a line each."""
    lapsed = ((found.id, lapse_words(found.decision, style)) for found in findings if found.decision)
    return [f"{id_}: {why}" for id_, why in lapsed if why]


def findings_json(inputs: Inputs, results: Results, style: Style, *, day: datetime.date) -> str:
    """Return where every site stands on a day, and all findings, as JSON."""
    entries = [
        {
            "id": found.id,
            "severity": found.severity,
            "decision": decision_words(found.decision, style) if found.decision else "",
            "lapsed": lapse_words(found.decision, style) if found.decision else "",
            "case": found.case,
            "values": {one.symbol: show(one, style) for one in found.values},
            "subject": found.subject,
            "found": say(found.found, style),
            "why": say(found.why, style),
            "do": say(found.do, style),
            "source": found.source,
        }
        for found in results.findings
    ]
    found = {"sites": list(site_rows(inputs, results, day)), "findings": entries}
    return json.dumps(found, ensure_ascii=False, indent=2)


def findings_codes(findings: Iterable[Finding]) -> str:
    """Return the findings in codes, a line of JSON each: values as SI numbers, no sentence."""
    return "\n".join(
        json.dumps(
            {
                "id": found.id,
                "site": found.subject,
                "rule": found.rule,
                "case": found.case,
                "severity": found.severity,
                "decided": found.decided,
                "values": {one.symbol: _number(one.value) for one in found.values},
            },
            ensure_ascii=False,
        )
        for found in findings
    )


def _number(value: float | str) -> float | str | None:
    """Return a value as JSON can hold it: null where it has no bound."""
    return None if isinstance(value, float) and not math.isfinite(value) else value


def findings_annotations(inputs: Inputs, results: Results, style: Style) -> str:
    """Return findings of attention and stop as workflow annotations (`::error file=…,line=…::…`)."""
    lines = []
    sites = [(("site", one.id, "id"), (*one.findings, *one.measured)) for one in results.sites]
    models = [(("model", one.id, "id"), one.findings) for one in results.models]
    for key, findings in (*sites, *models):
        place = inputs.places[key]
        for found in findings:
            if found.severity != "ok" and not found.decided:
                head = f"::{_LEVELS[found.severity]} file={place.file},line={place.line},title={found.id}::"
                said = (say(one, style) for one in (found.found, found.do))
                lines.append(head + escaped(" ".join(said)))
    return "\n".join(lines)


def faults_annotations(faults: Iterable[Fault]) -> str:
    """Return the faults of the inputs as workflow annotations at their places."""
    return "\n".join(
        f"::error file={_property(one.file)},line={one.line},col={one.column}::"
        + escaped(f"{one.key}: {one.wrong}; {one.expected}")
        for one in faults
    )


def _property(text: str) -> str:
    """Escape a property as the annotation syntax asks: as a message, and colon and comma too."""
    return escaped(text).replace(":", "%3A").replace(",", "%2C")


def escaped(text: str) -> str:
    """Escape a message as the annotation syntax asks (per cent, line ends), and what would steer a terminal."""
    return masked(text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A"))
