"""What nobody takes: by-products that are poured away, and the rest of a delivery."""

from __future__ import annotations

from fractions import Fraction

from scheduler.domain.quantity import Quantity
from scheduler.domain.walks import in_measure
from scheduler.plan.words import Names, about


def unclaimed(names: Names) -> list[str]:
    """Each with how much of it there is: "whey 6.2 l", most batches together."""
    return [*_poured_away(names), *_of_deliveries(names)]


def _poured_away(names: Names) -> list[str]:
    left: dict[str, Fraction] = {}
    placed = {t.batch for t in names.plan.tasks}
    for batch in names.plan.batches:
        maker = names.scenario.component.get(batch.component or "")
        if maker is None or batch.id not in placed:
            continue
        for step in {t.step for t in names.plan.tasks if t.batch == batch.id}:
            known = names.step_of(batch.id, step)
            for gives in known.gives if known is not None else ():
                of = names.scenario.component[gives.component]
                each = in_measure(gives.amount, of.makes.dimension, of) or Fraction(0)
                given = int(each * batch.quantity.base / maker.makes.base)
                left[of.id] = left.get(of.id, Fraction(0)) + given
    for share in names.plan.shares:
        if share.by_product in left and share.source in placed:
            left[share.by_product] -= share.quantity.base
    dimension = {c.id: c.makes.dimension for c in names.scenario.components}
    return [
        f"{names.component(name)} {about(Quantity.of(amount, dimension[name]))}"
        for name, amount in left.items()
        if amount > 0
    ]


def _of_deliveries(names: Names) -> list[str]:
    coming = {d.id for d in names.scenario.week.deliveries}
    return [
        f"{names.batch(h.source)} {about(h.quantity)}"
        for h in names.plan.holds
        if h.kind == "spare" and h.source in coming
    ]
