"""A drive is unplugged, or another catalogue is in its place: told, and nothing is lost or made."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from catalogue import catalogue_rows, health, request_slips, roots, undo
from catalogue.errors import CatalogueError, ReadOnlyStore
from catalogue.store import Store

from .conftest import EVENING, Desk, Held


def _whole(store: Store) -> None:
    assert store.rows("PRAGMA integrity_check") == [{"integrity_check": "ok"}]
    assert store.rows("PRAGMA foreign_key_check") == []


def _text(answer: TestResponse) -> str:
    return answer.get_data(as_text=True)


def test_a_music_drive_that_is_unplugged_stops_no_call(
    app: Flask, store: Store, phone: Desk, studio: Desk, held: Held, tmp_path: Path
) -> None:
    """The desks go on, listening says that the file is not there, and the check says what to do;
    plugged in again it is as it was."""
    music = tmp_path / "music"
    music.mkdir()
    (music / "quay.flac").write_bytes(b"sound")
    roots.add(store, str(music), "Dora", EVENING)
    with undo.action(store, "Dora", "moved", EVENING):
        catalogue_rows.change_holding(store, held.copies["waltz"], path=str(music / "quay.flac"))
    music.rename(tmp_path / "away")
    answer = phone.send("/phone/heard", sheet="a", heard="quay street waltz")
    assert answer.status_code == 200 and "Quay Street Waltz" in _text(answer)
    sound = phone.get(f"/phone/listen/{held.copies['waltz']}")
    assert sound.status_code == 404 and "Traceback" not in _text(sound)
    assert phone.send("/phone/choose", sheet="a", recording_id=held.recordings["waltz"],
                      holding_id=held.copies["waltz"]).status_code == 200  # fmt: skip
    assert studio.get("/studio").status_code == 200
    found = health.look(store.path, store.path.parent / "sound_index", EVENING)
    said = [f.sentence for f in found if f.about == "folders"]
    assert "Plug the drive in" in said[0]
    (tmp_path / "away").rename(music)
    found = health.look(store.path, store.path.parent / "sound_index", EVENING)
    assert [f.well for f in found if f.about in ("folders", "index", "database")] == [True] * 3
    _whole(store)


def test_a_drive_that_is_unplugged_is_told_and_works_again_when_it_is_back(
    store: Store, tmp_path: Path
) -> None:
    """The folder is away at the start: nothing is made in its place."""
    folder, away = store.path.parent, tmp_path / "away"
    store.close()
    folder.rename(away)
    with pytest.raises(ReadOnlyStore, match="There is no folder"):
        Store(store.path)
    assert not folder.exists()
    away.rename(folder)
    again = Store(store.path)
    _whole(again)
    again.close()


def test_a_drive_that_is_unplugged_while_the_station_runs(
    app: Flask, store: Store, phone: Desk, tmp_path: Path
) -> None:
    """A desk that is new on its thread is told so; nothing is made in the place of the drive's
    folder, and when it is back the work goes on."""
    phone.send("/phone/details", sheet="a", caller_name="Maureen")
    headers = {"X-CSRFToken": phone.token(), "HX-Request": "true"}
    form = {"sheet": "b", "caller_name": "Doreen"}
    answers: list[TestResponse] = []

    def another_thread() -> None:
        answers.append(phone.client.post("/phone/details", data=form, headers=headers))

    def send() -> TestResponse:
        thread = threading.Thread(target=another_thread)
        thread.start()
        thread.join()
        return answers[-1]

    folder, away = store.path.parent, tmp_path / "away"
    folder.rename(away)
    for empty in (False, True):  # the folder of a drive stays there on some systems, empty
        if empty:
            folder.mkdir()
        answer = send()
        assert answer.status_code == 500
        assert "is not there. Nothing was changed. Plug it in" in " ".join(_text(answer).split())
    assert list(folder.iterdir()) == []
    folder.rmdir()
    away.rename(folder)
    assert send().status_code == 200
    assert [slip.id for slip in request_slips.open_slips(store)] == [1, 2]
    _whole(store)


def test_another_catalogue_in_its_place_is_not_written(
    store: Store, made: tuple[Path, Held], tmp_path: Path
) -> None:
    """As when somebody copies one there by hand while the station runs."""
    other = Store(tmp_path / "other.db")
    other.close()
    (tmp_path / "other.db").replace(store.path)
    told: list[str] = []

    def work() -> None:
        try:
            request_slips.start(store, "request", "Alice", EVENING)
        except CatalogueError as problem:
            told.append(problem.message)

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert len(told) == 1 and "Another catalogue lies at" in told[0]
