"""Likely duplicates on the terminal: what is shown of a pair, and what is asked."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Any

from catalogue import catalogue_rows, disc_doubles, duplicate_search, duplicates, merging
from catalogue.duplicates import Pair
from catalogue.records import Holding, Recording
from catalogue.store import Store
from catalogue.verdicts import Verdict

Lines = Iterator[tuple[str, str]]

_COPIES_SHOWN = 3
_SURE = ((0.99, "almost certainly"), (0.9, "very likely"), (0.0, "likely"))
_KEYS = {"s": Verdict.SAME, "d": Verdict.DIFFERENT, "c": Verdict.CANNOT_TELL}


def summary(store: Store, searched: duplicate_search.Searched, shown: int) -> Lines:
    """What the search did, and the files and discs that are there twice."""
    if searched.new:
        yield "", f"{searched.new:,} recordings were new; {searched.compared:,} pairs compared."
    else:
        yield "", "Nothing is new since the last search."
    files, discs = duplicates.same_files(store), disc_doubles.same_discs(store)
    if files:
        yield "", f"Files with the very same sound: {len(files)} groups."
    for one, other in discs[:shown]:
        first, second = (catalogue_rows.disc(store, number) for number in (one, other))
        yield (
            "",
            (
                f"{first.carrier} {first.shelf_mark} and {second.carrier} {second.shelf_mark} look "
                f"like one disc shelved twice ({first.title or second.title or 'no title'})."
            ),
        )


def pair_lines(store: Store, pair: Pair, number: int) -> Lines:
    """One pair: how sure, of what kind, both sides, what agrees and what differs."""
    sure = next(word for least, word in _SURE if pair.likelihood >= least)
    yield "", ""
    yield "head", f"{number}. {sure.capitalize()} one: {pair.kind}"
    copies = catalogue_rows.holdings_of(store, [pair.a.id, pair.b.id])
    for recording in (pair.a, pair.b):
        yield "name", f"  {recording.id}: {_name(recording)}"
        held = copies[recording.id]
        for holding in held[:_COPIES_SHOWN]:
            yield "", f"      {_place(holding)}"
        if len(held) > _COPIES_SHOWN:
            yield "", f"      and {len(held) - _COPIES_SHOWN} more"
        if not held:
            yield "", "      no copy"
    if pair.agrees:
        yield "reason", f"  The same: {', '.join(pair.agrees)}."
    if pair.differs:
        yield "reason", f"  Different: {', '.join(pair.differs)}."


def as_json(pair: Pair) -> dict[str, Any]:
    """A pair for programs."""
    return {
        "a": pair.a.id,
        "b": pair.b.id,
        "kind": pair.kind,
        "likelihood": pair.likelihood,
        "agrees": pair.agrees,
        "differs": pair.differs,
        "evidence": [
            {"claim": claim.name, "level": claim.level, "bits": claim.bits}
            for claim in pair.evidence
        ],
    }


def answer(
    store: Store, pair: Pair, ask: Callable[[str, list[str]], str], who: str, now: datetime
) -> str:
    """Ask what the pair is, keep it, and say what was done; "" when there is to be an end.

    `ask(question, choices)` gives one of the choices.
    """
    key = ask("Same, different, cannot tell, or quit?", [*_KEYS, "q"])
    if key == "q":
        return ""
    if _KEYS[key] is not Verdict.SAME:
        duplicates.judge(store, pair.a.id, pair.b.id, _KEYS[key], who, now)
        return f"Kept: {_KEYS[key]}."
    first, second = str(pair.a.id), str(pair.b.id)
    kept = ask("Which one is kept? Neither leaves both as they are.", [first, second, "neither"])
    if kept == "neither":
        duplicates.judge(store, pair.a.id, pair.b.id, Verdict.SAME, who, now)
        return "Kept: same. Both records stay."
    stays, goes = (pair.a, pair.b) if kept == first else (pair.b, pair.a)
    take = []
    for choice in merging.choices(stays, goes):
        if choice.goes in (None, ""):
            continue
        field = choice.field.removesuffix("_s")
        question = f"{field}: 1 {_value(choice.stays)} or 2 {_value(choice.goes)}?"
        which = "2" if choice.take else ask(question, ["1", "2"])
        if which == "2":
            take.append(choice.field)
    action = merging.merge(store, stays.id, goes.id, who, now, take=take)
    return f"They are one now. “asheard take-back-action {action}” undoes it."


def _name(recording: Recording) -> str:
    about = [recording.album, str(recording.year or ""), _length(recording.length_s)]
    said = ", ".join(part for part in about if part)
    return f"{recording.title} / {recording.artist}" + (f" ({said})" if said else "")


def _length(seconds: float | None) -> str:
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}" if seconds else ""


def _place(holding: Holding) -> str:
    if holding.path:
        return holding.path
    side = f" side {holding.side}" if holding.side else ""
    track = f" track {holding.track}" if holding.track else ""
    return f"{holding.carrier} {holding.shelf_mark}{side}{track}"


def _value(value: object) -> str:
    return "nothing" if value in (None, "") else f"“{value}”"
