"""The kernels, and maximal marginal relevance at both ends of its parameter."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.likeness import lengths_alike, tempos_alike, varied, years_alike

tempos = st.floats(min_value=30, max_value=300)
years = st.integers(min_value=1890, max_value=2030)


@pytest.mark.parametrize(
    ("a", "b"), [(100, 104), (104, 100), (100, 50), (100, 200), (100, 51.9), (100, 193)]
)
def test_within_four_per_cent_of_the_tempo_its_half_or_double_is_the_same(a, b):
    """The tolerance of Accuracy 1, and the octaves of Accuracy 2 (Gouyon et al. 2006)."""
    assert tempos_alike(a, b) == pytest.approx(1)


@pytest.mark.parametrize(("a", "b"), [(100, 105), (100, 95), (100, 140), (100, 300), (100, 33)])
def test_other_tempos_are_less_alike(a, b):
    assert tempos_alike(a, b) < 1


@given(tempos, tempos)
def test_tempo_likeness_is_symmetric_and_between_0_and_1(a, b):
    assert 0 <= tempos_alike(a, b) <= 1
    assert tempos_alike(a, b) == pytest.approx(tempos_alike(b, a))


@given(tempos)
def test_tempo_likeness_falls_smoothly(a):
    """No edge: a step of one in a thousand never moves it by more than a fiftieth."""
    steps = [tempos_alike(a, a * 1.001**n) for n in range(400)]
    assert max(abs(x - y) for x, y in zip(steps, steps[1:], strict=False)) < 0.02


@given(years, years, years)
def test_years_nearer_are_more_alike_and_no_decade_has_an_edge(a, b, c):
    if abs(a - b) < abs(a - c):
        assert years_alike(a, b) >= years_alike(a, c)
    assert years_alike(1959, 1960) == years_alike(1955, 1956)


@pytest.mark.parametrize("unknown", [(None, 1), (1, None), (None, None), (0, 0)])
def test_what_is_not_known_is_like_nothing(unknown):
    assert tempos_alike(*unknown) == (0 if None in unknown or 0 in unknown else 1)
    assert years_alike(*unknown) == (0 if None in unknown else 1)


def test_relevance_alone_and_variety_alone():
    """Carbonell and Goldstein 1998: lambda 1 is the ranking itself, lambda 0 maximal variety."""
    relevance = [1.0, 0.9, 0.8, 0.1]
    group = [0, 0, 0, 1]

    def alike(i, j):
        return float(group[i] == group[j])

    assert varied(relevance, alike, 4, 1.0) == [0, 1, 2, 3]
    assert varied(relevance, alike, 2, 0.0) == [0, 3]
    # Between: 0.5 * 0.9 - 0.5 * 1 = -0.05 for item 1, 0.5 * 0.1 - 0 = 0.05 for item 3.
    assert varied(relevance, alike, 4, 0.5) == [0, 3, 1, 2]


@given(
    relevance=st.lists(st.floats(0, 1), max_size=12),
    limit=st.integers(0, 6),
    balance=st.floats(0, 1),
)
def test_varied_picks_each_once_and_no_more_than_asked(relevance, limit, balance):
    picked = varied(relevance, lambda i, j: 1 / (1 + abs(i - j)), limit, balance)
    assert len(picked) == len(set(picked)) == min(limit, len(relevance))
    ranked = varied(relevance, lambda i, j: 0.5, limit, 1.0)
    assert [relevance[i] for i in ranked] == sorted(relevance, reverse=True)[:limit]


def test_ruled_out_items_and_those_picked_before():
    picked = varied([1, 0.9, 0.8], lambda i, j: 0.0, 3, 1.0, lambda i, _chosen: i != 0)
    assert picked == [1, 2]
    assert varied([1, 0.9, 0.8], lambda i, j: 0.0, 2, 1.0, chosen=[2]) == [2, 0]


@given(st.floats(-1, 1e300), st.floats(-1, 1e300))
def test_any_numbers_can_be_compared(a, b):
    assert 0 <= tempos_alike(a, b) <= 1
    assert 0 <= lengths_alike(a, b) <= 1


def test_a_length_half_a_minute_off_is_less_alike():
    assert lengths_alike(180, 180) == 1
    assert 0.5 < lengths_alike(180, 210) < 0.9
    assert lengths_alike(180, None) == 0
