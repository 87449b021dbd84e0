"""A recording's page shows what the file or the list said, beside what was made of it."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import soundfile
from mutagen.flac import FLAC

from catalogue import desks, measures, roots
from catalogue.measures import Measure, Unmeasured
from catalogue.store import Store
from importers import taking_in

from .conftest import EVENING, Desk


def _file(folder: Path, name: str, **tags: str) -> Path:
    folder.mkdir(exist_ok=True)
    path = folder / name
    sound = 0.1 * np.sin(np.arange(8_000) * len(name) / 9)
    soundfile.write(path, sound, 8_000)
    audio = FLAC(path)
    audio.update(tags)
    audio.save()
    return path


def _page(desk: Desk, store: Store, title: str) -> str:
    (row,) = store.rows("SELECT id FROM recordings WHERE title = ?", (title,))
    return desk.get(f"/shelves/recordings/{row['id']}").get_data(as_text=True).replace("<wbr>", "")


def _line(page: str, field: str) -> list[str]:
    """The cells of a field: as it came, as it was read, from where."""
    (row,) = re.findall(rf'<th scope="row">{field}</th>(.*?)</tr>', page, re.DOTALL)
    return [re.sub(r"<[^>]+>", "", cell).strip() for cell in row.split("</td>")[:3]]


def test_tags_are_shown_untouched_beside_what_they_were_read_as(
    shelves: Desk, store: Store, tmp_path: Path
) -> None:
    _file(tmp_path / "music", "a.flac", title="Ebb Tide (Live)", artist="Sluice, Ada",
          date="1961", bpm="fast", replaygain_track_gain="-6,48 dB")  # fmt: skip
    taking_in.add_files(store, tmp_path / "music", "Charlie", EVENING)
    page = _page(shelves, store, "Ebb Tide")

    assert _line(page, "Artist") == ["Sluice, Ada", "Ada Sluice", "the tag artist; not certain"]
    assert _line(page, "Title")[:2] == ["Ebb Tide (Live)", "Ebb Tide"]
    assert _line(page, "Year of first release")[2] == "the tag date; perhaps the pressing’s"
    assert _line(page, "Beats a minute")[:2] == ["fast", "left out"]
    assert "<dt>replaygain_track_gain</dt><dd>-6,48 dB</dd>" in page
    assert "<dt>replaygain_track_gain, as a number</dt><dd>-6.48 dB</dd>" in page


def test_what_was_guessed_from_the_path_is_marked(
    shelves: Desk, store: Store, tmp_path: Path
) -> None:
    _file(tmp_path / "music", "Una Fell - Low Mist.flac")
    taking_in.add_files(store, tmp_path / "music", "Charlie", EVENING)
    page = _page(shelves, store, "Low Mist")

    assert _line(page, "Artist") == ["nothing said", "Una Fell", "guessed from the path"]
    assert _line(page, "Title")[2] == "guessed from the path"


def test_a_row_is_shown_under_its_own_headings_and_what_is_different_now(
    shelves: Desk, store: Store, tmp_path: Path
) -> None:
    path = tmp_path / "shelf.csv"
    path.write_text("Mark;Carrier;Interpret;Song;Donor\nC 1;CD;Ann Oke;Flood;Mr Reed\n")
    taking_in.add_list(store, path, "Charlie", EVENING)
    (row,) = store.rows("SELECT id FROM recordings WHERE title = 'Flood'")
    shelves.send(f"/shelves/recordings/{row['id']}", title="The Flood", artist="Ann Oke")
    page = _page(shelves, store, "The Flood")

    assert _line(page, "Artist") == ["Ann Oke", "Ann Oke", "the column Interpret"]
    assert _line(page, "Title")[1] == "Flood now: The Flood"
    assert "<dt>Donor</dt><dd>Mr Reed</dd>" in page


def test_what_was_measured_stands_beside_what_people_wrote(
    shelves: Desk, store: Store, tmp_path: Path
) -> None:
    """The tempo that the tag said stays; the measured one is told with its second reading."""
    _file(tmp_path / "music", "a.flac", title="Ebb Tide", artist="Ada Sluice", bpm="96")
    taking_in.add_files(store, tmp_path / "music", "Charlie", EVENING)
    (held,) = store.rows("SELECT id, recording_id, path, audio FROM holdings WHERE audio <> ''")
    found = [
        Measure("tempo", "93.0", 186.0, 0.6, "beats heard"),
        Measure("loudness", "-23.0", how="ITU-R BS.1770"),
    ]
    file = Unmeasured(held["id"], held["recording_id"], held["path"], held["audio"])
    measures.keep(store, file, found, "", EVENING)
    page = _page(shelves, store, "Ebb Tide")

    assert 'name="tempo" value="96"' in page
    assert "Tempo 93 beats a minute, or 186 if counted otherwise (beats heard)." in page
    assert "Loudness -23.0 LUFS (ITU-R BS.1770)." in page


def test_a_files_place_is_shown_as_this_desk_sees_it_and_can_be_copied(
    shelves: Desk, store: Store, tmp_path: Path
) -> None:
    music = tmp_path / "music"
    _file(music, "a.flac", title="Ebb Tide", artist="Ada Sluice")
    taking_in.add_files(store, music, "Charlie", EVENING)
    desks.set_up(store, "token", "Shelf room", False, "Charlie", EVENING)
    roots.see_as(store, str(music), "Shelf room", "M:\\Music", "Dora", EVENING)
    shelves.client.set_cookie("asheard_desk", "token")
    page = _page(shelves, store, "Ebb Tide")

    assert ">M:\\Music\\a.flac</code>" in page
    assert 'data-copies="path-1"' in page
