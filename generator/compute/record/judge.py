"""A visit put to the model: its points, what explains them, and what follows for the heater's power and its water."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from generator.compute.band import Band, Ends
from generator.compute.circuit.circuit import Circuit
from generator.compute.heat import balance, water
from generator.compute.record.decide import deciding
from generator.compute.record.doubts import is_sound
from generator.compute.record.explain import Heater, explanations
from generator.compute.record.measure import measured_points
from generator.compute.record.observe import observations, shared, volts_of
from generator.compute.verdict.set_flow import selected_stage
from generator.model.heater import HeaterModel
from generator.model.readings import HottestReading, Reading, Record
from generator.model.records import DecidingReading, Explanation, PointResult
from generator.model.site import Site

COVERAGE = 2.0  # of an expanded uncertainty, JCGM 100:2008 6.2.1: about 95 in 100


@dataclass(frozen=True, slots=True)
class Judged:
    """One visit as judged: its points, the explanations kept, what decides between them, and the reading itself."""

    record: Record
    points: tuple[PointResult, ...]
    explanations: tuple[Explanation, ...]
    decides: DecidingReading

    @property
    def agrees(self) -> bool:
        """Whether a sound heater explains it."""
        return any(not one.causes for one in self.explanations)


def judge(record: Record, site: Site, model: HeaterModel, *, circuits: Sequence[Circuit], band: Band) -> Judged:
    """Return a visit as judged against the circuits of its site and the band in which a sound heater works."""
    reading = record.reading
    kept = explanations(
        observations(circuits, reading),
        shared(circuits, reading, (band.volts.least, band.volts.greatest)),
        sound_heater(model, site.supply.phases, band.input),
    )
    points = measured_points(circuits, reading, model.water.cut_out_k)
    return Judged(record, points, kept, deciding(kept, reading, selected_stage(site, model)))


def sound_heater(model: HeaterModel, phases: int, taken: Ends) -> Heater:
    """Return what is known of a sound heater: its power over the nameplate's is as likely anywhere between the ends.

    Of a width w the standard uncertainty is w / sqrt(12) (JCGM 100:2008, 4.3.7).
    """
    feeds = {number: feed.name for feed in model.electrical.feeds for number in feed.stages}
    return Heater(
        mean=(taken.least + taken.greatest) / 2.0,
        deviation=(taken.greatest - taken.least) / math.sqrt(12.0),
        feeds=tuple(feeds[number] for number in range(1, len(model.stages) + 1)),
        shares=tuple(stage.share for stage in model.stages),
        three_lines=phases == 3,
    )


def standing(records: Sequence[Record]) -> tuple[Record, ...]:
    """Return the records that still speak of the heater: from the last commissioning on."""
    starts = [place for place, one in enumerate(records) if one.reading.kind == "commissioning"]
    return tuple(records[starts[-1] :] if starts else records)


def measured_input(judged: Iterable[Judged], stated: Ends, in_use: int) -> Ends:
    """Return the input of the band as measured: the power at one voltage over the nameplate's.

    Where volts and amps were read with every stage in use on and all agrees, what was measured, with its expanded
    uncertainty, takes the place of the tolerance. Where readings do not agree the ends go as far out as any explanation
    that is kept, and never in.
    """
    taken = stated
    for one in judged:
        ends = [_ends(explained) for explained in one.explanations]
        if one.agrees:
            read = one.record.reading.result == "fit for use" and any(
                point.stages >= in_use and point.volts and point.amps for point in one.record.reading.points
            )
            taken = replace(stated, least=ends[0][0], greatest=ends[0][1]) if read else taken
        elif ends:
            least, greatest = min(low for low, _ in ends), max(high for _, high in ends)
            taken = replace(taken, least=min(taken.least, least), greatest=max(taken.greatest, greatest))
    return taken


def _ends(explained: Explanation) -> tuple[float, float]:
    spread = COVERAGE * explained.whole_deviation
    return max(explained.whole - spread, 0.0), explained.whole + spread


def met_k(records: Iterable[Record], band: Band, in_use: int, *, drops_out: Sequence[float]) -> float | None:
    """Return the hottest outlet that was read [K], carried to the warmest inlet and the greatest voltage of the band.

    The heat goes with the square of the voltage, and the rise against the flow: h(T) = h(T_warmest) + rho(T_now) /
    rho(T_warmest) (h(T_read) - h(T_now)) (V_max / V)^2 Q / Q_drop, held below boiling. The hottest water found as a tap
    closed is carried to the flow at which the next stage drops out, as it was read or, by stage, as stated in
    `drops_out` [m3/s]; what was read at a steady flow holds for that flow. A reading without volts counts as taken at
    the stated voltage. None where nothing was read.
    """
    carried = [
        _carried_k(inlet_k, outlet_k, share * (band.volts.greatest / (volts or band.volts.nominal)) ** 2, band=band)
        for record in records
        for inlet_k, outlet_k, volts, share in _met(record.reading, in_use, drops_out)
    ]
    return max(carried, default=None)


def _met(
    reading: Reading, in_use: int, drops_out: Sequence[float]
) -> Iterable[tuple[float, float, float | None, float]]:
    """Yield inlet and outlet [K], volts, and its flow over the one it is carried to, of what was read with no more
    stages than those in use."""
    for point in reading.points:
        if point.stages <= in_use and is_sound(point, reading):
            yield point.inlet_k, point.outlet_k, volts_of(point, reading), 1.0
    hottest, thermometer = reading.hottest, reading.instruments.thermometer
    if hottest and hottest.stages <= in_use and (thermometer is None or thermometer.reads(hottest.outlet_k)):
        share = _over_drop_out(hottest, {one.stage: one.drops_out_m3_s for one in reading.switching}, drops_out)
        yield hottest.inlet_k, hottest.outlet_k, hottest.volts or None, share


def _over_drop_out(hottest: HottestReading, read: Mapping[int, float | None], drops_out: Sequence[float]) -> float:
    """Return the flow of the hottest water over the greatest one below it at which a stage drops out; 1 without."""
    flow = hottest.flow_m3_s
    stages = enumerate(drops_out[: hottest.stages], start=1)
    below = [drop for number, stated in stages if flow and (drop := read.get(number) or stated) <= flow]
    return flow / max(below) if flow and below else 1.0


def _carried_k(inlet_k: float, outlet_k: float, power: float, *, band: Band) -> float:
    flow_m3_s, warmest_k = 1e-4, band.warmest_k.greatest
    power_w = balance.power_for_outlet_w(inlet_k, max(outlet_k, inlet_k), flow_m3_s) * power
    return float(balance.capped_outlet_k(warmest_k, flow_m3_s, power_w, ceiling_k=water.BOILING_K))
