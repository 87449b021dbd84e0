"""Editing many records as a job: how what is to be changed, and what came of it, is kept."""

from __future__ import annotations

from typing import Any

from catalogue.edit_many import Edit, Outcome, Wording


def edit_of(kept: dict[str, Any]) -> Edit:
    """An edit as it was kept with its job."""
    wording = Wording(**kept["wording"]) if kept.get("wording") else None
    return Edit(dict(kept["values"]), wording)


def kept(edit: Edit) -> dict[str, Any]:
    """An edit as it is kept with its job."""
    wording = edit.wording
    return {
        "values": dict(edit.values),
        "wording": {"field": wording.field, "old": wording.old, "new": wording.new,
                    "whole": wording.whole} if wording else None,
    }  # fmt: skip


def counts_of(outcome: Outcome) -> dict[str, Any]:
    """What came of an edit, as it is kept with its job."""
    return {
        "recordings": outcome.recordings, "discs": outcome.discs, "beside": outcome.beside,
        "passed_over": dict(outcome.passed_over), "action_id": outcome.action_id,
    }  # fmt: skip
