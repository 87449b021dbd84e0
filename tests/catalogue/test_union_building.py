"""A union of small stations: one recording with many holders, the same whoever builds it."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from catalogue import (
    index_view,
    undo,
    union_building,
    union_keys,
    union_layout,
    union_publishing,
    union_tasks,
)
from catalogue.catalogue_rows import change_holding, change_recording
from catalogue.errors import BadInput, UnionProblem
from catalogue.index_view import FIELDS
from catalogue.records import Carrier
from catalogue.sound_index import MAKE
from catalogue.union_building import Built, Steps, one_by_one
from catalogue.union_entries import UnionEntries
from catalogue.union_layout import UnionLayout
from catalogue.union_terms import UnionTerms

from .published import NOW, Station, station

ROOT = Path(__file__).parents[2]


@pytest.fixture
def quay(tmp_path: Path) -> Iterator[Station]:
    """A station with three recordings."""
    made = station(tmp_path / "quay", "Quay Radio", "a" * 16)
    made.add("Lantern on the Quay", "Marsha Herron", year=1962, length_s=172.0)
    made.add("Grey Heron Standing", "Ada Sluice", year=1966)
    made.add("The Long Jetty", "Hector Pike", (Carrier.CD,), year=1959)
    made.publish()
    yield made
    made.store.close()


@pytest.fixture
def tide(tmp_path: Path) -> Iterator[Station]:
    """Another one, which holds one of these, one of these misspelt, and one live."""
    made = station(tmp_path / "tide", "Tide FM", "b" * 16)
    made.add("Lantern on the Quay", "Marsha Herron", (Carrier.CD,), year=1962, length_s=172.3)
    made.add("Grey Heron Standin", "Ada Sluice", (Carrier.CASSETTE, Carrier.LP), year=1966)
    made.add("The Long Jetty (live)", "Hector Pike", year=1959)
    made.publish()
    yield made
    made.store.close()


def _build(
    union: Path, *stations: Station, shards: int = 2, steps: Steps | None = None,
    trusted: Sequence[union_keys.Trusted] = (),
) -> Built:  # fmt: skip
    return union_building.build(
        [one.folder for one in stations],
        trusted or [one.trusted for one in stations],
        union,
        shards,
        NOW,
        steps or Steps(one_by_one),
    )


def _held(layout: UnionLayout) -> dict[tuple[str, str], set[tuple[str, int, str, int, int]]]:
    """Title and artist of each entry, with its copies by their stations' names."""
    names = {one.number: one.name for one in layout.stations}
    found: dict[tuple[str, str], set[tuple[str, int, str, int, int]]] = {}
    for shard in layout.shards:
        entries = UnionEntries(shard.entries_file)
        ids = entries.ids()
        copies = entries.copies(ids)
        for entry, recording in entries.recordings(ids).items():
            assert union_layout.shard_of(entry, len(layout.shards)) == shard.number
            assert (recording.title, recording.artist) not in found
            found[(recording.title, recording.artist)] = {
                (names[c.station], c.number, c.carrier, c.copies, c.lendable) for c in copies[entry]
            }
        entries.close()
    return found


def _files(union: Path) -> dict[str, bytes]:
    """What a union says, and the files of its entries and counts."""
    told = json.loads((union / union_layout.NAME).read_text(encoding="utf-8"))
    return {"union.json": json.dumps(told).encode()} | {
        path.relative_to(union).as_posix(): path.read_bytes() for path in union.rglob("*.db")
    }


