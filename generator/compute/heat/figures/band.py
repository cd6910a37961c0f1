"""The band of the supply at a site, with who says so."""

from __future__ import annotations

from generator.compute.band import Ends
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, Side, Step, Value
from generator.model.site import Site


def supply_range(prefix: str, site: Site, *, volts: Ends, basis: CodeBasis) -> tuple[Figure, Figure]:
    """Return the least and the greatest voltage of the supply in service; ids `<prefix>.supply.least`, `.greatest`."""
    least = _end(prefix, site, "least", volts=volts.least, basis=basis)
    return least, _end(prefix, site, "greatest", volts=volts.greatest, basis=basis)


def _end(prefix: str, site: Site, name: str, *, volts: float, basis: CodeBasis) -> Figure:
    """Return one end: as stated for the site, else so far off its voltage, as the code basis says."""
    least, service, stated = name == "least", basis.header.service_voltage, site.supply.voltage_range
    side: Side = "up" if least else "down"
    result = Value("V", volts, "voltage", side)
    if stated is not None:
        step = Step("V", (), result, f"{stated.known_by}, {stated.document}, {stated.date.isoformat()}")
    else:
        part = Value("part", service.below if least else service.above, "ratio")
        inputs = Value("V_stated", site.supply.voltage_v, "voltage"), part
        says = basis.rules.source_of("service-voltage")
        step = Step(f"V = V_stated × (1 {'−' if least else '+'} part)", inputs, result, says)
    label = f"{name.capitalize()} voltage of the supply in service"
    return Figure(f"{prefix}.supply.{name}", label, volts, "voltage", side, (step,))
