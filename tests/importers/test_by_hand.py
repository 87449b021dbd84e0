"""A disc typed by hand: one action, no recording made twice, and nothing half done."""

from __future__ import annotations

from datetime import datetime

import pytest

from catalogue import catalogue_rows, demand, donated_boxes, sleeves, undo, wants
from catalogue.donated_boxes import Decision, NewRow
from catalogue.errors import BadInput, CannotTakeBack, ChangedMeanwhile
from catalogue.records import Carrier, Condition, NewRecording
from catalogue.sleeves import Asked
from catalogue.store import Store
from importers import by_hand, donations
from importers.by_hand import TypedDisc, TypedTrack, add_tracks, file_disc, tracks_typed

NOW = datetime(2026, 11, 25, 19, 30)
WORDS = donations.Words("Box", "to be shelved", "typed by hand")
HARBOUR = TypedDisc(
    "Harbour Songs", "Marsha Herron", Carrier.LP, "C 114", "the long room", Condition.GOOD, "Tern",
    "SAL 1001", 1962,
    tracks_typed("A1. Lantern on the Quay 3:05\nLow Water\nB1 Tide / Bo Quay (2:50)\nB Ebb"),
)  # fmt: skip


def _rows(store: Store, disc_id: int) -> list[tuple[str, str, str, str]]:
    return [(side, track, r.title, r.artist) for r, side, track in
            sleeves.tracks_on(store, disc_id)]  # fmt: skip


def _counts(store: Store) -> list[int]:
    tables = ("discs", "holdings", "recordings", "raw_entries", "box_rows")
    return [store.rows(f"SELECT count(*) AS n FROM {table}")[0]["n"] for table in tables]


def _file(store: Store, disc: TypedDisc) -> int:
    return file_disc(store, disc, "typed by hand", "Dora", NOW).disc_id


def test_a_disc_is_filed_with_its_tracks_as_one_action_and_taken_back_whole(store: Store) -> None:
    before = _counts(store)
    disc = _file(store, HARBOUR)
    assert _rows(store, disc) == [
        ("", "1", "Low Water", "Marsha Herron"),
        ("", "2", "B Ebb", "Marsha Herron"),
        ("A", "1", "Lantern on the Quay", "Marsha Herron"),
        ("B", "1", "Tide", "Bo Quay"),
    ]
    held = catalogue_rows.disc(store, disc)
    assert (held.number, held.barcode, held.label) == ("SAL 1001", "", "Tern")
    assert len(undo.recent(store)) == 1
    undo.take_back(store, undo.recent(store, 1)[0].id, "Dora", NOW)
    assert _counts(store)[:3] == before[:3]


def test_a_recording_that_is_known_is_not_made_twice(store: Store) -> None:
    with undo.action(store, "Test", "known, not held", NOW):
        known = catalogue_rows.add_recording(store, NewRecording("Low Water", "Marsha Herron"))
    disc = _file(store, HARBOUR)
    on_it = [r.id for r, _, _ in sleeves.tracks_on(store, disc)]
    assert known in on_it
    filled = catalogue_rows.recording(store, known)
    assert (filled.album, filled.label, filled.year) == ("Harbour Songs", "Tern", 1962)


@pytest.mark.parametrize(
    ("disc", "words"),
    [
        (TypedDisc(" ", "Bo", Carrier.CD, "C 1"), "title of the disc"),
        (TypedDisc("Tide", "Bo", Carrier.CD, " "), "shelf mark"),
        (TypedDisc("Tide", "Bo", Carrier.FILE, "C 1"), "not a disc"),
        (TypedDisc("x" * 201, "Bo", Carrier.CD, "C 1"), "too long"),
        (TypedDisc("Tide", "Bo", Carrier.CD, "C 1", tracks=(TypedTrack("Ebb"), TypedTrack(" "))),
         "Track 2 has no title"),
        (TypedDisc("Tide", "Bo", Carrier.CD, "C 1", tracks=(TypedTrack("Ebb"),) * 201),
         "more than 200 tracks"),
        (TypedDisc("Tide", "Bo", Carrier.LP, "c 114"), "Harbour Songs"),
    ],
)  # fmt: skip
def test_what_cannot_be_filed_is_refused_whole(store: Store, disc: TypedDisc, words: str) -> None:
    _file(store, HARBOUR)
    before = _counts(store)
    with pytest.raises(BadInput, match=words):
        _file(store, disc)
    assert _counts(store) == before


