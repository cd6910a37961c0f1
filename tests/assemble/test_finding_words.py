"""A judgement and its words together: parts with conditions, lists, choices."""

from __future__ import annotations

from typing import Any

import pytest

from generator.assemble.worded_findings import in_words, window_in_words
from generator.model.content.finding_words import FindingBook, FindingWords
from generator.model.figures import Figure, Finding, Sentence, Value
from generator.model.finding_rules import Rule
from generator.model.results import FlowWindow
from generator.render.check.programs import say
from tests.styles import style

RULE = Rule(
    "tank-level",
    {"ok": ("level", "sensor"), "low": ("level", "sensor")},
    lists={"others": ("tank", "level"), "lids": ("lid", "tank")},
    choices={"sensor": ("wet", "dry"), "lid": ("shut", "open")},
)
WORDS = FindingWords.model_validate(
    {
        "rule": "tank-level",
        "title": "Level of the tank",
        "found": [
            "Level {level}.",
            {"text": "Others: {others}.", "when": "others"},
            {"text": "No others.", "unless": "others"},
            {"text": "Sensor {sensor}.", "when": "sensor"},
            {"text": "Lids: {lids}.", "when": "lids"},
        ],
        "why": "An empty tank runs dry.",
        "do": [{"text": "Fill it.", "when": ["low"]}, {"text": "Nothing to do.", "unless": "low"}],
        "lists": {"others": {"text": "{tank} at {level}", "last": " and "}, "lids": {"text": "{lid}"}},
        "choices": {
            "sensor": {"wet": "under water", "dry": "above it"},
            "lid": {"shut": "{tank} is shut", "open": "one is open"},
        },
        "cases": {"ok": {}, "low": {"why": "It is nearly empty."}},
    }
)
BOOK = FindingBook({"tank-level": WORDS}, {}, {})


def finding(case: str = "ok", others: int = 0, sensor: str | None = None) -> Finding:
    values = [Value("level", 2.0, "count")] + ([Value("sensor", sensor, "text")] if sensor else [])
    rows = tuple({"tank": Value("tank", f"T{n}", "text"), "level": Value("level", n, "count")} for n in range(others))
    return in_words(RULE.judge(case, "ok", tuple(values), lists={"others": rows}, source="a rule").at("shed"), BOOK)


def text(found: Finding) -> str:
    return say(found.found, style("us"))


def test_a_list_names_each_of_its_rows_with_values_of_its_own() -> None:
    assert text(finding()) == "Level 2. No others."
    assert text(finding(others=1)) == "Level 2. Others: T0 at 0."
    assert text(finding(others=2)) == "Level 2. Others: T0 at 0 and T1 at 1."
    assert text(finding(others=3)) == "Level 2. Others: T0 at 0, T1 at 1 and T2 at 2."


def test_a_code_is_shown_as_its_word() -> None:
    assert text(finding(sensor="dry")) == "Level 2. No others. Sensor above it."
    assert finding(sensor="dry").values[1].value == "dry"


def test_the_word_of_a_code_may_have_places_of_its_own_and_a_writers_text_never_has() -> None:
    lids = tuple(
        {"lid": Value("lid", lid, "text"), "tank": Value("tank", name, "text")}
        for lid, name in (("shut", "a {level} tank"), ("open", "T2"))
    )
    found = RULE.judge("ok", "ok", (Value("level", 2.0, "count"),), lists={"lids": lids}, source="a rule").at("shed")
    told = in_words(found, BOOK)
    assert text(told) == "Level 2. No others. Lids: a {level} tank is shut and one is open."


def test_a_case_takes_its_own_text_before_the_rules_one() -> None:
    full, low = finding("ok"), finding("low")
    assert [say(one.why, style("us")) for one in (full, low)] == ["An empty tank runs dry.", "It is nearly empty."]
    assert [say(one.do, style("us")) for one in (full, low)] == ["Nothing to do.", "Fill it."]


@pytest.mark.parametrize(
    ("case", "values", "lists"),
    [
        ("high", (), {}),
        ("ok", (Value("depth", 1.0, "count"),), {}),
        ("ok", (Value("sensor", "moist", "text"),), {}),
        ("ok", (), {"tanks": ()}),
        ("ok", (), {"others": ({"lid": Value("lid", "shut", "text")},)}),
    ],
)
def test_what_a_rule_does_not_declare_is_refused(case: str, values: tuple[Value, ...], lists: Any) -> None:
    with pytest.raises(KeyError):
        RULE.judge(case, "ok", values, lists=lists, source="a rule")


def test_a_window_gives_the_words_of_why_it_is_empty() -> None:
    end = Figure("a", "A", None, "flow", state="none", reason="as it was")
    why = Sentence("", (Value("for_least", "limit-temperature", "text"),), "window-no-flow")
    words = {"limit-temperature": "the limit of the site"}
    book = FindingBook({}, {"window-no-flow": "No flow is enough for {for_least}."}, words)
    window = window_in_words(FlowWindow(1, end, end, why), book)
    assert window.why_empty is not None
    assert (window.least, window.greatest) == (end, end)
    assert say(window.why_empty, style("us")) == "No flow is enough for the limit of the site."
