"""What the collection lacks."""

from catalogue import gaps, undo, wants
from catalogue.catalogue_rows import change_holding, holdings_of
from catalogue.records import Condition


def test_fields_are_counted_over_what_is_held(store, add):
    add("Tide", "Ann Oke", year=1961)
    bare = add("Lamp", "Bo Quay")
    add("Known only", "Cy Reed", file=False)
    counts = {field.name: (field.missing, field.of) for field in gaps.missing_fields(store)}
    assert counts["year"] == (1, 2)
    assert counts["tempo"] == (2, 2)
    assert [recording.id for recording in gaps.lacking(store, "year")] == [bare]


def test_an_empty_store_lacks_nothing(store):
    assert {(f.missing, f.of) for f in gaps.missing_fields(store)} == {(0, 0)}
    assert gaps.unplayable(store) == [] and gaps.unmet(store) == []


def test_unplayable_is_when_no_copy_plays(store, now, add):
    lost, both = add("Lost", "Ann Oke"), add("Both", "Ann Oke", disc="C 1")
    broken = add("Broken", "Ann Oke", file=False, disc="C 2", condition=Condition.DAMAGED)
    add("Known only", "Cy Reed", file=False)
    with undo.action(store, "Liv", "looked", now):
        for recording in (lost, both):
            change_holding(store, holdings_of(store, [recording])[recording][0].id, missing=1)
    assert [recording.id for recording in gaps.unplayable(store)] == [lost, broken]


def test_unmet_wants(store, now):
    want = wants.add(store, "Tide", "", None, "Kit", now)
    assert [w.id for w in gaps.unmet(store)] == [want]
