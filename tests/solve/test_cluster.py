"""A cluster that helps: who is let in, that it is like us, and what is lost with it: little."""

from __future__ import annotations

import importlib.util
import os
import signal
import socket
import threading
import time
from collections.abc import Callable
from concurrent.futures import Executor, Future
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest

from scheduler.domain.finding import find_scenario
from scheduler.domain.problems import BadInput
from scheduler.domain.reading import read_scenario
from scheduler.domain.scenario import Scenario
from scheduler.plan.audit import audit
from scheduler.plan.model import Plan
from scheduler.solve import alike, cluster, kitchens
from scheduler.solve.alike import differences, here
from scheduler.solve.cluster import Cluster, Lost, check_address
from scheduler.solve.engine import plan_week
from scheduler.solve.helpers import helpers
from scheduler.solve.kitchens import Kitchens
from tests.clusters import local
from tests.plan import tiny
from tests.solve.test_search import SEEDS, searched

if TYPE_CHECKING:
    from distributed import LocalCluster

pytest.importorskip("distributed")

ADDRESS = "tcp://127.0.0.1:8786"


def refused(address: str) -> str:
    """What is said to somebody who names this address."""
    with pytest.raises(BadInput) as error, cluster.cluster(address):
        pass
    return str(error.value)


@pytest.mark.parametrize(
    "address",
    [
        "tcp://10.0.0.5:8786",
        "tcp://203.0.113.7:8786",
        "tcp://0.0.0.0:8786",
        "tcp://[2001:db8::1]:8786",
        "tcp://planner.example:8786",
        "tcp://localhost.planner.example:8786",
        "tcp://127.0.0.1.planner.example:8786",
    ],
)
def test_no_week_goes_in_the_open_to_another_machine(address: str) -> None:
    said = refused(address)
    assert "plain tcp goes to this machine only" in said
    assert said.endswith(f"Maybe {address.replace('tcp', 'tls', 1)}, with certificates")


@pytest.mark.parametrize(
    "address",
    [
        ADDRESS,
        "tcp://127.9.9.9:1",
        "tcp://localhost:8786",
        "tcp://[::1]:8786",
        "tls://planner.example:8786",
        "tls://10.0.0.5:8786",
    ],
)
def test_this_machine_and_what_is_encrypted_are_let_in(address: str) -> None:
    check_address(address)


@pytest.mark.parametrize(
    "address",
    ["", "planner", "127.0.0.1:8786", "tcp://127.0.0.1", "tcp://:8786", "tcp://127.0.0.1:x",
     "tcp://127.0.0.1:99999", "tcp://[::1", "inproc://127.0.0.1:1", "ws://127.0.0.1:80"],
)  # fmt: skip
def test_what_is_no_address_is_told_what_one_looks_like(address: str) -> None:
    assert "Maybe tcp://127.0.0.1:8786 or tls://planner.example:8786" in refused(address)


def test_without_the_extra_it_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    assert refused(ADDRESS).endswith("Maybe pip install -e '.[cluster]' in Backtime's folder")


def test_where_nobody_answers_it_is_said_at_once() -> None:
    with socket.socket() as taken:  # bound and not listening
        taken.bind(("127.0.0.1", 0))
        address = f"tcp://127.0.0.1:{taken.getsockname()[1]}"
        begun = time.monotonic()
        said = refused(address)
    assert said.startswith(f"{address}: nobody answers there (")
    assert time.monotonic() - begun < cluster.ANSWER


