"""What is wrong with an input, said to the person who wrote it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

MOST_SHOWN = 200
"""So many mistakes are shown at once; nobody reads more."""

_LONGEST = 300
_LONGEST_WORD = 80
_MOST_WORDS = 1000


def readable(text: str, longest: int = _LONGEST) -> str:
    """One printable line of `text`, cut in its middle where it is long."""
    line = "".join(ch if ch.isprintable() else "\N{REPLACEMENT CHARACTER}" for ch in text)
    if len(line) > longest:
        half = longest // 2
        line = f"{line[:half]} … {line[-half:]}"
    return line


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word somebody most likely meant, or nothing."""
    wanted = word[:_LONGEST_WORD].lower()
    alike = [k for k in sorted(known) if len(k) <= 3 * len(wanted) + 6][:_MOST_WORDS]
    by_small = {k.lower(): k for k in alike}
    close = get_close_matches(wanted, by_small, n=1, cutoff=0.6)
    if close:
        return by_small[close[0]]
    inside = [k for small, k in by_small.items() if len(wanted) > 2 and wanted in small.split("-")]
    return inside[0] if len(inside) == 1 else ""


def one_of(known: Iterable[str], most: int = 8) -> str:
    """A short list of what there is: "a, b, c … (12 in all)"."""
    names = sorted(set(known))
    if not names:
        return "none"
    return ", ".join(names[:most]) + (f" … ({len(names)} in all)" if len(names) > most else "")


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake.

    Attributes
    ----------
    file : str
        File as the user named it.
    line, column : int or None
        Where in the file, from 1.
    where : str
        Where in the recipe, in the chef's words.
    what : str
        What is wrong.
    maybe : str
        What was probably meant.
    """

    file: str
    line: int | None
    column: int | None
    where: str
    what: str
    maybe: str = ""

    def __str__(self) -> str:
        place = ":".join(str(p) for p in (self.file, self.line, self.column) if p is not None)
        where = f"  {readable(self.where, 160)}:" if self.where else ":"
        what = readable(self.what).rstrip(".")
        maybe = f". Maybe {readable(self.maybe)}" if self.maybe else ""
        return f"{readable(place)}{where} {what}{maybe}"


class BadInput(Exception):
    """Input that is wrong whatever the times: every mistake that was found, in order."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        found = sorted(
            dict.fromkeys(problems), key=lambda p: (p.file, p.line or 0, p.column or 0)
        )
        self.problems: tuple[Problem, ...] = tuple(found)
        super().__init__(self.problems)

    def __str__(self) -> str:
        lines = [str(p) for p in self.problems[:MOST_SHOWN]]
        if len(self.problems) > MOST_SHOWN:
            lines.append(f"… and {len(self.problems) - MOST_SHOWN} more")
        return "\n".join(lines)
