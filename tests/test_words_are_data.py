"""No sentence that a reader sees is written in Python: the words stand in content/findings and content/words.

What may stay in the calculations: a refusal of the inputs, a formula in symbols, and who is cited for the physics.
"""

import ast
import re
from collections.abc import Collection, Iterator
from pathlib import Path

import pytest

from generator.model.finding_rules import Rule
from generator.rules import declared_rules, joined

COMPUTE = Path(__file__).parents[1] / "generator" / "compute"
ASSEMBLE = COMPUTE.parent / "assemble"
MODEL = COMPUTE.parent / "model"
# The modules that still hold words, and how many texts: the lists shrink to none.
STILL_WORDED_ASSEMBLE: dict[str, int] = {}
STILL_WORDED: dict[str, int] = {}
# Two words behind each other, or one alone that begins like a sentence.
WORDS = re.compile(r"[A-Za-z]{2,}(['’]s)?[,;:]? [A-Za-z]{2,}|^[A-Z][a-z]{3,}$")
# Calls whose texts no reader of the handbook sees, and the names that hold such texts.
UNSEEN = {"CannotCompute", "HandbookError", "KeyError", "ValueError", "ArithmeticError", "TypeVar", "say"}
UNSEEN |= {"_refusal", "unknown"}  # which make a CannotCompute
REFUSAL_NAMES = {"wrong", "expected"}
# Who is cited for the physics: the names of the constants.
CITATIONS = {"SOURCE", "BALANCE", "JOULE", "ATMOSPHERE", "SATURATION", "HAZEN_WILLIAMS"}


def codes() -> set[str]:
    """What the data and the results call things: never shown as it stands."""
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in MODEL.rglob("*.py")]
    nodes = (node for tree in trees for node in ast.walk(tree))
    return {node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)}


def sentences(source: str, known: Collection[str] = ()) -> Iterator[str]:
    """Yield each text that reads as words and is no docstring, no refusal, no citation and none of the known codes."""
    tree = ast.parse(source)
    allowed = set(docstrings(tree))
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in UNSEEN:
            allowed.update(id(one) for one in ast.walk(node))
        if isinstance(node, ast.Assign) and any(
            isinstance(to, ast.Name) and to.id in REFUSAL_NAMES | CITATIONS for to in node.targets
        ):
            allowed.update(id(one) for one in ast.walk(node))
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or not isinstance(node.value, str) or id(node) in allowed:
            continue
        if WORDS.search(node.value) and node.value not in known:
            yield f"{node.lineno}: {node.value}"


def docstrings(tree: ast.Module) -> Iterator[int]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(node) is not None:
            first = node.body[0]
            assert isinstance(first, ast.Expr)
            yield id(first.value)


def test_compute_holds_no_sentence() -> None:
    known = codes()
    texts = {path.relative_to(COMPUTE).as_posix(): path.read_text(encoding="utf-8") for path in COMPUTE.rglob("*.py")}
    found = {name: list(sentences(text, known)) for name, text in texts.items()}
    assert len(found) > 100
    assert {name: len(told) for name, told in found.items() if told} == STILL_WORDED


def test_assemble_holds_no_sentence() -> None:
    texts = {path.relative_to(ASSEMBLE).as_posix(): path.read_text(encoding="utf-8") for path in ASSEMBLE.rglob("*.py")}
    known = codes()
    found = {name: list(sentences(text, known)) for name, text in texts.items()}
    assert len(found) > 15
    assert {name: len(told) for name, told in found.items() if told} == STILL_WORDED_ASSEMBLE


def test_a_sentence_is_noticed() -> None:
    source = '''"""A docstring of some words."""
X = "this is a sentence"
Y = f"and so is {X} here too"
raise CannotCompute(("a",), "this is told to a writer", "and so is this here")
Step("P = P_rated × share × (V / V_rated)²", (), result, SOURCE)
Figure("site.shed.power", "Power", 1.0, "power")
Figure(id_, say("power", stage="the third one"), 1.0, "power")
SOURCE = "Boyle and Mariotte, on gases"
code = "in sight"
'''
    assert [told.partition(":")[0] for told in sentences(source, {"in sight"})] == ["2", "3", "3", "6"]


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
