"""The band of the supply at a site, with who says so, and up to which supply the hottest water keeps its limit."""

from __future__ import annotations

from collections.abc import Iterable

from generator.compute.band import Band, Ends
from generator.compute.heat import balance as heating
from generator.model.figures import BoundKind, Figure, Finding, Step, Value
from generator.model.said import say
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis


def supply_range(prefix: str, site: Site, *, volts: Ends, basis: CodeBasis) -> tuple[Figure, Figure]:
    """Return the least and the greatest voltage of the supply in service; ids `<prefix>.supply.least`, `.greatest`."""
    least = _end(prefix, site, "least", volts=volts.least, basis=basis)
    return least, _end(prefix, site, "greatest", volts=volts.greatest, basis=basis)


def _end(prefix: str, site: Site, name: str, *, volts: float, basis: CodeBasis) -> Figure:
    """Return one end: as stated for the site, else so far off its voltage, as the code basis says."""
    least, service, stated = name == "least", basis.header.service_voltage, site.supply.voltage_range
    bound: BoundKind = "at_least" if least else "at_most"
    result = Value("V", volts, "voltage", bound)
    if stated is not None:
        source = say("stated-range", by=stated.known_by, document=stated.document, date=stated.date.isoformat())
        step = Step("V", (), result, source)
    else:
        part = Value("part", service.below if least else service.above, "ratio")
        inputs = Value("V_stated", site.supply.voltage_v, "voltage"), part
        says = basis.rules.source_of("service-voltage")
        step = Step(f"V = V_stated × (1 {'−' if least else '+'} part)", inputs, result, says)
    label = say("least-voltage") if least else say("greatest-voltage")
    return Figure(f"{prefix}.supply.{name}", label, volts, "voltage", bound, (step,))


def supply_that_holds(prefix: str, findings: Iterable[Finding], band: Band) -> tuple[Figure, ...]:
    """Return up to which supply the hottest water keeps its limit, id `<prefix>.supply.holds`, as `hottest-water` says.

    None where that finding names no such voltage: the limit is passed as stated, a valve or the cut-out keeps it.
    """
    found = next((one for one in findings if one.rule == "hottest-water"), None)
    said = {value.symbol: value for value in found.values} if found else {}
    if "holds" not in said:
        return ()
    result = Value("V_holds", said["holds"].value, "voltage", "at_most")
    inputs = (
        Value("V", band.volts.nominal, "voltage"),
        Value("T_limit", said["limit"].value, "temperature", "at_most"),
        Value("T_in", band.warmest_k.greatest, "temperature"),
        Value("input", band.input.greatest, "ratio", "at_least"),
        Value("flows", band.flows.least, "ratio", "at_most"),
    )
    formula = "V_holds = V × √(P_limit ÷ (input × P)), P_limit = flows × Q × ρ(T_in) × (h(T_limit) − h(T_in))"
    step = Step(formula, inputs, result, f"{heating.BALANCE}; {heating.JOULE}", say("least-of-drop-outs"))
    return (Figure(f"{prefix}.supply.holds", say("supply-holds"), result.value, "voltage", "at_most", (step,)),)
