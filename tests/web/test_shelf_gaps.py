"""Wants and gaps: what was asked for, the list for a fair, a donor's list, what comes, the rest."""

from __future__ import annotations

import io
import re
from datetime import timedelta

import pytest

from catalogue import catalogue_rows as rows
from catalogue import missing_copies, places, request_slips, settings, undo, waiting, wants
from catalogue.records import Carrier, Condition, NewDisc, NewHolding, NewRecording
from catalogue.store import Store
from web import shelf_gaps

from .conftest import EVENING, Clock, Desk, Held


def _page(desk: Desk, path: str) -> str:
    return desk.get(f"/shelves/{path}").get_data(as_text=True)


def _want(phone: Desk, title: str = "The Long Jetty", artist: str = "Hector Pike") -> int:
    """Asked for on a slip of its own, whose caller is named."""
    phone.send("/phone/details", sheet=title, caller_name="Maureen Tolley", why="her knee")
    phone.send("/phone/want", sheet=title, title=title, artist=artist)
    return 1


def test_what_was_asked_for_is_on_the_list_until_somebody_takes_it_off(
    shelves: Desk, phone: Desk, store: Store
) -> None:
    _want(phone)
    page = _page(shelves, "gaps")
    assert "The Long Jetty" in page and "once" in page and "last asked for today" in page
    assert "Maureen" not in page and "knee" not in page
    assert waiting.of(store, [1]) == [1]
    shelves.send("/shelves/wants/close", want_ids="1", back="wants")
    assert "Nothing is on the list of wants." in _page(shelves, "wants")
    assert shelves.send("/shelves/wants/close", want_ids="1").status_code == 409
    assert shelves.send("/shelves/wants/close", want_ids="1;2").status_code == 400


def test_a_place_is_named_from_five_askings_on(
    shelves: Desk, phone: Desk, store: Store, clock: Clock
) -> None:
    place = places.all_places(store)[0]
    for number in range(5):
        assert f"{place.name} " not in _page(shelves, "gaps")
        at = clock() - timedelta(days=number)
        wants.add(store, "Sea Fret", "Ada Sluice", None, "Alice", at, place_id=place.id)
    assert f"{place.name} 5" in _page(shelves, "gaps")


def test_a_gap_of_slips_becomes_a_want_and_is_offered_when_it_comes(
    shelves: Desk, phone: Desk, store: Store, held: Held, clock: Clock
) -> None:
    """Asked for, known and not held: another went out in its place."""
    jetty = held.recordings["jetty"]
    slip = request_slips.start(store, "request", "Alice", clock())
    request_slips.choose(
        store, slip, held.recordings["waltz"], None, "Alice", clock(), stand_in_for=jetty
    )
    page = _page(shelves, "gaps")
    assert "Asked for, and not on the list yet" in page and "The Long Jetty" in page
    shelves.send("/shelves/wants/put", recording_id=jetty)
    assert "not on the list yet" not in _page(shelves, "gaps")
    assert "The Long Jetty" in _page(shelves, "wants/print")
    with undo.action(store, "Charlie", "it came", clock()):
        rows.add_holding(store, NewHolding(jetty, path="/music/jetty.flac"))
    page = _page(shelves, "wants")
    assert "These have come" in page and "Asked for once: today." in page
    assert f"On slip {slip}" in " ".join(page.split()), "a librarian may not open slips"
    assert "Nothing is on the list of wants." in page
    assert f'href="/phone/slips/{slip}"' in _page(phone, "wants")
    assert "The Long Jetty" not in _page(shelves, "wants/print")


def test_what_came_may_be_another_record(
    shelves: Desk, phone: Desk, store: Store, held: Held
) -> None:
    _want(phone, "Grey Heron Standing", "Ada Sluice")
    (address,) = re.findall(r'action="(/shelves/wants/1/is-not/\d+)"', _page(shelves, "gaps"))
    shelves.send(address, back="wants")
    page = _page(shelves, "wants")
    assert "These have come" not in page and "Grey Heron Standing" in page


