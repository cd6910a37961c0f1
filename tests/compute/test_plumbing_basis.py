"""Which plumbing rules a site is judged by: its own, the handbook's at home, or none, and then that is said."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from generator.compute.plumbing import NOT_HELD as NOT_HELD_SAID
from generator.compute.plumbing import cited, plumbing
from generator.compute.site import compute_site
from generator.errors import InputFaults
from generator.model.figures import Finding, Sentence
from generator.model.inputs import Inputs
from generator.model.site import Site
from generator.model.tables.clauses import PLUMBING
from generator.read.handbook import read_handbook
from tests.finding_texts import said, speaker
from tests.frozen import DATA, ROOT

UNITED_STATES = re.compile(r"\b(IPC|UPC|10 CFR|United States plumbing)\b")
SPOKEN_OF = re.compile(r"\b(IPC|UPC|IECC|ASSE|US|U\.S\.|United States|the energy code|ask for one there)\b")

NOT_HELD = speaker().worded(NOT_HELD_SAID)


@pytest.fixture(scope="module")
def demo() -> Inputs:
    return read_handbook(DATA)


def sources(inputs: Inputs, site_id: str) -> dict[str, str]:
    site = next(one for one in inputs.sites if one.id == site_id)
    return {one.rule: one.source for one in speaker().worded(compute_site(site, inputs).findings)}


def test_a_site_at_home_is_judged_by_the_rules_of_the_handbook(demo: Inputs) -> None:
    """UPC 2021 408.3.2 holds the temperature at showers (UPC Answers and Analysis, 2024, seen)."""
    found = sources(demo, "bunkhouse")
    assert found["fixture-limit"].startswith("IPC 2021, 412.3, from memory; UPC 2021, 408.3.2, from memory; ")
    assert found["fixture-pressure"].endswith("IPC 2018, table 604.3")
    assert found["static-pressure"].startswith("IPC 2021, 604.8; UPC 2024, 608.2; ")
    assert not [source for source in found.values() if "<plumbing" in source or NOT_HELD in source]


def test_a_site_elsewhere_is_not_judged_by_united_states_codes(demo: Inputs) -> None:
    found = sources(demo, "seedling-house")
    assert not {rule: source for rule, source in found.items() if UNITED_STATES.search(source)}
    assert not {rule for rule, source in found.items() if "<plumbing" in source}
    assert {rule for rule, source in found.items() if NOT_HELD in source} >= {
        "fixture-limit",
        "mixed-metals",
        "thermal-expansion",
        "relief-valve",
        "fixture-pressure",
    }


def elsewhere(demo: Inputs) -> Site:
    """The partner farm with what United States codes ask about: a shower without a valve, a check valve, a long run."""
    site = next(one for one in demo.sites if one.id == "seedling-house")
    (basin,) = site.fixtures
    (hot,) = site.water.hot_run
    water = site.water.model_copy(update={"check_valve": True, "hot_run": (hot.model_copy(update={"length_m": 40.0}),)})
    fixtures = (basin, basin.model_copy(update={"name": "shower", "kind": "shower"}))
    return site.model_copy(update={"water": water, "fixtures": fixtures})


def test_no_finding_of_a_site_elsewhere_speaks_of_united_states_codes(demo: Inputs) -> None:
    found = {one.rule: one for one in compute_site(elsewhere(demo), demo).findings}
    words = {rule: " ".join(said(one, key) for key in ("found", "why", "do")) for rule, one in found.items()}
    assert not {rule: text for rule, text in words.items() if SPOKEN_OF.search(text)}
    asked = {"mixing-valve": "missing-not-held", "thermal-expansion": "closed-not-held", "delivery": "not-held"}
    assert {rule: found[rule].case for rule in asked} == asked
    for rule in asked:
        assert re.search(r"no (plumbing|energy) code is held here for this site", words[rule], re.IGNORECASE)


def test_the_same_site_on_a_basis_that_is_held_is_judged_by_it(demo: Inputs) -> None:
    """The basis alone sets the two apart: IECC 2021 C404.5.1 allows 64 fluid ounces of hot run (from memory)."""
    site = elsewhere(demo).model_copy(update={"plumbing_basis": "us"})
    found = {one.rule: one for one in compute_site(site, demo).findings}
    assert (found["thermal-expansion"].case, found["delivery"].case) == ("closed", "too-long")
    assert found["mixing-valve"].case.startswith("missing") and found["mixing-valve"].case != "missing-not-held"
    assert "itself listed to ASSE 1082 or 1084" in said(found["mixing-valve"], "do")


def test_a_basis_copied_and_renamed_cites_itself(tmp_path: Path) -> None:
    folder = tmp_path / "site_data"
    shutil.copytree(DATA, folder)
    rules = (folder / "plumbing" / "us" / "rules.yaml").read_text(encoding="utf-8")
    (folder / "plumbing" / "nz").mkdir()
    renamed = re.sub(r"document: (IPC|UPC|10 CFR)", "document: ZZ 12", rules)
    (folder / "plumbing" / "nz" / "rules.yaml").write_text(renamed, encoding="utf-8")
    site = folder / "sites" / "seedling-house.yaml"
    site.write_text(f"{site.read_text(encoding='utf-8')}plumbing_basis: nz\n", encoding="utf-8")
    found = sources(read_handbook(folder), "seedling-house")
    assert not {rule: source for rule, source in found.items() if UNITED_STATES.search(source) or NOT_HELD in source}
    assert "ZZ 12 2021, 412.3" in found["fixture-limit"]
    assert found["static-pressure"].startswith("ZZ 12 2021, 604.8; ")
    assert found["fixture-flow-limit"].startswith("ZZ 12, 430.32(o)")


def test_limits_follow_the_plumbing_basis_and_not_the_electrical_one(demo: Inputs) -> None:
    """A site on NFPA 70 in a handbook without plumbing rules is held to none of them."""
    bare = replace(demo, settings=demo.settings.model_copy(update={"plumbing_basis": None}))
    found = sources(bare, "bunkhouse")
    assert not {rule: source for rule, source in found.items() if UNITED_STATES.search(source)}
    assert found["static-pressure"] == sources(demo, "seedling-house")["static-pressure"]
    assert found["fixture-flow-limit"] == NOT_HELD


def test_a_rule_left_out_is_told_with_its_file(tmp_path: Path) -> None:
    folder = tmp_path / "site_data"
    shutil.copytree(DATA, folder)
    file = folder / "plumbing" / "us" / "rules.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("  relief-valve:", "  relief-valves:"), encoding="utf-8")
    with pytest.raises(InputFaults) as told:
        read_handbook(folder)
    assert "nothing says who asks for 'relief-valve'" in str(told.value)
    assert "the nearest is 'relief-valve'" in str(told.value)
    file.unlink()
    with pytest.raises(InputFaults, match=r"site_data/plumbing/us/rules.yaml:1:1: file: this file is missing"):
        read_handbook(folder)


def test_every_rule_is_cited_by_some_finding() -> None:
    text = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "generator" / "compute").rglob("*.py"))
    assert set(re.findall(r"""plumbing\(["']([a-z-]+)["']\)""", text)) == PLUMBING


def test_what_is_no_rule_of_plumbing_stays() -> None:
    source = f"nameplate; {plumbing('hot-pipe')}; {plumbing('mixed-metals')}; ASTM F876"
    (one,) = speaker().worded(cited([Finding("x.y", "y", "ok", "x", Sentence("."), "why", "do", source)], None))
    assert one.source == f"nameplate; {NOT_HELD}; ASTM F876"
