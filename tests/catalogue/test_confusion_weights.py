"""The learnt weights: whole, and saying what is known of hearing."""

from __future__ import annotations

import csv
from itertools import product

import numpy as np
import pytest

from catalogue.confusion_weights import FILE, from_rows, shipped
from catalogue.pronunciations import PHONEMES
from catalogue.sound import CODE_OF


def _pair(heard: str, held: str) -> float:
    return float(shipped().pair[ord(CODE_OF[heard]), ord(CODE_OF[held])])


def test_every_pair_has_a_weight() -> None:
    """39 by 39, each phoneme missed and each put in; none twice, all of them finite."""
    with FILE.open(encoding="utf-8", newline="") as file:
        rows = [(row["heard"], row["held"], float(row["weight"])) for row in csv.DictReader(file)]
    pairs = [row[:2] for row in rows]
    names = (*PHONEMES, "")

    assert sorted(pairs) == sorted(p for p in product(names, names) if p != ("", ""))
    assert np.isfinite([row[2] for row in rows]).all()


def test_a_phoneme_is_heard_as_itself_more_than_as_any_other() -> None:
    """Else the tables would be turned about."""
    for held in PHONEMES:
        assert max(PHONEMES, key=lambda heard: _pair(heard, held)) == held
        assert _pair(held, held) > 0


@pytest.mark.parametrize(
    ("near", "far"),
    [
        (("M", "N"), ("M", "S")),
        (("B", "D"), ("B", "SH")),
        (("F", "TH"), ("F", "G")),
        (("P", "T"), ("P", "Z")),
        (("V", "DH"), ("V", "CH")),
        (("IY", "IH"), ("IY", "AO")),
    ],
)
def test_what_sounds_near_is_confused_more_than_what_sounds_far(
    near: tuple[str, str], far: tuple[str, str]
) -> None:
    """The order, not the size: f/s/th, b/d, m/n, p/t, v/th (common practice, no source)."""
    assert _pair(*near) > _pair(*far)
    assert _pair(*near[::-1]) > _pair(*far[::-1])


def test_missing_and_adding_cost() -> None:
    """No phoneme is gained by not being heard, or by being put in."""
    weights = shipped()
    codes = [ord(code) for code in CODE_OF.values()]

    assert (weights.missed[codes] < 0).all()
    assert (weights.added[codes] < 0).all()


def test_rows_go_to_their_places() -> None:
    """heard first, held second; an empty name is the one that was not there."""
    weights = from_rows([("M", "N", 1.5), ("", "N", -2.0), ("M", "", -3.0)])
    m, n = ord(CODE_OF["M"]), ord(CODE_OF["N"])

    assert (weights.pair[m, n], weights.pair[n, m]) == (1.5, 0.0)
    assert (weights.missed[n], weights.missed[m]) == (-2.0, 0.0)
    assert (weights.added[m], weights.added[n]) == (-3.0, 0.0)


def test_an_unknown_phoneme_is_refused() -> None:
    """A row with a slip of the pen must not count as silence."""
    with pytest.raises(KeyError):
        from_rows([("QQ", "N", 1.0)])
