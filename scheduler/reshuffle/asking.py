"""From a plan on the wall and what has happened to what a solving job is asked."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from scheduler.domain.staying import Staying
from scheduler.plan.file import plan_of
from scheduler.plan.moments import with_offset
from scheduler.reshuffle.hits import hits
from scheduler.reshuffle.past import past_of
from scheduler.reshuffle.sense import check
from scheduler.reshuffle.setback import Counts, Moved
from scheduler.reshuffle.standing import Standing
from scheduler.reshuffle.week import week_after
from scheduler.solve.request import Request

if TYPE_CHECKING:
    from scheduler.domain.problems import Problem
    from scheduler.domain.scenario import Scenario
    from scheduler.domain.times import Clock
    from scheduler.plan.file import PlanFile
    from scheduler.plan.model import Past, Plan
    from scheduler.reshuffle.setback import Setback


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be planned anew.

    Attributes
    ----------
    older : PlanFile
        The plan that broke.
    text : str
        Its file.
    scenario : Scenario
        The week as it is now.
    past : Past
    kept : tuple of Staying
        What stays where somebody wants it.
    setbacks : tuple of Setback
        What has happened.
    """

    older: PlanFile
    text: str
    scenario: Scenario
    past: Past
    kept: tuple[Staying, ...] = ()
    setbacks: tuple[Setback, ...] = ()

    @property
    def parent(self) -> str:
        """SHA-256 of the plan that broke."""
        return hashlib.sha256(self.text.encode()).hexdigest()

    def request(self, seconds: float = 10, seed: int = 1, deterministic: bool = False) -> Request:
        """What a solving job is asked."""
        return Request(
            self.scenario.document(), seconds, seed, deterministic,
            kept=[k.model_dump(mode="json") for k in self.kept],
            plan=self.text,
            past=self.past.model_dump(mode="json"),
        )


def asked(
    text: str,
    setbacks: Sequence[Setback],
    now: datetime,
    keep: Sequence[Staying] = (),
    recorded: int | None = None,
    name: str = "plan",
) -> Asked:
    """What follows from setbacks for a plan, at a moment; nothing is changed.

    Parameters
    ----------
    text : str
        The plan file.
    setbacks : sequence of Setback
    now : datetime
        The kitchen's wall clock, without a zone.
    keep : sequence of Staying
        Tasks that are to stay, besides those the plan keeps.
    recorded : int, optional
        The minute of the record's last entry.
    name : str
        What the plan is called where something is wrong with it.

    Raises
    ------
    BadInput
        If it is no plan, or a setback makes no sense.
    """
    file = plan_of(text, name)
    standing = Standing(file, now)
    check(standing, setbacks, recorded, adjusts=bool(keep))
    hit = hits(standing, setbacks)
    past = past_of(standing, setbacks, hit)
    scenario = week_after(standing, setbacks, past)
    return Asked(file, text, scenario, past, _kept(standing, past, keep), tuple(setbacks))


def named(what: Asked, problems: Sequence[Problem]) -> list[Problem]:
    """What is wrong with the week as it is now, beside the count or moment that made it so."""
    why = {}
    for one in what.setbacks:
        if isinstance(one, Counts):
            why[one.event] = f"{one.event} with {one.guests} guests"
        elif isinstance(one, Moved):
            why[one.event] = f"{one.event} from {one.to:%H:%M}"
    return [
        replace(p, where=f"{why[event]}, {p.where}")
        if (event := p.where.partition(".")[0]) in why else p
        for p in problems
    ]  # fmt: skip


def _kept(standing: Standing, past: Past, more: Sequence[Staying]) -> tuple[Staying, ...]:
    """What the plan keeps and what is to be kept besides, as far as it has not begun."""
    over = {t.id for t in past.tasks}
    more = [keep for keep in more if keep.task not in over]
    new = {keep.task for keep in more}
    found = [
        keep for keep in kept_in(standing.plan, standing.clock)
        if keep.task not in over and keep.task not in new
        and keep.task.partition("/")[0] not in past.gone
    ]  # fmt: skip
    return (*found, *more)


def kept_in(plan: Plan, clock: Clock) -> list[Staying]:
    """What a plan keeps, as it was asked."""
    said: list[dict[str, Any]] = with_offset(
        [k.model_dump(mode="json", exclude_defaults=True) for k in plan.kept], clock
    )
    return [Staying.model_validate(k) for k in said]
