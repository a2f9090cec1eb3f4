"""Which document stands in which file: as they were imported, new ones in files of their own."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from scheduler.book.names import folded, free

Key = tuple[str, str]
"""A document: kitchen, component, dish or week, and its id."""
MOST_FILES = 250
"""With more, new recipes share two files: a folder is read up to 300."""
_ORDER = ("kitchen", "component", "dish", "week")


@dataclass(frozen=True, slots=True)
class Source:
    """A file as it was imported.

    Attributes
    ----------
    file : str
    text : str
    holds : tuple of (kind, id, sha256)
        What was written in it, in its order.
    """

    file: str
    text: str
    holds: tuple[tuple[str, str, str], ...]

    @property
    def keys(self) -> tuple[Key, ...]:
        """What was written in it."""
        return tuple((kind, id) for kind, id, _ in self.holds)


@dataclass(frozen=True, slots=True)
class Page:
    """A file of a folder that is to be written.

    Attributes
    ----------
    file : str
    keys : tuple of Key
        What stands in it, in its order.
    source : Source or None
        What it was, where it was imported.
    """

    file: str
    keys: tuple[Key, ...]
    source: Source | None


def laid_out(sources: Sequence[Source], keys: Collection[Key]) -> list[Page]:
    """Files for documents, in the order in which they are read.

    Parameters
    ----------
    sources : sequence of Source
        Of the last import; of another week's, if this one was never imported.
    keys : collection of Key
        A kitchen, its recipes and one week.
    """
    known = {key for source in sources for key in source.keys}
    pages = []
    for source in sources:
        left = tuple(key for key in source.keys if key in keys)
        if left or not source.holds:
            pages.append(Page(source.file, left, source))
    taken = folded(page.file for page in pages)
    new = sorted(set(keys) - known, key=lambda key: (_ORDER.index(key[0]), key[1]))
    together = len(pages) + len(new) > MOST_FILES
    shared: dict[str, list[Key]] = {}
    for kind, id in new:
        if kind in ("kitchen", "week"):
            shared[f"{kind}.yaml"] = [(kind, id)]
        elif together:
            shared.setdefault("dishes.yaml" if kind == "dish" else "components.yaml", []).append(
                (kind, id)
            )
        else:
            shared[f"{kind}-{id}.yaml"] = [(kind, id)]
    pages += [Page(free(name, taken), tuple(held), None) for name, held in shared.items()]
    return sorted(pages, key=lambda page: page.file)
