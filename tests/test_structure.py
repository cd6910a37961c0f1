"""The program keeps its layout: imports point one way, pure stages stay pure, functions and files stay short."""

import re
import statistics
import subprocess
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests import structure

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "generator"
# Written in two pieces, so that this file does not hold what it looks for.
WORKPLACE = [
    "/work" + "/main",
    "/work" + "/shared",
    "/tmp" + "/bash_jobs",
    "seed" + " document",
    "pypi" + ".org",
    "files.python" + "hosted.org",
    "registry.npm" + "js.org",
    "deb.deb" + "ian.org",
]


MOST_WORDS_FOR_DEVELOPERS = 1900
MOST_FILES_IN_A_ROOM = 19  # besides __init__.py; about 15 is better


def report(faults: list[str]) -> None:
    assert not faults, "\n" + "\n".join(faults)


def test_the_four_stages_are_there() -> None:
    missing = [s for s in ("read", "compute", "assemble", "render") if not (PACKAGE / s / "__init__.py").is_file()]
    assert not missing, f"no such stage in {PACKAGE}: {missing}"


def test_imports_point_one_way() -> None:
    report(structure.forbidden_arrows(PACKAGE))


def test_libraries_stay_at_the_edges() -> None:
    report(structure.misplaced_libraries(PACKAGE))


def test_pure_stages_reach_nothing_outside() -> None:
    report(structure.impurities(PACKAGE))


def test_functions_are_short() -> None:
    report(structure.long_functions(PACKAGE))


def test_no_row_of_bare_arguments() -> None:
    report(structure.crowded_functions(PACKAGE))


def test_half_of_the_functions_are_very_short() -> None:
    assert statistics.median(structure.body_lines(f) for _, f in structure.functions(PACKAGE)) < 8


def test_files_are_short() -> None:
    report(structure.long_modules(PACKAGE))


def test_the_developers_page_is_short() -> None:
    words = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split()
    assert len(words) <= MOST_WORDS_FOR_DEVELOPERS, f"{len(words)} words; say it in fewer, or say it in a docstring"


def test_a_room_holds_few_files() -> None:
    rooms = {path.parent for path in PACKAGE.rglob("*.py")}
    counts = {room.relative_to(PACKAGE).as_posix(): len(list(room.glob("*.py"))) - 1 for room in rooms}
    assert {room: count for room, count in counts.items() if count > MOST_FILES_IN_A_ROOM} == {}


def test_public_names_have_docstrings() -> None:
    report(structure.undocumented(PACKAGE))


def test_no_word_of_the_workplace() -> None:
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a git checkout")
    pattern = re.compile("|".join(map(re.escape, WORKPLACE)), re.IGNORECASE)
    report(
        [
            f"{name}:{number}: {found[0]}"
            for name in filter(None, listed.stdout.split("\0"))
            if (ROOT / name).is_file()
            for number, line in enumerate((ROOT / name).read_bytes().splitlines(), 1)
            if (found := pattern.search(line.decode("utf-8", "replace")))
        ]
    )


# What runs, and what tests besides: each lock with the extras of pyproject.toml that it is made of.
LOCKS = {"requirements.txt": ("install",), "requirements-test.txt": ("install", "test")}


@pytest.mark.parametrize("lock", LOCKS)
def test_the_lock_names_no_address_and_no_index(lock: str) -> None:
    lines = (ROOT / lock).read_text(encoding="utf-8").splitlines()
    unwanted = re.compile(r"://|^\s*(-i|-f|--(extra-)?index-url|--find-links|--trusted-host)\b|\s@\s")
    report([f"{lock}:{n}: {line}" for n, line in enumerate(lines, 1) if unwanted.search(line)])


