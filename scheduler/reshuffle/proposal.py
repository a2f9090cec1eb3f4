"""What is proposed for a broken plan: the new plan beside the old one, and what gives."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from scheduler.plan.comparing import compare
from scheduler.plan.file import plan_of
from scheduler.plan.words import Names, several
from scheduler.reshuffle.besides import besides

if TYPE_CHECKING:
    from collections.abc import Iterator

    from scheduler.plan.changes import Comparison
    from scheduler.plan.file import PlanFile
    from scheduler.reshuffle.asking import Asked
    from scheduler.reshuffle.help import Mending


@dataclass(frozen=True)
class Proposal:
    """A plan for the week as it is now; nothing has changed by it.

    Whoever accepts it keeps it and puts it on the wall (`book.wall`), saying which plan they saw
    hanging: its `parent`. Where another hangs there by then it is refused, and worked out again.

    Attributes
    ----------
    asked : Asked
        What it was made from.
    text : str
        Its plan file.
    """

    asked: Asked
    text: str

    @cached_property
    def file(self) -> PlanFile:
        """The plan file as read."""
        return plan_of(self.text, "the proposal")

    @cached_property
    def comparison(self) -> Comparison:
        """Beside the plan that broke: one sentence first, then who must be told what."""
        return compare(self.asked.older, self.file)

    @property
    def parent(self) -> str:
        """SHA-256 of the plan that broke."""
        return self.asked.parent

    def gives(self) -> Iterator[str]:
        """What cannot be saved: which event, how many portions, of what, and why."""
        names = Names(self.file.scenario, self.file.plan)
        why = {m.batch: m.why for m in self.file.plan.missing}
        of = {b.id: b.component or b.dish for b in self.file.plan.batches}
        portions: dict[tuple[str, str, tuple[str, ...]], int] = {}
        for short in self.file.plan.unserved:
            key = short.event, short.dish, short.lacks
            portions[key] = portions.get(key, 0) + short.portions
        for (event, dish, lacks), count in portions.items():
            said = f"{names.event(event)}: {several(count, 'portion')} of {_called(names, dish)}"
            reasons = [why[b] for b in why if of.get(b) in lacks]
            because = f" ({reasons[0]})" if reasons else ""
            yield f"{said} lack {' and '.join(_called(names, n) for n in lacks)}{because}"

    def besides(self) -> Iterator[str]:
        """What else whoever accepts it should know: see `besides`."""
        yield from besides(self.asked, self.file)

    def help(self, seconds: float = 10, deterministic: bool = False) -> Mending:
        """What would mend what gives, looked for in a process of its own; nothing changes by it.

        Parameters
        ----------
        seconds : float
            Time in all; what there is no time for is named.
        deterministic : bool
            Look at everything, and find the same every time.

        Raises
        ------
        OSError
            If there is no temporary folder or no process to be had.
        """
        from scheduler.reshuffle.help_job import look_for_help

        return look_for_help(self.text, seconds=seconds, deterministic=deterministic)


def _called(names: Names, recipe: str) -> str:
    """What a component or dish is called."""
    dish = names.scenario.dish.get(recipe)
    return names.component(recipe) if dish is None else dish.name or dish.id
