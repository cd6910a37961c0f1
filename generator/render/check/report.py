"""The report of `handbook check` for a terminal: a row a site, stops, open points, and what stands open, counted."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from generator.assemble.documents import Book
from generator.compute.verdict.status import status
from generator.model.content.check_words import CheckWord
from generator.model.content.words import Style
from generator.model.figures import Finding, Severity
from generator.model.results import Results
from generator.render.check.programs import say
from generator.render.check.site_row import site_rows_text, site_style
from generator.render.decisions import decision_short, decision_words
from generator.render.format import NBSP

WIDTH = 100
INDENT = "      "  # under the word that a finding begins with
MOST_LINES = 40  # open points beyond so many stand by rule, a line each
SEVERITIES: tuple[Severity, ...] = ("stop", "attention", "ok")


@dataclass(frozen=True, slots=True)
class Shown:
    """What of the findings is shown: those of `severity` and graver, in full with `why`.

    `alone`: of sites that were named, each open point with what to do.
    """

    severity: Severity = "attention"
    why: bool = False
    alone: bool = False


def check_lines(book: Book, results: Results, shown: Shown, *, besides: Iterable[str] = ()) -> Iterator[str]:
    """Yield the report line by line, none wider than WIDTH but for a word that is; stops are never shortened.

    `results` hold the sites of `book` and no others, as judged on the day; `besides` is said before the counts.
    """
    told = _Told(book, shown)
    rows = ((view, status(result)) for view, result in zip(book.sites, results.sites, strict=True))
    yield from site_rows_text(rows, book.settings, book.style)
    yield ""
    open_, decided = _open(results.findings), [found for found in results.findings if found.decided]
    yield from told.each([found for found in open_ if found.severity == "stop"], "stop")
    yield from told.each([found for found in decided if found.severity == "stop"], "decided")
    if shown.severity != "stop":
        yield from told.points([found for found in open_ if found.severity == "attention"], "open")
    if shown.severity == "ok":
        yield from told.each([found for found in decided if found.severity != "stop"], "decided")
        yield from told.points([found for found in results.findings if found.severity == "ok"], "passed")
    yield ""
    for line in besides:
        yield from _wrapped(line, rest="  ")
    yield from _wrapped(counts(results, book.style))


def counts(results: Results, style: Style) -> str:
    """Return how many findings there are of each kind, in a sentence a kind."""
    severities = [found.severity for found in results.findings if not found.decided]
    return style.words.check["counts"].format(
        **_counted(results),
        decided=sum(found.decided for found in results.findings),
        passed=severities.count("ok"),
    )


def stands_open(results: Results, style: Style) -> str:
    """Return in one line what stands open."""
    return style.words.check["stands-open"].format(**_counted(results))


def _counted(results: Results) -> Mapping[str, int]:
    open_ = _open(results.findings)
    stops = [found.subject for found in open_ if found.severity == "stop"]
    return {"stops": len(stops), "sites": len(set(stops)), "open": len(open_) - len(stops)}


def _open(findings: Iterable[Finding]) -> list[Finding]:
    return [found for found in findings if found.severity != "ok" and not found.decided]


class _Told:
    """Writes findings as lines, each in the units of its site."""

    def __init__(self, book: Book, shown: Shown) -> None:
        self.style, self.shown, self.words = book.style, shown, book.words.check
        self.styles = {view.spec.id: site_style(book.settings, view, book.style) for view in book.sites}

    def each(self, findings: Iterable[Finding], word: CheckWord) -> Iterator[str]:
        """Yield each finding by itself with what to do: a stop in two lines, unless its names are long."""
        for found in findings:
            yield from _wrapped(self._found(found), self._head(word))
            yield from self._rest(found)

    def points(self, findings: Collection[Finding], word: CheckWord) -> Iterator[str]:
        """Yield findings by site, a line each, or by rule where they are many; of sites that were named what to do."""
        if self.shown.alone or self.shown.why:
            yield from self.each(findings, word)
        elif len(findings) > MOST_LINES:
            yield from self._by_rule(findings, word)
        else:
            for subject in dict.fromkeys(found.subject for found in findings):
                yield f"{self._head(word)}{subject}"
                for found in findings:
                    if found.subject == subject:
                        yield from _wrapped(self._line(found), "  ", "    ")

    def _by_rule(self, findings: Iterable[Finding], word: CheckWord) -> Iterator[str]:
        yield from _wrapped(self.words["more"].format(most=MOST_LINES))
        rules: dict[tuple[str, str], list[str]] = {}
        for found in findings:
            rules.setdefault((found.rule, found.title), []).append(found.subject)
        for (rule, title), subjects in rules.items():
            text = self.words["of-rule"].format(title=title, rule=rule, where=", ".join(subjects))
            yield from _wrapped(text, self._head(word))

    def _head(self, word: CheckWord) -> str:
        return f"{self.words[word]:{len(INDENT) - 1}} "

    def _found(self, found: Finding) -> str:
        return self.words["found"].format(where=found.subject, text=self._line(found))

    def _line(self, found: Finding) -> str:
        """Return a finding in a line; what passed, or has none, by the name of its rule."""
        return say(found.line, self._style(found)) or self.words["in-short"].format(text=found.title, rule=found.rule)

    def _rest(self, found: Finding) -> Iterator[str]:
        """Yield what is said under a finding: in full with `why`, else what to do, and what was decided."""
        style = self._style(found)
        if self.shown.why:
            for sentence in (found.found, found.why):
                yield from _wrapped(say(sentence, style), INDENT)
        part: CheckWord = "do" if self.shown.why else "in-short"
        brief = found.act if found.severity == "stop" else found.short
        if text := say(found.do if self.shown.why else brief, style):
            yield from _wrapped(self.words[part].format(text=text, rule=found.rule), INDENT)
        if found.decision and found.decided:
            write = decision_words if self.shown.why else decision_short
            yield from _wrapped(f"{write(found.decision, style)}.", INDENT)
        if self.shown.why:
            yield from _wrapped(self.words["source"].format(source=found.source), INDENT)

    def _style(self, found: Finding) -> Style:
        return self.styles.get(found.subject, self.style)


def _wrapped(text: str, first: str = "", rest: str | None = None) -> Iterator[str]:
    """Yield a text in lines of at most WIDTH signs; a number and its unit stay together."""
    under = " " * len(first) if rest is None else rest
    for line in textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=under, break_long_words=False, break_on_hyphens=False
    ):
        yield line.replace(NBSP, " ")
