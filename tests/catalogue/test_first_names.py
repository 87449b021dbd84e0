"""The first name in a name as it was given. Common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.first_names import first_name


@pytest.mark.parametrize(
    ("given_name", "first"),
    [
        ("Gladys", "Gladys"),
        ("Gladys Pym", "Gladys"),
        ("Mrs Gladys Pym", "Gladys"),
        ("Mrs. Gladys Pym", "Gladys"),
        ("The Rev. Dr Gladys Pym", "Gladys"),
        ("Pym, Gladys", "Gladys"),
        ("Mrs Pym", ""),
        ("Mr and Mrs Pym", ""),
        ("Dr Pym", ""),
        ("Frau Fenn", ""),
        ("Herr Otto Fenn", "Otto"),
        ("Sister Mary", "Mary"),
        ("Sir John Fenn", "John"),
        ("Lady Fenn", ""),
        ("Auntie Joan", "Auntie Joan"),
        ("Nan", "Nan"),
        ("Gladys and Stan Pym", "Gladys and Stan"),
        ("Gladys & Stan", "Gladys & Stan"),
        ("G. Pym", ""),
        ("G. Mary Pym", "Mary"),
        ("Mary-Ann Pym", "Mary-Ann"),
        ("", ""),
    ],
)
def test_first_names(given_name, first):
    assert first_name(given_name) == first


@given(st.text(max_size=60))
def test_any_text_is_taken_and_nothing_is_made_up(text):
    assert all(sign in text for sign in first_name(text) if not sign.isspace())
