"""The recipe makes the demo collection that is checked in, lists and sound."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import mutagen
import pytest
from mutagen.id3 import ID3
from python_calamine import CalamineWorkbook

from sample_library import folder
from sample_library.recipe.audio_files import AudioFile, safe_name, tagged_files
from sample_library.recipe.mishearing import garbled
from sample_library.recipe.shelf_list import family_name_first, without_accents
from sample_library.recipe.songbook import SongbookError, _Reader
from sample_library.recipe.tables import chance
from sample_library.recipe.unsorted_files import unsorted_files

np = pytest.importorskip("numpy")
soundfile = pytest.importorskip("soundfile")

CHECKED_IN = folder()
LISTS = (
    "shelf_list.csv",
    "known_not_held.csv",
    "places.csv",
    "past_requests.csv",
    "past_plays.csv",
)
FILES = [*tagged_files(), *unsorted_files()]

# Decoders and encoders differ a little from version to version; these are far below what
# another tune, another tempo or another instrument would give.
ENVELOPE_LIKENESS = 0.97
SPECTRUM_LIKENESS = 0.97
LENGTH_TOLERANCE = 0.15


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The collection, made anew the way the README says."""
    out = tmp_path_factory.mktemp("made") / "collection"
    run = subprocess.run(
        [sys.executable, "-m", "sample_library.recipe", str(out)],
        cwd=CHECKED_IN.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    return out


def audio_below(where: Path) -> set[str]:
    return {
        path.relative_to(where).as_posix()
        for path in (where / "audio").rglob("*")
        if path.is_file()
    }


# What is made anew is what is checked in


@pytest.mark.parametrize("name", LISTS)
def test_each_list_is_made_again_byte_for_byte(made: Path, name: str) -> None:
    assert (made / name).read_bytes() == (CHECKED_IN / name).read_bytes()


def test_the_spreadsheet_is_made_again(made: Path) -> None:
    sheets = [
        CalamineWorkbook.from_path(where / "shelf_list.xlsx").get_sheet_by_index(0).to_python()
        for where in (made, CHECKED_IN)
    ]

    assert sheets[0] == sheets[1]
    assert len(sheets[0]) > 900


def test_the_same_sound_files_are_made_and_no_others(made: Path) -> None:
    named = {file.path for file in FILES}

    assert audio_below(made) == named
    assert audio_below(CHECKED_IN) == named


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.path)
def test_tags_and_sound_are_made_again(made: Path, file: AudioFile) -> None:
    fresh, kept = made / file.path, CHECKED_IN / file.path

    assert tag_words(fresh) == tag_words(kept)
    assert_sounds_alike(fresh, kept)


def tag_words(path: Path) -> dict[str, list[str]]:
    """All tags of a file as text, whatever the kind of file; what names the encoder is left out."""
    tags = mutagen.File(path).tags
    if tags is None:
        return {}
    if isinstance(tags, ID3):
        return {key: [str(text) for text in frame.text] for key, frame in tags.items()}
    return {key: values for key, values in tags.as_dict().items() if key != "encoder"}


def assert_sounds_alike(fresh: Path, kept: Path) -> None:
    sound, rate = soundfile.read(fresh)
    other, other_rate = soundfile.read(kept)
    assert rate == other_rate
    assert abs(sound.size - other.size) / rate < LENGTH_TOLERANCE
    shorter = min(sound.size, other.size)
    pair = sound[:shorter], other[:shorter]
    envelopes = [loudness(samples, rate, 0.05) for samples in pair]
    assert np.corrcoef(envelopes)[0, 1] > ENVELOPE_LIKENESS
    spectra = [spectrum(samples) for samples in pair]
    assert np.corrcoef(spectra)[0, 1] > SPECTRUM_LIKENESS


def loudness(samples: np.ndarray, rate: int, seconds: float) -> np.ndarray:
    frame = int(rate * seconds)
    frames = samples[: samples.size // frame * frame].reshape(-1, frame)
    return np.sqrt(np.mean(frames**2, axis=1))


def spectrum(samples: np.ndarray) -> np.ndarray:
    """Strength in 200 bands of equal ratio."""
    strength = np.abs(np.fft.rfft(samples))
    edges = np.geomspace(strength.size * 0.003, strength.size - 1, 201).astype(int)
    return np.sqrt(np.add.reduceat(strength**2, edges)[:-1])


def test_the_comparison_of_sounds_can_tell_two_records_apart() -> None:
    one, other = (CHECKED_IN / file.path for file in tagged_files()[:2])

    with pytest.raises(AssertionError):
        assert_sounds_alike(one, other)


# The recipe's own tools


def test_a_bad_line_of_the_songbook_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sample_library.recipe.songbook.PAGES", tmp_path)
    page = "@ Somebody | pop | man | English | Tidemark\n> LP | A Record | 1960\nninety Song\n"
    (tmp_path / "bad.txt").write_text(page, encoding="utf-8")

    with pytest.raises(SongbookError, match=r"bad\.txt, line 3: 'ninety Song'"):
        _Reader().read("bad")


def test_a_folder_that_cannot_be_written_gets_a_message(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("not a folder")
    run = subprocess.run(
        [sys.executable, "-m", "sample_library.recipe", str(in_the_way)],
        cwd=CHECKED_IN.parent,
        capture_output=True,
        text=True,
        check=False,
    )

    assert run.returncode == 1
    assert run.stderr.startswith("The collection could not be made:")
    assert "Traceback" not in run.stderr
    assert in_the_way.read_text() == "not a folder"


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("Marsha Herron", "Herron, Marsha"),
        ("The Drab", "Drab, The"),
        ("Lil Gullwing", "Gullwing, Lil"),
        ("Les Lampadaires", "Lampadaires, Les"),
        ("Hartley Venn and His Pier Pavilion Orchestra",) * 2,
    ],
)
def test_family_names_may_come_first(name: str, typed: str) -> None:
    assert family_name_first(name) == typed


def test_accents_are_left_off_latin_letters_only() -> None:
    assert without_accents("Déjà Brume, Łucja") == "Deja Brume, Łucja"
    assert without_accents("Αλμυρό φεγγάρι") == "Αλμυρό φεγγάρι"


def test_names_of_files_suit_every_system() -> None:
    assert safe_name("?") == "_"
    assert safe_name('Original Cast of "Kipper!"') == "Original Cast of _Kipper!_"
    assert safe_name("Trailing dot. ") == "Trailing dot"
    assert all(len(part) <= 66 for file in FILES for part in file.path.split("/"))


def test_a_garbled_name_is_another_name_yet_not_empty() -> None:
    rng = chance("test")
    names = [garbled("The Maid of Skelder Bridge", rng) for _ in range(50)]

    assert all(names)
    assert len(set(names)) > 10
