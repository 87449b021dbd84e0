"""Small pluses and minuses after the sound has spoken."""

from __future__ import annotations

import numpy as np
import pytest

from catalogue.comparisons import CLAIMS
from catalogue.heard import Heard, understand
from catalogue.qualifiers import YEARS_OFF, fold_twins, qualify, version_words
from catalogue.reasons import ReasonKind
from catalogue.records import Recording, Wanted
from catalogue.search_keys import form_of
from catalogue.weighed import Weighed


def _recording(number: int, title: str = "My Lantern", **known: object) -> Recording:
    return Recording(number, title, "Ann Oke", 1, 1, **known)


def _weighed(number: int, score: float = 5.0, *, exact: bool = False) -> Weighed:
    form = form_of("My Lantern", "Ann Oke")
    return Weighed(number, form, np.zeros(len(CLAIMS), np.float32), score, exact=exact)


def _order(
    recordings: list[Recording],
    text: str = "my lantern",
    scores: dict[int, float] | None = None,
    exact: frozenset[int] = frozenset(),
    often: dict[int, int] | None = None,
) -> list[tuple[int, set[ReasonKind]]]:
    """(id, kinds of reasons), as qualified."""
    weighed = [
        _weighed(r.id, (scores or {}).get(r.id, 5.0), exact=r.id in exact) for r in recordings
    ]
    wanted: Wanted = understand(Heard(text))
    done = qualify(weighed, {r.id: r for r in recordings}, wanted, often or {})
    return [(match.recording_id, {reason.kind for reason in reasons}) for match, reasons in done]


def test_a_year_that_fits_comes_first_and_is_said() -> None:
    """And one that is far off is said to differ."""
    old, new = _recording(1, year=1999), _recording(2, year=1962)

    assert _order([old, new], "my lantern from 1962") == [
        (2, {ReasonKind.YEAR_AGREES}),
        (1, {ReasonKind.YEAR_DIFFERS}),
    ]


@pytest.mark.parametrize(
    ("year", "fits"),
    [(1960 - YEARS_OFF, True), (1969 + YEARS_OFF, True), (1959 - YEARS_OFF, False), (1972, False)],
)
def test_a_year_just_beside_a_decade_still_fits(year: int, fits: bool) -> None:
    """Pressings differ from first releases."""
    ((_, kinds),) = _order([_recording(1, year=year)], "my lantern from the sixties")

    assert (ReasonKind.YEAR_AGREES in kinds) is fits


def test_a_year_that_is_not_known_counts_neither_way() -> None:
    """Nor does a year that nobody said."""
    assert _order([_recording(1)], "my lantern from 1962") == [(1, set())]
    assert _order([_recording(1, year=1962)]) == [(1, set())]


def test_a_plain_recording_stands_before_a_live_one_unless_it_is_asked_for() -> None:
    """By the field of the version as by the bracket."""
    for live in (_recording(1, version="Live"), _recording(1, "My Lantern (Live at the Quay)")):
        plain = _recording(2)
        assert [number for number, _ in _order([live, plain])] == [2, 1]
        assert _order([plain, live], "my lantern live")[0] == (1, {ReasonKind.VERSION_AGREES})


def test_a_demo_asked_for_is_no_version_unasked() -> None:
    """Every word that marks a version can be asked for."""
    assert _order([_recording(2), _recording(1, version="demo")], "my lantern demo")[0] == (
        1, {ReasonKind.VERSION_AGREES})  # fmt: skip


def test_what_is_often_asked_for_comes_first_among_equals_only() -> None:
    """A nudge: never past one that clearly sounds better."""
    recordings = [_recording(1), _recording(2)]

    assert [n for n, _ in _order(recordings, often={2: 40, 1: 1})] == [2, 1]
    assert [n for n, _ in _order(recordings, often={2: 40}, scores={1: 7.0})] == [1, 2]


def test_what_was_typed_exactly_stays_first() -> None:
    """Whatever year, version and custom say."""
    recordings = [_recording(1, year=1999, version="live"), _recording(2, year=1962)]
    order = _order(
        recordings, "my lantern from 1962", scores={1: 1.0, 2: 9.0}, exact=frozenset({1}),
        often={2: 50},
    )  # fmt: skip

    assert order[0][0] == 1


@pytest.mark.parametrize(
    ("title", "version", "words"),
    [
        ("My Lantern", "", set()),
        ("My Lantern (Live)", "", {"live"}),
        ("My Lantern", "Acoustic", {"acoustic"}),
        ("Live and Let Live", "", set()),
        ("My Lantern (Radio Edit)", "live", {"edit", "live"}),
    ],
)
def test_version_words_are_those_beside_the_title(
    title: str, version: str, words: set[str]
) -> None:
    """Not those in it."""
    assert version_words(_recording(1, title, version=version)) == words


def _folded(*recordings: Recording) -> list[tuple[int, ...]]:
    known = {r.id: r for r in recordings}
    return [g.recording_ids for g in fold_twins([(_weighed(r.id), ()) for r in recordings], known)]


def test_one_title_by_one_artist_is_one_line() -> None:
    """In the order they came, the first leading; a remaster is no other record."""
    assert _folded(_recording(1), _recording(2), _recording(3, "MY LANTERN (2011 Remaster)")) == [
        (1, 2, 3)
    ]
    assert _folded(_recording(1, year=1962), _recording(2)) == [(1, 2)]


@pytest.mark.parametrize(
    "other",
    [
        _recording(2, "My Lantern (Live)"),
        _recording(2, "My Lantern (Part 2)"),
        _recording(2, version="acoustic"),
        _recording(2, year=1999),
        _recording(2, "Her Lantern"),
        Recording(2, "My Lantern", "Dilys Ouse", 2, 1),
    ],
)
def test_what_is_another_record_is_another_line(other: Recording) -> None:
    """Version, part, year, title, artist."""
    assert _folded(_recording(1, year=1962), other) == [(1,), (2,)]
