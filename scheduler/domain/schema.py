"""The format of a scenario's files as JSON Schema, for editors and for `backtime schema`."""

from __future__ import annotations

from typing import Any

from scheduler.domain.base import SCHEMA
from scheduler.domain.scenario import Scenario


def json_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of one file of a scenario.

    A file may hold any part of a scenario, so only `schema` is required.
    """
    written = Scenario.model_json_schema(by_alias=True)
    written["properties"]["schema"] = {
        "const": SCHEMA,
        "description": "Version of the format.",
        "title": "Schema",
    }
    written["required"] = ["schema"]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **written,
        "title": "A file of a Backtime scenario",
    }