def test_a_barcode_with_a_wrong_check_digit_is_kept_with_a_note(store: Store) -> None:
    # GS1's own example of a check digit: 629104150021 and 3.
    right, wrong = "6291041500213", "6291041500214"
    assert by_hand.number_read("629-1041500213")[0] == right
    disc = _file(store, TypedDisc("Tide", "Bo", Carrier.CD, "K 1", number=wrong))
    assert catalogue_rows.disc(store, disc).barcode == wrong
    (entry,) = store.rows("SELECT note FROM raw_entries WHERE note <> ''")
    assert "it should be 3" in entry["note"]


def test_a_disc_without_tracks_is_found_by_its_title_until_they_are_typed(store: Store) -> None:
    disc = _file(store, TypedDisc("Harbour Songs", "Marsha Herron", Carrier.LP, "C 114"))
    assert _rows(store, disc) == [("", "", "Harbour Songs", "Marsha Herron")]
    add_tracks(store, disc, "Marsha Herron", tracks_typed("A1 Lantern\nA2 Low Water"), "by hand",
               "Dora", NOW)  # fmt: skip
    assert [row[2] for row in _rows(store, disc)] == ["Lantern", "Low Water"]
    assert store.rows("SELECT 1 FROM recordings WHERE title = 'Harbour Songs'") == []
    undo.take_back(store, undo.recent(store, 1)[0].id, "Dora", NOW)
    assert _rows(store, disc) == [("", "", "Harbour Songs", "Marsha Herron")]


def test_a_singles_whole_becomes_its_first_side_and_keeps_its_copy(store: Store) -> None:
    disc = _file(store, TypedDisc("Lantern", "Bo Quay", Carrier.SINGLE_45, "S 1"))
    (copy,) = store.rows("SELECT id, recording_id FROM holdings")
    add_tracks(store, disc, "Bo Quay", tracks_typed("A1 lantern\nB1 Tide"), "", "Dora", NOW)
    # What is typed later is taken for the better reading, as a list that is taken in again is.
    assert [row[:3] for row in _rows(store, disc)] == [("A", "1", "lantern"), ("B", "1", "Tide")]
    assert store.rows("SELECT recording_id FROM holdings WHERE id = ?", (copy["id"],)) == [
        {"recording_id": copy["recording_id"]}
    ]
    with pytest.raises(BadInput, match="is “lantern” already"):
        add_tracks(store, disc, "Bo Quay", tracks_typed("A1 Ebb"), "", "Dora", NOW)
    with pytest.raises(BadInput, match="no tracks"):
        add_tracks(store, disc, "Bo Quay", (), "", "Dora", NOW)


def _new(title: str, key: str = "a" * 24, **more: object) -> NewRow:
    return NewRow(key, "Bo Quay", title, Carrier.LP, **more)  # type: ignore[arg-type]


def _decide(
    store: Store, box: int, new: NewRow, decision: Decision, asked: tuple[Asked, ...] = ()
) -> donated_boxes.BoxRow:
    return donations.decide(store, box, new, decision, asked, WORDS, "Dora", NOW)


def _box(store: Store) -> int:
    return donated_boxes.begin(store, "12", "", "Dora", NOW)


