"""What may not be beside what: goods that keep apart, and families of trays, as bits."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from scheduler.domain.scenario import Scenario
    from scheduler.workload.model import WorkBatch

Sort = tuple[int, int]
"""What something is, and what it may not be beside: bits."""
ANY: Sort = (0, 0)


def both(one: Sort, other: Sort) -> Sort:
    """Something that is of both sorts."""
    return one[0] | other[0], one[1] | other[1]


class Sorts:
    """A bit for all goods that keep apart from others, and for every family of trays.

    It is enough that one of two says that it may not be beside the other.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        pairs = {
            frozenset((c.id, other)) for c in scenario.components for other in c.not_beside
        }
        names: list[tuple[str, str]] = [("", c) for c in sorted({c for p in pairs for c in p})]
        families = {
            k.id: sorted({f for u in k.each for f in u.holds}) for k in scenario.kitchen.equipment
        }
        names += [(k, f) for k, found in families.items() if len(found) > 1 for f in found]
        self._bit = {name: 1 << n for n, name in enumerate(names)}
        self._apart: dict[tuple[str, str], int] = dict.fromkeys(names, 0)
        for pair in pairs:
            for one in pair:
                for other in pair - {one}:
                    self._apart["", one] |= self._bit["", other]
        for kind, found in families.items():
            for one in found if len(found) > 1 else ():
                self._apart[kind, one] = sum(self._bit[kind, f] for f in found if f != one)

    def tray(self, kind: str, family: str | None) -> Sort:
        """Trays of one family, never beside those of another in one unit of the kind."""
        name = kind, family or ""
        return self._bit.get(name, 0), self._apart.get(name, 0)

    def goods(self, names: Iterable[str]) -> Sort:
        """Components that are together anyhow, or an ingredient.

        sort = union of theirs, not_beside = union of theirs less sort.
        """
        sort, apart = 0, 0
        for name in [("", n) for n in names if ("", n) in self._bit]:
            sort |= self._bit[name]
            apart |= self._apart[name]
        return sort, apart & ~sort

    def batch(self, batch: WorkBatch) -> Sort:
        """A batch of a component, or of a dish: everything that goes into it."""
        if batch.component is not None:
            return self.goods((batch.component,))
        takes = self.scenario.dish[batch.dish or ""].inputs
        return self.goods(t.component for t in takes if t.component is not None)