def locked(lock: str) -> dict[str, list[str]]:
    """Package name to its pinned requirement and hashes, as written in a lock."""
    text = (ROOT / lock).read_text(encoding="utf-8").replace("\\\n", " ")
    rows = [line.split() for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    return {canonicalize_name(row[0].partition("==")[0]): row for row in rows}


@pytest.mark.parametrize("lock", LOCKS)
def test_every_locked_package_has_one_version_and_a_hash(lock: str) -> None:
    assert [row[0] for row in locked(lock).values() if "==" not in row[0] or "--hash=sha256:" not in row[-1]] == []


@pytest.mark.parametrize("lock", LOCKS)
def test_the_lock_fits_pyproject(lock: str) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = [text for extra in LOCKS[lock] for text in project["optional-dependencies"][extra]]
    wanted = [Requirement(text) for text in project["dependencies"] + extras]
    pins = {name: row[0].partition("==")[2] for name, row in locked(lock).items()}
    report(
        [
            f"pyproject.toml: {need} but {lock} has {pins.get(canonicalize_name(need.name))}: make lock"
            for need in wanted
            if not need.specifier.contains(pins.get(canonicalize_name(need.name), ""), prereleases=True)
        ]
    )


def test_what_runs_is_what_was_tested_and_brings_nothing_that_only_tests() -> None:
    runs, tests = locked("requirements.txt"), locked("requirements-test.txt")
    assert {name: row[0] for name, row in runs.items()}.items() <= {name: row[0] for name, row in tests.items()}.items()
    assert not {"pytest", "mypy", "playwright", "scipy", "pandas", "coolprop", "zensical"} & runs.keys()


# The rules themselves: each fails on a package that breaks it, and passes one that does not.


def package(folder: Path, **files: str) -> Path:
    """A package named `generator` with these files; `compute__water` stands for compute/water.py."""
    for name, text in files.items():
        path = folder / "generator" / (name.replace("__", "/") + ".py")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder / "generator"


@pytest.mark.parametrize(
    ("place", "line"),
    [
        ("compute__water", "from generator.read import settings"),
        ("compute__water", "import generator.read.settings as s"),
        ("compute__water", "from generator import read"),
        ("compute__water", "from ..read import settings"),
        ("compute__water", "from .. import read"),
        ("compute__deep__water", "from ...read import settings"),
        ("compute__water", "def f():\n    from generator.read import settings"),
        ("compute__water", "if TYPE_CHECKING:\n    from generator.read import settings"),
        ("compute__water", "import generator"),
        ("compute__water", "from generator import *"),
        ("read__settings", "from generator.compute.heat.water import density"),
        ("assemble__page", "from generator.render import format"),
        ("assemble__page", "from generator.compute.heat.water import density"),
        ("compute__verdict__off", "from generator.compute.heat.water import density"),
        ("render__write", "from generator.build import build"),
        ("model", "from generator.read import settings"),
        ("model__site", "from generator.compute import water"),
        ("errors", "from generator.model import Site"),
        ("build", "from .cli import main"),
        ("cli", "from generator.compute import water"),
        ("elsewhere", "import math"),
    ],
)
def test_a_forbidden_arrow_is_found(tmp_path: Path, place: str, line: str) -> None:
    folder = package(tmp_path, **{place: line})
    (fault,) = structure.forbidden_arrows(folder)
    number = len(line.splitlines())
    assert fault.startswith(f"{folder / place.replace('__', '/')}.py:{number}: ")


def test_allowed_arrows_pass(tmp_path: Path) -> None:
    folder = package(
        tmp_path,
        errors="import dataclasses",
        model__site="from generator.errors import Fault\nfrom .units import Units\nfrom generator import __version__",
        read__yaml__marks="from ...model.site import Site\nfrom . import places\nimport yaml",
        compute__water="import numpy as np\nfrom generator.model import site\nfrom .steps import Step",
        compute__verdict__off="from generator.model.results import SiteResult\nfrom . import built",
        assemble__page="from generator.compute.verdict.off import stays_off",
        render__write="from generator.assemble.documents import Page",
        build="from . import read, compute, assemble, render",
        cli="from generator.command.check import check_command",
    )
    assert structure.forbidden_arrows(folder) == []
    assert structure.misplaced_libraries(folder) == []


@pytest.mark.parametrize(
    ("place", "line"),
    [
        ("render__write", "import yaml"),
        ("compute__water", "from pint import Quantity"),
        ("model__site", "import pint.errors"),
    ],
)
def test_a_misplaced_library_is_found(tmp_path: Path, place: str, line: str) -> None:
    assert len(structure.misplaced_libraries(package(tmp_path, **{place: line}))) == 1


@pytest.mark.parametrize(
    "line",
    [
        "import os.path",
        "from pathlib import Path",
        "import time",
        "import logging",
        "import importlib.resources",
        "text = open('a')",
        "print(1)",
        "today = datetime.date.today()",
        "from datetime import datetime\nd = datetime.now()",
        "text = where.read_text()",
        "x = np.random.default_rng()",
    ],
)
def test_an_impurity_is_found_in_a_pure_stage_alone(tmp_path: Path, line: str) -> None:
    assert len(structure.impurities(package(tmp_path / "pure", compute__water=line))) == 1
    assert structure.impurities(package(tmp_path / "other", render__write=line)) == []


def test_body_length_leaves_out_the_docstring(tmp_path: Path) -> None:
    head = 'def f():\n    """One.\n\n    Two.\n    """\n'
    longest = package(tmp_path / "a", build=head + "    x = 1\n" * structure.MOST_BODY_LINES)
    over = package(tmp_path / "b", build=head + "    x = 1\n" * (structure.MOST_BODY_LINES + 1))
    assert structure.long_functions(longest) == []
    (fault,) = structure.long_functions(over)
    assert fault == f"{over / 'build.py'}:1: the body of f has 41 lines; at most 40"


def test_a_long_file_is_found(tmp_path: Path) -> None:
    assert structure.long_modules(package(tmp_path / "a", build="x = 1\n" * 300)) == []
    assert len(structure.long_modules(package(tmp_path / "b", build="x = 1\n" * 301))) == 1


def test_a_missing_docstring_is_found_on_public_names_alone(tmp_path: Path) -> None:
    a_class = "class A:\n    'Doc.'\n    def m(self): ...\n    def _p(self): ...\n"
    some_functions = "def f():\n    def inner(): ...\ndef _g(): ...\n"
    faults = structure.undocumented(package(tmp_path, build=a_class + some_functions))
    assert [fault.split(": ", 1)[1] for fault in faults] == ["m has no docstring", "f has no docstring"]


@pytest.mark.parametrize(
    ("arguments", "crowded"),
    [("a, b, c, *, d, e, f", False), ("self, a, b, c", False), ("a, b, c, d", True), ("a, *, b, c, d, e, f, g", True)],
)
def test_a_crowded_function_is_found(arguments: str, crowded: bool, tmp_path: Path) -> None:
    found = structure.crowded_functions(package(tmp_path, compute__water=f"def heat({arguments}):\n    return 1\n"))
    assert bool(found) == crowded
