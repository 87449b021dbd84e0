"""Taking in from the shelves' pages: a list and its columns, a folder, what came of it."""

from __future__ import annotations

import io
import re
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import soundfile
from werkzeug.test import TestResponse

from catalogue.store import Store
from importers import jobs, one_at_a_time
from web import given_lists

from .conftest import EVENING, Desk

ODD = (
    "Regal-Zahl;Ding;Wer;Was;Jahrgang\nX 1;CD;Ada Sluice;Tide Table;1961\n"
    "X 2;CD;Ann Oke;;1958\nX 3;LP;Una Fell;Mist on the Bar;1970\n"
)
SAID = ("shelf_mark", "carrier", "artist", "title", "year")


def give(desk: Desk, text: str | bytes, name: str = "odd.csv", kind: str = "list") -> TestResponse:
    """Give a list as the page does; returns the answer."""
    data = text if isinstance(text, bytes) else text.encode()
    return desk.client.post(
        "/shelves/taking-in/lists",
        data={"list": (io.BytesIO(data), name), "kind": kind, "csrf_token": desk.token()},
        headers={"HX-Request": "true"},
    )


def address(answer: TestResponse) -> str:
    """Where an answer sends the browser."""
    assert answer.status_code == 200, answer.get_data(as_text=True)
    return answer.headers["HX-Redirect"].replace("http://localhost", "")


def done(desk: Desk, answer: TestResponse) -> str:
    """The page of a job when it is done."""
    path = address(answer)
    for _ in range(600):
        page = desk.get(path).get_data(as_text=True).replace("<wbr>", "")
        if "<progress" not in page:
            return page
        time.sleep(0.05)
    raise AssertionError("the job is not done after half a minute")


def columns(said: tuple[str, ...], headed: bool = True) -> dict[str, str]:
    """The form of the columns, filled in."""
    form = {f"column-0-{i}": field for i, field in enumerate(said, 1)}
    return {**form, "kind": "list", **({"headed-0": "yes"} if headed else {})}


def test_a_list_is_given_corrected_and_taken_in(shelves: Desk, store: Store) -> None:
    where = address(give(shelves, ODD))
    page = shelves.get(where).get_data(as_text=True)

    assert "Tide Table" in page and "Jahrgang" in page
    assert store.rows("SELECT 1 FROM artists WHERE name = 'Una Fell'") == []
    for number in range(1, 6):
        assert f'<label for="c-0-{number}">' in page and f'<select id="c-0-{number}"' in page
    report = done(shelves, shelves.send(where.split("?")[0], **columns(SAID)))
    assert "odd.csv row 3" in report and "It has no title" in report
    assert len(store.rows("SELECT 1 FROM artists WHERE name = 'Una Fell'")) == 1
    # The next list of that making is understood by itself.
    again = shelves.get(address(give(shelves, ODD))).get_data(as_text=True)
    assert "as somebody said" in again


def test_rows_come_back_are_mended_given_again_and_all_is_taken_back(
    shelves: Desk, store: Store
) -> None:
    where = address(give(shelves, ODD)).split("?")[0]
    done(shelves, shelves.send(where, **columns(SAID)))
    rows = shelves.get("/shelves/taking-in/1/to-mend.csv")

    assert rows.headers["Content-Disposition"].startswith("attachment")
    text = rows.get_data().decode("utf-8-sig")
    assert "It has no title" in text
    mended = text.replace("Ann Oke,,", "Ann Oke,Low Water,")
    where = address(give(shelves, mended, "mended.csv")).split("?")[0]
    done(shelves, shelves.send(where, **columns((*SAID, ""))))
    assert len(store.rows("SELECT 1 FROM recordings WHERE title = 'Low Water'")) == 1
    shelves.send("/shelves/taking-in/1/take-back")
    assert store.rows("SELECT 1 FROM recordings WHERE title = 'Tide Table'") == []
    assert "taken back" in shelves.get("/shelves/taking-in").get_data(as_text=True)


def test_what_somebody_worked_on_since_is_named_and_nothing_is_taken_back(
    shelves: Desk, store: Store
) -> None:
    where = address(give(shelves, ODD)).split("?")[0]
    done(shelves, shelves.send(where, **columns(SAID)))
    (row,) = store.rows("SELECT id FROM recordings WHERE title = 'Tide Table'")
    shelves.send(f"/shelves/recordings/{row['id']}", title="Tide Tables", artist="Ada Sluice")
    page = shelves.get("/shelves/taking-in/1").get_data(as_text=True)

    assert "Charlie" in page and f"/shelves/recordings/{row['id']}" in page
    assert "Tide Tables" in page
    refused = shelves.send("/shelves/taking-in/1/take-back")
    assert refused.status_code == 409
    assert len(store.rows("SELECT 1 FROM recordings WHERE title = 'Tide Tables'")) == 1


def test_columns_that_cannot_be_are_refused_before_anything_is_stored(
    shelves: Desk, store: Store
) -> None:
    where = address(give(shelves, ODD)).split("?")[0]

    for said, why in (
        (("shelf_mark", "", "", "", ""), "title"),
        (("", "", "", "", ""), "title"),
        (("", "carrier", "artist", "title", ""), "shelf mark"),
        (("title", "title", "shelf_mark", "", ""), "Two columns"),
        (("shelf_mark", "title", "nonsense", "", ""), ""),
    ):
        refused = shelves.send(where, **columns(said))
        assert refused.status_code == 400
        assert why in refused.get_data(as_text=True)
    assert jobs.latest(store, 5) == []


