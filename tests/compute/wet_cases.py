"""Heaters and sites for the tests of the wet side: the demo's own, and variants of them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.operating_point import operating as operating_of
from generator.compute.flow.waterway import Waterway
from generator.compute.flow.waterway import waterway as waterway_of
from generator.compute.heat.stages import stage_powers_w
from generator.compute.plumbing import Plumbing
from generator.model.heater import HeaterModel, Stage
from generator.model.site import Fixture, MixingValve, Site
from generator.model.site_water import PressureRange, StatedRun
from generator.model.tables.pipes import Dimensions, Pipes
from generator.model.tables.plumbing import PlumbingRules
from generator.model.tables.tolerances import Tolerances
from generator.model.tables.usual import Usual
from generator.read.tables.burns import read_burns
from generator.read.tables.pipes import read_pipes
from generator.read.tables.plumbing import read_plumbing
from tests.compute.circuit_cases import plain
from tests.frozen import DATA

GPM, PSI, FOOT = 3.785411784e-3 / 60.0, 6894.757293168361, 0.3048


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8 + 273.15


def fahrenheit(temperature_k: Any) -> float:
    return (float(temperature_k) - 273.15) * 1.8 + 32.0


@cache
def model(name: str) -> HeaterModel:
    return HeaterModel.model_validate(plain(DATA / "models" / f"{name}.yaml"))


@cache
def four_stage() -> HeaterModel:
    """The demo's Beck 9 with stages that stay put: 2.4 kW each, closing at 0.40, 0.55, 0.70 and 0.90 gpm."""
    flows = ((0.40, 0.32), (0.55, 0.46), (0.70, 0.60), (0.90, 0.78))
    stages = tuple(Stage(share=0.25, closes_at_m3_s=up * GPM, opens_at_m3_s=down * GPM) for up, down in flows)
    return model("beck-9").model_copy(update={"stages": stages})


@cache
def site(name: str) -> Site:
    return Site.model_validate(plain(DATA / "sites" / f"{name}.yaml"))


def _pipes() -> Pipes:
    found = read_pipes(DATA / "pipes", DATA.parent).pipes
    assert found is not None
    return found


PIPES = _pipes()
BURNS = burns.tables if (burns := read_burns(DATA, DATA.parent).value) else ()
TOLERANCES = Tolerances.model_validate(plain(DATA / "tolerances.yaml"))
USUAL = Usual.model_validate(plain(DATA / "usual.yaml"))
SIZES: dict[str, dict[str, Dimensions]] = {
    material: {size: PIPES.dimensions(material, size) for size in PIPES.sizes[material].rows}
    for material in PIPES.materials
}


def waterway(place: Site, heater: HeaterModel, water_k: float) -> Waterway:
    """The waterway with the demo's tables of pipes."""
    return waterway_of(place, heater, water_k, pipes=PIPES)


def _rules() -> PlumbingRules:
    found = read_plumbing(DATA / "plumbing", DATA.parent)[0]["us"].value
    assert found is not None
    return found


RULES = _rules()
LIMITS = RULES.limits


def operating(place: Site, heater: HeaterModel, way: Waterway, *, held: bool = True) -> Operating:
    """The site at work, held to the demo's plumbing limits; `held`: they are those of a basis of its own."""
    return operating_of(place, heater, way, plumbing=Plumbing(LIMITS, held))


def at_work(place: Site) -> Operating:
    """The site at work with its own heater and water of 284 K."""
    heater = model(place.heater)
    return operating(place, heater, waterway(place, heater, 284.0))


MODELS = tuple(sorted(path.stem for path in (DATA / "models").glob("*.yaml")))
SITES = tuple(sorted(path.stem for path in (DATA / "sites").glob("*.yaml")))


def all_models() -> tuple[HeaterModel, ...]:
    return tuple(model(name) for name in MODELS)


def no_drop(place: Site) -> Callable[[HeaterModel], tuple[float, ...]]:
    """What a circuit without voltage drop brings each model at a site, by stage [W]."""
    return lambda heater: stage_powers_w(heater, place.supply.voltage_v, place.supply.phases)


def with_water(base: Site, **changes: Any) -> Site:
    """The site with other values in its water, such as `static_pressure`."""
    return base.model_copy(update={"water": base.water.model_copy(update=changes)})


def steady(psi: float) -> PressureRange:
    """A supply whose static pressure does not move."""
    return PressureRange.model_validate(psi * PSI)


def valve(setting_f: float = 95.0, **changes: Any) -> MixingValve:
    """A thermostatic mixing valve, marked for showers and for sinks."""
    given = {"standard": "ASSE 1016 and ASSE 1070", "type": "thermostatic", "setting_k": kelvin(setting_f), **changes}
    return MixingValve(**given)


def with_fixtures(base: Site, *fixtures: Fixture) -> Site:
    return base.model_copy(update={"fixtures": fixtures})


def run(material: str, size: str, feet: float, rise_feet: float = 0.0, **fittings: int) -> StatedRun:
    """A run of pipe; fittings by their names with underscores, such as elbow_90=2."""
    counts = {kind.replace("_", "-"): count for kind, count in fittings.items()}
    return StatedRun(material=material, size=size, length_m=feet * FOOT, rise_m=rise_feet * FOOT, fittings=counts)
