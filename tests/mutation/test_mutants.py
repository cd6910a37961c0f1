"""The tool that puts faults in: its faults are faults, its marks change nothing, and its count is that of its goals."""

import inspect
from collections import Counter
from types import SimpleNamespace

import pytest
import yaml

from tests.mutation.mutants import SEEN, chosen, compiled, marked
from tests.mutation.mutate import EQUIVALENT, reached
from tests.mutation.runner import Seen, function_of

SOME = chosen(60, 5)


def test_a_seed_draws_the_same_faults() -> None:
    assert chosen(60, 5) == SOME
    assert chosen(60, 6) != SOME


@pytest.mark.parametrize("mutant", SOME, ids=lambda mutant: mutant.key)
def test_a_fault_is_another_code_of_the_same_function(mutant) -> None:  # type: ignore[no-untyped-def]
    function = function_of(mutant.file, mutant.function)
    code, marks = compiled(mutant), marked(mutant.file, mutant.function, {mutant.index: 7})
    assert code != function.__code__
    for made in (code, marks):
        assert made.co_name == function.__code__.co_name
        assert made.co_varnames[: made.co_argcount] == function.__code__.co_varnames[: made.co_argcount]
        assert len(made.co_freevars) == len(function.__code__.co_freevars)
    first, lines = function.__code__.co_firstlineno, len(inspect.getsource(function).splitlines())
    assert first <= mutant.line < first + lines


def test_what_a_fixture_runs_its_caller_runs_too() -> None:
    seen = Seen()
    _, inner = seen.within(lambda: seen.add(1))
    _, outer = seen.within(lambda: (seen.add(2), seen.within(lambda: seen.add(3))))
    assert (inner, outer, seen.levels) == ({1}, {2, 3}, [{1, 2, 3}])


def test_a_mark_is_said_where_the_statement_runs_and_changes_nothing() -> None:
    mutant = next(one for one in chosen(10_000, 1, "divider.py::conductors_in_series") if one.before == "3")
    function = function_of(mutant.file, mutant.function)
    plain, seen = function.__code__, Seen()
    function.__globals__[SEEN] = seen
    try:
        function.__code__ = marked(mutant.file, mutant.function, {mutant.index: 7})
        assert [function(SimpleNamespace(phases=phases)) for phases in (1, 3)] == [2, 1]
        assert seen.levels == [{7}]
        function.__code__ = compiled(mutant)
        assert [function(SimpleNamespace(phases=phases)) for phases in (1, 3)] == [2, 2]
    finally:
        function.__code__ = plain
        del function.__globals__[SEEN]


def test_each_that_is_excused_has_its_reason() -> None:
    excused = yaml.safe_load(EQUIVALENT.read_text(encoding="utf-8"))
    assert all("::" in key and isinstance(reason, str) and len(reason) > 20 for key, reason in excused.items())


def test_each_that_is_excused_is_a_fault_that_can_still_be_drawn() -> None:
    excused = yaml.safe_load(EQUIVALENT.read_text(encoding="utf-8"))
    drawn = {one.key for key in excused for one in chosen(10_000, 1, key.partition(": ")[0])}
    assert excused.keys() - drawn == set()


@pytest.mark.parametrize(
    ("verdicts", "enough"),
    [
        ({"killed": 90, "survived": 10}, True),
        ({"killed": 89, "survived": 11}, False),
        ({"killed": 89, "survived": 9, "unseen": 2}, False),
        ({"killed": 84, "survived": 8, "equivalent": 8}, True),
        ({"killed": 83, "survived": 8, "equivalent": 9}, False),
        ({"killed": 80, "hangs": 10, "survived": 10}, True),
        ({}, False),
    ],
)
def test_the_goals(verdicts: dict[str, int], enough: bool) -> None:
    assert reached(Counter(verdicts)) is enough
