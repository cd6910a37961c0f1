"""A valve guards the fixtures that its standard is made for, and no other.

Scopes of the standards: abstracts of their publishers (assewebstore.com, webstore.ansi.org, iss.rs), read; greatest
settings of ASSE 1016 (2005) and 1069 (2005): a maker's comparison, secondary copy; of ASSE 1070: from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from generator.compute.plumbing import plumbing_at
from generator.compute.use.fixtures import duties
from generator.compute.use.guard import NO_STANDARD, OTHER_FIXTURE, SET_BEYOND, guarded, unlisted
from generator.compute.use.mixing_finding import mixing_valve
from generator.compute.use.valve_fit import LEAST_FLOW, MORE_FLOW, NO_PRESSURE, obstacles
from generator.model.inputs import Inputs
from generator.model.site import Fixture
from generator.read.handbook import read_handbook
from tests.compute.test_fixtures import TERMS, at_work, codes, tap, values
from tests.compute.test_scald import FLAT_HOT, judge, rows
from tests.compute.wet_cases import GPM, LIMITS, kelvin, site, valve, with_fixtures
from tests.finding_texts import said
from tests.frozen import DATA


def fixture(kind: str, standard: str, setting_f: float = 104.0) -> Fixture:
    marked = valve(setting_f, standard=standard)
    return tap(2.2, 100.0, mixing_valve=marked).model_copy(update={"kind": kind})


@pytest.mark.parametrize(
    ("kind", "standard", "setting_f", "why"),
    [
        ("shower", "ASSE 1016", 104.0, ()),
        ("shower", "ASSE 1016-2017/ASME A112.1016-2017/CSA B125.16-17 type T", 120.0, ()),
        ("shower", "asse 1016", 121.0, (SET_BEYOND,)),
        ("shower", "ASSE 10160", 104.0, (NO_STANDARD,)),
        ("shower", "ASSE 1017", 104.0, (OTHER_FIXTURE,)),
        ("shower", "ASSE 1070", 104.0, (OTHER_FIXTURE,)),
        ("shower", "ASSE 1066", 104.0, (OTHER_FIXTURE,)),
        ("shower", "ASSE 1069", 115.0, ()),
        ("shower", "ASSE 1069", 116.0, (SET_BEYOND,)),
        ("shower", "ASSE 1069, ASSE 1016", 118.0, ()),  # beyond the first of its standards, within the second
        ("lavatory", "ASSE 1016", 104.0, (OTHER_FIXTURE,)),
        ("lavatory", "ASSE 1016 and ASSE 1070", 104.0, ()),
        ("tub", "CSA B125.70", 120.0, ()),
        ("rinse bay", "ASSE 1017", 130.0, ()),
        ("lavatory", "a brass valve from the shed", 104.0, (NO_STANDARD,)),
        ("shower", "EN 1111:2017", 104.0, ()),
        ("shower", "BS EN 1287", 113.5, (SET_BEYOND,)),
    ],
)
def test_what_a_standard_speaks_for(kind: str, standard: str, setting_f: float, why: tuple[str, ...]) -> None:
    place = fixture(kind, standard, setting_f)
    assert place.mixing_valve
    assert unlisted(place, place.mixing_valve, LIMITS) == why
    assert guarded(place, kelvin(setting_f), LIMITS) is not bool(why)


@pytest.fixture(scope="module")
def demo() -> Inputs:
    return read_handbook(DATA)


@pytest.mark.parametrize(("site_id", "counts"), [("seedling-house", True), ("packing-house", False)])
def test_a_standard_of_elsewhere_counts_where_no_plumbing_code_is_held(
    demo: Inputs, site_id: str, counts: bool
) -> None:
    """EN 1111 is no standard of United States plumbing codes (from memory)."""
    place = next(one for one in demo.sites if one.id == site_id)
    code = plumbing_at(place, demo).limits
    assert guarded(fixture("lavatory", "EN 1111"), kelvin(110.0), code) is counts
    assert guarded(fixture("lavatory", "ASSE 1070"), kelvin(110.0), code)


@pytest.mark.parametrize(("standard", "severity"), [("ASSE 1016", "attention"), ("ASSE 1017", "stop"), ("?", "stop")])
def test_a_valve_that_no_standard_speaks_for_leaves_the_water_unguarded(standard: str, severity: str) -> None:
    found = judge(FLAT_HOT, fixture("shower", standard))
    assert found.severity == severity
    assert ("suited" in found.lists and bool(rows(found, "suited"))) == (severity == "stop")


@pytest.mark.parametrize(("changes", "case"), [({}, "suits"), ({"standard": "ASSE 1017"}, "unlisted")])
def test_a_valve_of_another_standard_is_told(changes: dict[str, Any], case: str) -> None:
    """9.6 kW in 2.5 gpm from 68 degF is 94 degF: a valve set to 105 degF stays open."""
    shower = tap(2.5, 105.0, mixing_valve=valve(105.0, **changes)).model_copy(update={"kind": "shower"})
    found = mixing_valve(at_work(with_fixtures(site("packing-house"), shower)), TERMS)
    assert (found.case, found.severity) == (case, "ok" if case == "suits" else "attention")
    if case == "unlisted":
        assert codes(found, "troubles") == [OTHER_FIXTURE]
        assert "ASSE 1016/ASME A112.1016/CSA B125.16 type T or T/P (tap)" in said(found, "do")


@pytest.mark.parametrize(("gpm", "short"), [(0.5, False), (0.49, True)])
def test_a_valve_still_to_be_fitted_needs_its_least_flow_too(gpm: float, short: bool) -> None:
    """0.5 gpm: common practice, no source; a heater that turns on at 0.40 gpm with hot water at 120 degF in it."""
    basin = tap(gpm, 112.0).model_copy(update={"kind": "public lavatory", "limit_k": kelvin(112.0)})
    at = at_work(with_fixtures(site("packing-house"), basin))
    (duty,) = duties(at, TERMS)
    assert (LEAST_FLOW in obstacles(at, basin, duty)) is short
    assert NO_PRESSURE not in obstacles(at, basin, duty)
    found = mixing_valve(at, TERMS)
    assert ((MORE_FLOW in codes(found, "ways")) if "ways" in found.lists else False) is short
    if short:
        assert values(found)["least_flow"] == pytest.approx(0.5 * GPM)
        assert "a valve listed for it" in said(found, "do")
