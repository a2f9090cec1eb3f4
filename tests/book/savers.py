"""Somebody in a process of their own who adds words to one recipe, whoever else does.

`python -m tests.book.savers ADDRESS PERSON COUNT` prints how often somebody else was quicker.
"""

from __future__ import annotations

import copy
import sys

from scheduler.book.documents import Change, Newer, Revision, revision, save
from scheduler.book.opening import Book, open_book
from scheduler.book.roles import Role, Who

KITCHEN, RECIPE = "corner-house", "pea-soup"


def word_added(book: Book, who: Who, begun: Revision, word: str) -> tuple[Revision, int]:
    """Save the recipe with one word more, on whatever others have saved meanwhile."""
    body, base = copy.deepcopy(begun.body or {}), begun.number
    body["leaves"] = [*body.get("leaves", ()), word]
    slower = 0
    while True:
        try:
            return save(book, who, [Change("component", RECIPE, body, base)])[0], slower
        except Newer as newer:
            (clash,) = newer.clashes
            assert clash.merged.conflicts == ()
            body, base, slower = clash.merged.body, clash.theirs.number, slower + 1


def main(address: str, person: str, count: int) -> None:
    """Add so many words, each begun from what one has saved last."""
    book, who = open_book(address), Who(KITCHEN, person, Role.CHEF)
    begun, slower = revision(book, who, "component", RECIPE), 0
    for i in range(count):
        begun, more = word_added(book, who, begun, f"{person}-{i}")
        slower += more
    print(slower)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
