"""What tags of every format say is read into the same fields."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import mutagen
import pytest
from mutagen import id3
from mutagen.aiff import AIFF
from mutagen.asf import ASF
from mutagen.flac import FLAC
from mutagen.mp3 import MP3
from mutagen.mp4 import MP4, MP4FreeForm
from mutagen.wave import WAVE

from catalogue.records import Carrier, NewRecording
from importers import audio_tags
from importers.audio_tags import read

Tone = Callable[..., Path]

EXPECTED = {
    "title": "Ebb",
    "artist": "Ada Sluice",
    "album": "Low Water",
    "year": 1962,
    "genre": "folk",
    "composer": "Edmund Reedmace",
    "work": "Tidal Suite",
    "movement": "II. Ebb",
    "conductor": "Una Fell",
    "soloist": "Ida Fenn",
    "label": "Tidemark",
    "isrc": "AA6Q72000047",
    "language": "Welsh",
    "tempo": 96.0,
}
"""One recording with every field. The ISRC is the example of ISO 3901:2019, made up there."""


def fill_id3(tags: id3.ID3) -> None:
    """Every field in ID3 frames, by their names in id3.org's list of v2.4."""
    frames = [
        id3.TIT2(text="Ebb"), id3.TPE1(text="Ada Sluice"), id3.TPE2(text="Various Artists"),
        id3.TALB(text="Low Water"), id3.TRCK(text="3/12"), id3.TPOS(text="1/2"),
        id3.TDOR(text="1962-05-01"), id3.TDRC(text="1995"), id3.TCON(text="folk"),
        id3.TCOM(text="Edmund Reedmace"), id3.TXXX(desc="WORK", text="Tidal Suite"),
        id3.MVNM(text="II. Ebb"), id3.TPE3(text="Una Fell"),
        id3.TXXX(desc="SOLOIST", text="Ida Fenn"), id3.TPUB(text="Tidemark"),
        id3.TSRC(text="AA6Q72000047"), id3.TLAN(text="cym"), id3.TBPM(text="96"),
    ]  # fmt: skip
    for frame in frames:
        frame.encoding = 3
        tags.add(frame)


def mp3(path: Path, version: int) -> None:
    tags = id3.ID3()
    fill_id3(tags)
    if version == 3:
        tags.update_to_v23()
    tags.save(path, v2_version=version)


COMMENTS = {
    "TITLE": "Ebb", "ARTIST": "Ada Sluice", "ALBUMARTIST": "Various Artists", "ALBUM": "Low Water",
    "TRACKNUMBER": "3", "DISCNUMBER": "1", "ORIGINALDATE": "1962", "DATE": "1995-01-01",
    "GENRE": "folk", "COMPOSER": "Edmund Reedmace", "WORK": "Tidal Suite", "MOVEMENT": "II. Ebb",
    "CONDUCTOR": "Una Fell", "PERFORMER": "Ida Fenn", "ORGANIZATION": "Tidemark",
    "ISRC": "AA-6Q7-20-00047", "LANGUAGE": "cym", "BPM": "96",
}  # fmt: skip


def write_comments(path: Path) -> None:
    audio = mutagen.File(path)
    audio.update(COMMENTS)
    audio.save()


def write_chunk(path: Path) -> None:
    audio = (WAVE if path.suffix == ".wav" else AIFF)(path)
    audio.add_tags()
    fill_id3(audio.tags)
    audio.save()


def write_mp4(path: Path) -> None:
    audio = MP4(path)
    audio.update({
        "©nam": "Ebb", "©ART": "Ada Sluice", "aART": "Various Artists", "©alb": "Low Water",
        "trkn": [(3, 12)], "disk": [(1, 2)], "©day": "1995", "©gen": "folk",
        "©wrt": "Edmund Reedmace", "©wrk": "Tidal Suite", "©mvn": "II. Ebb", "tmpo": [96],
        "cpil": True,
    })  # fmt: skip
    for name, text in (("ORIGINALYEAR", "1962"), ("CONDUCTOR", "Una Fell"), ("LANGUAGE", "cym"),
                       ("SOLOIST", "Ida Fenn"), ("LABEL", "Tidemark"),
                       ("ISRC", "AA6Q72000047")):  # fmt: skip
        audio[f"----:com.apple.iTunes:{name}"] = MP4FreeForm(text.encode())
    audio.save()


