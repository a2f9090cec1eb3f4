"""A component that needs itself: each batch begins from an earlier one, or from what is there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.workload.supply import SLACK, Group, joins

if TYPE_CHECKING:
    from scheduler.domain.recipes import Component
    from scheduler.workload.demand import Need


def bridged(component: Component, shortened: int) -> int:
    """How long before its use a batch that only keeps a starter going may be ready, minutes."""
    limit = component.keeps[0].at_most - component.keeps[0].not_before - shortened
    return max(0, limit - SLACK if limit > SLACK else limit // 2)


def from_earlier(
    component: Component,
    groups: list[Group],
    own: list[Need],
    most: int | None,
    shortened: int,
    now: int,
) -> tuple[list[Group], list[Need]]:
    """Let earlier batches feed what later batches of the same component take.

    Only the same batch is a circle: a starter kept back from the last batch
    begins the next one. Latest batches first, so that what an earlier one has
    to make is settled when its own turn comes. Where no earlier batch keeps
    until then, a small one is made in between (and another before that),
    as long as there is time after `now`.

    Returns
    -------
    tuple of (list of Group, list of Need)
        All groups, and what nothing can feed.
    """
    order = {g.key: i for i, g in enumerate(groups)}
    bridges: dict[str, Group] = {}
    stuck: list[Need] = []

    def place(need: Need) -> tuple[int, int]:
        """Latest group first, then the batches that bridge to it, nearest first."""
        key = need.consumer.partition("#")[0]
        base = key.lstrip("^")
        return -order.get(base, 0), len(key) - len(base)

    for need in sorted(own, key=lambda n: (place(n), n.consumer, n.step)):
        key = need.consumer.partition("#")[0]
        at = order.get(key.lstrip("^"), 0)
        for group in reversed(groups[:at]):
            if joins(component, group, need, most, shortened):
                group.add(need)
                break
        else:
            bridge = bridges.get(f"^{key}")
            if bridge is not None and joins(component, bridge, need, most, shortened):
                bridge.add(need)
            elif bridge is None and need.latest > now:
                bridges[f"^{key}"] = Group(f"^{key}", [need], need.quantity, bridge=True)
            else:
                stuck.append(need)
    return [*groups, *bridges.values()], stuck
