"""Processor time of reading site_data/: all of it, the YAML alone, and PyYAML's own loading of the same texts."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import yaml
from recorded import Measured, cpu_ms_each

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

started = time.process_time()
from generator.read.content.key_words import KeyWords  # noqa: E402
from generator.read.handbook import read_handbook  # noqa: E402
from generator.read.json_schema import schemas  # noqa: E402
from generator.read.yaml.yaml_marks import parse  # noqa: E402

IMPORTED = 1e3 * (time.process_time() - started)
DATA = ROOT / "site_data"
CONTENTS = [path.read_bytes() for path in sorted(DATA.rglob("*.yaml"))]


if __name__ == "__main__":
    with Measured(__file__) as measured:
        print(f"  {len(CONTENTS)} files, {sum(map(len, CONTENTS)) / 1000:.0f} kB")
        measured.report("importing the reader", [IMPORTED], "ms")
        measured.report("read_handbook, first time in a process", cpu_ms_each(lambda: read_handbook(DATA), 1), "ms")
        for what, work, runs in (
            ("read_handbook", lambda: read_handbook(DATA), 20),
            ("its YAML alone, with places", lambda: [parse(content, "a.yaml") for content in CONTENTS], 20),
            ("CSafeLoader, no places", lambda: [yaml.load(one, yaml.CSafeLoader) for one in CONTENTS], 20),
            ("SafeLoader, no places", lambda: [yaml.load(one, yaml.SafeLoader) for one in CONTENTS], 3),
            ("schemas", lambda: schemas(KeyWords({})), 20),
        ):
            measured.report(what, cpu_ms_each(work, runs), "ms")
