"""How the working and the findings name their clauses."""

from __future__ import annotations

from generator.model.codes import CodeBasis

OWN = "limits of this handbook"

# Rule of a finding -> who says so. Clauses are of the basis's document and edition.
RULES = {
    "supply-frequency": "110.3(B), 422.60",
    "supply-phases": "110.3(B), 110.4",
    "supply-neutral": "200.2, 250.24(A)(5), 250.142(B)",
    "heater-leads": "110.3(B), 200.2(B), 200.10",
    "panel-spaces": "408.36, 408.54, 110.14(A)",
    "panel-demand": "220.83, 220.87, 408.36",
    "disconnect": "422.30, 422.31(B), 422.34, 110.25",
    "enclosure": "110.11, 110.28, 300.6(D)",
    "terminal-material": "110.14",
    "terminal-size": "110.3(B), 110.14(A)",
    "voltage-drop": "210.19 and 215.2, informational notes (recommended, not enforceable: 90.5(C))",
    "wiring-method": "300.9, 310.10(C)",
    "circuit-device": "422.10(A), 422.11(E), 240.6(A)",
    "element-subdivision": "422.11(F)",
    "ground-fault-protection": "210.8(F), 422.5",
    "limiter-marking": "422.47",
    "existing-device": "422.10(A), 422.11(E), 240.6(A)",
    "existing-conductor": "110.14(C), 210.19(A)(1), 240.4, 310.15, 334.80, 340.80",
    "existing-poles": "240.15, 422.34",
    "existing-neutral": "110.3(B), 210.6, 200.6",
    "existing-ground": "250.110, 250.118, 250.122",
    "existing-circuits": "422.10(A), 422.11(F)",
}


def clause(basis: CodeBasis, which: str) -> str:
    """Return document, edition and clause in one phrase, such as `NFPA 70 2023, 240.4(B)`."""
    return f"{basis.header.document} {basis.header.edition}, {which}"


def rule_sources(basis: CodeBasis) -> dict[str, str]:
    """Return the source of every rule's finding."""
    sources = {rule: clause(basis, which) for rule, which in RULES.items()}
    voltage = f"ANSI C84.1-2020 Range A; {clause(basis, '110.4')}; stop below 80 % and above 110 %: {OWN}"
    return {**sources, "supply-voltage": voltage}
