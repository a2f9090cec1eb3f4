"""Ways of breaking a good plan, one or more for every rule of the second reader.

Each takes a scenario and a good plan of it, and gives the plan back broken
so that the audit must name its rule, or None where that plan offers no
opportunity. They are kept by rule, so that a rule without one fails a test.
"""

from tests.plan.breakings import (
    choices,
    dates,
    document,
    equipment,
    food,
    kept,
    past,
    people,
    quantities,
    service,
    steps,
    things,
    visits,
    waiting,
    wishes,
)
from tests.plan.breakings.means import BREAKINGS, Breaking

__all__ = [
    "BREAKINGS",
    "Breaking",
    "choices",
    "dates",
    "document",
    "equipment",
    "food",
    "kept",
    "past",
    "people",
    "quantities",
    "service",
    "steps",
    "things",
    "visits",
    "waiting",
    "wishes",
]
