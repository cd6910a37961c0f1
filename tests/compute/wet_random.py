"""Random sites and models for the property tests of the wet side, within what the inputs allow."""

from __future__ import annotations

import random
from collections.abc import Callable

from hypothesis import given, settings
from hypothesis import strategies as st

from generator.model.heater import HeadLoss, HeaterModel, Stage
from generator.model.site import Fixture, Site
from generator.model.site_water import Device, FlowTest, Inlet, PressureRange, StatedRun
from tests.compute.wet_cases import FOOT, GPM, PIPES, PSI, SIZES, kelvin, model, site, steady, valve, with_water

A_DROP_M3_S = 1e-9  # a drop a minute: no flow that anyone states, sets or reads is less


def by_chance(test: Callable[..., None]) -> Callable[..., None]:
    """Run a test 200 times, with `chance` drawn so that what fails shrinks to the simplest that still does."""
    return settings(max_examples=200)(given(chance=st.randoms(use_true_random=False))(test))


def random_run(chance: random.Random) -> StatedRun:
    material = chance.choice(sorted(SIZES))
    size = chance.choice(sorted(SIZES[material])[:6])
    kinds = chance.sample(sorted(PIPES.fitting_kinds), chance.randint(0, 4))
    return StatedRun(
        material=material,
        size=size,
        length_m=chance.uniform(0.0, 150.0) * FOOT,
        rise_m=chance.uniform(-15.0, 25.0) * FOOT,
        fittings={kind: chance.randint(0, 4) for kind in kinds},
    )


def random_device(chance: random.Random, *, hot: bool) -> Device:
    kinds = ("meter", "softener", "filter", "hose") + ("backflow preventer", "regulator") * (not hot)
    kind = chance.choice(kinds)
    least = chance.uniform(20.0, 90.0) * PSI
    outlet = {"least": least, "greatest": least + chance.choice((0.0, 15.0)) * PSI}
    return Device(
        name=f"a {kind}",
        kind=kind,
        loss_pa=chance.uniform(0.0, 15.0) * PSI,
        flow_m3_s=chance.uniform(1.0, 15.0) * GPM,
        outlet=PressureRange.model_validate(outlet) if kind == "regulator" else None,
    )


def with_devices(chance: random.Random, base: Site) -> Site:
    """The site with devices in some of its runs, and sometimes a supply that moves or was tested as water ran."""

    def fitted(runs: tuple[StatedRun, ...], hot: bool) -> tuple[StatedRun, ...]:
        counts = [chance.choice((0, 0, 1, 2)) for _ in runs]
        return tuple(
            one.model_copy(update={"devices": tuple(random_device(chance, hot=hot) for _ in range(count))})
            for one, count in zip(runs, counts, strict=True)
        )

    least_pa, residual = base.water.static_pressure.least_pa, chance.uniform(0.4, 1.0)
    greatest_pa = least_pa * chance.choice((1.0, 1.0, 1.3))
    tested = {"static": least_pa, "residual": residual * least_pa, "flow": chance.uniform(1.0, 20.0) * GPM}
    test = FlowTest(**tested, document="a test", date="2026-05-04")
    return with_water(
        base,
        static_pressure=PressureRange.model_validate({"least": least_pa, "greatest": greatest_pa}),
        flow_test=test if chance.random() < 0.4 else None,
        cold_run=fitted(base.water.cold_run, hot=False),
        hot_run=fitted(base.water.hot_run, hot=True),
    )


def random_runs(chance: random.Random) -> tuple[StatedRun, ...]:
    return tuple(random_run(chance) for _ in range(chance.randint(1, 3)))


def random_fixture(chance: random.Random) -> Fixture:
    target = chance.uniform(80.0, 125.0)
    return Fixture(
        name="tap",
        kind=chance.choice(
            ("lavatory", "public lavatory", "kitchen sink", "service sink", "shower", "tub", "rinse bay")
        ),
        flow_m3_s=chance.uniform(0.2, 4.0) * GPM,
        target_k=kelvin(target),
        limit_k=kelvin(target + chance.uniform(0.0, 30.0)),
        at_once=chance.randint(0, 3),
        mixing_valve=valve(min(target, 100.0)) if chance.random() < 0.4 else None,
    )


def random_site(chance: random.Random) -> Site:
    """A site with random water and fixtures on the supply of one of the demo's."""
    base = site(chance.choice(("bunkhouse", "creamery", "potting-shed")))
    winter = chance.uniform(33.0, 70.0)
    changed = with_water(
        base,
        static_pressure=steady(chance.uniform(5.0, 170.0)),
        inlet=Inlet(winter_k=kelvin(winter), summer_k=kelvin(winter + chance.uniform(0.0, 25.0))),
        cold_run=random_runs(chance),
        hot_run=random_runs(chance),
        screen_open=chance.uniform(0.1, 1.0),
        check_valve=chance.random() < 0.3,
        hardness_kg_m3=chance.choice((None, chance.uniform(0.0, 0.4))),
        altitude_m=chance.uniform(-100.0, 3000.0),
    )
    fixtures = tuple(random_fixture(chance) for _ in range(chance.randint(1, 3)))
    selected = chance.choice((None, 1, 2, 3))
    return changed.model_copy(update={"fixtures": fixtures, "selected_stage": selected})


def random_model(chance: random.Random, base: str) -> HeaterModel:
    """A heater like one of the demo's, with other stages, loss curve and working pressure."""
    original, count = model(base), chance.randint(1, 5)
    closes = sorted(chance.uniform(0.2, 2.5) for _ in range(count))
    stages = tuple(
        Stage(share=1.0 / count, closes_at_m3_s=gpm * GPM, opens_at_m3_s=gpm * chance.uniform(0.6, 0.95) * GPM)
        for gpm in closes
    )
    flows = sorted(chance.sample(range(1, 40), chance.randint(1, 4)))
    losses = sorted(chance.uniform(0.05, 40.0) for _ in flows)
    curve = tuple(HeadLoss(flow_m3_s=0.1 * f * GPM, loss_pa=loss * PSI) for f, loss in zip(flows, losses, strict=True))
    least = chance.uniform(5.0, 40.0)
    pressure = original.water.working_pressure.model_copy(
        update={"least_pa": least * PSI, "greatest_pa": (least + chance.uniform(20.0, 120.0)) * PSI}
    )
    water = original.water.model_copy(update={"head_loss": curve, "working_pressure": pressure})
    selector = chance.random() < 0.5
    return original.model_copy(update={"stages": stages, "water": water, "stage_selector": selector})
