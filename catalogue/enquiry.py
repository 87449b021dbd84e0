"""One enquiry, from what was heard to what can be said: read this first.

`enquire` is the table of contents of a search. Each line is a stage, and each stage is a file
of its own on a lower floor.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from catalogue import (
    availability,
    catalogue_rows,
    occasions,
    play_log,
    sayings,
    settings,
    stand_ins,
)
from catalogue.agreement import marks
from catalogue.artists_meant import ALONE, SAID_SO, artist_meant
from catalogue.asked_in_words import kind_said
from catalogue.asked_outright import said_in
from catalogue.candidates import asked_for
from catalogue.first_lines import titles_in_turn
from catalogue.heard import ANYTHING_BY, Heard, understand
from catalogue.match_reasons import reasons_for
from catalogue.matcher import weigh
from catalogue.narrowing import Narrowing
from catalogue.qualifiers import Folded, answer_lines, same_name
from catalogue.reasons import Reason, ReasonKind
from catalogue.records import (
    Answer,
    Band,
    Match,
    Outcome,
    Readiness,
    Reading,
    Recording,
    StandIn,
    Wanted,
)
from catalogue.sound_index import SoundIndex
from catalogue.stand_ins import Basis
from catalogue.store import Store
from catalogue.weighed import Weighed, hopeful

LOOKED_AT = 20
"""Matches that are loaded whole; a searcher with a caller on the line reads no further."""

SHOWN = 8
"""Matches in an answer: what fits on the phone desk without scrolling, with the stand-ins."""

NOTHING_SAID = Basis()
"""What a caller has said beside the words heard, before anything is said."""

STAND_INS = 5
"""Stand-ins in an answer: enough for one of each kind."""

ARTIST_HEARD = 0.75
"""Share of an artist's perfect score from which the artist was heard, if not the title."""

HARDLY_EVIDENCE = 0.03
"""Below this chance the best match is rubbish, and "not found" is the honest answer."""

CANNOT_TELL_BELOW = 0.25
"""Below this chance the best match is a guess that only the caller can settle."""


def enquire(
    store: Store,
    index: SoundIndex,
    heard: Heard,
    now: datetime,
    *,
    occasion: str = "",
    left_out: frozenset[int] = frozenset(),
    slip_id: int | None = None,
    said: Basis = NOTHING_SAID,
    instead: bool = False,
) -> Answer:
    """All that can be said to what was heard: matches, what is ready, stand-ins, what to ask.

    `left_out` are recordings that the caller has refused, `slip_id` the slip being written,
    whose own choice does not count as taken, `said` what else the caller could say of it,
    `instead` asks for stand-ins though the record is there. Any text gets an answer.
    """
    wanted = understand(heard)
    if not wanted.heard and said == NOTHING_SAID:
        return _answer(Outcome.NOTHING_ASKED, wanted)
    if not wanted.heard:
        wanted = replace(wanted, names_no_record=True)
    found = weigh(index, wanted, keep_hopeless=True)
    weighed = titles_in_turn(asked_for(wanted), hopeful(found))[:LOOKED_AT]
    known = catalogue_rows.recordings(store, [w.recording_id for w in weighed])
    weighed = [w for w in weighed if w.recording_id in known]
    matches = _matches(store, wanted, weighed, known, now, slip_id)
    outcome = _outcome(wanted, matches)
    if outcome in (Outcome.NOT_FOUND, Outcome.CANNOT_TELL):
        wanted = _artist_alone(index, wanted, found)
    elif wanted.readings[0].how == ANYTHING_BY:
        # "That one by the Bargemen, Last Boat" named a record after all.
        wanted = replace(wanted, names_no_record=False)
    if outcome is Outcome.NOT_FOUND:
        matches = ()
    plainly = outcome is Outcome.FOUND and not wanted.names_no_record
    if plainly and not instead and not _may_hurt(matches, occasion):
        return _answer(outcome, wanted, matches)
    basis = _basis(index, wanted, outcome, matches, weighed, occasion).with_said(
        said.with_said(kind_said(wanted.heard))
    )
    out = left_out | {m.recording.id for m in matches if m.ready and outcome is Outcome.FOUND}
    kindred = frozenset(r.id for r in known.values() if said_in(r.title, basis.genre))
    ready = stand_ins.ready_now(
        store, basis, now, left_out=frozenset(out), slip_id=slip_id,
        kindred=kindred if wanted.names_no_record else frozenset(),
    )  # fmt: skip
    offered = stand_ins.offered(ready, basis, STAND_INS)
    narrowing = stand_ins.questions(ready, basis)
    answer = _answer(outcome, wanted, matches, offered, narrowing)
    return replace(
        answer,
        based_on=sayings.based_on(basis, stand_ins.artist_name(store, basis)) if offered else "",
        questions=tuple(one.question for one in narrowing),
        year=basis.year,
        tempo=basis.tempo,
        nothing_known=basis.tells_nothing,
    )


def _may_hurt(matches: Sequence[Match], occasion: str) -> bool:
    """Whether the first match's title may hurt on this occasion, so that others are offered too."""
    return occasions.is_tender(occasion) and any(
        reason.kind is ReasonKind.WARNING for match in matches[:1] for reason in match.reasons
    )


def ranked(store: Store, index: SoundIndex, heard: Heard) -> tuple[list[int], Band | None]:
    """Recording ids in the order of an answer, likeliest first, and the band of the first.

    For programs that ask for many rows: no availability, no stand-ins, nothing folded away.
    """
    wanted = understand(heard)
    found = weigh(index, wanted, keep_hopeless=True) if wanted.heard else []
    weighed = titles_in_turn(asked_for(wanted), found)[:LOOKED_AT]
    known = catalogue_rows.recordings(store, [w.recording_id for w in weighed])
    weighed = [w for w in weighed if w.recording_id in known]
    folded = answer_lines(weighed, known, wanted, {})
    if not folded:
        return [], None
    band = folded[0].match.band
    if band is Band.CERTAIN and has_rival(folded[0], folded, known):
        band = Band.LIKELY
    return [recording_id for group in folded for recording_id in group.recording_ids], band


