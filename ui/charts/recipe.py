"""A recipe from its first step to service: how long each step takes, waits and keeps.

What is written is drawn at its best: steps at their best length, waits at the beginning of their
best band. How far each may stretch is drawn lighter. A step that cannot be read stands there with
what is wrong, so that a recipe that is being written is drawn as far as it goes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal, TypeVar

from pydantic import BaseModel, ValidationError

from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.recipes import Band, Component, Keep, Step, Time, Wait
from scheduler.domain.times import read_duration, write_duration
from scheduler.workload.amounts import NoConversion, ceil_div, ceil_of, convert
from scheduler.workload.laws import Law, law

Kind = Literal["hands", "alone", "stretch", "must", "wait"]
W = TypeVar("W", bound=BaseModel)


@dataclass(frozen=True, slots=True)
class Bar:
    """A stretch of a row.

    Attributes
    ----------
    kind : str
        hands: somebody is at it. alone: it runs by itself. stretch: so much longer it may take.
        must: it has to wait. wait: it may wait.
    start, end : int
        Minutes from the first step.
    """

    kind: Kind
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Row:
    """One step, or one way of keeping.

    Attributes
    ----------
    name : str
    bars : tuple of Bar
    says : str
        The same in words: "12 h to 20 h by itself; then waits 8 h to 3 d, chilled".
    wrong : bool
        Nobody could do this as it is written.
    """

    name: str
    bars: tuple[Bar, ...]
    says: str
    wrong: bool = False


@dataclass(frozen=True, slots=True)
class Timeline:
    """A recipe over time.

    Attributes
    ----------
    rows : tuple of Row
        In the order of the steps.
    service : int
        Minutes from the first step to the earliest moment at which it is at its best.
    end : int
        Minutes to the last moment at which it may be used.
    """

    rows: tuple[Row, ...]
    service: int
    end: int


@dataclass(frozen=True, slots=True)
class Amount:
    """What goes in, for the quantity that is asked for."""

    step: str
    what: str
    amount: str


def timeline(body: dict[str, Any], path: tuple[str | int, ...], batch: Quantity | None) -> Timeline:
    """Lay a recipe out over time.

    Parameters
    ----------
    body : dict
        A component or a dish as plain data, whatever is wrong with it.
    path : tuple
        Where in it the steps stand: empty for its own, or those of a method or a state.
    batch : Quantity or None
        One batch; None: as much as the recipe makes.
    """
    owner = _inside(body, path)
    size = batch or _read(Quantity.parse, owner.get("makes") or body.get("makes"))
    reckon = _Reckoner(size or Quantity.parse("1 portion"), _measures(body))
    now, rows = 0, []
    steps = _dicts(owner.get("steps"))
    for i, raw in enumerate(steps):
        row, now = _step_row(raw, now, reckon, last=i + 1 == len(steps))
        rows.append(row)
    if "plating" in body and not path:
        row, now = _plating(body, now, reckon)
        rows.append(row)
    ready, ends = now, [now]
    service = now
    keeps = owner.get("keeps") or body.get("keeps") or []
    for i, raw in enumerate(keeps if isinstance(keeps, list) else [keeps]):
        row, best, most = _keep_row(raw, ready)
        rows.append(row)
        ends.append(most)
        service = best if i == 0 else service
    if not keeps and "plating" not in body:
        rows.append(Row("keeps", (), "nothing says where and how long it keeps", wrong=True))
    stretched = (bar.end for row in rows for bar in row.bars)
    return Timeline(tuple(rows), service, max(*ends, *stretched, 1))


def batches(body: dict[str, Any], wanted: Quantity) -> tuple[int, Quantity]:
    """In how many batches an amount is made, and how much is in each."""
    size = body.get("batch")
    most = _read(Quantity.parse, size.get("most") if isinstance(size, dict) else None)
    if most is None or most.dimension is not wanted.dimension or most.base <= 0:
        return 1, wanted
    count = max(1, ceil_of(wanted.base / most.base))
    return count, Quantity.of(wanted.base / count, wanted.dimension)


def amounts(
    body: dict[str, Any], path: tuple[str | int, ...], wanted: Quantity | None
) -> tuple[Amount, ...]:
    """What goes in: as written, or for the amount that is wanted.

    Raises
    ------
    ValueError
        The amount is in a measure that the recipe cannot be converted to.
    """
    owner = _inside(body, path)
    factor = Fraction(1)
    makes = _read(Quantity.parse, owner.get("makes") or body.get("makes"))
    if "plating" in body:
        makes = Quantity.parse("1 portion")
    if wanted is not None and makes is not None and makes.base > 0:
        there = convert(wanted.base, wanted.dimension, makes.dimension, _measures(body))
        factor = there / makes.base
    found = []
    for step in (*_dicts(owner.get("steps")), body if not path else {}):
        name = "plating" if step is body else str(step.get("name") or step.get("id") or "")
        for take in _dicts(step.get("takes")):
            amount = _read(Quantity.parse, take.get("amount"))
            what = str(take.get("component") or take.get("ingredient") or "?")
            what += f" ({take['state']})" if take.get("state") else ""
            if amount is None:
                text = f"✗ {take.get('amount', 'nothing is said')}"
            elif factor == 1:
                text = str(amount)
            else:
                text = str(Quantity.of(amount.base * factor, amount.dimension))
            found.append(Amount(name, what, text))
    return tuple(found)


class _Reckoner:
    """Lengths of time for one batch."""

    def __init__(self, size: Quantity, component: Component) -> None:
        self.size, self.component = size, component

    def __call__(self, time: Time) -> Law:
        try:
            return law(time, ceil_of(self.size.base), self.size.dimension, self.component)
        except NoConversion:
            still = time.model_copy(update={"per": None, "plus": 0})
            return law(still, 1, Dimension.COUNT, None)


def _step_row(raw: dict[str, Any], now: int, reckon: _Reckoner, last: bool) -> tuple[Row, int]:
    name = str(raw.get("name") or raw.get("id") or "?")
    step, wait = _model(Step, {k: v for k, v in raw.items() if k != "then"}), raw.get("then")
    if step is None:
        return Row(name, (), "cannot be read yet", wrong=True), now
    bars, says = [], []
    if step.load:
        length = reckon(step.load.time).best
        bars.append(Bar("hands", now, now + length))
        now += length
    took = reckon(step.time)
    kind: Kind = "hands" if step.hands else "alone"
    bars.append(Bar(kind, now, now + took.best))
    if took.at_most is not None and took.at_most > took.best:
        bars.append(Bar("stretch", now + took.best, now + took.at_most))
    says.append(f"{_range(took)} {'of hands' if step.hands else 'by itself'}")
    now += took.best
    if step.unload:
        length = reckon(step.unload.time).best
        bars.append(Bar("hands", now, now + length))
        now += length
    if wait is None:
        says += [] if last else ["the next follows at once"]
        return Row(name, tuple(bars), "; ".join(says)), now
    row, now = _wait(wait, now)
    whole = Row(name, (*bars, *row.bars), "; ".join((*says, row.says)), row.wrong)
    return whole, now


def _wait(raw: Any, now: int) -> tuple[Row, int]:
    """The wait behind a step, and when the next one begins."""
    wait = _model(Wait, raw)
    if wait is None:
        least, most = (_minutes(raw, key) for key in ("not_before", "at_most"))
        if least is not None and most is not None and least > most:
            says = (
                f"has to wait {write_duration(least)} and may wait {write_duration(most)} at most: "
                "nobody can do that"
            )
            return Row("", (Bar("must", now, now + least),), says, wrong=True), now + least
        return Row("", (), "how long it waits cannot be read yet", wrong=True), now
    where = f", {wait.zone}" if wait.zone else ", in the machine" if wait.in_machine else ""
    says = f"then waits {_band(wait, wait.at_most)}{where}"
    return Row("", tuple(_bars(wait, wait.at_most, now)), says), now + wait.best()[0]


def _keep_row(raw: Any, ready: int) -> tuple[Row, int, int]:
    keep = _model(Keep, raw)
    if keep is None:
        return Row("keeps", (), "how long it keeps cannot be read yet", wrong=True), ready, ready
    name = f"keeps {keep.zone}" if keep.zone else "keeps at the bench"
    low, high = keep.best()
    best = "" if low == high else f", best {write_duration(low)} to {write_duration(high)}"
    says = f"{_band(keep, keep.at_most)}{best}"
    row = Row(name, tuple(_bars(keep, keep.at_most, ready)), says)
    return row, ready + low, ready + keep.at_most


def _plating(body: dict[str, Any], now: int, reckon: _Reckoner) -> tuple[Row, int]:
    there = body.get("plating")
    rate = there.get("per_hour") if isinstance(there, dict) else None
    if not isinstance(rate, int) or rate <= 0:
        return Row("plating", (), "how many plates an hour cannot be read yet", wrong=True), now
    plates = max(1, ceil_of(reckon.size.base))
    length = ceil_div(plates * 60, rate)
    says = f"{write_duration(length)} of hands for {plates}, {rate} an hour"
    return Row("plating", (Bar("hands", now, now + length),), says), now + length


def _bars(band: Band, at_most: int, now: int) -> Iterator[Bar]:
    if band.not_before:
        yield Bar("must", now, now + band.not_before)
    if at_most > band.not_before:
        yield Bar("wait", now + band.not_before, now + at_most)


def _band(band: Band, at_most: int) -> str:
    least = write_duration(band.not_before)
    most = write_duration(at_most)
    return f"{least} to {most}" if band.not_before else f"{most} at most"


def _range(took: Law) -> str:
    least = write_duration(took.at_least)
    most = took.at_least if took.at_most is None else took.at_most
    says = least if most == took.at_least else f"{least} to {write_duration(most)}"
    plain = took.best in (took.at_least, most)
    return says if plain else f"{says}, best {write_duration(took.best)}"


def _dicts(value: Any) -> list[dict[str, Any]]:
    return [one for one in value if isinstance(one, dict)] if isinstance(value, list) else []


def _inside(body: dict[str, Any], path: tuple[str | int, ...]) -> dict[str, Any]:
    here: Any = body
    for part in path:
        here = here[part]
    return here if isinstance(here, dict) else {}


def _measures(body: dict[str, Any]) -> Component:
    """Enough of a component to convert amounts by."""
    known = {k: _read(Quantity.parse, body.get(k)) for k in ("piece_weight", "density")}
    return Component.model_construct(id=str(body.get("id", "")), **known)


def _minutes(raw: Any, key: str) -> int | None:
    return _read(read_duration, raw.get(key)) if isinstance(raw, dict) else None


def _read(read: Any, value: Any) -> Any:
    try:
        return None if value is None else read(value)
    except ValueError:
        return None


def _model(model: type[W], raw: Any) -> W | None:
    try:
        return model.model_validate(raw)
    except ValidationError:
        return None
