"""What a caller said is gone: planted through every field of every page, then sought in every byte.

The pages are found by walking the URL map and the fields by what the pages ask of their forms
(`planting.py`). What is left when the time has passed must be in `KEPT`, word for word; a new
field that keeps what is written in it fails here until somebody says why it may.
"""

from __future__ import annotations

import hashlib
import io
import logging
import re
import shutil
import tempfile
import wave
from collections.abc import Iterator
from dataclasses import dataclass
from dataclasses import field as dataclass_field
from datetime import timedelta
from pathlib import Path

import pyarrow.parquet as pq
import pytest
from flask import Flask
from werkzeug.routing import Rule

from catalogue import (
    backup,
    callers,
    donated_boxes,
    forgetting,
    loans,
    programmes,
    request_slips,
    roots,
    running_order,
    settings,
    shelf_places,
    stocktake,
    undo,
    union_keys,
    union_publishing,
)
from catalogue.donated_boxes import Decision, NewRow
from catalogue.records import Carrier
from catalogue.schema import OF_CALLERS
from catalogue.shelf_walk import Part
from catalogue.store import Store
from importers import donations, jobs
from web import create_app, log_file
from web.job_starting import Workers
from web.opening import opened

from .conftest import EVENING, PASSPHRASE, Clock, Desk, Held, slip_in
from .planting import STEM, Asked, Field, Planted, plant, rules

_OF_A_RECORDING = {
    "title", "artist", "version", "year", "tempo", "length_s", "genre", "language", "voice",
    "composer", "label", "album", "isrc", "work", "movement", "soloist", "conductor",
}  # fmt: skip
_OF_A_COPY = {"shelf_mark", "path", "place", "side", "track", "speed", "carrier", "condition"}
_OF_A_SLEEVE = {"artist", "title", "number", "label", "shelf_mark", "place"}
_OF_A_TRACK = {"track_title", "track_artist", "track_side", "track_number"}
KEPT: dict[str, set[str]] = {
    # The catalogue's words and the station's own, written at its desks and of no caller.
    "phone_desk.want": {"title", "artist"},
    "shelves.add_recording": _OF_A_RECORDING | _OF_A_COPY,
    "shelves.correct": _OF_A_RECORDING,
    "shelves.add_holding": _OF_A_COPY,
    "shelves.lend": {"lent_to"},
    "loan_desk.lend": {"lent_to"},
    # What stands on a sleeve. A donor's name has a time of its own (`donors.py`).
    "disc_sheet.add": _OF_A_SLEEVE | _OF_A_TRACK | {"donor"},
    "disc_sheet.correct": _OF_A_SLEEVE - {"artist", "year"} | {"barcode", "note", "donor"},
    "disc_sheet.add_tracks": _OF_A_TRACK | {"artist"},
    "boxes.begin": {"number", "donor"},
    "boxes.donor": {"donor"},
    "boxes.add": {"artist", "title", "number", "tracks"},
    "boxes.shelve": {"shelf_mark"},
    "shelf_filing.keep": {"shelf"},
    "stock_take.start": {"shelf", "from", "to"},
    # A shelf mark as typed or scanned, what an unknown thing is, and a number the page made.
    "stock_take.seen": {"mark", "key"},
    "stock_take.about": {"about"},
    "places_page.add": {"name"},
    "places_page.change": {"name"},
    "record_more.add_name": {"name"},
    "record_more.correct_name": {"name"},
    "several.do": {
        "artist",
        "album",
        "genre",
        "language",
        "composer",
        "label",
        "place",
        "old",
        "new",
        "year",
    },
    "this_desk.set_up": {"name"},
    "this_desk.folders": {"path"},
    "shared_desks.share": {"name"},
    "keeper.keep": set(settings.DEFAULTS),
    "keeper.add_programme": {"name", "presenter", "kind"},
    "keeper_lists.add_person": {"name"},
    "keeper_lists.add_place": {"name", "say"},
    "keeper_lists.change_place": {"name", "say"},
}
"""Endpoint to its fields of which something may be kept beyond the callers' time."""

SHARED: dict[str, set[str]] = {
    "shelves.add_recording": _OF_A_RECORDING,
    "shelves.correct": _OF_A_RECORDING,
    "disc_sheet.add": {"artist", "title", "label", "year", "track_title", "track_artist"},
    "disc_sheet.add_tracks": {"artist", "track_title", "track_artist"},
    "boxes.add": {"artist", "title", "track_title", "track_artist"},
    "keeper.keep": {"station_name", "network_place", "network_loan"},
}
"""What of it other stations may read, if this one publishes."""

