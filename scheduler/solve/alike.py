"""Whether another process runs the same as this one: what must be equal, and what differs.

Rounds travel as pickles, so both ends must agree on Python and on every
class; and a plan must not depend on which machine found it.
"""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

from scheduler.domain.problems import Problem
from scheduler.plan.versions import version_of

PACKAGES = ("ortools", "numpy", "distributed", "dask", "cloudpickle")
ABSENT = "not installed"


def here() -> dict[str, str]:
    """What runs in this process."""
    backtime = f"{version_of('backtime')} ({fingerprint()})"
    return {"python": python(), "backtime": backtime} | {p: version_of(p) for p in PACKAGES}


def python() -> str:
    """The Python that runs here, to its minor version: pickles of code depend on no more."""
    return f"{sys.version_info.major}.{sys.version_info.minor}"


@cache
def fingerprint() -> str:
    """Says which source of Backtime this is; two checkouts may have one version and differ."""
    folder = Path(__file__).resolve().parents[1]
    known = hashlib.sha256()
    for path in sorted(folder.rglob("*.py"), key=lambda p: p.relative_to(folder).as_posix()):
        known.update(path.relative_to(folder).as_posix().encode() + b"\0")
        known.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return known.hexdigest()[:8]


def asked() -> Callable[[], dict[str, str]]:
    """`here`, as a function that travels with its code: it also runs where no Backtime is."""

    def there() -> dict[str, str]:
        try:
            from scheduler.solve.alike import here
        except ImportError:
            return {"backtime": "not installed"}
        return here()

    return there


def differences(
    address: str, ours: Mapping[str, str], theirs: Mapping[str, Mapping[str, str]]
) -> list[Problem]:
    """What differs, each place in one sentence.

    Parameters
    ----------
    address : str
        Of the cluster, as the user gave it.
    ours : mapping of str to str
        Versions here.
    theirs : mapping of str to mapping
        The same for each place ("scheduler", "worker tcp://…"); what it does
        not say is not compared.
    """
    found = []
    for place, versions in theirs.items():
        different = [
            f"{what} {there if there == ABSENT else 'is ' + there} there and {ours[what]} here"
            for what, there in versions.items()
            if what in ours and there != ours[what]
        ]
        if different:
            maybe = "the same environment on every machine"
            found.append(Problem(address, None, None, place, "; ".join(different), maybe))
    return found
