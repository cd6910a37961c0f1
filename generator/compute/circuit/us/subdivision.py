"""Heaters above 48 A: their elements are subdivided, and each part has its own protection.

422.11(F)(1): parts of at most 48 A, each protected at not more than 60 A, by devices that the maker supplies with
the heater, accessible and suited to protect branch circuits; the conductors that feed them are branch-circuit
conductors. A heater of several feeds has one part a feed, protected in the panel. 422.11(F)(3): a listed instantaneous
heater may have parts of at most 120 A at not more than 150 A.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.compute.circuit.drop.divider import deliver
from generator.compute.circuit.load import Load
from generator.compute.circuit.load_figures import NAMEPLATE, OHM
from generator.compute.circuit.working import amps, text
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, FigureTable, Step, Value

WHOLE_TO_A = 48.0


@dataclass(frozen=True, slots=True)
class Limits:
    """Greatest load [A] and device [A] of one part, with the rule that sets them."""

    load_a: float
    device_a: float
    rule: str


SMALL_PARTS = Limits(48.0, 60.0, "small-parts")
LARGE_PARTS = Limits(120.0, 150.0, "large-parts")


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a subdivided heater: name, current [A] as rated, and the device [A] built in ahead of it, if any."""

    name: str
    current_a: float
    factory_device_a: float | None


def limits(load: Load) -> Limits | None:
    """Return what each part may be, or None for a heater of 48 A or less."""
    if load.heater_current_a <= WHOLE_TO_A + 1e-9:
        return None
    return LARGE_PARTS if load.to_120_a else SMALL_PARTS


def parts(load: Load) -> tuple[Part, ...]:
    """Return the parts of one feed: one for each built-in device, or the feed itself."""
    volts = load.connection.rating.voltage_v
    built_in = [
        Part(
            f"stages {', '.join(map(str, protection.stages))}",
            deliver(
                [load.all_stages[n - 1] for n in protection.stages], load.connection, conductor_ohm=0.0, supply_v=volts
            ).current_a,
            protection.device_a,
        )
        for protection in load.feed.factory_protection
    ]
    return tuple(built_in) or (Part(f"feed {load.name}", load.rated_current_a, None),)


def part_limit_a(load: Load) -> float:
    """Return the greatest branch-circuit device [A] that 422.11(F) allows this feed; infinite where it sets none."""
    found = limits(load)
    return math.inf if found is None or load.feed.factory_protection else found.device_a


def parts_table(load: Load, basis: CodeBasis) -> tuple[FigureTable, ...]:
    """Return the table of parts and their limits, for a heater above 48 A."""
    found = limits(load)
    if found is None:
        return ()
    source = basis.rules.source_of(found.rule)
    columns = tuple(text("column", head) for head in ("load", "greatest load", "device built in", "greatest device"))
    rows = tuple(
        _row(f"{load.id}.subdivision.{index}", part, found, source=source) for index, part in enumerate(parts(load), 1)
    )
    return (
        FigureTable(f"{load.id}.subdivision", f"Subdivided loads, feed {load.name}", "part", columns, rows, source),
    )


def _row(row: str, part: Part, found: Limits, *, source: str) -> tuple[Value, tuple[Figure, ...]]:
    current, limit = amps("I_part", part.current_a, "up"), amps("I_limit", found.load_a)
    device_limit = amps("I_device", found.device_a)
    part_load = Step("I_part = current of the part as rated", (text("part", part.name),), current, OHM)
    most = Step("I_part ≤ I_limit", (current,), limit, source)
    device_most = Step("I_n ≤ I_device", (), device_limit, source)
    return text("part", part.name), (
        Figure(f"{row}.load", "Load", part.current_a, "current", "up", (part_load,)),
        Figure(f"{row}.greatest-load", "Greatest load", found.load_a, "current", "down", (most,)),
        _built_in(f"{row}.device", part.factory_device_a),
        Figure(f"{row}.greatest-device", "Greatest device", found.device_a, "current", "down", (device_most,)),
    )


def _built_in(id_: str, device_a: float | None) -> Figure:
    label = "Device built in"
    if device_a is None:
        reason = "protected by the branch-circuit device"
        return Figure(id_, label, None, "current", state="none", reason=reason)
    step = Step("I_n = device as built in", (), amps("I_n", device_a), NAMEPLATE)
    return Figure(id_, label, device_a, "current", steps=(step,))


def uncovered_share(load: Load) -> float:
    """Return the share of the feed's power that none of its built-in devices protects; 0 where it has none."""
    if not load.feed.factory_protection:
        return 0.0
    covered = {number for protection in load.feed.factory_protection for number in protection.stages}
    return math.fsum(load.all_stages[n - 1].share for n in load.feed.stages if n not in covered)


def require_subdivision(load: Load, basis: CodeBasis) -> None:
    """Refuse, with CannotCompute, elements above 48 A that are not subdivided as 422.11(F) asks."""
    found = limits(load)
    if found is None:
        return
    for part in parts(load):
        built_in_a = part.factory_device_a
        too_large = built_in_a is not None and built_in_a > found.device_a
        if part.current_a > found.load_a * (1.0 + 1e-9) or too_large:
            wrong = f"the heater is above 48 A and {part.name} takes {part.current_a:.1f} A"
            most = f"parts of at most {found.load_a:g} A behind {found.device_a:g} A or less"
            expected = f"{most}, as {basis.rules.clause_of('element-subdivision')} asks"
            raise CannotCompute(load.where, wrong, expected)
    if uncovered_share(load) > 1e-9:
        wrong = "the heater is above 48 A and some stages of this feed have no built-in device"
        raise CannotCompute((*load.where, "factory_protection"), wrong, "a device for every stage of the feed")
