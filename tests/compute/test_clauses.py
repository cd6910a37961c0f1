"""Who says so, by rule: clauses are those of the edition stated, and a basis copied and renamed cites itself alone."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from generator.compute.model import compute_model
from generator.compute.site import compute_site
from generator.model.inputs import Inputs
from generator.model.tables.clauses import FINDINGS, WORKING
from generator.read.handbook import read_handbook
from tests.compute.circuit_cases import basis
from tests.finding_texts import speaker
from tests.frozen import DATA, ROOT

# What is renamed: the document of a basis with all its parts. Product standards are cited by any code.
NUMBER = re.compile(r"(?<![0-9.])[0-9]{3}\.[0-9]+(?:\.[0-9]+)*(?:\([A-Z0-9]+\))*")
DOCUMENTS = {"us": r"NFPA 70", "iec": r"IEC 60364(-[0-9]+)*"}


def renamed(source: str, site_id: str, tmp_path: Path) -> Inputs:
    """One site of the demo on a copy of its basis, `nz`, of another document, edition and clauses."""
    folder = tmp_path / "site_data"
    shutil.copytree(DATA, folder)
    shutil.copytree(folder / "codes" / source, folder / "codes" / "nz")
    for file in (folder / "codes" / "nz").glob("*.yaml"):
        text = re.sub(rf"document: {DOCUMENTS[source]}", "document: XX 3000", file.read_text(encoding="utf-8"))
        text = re.sub(r'edition: ("[^"]*"|[^,}\n]*)', 'edition: "2030"', text)
        text = re.sub(r'clause: ("[^"]*"|[^}\n]*)(?=}|$)', "clause: Z9", text, flags=re.MULTILINE)
        file.write_text(text.replace(f"\nid: {source}\n", "\nid: nz\n"), encoding="utf-8")
    passes = folder / "codes" / "nz" / "pass_limits.yaml"  # whose sources are texts of its own
    passes.write_text(re.sub(DOCUMENTS[source], "XX 3000", passes.read_text(encoding="utf-8")), encoding="utf-8")
    for file in (folder / "sites").glob("*.yaml"):
        if file.stem != site_id:
            file.unlink()
            shutil.rmtree(folder / "readings" / file.stem, ignore_errors=True)
    file = folder / "sites" / f"{site_id}.yaml"
    text = re.sub(r"^code_basis: .*\n", "", file.read_text(encoding="utf-8"), flags=re.MULTILINE)
    file.write_text(f"{text}code_basis: nz\n", encoding="utf-8")
    return read_handbook(folder)


SITES = [("us", "bunkhouse"), ("us", "packing-house"), ("iec", "seedling-house")]


@pytest.mark.parametrize(("source", "site_id"), SITES)
def test_a_basis_copied_and_renamed_cites_itself_everywhere(source: str, site_id: str, tmp_path: Path) -> None:
    inputs = renamed(source, site_id, tmp_path)
    (site,) = inputs.sites
    model = compute_model(inputs.model(site.heater), inputs)
    for text in (repr(compute_site(site, inputs)), repr(model)):
        assert not re.findall(rf".{{60}}{DOCUMENTS[source]}.{{60}}", text)
        assert "XX 3000 2030, Z9" in text


@pytest.mark.parametrize(("source", "site_id"), SITES)
def test_no_finding_holds_a_clause_of_its_own(source: str, site_id: str, tmp_path: Path) -> None:
    """Once the clauses of the basis read otherwise, none of their numbers is left in a finding."""
    inputs = renamed(source, site_id, tmp_path)
    (site,) = inputs.sites
    held = basis(source).rules.rules.values()
    numbers = {number for rule in held for one in rule for number in NUMBER.findall(one.clause)}
    assert len(numbers) > 15
    for one in speaker().worded(compute_site(site, inputs).findings):
        text = f"{one.found} {one.why} {one.do} {one.source}"
        assert not numbers & set(NUMBER.findall(text)), text


# 2023 numbers: AndrewTing89/CEC-Lang, a secondary copy of chapters 1 to 4 of the 2023 edition (read); 250.24(A)(5),
# 210.19(A)(1)(a) and 352.10(D) are those of 2020 and before.
EDITION_2023 = {
    "supply-neutral": "200.2, 250.24(B), 250.142(B)",
    "termination-limit": "110.14(C)(1), 210.19(A)(1)",
    "insulation-limit": "210.19(A)(1)",
    "corrected-ampacity": "210.19(A)(2), 310.15",
    "existing-conductor": "110.14(C), 210.19(A), 240.4, 310.15, 334.80, 340.80",
}


@pytest.mark.parametrize("rule", EDITION_2023)
def test_the_clause_is_that_of_the_edition(rule: str) -> None:
    rules = basis("us").rules
    assert (rules.edition, rules.clause_of(rule)) == ("2023", EDITION_2023[rule])
    assert rules.source_of(rule) == f"NFPA 70 2023, {EDITION_2023[rule]}"


def test_wet_locations_of_pvc_conduit() -> None:
    """352.10(E) in 2023; (D) is cinders there (AndrewTing89/CEC-Lang, read)."""
    assert "352.10(E)" in basis("us").methods.methods["pvc-conduit"].clause


def test_a_part_of_another_edition_is_cited_with_it() -> None:
    rules = basis("iec").rules
    assert rules.source_of("existing-poles") == "IEC 60364-4-43 2008, 431.2; IEC 60364-5-53 2019, 537"
    assert rules.source_of("ceiling-marked").endswith("instructions of the maker, max overcurrent protection")


@pytest.mark.parametrize("name", ["us", "iec"])
def test_every_rule_of_the_working_is_asked_for_in_the_code(name: str) -> None:
    """A rule that no calculation names would be dead data."""
    text = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "generator" / "compute").rglob("*.py"))
    family = basis(name).header.family
    assert {rule for rule in FINDINGS[family] | WORKING[family] if f'"{rule}"' not in text.replace("'", '"')} == set()
