"""An answer told on the terminal, as JSON, and in batches."""

from __future__ import annotations

import contextlib
import csv
import os
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from catalogue import sayings
from catalogue.enquiry import enquire, ranked
from catalogue.errors import BadInput, UnreadableList
from catalogue.explaining import Explanation
from catalogue.heard import Heard
from catalogue.plain_csv import harmless
from catalogue.reasons import sentence
from catalogue.records import Answer, Available, Match, Outcome, Readiness, Recording, StandIn
from catalogue.sound_index import SoundIndex
from catalogue.stand_ins import Basis, offer
from catalogue.store import Store

_LONGEST_FIELD = 100_000

IN_BATCH = 20
"""Recording ids written for each row of a batch."""

BATCH_COLUMNS = ("row_id", "recording_ids", "band")


def place(available: Available) -> str:
    """Where to put your hand: a file's path, or shelf mark, carrier, side and track."""
    holding = available.holding
    if holding is None:
        return ""
    if holding.path:
        return holding.path
    parts = [f"{holding.carrier} {holding.shelf_mark}"]
    if holding.side:
        parts.append(f"side {holding.side}")
    if holding.track:
        parts.append(f"track {holding.track}")
    if holding.place:
        parts.append(holding.place)
    return ", ".join(parts)


def lines(answer: Answer) -> Iterator[tuple[str, str]]:
    """(style, line) of an answer for the terminal: the sentence to say, matches, stand-ins.

    A line of the style "path" is a file's path and nothing else, to be printed in one piece.
    """
    yield "say", answer.say
    for number, match in enumerate(answer.matches, 1):
        yield "", ""
        yield "name", f"{number}  {_name(match.recording)}  [{match.band}]"
        for available in match.availability:
            yield from _availability("   ", available)
        for reason in match.reasons:
            yield "reason", f"   {sentence(reason)}"
        for version in match.versions:
            yield "place", f"   also {_name(version.recording)}:"
            for available in version.availability:
                yield from _availability("      ", available)
    if answer.stand_ins:
        yield "", ""
        yield "head", "Instead, ready now:"
    for stand_in in answer.stand_ins:
        yield "name", f"-  {sayings.stand_in_line(answer, stand_in)}"
        yield from _placed(f"   {_name(stand_in.recording)}", stand_in.available)
        for reason in stand_in.reasons:
            yield "reason", f"   {sentence(reason)}"
    if answer.ask_next and answer.ask_next != (answer.say,):
        yield "", ""
        yield "head", "Ask the caller:"
        for question in answer.ask_next:
            yield "", f"   {question}"


def explained(explanation: Explanation) -> Iterator[tuple[str, str]]:
    """How the request was read and weighed, for `--explain`."""
    wanted = explanation.wanted
    yield "", ""
    yield "head", "How it was read:"
    yield "", f"   words: {wanted.heard}"
    yield "", f"   sounds: {explanation.phonemes}"
    yield "", f"   as a telephone leaves them: {explanation.classes}"
    for reading in wanted.readings:
        artist = f", artist “{reading.artist}”" if reading.artist else ""
        yield "", f"   {reading.how}: title “{reading.title}”{artist}"
    yield "", f"   names compared: {explanation.compared}"
    for number, match in enumerate(explanation.matches, 1):
        yield "", ""
        yield "head", f"{number}  {match.title} — {match.artist} ({match.kind})"
        yield "", f"   chance of being right {match.chance:.2f}, score {match.score:.1f}, made of:"
        for part in match.parts:
            yield "", f"   {part.gave:+6.1f}  {part.what}"


def as_json(answer: Answer) -> dict[str, Any]:
    """The same for programs."""
    return {
        "outcome": str(answer.outcome),
        "say": answer.say,
        "heard": answer.wanted.heard,
        "matches": [_match_json(match) for match in answer.matches],
        "stand_ins": [_stand_in_json(answer, stand_in) for stand_in in answer.stand_ins],
        "ask_next": list(answer.ask_next),
    }


