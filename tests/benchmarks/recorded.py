"""What a benchmark measures, printed beside what was recorded of it last.

Each `bench_NAME.py` has its values in `recorded/NAME.yaml`, with the machine and the day. `--record` puts those of the
run there; a value that was not measured this time stays. Nothing here fails, however slow a run was.
"""

from __future__ import annotations

import datetime
import os
import platform
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).parent / "recorded"


class Measured:
    """What one script measures: `with Measured(__file__) as measured: measured.report("what", runs, "ms")`."""

    def __init__(self, script: str) -> None:
        self._file = FOLDER / f"{Path(script).stem.removeprefix('bench_')}.yaml"
        self._before: dict[str, Any] = yaml.safe_load(self._file.read_text()) if self._file.exists() else {}
        self._now: dict[str, Any] = {}

    def __enter__(self) -> Measured:
        last = next(iter(self._before.values()), None)
        print(f"{self._file.stem}, on {machine()}, load {os.getloadavg()[0]:.1f}")
        if last:
            print(f"  recorded last on {last['machine']}")
        return self

    def report(self, what: str, runs: Sequence[float], unit: str) -> float:
        """Print median, spread and number of runs, and the ratio to the recorded median; return the median."""
        median = statistics.median(runs)
        spread = f"{_short(min(runs))} to {_short(max(runs))}, {len(runs)} run{'s' * (len(runs) > 1)}"
        line = f"  {what}: {_short(median)} {unit} ({spread})"
        if before := self._before.get(what):
            line += f"; recorded {_short(before['median'])} on {before['date']}, ratio {median / before['median']:.2f}"
        print(line, flush=True)
        self._now[what] = {
            "median": float(f"{median:.4g}"),
            "unit": unit,
            "least": float(f"{min(runs):.4g}"),
            "most": float(f"{max(runs):.4g}"),
            "runs": len(runs),
            "date": datetime.date.today().isoformat(),
            "machine": machine(),
            "load": round(
                os.getloadavg()[0], 1
            ),  # what else ran: above the number of cores, walls and peaks mean little
        }
        return median

    def __exit__(self, *failed: object) -> None:
        if "--record" in sys.argv and failed[0] is None:
            FOLDER.mkdir(exist_ok=True)
            self._file.write_text(yaml.safe_dump(self._before | self._now, sort_keys=False, width=120))


def cpu_s(work: Callable[[], object]) -> float:
    """Return the processor time [s] of a piece of work, its processes that have ended counted: what else runs on the
    machine hardly moves it."""
    before = os.times()
    work()
    return sum(os.times()[:4]) - sum(before[:4])


def cpu_ms_each(work: Callable[[], object], runs: int = 9, number: int = 1) -> list[float]:
    """Return the processor time [ms] of one `work` in this process, by run of `number` of them."""
    found = []
    for _ in range(runs):
        before = time.process_time()
        for _ in range(number):
            work()
        found.append(1e3 * (time.process_time() - before) / number)
    return found


def finished(
    command: Sequence[str | Path], folder: Path, env: dict[str, str] | None = None
) -> tuple[float, float, float]:
    """Run a command to its end; return the time it took [s], its processor time [s], and its greatest memory [MB].

    The memory is that of its largest process. It runs without its output, and may leave with any status.
    """
    start = time.perf_counter()
    running = subprocess.Popen(command, cwd=folder, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, _, used = os.wait4(running.pid, 0)
    running.returncode = 0
    return time.perf_counter() - start, used.ru_utime + used.ru_stime, megabytes(used.ru_maxrss)


def megabytes(resident: int) -> float:
    """Return the resident memory that the system counts [MB]: in kB on Linux, in bytes on a Mac."""
    return resident / (1e6 if sys.platform == "darwin" else 1e3)


def peak_mb() -> float:
    """Return the greatest memory of this process so far [MB]."""
    return megabytes(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)


def machine() -> str:
    """Return what this machine is: processor, cores, Python."""
    info = Path("/proc/cpuinfo")
    lines = info.read_text().splitlines() if info.exists() else []
    names = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return f"{(names or [platform.machine()])[0]}, {os.cpu_count()} cores, Python {platform.python_version()}"


def _short(value: float) -> str:
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.3g}"
