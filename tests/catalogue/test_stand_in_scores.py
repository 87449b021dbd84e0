"""The scoring of the stand-ins' benchmark, against published worked examples and by hand."""

import numpy as np
import pytest

from catalogue.worth import shipped
from tests.benchmarks.fit_stand_ins import feel_model, worths
from tests.benchmarks.fit_stand_ins import shared as shared_parts
from tests.benchmarks.stand_in_data import Song, folds, pairs, songs, tag_vectors
from tests.benchmarks.stand_in_rankers import Plain, program, station
from tests.benchmarks.stand_in_scores import dcg, ndcg, of_lists, of_pairs, of_tags, tempo_distance

KNOWN = [
    Song("a", "Ann Oke", "Tide", 1960, 120.0, 180.0, tags=frozenset({"folk", "slow"})),
    Song("b", "Bo Quay", "Tide (Live)", 1961, 60.0, 180.0, tags=frozenset({"folk"})),
    Song("c", "Ann Oke feat. Bo Quay", "Lamp", 1990, 100.0, 200.0, tags=frozenset({"rock"})),
    Song("d", "Di Fenn", "Road", 1965, None, None),
]


def test_ndcg_worked_example():
    """Grades 3, 2, 3, 0, 1, 2, as in the usual textbook example: DCG 6.861127, ideal 7.140995,
    nDCG 0.960808."""
    grades = [3, 2, 3, 0, 1, 2]
    assert dcg(grades) == pytest.approx(6.861127, abs=1e-6)
    assert dcg(sorted(grades, reverse=True)) == pytest.approx(7.140995, abs=1e-6)
    assert ndcg(grades) == pytest.approx(0.960808, abs=1e-6)
    assert ndcg([0, 0]) == 0


def test_a_tempo_within_four_per_cent_or_an_octave_is_no_distance():
    """Gouyon et al. 2006."""
    assert tempo_distance(100, 104) == tempo_distance(100, 50) == 0
    assert tempo_distance(100, 200) == 0
    assert tempo_distance(100, 110) == pytest.approx(110 / 104 * 100 - 100)
    assert tempo_distance(100, None) is None


def test_lists_are_scored_where_there_is_something_to_hit():
    found = of_lists(KNOWN, {0: [1, 3], 2: [0], 3: []})
    assert found["same_song_hits"] == 1  # only the first has one
    assert found["same_artist_hits"] == 0.5  # guests aside, "a" and "c" are by one artist
    assert found["year_distance"] == pytest.approx((1 + 5 + 30) / 3)
    assert found["tempo_distance"] == pytest.approx((0 + (1.2 / 1.04 - 1) * 100) / 2, abs=1e-3)
    assert found["empty_lists"] == pytest.approx(1 / 3, abs=1e-4)


def test_tags_are_weighted_by_rarity_and_untagged_songs_do_not_count():
    tags = tag_vectors(KNOWN)
    idf = np.log([3 / 2, 3])
    expected = idf[0] / np.hypot(*idf)
    scores = of_tags(tags, {0: [1, 3], 2: [3]}, {0: frozenset({2}), 2: frozenset()})
    assert scores["tag_agreement"] == pytest.approx(expected, abs=1e-4)
    assert scores["tag_ndcg"] == pytest.approx(1)


def test_pairs_are_asked_for_from_both_sides():
    assert of_pairs([(0, 1)], {0: [1], 1: [2]})["pairs_in_seven"] == 0.5
    assert of_pairs([], {})["pairs_in_seven"] is None


def test_every_ranker_leaves_out_what_it_must():
    with station(KNOWN) as store:
        rankers = Plain(KNOWN).rankers() | {"ours": program(store, lambda _: shipped())}
        for name, ranker in rankers.items():
            offered = ranker(0, frozenset({2}))
            assert not {0, 2} & set(offered), name
            assert len(offered) == len(set(offered))
        assert rankers["ours"](0, frozenset()) != []


def test_both_reference_sets_are_joined_once_each():
    known = songs()
    assert len({song.song_id for song in known}) == len(known) > 5000
    both = [song for song in known if song.tags and song.tempo]
    assert len(both) > 2000
    named = [s for s in known if s.artist_key == "johnny horton" and "Bism" in s.title]
    assert len(named) <= 2
    assert len(pairs(None, known)) > 100


def test_a_songs_file_is_read_as_promised(tmp_path):
    path = tmp_path / "songs.csv"
    path.write_text("song_id,artist,title,tags\nx,Ann Oke,Tide,folk; slow\ny,Bo Quay,Lamp,\n")
    first, second = songs(path)
    assert first == Song("x", "Ann Oke", "Tide", tags=frozenset({"folk", "slow"}))
    assert second.tags == frozenset()
    (tmp_path / "pairs.csv").write_text("id1,id2\nx,y\nx,nowhere\n")
    assert pairs(tmp_path / "pairs.csv", [first, second]) == [(0, 1)]
    path.write_text("artist,title\nAnn Oke,Tide\n")
    assert [song.song_id for song in songs(path)] == ["1"]  # rows without an id are numbered
    path.write_text("song_id,artist\nx,Ann Oke\n")
    with pytest.raises(SystemExit, match="title"):
        songs(path)


def test_all_songs_of_an_artist_are_in_one_fold():
    assert folds(KNOWN, 2)[0] == folds(KNOWN, 2)[2]


def test_the_fit_finds_a_worth_that_was_put_in():
    """Made-up songs whose tag is their artist's band: only being related can tell."""
    known = [
        Song(str(n), f"Singer {n % 40} & Band {n % 20}", f"Song {n}", 1960 + n % 9, 100.0 + n,
             150.0 + n % 70, tags=frozenset({f"tag {n % 20 % 5}"}))
        for n in range(160)
    ]  # fmt: skip
    tags = tag_vectors(known)
    felt = feel_model(known, tags).guess([])
    assert felt.shape == (0, 5)
    flat = np.ones((len(known), 5))
    told = shared_parts(known, tags, flat)
    found = worths(told, np.arange(len(known)))
    assert found["years"] == 1
    assert found["related"] > 0
    assert told.agreement(found, np.arange(len(known))) > told.agreement(
        found | {"related": 0.0}, np.arange(len(known))
    )
