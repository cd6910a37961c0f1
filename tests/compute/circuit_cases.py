"""Code bases, heaters and sites for the circuit tests. The bases come from site_data/, all else is made here."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

from generator.model.codes import BasisHeader, CodeBasis, CodeTable, Methods
from generator.model.heater import HeaterModel
from generator.model.site import Site

ROOT = Path(__file__).parents[2]


def plain(path: Path) -> Any:
    """A YAML file with every scalar as text, as the read stage delivers it."""
    return yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


@cache
def basis(name: str) -> CodeBasis:
    folder = ROOT / "site_data" / "codes" / name
    files = {path.stem: plain(path) for path in sorted(folder.glob("*.yaml"))}
    header = BasisHeader.model_validate(files.pop("basis"))
    methods = Methods.model_validate(files.pop("wiring_methods"))
    return CodeBasis(header, methods, {key: CodeTable.model_validate(table) for key, table in files.items()})


def demo_model(name: str) -> HeaterModel:
    return HeaterModel.model_validate(plain(ROOT / "site_data" / "models" / f"{name}.yaml"))


def demo_site(name: str) -> Site:
    return Site.model_validate(plain(ROOT / "site_data" / "sites" / f"{name}.yaml"))
