"""A pytest plugin that, in the place of the tests, finds out which tests run which fault, and then tries each fault."""

from __future__ import annotations

import functools
import importlib
import os
import pickle
import signal
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

import pytest
from _pytest.runner import runtestprotocol

from tests.mutation.mutants import SEEN, Mutant, compiled, marked

Report = Callable[[Mutant, str, str], None]
PATIENCE = 20.0  # a test that takes so many times its time, and half a minute, hangs
_CACHED = type(functools.cache(lambda: None))


class Seen:
    """Which faults' statements were run since the last `begin`: kept apart for tests, fixtures and cached helpers."""

    def __init__(self) -> None:
        self.levels: list[set[int]] = [set()]

    def add(self, number: int) -> None:
        self.levels[-1].add(number)

    def within(self, run: Callable[[], Any]) -> tuple[Any, set[int]]:
        """Return what `run` returns and what it ran, which its caller ran too."""
        self.levels.append(set())
        try:
            result = run()
        finally:
            seen = self.levels.pop()
            self.levels[-1] |= seen
        return result, seen


class Runner:
    """Finds the tests of each mutant, tries `jobs` mutants at a time, and reports each: verdict, and the test by name.

    Verdicts: `killed`, `hangs` (noticed too: the tests would never end), `survived`, `unseen` (no test runs it). What
    no test has noticed in `budget_s` seconds counts as survived.
    """

    def __init__(self, mutants: list[Mutant], report: Report, jobs: int, budget_s: float) -> None:
        self.mutants, self.report, self.jobs, self.budget_s = mutants, report, jobs, budget_s
        self.seen, self.of_fixtures = Seen(), defaultdict[int, set[int]](set)

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Take the place of pytest's own loop."""
        items = session.items
        ran, spans = _in_child(lambda: self._map(items))
        running: dict[int, tuple[Mutant, Any]] = {}
        for number, mutant in enumerate(self.mutants):
            near = [place for place, numbers in enumerate(ran) if number in numbers]
            if not near:
                self.report(mutant, "unseen", "")
                continue
            while len(running) >= self.jobs:
                self._collect(running)
            order = _quick_first(near, spans, items, Path(mutant.file).stem)
            kept = tempfile.TemporaryFile()  # noqa: SIM115 - the parent reads it when the child is done
            child = os.fork()
            if child == 0:
                _try(mutant, [(items[place], spans[place]) for place in order], kept, self.budget_s)
            running[child] = mutant, kept
        while running:
            self._collect(running)
        return True

    def _collect(self, running: dict[int, tuple[Mutant, Any]]) -> None:
        child, status = os.wait()
        mutant, kept = running.pop(child)
        kept.seek(0)
        by = kept.read().decode()
        kept.close()
        if os.WIFSIGNALED(status):
            self.report(mutant, "hangs", by)
        else:
            self.report(mutant, "killed" if os.WEXITSTATUS(status) else "survived", by)

    def _map(self, items: list[pytest.Item]) -> tuple[list[set[int]], list[float]]:
        """Run every test once; return which faults' statements each runs, and how long it takes [s]."""
        self._mark()
        self._remember_cached()
        ran, spans = [], []
        for item, following in _pairs(items):
            began = time.monotonic()
            _, seen = self.seen.within(lambda item=item, following=following: _run(item, following))
            spans.append(time.monotonic() - began)
            definitions = item._fixtureinfo.name2fixturedefs.values()  # type: ignore[attr-defined]
            ran.append(seen.union(*(self.of_fixtures[id(one)] for some in definitions for one in some)))
        return ran, spans

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any, request: Any) -> Iterator[None]:
        """What a fixture runs, every test that uses it runs, though it is made once."""
        self.seen.levels.append(set())
        try:
            return (yield)
        finally:
            ran = self.seen.levels.pop()
            self.seen.levels[-1] |= ran
            self.of_fixtures[id(fixturedef)] |= ran

    def _mark(self) -> None:
        by_function: dict[tuple[str, str], dict[int, int]] = defaultdict(dict)
        for number, mutant in enumerate(self.mutants):
            by_function[mutant.file, mutant.function][mutant.index] = number
        for (file, name), numbers in by_function.items():
            function = function_of(file, name)
            function.__globals__[SEEN] = self.seen
            _exchange(function, marked(file, name, numbers))

    def _remember_cached(self) -> None:
        """What a cached helper of the tests runs the first time, each of its callers runs."""
        shared: dict[int, Callable[..., Any]] = {}
        for module in [one for name, one in sys.modules.items() if name.startswith("tests.")]:
            for name, value in list(vars(module).items()):
                if isinstance(value, _CACHED):
                    shared.setdefault(id(value), self._remembered(value))
                    setattr(module, name, shared[id(value)])

    def _remembered(self, cached: Callable[..., Any]) -> Callable[..., Any]:
        ran: dict[Any, set[int]] = defaultdict(set)

        def call(*values: Any, **named: Any) -> Any:
            key = (values, tuple(sorted(named.items())))
            result, seen = self.seen.within(lambda: cached(*values, **named))
            ran[key] |= seen
            for number in ran[key]:
                self.seen.add(number)
            return result

        return call


