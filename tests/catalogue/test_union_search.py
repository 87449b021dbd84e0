"""A request put to many shards: the order is that of one index over everything."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue import index_view, union_layout
from catalogue.candidates import RAREST_KEYS, asked_for
from catalogue.found_names import FETCHED
from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.records import NewRecording
from catalogue.search_keys import Form, Keys, form_of, keys_of_form, keys_of_heard
from catalogue.sound import sound_of
from catalogue.union_scores import asking, in_order, kept_length, scored
from catalogue.union_search import NearShards, Searching
from catalogue.union_shard import Shard
from catalogue.union_terms import UnionTerms
from tests import made_unions

WORDS = ("last", "boat", "goat", "to", "samphire", "the", "moon", "lantern", "99", "herrings",
         "é", "?", "river")  # fmt: skip

_MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None
"""Where files cost nothing to write for certain: many small unions are made."""

_names = st.lists(st.sampled_from(WORDS), min_size=1, max_size=4).map(" ".join)
_recordings = st.lists(
    st.builds(NewRecording, title=_names, artist=st.one_of(_names, st.just(""))),
    min_size=1, max_size=24,
)  # fmt: skip


@contextmanager
def _opened(
    folder: Path, recordings: Sequence[NewRecording], shards: int
) -> Iterator[tuple[Searching, list[Shard]]]:
    layout = made_unions.make(folder, made_unions.numbered(recordings), shards)
    opened = [Shard(files) for files in layout.shards]
    counts = UnionTerms(layout.terms)
    try:
        yield Searching(counts, NearShards(opened)), opened
    finally:
        counts.close()
        for shard in opened:
            shard.close()


def _everything(
    searching: Searching, recordings: Sequence[NewRecording], keys: Keys
) -> list[tuple[int, Form]]:
    """All names that share a key, each scored, with no index that could leave one out."""
    names = list(made_unions.forms_of_recordings(made_unions.numbered(recordings)))
    asked = asking(keys, searching.counts, RAREST_KEYS)
    best = sorted((one for one in scored(asked, names) if one.score), key=in_order)
    return [(one.number, one.form) for one in best]


@given(_recordings, _names, st.integers(1, 8), st.sampled_from([1, 3, 10, FETCHED]))
@settings(max_examples=40, deadline=None)
def test_many_shards_give_what_one_index_gives(
    recordings: list[NewRecording], heard: str, shards: int, limit: int
) -> None:
    """The same names in the same order, cut at the same place, whatever the catalogue; and of
    these the matcher makes the same order, chances and bands, rarity of words and all."""
    folder = Path(tempfile.mkdtemp(dir=_MEMORY))
    keys = keys_of_heard(heard, sound_of(heard))
    found: list[list[tuple[int, Form]]] = []
    weighed = []
    try:
        for count in (1, shards):
            with _opened(folder / f"{len(found)}", recordings, count) as (searching, _):
                found.append(list(searching.search(keys, limit, RAREST_KEYS)))
                wanted = understand(Heard(heard))
                told = weigh(searching, wanted, keep_hopeless=True)
                weighed.append([(w.recording_id, w.form, w.score, w.probability, w.band)
                                for w in told])  # fmt: skip
                every = _everything(searching, recordings, keys)
                reached = {
                    number
                    for read in filter(None, (wanted, wanted.undated))
                    for words in (read.heard, read.typed)
                    for number, _ in _everything(
                        searching, recordings, keys_of_heard(words, sound_of(words))
                    )
                }
        assert found[0] == found[1] == every[:limit]
        assert weighed[0] == weighed[1]
        assert {number for number, *_ in weighed[0]} <= reached
    finally:
        shutil.rmtree(folder)


def test_the_scores_are_those_by_which_tantivy_orders_one_index(tmp_path: Path) -> None:
    """So that a union hears as well as a station: the same formula, to single precision."""
    recordings = [NewRecording(f"{a} {b}", c) for a in WORDS for b in WORDS for c in WORDS[:4]]
    with _opened(tmp_path, recordings, 1) as (searching, shards):
        heard = "last goat to sam fire"
        asked = asking(keys_of_heard(heard, sound_of(heard)), searching.counts, RAREST_KEYS)
        hits = index_view.best_by(shards[0]._view, asked.terms, 200)
        ours = scored(asked, [(number, form) for _, number, form in hits])
        plain = index_view.search(
            shards[0]._view, keys_of_heard(heard, sound_of(heard)), 200, RAREST_KEYS
        )

    assert [one.score for one in ours] == pytest.approx([hit[0] for hit in hits], rel=1e-5)
    scores = [one.score for one in scored(asked, plain)]
    assert scores == pytest.approx(sorted(scores, reverse=True), rel=1e-5)
    assert len(plain) == len(hits) == 200


def test_lengths_are_kept_as_tantivy_keeps_them(tmp_path: Path) -> None:
    """A long name's length is rounded; the scores of names of every length agree."""
    words = [chr(97 + n % 26) + chr(97 + n // 26) * 2 for n in range(120)]
    recordings = [NewRecording(" ".join(words[:n]), "") for n in range(1, 60)]
    with _opened(tmp_path, recordings, 1) as (searching, shards):
        asked = asking(keys_of_form(form_of(words[0], "")), searching.counts, RAREST_KEYS)
        hits = index_view.best_by(shards[0]._view, asked.terms, 100)
        ours = scored(asked, [(number, form) for _, number, form in hits])

    assert len({kept_length(len(keys_of_form(form).letters)) for _, _, form in ours}) > 30
    assert [one.score for one in ours] == pytest.approx([hit[0] for hit in hits], rel=1e-5)


class _Silent:
    """Shards of which some never answer."""

    def __init__(self, near: NearShards, silent: set[int]) -> None:
        self.near, self.silent, self.asked = near, silent, 0

    @property
    def shards(self) -> int:
        return self.near.shards

    def ask(self, questions: dict[int, tuple[Any, ...]], what: str, until: float) -> dict[int, Any]:
        self.asked += sum(number in self.silent for number in questions)
        kept = {n: q for n, q in questions.items() if n not in self.silent}
        return self.near.ask(kept, what, until)


def test_a_shard_that_does_not_answer_is_named_and_not_asked_again(tmp_path: Path) -> None:
    """What the others hold is found all the same."""
    recordings = [NewRecording(f"Boat {word}", "Ann Oke") for word in WORDS]
    numbered = made_unions.numbered(recordings)
    with _opened(tmp_path, recordings, 3) as (searching, shards):
        asker = _Silent(NearShards(shards), {1})
        lame = Searching(searching.counts, asker)
        found = weigh(lame, understand(Heard("boat by ann oke")), keep_hopeless=True)
        entries = lame.entries([number for number, _ in numbered])

    there = {number for number, _ in numbered if union_layout.shard_of(number, 3) != 1}
    assert {w.recording_id for w in found} == there != {number for number, _ in numbered}
    assert set(entries) == there
    assert (lame.missing, asker.asked) == ({1}, 1)


def test_a_shard_that_holds_most_of_the_best_is_asked_again(tmp_path: Path) -> None:
    """Names lie in shards by chance; where chance is uneven nothing may be lost."""
    ids = [n for n in range(2_000) if union_layout.shard_of(n, 4) == 1][:300]
    others = [n for n in range(2_000, 4_000) if union_layout.shard_of(n, 4) != 1][:300]
    held = [(n, NewRecording(f"Samphire Boat {n}", "Ann Oke")) for n in ids]
    held += [(n, NewRecording(f"Moon {n}", "Bo")) for n in others]
    heard = asked_for(understand(Heard("samphire boat by ann oke")))
    told = []
    for shards in (1, 4):
        layout = made_unions.make(tmp_path / str(shards), held, shards)
        opened = [Shard(files) for files in layout.shards]
        searching = Searching(UnionTerms(layout.terms), NearShards(opened))
        told.append(
            list(searching.search(keys_of_heard(heard.words, heard.sound), 200, RAREST_KEYS))
        )
    assert told[0] == told[1]
    assert {number for number, _ in told[1]} <= set(ids)
