"""What things are called on screens and sheets, and text cut to a width."""

from __future__ import annotations

import unicodedata
from datetime import date, datetime
from fractions import Fraction
from functools import cached_property

from scheduler.domain.base import Slug
from scheduler.domain.methods import BOUGHT, made_by
from scheduler.domain.methods import known as has_way
from scheduler.domain.quantity import Dimension, Quantity
from scheduler.domain.recipes import ANYONE, Step
from scheduler.domain.scenario import Scenario
from scheduler.domain.times import write_duration
from scheduler.domain.washing import wash_step
from scheduler.plan.model import Plan, PlannedBatch, PlannedHold, PlannedTask, PlannedVisit

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
SAFETY = "Local food and labour codes and licensed practice decide, not this plan."
"""At the end of everything that somebody cooks by."""
PLATING = "plating"
"""The step id that a plan gives to a dish's last step."""

_NUMBERS = [
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
]
# Marks that turn the direction of the text round could disguise what a line says.
_TURNING = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def clean(text: str) -> str:
    """Text without control characters, line breaks or marks that turn its direction."""
    return "".join(
        " " if unicodedata.category(ch) in ("Cc", "Zl", "Zp") else ch
        for ch in text
        if ch not in _TURNING
    )


def width(text: str) -> int:
    """Columns a text takes on a terminal: wide characters two, combining marks none."""
    return sum(
        0
        if unicodedata.combining(ch) or unicodedata.category(ch) in ("Mn", "Me", "Cf")
        else 2
        if unicodedata.east_asian_width(ch) in "WF"
        else 1
        for ch in text
    )


def fit(text: str, columns: int) -> str:
    """Text cut to so many columns, with an ellipsis where something is cut off."""
    text = clean(text)
    if width(text) <= columns:
        return text
    kept = ""
    for ch in text:
        if width(kept + ch) > columns - 1:
            break
        kept += ch
    return kept.rstrip() + "…" if columns > 0 else ""


def pad(text: str, columns: int) -> str:
    """Text cut or filled with spaces to exactly so many columns."""
    text = fit(text, columns)
    return text + " " * (columns - width(text))


def number(n: int) -> str:
    """A small number as a word, a large one in figures."""
    return _NUMBERS[n] if 0 <= n < len(_NUMBERS) else str(n)


def several(n: int, one: str, many: str | None = None) -> str:
    """A count and its noun: 1 batch, 3 batches."""
    return f"{n} {one if n == 1 else many or one + 's'}"


def about(quantity: Quantity) -> str:
    """An amount to three figures, as it is said across a kitchen; pieces exactly."""
    if quantity.dimension is Dimension.COUNT or not quantity.base:
        return quantity.text
    step = Fraction(10) ** (len(str(int(abs(quantity.base)))) - 3)
    return str(Quantity.of(round(quantity.base / step) * step, quantity.dimension))


