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
from generator.compute.circuit.load_figures import OHM
from generator.compute.circuit.values import amps, text
from generator.compute.sources import NAMEPLATE
from generator.errors import CannotCompute
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.said import say
from generator.model.tables.codes import CodeBasis

LIMITS = "appliance_limits"  # the table of the basis


@dataclass(frozen=True, slots=True)
class PartLimits:
    """Greatest load [A] and device [A] of one part, with the rule that sets them."""

    load_a: float
    device_a: float
    rule: str


@dataclass(frozen=True, slots=True)
class HeaterPart:
    """One part of a subdivided heater: name, current [A] as rated, and the device [A] built in ahead of it, if any."""

    name: str
    current_a: float
    factory_device_a: float | None


def whole_to_a(basis: CodeBasis) -> float:
    """Return the greatest load [A] of a heater that is not subdivided, 422.11(F)(1): that of a small part."""
    return basis.tables[LIMITS].cell("small-parts", "load")


def part_limits(load: Load, basis: CodeBasis) -> PartLimits | None:
    """Return what each part may be, or None for a heater that need not be subdivided."""
    if load.heater_current_a <= whole_to_a(basis) + 1e-9:
        return None
    row, table = "large-parts" if load.to_120_a else "small-parts", basis.tables[LIMITS]
    return PartLimits(table.cell(row, "load"), table.cell(row, "device"), row)


def heater_parts(load: Load) -> tuple[HeaterPart, ...]:
    """Return the parts of one feed: one for each built-in device, or the feed itself."""
    volts = load.connection.rating.voltage_v
    built_in = [
        HeaterPart(
            say("stages-of-part", stages=", ".join(map(str, protection.stages))),
            deliver(
                [load.all_stages[n - 1] for n in protection.stages], load.connection, conductor_ohm=0.0, supply_v=volts
            ).current_a,
            protection.device_a,
        )
        for protection in load.feed.factory_protection
    ]
    return tuple(built_in) or (HeaterPart(say("feed-as-part", feed=load.name), load.rated_current_a, None),)


def part_limit_a(load: Load, basis: CodeBasis) -> float:
    """Return the greatest branch-circuit device [A] that 422.11(F) allows this feed; infinite where it sets none."""
    found = part_limits(load, basis)
    return math.inf if found is None or load.feed.factory_protection else found.device_a


def parts_table(load: Load, basis: CodeBasis) -> tuple[FigureTable, ...]:
    """Return the table of parts and their limits, for a heater above 48 A."""
    found = part_limits(load, basis)
    if found is None:
        return ()
    source = basis.rules.source_of(found.rule)
    columns = tuple(
        text(say("column"), head)
        for head in (
            say("part-load-head"),
            say("greatest-load-head"),
            say("built-in-head"),
            say("greatest-device-head"),
        )
    )
    rows = tuple(
        _row(f"{load.id}.subdivision.{index}", part, found, source=source)
        for index, part in enumerate(heater_parts(load), 1)
    )
    return (
        FigureTable(
            f"{load.id}.subdivision", say("subdivided", feed=load.name), say("part-head"), columns, rows, source
        ),
    )


def _row(row: str, part: HeaterPart, found: PartLimits, *, source: str) -> tuple[Value, tuple[Figure, ...]]:
    current, limit = amps("I_part", part.current_a, "at_least"), amps("I_limit", found.load_a)
    device_limit = amps("I_device", found.device_a)
    part_load = Step(say("part-as-rated"), (text(say("part-head"), part.name),), current, OHM)
    most = Step("I_part ≤ I_limit", (current,), limit, source)
    device_most = Step("I_n ≤ I_device", (), device_limit, source)
    return text(say("part-head"), part.name), (
        Figure(f"{row}.load", say("part-load"), part.current_a, "current", "at_least", (part_load,)),
        Figure(f"{row}.greatest-load", say("part-greatest-load"), found.load_a, "current", "at_most", (most,)),
        _built_in(f"{row}.device", part.factory_device_a),
        Figure(
            f"{row}.greatest-device", say("part-greatest-device"), found.device_a, "current", "at_most", (device_most,)
        ),
    )


def _built_in(id_: str, device_a: float | None) -> Figure:
    label = say("device-built-in")
    if device_a is None:
        reason = say("by-branch-device")
        return Figure(id_, label, None, "current", state="none", reason=reason)
    step = Step(say("as-built-in"), (), amps("I_n", device_a), NAMEPLATE)
    return Figure(id_, label, device_a, "current", steps=(step,))


def uncovered_share(load: Load) -> float:
    """Return the share of the feed's power that none of its built-in devices protects; 0 where it has none."""
    if not load.feed.factory_protection:
        return 0.0
    covered = {number for protection in load.feed.factory_protection for number in protection.stages}
    return math.fsum(load.all_stages[n - 1].share for n in load.feed.stages if n not in covered)


def require_subdivision(load: Load, basis: CodeBasis) -> None:
    """Refuse, with CannotCompute, elements above 48 A that are not subdivided as 422.11(F) asks."""
    found = part_limits(load, basis)
    if found is None:
        return
    for number, part in enumerate(heater_parts(load), 1):
        built_in_a = part.factory_device_a
        too_large = built_in_a is not None and built_in_a > found.device_a
        if part.current_a > found.load_a * (1.0 + 1e-9) or too_large:
            whole_a = whole_to_a(basis)
            wrong = (
                f"the heater is above {whole_a:g} A and part {number} of feed {load.name} takes {part.current_a:.1f} A"
            )
            clause = basis.rules.clause_of("element-subdivision")
            expected = f"parts of at most {found.load_a:g} A behind {found.device_a:g} A or less, as {clause} asks"
            raise CannotCompute(load.where, wrong, expected)
    if uncovered_share(load) > 1e-9:
        wrong = f"the heater is above {whole_to_a(basis):g} A and some stages of this feed have no built-in device"
        raise CannotCompute((*load.where, "factory_protection"), wrong, "a device for every stage of the feed")
