"""Every check of a scenario that needs more than one of its parts, in one list."""

from __future__ import annotations

from collections.abc import Callable

from scheduler.domain.checks_allergens import allergens
from scheduler.domain.checks_amounts import amounts
from scheduler.domain.checks_buying import buying
from scheduler.domain.checks_demand import demand
from scheduler.domain.checks_equipment import equipment
from scheduler.domain.checks_events import events
from scheduler.domain.checks_food import figures, food
from scheduler.domain.checks_hands import hands
from scheduler.domain.checks_hazards import hazards
from scheduler.domain.checks_ids import ids, names
from scheduler.domain.checks_leaving import leaving
from scheduler.domain.checks_machines import machines
from scheduler.domain.checks_people import people
from scheduler.domain.checks_rest import born, rest
from scheduler.domain.checks_supply import supply
from scheduler.domain.checks_things import things
from scheduler.domain.checks_times import times
from scheduler.domain.checks_wishes import wishes
from scheduler.domain.checks_words import words
from scheduler.domain.classes import refused
from scheduler.domain.draft import Draft
from scheduler.domain.problems import Problem

CHECKS: tuple[Callable[[Draft], list[Problem]], ...] = (
    refused,
    ids,
    names,
    words,
    things,
    allergens,
    people,
    leaving,
    hands,
    hazards,
    born,
    rest,
    equipment,
    machines,
    amounts,
    buying,
    times,
    supply,
    demand,
    events,
    wishes,
    food,
    figures,
)
