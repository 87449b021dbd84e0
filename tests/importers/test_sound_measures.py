"""Tempo, loudness, silence and fingerprint against sounds of which they are known."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
from mutagen.flac import FLAC

from catalogue import catalogue_rows, measures, undo
from catalogue.errors import BadInput, UnreadableFile
from catalogue.records import NewHolding, NewRecording
from catalogue.store import Store
from importers import audio_tags, measuring, sound_measures, taking_in

RATE = 22_050
SAMPLE = Path(__file__).parents[2] / "sample_library" / "audio"
TOLERANCE = 0.04
"""Within 4 % (Gouyon et al. 2006, "Accuracy 1"); with double and half, "Accuracy 2"."""


def clicks(bpm: float, seconds: float = 16.0) -> sound_measures.Sound:
    sound = np.zeros(int(seconds * RATE), dtype=np.float32)
    click = np.hanning(400) * np.sin(np.arange(400) * 2 * np.pi * 1000 / RATE)
    for start in np.arange(0, seconds - 0.1, 60 / bpm):
        at = round(start * RATE)
        sound[at : at + 400] += click.astype(np.float32)
    return sound[:, np.newaxis]


def sine(dbfs: float, channels: tuple[int, ...] = (1, 1), seconds: float = 20.0) -> Any:
    tone = 10 ** (dbfs / 20) * np.sin(2 * np.pi * 1000 * np.arange(int(seconds * 48_000)) / 48_000)
    return np.stack([tone * on for on in channels], axis=1).astype(np.float32)


@pytest.mark.parametrize(
    "bpm", [40, 47, 53, 60, 72, 81, 96, 110, 120, 133, 150, 168, 189, 210, 240]
)
def test_click_tracks(bpm: int) -> None:
    """Clicks from 40 to 240 a minute: the tempo within 4 %, or its double or half, which then is
    the second reading; and a confidence."""
    found = sound_measures.tempo(clicks(bpm), RATE)

    assert found is not None
    assert found.number is not None
    assert found.other is not None
    assert min(abs(said - bpm) for said in (found.number, found.other)) <= TOLERANCE * bpm
    ratio = found.other / found.number
    assert min(abs(ratio - 2), abs(ratio - 0.5)) < 0.01
    assert found.confidence is not None
    assert measuring.SURE < found.confidence <= 1


def test_tempos_of_the_sample_library() -> None:
    """Music of which the tempo is known, since it was written by us: within 4 %, allowing double
    and half, for nine of ten."""
    paths = [Path(path) for path in audio_tags.walk(SAMPLE) if audio_tags.is_audio(path)]
    right, tried = 0, 0
    for path in paths[::5]:
        said = audio_tags.read(path).recording.tempo
        if said is None:
            continue
        tried += 1
        found = sound_measures.tempo(*sound_measures.decoded(path))
        number = found.number if found else None
        right += number is not None and any(
            abs(number - said * factor) <= TOLERANCE * said * factor for factor in (1, 2, 0.5)
        )
    assert tried > 10
    assert right >= 0.9 * tried


@pytest.mark.parametrize(
    ("dbfs", "channels", "lufs"),
    [
        (-23.0, (1, 1), -23.0),  # EBU Tech 3341, case 1
        (-33.0, (1, 1), -33.0),  # EBU Tech 3341, case 2
        (-23.0, (1, 0), -26.0),  # half the power: 3 LU less (BS.1770 sums channels)
    ],
)
def test_loudness(dbfs: float, channels: tuple[int, ...], lufs: float) -> None:
    """ITU-R BS.1770 with the tones of EBU Tech 3341, which allows 0.1 LU."""
    found = sound_measures.loudness(sine(dbfs, channels), 48_000)

    assert found is not None
    assert found.number == pytest.approx(lufs, abs=0.1)


def test_loudness_leaves_silence_out() -> None:
    """The gates of BS.1770: a tone between two silences is as loud as the tone alone."""
    quiet = np.zeros((5 * 48_000, 2), dtype=np.float32)
    found = sound_measures.loudness(np.concatenate([quiet, sine(-23, seconds=60), quiet]), 48_000)

    assert found is not None
    assert found.number == pytest.approx(-23.0, abs=0.1)
    assert sound_measures.loudness(quiet, 48_000) is None
    assert sound_measures.loudness(quiet[:1000], 48_000) is None


def test_silence_before_and_after() -> None:
    """To the hundredth; hiss far below is silence, and a silent file is silent from end to end."""
    hiss = 1e-4 * np.random.default_rng(1).standard_normal((5 * 48_000, 2)).astype(np.float32)
    sound = np.concatenate([hiss[: 48_000 * 3 // 2], sine(-20, seconds=2), hiss[: 48_000 // 4]])

    before, after = sound_measures.silences(sound, 48_000)
    all_of_it = sound_measures.silences(hiss, 48_000)

    assert (before.number, after.number) == (1.5, 0.25)
    assert [one.number for one in all_of_it] == [5.0, 0.0]


def test_silence_and_noise_have_no_sure_tempo() -> None:
    """Nothing is made up where no beat is heard."""
    noise = np.random.default_rng(2).standard_normal((RATE * 16, 1)).astype(np.float32) * 0.1

    assert sound_measures.tempo(np.zeros((RATE * 8, 1), dtype=np.float32), RATE) is None
    found = sound_measures.tempo(noise, RATE)
    assert found is None or (found.confidence or 0) < measuring.SURE


def test_a_fingerprint_where_chromaprint_is_there() -> None:
    """The same for the same sound, another for another; without the library there is none."""
    one, two = (np.concatenate([sine(-20, seconds=3), clicks(bpm, 9).repeat(2, axis=1)])
                for bpm in (90, 140))  # fmt: skip
    prints = [sound_measures.fingerprint(sound, 48_000) for sound in (one, one, two)]

    if sound_measures._chromaprint() is None:
        assert prints == [None, None, None]
    else:
        assert prints[0] == prints[1] != prints[2]
        assert prints[0] is not None
        assert prints[0].value.startswith("AQ")  # the first algorithm's mark, in base64


def test_without_the_library_there_is_no_fingerprint(monkeypatch: pytest.MonkeyPatch) -> None:
    """And no error either."""
    monkeypatch.setattr(sound_measures, "_chromaprint", lambda: None)

    assert sound_measures.fingerprint(sine(-20, seconds=3), 48_000) is None


def test_without_the_extra_it_is_said_how_to_get_it(
    store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sentence with the command."""

    def no_module(name: str) -> Any:
        raise ImportError(name)

    sound_measures._library.cache_clear()
    monkeypatch.setattr(importlib, "import_module", no_module)

    with pytest.raises(BadInput, match=r"pip install 'asheard\[audio\]'"):
        measuring.run(store, "Ann", now)


