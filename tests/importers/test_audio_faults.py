"""Files that cannot be used are refused, each with one sentence that names it."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue.errors import UnreadableFile
from catalogue.store import Store
from importers import taking_in
from importers.audio_tags import EXTENSIONS, read

Tone = Callable[..., Path]

FORMATS = (".wav", ".aiff", ".mp3", ".flac", ".ogg", ".opus", ".wma", ".m4a")


def why(path: Path) -> str:
    with pytest.raises(UnreadableFile) as caught:
        read(path)
    sentence = caught.value.message
    assert path.name in sentence
    assert sentence.endswith(".")
    return sentence


@pytest.mark.parametrize(
    ("content", "what"),
    [
        (b"Dear Ken, here are the songs you asked for.\n", "a text"),
        ("Côr y Traeth".encode(), "a text"),
        (b"%PDF-1.7 ...", "a PDF"),
        (b"\xff\xd8\xff\xe0" + b"\1" * 300, "a picture"),
        (b"PK\x03\x04" + b"\1" * 300, "a ZIP archive"),
        (b"<html><body>404</body></html>", "a web page"),
        (b"\0" * 5000, "nothing but zeros"),
    ],
)
@pytest.mark.parametrize("suffix", [".mp3", ".flac", ".ogg", ".wav", ".m4a", ".wma"])
def test_a_file_that_lies_about_its_type(
    music: Path, content: bytes, what: str, suffix: str
) -> None:
    """Whatever its name says, a text is a text, and the sentence says what it looks like."""
    path = music / f"song{suffix}"
    path.write_bytes(content)

    assert f"it looks like {what}" in why(path)


def test_an_empty_file(music: Path) -> None:
    """Nothing was copied but the name."""
    path = music / "song.mp3"
    path.touch()

    assert why(path) == "song.mp3 is empty. Copy it again from where it came."


def test_a_missing_file(music: Path) -> None:
    """It went between the walk and the reading."""
    assert "cannot be read" in why(music / "song.mp3")


def test_a_file_that_may_not_be_read(tone: Tone, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests may run as an administrator, to whom nothing is forbidden: so the opening is."""
    path = tone("song.mp3")

    def forbid(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", forbid)

    assert "may not be read by this user" in why(path)


@pytest.mark.parametrize("suffix", FORMATS)
def test_a_file_that_is_cut_short(tone: Tone, suffix: str) -> None:
    """The header promises ten seconds, the file has a third of them."""
    path = tone(f"song{suffix}", seconds=10)
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 3])

    assert "cut short" in why(path)


@pytest.mark.parametrize("suffix", FORMATS)
@pytest.mark.parametrize("seconds", [0.3, 1.0, 7.31])
def test_a_whole_file_is_not_called_cut_short(tone: Tone, suffix: str, seconds: float) -> None:
    """No false alarm, whatever the length."""
    assert read(tone(f"song{suffix}", seconds=seconds)).recording.length_s


@pytest.mark.parametrize("suffix", [".flac", ".ogg", ".opus", ".m4a", ".wma", ".mp3"])
def test_a_file_of_which_only_the_beginning_is_there(tone: Tone, suffix: str) -> None:
    """Forty bytes are not a song in any format."""
    path = tone(f"song{suffix}")
    path.write_bytes(path.read_bytes()[:40])

    assert "Copy it again" in why(path)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    suffix=st.sampled_from(sorted(EXTENSIONS)),
    start=st.sampled_from([b"", b"ID3\x03\0\0", b"fLaC", b"OggS\0\2", b"RIFF\x10\0\0\0WAVE",
                           b"FORM\0\0\0\x10AIFF", b"\0\0\0\x20ftypM4A ", b"\xff\xfb\x90\x64",
                           b"\x30\x26\xb2\x75\x8e\x66\xcf\x11"]),
    rest=st.binary(max_size=400),
)  # fmt: skip
def test_any_bytes_are_read_or_refused(
    tmp_path: Path, suffix: str, start: bytes, rest: bytes
) -> None:
    """No file, however broken, raises anything but a sentence."""
    path = tmp_path / f"song{suffix}"
    path.write_bytes(start + rest)

    try:
        entry = read(path)
    except UnreadableFile as problem:
        assert path.name in problem.message
    else:
        assert entry.recording.title


def test_one_bad_file_does_not_stop_a_run(
    store: Store, tone: Tone, music: Path, now: datetime
) -> None:
    """The good ones are in; the bad ones come back with their reasons."""
    tone("a/good.flac")
    (music / "a" / "bad.mp3").write_text("not audio")
    (music / "a" / "cover.jpg").write_bytes(b"\xff\xd8\xff")
    tone("z/good too.flac")

    report = taking_in.add_files(store, music, "Ann", now)

    assert (2, ["a/bad.mp3".replace("/", os.sep)]) == (
        report.added,
        [remark.source for remark in report.refused],
    )
    assert report.left_alone == 1


@pytest.mark.skipif(os.name == "nt", reason="names are Unicode there")
def test_a_name_in_unknown_letters(store: Store, tone: Tone, music: Path, now: datetime) -> None:
    """A name of bytes that are no letters is told, and nothing breaks."""
    good = tone("good.flac")
    good.rename(music / os.fsdecode(b"Gr\xf6\xdfe.flac"))

    report = taking_in.add_files(store, music, "Ann", now)

    assert report.added == 0
    assert "Rename it." in report.refused[0].text
