"""Shares judged by processes of this machine: in order, and taken no sooner than there is room for them."""

import signal
from collections.abc import Iterator
from dataclasses import replace

import pytest

from generator.fleet import processes
from generator.fleet.processes import judged_here
from generator.fleet.shares import Share, judge, shares
from generator.read.handbook import read_handbook
from tests.frozen import DATA


def many() -> list[Share]:
    inputs = replace(read_handbook(DATA), records=())
    sites = [site.model_copy(update={"id": f"{site.id}-{n}"}) for n in range(4) for site in inputs.sites]
    return list(shares(replace(inputs, sites=tuple(sites)), sites, None, most=2))


def test_what_processes_find_is_what_one_finds_in_order() -> None:
    given = many()
    assert list(judged_here(iter(given), 2)) == [judge(one) for one in given]


def test_a_single_share_is_judged_here() -> None:
    assert list(judged_here(iter(many()[:1]))) == [judge(many()[0])]
    assert list(judged_here(iter(()))) == []


def test_no_more_is_taken_than_is_on_its_way() -> None:
    taken: list[Share] = []

    def noted() -> Iterator[Share]:
        for one in many():
            taken.append(one)
            yield one

    found = judged_here(noted(), 2)
    next(found)
    assert 2 <= len(taken) <= 4 < len(many())
    found.close()


def at_interrupt(_share: Share) -> object:
    return signal.getsignal(signal.SIGINT)


def test_an_interrupt_is_for_the_process_that_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """One that waits for a share would end in a traceback."""
    monkeypatch.setattr(processes, "judge", at_interrupt)
    assert set(judged_here(iter(many()), 2)) == {signal.SIG_IGN}  # type: ignore[comparison-overlap]
