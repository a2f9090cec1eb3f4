"""Trays of several families in one kind of equipment, as places of one size."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import lcm


def sizes(
    holds: Sequence[Mapping[str, int]],
) -> tuple[dict[str, int], tuple[int, ...]] | None:
    """How many small places a tray of each family takes, and how many each unit has.

    Such that in every unit, with trays of one family only, exactly so many
    fit as it holds: n[u][f] * w[f] <= size[u] < (n[u][f] + 1) * w[f]. The
    places are those of a common multiple of one unit; the first unit that
    does for all of them.

    Parameters
    ----------
    holds : sequence of mapping
        For each unit how many trays of each family it takes; the same families in all.

    Returns
    -------
    tuple or None
        None where the units differ too much to be one kind.
    """
    for reference in holds:
        whole = lcm(*reference.values())
        weight = {family: whole // n for family, n in reference.items()}
        found = [_size(unit, weight) for unit in holds]
        if all(size is not None for size in found):
            return weight, tuple(size for size in found if size is not None)
    return None


def _size(unit: Mapping[str, int], weight: Mapping[str, int]) -> int | None:
    least = max(n * weight[f] for f, n in unit.items())
    most = min((n + 1) * weight[f] - 1 for f, n in unit.items())
    return least if least <= most else None