def test_what_is_kept_stands_in_its_box_until_it_is_shelved(store: Store) -> None:
    box = _box(store)
    declined = _decide(store, box, _new("Far Tide"), Decision.DECLINED)
    kept = _decide(store, box, _new("Low Lamp", "b" * 24, tracks="Ebb\nFlow"), Decision.KEPT)
    assert (declined.disc_id, kept.number) == (None, 2)
    disc = catalogue_rows.disc(store, kept.disc_id or 0)
    assert (disc.shelf_mark, disc.place) == ("Box 12-2", "to be shelved")
    assert [row[2] for row in _rows(store, disc.id)] == ["Ebb", "Flow"]
    donations.shelve(store, kept.id, "C 9", "to be shelved", "Dora", NOW)
    disc = catalogue_rows.disc(store, disc.id)
    assert (disc.shelf_mark, disc.place) == ("C 9", "")
    for row, mark, words in ((kept, " ", "Type or scan"), (declined, "C 8", "not kept")):
        with pytest.raises(BadInput, match=words):
            donations.shelve(store, row.id, mark, "", "Dora", NOW)
    assert donated_boxes.of_disc(store, disc.id) is not None


def test_a_row_sent_twice_is_one_disc(store: Store) -> None:
    box = _box(store)
    first = _decide(store, box, _new("Low Lamp"), Decision.KEPT)
    assert _decide(store, box, _new("Low Lamp"), Decision.KEPT) == first
    assert _counts(store)[0] == 1


def test_what_was_wanted_is_told_as_arrived(store: Store) -> None:
    for _ in range(4):
        want = wants.add(store, "The Fery to Samfire", "Bo Key", None, "Dora", NOW)
    asked = Asked("The Fery to Samfire", "Bo Key", 4, (want,), None, "Ferry to Samphire")
    row = _new("Best of", tracks="Tide\nFerry to Samphire")
    _decide(store, _box(store), row, Decision.KEPT, (asked,))
    (arrived,) = demand.arrivals(store)
    assert (arrived.recording.title, arrived.want.times) == ("Ferry to Samphire", 4)


def test_a_known_recording_that_was_asked_for_is_the_one_that_came(store: Store) -> None:
    with undo.action(store, "Test", "known, not held", NOW):
        known = catalogue_rows.add_recording(store, NewRecording("Far Tide", "Bo Quay"))
    asked = Asked("Far Tide", "Bo Quay", 1, (), known, "Farr Tied")
    _decide(store, _box(store), _new("Farr Tied"), Decision.KEPT, (asked,))
    (arrived,) = demand.arrivals(store)
    assert arrived.recording.id == known


def test_a_decision_is_taken_back_unless_work_stands_on_it(store: Store) -> None:
    box = _box(store)
    row = _decide(store, box, _new("Low Lamp"), Decision.LATER)
    donations.decide_later(store, row.id, Decision.KEPT, (), WORDS, "Kit", NOW)
    with pytest.raises(ChangedMeanwhile, match="Kit has decided"):
        donations.decide_later(store, row.id, Decision.DECLINED, (), WORDS, "Dora", NOW)
    donations.undecide(store, row.id, "Dora", NOW)
    assert donated_boxes.row(store, row.id).decision is Decision.LATER
    assert _counts(store)[:3] == [0, 0, 0]
    donations.decide_later(store, row.id, Decision.KEPT, (), WORDS, "Kit", NOW)
    donations.shelve(store, row.id, "C 9", "to be shelved", "Dora", NOW)
    with pytest.raises(CannotTakeBack, match="shelved “Low Lamp”"):
        donations.undecide(store, row.id, "Dora", NOW)
    other = _decide(store, box, _new("Ebb", "b" * 24), Decision.DECLINED)
    donations.undecide(store, other.id, "Dora", NOW)
    assert [one.title for one in donated_boxes.rows_of(store, box)] == ["Low Lamp"]


def test_a_row_that_cannot_be_kept_is_not_in_the_box_either(store: Store) -> None:
    box = _box(store)
    bad = _new("Low Lamp", tracks="\n".join(f"Track {n} of it" for n in range(201)))
    with pytest.raises(BadInput, match="more than 200"):
        _decide(store, box, bad, Decision.KEPT)
    assert donated_boxes.rows_of(store, box) == []