SHOWN_AGAIN = {
    ("shelves.page", "q"), ("sign_in.enter", "name"), ("this_desk.folders", "root"),
    ("played.by_hand", "heard"), ("played.correct", "heard"),
    ("loan_desk.home", "mark"), ("loan_desk.lend", "mark"),
    ("disc_sheet.add", "year"), ("disc_sheet.add", "track_length"),
    ("disc_sheet.add_tracks", "track_length"),
    ("shelf_labels.page", "mark"), ("shelf_labels.make", "marks"),
    ("stock_take.finish", "end"), ("stock_take.come_to", "end"), ("places_page.join", "gone"),
    ("programme.scanned_home", "mark"),
    ("shelf_labels.make", "beginning"), ("shelf_labels.make", "first"),
}  # fmt: skip
"""A search for a title stands in its page's links, a volunteer's name in the form once more; a
folder that is not the station's, and a length that is none, in the refusal; a shelf mark
that no disc has, so that it can be looked at again."""

LAST = ("keeper.keep", "sign_in.", "own.", "shared_desks.")
"""Pages that change what the others need; planted after all of them."""

NEEDS_MORE = {"keeper.take_back", "shelf_work.take_back", "shelf_work.unlearn",
              "phone_call.attach_recording", "sign_in.enter", "sign_in.by_pin",
              "own.new_passphrase", "own.set_pin", "own.sign_out_elsewhere", "sign_in.leave",
              "taking_in.give_list",
              "taking_in.take_list", "taking_in.take_back", "taking_in_looks.look",
              "doubles.undo_judgement", "several.stop", "boxes.decide",
              "boxes.take_back"}  # fmt: skip
"""Pages whose form is not taken here: without a field of their own, planted by hand below, or
with a list of the shelves that was given before, or on a row that is left to decide."""

RIGHT = {
    "name": "Enid", "role": "searcher", "purpose": "request", "day": "2024-05-08",
    "from": "19:00", "to": "Studio 2", "a": "1", "b": "2", "verdict": "different",
    "carrier": "LP", "condition": "good", "shelf_mark": "C 115", "recording": "1",
    "time": "19:30", "heard": "", "way": "up", "disc": "1", "programme": "1",
    "title": "Tide", "artist": "Bo", "new_place": "yes", "lent_to": "Bob", "root": "/music",
    "why": "no time",
}  # fmt: skip
_SEVERAL = {
    "one": "1", "seen": hashlib.sha256(b"1").hexdigest()[:16], "condition": "", "artist": "",
    "wording": "title", "old": "a", "new": "e", "language": "English",
}  # fmt: skip
RIGHT_AT = {
    "played.by_hand": {"day": "2024-05-07"},
    "played.correct": {"day": "2024-05-07"},
    "taking_in.take_folder": {"path": tempfile.gettempdir()},
    "round.row": {"key": "a" * 24, "came_by": "round", "day": "", "programme": ""},
    "round.hand_over": {"round": "1"},
    "fetching.send_back": {"why": "would not play"},
    "keeper.add_programme": {"to": "21:00"},
    "phone_desk.heard": {"heard": "tide"},
    "gaps.close": {"want_ids": "1"},
    "disc_sheet.add": {"number": "SAL 1", "year": "1964", "track_title": "Tide"},
    "disc_sheet.correct": {"shelf_mark": "C 114"},
    "disc_sheet.add_tracks": {"track_title": "Ebb"},
    "boxes.add": {"decision": "declined"},
    "boxes.shelve": {"shelf_mark": "C 77"},
    "loan_desk.home": {"disc": "2"},
    "loan_desk.lend": {"mark": "S 20"},
    "programme.scanned_home": {"mark": "S 20"},
    "stock_take.start": {"shelf": "mark:C", "carrier": "LP", "from": "", "to": ""},
    "stock_take.seen": {"key": "", "mark": ""},
    "stock_take.about": {"key": "seen"},
    "places_page.add": {"kind": "shelf"},
    "places_page.change": {"kind": "shelf"},
    "shelf_filing.keep": {
        "by": "mark",
        "shelf": "C",
        "articles": "kept",
        "mac": "full",
        "saint": "full",
        "numerals": "spoken",
    },
    "record_more.add_name": {"whose": "artist", "kind": "nickname", "name": "The Gull"},
    "several.page": {"one": "1"},
    "several.look": _SEVERAL,
    "several.do": _SEVERAL,
    "shelf_labels.make": {"marks": "C 114", "sheet": "70x37", "code": "qr", "first": "1"},
}
"""What the other fields hold, so that the form is taken."""


