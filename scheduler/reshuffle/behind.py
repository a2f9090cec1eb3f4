"""What is behind by the record, and matters: more than it has in hand before a limit or service.

No entry is unknown, which is not late. Behind is what the record itself says came later than
planned: begun later and not over, over later, or put off. What follows may slide with it as long
as that eats only its time in hand; hands and machines are not asked here, a reshuffle does that.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from scheduler.domain.changing import CHANGE
from scheduler.plan.audit.clocks import fresh_within
from scheduler.plan.binding import Ties
from scheduler.reshuffle.sense_of_tasks import gone_on
from scheduler.reshuffle.setback import Ends, NotBegun

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.plan.binding import Binding
    from scheduler.plan.model import PlannedTask
    from scheduler.reshuffle.standing import Standing


@dataclass(frozen=True, slots=True)
class Behind:
    """A task that is later than the plan can bear.

    Attributes
    ----------
    task : str
    late, in_hand : int
        So much it is behind, and so much it could be; minutes.
    said : str
        One sentence.
    setback : Ends or NotBegun
        What to work out anew with.
    """

    task: str
    late: int
    in_hand: int
    said: str
    setback: Ends | NotBegun


Left = tuple[int, str]
"""Minutes in hand, and before what."""


def behind(
    standing: Standing,
    begun: Mapping[str, datetime],
    done: Mapping[str, datetime],
    put_off: Collection[str] = (),
) -> tuple[Behind, ...]:
    """What is behind and matters, the least to be borne first.

    Parameters
    ----------
    begun, done : mapping of str to datetime
        Task: when the record says that it began, and was over; the kitchen's wall clock.
    put_off : collection of str
        Tasks that were left out or put off, and not done since.
    """
    late = dict(_late(standing, begun, done, put_off))
    if not late:
        return ()
    look = _Look(standing, {*begun, *done})
    found = []
    for name, minutes in late.items():
        left = look.left(name, waits=name not in begun and name not in done)
        if left is not None and minutes > left[0]:
            found.append(_behind(standing, look, standing.task[name], minutes, left, begun, done))
    return tuple(sorted(found, key=lambda b: (b.in_hand - b.late, b.task)))


def _late(
    standing: Standing,
    begun: Mapping[str, datetime],
    done: Mapping[str, datetime],
    put_off: Collection[str],
) -> Iterator[tuple[str, int]]:
    """Tasks that the record says are later than planned, and by how much."""
    minute = standing.clock.minute
    for name in sorted({*begun, *done, *put_off} & set(standing.task)):
        task = standing.task[name]
        if name in done:
            by = minute(done[name]) - task.end
            by = 0 if gone_on(standing, task) else by
        elif name in begun:
            by = minute(begun[name]) - task.start
        else:
            by = standing.exactly - task.start
        if by >= CHANGE:
            yield name, by


class _Look:
    """Time in hand through everything that has not begun, to a limit or to service."""

    def __init__(self, standing: Standing, over: Collection[str]) -> None:
        self.ties = Ties(standing.scenario, standing.plan)
        self.over = over
        self._known: dict[tuple[str, bool], Left | None] = {}

    def left(self, name: str, waits: bool) -> Left | None:
        """How much later a task may be over; None: nothing waits for it.

        Parameters
        ----------
        waits : bool
            It has not begun: what waits for it waits longer, up to its limit.
        """
        key = name, waits
        if key not in self._known:
            self._known[key] = None  # what needs itself is no reason
            tied = self.ties.of(name)
            every = list(self._limits(tied)) if waits else []
            for tie in tied.after:
                if tie.kind == "service":
                    every.append((tie.in_hand, tie.said))
                elif tie.task and tie.task not in self.over:
                    then = self.left(tie.task, waits=True)
                    if then is not None:
                        every.append((tie.in_hand + then[0], then[1]))
            self._known[key] = min(every, default=None)
        return self._known[key]


    def _limits(self, tied: Binding) -> Iterator[Left]:
        """How much longer what waits for a task may wait, also what does not wait at all yet."""
        facts, names = self.ties.facts, self.ties.names
        yield from ((h.left, h.said) for h in tied.holds if h.ends_here and h.hold.kind != "share")
        task = facts.tasks[tied.task]
        for use in self.ties.uses:
            of = facts.of_share(use.share)
            if of is None or task not in use.tasks:
                continue
            within = fresh_within(facts, use.share)
            limit = max(k.at_most for k in of.keeps)
            limit = limit if within is None else min(limit, within)
            said = f"{names.batch(use.share.source)} waits at most {names.length(limit)}"
            yield limit - (task.start - use.clock.ready), said


def _behind(
    standing: Standing, look: _Look, task: PlannedTask, late: int, left: Left,
    begun: Mapping[str, datetime], done: Mapping[str, datetime],
) -> Behind:
    names = look.ties.names
    what = f"{names.batch(task.batch)}: {names.step(task.batch, task.step)}"
    in_hand = names.length(left[0]) if left[0] > 0 else "nothing"
    said = f"{what} is {names.length(late)} behind, with {in_hand} in hand ({left[1]})."
    setback: Ends | NotBegun = NotBegun(task=task.id)
    if task.id in begun or task.id in done:
        at = done.get(task.id) or standing.clock.local(task.end + late).replace(tzinfo=None)
        setback = Ends(task=task.id, at=at)
    return Behind(task.id, late, left[0], f"{said[:1].upper()}{said[1:]}", setback)
