"""YAML text to texts: what each scalar becomes, where it stands, and that nothing but faults can come of any bytes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.read.yaml.yaml_marks import Document, parse
from tests.read.conftest import SMALL

DEMO = (SMALL / "models" / "brook-6.yaml").read_text(encoding="utf-8")


def document(text: str) -> Document:
    found, faults = parse(text.encode(), "a.yaml")
    assert found is not None
    assert faults == []
    return found


@pytest.mark.parametrize(
    "scalar", ["no", "1.10", "12:30", "017", "1e3", "0x10", "2026-01-02", "true", "NaN", ".inf", "é ✓"]
)
@pytest.mark.parametrize("quote", ["", "'", '"'])
def test_every_scalar_is_the_text_that_stands_there(scalar: str, quote: str) -> None:
    assert document(f"a: {quote}{scalar}{quote}\n").data == {"a": scalar}


@pytest.mark.parametrize("null", ["", "~", "null", "Null", "NULL"])
def test_a_null_is_the_empty_text(null: str) -> None:
    assert document(f"a: {null}\nb: [{null or '~'}]\n").data == {"a": "", "b": [""]}


def test_a_null_in_quotation_marks_is_a_text() -> None:
    assert document("a: '~'\nb: \"null\"\n").data == {"a": "~", "b": "null"}


def test_places_count_from_one() -> None:
    found = document("a:\n  - b: é x\n    c:\n      d: 1\n")
    assert found.keys == {("a",): (1, 1), ("a", 0, "b"): (2, 5), ("a", 0, "c"): (3, 5), ("a", 0, "c", "d"): (4, 7)}
    assert found.values[("a", 0)] == (2, 5)
    assert found.texts == {("a", 0, "b"): "é x", ("a", 0, "c", "d"): "1"}


@pytest.mark.parametrize(
    ("path", "spot"),
    [
        ((), (1, 1)),
        (("a",), (1, 1)),  # a list: its key
        (("a", 0), (2, 5)),  # an item that is a mapping: where it starts
        (("a", 0, "b"), (2, 8)),  # a text: itself
        (("a", 0, "c"), (3, 5)),  # a mapping: its key
        (("a", 0, "none"), (2, 5)),  # missing: its parent
        (("a", 7, "b", 3), (1, 1)),  # nothing like it: the nearest parent there is
        (("b", "c"), (4, 4)),  # inside a text: the text
    ],
)
def test_a_reader_is_sent_to_the_nearest_place(path: tuple[str | int, ...], spot: tuple[int, int]) -> None:
    assert document("a:\n  - b: 1\n    c: {}\nb: x\n").spot(path) == spot


def test_windows_line_ends_count_once() -> None:
    assert document("a: 1\r\nb: 2\r\n").texts == {("a",): "1", ("b",): "2"}
    assert document("a: 1\r\nb: 2\r\n").keys[("b",)] == (2, 1)


@pytest.mark.parametrize("text", ["", "\n", "# nothing\n", "---\n", "~\n"])
def test_an_empty_file_is_told(text: str) -> None:
    found, faults = parse(text.encode(), "a.yaml")
    assert found is None
    assert [str(fault) for fault in faults] == [
        "a.yaml:1:1: file: the file is empty; write its keys, or delete the file"
    ]


def test_bytes_that_are_no_utf8_are_told_where_they_stand() -> None:
    found, faults = parse(b"title: caf" + b"\xe9\n", "a.yaml")
    assert found is None
    assert [str(fault) for fault in faults] == ["a.yaml:1:11: file: this is not UTF-8 text; save the file as UTF-8"]


def test_many_tabs_are_one_fault() -> None:
    _, faults = parse(b"a:\n\tb: 1\n\tc: 2\n", "a.yaml")
    assert [str(fault) for fault in faults] == [
        "a.yaml:2:1: file: a tab stands here and in 1 more places; use plain spaces, and save as UTF-8"
    ]


def test_the_value_of_a_key_that_stands_twice_is_the_first() -> None:
    found, faults = parse(b"a: 1\na: {b: 2}\n<<: 3\n", "a.yaml")
    assert found is not None
    assert found.data == {"a": "1"}
    assert [fault.line for fault in faults] == [2, 3]


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_deep_nesting_cannot_exhaust_the_stack(opening: str) -> None:
    found, faults = parse((opening * 100_000).encode(), "a.yaml")
    assert found is None
    assert len(faults) == 1


@given(st.binary() | st.text().map(str.encode))
def test_any_bytes_give_a_document_or_faults(content: bytes) -> None:
    found, faults = parse(content, "a.yaml")
    assert found is not None or faults


@given(st.data())
def test_a_damaged_file_gives_a_document_or_faults(data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(DEMO)))
    length = data.draw(st.integers(0, 40))
    inserted = data.draw(st.text(st.sampled_from(" \n:-{}[]&*!|>'\"%@#,?<\t~a1\0é"), max_size=12))
    found, faults = parse((DEMO[:at] + inserted + DEMO[at + length :]).encode(), "a.yaml")
    assert found is not None or faults
