"""The shortlist: which of the names found are worth comparing closely."""

from __future__ import annotations

import doctest
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest

from catalogue import catalogue_rows, shortlist, undo
from catalogue.candidates import Asked, asked_for, candidates
from catalogue.comparisons import plain_ratios
from catalogue.heard import Heard, understand
from catalogue.records import NewRecording
from catalogue.search_keys import form_of
from catalogue.shortlist import ALIGNED_AT_MOST, RATIOS_WEIGH, nearest, preselect
from catalogue.sound_index import SoundIndex
from catalogue.store import Store


@pytest.fixture
def index(store: Store, tmp_path: Path) -> Iterator[SoundIndex]:
    opened = SoundIndex(tmp_path / "sound_index", store)
    yield opened
    opened.close()


def _asked(text: str) -> Asked:
    return asked_for(understand(Heard(text)))


def test_the_best_are_kept_for_aligning_and_in_order() -> None:
    """Of a thousand names: at most so many, the exact one first, none twice."""
    forms = [form_of(f"Tide {n}", "Ann Oke") for n in range(1000)]
    kept = preselect(plain_ratios(_asked("tide 512 by ann oke"), forms))

    assert len(kept) == len(set(kept.tolist())) == ALIGNED_AT_MOST
    assert kept[0] == 512


def test_most_alike_by_phones_come_first_then_the_index_has_its_say() -> None:
    """In the index's own order, none twice; where all fit, all."""
    alike = np.linspace(0, 1, 300, dtype=np.float32)

    assert nearest(alike, 300).tolist() == list(range(300))
    assert nearest(alike, 100, by_keys=40).tolist() == [*range(40), *range(200, 300)]
    assert nearest(alike, 299, by_keys=40).tolist() == list(range(300))


def test_the_first_by_keys_are_kept_besides() -> None:
    """Behind the others, none twice."""
    alike = np.linspace(0, 1, 300, dtype=np.float32)[:, None].repeat(3, axis=1)
    kept = preselect(alike, by_keys=40).tolist()

    assert kept[ALIGNED_AT_MOST:] == list(range(40))
    assert len(set(kept)) == ALIGNED_AT_MOST + 40
    assert doctest.testmod(shortlist).failed == 0


def test_the_shortlist_is_what_all_ratios_would_choose(index: SoundIndex, store: Store) -> None:
    """Cut by phones first, and still the best by their sum, with ratios and places of the index."""
    names = _filed(store)
    index.catch_up()
    asked = _asked("tide four hundred by ann oke")
    found = candidates(index, asked)
    ratios = plain_ratios(asked, found.forms)
    short = shortlist.shortlist(index, asked)

    assert len(found) > 5 * ALIGNED_AT_MOST
    assert len(short.ids) == len(short.forms) == ALIGNED_AT_MOST
    assert names[short.ids[0]] == "Tide 400"
    assert short.ids == [found.ids[rank] for rank in short.ranks]
    assert short.ratios is not None
    assert np.array_equal(short.ratios, ratios[short.ranks])
    best = np.argsort(-(ratios @ RATIOS_WEIGH), kind="stable")[:20]
    assert set(best.tolist()) <= set(short.ranks.tolist())


def _filed(store: Store) -> dict[int, str]:
    """More names than are compared by classes and letters."""
    with undo.action(store, "test", "filed", datetime(2026, 1, 1)):
        return {
            catalogue_rows.add_recording(store, NewRecording(f"Tide {n}", "Ann Oke")): f"Tide {n}"
            for n in range(1, 800)
        }
