"""A varied few of what could be offered: maximal marginal relevance, within rules of the trade."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from catalogue.likeness import varied, years_alike
from catalogue.reasons import Reason
from catalogue.records import Available, Readiness, Recording
from catalogue.shared_traits import ASKED_FOR_HERE, ON_OUR_SHELVES
from catalogue.song_identity import title_keys

_BALANCE = 0.9
"""Of relevance against variety, for maximal marginal relevance (1 would be relevance alone):
kinds and artists are kept apart by rules already. By judgement; `tests.benchmarks.stand_ins`
prints what other values do."""

_MOST = 5.0
"""Relevance is divided by this to lie in 0..1, as variety does: about what the same artist's record
of the same year and feel adds up to; by the most there is, if that is more."""

_OF_CUSTOM = 3
"""Of what callers here ask for most, so many while there is anything else: that should be heard as
well."""

PER_ARTIST = 2
"""Records of one artist on a list, unless the artist was asked for and no record."""


class Candidate(NamedTuple):
    """A recording that shares something: its kind, how much, why, and the copy that is ready.

    A tuple as `Trait` is: they are made by the hundred while a caller waits.
    """

    recording: Recording
    kind: str
    relevance: float
    reasons: tuple[Reason, ...]
    available: Available = Available(None, Readiness.NOT_HELD)


def _alike(a: Candidate, b: Candidate, any_year: bool) -> float:
    """How alike two offers would look to the caller, 0..1: the same singer is half the same
    offer, one album a little more; where no year was asked for, one time counts too."""
    artist = 0.5 if a.recording.artist_id == b.recording.artist_id else 0.0
    album = 0.2 if a.recording.album and a.recording.album == b.recording.album else 0.0
    years = 0.5 * years_alike(a.recording.year, b.recording.year) if any_year else 0.0
    return artist + album + years


def _same_name(a: Candidate, b: Candidate) -> bool:
    """Songs that a caller would take for one: two of them on a list of five waste a line."""
    one, two = a.recording, b.recording
    return one.song_id == two.song_id or title_keys(one.title).meet(title_keys(two.title))


def a_varied_few(
    ready: Sequence[Candidate],
    limit: int,
    *,
    any_year: bool = False,
    per_artist: int = PER_ARTIST,
    each_kind: bool = True,
) -> list[Candidate]:
    """One of each kind while there are new kinds, then the rest; always a varied few.

    `ready` is in order of relevance; `any_year` says that no time was asked for, so that different
    times are variety too; `per_artist` bounds the records of one artist, and without
    `each_kind` only relevance and variety count.
    """

    def fits(item: int, chosen: Sequence[int]) -> bool:
        others = [ready[i] for i in chosen]
        artist = ready[item].recording.artist_id
        return sum(other.recording.artist_id == artist for other in others) < per_artist and (
            not any(_same_name(ready[item], other) for other in others)
        )

    def new_kind(item: int, chosen: Sequence[int]) -> bool:
        kind = ready[item].kind
        taken = {ON_OUR_SHELVES, *(ready[i].kind for i in chosen)}
        return kind not in taken and fits(item, chosen)

    def no_crowd(item: int, chosen: Sequence[int]) -> bool:
        custom = sum(ready[i].kind == ASKED_FOR_HERE for i in chosen)
        return fits(item, chosen) and not (
            ready[item].kind == ASKED_FOR_HERE and custom >= _OF_CUSTOM
        )

    most = max(_MOST, *(one.relevance for one in ready), 0.0) if ready else _MOST
    relevance = [max(0.0, one.relevance / most) for one in ready]

    @cache
    def alike(i: int, j: int) -> float:
        return _alike(ready[i], ready[j], any_year)

    first = varied(relevance, alike, limit, _BALANCE, new_kind) if each_kind else []
    few = varied(relevance, alike, limit, _BALANCE, no_crowd, first)
    return [ready[i] for i in varied(relevance, alike, limit, _BALANCE, fits, few)]