def write_asf(path: Path) -> None:
    audio = ASF(path)
    audio.update({
        "Title": "Ebb", "Author": "Ada Sluice", "WM/AlbumArtist": "Various Artists",
        "WM/AlbumTitle": "Low Water", "WM/TrackNumber": "3", "WM/OriginalReleaseYear": "1962",
        "WM/Year": "1995", "WM/Genre": "folk", "WM/Composer": "Edmund Reedmace",
        "WM/Work": "Tidal Suite", "WM/MovementName": "II. Ebb", "WM/Conductor": "Una Fell",
        "WM/Soloist": "Ida Fenn", "WM/Publisher": "Tidemark", "WM/ISRC": "AA6Q72000047",
        "WM/Language": "cym", "WM/BeatsPerMinute": "96",
    })  # fmt: skip
    audio.save()


WRITERS: dict[str, tuple[str, Callable[[Path], None]]] = {
    "ID3v2.4": ("a.mp3", lambda path: mp3(path, 4)),
    "ID3v2.3": ("a.mp3", lambda path: mp3(path, 3)),
    "FLAC": ("a.flac", write_comments),
    "Ogg Vorbis": ("a.ogg", write_comments),
    "Opus": ("a.opus", write_comments),
    "WAV": ("a.wav", write_chunk),
    "AIFF": ("a.aiff", write_chunk),
    "M4A": ("a.m4a", write_mp4),
    "WMA": ("a.wma", write_asf),
}


def said(recording: NewRecording) -> dict[str, object]:
    return {name: getattr(recording, name) for name in EXPECTED}


@pytest.mark.parametrize("kind", WRITERS)
def test_every_field_of_every_format(tone: Tone, kind: str) -> None:
    """All formats come to the same recording, its length from the sound itself."""
    name, write = WRITERS[kind]
    path = tone(name)
    write(path)
    expected = dict(EXPECTED)
    if kind == "ID3v2.3":  # MVNM is a frame of Apple's that mutagen keeps out of v2.3
        expected["movement"] = read(path).recording.movement

    entry = read(path)

    assert expected == said(entry.recording)
    assert entry.recording.length_s == pytest.approx(1.0, abs=0.15)
    assert "year" not in entry.guessed
    assert entry.copy is not None
    assert (Carrier.FILE, str(path)) == (entry.copy.carrier, entry.copy.path)
    assert path.stat().st_size == entry.copy.size


def test_the_raw_values_are_kept_as_they_stand(tone: Tone) -> None:
    """What the tag really said stays beside what was made of it."""
    path = tone("a.flac")
    FLAC(path).save()
    audio = FLAC(path)
    audio["TITLE"] = "  EBB (Live) "
    audio["ARTIST"] = ["Sluice, Ada", "Ann Oke"]
    audio.save()

    entry = read(path)

    assert (entry.raw["title"], entry.raw["artist"]) == ("  EBB (Live) ", "Sluice, Ada\0Ann Oke")
    assert entry.recording.version == "Live"


def test_id3_version_1_alone_is_read(tone: Tone) -> None:
    """An old tag of fixed length, its title cut off after thirty letters and said to be so."""
    path = tone("a.mp3")
    tags = id3.ID3()
    tags.add(id3.TIT2(encoding=3, text="The Long and Muddy Road to the Estuary"))
    tags.add(id3.TPE1(encoding=3, text="Ada Sluice"))
    tags.add(id3.TDRC(encoding=3, text="1962"))
    tags.save(path, v1=2)
    id3.delete(path, delete_v1=False)

    entry = read(path)

    assert entry.recording.title == "The Long and Muddy Road to the"
    assert (entry.recording.artist, entry.recording.year) == ("Ada Sluice", 1962)
    assert "title" in entry.guessed
    assert "30 letters" in entry.notes[0]


