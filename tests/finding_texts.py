"""Findings and figures in the handbook's own words, for tests of what is said."""

from functools import cache
from pathlib import Path

from generator.assemble.worded_figures import Speaker
from generator.assemble.worded_findings import in_words, site_in_words
from generator.model.content.finding_words import FindingBook
from generator.model.figures import Finding
from generator.model.finding_rules import SAID
from generator.model.results import SiteResult
from generator.read.content.figure_words import read_figure_words
from generator.read.content.finding_words import read_finding_words
from generator.render.check.programs import say
from generator.rules import declared_rules
from generator.said import said_texts
from tests.styles import style

CONTENT = Path(__file__).parents[1] / "content"


@cache
def words() -> FindingBook:
    return read_finding_words(CONTENT, declared_rules(), SAID)


@cache
def speaker() -> Speaker:
    """Puts the words in the place of what compute says."""
    return Speaker(read_figure_words(CONTENT, said_texts()), words().reasons)


def worded(result: SiteResult) -> SiteResult:
    """The results of a site in words, as a page or card needs them."""
    return site_in_words(speaker().worded(result), words())


def said(finding: Finding, key: str = "found") -> str:
    """A text of a finding, `found`, `why` or `do`, with its values in US units and plain spaces."""
    return say(getattr(in_words(speaker().worded(finding), words()), key), style("us")).replace("\u00a0", " ")
