"""Callers' details: written, looked at twice, and truly gone."""

import random
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import callers, loans, may_be_said, places, request_slips, settings, undo, wants
from catalogue.catalogue_rows import holdings_of
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.store import Store

TEXTS = [
    f
    for f in callers.WRITABLE
    if f not in ("place_id", "consent", "place_consent", "under_sixteen", "may_hear")
]


@pytest.fixture
def slip(store, now):
    return request_slips.start(store, "request", "Kit", now)


def _bytes_on_disk(store: Store) -> bytes:
    """All that the database's files hold, the log and what else lies beside it."""
    files = sorted(store.path.parent.glob(f"{store.path.name}*"))
    return b"".join(file.read_bytes() for file in files)


def test_some_fields_are_written_and_the_others_stay(store, now, slip):
    ward = places.add(store, "Albion Ward", "", True, "Kit", now)
    callers.write(store, slip, {"caller_name": " Dot ", "place_id": str(ward)}, "Kit", now)
    callers.write(store, slip, {"why": "for her sister"}, "Kit", now)
    details = callers.of(store, slip)
    assert (details.caller_name, details.place_id, details.why) == ("Dot", ward, "for her sister")
    assert details.under_sixteen is False
    callers.write(store, slip, {"place_id": ""}, "Kit", now)
    assert callers.of(store, slip).place_id is None


@pytest.mark.parametrize(
    "changes",
    [
        {"surname": "x"}, {"slip_id": 2}, {"erase_on": "2099-01-01"}, {"consent_at": "x"},
        {"consent": "perhaps"}, {"place_id": "77"}, {"place_id": "x"}, {"why": "x" * 2001},
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_refused_and_nothing_is_written(store, now, slip, changes):
    before = callers.of(store, slip)
    with pytest.raises(BadInput):
        callers.write(store, slip, {"why": "kept?", **changes}, "Kit", now)
    assert callers.of(store, slip) == before


def test_consent_is_stamped_when_and_by_whom(store, now, slip):
    callers.write(store, slip, {"consent": "yes"}, "Kit", now)
    later = now + timedelta(minutes=5)
    callers.write(store, slip, {"consent": "yes", "why": "x"}, "Ned", later)
    details = callers.of(store, slip)
    assert (details.consent_at, details.consent_noted_by) == ("2026-11-25T19:30:00", "Kit")
    callers.write(store, slip, {"consent": "no"}, "Ned", later)
    assert callers.of(store, slip).consent_noted_by == "Ned"
    callers.write(store, slip, {"consent": ""}, "Ned", later)
    assert callers.of(store, slip).consent_at is None


def test_two_desks_do_not_overwrite_each_other(store, now, slip):
    callers.write(store, slip, {"why": "her birthday"}, "Kit", now)
    with pytest.raises(ChangedMeanwhile):
        callers.write(store, slip, {"why": "a wedding"}, "Ned", now, seen={"why": ""})
    assert callers.of(store, slip).why == "her birthday"
    callers.write(store, slip, {"why": "a wedding"}, "Ned", now, seen={"why": "her birthday"})
    callers.write(store, slip, {"line": "2"}, "Ned", now, seen={"why": "out of date", "line": ""})
    assert (callers.of(store, slip).why, callers.of(store, slip).line) == ("a wedding", "2")


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({}, ""),
        ({"consent": "no"}, ""),
        ({"consent": "yes"}, "Dot Marsh"),
        ({"consent": "first name only"}, "Dot"),
        ({"consent": "yes", "under_sixteen": True}, ""),
        ({"consent": "yes", "under_sixteen": True, "adult_consent": "her mother"}, "Dot Marsh"),
        ({"consent": "yes", "say_name": "DOTT Marsh"}, "DOTT Marsh"),
        ({"consent": "first name only", "caller_name": "Mrs Gladys Pym"}, "Gladys"),
        ({"consent": "first name only", "caller_name": "Mrs Pym"}, ""),
        ({"consent": "first name only", "say_name": "DOTT MAHSH"}, "DOTT"),
        ({"consent": "first name only", "say_name": "MAHSH"}, "Dot"),
        ({"consent": "first name only", "caller_name": "", "say_name": "GLAD-iss"}, "GLAD-iss"),
    ],
)
def test_the_name_on_air_needs_consent(store, now, slip, changes, name):
    callers.write(store, slip, {"caller_name": "Dot Marsh", **changes}, "Kit", now)
    assert may_be_said.name(callers.of(store, slip)) == name


