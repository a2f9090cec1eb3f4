"""Allergens: which must be named, and the words for them.

The lists are data (`scheduler/safety/allergens.yaml`). Recipes and diets name
an item (nuts) or a member (almond); any other word is off the lists, and is
carried like the rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BeforeValidator, Field

from scheduler.domain.base import Label, Slug, Word
from scheduler.domain.limits import Source
from scheduler.domain.profiles import food_limits
from scheduler.domain.shipped import shipped

if TYPE_CHECKING:
    from scheduler.domain.kitchen import Kitchen

Words = frozenset[str]


def _by_id(value: Any) -> Any:
    return {"id": value} if isinstance(value, str) else value


class Allergen(Word):
    """An item of a list, or a member of one."""

    id: Slug = Field(description="The word that recipes and diets use.")
    name: Label = Field(default="", description="As its list has it; the id if left out.")
    members: tuple[Annotated[Allergen, BeforeValidator(_by_id)], ...] = Field(
        default=(), description="What belongs to it."
    )
    least: Label | None = Field(default=None, description="From how much on it must be named.")


class AllergenList(Source):
    """What must be named in one jurisdiction."""

    id: Slug = Field(description="Id, named by a profile's `allergens`.")
    name: Label = Field(description="What it is called.")
    items: tuple[Allergen, ...] = Field(min_length=1, description="Its items.")
    ask: dict[Slug, Label] = Field(
        default={}, description="Words that are not enough for this list: what to ask."
    )


@lru_cache
def lists() -> dict[str, AllergenList]:
    """The lists by id."""
    read = [AllergenList.model_validate(one) for one in shipped("allergens")["lists"]]
    return {one.id: one for one in read}


def list_of(kitchen: Kitchen) -> AllergenList | None:
    """The list that a kitchen's rule profile holds to; None where it has none."""
    rule = food_limits(kitchen).allergens
    return lists().get(rule.items) if rule is not None else None


def _walk(
    items: Iterable[Allergen], above: tuple[str, ...] = ()
) -> Iterator[tuple[str, tuple[str, ...]]]:
    for item in items:
        yield item.id, above
        yield from _walk(item.members, (*above, item.id))


def words_of(one: AllergenList) -> Words:
    """Every item of a list and every member of one."""
    return frozenset(word for word, _ in _walk(one.items))


@lru_cache
def _above() -> dict[str, Words]:
    """Every word of any list, and what it belongs to."""
    found: dict[str, Words] = {}
    for one in lists().values():
        for word, above in _walk(one.items):
            found[word] = found.get(word, frozenset()) | frozenset(above)
    return found


def listed(word: str) -> bool:
    """Is it on any list?"""
    return word in _above()


def wider(word: str) -> Words:
    """A word and everything that it belongs to: almond, nuts."""
    return _above().get(word, frozenset()) | {word}


@lru_cache(maxsize=1024)
def narrower(word: str) -> Words:
    """A word and everything that belongs to it: nuts, almond, hazelnut …"""
    return frozenset(w for w, above in _above().items() if word in above) | {word}


def alike(one: str, other: str) -> bool:
    """Could they be the same thing? Nuts and almond could, hazelnut and almond could not."""
    return one in wider(other) or other in wider(one)


def clash(words: Iterable[str], free_of: str) -> list[str]:
    """Those of some words that somebody must not have who is free of another word."""
    return sorted(word for word in words if alike(word, free_of))


@lru_cache
def _meant() -> dict[str, list[str]]:
    return dict(shipped("allergens")["meant"])


def probably(word: str) -> list[str]:
    """What somebody meant who wrote a word that is on no list; nothing where it is just that.

    Another name for it, a part of the word, or a slip of a letter (two in long words). Not
    so far as elsewhere (`problems.nearest`): a peach is no pecan.
    """
    if listed(word):
        return []
    found = [w for part in (word, *word.split("-")) for w in _called(part)]
    if not found:
        found = [w for w in sorted(_above()) if _slips(word, w) <= (2 if _long(word, w) else 1)]
    return list(dict.fromkeys(found))


def _called(word: str) -> list[str]:
    return [word] if listed(word) else _meant().get(word, [])


def _long(one: str, other: str) -> bool:
    return max(len(one), len(other)) >= 8


def _slips(one: str, other: str) -> int:
    """Letters too many, too few, wrong, or changed with their neighbour."""
    if abs(len(one) - len(other)) > 2:
        return 3
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, a in enumerate(one, 1):
        before, last, row = row, before, [i]
        for j, b in enumerate(other, 1):
            best = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (a != b))
            if i > 1 and j > 1 and a == other[j - 2] and one[i - 2] == b:
                best = min(best, last[j - 2] + 1)
            row.append(best)
    return row[-1]


def in_words(words: Iterable[str], by: AllergenList | None) -> str:
    """For people, by the items of a list: "gluten (rye, wheat), milk, kiwi (on no list)"."""
    items = [item.id for item in by.items] if by is not None else []
    rest = sorted(set(words))
    said = []
    for item in items:
        mine = [w for w in rest if item in wider(w)]
        rest = [w for w in rest if w not in mine]
        members = ", ".join(w for w in mine if w != item)
        if mine:
            said.append(f"{item} ({members})" if members else item)
    said += [word if listed(word) else f"{word} (on no list)" for word in rest]
    return ", ".join(said) or "none"
