"""What compute says is found where it says it, and the words stand ready for it."""

import ast
from pathlib import Path

import pytest

from generator.model.said import Said, say
from generator.said import COMPUTE, said_texts


def found(folder: Path, **modules: str) -> object:
    for name, text in modules.items():
        path = folder / f"{name.replace('__', '/')}.py"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return said_texts(folder)


def test_keys_and_values_are_found_by_room(tmp_path: Path) -> None:
    heat = 'X = say("steam")\ndef f(x):\n    return [\n        say("warm-by", who=say("(us)"), much=g(x) + 1)\n    ]\n'
    rooms = found(tmp_path, heat__water=heat, heat__steam='say("steam")', site='"say nothing"; say("note", n=1)')
    assert rooms == {
        "heat": {"steam": (), "warm-by": ("much", "who"), "(us)": ()},
        "general": {"note": ("n",)},
    }


@pytest.mark.parametrize(
    ("other", "wrong"),
    [
        ("say(key)", "not written out in say"),
        ('say("drip", **values)', "not written out in say"),
        ('say("steam")', "in another room"),
        ('say("drip", n=1); say("drip", m=1)', "said with other values"),
        ('say("drip"', "no call ends"),
    ],
)
def test_what_cannot_be_found_is_refused(tmp_path: Path, other: str, wrong: str) -> None:
    with pytest.raises(ValueError, match=wrong):
        found(tmp_path, heat__steam='say("steam")', flow__pipe=other)


def test_every_call_in_compute_is_found() -> None:
    """The quick search misses none and invents none: a whole parse of every module finds the same keys."""
    keys = {
        node.args[0].value  # type: ignore[attr-defined]  # the search itself refuses any other
        for path in COMPUTE.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "say"
    }
    assert len(keys) > 80
    assert {key for room in said_texts().values() for key in room} == keys


def test_a_text_without_its_words_cannot_be_written() -> None:
    said = say("warm-by", who="Ada", much=2)
    for write in (str, "{}".format, lambda text: f"a {text}"):
        with pytest.raises(TypeError, match="the words of 'warm-by' are not put in yet"):
            write(said)


def test_texts_are_equal_where_key_and_values_are() -> None:
    assert say("warm-by", much=2) == Said("warm-by", {"much": 2})
    assert say("warm-by", much=2) != say("warm-by", much=3)
    assert say("warm-by", much=say("a")) != say("warm-by", much=say("b"))
    assert len({say("warm-by", much=2), say("warm-by", much=2), say("steam")}) == 2


def test_a_text_in_texts_is_no_longer_than_what_it_holds() -> None:
    text = "a name with 'quotes'"
    for _ in range(30):
        text = say("one-and-other", one=text, other="b")
    assert len(text) < 30 * 60


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (say("a", one=2), say("a", one="2")),
        (say("a", one="b other=1:c", other="d"), say("a", one="b", other="c other=1:d")),
        (say("a", one=say("b")), say("a", one=say("b", two=1))),
    ],
)
def test_other_values_are_another_text(one: str, other: str) -> None:
    assert one != other