def test_id3_version_2_2_is_read(tone: Tone) -> None:
    """Frames with names of three letters, as id3.org's v2.2 has them, written by hand."""

    def frame(name: bytes, text: bytes) -> bytes:
        return name + (len(text) + 1).to_bytes(3, "big") + b"\0" + text

    path = tone("a.mp3")
    sound = path.read_bytes()
    sound = sound[sound.index(b"\xff") :]
    body = frame(b"TT2", b"Ebb") + frame(b"TP1", b"Ada Sluice") + frame(b"TYE", b"1962")
    size = bytes((len(body) >> shift) & 0x7F for shift in (21, 14, 7, 0))
    path.write_bytes(b"ID3\x02\0\0" + size + body + sound)

    recording = read(path).recording

    assert (recording.title, recording.artist, recording.year) == ("Ebb", "Ada Sluice", 1962)


def test_a_wav_file_with_an_info_list(tone: Tone) -> None:
    """RIFF INFO, as editors write it, where there is no ID3."""
    path = tone("a.wav")

    def item(name: bytes, text: bytes) -> bytes:
        text += b"\0" * (1 + (len(text) + 1) % 2)
        return name + len(text).to_bytes(4, "little") + text

    body = b"INFO" + item(b"INAM", b"Ebb") + item(b"IART", "Côr y Traeth".encode("cp1252"))
    path.write_bytes(path.read_bytes() + b"LIST" + len(body).to_bytes(4, "little") + body)

    recording = read(path).recording

    assert (recording.title, recording.artist) == ("Ebb", "Côr y Traeth")


def tagged(path: Path, **texts: str) -> Path:
    """An MP3 with some ID3 frames, in UTF-8."""
    tags = id3.ID3()
    for name, text in texts.items():
        tags.add(getattr(id3, name)(encoding=3, text=text.split("\n")))
    tags.save(path)
    return path


@pytest.mark.parametrize(
    ("frames", "title", "artist", "version"),
    [
        ({"TIT2": "DÃ©jÃ\xa0 Brume", "TPE1": "Les Lampadaires"}, "Déjà Brume", "Les Lampadaires",
         ""),
        ({"TIT2": "Ada Sluice - Tide", "TPE1": "Ada Sluice"}, "Tide", "Ada Sluice", ""),
        ({"TIT2": "Ada Sluice - Tide", "TPE1": "Various Artists"}, "Tide", "Ada Sluice", ""),
        ({"TIT2": "Tide", "TPE1": "Sluice, Ada"}, "Tide", "Ada Sluice", ""),
        ({"TIT2": "Tide (ft. Ann Oke)", "TPE1": "Ada Sluice"}, "Tide", "Ada Sluice feat. Ann Oke",
         ""),
        ({"TIT2": "Tide", "TPE1": "Ada Sluice Featuring Ann Oke"}, "Tide",
         "Ada Sluice feat. Ann Oke", ""),
        ({"TIT2": "Tide", "TPE1": "Ada Sluice\nAnn Oke"}, "Tide", "Ada Sluice & Ann Oke", ""),
        ({"TIT2": "Tide - 2009 Remaster", "TPE1": "Ada Sluice"}, "Tide", "Ada Sluice",
         "2009 Remaster"),
        ({"TIT2": "Tide (Live)", "TPE1": "", "TPE2": "Ada Sluice"}, "Tide", "Ada Sluice", "Live"),
        ({"TIT2": "\ufeffTide\0\0", "TPE1": "Ada Sluice\0"}, "Tide", "Ada Sluice", ""),
        ({"TIT2": "?", "TPE1": "!!!"}, "?", "!!!", ""),
    ],
)  # fmt: skip
def test_dirty_tags(
    tone: Tone, frames: dict[str, str], title: str, artist: str, version: str
) -> None:
    """The usual faults of tags are mended on the way."""
    recording = read(tagged(tone("x.mp3"), **frames)).recording

    assert (title, artist, version) == (recording.title, recording.artist, recording.version)


def test_a_comment_in_the_letters_of_an_old_machine(tone: Tone) -> None:
    """cp1252 where the specification says UTF-8: the letters are found again in the bytes."""
    path = tone("a.flac")
    audio = FLAC(path)
    audio["TITLE"] = "GrXXXe 38"
    audio["ARTIST"] = "Ute Morgenrath"
    audio.save()
    data = path.read_bytes().replace(b"GrXXXe 38", "Größ e 38".encode("cp1252"))
    path.write_bytes(data)

    assert read(path).recording.title == "Größ e 38"