@pytest.mark.parametrize(
    ("changes", "may"),
    [
        ({}, False),
        ({"consent": "yes"}, False),
        ({"place_consent": "yes"}, True),
        ({"place_consent": "no", "consent": "yes"}, False),
        ({"place_consent": "yes", "under_sixteen": True}, False),
        ({"place_consent": "yes", "under_sixteen": True, "adult_consent": "her mother"}, True),
    ],
)
def test_the_place_on_air_has_a_consent_of_its_own(store, now, slip, changes, may):
    callers.write(store, slip, changes, "Kit", now)
    assert may_be_said.place(callers.of(store, slip)) is may


def test_each_consent_has_its_own_stamp(store, now, slip):
    callers.write(store, slip, {"consent": "yes"}, "Kit", now)
    later = now + timedelta(minutes=2)
    callers.write(store, slip, {"place_consent": "no", "adult_consent": "Ma"}, "Ned", later)
    details = callers.of(store, slip)
    assert (details.consent_at, details.consent_noted_by) == ("2026-11-25T19:30:00", "Kit")
    assert (details.place_consent_at, details.place_consent_noted_by) == (
        "2026-11-25T19:32:00", "Ned",
    )  # fmt: skip
    assert (details.adult_consent_at, details.adult_consent_noted_by) == (
        "2026-11-25T19:32:00", "Ned",
    )  # fmt: skip


def test_the_days_count_from_the_day_written(store, now, slip):
    settings.put(store, "caller_days", "2", "Kit", now)
    other = request_slips.start(store, "request", "Kit", now)
    assert callers.of(store, slip).erase_on == "2026-12-02"
    assert callers.of(store, other).erase_on == "2026-11-27"
    assert callers.erase_due(store, now + timedelta(days=1)) == 0
    assert callers.erase_due(store, datetime(2026, 11, 27, 0, 0)) == 1
    assert callers.of(store, other) is None
    assert callers.of(store, slip) is not None
    assert store.rows("SELECT at, slips FROM erasures") == [
        {"at": "2026-11-27T00:00:00", "slips": 1}
    ]
    with pytest.raises(NotFound, match="erased"):
        callers.write(store, other, {"why": "late"}, "Kit", now)


def test_nothing_of_a_caller_is_left_in_the_files(store, now, add):
    """Every field through a whole slip's life, then the bytes of every file are searched."""
    tide = add("Tide", "Ann Oke")
    held = add("Lamp", "Bo Quay", file=False, disc="C 114")
    slip = request_slips.start(store, "dedication", "Kit", now)
    callers.write(store, slip, {f: f"MARKERold{f}" for f in TEXTS}, "Kit", now)
    callers.write(
        store,
        slip,
        {f: f"MARKERnew{f}" for f in TEXTS} | {"consent": "yes", "under_sixteen": True},
        "Kit",
        now,
    )
    request_slips.choose(store, slip, tide, None, "Kit", now, stand_in_for=held)
    request_slips.hand_over(store, slip, "Studio 1", "Kit", now)
    assert request_slips.played(store, slip, "Ada", now)
    wants.add(store, "Lamp", "Bo Quay", held, "Kit", now)
    loans.lend(store, holdings_of(store, [held])[held][0].disc_id, "Ned", None, "Liv", now)
    assert b"MARKERnew" in _bytes_on_disk(store)

    assert callers.erase_due(store, now + timedelta(days=7)) == 1

    assert callers.of(store, slip) is None
    assert b"MARKER" not in _bytes_on_disk(store)
    assert "MARKER" not in "\n".join(store.db.conn.iterdump())
    assert request_slips.get(store, slip).state == "played"


