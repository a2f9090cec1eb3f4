"""What was sent: by a form of ours, or by a script of ours. Anything else is nothing."""

from __future__ import annotations

import json
from typing import Any
from urllib.parse import parse_qsl

from starlette.requests import Request


async def form_sent(request: Request, most_bytes: int, most_fields: int) -> dict[str, str] | None:
    """The fields of a form of ours; None: it is no form of ours, or far too long for one.

    Browsers say with every POST which page sent it; the door has compared that with the host.
    Of a field that comes twice the first counts.
    """
    body = await _body(request, most_bytes)
    if body is None:
        return None
    try:
        pairs = parse_qsl(body.decode(), keep_blank_values=True, max_num_fields=most_fields)
    except ValueError:
        return None
    return dict(reversed(pairs))


async def json_sent(request: Request, most_bytes: int) -> dict[str, Any] | None:
    """What a script of ours has sent, as names and values; None: it is none of ours."""
    body = await _body(request, most_bytes)
    if body is None:
        return None
    try:
        found = json.loads(body)
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) else None


async def _body(request: Request, most: int) -> bytes | None:
    if "origin" not in request.headers:
        return None
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > most:
            return None
    return body