def test_one_recording_held_by_many_is_one_entry_with_many_holders(
    quay: Station, tide: Station, tmp_path: Path
) -> None:
    """A slip of the pen is put together, and a live recording is another one."""
    layout = _build(tmp_path / "union", quay, tide).layout

    assert _held(layout) == {
        ("Lantern on the Quay", "Marsha Herron"): {
            ("Quay Radio", 1, "LP", 1, 1), ("Tide FM", 1, "CD", 1, 1),
        },
        ("Grey Heron Standing", "Ada Sluice"): {
            ("Quay Radio", 2, "LP", 1, 1), ("Tide FM", 2, "LP", 1, 1),
            ("Tide FM", 2, "cassette", 1, 1),
        },
        ("The Long Jetty", "Hector Pike"): {("Quay Radio", 3, "CD", 1, 1)},
        ("The Long Jetty (live)", "Hector Pike"): {("Tide FM", 3, "LP", 1, 1)},
    }  # fmt: skip
    assert union_layout.read(tmp_path / "union") == layout


def test_every_spelling_held_is_filed(quay: Station, tide: Station, tmp_path: Path) -> None:
    """So that it is found by any station's way to write it; counts are those of all shards."""
    layout = _build(tmp_path / "union", quay, tide).layout
    views = [index_view.opened(shard.index_folder) for shard in layout.shards]
    terms = UnionTerms(layout.terms)

    for word in ("standing", "standin", "quay", "jetty", "live", "herring"):
        counted = sum(view.searcher.doc_freq("words", word) for view in views)
        assert terms.count("words", word) == counted, word
    assert terms.count("words", "standin") == terms.count("words", "standing") == 1
    assert terms.names == layout.names == sum(view.searcher.num_docs for view in views)
    for field in FIELDS:
        assert terms.all_terms[field] > layout.names


def test_a_weak_link_carries_nobody_in(tmp_path: Path) -> None:
    """One without year and length agrees with each of two that differ in both: not all are one."""
    made = [station(tmp_path / f"s{n}", f"S{n}", f"{n}" * 16) for n in range(3)]
    for one, year, length in zip(made, (1962, None, 1994), (172.0, None, 260.0), strict=True):
        one.add("Lantern on the Quay", "Marsha Herron", year=year, length_s=length)
        one.publish()

    layout = _build(tmp_path / "union", *made, shards=1).layout

    held = UnionEntries(layout.shards[0].entries_file)
    sizes = sorted(len(copies) for copies in held.copies(held.ids()).values())
    assert sizes == [1, 2]
    for one in made:
        one.store.close()


def test_what_nothing_names_is_not_put_together(tmp_path: Path) -> None:
    """Two of no artist and one title are two; only names that say something make one."""
    made = [station(tmp_path / f"s{n}", f"S{n}", f"{n}" * 16) for n in range(2)]
    for one in made:
        one.add("Intro", "Unknown artist")
        one.publish()

    assert _build(tmp_path / "union", *made).layout.entries == 2
    for one in made:
        one.store.close()


def _some_stations(folder: Path, chance: random.Random) -> list[Station]:
    """A few stations that share many recordings, some written differently."""
    titles = [f"{a} {b}" for a in ("Lantern", "Heron", "Grey Tide", "Sluice") for b in
              ("Waltz", "on the Quay", "at Noon", "and Jetty")]  # fmt: skip
    made = []
    for number in range(4):
        one = station(folder / f"s{number}", f"Station {number}", f"{number}" * 16)
        for title in chance.sample(titles, 9):
            written = title.replace("Quay", "Kay") if chance.random() < 0.3 else title
            year = chance.choice((None, 1950 + len(title)))
            one.add(written, f"Ann {title.split()[0]}", (chance.choice(list(Carrier)),), year=year)
        one.publish()
        made.append(one)
    return made


