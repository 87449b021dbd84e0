"""Published values of the string measures, against the libraries we stand on.

`comparisons.py` uses rapidfuzz's ratio (normalised InDel similarity). That library is held here
against published values of its measures, so that a version that computes otherwise is noticed.
"""

from __future__ import annotations

import jellyfish
import pytest
from rapidfuzz import fuzz
from rapidfuzz.distance import (
    OSA,
    DamerauLevenshtein,
    Indel,
    Jaro,
    JaroWinkler,
    LCSseq,
    Levenshtein,
)

from catalogue.comparisons import alike

JARO = [
    ("MARTHA", "MARHTA", 0.944444, 0.961111),
    ("DIXON", "DICKSONX", 0.766667, 0.813333),
    ("DWAYNE", "DUANE", 0.822222, 0.84),
    ("JELLYFISH", "SMELLYFISH", 0.896296, 0.896296),
    ("CRATE", "TRACE", 0.733333, 0.733333),
]
"""Jaro and Jaro-Winkler (prefix weight 0.1, at most 4). Source: the first three are the examples
of W. Winkler's papers for the US Census Bureau; all five are in jellyfish's testdata."""

EDITS = [
    ("kitten", "sitting", 3),
    ("Saturday", "Sunday", 3),
    ("intention", "execution", 5),
    ("flaw", "lawn", 2),
]
"""Levenshtein. Source: textbook examples (Wagner and Fischer 1974 gives the recursion; intention
and execution: Jurafsky and Martin, "Speech and Language Processing", chapter 2)."""


@pytest.mark.parametrize(("one", "other", "jaro", "winkler"), JARO)
def test_jaro_and_winkler(one: str, other: str, jaro: float, winkler: float) -> None:
    """rapidfuzz and jellyfish agree with what was published."""
    for measure in (Jaro.similarity, jellyfish.jaro_similarity):
        assert measure(one, other) == pytest.approx(jaro, abs=1e-6)
    assert JaroWinkler.similarity(one, other, prefix_weight=0.1) == pytest.approx(winkler, abs=1e-6)
    assert jellyfish.jaro_winkler_similarity(one, other) == pytest.approx(winkler, abs=1e-6)


@pytest.mark.parametrize(("one", "other", "edits"), EDITS)
def test_levenshtein(one: str, other: str, edits: int) -> None:
    """Both ways round."""
    assert Levenshtein.distance(one, other) == Levenshtein.distance(other, one) == edits
    assert jellyfish.levenshtein_distance(one, other) == edits


def test_the_three_ways_to_count_a_swap() -> None:
    """CA and ABC: Levenshtein 3, optimal string alignment 3, true Damerau 2. Source: the example
    by which L. Boytsov (2011, ACM JEA 16, 1.1) tells the restricted measure from the true one."""
    assert Levenshtein.distance("CA", "ABC") == 3
    assert OSA.distance("CA", "ABC") == 3
    assert DamerauLevenshtein.distance("CA", "ABC") == 2
    assert OSA.distance("abcd", "acb") == DamerauLevenshtein.distance("abcd", "acb") == 2


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("my lantern", "my lanterns"),
        ("abc", ""),
        ("", ""),
        ("tide", "tied"),
        ("a" * 300, "a" * 299),
    ],
)
def test_our_ratio_is_the_normalised_indel_similarity(one: str, other: str) -> None:
    """1 - indel / (both lengths), with indel from the longest common subsequence. Source: the
    definition in rapidfuzz's documentation; computed here by hand from the subsequence."""
    common = LCSseq.similarity(one, other)
    indel = len(one) + len(other) - 2 * common
    expected = 1 - indel / (len(one) + len(other)) if one or other else 1.0

    assert Indel.distance(one, other) == indel
    assert alike(one, other) == pytest.approx(expected)


def test_the_measures_that_are_not_used_and_why() -> None:
    """A subset gives 100 with token_set_ratio, and "U2" 100 with partial_ratio inside anything
    that holds it: both would make short names win. Source: rapidfuzz's own documentation."""
    assert fuzz.token_set_ratio("moon", "the moon over saltmarsh") == 100
    assert fuzz.partial_ratio("u2", "solo u2 tribute night") == 100
    assert alike("moon", "the moon over saltmarsh") < 0.5


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("Washington", "W252"), ("Lee", "L000"), ("Gutierrez", "G362"), ("Pfister", "P236"),
        ("Jackson", "J250"), ("Tymczak", "T522"), ("Ashcraft", "A261"), ("Kelly", "K400"),
        ("Lloyd", "L300"), ("Schaefer", "S160"), ("Robert", "R163"), ("Rupert", "R163"),
        ("Rubin", "R150"),
    ],
)  # fmt: skip
def test_soundex_which_the_benchmarks_compare_with(name: str, code: str) -> None:
    """Source: the US National Archives' examples (archives.gov, "The Soundex Indexing System")."""
    assert jellyfish.soundex(name) == code
