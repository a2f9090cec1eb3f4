"""Whole recipes: a row for each step, from the first to the last."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from scheduler.domain.problems import one_of
from scheduler.domain.wording import fresh, slug
from scheduler.pasted.grid import Grid
from scheduler.pasted.step_rows import NONE, NOTHING, StepReader, over
from scheduler.pasted.step_rows import WORDS as OF_STEPS
from scheduler.pasted.table import Table
from scheduler.pasted.values import Named, amount, length, text_of

Body = dict[str, Any]
Key = tuple[str, str]
WORDS: dict[str, tuple[str, ...]] = {
    "component": ("recipe",),
    "step": (),
    "after": ("comes after", "follows"),
    "yield": ("makes",),
    "keeps": ("keeps at most",),
    "kept in": ("keeps in",),
} | OF_STEPS
"""What headings of recipes may be called."""
_LONGEST_ID = 50


@dataclass
class _Recipe:
    """The rows of one component.

    Attributes
    ----------
    steps : dict
        By id, as each is then.
    rows : dict of str to int
        Of each step, and under "" the first.
    """

    id: str
    name: str
    old: Body | None
    named: Named
    rows: dict[str, int]
    steps: dict[str, Body] = field(default_factory=dict)
    said: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Written:
    """What a table of recipes says.

    Attributes
    ----------
    bodies : dict
        The components, as they are then.
    unused : tuple of str
        Columns that were not used.
    notes : tuple of str
    rows : dict
        Of each component, its first row under "" and those of its steps.
    """

    bodies: dict[Key, Body]
    unused: tuple[str, ...]
    notes: tuple[str, ...]
    rows: dict[Key, dict[str, int]]


def recipes(grid: Grid, kitchen: Mapping[str, Any], there: Mapping[Key, Body]) -> Written:
    """Read recipes, a row for each step.

    A component that is known gets the steps of the table in its order, and must have a row for
    each that it has already. What a cell does not say of a step stays as it was.

    Parameters
    ----------
    there : mapping
        The documents of all components and dishes.

    Raises
    ------
    BadInput
        Every mistake, by its cell.
    """
    table = Table(grid, WORDS, (("component",), ("step", "does")))
    reader = _Reader(table, kitchen, there)
    for row in table.rows():
        reader.row(row)
    bodies = {("component", one.id): reader.made(one) for one in reader.recipes}
    table.mistakes.end()
    new = [one.id for one in reader.recipes if one.old is None]
    notes = (
        f"New, and nothing goes in yet: {one_of(new)}. Ingredients are a table of their own.",
    ) if new else ()
    rows = {("component", one.id): one.rows for one in reader.recipes}
    return Written(bodies, table.unused, notes, rows)


class _Reader:
    def __init__(
        self, table: Table, kitchen: Mapping[str, Any], there: Mapping[Key, Body]
    ) -> None:
        self._table, self._there = table, there
        self._reader = StepReader(table, kitchen)
        self._named = Named("component", {
            id: str(b.get("name") or id) for (kind, id), b in there.items() if kind == "component"
        })  # fmt: skip
        self._dishes = Named("dish", {
            id: str(b.get("name") or id) for (kind, id), b in there.items() if kind == "dish"
        })  # fmt: skip
        self._taken = {id for _, id in there}
        self._ids: dict[str, str] = {}
        self.recipes: list[_Recipe] = []
        self._by_id: dict[str, _Recipe] = {}
        self._afters: dict[tuple[str, str], str] = {}

    def row(self, row: int) -> None:
        """Take in a step."""
        one = self._of(row)
        if one is None:
            return
        self._of_recipe(row, one)
        id, name = self._step(row, one)
        if not id:
            return
        old = next((s for s in _steps(one.old) if s.get("id") == id), {})
        said = self._reader.said(row, old)
        if "section" in said and said["section"] == (one.old or one.said).get("section"):
            said["section"] = NOTHING
        if not old and name != id:
            said.setdefault("name", name)
        one.rows[id] = row
        one.steps[id] = {"id": id, **over(old, said)}
        if not old and self._table.value(row, "time") is None:
            self._table.wrong(row, "time", f"how long does '{id}' take?")
        after = text_of(self._table.value(row, "after"))
        if after:
            self._afters[one.id, id] = "" if after.lower() in NONE else after

    def made(self, one: _Recipe) -> Body:
        """A component as it is then."""
        first, table = one.rows[""], self._table
        gone = [str(s.get("id")) for s in _steps(one.old) if s.get("id") not in one.steps]
        if gone:
            table.wrong(first, "component", (
                f"'{one.id}' has the step '{gone[0]}' too, which has no row; give it one, or take "
                "it out of the recipe first"
            ))  # fmt: skip
        body: Body = dict(one.old) if one.old else {"id": one.id, "name": one.name}
        if one.old is None:
            for word, what in (("section", "which section makes it"), ("yield", "how much it "
                               "makes"), ("keeps", "how long it keeps")):  # fmt: skip
                if word not in one.said and not self._tried(one, word):
                    table.wrong(first, word, f"'{one.id}' is new: say {what}")
            if body["name"] == one.id:
                del body["name"]
        body |= {w: one.said[k] for w, k in (("section", "section"), ("makes", "yield"))
                 if k in one.said}  # fmt: skip
        if "keeps" in one.said:
            body["keeps"] = self._keeps(one, body.get("keeps"))
        elif "kept in" in one.said:
            table.wrong(first, "keeps", "there is no keeps here, so how long does it keep there?")
        return body | {"steps": [one.steps[id] for id in self._order(one)]}

    def _of(self, row: int) -> _Recipe | None:
        """Whose step it is: the component's above where none is said."""
        text = text_of(self._table.value(row, "component"))
        if not text:
            if not self.recipes:
                self._table.wrong(row, "component", "there is no component here")
            return self.recipes[-1] if self.recipes else None
        try:
            id = self._named.id_of(text) if text in self._named else self._new(text)
        except ValueError as error:
            self._table.wrong(row, "component", error)
            return None
        if self.recipes and self.recipes[-1].id == id:
            return self.recipes[-1]
        if id in self._by_id:
            begun = self._by_id[id].rows[""] + 1
            self._table.wrong(row, "component", (
                f"'{text}' is there already, from row {begun}; keep its rows together"
            ))  # fmt: skip
            return None
        old = self._there.get(("component", id))
        names = {str(s.get("id")): str(s.get("name") or s.get("id")) for s in _steps(old)}
        one = _Recipe(id, text, old, Named("step", names), {"": row})
        self._by_id[id] = one
        self.recipes.append(one)
        return one

    def _new(self, text: str) -> str:
        """The id of a component that there is not yet."""
        if text in self._dishes:
            raise ValueError(f"'{text}' is a dish; here are components, step by step")
        key = text.casefold()
        if key not in self._ids:
            self._ids[key] = fresh(text, self._taken, "component")
            self._taken.add(self._ids[key])
        return self._ids[key]

    def _of_recipe(self, row: int, one: _Recipe) -> None:
        """What a row says of the whole recipe; a merged cell says it in each of its rows."""
        table = self._table
        first = row == one.rows[""]
        said = {
            "yield": table.read(row, "yield", lambda v: amount(v, table.unit("yield")).text),
            "keeps": table.read(row, "keeps", lambda v: length(v, table.unit("keeps"))),
            "kept in": table.read(row, "kept in", self._reader.zones.id_of),
        }
        if first and one.old is None:
            value = table.value(row, "section")
            if value is not None and text_of(value) in self._reader.sections:
                one.said["section"] = self._reader.sections.id_of(value)
        for word, value in said.items():
            if value is not None and one.said.setdefault(word, value) != value:
                table.wrong(row, word, f"{value} here, and {one.said[word]} further up")

    def _tried(self, one: _Recipe, word: str) -> bool:
        """Is it said, and wrong?"""
        return any(self._table.value(row, word) is not None for row in one.rows.values())

    def _step(self, row: int, one: _Recipe) -> tuple[str, str]:
        """Id and name of a step: by what is done where it has only a number; "" for none."""
        table = self._table
        step, does = (text_of(table.value(row, word)) for word in ("step", "does"))
        if does and step not in one.named and (not step or step.rstrip(".)").isdigit()):
            step = does
        if not step:
            table.wrong(row, "step", "there is no step here")
            return "", ""
        if step in one.named:
            id = one.named.id_of(step)
        else:
            id = slug(step)[:_LONGEST_ID].strip("-") or f"step-{len(one.steps) + 1}"
        if id in one.steps:
            table.wrong(row, "step", f"'{step}' is there already, in row {one.rows[id] + 1}")
            return "", ""
        return id, step

    def _keeps(self, one: _Recipe, old: Any) -> list[Body]:
        there = [k for k in old or () if isinstance(k, dict)]
        zone = one.said.get("kept in")
        said = {"at_most": one.said["keeps"]} | ({"zone": zone} if zone else {})
        if zone is None and len(there) > 1:
            self._table.wrong(one.rows[""], "keeps", (
                f"'{one.id}' keeps in several places; say in which: 'kept in'"
            ))  # fmt: skip
        mine = next((k for k in there if zone in (None, k.get("zone"))), None)
        if mine is None:
            return [*there, said]
        return [{**k, **said} if k is mine else k for k in there]

    def _order(self, one: _Recipe) -> Iterator[str]:
        """Ids of the steps, each behind the one it comes after: the row above, if not said."""
        names = {id: str(s.get("name") or id) for id, s in one.steps.items()}
        named = Named("step", names)
        above, behind = "", dict[str, str]()
        for id in one.steps:
            before = self._afters.get((one.id, id), above)
            try:
                before = before and named.id_of(before)
                if before in behind:
                    raise ValueError(
                        f"'{behind[before]}' comes after '{before}' too; steps are one after the "
                        "other" if before else f"'{behind['']}' is the first already"
                    )
                behind[before] = id
            except ValueError as error:
                self._table.wrong(one.rows[id], "after", error)
            above = id
        found, last = list[str](), ""
        while last in behind:
            last = behind.pop(last)
            found.append(last)
        if behind:
            id = min(behind.values(), key=lambda id: one.rows[id])
            if not self._table.mistakes.found:
                self._table.wrong(one.rows[id], "after", f"'{id}' comes after itself, in a circle")
        return iter(found)


def _steps(body: Body | None) -> list[Body]:
    there = (body or {}).get("steps")
    return [s for s in there if isinstance(s, dict)] if isinstance(there, list) else []