def test_a_want_by_hand(shelves: Desk, store: Store) -> None:
    shelves.send("/shelves/wants/put", title="Sea Fret", artist="Ada Sluice", back="wants")
    assert "Sea Fret" in _page(shelves, "wants")
    assert shelves.send("/shelves/wants/put", title=" ", artist="").status_code == 400
    assert shelves.send("/shelves/wants/put", recording_id="999").status_code == 404


def test_a_long_list_has_pages(
    shelves: Desk, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shelf_gaps, "_ON_LIST", 2)
    for title in ("Alder", "Birch", "Cedar", "Damson", "Walnut"):
        wants.add(store, title, "Nobody Yet", None, "Alice", EVENING)
    seen, path = [], "wants"
    for _ in range(3):
        page = _page(shelves, path)
        seen += re.findall(r'class="title">(\w+)<', page)
        following = re.search(r'href="/shelves/([^"]+)" rel="next"', page)
        path = following.group(1) if following else ""
    assert sorted(seen) == ["Alder", "Birch", "Cedar", "Damson", "Walnut"] and not path
    assert "5 things, 5 to 5 shown." in page
    for odd in ("wants?from=99", "wants?from=x", "wants?from=-1"):
        assert 'class="title">' in _page(shelves, odd)
    assert all(title in _page(shelves, "wants/print") for title in seen)


@pytest.mark.parametrize("as_file", [False, True])
def test_a_donors_list_is_marked(
    shelves: Desk, phone: Desk, store: Store, held: Held, as_file: bool
) -> None:
    _want(phone)
    if as_file:
        table = b"Artist;Title\nHector Pike;The Long Jetty\nAda Sluice;Grey Heron Standing\nX;Y\n"
        data = {"list": (io.BytesIO(table), "gift.csv")}
    else:
        text = "Long Jetty, The - Hector Pike\nAda Sluice - Grey Heron Standing\nY, X"
        data = {"lines": text}
    answer = shelves.client.post(
        "/shelves/wants/donor", data=data, headers={"X-CSRFToken": shelves.token()}
    )
    page = answer.get_data(as_text=True)
    assert "3 lines: 1 wanted, 1 here already." in page
    assert re.search(r"wanted, once</strong></span><span class=\"what\"><strong>", page)
    assert wants.all_wants(store)[0].times == 1


@pytest.mark.parametrize("lines", ["", " \n "])
def test_an_empty_donors_list_says_so(shelves: Desk, lines: str) -> None:
    answer = shelves.send("/shelves/wants/donor", lines=lines)
    assert answer.status_code == 400 and "nothing on the list" in answer.get_data(as_text=True)


def test_a_file_that_is_no_list_is_told(shelves: Desk) -> None:
    answer = shelves.client.post(
        "/shelves/wants/donor",
        data={"list": (io.BytesIO(b"PK\x03\x04 broken"), "gift.xlsx")},
        headers={"X-CSRFToken": shelves.token()},
    )
    assert answer.status_code == 400
    assert "Traceback" not in answer.get_data(as_text=True)


def test_a_lost_copy_is_found_and_a_disc_mended(
    shelves: Desk, store: Store, held: Held, clock: Clock
) -> None:
    missing_copies.mark(store, held.copies["waltz"], "Bob", clock())
    with undo.action(store, "Charlie", "looked", clock()):
        rows.change_disc(store, held.discs["lp"], condition=Condition.DAMAGED)
    page = _page(shelves, "gaps/lost")
    assert "The file is gone." in page and "The disc is damaged. The only copy of 2." in page
    shelves.send(re.findall(r'action="(/shelves/gaps/found/\d+)"', page)[0])
    shelves.send(re.findall(r'action="(/shelves/gaps/mended/\d+)"', page)[0])
    assert "Nothing is gone" in _page(shelves, "gaps/lost")
    assert shelves.send("/shelves/gaps/found/999").status_code == 404
    assert shelves.send("/shelves/gaps/mended/999").status_code == 404


