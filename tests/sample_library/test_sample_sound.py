"""The sound files of the demo collection: kinds, lengths, tags, and the beat."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import mutagen
import pytest
from mutagen.id3 import ID3

from sample_library import folder
from sample_library.recipe.audio_files import AudioFile, tagged_files
from sample_library.recipe.composing import tune_of
from sample_library.recipe.songbook import songbook
from sample_library.recipe.tags import misread_as_cp1252, misread_as_utf8
from sample_library.recipe.unsorted_files import unsorted_files

np = pytest.importorskip("numpy")
soundfile = pytest.importorskip("soundfile")

CHECKED_IN = folder()
FILES = [*tagged_files(), *unsorted_files()]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.path)
def test_every_sound_file_opens_and_is_short(file: AudioFile) -> None:
    path = CHECKED_IN / file.path
    info = soundfile.info(path)

    assert 2 <= info.duration <= 20
    assert info.channels == 1
    assert mutagen.File(path).info.length == pytest.approx(info.duration, abs=0.15)


@pytest.mark.parametrize("file", tagged_files(), ids=lambda file: file.path)
def test_full_tags_say_what_the_songbook_says(file: AudioFile) -> None:
    easy = {
        "mp3": lambda path: id3_words(ID3(path)),
        "wav": lambda path: id3_words(mutagen.File(path).tags),
    }
    kind = file.path.rpartition(".")[2]
    path = CHECKED_IN / file.path
    said = easy.get(kind, comment_words)(path)

    assert said["title"] == file.track.title
    assert said["artist"] == file.track.artist
    assert said["tempo"] == str(file.track.tempo)
    assert said["year"] == str(file.track.year)
    assert said["composer"] == file.track.composer
    assert said["genre"] == file.track.genre
    assert said["album"] and said["album artist"] and said["track"] and said["label"]
    assert "isrc" not in said


def id3_words(tags: ID3) -> dict[str, str]:
    names = {
        "TIT2": "title",
        "TPE1": "artist",
        "TBPM": "tempo",
        "TDRC": "year",
        "TCOM": "composer",
        "TCON": "genre",
        "TALB": "album",
        "TPE2": "album artist",
        "TRCK": "track",
        "TPUB": "label",
        "TSRC": "isrc",
    }
    return {names[key]: str(tags[key].text[0]) for key in tags if key in names}


def comment_words(path: Path) -> dict[str, str]:
    names = {
        "title": "title",
        "artist": "artist",
        "bpm": "tempo",
        "date": "year",
        "composer": "composer",
        "genre": "genre",
        "album": "album",
        "albumartist": "album artist",
        "tracknumber": "track",
        "organization": "label",
        "isrc": "isrc",
    }
    tags = mutagen.File(path).tags
    return {names[key.lower()]: value for key, value in tags if key.lower() in names}


@pytest.mark.parametrize("file", tagged_files(), ids=lambda file: file.path)
def test_the_beat_of_the_sound_is_the_tempo_of_the_tag(file: AudioFile) -> None:
    samples, rate = soundfile.read(CHECKED_IN / file.path)
    hop = 0.01
    energy = np.log(loudness(samples, rate, hop) + 1e-3)
    attacks = np.maximum(0, np.diff(energy, prepend=energy[0]))
    hop = int(rate * hop) / rate

    def on_the_beat(tempo: float) -> float:
        """Mean attack within 40 ms after each beat, counted from the start."""
        beats = np.arange(1, int(samples.size / rate * tempo / 60) - 1) * 60 / tempo
        near = (beats[:, None] / hop + np.arange(-2, 6)).astype(int)
        return float(np.mean(np.max(attacks[np.minimum(near, attacks.size - 1)], axis=1)))

    tagged = on_the_beat(file.track.tempo)
    wrong = [on_the_beat(file.track.tempo * factor) for factor in (0.86, 0.91, 1.09, 1.16)]

    assert tagged > max(wrong)


def test_there_are_enough_sound_files_of_every_kind() -> None:
    kinds = Counter(file.path.rpartition(".")[2] for file in FILES)

    assert sum(kinds.values()) >= 60
    assert set(kinds) == {"mp3", "flac", "ogg", "opus", "wav"}
    assert min(kinds.values()) >= 5


def test_both_versions_of_id3_are_there_and_one_file_has_only_the_oldest() -> None:
    versions = Counter()
    for file in FILES:
        if file.path.endswith(".mp3"):
            header = (CHECKED_IN / file.path).read_bytes()[:4]
            versions[header[3] if header[:3] == b"ID3" else 1] += 1

    assert versions[3] >= 5
    assert versions[4] >= 5
    assert versions[1] == 1


def test_one_song_by_two_artists_has_one_tune() -> None:
    boats = [t for t in songbook().tracks() if t.title == "The Last Boat to Samphire"]

    assert len({track.artist for track in boats}) >= 5
    assert len({tune_of(track) for track in boats}) == 1
    assert len({tune_of(track) for track in songbook().tracks()}) > 350


def test_faults_of_real_tags_are_among_the_unsorted() -> None:
    words = [tag_words(CHECKED_IN / file.path) for file in unsorted_files()]
    said = [text for tags in words for texts in tags.values() for text in texts]

    assert {} in words
    assert "Track 01" in said
    assert "Marsha Herron - Champagne and Chips" in said
    assert misread_as_cp1252("Déjà Brume") in said
    assert misread_as_utf8("Größe 38") in said
    assert "Herring, Marsh" in said
    assert "Mudlark Sound System Featuring MC Sandbank" in said
    assert ["Ute Morgenrath", "Ian Loftus"] in [tags.get("artist") for tags in words]


def loudness(samples: np.ndarray, rate: int, seconds: float) -> np.ndarray:
    frame = int(rate * seconds)
    frames = samples[: samples.size // frame * frame].reshape(-1, frame)
    return np.sqrt(np.mean(frames**2, axis=1))


def tag_words(path: Path) -> dict[str, list[str]]:
    """All tags of a file as text, whatever the kind of file; what names the encoder is left out."""
    tags = mutagen.File(path).tags
    if tags is None:
        return {}
    if isinstance(tags, ID3):
        return {key: [str(text) for text in frame.text] for key, frame in tags.items()}
    return {key: values for key, values in tags.as_dict().items() if key != "encoder"}
