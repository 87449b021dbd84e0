"""Comparisons: one claim each, all candidates at once, none of them weighed."""

from __future__ import annotations

import doctest
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue import comparisons
from catalogue.candidates import Asked, asked_for
from catalogue.comparisons import (
    CLAIMS,
    alike,
    compare,
    exact_title,
    exactly,
)
from catalogue.confusion_weights import shipped
from catalogue.heard import Heard, understand
from catalogue.search_keys import form_of

NAMES = [("My Lantern", "Ann Oke"), ("The Long Jetty", "Hector Pike"), ("?", "Nobody"), ("A", "")]
FORMS = [form_of(*name) for name in NAMES]


def _asked(text: str) -> Asked:
    return asked_for(understand(Heard(text)))


def _rarities(words: Sequence[str]) -> list[float]:
    return [float(len(word)) for word in words]


def _claims(text: str) -> dict[str, np.ndarray]:
    table = compare(_asked(text), FORMS, np.arange(len(FORMS)), shipped(), _rarities)
    return dict(zip(CLAIMS, table.T, strict=True))


def test_the_examples_in_the_docstrings_are_true() -> None:
    """They are the first thing a reader believes."""
    result = doctest.testmod(comparisons)

    assert result.attempted >= 1
    assert result.failed == 0


@given(text=st.text(max_size=40))
@settings(max_examples=60, deadline=None)
def test_every_claim_is_a_number_whatever_was_heard(text: str) -> None:
    """One row a form, one column a claim; none infinite."""
    table = compare(_asked(text), FORMS, np.arange(len(FORMS)), shipped(), _rarities)

    assert table.shape == (len(FORMS), len(CLAIMS))
    assert table.dtype == np.float32
    assert np.isfinite(table).all()


@given(text=st.text(max_size=40))
@settings(max_examples=40, deadline=None)
def test_a_claim_about_one_form_does_not_depend_on_the_others(text: str) -> None:
    """All at once is only for speed."""
    together = compare(_asked(text), FORMS, np.arange(len(FORMS)), shipped(), _rarities)
    for place, form in enumerate(FORMS):
        alone = compare(_asked(text), [form], np.array([place]), shipped(), _rarities)
        assert together[place] == pytest.approx(alone[0], abs=1e-3)


def test_a_name_heard_perfectly_has_perfect_likeness() -> None:
    """In either order; with and without a "by"."""
    for text in ("my lantern ann oke", "my lantern by ann oke", "ann oke my lantern"):
        claims = _claims(text)
        assert claims["phones_alike"][0] == pytest.approx(1.0)
        assert claims["classes_alike"][0] == pytest.approx(1.0)
        assert claims["name_share"][0] > 0.9
        assert np.argmax(claims["best_aligned"]) == 0


def test_fields_are_compared_with_their_own() -> None:
    """The title with the title, the artist with the artist."""
    claims = _claims("my lantern by hector pike")

    assert claims["fields_title"][0] == pytest.approx(1.0)
    assert claims["fields_artist"][1] == pytest.approx(1.0)
    assert claims["fields_artist"][0] < 0.6


def test_without_fields_nothing_is_claimed_of_them() -> None:
    """Zero, for every form."""
    claims = _claims("my lantern")

    assert not claims["fields_title"].any()
    assert not claims["fields_artist"].any()


@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("my lantern by ann oke", True),
        ("MY LANTERN ann oke", True),
        ("ann oke my lantern", True),
        ("Ann Oke - My Lantern", True),
        ("the my lantern by ann oke", True),
        ("my lantern", False),
        ("my lanterns by ann oke", False),
        ("my lantern by ann oak", False),
        ("", False),
    ],
)
def test_exactly_means_title_and_artist(text: str, exact: bool) -> None:
    """In either order, articles and case aside."""
    assert exactly(_asked(text), FORMS[:1]) == [exact]


def test_an_exact_title_is_the_title_alone() -> None:
    """A leading article aside."""
    assert exact_title(_asked("long jetty"), FORMS[1])
    assert not exact_title(_asked("long jetty by hector pike"), FORMS[1])


def test_alike_is_the_same_both_ways() -> None:
    """And between 0 and 1."""
    assert alike("tide", "tied") == alike("tied", "tide")
    assert (alike("tide", "tide"), alike("tide", "xyz")) == (1.0, 0.0)
