"""Discs and albums by their names: what we hold, and what is known and not held, found by what
stands on a sleeve, misspelt or misheard.

The names are kept in memory and brought up to date from the list of changes. A disc without a
title is called by its album, a single by its first side.
"""

from __future__ import annotations

import json
import re
import threading
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from catalogue import pair_finding
from catalogue.comparisons import pairs_alike
from catalogue.described import Described, bare_album, bare_artist, numbers_in, version_kinds
from catalogue.pair_blocks import soundex_code
from catalogue.same_names import SOUNDS_SAME
from catalogue.sound import sound_of
from catalogue.spelling import plain
from catalogue.store import Store

Floats = NDArray[np.float32]

CUT = 40
"""Names that are compared at length, of those most alike by letters, and of those by sound."""

OTHER_THAN = 0.5
"""Likeness of artists by letters and by sound below which equal titles are not one disc."""

_SHORTEST_NUMBER = 4
"""Signs of a number that tell a disc: "12" stands on many."""

_SINGLES = ("45", "78")
_MANY_CHANGES = 2_000
"""Changes from which everything is read anew: a list was taken in."""


@dataclass(frozen=True, slots=True)
class Named:
    """A disc, or an album of files or of what is known: its name, and where its tracks are.

    `disc_id` is None for an album; `held` whether we have it, `tracks` how many are known.
    """

    title: str
    artist: str
    disc_id: int | None
    held: bool
    tracks: int
    album: str = ""
    artist_id: int | None = None


@dataclass(slots=True)
class _Table:
    """The names as columns: bare letters, and rough sounds of title and artist."""

    named: list[Named] = field(default_factory=list)
    letters: list[str] = field(default_factory=list)
    rough: list[str] = field(default_factory=list)
    place: dict[int, int] = field(default_factory=dict)

    def put(self, one: Named) -> None:
        if one.disc_id is not None and one.disc_id in self.place:
            at = self.place[one.disc_id]
            self.named[at] = one
            self.letters[at], self.rough[at] = _keys(one.title, one.artist)
            return
        if one.disc_id is not None:
            self.place[one.disc_id] = len(self.named)
        self.named.append(one)
        for column, key in zip((self.letters, self.rough), _keys(one.title, one.artist),
                               strict=True):  # fmt: skip
            column.append(key)


