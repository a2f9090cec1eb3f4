"""The best that is known of planted weeks, kept with what found it."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path

OBJECTIVE = 1
"""Goes up when quality is counted otherwise: what was known is then worth nothing."""
KEPT = Path(__file__).with_name("kitchen_best.json")


@dataclass(frozen=True, slots=True)
class Known:
    """One long run's answer.

    Attributes
    ----------
    week : str
        The first of the scenario's SHA-256.
    quality : int
        Weighted minutes; everybody is served.
    """

    week: str
    quality: int
    seed: int
    seconds: float
    commit: str
    on: str
    objective: int = OBJECTIVE


def known(path: Path = KEPT) -> dict[str, Known]:
    """The best of each week."""
    if not path.exists():
        return {}
    found: dict[str, Known] = {}
    for record in json.loads(path.read_text(encoding="utf-8")):
        one = Known(**record)
        if one.objective == OBJECTIVE and (
            one.week not in found or one.quality < found[one.week].quality
        ):
            found[one.week] = one
    return found


def keep(new: list[Known], path: Path = KEPT) -> None:
    """Add what is better than what was known."""
    best = known(path)
    for one in new:
        if one.week not in best or one.quality < best[one.week].quality:
            best[one.week] = one
    lines = [json.dumps(asdict(best[week])) for week in sorted(best)]
    path.write_text("[\n" + ",\n".join(lines) + "\n]\n", encoding="utf-8")


def today() -> str:
    """The date a run is kept with."""
    return str(date.today())
