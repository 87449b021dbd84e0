"""The files of a built union: written whole, read back, refused in a sentence."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import index_view, union_entries, union_layout, union_terms
from catalogue.errors import UnionProblem
from catalogue.index_view import FIELDS
from catalogue.records import NewRecording, Recording, Voice
from catalogue.search_keys import form_of
from catalogue.sound_index import MAKE
from catalogue.union_entries import UnionCopy, UnionEntries
from catalogue.union_layout import ShardFiles, UnionLayout, UnionStation
from catalogue.union_terms import TermTally, UnionTerms

QUAY = UnionStation(
    0, "a1", "Quay Radio", "Wharf End", 51.9, 1.2, "Write to Ann.", 3, "0f", "2026-11-25", 2
)


def _made(folder: Path) -> UnionLayout:
    """A union of one shard with two recordings."""
    shard = ShardFiles(0, folder / "shard-000-ab", 2, 2, "ab")
    shard.index_folder.mkdir(parents=True)
    tally = TermTally()
    names = [(7, form_of("Lantern on the Quay", "Ann Oke")), (9, form_of("The Quay", "Bo"))]
    index_view.made(shard.index_folder, names, tally.see)
    union_entries.write(
        shard.entries_file,
        [(7, NewRecording("Lantern on the Quay", "Ann Oke", year=1962, voice=Voice.WOMAN)),
         (9, NewRecording("The Quay", "Bo"))],
        [UnionCopy(7, 0, 12, "LP", 2, 1), UnionCopy(7, 0, 12, "CD", 1, 0)],
    )  # fmt: skip
    union_terms.write(folder / "terms-ab.db", tally)
    layout = UnionLayout(
        folder, "2026-11-25T19:30", MAKE, (shard,), folder / "terms-ab.db", (QUAY,)
    )
    union_layout.write(layout)
    return layout


def test_a_union_is_read_as_it_was_written(tmp_path: Path) -> None:
    """Shards, stations and totals."""
    layout = _made(tmp_path)

    again = union_layout.read(tmp_path)

    assert again == layout
    assert (again.entries, again.names) == (2, 2)


def test_entries_and_copies_are_read_by_their_ids(tmp_path: Path) -> None:
    """As recordings like a station's own, and who holds them."""
    entries = UnionEntries(_made(tmp_path).shards[0].entries_file)

    found = entries.recordings([7, 9, 11])
    copies = entries.copies([7, 9])

    assert isinstance(found[7], Recording)
    assert (found[7].title, found[7].year, found[7].voice) == (
        "Lantern on the Quay", 1962, Voice.WOMAN,
    )  # fmt: skip
    assert sorted(found) == entries.ids() == [7, 9]
    assert copies == {7: [UnionCopy(7, 0, 12, "CD", 1, 0), UnionCopy(7, 0, 12, "LP", 2, 1)], 9: []}


def test_the_counts_are_those_of_the_index(tmp_path: Path) -> None:
    """What `terms` says of a term is what tantivy has counted; absent ones are in no name."""
    layout = _made(tmp_path)
    terms = UnionTerms(layout.terms)
    searcher = index_view.opened(layout.shards[0].index_folder).searcher

    assert terms.count("words", "quay") == searcher.doc_freq("words", "quay") == 2
    assert terms.count("words", "lantern") == 1
    assert terms.count("letters", "qua") == searcher.doc_freq("letters", "qua") == 2
    assert terms.counts("words", ["herring"]) == {"herring": 0}
    assert terms.names == 2
    assert terms.mean_terms["words"] == (6 + 3) / 2
    assert set(terms.mean_terms) == set(FIELDS)


def test_no_union_and_a_damaged_one_are_said_so(tmp_path: Path) -> None:
    """With what to do, and no traceback."""
    with pytest.raises(UnionProblem, match="no union"):
        union_layout.read(tmp_path)
    layout = _made(tmp_path)
    file = tmp_path / union_layout.NAME
    whole = json.loads(file.read_text(encoding="utf-8"))
    for broken in ("{", "[]", "{}", json.dumps({**whole, "shards": [{"number": 0}]})):
        file.write_text(broken, encoding="utf-8")
        with pytest.raises(UnionProblem, match="anew"):
            union_layout.read(tmp_path)
    file.write_text(json.dumps({**whole, "make": MAKE + 1}), encoding="utf-8")
    with pytest.raises(UnionProblem, match="another version"):
        union_layout.read(tmp_path)
    union_layout.write(layout)
    layout.shards[0].entries_file.unlink()
    with pytest.raises(UnionProblem, match="not whole"):
        union_layout.read(tmp_path)
    layout.shards[0].entries_file.write_bytes(b"something else")
    with pytest.raises(UnionProblem, match="cannot be read"):
        UnionEntries(layout.shards[0].entries_file)
    layout.terms.write_bytes(b"")
    with pytest.raises(UnionProblem, match="cannot be read"):
        UnionTerms(layout.terms)


@given(st.text(max_size=9), st.integers(1, 2**40), st.integers(1, 999))
def test_an_id_tells_its_shard_and_fits_the_index(station: str, number: int, shards: int) -> None:
    """It is the same every time, fits 63 bits, and lies in one of the shards."""
    entry = union_layout.union_id(station, number)

    assert entry == union_layout.union_id(station, number)
    assert 0 <= entry < 2**62
    assert 0 <= union_layout.shard_of(entry, shards) < shards


@given(st.lists(st.lists(st.lists(st.sampled_from("abc"), unique=True), min_size=4, max_size=4)),
       st.integers(0, 9))  # fmt: skip
def test_tallies_of_parts_add_up_to_that_of_the_whole(
    names: list[list[list[str]]], cut: int
) -> None:
    """However the names are shared out."""
    whole, first, second = TermTally(), TermTally(), TermTally()
    for place, terms in enumerate(names):
        whole.see(terms)
        (first if place < cut else second).see(terms)

    first.add(second)

    assert first == whole
