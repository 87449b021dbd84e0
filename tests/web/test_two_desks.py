"""Two desks on one slip, and two librarians on one record, through their pages: the second is told.

In any order of looking and doing; a model beside the pages says what each has seen. What was
refused has changed nothing.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue import callers, request_slips, undo
from catalogue.catalogue_rows import recording
from catalogue.store import Store
from web import create_app
from web.opening import opened

from .conftest import PASSPHRASE, Clock, Desk, Held

who = st.sampled_from(["one", "other"])


@dataclass
class Place:
    """A station of its own, with two desks at which the keeper sits."""

    store: Store
    desks: dict[str, Desk]
    held: Held
    shown: dict[str, str] = field(default_factory=dict)


@pytest.fixture(scope="module")
def places(
    made: tuple[Path, Held], tmp_path_factory: pytest.TempPathFactory
) -> Callable[[], Place]:
    """One station after another is not needed: each example takes a slip or a record of its own."""
    folder = tmp_path_factory.mktemp("two") / "station"
    shutil.copytree(made[0], folder)
    context = _station(folder, made[1])
    place = context.__enter__()
    yield lambda: place  # type: ignore[misc]
    context.__exit__(None, None, None)


@contextmanager
def _station(folder: Path, held: Held) -> Iterator[Place]:
    with opened(folder) as station:
        station.store.db.execute("PRAGMA synchronous = OFF")  # no power fails in this test
        app = create_app(station.store, station.index, Clock(), {"SECRET_KEY": "only for tests"})
        desks = {}
        for name in ("one", "other"):
            desks[name] = Desk(app.test_client())
            desks[name].send("/sign-in", page=True, name="Dora", passphrase=PASSPHRASE)
        yield Place(station.store, desks, held)


def _record_shown(desk: Desk, slip: int) -> str:
    page = desk.get(f"/phone/slips/{slip}").get_data(as_text=True)
    found = re.search(r'name="seen_record" value="(\d*)"', page)
    assert found
    return found[1]


slip_moves = st.lists(
    st.tuples(who, st.sampled_from(["look", "unchoose", "lantern", "waltz", "heron"])), max_size=8
)


@given(slip_moves)
@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_no_record_is_put_in_place_of_one_that_was_not_seen(
    places: Callable[[], Place], moves: list[tuple[str, str]]
) -> None:
    place = places()
    slip = request_slips.start(place.store, "request", "Alice", Clock()())
    shown = {name: _record_shown(desk, slip) for name, desk in place.desks.items()}
    for name, move in moves:
        desk, there = place.desks[name], request_slips.get(place.store, slip).recording_id
        if move == "look":
            shown[name] = _record_shown(desk, slip)
            continue
        form: dict[str, object] = {"slip": slip, "seen_record": shown[name]}
        if move == "unchoose":
            wanted = None
            answer = desk.send("/phone/unchoose", **form)
        else:
            wanted = place.held.recordings[move]
            answer = desk.send("/phone/choose", recording_id=wanted,
                               holding_id=place.held.copies[move], **form)  # fmt: skip
        page = answer.get_data(as_text=True)
        now_there = request_slips.get(place.store, slip).recording_id
        if shown[name] == str(there or "") or (there is not None and there == wanted):
            assert (answer.status_code, now_there) == (200, wanted)
        else:
            assert (answer.status_code, now_there) == (409, there)
            assert "Somebody else changed the record" in page
        found = re.search(r'name="seen_record" value="(\d*)"', page)
        assert found and found[1] == str(now_there or "")  # what is there is shown at once
        shown[name] = found[1]


def test_a_slip_is_not_handed_over_with_a_record_that_was_not_seen(
    places: Callable[[], Place],
) -> None:
    place = places()
    one, other = place.desks["one"], place.desks["other"]
    slip = request_slips.start(place.store, "request", "Alice", Clock()())
    for name, key in (("one", "lantern"), ("other", "waltz")):
        answer = place.desks[name].send(
            "/phone/choose", slip=slip, recording_id=place.held.recordings[key],
            holding_id=place.held.copies[key],
        )  # fmt: skip
        assert answer.status_code == 200
    form: dict[str, object] = {"slip": slip, "studio": "Studio 1", "all_the_same": "caller"}
    seen = place.held.recordings["lantern"]
    refused = one.send("/phone/hand-over", seen_record=seen, **form)
    assert refused.status_code == 409
    assert request_slips.get(place.store, slip).state == "being written"
    seen = place.held.recordings["waltz"]
    assert other.send("/phone/hand-over", seen_record=seen, **form).status_code == 200


corrections = st.lists(
    st.tuples(who, st.one_of(st.none(), st.sampled_from(["1961", "1962", "1963"]))), max_size=8
)


@given(corrections)
@settings(max_examples=15, deadline=None)
def test_no_correction_is_written_over_one_that_was_not_seen(
    places: Callable[[], Place], moves: list[tuple[str, str | None]]
) -> None:
    place = places()
    song = place.held.recordings["jetty"]
    seen = dict.fromkeys(place.desks, undo.row_number(place.store, "recordings", song))
    for name, year in moves:
        number = undo.row_number(place.store, "recordings", song)
        if year is None:
            seen[name] = number
            continue
        before = recording(place.store, song)
        answer = place.desks[name].send(
            f"/shelves/recordings/{song}", seen=seen[name], title="The Long Jetty",
            artist="Hector Pike", year=year,
        )  # fmt: skip
        if before.year == int(year):  # it says what is there: nothing could be overwritten
            assert (answer.status_code, recording(place.store, song)) == (200, before)
        elif seen[name] == number:
            assert answer.status_code == 200
            assert recording(place.store, song).year == int(year)
            seen[name] = undo.row_number(place.store, "recordings", song)
        else:
            assert answer.status_code == 409
            assert "Nothing was overwritten" in " ".join(answer.get_data(as_text=True).split())
            assert recording(place.store, song) == before


def test_what_another_desk_heard_is_not_overwritten(store: Store, phone: Desk) -> None:
    phone.send("/phone/heard", sheet="a sheet", heard="lantern", asked="1")
    (slip,) = request_slips.open_slips(store)
    theirs = {"heard": "lantern on the key", "seen_heard": "lantern", "seen_heard_artist": ""}
    assert phone.send("/phone/heard", slip=slip.id, **theirs).headers["X-Heard-Kept"] == "yes"
    mine = {"heard": "lanterns", "seen_heard": "lantern", "seen_heard_artist": ""}
    told = phone.send("/phone/heard", slip=slip.id, **mine)
    assert told.headers["X-Heard-Kept"] == "no"
    assert "Another desk wrote “lantern on the key”" in told.get_data(as_text=True)
    details = callers.of(store, slip.id)
    assert details is not None and details.heard == "lantern on the key"
    mine["seen_heard"] = "lantern on the key"
    kept = phone.send("/phone/heard", slip=slip.id, **mine)
    assert kept.headers["X-Heard-Kept"] == "yes" and "Another desk" not in kept.text
    details = callers.of(store, slip.id)
    assert details is not None and details.heard == "lanterns"
