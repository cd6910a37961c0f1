"""What cannot be true of a listed heater's data: refused where the model states it."""

from __future__ import annotations

from generator.compute.circuit.load import Load
from generator.compute.circuit.us.circuit import Circuit
from generator.compute.circuit.us.subdivision import limits, parts, uncovered_share
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis


def require_sound_model(circuit: Circuit) -> None:
    """Refuse elements above 48 A that are not subdivided as 422.11(F) asks, and a marked maximum below the load."""
    load = circuit.load
    _require_subdivision(load, circuit.basis)
    marked_a = load.feed.maximum_device_a
    if marked_a is not None and marked_a < load.rated_current_a * (1.0 - 1e-9):
        wrong = f"the greatest device, {marked_a:g} A, is below the feed's own current, {load.rated_current_a:.1f} A"
        raise CannotCompute((*load.where, "maximum_device"), wrong, "the maximum as the nameplate marks it")


def _require_subdivision(load: Load, basis: CodeBasis) -> None:
    found = limits(load)
    if found is None:
        return
    for part in parts(load):
        if part.current_a > found.load_a * (1.0 + 1e-9) or (part.factory_device_a or 0.0) > found.device_a:
            wrong = f"the heater is above 48 A and {part.name} takes {part.current_a:.1f} A"
            most = f"parts of at most {found.load_a:g} A behind {found.device_a:g} A or less"
            expected = f"{most}, as {basis.rules.clause_of('element-subdivision')} asks"
            raise CannotCompute(load.where, wrong, expected)
    if uncovered_share(load) > 1e-9:
        wrong = "the heater is above 48 A and some stages of this feed have no built-in device"
        raise CannotCompute((*load.where, "factory_protection"), wrong, "a device for every stage of the feed")
