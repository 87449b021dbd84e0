"""A record's other names and its history, on their pages."""

from __future__ import annotations

import pytest

from catalogue import catalogue_rows, lessons, loans, play_log, request_slips, undo
from catalogue.store import Store

from .conftest import EVENING, Clock, Desk, Held


def _heard(phone: Desk, words: str) -> str:
    return phone.send("/phone/heard", sheet="s", heard=words).get_data(as_text=True)


def _names(desk: Desk, recording: int) -> str:
    return desk.get(f"/shelves/recordings/{recording}/names").get_data(as_text=True)


@pytest.mark.parametrize(
    ("whose", "kind", "name"),
    [("artist", "singer of the band", "Zebedee Wroxham"), ("title", "refrain", "Bells of Zanzibar"),
     ("artist", "earlier name", "The Quaking Ptarmigans"), ("title", "nickname", "Old Zigzag")],
)  # fmt: skip
def test_another_name_is_found_by_the_next_request_until_it_is_out(
    shelves: Desk, phone: Desk, store: Store, held: Held, whose: str, kind: str, name: str
) -> None:
    jetty = held.recordings["jetty"]
    assert "The Long Jetty" not in _heard(phone, name)
    shelves.send(f"/shelves/recordings/{jetty}/names", whose=whose, kind=kind, name=f" {name} ")
    assert name in _names(shelves, jetty)
    assert name in shelves.get(f"/shelves/recordings/{jetty}").get_data(as_text=True)
    assert "The Long Jetty" in _heard(phone, name)

    number = store.rows("SELECT max(id) AS id FROM other_names")[0]["id"]
    shelves.send(f"/shelves/recordings/{jetty}/names/{number}", out="yes")
    assert "The Long Jetty" not in _heard(phone, name)
    undo.take_back(store, undo.recent_on(store, ["other_names"])[0].id, "Charlie", EVENING)
    assert "The Long Jetty" in _heard(phone, name)


def test_a_name_of_the_artist_is_that_of_all_their_records_and_is_corrected(
    shelves: Desk, store: Store, held: Held
) -> None:
    lantern, waltz = held.recordings["lantern"], held.recordings["waltz"]
    shelves.send(f"/shelves/recordings/{lantern}/names", whose="artist", kind="nickname",
                 name="The Gul")  # fmt: skip
    number = store.rows("SELECT id FROM other_names")[0]["id"]
    assert 'value="The Gul"' in _names(shelves, waltz)
    shelves.send(f"/shelves/recordings/{waltz}/names/{number}", kind="earlier name",
                 name="The Gull")  # fmt: skip
    assert store.rows("SELECT kind, name FROM other_names") == [
        {"kind": "earlier name", "name": "The Gull"}
    ]
    assert 'value="The Gull"' not in _names(shelves, held.recordings["jetty"])


@pytest.mark.parametrize(
    ("form", "words"),
    [({"name": " "}, "must not be blank"), ({"kind": "refrain", "whose": "artist"}, "what kind"),
     ({"kind": "hearing"}, "what kind"), ({"name": "x" * 121}, "120 letters"),
     ({"name": "the LONG jetty"}, "a name of it already")],
)  # fmt: skip
def test_what_is_no_name_is_refused(
    shelves: Desk, store: Store, held: Held, form: dict[str, str], words: str
) -> None:
    jetty = held.recordings["jetty"]
    sent = {"whose": "title", "kind": "nickname", "name": "Old Jetty", **form}
    answer = shelves.send(f"/shelves/recordings/{jetty}/names", **sent)
    assert answer.status_code == 400
    assert words in answer.get_data(as_text=True)
    assert store.rows("SELECT 1 FROM other_names") == []


def test_hearings_stand_apart_and_another_records_name_is_left_alone(
    shelves: Desk, store: Store, held: Held
) -> None:
    jetty, heron = held.recordings["jetty"], held.recordings["heron"]
    assert lessons.learn(store, "the wrong jetty", jetty, "Alice", EVENING)
    page = _names(shelves, jetty)
    assert "the wrong jetty" in page
    assert 'value="the wrong jetty"' not in page
    number = store.rows("SELECT id FROM other_names")[0]["id"]
    for recording in (jetty, heron):
        answer = shelves.send(f"/shelves/recordings/{recording}/names/{number}", out="yes")
        assert answer.status_code == 404
    assert len(store.rows("SELECT 1 FROM other_names")) == 1