def function_of(file: str, dotted: str) -> FunctionType:
    """The function, method or property of the program that a mutant is of, out of its wrappings."""
    owner: Any = importlib.import_module(file.removesuffix(".py").replace("/", "."))
    for part in dotted.split("."):
        owner = vars(owner)[part]
    while not isinstance(owner, FunctionType) or hasattr(owner, "__wrapped__"):
        owner = getattr(owner, "fget", None) or getattr(owner, "func", None) or getattr(owner, "__wrapped__", None)
    return owner


def _exchange(function: FunctionType, code: CodeType) -> None:
    function.__code__ = code.replace(co_freevars=function.__code__.co_freevars)


def _quick_first(near: list[int], spans: list[float], items: list[pytest.Item], stem: str) -> list[int]:
    """The tests in the order to try them: files named like the module first, then files by their time, each whole."""
    files: dict[str, list[int]] = defaultdict(list)
    for place in near:
        files[items[place].location[0]].append(place)
    order = sorted(files, key=lambda name: (stem not in name, sum(spans[place] for place in files[name])))
    return [place for name in order for place in sorted(files[name], key=spans.__getitem__)]


def _try(mutant: Mutant, tests: list[tuple[pytest.Item, float]], kept: Any, budget_s: float) -> None:
    """In a child: put the fault in, run the tests until one fails or the time is up, and end with 1 if one failed."""
    last = time.monotonic() + budget_s
    _exchange(function_of(mutant.file, mutant.function), compiled(mutant))
    spans = [span for _, span in tests]
    for (item, following), span in zip(_pairs([item for item, _ in tests]), spans, strict=True):
        kept.seek(0)
        kept.truncate()
        kept.write(item.nodeid.encode())
        kept.flush()
        signal.alarm(int(30 + PATIENCE * span))
        if _run(item, following):
            os._exit(1)
        if time.monotonic() > last:
            break
    kept.seek(0)
    kept.truncate()
    kept.flush()
    os._exit(0)


def _pairs(items: list[pytest.Item]) -> Iterator[tuple[pytest.Item, pytest.Item | None]]:
    yield from zip(items, [*items[1:], None], strict=True)


def _run(item: pytest.Item, following: pytest.Item | None) -> bool:
    """Run one test in silence; return whether it failed."""
    _silence()
    item.ihook.pytest_runtest_logstart(nodeid=item.nodeid, location=item.location)
    return any(report.failed for report in runtestprotocol(item, log=False, nextitem=following))


@functools.cache
def _silence() -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)


def _in_child(work: Callable[[], Any]) -> Any:
    """Do the work in a process of its own, which leaves this one as it was; return what it returns."""
    with tempfile.TemporaryFile() as kept:
        child = os.fork()
        if child == 0:
            try:
                kept.write(pickle.dumps(work()))
                kept.flush()
            finally:
                os._exit(0)
        os.waitpid(child, 0)
        kept.seek(0)
        return pickle.loads(kept.read())
