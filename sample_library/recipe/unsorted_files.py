"""Sound files that came from somewhere: tags missing, wrong, or in the wrong place.

Every one of these faults has been met in real collections; the songs are our own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sample_library.recipe.audio_files import AudioFile
from sample_library.recipe.songbook import Track, songbook
from sample_library.recipe.tags import (
    AudioTags,
    full_tags,
    misread_as_cp1252,
    misread_as_utf8,
)

UNSORTED = "audio/Unsorted"
MEMORY_STICK = "audio/Unsorted/Ken's memory stick"


def unsorted_files() -> list[AudioFile]:
    """The files with faults, in the order of the README's table."""
    return [*_nameless(), *_misplaced(), *_misread(), *_careless()]


def _track(artist: str, title: str) -> Track:
    found = [
        track for track in songbook().tracks() if (track.artist, track.title) == (artist, title)
    ]
    if not found:
        raise LookupError(f"the songbook has no {title!r} by {artist!r}")
    return found[0]


def _tags(track: Track, album: str = "", number: int = 1) -> AudioTags:
    return full_tags(track, album, track.artist, number, 12)


def _nameless() -> Iterator[AudioFile]:
    """Nothing useful in the tags; for some the file's name tells more."""
    track = _track("Perry Lisle", "Mermaids Don't Take Sugar")
    tags = AudioTags("Track 01", "Unknown Artist", "Unknown Album", track_number="1")
    yield AudioFile(f"{UNSORTED}/Track 01.mp3", track, tags, 3)
    track = _track("Perry Lisle", "Captain, Can I Hold the Wheel?")
    yield AudioFile(f"{UNSORTED}/Track 03.mp3", track, replace(tags, title="", track_number="3"), 3)
    track = _track("Winston Tarragon", "Hold Me Tight on the Number 12")
    name = "07 - Winston Tarragon - Hold Me Tight on the Number 12"
    yield AudioFile(f"{UNSORTED}/{name}.ogg", track, None)
    track = _track("Corporal Jimmy Tapp", "Me and My Tin Hat")
    yield AudioFile(f"{UNSORTED}/transfer from 78, side 2.wav", track, None)


def _misplaced() -> Iterator[AudioFile]:
    """The right words in the wrong field."""
    track = _track("Marsha Herron", "Champagne and Chips")
    tags = replace(_tags(track), title=f"{track.artist} - {track.title}", artist="")
    yield AudioFile(f"{UNSORTED}/champagne.mp3", track, replace(tags, album_artist=""), 3)
    track = _track("Marsh Herring", "My Father's Tide Table")
    tags = replace(_tags(track, "Lantern Weather", 3), artist="Herring, Marsh", album_artist="")
    yield AudioFile(f"{UNSORTED}/Herring, Marsh - Tide Table.mp3", track, tags)
    track = _track("Lil Gullwing", "Chip Thief (feat. Nkechi Vale)")
    tags = replace(_tags(track), title="Chip Thief ft Nkechi Vale", artist="Lil Gullwing")
    yield AudioFile(f"{MEMORY_STICK}/chip_thief.opus", track, tags)
    track = _track("Mudlark Sound System", "Sluice (feat. MC Sandbank)")
    tags = replace(_tags(track), title="Sluice", artist=f"{track.artist} Featuring MC Sandbank")
    yield AudioFile(f"{MEMORY_STICK}/sluice.mp3", track, tags)
    track = _track("Ute Morgenrath", "99 Herons")
    tags = replace(_tags(track), artist="Ute Morgenrath\nIan Loftus")
    yield AudioFile(f"{MEMORY_STICK}/99 Herons.flac", track, tags)
    track = _track("Gloria Delgarde", "Minicab to the Moon (1987 remix)")
    tags = replace(_tags(track, "Glitterball", 4), artist="Various Artists")
    tags = replace(tags, title=f"{track.artist} / {track.title}", album_artist="Various Artists")
    yield AudioFile(f"{UNSORTED}/minicab.ogg", track, tags)


def _misread() -> Iterator[AudioFile]:
    """Letters spoilt on the way from one character set to another."""
    track = _track("Les Lampadaires", "Déjà Brume")
    tags = replace(_tags(track), title=misread_as_cp1252(track.title))
    yield AudioFile(f"{MEMORY_STICK}/deja brume.mp3", track, tags, 3)
    track = _track("Ute Morgenrath", "Größe 38")
    tags = replace(_tags(track), title=misread_as_utf8(track.title))
    yield AudioFile(f"{MEMORY_STICK}/groesse 38.mp3", track, tags)
    track = _track("Halina Brzezińska-Wilk", "List do Łucji")
    tags = replace(
        _tags(track),
        artist=misread_as_cp1252(track.artist),
        title=track.title.replace("Ł", "?"),
    )
    yield AudioFile(f"{MEMORY_STICK}/list do lucji.opus", track, tags)


def _careless() -> Iterator[AudioFile]:
    """Typed in a hurry, cut off, or filled in by a machine."""
    long = next(track for track in songbook().tracks() if track.title.startswith("In Which"))
    yield AudioFile(f"{UNSORTED}/in which.mp3", long, _tags(long, "Vestibule"), 1)
    track = _track("The Damson Sisters", "Ironing Day")
    tags = replace(_tags(track), title="IRONING DAY", artist="DAMSON SISTERS", album_artist="")
    yield AudioFile(f"{UNSORTED}/IRONING DAY.mp3", track, tags, 3)
    track = _track("Lord Halyard", "Put Your Bicycle Away, Maureen")
    tags = replace(_tags(track), title="put_your_bicycle_away_maureen", artist="lord_halyard")
    yield AudioFile(f"{UNSORTED}/put_your_bicycle_away_maureen.mp3", track, tags, 3)
    track = _track("Little Eddie Sprake", "1-2-3")
    tags = replace(_tags(track), track_number="A1", genre="(12)", tempo="160.00")
    yield AudioFile(f"{UNSORTED}/1-2-3.mp3", track, tags)
    track = _track("The Marsh Herons", "She's Got a Season Ticket (live)")
    tags = replace(_tags(track), title=f"{track.title} [HQ] (2) ", artist="  The  Marsh Herons")
    yield AudioFile(f"{UNSORTED}/season ticket live.ogg", track, replace(tags, year="c. 1999"))
    track = _track("Kestrel Street", "Fax Me Your Heart")
    yield AudioFile(f"{UNSORTED}/fax me.mp3", track, replace(_tags(track), tempo="58", year="86"))
    track = _track("The Drab", "A")
    tags = replace(_tags(track), album_artist="The Drab", tempo="0", genre="Other")
    yield AudioFile(f"{UNSORTED}/drab a.wav", track, tags, 3)
