"""What a caller said is gone: planted through every field of the desks, then sought in every byte.

Not planted where words of the catalogue belong (the shelves, the list of wants): there titles and
artists are kept.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from flask import Flask

import web
from catalogue import backup, callers, forgetting, request_slips
from catalogue.store import Store
from web import log_file
from web.opening import OpenStation

from .conftest import Clock, Desk, Held

WORD = "Perpetuamarker"
OF_CATALOGUE = (
    "shelves.", "shelf_work.", "phone_desk.want", "sign_in.", "this_desk.", "keeper.", "paper.",
)  # fmt: skip


@pytest.fixture
def fields() -> set[str]:
    """Every field name of every page."""
    names: set[str] = set(callers.WRITABLE)
    for file in (Path(web.__file__).parent / "templates").rglob("*.html"):
        names |= set(re.findall(r'name="([a-z_]+)"', file.read_text(encoding="utf-8")))
    return names - {"csrf_token"}


@pytest.fixture
def log(app: Flask, store: Store) -> Iterator[None]:
    """The station's log, written as the server writes it."""
    index = app.extensions["asheard"].index
    with log_file.kept(OpenStation(store.path.parent, store, index)):
        yield


def _everything(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def _holding(folder: Path) -> list[str]:
    found = WORD.lower().encode()
    return [name for name, content in _everything(folder).items() if found in content.lower()]


def _plant(app: Flask, desk: Desk, fields: set[str], **right: str) -> list[str]:
    """Send every form of the desk with the word in every field; the answers' headers and bodies
    of what was refused."""
    told = []
    for rule in app.url_map.iter_rules():
        if "POST" not in (rule.methods or ()) or rule.endpoint.startswith(OF_CATALOGUE):
            continue
        address = re.sub(r"<[^>]+>", "1", rule.rule)
        for field in sorted(fields):
            answer = desk.send(address, **{**right, field: f"{WORD} in {field}"})
            told.append(str(answer.headers))
            if answer.status_code >= 400:
                told.append(answer.get_data(as_text=True))
    return told


def test_nothing_planted_in_any_field_outlives_its_time(
    app: Flask, store: Store, clock: Clock, phone: Desk, studio: Desk, held: Held,
    fields: set[str], log: None,
) -> None:  # fmt: skip
    """A whole evening, a copy each day, a fault inside; then seven days pass."""
    folder = store.path.parent
    refused = []
    for desk in (phone, studio):
        refused += _plant(app, desk, fields)
    for number in range(3):
        sheet = {"sheet": f"s{number}", "purpose": "request"}
        refused += _plant(app, phone, fields, **sheet)
    assert len(_holding(folder)) > 0
    details = {
        f: f"{WORD} {f}"
        for f in callers.WRITABLE
        if f not in ("place_id", "consent", "under_sixteen", "may_hear", "how_on_air")
    }
    phone.send("/phone/details", sheet="the last", consent="yes", **details)
    (slip,) = [slip.id for slip in request_slips.open_slips(store)]
    phone.send("/phone/heard", slip=slip, heard=f"{WORD} lantern on the quay")
    phone.send("/phone/choose", slip=slip, recording_id=held.recordings["lantern"],
               holding_id=held.copies["lantern"])  # fmt: skip
    phone.send("/phone/hand-over", slip=slip, studio="Studio 1", purpose="request")
    assert WORD in studio.get("/studio").get_data(as_text=True)
    assert studio.send("/studio/played", slip=slip).status_code == 200
    for path in (f"/shelves?q={WORD}", f"/studio?studio={WORD}", f"/{WORD}",
                 f"/phone/strip?slip={WORD}&since={WORD}", f"/phone/slips/{WORD}"):  # fmt: skip
        refused.append(str(phone.get(path).headers))
    logging.getLogger("web").error("a fault: %s", ValueError(WORD))
    for _ in range(3):
        clock.on(days=1)
        backup.keep_up(store, clock())
    assert callers.of(store, slip) is not None
    assert {name.split("-")[0] for name in _holding(folder)} >= {"copies/daily"}

    clock.on(days=4)
    assert forgetting.erase_due(store, clock()) >= 2

    assert _holding(folder) == []
    assert "\n".join(refused).count(WORD) == 0
    assert WORD not in "\n".join(store.db.conn.iterdump())
    assert request_slips.get(store, slip).state == "played"
    for row in store.rows("SELECT * FROM erasures"):
        assert set(row) == {"id", "at", "slips"}


def test_nobody_is_in_what_was_done_or_played_even_before(
    app: Flask, store: Store, phone: Desk, studio: Desk, held: Held, fields: set[str]
) -> None:
    """The details lie in one table alone, from the first moment on."""
    for desk in (phone, studio):
        _plant(app, desk, fields, sheet="s", purpose="request")
    for row in store.rows("SELECT name FROM sqlite_master WHERE type = 'table'"):
        if row["name"] != "caller_details":
            rows = store.rows(f"SELECT * FROM [{row['name']}]")
            assert WORD not in str(rows), row["name"]


def test_somebody_who_asks_is_gone_at_once(
    app: Flask, store: Store, clock: Clock, phone: Desk, fields: set[str], log: None,
    sign_in: Callable[[str], Desk],
) -> None:  # fmt: skip
    """From the database and the copies, without a day passing."""
    _plant(app, phone, fields, sheet="s", purpose="request")
    backup.keep_up(store, clock())
    clock.on(days=1)
    backup.keep_up(store, clock())
    assert len(_holding(store.path.parent)) >= 2
    for row in store.rows("SELECT id FROM slips"):
        forgetting.forget(store, row["id"], clock())
    assert _holding(store.path.parent) == []


def test_days_that_pass_while_the_pc_is_off_count(
    app: Flask, store: Store, clock: Clock, phone: Desk, fields: set[str]
) -> None:
    """Overdue at the next start: gone before anybody signs in, from the copies too."""
    _plant(app, phone, fields, sheet="s", purpose="request")
    backup.keep_up(store, clock())
    clock.on(days=60)
    forgetting.erase_due(store, clock())
    assert _holding(store.path.parent) == []
