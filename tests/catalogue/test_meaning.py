"""What names on the list of wants mean: remembered, and asked again when it may have changed."""

from __future__ import annotations

import pytest

from catalogue import meaning, undo, wants
from catalogue.catalogue_rows import change_recording
from catalogue.meaning import Meanings
from catalogue.sound_index import SoundIndex

FAR = [("Mudlark Jig", "Hector Pike"), ("Zinc Bucket", "Cy Reed")]
"""What is never asked again when the others change."""


@pytest.fixture
def index(tmp_path, store):
    made = SoundIndex(tmp_path / "index", store)
    yield made
    made.close()


@pytest.fixture
def asked(store, index, monkeypatch):
    """The names that the matcher was asked, in their order."""
    found = []
    ask = meaning.meant_by(index)

    def counted(_index):
        return lambda title, artist: (found.append((title, artist)), ask(title, artist))[1]

    monkeypatch.setattr(meaning, "meant_by", counted)
    return found


def test_a_name_is_asked_once_and_again_when_one_like_it_changes(store, index, asked, now, add):
    lamp = add("My Lantern", "Ann Oke")
    meanings = Meanings(store, index)
    for name in FAR:
        meanings.for_a_page()(*name)
    assert meanings.for_a_page()("My Lanturn", "Ann Oak") == lamp
    assert meanings.for_a_page()("My Lanturn", "Ann Oak") == lamp
    assert asked == [*FAR, ("My Lanturn", "Ann Oak")]
    with undo.action(store, "Kit", "wrote it anew", now):
        change_recording(store, lamp, title="Quay Street Waltz")
    meant = meanings.for_a_page()
    assert meant("My Lanturn", "Ann Oak") is None
    assert [meant(*name) for name in FAR] == [None, None]
    assert asked[3:] == [("My Lanturn", "Ann Oak")]
    # One that is new, and like it.
    again = add("My Lantern", "Ann Oke")
    assert meanings.for_a_page()("My Lanturn", "Ann Oak") == again
    assert len(asked) == 5


def test_a_page_asks_for_a_moment_and_the_rest_is_asked_beside(
    store, index, asked, now, add, monkeypatch
):
    lamp = add("My Lantern", "Ann Oke")
    names = [*FAR, ("Tarred Rope", "Di Fenn"), ("My Lanturn", "Ann Oak")]
    for title, artist in names:
        wants.add(store, title, artist, None, "Kit", now)
    monkeypatch.setattr(meaning, "AT_ONCE_S", 0.0)
    meanings = Meanings(store, index)
    meant = meanings.for_a_page()
    assert [meant(*name) for name in names] == [None] * 4
    assert asked == names[: meaning.AT_ONCE]
    meanings.go_on(lambda: False)
    assert sorted(asked) == sorted(names)
    assert meanings.for_a_page()("My Lanturn", "Ann Oak") == lamp
    # After a taking-in what was found before is told until it is asked again.
    monkeypatch.setattr(meaning, "MANY", 0)
    add("Grey Heron", "Bo Quay")
    meant = meanings.for_a_page()
    assert [meant(*name) for name in names] == [None, None, None, lamp]
    meanings.go_on(lambda: True)
    assert len(asked) == 4 + meaning.AT_ONCE + 1
    wants.close(store, 1, "Kit", now)
    meanings.go_on(lambda: False)
    assert len(asked) == 4 + len(names)
