"""What a union says to what was heard: the recordings meant, who has copies, what others hold.

The road is a station's own: the request is read, names are found by their sound, and the matcher
weighs them; only where they are found differs. There is no "ready" here, since whether a copy
goes out on loan is for its station to say.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from catalogue.candidates import asked_for
from catalogue.enquiry import ARTIST_HEARD, CANNOT_TELL_BELOW, HARDLY_EVIDENCE, LOOKED_AT, has_rival
from catalogue.first_lines import titles_in_turn
from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.qualifiers import answer_lines, same_name
from catalogue.records import Band, Recording
from catalogue.search_keys import Form, keys_of_heard, letters_of
from catalogue.sound import sound_of
from catalogue.spelling import plain, without_version
from catalogue.union_search import Searching
from catalogue.union_shard import Entry
from catalogue.weighed import Weighed, hopeful

MATCHES = 3
"""Matches told: the searcher asks others only for what is not here, and the caller waits."""

STAND_INS = 4
"""Stand-ins told: two of a kind, see `SAME_SONG` and `SAME_ARTIST`."""

_OF_A_KIND = 2

_NAMES_LOOKED_AT = 200
"""Names of one title or one artist among which stand-ins are looked for."""

_RAREST = 30
"""Keys of one title or one artist that are asked for."""

SAME_SONG = "same song"
SAME_ARTIST = "same artist"


class Sureness(StrEnum):
    """What the union makes of a request."""

    FOUND = "found"
    PERHAPS = "perhaps"
    NOT_FOUND = "not found"


@dataclass(frozen=True, slots=True)
class HeldAt:
    """Copies of a recording at one station, by its number in `UnionLayout.stations`.

    `number` is the station's own number of the recording, to be given when a loan is asked for;
    `carriers` are `records.Carrier` values.
    """

    station: int
    number: int
    carriers: tuple[str, ...]
    copies: int
    lendable: int


@dataclass(frozen=True, slots=True)
class Held:
    """A recording and the stations that hold it, those that lend first.

    `kind` is empty for a match, and for a stand-in what it has in common with what was asked.
    """

    recording: Recording
    held_at: tuple[HeldAt, ...]
    band: Band | None = None
    kind: str = ""


@dataclass(frozen=True, slots=True)
class UnionAnswer:
    """All that a union says to one request. `missing` are the shards that did not answer."""

    sureness: Sureness
    matches: tuple[Held, ...]
    stand_ins: tuple[Held, ...]
    missing: frozenset[int]


def answer(searching: Searching, heard: Heard) -> UnionAnswer:
    """The recordings that may be meant, with their holders, and stand-ins that others hold."""
    wanted = understand(heard)
    if not wanted.heard:
        return UnionAnswer(Sureness.NOT_FOUND, (), (), frozenset())
    found = hopeful(weigh(searching, wanted, keep_hopeless=True))
    weighed = titles_in_turn(asked_for(wanted), found)[:LOOKED_AT]
    entries = searching.entries([w.recording_id for w in weighed])
    known = {number: entry.recording for number, entry in entries.items()}
    weighed = [w for w in weighed if w.recording_id in known]
    folded = answer_lines(weighed, known, wanted, {})
    best = folded[0].match.probability if folded else 0.0
    named = not wanted.names_no_record or (folded and folded[0].match.band is Band.CERTAIN)
    sureness = Sureness.FOUND if best >= CANNOT_TELL_BELOW else Sureness.PERHAPS
    if best < HARDLY_EVIDENCE or not named:
        sureness = Sureness.NOT_FOUND
    matches = []
    for group in folded if sureness is not Sureness.NOT_FOUND else ():
        band = group.match.band
        if band is Band.CERTAIN and has_rival(group, folded, known):
            band = Band.LIKELY
        held = _held_at(entries[number] for number in group.recording_ids)
        matches.append(Held(known[group.match.recording_id], held, band))
    told = [match.recording for match in matches[:MATCHES]]
    first = told[0] if told else None
    stand_ins = _stand_ins(searching, told, _artist_heard(first, weighed, known))
    return UnionAnswer(
        sureness, tuple(matches[:MATCHES]), stand_ins, frozenset(searching.missing)
    )  # fmt: skip


def _held_at(entries: Iterable[Entry]) -> tuple[HeldAt, ...]:
    """Who holds any of these entries, which are one recording; a station once."""
    by_station: dict[int, HeldAt] = {}
    for copy in (copy for entry in entries for copy in entry.copies):
        other = by_station.get(copy.station)
        by_station[copy.station] = HeldAt(
            copy.station,
            other.number if other and other.lendable >= copy.lendable else copy.number,
            tuple(dict.fromkeys([*(other.carriers if other else ()), copy.carrier])),
            copy.copies + (other.copies if other else 0),
            copy.lendable + (other.lendable if other else 0),
        )
    return tuple(sorted(by_station.values(), key=lambda held: (-held.lendable, held.station)))


def _artist_heard(
    first: Recording | None, weighed: Sequence[Weighed], known: dict[int, Recording]
) -> str:
    """The artist of the match; if there is none, the artist that was heard all the same."""
    if first is not None:
        return first.artist
    heard = (w for w in weighed if w.claim("artist_share") >= ARTIST_HEARD)
    return next((known[w.recording_id].artist for w in heard), "")


def _stand_ins(searching: Searching, matches: Sequence[Recording], artist: str) -> tuple[Held, ...]:
    """The song by somebody else, then other records of the artist, those that are lent first;
    none that is among the matches."""
    first = matches[0] if matches else None
    title = plain(without_version(first.title)) if first else ""
    singer = plain(artist)
    offered: list[Held] = []
    for kind, words in ((SAME_SONG, title), (SAME_ARTIST, singer)):
        if not words:
            continue
        entries = searching.entries(_numbers_alike(searching, kind, words))
        told = [
            Held(entry.recording, _held_at([entry]), kind=kind)
            for entry in entries.values()
            if kind == SAME_ARTIST or plain(entry.recording.artist) != singer
        ]
        told.sort(key=lambda held: (_years_apart(held.recording, first), held.recording.id))
        told.sort(key=lambda held: -sum(at.lendable for at in held.held_at))
        kept: list[Held] = []
        for held in told:
            others = [*matches, *(other.recording for other in (*offered, *kept))]
            if not any(same_name(other, held.recording) for other in others):
                kept.append(held)
        offered += kept[:_OF_A_KIND]
    return tuple(offered[:STAND_INS])


def _numbers_alike(searching: Searching, kind: str, words: str) -> list[int]:
    """The entries filed under this very title, or by this very artist."""
    keys = keys_of_heard(words, sound_of(words))
    found = searching.search(keys, _NAMES_LOOKED_AT, _RAREST)
    letters = letters_of(words)
    alike = (number for number, form in found if _letters(kind, form) == letters)
    return list(dict.fromkeys(alike))


def _letters(kind: str, form: Form) -> str:
    return form.title_letters if kind == SAME_SONG else form.artist_letters


def _years_apart(one: Recording, other: Recording | None) -> int:
    if other is None or one.year is None or other.year is None:
        return 10_000
    return abs(one.year - other.year)
