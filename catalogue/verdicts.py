"""What a librarian can say of two things that may be one."""

from __future__ import annotations

from enum import StrEnum

from catalogue.errors import BadInput


class Verdict(StrEnum):
    """What a librarian says of a pair."""

    SAME = "same"
    DIFFERENT = "different"
    CANNOT_TELL = "cannot tell"


def checked(verdict: str) -> Verdict:
    """The verdict of this word. Raises BadInput for any other."""
    if verdict not in list(Verdict):
        raise BadInput("A judgement is “same”, “different” or “cannot tell”.")
    return Verdict(verdict)