@dataclass
class Evening:
    """A station at which something was planted in every field, and where it was found then."""

    app: Flask
    store: Store
    clock: Clock
    keeper: Desk
    held: Held
    planted: Planted = dataclass_field(default_factory=Planted)
    in_tables: dict[str, set[Field]] = dataclass_field(default_factory=dict)


@pytest.fixture(scope="module")
def evening(made: tuple[Path, Held], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Evening]:
    """With the log as the server writes it; what is asked of every form is noted."""
    folder = tmp_path_factory.mktemp("planted") / "station"
    shutil.copytree(made[0], folder)
    with opened(folder) as station:
        clock, store = Clock(), station.store
        store.db.execute("PRAGMA synchronous = OFF")  # no power fails in this test
        app = create_app(store, station.index, clock, {"SECRET_KEY": "only for tests"})
        app.config["PROPAGATE_EXCEPTIONS"] = False
        request = type("Request", (app.request_class,), {"parameter_storage_class": Asked})
        app.request_class = request
        roots.add(store, "/music", "Dora", EVENING)
        starts = EVENING + timedelta(days=1)  # so that no slip of today is in its list
        ends = starts + timedelta(hours=2)
        _box(store)
        programmes.add(store, "Requests", "Bob", starts, ends, "Dora", EVENING)
        keeper = Desk(app.test_client())
        keeper.send("/sign-in", page=True, name="Dora", passphrase=PASSPHRASE)
        there = Evening(app, store, clock, keeper, made[1])
        with log_file.kept(station), pytest.MonkeyPatch.context() as patch:
            # A job is asked for, and no program started to do it.
            patch.setattr(Workers, "start", lambda _, *asked: jobs.ask(*asked))
            _plant_everywhere(there)
            for row in store.rows("SELECT name FROM sqlite_master WHERE type = 'table'"):
                rows = str(store.rows(f"SELECT * FROM [{row['name']}]")).encode()
                there.in_tables[row["name"]] = there.planted.found_in(rows)
            yield there


def _slip(there: Evening, state: str) -> str:
    return str(slip_in(there.store, there.held, state, there.clock()))


def _line(there: Evening) -> str:
    """A line of the programme's list: a record put in by hand."""
    store, song = there.store, there.held.recordings["heron"]
    running_order.put_in(store, 1, song, there.held.copies["heron"], "Bob", there.clock())
    return [item.key for item in running_order.of(store, 1, there.clock()).items][-1]


def _walk(there: Evening) -> str:
    """The first stock-take is open, and something was seen; the number of what was seen."""
    store, disc, now = there.store, there.held.discs["lp"], there.clock()
    if not store.rows("SELECT 1 FROM stocktakes"):
        stocktake.start(store, Part("mark", "C"), "Bob", now)
    with undo.action(store, "Bob", "walked on", now):
        store.db.execute("UPDATE stocktakes SET state = 'open', report = '' WHERE id = 1")
    stocktake.seen(store, 1, "seen", disc, "", "Bob", now)
    return str(stocktake.number(store, 1))


def _two_places(there: Evening) -> dict[str, str]:
    """The first place, and one that may be joined to it."""
    store, now = there.store, there.clock()
    for name in ("The first bay", "A bay"):
        if name not in shelf_places.offered(store):
            shelf_places.add(store, name, "shelf", "Bob", now)
    first = min(p.id for p in shelf_places.all_places(store) if p.id is not None)
    return {"gone": "A bay", "into": str(first)}


def _of_a_disc(there: Evening, endpoint: str, number: int) -> dict[str, str]:
    """What must be another for each disc, box or row."""
    given = {
        "key": f"{number:024x}",
        "number": str(number),
        "track_number": str(number),
        "track_side": "A",
        "track_artist": "",
        "track_length": "",
    }
    if endpoint == "disc_sheet.add":
        given["shelf_mark"] = f"N {number}"
    if endpoint == "disc_sheet.correct":
        given["seen"] = str(undo.row_number(there.store, "discs", 1))
    return given


