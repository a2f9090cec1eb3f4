"""A Dask cluster as an executor: who may be asked, whether it is like us, what is lost with it.

Whoever reaches a Dask scheduler can run code on its machines and on this one,
so plain TCP is for this machine only and everything else needs TLS, with the
certificates that Dask's own configuration names. Whatever goes wrong there
later comes out as `Lost`, which is a `BrokenExecutor`.
"""

from __future__ import annotations

import importlib.util
import logging
import socket
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import BrokenExecutor, Executor, Future
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from ipaddress import ip_address
from threading import Thread
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar
from urllib.parse import urlsplit

from scheduler.domain.problems import BadInput, Problem
from scheduler.solve.alike import asked, differences, here

if TYPE_CHECKING:
    from distributed import Client

T = TypeVar("T")

ANSWER = 5.0
"""Seconds somebody at the address gets to answer."""
LEAVE = 2.0
"""Seconds for taking leave of it."""
EXAMPLE = "tcp://127.0.0.1:8786 or tls://planner.example:8786"
FIRST = ("python", "distributed", "dask", "cloudpickle")
"""Compared before any function travels."""


class Lost(BrokenExecutor):
    """What ran on the cluster will not come back."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """A cluster that answers and is like us.

    Attributes
    ----------
    executor : Executor
        Runs functions on it; what is lost there raises `Lost`.
    client : distributed.Client
    """

    executor: Executor
    client: Client

    def threads(self) -> int:
        """Threads of all workers that are there now; 0 also where nobody answers."""
        try:
            return sum(within(ANSWER, self.client.nthreads).values())
        except Exception:
            return 0


@contextmanager
def cluster(address: str) -> Iterator[Cluster]:
    """Connect to a cluster, and take leave of it in the end; what still runs is cancelled.

    Parameters
    ----------
    address : str
        Of its scheduler: `tcp://` on this machine, `tls://` anywhere.

    Raises
    ------
    BadInput
        If the address is refused, the extra `cluster` is not installed,
        nobody answers, there is no worker, a worker talks in the open, or
        versions differ.
    """
    check_address(address)
    logging.getLogger("distributed").setLevel(logging.CRITICAL + 1)  # what matters, `Lost` says
    client = _connected(address)
    executor = _Executor(client)
    try:
        _check_workers(address, client)
        _check_versions(address, client)
        yield Cluster(executor, client)
    finally:
        executor.shutdown(wait=False)
        with suppress(Exception):
            client.close(timeout=LEAVE)


def check_address(address: str) -> None:
    """Refuse what is no address, and plain TCP to another machine.

    Raises
    ------
    BadInput
    """
    try:
        parts = urlsplit(address)
        host, port = parts.hostname, parts.port
    except ValueError:
        host = port = None
    if not host or not port or "://" not in address:
        _refuse(address, "this is no address of a cluster", EXAMPLE)
    if parts.scheme not in ("tcp", "tls"):
        _refuse(address, f"'{parts.scheme}' is not spoken; tcp on this machine or tls is", EXAMPLE)
    if parts.scheme == "tcp" and not _this_machine(host):
        _refuse(
            address,
            "plain tcp goes to this machine only; whoever listens in between could run code on "
            "both ends",
            f"tls://{parts.netloc}, with certificates",
        )
    if importlib.util.find_spec("distributed") is None:
        _refuse(
            address,
            "planning on a cluster needs the extra 'cluster', which is not installed here",
            "pip install -e '.[cluster]' in Backtime's folder",
        )


def _this_machine(host: str) -> bool:
    """Loopback by number, or `localhost`; no other name, for a name may come to mean another."""
    if host.lower() == "localhost":
        return True
    with suppress(ValueError):
        return ip_address(host).is_loopback
    return False


def _refuse(address: str, what: str, maybe: str = "", where: str = "") -> NoReturn:
    raise BadInput([Problem(address, None, None, where, what, maybe)])


def _connected(address: str) -> Client:
    from distributed import Client

    class Ours(Client):
        def __del__(self) -> None:
            """`cluster` closes it; one that never came about would complain for seconds."""

    ours: Any = Ours
    parts = urlsplit(address)
    try:  # Dask would go on trying; a refusal is known at once
        with socket.create_connection((parts.hostname or "", parts.port or 0), ANSWER):
            pass
    except OSError as error:
        why = error.strerror or str(error)
        _refuse(address, f"nobody answers there ({why})", "another port; 8786 is the usual one")
    try:
        client: Client = within(
            ANSWER + LEAVE,  # its own time-out does not count for one that says nothing at all
            lambda: ours(address, timeout=ANSWER, set_as_default=False, name="backtime"),
        )
        return client
    except TypeError:
        if parts.scheme != "tls":
            raise
        _refuse(
            address,
            "there are no certificates for tls",
            "in Dask's configuration, distributed.comm.tls: ca-file, and client's cert and key",
        )
    except Exception as error:
        _refuse(address, f"who answers there is no Dask scheduler that lets us in ({error})")


def _check_workers(address: str, client: Client) -> None:
    """There must be some, and none that talks in the open with another machine."""
    workers = _answer(address, client.nthreads)
    if not workers:
        _refuse(address, "the scheduler answers, but has no worker", f"dask worker {address}")
    found = [
        Problem(address, None, None, f"worker {worker}", "talks in plain tcp over the network")
        for worker in workers
        if not _closed(worker)
    ]
    if found:
        raise BadInput(found)


def _closed(worker: str) -> bool:
    parts = urlsplit(worker)
    if parts.scheme == "tcp":
        return _this_machine(parts.hostname or "")
    return parts.scheme == "tls"


def _check_versions(address: str, client: Client) -> None:
    """First what a function needs to travel, then, by a function, all the rest."""
    ours = here()
    known = _answer(address, client.get_versions)
    places = {"scheduler": known["scheduler"]}
    places |= {f"worker {w}": v for w, v in known["workers"].items()}
    first = {place: _first(versions) for place, versions in places.items()}
    found = differences(address, ours, first)
    if not found:
        there = {"scheduler": _answer(address, lambda: client.run_on_scheduler(asked()))}
        told = _answer(address, lambda: client.run(asked(), on_error="return"))
        there |= {f"worker {worker}": _told(answer) for worker, answer in told.items()}
        found = differences(address, ours, there)
    if found:
        raise BadInput(found)


def _first(versions: Mapping[str, Any]) -> dict[str, str]:
    """What a place says of itself without running anything."""
    python = ".".join(str(versions["host"]["python"]).split(".")[:2])
    packages = versions["packages"]
    return {"python": python} | {p: str(packages.get(p)) for p in FIRST[1:]}


def _told(answer: Any) -> dict[str, str]:
    """What a worker says of itself; an error in its place."""
    if isinstance(answer, dict):
        return answer
    return {"backtime": f"does not run ({type(answer).__name__}: {answer})"}


def _answer(address: str, ask: Callable[[], Any]) -> Any:
    try:
        return within(ANSWER, ask)
    except Exception as error:
        _refuse(address, f"it stopped answering ({type(error).__name__}: {error})")


def within(seconds: float, ask: Callable[[], T]) -> T:
    """Ask, and give up after a while; Dask itself may wait for ever for one that hangs.

    Raises
    ------
    TimeoutError
        And whatever asking raises.
    """
    answers: list[T] = []
    errors: list[Exception] = []

    def run() -> None:
        try:
            answers.append(ask())
        except Exception as error:
            errors.append(error)

    thread = Thread(target=run, daemon=True)
    thread.start()
    thread.join(seconds)
    if errors:
        raise errors[0]
    if not answers:
        raise TimeoutError(f"no answer within {seconds:g} s")
    return answers[0]


class _Executor(Executor):
    """Dask's executor; whatever does not come back from it is `Lost`.

    A worker that dies is no loss yet: Dask gives its tasks to another. What
    raises there is lost too, so that one bad worker stops no plan.
    """

    def __init__(self, client: Client) -> None:
        self._inner = client.get_executor(pure=False)

    def submit(self, fn: Callable[..., T], /, *args: Any, **kwargs: Any) -> Future[T]:
        """Run a function on the cluster."""
        future: Future[T] = Future()
        try:
            inner: Future[T] = self._inner.submit(fn, *args, **kwargs)
        except Exception as error:
            raise _lost(error) from error
        inner.add_done_callback(lambda done: _pass_on(done, future))
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Let go; without `wait` what runs is cancelled."""
        with suppress(Exception):
            self._inner.shutdown(wait and not cancel_futures)


def _pass_on(done: Future[T], future: Future[T]) -> None:
    """Hand a result, or its loss, on."""
    if done.cancelled():
        future.set_exception(Lost("the cluster has let go of it"))
        return
    error = done.exception()
    if error is None:
        future.set_result(done.result())
    else:
        future.set_exception(_lost(error))


def _lost(error: BaseException) -> Lost:
    return Lost(f"{type(error).__name__}: {error}")
