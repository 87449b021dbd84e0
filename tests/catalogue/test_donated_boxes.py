"""Boxes: gone on with by anybody; and the donor's name, erased in its time, here and in copies."""

from __future__ import annotations

import threading
from datetime import datetime, timedelta

import pytest

from catalogue import backup, donated_boxes, donors, forgetting, settings, undo
from catalogue.catalogue_rows import shelve_disc
from catalogue.donated_boxes import Decision, NewRow
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.records import Carrier, NewDisc
from catalogue.store import Store

NAME = "Perpetua Winterbourne"


def _row(n: int, **more: object) -> NewRow:
    given = {"key": f"{n:024}", "artist": "Bo Quay", "title": "Tide", "carrier": Carrier.LP}
    return NewRow(**{**given, **more})  # type: ignore[arg-type]


def _write(store: Store, box: int, row: NewRow, who: str, now: datetime) -> donated_boxes.BoxRow:
    return donated_boxes.write(store, box, row, Decision.DECLINED, who, now)


def test_a_box_is_begun_broken_off_and_gone_on_with_by_somebody_else(
    store: Store, now: datetime
) -> None:
    box = donated_boxes.begin(store, " 12 ", "", "Kit", now)
    _write(store, box, _row(1), "Kit", now)
    later = _write(store, box, _row(2), "Dora", now + timedelta(days=3))
    assert later.number == 2
    assert [one.number for one in donated_boxes.rows_of(store, box)] == [2, 1]
    found = donated_boxes.get(store, box)
    assert (found.number, found.rows, found.declined, found.done_on) == ("12", 2, 2, None)
    donated_boxes.done(store, box, True, "Dora", now)
    with pytest.raises(ChangedMeanwhile, match="Box 12 is done"):
        _write(store, box, _row(3), "Kit", now)
    donated_boxes.done(store, box, False, "Kit", now)
    assert _write(store, box, _row(3), "Kit", now).number == 3


def test_a_boxs_number_is_its_own_and_the_next_is_offered(store: Store, now: datetime) -> None:
    assert donated_boxes.next_number(store) == "1"
    donated_boxes.begin(store, "9", "", "Kit", now)
    donated_boxes.begin(store, "B", "", "Kit", now)
    assert donated_boxes.next_number(store) == "10"
    for number, words in (("b", "a box b already"), (" ", "Write the box"), ("x" * 21, "20 signs")):
        with pytest.raises(BadInput, match=words):
            donated_boxes.begin(store, number, "", "Kit", now)
    with pytest.raises(NotFound):
        donated_boxes.get(store, 99)


@pytest.mark.parametrize(
    "bad",
    [{"title": " "}, {"title": "x" * 201}, {"artist": "x" * 201}, {"tracks": "x" * 8001},
     {"key": "short"}, {"carrier": Carrier.FILE}],
    ids=str,
)  # fmt: skip
def test_a_row_that_is_none_is_refused(store: Store, now: datetime, bad: dict[str, object]) -> None:
    box = donated_boxes.begin(store, "12", "", "Kit", now)
    with pytest.raises(BadInput):
        _write(store, box, _row(1, **bad), "Kit", now)
    assert donated_boxes.rows_of(store, box) == []


def test_two_people_at_one_box_have_a_number_each(store: Store, now: datetime) -> None:
    box = donated_boxes.begin(store, "12", "", "Kit", now)
    both = threading.Barrier(2)

    def write(who: str, first: int) -> None:
        both.wait()
        for n in range(first, first + 10):
            _write(store, box, _row(n), who, now)

    people = [threading.Thread(target=write, args=(w, n)) for w, n in (("Kit", 0), ("Dora", 50))]
    for one in people:
        one.start()
    for one in people:
        one.join()
    assert [row.number for row in donated_boxes.rows_of(store, box)] == list(range(20, 0, -1))


def test_a_donor_is_forgotten_here_and_in_the_copies_and_never_in_the_history(
    store: Store, now: datetime
) -> None:
    settings.put(store, "donor_days", "30", "Dora", now)
    box = donated_boxes.begin(store, "12", NAME, "Kit", now)
    with undo.action(store, "Kit", "a disc", now):
        disc = shelve_disc(store, NewDisc(Carrier.LP, "C 1", "Tide"))
    donors.note(store, f"{NAME} too", now, disc_id=disc)
    backup.keep_up(store, now)
    folder = store.path.parent
    assert [held.lines[0] for held in forgetting.held_about(store, "winterbourne")] == [
        ("name", NAME), ("name", f"{NAME} too"),
    ]  # fmt: skip
    for table in ("actions", "changes", "donated_boxes"):
        assert NAME not in str(store.rows(f"SELECT * FROM {table}"))
    # The days count from the last disc that was typed.
    _write(store, box, _row(1), "Kit", now + timedelta(days=20))
    forgetting.erase_due(store, now + timedelta(days=31))
    assert donors.of_disc(store, disc) == donors.NOBODY
    assert donors.of_box(store, box).name == NAME
    forgetting.erase_due(store, now + timedelta(days=50))
    assert donors.of_box(store, box) == donors.NOBODY
    left = [path.name for path in folder.rglob("*") if path.is_file() and
            b"Winterbourne" in path.read_bytes()]  # fmt: skip
    assert left == []
    assert donated_boxes.get(store, box).rows == 1


def test_a_name_taken_off_is_gone_at_once_and_a_copy_to_carry_away_has_none(
    store: Store, now: datetime
) -> None:
    box = donated_boxes.begin(store, "12", NAME, "Kit", now)
    with pytest.raises(BadInput, match="too long for a name"):
        donors.note(store, "x" * 81, now, box_id=box)
    away = store.path.parent / "away.db"
    backup.make_at(store, away, with_callers=False)
    assert b"Winterbourne" not in away.read_bytes()
    donors.note(store, " ", now, box_id=box)
    files = [store.path, *store.path.parent.glob("asheard.db-wal")]
    assert not any(b"Winterbourne" in path.read_bytes() for path in files)


def test_a_box_begun_by_mistake_is_taken_back_until_a_disc_is_in_it(
    store: Store, now: datetime
) -> None:
    box = donated_boxes.begin(store, "12", NAME, "Kit", now)
    undo.take_back(store, undo.recent(store, 1)[0].id, "Kit", now)
    assert donated_boxes.all_boxes(store) == []
    donors.erase_due(store, now)
    assert donors.of_box(store, box) == donors.NOBODY
