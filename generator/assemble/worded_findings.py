"""Puts what compute judged and the words of content/findings together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from generator.model.content.finding_words import (
    ACT,
    BRIEF,
    TEXTS,
    FindingBook,
    FindingWords,
    Listing,
    SentencePart,
    Texts,
    places,
)
from generator.model.content.own_rule import OwnRule
from generator.model.figures import Finding, Row, Sentence, Value
from generator.model.finding_rules import NOT_JUDGED, OWN_FOUND, OWN_RULE, STOP_NOT_JUDGED
from generator.model.results import FlowWindow, Results, SiteResult


def with_words(results: Results, book: FindingBook) -> Results:
    """Return the results in words: every finding, and why a window holds no flow."""
    models = (replace(one, findings=tuple(in_words(found, book) for found in one.findings)) for one in results.models)
    sites = (site_in_words(site, book) for site in results.sites)
    return replace(results, sites=tuple(sites), models=tuple(models))


def with_own(book: FindingBook, rules: Iterable[OwnRule]) -> FindingBook:
    """Return the words of every rule, with those of the handbook's own rules, which say the rest by OWN_RULE."""
    common = book.rules[OWN_RULE]
    own = {rule.id: common.model_copy(update=_own(rule, common)) for rule in rules}
    return replace(book, rules={**book.rules, **own})


def _own(rule: OwnRule, common: FindingWords) -> Mapping[str, Any]:
    texts = {"found": rule.found, "why": rule.why, "do": rule.do, "line": rule.line, ACT: rule.do}
    found = Texts.model_validate(texts | {"short": [rule.why, rule.do]})
    return {"rule": rule.id, "title": rule.title, "cases": {**common.cases, OWN_FOUND: found}}


def site_in_words(site: SiteResult, book: FindingBook) -> SiteResult:
    """Return the results of a site in words."""
    findings = tuple(in_words(one, book) for one in site.findings)
    windows = tuple(window_in_words(one, book) for one in site.windows)
    measured = tuple(in_words(one, book) for one in site.measured)
    return replace(site, findings=findings, windows=windows, measured=measured)


def window_in_words(window: FlowWindow, book: FindingBook) -> FlowWindow:
    """Return a flow window with the words of why it holds no flow."""
    why = window.why_empty
    if why and why.say:
        values = (replace(one, value=book.reasons.get(str(one.value), one.value)) for one in why.values)
        why = Sentence(book.sentences[why.say], tuple(values))
    return replace(window, why_empty=why)


def in_words(finding: Finding, book: FindingBook) -> Finding:
    """Return a finding in words."""
    own = book.rules[NOT_JUDGED if finding.case in (NOT_JUDGED, STOP_NOT_JUDGED) else finding.rule]
    if finding.severity != "ok" and finding.case in own.passed:
        raise ValueError(f"{finding.id} is {finding.severity} in the case {finding.case}, which its words call passed")
    said = {key: _sentence(finding, own, own.parts(finding.case, key)) for key in TEXTS if key not in (*BRIEF, ACT)}
    full = replace(finding, found=said["found"], why=said["why"], do=said["do"], title=book.rules[finding.rule].title)
    if finding.case in own.passed:
        return full
    line, short = (_sentence(finding, own, own.parts(finding.case, key)) for key in BRIEF)
    act = _sentence(finding, own, own.parts(finding.case, ACT)) if finding.severity == "stop" else finding.act
    return replace(full, line=line, short=short, act=act)


def _sentence(finding: Finding, words: FindingWords, parts: Iterable[SentencePart]) -> Sentence:
    """Return the parts that apply as one text, its lists written out, with the values that it names."""
    given = {value.symbol: _chosen(value, words) for value in finding.values}
    holding = {finding.case, *given, *(name for name, rows in finding.lists.items() if rows)}
    text = _opened(" ".join(part.text for part in parts if part.applies(holding)), given, words)
    for name, listing in words.lists.items():
        if name in places(text):
            rows = [{symbol: _chosen(one, words) for symbol, one in row.items()} for row in finding.lists.get(name, ())]
            written, values = _written(name, [(_opened(listing.text, row, words), row) for row in rows], listing)
            text = text.replace(f"{{{name}}}", written)
            given |= values
    return Sentence(text, tuple(given[name] for name in dict.fromkeys(places(text))))


def _chosen(value: Value, words: FindingWords) -> Value:
    """Return the value, a code as its word."""
    choice = words.words(value.symbol)
    return replace(value, value=choice[str(value.value)]) if choice else value


def _opened(text: str, given: Row, words: FindingWords) -> str:
    """Return the text with each word of a code that has places of its own written out in it."""
    for name in places(text):
        if words.words(name) and name in given and places(word := str(given[name].value)):
            text = text.replace(f"{{{name}}}", word)
    return text


def _written(name: str, rows: Iterable[tuple[str, Row]], listing: Listing) -> tuple[str, dict[str, Value]]:
    """Return rows, each with its text, as one text in which each value has a place of its own, and those values."""
    texts, values = [], dict[str, Value]()
    for number, (text, row, gathered) in enumerate(_gathered(rows, listing.gather), 1):
        for symbol, several in {**{symbol: [value] for symbol, value in row.items()}, **gathered}.items():
            own = [f"{name}_{number}_{symbol}{f'_{n}' if n else ''}" for n in range(len(several))]
            text = text.replace(f"{{{symbol}}}", listing.joined([f"{{{place}}}" for place in own]))
            values |= {place: replace(value, symbol=place) for place, value in zip(own, several, strict=True)}
        texts.append(text)
    return listing.joined(texts), values


def _gathered(
    rows: Iterable[tuple[str, Row]], symbol: str | None
) -> Iterator[tuple[str, Row, Mapping[str, list[Value]]]]:
    """Yield (text, values, values of `symbol`) of the rows, those that differ in `symbol` alone as one."""
    found: dict[tuple[Any, ...], tuple[str, Row, dict[str, list[Value]]]] = {}
    for number, (text, row) in enumerate(rows):
        own = {name: value for name, value in row.items() if name != symbol}
        key = (text, *own.items()) if symbol else (number,)
        _, _, gathered = found.setdefault(key, (text, own, {}))
        if symbol:
            gathered.setdefault(symbol, []).append(row[symbol])
    yield from found.values()
