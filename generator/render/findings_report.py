"""The findings for a terminal, for programs, and as annotations of a code host: what `handbook check` prints."""

from __future__ import annotations

import json
from collections.abc import Iterable

from rich.console import Console
from rich.table import Table
from rich.text import Text

from generator.model.figures import Finding, Sentence
from generator.model.inputs import Inputs
from generator.model.results import Results
from generator.model.words import Style
from generator.render.decisions import decision_words, lapse_words
from generator.render.format import show

_STYLES = {"ok": "green", "attention": "yellow", "stop": "bold red"}
_LEVELS = {"ok": "notice", "attention": "warning", "stop": "error"}


def say(sentence: Sentence, style: Style) -> str:
    """Return a sentence with its values put in, as plain text."""
    return "".join(text for text, _ in sentence.filled(lambda value: show(value, style)))


def lapsed_decisions(findings: Iterable[Finding], style: Style) -> list[str]:
    """Return which decisions hold no longer, and why, a line each."""
    lapsed = ((found.id, lapse_words(found.decision, style)) for found in findings if found.decision)
    return [f"{id_}: {why}" for id_, why in lapsed if why]


def findings_table(console: Console, inputs: Inputs, results: Results, *, style: Style, everything: bool) -> None:
    """Print the findings by site: attention and stop with what to do, the rest counted unless `everything`."""
    for site, result in zip(inputs.sites, results.sites, strict=True):
        shown = [found for found in result.findings if everything or found.severity != "ok"]
        fine = len(result.findings) - sum(found.severity != "ok" for found in result.findings)
        console.print(Text(f"\n{site.title} ({site.id}), {inputs.model(site.heater).title}", style="bold"))
        console.print(f"{fine} of {len(result.findings)} checks found nothing amiss")
        if shown:
            console.print(_table(shown, style))
    _of_models(console, inputs, results, style=style, everything=everything)


def _of_models(console: Console, inputs: Inputs, results: Results, *, style: Style, everything: bool) -> None:
    for model, result in zip(inputs.models, results.models, strict=True):
        shown = [found for found in result.findings if everything or found.severity != "ok"]
        if shown:
            console.print(Text(f"\n{model.title} ({model.id}), at all its sites", style="bold"))
            console.print(_table(shown, style))


def _table(findings: Iterable[Finding], style: Style) -> Table:
    table = Table(show_lines=True, expand=True)
    table.add_column("finding", min_width=22)
    table.add_column("what was found", ratio=1)
    table.add_column("what to do", ratio=1)
    for found in findings:
        name = Text(found.standing, style=_STYLES[found.severity]).append(f"\n{found.rule}", style="default")
        do = f"{say(found.do, style)}\n({found.source})"
        if found.decision and found.decided:
            do += f"\n{decision_words(found.decision, style)}"
        # As Text, since rich takes words in square brackets in a plain string for markup.
        table.add_row(name, Text(f"{say(found.found, style)} {say(found.why, style)}"), Text(do))
    return table


def findings_json(results: Results, style: Style) -> str:
    """Return all findings as a JSON list."""
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
    return json.dumps(entries, ensure_ascii=False, indent=2)


def findings_annotations(inputs: Inputs, results: Results, style: Style) -> str:
    """Return findings of attention and stop as workflow annotations (`::error file=…,line=…::…`)."""
    lines = []
    sites = [(("site", one.id, "id"), one.findings) for one in results.sites]
    models = [(("model", one.id, "id"), one.findings) for one in results.models]
    for key, findings in (*sites, *models):
        place = inputs.places[key]
        for found in findings:
            if found.severity != "ok" and not found.decided:
                head = f"::{_LEVELS[found.severity]} file={place.file},line={place.line},title={found.id}::"
                said = (say(one, style) for one in (found.found, found.do))
                lines.append(head + escaped(" ".join(said)))
    return "\n".join(lines)


def escaped(text: str) -> str:
    """Escape a message as the annotation syntax asks: per cent, carriage return, line feed."""
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")
