"""Blocks, columns of words, and pairs found in lists of any kind."""

from __future__ import annotations

import random

import numpy as np
import pytest

from catalogue.described import Described, bare_artist, bare_title, numbers_in, version_kinds
from catalogue.pair_blocks import candidate_pairs
from catalogue.pair_finding import find
from catalogue.word_lists import Vocabulary, different, information, shared, total


def _list(*rows: tuple[str, str], **every: object) -> Described:
    described = Described()
    for number, (title, artist) in enumerate(rows):
        described.add(number, title, artist, **every)
    return described


def _pairs(described: Described) -> set[tuple[int, int]]:
    found = find(described)
    return set(zip(found.evidence.first.tolist(), found.evidence.second.tolist(), strict=True))


def test_words_are_compared_by_what_they_tell():
    vocabulary = Vocabulary()
    lists = vocabulary.lists(["the far tide", "the far lamp", "the quay", ""])
    bits = information(vocabulary.counts(lists), 4)
    one, other = np.array([0, 0, 3]), np.array([1, 2, 0])
    common = np.log2(4 / 3)
    assert shared(lists, one, lists, other, bits) == pytest.approx([1 + common, common, 0])
    assert total(lists, one, bits) == pytest.approx([3 + common, 3 + common, 0])
    assert different(np.array([3, 1, 3, 2, 1])).tolist() == [1, 2, 3]
    assert different(np.zeros(0, np.int64)).tolist() == []


