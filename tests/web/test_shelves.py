"""The shelves: looking through, correcting with a way back, adding, judging."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from catalogue import catalogue_rows, loans, undo
from catalogue.store import Store

from .conftest import Desk, Held


def _form(store: Store, recording_id: int, **changes: str) -> dict[str, str]:
    """The recording's form as its page sends it, with some fields changed."""
    r = catalogue_rows.recording(store, recording_id)
    form = {
        "title": r.title,
        "artist": r.artist,
        "year": str(r.year or ""),
        "tempo": f"{r.tempo:g}" if r.tempo else "",
        "length_s": "2:52",
        "voice": r.voice,
    }
    return {**form, **changes}


def test_the_list_shows_what_is_there_and_where(shelves: Desk, held: Held) -> None:
    page = shelves.get("/shelves?q=quay").get_data(as_text=True)
    assert "3 recordings" in page
    assert "C 114" in page
    assert "on loan to the north studio" in page
    assert "Hector Pike" not in page


@pytest.mark.parametrize("q", ["'", "%", "_", "\x00", "x" * 500, "🎵", "SELECT 1;--"])
@pytest.mark.parametrize("order", ["title", "artist", "mark"])
def test_odd_words_find_nothing_and_say_so(shelves: Desk, q: str, order: str) -> None:
    answer = shelves.client.get("/shelves", query_string={"q": q, "order": order})
    assert answer.status_code == 200


@pytest.mark.parametrize("scanned", ["c114", "LP C 114", "C-114"])
def test_a_mark_that_is_scanned_into_the_box_finds_its_disc(shelves: Desk, scanned: str) -> None:
    answer = shelves.client.get("/shelves", query_string={"q": scanned})
    page = answer.get_data(as_text=True)
    assert "2 recordings" in page
    assert "Grey Heron Standing" in page
    assert 'value="mark" checked' in page
    assert 'value="C 114"' in page


def test_an_unknown_order_is_refused(shelves: Desk) -> None:
    assert shelves.get("/shelves?order=price").status_code == 400


def test_a_correction_is_kept_and_can_be_taken_back(
    shelves: Desk, store: Store, held: Held
) -> None:
    number = held.recordings["lantern"]
    path = f"/shelves/recordings/{number}"
    done = shelves.send(path, **_form(store, number, title="Lantern by the Quay", year="1961"))
    assert done.headers["HX-Redirect"] == path
    changed = catalogue_rows.recording(store, number)
    assert (changed.title, changed.year, changed.tempo) == ("Lantern by the Quay", 1961, 96)
    assert "Charlie: corrected title, year of first release" in shelves.get(path).get_data(
        as_text=True
    )

    action = undo.recent(store, 1)[0]
    shelves.send(f"/shelves/actions/{action.id}/take-back", page=True)
    assert catalogue_rows.recording(store, number).title == "Lantern on the Quay"


@pytest.mark.parametrize(
    ("field", "value"),
    [("title", " "), ("year", "196"), ("year", "soon"), ("tempo", "fast"), ("tempo", "9000"),
     ("length_s", "3:99"), ("length_s", "long")],
)  # fmt: skip
def test_a_wrong_value_changes_nothing_and_says_what_to_write(
    shelves: Desk, store: Store, held: Held, field: str, value: str
) -> None:
    number = held.recordings["lantern"]
    before = catalogue_rows.recording(store, number)
    answer = shelves.send(f"/shelves/recordings/{number}", **_form(store, number, **{field: value}))
    assert answer.status_code == 400
    assert 'class="problem"' in answer.get_data(as_text=True)
    assert catalogue_rows.recording(store, number) == before


def test_a_recording_is_added_with_its_copy(shelves: Desk, store: Store) -> None:
    answer = shelves.send("/shelves/recordings/new", title="Tide Tables", artist="Ada Sluice",
                          carrier="LP", shelf_mark="F 7", side="1", track="4")  # fmt: skip
    number = int(answer.headers["HX-Redirect"].rsplit("/", 1)[1])
    copy = catalogue_rows.holdings_of(store, [number])[number][0]
    assert (copy.shelf_mark, copy.side, copy.track) == ("F 7", "1", "4")


def test_a_wrong_copy_leaves_no_half_added_recording(shelves: Desk, store: Store) -> None:
    before = store.rows("SELECT count(*) AS n FROM recordings")
    answer = shelves.send("/shelves/recordings/new", title="Tide Tables", artist="Ada Sluice",
                          shelf_mark="F 7", path="music/tide.flac", carrier="LP")  # fmt: skip
    assert answer.status_code == 400
    assert store.rows("SELECT count(*) AS n FROM recordings") == before


def test_a_file_is_filed_once(shelves: Desk, held: Held) -> None:
    path = f"/shelves/recordings/{held.recordings['jetty']}/copies"
    assert shelves.send(path, path="music/long_jetty.flac").status_code == 200
    again = shelves.send(path, path="music/long_jetty.flac")
    assert again.status_code == 400
    assert "in the catalogue already" in again.get_data(as_text=True)


def test_a_disc_goes_out_and_comes_home(shelves: Desk, store: Store, held: Held) -> None:
    disc = held.discs["lp"]
    assert shelves.send(f"/shelves/discs/{disc}/lend", lent_to=" ").status_code == 400
    shelves.send(f"/shelves/discs/{disc}/lend", lent_to="Walter", recording=1)
    assert loans.out(store, [disc])[disc].lent_to == "Walter"
    shelves.send(f"/shelves/discs/{disc}/bring-back", page=True, recording=1)
    assert loans.out(store, [disc]) == {}


def test_a_searcher_may_look_but_not_change(phone: Desk, held: Held) -> None:
    page = phone.get("/shelves/recordings/1").get_data(as_text=True)
    assert "Keep the corrections" not in page
    assert "Add a copy" not in page
    assert phone.send("/shelves/recordings/1", title="x").status_code == 403


def test_the_second_of_two_librarians_is_told(
    shelves: Desk, sign_in: Callable[[str], Desk], held: Held, store: Store
) -> None:
    """Both have the page open; nothing of the first correction is overwritten by the second."""
    number = held.recordings["lantern"]
    address = f"/shelves/recordings/{number}"
    other = sign_in("Dora")
    forms = [{**_form(store, number), "seen": _seen(desk, address)} for desk in (shelves, other)]

    done = shelves.send(address, **{**forms[0], "year": "1961"})
    told = other.send(address, **{**forms[1], "genre": "ballad"})

    assert (done.status_code, told.status_code) == (200, 409)
    assert "Charlie changed this meanwhile" in told.get_data(as_text=True)
    kept = catalogue_rows.recording(store, number)
    assert (kept.year, kept.genre) == (1961, "")
    form = {**_form(store, number), "genre": "ballad", "seen": _seen(other, address)}
    assert other.send(address, **form).status_code == 200
    kept = catalogue_rows.recording(store, number)
    assert (kept.year, kept.genre) == (1961, "ballad")


def _seen(desk: Desk, address: str) -> str:
    found = re.search(r'name="seen" value="(\d+)"', desk.get(address).get_data(as_text=True))
    assert found
    return found[1]
