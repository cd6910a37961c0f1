"""Who says so: the documents of the IEC basis and the clauses that the findings rest on. All from memory."""

from __future__ import annotations

from generator.model.codes import CodeBasis

OVERCURRENT = "IEC 60364-4-43:2008, 433.1"
CONDUCTORS = "IEC 60364-5-52:2009"
TERMINATIONS = "IEC 60364-5-52:2009, 523.1 note 2, 526.4"
BREAKER = "IEC 60898-1:2015, 8.6.1 (conventional tripping current 1.45 In)"
MARKING = "IEC 60335-1:2020, 7; instructions of the maker"

RULES = {
    "supply-voltage": "IEC 60038:2009, table 1; stop below 80 % and above 110 %: limits of this handbook",
    "supply-frequency": "IEC 60364-5-51:2005, 512.1.3; IEC 60335-1:2020, 7.1",
    "supply-phases": "IEC 60364-5-51:2005, 512.1",
    "supply-neutral": "IEC 60364-4-41:2005, 411.3.1; IEC 60364-5-54:2011, 543.4",
    "heater-leads": "IEC 60364-5-51:2005, 512.1; IEC 60335-1:2020, 7.8",
    "panel-spaces": "IEC 60364-5-51:2005, 513.1, 526",
    "panel-demand": "IEC 60364-1:2005, 311.1",
    "disconnect": "IEC 60364-5-53:2019, 537; IEC 60335-1:2020, 24.3",
    "enclosure": "IEC 60364-5-51:2005, 512.2 (external influence AD); IEC 60364-7-701:2006, 701.512.2",
    "terminal-material": "IEC 60364-5-52:2009, 526.2",
    "terminal-size": "IEC 60364-5-52:2009, 526.2",
    "wiring-method": "IEC 60364-5-52:2009, 522.3; IEC 60364-5-51:2005, table 51A (AD)",
    "circuit-device": OVERCURRENT,
    "residual-current-protection": (
        "IEC 60364-4-41:2005, 411.3.2, 411.3.3, 411.5, 415.1; IEC 60364-7-701:2006, 701.415.1; "
        "IEC 60364-7-705:2006, 705.411.1"
    ),
    "existing-device": OVERCURRENT,
    "existing-conductor": f"{OVERCURRENT}; {CONDUCTORS}, 523",
    "existing-poles": "IEC 60364-4-43:2008, 431.2; IEC 60364-5-53:2019, 537",
    "existing-ground": "IEC 60364-5-54:2011, 543.1, table 54.2",
    "existing-circuits": OVERCURRENT,
}


def rule_sources(basis: CodeBasis) -> dict[str, str]:
    """Return the source of every rule's finding; the voltage drop's comes from the basis."""
    drop = basis.header.voltage_drop.other_uses
    assert drop is not None  # the reader asks every basis of this family for it
    return {**RULES, "voltage-drop": f"{drop.clause} ({drop.status})"}
