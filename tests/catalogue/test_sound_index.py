"""The sound index: always as the database says, whatever happened to it in between."""

from __future__ import annotations

import json
import logging
import shutil
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import catalogue_rows as rows
from catalogue import sound_index as module
from catalogue import undo
from catalogue.errors import StoreProblem
from catalogue.records import NewRecording
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from tests.catalogue.filed import add_many, assert_right, first

AddRecording = Callable[..., int]


@pytest.fixture
def index(store: Store, tmp_path: Path) -> Iterator[SoundIndex]:
    opened = SoundIndex(tmp_path / "sound_index", store)
    yield opened
    opened.close()


@pytest.fixture
def many(store: Store, now: datetime) -> dict[int, tuple[str, str]]:
    return add_many(store, now)


# It follows the database


def test_what_is_added_is_found_by_the_next_search(index: SoundIndex, add: AddRecording) -> None:
    """Without anybody telling the index."""
    assert first(index, "My Lantern") is None
    number = add("My Lantern", "Ann Oke")

    assert first(index, "My Lantern") == number


def test_renaming_and_undoing_are_followed(
    index: SoundIndex, add: AddRecording, store: Store, now: datetime
) -> None:
    """The recording, its artist, another name; each found, the old one gone, and back again."""
    number = add("My Lantern", "Ann Oke")
    artist = rows.recording(store, number).artist_id
    renamed: list[tuple[Callable[[], object], tuple[str, str], tuple[str, str] | None]] = [
        (lambda: rows.change_recording(store, number, title="Her Candle"),
         ("Her Candle", "Ann Oke"), ("My Lantern", "Ann Oke")),
        (lambda: store.db.execute("UPDATE artists SET name = 'Ada Sluice'"),
         ("Her Candle", "Ada Sluice"), ("Her Candle", "Ann Oke")),
        (lambda: rows.add_other_name(store, "also known as", "The Ferry Girl", artist=artist),
         ("Her Candle", "The Ferry Girl"), None),
        (lambda: rows.add_other_name(store, "refrain", "la la lee", recording=number),
         ("la la lee", "Ada Sluice"), None),
        (lambda: rows.add_other_name(store, "hearing", "hair can dull", recording=number),
         ("hair can dull", ""), None),
    ]  # fmt: skip
    for change, new, old in renamed:
        assert first(index, *new) is None
        with undo.action(store, "Dilys", "renamed", now):
            change()
        assert first(index, *new) == number
        assert old is None or first(index, *old) is None
    for action in undo.recent(store, len(renamed)):
        undo.take_back(store, action.id, "Dilys", now)
    assert all(first(index, *new) is None for _, new, _ in renamed)
    assert first(index, "My Lantern") == number


def test_what_is_deleted_is_not_found(
    index: SoundIndex, add: AddRecording, store: Store, now: datetime
) -> None:
    """A taking-in that is taken back."""
    add("My Lantern", "Ann Oke")
    assert first(index, "My Lantern") is not None
    undo.take_back(store, undo.recent(store)[0].id, "Dilys", now)

    assert first(index, "My Lantern") is None
    assert len(index) == 0


def test_what_is_not_committed_is_not_filed(
    index: SoundIndex, add: AddRecording, store: Store, now: datetime
) -> None:
    """A search inside an action that fails afterwards leaves no ghost, and misses nothing later."""
    with pytest.raises(ZeroDivisionError), undo.action(store, "Dilys", "broken off", now):
        rows.add_recording(store, NewRecording("A Ghost", "Ann Oke"))
        assert first(index, "A Ghost") is None
        raise ZeroDivisionError
    number = add("My Lantern", "Ann Oke")

    assert first(index, "A Ghost") is None
    assert first(index, "My Lantern") == number


def test_a_bracket_is_part_of_the_name_or_not(index: SoundIndex, add: AddRecording) -> None:
    """Found with it and without it."""
    add("Lantern Waltz (Part 1)", "Ann Oke")
    second = add("Lantern Waltz (Part 2)", "Ann Oke")

    assert first(index, "Lantern Waltz Part 2") == second
    assert first(index, "Lantern Waltz") is not None


def test_an_index_opens_again_without_being_made_anew(
    index: SoundIndex,
    store: Store,
    many: dict[int, tuple[str, str]],
    caplog: pytest.LogCaptureFixture,
) -> None:
    """Silently, in the folder it was in."""
    index.catch_up()
    index.close()
    with caplog.at_level(logging.INFO):
        again = SoundIndex(index.folder, store)

    assert caplog.messages == []
    assert_right(again, many)
    again.close()


# It is made anew


def _damaged_files(folder: Path) -> list[Path]:
    return sorted(p for p in folder.rglob("*") if p.is_file() and p.suffix in (
        ".term", ".idx", ".fast", ".fieldnorm", ".store", "") and p.name[0] != ".")  # fmt: skip


