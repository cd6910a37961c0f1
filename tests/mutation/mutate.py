"""`make mutate`: put small faults into compute/ and assemble/, one at a time, and see whether a test notices.

Each fault is put into the running program (the code of one function is exchanged) in a process of its own, so that none
waits for imports or collection. It runs the tests that run the fault's statement, the likely and quick ones first,
until one fails. Which those are is found before, in one run of all tests with those statements marked.

    python -m tests.mutation.mutate --number 500 --seed 1 --jobs 2
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections import Counter
from pathlib import Path

import pytest
import yaml

from tests.mutation.mutants import FOLDERS, Mutant, chosen
from tests.mutation.runner import Runner

EQUIVALENT = Path(__file__).with_name("equivalent.yaml")
TESTS = (
    "tests/compute",
    "tests/assemble",
    "tests/content",
    "tests/render/drawing",
    "tests/print/test_card.py",
    "tests/print/test_record.py",
    "tests/print/test_label.py",
    "tests/changes/test_report.py",
    "tests/changes/test_marks.py",
    "tests/changes/test_work.py",
    "tests/test_si.py",
    "tests/test_start.py",
)
LEAST_KILLED, MOST_EQUIVALENT = 0.90, 0.08


def main() -> int:
    """Run as the module says; the exit status is 0 where the goals are met."""
    options = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    options.add_argument("--number", type=int, default=500)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--only", default="", help="only mutants whose file::function holds this text")
    options.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    options.add_argument("--budget", type=float, default=60.0, help="seconds of the processor for one mutant")
    options.add_argument("--out", type=Path, default=None, help="a line of JSON a mutant; what it has is not run again")
    options.add_argument("--tests", nargs="*", default=TESTS, help="the tests to run")
    wanted = options.parse_args()
    equivalent = yaml.safe_load(EQUIVALENT.read_text(encoding="utf-8"))
    verdicts: Counter[str] = Counter()
    terminal = os.fdopen(os.dup(1), "w", buffering=1)
    known = read_verdicts(wanted.out) if wanted.out and wanted.out.exists() else {}
    out = wanted.out.open("a", encoding="utf-8", buffering=1) if wanted.out else None

    def report(mutant: Mutant, verdict: str, by: str) -> None:
        if verdict in ("survived", "unseen") and mutant.key in equivalent:
            verdict = "equivalent"
        verdicts[verdict] += 1
        if verdict in ("survived", "unseen"):
            place = f"{mutant.file}:{mutant.line}"
            print(f"{verdict}: {place} {mutant.function}: {mutant.before} -> {mutant.after}", file=terminal)
        if out:
            print(json.dumps({"key": mutant.key, "line": mutant.line, "verdict": verdict, "by": by}), file=out)

    every = chosen(wanted.number, wanted.seed, wanted.only)
    left = [one for one in every if (one.key, one.line) not in known]
    verdicts.update(known[one.key, one.line] for one in every if (one.key, one.line) in known)
    runner = Runner(left, report, wanted.jobs, wanted.budget)
    pytest.main(
        ["-q", "-p", "no:cacheprovider", "-p", "no:xdist", "--no-header", "-m", "not heavy", *wanted.tests],
        plugins=[runner],
    )
    print(summary(verdicts), file=terminal)
    return 0 if reached(verdicts) else 1


def read_verdicts(out: Path) -> dict[tuple[str, int], str]:
    """What an earlier run wrote: the verdict by key and line of the mutant."""
    lines = map(json.loads, out.read_text(encoding="utf-8").splitlines())
    return {(one["key"], one["line"]): one["verdict"] for one in lines}


def killed(verdicts: Counter[str]) -> float:
    """The share killed of the mutants that are not equivalent."""
    return (verdicts["killed"] + verdicts["hangs"]) / max(1, verdicts.total() - verdicts["equivalent"])


def reached(verdicts: Counter[str]) -> bool:
    """Whether enough mutants are killed, and not too many excused."""
    return (
        verdicts.total() > 0
        and killed(verdicts) >= LEAST_KILLED
        and verdicts["equivalent"] <= MOST_EQUIVALENT * verdicts.total()
    )


def summary(verdicts: Counter[str]) -> str:
    """One line: how many mutants, of each verdict how many, and the share killed."""
    counts = ", ".join(f"{count} {verdict}" for verdict, count in sorted(verdicts.items()))
    where = " and ".join(FOLDERS)
    return f"{verdicts.total()} mutants of {where}: {counts}; {killed(verdicts):.1%} of those not equivalent killed"


if __name__ == "__main__":
    sys.exit(main())