def _box(store: Store) -> None:
    """A box with two discs, the second of them kept."""
    box = donated_boxes.begin(store, "the first", "", "Dora", EVENING)
    words = donations.Words("Box", "to be shelved", "typed")
    for key, decision in (("f" * 24, Decision.DECLINED), ("e" * 24, Decision.KEPT)):
        row = NewRow(key, "Bo", "Ebb", Carrier.LP)
        donations.decide(store, box, row, decision, (), words, "Dora", EVENING)


def _plant_everywhere(there: Evening) -> None:
    """Every page's every field, with a slip in each state it may be in."""
    ends = ("shared_desks.revoke", "sign_in.leave")  # these end the session that asks
    posts = sorted(
        rules(there.app, "POST"),
        key=lambda rule: (rule.endpoint.startswith(LAST), rule.endpoint in ends),
    )
    for state in ("being written", "handed over", "not used", "played"):
        for rule in posts:
            if rule.endpoint.startswith(LAST) and state != "played":
                continue

            def right(rule: Rule = rule, state: str = state) -> dict[str, str]:
                slip = _slip(there, state)
                of_the_slip = {
                    "slip": slip,
                    "version": str(request_slips.get(there.store, int(slip)).version),
                    "recording_id": str(there.held.recordings["heron"]),
                    "holding_id": str(there.held.copies["heron"]),
                    "studio": settings.lines(there.store, "studios")[0],
                }
                if rule.endpoint.startswith("programme."):
                    of_the_slip["line"] = _line(there)
                if rule.endpoint.startswith("stock_take."):
                    of_the_slip["number"] = _walk(there)
                lp = there.held.discs["lp"]
                if rule.endpoint == "shelves.bring_back" and lp not in loans.out(there.store):
                    loans.lend(there.store, lp, "Bob", None, "Bob", there.clock())
                if rule.endpoint == "places_page.join":
                    of_the_slip |= _two_places(there)
                if rule.endpoint.startswith(("boxes.", "disc_sheet.")):
                    of_the_slip |= _of_a_disc(there, rule.endpoint, int(slip))
                if rule.endpoint.startswith("played."):
                    of_the_slip["seen"] = str(undo.row_number(there.store, "plays", 1))
                return {**RIGHT, **of_the_slip, **RIGHT_AT.get(rule.endpoint, {})}

            plant(there.keeper, rule, there.planted, right)
    there.keeper.send("/sign-in", page=True, name="Dora", passphrase=PASSPHRASE)
    for rule in rules(there.app, "GET"):
        plant(there.keeper, rule, there.planted, dict)


def _kept() -> set[Field]:
    return {(endpoint, field) for endpoint, fields in KEPT.items() for field in fields}


def _left(planted: Planted, store: Store) -> dict[str, set[Field]]:
    """File, or table, to the fields whose words are in it and may not be."""
    there = planted.left_in(store.path.parent)
    there["all tables"] = planted.found_in("\n".join(store.db.conn.iterdump()).encode())
    return {name: odd for name, fields in there.items() if (odd := fields - _kept())}


def test_every_page_takes_its_form_here(evening: Evening) -> None:
    """Else its fields would be refused and nothing would be shown; and `KEPT` tells of no page
    or field that is not there."""
    endpoints = {rule.endpoint for rule in rules(evening.app, "POST")}
    assert {e for e in endpoints if not evening.planted.taken(e)} == NEEDS_MORE
    assert _kept() <= set(evening.planted.where.values())


def test_nobody_is_in_what_was_done_or_played_even_before(evening: Evening) -> None:
    """The details lie in the callers' tables alone, from the first moment on."""
    choices = {"place_id", "consent", "place_consent", "under_sixteen", "may_hear"}
    texts = set(callers.WRITABLE) - choices
    of_callers = {("phone_desk.details", f) for f in texts if not f.startswith("heard")}
    of_callers |= {("phone_desk.heard", f) for f in ("heard", "heard_artist")}
    assert evening.in_tables["caller_details"] >= of_callers
    for table, found in evening.in_tables.items():
        assert table in OF_CALLERS or found <= _kept(), table