def test_lost_letters_are_noted(tone: Tone) -> None:
    """What cannot be found again is at least told."""
    entry = read(tagged(tone("x.mp3"), TIT2="Gr\ufffd\ufffde 38", TPE1="Ute Morgenrath"))

    assert list(entry.notes) == ["letters are lost in the title; write them anew"]


def test_a_placeholder_is_replaced_by_the_name_of_the_file(tone: Tone) -> None:
    """ "Track 01" says nothing; the file may."""
    path = tagged(tone("01 My Lantern.mp3"), TIT2="Track 01", TPE1="Ada Sluice")

    assert read(path).recording.title == "My Lantern"


def test_a_placeholder_everywhere_needs_a_look(tone: Tone) -> None:
    """It is taken in, so that it can be played and named, and told."""
    entry = read(tagged(tone("Track 01.mp3"), TIT2="Track 01", TPE1="Ada Sluice"))

    assert entry.recording.title == "Track 01"
    assert "listen" in entry.notes[0]


def test_numbers_of_genres_become_words(tone: Tone) -> None:
    """ "(17)" is Rock in the list of ID3v1, appendix A of id3.org's v2.3."""
    assert read(tagged(tone("x.mp3"), TIT2="T", TCON="(17)")).recording.genre == "Rock"


def test_a_file_under_a_wrong_name_is_taken_in_with_a_note(tone: Tone) -> None:
    """A FLAC called .mp3 plays; somebody should rename it."""
    path = tone("a.flac")
    wrong = path.rename(path.with_suffix(".mp3"))

    assert [note for note in read(wrong).notes if "name says" in note] == [
        "the name says MP3, but the file is FLAC; rename it"
    ]


@pytest.mark.parametrize("suffix", [".flac", ".ogg", ".wav", ".m4a"])
def test_a_tagged_mp3_under_any_name_is_taken_in_with_a_note(tone: Tone, suffix: str) -> None:
    """ID3 tags may stand before several formats, so the name must not decide."""
    path = tagged(tone("a.mp3"), TIT2="My Lantern", TPE1="Ada Sluice")
    entry = read(path.rename(path.with_suffix(suffix)))

    assert entry.recording.title == "My Lantern"
    assert [note for note in entry.notes if "the file is MP3; rename it" in note]


def test_length_of_a_real_mp3(tone: Tone) -> None:
    """Two and a half seconds of sound last so long by the header too."""
    path = tone("a.mp3", seconds=2.5)

    assert read(path).recording.length_s == pytest.approx(MP3(path).info.length, abs=0.01)


def test_walking_leaves_hidden_files_and_loops_out(music: Path) -> None:
    """A link back to the folder above does not walk for ever."""
    (music / "a").mkdir()
    for name in ("a/one.mp3", "two.mp3", ".hidden.mp3", "a/._one.mp3", "Thumbs.db"):
        (music / name).write_bytes(b"x")
    (music / "a" / "back").symlink_to(music, target_is_directory=True)

    assert [os.path.relpath(path, music) for path in audio_tags.walk(music)] == [
        "two.mp3",
        "a/one.mp3",
    ]


@pytest.mark.parametrize("name", ["a.ogg", "a.opus", "a.flac"])
def test_a_picture_written_as_a_comment_is_not_kept_and_every_value_is(
    tone: Tone, name: str
) -> None:
    """Encoders put the sleeve among the comments: 80 KB of letters in each record of one."""
    path = tone(name)
    audio = mutagen.File(path)
    audio["TITLE"], audio["ARTIST"] = "Ebb", ["Ada Sluice", "Una Fell"]
    audio["METADATA_BLOCK_PICTURE"], audio["COVERART"] = "AAAA" * 20_000, "AAAA"
    audio.save()

    raw = read(path).raw

    assert raw["title"] == "Ebb"
    assert raw["artist"].split("\0") == ["Ada Sluice", "Una Fell"]
    assert max(len(text) for text in raw.values()) < 100
