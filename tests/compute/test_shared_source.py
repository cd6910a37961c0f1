"""Sites on one well pump or service, by sums worked by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from generator.compute.compute_all import compute
from generator.model.figures import Finding
from generator.model.site import Site
from generator.read.handbook import read_handbook
from tests.compute.circuit_cases import heater, site
from tests.finding_texts import said
from tests.frozen import DATA

GPM = 3.785411784e-3 / 60.0


def at(name: str, flow: str, at_once: str = "1", **source: str) -> Site:
    fixture = {"name": "tap", "kind": "service sink", "flow": flow, "target": "100 degF", "at_once": at_once}
    water = {"source": {"id": "well"} | source}
    return site(fixtures=[fixture], water=water).model_copy(update={"id": name, "title": f"The {name}"})


def judged(*sites: Site) -> dict[str, Finding]:
    inputs = replace(read_handbook(DATA), models=(heater(),), sites=sites)
    return {
        result.id: found
        for result in compute(inputs).sites
        for found in result.findings
        if found.rule == "shared-source"
    }


def others(found: Finding) -> list[tuple[Any, Any]]:
    return [(row["site"].value, row["flow"].value) for row in found.lists["others"]]


def told(found: Finding) -> dict[str, Any]:
    return {value.symbol: value.value for value in found.values}


@pytest.mark.parametrize(("gives", "severity"), [("4.5 gpm", "ok"), ("4.4 gpm", "attention")])
def test_the_source_must_give_what_all_ask_for(gives: str, severity: str) -> None:
    """1.5 gpm + two taps of 1.5 gpm at once: 4.5 gpm."""
    found = judged(at("dairy", "1.5 gpm", greatest_flow=gives), at("shed", "1.5 gpm", "2", greatest_flow=gives))
    assert {one.severity for one in found.values()} == {severity}
    for one in found.values():
        assert told(one)["total"] == pytest.approx(4.5 * GPM)
    assert others(found["dairy"])[0] == ("The shed", pytest.approx(3.0 * GPM))


def test_where_nobody_says_what_it_gives_someone_must_look() -> None:
    found = judged(at("dairy", "1.5 gpm"), at("shed", "1.5 gpm"))
    assert {one.severity for one in found.values()} == {"attention"}
    assert others(found["shed"])[0][0] == "The dairy"
    assert "one site at a time" in said(found["shed"])


def test_a_site_alone_on_its_source_is_held_to_it_too() -> None:
    assert judged(at("dairy", "1.5 gpm"))["dairy"].severity == "ok"
    assert judged(at("dairy", "1.5 gpm", greatest_flow="1.5 gpm"))["dairy"].severity == "ok"
    assert judged(at("dairy", "1.5 gpm", greatest_flow="1.4 gpm"))["dairy"].severity == "attention"


def test_another_source_is_not_counted_and_a_site_without_one_is_not_judged() -> None:
    other = at("shed", "1.5 gpm")
    own = other.model_copy(update={"water": other.water.model_copy(update={"source": None})})
    found = judged(at("dairy", "1.5 gpm", greatest_flow="2 gpm"), at("office", "1.5 gpm", id="river"), own)
    assert {name: one.severity for name, one in found.items()} == {"dairy": "ok", "office": "ok"}
