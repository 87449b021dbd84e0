"""Small pluses and minuses after the sound has spoken: year, version, how often asked for.

The matcher orders by sound; qualifiers move a match among those that sound about the same and
never past one that clearly sounds better. They are in the matcher's own units, natural log odds.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter

from catalogue.candidates import asked_for
from catalogue.first_lines import titles_in_turn
from catalogue.heard import VERSION_WORDS
from catalogue.reasons import Reason, ReasonKind
from catalogue.records import Recording, Wanted
from catalogue.spelling import plain, without_version
from catalogue.weighed import Weighed, in_order

YEAR_FITS = math.log(3)
"""A year said in passing that fits makes a recording three times as likely. By judgement."""

YEAR_MISSES = -math.log(3)
"""One that is far off makes it a third as likely: callers misremember years."""

YEARS_OFF = 2
"""Years outside what was said that still fit: pressings differ from first releases."""

VERSION_FITS = math.log(8)
"""A version asked for by name ("live") and there."""

VERSION_UNASKED = -math.log(4)
"""A live recording, remix or karaoke version when none was asked for."""

OFTEN_ASKED = math.log(1.5)
"""The most asked-for recording of the station; others in proportion. A nudge, no more."""

_SAYS_NOTHING = re.compile(r"\b(?:re ?master(?:ed)?|version|original|album|single|stereo|\d{4})\b")
"""Words behind a title that do not make it another piece, as "(2011 Remaster)"."""


def version_words(recording: Recording) -> frozenset[str]:
    """What marks a version, from its field and from what stands after the bare title."""
    return frozenset(VERSION_WORDS.findall(f"{plain(recording.version)} {_beyond(recording)}"))


def _beyond(recording: Recording) -> str:
    """What stands after the bare title, in plain words: "part two", "live at the quay"."""
    title, bare = plain(recording.title), plain(without_version(recording.title))
    return title[len(bare) :].strip() if title.startswith(bare) else ""


def qualify(
    weighed: Sequence[Weighed],
    recordings: Mapping[int, Recording],
    wanted: Wanted,
    often: Mapping[int, int],
) -> list[tuple[Weighed, tuple[Reason, ...]]]:
    """The matches in their final order, each with the reasons the qualifiers give.

    `often` counts how often recordings were asked for here. Exact matches stay first.
    """
    most = max(often.values(), default=0)
    judged = []
    for match in weighed:
        recording = recordings[match.recording_id]
        bonus, reasons = _year(recording, wanted)
        version_bonus, version_reasons = _version(recording, wanted)
        bonus += version_bonus
        if most:
            bonus += OFTEN_ASKED * often.get(recording.id, 0) / most
        judged.append((match.score + bonus, match, (*reasons, *version_reasons)))
    # Of equal scores the order is kept in which the matcher gave them.
    judged.sort(key=lambda j: (*in_order(j[1])[:2], -j[0]))
    return [(match, reasons) for _, match, reasons in judged]


@dataclass(frozen=True, slots=True)
class Folded:
    """One line of an answer: the leading match, its reasons, and all recordings under it."""

    match: Weighed
    reasons: tuple[Reason, ...]
    recording_ids: tuple[int, ...]


def fold_twins(
    qualified: Sequence[tuple[Weighed, tuple[Reason, ...]]], recordings: Mapping[int, Recording]
) -> list[Folded]:
    """Recordings of one title by one artist as one line, unless something tells them apart.

    They may be one recording entered twice, or taken in from a file and from a disc; at the
    phone it is one choice with several places. A year, a version or a part ("Part Two") is told.
    """
    folded: list[Folded] = []
    for match, reasons in qualified:
        recording = recordings[match.recording_id]
        for place, other in enumerate(folded):
            if _twins(recordings[other.match.recording_id], recording):
                ids = (*other.recording_ids, recording.id)
                folded[place] = Folded(other.match, other.reasons, ids)
                break
        else:
            folded.append(Folded(match, reasons, (recording.id,)))
    return folded


def answer_lines(
    weighed: Sequence[Weighed],
    recordings: Mapping[int, Recording],
    wanted: Wanted,
    often: Mapping[int, int],
) -> list[Folded]:
    """The lines of an answer: qualified, twins folded, no title that is a guess on too many."""
    folded = fold_twins(qualify(weighed, recordings, wanted, often), recordings)
    return titles_in_turn(asked_for(wanted), folded, attrgetter("match"))


def same_name(one: Recording, other: Recording) -> bool:
    """Whether two recordings are of one title by one artist, whatever the version."""
    return one.artist_id == other.artist_id and plain(without_version(one.title)) == plain(
        without_version(other.title)
    )


def _twins(one: Recording, other: Recording) -> bool:
    years = {one.year, other.year} - {None}
    return (
        same_name(one, other)
        and version_words(one) == version_words(other)
        and _part_words(one) == _part_words(other)
        and len(years) < 2
    )


def _part_words(recording: Recording) -> frozenset[str]:
    return frozenset(_SAYS_NOTHING.sub(" ", _beyond(recording)).split())


def _year(recording: Recording, wanted: Wanted) -> tuple[float, tuple[Reason, ...]]:
    if wanted.year_from is None or wanted.year_to is None or recording.year is None:
        return 0.0, ()
    held = str(recording.year)
    if wanted.year_from - YEARS_OFF <= recording.year <= wanted.year_to + YEARS_OFF:
        return YEAR_FITS, (Reason(ReasonKind.YEAR_AGREES, held=held),)
    if held in wanted.heard:  # its own year was said as well
        return 0.0, ()
    said = (
        str(wanted.year_from)
        if wanted.year_from == wanted.year_to
        else f"{wanted.year_from} to {wanted.year_to}"
    )
    return YEAR_MISSES, (Reason(ReasonKind.YEAR_DIFFERS, said, held),)


def _version(recording: Recording, wanted: Wanted) -> tuple[float, tuple[Reason, ...]]:
    words = version_words(recording)
    if wanted.version and wanted.version in words:
        return VERSION_FITS, (Reason(ReasonKind.VERSION_AGREES, wanted.version, wanted.version),)
    return (VERSION_UNASKED if words else 0.0), ()
