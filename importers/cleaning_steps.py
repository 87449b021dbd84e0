"""What a cleaning step is: a tiny named function with one example, which is also its test."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from importers.entries import Draft


@dataclass(frozen=True, slots=True)
class Step:
    """One way in which tags and lists are dirty, and its remedy.

    `before` and `after` are the fields of one example.
    """

    name: str
    does: str
    apply: Callable[[Draft], Draft]
    before: Mapping[str, str]
    after: Mapping[str, str]


def step(
    before: Mapping[str, str], after: Mapping[str, str]
) -> Callable[[Callable[[Draft], Draft]], Step]:
    """Make a function a step; its docstring says what it does."""

    def make(function: Callable[[Draft], Draft]) -> Step:
        does = " ".join((function.__doc__ or "").split())
        return Step(function.__name__.replace("_", " "), does, function, before, after)

    return make


def each_text(draft: Draft, change: Callable[[str], str]) -> Draft:
    """Every field changed by one function of its text."""
    changed = {n: new for n, text in draft.fields.items() if (new := change(text)) != text}
    return draft.put(**changed) if changed else draft


def each_foreign_text(draft: Draft, change: Callable[[str], str]) -> Draft:
    """As `each_text`, but only fields that have more than ASCII letters: few do."""
    changed = {n: change(text) for n, text in draft.fields.items() if not text.isascii()}
    return draft.put(**changed) if changed else draft