@pytest.mark.parametrize("name", ["a.txt", "a.mp3"])
def test_what_cannot_be_decoded(tmp_path: Path, name: str) -> None:
    """A text, or a damaged file."""
    path = tmp_path / name
    path.write_bytes(b"no sound in here" * 90)

    with pytest.raises(UnreadableFile, match="cannot be decoded here"):
        sound_measures.measure(path)


# The job


@pytest.fixture
def beats(tmp_path: Path) -> Callable[..., Path]:
    """Write a click track as a file: `beats("Tide", 90)`."""

    def write(title: str, beats: float, **tags: str) -> Path:
        path = tmp_path / "music" / f"{title}.flac"
        path.parent.mkdir(exist_ok=True)
        soundfile.write(path, clicks(beats, 8), RATE)
        audio = FLAC(path)
        audio["title"], audio["artist"] = title, "Ada Sluice"
        audio.update(tags)
        audio.save()
        return path

    return write


def tempos(store: Store) -> dict[str, float | None]:
    rows = store.rows("SELECT title, tempo FROM recordings")
    return {row["title"]: row["tempo"] for row in rows}


def test_blanks_are_filled_and_what_was_typed_stays(
    store: Store, beats: Callable[..., Path], music: Path, now: datetime
) -> None:
    """Both are kept, each with where it is from."""
    beats("Tide", 90)
    beats("Ebb", 100, bpm="61")
    taking_in.add_files(store, music, "Ann", now)

    came = measuring.run(store, "Ann", now)

    assert (came.files, came.filled, came.failed, came.stopped) == (2, 1, [], False)
    said = tempos(store)
    assert said["Ebb"] == 61.0
    assert said["Tide"] == pytest.approx(90, abs=0.5)
    rows = store.rows(
        "SELECT r.title, h.id FROM holdings h JOIN recordings r ON r.id = h.recording_id"
    )
    ids = {row["title"]: row["id"] for row in rows}
    measured = measures.of(store, list(ids.values()))[ids["Ebb"]]
    assert measured["tempo"].number == pytest.approx(100, abs=0.5)
    assert {"tempo", "loudness", "silence_before", "silence_after"} <= set(measured)
    assert all(one.how for one in measured.values())


