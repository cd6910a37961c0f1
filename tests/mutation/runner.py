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
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

import pytest
from _pytest.runner import runtestprotocol

from generator.build import load
from tests.changes.project import read_words_once
from tests.frozen import FOLDERS
from tests.mutation.mutants import SEEN, Mutant, compiled, marked

Report = Callable[[Mutant, str, str], None]
# A test hangs that takes so many times its time, with what it may be the first to set up, and ten seconds; of the
# processor, as all times here.
PATIENCE = 20.0
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
        self.seen, self.of_fixtures, self.shared_s = (
            Seen(),
            defaultdict[int, set[int]](set),
            defaultdict[int, float](float),
        )
        self.cached_s = 0.0  # what the cached helpers that the test has called took when they were first called
        self.noticed: Counter[str] = Counter()  # how many faults each file of tests has noticed

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Take the place of pytest's own loop."""
        items = session.items
        self._read_once()
        ran, spans, patience = self._mapped(items)
        running: dict[int, tuple[Mutant, Any]] = {}
        for number, mutant in enumerate(self.mutants):
            near = [place for place, numbers in enumerate(ran) if number in numbers]
            if not near:
                self.report(mutant, "unseen", "")
                continue
            while len(running) >= self.jobs:
                self._collect(running)
            order = self._likely_first(near, spans, items, mutant.file)
            kept = tempfile.TemporaryFile()  # noqa: SIM115 - the parent reads it when the child is done
            child = os.fork()
            if child == 0:
                _try(mutant, [(items[place], patience[place]) for place in order], kept, self.budget_s)
            running[child] = mutant, kept
        while running:
            self._collect(running)
        return True

    def _likely_first(self, near: list[int], spans: list[float], items: list[pytest.Item], file: str) -> list[int]:
        """The tests in the order to try them, each file whole: first files that take something from the module, then
        those of its room, and of each those that take least time for the faults they have noticed so far."""
        files: dict[str, list[int]] = defaultdict(list)
        for place in near:
            files[items[place].location[0]].append(place)

        def rank(name: str) -> tuple[int, float]:
            likely = 0 if _takes_from(items[files[name][0]], file) else 1 if Path(file).parent.name in name else 2
            return likely, sum(spans[place] for place in files[name]) / (1 + self.noticed[name])

        return [place for name in sorted(files, key=rank) for place in sorted(files[name], key=spans.__getitem__)]

    def _collect(self, running: dict[int, tuple[Mutant, Any]]) -> None:
        child, status = os.wait()
        mutant, kept = running.pop(child)
        kept.seek(0)
        by = kept.read().decode()
        kept.close()
        self.noticed[by.partition("::")[0]] += 1
        if os.WIFSIGNALED(status):
            self.report(mutant, "hangs", by)
        else:
            self.report(mutant, "killed" if os.WEXITSTATUS(status) else "survived", by)

    @staticmethod
    def _read_once() -> None:
        """Read the words of content/ here, for all the processes to come: no fault is put into what reads them."""
        read_words_once(pytest.MonkeyPatch())
        load(FOLDERS)

    def _mapped(self, items: list[pytest.Item]) -> tuple[list[set[int]], list[float], list[float]]:
        """Run every test once, in `jobs` processes; return which faults' statements each runs, its time, and how long
        to wait for it [s]."""
        files = list(dict.fromkeys(item.location[0] for item in items))
        shares = [[item for item in items if files.index(item.location[0]) % self.jobs == n] for n in range(self.jobs)]
        known: dict[str, tuple[set[int], float, float]] = {}
        for found in _in_children([functools.partial(self._map, share) for share in shares if share]):
            known |= found
        ran, spans, patience = zip(*(known[item.nodeid] for item in items), strict=True)
        return list(ran), list(spans), list(patience)

    def _map(self, items: list[pytest.Item]) -> dict[str, tuple[set[int], float, float]]:
        """Run these tests once; return by their names what `_mapped` returns of each."""
        self._mark()
        self._remember_cached()
        known = {}
        for item, following in _pairs(items):
            began, self.cached_s = time.process_time(), 0.0
            _, seen = self.seen.within(lambda item=item, following=following: _run(item, following))
            span = time.process_time() - began
            fixtures = [id(one) for some in item._fixtureinfo.name2fixturedefs.values() for one in some]  # type: ignore[attr-defined]
            ran = seen.union(*(self.of_fixtures[one] for one in fixtures))
            most_s = span + self.cached_s + sum(self.shared_s[one] for one in fixtures)
            known[item.nodeid] = ran, span, 10.0 + PATIENCE * most_s
        return known

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any, request: Any) -> Iterator[None]:
        """What a fixture runs, every test that uses it runs, though it is made once."""
        self.seen.levels.append(set())
        began = time.process_time()
        try:
            return (yield)
        finally:
            self.shared_s[id(fixturedef)] = max(self.shared_s[id(fixturedef)], time.process_time() - began)
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
        took: dict[Any, float] = {}

        def call(*values: Any, **named: Any) -> Any:
            key = (values, tuple(sorted(named.items())))
            began = time.process_time()
            result, seen = self.seen.within(lambda: cached(*values, **named))
            self.cached_s += took.setdefault(key, time.process_time() - began)
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


def _takes_from(item: pytest.Item, file: str) -> bool:
    """Whether the file of a test takes something from a module of the program."""
    module = file.removesuffix(".py").replace("/", ".")
    taken = vars(item.module).values()  # type: ignore[attr-defined]
    return any(getattr(one, "__module__", getattr(one, "__name__", "")) == module for one in taken)


def _exchange(function: FunctionType, code: CodeType) -> None:
    function.__code__ = code.replace(co_freevars=function.__code__.co_freevars)


def _try(mutant: Mutant, tests: list[tuple[pytest.Item, float]], kept: Any, budget_s: float) -> None:
    """In a child: put the fault in, run the tests until one fails or the time is up, and end with 1 if one failed."""
    last = time.process_time() + budget_s
    _exchange(function_of(mutant.file, mutant.function), compiled(mutant))
    for (item, following), (_, most_s) in zip(_pairs([item for item, _ in tests]), tests, strict=True):
        kept.seek(0)
        kept.truncate()
        kept.write(item.nodeid.encode())
        kept.flush()
        signal.setitimer(signal.ITIMER_PROF, most_s)
        if _run(item, following):
            os._exit(1)
        if time.process_time() > last:
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


def _in_children(works: list[Callable[[], Any]]) -> list[Any]:
    """Do each work in a process of its own, which leaves this one as it was; return what each returns."""
    begun = []
    for work in works:
        kept = tempfile.TemporaryFile()  # noqa: SIM115 - read below, when the child is done
        child = os.fork()
        if child == 0:
            try:
                kept.write(pickle.dumps(work()))
                kept.flush()
            finally:
                os._exit(0)
        begun.append((child, kept))
    returned = []
    for child, kept in begun:
        os.waitpid(child, 0)
        with kept:
            kept.seek(0)
            returned.append(pickle.loads(kept.read()))
    return returned