@pytest.mark.parametrize("seed", range(3))
def test_the_union_is_made_of_the_publications_alone(tmp_path: Path, seed: int) -> None:
    """In whichever order they come, and whether it is built anew or upon an old one."""
    chance = random.Random(seed)
    made = _some_stations(tmp_path, chance)
    _build(tmp_path / "grown", *made[:2], shards=3)
    with undo.action(made[0].store, "Charlie", "at work", NOW):
        change_recording(made[0].store, 1, title="Lantern Polka")
        change_holding(made[0].store, 2, missing=1)
    made[0].publish()
    chance.shuffle(made)

    _build(tmp_path / "grown", *made, shards=3)
    _build(tmp_path / "anew", *reversed(made), shards=3)

    assert _held(union_layout.read(tmp_path / "grown")) == _held(
        union_layout.read(tmp_path / "anew")
    )
    anew = _files(tmp_path / "anew")
    grown = _files(tmp_path / "grown")
    # What the union before named is there until the next build.
    assert {name: grown.get(name) for name in anew} == anew
    for one in made:
        one.store.close()


def test_the_number_of_processes_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two Ray processes and none come to the same bytes."""
    made = _some_stations(tmp_path, random.Random(7))
    monkeypatch.setattr(union_building.union_gathering, "CHUNK", 5)
    monkeypatch.setattr(union_building.union_doubles, "BLOCK", 20)

    _build(tmp_path / "alone", *made)
    with union_tasks.tasks(2) as run:
        _build(tmp_path / "together", *made, steps=Steps(run))

    assert len(_files(tmp_path / "alone")) == 6
    assert _files(tmp_path / "together") == _files(tmp_path / "alone")
    for one in made:
        one.store.close()


def test_chunks_and_blocks_however_small_come_to_the_same_entries(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """How the work is cut is not seen in what comes of it."""
    made = _some_stations(tmp_path, random.Random(9))
    whole = _held(_build(tmp_path / "whole", *made).layout)
    monkeypatch.setattr(union_building.union_gathering, "CHUNK", 2)
    monkeypatch.setattr(union_building.union_doubles, "BLOCK", 10)
    monkeypatch.setattr(union_building.union_doubles, "TANGLED", 3)
    monkeypatch.setattr(union_building.union_filing, "_HANDFUL", 4)

    assert _held(_build(tmp_path / "cut", *made).layout) == whole
    for one in made:
        one.store.close()


def test_only_shards_that_changed_are_written(quay: Station, tide: Station, tmp_path: Path) -> None:
    """One more recording is one more shard written; nothing new is none."""
    first = _build(tmp_path / "union", quay, tide, shards=5)
    again = _build(tmp_path / "union", quay, tide, shards=5)
    quay.add("Ferry Reel", "The Bargemen")
    quay.publish()
    more = _build(tmp_path / "union", quay, tide, shards=5)

    assert (first.written, again.written, more.written) == (5, 0, 1)
    assert more.layout.entries == first.layout.entries + 1
    old = {shard.folder for shard in first.layout.shards}
    assert len(old - {shard.folder for shard in more.layout.shards}) == 1
    # The shard of the union before is there until the next build, for those who still read it.
    assert all(folder.is_dir() for folder in old)
    _build(tmp_path / "union", quay, tide, shards=5)
    assert not all(folder.is_dir() for folder in old)


def test_what_is_refused_is_told_and_the_others_go_on(
    quay: Station, tide: Station, tmp_path: Path
) -> None:
    """Cut short, altered, signed by nobody, by a key that is not known, by a withdrawn key."""
    ferry = station(tmp_path / "ferry", "Ferry Radio", "c" * 16)
    ferry.add("Ferry Reel", "The Bargemen")
    ferry.publish()
    known = [quay.trusted, tide.trusted, ferry.trusted]
    spoilt = sorted(tide.folder.glob("recordings-*.parquet"))[0]
    whole = spoilt.read_bytes()

    def built(trusted: list[union_keys.Trusted]) -> Built:
        return _build(tmp_path / "union", quay, tide, ferry, trusted=trusted)

    spoilt.write_bytes(whole[:-1])
    (ferry.folder / "manifest.sig").rename(tmp_path / "sig")
    done = built(known)
    assert [one.name for one in done.layout.stations] == ["Quay Radio"]
    assert [("cut short" in s, "signed by nobody" in s) for s in done.refused] == [
        (True, False), (False, True),
    ]  # fmt: skip
    spoilt.write_bytes(whole[:-1] + b"x")
    (tmp_path / "sig").rename(ferry.folder / "manifest.sig")
    known, _ = union_keys.withdraw(known, "Ferry Radio", NOW)
    told = built(known).refused
    assert "was altered" in told[0] and "was withdrawn" in told[1]
    spoilt.write_bytes(whole)
    told = built(known[:1]).refused
    assert all("does not know" in sentence for sentence in told) and len(told) == 2
    assert len(_held(union_layout.read(tmp_path / "union"))) == 3
    ferry.store.close()


def test_where_all_is_refused_the_old_union_stays(
    quay: Station, tide: Station, tmp_path: Path
) -> None:
    """And it is said that nothing was built."""
    _build(tmp_path / "union", quay, tide)
    before = _files(tmp_path / "union")
    (quay.folder / "manifest.sig").unlink()

    with pytest.raises(UnionProblem, match="Nothing was built"):
        _build(tmp_path / "union", quay)

    assert _files(tmp_path / "union") == before


def test_an_older_publication_is_not_taken_again(
    quay: Station, tide: Station, tmp_path: Path
) -> None:
    """Not after a newer one, nor when its station was left out in between."""
    old = {path.name: path.read_bytes() for path in quay.folder.iterdir()}
    quay.add("Ferry Reel", "The Bargemen")
    quay.publish()
    _build(tmp_path / "union", quay, tide)
    _build(tmp_path / "union", tide)
    for path in list(quay.folder.iterdir()):
        path.unlink()
    for name, content in old.items():
        (quay.folder / name).write_bytes(content)

    done = _build(tmp_path / "union", quay, tide)

    assert "number 2 was built before" in done.refused[0]
    assert [one.name for one in done.layout.stations] == ["Tide FM"]


def test_of_two_publications_of_one_station_the_newer_counts(
    quay: Station, tide: Station, tmp_path: Path
) -> None:
    """And the other is told."""
    old = tmp_path / "old"
    old.mkdir()
    for path in quay.folder.iterdir():
        (old / path.name).write_bytes(path.read_bytes())
    quay.add("Ferry Reel", "The Bargemen")
    quay.publish()
    folders = [old, quay.folder, tide.folder]

    done = union_building.build(
        folders, [quay.trusted, tide.trusted], tmp_path / "union", 1, NOW, Steps(one_by_one)
    )

    assert len(done.refused) == 1 and done.refused[0].startswith(f"{old}: it is publication 1")
    assert ("Ferry Reel", "The Bargemen") in _held(done.layout)


def test_a_station_that_withdraws_is_gone_at_the_next_build(
    quay: Station, tide: Station, tmp_path: Path
) -> None:
    """With all its copies, and what it alone held; it may come back."""
    _build(tmp_path / "union", quay, tide)
    union_publishing.withdraw(quay.store, quay.key, quay.folder, NOW)

    layout = _build(tmp_path / "union", quay, tide).layout

    assert [one.name for one in layout.stations] == ["Tide FM"]
    assert len(_held(layout)) == 3
    assert {copy[0] for copies in _held(layout).values() for copy in copies} == {"Tide FM"}
    quay.publish()
    assert len(_build(tmp_path / "union", quay, tide).layout.stations) == 2
    union_publishing.withdraw(quay.store, quay.key, quay.folder, NOW)
    assert _build(tmp_path / "union", quay).layout.entries == 0


_ENDED = """
import os, sys
from pathlib import Path
from catalogue import union_building, union_keys
from catalogue.union_building import Steps, one_by_one
from datetime import datetime

