"""Sites judged on a Dask scheduler with two workers on this machine: the verdicts of this process, whatever dies."""

import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import psutil
import pytest
from distributed import Client

from generator import cli
from generator.errors import HandbookError
from generator.fleet import scheduler
from generator.fleet.scheduler import judged_on
from generator.fleet.shares import shares
from generator.read.handbook import read_handbook
from generator.render.check.programs import findings_codes
from tests.changes.project import copy_of_demo, edit
from tests.fleet.one_by_one import assess
from tests.frozen import ROOT
from tests.read.fleet_project import ROW, project, table

WAIT_S = 120


@dataclass
class Cluster:
    """A scheduler and its workers as processes, listening on the loopback alone."""

    folder: Path
    started: list[subprocess.Popen[bytes]] = field(default_factory=list)

    @property
    def address(self) -> str:
        file = self.folder / "scheduler.json"
        until = time.monotonic() + WAIT_S
        while not file.exists() or not file.read_text():
            assert time.monotonic() < until, "the scheduler has not started"
            time.sleep(0.1)
        return str(json.loads(file.read_text())["address"])

    def start(self, module: str, *words: str) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", f"distributed.cli.{module}", *words, "--host", "127.0.0.1", "--no-dashboard"]
        with (self.folder / f"{module}-{len(self.started)}.log").open("wb") as log:
            process = subprocess.Popen(command, cwd=ROOT, stdout=log, stderr=log)
        self.started.append(process)
        return process

    def worker(self) -> subprocess.Popen[bytes]:
        kept = ("--nthreads", "1", "--no-nanny", "--local-directory", str(self.folder / "worker"))
        return self.start("dask_worker", self.address, *kept)


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[Cluster]:
    made = Cluster(tmp_path / "cluster")
    made.folder.mkdir()
    made.start("dask_scheduler", "--port", "0", "--scheduler-file", str(made.folder / "scheduler.json"))
    try:
        yield made
    finally:
        for process in reversed(made.started):
            process.kill()
            process.wait(WAIT_S)


@pytest.fixture
def two_workers(cluster: Cluster) -> Cluster:
    cluster.worker(), cluster.worker()
    with Client(cluster.address, set_as_default=False) as client:
        client.wait_for_workers(2, WAIT_S)
    return cluster


def codes(*words: str) -> int:
    with pytest.MonkeyPatch.context() as patch, pytest.raises(SystemExit) as left:
        patch.setattr(sys, "argv", ["handbook", *words])
        cli.main()
    return int(left.value.code or 0)


def test_verdicts_are_those_of_this_process_though_a_worker_is_killed(two_workers: Cluster, tmp_path: Path) -> None:
    """The worker is stopped first, so that it is sure to hold shares, unfinished, when it is killed."""
    rows = [[f"room-{place}", ROW[1], str(5 + place), *ROW[3:]] for place in range(60)]
    inputs = read_handbook(project(tmp_path / "fleet", table(*rows)))
    victim = two_workers.started[-1]
    with Client(two_workers.address, set_as_default=False) as client, ThreadPoolExecutor(1) as aside:
        address = {pid: worker for worker, pid in client.run(os.getpid).items()}[victim.pid]
        psutil.Process(victim.pid).suspend()
        judging = aside.submit(list, judged_on(two_workers.address, shares(inputs, inputs.sites, None, most=2)))
        until = time.monotonic() + WAIT_S
        while not client.processing()[address]:
            assert time.monotonic() < until and not judging.done()
        listening = [one for one in psutil.Process().net_connections() if one.status == psutil.CONN_LISTEN]
        victim.kill()
        found = judging.result(WAIT_S)
        assert address not in client.nthreads() and len(client.nthreads()) == 1
    assert [line for one in found for line in one.lines] == [
        findings_codes(one) for one in assess(inputs, inputs.sites, None)
    ]
    assert listening == [], "nothing listens here"


def test_the_command_prints_and_ends_as_without_and_refuses_another_program(
    two_workers: Cluster, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    folders = copy_of_demo(
        tmp_path / "demo", {"rill-3", "rill-4m", "beck-9"}, {"potting-shed", "seedling-house", "farm-stand"}
    )
    monkeypatch.chdir(folders.root)
    check = ("check", "--format", "codes", "--on", "2026-11-20")
    for status, change in (
        (2, None),
        (1, ("copper-l, size: 1/2 in, length: 40", "copper-q, size: 1/2 in, length: 40")),
    ):
        if change:
            edit(folders, "sites/potting-shed.yaml", *change)
        assert codes(*check) == status
        here = capsys.readouterr()
        assert codes(*check, "--scheduler", two_workers.address) == status
        assert capsys.readouterr() == here and here.out and here.err
    monkeypatch.setattr(scheduler, "program", lambda: "another")
    assert codes(*check, "--scheduler", two_workers.address) == 1
    assert "a worker there runs another version of this program" in capsys.readouterr().err


def test_where_no_worker_joins_it_says_so(cluster: Cluster, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scheduler, "_WORKER_S", 1)
    with pytest.raises(HandbookError, match="no worker has joined there within 1 s; start one with `dask worker tcp:"):
        list(judged_on(cluster.address, iter(())))


def test_where_nothing_answers_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scheduler, "_CONNECT_S", 1)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))  # taken, and nobody listens
        with pytest.raises(HandbookError, match="nothing answers there: "):
            list(judged_on(f"tcp://127.0.0.1:{free.getsockname()[1]}", iter(())))


@pytest.mark.parametrize("address", ["nonsense", "tcp://127.0.0.1", "http://127.0.0.1:80", "tcp://127.0.0.1:x", ""])
def test_what_is_no_address_is_refused_before_anything_is_asked(address: str) -> None:
    with pytest.raises(HandbookError, match="this is no address; write one such as tcp://127.0.0.1:8786"):
        list(judged_on(address, iter(())))


def test_where_the_library_is_not_installed_the_refusal_names_what_brings_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scheduler, "find_spec", lambda name: None)
    with pytest.raises(HandbookError, match=r"pip install distributed \(the extra 'dask' of this program\)"):
        list(judged_on("tcp://127.0.0.1:8786", iter(())))


def test_it_goes_with_codes_alone(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(copy_of_demo(tmp_path).root)
    assert codes("check", "--scheduler", "tcp://127.0.0.1:8786") == 1
    assert "--scheduler goes with --format codes" in capsys.readouterr().err
