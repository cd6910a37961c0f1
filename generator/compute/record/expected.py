"""What every field of a site's commissioning and service record is expected to hold, and between what it passes.

One list of rows, in working order: water with the power locked off, tests of the circuit, switching on, stages, the
hottest water, limiting valves. Printed form, card, page and new files of readings take it from here, and a visit is
judged by it. What depends on the day (inlet, volts) holds for the `Day` given. Where the circuit that is there must not
be used, the tests are those of the one to install.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.drop.divider import KIRCHHOFF, Delivered, deliver
from generator.compute.circuit.drop.voltage_drop import own_stages
from generator.compute.heat import balance
from generator.compute.known import Known
from generator.compute.record.fields.circuit_tests import YES, circuit_tests, marked
from generator.compute.record.fields.full_load import pairs, volts_under_load
from generator.compute.sources import NAMEPLATE, PRACTICE, STATED
from generator.compute.use.allowed_reading import allowed_reading_k, kept_by_cut_out_k, open_limit_k
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.compute.verdict.set_flow import selected_stage
from generator.model.figures import BoundKind, Value
from generator.model.records import Expected
from generator.model.results import LINES
from generator.si import added


@dataclass(frozen=True, slots=True)
class Day:
    """Inlet [K] and volts while the heater runs [V] of the day for which a record is expected."""

    inlet_k: float
    volts: float


def expected(facts: Known, day: Day | None = None, *, replaced: bool = False) -> tuple[Expected, ...]:
    """Return the rows of a site's record; without a day, at the coldest inlet and the stated voltage.

    `replaced`: whether a circuit is to be installed in the place of the one that is there.
    """
    site, old = facts.at.site, None if replaced else facts.at.site.existing_circuit
    selected = selected_stage(site, facts.at.model)
    day = day or Day(facts.heat.season.coldest_k, site.supply.voltage_v)
    return (
        *_water(facts),
        *(row for circuit in facts.circuits for row in circuit_tests(circuit, site, facts.heat.band, old=old)),
        *_volts(facts),
        *(row for circuit in facts.circuits for row in _amps(circuit, facts, day)),
        *(
            row
            for one in facts.circuits
            for row in volts_under_load(one, selected, size=one.size if replaced else one.installed)
        ),
        *_flow(facts),
        *_rises(facts, day),
        *_switching(facts),
        *_hottest(facts, day),
        *_valves(facts),
        Expected("handed-over", "end", PRACTICE, value=YES, least=YES),
    )


def _water(facts: Known) -> Iterator[Expected]:
    limits, static = facts.circuits[0].rules.basis.passes, facts.at.site.water.static_pressure
    purge, leak = limits.purge, limits.leak
    yield Expected("purge", "water", purge.source, least=Value("t", purge.after_last_air_s, "time", "at_least"))
    pressure = Value("p", static.greatest_pa, "pressure", "at_least")
    yield Expected("leak", "water", leak.source, least=Value("t", leak.time_s, "time", "at_least"), at=(pressure,))
    most = Value("p", facts.at.model.water.working_pressure.greatest_pa, "pressure", "at_most")
    yield Expected("leak-pressure", "water", NAMEPLATE, greatest=most, asked=False)
    yield Expected("leak-drop", "water", leak.source, greatest=Value("p", 0.0, "pressure", "at_most"))
    rest_pa = facts.at.way.at_greatest.at_heater(0.0)  # between which ends, where the supply's own pressure moves
    ends = Value("p", facts.at.way.at_heater(0.0), "pressure", "at_least"), Value("p", rest_pa, "pressure", "at_most")
    least, greatest = ends if static.moves else (None, None)
    rest = Value("p", rest_pa, "pressure", "at_least")
    yield Expected("static-pressure", "water", STATED, value=rest, least=least, greatest=greatest, asked=False)


def lines(circuit: Circuit) -> tuple[str, ...]:
    """Return the lines of a circuit round which a clamp is put, the neutral of one line too."""
    connection = circuit.load.connection
    return LINES if connection.phases == 3 else ("L1", "N") if connection.to_neutral else ("L1", "L2")


def _volts(facts: Known) -> Iterator[Expected]:
    volts = facts.heat.band.volts
    for pair in pairs(facts.circuits[0].load.connection):
        yield Expected(
            "volts",
            "start",
            STATED,
            of=(Value("pair", pair, "text"),),
            value=Value("V", volts.nominal, "voltage"),
            least=Value("V", volts.least, "voltage", "at_least"),
            greatest=Value("V", volts.greatest, "voltage", "at_most"),
        )


def at_heater(circuit: Circuit, number: int, volts: float) -> Delivered | None:
    """Return what the feed takes with stages 1 to `number` of the heater on, at volts measured at it; None: nothing."""
    own = own_stages(circuit.load, number)
    if not own:
        return None
    return deliver(circuit.load.stages[:own], circuit.load.connection, conductor_ohm=0.0, supply_v=volts)


def _amps(circuit: Circuit, facts: Known, day: Day) -> Iterator[Expected]:
    taken = facts.stated_input
    for number in range(1, selected_stage(facts.at.site, facts.at.model) + 1):
        found = at_heater(circuit, number, day.volts)
        for place, line in enumerate(lines(circuit)):
            amps = found.line_a(place) if found else 0.0
            yield Expected(
                "amps",
                "stages",
                KIRCHHOFF,
                of=(*_of(circuit, number), Value("line", line, "text")),
                value=Value("I", amps, "current"),
                least=Value("I", amps * taken.least, "current", "at_least"),
                greatest=Value("I", amps * taken.greatest, "current", "at_most"),
                at=(Value("V", day.volts, "voltage"),),
            )


def _of(circuit: Circuit, number: int) -> tuple[Value, ...]:
    return Value("feed", circuit.load.name, "text"), Value("stage", float(number), "count")


def _flow(facts: Known) -> Iterator[Expected]:
    """Yield the pressure at the fixtures' flow, and how long that takes to fill a bucket; nothing where none runs.

    The greatest error of the flow is that of the mark and that of the hand together: e = e_mark + t_hand / t.
    """
    pressure, flow_m3_s = facts.at.model.water.working_pressure, facts.at.working_m3_s
    bucket, flow = facts.circuits[0].rules.basis.passes.bucket, Value("Q", flow_m3_s, "flow")
    if not flow_m3_s:
        return
    least = Value("p", pressure.least_pa, "pressure", "at_least")
    greatest = Value("p", pressure.greatest_pa, "pressure", "at_most")
    yield Expected("flowing-pressure", "stages", NAMEPLATE, least=least, greatest=greatest, at=(flow,), asked=False)
    time_s = bucket.volume_m3 / flow_m3_s
    error = Value("e", bucket.mark_within + bucket.hand_within_s / time_s, "ratio", "at_least")
    at = (flow, Value("V_b", bucket.volume_m3, "volume"), error)
    yield Expected("bucket", "stages", bucket.source, value=Value("t", time_s, "time"), at=at, asked=False)


def _rises(facts: Known, day: Day) -> Iterator[Expected]:
    """Yield the rise over the inlet of the day at the flow the fixtures run at, by number of stages that are on then.

    Without a selector only as many stages as that flow turns on.
    """
    at, taken = facts.at, facts.stated_input
    selected = selected_stage(at.site, at.model)
    on = len(at.closed)
    for number in range(1 if at.model.stage_selector else max(on, 1), min(selected, on) + 1):
        power_w = added(found.power_w for one in facts.circuits if (found := at_heater(one, number, day.volts)))

        def rise(share: float, bound: BoundKind, power_w: float = power_w) -> Value:
            ceiling_k = at.model.water.cut_out_k
            outlet_k = balance.capped_outlet_k(day.inlet_k, at.working_m3_s, share * power_w, ceiling_k=ceiling_k)
            return Value("ΔT", float(outlet_k) - day.inlet_k, "temperature_difference", bound)

        yield Expected(
            "rise",
            "stages",
            balance.BALANCE,
            of=(Value("stage", float(number), "count"),),
            value=rise(1.0, "neither"),
            least=rise(taken.least, "at_least"),
            greatest=rise(taken.greatest, "at_most"),
            at=(
                Value("Q", at.working_m3_s, "flow"),
                Value("T_in", day.inlet_k, "temperature"),
                Value("V", day.volts, "voltage"),
            ),
        )


def _switching(facts: Known) -> Iterator[Expected]:
    flows, model = facts.heat.band.flows, facts.at.model
    for number, stage in enumerate(model.stages[: selected_stage(facts.at.site, model)], start=1):
        for item, flow in (("turns-on", stage.closes_at_m3_s), ("drops-out", stage.opens_at_m3_s)):
            yield Expected(
                item,
                "stages",
                NAMEPLATE,
                of=(Value("stage", float(number), "count"),),
                value=Value("Q", flow, "flow"),
                least=Value("Q", flow * flows.least, "flow", "at_least"),
                greatest=Value("Q", flow * flows.greatest, "flow", "at_most"),
                asked=False,
            )


def _hottest(facts: Known, day: Day) -> Iterator[Expected]:
    """Yield the greatest hottest reading allowed today, where a fixture has no valve that holds its limit."""
    heat, band = facts.heat, facts.heat.band
    limit_k = open_limit_k(facts.at.site, heat.default_limit_k, facts.at.plumbing.limits)
    warmest_k = band.warmest_k.greatest
    if limit_k is None or limit_k <= warmest_k:
        return
    held_k = kept_by_cut_out_k(facts.at.model, limit_k, heat.burns)
    part = day.volts / band.volts.greatest
    allowed_k = allowed_reading_k(day.inlet_k, part, limit_k=limit_k, warmest_k=warmest_k, held_k=held_k)
    yield Expected(
        "hottest",
        "hottest",
        balance.BALANCE,
        greatest=Value("T", allowed_k, "temperature", "at_most"),
        at=(Value("T_in", day.inlet_k, "temperature"), Value("V", day.volts, "voltage")),
    )


def _valves(facts: Known) -> Iterator[Expected]:
    """Yield the tests of each limiting valve: the water behind it, and that it shuts off when the cold water fails."""
    heat, code = facts.heat, facts.at.plumbing.limits
    for fixture in facts.at.site.fixtures:
        if fixture.mixing_valve is None:
            continue
        limit_k = fixture_limit_k(fixture, heat.default_limit_k, code)
        of, most = (Value("fixture", fixture.name, "text"),), Value("T", limit_k, "temperature", "at_most")
        setting = Value("T", fixture.mixing_valve.setting_k, "temperature")
        standard = (fixture.mixing_valve.standard,)
        yield Expected("valve-standard", "valves", STATED, of=of, asked=False, **marked("standard", standard))
        yield Expected("valve-setting", "valves", STATED, of=of, value=setting, greatest=most)
        for item in ("valve-least-flow", "valve-full-flow"):
            yield Expected(item, "valves", STATED, of=of, greatest=most)
        yield Expected("valve-shuts-off", "valves", STATED, of=of, value=YES, least=YES)
