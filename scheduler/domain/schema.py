"""The format of a scenario's files as JSON Schema, for editors and for `backtime schema`."""

from __future__ import annotations

from typing import Any

from scheduler.domain.base import SCHEMA
from scheduler.domain.scenario import Scenario
from scheduler.domain.times import write_duration


def json_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of one file of a scenario.

    A file may hold any part of a scenario, so only `schema` is required.
    """
    written = Scenario.model_json_schema(by_alias=True)
    _as_written(written)
    time = written["$defs"]["Time"]
    short = dict(time["properties"]["at_least"], description="Short for `at_least` alone.")
    written["$defs"]["Time"] = {
        "description": time.pop("description"),
        "anyOf": [short, time],
    }
    written["properties"]["schema"] = {"const": SCHEMA, "description": "Version of the format."}
    written["required"] = ["schema"]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A file of a Backtime scenario",
        **written,
    }


def _as_written(part: Any) -> None:
    """Defaults the way a chef writes them, and no titles that only repeat the name."""
    if isinstance(part, list):
        for one in part:
            _as_written(one)
    if isinstance(part, dict):
        if isinstance(part.get("title"), str):
            del part["title"]
        if part.get("type") == "string" and isinstance(part.get("default"), int):
            part["default"] = write_duration(part["default"])
        for one in part.values():
            _as_written(one)
