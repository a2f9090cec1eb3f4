"""The smallest week there is: one cook, one soup, one supper. And a good plan of it, by hand."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from scheduler.domain.reading import scenario_of
from scheduler.domain.scenario import Scenario
from scheduler.plan.model import (
    Plan,
    PlannedBatch,
    PlannedHold,
    PlannedTask,
    PlannedVisit,
    Share,
    Taken,
    Terms,
)

DOCUMENT: dict[str, Any] = {
    "schema": 1,
    "kitchen": {
        "id": "hut",
        "zone": "Europe/Vienna",
        "sections": [{"id": "stove", "name": "Stove"}],
        "people": [
            {
                "id": "ada",
                "name": "Ada",
                "sections": {"stove": "cook"},
                "shifts": [{"days": ["daily"], "hours": "08:00-22:00"}],
            }
        ],
        "equipment": [{"id": "kettle", "fill": "20 l"}],
        "stores": [{"id": "cold-room", "name": "Cold room", "zone": "chilled", "shelves": 4}],
    },
    "components": [
        {
            "id": "soup",
            "name": "Barley soup",
            "section": "stove",
            "makes": "10 l",
            "steps": [
                {
                    "id": "simmer",
                    "time": {"at_least": "2 h", "at_most": "3 h"},
                    "load": {"verb": "fill", "time": "15 min"},
                    "on": [{"equipment": "kettle"}],
                }
            ],
            "keeps": [
                {"zone": "chilled", "best_until": "4 h", "at_most": "24 h", "per_shelf": "5 l"}
            ],
        }
    ],
    "dishes": [
        {
            "id": "bowl",
            "name": "Bowl of soup",
            "section": "stove",
            "takes": [{"component": "soup", "amount": "250 ml"}],
            "plating": {"per_hour": 80},
        }
    ],
    "week": {
        "id": "hut-supper",
        "name": "Supper at the hut",
        "starts": "2026-12-03 00:00",
        "plan_from": "2026-12-03 08:00",
        "ends": "2026-12-05 00:00",
        "events": [
            {
                "id": "supper",
                "name": "Supper",
                "first_plate": "2026-12-04 18:00",
                "guests": 36,
                "margin": "0 %",
                "menu": [{"dish": "bowl"}],
            }
        ],
    },
}

DAY = 1440
# 36 x 250 ml = 9 l. Filled 14:00-14:15 on the 4th, simmers to 16:15, waits on two
# shelves to 18:00; 36 bowls at 80 an hour are 27 min, on the grid 30.
_FILL = DAY + 14 * 60


def scenario(document: dict[str, Any] = DOCUMENT) -> Scenario:
    """The scenario, checked."""
    return scenario_of(deepcopy(document))


def plan() -> Plan:
    """A plan that breaks nothing and serves everybody."""
    law, out, serve = _FILL + 15, _FILL + 135, DAY + 18 * 60
    return Plan(
        batches=(
            PlannedBatch(id="soup.1", component="soup", quantity="9 l", good="9 l"),
            PlannedBatch(
                id="supper.bowl",
                dish="bowl",
                event="supper",
                course=0,
                quantity="36 pieces",
                good="36 pieces",
            ),
        ),
        shares=(Share(source="soup.1", consumer="supper.bowl", step="plating", quantity="9 l"),),
        tasks=(
            PlannedTask(
                id="soup.1/simmer",
                batch="soup.1",
                step="simmer",
                quantity="9 l",
                start=_FILL,
                law_start=law,
                law_end=out,
                end=out,
                visits=(
                    PlannedVisit(kind="load", verb="fill", start=_FILL, end=law, people=("ada",)),
                ),
                taken=(Taken(need=0, unit="kettle", amount=1, start=_FILL, end=out),),
            ),
            PlannedTask(
                id="supper.bowl/plating",
                batch="supper.bowl",
                step="plating",
                quantity="36 pieces",
                start=serve,
                law_start=serve,
                law_end=serve + 30,
                end=serve + 30,
                visits=(PlannedVisit(kind="hands", start=serve, end=serve + 30, people=("ada",)),),
            ),
        ),
        holds=(
            PlannedHold(
                kind="share",
                source="soup.1",
                consumer="supper.bowl/plating",
                quantity="9 l",
                start=out,
                end=serve,
                store="cold-room",
                shelves=2,
            ),
        ),
        terms=Terms(served=(0,), quality=0),
    )