@pytest.mark.parametrize("seed", range(3))
def test_nothing_is_left_among_many_slips_of_all_sizes(store, now, seed):
    """Rows that were moved between pages leave no copy behind, and the others are whole."""
    rng = random.Random(seed)
    slips = [
        request_slips.start(store, "request", "Kit", now + timedelta(days=i // 40))
        for i in range(160)
    ]
    for slip in rng.sample(slips, len(slips)) + rng.choices(slips, k=100):
        text = f"MARKER{slip:04d}-" * rng.choice([1, 3, 30, 140])
        callers.write(store, slip, {"why": text, "heard": text[:50]}, "Kit", now)
    for day in (7, 8):
        left = {slip: callers.of(store, slip) for slip in slips[(day - 6) * 40 :]}
        assert callers.erase_due(store, now + timedelta(days=day)) == 40
        on_disk = _bytes_on_disk(store)
        gone = slips[: (day - 6) * 40]
        assert [slip for slip in gone if b"MARKER%04d-" % slip in on_disk] == []
        assert {slip: callers.of(store, slip) for slip in left} == left


def test_what_was_written_over_or_taken_back_is_gone_within_the_hour(store, now):
    rng = random.Random(5)
    slips = [request_slips.start(store, "request", "Kit", now) for _ in range(60)]
    started = [action.id for action in undo.recent(store, 60)]
    for slip in rng.sample(slips, len(slips)):
        text = "MARKER" * rng.choice([1, 20, 150])
        callers.write(store, slip, {"why": text}, "Kit", now)
    for slip in slips[:30]:
        callers.write(store, slip, {"why": "kept"}, "Kit", now)
    for action in started[:30]:
        undo.take_back(store, action, "Kit", now)
    assert callers.erase_due(store, now) == 0
    assert b"MARKER" not in _bytes_on_disk(store)
    assert [callers.of(store, slip).why for slip in slips[:30]] == ["kept"] * 30
    assert [callers.of(store, slip) for slip in slips[30:]] == [None] * 30


def test_details_are_erased_at_once_when_asked(store, now, slip):
    other = request_slips.start(store, "request", "Kit", now)
    callers.write(store, slip, {"why": "MARKERone"}, "Kit", now)
    callers.write(store, other, {"why": "MARKERtwo"}, "Kit", now)
    assert callers.erase_now(store, slip, now) == 1
    assert b"MARKERone" not in _bytes_on_disk(store)
    assert callers.of(store, other).why == "MARKERtwo"
    assert callers.erase_now(store, slip, now) == 0


def test_a_log_kept_by_a_reader_is_emptied_the_next_time(store, now, slip):
    """Another program reading just then stands in the way of emptying the log, once."""
    callers.write(store, slip, {"why": "MARKERreader"}, "Kit", now)
    reader = Store(store.path)
    reader.db.execute("BEGIN")
    reader.rows("SELECT count(*) FROM slips")
    store.db.execute("PRAGMA busy_timeout = 50")
    later = now + timedelta(days=7)
    assert callers.erase_due(store, later) == 1
    reader.db.execute("COMMIT")
    assert callers.erase_due(store, later + timedelta(hours=1)) == 0
    assert b"MARKERreader" not in _bytes_on_disk(store)
    reader.close()


def test_taking_back_the_start_of_a_slip_takes_the_details_too(store, now):
    slip = request_slips.start(store, "", "Kit", now)
    undo.take_back(store, undo.recent(store)[0].id, "Kit", now)
    assert callers.of(store, slip) is None
    assert request_slips.start(store, "", "Kit", now) != slip


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("born on a Tuesday in 1931", "date of birth"),
        ("DOB 3/4/31", "date of birth"),
        ("he is 80, 3rd of April 1946", "date of birth"),
        ("1946-04-03", "date of birth"),
        ("ring 01632 960 123", "telephone"),
        ("+44 1632 960123", "telephone"),
        ("no 943-476-5870", "patient"),
        ("patient number A12", "patient"),
        ("in bed 3 by the window", "bed"),
        ("she has dementia", "illness"),
    ],
)
def test_cautions(text, word):
    """943-476-5870 is the example of an NHS number in python-stdnum (stdnum.gb.nhs)."""
    for field in ("why", "for_whom", "place_detail"):
        (said,) = callers.cautions(callers.CallerDetails(1, **{field: text}))
        assert word in said


@pytest.mark.parametrize(
    "text",
    ["", "for her 80th birthday", "50 years married", "Room 12", "married in 1961", "may be late",
     "the song from 1959 to 1962", "Ward 7"],
)  # fmt: skip
def test_no_caution_without_a_cause(text):
    assert callers.cautions(callers.CallerDetails(1, why=text, place_detail=text)) == []


def test_the_number_to_ring_back_is_in_its_place():
    assert callers.cautions(callers.CallerDetails(1, ring_back="01632 960123")) == []


def test_a_child_needs_a_grown_up():
    (said,) = callers.cautions(callers.CallerDetails(1, under_sixteen=True))
    assert "grown-up" in said


@given(st.text(max_size=200))
def test_cautions_take_any_text(text):
    assert isinstance(callers.cautions(callers.CallerDetails(1, why=text)), list)


def test_every_free_text_of_a_caller_is_looked_at(store, now):
    """A new field is too, or is named here with its reason: choices, a title as it was heard (which
    may be a date or a number), the line, and the place for a number to ring back."""
    not_looked_at = {
        "heard", "heard_title", "heard_artist", "place_id", "line", "ring_back", "consent",
        "place_consent", "under_sixteen", "may_hear", "how_on_air",
    }  # fmt: skip
    slip = request_slips.start(store, "request", "Kit", now)
    for name in set(callers.WRITABLE) - not_looked_at:
        callers.write(store, slip, {name: "born on 3/4/1946"}, "Kit", now)
        said = callers.cautions(callers.of(store, slip))
        assert any("date of birth" in caution for caution in said), name
        callers.write(store, slip, {name: ""}, "Kit", now)
