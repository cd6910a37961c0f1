"""A handbook of many sites, a file each, for the benchmarks: those of the demo with other pipes, wires and inlets."""

from __future__ import annotations

import random
import re
import shutil
from pathlib import Path

ROOT = Path(__file__).parents[2]
BANDED = ("creamery", "packing-house")  # a supply that is known within a range, an inlet that is estimated
_LENGTH = re.compile(r"(?<=length: )([0-9.]+)")
_DECIDED = re.compile(r"^(decisions|serial_number):.*\n(  .*\n)*", re.MULTILINE)


def sites(folder: Path, count: int) -> Path:
    """Lay a handbook of so many sites out in `folder`, no two alike; every fourth of a kind shares a well where the
    demo's does. Return the folder."""
    shutil.copytree(ROOT / "tests" / "demo" / "site_data", folder / "site_data")
    data, dice = folder / "site_data", random.Random(1)
    for part in ("revisions", "readings", "schema"):
        shutil.rmtree(data / part, ignore_errors=True)
    files = sorted((data / "sites").glob("*.yaml"))
    texts = {file.stem: _DECIDED.sub("", file.read_text(encoding="utf-8")) for file in files}
    for file in files:
        file.unlink()
    for place in range(count):
        kind = files[place % len(files)].stem
        number = place // len(files)
        text = re.sub(rf"^id: {kind}$", f"id: {kind}-{number}", texts[kind], flags=re.MULTILINE)
        text = text.replace("id: stand-well", f"id: stand-well-{number // 4}")
        text = _LENGTH.sub(lambda found: f"{float(found[1]) * dice.uniform(0.5, 1.5):.3f}", text)
        (data / "sites" / f"{kind}-{number}.yaml").write_text(text, encoding="utf-8")
    return folder