def test_candidates_are_found_whatever_was_done_to_the_name():
    rows = [(f"Song {n} of the {n % 17} lamps", f"Singer {n % 40} Quay") for n in range(400)]
    rows += [("The Far Tide", "Ann Oke"), ("Ann Oke", "The Far Tide"), ("THE FRA TIDE", "Ann Oke"),
             ("Ann Oke - The Far Tide", ""), ("Phar Tied", "Ann Oke")]  # fmt: skip
    described = _list(*rows)
    count = len(described)
    pairs = candidate_pairs(described)
    assert (pairs // count < pairs % count).all()
    assert len(pairs) == len(different(pairs))
    assert {400 * count + other for other in range(401, 405)} <= set(pairs.tolist())


def test_pairs_grow_with_the_list_and_not_with_its_square():
    def many(size: int) -> int:
        return len(candidate_pairs(_list(*((f"Tide {n % 50}", "Ann Oke") for n in range(size)))))

    assert many(4_000) < 12 * many(400)


def test_nothing_and_one_are_no_pair():
    assert _pairs(_list()) == set()
    assert _pairs(_list(("Tide", "Ann Oke"))) == set()
    assert _pairs(_list(("", ""), ("", ""))) == set()


def test_tracks_tell_discs_apart_and_together():
    tracks = "harbour lights grey heron standing ferry me over candle for winter seven tides"
    other = "quay street waltz long jetty salt in the kettle mudlark rushes and reeds"
    described = Described()
    described.add(1, "Greatest Hits", "Ann Oke", tracks=tracks)
    described.add(2, "Greatest Hits", "Ann Oke", tracks=other)
    described.add(3, "Hits of Ann Oke, The Greatest", "Oke", tracks=tracks)
    for number in range(40):
        described.add(9 + number, f"Disc {number}", f"Singer {number}", tracks=f"song{number} a b")
    pairs = _pairs(described)
    assert (0, 2) in pairs and (0, 1) not in pairs and (1, 2) not in pairs


def test_tracks_that_only_count_say_nothing():
    described = Described()
    described.add(1, "Far Tide", "Ann Oke", tracks="track 01 track 02 track 03 track 04")
    described.add(2, "Far Tide", "Ann Oke", tracks="harbour lights heron ferry me over candle")
    assert _pairs(described) == {(0, 1)}


def test_two_volumes_are_two():
    assert _pairs(_list(("Hits Vol. 1", "Ann Oke"), ("Hits Vol. 2", "Ann Oke"))) == set()
    same = _list(("Hits Vol. II", "Ann Oke"), ("Hits Volume 2", "Ann Oke"), year=1970)
    assert _pairs(same) == {(0, 1)}


def test_one_without_its_artist_is_found_by_the_rest():
    rows = Described()
    rows.add(1, "Far Tide", "Ann Oke and the Bargemen", year=1961, length_s=181.0)
    rows.add(2, "Far Tide", "", year=1961, length_s=181.5)
    rows.add(3, "Far Tide", "", year=1993, length_s=240.0)
    assert _pairs(rows) == {(0, 1)}


@pytest.mark.parametrize(
    ("title", "artist"),
    [
        ("Far Tide &amp; Low Water", "CafÃ© Bargemen"),
        ("Far Tide & L0w Water", "Cafe Bargemen"),
        ("Tide Far and Low Water", "Bargemen, Café"),
        ("FAR_TIDE_AND_LOW_WATER", "CAFE BARGEMEN feat. Bo Quay"),
        ("Far Tide and Low Water, The", "Café  Bargemen"),
    ],
)
def test_whatever_a_program_did_to_the_names(title, artist):
    others = [
        (f"{word} Lamp", f"{word[::-1]} Singer") for word in "Quay Mudlark Heron Barge".split()
    ]
    rows = [("The Far Tide and Low Water", "Café Bargemen"), (title, artist), *others]
    assert _pairs(_list(*rows)) == {(0, 1)}


def test_a_later_volume_is_not_the_one_without_a_number():
    def both(other: str) -> set[tuple[int, int]]:
        return _pairs(_list(("Quayside Hits", "Ann Oke"), (other, "Ann Oke"), year=1970))

    assert both("Quayside Hits Vol. 1") == {(0, 1)}
    assert both("Quayside Hits Vol. 2") == both("Quayside Hits Part Three") == set()


def test_lists_of_tracks_however_they_are_written():
    titles = ["Harbour Lights", "Grey Heron", "Ferry Me Over", "Candle for Winter", "Seven Tides"]
    described = Described()
    described.add(1, "Quay", "Ann Oke", tracks=" | ".join(titles))
    described.add(2, "Quays", "Ann Oak", tracks=" ".join(f"{n}. {t}" for n, t in enumerate(titles)))
    described.add(3, "Quay", "Anne Oke", tracks="; ".join(f"{t} (3:07)" for t in titles[::-1]))
    described.add(4, "Lamp", "Bo Reed", tracks="N/A")
    described.add(5, "Lamp", "Bo Reed", tracks="salt in the kettle mudlark rushes and reeds")
    for number in range(40):
        described.add(9 + number, f"Disc {number}", f"Singer {number}", tracks=f"song{number} a b")
    assert _pairs(described) == {(0, 1), (0, 2), (1, 2), (3, 4)}


def test_collections_of_one_artist_share_songs():
    hits = "harbour lights grey heron standing ferry me over candle for winter seven tides"
    described = Described()
    described.add(1, "Ferry Songs", "Ann Oke", tracks=f"{hits} quay street waltz long jetty salt")
    described.add(2, "Golden Lamp", "Ann Oke", tracks=f"{hits} mudlark rushes reeds kettle marsh")
    for number in range(60):
        described.add(9 + number, f"Disc {number}", f"Singer {number}", tracks=f"song{number} a b")
    assert _pairs(described) == set()


def test_another_script_and_letters_that_were_lost():
    assert _pairs(_list(("Подмосковные вечера", "Хор"), ("подмосковные вечера", "ХОР"))) == {(0, 1)}
    lost = _list(("ã ã ã ã", "ã ã ã"), ("ã ã â ã ã", "ã ã â ã"), ("Tide", "Ann Oke"))
    assert _pairs(lost) == set()


@pytest.mark.parametrize("chance", [1, 2, 3])
def test_only_new_records_are_paired(chance):
    rows = [(f"Tide {n % 7}", f"Singer {n % 5}") for n in range(60)]
    described = _list(*rows)
    new = np.random.default_rng(chance).random(60) < 0.2
    every = candidate_pairs(described)
    some = candidate_pairs(described, new)
    touching = every[new[every // 60] | new[every % 60]]
    assert some.tolist() == touching.tolist()


@pytest.mark.parametrize(
    ("title", "bare"),
    [("", ""), ("?", "question mark"), ("99 Herons", "99 herons"), ("A1 - Tide", "tide"),
     ("12", "12"), ("The The", "the"), ("Tide (feat. Bo)", "tide")],
)  # fmt: skip
def test_bare_titles(title, bare):
    assert bare_title(title) == bare


def test_bare_artists_versions_and_numbers():
    assert bare_artist("Blood, Sweat and Tears") == "blood sweat and tears"
    assert bare_artist("[unknown]") == bare_artist("N/A") == bare_artist("Various Artists") == ""
    assert version_kinds("tide ao vivo") == version_kinds("tide live") == "live"
    assert version_kinds("live and let die") == "live"
    assert numbers_in("tide part two") == "2" and numbers_in("tide") == ""


def test_a_list_of_titles_alone():
    """A title that stands twice in a long list of titles is likely one song; one that stands five
    times is a name that many songs have."""
    chance = random.Random(7)
    words = ["".join(chance.choices("abcdefghijklmnopqrstuvwxyz", k=9)) for _ in range(3_000)]
    titles = [" ".join(words[at : at + 3]) for at in range(0, 3_000, 3)]
    described = Described()
    for number, title in enumerate([*titles, titles[500], *["Home"] * 5]):
        described.add(number, title)
    assert find(described).in_groups() == {(500, 1_000)}
