"""The table of what is tried: every reader of what comes from outside.

A reader is opened in a folder of its own and gets one damaged file after another. It says whether
the file was read or refused; whatever else comes out of it is a fault of ours.
"""

from __future__ import annotations

import itertools
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from unittest import mock

from catalogue import backup, packing, restoring, settings
from catalogue.enquiry import enquire
from catalogue.errors import BadInput, CatalogueError, UnreadableFile
from catalogue.heard import Heard
from catalogue.records import Band
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from importers import (
    audio_tags,
    marc_lists,
    playlists,
    reference_lists,
    sheets,
    shelf_entries,
    shelf_lists,
    taking_in,
)
from importers.entries import Entry
from importers.list_rows import Row
from tests.fuzz import samples
from tests.fuzz.damage import Change, of_archives, of_bytes
from web import log_file, telling
from web.opening import opened

NOW = datetime(2026, 3, 14, 19, 30)

Read = Callable[[bytes], bool]
"""Damaged bytes -> whether they were read (True) or refused with a sentence (False)."""


@dataclass(frozen=True, slots=True)
class Open:
    """A reader at work: valid inputs, how they are damaged, and the reading."""

    valid: list[bytes]
    change: Change
    read: Read
    close: Callable[[], None] = lambda: None
    """Leaves everything outside its folder as it was."""


Opener = Callable[[Path], Open]

_MOST_ROWS = 2_000
"""Rows of a damaged list that are made into entries; a job does as many more as there are."""

_MOST_ASKED = 20
"""Rows of a damaged batch that are asked; a batch takes as long as it has rows, some 20 ms each."""

_LIST_TOKENS = (b"Shelf mark", b"Title", b"A1 ", b" / ", b" - ", b"ditto", b'"', b";;;;", b"\n\n")
_XML_TOKENS = (
    b"<!DOCTYPE a [<!ENTITY b 'c'>]>", b"&b;", b"&#0;", b"&#x1F3B5;",
    b"<c r='XFD1048576'><v>1</v></c>",
    b' table:number-rows-repeated="9999999"', b' r="ZZZ9999999"', b"<row>", b"</row>", b"<v>",
    b"1e400",
    b' t="s"', b' t="d"', b"<![CDATA[", b"<subfield", b"<c ", b"xmlns=''",
)  # fmt: skip
_MARC_TOKENS = (b"\x1e", b"\x1f", b"\x1d", b"\x1fa", b"00000", b"99999")


def _audio(suffix: str) -> Opener:
    def open_(folder: Path) -> Open:
        path = folder / f"file{suffix}"

        def read(data: bytes) -> bool:
            path.write_bytes(data)
            try:
                assert audio_tags.read(path).recording.title
            except UnreadableFile as problem:
                assert path.name in problem.message
                return False
            return True

        return Open(
            [samples.audio(folder)[suffix]], of_bytes(2048 if suffix in _LONG else 64), read
        )

    return open_


_LONG = {".mp3", ".flac", ".ogg", ".opus", ".wav", ".aiff", ".wma"}
"""Formats whose valid file is longer than a header of 2,048 bytes."""


def _list(name: str, valid: Callable[[], list[bytes]], change: Change) -> Opener:
    """Looked at as the page shows it, read to entries as a shelf list and as what is known."""

    def open_(folder: Path) -> Open:
        path, keeping = folder / name, sheets.Reader()
        kept = mock.patch.object(sheets, "read", keeping.read)
        kept.start()

        def close() -> None:
            kept.stop()
            keeping.close()

        def read(data: bytes) -> bool:
            path.write_bytes(data)
            try:
                taking_in.look_at_list(None, path)
                found = _rows(path)
            except BadInput as problem:
                assert problem.message
                return False
            for entry_of in (shelf_entries.entry_of, reference_lists.entry_of):
                for entry in shelf_entries.each(found[:_MOST_ROWS], entry_of):
                    assert not isinstance(entry, Entry) or entry.recording.title.strip()
            return True

        return Open(valid(), change, read, close)

    return open_


def _rows(path: Path) -> list[Row]:
    if playlists.is_playlist(path):
        list(playlists.files(path))
        return playlists.rows(path).rows
    if marc_lists.is_marc(path):
        return marc_lists.rows(path).rows
    return shelf_lists.read_rows(path).rows


def _taken_in(folder: Path) -> Open:
    """A list taken into a catalogue, as what is held and as what is known; all in one store."""
    shelf, known = folder / "shelf.csv", folder / "known.csv"
    store = Store(folder / "asheard.db")
    store.db.execute("PRAGMA synchronous = OFF")

    def read(data: bytes) -> bool:
        refused = 0
        for path, add in ((shelf, taking_in.add_list), (known, taking_in.add_known)):
            path.write_bytes(data)
            try:
                report = add(store, path, "Ann", NOW)
                assert report.seen >= report.added
            except BadInput:
                refused += 1
        return refused < 2

    return Open([samples.text(","), samples.text(";"), samples.known(), samples.plain()],
                of_bytes(80, _LIST_TOKENS), read)  # fmt: skip


