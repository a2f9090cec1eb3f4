"""What a save comes to, before anything is written: over a newer one, in use, checked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from scheduler.book.differences import Difference, Merged, differences, merged
from scheduler.book.errors import BookError, InUse, NotThere
from scheduler.book.matching import same
from scheduler.book.revisions import KINDS, PLACES, Body, Change, Key, Revision
from scheduler.book.telling import document, no_such
from scheduler.book.uses import belonging, names_of, uses
from scheduler.domain.base import Word
from scheduler.domain.kitchen import Kitchen
from scheduler.domain.problems import BadInput, Problem
from scheduler.domain.reading import Part, draft_of_parts, scenario_of_parts
from scheduler.domain.recipes import Component, Dish
from scheduler.domain.tree import Refused, tree_of
from scheduler.domain.week import Week

MODELS: dict[str, type[Word]] = {
    "kitchen": Kitchen, "component": Component, "dish": Dish, "week": Week,
}  # fmt: skip
"""What each kind of document is read as."""
_MOST = 8
"""So many places are named in a sentence."""
Bodies = dict[Key, Body]


@dataclass(frozen=True, slots=True)
class Clash:
    """A document that somebody else has saved since.

    Attributes
    ----------
    change : Change
        What was to be saved.
    base : Revision or None
        What it was begun from; None for a new document.
    theirs : Revision
        The newest.
    differences : tuple of Difference
        From theirs to what was to be saved.
    merged : Merged
        The changes of both, and where somebody must choose.
    """

    change: Change
    base: Revision | None
    theirs: Revision
    differences: tuple[Difference, ...]
    merged: Merged


class Newer(BookError):
    """Somebody else has saved what is to be saved; choose, or save `merged` on the newer one.

    Attributes
    ----------
    clashes : tuple of Clash
        Every document of the save that is in the way.
    """

    def __init__(self, clashes: Sequence[Clash]) -> None:
        self.clashes = tuple(clashes)
        first = self.clashes[0]
        theirs, base = first.theirs, first.base
        what = document(theirs.kind, theirs.id)
        began = "as new" if base is None else f"from revision {base.number}"
        verb = "thrown out" if theirs.gone else "saved"
        said = (
            f"{what} was {verb} by {theirs.who} (revision {theirs.number}, "
            f"{theirs.at:%Y-%m-%d %H:%M} UTC) after you began {began}"
        )
        if first.differences:
            said += f"; theirs and yours: {first.differences[0].says}"
            more = len(first.differences) - 1
            said += f" and {more} more" if more else ""
        others = len(self.clashes) - 1
        said += f". The same with {others} more of what you save" if others else ""
        super().__init__(f"{said}. Nothing was saved; choose one, or put both together.")


@dataclass(frozen=True, slots=True)
class Seen:
    """What the book has when somebody saves.

    Attributes
    ----------
    heads : dict
        The newest revision of every document.
    bases : dict
        What changes were begun from, where that is not the newest.
    walls : dict of str to int
        Week: the plan of it that hangs on the wall.
    """

    heads: Mapping[Key, Revision]
    bases: Mapping[Key, Revision]
    walls: Mapping[str, int]

    def numbers(self) -> dict[Key, int]:
        """Of the newest revisions."""
        return {key: head.number for key, head in self.heads.items()}


def ready(
    seen: Seen, kitchen: str, changes: Sequence[Change], week: str | None
) -> dict[Key, Body | None]:
    """What is to be written: only what is different, as the models write it, all of it checked.

    Raises
    ------
    Newer, InUse, NotThere, BadInput
    """
    _asked(kitchen, changes)
    written = {c.key: as_written(c) for c in changes}
    clashes = []
    for change in changes:
        head, body = seen.heads.get(change.key), written[change.key]
        if not _on_newest(change, head, body):
            assert head is not None
            clashes.append(_clash(change, body, seen.bases.get(change.key), head))
    if clashes:
        raise Newer(clashes)
    new = {key: b for key, b in written.items() if not _equal(b, seen.heads.get(key))}
    if not new:
        return new
    there = {key: head for key, head in seen.heads.items() if not head.gone}
    gone = {key: there[key].known for key, body in new.items() if body is None}
    live: Bodies = {key: head.body or {} for key, head in there.items() if key not in new}
    live |= {key: body for key, body in new.items() if body is not None}
    _not_in_use(gone, live, seen.walls)
    _checked(kitchen, live, new, week)
    return new


def _asked(kitchen: str, changes: Sequence[Change]) -> None:
    twice = [key for key, n in Counter(c.key for c in changes).items() if n > 1]
    if twice:
        raise BookError(f"{document(*twice[0])} stands twice in one save; save it once.")
    for change in changes:
        if change.kind not in KINDS:
            raise BookError(f"The book keeps {', '.join(KINDS)}; not '{change.kind}'.")
        if change.kind == "kitchen" and change.id != kitchen:
            raise BookError(
                f"'{change.id}' cannot be saved while you are in kitchen {kitchen}; each kitchen "
                "is saved by itself."
            )


def as_written(change: Change) -> Body | None:
    """The body as its model writes it; as it came, where the model refuses it."""
    if change.body is None:
        return None
    try:
        data = tree_of(change.body, document(*change.key)).plain()
        read = MODELS[change.kind].model_validate(data)
    except (Refused, ValidationError):
        return change.body
    return read.model_dump(mode="json", by_alias=True, exclude_defaults=True)


def _equal(body: Body | None, head: Revision | None) -> bool:
    return head is not None and not head.damaged and same(body, head.kept)


def _on_newest(change: Change, head: Revision | None, body: Body | None) -> bool:
    what = document(*change.key)
    if head is None:
        if change.base or body is None:
            raise NotThere(f"The book has no {what}; nothing was saved.")
        return True
    if not 0 <= change.base <= head.number:
        raise NotThere(
            f"There is no revision {change.base} of {what}; the newest is {head.number}."
        )
    if head.damaged or (head.gone and change.base == 0):
        return True  # What was thrown out or is damaged stands in nobody's way.
    return change.base == head.number or _equal(body, head)


def _clash(change: Change, body: Body | None, base: Revision | None, head: Revision) -> Clash:
    between = differences(head.body, body)
    both = merged(base.kept if base else None, body, head.body)
    return Clash(change, base, head, between, both)


def _not_in_use(gone: Bodies, live: Bodies, walls: Mapping[str, int]) -> None:
    for (kind, id), body in gone.items():
        what = document(kind, id)
        if kind == "kitchen" and live:
            kinds = Counter("week" if k == "week" else "recipe" for k, _ in live)
            said = " and ".join(f"{n} {k}{'s' * (n > 1)}" for k, n in sorted(kinds.items()))
            raise InUse(f"{what} cannot be thrown out: {said} of it would have no kitchen.")
        if kind == "week" and id in walls:
            raise InUse(
                f"{what} cannot be thrown out: plan {walls[id]} of it is on the wall. Take it "
                "down first."
            )
        if kind in ("component", "dish"):
            names = names_of(body)
            there = [
                f"{document(*key)} ({', '.join(places)})"
                for key, one in sorted(live.items())
                if (places := [p or "itself" for p in uses(one, names)])
            ]
            if there:
                more = f" and {len(there) - _MOST} more" if len(there) > _MOST else ""
                said = "; ".join(there[:_MOST]) + more
                raise InUse(f"{what} cannot be thrown out: it is in {said}.")


def _checked(
    kitchen: str, live: Bodies, new: Mapping[Key, Body | None], week: str | None
) -> None:
    """Check the whole as it would be: under the week asked for, and every week that is saved."""
    if ("kitchen", kitchen) not in live:
        if live:
            raise NotThere(f"The book has no kitchen {kitchen}; save it first, or with the rest.")
        return
    weeks = [key[1] for key in new if key[0] == "week" and key in live]
    if week is not None and week not in weeks and ("week", week) not in new:
        if ("week", week) not in live:
            known = [id for kind, id in live if kind == "week"]
            raise NotThere(no_such("week", week, known))
        weeks.append(week)
    problems = _misnamed(new)
    looked = frozenset[Key]()
    for one in weeks:
        mine = belonging(live, one)
        looked |= mine
        problems += _mistakes({key: live[key] for key in live if key in mine}, one)
    # What no week of these needs is looked at as well, where it can have come to matter.
    recipes = {key: body for key, body in live.items() if key[0] != "week"}
    if not weeks or (not recipes.keys() <= looked and any(kind != "week" for kind, _ in new)):
        problems += _mistakes(recipes, None)
    if problems:
        raise BadInput(problems)


def _mistakes(documents: Bodies, week: str | None) -> tuple[Problem, ...]:
    parts = parts_of(documents)
    try:
        if week is None:
            draft_of_parts(parts)
        else:
            scenario_of_parts(parts, document("week", week))
    except BadInput as bad:
        return bad.problems
    return ()


def _misnamed(new: Mapping[Key, Body | None]) -> list[Problem]:
    """Documents that call themselves something else than what they are saved as."""
    found = []
    for key, body in new.items():
        if isinstance(body, dict) and body.get("id") not in (None, key[1]):
            what = f"'{body['id']}' is saved as '{key[1]}'; a document keeps its id"
            found.append(Problem(document(*key), None, None, "id", what, f"'{key[1]}'"))
    return found


def parts_of(documents: Mapping[Key, Body]) -> list[Part]:
    """Documents that are to be checked together, in their order."""
    return [Part(PLACES[key[0]], document(*key), body) for key, body in documents.items()]
