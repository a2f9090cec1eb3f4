"""What the tiny auditor knows of machines: doors, neighbours, cleaning between two uses."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from scheduler.workload.primitives import Clean, Placed, Problem, Resource


@dataclass(frozen=True, slots=True)
class Taken:
    """So much of a resource from start to end, by a use (its place) or by a visit (None)."""

    start: int
    end: int
    amount: int
    state: int | None
    name: str
    use: int | None = None


def besides(problem: Problem, resource: Resource, taken: list[Taken]) -> Iterator[str]:
    """Uses that must not be beside each other never overlap."""
    for i, one in enumerate(taken):
        for two in taken[i + 1 :]:
            if one.use is None or two.use is None or two.start >= one.end:
                continue
            if problem.uses[one.use].apart(problem.uses[two.use]):
                yield f"{resource.id}: {one.name} beside {two.name}"


def doors(problem: Problem, resource: Resource, taken: list[Taken]) -> Iterator[str]:
    """No use starts or ends strictly inside one that is shut."""
    for shut in taken:
        if shut.use is None or not problem.uses[shut.use].shut:
            continue
        for other in taken:
            inside = (t for t in (other.start, other.end) if shut.start < t < shut.end)
            if other is not shut and other.use is not None:
                for t in inside:
                    yield f"{resource.id}: opened at {t} for {other.name}, shut for {shut.name}"


def cleans(
    clean: Clean, taken: list[Taken], done: Mapping[int, Placed]
) -> Iterator[tuple[int, str, Placed | None, list[str]]]:
    """Between two uses in a row that call for it one visit: right length, between them, at once.

    Yields the earlier use, what to call the visit, the visit, and what is wrong with it.
    """
    stated = [t for t in taken if t.state is not None]  # what stands still leaves nothing behind
    for one, two in pairwise(sorted(stated, key=lambda t: (t.start, t.end))):
        if one.use is None or one.state is None or two.state is None:
            continue
        if not clean.after[one.state][two.state]:
            continue
        name, placed = f"cleaning after {one.name}", done.get(one.use)
        wrong: list[str] = []
        if placed is None:
            wrong.append(f"{name}: is left out, {two.name} follows")
        else:
            if placed.end - placed.start != clean.length:
                wrong.append(f"{name}: lasts {placed.end - placed.start}, not {clean.length}")
            if placed.start < one.end or placed.end > two.start:
                wrong.append(f"{name}: {placed.start}..{placed.end}, not {one.end}..{two.start}")
            if clean.at_once and placed.start != one.end:
                wrong.append(f"{name}: at {placed.start}, not at once ({one.end})")
        yield one.use, name, placed, wrong