def _batch(folder: Path) -> Open:
    samples.station(folder / "station")
    store = Store(folder / "station" / "asheard.db")
    index = SoundIndex(folder / "station" / "sound_index", store)
    source, target = folder / "asked.csv", folder / "answers.csv"
    asked, ranked = 0, telling.ranked

    def few(store: Store, index: SoundIndex, heard: Heard) -> tuple[list[int], Band | None]:
        nonlocal asked
        asked += 1
        return ranked(store, index, heard) if asked <= _MOST_ASKED else ([], None)

    patch = mock.patch.object(telling, "ranked", few)
    patch.start()

    def read(data: bytes) -> bool:
        nonlocal asked
        asked = 0
        source.write_bytes(data)
        try:
            telling.batch(store, index, source, target, lambda *_: None)
        except BadInput:
            return False
        return target.exists()

    return Open([samples.batch()], of_bytes(38), read, patch.stop)


def _copy_put_back(folder: Path) -> Open:
    """A copy of a database put in a station's place, and the station opened and looked at."""
    database, index, copy = folder / "asheard.db", folder / "sound_index", folder / "copy.db"

    def read(data: bytes) -> bool:
        copy.write_bytes(data)
        for old in folder.glob("asheard.db*"):
            old.unlink()
        shutil.rmtree(backup.folder_of(database), ignore_errors=True)
        try:
            restoring.loss(database, copy)
            restoring.put_back(database, index, copy, NOW)
            with opened(folder, clock=lambda: NOW) as station:
                station.store.rows("SELECT count(*) FROM recordings")
        except CatalogueError as problem:
            assert problem.message
            return False
        return True

    return Open([samples.database()], of_bytes(100, (b"CREATE TABLE", b"asheard")), read)


def _unpacked(folder: Path) -> Open:
    """A packed station, unpacked where there is none yet."""
    samples.station(folder / "old")
    packed, target = folder / "packed.zip", folder / "new"
    with opened(folder / "old", clock=lambda: NOW) as station:
        packing.pack(station.store, packed)
    valid = packed.read_bytes()

    def read(data: bytes) -> bool:
        packed.write_bytes(data)
        shutil.rmtree(target, ignore_errors=True)
        try:
            packing.unpack(packed, target, "asheard.db", NOW)
        except CatalogueError as problem:
            assert problem.message
            assert not (target / "asheard.db").exists()
            return False
        assert not (folder / "out").exists()
        return True

    return Open([valid], of_archives(64), read)


def _index(folder: Path) -> Open:
    """A sound index of which a file is damaged: it is made anew, or reads as before."""
    samples.station(folder / "station")
    kept = folder / "kept"
    shutil.copytree(folder / "station" / "sound_index", kept)
    names = sorted(p.relative_to(kept).as_posix() for p in kept.rglob("*") if p.is_file())
    # Which file is damaged stands in front: libraries change bytes and know of no second value.
    valid = [bytes([n]) + (kept / name).read_bytes() for n, name in enumerate(names)]
    store = Store(folder / "station" / "asheard.db")
    turns = itertools.count()

    def read(data: bytes) -> bool:
        # Each in a folder of its own: the index before may still be clearing up behind itself.
        where = folder / f"turn-{next(turns)}"
        shutil.copytree(kept, where)
        if data:
            (where / names[data[0] % len(names)]).write_bytes(data[1:])
        index = SoundIndex(where, store)
        try:
            found = enquire(store, index, Heard("lantern on the key"), NOW).matches
        finally:
            index.close()
            shutil.rmtree(where, ignore_errors=True)
        return bool(found)

    return Open(valid, of_bytes(40), read)


def _words_to_look_at(folder: Path) -> Open:
    """The station's own file of words to look at twice, and what else is text beside it."""
    samples.station(folder / "station")
    store = Store(folder / "station" / "asheard.db")
    path = folder / "station" / settings.WARNING_FILE
    log = folder / "station" / log_file.FOLDER
    log.mkdir()

    def read(data: bytes) -> bool:
        path.write_bytes(data)
        (log / log_file.NAME).write_bytes(data)
        return bool(settings.lines(store, "warning_words")) & bool(log_file.to_send(store))

    return Open([b"funeral\nlast post\ndead man's\n"], of_bytes(8), read)


READERS: dict[str, Opener] = {
    **{f"audio {suffix[1:]}": _audio(suffix) for suffix in samples.AUDIO},
    "list csv": _list("list.csv", lambda: [samples.text(","), samples.text(";")],
                      of_bytes(80, _LIST_TOKENS)),
    "list tsv": _list("list.tsv", lambda: [samples.text("\t")], of_bytes(80, _LIST_TOKENS)),
    "list plain": _list("list.txt", lambda: [samples.plain()], of_bytes(20, _LIST_TOKENS)),
    "list xlsx": _list("list.xlsx", lambda: [samples.xlsx()], of_archives(64, _XML_TOKENS)),
    "list xls": _list("list.xls", lambda: [samples.xls()], of_bytes(512)),
    "list ods": _list("list.ods", lambda: [samples.ods()], of_archives(64, _XML_TOKENS)),
    "list marc": _list("list.mrc", lambda: [samples.iso2709()], of_bytes(24, _MARC_TOKENS)),
    "list marcxml": _list("list.xml", lambda: [samples.marcxml()], of_bytes(120, _XML_TOKENS)),
    "list xspf": _list("list.xspf", lambda: [samples.xspf()], of_bytes(90, _XML_TOKENS)),
    "list m3u": _list("list.m3u", lambda: [samples.m3u()], of_bytes(8, (b"#EXTINF:", b"file://"))),
    "list taken in": _taken_in,
    "batch csv": _batch,
    "copy put back": _copy_put_back,
    "packed station": _unpacked,
    "sound index": _index,
    "words to look at": _words_to_look_at,
}  # fmt: skip
"""Name of a reader -> what opens it."""
