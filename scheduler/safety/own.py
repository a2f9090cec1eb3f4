"""A kitchen's own limits beside the published ones: stricter is its matter, looser is told."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from scheduler.domain.loosening import holding, looser
from scheduler.domain.profiles import NAMES, profile
from scheduler.safety.finding import Finding, Standing

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario


def loosened(scenario: Scenario) -> Iterator[Finding]:
    """Every own limit that lets pass what the published one does not, with both.

    It holds where somebody answers for it (`confirmed`), or where the published one is only told.
    """
    kitchen = scenario.kitchen
    if kitchen.rule_profile not in NAMES:
        return
    published = dict(profile(kitchen.rule_profile).food.named())
    for name, own in kitchen.own_limits.named():
        known = published.get(name)
        if known is None or not looser(name, own, known):
            continue
        confirmed = own.model_copy(
            update={"confirmed": kitchen.confirmed.get(name) or own.confirmed}
        )
        how = "" if confirmed.hard or not known.hard else "only told, and so "
        than = f"is {how}looser than the published one, {known}"
        said = f"own limit {own} ({confirmed.source}) {than}"
        standing = Standing.NOTE
        if holding(name, confirmed, known) is known:
            standing = Standing.BROKEN
            said += ", which holds until somebody says who answers for it, and why (`confirmed`)"
        elif not known.hard:
            said += ", which is only told"
        else:
            said += ": it holds by the kitchen's word"
        yield Finding(standing, name, name.replace("_", " "), said, known.source)
