"""What pydantic says, in one fault a reader understands."""

from typing import Annotated

from pydantic import Field

from generator.model.scalars import Count, Strict, Text
from generator.read.yaml.validate import validate
from generator.read.yaml.yaml_marks import parse


class Part(Strict):
    size: Annotated[str, Field(pattern="[a-z]+")]


class Whole(Strict):
    either: Count | Part | None = None
    parts: tuple[Part, ...] = Field((), min_length=2)
    name_of_it: Text = Field("", alias="name")


def told(text: str) -> list[str]:
    document, faults = parse(text.encode(), "a.yaml")
    assert document
    assert faults == []
    return [str(fault) for fault in validate(document, Whole, "a.yaml")[1]]


def test_a_union_is_one_fault_at_its_own_key() -> None:
    (fault,) = told("either: many\n")
    assert fault == ("a.yaml:1:9: either: 'many' is not a whole number; write a count such as 2, with no unit")


def test_an_error_without_words_of_its_own_is_told_in_pydantics() -> None:
    assert told("parts:\n  - size: '9'\n  - size: a\n") == [
        "a.yaml:2:11: parts[1].size: '9' is not allowed here; String should match pattern '[a-z]+'"
    ]


def test_a_list_is_not_called_too_short_for_an_item_that_cannot_be_read() -> None:
    assert told("parts:\n  - size: a\n  - siez: b\n") == [
        "a.yaml:3:5: parts[2].siez: 'siez' is no key here; the nearest known key is 'size'"
    ]
    assert told("parts:\n  - size: a\n") == ["a.yaml:1:1: parts: there is 1 item here; write at least 2"]


def test_a_python_name_is_no_key() -> None:
    assert told("name_of_it: x\n") == [
        "a.yaml:1:1: name_of_it: 'name_of_it' is no key here; the keys here are 'either', 'parts' and 'name'"
    ]


def test_a_missing_key_is_told_beside_an_unknown_one_that_is_far_from_it() -> None:
    assert told("parts:\n  - {size: a}\n  - {zzz: b}\n") == [
        "a.yaml:3:5: parts[2].size: this key is missing; add it: String should match pattern '[a-z]+'",
        "a.yaml:3:6: parts[2].zzz: 'zzz' is no key here; the keys here are 'size'",
    ]