def _matches(
    store: Store,
    wanted: Wanted,
    weighed: Sequence[Weighed],
    known: dict[int, Recording],
    now: datetime,
    slip_id: int | None,
) -> tuple[Match, ...]:
    """The matches in their final order, with reasons and what is ready."""
    asked = asked_for(wanted)
    often = play_log.times_played(store, list(known))
    folded = answer_lines(weighed, known, wanted, often)
    ids = [recording_id for group in folded for recording_id in group.recording_ids]
    ready = availability.of(store, ids, now, slip_id)
    words = settings.lines(store, "warning_words")
    matches: list[Match] = []
    for group in folded:
        recording = known[group.match.recording_id]
        warned = occasions.warnings_in(recording.title, words, recording.language)
        reasons = (
            *reasons_for(asked, group.match, recording),
            *group.reasons,
            *(Reason(ReasonKind.WARNING, held=word) for word in warned),
        )
        band = group.match.band
        if has_rival(group, folded, known):
            # The name may be certain while it is not known which of several is meant.
            band = Band.LIKELY if band is Band.CERTAIN else band
            if not matches:
                reasons = (*reasons, Reason(ReasonKind.OTHERS_AS_NEAR))
        lines = availability.readiest_first(
            [line for recording_id in group.recording_ids for line in ready[recording_id]]
        )
        match = Match(
            recording,
            band,
            group.match.probability,
            reasons,
            lines,
            marks(recording.title, wanted.heard),
            marks(recording.artist, wanted.heard),
        )
        _put(matches, match)
    return tuple(matches[:SHOWN])


def _put(matches: list[Match], match: Match) -> None:
    """Add a match as a line of its own, or as a version of one that is there."""
    for place, other in enumerate(matches):
        if same_name(other.recording, match.recording):
            matches[place] = replace(other, versions=(*other.versions, match))
            return
    matches.append(match)


def has_rival(group: Folded, folded: Sequence[Folded], known: Mapping[int, Recording]) -> bool:
    """Whether another record, not only another version, is at least half as likely."""
    ours = known[group.match.recording_id]
    return any(
        other.match.probability * 2 > group.match.probability
        and not same_name(known[other.match.recording_id], ours)
        for other in folded
    )


def _outcome(wanted: Wanted, matches: tuple[Match, ...]) -> Outcome:
    if not matches or matches[0].probability < HARDLY_EVIDENCE:
        return Outcome.NOT_FOUND
    if wanted.names_no_record and matches[0].band is not Band.CERTAIN:
        return Outcome.NOT_FOUND  # what sounds a little like "anything by …" is not what is meant
    if matches[0].probability < CANNOT_TELL_BELOW:
        return Outcome.CANNOT_TELL
    if matches[0].ready:
        return Outcome.FOUND
    if all(a.readiness is Readiness.NOT_HELD for a in matches[0].availability):
        return Outcome.KNOWN_NOT_HELD
    return Outcome.NOT_READY


def _basis(
    index: SoundIndex,
    wanted: Wanted,
    outcome: Outcome,
    matches: Sequence[Match],
    weighed: Sequence[Weighed],
    occasion: str,
) -> Basis:
    """What the stand-ins go by: the recording, else its artist, else what was said of it."""
    year = (wanted.year_from + wanted.year_to) // 2 if wanted.year_from and wanted.year_to else None
    if wanted.names_no_record:
        artist = _artist_id(index, wanted)
        return Basis(artist_id=artist, year=year, occasion=occasion)
    if outcome in (Outcome.KNOWN_NOT_HELD, Outcome.NOT_READY, Outcome.FOUND):
        return Basis.of(matches[0].recording, occasion)
    heard = [w.recording_id for w in weighed if w.claim("artist_share") >= ARTIST_HEARD]
    if heard:
        nearest = catalogue_rows.recording(index.store, heard[0])
        return Basis(artist_id=nearest.artist_id, year=year or nearest.year, occasion=occasion)
    return Basis(year=year, occasion=occasion)


def _artist_id(index: SoundIndex, wanted: Wanted) -> int | None:
    """The artist of "anything by …", if one sounds like it."""
    name = next((r.artist for r in wanted.readings if r.how == ANYTHING_BY), "")
    found = artist_meant(index, name, SAID_SO) if name else None
    return catalogue_rows.recording(index.store, found).artist_id if found else None


def _artist_alone(index: SoundIndex, wanted: Wanted, found: Sequence[Weighed]) -> Wanted:
    """The same, marked as naming no record if all that was heard is an artist's name."""
    if wanted.names_no_record or artist_meant(index, wanted.heard, ALONE, found) is None:
        return wanted
    readings = (Reading("", wanted.heard, ANYTHING_BY), *wanted.readings)
    return replace(wanted, names_no_record=True, readings=readings)


def _answer(
    outcome: Outcome,
    wanted: Wanted,
    matches: tuple[Match, ...] = (),
    offered: tuple[StandIn, ...] = (),
    narrowing: tuple[Narrowing, ...] = (),
) -> Answer:
    if wanted.names_no_record and outcome is not Outcome.FOUND:
        say = sayings.for_any(offered)
    else:
        say = sayings.first_line(outcome, matches, offered)
    asks = sayings.ask_next(outcome, wanted, matches, narrowing)
    return Answer(outcome, say, wanted, matches, offered, asks)