class DiscNames:
    """The names of all discs and albums; safe to share between threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._table = _Table()
        self._seen = (-1, -1)

    def alike(self, store: Store, title: str, artist: str) -> list[Named]:
        """What this name most likely is, the likeliest first: one name by the evidence that finds
        duplicates, or by its sound."""
        if not plain(title):
            return []
        with self._lock:
            self._bring_up_to_date(store)
            table = self._table
            few = [table.named[at] for at in _nearest(table, title, artist)]
        return [few[n] for n in same_names([(o.title, o.artist) for o in few], title, artist)]

    def _bring_up_to_date(self, store: Store) -> None:
        (changed,) = store.db.execute("SELECT coalesce(max(id), 0) FROM changes").fetchone()
        (taken,) = store.db.execute("SELECT coalesce(max(id), 0) FROM raw_entries").fetchone()
        before = self._seen
        if (changed, taken) == before:
            return
        if before[0] < 0 or changed - before[0] > _MANY_CHANGES:
            self._table = _Table()
            for one in (*_discs(store, None), *_albums(store)):
                self._table.put(one)
        else:
            ids = _changed_discs(store, before[0])
            found = {one.disc_id: one for one in _discs(store, ids)}
            for number in ids:
                gone = Named("", "", number, False, 0)
                if number in found or number in self._table.place:
                    self._table.put(found.get(number, gone))
        self._seen = (changed, taken)


def same_names(names: Sequence[tuple[str, str]], title: str, artist: str) -> list[int]:
    """Which of these (title, artist) are the same name as this one, the most alike first.

    By the evidence of duplicates; else where title and artist both sound the same, or the title
    does and nobody is named on one side. Never where volumes or versions differ.
    """
    if not names:
        return []
    described = Described()
    for number, (one, other) in enumerate((*names, (title, artist))):
        described.add(number, one, other)
    last = len(names)
    grouped = {a for a, b in pair_finding.find(described).in_groups() if b == last}
    titles = _sounds([one for one, _ in names], title, bare_album)
    artists = _sounds([other for _, other in names], artist, bare_artist)
    found = []
    for number, (one, other) in enumerate(names):
        if not plain(one) or _other_volume(one, title):
            continue
        nobody = not (bare_artist(other) and bare_artist(artist))
        by_ear = titles[number] >= SOUNDS_SAME and (nobody or artists[number] >= SOUNDS_SAME)
        by_evidence = number in grouped and (nobody or artists[number] >= OTHER_THAN)
        if by_ear or by_evidence:
            found.append(number)
    return sorted(found, key=lambda n: (-float(titles[n] + artists[n]), n))


def with_number(store: Store, text: str) -> list[int]:
    """The discs with this barcode or catalogue number, however it is spaced; earliest first."""
    bare = re.sub(r"[\s./-]", "", text).casefold()
    if len(bare) < _SHORTEST_NUMBER:
        return []
    rows = store.rows(
        """SELECT id FROM discs WHERE barcode <> '' AND ltrim(barcode, '0') = ltrim(?1, '0')
        OR number <> '' AND lower(replace(replace(replace(replace(number, ' ', ''), '-', ''),
            '.', ''), '/', '')) = ?1 ORDER BY id LIMIT 20""",
        (bare,),
    )
    return [row["id"] for row in rows]


def of_discs(store: Store, disc_ids: Iterable[int]) -> list[Named]:
    """These discs by their names, in their order."""
    wanted = list(disc_ids)
    found = {one.disc_id: one for one in _discs(store, wanted)}
    return [found[number] for number in wanted if number in found]


def _keys(title: str, artist: str) -> tuple[str, str]:
    name = f"{bare_album(title) or plain(title)} {bare_artist(artist)}".strip()
    return name, soundex_code(name)


def _nearest(table: _Table, title: str, artist: str) -> list[int]:
    """The places of the names most alike by letters, and of those by rough sound, with and
    without the artist."""
    best: dict[int, None] = {}
    count = len(table.named)
    if not count:
        return []
    for who in dict.fromkeys((artist, "")):
        for column, key in zip((table.letters, table.rough), _keys(title, who), strict=True):
            alike = pairs_alike([key] * count, column, 0.4)
            best.update(dict.fromkeys(np.argsort(-alike, kind="stable")[:CUT].tolist()))
    return [at for at in best if table.named[at].title]


def _sounds(names: list[str], name: str, bare: Callable[[str], str]) -> Floats:
    """How alike each of these sounds to this one, 0 to 1."""
    words = [bare(text) or plain(text) for text in (*names, name)]
    phones = [sound_of(word).phones for word in words]
    return pairs_alike(phones[:-1], [phones[-1]] * (len(phones) - 1))


def _other_volume(one: str, other: str) -> bool:
    first, second = plain(one), plain(other)
    return numbers_in(first) != numbers_in(second) or version_kinds(first) != version_kinds(second)


def _changed_discs(store: Store, since: int) -> list[int]:
    rows = store.db.execute(
        """SELECT row_id FROM changes WHERE table_name = 'discs' AND id > ?1
        UNION SELECT h.disc_id FROM changes c JOIN holdings h ON h.id = c.row_id
            WHERE c.table_name = 'holdings' AND c.id > ?1 AND h.disc_id IS NOT NULL
        UNION SELECT h.disc_id FROM changes c JOIN holdings h ON h.recording_id = c.row_id
            WHERE c.table_name = 'recordings' AND c.id > ?1 AND h.disc_id IS NOT NULL""",
        (since,),
    )
    return [int(row[0]) for row in rows.fetchall()]


def _discs(store: Store, ids: Sequence[int] | None) -> list[Named]:
    """Discs with something on them, or all of them for None."""
    of_these = "" if ids is None else "WHERE d.id IN (SELECT value FROM json_each(?))"
    rows = store.db.execute(
        f"""SELECT d.id, d.title, d.carrier, r.title, r.album, a.name FROM discs d
        LEFT JOIN holdings h ON h.disc_id = d.id LEFT JOIN recordings r ON r.id = h.recording_id
        LEFT JOIN artists a ON a.id = r.artist_id {of_these}
        ORDER BY d.id, h.side, length(h.track), h.track, h.id""",
        () if ids is None else (json.dumps(list(ids)),),
    ).fetchall()
    found: list[Named] = []
    at = 0
    while at < len(rows):
        end = at
        while end < len(rows) and rows[end][0] == rows[at][0]:
            end += 1
        found.append(_disc(rows[at:end]))
        at = end
    return found


def _disc(tracks: Sequence[tuple[int, str, str, str | None, str | None, str | None]]) -> Named:
    disc_id, title, carrier, first, *_ = tracks[0]
    there = [track for track in tracks if track[3] is not None]
    if not title and there:
        albums = Counter(track[4] for track in there if track[4])
        title = albums.most_common(1)[0][0] or "" if albums else ""
        if not title and (carrier in _SINGLES or len(there) == 1):
            title = first or ""
    return Named(title, _artist_of([str(track[5]) for track in there]), disc_id, True, len(there))


def _artist_of(artists: list[str]) -> str:
    """Whose disc it is: the artist of at least half its tracks, nobody for a compilation."""
    if not artists:
        return ""
    name, times = Counter(artists).most_common(1)[0]
    return name if 2 * times >= len(artists) else ""


def _albums(store: Store) -> list[Named]:
    """Albums that stand in no disc's title: of files, and of what is known and not held."""
    rows = store.rows(
        """SELECT r.album AS title, a.name AS artist, r.artist_id, count(*) AS tracks,
            max(EXISTS (SELECT 1 FROM holdings h WHERE h.recording_id = r.id)) AS held,
            min(EXISTS (SELECT 1 FROM holdings h WHERE h.recording_id = r.id
                AND h.disc_id IS NOT NULL)) AS on_discs
        FROM recordings r JOIN artists a ON a.id = r.artist_id WHERE r.album <> ''
        GROUP BY r.album, r.artist_id"""
    )
    of_title: dict[str, list[Named]] = {}
    for row in rows:
        if not row["on_discs"]:
            of_title.setdefault(plain(row["title"]), []).append(
                Named(row["title"], row["artist"], None, bool(row["held"]), row["tracks"],
                      row["title"], row["artist_id"])
            )  # fmt: skip
    return [one for alike in of_title.values() for one in _together(alike)]


_FEWEST_TOGETHER = 4
"""Artists with a track each on albums of one title from which it is one compilation. By
judgement."""


def _together(alike: list[Named]) -> list[Named]:
    """Albums of one title: a compilation is one, albums of one artist each are several."""
    single = [one for one in alike if one.tracks == 1]
    if len(single) < _FEWEST_TOGETHER:
        return alike
    held = any(one.held for one in single)
    many = replace(single[0], artist="", artist_id=None, held=held, tracks=len(single))
    return [many, *(one for one in alike if one.tracks > 1)]
