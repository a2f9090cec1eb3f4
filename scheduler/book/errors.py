"""What the book cannot do, said to the person who asked for it."""

from __future__ import annotations


class BookError(Exception):
    """One sentence: what is wrong, where, and what may be done about it. Nothing was changed."""


class Busy(BookError):
    """Somebody else has been writing for longer than is waited; the same may go through later."""


class NotAllowed(BookError):
    """The role of whoever asks may not do this."""


class NotThere(BookError):
    """The book has nothing of that name."""


class InUse(BookError):
    """What is to be thrown out is needed by something else in the book."""
