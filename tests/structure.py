"""The rules of the program's layout. Each takes the package's folder and returns its faults as `file:line: what`."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

# A part of the package, and the parts it may import. Parts are the files and folders directly in generator/.
ARROWS: dict[str, set[str]] = {
    "__init__": set(),
    "errors": set(),
    "folders": set(),
    "packing": set(),
    "si": set(),
    "units": {"errors"},
    "model": {"errors", "units"},
    "read": {"errors", "units", "model"},
    "verdict": {"errors", "model", "si"},
    "compute": {"errors", "model", "si", "verdict"},
    "assemble": {"errors", "units", "model", "verdict"},
    "render": {"errors", "units", "model", "assemble", "verdict"},
    "rules": {"errors", "model", "compute"},
    "said": {"model", "compute"},
    "site_cards": {"errors", "model", "read", "compute", "assemble", "render"},
    "fleet": {"errors", "model", "compute", "verdict", "render"},
    "project": {"errors", "folders", "render"},
    "build": {
        "errors",
        "folders",
        "model",
        "read",
        "compute",
        "verdict",
        "assemble",
        "render",
        "site_cards",
        "rules",
        "said",
        "refused",
    },
    "refused": {"errors", "model", "render"},
    "git_tree": {"errors"},
    "compare": {
        *("errors", "folders", "project", "model", "read", "assemble", "render"),
        *("build", "git_tree", "rules", "said"),
    },
    "register": {"errors", "model", "read", "render"},
    "release": {"errors", "folders", "model", "read", "assemble", "render", "site_cards", "build"},
    "published": {"errors", "folders", "model", "read", "render", "build"},
    "command": {
        *("errors", "folders", "project", "model", "read", "assemble", "render"),
        *("site_cards", "fleet", "build", "compare", "register", "release", "published"),
    },
    "cli": {"errors", "command"},
    "__main__": {"cli"},
}
# A room that is a part of its own: compute and assemble both ask it what is safe; assemble sees no other of compute.
ROOMS = {"compute/verdict/": "verdict"}
# Libraries that only one place may import: YAML is read once, and there is one list of units.
OWNERS = {"yaml": "read/yaml/", "pint": "units.py"}

# Stages that return results and touch nothing: no file, clock, log, chance or process.
PURE_STAGES = ("compute", "verdict", "assemble")
FILES = {"fileinput", "glob", "io", "os", "pathlib", "shutil", "sqlite3", "tempfile"}
CLOCK_AND_CHANCE = {"random", "secrets", "time", "uuid"}
WORLD = {"asyncio", "http", "importlib", "logging", "requests", "socket", "subprocess", "sys", "threading", "urllib"}
IMPURE_MODULES = FILES | CLOCK_AND_CHANCE | WORLD
IMPURE_FUNCTIONS = {"open", "print", "input", "eval", "exec", "compile", "__import__"}
FILE_METHODS = {"open", "read_text", "read_bytes", "write_text", "write_bytes"}
ARRAY_FILE_METHODS = {"loadtxt", "genfromtxt", "fromfile", "tofile", "savetxt"}
IMPURE_METHODS = FILE_METHODS | ARRAY_FILE_METHODS | {"now", "today", "utcnow"}

MOST_BODY_LINES = 40
MOST_PARAMETERS, MOST_BY_PLACE = 6, 3
MOST_MODULE_LINES = 300

Function = ast.FunctionDef | ast.AsyncFunctionDef


class Module(NamedTuple):
    """One parsed file of the package."""

    path: Path  # as shown in faults
    inside: str  # path within the package, with forward slashes
    part: str  # the file or folder directly in the package that holds it, or the room of ROOMS
    package: tuple[str, ...]  # dotted name of the folder that relative imports start from
    text: str
    tree: ast.Module

    def fault(self, node: ast.stmt | ast.expr, what: str) -> str:
        return f"{self.path}:{node.lineno}: {what}"


@cache
def modules(package: Path) -> list[Module]:
    """Every Python file of the package, in order of path."""
    found = []
    for path in sorted(package.rglob("*.py")):
        inside = path.relative_to(package)
        text = path.read_text(encoding="utf-8")
        dotted = (package.name, *inside.parent.parts)
        part = part_of(inside.as_posix())
        found.append(Module(path, inside.as_posix(), part, dotted, text, ast.parse(text, str(path))))
    return found


def part_of(inside: str) -> str:
    """The part of the package that holds a path within it."""
    room = next((part for folder, part in ROOMS.items() if inside.startswith(folder)), None)
    return room or inside.partition("/")[0].removesuffix(".py")


def imports(module: Module) -> Iterator[tuple[ast.stmt, str]]:
    """Every import anywhere in the file, in functions and under TYPE_CHECKING too, as an absolute dotted name."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node, alias.name
        elif isinstance(node, ast.ImportFrom):
            above = module.package[: len(module.package) - node.level + 1] if node.level else ()
            start = ".".join((*above, *filter(None, [node.module])))
            for alias in node.names:
                yield node, f"{start}.{alias.name}"


