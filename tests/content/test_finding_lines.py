"""A finding in brief: a line of at most 15 words that opens to at most 50, over the demo and random sites.

Names of fixtures and of standards are not counted, and neither is what a list of a site's own things adds to them.
"""

from __future__ import annotations

import re

import pytest

from generator.build import Loaded
from generator.model.figures import Finding
from generator.render.check.programs import say
from tests.finding_texts import words
from tests.print.random_sites import random_views
from tests.styles import US

LINE, OPENED, SHORT = 15, 50, 35
STANDARD = re.compile(
    r"\b(?:ASSE|ASME|CSA|IEC|NFPA|type T(?: or T/P)?|A112\.\d+|B125\.\d+|[\d.]+)(?:[ /][A-Z]*\d[\w./]*)*"
)
NAMED = ("fixture", "other", "standard", "method", "material", "class")


@pytest.fixture(scope="module")
def findings(loaded: Loaded) -> list[Finding]:
    random = [one for _, view in random_views(loaded.inputs, 31, 60) for one in view.result.findings]
    return [one for one in (*loaded.results.findings, *random) if one.severity != "ok"]


def counted(finding: Finding, key: str) -> int:
    """The words of a brief text: a number with its unit is one, a name of a fixture or standard is none."""
    text = say(getattr(finding, key), US)
    rows = [row for listed in finding.lists.values() for row in listed]
    values = [*finding.values, *(value for row in rows for value in row.values())]
    for value in values:
        if value.symbol in NAMED:
            text = text.replace(str(value.value), "")
    return len([word for word in STANDARD.sub("", text).split(" ") if re.search(r"[A-Za-z0-9]", word)])


def test_a_finding_says_it_in_a_line_and_opens_to_little_more(findings: list[Finding]) -> None:
    assert len({(one.rule, one.case) for one in findings}) > 40
    for one in findings:
        line, short = counted(one, "line"), counted(one, "short")
        assert 0 < line <= LINE, (one.rule, one.case, line, say(one.line, US))
        assert 0 < short <= SHORT and line + short <= OPENED, (one.rule, one.case, short, say(one.short, US))


@pytest.mark.parametrize("key", ["line", "short"])
def test_no_wording_of_a_case_can_be_longer(key: str) -> None:
    """What a case may say at most, with one word for each value, whatever sites there are."""
    for rule, own in words().rules.items():
        for case in set(own.cases) - set(own.passed):
            parts = [one for one in own.parts(case, key) if case not in one.unless]
            said = [one for one in parts if not one.when or case in one.when]
            assert sum(len(one.text.split()) for one in said) <= {"line": LINE, "short": SHORT}[key], (rule, case)
            assert parts, (rule, case)


def test_what_passed_has_no_line(loaded: Loaded) -> None:
    passed = [one for one in loaded.results.findings if one.severity == "ok"]
    assert passed and not [one.id for one in passed if one.case in words().rules[one.rule].passed and one.line.template]


BANNED = re.compile(
    r"\b(throttled?|stands|asks for|reckoned|swells|told|go|safe|closes?|opens?|device|conductor|least|greatest)\b",
    re.I,
)
# A valve, a breaker and a contact may open; a device that is no breaker has its own name.
ALLOWED = re.compile(
    r"residual-current device|(protective|live) conductors?|open a hot tap|fail to open|opens? them|cut-out opens"
    r"|a device that",
    re.I,
)


def test_the_brief_texts_use_the_words_of_the_trade() -> None:
    for rule, own in words().rules.items():
        for case in own.cases:
            for key in ("line", "short"):
                for part in own.parts(case, key):
                    text = re.sub(r"\{\w+\}", "", part.text)
                    assert not BANNED.search(ALLOWED.sub("", text)), (rule, text)