def progress(what, done, total):
    if what == sys.argv[3]:
        os._exit(9)

folders, trust, union = sys.argv[4:], Path(sys.argv[1]), Path(sys.argv[2])
union_building.build([Path(f) for f in folders], union_keys.read_list(trust), union, 2,
                     datetime(2026, 11, 26), Steps(one_by_one, progress))
"""


@pytest.mark.parametrize("step", ["Comparing", "Counting"])
def test_a_build_that_is_killed_leaves_the_old_union_whole(
    quay: Station, tide: Station, tmp_path: Path, step: str
) -> None:
    """Without a chance to tidy up: what it left is cleared away by a later build."""
    union, trust = tmp_path / "union", tmp_path / "trust.json"
    union_keys.write_list(trust, [quay.trusted, tide.trusted])
    old = _build(union, quay).layout

    done = subprocess.run(
        [sys.executable, "-c", _ENDED, trust, union, step, quay.folder, tide.folder],
        cwd=ROOT, check=False,
    )  # fmt: skip

    assert done.returncode == 9
    assert union_layout.read(union) == old
    assert len(_held(old)) == 3
    drafts = list(union.glob("draft-*"))
    assert len(drafts) == 1
    os.utime(drafts[0], (0, 0))
    assert len(_build(union, quay, tide).layout.stations) == 2
    assert list(union.glob("draft-*")) == []


def test_a_step_that_fails_leaves_the_old_union_and_no_draft(
    quay: Station, tide: Station, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk is said in a sentence."""
    old = _build(tmp_path / "union", quay).layout

    def full(_layout: UnionLayout) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(union_layout, "write", full)
    with pytest.raises(UnionProblem, match="No space left.*as it was"):
        _build(tmp_path / "union", quay, tide)

    assert union_layout.read(tmp_path / "union") == old
    assert list((tmp_path / "union").glob("draft-*")) == []


