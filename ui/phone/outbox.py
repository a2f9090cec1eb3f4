"""What an outbox sends when the line is back: forms with the time at which each was pressed."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from scheduler.book.arriving import moment
from scheduler.book.errors import BookError
from scheduler.book.roles import Who
from ui.phone.hanging import Kept
from ui.phone.sent import Sent
from ui.phone.taking import Answer, take

MOST_BYTES = 256 * 1024
MOST = 200
"""Forms that are taken at once; a script of ours sends the rest afterwards."""
_FIELDS = 40


def read_outbox(kept: Kept, who: Who, sent: dict[str, Any]) -> tuple[int, dict[str, Any]]:
    """Take the forms of an outbox, each by itself: one that is refused holds nothing else up.

    Parameters
    ----------
    sent : dict
        `now`: what the phone's clock shows; `forms`: each with `fields` and `happened`.

    Returns
    -------
    tuple of int and dict
        The status, and `answers` in the order of the forms; or `said`, why there are none.
    """
    arrived = kept.book.clock()
    try:
        shows = _moment(sent.get("now"))
    except BookError as refused:
        return 422, {"said": str(refused)}
    forms = sent.get("forms")
    if not isinstance(forms, list) or len(forms) > MOST:
        return 422, {"said": f"An outbox is a list of at most {MOST} forms."}
    return 200, {"answers": [_answer(kept, who, one, shows, arrived) for one in forms]}


def _answer(
    kept: Kept, who: Who, form: Any, shows: datetime, arrived: datetime
) -> dict[str, Any]:
    try:
        fields = form.get("fields") if isinstance(form, dict) else None
        if not isinstance(fields, dict) or len(fields) > _FIELDS:
            raise BookError("A form is its fields, and when it was sent off.")
        if not all(isinstance(v, str) and len(v) <= 4000 for v in fields.values()):
            raise BookError("The fields of a form are texts.")
        sent = Sent(fields, _moment(form.get("happened")), shows, arrived)
    except BookError as refused:
        answer = Answer("refused", (str(refused),))
    else:
        answer = take(kept, who, sent)
    return {"state": answer.state, "said": list(answer.said), "asks": answer.asks}


def _moment(text: Any) -> datetime:
    """As a browser writes it.

    Raises
    ------
    BookError
    """
    try:
        found = datetime.fromisoformat(str(text)[:40])
    except ValueError:
        raise BookError(f"'{str(text)[:40]}' is no moment.") from None
    return moment(found)
