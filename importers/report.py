"""What a taking-in or a measuring came to; `report_text.py` puts it into words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Remark:
    """One source (a path, a row) and what is to be said of it."""

    source: str
    text: str
    raw: Mapping[str, str] = field(default_factory=dict)
    mend: Mapping[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Measured:
    """What came of measuring: how many files, how many blank tempos filled, what failed."""

    files: int = 0
    filled: int = 0
    failed: list[Remark] = field(default_factory=list)
    stopped: bool = False


@dataclass(slots=True)
class Report:
    """Every file or row is counted once in one of the first five.

    `added` is recordings new here, `new_copies` copies of recordings that were known,
    `already_held` what was in before, `changed` what was brought up to date, `refused` what is
    not in, with the reason. `needs_a_look` is over and above: taken in, but a person should
    check. `moved` of the changed ones were files that are elsewhere now. `left_alone` is files
    that are not audio by their name, `gone` files known from this folder that are no longer there
    and are marked as missing, `out_of_reach` sentences on files that could not be looked for, of
    which nothing was changed. `headings` are a list's own, for the rows that are written back.
    `read_as` is how the columns of
    a list were understood, as sentences. `what` names the taking-in for `accession.take_back_all`;
    `stopped` is the reason if it did not run to its end.
    """

    what: str
    added: int = 0
    new_copies: int = 0
    already_held: int = 0
    changed: int = 0
    moved: int = 0
    refused: list[Remark] = field(default_factory=list)
    needs_a_look: list[Remark] = field(default_factory=list)
    left_alone: int = 0
    gone: list[str] = field(default_factory=list)
    out_of_reach: list[str] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    action_ids: list[int] = field(default_factory=list)
    read_as: list[str] = field(default_factory=list)
    stopped: str = ""

    @property
    def seen(self) -> int:
        """All files or rows that were looked at."""
        return self.added + self.new_copies + self.already_held + self.changed + len(self.refused)

    def add(self, part: Report) -> None:
        """Count a finished batch in."""
        self.added += part.added
        self.new_copies += part.new_copies
        self.already_held += part.already_held
        self.changed += part.changed
        self.moved += part.moved
        self.refused += part.refused
        self.needs_a_look += part.needs_a_look
        self.action_ids += part.action_ids
