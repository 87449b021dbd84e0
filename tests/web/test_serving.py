"""Serving a station: over the wire, and what happens beside it every so often."""

from __future__ import annotations

import socket
import time
import urllib.request
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from catalogue import backup, callers, catalogue_rows, request_slips, undo
from catalogue.errors import CopyProblem, StationProblem, StoreBusy
from catalogue.records import NewRecording
from catalogue.store import Store
from web import serving as module
from web.opening import OpenStation, opened
from web.serving import local_time, serving

NOW = datetime(2026, 11, 25, 19, 30)


@pytest.fixture
def station(tmp_path: Path) -> Iterator[OpenStation]:
    with opened(tmp_path, make=True) as open_station:
        yield open_station


def _wait_for(what: Callable[[], bool]) -> bool:
    """Whether it comes true within five seconds."""
    until = time.monotonic() + 5
    while time.monotonic() < until:
        if what():
            return True
        time.sleep(0.02)
    return False


def _begin_slip(store: Store, at: datetime) -> int:
    slip = request_slips.start(store, "request", "Nell", at)
    callers.write(store, slip, {"caller_name": "Wilhelmina"}, "Nell", at)
    return slip


def test_a_station_answers_at_its_address_until_it_is_stopped(station: OpenStation) -> None:
    """A port of its own choice for port 0; afterwards the port is free again."""
    with serving(station, "127.0.0.1", 0, lambda: NOW) as address:
        with urllib.request.urlopen(f"{address}/sign-in", timeout=5) as page:
            assert page.status == 200
            assert "Content-Security-Policy" in page.headers
    port = int(address.rsplit(":", 1)[1])
    with socket.socket() as caller:
        assert caller.connect_ex(("127.0.0.1", port)) != 0


def test_a_port_in_use_is_refused(station: OpenStation) -> None:
    """By another program, and by a station that runs already."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(StationProblem, match="in use.*--port"):
            with serving(station, "127.0.0.1", taken.getsockname()[1], lambda: NOW):
                pass


@pytest.mark.parametrize("host", ["203.0.113.7", "no such host", "x" * 300, "::zz"])
def test_an_address_that_is_not_this_pcs_is_refused(station: OpenStation, host: str) -> None:
    """203.0.113.0/24 is kept for documentation (RFC 5737), so it is nobody's; the others are no
    addresses at all."""
    with pytest.raises(StationProblem, match="Nothing can be served.*--host"):
        with serving(station, host, 18037, lambda: NOW):
            pass


def test_callers_details_that_are_due_are_erased_before_the_start(station: OpenStation) -> None:
    """The PC may have been off when they fell due."""
    slip = _begin_slip(station.store, NOW - timedelta(days=90))
    with serving(station, "127.0.0.1", 0, lambda: NOW):
        assert callers.of(station.store, slip) is None


def test_details_that_fall_due_later_are_erased_while_it_runs(
    station: OpenStation, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The clock moves on by three months."""
    monkeypatch.setattr(module, "ERASE_EVERY_S", 0.05)
    slip = _begin_slip(station.store, NOW)
    clock = [NOW]
    with serving(station, "127.0.0.1", 0, lambda: clock[0]):
        assert callers.of(station.store, slip) is not None
        clock[0] = NOW + timedelta(days=90)
        assert _wait_for(lambda: callers.of(station.store, slip) is None)


def test_a_copy_is_made_by_itself_each_day(
    station: OpenStation, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Soon after the start, and again when the day has changed; weekly and monthly ones too."""
    monkeypatch.setattr(module, "FIRST_COPY_S", 0.02)
    monkeypatch.setattr(module, "COPY_EVERY_S", 0.05)
    folder = backup.folder_of(station.store.path)
    clock = [NOW]

    def names() -> set[str]:
        return {copy.path.stem for copy in backup.all_copies(folder)}

    with serving(station, "127.0.0.1", 0, lambda: clock[0]):
        first = {"daily-2026-11-25", "weekly-2026-11-25", "monthly-2026-11-25"}
        assert _wait_for(lambda: names() == first)
        clock[0] = NOW + timedelta(days=1)
        assert _wait_for(lambda: names() == first | {"daily-2026-11-26"})


def test_a_copy_that_fails_stops_nothing_and_is_told(
    station: OpenStation, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """A full drive: the desks go on, and the copy is made once there is room."""
    monkeypatch.setattr(module, "FIRST_COPY_S", 0.02)
    monkeypatch.setattr(module, "COPY_EVERY_S", 0.05)
    room = [False]
    keep_up = backup.keep_up

    def no_room(store: Store, now: datetime) -> list[Path]:
        if not room[0]:
            raise CopyProblem("There is no room for a copy.")
        return keep_up(store, now)

    monkeypatch.setattr(module.backup, "keep_up", no_room)
    with serving(station, "127.0.0.1", 0, lambda: NOW) as address:
        assert _wait_for(lambda: "no room for a copy" in caplog.text)
        with urllib.request.urlopen(f"{address}/live/alive", timeout=5) as page:
            assert page.status == 200
        room[0] = True
        assert _wait_for(lambda: len(backup.all_copies(station.folder / "copies")) == 3)


def test_copies_are_cleaned_before_the_start(station: OpenStation) -> None:
    """The PC may have been off when the details in them fell due."""
    _begin_slip(station.store, NOW - timedelta(days=8))
    path = backup.make(station.store, backup.Kind.DAILY, NOW - timedelta(days=8))
    assert b"Wilhelmina" in path.read_bytes()
    with serving(station, "127.0.0.1", 0, lambda: NOW):
        assert b"Wilhelmina" not in path.read_bytes()


@pytest.mark.parametrize("problem", [StoreBusy("The catalogue is busy."), ValueError("odd")])
def test_erasing_goes_on_after_it_went_wrong_once(
    station: OpenStation, monkeypatch: pytest.MonkeyPatch, problem: Exception,
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """Whatever it was: a thread that died silently would keep callers' details for ever."""
    monkeypatch.setattr(module, "ERASE_EVERY_S", 0.05)
    calls: list[datetime] = []

    def erase(store: Store, now: datetime) -> int:
        calls.append(now)
        if len(calls) == 2:
            raise problem
        return 0

    monkeypatch.setattr(module.forgetting, "erase_due", erase)
    with serving(station, "127.0.0.1", 0, lambda: NOW):
        assert _wait_for(lambda: len(calls) > 3)
    assert str(problem) in caplog.text


def test_what_a_command_takes_in_beside_it_is_filed_by_itself(
    station: OpenStation, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without any search, through a store of its own."""
    monkeypatch.setattr(module, "CATCH_UP_EVERY_S", 0.05)
    with serving(station, "127.0.0.1", 0, lambda: NOW):
        beside = Store(station.store.path)
        with undo.action(beside, "Dilys", "added one", NOW):
            catalogue_rows.add_recording(beside, NewRecording("My Lantern", "Ann Oke"))
        beside.close()
        assert _wait_for(lambda: len(station.index) == 1)


def test_the_clock_is_this_pcs_to_the_second() -> None:
    """Local time without a zone, as a programme is announced."""
    now = local_time()

    assert (now.tzinfo, now.microsecond) == (None, 0)
    assert abs(datetime.now() - now) < timedelta(seconds=5)
