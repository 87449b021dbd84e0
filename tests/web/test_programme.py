"""The programme's list, what is for later, what was played, and the figures, as pages."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from datetime import timedelta

import pytest

from catalogue import (
    callers,
    merging,
    places,
    play_log,
    programmes,
    request_slips,
    running_order,
    slip_days,
)
from catalogue.request_slips import SlipState
from catalogue.store import Store

from .conftest import EVENING, Clock, Desk, Held


@pytest.fixture
def show(store: Store) -> int:
    return programmes.add(
        store, "Evening Requests", "Bob", EVENING, EVENING + timedelta(hours=2), "Dora", EVENING
    )


def _slip(store: Store, held: Held, record: str = "lantern", **details: object) -> int:
    slip = request_slips.start(store, "request", "Alice", EVENING)
    callers.write(store, slip, details, "Alice", EVENING)
    request_slips.choose(
        store, slip, held.recordings[record], held.copies[record], "Alice", EVENING
    )
    request_slips.hand_over(store, slip, "Studio 1", "Alice", EVENING)
    return slip


def _text(desk: Desk, path: str) -> str:
    answer = desk.get(path)
    assert answer.status_code == 200, path
    return " ".join(answer.get_data(as_text=True).split())


def test_the_list_is_built_from_slips_and_by_hand(
    store: Store, held: Held, studio: Desk, show: int
) -> None:
    slip = _slip(store, held)
    page = _text(studio, f"/programmes/{show}?q=grey+hair+on+standing")
    assert f"asked for, slip {slip}" in page and "Grey Heron Standing" in page
    studio.send(f"/programmes/{show}/put-in", recording_id=held.recordings["heron"])
    page = _text(studio, f"/programmes/{show}")
    assert page.index("1. Grey Heron") < page.index("2. Lantern on the Quay")
    assert "lasts about 6 minutes. That leaves 1 hour 54 minutes to spare." in page
    studio.send(f"/programmes/{show}/move", line=f"s{slip}", way="up")
    page = _text(studio, f"/programmes/{show}")
    assert page.index("1. Lantern") < page.index("2. Grey Heron")
    studio.send(f"/programmes/{show}/take-back")
    page = _text(studio, f"/programmes/{show}")
    assert page.index("1. Grey Heron") < page.index("2. Lantern")
    assert "Maureen" not in page


def test_the_last_change_of_a_list_is_this_programmes(
    store: Store, held: Held, studio: Desk, show: int
) -> None:
    later = EVENING + timedelta(days=1)
    other = programmes.add(
        store, "Tomorrow", "Bob", later, later + timedelta(hours=2), "Dora", EVENING
    )
    studio.send(f"/programmes/{show}/put-in", recording_id=held.recordings["heron"])
    studio.send(f"/programmes/{show}/put-in", recording_id=held.recordings["waltz"])
    studio.send(f"/programmes/{other}/put-in", recording_id=held.recordings["lantern"])

    studio.send(f"/programmes/{show}/take-back")
    assert "Quay Street Waltz" not in _text(studio, f"/programmes/{show}")
    assert "Lantern on the Quay" in _text(studio, f"/programmes/{other}")
    studio.send(f"/programmes/{show}/take-back")
    assert "Grey Heron" not in _text(studio, f"/programmes/{show}")
    refused = studio.send(f"/programmes/{show}/take-back")
    assert "Nothing was changed in the list" in refused.get_data(as_text=True)
    assert "Lantern on the Quay" in _text(studio, f"/programmes/{other}")


def test_making_two_entries_one_is_no_change_of_the_list(
    store: Store, held: Held, studio: Desk, show: int
) -> None:
    studio.send(f"/programmes/{show}/put-in", recording_id=held.recordings["heron"])
    merging.merge(store, held.recordings["waltz"], held.recordings["heron"], "Charlie", EVENING)
    last = running_order.last_change(store, show)
    assert last is not None and last.what.endswith("into a programme")


def test_the_studio_follows_the_order_of_the_list(
    store: Store, held: Held, studio: Desk, show: int
) -> None:
    first, second = _slip(store, held), _slip(store, held, "waltz")
    studio.send(f"/programmes/{show}/move", line=f"s{second}", way="up")
    page = _text(studio, "/studio")
    assert page.index(f'id="slip-{second}"') < page.index(f'id="slip-{first}"')


def test_too_close_together_is_said(store: Store, held: Held, studio: Desk, show: int) -> None:
    _slip(store, held)
    _slip(store, held, "waltz")
    page = _text(studio, f"/programmes/{show}")
    assert "Marsha Herron comes already at number 1, 2 minutes before." in page


def test_a_line_that_went_meanwhile_is_said(studio: Desk, show: int) -> None:
    for path, more in (("move", {"way": "up"}), ("take-out", {}), ("played", {})):
        answer = studio.send(f"/programmes/{show}/{path}", line="i99", **more)
        assert answer.status_code == 409
        assert "not in the list any more" in answer.get_data(as_text=True)
    assert studio.send(f"/programmes/{show}/move", line="i99", way="sideways").status_code == 400
    assert studio.get("/programmes/99").status_code == 404


def test_discs_are_fetched_and_put_away(store: Store, held: Held, phone: Desk, show: int) -> None:
    _slip(store, held)
    assert "C 114" in _text(phone, f"/programmes/{show}/fetch")
    nothing = phone.send(f"/programmes/{show}/fetch")
    assert nothing.status_code == 400 and "Nothing is ticked" in nothing.get_data(as_text=True)
    phone.send(f"/programmes/{show}/fetch", disc=held.discs["lp"])
    assert "fetched" in _text(phone, f"/programmes/{show}/fetch")
    assert "C 114" in _text(phone, "/programmes/away")
    phone.send("/programmes/away", disc=held.discs["lp"])
    assert "Everything is home." in _text(phone, "/programmes/away")


def test_a_request_for_tomorrow_comes_up_tomorrow_and_is_not_dropped_after(
    store: Store, held: Held, sign_in: Callable[[str], Desk], clock: Clock
) -> None:
    studio = sign_in("Bob")
    slip = _slip(store, held, caller_name="Maureen")
    tomorrow = (EVENING + timedelta(days=1)).date()
    slip_days.ask_for(store, slip, "Alice", EVENING, on=tomorrow)
    assert f'id="slip-{slip}"' not in _text(studio, "/studio")
    assert "Maureen" in _text(studio, "/programmes/waiting")
    clock.on(days=1)
    studio = sign_in("Bob")  # sessions end overnight
    assert f'id="slip-{slip}"' in _text(studio, "/studio")
    clock.on(days=1)
    studio = sign_in("Bob")  # sessions end overnight
    assert "Left over from yesterday" in _text(studio, "/studio")
    version = request_slips.get(store, slip).version
    day = clock.at.date().isoformat()
    studio.send("/programmes/waiting/carry-over", slip=slip, version=version, day=day)
    assert "Carried over from" in _text(studio, "/studio")
    clock.on(days=1)
    studio = sign_in("Bob")  # sessions end overnight
    version = request_slips.get(store, slip).version
    studio.send("/programmes/waiting/not-used", slip=slip, version=version, why="gone home")
    assert request_slips.get(store, slip).state is SlipState.NOT_USED
    assert "Nothing is left over." in _text(studio, "/programmes/waiting")


def test_one_play_meets_all_who_asked_with_all_dedications(
    store: Store, held: Held, studio: Desk
) -> None:
    slips = [
        _slip(store, held, caller_name=name, for_whom=f"aunt of {name}", how_on_air=how)
        for name, how in (("Maureen", ""), ("Percy", "read out"), ("Olwen", "live"))
    ]
    page = _text(studio, "/studio")
    assert page.count('class="sheet card') == 2
    assert "aunt of Percy" in page and f"Also for, slip {slips[1]}" in page
    version = request_slips.get(store, slips[0]).version
    studio.send("/studio/played", slip=slips[0], version=version, also=slips[1], studio="Studio 1")
    states = [request_slips.get(store, slip).state for slip in slips]
    assert states == [SlipState.PLAYED, SlipState.PLAYED, SlipState.HANDED_OVER]
    assert len(store.rows("SELECT 1 FROM plays")) == 1
    assert f"for slips {slips[0]}, {slips[1]}" in _text(studio, "/played")


def test_what_was_played_is_added_corrected_and_struck_out(
    store: Store, held: Held, shelves: Desk, clock: Clock
) -> None:
    assert "Lantern on the Quay" in _text(shelves, "/played?q=lantern+on+the+key")
    day = EVENING.date().isoformat()
    wrong = shelves.send("/played/by-hand", recording_id=held.recordings["waltz"], day=day, time="")
    assert wrong.status_code == 400
    later = shelves.send(
        "/played/by-hand", recording_id=held.recordings["waltz"], day=day, time="23:00"
    )
    assert "still to come" in later.get_data(as_text=True)
    shelves.send("/played/by-hand", recording_id=held.recordings["waltz"], day=day, time="18:30",
                 heard="2:05", studio="Studio 1")  # fmt: skip
    (play,) = (row["id"] for row in store.rows("SELECT id FROM plays"))
    page = _text(shelves, f"/played/{play}?q=the+long+jetty")
    assert "2:05" in page and "The Long Jetty" in page
    seen = re.search(r'name="seen" value="(\d+)"', page)
    assert seen
    fields = {"day": day, "time": "18:31", "heard": "", "seen": seen[1]}
    shelves.send(f"/played/{play}", recording_id=held.recordings["jetty"], **fields)
    assert play_log.get(store, play).recording_id == held.recordings["jetty"]
    again = shelves.send(f"/played/{play}", **fields)
    assert again.status_code == 409 and "Charlie changed this" in again.get_data(as_text=True)
    assert "corrected play" in _text(shelves, f"/played/{play}")
    seen = re.search(r'name="seen" value="(\d+)"', _text(shelves, f"/played/{play}"))
    assert seen
    shelves.send(f"/played/{play}/strike", seen=seen[1])
    assert store.rows("SELECT 1 FROM plays") == []


def test_the_return_is_shown_and_saved(store: Store, held: Held, shelves: Desk) -> None:
    play_log.record(store, held.recordings["waltz"], None, "Studio 1", None, "Bob", EVENING)
    assert "Quay Street Waltz" in _text(shelves, "/played/return")
    answer = shelves.get("/played/return.csv?first=2024-05-01&last=2024-05-31")
    assert answer.mimetype == "text/csv"
    rows = list(csv.reader(io.StringIO(answer.get_data().decode("utf-8-sig"))))
    assert [row[4] for row in rows] == ["Title", "Quay Street Waltz"]
    bad = shelves.get("/played/return?first=2024-05-31&last=2024-05-01")
    assert bad.status_code == 400 and "before the first" in bad.get_data(as_text=True)
    assert shelves.get("/played/return.csv?first=yesterday").status_code == 400
    assert shelves.get("/played?day=2024-02-31").status_code == 400


def test_figures_hide_places_with_few(store: Store, held: Held, shelves: Desk) -> None:
    few = places.add(store, "The Few", "", True, "Dora", EVENING)
    for n in range(9):
        _slip(store, held, place_id=1 if n < 5 else few)
    page = _text(shelves, "/figures")
    by_place = page[page.index('id="by_place"') : page.index('id="by_decade"')]
    assert "Saltings House" in by_place and "The Few" not in by_place
    assert "Places not shown: 1." in by_place
    answer = shelves.get("/figures/csv?name=by_place")
    rows = list(csv.reader(io.StringIO(answer.get_data().decode("utf-8-sig"))))
    assert rows == [["By place", "callers"], ["Saltings House", "5"]]
    assert shelves.get("/figures/csv?name=nothing").status_code == 404
    assert shelves.get("/figures?first=2024-05-02&last=2024-05-01").status_code == 400


def test_erased_details_are_still_counted_by_place(store: Store, held: Held) -> None:
    from catalogue import figures

    def by_place() -> tuple[tuple[str, tuple[float, ...]], ...]:
        all_of = figures.all_of(store, EVENING.date(), EVENING.date())
        return next(f for f in all_of if f.name == "by_place").rows

    for _ in range(6):
        _slip(store, held, place_id=1)
    before = by_place()
    assert callers.erase_due(store, EVENING + timedelta(days=8)) == 6
    assert by_place() == before == (("Saltings House", (6.0,)),)
    assert callers.erase_due(store, EVENING + timedelta(days=9)) == 0
    assert by_place() == before


@pytest.mark.parametrize("path", ["/programmes", "/played", "/figures", "/programmes/waiting"])
def test_the_pages_speak_german(store: Store, sign_in: Callable[[str], Desk], path: str) -> None:
    from catalogue import settings

    settings.put(store, "language", "de", "Dora", EVENING)
    assert "Sendungen" in _text(sign_in("Dora"), path)