@pytest.mark.parametrize(
    ("data", "name", "why"),
    [
        (b"", "empty.csv", "empty"),
        (b"%PDF-1.4 a letter", "letter.csv", "looks like a PDF"),
        (b"PK\x03\x04 and no more", "a.xlsx", "no sheet that can be read"),
        (bytes(range(256)) * 9, "noise.csv", "no list"),
    ],
)
def test_what_is_no_list_is_refused_and_not_kept(
    shelves: Desk, store: Store, data: bytes, name: str, why: str
) -> None:
    refused = give(shelves, data, name)

    assert refused.status_code == 400
    assert why in refused.get_data(as_text=True)
    assert list((store.path.parent / "given_lists").glob("*/*")) == []


def test_a_list_that_is_too_large_is_refused(
    shelves: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(given_lists, "LARGEST_BYTES", 10_000)

    assert give(shelves, "x;y\n" * 5_000).status_code == 413
    assert shelves.send("/shelves/taking-in/lists", kind="list").status_code == 400


@pytest.mark.parametrize("token", ["..", "0" * 16, "x", "%2e%2e%2f%2e%2e"])
def test_only_lists_that_were_given_are_found(shelves: Desk, token: str) -> None:
    assert shelves.get(f"/shelves/taking-in/lists/{token}").status_code == 404


def test_a_folder_is_taken_in_and_seen_after_the_page_is_loaded_anew(
    shelves: Desk, store: Store, tmp_path: Path
) -> None:
    music = tmp_path / "music"
    music.mkdir()
    (music / "Ebb.mp3").write_text("a text")
    page = done(shelves, shelves.send("/shelves/taking-in/folders", path=str(music)))

    assert "Files from music" in page and "Ebb.mp3" in page and "not audio" in page
    assert "Files from music" in shelves.get("/shelves/taking-in").get_data(as_text=True)
    csv = shelves.get("/shelves/taking-in/1/report.csv").get_data().decode("utf-8-sig")
    assert "refused,Ebb.mp3" in csv


@pytest.mark.parametrize("path", ["", "music", "/nowhere/at/all"])
def test_a_folder_that_is_none_is_a_sentence(shelves: Desk, store: Store, path: str) -> None:
    refused = shelves.send("/shelves/taking-in/folders", path=path)

    assert refused.status_code == 400
    assert jobs.latest(store, 5) == []


def test_one_at_a_time_stopped_and_gone_on_with(shelves: Desk, store: Store) -> None:
    """Another program is at it: it is shown with its progress, and another is refused."""
    job_id = jobs.ask(store, "measure", "", {}, "Dora", EVENING)
    with one_at_a_time.alone(store.path.parent):
        assert "<progress" in shelves.get("/shelves/taking-in").get_data(as_text=True)
        refused = shelves.send("/shelves/taking-in/folders", path=str(store.path.parent))
        assert refused.status_code == 400
        assert "already" in refused.get_data(as_text=True)
        shelves.send(f"/shelves/taking-in/{job_id}/stop")
        assert jobs.get(store, job_id).wish == "stop"
    page = shelves.get(f"/shelves/taking-in/{job_id}").get_data(as_text=True)
    assert "Broken off" in page and "Go on with it" in page
    assert "<progress" not in page


def test_what_needs_a_look_is_a_list_to_be_worked_through(shelves: Desk, store: Store) -> None:
    where = address(give(shelves, ODD.replace("1970", "19x"))).split("?")[0]
    done(shelves, shelves.send(where, **columns(SAID)))
    page = shelves.get("/shelves/needs-a-look").get_data(as_text=True)

    assert "Mist on the Bar" in page and "“19x” is no year; left out." in page
    (number,) = re.findall(r'action="/shelves/needs-a-look/(\d+)"', page)
    shelves.send(f"/shelves/needs-a-look/{number}")
    assert "Mist on the Bar" not in shelves.get("/shelves/needs-a-look").get_data(as_text=True)
    assert shelves.send("/shelves/needs-a-look/999999").status_code == 404


def test_a_searcher_takes_nothing_in(sign_in: Callable[[str], Desk]) -> None:
    assert give(sign_in("Alice"), ODD).status_code == 403


def test_files_are_measured_beside_the_desks(shelves: Desk, store: Store, tmp_path: Path) -> None:
    """Clicks at 90 a minute fill the blank tempo, and the page shows what was measured."""
    music = tmp_path / "music"
    music.mkdir()
    sound = np.zeros(22_050 * 8)
    sound[:: 22_050 * 2 // 3] = 0.9
    soundfile.write(music / "Una Fell - Click.flac", sound, 22_050)
    done(shelves, shelves.send("/shelves/taking-in/folders", path=str(music)))
    page = done(shelves, shelves.send("/shelves/taking-in/measuring"))

    assert "<dt>blank tempos filled</dt><dd>1</dd>" in page
    (row,) = store.rows("SELECT id, tempo FROM recordings WHERE title = 'Click'")
    assert row["tempo"] == pytest.approx(90, rel=0.04)
    shown = shelves.get(f"/shelves/recordings/{row['id']}").get_data(as_text=True)
    assert "Measured from the sound" in shown and "LUFS" in shown
