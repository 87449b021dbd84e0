"""Staff records have their own period: then a name is off the list and off what was done."""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta

import pytest

from catalogue import (
    backup,
    callers,
    duplicates,
    forgetting,
    loans,
    programmes,
    request_slips,
    settings,
    staff,
    undo,
    who_left,
)

NAME = "Wilhelmina Fenn"


@pytest.fixture
def ann(store, now, add):
    """Somebody who did something of everything."""
    person = staff.add(store, NAME, "librarian", "four plain words", "Kit", now)
    a, b = add("Tide", "Bo", disc="C 1"), add("Tide", "Bo", version="live")
    duplicates.judge(store, a, b, "different", NAME, now)
    programmes.add(store, "Evening", NAME, now, now + timedelta(hours=1), NAME, now)
    loans.lend(store, 1, NAME, None, NAME, now)
    loans.bring_back(store, 1, NAME, now)
    slip = request_slips.start(store, "request", NAME, now)
    callers.write(store, slip, {"consent": "yes"}, NAME, now)
    return person


def _dump(store):
    return "\n".join(store.db.conn.iterdump())


def test_a_name_goes_when_its_time_is_over_and_the_work_stays(store, now, ann):
    copy = backup.make(store, backup.Kind.DAILY, now)
    settings.put(store, "staff_days", "30", "Kit", now)
    staff.set_active(store, ann, False, now)
    actions = len(store.rows("SELECT 1 FROM actions"))
    forgetting.erase_due(store, now + timedelta(days=29))
    assert NAME in _dump(store)

    forgetting.erase_due(store, now + timedelta(days=30))

    assert NAME not in _dump(store)
    assert len(store.rows("SELECT 1 FROM actions")) == actions
    assert staff.all_people(store) == []
    (judged,) = store.rows("SELECT signed_by, verdict FROM judgements")
    assert judged == {"signed_by": who_left.INSTEAD, "verdict": "different"}
    lent = [row["what"] for row in store.rows("SELECT what FROM actions WHERE what LIKE 'lent %'")]
    assert lent == ["lent C 1 to somebody who left"]
    with closing(backup.connect(copy, read_only=True)) as db:
        assert NAME not in "\n".join(db.iterdump())
    for path in (copy, *store.path.parent.glob("asheard.db*")):
        assert NAME.encode() not in path.read_bytes(), path
    assert forgetting.held_about(store, NAME) == []


def test_work_can_still_be_noted_and_taken_back(store, now, ann):
    """The triggers are back as they were."""
    made = store.rows("SELECT name, sql FROM sqlite_master WHERE type = 'trigger' ORDER BY name")
    staff.set_active(store, ann, False, now)
    then = now + timedelta(days=400)
    assert who_left.erase_due(store, then) == 1
    assert made == store.rows(
        "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' ORDER BY name"
    )
    loans.lend(store, 1, "Kit", None, "Kit", then)
    undo.take_back(store, undo.recent(store, 1)[0].id, "Kit", then)
    assert loans.out(store) == {}


def test_who_came_back_or_works_here_is_kept(store, now, ann):
    staff.set_active(store, ann, False, now)
    staff.set_active(store, ann, True, now + timedelta(days=100))
    assert who_left.erase_due(store, now + timedelta(days=4000)) == 0
    assert [person.name for person in staff.all_people(store)] == [NAME]


def test_a_failure_leaves_everything_as_it_was(store, now, ann, monkeypatch):
    staff.set_active(store, ann, False, now)
    before = _dump(store)

    def broken(*_):
        raise OSError("the drive is gone")

    monkeypatch.setattr(who_left, "_erase_from_history", broken)
    with pytest.raises(OSError, match="drive"):
        who_left.erase_due(store, now + timedelta(days=400))
    assert _dump(store) == before
