"""Volumes of pipe against a published table, waits by hand."""

import math
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from generator.compute.flow.pipes.run import pipe_runs
from generator.compute.use.delivery import delivery, delivery_figures, delivery_finding
from generator.model.said import because
from generator.si import GALLON_M3
from tests.compute.wet_cases import (
    GPM,
    PIPES,
    at_work,
    four_stage,
    operating,
    run,
    site,
    waterway,
    with_fixtures,
    with_water,
)

PUBLISHED = yaml.safe_load((Path(__file__).parents[1] / "sources/water/delivery.yaml").read_text())
VOLUMES = [(m, s, ounces) for m, sizes in PUBLISHED["ounces_per_foot"].items() for s, ounces in sizes.items()]


@pytest.mark.parametrize(("material", "size", "ounces"), VOLUMES)
def test_water_held_by_a_foot_of_pipe(material: str, size: str, ounces: float) -> None:
    (foot,) = pipe_runs((run(material, size, 1.0),), "hot", PIPES)
    assert foot.volume_m3 / GALLON_M3 * 128.0 == pytest.approx(ounces, rel=0.01)


def test_wait_by_hand() -> None:
    """18 ft of 1/2 in PEX (0.475 in inside) and 0.12 gal of heater at 1.5 gpm: 0.1658 + 0.12 gal, 11.4 s."""
    place = with_water(site("bunkhouse"), hot_run=(run("pex", "1/2 in", 18.0),))
    found = delivery(at_work(place))
    assert found is not None
    gallons = math.pi / 4.0 * 0.475**2 * 18.0 * 12.0 / 231.0 + 0.12
    assert found.dwell_m3 == pytest.approx(gallons * 3.785411784e-3)
    assert found.wait_s == pytest.approx(gallons / place.fixtures[0].flow_m3_s * GPM * 60.0)


def test_further_pipe_adds_what_it_is_told_to_add() -> None:
    short, long = (with_water(site("bunkhouse"), hot_run=(run("pex", "1/2 in", feet),)) for feet in (18.0, 28.0))
    before, after = (delivery(at_work(place)) for place in (short, long))
    assert before is not None
    assert after is not None
    assert after.wait_s - before.wait_s == pytest.approx(before.further_s)


@pytest.mark.parametrize(("feet", "severity"), [(41.0, "ok"), (42.5, "attention")])
def test_half_a_gallon_in_the_hot_run_is_the_most(feet: float, severity: str) -> None:
    """64 fl oz at 1.55 fl oz a foot of 1/2 in type L is 41.3 ft."""
    place = with_water(site("packing-house"), hot_run=(run("copper-l", "1/2 in", feet),))
    assert delivery_finding(at_work(place)).severity == severity


@pytest.mark.parametrize(("feet", "severity"), [(2.0, "ok"), (2.1, "attention")])
def test_two_ounces_to_a_public_lavatory(feet: float, severity: str) -> None:
    """2 fl oz at 0.97 fl oz a foot of 3/8 in type L is 2.06 ft."""
    place = with_water(site("farm-stand"), hot_run=(run("copper-l", "3/8 in", feet),))
    assert delivery_finding(at_work(place)).severity == severity


def test_no_flow_has_no_wait() -> None:
    uphill = with_water(site("packing-house"), cold_run=(run("pex", "1 in", 300, 290.0),))
    at = at_work(uphill)
    assert [figure.state for figure in delivery_figures("site.x.water", at)] == ["none", "none"]
    found = delivery_finding(at)
    assert found.severity == "attention"
    assert {value.symbol: value.value for value in found.values} == {"flow": 0.0, "off": "no-water"}


@pytest.mark.parametrize(("gpm", "hot"), [(0.39, False), (0.40, True)])
def test_a_tap_that_turns_no_stage_on_never_gets_hot_water(gpm: float, hot: bool) -> None:
    """The heater's first stage turns on at 0.40 gpm; another tap that gets hot water does not help this one."""
    base = site("packing-house")
    slow, quick = (base.fixtures[0].model_copy(update={"flow_m3_s": q * GPM}) for q in (gpm, 1.4))
    place, heater = with_fixtures(base, slow, quick), four_stage()
    at = operating(place, heater, waterway(place, heater, 284.0))
    assert at.closed
    assert (delivery(at) is not None) is hot
    wait = delivery_figures("site.x.water", at)[1]
    assert (wait.value is not None, wait.reason == because("not-on")) == (hot, not hot)
    assert delivery_finding(at).severity == ("ok" if hot else "attention")


def test_a_hot_run_of_just_the_most_is_short_enough() -> None:
    """IECC C404.5.1 reads "not more than" (from memory)."""
    at = at_work(site("packing-house"))
    held = at.plumbing.limits.hot_run.model_copy(update={"other_m3": sum(one.volume_m3 for one in at.way.hot)})
    for share, severity in ((1.0, "ok"), (1.0 - 1e-9, "attention")):
        limit = held.model_copy(update={"other_m3": held.other_m3 * share})
        limits = at.plumbing.limits.model_copy(update={"hot_run": limit})
        assert delivery_finding(replace(at, plumbing=replace(at.plumbing, limits=limits))).severity == severity
