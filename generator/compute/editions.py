"""The editions that a site's jurisdiction has adopted, held to those of the rules and tables that it is judged by.

Severity: `attention` where another edition is in force than is held here, or where no rules are held at all: clauses
move and limits change between editions, and someone must read the adopted one. Nothing is said where the site does not
state what was adopted.
"""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.plumbing import NOT_HELD
from generator.compute.severity import ATTENTION, ok_or_attention
from generator.compute.sources import SITE_DATA, sources
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.said import say
from generator.model.site import Site
from generator.model.tables.code_file import CodeFile

_CASES = {"agrees": ("document", "adopted"), "differs": ("document", "adopted", "held")}
ELECTRICAL = Rule("electrical-edition", _CASES)
PLUMBING = Rule("plumbing-edition", {**_CASES, "none-held": ("adopted",)})


def editions(site: Site, electrical: CodeFile, plumbing: CodeFile | None) -> tuple[Finding, ...]:
    """Return `electrical-edition` and `plumbing-edition` for what the site says is adopted there.

    `electrical` and `plumbing`: the documents that it is judged by; no plumbing rules may be held for it.
    """
    return tuple(_findings(site, electrical, plumbing))


def _findings(site: Site, electrical: CodeFile, plumbing: CodeFile | None) -> Iterator[Finding]:
    adopted = site.adopted
    if adopted is None:
        return
    if adopted.electrical is not None:
        yield _judged(ELECTRICAL, adopted.electrical, electrical, site=site)
    if adopted.plumbing is None:
        return
    if plumbing is not None:
        yield _judged(PLUMBING, adopted.plumbing, plumbing, site=site)
    else:
        values = (Value("adopted", adopted.plumbing, "text"),)
        yield PLUMBING.judge("none-held", ATTENTION, values, source=NOT_HELD).at(site.id)


def _judged(rule: Rule, adopted: str, held: CodeFile, *, site: Site) -> Finding:
    agrees = adopted == held.edition
    values: tuple[Value, ...] = (Value("document", held.document, "text"), Value("adopted", adopted, "text"))
    if not agrees:
        values += (Value("held", held.edition, "text"),)
    source = sources(SITE_DATA, say("edition", document=held.document, edition=held.edition))
    return rule.judge("agrees" if agrees else "differs", ok_or_attention(agrees), values, source=source).at(site.id)
