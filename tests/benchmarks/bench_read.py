"""Time of reading site_data/: all of it, the YAML alone, and PyYAML's own loading of the same texts beside it."""

from __future__ import annotations

import statistics
import sys
import time
import timeit
from collections.abc import Callable
from pathlib import Path

import yaml

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

started = time.perf_counter()
from generator.read.handbook import read_handbook  # noqa: E402
from generator.read.json_schema import schemas  # noqa: E402
from generator.read.yaml.yaml_marks import parse  # noqa: E402

IMPORTED = time.perf_counter() - started
DATA = ROOT / "site_data"
CONTENTS = [path.read_bytes() for path in sorted(DATA.rglob("*.yaml"))]


def first_ms(run: Callable[[], object]) -> float:
    start = time.perf_counter()
    run()
    return 1e3 * (time.perf_counter() - start)


def report(name: str, run: Callable[[], object], repeats: int = 20) -> None:
    times = [1e3 * seconds for seconds in timeit.repeat(run, number=1, repeat=repeats)]
    print(f"{name:<44} {statistics.median(times):7.1f} ms, {min(times):.1f} to {max(times):.1f} ({repeats} runs)")


if __name__ == "__main__":
    print(
        f"{len(CONTENTS)} files, {sum(map(len, CONTENTS)) / 1000:.0f} kB; importing the reader {1e3 * IMPORTED:.0f} ms"
    )
    print(f"{'read_handbook, first time in a process':<44} {first_ms(lambda: read_handbook(DATA)):7.1f} ms")
    report("read_handbook", lambda: read_handbook(DATA))
    report("  its YAML alone, with places", lambda: [parse(content, "a.yaml") for content in CONTENTS])
    report("  yaml.load with CSafeLoader, no places", lambda: [yaml.load(c, yaml.CSafeLoader) for c in CONTENTS])
    report("  yaml.load with SafeLoader, no places", lambda: [yaml.load(c, yaml.SafeLoader) for c in CONTENTS], 3)
    report("schemas", schemas)
