"""The second reader: holds a plan against what the chef wrote, and shares no code with planning."""

from __future__ import annotations

from typing import TYPE_CHECKING

from scheduler.plan.audit import (
    alone,
    barred,
    batches,
    breaks,
    buying,
    cleaning,
    clocks,
    cooling,
    cores,
    dates,
    deliveries,
    diets,
    document,
    duties,
    equipment,
    exposure,
    ferments,
    holds,
    kept,
    menu,
    ovens,
    parasites,
    past,
    people,
    reheating,
    rest,
    rooms,
    served,
    service,
    shares,
    steps,
    stores,
    terms,
    visits,
    waits,
    washing,
    wishes,
)
from scheduler.plan.audit.brigade import brigade
from scheduler.plan.audit.facts import Facts
from scheduler.plan.audit.report import Finding, Report
from scheduler.plan.audit.rules import RULES

if TYPE_CHECKING:
    from scheduler.domain.scenario import Scenario
    from scheduler.plan.model import Plan

__all__ = ["RULES", "Finding", "Report", "audit"]


def audit(scenario: Scenario, plan: Plan) -> Report:
    """Check a plan against everything the chef wrote.

    First the written week against quantities, batches and shares, reckoned
    again from the recipes; then against times, in minutes as written.

    Parameters
    ----------
    scenario : Scenario
        A checked scenario.
    plan : Plan
        Any plan for it, by whomever: what is inconsistent is a finding.

    Returns
    -------
    Report
        VALID (no findings), SERVED (nothing lacks), every finding, the terms.
    """
    facts = Facts(scenario, plan)
    there = brigade(scenario)
    for quantities in (document, batches, menu, shares):
        quantities.check(facts)
    for times in (
        steps, waits, clocks, washing, holds, stores, equipment, ovens, rooms, service, duties,
        buying, dates,
    ):
        times.check(facts)
    cleaning.check(facts)
    cooling.check(facts)
    reheating.check(facts)
    ferments.check(facts)
    cores.check(facts)
    parasites.check(facts)
    visits.check(facts, there)
    breaks.check(facts, there)
    people.check(facts, there)
    rest.check(facts)
    barred.check(facts)
    alone.check(facts, there)
    deliveries.check(facts)
    exposure.check(facts)
    served.check(facts)
    diets.check(facts)
    wishes.check(facts)
    kept.check(facts)
    past.check(facts)
    found = terms.check(facts)
    return Report(tuple(facts.findings), not any(found.served), found, tuple(facts.let_go))
