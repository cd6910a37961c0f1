"""Findings in the handbook's own words, for tests of what a rule says."""

from functools import cache
from pathlib import Path

from generator.assemble.finding_words import in_words, site_in_words
from generator.model.figures import Finding
from generator.model.finding_rules import SAID
from generator.model.finding_words import FindingBook
from generator.model.results import SiteResult
from generator.read.finding_words import read_finding_words
from generator.render.findings_report import say
from generator.rules import declared_rules
from tests.styles import style

CONTENT = Path(__file__).parents[1] / "content"


@cache
def words() -> FindingBook:
    return read_finding_words(CONTENT, declared_rules(), SAID)


def worded(result: SiteResult) -> SiteResult:
    """The results of a site with its findings in words, as a page or card needs them."""
    return site_in_words(result, words())


def said(finding: Finding, key: str = "found") -> str:
    """A text of a finding, `found`, `why` or `do`, with its values in US units and plain spaces."""
    return say(getattr(in_words(finding, words()), key), style("us")).replace("\u00a0", " ")
