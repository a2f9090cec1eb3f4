"""Lists of ingredients: what goes into recipes, a row for each thing that goes in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from scheduler.domain.wording import slug
from scheduler.pasted.grid import Grid, Value
from scheduler.pasted.table import Table
from scheduler.pasted.values import Named, amount, percent, text_of

WORDS: dict[str, tuple[str, ...]] = {
    "recipe": ("dish", "for", "recipe name"),
    "ingredient": ("takes", "what", "item", "component", "name"),
    "amount": ("quantity", "how much", "qty"),
    "unit": ("units",),
    "yield": ("edible", "edible part"),
    "step": ("goes into", "at step"),
}
"""What headings of ingredients may be called."""
Body = dict[str, Any]
Key = tuple[str, str]
"""component or dish, and its id."""
_NAMED = ("component", "ingredient")


def ingredients(
    grid: Grid, recipes: Mapping[Key, Body]
) -> tuple[dict[Key, Body], tuple[str, ...]]:
    """Read lists of ingredients into recipes.

    What a step (of a component, its first where none is said) or the plating of a dish takes is
    what the table says, in place of what it took. What else was said of something that still goes
    in stays (`within`, `yield` where the table has none).

    Parameters
    ----------
    recipes : mapping
        The documents of all components and dishes.

    Returns
    -------
    (dict, tuple of str)
        The recipes that are in the table, as they are then; and the columns not used.

    Raises
    ------
    BadInput
        Every mistake, by its cell.
    """
    table = Table(grid, WORDS, (("recipe",), ("ingredient",), ("amount",)))
    reader = _Reader(table, recipes)
    last: Value = None
    taken: dict[tuple[Key, int], list[Body]] = {}
    for row in table.rows():
        # A list is headed by its recipe once; what follows is of the same.
        last = table.value(row, "recipe") or last
        where, take = reader.where(row, last), reader.take(row)
        if where is None or take is None:
            continue
        entries = taken.setdefault(where, [])
        if any(_same(take, other) for other in entries):
            said = f"'{_id(take)}' goes into it twice; write it once, with all of it"
            table.mistakes.row(row, said)
        entries.append(take)
    table.mistakes.end()
    made: dict[Key, Body] = {}
    for (key, step), entries in taken.items():
        made[key] = _with(made.get(key, dict(recipes[key])), step, entries)
    return made, table.unused


class _Reader:
    def __init__(self, table: Table, recipes: Mapping[Key, Body]) -> None:
        self._table, self._recipes = table, recipes
        names = {kind: _names(recipes, kind) for kind in ("component", "dish")}
        self._components = Named("component", names["component"])
        self._all = Named("recipe", names["dish"] | names["component"])

    def where(self, row: int, recipe: Value) -> tuple[Key, int] | None:
        """Which recipe, and the place of its step; -1 for the plating of a dish."""
        table = self._table
        try:
            if recipe is None:
                raise ValueError("there is no recipe here")
            id = self._all.id_of(recipe)
        except ValueError as error:
            table.wrong(row, "recipe", error)
            return None
        key = ("component", id) if ("component", id) in self._recipes else ("dish", id)
        steps = [s for s in self._recipes[key].get("steps", ()) if isinstance(s, dict)]
        if table.value(row, "step") is None:
            if key[0] == "component" and not steps:
                table.wrong(row, "recipe", f"'{id}' has no step yet, so nothing can go in")
                return None
            return key, -1 if key[0] == "dish" else 0
        named = Named("step", {str(s.get("id")): str(s.get("name") or s.get("id")) for s in steps})
        step = table.read(row, "step", named.id_of)
        return None if step is None else (key, [str(s.get("id")) for s in steps].index(step))

    def take(self, row: int) -> Body | None:
        """What goes in, as a recipe has it."""
        table, before = self._table, len(self._table.mistakes.found)
        name = text_of(table.value(row, "ingredient"))
        take: Body = {}
        if not slug(name):
            table.wrong(row, "ingredient", "there is no ingredient here")
        elif name in self._components:
            take["component"] = self._components.id_of(name)
        else:
            take["ingredient"] = slug(name)
        unit = text_of(table.value(row, "unit")) or table.unit("amount")
        quantity = table.read(row, "amount", lambda value: amount(value, unit), needed=True)
        # 85 under "yield (%)", and 0.85 that the program shows as 85 %.
        of_one = table.unit("yield") != "%"
        part = table.read(row, "yield", lambda value: percent(value, of_one=of_one))
        if quantity is None or len(table.mistakes.found) > before:
            return None
        return take | {"amount": quantity.text} | ({"yield": part} if part else {})


def _with(recipe: Body, step: int, entries: list[Body]) -> Body:
    if step < 0:
        return {**recipe, "takes": _kept(recipe.get("takes"), entries)}
    steps = list(recipe["steps"])
    steps[step] = {**steps[step], "takes": _kept(steps[step].get("takes"), entries)}
    return {**recipe, "steps": steps}


def _kept(old: Any, entries: list[Body]) -> list[Body]:
    """Entries with what was said before of the same thing, where they say nothing else."""
    there = [one for one in old or () if isinstance(one, dict)]
    return [
        next((one for one in there if _same(one, entry)), {}) | entry for entry in entries
    ]


def _same(one: Body, other: Body) -> bool:
    return all(one.get(word) == other.get(word) for word in _NAMED)


def _id(take: Body) -> str:
    return str(take.get("component") or take.get("ingredient"))


def _names(recipes: Mapping[Key, Body], kind: str) -> dict[str, str]:
    return {
        id: str(body.get("name") or id) for (of, id), body in recipes.items() if of == kind
    }
