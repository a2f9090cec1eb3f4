"""Putting paragraphs into what room there is: what does not fit goes on, nothing is clipped."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable

Cell = list[Flowable]
_ENDLESS = 1e7


def tall(cell: Cell, width: float) -> float:
    """The height of a cell's paragraphs below each other, with the space between them."""
    return sum(_tall(one, width) for one in cell)


def taken(cell: Cell, width: float, height: float) -> tuple[Cell, Cell]:
    """What of a cell fits into a height, and the rest.

    Only a paragraph that stands first and is too long by itself is split, so that all of it
    comes in the end; one that cannot be split is taken whole.
    """
    room = height
    for n, one in enumerate(cell):
        room -= _tall(one, width)
        if room >= 0:
            continue
        if n:
            return cell[:n], cell[n:]
        first, *others = one.split(width, height) or [one]
        return [first], [*others, *cell[1:]]
    return cell, []


def parted(cell: Cell, width: float, height: float) -> Iterator[Cell]:
    """A cell in parts of which each fits into a height; one where all of it does."""
    rest = cell
    while True:
        part, rest = taken(rest, width, height)
        yield part
        if not rest:
            return


def _tall(one: Flowable, width: float) -> float:
    return one.wrap(width, _ENDLESS)[1] + one.getSpaceBefore() + one.getSpaceAfter()
