"""Where the screens are found from another device: what codes on paper and calendars say."""

from __future__ import annotations

import os
import re
from urllib.parse import urlsplit

from scheduler.book.errors import BookError

ADDRESS = "BACKTIME_ADDRESS"
_HOST = re.compile(r"[a-z0-9]([a-z0-9.-]*[a-z0-9])?|[0-9a-f:.]+", re.IGNORECASE)


def address(written: str | None = None) -> str | None:
    """The address, without a slash at its end; None where nobody has said one.

    Parameters
    ----------
    written : str, optional
        Left out: `BACKTIME_ADDRESS`.

    Raises
    ------
    BookError
        It is none.
    """
    text = (os.environ.get(ADDRESS, "") if written is None else written).strip()
    if not text.endswith("://"):
        text = text.removesuffix("/")
    if not text:
        return None
    meant = "like http://kitchen.local:8470"
    if "://" not in text:
        raise BookError(f"'{text}' is no whole address ({ADDRESS}). Maybe 'http://{text}'.")
    try:
        parts = urlsplit(text)
        port = parts.port
    except ValueError:
        raise BookError(f"'{text}' is no address {meant} ({ADDRESS}).") from None
    fine = parts.scheme in ("http", "https") and _HOST.fullmatch(parts.hostname or "")
    more = parts.path or parts.query or parts.fragment or parts.username is not None
    if not fine or more or port == 0:
        raise BookError(
            f"'{text}' is no address {meant} ({ADDRESS}): http or https, a name or a number, and "
            "where it listens; nothing behind that."
        )
    return text
