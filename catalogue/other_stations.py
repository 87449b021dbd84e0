"""Asking the union catalogue of a network of stations, from a single station.

Only the standard library is used: a station needs nothing of what the union itself runs on. What
comes back is somebody else's: it may be late, huge, wrong or made to mislead, so it is waited for
a bounded time, read up to a bounded size, and every value is checked before it is believed.
"""

from __future__ import annotations

import http.client
import json
import math
import socket
import threading
import time
import unicodedata
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from urllib.parse import urlsplit

from catalogue.addresses import is_private
from catalogue.errors import CatalogueError
from catalogue.heard import Heard

SECONDS = 4.0
"""For the whole question: a caller on the line does not wait for more."""

_LARGEST_BYTES = 256 * 1024
"""Of an answer; an honest one is a tenth of it."""

_PIECE_BYTES = 16 * 1024
_MATCHES = 3
_STAND_INS = 4
_HOLDERS = 20
_LONGEST = 200
"""Letters of a name; of how to ask for a loan, twice as many."""

_EARTH_KM = 6371.0088
"""Mean radius of the earth (IUGG)."""

_MOST = 1_000_000_000
"""Any count beyond this is no count."""


class NoAnswer(CatalogueError):
    """The other stations could not be asked, or did not answer as they should."""


class NotLetIn(NoAnswer):
    """They answer, but not to this station's token."""


@dataclass(frozen=True, slots=True)
class Holder:
    """A station that holds a recording. `km` is how far away it is, where both say where they are;
    `number` is its own number of the recording, to be given when a loan is asked for."""

    station: str
    place: str
    km: float | None
    number: int
    carriers: tuple[str, ...]
    lendable: int
    loan: str


@dataclass(frozen=True, slots=True)
class HeldElsewhere:
    """A recording that others hold, those that lend first, the nearest of them first.

    `band` is how sure the union is that it was meant; `kind`, of a stand-in, what it has in common
    with what was asked.
    """

    title: str
    artist: str
    version: str
    year: int | None
    band: str
    kind: str
    held_by: int
    holders: tuple[Holder, ...]


@dataclass(frozen=True, slots=True)
class Others:
    """What the other stations hold. `missing` is the share of their catalogue that did not answer,
    0 to 1."""

    matches: tuple[HeldElsewhere, ...]
    stand_ins: tuple[HeldElsewhere, ...]
    stations: int
    missing: float


@dataclass(frozen=True, slots=True)
class Union:
    """Whom to ask: an address, http:// or https://, and the token that lets this station in.

    `here` is where this station is, in degrees, and `own_name` what it is called among the
    others; neither is sent.
    """

    address: str
    token: str
    here: tuple[float, float] | None = None
    own_name: str = ""


def ask(union: Union, heard: Heard, seconds: float = SECONDS) -> Others:
    """What others hold of what was heard; nothing but these words is sent.

    Raises NotLetIn if the union does not know the token, NoAnswer if it cannot be reached,
    refuses, is too slow, or answers nonsense.
    """
    until = time.monotonic() + seconds
    question = {"heard": heard.text, "title": heard.title, "artist": heard.artist}
    try:
        told = json.loads(_sent(union, json.dumps(question).encode(), until))
    except (OSError, http.client.HTTPException, ValueError, RecursionError) as problem:
        raise NoAnswer from problem
    if not isinstance(told, Mapping) or told.get("format") != 1:
        raise NoAnswer
    missing, recordings = told.get("missing"), _count(told.get("recordings"))
    lost = _count(missing.get("recordings")) if isinstance(missing, Mapping) else 0
    return Others(
        _several(told.get("matches"), _MATCHES, union),
        _several(told.get("stand_ins"), _STAND_INS, union),
        _count(told.get("stations")),
        min(1.0, lost / recordings) if recordings else 0.0,
    )