def forbidden_arrows(package: Path) -> list[str]:
    """Imports within the package that run against ARROWS."""
    faults = []
    for module in modules(package):
        if module.part not in ARROWS:
            faults.append(f"{module.path}:1: no arrows are set for the part '{module.part}'")
            continue
        for node, name in imports(module):
            root, _, rest = name.partition(".")
            target = part_of(rest.replace(".", "/"))
            if root != package.name or target in {module.part, "__version__"}:
                continue
            if target not in ARROWS[module.part]:
                faults.append(module.fault(node, f"'{module.part}' may not import '{name}'"))
    return faults


def misplaced_libraries(package: Path) -> list[str]:
    """Imports of a library outside the place that owns it."""
    return [
        module.fault(node, f"only {OWNERS[library]} may import {library}")
        for module in modules(package)
        for node, name in imports(module)
        if (library := name.partition(".")[0]) in OWNERS and not module.inside.startswith(OWNERS[library])
    ]


def impurities(package: Path) -> list[str]:
    """Whatever in a pure stage could reach a file, the clock, a log, chance or another process."""
    faults = []
    for module in modules(package):
        if module.part not in PURE_STAGES:
            continue
        for node, name in imports(module):
            if name.partition(".")[0] in IMPURE_MODULES:
                faults.append(module.fault(node, f"a pure stage may not import {name.partition('.')[0]}"))
        for node in ast.walk(module.tree):
            if isinstance(node, ast.Call) and _reaches_outside(node.func):
                faults.append(module.fault(node, f"a pure stage may not call {ast.unparse(node.func)}()"))
            elif isinstance(node, ast.Attribute) and node.attr == "random":
                faults.append(module.fault(node, "a pure stage may not use chance"))
    return faults


def _reaches_outside(called: ast.expr) -> bool:
    if isinstance(called, ast.Name):
        return called.id in IMPURE_FUNCTIONS
    return isinstance(called, ast.Attribute) and called.attr in IMPURE_METHODS


def body_lines(function: Function) -> int:
    """Lines from the first statement to the last, without the docstring."""
    statements = function.body[1:] if ast.get_docstring(function) is not None else function.body
    return statements[-1].end_lineno - statements[0].lineno + 1 if statements else 0


def functions(package: Path) -> Iterator[tuple[Module, Function]]:
    """Every function and method of the package, nested ones too."""
    for module in modules(package):
        for node in ast.walk(module.tree):
            if isinstance(node, Function):
                yield module, node


def long_functions(package: Path) -> list[str]:
    """Functions whose body is over MOST_BODY_LINES."""
    return [
        module.fault(node, f"the body of {node.name} has {lines} lines; at most {MOST_BODY_LINES}")
        for module, node in functions(package)
        if (lines := body_lines(node)) > MOST_BODY_LINES
    ]


def crowded_functions(package: Path) -> list[str]:
    """Functions that take too many arguments, or too many by their place alone.

    `self`, `cls` and the context that a template hands over do not count.
    """
    faults = []
    for module, node in functions(package):
        by_place = [
            one for one in (*node.args.posonlyargs, *node.args.args) if one.arg not in ("self", "cls", "context")
        ]
        every = len(by_place) + len(node.args.kwonlyargs)
        if len(by_place) > MOST_BY_PLACE or every > MOST_PARAMETERS:
            what = f"{node.name} takes {every} arguments, {len(by_place)} by their place"
            faults.append(module.fault(node, f"{what}; at most {MOST_PARAMETERS}, {MOST_BY_PLACE} by their place"))
    return faults


def long_modules(package: Path) -> list[str]:
    """Files over MOST_MODULE_LINES."""
    return [
        f"{module.path}:{lines}: {lines} lines; at most {MOST_MODULE_LINES}"
        for module in modules(package)
        if (lines := len(module.text.splitlines())) > MOST_MODULE_LINES
    ]


def undocumented(package: Path) -> list[str]:
    """Public functions, classes and their public methods without a docstring."""
    return [
        module.fault(node, f"{node.name} has no docstring")
        for module in modules(package)
        for node in _public(module.tree)
        if ast.get_docstring(node) is None
    ]


def _public(owner: ast.Module | ast.ClassDef) -> Iterator[Function | ast.ClassDef]:
    for node in owner.body:
        if isinstance(node, Function | ast.ClassDef) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef) and isinstance(owner, ast.Module):
                yield from _public(node)
