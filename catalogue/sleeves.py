"""What a sleeve in somebody's hand is to us: held already and in which state, wanted, or not held.

A sleeve is looked up by its number where it has one, and by its names with all their misspellings:
among discs and albums (`disc_names.py`), among the recordings by the matcher, and among what was
asked for by the evidence that finds duplicates (`demand.marked`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from catalogue import catalogue_rows, demand, disc_names
from catalogue.comparisons import pairs_alike
from catalogue.demand import Meant, Unmet
from catalogue.described import bare_artist
from catalogue.disc_names import DiscNames, Named
from catalogue.records import Carrier, Condition, Disc, Holding, Recording
from catalogue.same_names import SOUNDS_SAME
from catalogue.sound import sound_of
from catalogue.spelling import plain
from catalogue.store import Store

SINGLES = (Carrier.SINGLE_45, Carrier.SINGLE_78)
"""Carriers that are called by a song: there a recording is what is looked for."""

_SHOWN = 4
"""Copies, songs and known albums that are told of one sleeve; more is not read in passing."""

_ASKED_OF_ARTIST = 3
"""Things asked for by the same artist that are told: they may be on this disc."""


class Standing(StrEnum):
    """What a sleeve is to us. Of one we hold: how the best copy of ours is beside it."""

    OURS_BETTER = "held better"
    OURS_SAME = "held same"
    OURS_WORSE = "held worse"
    OURS_UNKNOWN = "held"
    GONE = "held gone"
    FILE = "held file"
    WANTED = "wanted"
    NOT_HELD = "not held"


@dataclass(frozen=True, slots=True)
class Sleeve:
    """What stands on a sleeve, as it was typed. `tracks` are (title, artist)."""

    title: str
    artist: str
    carrier: Carrier
    number: str = ""
    condition: Condition = Condition.UNKNOWN
    tracks: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """Something that was asked for and is on the disc, or may be: what, and how often.

    `on_disc` is the title on the disc that it is, as it was typed.
    """

    title: str
    artist: str
    times: int
    want_ids: tuple[int, ...] = ()
    recording_id: int | None = None
    on_disc: str = ""


@dataclass(frozen=True, slots=True)
class Look:
    """What was found of a sleeve.

    `discs` are copies of ours, the best first; `song` is a recording we hold of this name on
    something else; `wanted` is on this disc, `perhaps` by the same artist and maybe on it. `known`
    are discs and albums whose track list can be taken over, `named` is the disc of this number.
    """

    standing: Standing
    discs: tuple[Disc, ...] = ()
    files: int = 0
    song: tuple[Recording, Holding] | None = None
    wanted: tuple[Asked, ...] = ()
    perhaps: tuple[Asked, ...] = ()
    known: tuple[Named, ...] = ()
    named: Named | None = None

    @property
    def worth_keeping(self) -> bool:
        """What to do with it by this alone: asked for, not held, or better than ours."""
        return bool(self.wanted) or self.standing in (
            Standing.WANTED, Standing.NOT_HELD, Standing.OURS_WORSE, Standing.GONE,
        )  # fmt: skip


def look(
    store: Store, names: DiscNames, sleeve: Sleeve, unmet: Sequence[Unmet], meant: Meant
) -> Look:
    """What a sleeve is to us. Nothing is written."""
    known = _known(store, names, sleeve)
    discs = [catalogue_rows.disc(store, one.disc_id) for one in known if one.disc_id is not None]
    files = [one for one in known if one.disc_id is None and one.held]
    song = _song(store, sleeve, meant, {disc.id for disc in discs})
    wanted = _wanted(store, sleeve, unmet)
    if song is not None and sleeve.carrier in SINGLES:
        held_on, song = song[1], None
        if held_on.disc_id is not None:
            discs.append(catalogue_rows.disc(store, held_on.disc_id))
        else:
            files = [*files, Named(sleeve.title, sleeve.artist, None, True, 1)]
    discs.sort(key=lambda disc: (disc.missing, disc.carrier is not sleeve.carrier, -_rank(disc)))
    standing = _standing(sleeve, discs, bool(files))
    if standing is Standing.NOT_HELD and wanted:
        standing = Standing.WANTED
    by_number = disc_names.with_number(store, sleeve.number)
    return Look(
        standing,
        tuple(discs[:_SHOWN]),
        len(files),
        song,
        wanted,
        _perhaps(sleeve, unmet, wanted),
        _with_tracks(known)[:_SHOWN],
        next((one for one in known if one.disc_id in by_number), None),
    )


def tracks_of(store: Store, one: Named) -> list[tuple[Recording, str, str]]:
    """(recording, side, track) of a disc or album that is known, in their order."""
    if one.disc_id is not None:
        return tracks_on(store, one.disc_id)
    rows = store.rows(
        """SELECT r.id, coalesce((SELECT h.track FROM holdings h WHERE h.recording_id = r.id
            AND h.track <> '' ORDER BY h.id LIMIT 1), '') AS track
        FROM recordings r WHERE r.album = ? AND (? IS NULL OR r.artist_id = ?)
        ORDER BY CAST(track AS INTEGER), r.id LIMIT 200""",
        (one.album, one.artist_id, one.artist_id),
    )
    found = catalogue_rows.recordings(store, [row["id"] for row in rows])
    return [(found[row["id"]], "", row["track"]) for row in rows]


def tracks_on(store: Store, disc_id: int) -> list[tuple[Recording, str, str]]:
    """(recording, side, track) of what is on a disc, in the order of sides and tracks."""
    rows = store.rows(
        """SELECT recording_id AS id, side, track FROM holdings WHERE disc_id = ?
        ORDER BY side, length(track), track, id""",
        (disc_id,),
    )
    found = catalogue_rows.recordings(store, [row["id"] for row in rows])
    return [(found[row["id"]], row["side"], row["track"]) for row in rows]


def _known(store: Store, names: DiscNames, sleeve: Sleeve) -> list[Named]:
    """The discs of this number, then those and the albums of this name, each once."""
    by_number = disc_names.of_discs(store, disc_names.with_number(store, sleeve.number))
    by_name = names.alike(store, sleeve.title, sleeve.artist)
    return list(dict.fromkeys((*by_number, *by_name)))


def _with_tracks(known: Sequence[Named]) -> tuple[Named, ...]:
    """Those whose tracks can be taken over, one of each number of tracks under one name."""
    found = {
        (plain(one.title), plain(one.artist), one.tracks): one
        for one in reversed(known)
        if one.tracks > 1
    }
    return tuple(one for one in known if one in found.values())


def _song(
    store: Store, sleeve: Sleeve, meant: Meant, on: set[int]
) -> tuple[Recording, Holding] | None:
    """A recording of this name that we have on something else than these discs."""
    number = meant(sleeve.title, sleeve.artist) if plain(sleeve.title) else None
    if number is None:
        return None
    recording = catalogue_rows.recording(store, number)
    pair = [(recording.title, recording.artist)]
    if not disc_names.same_names(pair, sleeve.title, sleeve.artist):
        return None
    copies = catalogue_rows.holdings_of(store, [number])[number]
    there = [copy for copy in copies if copy.disc_id not in on]
    there.sort(key=lambda copy: (copy.missing, copy.carrier is not sleeve.carrier))
    return (recording, there[0]) if there else None


_RANKS = {Condition.DAMAGED: 0, Condition.SCRATCHED: 1, Condition.WORN: 2, Condition.GOOD: 3}
"""How well a disc plays, from not at all."""


def _rank(disc: Disc) -> int:
    return _RANKS.get(disc.condition, 2)


def _standing(sleeve: Sleeve, discs: Sequence[Disc], as_file: bool) -> Standing:
    """By the best copy that is there; a file plays as well as it ever did."""
    here = [disc for disc in discs if not disc.missing]
    if not here:
        if as_file:
            return Standing.FILE
        return Standing.GONE if discs else Standing.NOT_HELD
    conditions = [d.condition for d in here if d.condition is not Condition.UNKNOWN]
    if not conditions or sleeve.condition is Condition.UNKNOWN:
        return Standing.OURS_UNKNOWN
    ours, theirs = max(_RANKS[c] for c in conditions), _RANKS[sleeve.condition]
    if ours == theirs:
        return Standing.OURS_SAME
    return Standing.OURS_BETTER if ours > theirs else Standing.OURS_WORSE


def _wanted(store: Store, sleeve: Sleeve, unmet: Sequence[Unmet]) -> tuple[Asked, ...]:
    """What was asked for and is this disc, or is on it by its tracks."""
    if not unmet:
        return ()
    offered = [(sleeve.title, sleeve.artist)] if plain(sleeve.title) else []
    offered += [(title, artist or sleeve.artist) for title, artist in sleeve.tracks]
    marked = demand.marked(store, unmet, offered)
    met: dict[tuple[int | None, ...], Asked] = {}
    for offer in marked:
        if offer.meets is not None:
            one = _asked(offer.meets, offer.title)
            met.setdefault(one.want_ids or (one.recording_id,), one)
    return tuple(met.values())


def _perhaps(sleeve: Sleeve, unmet: Sequence[Unmet], wanted: Sequence[Asked]) -> tuple[Asked, ...]:
    """What else was asked for by this artist: it may be on the disc."""
    artist = bare_artist(sleeve.artist)
    told = {(one.want_ids, one.recording_id) for one in wanted}
    theirs = [
        one
        for one in unmet
        if bare_artist(one.artist) and (one.want_ids, one.recording_id) not in told
    ]
    if not artist or not theirs:
        return ()
    ours = sound_of(artist).phones
    sounds = [sound_of(bare_artist(one.artist)).phones for one in theirs]
    alike = pairs_alike(sounds, [ours] * len(sounds))
    found = [one for one, likeness in zip(theirs, alike, strict=True)
             if likeness >= SOUNDS_SAME]  # fmt: skip
    return tuple(_asked(one) for one in found[:_ASKED_OF_ARTIST])


def _asked(one: Unmet, on_disc: str = "") -> Asked:
    return Asked(one.title, one.artist, one.times, one.want_ids, one.recording_id, on_disc)
