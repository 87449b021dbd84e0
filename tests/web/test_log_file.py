"""The log tells what went wrong, and nothing of anybody."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import callers, request_slips
from catalogue.errors import BadInput
from web import log_file
from web.log_file import Discreet
from web.opening import OpenStation, opened

NOW = datetime(2026, 11, 25, 19, 30)
DETAILS = {
    "caller_name": "Wilhelmina Fennimore", "for_whom": "Great-aunt Perpetua",
    "ring_back": "01632 960 123", "why": "a golden wedding", "heard": "Zylophone Serenade",
    "place_detail": "by the conservatory",
}  # fmt: skip
SECRETS = ("Wilhelmina", "wilhelmina", "Fennimore", "Perpetua", "960", "wedding", "Zylophone",
           "conservatory")  # fmt: skip


@pytest.fixture
def station(tmp_path: Path) -> Iterator[OpenStation]:
    with opened(tmp_path, make=True) as open_station:
        slip = request_slips.start(open_station.store, "request", "Nell", NOW)
        callers.write(open_station.store, slip, DETAILS, "Nell", NOW)
        yield open_station


def _logged(station: OpenStation) -> str:
    return "".join(p.read_text() for p in (station.folder / "logs").iterdir())


def test_details_on_a_slip_are_in_no_line(station: OpenStation) -> None:
    """However they get into a message: as it is, in an argument, an error, a traceback."""
    log = logging.getLogger("web.something")
    with log_file.kept(station):
        log.warning("Wilhelmina Fennimore called")
        log.warning("%s called from %s", "WILHELMINA", "the conservatory")
        log.error("odd: %s", ValueError("Wilhelmina's golden wedding"))
        log.error("odd: %s", BadInput("“Zylophone Serenade” is not a number."))
        log.info("asked /phone?heard=Zylophone+Serenade for 01632-960-123")
        log.warning({"name": "Perpetua"})
        log.warning("a line\nwilhelmina")
        try:
            raise RuntimeError("Great-aunt Perpetua")
        except RuntimeError:
            log.exception("it broke for Wilhelmina")
    text = _logged(station)

    assert [word for word in SECRETS if word in text] == []
    assert "Traceback" not in text
    assert "[RuntimeError]" in text and "ValueError" in text and "is not a number" in text
    assert len(text.splitlines()) == 10


@pytest.mark.parametrize(
    ("line", "left"),
    [
        ("The port 8037 is in use.", "The port 8037 is in use."),
        ("“My Lantern” was taken in", "… was taken in"),
        ("it's the index's fault", "it's the index's fault"),
        ("key 'Dot' is missing", "key … is missing"),
        ("ring +44 1632 960123 now", "ring … now"),
        ("from dot.marsh@example.org", "from …"),
        ("GET /shelves?q=dot+marsh HTTP/1.1", "GET /shelves… HTTP/1.1"),
        ("The copy daily-2026-11-25.db was made.", "The copy daily-2026-11-25.db was made."),
    ],
)
def test_what_looks_like_somebodys_is_taken_out(line: str, left: str) -> None:
    """Though it is on no slip."""
    assert Discreet(list).discreet(line) == left


def test_a_message_that_does_not_fit_its_words_is_written_without_them() -> None:
    """A mistake of ours must not stop the log."""
    record = logging.LogRecord("web", 30, "x", 1, "two %s here", ("Perpetua", "wedding"), None)
    assert Discreet(list).format(record).endswith("web two %s here")


def test_the_home_folder_is_not_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It bears the name of whoever uses the PC."""
    monkeypatch.setenv("HOME", "/home/annsmith")
    monkeypatch.setenv("USERPROFILE", "/home/annsmith")
    assert Discreet(list).discreet("/home/annsmith/x is full") == "~/x is full"


def test_other_handlers_get_the_record_as_it_was(
    station: OpenStation, caplog: pytest.LogCaptureFixture
) -> None:
    with log_file.kept(station):
        logging.getLogger("web").warning("about %s", "“this”")
    assert "“this”" in caplog.text


def test_files_are_turned_over(station: OpenStation, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three older ones are kept."""
    monkeypatch.setattr(log_file, "_BYTES", 500)
    with log_file.kept(station):
        for number in range(100):
            logging.getLogger("web").warning("line %d", number)
    assert sorted(p.name for p in (station.folder / "logs").iterdir()) == [
        "asheard.log", "asheard.log.1", "asheard.log.2", "asheard.log.3",
    ]  # fmt: skip
    assert all(p.stat().st_size < 700 for p in (station.folder / "logs").iterdir())


def test_a_log_that_cannot_be_written_stops_nothing(
    station: OpenStation, caplog: pytest.LogCaptureFixture
) -> None:
    (station.folder / "logs").write_text("a file is in the way")
    with log_file.kept(station) as path:
        assert path is None
    assert "No log is kept" in caplog.text


def test_a_broken_store_stops_no_line(station: OpenStation) -> None:
    """The words on slips cannot be read then; the line is written all the same."""
    with log_file.kept(station):
        station.store.close()
        station.store.path.write_bytes(b"\xa5" * 5000)
        logging.getLogger("web").warning("The drive does not answer.")
    assert "The drive does not answer." in _logged(station)
