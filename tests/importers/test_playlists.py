"""XSPF and M3U: their files are taken in, or their titles are known of."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from mutagen.flac import FLAC

from catalogue.errors import UnreadableList
from catalogue.store import Store
from importers import taking_in

Tone = Callable[..., Path]
Written = Callable[[str, str | bytes], Path]

XSPF = """<?xml version="1.0" encoding="UTF-8"?>
<playlist version="1" xmlns="http://xspf.org/ns/0/"><trackList>
<track><location>{one}</location><title>Tide</title><creator>Ada Sluice</creator>
<album>Low Water</album><trackNum>3</trackNum><duration>222000</duration></track>
<track><location>http://example.org/ebb.mp3</location><title>Ebb</title></track>
</trackList></playlist>
"""
"""After the example of the XSPF specification, version 1."""


@pytest.fixture
def files(tone: Tone) -> tuple[Path, Path]:
    tagged = tone("one two.flac")
    audio = FLAC(tagged)
    audio["title"], audio["artist"] = "Flow", "Ann Oke"
    audio.save()
    return tagged, tone("x/99.flac")


@pytest.mark.parametrize("how", ["absolute", "relative", "address", "windows strokes"])
def test_an_m3u_of_files(
    store: Store, music: Path, files: tuple[Path, Path], now: datetime, how: str
) -> None:
    """Paths beside the playlist, whole paths and file addresses; its words stand in for tags."""
    tagged, bare = files
    name = {"absolute": str(bare), "relative": "x/99.flac", "address": bare.as_uri(),
            "windows strokes": "x\\99.flac"}[how]  # fmt: skip
    text = f"#EXTM3U\n#EXTINF:222,Ada Sluice - Tide\n{name}\n\n{tagged.name}\nnone.mp3\n"
    playlist = music / "list.m3u8"
    playlist.write_text(text)

    report = taking_in.add_list(store, playlist, "Ann", now)

    names = store.rows(
        "SELECT r.title, a.name FROM recordings r JOIN artists a ON a.id = artist_id"
    )
    assert [tuple(row.values()) for row in names] == [("Tide", "Ada Sluice"), ("Flow", "Ann Oke")]
    assert [remark.source for remark in report.refused] == ["list.m3u8 line 6"]
    assert "There is no file none.mp3" in report.refused[0].text
    assert taking_in.add_list(store, playlist, "Ann", now).already_held == 2


def test_an_xspf_of_files(
    store: Store, music: Path, files: tuple[Path, Path], now: datetime
) -> None:
    """What is on the network is refused, with the reason."""
    playlist = music / "list.xspf"
    playlist.write_text(XSPF.format(one=files[1].as_uri()))

    report = taking_in.add_list(store, playlist, "Ann", now)

    assert (report.added, len(report.refused)) == (1, 1)
    assert "no file of this computer" in report.refused[0].text


def test_what_playlists_know(store: Store, written: Written, now: datetime) -> None:
    """Without their files they are lists of recordings."""
    xspf = taking_in.add_known(store, written("a.xspf", XSPF.format(one="a.mp3")), "Ann", now)
    m3u = taking_in.add_known(
        store, written("a.m3u", "#EXTM3U\nMusic/Ann Oke/Quays/03 Flow.mp3\n"), "Ann", now
    )

    rows = store.rows(
        "SELECT r.title, a.name, r.length_s FROM recordings r JOIN artists a ON a.id = artist_id"
    )
    assert [tuple(row.values()) for row in rows] == [
        ("Tide", "Ada Sluice", 222.0), ("Ebb", "Unknown artist", None), ("Flow", "Ann Oke", None)
    ]  # fmt: skip
    assert (xspf.added, m3u.added, store.rows("SELECT id FROM holdings")) == (2, 1, [])


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("a.xspf", XSPF[:200]),
        ("a.xspf", '<!DOCTYPE x [<!ENTITY a "b">]><playlist xmlns="http://xspf.org/ns/0/"/>'),
        ("a.xspf", '<playlist xmlns="http://xspf.org/ns/0/"/>'),
        ("a.m3u", "#EXTM3U\n"),
        ("a.m3u", bytes(range(1, 9)) * 90),
        ("a.m3u", ""),
    ],
)
def test_what_is_no_playlist(
    store: Store, written: Written, now: datetime, name: str, content: str | bytes
) -> None:
    """One sentence, and nothing is stored."""
    for add in (taking_in.add_list, taking_in.add_known):
        with pytest.raises(UnreadableList, match=name):
            add(store, written(name, content), "Ann", now)
    assert store.rows("SELECT id FROM actions") == []