def test_a_typed_tempo_takes_the_place_of_a_measured_one(
    store: Store, beats: Callable[..., Path], music: Path, now: datetime
) -> None:
    """From a tag or by hand, before and after measuring again."""
    path = beats("Tide", 90)
    taking_in.add_files(store, music, "Ann", now)
    measuring.run(store, "Ann", now)
    audio = FLAC(path)
    audio["bpm"] = "45"
    audio.save()

    taking_in.add_files(store, music, "Ann", now)
    assert tempos(store) == {"Tide": 45.0}
    with undo.action(store, "Ben", "wrote it", now):
        catalogue_rows.change_recording(store, 1, tempo=46.0)
    measuring.run(store, "Ann", now, again=True)

    assert tempos(store) == {"Tide": 46.0}


def test_a_pause_and_going_on(
    store: Store, beats: Callable[..., Path], music: Path, now: datetime
) -> None:
    """Each file is measured once; Ctrl-C keeps what was done."""
    for number in range(4):
        beats(f"Song {number}", 80 + number)
    taking_in.add_files(store, music, "Ann", now)
    asked = iter([False, False, True])
    told: list[tuple[int, int | None]] = []

    def interrupt(*at: int | None) -> None:
        raise KeyboardInterrupt

    first = measuring.run(store, "Ann", now, lambda *at: told.append(at), lambda: next(asked))
    second = measuring.run(store, "Ann", now, interrupt)
    third = measuring.run(store, "Ann", now)

    assert (first.files, first.stopped, told) == (2, True, [(1, 4), (2, 4)])
    assert (second.files, second.stopped) == (1, True)
    assert (third.files, third.stopped) == (1, False)
    assert measuring.run(store, "Ann", now).files == 0
    assert all(tempos(store).values())


def test_files_that_cannot_be_measured(
    store: Store, beats: Callable[..., Path], music: Path, now: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """They are told once; one on a drive that is away waits; no decoder's fault ends the job."""
    beats("Tide", 90)
    taking_in.add_files(store, music, "Ann", now)
    with undo.action(store, "Ann", "took in", now):
        number = catalogue_rows.add_recording(store, NewRecording("Ebb", "Ann Oke"))
        catalogue_rows.add_holding(store, NewHolding(number, path="/none/such.flac", audio="a"))
    real = sound_measures.measure

    def measure(path: Path) -> Any:
        if path.name == "Tide.flac":
            raise ZeroDivisionError
        return real(path)

    monkeypatch.setattr(sound_measures, "measure", measure)
    came = measuring.run(store, "Ann", now)

    assert [Path(remark.source).name for remark in came.failed] == ["Tide.flac", "such.flac"]
    assert "it may be damaged" in came.failed[0].text
    assert [file.path for file in measures.waiting(store)] == ["/none/such.flac"]
