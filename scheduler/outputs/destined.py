"""What a batch ends up in: which events, and whether all of it is for diets."""

from __future__ import annotations

from scheduler.domain.base import Slug
from scheduler.plan.audit.facts import Facts


class Destined:
    """Where the batches of one plan end up, through everything made of them."""

    def __init__(self, facts: Facts) -> None:
        self._facts = facts
        self._known: dict[str, frozenset[str]] = {}

    def events(self, batch: str) -> tuple[Slug, ...]:
        """The events it is for, in order of time."""
        ids = {self._facts.batches[d].event for d in self._dishes(batch)}
        events = self._facts.scenario.week.events
        return tuple(e.id for e in sorted(events, key=lambda e: e.first_plate) if e.id in ids)

    def diets(self, batch: str) -> tuple[Slug, ...]:
        """The diets that all of it is for; empty where some of it is for anybody, or nobody."""
        diets = [self._facts.batches[d].diet for d in self._dishes(batch)]
        if not diets or None in diets:
            return ()
        return tuple(sorted({d for d in diets if d is not None}))

    def _dishes(self, batch: str) -> frozenset[str]:
        """The dishes' batches that it goes into."""
        if batch not in self._known:
            self._known[batch] = frozenset()  # shares in a circle end here
            known = self._facts.batches.get(batch)
            found = {batch} if known is not None and known.dish is not None else set()
            for share in self._facts.shares_from.get(batch, ()):
                found |= self._dishes(share.consumer)
            self._known[batch] = frozenset(found)
        return self._known[batch]
