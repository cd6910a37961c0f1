"""The readings of a visit as ratios to what was predicted, with what each can be wrong by.

Power by flow and rise, rho(T_in) Q (h(T_out) - h(T_in)), and each current, over what the nameplate predicts for the
stages that were on at the volts that were read (the stated supply after the drop of its circuit where nobody read
them). Half of the variance of an instrument is taken as common to its readings and half as each reading's own, since
makers state one limit for both: a limit a is a standard uncertainty of a / sqrt(3) in all (JCGM 100:2008, 4.3.7), a
step d one of d / sqrt(12) (F.2.2.1).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.drop.divider import PAIRS, Delivered, deliver
from generator.compute.heat import balance
from generator.compute.record.doubts import is_sound
from generator.model.heater import Stage
from generator.model.instruments import Instrument
from generator.model.readings import Point, Reading
from generator.model.results import LINES

BOTH, STEP = math.sqrt(6.0), math.sqrt(12.0)
STEADY = (
    0.003  # a ratio is known no better than a tap holds its flow and a supply its volts; common practice, no source
)
SMALL = 1e-3  # a line that carries less of its feed's greatest current carries none


@dataclass(frozen=True, slots=True)
class Observation:
    """One reading over what was predicted for it.

    `ratio`: read over predicted; `own`: its standard uncertainty; `across`: by feed and by pair of lines (L1-L2, L2-L3,
    L3-L1; one across two lines as the first) what part of the heater's conductance each stage has there, 0 while it is
    not on; `feeds`: their names; `around`: the same by pair of all feeds together, read or not; `line`: 0 for L1, of a
    current; `per_kelvin`: what an error of the rise of 1 K adds to a ratio of heat.
    """

    kind: Literal["heat", "amps"]
    place: int
    ratio: float
    own: float
    across: tuple[tuple[tuple[float, ...], ...], ...]
    feeds: tuple[str, ...]
    around: tuple[tuple[float, ...], ...]
    line: int | None = None
    per_kelvin: float = 0.0


@dataclass(frozen=True, slots=True)
class Shared:
    """Standard uncertainties that the readings of a visit share: of volts, flow and amps as ratios, of the rise [K].

    `volts`: mean and standard uncertainty of the true voltage over the one predicted with; `read`: whether it was read.
    """

    volts: tuple[float, float]
    flow: float
    rise_k: float
    amps: float
    read: bool


def own_error(instrument: Instrument | None, reading: float) -> float:
    """Return the standard uncertainty [SI] of a reading that it has for itself."""
    return math.hypot(instrument.limit(reading) / BOTH, instrument.reads_to / STEP) if instrument else 0.0


def shared_error(instrument: Instrument | None, reading: float) -> float:
    """Return the standard uncertainty [SI] that a reading shares with the others of its instrument."""
    return instrument.limit(reading) / BOTH if instrument else 0.0


def volts_of(point: Point, reading: Reading) -> float | None:
    """Return the volts of a point [V], the mean of its pairs; those of the visit where it has none, None without."""
    own = list(point.volts.values())
    every = own or [volts for one in reading.points for volts in one.volts.values()]
    return math.fsum(every) / len(every) if every else None


def flow_errors(point: Point, reading: Reading) -> tuple[float, float]:
    """Return the standard uncertainty of a flow as a part of it: its own, and the one that it shares.

    Of volume over time, their relative uncertainties add in squares (JCGM 100:2008, 5.1.6).
    """
    tools, flow = reading.instruments, point.read_flow_m3_s
    if not point.by_bucket:
        return own_error(tools.flow_meter, flow) / flow, shared_error(tools.flow_meter, flow) / flow
    volume, time = point.volume_m3 or flow, point.time_s or 1.0
    parts = ((tools.bucket, volume), (tools.watch, time))
    own = math.hypot(*(own_error(tool, value) / value for tool, value in parts))
    return own, math.hypot(*(shared_error(tool, value) / value for tool, value in parts))


def observations(circuits: Sequence[Circuit], reading: Reading) -> tuple[Observation, ...]:
    """Return the readings that may be fitted, in the order of the points."""
    found: list[Observation] = []
    for place, point in enumerate(reading.points, start=1):
        if is_sound(point, reading):
            found.append(_heat(circuits, point, reading, place=place))
            found += _amps(circuits, point, reading, place=place)
    return tuple(found)


def shared(circuits: Sequence[Circuit], reading: Reading, band_v: tuple[float, float]) -> Shared:
    """Return what the readings of a visit share; `band_v`: the ends of the supply, for volts that nobody read."""
    tools = reading.instruments
    read_v = [volts for point in reading.points for volts in point.volts.values()]
    if read_v:
        mean_v = math.fsum(read_v) / len(read_v)
        volts = (1.0, shared_error(tools.voltmeter, mean_v) / mean_v)
    else:
        nominal_v = circuits[0].load.connection.voltage_v
        low, high = (end / nominal_v for end in band_v)
        volts = ((low + high) / 2.0, (high - low) / 2.0 / math.sqrt(3.0))
    flow = max((flow_errors(point, reading)[1] for point in reading.points), default=0.0)
    amps = [value for point in reading.points for by_line in point.amps.values() for value in by_line.values() if value]
    clamp = shared_error(tools.clamp, max(amps)) / max(amps) if amps else 0.0
    rise_k = math.sqrt(2.0) * shared_error(tools.thermometer, 0.0)  # it has no error that is a part of what it reads
    return Shared(volts, flow, rise_k, clamp, bool(read_v))


def predicted(circuit: Circuit, numbers: Sequence[int], volts: float | None, *, at_panel: bool) -> Delivered | None:
    """Return what a feed takes with these stages of the heater on; None while none is its own.

    At volts read at the heater, at the panel, or without any at the stated supply, the drop of the circuit counted.
    """
    stages = [circuit.load.all_stages[number - 1] for number in numbers if number in circuit.load.feed.stages]
    if not stages:
        return None
    return _taken(circuit, stages, volts, at_panel=at_panel)


def _taken(circuit: Circuit, stages: Sequence[Stage], volts: float | None, *, at_panel: bool) -> Delivered:
    connection = circuit.load.connection
    ohm = circuit.wires(circuit.installed).conductor_ohm if volts is None or at_panel else 0.0
    return deliver(stages, connection, conductor_ohm=ohm, supply_v=connection.voltage_v if volts is None else volts)


def _heat(circuits: Sequence[Circuit], point: Point, reading: Reading, *, place: int) -> Observation:
    """Return the power by flow and rise over the one predicted. A rise of 1 K is rho Q dh/dT [W]."""
    volts, at_panel = volts_of(point, reading), reading.volts_at == "panel"
    on = range(1, point.stages + 1)
    feeds = [(one, predicted(one, on, volts, at_panel=at_panel)) for one in circuits]
    whole_w = math.fsum(found.power_w for _, found in feeds if found)
    flow, read_w = point.read_flow_m3_s, balance.power_for_outlet_w(point.inlet_k, point.outlet_k, point.read_flow_m3_s)
    kelvin_w = balance.power_for_outlet_w(point.outlet_k - 0.5, point.outlet_k + 0.5, flow)
    thermometer = reading.instruments.thermometer
    rise_k = math.hypot(own_error(thermometer, point.inlet_k), own_error(thermometer, point.outlet_k))
    own_v = own_error(reading.instruments.voltmeter, volts) / volts if volts and point.volts else 0.0
    ratio = read_w / whole_w
    own = math.hypot(STEADY, ratio * flow_errors(point, reading)[0], kelvin_w * rise_k / whole_w, 2.0 * own_v * ratio)
    across, names = tuple(_across(one, on) for one in circuits), tuple(one.load.name for one in circuits)
    return Observation("heat", place, ratio, own, across, names, _around(circuits, on), per_kelvin=kelvin_w / whole_w)


def _around(circuits: Sequence[Circuit], on: range) -> tuple[tuple[float, ...], ...]:
    """Return by pair of lines what each stage has of its conductance there, whatever its feed."""
    by_pair = zip(*(_across(one, on) for one in circuits), strict=True)
    return tuple(tuple(math.fsum(parts) for parts in zip(*pair, strict=True)) for pair in by_pair)


def _across(circuit: Circuit, on: range) -> tuple[tuple[float, ...], ...]:
    """Return by pair of lines what each stage of the heater has of its conductance on this feed, while it is on."""
    numbered, three = list(enumerate(circuit.load.all_stages, start=1)), circuit.load.connection.phases == 3

    def part(number: int, stage: Stage, pair: str) -> float:
        if number not in on or number not in circuit.load.feed.stages:
            return 0.0
        if not three:
            return stage.share if pair == "L1-L2" else 0.0
        return stage.share / 3.0 if stage.lines is None else stage.share * (stage.lines == pair)

    return tuple(tuple(part(number, stage, pair) for number, stage in numbered) for pair in PAIRS)


def _amps(circuits: Sequence[Circuit], point: Point, reading: Reading, *, place: int) -> Iterator[Observation]:
    """Yield the currents read over those predicted; of a line that should carry none, over the greatest of its feed."""
    volts, at_panel, on = volts_of(point, reading), reading.volts_at == "panel", range(1, point.stages + 1)
    for circuit in circuits:
        found = predicted(circuit, on, volts, at_panel=at_panel)
        if found is None:
            continue
        for line, read_a in point.amps.get(circuit.load.name, {}).items():
            index = LINES.index(line) if line in LINES else 0
            scale_a = found.line_a(index) if found.line_a(index) > SMALL * found.current_a else found.current_a
            own_v = own_error(reading.instruments.voltmeter, volts) / volts if volts and point.volts else 0.0
            own = math.hypot(STEADY, own_error(reading.instruments.clamp, read_a) / scale_a, own_v * read_a / scale_a)
            across, feeds = (_across(circuit, on),), (circuit.load.name,)
            yield Observation("amps", place, read_a / scale_a, own, across, feeds, _around(circuits, on), index)
