"""Pairs to groups, without chaining."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from catalogue import pair_groups

PAIRS = st.dictionaries(
    st.tuples(st.integers(0, 9), st.integers(0, 9)).filter(lambda p: p[0] < p[1]),
    st.floats(-15, 15),
)


def test_a_chain_with_one_weak_link_is_two_groups():
    strong, weak = 9.0, 2.5
    found = {(1, 2): strong, (2, 3): weak, (3, 4): strong}
    assert pair_groups.groups(found, 2.0) == [[1, 2], [3, 4]]


def test_what_is_all_alike_is_one_group():
    found = dict.fromkeys(combinations(range(5), 2), 4.0)
    assert pair_groups.groups(found, 2.0) == [[0, 1, 2, 3, 4]]


def test_a_strong_chain_whose_ends_are_known_to_differ_is_cut():
    found = {(1, 2): 9.0, (2, 3): 8.0, (1, 3): -9.0}
    assert pair_groups.groups(found, 2.0) == [[1, 2]]


def test_missing_pairs_of_a_tangle_are_told():
    assert pair_groups.missing([(1, 2), (2, 3), (7, 8)]) == [(1, 3)]


def test_a_large_tangle_is_not_weighed_all_with_all():
    chain = [(n, n + 1) for n in range(200)]
    assert pair_groups.missing(chain) == []
    groups = pair_groups.groups(dict.fromkeys(chain, 9.0), 2.0)
    assert all(len(group) == 2 for group in groups)


@given(PAIRS, st.floats(0, 5))
def test_in_every_group_the_mean_pair_is_above_the_line(pairs, line):
    groups = pair_groups.groups(pairs, line)
    members = [one for group in groups for one in group]
    assert len(members) == len(set(members))
    for group in groups:
        bits = [pairs.get(pair, -pair_groups.MOST_BITS) for pair in combinations(group, 2)]
        assert max(bits) >= line
        if len(group) == 2:
            assert bits[0] >= line