def test_only_who_may_edit_changes_names(phone: Desk, held: Held) -> None:
    address = f"/shelves/recordings/{held.recordings['jetty']}/names"
    assert "<form" not in phone.get(address).get_data(as_text=True).split("<main", 1)[1]
    sent = phone.send(address, whose="title", kind="nickname", name="Old Jetty")
    assert sent.status_code == 403


def test_the_history_tells_before_and_after_and_takes_one_back(
    shelves: Desk, store: Store, held: Held, clock: Clock
) -> None:
    lantern = held.recordings["lantern"]
    address = f"/shelves/recordings/{lantern}/history"
    with undo.action(store, "Charlie", "corrected the year", clock()):
        catalogue_rows.change_recording(store, lantern, year=1963, length_s=200.0)
        catalogue_rows.change_disc(store, held.discs["lp"], condition="worn")
    loans.lend(store, held.discs["lp"], "the van", None, "Charlie", clock())
    play_log.record(store, lantern, None, "Studio 1", None, "Bob", clock())

    page = shelves.get(address).get_data(as_text=True)
    assert "Corrected the year" in page
    for before, after in (("1962", "1963"), ("2:52", "3:20"), ("not looked at", "worn, but plays")):
        assert f'<span class="before">{before}</span>' in page
        assert f'<span class="after">{after}</span>' in page
    assert "the van" in page
    assert "Studio 1" in page
    assert "Year of first release" in page

    number = next(a.id for a in undo.recent(store) if a.what == "corrected the year")
    assert f"/shelves/actions/{number}/take-back" in page
    answer = shelves.send(f"/shelves/actions/{number}/take-back", recording=lantern)
    assert answer.headers["HX-Redirect"] == address
    assert catalogue_rows.recording(store, lantern).year == 1962
    assert f"/shelves/actions/{number}/take-back" not in shelves.get(address).get_data(as_text=True)


def test_what_later_work_stands_on_is_said(shelves: Desk, store: Store, held: Held) -> None:
    jetty = held.recordings["jetty"]
    for year in (1960, 1961):
        with undo.action(store, "Charlie", f"made it {year}", EVENING):
            catalogue_rows.change_recording(store, jetty, year=year)
    page = shelves.get(f"/shelves/recordings/{jetty}/history").get_data(as_text=True)
    assert "because of later work" in page
    assert page.count("take-back") == 2  # the form of the last one: its action and its htmx


def test_stand_ins_are_told_without_a_caller(
    shelves: Desk, store: Store, held: Held, clock: Clock
) -> None:
    lantern, waltz = held.recordings["lantern"], held.recordings["waltz"]
    slip = request_slips.start(store, "request", "Alice", clock())
    request_slips.choose(store, slip, waltz, None, "Alice", clock(), stand_in_for=lantern)
    request_slips.hand_over(store, slip, "Studio 1", "Alice", clock())
    request_slips.played(store, slip, "Bob", clock())
    of_waltz = shelves.get(f"/shelves/recordings/{waltz}/history").get_data(as_text=True)
    of_lantern = shelves.get(f"/shelves/recordings/{lantern}/history").get_data(as_text=True)
    assert "in place of Lantern on the Quay" in of_waltz
    assert "Quay Street Waltz · Marsha Herron" in of_lantern


def test_a_long_history_goes_on_page_by_page(shelves: Desk, store: Store, held: Held) -> None:
    jetty = held.recordings["jetty"]
    for year in range(1900, 1935):
        with undo.action(store, "Charlie", f"made it {year}", EVENING):
            catalogue_rows.change_recording(store, jetty, year=year)
    first = shelves.get(f"/shelves/recordings/{jetty}/history").get_data(as_text=True)
    older = first.split("history?before=", 1)[1].split('"', 1)[0]
    second = shelves.get(f"/shelves/recordings/{jetty}/history?before={older}").get_data(
        as_text=True
    )
    assert "Made it 1934" in first and "Made it 1904" not in first
    assert "Made it 1904" in second and "Made it 1934" not in second


def test_the_label_of_a_disc_is_a_step_away(shelves: Desk, held: Held) -> None:
    page = shelves.get(f"/shelves/recordings/{held.recordings['lantern']}").get_data(as_text=True)
    assert "/shelves/labels?mark=C+114" in page
