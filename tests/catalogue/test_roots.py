"""Library folders: stored once, shown to each desk as it sees them."""

from __future__ import annotations

from datetime import datetime

import pytest

from catalogue import catalogue_rows, roots, undo
from catalogue.errors import BadInput, NotFound
from catalogue.records import NewHolding, NewRecording
from catalogue.store import Store


@pytest.mark.parametrize(
    ("path", "seen", "expected"),
    [
        ("/srv/music/a/b.mp3", {"/srv/music": r"M:\Music"}, r"M:\Music\a\b.mp3"),
        ("/srv/music/a/b.mp3", {"/srv/music": "M:\\"}, r"M:\a\b.mp3"),
        ("/srv/music/a/b.mp3", {"/srv/music": "M:"}, r"M:\a\b.mp3"),
        ("/srv/music/a/b.mp3", {"/srv/music": r"\\pc\music"}, r"\\pc\music\a\b.mp3"),
        ("/srv/music/a/b.mp3", {"/srv/music": "/Volumes/music/"}, "/Volumes/music/a/b.mp3"),
        (r"D:\Music\a\b.mp3", {r"D:\Music": "/mnt/music"}, "/mnt/music/a/b.mp3"),
        (r"D:\Music\a\b.mp3", {r"D:\Music": r"M:\x"}, r"M:\x\a\b.mp3"),
        ("/srv/music/a/b.mp3", {"/srv": "/one", "/srv/music": "/two"}, "/two/a/b.mp3"),
        ("/srv/musical/b.mp3", {"/srv/music": "M:\\"}, "/srv/musical/b.mp3"),
        ("/srv/music/a\\b.mp3", {"/srv/music": "/two"}, "/two/a\\b.mp3"),
        ("/srv/music/b.mp3", {}, "/srv/music/b.mp3"),
        ("/b.mp3", {"/": "/two"}, "/two/b.mp3"),
    ],
)
def test_a_path_as_a_desk_sees_it(path: str, seen: dict[str, str], expected: str) -> None:
    """With the strokes of that desk's kind; untouched where nothing was said."""
    assert roots.as_seen(path, seen) == expected


def test_each_desk_has_its_own_view(store: Store, now: datetime) -> None:
    """Said, changed and taken back."""
    roots.add(store, "/srv/music", "Ann", now)
    roots.see_as(store, "/srv/music/", "Studio 1", "M:\\Music", "Ann", now)
    roots.see_as(store, "/srv/music", "Phone", "/Volumes/music", "Ann", now)
    assert roots.seen_by(store, "studio 1") == {"/srv/music": "M:\\Music"}

    roots.see_as(store, "/srv/music", "Studio 1", "N:\\", "Ann", now)
    assert roots.seen_by(store, "Studio 1") == {"/srv/music": "N:\\"}
    undo.take_back(store, undo.recent(store)[0].id, "Ann", now)
    assert roots.seen_by(store, "Studio 1") == {"/srv/music": "M:\\Music"}
    roots.see_as(store, "/srv/music", "Studio 1", "", "Ann", now)

    assert roots.seen_by(store, "Studio 1") == {}
    assert [view.desk for view in roots.views(store)] == ["Phone"]


def test_what_cannot_be_said(store: Store, now: datetime) -> None:
    """A folder that is not known, a desk without a name."""
    roots.add(store, "/srv/music", "Ann", now)

    with pytest.raises(NotFound, match="Those that were: /srv/music"):
        roots.see_as(store, "/srv/films", "Studio 1", "M:\\", "Ann", now)
    with pytest.raises(BadInput, match="a name"):
        roots.see_as(store, "/srv/music", " ", "M:\\", "Ann", now)


def test_a_folder_inside_a_known_one_is_not_another(store: Store, now: datetime) -> None:
    """Taking in one album's folder again makes no new library folder."""
    first = roots.add(store, "/srv/music/", "Ann", now)

    assert roots.add(store, "/srv/music/Ada Sluice", "Ann", now) == first
    assert roots.add(store, "/srv/musical", "Ann", now) != first
    assert [root.path for root in roots.all_roots(store)] == ["/srv/music", "/srv/musical"]


def test_a_folder_that_moved(store: Store, now: datetime) -> None:
    """All its files go with it; a path that is taken is left, and that is counted."""
    roots.add(store, "/srv/music", "Ann", now)
    with undo.action(store, "Ann", "took in", now):
        number = catalogue_rows.add_recording(store, NewRecording("Tide", "Ada Sluice"))
        for path in ("/srv/music/a/1.mp3", "/srv/music/2.mp3", "/srv/musical/3.mp3"):
            catalogue_rows.add_holding(store, NewHolding(number, path=path))

    assert roots.move(store, "/srv/music", "/data/songs", "Ann", now) == (2, 0)

    def paths() -> list[str]:
        return [row["path"] for row in store.rows("SELECT path FROM holdings ORDER BY id")]

    assert paths() == ["/data/songs/a/1.mp3", "/data/songs/2.mp3", "/srv/musical/3.mp3"]
    assert [root.path for root in roots.all_roots(store)] == ["/data/songs"]
    undo.take_back(store, undo.recent(store)[0].id, "Ann", now)
    assert paths()[0] == "/srv/music/a/1.mp3"
    with undo.action(store, "Ann", "took in", now):
        catalogue_rows.add_holding(store, NewHolding(number, path="/data/songs/2.mp3"))
    assert roots.move(store, "/srv/music", "/data/songs", "Ann", now) == (1, 1)
    with pytest.raises(NotFound):
        roots.move(store, "/none", "/x", "Ann", now)
