"""JSON Schema for each kind of YAML file, so that an editor can complete keys and mark faults while one types.

And one for results.json, so that another program can tell what it reads.

The schemas describe the files as an editor's YAML reader sees them: a quantity is a string, a bare 2 an integer.
They say less than the reader: rules between keys and between files are told by `handbook check` alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel

from generator.model.content.own_rule import OwnRule
from generator.model.content.reviewed import Reviewed
from generator.model.documents.results_file import RESULTS
from generator.model.heater import HeaterModel
from generator.model.readings import Reading
from generator.model.register.installed import Installed
from generator.model.settings import Settings
from generator.model.site import Site
from generator.model.tables.basis_header import BasisHeader
from generator.model.tables.burns import Burns
from generator.model.tables.clauses import Clauses
from generator.model.tables.codes import CodeTable, Methods
from generator.model.tables.fleet import Fleet
from generator.model.tables.pass_limits import PassLimits
from generator.model.tables.pipes import PipeMaterials, PipeTable
from generator.model.tables.plumbing import PlumbingRules
from generator.model.tables.tolerances import Tolerances
from generator.model.tables.usual import Usual
from generator.read.content.key_words import KeyWords
from generator.read.described import described

DIALECT = "https://json-schema.org/draft/2020-12/schema"
# The kinds of file a writer edits, and the kinds with published tables, where null means "the document states none".
WRITTEN: Mapping[str, type[BaseModel]] = {
    "handbook": Settings,
    "heater_model": HeaterModel,
    "site": Site,
    "fleet": Fleet,
    "own_rule": OwnRule,
    "reading": Reading,
    "installed": Installed,
    "tolerances": Tolerances,
    "usual": Usual,
    "reviewed": Reviewed,
}
CODES: Mapping[str, type[BaseModel]] = {
    "code_basis": BasisHeader,
    "code_table": CodeTable,
    "wiring_methods": Methods,
    "rules": Clauses,
    "pass_limits": PassLimits,
    "plumbing_rules": PlumbingRules,
    "pipe_materials": PipeMaterials,
    "pipe_table": PipeTable,
    "burns": Burns,
}


def schemas(words: KeyWords) -> dict[str, dict[str, Any]]:
    """Return the schema of each kind of file, and of the results, to be written as `<kind>.schema.json`.

    `words`: what each key of the files means.
    """
    found = {}
    for kind, model in {**WRITTEN, **CODES}.items():
        schema = _tidied(described(model, model.model_json_schema(by_alias=True), words), nulls=kind in CODES)
        found[kind] = {"$schema": DIALECT, "$id": f"{kind}.schema.json", **schema}
    results = _tidied(RESULTS.json_schema(), nulls=True)
    return found | {"results": {"$schema": DIALECT, "$id": "results.schema.json", **results}}


def _tidied(node: Any, nulls: bool) -> Any:
    """Return a schema without what would mislead an editor: SI defaults, made-up titles and (unless `nulls`) null."""
    if isinstance(node, list):
        return [_tidied(item, nulls) for item in node]
    if not isinstance(node, dict):
        return node
    if not nulls and {"type": "null"} in node.get("anyOf", []):
        branches = [branch for branch in node["anyOf"] if branch != {"type": "null"}]
        rest = {name: value for name, value in node.items() if name != "anyOf"}
        node = {**(branches[0] if len(branches) == 1 else {"anyOf": branches}), **rest}
    # A title or default that is itself a mapping is a property of that name.
    unwanted = {name for name in ("title", "default") if name in node and not isinstance(node[name], dict)}
    return {
        name: value if name == "examples" else _tidied(value, nulls)
        for name, value in node.items()
        if name not in unwanted
    }