def test_somebody_who_is_no_scheduler_keeps_nobody_waiting(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(cluster, "ANSWER", 0.5)
    with socket.create_server(("127.0.0.1", 0)) as mute:
        said = refused(f"tcp://127.0.0.1:{mute.getsockname()[1]}")
    assert "who answers there is no Dask scheduler that lets us in" in said


def test_a_scheduler_without_a_worker_is_no_help() -> None:
    with local(0) as empty:
        assert f"has no worker. Maybe dask worker {empty.scheduler_address}" in refused(
            empty.scheduler_address
        )


def test_each_worker_that_differs_is_named_with_what_differs() -> None:
    ours = {"python": "3.12", "ortools": "9.15", "backtime": "0.1.0 (aaaa)"}
    theirs = {
        "scheduler": ours,
        "worker tcp://127.0.0.1:1": ours | {"ortools": "9.14", "python": "3.11"},
        "worker tcp://127.0.0.1:2": {"backtime": alike.ABSENT},
    }
    assert [str(p) for p in differences(ADDRESS, ours, theirs)] == [
        f"{ADDRESS}  worker tcp://127.0.0.1:1: python is 3.11 there and 3.12 here; "
        "ortools is 9.14 there and 9.15 here. Maybe the same environment on every machine",
        f"{ADDRESS}  worker tcp://127.0.0.1:2: backtime not installed there and 0.1.0 (aaaa) "
        "here. Maybe the same environment on every machine",
    ]


@pytest.mark.parametrize("what", ["python", "distributed", "ortools", "backtime"])
def test_a_cluster_of_another_version_plans_nothing(
    two_workers: LocalCluster, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    monkeypatch.setattr(cluster, "here", lambda: here() | {what: "0.0"})
    lines = refused(two_workers.scheduler_address).splitlines()
    assert len(lines) == 3
    assert "scheduler:" in lines[0]
    assert all(f"{what} is {here()[what]} there and 0.0 here" in line for line in lines)


def test_a_worker_that_talks_in_the_open_is_refused(
    two_workers: LocalCluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    from distributed import Client

    workers = {"tcp://10.0.0.5:4000": 1, "tls://10.0.0.6:4000": 1, "tcp://127.0.0.1:4000": 1}
    monkeypatch.setattr(Client, "nthreads", lambda self: workers)
    said = refused(two_workers.scheduler_address)
    assert said.endswith("worker tcp://10.0.0.5:4000: talks in plain tcp over the network")


def test_tls_takes_its_certificates_from_dask_and_trusts_no_others(tmp_path: Path) -> None:
    import dask
    from distributed.security import Security

    security, stranger = Security.temporary(), Security.temporary()
    with local(1, processes=False, protocol="tls://", security=security) as there:
        address = there.scheduler_address
        assert address.startswith("tls://")
        assert "there are no certificates for tls" in refused(address)
        with dask.config.set(certificates(tmp_path, stranger)):
            assert "that lets us in" in refused(address)
        with dask.config.set(certificates(tmp_path, security)), cluster.cluster(address) as ours:
            assert ours.threads() == 1
            assert ours.executor.submit(abs, -3).result(10) == 3


def certificates(folder: Path, security: Any) -> dict[str, str]:
    """Dask's configuration for these certificates, in files."""
    words = {
        "ca-file": security.tls_ca_file,
        "client.key": security.tls_client_key,
        "client.cert": security.tls_client_cert,
    }
    for name, text in words.items():
        (folder / name).write_text(text, encoding="utf-8")
    return {f"distributed.comm.tls.{name}": str(folder / name) for name in words}


def test_every_thread_of_the_cluster_searches_beside_this_process(
    two_workers: LocalCluster,
) -> None:
    address = two_workers.scheduler_address
    with helpers(None, False, address) as (executor, workers):
        assert workers == 3
        search = searched(SEEDS[0], executor, False, seconds=60)
    assert search.lost is None
    assert search.proved, "a tiny week is proved, and then the search ends"
    with helpers(2, False, address) as (_, workers):
        assert workers == 2, "unless somebody says how many"


def test_what_raises_there_is_lost_and_stops_nothing_here(two_workers: LocalCluster) -> None:
    with cluster.cluster(two_workers.scheduler_address) as there:
        with pytest.raises(Lost, match="ValueError: invalid literal"):
            there.executor.submit(int, "soup").result(10)
        pending = there.executor.submit(time.sleep, 60)
    with pytest.raises(Lost):
        pending.result(10)
    with pytest.raises(Lost):
        there.executor.submit(int, "3")


def demo() -> Scenario:
    return read_scenario(find_scenario("demo"))


def planned_while(
    happens: Callable[[], object], executor: Executor, workers: int, hears: str | None = None
) -> set[str]:
    """Plan the demo week until well after something has happened; what was told, as kinds.

    With `hears` it goes on until that was told, or until its time is over.
    """
    week, told, scores = demo(), set(), []
    happened: list[float] = []

    def happen() -> None:
        happens()
        happened.append(time.monotonic())

    thread = threading.Timer(1.0, happen)

    def tell(event: dict[str, Any]) -> None:
        told.add(event["kind"])
        if event["kind"] == "first":
            thread.start()
        if "quality" in event:
            scores.append((event["served"], event["quality"]))

    def enough() -> bool:
        if hears is not None and hears not in told:
            return False
        return bool(happened) and time.monotonic() - happened[0] > 1.5 and len(scores) > 1

    plan = plan_week(week, seconds=90, workers=workers, executor=executor, tell=tell, stop=enough)
    thread.join()
    report = audit(week, plan)
    assert report.valid
    assert report.served
    assert scores == sorted(scores, reverse=True), "never worse"
    assert scores[-1] < scores[0]
    return told


def test_a_worker_killed_in_the_middle_costs_its_rounds_and_nothing_else(
    two_workers: LocalCluster,
) -> None:
    address = two_workers.scheduler_address
    with cluster.cluster(address) as other, helpers(None, False, address) as (executor, count):
        pids = list(other.client.run(os.getpid).values())
        assert executor is not None
        told = planned_while(lambda: os.kill(pids[0], signal.SIGKILL), executor, count)
        assert "helper lost" not in told, "the other worker goes on"
        other.client.wait_for_workers(2, timeout=60)


def test_a_scheduler_that_goes_away_leaves_the_search_to_go_on_alone() -> None:
    with (
        local(1, processes=False, protocol="tcp://") as there,
        helpers(None, False, there.scheduler_address) as (executor, count),
    ):
        assert executor is not None
        told = planned_while(there.close, executor, count, hears="helper lost")
        assert "helper lost" in told


def kitchens_of(
    there: Cluster, weeks: dict[str, Scenario], seconds: float = 1.0, seed: int = 1
) -> Kitchens:
    return Kitchens(there, weeks, seconds=seconds, seed=seed, deterministic=False)


def test_many_kitchens_are_planned_at_once_and_a_bad_one_stops_no_other(
    two_workers: LocalCluster,
) -> None:
    weeks = {f"hut {i}": tiny.scenario() for i in range(4)}
    bad: Any = SimpleNamespace(document=lambda: {"schema": 1, "kitchen": {}, "week": 3})
    with cluster.cluster(two_workers.scheduler_address) as there:
        came = dict(kitchens_of(there, weeks | {"bad": bad}).come())
    problem = came.pop("bad")
    assert isinstance(problem, BadInput)
    assert len(problem.problems) > 1
    assert set(came) == set(weeks)
    for name, plan in came.items():
        assert isinstance(plan, Plan)
        assert audit(weeks[name], plan).served


def test_kitchens_that_are_told_to_stop_come_with_their_best_plan(
    two_workers: LocalCluster,
) -> None:
    weeks = {"one": demo(), "other": demo(), "waiting": demo()}
    with cluster.cluster(two_workers.scheduler_address) as there:
        all_three = kitchens_of(there, weeks, seconds=300)
        assert list(all_three.come(time.monotonic() + 1)) == []
        all_three.stop()
        came = dict(all_three.come(time.monotonic() + 60))
    assert set(came) == set(weeks)
    for plan in came.values():
        assert isinstance(plan, Plan)
        assert audit(demo(), plan).valid


def test_a_week_that_nobody_waits_for_any_more_ends_on_its_worker(
    two_workers: LocalCluster,
) -> None:
    with cluster.cluster(two_workers.scheduler_address) as other:
        with cluster.cluster(two_workers.scheduler_address) as there:
            kitchens_of(there, {"one": demo()}, 300)
            until_busy(other, 1)
        until_busy(other, 0)


def until_busy(there: Cluster, threads: int) -> None:
    """Wait until so many threads of workers have something to do."""
    until = time.monotonic() + 30
    while True:
        busy = there.client.run(lambda dask_worker: len(dask_worker.active_threads))
        if sum(busy.values()) == threads:
            return
        assert time.monotonic() < until
        time.sleep(0.05)


def test_a_week_that_is_interrupted_while_it_is_looked_at_comes_again() -> None:
    future: Future[dict[str, Any]] = Future()
    future.set_result({"plan": tiny.plan().model_dump(mode="json")})
    one = kitchens_of(fake(lambda *_: future), {"hut": tiny.scenario()})
    assert next(one.come()) == ("hut", tiny.plan())
    assert list(one.come()) == [("hut", tiny.plan())]
    assert list(one.come()) == []


def test_what_comes_back_and_is_no_plan_counts_as_lost() -> None:
    future: Future[dict[str, Any]] = Future()
    future.set_result({"plan": {"tasks": "all done"}})
    ((_, answer),) = kitchens_of(fake(lambda *_: future), {"hut": tiny.scenario()}).come()
    assert isinstance(answer, Lost)


def test_nobody_waits_for_ever_for_a_cluster_whose_workers_are_gone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(kitchens, "LOOK", 0.02)
    monkeypatch.setattr(kitchens, "GONE", 0.1)
    weeks = {"one": tiny.scenario(), "other": tiny.scenario()}
    came = dict(kitchens_of(fake(lambda *_: Future()), weeks).come())
    assert set(came) == set(weeks)
    assert all(isinstance(answer, Lost) for answer in came.values())


def fake(submit: Callable[..., Future[Any]]) -> Cluster:
    """A cluster without a worker."""
    executor: Any = SimpleNamespace(submit=submit)
    client: Any = SimpleNamespace(nthreads=dict)
    return Cluster(executor, client)
