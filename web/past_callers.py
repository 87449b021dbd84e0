"""Past callers: whose slip is done, and whose evening is over.

While a call is being dealt with, and for the rest of that evening, whoever works at the phone or
in a studio sees it: they may have to ring back, or take a mistake back. After that only the keeper
needs it, to answer a caller who asks what is held of them, and to erase it (`keeping_pages.py`).
A librarian sees no caller at any time.
"""

from __future__ import annotations

from catalogue import request_slips
from catalogue.errors import NotAllowed
from catalogue.request_slips import Slip
from catalogue.slip_rows import OPEN
from web import roles
from web.station import now
from web.texts import t


def is_past(slip: Slip) -> bool:
    """Whether a slip is done, and was so before today began."""
    return slip.state not in OPEN and (slip.done_at or "") < request_slips.start_of_day(now())


def refuse(slip: Slip) -> None:
    """Raise NotAllowed if this is a past caller whom the person at the desk may not see."""
    if is_past(slip) and not roles.may("past callers"):
        raise NotAllowed(t("refusal.past_caller"))
