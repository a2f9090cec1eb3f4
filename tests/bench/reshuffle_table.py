"""What came of each setback, by everybody; and all of them summed up as a table."""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Came:
    """What came of one way of doing it.

    Attributes
    ----------
    short, events : int
        Portions that lack something, and of how many events.
    jobs, people : int
        Jobs that have changed, and people who are told.
    first, served, last : float
        Seconds to the first proposal, to the first that serves as much as the last, to that.
    busy : float
        Processor seconds of the first: what it would take were nobody else on the machine.
    valid : bool
        The audit finds nothing in it (of the engine: in any proposal).
    """

    short: int
    events: int
    jobs: int
    people: int
    first: float = 0.0
    served: float = 0.0
    last: float = 0.0
    busy: float = 0.0
    valid: bool = True


@dataclass(frozen=True)
class Row:
    """One setback."""

    week: str
    what: str
    first: Came
    last: Came
    others: dict[str, Came]


def said(row: Row) -> str:
    """One setback in a line: portions short / jobs / people of everybody."""

    def figures(one: Came) -> str:
        return f"{one.short}/{one.jobs}/{one.people}" + ("" if one.valid else " NOT VALID")

    others = ", ".join(f"{name} {figures(one)}" for name, one in row.others.items())
    return (
        f"{row.what}: first {figures(row.first)} after {row.last.first:.2f} s "
        f"({row.last.busy:.2f} s of a processor), as served after "
        f"{row.last.served:.2f} s, last {figures(row.last)} after {row.last.last:.1f} s; {others}"
    )


def table(rows: Sequence[Row]) -> str:
    """A table a week: seconds of the engine, and everybody beside it."""
    return "\n\n".join(
        "\n".join(_week(name, [row for row in rows if row.week == name]))
        for name in dict.fromkeys(row.week for row in rows)
    )


def _week(name: str, rows: Sequence[Row]) -> Iterable[str]:
    firsts, served = [row.last.first for row in rows], [row.last.served for row in rows]
    lasts, busy = [row.last.last for row in rows], [row.last.busy for row in rows]
    valid = sum(row.last.valid for row in rows)
    yield (
        f"{name}, {len(rows)} setbacks: first proposal {_spread(firsts)} (of a processor "
        f"{_spread(busy)}), the first that serves as much as the last {_spread(served)}, "
        f"the last {_spread(lasts)} (median, 95 %); "
        f"in {valid} of {len(rows)} every proposal VALID"
    )
    yield ""
    yield (
        "| | setbacks | portions short | events short | jobs changed | people told | serves less "
        "than the engine | serves more |"
    )
    yield "|---|---|---|---|---|---|---|---|"
    yield _line("the engine, 10 s", [(row.last, row.last) for row in rows])
    yield _line("its first proposal", [(row.first, row.last) for row in rows])
    for other in dict.fromkeys(name for row in rows for name in row.others):
        yield _line(other, [(r.others[other], r.last) for r in rows if other in r.others])
    for other in dict.fromkeys(name for row in rows for name in row.others):
        even = [
            (r.last, r.others[other]) for r in rows
            if other in r.others and r.others[other].short == r.last.short
        ]  # fmt: skip
        if even:
            jobs = _part(sum(x.jobs for x, _ in even), sum(y.jobs for _, y in even))
            people = _part(sum(x.people for x, _ in even), sum(y.people for _, y in even))
            yield ""
            yield (
                f"Where {other} serves as much ({len(even)} of {len(rows)}): the engine changes "
                f"{jobs} of its jobs and tells {people} of its people."
            )


def _line(name: str, pairs: Sequence[tuple[Came, Came]]) -> str:
    mine = [one for one, _ in pairs]
    sums = (sum(getattr(one, key) for one in mine) for key in ("short", "events", "jobs", "people"))
    less = sum(one.short > other.short for one, other in pairs)
    more = sum(one.short < other.short for one, other in pairs)
    wrong = sum(not one.valid for one in mine)
    note = f" ({wrong} not VALID)" if wrong else ""
    cells = " | ".join(str(n) for n in (len(mine), *sums, less, more))
    return f"| {name}{note} | {cells} |"


def _part(one: int, other: int) -> str:
    return f"{one} against {other}" + (f" ({100 * one / other:.0f} %)" if other else "")


def _spread(values: Sequence[float]) -> str:
    some = sorted(values)
    high = some[min(len(some) - 1, int(0.95 * len(some)))]
    return f"{statistics.median(some):.2f} and {high:.2f} s"