def test_no_caller_slip_volunteer_or_path_is_in_what_is_published(
    evening: Evening, tmp_path: Path
) -> None:
    """Not in the bytes, and not in the columns when they are unpacked."""
    key = union_keys.own_key(tmp_path, EVENING)
    done = union_publishing.publish(evening.store, key, tmp_path / "published", EVENING)
    files = list((tmp_path / "published").iterdir())
    contents = [path.read_bytes() for path in files]
    for path in files:
        if path.suffix == ".parquet":
            contents.append(str(pq.read_table(path).to_pydict()).encode())
    found = evening.planted.found_in(*contents)
    shared = {(page, field) for page, fields in SHARED.items() for field in fields}
    assert done.recordings > 5
    assert {("shelves.add_recording", "title"), ("keeper.keep", "network_loan")} <= found <= shared


def test_no_word_is_in_an_address_a_refusal_or_what_a_browser_keeps(evening: Evening) -> None:
    """Headers and cookies, links of pages, error pages."""
    odd: dict[str, set[Field]] = {}
    for endpoint, answers in evening.planted.answers.items():
        for answer in answers:
            text = answer.data.decode(errors="replace")
            told = [str(answer.headers), *re.findall(r'(?:href|src|action|hx-\w+)="([^"]*)"', text)]
            if answer.status_code >= 400 or answer.mimetype != "text/html":
                told.append(text)
            found = evening.planted.found_in("\n".join(told).encode())
            if left := found - _kept() - SHOWN_AGAIN:
                odd.setdefault(endpoint, set()).update(left)
    assert odd == {}
    with evening.keeper.client.session_transaction() as session:
        assert evening.planted.found_in(str(dict(session)).encode()) <= _kept()


def test_nothing_planted_in_any_field_outlives_its_time(evening: Evening) -> None:
    """A fault inside, a copy each day; then the days pass, seven of them for the last slip."""
    store, clock, planted = evening.store, evening.clock, evening.planted
    settings.put(store, "caller_days", "7", "Dora", clock())
    logging.getLogger("web").error("a fault: %s", ValueError(planted.word("a fault", "its words")))
    for day in range(3):
        clock.on(days=bool(day))
        backup.keep_up(store, clock())
    before = _left(planted, store)
    assert len([name for name in before if name.startswith("copies/daily")]) == 3
    assert before["asheard.db"] and before["all tables"]

    clock.on(days=5)
    assert forgetting.erase_due(store, clock()) > 100

    assert _left(planted, store) == {}
    for row in store.rows("SELECT * FROM erasures"):
        assert set(row) == {"id", "at", "slips"}


def test_somebody_who_asks_is_gone_at_once(
    app: Flask, store: Store, clock: Clock, phone: Desk
) -> None:
    """From the database and the copies, without a day passing."""
    slip, planted = request_slips.start(store, "request", "Alice", clock()), Planted()
    for name in callers.WRITABLE:
        phone.send("/phone/details", slip=slip, **{name: planted.word("phone_desk.details", name)})
    backup.keep_up(store, clock())
    clock.on(days=1)
    backup.keep_up(store, clock())
    assert len(_left(planted, store)) >= 3
    forgetting.forget(store, slip, clock())
    assert _left(planted, store) == {}


def test_days_that_pass_while_the_pc_is_off_count(
    app: Flask, store: Store, clock: Clock, phone: Desk
) -> None:
    """Overdue at the next start: gone before anybody signs in, from the copies and the recordings
    too, whatever their files were called."""
    phone.send("/phone/details", sheet="s", caller_name=STEM)
    sound = io.BytesIO()
    with wave.open(sound, "wb") as file:
        file.setparams((1, 2, 8000, 0, "NONE", ""))
        file.writeframes(STEM.encode() * 4000)
    answer = phone.client.post(
        "/phone/recording?slip=1", data=sound.getvalue(), content_type="application/octet-stream",
        headers={"X-CSRFToken": phone.token(), "X-File-Name": f"{STEM}.wav"},
    )  # fmt: skip
    assert answer.status_code == 200
    backup.keep_up(store, clock())
    files = [p for p in store.path.parent.rglob("*") if p.is_file()]
    assert [p for p in files if STEM in p.name] == []
    assert len([p for p in files if STEM.encode() in p.read_bytes()]) >= 3
    clock.on(days=60)
    forgetting.erase_due(store, clock())
    files = [p for p in store.path.parent.rglob("*") if p.is_file()]
    assert [p for p in files if STEM.encode() in p.read_bytes()] == []