@pytest.mark.parametrize("how", ["cut short", "overwritten", "one bit", "removed", "all of it"])
def test_a_damaged_index_is_made_anew(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]], how: str,
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """Each file of it, one after the other; a line in the log, and right answers."""
    index.catch_up()
    index.close()
    kept = index.folder.with_name("kept")
    shutil.copytree(index.folder, kept)
    files = [file.relative_to(index.folder) for file in _damaged_files(index.folder)]
    for file in [Path()] if how == "all of it" else files:
        shutil.rmtree(index.folder)
        shutil.copytree(kept, index.folder)
        target = index.folder / file
        if how == "all of it":
            shutil.rmtree(target)
        elif how == "removed":
            target.unlink()
        else:
            content = target.read_bytes()
            half = content[: len(content) // 2]
            bit = half + bytes([content[len(half)] ^ 4]) + content[len(half) + 1 :]
            damaged = {"cut short": half, "one bit": bit, "overwritten": b"\xa5" * len(content)}
            target.write_bytes(damaged[how])
        caplog.clear()
        with caplog.at_level(logging.INFO):
            again = SoundIndex(index.folder, store)
            assert_right(again, many)
        assert any("The sound index was made" in m for m in caplog.messages), file
        again.close()


@pytest.mark.parametrize(
    "state",
    ["", "[]", "null", "{", '{"make": "x"}', "\x00\x00", '{"last": 3}', None],
)
def test_a_damaged_state_is_no_matter(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]], state: str | None
) -> None:
    """No text in that small file ends in an error; neither does a state of wrong kinds."""
    index.catch_up()
    index.close()
    path = index.folder / "state.json"
    kept = json.loads(path.read_text())
    path.write_text(json.dumps({**kept, "last": "three"}) if state is None else state)

    again = SoundIndex(index.folder, store)
    assert_right(again, many)
    again.close()


@pytest.mark.parametrize(
    ("change", "why"),
    [({"make": 0}, "older make"), ({"identity": 7}, "another catalogue"),
     ({"last": 10**9}, "ahead of the catalogue"), ({"folder": "elsewhere"}, "could not be opened"),
     ({"folder": "../elsewhere"}, "could not be read"), ({"forms": -1}, "could not be read"),
     ({"forms": 10**9}, "could not be opened"), ({"checksum": 7}, "could not be opened")],
)  # fmt: skip
def test_an_index_that_does_not_fit_is_made_anew(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]], change: dict[str, object],
    why: str, caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """And the log says why."""
    index.catch_up()
    index.close()
    path = index.folder / "state.json"
    path.write_text(json.dumps({**json.loads(path.read_text()), **change}))

    again = SoundIndex(index.folder, store)
    assert_right(again, many)
    assert why in caplog.text
    again.close()


def test_an_index_of_an_older_make_is_told_as_such(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]],
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """Its state lacks what was not known then."""
    index.catch_up()
    index.close()
    path = index.folder / "state.json"
    old = {**json.loads(path.read_text()), "make": 9}
    path.write_text(json.dumps({k: old[k] for k in ("make", "identity", "last", "folder")}))

    again = SoundIndex(index.folder, store)
    assert_right(again, many)
    assert "it was of an older make" in caplog.text
    again.close()


@pytest.mark.parametrize("names", [4_000_000_000, -1, "many", None])
def test_a_list_that_tells_of_more_names_than_there_are_is_not_believed(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]], names: object,
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """Believed, billions ask for more memory than there is, which ends the process."""
    index.catch_up()
    index.close()
    path = next(index.folder.rglob("meta.json"))
    listed = json.loads(path.read_text())
    for segment in listed["segments"]:
        segment["max_doc"] = names
    path.write_text(json.dumps(listed))

    again = SoundIndex(index.folder, store)
    assert again.recording_ids() == set(many)
    assert "could not be opened" in caplog.text
    again.close()


def test_an_old_copy_of_the_index_misses_nothing(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]], now: datetime,
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """Put back from a copy, after the changes it has not seen were cleared away."""
    monkeypatch.setattr(module, "_PRUNE_ABOVE", 10)
    kept = index.folder.with_name("kept")
    shutil.copytree(index.folder, kept)
    index.catch_up()
    assert store.rows("SELECT count(*) AS n FROM index_changes")[0]["n"] == 0
    index.close()
    shutil.rmtree(index.folder)
    kept.rename(index.folder)

    again = SoundIndex(index.folder, store)
    assert_right(again, many)
    assert "too far behind" in caplog.text
    again.close()


def test_a_great_many_changes_are_taken_in_at_once(
    index: SoundIndex, many: dict[int, tuple[str, str]], monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """By making the index anew; the folder before it is gone."""
    monkeypatch.setattr(module, "_ONE_BY_ONE", 50)
    assert_right(index, many)

    assert "many recordings came in" in caplog.text
    assert len([p for p in index.folder.iterdir() if p.is_dir()]) == 1


def test_an_index_that_cannot_be_written_says_so(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file is in its place; a disk that takes nothing: a sentence, and nothing half made."""
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(StoreProblem, match="cannot be made.*another folder"):
        SoundIndex(tmp_path / "taken", store)
    monkeypatch.setattr(module.index_state, "write", _no_room)
    with pytest.raises(StoreProblem, match="No space left.*Make room there"):
        SoundIndex(tmp_path / "fresh", store)
    assert list((tmp_path / "fresh").iterdir()) == []


def _no_room(*_: object) -> None:
    raise OSError(28, "No space left on device")
