"""What a verdict costs: reading a site, judging it as stated and over a band, and ten thousand by `handbook check`."""

from __future__ import annotations

import os
import sys
import tempfile
import threading
import time
from collections.abc import Iterable
from pathlib import Path

from recorded import Measured, cpu_ms_each, finished
from sites_made import BANDED, sites

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
from generator.compute.site import judge_site  # noqa: E402  run as a script, the folder of the program is not known
from generator.read.apart import Apart, read_apart  # noqa: E402

SITES, SAMPLE, RUNS = 10_000, 50, 5
HANDBOOK = (sys.executable, "-m", "generator", "check", "--format", "codes")


def main(count: int) -> None:
    with tempfile.TemporaryDirectory() as name, Measured(__file__) as measured:
        folder = sites(Path(name), count)
        apart = read_apart(folder / "site_data")
        plain = [id_ for id_ in apart.ids if not id_.startswith(BANDED)]
        banded = [id_ for id_ in apart.ids if id_.startswith(BANDED)]
        free = [id_ for id_ in plain if id_.startswith(("bunkhouse", "seedling-house"))]
        each = [cpu_ms_each(lambda at=at: list(apart.sites(free[at : at + SAMPLE])), 1)[0] for at in starts(free)]
        measured.report("read one site", [one / SAMPLE for one in each], "ms of CPU")
        measured.report("judge one site as stated", list(judged_ms(apart, plain)), "ms of CPU")
        measured.report("judge one site over a stated band", list(judged_ms(apart, banded)), "ms of CPU")
        with Sampled() as memory:
            wall_s, cpu_s, largest_mb = finished(HANDBOOK, folder, os.environ | {"PYTHONPATH": str(ROOT)})
        what = f"check --format codes, {count} sites"
        measured.report(what, [wall_s], "s")
        measured.report(f"{what}, each", [1e3 * cpu_s / count], "ms of CPU")
        measured.report(f"{what}, largest process", [largest_mb], "MB")
        measured.report(f"{what}, all processes, shared pages once", [memory.most_mb], "MB")


class Sampled(threading.Thread):
    """The greatest memory [MB] of all processes below this one together, looked at five times a second."""

    most_mb = 0.0

    def __enter__(self) -> Sampled:
        self._ended = threading.Event()
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._ended.set()
        self.join()

    def run(self) -> None:
        while not self._ended.wait(0.2):
            self.most_mb = max(self.most_mb, sum(map(_own_mb, _below(os.getpid()))))


def _below(pid: int) -> list[int]:
    children = [int(one) for path in Path(f"/proc/{pid}/task").glob("*/children") for one in path.read_text().split()]
    return [*children, *(other for child in children for other in _below(child))]


def _own_mb(pid: int) -> float:
    try:
        lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    except OSError:  # it has ended
        return 0.0
    return sum(int(line.split()[1]) for line in lines if line.startswith("Pss:")) / 1e3


def starts(ids: list[str]) -> Iterable[int]:
    return [SAMPLE * run for run in range(RUNS)]


def judged_ms(apart: Apart, ids: list[str]) -> Iterable[float]:
    """Yield by run the processor time of one site, every run with sites that were not judged before."""
    for at in starts(ids):
        found = list(apart.sites(ids[at : at + SAMPLE]))
        before = time.process_time()
        for site in found:
            judge_site(site, apart.inputs)
        yield 1e3 * (time.process_time() - before) / len(found)


if __name__ == "__main__":
    main(int(next((one for one in sys.argv[1:] if one.isdigit()), SITES)))
