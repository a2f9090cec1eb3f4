"""What help would mend it: each remedy tried by planning with it, and what it serves more.

Asked separately from a proposal, which is there first; nothing is changed by it.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from scheduler.domain.problems import BadInput
from scheduler.plan.audit import audit
from scheduler.plan.words import Names, several
from scheduler.reshuffle.help_people import called_in, longer
from scheduler.reshuffle.help_things import borrowed, bought, later
from scheduler.reshuffle.short import Kind, Remedy, Short
from scheduler.solve.engine import plan_week

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.domain.scenario import Scenario
    from scheduler.domain.staying import Staying
    from scheduler.plan.model import Plan

EACH = 1.0
"""Seconds to look for a plan with one remedy …"""
A_SECOND = 500
"""… and one more for so many tasks: a large week takes as long only to be worked out."""
ASKED = (longer, called_in, borrowed, bought, later)
"""What may be asked for: own people longer, somebody who is off called in, a machine borrowed, more
bought in, and last of all a later first plate, which is for the events office."""


@dataclass(frozen=True, slots=True)
class Help:
    """What one thing that may be asked for would mend.

    Attributes
    ----------
    kind : str
        "longer", "called in", "borrowed", "bought" or "later".
    said : str
        One sentence.
    portions : int
        So many more would be served …
    of : int
        … of so many that lack something.
    """

    kind: Kind
    said: str
    portions: int
    of: int

    @property
    def whole(self) -> bool:
        """Is everything served with it?"""
        return self.portions == self.of

    def plain(self) -> dict[str, Any]:
        """As plain data."""
        return asdict(self)


@dataclass(frozen=True, slots=True)
class Mending:
    """What would help, in the order of who may say yes.

    Attributes
    ----------
    helps : tuple of Help
    unlooked : tuple of str
        What there was no time to look at.
    broken : bool
        The look for it broke off.
    """

    helps: tuple[Help, ...]
    unlooked: tuple[str, ...] = ()
    broken: bool = False

    def lines(self) -> Iterator[str]:
        """Everything in sentences."""
        yield from (one.said for one in self.helps)
        if self.broken:
            yield "The look for help broke off before its end."
        elif not self.helps and not self.unlooked:
            yield "Nothing that was tried serves more."
        if self.unlooked:
            yield f"No time to look at: {', '.join(self.unlooked)}."


def mending(
    scenario: Scenario,
    plan: Plan,
    kept: Sequence[Staying] = (),
    *,
    seconds: float = 10,
    each: float | None = None,
    deterministic: bool = False,
    stop: Callable[[], bool] = lambda: False,
    clock: Callable[[], float] = time.monotonic,
    tell: Callable[[Help], None] = lambda help: None,
) -> Mending:
    """Try what may be asked for, one after the other.

    Parameters
    ----------
    scenario : Scenario
        The week as it is now.
    plan : Plan
        A proposal: the plan made anew for it; one without a past needs no help.
    kept : sequence of Staying
        Tasks that stay.
    seconds : float
        Time in all; what there is no time for is named. In deterministic mode everything is
        looked at.
    each : float, optional
        Time for one of them; left out: as the week is large.
    tell : callable
        Gets each as it is found; where several of one group serve, the best is told last.
    """
    if not plan.unserved or plan.past is None:
        return Mending(())
    short, began = Short(scenario, plan, plan.past), clock()
    each = min(seconds, EACH + len(plan.tasks) / A_SECOND) if each is None else each
    found: dict[tuple[str, str], Help] = {}
    unlooked: list[str] = []

    def over() -> bool:
        return stop() or (not deterministic and clock() - began >= seconds)

    for remedy in (one for each in ASKED for one in each(short)):
        key = remedy.kind, remedy.group
        there = found.get(key)
        whole = any(h.whole for h in found.values())
        if (there is not None and there.whole) or (remedy.kind == "later" and whole):
            continue
        if over():
            unlooked.append(remedy.name)
            continue
        one = _tried(short, remedy, kept, each, deterministic, over)
        if one is not None and (there is None or one.portions > there.portions):
            found[key] = one
            tell(one)
    return Mending(tuple(found.values()), tuple(dict.fromkeys(unlooked)))


def _tried(
    short: Short, remedy: Remedy, kept: Sequence[Staying], each: float,
    deterministic: bool, over: Callable[[], bool],
) -> Help | None:
    """What a remedy mends; None where that is nothing, or it is no week that may be."""
    try:
        week = remedy.week()
        plan = _planned(short, week, kept, each, deterministic, over)
    except BadInput:
        return None
    if plan.terms.served >= short.plan.terms.served or not audit(week, plan).valid:
        return None
    more = short.portions - sum(one.portions for one in plan.unserved)
    asked = remedy.said(Names(week, plan))
    if more <= 0 or not asked:
        return None
    all_of_it = more == short.portions
    serves = (
        "everything is served" if all_of_it
        else f"{several(more, 'portion')} of the {short.portions} that go short are served"
    )  # fmt: skip
    return Help(remedy.kind, f"{asked[:1].upper()}{asked[1:]}: {serves}.", more, short.portions)


def _planned(
    short: Short, week: Scenario, kept: Sequence[Staying], each: float,
    deterministic: bool, over: Callable[[], bool],
) -> Plan:
    """A short run from the proposal that ends when everything is served."""
    served = False

    def look(event: dict[str, Any]) -> None:
        nonlocal served
        plan = event.get("plan")
        served = served or (plan is not None and not plan.unserved)

    return plan_week(
        week, seconds=each, deterministic=deterministic, kept=kept,
        start_from=short.plan, past=short.past, tell=look, stop=lambda: served or over(),
    )  # fmt: skip
