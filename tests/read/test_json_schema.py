"""The schemas accept the demo as an editor's YAML reader sees it, and refuse what they can refuse."""

import copy
import datetime
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from generator.read.content.key_words import read_key_words
from generator.read.json_schema import schemas
from tests.frozen import DATA

SHIPPED = Path(__file__).parents[2] / "site_data"
WORDS = read_key_words(Path(__file__).parents[2] / "content")
SCHEMAS = schemas(WORDS)
FILES = sorted(path.relative_to(SHIPPED).as_posix() for path in SHIPPED.rglob("*.yaml"))


class Core(yaml.SafeLoader):
    """YAML as editors read it: true and false alone are boolean, a date is a text."""


Core.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in resolvers if not tag.endswith((":timestamp", ":bool"))]
    for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
Core.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("^(true|false)$"), list("tf"))


def as_pyyaml_reads(text: str) -> Any:
    return _dates_as_text(yaml.safe_load(text))


def as_an_editor_reads(text: str) -> Any:
    return yaml.load(text, Loader=Core)


def _dates_as_text(node: Any) -> Any:
    if isinstance(node, dict):
        return {key: _dates_as_text(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_dates_as_text(item) for item in node]
    return node.isoformat() if isinstance(node, datetime.date) else node


def kind_of(file: str) -> str:
    """The kind that the file's first line names, and whose path leads to the schemas' folder."""
    text = (SHIPPED / file).read_text(encoding="utf-8")
    found = re.match(r"# yaml-language-server: \$schema=(\S+)\n", text)
    assert found, f"{file} begins without the comment that names its schema"
    schema = (SHIPPED / file).parent / found[1]
    assert schema.resolve().parent == SHIPPED / "schema", f"{file}: {found[1]} leads elsewhere"
    return schema.name.removesuffix(".schema.json")


def expected_kind(file: str) -> str:
    top, _, rest = file.partition("/")
    name = file.rpartition("/")[2]
    codes = {"basis.yaml": "code_basis", "wiring_methods.yaml": "wiring_methods", "rules.yaml": "rules"}
    codes["pass_limits.yaml"] = "pass_limits"
    if top == "plumbing":
        return "plumbing_rules"
    if top == "pipes":
        return "pipe_materials" if rest == "materials.yaml" else "pipe_table"
    return {
        "handbook.yaml": "handbook",
        "burns.yaml": "burns",
        "tolerances.yaml": "tolerances",
        "usual.yaml": "usual",
        "readings": "reading",
        "installed": "installed",
        "models": "heater_model",
        "sites": "site",
    }.get(top, codes.get(name, "code_table") if top == "codes" else f"no kind for {rest}")


def faults(kind: str, data: Any) -> list[str]:
    validator = jsonschema.Draft202012Validator(
        SCHEMAS[kind], format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    )
    return [error.message for error in validator.iter_errors(data)]


@pytest.mark.parametrize("kind", SCHEMAS)
def test_each_schema_is_one(kind: str) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMAS[kind])
    assert SCHEMAS[kind]["$id"] == f"{kind}.schema.json"


@pytest.mark.parametrize("file", FILES)
def test_a_demo_file_names_its_schema(file: str) -> None:
    assert kind_of(file) == expected_kind(file)


@pytest.mark.parametrize("read", [as_pyyaml_reads, as_an_editor_reads])
@pytest.mark.parametrize("file", FILES)
def test_a_demo_file_is_as_its_schema_says(file: str, read: Callable[[str], Any]) -> None:
    assert faults(kind_of(file), read((SHIPPED / file).read_text(encoding="utf-8"))) == []


def site(change: Callable[[dict[str, Any]], None]) -> list[str]:
    data = copy.deepcopy(as_pyyaml_reads((DATA / "sites" / "potting-shed.yaml").read_text(encoding="utf-8")))
    change(data)
    return faults("site", data)


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data.update(colour="red"),
        lambda data: data["route"].update(length_m="10 m"),
        lambda data: data["route"].update(length=35),
        lambda data: data["route"].update(length="35"),
        lambda data: data["route"].update(length="35 gpm"),
        lambda data: data["route"].update(length=" 35 ft"),
        lambda data: data["route"].update(arrangement=None),
        lambda data: data["route"].update(conductor="gold"),
        lambda data: data["supply"].update(phases=2),
        lambda data: data["supply"]["panel"].update(spaces=2.5),
        lambda data: data["use"].update(continuous="maybe"),
        lambda data: data.update(fixtures=[]),
        lambda data: data.pop("heater"),
        lambda data: data.update(id="Potting Shed"),
    ],
)
def test_a_schema_refuses_what_the_reader_refuses(change: Callable[[dict[str, Any]], None]) -> None:
    assert len(site(change)) == 1


def test_no_schema_offers_a_default_in_si_or_a_null_in_a_site() -> None:
    def keywords(node: Any) -> set[str]:
        if isinstance(node, list):
            return set().union(*map(keywords, node))
        if isinstance(node, dict):
            return {key for key, value in node.items() if not isinstance(value, dict)}.union(
                *map(keywords, node.values())
            )
        return {node} if node == "null" else set()

    for kind in ("handbook", "heater_model", "site"):
        assert keywords(SCHEMAS[kind]).isdisjoint({"default", "null"})
