"""The kept order of the list: the same as sorting it all, whatever happens to the records."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import catalogue_rows, filed_order, filing, listing, plain_order, undo
from catalogue.filing import ALA_1968, ALA_1980, Rules
from catalogue.filing_keys import mark_key, mark_order
from catalogue.listing import Sought, Start
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store

NOW = datetime(2024, 5, 7, 19, 40)
WORDS = ("The", "A", "Ferry", "McGrath", "St", "99", "9", "Tide", "No.", "Ærø", "O'Brien", "?")
MARKS = ("C 114", "C 2", "LP-0007", "780.15", "780.9", "S 20", "")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "asheard.db")
    yield opened
    opened.close()


def _fill(store: Store, count: int, seed: int = 3) -> None:
    chance = random.Random(seed)
    with undo.action(store, "Charlie", "took in", NOW):
        for number in range(count):
            title, artist = (
                " ".join(chance.choices(WORDS, k=chance.randint(1, 3))) for _ in range(2)
            )
            new = NewRecording(title, artist, year=chance.choice((None, 1962, 1971)))
            recording = catalogue_rows.add_recording(store, new)
            if number % 3:
                mark = f"{chance.choice(MARKS[:-1])} {number // 7}"
                disc = catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, mark, place="Van"))
                track = str(number % 12)
                catalogue_rows.add_holding(
                    store, NewHolding(recording, disc_id=disc, track=track, side="1")
                )


def _walked(store: Store, sought: Sought, limit: int = 7) -> list[int]:
    """All pages after each other, and then back again, which must be the same."""
    there: list[tuple[int, ...]] = []
    start: Start | None = Start()
    while start is not None:
        found = listing.page(store, sought, start, limit)
        there.append(found.ids)
        start = Start(after=found.last) if found.later else None
    back = [found]
    while back[0].earlier:
        back.insert(0, listing.page(store, sought, Start(before=back[0].first), limit))
    there_ids = [one for page in there for one in page]
    assert [one for page in back for one in page.ids] == there_ids
    if found.exact:
        assert found.total == len(there_ids)
    return there_ids


def _sorted(store: Store, sought: Sought) -> list[int]:
    """What sorting everything gives, for each page."""
    if sought.order == "mark":
        return [one for _, one in plain_order.along(store, sought.text, sought.shelf)]
    rules = sought.shelf.rules if sought.shelf else filing.everywhere(store)
    return plain_order.by_words(store, sought.text, sought.order, rules, sought.shelf)


def _agree(store: Store) -> None:
    for shelf in (None, *filing.all_shelves(store)):
        for order in ("title", "artist"):
            for text in ("", "ferry", "st", "ferry tide", "mcg", "o'brien", "nowhere"):
                sought = Sought(text, order, shelf)
                assert _walked(store, sought) == _sorted(store, sought), sought
        for text in ("", "C", "780", "nowhere"):
            sought = Sought(text, "mark", shelf)
            assert _walked(store, sought) == _sorted(store, sought), sought


def test_the_kept_order_is_that_of_sorting(store: Store) -> None:
    _fill(store, 90)
    filing.keep(store, "mark", "C", ALA_1968, "Charlie", NOW)
    filing.keep(store, "room", "van", Rules("kept"), "Charlie", NOW)
    _agree(store)


def test_it_follows_every_kind_of_change_and_taking_it_back(store: Store) -> None:
    _fill(store, 40)
    ids = [row["id"] for row in store.rows("SELECT id FROM recordings")]
    disc = store.rows("SELECT min(id) AS id FROM discs")[0]["id"]
    with undo.action(store, "Charlie", "corrected", NOW):
        catalogue_rows.change_recording(store, ids[0], title="Zebra Ferry", artist="Aaron")
        catalogue_rows.change_recording(store, ids[1], year=1900)
        catalogue_rows.change_disc(store, disc, shelf_mark="A 1")
        copy = store.rows("SELECT min(id) AS id FROM holdings")[0]["id"]
        catalogue_rows.change_holding(store, copy, recording_id=ids[5], track="99")
        store.db.execute("UPDATE artists SET name = 'Zz Top', plain = 'zz top' WHERE id = 2")
        store.db.execute("UPDATE songs SET title = 'Aa', plain = 'aa' WHERE id = 3")
    _agree(store)
    with undo.action(store, "Charlie", "took one out", NOW):
        alone = store.rows(
            "SELECT id FROM recordings WHERE id NOT IN (SELECT recording_id FROM holdings)"
        )[0]["id"]
        store.db.execute("DELETE FROM recordings WHERE id = ?", (alone,))
    _agree(store)
    for action in undo.recent(store, 2):
        undo.take_back(store, action.id, "Charlie", NOW)
        _agree(store)
    assert store.rows("SELECT 1 FROM to_file") == []
    words = store.rows("SELECT count(*) AS n FROM filed_recordings")[0]["n"]
    assert words == len(ids)


def test_the_rules_changed_and_changed_back(store: Store) -> None:
    _fill(store, 60)
    for rules in (ALA_1968, Rules("both", "full"), ALA_1980):
        filing.keep(store, "mark", "", rules, "Charlie", NOW)
        _agree(store)
    undo.take_back(store, undo.recent(store)[0].id, "Charlie", NOW)
    _agree(store)
    while filed_order.go_on(store, listing.rules_in_use(store)):
        pass
    assert len(store.rows("SELECT 1 FROM rule_sets")) == 1
    assert len(store.rows("SELECT 1 FROM filed_keys")) == 60
    _agree(store)


def test_where_much_is_to_be_filed_the_list_is_right_meanwhile(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    _fill(store, 60)
    monkeypatch.setattr(filed_order, "_WITHIN_A_PAGE", 5)
    monkeypatch.setattr(filed_order, "_A_STEP", 7)
    store.db.execute("DELETE FROM rule_sets WHERE id NOT IN (SELECT rule_set FROM filed_keys)")
    filing.keep(store, "mark", "", ALA_1968, "Charlie", NOW)
    assert filed_order.rule_set(store, ALA_1968) is None
    _agree(store)
    steps = 0
    while filed_order.go_on(store, listing.rules_in_use(store)):
        _fill(store, 1, steps)  # another desk works meanwhile
        steps += 1
    assert steps > 5
    assert filed_order.rule_set(store, ALA_1968) is not None
    _agree(store)


def test_many_are_walked_through_and_few_are_looked_up(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    _fill(store, 90)
    filing.keep(store, "mark", "C", ALA_1968, "Charlie", NOW)
    monkeypatch.setattr(listing, "FEW", 3)
    monkeypatch.setattr(listing, "_FEW_DISCS", 0)
    _agree(store)
    assert not listing.page(store, Sought("ferry"), Start(), 5).exact


def test_a_line_that_is_gone_leads_to_where_it_about_was(store: Store) -> None:
    _fill(store, 30)
    page = listing.page(store, Sought(), Start(10, after=10**9), 5)
    assert page.ids == tuple(_sorted(store, Sought())[10:15])


def test_what_another_program_wrote_is_filed_before_the_list_is_shown(store: Store) -> None:
    _fill(store, 10)
    store.db.execute("INSERT INTO to_file VALUES ('recording', 3)")
    store.db.execute("UPDATE filed_keys SET title = 'zzz' WHERE recording_id = 3")
    _agree(store)


@given(
    st.lists(st.text(max_size=12) | st.from_regex(r"[A-Za-z]{0,2}[ .-]?\d{1,4}", fullmatch=True))
)
def test_marks_as_text_are_in_the_order_of_marks(marks: list[str]) -> None:
    assert sorted(marks, key=lambda m: (mark_key(m), m)) == sorted(
        marks, key=lambda m: (mark_order(m), m)
    )


def test_a_mark_with_thousands_of_digits_is_a_mark() -> None:
    assert mark_key("9" * 5_000) > mark_key("9")
