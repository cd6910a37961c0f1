"""A fixture's limit against the limit for its kind, and what the other findings then hold it to."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.use.fixture_findings import mixing_valve
from generator.compute.use.fixture_limit import fixture_limit, fixture_limit_k
from generator.model.figures import Finding
from generator.model.site import Fixture
from generator.model.tables.plumbing import LIMITED_KINDS
from tests.compute.heat_cases import source
from tests.compute.test_fixtures import TERMS, at_work
from tests.compute.test_scald import hottest_at, judge
from tests.compute.wet_cases import GPM, LIMITS, kelvin, site, valve, with_fixtures
from tests.finding_texts import said

CODE = source("fixture_limits")["rows"]


def fixture(kind: str, limit_f: float | None, **changes: object) -> Fixture:
    limit_k = None if limit_f is None else kelvin(limit_f)
    return Fixture(name=kind, kind=kind, flow_m3_s=1.25 * GPM, target_k=kelvin(90.0), limit_k=limit_k, **changes)


def told(*fixtures: Fixture, default_f: float = 120.0) -> Finding:
    return fixture_limit(with_fixtures(site("bunkhouse"), *fixtures), kelvin(default_f), LIMITS)


@pytest.mark.parametrize("row", CODE, ids=lambda row: row["kind"])
def test_a_limit_looser_than_the_kinds_is_told(row: dict) -> None:
    """Limits and sources in tests/sources/heat/fixture_limits.yaml."""
    assert LIMITS.temperatures[row["kind"]].at_most_k == pytest.approx(kelvin(row["limit"]))
    assert told(fixture(row["kind"], row["limit"])).severity == "ok"
    assert told(fixture(row["kind"], row["limit"] - 5.0)).severity == "ok"
    assert told(fixture(row["kind"], row["limit"] + 1.0)).severity == row["looser"]
    assert told(fixture(row["kind"], None)).severity == "ok"


def test_the_gravest_is_told_first_and_a_kind_without_limit_may_state_its_own() -> None:
    found = told(fixture("lavatory", 150.0), fixture("shower", 125.0))
    assert found.severity == "stop"
    assert {value.symbol: value.value for value in found.values}["fixture"] == "shower"
    assert told(fixture("service sink", 140.0), fixture("rinse bay", 140.0)).severity == "ok"


def test_only_where_the_code_forbids_it_is_every_valve_set_anew() -> None:
    """No code forbids hotter water at a lavatory at home: there the use is looked at."""
    shower, lavatory = (said(told(fixture(kind, 125.0)), "do") for kind in ("shower", "lavatory"))
    assert "set every valve to it" in shower and "washes there" not in shower
    assert "washes there" in lavatory and "every valve" not in lavatory


@pytest.mark.parametrize(("kind", "hottest_f"), [("shower", 132.0), ("tub", 132.0), ("public lavatory", 124.0)])
def test_hottest_water_holds_the_code_and_not_a_looser_statement(kind: str, hottest_f: float) -> None:
    assert judge(hottest_at(*[hottest_f] * 4), fixture(kind, 140.0)).severity == "stop"
    assert judge(hottest_at(*[hottest_f] * 4), fixture(kind, 140.0, mixing_valve=valve())).severity == "attention"


def test_the_handbooks_limit_does_not_loosen_the_codes() -> None:
    assert fixture_limit_k(fixture("public lavatory", None), kelvin(120.0), LIMITS) == pytest.approx(kelvin(110.0))
    assert fixture_limit_k(fixture("lavatory", None), kelvin(120.0), LIMITS) == kelvin(120.0)


KINDS = (*LIMITED_KINDS, "service sink", "rinse bay")


@pytest.mark.parametrize("kind", KINDS)
def test_a_limit_of_the_handbook_above_what_is_advised_is_told_wherever_it_is_taken(kind: str) -> None:
    """120 degF: Consumer Product Safety Commission, document 5098, from memory."""
    assert told(fixture(kind, None), default_f=120.0).severity == "ok"
    found = told(fixture(kind, None), default_f=121.0)
    assert found.severity == "attention"
    assert found.case == "handbook-above-advice"
    assert said(found).startswith("The handbook's limit")
    assert told(fixture(kind, 105.0), default_f=200.0).severity == "ok"


@given(st.lists(st.tuples(st.sampled_from(KINDS), st.none() | st.floats(90.0, 150.0)), min_size=1), st.floats(90, 211))
def test_the_finding_says_what_holds_at_each_fixture(stated: list, default_f: float) -> None:
    fixtures = [fixture(kind, limit_f) for kind, limit_f in stated]
    found = told(*fixtures, default_f=default_f)
    for row, one in zip(found.lists["held"], fixtures, strict=True):
        assert (row["limit"].value, row["fixture"].value) == (fixture_limit_k(one, kelvin(default_f), LIMITS), one.name)
        advised_f = 211.0 if one.limit_k is not None and one.kind in ("service sink", "rinse bay") else 120.0
        assert found.severity != "ok" or float(row["limit"].value) <= kelvin(advised_f) + 0.011


@given(st.sampled_from(LIMITED_KINDS), st.none() | st.floats(90.0, 150.0), st.floats(100.0, 150.0))
def test_the_limit_is_never_above_what_was_stated(kind: str, limit_f: float | None, default_f: float) -> None:
    held_k = fixture_limit_k(fixture(kind, limit_f), kelvin(default_f), LIMITS)
    assert held_k <= kelvin(default_f if limit_f is None else limit_f)
    assert LIMITS.temperatures[kind].advised or held_k <= LIMITS.temperatures[kind].at_most_k


@pytest.mark.parametrize("kind", ["shower", "tub", "public lavatory"])
def test_a_valve_that_the_code_asks_for_is_missed(kind: str) -> None:
    """IPC (2021) 412.3, 412.5 and 419.5, from memory."""
    place = with_fixtures(site("packing-house"), fixture(kind, 110.0))
    found = mixing_valve(at_work(place), TERMS)
    assert found.severity == "attention"
    assert found.case.startswith("missing")
