"""Air pressure and boiling point against reference libraries; hardness classes and swelling of water."""

from pathlib import Path

import fluids
import iapws
import pytest
import yaml

from generator.compute.heat.boiling import air_pressure_pa, altitude_finding, boiling_k
from generator.compute.use.hardness import hardness_class, hardness_finding
from tests.compute.wet_cases import kelvin, model, site, with_water
from tests.content.writing import PAGES
from tests.finding_texts import said

HARDNESS = yaml.safe_load((Path(__file__).parents[1] / "sources/water/hardness.yaml").read_text())


@pytest.mark.parametrize("altitude_m", [-400.0, 0.0, 500.0, 1188.7, 2500.0, 4500.0])
def test_air_pressure_as_in_the_us_standard_atmosphere(altitude_m: float) -> None:
    expected = fluids.ATMOSPHERE_1976(altitude_m).P
    assert air_pressure_pa(altitude_m) == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("pressure_pa", [611.7, 5e4, 8.5e4, 101325.0, 5e5, 2e7])
def test_boiling_point_as_in_iapws(pressure_pa: float) -> None:
    assert boiling_k(pressure_pa) == pytest.approx(iapws.iapws97._TSat_P(pressure_pa / 1e6), abs=1e-8)


def test_boiling_point_of_the_release() -> None:
    """IAPWS R7-97(2012) table 36: 0.1 MPa 372.755919 K, 1 MPa 453.035632 K, 10 MPa 584.149488 K (from memory)."""
    published = {1e5: 372.755919, 1e6: 453.035632, 1e7: 584.149488}
    assert {p: boiling_k(p) for p in published} == pytest.approx(published, abs=1e-6)


@pytest.mark.parametrize(
    ("cut_out_f", "severity"), [(150.0, "ok"), (202.0, "attention"), (204.0, "attention"), (205.5, "stop")]
)
def test_cut_out_against_boiling_at_3900_feet(cut_out_f: float, severity: str) -> None:
    """Water boils at 204.8 degF there."""
    heater = model("tarn-18")
    hot = heater.water.model_copy(update={"cut_out_k": kelvin(cut_out_f)})
    assert altitude_finding(site("creamery"), heater.model_copy(update={"water": hot})).severity == severity


@pytest.mark.parametrize("milligrams", HARDNESS["rows"])
def test_hardness_classes(milligrams: int) -> None:
    assert hardness_class(milligrams * 1e-3) == HARDNESS["rows"][milligrams].replace(" ", "-")


@pytest.mark.parametrize(("hardness", "severity"), [(None, "ok"), (0.12, "ok"), (0.1201, "attention")])
def test_hard_water_needs_attention(hardness: float | None, severity: str) -> None:
    assert hardness_finding(with_water(site("potting-shed"), hardness_kg_m3=hardness)).severity == severity


def test_the_harder_the_water_the_oftener_it_is_descaled() -> None:
    """As the page on maintenance: twice a year in hard water, more often in very hard; common practice, no source."""
    at = {gpg: hardness_finding(with_water(site("potting-shed"), hardness_kg_m3=gpg * 0.017118)) for gpg in (3, 8, 30)}
    assert "Descale" not in said(at[3], "do")
    assert said(at[8], "do").startswith("Descale twice a year")
    assert said(at[30], "do").startswith("Descale every three months")
    assert "often" in said(at[30], "do")
    page = (PAGES / "maintenance.md.j2").read_text(encoding="utf-8")
    assert "twice in hard water, more often in very hard" in page