def day_words(day: date) -> str:
    """A day in short: Thu 3 Dec."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


class Names:
    """Names for one scenario and the plan of it; an unknown id stands for itself."""

    def __init__(self, scenario: Scenario, plan: Plan) -> None:
        self.scenario = scenario
        self.plan = plan
        self._clock = scenario.clock

    @cached_property
    def batches(self) -> dict[str, PlannedBatch]:
        """The plan's batches by id."""
        return {b.id: b for b in self.plan.batches}

    @cached_property
    def tasks(self) -> dict[str, PlannedTask]:
        """The plan's tasks by id."""
        return {t.id: t for t in self.plan.tasks}

    @cached_property
    def _units(self) -> dict[Slug, str]:
        names = {}
        for kind in self.scenario.kitchen.equipment:
            for unit in kind.each:
                tail = unit.id.removeprefix(kind.id)
                of_kind = tail != unit.id and tail[:1] in ("", "-")
                mark = tail.replace("-", " ")
                mark = mark.upper() if len(mark) == 2 else mark  # "combi-b": the Combi oven B
                names[unit.id] = (kind.name or kind.id) + mark if of_kind else unit.id
        return names

    def person(self, person: Slug) -> str:
        """Name of a person."""
        known = self.scenario.person.get(person)
        return (known.name or known.id) if known else person

    def unit(self, unit: Slug) -> str:
        """Name of a unit of equipment."""
        return self._units.get(unit, unit)

    def store(self, store: Slug) -> str:
        """Name of a store."""
        known = self.scenario.store.get(store)
        return (known.name or known.id) if known else store

    def event(self, event: Slug) -> str:
        """Name of an event."""
        known = self.scenario.event.get(event)
        return (known.name or known.id) if known else event

    def component(self, component: Slug) -> str:
        """Name of a component, or of a dish."""
        known = self.scenario.component.get(component) or self.scenario.dish.get(component)
        return (known.name or known.id) if known else component

    def section(self, section: Slug) -> str:
        """Name of a section."""
        for known in self.scenario.kitchen.sections:
            if known.id == section:
                return known.name or known.id
        return section

    def duty(self, duty: Slug) -> str:
        """Name of a standing duty."""
        for known in self.scenario.kitchen.duties:
            if known.id == duty:
                return known.name or known.id
        return duty

    def held(self, hold: PlannedHold) -> str:
        """What waits: a batch, a lot, a by-product of one, or part of a delivery."""
        if hold.by_product is not None:
            return f"{self.component(hold.by_product)} ({self.batch(hold.source)})"
        return self.batch(hold.source)

    def batch(self, batch: str) -> str:
        """What a batch (a lot, a delivery) is: "Rye rolls", "Duck (gala, gluten-free)"."""
        known = self.batches.get(batch)
        if known is None:
            lots = {lot.id: lot for lot in self.scenario.week.on_hand}
            if batch in lots:
                return f"{self.component(lots[batch].component)} on hand"
            delivery = next((d for d in self.scenario.week.deliveries if d.id == batch), None)
            return f"{delivery.ingredient} ({batch})" if delivery else batch
        if known.component is not None:
            return self.component(known.component)
        marks = [self.event(known.event)] if known.event else []
        marks += [known.diet] if known.diet else []
        marks += [f"wave {known.wave + 1}"] if known.wave is not None else []
        return f"{self.component(known.dish or batch)} ({', '.join(marks)})"

    def place(self, where: str) -> str:
        """What a task, a batch, a person or a unit is called."""
        if where in self.tasks:
            return self.batch(self.tasks[where].batch)
        if where in self.scenario.person:
            return self.person(where)
        return self.unit(where) if where in self._units else self.batch(where)

    def amount(self, batch: str) -> str:
        """How much a batch weighs up: "30 kg"; portions for a dish."""
        known = self.batches.get(batch)
        if known is None:
            return ""
        if known.dish is not None:
            return several(int(known.quantity.base), "portion")
        return about(known.quantity)

    def goes_in(self, task: PlannedTask) -> str:
        """How much goes through a task; portions for a dish."""
        known = self.batches.get(task.batch)
        if known is not None and known.dish is not None:
            return several(int(task.quantity.base), "portion")
        return about(task.quantity)

    def step_of(self, batch: str, step: Slug) -> Step | None:
        """The recipe's step, or none for plating."""
        known = self.batches.get(batch)
        if known is None:
            return None
        way = BOUGHT if known.bought is not None else known.method
        recipe = self.scenario.component.get(known.component or "") or (
            self.scenario.dish.get(known.dish or "")
        )
        steps = made_by(recipe, way).steps if recipe is not None and has_way(recipe, way) else ()
        return next((s for s in steps if s.id == step), None) or wash_step(self.scenario, step)

    def step(self, batch: str, step: Slug) -> str:
        """What a step is called."""
        known = self.step_of(batch, step)
        return (known.name or known.id) if known else step

    def task(self, task: str) -> str:
        """What a task is of: "Sesame paste"."""
        known = self.tasks.get(task)
        return self.batch(known.batch) if known is not None else task

    def shared(self, task: PlannedTask, visit: PlannedVisit) -> bool:
        """Whether several share a stretch of work that one could do."""
        step = self.step_of(task.batch, task.step)
        if step is None or len(visit.people) < 2:
            return False
        word = {"hands": step, "load": step.load, "unload": step.unload}.get(visit.kind)
        return word is not None and any(line.up_to for line in word.hands)

    def section_of(self, task: PlannedTask) -> Slug:
        """The section a task belongs to; none where it is anybody's."""
        step = self.step_of(task.batch, task.step)
        if step is not None and step.section is not None:
            return "" if step.section == ANYONE else step.section
        batch = self.batches.get(task.batch)
        if batch is None:
            return ""
        if batch.component in self.scenario.component:
            return self.scenario.component[batch.component].section
        if batch.dish in self.scenario.dish:
            return self.scenario.dish[batch.dish].section
        return ""

    def local(self, minute: int) -> datetime:
        """A minute on the kitchen's wall clock."""
        return self._clock.local(minute)

    def clock(self, minute: int) -> str:
        """The time of day, 07:30; in autumn's doubled hour with the zone's name behind it."""
        local = self.local(minute)
        twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
        return f"{local:%H:%M}" + (f" {local.tzname()}" if twice else "")

    def moment(self, minute: int) -> str:
        """Day and time in short: Thu 3 Dec 07:30."""
        return f"{day_words(self.local(minute).date())} {self.clock(minute)}"

    def length(self, minutes: int) -> str:
        """A length in words: 2 h 10 min."""
        return write_duration(minutes)
