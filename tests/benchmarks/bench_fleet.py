"""What a site costs in a fleet: time, memory and bytes of reading, judging, handing on, building and printing.

From these it prints the table of content/many-sites.md: what a million sites would take, each number a cost a site
times a million, over the cores where the work is shared. `--sites 200` takes another number of sites to build.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import tempfile
from pathlib import Path

from recorded import Measured, cpu_ms_each, cpu_s, finished

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
from generator.fleet.shares import judge, shares  # noqa: E402  run as a script, its folder is not known
from generator.read.handbook import read_handbook  # noqa: E402
from tests.benchmarks.fleet_made import fleet  # noqa: E402

READ, JUDGED = 3000, 300
BUILT = int(sys.argv[sys.argv.index("--sites") + 1]) if "--sites" in sys.argv else 150
ENV = os.environ | {"PYTHONPATH": str(ROOT), "NO_MKDOCS_2_WARNING": "true"}
MILLION, CORES = 1_000_000, (2, 16, 64)
PART, FLOOR_GB = 1000, 0.2  # sites of a handbook that is one of many; what a run takes before its first site


def main() -> None:
    """Print what was measured, and what a million would take."""
    with tempfile.TemporaryDirectory() as name, Measured(__file__) as measured:
        folder = Path(name)
        # What takes most memory last: a process that is started counts the memory of who starts it as its own.
        costs = _building(measured, folder) | _results(measured, folder)
        costs |= _reading(measured, folder) | _judging(measured, folder)
    print("\n" + "\n".join(_table(costs)))


def _reading(measured: Measured, folder: Path) -> dict[str, float]:
    costs = {}
    for form in ("csv", "parquet"):
        data = fleet(folder / form, READ, parquet=form == "parquet") / "site_data"
        read_handbook(data)
        runs = [ms / READ for ms in cpu_ms_each(lambda data=data: read_handbook(data), runs=5)]
        costs[f"read {form}"] = measured.report(f"reading a row of {form}", runs, "ms")
    few, many = (_resident_kb(folder / "csv", share) for share in (0, 1))
    costs["memory"] = measured.report("memory of a site that is read", [(many - few) / READ], "kB")
    return costs


def _resident_kb(folder: Path, share: int) -> float:
    """The greatest memory of a process that reads the fleet, or only imports what reads: as Linux counts it."""
    script = "import re\nfrom pathlib import Path\nfrom generator.read.handbook import read_handbook\n"
    script += f"kept = read_handbook(Path('site_data')) if {share} else None\n"
    script += "print(re.search('VmHWM:\\s*([0-9]+)', Path('/proc/self/status').read_text())[1])"
    run = subprocess.run(
        [sys.executable, "-c", script], cwd=folder, env=ENV, capture_output=True, text=True, check=True
    )
    return float(run.stdout)


def _judging(measured: Measured, folder: Path) -> dict[str, float]:
    inputs = read_handbook(folder / "csv" / "site_data")
    every = inputs.sites[:: READ // JUDGED]
    some = list(shares(inputs, every, None, most=JUDGED // 2))
    found = [judge(one) for one in some]
    answers = [pickle.dumps(one) for one in found]

    def gathered() -> None:
        for one, answer in zip(shares(inputs, every, None, most=JUDGED // 2), answers, strict=True):
            pickle.dumps(one)
            "\n".join(pickle.loads(answer).lines).encode()

    judging = [1e3 * cpu_s(lambda: [judge(one) for one in some]) / JUDGED for _ in range(3)]
    gathering = [ms / JUDGED for ms in cpu_ms_each(gathered)]
    lines = sum(len(line.encode()) + 1 for one in found for line in one.lines) / JUDGED / 1e3
    return {
        "judge": measured.report("judging a site, its lines written", judging, "ms"),
        "gather": measured.report("sending a site to a worker and taking its lines", gathering, "ms"),
        "sent": measured.report("a site as it is sent", [len(pickle.dumps(some)) / JUDGED / 1e3], "kB"),
        "lines": measured.report("lines of a site", [lines], "kB"),
    }


def _results(measured: Measured, folder: Path) -> dict[str, float]:
    few, many = (fleet(folder / f"out-{count}", count) for count in (6, JUDGED))
    costs = {}
    for form in ("jsonl", "parquet"):
        command = [sys.executable, "-m", "generator", "export", "--format", form]
        took = [finished(command, one, ENV)[1] for one in (few, many)]
        costs[f"export {form}"] = measured.report(
            f"export of a site as {form}", [1e3 * (took[1] - took[0]) / (JUDGED - 6)], "ms"
        )
        costs[f"export {form}"] += _start(measured, f"export as {form}", took[0] - 6 * costs[f"export {form}"] / 1e3)
        size = sum(file.stat().st_size for file in (many / "build" / "export").glob(f"*.{form}")) / JUDGED / 1e3
        costs[f"{form} size"] = measured.report(f"a site in {form}", [size], "kB")
    return costs


def _building(measured: Measured, folder: Path) -> dict[str, float]:
    counts = (BUILT // 3, BUILT)
    few, many = (fleet(folder / f"built-{count}", count) for count in counts)
    more = counts[1] - counts[0]
    costs = {}
    for what, verb in (("build", ("build",)), ("card", ("card", "--all"))):
        took = [finished([sys.executable, "-m", "generator", *verb], one, ENV) for one in (few, many)]
        costs[what] = measured.report(f"{what} of a site", [1e3 * (took[1][1] - took[0][1]) / more], "ms")
        costs[f"{what} memory"] = measured.report(
            f"{what}: memory of a site", [1e3 * (took[1][2] - took[0][2]) / more], "kB"
        )
        costs[what] += _start(measured, what, took[0][1] - counts[0] * costs[what] / 1e3)
    pages = [_bytes(one / "build" / "site", ".html") for one in (few, many)]
    all_files = [_bytes(one / "build" / "site") for one in (few, many)]
    index = [_bytes(one / "build" / "site", ".json", ".js") for one in (few, many)]
    kept = [(one / "build" / "results.json").stat().st_size for one in (few, many)]
    for what, (less, much) in {"pages": pages, "site files": all_files, "index": index, "results.json": kept}.items():
        costs[what] = measured.report(f"{what} of a site", [(much - less) / more / 1e3], "kB")
    files = [sum(path.is_file() for path in (one / "build" / "site").rglob("*")) for one in (few, many)]
    costs["files"] = measured.report("files of a site", [(files[1] - files[0]) / more], "")
    cards = list((many / "build" / "print").rglob("*.pdf"))
    costs["card size"] = measured.report("a card", [sum(one.stat().st_size for one in cards) / len(cards) / 1e3], "kB")
    return costs


def _start(measured: Measured, what: str, seconds: float) -> float:
    """What a run takes before its first site, as milliseconds of each site of a part."""
    return 1e3 * measured.report(f"{what}: before the first site", [seconds], "s") / PART


def _bytes(folder: Path, *endings: str) -> int:
    return sum(
        path.stat().st_size for path in folder.rglob("*") if path.is_file() and (not endings or path.suffix in endings)
    )


def _table(costs: dict[str, float]) -> list[str]:
    """The rows of the page: hours on so many cores, and gigabytes of memory and of what is written."""
    read = costs["read csv"]
    # What it is; of a site the time that one process takes alone [ms] while others take what cores share [ms].
    rows = [
        ("`check --format codes`", read + costs["gather"], costs["judge"], _size(costs["memory"]), costs["lines"]),
        ("`export --format jsonl`", 0.0, read + costs["export jsonl"], _a_core(costs["memory"]), costs["jsonl size"]),
        (
            "`export --format parquet`",
            0.0,
            read + costs["export parquet"],
            _a_core(costs["memory"]),
            costs["parquet size"],
        ),
        ("`card --all`", 0.0, costs["card"], _a_core(costs["card memory"]), costs["card size"]),
        ("`build`", 0.0, costs["build"], _a_core(costs["build memory"]), costs["site files"] + costs["results.json"]),
    ]
    lines = [
        "| a million sites | a site | 2 cores | 16 cores | 64 cores | memory | written |",
        "| --- |" + " --- |" * 6,
    ]
    for what, alone, shared, memory, written_kb in rows:
        hours = [max(alone, shared / cores) * MILLION / 3.6e6 for cores in CORES]
        cells = [f"{_two(alone + shared)} ms", *(f"{_two(one)} h" for one in hours), memory, _size(written_kb)]
        lines.append(f"| {what} | {' | '.join(cells)} |")
    return lines


def _size(kilobytes: float) -> str:
    """What a million times so much is."""
    return f"{_two(kilobytes / 1e3)} TB" if kilobytes >= 1e3 else f"{_two(kilobytes)} GB"


def _two(number: float) -> str:
    """A number with two figures, never as a power of ten."""
    return f"{float(f'{number:.2g}'):g}"


def _a_core(kilobytes: float) -> str:
    """The memory of a core that works at a part of PART sites, each of which adds so much."""
    return f"{PART * max(kilobytes, 0.0) / 1e6 + FLOOR_GB:.1g} GB a core"  # below zero: less than what a run strays by


if __name__ == "__main__":
    main()
