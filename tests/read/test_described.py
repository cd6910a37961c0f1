"""Every key of every kind of YAML file says what it means and shows an example that its own schema takes."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from pydantic import Field

from generator.model.quantity import Flow
from generator.model.scalars import Count, Strict, Text
from generator.read.content.key_words import KeyWords, read_key_words
from generator.read.described import described
from generator.read.json_schema import CODES, WRITTEN, schemas

CONTENT = Path(__file__).parents[2] / "content"
WORDS = read_key_words(CONTENT)
KINDS = {kind: schema for kind, schema in schemas(WORDS).items() if kind in {**WRITTEN, **CODES}}
LEAST_WORDS = 2


def keys(kind: str) -> Iterator[tuple[str, dict[str, Any]]]:
    schema = KINDS[kind]
    for name, node in {kind: schema, **schema.get("$defs", {})}.items():
        for branch in (node, *node.get("anyOf", ())):
            for key, value in branch.get("properties", {}).items():
                yield f"{name}.{key}", value


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_says_in_a_sentence_what_it_means(kind: str) -> None:
    bare = [
        key
        for key, node in keys(kind)
        if not node.get("description", "").endswith((".", ")")) or len(node["description"].split()) < LEAST_WORDS
    ]
    assert bare == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_shows_an_example_that_its_schema_takes(kind: str) -> None:
    wrong = []
    for key, node in keys(kind):
        validator = jsonschema.Draft202012Validator({**node, "$defs": KINDS[kind].get("$defs", {})})
        examples = node.get("examples", [])
        wrong += [key] if not examples else []
        wrong += [f"{key}: {error.message}" for one in examples for error in validator.iter_errors(one)]
    assert wrong == []


def test_no_word_explains_a_key_that_there_is_not() -> None:
    held = yaml.safe_load((CONTENT / "keys.yaml").read_text(encoding="utf-8"))
    told = "\n".join(node["description"] for kind in KINDS for _, node in keys(kind))
    said = ((f"{name}.{key}", word["says"]) for name, words in held.items() for key, word in words.items())
    unused = [key for key, text in said if text not in told]
    assert unused == []


class _Inner(Strict):
    flow_m3_s: Flow = Field(alias="flow")
    number: Count = 1


class _Grown(_Inner):
    name: Text | None = None


class _Outer(Strict):
    items: tuple[_Grown, ...]


def test_an_example_is_made_of_what_a_key_holds() -> None:
    words = KeyWords.model_validate(
        {
            "_Inner": {"flow": {"says": "The flow.", "example": "1 gpm"}, "number": {"says": "One.", "example": "2"}},
            "_Grown": {"name": {"says": "The name.", "example": "A"}},
            "_Outer": {"items": {"says": "The items."}},
        }
    )
    made = described(_Outer, _Outer.model_json_schema(by_alias=True), words)
    assert made["properties"]["items"]["examples"] == [[{"flow": "1 gpm"}]]
    grown = made["$defs"]["_Grown"]["properties"]
    assert grown["number"]["examples"] == [2]
    assert grown["flow"]["description"] == "The flow. Write a flow in gpm, L/min or L/s, from 0.05 gpm to 60 gpm."
