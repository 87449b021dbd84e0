"""The guess of a sort of music: sound for any facts, and better than none on songs not seen."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import feel, worth
from catalogue.feel import Facts

facts = st.builds(
    Facts,
    st.none() | st.integers(-5, 3000),
    st.none() | st.floats(-10, 1e6, allow_nan=False),
    st.none() | st.floats(-10, 1e6, allow_nan=False),
    st.text(max_size=12),
    st.text(max_size=12),
)


@given(st.lists(facts, max_size=5))
def test_any_facts_give_numbers(some):
    model = feel.shipped()
    guessed = model.guess(some)
    assert guessed.shape == (len(some), len(model.mean))
    assert np.isfinite(guessed).all()
    if some:
        assert (np.abs(feel.alike(guessed[0], guessed)) <= 1 + 1e-9).all()


def test_a_model_comes_back_from_its_lists():
    told = feel.from_json({"mean": [0.5, 0.5], "middle": [0.0] * 65, "weights": [[0.0, 0.0]] * 65})
    known = feel.signs([Facts(1960, 120.0, 180.0, "Tide", "Ann Oke")])
    assert known.shape[1] == len(feel.shipped().middle)
    assert told.mean.tolist() == [0.5, 0.5]


def test_the_fitted_worths_are_what_was_written():
    shipped = worth.shipped()
    assert shipped.years == pytest.approx(1)
    assert all(getattr(shipped, name) >= 0 for name in worth.FITTED)
    assert shipped.without("feel").feel == 0
    assert shipped.same_song > shipped.same_artist > shipped.related
