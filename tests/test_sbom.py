"""The bill of materials of the program: what runs with it, no more and no less, as it is pinned, by the standard."""

import json
import subprocess
import sys
from importlib import metadata
from typing import Any

import pytest
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator

from tests.frozen import ROOT
from tests.sbom import declared, pins, written

LOCK = (ROOT / "requirements.txt").read_text(encoding="utf-8")
ONLY_TESTS = {"pytest", "ruff", "hypothesis", "cyclonedx-python-lib", "scipy", "playwright"}


@pytest.fixture(scope="module")
def bill() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(written(LOCK))
    return found


def test_it_keeps_to_the_standard() -> None:
    """CycloneDX 1.6 (ECMA-424), by the schema that its library carries."""
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(written(LOCK)) is None


def test_it_names_what_runs_with_the_program_as_it_is_pinned(bill: dict[str, Any]) -> None:
    parts = {one["name"]: one for one in bill["components"]}
    assert set(declared()) <= parts.keys() and not ONLY_TESTS & parts.keys()
    for name, one in parts.items():
        version, digests = pins(LOCK)[name]
        assert one["version"] == version == metadata.version(name)
        assert sorted(each["content"] for each in one["hashes"]) == sorted(digests) != []
        assert one["licenses"] and "UNKNOWN" not in json.dumps(one["licenses"]), name


def test_what_is_loaded_when_the_command_runs_is_named(bill: dict[str, Any]) -> None:
    """By what Python imports for every verb, not by what the packages say of themselves."""
    script = "import sys, pkgutil, generator\nfor one in pkgutil.walk_packages(generator.__path__, 'generator.'):\n"
    script += "    if not one.name.endswith('__main__'): __import__(one.name)\n"
    script += "print(*{name.partition('.')[0] for name in sys.modules})"
    run = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True)
    owners = metadata.packages_distributions()
    loaded = {owner for name in run.stdout.split() for owner in owners.get(name, ())}
    named = {one["name"] for one in bill["components"]} | {"staged-heater-handbook"}
    assert {one.lower().replace("_", "-") for one in loaded} - named <= {
        "setuptools",
        "scipy",
        "pytz",
    }  # scipy and pytz: loaded where they are there, as other packages of the tests bring them


def test_the_same_packages_give_the_same_bytes() -> None:
    assert written(LOCK) == written(LOCK)
    assert "serialNumber" not in written(LOCK) and "timestamp" not in written(LOCK)