def batch(
    store: Store,
    index: SoundIndex,
    source: Path,
    target: Path,
    progress: Callable[[int, int], None],
) -> int:
    """Answer a CSV of requests; returns how many rows were written.

    `source` has row_id and heard, and where given heard_title and heard_artist. `target` gets
    row_id, recording_ids (separated by spaces, likeliest first) and band (of the first). It
    appears only when it is complete. Raises UnreadableList or BadInput.
    """
    try:
        with source.open(encoding="utf-8-sig", newline="") as file:
            rows = list(csv.DictReader(file))
        # The csv module's own limit is the whole program's, and lists of shelves need more.
        if any(len(value or "") > _LONGEST_FIELD for row in rows for value in row.values()):
            raise csv.Error(f"a field is longer than {_LONGEST_FIELD:,} letters")
    except FileNotFoundError as problem:
        raise UnreadableList(
            f"There is no file {source}. Check the name and the folder."
        ) from problem
    except OSError as problem:
        raise UnreadableList(
            f"{source} cannot be read ({problem.strerror or problem}). Give this user the right "
            "to read it, or another file."
        ) from problem
    except UnicodeDecodeError as problem:
        raise UnreadableList(
            f"{source} is not in UTF-8. Save it from its program as “CSV UTF-8”."
        ) from problem
    except csv.Error as problem:
        raise UnreadableList(f"{source} cannot be read as a CSV file ({problem}).") from problem
    if target.resolve() == source.resolve():
        raise BadInput(f"{target} holds the requests themselves. Give another place with --out.")
    if not rows or "row_id" not in rows[0] or "heard" not in rows[0]:
        raise UnreadableList(f"{source} needs rows, with the columns row_id and heard.")
    draft = target.with_name(f"{target.name}.part{os.getpid()}")
    try:
        with draft.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(BATCH_COLUMNS)
            for done, row in enumerate(rows, 1):
                writer.writerow(_batch_row(store, index, row))
                progress(done, len(rows))
        draft.replace(target)
    except OSError as problem:
        raise BadInput(
            f"{target} cannot be written ({problem.strerror or problem}). "
            "Give another place with --out."
        ) from problem
    finally:
        # Where the draft could not be written it cannot be removed either.
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)
    return len(rows)


def _batch_row(store: Store, index: SoundIndex, row: dict[str, str]) -> tuple[str, str, str]:
    title, artist = row.get("heard_title") or "", row.get("heard_artist") or ""
    heard = Heard(title=title, artist=artist) if title or artist else Heard(row["heard"] or "")
    ids, band = ranked(store, index, heard)
    # Python before 3.13 leaves a lone CR without quotes: a sheet would begin a new row there.
    row_id = harmless((row["row_id"] or "").replace("\r", " "))
    return row_id, " ".join(map(str, ids[:IN_BATCH])), str(band or "")


def _name(recording: Recording) -> str:
    year = f", {recording.year}" if recording.year else ""
    return f"{recording.title} — {recording.artist}{year}"


def _availability(indent: str, available: Available) -> Iterator[tuple[str, str]]:
    if available.readiness is Readiness.READY:
        yield from _placed(f"{indent}ready", available, available.why)
    else:
        yield from _placed(f"{indent}{available.why or available.readiness}", available)


def _placed(what: str, available: Available, why: str = "") -> Iterator[tuple[str, str]]:
    """What is to be said of a copy, and where it is: a file's path on a line of its own."""
    remark = f" ({why})" if why else ""
    where = place(available)
    if available.holding is not None and available.holding.path:
        yield "place", f"{what}{remark}, a file:"
        yield "path", f"{' ' * (len(what) - len(what.lstrip()) + 2)}{where}"
    else:
        yield "place", f"{what}{': ' + where if where else ''}{remark}"


def _match_json(match: Match) -> dict[str, Any]:
    return {
        **_recording_json(match.recording),
        "band": str(match.band),
        "chance": round(match.probability, 4),
        "reasons": [sentence(reason) for reason in match.reasons],
        "availability": [
            {"readiness": str(a.readiness), "place": place(a), "why": a.why}
            for a in match.availability
        ],
        "versions": [_match_json(version) for version in match.versions],
    }


def _stand_in_json(answer: Answer, stand_in: StandIn) -> dict[str, Any]:
    return {
        **_recording_json(stand_in.recording),
        "kind": stand_in.kind,
        "say": sayings.stand_in_line(answer, stand_in),
        "place": place(stand_in.available),
        "reasons": [sentence(reason) for reason in stand_in.reasons],
    }


def _recording_json(recording: Recording) -> dict[str, Any]:
    return {
        "recording_id": recording.id,
        "title": recording.title,
        "artist": recording.artist,
        "year": recording.year,
    }


def in_place_of(store: Store, index: SoundIndex, heard: Heard, now: datetime) -> Answer:
    """What could be played in place of a record, whether or not it is ready itself."""
    answer = enquire(store, index, heard, now)
    if not answer.matches or answer.outcome in (Outcome.NOT_FOUND, Outcome.CANNOT_TELL):
        return answer
    meant = answer.matches[0].recording
    offered = offer(store, Basis.of(meant), now)
    say = f"In place of {sayings.named(answer.matches[0])}:"
    if not offered:
        say = f"Nothing is ready in place of {sayings.named(answer.matches[0])}."
    return replace(answer, say=say, matches=answer.matches[:1], stand_ins=offered, ask_next=())