def kilometres(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Along the great circle, by the haversine formula; latitude and longitude in degrees.

    >>> round(kilometres((52.2296756, 21.0122287), (52.406374, 16.9251681)))  # Warsaw to Poznań
    279
    """
    north, east, other_north, other_east = map(math.radians, (*one, *other))
    half = math.sin((other_north - north) / 2) ** 2
    half += math.cos(north) * math.cos(other_north) * math.sin((other_east - east) / 2) ** 2
    return 2 * _EARTH_KM * math.asin(min(1.0, math.sqrt(half)))


def _sent(union: Union, question: bytes, until: float) -> bytes:
    """The body of the answer. No redirection is followed and no proxy used: the words go to the
    address of the settings or nowhere, and unencrypted only within a private network."""
    parts = urlsplit(union.address)
    kind = http.client.HTTPSConnection if parts.scheme == "https" else http.client.HTTPConnection
    connection = kind(parts.hostname or "", parts.port, timeout=_left(until))
    cut = threading.Timer(_left(until), _hang_up, [connection])
    cut.daemon = True
    cut.start()  # each single byte may come in time, and the whole too late
    try:
        connection.connect()
        reached = connection.sock.getpeername()[0]
        if parts.scheme == "http" and not is_private(reached):
            raise NoAnswer
        connection.request(
            "POST", f"{parts.path}/ask", question,
            {"Content-Type": "application/json", "Authorization": f"Bearer {union.token}",
             "Connection": "close"},
        )  # fmt: skip
        response = connection.getresponse()
        if response.status == http.HTTPStatus.UNAUTHORIZED:
            raise NotLetIn
        if response.status != http.HTTPStatus.OK:
            raise NoAnswer
        body = b""
        while piece := response.read1(_PIECE_BYTES):
            body += piece
            if len(body) > _LARGEST_BYTES:
                raise NoAnswer
            _left(until)
        return body
    finally:
        cut.cancel()
        connection.close()


def _hang_up(connection: http.client.HTTPConnection) -> None:
    sock = connection.sock
    if sock is not None:
        with suppress(OSError):
            sock.shutdown(socket.SHUT_RDWR)


def _left(until: float) -> float:
    left = until - time.monotonic()
    if left <= 0:
        raise TimeoutError
    return left


def _several(told: object, most: int, union: Union) -> tuple[HeldElsewhere, ...]:
    rows = told if isinstance(told, list) else []
    held = (_one(row, union) for row in rows[:most] if isinstance(row, Mapping))
    return tuple(one for one in held if one.title and one.holders)


def _one(row: Mapping[str, object], union: Union) -> HeldElsewhere:
    rows = row.get("held_at")
    holders = [
        _holder(one, union)
        for one in (rows if isinstance(rows, list) else [])[:_HOLDERS]
        if isinstance(one, Mapping)
    ]
    others = [one for one in holders if one.station and one.station != union.own_name]
    others.sort(key=lambda one: (not one.lendable, math.inf if one.km is None else one.km))
    own = len(holders) - len(others)
    return HeldElsewhere(
        _text(row.get("title")),
        _text(row.get("artist")),
        _text(row.get("version")),
        _count(row.get("year")) or None,
        _text(row.get("band")),
        _text(row.get("kind")),
        max(len(others), _count(row.get("held_by")) - own),
        tuple(others),
    )


def _holder(row: Mapping[str, object], union: Union) -> Holder:
    there = _degrees(row.get("latitude"), 90), _degrees(row.get("longitude"), 180)
    known = union.here is not None and there[0] is not None and there[1] is not None
    carriers = row.get("carriers")
    return Holder(
        _text(row.get("station")),
        _text(row.get("place")),
        kilometres(union.here, (there[0], there[1])) if known else None,  # type: ignore[arg-type]
        _count(row.get("number")),
        tuple(_text(one) for one in (carriers if isinstance(carriers, list) else [])[:_MATCHES]),
        _count(row.get("lendable")),
        _text(row.get("loan"), 2 * _LONGEST),
    )


def _text(value: object, longest: int = _LONGEST) -> str:
    """A text in one line, without signs that turn or hide what stands beside them."""
    if not isinstance(value, str):
        return ""
    shown = "".join(
        " " if sign.isspace() else sign
        for sign in value[: 2 * longest]
        if sign.isspace() or unicodedata.category(sign)[0] != "C"
    )
    return " ".join(shown.split())[:longest]


def _count(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        return 0
    return value if 0 <= value <= _MOST else 0


def _degrees(value: object, most: int) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > most:
        return None
    return float(value) if math.isfinite(value) else None
