"""A handbook of many sites for the benchmarks: each site of the demo as a fleet, rows alike but for the run of wire."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).parents[2]
OWN = ("id", "title", "decisions", "serial_number")  # of one site, and of no row
A_GROUP = 50  # rows listed together
COLUMNS = {"id": "Room", "title": "Name", "group": "Floor", "route.length": "Run"}


def fleet(folder: Path, sites: int, *, parquet: bool = False) -> Path:
    """Lay a handbook of so many sites out in `folder`: as many of each site of the demo. Return the folder."""
    shutil.copytree(ROOT / "tests" / "demo" / "site_data", folder / "site_data")
    data = folder / "site_data"
    for part in ("revisions", "readings", "schema"):
        shutil.rmtree(data / part, ignore_errors=True)
    (data / "fleets").mkdir()
    files = sorted((data / "sites").glob("*.yaml"))
    for place, file in enumerate(files):
        _one_fleet(data / "fleets", file, range(place, sites, len(files)), parquet=parquet)
        file.unlink()
    shutil.copytree(ROOT / "content", folder / "content")
    shutil.copy(ROOT / "mkdocs.yml", folder)
    return folder


def _one_fleet(fleets: Path, file: Path, rows: range, *, parquet: bool) -> None:
    site: dict[str, Any] = yaml.load(file.read_text(encoding="utf-8"), yaml.BaseLoader)
    site["water"].pop("source", None)  # or all rows would share it
    name = f"{file.stem}.{'parquet' if parquet else 'csv'}"
    table = [
        [f"{file.stem}-{row}", f"{site['title']} {row}", f"Floor {row // A_GROUP}", f"{10 + row % 40} ft"]
        for row in rows
    ]
    shared = {key: value for key, value in site.items() if key not in OWN}
    columns = {key: {"heading": heading} for key, heading in COLUMNS.items()}
    kept = {"table": name, "columns": columns, "site": shared}
    (fleets / f"{file.stem}.yaml").write_text(yaml.safe_dump(kept, sort_keys=False, allow_unicode=True))
    if parquet:
        import pyarrow as pa
        from pyarrow.parquet import write_table

        write_table(
            pa.table([list(cells) for cells in zip(*table, strict=True)], names=list(COLUMNS.values())), fleets / name
        )
    else:
        with (fleets / name).open("w", newline="", encoding="utf-8") as opened:
            csv.writer(opened).writerows([list(COLUMNS.values()), *table])
