"""No sentence that a reader sees of a finding is written in Python: the words stand in content/findings.

Looked at are the texts in the modules that judge. What is no finding's word may stay there: a refusal of the inputs
and a step's formula or note.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from generator.model.finding_rules import Rule
from generator.rules import declared_rules, joined

COMPUTE = Path(__file__).parents[1] / "generator" / "compute"
ASSEMBLE = COMPUTE.parent / "assemble"
MOST_WORDS = 3
# The modules of assemble that still hold words, and how many texts: the list shrinks to none.
STILL_WORDED = {"card_steps.py": 3, "change_report.py": 2, "comparisons.py": 5, "facts.py": 1, "older_results.py": 1}
JUDGES = re.compile(r"generator\.model\.finding_rules import")
# Calls whose texts are no finding's words, and the names of such texts: those of a refusal, a formula, and who says so.
OTHER_WORDS = {"CannotCompute", "Step", "Figure", "FigureTable", "KeyError", "ValueError"}
OTHER_TEXTS = {"wrong", "expected", "formula", "source", "SOURCE", "CODE", "CODE_RELIEF", "ATMOSPHERE", "SATURATION"}
OTHER_TEXTS |= {"PLUG_FLOW", "_SAG", "POLES", "HEADS", "NO_LIMIT", "NONE_HELD"}


def sentences(source: str) -> Iterator[str]:
    """Yield each text of more than a few words that is no docstring and no word of a refusal, figure or step."""
    tree = ast.parse(source)
    allowed = set(docstrings(tree))
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in OTHER_WORDS:
            allowed.update(id(one) for one in ast.walk(node))
        if isinstance(node, ast.Assign) and any(
            isinstance(to, ast.Name) and to.id in OTHER_TEXTS for to in node.targets
        ):
            allowed.update(id(one) for one in ast.walk(node))
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or not isinstance(node.value, str) or id(node) in allowed:
            continue
        if len(node.value.split()) > MOST_WORDS:
            yield f"{node.lineno}: {node.value}"


def docstrings(tree: ast.Module) -> Iterator[int]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(node) is not None:
            first = node.body[0]
            assert isinstance(first, ast.Expr)
            yield id(first.value)


def judging() -> dict[str, str]:
    """The text of each module that judges, by its path."""
    texts = {path.relative_to(COMPUTE).as_posix(): path.read_text(encoding="utf-8") for path in COMPUTE.rglob("*.py")}
    return {name: text for name, text in texts.items() if JUDGES.search(text)}


def test_no_module_that_judges_holds_a_sentence() -> None:
    found = {name: list(sentences(text)) for name, text in judging().items()}
    assert len(found) > 30
    assert {name: told for name, told in found.items() if told} == {}


def test_assemble_holds_no_other_sentence() -> None:
    texts = {path.name: path.read_text(encoding="utf-8") for path in ASSEMBLE.glob("*.py")}
    counts = {name: len(list(sentences(text))) for name, text in texts.items()}
    assert {name: count for name, count in counts.items() if count} == STILL_WORDED


def test_a_sentence_is_noticed() -> None:
    source = '''"""A docstring of some words."""
X = "this is a sentence"
Y = f"and so is {X} here too"
raise CannotCompute(("a",), "this is told to a writer", "and so is this here")
'''
    assert [told.partition(":")[0] for told in sentences(source)] == ["2"]
    assert list(sentences(source.replace("and so is {X}", "and so is this one {X}")))[1:] == ["3: and so is this one "]


def test_every_rule_is_declared_once_and_has_cases() -> None:
    for name, rule in declared_rules().items():
        assert name == rule.name and rule.cases


def test_two_families_may_share_a_rule_but_no_case() -> None:
    one = Rule("poles", {"us-fit": ("poles",)}, choices={"how": ("a",)})
    both = joined(one, Rule("poles", {"iec-fit": ("live",)}, choices={"how": ("b", "a")}))
    assert both == Rule("poles", {"us-fit": ("poles",), "iec-fit": ("live",)}, {}, {"how": ("a", "b")})
    with pytest.raises(ValueError, match="us-fit"):
        joined(one, one)


def test_no_clause_is_typed_into_the_words_of_a_finding() -> None:
    """A clause is the code basis' own: a finding names it as its source."""
    content = COMPUTE.parents[1] / "content" / "findings"
    texts = {path.name: path.read_text(encoding="utf-8") for path in content.glob("*.yaml")}
    assert {name for name, text in texts.items() if re.search(r"\d{3}\.\d", text)} == set()
