"""What people at a site need in an emergency and nobody has written down: a line to fill by hand, and an open point.

Severity: `attention` where anything is missing. Source: whoever works on the heater must find its disconnect and its
shutoff, and be able to call for help (29 CFR 1910.147(c)(4) and 1910.151(b), from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.severity import ok_or_attention
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.heater import HeaterModel
from generator.model.site import Site

SOURCE = "29 CFR 1910.147(c)(4) and 1910.151(b), from memory; site data"
WANTED = (
    "emergency-number",
    "maintenance-number",
    "panel-label",
    "circuit-number",
    "power-shutoff",
    "water-shutoff",
    "serial-number",
)
ON_FILE = Rule("on-file", {"complete": (), "missing": ()}, lists={"missing": ("what",)}, choices={"what": WANTED})


def on_file(site: Site, model: HeaterModel) -> Finding:
    """Return what is missing of the telephone numbers, shutoffs, panel, circuit and serial numbers of a site."""
    rows = [{"what": Value("what", name, "text")} for name in _missing(site, model)]
    case = "missing" if rows else "complete"
    return ON_FILE.judge(case, ok_or_attention(not rows), source=SOURCE, lists={"missing": tuple(rows)}).at(site.id)


def _missing(site: Site, model: HeaterModel) -> Iterator[str]:
    numbered = all(feed.name in site.circuit_numbers for feed in model.electrical.feeds)
    stated = (
        site.contacts.emergency,
        site.contacts.maintenance,
        site.supply.panel.label,
        numbered or None,
        site.shutoffs.power,
        site.shutoffs.water,
        site.serial_number,
    )
    return (name for name, value in zip(WANTED, stated, strict=True) if value is None)
