"""Which tests of a visit did not pass, and which a commissioning lacks: each row of the record against its reading.

Volts, amps, rises and the flows at which stages switch are judged together by what explains them, not one by one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import chain

from generator.model.readings import CircuitTests, FullLoadTest, Reading, ValveTest
from generator.model.records import Expected

Read = Callable[[Reading, Expected], float | None]
# A reading as near to a limit as this is at it: two texts of one quantity are not one float.
SAME = 1e-6


def _circuit(read: Callable[[CircuitTests], float | bool | None]) -> Read:
    """Return how a test is read of the circuit of the feed that the row names."""

    def of(reading: Reading, row: Expected) -> float | None:
        found = (one for one in reading.circuits if one.feed == row.named("feed"))
        return next((None if (value := read(one)) is None else float(value) for one in found), None)

    return of


def _fall(one: FullLoadTest, row: Expected, *, along: bool) -> float | None:
    """Return how far the volts of a pair fall [V]; `along`: by the panel alone, else from no load where it lacks."""
    pair = row.named("pair")
    start = one.panel if one.panel or along else one.no_load
    ends = [found for volts in (start, one.full_load) for key, found in volts.items() if key == pair]
    return ends[0] - ends[1] if len(ends) == 2 else None


def _volts(*, along: bool) -> Read:
    def of(reading: Reading, row: Expected) -> float | None:
        found = (one.volts for one in reading.circuits if one.feed == row.named("feed") and one.volts)
        return next((_fall(one, row, along=along) for one in found), None)

    return of


def _interrupting(one: CircuitTests) -> float | None:
    """Return what the device can interrupt over what a fault at the panel draws."""
    if one.interrupting_a is None or one.fault_current_a is None:
        return None
    return one.interrupting_a / one.fault_current_a


def _handed_over(reading: Reading) -> float | None:
    done = reading.handed_over
    return None if done is None else float(done.users_shown and done.card_fixed and done.labels_fixed)


def _valve(read: Callable[[ValveTest], float | bool]) -> Read:
    def of(reading: Reading, row: Expected) -> float | None:
        return next((float(read(one)) for one in reading.valves if one.fixture == row.named("fixture")), None)

    return of


def _is_marked(text: str | None, row: Expected) -> float | None:
    """Return whether a plate says what the row expects, capitals and spaces aside."""
    if text is None:
        return None
    return float(_plain(text) in map(_plain, row.marked))


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _kind(reading: Reading, row: Expected) -> float | None:
    """Return whether the device against residual current of the row's feed is of a kind that suits."""
    own = (one.residual_current for one in reading.circuits if one.feed == row.named("feed") and one.residual_current)
    return next((_is_marked(one.kind, row) for one in own), None)


def _standard(reading: Reading, row: Expected) -> float | None:
    """Return whether the valve at the row's fixture is marked with the standard that is stated of it."""
    own = (one.standard for one in reading.valves if one.fixture == row.named("fixture"))
    return next((_is_marked(one, row) for one in own), None)


# By item: how its reading is found; None where nobody took it.
READ: Mapping[str, Read] = {
    "purge": lambda reading, _: reading.purge.after_last_air_s if reading.purge else None,
    "leak-pressure": lambda reading, _: reading.leak.pressure_pa if reading.leak else None,
    "leak": lambda reading, _: reading.leak.time_s if reading.leak else None,
    "leak-drop": lambda reading, _: reading.leak.drop_pa if reading.leak else None,
    "device": _circuit(lambda one: one.device_a),
    "interrupting": _circuit(_interrupting),
    "ground-continuity": _circuit(lambda one: one.ground_continuity_ohm),
    "insulation": _circuit(lambda one: one.insulation.least_ohm if one.insulation else None),
    "insulation-volts": _circuit(lambda one: one.insulation.volts if one.insulation else None),
    "polarity": _circuit(lambda one: one.polarity),
    "phase-sequence": _circuit(lambda one: one.phase_sequence),
    "torque": _circuit(lambda one: one.torque_n_m),
    "residual-current-kind": _kind,
    "residual-current-rated": _circuit(lambda one: one.residual_current.rated_a if one.residual_current else None),
    "residual-current": _circuit(lambda one: one.residual_current.trips_s if one.residual_current else None),
    "residual-current-5": _circuit(lambda one: one.residual_current.trips_at_5_s if one.residual_current else None),
    "residual-current-button": _circuit(lambda one: one.residual_current.button if one.residual_current else None),
    "loop": _circuit(lambda one: one.loop_ohm),
    "no-flow": _circuit(lambda one: one.no_flow_a),
    "volts-full-load": _volts(along=False),
    "volts-circuit": _volts(along=True),
    "valve-standard": _standard,
    "valve-setting": _valve(lambda one: one.setting_k),
    "valve-least-flow": _valve(lambda one: one.least_flow_k),
    "valve-full-flow": _valve(lambda one: one.full_flow_k),
    "valve-shuts-off": _valve(lambda one: one.shuts_off),
    "handed-over": lambda reading, _: _handed_over(reading),
}
# What is judged together with other readings, and only asked for here.
READINGS, HOTTEST = "readings", "hottest"
TESTS = ("not-fit", READINGS, HOTTEST, *READ)


def failed(reading: Reading, rows: Iterable[Expected]) -> tuple[str, ...]:
    """Return the tests that were made and did not pass, by item."""
    found = (row.item for row in rows if row.item in READ and not _passes(row, reading))
    own = () if reading.result == "fit for use" else ("not-fit",)
    return tuple(dict.fromkeys(chain(own, found)))


def missing(reading: Reading, rows: Iterable[Expected], in_use: int) -> tuple[str, ...]:
    """Return what a commissioning asks for and nobody did; `in_use`: the stages in use."""
    rows = tuple(rows)
    asked = (row for row in rows if row.asked and row.item in READ)
    lacking = [row.item for row in asked if READ[row.item](reading, row) is None]
    whole = any(point.stages == in_use and point.volts and point.amps for point in reading.points)
    lacking += [] if whole else [READINGS]
    if reading.hottest is None and any(row.item == HOTTEST for row in rows):
        lacking.append(HOTTEST)
    return tuple(dict.fromkeys(lacking))


def _passes(row: Expected, reading: Reading) -> bool:
    """Return whether what was read lies between the limits of its row; what nobody took fails nothing.

    A torque may lie from the one marked by the error of the tool that was used, where that is stated.
    """
    value, tool = READ[row.item](reading, row), reading.instruments.torque_tool
    if value is None:
        return True
    slack = SAME * abs(value)
    if row.item == "torque" and tool and row.value:
        return abs(value - float(row.value.value)) <= tool.limit(float(row.value.value)) + slack
    above = row.least is None or value >= float(row.least.value) - slack
    return above and (row.greatest is None or value <= float(row.greatest.value) + slack)
