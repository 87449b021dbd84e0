"""Weighing: order, chances and bands. No fitted number is pinned here; see tests/benchmarks."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.comparisons import CLAIMS
from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.records import Band, NewRecording
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from catalogue.weighed import FILE, NONE_CLAIMS, SIGNS, Weighed, Weights, band_of, shipped_weights

NAMES = [("My Lantern", "Ann Oke"), ("My Lantern", "Dilys Ouse"), ("Her Lantern", "Ann Oke"),
         ("The Long Jetty", "Hector Pike"), ("Mudlark", "Dilys Ouse"), ("?", "Nobody")]  # fmt: skip


@pytest.fixture
def index(store: Store, tmp_path: Path, now: datetime) -> Iterator[SoundIndex]:
    with undo.action(store, "Dilys", "a few", now):
        for title, artist in NAMES:
            number = rows.add_recording(store, NewRecording(title, artist))
        rows.add_other_name(store, "refrain", "shine over the water", recording=number)
    opened = SoundIndex(tmp_path / "sound_index", store)
    yield opened
    opened.close()


def _weigh(index: SoundIndex, text: str, **given: object) -> list[Weighed]:
    return weigh(index, understand(Heard(text)), **given)


def test_the_file_of_weights_has_every_number_by_its_name() -> None:
    """And none left over from a claim that is gone."""
    data = json.loads(FILE.read_text(encoding="utf-8"))

    assert set(data["claims"]) == set(CLAIMS)
    assert set(data["none"]) == set(NONE_CLAIMS)
    assert set(data["signs"]) == {*SIGNS, "constant"}
    for part in ("claims", "none", "signs", "bands"):
        assert np.isfinite(list(data[part].values())).all()


def test_a_missing_weight_is_an_error() -> None:
    """Never a silent zero."""
    data = json.loads(FILE.read_text(encoding="utf-8"))
    del data["claims"][CLAIMS[0]]
    with pytest.raises(KeyError, match=CLAIMS[0]):
        Weights.from_json(data)


def test_bands_are_a_ladder() -> None:
    """Certain over likely over possible, at the fitted chances."""
    weights = shipped_weights()

    assert 0 < weights.likely < weights.certain < 1
    assert band_of(1.0, weights) is band_of(weights.certain, weights) is Band.CERTAIN
    assert band_of(weights.certain - 1e-6, weights) is Band.LIKELY
    assert band_of(weights.likely, weights) is Band.LIKELY
    assert band_of(weights.likely - 1e-6, weights) is band_of(0.0, weights) is Band.POSSIBLE


def test_the_likeliest_is_first_and_each_is_there_once(index: SoundIndex) -> None:
    """Also one that is filed under several names; chances fall with the order."""
    found = _weigh(index, "my lantern by ann oke", keep_hopeless=True)
    chances = [w.probability for w in found]

    assert (found[0].form.title, found[0].form.artist) == ("my lantern", "ann oke")
    assert found[0].exact
    assert len({w.recording_id for w in found}) == len(found)
    assert chances[0] == max(chances)
    assert all(0 <= chance <= 1 for chance in chances)


def test_bands_follow_from_the_chances(index: SoundIndex) -> None:
    """For every match of several requests."""
    for text in ("my lantern by ann oke", "lantan and oak", "long jetty", "shine over water"):
        for match in _weigh(index, text, keep_hopeless=True):
            assert match.band is band_of(match.probability, shipped_weights())


def test_what_was_typed_exactly_is_first_whatever_the_weights(index: SoundIndex) -> None:
    """Even with weights that like everything else better."""
    weights = shipped_weights()
    turned = replace(weights, claims=-weights.claims)

    for title, artist in NAMES[:5]:
        found = _weigh(index, f"{title} by {artist}", weights=turned)
        assert (found[0].form.title, found[0].form.artist) == (
            form_words(title), form_words(artist))  # fmt: skip


def form_words(text: str) -> str:
    return text.lower()


def test_the_hopeless_are_kept_only_when_asked_for(index: SoundIndex) -> None:
    """But the first one always: whether it is rubbish is for the enquiry to say."""
    few, all_of_them = (
        _weigh(index, "my lantern by ann oke", keep_hopeless=keep) for keep in (False, True)
    )

    assert 1 <= len(few) < len(all_of_them)
    assert [w.recording_id for w in few] == [w.recording_id for w in all_of_them[: len(few)]]


def test_another_name_stands_for_its_recording(index: SoundIndex) -> None:
    """Under the name that fits best."""
    found = _weigh(index, "shine over the water")

    assert found[0].recording_id == len(NAMES)
    assert found[0].form.kind == "refrain"


def test_one_claim_by_its_name(index: SoundIndex) -> None:
    """As the column of that name."""
    first = _weigh(index, "my lantern")[0]

    for place, name in enumerate(CLAIMS):
        assert first.claim(name) == float(first.claims[place])
    with pytest.raises(ValueError, match="not in tuple"):
        first.claim("colour")


@pytest.mark.parametrize("text", ["", "\x00", "qqqq zzzz"])
def test_nothing_in_common_is_nothing_found(store: Store, tmp_path: Path, text: str) -> None:
    """In an empty catalogue there is nothing for anything."""
    index = SoundIndex(tmp_path / "sound_index", store)

    assert _weigh(index, text) == []
    index.close()


def test_weighing_twice_gives_the_same(index: SoundIndex) -> None:
    """To the last digit."""
    one, other = _weigh(index, "lantan and oak"), _weigh(index, "lantan and oak")

    assert [(w.recording_id, w.score, w.probability) for w in one] == [
        (w.recording_id, w.score, w.probability) for w in other
    ]