def test_a_union_of_another_version_is_built_anew(quay: Station, tmp_path: Path) -> None:
    """What was built of each station is remembered all the same."""
    union = tmp_path / "union"
    _build(union, quay)
    file = union / union_layout.NAME
    told = json.loads(file.read_text(encoding="utf-8"))
    told["seen"]["a" * 16][0] = 9
    file.write_text(json.dumps({**told, "make": MAKE - 1}), encoding="utf-8")

    with pytest.raises(UnionProblem, match="number 9 was built before"):
        _build(union, quay)
    file.write_text(json.dumps({**told, "make": MAKE - 1, "seen": {}}), encoding="utf-8")
    assert _build(union, quay).layout.entries == 3


def test_quicker_with_what_nothing_tells_apart_alone(
    quay: Station, tide: Station, tmp_path: Path
) -> None:
    """Nothing is compared: the slip of the pen stays apart."""
    steps: list[str] = []

    def told(what: str, _done: int, _total: int | None) -> None:
        steps.append(what)

    layout = _build(
        tmp_path / "union", quay, tide, steps=Steps(one_by_one, told, only_alike=True)
    ).layout

    assert "Comparing" not in steps and "Filing" in steps
    assert len(_held(layout)[("Grey Heron Standing", "Ada Sluice")]) == 1
    assert len(_held(layout)[("Lantern on the Quay", "Marsha Herron")]) == 2


def test_no_shards_and_too_many_are_refused(quay: Station, tmp_path: Path) -> None:
    """Before anything is read."""
    for shards in (0, 1000):
        with pytest.raises(BadInput, match="between 1 and 999"):
            _build(tmp_path / "union", quay, shards=shards)


def _boom(number: int) -> int:
    if number == 3:
        raise BadInput("Three is refused.")
    return number


def test_what_a_process_raises_is_raised_here(tmp_path: Path) -> None:
    """As the same error with the same sentence; results come in the order of the jobs."""
    run: Callable[..., Iterator[Any]]
    with union_tasks.tasks(2) as run:
        assert list(run(_boom, [(1,), (2,), (0,)])) == [1, 2, 0]
        with pytest.raises(BadInput, match="Three is refused"):
            list(run(_boom, [(1,), (3,), (2,)]))
