"""Puts what compute judged and the words of content/findings together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from generator.model.figures import Finding, Row, Sentence, Value
from generator.model.finding_rules import NOT_JUDGED, STOP_NOT_JUDGED
from generator.model.finding_words import FindingWords, Listing, Part, places
from generator.model.results import Results

Words = Mapping[str, FindingWords]


def with_words(results: Results, words: Words) -> Results:
    """Return the results with every finding in words."""
    sites = (replace(site, findings=tuple(in_words(one, words) for one in site.findings)) for site in results.sites)
    return replace(results, sites=tuple(sites))


def in_words(finding: Finding, words: Words) -> Finding:
    """Return a finding in words; one without a case came with words from where it was judged."""
    if not finding.case:
        return finding
    own = words[NOT_JUDGED if finding.case in (NOT_JUDGED, STOP_NOT_JUDGED) else finding.rule]
    found, why, do = (_sentence(finding, own, own.parts(finding.case, key)) for key in ("found", "why", "do"))
    return replace(finding, found=found, why=why, do=do)


def _sentence(finding: Finding, words: FindingWords, parts: Iterable[Part]) -> Sentence:
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
    choice = words.choices.get(value.symbol)
    return replace(value, value=choice[str(value.value)]) if choice else value


def _opened(text: str, given: Row, words: FindingWords) -> str:
    """Return the text with each word of a code that has places of its own written out in it."""
    for name in places(text):
        if name in words.choices and name in given and places(word := str(given[name].value)):
            text = text.replace(f"{{{name}}}", word)
    return text


def _written(name: str, rows: Iterable[tuple[str, Row]], listing: Listing) -> tuple[str, dict[str, Value]]:
    """Return rows, each with its text, as one text in which each value has a place of its own, and those values."""
    texts, values = [], {}
    for number, (text, row) in enumerate(rows, 1):
        for symbol, value in row.items():
            place = f"{name}_{number}_{symbol}"
            text = text.replace(f"{{{symbol}}}", f"{{{place}}}")
            values[place] = replace(value, symbol=place)
        texts.append(text)
    return listing.joined(texts), values
