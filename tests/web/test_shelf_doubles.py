"""The librarian's pages about doubles: found, looked at, judged once, undone whole."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from catalogue import catalogue_rows as rows
from catalogue import duplicate_search, duplicates, play_log, search_runs, undo
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store
from web import pair_view, searching

from .conftest import Clock, Desk, Held


@pytest.fixture
def two(store: Store, held: Held, clock: Clock) -> tuple[int, int]:
    """ "Lantern on the Quay" once more, with a slip of the pen, on a file and played once."""
    with undo.action(store, "Charlie", "took in one more", clock()):
        other = rows.add_recording(
            store,
            NewRecording(
                "Lantern on the Qauy", "Marsha Herron", year=1962, length_s=173, genre="pop"
            ),
        )
        copy = rows.add_holding(store, NewHolding(other, path="/nowhere/lantern.flac"))
    play_log.record(store, other, copy, "", None, "Bob", clock())
    return held.recordings["lantern"], other


def _address(two: tuple[int, int]) -> str:
    return f"/shelves/duplicates/{two[0]}/{two[1]}"


def _form(desk: Desk, address: str) -> dict[str, str]:
    """The form of a pair as its page sends it, with nothing changed by hand."""
    page = desk.get(address).get_data(as_text=True)
    form = dict(re.findall(r'type="hidden" name="(said_at|seen_[ab])" value="([^"]*)"', page))
    form |= dict(re.findall(r'type="radio" name="(\w+)" value="(\w+)" checked', page))
    return form


def test_a_pair_is_on_the_list_by_its_kind(shelves: Desk, two: tuple[int, int]) -> None:
    page = shelves.get("/shelves/duplicates").get_data(as_text=True)
    assert "One pair is left to judge." in page
    assert "One record under two spellings" in page
    assert page.count(_address(two)) == 2  # on the list, and as the first to begin with


def test_the_two_are_side_by_side_with_what_differs_and_why(
    shelves: Desk, two: tuple[int, int]
) -> None:
    assert "no search has found" in shelves.get(_address(two)).get_data(as_text=True)
    shelves.get("/shelves/duplicates")
    page = shelves.get(_address(two)).get_data(as_text=True)
    assert re.search(r'Q<strong class="differing">\w</strong>', page)
    assert "They last equally long, 2:52 and 2:53." in page
    assert "The titles are nearly the same" in page
    assert "C 114" in page and "lantern.flac" in page
    listen = re.search(r'src="(/shelves/duplicates/listen/\d+)"', page)
    assert listen and "Listen to Lantern on the Qauy" in page
    assert shelves.get(listen[1]).status_code == 404  # the drive is not there, and it says so


def test_made_one_field_by_field_and_undone_whole(
    shelves: Desk, store: Store, two: tuple[int, int]
) -> None:
    kept, gone = two
    address = _address(two)
    form = _form(shelves, address)
    assert form["stays"] == "b" and form["keep_genre"] == "b"  # that entry says more
    form |= {"stays": "a", "keep_title": "a", "keep_length_s": "b"}
    before = rows.recordings(store, two)
    done = shelves.send(address, **form, verdict="one")
    assert done.headers["HX-Redirect"] == "/shelves/duplicates"
    stays = rows.recording(store, kept)
    assert (stays.title, stays.length_s, stays.genre) == ("Lantern on the Quay", 173.0, "pop")
    assert play_log.times_played(store, [kept]) == {kept: 1}
    assert shelves.get(address).status_code == 404
    page = shelves.get("/shelves/duplicates/judged").get_data(as_text=True)
    assert "Made one" in page and "Lantern on the Qauy" in page and "Charlie" in page
    (undo_at,) = re.findall(r'action="(/shelves/duplicates/judged/\d+/undo)"', page)
    shelves.send(undo_at)
    assert rows.recordings(store, two) == before
    assert play_log.times_played(store, [gone]) == {gone: 1}
    assert "Nothing was judged yet." in shelves.get("/shelves/duplicates/judged").get_data(
        as_text=True
    )
    assert "One pair is left" in shelves.get("/shelves/duplicates").get_data(as_text=True)


@pytest.mark.parametrize("verdict", ["different", "cannot tell", "same"])
def test_a_pair_is_asked_about_once_and_can_be_judged_again(
    shelves: Desk, store: Store, two: tuple[int, int], verdict: str
) -> None:
    address = _address(two)
    shelves.send(address, **_form(shelves, address), verdict=verdict)
    assert "Nothing is left to judge." in shelves.get("/shelves/duplicates").get_data(as_text=True)
    assert "says Charlie" in shelves.get(address).get_data(as_text=True)
    shelves.send(address, **_form(shelves, address), verdict="different")
    said = duplicates.judgement(store, *two)
    assert said is not None and said.verdict == "different"


def test_the_second_of_two_who_judge_is_told(
    shelves: Desk, sign_in: Callable[[str], Desk], store: Store, two: tuple[int, int]
) -> None:
    address = _address(two)
    forms = [_form(desk, address) for desk in (shelves, sign_in("Dora"))]
    assert shelves.send(address, **forms[0], verdict="different").status_code == 200
    told = sign_in("Dora").send(address, **forms[1], verdict="one")
    assert told.status_code == 409
    assert "Somebody judged these two meanwhile" in told.get_data(as_text=True)
    assert set(rows.recordings(store, two)) == set(two)


def test_a_record_corrected_meanwhile_is_not_merged_unseen(
    shelves: Desk, store: Store, clock: Clock, two: tuple[int, int]
) -> None:
    address = _address(two)
    form = _form(shelves, address)
    with undo.action(store, "Dora", "corrected it", clock()):
        rows.change_recording(store, two[1], year=1971)
    told = shelves.send(address, **form, verdict="one")
    assert told.status_code == 409 and "Dora changed this meanwhile" in told.get_data(as_text=True)
    assert duplicates.judgement(store, *two) is None


@pytest.mark.parametrize(
    ("path", "status"),
    [("1/1", 400), ("1/999", 404), ("discs/1/1", 400), ("discs/1/999", 404),
     ("together?one=1&other=x", 400), ("together?one=1&other=1", 400), ("together", 400),
     ("together?one=1&other=999", 404), ("together?one=1&other=2", 303), ("listen/999", 404)],
)  # fmt: skip
def test_odd_addresses(shelves: Desk, path: str, status: int) -> None:
    assert shelves.get(f"/shelves/duplicates/{path}").status_code == status


@pytest.mark.parametrize(
    "form", [{"verdict": "maybe"}, {"verdict": ""}, {"verdict": "one", "stays": "c"}]
)
def test_odd_forms_change_nothing(
    shelves: Desk, store: Store, two: tuple[int, int], form: dict[str, str]
) -> None:
    answer = shelves.send(_address(two), **{**_form(shelves, _address(two)), **form})
    assert answer.status_code == 400
    assert duplicates.judgement(store, *two) is None
    assert set(rows.recordings(store, two)) == set(two)


def test_nothing_can_be_undone_that_judged_nothing(shelves: Desk, store: Store) -> None:
    action = undo.recent(store)[0].id
    assert shelves.send(f"/shelves/duplicates/judged/{action}/undo").status_code == 404


def test_a_searcher_may_look_but_not_judge(phone: Desk, two: tuple[int, int]) -> None:
    page = phone.get(_address(two)).get_data(as_text=True)
    assert "make them one" not in page
    assert phone.send(_address(two), verdict="different").status_code == 403


def test_discs_entered_twice_are_made_one_with_their_records(
    shelves: Desk, store: Store, clock: Clock
) -> None:
    with undo.action(store, "Charlie", "shelved", clock()):
        discs = [rows.shelve_disc(store, NewDisc(Carrier.LP, mark)) for mark in ("D 1", "D 2")]
        for disc, titles in zip(
            discs, (("Eel Pie", "Fen Song"), ("Eel Pei", "Fen Sogn")), strict=True
        ):
            for track, title in enumerate(titles, 1):
                number = rows.add_recording(store, NewRecording(title, "Cy Reed", length_s=100))
                rows.add_holding(
                    store, NewHolding(number, disc_id=disc, side="1", track=str(track))
                )
    assert "D 1 · LP D 2" in shelves.get("/shelves/duplicates").get_data(as_text=True)
    address = f"/shelves/duplicates/discs/{discs[0]}/{discs[1]}"
    page = shelves.get(address).get_data(as_text=True)
    too = re.findall(r'name="too" value="([\d-]+)" checked', page)
    assert len(too) == 2
    shelves.send(address, verdict="one", said_at="", stays=str(discs[0]), too=too)
    titles = [
        r["title"]
        for r in store.rows(
            "SELECT title FROM recordings r JOIN artists a ON a.id = r.artist_id "
            "WHERE a.name = 'Cy Reed'"
        )
    ]
    assert titles == ["Eel Pie", "Fen Song"]
    page = shelves.get("/shelves/duplicates/judged").get_data(as_text=True)
    newest = re.findall(r'action="(/shelves/duplicates/judged/\d+/undo)"', page)[0]
    shelves.send(newest)
    assert len(store.rows("SELECT id FROM discs WHERE shelf_mark LIKE 'D %'")) == 2


def test_a_search_goes_on_in_the_background_and_is_told(
    shelves: Desk, store: Store, clock: Clock, two: tuple[int, int]
) -> None:
    searching.start(store, "Charlie", clock, again=True).join(timeout=60)
    run = search_runs.latest(store)
    assert run is not None and run.ended_at is not None and run.problem == ""
    assert duplicate_search.uncompared(store) == 0
    assert shelves.get("/shelves/duplicates/search").headers["HX-Refresh"] == "true"
    page = shelves.get("/shelves/duplicates").get_data(as_text=True)
    assert "Every recording has been compared." in page and "begun by Charlie" in page


def test_the_page_of_a_search_asks_for_changes(shelves: Desk, store: Store, clock: Clock) -> None:
    run = search_runs.begin(store, "Charlie", clock())
    assert "Getting ready" in shelves.get("/shelves/duplicates").get_data(as_text=True)
    assert shelves.get("/shelves/duplicates/search?done=0&total=0").status_code == 204
    search_runs.note(store, run, 25, 100)
    told = shelves.get("/shelves/duplicates/search?done=0&total=0").get_data(as_text=True)
    assert "25 in a hundred done" in told
    second = shelves.send("/shelves/duplicates/search")
    assert second.status_code == 409 and "goes on already" in second.get_data(as_text=True)
    search_runs.break_off(store, clock())
    assert "It was broken off." in shelves.get("/shelves/duplicates").get_data(as_text=True)


def test_names_that_are_another_altogether_are_marked_whole() -> None:
    assert pair_view._marked("Tide", "Lamp") == ((("Tide", True),), (("Lamp", True),))
    assert pair_view._marked("Tide", "Tied") == (
        (("Ti", False), ("d", False), ("e", True)),
        (("Ti", False), ("e", True), ("d", False)),
    )