def test_a_disc_is_looked_for_on_the_shelf(
    shelves: Desk, store: Store, held: Held, clock: Clock
) -> None:
    """In vain: what only it has is wanted; then it turns up."""
    lp = held.discs["lp"]
    copy = store.rows("SELECT id FROM holdings WHERE disc_id = ?", (lp,))[0]["id"]
    missing_copies.mark(store, copy, "Bob", clock())
    assert f'href="/shelves/look#disc-{lp}"' in _page(shelves, "gaps/lost")
    assert "The only copy of 2." in _page(shelves, "look")
    shelves.send(f"/shelves/look/{lp}/not-there")
    page = _page(shelves, "look")
    assert "Looked for in vain" in page and "did not find it, today" in page
    wanted = _page(shelves, "wants")
    assert "Grey Heron Standing" in wanted and "These have come" not in wanted
    shelves.send(f"/shelves/look/{lp}/found")
    assert "There is nothing to look for." in _page(shelves, "look")
    assert "These have come" in _page(shelves, "wants")
    assert shelves.send("/shelves/look/999/found").status_code == 404


def test_tracks_that_are_not_in_the_list_are_looked_for(
    shelves: Desk, store: Store, held: Held, clock: Clock
) -> None:
    with undo.action(store, "Bob", "shelved", clock()):
        disc = rows.shelve_disc(store, NewDisc(Carrier.LP, "Q 7", title="Quay Songs"))
        for track in "134":
            number = rows.add_recording(store, NewRecording(f"Quay {track}", "Ann Oke"))
            rows.add_holding(store, NewHolding(number, disc_id=disc, side="2", track=track))
    assert "Look on the shelf" in _page(shelves, "gaps/albums")
    page = _page(shelves, "look")
    assert "Not in our list: side 2, track 2." in page
    address = re.findall(r'href="(/shelves/recordings/new[^"]*)"', page)
    assert any("mark=Q+7" in link and "carrier=LP" in link for link in address)
    form = _page(shelves, "recordings/new?mark=Q+7&carrier=LP&side=2")
    assert 'value="Q 7"' in form and '<option value="LP" selected>' in form
    shelves.send(f"/shelves/look/{disc}/all-listed")
    assert "There is nothing to look for." in _page(shelves, "look")
    assert "No album lacks a track." in _page(shelves, "gaps/albums")


def test_what_the_studio_cannot_play_is_wanted(
    shelves: Desk, store: Store, held: Held, clock: Clock
) -> None:
    settings.put(store, "carriers_played", "file\n45", "Dora", clock())
    page = _page(shelves, "gaps/carriers")
    assert "Grey Heron Standing" in page
    shelves.send("/shelves/wants/put", recording_id=held.recordings["heron"], back="carriers")
    page = _page(shelves, "wants")
    assert "Grey Heron Standing" in page and "These have come" not in page


def test_fields_that_are_not_known_lead_to_where_they_are_mended(
    shelves: Desk, store: Store, held: Held
) -> None:
    page = _page(shelves, "gaps/fields")
    assert page.index("Composer") < page.index("ISRC") < page.index("Kind of music")
    page = _page(shelves, "gaps/lacking/composer")
    assert f'href="/shelves/recordings/{held.recordings["lantern"]}"' in page


@pytest.mark.parametrize("name", ["albums", "more_asked", "lost", "carriers"])
def test_a_kind_of_gap_that_is_empty_says_so(shelves: Desk, name: str) -> None:
    answer = shelves.get(f"/shelves/gaps/{name}")
    assert answer.status_code == 200 and "<ol" not in answer.get_data(as_text=True)


@pytest.mark.parametrize("path", ["gaps/nowhere", "gaps/lacking/title", "gaps/lacking/x'"])
def test_there_are_no_other_lists(shelves: Desk, path: str) -> None:
    assert shelves.get(f"/shelves/{path}").status_code == 404


def test_a_searcher_may_look_but_not_change(phone: Desk, held: Held) -> None:
    _want(phone)
    assert "No longer wanted" not in _page(phone, "wants")
    for path in ("wants/put", "wants/close", "gaps/found/1", "gaps/mended/1", "wants/1/is-not/1"):
        assert phone.send(f"/shelves/{path}").status_code == 403
