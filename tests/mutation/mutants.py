"""Small faults put into a function's source, one at a time: what a slip of the hand would do to it."""

from __future__ import annotations

import ast
import copy
import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import CodeType

ROOT = Path(__file__).parents[2]
FOLDERS = ("generator/compute", "generator/assemble")
SEEN = "__mutation_seen__"  # the name, in the module of a marked function, of what is told that a fault's place was run

_COMPARE: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
}
_NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}
_WORDS = {"at_least": "at_most", "at_most": "at_least", "stop": "attention", "attention": "ok", "ok": "attention"}


@dataclass(frozen=True, slots=True)
class Mutant:
    """One fault: the file, the function (dotted), the line, the source before and after of the smallest part."""

    file: str
    function: str
    line: int
    before: str
    after: str
    index: int

    @property
    def key(self) -> str:
        """The name under which an equivalent mutant is listed: it outlives a shift of the lines."""
        return f"{self.file}::{self.function}: {self.before} -> {self.after}"


def _changes(node: ast.AST) -> Iterator[Callable[[ast.AST], ast.AST]]:
    """The faults a node can suffer, each as a function of a copy of it."""
    if isinstance(node, ast.Compare) and type(node.ops[0]) in _COMPARE:
        yield lambda one: _with(one, ops=[_COMPARE[type(one.ops[0])](), *one.ops[1:]])  # type: ignore[attr-defined]
    if isinstance(node, ast.BinOp) and type(node.op) in _ARITHMETIC:
        yield lambda one: _with(one, op=_ARITHMETIC[type(one.op)]())  # type: ignore[attr-defined]
    if isinstance(node, ast.BoolOp):
        yield lambda one: _with(one, op=ast.And() if isinstance(one.op, ast.Or) else ast.Or())  # type: ignore[attr-defined]
    if isinstance(node, ast.If | ast.IfExp):
        yield lambda one: _with(one, test=ast.UnaryOp(ast.Not(), one.test))  # type: ignore[attr-defined]
    if isinstance(node, ast.Name) and node.id in _NAMES:
        yield lambda one: _with(one, id=_NAMES[one.id])  # type: ignore[attr-defined]
    if isinstance(node, ast.Constant):
        if isinstance(node.value, bool):
            yield lambda one: _with(one, value=not one.value)  # type: ignore[attr-defined]
        elif isinstance(node.value, int | float):
            yield lambda one: _with(one, value=one.value * 1.05 if one.value % 1 else one.value + 1)  # type: ignore[attr-defined]
        elif node.value in _WORDS:
            yield lambda one: _with(one, value=_WORDS[one.value])  # type: ignore[attr-defined]


def _with(node: ast.AST, **fields: object) -> ast.AST:
    for name, value in fields.items():
        setattr(node, name, value)
    return node


def _functions(tree: ast.Module) -> Iterator[tuple[str, ast.FunctionDef]]:
    """The outermost functions and methods with their dotted names."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, node
        elif isinstance(node, ast.ClassDef):
            yield from ((f"{node.name}.{one.name}", one) for one in node.body if isinstance(one, ast.FunctionDef))


def _sites(function: ast.FunctionDef) -> list[tuple[int, Callable[[ast.AST], ast.AST]]]:
    """The places of a function's body that can suffer a fault: the place in `ast.walk` and the fault."""
    body, guards = set(), set()
    for statement in function.body:
        for node in ast.walk(statement):
            body.add(id(node))
            if isinstance(node, ast.keyword) and node.arg == "strict":  # of a zip: no input makes its lists unequal
                guards.add(id(node.value))
    return [
        (place, change)
        for place, node in enumerate(ast.walk(function))
        if id(node) in body and not _is_docstring(node, function) and id(node) not in guards
        for change in _changes(node)
    ]


def _is_docstring(node: ast.AST, function: ast.FunctionDef) -> bool:
    first = function.body[0]
    return isinstance(first, ast.Expr) and node is first.value


def _mutated(function: ast.FunctionDef, index: int) -> tuple[ast.FunctionDef, ast.AST, ast.AST]:
    """A copy of the function with one fault, and the part before and after."""
    place, change = _sites(function)[index]
    before = copy.deepcopy(list(ast.walk(function))[place])
    whole = copy.deepcopy(function)
    after = change(list(ast.walk(whole))[place])
    return whole, before, after


def _shown(node: ast.AST) -> str:
    text = ast.unparse(node).splitlines()[0]
    return text if len(text) <= 90 else text[:87] + "..."


def _every() -> Iterator[tuple[str, str, ast.FunctionDef, int]]:
    """The place of every mutant: file, function and number, in order."""
    for folder in FOLDERS:
        for path in sorted((ROOT / folder).rglob("*.py")):
            for dotted, function in _functions(ast.parse(path.read_text())):
                for index in range(len(_sites(function))):
                    yield path.relative_to(ROOT).as_posix(), dotted, function, index


def chosen(number: int, seed: int, only: str = "") -> list[Mutant]:
    """`number` of the mutants, of files whose name holds `only`, by a seed."""
    every = [one for one in _every() if only in f"{one[0]}::{one[1]}"]
    found = []
    for file, dotted, function, index in random.Random(seed).sample(every, min(number, len(every))):
        _, before, after = _mutated(function, index)
        line = getattr(before, "lineno", function.lineno)
        found.append(Mutant(file, dotted, line, _shown(before), _shown(after), index))
    return found


def compiled(mutant: Mutant) -> CodeType:
    """The code of the mutant's function with the fault in it."""
    whole, _, _ = _mutated(_functions_of(mutant.file)[mutant.function], mutant.index)
    return _code(whole, mutant.file)


def marked(file: str, function: str, numbers: Mapping[int, int]) -> CodeType:
    """The code of a function that says, before the statement of each fault (by its index), the number given for it."""
    whole = copy.deepcopy(_functions_of(file)[function])
    nodes, sites = list(ast.walk(whole)), _sites(whole)
    home = {
        id(child): (body, child)
        for node in nodes
        for body in (getattr(node, field, None) for field in ("body", "orelse", "finalbody"))
        if isinstance(body, list)
        for child in body
    }
    above = {id(child): node for node in nodes for child in ast.iter_child_nodes(node)}
    for index, number in numbers.items():
        node = nodes[sites[index][0]]
        while id(node) not in home:
            node = above[id(node)]
        body, statement = home[id(node)]
        place = next(place for place, one in enumerate(body) if one is statement)
        body.insert(place, ast.parse(f"{SEEN}.add({number})").body[0])
    return _code(whole, file)


def _functions_of(file: str) -> dict[str, ast.FunctionDef]:
    return dict(_functions(ast.parse((ROOT / file).read_text(encoding="utf-8"))))


def _code(function: ast.FunctionDef, file: str) -> CodeType:
    function.decorator_list = []
    module = ast.Module([ast.ImportFrom("__future__", [ast.alias("annotations")], 0), function], [])
    made = compile(ast.fix_missing_locations(module), str(ROOT / file), "exec")
    return next(one for one in made.co_consts if isinstance(one, CodeType) and one.co_name == function.name)
