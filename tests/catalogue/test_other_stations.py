"""Asking a union that may be slow, wrong, huge or made to mislead."""

from __future__ import annotations

import socket
import time
from collections.abc import Iterator
from typing import Any

import pytest

from catalogue import other_stations
from catalogue.addresses import checked_address
from catalogue.errors import BadInput
from catalogue.heard import Heard
from catalogue.other_stations import NoAnswer, Union, ask
from tests.web.union_stubs import TOKEN, Stub, answer, held, stub

WORDS = Heard("chandlers daughter albie cruttenden")


@pytest.fixture
def union() -> Iterator[Stub]:
    with stub() as told:
        yield told


def _asked(union: Stub, **more: Any) -> other_stations.Others:
    return ask(Union(union.address, TOKEN, **more), WORDS, seconds=2.0)


def test_the_words_and_the_token_are_sent_and_nothing_else(union: Stub) -> None:
    """Neither where the station is nor what it is called leaves it."""
    _asked(union, here=(51.8, 1.1), own_name="Saltmarsh Radio")

    assert union.asked == [{"heard": WORDS.text, "title": "", "artist": ""}]
    assert union.tokens == [f"Bearer {TOKEN}"]
    assert union.paths == ["/ask"]


def test_the_nearest_station_that_lends_comes_first(union: Stub) -> None:
    """By the great circle; one that says nothing of where it is comes behind."""
    (match,) = _asked(union, here=(51.8, 1.1)).matches

    assert [one.station for one in match.holders] == [
        "Quay Radio", "Radio Sallow", "Lighthouse Sound",
    ]  # fmt: skip
    assert match.holders[0].km == pytest.approx(13.1, abs=0.2)
    assert match.holders[2].km is None
    assert match.held_by == 3


def test_a_station_is_not_told_of_itself(union: Stub) -> None:
    """Its own copies, if it publishes, are none that others could lend it."""
    (match,) = _asked(union, own_name="Quay Radio").matches

    assert [one.station for one in match.holders] == ["Radio Sallow", "Lighthouse Sound"]
    assert match.held_by == 2


@pytest.mark.parametrize(
    "body",
    [b"", b"<html>", b"[]", b"null", b"{}", b'{"format": 2}', b"[" * 100_000, b"\xff\xfe",
     b'{"format": 1e999}', b"9" * 5_000],
)  # fmt: skip
def test_nonsense_is_no_answer(union: Stub, body: bytes) -> None:
    """One sentence, whatever came."""
    union.body = body

    with pytest.raises(NoAnswer):
        _asked(union)


@pytest.mark.parametrize(
    "more",
    [
        {"matches": None}, {"matches": {"a": 1}}, {"matches": [1, "x", None, [], {}]},
        {"matches": [held("A", "B", held_at="x")]}, {"matches": [held("A", "B", held_at=[1, {}])]},
        {"matches": [held("", "B")]}, {"missing": 3}, {"missing": {"recordings": "x"}},
        {"recordings": -1, "stations": 10**30}, {"stand_ins": "none"},
    ],
)  # fmt: skip
def test_wrong_kinds_of_values_are_left_out(union: Stub, more: dict[str, Any]) -> None:
    """What can be believed of the rest is."""
    union.says(answer(**more))

    told = _asked(union)

    assert all(one.title and one.holders for one in (*told.matches, *told.stand_ins))
    assert 0 <= told.missing <= 1
    assert 0 <= told.stations < 10**9


def test_no_value_is_longer_or_stranger_than_a_page_can_show(union: Stub) -> None:
    """Signs that turn the text beside them round are taken out, and there are only so many rows."""
    row = held("x" * 5_000, "a\u202eb\x00c\n d", year=10**12, held_by=True)
    row["held_at"] = [row["held_at"][0] | {"latitude": 1e400, "longitude": 500.0}] * 30
    union.says(answer(matches=[row] * 5))

    told = _asked(union, here=(51.8, 1.1))

    assert len(told.matches) == 3
    assert (len(told.matches[0].title), told.matches[0].artist) == (200, "abc d")
    assert told.matches[0].year is None
    assert len(told.matches[0].holders) == 20
    assert told.matches[0].holders[0].km is None


def test_a_huge_answer_is_not_read_to_its_end(union: Stub) -> None:
    """Some hundred thousand bytes, and no more."""
    union.body = b" " * 50_000_000

    with pytest.raises(NoAnswer):
        _asked(union)


def test_an_answer_that_drips_is_cut_off_in_time(union: Stub) -> None:
    """Each byte comes soon enough, and all of them would take minutes."""
    union.drip_s = 0.1
    started = time.monotonic()

    with pytest.raises(NoAnswer):
        ask(Union(union.address, TOKEN), WORDS, seconds=0.6)

    assert time.monotonic() - started < 5.0


@pytest.mark.parametrize("status", [301, 302, 401, 404, 500, 503])
def test_a_refusal_is_no_answer_and_a_redirection_is_not_followed(union: Stub, status: int) -> None:
    """The words go to the address of the settings or nowhere."""
    with stub() as elsewhere:
        union.status, union.headers = status, {"Location": f"{elsewhere.address}/ask"}

        with pytest.raises(NoAnswer):
            _asked(union)

        assert elsewhere.asked == []


def test_nobody_there_is_no_answer() -> None:
    """A port that nobody listens on."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]

    with pytest.raises(NoAnswer):
        ask(Union(f"http://127.0.0.1:{port}", TOKEN), WORDS, seconds=1.0)


def test_nothing_is_sent_unencrypted_beyond_a_private_network(
    union: Stub, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever name the address goes by, it is the machine reached that counts."""
    monkeypatch.setattr(other_stations, "is_private", lambda address: address != "127.0.0.1")

    with pytest.raises(NoAnswer):
        _asked(union)

    assert union.asked == []


@pytest.mark.parametrize(
    ("text", "tidied"),
    [
        (" http://192.168.1.20:8038/ ", "http://192.168.1.20:8038"),
        ("https://union.example.org/asking", "https://union.example.org/asking"),
        ("http://[fd00::1]:80", "http://[fd00::1]:80"),
    ],
)
def test_an_address_is_tidied(text: str, tidied: str) -> None:
    """The slash at its end goes."""
    assert checked_address(text) == tidied


@pytest.mark.parametrize(
    "text", ["192.168.1.20", "ftp://x", "http://", "http://a:99999", "http://u:p@a", "http://[::1"]
)
def test_what_is_no_address_is_refused(text: str) -> None:
    """With what one looks like."""
    with pytest.raises(BadInput, match="http://192"):
        checked_address(text)
