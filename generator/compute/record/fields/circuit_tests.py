"""What the tests of a feed's circuit are expected to hold: those with the power locked off, and those of what clears a
fault in it. Where the circuit that is there must not be used, of the one to install."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypedDict

from generator.compute.band import Band
from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.iec.residual_current import LINE_TO_LINE
from generator.compute.sources import NAMEPLATE, STATED, sources
from generator.model.figures import Value
from generator.model.records import Expected
from generator.model.site import ExistingCircuit, Site

YES = Value("yes", 1.0, "count")


class Marked(TypedDict):
    """What a field of a record expects that is to be read off a plate."""

    value: Value
    least: Value
    marked: tuple[str, ...]


def marked(symbol: str, texts: Sequence[str]) -> Marked:
    """Return what a field expects that passes where one of these texts is marked."""
    return {"value": Value(symbol, ", ".join(texts), "text"), "least": YES, "marked": tuple(texts)}


def circuit_tests(circuit: Circuit, site: Site, band: Band, *, old: ExistingCircuit | None) -> Iterator[Expected]:
    """Yield the tests of a feed's circuit with the power locked off, and of what clears a fault in it."""
    limits, feed = circuit.rules.basis.passes, (Value("feed", circuit.load.name, "text"),)
    device_a = old.device_a if old else circuit.ratings.device_a
    rating = Value("I_n", device_a, "current")
    yield Expected("device", "circuit", STATED, of=feed, value=rating, least=rating, greatest=rating)
    whole = Value("ratio", 1.0, "ratio", "at_least")
    yield Expected("interrupting", "circuit", STATED, of=feed, least=whole, asked=False)
    ground = (old.ground if old else None) or circuit.ground_beside(circuit.installed).size
    ohm = circuit.rules.resistance_ohm_m(ground) * site.route.length_m
    rule = limits.ground_continuity
    most = Value("R", ohm * (1.0 + rule.above) + rule.leads_ohm, "resistance", "at_most")
    value = Value("R", ohm, "resistance")
    yield Expected("ground-continuity", "circuit", rule.source, of=feed, value=value, greatest=most)
    tested = Value("R", limits.insulation.least_ohm, "resistance", "at_least")
    volts = (Value("V", limits.insulation.volts, "voltage", "at_least"),)
    yield Expected("insulation-volts", "circuit", limits.insulation.source, of=feed, least=volts[0], asked=False)
    yield Expected("insulation", "circuit", limits.insulation.source, of=feed, least=tested, at=volts)
    yield Expected("polarity", "circuit", STATED, of=feed, value=YES, least=YES)
    if circuit.load.connection.phases == 3:
        yield Expected("phase-sequence", "start", STATED, of=feed, value=YES, least=YES)
    yield from _torque(circuit, feed)
    yield from _fault(circuit, site, band, device_a=device_a)
    nothing = Value("I", limits.no_flow.at_most_a, "current", "at_most")
    zero = Value("I", 0.0, "current")
    yield Expected("no-flow", "start", limits.no_flow.source, of=feed, value=zero, greatest=nothing)


def _torque(circuit: Circuit, feed: tuple[Value, ...]) -> Iterator[Expected]:
    limits, marked = circuit.rules.basis.passes, circuit.terminals.torque_n_m
    within = limits.torque.within
    yield Expected(
        "torque",
        "circuit",
        sources(NAMEPLATE, limits.torque.source),
        of=feed,
        value=Value("T", marked, "torque"),
        least=Value("T", marked * (1.0 - within), "torque", "at_least"),
        greatest=Value("T", marked * (1.0 + within), "torque", "at_most"),
    )


def _fault(circuit: Circuit, site: Site, band: Band, *, device_a: float) -> Iterator[Expected]:
    """Yield what clears a fault: the times of a residual-current device, and the loop impedance where the basis asks.

    Where no device is stated one is measured if there is one.
    """
    feed, connection = (Value("feed", circuit.load.name, "text"),), circuit.load.connection
    rule, loop = circuit.rules.basis.passes.residual_current, circuit.rules.basis.passes.loop
    stated = site.supply.residual_current_device
    asked = stated is not None
    if stated:
        most = Value("I_dn", float(stated.removesuffix(" mA")) / 1000.0, "current", "at_most")
        yield Expected("residual-current-rated", "start", STATED, of=feed, greatest=most, asked=False)
    yield Expected("residual-current-kind", "start", rule.source, asked=False, of=feed, **marked("kind", rule.kinds))
    times = (("residual-current", rule.trips_s), ("residual-current-5", rule.trips_at_5_s))
    for item, time_s in times:
        if time_s is not None:
            most = Value("t", time_s, "time", "at_most")
            yield Expected(item, "start", rule.source, of=feed, greatest=most, asked=asked)
    yield Expected("residual-current-button", "start", rule.source, of=feed, value=YES, least=YES, asked=asked)
    if loop is None or site.supply.earthing in ("TT", "IT"):
        return
    to_earth_v = band.volts.nominal / (1.0 if connection.to_neutral else LINE_TO_LINE)
    most_ohm = loop.part * to_earth_v / (loop.times_rating * device_a)
    yield Expected("loop", "start", loop.source, of=feed, greatest=Value("Z", most_ohm, "resistance", "at_most"))
