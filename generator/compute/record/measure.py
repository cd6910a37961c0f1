"""The points of a visit with their combined standard uncertainties, and what the nameplate predicts for each.

Uncertainties are propagated by the law of JCGM 100:2008, 5.1 and 5.2, the error that inlet and outlet share of one
thermometer as one variable, by the package `uncertainties`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from uncertainties import UFloat, ufloat, wrap

from generator.compute.circuit.circuit import Circuit
from generator.compute.heat import balance
from generator.compute.record.doubts import is_sound
from generator.compute.record.observe import flow_errors, own_error, predicted, shared_error, volts_of
from generator.model.instruments import Instrument
from generator.model.readings import Point, Reading
from generator.model.records import Measured, PointResult
from generator.si import added

_heat = wrap(balance.power_for_outlet_w)


def measured_points(circuits: Sequence[Circuit], reading: Reading, cut_out_k: float) -> tuple[PointResult, ...]:
    """Return the points of a visit as judged; a predicted outlet is held at the cut-out [K]."""
    return tuple(_point(circuits, point, reading, cut_out_k=cut_out_k) for point in reading.points)


def _point(circuits: Sequence[Circuit], point: Point, reading: Reading, *, cut_out_k: float) -> PointResult:
    thermometer, flow_m3_s = reading.instruments.thermometer, point.read_flow_m3_s
    common = _known(0.0, shared_error(thermometer, point.outlet_k))
    inlet = _known(point.inlet_k, own_error(thermometer, point.inlet_k)) + common
    outlet = _known(point.outlet_k, own_error(thermometer, point.outlet_k)) + common
    flow = _known(flow_m3_s, flow_m3_s * math.hypot(*flow_errors(point, reading)))
    volts, at_panel = volts_of(point, reading), reading.volts_at == "panel"
    on = range(1, point.stages + 1)
    taken = [found for one in circuits if (found := predicted(one, on, volts, at_panel=at_panel))]
    power_w = math.fsum(found.power_w for found in taken)
    return PointResult(
        stages=point.stages,
        flow=_measured(flow),
        inlet=_measured(inlet),
        outlet=_measured(outlet),
        predicted_k=float(balance.capped_outlet_k(point.inlet_k, flow_m3_s, power_w, ceiling_k=cut_out_k)),
        heat_w=_measured(_heat(inlet, outlet, flow)),
        electric_w=_electric(circuits, point, reading),
        predicted_w=power_w,
        sound=is_sound(point, reading),
    )


def _electric(circuits: Sequence[Circuit], point: Point, reading: Reading) -> Measured | None:
    """Return the power by volts and amps [W]: of each feed the one predicted at the volts read, times its amps read
    over those predicted.

    Across one pair of lines that is V I, of three alike lines sqrt(3) V I. None unless every feed that takes current
    was read.
    """
    if not point.volts:
        return None
    volts_v = math.fsum(point.volts.values()) / len(point.volts)
    volts = _known(volts_v, _whole_error(reading.instruments.voltmeter, volts_v))
    total: UFloat | float = 0.0
    for circuit in circuits:
        found = predicted(circuit, range(1, point.stages + 1), volts_v, at_panel=False)
        if found is None:
            continue
        read_a = [*point.amps.get(circuit.load.name, {}).values()]
        if not read_a:
            return None
        mean_a, clamp = math.fsum(read_a) / len(read_a), reading.instruments.clamp
        amps = _known(mean_a, _whole_error(clamp, mean_a))
        lines_a = math.fsum(found.line_a(place) for place in range(len(read_a))) / len(read_a)
        total += found.power_w / (volts_v * lines_a) * volts * amps
    return _measured(total)


def _whole_error(instrument: Instrument | None, reading: float) -> float:
    return math.hypot(own_error(instrument, reading), shared_error(instrument, reading))


def _known(value: float, deviation: float) -> UFloat | float:
    """Return a variable of its own; a plain number where nothing is uncertain of it."""
    return ufloat(value, deviation) if deviation else value


def _measured(value: UFloat | float) -> Measured:
    if not isinstance(value, UFloat):
        return Measured(float(value), 0.0)
    parts = value.error_components().values()  # their squares add up: JCGM 100:2008, 5.1.2
    return Measured(float(value.nominal_value), math.sqrt(added(float(part) ** 2 for part in parts)))
