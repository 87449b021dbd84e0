"""Who may do what, and getting in."""

from datetime import timedelta

import pytest

from catalogue import settings, staff
from catalogue.errors import BadInput, NotFound
from catalogue.staff import Role

WORDS = "ferry lemon quilt brass 47"


def test_getting_in(store, now):
    ada = staff.add(store, " Ada  Sluice ", "presenter", WORDS, "Kit", now)
    for typed in (WORDS, "Ferry-Lemon-Quilt-Brass-47", "  ferry  lemon quilt brass 47 "):
        assert staff.check(store, "ada sluice", typed).id == ada
    assert staff.check(store, "Ada Sluice", "ferry lemon quilt brass 48") is None
    assert staff.check(store, "Nobody", WORDS) is None
    assert staff.check(store, "", "") is None


def test_the_passphrase_itself_is_not_kept(store, now):
    staff.add(store, "Ada", "presenter", WORDS, "Kit", now)
    held = "\n".join(store.db.conn.iterdump())
    assert "ferry" not in held and "$argon2id$" in held


def test_a_new_passphrase_or_leaving_ends_sessions(store, now):
    ada = staff.add(store, "Ada", Role.PRESENTER, WORDS, "Kit", now)
    before = staff.get(store, ada).session_key
    staff.new_words_for(store, ada, "otter-quill-sand-plum-11")
    assert staff.get(store, ada).session_key != before
    assert staff.check(store, "Ada", WORDS) is None
    assert staff.check(store, "Ada", "otter quill sand plum 11")
    staff.set_active(store, ada, False, now)
    assert staff.check(store, "Ada", "otter quill sand plum 11") is None
    assert [(p.name, p.active) for p in staff.all_people(store)] == [("Ada", False)]


@pytest.mark.parametrize(
    ("name", "role", "words"),
    [(" ", "presenter", WORDS), ("Bo", "boss", WORDS), ("Bo", "presenter", "short"),
     ("ADA", "presenter", WORDS)],
)  # fmt: skip
def test_what_cannot_be_used_is_refused(store, now, name, role, words):
    staff.add(store, "Ada", "keeper", WORDS, "Kit", now)
    with pytest.raises(BadInput):
        staff.add(store, name, role, words, "Kit", now)
    assert len(staff.all_people(store)) == 1


def test_an_unknown_person(store, now):
    assert staff.get(store, 5) is None
    with pytest.raises(NotFound):
        staff.set_active(store, 5, True, now)


def test_roles():
    allowed = {role: {act for act in staff.ACTS if staff.may(role, act)} for role in Role}
    assert allowed == {
        # Past callers: the keeper alone, who answers to them and erases.
        "searcher": {"phone", "shelves", "see callers"},
        "presenter": {"phone", "studio", "shelves", "programme", "see callers"},
        "librarian": {"shelves", "edit catalogue", "programme"},
        "keeper": set(staff.ACTS),
    }
    assert not staff.may("stranger", "phone")
    with pytest.raises(BadInput):
        staff.may(Role.KEEPER, "fly")


def test_a_one_time_passphrase_is_over_after_two_weeks_or_once_they_chose_their_own(store, now):
    ada = staff.add(store, "Ada", "presenter", WORDS, "Kit", now, one_time=True)
    first = staff.check(store, "Ada", WORDS)
    assert first.phrase_until == (now + timedelta(days=14)).isoformat(timespec="seconds")
    assert not first.is_over(now + timedelta(days=14))
    assert first.is_over(now + timedelta(days=14, seconds=1))
    staff.new_words_for(store, ada, "otter quill sand plum 11")
    own = staff.check(store, "Ada", "otter quill sand plum 11")
    assert own.phrase_until is None and not own.is_over(now + timedelta(days=4000))
    staff.new_words_for(store, ada, WORDS, one_time_from=now)
    assert staff.get(store, ada).phrase_until is not None


def test_a_passphrase_of_the_station_s_and_one_s_own_name_is_refused(store, now):
    settings.put(store, "station_name", "Estuary Sound", "Kit", now)
    for words in ("estuary sound 2024", "ada-sluice-presenter", "asheard asheard asheard"):
        with pytest.raises(BadInput, match="first to be guessed"):
            staff.add(store, "Ada Sluice", "presenter", words, "Kit", now)


def test_another_role_ends_the_sessions(store, now):
    ada = staff.add(store, "Ada", "presenter", WORDS, "Kit", now)
    before = staff.get(store, ada).session_key
    staff.set_role(store, ada, Role.SEARCHER)
    between = staff.get(store, ada).session_key
    staff.end_sessions(store, ada)
    assert len({before, between, staff.get(store, ada).session_key}) == 3


def test_a_role_is_changed_and_one_keeper_always_stays(store, now):
    kit = staff.add(store, "Kit", Role.KEEPER, WORDS, "first start", now)
    ada = staff.add(store, "Ada", Role.PRESENTER, WORDS, "Kit", now)
    for attempt in (
        lambda: staff.set_role(store, kit, Role.LIBRARIAN),
        lambda: staff.set_active(store, kit, False, now),
        lambda: staff.set_role(store, ada, "boss"),
    ):
        with pytest.raises(BadInput):
            attempt()
    staff.set_role(store, ada, Role.KEEPER)
    staff.set_role(store, kit, Role.LIBRARIAN)
    assert [(p.name, p.role) for p in staff.all_people(store)] == [
        ("Ada", Role.KEEPER), ("Kit", Role.LIBRARIAN),
    ]  # fmt: skip
    with pytest.raises(BadInput):
        staff.set_active(store, ada, False, now)
    with pytest.raises(NotFound):
        staff.set_role(store, 99, Role.SEARCHER)
