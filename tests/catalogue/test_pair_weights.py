"""Fellegi and Sunter's weights, and the worked example."""

from __future__ import annotations

import numpy as np
import pytest

from catalogue import pair_weights as weights
from catalogue.pair_weights import CLAIMS, LIKELY_BITS, Level


def test_the_worked_example():
    """m .95, u .01; title m .95 u .001, artist m .9 u .01, one pair in 10,000: the arithmetic of
    Fellegi and Sunter (1969), worked through independently to six places."""
    assert weights.weight(0.95, 0.01) == pytest.approx(6.569856, abs=1e-6)
    assert weights.weight(0.05, 0.99) == pytest.approx(-4.307429, abs=1e-6)
    title, artist = weights.weight(0.95, 0.001), weights.weight(0.9, 0.01)
    assert (title, artist) == (pytest.approx(9.892, abs=1e-3), pytest.approx(6.492, abs=1e-3))
    total = title + artist + weights.prior_bits(1 / 10_000)
    assert total == pytest.approx(3.096, abs=1e-3)
    assert weights.chance(total) == pytest.approx(0.895298, abs=2e-6)


@pytest.mark.parametrize("name", CLAIMS)
def test_levels_are_a_ladder_and_their_chances_are_chances(name):
    ladder = CLAIMS[name]
    assert sum(level.m for level in ladder) == pytest.approx(1.0, abs=0.021)
    assert [level.at_least for level in ladder] == sorted(
        (level.at_least for level in ladder), reverse=True
    )
    assert all(0 < level.m < 1 and (level.u is None or 0 < level.u <= 1) for level in ladder)
    first = weights.weight(ladder[0].m, ladder[0].u or 0.01)
    last = weights.weight(ladder[-1].m, ladder[-1].u or 0.99)
    assert first > 0 > last or name == "sound"


def test_a_rare_name_says_more_than_a_common_one():
    level = np.zeros(2, np.int8)
    rare, common = weights.name_bits(
        level, np.array([2, 1_001], np.float32), 100_000, CLAIMS["title"]
    )
    assert rare - common == pytest.approx(np.log2(1_000), abs=1e-3)
    far = weights.name_bits(
        np.array([4], np.int8), np.array([2.0], np.float32), 100_000, CLAIMS["title"]
    )
    assert far[0] < 0


def test_names_alone_never_make_it_certain():
    """A singer records a song more than once."""
    assert LIKELY_BITS < weights.NAMES_MOST < 6


def test_u_is_counted_where_random_pairs_can_tell():
    ladder = (Level("the same", 0.9, 0.1), Level("different", 0.1, 0.9))
    counted = weights.counted_us(np.array([0] * 300 + [1] * 700, np.int8), ladder)
    assert counted.tolist() == pytest.approx([0.3, 0.7])
    few = weights.counted_us(np.array([0, 1, -1], np.int8), ladder)
    assert few.tolist() == pytest.approx([0.1, 0.9])


def test_the_prior_is_of_any_two_records():
    assert weights.prior_of(1_000_000) == pytest.approx(np.log2(0.1 / 999_999), abs=1e-3)
    assert weights.prior_of(3) == weights.prior_of(weights.FEWEST_RECORDS)


def test_a_list_tells_itself_how_many_have_a_double():
    """Of 10,000 records 4,000 have one: what adds up to that is the share, and never less than is
    thought beforehand; a short list says too little."""
    records = 10_000
    clear = np.concatenate([np.full(4_000, 30.0), np.full(90_000, 2.0)]).astype(np.float32)
    assert weights.share_with_double(clear, records) == pytest.approx(0.4, abs=0.01)
    assert weights.share_with_double(clear[3_900:], records) == weights.SHARE_WITH_DOUBLE
    assert weights.share_with_double(clear, 900) == weights.SHARE_WITH_DOUBLE
    assert weights.share_with_double(np.full(90_000, 60.0), records) == weights.MOST_SHARE


def test_a_title_alone_is_no_namesake_of_itself():
    """Two of ten thousand that have one title and nothing else are named alike by chance as often
    as songs are at large; where ten have it, the other eight tell."""
    level, among = np.zeros(2, np.int8), 10_000
    often = np.array([2, 10], np.float32)
    alone = weights.name_bits(level, often, among, CLAIMS["title"], np.array([True, True]))
    named = weights.name_bits(level, often, among, CLAIMS["title"], np.array([False, False]))
    assert alone[0] == pytest.approx(-np.log2(4e-5)) and alone[0] > named[0]
    assert alone[1] == pytest.approx(-np.log2(8 / 10_000 + 4e-5))
